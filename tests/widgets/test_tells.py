"""The sentence under a box just filled in: every number in it worked out here once more, by hand or in fractions (C).

How much thread must stay in (one diameter in steel, two in aluminium), that the butt must reach past the middle of the
bolt, and that exchanged limbs give a lower limb farther from the string, are common practice, no source. Threads by
their names: ASME B1.1 (3/8-24: 24 turns to the inch) and ISO 261 (M8×1.25); M.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Any

import pytest

from helpers.asking import COMPLETE, MAKER, STRUNG, Data, answered, changed, lines_of
from helpers.drawn_answers import answers
from quarterturn.record.fields import BOLTS
from quarterturn.widgets.answer import State
from quarterturn.widgets.safe_range.tells import NAMES

FROM_MARK: Data = {"rise": 4.23, "thread_diameter": 9.5, "upper_free_from_mark": 23.5, "lower_free_from_mark": 24}
HEIGHTS: Data = {"upper_height_now": 8, "lower_height_now": 9}
WHOLE: Data = COMPLETE | STRUNG | FROM_MARK | HEIGHTS | {"maker_in": 0, "maker_out": 6, "thread_hand": "right"}
WHOLE |= {"bolt_lock": "detent", "clicks_a_turn": 8, "shims_in": "head", "shim_thickness": 1}
"""Every box that has such a sentence filled in. Nobody's bow."""
NEEDS: dict[str, tuple[str, ...]] = {
    "tell-maker": ("maker_in", "maker_out"),
    "tell-tiller": ("upper_tiller", "lower_tiller"),
    "tell-hand": ("thread_hand",),
    "tell-lock": ("bolt_lock",),
    "tell-clicks": ("bolt_lock", "clicks_a_turn"),
    "tell-shims": ("shims_in",),
    "tell-head": ("head_diameter",),
    "tell-rise": ("rise",),
    "tell-zero": ("flush_way",),
    **{
        f"{bolt}-{name}": tuple(each.replace("*", bolt) for each in needed)
        for bolt in BOLTS
        for name, needed in {
            "tell-mark": ("*_height_now",),
            "tell-thread": ("*_free_from_mark", "thread_diameter", "rise"),
            "tell-now": ("*_now_turns", "*_now_side"),
            "tell-touch": ("*_touch_turns", "*_touch_found"),
            "tell-cover": ("*_rim_to_butt", "head_diameter"),
        }.items()
    },
}
"""What each sentence is about: the readings in it."""


def told(record: Data, name: str) -> str:
    return lines_of(answered(record))[name].text


def written(turns: float) -> str:
    """Turns as a hand counts them: in quarters, or off them to a tenth of a turn."""
    if (4 * turns) % 1:
        return f"{turns:.1f}"
    whole, rest = int(turns), ("", "¼", "½", "¾")[round(4 * (turns % 1))]
    return f"{whole or ''}{rest}" or "0"


# When there is one


def test_every_line_is_declared_and_has_its_readings() -> None:
    assert set(NAMES) == set(NEEDS)
    assert set(NAMES) <= set(lines_of(answered({})))


@pytest.mark.parametrize("name", NAMES)
def test_a_line_is_empty_before_its_box_is(name: str) -> None:
    assert told({}, name) == ""
    assert told(WHOLE, name) != ""
    for reading in NEEDS[name]:
        left = told(changed(WHOLE, **{reading: None}), name)
        # Either of the maker's limits is told by itself; a touch that was counted was found.
        assert (left == "") is (reading not in ("maker_in", "maker_out", "upper_touch_found", "lower_touch_found"))
        if reading in ("maker_in", "maker_out"):
            assert left != told(WHOLE, name)


@pytest.mark.parametrize("name", NAMES)
def test_no_example_is_in_a_line(name: str) -> None:
    """With its own readings alone it says what it says with all of them: nothing is the example's."""
    also: tuple[str, ...] = ("thread_diameter",) if name == "tell-rise" else ()  # it names fewer threads then
    if name.endswith(("tell-now", "tell-touch")):
        also = ("bolt_lock", "clicks_a_turn")  # a count is told in clicks too
    if name == "tell-shims":
        also = ("shim_thickness", "rise")
    alone: Data = {"bolt_family": "flat"} | {each: WHOLE[each] for each in (*NEEDS[name], *also)}
    assert told(alone, name) == told(WHOLE, name)


def test_lines_stay_under_a_stop() -> None:
    """What was entered means what it meant."""
    stopped = answered(WHOLE | {"upper_now_turns": 9})
    assert stopped.state is State.STOP
    for name in NAMES:
        if name != "upper-tell-now":
            assert lines_of(stopped)[name].text == told(WHOLE, name)
    assert lines_of(stopped)["upper-tell-now"].text == "It was 9 turns (72 clicks) out from zero."


# What it says


@pytest.mark.parametrize(
    ("entries", "sentence"),
    [
        ({"maker_in": 0, "maker_out": 6}, "The maker allows 0 to 6 turns out."),
        ({"maker_in": 0.5, "maker_out": 5.5}, "The maker allows 0.5 to 5.5 turns out."),
        ({"maker_in": None, "maker_out": 6}, "The maker allows no more than 6 turns out."),
        ({"maker_in": 1, "maker_out": None}, "The maker allows no less than 1 turn out."),
        ({"maker_in": None, "maker_out": 3.25}, "The maker allows no more than 3.25 turns out."),
    ],
)
def test_the_makers_range_is_the_makers(entries: Data, sentence: str) -> None:
    for record in (WHOLE, MAKER):
        assert told(changed(record, **entries), "tell-maker") == f"{sentence} Stay inside that, whatever you feel."


@pytest.mark.parametrize("bolt", BOLTS)
def test_the_way_back_is_the_height_that_was_read(bolt: str) -> None:
    record = {f"{bolt}_height_now": 8.04}
    assert told(record, f"{bolt}-tell-mark") == f"Your way back: the {bolt} head was 8.0 mm high."
    inches = record | {"length_unit": "in"}
    assert f"{8.04 / 25.4:.3f} in" in told(inches, f"{bolt}-tell-mark")


@pytest.mark.parametrize(
    ("upper", "lower", "sentence"),
    [
        (179, 175, "Tiller 4 mm: the upper limb is farther from the string."),
        (175.6, 175, "Tiller 1 mm: the upper limb is farther from the string."),
        (175, 175, "Tiller 0 mm: both limbs are as far from the string."),
        (175.2, 175, "Tiller 0 mm: both limbs are as far from the string."),
        (175, 179, "The lower limb is 4 mm farther from the string: check that the limbs are not swapped."),
    ],
)
def test_tiller_is_upper_less_lower(upper: float, lower: float, sentence: str) -> None:
    """The same under Weigh and measure as here."""
    record = {"upper_tiller": upper, "lower_tiller": lower}
    assert told(record, "tell-tiller") == sentence
    assert lines_of(answered(record, "tiller"))["tell-tiller"].text == sentence


@pytest.mark.parametrize(("head", "half"), [(19, "9.5 mm"), (18.5, "9.2 mm"), (22, "11.0 mm")])
def test_half_of_the_head_is_half(head: float, half: str) -> None:
    """Rounded down: it is the most that rim to butt may be."""
    assert told({"head_diameter": head}, "tell-head").startswith(f"Half of that is {half}.")


THREADS = [
    (9.5, 4.23, 4, None, 23.5),
    (9.5, 4.23, 4, "aluminium", 23.5),
    (9.5, 4.23, 4, "steel", 23.5),
    (8, 5, 4, "steel", 20),
    (8, 5, 4, "unknown", 14.1),
    (6.35, 5.08, 4, "aluminium", 17.875),
    (12, 7, 4, None, 14),
    (9.5, 4.23, 4, None, 18),
    (9.5, 4.23, 4, None, 17),
]


@pytest.mark.parametrize(("diameter", "rise", "over", "metal", "counted"), THREADS)
def test_turns_of_thread_that_must_stay_in(
    diameter: float, rise: float, over: float, metal: str | None, counted: float
) -> None:
    """Diameters wanted × diameter ÷ pitch, rounded up; what is left of the count in quarters, rounded down."""
    record: dict[str, Any] = {"thread_diameter": diameter, "rise": rise, "rise_turns": over}
    record |= {"upper_free_from_mark": counted} | ({"bush_metal": metal} if metal else {})
    diameters = 1 if metal == "steel" else 2
    wanted = diameters * Fraction(str(diameter)) / (Fraction(str(rise)) / over)
    left = math.floor(4 * (Fraction(str(counted)) - wanted)) / 4
    must = f"{math.ceil(wanted)} turns of thread must stay in"
    said = told(record, "upper-tell-thread")
    if left > 0:
        amount = {0.25: "a quarter of a turn", 0.5: "half a turn"}.get(left, f"{written(left)} turn{'s' * (left > 1)}")
        assert said == f"{must}. Go no farther out than {amount} from your mark."
    else:
        assert said.startswith(f"{must}, and from your mark there are")
        assert "Turn it no farther out, and ask the maker." in said


def test_a_bush_shorter_than_that_wants_all_of_it() -> None:
    """12 mm of thread in the riser at 1.0575 mm a turn: 11.35 turns, all of which must hold."""
    assert told(WHOLE | {"bush_length": 12}, "upper-tell-thread").startswith("12 turns of thread must stay in.")


def test_without_a_pitch_that_was_measured_no_turns_of_thread_are_told() -> None:
    """Nine and a half millimetres of a thread of 0.8 mm are 24 turns, and of the example's 18: too few by six."""
    assert told(changed(WHOLE, rise=None), "upper-tell-thread") == ""
    assert told(WHOLE | {"rise": 3.2}, "upper-tell-thread").startswith("24 turns of thread must stay in")


@pytest.mark.parametrize(
    ("rise", "turns", "diameter", "sentence"),
    [
        ({"typed": "1/4", "unit": "in"}, 6, 9.5, "1.06 mm a turn. Nearest thread: 3/8-24."),
        (4.23, 4, 9.5, "1.06 mm a turn. Nearest thread: 3/8-24."),
        (5, 4, 8, "1.25 mm a turn. Nearest thread: M8×1.25."),
        (4.23, 4, None, "1.06 mm a turn. Nearest thread: No. 10-24 or 5/16-24 or 3/8-24."),
    ],
)
def test_the_rise_over_its_turns_is_the_pitch(rise: Any, turns: float, diameter: float | None, sentence: str) -> None:
    """Pitch alone does not tell diameters apart: of 24 turns to the inch there are three (ASME B1.1; M)."""
    record = changed({"rise": rise, "rise_turns": turns}, thread_diameter=diameter)
    assert told(record, "tell-rise") == sentence


@pytest.mark.parametrize(
    ("record", "sentence"),
    [
        ({"flush_way": "outside"}, "This is zero. Paper stops a little early, which is the safe side."),
        ({"flush_way": "both"}, "This is zero. Paper stops a little early, which is the safe side."),
        ({"flush_way": "inside"}, "This is zero, felt late. That is taken off for you."),
        (
            {"bolt_family": "stop", "flush_way": "outside", "upper_first_in": "stop", "lower_first_in": "stop"},
            "The stop is zero.",
        ),
        (
            {"bolt_family": "stop", "flush_way": "outside", "upper_first_in": "stop", "lower_first_in": "flush"},
            "Where flush came first: this is zero. Paper stops a little early, which is the safe side.",
        ),
    ],
)
def test_zero_is_where_it_was_felt(record: Data, sentence: str) -> None:
    """From outside a strip stops before flush, from inside after it (model.md 2)."""
    assert told(record, "tell-zero") == sentence


@pytest.mark.parametrize(
    ("turns", "side", "sentence"),
    [
        (2.5, "out", "It was 2½ turns out from zero."),
        (0, "out", "It was at zero."),
        (0, "in", "It was at zero."),
        (0.5, "in", "It was half a turn in past zero."),
        (0.25, "out", "It was a quarter of a turn out from zero."),
        (1, "in", "It was 1 turn in past zero."),
        (2.43, "out", "It was 2.4 turns out from zero."),
        (5.75, "out", "It was 5¾ turns out from zero."),
    ],
)
@pytest.mark.parametrize("bolt", BOLTS)
def test_where_it_was_is_as_it_was_counted(bolt: str, turns: float, side: str, sentence: str) -> None:
    assert told({f"{bolt}_now_turns": turns, f"{bolt}_now_side": side}, f"{bolt}-tell-now") == sentence


@pytest.mark.parametrize(
    ("strip", "rise", "off"),
    [(0.1, 4.23, "About 0.1"), (0.05, 4.23, "Less than 0.1"), (0.3, 4.23, "About 0.3"), (0.2, 7, "About 0.1")],
)
def test_first_touch_is_felt_early_by_the_strips_thickness(strip: float, rise: float, off: str) -> None:
    """The head rises by a pitch a turn, and the strip stops while the gap is as thin as itself: thickness ÷ pitch."""
    early = Fraction(str(strip)) / (Fraction(str(rise)) / 4)
    assert off == ("Less than 0.1" if early < Fraction("0.05") else f"About {float(early):.1f}")
    said = told({"upper_touch_turns": 5.25, "strip_thickness": strip, "rise": rise}, "upper-tell-touch")
    assert said == f"5¼ turns from zero to first touch. {off} comes off, because paper stops early."


def test_a_touch_that_was_not_reached_is_not_told() -> None:
    assert told(changed(WHOLE, upper_touch_found="no", upper_touch_turns=None), "upper-tell-touch") == ""
    assert told(WHOLE | {"upper_touch_found": "no"}, "upper-tell-touch") == ""


@pytest.mark.parametrize(("head", "rim"), [(19, 2.5), (19, 4.2), (16, 3.4), (24, 1.1), (19, 8.2)])
@pytest.mark.parametrize("bolt", BOLTS)
def test_the_cover_is_half_the_head_less_what_the_butt_is_inside_its_rim(bolt: str, head: float, rim: float) -> None:
    """In whole millimetres, rounded down: what is told is never more than there is."""
    reach = Fraction(str(head)) / 2 - Fraction(str(rim))
    said = told({"head_diameter": head, f"{bolt}_rim_to_butt": rim}, f"{bolt}-tell-cover")
    assert said.startswith(f"The butt reaches {math.floor(reach)} mm past the middle of the bolt: enough.")
    # As levers: the limb turns about its fulcrum, 60 mm from the axis, and the head's flat ends where the slot cuts it
    # (half of 10.2 mm). A gap of 0.1 mm at the rim is that rise, made larger by the way from the butt to the fulcrum
    # and smaller by that from butt to rim; a turn is 4.23 mm / 4 (small angles: to a hundredth).
    rim_reach = math.sqrt((head / 2) ** 2 - 5.1**2)
    cover = min(float(reach), rim_reach)
    early = 0.1 * (60 + float(reach)) / (rim_reach + cover) / (4.23 / 4)
    number = re.search(r"up to ([\d.]+) turn early", said)
    assert number is not None
    assert float(number[1]) in {math.ceil(10 * each * early) / 10 for each in (0.98, 1.02)}


@pytest.mark.parametrize(("rim", "unit", "least"), [(8.6, "mm", "1 mm"), (8.6, "in", "0.04 in")])
def test_next_to_no_cover_is_not_called_enough(rim: float, unit: str, least: str) -> None:
    said = told({"head_diameter": 19, "upper_rim_to_butt": rim, "length_unit": unit}, "upper-tell-cover")
    assert said.startswith(f"The butt reaches less than {least} past the middle of the bolt: measure it again.")
    assert "enough" not in said
    inches = told({"head_diameter": 19, "upper_rim_to_butt": 2.5, "length_unit": "in"}, "upper-tell-cover")
    assert "reaches 0.27 in past" in inches  # 7 mm are 0.2756 inches


def test_every_line_of_every_bow_is_a_sentence_or_two() -> None:
    looked = 0
    for record, answer in answers(first=200):
        for name, line in lines_of(answer).items():
            if not name.endswith("-line"):
                assert line.text == "" or line.text.endswith("."), (record, name)
                assert len(re.findall(r"[.!?](?: |$)", line.text.replace("No. ", "No "))) <= 3
                looked += line.text != ""
    assert looked > 500
