"""A record's values: what every answer is computed from."""

from __future__ import annotations

from collections.abc import Iterable

from quarterturn import units
from quarterturn.record.entries import Entry, Problem, Record
from quarterturn.record.field_types import AnyField, DateField, ListField, NumberField, Role
from quarterturn.record.fields import BY_NAME, FIELDS, LENGTHS, list_named
from quarterturn.record.fields.builders import LENGTH
from quarterturn.record.validation import Row, validate, validate_rows


class Values:
    """A record's values: checked, in SI, with defaults where nothing was entered.

    Attributes:
        problems: a sentence for each field whose entry cannot be used, in the order of the fields.
        address: where the site lies that asks, ending in "/"; "" where that was not said.
        today: the reader's day, as a count of days; None where that was not said.
        system: the units that the site begins with, "metric" or "imperial"; "" mixes them as the trade does.
    """

    def __init__(self, record: Record, address: str = "", today: int | None = None, system: str = "") -> None:
        self.record = record
        self.address = address
        self.today = today
        self.system = system
        self._entered: dict[str, float | int | str] = {}
        self._rows: dict[str, tuple[Row, ...]] = {}
        self._unfinished: dict[str, tuple[Problem, ...]] = {}
        problems: list[Problem] = []
        for field in FIELDS:  # a field's condition only ever names fields before it
            entry = record.entries.get(field.name)
            if entry is not None and self.matters(field.name):
                problems.extend(self._take(field, entry))
        self.problems = tuple(problems)

    def _take(self, field: AnyField, entry: Entry) -> tuple[Problem, ...]:
        """Keep what was entered for a field, or say why it cannot be used."""
        if isinstance(field, ListField):
            rows = validate_rows(field, entry)
            self._rows[field.name], self._unfinished[field.name] = rows.complete, rows.unfinished
            return rows.problems
        value = validate(field, entry)
        if isinstance(value, Problem):
            return (value,)
        self._entered[field.name] = value
        return ()

    def problems_in(self, names: Iterable[str]) -> tuple[Problem, ...]:
        """The problems of these fields: what another page asks for does not keep this one from answering."""
        wanted = frozenset(names)
        return tuple(problem for problem in self.problems if problem.name in wanted)

    def matters(self, name: str) -> bool:
        """Whether the conditions of the field hold, so that it can change an answer."""
        return all(self.choice(when.field) in when.values for when in BY_NAME[name].when)

    def entered(self, name: str) -> bool:
        """Whether the field was entered, matters, and can be used: of a list, at least one of its rows."""
        return name in self._entered or bool(self._rows.get(name))

    def number(self, name: str) -> float:
        """A number in SI: as entered, or else its default."""
        field = BY_NAME[name]
        if not isinstance(field, NumberField):
            raise TypeError(f"name must be a number's: {name!r}")
        value = self.optional(name)
        return units.to_si(field.default, field.unit) if value is None else value

    def optional(self, name: str) -> float | None:
        """A number in SI as entered, or None."""
        value = self._entered.get(name)
        return value if isinstance(value, float) else None

    def day(self, name: str) -> int | None:
        """A day as a count of days (`days.isoformat` writes it), or None where none was entered."""
        if not isinstance(BY_NAME[name], DateField):
            raise TypeError(f"name must be a date's: {name!r}")
        value = self._entered.get(name)
        return value if isinstance(value, int) else None

    def rows(self, name: str) -> tuple[Row, ...]:
        """The rows of a list that are complete and can be used, in their order: see `Row`.

        A column that may stay empty is not in a row where it did.
        """
        list_named(name)
        return self._rows.get(name, ())

    def unfinished(self, name: str) -> tuple[Problem, ...]:
        """A sentence for each row of a list that is not used because a box of it is still empty.

        It is no problem, for whoever fills in a row passes through it, and refuses no answer; an answer that uses the
        list says it, so that no reading is left out in silence.
        """
        list_named(name)
        return self._unfinished.get(name, ())

    def choice(self, name: str) -> str:
        """The answer to a question, or a text: as given, or else its default."""
        field = BY_NAME[name]
        if isinstance(field, NumberField | DateField | ListField):
            raise TypeError(f"name must be a choice's or a text's: {name!r}")
        value = self._entered.get(name)
        if isinstance(value, str):
            return value
        return self._usual_length() if name == "length_unit" else field.default

    def _usual_length(self) -> str:
        """The unit of lengths where none was chosen: that of most lengths typed, else what the site begins with."""
        begins = units.SYSTEMS[self.system][0] if self.system else LENGTH[0]
        typed = [self.record.entries[name].unit for name in self._entered if name in LENGTHS]
        return next((unit for unit in LENGTH if 2 * typed.count(unit) > len(typed)), begins)

    def starting_unit(self, name: str) -> str:
        """The unit in which a number is told while none was typed."""
        field = BY_NAME[name]
        if not isinstance(field, NumberField):
            raise TypeError(f"name must be a number's: {name!r}")
        return self.choice("length_unit") if name in LENGTHS else field.starting_unit(self.system)

    def missing(self) -> tuple[str, ...]:
        """The readings that a verdict would need and that have not been entered."""
        return tuple(
            field.name
            for field in FIELDS
            if field.role is Role.READING and self.matters(field.name) and not self.entered(field.name)
        )
