"""The first and the last of each reading, as named values."""

from __future__ import annotations

from quarterturn import days, units
from quarterturn.bench.log import READINGS
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.answer import Value, ValueList
from quarterturn.widgets.log.inputs import LABELS, LogInputs


def first_and_last(inputs: LogInputs) -> ValueList:
    """The first and the last of each reading, by name, and where the bolts are."""
    many = len(inputs.log.entries)
    count = Value("entries", "Entries that are used", float(many), "count", str(many), inputs.status)
    readings = (value for name in READINGS for value in _of_reading(name, inputs))
    return ValueList("first-and-last", "First and last", (count, *readings, *_stands(inputs)))


def _of_reading(name: str, inputs: LogInputs) -> list[Value]:
    """The first and the last of a reading, and by how much it changed; nothing where it was never read."""
    read = inputs.log.comparable(name)
    if not read:
        return []
    unit, label = inputs.unit(name), words.capital(LABELS[name])
    (first, early), (last, late) = read[0], read[-1]
    by = late - early
    return [
        *(
            Value(
                *(f"{name}_{which}", f"{label}, {which}", units.from_si(value, unit), unit),
                *(inputs.words(name, value), inputs.status),
                note=days.isoformat(entry.day),
            )
            for which, entry, value in (("first", first, early), ("last", last, late))
        ),
        Value(
            *(f"{name}_change", f"{label}, change", units.from_si(by, unit), unit),
            *(f"{inputs.change(name, by)} {inputs.symbol(name)}", inputs.computed),
        ),
    ]


def _stands(inputs: LogInputs) -> list[Value]:
    """Where the bolts are by the newest entry."""
    stands = zip(BOLTS, inputs.log.entries[-1].stands, strict=True)
    return [
        Value(
            *(f"{bolt}_stands", f"{bolt.capitalize()} bolt, by the log", place, "turn"),
            *(words.position(place), inputs.status),
        )
        for bolt, place in stands
        if place is not None
    ]
