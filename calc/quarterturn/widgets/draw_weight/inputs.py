"""What the page on draw weight works with: the bow over its draw, now and after the turn, and the readings."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn import units
from quarterturn.bench.draw_curve import (
    SHORTEST_STROKE,
    ForceUncertainty,
    ScaleReading,
    beside_curve,
    force_uncertainty,
    measured_curve,
    turned_curve,
)
from quarterturn.bench.draw_length import DrawError, on_tape, pivot_draw
from quarterturn.bench.force_draw import ForceDraw
from quarterturn.bench.scale_readings import (
    LIST,
    Contradiction,
    MeasuredEnergy,
    MeasuredRise,
    WeighedRow,
    contradictions,
    measured_energy,
    measured_rise,
    weighed_rows,
)
from quarterturn.numbers import at_most, fixed, trimmed
from quarterturn.record.entries import Entry, Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.bow_wording import draw_unit
from quarterturn.widgets.draw_weight.form import ASKED
from quarterturn.widgets.turn_prediction import TurnPrediction, predict


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

    prediction: TurnPrediction
    base: ForceDraw
    now: ForceDraw
    then: ForceDraw | None
    sure: ForceUncertainty | None
    readings: tuple[ScaleReading, ...]

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.prediction.values

    @property
    def own(self) -> float:
        """The reader's draw length from the pivot point, m."""
        return self.prediction.bow.draw

    @property
    def stroke(self) -> float:
        """From the strung bow to the reader's draw length, m."""
        return self.own - self.now.brace

    def uncertainty(self, draw: float) -> float | None:
        """How sure the force is at a draw length: its standard uncertainty, N."""
        return None if self.sure is None else self.sure.at(draw, self.base.brace)

    def tape(self, draw: float) -> float:
        """A draw length as this reader counts it, from the reader's measuring point, m."""
        values = self.values
        return on_tape(draw, values.choice("draw_station"), values.number("station_offset"))

    def pivot(self, length: float) -> float:
        """A draw length of this reader's, counted from the pivot point, m."""
        values = self.values
        return pivot_draw(length, values.choice("draw_station"), values.number("station_offset"))

    @property
    def energy_uncertainty(self) -> float | None:
        """The standard uncertainty of the energy stored at the reader's draw length is at most this, J."""
        return None if self.sure is None else self.sure.of_energy(self.own, self.now.brace)

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
    rows = weighed_rows(values)
    if wrong := contradictions(rows, values.number("brace_height")):
        raise Refusal(tuple(_contradiction(each, values) for each in wrong))
    try:
        prediction = predict(values, ASKED)
    except Refusal as refusal:
        raise Refusal(tuple(_of_row(problem, rows, values) for problem in refusal.problems)) from None
    bow, setup = prediction.bow, prediction.bow.setup
    base = measured_curve(bow)
    if base is None:
        raise Refusal((_too_short(bow.draw, bow.fitted.braced.draw, values),))
    moved = turned_curve(setup, bow.draw, prediction.start, base.draws) if prediction.moved else None
    then = (
        turned_curve(setup, bow.draw, prediction.there, base.draws) if prediction.then and prediction.turned else None
    )
    sure = force_uncertainty(bow, base)
    return Curves(prediction, base, moved or base, then, sure, beside_curve(rows, bow, base, sure))


# The rows of the table


def said_of(number: int, values: Values) -> tuple[str, str]:
    """Draw length and weight of a row of the table as they were typed."""
    draw, weight = values.record.entries[LIST].rows[number - 1][:2]
    return _said(draw), _said(weight)


def _contradiction(wrong: Contradiction, values: Values) -> Problem:
    row, other = wrong.row, wrong.other
    draw, weight = said_of(row.number, values)
    if other is None:
        return _problem(
            row,
            "draw",
            f"{draw} is {fixed(1000 * row.draw, 0)} mm from the pivot point. By the brace height the string at rest is "
            f"{fixed(1000 * values.number('brace_height'), 0)} mm away, so nothing is drawn there. Read the draw "
            "length again, and where you measured it to.",
        )
    there = said_of(other.number, values)
    return _problem(
        row,
        "weight",
        f"{weight} at {draw} contradicts reading {other.number}, {there[1]} at {there[0]}. A bow pulls harder the "
        "farther it is drawn, and the same at the same draw. One of the two is wrong: weigh both again.",
    )


def _said(entry: Entry | None) -> str:
    """What was typed, with its unit; "" where nothing was."""
    return "" if entry is None else f"{entry.typed.strip()} {units.unit(entry.unit).symbol}"


def _problem(row: WeighedRow, column: str, sentence: str) -> Problem:
    label = {"draw": "draw length", "weight": "weight"}[column]
    return Problem(f"{LIST}.{row.number}.{column}", f"{BY_NAME[LIST].label}, reading {row.number}, {label}: {sentence}")


def _of_row(problem: Problem, rows: tuple[WeighedRow, ...], values: Values) -> Problem:
    """A refusal of the whole table put down to the row it must be about: one at the strung string, or the longest."""
    if problem.field != LIST or not rows:
        return problem
    shortest, longest = min(rows, key=lambda row: row.draw), max(rows, key=lambda row: row.draw)
    row = shortest if shortest.draw < values.number("brace_height") + SHORTEST_STROKE else longest
    return _problem(row, "draw", f"{said_of(row.number, values)[0]} cannot be. {problem.sentence.partition(': ')[2]}")


def _too_short(own: float, brace: float, values: Values) -> Problem:
    unit = draw_unit(values)
    beyond, least = (trimmed(units.from_si(length, unit), 2) for length in (own - brace, SHORTEST_STROKE))
    symbol = units.unit(unit).symbol
    return Problem(
        "draw_length",
        f"{BY_NAME['draw_length'].label}: it is {beyond} {symbol} beyond the strung string. For a curve it must be "
        f"{least} {symbol} or more. Measure it again, and check where you measured it to.",
    )


# What the readings tell by themselves


def read_energy(found: Curves) -> MeasuredEnergy | None:
    """The energy by the reader's own readings, where there are enough."""
    if not found.readings:
        return None
    try:
        return measured_energy(found.prediction.bow.setup.weighings, found.base.brace)
    except DrawError:
        return None


def read_rise(found: Curves) -> MeasuredRise | None:
    """The slope by the reader's own readings, where they are near enough to one another."""
    if not found.readings:
        return None
    off = max(one.off for one in found.readings)
    return measured_rise(found.prediction.bow.setup.weighings, off, found.base.brace)
