"""The tables of the log: from entry to entry, what the bow's own turns did, all entries by date."""

from __future__ import annotations

from quarterturn import days, units
from quarterturn.bench.log import READINGS, LogChange, LogEntry, OwnTurn, Rate
from quarterturn.bench.uncertainty import COVERAGE_FACTOR
from quarterturn.numbers import fixed
from quarterturn.widgets.answer import Table
from quarterturn.widgets.bow_wording import signed
from quarterturn.widgets.log.inputs import DECIMALS, LABELS, LogInputs, is_still

NONE = "–"
FEW = 12
"""A longer table is folded at first."""


def changes(inputs: LogInputs) -> Table | None:
    """What changed from each entry to the next; nothing with a single one."""
    found = inputs.log.changes
    if not found:
        return None
    heads = tuple(f"{LABELS[name]}, {inputs.symbol(name)}" for name in READINGS)
    return Table(
        "changes",
        "From entry to entry",
        ("from, to", "upper bolt, turns", "lower bolt, turns", *heads),
        tuple(_change_row(inputs, change) for change in found),
        f"Turns out are positive. {NONE} where it was not written, or not read, in both. A bolt is where it was last "
        "written.",
        folded=len(found) > FEW,
    )


def _change_row(inputs: LogInputs, change: LogChange) -> tuple[str, ...]:
    turned = [NONE if by is None else _turned(by) for by in change.turned]
    read = [NONE if (by := change.of(name)) is None else inputs.change(name, by) for name in READINGS]
    return (_between(change.before, change.after), *turned, *read)


def _turned(by: float) -> str:
    return "0" if is_still(by) else signed(fixed(by, 2))


def _between(before: LogEntry, after: LogEntry) -> str:
    return f"{days.isoformat(before.day)} to {days.isoformat(after.day)}"


def turns(inputs: LogInputs) -> Table | None:
    """What one turn in did to this bow, by its own readings; nothing where no bolt was turned alone between two."""
    found = inputs.own_turns
    if not found:
        return None
    return Table(
        "own-turns",
        "What your own turns did",
        (
            "from, to",
            "turned",
            f"draw weight, {inputs.symbol('weight')}, for one turn in",
            f"tiller, {inputs.symbol('tiller')}, for one turn in",
        ),
        tuple(_turn_row(inputs, one) for one in found),
        "Only where one bolt was turned, or both alike, between two readings of the same thing. Only turns from an "
        "eighth to two are used, where no number jumped. After ±: about 95 % (U = 2u, GUM), only from how closely you "
        "read. Where it is larger than the number, your readings show no effect of the turn. A new string, other limbs "
        "or another draw length cannot be seen here.",
        folded=len(found) > FEW,
    )


def _turn_row(inputs: LogInputs, one: OwnTurn) -> tuple[str, ...]:
    which = "both bolts" if one.bolt == "both" else f"{one.bolt} bolt"
    way = "out" if one.turns > 0 else "in"
    return (
        _between(one.before, one.after),
        f"{which} {way} {fixed(abs(one.turns), 2)}",
        _rate(inputs, "weight", one.weight),
        _rate(inputs, "tiller", one.tiller),
    )


def _rate(inputs: LogInputs, name: str, rate: Rate | None) -> str:
    if rate is None:
        return NONE
    uncertainty = fixed(
        units.from_si(COVERAGE_FACTOR * rate.uncertainty, inputs.unit(name)), DECIMALS[inputs.unit(name)] + 1
    )
    return f"{signed(inputs.number(name, rate.by_turn, 1))} ±\u00a0{uncertainty}"


def entries(inputs: LogInputs) -> Table:
    """All entries that are used, by date."""
    heads = tuple(f"{LABELS[name]}, {inputs.symbol(name)}" for name in READINGS)
    return Table(
        "entries",
        "The entries by date",
        ("date", "upper bolt, turns", "lower bolt, turns", *heads),
        tuple(_entry_row(inputs, entry) for entry in inputs.log.entries),
        "Turns out from zero. In brackets: not in the entry, but written before.",
        folded=True,
    )


def _entry_row(inputs: LogInputs, entry: LogEntry) -> tuple[str, ...]:
    places = [
        _place(written, stands) for written, stands in zip((entry.upper_at, entry.lower_at), entry.stands, strict=True)
    ]
    read = [NONE if (value := entry.reading(name)) is None else inputs.number(name, value) for name in READINGS]
    return (days.isoformat(entry.day), *places, *read)


def _place(written: float | None, stands: float | None) -> str:
    if written is not None:
        return fixed(written, 2)
    return NONE if stands is None else f"({fixed(stands, 2)})"
