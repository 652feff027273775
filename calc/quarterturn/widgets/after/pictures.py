"""The pictures of the page for after the change: over draw weight, an arrow's least mass, and spine that keeps step."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.arrows import by_proportion
from quarterturn.figures.chart import line_chart
from quarterturn.figures.chart_data import Chart, Dots, Mark, Ribbon, Series
from quarterturn.widgets import bow_wording, turn_prediction
from quarterturn.widgets.after import arrow_wording
from quarterturn.widgets.after.form import NAME
from quarterturn.widgets.after.inputs import BowChange
from quarterturn.widgets.answer import Drawing

ROOM, MORE = 0.12, 0.03
"""A chart goes on by so much of the draw weight before, either way; and by so much beyond that after, where it lies
farther off. So it stands still while a bolt is turned."""
POINTS = 12
"""Pieces of a curve."""


def _reach(shown: BowChange, weight: str) -> tuple[float, float]:
    """From which draw weight to which a chart goes, in that unit."""
    before, after = (units.from_si(one, weight) for one in (shown.before, shown.weight))
    return min((1 - ROOM) * before, (1 - MORE) * after), max((1 + ROOM) * before, (1 + MORE) * after)


def masses(shown: BowChange) -> Drawing:
    """Draw the least mass over draw weight, and the arrow before and after; under it the sliders of the bolts."""
    values = shown.values
    weight, unit = bow_wording.force_unit(values), arrow_wording.mass_unit(values)
    before, after = (units.from_si(one, weight) for one in (shown.before, shown.weight))
    low, high = _reach(shown, weight)

    ends = tuple((at, units.from_si(shown.least * units.to_si(at, weight), unit)) for at in (low, high))
    arrow = None if shown.mass is None else units.from_si(shown.mass, unit)
    top, light = 1.15 * max(ends[1][1], arrow or 0.0), "too light" if shown.by_maker else "certainly too light"
    picture = line_chart(
        Chart(
            x_label=f"draw weight at {bow_wording.own_draw(values)}, {units.unit(weight).symbol}",
            y_label=f"mass of an arrow, {units.unit(unit).symbol}",
            series=(Series("limb maker's minimum" if shown.by_maker else "general figure", ends),),
            marks=() if arrow is not None else (Mark(after, "your bow", "now"),),
            x_range=(low, high),
            y_range=(0.0, top),
            x_unit=units.unit(weight).symbol,
            y_unit=units.unit(unit).symbol,
            x_decimals=1,
            y_decimals=0 if unit == "gr" else 1,
            ribbons=(Ribbon(light, tuple((at, 0.0, mass) for at, mass in ends)),),
            dots=() if arrow is None else _arrow_dots(shown, before, after, arrow),
        ),
        prefix=f"{NAME}-mass",
        name="mass",
        title="An arrow's mass over the draw weight",
    )
    return Drawing(
        picture,
        f"On the hatched side an arrow is {light} for the bow. Turn the bolts and watch your arrow.",
        hands=turn_prediction.sliders(shown.prediction),
    )


def _arrow_dots(shown: BowChange, before: float, after: float, arrow: float) -> tuple[Dots, ...]:
    """The arrow over the draw weight before the change, and after one that was made or foretold."""
    stood = Dots("before", ((before, arrow),), "cross")
    if shown.by not in ("weighed", "foretold"):
        return (stood,)
    return stood, Dots("weighed since" if shown.by == "weighed" else "expected", ((after, arrow),), "ring")


def spines(shown: BowChange) -> Drawing | None:
    """Draw the spine that keeps step over draw weight, as on the shaft or in percent of it; None without a change."""
    if shown.after is None:
        return None
    values = shown.values
    weight = bow_wording.force_unit(values)
    unit = "percent" if shown.spine is None else arrow_wording.spine_unit(values)
    spine = 1.0 if shown.spine is None else shown.spine
    low, high = _reach(shown, weight)

    def kept(at: float) -> float:
        return units.from_si(by_proportion(spine, shown.before, units.to_si(at, weight)), unit)

    places = [low + (high - low) * at / POINTS for at in range(POINTS + 1)]
    before, after = (units.from_si(one, weight) for one in (shown.before, shown.after))
    dots = [Dots("before", ((before, kept(before)),), "cross")]
    if shown.by != "same":
        dots.append(Dots("after", ((after, kept(after)),), "ring"))
    picture = line_chart(
        Chart(
            x_label=f"draw weight at {bow_wording.own_draw(values)}, {units.unit(weight).symbol}",
            y_label="spine, % of your shaft's" if unit == "percent" else f"spine, {units.unit(unit).symbol}",
            series=(Series("keeps step", tuple((at, kept(at)) for at in places)),),
            x_range=(low, high),
            x_unit=units.unit(weight).symbol,
            y_unit=units.unit(unit).symbol,
            x_decimals=1,
            y_decimals=2 if unit == "mm" else 0,
            dots=tuple(dots),
        ),
        prefix=f"{NAME}-spine",
        name="spine",
        title="Spine that keeps step with draw weight",
    )
    return Drawing(picture, "A rule of proportion, for the same length, point and mass of arrow. It chooses no shaft.")
