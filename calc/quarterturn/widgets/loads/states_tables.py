"""What the bolt carries at this turn and in three states, and what that asks of every material."""

from __future__ import annotations

from quarterturn import units
from quarterturn.mechanics.materials import MATERIALS
from quarterturn.numbers import fixed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Table, Value, ValueList
from quarterturn.widgets.loads import wording
from quarterturn.widgets.loads.inputs import BoltLoad, LoadInputs

NAMES = ("out", "flush", "rim")
"""The three states, as values are named after them."""


def at_this_turn(inputs: LoadInputs) -> ValueList:
    """What the bolt carries where the picture has it."""
    turns = Value("turns", "Turns out from flush", inputs.turns, "turn", words.turns(inputs.turns), inputs.status)
    return ValueList("now", "At this turn", (turns, *_forces(inputs), *_bending(inputs), *_stress(inputs)))


def _forces(inputs: LoadInputs) -> list[Value]:
    """The force on the head, and its parts."""
    borne, status = inputs.shown.bearing, inputs.status
    across = f"{fixed(borne.across, 1)} N"
    return [
        Value("force", "Force on the head", borne.force, "N", wording.newtons(borne.force), status),
        Value("force_along", "Its part along the bolt", borne.along, "N", wording.newtons(borne.along), status),
        Value("force_across", "Its part across, toward the tip", borne.across, "N", across, status),
    ]


def _bending(inputs: LoadInputs) -> list[Value]:
    """How far off the axis it bears, and how that bends the bolt."""
    borne, unit, status = inputs.shown.bearing, inputs.unit, inputs.status
    place = borne.contact_x
    off: tuple[float | None, str, str] = (None, "", "it touches nothing") if place is None else _length(place, unit)
    return [
        Value("off_axis", "Off the bolt's axis, toward the tip", *off, status, note="minus is toward the butt"),
        Value(
            *("bending", "Bending moment under the head", borne.bending, "N m"),
            *(f"{fixed(borne.bending, 2)} N·m", status),
            note=f"it sends the head {wording.side(borne.bending)}",
        ),
    ]


def _length(value: float, unit: str) -> tuple[float, str, str]:
    """A length in its unit, and as it is shown."""
    return units.from_si(value, unit), unit, words.length(value, unit)


def _stress(inputs: LoadInputs) -> list[Value]:
    """The nominal stress, and what part of the yield strength that is."""
    stress, bolt, status = inputs.shown.stress.combined, inputs.bolt, inputs.status
    share = stress / bolt.yield_strength
    return [
        Value(
            *("stress", "Nominal stress in the shank", units.from_si(stress, "MPa"), "MPa"),
            *(wording.stress(stress), status),
        ),
        Value(
            *("yield_share", "Of the yield strength", 100 * share, "percent"),
            *(wording.percent(share), status),
            note=f"{bolt.name}; it ranks positions; it does not test strength",
        ),
    ]


def three(inputs: LoadInputs) -> ValueList:
    """The three states as named values, for those who ask by name."""
    status = inputs.status
    listed = []
    for name, carried in zip(NAMES, inputs.states, strict=True):
        borne, what = carried.bearing, _WHAT[name]
        listed += [
            Value(f"{name}_force", f"{what}: force", borne.force, "N", wording.newtons(borne.force), status),
            Value(
                *(f"{name}_bending", f"{what}: bending", borne.bending, "N m"),
                *(wording.moment(borne.bending), status),
                note=f"head {wording.side(borne.bending)}",
            ),
            Value(
                *(f"{name}_stress", f"{what}: nominal stress", units.from_si(carried.stress.combined, "MPa"), "MPa"),
                *(wording.stress(carried.stress.combined), status),
            ),
        ]
    for name, one, other in (
        ("rim_over_out_force", inputs.rim.bearing.force, inputs.out.bearing.force),
        ("rim_over_out_bending", inputs.rim.bearing.bending, inputs.out.bearing.bending),
        ("rim_over_out_stress", inputs.rim.stress.combined, inputs.out.stress.combined),
    ):
        found = wording.ratio(one, other)
        label = f"Past flush against outside it: {name.rpartition('_')[2]}"
        text = "none" if found is None else wording.times(found)
        listed.append(Value(name, label, found, "count" if found is not None else "", text, status))
    return ValueList("three", "Three states, by name", tuple(listed), folded=True)


_WHAT = {"out": "A quarter turn outside", "flush": "At flush, spread evenly", "rim": "A quarter turn past flush"}


def states(inputs: LoadInputs) -> Table:
    """Hold the three states against one another: as ratios first, then in newtons and megapascals."""
    of_flush = (
        ("force, of flush", *(_times(one.bearing.force, inputs.flush.bearing.force) for one in inputs.states)),
        ("stress, of flush", *(_times(one.stress.combined, inputs.flush.stress.combined) for one in inputs.states)),
    )
    out = inputs.out
    of_out = (
        ("force, of outside", *(_times(one.bearing.force, out.bearing.force) for one in inputs.states)),
        ("bending, of outside", *(_times(one.bearing.bending, out.bearing.bending) for one in inputs.states)),
        ("stress, of outside", *(_times(one.stress.combined, out.stress.combined) for one in inputs.states)),
    )
    sized = (
        ("what touches", *(wording.STATES[one.bearing.state] for one in inputs.states)),
        ("force", *(wording.newtons(one.bearing.force) for one in inputs.states)),
        ("along the bolt", *(wording.newtons(one.bearing.along) for one in inputs.states)),
        ("across it, toward the tip", *(f"{fixed(one.bearing.across, 1)} N" for one in inputs.states)),
        ("off the axis, toward the tip", *(_place(one, inputs.unit) for one in inputs.states)),
        ("bending moment", *(f"{fixed(one.bearing.bending, 2)} N·m" for one in inputs.states)),
        ("stress from the pull", *(wording.stress(one.stress.axial) for one in inputs.states)),
        ("stress from bending", *(wording.stress(one.stress.bending) for one in inputs.states)),
        ("together, nominal", *(wording.stress(one.stress.combined) for one in inputs.states)),
        (
            f"of the yield of {inputs.bolt.name}",
            *(wording.percent(one.stress.combined / inputs.bolt.yield_strength) for one in inputs.states),
        ),
    )
    return Table(
        "states-table",
        "Three states, side by side",
        ("", "¼ turn outside flush", "flush, spread evenly", "¼ turn past flush"),
        (*of_flush, *of_out, *sized),
        f"{wording.even(inputs)} A line of contact is an upper bound: metal and limb give a little. So compare "
        "the two lines.",
    )


def _times(value: float, against: float) -> str:
    found = wording.ratio(value, against)
    return "none" if found is None else wording.against(found)


def _place(carried: BoltLoad, unit: str) -> str:
    place = carried.bearing.contact_x
    return "nowhere" if place is None else words.length(place, unit)


def materials(inputs: LoadInputs) -> Table:
    """What the contact past flush, and the one outside it, ask of every material."""
    rows = tuple(
        (
            each.name,
            wording.stress(each.tensile),
            wording.stress(each.yield_strength),
            "least" if each.least else "typical",
            wording.percent(inputs.out.stress.combined / each.yield_strength),
            wording.percent(inputs.rim.stress.combined / each.yield_strength),
        )
        for each in MATERIALS.values()
    )
    return Table(
        "materials-table",
        "The numbers behind the bars",
        ("material", "breaks at", "yields at", "these are", "¼ turn outside", "¼ turn past flush"),
        rows,
        "The last two columns are the nominal stress over the yield strength. Least: the standard requires "
        "it. Typical: from data sheets, and one piece may be below it.",
        folded=True,
    )
