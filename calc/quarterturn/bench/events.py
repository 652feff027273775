"""What happened to a bow, and whether it was settled: a click, a crack, a dry-fire, other limbs.

An event is open until it is written down what was found, and on which day. One that was begun and has no day yet
happened all the same, and is open.
"""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn import days
from quarterturn.record.entries import Entry, Record
from quarterturn.record.fields import list_named
from quarterturn.record.values import Values

NAME = "events"
LIMBS = "limbs"
"""Other limbs were put in: what was counted before is another pair's."""
SHIMS = "shims"
"""A shim or a washer was put in or taken out: what was counted before is another pocket's."""
LINE = "line"
"""The line of the limbs was set anew, sideways: a tiller from before is not compared with one from after."""
SHOCKS = ("dry_fire", "fall")
"""After these a bow is looked over anew (common practice, no source)."""

WITHDRAWN = "withdrawn"
"""Taken out of use, by the club or by its owner: nobody strings the bow until it is released."""

COUNTED = "counted"
"""Found: both bolts counted again."""
RELEASED = "released"
"""Found: looked at and released for use."""
_SETTLED_BY = {SHIMS: COUNTED, WITHDRAWN: RELEASED}
"""What settles an event, where nothing else does."""


@dataclass(frozen=True, slots=True)
class Event:
    """One event.

    Attributes:
        number: its row in the record's list, from 1.
        happened: what, one of the options of the field.
        day: when; None where no day can be read.
        found: what was found, one of the options; "" where nothing was written.
        found_on: on which day; None where no day can be read.
    """

    number: int
    happened: str
    day: int | None
    found: str
    found_on: int | None

    @property
    def is_open(self) -> bool:
        """Whether it is still to be settled: by what was found, and a day no earlier than that of the event.

        Shims are settled by a new count and by nothing else, a bow that was taken out of use by its release; the line
        of the limbs by its day: it is itself a finding.
        """
        if self.happened == LINE:
            return self.day is None
        if not self.found or self.found_on is None:
            return True
        if self.found != _SETTLED_BY.get(self.happened, self.found):
            return True
        return self.day is not None and self.found_on < self.day


def events_of(values: Values) -> tuple[Event, ...]:
    """Take the events out of a record, in the order of the table; a row that says not what happened is none."""
    entry = values.record.entries.get(NAME)
    if entry is None:
        return ()
    names = [column.name for column in list_named(NAME).columns]
    found = []
    for number, cells in enumerate(entry.rows, 1):
        typed = {name: cell.typed for name, cell in zip(names, cells, strict=True) if cell is not None}
        if "happened" in typed:
            day, found_on = (_day(typed.get(name, "")) for name in ("date", "found_on"))
            found.append(Event(number, typed["happened"], day, typed.get("found", ""), found_on))
    return tuple(found)


def line_days(values: Values) -> tuple[int, ...]:
    """The days on which the line of the limbs was set anew, in order."""
    return tuple(sorted({event.day for event in events_of(values) if event.happened == LINE and event.day is not None}))


def own_day(values: Values) -> int:
    """The day of the record's own readings; 0, which is before all others, where nobody wrote it."""
    return values.day("set_on") or 0


def times_set_anew(day: int, days_: tuple[int, ...]) -> int:
    """How often the line had been set anew by a day: tillers of two days are of one line where this is the same.

    What was read on the very day is taken as read after it: whoever sets the line measures then.
    """
    return sum(1 for each in days_ if each <= day)


def noted(record: Record, day: int) -> Record:
    """The record with one more event: a reading that was not expected on that day."""
    listed, entry = list_named(NAME), record.entries.get(NAME)
    cells = {"date": Entry(days.isoformat(day)), "happened": Entry("reading")}
    row = tuple(cells.get(column.name) for column in listed.columns)
    rows = () if entry is None else entry.rows
    return Record({**record.entries, NAME: Entry("", rows=(*rows[-(listed.max_rows - 1) :], row))})


def _day(typed: str) -> int | None:
    try:
        return days.parse(typed)
    except days.InvalidDateError:
        return None
