"""The arrow's mass and stiffness before and after the change, as named values."""

from __future__ import annotations

import math

from quarterturn import units
from quarterturn.bench import arrows
from quarterturn.bench.arrows import OLDER_FORCE, OLDER_SPAN
from quarterturn.numbers import fixed
from quarterturn.widgets import bow_wording
from quarterturn.widgets.after import arrow_wording
from quarterturn.widgets.after.inputs import BowChange
from quarterturn.widgets.answer import Status, Value, ValueList


def _of_arrow(shown: BowChange, name: str) -> Status:
    """Of what an entry of the arrow and the draw weight give."""
    return Status.COMPUTED if shown.own_weight and shown.values.entered(name) else Status.EXAMPLE


def arrow(shown: BowChange) -> ValueList:
    """The arrow's mass for the draw weight before and after, and what it must be."""
    values = shown.values
    unit, grams, weight = (
        arrow_wording.ratio_unit(values),
        arrow_wording.mass_unit(values),
        bow_wording.force_unit(values),
    )
    own = Status.COMPUTED if shown.own_weight else Status.EXAMPLE
    listed = []
    found = shown.held
    if found is not None:
        status = _of_arrow(shown, "arrow_mass")
        when = "before" if shown.after is None else "after"
        before = found.mass / shown.before
        for name, label, ratio in (
            ("ratio_before", "Arrow mass for the draw weight, before", before),
            ("ratio_after", f"Arrow mass for the draw weight, {when}", found.ratio),
        ):
            if name == "ratio_before" and shown.after is None:
                continue
            listed.append(
                Value(
                    *(name, label, units.from_si(ratio, unit), unit, arrow_wording.finely(ratio, unit), status),
                    note=_in_si(ratio, unit),
                )
            )
    listed.append(
        Value(
            *("least_ratio", arrow_wording.bound(shown), units.from_si(shown.least, unit), unit),
            *(arrow_wording.finely(shown.least, unit), Status.MAKER if shown.by_maker else Status.ASSUMED),
            note="as you entered it"
            if shown.by_maker
            else "published, with no figure for recurve bows (AMO, quoted by "
            "others: S2); what your limbs need, their maker says",
        )
    )
    needed = shown.least * shown.weight
    surely = shown.least * (shown.weight + shown.doubt)
    for name, label, wanted, note in (
        ("least_mass", f"{arrow_wording.bound(shown)}, for your draw weight", needed, ""),
        (
            "least_mass_surely",
            "The same, the draw weight taken at its most",
            surely,
            f"for {bow_wording.force(shown.weight + shown.doubt, weight)}: the doubt of scale and draw, and half of "
            "what is only foretold",
        ),
    ):
        listed.append(
            Value(name, label, units.from_si(wanted, grams), grams, arrow_wording.needed(wanted, grams), own, note=note)
        )
    if found is not None:
        status = _of_arrow(shown, "arrow_mass")
        if shown.by_maker or found.spare < 0:  # how much heavier it is than a figure that permits nothing says nothing
            label = f"{'Heavier' if found.spare >= 0 else 'Lighter'} than that by"
            spare = units.from_si(found.spare, grams), grams, arrow_wording.spare(found.spare, grams)
            listed.append(Value("spare_mass", label, *spare, status))
        listed += [
            Value(
                *("heaviest_bow", arrow_wording.over(shown), units.from_si(found.heaviest_bow, weight), weight),
                *(arrow_wording.heaviest(found.heaviest_bow, weight), status),
                note="no word on whether the bow bears it",
            ),
        ]
    return ValueList("arrow", "The arrow's mass", tuple(listed))


def _in_si(ratio: float, unit: str) -> str:
    return "" if unit == "g/N" else f"in SI: {arrow_wording.ratio(ratio, 'g/N', 3)}"


def stiffness(shown: BowChange) -> ValueList | None:
    """What the change of draw weight asks of the arrow's stiffness, and of the sight; None without a change."""
    values = shown.values
    own = Status.COMPUTED if shown.own_weight else Status.EXAMPLE
    ratio = shown.ratio
    listed = []
    if shown.after is not None:
        listed += [
            Value(
                *("weight_percent", "Draw weight changes by", 100 * (ratio - 1), "percent"),
                *(arrow_wording.percent(ratio - 1), own),
            ),
            Value(
                *("spine_change", "The spine number that would keep step changes by", 100 * (1 / ratio - 1), "percent"),
                *(arrow_wording.percent(1 / ratio - 1), own),
                note=_acts(ratio),
            ),
        ]
    if shown.spine is not None:
        unit, status = arrow_wording.spine_unit(values), _of_arrow(shown, "arrow_spine")
        now = arrows.stiffness(shown.spine)
        older = arrows.deflection(now, OLDER_FORCE, OLDER_SPAN)
        if shown.after is not None:
            then = arrows.by_proportion(shown.spine, shown.before, shown.after)
            listed.append(
                Value(
                    *("spine_then", "Spine that would keep step", units.from_si(then, unit), unit),
                    *(arrow_wording.spine(then, unit), status),
                    note=f"from {arrow_wording.spine(shown.spine, unit)}: the same length, point and mass; no chart",
                )
            )
        listed += [
            Value(
                *("spine_now", "Static spine of your shaft", units.from_si(shown.spine, unit), unit),
                *(arrow_wording.spine(shown.spine, unit), status),
            ),
            Value(
                *("shaft_stiffness", "Stiffness EI of your shaft", now, "N m2", f"{fixed(now, 2)} N·m²", status),
                note="F·L³/(48·δ), with 1.94 lb on 28 in (ASTM F2031: S2)",
            ),
            Value(
                *("older_spine", "The same shaft by the older test", units.from_si(older, unit), unit),
                *(arrow_wording.spine(older, unit), status),
                note="2 lb on 26 in (AMO: S2), as wooden shafts are sorted; do not mix the two",
            ),
        ]
    if shown.after is not None:
        listed.append(
            Value(
                *("drop_change", "The arrow's drop on its way changes by about", 100 * (1 / ratio - 1), "percent"),
                *(arrow_wording.percent(1 / ratio - 1), own),
                note="if the same arrow takes the same share of the energy, and that goes with draw weight",
            )
        )
    return ValueList("stiffness", "The arrow's stiffness, and its flight", tuple(listed)) if listed else None


def _acts(ratio: float) -> str:
    if math.isclose(ratio, 1.0, abs_tol=5e-4):
        return "nothing to speak of"
    if ratio > 1:
        return "for the heavier bow the same arrow is too weak by that: a stiffer shaft has a lower number"
    return "for the lighter bow the same arrow is too stiff by that: a weaker shaft has a higher number"
