"""The reader's bow over its draw: the curve as it was measured and after a turn, how sure it is, how it rises.

A draw length here is from the grip's pivot point to the nocking point, m. N, J, N/m.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow, foretold
from quarterturn.bench.bow_uncertainty import force_sensitivities, uncertainty_of
from quarterturn.bench.draw_length import MARKED_DRAW, DrawError
from quarterturn.bench.force_draw import ForceDraw, Stacking, even_draws, force_draw, stacking
from quarterturn.bench.scale_readings import MOST_OFF, WeighedRow
from quarterturn.mechanics import continuation
from quarterturn.mechanics.bow import BowError
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import at_most
from quarterturn.units import INCH

STEPS = 14
"""From the strung bow to the reader's draw length. The force between is met within 0.03 N on the default bow."""
SURE_AT = (0.1, 0.48, 0.75, 1.0)
"""Parts of the stroke at which it is asked how sure the curve is; straight lines between."""
SHORTEST_STROKE = INCH
"""Less than that beyond the strung bow is no draw length to draw a curve to."""
CLOSEST = 2e-3
"""The turned bow's curve has no point nearer to where it begins."""
HALF = 0.5 * INCH
"""Over the last so much of the draw the uncertainty of the slope is taken."""
AS_IT_STANDS = (0.0, 0.0)


def measured_curve(bow: BowInputs) -> ForceDraw | None:
    """The curve with the bolts where the readings were taken, to an inch beyond the reader's draw or to 28 in AMO.

    Where the bow cannot be drawn so far, to what was weighed; None where it is too short for a curve.
    """
    wanted = max(bow.draw + INCH, MARKED_DRAW, *(one.draw for one in bow.setup.weighings))
    return _curve(bow.setup, bow.draw, wanted)


@lru_cache(maxsize=4)
def _curve(setup: Setup, own: float, wanted: float) -> ForceDraw | None:
    fitted = fitted_bow(setup)
    start = fitted.braced
    if own < start.draw + SHORTEST_STROKE:
        return None
    needed = max(own, *(one.draw for one in setup.weighings))
    for full in (wanted, needed):
        try:
            draws = _places(start.draw, own, full)
            return force_draw(start, continuation.curve(fitted.bow, fitted.rock, draws, start=start))
        except BowError:
            continue
    return None


def _places(brace: float, own: float, full: float) -> tuple[float, ...]:
    """Draw lengths from the strung bow to the reader's own in even steps, and on to the end in such steps at most."""
    beyond = math.ceil((full - own) / ((own - brace) / STEPS) - 1e-9) if full > own else 0
    return (*even_draws(brace, own, STEPS), *(even_draws(own, full, beyond) if beyond else ()))


@lru_cache(maxsize=32)
def turned_curve(setup: Setup, own: float, turns: Pair, places: tuple[float, ...]) -> ForceDraw | None:
    """The turned bow's curve at the same draw lengths, so that both can be compared; None where there is none."""
    fitted = fitted_bow(setup)
    try:
        start = foretold(setup, own, turns).braced
        draws = [draw for draw in places if draw > start.draw + CLOSEST]
        return force_draw(start, continuation.curve(fitted.bow, setup.rock(turns), draws, start=start))
    except (BowError, DrawError, FitError, PocketError):
        return None


# How sure it is


@dataclass(frozen=True, slots=True)
class ForceUncertainty:
    """The standard uncertainty of the force at a few draw lengths: straight between them, nothing at the strung bow."""

    draws: tuple[float, ...]
    standard: tuple[float, ...]

    def at(self, draw: float, brace: float) -> float:
        """At a draw length, of a bow whose draw begins at `brace`."""
        points = [(brace, 0.0), *zip(self.draws, self.standard, strict=True)]
        for (before, one), (after, two) in pairwise(points):
            if draw <= after:
                return one + (two - one) * max(0.0, draw - before) / (after - before)
        return points[-1][1]

    def of_energy(self, draw: float, brace: float) -> float:
        """The standard uncertainty of the energy stored from `brace` to a draw length is at most this, J.

        Each number's part of it is the integral of its part of the force; the root of the sum of the squares of
        integrals is at most the integral of the root (Minkowski).
        """
        places = [brace, *(each for each in self.draws if each < draw), draw]
        standard = [self.at(place, brace) for place in places]
        return math.fsum(
            (after - before) * (one + two) / 2
            for (before, after), (one, two) in zip(pairwise(places), pairwise(standard), strict=True)
        )


def force_uncertainty(bow: BowInputs, base: ForceDraw) -> ForceUncertainty | None:
    """How sure the measured curve is; None where that cannot be told."""
    stroke = bow.draw - base.brace
    draws = [base.brace + part * stroke for part in SURE_AT[:-1]] + [bow.draw]
    if base.full > bow.draw + CLOSEST:
        draws.append(base.full)
    try:
        table = force_sensitivities(bow, tuple(draws))
    except FitError:
        return None
    return ForceUncertainty(tuple(draws), tuple(table.standard(at) for at in range(len(draws))))


# How the reader's readings lie about it


@dataclass(frozen=True, slots=True)
class ScaleReading:
    """A reading of the scale beside what the computed bow pulls there.

    Attributes:
        number: of its row in the record's list.
        bow: what the computed bow pulls there.
        off: the reading's own standard uncertainty, by the scale and by where the draw was stopped.
        uncertainty: that of the computed bow there.
    """

    number: int
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
        return at_most(abs(self.apart), MOST_OFF * self.off)

    @property
    def allowed(self) -> bool:
        """Whether it lies within what reading and bow may both be off."""
        return at_most(abs(self.apart), MOST_OFF * math.hypot(self.off, self.uncertainty))


def beside_curve(
    rows: Sequence[WeighedRow], bow: BowInputs, base: ForceDraw, sure: ForceUncertainty | None
) -> tuple[ScaleReading, ...]:
    """Each row beside the measured curve, which goes on to the last of them."""
    scale, mark = bow.values.number("scale_step"), bow.values.number("draw_step")
    found = []
    for one in rows:
        place = max(one.draw, base.brace)
        off = math.hypot(scale, base.slope(place) * mark) / math.sqrt(3)
        uncertainty = 0.0 if sure is None else sure.at(place, base.brace)
        found.append(ScaleReading(one.number, one.draw, one.force, base.force(place), off, uncertainty))
    return tuple(found)


# How it rises


@dataclass(frozen=True, slots=True)
class Rise:
    """How the computed curve rises at the reader's draw length, and how sure that is. N/m.

    Attributes:
        stack: what the curve does; None where the draw is too short to tell.
        slope: at the reader's draw length.
        uncertainty: standard uncertainty of the slope, taken over the last half inch.
        gap_uncertainty: that of the slope less the even one.
    """

    stack: Stacking | None
    slope: float
    uncertainty: float
    gap_uncertainty: float


def rise(bow: BowInputs, now: ForceDraw) -> Rise:
    """Find the slope of a curve of this bow at the reader's draw length, and how sure it is.

    What a number does to the force half an inch before is taken from what it does to that at full draw: it does both at
    once.

    Raises:
        FitError: where the bow has no answer there.
    """
    own, stroke = bow.draw, bow.draw - now.brace
    back = min(HALF, stroke / 2)
    here, before = _force_shares(bow), _force_shares(replace(bow, draw=own - back))
    slopes, gaps = [], []
    for name, share in here.items():
        if name in before:
            slopes.append((share - before[name]) / back)
            gaps.append(slopes[-1] - share / stroke)
    try:
        stack = stacking(now, own)
    except DrawError:
        stack = None
    uncertainty, gap = (math.hypot(*each) / math.sqrt(3) for each in (slopes, gaps))
    return Rise(stack, now.slope(own), uncertainty, gap)


def _force_shares(bow: BowInputs) -> dict[str, float]:
    """What each number, off by its half, adds to the force at the bow's draw length, by name."""
    return {each.name: share for each, share in uncertainty_of(bow).shares("weight", AS_IT_STANDS, whole=True)}
