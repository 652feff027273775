"""Entries that the page makes with one press: a step that was done, the last one taken back.

And what was read last, held against what was expected.
"""

from __future__ import annotations

from quarterturn import days
from quarterturn.numbers import plain
from quarterturn.record.entries import Entry
from quarterturn.record.fields import list_named
from quarterturn.widgets import bow_wording, plan_wording, words
from quarterturn.widgets.answer import Line, Offer
from quarterturn.widgets.carry_out import progress
from quarterturn.widgets.planned_change import PlannedChange

LOG = list_named("log")
PLACES = dict(zip(("upper_at", "lower_at"), (0, 1), strict=True))
TOLD = {"weight": "tell-weight", "tiller": "tell-tiller", "brace_height": "tell-brace"}


def offers(shown: PlannedChange) -> list[Offer]:
    """What can be entered now; nothing where the day is not known, the log is full, or no step is in hand."""
    today = shown.values.today
    if today is None or shown.alone or len(_rows(shown)) >= LOG.max_rows:
        return []
    found = []
    if progress.goes_on(shown) and shown.own:
        change, now = progress.first_change(shown), shown.course.now.turns
        there = (now[0] + change[0], now[1] + change[1])
        found.append(
            Offer(
                "did-step",
                "When it is done",
                f"It adds an entry to your log: today, upper bolt at {words.place(there[0])}, lower bolt at "
                f"{words.place(there[1])}. Then enter what you read.",
                "I did this step",
                (("log", _with_row(shown, there, today)),),
            )
        )
    before = progress.place_before(shown)
    if before is not None:
        found.append(
            Offer(
                "took-back",
                "If you took the step back",
                f"It adds an entry to your log: today, upper bolt at {words.place(before[0])}, lower bolt at "
                f"{words.place(before[1])}.",
                "I took the last step back",
                (("log", _with_row(shown, before, today)),),
            )
        )
    return found


def _with_row(shown: PlannedChange, places: tuple[float, float], today: int) -> Entry:
    """The log with one more row: the day and both places."""
    cells: list[Entry | None] = []
    for column in LOG.columns:
        if column.name == LOG.date:
            cells.append(Entry(days.isoformat(today)))
        elif column.name in PLACES:
            cells.append(Entry(plain(places[PLACES[column.name]], 3), "turn"))
        else:
            cells.append(None)
    return Entry("", rows=(*_rows(shown), tuple(cells)))


def _rows(shown: PlannedChange) -> tuple[tuple[Entry | None, ...], ...]:
    """The rows that the log has."""
    kept = shown.values.record.entries.get("log")
    return () if kept is None else kept.rows


def tells(shown: PlannedChange) -> list[Line]:
    """Each newest reading, held against what was expected; empty before it is read."""
    held = {one.what: one for one in progress.last_checks(shown)} if progress.carried(shown) else {}
    lines = []
    for what, name in TOLD.items():
        check = held.get(what)
        value = shown.course.now.get(what)
        if check is None or value is None:
            lines.append(Line(name, ""))
            continue
        unit = bow_wording.force_unit(shown.values)
        read = bow_wording.force(value, unit) if what == "weight" else bow_wording.length(value, shown.prediction.unit)
        expected = (
            plan_wording.weight(check.foretold, shown) if what == "weight" else plan_wording.span(check.foretold, shown)
        )
        if check.agrees:
            lines.append(Line(name, f"{read}: as expected ({expected}).", "go"))
        else:
            lines.append(Line(name, f"{read}: not expected ({expected}). Count the turns and measure again.", "stop"))
    return lines
