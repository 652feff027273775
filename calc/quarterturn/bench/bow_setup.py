"""Every number that a bow is made from, and the bow that is found from them with its bolts at any pair of places."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.bench import bow_fit
from quarterturn.bench.bow_fit import BowReadings, FitError, FittedBow, Frame, TurnedBow, Weighing
from quarterturn.mechanics import continuation
from quarterturn.mechanics.bow import BowError, BracedBow, DrawnBow
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.pocket import Pocket, PocketError

Pair = tuple[float, float]
"""Of the upper bolt or limb, and of the lower."""

A_LITTLE = 2e-3
"""Of draw, m, over which the force's growth is taken."""

_rock_angle = lru_cache(maxsize=256)(rock_angle)
"""Kept: the map's places, and those that an uncertainty is about, are asked for again and again."""


@dataclass(frozen=True, slots=True)
class Setup:
    """Every number that the bow is made from, as it was measured or taken: SI, turns out from zero.

    Attributes:
        weighings: draws from the pivot point.
        tried: where the bolts stood when a turn had been tried, and both tillers then; None without one.
        individual: by how much the upper limb's own numbers, and the lower one's, are more than those of both.
    """

    brace_height: float
    upper_tiller: float
    lower_tiller: float
    weighings: tuple[Weighing, ...]
    string_length: float
    string_upper: float
    upper_fulcrum: float
    fulcrum_span: float
    limb_length: float
    limb_depth: float
    pockets: tuple[Pocket, Pocket]
    now: Pair
    tried: Pair | None = None
    upper_tried_tiller: float = 0.0
    lower_tried_tiller: float = 0.0
    flush_angle: float = bow_fit.FLUSH_ANGLE
    taper: float = bow_fit.TAPER
    inner_curvature: float = bow_fit.INNER_CURVATURE
    recurve_curvature: float = bow_fit.RECURVE_CURVATURE
    recurve: float = bow_fit.RECURVE
    root_distance: float = bow_fit.ROOT_DISTANCE
    stretch: float = 0.0
    individual: tuple[bow_fit.Deviation, bow_fit.Deviation] = (bow_fit.NONE, bow_fit.NONE)

    def rock(self, turns: Pair) -> Pair:
        """Both limbs' rock angles with the bolts there, rad.

        Raises:
            PocketError: where a bolt cannot stand.
        """
        return _rock_angle(self.pockets[0], turns[0]), _rock_angle(self.pockets[1], turns[1])

    @property
    def without_tried(self) -> Setup:
        """The same without the turn that was tried."""
        return replace(self, tried=None, upper_tried_tiller=0.0, lower_tried_tiller=0.0)

    @property
    def frame(self) -> Frame:
        """What no turn changes.

        The fulcrums lie before the string by the tillers; the string is straight, so that at the pivot point's height
        it is as far from their line as the tillers are there, each counting the more the nearer its fulcrum is.
        """
        lower = self.fulcrum_span - self.upper_fulcrum
        there = (self.upper_tiller * lower + self.lower_tiller * self.upper_fulcrum) / self.fulcrum_span
        return Frame(
            fulcrum_x=self.brace_height - there,
            upper_fulcrum=self.upper_fulcrum,
            lower_fulcrum=lower,
            limb_length=self.limb_length,
            limb_depth=self.limb_depth,
            upper_part=self.string_upper / self.string_length,
            flush_angle=self.flush_angle,
            taper=self.taper,
            inner_curvature=self.inner_curvature,
            recurve_curvature=self.recurve_curvature,
            recurve=self.recurve,
            root_distance=self.root_distance,
            stretch=self.stretch,
            individual=self.individual,
        )

    @property
    def measured(self) -> BowReadings:
        """What was read with the bolts where they stand."""
        tiller = self.upper_tiller - self.lower_tiller
        return BowReadings(self.rock(self.now), self.brace_height, tiller, self.weighings)


@lru_cache(maxsize=8)
def fitted_bow(setup: Setup) -> FittedBow:
    """The bow of a setup; the last few are kept, for a turn that is tried changes nothing of it.

    Raises:
        FitError: no bow gives these readings.
        PocketError: a bolt cannot stand where it is said to.
    """
    return bow_fit.fit(setup.frame, setup.measured, setup.string_length)


@lru_cache(maxsize=8)
def as_it_is(setup: Setup, draw: float) -> TurnedBow:
    """The bow with its bolts where they stand.

    Raises:
        FitError: where it cannot be drawn so far.
    """
    fitted = fitted_bow(setup)
    return bow_fit.turned(fitted, fitted.rock, draw)


@lru_cache(maxsize=64)
def foretold(setup: Setup, draw: float, turns: Pair) -> TurnedBow:
    """The bow with its bolts there.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    return bow_fit.turned(fitted_bow(setup), setup.rock(turns), draw, near=as_it_is(setup, draw))


def force_slope(fitted: FittedBow, found: DrawnBow) -> float:
    """How the force grows about a draw length of the fitted bow, N/m; 0 where it cannot be drawn a little less."""
    try:
        less = continuation.drawn(fitted.bow, fitted.rock, found.draw - A_LITTLE, start=found)
    except BowError:
        return 0.0
    return (less.force - found.force) / -A_LITTLE


@lru_cache(maxsize=8)
def own_force_slope(setup: Setup, draw: float) -> float:
    """The same about any draw length of a setup's bow; 0 where it cannot be drawn so far."""
    try:
        return force_slope(fitted_bow(setup), as_it_is(setup, draw).drawn)
    except FitError:
        return 0.0


def slope_up_to(setup: Setup, draw: float, force: float) -> float:
    """How the force grows to this one over the last of a draw, N/m, its beginning with the bolts where they stand.

    `force` is of the same setting, or the difference is of two. 0 where the bow cannot be drawn a little less.
    """
    try:
        less = foretold(setup, draw - A_LITTLE, setup.now).drawn.force
    except (FitError, PocketError):
        return 0.0
    return (force - less) / A_LITTLE


@lru_cache(maxsize=64)
def strung(setup: Setup, turns: Pair) -> BracedBow:
    """The bow strung and at rest with its bolts there.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    fitted = fitted_bow(setup)
    return bow_fit.strung(fitted.bow, setup.rock(turns), near=fitted.braced)
