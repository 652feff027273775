"""From anything that claims to be a record to entries, sentences about what was ignored, and checked values."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from quarterturn import days, numbers, units
from quarterturn.record.declare import (
    AnyField,
    ChoiceField,
    Column,
    DateField,
    ListField,
    NumberField,
    Role,
    TextField,
)
from quarterturn.record.fields import BY_NAME, FIELDS, VERSION

MAX_TEXT = 100_000
MAX_DEPTH = 600
"""How deeply JSON may be nested: a browser's Python has ended at 5,000, and then cannot even say so."""
MAX_NOTES = 12
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
        return days.written(days.parse(typed)) == typed
    except days.NotADay:
        return False


@dataclass(frozen=True, slots=True)
class Opened:
    """A record that could be read at least in part, and a sentence for all that was ignored."""

    record: Record
    notes: tuple[str, ...] = ()


class Unreadable(ValueError):  # noqa: N818 - it reads as what it says
    """Nothing of it can be read as a record; the message is a whole sentence."""


def from_text(text: str) -> Opened:
    """Read a record from JSON text.

    Raises:
        Unreadable: when the text is too long, is not JSON, is nested too deeply, or is not an object.
    """
    data, notes = json_data(text, "record", MAX_TEXT)
    opened = from_data(data)
    return Opened(opened.record, (*bounded(notes), *opened.notes))


def json_data(text: str, what: str, longest: int) -> tuple[object, list[str]]:
    """What JSON text says, and a sentence for each name that is given twice in it; `what` it is, for the sentences.

    Raises:
        Unreadable: when the text is too long, is not JSON, or is nested too deeply.
    """
    if len(text) > longest:
        raise Unreadable(f"The {what} is refused: it is longer than {longest:,} characters.")
    if too_deep(text):
        raise Unreadable(f"The {what} is refused: it is nested too deeply.")
    twice: list[str] = []

    def once(pairs: list[tuple[str, object]]) -> dict[str, object]:
        data: dict[str, object] = {}
        again: set[str] = set()
        for name, value in pairs:
            if name in data:
                again.add(name)
            data[name] = value
        twice.extend(sorted(again))
        return data

    try:
        data = json.loads(text, object_pairs_hook=once, parse_int=_whole)
    except RecursionError:
        raise Unreadable(f"The {what} is refused: it is nested too deeply.") from None
    except ValueError:
        raise Unreadable(f"The {what} is refused: it is not whole JSON; it may have been cut off.") from None
    return data, [f"“{short(name)}” was given twice: the last one was read." for name in twice]


def too_deep(text: str) -> bool:
    """Whether JSON text is nested more deeply than can be read: in a browser it would end Python, not raise."""
    if text.count("[") + text.count("{") <= MAX_DEPTH:
        return False
    depth = 0
    within = escaped = False  # a text between quotation marks; the letter after a backslash
    for letter in text:
        if within:
            within, escaped = escaped or letter != '"', letter == "\\" and not escaped
        elif letter == '"':
            within = True
        elif letter in "[{":
            depth += 1
            if depth > MAX_DEPTH:
                return True
        elif letter in "]}":
            depth -= 1
    return False


def _whole(digits: str) -> int | str:
    """Read a whole number of JSON; one of too many digits is left as it was written, to be refused by its field."""
    return int(digits) if len(digits) <= MAX_KEPT else digits


def from_data(data: object) -> Opened:
    """Read a record from JSON data, keeping what can be read and naming what cannot.

    Raises:
        Unreadable: when it is not an object.
    """
    if not isinstance(data, dict):
        raise Unreadable("The record is refused: it is not an object with a field a name.")
    notes = list(_version_notes(data.get("version", VERSION)))
    entries: dict[str, Entry] = {}
    for name, value in data.items():
        if name == "version":
            continue
        field = BY_NAME.get(name) if isinstance(name, str) else None
        if field is None:
            notes.append(f"“{short(name)}” was ignored: this version has no field of that name.")
            continue
        outcome = _rows_entry(field, value, notes) if isinstance(field, ListField) else _entry(field, value)
        if isinstance(outcome, str):
            notes.append(f"{field.label}: ignored, because {outcome}.")
        elif outcome is not None:
            entries[name] = outcome
    return Opened(Record(entries), bounded(notes))


def _version_notes(version: object) -> Iterator[str]:
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        yield f"The record's version is not a number this program knows; it was read as version {VERSION}."
    elif version > VERSION:
        yield f"The record is of version {short(version)}, newer than {VERSION}: what this version knows was read."


def bounded(notes: list[str]) -> tuple[str, ...]:
    """The first of many sentences, and how many more there are."""
    if len(notes) <= MAX_NOTES:
        return tuple(notes)
    return (*notes[:MAX_NOTES], f"… and {len(notes) - MAX_NOTES} more that were ignored.")


def short(value: object) -> str:
    """Show the beginning of what was found, in signs that can be printed."""
    if isinstance(value, list | dict):
        return "…"
    try:
        text = "".join(letter for letter in str(value)[:200] if letter.isprintable())
    except ValueError:  # an integer of thousands of digits
        return "…"
    return text if len(text) <= 40 else f"{text[:39]}…"


def _rows_entry(field: ListField, value: object, notes: list[str]) -> Entry | str | None:
    """An entry of the rows in which anything was entered, up to the limit; as `_entry` does."""
    if value is None:
        return None
    if not isinstance(value, list):
        return "it is not a list of rows"
    rows: list[tuple[Entry | None, ...]] = []
    for number, given in enumerate(value, 1):
        if (row := _row(field, f"{field.label}, {field.row} {number}", given, notes)) is None:
            continue
        if len(rows) == field.most:
            notes.append(f"{field.label}: only the first {field.most} were read, because there can be no more.")
            break
        rows.append(row)
    return Entry("", rows=tuple(rows)) if rows else None


def _row(field: ListField, where: str, given: object, notes: list[str]) -> tuple[Entry | None, ...] | None:
    """The entries of one row; None where nothing was entered in it."""
    if given is None:
        return None
    if not isinstance(given, dict):
        notes.append(f"{where}: ignored, because it is not an object with a value a column.")
        return None
    names = [column.name for column in field.columns]
    notes.extend(
        f"{where}: “{short(name)}” was ignored: this version has no column of that name."
        for name in given
        if name not in names
    )
    cells: list[Entry | None] = []
    for column in field.columns:
        cell = _entry(column, given.get(column.name))
        if isinstance(cell, str):
            notes.append(f"{where}, {column.label}: ignored, because {cell}.")
            cell = None
        cells.append(cell)
    return tuple(cells) if any(cell is not None for cell in cells) else None


def _entry(field: NumberField | ChoiceField | TextField | DateField, value: object) -> Entry | str | None:
    """An entry; None for nothing entered; or the rest of a sentence why it is ignored."""
    unit: object = ""
    if isinstance(value, dict):
        unit = value.get("unit", "")
        value = value.get("typed")
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return "it is neither text nor a number"
    try:
        typed = value if isinstance(value, str) else repr(value)
    except ValueError:  # an integer of thousands of digits
        return "the number is too long"
    typed = typed.encode("utf-8", "replace").decode()  # a lone surrogate can neither be shown nor linked
    if not typed.strip():
        return None
    if isinstance(field, NumberField):
        return _number_entry(field, typed, unit)
    if isinstance(field, ChoiceField):
        if all(typed != option.value for option in field.options):
            return f"“{short(typed)}” is not one of {', '.join(option.value for option in field.options)}"
        return Entry(typed)
    if isinstance(field, DateField):
        return Entry(typed) if len(typed) <= MAX_KEPT else "it is too long to be a date"
    cleaned = "".join(letter for letter in typed if letter.isprintable()).strip()
    if len(cleaned) > field.max_length:
        return f"it is longer than {field.max_length} letters"
    return Entry(cleaned) if cleaned else None


def _number_entry(field: NumberField, typed: str, unit: object) -> Entry | str:
    if len(typed) > MAX_KEPT:
        return "it is too long to be a number"
    if unit == "":
        unit = field.unit
    if not isinstance(unit, str) or unit not in field.units:
        return f"its unit “{short(unit)}” is not one of {', '.join(field.units)}"
    return Entry(typed, unit)


Row = Mapping[str, float]
"""One complete row of a list, by the names of its columns: numbers in SI, a day as a count of days (`days`)."""
Chosen = Mapping[str, str]
"""The choices of such a row, by the names of their columns."""


def list_named(name: str) -> ListField:
    """The list of that name.

    Raises:
        TypeError: it is another kind of field.
    """
    field = BY_NAME[name]
    if not isinstance(field, ListField):
        raise TypeError(f"name must be a list's: {name!r}")
    return field


class Values:
    """A record's values: checked, in SI, with defaults where nothing was entered.

    Attributes:
        problems: a sentence for each field whose entry cannot be used, in the order of the fields.
        address: where the site lies that asks, ending in "/"; "" where that was not said.
        today: the reader's day, as a count of days; None where that was not said.
    """

    def __init__(self, record: Record, address: str = "", today: int | None = None) -> None:
        self.record = record
        self.address = address
        self.today = today
        self._numbers: dict[str, float] = {}
        self._days: dict[str, int] = {}
        self._choices: dict[str, str] = {}
        self._rows: dict[str, tuple[Row, ...]] = {}
        self._chosen: dict[str, tuple[Chosen, ...]] = {}
        self._unfinished: dict[str, tuple[Problem, ...]] = {}
        problems: list[Problem] = []
        for field in FIELDS:  # a field's condition only ever names fields before it
            entry = record.entries.get(field.name)
            if entry is None or not self.matters(field.name):
                continue
            if isinstance(field, NumberField):
                outcome = checked(field, entry)
                if isinstance(outcome, Problem):
                    problems.append(outcome)
                else:
                    self._numbers[field.name] = units.to_si(outcome, field.unit)
            elif isinstance(field, DateField):
                day = checked_day(field, entry)
                if isinstance(day, Problem):
                    problems.append(day)
                else:
                    self._days[field.name] = day
            elif isinstance(field, ListField):
                found = _checked_rows(field, entry)
                self._rows[field.name], self._chosen[field.name] = found.rows, found.chosen
                self._unfinished[field.name] = found.unfinished
                problems.extend(found.problems)
            else:
                self._choices[field.name] = entry.typed
        self.problems = tuple(problems)

    def problems_in(self, names: Iterable[str]) -> tuple[Problem, ...]:
        """The problems of these fields: what another page asks for does not keep this one from answering."""
        wanted = frozenset(names)
        return tuple(problem for problem in self.problems if problem.name in wanted)

    def matters(self, name: str) -> bool:
        """Whether the conditions of the field hold, so that it can change an answer."""
        return all(self.choice(when.field) in when.values for when in BY_NAME[name].when)

    def entered(self, name: str) -> bool:
        """Whether the field was entered, matters, and can be used: of a list, at least one of its rows."""
        known = (self._numbers, self._days, self._choices)
        return any(name in entered for entered in known) or bool(self._rows.get(name))

    def number(self, name: str) -> float:
        """A number in SI: as entered, or else its default."""
        field = BY_NAME[name]
        if not isinstance(field, NumberField):
            raise TypeError(f"name must be a number's: {name!r}")
        if name in self._numbers:
            return self._numbers[name]
        return units.to_si(field.default, field.unit)

    def optional(self, name: str) -> float | None:
        """A number in SI as entered, or None."""
        return self._numbers.get(name)

    def day(self, name: str) -> int | None:
        """A day as a count of days (`days.written` writes it), or None where none was entered."""
        if not isinstance(BY_NAME[name], DateField):
            raise TypeError(f"name must be a date's: {name!r}")
        return self._days.get(name)

    def rows(self, name: str) -> tuple[Row, ...]:
        """The rows of a list that are complete and can be used, in their order: see `Row`.

        A column that may stay empty is not in a row where it did.
        """
        list_named(name)
        return self._rows.get(name, ())

    def chosen(self, name: str) -> tuple[Chosen, ...]:
        """The choices of the same rows, in the same order."""
        list_named(name)
        return self._chosen.get(name, ())

    def unfinished(self, name: str) -> tuple[Problem, ...]:
        """A sentence for each row of a list that is not used because a box of it is still empty.

        It is no problem, for whoever fills in a row passes through it, and refuses no answer; an answer that uses the
        list says it, so that no reading is left out in silence.
        """
        list_named(name)
        return self._unfinished.get(name, ())

    def choice(self, name: str) -> str:
        """The answer to a question: as given, or else its default."""
        field = BY_NAME[name]
        if isinstance(field, NumberField | DateField | ListField):
            raise TypeError(f"name must be a choice's or a text's: {name!r}")
        if name in self._choices:
            return self._choices[name]
        if (entry := self.record.entries.get(name)) is not None and not field.when:
            return entry.typed
        return field.default

    def missing(self) -> tuple[str, ...]:
        """The readings that a verdict would need and that have not been entered."""
        return tuple(
            field.name
            for field in FIELDS
            if field.role is Role.READING and self.matters(field.name) and not self.entered(field.name)
        )


def checked(field: NumberField, entry: Entry) -> float | Problem:
    """The entry as a number in the field's declared unit, or the sentence that says why not."""
    try:
        value = numbers.parse(entry.typed)
    except numbers.NotANumber as error:
        return Problem(field.name, f"{field.label}: “{short(entry.typed)}” {error}.")
    declared = units.from_si(units.to_si(value, entry.unit), field.unit)
    if numbers.at_most(field.low, declared) and numbers.at_most(declared, field.high):
        return min(max(declared, field.low), field.high)
    side = "less" if declared < field.low else "more"
    shown = f"{short(entry.typed.strip())} {units.unit(entry.unit).symbol}".strip()
    return Problem(
        field.name,
        f"{field.label}: {shown} is {side} than can be; type {field.permitted(entry.unit)}, "
        f"because {field.limits_because}.",
    )


def checked_day(field: DateField, entry: Entry) -> int | Problem:
    """The entry as a count of days, or the sentence that says why not."""
    try:
        day = days.parse(entry.typed)
    except days.NotADay as error:
        return Problem(field.name, f"{field.label}: “{short(entry.typed)}” {error}.")
    first, last = field.bounds
    if first <= day <= last:
        return day
    return Problem(
        field.name,
        f"{field.label}: {entry.typed.strip()} is {'earlier' if day < first else 'later'} than can be; "
        f"write a day from {field.permitted}, because {field.limits_because}.",
    )


def _checked_cell(column: Column, cell: Entry) -> float | str | Problem:
    """As a row has it: a number in SI, a day, or an option."""
    if isinstance(column, ChoiceField):
        return cell.typed
    if isinstance(column, DateField):
        return checked_day(column, cell)
    outcome = checked(column, cell)
    return outcome if isinstance(outcome, Problem) else units.to_si(outcome, column.unit)


def dated_rows(field: ListField, entry: Entry) -> list[dict[str, Entry]]:
    """The rows of a dated list as they were typed, in the order of their days; only those that can be used."""
    found = []
    for cells in entry.rows:
        rows = _checked_rows(field, Entry("", rows=(cells,))).rows
        typed = {column.name: cell for column, cell in zip(field.columns, cells, strict=True) if cell is not None}
        found += [(row[field.date], typed) for row in rows]
    return [typed for _, typed in sorted(found, key=lambda one: one[0])]


def misleading_row(field: ListField, entry: Entry) -> tuple[Entry | None, ...] | None:
    """The first row that leaves open how things stand: one with a problem, or that settles something and has no day."""
    settling = [place for place, column in enumerate(field.columns) if column.name in field.settled]
    for cells in entry.rows:
        found = _checked_rows(field, Entry("", rows=(cells,)))
        if found.problems or (found.unfinished and any(cells[place] is not None for place in settling)):
            return cells
    return None


@dataclass(frozen=True, slots=True)
class _CheckedRows:
    """The rows that can be used, with their choices; the problems of those that cannot; what is not complete."""

    rows: tuple[Row, ...]
    chosen: tuple[Chosen, ...]
    problems: tuple[Problem, ...]
    unfinished: tuple[Problem, ...]


def _checked_rows(field: ListField, entry: Entry) -> _CheckedRows:
    rows: list[Row] = []
    chosen: list[Chosen] = []
    problems: list[Problem] = []
    unfinished: list[Problem] = []
    for number, cells in enumerate(entry.rows, 1):
        typed = {column: cell for column, cell in zip(field.columns, cells, strict=True) if cell is not None}
        outcomes = {column: _checked_cell(column, cell) for column, cell in typed.items()}
        wrong = [outcome for outcome in outcomes.values() if isinstance(outcome, Problem)]
        empty = [column for column in field.needed if column not in typed]
        where, said = f"{field.name}.{number}", f"{field.label}, {field.row} {number}"
        problems.extend(Problem(f"{where}.{each.field}", f"{said}, {each.sentence}") for each in wrong)
        if empty:
            names = " and ".join(column.label for column in empty)
            are = "is" if len(empty) == 1 else "are"
            unfinished.append(
                Problem(f"{where}.{empty[0].name}", f"{said}: not used yet, because {names} {are} empty.")
            )
        elif not wrong:
            rows.append({column.name: at for column, at in outcomes.items() if isinstance(at, float | int)})
            chosen.append({column.name: at for column, at in outcomes.items() if isinstance(at, str)})
    return _CheckedRows(tuple(rows), tuple(chosen), tuple(problems), tuple(unfinished))
