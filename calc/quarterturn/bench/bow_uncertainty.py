"""How sure it is what the reader's bow gives, what turns do, and how the force grows over the draw (GUM).

All of it is sums over one table: what each number that the bow is made from, off by its half-width, adds to what is
computed (see `sensitivities`), less what a turn that was tried has told.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_setup import Pair, Setup, as_it_is, fitted_bow, foretold
from quarterturn.bench.outcomes import (
    OUTCOMES,
    SIZE,
    OutcomeLinearisation,
    TurnResponse,
    linearise_outcome,
    linearised_row,
    of_response,
)
from quarterturn.bench.sensitivities import COARSE, PerturbedBow, Row, Sensitivities
from quarterturn.bench.tried_turn import posterior_sensitivities
from quarterturn.bench.uncertainty import COVERAGE_FACTOR, Budget
from quarterturn.mechanics import continuation, linearisation
from quarterturn.mechanics.bow import BowError
from quarterturn.mechanics.limb import LimbError
from quarterturn.mechanics.pocket import PocketError

MOST_PART = 0.5
"""No more than this part is taken for how far tiller per turn may be off where its reciprocal is looked at."""
STEP = 0.25
"""Turns that a bolt is turned for what it does in one."""
FORCES = tuple(OUTCOMES.index(name) for name in ("weight", "upper_moment", "lower_moment"))
"""The outcomes that go with the limbs' stiffness; the others are lengths."""


@dataclass(frozen=True, slots=True)
class BowUncertainty:
    """How sure the bow is about what it gives, and about what turns do.

    Attributes:
        table: the outcomes as the bow stands, and by a turn out of either bolt (as `TurnResponse.of`), by parameter.
        lost: numbers of which no bow was found when they were moved: their uncertainty is not in it, and that is said.
    """

    table: Sensitivities
    lost: tuple[Parameter, ...] = ()

    @property
    def response(self) -> TurnResponse:
        """What the bow gives, and what turns do."""
        return TurnResponse.of(self.table.outcomes)

    def budget_of(self, what: str, change: Pair, *, whole: bool) -> Budget:
        """The uncertainty of one number after a turn; without `whole`, of the difference to what it is now.

        `what` names an attribute of Outcome.
        """
        return self.table.budget(lambda row: _after_turn(row, what, change, whole=whole))

    def shares(self, what: str, change: Pair, *, whole: bool = False) -> tuple[tuple[Parameter, float], ...]:
        """What each parameter, off by its half, adds to one number after a turn, or to the difference."""
        shares = [_after_turn(row, what, change, whole=whole) for row in self.table.rows]
        return tuple(zip(self.table.parameters, shares, strict=True))

    def covariance(self, what: str) -> tuple[float, float, float]:
        """Of what one turn of the upper bolt and of the lower one does to a number: variance, covariance, variance."""
        turns = [of_response(row, what)[1:] for row in self.table.rows]
        return (
            math.fsum([upper * upper for upper, _ in turns]) / 3,
            math.fsum([upper * lower for upper, lower in turns]) / 3,
            math.fsum([lower * lower for _, lower in turns]) / 3,
        )


def _after_turn(row: Row, what: str, change: Pair, *, whole: bool) -> float:
    now, upper, lower = of_response(row, what)
    turned = change[0] * upper + change[1] * lower
    return turned + now if whole else turned


def uncertainty_of(inputs: BowInputs) -> BowUncertainty:
    """Find what the bow gives, what turns do, and how sure both are.

    Raises:
        FitError: where the bow cannot be drawn to the reader's draw length.
    """
    return _uncertainty_of(inputs.setup, inputs.parameters, inputs.draw, _steps(inputs), inputs.of_scale)


def _steps(inputs: BowInputs) -> Pair:
    """Which way each bolt is turned to see what a turn does: in, but out where that would leave its window."""
    found = []
    for at in range(2):
        inward = (-STEP, 0.0) if at == 0 else (0.0, -STEP)
        inside = inputs.windows is None or inputs.windows[at].holds(inputs.at(inward)[at])
        found.append(-STEP if inside else STEP)
    return found[0], found[1]


@lru_cache(maxsize=4)
def _uncertainty_of(
    setup: Setup, listed: tuple[Parameter, ...], draw: float, steps: Pair, scale: tuple[Parameter, ...]
) -> BowUncertainty:
    bow = fitted_bow(setup).bow
    as_it_is(setup, draw)  # its refusal is about the draw
    try:
        # All three begun from one bow: where a turn does nothing they are the same to the last digit.
        turned = [foretold(setup, draw, turns) for turns in _places(setup.now, steps)]
        near = tuple(linearise_outcome(bow, one, steps=COARSE) for one in turned)
        found = posterior_sensitivities(setup, listed, lambda one: _response_row(one, steps, near))
    except (FitError, BowError, LimbError, PocketError):
        raise FitError("turns", "The bow cannot be computed a quarter of a turn from where its bolts are.") from None
    table = found.and_of(scale, [_of_forces(found.outcomes, each.half) for each in scale], first=True)
    computed = tuple(Parameter(name, 0.0, 1.0, "computed") for name in ("second_order", "second_order_of_lever"))
    lost = tuple(each for each in listed if each not in found.parameters)
    return BowUncertainty(table.and_of(computed, (_second_order(table), _second_order_of_lever(table))), lost)


def _places(now: Pair, steps: Pair) -> tuple[Pair, Pair, Pair]:
    """Where the bolts stand, and with either of them turned by its step."""
    return now, (now[0] + steps[0], now[1]), (now[0], now[1] + steps[1])


def _response_row(one: PerturbedBow, steps: Pair, near: tuple[OutcomeLinearisation, ...]) -> Row:
    """What that bow gives, and what turns do; `near` is the bow that was found, at each of the places."""
    setup = one.setup
    now, upper, lower = (
        linearised_row(one.bow, setup.rock(turns), there)
        for turns, there in zip(_places(setup.now, steps), near, strict=True)
    )
    by_upper, by_lower = 1 / steps[0], 1 / steps[1]
    return (
        *now,
        *[by_upper * (there - here) for there, here in zip(upper, now, strict=True)],
        *[by_lower * (there - here) for there, here in zip(lower, now, strict=True)],
    )


def _of_forces(outcomes: Row, part: float) -> Row:
    """What all forces' being more by this part of them does: lengths are as they were."""
    return tuple([part * value if at % SIZE in FORCES else 0.0 for at, value in enumerate(outcomes)])


def _second_order(table: Sensitivities) -> Row:
    """What first order leaves out of what one bolt against the other does to tiller, and to brace height with it.

    That goes as the reciprocal of how stiffly the limbs hold each other in balance, and with that stiffness the limbs'
    numbers go in proportion. So where it may be off by a part p of itself to first order, it may be more by
    p/(1 − p), which is more than p. With what a tape tells of tiller, and with the thread's pitch, it goes in
    proportion.
    """

    def against(row: Row, what: str) -> float:
        _, upper, lower = of_response(row, what)
        return 0.5 * (upper - lower)

    through = [
        row
        for each, row in zip(table.parameters, table.rows, strict=True)
        if not each.name.endswith(("tiller", "rise"))
    ]
    tiller, brace = (math.hypot(*(against(row, what) for row in through)) for what in ("tiller", "brace_height"))
    more = _more_than_first_order(tiller, abs(against(table.outcomes, "tiller")))
    by = [more * one for one in (0.0, brace, 0.5 * tiller, -0.5 * tiller, 0.0, 0.0)]
    return (*[0.0 * one for one in by], *by, *[-1.0 * one for one in by])


def _second_order_of_lever(table: Sensitivities) -> Row:
    """What first order leaves out of what turning both bolts alike does to brace height.

    That goes as the angle by which the limbs rock, and so as the reciprocal of the pocket's lever.
    """

    def alike(row: Row) -> float:
        _, upper, lower = of_response(row, "brace_height")
        return 0.5 * (upper + lower)

    named = zip(table.parameters, table.rows, strict=True)
    lever = math.hypot(*(alike(row) for each, row in named if each.name.endswith("fulcrum_arm")))
    more = _more_than_first_order(lever, abs(alike(table.outcomes)))
    by = [more * one for one in (0.0, lever, 0.0, 0.0, 0.0, 0.0)]
    return (*[0.0 * one for one in by], *by, *by)


def _more_than_first_order(half: float, whole: float) -> float:
    """How many times its first order what goes as a reciprocal may be off besides: by p/(1 − p), not p.

    p is the part of the whole that its first order makes (k = 2 of an even spread of this half-width).
    """
    part = min(COVERAGE_FACTOR * half / math.sqrt(3) / whole, MOST_PART) if whole else MOST_PART
    return math.sqrt((1 - part) ** -2 - 1)


# Over the draw


def force_sensitivities(inputs: BowInputs, draws: tuple[float, ...]) -> Sensitivities:
    """The table of the force at these draw lengths (pivot point, m, in the order of draw), N, by parameter.

    Raises:
        FitError: where the bow cannot be drawn so far.
    """
    return _force_sensitivities(inputs.setup, inputs.parameters, draws, inputs.of_scale)


@lru_cache(maxsize=4)
def _force_sensitivities(
    setup: Setup, listed: tuple[Parameter, ...], draws: tuple[float, ...], scale: tuple[Parameter, ...]
) -> Sensitivities:
    fitted = fitted_bow(setup)
    try:
        start = continuation.curve(fitted.bow, fitted.rock, draws, start=fitted.braced) if draws else ()
        near = [linearisation.linearise(fitted.bow, one, steps=COARSE) for one in start]

        def forces(one: PerturbedBow) -> Row:
            rock = one.setup.rock(one.setup.now)
            return tuple([linearisation.linearised_outcome(there, one.bow, rock).force for there in near])

        found = posterior_sensitivities(setup, listed, forces)
    except (BowError, LimbError, PocketError) as error:
        raise FitError("draw_weight", str(error)) from None
    return found.and_of(scale, [tuple([each.half * force for force in found.outcomes]) for each in scale])
