"""The plot of a line chart: its axes, and all that is drawn in it but the words at the lines."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from quarterturn.figures import svg
from quarterturn.figures.axis import PLACES, Axis, Point, axis_between, clipped_part, round_steps, ticks
from quarterturn.figures.chart_data import (
    MARKS,
    Band,
    Chart,
    Dots,
    Mark,
    Ribbon,
    Series,
    bar_ends,
    check_finite,
    level,
    shown_words,
    upright,
    value_now,
)
from quarterturn.figures.labels import Flag, flag_drawing, placed_flags, pointing
from quarterturn.figures.svg import ROW, SIZE, WIDTH, Element
from quarterturn.numbers import fixed, rounded

EDGE = 4.0
LARGEST = 1e7  # an axis goes no farther, so that its numbers stay short
SHORTEST = 1e-6  # and is no shorter
FINEST = 1e-4  # nor shorter against the larger of its ends
UNDER = 56.0  # where a plot over dates begins, so that several stand right under one another
_FAR = 1e15  # a value beyond this is drawn as if it were there: off any axis

Runs = list[list[Point]]
"""What can be seen of a line, piece by piece, in user units."""


# Axes


def _checked_range(what: str, low: float, high: float) -> tuple[float, float]:
    check_finite(what, low, high)
    low, high = rounded(low), rounded(high)
    size = max(abs(low), abs(high))
    if not high - low >= max(SHORTEST, FINEST * size) or size > LARGEST:
        raise ValueError(
            f"{what} must have a length and stay within ±{LARGEST:g}, at least {FINEST:g} of its larger end and"
            f" {SHORTEST:g} long; choose another unit: {low} to {high}"
        )
    return low, high


def _room_around(values: list[float]) -> tuple[float, float]:
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
    return _checked_range("x", *_room_around(values if chart.now is None else [*values, chart.now]))


def _y_range(chart: Chart) -> tuple[float, float]:
    if chart.y_range is not None:
        return _checked_range("y_range", *chart.y_range)
    values = [y for one in chart.series for _, y in one.points if y is not None]
    values += [y for ribbon in chart.ribbons for point in ribbon.points for y in point[1:]]
    values += [y for dots in chart.dots for at in range(len(dots.points)) for y in bar_ends(dots, at)]
    low, high = _checked_range("y", *_room_around(values))
    step = next(step for step, _ in round_steps(high - low) if high - low <= 5 * step * (1 + 1e-9))
    return rounded(math.floor(low / step + 1e-9) * step), rounded(math.ceil(high / step - 1e-9) * step)


@dataclass(frozen=True, slots=True)
class Plot:
    """Where everything is, in user units: the axes, the values and words of their ticks, the flags of the marks.

    `label_y` and `now_y` are the baselines of the words for the y axis and for the present place.
    """

    x: Axis
    y: Axis
    left: float
    right: float
    top: float
    bottom: float
    x_ticks: list[tuple[float, str]]
    y_ticks: list[tuple[float, str]]
    flags: list[Flag]
    label_y: float
    now_y: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, width and height."""
        return self.left, self.top, self.right - self.left, self.bottom - self.top


def plot_of(chart: Chart, headings: int) -> Plot:
    """Lay out a chart under so many lines of heading."""
    first, last = _y_range(chart)
    step, decimals = next(one for one in round_steps(last - first) if one[0] * chart.height >= 26 * (last - first))
    y_ticks = [(value, fixed(value, decimals)) for value in ticks(first, last, step)]
    x, right, x_ticks = _x_axis(chart, EDGE + _widest(y_ticks) + 10)
    flags = placed_flags([_flag(mark, x, at) for at, mark in upright(chart)])
    label_y = 16 + headings * ROW + 2
    now_y = label_y + ROW * (1 + max((flag.row for flag in flags), default=-1)) + (0 if chart.now is None else ROW) + 2
    top = now_y + 9
    bottom = top + chart.height
    y = axis_between(first, last, bottom, top, clamp=True, decimals=PLACES)
    return Plot(x, y, x.start, right, top, bottom, x_ticks, y_ticks, flags, label_y, now_y)


def _widest(labelled: list[tuple[float, str]]) -> float:
    return max((svg.text_width(words, SIZE) for _, words in labelled), default=0.0)


def _x_axis(chart: Chart, left: float) -> tuple[Axis, float, list[tuple[float, str]]]:
    """The axis with the finest step whose numbers have room beside one another; its end; its ticks."""
    low, high = _x_range(chart)
    day = chart.x_day
    for step, decimals in round_steps(high - low):
        if (high - low) / step > 40 or (day is not None and step < 1):
            continue
        labelled = [(value, shown_words(value, decimals, day)) for value in ticks(low, high, step)]
        wide = _widest(labelled)
        start, end = max(left, wide / 2 + 2, 0.0 if day is None else UNDER), WIDTH - max(2 * EDGE, wide / 2 + 2)
        if step * (end - start) >= (wide + 10) * (high - low):
            break
    return axis_between(low, high, start, end, clamp=True, decimals=PLACES), end, labelled


def _flag(mark: Mark, axis: Axis, at: int) -> tuple[str, str, float, bool]:
    words = pointing(svg.shortened(mark.words, 0.45 * WIDTH, SIZE), mark.place, axis)
    return str(at), words, axis.at(mark.place), mark.kind == "now"


def stated(chart: Chart, plot: Plot) -> dict[str, str]:
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
    if chart.drag_field and chart.drag_unit:
        stated["data_drag_unit"] = chart.drag_unit
    return stated


# Under and behind the lines


def patterns(chart: Chart, prefix: str) -> Element:
    """The hatchings that the chart uses."""
    kinds = sorted({band.hatch for band in chart.bands} | {ribbon.hatch for ribbon in chart.ribbons})
    return svg.element("defs", *(svg.hatching(f"{prefix}-hatch-{kind}", kind, 6) for kind in kinds))


def band_box(band: Band, plot: Plot) -> tuple[float, float, float, float] | None:
    """x, y, width and height of what can be seen of a band; None where that is nothing."""
    axis = plot.x if band.axis == "x" else plot.y
    if band.end < axis.low or band.start > axis.high:
        return None
    start, end = axis.at(band.start), axis.at(band.end)
    if band.axis == "x":
        return start, plot.top, end - start, plot.bottom - plot.top
    return plot.left, end, plot.right - plot.left, start - end


def bands(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """The hatched stretches."""
    drawn = []
    for at, band in enumerate(chart.bands):
        if (box := band_box(band, plot)) is not None:
            drawn += hatched(box, band.hatch, prefix, f"{prefix}-band-{at}")
    return drawn


def hatched(box: tuple[float, float, float, float], hatch: str, prefix: str, key: str) -> list[Element]:
    """A hatched rectangle: x, y, width and height."""
    return [
        svg.rect(*box, class_="qt-band", id=key, data_hatch=hatch),
        svg.rect(*box, class_="qt-band-hatch", fill=f"url(#{prefix}-hatch-{hatch})"),
    ]


def ribbons(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """The hatched areas between two curves."""
    drawn = []
    for at, ribbon in enumerate(chart.ribbons):
        if len(corners := ribbon_area(ribbon, plot)) > 2:
            drawn += [
                svg.polygon(corners, class_="qt-ribbon", id=f"{prefix}-ribbon-{at}", data_hatch=ribbon.hatch),
                svg.polygon(corners, class_="qt-band-hatch", fill=f"url(#{prefix}-hatch-{ribbon.hatch})"),
            ]
    return drawn


def ribbon_area(ribbon: Ribbon, plot: Plot) -> list[Point]:
    """The corners of what can be seen of a ribbon, in user units (Sutherland & Hodgman 1974)."""
    corners = [(x, high) for x, _, high in ribbon.points] + [(x, low) for x, low, _ in reversed(ribbon.points)]
    corners = [(min(max(x, -_FAR), _FAR), min(max(y, -_FAR), _FAR)) for x, y in corners]
    for axis, edge, sign in ((0, plot.x.low, 1), (0, plot.x.high, -1), (1, plot.y.low, 1), (1, plot.y.high, -1)):
        kept: list[Point] = []
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


def grid(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """Rules across at round values, those at zero stronger, a frame, and the numbers outside it."""
    drawn = []
    for value, words in plot.y_ticks:
        y = plot.y.at(value)
        kind = "qt-zero" if value == 0 else "qt-grid"
        drawn.append(svg.line(plot.left, y, plot.right, y, class_=kind))
        drawn.append(svg.text(plot.left - 7, y + 4, words, size=SIZE, anchor="end", class_="qt-text qt-tick-y"))
    for value, words in plot.x_ticks:
        x = plot.x.at(value)
        kind = "qt-zero" if value == 0 and chart.x_day is None else "qt-grid"
        drawn.append(svg.line(x, plot.top, x, plot.bottom, class_=kind))
        drawn.append(svg.line(x, plot.bottom, x, plot.bottom + 5, class_="qt-tick"))
        drawn.append(svg.text(x, plot.bottom + 19, words, size=SIZE, anchor="middle", class_="qt-text qt-tick-x"))
    return [svg.group(*drawn, svg.rect(*plot.box, class_="qt-frame"), id=f"{prefix}-axes")]


def marks(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """The lines across the plot, and the words over the upright ones."""
    drawn = []
    for at, mark in level(chart):
        if plot.y.shows(mark.place):
            y = plot.y.at(mark.place)
            drawn.append(svg.line(plot.left, y, plot.right, y, class_=MARKS[mark.kind], id=f"{prefix}-mark-{at}"))
    for at, mark in upright(chart):
        if plot.x.shows(mark.place):
            x = plot.x.at(mark.place)
            drawn.append(svg.line(x, plot.top, x, plot.bottom, class_=MARKS[mark.kind], id=f"{prefix}-mark-{at}"))
    for flag in plot.flags:
        mark = chart.marks[int(flag.key)]
        baseline = plot.now_y - (0 if chart.now is None else ROW) - flag.row * ROW
        pole = MARKS[mark.kind].replace("qt-middle", "qt-mark") if plot.x.shows(mark.place) else None
        drawn += flag_drawing(flag, baseline, plot.top, pole, f"{prefix}-label-{flag.key}")
    return drawn


def now_line(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """The upright line at the present x, with a grip where it can be dragged."""
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


# The lines


def visible_runs(series: Series, plot: Plot) -> Runs:
    """What can be seen of a line, piece by piece, in user units."""
    runs: list[list[Point]] = []
    before: Point | None = None
    for x, y in series.points:
        point = None if y is None else (min(max(x, -_FAR), _FAR), min(max(y, -_FAR), _FAR))
        if point is not None and before is None and _inside(point, plot):
            runs.append([point])
        if point is not None and before is not None and (piece := _visible(before, point, plot)) is not None:
            joins = runs and runs[-1][-1] == piece[0] == before
            runs[-1:] = [[*runs[-1], piece[1]]] if joins else [*runs[-1:], list(piece)]
        before = point
    return [[(plot.x.at(x), plot.y.at(y)) for x, y in run] for run in runs]


def _inside(point: Point, plot: Plot) -> bool:
    return plot.x.shows(point[0]) and plot.y.shows(point[1])


def _visible(start: Point, end: Point, plot: Plot) -> tuple[Point, Point] | None:
    """The part of a straight line that lies in the plot, None for nothing."""
    (left, right), (low, high) = plot.x.ends, plot.y.ends
    parts = clipped_part(start, end, (left, low, right, high))
    if parts is None:
        return None

    def along(part: float) -> Point:
        if part in (0.0, 1.0):
            return end if part else start
        return start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])

    return along(parts[0]), along(parts[1])


def lines(chart: Chart, plot: Plot, runs: list[Runs], prefix: str) -> list[Element]:
    """The lines, as far as they can be seen."""
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


def dots_drawing(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """The readings that lie in the plot, each over its error bar, which ends with the plot."""
    drawn = []
    for at, dots in enumerate(chart.dots):
        parts: list[Element] = []
        for place, point in visible_dots(dots, plot):
            x, y = plot.x.at(point[0]), plot.y.at(point[1])
            low, high = bar_ends(dots, place)
            key = f"{prefix}-dot-{at}-{place}"
            if low < high:
                parts.append(_bar(x, low, high, plot, f"{key}-bar"))
            parts += dot_sign(dots.shape, x, y, key)
        if parts:
            drawn.append(svg.group(*parts, id=f"{prefix}-dots-{at}"))
    return drawn


def visible_dots(dots: Dots, plot: Plot) -> list[tuple[int, Point]]:
    """The readings that lie in the plot, with their places in the list."""
    return [(place, point) for place, point in enumerate(dots.points) if _inside(point, plot)]


def _bar(x: float, low: float, high: float, plot: Plot, key: str) -> Element:
    """An error bar with a stroke across each end that the plot shows."""
    bottom, top = plot.y.at(low), plot.y.at(high)
    parts: list[str | float] = ["M", x, bottom, "V", top]
    for value, y in ((low, bottom), (high, top)):
        if plot.y.shows(value):
            parts += ["M", x - 4, y, "H", x + 4]
    return svg.path(*parts, class_="qt-error-bar", id=key)


def dot_sign(shape: str, x: float, y: float, key: str | None) -> list[Element]:
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


def now_points(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """Where every line is now."""
    drawn: list[Element] = []
    if chart.now is None or not plot.x.shows(chart.now):
        return drawn
    for at in range(len(chart.series)):
        now = value_now(chart, at)
        if now is not None and plot.y.shows(now):
            key = f"{prefix}-now-point-{at}"
            drawn.append(svg.circle(plot.x.at(chart.now), plot.y.at(now), 4, class_="qt-point", id=key))
    return drawn
