"""What was set and read, each reading beside what was foretold; how far it has come, by name."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import WHAT, PredictionCheck
from quarterturn.numbers import fixed
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording, plan_wording, words
from quarterturn.widgets.answer import Status, Table, Value, ValueList
from quarterturn.widgets.carry_out import progress
from quarterturn.widgets.plan_wording import NAMED
from quarterturn.widgets.planned_change import PlannedChange


def bare(text: str) -> str:
    """Without the unit, which stands over the column."""
    return text.rsplit(" ", 1)[0]


def course(shown: PlannedChange) -> Table | None:
    """Everything that was set and read, each reading beside what the ones before it had foretold."""
    if not progress.carried(shown):
        return None
    checks = {(id(one.reading), one.what): one for one in shown.checks}
    rows = []
    symbols = [bow_wording.force_unit(shown.values) if what == "weight" else shown.prediction.unit for what in WHAT]
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
        "Turns out from zero. In brackets: what was expected from the readings before it.",
    )


def _read(value: float | None, what: str, check: PredictionCheck | None, shown: PlannedChange) -> str:
    if value is None:
        return "not read"
    read = (
        bow_wording.force(value, bow_wording.force_unit(shown.values))
        if what == "weight"
        else bow_wording.length(value, shown.prediction.unit)
    )
    if check is None:
        return bare(read)
    foretold = (
        plan_wording.weight(check.foretold, shown) if what == "weight" else plan_wording.span(check.foretold, shown)
    )
    return f"{bare(read)} ({bare(foretold)}{'' if check.agrees else ': not expected'})"


def _made(shown: PlannedChange) -> tuple[Value, ...]:
    """On which day the plan was made and where the bolts were then, as far as that is kept."""
    made = shown.values.day("planned_on")
    if made is None:
        return ()
    found = [Value("planned_on", "Plan made on", None, "", words.day(made), Status.ENTERED)]
    places = [shown.values.optional(f"planned_{bolt}") for bolt in BOLTS]
    if None not in places:
        text = " / ".join(fixed(place or 0.0, 2) for place in places)
        found.append(Value("planned_at", "Upper and lower bolt then", None, "", text, Status.ENTERED))
    return tuple(found)


def progress_values(shown: PlannedChange) -> ValueList:
    """How far it has come, by name."""
    status = shown.prediction.status
    left, done = shown.left, len(shown.course.reads) - 1
    wrong = len(progress.amiss(shown))
    return ValueList(
        "progress",
        "How far it has come",
        (
            Value("rows", "Entries in your log that count", float(done), "count", str(done), status),
            *(() if shown.plan is None else (Value("left", "Steps left", float(left), "count", str(left), status),)),
            *_made(shown),
            Value("amiss", "Newest readings not as expected", float(wrong), "count", str(wrong), status),
        ),
        folded=True,
    )
