"""The pictures of the page on tiller: the whole bow, and tiller over the turns of a bolt."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_setup import Pair, strung
from quarterturn.figures.bow_labels import Measures
from quarterturn.figures.bow_shape import extent_of, shape_of
from quarterturn.figures.bow_view import bow_view
from quarterturn.mechanics.pocket import PocketError
from quarterturn.widgets import bow_wording, turn_prediction
from quarterturn.widgets.answer import Drawing
from quarterturn.widgets.tiller.form import NAME
from quarterturn.widgets.turn_prediction import TurnPrediction

SPARE = 0.012
"""Room for what turning moves, m."""
FARTHEST = 2.0
"""Turns either way that are drawn, as far as the windows go."""
PLACES = 0.5
"""Turns between the points of a line."""
WAYS: tuple[tuple[str, Pair, str], ...] = (
    ("upper alone", (1.0, 0.0), "solid"),
    ("lower alone", (0.0, 1.0), "dashed"),
    ("both alike", (1.0, 1.0), "dotted"),
)


def whole_bow(prediction: TurnPrediction) -> Drawing:
    """Draw the bow, to scale, braced or drawn, with its sliders; as it stands dashed where it is turned."""
    drawn = prediction.values.choice("bow_shown") == "drawn"
    bow = prediction.bow.fitted.bow
    turned = prediction.then if prediction.turned else None
    now, then = ((one.drawn if drawn else one.braced) for one in (prediction.now, turned or prediction.now))
    picture = bow_view(
        shape_of(bow, then),
        before=shape_of(bow, now),
        before_words="as it is now",
        measures=_measures(prediction, drawn=drawn),
        extent=extent_of(shape_of(bow, now), spare=SPARE),
        prefix=f"{NAME}-bow",
        title=f"The bow {'drawn' if drawn else 'strung'}{_turned_words(prediction)}",
        name="bow",
    )
    caption = (
        "The computed bow, to scale. A turn moves the tips only a little: the boxes show them larger."
        if not prediction.why_not
        else "The bow now. Outside the safe range nothing is predicted."
    )
    return Drawing(picture, caption, hands=turn_prediction.sliders(prediction))


def _turned_words(prediction: TurnPrediction) -> str:
    return (
        f", {bow_wording.both_moved(prediction.change)}"
        if prediction.turned and prediction.then is not None
        else ", as it is now"
    )


def _measures(prediction: TurnPrediction, *, drawn: bool) -> Measures:
    found = prediction.then if prediction.then is not None and prediction.turned else prediction.now
    unit = prediction.unit
    if drawn:
        weight = bow_wording.force(found.drawn.force, bow_wording.force_unit(prediction.values))
        return Measures(draw_length=f"draw {bow_wording.own_draw(prediction.values)}", force=weight, length_unit=unit)
    strung = found.braced
    return Measures(
        brace_height=f"brace height {bow_wording.length(strung.brace_height, unit)}",
        upper_tiller=bow_wording.length(strung.upper.distance_to_belly, unit),
        lower_tiller=bow_wording.length(strung.lower.distance_to_belly, unit),
        length_unit=unit,
    )


def over_turns(prediction: TurnPrediction) -> Drawing | None:
    """Draw tiller over turns of one bolt or of both; nothing where a bolt has no window or stands outside it."""
    from quarterturn.figures.chart import line_chart
    from quarterturn.figures.chart_data import Chart, Mark, Series

    if prediction.outside:
        return None
    lines = [(name, _line(prediction, way), kind) for name, way, kind in WAYS]
    series = tuple(Series(name, points, kind) for name, points, kind in lines if len(points) > 1)
    if not series:
        return None
    unit = prediction.unit
    now = units.from_si(prediction.now.braced.belly_tiller, unit)
    picture = line_chart(
        Chart(
            x_label="turns from where it is",
            y_label=f"tiller, {unit}",
            series=series,
            marks=(Mark(0.0, "now", "now"), Mark(now, "tiller now", "plain", "y")),
            x_unit="turns",
            y_unit=unit,
            y_decimals=1 if unit == "mm" else 3,
            x_ends=("← in", "out →"),
        ),
        prefix=f"{NAME}-turns",
        name="turns",
        title="Tiller over turns of the bolts",
    )
    return Drawing(
        picture,
        "Only inside both safe ranges, at most two turns either way. Both alike: turned the same way by as much.",
    )


def _line(prediction: TurnPrediction, way: Pair) -> tuple[tuple[float, float], ...]:
    bow, points = prediction.bow, []
    for place in range(round(2 * FARTHEST / PLACES) + 1):
        turns = place * PLACES - FARTHEST
        there = prediction.start[0] + turns * way[0], prediction.start[1] + turns * way[1]
        if turns and bow.outside(there):
            continue
        try:
            found = strung(bow.setup, there)
        except (FitError, PocketError):
            continue
        points.append((turns, units.from_si(found.belly_tiller, prediction.unit)))
    return tuple(points)
