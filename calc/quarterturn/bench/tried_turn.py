"""A turn that was tried: what it tells of the numbers that nobody has measured.

The tiller that was read after it less the one that is computed is made up of what each number adds that may be off, the
four readings of the tape among them. Each number that was not measured goes where it is most probable then (maximum a
posteriori, found by the Gauss-Newton method): of the whole difference it takes the part that it has in its variance.
What a number does to any other outcome is less by that part too, so that the reading leaves an outcome as sure as it
was, or surer.

Source: Tarantola, Inverse problem theory, SIAM 2005, 3.2 (M).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_numbers import Parameter, moved, parameters
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow, strung
from quarterturn.bench.sensitivities import COARSE, PerturbedBow, Row, Sensitivities, prior_sensitivities
from quarterturn.mechanics import linearisation
from quarterturn.mechanics.bow import BowError
from quarterturn.mechanics.limb import LimbError
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.values import Values

ROUNDS = 10
CLOSE = 1e-5
"""Of the tiller after the turn, m: the numbers are found where the next round would move it by less."""
FARTHEST = 3.0
"""So many standard uncertainties may a reading differ from what is computed; one that differs by more is not used."""


@dataclass(frozen=True, slots=True)
class Outlier:
    """A turn that was tried, whose change of tiller is too far from what the bow gives: it is not used. m.

    Attributes:
        change: of tiller, upper less lower, as it was read.
        expected: the least and the greatest change that would be used; None where no bolt can be brought there.
    """

    change: float
    expected: Pair | None


@dataclass(frozen=True, slots=True)
class Residual:
    """The tiller that was read after the turn less the one that is computed.

    Attributes:
        shares: what each number, off by its half, adds to it, m, by name.
        free: the numbers that the reading may move.
        variance: of the residual, m².
    """

    shares: Mapping[str, float]
    free: frozenset[str]
    variance: float

    def gain(self, name: str) -> float:
        """So many halves a number goes for each metre of the residual, to where it is most probable."""
        return -self.shares.get(name, 0.0) / 3 / self.variance if name in self.free else 0.0

    def posterior(self, prior: Sensitivities) -> Sensitivities:
        """What each number adds to other outcomes, less what the reading has told of all of them."""
        named = list(zip([each.name for each in prior.parameters], prior.rows, strict=True))
        free = [(self.gain(name), row) for name, row in named if name in self.free]
        if not free:
            return prior
        by_metre = [math.fsum(gain * row[at] for gain, row in free) for at in range(len(prior.outcomes))]
        return replace(
            prior,
            rows=tuple(
                tuple([one + self.shares.get(name, 0.0) * by for one, by in zip(row, by_metre, strict=True)])
                for name, row in named
            ),
        )


HELD = {
    *("brace_height", "upper_tiller", "lower_tiller", "upper_now_turns", "lower_now_turns"),
    *("upper_tried_tiller", "lower_tried_tiller", "tried_turns", "stretch"),
}
"""What stays as it was read; and a string that does not stretch cannot stretch less."""


def most_probable(values: Values, setup: Setup) -> Setup | Outlier:
    """The setup with its numbers where the turn that was tried leaves them, or why that turn is not used.

    Raises:
        FitError: there is no bow without it either.
        PocketError: a bolt cannot stand where it is said to.
    """
    fitted_bow(setup)
    return setup if setup.tried is None else _by_gauss_newton(values, setup)


def _by_gauss_newton(values: Values, setup: Setup) -> Setup | Outlier:
    change = setup.upper_tried_tiller - setup.lower_tried_tiller - (setup.upper_tiller - setup.lower_tiller)
    there, at = setup, dict[str, float]()
    try:
        for count in range(ROUNDS):
            listed = parameters(values, there)
            residual, off = _residual(there, listed), _off(there)
            most = FARTHEST * math.sqrt(residual.variance)
            if not count and abs(off) > most:
                return Outlier(change, (change - off - most, change - off + most))
            # As it would be at the start if all went in proportion.
            off -= math.fsum(share * at.get(name, 0.0) for name, share in residual.shares.items())
            wanted = {name: residual.gain(name) * off for name in residual.shares}
            step = math.fsum(share * (wanted[name] - at.get(name, 0.0)) for name, share in residual.shares.items())
            if abs(step) < CLOSE:
                return there
            there, at = _with(setup, listed, wanted), wanted
    except (FitError, PocketError):
        return Outlier(change, None)
    return there


def posterior_sensitivities(
    setup: Setup, listed: tuple[Parameter, ...], outcomes: Callable[[PerturbedBow], Row]
) -> Sensitivities:
    """As `prior_sensitivities`, with what the turn that was tried has told of the parameters.

    Raises:
        FitError, PocketError: where the bow has no answer, or a bolt cannot stand there.
        BowError, LimbError, PocketError: where there is no outcome of the bow as it is.
    """
    prior = prior_sensitivities(setup, listed, outcomes)
    return prior if setup.tried is None else _residual(setup, listed).posterior(prior)


@lru_cache(maxsize=8)
def _residual(setup: Setup, listed: tuple[Parameter, ...]) -> Residual:
    tried = setup.tried or setup.now
    near = linearisation.linearise(fitted_bow(setup).bow, strung(setup, tried), steps=COARSE)

    def off(one: PerturbedBow) -> Row:
        rock = one.setup.rock(one.setup.tried or tried)
        upper, lower = linearisation.linearised_outcome(near, one.bow, rock).distances
        return (one.setup.upper_tried_tiller - one.setup.lower_tried_tiller - (upper - lower),)

    try:
        table = prior_sensitivities(setup, listed, off)
    except (BowError, LimbError) as error:
        raise FitError("turns", str(error)) from None
    shares = {each.name: share for each, (share,) in zip(table.parameters, table.rows, strict=True)}
    free = frozenset(each.name for each in listed if each.known != "measured" and each.name not in HELD)
    return Residual(shares, free, math.fsum(share**2 for share in shares.values()) / 3)


def _off(setup: Setup) -> float:
    """By how much more the tiller was after the turn that was tried than it is computed, m."""
    computed = strung(setup, setup.tried or setup.now).belly_tiller
    return setup.upper_tried_tiller - setup.lower_tried_tiller - computed


def _with(setup: Setup, listed: tuple[Parameter, ...], by: Mapping[str, float]) -> Setup:
    """The setup with numbers more by so many of their halves."""
    for each in listed:
        if more := by.get(each.name, 0.0) * each.half:
            setup = moved(setup, each.name, more)
    return setup
