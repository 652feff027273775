"""What each number that the bow is made from does to what is computed: it is moved a little and the bow is found again.

So one that a reading decides anyway, such as the string's length, does nothing, and one that the readings leave open
does. What each limb has of its own is moved for the upper limb and for the lower one; the sensitivity to what both have
in common is the sum of theirs.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.bow_fit import FitError, LinearRefit
from quarterturn.bench.bow_numbers import Parameter, moved
from quarterturn.bench.bow_setup import Setup, fitted_bow
from quarterturn.mechanics.bow import Bow, BowError
from quarterturn.mechanics.limb import LimbError, StepCounts
from quarterturn.mechanics.pocket import PocketError

COARSE = StepCounts(5, 3)
"""For differences: both sides of one are linearised with these."""
PERTURBATION = 2e-4
"""Of how far a number may be off: so far it is moved, and what that does is taken as going with it."""


Row = tuple[float, ...]
"""Of some outcomes, such as what one number does to each of them."""


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


def shares_of(listed: Sequence[Parameter], slopes: Mapping[str, Row]) -> dict[str, Row]:
    """What each parameter's being off by its half does, by name, from what each part does by its own unit.

    One of which that is not known of all parts is left out.
    """
    found: dict[str, Row] = {}
    for parameter in listed:
        of_parts = [slope for part in parameter.parts if (slope := slopes.get(part)) is not None]
        if len(of_parts) == len(parameter.parts):
            found[parameter.name] = tuple(parameter.half * math.fsum(each) for each in zip(*of_parts, strict=True))
    return found
