"""The numerical methods that all calculations share, against SciPy's and NumPy's own of the same name (C)."""

import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.interpolate import BarycentricInterpolator, CubicHermiteSpline, CubicSpline
from scipy.optimize import brentq

from quarterturn.mechanics.numerics import (
    bisect,
    coons_patch,
    hermite,
    hermite_bulge,
    lagrange_terms,
    newton_in_bracket,
    not_a_knot_slopes,
    solve_linear,
)

SOME = settings(max_examples=100, deadline=None, derandomize=True)
VALUE = st.floats(-10, 10)
PART = st.floats(0, 1)
Function = Callable[[float], tuple[float, float]]

# Rising through 0 once: convex, concave, both, with a slope of 0 on the way, and with one that is wrong.
RISING: dict[str, tuple[Function, float, float]] = {
    "exponential": (lambda x: (math.exp(x) - 3, math.exp(x)), -5.0, 5.0),
    "logarithm": (lambda x: (math.log(x) - 1, 1 / x), 0.01, 100.0),
    "arc": (lambda x: (math.atan(x - 1), 1 / (1 + (x - 1) ** 2)), -40.0, 60.0),
    "cube": (lambda x: (x**3 - 2, 3 * x**2), -3.0, 4.0),
    "false slope": (lambda x: (x**3 - 2, -1.0), 0.0, 4.0),
    "steps": (lambda x: (x + math.sin(x) - 4, 1 + math.cos(x)), 0.0, 20.0),
}


# Roots


@pytest.mark.parametrize("name", RISING)
def test_a_root_is_brents(name: str) -> None:
    function, low, high = RISING[name]
    root = brentq(lambda x: function(x)[0], low, high, xtol=1e-15)
    for share in (0.0, 0.1, 0.5, 0.9, 1.0):
        found = newton_in_bracket(function, low, high, low + share * (high - low))
        assert found == pytest.approx(root, rel=1e-13)
    assert bisect(lambda x: function(x)[0], low, high) == pytest.approx(root, rel=1e-13)


def test_newton_never_leaves_its_bracket() -> None:
    for name, (function, low, high) in RISING.items():
        asked: list[float] = []

        def seen(x: float, function: Function = function, asked: list[float] = asked) -> tuple[float, float]:
            asked.append(x)
            return function(x)

        newton_in_bracket(seen, low, high, high + 1)
        assert low <= min(asked), name
        assert max(asked) <= high, name


def test_an_open_bracket_is_left_in_bounded_steps_and_no_root_looked_for_beyond_the_greatest() -> None:
    asked = []

    def function(x: float) -> tuple[float, float]:
        asked.append(x)
        return x**2 - 1e6, 2 * x

    found = newton_in_bracket(function, 0.0, math.inf, 1.0, tolerance=1e-9, growth=4.0)
    assert found == pytest.approx(brentq(lambda x: x**2 - 1e6, 0, 1e4), rel=1e-9)
    assert all(later <= 4 * before for before, later in itertools.pairwise(asked))
    assert newton_in_bracket(function, 0.0, math.inf, 1.0, growth=4.0, greatest=999.0) is None
    assert newton_in_bracket(lambda x: (x - 7, 0.0), 0.0, math.inf, 1.0, growth=4.0) == pytest.approx(7, rel=1e-13)


def test_no_root_where_it_is_not_found_in_time() -> None:
    function, low, high = RISING["false slope"]
    assert newton_in_bracket(function, low, high, high, iterations=10) is None


def test_bisection_tells_the_end_where_there_is_no_root() -> None:
    assert bisect(lambda x: -1.0, 0.0, 1.0) == 1.0
    assert bisect(lambda x: x, 0.0, 1.0) == pytest.approx(0, abs=1e-23)  # after 80 halvings


# Linear systems


@SOME
@given(
    rows=st.integers(1, 4).flatmap(
        lambda n: st.lists(st.lists(VALUE, min_size=n + 1, max_size=n + 1), min_size=n, max_size=n)
    )
)
def test_a_linear_system_is_numpys(rows: list[list[float]]) -> None:
    matrix, right = np.array([row[:-1] for row in rows]), np.array([row[-1] for row in rows])
    assume(np.linalg.svd(matrix, compute_uv=False)[-1] > 1e-3)
    found = solve_linear([row[:-1] for row in rows], [row[-1] for row in rows])
    assert found is not None
    wanted = np.linalg.solve(matrix, right)
    assert np.abs(np.array(found) - wanted).max() <= 1e-9 * max(1.0, float(np.abs(wanted).max()))


def test_a_pivot_of_zero_is_exchanged_and_a_singular_system_has_no_answer() -> None:
    assert solve_linear(((0.0, 1.0), (2.0, 0.0)), (3.0, 4.0)) == (2.0, 3.0)
    assert solve_linear(((1.0, 2.0), (2.0, 4.0)), (1.0, 2.0)) is None
    assert solve_linear(((0.0,),), (1.0,)) is None


# Interpolation

NODES = st.lists(st.integers(-20, 20), min_size=2, max_size=5, unique=True).map(
    lambda found: [0.25 * at for at in found]
)


@SOME
@given(nodes=NODES, values=st.lists(VALUE, min_size=5, max_size=5), place=st.floats(-5, 5))
def test_lagrange_is_scipys_polynomial_through_the_same_points(
    nodes: list[float], values: list[float], place: float
) -> None:
    values = values[: len(nodes)]
    terms = lagrange_terms(nodes, values, place)
    near = 1e-11 * (1 + sum(map(abs, terms)))
    assert math.fsum(terms) == pytest.approx(float(BarycentricInterpolator(nodes, values)(place)), abs=near)
    weights = lagrange_terms(nodes, [1.0] * len(nodes), place)
    assert math.fsum(weights) == pytest.approx(1, abs=1e-11 * (1 + sum(map(abs, weights))))
    assert [weight * value for weight, value in zip(weights, values, strict=True)] == pytest.approx(terms, rel=1e-14)


@SOME
@given(part=PART, ends=st.tuples(VALUE, VALUE), slopes=st.tuples(VALUE, VALUE), width=st.floats(0.01, 10))
def test_hermite_is_scipys_cubic(
    part: float, ends: tuple[float, float], slopes: tuple[float, float], width: float
) -> None:
    wanted = float(CubicHermiteSpline([0, width], ends, slopes)(part * width))
    assert hermite(part, ends, slopes, width) == pytest.approx(wanted, abs=1e-11)
    rise = ends[1] - ends[0]
    bulge = hermite_bulge(part, rise, slopes[0] * width, slopes[1] * width)
    assert ends[0] + part * rise + bulge == pytest.approx(wanted, abs=1e-11)


@SOME
@given(s=PART, t=PART, numbers=st.lists(VALUE, min_size=16, max_size=16))
def test_a_coons_patch_is_its_two_ruled_surfaces_less_the_corners_own(s: float, t: float, numbers: list[float]) -> None:
    """Coons's definition with SciPy's cubics as sides: P = (1−t)·c₀ + t·c₁ + (1−s)·d₀ + s·d₁ − the bilinear surface."""
    corners, slopes = np.reshape(numbers[:4], (2, 2)), np.reshape(numbers[4:12], (4, 2))
    along = [CubicHermiteSpline([0, 1], corners[:, at], slopes[at]) for at in (0, 1)]
    across = [CubicHermiteSpline([0, 1], corners[at], slopes[2 + at]) for at in (0, 1)]
    bilinear = np.array([1 - s, s]) @ corners @ np.array([1 - t, t])
    wanted = (1 - t) * along[0](s) + t * along[1](s) + (1 - s) * across[0](t) + s * across[1](t) - bilinear
    bulges = [hermite_bulge(t, corners[at][1] - corners[at][0], *slopes[2 + at]) for at in (0, 1)]
    found = coons_patch(s, t, (float(along[0](s)), float(along[1](s))), (bulges[0], bulges[1]))
    assert found == pytest.approx(float(wanted), abs=1e-11)


@SOME
@given(
    widths=st.lists(st.floats(0.1, 3), min_size=3, max_size=12),
    values=st.lists(VALUE, min_size=13, max_size=13),
)
def test_a_spline_is_scipys_not_a_knot(widths: list[float], values: list[float]) -> None:
    places = [0.0, *itertools.accumulate(widths)]
    values = values[: len(places)]
    wanted = CubicSpline(places, values, bc_type="not-a-knot")(places, 1)
    scale = float(np.abs(wanted).max())
    assert not_a_knot_slopes(places, values) == pytest.approx(list(wanted), abs=1e-9 * (1 + scale))
