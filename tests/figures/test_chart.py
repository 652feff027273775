"""The line chart is read back: what is drawn, through the stated scale, is what went in; words have room.

Outside sources: numpy's interpolation (C) for values between points, Shapely's intersections (C) for lines and ribbons
that leave the plot, `decimal` (C) for numbers and round steps.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box
from shapely.geometry import Point as Place

from figures.reading import SPACE, Drawing, Frame, boxes, collisions, faults
from quarterturn.figures.chart import MOST_SAID, line_chart
from quarterturn.figures.chart_data import (
    HATCHES,
    KINDS,
    MARKS,
    SHAPES,
    Band,
    Chart,
    Dots,
    Mark,
    Ribbon,
    Series,
    value_at,
)

NEAR = 0.01  # user units: what the brief of the figures asks for
STYLES = (Path(__file__).parents[2] / "docs/assets/qt-figures.css").read_text(encoding="utf-8")

WEDGE = Series("gap at the rim", tuple((u / 2, 0.235 * u / 2) for u in range(15)))
FLAT = Series("gap at the butt", tuple((u / 2, max(0.0, 1.06 * (u / 2 - 5))) for u in range(-3, 15)), "dashed")
CHART = Chart(
    "turns out from flush", "gap, mm", (WEDGE, FLAT),
    bands=(Band(-0.33, 0.42, "the paper goes in nowhere"), Band(0, 0.1, "thinner than the paper", "level", "y")),
    marks=(Mark(0, "flush"), Mark(5.03, "first touch", "limit")),
    x_range=(-1.5, 7), now=2, x_unit="turns", y_unit="mm", x_ends=("← in", "out →"), drag_field="explorer_turns",
)  # fmt: skip


class Drawn(Drawing):
    """A drawn chart, read back in its own units."""

    def __init__(self, chart: Chart, title: str = "Gaps over turns") -> None:
        super().__init__(line_chart(chart, prefix="c", name="gaps", title=title))
        self.frame = Frame(self, "c-plot")

    def value(self, x: float, y: float) -> tuple[float, float]:
        return self.frame.mm(x, y)

    def runs(self, at: int) -> list[list[tuple[float, float]]]:
        """The pieces of a line, in user units."""
        if f"c-line-{at}" not in self.by_id:
            return []
        found: list[list[tuple[float, float]]] = []
        for letter, x, y in re.findall(r"([ML]) (\S+) (\S+)", self.by_id[f"c-line-{at}"].attrib["d"]):
            if letter == "M":
                found.append([])
            found[-1].append((float(x), float(y)))
        return found

    def said(self, key: str) -> str:
        return self.by_id[f"c-{key}"].text or ""

    def near(self, drawn: tuple[float, float], wanted: tuple[float, float]) -> bool:
        """Equal to NEAR user units' worth."""
        got, scales = self.value(*drawn), self.frame.scale()
        return all(abs(a - b) * scale <= NEAR for a, b, scale in zip(got, wanted, scales, strict=True))


def number(words: str) -> float:
    return float(words.replace("−", "-"))


# What was put in is what is drawn


def test_points_are_where_they_should_be() -> None:
    drawing = Drawn(CHART)
    for at, series in enumerate(CHART.series):
        (run,) = drawing.runs(at)
        assert len(run) == len(series.points)
        for drawn, (x, y) in zip(run, series.points, strict=True):
            assert y is not None
            assert drawing.near(drawn, (x, y))


def test_marks_bands_and_now_are_where_they_should_be() -> None:
    drawing = Drawn(CHART)
    for key, wanted in (("mark-0", 0), ("mark-1", 5.03), ("now", 2)):
        x1, y1, x2, _ = drawing.line(f"c-{key}")
        assert x1 == x2
        assert drawing.value(x1, y1)[0] == pytest.approx(wanted, abs=1e-4)
    x, y, width, height = drawing.numbers("c-band-0", "x", "y", "width", "height")
    assert drawing.near((x, y), (-0.33, 2.5))  # the y axis goes to the round number over 2.12
    assert drawing.near((x + width, y + height), (0.42, 0))
    x, y, width, height = drawing.numbers("c-band-1", "x", "y", "width", "height")
    assert drawing.near((x, y), (-1.5, 0.1))
    assert drawing.near((x + width, y + height), (7, 0))
    assert drawing.near(drawing.numbers("c-now-point-0", "cx", "cy"), (2, 0.47))  # type: ignore[arg-type]


def test_numbers_of_the_axes_stand_at_their_values() -> None:
    """Steps are 1, 2 or 5 times a power of ten, by decimal (C)."""
    for chart in (CHART, replace(CHART, x_range=(-0.013, 0.044), y_range=(-3e5, 1.2e6)), replace(CHART, now=-1.5)):
        drawing = Drawn(chart)
        for kind, axis in (("qt-tick-x", 0), ("qt-tick-y", 1)):
            texts = [one for one in drawing.elements if kind in one.attrib.get("class", "").split()]
            assert len(texts) >= 3
            values = [Decimal((one.text or "").replace("−", "-")) for one in texts]
            (step,) = {b - a for a, b in pairwise(values)}
            assert step.normalize().as_tuple().digits in ((1,), (2,), (5,))
            for one, value in zip(texts, values, strict=True):
                place = (float(one.attrib["x"]), float(one.attrib["y"]) - 4)
                got, scale = drawing.value(*place)[axis], drawing.frame.scale()[axis]
                assert abs(got - float(value)) * scale <= NEAR


def test_a_line_is_broken_where_there_is_no_value_and_jumps_where_it_jumps() -> None:
    points = ((0.0, 1.0), (1.0, 2.0), (2.0, None), (3.0, 4.0), (4.0, None), (5.0, 1.0), (5.0, 3.0), (6.0, 3.0))
    drawing = Drawn(Chart("x", "y", (Series("broken", points),)))
    runs = drawing.runs(0)
    wanted: list[list[tuple[float, float]]] = [[(0, 1), (1, 2)], [(3, 4), (3, 4)], [(5, 1), (5, 3), (6, 3)]]
    assert [len(run) for run in runs] == [2, 2, 3]
    for run, there in zip(runs, wanted, strict=True):
        assert all(drawing.near(a, b) for a, b in zip(run, there, strict=True))


quarters = st.integers(-80, 80).map(lambda count: count / 4)


@given(
    st.lists(st.tuples(quarters, quarters), min_size=2, max_size=12),
    quarters, st.integers(1, 40), quarters, st.integers(1, 40),
)  # fmt: skip
def test_a_line_that_leaves_the_plot_is_cut_at_its_edge(
    points: list[tuple[float, float]], left: float, wide: int, low: float, high: int
) -> None:
    """Against Shapely's intersection of a polyline and a rectangle (C); no line lies along an edge."""
    points, left, low = sorted(points), left + 0.1, low + 0.1
    chart = Chart("x", "y", (Series("s", tuple(points)),), x_range=(left, left + wide), y_range=(low, low + high))
    drawing = Drawn(chart)
    frame = box(left, low, left + wide, low + high)
    wanted = LineString(points).intersection(frame).length if points[0] != points[-1] else 0.0
    runs = [[drawing.value(*point) for point in run] for run in drawing.runs(0)]
    length = sum(LineString(run).length for run in runs if run[0] != run[-1] or len(run) > 2)
    room = 0.004 * (len(points) + 1) * max(1 / scale for scale in drawing.frame.scale())
    # A piece that runs back over itself (same x) is counted once by Shapely and as often as it is drawn by us.
    if len({x for x, _ in points}) == len(points):
        assert length == pytest.approx(wanted, abs=room)
    assert all(frame.buffer(room).contains(LineString(run)) for run in runs if run[0] != run[-1])


@given(
    st.lists(st.tuples(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3)), min_size=2, max_size=9), st.floats(-1.1e3, 1.1e3)
)
def test_values_between_points(points: list[tuple[float, float]], x: float) -> None:
    """Against numpy.interp (C)."""
    points = sorted(dict(points).items())
    series = Series("s", tuple(points))
    value = value_at(series, x)
    if not points[0][0] <= x <= points[-1][0]:
        assert value is None
        return
    wanted = float(np.interp(x, [a for a, _ in points], [b for _, b in points]))
    assert value == pytest.approx(wanted, rel=1e-9, abs=1e-9)


def test_a_gap_has_no_value() -> None:
    series = Series("s", ((0, 1), (1, None), (2, 3), (3, 5)))
    assert [value_at(series, x) for x in (0, 0.5, 1, 1.5, 2, 2.5, 3)] == [1, None, None, None, 3, 4, 5]


# Ribbons and readings

CURVE = tuple((float(x), 1.4 * (x - 8) + 0.01 * (x - 8) ** 2) for x in range(9, 31))
READ = Chart(
    "draw length, in", "draw weight, lbf", (Series("draw weight", CURVE),), x_range=(8, 32), y_range=(0, 40), now=28,
    x_unit="in", y_unit="lbf", x_decimals=1, y_decimals=1,
    ribbons=(
        Ribbon("how sure the line is", tuple((x, 0.95 * y, 1.05 * y) for x, y in CURVE), "falling"),
        Ribbon("stored energy", tuple((x, 0.0, y) for x, y in CURVE if x <= 28), "dots"),
    ),
    dots=(
        Dots("your scale", ((26, 26.1), (28, 31.5), (30, 35)), "cross", (0.5, 0.5, 7.5)),
        Dots("a second scale", ((24.5, 25), (50, 70)), "ring", (None, 1.0)),
        Dots("kept out", ((20, 20),), "square"),
    ),
)  # fmt: skip


def corners(drawing: Drawn, at: int) -> list[tuple[float, float]]:
    return [drawing.value(*point) for point in drawing.points(f"c-ribbon-{at}")]


def test_a_ribbon_is_where_its_curves_are() -> None:
    drawing = Drawn(READ)
    for at, ribbon in enumerate(READ.ribbons):
        drawn = drawing.points(f"c-ribbon-{at}")
        wanted = [(x, high) for x, _, high in ribbon.points] + [(x, low) for x, low, _ in reversed(ribbon.points)]
        assert all(any(drawing.near(point, one) for point in drawn) for one in wanted)
        assert all(any(drawing.near(point, one) for one in wanted) for point in drawn)
        assert drawing.by_id[f"c-ribbon-{at}"].attrib["data-hatch"] == ribbon.hatch
        assert drawing.said(f"ribbon-key-{at}") == ribbon.name


def test_ribbons_lie_under_grid_and_lines_and_readings_over_them() -> None:
    drawing = Drawn(READ)
    order = ["c-ribbon-0", "c-ribbon-1", "c-axes", "c-now", "c-line-0", "c-now-point-0", "c-dots-0", "c-tag-0"]
    assert [one for one in drawing.ids if one in order] == order


@given(
    st.lists(st.tuples(quarters, quarters, st.integers(1, 60)), min_size=2, max_size=10, unique_by=lambda one: one[0]),
    quarters, st.integers(1, 40), quarters, st.integers(1, 40),
)  # fmt: skip
def test_a_ribbon_that_leaves_the_plot_is_cut_at_its_edge(
    points: list[tuple[float, float, int]], left: float, wide: int, low: float, high: int
) -> None:
    """Against Shapely's intersection of a polygon and a rectangle (C)."""
    ribbon = Ribbon("r", tuple((x, y, y + more / 4) for x, y, more in sorted(points)))
    left, low = left + 0.1, low + 0.1
    chart = Chart(
        "x", "y", (Series("s", ()),), x_range=(left, left + wide), y_range=(low, low + high), ribbons=(ribbon,)
    )
    drawing = Drawn(chart)
    whole = Polygon([(x, y) for x, _, y in ribbon.points] + [(x, y) for x, y, _ in reversed(ribbon.points)])
    frame = box(left, low, left + wide, low + high)
    wanted = whole.intersection(frame)
    shown = "c-ribbon-0" in drawing.by_id
    assert drawing.said("ribbon-key-0") == ("r" if shown else "r: not in this range")
    if not shown:
        assert wanted.area == pytest.approx(0, abs=1e-9)
        return
    found = Polygon(corners(drawing, 0))
    room = 0.004 * max(1 / scale for scale in drawing.frame.scale())
    assert found.area == pytest.approx(wanted.area, abs=room * (whole.length + frame.length))
    assert all(frame.buffer(room).contains(Place(one)) for one in corners(drawing, 0))
    assert all(whole.buffer(2 * room).contains(Place(one)) for one in corners(drawing, 0))


def test_readings_and_their_bars_are_where_they_should_be() -> None:
    drawing = Drawn(READ)
    for at, dots in enumerate(READ.dots):
        for place, (x, y) in enumerate(dots.points):
            key = f"c-dot-{at}-{place}"
            if x > 32:
                assert key not in drawing.by_id
                assert f"{key}-bar" not in drawing.by_id
                continue
            where = drawing.numbers(key, "data-x", "data-y")
            assert drawing.near((where[0], where[1]), (x, y))
            error = dots.errors[place] if dots.errors else None
            assert (f"{key}-bar" in drawing.by_id) is (error is not None)
            if error is None:
                continue
            path = drawing.by_id[f"{key}-bar"].attrib["d"].split()
            across, bottom, top = float(path[1]), float(path[2]), float(path[4])
            assert drawing.near((across, bottom), (x, y - error))
            assert drawing.near((across, top), (x, min(y + error, 40)))
            assert path.count("H") == (2 if y + error <= 40 else 1)  # no stroke where the bar goes on


def test_each_shape_is_drawn_around_its_place() -> None:
    drawing = Drawn(READ)
    x, y = drawing.numbers("c-dot-0-0", "data-x", "data-y")
    numbers = [float(one) for one in re.findall(r"-?[\d.]+", drawing.by_id["c-dot-0-0"].attrib["d"])]
    assert (np.mean(numbers[::2]), np.mean(numbers[1::2])) == pytest.approx((x, y), abs=NEAR)
    assert drawing.numbers("c-dot-1-0", "cx", "cy") == drawing.numbers("c-dot-1-0", "data-x", "data-y")
    left, top, wide, high = drawing.numbers("c-dot-2-0", "x", "y", "width", "height")
    assert wide == high
    middle = (left + wide / 2, top + high / 2)
    assert middle == pytest.approx(drawing.numbers("c-dot-2-0", "data-x", "data-y"), abs=NEAR)
    forms = {drawing.by_id[f"c-dot-{at}-0"].tag for at in range(len(SHAPES))}
    assert len(forms) == len(SHAPES)


def test_axes_hold_ribbons_readings_and_bars() -> None:
    drawing = Drawn(replace(READ, x_range=None, y_range=None))
    (field,) = [one for one in drawing.elements if one.attrib.get("class") == "qt-plot"]
    x, y, wide, high = (float(field.attrib[name]) for name in ("x", "y", "width", "height"))
    (left, top), (right, bottom) = drawing.value(x, y), drawing.value(x + wide, y + high)
    assert (left, right) == pytest.approx((9, 50), abs=0.01)
    assert top > 71 - 0.01
    assert bottom <= 0.01
    assert "c-dot-1-1-bar" in drawing.by_id


def test_ribbons_and_readings_are_named_and_told() -> None:
    drawing = Drawn(READ)
    assert drawing.said("dots-key-0") == "your scale"
    assert drawing.said("dots-key-1") == "a second scale: 1 of 2 not in this range"
    assert Drawn(replace(READ, x_range=(8, 19))).said("dots-key-2") == "kept out: none in this range"
    said = drawing.picture.description
    assert "your scale: 26.1 lbf at 26.0 in, give or take 0.5 lbf; 31.5 lbf at 28.0 in, give or take 0.5 lbf;" in said
    assert "a second scale: 25.0 lbf at 24.5 in; 70.0 lbf at 50.0 in, give or take 1.0 lbf." in said
    at_28 = 1.4 * 20 + 0.01 * 400
    assert f"how sure the line is: from {0.95 * at_28:.1f} lbf to {1.05 * at_28:.1f} lbf at 28.0 in; from 1.3" in said
    many = Drawn(replace(READ, dots=(Dots("many", tuple((9 + at, 5.0) for at in range(20))),)))
    assert f"; and {20 - MOST_SAID} more." in many.picture.description
    assert many.picture.description.count("5.0 lbf at") == MOST_SAID
    none = Drawn(replace(READ, dots=(Dots("none yet", ()),), ribbons=(Ribbon("empty", ()),)))
    assert "none yet: none." in none.picture.description
    assert "empty: nothing in this range." in none.picture.description
    assert (none.said("dots-key-0"), none.said("ribbon-key-0")) == ("none yet", "empty: not in this range")


def test_words_keep_off_readings() -> None:
    for now in np.linspace(9, 30, 22):
        drawing = Drawn(replace(READ, now=float(now)))
        assert collisions(drawing) == []
        (tag,) = [one for one in boxes(drawing) if one.words == drawing.said("tag-0")]
        for key in ("c-dot-0-0", "c-dot-0-1", "c-dot-1-0", "c-dot-2-0"):
            x, y = drawing.numbers(key, "data-x", "data-y")
            assert not (tag.left < x < tag.right and tag.top < y < tag.bottom), now


def test_without_ribbons_and_readings_nothing_is_drawn_of_them() -> None:
    picture = line_chart(CHART, prefix="c", name="n", title="t")
    assert not any(word in picture.svg for word in ("ribbon", "qt-dot", "error-bar", "-dots-"))


def test_each_has_a_form_of_its_own() -> None:
    drawing = Drawn(READ)
    used = {name for one in drawing.elements for name in one.attrib.get("class", "").split()}
    assert {"qt-ribbon", "qt-dot", "qt-dot-rim", "qt-error-bar"} <= used
    plain = {"qt-figure", "qt-text", "qt-tick-x", "qt-tick-y", "qt-line-solid", "qt-pole"}
    assert [name for name in used - plain if f".{name} " not in STYLES] == []
    fills = {one.attrib["fill"] for one in drawing.elements if "fill" in one.attrib}
    assert fills == {"url(#c-hatch-falling)", "url(#c-hatch-dots)"}


@pytest.mark.parametrize(
    ("chart", "words"),
    [
        (replace(READ, ribbons=(Ribbon("r", ((0, 1, 2), (-1, 1, 2))),)), "order"),
        (replace(READ, ribbons=(Ribbon("r", ((0, 2, 1),)),)), "over its high"),
        (replace(READ, ribbons=(Ribbon("r", (), "zigzag"),)), "no such ribbon"),
        (replace(READ, ribbons=(Ribbon("r", ()), Ribbon("q", ()))), "of its own"),
        (replace(READ, bands=(Band(0, 1, "b", "dots"),)), "of its own"),
        (replace(READ, ribbons=(Ribbon("r", ((0, math.nan, 1),)),)), "finite"),
        (replace(READ, ribbons=(Ribbon("r", ((0, 0, math.inf),)),)), "finite"),
        (replace(READ, dots=(Dots("d", (), "star"),)), "no such shape"),
        (replace(READ, dots=(Dots("d", ()), Dots("e", ()))), "different shapes"),
        (replace(READ, dots=(Dots("d", ((0, 1),), "ring", (1, 2)),)), "one for each"),
        (replace(READ, dots=(Dots("d", ((0, math.nan),)),)), "finite"),
        (replace(READ, dots=(Dots("d", ((math.inf, 0),)),)), "finite"),
        (replace(READ, dots=(Dots("d", ((0, 0),), "ring", (-0.1,)),)), "negative"),
        (replace(READ, dots=(Dots("d", ((0, 0),), "ring", (math.nan,)),)), "finite"),
    ],
)
def test_ribbons_and_readings_that_are_none_are_refused(chart: Chart, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Drawn(chart)


# Dragging


@given(st.floats(-1.5, 7))
def test_a_place_on_the_chart_gives_the_field(turns: float) -> None:
    drawing = Drawn(replace(CHART, now=turns))
    plot = drawing.by_id["c-plot"].attrib
    assert (plot["data-drag-field"], plot["data-drag-axis"]) == ("explorer_turns", "x")
    origin, scale, low, high = drawing.numbers(
        "c-plot", "data-drag-origin", "data-drag-scale", "data-drag-low", "data-drag-high"
    )
    assert (low, high) == (-1.5, 7)
    x = drawing.line("c-now")[0]
    assert abs((x - origin) / scale - turns) * scale <= NEAR
    field = [one for one in drawing.by_id["c-plot"] if one.attrib.get("class") == "qt-plot"]
    left, width = (float(field[0].attrib[name]) for name in ("x", "width"))
    assert ((left - origin) / scale, (left + width - origin) / scale) == pytest.approx((low, high), abs=1e-4)


def test_the_ends_of_a_drag_can_be_set_and_without_a_field_there_is_none() -> None:
    drawing = Drawn(replace(CHART, drag_low=-1, drag_high=6.5))
    assert drawing.numbers("c-plot", "data-drag-low", "data-drag-high") == (-1, 6.5)
    without = Drawn(replace(CHART, drag_field=""))
    assert not any("drag" in name for one in without.elements for name in one.attrib)
    assert "c-grip" in drawing.by_id
    assert "c-grip" not in without.by_id


# Dates


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(1, 36_000), st.integers(1, 500))
def test_days_are_written_as_their_dates_at_their_places(first: date, span: int, room: int) -> None:
    """Dates by Python's `datetime` (C)."""
    points = ((0.0, 38.0), (span / 2, 38.5), (float(span), 39.0))
    chart = Chart(
        "date", "draw weight, lb", (Series("weight", points),), dots=(Dots("read", points),),
        x_range=(-room / 100 * span - 3, span * 1.01 + 3), x_day=first.toordinal(), y_unit="lb",
    )  # fmt: skip
    drawing = Drawn(chart)
    assert collisions(drawing) == []
    ticks = [one for one in drawing.elements if "qt-tick-x" in one.attrib.get("class", "").split()]
    assert ticks
    steps = set()
    for one in ticks:
        days = drawing.value(float(one.attrib["x"]), 0)[0]
        assert abs(days - round(days)) * drawing.frame.scale()[0] <= NEAR, "no part of a day is named"
        assert one.text == (first + timedelta(days=round(days))).isoformat()
        steps.add(round(days))
    assert len(steps) == len(ticks)
    last = (first + timedelta(days=span)).isoformat()
    assert f"weight: 38.00 lb at {first.isoformat()}; 39.00 lb at {last}." in drawing.picture.description
    assert f"39.00 lb at {last}." in drawing.picture.description


def test_a_few_days_are_written_day_by_day_and_never_in_parts() -> None:
    chart = Chart(
        "date", "y", (Series("s", ((0, 1), (2, 2))),), x_range=(-0.2, 2.2), x_day=date(2026, 2, 27).toordinal()
    )
    ticks = [one for one in Drawn(chart).elements if "qt-tick-x" in one.attrib.get("class", "").split()]
    assert [one.text for one in ticks] == ["2026-02-27", "2026-02-28", "2026-03-01"]


def test_plots_over_dates_begin_alike_whatever_stands_at_their_side() -> None:
    """So that charts under one another have the same date at the same place."""
    lefts = set()
    for scale in (1.0, 100.0, 0.01):
        chart = Chart("date", "y", (Series("s", ((0, scale), (90, 2 * scale))),), x_range=(-9, 99), x_day=739_000)
        (field,) = [one for one in Drawn(chart).elements if one.attrib.get("class") == "qt-plot"]
        lefts.add((field.attrib["x"], field.attrib["width"]))
    assert len(lefts) == 1


# Words


def test_values_now_are_written_at_their_points() -> None:
    drawing = Drawn(CHART)
    assert drawing.said("now-words") == "now 2.00 turns"
    assert drawing.said("tag-0") == "gap at the rim 0.47 mm"
    assert drawing.said("tag-1") == "gap at the butt 0.00 mm"
    assert "gap at the rim: 0.47 mm at 2.00 turns (now); 0.00 mm at 0.00 turns; 1.65 mm at 7.00 turns." in (
        drawing.picture.description
    )
    assert "the paper goes in nowhere: from −0.33 turns to 0.42 turns." in drawing.picture.description
    assert "first touch: at 5.03 turns." in drawing.picture.description


def test_what_is_off_the_axis_is_pointed_at() -> None:
    drawing = Drawn(replace(CHART, now=9, marks=(Mark(-4, "stop", "limit"),), bands=(Band(20, 30, "far"),)))
    assert drawing.said("now-words") == "now 9.00 turns →"
    assert drawing.said("label-0") == "← stop"
    assert drawing.said("key-0") == "far: not in this range"
    assert not {"c-now", "c-mark-0", "c-band-0"} & set(drawing.ids)
    assert drawing.said("tag-0") == "gap at the rim"
    high = Drawn(replace(CHART, y_range=(0, 0.3)))
    assert high.said("tag-0") == "gap at the rim 0.47 mm ↑"
    assert "c-now-point-0" not in high.by_id


THREAD = Chart(
    "turns out from flush", "thread engaged, mm", (Series("engaged", ((-2, 20), (3.75, 20), (10, 13.4))),),
    marks=(
        Mark(9.5, "1 d, steel", axis="y"), Mark(14.4, "1.5 d, aluminium", "limit", "y"), Mark(19, "2 d", axis="y"),
        Mark(5.03, "first touch", "limit"),
    ),
    x_range=(-2, 10), y_range=(0, 25), now=3, x_unit="turns", y_unit="mm", y_decimals=1,
)  # fmt: skip


def test_level_marks_run_across_at_their_value_with_their_words_on_them() -> None:
    drawing = Drawn(THREAD)
    (field,) = [one for one in drawing.elements if one.attrib.get("class") == "qt-plot"]
    left, width = (float(field.attrib[name]) for name in ("x", "width"))
    for at, (value, words) in enumerate(((9.5, "1 d, steel"), (14.4, "1.5 d, aluminium"), (19, "2 d"))):
        x1, y1, x2, y2 = drawing.line(f"c-mark-{at}")
        assert (x1, x2) == pytest.approx((left, left + width), abs=NEAR)
        assert y1 == y2
        assert drawing.near((x1, y1), (-2, value))
        assert drawing.said(f"label-{at}") == words
        (place,) = [one for one in boxes(drawing) if one.words == words]
        assert min(abs(place.bottom - y1), abs(place.top - y1)) < 5
        assert left < place.left < place.right < left + width
        assert f"{words}: at {value:.1f} mm." in drawing.picture.description
    x1, _, x2, _ = drawing.line("c-mark-3")
    assert x1 == x2
    assert "first touch: at 5.03 turns." in drawing.picture.description
    assert "qt-edge-limit" in drawing.by_id["c-mark-1"].attrib["class"].split()


def test_words_of_level_marks_keep_off_the_line_and_their_place() -> None:
    places = set()
    for now in np.linspace(-2, 10, 25):
        drawing = Drawn(replace(THREAD, now=float(now)))
        assert collisions(drawing) == [], now
        places.add(tuple(drawing.by_id[f"c-label-{at}"].attrib["x"] for at in range(3)))
        (run,) = drawing.runs(0)
        for at in range(3):
            (one,) = [one for one in boxes(drawing) if one.words == THREAD.marks[at].words]
            assert not LineString(run).intersects(box(one.left, one.top, one.right, one.bottom))
    assert len(places) == 1


def test_level_marks_with_no_place_are_said_under_the_plot() -> None:
    drawing = Drawn(replace(THREAD, y_range=(8, 15)))
    assert "c-mark-2" not in drawing.by_id
    assert drawing.said("label-2") == "2 d: 19.0 mm ↑"
    low = Drawn(replace(THREAD, y_range=(10, 25)))
    assert low.said("label-0") == "1 d, steel: 9.5 mm ↓"
    close = tuple(Mark(12 + at / 100, f"mark {at}", axis="y") for at in range(5))
    drawing = Drawn(replace(THREAD, marks=close, height=240))
    assert collisions(drawing) == []
    said = [drawing.said(f"label-{at}") for at in range(5)]
    assert said[0] == "mark 0"
    assert said[4] == "mark 4: 12.0 mm"


def test_a_line_with_nothing_to_show_is_named_all_the_same() -> None:
    drawing = Drawn(replace(CHART, series=(WEDGE, Series("nowhere", ((0, None), (1, None)), "dotted"))))
    assert drawing.said("key-line-1") == "nowhere: nothing in this range"
    assert "c-line-1" not in drawing.by_id


def test_the_picture_keeps_its_size_while_now_moves() -> None:
    """So that the page does not jump under the finger."""
    sizes, scales = set(), set()
    for now in np.linspace(-3, 8, 45):
        drawing = Drawn(replace(CHART, now=float(now)))
        sizes.add((drawing.picture.width, drawing.picture.height))
        scales.add((drawing.frame.scale(), drawing.numbers("c-plot", "data-origin-x", "data-origin-y")))
        assert collisions(drawing) == [], now
    assert len(sizes) == len(scales) == 1


def test_words_are_next_to_their_points_or_led_to_them() -> None:
    for now in np.linspace(-1.5, 7, 40):
        drawing = Drawn(replace(CHART, now=float(now)))
        for at in range(2):
            if f"c-now-point-{at}" not in drawing.by_id:
                continue
            x, y = drawing.numbers(f"c-now-point-{at}", "cx", "cy")
            if f"c-leader-{at}" in drawing.by_id:
                x1, y1, x, y = drawing.line(f"c-leader-{at}")
                assert (x1, y1) == drawing.numbers(f"c-now-point-{at}", "cx", "cy")
            (near,) = [one for one in boxes(drawing) if one.words == drawing.said(f"tag-{at}")]
            apart = math.hypot(max(near.left - x, x - near.right, 0), max(near.top - y, y - near.bottom, 0))
            assert apart <= 12, now


names = st.sampled_from(
    ["a", "gap at the rim", "seen from outside", "both sides, thinner strip", "m" * 70, "<b>&", "−1 ← ½", "x y z"]
)
values = st.one_of(st.none(), st.floats(-1e4, 1e4), st.sampled_from([0.0, 1.0, 5.0]))


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    series = []
    for at in range(draw(st.integers(1, 5))):
        xs = sorted(draw(st.lists(st.floats(-100, 100), min_size=0, max_size=12)))
        points = tuple((x, draw(values)) for x in xs)
        series.append(Series(draw(names), points, KINDS[at % len(KINDS)]))
    bands = draw(st.lists(st.builds(
        lambda ends, words, hatch, axis: Band(min(ends), max(ends), words, hatch, axis),
        st.tuples(st.floats(-120, 120), st.floats(-120, 120)), names, st.sampled_from(HATCHES), st.sampled_from("xy"),
    ), max_size=3))  # fmt: skip
    kinds, axes = st.sampled_from(sorted(MARKS)), st.sampled_from("xy")
    marks = draw(st.lists(st.builds(Mark, st.floats(-120, 120), names, kinds, axes), max_size=5))
    level = sum(mark.axis == "y" for mark in marks)
    taken = {band.hatch for band in bands}
    ribbons = [
        Ribbon(draw(names), tuple(sorted((x, min(ys), max(ys)) for x, *ys in draw(triples))), hatch)
        for hatch in HATCHES[: draw(st.integers(0, 3))]
        if hatch not in taken
    ]
    dots = []
    for shape in SHAPES[: draw(st.integers(0, 3))]:
        read = draw(st.lists(st.tuples(st.floats(-110, 110), st.floats(-1e4, 1e4)), max_size=5))
        errors = tuple(draw(st.none() | st.floats(0, 1e3)) for _ in read) if draw(st.booleans()) else ()
        dots.append(Dots(draw(names), tuple(read), shape, errors))
    return Chart(
        draw(names), draw(names), tuple(series), tuple(bands), tuple(marks),
        x_range=draw(st.sampled_from([None, (-100, 100), (0, 3), (-0.004, 0.02), (99000, 100000)])),
        y_range=draw(st.sampled_from([None, (-10, 10), (0, 1e6), (-0.01, 0)])),
        now=draw(st.none() | st.floats(-110, 110)), x_unit=draw(st.sampled_from(["", "turns", "°"])), y_unit="mm",
        x_ends=draw(st.sampled_from([("", ""), ("← in", "out →")])), drag_field=draw(st.sampled_from(["", "t"])),
        height=max(184.0, 40.0 + 33 * (len(series) + level - 1)), ribbons=tuple(ribbons), dots=tuple(dots),
    )  # fmt: skip


triples = st.lists(st.tuples(st.floats(-110, 110), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)), max_size=6)


@pytest.mark.long
@settings(max_examples=200)
@given(charts(), names)
def test_words_never_collide_and_markup_is_sound(chart: Chart, title: str) -> None:
    drawing = Drawn(chart, title)
    assert collisions(drawing) == []
    assert faults(drawing, "c") == []
    sizes = [float(one.attrib["font-size"]) for one in drawing.elements if one.tag == f"{SPACE}text"]
    assert min(sizes) >= 12
    for at, series in enumerate(chart.series):
        drawn = [point for run in drawing.runs(at) for point in run]
        inside = [
            (x, y) for x, y in series.points if y is not None
            and drawing.value(*_corner(drawing, 0))[0] < x < drawing.value(*_corner(drawing, 1))[0]
            and drawing.value(*_corner(drawing, 1))[1] < y < drawing.value(*_corner(drawing, 0))[1]
        ]  # fmt: skip
        assert all(any(drawing.near(one, point) for one in drawn) for point in inside)
        assert (f"c-tag-{at}" in drawing.by_id) or (f"c-key-line-{at}" in drawing.by_id)


def _corner(drawing: Drawn, which: int) -> tuple[float, float]:
    """The plot's top left (0) or bottom right (1) corner in user units."""
    field = next(one for one in drawing.elements if one.attrib.get("class") == "qt-plot")
    x, y, width, height = (float(field.attrib[name]) for name in ("x", "y", "width", "height"))
    return (x + which * width, y + which * height)


# In black and white


def test_nothing_is_told_by_colour_alone() -> None:
    four = tuple(Series(f"line {kind}", ((0, at), (1, at + 1)), kind) for at, kind in enumerate(KINDS))
    drawing = Drawn(replace(CHART, series=four, x_range=None))
    dashes = set()
    for at, kind in enumerate(KINDS):
        assert f"qt-line-{kind}" in drawing.by_id[f"c-line-{at}"].attrib["class"].split()
        assert f"line {kind}" in drawing.said(f"tag-{at}")
        rule = re.search(rf"\.qt-line-{kind} {{[^}}]*stroke-dasharray: ([^;]+);", STYLES)
        dashes.add(rule.group(1) if rule else None)
    assert len(dashes) == len(KINDS)  # one is solid
    hatches = {drawing.by_id[f"c-band-{at}"].attrib["data-hatch"] for at in range(2)}
    assert hatches == {"rising", "level"}
    fills = [one.attrib["fill"] for one in drawing.elements if "fill" in one.attrib]
    assert {f"url(#c-hatch-{hatch})" for hatch in hatches} == set(fills)
    assert drawing.said("key-0") == "the paper goes in nowhere"


def test_every_class_has_a_rule_and_lines_keep_their_ink_in_print() -> None:
    drawing = Drawn(CHART)
    used = {name for one in drawing.elements for name in one.attrib.get("class", "").split()}
    plain = {"qt-figure", "qt-text", "qt-tick-x", "qt-tick-y", "qt-line-solid", "qt-pole"}
    assert [name for name in used - plain if f".{name} " not in STYLES] == []
    assert "stroke: var(--qt-ink)" in next(line for line in STYLES.splitlines() if line.startswith(".qt-line {"))


# Refusals


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_numbers_that_are_none_are_refused(bad: float) -> None:
    for chart in (
        replace(CHART, series=(Series("s", ((0, 1), (1, bad))),)),
        replace(CHART, series=(Series("s", ((bad, 1),)),)),
        replace(CHART, bands=(Band(bad, 2, "b"),)),
        replace(CHART, bands=(Band(0, bad, "b"),)),
        replace(CHART, marks=(Mark(bad, "m"),)),
        replace(CHART, marks=(Mark(bad, "m", axis="y"),)),
        replace(CHART, now=bad),
        replace(CHART, x_range=(0, bad)),
        replace(CHART, y_range=(bad, 1)),
        replace(CHART, drag_low=bad),
        replace(CHART, height=bad),
    ):
        with pytest.raises(ValueError, match=r"finite|order|height"):
            Drawn(chart)


@pytest.mark.parametrize(
    ("chart", "words"),
    [
        (replace(CHART, series=()), "needs a series"),
        (replace(CHART, series=(WEDGE,) * 6), "at most 5"),
        (replace(CHART, series=(WEDGE,) * 5, height=100), "height"),
        (replace(CHART, series=(Series("s", ((1, 0), (0, 0))),)), "order"),
        (replace(CHART, series=(replace(WEDGE, kind="wavy"),)), "kind of line"),
        (replace(CHART, marks=(Mark(0, "m", "odd"),)), "kind of mark"),
        (replace(CHART, marks=(Mark(0, "m", "plain", "z"),)), "kind of mark"),
        (replace(CHART, marks=tuple(Mark(0.3 * at, "m", axis="y") for at in range(5))), "height"),
        (replace(CHART, bands=(Band(2, 1, "b"),)), "before it starts"),
        (replace(CHART, bands=(Band(0, 1, "b", "zigzag"),)), "no such band"),
        (replace(CHART, bands=(Band(0, 1, "b", "dots", "z"),)), "no such band"),
        (replace(CHART, x_range=(1, 1)), "length"),
        (replace(CHART, x_range=(2, 1)), "length"),
        (replace(CHART, y_range=(0, 1e9)), "another unit"),
        (replace(CHART, y_range=(1000, 1000.01)), "another unit"),
    ],
)
def test_what_cannot_be_drawn_is_refused(chart: Chart, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Drawn(chart)


def test_values_beyond_all_measure_are_cut_off() -> None:
    wild = Series("wild", ((-1e300, 0), (1, 1e308), (2, -1e308), (1e300, 5)))
    drawing = Drawn(replace(CHART, series=(wild,), y_range=(0, 1), now=None))
    assert faults(drawing, "c") == []
    assert all(0 <= value <= 1000 for run in drawing.runs(0) for point in run for value in point)


def test_words_from_outside_are_escaped() -> None:
    chart = replace(CHART, marks=(Mark(0, "<img src=x>"),), x_label="<i>", drag_field='"><script>')
    picture = line_chart(replace(chart, series=(replace(WEDGE, name="<b>"),)), prefix="c", name="n", title="<script>")
    assert not any(mark in picture.svg for mark in ("<img", "<script", "<b>", "<i>"))
    assert faults(Drawing(picture), "c") == []


def test_two_charts_share_no_id() -> None:
    one, other = (Drawing(line_chart(CHART, prefix=key, name="n", title="t")) for key in ("a", "b"))
    assert not set(one.ids) & set(other.ids)
