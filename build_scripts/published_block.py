"""A Markdown block that shows readers the published numbers that the package is held against.

    /// published | threads
    ///

The page gets one table a group of that list (`published/`), the same list that the tests read: what was published
beside what the package computes while the page is made. A row that does not agree ends the build, and so does a list
that is not known. The argument `bibliography` stands for the list of what is cited (`quarterturn.sources`).
"""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from typing import TYPE_CHECKING

from html_block import HtmlBlock
from published import arrows, bolts, bow, limbs, pocket, readings, threads, trade
from quarterturn.markup import escape
from quarterturn.sources import SOURCES

if TYPE_CHECKING:
    from published import Row

LISTS: dict[str, tuple[Row, ...]] = {
    "pocket": pocket.ROWS,
    "threads": threads.ROWS,
    "bolts": bolts.ROWS,
    "bow": bow.ROWS,
    "limbs": limbs.ROWS,
    "measured-bows": bow.COMPANY,
    "trade": trade.ROWS,
    "arrows": arrows.ROWS,
    "readings": readings.ROWS,
}
"""The lists that a page can show, by the block's argument."""

BIBLIOGRAPHY = "bibliography"
MARKS = ("S", "S2", "M", "C")
COLUMNS = ("What", "Published", "Ours", "Apart", "Allowed", "Mark and source")


class PublishedError(ValueError):
    """A list is not known, or a number of it is not the published one; the message says which."""


def page_part(name: str) -> str:
    """The tables of a list as HTML.

    Raises:
        PublishedError: if no list has that name, if it is empty, or if a row of it does not agree.
    """
    if name == BIBLIOGRAPHY:
        return _bibliography()
    rows = LISTS.get(name, ())
    if not rows:
        raise PublishedError(f"published | {name}: no list has this name; there are: {', '.join(LISTS)}")
    for row in rows:
        _hold(row, name)
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row.group, []).append(row)
    tables = "".join(
        _table(rows_of_it, f"published-{escape(name)}-{place}")
        for place, rows_of_it in enumerate(groups.values(), start=1)
    )
    return f'<p class="qt-note">{escape(_summary(rows, len(groups)))}</p>{tables}'


def _bibliography() -> str:
    """What is cited and what is taken from it, in the order in which the package lists it."""
    told = "".join(
        f'<dt id="source-{source.key}">{escape(source.citation)}</dt><dd>{escape(source.gives)}</dd>'
        for source in SOURCES.values()
    )
    return f'<dl class="qt-bibliography">{told}</dl>'


def _hold(row: Row, name: str) -> None:
    if row.mark not in MARKS:
        raise PublishedError(f"published | {name}: {row.group}: {row.what}: the mark {row.mark!r} is not explained")
    if not row.agrees():
        raise PublishedError(
            f"published | {name}: {row.group}: {row.what}: {row.printed} {row.unit} is published and ours is"
            f" {row.ours()} {row.unit}; {_allowed(row)} is allowed"
        )


def _summary(rows: tuple[Row, ...], groups: int) -> str:
    """How many numbers of which mark."""
    counts = Counter(row.mark for row in rows)
    marked = ", ".join(f"{counts[mark]} {mark}" for mark in MARKS)
    tables = "1 table" if groups == 1 else f"{groups} tables"
    return f"{len(rows)} numbers in {tables}. By mark: {marked}. Apart is ours less the published number."


def _table(rows: list[Row], key: str) -> str:
    head = "".join(f'<th scope="col">{column}</th>' for column in COLUMNS)
    body = "".join(_row(row, f"{key}-{place}") for place, row in enumerate(rows, start=1))
    return (
        f'<div class="qt-table qt-published" id="{key}" role="region" tabindex="0" aria-labelledby="{key}-name">'
        f'<table class="qt-grid"><caption id="{key}-name"><span>{escape(rows[0].group)}</span></caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _row(row: Row, key: str) -> str:
    note = ""
    if row.remark:
        note = (
            f'<tr class="qt-published-note"><td colspan="{len(COLUMNS)}" headers="{key}">'
            f"<span>{escape(row.remark)}</span></td></tr>"
        )
    unit = escape(row.unit)
    return (
        f'<tr><th scope="row" id="{key}">{escape(row.what)}</th>'
        f"<td>{escape(row.printed)} {unit}</td><td>{escape(row.ours())} {unit}</td>"
        f"<td>{_apart(row)}</td><td>{_allowed(row)}</td>"
        f'<td><span class="qt-published-mark">{row.mark}</span> {escape(row.source)}</td></tr>{note}'
    )


def _apart(row: Row) -> str:
    """Ours less the published number, both as they are shown, so that a reader can check the difference."""
    apart = Decimal(row.ours()) - Decimal(row.printed)
    return f"{apart:+f}".replace("-", "−") if apart else "0"


def _allowed(row: Row) -> str:
    """How far apart the printed digits let the two be, either way."""
    return f"±{Decimal(f'{row.tolerance:.6g}').normalize():f}"


class PublishedBlock(HtmlBlock):
    """One list, named by the block's argument."""

    NAME = "published"
    ERROR = PublishedError

    def html(self, argument: str) -> str:
        """The list's tables."""
        return page_part(argument)
