"""Four hundred drawn records and what was answered to them, worked out once for all tests that look at them."""

from __future__ import annotations

from functools import cache

from helpers.records import Record, some
from quarterturn.record.reading import Values, from_data
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Refusal

COUNT = 400


@cache
def outcomes() -> tuple[tuple[Record, Answer | Refusal], ...]:
    """Each record with its answer or refusal."""
    return tuple((record, _outcome(record)) for record in some(COUNT))


def answers() -> list[tuple[Record, Answer]]:
    """Those that were answered."""
    return [(record, outcome) for record, outcome in outcomes() if isinstance(outcome, Answer)]


def _outcome(record: Record) -> Answer | Refusal:
    try:
        return WIDGETS["safe-range"].answer(Values(from_data(record).record))
    except Refusal as refusal:
        return refusal


def has_window(answer: Answer) -> bool:
    """Whether both bolts have a window, wherever they stand."""
    names = {value.name for value in answer.all_values()}
    return {"upper_middle", "lower_middle"} <= names
