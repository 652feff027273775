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
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow, strung
from quarterturn.bench.sensitivities import COARSE, PerturbedBow, Row, Sensitivities, perturbed
from quarterturn.bench.tried_turn import posterior_sensitivities
from quarterturn.bench.uncertainty import Budget, budget, rectangular
from quarterturn.mechanics import equilibrium
from quarterturn.mechanics.bow import Bow, BowError, BracedBow
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


def over_square(found: BracedBow, rest: Rest) -> float:
    """How far the nocking point of the strung bow lies over the square from the rest, m; under it less than 0."""
    lean = found.upper.string_angle
    return (found.nocking_x - rest.x) * math.sin(lean) + (found.nocking_y - rest.y) * math.cos(lean)


def rest_of(found: BracedBow, over: float, x: float) -> Rest:
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


def change(bow: BowInputs, start: Pair, there: Pair, reading: NockingReading) -> float:
    """By how much more the nocking point lies over square when both bolts go from one pair of places to another, m.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    return over(bow, there, reading) - over(bow, start, reading)


def over(bow: BowInputs, turns: Pair, reading: NockingReading) -> float:
    """How far the nocking point lies over square with the bolts there, by the reading where the bow was measured, m.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    if turns == bow.setup.now:
        return reading.over
    return over_square(strung(bow.setup, turns), rest_of(bow.fitted.braced, reading.over, reading.x))


def change_budget(bow: BowInputs, start: Pair, there: Pair, reading: NockingReading) -> Budget:
    """How sure that is, from all that the bow is made of and from the rest's place.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    now = bow.setup.now
    turned = (start[0] - now[0], start[1] - now[1]), (there[0] - now[0], there[1] - now[1])
    of_bow = _sensitivities(bow.setup, bow.parameters, turned, reading).budget(lambda row: row[0])
    farther = NockingReading(reading.over, reading.x + reading.x_off, reading.x_off)
    by_place = change(bow, start, there, farther) - change(bow, start, there, reading)
    return budget((*of_bow.contributions, rectangular("rest", reading.x_off, by_place / reading.x_off)))


_Steps = tuple[Pair, Pair]
"""From where the readings were taken: turns to the first pair of places, and to the other."""


@lru_cache(maxsize=4)
def _as_they_stand(setup: Setup, listed: tuple[Parameter, ...]) -> dict[str, BracedBow]:
    """The bow with each number a little off, strung, its bolts where they stand; by the number's name."""
    base, others = perturbed(setup, listed)
    near, found = fitted_bow(setup).braced, {}
    for one in (base, *others):
        with suppress(BowError, LimbError, PocketError):
            rock = one.setup.rock(one.setup.now)
            found[one.name] = equilibrium.braced(one.bow, rock, steps=COARSE, start=near)
    return found


@lru_cache(maxsize=4)
def _sensitivities(
    setup: Setup, listed: tuple[Parameter, ...], turned: _Steps, reading: NockingReading
) -> Sensitivities:
    """What each number of the bow adds to the change; the last few are kept."""
    strung_bows = _as_they_stand(setup, listed)

    def more(one: PerturbedBow) -> Row:
        here = strung_bows.get(one.name)
        if here is None:
            raise BowError("strung", "The bow cannot be computed where its bolts are.")
        rest = rest_of(here, reading.over, reading.x)
        start, then = (over_square(_turned(one.setup, one.bow, here, each), rest) for each in turned)
        return (then - start,)

    try:
        return posterior_sensitivities(setup, listed, more)
    except (BowError, LimbError, PocketError):
        raise FitError("turns", "The bow cannot be computed there.") from None


def _turned(setup: Setup, bow: Bow, here: BracedBow, turned: Pair) -> BracedBow:
    if turned == (0.0, 0.0):
        return here
    there = (setup.now[0] + turned[0], setup.now[1] + turned[1])
    return equilibrium.braced(bow, setup.rock(there), steps=COARSE, start=here)
