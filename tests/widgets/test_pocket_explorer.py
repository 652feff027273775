"""The explorer is measured: pictures, charts, table, values and sentence say the same, and it is what the bow does.

Outside sources: sources.md F (C: turned polygon and bisection at 40 digits); a rigid limb turned in mpmath (C); an inch
of 25.4 mm (NIST SP 811, S).
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from figures.reading import Drawing, Frame
from helpers.asking import (
    COMPLETE,
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
)
from helpers.second_window import DEFAULTS, shape_of, strip_inside, strip_outside
from quarterturn.bench.counting import ReadingResolution, pitch_of
from quarterturn.bench.shape import shape_of as pocket_shape
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import Pocket
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Points, State, Way
from quarterturn.widgets.answer import Drawing as Drawn

NEAR = 0.01  # mm and turns
F = {"rise": 4.2333333, "rise_turns": 4, "tip_travel": 44.4, "tip_length": 555, "head_diameter": 19}
"""The bolt, head and fitting of sources.md F: 3/8-24, R 9.5, φs = 44.4/555 = 0.08."""
OFF = F | {"limb_depth": 12, "upper_rim_to_butt": 17.2, "tip_travel": 66.6}

# record, turns, what bears, φ rad, xc mm, coverage mm, u_touch, u_τ outside
STATES: dict[str, tuple[dict[str, Any], float, str, float, float | None, float, float | None, float | None]] = {
    "rim": (F, -1, "rim only", -0.0203875942, 8.014986, 7.149166, 5.0349904, 0.422997),
    "butt": (F, 1, "butt end on the head", 0.0158116042, -6.865137, 6.865137, 5.0349904, 0.422997),
    "none": (F, 6, "nothing: the fitting", 0.08, -6.146397, 6.146397, 5.0349904, 0.422997),
    "butt over rim": (
        F | {"upper_rim_to_butt": 0.7}, 0.2, "head's edge on the back",
        0.00311147985, -8.014986, 8.774775, 5.1709083, 0.4010594,
    ),
    "flush": (
        F | {"limb_depth": 10, "upper_rim_to_butt": 9.2}, 0, "flush", 0, 2.961434, 0.3, 4.5230297, 0.695064,
    ),
    "off the head": (OFF, 1.5, "nothing: butt off the head", 0.12, None, -9.512655, None, None),
}  # fmt: skip
each_state = pytest.mark.parametrize("name", STATES)


def told(record: dict[str, Any], **more: Any) -> Answer:
    return answered(record | more, "pocket")


def at(name: str, **more: Any) -> Answer:
    record, turns = STATES[name][:2]
    return told(record, turns_shown=turns, **more)


def pocket_in(record: dict[str, Any], limb: str = "upper") -> Pocket:
    """The pocket of a record, for the mechanics."""
    checked = values(record)
    pitch = pitch_of(
        checked.number("rise"), checked.number("rise_turns"), ReadingResolution(0.125, 0.05, 1e-4), measured=True
    )
    return pocket_shape(limb, checked, pitch).pocket


def mm(length: float | None) -> float:
    assert length is not None
    return 1000 * length


def off_flush(turns: float) -> str:
    """A place as the headline has it: in quarters of a turn, or to a tenth."""
    if not turns:
        return "At flush: "
    size, word = abs(turns), "turn" if abs(turns) <= 1 else "turns"
    whole, part = divmod(size, 1)
    quarter = {0.0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}.get(part)
    count = f"{size:.1f}" if quarter is None else f"{whole:.0f}" * (whole > 0) + quarter
    return f"{count} {word} {'out' if turns > 0 else 'past flush'}: "


def tenth(length: float) -> str:
    """A gap as a sentence has it, mm."""
    return f"{length:.1f} mm" if length >= 0.05 else "less than 0.1 mm"


def is_round(answer: Answer) -> bool:
    """Whether headline and sentence have neither a doubt nor hundredths of a turn."""
    return not re.search(r"±|\d\.\d\d+ turn", f"{answer.title} {answer.verdict}")


# The numbers


@each_state
def test_the_values_are_those_of_the_checks(name: str) -> None:
    """sources.md F, line by line (C)."""
    _, turns, _, angle, place, coverage, touch, outside = STATES[name]
    found, said = numbers(at(name)), texts(at(name))
    assert found["turns"] == turns
    assert math.radians(found["rock_angle"]) == pytest.approx(angle, abs=1e-8)
    assert found["coverage"] == pytest.approx(coverage, abs=1e-5)
    assert found["head_height"] == pytest.approx(turns * 1.0583333, abs=1e-6)
    for key, wanted in (("contact_x", place), ("first_touch", touch), ("flush_outside", outside)):
        if wanted is None:
            assert key not in found
            assert re.match("none|the butt leaves|too thick", said[key])
        else:
            assert found[key] == pytest.approx(wanted, abs=2e-6)


@each_state
def test_the_title_names_the_state(name: str) -> None:
    words = {
        "rim": "only the rim touches",
        "butt": "butt end touches",
        "none": "touches nothing",
        "butt over rim": "head's edge touches",
        "flush": "is flat on the head",
        "off the head": "off the head",
    }
    assert words[name] in at(name).title
    assert at(name).speak.startswith(at(name).title)


def test_gaps_and_places_by_a_second_computation() -> None:
    """A rigid limb turned in mpmath, mm (C): the default pocket, out and in."""
    case = DEFAULTS | {"rise": 4.2333333}
    shape = shape_of(case)
    for turns in (0.3, 1, 3.5, -0.2, -1.2):
        found = numbers(told(F, turns_shown=turns))
        angle = math.radians(abs(found["rock_angle"]))
        head, gap = shape.outside(angle) if turns > 0 else shape.inside(angle)
        assert float(head) == pytest.approx(found["head_height"], abs=1e-6)
        assert float(gap) == pytest.approx(found["gap_rim" if turns > 0 else "gap_butt"], abs=1e-6)
        assert found["gap_butt" if turns > 0 else "gap_rim"] == pytest.approx(0, abs=1e-9)
    found = numbers(told(F))
    assert found["flush_outside"] == pytest.approx(float(strip_outside(case)), abs=1e-6)
    assert found["flush_inside"] == pytest.approx(float(strip_inside(case)), abs=1e-6)
    assert found["touch_outside"] == pytest.approx(0.1 / 1.0583333, abs=1e-6)


def test_first_touch_is_the_count_less_what_the_strip_hides() -> None:
    found = numbers(told({"upper_touch_turns": 5.25, "rise": 4.2333333}))
    assert found["first_touch"] == pytest.approx(5.25 - 0.1 / 1.0583333, abs=1e-6)
    foretold = numbers(told(F | {"upper_touch_turns": 4.6}))
    assert foretold["touch_foretold"] == pytest.approx(5.0349904, abs=1e-5)  # sources.md F (C), by the tip's travel
    assert foretold["first_touch"] == pytest.approx(4.6 - 0.1 / 1.0583333, abs=1e-6)


# The pictures


@each_state
def test_the_side_view_is_measured(name: str) -> None:
    record, turns = STATES[name][:2]
    place = STATES[name][4]
    drawing = Drawing(picture_of(at(name), "side"))
    shape, found = pocket_in(record), numbers(at(name))
    head = 1.0583333 * turns
    for key in ("pocket-side", "pocket-side-large"):
        frame = Frame(drawing, "pocket-side-main" if key == "pocket-side" else key)
        x1, y1, x2, y2 = drawing.line(f"{key}-head-underside")
        assert frame.mm(x1, y1)[1] == pytest.approx(head, abs=NEAR)
        assert frame.mm(x2, y2)[1] == pytest.approx(head, abs=NEAR)
        if name in ("none", "off the head"):
            assert f"{key}-contact" not in drawing.by_id
        elif name == "flush":
            x1, y1, x2, y2 = drawing.line(f"{key}-contact")
            assert frame.mm(x1, y1) == pytest.approx((-0.3, 0), abs=NEAR)
            assert frame.mm(x2, y2) == pytest.approx((8.014986, 0), abs=NEAR)
        else:
            assert frame.mm(*drawing.numbers(f"{key}-contact", "cx", "cy")) == pytest.approx((place, head), abs=NEAR)
        for side, gap in (("rim", feeler.gap_at_rim(shape, turns)), ("butt", feeler.gap_at_butt(shape, turns))):
            if gap is None:
                assert f"{key}-gap-{side}" not in drawing.by_id
                assert f"gap_{side}" not in found
                continue
            _, y1, _, y2 = drawing.line(f"{key}-gap-{side}")
            assert (y2 - y1) / frame.scale()[1] == pytest.approx(1000 * gap, abs=NEAR)
            assert found[f"gap_{side}"] == pytest.approx(1000 * gap, abs=1e-9)


def runs(drawing: Drawing, key: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML] (\S+) (\S+)", drawing.by_id[key].attrib["d"])]


@each_state
def test_the_charts_read_back_are_the_mechanics(name: str) -> None:
    record, turns = STATES[name][:2]
    shape = pocket_in(record)
    gaps, rock = (Drawing(picture_of(at(name), each)) for each in ("gaps", "rock"))
    leaves = contacts.butt_leaves_head(shape)
    checked = 0
    for drawing, key, wanted in (
        (gaps, "pocket-gaps-line-0", feeler.gap_at_rim),
        (gaps, "pocket-gaps-line-1", feeler.gap_at_butt),
        (rock, "pocket-rock-line-0", contacts.rock_angle),
    ):
        frame = Frame(drawing, f"{key.rsplit('-', 2)[0]}-plot")
        for point in runs(drawing, key):
            u, value = frame.mm(*point)
            if leaves is not None and abs(u - leaves) < NEAR:
                continue  # the limb falls off the head there: the angle jumps
            exact = wanted(shape, round(u, 6))
            assert exact is not None
            assert value == pytest.approx(math.degrees(exact) if wanted is contacts.rock_angle else mm(exact), abs=NEAR)
            checked += 1
    assert checked >= 40
    for drawing, prefix in ((gaps, "pocket-gaps"), (rock, "pocket-rock")):
        frame = Frame(drawing, f"{prefix}-plot")
        x1, y1, _, _ = drawing.line(f"{prefix}-now")
        assert frame.mm(x1, y1)[0] == pytest.approx(turns, abs=NEAR)
        x1, y1, _, _ = drawing.line(f"{prefix}-mark-0")
        assert frame.mm(x1, y1)[0] == pytest.approx(0, abs=NEAR)
        touch = STATES[name][6]
        assert (f"{prefix}-mark-1" in drawing.by_id) is (touch is not None)
        if touch is not None:
            x1, y1, _, _ = drawing.line(f"{prefix}-mark-1")
            assert frame.mm(x1, y1)[0] == pytest.approx(touch, abs=NEAR)


def test_what_the_strip_cannot_see_is_hatched() -> None:
    for strip in (0.05, 0.1, 0.2):
        case = DEFAULTS | {"rise": 4.2333333, "strip": strip}
        drawing = Drawing(picture_of(told(F, strip_thickness=strip), "gaps"))
        frame = Frame(drawing, "pocket-gaps-plot")
        x, y, width, height = drawing.numbers("pocket-gaps-band-0", "x", "y", "width", "height")
        assert frame.mm(x, y)[0] == pytest.approx(-float(strip_inside(case)), abs=NEAR)
        assert frame.mm(x + width, y)[0] == pytest.approx(float(strip_outside(case)), abs=NEAR)
        x, y, width, height = drawing.numbers("pocket-gaps-band-1", "x", "y", "width", "height")
        assert frame.mm(x, y)[1] == pytest.approx(strip, abs=NEAR)
        assert frame.mm(x, y + height)[1] == pytest.approx(0, abs=NEAR)


# One number, everywhere


@each_state
@pytest.mark.parametrize("side", ["rim", "butt"])
def test_sentence_values_table_and_description_say_the_same(name: str, side: str) -> None:
    """The title and the sentence in round numbers, which are the values rounded."""
    answer = at(name, strip_offered=side)
    said, found, turns = texts(answer), numbers(answer), STATES[name][1]
    described = picture_of(answer, "side").description
    assert is_round(answer)
    assert answer.title.startswith(off_flush(found["turns"]))
    if turns:
        assert said["turns"].split()[0].replace("−", "") in described
    for key, words in (
        ("rim", "Gap between head and limb at the rim on the limb-tip side"),
        ("butt", "Gap at the butt"),
    ):
        written = said[f"gap_{key}"]
        assert (f"{words}: {written}" in described) is (written != "none")
    gap = found.get(f"gap_{side}")
    if gap is None:
        assert "nothing to feel" in answer.verdict
    elif gap > 1e-6:
        assert f"the gap is {tenth(gap)}" in answer.verdict
    if gap is not None and found["strip_goes_in"]:
        assert f"goes in {found['strip_goes_in']:.0f} mm" in answer.verdict
    if name in ("rim", "butt", "butt over rim"):
        assert f"along one line, {abs(found['contact_x']):.0f} mm from the bolt's axis" in answer.verdict
    row = next((row for row in table_of(answer, "behind").rows if abs(read(row[0]) - turns) < 1e-9), None)
    if row is None:
        return  # the table has every half turn
    assert row[1] == STATES[name][2]
    assert read(row[2]) == pytest.approx(read(said["rock_angle"]), abs=1e-9)
    for cell, key in ((row[3], "gap_rim"), (row[4], "gap_butt")):
        assert (cell == "none") is (said[key] == "none")
        if cell != "none":
            assert read(cell) == pytest.approx(numbers(answer)[key], abs=5.001e-4)


@each_state
def test_the_table_behind_the_charts_is_the_mechanics(name: str) -> None:
    shape = pocket_in(STATES[name][0])
    rows = table_of(at(name), "behind").rows
    assert len(rows) >= 9
    for row in rows:
        touch = contacts.first_touch(shape)
        turns = touch if touch is not None and row[0] == f"{touch:.2f}" else read(row[0])
        for cell, gap in ((row[3], feeler.gap_at_rim(shape, turns)), (row[4], feeler.gap_at_butt(shape, turns))):
            assert (cell == "none") is (gap is None)
            if gap is not None:
                assert read(cell) == pytest.approx(1000 * gap, abs=5.001e-4)
        assert read(row[2]) == pytest.approx(math.degrees(contacts.rock_angle(shape, turns)), abs=5.001e-3)


# The strip


@pytest.mark.parametrize("side", ["rim", "butt"])
@pytest.mark.parametrize("pushed", [0, 3, 12, 40])
def test_a_strip_goes_in_as_far_as_it_is_pushed_and_fits(side: str, pushed: float) -> None:
    """Where the gap is as wide as the strip, by the closing wedge: (gap − τ)/tan φ from the open end, mm."""
    for turns in (-2, -1, -0.2, 0, 0.2, 0.6, 2, 4, 6):
        answer = told(F, turns_shown=turns, strip_offered=side, strip_pushed=pushed)
        found = numbers(answer)
        gap, goes_in = found[f"gap_{side}"], found["strip_goes_in"]
        assert goes_in <= pushed + 1e-9
        if gap <= 0.1:
            assert goes_in == 0
            assert "does not go in" in answer.verdict
            continue
        angle = math.radians(found["rock_angle"])
        closing = math.tan(angle) if side == "rim" else -math.tan(angle)
        through = 8.014986 + min(8.014986, found["coverage"])
        reach = through if closing <= 0 else min(through, (gap - 0.1) / closing)
        assert goes_in == pytest.approx(min(pushed, reach), abs=1e-4)
        assert ("could go on" in answer.verdict) is (pushed < reach)


def test_out_of_reach_a_strip_at_the_butt_goes_right_through() -> None:
    assert numbers(told(F, turns_shown=6, strip_offered="butt", strip_pushed=40))["strip_goes_in"] == pytest.approx(
        8.014986 + 6.146397, abs=1e-4
    )


STRIPS = {"mine": 0.1, "thin": 0.03, "shim": 0.05, "card": 0.25}


@pytest.mark.parametrize("option", STRIPS)
def test_every_strip_that_can_be_chosen(option: str) -> None:
    case = DEFAULTS | {"rise": 4.2333333, "strip": STRIPS[option]}
    answer = told(F, strip_shown=option)
    found = numbers(answer)
    assert found["flush_outside"] == pytest.approx(float(strip_outside(case)), abs=1e-6)
    assert found["flush_inside"] == pytest.approx(float(strip_inside(case)), abs=1e-6)
    assert found["touch_outside"] == pytest.approx(STRIPS[option] / 1.0583333, abs=1e-6)
    assert f"a strip of {STRIPS[option]:.2f} mm" in answer.verdict
    field = BY_NAME["strip_shown"]
    assert {each.value for each in getattr(field, "options")} == set(STRIPS)  # noqa: B009 - of a choice


def test_mine_is_the_one_that_was_entered() -> None:
    record = F | {"strip_thickness": 0.07}
    assert "a strip of 0.07 mm" in told(record).verdict
    assert "a strip of 0.25 mm" in told(record, strip_shown="card").verdict


def test_farther_in_or_out_is_said_where_the_finger_would_say_closed() -> None:
    assert "Flush is still 0.3 turn farther in" in told(F, turns_shown=0.3).verdict
    assert "Flush is still 0.2 turn farther out" in told(F, turns_shown=-0.2, strip_offered="butt").verdict
    assert "Flush is still a quarter of a turn farther in" in told(F, turns_shown=0.25).verdict
    near = told(F, turns_shown=5.085, strip_offered="butt")
    assert f"First touch is still {5.085 - numbers(near)['first_touch']:.1f} turn farther in" in near.verdict
    assert "still" not in told(F, turns_shown=0.5).verdict


@pytest.mark.parametrize(("turns", "side"), [(0.02, "rim"), (-0.02, "butt"), (5.06, "butt")])
def test_next_to_flush_is_not_no_turn(turns: float, side: str) -> None:
    answer = told(F, turns_shown=turns, strip_offered=side)
    assert "0.0 turn" not in answer.title + answer.verdict


# Whose pocket it is


def test_each_limb_has_its_own_readings() -> None:
    record = changed(COMPLETE, rise=4.2333333, upper_rim_to_butt=2.5, lower_rim_to_butt=4.0)
    upper, lower = (numbers(told(record, limb_shown=limb)) for limb in ("upper", "lower"))
    assert (upper["cover_at_flush"], lower["cover_at_flush"]) == pytest.approx((7.0, 5.5))
    lag = 0.1 / 1.0583333
    assert (upper["first_touch"], lower["first_touch"]) == pytest.approx((5.25 - lag, 5.0 - lag), abs=1e-6)
    assert picture_of(told(record, limb_shown="lower"), "side").title.startswith("The lower limb")
    before = told(record).as_data()
    assert told(record | {"lower_rim_to_butt": 3, "lower_touch_turns": 7}).as_data() == before


def test_an_example_until_head_butt_and_touch_are_the_reader_s() -> None:
    mine = {"head_diameter": 19, "upper_rim_to_butt": 2.5, "upper_touch_turns": 5.25}
    assert told(mine).state is State.EXPLAIN
    for name in mine:
        part = told(changed(mine, **{name: None}))
        assert part.state is State.EXAMPLE
        assert "This is an example until" in part.verdict
    assert told(mine, limb_shown="lower").state is State.EXAMPLE


@pytest.mark.parametrize("family", ["swivel", "pivot"])
def test_another_bolt_is_told_that_this_is_not_it(family: str) -> None:
    answer = told({"bolt_family": family})
    assert "flat head, and your bow has another bolt" in points_of(answer, "other-bolt")[0]
    assert any(isinstance(block, Points) and block.title == "Not your bolt" for block in answer.blocks)
    assert answer.state is State.EXAMPLE
    for mine in ({}, {"bolt_family": "flat"}, {"bolt_family": "stop"}):
        assert points_of(told(mine), "other-bolt") == ()


FIGURES = ["side", "small", "turning", "gaps", "rock", "shim-nearer", "shim-behind", "matters"]


@pytest.mark.parametrize(("entry", "state"), [("fault", State.STOP), ("unsure", State.ASK)])
def test_what_the_inspection_found_comes_first_and_the_figures_are_still_there(entry: str, state: State) -> None:
    answer, before = told(COMPLETE | {"slot_root": entry}), told(COMPLETE)
    assert answer.state is state
    assert answer.badge == ""
    first, out, second = answer.blocks[:3]
    assert (first, second) == (found_block(answer, "findings"), found_block(answer, "shown"))
    assert isinstance(out, Way)
    assert "the slot" in answer.verdict
    assert "turn" not in answer.title
    shown = found_block(answer, "shown")
    assert (shown.title, shown.points) == (before.title, (before.verdict,))
    assert [block.picture.name for block in answer.blocks if isinstance(block, Drawn)] == FIGURES
    assert answer.all_values() == before.all_values()


def test_what_is_open_is_said_beside_it() -> None:
    answer, before = told(COMPLETE | {"inspection_source": "other"}), told(COMPLETE)
    assert (answer.state, answer.title, answer.verdict) == (State.EXPLAIN, before.title, before.verdict)
    assert answer.blocks[0] == found_block(answer, "also")
    assert found_block(answer, "also").kind == "caution"
    assert isinstance(answer.blocks[1], Way)  # the page that settles it
    assert answer.blocks[2:-1] == before.blocks[:-2]


def found_block(answer: Answer, name: str) -> Points:
    return next(block for block in answer.blocks if isinstance(block, Points) and block.name == name)


# Units, and what cannot be


def test_inches_and_millimetres_are_alike() -> None:
    lengths = {"head_diameter": 19, "upper_rim_to_butt": 2.5, "slot_width": 10.2, "fulcrum_arm": 62}
    lengths |= {"limb_depth": 8.5, "strip_thickness": 0.12, "tip_travel": 44, "tip_length": 560, "rise": 4.2}
    lengths |= {"strip_pushed": 7}
    inches = {name: {"typed": f"{length / 25.4:.9f}", "unit": "in"} for name, length in lengths.items()}
    one, other = numbers(told(lengths)), numbers(told(inches, length_unit="mm"))
    assert one == pytest.approx(other, abs=1e-6)
    shown = told(lengths, length_unit="in")
    for value in shown.all_values():
        if value.unit == "in":
            assert value.value is not None
            assert 25.4 * value.value == pytest.approx(one[value.name], abs=1e-9)
            assert value.text.endswith(" in")
        elif value.value is not None:
            assert value.value == pytest.approx(one[value.name], abs=1e-9)
    assert f"the gap is {numbers(shown)['gap_rim']:.3f} in" in shown.verdict


BAD: list[tuple[dict[str, Any], str, str]] = [
    ({"turns_shown": "abc"}, "turns_shown", "is not a number"),
    ({"turns_shown": 99}, "turns_shown", "3 to 15 turns"),
    ({"turns_shown": -4}, "turns_shown", "3 to 15 turns"),
    ({"strip_pushed": -1}, "strip_pushed", "0 to 40 mm"),
    ({"slot_width": 25}, "slot_width", "narrower than the bolt's head"),
    ({"slot_width": 19}, "slot_width", "narrower than the bolt's head"),
    ({"upper_rim_to_butt": 18}, "upper_rim_to_butt", "does not reach"),
    ({"upper_touch_turns": 0.05}, "upper_touch_turns", "outside flush"),
    ({"lower_touch_turns": 0, "limb_shown": "lower"}, "lower_touch_turns", "outside flush"),
    ({"upper_touch_turns": 15, "fulcrum_arm": 25, "limb_depth": 25, "upper_rim_to_butt": 9}, "upper_touch_turns",
     "must be fewer"),
    ({"rise": 1}, "rise", "Measure the rise"),
    ({"head_diameter": 40, "fulcrum_arm": 25, "upper_rim_to_butt": 40}, "upper_rim_to_butt", "0 to 20 mm"),
    ({"fulcrum_arm": 25, "limb_depth": 25, "head_diameter": 38, "slot_width": 3, "turns_shown": -3}, "turns_shown",
     "no farther than"),
]  # fmt: skip


@pytest.mark.parametrize(("record", "field", "words"), BAD)
def test_bad_input_gets_one_clear_sentence_at_its_field(record: dict[str, Any], field: str, words: str) -> None:
    problems = refused(record, "pocket")
    assert list(problems) == [field]
    sentence = problems[field]
    assert words in sentence
    assert sentence.endswith(".")
    label = BY_NAME[field].label.split(":")[-1].strip().lower()
    assert (label if field != "rise" else "pitch") in sentence.lower()
    assert field in WIDGETS["pocket"].fields()


def test_the_other_limb_s_entries_refuse_nothing() -> None:
    assert told({"lower_touch_turns": 0.01, "lower_rim_to_butt": 18}).state is State.EXAMPLE
