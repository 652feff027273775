"""The arrow's mass and stiffness before and after the change, as named values."""

from __future__ import annotations

import math

from quarterturn import units
from quarterturn.bench import arrows
from quarterturn.bench.arrows import OLDER_FORCE, OLDER_SPAN, MassCheck
from quarterturn.numbers import fixed
from quarterturn.widgets import bow_wording
from quarterturn.widgets.after import arrow_wording
from quarterturn.widgets.after.inputs import BowChange
from quarterturn.widgets.answer import Status, Value, ValueList


def arrow(shown: BowChange) -> ValueList:
    """The arrow's mass for the draw weight before and after, and what it must be."""
    found = shown.held
    listed = [*_ratios(shown, found), _least_ratio(shown), *_least_masses(shown), *_against_least(shown, found)]
    return ValueList("arrow", "The arrow's mass", tuple(listed))


def _of_arrow(shown: BowChange, name: str) -> Status:
    """Of what an entry of the arrow and the draw weight give."""
    return Status.COMPUTED if shown.own_weight and shown.values.entered(name) else Status.EXAMPLE


def _of_weight(shown: BowChange) -> Status:
    """Of what the draw weight gives."""
    return Status.COMPUTED if shown.own_weight else Status.EXAMPLE


def _ratios(shown: BowChange, found: MassCheck | None) -> list[Value]:
    """The arrow's mass for the draw weight before and after; before alone where there is none after."""
    if found is None:
        return []
    when = "before" if shown.after is None else "after"
    unit, status = arrow_wording.ratio_unit(shown.values), _of_arrow(shown, "arrow_mass")
    called = arrow_wording.ratio_name(shown.values)
    ratios = [("ratio_after", f"{called}, {when}", found.ratio)]
    if shown.after is not None:
        ratios.insert(0, ("ratio_before", f"{called}, before", found.mass / shown.before))
    return [
        Value(
            *(name, label, units.from_si(ratio, unit), unit, arrow_wording.finely(ratio, unit), status),
            note=_in_si(ratio, unit),
        )
        for name, label, ratio in ratios
    ]


def _least_ratio(shown: BowChange) -> Value:
    unit = arrow_wording.ratio_unit(shown.values)
    published = "published, with no figure for recurve bows (AMO, quoted by others: S2); ask your limb maker"
    return Value(
        *("least_ratio", arrow_wording.bound(shown), units.from_si(shown.least, unit), unit),
        *(arrow_wording.finely(shown.least, unit), Status.MAKER if shown.by_maker else Status.ASSUMED),
        note="as you entered it" if shown.by_maker else published,
    )


def _least_masses(shown: BowChange) -> list[Value]:
    """The least mass for the draw weight, and for the most that it may be."""
    unit, most = arrow_wording.mass_unit(shown.values), shown.weight + shown.uncertainty
    why = (
        f"for {bow_wording.force(most, bow_wording.force_unit(shown.values))}: with the error of scale and draw, and "
        "half of a predicted change"
    )
    return [
        Value(
            *(name, label, units.from_si(wanted, unit), unit, arrow_wording.needed(wanted, unit), _of_weight(shown)),
            note=note,
        )
        for name, label, wanted, note in (
            ("least_mass", arrow_wording.bound_for_weight(shown), shown.least * shown.weight, ""),
            ("least_mass_surely", "The same, at the highest draw weight", shown.least * most, why),
        )
    ]


def _against_least(shown: BowChange, found: MassCheck | None) -> list[Value]:
    """By how much the arrow is heavier or lighter than that, and the heaviest bow for it."""
    if found is None:
        return []
    mass, weight = arrow_wording.mass_unit(shown.values), bow_wording.force_unit(shown.values)
    status, listed = _of_arrow(shown, "arrow_mass"), []
    if shown.by_maker or found.spare < 0:  # how much heavier it is than a figure that permits nothing says nothing
        label = f"{'Heavier' if found.spare >= 0 else 'Lighter'} than that by"
        spare = units.from_si(found.spare, mass), mass, arrow_wording.spare(found.spare, mass)
        listed.append(Value("spare_mass", label, *spare, status))
    heaviest = Value(
        *("heaviest_bow", arrow_wording.over(shown), units.from_si(found.heaviest_bow, weight), weight),
        *(arrow_wording.heaviest(found.heaviest_bow, weight), status),
        note="this does not test the bow's strength",
    )
    return [*listed, heaviest]


def _in_si(ratio: float, unit: str) -> str:
    return "" if unit == "g/N" else f"in SI: {arrow_wording.ratio(ratio, 'g/N', 3)}"


def stiffness(shown: BowChange) -> ValueList | None:
    """What the change of draw weight asks of the arrow's stiffness, and of the sight; None without a change."""
    listed = [*_weight_and_spine(shown), *_shaft(shown), *_drop(shown)]
    return ValueList("stiffness", "The arrow's stiffness, and its flight", tuple(listed)) if listed else None


def _percent(name: str, label: str, part: float, shown: BowChange, note: str = "") -> Value:
    return Value(name, label, 100 * part, "percent", arrow_wording.percent(part), _of_weight(shown), note=note)


def _weight_and_spine(shown: BowChange) -> list[Value]:
    """By how much the draw weight changes, and the spine number with it; nothing where it does not."""
    if shown.after is None:
        return []
    label = "Spine number to keep step changes by"
    return [
        _percent("weight_percent", "Draw weight changes by", shown.ratio - 1, shown),
        _percent("spine_change", label, 1 / shown.ratio - 1, shown, _acts(shown.ratio)),
    ]


def _shaft(shown: BowChange) -> list[Value]:
    """The reader's shaft: its spine now and in step, its stiffness, its spine by the older test."""
    if shown.spine is None:
        return []
    unit, status, listed = arrow_wording.spine_unit(shown.values), _of_arrow(shown, "arrow_spine"), []
    now = arrows.stiffness(shown.spine)

    def spine(name: str, label: str, value: float, note: str = "") -> Value:
        text = arrow_wording.spine(value, unit)
        return Value(name, label, units.from_si(value, unit), unit, text, status, note=note)

    if shown.after is not None:
        then = arrows.by_proportion(shown.spine, shown.before, shown.after)
        note = f"from {arrow_wording.spine(shown.spine, unit)}: the same length, point and mass; no chart"
        listed.append(spine("spine_then", "Spine that would keep step", then, note))
    older = arrows.deflection(now, OLDER_FORCE, OLDER_SPAN)
    return [
        *listed,
        spine("spine_now", "Static spine of your shaft", shown.spine),
        Value(
            *("shaft_stiffness", "Stiffness EI of your shaft", now, "N m2", f"{fixed(now, 2)} N·m²", status),
            note="F·L³/(48·δ), with 1.94 lb on 28 in (ASTM F2031: S2)",
        ),
        spine(
            *("older_spine", "The same shaft by the older test", older),
            "2 lb on 26 in (AMO: S2), as wooden shafts are sorted; do not mix the two",
        ),
    ]


def _drop(shown: BowChange) -> list[Value]:
    if shown.after is None:
        return []
    note = "if the same arrow takes the same share of the energy, and that goes with draw weight"
    return [_percent("drop_change", "The arrow's drop changes by about", 1 / shown.ratio - 1, shown, note)]


def _acts(ratio: float) -> str:
    if math.isclose(ratio, 1.0, abs_tol=5e-4):
        return "almost nothing"
    if ratio > 1:
        return "for the heavier bow the same arrow is too weak by that: a stiffer shaft has a lower number"
    return "for the lighter bow the same arrow is too stiff by that: a weaker shaft has a higher number"
