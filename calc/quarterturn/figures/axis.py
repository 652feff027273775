"""From values to user units: an axis, its round steps, a viewport of two axes at right angles, and clipping.

Lengths in words too, for scale bars and what is measured: in millimetres, or in inches with a decimal more.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from quarterturn.numbers import fixed, rounded, trimmed
from quarterturn.units import from_si, to_si

Point = tuple[float, float]

PLACES = 6
"""Decimals of places and costs that are compared: sines differ in the last digits from machine to machine."""


@dataclass(frozen=True, slots=True)
class Axis:
    """A linear axis: `low` is drawn at `start`, and one unit takes `scale` user units (negative where it grows upward).

    With `clamp`, a value off the axis is drawn at its end. With `decimals`, places are rounded to so many.
    """

    low: float
    high: float
    start: float
    scale: float
    clamp: bool = False
    decimals: int | None = None

    @property
    def origin(self) -> float:
        """Where 0 is drawn, or would be."""
        return self.start - self.low * self.scale

    def at(self, value: float) -> float:
        """Where a value is drawn."""
        if self.clamp:
            value = min(max(value, self.low), self.high)
        place = self.start + (value - self.low) * self.scale
        return place if self.decimals is None else round(place, self.decimals)

    @property
    def ends(self) -> tuple[float, float]:
        """The least and the greatest value that count as on the axis, whose own ends are rounded."""
        room = 1e-9 * (self.high - self.low)
        return self.low - room, self.high + room

    def shows(self, value: float) -> bool:
        """Whether a value lies on the axis."""
        least, most = self.ends
        return least <= value <= most


def axis_between(
    low: float, high: float, start: float, end: float, *, clamp: bool = False, decimals: int | None = None
) -> Axis:
    """The axis that draws `low` at `start` and `high` at `end`."""
    return Axis(low, high, start, (end - start) / (high - low), clamp, decimals)


def ticks(low: float, high: float, step: float) -> list[float]:
    """The multiples of a step from low to high."""
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [rounded(count * step) for count in range(first, last + 1)]


def round_steps(span: float) -> list[tuple[float, int]]:
    """Round steps for an axis of this length, and their decimals, from the finest: 1, 2, 5, 10 and so on."""
    finest = math.floor(math.log10(span) + 1e-9) - 2
    pairs = [(factor, power) for power in range(finest, finest + 4) for factor in (1, 2, 5)]
    return [(float(f"{factor}e{power}"), max(0, -power)) for factor, power in pairs]


def round_length(most: float) -> float:
    """The largest of 1, 2, 5, 10, … that is not more."""
    power = 10.0 ** math.floor(math.log10(most) + 1e-9)
    return rounded(next((step for step in (5, 2) if step * power <= most * (1 + 1e-9)), 1) * power)


def length_words(millimetres: float, unit: str, decimals: int) -> str:
    """A length with so many decimals in millimetres, and its unit.

    >>> length_words(2.64, "mm", 2), length_words(2.64, "in", 2)
    ('2.64 mm', '0.104 in')
    """
    return f"{fixed(_in(millimetres, unit), _decimals(unit, decimals))} {unit}"


def length_trimmed(millimetres: float, unit: str, decimals: int) -> str:
    """The same without zeros that say nothing."""
    return f"{trimmed(_in(millimetres, unit), _decimals(unit, decimals))} {unit}"


def bar_length(most: float, unit: str) -> tuple[float, str]:
    """The longest round length for a scale bar of at most so many millimetres: in millimetres, and in words."""
    if unit == "mm":
        length = round_length(most)
        return length, f"{trimmed(length, 4)} mm"
    length = round_length(_in(most, unit))
    return 1000 * to_si(length, unit), f"{trimmed(length, 5)} {unit}"


def _in(millimetres: float, unit: str) -> float:
    return millimetres if unit == "mm" else from_si(millimetres / 1000, unit)


def _decimals(unit: str, of_millimetres: int) -> int:
    return of_millimetres if unit == "mm" else of_millimetres + 1


@dataclass(frozen=True, slots=True)
class Viewport:
    """A window on a drawing to scale: lengths of its frame (mm or m, y up) to user units (y down).

    `prefix` begins the ids of what is drawn in it, `base` those of the hatchings, which windows share.
    """

    prefix: str
    scale_x: float
    scale_y: float
    origin_x: float
    origin_y: float
    top: float
    height: float
    left: float
    right: float
    base: str

    def x(self, along: float) -> float:
        """Where a place along is drawn."""
        return self.origin_x + along * self.scale_x

    def y(self, up: float) -> float:
        """Where a height is drawn."""
        return self.origin_y - up * self.scale_y

    def at(self, point: Point) -> Point:
        """Where a point is drawn."""
        return self.origin_x + point[0] * self.scale_x, self.origin_y - point[1] * self.scale_y

    def all(self, points: Iterable[Point]) -> list[Point]:
        """Where points are drawn."""
        return [self.at(point) for point in points]

    @property
    def bottom(self) -> float:
        """The window's lower edge."""
        return self.top + self.height


def clipped_part(start: Point, end: Point, box: tuple[float, float, float, float]) -> tuple[float, float] | None:
    """From which part of a straight line to which it lies in a box; None for nowhere (Liang & Barsky 1984).

    The box is left, top, right, bottom, or in any other frame the least x and y and the greatest.
    """
    first, last = 0.0, 1.0
    for a, b, low, high in ((start[0], end[0], box[0], box[2]), (start[1], end[1], box[1], box[3])):
        if max(a, b) < low or min(a, b) > high:
            return None
        if a != b:
            enter, leave = (low - a) / (b - a), (high - a) / (b - a)
            first, last = max(first, min(enter, leave)), min(last, max(enter, leave))
    return (first, last) if first <= last else None
