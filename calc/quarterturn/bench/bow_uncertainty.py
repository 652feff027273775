"""What is foretold of the reader's bow, how sure it is, and which number matters most for it (GUM, as uncertainty.py).

Every number that the bow is made from is moved a little, the bow is found again, and what it foretells is compared. So
one that a reading decides anyway, such as the string's length, has no part, and one that the readings leave open has.

What each limb has of its own is moved for the upper limb and for the lower one. The sensitivity to what both have in
common is the sum of theirs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError, TurnedBow
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_perturbed import COARSE, PerturbedBow, Row, perturbed, shares_of
from quarterturn.bench.bow_setup import Pair, Setup, as_it_is, fitted_bow, foretold
from quarterturn.bench.tried_turn import residual_of
from quarterturn.bench.uncertainty import COVERAGE_FACTOR, Budget, Contribution, budget, rectangular
from quarterturn.mechanics import continuation, linearisation
from quarterturn.mechanics.bow import Bow, BowError
from quarterturn.mechanics.limb import LimbError
from quarterturn.mechanics.linearisation import Linearisation
from quarterturn.mechanics.pocket import PocketError

ROCKED = 1e-4
"""Rad that a limb is rocked for what rocking does."""
MOST_PART = 0.5
"""No more than this part is taken for how far tiller per turn may be off where its reciprocal is looked at."""
STEP = 0.25
"""Turns that a bolt is turned for what it does in one."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a bow gives, or what one more turn or one more of a number adds to it. N, m, N·m.

    Attributes:
        weight: draw weight at the reader's draw length.
        upper_tiller, lower_tiller: string to each limb's belly.
        upper_moment, lower_moment: of the string about each fulcrum, drawn.
    """

    weight: float
    brace_height: float
    upper_tiller: float
    lower_tiller: float
    upper_moment: float
    lower_moment: float

    @property
    def tiller(self) -> float:
        """Upper less lower."""
        return self.upper_tiller - self.lower_tiller

    @property
    def row(self) -> Row:
        """All of its numbers, in order."""
        return (
            self.weight,
            self.brace_height,
            self.upper_tiller,
            self.lower_tiller,
            self.upper_moment,
            self.lower_moment,
        )

    def __add__(self, other: Outcome) -> Outcome:  # written out: there are hundreds a question
        return Outcome(
            self.weight + other.weight,
            self.brace_height + other.brace_height,
            self.upper_tiller + other.upper_tiller,
            self.lower_tiller + other.lower_tiller,
            self.upper_moment + other.upper_moment,
            self.lower_moment + other.lower_moment,
        )

    def __sub__(self, other: Outcome) -> Outcome:
        return Outcome(
            self.weight - other.weight,
            self.brace_height - other.brace_height,
            self.upper_tiller - other.upper_tiller,
            self.lower_tiller - other.lower_tiller,
            self.upper_moment - other.upper_moment,
            self.lower_moment - other.lower_moment,
        )

    def __rmul__(self, factor: float) -> Outcome:
        return Outcome(
            factor * self.weight,
            factor * self.brace_height,
            factor * self.upper_tiller,
            factor * self.lower_tiller,
            factor * self.upper_moment,
            factor * self.lower_moment,
        )


def outcome(found: TurnedBow) -> Outcome:
    """What a bow gives, from how it was found."""
    braced, drawn = found.braced, found.drawn
    return Outcome(
        drawn.force,
        braced.brace_height,
        braced.upper.distance_to_belly,
        braced.lower.distance_to_belly,
        drawn.upper.moment,
        drawn.lower.moment,
    )


@dataclass(frozen=True, slots=True)
class TurnResponse:
    """What the bow gives as it stands, and what a turn OUT of either bolt adds to it, about there."""

    now: Outcome
    upper: Outcome
    lower: Outcome

    def change(self, change: Pair) -> Outcome:
        """What turning both by this much adds, as far as it goes with the turns."""
        return change[0] * self.upper + change[1] * self.lower

    def __add__(self, other: TurnResponse) -> TurnResponse:
        return TurnResponse(self.now + other.now, self.upper + other.upper, self.lower + other.lower)

    def __sub__(self, other: TurnResponse) -> TurnResponse:
        return TurnResponse(self.now - other.now, self.upper - other.upper, self.lower - other.lower)

    def __rmul__(self, factor: float) -> TurnResponse:
        return TurnResponse(factor * self.now, factor * self.upper, factor * self.lower)

    @property
    def row(self) -> Row:
        """All of its numbers."""
        return (*self.now.row, *self.upper.row, *self.lower.row)

    @classmethod
    def of(cls, row: Row) -> TurnResponse:
        """The same, of such a row."""
        size = len(row) // 3
        return cls(Outcome(*row[:size]), Outcome(*row[size : 2 * size]), Outcome(*row[2 * size :]))


@dataclass(frozen=True, slots=True)
class Effect:
    """What a parameter's being off by its half does to the bow as it stands and to what a turn does."""

    parameter: Parameter
    by: TurnResponse


@dataclass(frozen=True, slots=True)
class BowUncertainty:
    """How sure the bow is about what it gives, and about what turns do.

    `lost` are numbers of which no bow was found when they were moved: their uncertainty is not in it, and that is said.
    """

    response: TurnResponse
    effects: tuple[Effect, ...]
    lost: tuple[Parameter, ...] = ()

    def budget_of(self, what: str, change: Pair, *, whole: bool) -> Budget:
        """The uncertainty of one number after a turn; without `whole`, of the difference to what it is now.

        `what` names an attribute of Outcome.
        """

        def share(effect: Effect) -> float:
            now, upper, lower = (float(getattr(one, what)) for one in (effect.by.now, effect.by.upper, effect.by.lower))
            turned = change[0] * upper + change[1] * lower
            return turned + now if whole else turned

        return budget(_contribution(effect, share(effect)) for effect in self.effects)

    def covariance(self, what: str) -> tuple[float, float, float]:
        """Of what one turn of the upper bolt and of the lower one does to a number: variance, covariance, variance."""
        turns = [(float(getattr(each.by.upper, what)), float(getattr(each.by.lower, what))) for each in self.effects]
        return (
            math.fsum([upper * upper for upper, _ in turns]) / 3,
            math.fsum([upper * lower for upper, lower in turns]) / 3,
            math.fsum([lower * lower for _, lower in turns]) / 3,
        )


def _contribution(effect: Effect, share: float) -> Contribution:
    parameter = effect.parameter
    return rectangular(parameter.name, parameter.half, share / parameter.half if parameter.half else 0.0)


def uncertainty_of(inputs: BowInputs) -> BowUncertainty:
    """Find what the bow gives, what turns do, and how sure both are.

    Raises:
        FitError: where the bow cannot be drawn to the reader's draw length.
    """
    steps = _steps(inputs)
    return _uncertainty_of(inputs.setup, inputs.parameters, inputs.draw, steps, inputs.of_scale)


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
    nowhere = FitError("turns", "The bow has no answer a quarter of a turn from where its bolts stand.")
    try:
        # All three begun from one bow: where a turn does nothing they are the same to the last digit.
        turned = [foretold(setup, draw, turns) for turns in _places(setup.now, steps)]
    except (FitError, PocketError):
        raise nowhere from None
    near = [
        (linearisation.linearise(bow, one.braced, steps=COARSE), linearisation.linearise(bow, one.drawn, steps=COARSE))
        for one in turned
    ]
    base, others = perturbed(setup, listed)
    response = _response(base, steps, near)
    if response is None:
        raise nowhere
    slopes = {
        each.name: ((1 / each.by) * (there - response)).row
        for each in others
        if (there := _response(each, steps, near)) is not None
    }
    found = residual_of(setup, listed).posterior(shares_of(listed, slopes))
    by_scale = [Effect(each, _of_forces(response, each.half)) for each in scale]
    effects = [*by_scale, *(Effect(each, TurnResponse.of(found[each.name])) for each in listed if each.name in found)]
    lost = tuple(each for each in listed if each.name not in found)
    return BowUncertainty(
        response, (*effects, _second_order(response, effects), _second_order_of_lever(response, effects)), lost
    )


def _second_order(response: TurnResponse, effects: Sequence[Effect]) -> Effect:
    """What first order leaves out of what one bolt against the other does to tiller, and to brace height with it.

    That goes as the reciprocal of how stiffly the limbs hold each other in balance, and with that stiffness the limbs'
    numbers go in proportion. So where it may be off by a part p of itself to first order, it may be more by
    p/(1 − p), which is more than p. With what a tape tells of tiller, and with the thread's pitch, it goes in
    proportion.
    """
    through = [each.by for each in effects if not each.parameter.name.endswith(("tiller", "rise"))]

    def against(what: str) -> float:
        return math.hypot(*(0.5 * float(getattr(one.upper, what) - getattr(one.lower, what)) for one in through))

    turn = 0.5 * abs(response.upper.tiller - response.lower.tiller)
    tiller, brace = against("tiller"), against("brace_height")
    by = _more_than_first_order(tiller, turn) * Outcome(0.0, brace, 0.5 * tiller, -0.5 * tiller, 0.0, 0.0)
    return Effect(Parameter("second_order", 0.0, 1.0, "computed"), TurnResponse(0.0 * by, by, -1.0 * by))


def _second_order_of_lever(response: TurnResponse, effects: Sequence[Effect]) -> Effect:
    """What first order leaves out of what turning both bolts alike does to brace height.

    That goes as the angle by which the limbs rock, and so as the reciprocal of the pocket's lever.
    """
    lever = math.hypot(
        *(
            0.5 * (each.by.upper.brace_height + each.by.lower.brace_height)
            for each in effects
            if each.parameter.name.endswith("fulcrum_arm")
        )
    )
    turn = 0.5 * abs(response.upper.brace_height + response.lower.brace_height)
    by = _more_than_first_order(lever, turn) * Outcome(0.0, lever, 0.0, 0.0, 0.0, 0.0)
    return Effect(Parameter("second_order_of_lever", 0.0, 1.0, "computed"), TurnResponse(0.0 * by, by, by))


def _more_than_first_order(half: float, whole: float) -> float:
    """How many times its first order what goes as a reciprocal may be off besides: by p/(1 − p), not p.

    p is the part of the whole that its first order makes (k = 2 of an even spread of this half-width).
    """
    part = min(COVERAGE_FACTOR * half / math.sqrt(3) / whole, MOST_PART) if whole else MOST_PART
    return math.sqrt((1 - part) ** -2 - 1)


_Linearisations = tuple[Linearisation, Linearisation]
"""Of a bow strung and drawn."""


def _places(now: Pair, steps: Pair) -> tuple[Pair, Pair, Pair]:
    """Where the bolts stand, and with either of them turned by its step."""
    return now, (now[0] + steps[0], now[1]), (now[0], now[1] + steps[1])


def _response(one: PerturbedBow, steps: Pair, near: Sequence[_Linearisations]) -> TurnResponse | None:
    """What that bow gives; `near` is the bow that was found, at each of the places."""
    setup = one.setup
    try:
        now, upper, lower = (
            _nearby_outcome(one.bow, setup.rock(turns), there)
            for turns, there in zip(_places(setup.now, steps), near, strict=True)
        )
    except (BowError, LimbError, PocketError):
        return None
    return TurnResponse(now, (1 / steps[0]) * (upper - now), (1 / steps[1]) * (lower - now))


def _nearby_outcome(bow: Bow, rock: Pair, near: _Linearisations) -> Outcome:
    """As `outcome`, to first order, of a bow that differs little from the one in view."""
    braced, drawn = linearisation.linearised_outcomes(near, bow, rock)
    return Outcome(drawn.force, braced.brace_height, *braced.distances, *drawn.moments)


def by_rock(setup: Setup, draw: float, turns: Pair) -> tuple[Outcome, Outcome]:
    """What a rad more of the upper limb's rock angle adds to what the bow gives with its bolts there; of the lower's.

    By linearised outcomes of the bow that is found there: no limb is integrated again.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    bow, found, rock = fitted_bow(setup).bow, foretold(setup, draw, turns), setup.rock(turns)
    near = linearisation.linearise(bow, found.braced), linearisation.linearise(bow, found.drawn)
    here = _nearby_outcome(bow, rock, near)

    def by(more: Pair) -> Outcome:
        return (1 / ROCKED) * (_nearby_outcome(bow, (rock[0] + more[0], rock[1] + more[1]), near) - here)

    try:
        return by((ROCKED, 0.0)), by((0.0, ROCKED))
    except BowError as error:
        raise FitError("turns", str(error)) from None


def _of_forces(response: TurnResponse, part: float) -> TurnResponse:
    """What all forces' being more by this part of them does: lengths are as they were."""

    def forces(one: Outcome) -> Outcome:
        return Outcome(part * one.weight, 0.0, 0.0, 0.0, part * one.upper_moment, part * one.lower_moment)

    return TurnResponse(forces(response.now), forces(response.upper), forces(response.lower))


# The curve


@dataclass(frozen=True, slots=True)
class ForceUncertainty:
    """How sure the force is at a few draw lengths (pivot point, m): the force and its standard uncertainty, N."""

    draws: tuple[float, ...]
    forces: tuple[float, ...]
    uncertainty: tuple[float, ...]


def band(inputs: BowInputs, draws: tuple[float, ...]) -> ForceUncertainty:
    """Find how sure the force is at these draw lengths, in the order of draw.

    Raises:
        FitError: where the bow cannot be drawn so far.
    """
    return _band(inputs.setup, inputs.parameters, draws, inputs.of_scale)


@lru_cache(maxsize=4)
def _band(
    setup: Setup, listed: tuple[Parameter, ...], draws: tuple[float, ...], scale: tuple[Parameter, ...]
) -> ForceUncertainty:
    fitted = fitted_bow(setup)
    base, others = perturbed(setup, listed)
    try:
        start = continuation.curve(fitted.bow, fitted.rock, draws, start=fitted.braced) if draws else ()
    except BowError as error:
        raise FitError("draw_weight", str(error)) from None

    near = [linearisation.linearise(fitted.bow, one, steps=COARSE) for one in start]

    def forces(one: PerturbedBow) -> tuple[float, ...] | None:
        try:
            rock = one.setup.rock(one.setup.now)
            return tuple(linearisation.linearised_outcome(there, one.bow, rock).force for there in near)
        except (BowError, LimbError, PocketError):
            return None

    here = forces(base)
    if here is None:
        raise FitError("draw_weight", "The bow cannot be drawn to all of these draw lengths.")
    slopes = {
        each.name: tuple((one - force) / each.by for one, force in zip(found, here, strict=True))
        for each in others
        if (found := forces(each)) is not None
    }
    shares = residual_of(setup, listed).posterior(shares_of(listed, slopes)).values()
    standard = [
        math.hypot(*(row[at] for row in shares), *(each.half * force for each in scale)) / math.sqrt(3)
        for at, force in enumerate(here)
    ]
    return ForceUncertainty(draws, tuple(one.force for one in start), tuple(standard))
