"""The scale of turns: from the zero reading outward, with limits, reserves, the usable window and the present place."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture
from quarterturn.numbers import fixed, fixed_down, fixed_up, plain

WIDTH = 360.0
LEFT, RIGHT = 16.0, 344.0
BAND_HEIGHT = 34.0
ROW = 16.0
SMALL, PLAIN = 12.0, 13.0
_TOP = 24.0
_MIN_ROWS, _MAX_ROWS = 2, 7


@dataclass(frozen=True, slots=True)
class Reserve:
    """What is kept free at one end of the range, from the limit toward the middle, in turns."""

    feeler: float
    margin: float
    doubt: float

    @property
    def total(self) -> float:
        """All three together, in turns."""
        return self.feeler + self.margin + self.doubt


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
    further limits by name. `present` is where the bolt stands, with its doubt to either side. `first` and `last`
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
    present_doubt: float = 0.0
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
        places += [marks.present - marks.present_doubt, marks.present + marks.present_doubt]
    return places


@dataclass(frozen=True, slots=True)
class _Axis:
    first: float
    last: float

    @property
    def scale(self) -> float:
        return (RIGHT - LEFT) / (self.last - self.first)

    def x(self, turns: float) -> float:
        """Where a number of turns is drawn; what lies off the axis is drawn at its end."""
        return LEFT + (min(max(turns, self.first), self.last) - self.first) * self.scale

    def shows(self, turns: float) -> bool:
        return self.first - 1e-9 <= turns <= self.last + 1e-9


@dataclass(frozen=True, slots=True)
class Flag:
    """A label over the scale: where its words start, their width, its row (0 is next to the band), its pole."""

    key: str
    words: str
    pole: float
    start: float
    width: float
    row: int
    strong: bool


@dataclass(frozen=True, slots=True)
class _Wanted:
    key: str
    words: str
    pole: float
    strong: bool
    width: float


def placed_flags(wanted: list[tuple[str, str, float, bool]]) -> list[Flag]:
    """Give each (key, words, pole's x, strong) a row and a side so that neither words nor poles run into words."""
    ordered = sorted((_sized(*one) for one in wanted), key=lambda one: (one.pole, one.key))
    for rows in range(1, _MAX_ROWS + 1):
        budget = [400]
        if (found := _place(ordered, [], rows, budget)) is not None:
            return found
    return _stairs(ordered)


def _sized(key: str, words: str, pole: float, strong: bool) -> _Wanted:
    return _Wanted(key, words, pole, strong, svg.text_width(words, SMALL, bold=strong))


def _place(rest: list[_Wanted], done: list[Flag], rows: int, budget: list[int]) -> list[Flag] | None:
    if not rest:
        return done
    for row in range(rows):
        for side in ("after", "before", "over"):
            budget[0] -= 1
            if budget[0] < 0:
                return None
            flag = _flag(rest[0], row, side)
            if flag is not None and not any(_collide(flag, other) for other in done):
                found = _place(rest[1:], [*done, flag], rows, budget)
                if found is not None:
                    return found
    return None


def _flag(one: _Wanted, row: int, side: str) -> Flag | None:
    width = one.width
    start = {"after": one.pole + 4, "before": one.pole - 4 - width, "over": one.pole - width / 2}[side]
    if side == "over":
        start = min(max(start, 2.0), WIDTH - 2 - width)
    if start < 2 or start + width > WIDTH - 2:
        return None
    return Flag(one.key, one.words, one.pole, start, width, row, one.strong)


def _collide(one: Flag, other: Flag) -> bool:
    first, second = (one, other) if one.start <= other.start else (other, one)
    if one.row == other.row and second.start < first.start + first.width + 5:
        return True
    return _pole_hits(one, other) or _pole_hits(other, one)


def _pole_hits(tall: Flag, low: Flag) -> bool:
    reaches = tall.row > low.row or (tall.row == low.row and not _over(tall))
    return reaches and low.start - 3 < tall.pole < low.start + low.width + 3


def _over(flag: Flag) -> bool:
    return flag.start <= flag.pole <= flag.start + flag.width


def _hold(flag: Flag) -> tuple[float, str]:
    """Hold the words at the end that is next to the pole, so that a narrower face leaves no hole there."""
    if flag.start > flag.pole:
        return flag.start, "start"
    end = flag.start + flag.width
    return (end, "end") if end < flag.pole else (flag.start + flag.width / 2, "middle")


def _stairs(ordered: list[_Wanted]) -> list[Flag]:
    """One row a label, the last resort: nothing overlaps, poles may pass behind words."""
    flags = []
    for row, one in enumerate(reversed(ordered)):
        start = min(one.pole + 4, WIDTH - 2 - one.width)
        flags.append(Flag(one.key, one.words, one.pole, max(start, 2.0), one.width, row, one.strong))
    return flags


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
        id=f"{prefix}-scale", data_first=axis.first, data_last=axis.last,
        data_scale_x=plain(axis.scale, 6), data_origin_x=plain(LEFT - axis.first * axis.scale, 6),
    )  # fmt: skip
    key, bottom = _key(marks, below + 78, prefix)
    heading = svg.text(LEFT - 12, 16, svg.shortened(title, WIDTH - 12, PLAIN), class_="qt-text qt-strong")
    children = [_patterns(prefix), heading, scale, *key]
    return svg.picture(name, title, _description(marks), WIDTH, bottom, children, prefix=prefix)


def _axis(marks: ScaleMarks) -> _Axis:
    chosen_first, chosen_last = axis_range(marks)
    first = chosen_first if marks.first is None else marks.first
    last = chosen_last if marks.last is None else marks.last
    if not last > first:
        raise ValueError(f"the axis must have a length: {first} to {last}")
    return _Axis(first, last)


def _turns(value: float) -> str:
    return fixed(value, 2)


def _wanted(marks: ScaleMarks, axis: _Axis) -> list[tuple[str, str, float, bool]]:
    wanted = [("zero", f"zero {_turns(marks.zero)}", marks.zero, False)]
    if marks.touch is not None:
        wanted.append(("touch", f"first touch {_turns(marks.touch)}", marks.touch, False))
    for place, limit in enumerate(marks.limits):
        words = f"{svg.shortened(limit.label, 130, SMALL)} {_turns(limit.turns)}"
        wanted.append((f"limit-{place}", words, limit.turns, False))
    if marks.present is not None:
        doubt = f" ± {_turns(marks.present_doubt)}" if marks.present_doubt > 0 else ""
        wanted.append(("now", f"now {_turns(marks.present)}{doubt}", marks.present, True))
    return [(key, _off(words, turns, axis), axis.x(turns), strong) for key, words, turns, strong in wanted]


def _off(words: str, turns: float, axis: _Axis) -> str:
    if turns < axis.first - 1e-9:
        return f"← {words}"
    return f"{words} →" if turns > axis.last + 1e-9 else words


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


def _zones(marks: ScaleMarks, axis: _Axis, band: float, prefix: str) -> list[Element]:
    half = BAND_HEIGHT / 2 if marks.vanished else BAND_HEIGHT
    lower = band + half if marks.vanished else band
    zones = []

    def add(key: str, kind: str, start: float, end: float, top: float, height: float) -> None:
        left, right = axis.x(start), axis.x(end)
        zones.append(_zone(key, kind, (left, top, right - left, height), prefix))

    crossed = marks.inner_limit > marks.outer_limit  # then each end keeps to its own lane
    tall, outer_top = (half, lower) if crossed else (BAND_HEIGHT, band)
    add("stop-inner", "stop", axis.first, marks.inner_limit, band, tall)
    add("stop-outer", "stop", marks.outer_limit, axis.last, outer_top, tall)
    if not marks.vanished:
        add("usable", "usable", marks.inner_usable, marks.outer_usable, band, BAND_HEIGHT)
    start = marks.inner_limit
    for kind in ("feeler", "margin", "doubt"):
        size = float(getattr(marks.inner_parts, kind))
        add(f"inner-{kind}", kind, start, start + size, band, half)
        start += size
    end = marks.outer_limit
    for kind in ("feeler", "margin", "doubt"):
        size = float(getattr(marks.outer_parts, kind))
        add(f"outer-{kind}", kind, end - size, end, lower, half)
        end -= size
    return [*zones, *_edges(marks, axis, band, prefix)]


def _edges(marks: ScaleMarks, axis: _Axis, band: float, prefix: str) -> list[Element]:
    bottom = band + BAND_HEIGHT
    edges = [svg.rect(LEFT, band, RIGHT - LEFT, BAND_HEIGHT, class_="qt-frame")]
    if marks.vanished:
        edges.append(svg.line(LEFT, band + BAND_HEIGHT / 2, RIGHT, band + BAND_HEIGHT / 2, class_="qt-edge"))
    for key, turns in (("inner-limit", marks.inner_limit), ("outer-limit", marks.outer_limit)):
        if axis.shows(turns):
            x = axis.x(turns)
            edges.append(svg.line(x, band, x, bottom, class_="qt-edge qt-edge-limit", id=f"{prefix}-{key}"))
    return edges


def _ticks(axis: _Axis, band: float, below: float, prefix: str) -> list[Element]:
    step = next((step for step in (1, 2, 5, 10, 20, 50, 100) if step * axis.scale >= 24), 200)
    fine = next((part for part in (0.25, 0.5, 1.0) if part * axis.scale >= 4.5 and part < step), float(step))
    ticks = []
    count = math.ceil(axis.first / fine - 1e-9)
    while count * fine <= axis.last + 1e-9:
        turns = count * fine
        whole = abs(turns / step - round(turns / step)) < 1e-9
        x = axis.x(turns)
        ticks.append(svg.line(x, below, x, below + (7 if whole else 4), class_="qt-tick"))
        if whole:
            ticks.append(svg.text(x, below + 19, fixed(turns, 0), size=SMALL, anchor="middle"))
        count += 1
    return [svg.group(*ticks, id=f"{prefix}-axis"), *_directions(below + 66, prefix)]


def _directions(y: float, prefix: str) -> list[Element]:
    return [
        svg.text(LEFT - 12, y, "← in", size=SMALL, class_="qt-text qt-strong", id=f"{prefix}-word-in"),
        svg.text(WIDTH / 2, y, "turns from the zero reading", size=SMALL, anchor="middle", class_="qt-text qt-quiet"),
        svg.text(RIGHT + 12, y, "out →", size=SMALL, anchor="end", class_="qt-text qt-strong", id=f"{prefix}-word-out"),
    ]


def _limits(marks: ScaleMarks, axis: _Axis, band: float, prefix: str) -> list[Element]:
    named = [("zero", marks.zero)]
    if marks.touch is not None:
        named.append(("touch", marks.touch))
    named += [(f"limit-{place}", limit.turns) for place, limit in enumerate(marks.limits)]
    lines = []
    for key, turns in named:
        if axis.shows(turns):
            x = axis.x(turns)
            lines.append(svg.line(x, band - 3, x, band + BAND_HEIGHT, class_="qt-mark", id=f"{prefix}-mark-{key}"))
    return lines


def _flags(flags: list[Flag], band: float, prefix: str) -> list[Element]:
    drawn = []
    for flag in flags:
        baseline = band - 12 - flag.row * ROW
        top = baseline + 3 if _over(flag) else baseline - 9
        kind = "qt-now" if flag.strong else "qt-mark"
        drawn.append(svg.line(flag.pole, top, flag.pole, band, class_=f"{kind} qt-pole"))
        words = "qt-text qt-halo qt-strong" if flag.strong else "qt-text qt-halo"
        x, anchor = _hold(flag)
        key = f"{prefix}-label-{flag.key}"
        drawn.append(svg.text(x, baseline, flag.words, size=SMALL, anchor=anchor, class_=words, id=key))
    return drawn


def _window(marks: ScaleMarks, axis: _Axis, band: float, prefix: str) -> list[Element]:
    """The measuring line under the axis: the usable window with its middle, or the overlap where it vanished."""
    low, high = sorted((marks.inner_usable, marks.outer_usable))
    left, right, y = axis.x(low), axis.x(high), band + BAND_HEIGHT + 30
    if marks.vanished:
        words = f"no window: the reserves overlap by {_turns(high - low)}"
    else:
        words = f"usable {fixed_up(low, 2)} to {fixed_down(high, 2)}, middle {_turns((low + high) / 2)}"
    half = svg.text_width(words, PLAIN, bold=True) / 2
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
    middle = axis.x((marks.inner_usable + marks.outer_usable) / 2)
    tick = svg.line(middle, band, middle, band + BAND_HEIGHT, class_="qt-middle", id=f"{prefix}-middle")
    return [tick, svg.line(middle, y - 4, middle, y + 4, class_="qt-dimension qt-dimension-strong"), *drawn]


def _present(marks: ScaleMarks, axis: _Axis, band: float, prefix: str) -> list[Element]:
    if marks.present is None:
        return []
    x, middle = axis.x(marks.present), band + BAND_HEIGHT / 2
    low, high = axis.x(marks.present - marks.present_doubt), axis.x(marks.present + marks.present_doubt)
    bar = ("M", low, middle - 5, "V", middle + 5, "M", low, middle, "H", high, "M", high, middle - 5, "V", middle + 5)
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
        svg.text(LEFT + 26, top + 16, "kept free, in turns", size=SMALL, class_="qt-text qt-quiet"),
        svg.text(inner, top + 16, "inner end", size=SMALL, anchor="end", class_="qt-text qt-quiet"),
        svg.text(outer, top + 16, "outer end", size=SMALL, anchor="end", class_="qt-text qt-quiet"),
    ]
    y = top + 22
    words = {"feeler": "what the feeler cannot see", "margin": "margin", "doubt": "doubt of the count"}
    for kind, said in words.items():
        rows += _swatch(kind, y, said, prefix)
        for x, part in ((inner, marks.inner_parts), (outer, marks.outer_parts)):
            rows.append(svg.text(x, y + 12, _turns(float(getattr(part, kind))), size=SMALL, anchor="end"))
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
        svg.text(x + 38 - (x > LEFT) * 8, y + 12, words, size=SMALL),
    ]


def _description(marks: ScaleMarks) -> str:
    said = [f"Turns out from the zero reading; the strictest limits are {_turns(marks.inner_limit)} turning in "
            f"and {_turns(marks.outer_limit)} turning out."]  # fmt: skip
    if marks.touch is not None:
        said.append(f"First touch at {_turns(marks.touch)}.")
    said += [f"{limit.label}: {_turns(limit.turns)} ({limit.side} limit)." for limit in marks.limits]
    if marks.vanished:
        overlap = marks.inner_usable - marks.outer_usable
        said.append(f"No usable window is left: the reserves at the two ends overlap by {_turns(overlap)}.")
    else:
        said.append(f"Usable from {fixed_up(marks.inner_usable, 2)} to {fixed_down(marks.outer_usable, 2)}.")
    if marks.present is not None:
        said.append(f"The bolt stands at {_turns(marks.present)}, give or take {_turns(marks.present_doubt)}.")
    return " ".join(said)
