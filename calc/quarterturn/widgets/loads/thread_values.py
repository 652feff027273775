"""The thread that holds the bolt: what is engaged, its dimensions, what strips it."""

from __future__ import annotations

from quarterturn import units
from quarterturn.mechanics.materials import Material
from quarterturn.mechanics.thread_strength import needed_length, strip_force
from quarterturn.numbers import fixed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Status, Value, ValueList
from quarterturn.widgets.loads import wording
from quarterturn.widgets.loads.inputs import LoadInputs


def thread(inputs: LoadInputs) -> ValueList:
    """What holds the bolt in the riser."""
    unit, status = inputs.unit, _thread_status(inputs)
    here = inputs.engaged.at(inputs.turns)
    return ValueList(
        "thread",
        "The thread that holds it",
        (
            Value("thread_name", "Taken as", None, "", inputs.thread or "no standard thread: as measured", status),
            _length(
                *("engaged", "Engaged at this turn", here, unit, status),
                note="" if inputs.thread_given else "an example: count your thread, limb off",
            ),
            _length(
                *("engaged_wanted", "Wanted at least", inputs.wanted.length, unit, status),
                note=wording.wanted(inputs.wanted),
            ),
            *_turns_of_thread(inputs, status),
            _strip("strip_bolt", "bolt", inputs.areas.external, here, inputs.bolt, status),
            _strip("strip_riser", "riser", inputs.areas.internal, here, inputs.riser, status),
        ),
    )


def _thread_status(inputs: LoadInputs) -> Status:
    return Status.COMPUTED if inputs.thread_given and not inputs.example else Status.EXAMPLE


def profile(inputs: LoadInputs) -> ValueList:
    """The thread's dimensions, and the length at which it is as strong as the bolt."""
    unit, status, found = inputs.unit, _thread_status(inputs), inputs.profile
    much = needed_length(found, inputs.bolt, inputs.riser)
    area = units.from_si(found.stress_area, "mm2")
    return ValueList(
        "profile",
        "The thread's dimensions",
        (
            Value("stress_area", "Stress area", area, "mm2", f"{fixed(area, 1)} mm²", status),
            _length("stress_diameter", "Its diameter as a plain rod", found.stress_diameter, unit, status),
            _length(
                *("doubling", "Distance off axis that doubles stress", found.stress_diameter / 8, unit, status),
                note="an eighth of that diameter",
            ),
            _length("pitch_diameter", "Pitch diameter", found.pitch_diameter, unit, status),
            _length("minor_external", "At the root of the bolt's thread", found.minor_external, unit, status),
            _length("minor_internal", "The riser's hole", found.minor_internal, unit, status),
            _length(
                *("engaged_for_strength", "Length at which the bolt breaks first", much.length, unit, status),
                note="before a thread strips; the weaker thread is the "
                f"{'bolt' if much.weaker == 'bolt' else 'riser'}'s, taken as {inputs.riser.name}",
            ),
        ),
        folded=True,
    )


def _turns_of_thread(inputs: LoadInputs, status: Status) -> tuple[Value, ...]:
    """Up to which turns all of the riser's thread holds, and as much of it as is wanted; from flush."""
    engaged = inputs.engaged
    enough = engaged.free.turns - inputs.wanted.length / inputs.pitch.value
    rows = [("enough_until", "Enough thread holds up to", enough), ("lets_go", "It lets go at", engaged.free.turns)]
    if engaged.whole_until is not None:
        rows.insert(0, ("whole_until", "All of the riser's thread up to", engaged.whole_until))
    return tuple(
        Value(name, label, at, "turn", words.turns(at), status, note="out from zero") for name, label, at in rows
    )


def _length(name: str, label: str, value: float, unit: str, status: Status, note: str = "") -> Value:
    return Value(name, label, units.from_si(value, unit), unit, words.length(value, unit), status, note=note)


def _strip(name: str, whose: str, area: float, engaged: float, metal: Material, status: Status) -> Value:
    force = strip_force(area, engaged, metal.tensile)
    label = f"The {whose}'s thread would strip at"
    return Value(name, label, force, "N", f"{fixed(force / 1000, 0)} kN", status, note="steady pull, sound threads")
