"""The tables of the page on carrying a plan out."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import WHAT, PredictionCheck
from quarterturn.numbers import fixed, same
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import about_plan as told
from quarterturn.widgets import words
from quarterturn.widgets.about_plan import NAMED, Planned
from quarterturn.widgets.answer import Points, Status, Steps, Table, Value, ValueList
from quarterturn.widgets.carry_out import sentences


def next_step(shown: Planned) -> Steps | None:
    """The next step in full, as it is done at the bench; nothing where none is left, or something comes before it."""
    if not sentences.goes_on(shown):
        return None
    step = shown.steps[0]
    turn = told.turning(step.change)
    upper, lower = (fixed(place, 2) for place in step.turns)
    so_far = sentences.done(shown)
    return Steps(
        "next-step",
        told.title_of_steps(shown, f"Step {so_far + 1} of {so_far + shown.left}"),
        (
            *told.at_bench(f"Turn {turn}.", f"Measure. Expect {told.expected(step, shown)}."),
            f"Another reading: recount, or stop and look. If it is as expected, make a new entry: today's date, upper "
            f"bolt at {upper}, lower bolt at {lower}, and what you read.",
        ),
    )


def step_back(shown: Planned) -> Points | None:
    """The way back to the setting before; always there once something was carried out."""
    if not sentences.carried(shown):
        return None
    return Points("back", "A step back is always open", (sentences.back(shown),))


def rest(shown: Planned) -> Table | None:
    """The steps that are left, with what to expect."""
    if not sentences.goes_on(shown):
        return None
    unit, weight = units.unit(shown.about.unit).symbol, units.unit(said.force_unit(shown.values)).symbol
    rows = tuple(
        (
            str(place),
            *(told.turned(each) if not same(each, 0.0) else "stays" for each in step.change),
            *(
                _bare(told_)
                for told_ in (
                    told.weight(step.weight, shown),
                    told.span(step.tiller, shown),
                    told.span(step.brace_height, shown),
                )
            ),
        )
        for place, step in enumerate(shown.steps, 1)
    )
    return Table(
        "rest",
        told.title_of_steps(shown, "The steps that are left"),
        ("step", "upper", "lower", weight, f"tiller, {unit}", f"brace height, {unit}"),
        rows,
        "They are planned anew from every reading. After ±: about 95 %, the doubt of your next reading within it.",
    )


def _bare(text: str) -> str:
    """Without the unit, which stands over the column."""
    return text.rsplit(" ", 1)[0]


def course(shown: Planned) -> Table | None:
    """Everything that was set and read, each reading beside what the ones before it had foretold."""
    if not sentences.carried(shown):
        return None
    checks = {(id(one.reading), one.what): one for one in shown.checks}
    rows = []
    symbols = [said.force_unit(shown.values) if what == "weight" else shown.about.unit for what in WHAT]
    for one in shown.course.reads:
        cells = [_read(one.get(what), what, checks.get((id(one), what)), shown) for what in WHAT]
        rows.append((one.label, f"{fixed(one.turns[0], 2)} / {fixed(one.turns[1], 2)}", *cells))
    return Table(
        "course",
        "What was set and read",
        (
            "when",
            "upper / lower",
            *(
                f"{NAMED[what].lower()}, {units.unit(symbol).symbol}"
                for what, symbol in zip(WHAT, symbols, strict=True)
            ),
        ),
        tuple(rows),
        "Turns out from zero. In brackets: what the readings before it foretold.",
    )


def _read(value: float | None, what: str, check: PredictionCheck | None, shown: Planned) -> str:
    if value is None:
        return "not read"
    read = (
        said.force(value, said.force_unit(shown.values)) if what == "weight" else said.length(value, shown.about.unit)
    )
    if check is None:
        return _bare(read)
    foretold = told.weight(check.foretold, shown) if what == "weight" else told.span(check.foretold, shown)
    return f"{_bare(read)} ({_bare(foretold)}{'' if check.agrees else ': not as foretold'})"


def _made(shown: Planned) -> tuple[Value, ...]:
    """On which day the plan was made and where the bolts were then, as far as that is kept."""
    made = shown.values.day("planned_on")
    if made is None:
        return ()
    found = [Value("planned_on", "The plan was made on", None, "", words.day(made), Status.ENTERED)]
    places = [shown.values.optional(f"planned_{bolt}") for bolt in BOLTS]
    if None not in places:
        text = " / ".join(fixed(place or 0.0, 2) for place in places)
        found.append(Value("planned_at", "Upper and lower bolt then, from zero", None, "", text, Status.ENTERED))
    return tuple(found)


def progress(shown: Planned) -> ValueList:
    """How far it has come, by name."""
    status = shown.about.status
    left, done = shown.left, len(shown.course.reads) - 1
    wrong = len(sentences.amiss(shown))
    return ValueList(
        "progress",
        "How far it has come",
        (
            Value("rows", "Entries in your log that count", float(done), "count", str(done), status),
            *(() if shown.plan is None else (Value("left", "Steps left", float(left), "count", str(left), status),)),
            *_made(shown),
            Value("amiss", "Newest readings that are not as foretold", float(wrong), "count", str(wrong), status),
        ),
        folded=True,
    )
