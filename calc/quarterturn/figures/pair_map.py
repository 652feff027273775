"""The map of all pairs of settings: draw weight across, tiller up, a place for every pair inside both windows.

Lines of one place of the upper bolt are whole, lines of one place of the lower bolt dashed, the windows' ends thick.
Where the bolts stand, the best pair, those after it, the pair looked at and what is wanted are told apart by their
signs and by words.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.axis import PLACES, Axis, Point, axis_between, round_steps, ticks
from quarterturn.figures.labels import Box, Label, Placement, best_placement, shared_area
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture
from quarterturn.numbers import fixed

LEFT, RIGHT = 48.0, WIDTH - 16.0
HEIGHT = 230.0
TOP = 16 + 2 * ROW
BOTTOM = TOP + HEIGHT
KEY_ROW = 24.0
FINGER = 9.0  # user units: half of what is tapped, where pairs lie so far apart
MOST_TICKS = 6
MOST_PAIRS = 4000
LARGEST = 1e7
SMALLEST = 0.05  # what an axis spans at least: no reading tells less
NARROW = (0.01, 0.05)  # and of what it shows: the numbers beside it have little room
FAR = 16.0  # user units: how far the four lines reach that point at what is wanted

Index = tuple[int, int]


@dataclass(frozen=True, slots=True)
class PairMap:
    """Everything that is drawn.

    Attributes:
        points: for each place of the upper bolt, in order, those of the lower: (weight, tiller) in the units shown.
        changes: turns of the upper bolt at each of its places, and of the lower one, from where they stand.
        now, best: where the bolts stand, and the best pair, as places in `points`; `now` may lie between pairs: None.
        following: those after the best, the better first; None for one that has a sign of its own.
        looked: the pair that is looked at, or None.
        wish: what is wanted.
        near: half of what counts as reached: across and up.
        x_label, y_label: the axes in words.
        fields: what a tap sets: the turns of the upper and of the lower bolt.
    """

    points: tuple[tuple[tuple[float, float], ...], ...]
    changes: tuple[tuple[float, ...], tuple[float, ...]]
    now: Index | None
    best: Index
    following: tuple[Index | None, ...]
    looked: Index | None
    wish: tuple[float, float]
    near: tuple[float, float]
    x_label: str
    y_label: str
    x_unit: str
    y_unit: str
    fields: tuple[str, str] = ("", "")
    decimals: tuple[int, int] = (1, 1)


@lru_cache(maxsize=8)
def pair_map(shown: PairMap, *, prefix: str, name: str, title: str) -> Picture:
    """Draw the map.

    Args:
        shown: what is drawn.
        prefix: put before every id, so that several figures can stand on one page.
        name: the picture's name for programs.
        title: what is shown; it is also written over the map.

    The group PREFIX-map carries data-scale-x, data-scale-y (user units per unit, y negative) and data-origin-x,
    data-origin-y (where 0 is drawn). In it, by id after the prefix: upper-lines, lower-lines, ends (the windows' ends),
    wish, near, now, best, next-2 and so on, looked, and a link a pair whose data-try sets both fields.

    Raises:
        ValueError: there is no pair, or too many, rows of unlike length, a number that is not finite or too large, or a
            place that is none.
    """
    _check(shown)
    x, y = _axes(shown)
    # No finer than is drawn: a place found by Newton's method differs in the tenth digit from one Python to another.
    scale_x, scale_y = (repr(float(f"{axis.scale:.7g}")) for axis in (x, y))
    origin_x, origin_y = (svg.number(axis.at(0.0)) for axis in (x, y))
    drawn = svg.group(
        *_grid(shown, x, y),
        *_lattice(shown, x, y, prefix),
        *_signs(shown, x, y, prefix),
        *_links(shown, x, y),
        id=f"{prefix}-map",
        data_scale_x=scale_x, data_scale_y=scale_y, data_origin_x=origin_x, data_origin_y=origin_y,
    )  # fmt: skip
    children = [
        svg.text(4, 16, title, size=HEADING, class_="qt-text qt-strong"),
        svg.text(4, 16 + ROW, shown.y_label, size=SIZE, class_="qt-text qt-quiet"),
        drawn,
        svg.text((LEFT + RIGHT) / 2, BOTTOM + 36, shown.x_label, size=SIZE, anchor="middle", class_="qt-text qt-quiet"),
    ]
    key, bottom = _key(BOTTOM + 62, shown)
    return svg.picture(name, title, _description(shown), WIDTH, bottom, [*children, *key], prefix=prefix)


def _check(shown: PairMap) -> None:
    rows = shown.points
    if not rows or not rows[0] or len(rows) * len(rows[0]) > MOST_PAIRS:
        raise ValueError(f"a map has from one pair to {MOST_PAIRS}")
    if any(len(row) != len(rows[0]) for row in rows):
        raise ValueError("all places of the upper bolt need as many of the lower")
    if (len(shown.changes[0]), len(shown.changes[1])) != (len(rows), len(rows[0])):
        raise ValueError("there must be a change for every place")
    numbers = [each for row in rows for point in row for each in point]
    numbers += [*shown.wish, *shown.near, *shown.changes[0], *shown.changes[1]]
    if not all(math.isfinite(each) and abs(each) <= LARGEST for each in numbers):
        raise ValueError("every number must be finite, and not too large")
    for place in (shown.now, shown.best, shown.looked, *shown.following):
        if place is not None and not (0 <= place[0] < len(rows) and 0 <= place[1] < len(rows[0])):
            raise ValueError(f"no such pair: {place}")


def _axes(shown: PairMap) -> tuple[Axis, Axis]:
    """Both with room for all pairs, and for what is wanted where that is not far off."""
    found = []
    for at in range(2):
        values = [point[at] for row in shown.points for point in row]
        low, high = min(values), max(values)
        span = max(high - low, SMALLEST, NARROW[at] * max(abs(low), abs(high)))
        wish = shown.wish[at]
        if low - 0.35 * span <= wish <= high + 0.35 * span:
            low, high = min(low, wish), max(high, wish)
        span = max(high - low, span)
        low, high = (low + high - span) / 2, (low + high + span) / 2
        found.append((low - 0.07 * span, high + 0.07 * span))
    return (
        axis_between(*found[0], LEFT, RIGHT, decimals=PLACES),
        axis_between(*found[1], BOTTOM, TOP, decimals=PLACES),
    )


def _grid(shown: PairMap, x: Axis, y: Axis) -> list[Element]:
    drawn = [svg.rect(LEFT, TOP, RIGHT - LEFT, HEIGHT, class_="qt-plot")]
    values, decimals = _ticks(y)
    for value in values:
        place = y.at(value)
        drawn.append(svg.line(LEFT, place, RIGHT, place, class_="qt-grid"))
        drawn.append(
            svg.text(LEFT - 7, place + 4, fixed(value, decimals), size=SIZE, anchor="end", class_="qt-text qt-tick-y")
        )
    values, decimals = _ticks(x)
    for value in values:
        place = x.at(value)
        drawn.append(svg.line(place, TOP, place, BOTTOM, class_="qt-grid"))
        drawn.append(
            svg.text(place, BOTTOM + 19, fixed(value, decimals), size=SIZE, anchor="middle", class_="qt-text qt-tick-x")
        )
    return [*drawn, svg.rect(LEFT, TOP, RIGHT - LEFT, HEIGHT, class_="qt-frame")]


def _ticks(axis: Axis) -> tuple[list[float], int]:
    """Round values on an axis, and their decimals."""
    span = axis.high - axis.low
    step, decimals = next(one for one in round_steps(span) if span / one[0] <= MOST_TICKS)
    return ticks(axis.low, axis.high, step), decimals


def _at(shown: PairMap, place: Index, x: Axis, y: Axis) -> tuple[float, float]:
    weight, tiller = shown.points[place[0]][place[1]]
    return x.at(weight), y.at(tiller)


def _way(points: list[tuple[float, float]]) -> list[str | float]:
    parts: list[str | float] = []
    for at, (across, up) in enumerate(points):
        parts += ["L" if at else "M", round(across, 2), round(up, 2)]
    return parts


def _lattice(shown: PairMap, x: Axis, y: Axis, prefix: str) -> list[Element]:
    rows, columns = len(shown.points), len(shown.points[0])
    upper: list[str | float] = []
    lower: list[str | float] = []
    for row in range(rows):
        upper += _way([_at(shown, (row, column), x, y) for column in range(columns)])
    for column in range(columns):
        lower += _way([_at(shown, (row, column), x, y) for row in range(rows)])
    around = [(0, column) for column in range(columns)]
    around += [(row, columns - 1) for row in range(1, rows)]
    around += [(rows - 1, column) for column in reversed(range(columns - 1))]
    around += [(row, 0) for row in reversed(range(1, rows - 1))]
    ends = _way([_at(shown, place, x, y) for place in around])
    return [
        svg.path(*upper, class_="qt-pairs-line", id=f"{prefix}-upper-lines"),
        svg.path(*lower, class_="qt-pairs-line qt-pairs-lower", id=f"{prefix}-lower-lines"),
        svg.path(*ends, "Z", class_="qt-pairs-ends", id=f"{prefix}-ends"),
    ]


def _wish(shown: PairMap, x: Axis, y: Axis, prefix: str) -> tuple[list[Element], _Sign]:
    """What is wanted: four short lines in the box that counts as near enough, or an arrow in words at the edge."""
    across, up = shown.wish
    held = min(max(across, x.low), x.high), min(max(up, y.low), y.high)
    place = x.at(held[0]), y.at(held[1])
    key = f"{prefix}-wish-words"
    if held == (across, up):
        wide, high = abs(x.at(shown.near[0]) - x.at(0.0)), abs(y.at(shown.near[1]) - y.at(0.0))
        left, right = max(place[0] - wide, LEFT), min(place[0] + wide, RIGHT)
        top, bottom = max(place[1] - high, TOP), min(place[1] + high, BOTTOM)
        box = svg.rect(left, top, right - left, bottom - top, class_="qt-pairs-near", id=f"{prefix}-near")
        hairs = svg.path(*_hairs(*place), class_="qt-pairs-wish", id=f"{prefix}-wish")
        return [box, hairs], (_label("wanted", place, key), FAR)
    way = " ".join(
        word
        for word, there in (("←", across < x.low), ("→", across > x.high), ("↓", up < y.low), ("↑", up > y.high))
        if there
    )
    return [], (_label(f"wanted {way}", place, key), 0.0)


def _hairs(x: float, y: float, near: float = 10.5, far: float = FAR) -> list[str | float]:
    """Four short lines that point at a place and leave it free, for the best pair may lie there."""
    return [
        "M", x - far, y, "L", x - near, y, "M", x + near, y, "L", x + far, y,
        "M", x, y - far, "L", x, y - near, "M", x, y + near, "L", x, y + far,
    ]  # fmt: skip


_Sign = tuple[Label, float]
"""The label of a sign, and how far the sign reaches from its place."""


def _label(words: str, place: Point, key: str) -> Label:
    return Label(key, ((words,),), (place,))


def _labelled(signs: list[_Sign], taken: list[Box]) -> list[Element]:
    """The words, each beside its sign where it hides least of signs and of other words, inside the plot."""
    drawn = []
    for label, reach in signs:
        placements = _beside(label, reach + 3)
        _, best = best_placement([(0.0, one) for one in placements], (), (0.0, 0.0), lambda _, one: _hidden(one, taken))
        best = best or placements[0]
        taken.append(_box(best))
        place = best.start, best.baseline
        drawn.append(svg.text(*place, best.lines[0], size=SIZE, class_="qt-text qt-strong qt-halo", id=label.key))
    return drawn


def _beside(label: Label, gap: float) -> list[Placement]:
    """Right and left of the sign, over and under it, and farther up and down."""
    (lines,), (target,) = label.ways, label.targets
    wide, (x, level) = label.width(lines), target
    spots = [
        (left, there)
        for more in (0.0, ROW, 2 * ROW)
        for left, there in (
            (x + gap, level + 4 + more), (x - gap - wide, level + 4 + more),
            (x + gap, level + 4 - more), (x - gap - wide, level + 4 - more),
            (x - wide / 2, level - gap - 1 - more), (x - wide / 2, level + gap + 10 + more),
        )
    ]  # fmt: skip
    return [
        Placement(
            label,
            lines,
            min(max(left, LEFT + 3), RIGHT - 3 - wide),
            min(max(there, TOP + 13), BOTTOM - 5),
            wide,
            target,
        )
        for left, there in spots
    ]


def _box(one: Placement) -> Box:
    return one.start - 1, one.baseline - 10, one.end + 1, one.baseline + 3


def _hidden(one: Placement, taken: list[Box]) -> float:
    box = _box(one)
    return round(math.fsum(shared_area(box, other) for other in taken), 3)


def _around(place: Point, reach: float) -> Box:
    return place[0] - reach, place[1] - reach, place[0] + reach, place[1] + reach


def _signs(shown: PairMap, x: Axis, y: Axis, prefix: str) -> list[Element]:
    """All signs, and then their words."""
    drawn, wanted = _wish(shown, x, y, prefix)
    signs: list[_Sign] = []
    taken = [_around(wanted[0].targets[0], wanted[1])] if wanted[1] else []
    for place, pair in enumerate(shown.following, 2):
        if pair is None:
            continue
        at = _at(shown, pair, x, y)
        drawn += _number(*at, place, f"{prefix}-next-{place}")
        taken.append(_around(at, 7.6))
    if shown.looked is not None:
        at = _at(shown, shown.looked, x, y)
        drawn.append(_diamond(*at, f"{prefix}-looked"))
        signs.append((_label("looked at", at, f"{prefix}-looked-words"), 8.0))
    if shown.now is not None:
        at = _at(shown, shown.now, x, y)
        drawn.append(_square(*at, f"{prefix}-now"))
        signs.append((_label("now", at, f"{prefix}-now-words"), 5.0))
    at = _at(shown, shown.best, x, y)
    drawn += _ring(*at, f"{prefix}-best")
    signs.append((_label("nearest", at, f"{prefix}-best-words"), 9.5))
    taken += [_around(label.targets[0], reach) for label, reach in signs]
    return [*drawn, *_labelled([*reversed(signs), wanted], taken)]


def _diamond(x: float, y: float, key: str | None = None) -> Element:
    corners = [(x, y - 8), (x + 8, y), (x, y + 8), (x - 8, y)]
    return svg.polygon(corners, class_="qt-pairs-looked", id=key)


def _square(x: float, y: float, key: str | None = None) -> Element:
    return svg.rect(x - 4.5, y - 4.5, 9, 9, class_="qt-pairs-now", id=key)


def _ring(x: float, y: float, key: str | None = None) -> list[Element]:
    """It is open: what else lies there is seen in it."""
    return [svg.circle(x, y, 8.5, class_="qt-pairs-rim"), svg.circle(x, y, 8.5, class_="qt-pairs-best", id=key)]


def _number(x: float, y: float, place: int, key: str | None = None) -> list[Element]:
    return [
        svg.circle(x, y, 7.6, class_="qt-pairs-next", id=key),
        svg.text(x, y + 4.2, str(place), size=SIZE, anchor="middle", class_="qt-text qt-strong"),
    ]


def _links(shown: PairMap, x: Axis, y: Axis) -> list[Element]:
    """What a tap on a pair does; no further apart than a finger, and none over its neighbour."""
    upper, lower = shown.fields
    if not upper or not lower:
        return []
    rows, columns = len(shown.points), len(shown.points[0])
    places = {(row, column): _at(shown, (row, column), x, y) for row in range(rows) for column in range(columns)}
    drawn = []
    for (row, column), (across, up) in places.items():
        near = [(row + one, column + two) for one in (-1, 0, 1) for two in (-1, 0, 1) if one or two]
        beside = [places[there] for there in near if there in places]
        apart = min((math.dist((across, up), there) for there in beside), default=2 * FINGER)
        # To a tenth: there are hundreds, and a finger is no nearer. What rounding moves is taken off the radius.
        radius = min(FINGER, max(math.floor(5 * apart - 1) / 10, 0.8))
        tried = f"{upper}={fixed(shown.changes[0][row], 2)}&{lower}={fixed(shown.changes[1][column], 2)}"
        hit = svg.circle(round(across, 1), round(up, 1), radius)
        drawn.append(svg.element("a", hit, data_try=tried.replace("−", "-")))
    return [svg.group(*drawn, class_="qt-pairs-taps")]


def _key(y: float, shown: PairMap) -> tuple[list[Element], float]:
    """What the signs mean, two a row, each drawn before its words."""
    sign, words, column = 16.0, 32.0, 0.5 * WIDTH
    half = 9.0
    entries: list[tuple[list[Element], str]] = []

    def add(make: Callable[[float, float], list[Element]], text: str) -> None:
        left, level = sign + column * (len(entries) % 2), y + KEY_ROW * (len(entries) // 2)
        entries.append((make(left, level), text))

    add(lambda x, level: [_square(x, level)], "bolts now")
    add(lambda x, level: _ring(x, level), "nearest setting")
    add(lambda x, level: [svg.path(*_hairs(x, level, 3.5, 9.5), class_="qt-pairs-wish")], "what you want")
    add(lambda x, level: _number(x, level, 2), "second, and so on")
    add(
        lambda x, level: [svg.rect(x - half, level - 6, 2 * half, 12, class_="qt-pairs-near")],
        "near enough",
    )
    add(
        lambda x, level: [svg.line(x - half, level, x + half, level, class_="qt-pairs-ends")],
        "ends of the range",
    )
    add(
        lambda x, level: [svg.line(x - half, level, x + half, level, class_="qt-pairs-line")],
        "upper bolt fixed",
    )
    add(
        lambda x, level: [svg.line(x - half, level, x + half, level, class_="qt-pairs-line qt-pairs-lower")],
        "lower bolt fixed",
    )
    if all(shown.fields):
        add(lambda x, level: [_diamond(x, level)], "looked at")
    drawn = [element for signs, _ in entries for element in signs]
    for place, (_, text) in enumerate(entries):
        across, level = words + column * (place % 2), y + KEY_ROW * (place // 2)
        drawn.append(svg.text(across, level + 4, text, size=SIZE, class_="qt-text qt-quiet"))
    return drawn, y + KEY_ROW * ((len(entries) - 1) // 2) + 14


def _description(shown: PairMap) -> str:
    def said(place: Index) -> str:
        weight, tiller = shown.points[place[0]][place[1]]
        one, two = (fixed(each, decimals) for each, decimals in zip((weight, tiller), shown.decimals, strict=True))
        return f"{one} {shown.x_unit} and {two} {shown.y_unit}"

    weights = [point[0] for row in shown.points for point in row]
    tillers = [point[1] for row in shown.points for point in row]
    count = len(weights)
    one, two = shown.decimals
    parts = [
        f"{count} settings, {shown.x_label} from {fixed(min(weights), one)} to {fixed(max(weights), one)} "
        f"{shown.x_unit}, {shown.y_label} from {fixed(min(tillers), two)} to {fixed(max(tillers), two)} {shown.y_unit}."
    ]
    if shown.now is not None:
        parts.append(f"Where the bolts are: {said(shown.now)}.")
    parts.append(f"The nearest: {said(shown.best)}.")
    parts += [f"Number {place}: {said(pair)}." for place, pair in enumerate(shown.following, 2) if pair is not None]
    if shown.looked is not None:
        parts.append(f"Looked at: {said(shown.looked)}.")
    wished = f"{fixed(shown.wish[0], one)} {shown.x_unit} and {fixed(shown.wish[1], two)} {shown.y_unit}"
    return " ".join([*parts, f"Wanted: {wished}."])
