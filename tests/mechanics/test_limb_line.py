"""Where the limbs of a bow are: SciPy's integrator from the root outward, in the bow's frame (C), and plain geometry.

The package integrates from the string's end inward, in the string's own frame, and knows the root last; here the root,
the lean and the elastic line of model.md section 4 come first, and the tip last.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from shapely.geometry import LineString
from shapely.geometry import Point as Place

from published.bow import DEFAULT_BOW, default_rock
from quarterturn.mechanics.bow import Bow, BowString, BracedBow, DrawnBow, Half, Side
from quarterturn.mechanics.continuation import drawn
from quarterturn.mechanics.equilibrium import braced
from quarterturn.mechanics.limb import FAST, Limb, StepCounts
from quarterturn.mechanics.limb_line import LimbLine, limb_lines
from quarterturn.units import INCH

ROCK = default_rock()
FULL = 26.25 * INCH
FINE = StepCounts(240, 160)


def both_limbs(bow: Bow, **changes: float) -> Bow:
    upper, lower = (replace(side, limb=replace(side.limb, **changes)) for side in (bow.upper, bow.lower))
    return Bow(replace(bow.upper, limb=upper.limb), replace(bow.lower, limb=lower.limb), bow.string)


STRAIGHT = both_limbs(DEFAULT_BOW, inner_curvature=0.0, outer_curvature=0.0)
_BACK = both_limbs(DEFAULT_BOW, inner_curvature=-1.5, outer_curvature=-6.0, break_at=0.51)
REFLEXED = Bow(  # away from the archer from the root on, and more so beyond the break, which the string covers
    replace(_BACK.upper, flush_angle=0.3), replace(_BACK.lower, flush_angle=0.3), BowString(0.86, 0.86, 5.0e5)
)
UNLIKE = replace(
    DEFAULT_BOW,
    lower=replace(
        DEFAULT_BOW.lower, limb=replace(DEFAULT_BOW.lower.limb, stiffness=44.0, taper=0.3, outer_curvature=-5.0)
    ),
)
BOWS = {"default": DEFAULT_BOW, "straight": STRAIGHT, "reflexed": REFLEXED, "unlike": UNLIKE}
CASES = [
    pytest.param(bow, draw, id=f"{name}, {'strung' if draw is None else f'drawn to {draw:.2f} m'}")
    for name, bow in BOWS.items()
    for draw in (None, 0.3, FULL)
]
each_case = pytest.mark.parametrize(("bow", "draw"), CASES)


def solved(bow: Bow, draw: float | None, steps: StepCounts) -> BracedBow | DrawnBow:
    return braced(bow, ROCK, steps=steps) if draw is None else drawn(bow, ROCK, draw, steps=steps)


def halves(bow: Bow, found: BracedBow | DrawnBow) -> list[tuple[Side, Half, LimbLine, float]]:
    """Each side with its half, its line, and 1 or −1 for the way up is."""
    return [
        (side, half, line, up)
        for side, half, line, up in zip(
            (bow.upper, bow.lower), (found.upper, found.lower), limb_lines(bow, found), (1.0, -1.0), strict=True
        )
    ]


def root(side: Side, lean: float) -> tuple[float, float]:
    """F + t_n·n + r·d of model.md section 4."""
    along, back = np.array([math.sin(lean), math.cos(lean)]), np.array([-math.cos(lean), math.sin(lean)])
    x, y = np.array([side.fulcrum_x, side.fulcrum_y]) + side.line_offset * back + side.root_distance * along
    return float(x), float(y)


def outward(side: Side, half: Half, places: tuple[float, ...]) -> np.ndarray:
    """X, Y and direction at these places by SciPy, from the root at the limb's lean, mirrored for the lower limb.

    Taken over from what was found: tension, the string's angle, where the string leaves the limb, a point of it.
    """
    limb, leaves = side.limb, side.limb.length - half.bent.wrapped
    square = np.array([math.cos(half.string_angle), -math.sin(half.string_angle)])
    state = [*root(side, half.lean), half.lean]
    kept = []
    ends = sorted({0.0, min(limb.break_at, limb.length), leaves, limb.length})
    asked = np.clip(places, 0.0, limb.length)
    for start, end in itertools.pairwise(ends):
        curvature, free = limb.curvature((start + end) / 2), end <= leaves

        def slope(s: float, y: np.ndarray, curvature: float = curvature, free: bool = free) -> list[float]:
            apart = (half.end_x - y[0]) * square[0] + (half.end_y - y[1]) * square[1]
            bent = half.tension * apart / (limb.stiffness * (1 - limb.taper * s / limb.length) ** 2) if free else 0.0
            return [math.sin(y[2]), math.cos(y[2]), curvature + bent]

        found = solve_ivp(slope, (start, end), state, "DOP853", dense_output=True, rtol=1e-12, atol=1e-14)
        here = [s for s in asked if start <= s < end or s == end == limb.length]
        kept += [found.sol(s) for s in here]
        state = list(found.y[:, -1])
    return np.array(kept)


# The whole line


@each_case
@pytest.mark.parametrize(("steps", "near"), [(FINE, 2e-8), (FAST, 1e-4)], ids=["fine", "quick"])
def test_every_point_from_root_to_tip_is_scipys(bow: Bow, draw: float | None, steps: StepCounts, near: float) -> None:
    for side, half, line, up in halves(bow, solved(bow, draw, steps)):
        known = outward(side, half, line.places)
        assert np.abs(np.array(line.points) - known[:, :2] * (1, up)).max() <= near


def test_these_cases_are_what_they_should_be() -> None:
    """Wrapped, not wrapped, and with the change of curvature under the string."""
    strung, full = solved(DEFAULT_BOW, None, FAST), solved(DEFAULT_BOW, FULL, FAST)
    assert strung.upper.bent.wrapped > 0.02 < strung.lower.bent.wrapped
    assert full.upper.bent.wrapped == full.lower.bent.wrapped == 0
    assert solved(STRAIGHT, None, FAST).upper.bent.wrapped == 0
    for half in (solved(REFLEXED, None, FAST).upper, solved(REFLEXED, None, FAST).lower):
        assert 0.535 - half.bent.wrapped < 0.51


# Its two ends


@each_case
def test_the_line_begins_where_the_riser_holds_it_and_at_the_limbs_lean(bow: Bow, draw: float | None) -> None:
    """The direction from the first three points, a parabola through them (numpy, C)."""
    for side, half, line, up in halves(bow, solved(bow, draw, FINE)):
        x, y = root(side, half.lean)
        assert line.points[0] == pytest.approx((x, up * y), abs=1e-8)
        assert line.places[0] == pytest.approx(0, abs=1e-12)
        fits = [np.polyfit(line.places[:4], [point[axis] for point in line.points[:4]], 3)[2] for axis in (0, 1)]
        assert math.atan2(fits[0], up * fits[1]) == pytest.approx(half.lean, abs=1e-6)


@each_case
def test_the_free_string_is_straight_and_leaves_the_limb_along_its_tangent(bow: Bow, draw: float | None) -> None:
    found = solved(bow, draw, FINE)
    strings = (bow.string.upper, bow.string.lower)
    stretch = bow.string.stretch_stiffness
    for (side, half, line, up), string in zip(halves(bow, found), strings, strict=True):
        x, y = line.points[line.leaves]
        reach = x - found.nocking_x, up * (y - found.nocking_y)
        wrapped = side.limb.length - line.places[line.leaves]
        long = string * (1 + (half.tension / stretch if stretch else 0.0))
        assert math.hypot(*reach) == pytest.approx(long - wrapped, abs=1e-7)
        assert math.atan2(*reach) == pytest.approx(half.string_angle, abs=1e-7)
        if wrapped:
            for one, other in ((line.leaves - 1, line.leaves), (line.leaves, line.leaves + 1)):
                (x0, y0), (x1, y1) = line.points[one], line.points[other]
                assert math.atan2(x1 - x0, up * (y1 - y0)) == pytest.approx(half.string_angle, abs=0.051)
                assert line.places[other] > line.places[one]


@each_case
def test_the_line_is_as_long_as_the_limb_and_the_string_never_cuts_it(bow: Bow, draw: float | None) -> None:
    """Chords are shorter than arcs, by a known bound; sides of the string by Shapely (C)."""
    found = solved(bow, draw, FAST)
    for side, half, line, up in halves(bow, found):
        assert line.places == tuple(sorted(line.places))
        assert line.places[-1] == pytest.approx(side.limb.length)
        assert len(line.places) == len(line.points)
        for (s0, one), (s1, other) in itertools.pairwise(zip(line.places, line.points, strict=True)):
            chord = math.dist(one, other)
            assert s1 - s0 >= chord - 1e-5
            assert chord >= (s1 - s0) * (1 - 0.02)
        string = LineString([(found.nocking_x, found.nocking_y), line.points[line.leaves]])
        square = np.array([math.cos(half.string_angle), -up * math.sin(half.string_angle)])
        for point in line.points[: line.leaves]:
            assert (np.array(line.points[line.leaves]) - point) @ square >= -1e-9
            assert string.distance(Place(point)) > 0


# Under the string


@pytest.mark.parametrize("bow", [DEFAULT_BOW, REFLEXED], ids=["default", "reflexed"])
def test_under_the_string_the_limb_is_as_it_was_unstrung(bow: Bow) -> None:
    """Circles through three points (closed form, C) have the unstrung limb's curvature on either side of the break."""
    for side, _, line, up in halves(bow, solved(bow, None, FAST)):
        limb, checked = side.limb, 0
        for at in range(line.leaves + 1, len(line.points) - 1):
            if line.places[at - 1] < limb.break_at < line.places[at + 1]:
                continue
            three = [np.array(point) * (1, up) for point in line.points[at - 1 : at + 2]]
            first, second = three[1] - three[0], three[2] - three[1]
            area = first[0] * second[1] - first[1] * second[0]
            sides = np.linalg.norm(first) * np.linalg.norm(second) * np.linalg.norm(three[2] - three[0])
            place = (line.places[at - 1] + line.places[at + 1]) / 2
            assert -2 * area / sides == pytest.approx(limb.curvature(place), rel=1e-9)
            checked += 1
        assert checked


def test_the_tip_of_a_limb_wrapped_past_its_break_is_two_arcs_on() -> None:
    """From where the string leaves it, along the string; the arcs in closed form (C)."""
    (side, half, line, _), _ = halves(REFLEXED, solved(REFLEXED, None, FINE))
    limb, leaves = side.limb, line.places[line.leaves]
    x, y, angle = *line.points[line.leaves], half.string_angle
    for curvature, long in (
        (limb.inner_curvature, limb.break_at - leaves),
        (limb.outer_curvature, limb.length - limb.break_at),
    ):
        end = angle + curvature * long
        x += (math.cos(angle) - math.cos(end)) / curvature
        y += (math.sin(end) - math.sin(angle)) / curvature
        angle = end
    assert line.points[-1] == pytest.approx((x, y), abs=1e-12)


# The lower limb


@pytest.mark.parametrize("draw", [None, FULL])
def test_limbs_that_change_places_give_the_mirror_image(draw: float | None) -> None:
    bow = Bow(UNLIKE.lower, UNLIKE.upper, BowString(UNLIKE.string.lower, UNLIKE.string.upper))
    one = limb_lines(UNLIKE, solved(UNLIKE, draw, FAST))
    other = limb_lines(bow, solved(bow, draw, FAST))
    for line, image in zip(one, reversed(other), strict=True):
        assert line.leaves == image.leaves
        assert np.array(line.points) * (1, -1) == pytest.approx(np.array(image.points), abs=1e-7)
    assert one[0].points[-1][1] > 0 > one[1].points[-1][1]


def test_a_limb_that_just_begins_to_be_wrapped_has_no_gap() -> None:
    """Between a tip that the string touches and one that it lies on the line moves by no more than the draw does."""
    low, high = 0.3, FULL
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if solved(DEFAULT_BOW, middle, FAST).upper.bent.wrapped > 0 else (low, middle)
    on, off = (limb_lines(DEFAULT_BOW, solved(DEFAULT_BOW, draw, FAST))[0] for draw in (low - 1e-6, high + 1e-6))
    assert on.leaves < len(on.points) - 1
    assert off.leaves == len(off.points) - 1
    assert math.dist(on.points[-1], off.points[-1]) < 1e-5


def test_a_limb_is_drawn_in_few_points() -> None:
    """What a picture has to carry: the steps, and a point for each tenth of a radian under the string."""
    sharp = Limb(0.535, 33.37, 0.5, 0.2, -14.0, 0.365)
    bow = Bow(replace(DEFAULT_BOW.upper, limb=sharp), replace(DEFAULT_BOW.lower, limb=sharp), DEFAULT_BOW.string)
    for side, half, line, _ in halves(bow, solved(bow, None, FAST)):
        turned = half.bent.wrapped * abs(side.limb.outer_curvature)
        assert len(line.points) == 21 + math.ceil(turned / 0.1)
