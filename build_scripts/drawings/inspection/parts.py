"""What the drawings of an inspection share: a subject, its two panels, and parts that several subjects show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from drawings.sketch import Point, Sketch, arc, threaded
from quarterturn.figures import svg
from quarterturn.figures.svg import Element

HEIGHT = 124.0
PANEL, PANEL_TOP, PANEL_HEIGHT = 117.0, 20.0, 102.0
LEFT, RIGHT = 1.0, 122.0  # where the two panels start
HEADINGS = ("in order", "not in order")

Draw = Callable[[Sketch], list[Element]]


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing to look for: its words, and what draws it (in a panel's, or in the whole picture's coordinates)."""

    name: str
    title: str
    description: str
    draw: Draw
    height: float = HEIGHT


def pair(good: Draw, bad: Draw, headings: tuple[str, str] = HEADINGS, height: float = PANEL_HEIGHT) -> Draw:
    """Two panels side by side: in order with a tick, not in order with a cross; or two steps by their headings."""

    def draw(whole: Sketch) -> list[Element]:
        drawn: list[Element] = []
        for left, part, words, marked in ((LEFT, good, headings[0], _tick), (RIGHT, bad, headings[1], _cross)):
            panel = Sketch(whole.prefix, left, PANEL_TOP)
            signed = headings == HEADINGS
            drawn += [
                svg.rect(left, PANEL_TOP, PANEL, height, class_="qt-window"),
                *part(panel),
                svg.rect(left, PANEL_TOP, PANEL, height, class_="qt-frame"),
                *([marked(Sketch(whole.prefix, left, 0))] if signed else []),
                svg.text(left + (16 if signed else 2), 14, words, size=12, class_="qt-text qt-strong"),
            ]
        return drawn

    return draw


def _tick(at: Sketch) -> Element:
    return at.stroke([(2, 10), (5.5, 14), (12, 5)], "qt-dimension qt-dimension-strong")


def _cross(at: Sketch) -> Element:
    parts: tuple[str | float, ...] = ()
    for start, end in (((2.5, 5.0), (11.5, 14.0)), ((2.5, 14.0), (11.5, 5.0))):
        parts += ("M", *at.at(start), "L", *at.at(end))
    return svg.path(*parts, class_="qt-dimension qt-dimension-strong")


def below(words: str) -> Callable[[Sketch], Element]:
    """The line of words at the foot of a panel."""
    return lambda panel: panel.words(PANEL / 2, 95, words, anchor="middle")


def bolt_outline(axis: float, top: float, *, head: float = 26, high: float = 15, shank: float = 11, long: float = 46,
                 smooth: float = 14) -> list[Point]:  # fmt: skip
    """A bolt, head up: half widths of head and shank, the head's height, the shank's length, and its smooth part."""
    under, end = top + high, top + high + long
    neck: list[Point] = [(axis + shank + 3, under), *arc((axis + shank + 3, under + 3), 3, 270, 180, 4)]
    tail = threaded(axis - shank, axis + shank, under + smooth, end)
    left = [(2 * axis - x, y) for x, y in reversed(neck)]
    return [
        (axis - head, top + 2), (axis - head + 2, top), (axis + head - 2, top), (axis + head, top + 2),
        (axis + head, under), *neck, *tail, *left, (axis - head, under),
    ]  # fmt: skip


def butt(*, tip: float = 116, top: float = 14, low: float = 72, left: float = 14, slot: float = 10,
         root: float = 58) -> list[Point]:  # fmt: skip
    """The butt of a limb from above, its slot open to the left and round at its closed end."""
    middle = (top + low) / 2
    return [
        (tip, top), (left + 4, top), (left, top + 4), (left, middle - slot), (root - slot, middle - slot),
        *arc((root - slot, middle), slot, -90, 90), (left, middle + slot), (left, low - 4), (left + 4, low), (tip, low),
    ]  # fmt: skip


def butt_body(panel: Sketch) -> list[Element]:
    """The butt from above, going on to the right."""
    points = butt()
    return panel.body(points, "limb", edge=points)
