"""The rack as a table for other programs (CSV as RFC 4180 has it, in UTF-8), and bows read from such a table.

A column is a field, under its name in the record; what is worked out stands under a name in parentheses and is not read
back. A number has its unit behind it: "38 lbf". A word that a spreadsheet would take for a formula has an apostrophe
before it, which is taken away again. Lists, such as the log, are in the file of bows and in no table.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence

from quarterturn import units
from quarterturn.record.bows import LONGEST_ID, MAX_BOWS, MAX_FILE, ParsedBows, ShelvedBow, is_id
from quarterturn.record.entries import Record, excerpt
from quarterturn.record.field_types import AnyField, ListField, NumberField, Scope
from quarterturn.record.fields import BY_NAME, FIELDS
from quarterturn.record.parsing import ParseError, bounded, from_data
from quarterturn.record.values import Values
from quarterturn.widgets.rack.rows import Row, row_of

FIRST = ("bow_name", "riser_name", "limbs_name")
ID = "id"
WORKED_OUT = (
    "(what is known)",
    "(what else)",
    "(upper safe range)",
    "(upper bolt)",
    "(lower safe range)",
    "(lower bolt)",
    "(looked over)",
    "(look over again by)",
    "(taken out of use)",
)
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
_MOST_COLUMNS = 400


def csv_of(bows: Sequence[ShelvedBow], read: Callable[[Record], Values]) -> str:
    """All bows, one a line under a line of names; at the start the mark by which spreadsheets know UTF-8.

    `read` gives a record's values, with the day of the reader.
    """
    text = io.StringIO()
    write = csv.writer(text, lineterminator="\r\n").writerow
    names = _columns(bows)
    write((ID, *FIRST, *WORKED_OUT, *names))
    for bow in bows:
        row = row_of(read(bow.record))
        cells = [bow.id, *(_cell(bow, name) for name in FIRST), *_worked_out(row)]
        write([_guarded(cell) for cell in (*cells, *(_cell(bow, name) for name in names))])
    return f"\ufeff{text.getvalue()}"


def _columns(bows: Sequence[ShelvedBow]) -> list[str]:
    """The fields of a bow that are entered in any of them, but lists."""
    entered = {name for bow in bows for name in bow.record.entries}
    return [field.name for field in FIELDS if field.name in entered and _is_column(field) and field.name not in FIRST]


def _is_column(field: AnyField) -> bool:
    return field.scope is Scope.BOW and not isinstance(field, ListField)


def _cell(bow: ShelvedBow, name: str) -> str:
    entry = bow.record.entries.get(name)
    return "" if entry is None else f"{entry.typed} {entry.unit}".strip()


def _guarded(cell: str) -> str:
    """A cell that no spreadsheet runs; plain numbers stay numbers."""
    bare = cell.removeprefix("-").replace(".", "", 1)
    return f"'{cell}" if cell.startswith(_FORMULA) and not bare.isdecimal() else cell


def _worked_out(row: Row) -> tuple[str, ...]:
    bolts = [cell for bolt in (row.upper, row.lower) for cell in (bolt.window, bolt.place)]
    out = "yes" if "withdrawn" in row.groups else ""
    return (row.known, "; ".join(row.more), *bolts, row.inspected, row.due, out)


def bows_from_csv(text: str) -> ParsedBows:
    """Read bows from a table: the first line names fields; commas, semicolons or tabs between the cells.

    Raises:
        ParseError: when the text is too long, is no table, or has no column that is a field of a bow.
    """
    if len(text) > MAX_FILE:
        raise ParseError(f"The file is refused: it is longer than {MAX_FILE} characters.")
    lines = _lines(text.removeprefix("\ufeff"))
    names = [name.strip() for name in next(lines, [])]
    fields = {name for name in names if name in BY_NAME and _is_column(BY_NAME[name])}
    if not fields:
        raise ParseError("The file is refused: its first line names no field of a bow, such as bow_name or riser_name.")
    notes = [f"The column “{excerpt(name)}” was ignored: no field of a bow has that name." for name in _unknown(names)]
    bows: list[ShelvedBow] = []
    filled = [(number, cells) for number, cells in enumerate(lines, 2) if any(cell.strip() for cell in cells)]
    if len(filled) > MAX_BOWS:
        notes.append(
            f"Only the first {MAX_BOWS} bows were read, because there can be no more; there are {len(filled)}."
        )
    for number, cells in filled[:MAX_BOWS]:
        given = dict(zip(names, (_unguarded(cell.strip()) for cell in cells), strict=False))
        bow = _bow(f"Line {number}", {name: given.get(name, "") for name in (*fields, ID)}, notes)
        if len(cells) > len(names):
            notes.append(
                f"Line {number}: it has more cells than the first line, which names them; the rest was ignored."
            )
        if bow is not None:
            bows.append(bow)
    if not bows:
        raise ParseError(f"The file is refused: no line of it is a bow.{f' {notes[0]}' if notes else ''}")
    return ParsedBows(tuple(bows), bounded(notes))


def _lines(text: str) -> Iterator[list[str]]:
    head = text.partition("\n")[0]
    apart = max(",;\t", key=head.count)
    try:
        yield from csv.reader(io.StringIO(text, newline=""), delimiter=apart)
    except csv.Error as error:
        raise ParseError(f"The file is refused: it cannot be read as a table ({error}).") from None


def _unknown(names: list[str]) -> list[str]:
    """The names of columns that mean nothing here; those in parentheses were worked out when the table was written."""
    known = [name for name in names if name in ("", ID) or (name in BY_NAME and _is_column(BY_NAME[name]))]
    return [name for name in names[:_MOST_COLUMNS] if name not in known and not name.startswith("(")]


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA) else cell


def _bow(where: str, given: dict[str, str], notes: list[str]) -> ShelvedBow | None:
    """One bow of the table; None, and a sentence why, where there is nothing of it."""
    name = given.get("bow_name", "")
    where += f", {excerpt(name)}" if name else ""
    data = {field: _entry(BY_NAME[field], cell) for field, cell in given.items() if field != ID and cell}
    parsed = from_data(data)
    wrong = Values(parsed.record).problems_in(parsed.record.entries)
    notes.extend(f"{where}: {note}" for note in parsed.notes)
    notes.extend(f"{where}: {each.sentence} It is kept as it is written." for each in wrong)
    if not parsed.record.entries:
        notes.append(f"{where}: ignored, because nothing in it could be read.")
        return None
    return ShelvedBow(parsed.record, _id(given[ID], where, notes), {})


def _id(given: str, where: str, notes: list[str]) -> str:
    if not given or is_id(given):
        return given
    notes.append(f"{where}: its id was ignored: it is not one of {LONGEST_ID} small letters and digits at most.")
    return ""


def _entry(field: AnyField, cell: str) -> object:
    """A cell as a record has it: of a number what was typed, and its unit."""
    if not isinstance(field, NumberField):
        return cell
    typed, _, last = cell.rpartition(" ")
    for unit in field.units:
        if typed and last in (unit, units.unit(unit).symbol):
            return {"typed": typed, "unit": unit}
    return {"typed": cell, "unit": field.unit}
