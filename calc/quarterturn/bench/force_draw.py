"""What a force-draw curve tells: where draw lengths are measured from, energy, stacking, the reader's readings.

A draw length here is from the grip's pivot point to the nocking point, m, unless a station is named. N, J, N/m.

Between the draw lengths at which the bow was computed the force is a not-a-knot cubic spline, and the energy the cubic
that has the bow's own energy and force at both ends of each piece. With 20 even steps to 28 in AMO the default bow's
force is met within 0.01 N, its slope within 0.6 % (0.3 % from mid-draw on, 0.02 % at full draw).

Source: the spline and its end condition, de Boor, A Practical Guide to Splines (M). Draw length and bow weight: the AMO
standard. What stacks is a measure of our own, stated at `Stacking`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from quarterturn.bench.bow_fit import Weighing
from quarterturn.mechanics.bow import Braced, Drawn
from quarterturn.mechanics.numerics import hermite, not_a_knot_slopes
from quarterturn.numbers import at_most
from quarterturn.units import INCH

AMO = 1.75 * INCH
"""A draw length on a tape by the AMO standard is more by this than the one from the pivot point."""
MARKED_DRAW = 28 * INCH - AMO
"""From the pivot point: 28 in on a tape by the AMO standard, where a bow's marked weight counts."""
STATIONS = ("pivot", "amo", "plunger", "rest")
FARTHEST = 5.0
"""m: no draw length is more."""
LEAST_NODES = 4
CLOSEST = 1e-4
"""m: draw lengths of a curve lie at least this far apart."""
END = 3 * INCH
"""The readings that the slope at the longest draw is told from lie no farther before it."""
LEAST_APART = INCH
"""And between the first and the last of them is at least this."""
LEAST_READINGS = 3


class DrawError(ValueError):
    """A draw length or a reading that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


# Where a draw length is measured from


def _beyond(station: str, offset: float) -> float:
    """Return how far toward the target from the pivot point a draw length at this station begins, m."""
    if station not in STATIONS:
        raise DrawError("draw_station", f"The station of a draw length must be one of {', '.join(STATIONS)}.")
    if station == "pivot":
        return 0.0
    if station == "amo":
        return AMO
    if not abs(offset) <= FARTHEST:  # false for NaN too
        raise DrawError("station_offset", f"The {station}'s place must be a distance of at most {FARTHEST:g} m.")
    return offset


def pivot_draw(length: float, station: str, offset: float = 0.0) -> float:
    """Return the draw length from the pivot point of one that was measured from a station.

    The stations are "pivot", the pivot point itself; "amo", 1.75 in beyond it (AMO standard); "plunger", the middle of
    the plunger hole, and "rest", the arrow rest. `offset` is how far that hole or rest lies from the pivot point toward
    the target, along the arrow, and plays no part for the others: 0 where it lies right over the pivot point (common
    practice, no source).

    Hole and rest lie above the pivot point, and the line from there to the nocking point is therefore a little longer
    than what is measured along the arrow: by √(D² + h²) − D, with h from the pivot point square to the arrow. That is
    left out: 1.2 mm where h is 40 mm and D 650 mm.

    Raises:
        DrawError: for a station that is none, or where the length or the offset is no distance.
    """
    draw = length - _beyond(station, offset)
    if not 0 < draw <= FARTHEST:
        raise DrawError(
            "draw_length", f"The draw length from the pivot point must be more than 0 and at most {FARTHEST:g} m."
        )
    return draw


def on_tape(draw: float, station: str = "amo", offset: float = 0.0) -> float:
    """Return what is measured from a station at this draw length from the pivot point: `pivot_draw`, backward.

    Raises:
        DrawError: as `pivot_draw`.
    """
    if not 0 < draw <= FARTHEST:
        raise DrawError(
            "draw_length", f"The draw length from the pivot point must be more than 0 and at most {FARTHEST:g} m."
        )
    return draw + _beyond(station, offset)


# The curve


@dataclass(frozen=True, slots=True)
class Quality:
    """How much a bow stores for the force at full draw: 0.5 of the stroke is a straight line from the braced bow."""

    of_stroke: float
    """W/(F·(draw − braced draw))."""
    of_draw: float
    """W/(F·draw): the static quality coefficient, draw length from the pivot point."""


@dataclass(frozen=True, slots=True)
class ForceDraw:
    """A bow's force and stored energy by draw length; made by `force_draw` or `through`."""

    draws: tuple[float, ...]
    """From the braced bow on, rising."""
    forces: tuple[float, ...]
    energies: tuple[float, ...]
    """Above the braced bow's."""
    slopes: tuple[float, ...]
    """Of the force."""

    @property
    def brace(self) -> float:
        """Where the draw begins: pivot point to nocking point, braced, m."""
        return self.draws[0]

    @property
    def full(self) -> float:
        """The longest draw, m."""
        return self.draws[-1]

    def _piece(self, draw: float) -> tuple[int, float, float]:
        """Return which piece holds this draw length, how long it is, and which part of it lies before."""
        if not (at_most(self.brace, draw) and at_most(draw, self.full)):  # NaN is neither
            raise DrawError(
                "draw",
                f"The draw length from the pivot point must be from {1000 * self.brace:.1f} to "
                f"{1000 * self.full:.1f} mm: the curve goes no farther.",
            )
        at = next((place for place, end in enumerate(self.draws[1:-1]) if draw < end), len(self.draws) - 2)
        width = self.draws[at + 1] - self.draws[at]
        return at, width, min(1.0, max(0.0, (draw - self.draws[at]) / width))

    def force(self, draw: float) -> float:
        """Return the force at a draw length.

        Raises:
            DrawError: where the curve does not reach.
        """
        at, width, part = self._piece(draw)
        return hermite(part, self.forces[at : at + 2], self.slopes[at : at + 2], width)

    def energy(self, draw: float) -> float:
        """Return the energy stored from the braced bow to a draw length.

        Raises:
            DrawError: where the curve does not reach.
        """
        at, width, part = self._piece(draw)
        return hermite(part, self.energies[at : at + 2], self.forces[at : at + 2], width)

    def slope(self, draw: float) -> float:
        """Return by how much the force grows a metre of draw, N/m.

        Raises:
            DrawError: where the curve does not reach.
        """
        at, width, part = self._piece(draw)
        constant, linear, square = self._rise(at, width)
        return constant + part * (linear + part * square)

    def _rise(self, at: int, width: float) -> tuple[float, float, float]:
        """Return the slope in a piece as a polynomial of the part of the piece that lies before."""
        first, last = self.slopes[at], self.slopes[at + 1]
        mean = (self.forces[at + 1] - self.forces[at]) / width
        return first, 6 * mean - 4 * first - 2 * last, 3 * (first + last) - 6 * mean

    def least_slope(self, low: float, high: float) -> tuple[float, float]:
        """Return the least slope from one draw length to another, N/m, and the draw length that has it.

        Raises:
            DrawError: where the curve does not reach.
        """
        places = [low, high, *(draw for draw in self.draws if low < draw < high)]
        for at, start in enumerate(self.draws[:-1]):
            width = self.draws[at + 1] - start
            _, linear, square = self._rise(at, width)
            if square > 0:
                lowest = start - linear / (2 * square) * width
                if max(low, start) < lowest < min(high, start + width):
                    places.append(lowest)
        return min((self.slope(place), place) for place in places)

    def quality(self, draw: float) -> Quality:
        """Return how much is stored at a draw length for the force there.

        Raises:
            DrawError: where the curve does not reach, and where there is no force.
        """
        force, energy = self.force(draw), self.energy(draw)
        if draw <= self.brace or force <= 0:
            raise DrawError("draw", "The draw length must be more than that of the strung bow, which has no force.")
        return Quality(energy / (force * (draw - self.brace)), energy / (force * draw))


def even_draws(brace: float, full: float, count: int = 20) -> tuple[float, ...]:
    """Return the ends of so many even steps from the braced bow's draw length to the full one, m."""
    return (*(brace + (full - brace) * step / count for step in range(1, count)), full)


def force_draw(braced: Braced, drawn: Sequence[Drawn]) -> ForceDraw:
    """Return the curve of a bow from the strung bow through its drawn states, in the order of their draw.

    Raises:
        DrawError: fewer than three drawn states, or one that does not lie beyond the one before.
    """
    return through(
        (braced.draw, *(one.draw for one in drawn)),
        (0.0, *(one.force for one in drawn)),
        (0.0, *(one.energy - braced.energy for one in drawn)),
    )


def through(draws: Sequence[float], forces: Sequence[float], energies: Sequence[float]) -> ForceDraw:
    """Return the curve through these points, the braced bow's first.

    Raises:
        DrawError: fewer than four, not as many of each, one that is no number, or draw lengths that do not rise by at
            least 0.1 mm.
    """
    if not LEAST_NODES <= len(draws) == len(forces) == len(energies):
        raise DrawError("draws", "A curve needs four points or more, each with a draw length, a force and an energy.")
    if not all(map(math.isfinite, (*draws, *forces, *energies))):
        raise DrawError("draws", "The points of a curve must all be numbers.")
    if min(after - before for before, after in pairwise(draws)) < CLOSEST:
        raise DrawError("draws", "The draw lengths of a curve must rise by at least 0.1 mm from point to point.")
    return ForceDraw(tuple(draws), tuple(forces), tuple(energies), not_a_knot_slopes(draws, forces))


# What it tells


@dataclass(frozen=True, slots=True)
class Stacking:
    """How the force rises toward the end of the draw.

    A curve of force begins steep, for the string lifts off the recurve, flattens, and steepens again. The least slope
    is looked for from halfway between the braced bow and full draw on. **Our own measure, no source**: a bow stacks
    where it is steeper at full draw than the straight line from the braced bow to full draw, so that the last of the
    draw costs more than an even share.

    Attributes:
        slope: at full draw, N/m.
        least: the least slope from mid-draw on, N/m.
        least_at: the draw length from the pivot point that has it, m.
        ratio: `slope` over `least`.
        even: the slope of the straight line from the braced bow to full draw, N/m.
        last_inch: the force that the last inch before full draw adds, N.
        inch_before: the force that the inch before that one adds, N.
    """

    slope: float
    least: float
    least_at: float
    ratio: float
    even: float
    last_inch: float
    inch_before: float

    @property
    def stacks(self) -> bool:
        """Whether the slope at full draw is more than the even one."""
        return not at_most(self.slope, self.even)


def stacking(curve: ForceDraw, full: float | None = None) -> Stacking:
    """Return how the force rises toward full draw, which is the curve's end if no other is named.

    Raises:
        DrawError: full draw is less than 2 in from the braced bow, the curve does not reach it, or the force does not
            rise all the way from mid-draw on.
    """
    full = curve.full if full is None else full
    here = curve.force(full)
    if full - curve.brace < 2 * INCH:
        raise DrawError("draw", "Full draw must be at least 2 in (51 mm) from the strung bow.")
    least, least_at = curve.least_slope((curve.brace + full) / 2, full)
    if least <= 0:
        raise DrawError("draw", "The force must rise from mid-draw to full draw.")
    slope, one, two = curve.slope(full), curve.force(full - INCH), curve.force(full - 2 * INCH)
    even = here / (full - curve.brace)
    return Stacking(slope, least, least_at, slope / least, even, here - one, one - two)


@dataclass(frozen=True, slots=True)
class MarkComparison:
    """A bow's weight at 28 in by the AMO standard against the one that is marked on its limbs."""

    marked: float
    """N."""
    here: float
    """N."""

    @property
    def difference(self) -> float:
        """What the bow has more than the mark, N."""
        return self.here - self.marked

    @property
    def part(self) -> float:
        """The difference as a part of the marked weight."""
        return self.difference / self.marked


def against_mark(marked: float, curve: ForceDraw) -> MarkComparison:
    """Return the marked weight (N) beside the curve's at 28 in AMO.

    Raises:
        DrawError: the mark is no weight, or the curve does not reach 28 in.
    """
    if not 0 < marked < math.inf:
        raise DrawError("marked_weight", "The marked weight must be a force of more than 0.")
    return MarkComparison(marked, curve.force(MARKED_DRAW))


# The reader's own readings


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
    widest: float
    """The widest gap without a reading, that from the braced bow to the first one too, m."""


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
    steps = list(pairwise(points))
    energy = math.fsum((one[0] - other[0]) * (one[1] + other[1]) / 2 for other, one in steps)
    return MeasuredEnergy(energy, points[-1][0], len(at), max(one[0] - other[0] for other, one in steps))


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
