"""Tiller, brace height and draw weight as they stand and after the turn; the string that puts the brace height back."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench import bow_fit
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.outcomes import outcome
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import fixed
from quarterturn.widgets import bow_wording
from quarterturn.widgets.answer import Value, ValueList
from quarterturn.widgets.string_twists import brace_back
from quarterturn.widgets.tiller import verdict
from quarterturn.widgets.turn_prediction import TurnPrediction
from quarterturn.widgets.uncertainty_tables import expanded


def as_it_is(prediction: TurnPrediction) -> ValueList:
    """What was entered, and what follows from it at once; computed, with uncertainty, where the log moved the bolts."""
    now, unit, weight = outcome(prediction.now), prediction.unit, bow_wording.force_unit(prediction.values)
    tape = 1 if unit == "mm" else 3
    return ValueList(
        "now",
        "Now",
        (
            _as_it_is("tiller", "Tiller, upper less lower", unit, tape, prediction, verdict.meaning(now.tiller)),
            _as_it_is("brace_height", "Brace height", unit, tape, prediction),
            _as_it_is("weight", f"Draw weight at {bow_wording.own_draw(prediction.values)}", weight, 1, prediction),
        ),
    )


def _as_it_is(name: str, label: str, unit: str, decimals: int, prediction: TurnPrediction, note: str = "") -> Value:
    value = units.from_si(getattr(outcome(prediction.now), name), unit)
    text, symbol, uncertainty = (
        fixed(value, decimals),
        units.unit(unit).symbol,
        prediction.sure(name) if prediction.moved else None,
    )
    if uncertainty is None:
        return Value(name, label, value, unit, f"{text} {symbol}", prediction.status, note=note)
    sure = units.from_si(uncertainty.combined, unit)
    text = f"{text} {expanded(uncertainty, unit, decimals)} {symbol}"
    return Value(name, label, value, unit, text, prediction.status, uncertainty=sure, note=note)


def foretold(prediction: TurnPrediction) -> ValueList | None:
    """What the turn makes of them, with how sure that is; nothing where nothing is foretold."""
    if prediction.then is None or not prediction.turned:
        return None
    now, there = outcome(prediction.now), outcome(prediction.then)
    unit, weight = prediction.unit, bow_wording.force_unit(prediction.values)
    status, listed = prediction.status, []
    for name, label, symbol, decimals in (
        ("weight", "Draw weight", weight, 2),
        ("tiller", "Tiller", unit, 1 if unit == "mm" else 3),
        ("brace_height", "Brace height", unit, 1 if unit == "mm" else 3),
    ):
        key = "brace" if name == "brace_height" else name
        for which, value, whole in (
            ("then", getattr(there, name), True),
            ("change", getattr(there, name) - getattr(now, name), False),
        ):
            uncertainty = (
                prediction.sure(name, then=True)
                if whole
                else prediction.uncertainty.budget_of(name, prediction.change, whole=False)
            )
            number = fixed(units.from_si(value, symbol), decimals)
            text = f"{number if whole else bow_wording.signed(number)} {expanded(uncertainty, symbol, decimals)}"
            listed.append(
                Value(
                    f"{key}_{which}",
                    f"{label} then" if whole else f"{label}: change",
                    units.from_si(value, symbol),
                    symbol,
                    f"{text} {units.unit(symbol).symbol}",
                    status,
                    uncertainty=units.from_si(uncertainty.combined, symbol),
                )
            )
    moved = bow_wording.both_moved(prediction.change)
    return ValueList("then", f"Predicted: {moved}", tuple(listed))


def string(prediction: TurnPrediction) -> ValueList | None:
    """What puts the brace height back: a length of string, and about how many twists."""
    bow = prediction.bow
    if prediction.then is None or not prediction.turned:
        return None
    setup = bow.setup
    try:
        wanted = bow_fit.string_for(bow.fitted, setup.rock(prediction.there), prediction.now.braced.brace_height)
    except (FitError, PocketError):
        return None
    return brace_back(prediction, bow.fitted.string - wanted, prediction.status)
