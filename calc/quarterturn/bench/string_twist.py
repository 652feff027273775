"""How much a string shortens by more twists in it: **an estimate**, from the geometry of a twisted yarn.

The string is a round bundle of even thickness, its fibres all of one length and packed alike. Twisted, a fibre at the
distance ρ from the middle runs along a helix, of the length √(L² + (2πnρ)²) in a string of the length L with n twists;
the fibres share the difference, so that the string is as long as their mean allows. With α the angle of the outermost
fibre to the string, tan α = πnd/L, that gives L₀ = L·(1 + sec α)/2 for the length L₀ without a twist, or without angles
L = L₀ − (πnd)²/(4·L₀). Other means of the fibres' lengths give a shortening that differs by less than 3 % up to the
angle that is the limit here.

What else the string does is left out and may count for more: loops and serving, a string laid of strands that are
themselves twisted, a bundle that is thicker as it is shorter, and that a twisted one stretches more under tension.

Source: Hearle, Grosberg and Backer, Structural Mechanics of Fibers, Yarns, and Fabrics (1969), twist contraction of the
idealized yarn (M).
"""

from __future__ import annotations

import math

from quarterturn.numbers import at_most, fixed_down

SHORTEST, LONGEST = 0.2, 4.0
"""m, of the string."""
THINNEST, THICKEST = 0.5e-3, 10e-3
"""m."""
MOST_TWISTS = 500.0
TIGHTEST = math.radians(25)
"""α: no string is twisted until its outermost fibres lie at more than this to it. Assumed, no source."""


class TwistError(ValueError):
    """A string, or a twisting of it, that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


def surface_angle(length: float, diameter: float, twists: float) -> float:
    """Return α, the outermost fibre's angle to a string that is so long with its twists, rad.

    Raises:
        TwistError: a length, a diameter or a number of twists that no string has.
    """
    if not SHORTEST <= length <= LONGEST:  # false for NaN too
        raise TwistError("length", f"The string's length must be from {1000 * SHORTEST:g} to {1000 * LONGEST:g} mm.")
    if not THINNEST <= diameter <= THICKEST:
        raise TwistError(
            "diameter", f"The string's diameter must be from {1000 * THINNEST:g} to {1000 * THICKEST:g} mm."
        )
    if not 0 <= twists <= MOST_TWISTS:
        raise TwistError("twists", f"The twists in the string must be from 0 to {MOST_TWISTS:g}.")
    return math.atan(math.pi * twists * diameter / length)


def untwisted(length: float, diameter: float, twists: float) -> float:
    """Return how long the string would be without its twists, m.

    Raises:
        TwistError: as `surface_angle`, or where the string is twisted too tightly.
    """
    angle = surface_angle(length, diameter, twists)
    if not at_most(angle, TIGHTEST):
        most = _most_twists(length, diameter)
        raise TwistError(
            "twists",
            f"With these twists the outermost fibres of this string would be at more than {_DEGREES} to it. For its "
            f"length and diameter at most {fixed_down(most, 0)} twists are possible. Count them and measure again.",
        )
    return length * (1 + 1 / math.cos(angle)) / 2


_DEGREES = f"{math.degrees(TIGHTEST):.0f}°"


def _most_twists(length: float, diameter: float) -> float:
    """Return the twists of a string that is so long when it is as tight as it may be."""
    return length * math.tan(TIGHTEST) / (math.pi * diameter)


def _tightest(bare: float) -> float:
    """Return how long a string is when it is as tight as it may be, from its length without a twist."""
    return 2 * bare / (1 + 1 / math.cos(TIGHTEST))


def twists_for(length: float, diameter: float, twists: float, shorter: float) -> float:
    """Return how many more twists make the string shorter by so much (m); both less than 0 for a longer one.

    Raises:
        TwistError: as `untwisted`, or where untwisting does not give back so much, or the string would be twisted too
            tightly.
    """
    bare = untwisted(length, diameter, twists)
    given_back, taken = bare - length, length - _tightest(bare)
    if not at_most(-shorter, given_back):  # false for NaN too
        raise TwistError(
            "shorter",
            f"Untwisting makes this string longer by at most {fixed_down(1000 * given_back, 1)} mm, and then no twist "
            "is left. For more, use a longer string.",
        )
    if not at_most(shorter, taken):
        raise TwistError(
            "shorter",
            f"Twisting makes this string shorter by at most {fixed_down(1000 * taken, 1)} mm, and then its outermost "
            f"fibres are at {_DEGREES} to it. For more, use a shorter string.",
        )
    added = 4 * bare * shorter / (math.pi * diameter) ** 2
    squared = twists**2 + added  # (n + m)², and m without the difference of two near numbers
    return added / (twists + math.sqrt(squared)) if squared > 0 else 0.0 - twists
