"""A file of bows: what the page saves and reads back, and what any program may write (`schema.bows_schema`).

``{"format": "quarter-turn bows", "version": 1, "bows": [{"id", "changed", "times", "record"}, …]}``. Of a bow only its
record is needed. By its id it is known again; by the times of its fields two states of one bow are made one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quarterturn.record.entries import Record, excerpt
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import MAX_NOTES, ParsedRecord, ParseError, bounded, from_data, parse_json

FORMAT = "quarter-turn bows"
FILE_VERSION = 1
MAX_FILE = 2_000_000
"""So long a file may be, in characters and in bytes."""
MAX_BOWS = 600
MAX_TIME = 253_402_300_799_999
"""The end of the year 9999, in milliseconds since 1970-01-01 in UTC."""
SHORTEST_ID, LONGEST_ID = 8, 32
_FILE_KEYS = ("format", "version", "bows")
_BOW_KEYS = ("id", "changed", "times", "record")
_ID_LETTERS = frozenset("0123456789abcdefghijklmnopqrstuvwxyz")


@dataclass(frozen=True, slots=True)
class ShelvedBow:
    """One bow of a file.

    Attributes:
        record: what was entered about it.
        id: by which it is known again; "" where the file gives none.
        times: when a field was last entered, or emptied, in milliseconds since 1970-01-01 in UTC; of other fields it is
            not known.
    """

    record: Record
    id: str
    times: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class ParsedBows:
    """The bows that could be read, and a sentence for all that was ignored."""

    bows: tuple[ShelvedBow, ...]
    notes: tuple[str, ...] = ()


def bows_from_text(text: str) -> ParsedBows:
    """Read a file of bows; a single record, as the command line takes one, is a file of one.

    Raises:
        ParseError: when the text is too long, is not JSON, is nested too deeply, or holds no bow that can be read.
    """
    data, notes = parse_json(text, "file", MAX_FILE)
    if not isinstance(data, dict):
        raise ParseError("The file is refused: it is not an object, so there are no bows in it.")
    return _parse_bows(data, notes) if _is_file(data) else _parse_single(data, notes)


def _is_file(data: dict[str, object]) -> bool:
    """Whether it claims to be a file of bows, and not a single record."""
    return "bows" in data or "format" in data


def _parse_bows(data: dict[str, object], notes: list[str]) -> ParsedBows:
    if data.get("format") != FORMAT:
        raise ParseError(f"The file is refused: its format is not “{FORMAT}”, so it is another kind of file.")
    given = data.get("bows")
    if not isinstance(given, list):
        raise ParseError("The file is refused: its “bows” is not a list.")
    notes += _version_notes(data.get("version"))
    notes += [f"“{excerpt(name)}” was ignored: a file has no such part." for name in data if name not in _FILE_KEYS]
    if len(given) > MAX_BOWS:
        notes.append(f"Only the first {MAX_BOWS} bows were read, because there can be no more; there are {len(given)}.")
    read = [_parse_bow(place, one, notes) for place, one in enumerate(given[:MAX_BOWS], 1)]
    return ParsedBows(tuple(bow for bow in read if bow is not None), bounded(notes))


def record_from_text(text: str, name: str | None = None) -> ParsedRecord:
    """A single record, or that of one bow of a file: of the only one, or of the one with this name.

    Raises:
        ParseError: as `bows_from_text`, and where it is not clear which bow is meant.
    """
    data, notes = parse_json(text, "record", MAX_FILE)
    if not isinstance(data, dict) or not _is_file(data):
        parsed_record = from_data(data)
        return ParsedRecord(parsed_record.record, (*bounded(notes), *parsed_record.notes))
    parsed = _parse_bows(data, notes)
    names = [name_of(bow) or "(without a name)" for bow in parsed.bows]
    found = [bow for bow in parsed.bows if name is None or name_of(bow) == name]
    if len(found) == 1:
        return ParsedRecord(found[0].record, parsed.notes)
    if not names:
        raise ParseError("The file is refused: there is no bow in it.")
    there = f"there are: {', '.join(names[:MAX_NOTES])}{', …' if len(names) > MAX_NOTES else ''}"
    if name is None:
        raise ParseError(f"There are {len(names)} bows in the file. Name the one you want; {there}.")
    many = f"{len(found)} bows have" if found else "no bow of the file has"
    raise ParseError(f"{many[0].upper()}{many[1:]} the name “{excerpt(name)}”; {there}.")


def name_of(bow: ShelvedBow) -> str:
    """The bow's own name; "" where it has none."""
    entry = bow.record.entries.get("bow_name")
    return "" if entry is None else entry.typed


def _parse_single(data: dict[str, object], notes: list[str]) -> ParsedBows:
    parsed = from_data(data)
    notes += parsed.notes
    if not parsed.record.entries:
        why = f" {notes[0]}" if notes else ""
        raise ParseError(f"The file is refused: there is no bow in it, and nothing that can be read as one.{why}")
    return ParsedBows((ShelvedBow(parsed.record, "", {}),), bounded(notes))


def _version_notes(version: object) -> list[str]:
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        return [f"The file's version is not a known number; it was read as version {FILE_VERSION}."]
    if version > FILE_VERSION:
        newer = f"newer than {FILE_VERSION}: only known parts were read"
        return [f"The file is of version {excerpt(version)}, {newer}."]
    return []


def _parse_bow(place: int, given: object, notes: list[str]) -> ShelvedBow | None:
    """One bow; None, and a sentence why, where there is nothing of it."""
    where = f"Bow {place}"
    if not isinstance(given, dict):
        notes.append(f"{where}: ignored, because it is not an object with a record.")
        return None
    notes.extend(
        f"{where}: “{excerpt(name)}” was ignored: a bow has no such part." for name in given if name not in _BOW_KEYS
    )
    try:
        parsed = from_data(given.get("record"))
    except ParseError:
        notes.append(f"{where}: ignored, because its record is not an object with named fields.")
        return None
    bow_name = parsed.record.entries.get("bow_name")
    if bow_name is not None:
        where += f", {excerpt(bow_name.typed)}"
    notes.extend(f"{where}: {note}" for note in parsed.notes)
    if not parsed.record.entries:
        notes.append(f"{where}: ignored, because nothing is entered in it.")
        return None
    return ShelvedBow(
        parsed.record, _parse_id(given.get("id"), where, notes), _parse_times(given, parsed.record, where, notes)
    )


def is_id(text: str) -> bool:
    """Whether a bow can be known again by it."""
    return SHORTEST_ID <= len(text) <= LONGEST_ID and _ID_LETTERS.issuperset(text)


def _parse_id(given: object, where: str, notes: list[str]) -> str:
    if given is None:
        return ""
    if isinstance(given, str) and is_id(given):
        return given
    notes.append(
        f"{where}: its id was ignored, because it is not {SHORTEST_ID} to {LONGEST_ID} digits and letters from a to z."
    )
    return ""


def _parse_times(given: dict[str, object], record: Record, where: str, notes: list[str]) -> dict[str, int]:
    """The times that are given: a field's own, or the whole bow's."""
    changed, times = given.get("changed"), given.get("times", {})
    wrong = changed is not None and not _is_time(changed)
    known: dict[str, int] = {}
    if isinstance(changed, int) and not wrong:
        known = dict.fromkeys(record.entries, changed)
    if isinstance(times, dict):
        for name, time in times.items():
            if not isinstance(time, int) or not _is_time(time):
                wrong = True
            elif name in BY_NAME:
                known[name] = time
    else:
        wrong = True
    if wrong:
        notes.append(f"{where}: times were ignored that are not whole milliseconds since 1970.")
    return known


def _is_time(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MAX_TIME
