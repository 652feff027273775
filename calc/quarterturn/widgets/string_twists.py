"""What puts the brace height back: so much of the string, and about how many twists; for the pages on the whole bow."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.string_twist import TwistError, twists_for
from quarterturn.numbers import fixed
from quarterturn.widgets import bow_wording
from quarterturn.widgets.answer import Status, Value, ValueList
from quarterturn.widgets.turn_prediction import TurnPrediction


def brace_back(prediction: TurnPrediction, shorter: float, status: Status) -> ValueList:
    """Tell by how much the string must become shorter (m), by how many twists, and how long the computed one is."""
    unit = prediction.unit
    string = prediction.bow.fitted.string
    return ValueList(
        "string",
        "To bring the brace height back",
        (
            Value(
                "string_change",
                f"{'Shorten' if shorter >= 0 else 'Lengthen'} the string by",
                units.from_si(shorter, unit),
                unit,
                bow_wording.length(abs(shorter), unit, 2 if unit == "mm" else 3),
                status,
                note="weight and tiller then change a little again: measure them",
            ),
            _twists(prediction, shorter, status),
            Value(
                *("string_here", "String of the computed bow", units.from_si(string, unit)),
                *(unit, bow_wording.length(string, unit), status),
                note="from the brace height; compare it with yours to check the lengths",
            ),
        ),
    )


def _twists(prediction: TurnPrediction, shorter: float, status: Status) -> Value:
    values = prediction.values
    label = f"Twists to {'add' if shorter >= 0 else 'take out'}, an estimate"
    try:
        twists = twists_for(
            values.number("string_length"), values.number("string_diameter"), values.number("string_twists"), shorter
        )
    except TwistError as error:
        return Value("twists", label, None, "", "no number of twists", status, note=str(error))
    return Value(
        *("twists", label, twists, "count", fixed(abs(twists), 1), status),
        note="for a round bundle whose fibres keep their length; strings settle and differ, so measure again",
    )
