"""Foretold weights and lengths with their uncertainty, and changes of both bolts, in words."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import Prediction
from quarterturn.numbers import fixed, quarters, same
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording
from quarterturn.widgets.planned_change import PlannedChange

NAMED = {"weight": "Draw weight", "tiller": "Tiller", "brace_height": "Brace height"}


def weight(one: Prediction, planned: PlannedChange) -> str:
    """A foretold draw weight with its uncertainty."""
    return _with(one, bow_wording.force_unit(planned.values), 1)


def span(one: Prediction, planned: PlannedChange) -> str:
    """A foretold length with its uncertainty."""
    unit = planned.prediction.unit
    return _with(one, unit, 1 if unit == "mm" else 3)


def _with(one: Prediction, unit: str, decimals: int) -> str:
    value, uncertainty = (fixed(units.from_si(each, unit), decimals) for each in (one.value, one.expanded))
    return f"{value} ±\u00a0{uncertainty} {units.unit(unit).symbol}"


def change(turns: Pair) -> str:
    """A change of both bolts in a few words."""
    upper, lower = turns
    if same(upper, 0.0) and same(lower, 0.0):
        return "as they stand"
    if same(upper, lower):
        return f"both {turned(upper)}"
    return ", ".join(f"{bolt} {turned(each)}" for bolt, each in zip(BOLTS, turns, strict=True))


def turned(turns: float) -> str:
    """How far a bolt is turned, and which way, in a word or two."""
    return "as it is" if same(turns, 0.0) else f"{'out' if turns > 0 else 'in'} {quarters(abs(turns))}"
