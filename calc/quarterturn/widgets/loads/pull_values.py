"""What the string does to the limb, and how sure its moment is."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.draw_length import AMO
from quarterturn.numbers import same, trimmed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Status, Value, ValueList
from quarterturn.widgets.explanation import UNCERTAINTY_DIGITS, to_digits
from quarterturn.widgets.loads import wording
from quarterturn.widgets.loads.inputs import LoadInputs
from quarterturn.widgets.uncertainty_tables import HOW, label


def pull(inputs: LoadInputs) -> ValueList:
    """What the string does to the limb, in the bow as it is."""
    status, unit, found = inputs.status, inputs.unit, inputs.pull
    return ValueList(
        "pull",
        f"What the string does to the {inputs.limb} limb",
        (
            Value(
                *("moment", "Moment about the fulcrum", found.moment, "N m", wording.moment(found.moment), status),
                note="of your bow as it is computed; see below how sure it is",
            ),
            Value(
                *("tension", "Tension in its part of the string", found.half.tension, "N"),
                *(wording.newtons(found.half.tension), status),
            ),
            Value(
                *("string_angle", "Between that part and the draw", units.from_si(found.angle, "deg"), "deg"),
                *(words.degrees(found.angle), status),
            ),
            _far("string_lever", "Fulcrum to the string", found.lever, unit, status),
            _far(
                *("draw_from_pivot", "Drawn from the pivot point", found.bow.draw, unit, status),
                note=_station(inputs),
            ),
        ),
    )


def sure(inputs: LoadInputs) -> ValueList | None:
    """How sure the moment is: slow. Nothing where the bow has no answer about where its bolts stand."""
    try:
        found = inputs.pull.uncertainty()
    except FitError:
        return None
    status, moment, off = inputs.status, inputs.pull.moment, to_digits(found.budget.expanded, UNCERTAINTY_DIGITS)
    low, high, most = max(0.0, moment - off), moment + off, words.lower(label(found.most))
    return ValueList(
        "sure",
        "How sure that moment is",
        (
            Value(
                *("moment_off", "It may be off by", off, "N m", f"±\u00a0{wording.moment(off)}", status),
                note=f"at about 95 % (U = 2u, GUM); most of it: {most}, {HOW[found.most.known]}",
            ),
            Value("moment_low", "At least", low, "N m", wording.moment(low), status),
            Value("moment_high", "At most", high, "N m", wording.moment(high), status),
        ),
    )


def _far(name: str, what: str, value: float, unit: str, status: Status, note: str = "") -> Value:
    """A length of the bow: whole millimetres, or hundredths of an inch."""
    text = words.length(value, unit, 0 if unit == "mm" else 2)
    return Value(name, what, units.from_si(value, unit), unit, text, status, note=note)


def _station(inputs: LoadInputs) -> str:
    """How the draw length was counted."""
    station, offset = inputs.values.choice("draw_station"), inputs.values.number("station_offset")
    if station == "amo":
        return f"the AMO draw length less {trimmed(units.from_si(AMO, 'in'), 2)} in"
    if station == "pivot":
        return "as entered"
    place = {"plunger": "plunger hole", "rest": "rest"}[station]
    if same(offset, 0.0):
        return f"as entered: the {place} is right above the pivot point"
    way = "less" if offset > 0 else "and"
    return f"as entered, {way} {words.length(abs(offset), inputs.unit)} to the {place}"
