"""From anything that claims to be a record to entries, and sentences about what was ignored."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from quarterturn.record.entries import MAX_KEPT, Entry, Record, excerpt
from quarterturn.record.field_types import ChoiceField, DateField, ListField, NumberField, TextField
from quarterturn.record.fields import BY_NAME, VERSION

MAX_TEXT = 100_000
MAX_DEPTH = 600
"""How deeply JSON may be nested: a browser's Python has ended at 5,000, and then cannot even say so."""
MAX_NOTES = 12


@dataclass(frozen=True, slots=True)
class ParsedRecord:
    """A record that could be read at least in part, and a sentence for all that was ignored."""

    record: Record
    notes: tuple[str, ...] = ()


class ParseError(ValueError):
    """Nothing of it can be read as a record; the message is a whole sentence."""


def from_text(text: str) -> ParsedRecord:
    """Read a record from JSON text.

    Raises:
        ParseError: when the text is too long, is not JSON, is nested too deeply, or is not an object.
    """
    data, notes = parse_json(text, "record", MAX_TEXT)
    parsed = from_data(data)
    return ParsedRecord(parsed.record, (*bounded(notes), *parsed.notes))


def parse_json(text: str, what: str, longest: int) -> tuple[object, list[str]]:
    """What JSON text says, and a sentence for each name that is given twice in it; `what` it is, for the sentences.

    Raises:
        ParseError: when the text is too long, is not JSON, or is nested too deeply.
    """
    if len(text) > longest:
        raise ParseError(f"The {what} is refused: it is longer than {longest:,} characters.")
    if too_deep(text):
        raise ParseError(f"The {what} is refused: it is nested too deeply.")
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
        data = json.loads(text, object_pairs_hook=once, parse_int=_parse_integer)
    except RecursionError:
        raise ParseError(f"The {what} is refused: it is nested too deeply.") from None
    except ValueError:
        raise ParseError(f"The {what} is refused: it is not whole JSON; it may have been cut off.") from None
    return data, [f"“{excerpt(name)}” was given twice: the last one was read." for name in twice]


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


def _parse_integer(digits: str) -> int | str:
    """Read a whole number of JSON; one of too many digits is left as it was written, to be refused by its field."""
    return int(digits) if len(digits) <= MAX_KEPT else digits


def from_data(data: object) -> ParsedRecord:
    """Read a record from JSON data, keeping what can be read and naming what cannot.

    Raises:
        ParseError: when it is not an object.
    """
    if not isinstance(data, dict):
        raise ParseError("The record is refused: it is not an object with named fields.")
    notes = list(_version_notes(data.get("version", VERSION)))
    entries: dict[str, Entry] = {}
    for name, value in data.items():
        if name == "version":
            continue
        field = BY_NAME.get(name) if isinstance(name, str) else None
        if field is None:
            notes.append(f"“{excerpt(name)}” was ignored: this version has no field of that name.")
            continue
        outcome = _parse_rows(field, value, notes) if isinstance(field, ListField) else _parse_entry(field, value)
        if isinstance(outcome, str):
            notes.append(f"{field.label}: ignored, because {outcome}.")
        elif outcome is not None:
            entries[name] = outcome
    return ParsedRecord(Record(entries), bounded(notes))


def _version_notes(version: object) -> Iterator[str]:
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        yield f"The record's version is not a known number; it was read as version {VERSION}."
    elif version > VERSION:
        yield f"The record is of version {excerpt(version)}, newer than {VERSION}: only known fields were read."


def bounded(notes: list[str]) -> tuple[str, ...]:
    """The first of many sentences, and how many more there are."""
    if len(notes) <= MAX_NOTES:
        return tuple(notes)
    return (*notes[:MAX_NOTES], f"… and {len(notes) - MAX_NOTES} more that were ignored.")


def _parse_rows(field: ListField, value: object, notes: list[str]) -> Entry | str | None:
    """An entry of the rows in which anything was entered, up to the limit; as `_parse_entry` does."""
    if value is None:
        return None
    if not isinstance(value, list):
        return "it is not a list of rows"
    rows: list[tuple[Entry | None, ...]] = []
    for number, given in enumerate(value, 1):
        if (row := _parse_row(field, f"{field.label}, {field.row} {number}", given, notes)) is None:
            continue
        if len(rows) == field.max_rows:
            notes.append(f"{field.label}: only the first {field.max_rows} were read, because there can be no more.")
            break
        rows.append(row)
    return Entry("", rows=tuple(rows)) if rows else None


def _parse_row(field: ListField, where: str, given: object, notes: list[str]) -> tuple[Entry | None, ...] | None:
    """The entries of one row; None where nothing was entered in it."""
    if given is None:
        return None
    if not isinstance(given, dict):
        notes.append(f"{where}: ignored, because it is not an object with named columns.")
        return None
    names = [column.name for column in field.columns]
    notes.extend(
        f"{where}: “{excerpt(name)}” was ignored: this version has no column of that name."
        for name in given
        if name not in names
    )
    cells: list[Entry | None] = []
    for column in field.columns:
        cell = _parse_entry(column, given.get(column.name))
        if isinstance(cell, str):
            notes.append(f"{where}, {column.label}: ignored, because {cell}.")
            cell = None
        cells.append(cell)
    return tuple(cells) if any(cell is not None for cell in cells) else None


def _parse_entry(field: NumberField | ChoiceField | TextField | DateField, value: object) -> Entry | str | None:
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
        return _parse_number(field, typed, unit)
    if isinstance(field, ChoiceField):
        if all(typed != option.value for option in field.options):
            return f"“{excerpt(typed)}” is not one of {', '.join(option.value for option in field.options)}"
        return Entry(typed)
    if isinstance(field, DateField):
        return Entry(typed) if len(typed) <= MAX_KEPT else "it is too long to be a date"
    cleaned = "".join(letter for letter in typed if letter.isprintable()).strip()
    if len(cleaned) > field.max_length:
        return f"it is longer than {field.max_length} letters"
    return Entry(cleaned) if cleaned else None


def _parse_number(field: NumberField, typed: str, unit: object) -> Entry | str:
    if len(typed) > MAX_KEPT:
        return "it is too long to be a number"
    if unit == "":
        unit = field.unit
    if not isinstance(unit, str) or unit not in field.units:
        return f"its unit “{excerpt(unit)}” is not one of {', '.join(field.units)}"
    return Entry(typed, unit)
