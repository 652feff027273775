"""The whole bow from the side, to scale: riser, limbs, string, what is measured, the force that holds it.

It lies on its side, as on a table and as above the pocket's picture, and so fits a phone: the upper limb to the right,
the archer below. In the bow's own frame Y goes to the right and X down. Limbs, string
and measures are drawn where the numbers say. The riser, the bolts, the limbs' thickness and how far their butts reach
into the riser are drawn freely, and the picture says so.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from quarterturn.figures import svg
from quarterturn.figures.axis import Point, Viewport, bar_length, length_words
from quarterturn.figures.bow_insets import ROOM, Insets, inset_drawings, insets_of
from quarterturn.figures.bow_labels import (
    LEFT,
    LONGEST,
    NOTHING_MEASURED,
    RIGHT,
    Measures,
    check_measures,
    dimension_lines,
    dimensions,
    words_height,
)
from quarterturn.figures.bow_shape import (
    THICK,
    BowShape,
    Extent,
    LimbShape,
    LyingViewport,
    butt_end,
    check_extent,
    distinct,
    free_string,
    limb_back,
    limb_of,
    path_length,
    rest_point,
    riser_outline,
    shape_extent,
    unit_vector,
)
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture
from quarterturn.numbers import fixed

DEEPEST = 190.0  # user units: the bow itself, from its back to the nocking point
LOWEST = 84.0  # the drawing at least, without the rows for words: all find room in it, whatever the bow
PAD = 10.0
SMALLEST = 0.05  # m: nor is a bow smaller
SEEN = 1.5  # user units: a difference below this is hidden by the lines
_ON_LIMB = "thick: the string lies on the limb"
_AT_TIPS = "the string touches the tips only"
_HIDDEN = "; too close to tell apart"
_ENLARGED = "; in the boxes {} times as large"
_SCHEMATIC = "Schematic: riser, bolts, the limbs' thickness and butts. All else is to scale."


@lru_cache(maxsize=16)
def bow_view(
    now: BowShape,
    *,
    before: BowShape | None = None,
    measures: Measures = NOTHING_MEASURED,
    extent: Extent | None = None,
    before_words: str = "before",
    prefix: str,
    title: str = "The bow from the side",
    name: str = "bow-view",
) -> Picture:
    """Draw the bow from the side, lying.

    Args:
        now: the bow's shape.
        before: another shape of the same bow, drawn as a thin dashed line; None for none.
        measures: what is written at it.
        extent: what the picture has room for at least, so that its size and scale stand still while a slider moves.
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
            shape does not have, or the extent's sides are the wrong way round.
    """
    extents = [shape_extent(shape) for shape in (now, before) if shape is not None]
    if extent is not None:
        check_extent(extent)
        extents.append(extent)
    check_measures(now, measures)
    headings = _broken(title, WIDTH - 2 * LEFT, HEADING, 2, bold=True)
    view = _viewport(extents, now, measures, 16 + len(headings) * ROW + 12, prefix)
    insets = insets_of(now, before, view)
    drawn = svg.group(
        *_riser(now.pivot, now.fulcrums, view),
        *([] if before is None else _before(before, view)),
        *_limb(now, view, "upper"),
        *_limb(now, view, "lower"),
        *_string(now, view),
        *_pivot(now, view),
        *dimensions(now, before, view, measures),
        *_nock(now, view),
        *(inset_drawings(insets, now, before, view) if insets and before else ()),
        id=f"{prefix}-bow",
        data_scale_x=repr(float(f"{view.scale_x:.7g}")), data_scale_y=repr(float(f"{view.scale_x:.7g}")),
        data_origin_x=repr(float(f"{view.origin_x:.7g}")), data_origin_y=repr(float(f"{view.origin_y:.7g}")),
    )  # fmt: skip
    under, bottom = _under(now, before, before_words, insets, view, measures.length_unit)
    children = [
        *svg.heading(headings, LEFT),
        *_sides(14 + len(headings) * ROW),
        drawn,
        *under,
    ]
    said = _description(now, before, measures, before_words, insets, view)
    return svg.picture(name, title, said, WIDTH, bottom, children, prefix=prefix)


@lru_cache(maxsize=32)
def _broken(words: str, room: float, size: float, most: int, *, bold: bool = False) -> tuple[str, ...]:
    """Words in lines; most of them are the same in the next picture."""
    return tuple(svg.wrapped(words, room, size, most, bold=bold))


def _viewport(extents: list[Extent], now: BowShape, measures: Measures, top: float, prefix: str) -> Viewport:
    """The largest scale at which all shapes have room beside the words."""
    low_x, high_x = min(one.left for one in extents), max(one.right for one in extents)
    low_y, high_y = min(one.lowest for one in extents), max(one.highest for one in extents)
    wide, high = high_x - low_x, high_y - low_y
    if max(wide, high) < SMALLEST:
        raise ValueError(f"the bow must be at least {SMALLEST:g} m large")
    scale = _fitting(wide, high, RIGHT - LEFT - 2 * THICK)
    origin_x = (LEFT + RIGHT - (low_y + high_y) * scale) / 2
    back, front = low_x * scale - THICK, high_x * scale
    if measures.force and now.nock is not None:  # its arrow does not grow with the scale
        way = unit_vector(now.pivot, now.nock)
        if not LEFT + 6 < origin_x + now.nock[1] * scale + LONGEST * way[1] < RIGHT - 6:
            scale = _fitting(wide, high, RIGHT - LEFT - 2 * LONGEST)
            origin_x = (LEFT + RIGHT - (low_y + high_y) * scale) / 2
        back = min(low_x * scale - THICK, now.nock[0] * scale + LONGEST * way[0] - 6)
        front = high_x * scale + LONGEST
    words = words_height(measures)
    height = max(LOWEST, front - back + 2 * PAD) + words
    origin_y = top + (height - words - (front - back)) / 2 - back
    return LyingViewport(prefix, scale, scale, origin_x, origin_y, top, height, LEFT, RIGHT, prefix)


def _fitting(wide: float, high: float, room: float) -> float:
    """The largest scale at which a bow has room along and across."""
    return min(room / high if high else math.inf, DEEPEST / wide if wide else math.inf)


def _sides(y: float) -> list[Element]:
    """Over the drawing: which limb is which, and where target and archer are."""
    words = (LEFT, "lower limb", "start"), (WIDTH / 2, "↑ target, ↓ archer", "middle"), (RIGHT, "upper limb", "end")
    return [svg.text(x, y, said, size=SIZE, anchor=anchor, class_="qt-text qt-quiet") for x, said, anchor in words]


# The bow


@lru_cache(maxsize=16)
def _riser(pivot: Point, fulcrums: tuple[Point, Point], view: Viewport) -> tuple[Element, ...]:
    corners = view.all(riser_outline(pivot, fulcrums))
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


def _limb(shape: BowShape, view: Viewport, side: str) -> list[Element]:
    """The limb behind its line, which is the side that the string and a tape meet."""
    limb, fulcrum = limb_of(shape, side)
    line = view.all(distinct((butt_end(shape, side), *limb.points)))
    key = f"{view.prefix}-{side}"
    x, y = view.at(limb.points[-1])
    return [
        svg.polygon([*line, *reversed(limb_back(line, side))], class_="qt-limb qt-bow-limb", id=f"{key}-limb"),
        *_bolt(shape, view, side),
        svg.open_line(view.all(limb.points), class_="qt-bow-belly", id=f"{key}-line"),
        *_contact(limb, view, f"{key}-contact"),
        svg.circle(x, y, 2.2, class_="qt-fulcrum", id=f"{key}-tip"),
        svg.circle(*view.at(fulcrum), 2.6, class_="qt-fulcrum", id=f"{key}-fulcrum"),
    ]


def _bolt(shape: BowShape, view: Viewport, side: str) -> list[Element]:
    """Through the butt into the riser, its head on the limb's back."""
    inner, outer = view.at(butt_end(shape, side)), view.at(rest_point(shape, side))
    x, y = unit_vector(inner, outer)
    turn = 1.0 if side == "upper" else -1.0

    def at(along: float, behind: float) -> Point:
        return inner[0] + along * x + behind * turn * y, inner[1] + along * y - behind * turn * x

    shank = [at(3.6, -9), at(3.6, THICK), at(6.4, THICK), at(6.4, -9)]
    head = [at(1.5, THICK), at(1.5, THICK + 3.2), at(8.5, THICK + 3.2), at(8.5, THICK)]
    return [svg.polygon(corners, class_="qt-bolt qt-bow-limb") for corners in (shank, head)]


def _contact(limb: LimbShape, view: Viewport, key: str) -> list[Element]:
    if limb.contact is None or limb.contact == len(limb.points) - 1:
        return []
    return [svg.open_line(view.all(limb.points[limb.contact :]), class_="qt-bow-contact", id=key)]


def _string(shape: BowShape, view: Viewport) -> list[Element]:
    free = free_string(shape, view)
    return [svg.open_line(free, class_="qt-string", id=f"{view.prefix}-string")] if free else []


def _nock(shape: BowShape, view: Viewport) -> list[Element]:
    if shape.nock is None:
        return []
    return [svg.circle(*view.at(shape.nock), 3.2, class_="qt-fulcrum", id=f"{view.prefix}-nock")]


def _pivot(shape: BowShape, view: Viewport) -> list[Element]:
    x, y = view.at(shape.pivot)
    return [_cross(x, y, f"{view.prefix}-pivot")]


def _cross(x: float, y: float, key: str | None) -> Element:
    parts = ("M", x - 5, y, "H", x + 5, "M", x, y - 5, "V", y + 5)
    return svg.path(*parts, class_="qt-dimension qt-dimension-strong", id=key)


@lru_cache(maxsize=16)
def _before(shape: BowShape, view: Viewport) -> tuple[Element, ...]:
    ways = [("upper", view.all(shape.upper.points)), ("lower", view.all(shape.lower.points))]
    if shape.nock is not None:
        ways.append(("string", free_string(shape, view)))
    return tuple(
        [svg.open_line(points, class_="qt-bow-before", id=f"{view.prefix}-before-{name}") for name, points in ways]
    )


# Under the drawing


def _under(
    now: BowShape, before: BowShape | None, before_words: str, insets: Insets | None, view: Viewport, unit: str
) -> tuple[list[Element], float]:
    """A scale bar, what the signs mean, what is schematic. The height does not change with the present shape."""
    y = view.bottom + 12 + (ROOM if before is not None else 0.0)
    drawn = _bar(view, y, unit)
    rows: list[tuple[str, str]] = []
    if now.nock is not None:
        on = any(limb.contact not in (None, len(limb.points) - 1) for limb in (now.upper, now.lower))
        rows.append(("qt-bow-contact", _ON_LIMB) if on else ("qt-fulcrum", _AT_TIPS))
    if before is not None:
        hidden = _moved(now, before, view) * (insets.factor if insets else 1) < SEEN
        more = _HIDDEN if hidden else _ENLARGED.format(insets.factor) if insets else ""
        rows.append(("qt-bow-before", f"dashed: {before_words}{more}"))
    y += ROW + 4
    for at, (kind, words) in enumerate(rows):
        lines = _broken(words, RIGHT - LEFT - 38, SIZE, 2)
        drawn.append(_sample(y, kind))
        for row, line in enumerate(lines):
            key = f"{view.prefix}-key-{at}{f'-{row}' if row else ''}"
            drawn.append(svg.text(LEFT + 36, y + 4 + ROW * row, line, size=SIZE, id=key))
        longest = f"dashed: {before_words}{_ENLARGED.format(10)}" if kind == "qt-bow-before" else words
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


def _bar(view: Viewport, y: float, unit: str) -> list[Element]:
    """A bar of a round length, and the sign of the pivot point."""
    length, words = bar_length(66_000 / view.scale_x, unit)
    end = LEFT + length / 1000 * view.scale_x
    return [
        svg.path(*svg.bar_path(LEFT, end, y, 4), class_="qt-dimension qt-dimension-strong", id=f"{view.prefix}-bar"),
        svg.text(end + 8, y + 4, words, size=SIZE, id=f"{view.prefix}-bar-words"),
        _cross(170, y, None),
        svg.text(181, y + 4, "grip's pivot point", size=SIZE),
    ]


def _moved(now: BowShape, before: BowShape, view: Viewport) -> float:
    """How far apart the two are drawn, user units: tips and nocking point."""
    pairs = [(now.upper.points[-1], before.upper.points[-1]), (now.lower.points[-1], before.lower.points[-1])]
    if (now.nock is None) is not (before.nock is None):
        return math.inf
    if now.nock is not None and before.nock is not None:
        pairs.append((now.nock, before.nock))
    return view.scale_x * max(math.dist(one, other) for one, other in pairs)


# The bow in words


def _description(
    now: BowShape, before: BowShape | None, measures: Measures, before_words: str, insets: Insets | None, view: Viewport
) -> str:  # fmt: skip
    said = [
        "The whole bow from the side, to scale. It lies on its side: the upper limb to the right, the archer below.",
        *_places(now, measures.length_unit),
    ]
    if now.nock is not None:
        said.append(_how_it_lies(now, measures.length_unit))
    if now.string_words:
        said.append(f"{now.string_words}.")
    said += [f"{words[:1].upper()}{words[1:]}." for _, words, _, _ in dimension_lines(now, measures)]
    if measures.force:
        said.append(f"An arrow at the nocking point, away from the pivot point: {measures.force}.")
    if before is not None:
        near = ""
        if _moved(now, before, view) * (insets.factor if insets else 1) < SEEN:
            near = " It is too close to tell apart here."
        elif insets:
            near = f" Boxes under it show the tips and the nocking point {insets.factor} times as large."
        said += [f"Dashed: {before_words}.", *_places(before, measures.length_unit)]
        said[-1] += near
    return " ".join([*said, _SCHEMATIC])


def _places(shape: BowShape, unit: str) -> list[str]:
    """Where the tips and the nocking point are, from the pivot point."""
    upper, lower = (_from_pivot(shape, limb.points[-1], unit) for limb in (shape.upper, shape.lower))
    said = [f"From the grip's pivot point, the upper tip is {upper}; the lower tip {lower}"]
    said[0] += "." if shape.nock is None else f"; the nocking point {_from_pivot(shape, shape.nock, unit)}."
    return said if shape.nock is not None else [*said, "There is no string."]


def _from_pivot(shape: BowShape, point: Point, unit: str) -> str:
    across, up = (1000 * (one - other) for one, other in zip(point, shape.pivot, strict=True))
    way, high = "toward the archer" if across >= 0 else "toward the target", "up" if up >= 0 else "down"
    return f"{length_words(abs(across), unit, 0)} {way} and {length_words(abs(up), unit, 0)} {high}"


def _how_it_lies(shape: BowShape, unit: str) -> str:
    upper, lower = (
        0.0 if limb.contact is None else 1000 * path_length(limb.points[limb.contact :])
        for limb in (shape.upper, shape.lower)
    )
    if fixed(upper, 0) == fixed(lower, 0) == "0":
        return "The string touches the limbs at their tips only."
    one, other = length_words(upper, unit, 0), length_words(lower, unit, 0)
    return f"The string lies on the last {one} of the upper limb and {other} of the lower."
