"""The words at the lines of a chart: each series' name and value, the words of level marks, and those for now.

A place for words is judged by how far off it is and by what it lies on: lines, upright marks, readings, other words.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from quarterturn.figures import svg
from quarterturn.figures.axis import PLACES, Axis, Point
from quarterturn.figures.chart_data import Chart, level, upright, value_now, x_words, y_words
from quarterturn.figures.chart_plot import Plot, Runs, visible_dots
from quarterturn.figures.labels import ASCENT, DESCENT, Label, Placement, anchored, best_placement, pointing
from quarterturn.figures.svg import SIZE, WIDTH, Element

GAP = (4.0, 2.0)
"""How far words are from other words, across and down."""
_COLUMN = 9.0  # user units: how finely labels look where the lines are
_ALONG = (0.75, 0.5, 0.9, 0.6, 0.4, 0.25, 1.0, 0.1, 0.0)  # where along a line its name may stand, the best first

_Columns = dict[int, Point]
"""How high and how low a line passes, by the number of a narrow column of the picture."""


def now_words(chart: Chart, plot: Plot, prefix: str) -> list[Element]:
    """In a row of their own over the plot, beside the upright marks that pass there."""
    if chart.now is None:
        return []
    said = svg.shortened(f"{chart.now_words} {x_words(chart, chart.now)}", 200, SIZE)
    words, x = pointing(said, chart.now, plot.x), plot.x.at(chart.now)
    width = svg.text_width(words, SIZE, bold=True)
    poles = [plot.x.at(mark.place) for _, mark in upright(chart) if plot.x.shows(mark.place)]
    starts = [min(max(start, 2.0), WIDTH - 2 - width) for start in (x - width / 2, x + 8, x - 8 - width)]
    start = min(starts, key=lambda one: (sum(one - 3 < pole < one + width + 3 for pole in poles), starts.index(one)))
    at, anchor = anchored(start, width, x)
    kind = "qt-text qt-halo qt-strong"
    return [svg.text(at, plot.now_y - 2, words, size=SIZE, anchor=anchor, class_=kind, id=f"{prefix}-now-words")]


# What words keep off


def _columns(runs: Runs) -> _Columns:
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


def _lies_on(words: Placement, columns: _Columns) -> bool:
    top, bottom = words.baseline - ASCENT - 1, words.baseline + DESCENT + 1
    for column in range(int(words.start // _COLUMN), int(words.end // _COLUMN) + 1):
        if column in columns:
            low, high = columns[column]
            if low < bottom and high > top:
                return True
    return False


def _distance(words: Placement, columns: _Columns) -> float:
    """How far over or under the middle of the words the line passes."""
    low, high = columns.get(int((words.start + words.end) / 2 // _COLUMN), (math.inf, math.inf))
    return max(low - words.baseline, words.baseline - 4 - high, 0.0)


def _crosses_upright(words: Placement, uprights: list[float]) -> int:
    return sum(words.start - 2 < x < words.end + 2 for x in uprights)


def _out_of_order(words: Placement, other: Placement) -> bool:
    """The words would stand in another order than what they name."""
    return (words.target[1] - other.target[1]) * (words.baseline - other.baseline) < 0


class _Obstacles:
    """What the words keep off: the lines, by place in the chart, what stands upright, the points of now, readings."""

    def __init__(self, lines: dict[int, _Columns], uprights: list[float], points: list[Point]) -> None:
        self.lines = lines
        self.uprights = uprights
        self.points = points
        self.known: dict[tuple[str, float, float], float] = {}  # the same places are asked for in both orders

    def cost(self, words: Placement) -> float:
        """The cost of what a placement lies on."""
        key = (words.label.key, words.start, words.baseline)
        found = self.known.get(key)
        if found is None:
            found = self.known[key] = self._cost(words)
        return found

    def _cost(self, words: Placement) -> float:
        own, cost = int(words.label.key), 25.0 * _crosses_upright(words, self.uprights)
        for at, columns in self.lines.items():
            if _lies_on(words, columns):
                cost += 25.0 if at == own else 60.0
        for point in self.points:
            if words.covers(point, 5):
                cost += 150.0
        if not words.label.strong and own in self.lines:
            near = _distance(words, self.lines[own])
            others = [columns for at, columns in self.lines.items() if at != own]
            cost += 25.0 * sum(_distance(words, columns) <= near for columns in others)
        return cost


def _uprights(chart: Chart, plot: Plot) -> list[float]:
    return [plot.x.at(mark.place) for _, mark in upright(chart) if plot.x.shows(mark.place)]


def _readings(chart: Chart, plot: Plot) -> list[Point]:
    """Where the readings are drawn, which words keep off."""
    return [(plot.x.at(x), plot.y.at(y)) for dots in chart.dots for _, (x, y) in visible_dots(dots, plot)]


# The series' labels


def series_labels(chart: Chart, plot: Plot, runs: list[Runs], levels: list[Placement], prefix: str) -> list[Element]:
    """Each series' name, with its value now, at its line: in the better of two orders, from above and from below."""
    labels = [label for at in range(len(runs)) if (label := _series_label(chart, plot, at, runs[at])) is not None]
    uprights = _uprights(chart, plot)
    if chart.now is not None and plot.x.shows(chart.now):
        uprights.append(plot.x.at(chart.now))
    points = [label.targets[0] for label in labels if label.strong] + _readings(chart, plot)
    obstacles = _Obstacles({at: _columns(one) for at, one in enumerate(runs) if one}, uprights, points)
    down = sorted(labels, key=lambda label: (not label.strong, label.targets[0][1], int(label.key)))
    up = sorted(labels, key=lambda label: (not label.strong, -label.targets[0][1], -int(label.key)))
    wanted = {label.key: sorted(_candidates(label, plot)) for label in labels}
    ways = [_in_turn(order, wanted, obstacles, levels) for order in ((down, up) if len(labels) > 1 else (down,))]
    placed = min(ways, key=lambda way: round(math.fsum(cost for cost, _ in way), PLACES))
    return [one for _, words in placed for one in _written(words, prefix)]


def _series_label(chart: Chart, plot: Plot, at: int, runs: Runs) -> Label | None:
    """A series' name with its value now; its name alone where it has none now; nothing where it is not seen."""
    series, room = chart.series[at], plot.right - plot.left - 8
    now = value_now(chart, at) if chart.now is not None and plot.x.shows(chart.now) else None
    if now is not None and chart.now is not None:
        value = f" {y_words(chart, now)}{beyond(now, plot.y)}"
        spare = room / svg.BOLD - svg.text_width(value, SIZE)
        words = svg.shortened(series.name, spare, SIZE) + value
        return Label(str(at), ((words,),), ((plot.x.at(chart.now), plot.y.at(now)),), strong=True)
    points = [point for run in runs for point in run]
    if not points:
        return None
    words, last = svg.shortened(series.name, room, SIZE), len(points) - 1
    places = tuple(dict.fromkeys(points[round(part * last)] for part in _ALONG))
    return Label(str(at), ((words,),), places, strong=False)


def beyond(value: float, axis: Axis) -> str:
    """An arrow toward what is off an upright axis."""
    if axis.shows(value):
        return ""
    return " ↑" if value > axis.high else " ↓"


_Candidate = tuple[float, float, float, Point]
"""How far off a place is, the words' start and baseline, and their target."""


def _candidates(label: Label, plot: Plot) -> list[_Candidate]:
    """Every place for the words: beside their targets, and in rows all over the plot."""
    lowest, highest = plot.bottom - DESCENT - 3, plot.top + ASCENT + 3
    width, found = label.width(label.ways[0]), []
    for rank, (x, y) in enumerate(label.targets):
        beside = min(max(y + 4, highest), lowest)
        rows = [beside] + [highest + 6 * row for row in range(int((lowest - highest) // 6) + 1)]
        for side, start in enumerate((x + 9, x - 9 - width, x - width / 2)):
            held = min(max(start, plot.left + 4), plot.right - 4 - width)
            over = 25 if label.strong and held < x < held + width else 0
            aside = 1.5 * abs(held - start) + (0, 1, 4)[side] + 2 * rank + over
            found += [(aside + abs(row - y - 4), held, row, (x, y)) for row in rows]
    return found


def _in_turn(
    labels: list[Label], wanted: dict[str, list[_Candidate]], obstacles: _Obstacles, levels: list[Placement]
) -> list[tuple[float, Placement]]:
    """Give each label in turn the best place that is left."""
    done: list[tuple[float, Placement]] = []
    for label in labels:
        done.append(_best(label, wanted[label.key], [*levels, *(words for _, words in done)], obstacles))
    return done


def _best(
    label: Label, wanted: list[_Candidate], taken: list[Placement], obstacles: _Obstacles
) -> tuple[float, Placement]:
    """The nearest free place, off the lines if it can be; there is one: `check` asks for the height that it takes."""
    lines = label.ways[0]
    width = label.width(lines)
    rivals = [other for other in taken if other.label.strong] if label.strong else []

    def placements() -> Iterator[tuple[float, Placement]]:
        for near, start, baseline, target in wanted:
            yield near, Placement(label, lines, start, baseline, width, target)

    def total(near: float, words: Placement) -> float:
        cost = near + obstacles.cost(words)
        if rivals:
            cost += 200.0 * sum(_out_of_order(words, other) for other in rivals)
        return round(cost, PLACES)

    least, best = best_placement(placements(), taken, GAP, total)
    _, start, baseline, target = wanted[-1]
    return least, best or Placement(label, lines, start, baseline, width, target)


def _written(words: Placement, prefix: str) -> list[Element]:
    """The words, with a leader to what they name where that is some way off."""
    kind = "qt-text qt-halo qt-strong" if words.label.strong else "qt-text qt-halo"
    x, anchor = anchored(words.start, words.width, words.target[0])
    key = f"{prefix}-tag-{words.label.key}"
    drawn = svg.text(x, words.baseline, words.lines[0], size=SIZE, anchor=anchor, class_=kind, id=key)
    if words.leader < 11:
        return [drawn]
    leader = f"{prefix}-leader-{words.label.key}"
    return [svg.line(*words.target, *words.nearest, class_="qt-leader", id=leader), drawn]


# The words of level marks


def level_placements(chart: Chart, plot: Plot, runs: list[Runs]) -> list[Placement]:
    """The words of the level marks, on their lines, at the end where no line of the chart runs and none is yet."""
    lines = [_columns(one) for one in runs if one]
    uprights, readings = _uprights(chart, plot), _readings(chart, plot)

    def crossings(_: float, words: Placement) -> int:
        crossed = 3 * sum(_lies_on(words, columns) for columns in lines) + _crosses_upright(words, uprights)
        return crossed + 3 * sum(words.covers(point, 5) for point in readings)

    placed: list[Placement] = []
    for at, mark in level(chart):
        if plot.y.shows(mark.place):
            target = plot.left, plot.y.at(mark.place)
            words = svg.shortened(mark.words, 0.6 * (plot.right - plot.left), SIZE)
            label = Label(str(at), ((words,),), (target,), strong=mark.kind == "now")
            _, best = best_placement(_on_line(label, plot), placed, GAP, crossings)
            placed += [best] if best else []
    return placed


def _on_line(label: Label, plot: Plot) -> Iterator[tuple[float, Placement]]:
    """Over and under a level line, at its right and at its left end."""
    lowest, highest = plot.bottom - DESCENT - 2, plot.top + ASCENT + 2
    (lines,), (target,) = label.ways, label.targets
    width = label.width(lines)
    for baseline in (target[1] - 4, target[1] + ASCENT + 3):
        for start in (plot.right - 4 - width, plot.left + 4):
            if highest <= baseline <= lowest:
                yield 0.0, Placement(label, lines, start, baseline, width, target)


def level_words(levels: list[Placement], plot: Plot, prefix: str) -> list[Element]:
    """The words of the level marks, drawn."""
    drawn = []
    for words in levels:
        strong = " qt-strong" if words.label.strong else ""
        right = words.end > (plot.left + plot.right) / 2
        drawn.append(svg.text(
            words.end if right else words.start, words.baseline, words.lines[0], size=SIZE,
            anchor="end" if right else "start", class_=f"qt-text qt-halo{strong}",
            id=f"{prefix}-label-{words.label.key}",
        ))  # fmt: skip
    return drawn
