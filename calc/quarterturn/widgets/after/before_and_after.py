"""The bow before and after the change: the table, the same by name, the string, the heads, what is not as foretold."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn import units
from quarterturn.bench import bow_fit, nocking
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.outcomes import outcome
from quarterturn.bench.shape import pitch_and_resolution
from quarterturn.bench.uncertainty import Budget, budget, rectangular
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import at_most, fixed, same
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording
from quarterturn.widgets.after.inputs import BowChange
from quarterturn.widgets.answer import Points, Status, Table, Value, ValueList
from quarterturn.widgets.string_twists import brace_back
from quarterturn.widgets.uncertainty_tables import expanded

MOST_OFF = 2.0
"""A reading is said to be off where it differs by more than so many standard uncertainties: U = 2u (GUM)."""


def before_and_after(shown: BowChange) -> Table | None:
    """What was measured, what is foretold and how sure that is, what was measured since; None where nothing is."""
    prediction = shown.prediction
    if prediction.then is None or not prediction.turned:
        return None
    unit, weight = prediction.unit, bow_wording.force_unit(shown.values)
    places = 1 if unit == "mm" else 3
    now, there = outcome(prediction.now), outcome(prediction.then)
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
        whole = prediction.sure(name, then=True)
        change = prediction.uncertainty.budget_of(name, prediction.change, whole=False)
        read = shown.since.get(name)
        rows.append(
            (
                label,
                fixed(before, decimals),
                f"{bow_wording.signed(fixed(then - before, decimals))} {expanded(change, symbol, decimals)}",
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
        "Predicted for the same string. After ±: about 95 % (U = 2u, GUM), from how far every number may be off. What "
        "you measure since is used instead.",
    )


@dataclass(frozen=True, slots=True)
class _NockingPoint:
    """How far the nocking point lies over square before the turn, m, and by how much the turn changes that."""

    over: float
    change: float
    change_budget: Budget
    then_budget: Budget

    @property
    def then(self) -> float:
        """Over square after the turn, m."""
        return self.over + self.change


def _nocking_point(shown: BowChange) -> _NockingPoint | None:
    """What the turn does to the nocking point; None where the bow has no answer there."""
    prediction = shown.prediction
    try:
        return _NockingPoint(
            nocking.over(prediction.bow, prediction.start, shown.nock),
            nocking.change(prediction.bow, prediction.start, prediction.there, shown.nock),
            nocking.change_budget(prediction.bow, prediction.start, prediction.there, shown.nock),
            _nock_then(shown),
        )
    except (FitError, PocketError):
        return None


def _nock_then(shown: BowChange) -> Budget:
    """How sure the nocking point is after the turn, with how near the bow square was read."""
    prediction = shown.prediction
    change = nocking.change_budget(prediction.bow, prediction.bow.setup.now, prediction.there, shown.nock)
    return budget((*change.contributions, rectangular("tape_step", shown.values.number("tape_step"))))


def _nock_row(shown: BowChange, unit: str, places: int) -> list[tuple[str, ...]]:
    nock = _nocking_point(shown)
    if nock is None:
        return []
    more = bow_wording.signed(fixed(units.from_si(nock.change, unit), places))
    changes = f"{more} {expanded(nock.change_budget, unit, places)}"
    label = f"nocking point over square, {units.unit(unit).symbol}"
    if shown.over is None:
        return [(label, "", changes, "", "")]
    before, then = (fixed(units.from_si(one, unit), places) for one in (nock.over, nock.then))
    return [(label, before, changes, f"{then} {expanded(nock.then_budget, unit, places)}", "")]


def by_name(shown: BowChange) -> ValueList | None:
    """What is foretold by name, for those who ask by name."""
    prediction = shown.prediction
    if prediction.then is None or not prediction.turned:
        return None
    unit, weight = prediction.unit, bow_wording.force_unit(shown.values)
    places = 1 if unit == "mm" else 3
    now, there = outcome(prediction.now), outcome(prediction.then)
    listed = []
    for key, name, label, symbol, decimals in (
        ("weight", "weight", "Draw weight", weight, 2),
        ("brace", "brace_height", "Brace height", unit, places),
        ("tiller", "tiller", "Tiller", unit, places),
    ):
        value = getattr(there, name) - getattr(now, name)
        uncertainty = prediction.uncertainty.budget_of(name, prediction.change, whole=False)
        listed.append(_foretold(f"{key}_change", f"{label}: change", value, uncertainty, symbol, decimals, shown))
    listed += _nock_by_name(shown, unit, places)
    return ValueList("by-name", "Predictions, by name", tuple(listed), folded=True)


def _nock_by_name(shown: BowChange, unit: str, places: int) -> list[Value]:
    nock, label = _nocking_point(shown), "Nocking point over square"
    if nock is None:
        return []
    changes = f"{label}: change"
    listed = [_foretold("nocking_change", changes, nock.change, nock.change_budget, unit, places, shown)]
    if shown.over is not None:
        listed.append(_foretold("nocking_then", f"{label} then", nock.then, nock.then_budget, unit, places, shown))
    return listed


def _foretold(
    name: str, label: str, value: float, uncertainty: Budget, unit: str, decimals: int, shown: BowChange
) -> Value:
    number = fixed(units.from_si(value, unit), decimals)
    text = number if name.endswith("_then") else bow_wording.signed(number)
    return Value(
        *(name, label, units.from_si(value, unit), unit),
        *(f"{text} {expanded(uncertainty, unit, decimals)} {units.unit(unit).symbol}", shown.prediction.status),
        uncertainty=units.from_si(uncertainty.combined, unit),
    )


def string(shown: BowChange) -> ValueList | None:
    """What puts the brace height back, from what was measured since, or else from what is foretold."""
    prediction, bow = shown.prediction, shown.prediction.bow
    measured = shown.since.get("brace_height")
    if measured is None and (prediction.then is None or not prediction.turned):
        return None
    found = prediction.then or prediction.now
    rock = bow.setup.rock(prediction.there if prediction.then is not None else prediction.start)
    there = found.braced.brace_height
    wanted = there + prediction.now.braced.brace_height - (there if measured is None else measured)
    try:
        length = bow_fit.string_for(bow.fitted, rock, wanted)
    except (FitError, PocketError):
        return None
    return brace_back(prediction, bow.fitted.string - length, shown.prediction.status)


def heads(shown: BowChange) -> ValueList | None:
    """Where the heads stand after the turn, over the riser's face; nothing where nothing is foretold."""
    if not shown.prediction.turned or shown.prediction.then is None:
        return None
    unit = shown.prediction.unit
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
        uncertainty = math.hypot(pitch.uncertainty * turned, *(pitch.value * one.standard for one in counted))
        if stood is not None:
            uncertainty = math.hypot(uncertainty, resolution.height() / math.sqrt(2))
        u = f"±\u00a0{fixed(units.from_si(2 * uncertainty, unit), places)} {units.unit(unit).symbol}"
        number = more if stood is None else stood + more
        text = fixed(units.from_si(number, unit), places)
        listed.append(
            Value(
                f"{bolt}_head_{'change' if stood is None else 'then'}",
                f"{bolt.capitalize()} head: {'height changes by' if stood is None else 'height then'}",
                units.from_si(number, unit),
                unit,
                f"{bow_wording.signed(text) if stood is None else text} {u}",
                Status.COMPUTED if shown.values.entered("rise") else shown.prediction.status,
                uncertainty=units.from_si(uncertainty, unit),
                note="" if pitch.measured else "by an assumed pitch: measure the rise over four turns",
            )
        )
    return ValueList("heads", "Head heights above the riser's face", tuple(listed))


def off(shown: BowChange) -> Points | None:
    """Say where what was measured since is not what was foretold; None where it is, or nothing was measured."""
    prediction, values = shown.prediction, shown.values
    if prediction.then is None:
        return None
    now, there = outcome(prediction.now), outcome(prediction.then)
    unit, weight = prediction.unit, bow_wording.force_unit(values)
    tape = values.number("tape_step") / math.sqrt(3)
    told = []
    for name, label, once, symbol in (
        ("weight", "Draw weight", shown.weighed_to, weight),
        ("tiller", "Tiller", tape * math.sqrt(2), unit),
        ("brace_height", "Brace height", tape, unit),
    ):
        read = shown.since.get(name)
        if read is None or (name == "tiller" and shown.line_anew):
            continue
        uncertainty = prediction.uncertainty.budget_of(name, prediction.change, whole=False).combined
        most = MOST_OFF * math.hypot(uncertainty, once, once)
        apart = read - getattr(now, name) - (getattr(there, name) - getattr(now, name))
        if at_most(abs(apart), most):
            continue
        show = bow_wording.force if symbol == weight else bow_wording.length
        turn = bow_wording.both_moved(prediction.change) if prediction.turned else "no turn"
        told.append(
            f"{label}: {show(read, symbol)} measured, {show(getattr(there, name), symbol)} expected for {turn}. The "
            f"difference is more than reading can be off ({show(most, symbol)}). Is that the turn that you made? "
            "Count again, measure again, or stop and look."
        )
    return Points("off", "Not what was expected", tuple(told), "caution") if told else None
