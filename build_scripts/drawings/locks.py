"""What keeps a limb bolt from turning, each cut open from the side: one small drawing for each lock.

The bolt stands upright in the riser, out is up. They are schematic, and no maker's.
"""

from __future__ import annotations

from dataclasses import dataclass

from drawings.sketch import Point, Sketch, box, drawing, mirrored, threaded
from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture

HEIGHT, AXIS = 122.0, 96.0
TOP, LOW, END = 60.0, 116.0, 120.5  # of the riser, and where bodies end
SHANK = 13.0


@dataclass(frozen=True, slots=True)
class _Lock:
    """A lock's words."""

    title: str
    description: str


_LOCKS = {
    "set_screw": _Lock(
        "A set screw from the side",
        "A bolt in the riser, cut from the side. A screw comes in from the right and presses on the bolt's thread.",
    ),
    "counter_nut": _Lock(
        "A counter nut",
        "A bolt in the riser, cut from the side. A nut on its thread is tightened against the riser, under the head.",
    ),
    "collet": _Lock(
        "A collet or a wedge",
        "A bolt in the riser, cut from the side. A tapered ring sits in a tapered hole and grips the bolt all round.",
    ),
    "detent": _Lock(
        "A detent that clicks",
        "A bolt in the riser, cut from the side. A spring presses a ball into one of many notches round the head.",
    ),
    "drag": _Lock(
        "A spring or an insert that drags",
        "A bolt in the riser, cut from the side. A soft insert in the riser's thread rubs on the bolt all the way.",
    ),
    "captive": _Lock(
        "A captive bolt",
        "A bolt that goes through the riser, cut from the side. A ring on its far end keeps it from coming out.",
    ),
}
LOCKS: tuple[str, ...] = tuple(_LOCKS)
"""The locks that have a drawing, by the names they have in the record."""


def lock_drawing(name: str, *, prefix: str) -> Picture:
    """Draw one lock.

    By id: PREFIX-shank, the bolt's, and PREFIX-lock, what holds it; of two halves the right one.

    Raises:
        ValueError: no lock of that name has a drawing.
    """
    if name not in _LOCKS:
        raise ValueError(f"name must be one of {', '.join(LOCKS)}: {name!r}")
    lock, sketch = _LOCKS[name], Sketch(prefix)
    drawn = {
        "set_screw": _set_screw, "counter_nut": _counter_nut, "collet": _collet, "detent": _detent, "drag": _drag,
        "captive": _captive,
    }[name](sketch)  # fmt: skip
    return drawing(name, lock.title, lock.description, HEIGHT, drawn, prefix=prefix)


def _bolt(sketch: Sketch, *, end: float = LOW - 10, head: float = 22.0) -> list[Element]:
    """The bolt with its head, over everything drawn before it."""
    shank = threaded(AXIS - SHANK, AXIS + SHANK, head + 20, end)
    return [
        *sketch.body(shank, "bolt", key="shank"),
        *sketch.body(box(AXIS - 30, head, AXIS + 30, head + 20), "bolt", hatched="bolt"),
        svg.line(AXIS, head - 8, AXIS, END - 1, class_="qt-axis"),
    ]


def _riser(sketch: Sketch, low: float = LOW) -> list[Element]:
    return [*sketch.body(box(4, TOP, 236, low), "riser"), sketch.words(12, low - 8, "riser", over="riser")]


def _named(sketch: Sketch, words: str, at: Point, end: Point) -> list[Element]:
    return [*sketch.pointer((at[0] + 8, at[1] + 4), end), sketch.words(*at, words, strong=True)]


def _set_screw(sketch: Sketch) -> list[Element]:
    tip = AXIS + SHANK - 1.5
    screw: list[Point] = [
        (tip, 86), (tip + 5, 80), (214, 80), (214, 74), (230, 74), (230, 104), (214, 104), (214, 98), (tip + 5, 98),
        (tip, 92),
    ]  # fmt: skip
    return [
        *_riser(sketch), *_bolt(sketch),
        *sketch.body(screw, "bolt", hatched="bolt", key="lock"),
        *_named(sketch, "set screw", (150, 40), (180, 88)),
    ]  # fmt: skip


def _counter_nut(sketch: Sketch) -> list[Element]:
    nut = box(AXIS - 27, TOP - 15, AXIS + 27, TOP)
    return [
        *_riser(sketch), *_bolt(sketch, head=14.0),
        *sketch.body(nut, "bolt", hatched="limb", key="lock"),
        *_named(sketch, "counter nut", (148, 30), (AXIS + 22, TOP - 7)),
    ]  # fmt: skip


def _collet(sketch: Sketch) -> list[Element]:
    half: list[Point] = [(AXIS + SHANK, TOP - 6), (AXIS + 34, TOP - 6), (AXIS + SHANK + 4, 104), (AXIS + SHANK, 104)]
    return [
        *_riser(sketch), *_bolt(sketch, head=14.0),
        *sketch.body(mirrored(half, AXIS), "window", hatched="limb"),
        *sketch.body(half, "window", hatched="limb", key="lock"),
        *_named(sketch, "collet", (152, 36), (AXIS + 22, 70)),
    ]  # fmt: skip


def _detent(sketch: Sketch) -> list[Element]:
    ball = (AXIS + 36.0, 30.0)
    spring: list[Point] = [(ball[0] + 8 + 6 * rank, 25.0 if rank % 2 else 35.0) for rank in range(9)]
    return [
        *_riser(sketch),
        *sketch.body(box(ball[0] + 2, 18, 220, 42), "window"),
        *sketch.body([(150, 42), (236, 42), (236, TOP), (150, TOP)], "riser"),
        *_bolt(sketch, head=20.0),
        sketch.stroke(spring, "qt-bolt-line"),
        sketch.dot(ball, 8, "qt-bolt"),
        sketch.dot(ball, 8, "qt-bolt-line", key="lock"),
        *_named(sketch, "ball", (6, 34), (ball[0] - 2, ball[1])),
    ]  # fmt: skip


def _drag(sketch: Sketch) -> list[Element]:
    half = box(AXIS + SHANK - 1.5, 76, AXIS + SHANK + 10, 100)
    return [
        *_riser(sketch), *_bolt(sketch),
        *sketch.body(mirrored(half, AXIS), "window", hatched="limb"),
        *sketch.body(half, "window", hatched="limb", key="lock"),
        *_named(sketch, "insert", (152, 40), (AXIS + SHANK + 5, 84)),
    ]  # fmt: skip


def _captive(sketch: Sketch) -> list[Element]:
    low = 92.0
    return [
        *_riser(sketch, low), *_bolt(sketch, end=LOW),
        *sketch.body(box(AXIS - 26, 102, AXIS + 26, 109), "bolt", hatched="bolt", key="lock"),
        *_named(sketch, "ring", (160, 104), (AXIS + 22, 105.5)),
    ]  # fmt: skip
