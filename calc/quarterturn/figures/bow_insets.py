"""Small motions of a bow, enlarged: two boxes beside it with its tips and the string there, some times as large."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from quarterturn.figures import svg
from quarterturn.figures.axis import Point, Viewport
from quarterturn.figures.bow_labels import RIGHT, Measures, dimension_lines
from quarterturn.figures.bow_shape import THICK, BowShape, free_string, limb_back, limb_of
from quarterturn.figures.svg import SIZE, Element

FACTORS = (10, 5)
"""How many times as large as the bow beside them; the first that the motion has room with."""
SIDE = 76.0  # user units: a box
FARTHEST = 0.36 * SIDE  # user units: so far apart may the two tips be drawn in a box
LEAST = 0.05  # user units: nothing has moved
_GAP = 6.0

Segment = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Insets:
    """Where the two boxes are and how much they enlarge."""

    factor: int
    corners: tuple[Point, Point]
    """The upper left corner of the upper tip's box and of the lower one's, user units."""

    @property
    def edges(self) -> list[Segment]:
        """The sides of both boxes, for words to keep off."""
        found: list[Segment] = []
        for x, y in self.corners:
            around = [(x, y), (x + SIDE, y), (x + SIDE, y + SIDE), (x, y + SIDE), (x, y)]
            found += [*pairwise(around), ((x, y), (x + SIDE, y + SIDE)), ((x, y + SIDE), (x + SIDE, y))]
        return found


def insets_of(now: BowShape, before: BowShape | None, view: Viewport, measures: Measures) -> Insets | None:
    """Where the motion of the tips can be shown enlarged; None where nothing moved, much did, or there is no room."""
    if before is None:
        return None
    moved = [math.dist(view.at(_tip(now, side)), view.at(_tip(before, side))) for side in ("upper", "lower")]
    fits = [factor for factor in FACTORS if factor * max(moved) <= FARTHEST]
    if not fits or max(moved) < LEAST:
        return None
    corners = (RIGHT - SIDE, view.top + _GAP), (RIGHT - SIDE, view.bottom - SIDE - _GAP)
    lines = [*_drawn(now, view), *_drawn(before, view)]
    lines += [(view.at(start), view.at(end)) for _, _, start, end in dimension_lines(now, measures)]
    if view.bottom - view.top < 3 * SIDE or any(_meets(line, corner) for line in lines for corner in corners):
        return None
    return Insets(fits[0], corners)


def inset_drawings(insets: Insets, now: BowShape, before: BowShape, view: Viewport) -> list[Element]:
    """Both boxes. By id after the prefix: upper-inset (the box), upper-inset-now and upper-inset-before (the tips)."""
    drawn: list[Element] = []
    for side, corner in zip(("upper", "lower"), insets.corners, strict=True):
        drawn += _inset(insets, side, corner, (now, before), view)
    return drawn


def _inset(
    insets: Insets, side: str, corner: Point, shapes: tuple[BowShape, BowShape], view: Viewport
) -> list[Element]:
    key = f"{view.prefix}-{side}-inset"
    now, before = shapes
    tips = view.at(_tip(now, side)), view.at(_tip(before, side))
    middle = ((tips[0][0] + tips[1][0]) / 2, (tips[0][1] + tips[1][1]) / 2)

    def at(point: Point) -> Point:
        return (
            corner[0] + SIDE / 2 + insets.factor * (point[0] - middle[0]),
            corner[1] + SIDE / 2 + insets.factor * (point[1] - middle[1]),
        )

    def lines(shape: BowShape) -> list[list[Point]]:
        limb = [at(point) for point in view.all(limb_of(shape, side)[0].points)]
        string = free_string(shape, view)
        ends = string[:2] if side == "upper" else string[1:]
        return [limb, [at(point) for point in ends]] if ends else [limb]

    limb, *string = lines(now)
    return [
        svg.rect(*corner, SIDE, SIDE, class_="qt-inset", id=key),
        svg.element("defs", svg.clip(f"{key}-clip", *corner, SIDE, SIDE)),
        svg.group(
            *[svg.open_line(line, class_="qt-bow-before") for line in lines(before)],
            svg.circle(*at(tips[1]), 3.4, class_="qt-inset-before", id=f"{key}-before"),
            svg.open_line(limb, class_="qt-bow-belly"),
            *[svg.open_line(line, class_="qt-string") for line in string],
            svg.circle(*at(tips[0]), 3.0, class_="qt-fulcrum", id=f"{key}-now"),
            clip_path=f"url(#{key}-clip)",
        ),
        svg.text(
            corner[0] + SIDE - 4, corner[1] + SIDE - 5, f"tip × {insets.factor}",
            size=SIZE, anchor="end", class_="qt-text qt-quiet", id=f"{key}-words",
        ),
    ]  # fmt: skip


def _tip(shape: BowShape, side: str) -> Point:
    return limb_of(shape, side)[0].points[-1]


def _drawn(shape: BowShape, view: Viewport) -> Iterable[Segment]:
    for side in ("upper", "lower"):
        line = view.all(limb_of(shape, side)[0].points)
        yield from pairwise(line)
        yield from pairwise(limb_back(line, side))
    yield from pairwise(free_string(shape, view))


def _meets(line: Segment, corner: Point) -> bool:
    """Whether a segment comes into a box, or close to it: by its bounds, which is on the safe side."""
    (x1, y1), (x2, y2) = line
    left, top = corner[0] - THICK, corner[1] - THICK
    return max(x1, x2) > left and max(y1, y2) > top and min(y1, y2) < corner[1] + SIDE + THICK and min(x1, x2) < RIGHT
