"""The history of a bow: every setting that was read, in order, and how near each reading is.

The first is the record's own, with the bolts where the worksheet has them; the others are the log's entries by date.
"""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.course import Course, SettingReading, course_of
from quarterturn.bench.log import LogEntry, log_of
from quarterturn.record.values import Values


def history(bow: BowInputs) -> Course:
    """The course of a bow's readings, by whatever the reader wants predictions based on."""
    values = bow.values
    return course_of(bow, reads(values, bow), read_to(bow), values.choice("foretell_by"))


def read_to(bow: BowInputs) -> dict[str, float]:
    """How near each thing is read, half-widths: a weighing by scale and mark, tiller by the difference of two."""
    values = bow.values
    tape = values.number("tape_step")
    return {"weight": bow.weighed_to, "tiller": 2**0.5 * tape, "brace_height": tape}


def reads(values: Values, bow: BowInputs) -> tuple[SettingReading, ...]:
    """The log's entries by date, those of one day in the order of the table; a bolt is where it was last written.

    Where nothing has been written yet it is where the worksheet has it. An entry of a date alone tells nothing.
    """
    entries = [entry for entry in log_of(values).entries if not entry.is_bare]
    found = []
    for entry in entries:
        upper, lower = (
            place if there is None else there for there, place in zip(entry.stands, bow.setup.now, strict=True)
        )
        label = _label(entry, entries)
        read = SettingReading(
            (upper, lower), entry.weight, entry.tiller, entry.brace_height, label, entry.number, entry.day
        )
        found.append(read)
    return tuple(found)


def _label(entry: LogEntry, entries: list[LogEntry]) -> str:
    """The entry's date, with its number where another has the same date."""
    alike = sum(1 for other in entries if other.day == entry.day)
    return days.isoformat(entry.day) + (f", entry {entry.number}" if alike > 1 else "")
