"""Entries that the page on carrying a plan out makes with one press: one more row, of today, with the places told.

Places are those of the next step's own words; what a row does to the answer is asked anew, as the page asks it. What is
expected, and within what, is the table's (issue 15). All bows are made up.
"""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from helpers import matrix
from helpers.asking import COMPLETE, Data, changed, lines_of, numbers, points_of, table_of
from helpers.carrying_out import OWN, START, WANTED, Row, as_computed, count_of, next_of, row, turned_in
from quarterturn import days
from quarterturn.record.entries import Entry, Record
from quarterturn.record.fields import list_named
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Offer, State, Steps
from quarterturn.worker_interface import ask

DAY = "2026-07-20"
TODAY = days.parse(DAY)
LOG = list_named("log")
COLUMNS = [column.name for column in LOG.columns]


def record_of(data: Data, *rows: Row) -> Record:
    opened = from_data(data | ({"log": list(rows)} if rows else {}))
    assert opened.notes == ()
    return opened.record


def asked(record: Record, today: int | None = TODAY) -> Answer:
    return WIDGETS["carry-out"].answer(Values(record, today=today))


def offers(answer: Answer) -> dict[str, Offer]:
    return {offer.name: offer for offer in answer.offers}


def rows_of(entry: Entry | None) -> tuple[tuple[Entry | None, ...], ...]:
    return () if entry is None else entry.rows


def row_added(offer: Offer, record: Record) -> dict[str, Entry | None]:
    """The row that an offer adds, by its columns; it changes nothing else, and no row that was there."""
    ((name, entry),) = offer.entries
    assert name == "log"
    before, after = rows_of(record.entries.get("log")), rows_of(entry)
    assert after[:-1] == before
    return dict(zip(COLUMNS, after[-1], strict=True))


def entered(offer: Offer, record: Record) -> Record:
    """The record with what was offered, the way the page gets it: as JSON."""
    made = Record({**record.entries, **{name: entry for name, entry in offer.entries if entry is not None}})
    return record_of(json.loads(json.dumps(made.canonical())))


def measured(record: Record, there: Row) -> Record:
    """The last row of the log with what was read filled in."""
    data = json.loads(json.dumps(record.canonical()))
    data["log"][-1] |= {name: entry for name, entry in there.items() if name not in ("date", "upper_at", "lower_at")}
    return record_of(data)


def quarters(turns: float) -> str:
    whole, rest = int(turns), ("", "¼", "½", "¾")[round(4 * (turns % 1))]
    return f"{whole or ''}{rest}" or "0"


STEPS: list[tuple[Row, ...]] = [
    (),
    (as_computed(1, 2.0, 1.5),),
    (as_computed(1, 2.0, 1.5), as_computed(2, 1.5, 1.25)),
    (as_computed(1, 2.0, 1.5), as_computed(2, *START)),
]
"""What was set and read so far: nothing, one step, two, and a step taken back."""


# A step that was done


@pytest.mark.parametrize("rows", STEPS, ids=len)
def test_the_step_in_hand_is_offered_as_one_row_of_today(rows: tuple[Row, ...]) -> None:
    record = record_of(WANTED, *rows)
    answer = asked(record)
    offer = offers(answer)["did-step"]
    added = row_added(offer, record)
    here = (rows[-1]["upper_at"], rows[-1]["lower_at"]) if rows else START
    step = turned_in(next_of(answer))
    there = tuple(place + turned for place, turned in zip(here, step, strict=True))
    assert added["date"] == Entry(DAY)
    for name, place in zip(("upper_at", "lower_at"), there, strict=True):
        cell = added[name]
        assert cell is not None
        assert float(cell.typed) == pytest.approx(place, abs=1e-9)
        assert cell.unit == "turn"
    # What was read is for the reader to enter.
    assert {name for name, cell in added.items() if cell is not None} == {"date", "upper_at", "lower_at"}
    assert f"upper bolt at {quarters(there[0])}, lower bolt at {quarters(there[1])}" in offer.text
    # As the step itself tells the log's entry.
    assert f"upper bolt at {there[0]:.2f}, lower bolt at {there[1]:.2f}" in next_of(answer)


def test_pressing_and_measuring_goes_through_all_steps() -> None:
    """Entered and asked again it waits for the readings; with these the next step is in hand, until it is done."""
    record = record_of(WANTED)
    answer = asked(record)
    _, steps = count_of(answer)
    assert steps >= 2
    for so_far in range(1, steps + 1):
        assert count_of(answer) == (so_far, steps)
        offer = offers(answer)["did-step"]
        cells = row_added(offer, record)
        upper, lower = (float(cell.typed) for name in ("upper_at", "lower_at") if (cell := cells[name]) is not None)
        record = entered(offer, record)
        waiting = asked(record)
        assert waiting.title == "Measure before you go on"
        assert "did-step" not in offers(waiting)
        record = measured(record, as_computed(20, upper, lower))
        answer = asked(record)
        assert numbers(answer)["rows"] == so_far
    assert answer.title.startswith("Done")
    assert "did-step" not in offers(answer)


def test_the_worker_hands_the_row_over() -> None:
    """By the name of the offer, as a record has it: what the page puts into its own."""
    question = {"ask": "answer", "widget": "carry-out", "record": WANTED, "today": DAY}
    reply = json.loads(ask(json.dumps(question)))
    record = record_of(WANTED)
    (row_,) = reply["offers"]["did-step"]["log"]
    assert row_["date"] == DAY
    assert record_of(WANTED | reply["offers"]["did-step"]) == entered(offers(asked(record))["did-step"], record)
    assert json.loads(ask(json.dumps(question | {"today": "none"})))["offers"] == {}


# The step back


@pytest.mark.parametrize("rows", STEPS, ids=len)
def test_the_last_step_is_offered_back(rows: tuple[Row, ...]) -> None:
    """To the places before it: along the way that was come, less what was taken back already."""
    places = [START, *((each["upper_at"], each["lower_at"]) for each in rows)]
    way: list[tuple[float, float]] = []
    for place in places:
        if len(way) > 1 and way[-2] == place:
            del way[-1]
        else:
            way.append(place)
    record = record_of(WANTED, *rows)
    answer = asked(record)
    assert ("took-back" in offers(answer)) is (len(way) > 1)
    if len(way) > 1:
        added = row_added(offers(answer)["took-back"], record)
        assert [float(cell.typed) for cell in added.values() if cell is not None and cell.unit] == list(way[-2])
        assert added["date"] == Entry(DAY)
        back = asked(measured(entered(offers(answer)["took-back"], record), as_computed(20, *way[-2])))
        assert count_of(back)[0] == count_of(answer)[0] - 1
        # Both tell the same way back.
        (said,) = points_of(answer, "back")
        assert turned_in(said) == tuple(there - here for there, here in zip(way[-2], way[-1], strict=True))


# Where nothing is offered


def test_without_a_day_nothing_is_offered() -> None:
    for rows in STEPS:
        assert offers(asked(record_of(WANTED, *rows), today=None)) == {}


def test_nothing_is_offered_of_a_bow_that_is_not_the_readers() -> None:
    for record in ({}, {"wanted_weight": 39}, COMPLETE, COMPLETE | {"wanted_weight": 39}):
        assert offers(asked(record_of(record))) == {}


def test_nothing_is_offered_where_there_is_no_step() -> None:
    assert offers(asked(record_of(OWN))) == {}
    assert "did-step" not in offers(asked(record_of(WANTED, row(1, 2.0, 1.5))))


@pytest.mark.parametrize("record", matrix.RECORDS)
def test_no_step_is_offered_under_what_speaks_against_it(record: str) -> None:
    """Under a stop there is only the way back, which is always open; and where something is open no step at all."""
    state = matrix.state_of(record, "carry-out")
    if state == "refused":
        return
    answer = asked(record_of(matrix.RECORDS[record]))
    assert answer.state.value == state
    wanted = {"took-back"} if state in ("stop", "ask", "open") else {"took-back", "did-step"}
    assert set(offers(answer)) <= wanted
    if "took-back" in offers(answer):
        assert numbers(answer).get("rows", 1) >= 1 or answer.state is not State.EXPLAIN


def test_a_log_that_is_full_is_offered_no_more() -> None:
    """A row beyond the last would have the whole log refused."""
    full = [as_computed(1, 2.0, 1.5)] * LOG.max_rows
    answer = asked(record_of(WANTED, *full))
    assert isinstance(next(block for block in answer.blocks if isinstance(block, Steps)), Steps)
    assert offers(answer) == {}
    one_less = record_of(WANTED, *full[1:])
    assert set(offers(asked(one_less))) == {"did-step", "took-back"}
    assert asked(entered(offers(asked(one_less))["did-step"], one_less)).title == "Measure before you go on"


# What a reading just entered means

CELLS = {"tell-weight": 2, "tell-tiller": 3, "tell-brace": 4}
"""The column of the table of what was set and read."""


def test_lines_are_empty_before_anything_was_read_after_a_step() -> None:
    for rows in ((), (row(1, 2.0, 1.5),)):
        lines = lines_of(asked(record_of(WANTED, *rows)))
        assert {name: lines[name].text for name in CELLS} == dict.fromkeys(CELLS, "")


@pytest.mark.parametrize(
    "off", [{}, {"weight": 3.0}, {"tiller": 8.0}, {"brace": -9.0}, {"weight": 0.2}, {"weight": -3.0, "tiller": -8.0}]
)
def test_each_reading_is_held_against_what_was_expected(off: dict[str, float]) -> None:
    """The numbers are the table's; whether it was expected is whether the reading lies in the band told beside it."""
    answer = asked(record_of(WANTED, as_computed(1, 2.0, 1.5, **off)))
    cells: Any = table_of(answer, "course").rows[1]
    unexpected = 0
    for name, at in CELLS.items():
        line = lines_of(answer)[name]
        found = re.fullmatch(r"(\S+) \((\S+) ±\u00a0(\S+?)(: not expected)?\)", cells[at])
        assert found is not None
        value, expected, within = (float(each.replace("−", "-")) for each in found.groups()[:3])
        unit = "lb" if name == "tell-weight" else "mm"
        outside = abs(value - expected) > within + 0.11
        inside = abs(value - expected) < within - 0.11
        assert inside or outside
        band = f"({found[2]} ±\u00a0{found[3]} {unit})"
        if inside:
            assert (line.text, line.mark) == (f"{found[1]} {unit}: as expected {band}.", "go")
        else:
            assert line.text == f"{found[1]} {unit}: not expected {band}. Count the turns and measure again."
            assert line.mark == "stop"
            unexpected += 1
    assert unexpected == sum(abs(each) > 1 for each in off.values())
    assert (answer.state is State.STOP) is (unexpected > 0)


def test_only_what_was_read_is_told() -> None:
    there = as_computed(1, 2.0, 1.5)
    lines = lines_of(asked(record_of(WANTED, changed(there, brace_height=None, upper_tiller=None, lower_tiller=None))))
    assert [name for name in CELLS if lines[name].text] == ["tell-weight"]
