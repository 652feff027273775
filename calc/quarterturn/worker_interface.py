"""The one function that the browser's worker calls: a JSON string in, a JSON string out.

Requests, by "ask", and what is replied; anything else is replied to with {"broken": sentence}.

answer: "widget", "record", and if known "today" ("2026-06-30", the reader's own day: without it nothing ages and no new
    plan is offered), "address" (where the site lies), "units" (the system that the site begins with), "blocks" (the
    names of those that the page shows, where it does not show all) and "part". Replied: "html" (null with problems: the
    page keeps the last good answer, marked as old), "cuts" (the lengths of the html's pieces, in UTF-16 units) and
    "places" (for each its name and the zone it belongs in, see `Zone`; the verdict's is its own), "more", "state",
    "speak", "problems", "notes", "keeps" (entries that the page makes at once, null empties one) and "offers" (those of
    the answer's buttons, by name). With "part": "first" the pieces that are deferred are left out, their cuts are null
    and "more" is true: the page then asks for the whole.
link: "record". Replied: "fragment" ("q1.…"), "brief" (the same for a code on paper), "left": a sentence on what no link
    carries, or "".
code: "record" and "address". Replied: "html", the picture of the code that opens the record from a sheet, or "".
csv: "record" and "units". Replied: "name", "text" and "notes", the log as a file; or "problems".
open: "fragment"; read: "text", what was kept in the browser. Replied: "record", "marks" (entries that a record gets
    which is taken from there), "notes", "problems".
file: "text", a file of bows, or a table of them (CSV). Replied: "bows" (each with "id", "times", "record", "marks",
    "marked_by"), "notes" and "problems"; a file is read in part where it must be.
rack: "bows" (each with "id" and "record"), "today" and "units". Replied: "rows", one for each (`rack.rows.Row`).
rack_print: the same, "what" ("cards", "tags" or "notice") and "address". Replied: "sheets", HTML for each.
rack_csv: the same as rack. Replied: "name" and "text", a table of all bows.
preset: "record", and "bow", the record that is to be filled from it. Replied: "record", the entries for what is empty
    there, and "notes", a sentence for each that the bow has otherwise.

What only one kind of request needs is imported by it: the first answer waits for every module that is imported.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING

from quarterturn import days
from quarterturn.bench import inspection
from quarterturn.bench.judgement import to_pass_on
from quarterturn.record.entries import Entry, Problem, Record
from quarterturn.record.parsing import ParsedRecord, ParseError, from_data, from_text, too_deep
from quarterturn.record.values import Values
from quarterturn.units import SYSTEMS
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Entries, Refusal
from quarterturn.widgets.render import pieces, problems_text

if TYPE_CHECKING:
    from quarterturn.record.bows import ParsedBows, ShelvedBow

_SITE = re.compile(r"https?://[!-~]{1,200}/", re.ASCII)
Request = dict[str, object]
Reply = dict[str, object]


def ask(text: str) -> str:
    """Answer one request. Never raises."""
    try:
        return json.dumps(_reply(text))
    except Exception as error:  # the page must always hear something
        return json.dumps({"broken": f"The calculator stumbled over this record ({type(error).__name__}: {error})."})


def _reply(text: str) -> Reply:
    if too_deep(text):
        return {"broken": "The record is refused: it is nested too deeply."}
    request = json.loads(text)
    kind = request.get("ask") if isinstance(request, dict) else None
    if kind not in _KINDS:
        return {"broken": f"ask must be one of {', '.join(_KINDS)}."}
    return _KINDS[kind](request)


def _answer(request: Request) -> Reply:
    widget = WIDGETS.get(str(request.get("widget")))
    if widget is None:
        return {"broken": f"widget must be one of {', '.join(WIDGETS)}."}
    try:
        opened = from_data(request.get("record", {}))
    except ParseError as error:
        return _refused((Problem("", str(error)),), ())
    try:
        asked = (_address(request), _today(request), _system(request))
        answer = _answered(widget.name, tuple(opened.record.entries.items()), *asked)
    except Refusal as refusal:
        return _refused(refusal.problems, opened.notes)
    rendered = pieces(answer, whole=request.get("part") != "first", wanted=_wanted(request))
    return {
        "more": any(piece.html is None for piece in rendered),
        "html": "".join(piece.html or "" for piece in rendered),
        "cuts": [None if piece.html is None else _length(piece.html) for piece in rendered],
        "places": [[piece.name, piece.zone] for piece in rendered],
        "state": answer.state.value,
        "speak": answer.speak,
        "problems": [],
        "notes": list(opened.notes),
        "keeps": _as_data(answer.keeps),
        "offers": {block.name: _as_data(block.entries) for block in answer.offers},
    }


def _as_data(entries: Entries) -> dict[str, object]:
    """Entries that the page is to make, as a record has them; None empties one."""
    made = Record({name: entry for name, entry in entries if entry is not None}).canonical()
    return {name: made.get(name) for name, _ in entries}


@lru_cache(maxsize=4)
def _answered(
    widget: str, entries: tuple[tuple[str, Entry], ...], address: str, today: int | None, system: str
) -> Answer:
    """The answer; whoever asks for the whole after its first part does not start again."""
    return WIDGETS[widget].answer(Values(Record(dict(entries)), address, today, system))


def _length(text: str) -> int:
    """How long JavaScript finds a text: a character beyond U+FFFF counts twice."""
    return len(text) if not text or max(text) <= "\uffff" else len(text.encode("utf-16-le")) // 2


def _wanted(request: Request) -> Callable[[str], bool]:
    """Which blocks the page shows; all of them where it does not tell."""
    blocks = request.get("blocks")
    if not isinstance(blocks, list):
        return lambda name: True
    return frozenset(map(str, blocks)).__contains__


def _today(request: Request) -> int | None:
    """The reader's own day; None where it is not told, or is none."""
    try:
        return days.parse(str(request.get("today", "")))
    except days.InvalidDateError:
        return None


def _system(request: Request) -> str:
    """The units that the site begins with; "" where it names none that are known."""
    named = request.get("units")
    return named if isinstance(named, str) and named in SYSTEMS else ""


def _address(request: Request) -> str:
    """Where the site lies that asks, for a code that opens a record there; "" where it says none that can be used."""
    address = request.get("address", "")
    return address if isinstance(address, str) and _SITE.fullmatch(address) else ""


def _refused(problems: tuple[Problem, ...], notes: tuple[str, ...]) -> Reply:
    return {
        "more": False,
        "html": None,
        "cuts": [],
        "places": [],
        "state": "refused",
        "speak": problems_text(problems),
        "problems": [{"field": problem.field, "sentence": problem.sentence} for problem in problems],
        "notes": list(notes),
        "keeps": {},
        "offers": {},
    }


def _link(request: Request) -> Reply:
    from quarterturn.record import link

    record = to_pass_on(Values(from_data(request.get("record", {})).record))
    fragment, left = link.fragment(record), link.left_out(record)
    if len(fragment) > link.MAX_FRAGMENT:
        return {"broken": "These entries are too long for a link: shorten those that are no numbers."}
    if left and fragment == link.fragment(Record({})):
        return {"broken": left}
    return {"fragment": fragment, "brief": link.fragment(record, link.BRIEF), "left": left}


def _code(request: Request) -> Reply:
    from quarterturn.widgets import paper_code

    picture = paper_code.on_sheet(Values(from_data(request.get("record", {})).record, _address(request)))
    return {"html": "" if picture is None else picture.svg}


def _csv(request: Request) -> Reply:
    from quarterturn.widgets.log import export

    try:
        opened = from_data(request.get("record", {}))
        values = Values(opened.record, system=_system(request))
        text = export.csv_of(values)
    except ParseError as error:
        return {"problems": [{"field": "", "sentence": str(error)}]}
    except Refusal as refusal:
        return {"problems": [{"field": each.field, "sentence": each.sentence} for each in refusal.problems]}
    return {"name": export.file_name(values), "text": text, "notes": [*opened.notes, *export.left_out(values)]}


def _open(request: Request) -> Reply:
    from quarterturn.record import link

    return _opened(link.from_fragment, str(request.get("fragment", "")))


def _read(request: Request) -> Reply:
    return _opened(from_text, str(request.get("text", "")))


def _file(request: Request) -> Reply:
    text = str(request.get("text", ""))
    try:
        opened = _bows_of(text)
    except ParseError as error:
        return {"bows": [], "notes": [], "problems": [{"field": "", "sentence": str(error)}]}
    return {"bows": list(map(_taken_in, opened.bows)), "notes": list(opened.notes), "problems": []}


def _bows_of(text: str) -> ParsedBows:
    """The bows of a file, or of a table where the text cannot be JSON.

    Raises:
        ParseError: as `bows_from_text` and `bows_from_csv`.
    """
    if text.lstrip("\ufeff \t\r\n")[:1] in ("{", "[", "<", ""):
        from quarterturn.record.bows import bows_from_text

        return bows_from_text(text)
    from quarterturn.widgets.rack.table_file import bows_from_csv

    return bows_from_csv(text)


def _of_rack(request: Request) -> Reply:
    from quarterturn.widgets.rack import requests

    site = (_address(request), _today(request), _system(request))
    return requests.reply(request, lambda record: Values(record, *site))


def _taken_in(bow: ShelvedBow) -> Reply:
    """A bow of a file, with the marks that it gets where any of the fields of an inspection is taken from it."""
    return {
        "id": bow.id,
        "times": dict(bow.times),
        "record": bow.record.canonical(),
        "marks": inspection.marks_of(bow.record),
        "marked_by": list(inspection.ENTRIES),
    }


def _opened(read: Callable[[str], ParsedRecord], text: str) -> Reply:
    try:
        opened = read(text)
    except ParseError as error:
        problem = {"field": "", "sentence": str(error)}
        return {"record": {"version": 1}, "marks": {}, "notes": [], "problems": [problem]}
    record = opened.record
    return {
        "record": record.canonical(),
        "marks": inspection.marks_of(record),
        "notes": list(opened.notes),
        "problems": [],
    }


_KINDS: dict[str, Callable[[Request], Reply]] = {
    "answer": _answer,
    "link": _link,
    "code": _code,
    "csv": _csv,
    "open": _open,
    "read": _read,
    "file": _file,
    "rack": _of_rack,
    "rack_print": _of_rack,
    "rack_csv": _of_rack,
    "preset": _of_rack,
}
