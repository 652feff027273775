"""Four hundred drawn records and what was answered to them, worked out once for all tests that look at them."""

from __future__ import annotations

from functools import cache

from helpers.records import Record, some
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Refusal

COUNT = 400
FEWER = {
    "pocket": 80,
    "paper": 80,
    "loads": 132,
    "draw-weight": 60,
    "tiller": 60,
    "plan": 60,
    "carry-out": 60,
    "after": 60,
    "card": 80,
    "log": 80,
}
"""Pages whose answers hold many pictures: hundreds more of them show nothing new."""
WIDGET_NAMES = tuple(WIDGETS)


Outcome = tuple[Record, Answer | Refusal]


def outcomes(widget: str = "safe-range") -> tuple[Outcome, ...]:
    """Each record with a widget's answer or refusal."""
    return tuple(_drawn(widget, place) for place in range(FEWER.get(widget, COUNT)))


def first_outcomes(widget: str, count: int) -> tuple[Outcome, ...]:
    """The first of them; no more are worked out."""
    return tuple(_drawn(widget, place) for place in range(min(count, FEWER.get(widget, COUNT))))


def answers(widget: str = "safe-range", first: int = COUNT) -> list[tuple[Record, Answer]]:
    """Those that were answered, or so many of them; no more are worked out than are wanted."""
    found: list[tuple[Record, Answer]] = []
    for place in range(FEWER.get(widget, COUNT)):
        if len(found) == first:
            break
        record, outcome = _drawn(widget, place)
        if isinstance(outcome, Answer):
            found.append((record, outcome))
    return found


@cache
def _records() -> tuple[Record, ...]:
    return tuple(some(COUNT))


@cache
def _drawn(widget: str, place: int) -> Outcome:
    record = _records()[place]
    return record, _outcome(record, widget)


def _outcome(record: Record, widget: str) -> Answer | Refusal:
    try:
        return WIDGETS[widget].answer(Values(from_data(record).record))
    except Refusal as refusal:
        return refusal


def has_window(answer: Answer) -> bool:
    """Whether both bolts have a window, wherever they stand."""
    names = {value.name for value in answer.all_values()}
    return {"upper_middle", "lower_middle"} <= names
