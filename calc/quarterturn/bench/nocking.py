"""How high the nocking point lies over square, and what turning a bolt makes of that.

A bow square is clipped on the string with its arm on the rest: the arm is square to the string, through the rest. The
nocking point lies over it by h = (P − R)·e, with P the nocking point, R the rest and e along the string, upward. A bolt
that is turned tilts the string about the rest and draws it along itself, both without a change of the nocking point's
place on the string. So h changes by (P′ − R)·e′ − (P − R)·e.

R is not measured: from the reading of h comes how high it lies, and how far it lies in front of the pivot point is
taken, with what that does to the answer. Strung, the string is one straight line. m, rad, turns out.

Source: plane geometry on the bow of mechanics/bow.py (C).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_perturbed import COARSE, PerturbedBow, Row, perturbed, shares_of
from quarterturn.bench.bow_setup import Pair, Setup, strung
from quarterturn.bench.tried_turn import residual_of
from quarterturn.bench.uncertainty import Budget, Contribution, budget, rectangular
from quarterturn.mechanics import equilibrium
from quarterturn.mechanics.bow import Bow, BowError, Braced
from quarterturn.mechanics.limb import LimbError
from quarterturn.mechanics.pocket import PocketError

PLACE_KNOWN, PLACE_TAKEN = 5e-3, 20e-3
"""How far the rest's place in front of the pivot point may be off either way, m: told by the reader, or taken as none
(our own estimates, no source)."""


@dataclass(frozen=True, slots=True)
class Rest:
    """Where the arrow rest is, from the pivot point: toward the archer (in front of it less than 0) and up, m."""

    x: float
    y: float


def over_square(found: Braced, rest: Rest) -> float:
    """How far the nocking point of the strung bow lies over the square from the rest, m; under it less than 0."""
    lean = found.upper.string_angle
    return (found.nocking_x - rest.x) * math.sin(lean) + (found.nocking_y - rest.y) * math.cos(lean)


def rest_of(found: Braced, over: float, x: float) -> Rest:
    """The rest, at x from the pivot point, over whose square the nocking point of this strung bow lies so far (m)."""
    lean = found.upper.string_angle
    return Rest(x, found.nocking_y + ((found.nocking_x - x) * math.sin(lean) - over) / math.cos(lean))


@dataclass(frozen=True, slots=True)
class NockingReading:
    """The reading, and the rest that it was read from.

    Attributes:
        over: the nocking point over square as it stood, m.
        x: the rest's place along X from the pivot point, m; in front of it less than 0.
        x_off: how far x may be off either way.
    """

    over: float
    x: float
    x_off: float


def change(bow: BowInputs, start: Pair, there: Pair, asked: NockingReading) -> float:
    """By how much more the nocking point lies over square when both bolts go from one pair of places to another, m.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    return over(bow, there, asked) - over(bow, start, asked)


def over(bow: BowInputs, turns: Pair, asked: NockingReading) -> float:
    """How far the nocking point lies over square with the bolts there, by the reading where the bow was measured, m.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    if turns == bow.setup.now:
        return asked.over
    return over_square(strung(bow.setup, turns), rest_of(bow.fitted.braced, asked.over, asked.x))


def change_budget(bow: BowInputs, start: Pair, there: Pair, asked: NockingReading) -> Budget:
    """How sure that is, from all that the bow is made of and from the rest's place.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    now = bow.setup.now
    steps = (start[0] - now[0], start[1] - now[1]), (there[0] - now[0], there[1] - now[1])
    shares = _shares(bow, steps, asked)
    farther = NockingReading(asked.over, asked.x + asked.x_off, asked.x_off)
    by_place = change(bow, start, there, farther) - change(bow, start, there, asked)
    return budget((*shares, rectangular("rest", asked.x_off, by_place / asked.x_off)))


_Steps = tuple[Pair, Pair]
"""From where the readings were taken: turns to the first pair of places, and to the other."""


@lru_cache(maxsize=4)
def _as_they_stand(found: tuple[PerturbedBow, ...], near: Braced) -> tuple[Braced | None, ...]:
    """Each of the bows strung, its bolts where they stand; None where it cannot be."""

    def strung_so(one: PerturbedBow) -> Braced | None:
        try:
            return equilibrium.braced(one.bow, one.setup.rock(one.setup.now), steps=COARSE, start=near)
        except (BowError, LimbError, PocketError):
            return None

    return tuple(map(strung_so, found))


@lru_cache(maxsize=4)
def _slopes(found: tuple[PerturbedBow, ...], near: Braced, turned: _Steps, asked: NockingReading) -> dict[str, Row]:
    """What each number of the bow adds to the change, by its own unit; the last few are kept."""
    slopes: dict[str, Row] = {}
    base = None
    for one, here in zip(found, _as_they_stand(found, near), strict=True):
        try:
            more = None if here is None else _more(one.setup, one.bow, here, turned, asked)
        except (BowError, LimbError, PocketError):
            more = None
        if not one.name:
            base = more
        elif more is not None and base is not None:
            slopes[one.name] = ((more - base) / one.by,)
    if base is None:
        raise FitError("turns", "The bow has no answer there.")
    return slopes


def _shares(bow: BowInputs, turned: _Steps, asked: NockingReading) -> list[Contribution]:
    """What each number of the bow adds to the uncertainty."""
    base, others = perturbed(bow.setup, bow.parameters)
    slopes = _slopes((base, *others), bow.fitted.braced, turned, asked)
    found = residual_of(bow.setup, bow.parameters).posterior(shares_of(bow.parameters, slopes))
    return [
        rectangular(each.name, each.half, found[each.name][0] / each.half)
        for each in bow.parameters
        if each.name in found and each.half
    ]


def _more(setup: Setup, bow: Bow, here: Braced, turned: _Steps, asked: NockingReading) -> float:
    rest = rest_of(here, asked.over, asked.x)
    start, then = (over_square(_turned(setup, bow, here, each), rest) for each in turned)
    return then - start


def _turned(setup: Setup, bow: Bow, here: Braced, turned: Pair) -> Braced:
    if turned == (0.0, 0.0):
        return here
    there = (setup.now[0] + turned[0], setup.now[1] + turned[1])
    return equilibrium.braced(bow, setup.rock(there), steps=COARSE, start=here)
