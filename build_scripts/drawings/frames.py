"""The figures of the frames on the page about the model: where the origins lie, and what each letter measures.

Both are computed by the package: a rocked limb under its bolt in proportions that show the letters, and the strung
default bow. Millimetres of the thing go to user units of the picture by one scale either way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from published.bow import DEFAULT_BOW, default_rock
from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture
from quarterturn.mechanics.equilibrium import braced
from quarterturn.mechanics.limb_line import LimbLine, limb_lines
from quarterturn.mechanics.pocket import Pocket, back_height, butt_corner
from quarterturn.units import INCH

Point = tuple[float, float]

MM = 1e-3
SIZE = 13.0
SHOWN = Pocket(0.052, 0.012, 0.066, 0.014, 0.004, INCH / 24, 0.5)
"""Proportions in which the letters have room; no bow's."""
ROCK = 0.17
"""rad; more than any limb rocks, so that it is seen."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Where a point of the frame, m, lies in the picture."""

    left: float
    top: float
    unit: float
    """User units for a metre."""

    def at(self, point: Point) -> Point:
        """The point in the picture; y and Y go up there too."""
        return self.left + point[0] * self.unit, self.top - point[1] * self.unit

    def line(self, start: Point, end: Point, class_: str) -> Element:
        """A straight line between two points of the frame."""
        return svg.line(*self.at(start), *self.at(end), class_=class_)

    def path(self, points: list[Point], class_: str) -> Element:
        """An open line through points of the frame."""
        parts: list[str | float] = []
        for rank, point in enumerate(points):
            parts += ["L" if rank else "M", *self.at(point)]
        return svg.path(*parts, class_=class_)

    def body(self, points: list[Point], class_: str) -> Element:
        """A filled shape."""
        return svg.polygon([self.at(point) for point in points], class_=class_)

    def name(self, point: Point, words: str, dx: float = 0.0, dy: float = 0.0, *, anchor: str = "middle") -> Element:
        """A letter beside a point, moved by so many user units."""
        x, y = self.at(point)
        return svg.text(x + dx, y + dy, words, size=SIZE, anchor=anchor, class_="qt-text qt-halo")

    def dot(self, point: Point) -> Element:
        """A point of the frame."""
        return svg.circle(*self.at(point), 2.4, class_="qt-fulcrum")

    def arrow(self, start: Point, end: Point) -> list[Element]:
        """A line with a head at its end: an axis, or one end of a measure."""
        (x0, y0), (x, y) = self.at(start), self.at(end)
        turn = math.atan2(y - y0, x - x0)
        barbs = [(x - 6 * math.cos(turn + side), y - 6 * math.sin(turn + side)) for side in (0.4, -0.4)]
        return [svg.line(x0, y0, x, y, class_="qt-dimension"), svg.polygon([(x, y), *barbs], class_="qt-fulcrum")]

    def measure(self, start: Point, end: Point) -> list[Element]:
        """A measure between two points, with a head at either end."""
        return [*self.arrow(start, end), self.arrow(end, start)[1]]


def pocket_frame(prefix: str) -> Picture:
    """The limb in its pocket, rocked: the frame of the model's first section."""
    corner = butt_corner(SHOWN, ROCK)
    height = back_height(SHOWN, ROCK, corner[0])
    along, out = (math.cos(ROCK), -math.sin(ROCK)), (math.sin(ROCK), math.cos(ROCK))
    fulcrum = (SHOWN.fulcrum_arm, -SHOWN.limb_depth)
    foot = _from(fulcrum, out, SHOWN.limb_depth)
    tip = _from(foot, along, 0.026)
    scale = Scale(84.0, 116.0, 3400.0)
    radius, bolt = SHOWN.head_radius, 0.004
    floor = -0.031
    drawn = [
        scale.body([corner, tip, _from(tip, out, -SHOWN.limb_depth), _from(corner, out, -SHOWN.limb_depth)], "qt-limb"),
        scale.path([_from(tip, out, -SHOWN.limb_depth), _from(corner, out, -SHOWN.limb_depth), corner], "qt-limb-line"),
        scale.line(corner, tip, "qt-limb-back"),
        scale.body([(-bolt, floor), (bolt, floor), (bolt, height), (-bolt, height)], "qt-bolt"),
        scale.body(
            [(-radius, height), (radius, height), (radius, height + 0.006), (-radius, height + 0.006)], "qt-bolt"
        ),
        scale.line((-radius, height), (radius, height), "qt-head-underside"),
        scale.body([fulcrum, _from(fulcrum, (0.5, -1.0), 0.009), _from(fulcrum, (-0.5, -1.0), 0.009)], "qt-riser"),
        *scale.arrow((0.0, floor), (0.0, height + 0.017)),
        *scale.arrow((-0.02, 0.0), (0.072, 0.0)),
        scale.name((0.0, height + 0.017), "y", 11, 4),
        scale.name((0.072, 0.0), "x", 4, -7),
        scale.dot((0.0, 0.0)),
        scale.name((0.0, 0.0), "O", 9, 14),
        *scale.measure((-0.018, 0.0), (-0.018, height)),
        scale.name((-0.018, height / 2), "h", -10, 4),
        *scale.measure((0.0, height + 0.010), (radius, height + 0.010)),
        scale.name((radius, height + 0.010), "R", 10, 4),
        *scale.measure(_from(corner, out, 0.0045), _from(foot, out, 0.0045)),
        scale.name(_from(_from(corner, out, 0.0045), along, 0.72 * SHOWN.butt_length), "b", 4, -7),
        *scale.measure(fulcrum, foot),
        scale.name(_from(fulcrum, out, SHOWN.limb_depth / 2), "t", 10, 6),
        *scale.measure((0.0, -0.027), (SHOWN.fulcrum_arm, -0.027)),
        scale.name((SHOWN.fulcrum_arm / 2, -0.027), "a", 0, 15),
        scale.dot(corner),
        scale.name(corner, "C", -10, -4),
        scale.dot(foot),
        scale.name(foot, "Q", 2, -22),
        scale.dot(fulcrum),
        scale.name(fulcrum, "F", -12, 14),
        *_rock_angle(scale, foot, along),
    ]
    words = (
        "Side view. The bolt's axis is y, upright, and x runs to the right, toward the limb's tip. The origin O lies on"
        " the axis. The limb has rocked by φ about the fulcrum F, so that its back falls toward the tip. Its butt's"
        " corner C bears on the head, at the height h. Q is the foot of the line from F square to the back, t long."
        " From C to Q it is b, from the axis to F it is a, and the head's radius is R."
    )
    return svg.picture("pocket-frame", "The frame of the pocket", words, 380, 244, drawn, prefix=prefix)


def _from(start: Point, way: Point, length: float) -> Point:
    return start[0] + way[0] * length, start[1] + way[1] * length


def _rock_angle(scale: Scale, foot: Point, along: Point) -> list[Element]:
    """The angle between the back and a level line, drawn at Q."""
    reach = 0.024
    level = (foot[0] + reach, foot[1])
    curve = [
        (foot[0] + reach * math.cos(angle), foot[1] - reach * math.sin(angle))
        for angle in (rank / 8 * math.atan2(-along[1], along[0]) for rank in range(9))
    ]
    middle = curve[4]
    return [
        scale.line(foot, level, "qt-dimension"),
        scale.path(curve, "qt-dimension"),
        scale.name(middle, "φ", 9, 4),
    ]


def bow_frame(prefix: str) -> Picture:
    """The strung default bow: the frame of the model's fourth section."""
    found = braced(DEFAULT_BOW, default_rock())
    limbs = limb_lines(DEFAULT_BOW, found)
    loops = [line.points[line.leaves] for line in limbs]
    brace = _square_to(loops, (0.0, 0.0))
    scale = Scale(120.0, 250.0, 270.0)
    drawn = [
        *(scale.path(list(line.points), "qt-bow-belly") for line in limbs),
        scale.line(loops[0], loops[1], "qt-string"),
        *scale.arrow((0.0, -0.1), (0.0, 0.22)),
        scale.name((0.0, 0.22), "Y", -11, 8),
        *scale.arrow((-0.08, 0.0), (0.36, 0.0)),
        scale.name((0.36, 0.0), "X", 8, 4),
        scale.dot((0.0, 0.0)),
        scale.name((0.0, 0.0), "O", -12, 15),
        *scale.measure((0.0, -0.04), (brace[0], -0.04)),
        scale.name((brace[0], -0.04), "brace height", 8, 4, anchor="start"),
    ]
    for side, sign, name in ((DEFAULT_BOW.upper, 1.0, "upper"), (DEFAULT_BOW.lower, -1.0, "lower")):
        fulcrum = (side.fulcrum_x, sign * side.fulcrum_y)
        nearest = _square_to(loops, fulcrum)
        drawn += [
            *scale.measure(fulcrum, nearest),
            scale.dot(fulcrum),
            scale.name(fulcrum, "F", -12, 4),
            scale.name(nearest, f"{name} distance", 8, 4, anchor="start"),
        ]
    drawn += _lean(scale, limbs[0])
    words = (
        "Side view of the strung default bow. The origin O is the grip's pivot point; X runs to the right, toward the"
        " archer, and Y up. From O to the string is the brace height; from either fulcrum F, square to the string, is"
        " that limb's distance as a tape meets it. At its root the upper limb leans from Y by θ."
    )
    return svg.picture("bow-frame", "The frame of the bow", words, 330, 470, drawn, prefix=prefix)


def _square_to(line: list[Point], point: Point) -> Point:
    """The foot on the line through two points, square from another."""
    (x0, y0), (x1, y1) = line
    along = (x1 - x0, y1 - y0)
    part = ((point[0] - x0) * along[0] + (point[1] - y0) * along[1]) / (along[0] ** 2 + along[1] ** 2)
    return x0 + part * along[0], y0 + part * along[1]


def _lean(scale: Scale, limb: LimbLine) -> list[Element]:
    """The angle of the limb's root from Y."""
    root, beyond = limb.points[0], limb.points[1]
    angle = math.atan2(beyond[0] - root[0], beyond[1] - root[1])
    reach = 0.2
    curve = [(root[0] + reach * math.sin(a), root[1] + reach * math.cos(a)) for a in (angle * i / 6 for i in range(7))]
    return [
        scale.line(root, (root[0], root[1] + reach + 0.03), "qt-dimension"),
        scale.line(
            root,
            (root[0] + (reach + 0.03) * math.sin(angle), root[1] + (reach + 0.03) * math.cos(angle)),
            "qt-dimension",
        ),
        scale.path(curve, "qt-dimension"),
        scale.name((root[0], root[1] + reach), "θ", -9, 2),
    ]


PICTURES = {"pocket-frame": pocket_frame, "bow-frame": bow_frame}
"""By the argument of the block `/// drawing | NAME`."""
