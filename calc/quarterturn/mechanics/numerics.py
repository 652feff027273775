"""Numerical methods that the calculations share: roots, small linear systems, interpolation.

Plain functions of plain numbers. The order of the floating-point operations is part of what they give: the same answer
comes out to the last bit in every Python.

Sources: Press, Teukolsky, Vetterling and Flannery, Numerical Recipes, chapters 2, 3 and 9 (M); de Boor, A Practical
Guide to Splines (M); Coons, Surfaces for computer-aided design of space forms, MIT 1967 (M).
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

# Roots


def bisect(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where the function first is not negative, or `high` where it is negative throughout."""
    for _ in range(80):
        middle = (low + high) / 2
        if not low < middle < high:  # no number lies between
            break
        if function(middle) < 0:
            low = middle
        else:
            high = middle
    return high


def newton_in_bracket(
    function: Callable[[float], tuple[float, float]],
    low: float,
    high: float,
    start: float,
    *,
    tolerance: float = 1e-15,
    iterations: int = 200,
    growth: float | None = None,
    greatest: float = math.inf,
) -> float | None:
    """Return the root of a function that is negative at `low` and not at `high`: Newton's method kept inside that.

    Args:
        function: its value and its slope.
        low: one end of the bracket; not less than 0 where there is a `growth`.
        high: the other end; infinite where none is known, and then there is a `growth`.
        start: where to begin.
        tolerance: of the root, relative.
        iterations: how often the function is asked at most; None where that is too few.
        growth: one step leads to at most so many times the number before.
        greatest: no root is looked for beyond; None where that is passed.
    """
    guess = min(max(start, low), high)
    for _ in range(iterations):
        value, slope = function(guess)
        if value < 0:
            low = guess
        else:
            high = guess
        better = guess - value / slope if slope > 0 else math.nan
        better = better if low <= better <= high else (low + high) / 2
        better = better if growth is None else min(better, growth * guess)
        if better > greatest:
            return None
        if abs(better - guess) <= tolerance * abs(better):
            return better
        guess = better
    return None


# Linear systems


def solve_linear(rows: Sequence[Sequence[float]], right: Sequence[float]) -> tuple[float, ...] | None:
    """Solve a small set of linear equations (elimination with pivots); None where they depend on one another."""
    work = [[*row, value] for row, value in zip(rows, right, strict=True)]
    size = len(work)
    for at in range(size):
        best = max(range(at, size), key=lambda row: abs(work[row][at]))
        work[at], work[best] = work[best], work[at]
        if not work[at][at]:
            return None
        for row in range(at + 1, size):
            part = work[row][at] / work[at][at]
            work[row] = [one - part * other for one, other in zip(work[row], work[at], strict=True)]
    found = [0.0] * size
    for at in reversed(range(size)):
        rest = math.fsum(work[at][to] * found[to] for to in range(at + 1, size))
        found[at] = (work[at][size] - rest) / work[at][at]
    return tuple(found)


# Interpolation


def lagrange_terms(nodes: Sequence[float], values: Sequence[float], place: float) -> list[float]:
    """Return the terms whose sum is, at `place`, the polynomial through the values at the nodes (Lagrange).

    Where all values are 1 the terms are the nodes' weights.
    """
    terms = []
    for at, (here, term) in enumerate(zip(nodes, values, strict=True)):
        for other, there in enumerate(nodes):
            if other != at:
                term *= (place - there) / (here - there)
        terms.append(term)
    return terms


def hermite(part: float, values: Sequence[float], slopes: Sequence[float], width: float) -> float:
    """Return the cubic with these two values and slopes at its ends, at a part (0 to 1) of its width (Hermite)."""
    rest = 1 - part
    return (
        rest * rest * ((1 + 2 * part) * values[0] + part * width * slopes[0])
        + part * part * ((1 + 2 * rest) * values[1] - rest * width * slopes[1])
    )  # fmt: skip


def hermite_bulge(part: float, rise: float, start: float, end: float) -> float:
    """Return by how much such a cubic lies above its chord, at a part of its width.

    `rise` is what it rises over the whole of it, `start` and `end` what it would rise with its slope at either end.
    """
    return part * (1 - part) * ((1 - part) * (start - rise) + part * (rise - end))


def coons_patch(s: float, t: float, across: tuple[float, float], bulges: tuple[float, float]) -> float:
    """Return the surface inside four sides, at a part s of the first way and t of the second (Coons).

    Args:
        s: the part of the first way, 0 to 1.
        t: the part of the second way, 0 to 1.
        across: at s, the values of the two sides along which s runs: where t is 0, and where it is 1.
        bulges: at t, by how much the two other sides, where s is 0 and where it is 1, lie above their chords.
    """
    return (1 - t) * across[0] + t * across[1] + (1 - s) * bulges[0] + s * bulges[1]


def not_a_knot_slopes(places: Sequence[float], values: Sequence[float]) -> tuple[float, ...]:
    """Return the slopes at the points of the cubic spline that is one cubic over its first two pieces and its last two.

    Elimination down the three diagonals; no pivot can vanish where the places rise. Four points or more.
    """
    widths = [after - before for before, after in pairwise(places)]
    rises = [(after - before) / width for (before, after), width in zip(pairwise(values), widths, strict=True)]
    above = [(widths[0] + widths[1]) / widths[1]]
    right = [_end_slope(widths[0], widths[1], rises[0], rises[1]) / widths[1]]
    for at in range(1, len(widths)):
        before, after = widths[at - 1], widths[at]
        pivot = 2 * (before + after) - after * above[-1]
        right.append((3 * (after * rises[at - 1] + before * rises[at]) - after * right[-1]) / pivot)
        above.append(before / pivot)
    last, other = widths[-1], widths[-2]
    pivot = other - (last + other) * above[-1]
    slopes = [(_end_slope(last, other, rises[-1], rises[-2]) - (last + other) * right[-1]) / pivot]
    for above_it, right_of_it in zip(reversed(above), reversed(right), strict=True):
        slopes.append(right_of_it - above_it * slopes[-1])
    return tuple(reversed(slopes))


def _end_slope(near: float, far: float, rise: float, next_rise: float) -> float:
    """Return the right side of the condition at one end: the widths and the mean slopes of the two last pieces."""
    both = near + far
    return ((near + 2 * both) * far * rise + near * near * next_rise) / both
