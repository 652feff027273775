"""Where the search for a strung bow begins: each limb braced against its own mirror image, the string upright.

Such a symmetric bow has one unknown: along its bows the string gets shorter as the tip q rises. With both limbs'
guesses the search for the true bow begins, and from them it is told why there is none.

Frame, symbols and source as in mechanics/bow.py.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from quarterturn.mechanics.bow import BowError
from quarterturn.mechanics.limb import StepCounts, bend, integrate
from quarterturn.mechanics.limb_response import INSIDE_LIMB, BowState, LimbSetup, LimbSetups, greatest_tension
from quarterturn.mechanics.numerics import newton_in_bracket

COARSE_STEPS = StepCounts(5, 3)
FARTHEST_TIP = 2.5  # rad, as far as limbs with their mirror images are followed
TIP_STEP = 0.08
MOST_ITERATIONS = 12
STRING_TOLERANCE = 1e-3  # of the limb's length: near enough to begin with
STRING_FITS = 5e-3  # of the limb's length: within it the string fits the limb with its mirror image
TENSION_TOLERANCE = 1e-6  # relative
LARGEST_TENSION_RATIO = 4.0  # of one step
MOST_TENSION_ITERATIONS = 60


@dataclass(frozen=True, slots=True)
class SymmetricGuess:
    """About how a limb is braced against its own mirror image."""

    tension: float
    tip: float
    spare: float
    """How much too short the string is for that, m; less than 0: too long."""


Guesses = tuple[SymmetricGuess | None, SymmetricGuess | None]
"""Of the upper and of the lower limb; None where no string braces such a bow."""


def symmetric_guesses(setups: LimbSetups, steps: StepCounts) -> Guesses:
    """Return each limb as with its mirror image."""
    upper, lower = setups
    half = _half_string(setups)
    return _symmetric_guess(upper, steps, half), _symmetric_guess(lower, steps, upper.string + lower.string - half)


def state_of(setups: LimbSetups, steps: StepCounts, guesses: Guesses) -> BowState | None:
    """Return where to begin if both limbs had one upright string; None where one has no guess."""
    one, two = guesses
    if one is None or two is None:
        return None
    x = (_string_x(setups[0], steps, one) + _string_x(setups[1], steps, two)) / 2
    return one.tension, one.tip, two.tension, two.tip, x, _half_string(setups) - setups[0].string


def _half_string(setups: LimbSetups) -> float:
    """Return how much of an upright string is above the middle between the limbs' roots, m."""
    upper, lower = setups
    return (upper.string + lower.string + upper.root_y - lower.root_y) / 2


def _string_x(setup: LimbSetup, steps: StepCounts, guess: SymmetricGuess) -> float:
    """Return X of an upright string."""
    return setup.root_x + integrate(setup.side.limb, steps, guess.tension, guess.tip)[1]


def not_strung(setups: LimbSetups, guesses: Guesses) -> BowError | None:
    """Return why no braced bow was found, as far as the limbs with their mirror images tell; None where not at all."""
    one, two = guesses
    if one is None or two is None:
        return BowError(
            "string",
            "No strung bow was found for these limbs and this string. The string must be shorter or longer, or the"
            " limbs must lean more toward the archer.",
        )
    loose = STRING_FITS * min(setup.side.limb.length for setup in setups)
    limit = (setups[0].string + setups[1].string + one.spare + two.spare) * 1000
    if min(one.spare, two.spare) < -loose:
        return BowError("string", f"The string would hang slack: it must be shorter than about {limit:.0f} mm.")
    if max(one.spare, two.spare) > loose:
        return BowError("string", f"The string is too short for this bow: it must be longer than about {limit:.0f} mm.")
    return None


# One limb with its mirror image


def _symmetric_guess(setup: LimbSetup, steps: StepCounts, half: float) -> SymmetricGuess | None:
    """Return a limb braced against its mirror image by a string of twice this length, or the nearest that there is.

    None where no string braces such a bow.
    """
    limb = setup.side.limb
    stretch = setup.compliance / setup.string * half

    def at(tip: float, near: float) -> SymmetricGuess | None:
        tension = _upright_tension(setup, steps, tip, near)
        bent = None if tension is None else bend(limb, steps, tension, tip)
        if bent is None or bent.least_distance < -INSIDE_LIMB * limb.length:
            return None
        reach = setup.root_y + bent.root[0] + bent.wrapped
        return SymmetricGuess(bent.tension, tip, reach - half - stretch * bent.tension)

    low, bottom, high = _bracket(at, _unloaded_tip(setup), 0.5 * limb.stiffness / limb.length**2)
    return low if high is None else _false_position(at, low, bottom, high, STRING_TOLERANCE * limb.length)


GuessAt = Callable[[float, float], SymmetricGuess | None]
"""The symmetric bow with this tip, or None where there is none; the second number is a tension near its own, N."""


def _bracket(at: GuessAt, tip: float, tension: float) -> tuple[SymmetricGuess | None, float, SymmetricGuess | None]:
    """Return the last bow whose string is longer than this one, the last tip before the next, and that next bow.

    The bows are followed from this tip on, in steps; None where there is no such bow.
    """
    low: SymmetricGuess | None = None
    bottom = tip
    while tip < FARTHEST_TIP:
        tip += TIP_STEP
        found = at(tip, tension)
        if found is not None and found.spare <= 0:
            return low, bottom, found
        if found is not None:
            low, tension = found, found.tension
        elif low is not None:
            break
        bottom = tip
    return low, bottom, None


def _false_position(
    at: GuessAt, low: SymmetricGuess | None, bottom: float, high: SymmetricGuess, near: float
) -> SymmetricGuess:
    """Return the bow between these two whose string is this one within `near`, m."""
    for _ in range(MOST_ITERATIONS):
        share = 0.5 if low is None else low.spare / (low.spare - high.spare)
        tip = bottom + (high.tip - bottom) * share
        found = at(tip, high.tension)
        if found is None or found.spare > 0:
            low, bottom = found, tip
        else:
            high = found
        if found is not None and abs(found.spare) < near:
            return found
    return high


def _upright_tension(setup: LimbSetup, steps: StepCounts, tip: float, near: float) -> float | None:
    """Return the least T at which the string of a limb with this tip stands upright, θe = 0; None where there is none.

    ψ at the root falls as T rises from 0.
    """
    limb, lean = setup.side.limb, setup.lean

    def short_of_upright(tension: float) -> tuple[float, float]:
        root = integrate(limb, steps, tension, tip)
        return lean - root[2], -root[5]

    return newton_in_bracket(
        short_of_upright,
        0.0,
        math.inf,
        near,
        tolerance=TENSION_TOLERANCE,
        iterations=MOST_TENSION_ITERATIONS,
        growth=LARGEST_TENSION_RATIO,
        greatest=greatest_tension(limb),
    )


def _unloaded_tip(setup: LimbSetup) -> float:
    """Return the least q that bends the limb with the string upright: where T would be 0, or the least there is."""
    limb, lean = setup.side.limb, setup.lean
    inner = limb.inner_curvature * limb.break_at
    whole = inner + limb.tip_curvature * (limb.length - limb.break_at)
    if lean + whole >= 0 or not limb.takes_string:
        return max(0.0, lean + whole)
    leaves = limb.break_at - (lean + inner) / limb.tip_curvature
    return max(limb.least_tip, min(0.0, leaves / limb.length - 1))
