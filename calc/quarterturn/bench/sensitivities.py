"""What each number that the bow is made from does to what is computed: a table of parameters by outcomes.

A number is moved a little and the bow is found again. So one that a reading decides anyway, such as the string's
length, does nothing, and one that the readings leave open does. What each limb has of its own is moved for the upper
limb and for the lower one; the sensitivity to what both have in common is the sum of theirs.

Parameters are taken as independent and even over their half-widths (GUM 4.3.7, 5.1.2).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError, LinearRefit
from quarterturn.bench.bow_numbers import Parameter, moved
from quarterturn.bench.bow_setup import Setup, fitted_bow
from quarterturn.bench.uncertainty import Budget, budget, rectangular
from quarterturn.mechanics.bow import Bow, BowError
from quarterturn.mechanics.limb import LimbError, StepCounts
from quarterturn.mechanics.pocket import PocketError

COARSE = StepCounts(5, 3)
"""For differences: both sides of one are found with these."""
PERTURBATION = 2e-4
"""Of how far a number may be off: so far it is moved, and what that does is taken as going with it."""

Row = tuple[float, ...]
"""Of some outcomes, such as what one number does to each of them."""


@dataclass(frozen=True, slots=True)
class Sensitivities:
    """A table: what each parameter's being off by its half-width adds to each of some outcomes.

    Attributes:
        outcomes: as the bow is.
        parameters: those with which there is a bow.
        rows: a row a parameter.
    """

    outcomes: Row
    parameters: tuple[Parameter, ...]
    rows: tuple[Row, ...]

    def budget(self, of: Callable[[Row], float]) -> Budget:
        """The uncertainty of a number that goes with the outcomes: `of` tells its part of a row."""
        return budget(
            rectangular(each.name, each.half, of(row) / each.half if each.half else 0.0)
            for each, row in zip(self.parameters, self.rows, strict=True)
        )

    def standard(self, at: int) -> float:
        """The standard uncertainty of one of the outcomes."""
        return math.hypot(*(row[at] for row in self.rows)) / math.sqrt(3)

    def and_of(self, parameters: Sequence[Parameter], rows: Sequence[Row], *, first: bool = False) -> Sensitivities:
        """The table with other parameters after its own, or before them."""
        listed, table = (*self.parameters, *parameters), (*self.rows, *rows)
        if first:
            listed, table = (*parameters, *self.parameters), (*rows, *self.rows)
        return Sensitivities(self.outcomes, listed, table)


def prior_sensitivities(
    setup: Setup, listed: tuple[Parameter, ...], outcomes: Callable[[PerturbedBow], Row]
) -> Sensitivities:
    """The table of these parameters by what `outcomes` finds of a bow, from all readings but the turn that was tried.

    A parameter that leaves no bow, or no outcome, is not in it.

    Raises:
        FitError, PocketError: as `fitted_bow`.
        BowError, LimbError, PocketError: where there is no outcome of the bow as it is.
    """
    base, others = perturbed(setup, listed)
    here = outcomes(base)
    slopes: dict[str, Row] = {}
    for one in others:
        try:
            there = outcomes(one)
        except (BowError, LimbError, PocketError):
            continue
        slopes[one.name] = tuple([(more - less) / one.by for more, less in zip(there, here, strict=True)])
    found = [(each, row) for each in listed if (row := _by_half(each, slopes)) is not None]
    return Sensitivities(here, tuple(each for each, _ in found), tuple(row for _, row in found))


def _by_half(parameter: Parameter, slopes: Mapping[str, Row]) -> Row | None:
    """What a parameter's being off by its half does, from what each of its parts does by its own unit."""
    of_parts = [slope for part in parameter.parts if (slope := slopes.get(part)) is not None]
    if len(of_parts) < len(parameter.parts):
        return None
    return tuple([parameter.half * math.fsum(each) for each in zip(*of_parts, strict=True)])


# The bow with a number a little off


@dataclass(frozen=True, slots=True)
class PerturbedBow:
    """The bow with one number a little off.

    Attributes:
        name: of the number; "" for the bow as it is.
        by: how much it is off, in its own unit.
    """

    name: str
    by: float
    setup: Setup
    bow: Bow


@lru_cache(maxsize=8)
def perturbed(setup: Setup, listed: tuple[Parameter, ...]) -> tuple[PerturbedBow, tuple[PerturbedBow, ...]]:
    """The bow as it is, and with each part of each parameter a little off, all with coarse steps.

    A number with which there is no bow is left out.

    Raises:
        FitError, PocketError: as `fitted_bow`.
    """
    fitted = fitted_bow(setup)
    near = LinearRefit(fitted, COARSE)

    def one(name: str, by: float) -> PerturbedBow | None:
        try:
            there = moved(setup, name, by) if name else setup
            return PerturbedBow(name, by, there, near.refit(there.frame, there.measured))
        except (FitError, PocketError, BowError, LimbError):
            return None

    base = one("", 0.0) or PerturbedBow("", 0.0, setup, fitted.bow)
    found = (one(name, by) for name, by in _steps_of(listed).items())
    return base, tuple(each for each in found if each is not None)


def _steps_of(listed: Sequence[Parameter]) -> dict[str, float]:
    """How far each part of each parameter is moved: so much of the widest half-width that it has a part in."""
    found: dict[str, float] = {}
    for parameter in listed:
        for part in parameter.parts:
            found[part] = max(found.get(part, 0.0), PERTURBATION * parameter.half)
    return {part: by for part, by in found.items() if by}
