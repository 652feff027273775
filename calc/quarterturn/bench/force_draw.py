"""What a force-draw curve tells: force and energy, quality, stacking, the weight against the mark.

A draw length here is from the grip's pivot point to the nocking point, m. N, J, N/m.

Between the draw lengths at which the bow was computed the force is a not-a-knot cubic spline, and the energy the cubic
that has the bow's own energy and force at both ends of each piece. With 20 even steps to 28 in AMO the default bow's
force is met within 0.01 N, its slope within 0.6 % (0.3 % from mid-draw on, 0.02 % at full draw).

Source: the spline and its end condition, de Boor, A Practical Guide to Splines (M). Bow weight: the AMO standard. What
stacks is a measure of our own, stated at `Stacking`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from quarterturn.bench.draw_length import MARKED_DRAW, DrawError
from quarterturn.mechanics.bow import BracedBow, DrawnBow
from quarterturn.mechanics.numerics import hermite, not_a_knot_slopes
from quarterturn.numbers import at_most
from quarterturn.units import INCH

LEAST_NODES = 4
CLOSEST = 1e-4
"""m: draw lengths of a curve lie at least this far apart."""


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


def force_draw(braced: BracedBow, drawn: Sequence[DrawnBow]) -> ForceDraw:
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
    """

    slope: float
    least: float
    least_at: float
    ratio: float
    even: float

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
    slope = curve.slope(full)
    return Stacking(slope, least, least_at, slope / least, here / (full - curve.brace))


def against_mark(marked: float, curve: ForceDraw) -> float:
    """Return what the bow pulls at 28 in AMO more than the weight that is marked on its limbs, N.

    Raises:
        DrawError: the mark is no weight, or the curve does not reach 28 in.
    """
    if not 0 < marked < math.inf:
        raise DrawError("marked_weight", "The marked weight must be a force of more than 0.")
    return curve.force(MARKED_DRAW) - marked
