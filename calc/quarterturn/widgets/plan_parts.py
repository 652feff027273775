"""What the pages that plan a change and carry it out both show: the map of pairs, and what it is foretold by."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import WHAT
from quarterturn.bench.plan import Place, Plan
from quarterturn.figures.pair_map import PairMap, pair_map
from quarterturn.numbers import fixed, same
from quarterturn.widgets import about_bow as said
from quarterturn.widgets.about_plan import BY, NAMED, Planned
from quarterturn.widgets.answer import Drawing, Table


def map_of(shown: Planned, plan: Plan, widget: str) -> Drawing:
    """Draw every pair inside both windows, draw weight against tiller."""
    weight, unit = said.force_unit(shown.values), shown.about.unit
    upper = sorted({one.turns[0] for one in plan.places})
    lower = sorted({one.turns[1] for one in plan.places})
    at = {one.turns: one for one in (*plan.places, plan.here, plan.best, *plan.next)}  # what was solved comes last
    now = shown.course.now.turns

    def index(place: Place | None) -> tuple[int, int] | None:
        if place is None or place.turns[0] not in upper or place.turns[1] not in lower:
            return None
        return upper.index(place.turns[0]), lower.index(place.turns[1])

    def drawn(place: Place) -> tuple[float, float]:
        return units.from_si(place.weight, weight), units.from_si(place.tiller, unit)

    best = index(plan.best)
    looked = next((one for one in plan.places if all(map(same, one.change, shown.about.change)) and one.turned), None)
    picture = pair_map(
        PairMap(
            points=tuple(tuple(drawn(at[(one, two)]) for two in lower) for one in upper),
            changes=(tuple(one - now[0] for one in upper), tuple(two - now[1] for two in lower)),
            now=index(plan.here),
            best=best or (0, 0),
            following=tuple(
                found for one in plan.next if (found := index(one)) is not None and found != index(plan.here)
            ),
            looked=index(looked) if widget == "plan" else None,
            wish=(units.from_si(plan.wish.weight, weight), units.from_si(plan.wish.tiller, unit)),
            near=(units.from_si(plan.near[0], weight), units.from_si(plan.near[1], unit)),
            x_label=f"draw weight at {said.own_draw(shown.values)}, {units.unit(weight).symbol}",
            y_label=f"tiller, {units.unit(unit).symbol}",
            x_unit=units.unit(weight).symbol,
            y_unit=units.unit(unit).symbol,
            fields=("upper_change", "lower_change") if widget == "plan" else ("", ""),
            decimals=(1, 1 if unit == "mm" else 3),
        ),
        prefix=f"{widget}-pairs",
        name="pairs",
        title="All pairs inside both windows",
    )
    return Drawing(picture, "Each crossing of two lines is a pair of settings, a quarter of a turn from the next.")


def foretold_by(shown: Planned) -> Table:
    """What the predictions stand on: each number's anchor, and what the computed change is multiplied by."""
    rows = []
    for what in WHAT:
        anchor, factor = shown.course.anchor(what), shown.course.factor(what)
        rows.append(
            (
                NAMED[what].lower(),
                anchor.label,
                BY[factor.by],
                f"{fixed(factor.value, 2)} ±\u00a0{fixed(2 * factor.doubt, 2)}",
            )
        )
    return Table(
        "foretold-by",
        "What it stands on",
        ("number", "goes on from", "foretold", "times the computed change"),
        tuple(rows),
        "Two settings that you read tell what a turn does on your bow; they count where they differ by more than "
        "reading can be off by. Enter them in your log.",
        folded=True,
    )
