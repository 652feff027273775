"""What the drawings of the steps share: a step, its panels, a bolt, a caliper, a key, the way that a bolt is turned."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from drawings.sketch import Point, Sketch, box, threaded
from quarterturn.figures import svg
from quarterturn.figures.svg import Element

WIDTH = 340.0
SIZE = 13.0  # of all words: on a phone a user unit is a CSS pixel
PANEL, GAP = 166.0, 6.0  # the width of one of two panels, and what lies between them
LEFT, RIGHT = 1.0, 1.0 + PANEL + GAP
FOOT = 22.0  # under the panels, for their words
REACH, ROUND = 29.0, 35.0  # half the head's width as cut over the prong, and of its full round
SHANK = 14.0  # half the shank's width

Draw = Callable[[Sketch], list[Element]]


@dataclass(frozen=True, slots=True)
class Step:
    """One step at the bench: its words, the height of its drawing, and what draws it."""

    name: str
    title: str
    description: str
    height: float
    draw: Draw


def one(height: float, part: Draw) -> Draw:
    """A single panel over the whole width."""

    def draw(whole: Sketch) -> list[Element]:
        frame = (LEFT, 1.0, WIDTH - 2, height - 2)
        return [svg.rect(*frame, class_="qt-window"), *part(whole), svg.rect(*frame, class_="qt-frame")]

    return draw


def two(height: float, parts: tuple[Draw, Draw], words: tuple[str, str]) -> Draw:
    """Two panels side by side with words under each; their coordinates start at the panel's corner."""

    def draw(whole: Sketch) -> list[Element]:
        drawn: list[Element] = []
        for left, part, said in zip((LEFT, RIGHT), parts, words, strict=True):
            frame = (left, 1.0, PANEL, height - FOOT - 1)
            drawn += [
                svg.rect(*frame, class_="qt-window"),
                *part(Sketch(whole.prefix, left, 1.0, whole.size)),
                svg.rect(*frame, class_="qt-frame"),
                whole.words(left + 2, height - 5, said, strong=True),
            ]
        return drawn

    return draw


# A bolt from the side


def head(sketch: Sketch, axis: float, under: float, high: float = 20.0, *, key: str | None = None) -> list[Element]:
    """The head, cut over the prong, with the outline of its full round behind."""
    place = sketch.at((axis - ROUND, under - high))
    return [
        svg.rect(*place, 2 * ROUND, high, class_="qt-bolt-round"),
        *sketch.body(box(axis - REACH, under - high, axis + REACH, under), "bolt", hatched="bolt"),
        sketch.line((axis - REACH, under), (axis + REACH, under), "qt-head-underside", key=key),
    ]


def bolt(sketch: Sketch, axis: float, under: float, end: float, *, smooth: float = 12.0,
         high: float = 20.0, key: str | None = None) -> list[Element]:  # fmt: skip
    """A whole bolt, not cut: its head with broken upper edges, its shank and thread."""
    top = under - high
    return [
        *sketch.body(bolt_outline(axis, under, end, smooth=smooth, high=high), "bolt", key=key),
        sketch.line((axis - REACH, top + 4), (axis + REACH, top + 4), "qt-bolt-line"),
    ]


def bolt_outline(axis: float, under: float, end: float, *, smooth: float = 12.0, high: float = 20.0) -> list[Point]:
    """The outline of that bolt."""
    top = under - high
    return [
        (axis - REACH, top + 4), (axis - REACH + 4, top), (axis + REACH - 4, top), (axis + REACH, top + 4),
        (axis + REACH, under), (axis + SHANK, under), *threaded(axis - SHANK, axis + SHANK, under + smooth, end),
        (axis - SHANK, under), (axis - REACH, under),
    ]  # fmt: skip


def riser_block(sketch: Sketch, axis: float, face: float, right: float, bottom: float, *, key: str = "riser",
                ) -> list[Element]:  # fmt: skip
    """The riser, cut: a block with a level face, and the bush that takes the bolt; it goes on at three sides."""
    points = box(0, face, right, bottom)
    return [
        *sketch.body(points, "riser", edge=points[:2], key=key),
        *sketch.body(box(axis - SHANK - 11, face, axis + SHANK + 11, bottom), "window", hatched="riser"),
        *sketch.body(box(axis - SHANK, face, axis + SHANK, bottom), "window"),
    ]


def turning(sketch: Sketch, middle: Point, wide: float, high: float, *, out: bool, over: list[Element],
            ) -> list[Element]:  # fmt: skip
    """An arrow round what turns, as seen from the side and a little from above; out is anticlockwise.

    `over` is what turns: the arrow's far half lies behind it.
    """
    sign = 1 if out else -1

    def round_from(start: int, end: int) -> list[Point]:
        angles = [math.radians(angle) for angle in range(start, end - 1, -10)]
        return [(middle[0] + sign * wide * math.cos(a), middle[1] + high * math.sin(a)) for a in angles]

    near = round_from(-180, -290)
    return [
        sketch.stroke(round_from(-20, -180), "qt-dimension qt-dimension-strong"),
        *over,
        sketch.stroke(near, "qt-dimension qt-dimension-strong"),
        *arrow_head(sketch, near[-2], near[-1]),
    ]


def arrow_head(sketch: Sketch, before: Point, tip: Point, size: float = 9.0) -> list[Element]:
    """A filled head at the end of a line."""
    turn = math.atan2(tip[1] - before[1], tip[0] - before[0])
    end = tip[0] + size / 2 * math.cos(turn), tip[1] + size / 2 * math.sin(turn)
    barbs = [(end[0] - size * math.cos(turn + side), end[1] - size * math.sin(turn + side)) for side in (0.45, -0.45)]
    return [svg.polygon([sketch.at(end), *map(sketch.at, barbs)], class_="qt-fulcrum")]


def way(sketch: Sketch, start: Point, end: Point) -> list[Element]:
    """A strong straight arrow: something is moved so."""
    return [sketch.line(start, end, "qt-dimension qt-dimension-strong"), *arrow_head(sketch, start, end)]


def measure(sketch: Sketch, start: Point, end: Point, size: float = 6.0) -> list[Element]:
    """A measure between two points, with a head at either end."""
    return [*sketch.arrow([start, end], size=size), sketch.arrow([end, start], size=size)[1]]


def key_in_head(sketch: Sketch, axis: float, top: float, *, reach: float, high: float) -> list[Element]:
    """The hex key, its short arm in the head's socket and its long arm to the right, or to the left (reach < 0)."""
    half, corner = 3.0, top - high
    side = math.copysign(half, reach)
    return sketch.body(
        [
            (axis - side, top), (axis - side, corner), (axis + reach, corner), (axis + reach, corner + 2 * half),
            (axis + side, corner + 2 * half), (axis + side, top),
        ],
        "window",
    )  # fmt: skip


# A caliper


def caliper_over(sketch: Sketch, left: float, right: float, beam: float, tips: float, end: float) -> list[Element]:
    """A caliper with its beam level above, its jaws hanging down to the left and right of what it measures."""
    wide = 13.0
    fixed: list[Point] = [
        (left - 17, beam), (left, beam), (left, tips), (left - 5, tips), (left - 15, beam + 30), (left - 17, beam + 26),
    ]  # fmt: skip
    sliding: list[Point] = [
        (right, beam - 5), (right + 44, beam - 5), (right + 44, beam + wide + 6), (right + 17, beam + wide + 6),
        (right + 15, beam + 30), (right + 5, tips), (right, tips),
    ]  # fmt: skip
    ticks = [
        sketch.line((x, beam + wide - (8 if rank % 5 == 0 else 5)), (x, beam + wide), "qt-tick")
        for rank, x in enumerate(_every(left + 4, end - 4, 5.0))
        if not right - 1 < x < right + 45
    ]
    return [
        *sketch.body(box(left - 17, beam, end, beam + wide), "window"),
        *ticks,
        *sketch.body(fixed, "window", key="fixed-jaw"),
        *sketch.body(sliding, "window", key="sliding-jaw"),
        *sketch.body(box(right + 8, beam, right + 37, beam + 11), "window", hatched="limb"),
    ]


def depth_caliper(sketch: Sketch, left: float, top: float, stands: float, face: float) -> list[Element]:
    """A caliper that stands upright on a head, its thin rod reaching down to the riser's face beside it."""
    ticks = _every(top + 4, stands - 3, 4.0)
    return [
        *sketch.body(box(left + 1.5, stands, left + 4.5, face), "window"),
        *sketch.body(box(left, top, left + 18, stands), "window"),
        *(
            sketch.line((left + 18 - (8 if rank % 5 == 0 else 5), y), (left + 18, y), "qt-tick")
            for rank, y in enumerate(ticks)
        ),
        *sketch.body(box(left - 5, top + 4, left + 24, top + 22), "window"),
        *sketch.body(box(left, top + 8, left + 19, top + 18), "window", hatched="limb"),
    ]


def _every(start: float, end: float, step: float) -> list[float]:
    return [start + step * rank for rank in range(int((end - start) / step) + 1)]
