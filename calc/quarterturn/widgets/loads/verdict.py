"""The title and the sentence of the page on loads."""

from __future__ import annotations

from quarterturn import units
from quarterturn.numbers import trimmed
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import words
from quarterturn.widgets.bow_wording import force_unit
from quarterturn.widgets.loads import wording
from quarterturn.widgets.loads.inputs import QUARTER, BoltLoad, LoadInputs
from quarterturn.widgets.turn_prediction import MOST_NAMED


def title(inputs: LoadInputs) -> str:
    """How the rim compares with what touches in ordinary use."""
    out, rim = inputs.out, inputs.rim
    if not (out.touches and rim.touches):
        return "What the bolt carries, state by state"
    bent = wording.ratio(rim.bearing.bending, out.bearing.bending)
    if bent is None or bent <= 1:
        many = wording.round_times(rim.bearing.force / out.bearing.force)
        return f"The rim carries about {many} the force of {wording.bears(out)}"
    other = ", and the other way" if out.bearing.bending * rim.bearing.bending < 0 else ""
    whose = "the bolt" if inputs.example else "your bolt"
    return f"Past flush {whose} is bent about {wording.round_times(bent)} as hard as outside it{other}"


def sentence(inputs: LoadInputs) -> str:
    """What each state does, with its numbers."""
    unit = force_unit(inputs.values)
    pulled = f"{trimmed(units.from_si(inputs.pull.weight, unit), 1)} {units.unit(unit).symbol}"
    moment = wording.moment(inputs.pull.moment)
    first = f"Drawn to {pulled}, the string turns the {inputs.limb} limb about its fulcrum with {moment}."
    return " ".join((first, _one(inputs.out, QUARTER), _flush(inputs), _one(inputs.rim, -QUARTER)))


def made_up(inputs: LoadInputs) -> str:
    """What is still the example's, and what makes the answer the reader's own; "" where nothing is."""
    lacking = [words.lower(BY_NAME[name].label) for name in inputs.missing]
    if not lacking:
        return ""
    if len(lacking) > MOST_NAMED:
        return "This is an example until you enter your own bow and bolt."
    return f"Example values, not yours: {words.listed(lacking)}."


def _one(carried: BoltLoad, turns: float) -> str:
    if not carried.touches:
        return f"{wording.at(turns).capitalize()} nothing touches the head, and the fitting carries all."
    borne = carried.bearing
    return (
        f"{wording.at(turns).capitalize()}, {wording.bears(carried)} presses on the bolt with "
        f"{wording.newtons(borne.force)}. That bends its head {wording.side(borne.bending)} with "
        f"{wording.moment(borne.bending)}."
    )


def _flush(inputs: LoadInputs) -> str:
    borne = inputs.flush.bearing
    bound = "a lower bound of the bending" if inputs.even_is_least else "which here is no lower bound of the bending"
    force, bending = wording.newtons(borne.force), wording.moment(borne.bending)
    return f"Spread evenly at flush, it would be {force} and {bending}, {bound}."


def line(inputs: LoadInputs) -> str:
    """The force on the bolt and the way it is bent, for a narrow strip."""
    shown = inputs.shown
    if not shown.touches:
        return "Nothing on the bolt: the fitting carries all"
    return f"{wording.newtons(shown.bearing.force)} · bends {wording.side(shown.bearing.bending)}"
