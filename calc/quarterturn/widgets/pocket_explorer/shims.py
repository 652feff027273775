"""What a shim does in the pocket that is shown: where it sits, and how far it moves flush, first touch and the limb."""

from __future__ import annotations

from quarterturn import units
from quarterturn.figures.small_side_view import small_side_view
from quarterturn.mechanics.pocket import ContactState, PocketError
from quarterturn.mechanics.shims import ShimEffect, ShimPlace, lies_as, shim_effect, turns_nearer
from quarterturn.numbers import fixed, same
from quarterturn.widgets import words
from quarterturn.widgets.answer import Drawing, Table
from quarterturn.widgets.pocket_explorer import verdict
from quarterturn.widgets.pocket_explorer.form import NAME
from quarterturn.widgets.pocket_explorer.inputs import ExplorerInputs

PLACES = {
    ShimPlace.HEAD: "under the head",
    ShimPlace.FLOOR: "on the floor, where the limb rocks",
    ShimPlace.BUTT_END: "behind the butt end",
}
PICTURES = {ShimPlace.HEAD: "shim-nearer", ShimPlace.BUTT_END: "shim-behind"}
"""What is drawn: on the floor the limb lies under the head as with a shim under the head."""
STATES = {ContactState.RIM: "only the rim bears", ContactState.OFF_HEAD: "the butt is off the head"}
"""Where a shim that is put in leaves no place for the bolt."""
NOTE = (
    "Counted from flush without it, with the bolt left where it is. Under the head: a washer as wide as the head. "
    "On the floor, first touch depends on the fitting. It moves least where that holds the butt end as high as before. "
    "Behind the butt end, the limb sits that much farther out. Beside the limb, a shim moves none of these: it moves "
    "the line of the limbs."
)


def table(inputs: ExplorerInputs) -> Table:
    """What a shim changes, for each place where it may sit."""
    thick = inputs.values.number("shim_thickness")
    shown = words.length(thick, inputs.unit, 2 if inputs.unit == "mm" else 3)
    return Table(
        "shims",
        f"A shim of {shown}, with the bolt {verdict.from_flush(inputs.turns)}",
        ("where it sits", "flush", "first touch", "the limb leans", "cover at flush"),
        tuple(_row(place, thick, inputs) for place in ShimPlace),
        NOTE,
    )


def picture(place: ShimPlace, inputs: ExplorerInputs) -> Drawing | None:
    """The limb as it lies with the shim and the bolt left where it is; None where no limb would be under the head."""
    thick = inputs.values.number("shim_thickness")
    try:
        alike, turns = lies_as(inputs.pocket, place, thick, inputs.turns)
        drawn = small_side_view(
            alike,
            turns,
            None,
            prefix=f"{NAME}-{PICTURES[place]}",
            strip_side=None,
            length_unit=inputs.unit,
            title=f"The {inputs.limb} limb with a shim {PLACES[place]}",
            name=PICTURES[place],
        )
    except PocketError:
        return None
    shown = words.length(thick, inputs.unit, 2 if inputs.unit == "mm" else 3)
    if place is ShimPlace.BUTT_END:
        return Drawing(drawn, f"Behind the butt end, {shown}: the butt end lies that much nearer to the limb tip.")
    nearer = words.turns(turns_nearer(thick, inputs.pocket.pitch))
    return Drawing(
        drawn,
        f"Under the head or on the floor, {shown}: the limb lies as if the bolt were {nearer} farther in. "
        "What is drawn as the head's underside is the shim's.",
    )


def _row(place: ShimPlace, thick: float, inputs: ExplorerInputs) -> tuple[str, ...]:
    try:
        found = shim_effect(inputs.pocket, place, thick, inputs.turns)
    except PocketError:
        return (PLACES[place], *("the butt is off the head", "none", "none", "none"))
    return (PLACES[place], _moved(found.flush), _touch(found), _lean(found), _cover(found, inputs))


def _moved(turns: float) -> str:
    """How far a place moves, in turns and which way."""
    if same(turns, 0.0):
        return "stays"
    return f"{words.turns(abs(turns))} {'out' if turns > 0 else 'in'}"


def _touch(found: ShimEffect) -> str:
    if found.touch is None:
        return "none"
    least, most = found.touch
    if same(least, most):
        return _moved(most)
    return f"up to {_moved(most)}" if same(least, 0.0) else f"{_moved(least)} to {_moved(most)}"


def _lean(found: ShimEffect) -> str:
    if found.state in STATES:
        return STATES[found.state]
    if same(found.lean, 0.0):
        return "as before"
    return f"{words.degrees(abs(found.lean))} {'more' if found.lean > 0 else 'less'}"


def _cover(found: ShimEffect, inputs: ExplorerInputs) -> str:
    if same(found.cover, 0.0):
        return "as before"
    size = fixed(abs(units.from_si(found.cover, inputs.unit)), 2 if inputs.unit == "mm" else 3)
    return f"{size} {units.unit(inputs.unit).symbol} less"
