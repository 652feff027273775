"""The record as the fragment of an address: entered fields of the bow, by their permanent numbers.

``q1.`` and then base64url of a letter, the text's CRC-32 (four bytes, so that a link that was cut off is refused and
never misread) and the text: as it is ("p") or, where that is shorter, as raw deflate ("d"). The text is
``number=value`` joined by ``;``. A choice is written as the place of its option (options are only ever added at the
end), a number as it was typed, followed by ``~`` and the unit's place where that is not the first, a date as it was
typed. The rows of a list are joined by ``!``, what a row holds by ``_`` in the order of its columns, of which those
left empty at its end are not written. Of a list that is not `linked` one row is carried where all would be too long:
how things stand by it now. `left_out` says so. No other field that is not `linked` is carried.
"""

from __future__ import annotations

import base64
import zlib
from dataclasses import replace

from quarterturn.record.entries import Entry, Record
from quarterturn.record.field_types import AnyField, ChoiceField, Column, ListField, NumberField, Scope
from quarterturn.record.fields import BY_NUMBER
from quarterturn.record.newest import newest
from quarterturn.record.parsing import ParsedRecord, ParseError, from_data
from quarterturn.record.validation import dated_rows, misleading_row

MARK = "q1."
MAX_FRAGMENT = 4_000
BRIEF = 0
"""Room for no list that grows: as brief as a link can be, for a code on a card."""
ROOM = 1_200
"""As long as a link may be for a list that grows to be carried whole: short enough to print (design, *Links*)."""
MAX_PLAIN = 16_000
_ESCAPES = {"%": "%25", ";": "%3B", "~": "%7E", "=": "%3D"}
_ROW_ESCAPES = _ESCAPES | {"!": "%21", "_": "%5F"}


def fragment(record: Record, room: int = ROOM) -> str:
    """The fragment, without its #, that carries all entered fields of the bow.

    Of a list that grows it has how things stand by it now, where the whole list would make it longer than `room`.
    """
    return _encode(_carried(record, room))


def left_out(record: Record, room: int = ROOM) -> str:
    """A sentence on what was entered of the bow and such a link does not carry; "" where there is nothing."""
    carried = dict(_carried(record, room))
    short = [field for field, entry in _bow_entries(record) if carried.get(field) != entry]
    if not short:
        return ""
    stays = "It stays in this browser. Save a file to take it along."
    none = [field.label for field in short if field not in carried]
    if none:
        return f"Not in the link, because no row of it is complete: {', '.join(none)}. {stays}"
    labels = ", ".join(field.label for field in short)
    return f"A link must be short enough to print. It carries only the newest of this: {labels}. {stays}"


_Entries = list[tuple[AnyField, Entry]]


def _carried(record: Record, room: int) -> _Entries:
    """What a link carries: all of the bow, or with lists that grow cut down to how things stand."""
    whole = _bow_entries(record)
    short = [(field, now) for field, entry in whole if (now := _current(field, entry)) is not None]
    return whole if short == whole or len(_encode(whole)) <= room else short


def _bow_entries(record: Record) -> _Entries:
    """The entries of the bow that links carry, in the order of their fields' numbers."""
    bow = (field for _, field in sorted(BY_NUMBER.items()) if _is_carried(field))
    return [(field, record.entries[field.name]) for field in bow if field.name in record.entries]


def _is_carried(field: AnyField) -> bool:
    """Whether links carry the field, all of it or how things stand by it."""
    return field.scope is Scope.BOW and (field.linked or isinstance(field, ListField))


def _current(field: AnyField, entry: Entry) -> Entry | None:
    """An entry, of a list that grows how things stand by it; None where no row tells.

    A row that leaves that open goes along, so that the link sounds no better than the whole list.
    """
    if field.linked or not isinstance(field, ListField):
        return entry
    rows = dated_rows(field, entry)
    found = newest(rows, field.setting_columns, field.date)
    row = tuple(rows[found[name]][name] if name in found else None for name in (each.name for each in field.columns))
    misleading = misleading_row(field, entry)
    carried = (*((row,) if found else ()), *((misleading,) if misleading is not None else ()))
    return replace(entry, rows=carried) if carried else None


def _encode(entered: _Entries) -> str:
    """The fragment of these entries."""
    parts = [f"{field.number}={_encode_field(field, entry)}" for field, entry in entered]
    plain = ";".join(parts).encode()
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = packer.compress(plain) + packer.flush()
    kind, body = (b"d", packed) if len(packed) < len(plain) else (b"p", plain)
    return MARK + base64.urlsafe_b64encode(kind + _checksum(plain) + body).decode().rstrip("=")


def _checksum(plain: bytes) -> bytes:
    return zlib.crc32(plain).to_bytes(4, "big")


def _encode_field(field: AnyField, entry: Entry) -> str:
    if isinstance(field, ChoiceField):
        return _encode_option(field, entry)
    if isinstance(field, ListField):
        return "!".join(_encode_row(field, row) for row in entry.rows)
    if isinstance(field, NumberField):
        return _encode_number(field, entry, _ESCAPES)
    return _escape(entry.typed, _ESCAPES)


def _encode_option(field: ChoiceField, entry: Entry) -> str:
    return str([option.value for option in field.options].index(entry.typed))


def _encode_row(field: ListField, row: tuple[Entry | None, ...]) -> str:
    cells = zip(field.columns, row, strict=True)
    texts = ["" if cell is None else _encode_cell(column, cell) for column, cell in cells]
    return "_".join(texts).rstrip("_")


def _encode_cell(column: Column, cell: Entry) -> str:
    if isinstance(column, ChoiceField):
        return _encode_option(column, cell)
    if isinstance(column, NumberField):
        return _encode_number(column, cell, _ROW_ESCAPES)
    return _escape(cell.typed, _ROW_ESCAPES)


def _encode_number(field: NumberField, entry: Entry, escapes: dict[str, str]) -> str:
    text = _escape(entry.typed, escapes)
    return text if entry.unit == field.unit else f"{text}~{field.units.index(entry.unit)}"


def _escape(typed: str, escapes: dict[str, str]) -> str:
    return "".join(escapes.get(letter, letter) for letter in typed)


def _unescape(text: str, escapes: dict[str, str]) -> str:
    for letter, escape in reversed(escapes.items()):
        text = text.replace(escape, letter)
    return text


def from_fragment(text: str) -> ParsedRecord:
    """Read a fragment, with or without its #, keeping what can be read.

    Raises:
        ParseError: when it is not a link of ours, is too long, or is damaged.
    """
    text = text.removeprefix("#")
    if not text.startswith(MARK):
        raise ParseError("The link carries no values that this version can read.")
    if len(text) > MAX_FRAGMENT:
        raise ParseError(f"The link's values are refused: they are longer than {MAX_FRAGMENT:,} characters.")
    plain = _decode(text.removeprefix(MARK))
    data: dict[str, object] = {}
    notes: list[str] = []
    for part in filter(None, plain.split(";")):
        number, _, value = part.partition("=")
        field = BY_NUMBER.get(int(number)) if number.isascii() and number.isdigit() and len(number) < 5 else None
        if field is None or not _is_carried(field):
            notes.append(f"A value for field {number[:8]!r} was ignored: this version has no such field in links.")
        else:
            data[field.name] = _decode_field(field, value)
    result = from_data(data)
    return ParsedRecord(result.record, (*notes[:8], *result.notes))


def _decode(body: str) -> str:
    """The text of a link's values."""
    damaged = ParseError("The link's values cannot be read: the link was cut off or changed on its way.")
    try:
        raw = base64.b64decode(body + "=" * (-len(body) % 4), altchars=b"-_", validate=True)
        if raw[:1] == b"p":
            plain = raw[5:]
        elif raw[:1] == b"d":
            unpacker = zlib.decompressobj(-15)
            plain = unpacker.decompress(raw[5:], MAX_PLAIN)
            if unpacker.unconsumed_tail or not unpacker.eof:
                raise damaged
        else:
            raise damaged
        if raw[1:5] != _checksum(plain):
            raise damaged
        return plain.decode()
    except (zlib.error, ValueError):  # that of base64 and that of UTF-8 are ValueErrors
        raise damaged from None


def _decode_field(field: AnyField, value: str) -> object:
    if isinstance(field, ChoiceField):
        return _decode_option(field, value)
    if isinstance(field, ListField):
        return [_decode_row(field, row) for row in value.split("!")]
    if isinstance(field, NumberField):
        return _decode_number(field, value, _ESCAPES)
    return _unescape(value.partition("~")[0], _ESCAPES)


def _decode_option(field: ChoiceField, value: str) -> str:
    place = _index(value)
    return field.options[place].value if 0 <= place < len(field.options) else value


def _decode_row(field: ListField, row: str) -> dict[str, object]:
    cells = row.split("_")
    read: dict[str, object] = {
        column.name: _decode_cell(column, cell) for column, cell in zip(field.columns, cells, strict=False)
    }
    more = cells[len(field.columns) :]
    return read | {f"column {place}": cell for place, cell in enumerate(more, len(field.columns) + 1)}


def _decode_cell(column: Column, cell: str) -> object:
    if isinstance(column, ChoiceField):
        return _decode_option(column, cell)
    return (
        _decode_number(column, cell, _ROW_ESCAPES) if isinstance(column, NumberField) else _unescape(cell, _ROW_ESCAPES)
    )


def _decode_number(field: NumberField, value: str, escapes: dict[str, str]) -> object:
    text, mark, place_text = value.partition("~")
    typed = _unescape(text, escapes)
    if not mark:
        return {"typed": typed}
    place = _index(place_text)
    return {"typed": typed, "unit": field.units[place] if 0 <= place < len(field.units) else place_text or "?"}


def _index(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 3 else -1
