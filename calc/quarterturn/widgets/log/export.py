"""The log as a table for other programs: CSV as RFC 4180 has it, by date.

It holds nothing but ASCII: the names of columns, which carry their units, dates and plain numbers with a point. So
every program reads it alike, whatever encoding it expects, and it needs no byte order mark. No word of the reader's
own is in it, and nothing that could be taken for a formula; the bow's name is in the file's, letters and digits only.
"""

from __future__ import annotations

from quarterturn import days, units
from quarterturn.bench.log import LogEntry, log_of
from quarterturn.numbers import plain
from quarterturn.record.entries import Problem
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.log.form import NAME
from quarterturn.widgets.log.inputs import weighed_in

LINE_END = "\r\n"
DECIMALS = 4
"""So many at most: a sixteenth of an inch has four."""
LONGEST = 40
"""Letters of the bow's name in the name of the file."""


def csv_of(values: Values) -> str:
    """The entries that can be used, one a line under a line of names.

    Raises:
        Refusal: where the log cannot be used, or has no entry that can.
    """
    if problems := values.problems_in((NAME,)):
        raise Refusal(problems)
    if not values.entered(NAME):
        raise Refusal((Problem(NAME, "There is no entry with a date yet, so there is nothing to save."),))
    length, force = values.choice("length_unit"), weighed_in(values)
    lines = [",".join(_heads(length, force))]
    lines += [",".join(_cells(entry, length, force)) for entry in log_of(values).entries]
    return "".join(f"{line}{LINE_END}" for line in lines)


def file_name(values: Values) -> str:
    """What the file is called: with the bow's name, of which only letters and digits are left."""
    letters = "".join(letter if letter.isalnum() else " " for letter in values.choice("bow_name"))
    return "-".join(["log", *letters.split()])[: LONGEST + 4].rstrip("-") + ".csv"


def left_out(values: Values) -> tuple[str, ...]:
    """A sentence for each row that is not in the table, because a box of it is empty."""
    return tuple(problem.sentence for problem in values.unfinished(NAME))


def _heads(length: str, force: str) -> tuple[str, ...]:
    weighed, measured = (units.unit(unit).symbol for unit in (force, length))
    return (
        "date",
        "upper bolt (turns out from zero)",
        "lower bolt (turns out from zero)",
        f"draw weight ({weighed})",
        f"upper string to limb ({measured})",
        f"lower string to limb ({measured})",
        f"tiller ({measured})",
        f"brace height ({measured})",
    )


def _cells(entry: LogEntry, length: str, force: str) -> tuple[str, ...]:
    return (
        days.isoformat(entry.day),
        _number(entry.upper_at, "turn"),
        _number(entry.lower_at, "turn"),
        _number(entry.weight, force),
        _number(entry.upper_tiller, length),
        _number(entry.lower_tiller, length),
        _number(entry.tiller, length),
        _number(entry.brace_height, length),
    )


def _number(value: float | None, unit: str) -> str:
    if value is None:
        return ""
    text = plain(units.from_si(value, unit), DECIMALS)
    return text.rstrip("0").rstrip(".")
