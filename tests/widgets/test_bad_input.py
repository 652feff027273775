"""Each kind of bad input that issue 2 lists: refused at the right field, in a sentence that says what would be right.

The limits are the record's own declaration; the geometry that cannot be is model.md section 1 (C).
"""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import COMPLETE, MAKER, answered, changed, numbers, refused, values
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import State

STOP_FIRST = COMPLETE | {"bolt_family": "stop", "upper_first_in": "stop", "lower_first_in": "flush"}
LENGTHS = COMPLETE | {"thread_diameter": 9.5, "rise": 4.23, "bolt_length": 40, "bush_length": 20}
LENGTHS |= {"upper_stand_zero": 12, "lower_stand_zero": 12.5}
FLUSH_FIRST = STOP_FIRST | {"upper_first_in": "flush"}

BAD: list[tuple[str, dict[str, Any], str, str]] = [
    ("letters", COMPLETE | {"upper_touch_turns": "five"}, "upper_touch_turns", "type digits"),
    ("NaN", COMPLETE | {"upper_touch_turns": "NaN"}, "upper_touch_turns", "type digits"),
    ("a float NaN", COMPLETE | {"upper_touch_turns": float("nan")}, "upper_touch_turns", "type digits"),
    ("1e308", COMPLETE | {"lower_touch_turns": "1e308"}, "lower_touch_turns", "0 to 15 turns"),
    ("1e308 inches", COMPLETE | {"head_diameter": {"typed": "1e308", "unit": "in"}}, "head_diameter", "in, because"),
    ("1e309", COMPLETE | {"lower_touch_turns": "1e309"}, "lower_touch_turns", "larger than any"),
    ("negative count", COMPLETE | {"upper_now_turns": -1}, "upper_now_turns", "0 to 15 turns"),
    ("beyond its limit", COMPLETE | {"head_diameter": 41}, "head_diameter", "8 to 40 mm"),
    ("two marks", COMPLETE | {"head_diameter": "1,900.5"}, "head_diameter", "one of them"),
    ("margin below the least", COMPLETE | {"margin": 0.2}, "margin", "0.25 to 2 turns"),
    ("touch at flush", COMPLETE | {"upper_touch_turns": 0}, "upper_touch_turns", "inside flush"),
    ("touch the strip cannot tell", COMPLETE | {"lower_touch_turns": 0.09}, "lower_touch_turns", "must be more than"),
    (
        "touch by height inside flush",
        changed(COMPLETE | {"upper_height_zero": 8, "upper_height_touch": 7, "rise": 4.23}, upper_touch_turns=None),
        "upper_height_touch",
        "inside flush",
    ),
    ("stop and flush disagree", STOP_FIRST | {"upper_stop_turns": 1}, "upper_stop_turns", "cannot both be"),
    ("in past a stop", STOP_FIRST | {"upper_now_side": "in"}, "upper_now_side", "cannot have been in past"),
    (
        "farther in than the stop",
        FLUSH_FIRST | {"upper_stop_turns": 1, "upper_now_side": "in", "upper_now_turns": 2},
        "upper_stop_turns",
        "Count both again",
    ),
    (
        "counts and heights",
        COMPLETE | {"upper_height_zero": 6, "upper_height_now": 7, "rise": 4.23},
        "upper_now_turns",
        "Count and measure again",
    ),
    (
        "slot as wide as the head",
        COMPLETE | {"slot_width": 19},
        "slot_width",
        "must be less than the diameter",
    ),
    (
        "slot wider than the head",
        COMPLETE | {"slot_width": 25},
        "slot_width",
        "must be less than the diameter",
    ),
    ("butt that does not reach", COMPLETE | {"upper_rim_to_butt": 9.5}, "upper_rim_to_butt", "less than half"),
    ("butt far off the head", COMPLETE | {"lower_rim_to_butt": 20}, "lower_rim_to_butt", "less than half"),
    ("strip too thick", COMPLETE | {"strip_thickness": 0.5, "upper_touch_turns": 2.4}, "strip_thickness", "thinner"),
    (
        "butt off the head before touch",
        COMPLETE | {"fulcrum_arm": 25, "limb_depth": 25, "upper_rim_to_butt": 9, "upper_touch_turns": 15},
        "upper_touch_turns",
        "must be fewer",
    ),
    ("pitch of no bolt", COMPLETE | {"rise": 1}, "rise", "Measure the rise"),
    ("maker's limits exchanged", COMPLETE | {"maker_in": 4, "maker_out": 2}, "maker_out", "must be larger"),
    ("maker's limits the same", MAKER | {"maker_in": 3, "maker_out": 3}, "maker_out", "must be larger"),
    (
        "nothing limits the outer end",
        changed(COMPLETE, upper_touch_found="no", upper_touch_turns=None),
        "upper_touch_found",
        "Enter one",
    ),
    (
        "thread gone before first touch",
        COMPLETE | {"upper_free_turns": 4, "thread_diameter": 8},
        "upper_free_turns",
        "Count both again",
    ),
    ("bush longer than the bolt", LENGTHS | {"bolt_length": 30, "bush_length": 31}, "bush_length", "must not be more"),
    ("bush shorter than a diameter", LENGTHS | {"bush_length": 8}, "bush_length", "less than one diameter"),
    ("stand as long as the bolt", LENGTHS | {"lower_stand_zero": 40}, "lower_stand_zero", "must be less than"),
    ("count and lengths", LENGTHS | {"upper_free_turns": 20}, "upper_free_turns", "Count and measure again"),
    (
        "thread gone at the mark",
        COMPLETE | {"lower_now_turns": 11, "lower_free_turns": 10.5, "thread_diameter": 8},
        "lower_free_turns",
        "Count both again",
    ),
]


@pytest.mark.parametrize(("record", "field", "words"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_refused_at_the_right_field_with_what_would_be_right(record: dict[str, Any], field: str, words: str) -> None:
    problems = refused(record)
    assert field in problems
    sentence = problems[field]
    assert words in sentence
    assert sentence.endswith(".")
    subject = BY_NAME[field].label.split(":")[0].split(",")[0]
    start = subject.lower() if field != "rise" else "pitch"
    assert start in sentence.lower(), f"names {field}"


@pytest.mark.parametrize("typed", ["", "   ", None])
def test_an_empty_box_is_no_fault(typed: str | None) -> None:
    assert answered(changed(COMPLETE, upper_touch_turns=typed)).state is State.EXAMPLE


def test_every_fault_is_told_not_only_the_first() -> None:
    record = COMPLETE | {"upper_touch_turns": "x", "margin": 9, "slot_width": 25, "lower_rim_to_butt": 12}
    assert {"upper_touch_turns", "margin", "slot_width", "lower_rim_to_butt"} <= set(refused(record))


@pytest.mark.parametrize(("margin", "touch"), [(2, 4.2), (0.75, 1.5), (1, 2)])
def test_a_margin_larger_than_the_window_is_a_verdict_of_its_own(margin: float, touch: float) -> None:
    assert 2 * margin + 0.09 > touch - 0.3
    answer = answered(COMPLETE | {"margin": margin, "upper_touch_turns": touch})
    assert answer.state is State.NO_WINDOW
    assert numbers(answer)["upper_width"] <= 0


def test_a_field_that_does_not_matter_is_not_refused() -> None:
    """A bracket from an earlier choice, or felt readings of a bolt that cannot be felt, refuse nothing."""
    assert answered(COMPLETE | {"upper_bracket": "x"}).state is State.GO
    assert answered(MAKER | {"upper_touch_turns": "x", "slot_width": 1, "margin": "nan"}).state is State.GO


NUMBERS = [name for name, field in BY_NAME.items() if isinstance(field, NumberField)]
HOSTILE = ("1e308", "-1e308", "5..2", "--1", "NaN", "∞", "<script>", "9" * 41, "1/0", "１２", "'; --", "1e-400x")


@pytest.mark.parametrize("name", NUMBERS)
def test_hostile_numbers_are_refused_by_name_wherever_they_matter(name: str) -> None:
    field = BY_NAME[name]
    base = STOP_FIRST if "stop_turns" in name else COMPLETE | {"flush_way": "both", "draw_station": "rest"}
    base |= {"bolt_lock": "detent", "shims_in": "head"}
    for typed in HOSTILE:
        for unit in getattr(field, "units", ()):
            record = base | {name: {"typed": typed, "unit": unit}}
            assert name in {problem.field for problem in values(record).problems}, (typed, unit)
