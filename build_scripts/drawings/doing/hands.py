"""Hands, in outline: one that pushes with a finger, one that holds between finger and thumb, one that grips.

Each is drawn with its point of action at the origin and its arm to the left, and then placed, turned and mirrored.
A hatched sleeve tells one person's hands from another's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from drawings.sketch import Point, Sketch, smooth
from quarterturn.figures.svg import Element


@dataclass(frozen=True, slots=True)
class Hand:
    """Where a hand acts, which way its fingers point (degrees clockwise from the right), and whose it is."""

    point: Point
    angle: float
    size: float = 1.0
    mirrored: bool = False
    hatched: bool = False
    sleeve: float = 22.0
    """How long the sleeve is."""

    def at(self, points: list[Point]) -> list[Point]:
        """Points of the hand's own frame in the sketch."""
        cosine, sine = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        sign = -1 if self.mirrored else 1
        x0, y0 = self.point
        return [
            (
                x0 + self.size * (x * cosine - sign * y * sine),
                y0 + self.size * (x * sine + sign * y * cosine),
            )
            for x, y in points
        ]

    def draw(self, sketch: Sketch, outline: list[Point], lines: list[list[Point]], wrist: float) -> list[Element]:
        """The hand as a rounded outline with lines in it, its sleeve over the wrist."""
        end = wrist - self.sleeve / self.size
        cuff: list[Point] = [(wrist, -15), (wrist, 15), (end, 17), (end, -17)]
        return [
            *sketch.body(self.at(smooth(outline, closed=True)), "window"),
            *(sketch.stroke(self.at(smooth(line)), "qt-bolt-line") for line in lines),
            *sketch.body(self.at(cuff), "window", hatched="fault" if self.hatched else None),
        ]


def pushing(sketch: Sketch, hand: Hand) -> list[Element]:
    """A hand that pushes with the tip of its first finger."""
    outline: list[Point] = [
        (0, 0), (-3, -4.5), (-16, -6), (-28, -7), (-38, -12), (-52, -15), (-66, -12), (-80, -11), (-80, 11),
        (-66, 13), (-50, 18), (-36, 19), (-27, 17), (-24, 11), (-28, 6), (-16, 5.5), (-3, 4),
    ]  # fmt: skip
    thumb: list[Point] = [(-50, -2), (-40, 2), (-30, 5), (-26, 8)]
    folds: list[list[Point]] = [thumb, [(-36, 19), (-33, 14), (-26, 12)], [(-48, 18), (-45, 13), (-35, 14)]]
    return hand.draw(sketch, outline, folds, -66)


def pinching(sketch: Sketch, hand: Hand) -> list[Element]:
    """A hand that holds something thin between finger and thumb; what it holds lies on the origin."""
    outline: list[Point] = [
        (3, -1), (-1, -6), (-14, -13), (-26, -18), (-42, -18), (-58, -13), (-72, -11), (-72, 11), (-58, 14),
        (-44, 20), (-30, 21), (-22, 17), (-21, 12), (-10, 8), (1, 5),
    ]  # fmt: skip
    between: list[Point] = [(0, 0.5), (-10, -2), (-20, -6), (-28, -4)]
    folds: list[list[Point]] = [between, [(-21, 12), (-30, 10), (-38, 4)], [(-26, 20), (-34, 15), (-42, 14)]]
    return hand.draw(sketch, outline, folds, -58)


def gripping(sketch: Sketch, hand: Hand) -> list[Element]:
    """A fist round a bar that runs across the hand: four fingers over it, the arm to the left."""
    outline: list[Point] = [
        (14, -20), (4, -24), (-14, -22), (-30, -14), (-48, -11), (-48, 11), (-30, 13), (-16, 20), (4, 22), (14, 18),
        (17, 10), (17, -12),
    ]  # fmt: skip
    fingers: list[list[Point]] = [[(17, y), (6, y - 0.5), (-6, y)] for y in (-10.0, 0.0, 10.0)]
    return hand.draw(sketch, outline, [*fingers, [(-6, -20), (-8, 0), (-6, 19)]], -34)
