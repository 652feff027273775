"""Words at what they name: how much room they take, which place is free, and at which end they are held.

Every figure lists the places that it would give a label, the nearer first; the search is the same for all.
Flags are labels in rows over a level scale, each with a pole down to its place.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.axis import Axis, Point
from quarterturn.figures.svg import ROW, SIZE, WIDTH, Element

ASCENT, DESCENT = 0.76 * SIZE, 0.2 * SIZE

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, in user units."""


@dataclass(frozen=True, slots=True)
class Label:
    """Words for what is drawn.

    Attributes:
        key: the label's name within its picture.
        ways: what it may be written as, each in lines, the better way first.
        targets: the places it may stand at, the better one first.
        strong: whether it is bold.
    """

    key: str
    ways: tuple[tuple[str, ...], ...]
    targets: tuple[Point, ...]
    strong: bool = True

    def width(self, lines: tuple[str, ...]) -> float:
        """How wide lines are in this label's face."""
        return max(svg.text_width(words, SIZE, bold=self.strong) for words in lines)


@dataclass(frozen=True, slots=True)
class Placement:
    """A label at a place: its lines, their left edge, width and first baseline, and the target that it stands at."""

    label: Label
    lines: tuple[str, ...]
    start: float
    baseline: float
    width: float
    target: Point

    @property
    def end(self) -> float:
        """The right edge."""
        return self.start + self.width

    @property
    def box(self) -> Box:
        """The box of its lines."""
        last = self.baseline + ROW * (len(self.lines) - 1)
        return self.start, self.baseline - ASCENT, self.start + self.width, last + DESCENT

    @property
    def nearest(self) -> Point:
        """The point around its box that is nearest to the target: a leader ends there."""
        left, top, right, bottom = self.box
        x, y = self.target
        return min(max(x, left - 2), right + 2), min(max(y, top - 1), bottom + 1)

    @property
    def leader(self) -> float:
        """How long a leader from the target is."""
        x, y = self.nearest
        return math.hypot(x - self.target[0], y - self.target[1])

    def covers(self, point: Point, around: float) -> bool:
        """Whether a point lies in the box or less than `around` from it."""
        left, top, right, bottom = self.box
        return left - around < point[0] < right + around and top - around < point[1] < bottom + around


def overlap(one: Box, other: Box, gap: Point = (0.0, 0.0)) -> bool:
    """Whether two boxes come nearer to one another than a gap across and down."""
    across, down = gap
    return (
        one[0] < other[2] + across
        and other[0] < one[2] + across
        and one[1] < other[3] + down
        and other[1] < one[3] + down
    )


def shared_area(one: Box, other: Box) -> float:
    """How much of two boxes is in both."""
    wide, high = min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def best_placement(
    candidates: Iterable[tuple[float, Placement]],
    taken: Sequence[Placement],
    gap: Point,
    total: Callable[[float, Placement], float],
) -> tuple[float, Placement | None]:
    """The free placement of the least total cost, and that cost; of equals the first.

    Args:
        candidates: placements with how far off each is, the nearer first.
        taken: what is placed already.
        gap: how far from these a free placement is.
        total: the cost of a placement, at least how far off it is, which is its first argument.
    """
    best, least = None, math.inf
    boxes = [other.box for other in taken]
    for near, placement in candidates:
        if near >= least:
            break
        box = placement.box
        if any(overlap(box, other, gap) for other in boxes):
            continue
        if (cost := total(near, placement)) < least:
            best, least = placement, cost
    return least, best


def anchored(start: float, width: float, target: float) -> tuple[float, str]:
    """Hold words at the end that is next to what they name, so that a narrower face leaves no hole there."""
    if start > target:
        return start, "start"
    return (start + width, "end") if start + width < target else (start + width / 2, "middle")


def pointing(words: str, value: float, axis: Axis) -> str:
    """Words with an arrow toward what is off a level axis."""
    if axis.shows(value):
        return words
    return f"← {words}" if value < axis.low else f"{words} →"


# Flags

_MOST_ROWS = 7


@dataclass(frozen=True, slots=True)
class Flag:
    """A label over a scale: its pole's x, where its words start, their width, and its row (0 is next to the scale)."""

    key: str
    words: str
    pole: float
    strong: bool
    width: float
    start: float = 0.0
    row: int = 0

    @property
    def is_over(self) -> bool:
        """Whether the words stand over the pole."""
        return self.start <= self.pole <= self.start + self.width


def placed_flags(wanted: list[tuple[str, str, float, bool]]) -> list[Flag]:
    """Give each (key, words, pole's x, strong) a row and a side so that neither words nor poles run into words."""
    flags = [
        Flag(key, words, pole, strong, svg.text_width(words, SIZE, bold=strong)) for key, words, pole, strong in wanted
    ]
    ordered = sorted(flags, key=lambda flag: (flag.pole, flag.key))
    for rows in range(1, _MOST_ROWS + 1):
        budget = [400]
        if (found := _in_rows(ordered, [], rows, budget)) is not None:
            return found
    return _stairs(ordered)


def _in_rows(rest: list[Flag], done: list[Flag], rows: int, budget: list[int]) -> list[Flag] | None:
    """Backtracking, with so many attempts left."""
    if not rest:
        return done
    for row in range(rows):
        for side in ("after", "before", "over"):
            budget[0] -= 1
            if budget[0] < 0:
                return None
            flag = _beside(rest[0], row, side)
            if flag is not None and not any(_collide(flag, other) for other in done):
                found = _in_rows(rest[1:], [*done, flag], rows, budget)
                if found is not None:
                    return found
    return None


def _beside(flag: Flag, row: int, side: str) -> Flag | None:
    pole, width = flag.pole, flag.width
    start = {"after": pole + 4, "before": pole - 4 - width, "over": pole - width / 2}[side]
    if side == "over":
        start = min(max(start, 2.0), WIDTH - 2 - width)
    if start < 2 or start + width > WIDTH - 2:
        return None
    return Flag(flag.key, flag.words, pole, flag.strong, width, start, row)


def _collide(one: Flag, other: Flag) -> bool:
    first, second = (one, other) if one.start <= other.start else (other, one)
    if one.row == other.row and second.start < first.start + first.width + 5:
        return True
    return _pole_hits(one, other) or _pole_hits(other, one)


def _pole_hits(tall: Flag, low: Flag) -> bool:
    reaches = tall.row > low.row or (tall.row == low.row and not tall.is_over)
    return reaches and low.start - 3 < tall.pole < low.start + low.width + 3


def _stairs(ordered: list[Flag]) -> list[Flag]:
    """One row a label, the last resort: nothing overlaps, poles may pass behind words."""
    flags = []
    for row, flag in enumerate(reversed(ordered)):
        start = max(min(flag.pole + 4, WIDTH - 2 - flag.width), 2.0)
        flags.append(Flag(flag.key, flag.words, flag.pole, flag.strong, flag.width, start, row))
    return flags


def flag_drawing(flag: Flag, baseline: float, foot: float, pole: str | None, key: str) -> list[Element]:
    """A flag's words, and its pole down to the foot in a class of lines; without a pole for None."""
    x, anchor = anchored(flag.start, flag.width, flag.pole)
    kind = "qt-text qt-halo qt-strong" if flag.strong else "qt-text qt-halo"
    words = svg.text(x, baseline, flag.words, size=SIZE, anchor=anchor, class_=kind, id=key)
    if pole is None:
        return [words]
    top = baseline + 3 if flag.is_over else baseline - 9
    return [svg.line(flag.pole, top, flag.pole, foot, class_=f"{pole} qt-pole"), words]
