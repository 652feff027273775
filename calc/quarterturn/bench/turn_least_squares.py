"""Generalised least squares for what one turn out of either bolt does to a reading: two unknowns, and a level.

What is known of both turns beforehand is a finding with a covariance; readings add theirs, and each counts for as much
as it is sure. Of the level nothing is known beforehand.

Source: generalised least squares with a prior (any textbook, M); sums of squares about a mean, Welford (M).
"""

from __future__ import annotations

import math

from quarterturn.bench.bow_setup import Pair
from quarterturn.numbers import same

COVERAGE = 2.0
"""k, of a band of about 95 % (GUM 6.3.3)."""
LEAST_CHANGE = 3.0
"""By readings alone: a change counts where it is more than so many standard uncertainties of a difference that is
read."""
LEAST_TIMES, MOST_TIMES = 0.2, 3.0
"""So many times what the bow says a turn may do by the reader's readings; beyond, something else has changed too."""
FREE = 10.0
"""By readings alone: so many times itself may a turn's effect be off before anything is read, which is as good as not
known."""

SymmetricMatrix = tuple[float, float, float]
"""A symmetric matrix of two rows: upper and upper, upper and lower, lower and lower."""
NOTHING: SymmetricMatrix = (0.0, 0.0, 0.0)


class NormalEquations:
    """What the readings of one thing say that turns do more than is computed: sums for least squares.

    Readings are taken row by row: within a row only turns lie between them. A reading that no turn explains begins a
    new row. Within each, deviations from the row's mean are what counts, for its level is not known beforehand.

    Attributes:
        known: the information in them, the inverse of a matrix of variances.
        found: the same times what a turn does more.
    """

    def __init__(self, reading: float, turn: Pair) -> None:
        self._reading, self._turn = reading, turn
        self._before: tuple[Pair, float] | None = None
        self.known, self.found = NOTHING, (0.0, 0.0)
        self.count, self.middle, self._mean = 0, (0.0, 0.0), 0.0

    def add(self, turns: Pair, off: float) -> bool:
        """Take a reading, and by how much it is more than is computed there; say whether a turn explains it."""
        explained = self._explained(turns, off)
        self._before = turns, off
        self.count = self.count + 1 if explained else 1
        if self.count == 1:
            self.middle, self._mean = turns, off
            return explained
        # One more reading: what it adds to the sums of squares about the mean (Welford).
        apart, by = minus(turns, self.middle), off - self._mean
        weight = (self.count - 1) / self.count / self._reading**2
        more = (weight * apart[0] ** 2, weight * apart[0] * apart[1], weight * apart[1] ** 2)
        self.known = plus(self.known, more)
        self.found = (self.found[0] + weight * apart[0] * by, self.found[1] + weight * apart[1] * by)
        part = 1 / self.count
        self.middle = (self.middle[0] + part * apart[0], self.middle[1] + part * apart[1])
        self._mean += part * by
        return explained

    def _explained(self, turns: Pair, off: float) -> bool:
        """Whether some number of times what a turn does, of either bolt, explains what has changed."""
        if self._before is None:
            return True
        change = off - self._before[1]
        least = most = 0.0
        for each, turned in zip(self._turn, minus(turns, self._before[0]), strict=True):
            ends = sorted((factor - 1) * each * turned for factor in (LEAST_TIMES, MOST_TIMES))
            least, most = least + ends[0], most + ends[1]
        slack = COVERAGE * math.sqrt(2) * self._reading
        return least - slack <= change <= most + slack


def unknown_turns(known: SymmetricMatrix, turn: Pair) -> SymmetricMatrix | None:
    """What is taken as not known before the readings, where they tell it: variances of what a turn does more.

    Of both bolts apart where the readings tell them apart; of the one that was moved; of both by the same number of
    times where they were only moved together; None where reading is too coarse for what was turned.
    """
    upper, lower = turn
    of_upper, mixed, of_lower = upper**2 * known[0], upper * lower * known[1], lower**2 * known[2]
    least = LEAST_CHANGE**2
    weakest = (of_upper + of_lower - math.hypot(of_upper - of_lower, 2 * mixed)) / 2
    if weakest >= least:
        return (FREE * upper) ** 2, 0.0, (FREE * lower) ** 2
    if same(known[2], 0.0) and of_upper >= least:
        return (FREE * upper) ** 2, 0.0, 0.0
    if same(known[0], 0.0) and of_lower >= least:
        return 0.0, 0.0, (FREE * lower) ** 2
    if of_upper + 2 * mixed + of_lower >= least:
        return (FREE * upper) ** 2, FREE**2 * upper * lower, (FREE * lower) ** 2
    return None


def posterior_covariance(covariance: SymmetricMatrix, known: SymmetricMatrix) -> SymmetricMatrix:
    """The variances that are left of these when so much is known besides: the inverse of the sum of the inverses."""
    a, b = 1 + known[0] * covariance[0] + known[1] * covariance[1], known[0] * covariance[1] + known[1] * covariance[2]
    c, d = known[1] * covariance[0] + known[2] * covariance[1], 1 + known[1] * covariance[1] + known[2] * covariance[2]
    whole = a * d - b * c
    return (
        (covariance[0] * d - covariance[1] * c) / whole,
        (covariance[1] * a - covariance[0] * b) / whole,
        (covariance[2] * a - covariance[1] * b) / whole,
    )


def plus(one: SymmetricMatrix, two: SymmetricMatrix) -> SymmetricMatrix:
    """The sum of two matrices."""
    return one[0] + two[0], one[1] + two[1], one[2] + two[2]


def times(square: SymmetricMatrix, pair: Pair) -> Pair:
    """A matrix times a vector."""
    return square[0] * pair[0] + square[1] * pair[1], square[1] * pair[0] + square[2] * pair[1]


def quadratic_form(square: SymmetricMatrix, pair: Pair) -> float:
    """A vector times a matrix times the vector: the variance of that sum where the matrix is a covariance."""
    return dot(times(square, pair), pair)


def dot(one: Pair, two: Pair) -> float:
    """The scalar product of two vectors."""
    return one[0] * two[0] + one[1] * two[1]


def minus(one: Pair, two: Pair) -> Pair:
    """The difference of two vectors."""
    return one[0] - two[0], one[1] - two[1]
