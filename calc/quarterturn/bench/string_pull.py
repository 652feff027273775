"""The string's pull when only a draw weight is known: its tension, and its moment about the fulcrum of a limb.

The drawn bow is taken as mirror symmetric, so that both limbs pull alike. Frame: origin at the grip's pivot point, X
toward the archer, Y up. The nocking point is on the X axis at the draw length from the pivot; the upper fulcrum is at
(`fulcrum_x`, half of `fulcrum_span`). The tip is half a string from the nocking point, and from the fulcrum the chord
of the bent limb: `tip_length` times a ratio. A bent limb's chord is shorter than the limb: the ratio is **assumed**, no
source, as 0.95 for the answer and 0.90 and 1 for its bounds. The string is taken to end at the tip, without stretch or
friction. m, N, N·m, rad.

Source: statics of two equal forces at the nocking point (T = F/(2 cos α)) and a triangle of three known sides.
"""

import math
from dataclasses import dataclass

CHORD = 0.95  # assumed: fulcrum to tip along a straight line, over the limb's tip length
CHORD_SHORT = 0.90
CHORD_LONG = 1.0

STRAIGHTEST = math.acos(0.01)  # rad: a string at a greater angle to the draw is as good as straight
GREATEST_WEIGHT = 1000.0  # N


class PullError(ValueError):
    """A bow or a draw that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


def _check_range(name: str, value: float, words: str, least: float, greatest: float) -> None:
    if not least <= value <= greatest:  # false for NaN too
        raise PullError(name, f"{words} must be from {least * 1000:g} to {greatest * 1000:g} mm.")


@dataclass(frozen=True, slots=True)
class Geometry:
    """The drawn bow's dimensions, alike for both limbs.

    Raises PullError where one is not a number, is outside its range, or the draw does not come past the fulcrums.
    """

    draw: float
    """Pivot point to nocking point, m (a draw length on a tape by the AMO standard is 1.75 in more)."""
    fulcrum_x: float
    """X_F: how far the fulcrums lie from the pivot point toward the archer, m; negative where they lie in front."""
    fulcrum_span: float
    """From one fulcrum to the other, m."""
    string_length: float
    """From loop to loop along the strung string, m."""
    tip_length: float
    """Fulcrum to the tip's nock, limb unstrung, m."""

    def __post_init__(self) -> None:
        _check_range("draw", self.draw, "The draw length from the pivot point", 0.05, 1.5)
        _check_range("fulcrum_x", self.fulcrum_x, "The fulcrums' distance from the pivot point", -0.3, 0.3)
        _check_range("fulcrum_span", self.fulcrum_span, "The distance from fulcrum to fulcrum", 0.05, 1.5)
        _check_range("string_length", self.string_length, "The string's length", 0.2, 4.0)
        _check_range("tip_length", self.tip_length, "The distance from fulcrum to tip", 0.1, 1.5)
        if self.draw <= self.fulcrum_x:
            raise PullError(
                "draw",
                "The nocking point must lie nearer the archer than the fulcrums: the draw length from the pivot point"
                f" must be more than {self.fulcrum_x * 1000:.6g} mm.",
            )


@dataclass(frozen=True, slots=True)
class Triangle:
    """The upper half of the drawn bow with one ratio of chord to tip length."""

    tip_x: float
    """m."""
    tip_y: float
    """m."""
    angle: float
    """α: between half a string and the line of the draw, rad."""
    lever: float
    """Fulcrum to the half string's line, m."""


@dataclass(frozen=True, slots=True)
class Pull:
    """What the string does to a limb."""

    tension: float
    """T in the string, N."""
    angle: float
    """α: between half a string and the line of the draw, rad."""
    lever: float
    """Fulcrum to the half string's line, m."""
    moment: float
    """About the fulcrum, T·lever, N·m, with the middle ratio of chord to tip length."""
    low: float
    """The least moment, N·m, that the chord's bounds give."""
    high: float
    """The greatest."""


def _check_string(geometry: Geometry, ratios: tuple[float, ...]) -> None:
    """Refuse a string that would leave a limb upright or bend it past a right angle, with any of the ratios."""
    ahead, half = geometry.draw - geometry.fulcrum_x, geometry.fulcrum_span / 2
    chords = [ratio * geometry.tip_length for ratio in ratios]
    shortest = 2 * max(math.hypot(ahead - chord, half) for chord in chords)
    longest = 2 * min(math.hypot(ahead, half + chord) for chord in chords)
    if shortest >= longest:
        raise PullError(
            "tip_length",
            "The limbs are too long for this draw length: no string would bend them. The distance from fulcrum to tip"
            " must be less.",
        )
    if geometry.string_length <= shortest:
        raise PullError(
            "string_length",
            "The string is too short to reach from the tips to the nocking point at this draw length: it must be longer"
            f" than {shortest * 1000:.6g} mm.",
        )
    if geometry.string_length >= longest:
        raise PullError(
            "string_length",
            "The string is longer than tips and fulcrums allow and would be slack at this draw length: it must be"
            f" shorter than {longest * 1000:.6g} mm.",
        )


def triangle(geometry: Geometry, ratio: float) -> Triangle:
    """Return the tip, the string's angle and its lever where the limb's chord is `ratio` times its tip length.

    Raises PullError where the ratio is not from 0.5 to 1, the string is too short or slack, or it would be straight or
    bent away from the archer, as in a bow that is only braced or less.
    """
    if not 0.5 <= ratio <= 1:
        raise PullError("ratio", "The ratio of the bent limb's chord to its length must be from 0.5 to 1.")
    _check_string(geometry, (ratio,))
    chord, string, half = ratio * geometry.tip_length, geometry.string_length / 2, geometry.fulcrum_span / 2
    ahead = geometry.draw - geometry.fulcrum_x
    apart = math.hypot(ahead, half)
    # along the line from fulcrum to nocking point, and square to it on the upper side
    foot = (apart**2 + chord**2 - string**2) / (2 * apart)
    off = math.sqrt((chord - foot) * (chord + foot))
    tip_x = geometry.fulcrum_x + (foot * ahead + off * half) / apart
    tip_y = half + (off * ahead - foot * half) / apart
    lever = off * apart / string  # twice the triangle's area over the string's side
    angle = math.acos((geometry.draw - tip_x) / string)
    if angle > STRAIGHTEST:
        raise PullError(
            "draw",
            "At this draw length the string would be straight, as when braced, or bent away from the archer: the draw"
            " length must be more, or the string longer.",
        )
    return Triangle(tip_x, tip_y, angle, lever)


def tension(weight: float, angle: float) -> float:
    """Return T = F/(2 cos α), N, of a string that leaves the nocking point at α on both sides of the draw's line.

    Raises PullError where the weight is not more than 0 and at most 1000 N, or the string is all but straight.
    """
    if not 0 < weight <= GREATEST_WEIGHT:
        raise PullError("weight", f"Draw weight must be a force of more than 0 and at most {GREATEST_WEIGHT:.0f} N.")
    if not 0 <= angle <= STRAIGHTEST:
        raise PullError(
            "angle", "The string must not be straight: its angle to the draw must be from 0 to 89.4 degrees."
        )
    return weight / (2 * math.cos(angle))


def pull(weight: float, geometry: Geometry) -> Pull:
    """Return the string's tension and its moment about each fulcrum, with the bounds that the assumed chord gives.

    Raises PullError where the weight is not more than 0 and at most 1000 N, or as `triangle` for any of the chords.
    """
    _check_string(geometry, (CHORD_SHORT, CHORD, CHORD_LONG))
    middle = triangle(geometry, CHORD)
    pulled = tension(weight, middle.angle)
    moment = pulled * middle.lever
    bounds = [triangle(geometry, ratio) for ratio in (CHORD_SHORT, CHORD_LONG)]
    moments = [moment, *(tension(weight, bound.angle) * bound.lever for bound in bounds)]
    return Pull(pulled, middle.angle, middle.lever, moment, min(moments), max(moments))
