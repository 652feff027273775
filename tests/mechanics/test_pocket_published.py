"""The pocket against the published cases: sources.md F (C: turned polygon at 40 digits) and model.md 1, 2 and 6."""

import math

import pytest

from published.pocket import CASES, DEFAULT, MM, MOMENT, PITCH, Case
from published.pocket import STRIP as PAPER
from published.pocket import shape as pocket
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics import pocket as mechanics
from quarterturn.mechanics.pocket import ContactState, Pocket, PocketError


def agrees(value: float, printed: str) -> bool:
    """Say whether the value is what was printed, half a unit of the last printed digit either way."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5001 * 10.0**-digits


@pytest.mark.parametrize("case", CASES, ids=[case.state.value for case in CASES])
def test_contact_of_the_published_cases(case: Case) -> None:  # sources.md F (C)
    found = contacts.contact(case.pocket, case.turns)
    assert found.state is case.state
    assert agrees(found.rock_angle, case.angle)
    assert agrees(found.coverage / MM, case.coverage)
    assert found.head_height == pytest.approx(PITCH * case.turns, rel=1e-15)
    assert found.turns == case.turns
    if case.contact_x is None:
        assert found.contact_x is None
    else:
        assert found.contact_x is not None
        assert agrees(found.contact_x / MM, case.contact_x)
    assert (found.gap is not None) == (case.state is ContactState.OUT_OF_REACH)


@pytest.mark.parametrize("case", CASES, ids=[case.state.value for case in CASES])
def test_first_touch_and_feeler_of_the_published_cases(case: Case) -> None:  # sources.md F (C)
    touch = contacts.first_touch(case.pocket)
    if case.touch is None or case.seen_outside is None:
        assert touch is None
        with pytest.raises(PocketError) as caught:
            feeler.flush_seen_from_outside(case.pocket, PAPER)
        assert caught.value.parameter == "strip"
        return
    assert touch is not None
    assert agrees(touch, case.touch)
    assert agrees(feeler.flush_seen_from_outside(case.pocket, PAPER), case.seen_outside)


@pytest.mark.parametrize("case", CASES, ids=[case.state.value for case in CASES])
def test_forces_of_the_published_cases_follow_from_the_contact(
    case: Case,
) -> None:  # sources.md F (C), formulas of model.md 3
    found = contacts.contact(case.pocket, case.turns)
    if found.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD) or found.contact_x is None:
        assert case.force == "0"
        return
    a, t, angle, x = case.pocket.fulcrum_arm, case.pocket.limb_depth, found.rock_angle, found.contact_x
    if found.state in (ContactState.BUTT, ContactState.FLUSH):
        force = along_bolt = MOMENT / (a - x)
    else:
        force = MOMENT * math.cos(angle) / (a + t * math.sin(angle) - x)
        along_bolt = force * math.cos(angle)
    assert agrees(force, case.force)
    assert agrees(along_bolt * x, case.bending)


def test_out_of_reach_gap_is_the_turns_beyond_first_touch() -> None:  # model.md 1, sources.md F case 3 (C)
    found = contacts.contact(DEFAULT, 6)
    assert found.gap == pytest.approx((6 - 5.0349904) * PITCH, abs=1e-10)


def test_what_a_sheet_of_paper_resolves() -> None:  # model.md 1, "What a feeler can see"
    assert round(feeler.flush_seen_from_outside(DEFAULT, PAPER), 2) == 0.42
    assert round(feeler.flush_seen_from_inside(DEFAULT, PAPER), 2) == 0.33
    assert round(feeler.touch_seen_from_outside(DEFAULT, PAPER), 2) == 0.09


@pytest.mark.parametrize("butt", [60.3, 67, 68.015, 72])
def test_slopes_at_flush(butt: float) -> None:  # model.md 1: p/(a + min(c0, Re)) outside, p/(a − Re) inside
    shape = pocket(60, 8, butt, 0.08)
    step = 1e-6
    outside = contacts.rock_angle(shape, step) / step
    inside = -contacts.rock_angle(shape, -step) / step
    reach = math.sqrt(9.5**2 - 5.1**2)
    assert outside == pytest.approx(PITCH / MM / (60 + min(butt - 60, reach)), rel=1e-6)
    assert inside == pytest.approx(PITCH / MM / (60 - reach), rel=1e-6)


def test_reader_measures_the_lever_from_the_tip() -> None:  # model.md 6: s = 26.5 mm on 555 mm, lever 66.5 (true 67)
    moved = 555 * contacts.rock_angle(DEFAULT, 3)
    assert moved == pytest.approx(26.5, abs=0.25)  # the printed s is a reading to half a millimetre
    assert 3 * PITCH / MM * 555 / moved == pytest.approx(67, abs=0.5)
    assert DEFAULT.coverage_at_flush / MM == pytest.approx(9.5 - 2.5, abs=1e-12)


def test_coverage_falls_slowly() -> (
    None
):  # model.md 1: well under a millimetre over the usual range (two turns each way)
    kept = [contacts.contact(DEFAULT, turns).coverage for turns in (0, 1, 2, 3, 4)]
    assert kept == sorted(kept, reverse=True)
    assert 0.1 * MM < kept[0] - kept[-1] < 1 * MM


GOOD = {
    "fulcrum_arm": 0.06,
    "limb_depth": 0.008,
    "butt_length": 0.067,
    "head_radius": 0.0095,
    "slot_half_width": 0.0051,
    "pitch": PITCH,
    "fitting_angle": 0.08,
}
BAD = [
    *((name, value) for name in GOOD for value in (math.nan, math.inf, -math.inf, -0.001, 1e308)),
    *((name, 0.0) for name in GOOD if name != "slot_half_width"),
    ("slot_half_width", 0.0095),
    ("slot_half_width", 0.02),
    ("fulcrum_arm", 0.0095),
    ("butt_length", 0.06 - 0.008015),
    ("fitting_angle", math.pi / 2),
]


@pytest.mark.parametrize(("name", "value"), BAD)
def test_dimensions_that_cannot_be_are_refused_by_name(name: str, value: float) -> None:
    with pytest.raises(PocketError) as caught:
        Pocket(**{**GOOD, name: value})
    assert caught.value.parameter == name
    assert str(caught.value).endswith(".")
    assert "must" in str(caught.value)


@pytest.mark.parametrize("turns", [math.nan, math.inf, -math.inf])
def test_turns_that_are_no_number_are_refused(turns: float) -> None:
    for question in (contacts.contact, contacts.rock_angle, feeler.gap_at_rim, feeler.gap_at_butt):
        with pytest.raises(PocketError) as caught:
            question(DEFAULT, turns)
        assert caught.value.parameter == "turns"
    with pytest.raises(PocketError):
        contacts.fitting_angle_for_touch(DEFAULT, turns)


@pytest.mark.parametrize("strip", [math.nan, math.inf, 0.0, -1e-4, 1e308])
def test_strips_that_cannot_be_are_refused(strip: float) -> None:
    for question in (
        feeler.flush_seen_from_outside,
        feeler.flush_seen_from_inside,
        feeler.touch_seen_from_outside,
    ):
        with pytest.raises(PocketError) as caught:
            question(DEFAULT, strip)
        assert caught.value.parameter == "strip"


@pytest.mark.parametrize("turns", [0.0, -1.0, 200.0])
def test_first_touch_that_cannot_be_is_refused(turns: float) -> None:  # model.md 1: u_touch <= 0 is a contradiction
    with pytest.raises(PocketError) as caught:
        contacts.fitting_angle_for_touch(DEFAULT, turns)
    assert caught.value.parameter == "turns"


@pytest.mark.parametrize("turns", [1e9, 1e200, 1e308])
def test_huge_turns_are_answered(turns: float) -> None:
    out = contacts.contact(DEFAULT, turns)
    assert out.state is ContactState.OUT_OF_REACH
    assert out.rock_angle == 0.08
    far_in = contacts.contact(DEFAULT, -turns)
    assert far_in.state is ContactState.OFF_HEAD
    assert far_in.gap is None


def test_rim_that_has_passed_under_the_fulcrum_is_refused() -> None:
    deep = pocket(12, 20, 16, 0.08)  # a − Re = 3.985 mm is less than t: y(Re) has a lowest value
    lowest = math.sqrt(20**2 - (12 - math.sqrt(9.5**2 - 5.1**2)) ** 2) - 20
    edge = lowest * MM / PITCH
    assert contacts.contact(deep, edge * 0.999).state is ContactState.RIM
    with pytest.raises(PocketError) as caught:
        contacts.contact(deep, edge * 1.001)
    assert caught.value.parameter == "turns"
    assert f"farther than {-edge:.6g} turns inside" in str(caught.value)


def test_a_strip_wider_than_the_gap_at_first_touch_stops_beyond_it() -> None:
    tight = pocket(60, 8, 67, 0.002)
    touch = contacts.first_touch(tight)
    stops = feeler.flush_seen_from_outside(tight, PAPER)
    assert touch is not None
    assert stops > touch
    # limb held at 0.002 rad: its back is lower at +Re than at the butt end by their distance times the tangent
    drop = (math.sqrt(9.5**2 - 5.1**2) + mechanics.coverage(tight, 0.002) / MM) * math.tan(0.002)
    assert stops == pytest.approx(touch + (0.1 - drop) * MM / PITCH, rel=1e-12)


def test_rounding_does_not_push_a_count_over_a_threshold() -> None:
    assert contacts.contact(DEFAULT, 0.1 + 0.2 - 0.3).state is ContactState.FLUSH
    for angle in (0.01, 0.03, 0.07, 0.08, 0.11):
        shape = pocket(60, 8, 67, angle)
        touch = contacts.first_touch(shape)
        assert touch is not None
        assert contacts.contact(shape, touch).state is ContactState.BUTT
        assert contacts.contact(shape, touch).rock_angle == pytest.approx(angle, rel=1e-13)


def test_coverage_lost_on_either_side_of_the_axis() -> None:
    lost = contacts.coverage_lost(DEFAULT)
    assert lost is not None
    assert contacts.contact(pocket(60, 8, 67, 1.0), lost).coverage == pytest.approx(0, abs=1e-15)
    assert contacts.coverage_lost(pocket(60, 8, 60, 0.08)) == 0
    short = contacts.coverage_lost(pocket(60, 8, 59.9, 0.08))
    assert short is not None
    assert short < 0
    assert contacts.contact(pocket(60, 8, 59.9, 0.08), short).coverage == pytest.approx(0, abs=1e-15)
    assert contacts.coverage_lost(pocket(60, 8, 52.3, 0.08)) is None


def test_butt_leaves_the_head_or_the_fitting_holds_it() -> None:  # sources.md F case 6 (C): off the head at 1.5 turns
    loose = pocket(60, 12, 52.3, 0.12)
    leaves = contacts.butt_leaves_head(loose)
    assert leaves is not None
    assert 0 < leaves < 1.5
    assert contacts.contact(loose, leaves * 0.9999).state is ContactState.BUTT
    assert contacts.contact(loose, leaves * 1.0001).state is ContactState.OFF_HEAD
    assert feeler.gap_at_rim(loose, 1.5) is None
    assert feeler.gap_at_butt(loose, 1.5) is None
    assert contacts.butt_leaves_head(DEFAULT) is None
