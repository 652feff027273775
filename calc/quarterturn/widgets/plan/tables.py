"""The values and tables of the page that plans a change."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT
from quarterturn.bench.plan import PlacePair, Plan
from quarterturn.numbers import fixed, quarters, same
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import about_plan as told
from quarterturn.widgets import words
from quarterturn.widgets.about_plan import NAMED, Planned
from quarterturn.widgets.answer import Points, Status, Steps, Table, Value, ValueList


def before(shown: Planned, plan: Plan) -> Points | None:
    """What comes before the first step; nothing where there is none."""
    if not shown.left:
        return None
    points = [
        "The maker's manual, and what it permits. Both witness marks. Brace height, both tillers and draw weight, once "
        "more."
    ]
    if plan.best.weight > plan.here.weight:
        points.append(
            "The bow becomes stronger: look up how far its limbs may be drawn, and how heavy the arrow must be then."
        )
    return Points("before", "Before the first step", tuple(points), "caution")


def steps(shown: Planned, plan: Plan) -> Steps | None:
    """The plan, step by step; nothing where there is nothing to do."""
    found = shown.steps
    if not found:
        return None
    count = "one step" if len(found) == 1 else f"{len(found)} steps"
    return Steps(
        "steps",
        told.title_of_steps(shown, f"{'The plan' if plan.within else 'The way to the nearest'}, {count}"),
        tuple(told.in_words(step, shown) for step in found),
        "Enter what you measure on the next page. It holds each reading against what was foretold, and plans the rest "
        "anew.",
    )


def each_step(shown: Planned) -> Steps | None:
    """How a step is done at the bench; nothing where none is planned."""
    if not shown.left:
        return None
    return Steps(
        "each-step",
        "How each step goes",
        told.at_bench(
            "Turn, and count aloud. In is clockwise, as you face the head.",
            "Measure draw weight, both tillers and brace height, and write them down.",
        ),
    )


def best(shown: Planned, plan: Plan) -> ValueList:
    """What the best pair gives, with its doubts."""
    unit, status = shown.about.unit, shown.about.status
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
    made = shown.values.day("planned_on")
    if made is not None:
        listed.append(Value("planned_on", "The plan was made on", None, "", words.day(made), Status.ENTERED))
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
    elif shown.about.turned:
        rows.append(("looked at", *map(_stays, shown.about.change), *4 * ("not foretold",)))
    weight, unit = units.unit(said.force_unit(shown.values)).symbol, units.unit(shown.about.unit).symbol
    error = plan.error
    return Table(
        "ranking",
        "The best, and those after it",
        ("", "upper", "lower", weight, f"tiller, {unit}", f"off, {unit}", f"brace height, {unit}"),
        tuple(rows),
        f"Off: how far from what is wanted, counted in tiller; a pound counts as much as "
        f"{said.length(shown.values.number('tiller_worth'), shown.about.unit)}. These pairs were solved one by one. "
        f"The rest of the map is estimated; held against {error.places} pairs that were solved, some of them where it "
        f"is worst, the estimate is off by {_most(said.force(error.weight, said.force_unit(shown.values), 3))} and "
        f"{_most(said.length(error.tiller, shown.about.unit, 3))} of tiller. Not foretold: not in the map, because a "
        "bolt would leave its window, or it is no whole quarter of a turn.",
    )


def _most(text: str) -> str:
    """At most so much; less than its last digit where that is nothing."""
    number, symbol = text.split(" ", 1)
    return f"at most {text}" if number.strip("0.,") else f"less than {number[:-1]}1 {symbol}"


def reach(shown: Planned, plan: Plan) -> ValueList:
    """From where to where the bow can be set inside both windows, and what counts as near enough."""
    weight, unit, status = said.force_unit(shown.values), shown.about.unit, shown.about.status
    listed = [
        Value(
            *(name, label, units.from_si(value, weight), weight, said.force(value, weight), status),
        )
        for name, label, value in zip(
            ("weight_from", "weight_to"), ("Least draw weight", "Most draw weight"), plan.weights, strict=True
        )
    ]
    listed += [
        Value(*(name, label, units.from_si(value, unit), unit, said.length(value, unit), status))
        for name, label, value in zip(
            ("tiller_from", "tiller_to"), ("Least tiller", "Most tiller"), plan.tillers, strict=True
        )
    ]
    near = (said.force(plan.near[0], weight), said.length(plan.near[1], unit))
    listed += [
        Value(*("near_weight", "Near enough in weight", units.from_si(plan.near[0], weight), weight, near[0], status)),
        Value(*("near_tiller", "Near enough in tiller", units.from_si(plan.near[1], unit), unit, near[1], status)),
    ]
    return ValueList("reach", "What both windows leave", tuple(listed), folded=True)


def _row(name: str, place: PlacePair, shown: Planned) -> tuple[str, ...]:
    unit = shown.about.unit
    decimals = 1 if unit == "mm" else 3
    weight = fixed(units.from_si(place.weight, said.force_unit(shown.values)), 1)
    lengths = (place.tiller, place.cost, place.brace_height)
    return (
        name,
        *map(_stays, place.change),
        weight,
        *(fixed(units.from_si(each, unit), decimals) for each in lengths),
    )


def _stays(turns: float) -> str:
    return "stays" if same(turns, 0.0) else told.turned(turns)


def looked_at(shown: Planned, plan: Plan) -> PlacePair | None:
    """The pair that is looked at, where it is one of the map's; None where it is not, or is where the bolts stand."""
    change: Pair = shown.about.change
    return next((one for one in plan.places if all(map(same, one.change, change)) and one.turned), None)


def one_more(shown: Planned) -> Points:
    """Without readings of the bow: what one reading more would buy."""
    lacking = set(shown.bow.missing)
    points = []
    if lacking & {"draw_weight", "scale_readings"}:
        points.append(
            "One weighing at your draw length, and the page tells pounds: what each pair gives, and which pair gives "
            "the weight that you want."
        )
    if lacking & {"upper_tiller", "lower_tiller", "brace_height"}:
        points.append(
            "Brace height and both tillers, and the page tells tiller: which bolt to turn farther, and by how much."
        )
    points.append(
        "The same three things measured again after one step, and the page tells what a turn does on your very bow."
    )
    return Points("one-more", "What one reading more would buy", tuple(points))


def room(shown: Planned) -> Table | None:
    """How far each bolt and both can go inside their windows, in whole quarters."""
    windows = shown.bow.windows
    if windows is None:
        return None
    ways = []
    for place, window in zip(shown.course.now.turns, windows, strict=True):
        inward, outward = max(0.0, place - window.inner.usable), max(0.0, window.outer.usable - place)
        ways.append((inward, outward))
    (upper_in, upper_out), (lower_in, lower_out) = ways
    found = (
        ("upper bolt in", upper_in),
        ("upper bolt out", upper_out),
        ("lower bolt in", lower_in),
        ("lower bolt out", lower_out),
        ("both in", min(upper_in, lower_in)),
        ("both out", min(upper_out, lower_out)),
        ("upper in, lower out", min(upper_in, lower_out)),
        ("upper out, lower in", min(upper_out, lower_in)),
    )
    return Table(
        "room",
        "How much room there is",
        ("turned", "turns"),
        tuple((name, _down(room)) for name, room in found),
        "Whole quarters, from where the bolts stand to the last place inside their windows.",
        folded=not shown.alone,
    )


def _down(turns: float) -> str:
    return quarters(int(turns / 0.25 + 1e-9) * 0.25)
