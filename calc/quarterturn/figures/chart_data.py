"""What a line chart shows: lines, stretches, areas, readings and marks; what it refuses; and its values in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from quarterturn import days
from quarterturn.numbers import fixed

KINDS = ("solid", "dashed", "dotted", "dash-dot")
MARKS = {"now": "qt-now", "limit": "qt-edge qt-edge-limit", "plain": "qt-middle"}
HATCHES = ("rising", "falling", "crossed", "upright", "level", "dots")
SHAPES = ("cross", "ring", "square")
MOST_SERIES = 5


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
    the unit `drag_unit` ("" where the field has but one), from `drag_low` to `drag_high` (the x axis where None). With
    `x_day` x counts days from that one (as `days` does), and is written as a date.
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
    drag_unit: str = ""
    drag_low: float | None = None
    drag_high: float | None = None
    height: float = 184.0
    ribbons: tuple[Ribbon, ...] = ()
    dots: tuple[Dots, ...] = ()
    x_day: int | None = None


# Checks


def check(chart: Chart) -> None:
    """Refuse what cannot be drawn.

    Raises:
        ValueError: as `line_chart`.
    """
    if not chart.series:
        raise ValueError("a chart needs a series")
    if len(chart.series) > MOST_SERIES:
        raise ValueError(f"at most {MOST_SERIES} series: {len(chart.series)}")
    lowest = 40.0 + 33.0 * (len(chart.series) + len(level(chart)) - 1)
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
        check_finite("mark", mark.place)
        if mark.kind not in MARKS or mark.axis not in ("x", "y"):
            raise ValueError(f"no such kind of mark: {mark.kind} along {mark.axis}")
    for value in (chart.now, chart.drag_low, chart.drag_high):
        if value is not None:
            check_finite("now and the ends of a drag", value)
    if chart.now_values and len(chart.now_values) != len(chart.series):
        raise ValueError(f"now_values must be one for each series: {len(chart.now_values)} for {len(chart.series)}")


def upright(chart: Chart) -> list[tuple[int, Mark]]:
    """The marks at a value of x, with their places in the chart."""
    return [(at, mark) for at, mark in enumerate(chart.marks) if mark.axis == "x"]


def level(chart: Chart) -> list[tuple[int, Mark]]:
    """The marks at a value of y, with their places in the chart."""
    return [(at, mark) for at, mark in enumerate(chart.marks) if mark.axis == "y"]


def check_finite(what: str, *values: float) -> None:
    """Refuse what is not finite."""
    if not all(map(math.isfinite, values)):
        raise ValueError(f"{what} must be finite: {values}")


def _check_series(series: Series) -> None:
    if series.kind not in KINDS:
        raise ValueError(f"no such kind of line: {series.kind}")
    before = -math.inf
    for x, y in series.points:
        check_finite(series.name, x, 0.0 if y is None else y)
        if x < before:
            raise ValueError(f"the points of {series.name} must be in the order of x: {x} after {before}")
        before = x


def _check_band(band: Band) -> None:
    check_finite("band", band.start, band.end)
    if band.start > band.end:
        raise ValueError(f"a band must not end before it starts: {band.start} to {band.end}")
    if band.hatch not in HATCHES or band.axis not in ("x", "y"):
        raise ValueError(f"no such band: {band.hatch} along {band.axis}")


def _check_ribbon(ribbon: Ribbon) -> None:
    if ribbon.hatch not in HATCHES:
        raise ValueError(f"no such ribbon: {ribbon.hatch}")
    before = -math.inf
    for x, low, high in ribbon.points:
        check_finite(ribbon.name, x, low, high)
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
        check_finite(dots.name, *point)
    for error in dots.errors:
        if error is not None:
            check_finite(dots.name, error)
            if error < 0:
                raise ValueError(f"an error must not be negative: {error}")


# Values


def bar_ends(dots: Dots, at: int) -> tuple[float, float]:
    """From where to where a reading's bar goes."""
    y, half = dots.points[at][1], (dots.errors[at] if dots.errors else None) or 0.0
    return y - half, y + half


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


def value_now(chart: Chart, at: int) -> float | None:
    """What a series is at the present x."""
    if chart.now is None:
        return None
    return chart.now_values[at] if chart.now_values else value_at(chart.series[at], chart.now)


def shown_words(value: float, decimals: int, day: int | None) -> str:
    """As it is written at an axis; as a date where it counts days from one."""
    return fixed(value, decimals) if day is None else days.isoformat(day + round(value))


def _with_unit(value: float, decimals: int, unit: str) -> str:
    said = fixed(value, decimals)
    return f"{said}{'' if unit in ('', '°', '%') else ' '}{unit}"


def x_words(chart: Chart, x: float) -> str:
    """A value of x with its unit, or as a date."""
    if chart.x_day is not None:
        return shown_words(x, 0, chart.x_day)
    return _with_unit(x, chart.x_decimals, chart.x_unit)


def y_words(chart: Chart, y: float) -> str:
    """A value of y with its unit."""
    return _with_unit(y, chart.y_decimals, chart.y_unit)
