"""What a rack asks for: rows, sheets to print, a table, a preset's measures. The messages: `worker_interface`."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from quarterturn.bench import presets
from quarterturn.record.bows import ShelvedBow
from quarterturn.record.entries import Record
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import ParseError, from_data
from quarterturn.record.values import Values
from quarterturn.widgets.rack import prints
from quarterturn.widgets.rack.rows import row_of
from quarterturn.widgets.rack.table_file import csv_of

Asked = Mapping[str, object]
Reply = dict[str, object]
Read = Callable[[Record], Values]


def reply(request: Asked, read: Read) -> Reply:
    """Answer one request, whose "ask" is one of `KINDS`; `read` gives a record's values as the site has them."""
    return KINDS[str(request.get("ask"))](request, read)


def _rows(request: Asked, read: Read) -> Reply:
    return {"rows": [{"id": id_, **row_of(values).as_data()} for id_, values in _bows(request, read)]}


def _sheets(request: Asked, read: Read) -> Reply:
    bows = [values for _, values in _bows(request, read)]
    sheets: dict[str, Callable[[], list[str]]] = {
        "cards": lambda: [prints.card_of(values, number) for number, values in enumerate(bows, 1)],
        "tags": lambda: [prints.tag_of(values) for values in bows],
        "notice": lambda: [prints.notice(read(Record({})).address)],
    }
    what = str(request.get("what"))
    return {"sheets": sheets[what]()} if what in sheets else {"broken": f"what must be one of {', '.join(sheets)}."}


def _table(request: Asked, read: Read) -> Reply:
    bows = [ShelvedBow(values.record, id_, {}) for id_, values in _bows(request, read)]
    return {"name": "rack.csv", "text": csv_of(bows, read)}


def _preset(request: Asked, _read: Read) -> Reply:
    preset, bow = (from_data(request.get(name, {})).record for name in ("record", "bow"))
    filled = presets.filled_in(bow, preset)
    told = [
        f"{BY_NAME[name].label}: the bow says {_as_typed(bow, name)}, the preset {_as_typed(preset, name)}. The bow's "
        "stays."
        for name in filled.differs
    ]
    return {"record": filled.record.canonical(), "notes": told}


def _as_typed(record: Record, name: str) -> str:
    entry = record.entries[name]
    return f"“{f'{entry.typed} {entry.unit}'.strip()}”"


def _bows(request: Asked, read: Read) -> list[tuple[str, Values]]:
    """The bows of a request, by id; what is no record is left out."""
    given = request.get("bows")
    found = []
    for each in given if isinstance(given, list) else []:
        try:
            record = from_data(each.get("record") if isinstance(each, dict) else None).record
        except ParseError:
            continue
        found.append((str(each.get("id", "")), read(record)))
    return found


KINDS: dict[str, Callable[[Asked, Read], Reply]] = {
    "rack": _rows,
    "rack_print": _sheets,
    "rack_csv": _table,
    "preset": _preset,
}
