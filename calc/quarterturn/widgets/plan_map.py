"""The map of all pairs of settings inside both windows, draw weight against tiller."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quarterturn import units
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.plan import PlacePair, Plan
from quarterturn.numbers import same
from quarterturn.widgets import bow_wording, turn_prediction
from quarterturn.widgets.answer import Drawing
from quarterturn.widgets.planned_change import PlannedChange

if TYPE_CHECKING:
    from quarterturn.figures.pair_map import PairMap

CAPTION = "Each crossing of two lines is a setting, a quarter of a turn from the next."


def map_of(shown: PlannedChange, plan: Plan, widget: str) -> Drawing:
    """Draw every pair inside both windows, draw weight against tiller."""
    from quarterturn.figures.pair_map import pair_map

    picture = pair_map(
        _grid(shown, plan, on_plan=widget == "plan"),
        prefix=f"{widget}-pairs",
        name="pairs",
        title="All settings inside both safe ranges",
    )
    if widget != "plan":
        return Drawing(picture, CAPTION)
    return Drawing(
        picture,
        f"{CAPTION} Tap one, or move the sliders, to look at it. Your bow stays as it is.",
        hands=turn_prediction.sliders(shown.prediction),
    )


def looked_at(shown: PlannedChange, plan: Plan) -> PlacePair | None:
    """The pair that is looked at, where it is one of the map's; None where it is not, or is where the bolts stand."""
    change: Pair = shown.prediction.change
    return next((one for one in plan.places if all(map(same, one.change, change)) and one.turned), None)


def _grid(shown: PlannedChange, plan: Plan, *, on_plan: bool) -> PairMap:
    """The pairs as a grid of the upper bolt's places by the lower one's; on the page of the plan it can be tapped."""
    from quarterturn.figures.pair_map import PairMap

    weight, unit = bow_wording.force_unit(shown.values), shown.prediction.unit
    upper = sorted({one.turns[0] for one in plan.places})
    lower = sorted({one.turns[1] for one in plan.places})
    at = {one.turns: one for one in (*plan.places, plan.here, plan.best, *plan.next)}  # what was solved comes last
    now = shown.course.now.turns

    def index(place: PlacePair | None) -> tuple[int, int] | None:
        if place is None or place.turns[0] not in upper or place.turns[1] not in lower:
            return None
        return upper.index(place.turns[0]), lower.index(place.turns[1])

    def drawn(force: float, tiller: float) -> tuple[float, float]:
        return units.from_si(force, weight), units.from_si(tiller, unit)

    return PairMap(
        points=tuple(tuple(drawn(at[(one, two)].weight, at[(one, two)].tiller) for two in lower) for one in upper),
        changes=(tuple(one - now[0] for one in upper), tuple(two - now[1] for two in lower)),
        now=index(plan.here),
        best=index(plan.best) or (0, 0),
        following=tuple(None if (found := index(one)) == index(plan.here) else found for one in plan.next),
        looked=index(looked_at(shown, plan)) if on_plan else None,
        wish=drawn(plan.wish.weight, plan.wish.tiller),
        near=drawn(*plan.near),
        x_label=f"draw weight at {bow_wording.own_draw(shown.values)}, {units.unit(weight).symbol}",
        y_label=f"tiller, {units.unit(unit).symbol}",
        x_unit=units.unit(weight).symbol,
        y_unit=units.unit(unit).symbol,
        fields=("upper_change", "lower_change") if on_plan else ("", ""),
        decimals=(1, 1 if unit == "mm" else 3),
    )
