"""A line chart: a few quantities over one, with hatched stretches and areas, marks, readings and values at one place.

Lines are told apart by their dashes and by their names, which stand at them; stretches and areas by their hatching,
readings by the shape of their signs, both named under the chart; upright marks by words over it, level ones by words at
them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from quarterturn import days
from quarterturn.figures import svg
from quarterturn.figures.labels import Flag, placed_flags
from quarterturn.figures.svg import Element, Picture
from quarterturn.numbers import fixed, rounded

WIDTH = 360.0
EDGE = 4.0
SIZE, HEADING = 12.0, 13.0
ROW = 16.0
KINDS = ("solid", "dashed", "dotted", "dash-dot")
MARKS = {"now": "qt-now", "limit": "qt-edge qt-edge-limit", "plain": "qt-middle"}
HATCHES = ("rising", "falling", "crossed", "upright", "level", "dots")
SHAPES = ("cross", "ring", "square")
MOST_SERIES = 5
MOST_SAID = 12
"""So many readings of one kind are told one by one in the chart's words."""
LARGEST = 1e7  # an axis goes no farther, so that its numbers stay short
SHORTEST = 1e-6  # and is no shorter
FINEST = 1e-4  # nor shorter against the larger of its ends
UNDER = 56.0  # where a plot over dates begins, so that several stand right under one another
_ASCENT, _DESCENT = 0.76 * SIZE, 0.2 * SIZE
_FAR = 1e15  # a value beyond this is drawn as if it were there: off any axis
_COLUMN = 9.0  # user units: how finely labels look where the lines are


@dataclass(frozen=True, slots=True)
class Series:
    """One line: its points (x, y) in the order of x, a y of None breaks it, and how it is dashed (one of KINDS).

    Two points may have the same x: the line jumps there.
    """

    name: str
    points: tuple[tuple[float, float | None], ...]
    kind: str = "solid"


@dataclass(frozen=True, slots=True)
class Band:
    """A hatched stretch of x (axis "x") or of y (axis "y"); hatch is one of HATCHES."""

    start: float
    end: float
    words: str
    hatch: str = "rising"
    axis: str = "x"


@dataclass(frozen=True, slots=True)
class Mark:
    """A line across the plot at one value: of x, upright, with words over the plot, or of y, level, with words at it.

    `kind` is one of MARKS ("now" strong, "limit" thick, "plain" dashed).
    """

    place: float
    words: str
    kind: str = "plain"
    axis: str = "x"


@dataclass(frozen=True, slots=True)
class Ribbon:
    """A hatched area between two curves, under the lines: points (x, low, high) in the order of x.

    It tells how sure a line is, or, with a low of 0, what lies under it. `hatch` is one of HATCHES.
    """

    name: str
    points: tuple[tuple[float, float, float], ...]
    hatch: str = "rising"


@dataclass(frozen=True, slots=True)
class Dots:
    """Readings: single points (x, y) without a line, in any order; shape is one of SHAPES.

    `errors` are half the lengths of their error bars along y, one for each, None for none; empty for none at all.
    """

    name: str
    points: tuple[tuple[float, float], ...]
    shape: str = "cross"
    errors: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Chart:
    """Everything that is drawn.

    `now` is the present x: the value of each series there is written at its line, as `now_values` gives it where they
    are given, else as the line goes. Without ranges the x axis holds the points and `now`, and the y axis the points
    and the round numbers around them; ribbons, readings and their bars too. `height` is that of the plot in user
    units. Units follow values in words. `drag_field` names the field that a tap or a drag along x sets, with x in
    that field's unit, from `drag_low` to `drag_high` (the x axis where None). With `x_day` x counts days from
    that one (as `days` does), and is written as a date.
    """

    x_label: str
    y_label: str
    series: tuple[Series, ...]
    bands: tuple[Band, ...] = ()
    marks: tuple[Mark, ...] = ()
    x_range: tuple[float, float] | None = None
    y_range: tuple[float, float] | None = None
    now: float | None = None
    now_values: tuple[float | None, ...] = ()
    now_words: str = "now"
    x_unit: str = ""
    y_unit: str = ""
    x_decimals: int = 2
    y_decimals: int = 2
    x_ends: tuple[str, str] = ("", "")
    drag_field: str = ""
    drag_low: float | None = None
    drag_high: float | None = None
    height: float = 184.0
    ribbons: tuple[Ribbon, ...] = ()
    dots: tuple[Dots, ...] = ()
    x_day: int | None = None


def line_chart(chart: Chart, *, prefix: str, name: str, title: str) -> Picture:
    """Draw a line chart.

    Args:
        chart: what is drawn.
        prefix: put before every id, so that several figures can stand on one page.
        name: the picture's name for programs.
        title: what is shown; it is also written over the chart.

    The group PREFIX-plot carries data-scale-x, data-scale-y (user units per unit, both positive), data-origin-x and
    data-origin-y: x is drawn at origin-x + x·scale-x and y, which grows upward, at origin-y − y·scale-y. With a field
    to drag it carries data-drag-field, data-drag-axis "x", data-drag-origin (where 0 is drawn), data-drag-scale (user
    units per unit of the field), data-drag-low and data-drag-high. In it, by id and place in the chart: PREFIX-line-0,
    PREFIX-band-0, PREFIX-mark-0, PREFIX-now, PREFIX-now-point-0, PREFIX-tag-0 (a series' words), PREFIX-label-0 (a
    mark's words; of a level one under the plot where there is no place at it), PREFIX-key-0 (a band's words),
    PREFIX-ribbon-0 with PREFIX-ribbon-key-0, PREFIX-dots-0 with PREFIX-dots-key-0, and in that PREFIX-dot-0-0 (its
    place as data-x and data-y, user units) and PREFIX-dot-0-0-bar (a reading's error bar).

    Raises:
        ValueError: a number is not finite, points are out of order, a range has no length or is too long, short or
            fine for its numbers to be written, a kind is not known or stands for two things, a ribbon's low is over its
            high, an error is negative, or there are too many series for the height.
    """
    # With a fixed axis the present place changes nothing of the rest, which is kept from one answer to the next.
    movable = chart.x_range is not None and chart.now is not None
    still = replace(chart, now=chart.x_range[0], now_values=()) if movable and chart.x_range else chart
    _check(chart)
    ground = _ground(still, prefix, title)
    plot, runs = ground.plot, ground.runs
    drawn = svg.group(
        *ground.under,
        *_now_line(chart, plot, prefix),
        *_level_words(chart, ground.levels, plot, prefix),
        *ground.lines,
        *_points(chart, plot, prefix),
        *ground.dots,
        *_tags(chart, plot, runs, ground.levels, prefix),
        *_now_words(chart, plot, prefix),
        id=f"{prefix}-plot", **_stated(chart, plot),
    )  # fmt: skip
    key, bottom = _key(chart, plot, runs, ground.levels, prefix)
    children = [*ground.above, drawn, *ground.below, *key]
    return svg.picture(name, title, _description(chart, plot), WIDTH, bottom, children, prefix=prefix)


@dataclass(frozen=True, slots=True)
class _Ground:
    """What of a chart does not depend on the present place."""

    plot: _Plot
    runs: list[_Runs]
    levels: list[_Spot]
    under: tuple[Element, ...]
    lines: tuple[Element, ...]
    dots: tuple[Element, ...]
    above: tuple[Element, ...]
    below: tuple[Element, ...]


@lru_cache(maxsize=16)
def _ground(chart: Chart, prefix: str, title: str) -> _Ground:
    plot = _plot(chart, len(_heading(title)))
    runs = [_seen(series, plot) for series in chart.series]
    headings = [
        svg.text(EDGE, 16 + at * ROW, words, size=HEADING, class_="qt-text qt-strong")
        for at, words in enumerate(_heading(title))
    ]
    return _Ground(
        plot,
        runs,
        _levels(chart, plot, runs),
        under=(
            svg.rect(plot.x.start, plot.top, plot.x.end - plot.x.start, plot.bottom - plot.top, class_="qt-plot"),
            *_bands(chart, plot, prefix),
            *_ribbons(chart, plot, prefix),
            *_grid(plot, prefix),
            *_marks(chart, plot, prefix),
        ),
        lines=tuple(_lines(chart, plot, runs, prefix)),
        dots=tuple(_dots(chart, plot, prefix)),
        above=(
            _patterns(chart, prefix),
            *headings,
            svg.text(EDGE, plot.label_y, svg.shortened(chart.y_label, WIDTH - 2 * EDGE, SIZE), size=SIZE),
        ),
        below=tuple(_under(chart, plot)),
    )


# Checks


def _check(chart: Chart) -> None:
    if not chart.series:
        raise ValueError("a chart needs a series")
    if len(chart.series) > MOST_SERIES:
        raise ValueError(f"at most {MOST_SERIES} series: {len(chart.series)}")
    lowest = 40.0 + 33.0 * (len(chart.series) + len(_level(chart)) - 1)
    if not lowest <= chart.height <= 2000:
        raise ValueError(f"height must be from {lowest:g} to 2000 for the words to find room: {chart.height}")
    for series in chart.series:
        _check_series(series)
    for band in chart.bands:
        _check_band(band)
    for ribbon in chart.ribbons:
        _check_ribbon(ribbon)
    for dots in chart.dots:
        _check_dots(dots)
    hatches = [one.hatch for one in chart.ribbons]
    if len(set(hatches)) < len(hatches) or {band.hatch for band in chart.bands} & set(hatches):
        raise ValueError(f"a ribbon needs a hatching of its own: {', '.join(hatches)}")
    shapes = [one.shape for one in chart.dots]
    if len(set(shapes)) < len(shapes):
        raise ValueError(f"readings of different kinds need different shapes: {', '.join(shapes)}")
    for mark in chart.marks:
        _finite("mark", mark.place)
        if mark.kind not in MARKS or mark.axis not in ("x", "y"):
            raise ValueError(f"no such kind of mark: {mark.kind} along {mark.axis}")
    for value in (chart.now, chart.drag_low, chart.drag_high):
        if value is not None:
            _finite("now and the ends of a drag", value)
    if chart.now_values and len(chart.now_values) != len(chart.series):
        raise ValueError(f"now_values must be one for each series: {len(chart.now_values)} for {len(chart.series)}")


def _upright(chart: Chart) -> list[tuple[int, Mark]]:
    return [(at, mark) for at, mark in enumerate(chart.marks) if mark.axis == "x"]


def _level(chart: Chart) -> list[tuple[int, Mark]]:
    return [(at, mark) for at, mark in enumerate(chart.marks) if mark.axis == "y"]


def _finite(what: str, *values: float) -> None:
    if not all(map(math.isfinite, values)):
        raise ValueError(f"{what} must be finite: {values}")


def _check_series(series: Series) -> None:
    if series.kind not in KINDS:
        raise ValueError(f"no such kind of line: {series.kind}")
    before = -math.inf
    for x, y in series.points:
        _finite(series.name, x, 0.0 if y is None else y)
        if x < before:
            raise ValueError(f"the points of {series.name} must be in the order of x: {x} after {before}")
        before = x


def _check_band(band: Band) -> None:
    _finite("band", band.start, band.end)
    if band.start > band.end:
        raise ValueError(f"a band must not end before it starts: {band.start} to {band.end}")
    if band.hatch not in HATCHES or band.axis not in ("x", "y"):
        raise ValueError(f"no such band: {band.hatch} along {band.axis}")


def _check_ribbon(ribbon: Ribbon) -> None:
    if ribbon.hatch not in HATCHES:
        raise ValueError(f"no such ribbon: {ribbon.hatch}")
    before = -math.inf
    for x, low, high in ribbon.points:
        _finite(ribbon.name, x, low, high)
        if x < before:
            raise ValueError(f"the points of {ribbon.name} must be in the order of x: {x} after {before}")
        if low > high:
            raise ValueError(f"the low of {ribbon.name} must not be over its high: {low} and {high}")
        before = x


def _check_dots(dots: Dots) -> None:
    if dots.shape not in SHAPES:
        raise ValueError(f"no such shape: {dots.shape}")
    if dots.errors and len(dots.errors) != len(dots.points):
        raise ValueError(f"errors must be one for each reading: {len(dots.errors)} for {len(dots.points)}")
    for point in dots.points:
        _finite(dots.name, *point)
    for error in dots.errors:
        if error is not None:
            _finite(dots.name, error)
            if error < 0:
                raise ValueError(f"an error must not be negative: {error}")


# Axes


@dataclass(frozen=True, slots=True)
class _Axis:
    """Values `low` to `high` drawn from `start` to `end` (user units; y from the bottom up), a tick each `step`.

    With a `day` they are days counted from it.
    """

    low: float
    high: float
    start: float
    end: float
    step: float
    decimals: int
    day: int | None = None

    @property
    def scale(self) -> float:
        return (self.end - self.start) / (self.high - self.low)

    @property
    def origin(self) -> float:
        return self.start - self.low * self.scale

    def at(self, value: float) -> float:
        """Where a value is drawn; what lies off the axis is drawn at its end."""
        return round(self.start + (min(max(value, self.low), self.high) - self.low) * self.scale, _SAME)

    @property
    def ends(self) -> tuple[float, float]:
        """The least and the greatest value that count as on the axis, whose own ends are rounded."""
        room = 1e-9 * (self.high - self.low)
        return self.low - room, self.high + room

    def shows(self, value: float) -> bool:
        least, most = self.ends
        return least <= value <= most

    def ticks(self) -> list[float]:
        return _ticks(self.low, self.high, self.step)

    def words(self, value: float) -> str:
        return _number(value, self.decimals, self.day)


def _number(value: float, decimals: int, day: int | None) -> str:
    """As it is written at an axis; as a date where it counts days from one."""
    return fixed(value, decimals) if day is None else days.isoformat(day + round(value))


def _ticks(low: float, high: float, step: float) -> list[float]:
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [rounded(count * step) for count in range(first, last + 1)]


def _steps(span: float) -> list[tuple[float, int]]:
    """Round steps for an axis of this length, and their decimals, from the finest: 1, 2, 5, 10 and so on."""
    finest = math.floor(math.log10(span) + 1e-9) - 2
    pairs = [(factor, power) for power in range(finest, finest + 4) for factor in (1, 2, 5)]
    return [(float(f"{factor}e{power}"), max(0, -power)) for factor, power in pairs]


def _checked_range(what: str, low: float, high: float) -> tuple[float, float]:
    _finite(what, low, high)
    low, high = rounded(low), rounded(high)
    size = max(abs(low), abs(high))
    if not high - low >= max(SHORTEST, FINEST * size) or size > LARGEST:
        raise ValueError(
            f"{what} must have a length and stay within ±{LARGEST:g}, at least {FINEST:g} of its larger end and"
            f" {SHORTEST:g} long; choose another unit: {low} to {high}"
        )
    return low, high


def _around(values: list[float]) -> tuple[float, float]:
    """From the least to the largest, or some room around them where they are all but the same."""
    if not values:
        return 0.0, 1.0
    low, high = min(values), max(values)
    size = max(abs(low), abs(high))
    if high - low >= max(SHORTEST, 10 * FINEST * size):
        return low, high
    room = max(0.1 * size, SHORTEST) if size > 0 else 1.0
    return low - room, high + room


def _x_range(chart: Chart) -> tuple[float, float]:
    if chart.x_range is not None:
        return _checked_range("x_range", *chart.x_range)
    values = [x for series in chart.series for x, _ in series.points]
    values += [x for ribbon in chart.ribbons for x, _, _ in ribbon.points]
    values += [x for dots in chart.dots for x, _ in dots.points]
    return _checked_range("x", *_around(values if chart.now is None else [*values, chart.now]))


def _y_range(chart: Chart) -> tuple[float, float]:
    if chart.y_range is not None:
        return _checked_range("y_range", *chart.y_range)
    values = [y for one in chart.series for _, y in one.points if y is not None]
    values += [y for ribbon in chart.ribbons for point in ribbon.points for y in point[1:]]
    values += [y for dots in chart.dots for at in range(len(dots.points)) for y in _reach(dots, at)]
    low, high = _checked_range("y", *_around(values))
    step = next(step for step, _ in _steps(high - low) if high - low <= 5 * step * (1 + 1e-9))
    return rounded(math.floor(low / step + 1e-9) * step), rounded(math.ceil(high / step - 1e-9) * step)


def _reach(dots: Dots, at: int) -> tuple[float, float]:
    """From where to where a reading's bar goes."""
    y, half = dots.points[at][1], (dots.errors[at] if dots.errors else None) or 0.0
    return y - half, y + half


@dataclass(frozen=True, slots=True)
class _Plot:
    """Where everything is, in user units: the axes, the words over the plot, the marks' flags."""

    x: _Axis
    y: _Axis
    flags: list[Flag]
    label_y: float
    now_y: float

    @property
    def top(self) -> float:
        return self.y.end

    @property
    def bottom(self) -> float:
        return self.y.start


def _heading(title: str) -> list[str]:
    return svg.wrapped(title, WIDTH - 2 * EDGE, HEADING, 2, bold=True)


def _plot(chart: Chart, headings: int) -> _Plot:
    first, last = _y_range(chart)
    step, decimals = _y_step(first, last, chart.height)
    wide = max((svg.text_width(fixed(value, decimals), SIZE) for value in _ticks(first, last, step)), default=0.0)
    axis = _x_axis(chart, EDGE + wide + 10)
    flags = placed_flags([_flag(mark, axis, at) for at, mark in _upright(chart)])
    label_y = 16 + headings * ROW + 2
    now_y = label_y + ROW * (1 + max((flag.row for flag in flags), default=-1)) + (0 if chart.now is None else ROW) + 2
    top = now_y + 9
    return _Plot(axis, _Axis(first, last, top + chart.height, top, step, decimals), flags, label_y, now_y)


def _y_step(first: float, last: float, height: float) -> tuple[float, int]:
    return next(one for one in _steps(last - first) if one[0] * height >= 26 * (last - first))


def _x_axis(chart: Chart, left: float) -> _Axis:
    """The axis with the finest step whose numbers have room beside one another."""
    low, high = _x_range(chart)
    day = chart.x_day
    for step, decimals in _steps(high - low):
        if (high - low) / step > 40 or (day is not None and step < 1):
            continue
        numbers = [_number(value, decimals, day) for value in _ticks(low, high, step)]
        wide = max((svg.text_width(number, SIZE) for number in numbers), default=0.0)
        start, end = max(left, wide / 2 + 2, 0.0 if day is None else UNDER), WIDTH - max(2 * EDGE, wide / 2 + 2)
        if step * (end - start) >= (wide + 10) * (high - low):
            break
    return _Axis(low, high, start, end, step, decimals, day)


def _flag(mark: Mark, axis: _Axis, at: int) -> tuple[str, str, float, bool]:
    words = _off(svg.shortened(mark.words, 150, SIZE), mark.place, axis)
    return str(at), words, axis.at(mark.place), mark.kind == "now"


def _off(words: str, x: float, axis: _Axis) -> str:
    """Point to what is off the axis."""
    if axis.shows(x):
        return words
    return f"← {words}" if x < axis.low else f"{words} →"


def _stated(chart: Chart, plot: _Plot) -> dict[str, str]:
    """The plot's scales for programs, to the last digit: the origin may lie far outside the picture."""
    x, y = plot.x, plot.y
    stated = {
        "data_scale_x": repr(x.scale), "data_origin_x": repr(x.origin),
        "data_scale_y": repr(-y.scale), "data_origin_y": repr(y.origin),
    }  # fmt: skip
    if chart.drag_field:
        low = x.low if chart.drag_low is None else chart.drag_low
        high = x.high if chart.drag_high is None else chart.drag_high
        stated |= {
            "data_drag_field": chart.drag_field, "data_drag_axis": "x", "data_drag_origin": repr(x.origin),
            "data_drag_scale": repr(x.scale),
            "data_drag_low": repr(rounded(low)), "data_drag_high": repr(rounded(high)),
        }  # fmt: skip
    return stated


# Words


def _with_unit(value: float, decimals: int, unit: str) -> str:
    said = fixed(value, decimals)
    return f"{said}{'' if unit in ('', '°', '%') else ' '}{unit}"


def _x_words(chart: Chart, x: float) -> str:
    if chart.x_day is not None:
        return _number(x, 0, chart.x_day)
    return _with_unit(x, chart.x_decimals, chart.x_unit)


def _y_words(chart: Chart, y: float) -> str:
    return _with_unit(y, chart.y_decimals, chart.y_unit)


def value_at(series: Series, x: float) -> float | None:
    """The value of a line at x, straight between its points; None beyond its ends and where it is broken.

    Where the line jumps at x, the value before the jump.
    """
    points = series.points
    for (x0, y0), (x1, y1) in pairwise(points):
        if y0 is not None and y1 is not None and x0 <= x <= x1:
            part = 0.0 if x1 == x0 else (x - x0) / (x1 - x0)
            return y0 * (1 - part) + y1 * part
    return next((y for x0, y in points if x0 == x and y is not None), None)


# Under and behind the lines


def _patterns(chart: Chart, prefix: str) -> Element:
    kinds = sorted({band.hatch for band in chart.bands} | {ribbon.hatch for ribbon in chart.ribbons})
    return svg.element("defs", *(svg.hatching(f"{prefix}-hatch-{kind}", kind, 6) for kind in kinds))


def _band_box(band: Band, plot: _Plot) -> tuple[float, float, float, float] | None:
    """x, y, width and height of what can be seen of a band; None where that is nothing."""
    axis = plot.x if band.axis == "x" else plot.y
    if band.end < axis.low or band.start > axis.high:
        return None
    start, end = axis.at(band.start), axis.at(band.end)
    if band.axis == "x":
        return start, plot.top, end - start, plot.bottom - plot.top
    return plot.x.start, end, plot.x.end - plot.x.start, start - end


def _bands(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    drawn = []
    for at, band in enumerate(chart.bands):
        if (box := _band_box(band, plot)) is not None:
            drawn += _hatched(box, band.hatch, prefix, f"{prefix}-band-{at}")
    return drawn


def _hatched(box: tuple[float, float, float, float], hatch: str, prefix: str, key: str) -> list[Element]:
    return [
        svg.rect(*box, class_="qt-band", id=key, data_hatch=hatch),
        svg.rect(*box, class_="qt-band-hatch", fill=f"url(#{prefix}-hatch-{hatch})"),
    ]


def _ribbons(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    drawn = []
    for at, ribbon in enumerate(chart.ribbons):
        if len(corners := _area(ribbon, plot)) > 2:
            drawn += [
                svg.polygon(corners, class_="qt-ribbon", id=f"{prefix}-ribbon-{at}", data_hatch=ribbon.hatch),
                svg.polygon(corners, class_="qt-band-hatch", fill=f"url(#{prefix}-hatch-{ribbon.hatch})"),
            ]
    return drawn


def _area(ribbon: Ribbon, plot: _Plot) -> list[tuple[float, float]]:
    """The corners of what can be seen of a ribbon, in user units (Sutherland & Hodgman 1974)."""
    corners = [(x, high) for x, _, high in ribbon.points] + [(x, low) for x, low, _ in reversed(ribbon.points)]
    corners = [(min(max(x, -_FAR), _FAR), min(max(y, -_FAR), _FAR)) for x, y in corners]
    for axis, edge, sign in ((0, plot.x.low, 1), (0, plot.x.high, -1), (1, plot.y.low, 1), (1, plot.y.high, -1)):
        kept: list[tuple[float, float]] = []
        for before, corner in pairwise([*corners[-1:], *corners]):
            over, under = sign * (corner[axis] - edge), sign * (before[axis] - edge)
            if (over < 0) is not (under < 0):
                part = under / (under - over)
                other = before[1 - axis] + part * (corner[1 - axis] - before[1 - axis])
                kept.append((other, edge) if axis else (edge, other))
            if over >= 0:
                kept.append(corner)
        corners = kept
    return [(plot.x.at(x), plot.y.at(y)) for x, y in corners]


def _grid(plot: _Plot, prefix: str) -> list[Element]:
    """Rules across at round values, those at zero stronger, a frame, and the numbers outside it."""
    drawn = []
    for value in plot.y.ticks():
        y, words = plot.y.at(value), plot.y.words(value)
        kind = "qt-zero" if value == 0 else "qt-grid"
        drawn.append(svg.line(plot.x.start, y, plot.x.end, y, class_=kind))
        drawn.append(svg.text(plot.x.start - 7, y + 4, words, size=SIZE, anchor="end", class_="qt-text qt-tick-y"))
    for value in plot.x.ticks():
        x, words = plot.x.at(value), plot.x.words(value)
        kind = "qt-zero" if value == 0 and plot.x.day is None else "qt-grid"
        drawn.append(svg.line(x, plot.top, x, plot.bottom, class_=kind))
        drawn.append(svg.line(x, plot.bottom, x, plot.bottom + 5, class_="qt-tick"))
        drawn.append(svg.text(x, plot.bottom + 19, words, size=SIZE, anchor="middle", class_="qt-text qt-tick-x"))
    box = (plot.x.start, plot.top, plot.x.end - plot.x.start, plot.bottom - plot.top)
    return [svg.group(*drawn, svg.rect(*box, class_="qt-frame"), id=f"{prefix}-axes")]


def _marks(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    drawn = []
    for at, mark in _level(chart):
        if plot.y.shows(mark.place):
            y = plot.y.at(mark.place)
            drawn.append(svg.line(plot.x.start, y, plot.x.end, y, class_=MARKS[mark.kind], id=f"{prefix}-mark-{at}"))
    for at, mark in _upright(chart):
        if plot.x.shows(mark.place):
            x = plot.x.at(mark.place)
            drawn.append(svg.line(x, plot.top, x, plot.bottom, class_=MARKS[mark.kind], id=f"{prefix}-mark-{at}"))
    for flag in plot.flags:
        mark = chart.marks[int(flag.key)]
        baseline = plot.now_y - (0 if chart.now is None else ROW) - flag.row * ROW
        over = flag.start <= flag.pole <= flag.start + flag.width
        if plot.x.shows(mark.place):
            pole = MARKS[mark.kind].replace("qt-middle", "qt-mark")
            top = baseline + 3 if over else baseline - 9
            drawn.append(svg.line(flag.pole, top, flag.pole, plot.top, class_=f"{pole} qt-pole"))
        kind = "qt-text qt-halo qt-strong" if flag.strong else "qt-text qt-halo"
        x, anchor = _hold(flag.start, flag.width, flag.pole)
        drawn.append(svg.text(x, baseline, flag.words, size=SIZE, anchor=anchor, class_=kind,
                              id=f"{prefix}-label-{flag.key}"))  # fmt: skip
    return drawn


def _hold(start: float, width: float, near: float) -> tuple[float, str]:
    """Hold words at the end that is next to what they name, so that a narrower face leaves no hole there."""
    if start > near:
        return start, "start"
    return (start + width, "end") if start + width < near else (start + width / 2, "middle")


def _value_now(chart: Chart, at: int) -> float | None:
    """What a series is at the present x."""
    if chart.now is None:
        return None
    return chart.now_values[at] if chart.now_values else value_at(chart.series[at], chart.now)


def _now_line(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    if chart.now is None or not plot.x.shows(chart.now):
        return []
    x = plot.x.at(chart.now)
    drawn = [
        svg.line(x, plot.top, x, plot.bottom, class_="qt-now-halo"),
        svg.line(x, plot.top - 3, x, plot.bottom + 3, class_="qt-now", id=f"{prefix}-now"),
        svg.polygon([(x - 5, plot.top - 8), (x + 5, plot.top - 8), (x, plot.top)], class_="qt-now-arrow"),
    ]
    if chart.drag_field:
        grip = [(x, plot.bottom - 1), (x + 8, plot.bottom + 7), (x - 8, plot.bottom + 7)]
        drawn.append(svg.polygon(grip, class_="qt-now-arrow qt-handle", id=f"{prefix}-grip"))
    return drawn


def _now_words(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    """In a row of their own over the plot, beside the upright marks that pass there."""
    if chart.now is None:
        return []
    said = svg.shortened(f"{chart.now_words} {_x_words(chart, chart.now)}", 200, SIZE)
    words, x = _off(said, chart.now, plot.x), plot.x.at(chart.now)
    width = svg.text_width(words, SIZE, bold=True)
    poles = [plot.x.at(mark.place) for _, mark in _upright(chart) if plot.x.shows(mark.place)]
    starts = [min(max(start, 2.0), WIDTH - 2 - width) for start in (x - width / 2, x + 8, x - 8 - width)]
    start = min(starts, key=lambda one: (sum(one - 3 < pole < one + width + 3 for pole in poles), starts.index(one)))
    at, anchor = _hold(start, width, x)
    kind = "qt-text qt-halo qt-strong"
    return [svg.text(at, plot.now_y - 2, words, size=SIZE, anchor=anchor, class_=kind, id=f"{prefix}-now-words")]


# The lines

_Runs = list[list[tuple[float, float]]]


def _seen(series: Series, plot: _Plot) -> _Runs:
    """What can be seen of a line, piece by piece, in user units."""
    runs: list[list[tuple[float, float]]] = []
    before: tuple[float, float] | None = None
    for x, y in series.points:
        point = None if y is None else (min(max(x, -_FAR), _FAR), min(max(y, -_FAR), _FAR))
        if point is not None and before is None and _inside(point, plot):
            runs.append([point])
        if point is not None and before is not None and (piece := _cut(before, point, plot)) is not None:
            joins = runs and runs[-1][-1] == piece[0] == before
            runs[-1:] = [[*runs[-1], piece[1]]] if joins else [*runs[-1:], list(piece)]
        before = point
    return [[(plot.x.at(x), plot.y.at(y)) for x, y in run] for run in runs]


def _inside(point: tuple[float, float], plot: _Plot) -> bool:
    return plot.x.shows(point[0]) and plot.y.shows(point[1])


def _cut(
    start: tuple[float, float], end: tuple[float, float], plot: _Plot
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The part of a straight line that lies in the plot, None for nothing (Liang & Barsky 1984)."""
    first, last = 0.0, 1.0
    for a, b, (low, high) in ((start[0], end[0], plot.x.ends), (start[1], end[1], plot.y.ends)):
        if a == b:
            if not low <= a <= high:
                return None
            continue
        enter, leave = (low - a) / (b - a), (high - a) / (b - a)
        first, last = max(first, min(enter, leave)), min(last, max(enter, leave))
    if first > last:
        return None

    def along(part: float) -> tuple[float, float]:
        if part in (0.0, 1.0):
            return end if part else start
        return start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])

    return along(first), along(last)


def _lines(chart: Chart, plot: _Plot, runs: list[_Runs], prefix: str) -> list[Element]:
    drawn = []
    for at, series in enumerate(chart.series):
        parts: list[str | float] = []
        for run in runs[at]:
            for place, (x, y) in enumerate(run if len(run) > 1 else run * 2):
                parts += ["L" if place else "M", x, y]
        if parts:
            kind = f"qt-line qt-line-{series.kind}"
            drawn.append(svg.path(*parts, class_=kind, id=f"{prefix}-line-{at}"))
    return drawn


def _dots(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    """The readings that lie in the plot, each over its error bar, which ends with the plot."""
    drawn = []
    for at, dots in enumerate(chart.dots):
        parts: list[Element] = []
        for place, point in _shown(dots, plot):
            x, y = plot.x.at(point[0]), plot.y.at(point[1])
            low, high = _reach(dots, place)
            key = f"{prefix}-dot-{at}-{place}"
            if low < high:
                parts.append(_bar(x, low, high, plot, f"{key}-bar"))
            parts += _sign(dots.shape, x, y, key)
        if parts:
            drawn.append(svg.group(*parts, id=f"{prefix}-dots-{at}"))
    return drawn


def _shown(dots: Dots, plot: _Plot) -> list[tuple[int, tuple[float, float]]]:
    """The readings that lie in the plot, with their places in the list."""
    return [(place, point) for place, point in enumerate(dots.points) if _inside(point, plot)]


def _bar(x: float, low: float, high: float, plot: _Plot, key: str) -> Element:
    """An error bar with a stroke across each end that the plot shows."""
    bottom, top = plot.y.at(low), plot.y.at(high)
    parts: list[str | float] = ["M", x, bottom, "V", top]
    for value, y in ((low, bottom), (high, top)):
        if plot.y.shows(value):
            parts += ["M", x - 4, y, "H", x + 4]
    return svg.path(*parts, class_="qt-error-bar", id=key)


def _sign(shape: str, x: float, y: float, key: str | None) -> list[Element]:
    """A cross, a ring or a square around a place, with a rim that keeps it off what lies under it."""
    rim = _form(shape, x, y, class_="qt-dot-rim")
    if key is None:
        return [rim, _form(shape, x, y, class_="qt-dot")]
    return [rim, _form(shape, x, y, class_="qt-dot", id=key, data_x=svg.number(x), data_y=svg.number(y))]


def _form(shape: str, x: float, y: float, **attributes: str | float | None) -> Element:
    if shape == "ring":
        return svg.circle(x, y, 4.2, **attributes)
    if shape == "square":
        return svg.rect(x - 3.8, y - 3.8, 7.6, 7.6, **attributes)
    parts = ("M", x - 4.2, y - 4.2, "L", x + 4.2, y + 4.2, "M", x - 4.2, y + 4.2, "L", x + 4.2, y - 4.2)
    return svg.path(*parts, **attributes)


def _points(chart: Chart, plot: _Plot, prefix: str) -> list[Element]:
    """Where every line is now."""
    drawn: list[Element] = []
    if chart.now is None or not plot.x.shows(chart.now):
        return drawn
    for at in range(len(chart.series)):
        now = _value_now(chart, at)
        if now is not None and plot.y.shows(now):
            key = f"{prefix}-now-point-{at}"
            drawn.append(svg.circle(plot.x.at(chart.now), plot.y.at(now), 4, class_="qt-point", id=key))
    return drawn


# The words at the lines

_Columns = dict[int, tuple[float, float]]
_Wanted = tuple[float, float, float, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class _Tag:
    """Words that want to be near one of these places."""

    at: int
    words: str
    strong: bool
    width: float
    places: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class _Spot:
    tag: _Tag
    start: float
    baseline: float
    place: tuple[float, float]

    @property
    def end(self) -> float:
        return self.start + self.tag.width

    def hits(self, other: _Spot) -> bool:
        if abs(self.baseline - other.baseline) >= _ASCENT + _DESCENT + 2:
            return False
        return self.start < other.end + 4 and other.start < self.end + 4

    def crossed(self, other: _Spot) -> bool:
        """The words would stand in another order than what they name."""
        return (self.place[1] - other.place[1]) * (self.baseline - other.baseline) < 0

    def covers(self, point: tuple[float, float]) -> bool:
        x, y = point
        low, high = self.baseline - _ASCENT - 5, self.baseline + _DESCENT + 5
        return self.start - 5 < x < self.end + 5 and low < y < high

    def lies_on(self, columns: _Columns) -> bool:
        top, bottom = self.baseline - _ASCENT - 1, self.baseline + _DESCENT + 1
        for column in range(int(self.start // _COLUMN), int(self.end // _COLUMN) + 1):
            if column in columns:
                low, high = columns[column]
                if low < bottom and high > top:
                    return True
        return False

    def far_from(self, columns: _Columns) -> float:
        """How far over or under the middle of the words the line passes."""
        low, high = columns.get(int((self.start + self.end) / 2 // _COLUMN), (math.inf, math.inf))
        return max(low - self.baseline, self.baseline - 4 - high, 0.0)


@dataclass(frozen=True, slots=True)
class _Around:
    """What the words keep off: the lines, by place in the chart, what stands upright, the points of now, readings."""

    lines: dict[int, _Columns]
    uprights: list[float]
    points: list[tuple[float, float]]
    known: dict[tuple[int, float, float], float]  # the same places are asked for in both orders

    def cost(self, spot: _Spot) -> float:
        key = (spot.tag.at, spot.start, spot.baseline)
        found = self.known.get(key)
        if found is None:
            found = self.known[key] = self._cost(spot)
        return found

    def _cost(self, spot: _Spot) -> float:
        own, cost = spot.tag.at, 0.0
        for x in self.uprights:
            if spot.start - 2 < x < spot.end + 2:
                cost += 25.0
        for at, columns in self.lines.items():
            if spot.lies_on(columns):
                cost += 25.0 if at == own else 60.0
        for point in self.points:
            if spot.covers(point):
                cost += 150.0
        if not spot.tag.strong and own in self.lines:
            near = spot.far_from(self.lines[own])
            cost += 25.0 * sum(columns_far <= near for columns_far in map(spot.far_from, self._others(own)))
        return cost

    def _others(self, own: int) -> list[_Columns]:
        return [columns for at, columns in self.lines.items() if at != own]


def _tags(chart: Chart, plot: _Plot, runs: list[_Runs], levels: list[_Spot], prefix: str) -> list[Element]:
    tags = [tag for at in range(len(runs)) if (tag := _tag(chart, plot, at, runs[at])) is not None]
    uprights = [plot.x.at(mark.place) for _, mark in _upright(chart) if plot.x.shows(mark.place)]
    if chart.now is not None and plot.x.shows(chart.now):
        uprights.append(plot.x.at(chart.now))
    points = [tag.places[0] for tag in tags if tag.strong] + _read(chart, plot)
    around = _Around({at: _columns(one) for at, one in enumerate(runs) if one}, uprights, points, {})
    down = sorted(tags, key=lambda tag: (not tag.strong, tag.places[0][1], tag.at))
    up = sorted(tags, key=lambda tag: (not tag.strong, -tag.places[0][1], -tag.at))
    wanted = {tag.at: sorted(_wanted(tag, plot)) for tag in tags}
    ways = [_placed(order, wanted, around, levels) for order in ((down, up) if len(tags) > 1 else (down,))]
    spots = min(ways, key=lambda way: round(math.fsum(cost for cost, _ in way), _SAME))
    return [one for _, spot in spots for one in _written(spot, prefix)]


def _tag(chart: Chart, plot: _Plot, at: int, runs: _Runs) -> _Tag | None:
    """A series' name with its value now; its name alone where it has none now; nothing where it is not seen."""
    series, room = chart.series[at], plot.x.end - plot.x.start - 8
    now = _value_now(chart, at) if chart.now is not None and plot.x.shows(chart.now) else None
    if now is not None and chart.now is not None:
        value = f" {_y_words(chart, now)}{_beyond(now, plot.y)}"
        spare = room / svg.BOLD - svg.text_width(value, SIZE)
        words = svg.shortened(series.name, spare, SIZE) + value
        place = (plot.x.at(chart.now), plot.y.at(now))
        return _Tag(at, words, True, svg.text_width(words, SIZE, bold=True), (place,))
    points = [point for run in runs for point in run]
    if not points:
        return None
    words, last = svg.shortened(series.name, room, SIZE), len(points) - 1
    places = tuple(dict.fromkeys(points[round(part * last)] for part in _ALONG))
    return _Tag(at, words, False, svg.text_width(words, SIZE), places)


def _read(chart: Chart, plot: _Plot) -> list[tuple[float, float]]:
    """Where the readings are drawn, which words keep off."""
    return [(plot.x.at(x), plot.y.at(y)) for dots in chart.dots for _, (x, y) in _shown(dots, plot)]


_SAME = 6  # decimals of places and costs that are compared: sines differ in the last digits from machine to machine
_ALONG = (0.75, 0.5, 0.9, 0.6, 0.4, 0.25, 1.0, 0.1, 0.0)  # where along a line its name may stand, the best first


def _beyond(value: float, axis: _Axis) -> str:
    if axis.shows(value):
        return ""
    return " ↑" if value > axis.high else " ↓"


def _columns(runs: _Runs) -> _Columns:
    """For each narrow column of the picture, how high and how low a line passes there."""
    found: _Columns = {}
    for run in runs:
        for (x0, y0), (x1, y1) in pairwise(run if len(run) > 1 else run * 2):
            first, last = int(x0 // _COLUMN), int(x1 // _COLUMN)
            slope = (y1 - y0) / (x1 - x0) if x1 > x0 else 0.0
            for column in range(first, last + 1):
                left = y0 if column == first else y0 + (column * _COLUMN - x0) * slope
                right = y1 if column == last else y0 + ((column + 1) * _COLUMN - x0) * slope
                low, high = found.get(column, (math.inf, -math.inf))
                found[column] = (min(low, left, right), max(high, left, right))
    return found


def _placed(
    tags: list[_Tag], wanted: dict[int, list[_Wanted]], around: _Around, taken: list[_Spot]
) -> list[tuple[float, _Spot]]:
    """Give each tag in turn the best place that is left."""
    done: list[tuple[float, _Spot]] = []
    for tag in tags:
        done.append(_best(tag, wanted[tag.at], [*taken, *(spot for _, spot in done)], around))
    return done


def _best(tag: _Tag, wanted: list[_Wanted], spots: list[_Spot], around: _Around) -> tuple[float, _Spot]:
    """The nearest free place, off the lines if it can be; there is one, for `_check` asks for the height it takes."""
    best, least = _Spot(tag, *wanted[-1][1:]), math.inf
    for near, start, baseline, place in wanted:
        if near >= least:
            break
        spot = _Spot(tag, start, baseline, place)
        if any(spot.hits(other) for other in spots):
            continue
        cost = near + around.cost(spot)
        if tag.strong:
            cost += 200.0 * sum(spot.crossed(other) for other in spots if other.tag.strong)
        if (cost := round(cost, _SAME)) < least:
            best, least = spot, cost
    return least, best


def _levels(chart: Chart, plot: _Plot, runs: list[_Runs]) -> list[_Spot]:
    """The words of the level marks, on their lines, at the end where no line of the chart runs and none is yet."""
    lines = [_columns(one) for one in runs if one]
    lowest, highest = plot.bottom - _DESCENT - 2, plot.top + _ASCENT + 2
    uprights = [plot.x.at(mark.place) for _, mark in _upright(chart) if plot.x.shows(mark.place)]
    read = _read(chart, plot)
    spots: list[_Spot] = []
    for at, mark in _level(chart):
        if not plot.y.shows(mark.place):
            continue
        y = plot.y.at(mark.place)
        strong = mark.kind == "now"
        words = svg.shortened(mark.words, 0.6 * (plot.x.end - plot.x.start), SIZE)
        tag = _Tag(at, words, strong, svg.text_width(words, SIZE, bold=strong), ((plot.x.start, y),))
        starts = (plot.x.end - 4 - tag.width, plot.x.start + 4)
        free = [
            _Spot(tag, start, baseline, (plot.x.start, y))
            for baseline in (y - 4, y + _ASCENT + 3)
            for start in starts
            if highest <= baseline <= lowest
        ]
        free = [spot for spot in free if not any(spot.hits(other) for other in spots)]
        if free:
            spots.append(min(free, key=lambda spot: _crossings(spot, lines, uprights, read)))  # of equals the first
    return spots


def _crossings(spot: _Spot, lines: list[_Columns], uprights: list[float], read: list[tuple[float, float]]) -> int:
    crossed = 3 * sum(map(spot.lies_on, lines)) + sum(spot.start - 2 < x < spot.end + 2 for x in uprights)
    return crossed + 3 * sum(map(spot.covers, read))


def _level_words(chart: Chart, levels: list[_Spot], plot: _Plot, prefix: str) -> list[Element]:
    drawn = []
    for spot in levels:
        strong = " qt-strong" if spot.tag.strong else ""
        right = spot.end > (plot.x.start + plot.x.end) / 2
        drawn.append(svg.text(
            spot.end if right else spot.start, spot.baseline, spot.tag.words, size=SIZE,
            anchor="end" if right else "start", class_=f"qt-text qt-halo{strong}", id=f"{prefix}-label-{spot.tag.at}",
        ))  # fmt: skip
    return drawn


def _wanted(tag: _Tag, plot: _Plot) -> list[_Wanted]:
    """Every place for the words: how far off it is, their start, their baseline, what they stand at."""
    lowest, highest = plot.bottom - _DESCENT - 3, plot.top + _ASCENT + 3
    found = []
    for rank, (x, y) in enumerate(tag.places):
        level = min(max(y + 4, highest), lowest)
        rows = [level] + [highest + 6 * row for row in range(int((lowest - highest) // 6) + 1)]
        for side, start in enumerate((x + 9, x - 9 - tag.width, x - tag.width / 2)):
            held = min(max(start, plot.x.start + 4), plot.x.end - 4 - tag.width)
            over = 25 if tag.strong and held < x < held + tag.width else 0
            aside = 1.5 * abs(held - start) + (0, 1, 4)[side] + 2 * rank + over
            found += [(aside + abs(row - y - 4), held, row, (x, y)) for row in rows]
    return found


def _written(spot: _Spot, prefix: str) -> list[Element]:
    kind = "qt-text qt-halo qt-strong" if spot.tag.strong else "qt-text qt-halo"
    x, anchor = _hold(spot.start, spot.tag.width, spot.place[0])
    words = svg.text(
        x, spot.baseline, spot.tag.words, size=SIZE, anchor=anchor, class_=kind, id=f"{prefix}-tag-{spot.tag.at}"
    )
    end_x = min(max(spot.place[0], spot.start - 2), spot.end + 2)
    end_y = min(max(spot.place[1], spot.baseline - _ASCENT - 1), spot.baseline + _DESCENT + 1)
    if math.hypot(end_x - spot.place[0], end_y - spot.place[1]) < 11:
        return [words]
    return [svg.line(*spot.place, end_x, end_y, class_="qt-leader", id=f"{prefix}-leader-{spot.tag.at}"), words]


# Under the plot


def _under(chart: Chart, plot: _Plot) -> list[Element]:
    """What the x axis counts, between the words for its ends."""
    y = plot.bottom + 19 + ROW + 2
    before, after = (svg.shortened(words, 90, SIZE) for words in chart.x_ends)
    taken = max(svg.text_width(words, SIZE, bold=True) for words in (before, after)) + 10
    middle = (plot.x.start + plot.x.end) / 2
    room = 2 * min(middle - EDGE - taken, WIDTH - EDGE - taken - middle)
    kind = "qt-text qt-strong"
    drawn = [svg.text(middle, y, svg.shortened(chart.x_label, room, SIZE), size=SIZE, anchor="middle")]
    if before:
        drawn.append(svg.text(EDGE, y, before, size=SIZE, class_=kind))
    if after:
        drawn.append(svg.text(WIDTH - EDGE, y, after, size=SIZE, anchor="end", class_=kind))
    return drawn


def _key(chart: Chart, plot: _Plot, runs: list[_Runs], levels: list[_Spot], prefix: str) -> tuple[list[Element], float]:
    """What each hatching means, and what has no words in the plot. The height does not change with `now`."""
    y = plot.bottom + 19 + ROW + 12
    drawn: list[Element] = []
    for at, band in enumerate(chart.bands):
        words = band.words if _band_box(band, plot) else f"{band.words}: not in this range"
        box = (EDGE, y, 28.0, 15.0)
        drawn += [*_hatched(box, band.hatch, prefix, f"{prefix}-key-band-{at}"), svg.rect(*box, class_="qt-frame")]
        rows, y = _key_words(words, y, f"{prefix}-key-{at}")
        drawn += rows
    for at, ribbon in enumerate(chart.ribbons):
        words = ribbon.name if len(_area(ribbon, plot)) > 2 else f"{ribbon.name}: not in this range"
        box = (EDGE, y, 28.0, 15.0)
        drawn += [
            *_hatched(box, ribbon.hatch, prefix, f"{prefix}-ribbon-sample-{at}"),
            svg.rect(*box, class_="qt-frame"),
        ]
        rows, y = _key_words(words, y, f"{prefix}-ribbon-key-{at}")
        drawn += rows
    for at, dots in enumerate(chart.dots):
        drawn += _sign(dots.shape, EDGE + 14, y + 7.5, None)
        rows, y = _key_words(f"{dots.name}{_left_out(dots, plot)}", y, f"{prefix}-dots-key-{at}")
        drawn += rows
    for at, series in enumerate(chart.series):
        if not runs[at]:
            kind = f"qt-line qt-line-{series.kind}"
            drawn.append(svg.line(EDGE, y + 7, EDGE + 28, y + 7, class_=kind))
            rows, y = _key_words(f"{series.name}: nothing in this range", y, f"{prefix}-key-line-{at}")
            drawn += rows
    for at, mark in _level(chart):
        if all(spot.tag.at != at for spot in levels):
            drawn.append(svg.line(EDGE, y + 7, EDGE + 28, y + 7, class_=MARKS[mark.kind]))
            words = f"{mark.words}: {_y_words(chart, mark.place)}{_beyond(mark.place, plot.y)}"
            rows, y = _key_words(words, y, f"{prefix}-label-{at}")
            drawn += rows
    return drawn, y


def _left_out(dots: Dots, plot: _Plot) -> str:
    """How many readings the plot does not show."""
    missing = len(dots.points) - len(_shown(dots, plot))
    if not missing:
        return ""
    return f": {'none' if missing == len(dots.points) else f'{missing} of {len(dots.points)} not'} in this range"


def _key_words(words: str, y: float, key: str) -> tuple[list[Element], float]:
    lines = svg.wrapped(words, WIDTH - EDGE - 42, SIZE, 3)
    drawn = [
        svg.text(42, y + 12 + ROW * at, said, size=SIZE, id=key if at == 0 else f"{key}-{at}")
        for at, said in enumerate(lines)
    ]
    return drawn, y + ROW * max(len(lines), 1) + 5


# The chart in words


def _description(chart: Chart, plot: _Plot) -> str:
    low, high = plot.x.low, plot.x.high
    said = [f"{chart.y_label} over {chart.x_label}, from {_x_words(chart, low)} to {_x_words(chart, high)}."]
    said += [_line_in_words(chart, at, low, high) for at in range(len(chart.series))]
    for band in chart.bands:
        say = _x_words if band.axis == "x" else _y_words
        said.append(f"{band.words}: from {say(chart, band.start)} to {say(chart, band.end)}.")
    for mark in chart.marks:
        say = _x_words if mark.axis == "x" else _y_words
        said.append(f"{mark.words}: at {say(chart, mark.place)}.")
    said += [_ribbon_in_words(chart, ribbon, low, high) for ribbon in chart.ribbons]
    said += [_dots_in_words(chart, dots) for dots in chart.dots]
    return " ".join(said)


def _ribbon_in_words(chart: Chart, ribbon: Ribbon, low: float, high: float) -> str:
    """From where to where it goes now and at its ends, as far as the axis goes."""
    lower = Series(ribbon.name, tuple((x, y) for x, y, _ in ribbon.points))
    upper = Series(ribbon.name, tuple((x, y) for x, _, y in ribbon.points))
    ends = [max(low, ribbon.points[0][0]), min(high, ribbon.points[-1][0])] if ribbon.points else []
    places = [*([] if chart.now is None else [chart.now]), *(x for x in ends if low <= x <= high)]
    said = []
    for x in dict.fromkeys(places):
        least, most = value_at(lower, x), value_at(upper, x)
        if least is not None and most is not None:
            said.append(f"from {_y_words(chart, least)} to {_y_words(chart, most)} at {_x_words(chart, x)}")
    return f"{ribbon.name}: {', '.join(said) if said else 'nothing in this range'}."


def _dots_in_words(chart: Chart, dots: Dots) -> str:
    said = []
    for at, (x, y) in enumerate(dots.points[:MOST_SAID]):
        error = dots.errors[at] if dots.errors else None
        doubt = "" if error is None else f", give or take {_y_words(chart, error)}"
        said.append(f"{_y_words(chart, y)} at {_x_words(chart, x)}{doubt}")
    more = len(dots.points) - MOST_SAID
    if more > 0:
        said.append(f"and {more} more")
    return f"{dots.name}: {'; '.join(said) if said else 'none'}."


def _line_in_words(chart: Chart, at: int, low: float, high: float) -> str:
    """Its value now and at its ends, as far as the axis goes."""
    said, series = [], chart.series[at]
    if chart.now is not None:
        value = _value_now(chart, at)
        words = "no value" if value is None else _y_words(chart, value)
        said.append(f"{words} at {_x_words(chart, chart.now)} ({chart.now_words})")
    known = [x for x, y in series.points if y is not None]
    ends = [] if not known else [max(low, known[0]), min(high, known[-1])]
    values = [(x, value_at(series, x)) for x in dict.fromkeys(ends) if low <= x <= high]
    said += [f"{_y_words(chart, y)} at {_x_words(chart, x)}" for x, y in values if y is not None]
    return f"{series.name}: {', '.join(said) if said else 'nothing in this range'}."
