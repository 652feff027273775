"""The first and the last of each reading, as named values."""

from __future__ import annotations

from quarterturn import days, units
from quarterturn.bench.log import READINGS
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.answer import Status, Value, ValueList
from quarterturn.widgets.log.inputs import LABELS, LogInputs


def first_and_last(shown: LogInputs) -> ValueList:
    """The first and the last of each reading, by name, and where the bolts stand."""
    entries = shown.log.entries
    many = len(entries)
    listed = [Value("entries", "Entries that are used", float(many), "count", str(many), shown.status)]
    for name in READINGS:
        read = shown.log.read(name)
        if not read:
            continue
        unit, label = shown.unit(name), LABELS[name]
        (first, early), (last, late) = read[0], read[-1]
        for which, entry, value in (("first", first, early), ("last", last, late)):
            listed.append(
                Value(
                    f"{name}_{which}",
                    f"{label[0].upper()}{label[1:]}, {which}",
                    units.from_si(value, unit),
                    unit,
                    shown.words(name, value),
                    shown.status,
                    note=days.isoformat(entry.day),
                )
            )
        by = late - early
        listed.append(
            Value(
                f"{name}_change",
                f"{label[0].upper()}{label[1:]}, by how much it changed",
                units.from_si(by, unit),
                unit,
                f"{shown.change(name, by)} {shown.symbol(name)}",
                Status.EXAMPLE if shown.example else Status.COMPUTED,
            )
        )
    for bolt, place in zip(BOLTS, entries[-1].stands, strict=True):
        if place is not None:
            listed.append(
                Value(
                    f"{bolt}_stands",
                    f"{bolt.capitalize()} bolt, by the log",
                    place,
                    "turn",
                    words.position(place),
                    shown.status,
                )
            )
    return ValueList("first-and-last", "First and last", tuple(listed))
