"""What a table of draw lengths and weights tells by itself, and what of it cannot be of one bow.

Sources: SciPy's trapezoid and linregress (C); GUM H.3, the calibration of a thermometer (S2: data and results were read
where others quote them; the scatter of 0.0035 is from memory, M); sums by hand (C). That a bow pulls harder the farther
it is drawn, and how far two readings may be apart: our own rule.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid
from scipy.stats import linregress

from helpers.asking import values
from quarterturn.bench.bow_fit import Weighing
from quarterturn.bench.draw_length import DrawError
from quarterturn.bench.scale_readings import (
    Contradiction,
    WeighedRow,
    contradictions,
    measured_energy,
    measured_rise,
    measured_slope,
    weighed_rows,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

INCH = 0.0254
LBF = 4.4482216152605  # N (NIST SP 811)
ANY = (math.nan, math.inf, -math.inf)


def refused(ask: Callable[..., Any], *arguments: Any) -> tuple[str, str]:
    """The parameter and the sentence of what is refused."""
    with pytest.raises(DrawError) as caught:
        ask(*arguments)
    return caught.value.parameter, str(caught.value)


# What they tell by themselves

SOME = st.lists(
    st.tuples(st.floats(0.23, 0.7), st.floats(1, 250)), min_size=3, max_size=12, unique_by=lambda one: one[0]
)


def weighings(pairs: Sequence[tuple[float, float]]) -> list[Weighing]:
    return [Weighing(*pair) for pair in pairs]


@given(SOME, st.randoms(use_true_random=False))
def test_measured_energy_of_scipy(pairs: list[tuple[float, float]], chance: Any) -> None:
    chance.shuffle(pairs)
    told = measured_energy(weighings(pairs), 0.22)
    assert told is not None
    draws, forces = zip(*sorted([(0.22, 0.0), *pairs]), strict=True)
    assert told.energy == pytest.approx(float(trapezoid(forces, draws)), rel=1e-12)
    assert (told.draw, told.count) == (max(draws), len(pairs))


def test_measured_energy_by_hand() -> None:
    """0.1·40/2 + 0.2·(40 + 70)/2 + 0.1·(70 + 110)/2 = 22 J (C); two readings at 0.5 m are one of 70 N."""
    told = measured_energy(weighings([(0.6, 110), (0.5, 66), (0.3, 40), (0.5, 74)]), 0.2)
    assert told is not None
    assert told.energy == pytest.approx(22, rel=1e-12)
    assert (told.draw, told.count) == (0.6, 3)


def test_too_few_draw_lengths_for_an_energy() -> None:
    assert measured_energy([], 0.2) is None
    assert measured_energy(weighings([(0.5, 60), (0.6, 90), (0.6, 92), (0.5, 61)]), 0.2) is None
    assert measured_energy(weighings([(0.5, 60), (0.6, 90), (0.4, 50)]), 0.2) is not None


def test_readings_that_cannot_be() -> None:
    beyond = (
        "Each draw length must be more than that of the strung bow, 221.5 mm from the pivot point, where the force is "
        "0."
    )
    for bad in (0.2, 0.2215):
        readings = weighings([(0.5, 60), (0.6, 90), (bad, 5), (0.4, 40)])
        assert refused(measured_energy, readings, 0.2215) == ("scale_readings", beyond)
    numbers = "Draw length and weight of each reading must be numbers."
    for bad in ANY:
        for one in ((bad, 90.0), (0.6, bad)):
            readings = weighings([(0.4, 40), (0.5, 60), one])
            assert refused(measured_energy, readings, 0.2) == ("scale_readings", numbers)
            assert refused(measured_slope, readings) == ("scale_readings", numbers)


NEAR = st.lists(st.tuples(st.floats(0.0, 0.076), st.floats(1, 250)), min_size=1, max_size=9)
FAR = st.lists(st.tuples(st.floats(0.077, 0.4), st.floats(1, 250)), max_size=4)


@given(NEAR, FAR, st.floats(0.5, 0.8), st.randoms(use_true_random=False))
def test_measured_slope_of_scipy(
    near: list[tuple[float, float]], far: list[tuple[float, float]], full: float, chance: Any
) -> None:
    """scipy.stats.linregress over what lies in the last 3 in (C); its standard error gives the spread."""
    last = [(full, 150.0), (full - 0.03, 140.0), *((full - back, force) for back, force in near)]
    pairs = [*last, *((full - back, force) for back, force in far)]
    chance.shuffle(pairs)
    told = measured_slope(weighings(pairs))
    assert told is not None
    draws, forces = np.array(last).T
    line = linregress(draws, forces)
    assert told.slope == pytest.approx(float(line.slope), rel=1e-8, abs=1e-6)
    assert (told.draw, told.count) == (full, len(last))
    assert told.span == pytest.approx(full - float(draws.min()), rel=1e-12)
    left = forces - line.intercept - line.slope * draws
    scatter = math.sqrt(float(left @ left) / (len(last) - 2))
    assert scatter / told.spread == pytest.approx(float(line.stderr), rel=1e-5, abs=1e-6)


def test_gum_h3() -> None:
    """GUM H.3 (S2): slope 0.00218 and its standard uncertainty 0.00067, of 11 readings that scatter by 0.0035."""
    at = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    off = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    told = measured_slope(weighings([(one / 100, other) for one, other in zip(at, off, strict=True)]))
    assert told is not None
    assert told.slope / 100 == pytest.approx(0.00218, abs=5e-6)
    assert 0.0035 / (100 * told.spread) == pytest.approx(0.00067, abs=1e-5)


def test_which_readings_tell_the_slope() -> None:
    full = 28 * INCH

    def back(*inches: float) -> Any:
        return measured_slope(weighings([(full - one * INCH, 170 - 10 * one**2) for one in inches]))

    assert measured_slope([]) is None
    assert back(0) is None
    assert back(0, 0, 0.99) is None
    assert back(0, 3.01, 6) is None
    assert (back(0, 1).count, back(0, 1).slope) == (2, pytest.approx(10 / INCH, rel=1e-9))
    assert back(0, 1, 2, 3, 4).count == 4
    assert back(0, 1, 2, 3, 4).slope == pytest.approx(30 / INCH, rel=1e-9)  # a parabola's chord
    assert back(0, 3).span == pytest.approx(3 * INCH, rel=1e-12)
    # each reading counts, those at one draw length too
    assert back(0, 1, 1).count == 3
    assert back(0, 1, 1).spread == pytest.approx(INCH * math.sqrt(2 / 3), rel=1e-9)


def test_the_rise_of_readings_by_hand() -> None:
    """Three readings an inch apart, 10 N an inch; 100 N over 0.4 m of stroke; u over √2 in (GUM H.3, C)."""
    full = 0.62
    readings = weighings([(full, 100), (full - INCH, 90), (full - 2 * INCH, 80)])
    told = measured_rise(readings, 2.0, full - 0.4)
    assert told is not None
    assert told.measured == measured_slope(readings)
    assert told.uncertainty == pytest.approx(2.0 / (INCH * math.sqrt(2)), rel=1e-12)
    assert told.even == pytest.approx(250, rel=1e-12)
    assert told.gap == pytest.approx(10 / INCH - 250, rel=1e-9)
    twice = measured_rise([*readings, Weighing(full, 104)], 2.0, full - 0.4)
    assert twice is not None
    assert twice.even == pytest.approx(102 / 0.4, rel=1e-12)  # the mean of those at the longest draw
    assert measured_rise(readings[:1], 2.0, 0.2) is None


# Which cannot be of one bow


def row(number: int, draw: float, force: float, off: float = 1.0) -> WeighedRow:
    return WeighedRow(number, draw, force, off)


def test_rows_of_a_record_in_si() -> None:
    """Pound-force and inch (NIST SP 811), 1.75 in between pivot point and AMO; half a pound, an eighth of an inch."""
    record = {
        "version": 1,
        "draw_station": "amo",
        "scale_step": {"typed": "0.5", "unit": "lbf"},
        "draw_step": {"typed": "0.125", "unit": "in"},
        "scale_readings": [
            {"draw": 28, "weight": 38},
            {"draw": 27},
            {"draw": {"typed": "660.4", "unit": "mm"}, "weight": {"typed": "150", "unit": "N"}},
        ],
    }
    one, other = weighed_rows(values(record))
    assert (one.number, other.number) == (1, 3)  # the row without a weight is none
    assert [one.draw, one.force] == pytest.approx([26.25 * INCH, 38 * LBF])
    assert one.off == pytest.approx(0.5 * LBF + 0.125 / 26.25 * 38 * LBF)
    assert [other.draw, other.force] == pytest.approx([24.25 * INCH, 150])
    assert weighed_rows(values({"version": 1})) == ()


def test_a_row_no_farther_than_the_string_at_rest() -> None:
    low, at, beyond = row(1, 0.20, 5.0), row(2, 0.22, 5.5), row(3, 0.2201, 6.0)
    assert contradictions((low, at, beyond), 0.22) == (Contradiction(low, None), Contradiction(at, None))


def test_a_bow_pulls_harder_the_farther_it_is_drawn() -> None:
    """Up to three times what both may be off by is permitted: 3·(1 + 1) = 6 N."""
    for drop, wrong in ((5.9, False), (6.1, True)):
        far, near = row(1, 0.60, 100.0), row(2, 0.55, 100.0 + drop)
        expected = (Contradiction(near, far),) if wrong else ()
        assert contradictions((far, near), 0.22) == expected
        # Whichever is first in the table, it is the later row that is named.
        first, second = row(1, 0.55, 100.0 + drop), row(2, 0.60, 100.0)
        expected = (Contradiction(second, first),) if wrong else ()
        assert contradictions((first, second), 0.22) == expected
        # At one draw both ways count.
        one, other = row(1, 0.60, 100.0), row(2, 0.60, 100.0 + drop)
        assert bool(contradictions((one, other), 0.22)) is wrong


def test_a_row_is_named_once_and_the_string_at_rest_first() -> None:
    rows = row(1, 0.60, 100.0), row(2, 0.60, 101.0), row(3, 0.62, 50.0), row(4, 0.2, 1.0)
    assert contradictions(rows, 0.22) == (Contradiction(rows[3], None), Contradiction(rows[2], rows[0]))


@given(st.lists(st.tuples(st.floats(0.25, 0.8), st.floats(0.1, 5.0)), min_size=1, max_size=8), st.floats(1, 400))
def test_readings_of_a_rising_curve_contradict_nothing(places: list[tuple[float, float]], slope: float) -> None:
    rows = [row(number, draw, slope * draw, off) for number, (draw, off) in enumerate(places, 1)]
    assert contradictions(rows, 0.22) == ()
