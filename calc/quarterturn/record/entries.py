"""What was entered about a bow, as it was typed: a field's entry, a problem with it, and the record of all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quarterturn import days, numbers
from quarterturn.record.field_types import AnyField, DateField, ListField, NumberField
from quarterturn.record.fields import FIELDS, VERSION

MAX_KEPT = 4 * numbers.MAX_TYPED
"""What was typed for a number or a date is kept up to this length, so that the page can say what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was typed, as it was typed, and the unit it was typed in ("" where there is none).

    Of a list nothing but its `rows`: for each column an entry, or None where nothing was entered; no row is empty.
    """

    typed: str
    unit: str = ""
    rows: tuple[tuple[Entry | None, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence about one field; the field is "" when the record as a whole is meant.

    A box of a list is named by list, row and column: "scale_readings.2.weight" is in the second row.
    """

    field: str
    sentence: str

    @property
    def name(self) -> str:
        """The field's own name, without row and column."""
        return self.field.partition(".")[0]


@dataclass(frozen=True, slots=True)
class Record:
    """The entries of one bow; a field that is not in it has not been entered."""

    entries: Mapping[str, Entry]

    def canonical(self) -> dict[str, object]:
        """The record as JSON data: numbers with their unit, words and days as typed, in the order of field numbers."""
        data: dict[str, object] = {"version": VERSION}
        for field in sorted(FIELDS, key=lambda field: field.number):
            if (entry := self.entries.get(field.name)) is not None:
                data[field.name] = _as_data(field, entry)
        return data


def _as_data(field: AnyField, entry: Entry) -> object:
    if isinstance(field, ListField):
        return [
            {
                column.name: _as_data(column, cell)
                for column, cell in zip(field.columns, row, strict=True)
                if cell is not None
            }
            for row in entry.rows
        ]
    if isinstance(field, NumberField):
        return {"typed": entry.typed, "unit": entry.unit}
    if isinstance(field, DateField) and not _is_day(entry.typed):
        return {"typed": entry.typed}
    return entry.typed


def _is_day(typed: str) -> bool:
    """Whether it is written just as a day is; else what was typed is no more than that."""
    try:
        return days.isoformat(days.parse(typed)) == typed
    except days.InvalidDateError:
        return False


def excerpt(value: object) -> str:
    """Show the beginning of what was found, in signs that can be printed."""
    if isinstance(value, list | dict):
        return "…"
    try:
        text = "".join(letter for letter in str(value)[:200] if letter.isprintable())
    except ValueError:  # an integer of thousands of digits
        return "…"
    return text if len(text) <= 40 else f"{text[:39]}…"
