"""What the page on draw weight works with: the bow over its draw, now and after the turn, and the readings."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from quarterturn import units
from quarterturn.bench import bow_uncertainty
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow, foretold
from quarterturn.bench.bow_uncertainty import ForceUncertainty, uncertainty_of
from quarterturn.bench.force_draw import (
    MARKED_DRAW,
    DrawError,
    ForceDraw,
    MeasuredEnergy,
    MeasuredSlope,
    Stacking,
    even_draws,
    force_draw,
    measured_energy,
    measured_slope,
    on_tape,
    pivot_draw,
    stacking,
)
from quarterturn.mechanics import continuation
from quarterturn.mechanics.bow import BowError
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import at_most, fixed, trimmed
from quarterturn.record.entries import Entry, Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.units import INCH
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.bow_warnings import FAR_OFF
from quarterturn.widgets.bow_wording import draw_unit
from quarterturn.widgets.draw_weight.form import ASKED
from quarterturn.widgets.turn_prediction import TurnPrediction, predict

STEPS = 14
"""From the strung bow to the reader's draw length. The force between is met within 0.03 N on the default bow."""
SURE_AT = (0.1, 0.48, 0.75, 1.0)
"""Parts of the stroke at which it is asked how sure the curve is; straight lines between."""
SHORTEST_STROKE = INCH
"""m: less than that beyond the strung bow is no draw length to draw a curve to."""
CLOSEST = 2e-3
"""m: the turned bow's curve has no point nearer to where it begins."""
HALF = 0.5 * INCH
"""Over the last so much of the draw the uncertainty of the slope is taken."""
LIST = "scale_readings"


@dataclass(frozen=True, slots=True)
class ScaleReading:
    """One row of the reader's table, beside what the computed bow pulls there. m from the pivot point, N.

    Attributes:
        number: of the row in the table.
        said: draw length and weight as they were typed.
        off: the reading's own standard uncertainty, by the scale and by where the draw was stopped.
        uncertainty: that of the computed bow there.
    """

    number: int
    said: tuple[str, str]
    draw: float
    force: float
    bow: float
    off: float
    uncertainty: float

    @property
    def apart(self) -> float:
        """What was read more than the bow says."""
        return self.force - self.bow

    @property
    def met(self) -> bool:
        """Whether the curve goes through it, as far as a scale can tell."""
        return at_most(abs(self.apart), FAR_OFF * self.off)

    @property
    def allowed(self) -> bool:
        """Whether it lies within what reading and bow may both be off."""
        return at_most(abs(self.apart), FAR_OFF * math.hypot(self.off, self.uncertainty))


@dataclass(frozen=True, slots=True)
class Curves:
    """The bow over its draw.

    Attributes:
        base: with the bolts where the readings were taken.
        now: as it stands.
        then: after the turn; None where nothing is turned or nothing is foretold.
        sure: how sure the curve is; None where that cannot be told.
        readings: the rows of the table that can be used; none where the one weight counts.
    """

    shown: TurnPrediction
    base: ForceDraw
    now: ForceDraw
    then: ForceDraw | None
    sure: ForceUncertainty | None
    readings: tuple[ScaleReading, ...]

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.shown.values

    @property
    def own(self) -> float:
        """The reader's draw length from the pivot point, m."""
        return self.shown.bow.draw

    @property
    def stroke(self) -> float:
        """From the strung bow to the reader's draw length, m."""
        return self.own - self.now.brace

    def uncertainty(self, draw: float) -> float | None:
        """How sure the force is at a draw length: its standard uncertainty, N."""
        return None if self.sure is None else _between(self.sure, self.base.brace, draw)

    def tape(self, draw: float) -> float:
        """A draw length as this reader counts it, from the reader's station, m."""
        values = self.values
        return on_tape(draw, values.choice("draw_station"), values.number("station_offset"))

    def pivot(self, length: float) -> float:
        """A draw length of this reader's, counted from the pivot point, m."""
        return _from_pivot(length, self.values)

    @property
    def energy_uncertainty(self) -> float | None:
        """The standard uncertainty of the energy stored at the reader's draw length is at most this, J.

        Each number's part of it is the integral of its part of the force; the root of the sum of the squares of
        integrals is at most the integral of the root (Minkowski).
        """
        if self.sure is None:
            return None
        places = [self.now.brace, *(draw for draw in self.sure.draws if draw < self.own), self.own]
        uncertainties = [_between(self.sure, self.now.brace, place) for place in places]
        return math.fsum(
            (after - before) * (one + two) / 2
            for (before, after), (one, two) in zip(pairwise(places), pairwise(uncertainties), strict=True)
        )

    def reaches(self, draw: float) -> bool:
        """Whether the curve goes so far."""
        return at_most(self.now.brace, draw) and at_most(draw, self.now.full)


def curves(values: Values) -> Curves:
    """Take the bow over its draw out of a record.

    Raises:
        Refusal: where an entry cannot be used, or entries contradict one another.
    """
    problems = values.problems_in(ASKED)
    if problems:
        raise Refusal(problems)
    rows = _typed_rows(values)
    _check_rows(rows, values)
    try:
        shown = predict(values, ASKED)
    except Refusal as refusal:
        raise Refusal(tuple(_of_row(problem, rows, values) for problem in refusal.problems)) from None
    bow, setup = shown.bow, shown.bow.setup
    wanted = max(bow.draw + INCH, MARKED_DRAW, *(one.draw for one in setup.weighings))
    base = _curve(setup, bow.draw, wanted)
    if base is None:
        raise Refusal((_too_short(bow.draw, bow.fitted.braced.draw, values),))
    moved = _turned(setup, bow.draw, shown.start, base.draws) if shown.moved else None
    then = _turned(setup, bow.draw, shown.there, base.draws) if shown.then and shown.turned else None
    found = Curves(shown, base, moved or base, then, _sure(shown, base), ())
    return replace(found, readings=tuple(_reading(row, found) for row in rows))


@lru_cache(maxsize=4)
def _curve(setup: Setup, own: float, wanted: float) -> ForceDraw | None:
    """The bow's curve as far as is wanted, or at least to what was weighed; None where it is too short for one."""
    fitted = fitted_bow(setup)
    start = fitted.braced
    if own < start.draw + SHORTEST_STROKE:
        return None
    needed = max(own, *(one.draw for one in setup.weighings))
    for full in (wanted, needed):
        try:
            return force_draw(
                start, continuation.curve(fitted.bow, fitted.rock, _places(start.draw, own, full), start=start)
            )
        except BowError:
            continue
    return None


def _places(brace: float, own: float, full: float) -> tuple[float, ...]:
    """Draw lengths from the strung bow to the reader's own in even steps, and on to the end in such steps at most."""
    beyond = math.ceil((full - own) / ((own - brace) / STEPS) - 1e-9) if full > own else 0
    return (*even_draws(brace, own, STEPS), *(even_draws(own, full, beyond) if beyond else ()))


@lru_cache(maxsize=32)
def _turned(setup: Setup, own: float, turns: Pair, places: tuple[float, ...]) -> ForceDraw | None:
    """The turned bow's curve at the same draw lengths, so that both can be compared; None where there is none."""
    fitted = fitted_bow(setup)
    try:
        start = foretold(setup, own, turns).braced
        draws = [draw for draw in places if draw > start.draw + CLOSEST]
        return force_draw(start, continuation.curve(fitted.bow, setup.rock(turns), draws, start=start))
    except (BowError, DrawError, FitError, PocketError):
        return None


def _sure(shown: TurnPrediction, base: ForceDraw) -> ForceUncertainty | None:
    stroke = shown.bow.draw - base.brace
    draws = [base.brace + part * stroke for part in SURE_AT[:-1]] + [shown.bow.draw]
    if base.full > shown.bow.draw + CLOSEST:
        draws.append(base.full)
    try:
        return bow_uncertainty.band(shown.bow, tuple(draws))
    except FitError:
        return None


def _between(sure: ForceUncertainty, brace: float, draw: float) -> float:
    """The uncertainty at a draw length: none at the strung bow, then straight from place to place."""
    points = [(brace, 0.0), *zip(sure.draws, sure.uncertainty, strict=True)]
    for (before, one), (after, two) in pairwise(points):
        if draw <= after:
            return one + (two - one) * max(0.0, draw - before) / (after - before)
    return points[-1][1]


# The rows of the table


@dataclass(frozen=True, slots=True)
class _Row:
    """A row that can be used, with its number in the table and what was typed."""

    number: int
    typed: tuple[Entry, Entry]
    draw: float
    force: float
    off: float


def _typed_rows(values: Values) -> tuple[_Row, ...]:
    """The usable rows in their order; `off` is what the reading may be off by, either way."""
    entry = values.record.entries.get(LIST)
    full = [
        (number, (row[0], row[1]))
        for number, row in enumerate(entry.rows if entry else (), 1)
        if row[0] is not None and row[1] is not None
    ]
    scale, mark = values.number("scale_step"), values.number("draw_step")
    found = []
    for (number, typed), row in zip(full, values.rows(LIST), strict=True):
        draw = _from_pivot(row["draw"], values)
        found.append(_Row(number, typed, draw, row["weight"], scale + mark * row["weight"] / draw))
    return tuple(found)


def _from_pivot(length: float, values: Values) -> float:
    return pivot_draw(length, values.choice("draw_station"), values.number("station_offset"))


def _check_rows(rows: tuple[_Row, ...], values: Values) -> None:
    """Refuse a row that no strung bow gives, and one that contradicts another.

    Raises:
        Refusal: as it says, a sentence a row.
    """
    brace, wrong = values.number("brace_height"), []
    for row in rows:
        if row.draw <= brace:
            wrong.append(
                _problem(
                    row,
                    "draw",
                    f"{said(row.typed[0])} is {fixed(1000 * row.draw, 0)} mm from the pivot point, and the string at "
                    f"rest is {fixed(1000 * brace, 0)} mm away, by the brace height: nothing is drawn there. Read the "
                    "draw length again, and where it is counted from.",
                )
            )
    for at, row in enumerate(rows):
        for other in rows[:at]:
            near, far = sorted((row, other), key=lambda one: (one.draw, -one.force))
            if not at_most(near.force - far.force, FAR_OFF * (near.off + far.off)):
                wrong.append(_problem(row, "weight", _contradiction(row, other)))
                break
    if wrong:
        raise Refusal(tuple(wrong))


def _contradiction(row: _Row, other: _Row) -> str:
    here, there = (f"{said(one.typed[1])} at {said(one.typed[0])}" for one in (row, other))
    return (
        f"{here} contradicts reading {other.number}, {there}: a bow pulls harder the farther it is drawn, and the same "
        "at the same draw. One of the two is wrong: weigh both again."
    )


def said(entry: Entry) -> str:
    """What was typed, with its unit."""
    return f"{entry.typed.strip()} {units.unit(entry.unit).symbol}"


def _problem(row: _Row, column: str, sentence: str) -> Problem:
    label = {"draw": "draw length", "weight": "weight"}[column]
    return Problem(f"{LIST}.{row.number}.{column}", f"{BY_NAME[LIST].label}, reading {row.number}, {label}: {sentence}")


def _of_row(problem: Problem, rows: tuple[_Row, ...], values: Values) -> Problem:
    """A refusal of the whole table put down to the row it must be about: one at the strung string, or the longest."""
    if problem.field != LIST or not rows:
        return problem
    shortest, longest = min(rows, key=lambda row: row.draw), max(rows, key=lambda row: row.draw)
    row = shortest if shortest.draw < values.number("brace_height") + SHORTEST_STROKE else longest
    return _problem(row, "draw", f"{said(row.typed[0])} cannot be. {problem.sentence.partition(': ')[2]}")


def _too_short(own: float, brace: float, values: Values) -> Problem:
    unit = draw_unit(values)
    beyond, least = (trimmed(units.from_si(length, unit), 2) for length in (own - brace, SHORTEST_STROKE))
    symbol = units.unit(unit).symbol
    return Problem(
        "draw_length",
        f"{BY_NAME['draw_length'].label}: it is {beyond} {symbol} beyond the strung string; for a curve it must be "
        f"{least} {symbol} or more. Measure it again, and where it is counted from.",
    )


def _reading(row: _Row, found: Curves) -> ScaleReading:
    """A row beside the curve of the bow as it was weighed. Every row lies on it, for it goes on to the last of them."""
    values, now = found.values, found.base
    place = max(row.draw, now.brace)
    scale, mark = values.number("scale_step"), values.number("draw_step")
    off = math.hypot(scale, now.slope(place) * mark) / math.sqrt(3)
    return ScaleReading(
        row.number,
        (said(row.typed[0]), said(row.typed[1])),
        row.draw,
        row.force,
        now.force(place),
        off,
        found.uncertainty(place) or 0.0,
    )


# How it rises


@dataclass(frozen=True, slots=True)
class Rise:
    """How the computed curve rises at the reader's draw length, and how sure that is. N/m.

    Attributes:
        stack: what the curve does; None where the draw is too short to tell.
        slope: at the reader's draw length.
        uncertainty: standard uncertainty of the slope, taken over the last half inch.
        gap_doubt: that of the slope less the even one.
    """

    stack: Stacking | None
    slope: float
    uncertainty: float
    gap_uncertainty: float


def rise(found: Curves) -> Rise:
    """Find the slope at full draw and how sure it is.

    What a number does to the force half an inch before is taken from what it does to that at full draw: it does both at
    once.

    Raises:
        FitError: where the bow has no answer there.
    """
    bow, own = found.shown.bow, found.own
    back = min(HALF, found.stroke / 2)
    here = {effect.parameter.name: effect for effect in found.shown.uncertainty.effects}
    before = {effect.parameter.name: effect for effect in uncertainty_of(replace(bow, draw=own - back)).effects}
    slopes, gaps = [], []
    for name, effect in here.items():
        if name in before:
            share = effect.by.now.weight
            slopes.append((share - before[name].by.now.weight) / back)
            gaps.append(slopes[-1] - share / found.stroke)
    try:
        stack = stacking(found.now, own)
    except DrawError:
        stack = None
    uncertainty, gap = (math.hypot(*each) / math.sqrt(3) for each in (slopes, gaps))
    return Rise(stack, found.now.slope(own), uncertainty, gap)


def read_energy(found: Curves) -> MeasuredEnergy | None:
    """The energy by the reader's own readings, where there are enough."""
    if not found.readings:
        return None
    try:
        return measured_energy(found.shown.bow.setup.weighings, found.base.brace)
    except DrawError:
        return None


@dataclass(frozen=True, slots=True)
class ReadRise:
    """How the reader's own readings rise over the last inches, against an even share of their longest. N/m.

    Attributes:
        uncertainty: standard uncertainty of the slope, from scale and mark (GUM, H.3).
        even: from the strung bow to the longest reading.
    """

    measured: MeasuredSlope
    uncertainty: float
    even: float


def read_rise(found: Curves) -> ReadRise | None:
    """The slope by the reader's own readings, where they are near enough to one another."""
    measured = measured_slope(found.shown.bow.setup.weighings) if found.readings else None
    if measured is None:
        return None
    last = [one for one in found.readings if at_most(measured.draw, one.draw)]
    force = math.fsum(one.force for one in last) / len(last)
    off = max(one.off for one in found.readings)
    return ReadRise(measured, off / measured.spread, force / (measured.draw - found.base.brace))
