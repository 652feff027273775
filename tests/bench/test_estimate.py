"""The estimate of the whole map against what it is said to be, and what rocking does against bows that are solved.

Outside sources: SciPy's cubic Hermite spline for the sides, its linear interpolation for what joins them (C); NumPy's
polynomials (C). That the map is near is held in test_plan.py against every pair, solved. The bow's numbers are made up.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from numpy.polynomial.polynomial import polyder, polyval2d
from scipy.interpolate import CubicHermiteSpline, RegularGridInterpolator

from helpers.asking import COMPLETE, changed, values
from quarterturn.bench import bow_fit
from quarterturn.bench import estimate as estimate_module
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_setup import Pair, Setup
from quarterturn.bench.estimate import Estimate, computed
from quarterturn.bench.outcomes import Outcome, by_rock
from quarterturn.widgets.plan.form import ASKED

PLACES = (tuple(0.5 + at / 4 for at in range(16)), tuple(0.75 + at / 4 for at in range(11)))
BOW = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}


@pytest.fixture(scope="module")
def bow() -> BowInputs:
    return bow_inputs(values(changed(COMPLETE | BOW)), ASKED)


class Surface:
    """In place of the bow: three polynomials of both rock angles (rad)."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, bow: BowInputs, parts: np.ndarray) -> None:
        self.bow, self.parts = bow, parts
        monkeypatch.setattr(estimate_module, "foretold", lambda setup, draw, turns: self.outcome(turns, parts))
        monkeypatch.setattr(estimate_module, "outcome", lambda found: found)
        monkeypatch.setattr(
            estimate_module,
            "by_rock",
            lambda setup, draw, turns: tuple(
                self.outcome(turns, np.array([polyder(part, axis=axis) for part in parts])) for axis in range(2)
            ),
        )

    def at(self, turns: Pair, parts: np.ndarray) -> list[float]:
        rock = self.bow.setup.rock(turns)
        return [float(polyval2d(*rock, part)) for part in parts]

    def outcome(self, turns: Pair, parts: np.ndarray) -> Outcome:
        weight, tiller, brace = self.at(turns, parts)
        return Outcome(weight, brace, tiller, 0.0, 0.0, 0.0)


def of_terms(terms: list[tuple[int, int]]) -> np.ndarray:
    """Three polynomials of these powers of the upper and the lower rock angle, all of them of some size here."""
    drawn = np.random.default_rng(7)
    parts = np.zeros((3, 6, 6))
    for one, two in terms:
        parts[:, one, two] = drawn.uniform(-1, 1, 3) / 0.05 ** (one + two)
    return parts


EXACT = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2), (3, 0), (2, 1), (1, 2), (0, 3), (3, 1), (1, 3)]


def test_it_is_exact_for_cubics_along_and_straight_across(monkeypatch: pytest.MonkeyPatch, bow: BowInputs) -> None:
    """The twelve terms that four corners with their slopes decide, and no thirteenth."""
    surface = Surface(monkeypatch, bow, of_terms(EXACT))
    found = Estimate(bow, PLACES)
    for turns in product(*PLACES):
        assert found.at(turns) == pytest.approx(surface.at(turns, surface.parts), abs=1e-12)
    for term in ((2, 2), (4, 0), (0, 4), (3, 3)):
        other = Surface(monkeypatch, bow, of_terms([*EXACT, term]))
        off = Estimate(bow, PLACES).at((2.25, 2.0))[0] - other.at((2.25, 2.0), other.parts)[0]
        assert abs(off) > 1e-4


def test_its_sides_are_hermite_cubics_and_inside_it_is_their_blend(
    monkeypatch: pytest.MonkeyPatch, bow: BowInputs
) -> None:
    every = [(one, two) for one in range(5) for two in range(5)]
    surface = Surface(monkeypatch, bow, of_terms(every))
    found = Estimate(bow, PLACES)
    weight = surface.parts[0]
    ends = [[places[0], places[-1]] for places in PLACES]
    rock = [[bow.setup.rock((place, place))[at] for place in each] for at, each in enumerate(ends)]
    values_ = np.array([[polyval2d(one, two, weight) for two in rock[1]] for one in rock[0]])
    slopes = [
        np.array([[polyval2d(one, two, polyder(weight, axis=at)) for two in rock[1]] for one in rock[0]])
        for at in (0, 1)
    ]
    along_upper = [CubicHermiteSpline(rock[0], values_[:, at], slopes[0][:, at]) for at in range(2)]
    along_lower = [CubicHermiteSpline(rock[1], values_[at], slopes[1][at]) for at in range(2)]
    flat = RegularGridInterpolator(rock, values_)
    for turns in product(*PLACES):
        x, y = bow.setup.rock(turns)
        upper = np.interp(y, rock[1], [float(one(x)) for one in along_upper])
        lower = np.interp(x, rock[0], [float(one(y)) for one in along_lower])
        assert found.at(turns)[0] == pytest.approx(upper + lower - float(flat((x, y))[()]), rel=1e-12, abs=1e-9)
    for turns in product(ends[0], ends[1]):
        assert found.goes_through(turns)
        assert found.at(turns) == pytest.approx(surface.at(turns, surface.parts), rel=1e-14)
    assert not found.goes_through((PLACES[0][1], PLACES[1][0]))


@pytest.mark.parametrize(
    "places", [((2.0,), (1.0, 1.25)), ((1.5, 1.75, 2.0), (2.0,)), ((2.0,), (2.0,)), ((6.0, 6.25), (1.0, 3.0))]
)
def test_one_place_of_a_bolt_or_none_that_rocks_its_limb(
    places: tuple[tuple[float, ...], tuple[float, ...]], bow: BowInputs
) -> None:
    """The last: the limb has come off the bolt, which turns without it."""
    found = Estimate(bow, places)
    for turns in product(*places):
        assert found.at(turns) == pytest.approx(computed(bow, turns), rel=2e-5)


@pytest.mark.parametrize("turns", [(0.5, 0.75), (4.25, 0.75), (2.5, 3.25)])
def test_what_rocking_does_is_what_bows_that_are_solved_say(turns: Pair, bow: BowInputs) -> None:
    """Central differences of bows, each searched for itself."""
    setup: Setup = bow.setup
    rock, step = setup.rock(turns), 1e-3

    def solved(upper: float, lower: float) -> np.ndarray:
        there = bow_fit.turned(bow.fitted, (rock[0] + upper, rock[1] + lower), bow.draw)
        strung, full = there.braced, there.drawn
        return np.array(
            [full.force, strung.brace_height, strung.upper.distance_to_belly, strung.lower.distance_to_belly,
             full.upper.moment, full.lower.moment]
        )  # fmt: skip

    for found, (one, two) in zip(by_rock(setup, bow.draw, turns), ((step, 0.0), (0.0, step)), strict=True):
        expected = (solved(one, two) - solved(-one, -two)) / (2 * step)
        mine = [
            found.weight,
            found.brace_height,
            found.upper_tiller,
            found.lower_tiller,
            found.upper_moment,
            found.lower_moment,
        ]
        assert mine == pytest.approx(list(expected), rel=2e-3)
