"""The scale of turns: from the zero reading outward, with limits, reserves, the usable window and the present place."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.axis import Axis, axis_between
from quarterturn.figures.labels import Flag, flag_drawing, placed_flags, pointing
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture
from quarterturn.numbers import fixed, fixed_down, fixed_up, plain

LEFT, RIGHT = 16.0, 344.0
BAND_HEIGHT = 34.0
_TOP = 24.0
_MIN_ROWS = 2


@dataclass(frozen=True, slots=True)
class Reserve:
    """What is kept free at one end of the range, from the limit toward the middle, in turns."""

    feeler: float
    margin: float
    uncertainty: float

    @property
    def total(self) -> float:
        """All three together, in turns."""
        return self.feeler + self.margin + self.uncertainty

    @property
    def parts(self) -> tuple[tuple[str, float], ...]:
        """Each by the name that it has in the drawing, in the order from the limit."""
        return ("feeler", self.feeler), ("margin", self.margin), ("doubt", self.uncertainty)


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with a name. The side, "inner" or "outer", says which end of the range it ends."""

    label: str
    turns: float
    side: str


@dataclass(frozen=True, slots=True)
class ScaleMarks:
    """Where everything is, in turns out from the zero reading (out is positive).

    `zero` is the zero reading's own place, `touch` the first touch as read. The usable window runs from
    `inner_usable` to `outer_usable`; where it vanished the first is the larger. The reserves lie outside it, so
    the strictest limits are inner_usable − inner_parts.total and outer_usable + outer_parts.total. `limits` are
    further limits by name. `present` is where the bolt stands, with its uncertainty to either side. `first` and `last`
    fix the axis, so that two bolts can be drawn one above the other; None chooses them from the data.
    """

    inner_usable: float
    outer_usable: float
    inner_parts: Reserve
    outer_parts: Reserve
    zero: float = 0.0
    touch: float | None = None
    limits: tuple[Limit, ...] = ()
    present: float | None = None
    present_uncertainty: float = 0.0
    first: float | None = None
    last: float | None = None

    @property
    def inner_limit(self) -> float:
        """The strictest limit turning in, before any reserve."""
        return self.inner_usable - self.inner_parts.total

    @property
    def outer_limit(self) -> float:
        """The strictest limit turning out, before any reserve."""
        return self.outer_usable + self.outer_parts.total

    @property
    def vanished(self) -> bool:
        """The reserves meet or overlap: nothing is left to use."""
        return self.inner_usable >= self.outer_usable


def axis_range(*scales: ScaleMarks) -> tuple[float, float]:
    """The first and last whole or half turn of an axis that shows all these scales with some room around."""
    values = [value for marks in scales for value in _places(marks)]
    low, high = min(values), max(values)
    room = max(0.3, 0.06 * (high - low))
    return math.floor(2 * (low - room)) / 2, math.ceil(2 * (high + room)) / 2


def _places(marks: ScaleMarks) -> list[float]:
    places = [marks.zero, marks.inner_usable, marks.outer_usable, marks.inner_limit, marks.outer_limit]
    places += [limit.turns for limit in marks.limits]
    if marks.touch is not None:
        places.append(marks.touch)
    if marks.present is not None:
        places += [marks.present - marks.present_uncertainty, marks.present + marks.present_uncertainty]
    return places


@lru_cache(maxsize=16)
def turn_scale(marks: ScaleMarks, *, prefix: str, title: str, name: str = "turn-scale") -> Picture:
    """Draw the scale of turns of one bolt.

    Args:
        marks: where everything is, in turns.
        prefix: put before every id, so that several figures can stand on one page.
        title: what is shown, for instance "Upper bolt"; it is also written over the scale.
        name: the picture's name.

    The svg carries the axis in data-first, data-last (turns), data-scale-x (user units per turn) and
    data-origin-x (the x of zero turns) of the group PREFIX-scale.
    """
    axis = _axis(marks)
    flags = placed_flags(_wanted(marks, axis))
    rows = max(_MIN_ROWS, 1 + max((flag.row for flag in flags), default=0))
    band = _TOP + rows * ROW + 8
    below = band + BAND_HEIGHT
    scale = svg.group(
        *_zones(marks, axis, band, prefix),
        *_ticks(axis, band, below, prefix),
        *_limits(marks, axis, band, prefix),
        *_window(marks, axis, band, prefix),
        *_flags(flags, band, prefix),
        *_present(marks, axis, band, prefix),
        id=f"{prefix}-scale", data_first=axis.low, data_last=axis.high,
        data_scale_x=plain(axis.scale, 6), data_origin_x=plain(axis.origin, 6),
    )  # fmt: skip
    key, bottom = _key(marks, below + 78, prefix)
    heading = svg.text(LEFT - 12, 16, svg.shortened(title, WIDTH - 12, HEADING), class_="qt-text qt-strong")
    children = [_patterns(prefix), heading, scale, *key]
    return svg.picture(name, title, _description(marks), WIDTH, bottom, children, prefix=prefix)


def _axis(marks: ScaleMarks) -> Axis:
    chosen_first, chosen_last = axis_range(marks)
    first = chosen_first if marks.first is None else marks.first
    last = chosen_last if marks.last is None else marks.last
    if not last > first:
        raise ValueError(f"the axis must have a length: {first} to {last}")
    return axis_between(first, last, LEFT, RIGHT, clamp=True)


def _turns(value: float) -> str:
    return fixed(value, 2)


def _wanted(marks: ScaleMarks, axis: Axis) -> list[tuple[str, str, float, bool]]:
    wanted = [("zero", f"zero {_turns(marks.zero)}", marks.zero, False)]
    if marks.touch is not None:
        wanted.append(("touch", f"first touch {_turns(marks.touch)}", marks.touch, False))
    for place, limit in enumerate(marks.limits):
        words = f"{svg.shortened(limit.label, 130, SIZE)} {_turns(limit.turns)}"
        wanted.append((f"limit-{place}", words, limit.turns, False))
    if marks.present is not None:
        interval = f" ± {_turns(marks.present_uncertainty)}" if marks.present_uncertainty > 0 else ""
        wanted.append(("now", f"now {_turns(marks.present)}{interval}", marks.present, True))
    return [(key, pointing(words, turns, axis), axis.at(turns), strong) for key, words, turns, strong in wanted]


_KINDS = {"feeler": "dots", "margin": "rising", "doubt": "upright", "stop": "crossed"}
_SPACING = {"feeler": 4.0, "margin": 4.5, "doubt": 3.0, "stop": 6.0}


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


def _zones(marks: ScaleMarks, axis: Axis, band: float, prefix: str) -> list[Element]:
    half = BAND_HEIGHT / 2 if marks.vanished else BAND_HEIGHT
    lower = band + half if marks.vanished else band
    zones = []

    def add(key: str, kind: str, start: float, end: float, top: float, height: float) -> None:
        left, right = axis.at(start), axis.at(end)
        zones.append(_zone(key, kind, (left, top, right - left, height), prefix))

    crossed = marks.inner_limit > marks.outer_limit  # then each end keeps to its own lane
    tall, outer_top = (half, lower) if crossed else (BAND_HEIGHT, band)
    add("stop-inner", "stop", axis.low, marks.inner_limit, band, tall)
    add("stop-outer", "stop", marks.outer_limit, axis.high, outer_top, tall)
    if not marks.vanished:
        add("usable", "usable", marks.inner_usable, marks.outer_usable, band, BAND_HEIGHT)
    start = marks.inner_limit
    for kind, size in marks.inner_parts.parts:
        add(f"inner-{kind}", kind, start, start + size, band, half)
        start += size
    end = marks.outer_limit
    for kind, size in marks.outer_parts.parts:
        add(f"outer-{kind}", kind, end - size, end, lower, half)
        end -= size
    return [*zones, *_edges(marks, axis, band, prefix)]


def _edges(marks: ScaleMarks, axis: Axis, band: float, prefix: str) -> list[Element]:
    bottom = band + BAND_HEIGHT
    edges = [svg.rect(LEFT, band, RIGHT - LEFT, BAND_HEIGHT, class_="qt-frame")]
    if marks.vanished:
        edges.append(svg.line(LEFT, band + BAND_HEIGHT / 2, RIGHT, band + BAND_HEIGHT / 2, class_="qt-edge"))
    for key, turns in (("inner-limit", marks.inner_limit), ("outer-limit", marks.outer_limit)):
        if axis.shows(turns):
            x = axis.at(turns)
            edges.append(svg.line(x, band, x, bottom, class_="qt-edge qt-edge-limit", id=f"{prefix}-{key}"))
    return edges


def _ticks(axis: Axis, band: float, below: float, prefix: str) -> list[Element]:
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
            ticks.append(svg.text(x, below + 19, fixed(turns, 0), size=SIZE, anchor="middle"))
        count += 1
    return [svg.group(*ticks, id=f"{prefix}-axis"), *_directions(below + 66, prefix)]


def _directions(y: float, prefix: str) -> list[Element]:
    return [
        svg.text(LEFT - 12, y, "← in", size=SIZE, class_="qt-text qt-strong", id=f"{prefix}-word-in"),
        svg.text(WIDTH / 2, y, "turns from the zero reading", size=SIZE, anchor="middle", class_="qt-text qt-quiet"),
        svg.text(RIGHT + 12, y, "out →", size=SIZE, anchor="end", class_="qt-text qt-strong", id=f"{prefix}-word-out"),
    ]


def _limits(marks: ScaleMarks, axis: Axis, band: float, prefix: str) -> list[Element]:
    named = [("zero", marks.zero)]
    if marks.touch is not None:
        named.append(("touch", marks.touch))
    named += [(f"limit-{place}", limit.turns) for place, limit in enumerate(marks.limits)]
    lines = []
    for key, turns in named:
        if axis.shows(turns):
            x = axis.at(turns)
            lines.append(svg.line(x, band - 3, x, band + BAND_HEIGHT, class_="qt-mark", id=f"{prefix}-mark-{key}"))
    return lines


def _flags(flags: list[Flag], band: float, prefix: str) -> list[Element]:
    drawn = []
    for flag in flags:
        pole, key = "qt-now" if flag.strong else "qt-mark", f"{prefix}-label-{flag.key}"
        drawn += flag_drawing(flag, band - 12 - flag.row * ROW, band, pole, key)
    return drawn


def _window(marks: ScaleMarks, axis: Axis, band: float, prefix: str) -> list[Element]:
    """The measuring line under the axis: the usable window with its middle, or the overlap where it vanished."""
    low, high = sorted((marks.inner_usable, marks.outer_usable))
    left, right, y = axis.at(low), axis.at(high), band + BAND_HEIGHT + 30
    if marks.vanished:
        words = f"no window: the reserves overlap by {_turns(high - low)}"
    else:
        words = f"usable {fixed_up(low, 2)} to {fixed_down(high, 2)}, middle {_turns((low + high) / 2)}"
    half = svg.text_width(words, HEADING, bold=True) / 2
    centre = min(max((left + right) / 2, 4 + half), WIDTH - 4 - half)
    drawn = [
        svg.line(left, y, right, y, class_="qt-dimension qt-dimension-strong", id=f"{prefix}-window"),
        svg.line(left, y - 5, left, y + 5, class_="qt-dimension qt-dimension-strong"),
        svg.line(right, y - 5, right, y + 5, class_="qt-dimension qt-dimension-strong"),
        svg.text(centre, y + 18, words, anchor="middle", class_="qt-text qt-strong", id=f"{prefix}-label-window"),
    ]
    if marks.vanished:
        box = svg.rect(left, band - 2, right - left, BAND_HEIGHT + 4, class_="qt-overlap", id=f"{prefix}-overlap")
        return [box, *drawn]
    middle = axis.at((marks.inner_usable + marks.outer_usable) / 2)
    tick = svg.line(middle, band, middle, band + BAND_HEIGHT, class_="qt-middle", id=f"{prefix}-middle")
    return [tick, svg.line(middle, y - 4, middle, y + 4, class_="qt-dimension qt-dimension-strong"), *drawn]


def _present(marks: ScaleMarks, axis: Axis, band: float, prefix: str) -> list[Element]:
    if marks.present is None:
        return []
    x, middle = axis.at(marks.present), band + BAND_HEIGHT / 2
    low, high = axis.at(marks.present - marks.present_uncertainty), axis.at(marks.present + marks.present_uncertainty)
    bar = svg.bar_path(low, high, middle, 5)
    arrow = [(x - 6, band - 9), (x + 6, band - 9), (x, band + 2)]
    return [
        svg.line(x, band, x, band + BAND_HEIGHT, class_="qt-now-halo"),
        svg.path(*bar, class_="qt-now-halo"),
        svg.line(x, band - 3, x, band + BAND_HEIGHT + 3, class_="qt-now", id=f"{prefix}-now"),
        svg.path(*bar, class_="qt-now qt-now-bar", id=f"{prefix}-now-doubt"),
        svg.polygon(arrow, class_="qt-now-arrow", id=f"{prefix}-now-arrow"),
    ]


def _key(marks: ScaleMarks, top: float, prefix: str) -> tuple[list[Element], float]:
    """The key: what each hatching means, with the turns it takes at either end."""
    inner, outer = 262.0, 334.0
    rows = [
        svg.text(LEFT + 26, top + 16, "kept free, in turns", size=SIZE, class_="qt-text qt-quiet"),
        svg.text(inner, top + 16, "inner end", size=SIZE, anchor="end", class_="qt-text qt-quiet"),
        svg.text(outer, top + 16, "outer end", size=SIZE, anchor="end", class_="qt-text qt-quiet"),
    ]
    y = top + 22
    words = ("what the strip cannot show", "margin", "counting error")
    parts = zip(words, marks.inner_parts.parts, marks.outer_parts.parts, strict=True)
    for said, (kind, at_inner), (_, at_outer) in parts:
        rows += _swatch(kind, y, said, prefix)
        for x, size in ((inner, at_inner), (outer, at_outer)):
            rows.append(svg.text(x, y + 12, _turns(size), size=SIZE, anchor="end"))
        y += 18
    rows += _swatch("stop", y, "past a limit: do not turn here", prefix)
    if not marks.vanished:
        rows += _swatch("usable", y, "usable", prefix, x=inner - 8)
    return [svg.group(svg.line(LEFT - 12, top, RIGHT + 12, top, class_="qt-rule"), *rows, id=f"{prefix}-key")], y + 22


def _swatch(kind: str, y: float, words: str, prefix: str, x: float = LEFT - 12) -> list[Element]:
    box = (x, y, 24.0, 14.0)
    return [
        _zone(f"key-{kind}", kind, box, prefix),
        svg.rect(*box, class_="qt-frame"),
        svg.text(x + 38 - (x > LEFT) * 8, y + 12, words, size=SIZE),
    ]


def _description(marks: ScaleMarks) -> str:
    said = [f"Turns out from the zero reading. The strictest limits are {_turns(marks.inner_limit)} turning in "
            f"and {_turns(marks.outer_limit)} turning out."]  # fmt: skip
    if marks.touch is not None:
        said.append(f"First touch at {_turns(marks.touch)}.")
    said += [f"{limit.label}: {_turns(limit.turns)} ({limit.side} limit)." for limit in marks.limits]
    if marks.vanished:
        overlap = marks.inner_usable - marks.outer_usable
        said.append(f"No turn is usable: what is kept free at the two ends overlaps by {_turns(overlap)}.")
    else:
        said.append(f"Usable from {fixed_up(marks.inner_usable, 2)} to {fixed_down(marks.outer_usable, 2)}.")
    if marks.present is not None:
        said.append(f"The bolt is at {_turns(marks.present)}, give or take {_turns(marks.present_uncertainty)}.")
    return " ".join(said)
