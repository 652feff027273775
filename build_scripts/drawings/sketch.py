"""What the small drawings share: bodies, cracks, words with a pointer, and panels side by side.

A `Sketch` draws in coordinates of its own, with its corner somewhere in the view box. It writes straight lines only
(curves are drawn through points), so that what is drawn can be measured.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture

Point = tuple[float, float]

WIDTH = 240.0
SIZE = 12.0
HATCHINGS = {"riser": ("rising", 7.0), "bolt": ("falling", 6.0), "limb": ("dots", 5.0), "fault": ("crossed", 4.0)}
KINDS = {
    "limb": ("qt-limb", "qt-limb-line"),
    "riser": ("qt-riser", "qt-riser-line"),
    "bolt": ("qt-bolt", "qt-bolt-line"),
    "window": ("qt-window", "qt-bolt-line"),
}
"""What a body may be, and the classes of its ground and its outline."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """A place to draw at: its left upper corner in the view box, the prefix of its ids, and the size of its words."""

    prefix: str
    left: float = 0.0
    top: float = 0.0
    size: float = SIZE

    def at(self, point: Point) -> Point:
        """The point in the view box."""
        return self.left + point[0], self.top + point[1]

    def body(self, points: list[Point], kind: str, *, hatched: str | None = None, key: str | None = None,
             edge: list[Point] | None = None) -> list[Element]:  # fmt: skip
        """A filled and outlined shape; hatched by name; edge draws that open line in place of the outline."""
        ground, outline = KINDS[kind]
        placed = [self.at(point) for point in points]
        over = [svg.polygon(placed, fill=f"url(#{self.prefix}-hatch-{hatched})")] if hatched else []
        around = self.stroke(edge, outline) if edge else svg.polygon(placed, class_=outline)
        identity = None if key is None else f"{self.prefix}-{key}"
        return [svg.polygon(placed, class_=ground, id=identity), *over, around]

    def stroke(self, points: list[Point], class_: str, *, key: str | None = None) -> Element:
        """An open line through points."""
        parts: list[str | float] = []
        for rank, point in enumerate(points):
            parts += ["M" if rank == 0 else "L", *self.at(point)]
        return svg.path(*parts, class_=class_, id=None if key is None else f"{self.prefix}-{key}")

    def fill(self, points: list[Point], class_: str) -> Element:
        """A ground without an outline."""
        return svg.polygon([self.at(point) for point in points], class_=class_)

    def line(self, start: Point, end: Point, class_: str, *, key: str | None = None) -> Element:
        """A straight line."""
        identity = None if key is None else f"{self.prefix}-{key}"
        return svg.line(*self.at(start), *self.at(end), class_=class_, id=identity)

    def dot(self, point: Point, radius: float, class_: str, *, key: str | None = None) -> Element:
        """A round dot."""
        return svg.circle(*self.at(point), radius, class_=class_, id=None if key is None else f"{self.prefix}-{key}")

    def fault(self, points: list[Point]) -> list[Element]:
        """A spoiled patch: crossed hatching in a fault's line."""
        placed = [self.at(point) for point in points]
        return [
            svg.polygon(placed, fill=f"url(#{self.prefix}-hatch-fault)"),
            svg.polygon(placed, class_="qt-crack"),
        ]

    def crack(self, start: Point, end: Point, *, wander: float = 2.2, steps: int = 7) -> Element:
        """A crack: it wanders to both sides of the straight way, and ends thin."""
        return self.stroke(wandering(start, end, wander, steps), "qt-crack")

    def words(self, x: float, y: float, words: str, *, anchor: str = "start", over: str = "", strong: bool = False,
              quiet: bool = False) -> Element:  # fmt: skip
        """Words; over names what they lie on ("limb", "bolt", "riser", "window")."""
        halo = {"": "", "window": " qt-halo"}.get(over, f" qt-halo-{over}")
        kind = f"qt-text{halo}{' qt-strong' if strong else ''}{' qt-quiet' if quiet else ''}"
        return svg.text(*self.at((x, y)), words, size=self.size, anchor=anchor, class_=kind)

    def pointer(self, start: Point, end: Point) -> list[Element]:
        """A thin line from words to the thing they name, with a dot on it."""
        return [self.line(start, end, "qt-dimension"), self.dot(end, 1.6, "qt-fulcrum")]

    def arrow(self, points: list[Point], *, size: float = 5.0) -> list[Element]:
        """A line through points with an arrow's head at its end."""
        (x0, y0), (x, y) = points[-2:]
        turn = math.atan2(y - y0, x - x0)
        barbs = [(x - size * math.cos(turn + side), y - size * math.sin(turn + side)) for side in (0.45, -0.45)]
        return [
            self.stroke(points, "qt-dimension"),
            svg.polygon([self.at((x, y)), *map(self.at, barbs)], class_="qt-fulcrum"),
        ]


@dataclass(frozen=True, slots=True)
class Tilted:
    """A frame that lies aslant: along it to the right, up square to it, turned clockwise by an angle (rad)."""

    origin: Point
    angle: float

    def at(self, along: float, up: float = 0.0) -> Point:
        """The point in the sketch."""
        cosine, sine = math.cos(self.angle), math.sin(self.angle)
        return self.origin[0] + along * cosine + up * sine, self.origin[1] + along * sine - up * cosine

    def over(self, x: float, up: float = 0.0) -> Point:
        """The point at that x on the line that runs along it, `up` above it."""
        x0, y0 = self.at(0.0, up)
        return x, y0 + (x - x0) * math.tan(self.angle)


def arc(centre: Point, radius: float, start: float, end: float, steps: int = 12) -> list[Point]:
    """Points on a circle from one angle to another (degrees, clockwise from the right)."""
    angles = [math.radians(start + (end - start) * rank / steps) for rank in range(steps + 1)]
    return [(centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)) for angle in angles]


def curve(start: Point, over: Point, end: Point, steps: int = 12) -> list[Point]:
    """Points on a bent line from start to end, drawn toward a point between."""
    found = []
    for rank in range(steps + 1):
        t = rank / steps
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
        found.append((a * start[0] + b * over[0] + c * end[0], a * start[1] + b * over[1] + c * end[1]))
    return found


def smooth(points: list[Point], *, closed: bool = False, steps: int = 5) -> list[Point]:
    """Points on a rounded way that goes through all of the given ones (a Catmull-Rom spline)."""
    count = len(points)
    found: list[Point] = []
    for at in range(count if closed else count - 1):
        around = [at - 1, at, at + 1, at + 2]
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = (
            points[rank % count if closed else min(max(rank, 0), count - 1)] for rank in around
        )
        for step in range(steps):
            t = step / steps
            a, b, c, d = -t + 2 * t**2 - t**3, 2 - 5 * t**2 + 3 * t**3, t + 4 * t**2 - 3 * t**3, t**3 - t**2
            found.append(((a * x0 + b * x1 + c * x2 + d * x3) / 2, (a * y0 + b * y1 + c * y2 + d * y3) / 2))
    return found if closed else [*found, points[-1]]


def tapered(middle: list[Point], thick: float, thin: float) -> list[Point]:
    """The outline of a strip along a line, that narrows from one thickness to another."""
    upper, lower = [], []
    last = len(middle) - 1
    for rank, (x, y) in enumerate(middle):
        (x0, y0), (x1, y1) = middle[max(rank - 1, 0)], middle[min(rank + 1, last)]
        half = (thick + (thin - thick) * rank / last) / 2 / math.hypot(x1 - x0, y1 - y0)
        aside = (-(y1 - y0) * half, (x1 - x0) * half)
        upper.append((x + aside[0], y + aside[1]))
        lower.append((x - aside[0], y - aside[1]))
    return [*upper, *reversed(lower)]


def wandering(start: Point, end: Point, wander: float, steps: int) -> list[Point]:
    """Points on a jagged way; the jags differ in length, and the ends are where they were asked for."""
    (x0, y0), (x1, y1) = start, end
    long = math.hypot(x1 - x0, y1 - y0)
    across = (-(y1 - y0) / long, (x1 - x0) / long)
    found = [start]
    for rank in range(1, steps):
        t = (rank + (0.22 if rank % 3 == 1 else -0.12)) / steps
        aside = wander * (1 if rank % 2 else -1) * (0.6 if rank % 3 == 0 else 1.0)
        found.append((x0 + t * (x1 - x0) + aside * across[0], y0 + t * (y1 - y0) + aside * across[1]))
    return [*found, end]


def box(left: float, top: float, right: float, bottom: float) -> list[Point]:
    """The corners of an upright rectangle."""
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def threaded(left: float, right: float, top: float, bottom: float, *, pitch: float = 4.0, deep: float = 2.2,
             ) -> list[Point]:  # fmt: skip
    """The outline of an upright threaded rod between two heights."""
    teeth: list[Point] = [(0.0, top)]
    y = top
    while y + pitch <= bottom + 1e-9:
        teeth += [(deep, y + pitch / 2), (0.0, y + pitch)]
        y += pitch
    if y < bottom:
        teeth.append((0.0, bottom))
    return [(right - x, y) for x, y in teeth] + [(left + x, y) for x, y in reversed(teeth)]


def mirrored(points: list[Point], x: float) -> list[Point]:
    """The points on the other side of an upright line."""
    return [(2 * x - px, py) for px, py in points]


def drawing(
    name: str, title: str, description: str, height: float, children: list[Element], *, prefix: str,
    width: float = WIDTH,
) -> Picture:  # fmt: skip
    """Put a small drawing into its svg, with the hatchings that it uses."""
    used = "".join(child.markup for child in children)
    hatchings = [
        svg.hatching(f"{prefix}-hatch-{key}", *kind)
        for key, kind in HATCHINGS.items()
        if f"url(#{prefix}-hatch-{key})" in used
    ]
    definitions = [svg.element("defs", *hatchings)] if hatchings else []
    return svg.picture(name, title, description, width, height, [*definitions, *children], prefix=prefix)
