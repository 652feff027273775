"""What paper can and cannot tell: values, tables and charts against a second computation (C; mpmath, 30 digits).

The doubts are put together by hand as the GUM does (JCGM 100:2008, 4.3.7 and 5.1.2; S2); an inch is 25.4 mm (NIST SP
811, S).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest

from figures.reading import Drawing, Frame
from helpers.asking import COMPLETE, answered, changed, numbers, picture_of, read, refused, table_of, texts
from helpers.second_window import DEFAULTS, Case, strip_inside, strip_outside
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Points, State, Way
from quarterturn.widgets.answer import Drawing as Drawn

pytestmark = pytest.mark.long

NEAR = 0.01
RISE = {"rise": 4.2333333}
CASE = DEFAULTS | {"rise": 4.2333333}
PITCH = 4.2333333 / 4
OTHER = RISE | {"strip_thickness": 0.07, "head_diameter": 22, "fulcrum_arm": 45, "limb_depth": 6, "slot_width": 9}
OTHER_CASE = CASE | {"strip": 0.07, "head": 22, "arm": 45, "depth": 6, "slot": 9}
BOTH = [(RISE, CASE), (OTHER, OTHER_CASE)]
both = pytest.mark.parametrize(("record", "case"), BOTH, ids=["default", "another"])


def told(record: dict[str, Any], **more: Any) -> Answer:
    return answered(record | more, "paper")


@both
def test_the_values_by_a_second_computation(record: dict[str, Any], case: Case) -> None:
    found, said = numbers(told(record)), texts(told(record))
    outside, inside = float(strip_outside(case)), float(strip_inside(case))
    assert found["flush_outside"] == pytest.approx(outside, abs=1e-7)
    assert found["flush_inside"] == pytest.approx(inside, abs=1e-7)
    assert found["flush_both"] == pytest.approx(outside + inside, abs=1e-7)
    assert found["touch_outside"] == pytest.approx(case["strip"] / PITCH, abs=1e-7)
    # The strip for a tenth of a turn misses flush by a tenth of a turn.
    assert float(strip_outside(case | {"strip": found["strip_for_wanted"]})) == pytest.approx(0.1, abs=1e-6)
    assert said["flush_both"] == f"{outside + inside:.2f} turn"


def at_most(turns: float) -> str:
    """As a headline has it: in quarters, and no less than it is."""
    whole, part = divmod(math.ceil(4 * turns - 1e-9), 4)
    word = "turn" if 4 * whole + part <= 4 else "turns"
    return f"{whole or ''}{('', '¼', '½', '¾')[part]} {word}"


@pytest.mark.parametrize("strip", [0.03, 0.07, 0.1, 0.15, 0.2])
def test_title_and_sentence_round_the_values_up_to_a_quarter(strip: float) -> None:
    answer = told(RISE, strip_thickness=strip)
    found = numbers(answer)
    assert f"strip of {strip:.2f} mm you feel flush up to {at_most(found['flush_outside'])} early" in answer.title
    assert f"up to {at_most(found['flush_inside'])} late" in answer.verdict
    assert f"first touch up to {at_most(found['touch_outside'])} early." in answer.verdict
    assert not re.search(r"±|\d\.\d\d+ turn", answer.title + answer.verdict)


@pytest.mark.parametrize("wanted", [0.02, 0.25, 1.0])
def test_a_strip_for_what_is_wanted(wanted: float) -> None:
    found = numbers(told(RISE, strip_wanted=wanted))["strip_for_wanted"]
    assert float(strip_outside(CASE | {"strip": found})) == pytest.approx(wanted, abs=1e-6)


@both
def test_the_table_by_thickness(record: dict[str, Any], case: Case) -> None:
    rows = table_of(told(record), "thickness-table").rows
    assert [read(row[0]) for row in rows] == [0.01, *(round(0.02 * place, 2) for place in range(1, 16))]
    for row in rows:
        at = case | {"strip": read(row[0])}
        outside, inside = float(strip_outside(at)), float(strip_inside(at))
        for cell, wanted in zip(row[1:], (outside, inside, outside + inside, at["strip"] / PITCH), strict=True):
            assert read(cell) == pytest.approx(wanted, abs=5.001e-4)


@both
def test_the_table_by_head_and_lever(record: dict[str, Any], case: Case) -> None:
    """The butt keeps its distance from the rim under another head, and its cover on another lever."""
    rows = table_of(told(record), "sizes-table").rows
    for what, key in (("head", "head"), ("lever", "arm")):
        chosen = [row for row in rows if row[0] == what]
        assert len(chosen) >= 7
        for row in chosen:
            at = case | {key: read(row[1])}
            if at["head"] <= at["slot"]:
                assert row[2:] == ("no such pocket", "no such pocket")
                continue
            assert read(row[2]) == pytest.approx(float(strip_outside(at)), abs=5.001e-4)
            assert read(row[3]) == pytest.approx(float(strip_inside(at)), abs=5.001e-4)


@both
@pytest.mark.parametrize(
    ("name", "key", "count"), [("thickness", "strip", 16), ("head", "head", 10), ("lever", "arm", 7)]
)
def test_the_charts_read_back(record: dict[str, Any], case: Case, name: str, key: str, count: int) -> None:
    drawing = Drawing(picture_of(told(record), name))
    frame = Frame(drawing, f"paper-{name}-plot")
    asks = (strip_outside, strip_inside, lambda at: at["strip"] / PITCH)
    for place, ask in enumerate(asks if name == "thickness" else asks[:2]):
        found = re.findall(r"[ML] (\S+) (\S+)", drawing.by_id[f"paper-{name}-line-{place}"].attrib["d"])
        assert len(found) >= count
        for x, y in found:
            size, turns = frame.mm(float(x), float(y))
            assert turns == pytest.approx(float(ask(case | {key: size})), abs=NEAR)
    x, _, _, _ = drawing.line(f"paper-{name}-now")
    assert frame.mm(x, 0)[0] == pytest.approx(case[key], abs=NEAR)


@both
def test_the_doubts_put_together_by_hand(record: dict[str, Any], case: Case) -> None:
    """Counting, play and the strip's ±5 %; heights by caliper, the pitch by two heights more."""
    root = math.sqrt(3)
    counting, play = 0.125 / 2 / root, 0.05 / 2 / root

    def strip_doubt(ask: Callable[[Case], Any]) -> float:
        step = case["strip"] / 200
        more, less = (float(ask(case | {"strip": case["strip"] + sign * step})) for sign in (1, -1))
        return float(abs(more - less) / (2 * step) * 0.05 * case["strip"] / root)

    height = 0.1 / 2 / root * math.sqrt(2)
    doubts = {
        "flush, from outside": math.hypot(counting, play, strip_doubt(strip_outside)),
        "flush, from inside": math.hypot(counting, play, strip_doubt(strip_inside)),
        "first touch": math.hypot(counting, play, 0.05 * case["strip"] / PITCH / root),
        "5 turns by heights": math.hypot(height / PITCH, 5 / PITCH * height / 4, play),
    }
    intervals = (float(strip_outside(case)), float(strip_inside(case)), case["strip"] / PITCH, 0.0)
    rows = table_of(told(record), "budgets").rows
    assert [row[0] for row in rows] == list(doubts)
    for row, doubt, interval in zip(rows, doubts.values(), intervals, strict=True):
        assert read(row[1]) == pytest.approx(interval, abs=5.001e-3)
        assert read(row[2]) == pytest.approx(doubt, abs=5.001e-4)
        assert read(row[3]) == pytest.approx(2 * doubt, abs=5.001e-4)
    *parts, together, expanded = table_of(told(record), "shares").rows
    for column, doubt in enumerate(doubts.values(), start=1):
        total = math.hypot(*(read(row[column]) for row in parts if row[column] != "none"))
        assert total == pytest.approx(doubt, abs=2e-4)
        assert read(together[column]) == pytest.approx(doubt, abs=5.1e-5)
        assert read(expanded[column]) == pytest.approx(2 * doubt, abs=1e-4)
    heights = next(row for row in table_of(told(record), "better").rows if "caliper" in row[0])
    assert read(heights[2]) == pytest.approx(2 * doubts["5 turns by heights"], abs=5.001e-3)


def test_better_ways_are_only_those_that_are_thinner() -> None:
    for strip, offered in ((0.1, (0.05, 0.03)), (0.04, (0.03,)), (0.02, ())):
        rows = table_of(told(RISE, strip_thickness=strip), "better").rows
        thinner = [row for row in rows if row[0].startswith(("a feeler", "cigarette"))]
        assert len(thinner) == len(offered)
        for row, thick in zip(thinner, offered, strict=True):
            assert f"{thick:.2f} mm" in row[0]
            assert read(row[2]) == pytest.approx(float(strip_outside(CASE | {"strip": thick})), abs=5.001e-3)
        assert read(rows[0][2]) == pytest.approx(float(strip_outside(CASE | {"strip": strip})), abs=5.001e-3)
        assert read(rows[2][2]) == pytest.approx(read(rows[0][2]) + read(rows[1][2]), abs=0.0101)
        assert "no" in rows[1][3]  # from inside is not the careful side


def test_a_finer_hand_has_less_doubt_and_the_same_interval() -> None:
    coarse, fine = (table_of(told(RISE, smallest_turn=part), "budgets").rows[0] for part in (0.25, 0.05))
    assert coarse[1] == fine[1]
    assert read(coarse[2]) > read(fine[2])


def test_too_thick_a_strip_is_said_to_tell_nothing() -> None:
    record = COMPLETE | {"strip_thickness": 0.5, "upper_touch_turns": 2.4}
    answer = told(record)
    assert "too thick to feel flush" in answer.title
    assert "Take a thinner strip" in answer.verdict
    assert "flush_outside" not in numbers(answer)
    assert texts(answer)["flush_outside"] == texts(answer)["flush_both"] == "too thick"
    assert "flush, from outside" not in [row[0] for row in table_of(answer, "budgets").rows]
    assert table_of(answer, "better").rows[0][2] == "too thick"


def test_an_example_until_head_and_butt_are_the_reader_s() -> None:
    mine = {"head_diameter": 19, "upper_rim_to_butt": 2.5}
    assert told(mine).state is State.EXPLAIN
    for name in mine:
        assert told(changed(mine, **{name: None})).state is State.EXAMPLE
    assert told(mine, limb_shown="lower").state is State.EXAMPLE
    assert told({}).badge == "Example"


def test_each_limb_has_its_own_butt() -> None:
    record = RISE | {"upper_rim_to_butt": 2.5, "lower_rim_to_butt": 4.5}
    for limb, free in (("upper", 2.5), ("lower", 4.5)):
        found = numbers(told(record, limb_shown=limb))["flush_outside"]
        assert found == pytest.approx(float(strip_outside(CASE | {"rim_to_butt": free})), abs=1e-7)


@pytest.mark.parametrize(("entry", "state"), [("fault", State.STOP), ("unsure", State.ASK)])
def test_what_the_inspection_found_comes_first_and_the_figures_are_still_there(entry: str, state: State) -> None:
    answer, before = told(COMPLETE | {"string_sound": entry}), told(COMPLETE)
    assert answer.state is state
    first, out, second = answer.blocks[:3]
    assert isinstance(first, Points)
    assert isinstance(out, Way)
    assert isinstance(second, Points)
    assert (first.name, second.name, second.title) == ("findings", "shown", before.title)
    assert second.points == (before.verdict,)
    assert answer.all_values() == before.all_values()
    drawn = [block.picture.name for block in answer.blocks if isinstance(block, Drawn)]
    assert drawn == ["thickness", "head", "lever", "matters"]


def test_inches_and_millimetres_are_alike() -> None:
    lengths = {"strip_thickness": 0.12, "head_diameter": 20, "upper_rim_to_butt": 3, "slot_width": 9, "limb_depth": 7}
    lengths |= {"fulcrum_arm": 55, "rise": 4.2, "caliper_step": 0.05}
    inches = {name: {"typed": f"{length / 25.4:.9f}", "unit": "in"} for name, length in lengths.items()}
    assert numbers(told(lengths)) == pytest.approx(numbers(told(inches, length_unit="mm")), abs=1e-6)
    shown = numbers(told(lengths, length_unit="in"))["strip_for_wanted"]
    assert 25.4 * shown == pytest.approx(numbers(told(lengths))["strip_for_wanted"], abs=1e-9)


BAD: list[tuple[dict[str, Any], str, str]] = [
    ({"strip_thickness": "abc"}, "strip_thickness", "is not a number"),
    ({"strip_thickness": 0.6}, "strip_thickness", "0.01 to 0.5 mm"),
    ({"strip_wanted": 2}, "strip_wanted", "0.02 to 1 turn"),
    ({"smallest_turn": "1e309"}, "smallest_turn", "larger than any"),
    ({"slot_width": 25}, "slot_width", "narrower than the bolt's head"),
    ({"upper_rim_to_butt": 18}, "upper_rim_to_butt", "does not reach"),
    ({"rise": 1}, "rise", "Measure the rise"),
]


@pytest.mark.parametrize(("record", "field", "words"), BAD)
def test_bad_input_gets_one_clear_sentence_at_its_field(record: dict[str, Any], field: str, words: str) -> None:
    problems = refused(record, "paper")
    assert list(problems) == [field]
    assert words in problems[field]
    assert problems[field].endswith(".")
    assert field in WIDGETS["paper"].fields()


@pytest.mark.parametrize("touch", [0, 0.05, 15])
def test_a_first_touch_that_cannot_be_is_another_page_s_matter(touch: float) -> None:
    """It is not asked for in this form, so the reader could not put it right here."""
    record = COMPLETE | {"fulcrum_arm": 25, "limb_depth": 25, "upper_rim_to_butt": 9, "upper_touch_turns": touch}
    assert told(record).state is State.EXPLAIN
