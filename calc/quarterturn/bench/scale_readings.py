"""The reader's table of draw lengths and weights: what of it cannot be of one bow, and what it tells by itself.

A draw length here is from the grip's pivot point to the nocking point, m. N, J, N/m.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from quarterturn.bench.bow_fit import Weighing
from quarterturn.bench.draw_length import DrawError, pivot_draw
from quarterturn.numbers import at_most
from quarterturn.record.values import Values
from quarterturn.units import INCH

LIST = "scale_readings"
MOST_OFF = 3.0
"""So many standard uncertainties, or half-widths of two readings together, may numbers be apart (our own measure)."""
END = 3 * INCH
"""The readings that the slope at the longest draw is told from lie no farther before it."""
LEAST_APART = INCH
"""And between the first and the last of them is at least this."""
LEAST_READINGS = 3


# Which cannot be of one bow


@dataclass(frozen=True, slots=True)
class WeighedRow:
    """A row that can be used.

    Attributes:
        number: of the row in the record's list, from 1.
        off: what the reading may be off by, either way, by scale and mark, N.
    """

    number: int
    draw: float
    force: float
    off: float


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A row that the strung bow does not permit, or, with `other`, one that contradicts a row before it."""

    row: WeighedRow
    other: WeighedRow | None


def weighed_rows(values: Values) -> tuple[WeighedRow, ...]:
    """Take the rows that can be used out of a record, in their order."""
    entry = values.record.entries.get(LIST)
    rows = entry.rows if entry else ()
    full = [number for number, row in enumerate(rows, 1) if row[0] is not None and row[1] is not None]
    scale, mark = values.number("scale_step"), values.number("draw_step")
    station, offset = values.choice("draw_station"), values.number("station_offset")
    found = []
    for number, row in zip(full, values.rows(LIST), strict=True):
        draw = pivot_draw(row["draw"], station, offset)
        found.append(WeighedRow(number, draw, row["weight"], scale + mark * row["weight"] / draw))
    return tuple(found)


def contradictions(rows: Sequence[WeighedRow], brace_height: float) -> tuple[Contradiction, ...]:
    """Find the rows that lie no farther than the string at rest, then those that contradict an earlier one.

    A bow pulls harder the farther it is drawn, and the same at the same draw.
    """
    found = [Contradiction(row, None) for row in rows if row.draw <= brace_height]
    for at, row in enumerate(rows):
        for other in rows[:at]:
            near, far = sorted((row, other), key=lambda one: (one.draw, -one.force))
            if not at_most(near.force - far.force, MOST_OFF * (near.off + far.off)):
                found.append(Contradiction(row, other))
                break
    return tuple(found)


# What they tell by themselves


@dataclass(frozen=True, slots=True)
class MeasuredEnergy:
    """What was stored at the longest draw that was weighed, by straight lines from reading to reading.

    Where the true curve bulges above such a line the energy is more, where it sags it is less.
    """

    energy: float
    """J, from the braced bow."""
    draw: float
    """The longest draw from the pivot point, m."""
    count: int
    """How many draw lengths were weighed."""


def measured_energy(readings: Sequence[Weighing], brace: float) -> MeasuredEnergy | None:
    """Return the energy below the readings' own curve, or None where fewer than three draw lengths were weighed.

    It begins without force at the braced bow's draw length, `brace` (from the pivot point, m), and goes on in straight
    lines through the readings in the order of their draw. Of several readings at one draw length the mean counts.

    Raises:
        DrawError: a reading is no number, or not beyond the braced bow.
    """
    _check_readings(readings)
    if any(one.draw <= brace for one in readings):
        raise DrawError(
            "scale_readings",
            "Each draw length must be more than that of the strung bow, "
            f"{1000 * brace:.1f} mm from the pivot point, where the force is 0.",
        )
    at: dict[float, list[float]] = {}
    for one in readings:
        at.setdefault(one.draw, []).append(one.force)
    if len(at) < LEAST_READINGS:
        return None
    points = [(brace, 0.0), *((draw, math.fsum(at[draw]) / len(at[draw])) for draw in sorted(at))]
    energy = math.fsum((one[0] - other[0]) * (one[1] + other[1]) / 2 for other, one in pairwise(points))
    return MeasuredEnergy(energy, points[-1][0], len(at))


@dataclass(frozen=True, slots=True)
class MeasuredSlope:
    """How the force rises at the longest draw that was weighed, by the straight line of least squares."""

    slope: float
    """N/m; over the readings' last inches, and so the slope in their middle rather than at the end."""
    draw: float
    """The longest draw from the pivot point, m."""
    count: int
    """How many readings it is from."""
    span: float
    """From the first of them to the last, m."""
    spread: float
    """√Σ(D − mean D)², m: a reading's standard uncertainty in N over it is the slope's (GUM, H.3)."""


def measured_slope(readings: Sequence[Weighing]) -> MeasuredSlope | None:
    """Return the slope of the readings that lie at most 3 in before the longest draw, all of them alike.

    None where it cannot be told: no reading, or less than 1 in from the first of those to the last.

    Raises:
        DrawError: a reading is no number.
    """
    _check_readings(readings)
    if not readings:
        return None
    full = max(one.draw for one in readings)
    last = [one for one in readings if at_most(full - one.draw, END)]
    span = full - min(one.draw for one in last)
    if not at_most(LEAST_APART, span):
        return None
    draw = math.fsum(one.draw for one in last) / len(last)
    force = math.fsum(one.force for one in last) / len(last)
    squares = math.fsum((one.draw - draw) ** 2 for one in last)
    slope = math.fsum((one.draw - draw) * (one.force - force) for one in last) / squares
    return MeasuredSlope(slope, full, len(last), span, math.sqrt(squares))


def _check_readings(readings: Sequence[Weighing]) -> None:
    if not all(math.isfinite(one.draw) and math.isfinite(one.force) for one in readings):
        raise DrawError("scale_readings", "Draw length and weight of each reading must be numbers.")


@dataclass(frozen=True, slots=True)
class MeasuredRise:
    """How the readings rise over the last inches, against an even share of their longest. N/m.

    Attributes:
        uncertainty: standard uncertainty of the slope, from scale and mark (GUM, H.3).
        even: from the strung bow to the longest reading.
    """

    measured: MeasuredSlope
    uncertainty: float
    even: float

    @property
    def gap(self) -> float:
        """What the slope is more than the even one."""
        return self.measured.slope - self.even


def measured_rise(readings: Sequence[Weighing], off: float, brace: float) -> MeasuredRise | None:
    """Return the rise of readings that are each sure to `off` (standard uncertainty, N); `brace` as `measured_energy`.

    None where the slope cannot be told.

    Raises:
        DrawError: a reading is no number.
    """
    measured = measured_slope(readings)
    if measured is None:
        return None
    last = [one for one in readings if at_most(measured.draw, one.draw)]
    force = math.fsum(one.force for one in last) / len(last)
    return MeasuredRise(measured, off / measured.spread, force / (measured.draw - brace))
