"""From anything that claims to be a record to entries, sentences about what was ignored, and checked values."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from quarterturn import numbers, units
from quarterturn.record.declare import AnyField, ChoiceField, NumberField, Role
from quarterturn.record.fields import BY_NAME, FIELDS, VERSION

MAX_TEXT = 100_000
MAX_DEPTH = 600
"""How deeply JSON may be nested: a browser's Python has ended at 5,000, and then cannot even say so."""
MAX_NOTES = 12
MAX_KEPT = 4 * numbers.MAX_TYPED
"""What was typed into a number's box is kept up to this length, so that the page can say what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was typed, as it was typed, and the unit it was typed in ("" where there is none)."""

    typed: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence about one field; the field is "" when the record as a whole is meant."""

    field: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Record:
    """The entries of one bow; a field that is not in it has not been entered."""

    entries: Mapping[str, Entry]

    def canonical(self) -> dict[str, object]:
        """The record as JSON data: numbers with their unit, words as they are, in the order of field numbers."""
        data: dict[str, object] = {"version": VERSION}
        for field in sorted(FIELDS, key=lambda field: field.number):
            if (entry := self.entries.get(field.name)) is not None:
                is_number = isinstance(field, NumberField)
                data[field.name] = {"typed": entry.typed, "unit": entry.unit} if is_number else entry.typed
        return data


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
    if len(text) > MAX_TEXT:
        raise Unreadable(f"The record is refused: it is longer than {MAX_TEXT:,} characters.")
    if too_deep(text):
        raise Unreadable("The record is refused: it is nested too deeply.")
    twice: list[str] = []

    def once(pairs: list[tuple[str, object]]) -> dict[str, object]:
        data = dict(pairs)
        if len(data) < len(pairs):
            names = [name for name, _ in pairs]
            twice.extend(sorted(name for name in data if names.count(name) > 1))
        return data

    try:
        data = json.loads(text, object_pairs_hook=once, parse_int=_whole)
    except RecursionError:
        raise Unreadable("The record is refused: it is nested too deeply.") from None
    except ValueError:
        raise Unreadable("The record is refused: it is not whole JSON; it may have been cut off.") from None
    opened = from_data(data)
    notes = [f"“{_short(name)}” was given twice: the last one was read." for name in twice]
    return Opened(opened.record, (*_bounded(notes), *opened.notes))


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
            notes.append(f"“{_short(name)}” was ignored: this version has no field of that name.")
            continue
        outcome = _entry(field, value)
        if isinstance(outcome, str):
            notes.append(f"{field.label}: ignored, because {outcome}.")
        elif outcome is not None:
            entries[name] = outcome
    return Opened(Record(entries), _bounded(notes))


def _version_notes(version: object) -> Iterator[str]:
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        yield f"The record's version is not a number this program knows; it was read as version {VERSION}."
    elif version > VERSION:
        yield f"The record is of version {_short(version)}, newer than {VERSION}: what this version knows was read."


def _bounded(notes: list[str]) -> tuple[str, ...]:
    if len(notes) <= MAX_NOTES:
        return tuple(notes)
    return (*notes[:MAX_NOTES], f"… and {len(notes) - MAX_NOTES} more that were ignored.")


def _short(value: object) -> str:
    """Show the beginning of what was found, in signs that can be printed."""
    if isinstance(value, list | dict):
        return "…"
    try:
        text = "".join(letter for letter in str(value)[:200] if letter.isprintable())
    except ValueError:  # an integer of thousands of digits
        return "…"
    return text if len(text) <= 40 else f"{text[:39]}…"


def _entry(field: AnyField, value: object) -> Entry | str | None:
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
            return f"“{_short(typed)}” is not one of {', '.join(option.value for option in field.options)}"
        return Entry(typed)
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
        return f"its unit “{_short(unit)}” is not one of {', '.join(field.units)}"
    return Entry(typed, unit)


class Values:
    """A record's values: checked, in SI, with defaults where nothing was entered.

    Attributes:
        problems: a sentence for each field whose entry cannot be used, in the order of the fields.
    """

    def __init__(self, record: Record) -> None:
        self.record = record
        self._numbers: dict[str, float] = {}
        self._choices: dict[str, str] = {}
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
            else:
                self._choices[field.name] = entry.typed
        self.problems = tuple(problems)

    def problems_in(self, names: Iterable[str]) -> tuple[Problem, ...]:
        """The problems of these fields: what another page asks for does not keep this one from answering."""
        wanted = frozenset(names)
        return tuple(problem for problem in self.problems if problem.field in wanted)

    def matters(self, name: str) -> bool:
        """Whether the conditions of the field hold, so that it can change an answer."""
        return all(self.choice(when.field) in when.values for when in BY_NAME[name].when)

    def entered(self, name: str) -> bool:
        """Whether the field was entered, matters, and can be used."""
        return name in self._numbers or name in self._choices

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

    def choice(self, name: str) -> str:
        """The answer to a question: as given, or else its default."""
        field = BY_NAME[name]
        if isinstance(field, NumberField):
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
        return Problem(field.name, f"{field.label}: “{_short(entry.typed)}” {error}.")
    declared = units.from_si(units.to_si(value, entry.unit), field.unit)
    if numbers.at_most(field.low, declared) and numbers.at_most(declared, field.high):
        return min(max(declared, field.low), field.high)
    side = "less" if declared < field.low else "more"
    shown = f"{_short(entry.typed.strip())} {units.unit(entry.unit).symbol}".strip()
    return Problem(
        field.name,
        f"{field.label}: {shown} is {side} than can be; type {field.permitted(entry.unit)}, "
        f"because {field.limits_because}.",
    )
