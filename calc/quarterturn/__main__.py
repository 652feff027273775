"""The command line.

`python -m quarterturn list | schema [record | bows] | answer WIDGET [FILE [--bow NAME]] [--today DAY]`.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from datetime import date
from pathlib import Path

from quarterturn import days
from quarterturn.record.bows import MAX_FILE, record_from_text
from quarterturn.record.entries import Problem, Record
from quarterturn.record.parsing import ParsedRecord, ParseError
from quarterturn.record.schema import bows_schema, schema
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Refusal

OK, REFUSED = 0, 2


def main(arguments: list[str] | None = None) -> int:
    """Run one command; 0, or 2 with the sentences that say why not."""
    chosen = _parser().parse_args(arguments)
    if chosen.command == "list":
        _print([{"name": each.name, "title": each.title, "fields": list(each.fields())} for each in WIDGETS.values()])
        return OK
    if chosen.command == "schema":
        _print(bows_schema() if chosen.what == "bows" else schema())
        return OK
    return _answer(chosen.widget, chosen.file, chosen.bow, chosen.today)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m quarterturn", description="Answers about limb bolts, as JSON.")
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("list", help="the widgets and their fields")
    shape = commands.add_parser("schema", help="the JSON Schema of a record, or of a file of bows")
    shape.add_argument("what", nargs="?", choices=["record", "bows"], default="record")
    answer = commands.add_parser("answer", help="a widget's answer to a record")
    answer.add_argument("widget", choices=sorted(WIDGETS))
    answer.add_argument(
        "file",
        nargs="?",
        help="a record as JSON, or a file of bows that the page saved; - for standard input; none for the example",
    )
    answer.add_argument("--bow", metavar="NAME", help="which bow of a file with several")
    answer.add_argument("--today", metavar="DAY", type=_day, default=today(), help="as 2026-06-30")
    return parser


def today() -> str:
    """The day by this machine's clock, as 2026-06-30."""
    return date.today().isoformat()


def _day(text: str) -> int:
    try:
        return days.parse(text)
    except days.InvalidDateError as error:
        raise argparse.ArgumentTypeError(f"{text!r} {error}") from None


def _answer(name: str, file: str | None, bow: str | None, today: int) -> int:
    try:
        opened = _opened(file, bow)
        answer = WIDGETS[name].answer(Values(opened.record, today=today))
    except ParseError as error:
        return _refused((Problem("", str(error)),), ())
    except Refusal as refusal:
        return _refused(refusal.problems, opened.notes)
    _print(answer.as_data() | {"notes": list(opened.notes)})
    return OK


def _opened(file: str | None, bow: str | None) -> ParsedRecord:
    if file is None:
        return ParsedRecord(Record({}))
    try:
        raw = sys.stdin.buffer.read(MAX_FILE + 1) if file == "-" else _bytes_of(file)
    except OSError as error:
        raise ParseError(f"The file {_printable(file)} cannot be read: {str(error.strerror).lower()}.") from None
    if len(raw) > MAX_FILE:
        raise ParseError(f"The record is refused: it is longer than {MAX_FILE:,} bytes.")
    try:
        return record_from_text(raw.decode("utf-8-sig"), bow)
    except UnicodeDecodeError:
        raise ParseError("The record is refused: it is not text in UTF-8.") from None


def _bytes_of(file: str) -> bytes:
    with Path(file).open("rb") as stream:
        return stream.read(MAX_FILE + 1)


def _printable(name: str) -> str:
    return name.encode("utf-8", "replace").decode()


def _refused(problems: tuple[Problem, ...], notes: tuple[str, ...]) -> int:
    _print(
        {
            "errors": [{"field": problem.field, "sentence": problem.sentence} for problem in problems],
            "notes": list(notes),
        }
    )
    for problem in problems:
        print(problem.sentence, file=sys.stderr)
    return REFUSED


def _print(data: object) -> None:
    """Print JSON in UTF-8, whatever the terminal's own encoding is (RFC 8259, section 8.1)."""
    text = json.dumps(data, ensure_ascii=False, indent=2) + "\n"
    try:
        sys.stdout.buffer.write(text.encode())
        sys.stdout.buffer.flush()
    except BrokenPipeError:  # whoever reads has read enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
