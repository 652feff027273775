"""The values and tables of the page that plans a change."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_asked import Pair
from quarterturn.bench.course import WHAT
from quarterturn.bench.plan import Place, Plan
from quarterturn.numbers import fixed, quarters, same, trimmed
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import about_plan as told
from quarterturn.widgets import words
from quarterturn.widgets.about_plan import NAMED, Planned
from quarterturn.widgets.answer import Points, Status, Steps, Table, Value, ValueList


def _status(shown: Planned) -> Status:
    return Status.EXAMPLE if shown.about.example else Status.COMPUTED


def steps(shown: Planned) -> Steps | None:
    """The plan, step by step; nothing where there is nothing to do."""
    found = shown.steps
    if not found:
        return None
    listed = [told.in_words(step, place, len(found), shown) for place, step in enumerate(found, 1)]
    return Steps(
        "steps",
        "The plan",
        (*told.BEFORE, *listed),
        "Enter what you measure on the next page: it holds each reading against what was foretold, and the rest of the "
        "plan learns from it.",
    )


def best(shown: Planned, plan: Plan) -> ValueList:
    """What the best pair gives, with its doubts."""
    unit, status = shown.about.unit, _status(shown)
    listed = [
        Value(
            *(f"{bolt}_turns", f"{bolt.capitalize()} bolt", plan.best.change[at], "turn"),
            *(_turned(plan.best.change[at]), status),
            note=f"then {said.position(plan.best.turns[at])}",
        )
        for at, bolt in enumerate(("upper", "lower"))
    ]
    for what in WHAT:
        found = shown.course.foretell(plan.best.turns, what)
        symbol = said.force_unit(shown.values) if what == "weight" else unit
        listed.append(
            Value(
                *(f"best_{what}", NAMED[what], units.from_si(found.value, symbol), symbol),
                *(told.weight(found, shown) if what == "weight" else told.span(found, shown), status),
                uncertainty=units.from_si(found.expanded / 2, symbol),
            )
        )
    listed.append(Value("pairs", "Pairs looked at", float(len(plan.places)), "count", str(len(plan.places)), status))
    return ValueList("best", "The best pair", tuple(listed))


def _turned(turns: float) -> str:
    if same(turns, 0.0):
        return "as it stands"
    return f"{quarters(abs(turns))} {words.turn_word(turns)} {'out' if turns > 0 else 'in'}"


def ranking(shown: Planned, plan: Plan) -> Table:
    """The best pair and those after it, where the bolts stand, and the pair that is looked at."""
    rows = [_row("best", plan.best, shown)]
    rows += [_row(str(place), one, shown) for place, one in enumerate(plan.next, 2)]
    rows.append(_row("now", plan.here, shown))
    looked = looked_at(shown, plan)
    if looked is not None:
        rows.append(_row("looked at", looked, shown))
    weight, unit = units.unit(said.force_unit(shown.values)).symbol, units.unit(shown.about.unit).symbol
    error = plan.error
    return Table(
        "ranking",
        "The best, and those after it",
        ("", "turned", f"draw weight, {weight}", f"tiller, {unit}", f"brace height, {unit}", "off"),
        tuple(rows),
        f"Off: how far from what is wanted, in tiller, a pound counting as much as "
        f"{said.length(shown.values.number('tiller_worth'), shown.about.unit)}. These were solved one by one. The "
        f"map's other pairs are estimated from nine that were solved; held against {error.places} solved ones, the "
        f"estimate was off by at most {said.force(error.weight, said.force_unit(shown.values), 3)} and "
        f"{said.length(error.tiller, shown.about.unit, 3)} of tiller.",
    )


def _row(name: str, place: Place, shown: Planned) -> tuple[str, ...]:
    unit = shown.about.unit
    decimals = 1 if unit == "mm" else 3
    weight = fixed(units.from_si(place.weight, said.force_unit(shown.values)), 1)
    spans = (fixed(units.from_si(each, unit), decimals) for each in (place.tiller, place.brace_height))
    return (name, told.change(place.change), weight, *spans, said.length(place.cost, unit, decimals))


def looked_at(shown: Planned, plan: Plan) -> Place | None:
    """The pair that is looked at, where it is one of the map's; None where it is not, or is where the bolts stand."""
    change: Pair = shown.about.change
    return next((one for one in plan.places if all(map(same, one.change, change)) and one.turned), None)


def alone(shown: Planned) -> Points | None:
    """Without readings of the bow: what one reading more would buy."""
    if not shown.alone:
        return None
    lacking = set(shown.bow.missing)
    points = [
        "What you can do now: a quarter or half a turn of both bolts alike, string off, and measure before and after. "
        "A bolt that comes within a quarter of a turn of its window's end is stopped there."
    ]
    if lacking & {"draw_weight", "scale_readings"}:
        points.append(
            "One weighing at your draw length more, and the page tells pounds: what each pair gives, and which pair "
            "gives the weight that you want."
        )
    if lacking & {"upper_tiller", "lower_tiller", "brace_height"}:
        points.append(
            "Brace height and both tillers more, and the page tells tiller: which bolt to turn farther, and how far."
        )
    points.append("The numbers in the map and the table below are a made-up bow's until then, turned in your windows.")
    return Points("alone", "What one reading more would buy", tuple(points))


def room(shown: Planned) -> Table | None:
    """How far each bolt and both can go inside their windows, in whole quarters."""
    windows = shown.bow.windows
    if windows is None:
        return None
    ways = []
    for place, window in zip(shown.bow.setup.now, windows, strict=True):
        inward, outward = max(0.0, place - window.inner.usable), max(0.0, window.outer.usable - place)
        ways.append((inward, outward))
    (upper_in, upper_out), (lower_in, lower_out) = ways
    rows = (
        ("upper alone", _down(upper_in), _down(upper_out)),
        ("lower alone", _down(lower_in), _down(lower_out)),
        ("both alike", _down(min(upper_in, lower_in)), _down(min(upper_out, lower_out))),
        ("one against the other", f"upper in, lower out {_down(min(upper_in, lower_out))}",
         f"upper out, lower in {_down(min(upper_out, lower_in))}"),
    )  # fmt: skip
    return Table(
        "room",
        "How much room there is",
        ("turned", "in", "out"),
        rows,
        "In turns, whole quarters, from where the bolts stand to the last place inside their windows.",
        folded=not shown.alone,
    )


def _down(turns: float) -> str:
    return trimmed(int(turns / 0.25 + 1e-9) * 0.25, 2)
