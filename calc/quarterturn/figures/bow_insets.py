"""Small motions of a bow, enlarged: boxes under it with its tips and its nocking point, some times as large."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.axis import Point, Viewport
from quarterturn.figures.bow_labels import LEFT, RIGHT
from quarterturn.figures.bow_shape import BowShape, free_string, limb_of
from quarterturn.figures.svg import ROW, SIZE, Element

FACTORS = (10, 5, 2)
"""How many times as large as the bow above them; the first that the motion has room with."""
SPACE = 8.0
WIDE, HIGH = (RIGHT - LEFT - 2 * SPACE) / 3, 72.0  # user units: a box
ROOM = HIGH + 10.0
"""What the boxes take under the drawing, user units."""
FARTHEST = 0.36 * HIGH  # user units: so far apart may the two places be drawn in a box
_NAMES = {"lower": "lower tip", "nock": "string", "upper": "upper tip"}


@dataclass(frozen=True, slots=True)
class Insets:
    """How much the boxes enlarge, and where they begin: what is shown with the upper left corner of its box."""

    factor: int
    corners: tuple[tuple[str, Point], ...]


def insets_of(now: BowShape, before: BowShape | None, view: Viewport) -> Insets | None:
    """Where the motion of tips and string can be shown enlarged; None where there is none to show or it is too far."""
    if before is None:
        return None
    shown = [key for key in _NAMES if key != "nock" or (now.nock is not None and before.nock is not None)]
    moved = max(math.dist(view.at(_place(now, key)), view.at(_place(before, key))) for key in shown)
    fits = [factor for factor in FACTORS if factor * moved <= FARTHEST]
    if not fits:
        return None
    columns = list(_NAMES)
    return Insets(
        fits[0], tuple((key, (LEFT + (WIDE + SPACE) * columns.index(key), view.bottom + 4.0)) for key in shown)
    )


def inset_drawings(insets: Insets, now: BowShape, before: BowShape, view: Viewport) -> list[Element]:
    """The boxes. By id after the prefix: upper-inset (the box), upper-inset-now and upper-inset-before (the places)."""
    return [one for key, corner in insets.corners for one in _inset(insets.factor, key, corner, (now, before), view)]


def _inset(factor: int, key: str, corner: Point, shapes: tuple[BowShape, BowShape], view: Viewport) -> list[Element]:
    now, before = shapes
    identity = f"{view.prefix}-{key}-inset"
    places = view.at(_place(now, key)), view.at(_place(before, key))
    middle = ((places[0][0] + places[1][0]) / 2, (places[0][1] + places[1][1]) / 2)
    centre = corner[0] + WIDE / 2, corner[1] + (HIGH - ROW) / 2

    def at(point: Point) -> Point:
        return centre[0] + factor * (point[0] - middle[0]), centre[1] + factor * (point[1] - middle[1])

    limb, string = _lines(now, key, view)
    box = (*corner, WIDE, HIGH)
    return [
        svg.rect(*box, class_="qt-inset", id=identity),
        svg.element("defs", svg.clip(f"{identity}-clip", *box)),
        svg.group(
            *[svg.open_line(map(at, line), class_="qt-bow-before") for line in _lines(before, key, view) if line],
            svg.circle(*at(places[1]), 3.4, class_="qt-inset-before", id=f"{identity}-before"),
            *([svg.open_line(map(at, limb), class_="qt-bow-belly")] if limb else []),
            *([svg.open_line(map(at, string), class_="qt-string")] if string else []),
            svg.circle(*at(places[0]), 3.0, class_="qt-fulcrum", id=f"{identity}-now"),
            clip_path=f"url(#{identity}-clip)",
        ),
        svg.text(
            corner[0] + WIDE / 2, corner[1] + HIGH - 5, _NAMES[key],
            size=SIZE, anchor="middle", class_="qt-text qt-quiet qt-halo", id=f"{identity}-words",
        ),
    ]  # fmt: skip


def _place(shape: BowShape, key: str) -> Point:
    """What is enlarged: a tip, or the nocking point."""
    if key == "nock" and shape.nock is not None:
        return shape.nock
    return limb_of(shape, key)[0].points[-1]


def _lines(shape: BowShape, key: str, view: Viewport) -> tuple[list[Point], list[Point]]:
    """The limb there, and the string; of the nocking point the string alone."""
    string = free_string(shape, view)
    if key == "nock":
        return [], string
    return view.all(limb_of(shape, key)[0].points), string[:2] if key == "upper" else string[1:]
