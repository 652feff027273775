"""The combination of uncertainties against published budgets.

GUM (JCGM 100:2008) H.1, end gauge: contributions and results S2 (sources.md E), degrees of freedom of its table H.1 M.
EA-4/02 M:2022 example S2, 10 kg weight: S2 (sources.md E). Student's t and the rectangular distribution: SciPy (C).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from quarterturn.bench.uncertainty import Contribution, budget, rectangular

END_GAUGE = budget(
    (
        Contribution("length of the standard", 25.0, freedom=18),
        Contribution("comparison", 9.7, freedom=25.6),
        Contribution("difference of expansion", 2.9, freedom=50),
        Contribution("difference of temperature", 16.6, freedom=2),
    )
)
"""In nm."""

WEIGHT = budget(
    (
        Contribution("standard", 45.0, 1 / 2),
        rectangular("drift", 15.0),
        rectangular("comparator", 25.0),
        rectangular("magnetism", 10.0),
        rectangular("air", 10.0),
    )
)
"""In mg."""


def test_end_gauge_of_the_guide() -> None:
    assert round(END_GAUGE.combined) == 32
    assert math.floor(END_GAUGE.freedom) == 16
    factor = stats.t.ppf(0.995, math.floor(END_GAUGE.freedom))
    assert round(factor, 2) == 2.92
    assert math.floor(factor * round(END_GAUGE.combined)) == 93  # the Guide multiplies what it has rounded


def test_ten_kilogram_weight() -> None:
    assert round(WEIGHT.combined, 2) == 29.26
    assert 58 <= WEIGHT.expanded < 59
    assert WEIGHT.expanded == 2 * WEIGHT.combined
    assert WEIGHT.freedom == math.inf


@given(st.floats(1e-9, 1e6), st.floats(-100, 100))
def test_rectangular_is_scipys(half_width: float, sensitivity: float) -> None:
    share = rectangular("x", half_width, sensitivity).share
    assert share == pytest.approx(abs(sensitivity) * stats.uniform(-half_width, 2 * half_width).std(), rel=1e-12)


@given(st.lists(st.tuples(st.floats(0, 1e3), st.floats(-10, 10)), max_size=6), st.floats(0, 1e3))
def test_another_uncertainty_never_makes_it_smaller(shares: list[tuple[float, float]], more: float) -> None:
    before = budget(Contribution("x", *share) for share in shares)
    after = budget((*before.contributions, Contribution("y", more)))
    assert after.expanded >= before.expanded * (1 - 1e-15)
    assert after.combined >= more * (1 - 1e-15)
    assert after.combined == pytest.approx(math.sqrt(before.combined**2 + more**2), rel=1e-12)


@given(st.lists(st.tuples(st.floats(0.01, 100), st.integers(1, 200)), min_size=1, max_size=5))
def test_effective_freedom_lies_between_the_least_and_the_sum(parts: list[tuple[float, int]]) -> None:
    found = budget(Contribution("x", size, freedom=freedom) for size, freedom in parts).freedom
    assert min(freedom for _, freedom in parts) * (1 - 1e-9) <= found
    assert found <= sum(freedom for _, freedom in parts) * (1 + 1e-9)


@pytest.mark.parametrize("half_width", [-1e-9, math.nan, math.inf])
def test_bounds_that_are_none_are_refused(half_width: float) -> None:
    with pytest.raises(ValueError, match="half_width"):
        rectangular("x", half_width)


def test_nothing_uncertain_is_no_uncertainty() -> None:
    assert budget(()).expanded == 0
    assert budget(()).freedom == math.inf
