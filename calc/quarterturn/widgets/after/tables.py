"""The values and tables of the page for after the change."""

from __future__ import annotations

import math

from quarterturn import units
from quarterturn.bench import arrows, bow_fit, nocking
from quarterturn.bench.arrows import OLDER_FORCE, OLDER_SPAN
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_uncertainty import outcome
from quarterturn.bench.shape import pitch_and_resolution
from quarterturn.bench.uncertainty import Budget, budget, rectangular
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import at_most, fixed, same
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import about_bow as said
from quarterturn.widgets.about_string import brace_back
from quarterturn.widgets.after import sentences
from quarterturn.widgets.after.asked import After
from quarterturn.widgets.answer import Points, Status, Table, Value, ValueList
from quarterturn.widgets.bow_doubts import expanded

MOST_OFF = 2.0
"""A reading is said to be off where it differs by more than so many standard uncertainties: U = 2u (GUM)."""


def _of_arrow(shown: After, name: str) -> Status:
    """Of what an entry of the arrow and the draw weight give."""
    return Status.COMPUTED if shown.own_weight and shown.values.entered(name) else Status.EXAMPLE


def arrow(shown: After) -> ValueList:
    """The arrow's mass for the draw weight before and after, and what it must be."""
    values = shown.values
    unit, grams, weight = sentences.ratio_unit(values), sentences.mass_unit(values), said.force_unit(values)
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
                    *(name, label, units.from_si(ratio, unit), unit, sentences.finely(ratio, unit), status),
                    note=_in_si(ratio, unit),
                )
            )
    listed.append(
        Value(
            *("least_ratio", sentences.bound(shown), units.from_si(shown.least, unit), unit),
            *(sentences.finely(shown.least, unit), Status.MAKER if shown.by_maker else Status.ASSUMED),
            note="as you entered it"
            if shown.by_maker
            else "published, with no figure for recurve bows (AMO, quoted by "
            "others: S2); what your limbs need, their maker says",
        )
    )
    needed = shown.least * shown.weight
    surely = shown.least * (shown.weight + shown.doubt)
    for name, label, wanted, note in (
        ("least_mass", f"{sentences.bound(shown)}, for your draw weight", needed, ""),
        (
            "least_mass_surely",
            "The same, the draw weight taken at its most",
            surely,
            f"for {said.force(shown.weight + shown.doubt, weight)}: the doubt of scale and draw, and half of what is "
            "only foretold",
        ),
    ):
        listed.append(
            Value(name, label, units.from_si(wanted, grams), grams, sentences.needed(wanted, grams), own, note=note)
        )
    if found is not None:
        status = _of_arrow(shown, "arrow_mass")
        if shown.by_maker or found.spare < 0:  # how much heavier it is than a figure that permits nothing says nothing
            label = f"{'Heavier' if found.spare >= 0 else 'Lighter'} than that by"
            spare = units.from_si(found.spare, grams), grams, sentences.spare(found.spare, grams)
            listed.append(Value("spare_mass", label, *spare, status))
        listed += [
            Value(
                *("heaviest_bow", sentences.over(shown), units.from_si(found.heaviest_bow, weight), weight),
                *(sentences.heaviest(found.heaviest_bow, weight), status),
                note="no word on whether the bow bears it",
            ),
        ]
    return ValueList("arrow", "The arrow's mass", tuple(listed))


def _in_si(ratio: float, unit: str) -> str:
    return "" if unit == "g/N" else f"in SI: {sentences.ratio(ratio, 'g/N', 3)}"


def stiffness(shown: After) -> ValueList | None:
    """What the change of draw weight asks of the arrow's stiffness, and of the sight; None without a change."""
    values = shown.values
    own = Status.COMPUTED if shown.own_weight else Status.EXAMPLE
    ratio = shown.ratio
    listed = []
    if shown.after is not None:
        listed += [
            Value(
                *("weight_percent", "Draw weight changes by", 100 * (ratio - 1), "percent"),
                *(sentences.percent(ratio - 1), own),
            ),
            Value(
                *("spine_change", "The spine number that would keep step changes by", 100 * (1 / ratio - 1), "percent"),
                *(sentences.percent(1 / ratio - 1), own),
                note=_acts(ratio),
            ),
        ]
    if shown.spine is not None:
        unit, status = sentences.spine_unit(values), _of_arrow(shown, "arrow_spine")
        now = arrows.stiffness(shown.spine)
        older = arrows.deflection(now, OLDER_FORCE, OLDER_SPAN)
        if shown.after is not None:
            then = arrows.by_proportion(shown.spine, shown.before, shown.after)
            listed.append(
                Value(
                    *("spine_then", "Spine that would keep step", units.from_si(then, unit), unit),
                    *(sentences.spine(then, unit), status),
                    note=f"from {sentences.spine(shown.spine, unit)}: the same length, point and mass; no chart",
                )
            )
        listed += [
            Value(
                *("spine_now", "Static spine of your shaft", units.from_si(shown.spine, unit), unit),
                *(sentences.spine(shown.spine, unit), status),
            ),
            Value(
                *("shaft_stiffness", "Stiffness EI of your shaft", now, "N m2", f"{fixed(now, 2)} N·m²", status),
                note="F·L³/(48·δ), with 1.94 lb on 28 in (ASTM F2031: S2)",
            ),
            Value(
                *("older_spine", "The same shaft by the older test", units.from_si(older, unit), unit),
                *(sentences.spine(older, unit), status),
                note="2 lb on 26 in (AMO: S2), as wooden shafts are sorted; do not mix the two",
            ),
        ]
    if shown.after is not None:
        listed.append(
            Value(
                *("drop_change", "The arrow's drop on its way changes by about", 100 * (1 / ratio - 1), "percent"),
                *(sentences.percent(1 / ratio - 1), own),
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


def before_and_after(shown: After) -> Table | None:
    """What was measured, what is foretold and how sure that is, what was measured since; None where nothing is."""
    about = shown.about
    if about.then is None or not about.turned:
        return None
    unit, weight = about.unit, said.force_unit(shown.values)
    places = 1 if unit == "mm" else 3
    now, there = outcome(about.now), outcome(about.then)
    measured = bool(shown.since)
    rows = []
    for name, label, symbol, decimals in (
        ("weight", f"draw weight, {units.unit(weight).symbol}", weight, 2),
        ("brace_height", f"brace height, {units.unit(unit).symbol}", unit, places),
        ("tiller", f"tiller, {units.unit(unit).symbol}", unit, places),
        ("upper_tiller", f"upper limb to string, {units.unit(unit).symbol}", unit, places),
        ("lower_tiller", f"lower limb to string, {units.unit(unit).symbol}", unit, places),
    ):
        before, then = (units.from_si(getattr(one, name), symbol) for one in (now, there))
        whole = about.sure(name, then=True)
        change = about.uncertainty.budget_of(name, about.change, whole=False)
        read = shown.since.get(name)
        rows.append(
            (
                label,
                fixed(before, decimals),
                f"{said.signed(fixed(then - before, decimals))} {expanded(change, symbol, decimals)}",
                f"{fixed(then, decimals)} {expanded(whole, symbol, decimals)}",
                "" if read is None else fixed(units.from_si(read, symbol), decimals),
            )
        )
    nock = _nock_row(shown, unit, places)
    return Table(
        "before-after",
        "Before and after",
        ("what", "before", "changes by", "then", *(("measured since",) if measured else ())),
        tuple(row[: 5 if measured else 4] for row in (*rows, *nock)),
        "Foretold for the same string. After ±: about 95 % (U = 2u, GUM), from how far every number may be off. What "
        "you measure since takes its place.",
    )


def _nock_row(shown: After, unit: str, places: int) -> list[tuple[str, ...]]:
    about = shown.about
    try:
        change = nocking.change(about.bow, about.start, about.there, shown.nock)
        doubt = nocking.change_budget(about.bow, about.start, about.there, shown.nock)
        whole, over = _nock_then(shown), nocking.over(about.bow, about.start, shown.nock)
    except (FitError, PocketError):
        return []
    more = said.signed(fixed(units.from_si(change, unit), places))
    label = f"nocking point over square, {units.unit(unit).symbol}"
    if shown.over is None:
        return [(label, "", f"{more} {expanded(doubt, unit, places)}", "", "")]
    before, then = (fixed(units.from_si(one, unit), places) for one in (over, over + change))
    return [(label, before, f"{more} {expanded(doubt, unit, places)}", f"{then} {expanded(whole, unit, places)}", "")]


def _nock_then(shown: After) -> Budget:
    """How sure the nocking point is after the turn, with how near the bow square was read."""
    about = shown.about
    doubt = nocking.change_budget(about.bow, about.bow.setup.now, about.there, shown.nock)
    return budget((*doubt.contributions, rectangular("tape_step", shown.values.number("tape_step"))))


def by_name(shown: After) -> ValueList | None:
    """What is foretold by name, for those who ask by name."""
    about = shown.about
    if about.then is None or not about.turned:
        return None
    unit, weight = about.unit, said.force_unit(shown.values)
    places = 1 if unit == "mm" else 3
    now, there = outcome(about.now), outcome(about.then)
    listed = []
    for key, name, label, symbol, decimals in (
        ("weight", "weight", "Draw weight", weight, 2),
        ("brace", "brace_height", "Brace height", unit, places),
        ("tiller", "tiller", "Tiller", unit, places),
    ):
        value = getattr(there, name) - getattr(now, name)
        doubt = about.uncertainty.budget_of(name, about.change, whole=False)
        listed.append(
            _foretold(f"{key}_change", f"{label}: by how much it changes", value, doubt, symbol, decimals, shown)
        )
    try:
        change = nocking.change(about.bow, about.start, about.there, shown.nock)
        doubt = nocking.change_budget(about.bow, about.start, about.there, shown.nock)
        whole, over = _nock_then(shown), nocking.over(about.bow, about.start, shown.nock)
    except (FitError, PocketError):
        return ValueList("by-name", "What is foretold, by name", tuple(listed), folded=True)
    label = "Nocking point over square"
    listed.append(_foretold("nocking_change", f"{label}: by how much it changes", change, doubt, unit, places, shown))
    if shown.over is not None:
        listed.append(_foretold("nocking_then", f"{label} then", over + change, whole, unit, places, shown))
    return ValueList("by-name", "What is foretold, by name", tuple(listed), folded=True)


def _foretold(name: str, label: str, value: float, doubt: Budget, unit: str, decimals: int, shown: After) -> Value:
    number = fixed(units.from_si(value, unit), decimals)
    text = number if name.endswith("_then") else said.signed(number)
    return Value(
        *(name, label, units.from_si(value, unit), unit),
        *(f"{text} {expanded(doubt, unit, decimals)} {units.unit(unit).symbol}", shown.about.status),
        uncertainty=units.from_si(doubt.combined, unit),
    )


def string(shown: After) -> ValueList | None:
    """What puts the brace height back, from what was measured since, or else from what is foretold."""
    about, bow = shown.about, shown.about.bow
    measured = shown.since.get("brace_height")
    if measured is None and (about.then is None or not about.turned):
        return None
    found = about.then or about.now
    rock = bow.setup.rock(about.there if about.then is not None else about.start)
    there = found.braced.brace_height
    wanted = there + about.now.braced.brace_height - (there if measured is None else measured)
    try:
        length = bow_fit.string_for(bow.fitted, rock, wanted)
    except (FitError, PocketError):
        return None
    return brace_back(about, bow.fitted.string - length, shown.about.status)


def heads(shown: After) -> ValueList | None:
    """Where the heads stand after the turn, over the riser's face; nothing where nothing is foretold."""
    if not shown.about.turned or shown.about.then is None:
        return None
    unit = shown.about.unit
    places = 2 if unit == "mm" else 4
    pitch, resolution = pitch_and_resolution(shown.values)
    listed = []
    for bolt in BOLTS:
        more, turned = shown.head_change(bolt), shown.head_turns(bolt)
        stood = shown.values.optional(f"{bolt}_height_now")
        still = same(turned, 0.0)
        if still and stood is None:
            continue
        counted = () if still else resolution.turning()
        doubt = math.hypot(pitch.uncertainty * turned, *(pitch.value * one.standard for one in counted))
        if stood is not None:
            doubt = math.hypot(doubt, resolution.height() / math.sqrt(2))
        u = f"±\u00a0{fixed(units.from_si(2 * doubt, unit), places)} {units.unit(unit).symbol}"
        number = more if stood is None else stood + more
        text = fixed(units.from_si(number, unit), places)
        listed.append(
            Value(
                f"{bolt}_head_{'change' if stood is None else 'then'}",
                f"{bolt.capitalize()} head: {'height changes by' if stood is None else 'height then'}",
                units.from_si(number, unit),
                unit,
                f"{said.signed(text) if stood is None else text} {u}",
                Status.COMPUTED if shown.values.entered("rise") else shown.about.status,
                uncertainty=units.from_si(doubt, unit),
                note="" if pitch.measured else "by an assumed pitch: measure the rise over four turns",
            )
        )
    return ValueList("heads", "The heads over the riser's face", tuple(listed))


def off(shown: After) -> Points | None:
    """Say where what was measured since is not what was foretold; None where it is, or nothing was measured."""
    about, values = shown.about, shown.values
    if about.then is None:
        return None
    now, there = outcome(about.now), outcome(about.then)
    unit, weight = about.unit, said.force_unit(values)
    tape = values.number("tape_step") / math.sqrt(3)
    told = []
    for name, label, once, symbol in (
        ("weight", "Draw weight", shown.weighed_to, weight),
        ("tiller", "Tiller", tape * math.sqrt(2), unit),
        ("brace_height", "Brace height", tape, unit),
    ):
        read = shown.since.get(name)
        if read is None:
            continue
        doubt = about.uncertainty.budget_of(name, about.change, whole=False).combined
        most = MOST_OFF * math.hypot(doubt, once, once)
        apart = read - getattr(now, name) - (getattr(there, name) - getattr(now, name))
        if at_most(abs(apart), most):
            continue
        show = said.force if symbol == weight else said.length
        told.append(
            f"{label}: {show(read, symbol)} measured, {show(getattr(there, name), symbol)} foretold for "
            f"{said.both_moved(about.change) if about.turned else 'no turn'}. They are farther apart than reading can "
            f"be off ({show(most, symbol)}). Is that the turn that you made? Recount, measure again, or stop and look."
        )
    return Points("off", "Not as foretold", tuple(told), "caution") if told else None
