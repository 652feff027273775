"""A line chart: a few quantities over one, with hatched stretches and areas, marks, readings and values at one place.

Lines are told apart by their dashes and by their names, which stand at them; stretches and areas by their hatching,
readings by the shape of their signs, both named under the chart; upright marks by words over it, level ones by words at
them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.chart_data import (
    MARKS,
    Chart,
    Dots,
    Ribbon,
    Series,
    check,
    level,
    value_at,
    value_now,
    x_words,
    y_words,
)
from quarterturn.figures.chart_labels import beyond, level_placements, level_words, now_words, series_labels
from quarterturn.figures.chart_plot import (
    EDGE,
    Plot,
    Runs,
    band_box,
    bands,
    dot_sign,
    dots_drawing,
    grid,
    hatched,
    lines,
    marks,
    now_line,
    now_points,
    patterns,
    plot_of,
    ribbon_area,
    ribbons,
    stated,
    visible_dots,
    visible_runs,
)
from quarterturn.figures.labels import Placement
from quarterturn.figures.svg import HEADING, ROW, SIZE, WIDTH, Element, Picture

MOST_SAID = 12
"""So many readings of one kind are told one by one in the chart's words."""


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
    units per unit of the field), data-drag-unit (that unit, where it is told), data-drag-low and data-drag-high. In it,
    by id and place in the chart: PREFIX-line-0, PREFIX-band-0, PREFIX-mark-0, PREFIX-now, PREFIX-now-point-0,
    PREFIX-tag-0 (a series' words), PREFIX-label-0 (a mark's words; of a level one under the plot where there is no
    place at it), PREFIX-key-0 (a band's words), PREFIX-ribbon-0 with PREFIX-ribbon-key-0, PREFIX-dots-0 with
    PREFIX-dots-key-0, and in that PREFIX-dot-0-0 (its place as data-x and data-y, user units) and PREFIX-dot-0-0-bar (a
    reading's error bar).

    Raises:
        ValueError: a number is not finite, points are out of order, a range has no length or is too long, short or
            fine for its numbers to be written, a kind is not known or stands for two things, a ribbon's low is over its
            high, an error is negative, or there are too many series for the height.
    """
    # With a fixed axis the present place changes nothing of the rest, which is kept from one answer to the next.
    movable = chart.x_range is not None and chart.now is not None
    still = replace(chart, now=chart.x_range[0], now_values=()) if movable and chart.x_range else chart
    check(chart)
    backdrop = _backdrop(still, prefix, title)
    plot, runs = backdrop.plot, backdrop.runs
    drawn = svg.group(
        *backdrop.under,
        *now_line(chart, plot, prefix),
        *level_words(backdrop.levels, plot, prefix),
        *backdrop.lines,
        *now_points(chart, plot, prefix),
        *backdrop.dots,
        *series_labels(chart, plot, runs, backdrop.levels, prefix),
        *now_words(chart, plot, prefix),
        id=f"{prefix}-plot", **stated(chart, plot),
    )  # fmt: skip
    key, bottom = _key(chart, plot, runs, backdrop.levels, prefix)
    children = [*backdrop.above, drawn, *backdrop.below, *key]
    return svg.picture(name, title, _description(chart, plot), WIDTH, bottom, children, prefix=prefix)


@dataclass(frozen=True, slots=True)
class _Backdrop:
    """What of a chart does not depend on the present place."""

    plot: Plot
    runs: list[Runs]
    levels: list[Placement]
    under: tuple[Element, ...]
    lines: tuple[Element, ...]
    dots: tuple[Element, ...]
    above: tuple[Element, ...]
    below: tuple[Element, ...]


@lru_cache(maxsize=16)
def _backdrop(chart: Chart, prefix: str, title: str) -> _Backdrop:
    headings = svg.wrapped(title, WIDTH - 2 * EDGE, HEADING, 2, bold=True)
    plot = plot_of(chart, len(headings))
    runs = [visible_runs(series, plot) for series in chart.series]
    return _Backdrop(
        plot,
        runs,
        level_placements(chart, plot, runs),
        under=(
            svg.rect(*plot.box, class_="qt-plot"),
            *bands(chart, plot, prefix),
            *ribbons(chart, plot, prefix),
            *grid(chart, plot, prefix),
            *marks(chart, plot, prefix),
        ),
        lines=tuple(lines(chart, plot, runs, prefix)),
        dots=tuple(dots_drawing(chart, plot, prefix)),
        above=(
            patterns(chart, prefix),
            *svg.heading(headings, EDGE),
            svg.text(EDGE, plot.label_y, svg.shortened(chart.y_label, WIDTH - 2 * EDGE, SIZE), size=SIZE),
        ),
        below=tuple(_under(chart, plot)),
    )


# Under the plot


def _under(chart: Chart, plot: Plot) -> list[Element]:
    """What the x axis counts, between the words for its ends."""
    y = plot.bottom + 19 + ROW + 2
    before, after = (svg.shortened(words, 90, SIZE) for words in chart.x_ends)
    taken = max(svg.text_width(words, SIZE, bold=True) for words in (before, after)) + 10
    middle = (plot.left + plot.right) / 2
    room = 2 * min(middle - EDGE - taken, WIDTH - EDGE - taken - middle)
    kind = "qt-text qt-strong"
    drawn = [svg.text(middle, y, svg.shortened(chart.x_label, room, SIZE), size=SIZE, anchor="middle")]
    if before:
        drawn.append(svg.text(EDGE, y, before, size=SIZE, class_=kind))
    if after:
        drawn.append(svg.text(WIDTH - EDGE, y, after, size=SIZE, anchor="end", class_=kind))
    return drawn


def _key(
    chart: Chart, plot: Plot, runs: list[Runs], levels: list[Placement], prefix: str
) -> tuple[list[Element], float]:
    """What each hatching means, and what has no words in the plot. The height does not change with `now`."""
    y = plot.bottom + 19 + ROW + 12
    drawn: list[Element] = []
    for at, band in enumerate(chart.bands):
        words = band.words if band_box(band, plot) else f"{band.words}: not in this range"
        box = (EDGE, y, 28.0, 15.0)
        drawn += [*hatched(box, band.hatch, prefix, f"{prefix}-key-band-{at}"), svg.rect(*box, class_="qt-frame")]
        rows, y = _key_words(words, y, f"{prefix}-key-{at}")
        drawn += rows
    for at, ribbon in enumerate(chart.ribbons):
        words = ribbon.name if len(ribbon_area(ribbon, plot)) > 2 else f"{ribbon.name}: not in this range"
        box = (EDGE, y, 28.0, 15.0)
        drawn += [
            *hatched(box, ribbon.hatch, prefix, f"{prefix}-ribbon-sample-{at}"),
            svg.rect(*box, class_="qt-frame"),
        ]
        rows, y = _key_words(words, y, f"{prefix}-ribbon-key-{at}")
        drawn += rows
    for at, dots in enumerate(chart.dots):
        drawn += dot_sign(dots.shape, EDGE + 14, y + 7.5, None)
        rows, y = _key_words(f"{dots.name}{_left_out(dots, plot)}", y, f"{prefix}-dots-key-{at}")
        drawn += rows
    for at, series in enumerate(chart.series):
        if not runs[at]:
            kind = f"qt-line qt-line-{series.kind}"
            drawn.append(svg.line(EDGE, y + 7, EDGE + 28, y + 7, class_=kind))
            rows, y = _key_words(f"{series.name}: nothing in this range", y, f"{prefix}-key-line-{at}")
            drawn += rows
    for at, mark in level(chart):
        if all(words.label.key != str(at) for words in levels):
            drawn.append(svg.line(EDGE, y + 7, EDGE + 28, y + 7, class_=MARKS[mark.kind]))
            words = f"{mark.words}: {y_words(chart, mark.place)}{beyond(mark.place, plot.y)}"
            rows, y = _key_words(words, y, f"{prefix}-label-{at}")
            drawn += rows
    return drawn, y


def _left_out(dots: Dots, plot: Plot) -> str:
    """How many readings the plot does not show."""
    missing = len(dots.points) - len(visible_dots(dots, plot))
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


def _description(chart: Chart, plot: Plot) -> str:
    low, high = plot.x.low, plot.x.high
    said = [f"{chart.y_label} over {chart.x_label}, from {x_words(chart, low)} to {x_words(chart, high)}."]
    said += [_line_in_words(chart, at, low, high) for at in range(len(chart.series))]
    for band in chart.bands:
        say = x_words if band.axis == "x" else y_words
        said.append(f"{band.words}: from {say(chart, band.start)} to {say(chart, band.end)}.")
    for mark in chart.marks:
        say = x_words if mark.axis == "x" else y_words
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
            said.append(f"from {y_words(chart, least)} to {y_words(chart, most)} at {x_words(chart, x)}")
    return f"{ribbon.name}: {'; '.join(said) if said else 'nothing in this range'}."


def _dots_in_words(chart: Chart, dots: Dots) -> str:
    said = []
    for at, (x, y) in enumerate(dots.points[:MOST_SAID]):
        error = dots.errors[at] if dots.errors else None
        doubt = "" if error is None else f", give or take {y_words(chart, error)}"
        said.append(f"{y_words(chart, y)} at {x_words(chart, x)}{doubt}")
    more = len(dots.points) - MOST_SAID
    if more > 0:
        said.append(f"and {more} more")
    return f"{dots.name}: {'; '.join(said) if said else 'none'}."


def _line_in_words(chart: Chart, at: int, low: float, high: float) -> str:
    """Its value now and at its ends, as far as the axis goes."""
    said, series = [], chart.series[at]
    if chart.now is not None:
        value = value_now(chart, at)
        words = "no value" if value is None else y_words(chart, value)
        said.append(f"{words} at {x_words(chart, chart.now)} ({chart.now_words})")
    known = [x for x, y in series.points if y is not None]
    ends = [] if not known else [max(low, known[0]), min(high, known[-1])]
    values = [(x, value_at(series, x)) for x in dict.fromkeys(ends) if low <= x <= high]
    said += [f"{y_words(chart, y)} at {x_words(chart, x)}" for x, y in values if y is not None]
    return f"{series.name}: {'; '.join(said) if said else 'nothing in this range'}."
