"""The pictures of the page on draw weight: the force-draw curve, and what a turn adds to it over the draw."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from quarterturn import units
from quarterturn.bench.draw_curve import CLOSEST
from quarterturn.bench.force_draw import ForceDraw
from quarterturn.figures.chart import line_chart
from quarterturn.figures.chart_data import Chart, Dots, Ribbon, Series
from quarterturn.numbers import rounded
from quarterturn.widgets import bow_wording, turn_prediction
from quarterturn.widgets.answer import Drawing
from quarterturn.widgets.draw_weight import wording
from quarterturn.widgets.draw_weight.form import NAME
from quarterturn.widgets.draw_weight.inputs import Curves

ROOM = 0.010
"""Before the strung bow, m: a turn in moves the string so far at most."""
ROUND = {"in": 1.0, "mm": 20.0}
"""The x axis ends at whole ones of these."""
STEEPEST = 1.15
"""Room over the curve for the turned one: all the turns of a window change the weight by less."""
TALL = {"lbf": 5.0, "N": 20.0, "kgf": 2.0}
"""The y axis ends at a whole one of these."""


def force_draw(found: Curves) -> Drawing:
    """Draw the curve now and after the turn, how sure it is, what it stores, and what was weighed; with the sliders."""
    prediction, unit = found.prediction, wording.force_unit(found)
    series = [Series("now", _line(found.now, found), "solid")]
    values = [_force(prediction.now.drawn.force, found)]
    if found.then is not None and prediction.then is not None:
        series.append(Series("after the turn", _line(found.then, found), "dashed"))
        values.append(_force(prediction.then.drawn.force, found))
    axes = _axes(found)
    picture = line_chart(
        Chart(
            x_label=f"{wording.STATIONS[found.values.choice('draw_station')]}, {axes.unit}",
            y_label=f"weight, {units.unit(unit).symbol}",
            series=tuple(series),
            x_range=axes.x,
            y_range=axes.y,
            now=_x(found.own, found),
            now_values=tuple(values),
            now_words="your draw",
            x_unit=axes.unit,
            y_unit=units.unit(unit).symbol,
            x_decimals=axes.decimals,
            y_decimals=1,
            height=240.0,
            ribbons=tuple(_ribbons(found)),
            dots=() if prediction.moved else (_dots(found),),
        ),
        prefix=f"{NAME}-curve",
        name="curve",
        title="Weight over the draw: the force-draw curve",
    )
    return Drawing(picture, _caption(found), hands=turn_prediction.sliders(prediction))


def _caption(found: Curves) -> str:
    if found.prediction.why_not:
        return "The bow now. Outside the safe range nothing is predicted."
    return "The area under the curve is the energy that you put in. A turn moves the curve by a few per cent at most."


def _ribbons(found: Curves) -> list[Ribbon]:
    """The area under the curve, and over it how sure the curve is."""
    stored = wording.energy(found.now.energy(found.own))
    under = tuple(
        (_x(draw, found), 0.0, _force(found.now.force(draw), found)) for draw in _places(found.now) if draw <= found.own
    )
    ribbons = [Ribbon(f"energy stored up to your draw: {stored}", under, "dots")]
    if found.sure is not None:
        uncertainties = (
            (draw, found.now.force(draw), 2 * (found.uncertainty(draw) or 0.0)) for draw in _places(found.now)
        )
        points = tuple(
            (_x(draw, found), _force(max(0.0, force - off), found), _force(force + off, found))
            for draw, force, off in uncertainties
        )
        ribbons.append(Ribbon("how far off it may be, about 95 %", points, "rising"))
    return ribbons


def _dots(found: Curves) -> Dots:
    """What was weighed, with what it may be off by."""
    if not found.readings:
        mine = found.values.entered("draw_weight")
        place = (_x(found.own, found), _force(found.prediction.now.drawn.force, found))
        return Dots("what you weighed" if mine else "the example's weight", (place,), "ring")
    return Dots(
        "your readings, and what they may be off by",
        tuple((_x(one.draw, found), _force(one.force, found)) for one in found.readings),
        "ring",
        tuple(_force(2 * one.off, found) for one in found.readings),
    )


def added(found: Curves) -> Drawing | None:
    """Draw what the turn adds to the weight at every draw length; nothing where nothing is turned."""
    then, prediction = found.then, found.prediction
    if then is None or prediction.then is None:
        return None
    unit = wording.force_unit(found)
    begin = max(then.brace, found.now.brace)
    draws = [draw for draw in then.draws if draw > begin + CLOSEST and draw <= found.now.full]
    points = tuple((_x(draw, found), _force(then.force(draw) - found.now.force(draw), found)) for draw in draws)
    area = tuple((x, min(0.0, y), max(0.0, y)) for x, y in points)
    axes = _axes(found)
    change = prediction.then.drawn.force - prediction.now.drawn.force
    sure = prediction.uncertainty.budget_of("weight", prediction.change, whole=False).expanded
    here = _x(found.own, found), _force(change, found)
    picture = line_chart(
        Chart(
            x_label=f"{wording.STATIONS[found.values.choice('draw_station')]}, {axes.unit}",
            y_label=f"what the turn adds to the weight, {units.unit(unit).symbol}",
            series=(Series("added", points, "solid"),),
            x_range=axes.x,
            now=here[0],
            now_values=here[1:],
            now_words="your draw",
            x_unit=axes.unit,
            y_unit=units.unit(unit).symbol,
            x_decimals=axes.decimals,
            ribbons=(Ribbon("what it adds to the energy", area, "dots"),),
            dots=(Dots("at your draw, with how sure that is", (here,), "ring", (_force(sure, found),)),),
        ),
        prefix=f"{NAME}-added",
        name="added",
        title="What the turn adds, over the draw",
    )
    return Drawing(
        picture,
        f"The same turn, drawn larger: {bow_wording.both_moved(prediction.change)}. It is not the same at every draw "
        "length.",
    )


# Axes


@dataclass(frozen=True, slots=True)
class _Axes:
    """The unit and decimals of draw lengths, and the ends of both axes.

    They hang on the bow and not on the turn, so that nothing jumps while it is turned.
    """

    unit: str
    decimals: int
    x: tuple[float, float]
    y: tuple[float, float]


def _axes(found: Curves) -> _Axes:
    unit = bow_wording.draw_unit(found.values)
    step, tall = ROUND[unit], TALL[wording.force_unit(found)]
    low = math.floor(rounded(_x(found.now.brace - ROOM, found) / step))
    high = math.ceil(rounded(_x(found.now.full, found) / step))
    read = [one.force + 2 * one.off for one in found.readings]
    tallest = _force(max(STEEPEST * found.now.force(found.now.full), *read, 0.0), found)
    return _Axes(
        unit,
        1 if unit == "in" else 0,
        (low * step, high * step),
        (0.0, tall * math.ceil(rounded(tallest / tall))),
    )


def _x(draw: float, found: Curves) -> float:
    return units.from_si(found.tape(draw), bow_wording.draw_unit(found.values))


def _force(force: float, found: Curves) -> float:
    return units.from_si(force, wording.force_unit(found))


def _places(curve: ForceDraw) -> list[float]:
    """Where a line is drawn through: every point of the curve and the middles between."""
    draws = curve.draws
    middles = [(one + other) / 2 for one, other in pairwise(draws)]
    return sorted((*draws, *middles))


def _line(curve: ForceDraw, found: Curves) -> tuple[tuple[float, float | None], ...]:
    return tuple((_x(draw, found), _force(curve.force(draw), found)) for draw in _places(curve))
