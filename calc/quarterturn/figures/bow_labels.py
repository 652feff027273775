"""What is measured on the bow, and the words in its drawing, each at the place that is free and near."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from quarterturn.figures import svg
from quarterturn.figures.axis import Point, Viewport, clipped_part
from quarterturn.figures.bow_shape import (
    BowShape,
    butt_end,
    foot_on_line,
    free_string,
    limb_back,
    limb_of,
    riser_outline,
    string_start,
    tiller_station,
    unit_vector,
)
from quarterturn.figures.labels import ASCENT, DESCENT, Label, Placement, anchored, best_placement
from quarterturn.figures.svg import ROW, SIZE, WIDTH, Element

LEFT, RIGHT = 8.0, WIDTH - 8.0
GAP = (5.0, 3.0)  # user units: how far words are from other words
WIDE = 180.0  # user units: words on one line
NARROW = 122.0  # and on two
LONGEST = 50.0  # the arrow of a whole force
FAINTEST = 0.2  # a shorter one is not drawn
STRAIGHT = 1e-3  # m: the nocking point of a braced bow lies on the string's line to within that
CLOSE = 14.0  # user units: nearer than this, words stand clear of the dashed string too


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
    length_unit: str = "mm"
    """The unit of the scale bar, and of places in the description."""


NOTHING_MEASURED = Measures()


def check_measures(shape: BowShape, measures: Measures) -> None:
    """Refuse what the shape does not have.

    Raises:
        ValueError: as `bow_view`.
    """
    if not 0 <= measures.force_part <= 1:  # false for NaN too
        raise ValueError(f"a force's part must be from 0 to 1: {measures.force_part}")
    if (measures.draw_length or measures.force) and (
        shape.nock is None or math.dist(shape.nock, shape.pivot) < STRAIGHT
    ):
        raise ValueError("draw length and force need a nocking point, away from the pivot point")
    if measures.brace_height or measures.upper_tiller or measures.lower_tiller:
        if shape.nock is None:
            raise ValueError("brace height and tiller need a string")
        start, end = string_start(shape.upper), string_start(shape.lower)
        if start == end or math.dist(foot_on_line(shape.nock, start, end), shape.nock) > STRAIGHT:
            raise ValueError("brace height and tiller are measured on the braced bow, whose string is straight")


def words_height(measures: Measures) -> float:
    """The height of the rows of words under the string, user units: one more where those for the tillers are long."""
    widths = [svg.text_width(words, SIZE, bold=True) for words in (measures.upper_tiller, measures.lower_tiller)]
    return ROW * (2.4 if max(widths) <= NARROW else 3.4)


def dimension_lines(shape: BowShape, measures: Measures) -> list[tuple[str, str, Point, Point]]:
    """What is measured: its key, its words, from where and to where."""
    if shape.nock is None:
        return []
    start, end = string_start(shape.upper), string_start(shape.lower)
    found = []
    for key, words, point in (
        ("brace", measures.brace_height, shape.pivot),
        ("upper-tiller", measures.upper_tiller, tiller_station(shape, "upper")),
        ("lower-tiller", measures.lower_tiller, tiller_station(shape, "lower")),
    ):
        if words:
            found.append((key, words, point, foot_on_line(point, start, end)))
    if measures.draw_length:
        found.append(("draw", measures.draw_length, shape.pivot, shape.nock))
    return found


def dimensions(
    shape: BowShape,
    before: BowShape | None,
    view: Viewport,
    measures: Measures,
) -> list[Element]:
    """The lines measured and the force, with their words."""
    dashed = () if before is None else _string_path(before, view)
    drawn, labels, lines = [], [], []
    for key, words, start, end in dimension_lines(shape, measures):
        one, other = view.at(start), view.at(end)
        drawn += _dimension(one, other, f"{view.prefix}-{key}")
        lines.append((one, other))
        middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
        near = middle if key == "draw" else _past(other, dashed)
        labels.append(Label(key, _ways(words), (near,)))
    if measures.force and shape.nock is not None:
        foot = view.at(shape.nock)
        way = unit_vector(view.at(shape.pivot), foot)
        long = LONGEST * measures.force_part
        tip = foot[0] + long * way[0], foot[1] + long * way[1]
        if long > FAINTEST:
            outline = svg.arrow_outline(foot, tip, 2.2, 6.0, 11.0, 18.0)
            drawn.append(svg.polygon(outline, class_="qt-force", id=f"{view.prefix}-force"))
            lines += [(foot, tip), (outline[1], outline[-1])]
        labels.append(Label("force", _ways(measures.force), (tip,)))
    labels.sort(key=lambda label: label.key == "brace")  # the tillers' words leave no other place to it
    return [*drawn, *_placed(labels, [*lines, *_obstacles(shape, view)], view)]


@lru_cache(maxsize=16)
def _string_path(shape: BowShape, view: Viewport) -> tuple[Point, ...]:
    """Tip to tip along the string."""
    if shape.nock is None:
        return ()
    ends = [limb.points[-1 if limb.contact is None else limb.contact :] for limb in (shape.upper, shape.lower)]
    return tuple(view.all([*reversed(ends[0]), shape.nock, *ends[1]]))


def _past(point: Point, dashed: tuple[Point, ...]) -> Point:
    """A point moved down to the dashed string where that is close by, so that words stand clear of both."""
    x, y = point
    reached = y
    for (x1, y1), (x2, y2) in pairwise(dashed):
        if min(x1, x2) - CLOSE <= x <= max(x1, x2) + CLOSE and x1 != x2:
            there = y1 + min(max((x - x1) / (x2 - x1), 0.0), 1.0) * (y2 - y1)
            if reached < there < y + CLOSE:
                reached = there
    return x, reached


def _ways(words: str) -> tuple[tuple[str, ...], ...]:
    """On one line; on two, the number with its unit on the second; or as they break."""
    parts, ways = words.split(), []
    at = next((place for place, part in enumerate(parts) if place and part[0] in "0123456789−±"), 0)
    for lines in ((" ".join(parts),), (" ".join(parts[:at]), " ".join(parts[at:])) if at else ()):
        if lines and max(svg.text_width(line, SIZE, bold=True) for line in lines) <= (WIDE, NARROW)[len(lines) - 1]:
            ways.append(lines)
    return tuple(ways) or (tuple(svg.wrapped(words, NARROW, SIZE, 2, bold=True)) or (" ",),)


def _dimension(start: Point, end: Point, key: str) -> list[Element]:
    """A line with a stroke across each end; nothing across where it has no length."""
    drawn = [svg.line(*start, *end, class_="qt-dimension", id=key)]
    if math.dist(start, end) < 1e-6:
        return drawn
    x, y = unit_vector(start, end)
    ends = [svg.line(px - 4 * y, py + 4 * x, px + 4 * y, py - 4 * x, class_="qt-dimension") for px, py in (start, end)]
    return [*drawn, *ends]


def _obstacles(shape: BowShape, view: Viewport) -> list[tuple[Point, Point]]:
    """What words had better not lie on: limbs, string, riser."""
    found: list[tuple[Point, Point]] = []
    for side in ("upper", "lower"):
        line = view.all((butt_end(shape, side), *limb_of(shape, side)[0].points))
        found += pairwise(_thinned(limb_back(line, side)))
    found += pairwise(free_string(shape, view))
    corners = view.all(riser_outline(shape.pivot, shape.fulcrums))
    return [*found, *pairwise(_thinned([*corners, corners[0]]))]


def _thinned(line: list[Point]) -> list[Point]:
    """Fewer points of a line, some way apart, and its end."""
    kept = line[:1]
    for point in line:
        if math.dist(point, kept[-1]) > 12:
            kept.append(point)
    return [*kept, line[-1]]


def _placed(labels: list[Label], lines: list[tuple[Point, Point]], view: Viewport) -> list[Element]:
    """Give each label in turn the best place that is left; leaders are lines too, for those that follow."""
    drawn: list[Element] = []
    done: list[Placement] = []
    for label in labels:
        placement = _best(label, done, lines, view)
        if placement is not None:
            done.append(placement)
            if placement.leader > 16:
                leader = placement.target, placement.nearest
                lines.append(leader)
                key = f"{view.prefix}-{label.key}-leader"
                drawn.append(svg.line(*leader[0], *leader[1], class_="qt-leader", id=key))
            drawn += _written(placement, f"{view.prefix}-{label.key}-words")
    return drawn


def _written(placement: Placement, key: str) -> list[Element]:
    x, anchor = anchored(placement.start, placement.width, placement.target[0])
    return [
        svg.text(
            x, placement.baseline + ROW * at, words, size=SIZE, anchor=anchor, class_="qt-text qt-strong qt-halo",
            id=f"{key}-{at}" if at else key,
        )
        for at, words in enumerate(placement.lines)
    ]  # fmt: skip


def _best(label: Label, done: list[Placement], lines: list[tuple[Point, Point]], view: Viewport) -> Placement | None:
    """The nearest free place close by and off the lines; if there is none, the best of all; None where there is none.

    A measure always finds one, for the drawing is high enough.
    """

    def off_lines(near: float, placement: Placement) -> float:
        return math.inf if _crossings(placement, lines) else near

    def on_few(near: float, placement: Placement) -> float:
        return near + 40.0 * min(_crossings(placement, lines), 4)

    _, best = best_placement(_candidates(label, view, everywhere=False), done, GAP, off_lines)
    if best is None:
        _, best = best_placement(_candidates(label, view, everywhere=True), done, GAP, on_few)
    return best


def _candidates(label: Label, view: Viewport, *, everywhere: bool) -> list[tuple[float, Placement]]:
    """Places for the words, close by or everywhere, and how far off each is; the nearer first."""
    found = []
    (target,) = label.targets
    x, y = target
    beside = label.key in ("draw", "force")  # what is upright; the others stand under or over what they name
    for way, lines in enumerate(label.ways):
        wide, more = label.width(lines), ROW * (len(lines) - 1)
        highest, lowest = view.top + ASCENT + 2, view.bottom - DESCENT - 2 - more
        level = y + 4 - more / 2
        over, under = y - 8 - more, y + 8 + ASCENT
        # under a place rather than over it, so that words do not jump to and fro while a bolt turns
        rows = (
            [(level, 0.0), (under, 0.0), (over, 6.0)]
            if beside
            else [(under + (ROW + 2) * row, 0.0) for row in range(3)]
        )
        starts = [x + 8, x + 15, x - 8 - wide, x - wide / 2] if beside else [x - wide / 2, x + 8, x - 8 - wide]
        if everywhere:
            rows += [(highest + 6 * row, 0.0) for row in range(int((lowest - highest) // 6) + 1)]
            starts += [RIGHT - wide, LEFT]
        for rank, start in enumerate(starts):
            held = min(max(start, LEFT), RIGHT - wide)
            for wanted, more_off in rows:
                row = min(max(wanted, highest), lowest)
                placement = Placement(label, lines, held, row, wide, target)
                off = placement.leader + 0.2 * abs(row - level) + more_off
                found.append((off + 3 * rank + 12 * way, placement))
    return sorted(found, key=lambda one: one[0])


def _crossings(placement: Placement, lines: list[tuple[Point, Point]]) -> int:
    left, top, right, bottom = placement.box
    box = (left - 3, top - 2, right + 3, bottom + 2)
    return sum(clipped_part(start, end, box) is not None for start, end in lines)
