"""Axes, round steps, viewports and clipping, against NumPy, decimal arithmetic and shapely (C)."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from quarterturn.figures.axis import (
    Axis,
    Viewport,
    axis_between,
    clipped_part,
    round_length,
    round_steps,
    ticks,
)

values = st.floats(-1e4, 1e4)
spans = st.floats(1e-3, 1e4)
places = st.floats(-400, 400)
thousandths = st.integers(-400_000, 400_000).map(lambda count: count / 1000)  # as coordinates are written
points = st.tuples(thousandths, thousandths)


@given(values, spans, places, places, values)
def test_a_value_is_drawn_where_numpy_puts_it(low: float, span: float, start: float, end: float, value: float) -> None:
    high = low + span
    axis = axis_between(low, high, start, end)
    room = 1e-9 * (1 + abs(start) + abs(end) + abs(axis.scale) * (abs(low) + abs(value)))
    assert axis.at(low) == start
    assert axis.at(high) == pytest.approx(end, abs=room)
    held = axis_between(low, high, start, end, clamp=True)
    assert held.at(value) == pytest.approx(float(np.interp(value, (low, high), (start, end))), abs=room)
    if low <= value <= high:
        assert axis.at(value) == held.at(value)
    assert axis.origin == pytest.approx(axis.at(0.0), abs=room)


def test_an_axis_goes_on_past_its_ends_unless_it_is_clamped() -> None:
    assert Axis(1.0, 2.0, 10.0, 30.0).at(3.0) == 70.0
    assert Axis(1.0, 2.0, 10.0, 30.0, clamp=True).at(3.0) == 40.0


def test_places_are_rounded_where_that_is_asked_for() -> None:
    third = Axis(0.0, 3.0, 0.0, 1 / 3, decimals=6)
    assert third.at(1.0) == 0.333333
    assert Axis(0.0, 3.0, 0.0, 1 / 3).at(1.0) == 1 / 3


@given(values, spans)
def test_the_ends_are_on_the_axis_whatever_rounding_does_and_what_is_beyond_is_not(low: float, span: float) -> None:
    high = low + span
    axis = axis_between(low, high, 0.0, 100.0)
    assert axis.shows(low)
    assert axis.shows(high)
    assert axis.shows(high + 1e-10 * span)
    assert not axis.shows(high + 1e-3 * span)
    assert not axis.shows(low - 1e-3 * span)


@given(spans)
def test_steps_are_1_2_5_and_so_on_with_the_decimals_that_write_them_exactly(span: float) -> None:
    steps = round_steps(span)
    assert [step for step, _ in steps] == sorted(step for step, _ in steps)
    for step, decimals in steps:
        exact = Decimal(repr(step))
        assert exact.normalize().as_tuple().digits in ((1,), (2,), (5,))
        assert round(exact, decimals) == exact
        assert decimals == 0 or round(exact, decimals - 1) != exact
    assert steps[0][0] <= span / 50
    assert steps[-1][0] > span


@given(st.integers(-300, 300), st.integers(0, 60), st.sampled_from([0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0]))
def test_ticks_are_the_multiples_of_the_step_with_both_ends(first: int, count: int, step: float) -> None:
    exact = [float(Decimal(str(step)) * at) for at in range(first, first + count + 1)]
    assert ticks(exact[0], exact[-1], step) == exact
    assert ticks(exact[0] - 0.4 * step, exact[-1] + 0.4 * step, step) == exact


@given(st.floats(1e-4, 1e4))
def test_a_round_length_is_the_largest_of_1_2_5_that_is_not_more(most: float) -> None:
    candidates = [float(f"{factor}e{power}") for power in range(-6, 6) for factor in (1, 2, 5)]
    assert round_length(most) == max(one for one in candidates if one <= most * (1 + 1e-9))


@given(points, points, points, points)
def test_the_part_of_a_line_in_a_box_is_what_shapely_finds(
    start: tuple[float, float], end: tuple[float, float], one: tuple[float, float], other: tuple[float, float]
) -> None:
    left, right = sorted((one[0], other[0]))
    top, bottom = sorted((one[1], other[1]))
    assume(min(right - left, bottom - top, math.dist(start, end)) > 0.1)
    area, line = box(left, top, right, bottom), LineString([start, end])
    found = clipped_part(start, end, (left, top, right, bottom))
    if found is None:
        assert line.intersection(area).length < 1e-6
    else:
        first, last = found
        assert 0 <= first <= last <= 1
        assert (last - first) * line.length == pytest.approx(line.intersection(area).length, abs=1e-6)
        assert line.interpolate(first, normalized=True).distance(area) < 1e-6
    if line.distance(area.boundary) > 1e-6:  # no touch that rounding decides
        assert (found is not None) == line.intersects(area)


def test_a_line_that_stands_still_is_in_the_box_or_not() -> None:
    assert clipped_part((1, 1), (1, 1), (0, 0, 2, 2)) == (0.0, 1.0)
    assert clipped_part((3, 1), (3, 1), (0, 0, 2, 2)) is None
    assert clipped_part((1, -5), (1, 5), (0, 0, 2, 2)) == (0.5, 0.7)


def test_a_viewport_draws_up_as_up() -> None:
    view = Viewport("p", 3.0, 2.0, 100.0, 50.0, 10.0, 80.0, 4.0, 356.0, "p")
    assert view.at((1.0, 1.0)) == (view.x(1.0), view.y(1.0)) == (103.0, 48.0)
    assert view.all([(0.0, 0.0), (1.0, 1.0)]) == [(100.0, 50.0), (103.0, 48.0)]
    assert view.bottom == 90.0
