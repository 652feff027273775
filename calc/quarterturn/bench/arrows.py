"""An arrow against its bow: its mass for the draw weight, and its stiffness by the definition of static spine.

**Mass.** What the arrow does not take of the stored energy, limbs, riser and string must. So there is a least mass for
each pound of draw weight: the limb maker's, or else the published general one. That it is met says only that it is met.

**Stiffness.** Static spine is how far a shaft bends in the middle of two supports under a weight: δ = F·L³/(48·EI), so
that EI = F·L³/(48·δ). Shot, a shaft bends and swings while the string pushes it. The time that it is pushed goes with
√(mass/draw weight), and its own swing with √(mass/EI), all lengths alike. So the two keep step where EI goes with draw
weight, and spine therefore against it. That is a rule of proportion, for the same length, point and mass of arrow, and
no chart: what an arrow really needs, shooting tells.

SI: kg, N, kg/N, m, N·m².

Sources: ASTM F2031, static spine (S2); the older AMO test, 2 lb on 26 in (S2); 5 grains a pound, AMO (S2: quoted by
others, with no figure for recurve bows of their own); the middle of a beam on two supports, Euler and Bernoulli (M).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from quarterturn.numbers import at_most
from quarterturn.units import INCH, to_si

GENERAL_LEAST = to_si(5.0, "gr/lbf")
"""The published general least mass of an arrow for the draw weight, kg/N (AMO, S2)."""
SPINE_FORCE, SPINE_SPAN = to_si(1.94, "lbf"), 28 * INCH
"""Of static spine, N and m (ASTM F2031, S2)."""
OLDER_FORCE, OLDER_SPAN = to_si(2.0, "lbf"), 26 * INCH
"""Of the older test, by which wooden shafts are still sorted, N and m (AMO, S2)."""


class ArrowError(ValueError):
    """A number that no arrow or bow has: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


def _positive(**numbers: float) -> None:
    for name, value in numbers.items():
        if not (math.isfinite(value) and value > 0):
            words = name.replace("_", " ").capitalize()
            raise ArrowError(name, f"{words} must be a number greater than 0.")


# Mass


class MassJudgement(StrEnum):
    """What an arrow's mass comes to against the least mass."""

    ENOUGH = "enough"
    """No less than the least mass, at the heaviest that the draw weight may be."""
    NEAR = "near"
    """No less at the draw weight itself; less at the heaviest that it may be."""
    LIGHT = "light"
    """Less than the least mass."""


@dataclass(frozen=True, slots=True)
class MassCheck:
    """An arrow held against a least mass. Make it with `held`.

    Attributes:
        mass: of the arrow.
        weight: the draw weight.
        heaviest: the most that the draw weight may be, by how uncertain it is.
        least: mass for the draw weight that is wanted at least, kg/N.
        judged: what that comes to.
    """

    mass: float
    weight: float
    heaviest: float
    least: float
    judged: MassJudgement

    @property
    def ratio(self) -> float:
        """The arrow's mass for the draw weight, kg/N."""
        return self.mass / self.weight

    @property
    def needed(self) -> float:
        """The least mass at the draw weight."""
        return self.least * self.weight

    @property
    def spare(self) -> float:
        """By how much the arrow is heavier than the least mass at the draw weight; less than 0 where it is lighter."""
        return self.mass - self.needed

    @property
    def heaviest_bow(self) -> float:
        """The draw weight at which this arrow is just as heavy as it must be, N."""
        return self.mass / self.least


def held(mass: float, weight: float, least: float, uncertainty: float = 0.0) -> MassCheck:
    """Hold an arrow's mass against the least mass for a draw weight that may be more by `uncertainty` (N).

    Raises:
        ArrowError: where a mass, a weight or the least mass is none.
    """
    _positive(mass=mass, weight=weight, least=least)
    if not (math.isfinite(uncertainty) and uncertainty >= 0):
        raise ArrowError("uncertainty", "Uncertainty must be 0 or more.")
    heaviest = weight + uncertainty
    judged = MassJudgement.LIGHT
    if at_most(least * heaviest, mass):
        judged = MassJudgement.ENOUGH
    elif at_most(least * weight, mass):
        judged = MassJudgement.NEAR
    return MassCheck(mass, weight, heaviest, least, judged)


# Stiffness


def stiffness(deflection: float, force: float = SPINE_FORCE, span: float = SPINE_SPAN) -> float:
    """The bending stiffness EI of a shaft that bends so far (m) in the middle of two supports, N·m².

    Without a force and a span, those of static spine.

    Raises:
        ArrowError: where a number is not greater than 0.
    """
    _positive(deflection=deflection, force=force, span=span)
    return force * span**3 / (48 * deflection)


def deflection(stiff: float, force: float = SPINE_FORCE, span: float = SPINE_SPAN) -> float:
    """How far a shaft of this EI (N·m²) bends there, m: `stiffness`, backward.

    Raises:
        ArrowError: where a number is not greater than 0.
    """
    _positive(stiffness=stiff, force=force, span=span)
    return force * span**3 / (48 * stiff)


def by_proportion(spine: float, before: float, after: float) -> float:
    """The static spine that keeps draw weight over EI as it was when the draw weight changes; in the unit of `spine`.

    A rule of proportion, for the same length, point and mass of arrow: see above.

    Raises:
        ArrowError: where a number is not greater than 0.
    """
    _positive(spine=spine, weight_before=before, weight_after=after)
    return spine * before / after
