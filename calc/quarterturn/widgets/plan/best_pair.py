"""The nearest setting, those after it, and what both windows leave."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import WHAT
from quarterturn.bench.plan import PlacePair, Plan
from quarterturn.numbers import fixed, quarters, same
from quarterturn.widgets import bow_wording, plan_map, plan_wording, words
from quarterturn.widgets.answer import Status, Table, Value, ValueList
from quarterturn.widgets.plan_wording import NAMED
from quarterturn.widgets.planned_change import PlannedChange


def best(shown: PlannedChange, plan: Plan) -> ValueList:
    """What the best pair gives, with its uncertainties."""
    unit, status = shown.prediction.unit, shown.prediction.status
    listed = [
        Value(
            *(f"{bolt}_turns", f"{bolt.capitalize()} bolt", plan.best.change[at], "turn"),
            *(_turned(plan.best.change[at]), status),
            note=f"then {bow_wording.position(plan.best.turns[at])}",
        )
        for at, bolt in enumerate(("upper", "lower"))
    ]
    for what in WHAT:
        found = shown.course.foretell(plan.best.turns, what)
        symbol = bow_wording.force_unit(shown.values) if what == "weight" else unit
        listed.append(
            Value(
                *(f"best_{what}", NAMED[what], units.from_si(found.value, symbol), symbol),
                *(plan_wording.weight(found, shown) if what == "weight" else plan_wording.span(found, shown), status),
                uncertainty=units.from_si(found.expanded / 2, symbol),
            )
        )
    made = shown.values.day("planned_on")
    if made is not None:
        listed.append(Value("planned_on", "Plan made on", None, "", words.day(made), Status.ENTERED))
    listed.append(Value("pairs", "Settings looked at", float(len(plan.places)), "count", str(len(plan.places)), status))
    return ValueList("best", "The nearest setting", tuple(listed))


def _turned(turns: float) -> str:
    if same(turns, 0.0):
        return "stays"
    return f"{quarters(abs(turns))} {words.turn_word(turns)} {'out' if turns > 0 else 'in'}"


def ranking(shown: PlannedChange, plan: Plan) -> Table:
    """The best pair and those after it, where the bolts stand, and the pair that is looked at."""
    rows = [_row("nearest", plan.best, shown)]
    rows += [_row(str(place), one, shown) for place, one in enumerate(plan.next, 2)]
    rows.append(_row("now", plan.here, shown))
    looked = plan_map.looked_at(shown, plan)
    if looked is not None:
        rows.append(_row("looked at", looked, shown))
    elif shown.prediction.turned:
        rows.append(("looked at", *map(plan_wording.turned, shown.prediction.change), *4 * ("not predicted",)))
    weight, unit = units.unit(bow_wording.force_unit(shown.values)).symbol, units.unit(shown.prediction.unit).symbol
    error = plan.error
    weight_error = _most(bow_wording.force(error.weight, bow_wording.force_unit(shown.values), 3))
    tiller_error = _most(bow_wording.length(error.tiller, shown.prediction.unit, 3))
    return Table(
        "ranking",
        "The nearest settings",
        ("", "upper", "lower", weight, f"tiller, {unit}", f"off, {unit}", f"brace height, {unit}"),
        tuple(rows),
        f"Off: how far from what you want, counted in tiller; a pound counts as much as "
        f"{bow_wording.length(shown.values.number('tiller_worth'), shown.prediction.unit)}. These settings were solved "
        f"one by one, and the rest of the map is estimated. The estimate was checked on {error.places} solved "
        f"settings, some of them where it is worst. It is off by {weight_error} and {tiller_error} of tiller. Not "
        "predicted: not in the map, because a bolt would leave its safe range, or it is no whole quarter of a turn.",
    )


def _most(text: str) -> str:
    """At most so much; less than its last digit where that is nothing."""
    number, symbol = text.split(" ", 1)
    return f"at most {text}" if number.strip("0.,") else f"less than {number[:-1]}1 {symbol}"


def reach(shown: PlannedChange, plan: Plan) -> ValueList:
    """From where to where the bow can be set inside both windows, and what counts as near enough."""
    weight, unit, status = bow_wording.force_unit(shown.values), shown.prediction.unit, shown.prediction.status
    listed = [
        Value(
            *(name, label, units.from_si(value, weight), weight, bow_wording.force(value, weight), status),
        )
        for name, label, value in zip(
            ("weight_from", "weight_to"), ("Least draw weight", "Most draw weight"), plan.weights, strict=True
        )
    ]
    listed += [
        Value(*(name, label, units.from_si(value, unit), unit, bow_wording.length(value, unit), status))
        for name, label, value in zip(
            ("tiller_from", "tiller_to"), ("Least tiller", "Most tiller"), plan.tillers, strict=True
        )
    ]
    near = (bow_wording.force(plan.near[0], weight), bow_wording.length(plan.near[1], unit))
    listed += [
        Value(*("near_weight", "Near enough in weight", units.from_si(plan.near[0], weight), weight, near[0], status)),
        Value(*("near_tiller", "Near enough in tiller", units.from_si(plan.near[1], unit), unit, near[1], status)),
    ]
    return ValueList("reach", "What both safe ranges allow", tuple(listed), folded=True)


def _row(name: str, place: PlacePair, shown: PlannedChange) -> tuple[str, ...]:
    unit = shown.prediction.unit
    decimals = 1 if unit == "mm" else 3
    weight = fixed(units.from_si(place.weight, bow_wording.force_unit(shown.values)), 1)
    lengths = (place.tiller, place.cost, place.brace_height)
    return (
        name,
        *map(plan_wording.turned, place.change),
        weight,
        *(fixed(units.from_si(each, unit), decimals) for each in lengths),
    )
