"""The whole bow from the side, to scale and upright: riser, limbs, string, what is measured, the force that holds it.

Y is up and the archer to the right, as in the bow's own frame, whose origin is the grip's pivot point. Limbs, string
and measures are drawn where the numbers say. The riser, the bolts, the limbs' thickness and how far their butts reach
into the riser are drawn freely, and the picture says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture
from quarterturn.numbers import fixed, rounded, trimmed

WIDTH = 360.0
LEFT, RIGHT = 8.0, 352.0
SIZE, HEADING = 12.0, 13.0
ROW = 16.0
WIDE = 180.0  # user units: words on one line
COLUMN = 128.0  # user units to the right of the bow, for the force and for words
TALLEST = 450.0  # user units: the bow itself
LOWEST = 330.0  # the drawing at least: all words find room in it, whatever the bow
PAD = 14.0
THICK = 4.5  # user units: a limb, whatever its real thickness
LONGEST = 50.0  # the arrow of a whole force
FAINTEST = 0.2  # a shorter one is not drawn
FARTHEST = 100.0  # m: no point lies farther off
SMALLEST = 0.05  # m: nor is a bow smaller
STRAIGHT = 1e-3  # m: the nocking point of a braced bow lies on the string's line to within that
CLOSE = 14.0  # user units: nearer than this, words stand clear of the dashed string too
SEEN = 1.5  # user units: a difference below this is hidden by the lines
_ASCENT, _DESCENT = 0.76 * SIZE, 0.2 * SIZE
_BUTT = 0.24  # of the way from the fulcrum to the pivot: how far a limb's butt reaches inward
_ON_LIMB = "thick: the string lies on the limb"
_AT_TIPS = "the string touches the limbs at their tips only"
_HIDDEN = "; too close to tell apart"
_SCHEMATIC = "Schematic: riser, bolts, the limbs' thickness and butts. All else is to scale."

Point = tuple[float, float]


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


@dataclass(frozen=True, slots=True)
class Measures:
    """The words of what is measured, name, number and unit, such as "brace height 222 mm"; "" for what is not shown.

    Where it is measured is not said here: the shape says it.
    """

    brace_height: str = ""
    """Pivot point to string, square to the string; of a braced bow only, as the next two."""
    upper_tiller: str = ""
    """The upper limb's station to the string, square to the string."""
    lower_tiller: str = ""
    """The lower limb's."""
    draw_length: str = ""
    """Pivot point to nocking point."""
    force: str = ""
    """What holds the nocking point: an arrow there, away from the pivot point."""
    force_part: float = 1.0
    """The force as a part, 0 to 1, of the largest that is shown."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a picture has room for, in the bow's frame, m."""

    left: float
    right: float
    lowest: float
    highest: float


def room_for(*shapes: BowShape, spare: float = 0.0) -> Room:
    """Return the room for all these shapes, and `spare` more on every side (m).

    Raises ValueError as `bow_view`, and where there is no shape or `spare` is less than 0.
    """
    if not shapes or not 0 <= spare <= FARTHEST:  # false for NaN too
        raise ValueError(f"room wants a shape, and a spare length from 0 to {FARTHEST:g} m")
    rooms = [_taken(shape) for shape in shapes]
    return Room(
        min(room.left for room in rooms) - spare,
        max(room.right for room in rooms) + spare,
        min(room.lowest for room in rooms) - spare,
        max(room.highest for room in rooms) + spare,
    )


@lru_cache(maxsize=16)
def bow_view(
    now: BowShape,
    *,
    before: BowShape | None = None,
    measures: Measures = Measures(),
    room: Room | None = None,
    before_words: str = "before",
    prefix: str,
    title: str = "The bow from the side",
    name: str = "bow-view",
) -> Picture:
    """Draw the bow from the side.

    Args:
        now: the bow's shape.
        before: another shape of the same bow, drawn as a thin dashed line; None for none.
        measures: what is written at it.
        room: what the picture has room for at least, so that its size and scale stand still while a slider moves.
        before_words: what the dashed lines are.
        prefix: put before every id, so that several figures can stand on one page.
        title: what is shown; it is also written over the drawing.
        name: the picture's name for programs.

    The group PREFIX-bow carries data-scale-x and data-scale-y (user units per metre, equal) and data-origin-x and
    data-origin-y (where the bow frame's origin is drawn). In it, by id after the prefix: riser; for upper and lower:
    upper-limb (its outline), upper-line (its points), upper-contact (where the string lies on it), upper-tip,
    upper-fulcrum; string, nock, pivot; before-upper, before-lower, before-string; brace, upper-tiller, lower-tiller and
    draw (the lines measured), force (a polygon, its tip first and its foot between the fourth point and the fifth).
    Words: brace-words and so on, and -1 after it for a second line; leaders: brace-leader and so on.

    Raises:
        ValueError: a number is not finite or too large, a limb has no length, its contact is none of its points, a
            fulcrum lies on the wrong side of the pivot point, the bow is too small, something is measured that the
            shape does not have, or the room's sides are the wrong way round.
    """
    rooms = [_taken(shape) for shape in (now, before) if shape is not None]
    if room is not None:
        _check_room(room)
        rooms.append(room)
    _check_measures(now, measures)
    headings = _broken(title, WIDTH - 2 * LEFT, HEADING, 2, bold=True)
    view = _view(rooms, now, measures, 16 + len(headings) * ROW + 12, prefix)
    sides = (16 + len(headings) * ROW - 2, "← target", "archer →")
    drawn = svg.group(
        *_riser(now.pivot, now.fulcrums, view),
        *([] if before is None else _before(before, view)),
        *_limb(now, view, "upper"),
        *_limb(now, view, "lower"),
        *_string(now, view),
        *_pivot(now, view),
        *_measured(now, before, view, measures),
        *_nock(now, view),
        id=f"{prefix}-bow",
        data_scale_x=repr(float(f"{view.scale:.7g}")), data_scale_y=repr(float(f"{view.scale:.7g}")),
        data_origin_x=repr(float(f"{view.origin_x:.7g}")), data_origin_y=repr(float(f"{view.origin_y:.7g}")),
    )  # fmt: skip
    under, bottom = _under(now, before, before_words, view)
    children = [
        *(
            svg.text(LEFT, 16 + at * ROW, words, size=HEADING, class_="qt-text qt-strong")
            for at, words in enumerate(headings)
        ),
        svg.text(LEFT, sides[0], sides[1], size=SIZE, class_="qt-text qt-quiet"),
        svg.text(RIGHT, sides[0], sides[2], size=SIZE, anchor="end", class_="qt-text qt-quiet"),
        drawn,
        *under,
    ]
    said = _description(now, before, measures, before_words, view)
    return svg.picture(name, title, said, WIDTH, bottom, children, prefix=prefix)


@lru_cache(maxsize=32)
def _broken(words: str, room: float, size: float, most: int, *, bold: bool = False) -> tuple[str, ...]:
    """Words in lines; most of them are the same in the next picture."""
    return tuple(svg.wrapped(words, room, size, most, bold=bold))


# Checks


def _check(shape: BowShape) -> None:
    for side, limb in (("upper", shape.upper), ("lower", shape.lower)):
        _near(f"the {side} limb's points", *limb.points, *(() if limb.station is None else (limb.station,)))
        if len(_apart(limb.points)) < 2:
            raise ValueError(f"the {side} limb needs two points that lie apart")
        if limb.contact is not None and not 0 <= limb.contact < len(limb.points):
            raise ValueError(f"the {side} limb's contact must be the place of one of its points: {limb.contact}")
    _near("the pivot point", shape.pivot)
    _near("the fulcrums", *shape.fulcrums)
    if shape.nock is not None:
        _near("the nocking point", shape.nock)
    (_, high), (_, low) = shape.fulcrums
    if not low < shape.pivot[1] < high:
        raise ValueError(f"the fulcrums must lie over and under the pivot point: {high} and {low}")


def _check_room(room: Room) -> None:
    _near("the room", (room.left, room.right), (room.lowest, room.highest))
    if not (room.left <= room.right and room.lowest <= room.highest):
        raise ValueError("the room's left must not be right of its right, nor its lowest over its highest")


def _near(what: str, *points: Point) -> None:
    if not all(math.isfinite(one) and abs(one) <= FARTHEST for point in points for one in point):
        raise ValueError(f"{what} must be finite, and within {FARTHEST:g} m")


def _check_measures(shape: BowShape, measures: Measures) -> None:
    if not 0 <= measures.force_part <= 1:  # false for NaN too
        raise ValueError(f"a force's part must be from 0 to 1: {measures.force_part}")
    if (measures.draw_length or measures.force) and (
        shape.nock is None or math.dist(shape.nock, shape.pivot) < STRAIGHT
    ):
        raise ValueError("draw length and force need a nocking point, away from the pivot point")
    if measures.brace_height or measures.upper_tiller or measures.lower_tiller:
        if shape.nock is None:
            raise ValueError("brace height and tiller need a string")
        start, end = _leaves(shape.upper), _leaves(shape.lower)
        if start == end or math.dist(_foot(shape.nock, start, end), shape.nock) > STRAIGHT:
            raise ValueError("brace height and tiller are measured on the braced bow, whose string is straight")


# Geometry


def _apart(points: tuple[Point, ...]) -> list[Point]:
    """The points without those that repeat the one before."""
    return [point for at, point in enumerate(points) if at == 0 or point != points[at - 1]]


def _leaves(limb: LimbShape) -> Point:
    """Where the free string begins."""
    return limb.points[-1 if limb.contact is None else limb.contact]


def _foot(point: Point, start: Point, end: Point) -> Point:
    """The foot of the perpendicular from a point on the line through two others."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    part = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / (dx * dx + dy * dy)
    return start[0] + part * dx, start[1] + part * dy


def _unit(start: Point, end: Point) -> Point:
    long = math.dist(start, end)
    return (end[0] - start[0]) / long, (end[1] - start[1]) / long


def _station(shape: BowShape, side: str) -> Point:
    """Where on the limb its tiller is measured."""
    limb = _of(shape, side)[0]
    return _rest(shape, side) if limb.station is None else limb.station


def _rest(shape: BowShape, side: str) -> Point:
    """The foot of the perpendicular from the fulcrum on the limb's first part."""
    limb, fulcrum = _of(shape, side)
    first, second, *_ = _apart(limb.points)
    return _foot(fulcrum, first, second)


def _of(shape: BowShape, side: str) -> tuple[LimbShape, Point]:
    return (shape.upper, shape.fulcrums[0]) if side == "upper" else (shape.lower, shape.fulcrums[1])


def _long(points: tuple[Point, ...]) -> float:
    return math.fsum(math.dist(one, other) for one, other in pairwise(points))


def _lines(shape: BowShape, measures: Measures) -> list[tuple[str, str, Point, Point]]:
    """What is measured: its key, its words, from where and to where."""
    if shape.nock is None:
        return []
    start, end = _leaves(shape.upper), _leaves(shape.lower)
    found = []
    for key, words, point in (
        ("brace", measures.brace_height, shape.pivot),
        ("upper-tiller", measures.upper_tiller, _station(shape, "upper")),
        ("lower-tiller", measures.lower_tiller, _station(shape, "lower")),
    ):
        if words:
            found.append((key, words, point, _foot(point, start, end)))
    if measures.draw_length:
        found.append(("draw", measures.draw_length, shape.pivot, shape.nock))
    return found


@dataclass(frozen=True, slots=True)
class _View:
    """Metres of the bow's frame to user units, and the drawing's upper and lower edge."""

    prefix: str
    scale: float
    origin_x: float
    origin_y: float
    top: float
    bottom: float

    def at(self, point: Point) -> Point:
        """Where a point is drawn."""
        return self.origin_x + point[0] * self.scale, self.origin_y - point[1] * self.scale

    def all(self, points: tuple[Point, ...] | list[Point]) -> list[Point]:
        """Where points are drawn."""
        return [self.at(point) for point in points]


def _view(rooms: list[Room], now: BowShape, measures: Measures, top: float, prefix: str) -> _View:
    """The largest scale at which all shapes have room beside the words."""
    low_x, high_x = min(room.left for room in rooms), max(room.right for room in rooms)
    low_y, high_y = min(room.lowest for room in rooms), max(room.highest for room in rooms)
    wide, high = high_x - low_x, high_y - low_y
    if max(wide, high) < SMALLEST:
        raise ValueError(f"the bow must be at least {SMALLEST:g} m large")
    room = RIGHT - LEFT - COLUMN - 2 * THICK
    scale = min(TALLEST / high if high else math.inf, room / wide if wide else math.inf)
    left, right = low_x * scale - THICK, high_x * scale + THICK
    lowest, highest = low_y * scale, high_y * scale
    if measures.force and now.nock is not None:  # its arrow does not grow with the scale
        x, y = (now.nock[at] * scale + LONGEST * _unit(now.pivot, now.nock)[at] for at in (0, 1))
        left, right, lowest, highest = min(left, x - 6), max(right, x - COLUMN), min(lowest, y), max(highest, y)
    height = max(LOWEST, highest - lowest + 2 * PAD)
    spare = max(0.0, RIGHT - LEFT - COLUMN - (right - left))
    over = top + (height - (highest - lowest)) / 2
    return _View(prefix, scale, LEFT + spare / 2 - left, over + highest, top, top + height)


@lru_cache(maxsize=16)
def _taken(shape: BowShape) -> Room:
    """The room that a shape takes, when it was looked at whether it can be drawn."""
    _check(shape)
    points = [*shape.upper.points, *shape.lower.points, shape.pivot, *shape.fulcrums]
    points += _outline(shape.pivot, shape.fulcrums)
    points += [where(shape, side) for where in (_butt, _station) for side in ("upper", "lower")]
    if shape.nock is not None:
        points.append(shape.nock)
    xs, ys = zip(*points, strict=True)
    return Room(min(xs), max(xs), min(ys), max(ys))


# The bow

# The riser's outline on either side of the line from the fulcrum to the pivot point: how far along it, and how far
# toward the archer, as parts of its height. The pivot point is the deepest place of the grip, and the curve passes it.
_FRONT = ((0.93, -0.15), (0.6, -0.13), (0.36, -0.07), (0.28, -0.005), (0.1, -0.005), (-0.08, -0.005))
_BACK_UPPER = ((-0.08, 0.05), (0.12, 0.1), (0.42, 0.09), (0.66, 0.02), (0.84, 0.045))
_BACK_LOWER = ((0.72, 0.06), (0.58, 0.05), (0.42, 0.09), (0.12, 0.1), (-0.08, 0.05))


@lru_cache(maxsize=16)
def _outline(pivot: Point, fulcrums: tuple[Point, Point]) -> tuple[Point, ...]:
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


@lru_cache(maxsize=16)
def _riser(pivot: Point, fulcrums: tuple[Point, Point], view: _View) -> tuple[Element, ...]:
    corners = view.all(_outline(pivot, fulcrums))
    parts: list[str | float] = []
    for before, corner in pairwise([corners[-1], *corners]):
        middle = ((before[0] + corner[0]) / 2, (before[1] + corner[1]) / 2)
        parts += ["Q", *before, *middle] if parts else ["M", *middle]
    first, last = corners[0], corners[-1]
    parts += ["Q", *last, (first[0] + last[0]) / 2, (first[1] + last[1]) / 2, "Z"]
    return (
        svg.path(*parts, class_="qt-riser"),
        svg.path(*parts, class_="qt-riser-line", id=f"{view.prefix}-riser"),
    )


def _butt(shape: BowShape, side: str) -> Point:
    limb, fulcrum = _of(shape, side)
    first, second, *_ = _apart(limb.points)
    (x, y), (dx, dy) = _rest(shape, side), _unit(first, second)
    long = _BUTT * abs(fulcrum[1] - shape.pivot[1])
    return x - long * dx, y - long * dy


def _limb(shape: BowShape, view: _View, side: str) -> list[Element]:
    """The limb behind its line, which is the side that the string and a tape meet."""
    limb, fulcrum = _of(shape, side)
    line = view.all(_apart((_butt(shape, side), *limb.points)))
    key = f"{view.prefix}-{side}"
    x, y = view.at(limb.points[-1])
    return [
        svg.polygon([*line, *reversed(_behind(line, side))], class_="qt-limb qt-bow-limb", id=f"{key}-limb"),
        *_bolt(shape, view, side),
        _way(view.all(limb.points), "qt-bow-belly", f"{key}-line"),
        *_contact(limb, view, f"{key}-contact"),
        svg.circle(x, y, 2.2, class_="qt-fulcrum", id=f"{key}-tip"),
        svg.circle(*view.at(fulcrum), 2.6, class_="qt-fulcrum", id=f"{key}-fulcrum"),
    ]


def _bolt(shape: BowShape, view: _View, side: str) -> list[Element]:
    """Through the butt into the riser, its head on the limb's back."""
    inner, outer = view.at(_butt(shape, side)), view.at(_rest(shape, side))
    x, y = _unit(inner, outer)
    turn = 1.0 if side == "upper" else -1.0

    def at(along: float, behind: float) -> Point:
        return inner[0] + along * x + behind * turn * y, inner[1] + along * y - behind * turn * x

    shank = [at(3.6, -9), at(3.6, THICK), at(6.4, THICK), at(6.4, -9)]
    head = [at(1.5, THICK), at(1.5, THICK + 3.2), at(8.5, THICK + 3.2), at(8.5, THICK)]
    return [svg.polygon(corners, class_="qt-bolt qt-bow-limb") for corners in (shank, head)]


def _behind(line: list[Point], side: str) -> list[Point]:
    """A line of user units moved by the limb's thickness, away from the archer."""
    turn = 1.0 if side == "upper" else -1.0
    units = [_unit(one, other) if one != other else (0.0, -turn) for one, other in pairwise(line)]
    moved = []
    for at, (x, y) in enumerate(line):
        one, other = units[max(at - 1, 0)], units[min(at, len(units) - 1)]
        across, along = (one[1] + other[1]) * turn, -(one[0] + other[0]) * turn
        size = math.hypot(across, along) or 1.0
        moved.append((x + THICK * across / size, y + THICK * along / size))
    return moved


def _contact(limb: LimbShape, view: _View, key: str) -> list[Element]:
    if limb.contact is None or limb.contact == len(limb.points) - 1:
        return []
    return [_way(view.all(limb.points[limb.contact :]), "qt-bow-contact", key)]


def _way(points: list[Point], kind: str, key: str | None) -> Element:
    parts: list[str | float] = []
    for at, (x, y) in enumerate(points):
        parts += ["L" if at else "M", x, y]
    return svg.path(*parts, class_=kind, id=key)


def _string(shape: BowShape, view: _View) -> list[Element]:
    free = _free(shape, view)
    return [_way(free, "qt-string", f"{view.prefix}-string")] if free else []


def _free(shape: BowShape, view: _View) -> list[Point]:
    """The free string, where there is one."""
    return [] if shape.nock is None else view.all((_leaves(shape.upper), shape.nock, _leaves(shape.lower)))


def _nock(shape: BowShape, view: _View) -> list[Element]:
    if shape.nock is None:
        return []
    return [svg.circle(*view.at(shape.nock), 3.2, class_="qt-fulcrum", id=f"{view.prefix}-nock")]


def _pivot(shape: BowShape, view: _View) -> list[Element]:
    x, y = view.at(shape.pivot)
    return [_cross(x, y, f"{view.prefix}-pivot")]


def _cross(x: float, y: float, key: str | None) -> Element:
    parts = ("M", x - 5, y, "H", x + 5, "M", x, y - 5, "V", y + 5)
    return svg.path(*parts, class_="qt-dimension qt-dimension-strong", id=key)


@lru_cache(maxsize=16)
def _before(shape: BowShape, view: _View) -> tuple[Element, ...]:
    ways = [("upper", view.all(shape.upper.points)), ("lower", view.all(shape.lower.points))]
    if shape.nock is not None:
        ways.append(("string", _free(shape, view)))
    return tuple([_way(points, "qt-bow-before", f"{view.prefix}-before-{name}") for name, points in ways])


# What is measured, and the words at it


@dataclass(frozen=True, slots=True)
class _Label:
    """Words that want to be near a place; `over` where they had best stand over or under it, not beside.

    `ways` are the lines they may be written in, the better way first.
    """

    key: str
    ways: tuple[tuple[str, ...], ...]
    near: Point
    over: bool = False
    strong: bool = True

    def width(self, lines: tuple[str, ...]) -> float:
        """How wide lines are in this label's face."""
        return max(svg.text_width(words, SIZE, bold=self.strong) for words in lines)


@dataclass(frozen=True, slots=True)
class _Spot:
    """A label's place: its left edge and the baseline of its first line."""

    label: _Label
    lines: tuple[str, ...]
    start: float
    baseline: float
    width: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom."""
        last = self.baseline + ROW * (len(self.lines) - 1)
        return self.start, self.baseline - _ASCENT, self.start + self.width, last + _DESCENT

    def hits(self, other: _Spot) -> bool:
        a, b = self.box, other.box
        return a[0] < b[2] + 5 and b[0] < a[2] + 5 and a[1] < b[3] + 3 and b[1] < a[3] + 3

    @property
    def nearest(self) -> Point:
        """The place of its box that is nearest to what it names."""
        left, top, right, bottom = self.box
        x, y = self.label.near
        return min(max(x, left - 2), right + 2), min(max(y, top - 1), bottom + 1)


def _measured(shape: BowShape, before: BowShape | None, view: _View, measures: Measures) -> list[Element]:
    dashed = () if before is None else _string_way(before, view)
    drawn, labels, lines = [], [], []
    for key, words, start, end in _lines(shape, measures):
        one, other = view.at(start), view.at(end)
        drawn += _dimension(one, other, f"{view.prefix}-{key}")
        lines.append((one, other))
        middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
        near = middle if key == "draw" else _past(other, dashed)
        labels.append(_label(key, words, near, over=key == "draw"))
    if measures.force and shape.nock is not None:
        foot, way = view.at(shape.nock), _unit(shape.pivot, shape.nock)
        long = LONGEST * measures.force_part
        tip = foot[0] + long * way[0], foot[1] - long * way[1]
        if long > FAINTEST:
            outline = _arrow(foot, tip)
            drawn.append(svg.polygon(outline, class_="qt-force", id=f"{view.prefix}-force"))
            lines += [(foot, tip), (outline[1], outline[-1])]
        labels.append(_label("force", measures.force, tip, over=False))
    labels += [
        _Label(f"{side}-name", ((f"{side} limb",),), _past(view.at(limb.points[-1]), dashed), strong=False)
        for side, limb in (("upper", shape.upper), ("lower", shape.lower))
    ]
    return [*drawn, *_placed(labels, [*lines, *_obstacles(shape, view)], view)]


@lru_cache(maxsize=16)
def _string_way(shape: BowShape, view: _View) -> tuple[Point, ...]:
    """Tip to tip along the string."""
    if shape.nock is None:
        return ()
    ends = [limb.points[-1 if limb.contact is None else limb.contact :] for limb in (shape.upper, shape.lower)]
    return tuple(view.all([*reversed(ends[0]), shape.nock, *ends[1]]))


def _past(point: Point, dashed: tuple[Point, ...]) -> Point:
    """A point moved right to the dashed string where that is close by, so that words stand clear of both."""
    x, y = point
    reached = x
    for (x1, y1), (x2, y2) in pairwise(dashed):
        if min(y1, y2) - CLOSE <= y <= max(y1, y2) + CLOSE and y1 != y2:
            there = x1 + min(max((y - y1) / (y2 - y1), 0.0), 1.0) * (x2 - x1)
            if reached < there < x + CLOSE:
                reached = there
    return reached, y


def _label(key: str, words: str, near: Point, *, over: bool) -> _Label:
    return _Label(key, _ways(words), near, over)


def _ways(words: str) -> tuple[tuple[str, ...], ...]:
    """On one line; on two, the number with its unit on the second; or as they break."""
    parts, ways = words.split(), []
    at = next((place for place, part in enumerate(parts) if place and part[0] in "0123456789−±"), 0)
    for lines in ((" ".join(parts),), (" ".join(parts[:at]), " ".join(parts[at:])) if at else ()):
        if lines and max(svg.text_width(line, SIZE, bold=True) for line in lines) <= (WIDE, COLUMN - 6)[len(lines) - 1]:
            ways.append(lines)
    return tuple(ways) or (tuple(svg.wrapped(words, COLUMN - 6, SIZE, 2, bold=True)) or (" ",),)


def _dimension(start: Point, end: Point, key: str) -> list[Element]:
    """A line with a stroke across each end; nothing across where it has no length."""
    drawn = [svg.line(*start, *end, class_="qt-dimension", id=key)]
    if math.dist(start, end) < 1e-6:
        return drawn
    x, y = _unit(start, end)
    ends = [svg.line(px - 4 * y, py + 4 * x, px + 4 * y, py - 4 * x, class_="qt-dimension") for px, py in (start, end)]
    return [*drawn, *ends]


def _arrow(foot: Point, tip: Point) -> list[Point]:
    """The outline of an arrow from its tip round; a short one is slimmer too."""
    long = math.dist(foot, tip)
    x, y = _unit(foot, tip)
    part = min(1.0, long / 18)
    shaft, head, back = 2.2 * part, 6.0 * part, 11.0 * part

    def at(along: float, aside: float) -> Point:
        return tip[0] - along * x - aside * y, tip[1] - along * y + aside * x

    return [
        tip, at(back, head), at(back, shaft), at(long, shaft), at(long, -shaft), at(back, -shaft), at(back, -head),
    ]  # fmt: skip


def _obstacles(shape: BowShape, view: _View) -> list[tuple[Point, Point]]:
    """What words had better not lie on: limbs, string, riser."""
    found: list[tuple[Point, Point]] = []
    for side in ("upper", "lower"):
        line = view.all((_butt(shape, side), *_of(shape, side)[0].points))
        found += pairwise(_thinned(_behind(line, side)))
    found += pairwise(_free(shape, view))
    corners = view.all(_outline(shape.pivot, shape.fulcrums))
    return [*found, *pairwise(_thinned([*corners, corners[0]]))]


def _thinned(line: list[Point]) -> list[Point]:
    """Fewer points of a line, some way apart, and its end."""
    kept = line[:1]
    for point in line:
        if math.dist(point, kept[-1]) > 12:
            kept.append(point)
    return [*kept, line[-1]]


def _placed(labels: list[_Label], lines: list[tuple[Point, Point]], view: _View) -> list[Element]:
    """Give each label in turn the best place that is left."""
    drawn: list[Element] = []
    done: list[_Spot] = []
    for label in labels:
        spot = _best(label, done, lines, view)
        if spot is None:
            continue
        done.append(spot)
        kind = "qt-text qt-strong qt-halo" if label.strong else "qt-text qt-quiet qt-halo"
        x, y = label.near
        to_x, to_y = spot.nearest
        if math.hypot(to_x - x, to_y - y) > 16:
            lines.append(((x, y), (to_x, to_y)))
            drawn.append(svg.line(x, y, to_x, to_y, class_="qt-leader", id=f"{view.prefix}-{label.key}-leader"))
        right = x >= spot.start + spot.width
        for at, words in enumerate(spot.lines):
            drawn.append(svg.text(
                spot.start + spot.width if right else spot.start, spot.baseline + ROW * at, words, size=SIZE,
                anchor="end" if right else "start", class_=kind,
                id=f"{view.prefix}-{label.key}-words{f'-{at}' if at else ''}",
            ))  # fmt: skip
    return drawn


def _best(label: _Label, done: list[_Spot], lines: list[tuple[Point, Point]], view: _View) -> _Spot | None:
    """The nearest free place close by and off the lines; if there is none, the best of all; None where there is none.

    A measure always finds one, for the drawing is high enough; a limb's name stands at its tip, off the lines, or
    nowhere.
    """
    for _, spot in sorted(_wanted(label, view, everywhere=False), key=_how_far):
        if not any(spot.hits(other) for other in done) and not _crossings(spot, lines):
            return spot
    if not label.strong:
        return None
    best, least = None, math.inf
    for near, spot in sorted(_wanted(label, view, everywhere=True), key=_how_far):
        if near >= least:
            break
        if any(spot.hits(other) for other in done):
            continue
        cost = near + 40.0 * min(_crossings(spot, lines), 4)
        if cost < least:
            best, least = spot, cost
    return best


def _how_far(one: tuple[float, _Spot]) -> float:
    return one[0]


def _wanted(label: _Label, view: _View, *, everywhere: bool) -> list[tuple[float, _Spot]]:
    """Places for the words, close by or everywhere, and how far off each is."""
    found = []
    x, y = label.near
    for way, lines in enumerate(label.ways):
        wide, more = label.width(lines), ROW * (len(lines) - 1)
        highest, lowest = view.top + _ASCENT + 2, view.bottom - _DESCENT - 2 - more
        level = y + 4 - more / 2
        over, under = y - 8 - more, y + 8 + _ASCENT
        # over a line rather than under it, so that words do not jump to and fro while it turns
        rows = [(over, 0.0), (over - 4, 0.0), (under, 6.0)] if label.over else [(level, 0.0), (over, 0.0), (under, 0.0)]
        starts = [x - wide / 2, x + 8, x - 8 - wide] if label.over else [x + 8, x + 15, x - 8 - wide, x - wide / 2]
        if everywhere:
            rows += [(highest + 6 * row, 0.0) for row in range(int((lowest - highest) // 6) + 1)]
            starts += [RIGHT - wide, LEFT]
        for rank, start in enumerate(starts):
            held = min(max(start, LEFT), RIGHT - wide)
            for wanted, more_off in rows:
                row = min(max(wanted, highest), lowest)
                spot = _Spot(label, lines, held, row, wide)
                to_x, to_y = spot.nearest
                off = math.hypot(to_x - x, to_y - y) + 0.2 * abs(row - level) + more_off
                found.append((off + 3 * rank + 12 * way, spot))
    return found


def _crossings(spot: _Spot, lines: list[tuple[Point, Point]]) -> int:
    left, top, right, bottom = spot.box
    box = (left - 3, top - 2, right + 3, bottom + 2)
    return sum(_crosses(start, end, box) for start, end in lines)


def _crosses(start: Point, end: Point, box: tuple[float, float, float, float]) -> bool:
    """Whether a straight line has a part in the box (Liang & Barsky 1984)."""
    first, last = 0.0, 1.0
    for a, b, low, high in ((start[0], end[0], box[0], box[2]), (start[1], end[1], box[1], box[3])):
        if max(a, b) < low or min(a, b) > high:
            return False
        if a != b:
            enter, leave = (low - a) / (b - a), (high - a) / (b - a)
            first, last = max(first, min(enter, leave)), min(last, max(enter, leave))
    return first <= last


# Under the drawing


def _under(now: BowShape, before: BowShape | None, before_words: str, view: _View) -> tuple[list[Element], float]:
    """A scale bar, what the signs mean, what is schematic. The height does not change with the present shape."""
    y = view.bottom + 12
    drawn = _bar(view, y)
    rows: list[tuple[str, str]] = []
    if now.nock is not None:
        on = any(limb.contact not in (None, len(limb.points) - 1) for limb in (now.upper, now.lower))
        rows.append(("qt-bow-contact", _ON_LIMB) if on else ("qt-fulcrum", _AT_TIPS))
    if before is not None:
        hidden = _HIDDEN if _moved(now, before, view) < SEEN else ""
        rows.append(("qt-bow-before", f"dashed: {before_words}{hidden}"))
    y += ROW + 4
    for at, (kind, words) in enumerate(rows):
        lines = _broken(words, RIGHT - LEFT - 38, SIZE, 2)
        drawn.append(_sample(y, kind))
        for row, line in enumerate(lines):
            key = f"{view.prefix}-key-{at}{f'-{row}' if row else ''}"
            drawn.append(svg.text(LEFT + 36, y + 4 + ROW * row, line, size=SIZE, id=key))
        longest = words if words.endswith(_HIDDEN) or kind != "qt-bow-before" else words + _HIDDEN
        y += ROW * max(len(_broken(longest, RIGHT - LEFT - 38, SIZE, 2)), 1) + 3
    said = f"{now.string_words}. {_SCHEMATIC}" if now.string_words else _SCHEMATIC
    for line in _broken(said, RIGHT - LEFT, SIZE, 5):
        drawn.append(svg.text(LEFT, y + 4, line, size=SIZE, class_="qt-text qt-quiet"))
        y += ROW
    return drawn, y


def _sample(y: float, kind: str) -> Element:
    if kind == "qt-fulcrum":
        return svg.circle(LEFT + 14, y, 2.2, class_=kind)
    return svg.path("M", LEFT, y, "H", LEFT + 28, class_=kind)


def _bar(view: _View, y: float) -> list[Element]:
    """A bar of a round length, and the sign of the pivot point."""
    most = 66 / view.scale
    power = 10.0 ** math.floor(math.log10(most) + 1e-9)
    length = rounded(next((step for step in (5, 2) if step * power <= most * (1 + 1e-9)), 1) * power)
    end = LEFT + length * view.scale
    parts = ("M", LEFT, y - 4, "V", y + 4, "M", LEFT, y, "H", end, "M", end, y - 4, "V", y + 4)
    return [
        svg.path(*parts, class_="qt-dimension qt-dimension-strong", id=f"{view.prefix}-bar"),
        svg.text(end + 8, y + 4, f"{trimmed(1000 * length, 3)} mm", size=SIZE, id=f"{view.prefix}-bar-words"),
        _cross(190, y, None),
        svg.text(201, y + 4, "pivot point of the grip", size=SIZE),
    ]


def _moved(now: BowShape, before: BowShape, view: _View) -> float:
    """How far apart the two are drawn, user units: tips and nocking point."""
    pairs = [(now.upper.points[-1], before.upper.points[-1]), (now.lower.points[-1], before.lower.points[-1])]
    if (now.nock is None) is not (before.nock is None):
        return math.inf
    if now.nock is not None and before.nock is not None:
        pairs.append((now.nock, before.nock))
    return view.scale * max(math.dist(one, other) for one, other in pairs)


# The bow in words


def _description(
    now: BowShape, before: BowShape | None, measures: Measures, before_words: str, view: _View
) -> str:  # fmt: skip
    said = ["The whole bow from the side, upright and to scale, the archer to the right.", *_places(now)]
    if now.nock is not None:
        said.append(_how_it_lies(now))
    if now.string_words:
        said.append(f"{now.string_words}.")
    said += [f"{words[:1].upper()}{words[1:]}." for _, words, _, _ in _lines(now, measures)]
    if measures.force:
        said.append(f"An arrow at the nocking point, away from the pivot point: {measures.force}.")
    if before is not None:
        near = " It is too close to be told apart here." if _moved(now, before, view) < SEEN else ""
        said += [f"Dashed: {before_words}.", *_places(before)]
        said[-1] += near
    return " ".join([*said, _SCHEMATIC])


def _places(shape: BowShape) -> list[str]:
    """Where the tips and the nocking point are, from the pivot point."""
    upper, lower = (_from_pivot(shape, limb.points[-1]) for limb in (shape.upper, shape.lower))
    said = [f"From the grip's pivot point, the upper tip is {upper}, the lower tip {lower}"]
    said[0] += "." if shape.nock is None else f", the nocking point {_from_pivot(shape, shape.nock)}."
    return said if shape.nock is not None else [*said, "There is no string."]


def _from_pivot(shape: BowShape, point: Point) -> str:
    across, up = (1000 * (one - other) for one, other in zip(point, shape.pivot, strict=True))
    way, high = "toward the archer" if across >= 0 else "toward the target", "up" if up >= 0 else "down"
    return f"{fixed(abs(across), 0)} mm {way} and {fixed(abs(up), 0)} mm {high}"


def _how_it_lies(shape: BowShape) -> str:
    upper, lower = (
        0.0 if limb.contact is None else 1000 * _long(limb.points[limb.contact :])
        for limb in (shape.upper, shape.lower)
    )
    if fixed(upper, 0) == fixed(lower, 0) == "0":
        return "The string touches the limbs at their tips only."
    return f"The string lies on the last {fixed(upper, 0)} mm of the upper limb and {fixed(lower, 0)} mm of the lower."
