"""From the record to the numbers the bow is made from, where its bolts may go, and what is refused.

Outside sources: 1.75 in between the pivot point and the AMO draw length (AMO standard, S2); inch, pound-force and
kilogram-force (NIST SP 811, S); the windows are the worksheet's own, which stands under its own checks.
"""

from __future__ import annotations

import contextlib
import math
import re
from typing import Any

import pytest

from helpers.asking import COMPLETE, GATE, LOOKED_OVER, MAKER, answered, changed, numbers, values, windows
from helpers.records import some
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs, BowInputsError, bow_inputs
from quarterturn.bench.bow_setup import Setup, as_it_is, fitted_bow, foretold, strung
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets.tiller.form import ASKED

INCH = 0.0254
LBF = 4.4482216152605
KGF = 9.80665
ROWS = [{"draw": 24, "weight": 30}, {"draw": 28, "weight": 38}]


def asked(record: dict[str, Any], **more: Any) -> BowInputs:
    return bow_inputs(values(changed(record, **more)), ASKED)


def refused(record: dict[str, Any], **more: Any) -> tuple[str, str]:
    """Field and sentence of a record that gives no bow."""
    with pytest.raises(BowInputsError) as caught:
        asked(record, **more)
    assert str(caught.value) == caught.value.problem.sentence
    return caught.value.problem.field, caught.value.problem.sentence


# What the bow is made from


def test_every_entry_arrives_in_si() -> None:
    record = COMPLETE | {
        "brace_height": {"typed": "8 3/4", "unit": "in"},
        "upper_tiller": 180.5,
        "lower_tiller": {"typed": "7", "unit": "in"},
        "draw_weight": {"typed": "17.5", "unit": "kgf"},
        "draw_length": {"typed": "700", "unit": "mm"},
        "draw_station": "pivot",
        "string_length": {"typed": "64.75", "unit": "in"},
        "string_upper": 790,
        "upper_fulcrum": {"typed": "12.5", "unit": "in"},
        "fulcrum_span": 612,
        "limb_length": {"typed": "22 1/4", "unit": "in"},
        "limb_depth": 7.5,
        "fulcrum_arm": 62,
        "head_diameter": 18,
        "upper_rim_to_butt": 2,
        "lower_rim_to_butt": 3,
        "rise": 4.2,
        "rise_turns": 4,
        "upper_now_turns": 2.25,
        "lower_now_turns": 1.75,
    }
    setup = asked(record).setup
    assert setup.brace_height == pytest.approx(8.75 * INCH)
    assert (setup.upper_tiller, setup.lower_tiller) == pytest.approx((0.1805, 7 * INCH))
    assert len(setup.weighings) == 1
    assert (setup.weighings[0].draw, setup.weighings[0].force) == pytest.approx((0.7, 17.5 * KGF))
    assert (setup.string_length, setup.string_upper) == pytest.approx((64.75 * INCH, 0.790))
    assert (setup.upper_fulcrum, setup.fulcrum_span) == pytest.approx((12.5 * INCH, 0.612))
    assert (setup.limb_length, setup.limb_depth) == pytest.approx((22.25 * INCH, 0.0075))
    assert setup.now == (2.25, 1.75)
    assert setup.tried is None
    for pocket, rim in zip(setup.pockets, (0.002, 0.003), strict=True):
        assert pocket.fulcrum_arm == pytest.approx(0.062)
        assert pocket.head_radius == pytest.approx(0.009)
        assert pocket.butt_length == pytest.approx(0.062 + 0.009 - rim)  # b = a + c0, c0 = R − rim (model.md 6)
        assert pocket.pitch == pytest.approx(0.0042 / 4)
        assert pocket.limb_depth == pytest.approx(0.0075)
    assert setup.rock((1.0, 2.0)) == (rock_angle(setup.pockets[0], 1.0), rock_angle(setup.pockets[1], 2.0))


def test_the_frame_follows_from_them() -> None:
    """X_F by a straight line from fulcrum to fulcrum (model.md 6 takes the middle); the lower fulcrum is the rest."""
    setup = asked(COMPLETE, brace_height=225, upper_tiller=182, lower_tiller=176, upper_fulcrum=320).setup
    frame = setup.frame
    assert frame.fulcrum_x == pytest.approx(0.225 - 0.176 - (0.182 - 0.176) * 290 / 610, abs=1e-9)
    assert (frame.upper_fulcrum, frame.lower_fulcrum) == pytest.approx((0.320, 0.290))
    assert frame.upper_part == pytest.approx(787.9 / 1645.8)
    assert setup.measured.tiller == pytest.approx(0.006)
    assert setup.measured.brace_height == 0.225


@pytest.mark.parametrize(
    ("station", "offset", "beyond"),
    [("amo", None, 1.75), ("pivot", None, 0), ("plunger", 12.7, 0.5), ("rest", -12.7, -0.5), ("rest", None, 0)],
)
def test_draw_lengths_are_taken_from_the_pivot_point(station: str, offset: float | None, beyond: float) -> None:
    """The reader's own, the one weighing's, and every row of the table alike; 1.75 in by the AMO standard (S2)."""
    record = COMPLETE | {"draw_station": station, "draw_length": 27.5} | ({"station_offset": offset} if offset else {})
    bow = asked(record)
    assert bow.draw == pytest.approx((27.5 - beyond) * INCH)
    assert bow.setup.weighings[0].draw == bow.draw
    rows = asked(record, scale_readings=ROWS)
    assert [one.draw for one in rows.setup.weighings] == pytest.approx([(24 - beyond) * INCH, (28 - beyond) * INCH])
    assert rows.draw == bow.draw


def test_the_rows_of_the_table_win_over_the_one_weight() -> None:
    one, rows = asked(COMPLETE, draw_weight=60), asked(COMPLETE, draw_weight=60, scale_readings=ROWS)
    assert (one.by, rows.by) == ("weight", "readings")
    assert [each.force for each in rows.setup.weighings] == pytest.approx([30 * LBF, 38 * LBF])
    assert rows.fitted.bow.upper.limb.stiffness < 0.7 * one.fitted.bow.upper.limb.stiffness
    # A row that is not finished is not used, and alone leaves the one weight.
    half = [{"draw": 26}, *ROWS]
    assert asked(COMPLETE, scale_readings=half).setup == asked(COMPLETE, scale_readings=ROWS).setup
    assert asked(COMPLETE, scale_readings=[{"weight": 20}]).by == "weight"


@pytest.mark.parametrize(
    ("move", "by", "there"),
    [
        ("upper_in", 1.5, (1.0, 2.0)),
        ("upper_out", 0.5, (3.0, 2.0)),
        ("lower_in", 0.75, (2.5, 1.25)),
        ("lower_out", 2, (2.5, 4.0)),
    ],
)
def test_a_turn_that_was_tried(move: str, by: float, there: tuple[float, float]) -> None:
    """In is fewer turns, one bolt only, from where it stands; without both tillers after it there is none."""
    tillers = {"upper_in": (175, 178), "upper_out": (181, 174), "lower_in": (180, 173), "lower_out": (174, 180)}[move]
    tried = {"tried_move": move, "tried_turns": by, "upper_tried_tiller": tillers[0], "lower_tried_tiller": tillers[1]}
    setup = from_setup(COMPLETE | tried)
    assert setup.tried == there
    assert (setup.upper_tried_tiller, setup.lower_tried_tiller) == pytest.approx((tillers[0] / 1000, tillers[1] / 1000))
    for missing in ("upper_tried_tiller", "lower_tried_tiller"):
        assert from_setup(changed(COMPLETE | tried, **{missing: None})).tried is None


def from_setup(record: dict[str, Any]) -> Setup:
    """The setup, whether there is such a bow or not."""
    kept: list[Setup] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("quarterturn.bench.bow_inputs._check", kept.append)
        with contextlib.suppress(BowInputsError):
            asked(record)
    return kept[0]


def test_where_a_bolt_stands_in_past_zero_or_by_heights() -> None:
    assert asked(COMPLETE, upper_now_side="in", upper_now_turns=0.25).setup.now == (-0.25, 2.0)
    heights = {"rise": 4.24, "lower_height_zero": 6, "lower_height_now": 8.65}
    assert asked(COMPLETE, lower_now_turns=None, **heights).setup.now == pytest.approx((2.5, 2.65 / 1.06))


# What is still missing


def test_what_is_missing_is_named() -> None:
    bow = asked({"version": 1})
    assert bow.missing == ("brace_height", "upper_tiller", "lower_tiller", "draw_weight")
    assert {"upper_touch_turns", "lower_now_turns"} <= set(bow.window_missing)
    read = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175}
    assert asked(COMPLETE | read).missing == ("draw_weight",)
    assert asked(COMPLETE | read, scale_readings=ROWS).missing == ()
    assert asked(COMPLETE | read, draw_weight=38).missing == ()
    assert asked(COMPLETE | read, draw_weight=38).window_missing == ()
    assert asked({"version": 1} | read, draw_weight=38).window_missing != ()


# The windows


def as_shown(record: dict[str, Any], bolt: str) -> tuple[float, float]:
    found = numbers(answered(record))
    return found[f"{bolt}_inner"], found[f"{bolt}_outer"]


@pytest.mark.parametrize(
    "record",
    [
        COMPLETE,
        MAKER,
        COMPLETE | {"flush_way": "both", "upper_bracket": 0.5, "lower_bracket": 0.25, "margin": 0.5},
        COMPLETE | {"maker_out": 4, "smallest_turn": 0.25, "upper_stop_turns": 1},
        COMPLETE | {"fulcrum_arm": 48, "limb_depth": 12, "rise": 5, "strip_thickness": 0.06},
    ],
)
def test_the_windows_are_the_worksheets_own(record: dict[str, Any]) -> None:
    bow = asked(record | LOOKED_OVER)
    assert bow.no_window == ""
    assert bow.windows == windows(record)
    for bolt, window in zip(("upper", "lower"), bow.windows or (), strict=True):
        assert (window.inner.usable, window.outer.usable) == pytest.approx(as_shown(record, bolt), abs=5.1e-3)
        # What the worksheet shows is rounded inward.
        assert as_shown(record, bolt)[0] >= window.inner.usable - 1e-9
        assert as_shown(record, bolt)[1] <= window.outer.usable + 1e-9


def test_outside_at_the_ends() -> None:
    """An end belongs to the window; a bolt that is outside is named, the upper one first."""
    bow = asked(COMPLETE)
    assert bow.windows is not None
    (upper_in, upper_out), (lower_in, lower_out) = ((one.inner.usable, one.outer.usable) for one in bow.windows)
    for turns, outside in (
        ((upper_in, lower_in), ()),
        ((upper_out, lower_out), ()),
        ((upper_in - 1e-6, lower_in), ("upper",)),
        ((upper_out, lower_out + 1e-6), ("lower",)),
        ((upper_out + 1, lower_in - 1), ("upper", "lower")),
    ):
        assert bow.outside(turns) == outside
    assert bow.at((-0.5, 0.25)) == (2.0, 2.25)


def test_a_window_that_vanished_holds_nothing() -> None:
    bow = asked(COMPLETE, margin=2, upper_touch_turns=4)
    assert bow.windows is not None
    assert bow.windows[0].vanished
    assert bow.outside(bow.setup.now)[0] == "upper"
    middle = bow.windows[0].middle
    assert bow.outside((middle, 2.0))[0] == "upper"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"upper_touch_found": "no", "upper_touch_turns": None}, "first touch was not reached"),
        ({"upper_touch_turns": 0.02}, "would be inside flush"),
        ({"lower_touch_turns": "five"}, "Lower bolt"),
        ({"maker_in": 5, "maker_out": 4}, "Maker's outer limit"),
        ({"strip_thickness": 0.45, "upper_touch_turns": 1.5}, "Use a thinner one"),
    ],
)
def test_without_windows_the_bow_stands_and_why_is_said(change: dict[str, Any], words: str) -> None:
    bow = asked(COMPLETE, **change)
    assert bow.windows is None
    assert words in bow.no_window
    assert bow.no_window.endswith(".")
    assert not bow.no_window.endswith("..")
    assert bow.outside((2.0, 2.0)) == ("upper", "lower")
    assert bow.fitted.braced.brace_height == pytest.approx(0.222, abs=1e-6)


# The bow that was found


def test_it_gives_the_readings_back() -> None:
    for record in (COMPLETE, COMPLETE | {"upper_tried_tiller": 176.3, "lower_tried_tiller": 177}):
        bow = asked(record)
        now = as_it_is(bow.setup, bow.draw)
        assert now.braced.brace_height == pytest.approx(bow.setup.brace_height, abs=2e-7)
        assert now.braced.belly_tiller == pytest.approx(0.004, abs=2e-7)
        assert now.drawn.force == pytest.approx(38 * LBF, rel=1e-6)


def test_each_limb_is_as_far_from_the_string_as_was_read() -> None:
    """The string is straight and the pivot point is not midway: X_F by the line from fulcrum to fulcrum (C)."""
    bow = asked(COMPLETE, upper_fulcrum=400, upper_tiller=183, lower_tiller=173)
    braced = as_it_is(bow.setup, bow.draw).braced
    assert braced.upper.distance_to_belly == pytest.approx(0.183, abs=5e-5)
    assert braced.lower.distance_to_belly == pytest.approx(0.173, abs=5e-5)


def test_the_same_question_is_answered_once_and_the_same() -> None:
    bow = asked(COMPLETE)
    again = asked(COMPLETE)
    assert bow.setup == again.setup
    assert fitted_bow(bow.setup) is fitted_bow(again.setup)
    there = bow.at((-0.5, 0.5))
    one = foretold(bow.setup, bow.draw, there)
    assert one is foretold(again.setup, again.draw, there)
    assert strung(bow.setup, there).brace_height == pytest.approx(one.braced.brace_height, abs=1e-9)
    nowhere = foretold(bow.setup, bow.draw, bow.setup.now)
    assert nowhere.drawn.force == pytest.approx(38 * LBF, rel=1e-6)


def test_a_bolt_that_cannot_stand_there_is_refused() -> None:
    setup = asked(COMPLETE, limb_depth=25, fulcrum_arm=25).setup
    with pytest.raises(PocketError):
        foretold(setup, 0.66, (-12.0, 2.0))
    with pytest.raises(FitError):
        foretold(setup, 0.66, (-6.0, 2.0))


# Refusals

REFUSED: dict[str, tuple[dict[str, Any], str, str]] = {
    "brace height below the tillers": ({"brace_height": 120}, "brace_height", "Measure all three again"),
    "fulcrums far behind": ({"brace_height": 320, "upper_tiller": 165, "lower_tiller": 165}, "brace_height", "155 mm"),
    "a tiller of no bow": ({"upper_tiller": 320, "lower_tiller": 80}, "brace_height", "with this tiller"),
    "the other way": ({"upper_tiller": 80, "lower_tiller": 320}, "brace_height", "with this tiller"),
    "limbs too short": ({"limb_length": 300}, "brace_height", "No string and no two limbs"),
    "upper fulcrum beyond the span": (
        {"upper_fulcrum": 500, "fulcrum_span": 480},
        "upper_fulcrum",
        "at least 50 mm less than fulcrum to fulcrum (480 mm)",
    ),
    "upper fulcrum near the span's end": ({"upper_fulcrum": 400, "fulcrum_span": 450}, "upper_fulcrum", "450 mm"),
    "little string above": ({"string_upper": 400}, "string_upper", "24.3 %"),
    "nearly all string above": ({"string_upper": 1100, "string_length": 1300}, "string_upper", "84.6 %"),
    "drawn less than strung": (
        {"brace_height": 300, "upper_tiller": 257, "lower_tiller": 253, "draw_length": 15, "station_offset": 80}
        | {"draw_station": "rest"},
        "draw_length",
        "at least that of the strung bow",
    ),
    "drawn too far": (
        {"limb_length": 380, "fulcrum_span": 400, "upper_fulcrum": 205, "string_length": 1090, "string_upper": 530}
        | {"draw_length": 36, "draw_station": "pivot"},
        "draw_length",
        "cannot be drawn to 914 mm",
    ),
    "no such pitch": ({"rise": 1}, "rise", "0.25 mm a turn"),
    "a slot wider than the head": ({"slot_width": 30, "head_diameter": 8}, "slot_width", "slot"),
    "a butt that does not reach": ({"upper_rim_to_butt": 20}, "upper_rim_to_butt", "does not reach"),
    "in past where the rim rocks it": (
        {"limb_depth": 25, "fulcrum_arm": 25, "upper_now_side": "in", "upper_now_turns": 10},
        "upper_now_turns",
        "A bolt cannot be there",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_of_one_bow_is_refused_at_its_field(name: str) -> None:
    change, field, words = REFUSED[name]
    given = values(changed(COMPLETE, **change))
    before = given.record.canonical()
    found, sentence = refused(COMPLETE, **change)
    assert found == field
    assert words in sentence
    assert sentence.endswith(".")
    assert not re.search(r"\.\.|nan|inf\b|  ", sentence)
    assert given.record.canonical() == before  # what was entered stays as it was typed


# A turn that was tried and that the bow does not explain

UNEXPLAINED: dict[str, tuple[dict[str, Any], float]] = {
    "far too much": ({"upper_tried_tiller": 320, "lower_tried_tiller": 80}, 236),
    "the wrong way": ({"upper_tried_tiller": 181, "lower_tried_tiller": 175}, 2),
    "much too much for half a turn": (
        {"upper_tried_tiller": 168, "lower_tried_tiller": 184, "tried_turns": 0.5, "tried_move": "upper_in"},
        -20,
    ),
    "nothing, by a fine tape": ({"upper_tried_tiller": 179, "lower_tried_tiller": 175, "tape_step": 0.1}, 0),
}


@pytest.mark.parametrize("name", UNEXPLAINED)
def test_a_tried_turn_that_the_bow_does_not_explain_is_not_used_and_leaves_the_answer_without_it(name: str) -> None:
    more, change = UNEXPLAINED[name]
    plain = asked(COMPLETE, **{name: value for name, value in more.items() if name == "tape_step"})
    bow = asked(COMPLETE, **more)
    assert bow.setup == plain.setup
    assert bow.fitted is plain.fitted
    assert plain.tried_outlier is None
    assert bow.tried_outlier is not None
    assert bow.tried_outlier.change == pytest.approx(change / 1000, abs=1e-9)
    assert bow.tried_outlier.expected is not None
    least, most = bow.tried_outlier.expected
    assert not least <= bow.tried_outlier.change <= most
    by = more.get("tried_turns", 1)
    there = strung(plain.setup, (plain.here[0] - by, plain.here[1])).belly_tiller - plain.fitted.braced.belly_tiller
    assert least < there < most


def test_a_tried_turn_to_where_no_bolt_can_stand_is_not_used() -> None:
    record = COMPLETE | {"limb_depth": 25, "fulcrum_arm": 25, "rise": 10}
    record |= {"upper_now_side": "in", "upper_now_turns": 0.5}
    tried = {"upper_tried_tiller": 177, "lower_tried_tiller": 177, "tried_move": "upper_in", "tried_turns": 4}
    bow = asked(record | tried)
    assert bow.tried_outlier is not None
    assert bow.tried_outlier.expected is None
    assert bow.setup == asked(record).setup


def test_a_tried_turn_does_not_hide_what_else_is_wrong() -> None:
    tried = {"upper_tried_tiller": 177, "lower_tried_tiller": 177}
    for name in ("a tiller of no bow", "limbs too short", "drawn too far", "in past where the rim rocks it"):
        change, field, words = REFUSED[name]
        found, sentence = refused(COMPLETE | tried, **change)
        assert found == field
        assert words in sentence


def test_a_refusal_tells_its_reason_with_the_field_and_without() -> None:
    """Whoever asks may say the reason elsewhere: at another field, with other words before it."""
    rows = {"scale_readings": [{"draw": 12, "weight": 20}]}
    for record, of_pocket in (
        (COMPLETE | {"brace_height": 270, "upper_tiller": 227, "lower_tiller": 223} | rows, False),
        (COMPLETE | {"rise": 1}, True),
        (COMPLETE | {"upper_rim_to_butt": 20}, True),
    ):
        with pytest.raises(BowInputsError) as caught:
            bow_inputs(values(record))
        error = caught.value
        assert error.of_pocket is of_pocket
        assert error.problem.sentence.endswith(error.reason)
        assert error.reason.endswith(".")
        if not of_pocket:
            assert error.problem.field == "scale_readings"
            assert error.problem.sentence == f"{BY_NAME['scale_readings'].label}: {error.reason}"


def test_a_first_touch_that_cannot_be_is_refused_only_where_it_is_checked() -> None:
    record = COMPLETE | {"upper_touch_turns": 0.01}
    with pytest.raises(BowInputsError) as caught:
        bow_inputs(values(record), ("upper_touch_turns",))
    assert caught.value.problem.field == "upper_touch_turns"
    assert bow_inputs(values(record)).fitted == bow_inputs(values(COMPLETE)).fitted


def test_the_lower_bolt_that_cannot_stand_there_is_named() -> None:
    field, sentence = refused(COMPLETE, limb_depth=25, fulcrum_arm=25, lower_now_side="in", lower_now_turns=10)
    assert field == "lower_now_turns"
    assert sentence.startswith("Lower")


@pytest.mark.parametrize("riser", [(400, 205, 430), (430, 220, 480)])
def test_a_short_bow_needs_no_string_to_be_found(riser: tuple[float, float, float]) -> None:
    """Its length is found from brace height: where it was not entered, the example's is no reading of this bow."""
    span, upper, limb = riser
    short = {"fulcrum_span": span, "upper_fulcrum": upper, "limb_length": limb}
    length = 0.945 * (span + 2 * limb)
    known = asked(COMPLETE | short, string_length=length, string_upper=0.48 * length)
    assert asked(COMPLETE | short).fitted.string == pytest.approx(known.fitted.string, abs=1e-6)


def test_the_string_that_was_measured_decides_no_more_than_its_share_above() -> None:
    """Its length is found from brace height; the search may begin wide of it."""
    one = asked(COMPLETE, string_length=1640, string_upper=787.2)
    for length in (1560, 1700):
        other = asked(COMPLETE, string_length=length, string_upper=0.48 * length)
        assert other.fitted.string == pytest.approx(one.fitted.string, abs=2e-7)
        assert other.fitted.ratio == pytest.approx(one.fitted.ratio, abs=1e-6)
        assert other.fitted.bow.string.upper == pytest.approx(0.48 * one.fitted.string, abs=2e-7)


# Whatever is entered


def outcome_of(record: dict[str, Any]) -> BowInputs | BowInputsError:
    try:
        return bow_inputs(Values(from_data(record).record), ASKED)
    except BowInputsError as error:
        return error


@pytest.mark.long
def test_drawn_records_give_a_bow_or_a_sentence() -> None:
    """Records from the schema's own limits: nothing but the declared refusal, and no number that is none."""
    outcomes = [outcome_of(record) for record in some(120)]
    refusals = [each.problem for each in outcomes if isinstance(each, BowInputsError)]
    bows = [each for each in outcomes if isinstance(each, BowInputs)]
    assert all(problem.sentence.endswith(".") and problem.field in BY_NAME for problem in refusals)
    for bow in bows:
        fitted = bow.fitted
        told = (
            fitted.string,
            fitted.ratio,
            fitted.braced.brace_height,
            fitted.braced.least_stiffness,
            *fitted.off,
            bow.draw,
        )
        assert all(map(math.isfinite, told))
        assert fitted.braced.least_stiffness > 0
        assert fitted.braced.brace_height == pytest.approx(bow.setup.brace_height, abs=1e-6)
        assert (bow.windows is None) == (bow.no_window != "")
    assert min(len(bows), len(refusals)) > 10


def test_the_gate_plays_no_part() -> None:
    """What is shown under a closed gate is the page's business; the bow is the same."""
    open_, closed = asked(COMPLETE), asked(COMPLETE | {name: "fault" for name in GATE if name == "check_limbs"})
    assert open_.setup == closed.setup
    assert open_.windows == closed.windows
