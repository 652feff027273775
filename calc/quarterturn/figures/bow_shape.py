"""The shape of a bow that is drawn: its points in the bow's own frame, the riser drawn to them, and its extent.

Y is up and the archer to the right, as in the bow's own frame, whose origin is the grip's pivot point.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from quarterturn.figures.axis import Point, Viewport
from quarterturn.mechanics.bow import Bow, BracedBow, DrawnBow
from quarterturn.mechanics.limb_line import LimbLine, limb_lines

THICK = 4.5  # user units: a limb, whatever its real thickness
FARTHEST = 100.0  # m: no point lies farther off
_BUTT = 0.24  # of the way from the fulcrum to the pivot: how far a limb's butt reaches inward


@dataclass(frozen=True, slots=True)
class LimbShape:
    """One limb's line in the bow's frame, m: X toward the archer, Y up."""

    points: tuple[Point, ...]
    """From the root to the tip nock."""
    contact: int | None = None
    """The place among the points from which the string lies on the limb, up to the tip; None where it touches the tip
    alone."""
    station: Point | None = None
    """Where on the limb its tiller is measured; None for the foot of the perpendicular from its fulcrum on the line
    through its first two points."""


@dataclass(frozen=True, slots=True)
class BowShape:
    """A bow's shape in its own frame, m."""

    upper: LimbShape
    lower: LimbShape
    nock: Point | None
    """The nocking point; None for a bow without a string."""
    pivot: Point = (0.0, 0.0)
    """The grip's pivot point."""
    fulcrums: tuple[Point, Point] = ((0.045, 0.315), (0.045, -0.295))
    """Where the upper and the lower limb bear on the riser."""
    string_words: str = ""
    """What is to be said of the string beside how it lies, such as that it is slack; one sentence without its stop."""


def shape_of(bow: Bow, found: BracedBow | DrawnBow) -> BowShape:
    """Return the shape of this bow as it was found.

    The tiller's stations are the fulcrums, where the belly face rests: what is drawn from there square to the string is
    `distance_to_belly`.
    """
    upper, lower = limb_lines(bow, found)
    high = (bow.upper.fulcrum_x, bow.upper.fulcrum_y)
    low = (bow.lower.fulcrum_x, -bow.lower.fulcrum_y)
    return BowShape(_limb(upper, high), _limb(lower, low), (found.nocking_x, found.nocking_y), fulcrums=(high, low))


def _limb(line: LimbLine, station: tuple[float, float]) -> LimbShape:
    contact = line.leaves if line.leaves < len(line.points) - 1 else None
    return LimbShape(line.points, contact, station)


# Checks


def _check(shape: BowShape) -> None:
    for side, limb in (("upper", shape.upper), ("lower", shape.lower)):
        _check_near(f"the {side} limb's points", *limb.points, *(() if limb.station is None else (limb.station,)))
        if len(distinct(limb.points)) < 2:
            raise ValueError(f"the {side} limb needs two points that lie apart")
        if limb.contact is not None and not 0 <= limb.contact < len(limb.points):
            raise ValueError(f"the {side} limb's contact must be the place of one of its points: {limb.contact}")
    _check_near("the pivot point", shape.pivot)
    _check_near("the fulcrums", *shape.fulcrums)
    if shape.nock is not None:
        _check_near("the nocking point", shape.nock)
    (_, high), (_, low) = shape.fulcrums
    if not low < shape.pivot[1] < high:
        raise ValueError(f"the fulcrums must lie over and under the pivot point: {high} and {low}")


def check_extent(extent: Extent) -> None:
    """Refuse an extent whose sides are the wrong way round.

    Raises:
        ValueError: as `bow_view`.
    """
    _check_near("the room", (extent.left, extent.right), (extent.lowest, extent.highest))
    if not (extent.left <= extent.right and extent.lowest <= extent.highest):
        raise ValueError("the room's left must not be right of its right, nor its lowest over its highest")


def _check_near(what: str, *points: Point) -> None:
    if not all(math.isfinite(one) and abs(one) <= FARTHEST for point in points for one in point):
        raise ValueError(f"{what} must be finite, and within {FARTHEST:g} m")


# Geometry


def distinct(points: tuple[Point, ...]) -> list[Point]:
    """The points without those that repeat the one before."""
    return [point for at, point in enumerate(points) if at == 0 or point != points[at - 1]]


def string_start(limb: LimbShape) -> Point:
    """Where the free string begins."""
    return limb.points[-1 if limb.contact is None else limb.contact]


def foot_on_line(point: Point, start: Point, end: Point) -> Point:
    """The foot of the perpendicular from a point on the line through two others."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    part = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / (dx * dx + dy * dy)
    return start[0] + part * dx, start[1] + part * dy


def unit_vector(start: Point, end: Point) -> Point:
    """The way from one point to another, of length 1."""
    long = math.dist(start, end)
    return (end[0] - start[0]) / long, (end[1] - start[1]) / long


def tiller_station(shape: BowShape, side: str) -> Point:
    """Where on the limb its tiller is measured."""
    limb = limb_of(shape, side)[0]
    return rest_point(shape, side) if limb.station is None else limb.station


def rest_point(shape: BowShape, side: str) -> Point:
    """The foot of the perpendicular from the fulcrum on the limb's first part."""
    limb, fulcrum = limb_of(shape, side)
    first, second, *_ = distinct(limb.points)
    return foot_on_line(fulcrum, first, second)


def limb_of(shape: BowShape, side: str) -> tuple[LimbShape, Point]:
    """The upper or the lower limb, and its fulcrum."""
    return (shape.upper, shape.fulcrums[0]) if side == "upper" else (shape.lower, shape.fulcrums[1])


def path_length(points: tuple[Point, ...]) -> float:
    """How long the way along points is."""
    return math.fsum(math.dist(one, other) for one, other in pairwise(points))


def butt_end(shape: BowShape, side: str) -> Point:
    """Where a limb's butt is drawn to end, inward of its fulcrum."""
    limb, fulcrum = limb_of(shape, side)
    first, second, *_ = distinct(limb.points)
    (x, y), (dx, dy) = rest_point(shape, side), unit_vector(first, second)
    long = _BUTT * abs(fulcrum[1] - shape.pivot[1])
    return x - long * dx, y - long * dy


# As drawn, in user units


class LyingViewport(Viewport):
    """A window on a drawing that lies on its side: y of the frame goes to the right, x down; one scale for both."""

    __slots__ = ()

    def at(self, point: Point) -> Point:
        """Where a point is drawn."""
        return self.origin_x + point[1] * self.scale_x, self.origin_y + point[0] * self.scale_x

    def all(self, points: Iterable[Point]) -> list[Point]:
        """Where points are drawn."""
        return [self.at(point) for point in points]


def limb_back(line: list[Point], side: str) -> list[Point]:
    """A line of user units moved by the limb's thickness, away from the archer."""
    turn = 1.0 if side == "upper" else -1.0
    units = [unit_vector(one, other) if one != other else (turn, 0.0) for one, other in pairwise(line)]
    moved = []
    for at, (x, y) in enumerate(line):
        one, other = units[max(at - 1, 0)], units[min(at, len(units) - 1)]
        across, along = (one[1] + other[1]) * turn, -(one[0] + other[0]) * turn
        size = math.hypot(across, along) or 1.0
        moved.append((x + THICK * across / size, y + THICK * along / size))
    return moved


def free_string(shape: BowShape, view: Viewport) -> list[Point]:
    """The free string, where there is one."""
    return [] if shape.nock is None else view.all((string_start(shape.upper), shape.nock, string_start(shape.lower)))


# The riser as drawn

# The riser's outline on either side of the line from the fulcrum to the pivot point: how far along it, and how far
# toward the archer, as parts of its height. The pivot point is the deepest place of the grip, and the curve passes it.
_FRONT = ((0.93, -0.15), (0.6, -0.13), (0.36, -0.07), (0.28, -0.005), (0.1, -0.005), (-0.08, -0.005))
_BACK_UPPER = ((-0.08, 0.05), (0.12, 0.1), (0.42, 0.09), (0.66, 0.02), (0.84, 0.045))
_BACK_LOWER = ((0.72, 0.06), (0.58, 0.05), (0.42, 0.09), (0.12, 0.1), (-0.08, 0.05))


@lru_cache(maxsize=16)
def riser_outline(pivot: Point, fulcrums: tuple[Point, Point]) -> tuple[Point, ...]:
    """The riser's corners, which its curve rounds: down the front, and up the side toward the archer."""
    upper, lower = fulcrums
    x, y = pivot
    throat = 0.08 * min(upper[1] - y, y - lower[1])
    return (
        *(_beside(pivot, upper, *one) for one in _BACK_UPPER),
        (x, y + throat),
        (x, y - throat),
        *(_beside(pivot, lower, *one) for one in _BACK_LOWER),
        *(_beside(pivot, lower, *one) for one in reversed(_FRONT)),
        *(_beside(pivot, upper, *one) for one in _FRONT),
    )


def _beside(pivot: Point, fulcrum: Point, along: float, aside: float) -> Point:
    high = abs(fulcrum[1] - pivot[1])
    x, y = (start + along * (end - start) for start, end in zip(fulcrum, pivot, strict=True))
    return x + aside * high, y


# Extent


@dataclass(frozen=True, slots=True)
class Extent:
    """What a picture has room for, in the bow's frame, m."""

    left: float
    right: float
    lowest: float
    highest: float


def extent_of(*shapes: BowShape, spare: float = 0.0) -> Extent:
    """Return the extent of all these shapes, and `spare` more on every side (m).

    Raises ValueError as `bow_view`, and where there is no shape or `spare` is less than 0.
    """
    if not shapes or not 0 <= spare <= FARTHEST:  # false for NaN too
        raise ValueError(f"room wants a shape, and a spare length from 0 to {FARTHEST:g} m")
    extents = [shape_extent(shape) for shape in shapes]
    return Extent(
        min(one.left for one in extents) - spare,
        max(one.right for one in extents) + spare,
        min(one.lowest for one in extents) - spare,
        max(one.highest for one in extents) + spare,
    )


@lru_cache(maxsize=16)
def shape_extent(shape: BowShape) -> Extent:
    """The extent of a shape, after a check that it can be drawn."""
    _check(shape)
    points = [*shape.upper.points, *shape.lower.points, shape.pivot, *shape.fulcrums]
    points += riser_outline(shape.pivot, shape.fulcrums)
    points += [where(shape, side) for where in (butt_end, tiller_station) for side in ("upper", "lower")]
    if shape.nock is not None:
        points.append(shape.nock)
    xs, ys = zip(*points, strict=True)
    return Extent(min(xs), max(xs), min(ys), max(ys))
