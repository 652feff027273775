"""Tiller and brace height: what the page foretells, what it refuses to, and all that it must say.

Outside sources: the default bow of model.md 4 (C: two solutions agree to 1e-6), with what one turn in does to it; the
tape's reading at the belly from a straight string (C); twist contraction of an idealized yarn (M); U = 2u (GUM, M); the
pound-force and the kilogram-force (NIST SP 811, S). That a bolt is turned with the string off, by half a turn at most
from measuring to measuring: common practice, no source.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from figures.reading import Drawing as Drawn
from figures.reading import faults
from helpers.asking import (
    COMPLETE,
    MAKER,
    answered,
    changed,
    numbers,
    picture_of,
    points_of,
    read,
    refused,
    table_of,
    texts,
    values,
    windows,
)
from helpers.records import some
from quarterturn.bench.bow_inputs import bow_inputs
from quarterturn.mechanics import bow as bows
from quarterturn.mechanics import equilibrium
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, DeferredBlock, Drawing, Points, Refusal, State, Status, Steps, Table
from quarterturn.widgets.tiller.form import ASKED
from quarterturn.widgets.words import lower

LBF = 4.4482216152605
INCH = 25.4
DEFAULT = COMPLETE | {
    "brace_height": 221.958,
    # Back to belly: the string lies 176.958 mm from the fulcrums' line at the pivot point, and 4.004 mm more from the
    # upper one than from the lower one, 610 mm away.
    "upper_tiller": 176.958 + 4.004 * 315 / 610,
    "lower_tiller": 176.958 - 4.004 * 295 / 610,
    "draw_weight": 37.9975,
    "draw_length": 28,
    "draw_station": "amo",
    "upper_now_turns": 2,
    "lower_now_turns": 2,
    "upper_rim_to_butt": 2.5,
    "lower_rim_to_butt": 2.5,
    "head_diameter": 19,
    "rise": 4.2333333,
    "rise_turns": 4,
    "fulcrum_arm": 60,
    "limb_depth": 8,
    "upper_fulcrum": 315,
    "fulcrum_span": 610,
    "limb_length": 565,
    "string_length": 1645.8,
    "string_upper": 787.9,
}
"""The default bow of model.md 4 as a tape and a scale read it."""
OWN = COMPLETE | {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
"""All readings of the reader's own; dimensions the example's."""
STILL = {"upper_change": 0, "lower_change": 0}
THEN = ("weight_then", "weight_change", "tiller_then", "tiller_change", "brace_then", "brace_change")
BY_TURN = ("upper_in", "lower_in", "both_in", "opposite")
STRING = ("string_change", "twists", "string_here")


def told(record: dict[str, Any], **more: Any) -> Answer:
    return answered(changed(record, **more), "tiller")


def names(answer: Answer) -> set[str]:
    return {value.name for value in answer.all_values()}


def note_of(answer: Answer, name: str) -> str:
    return next(value.note for value in answer.all_values() if value.name == name)


def whole(value: float) -> str:
    """In whole millimetres, half of one up."""
    size = math.floor(abs(value) + 0.5 + 1e-9)
    return f"−{size}" if value < 0 and size else f"{size}"


def is_round(answer: Answer) -> bool:
    """Whether headline and sentence have neither a doubt nor hundredths of a turn."""
    return not re.search(r"±|\d\.\d\d+ turn", f"{answer.title} {answer.verdict}")


def words_of(answer: Answer) -> str:
    """Every word of the answer, without its pictures' lines."""
    data = answer.as_data()
    return f"{answer.title} {answer.verdict} {answer.speak} {data['values']} {data['tables']} {data['points']}"


# The numbers

ONE_IN = {
    "upper": ((-1, 0), (0.4207, -0.783, -4.665)),
    "lower": ((0, -1), (0.4445, -1.080, 5.008)),
    "both": ((-1, -1), (0.8648, -1.812, 0.360)),
}
"""model.md 4: pounds, and millimetres of brace height and tiller, of one turn in."""


@pytest.mark.parametrize("which", ONE_IN)
def test_one_turn_in_of_the_default_bow(which: str) -> None:
    (upper, lower), (weight, brace, tiller) = ONE_IN[which]
    found = numbers(told(DEFAULT, upper_change=upper, lower_change=lower))
    assert found["weight"] == pytest.approx(37.9975, abs=1e-4)
    assert found["brace_height"] == pytest.approx(221.958, abs=2e-4)
    assert found["tiller"] == pytest.approx(4.004, abs=2e-4)
    assert found["string_here"] == pytest.approx(1645.8, abs=0.01)
    assert found["weight_change"] == pytest.approx(weight, abs=2e-4)
    assert found["brace_change"] == pytest.approx(brace, abs=1e-3)
    assert found["tiller_change"] == pytest.approx(tiller, abs=3e-3)  # the belly's and the back's: model.md 4
    for name in ("weight", "brace", "tiller"):
        was = found["brace_height" if name == "brace" else name]
        assert found[f"{name}_then"] == pytest.approx(was + found[f"{name}_change"], abs=2e-4)
    # A quarter of a turn, times four, is nearly a whole one.
    assert found[f"{which}_in_weight"] == pytest.approx(weight, rel=0.01)
    assert found[f"{which}_in_brace"] == pytest.approx(brace, rel=0.05)
    assert found[f"{which}_in_tiller"] == pytest.approx(tiller, rel=0.05)


def test_half_a_turn_is_what_the_page_begins_with() -> None:
    answer = told({"version": 1})
    assert answer.title.startswith("Upper bolt in by half a turn: tiller about 2 mm, now 4")
    found = numbers(answer)
    assert found["tiller_change"] == pytest.approx(0.5 * found["upper_in_tiller"], rel=0.02)
    assert found["weight_change"] == pytest.approx(0.5 * found["upper_in_weight"], rel=0.02)
    assert found["brace_change"] == pytest.approx(0.5 * found["upper_in_brace"], rel=0.05)


@pytest.mark.parametrize("change", [(-0.5, 0), (-0.5, -0.5), (0.5, -0.25), (0.25, 0), (-0.5, 0.5)])
@pytest.mark.parametrize("record", [OWN, OWN | {"upper_tiller": 181, "lower_tiller": 174.5}, {"version": 1}])
def test_title_and_sentence_are_the_values_rounded(record: dict[str, Any], change: tuple[float, float]) -> None:
    answer = told(record, upper_change=change[0], lower_change=change[1])
    found = numbers(answer)
    tiller = f"tiller about {whole(found['tiller_then'])} mm, now {whole(found['tiller'])}"
    assert answer.title.endswith(tiller)
    assert f"about {found['weight_then']:.1f} lb at 28 in AMO, now {found['weight']:.1f} lb" in answer.verdict
    by = found["brace_change"]
    more = f"{whole(abs(by))} mm {'more' if by > 0 else 'less'}" if abs(by) >= 0.5 else "changed by less than 1 mm"
    assert f"the brace height {more}" in answer.verdict
    assert is_round(answer)


@pytest.mark.parametrize("change", [-1, 0.75, 4])
def test_turns_are_written_in_quarters(change: float) -> None:
    assert is_round(told(OWN, upper_change=change))


@pytest.mark.parametrize("record", [DEFAULT, OWN, OWN | {"upper_tried_tiller": 176.3, "lower_tried_tiller": 177}])
def test_the_signs_are_those_of_the_trade(record: dict[str, Any]) -> None:
    """model.md 4: one bolt in is more weight, that limb nearer to the string, less brace height; both are more."""
    found = numbers(told(record))
    assert found["upper_in_tiller"] < 0 < found["lower_in_tiller"]
    for bolt in ("upper", "lower", "both"):
        assert found[f"{bolt}_in_weight"] > 0 > found[f"{bolt}_in_brace"]
    for name in ("weight", "tiller", "brace"):
        one, other = found[f"upper_in_{name}"], found[f"lower_in_{name}"]
        assert found[f"both_in_{name}"] == pytest.approx(one + other, abs=2e-5)
        assert found[f"opposite_{name}"] == pytest.approx(one - other, abs=2e-5)
    out = numbers(told(record, upper_change=0.5, lower_change=0))
    assert out["weight_change"] < 0 < out["brace_change"]
    assert out["tiller_change"] > 0


def test_the_table_says_what_the_values_say() -> None:
    answer = told(OWN)
    found, table = numbers(answer), table_of(answer, "by-turn")
    uncertainty_of = {value.name: value.uncertainty for value in answer.all_values()}
    assert [row[0] for row in table.rows[:4]] == ["upper in", "lower in", "both in", "upper in, lower out"]
    for row, key in zip(table.rows, BY_TURN, strict=False):
        for cell, name in zip(row[1:], ("weight", "tiller", "brace"), strict=True):
            assert read(cell) == pytest.approx(found[f"{key}_{name}"], abs=5.1e-3)
            u = uncertainty_of[f"{key}_{name}"]
            assert u is not None
            assert read(re.split("±.", cell)[1]) == pytest.approx(2 * u, abs=5.1e-3)  # U = 2u
    weight_stays, tiller_stays = table.rows[4:]
    assert read(weight_stays[1]) == 0
    assert read(tiller_stays[2]) == 0
    assert f"{abs(found['keep_weight']):.2f}" in weight_stays[0]
    assert f"{abs(found['keep_tiller']):.2f}" in tiller_stays[0]


def test_what_keeps_weight_and_what_keeps_tiller_do() -> None:
    """The bow solved anew with the upper bolt in a little and the lower one by as much as is said (C)."""
    found = numbers(told(DEFAULT))
    assert found["keep_weight"] > 0 > found["keep_tiller"]
    for by in (0.25, 0.5):
        weight = numbers(told(DEFAULT, upper_change=-by, lower_change=by * found["keep_weight"]))
        assert abs(weight["weight_change"]) < 2e-3
        assert weight["tiller_change"] < -8 * by
        tiller = numbers(told(DEFAULT, upper_change=-by, lower_change=by * found["keep_tiller"]))
        assert abs(tiller["tiller_change"]) < 0.2 * by**2 + 0.01
        assert tiller["weight_change"] > 0.8 * by


def test_the_string_that_gives_the_brace_height_back() -> None:
    """The bow solved anew with it (C); turned in, the string must be shorter, turned out longer."""
    for change, sign in (((-1, -0.5), 1), ((1, 1), -1), ((-0.25, 0), 1)):
        record = DEFAULT | {"upper_change": change[0], "lower_change": change[1]}
        answer = told(record)
        shorter = numbers(answer)["string_change"]
        assert math.copysign(1, shorter) == sign
        asked = bow_inputs(values(record), ASKED)
        string = asked.fitted.string - shorter / 1000
        share = 787.9 / 1645.8
        bow = bows.Bow(
            asked.fitted.bow.upper, asked.fitted.bow.lower, bows.BowString(string * share, string * (1 - share))
        )
        braced = equilibrium.braced(bow, asked.setup.rock(asked.at((float(change[0]), float(change[1])))))
        assert braced.brace_height == pytest.approx(0.221958, abs=2e-7)
        label = next(value.label for value in answer.all_values() if value.name == "string_change")
        assert label.startswith("Shorten" if sign > 0 else "Lengthen")
        assert read(texts(answer)["string_change"]) == pytest.approx(abs(shorter), abs=5.1e-3)


def test_twists_make_the_string_shorter_and_untwisting_longer() -> None:
    """L = L₀ − (πnd)²/(4L₀): the twists that there are, and as many more, by hand (Hearle and others, M)."""
    for change, label in ((-1.0, "to add"), (1.0, "to take out")):
        answer = told(DEFAULT, upper_change=change, string_twists=24, string_diameter=2.6)
        found = numbers(answer)
        squared = 4 * 1645.8 * found["string_change"] / (math.pi * 2.6) ** 2
        assert found["twists"] == pytest.approx(math.sqrt(24**2 + squared) - 24, rel=0.01)
        assert label in next(value.label for value in answer.all_values() if value.name == "twists")
        assert read(texts(answer)["twists"]) == pytest.approx(abs(found["twists"]), abs=0.051)
    # Where no twist is left to take out, that is said and no number is.
    none = told(DEFAULT, upper_change=1, lower_change=1, string_twists=3)
    assert "twists" not in numbers(none)
    assert note_of(none, "twists").endswith(".")


def test_as_it_stands_is_what_was_read() -> None:
    answer = told(OWN, upper_tiller=181, lower_tiller=174.5)
    found = numbers(answer)
    assert found["tiller"] == pytest.approx(6.5, abs=1e-3)
    assert found["brace_height"] == pytest.approx(222, abs=1e-3)
    assert found["weight"] == pytest.approx(38, abs=1e-4)
    still = told(OWN, upper_tiller=181, lower_tiller=174.5, **STILL)
    assert still.title == "Tiller 7 mm, brace height 222 mm, 38.0 lb at 28 in AMO"
    assert is_round(still)


MARKS = {"marks_checked": "right", "marks_checked_on": "2026-06-01"}


@pytest.mark.parametrize(
    ("upper", "lower", "words"), [(180, 175, "positive"), (175, 178, "negative"), (177, 177, "even")]
)
def test_a_tiller_is_called_by_its_sign(upper: float, lower: float, words: str) -> None:
    record = OWN | {"upper_tiller": upper, "lower_tiller": lower}
    assert note_of(told(record | MARKS), "tiller").startswith(words)
    assert told(record | MARKS | STILL).verdict.lower().startswith(words)
    # Limbs in each other's pockets give a negative one: until the marks were looked at, nothing is predicted.
    unseen = told(record)
    assert (unseen.state is State.ASK) is (words == "negative")
    assert bool(numbers(unseen)) is (words != "negative")


def test_rows_of_the_scale_win_over_the_one_weight() -> None:
    rows = [{"draw": 28, "weight": 50}]
    assert numbers(told(OWN, scale_readings=rows))["weight"] == pytest.approx(50, abs=1e-4)
    assert numbers(told(OWN))["weight"] == pytest.approx(38, abs=1e-4)


def test_a_turn_that_was_tried_tells_what_turns_do() -> None:
    """As far as the tape is near: read to a tenth of a millimetre, a turn does what it was seen to do."""
    plain = numbers(told(OWN, upper_change=-1))["tiller_change"]
    for after in (176.3, 175.4, 177.1):
        record = OWN | {"upper_tried_tiller": after, "lower_tried_tiller": 177, "tried_turns": 1}
        seen = after - 177 - 4
        rough, fine = (numbers(told(record | {"tape_step": step}, upper_change=-1)) for step in (1, 0.1))
        assert fine["tiller_change"] == pytest.approx(seen, abs=0.15)
        assert min(plain, seen) - 1e-6 <= rough["tiller_change"] <= max(plain, seen) + 1e-6


def by_turn(record: dict[str, Any]) -> float:
    """The standard uncertainty of what a turn of the upper bolt does to tiller."""
    found = next(value.uncertainty for value in told(record).all_values() if value.name == "upper_in_tiller")
    assert found is not None
    return found


@pytest.mark.parametrize("step", [0.1, 0.5, 1, 2])
def test_a_turn_that_was_tried_widens_nothing(step: float) -> None:
    """The nearer the tape is read, and the farther the bolt went, the more it tells; the least is nothing."""
    record = OWN | {"tape_step": step}
    known = [by_turn(record)]
    for turns, after in ((0.25, 177.9), (0.5, 177.6), (1, 176.5)):
        lower = 175 if turns == 0.25 else 175.8 if turns == 0.5 else 177.1
        known.append(by_turn(record | {"upper_tried_tiller": after, "lower_tried_tiller": lower, "tried_turns": turns}))
    assert known == sorted(known, reverse=True)
    assert known[-1] < {0.1: 0.3, 0.5: 0.5, 1: 0.7, 2: 0.95}[step] * known[0]


# Nothing is foretold


def nothing_is_foretold(answer: Answer, title: str = "Nothing is predicted there") -> None:
    assert answer.title == title
    assert not set(THEN) & names(answer)
    assert not set(STRING) & names(answer)
    assert "expect" not in answer.verdict
    assert {"tiller", "brace_height", "weight"} <= names(answer)
    assert "Now: tiller " in answer.verdict
    assert "before" not in Drawn(picture_of(answer, "bow")).by_id
    assert "Foretold" not in words_of(answer)


def turns_in(text: str) -> float:
    """A number of turns as it is written in quarters."""
    part = {"¼": 0.25, "½": 0.5, "¾": 0.75}.get(text[-1], 0.0)
    return float(text[: len(text) - bool(part)] or 0) + part


@pytest.mark.parametrize(
    ("change", "bolts"),
    [((-2.5, 0), ["upper"]), ((0, 3), ["lower"]), ((-2.5, 3), ["upper", "lower"]), ((4, -4), ["upper", "lower"])],
)
def test_outside_its_window_nothing_is_foretold_of_a_bolt(change: tuple[float, float], bolts: list[str]) -> None:
    answer = told(OWN, upper_change=change[0], lower_change=change[1])
    nothing_is_foretold(answer)
    for bolt, window in zip(("upper", "lower"), windows(OWN), strict=True):
        assert (f"The {bolt} bolt would be" in answer.verdict) is (bolt in bolts)
        ends = re.search(rf"The {bolt} bolt [^,]*, and its safe range is (\S+) to (\S+) turns out", answer.verdict)
        assert (ends is not None) is (bolt in bolts)
        if ends is not None:  # rounded inward
            assert window.inner.usable <= turns_in(ends[1]) < window.inner.usable + 0.25
            assert window.outer.usable - 0.25 < turns_in(ends[2]) <= window.outer.usable


def test_at_the_ends_of_the_window_it_still_is() -> None:
    window, _ = windows(OWN)
    for end, inward in ((window.inner.usable, 1e-6), (window.outer.usable, -1e-6)):
        assert set(THEN) <= names(told(OWN, upper_change=end + inward - 2.5))
        nothing_is_foretold(told(OWN, upper_change=end - inward - 2.5))


@pytest.mark.parametrize(
    "change",
    [
        {"upper_touch_found": "no", "upper_touch_turns": None},
        {"upper_touch_turns": 0.02},
        {"margin": "half"},
        {"maker_in": 5, "maker_out": 4},
    ],
    ids=["no outer end", "touch inside flush", "a word for a number", "the maker's ends swapped"],
)
@pytest.mark.parametrize("turned", [STILL, {}], ids=["as it stands", "turned"])
def test_without_both_windows_nothing_is_foretold(change: dict[str, Any], turned: dict[str, Any]) -> None:
    answer = told(OWN | change | turned) if None not in change.values() else told(OWN, **change, **turned)
    assert answer.state is State.OPEN
    nothing_is_foretold(answer, "A reading cannot be used")
    assert "without both safe ranges" in answer.verdict
    assert not any(name.startswith(BY_TURN) for name in names(answer))
    shown = {block.picture.name for block in answer.blocks if isinstance(block, Drawing)}
    assert shown == {"bow", "matters"}
    assert not [block for block in answer.as_data()["tables"] if block["name"] == "by-turn"]  # type: ignore[attr-defined]


def nothing_is_shown(answer: Answer) -> None:
    """No number of the bow, no picture of it, and no word of what a turn would do."""
    assert names(answer) == set()
    assert not any(isinstance(block, Drawing | Table) for block in answer.blocks)
    assert not re.search(r"tiller about|expect about|As it is", answer.title + answer.verdict)


def test_a_window_that_vanished_is_called_that() -> None:
    answer = told(OWN, margin=2, upper_touch_turns=4)
    assert answer.state is State.STOP
    assert "no turn is safe on the upper bolt" in answer.title
    nothing_is_shown(answer)


@pytest.mark.parametrize("now", [{"upper_now_turns": 0.1}, {"lower_now_turns": 6}])
@pytest.mark.parametrize("turned", [STILL, {}], ids=["as it stands", "turned"])
def test_a_bolt_that_stands_outside_is_brought_back_first(now: dict[str, float], turned: dict[str, Any]) -> None:
    """model.md 5: nothing is predicted for a position outside the window: no weight, no tiller, only what to do."""
    answer = told(OWN | now | turned)
    assert answer.state is State.STOP
    bolt = next(iter(now)).partition("_")[0]
    window = windows(OWN)[bolt == "lower"]
    assert answer.title.startswith(f"Stop: the {bolt} bolt is at ")
    way, place = re.search(rf"turn the {bolt} bolt (out|in) to (\S+) by", answer.verdict).groups()  # type: ignore[union-attr]
    assert way == ("out" if bolt == "upper" else "in")
    assert window.inner.usable <= turns_in(place) <= window.outer.usable
    steps = next(block.steps for block in answer.blocks if isinstance(block, Steps))
    turned_back = [step for step in steps if step.startswith(f"{bolt.capitalize()} bolt: ")]
    assert f"to {place} turn" in turned_back[-1]
    nothing_is_shown(answer)


def test_both_bolts_that_stand_outside_are_named() -> None:
    both = told(OWN, upper_now_turns=0.1, lower_now_turns=6)
    for bolt in ("upper", "lower"):
        assert f"the {bolt} bolt is" in both.title
        assert f"turn the {bolt} bolt" in both.verdict


def test_as_it_stands_nothing_is_turned() -> None:
    answer = told(OWN | STILL)
    found = numbers(answer)
    tiller, brace = whole(found["tiller"]), whole(found["brace_height"])
    assert answer.title == f"Tiller {tiller} mm, brace height {brace} mm, {found['weight']:.1f} lb at 28 in AMO"
    assert "Turn a bolt to see what would change" in answer.verdict
    assert not (set(THEN) | set(STRING)) & names(answer)
    assert {f"{key}_weight" for key in BY_TURN} <= names(answer)
    assert all(hand.words == "not turned" for hand in hands_of(answer))
    assert picture_of(answer, "bow").title.endswith("as it is now")


def hands_of(answer: Answer) -> list[Any]:
    return [
        hand
        for block in answer.blocks
        if isinstance(block, Drawing) and block.picture.name == "bow"
        for hand in block.hands
    ]


# States


FAR_OFF = {"date": "2026-05-01", "upper_at": 2, "weight": 60}
"""Half a turn of one bolt makes no 22 lb: a reading that nobody expected."""


@pytest.mark.parametrize(
    ("change", "state", "words"),
    [
        ({"check_limbs": "fault"}, State.STOP, "the inspection says no"),
        ({"check_string_off": "on"}, State.STOP, "the inspection says no"),
        ({"check_lock": "unsure"}, State.ASK, "Ask a technician"),
        ({"bolt_family": "clamp"}, State.ASK, "Its turns were counted"),
        ({"bolt_family": "unknown"}, State.ASK, "which bolt this is"),
        ({"events": [{"date": "2026-05-01", "happened": "fall"}]}, State.STOP, "a fall or a crash"),
        ({"marks_checked": "swapped"}, State.STOP, "each other's pockets"),
        ({"log": [FAR_OFF]}, State.STOP, "the weight was not what was expected"),
        ({"log": [{"upper_at": 2}]}, State.OPEN, "log cannot be used"),
        ({"events": [{"date": "2026-05-01", "happened": "limbs"}]}, State.OPEN, "other limbs"),
    ],
)
def test_what_speaks_against_the_bow_comes_in_place_of_it(change: dict[str, Any], state: State, words: str) -> None:
    answer = told(OWN | change)
    assert (answer.state, answer.badge) == (state, "")
    assert words in answer.title
    nothing_is_shown(answer)
    assert points_of(answer, "assumed") == points_of(told(OWN), "assumed")
    assert bool(points_of(answer, "findings")) is any(name.startswith("check") for name in change)


def test_what_is_only_to_be_looked_over_again_leaves_the_numbers() -> None:
    answer = told(OWN | {"inspection_source": "other"})
    assert (answer.state, numbers(answer)) == (State.OPEN, numbers(told(OWN)))
    assert answer.verdict.endswith(told(OWN).verdict)


def test_where_the_log_has_the_bolts_elsewhere_they_are_turned_from_there() -> None:
    """What a turn would do and what there is when it was made are the same bow; computed then, with an uncertainty."""
    change = {"upper_change": -0.5, "lower_change": -0.25}
    before = told(OWN, **change)
    moved = OWN | {"log": [{"date": "2026-05-01", "upper_at": 2, "lower_at": 1.75}]}
    after, unmoved = told(moved | STILL), told(OWN | STILL)
    for name, then in (("weight", "weight_then"), ("tiller", "tiller_then"), ("brace_height", "brace_then")):
        assert numbers(after)[name] == pytest.approx(numbers(before)[then], rel=1e-6)
        one, other = (uncertainty(answer, name) for answer in (after, unmoved))
        assert one == pytest.approx(uncertainty(before, then), rel=1e-6)
        assert other is None
    assert "the upper bolt is now 2 turns out from zero" in points_of(after, "by-log")[0]
    assert points_of(unmoved, "by-log") == ()
    assert is_round(after)
    there, back = numbers(told(moved, **change)), numbers(told(moved, upper_change=0.5, lower_change=0.25))
    assert there["weight_then"] > there["weight"] > numbers(unmoved)["weight"]
    assert back["tiller_then"] == pytest.approx(numbers(unmoved)["tiller"], abs=1e-4)


def uncertainty(answer: Answer, name: str) -> float | None:
    return next(value.uncertainty for value in answer.all_values() if value.name == name)


def test_a_closed_gate_holds_where_nothing_can_be_shown() -> None:
    answer = told(OWN, check_limbs="fault", upper_tiller=320, lower_tiller=80)
    assert answer.state is State.STOP
    assert not answer.all_values()


def test_whose_bow_it_is() -> None:
    """A default never passes for a reading: until all are in, the windows' too, it is an example and says whose."""
    readings = ("brace_height", "upper_tiller", "lower_tiller", "draw_weight")
    for name in readings:
        answer = told(OWN, **{name: None})
        assert answer.state is State.EXAMPLE
        assert answer.badge == "Example"
        assert f"Example values, not yours: {lower(BY_NAME[name].label)}." in answer.verdict
        assert {value.status for value in answer.all_values()} == {Status.EXAMPLE}
    assert "This is an example until you enter your own bow" in told(COMPLETE).verdict
    for name in ("upper_touch_turns", "lower_now_turns", "upper_rim_to_butt"):
        answer = told(OWN, **{name: None})
        assert answer.state is State.EXAMPLE
        assert "The safe ranges are an example" in answer.verdict
    own = told(OWN)
    assert own.state is State.EXPLAIN
    assert own.badge == "Your bow, computed"
    assert "made-up" not in own.verdict
    assert {value.status for value in own.all_values()} == {Status.COMPUTED}
    assert told(OWN, draw_weight=None, scale_readings=[{"draw": 28, "weight": 38}]).state is State.EXPLAIN


def test_a_bolt_of_another_kind_is_told() -> None:
    bow = {name: OWN[name] for name in ("brace_height", "upper_tiller", "lower_tiller", "draw_weight")}
    answer = told(MAKER | bow)
    assert points_of(answer, "other-bolt")[0].startswith("What is computed here is a flat head")
    assert points_of(told(OWN), "other-bolt") == ()


# What must be known


@pytest.mark.parametrize(
    ("length", "words"), [(1690, "shorter"), (1658, "shorter"), (1600, "longer"), (1654, ""), (1640, "")]
)
def test_a_string_of_another_length_than_computed_is_told(length: float, words: str) -> None:
    answer = told(OWN, string_length=length, string_upper=0.479 * length)
    sentences = points_of(answer, "told")
    assert bool(sentences) is bool(words)
    here = numbers(answer)["string_here"]
    if words:
        assert f"{abs(here - length):.1f} mm {words} than yours" in sentences[0]
    else:
        assert abs(here - length) < 10


def test_a_string_that_was_not_measured_is_not_held_against_it() -> None:
    assert points_of(told(OWN, fulcrum_span=640, upper_fulcrum=330), "told") == ()
    assert points_of(told(OWN, fulcrum_span=640, upper_fulcrum=330, string_length=1645.8), "told") != ()


def test_rows_that_are_not_finished_are_told() -> None:
    rows = [{"draw": 26, "weight": 34}, {"draw": 28}, {"weight": 30}]
    answer = told(OWN, scale_readings=rows)
    sentences = points_of(answer, "told")
    assert len(sentences) == 2
    assert "2" in sentences[0]
    assert "3" in sentences[1]
    assert points_of(told(OWN, scale_readings=rows[:1]), "told") == ()


@pytest.mark.parametrize("name", ["upper_tried_tiller", "lower_tried_tiller"])
def test_a_tried_turn_of_which_one_tiller_is_missing_is_told(name: str) -> None:
    assert points_of(told(OWN | {name: 177}), "told") != ()


def test_each_limb_s_own_numbers_are_listed_and_assumed() -> None:
    """What a pair of limbs may differ by stands in the table, limb by limb, and among the assumptions."""
    answer = told(OWN)
    rows = {row[0]: row for row in table_of(answer, "matters-table").rows}
    for limb in ("Upper", "Lower"):
        row = rows[f"{limb} limb by itself: lean of the limbs at flush"]
        assert row[1:4] == ("as the pair's", "± 0.005 rad", "taken as alike")
        assert f"{limb} limb by itself: taper of the limbs" in rows
        assert f"{limb} limb by itself: fulcrum to bolt axis" in rows
    assert rows["Lean of the limbs at flush"][2] == "± 0.030 rad"
    assert any("taken as a pair" in each for each in points_of(answer, "assumed"))


def test_a_tried_turn_that_no_bow_explains_is_named_and_not_used() -> None:
    """What changed, and what the bow explains; the answer is that without it, to the last digit."""
    tried = OWN | {"upper_tried_tiller": 185, "lower_tried_tiller": 175}
    answer, plain = told(tried), told(OWN)
    (sentence,) = set(points_of(answer, "told")) - set(points_of(plain, "told"))
    assert "is not used" in sentence
    before = numbers(plain)["tiller"]
    assert f"changed tiller by +{10 - before:.1f} mm" in sentence
    least, most = (float(each.replace("−", "-")) for each in re.findall(r"([−+][\d.]+) mm", sentence)[-2:])
    assert least < numbers(plain)["upper_in_tiller"] < most < 10 - before
    assert "unload" not in sentence
    assert numbers(answer) == numbers(plain)
    assert [value.uncertainty for value in answer.all_values()] == [one.uncertainty for one in plain.all_values()]
    for page in ("draw-weight", "plan", "carry-out", "after", "loads"):
        there = answered(tried, page)
        assert any("is not used" in each for each in points_of(there, "told")), page


def test_a_bow_near_unloading_a_limb_is_told_so() -> None:
    """A bow that is held less firmly along the string than across it: short limbs, and fulcrums far from the string."""
    near = OWN | {"brace_height": 215, "limb_length": 460, "limb_depth": 18.2, "upper_fulcrum": 390}
    near |= {"fulcrum_span": 707, "upper_tiller": 207, "lower_tiller": 204, "rise": 5.1, "fulcrum_arm": 75}
    answer = told(near)
    assert numbers(answer)["upper_in_tiller"] < -10
    (sentence,) = points_of(answer, "strong")
    assert "unloading" in sentence


@pytest.mark.parametrize("page", ["tiller", "draw-weight", "plan", "carry-out", "after", "loads"])
def test_a_tried_turn_that_is_not_used_may_be_right_and_every_page_says_what_to_do_then(page: str) -> None:
    """The bow may be near unloading a limb: no page goes on as if nothing had been seen."""
    answer = answered(OWN | {"tried_turns": 0.5, "upper_tried_tiller": 173, "lower_tried_tiller": 181}, page)
    (sentence,) = [each for each in points_of(answer, "told") if "is not used" in each]
    assert "If it is so again, turn nothing farther. Leave the string off and ask a qualified coach" in sentence


def test_tiller_that_moves_too_readily_is_a_stop() -> None:
    """Past 10 mm a turn, twice the usual, the page says so; here short levers do it, no balance is near its edge."""
    strong = told(OWN, rise=6, fulcrum_arm=30)
    assert numbers(strong)["upper_in_tiller"] < -10
    (sentence,) = points_of(strong, "strong")
    assert "ask a qualified coach or a bow technician" in sentence
    assert "unload" not in sentence
    assert f"{-numbers(strong)['upper_in_tiller']:.0f} mm" in sentence
    block = next(block for block in strong.blocks if isinstance(block, Points) and block.name == "strong")
    assert block.kind == "stop"
    usual = told(OWN, rise=6, fulcrum_arm=45)
    assert 7 < numbers(usual)["lower_in_tiller"] < 10
    assert points_of(usual, "strong") == ()


def test_cautions_and_assumptions_are_always_there() -> None:
    for record in (OWN, {"version": 1}, OWN | {"check_limbs": "fault"}, OWN | {"margin": "half"}):
        answer = told(record)
        assert any("no bolt by more than half a turn" in each for each in points_of(answer, "cautions"))
        assert any("Take the string off the bow before" in each for each in points_of(answer, "cautions"))
        assert any("only inside both safe ranges" in each for each in points_of(answer, "assumed"))
        assert any(
            "No number here tests the strength of a limb, a bolt or a riser" in each
            for each in points_of(answer, "assumed")
        )
        assert not re.search(r"\bsafe(?! ranges?\b)", words_of(answer))


# Units


def test_lengths_and_weights_in_the_readers_units() -> None:
    mm = told(DEFAULT, upper_change=-1)
    inches = told(DEFAULT, upper_change=-1, length_unit="in")
    for name in ("tiller", "brace_height", "tiller_change", "brace_then", "string_change", "upper_in_tiller"):
        assert numbers(inches)[name] == pytest.approx(numbers(mm)[name] / INCH, rel=1e-6)
        assert texts(mm)[name].endswith(" mm")
        assert texts(inches)[name].endswith(" in")
    assert table_of(inches, "by-turn").columns[1:] == ("draw weight, lb", "tiller, in", "brace height, in")
    assert "in " in inches.title or inches.title.endswith(" in")
    for unit, size, symbol in (("N", LBF, "N"), ("kgf", LBF / 9.80665, "kgf")):
        other = told(DEFAULT, upper_change=-1, draw_weight={"typed": repr(37.9975 * size), "unit": unit})
        for name in ("weight", "weight_then", "weight_change", "both_in_weight"):
            assert numbers(other)[name] == pytest.approx(numbers(mm)[name] * size, rel=1e-6)
            assert texts(other)[name].endswith(f" {symbol}")
        assert table_of(other, "by-turn").columns[1] == f"draw weight, {symbol}"
        for name in ("tiller", "brace_then"):
            assert numbers(other)[name] == pytest.approx(numbers(mm)[name], rel=1e-6)
    rows = told(OWN, draw_weight=None, scale_readings=[{"draw": 28, "weight": {"typed": "169", "unit": "N"}}])
    assert texts(rows)["weight"] == "169.0 N"


@pytest.mark.parametrize(
    ("station", "words"),
    [("amo", "27.5 in AMO"), ("pivot", "27.5 in to the pivot point"), ("plunger", "27.5 in to the plunger")],
)
def test_the_draw_length_is_named_with_its_place(station: str, words: str) -> None:
    answer = told(OWN, draw_length=27.5, draw_station=station)
    assert words in answer.verdict
    metric = told(OWN, draw_length={"typed": "700", "unit": "mm"}, draw_station=station)
    assert "700 mm" in metric.verdict


# Pictures


def test_the_bow_is_drawn_with_both_hands() -> None:
    answer = told(OWN, upper_change=-0.5, lower_change=0.25)
    upper, lower = hands_of(answer)
    assert (upper.field, lower.field) == ("upper_change", "lower_change")
    assert (upper.now, lower.now) == (-0.5, 0.25)
    assert (upper.words, lower.words) == ("in by half a turn", "out by a quarter of a turn")
    assert (upper.low, upper.high, upper.step) == (-4, 4, 0.25)
    for shown, words in (("braced", "strung"), ("drawn", "drawn")):
        picture = picture_of(told(OWN, bow_shown=shown), "bow")
        assert words in picture.title
        drawing = Drawn(picture)
        assert faults(drawing, "tiller-bow") == []
        said = " ".join(drawing.words())
        if shown == "braced":
            assert f"brace height {texts(told(OWN))['brace_then'].split()[0]}" in said
        else:
            assert "38.2 lb" in said
            assert "28 in AMO" in said


def test_what_is_shown_of_the_bow_changes_no_number() -> None:
    assert told(OWN, bow_shown="drawn").as_data()["values"] == told(OWN, bow_shown="braced").as_data()["values"]


def test_lines_over_turns_stay_inside_both_windows() -> None:
    answer = told(OWN)
    picture = picture_of(answer, "turns")
    drawing = Drawn(picture)
    assert faults(drawing, "tiller-turns") == []
    assert {"upper alone", "lower alone", "both alike"} <= set(drawing.words())
    # With next to no window left there is nothing to draw a line of.
    narrow = told(OWN, margin=2, upper_touch_turns=4.9, lower_touch_turns=4.9, upper_now_turns=2.4, lower_now_turns=2.4)
    assert "turns" not in {block.picture.name for block in narrow.blocks if isinstance(block, Drawing)}


def test_what_is_quick_comes_first() -> None:
    """All that needs the doubts comes later: a hand on the slider waits for the picture and the readings only."""
    parts = WIDGETS["tiller"].answer(values(OWN)).parts
    quick = [part for part in parts if not isinstance(part, DeferredBlock)]
    assert [part.picture.name for part in quick if isinstance(part, Drawing)] == ["bow"]
    assert [part.name for part in quick if not isinstance(part, Drawing)] == [
        "tell-weight",
        "tell-tiller",
        "tell-brace",
        "now",
        "assumed",
        "sources",
        "next",
        "cautions",
    ]


# What matters


def test_what_matters_most_stands_first_and_every_number_is_listed() -> None:
    answer = told(OWN)
    table = table_of(answer, "matters-table")
    asked = bow_inputs(values(OWN), ASKED)
    # The scale's and the mark's, and two that are computed from all others.
    assert len(table.rows) == len(asked.parameters) + 4
    assert len({row[0] for row in table.rows}) == len(table.rows)
    assert [row[:4] for row in table.rows[-2:]] == [
        ("What does not go in proportion", "", "", "computed"),
        ("What does not go in proportion, of brace height", "", "", "computed"),
    ]
    tiller = [abs(read(row[5])) for row in table.rows[:-2]]
    assert tiller == sorted(tiller, reverse=True)
    drawing = Drawn(picture_of(answer, "matters"))
    assert faults(drawing, "tiller-matters") == []
    first = " ".join(drawing.words())
    for row in table.rows[:3]:
        assert row[0].split(",")[0] in first
    caption = next(
        block.caption for block in answer.blocks if isinstance(block, Drawing) and block.picture.name == "matters"
    )
    example = next(row[0] for row in table.rows if row[3] == "the example's")
    assert caption.endswith(f"Measure this next: {example[0].lower()}{example[1:]}.")


def test_with_all_measured_the_next_is_a_turn_to_try() -> None:
    answer = told(DEFAULT | {"string_diameter": 2.5})
    known = {row[3] for row in table_of(answer, "matters-table").rows}
    assert known == {"measured", "our default", "taken as alike", "computed"}
    caption = next(
        block.caption for block in answer.blocks if isinstance(block, Drawing) and block.picture.name == "matters"
    )
    assert "a test turn" in caption


def test_surer_readings_are_surer_answers() -> None:
    rough, fine = told(OWN, tape_step=3, scale_step=2), told(OWN, tape_step=0.3, scale_step=0.1)
    uncertainty_of = [{value.name: value.uncertainty for value in each.all_values()} for each in (rough, fine)]
    for name in ("weight_then", "tiller_then", "brace_then"):
        one, other = uncertainty_of[0][name], uncertainty_of[1][name]
        assert one is not None
        assert other is not None
        assert other < 0.7 * one
    assert numbers(rough)["tiller_change"] == numbers(fine)["tiller_change"]


# Refusals


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"brace_height": "high"}, "brace_height"),
        ({"brace_height": 500}, "brace_height"),
        ({"upper_change": 9}, "upper_change"),
        ({"upper_tiller": 320, "lower_tiller": 80}, "brace_height"),
        ({"upper_fulcrum": 500, "fulcrum_span": 500}, "upper_fulcrum"),
        ({"string_upper": 400}, "string_upper"),
        ({"rise": 1}, "rise"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(change: dict[str, Any], field: str) -> None:
    sentences = refused(OWN | change, "tiller")
    assert set(sentences) == {field}
    assert sentences[field].endswith(".")


def test_what_another_page_asks_for_refuses_nothing_here() -> None:
    answer = told(OWN, strip_thickness="thick", thread_diameter="x", tip_travel="far")
    assert answer.state is State.OPEN
    assert "Thickness of the strip" in answer.verdict
    assert {"tiller", "brace_height", "weight"} <= names(answer)


def outcome_of(given: Values) -> Answer | Refusal:
    try:
        return WIDGETS["tiller"].answer(given)
    except Refusal as refusal:
        return refusal


@pytest.mark.long
def test_drawn_records_are_answered_with_numbers_or_refused_with_sentences() -> None:
    """Records from the schema's own limits; where anything is foretold, both bolts would stand inside."""
    answers = told_of = 0
    for record in some(28, start=5000):
        given = Values(from_data(record).record)
        outcome = outcome_of(given)
        if isinstance(outcome, Refusal):
            assert all(one.sentence.endswith(".") and one.name in ASKED for one in outcome.problems)
            continue
        answers += 1
        for value in outcome.all_values():
            assert value.value is None or math.isfinite(value.value)
            assert value.uncertainty is None or (math.isfinite(value.uncertainty) and value.uncertainty >= 0)
            assert not re.search(r"\bnan\b|\binf\b", value.text)
        if set(THEN) & names(outcome):
            told_of += 1
            bow = bow_inputs(given, ASKED)
            assert bow.outside(bow.at((given.number("upper_change"), given.number("lower_change")))) == ()
    assert answers > 5
    assert told_of > 0
