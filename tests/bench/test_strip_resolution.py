"""What a strip can tell, its uncertainties, and what each dimension matters.

Outside sources: SciPy's `brentq` on the gaps and a rigid limb turned in mpmath (C); sources.md F (C); numpy for a
Monte Carlo of the uncertainties with a fixed seed, and for slopes (C).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from helpers.second_window import DEFAULTS, Case, cover_lost, strip_inside, strip_outside
from quarterturn.bench.counting import Pitch, ReadingResolution
from quarterturn.bench.strip_resolution import (
    Dimension,
    DimensionEffect,
    effects,
    flush_budget,
    height_budget,
    strip_for,
    strip_resolution,
    touch_budget,
)
from quarterturn.bench.uncertainty import Budget
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import Pocket, PocketError

PITCH = 25.4 / 24  # mm, 3/8-24
CARE = ReadingResolution(smallest_turn=0.125, play=0.05, caliper_step=0.1e-3)
STRIPS = (0.01, 0.05, 0.1, 0.2, 0.3)


def pocket(a: float, t: float, b: float, R: float, w: float, p: float, phi: float) -> Pocket:
    """A pocket from mm and rad."""
    return Pocket(a / 1000, t / 1000, b / 1000, R / 1000, w / 1000, p / 1000, phi)


DEFAULT = pocket(60, 8, 67, 9.5, 5.1, PITCH, 0.08)
POCKETS = {
    "default": DEFAULT,
    "butt past the rim": pocket(60, 8, 68.8, 9.5, 5.1, PITCH, 0.08),
    "hardly covered": pocket(60, 10, 60.3, 9.5, 5.1, PITCH, 0.08),
    "short and metric": pocket(38, 6, 43, 8, 4, 1.25, 0.15),
    "long": pocket(95, 9, 101, 10, 4.5, 1.0, 0.06),
}
each_pocket = pytest.mark.parametrize("shape", POCKETS.values(), ids=POCKETS.keys())


def case(shape: Pocket, strip: float) -> Case:
    """The same pocket for the second computation, mm."""
    return DEFAULTS | {
        "strip": strip,
        "rise": 4 * 1000 * shape.pitch,
        "head": 2000 * shape.head_radius,
        "slot": 2000 * shape.slot_half_width,
        "arm": 1000 * shape.fulcrum_arm,
        "depth": 1000 * shape.limb_depth,
        "rim_to_butt": 1000 * (shape.head_radius - shape.coverage_at_flush),
    }


def gap(shape: Pocket, turns: float, side: str) -> float:
    """A gap that is there, m."""
    found = feeler.gap_at_rim(shape, turns) if side == "rim" else feeler.gap_at_butt(shape, turns)
    assert found is not None
    return found


def first_touch(shape: Pocket) -> float:
    """First touch where there is one, turns."""
    found = contacts.first_touch(shape)
    assert found is not None
    return found


# What a strip tells


@each_pocket
@pytest.mark.parametrize("strip", STRIPS)
def test_told_is_where_the_gap_is_as_wide_as_the_strip(shape: Pocket, strip: float) -> None:
    """Against SciPy's brentq on the gaps (C), and against a turned rigid limb and bisection in mpmath (C)."""
    thick = strip / 1000
    found = strip_resolution(shape, thick)
    touch = first_touch(shape)
    if found.outside is None:
        assert gap(shape, touch, "rim") < thick
    else:
        wanted = brentq(lambda turns: gap(shape, turns, "rim") - thick, 1e-9, touch, xtol=1e-12)
        assert found.outside == pytest.approx(wanted, abs=1e-8)
        assert found.outside == pytest.approx(float(strip_outside(case(shape, strip))), abs=1e-8)
    assert found.inside is not None
    wanted = brentq(lambda turns: gap(shape, -turns, "butt") - thick, 1e-9, 6, xtol=1e-12)
    assert found.inside == pytest.approx(wanted, abs=1e-8)
    assert found.inside == pytest.approx(float(strip_inside(case(shape, strip))), abs=1e-8)
    wanted = brentq(lambda turns: gap(shape, touch + turns, "butt") - thick, 0, 3, xtol=1e-12)
    assert found.touch == pytest.approx(wanted, abs=1e-8)
    assert found.touch == pytest.approx(strip / 1000 / shape.pitch)
    both = None if found.outside is None else pytest.approx(found.outside + found.inside, abs=1e-12)
    assert found.both == both


def test_one_sheet_in_the_default_bow() -> None:
    """model.md section 1: 0.42 turn outside, from −0.33 turn inside, 0.09 turn at first touch."""
    found = strip_resolution(DEFAULT, 0.1e-3)
    assert (found.outside, found.inside, found.touch, found.both) == pytest.approx((0.42, 0.33, 0.09, 0.75), abs=0.005)


@pytest.mark.parametrize(
    ("shape", "outside"),
    [
        # sources.md F (C)
        (DEFAULT, 0.422997),
        (POCKETS["butt past the rim"], 0.4010594),
        (POCKETS["hardly covered"], 0.695064),
    ],
)
def test_outside_of_the_checks(shape: Pocket, outside: float) -> None:
    assert strip_resolution(shape, 0.1e-3).outside == pytest.approx(outside, abs=1e-6)


def test_too_thick_a_strip_tells_nothing_of_flush_and_still_tells_touch() -> None:
    early = contacts.pocket_from_touch(DEFAULT, 0.4)
    found = strip_resolution(early, 0.1e-3)
    assert found.outside is None
    assert found.both is None
    assert found.inside is not None
    assert found.touch == pytest.approx(0.1 / PITCH)
    # A twentieth of a turn on either side of 0.422997 decides.
    assert strip_resolution(contacts.pocket_from_touch(DEFAULT, 0.45), 0.1e-3).outside == pytest.approx(
        0.422997, abs=1e-6
    )


def test_where_the_strip_is_too_thick_from_inside() -> None:
    """The butt slips off the head before the gap at it opens by half a millimetre."""
    short = pocket(25, 4, 18, 9.5, 5.1, PITCH, 0.3)
    gaps = [feeler.gap_at_butt(short, float(turns)) for turns in np.linspace(-12, 0, 4000)]
    widest = max(opening for opening in gaps if opening is not None)
    for strip in (0.5 * widest, 0.99 * widest, 1.02 * widest, 3 * widest):
        assert (strip_resolution(short, strip).inside is None) is (strip > widest)


def test_no_thickness_is_no_strip() -> None:
    for strip in (0.0, -1e-4, math.nan):
        with pytest.raises(PocketError):
            strip_resolution(DEFAULT, strip)


@each_pocket
@pytest.mark.parametrize("turns", [0.02, 0.1, 0.3, 1.0, 2.0])
def test_a_strip_for_so_many_turns_misses_flush_by_so_many(shape: Pocket, turns: float) -> None:
    strip = strip_for(shape, turns)
    assert strip == pytest.approx(gap(shape, turns, "rim"))
    assert strip_resolution(shape, strip).outside == pytest.approx(turns, abs=1e-9)


def test_a_strip_for_a_place_where_no_limb_is_under_the_head() -> None:
    off = pocket(60, 12, 52.3, 9.5, 5.1, PITCH, 0.12)  # sources.md F, last row
    assert strip_for(off, 1.5) == 0.0


# The uncertainties of one reading


def sizes(found: Budget) -> dict[str, float]:
    return {each.name: each.share for each in found.contributions}


COUNTED = {
    "smallest part of a turn counted": 0.125 / 2 / math.sqrt(3),
    "play of the bolt in its thread": 0.05 / 2 / math.sqrt(3),
}


@each_pocket
@pytest.mark.parametrize("way", ["outside", "inside"])
@pytest.mark.parametrize("strip", [0.05, 0.1])
def test_a_reading_of_flush_combined_by_hand(shape: Pocket, way: str, strip: float) -> None:
    """GUM 4.3.7 and 5.1.2 with the slope taken by numpy from the second computation (C)."""
    at = strip * np.array([0.99, 1.0, 1.01])
    ask = strip_outside if way == "outside" else strip_inside
    slope = np.gradient([float(ask(case(shape, thick))) for thick in at], at)[1]
    thickness = abs(slope) * 0.05 * strip / math.sqrt(3)
    found = flush_budget(shape, strip / 1000, CARE, way)
    assert sizes(found) == pytest.approx(COUNTED | {"thickness of the strip": thickness}, rel=1e-3)
    by_hand = math.sqrt(sum(each**2 for each in (*COUNTED.values(), thickness)))
    assert found.combined == pytest.approx(by_hand, rel=1e-3)
    assert found.expanded == pytest.approx(2 * by_hand, rel=1e-3)
    assert found.contributions[-1].shape == "rectangular"


def test_first_touch_combined_by_hand() -> None:
    thickness = 0.05 * 0.1 / PITCH / math.sqrt(3)
    found = touch_budget(DEFAULT, 0.1e-3, CARE)
    assert sizes(found) == pytest.approx(COUNTED | {"thickness of the strip": thickness}, rel=1e-6)
    assert found.combined == pytest.approx(math.sqrt(sum(each**2 for each in (*COUNTED.values(), thickness))))


@pytest.mark.parametrize("way", ["outside", "inside", "touch"])
def test_shares_against_a_monte_carlo(way: str) -> None:
    """A million readings drawn with numpy (seed 20240607): each uncertainty alone, and all of them together (C)."""
    rng, count = np.random.default_rng(20240607), 1_000_000
    grid = np.linspace(0.09, 0.11, 21)
    if way == "touch":
        seen = grid / PITCH
        found = touch_budget(DEFAULT, 0.1e-3, CARE)
    else:
        ask = strip_outside if way == "outside" else strip_inside
        seen = np.array([float(ask(case(DEFAULT, thick))) for thick in grid])
        found = flush_budget(DEFAULT, 0.1e-3, CARE, way)
    drawn = {
        "smallest part of a turn counted": rng.uniform(-0.0625, 0.0625, count),
        "play of the bolt in its thread": rng.uniform(-0.025, 0.025, count),
        "thickness of the strip": np.interp(rng.uniform(0.095, 0.105, count), grid, seen),
    }
    assert sizes(found) == pytest.approx({name: float(each.std()) for name, each in drawn.items()}, rel=3e-3)
    together = sum(drawn.values(), np.zeros(count))
    assert found.combined == pytest.approx(float(together.std()), rel=3e-3)
    share = float(np.mean(np.abs(together - together.mean()) <= found.expanded))
    assert share >= 0.95


@pytest.mark.parametrize("turns", [1.0, 5.0, 12.0])
def test_heights_against_a_monte_carlo(turns: float) -> None:
    """Two heights by caliper, a pitch from two more over four turns, and play; numpy, seed 7 (C)."""
    rng, count = np.random.default_rng(7), 1_000_000
    step, pitch = 0.1, PITCH

    def caliper() -> Any:
        return rng.uniform(-step / 2, step / 2, count)

    measured = (4 * pitch + caliper() - caliper()) / 4
    play = rng.uniform(-0.025, 0.025, count)
    counted = (turns * pitch + caliper() - caliper()) / measured + play
    uncertainty = step / math.sqrt(12) * math.sqrt(2) / 4 / 1000
    found = height_budget(turns, Pitch(PITCH / 1000, uncertainty, True), CARE)
    assert found.combined == pytest.approx(float(counted.std()), rel=5e-3)
    assert uncertainty == pytest.approx(float(measured.std()) / 1000, rel=3e-3)
    assert sizes(found)["play of the bolt in its thread"] == pytest.approx(float(play.std()), rel=3e-3)


# What each dimension matters

NAMES = ("head_diameter", "slot_width", "fulcrum_arm", "limb_depth", "upper_rim_to_butt", "rise", "strip_thickness")
HALVES = {
    "head_diameter": 0.7,
    "slot_width": 0.9,
    "fulcrum_arm": 6.0,
    "limb_depth": 1.5,
    "upper_rim_to_butt": 0.8,
    "rise": 0.05,
    "strip_thickness": 0.02,
}


def dimension(name: str, half: float) -> Dimension:
    return Dimension(name, 1.0, entered=True, half=half / 1000)


def changed_case(base: Case, name: str, by: float) -> Case:
    """The case with one entry changed, in mm; the pitch in mm a turn."""
    key = {"head_diameter": "head", "slot_width": "slot", "fulcrum_arm": "arm", "limb_depth": "depth",
           "upper_rim_to_butt": "rim_to_butt", "lower_rim_to_butt": "rim_to_butt", "rise": "rise",
           "strip_thickness": "strip"}[name]  # fmt: skip
    return base | {key: base[key] + (4 * by if name == "rise" else by)}


@each_pocket
def test_effects_are_what_a_second_computation_changes_by(shape: Pocket) -> None:
    """Each dimension at both of its ends, by the turned limb in mpmath (C)."""
    base = case(shape, 0.1)
    flush, cover = float(strip_outside(base)), float(cover_lost(base))
    found = effects(shape, 0.1e-3, tuple(dimension(name, HALVES[name]) for name in NAMES))
    assert {each.dimension.field for each in found} == set(NAMES)
    for each in found:
        half = HALVES[each.dimension.field]
        for end, (in_flush, in_cover) in enumerate(zip(each.flush, each.cover, strict=True)):
            other = changed_case(base, each.dimension.field, half if end else -half)
            assert in_flush == pytest.approx(float(strip_outside(other)) - flush, abs=1e-7), each.dimension.field
            if other["head"] / 2 <= other["rim_to_butt"]:
                continue  # the second computation does not follow a butt short of the axis
            assert in_cover == pytest.approx(float(cover_lost(other)) - cover, abs=1e-7), each.dimension.field


def largest(effect: DimensionEffect) -> float:
    return max((abs(end) for end in effect.flush if end is not None), default=math.inf)


@each_pocket
def test_the_largest_effect_comes_first(shape: Pocket) -> None:
    for order in (NAMES, tuple(reversed(NAMES))):
        found = effects(shape, 0.1e-3, tuple(dimension(name, HALVES[name]) for name in order))
        listed = [largest(each) for each in found]
        assert listed == sorted(listed, reverse=True)


def test_signs_that_an_archer_would_expect() -> None:
    """A thicker strip stops farther out; a longer arm rocks less, a wider head opens more (model.md section 1)."""
    found = {each.dimension.field: each.flush for each in effects(
        DEFAULT, 0.1e-3, tuple(dimension(name, HALVES[name]) for name in NAMES))}  # fmt: skip
    for name, rising in (("strip_thickness", True), ("fulcrum_arm", True), ("head_diameter", False), ("rise", False)):
        low, high = found[name]
        assert low is not None
        assert high is not None
        assert (low < 0 < high) is rising
        assert (high < 0 < low) is not rising


def test_a_strip_is_proportional_for_small_changes() -> None:
    (only,) = effects(DEFAULT, 0.1e-3, (dimension("strip_thickness", 0.001),))
    assert only.flush[1] == pytest.approx(0.01 * 0.422997, rel=0.01)


def test_first_touch_is_held_where_it_was_counted() -> None:
    """With touch at 0.45 turn, an arm 5 mm longer puts flush's reading past it: there is no such place.

    Were the fitting's angle held instead, touch would move out as well, to 0.45·72/67 = 0.48, and the reading stay
    before it.
    """
    near = contacts.pocket_from_touch(DEFAULT, 0.45)
    (only,) = effects(near, 0.1e-3, (dimension("fulcrum_arm", 5),))
    longer = replace(near, fulcrum_arm=0.065, butt_length=0.072)
    reading = float(strip_outside(case(longer, 0.1)))
    assert 0.45 < reading < first_touch(longer)
    assert only.flush[1] is None
    assert only.flush[0] is not None


def test_a_dimension_that_no_pocket_can_have_has_no_such_place() -> None:
    """An arm shorter than the head's radius, a slot as wide as the head, a strip of nothing; they come first."""
    found = effects(
        DEFAULT,
        0.1e-3,
        (dimension("limb_depth", 1), dimension("fulcrum_arm", 55), dimension("slot_width", 9), dimension("rise", 0.05)),
    )
    ends = {each.dimension.field: (each.flush, each.cover) for each in found}
    assert ends["fulcrum_arm"][0][0] is None
    assert ends["fulcrum_arm"][1][0] is None
    assert ends["slot_width"][0][1] is None
    assert ends["limb_depth"][0][0] is not None
    (nothing,) = effects(DEFAULT, 0.1e-3, (dimension("strip_thickness", 0.1),))
    assert nothing.flush[0] is None
