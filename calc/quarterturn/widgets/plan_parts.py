"""What the pages that plan a change and carry it out both show: the map, what foretells, a step in turns alone."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import WHAT
from quarterturn.bench.plan import PlacePair, Plan
from quarterturn.figures.pair_map import PairMap, pair_map
from quarterturn.numbers import fixed, same
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import about_bow as said
from quarterturn.widgets.about_plan import BY, NAMED, Planned, at_bench, plan_entries
from quarterturn.widgets.answer import Drawing, Offer, Steps, Table


def map_of(shown: Planned, plan: Plan, widget: str) -> Drawing:
    """Draw every pair inside both windows, draw weight against tiller."""
    weight, unit = said.force_unit(shown.values), shown.about.unit
    upper = sorted({one.turns[0] for one in plan.places})
    lower = sorted({one.turns[1] for one in plan.places})
    at = {one.turns: one for one in (*plan.places, plan.here, plan.best, *plan.next)}  # what was solved comes last
    now = shown.course.now.turns

    def index(place: PlacePair | None) -> tuple[int, int] | None:
        if place is None or place.turns[0] not in upper or place.turns[1] not in lower:
            return None
        return upper.index(place.turns[0]), lower.index(place.turns[1])

    def drawn(place: PlacePair) -> tuple[float, float]:
        return units.from_si(place.weight, weight), units.from_si(place.tiller, unit)

    best = index(plan.best)
    looked = next((one for one in plan.places if all(map(same, one.change, shown.about.change)) and one.turned), None)
    picture = pair_map(
        PairMap(
            points=tuple(tuple(drawn(at[(one, two)]) for two in lower) for one in upper),
            changes=(tuple(one - now[0] for one in upper), tuple(two - now[1] for two in lower)),
            now=index(plan.here),
            best=best or (0, 0),
            following=tuple(None if (found := index(one)) == index(plan.here) else found for one in plan.next),
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
    caption = "Each crossing of two lines is a pair of settings, a quarter of a turn from the next."
    if widget != "plan":
        return Drawing(picture, caption)
    return Drawing(
        picture,
        f"{caption} Tap one, or move the sliders, to look at it. That changes nothing of your bow.",
        hands=said.hands(shown.about),
    )


def foretold_by(shown: Planned) -> Table:
    """What the predictions stand on: what one turn in of either bolt does, found by what, from which reading on."""
    rows = [_by_turn(shown, what, at) for what in WHAT for at in range(len(BOLTS))]
    return Table(
        "foretold-by",
        "What it stands on",
        ("one turn in", "does", "found by", "goes on from"),
        tuple(rows),
        "After ±: about 95 %. Each number goes on from its newest reading. Your own settings tell what a turn does on "
        "your bow: they count for as much as they are surer than the computed bow.",
        folded=True,
    )


def _by_turn(shown: Planned, what: str, at: int) -> tuple[str, str, str, str]:
    told, anchor = shown.course.turn(what), shown.course.anchor(what)
    name = f"{BOLTS[at]} bolt: {NAMED[what].lower()}"
    if told is None:
        return name, "not known", "its doubt cannot be computed", anchor.label
    symbol = said.force_unit(shown.values) if what == "weight" else shown.about.unit
    decimals = 3 if symbol == "in" else 2
    value, uncertainty = (
        fixed(units.from_si(each, symbol), decimals) for each in (-told[at].value, 2 * told[at].uncertainty)
    )
    return name, f"{said.signed(value)} ±\u00a0{uncertainty} {units.unit(symbol).symbol}", BY[told[at].by], anchor.label


def new_plan(shown: Planned) -> list[Offer]:
    """A button that makes a new plan from what was read last; none where the plan is from there, or no day is told."""
    today = shown.values.today
    if today is None or not shown.own or not shown.values.entered("planned_on"):
        return []
    entries = plan_entries(shown, shown.course, today)
    if all(shown.values.record.entries.get(name) == entry for name, entry in entries[1:]):
        return []
    return [
        Offer(
            "new-plan",
            "This plan goes on from where it was made",
            "An empty wish means what was read when the plan was made. A new plan takes what was read last.",
            "Make a new plan",
            entries,
        )
    ]


def in_turns() -> Steps:
    """A plan in turns alone, for a bow of which nothing is foretold."""
    return Steps(
        "in-turns",
        "One step, in turns alone",
        (
            "Before anything is turned: the maker's manual and what it permits. Both witness marks. Brace height and "
            "both tillers, with a tape.",
            *at_bench(
                "Turn both bolts alike, from where they stand: a quarter or half a turn, in (clockwise, facing the "
                "head) for more draw weight, out for less. A bolt that would come within a quarter of a turn of its "
                "window's end stays.",
                "Measure brace height and both tillers. Is the upper limb farther from the string than before, "
                "compared with the lower one? A quarter of a turn more of the upper bolt in, or of the lower one out, "
                "brings it back. Is it nearer? The other way round.",
            ),
        ),
    )
