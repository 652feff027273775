"""The scale of turns of one bolt: from zero outward, its limits, what is kept free at them, the safe range, its place.

Where a bolt has no range of its own yet, only what has been read is drawn. The upper bolt is drawn filled and solid,
the lower one hollow and dashed; what can be used is plain, what is kept free hatched, and past a limit crossed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.axis import Axis, axis_between
from quarterturn.figures.labels import Flag, flag_drawing, placed_flags, pointing
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture
from quarterturn.numbers import fixed, plain

LEFT, RIGHT = 16.0, WIDTH - 16.0
BAND_HEIGHT = 34.0
SMALL_WIDTH, SMALL_HEIGHT = 132.0, 44.0
BLANK = (-0.5, 6.0)
"""The axis of a bolt of which nothing has been read."""
LONGEST = 190.0
"""How wide the words of a place may be: as long as a limit's name with its number."""


@dataclass(frozen=True, slots=True)
class EndMarks:
    """One end of the range: where its strictest limit is, and where what can be used ends, in turns."""

    limit: float
    usable: float


@dataclass(frozen=True, slots=True)
class ScaleMark:
    """A place with its words: zero, first touch, another limit, or where the bolt is. Turns."""

    key: str
    words: str
    turns: float


@dataclass(frozen=True, slots=True)
class ScaleMarks:
    """Where everything is, in turns out from zero (out is positive).

    Attributes:
        inner, outer: the ends of the bolt's own range; None while it has none of its own.
        inner_read, outer_read: while it has none, the limits that have been read; None for one that has not.
        usable: the range in words; "" while there is none.
        places: zero, first touch and other limits, as far as they have been read.
        now: where the bolt is; None while that has not been read.
        hollow: drawn hollow and dashed: the lower bolt.
        first, last: the axis, so that two bolts can be drawn one above the other; None chooses it from the marks.
    """

    inner: EndMarks | None = None
    outer: EndMarks | None = None
    inner_read: float | None = None
    outer_read: float | None = None
    usable: str = ""
    places: tuple[ScaleMark, ...] = ()
    now: ScaleMark | None = None
    hollow: bool = False
    first: float | None = None
    last: float | None = None

    @property
    def inner_limit(self) -> float | None:
        """The strictest limit turning in; None where none is known."""
        return self.inner_read if self.inner is None else self.inner.limit

    @property
    def outer_limit(self) -> float | None:
        """The strictest limit turning out; None where none is known."""
        return self.outer_read if self.outer is None else self.outer.limit

    @property
    def vanished(self) -> bool:
        """Whether what is kept free at both ends leaves nothing to use."""
        return self.inner is not None and self.outer is not None and self.inner.usable >= self.outer.usable


def axis_range(*scales: ScaleMarks) -> tuple[float, float]:
    """The first and last whole or half turn of an axis that shows all these scales with some room around."""
    values = [value for marks in scales for value in _values(marks)]
    if not values:
        return BLANK
    low, high = min(values), max(values)
    if high - low < 1:
        high = low + 6
    room = max(0.3, 0.06 * (high - low))
    return math.floor(2 * (low - room)) / 2, math.ceil(2 * (high + room)) / 2


def _values(marks: ScaleMarks) -> list[float]:
    values = [place.turns for place in marks.places]
    values += [marks.now.turns] if marks.now is not None else []
    values += [end for end in (marks.inner_limit, marks.outer_limit) if end is not None]
    for end in (marks.inner, marks.outer):
        values += [] if end is None else [end.usable]
    return values


@lru_cache(maxsize=16)
def turn_scale(marks: ScaleMarks, *, prefix: str, title: str, name: str, key: bool = False) -> Picture:
    """Draw the scale of turns of one bolt.

    Args:
        marks: where everything is, in turns.
        prefix: put before every id, so that several figures can stand on one page.
        title: what is shown, for instance "Upper bolt"; it is also written over the scale.
        name: the picture's name.
        key: whether the key of zones stands under it.

    The svg carries the axis in data-first, data-last (turns), data-scale-x (user units per turn) and
    data-origin-x (the x of zero turns) of the group PREFIX-scale.

    Raises:
        ValueError: if the axis that is wanted has no length.
    """
    axis = _axis(marks)
    flags = placed_flags(_wanted(marks, axis))
    rows = 1 + max((flag.row for flag in flags), default=0)
    band = 30 + rows * ROW
    below = band + BAND_HEIGHT
    scale = svg.group(
        *_zones(marks, axis, band, BAND_HEIGHT, prefix),
        *_ticks(axis, below, prefix),
        *_flags(flags, band, prefix),
        *_range(marks, axis, below, prefix),
        *_present(marks, axis, band, BAND_HEIGHT, prefix),
        id=f"{prefix}-scale", data_first=axis.low, data_last=axis.high,
        data_scale_x=plain(axis.scale, 6), data_origin_x=plain(axis.origin, 6),
    )  # fmt: skip
    bottom = below + (62 if marks.usable else 48)
    drawn, bottom = _key(bottom, prefix) if key else ([], bottom)
    heading = svg.text(LEFT - 12, 16, svg.shortened(title, WIDTH - 12, HEADING), class_="qt-text qt-strong")
    children = [_patterns(prefix), heading, scale, *drawn]
    return svg.picture(name, title, _description(marks, title), WIDTH, bottom, children, prefix=prefix)


@lru_cache(maxsize=16)
def small_scale(marks: ScaleMarks, *, prefix: str, title: str, name: str) -> Picture:
    """Draw the same without words, for a narrow strip."""
    low, high = axis_range(marks) if marks.first is None or marks.last is None else (marks.first, marks.last)
    axis = axis_between(low, high, 4, SMALL_WIDTH - 4, clamp=True)
    drawn = [
        _patterns(prefix),
        *_zones(marks, axis, 16, 20, prefix),
        *_present(marks, axis, 16, 20, prefix),
    ]
    return svg.picture(name, title, _description(marks, title), SMALL_WIDTH, SMALL_HEIGHT, drawn, prefix=prefix)


def _axis(marks: ScaleMarks) -> Axis:
    chosen_first, chosen_last = axis_range(marks)
    first = chosen_first if marks.first is None else marks.first
    last = chosen_last if marks.last is None else marks.last
    if not last > first:
        raise ValueError(f"the axis must have a length: {first} to {last}")
    return axis_between(first, last, LEFT, RIGHT, clamp=True)


def _wanted(marks: ScaleMarks, axis: Axis) -> list[tuple[str, str, float, bool]]:
    wanted = [(place, False) for place in marks.places]
    wanted += [(marks.now, True)] if marks.now is not None else []
    return [
        (
            place.key,
            pointing(svg.shortened(place.words, LONGEST, SIZE), place.turns, axis),
            axis.at(place.turns),
            strong,
        )
        for place, strong in wanted
    ]


# Zones

_KINDS = {"margin": "rising", "stop": "crossed"}
_SPACING = {"margin": 5.0, "stop": 6.0}


def _patterns(prefix: str) -> Element:
    return svg.element(
        "defs", *(svg.hatching(f"{prefix}-hatch-{key}", kind, _SPACING[key]) for key, kind in _KINDS.items())
    )


def _zone(key: str, kind: str, box: tuple[float, float, float, float], prefix: str) -> Element:
    """One zone: its ground, its hatching over it, as one group whose first rectangle is to be measured."""
    ground = {"usable": "qt-zone-usable", "stop": "qt-zone-stop"}.get(kind, "qt-zone-reserve")
    parts = [svg.rect(*box, class_=ground, id=f"{prefix}-zone-{key}")]
    if kind != "usable":
        parts.append(svg.rect(*box, fill=f"url(#{prefix}-hatch-{kind})"))
    return svg.group(*parts, data_kind=kind)


def _zones(marks: ScaleMarks, axis: Axis, top: float, height: float, prefix: str) -> list[Element]:
    half = height / 2
    lanes = marks.vanished  # then each end keeps to its own half
    zones = [svg.rect(axis.at(axis.low), top, axis.at(axis.high) - axis.at(axis.low), height, class_="qt-window")]

    def add(key: str, kind: str, start: float, end: float, *, lane: int | None = None) -> None:
        left, right = axis.at(start), axis.at(end)
        if right > left:
            at, tall = (top + half * lane, half) if lane is not None and lanes else (top, height)
            zones.append(_zone(key, kind, (left, at, right - left, tall), prefix))

    inner, outer = marks.inner_limit, marks.outer_limit
    if inner is not None:
        add("stop-inner", "stop", axis.low, inner, lane=0)
    if outer is not None:
        add("stop-outer", "stop", outer, axis.high, lane=1)
    if marks.inner is not None and marks.outer is not None:
        if not marks.vanished:
            add("usable", "usable", marks.inner.usable, marks.outer.usable)
        add("inner-margin", "margin", marks.inner.limit, marks.inner.usable, lane=0)
        add("outer-margin", "margin", marks.outer.usable, marks.outer.limit, lane=1)
    return [*zones, *_edges(marks, axis, top, height, prefix)]


def _edges(marks: ScaleMarks, axis: Axis, top: float, height: float, prefix: str) -> list[Element]:
    left, right, bottom = axis.at(axis.low), axis.at(axis.high), top + height
    edges = [svg.rect(left, top, right - left, height, class_="qt-frame")]
    if marks.vanished:
        edges.append(svg.line(left, top + height / 2, right, top + height / 2, class_="qt-edge"))
    for key, turns in (("inner-limit", marks.inner_limit), ("outer-limit", marks.outer_limit)):
        if turns is not None and axis.shows(turns):
            x = axis.at(turns)
            edges.append(svg.line(x, top, x, bottom, class_="qt-edge qt-edge-limit", id=f"{prefix}-{key}"))
    return edges


# Words and numbers


def _ticks(axis: Axis, below: float, prefix: str) -> list[Element]:
    step = next((step for step in (1, 2, 5, 10, 20, 50, 100) if step * axis.scale >= 24), 200)
    fine = next((part for part in (0.25, 0.5, 1.0) if part * axis.scale >= 4.5 and part < step), float(step))
    ticks = []
    count = math.ceil(axis.low / fine - 1e-9)
    while count * fine <= axis.high + 1e-9:
        turns = count * fine
        whole = abs(turns / step - round(turns / step)) < 1e-9
        x = axis.at(turns)
        ticks.append(svg.line(x, below, x, below + (7 if whole else 4), class_="qt-tick"))
        if whole:
            ticks.append(svg.text(x, below + 21, fixed(turns, 0), size=SIZE, anchor="middle"))
        count += 1
    quiet = "qt-text qt-quiet"
    words = [
        svg.text(LEFT - 12, below + 43, "← in", size=SIZE, class_=quiet, id=f"{prefix}-word-in"),
        svg.text(RIGHT + 12, below + 43, "out →", size=SIZE, anchor="end", class_=quiet, id=f"{prefix}-word-out"),
    ]
    return [svg.group(*ticks, id=f"{prefix}-axis"), *words]


def _flags(flags: list[Flag], band: float, prefix: str) -> list[Element]:
    drawn = []
    for flag in flags:
        pole, key = "qt-now" if flag.strong else "qt-mark", f"{prefix}-label-{flag.key}"
        drawn += flag_drawing(flag, band - 12 - flag.row * ROW, band, pole, key)
    return drawn


def _range(marks: ScaleMarks, axis: Axis, below: float, prefix: str) -> list[Element]:
    """Under the axis: the range in words, with a line as long as it is."""
    if not marks.usable:
        return []
    low, high = axis.at(axis.low), axis.at(axis.high)
    drawn = []
    y = below + 28
    if marks.inner is not None and marks.outer is not None and not marks.vanished:
        low, high = axis.at(marks.inner.usable), axis.at(marks.outer.usable)
        drawn = [
            svg.line(low, y, high, y, class_="qt-dimension qt-dimension-strong", id=f"{prefix}-window"),
            svg.line(low, y - 3, low, y + 3, class_="qt-dimension qt-dimension-strong"),
            svg.line(high, y - 3, high, y + 3, class_="qt-dimension qt-dimension-strong"),
        ]
    half = svg.text_width(marks.usable, HEADING, bold=True) / 2
    centre = min(max((low + high) / 2, 4 + half), WIDTH - 4 - half)
    label = svg.text(
        centre, y + 28, marks.usable, size=HEADING, anchor="middle", class_="qt-text qt-strong",
        id=f"{prefix}-label-window",
    )  # fmt: skip
    return [*drawn, label]


def _present(marks: ScaleMarks, axis: Axis, top: float, height: float, prefix: str) -> list[Element]:
    if marks.now is None:
        return []
    x = axis.at(marks.now.turns)
    kind = " qt-now-hollow" if marks.hollow else ""
    arrow = [(x - 7, top - 10), (x + 7, top - 10), (x, top + 3)]
    return [
        svg.line(x, top, x, top + height, class_="qt-now-halo"),
        svg.line(x, top, x, top + height + 3, class_=f"qt-now{kind}", id=f"{prefix}-now"),
        svg.polygon(arrow, class_=f"qt-now-arrow{kind}", id=f"{prefix}-now-arrow"),
    ]


def _key(top: float, prefix: str) -> tuple[list[Element], float]:
    """What each zone means."""
    drawn, x = [svg.line(LEFT - 12, top, RIGHT + 12, top, class_="qt-rule")], LEFT - 12
    for kind, words in (("usable", "safe range"), ("margin", "margin"), ("stop", "past the limit")):
        box = (x, top + 10, 20.0, 14.0)
        drawn += [
            _zone(f"key-{kind}", kind, box, prefix),
            svg.rect(*box, class_="qt-frame"),
            svg.text(x + 25, top + 22, words, size=SIZE, class_="qt-text qt-quiet"),
        ]
        x += 25 + svg.text_width(words, SIZE) + 9
    return [svg.group(*drawn, id=f"{prefix}-key")], top + 30


def _description(marks: ScaleMarks, title: str) -> str:
    said = [f"{place.words}." for place in (*marks.places, *(() if marks.now is None else (marks.now,)))]
    said += [f"{marks.usable}."] if marks.usable else ["No range is drawn before it is this bolt's own."]
    return f"{title}, in turns out from zero. {' '.join(map(_capital, said))}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
