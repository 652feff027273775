"""Foretold weights and lengths with their uncertainty, and how far a bolt is turned, in words."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import Prediction
from quarterturn.numbers import fixed, quarters, same
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


def turned(turns: float) -> str:
    """Which way a bolt is turned, and how far, in a word or two."""
    return "stays" if same(turns, 0.0) else f"{'out' if turns > 0 else 'in'} {quarters(abs(turns))}"
