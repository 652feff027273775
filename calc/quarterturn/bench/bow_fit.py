"""The reader's own bow, from what a tape and a scale can tell.

In this order (each has one reading that decides it): the string's length from the brace height; the stiffness of the
limbs against each other from the tiller; the limbs' stiffness from one weighing, or from several by least squares. Draw
force goes with stiffness where the string does not stretch, so that the last needs no search. What no reading decides
is left at its default, and named; a turn that was tried tells something of it: see `tried_turn`.

`LinearRefit` tells what a small difference in any number does to all that was found, to first order, without a new
search: for the uncertainty of what is foretold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from quarterturn.mechanics import continuation, equilibrium, linearisation
from quarterturn.mechanics.bow import Bow, BowError, BowString, BracedBow, DrawnBow, Side
from quarterturn.mechanics.limb import FAST, Limb, LimbError, StepCounts
from quarterturn.mechanics.linearisation import Linearisation
from quarterturn.mechanics.numerics import lagrange_terms, solve_linear

TAPER = 0.5
INNER_CURVATURE = 0.2  # 1/m
RECURVE_CURVATURE = -7.0  # 1/m
RECURVE = 0.17  # m, along the limb from where the curvature changes to the nock
ROOT_DISTANCE = 0.030  # m
FLUSH_ANGLE = 0.030  # rad
STIFFNESS = 34.0  # N·m², where the search begins; the answer does not depend on it
"""What is left at its default: a made-up, plausible limb (a working recurve of 68 in)."""
STEPS = (1e-4, 1e-3)
"""For derivatives: m of string, logarithm of the ratio."""
LONGEST_STRIDES = (0.02, 0.2)
"""No correction is greater than this in one round."""
CLOSE = 1e-7  # m
ROUNDS = 30
SOLVED = 5
"""So many draw lengths are solved anew for a small difference; between them it is interpolated."""
ALIKE = 1e-9
"""Stiffness is found to within this part of it, where the string stretches."""
SLOW = 0.1
"""Where a round leaves more than this part of what was off, the derivatives are taken anew."""
USUAL = (0.946, 0.935, 0.957, 0.92, 0.97)
"""The string's length as a part of both limbs and the span between their fulcrums (the default bow's, and about it)."""


class FitError(ValueError):
    """No bow of this kind gives these readings: `reading` names the one that decides, the sentence says why."""

    def __init__(self, reading: str, sentence: str) -> None:
        super().__init__(sentence)
        self.reading = reading


@dataclass(frozen=True, slots=True)
class Weighing:
    """One reading of a bow scale: at this draw from the pivot point (m), this force (N)."""

    draw: float
    force: float


@dataclass(frozen=True, slots=True)
class Deviation:
    """By how much one limb's own numbers are more than those that both have in common; nothing where limbs are alike.

    What each is, and its unit, is said at `Frame`.
    """

    limb_length: float = 0.0
    limb_depth: float = 0.0
    flush_angle: float = 0.0
    taper: float = 0.0
    inner_curvature: float = 0.0
    recurve_curvature: float = 0.0
    recurve: float = 0.0
    root_distance: float = 0.0


NONE = Deviation()


@dataclass(frozen=True, slots=True)
class Frame:
    """What does not change when a bolt is turned. Lengths in m.

    Attributes:
        fulcrum_x: from the pivot point to the fulcrums, toward the archer.
        upper_fulcrum, lower_fulcrum: from the pivot point along the riser.
        limb_length: fulcrum to the tip's nock along the limb.
        limb_depth: fulcrum to the limb's back.
        upper_part: the share of the string that is above the nocking point.
        flush_angle: how far the limb leans toward the archer when flush, rad.
        taper: the tip's share that is missing of the root's thickness, as the stiffness goes by its square.
        inner_curvature, recurve_curvature: of the unstrung limb, 1/m, toward the archer.
        recurve: length of the part that curves away from the archer, up to the nock.
        root_distance: along the limb from the fulcrum to where it begins to bend.
        stretch: how much longer the string would be for a newton, as a part of it, 1/N.
        individual: by how much the upper limb's own numbers, and the lower one's, are more than these.
    """

    fulcrum_x: float
    upper_fulcrum: float
    lower_fulcrum: float
    limb_length: float
    limb_depth: float
    upper_part: float
    flush_angle: float = FLUSH_ANGLE
    taper: float = TAPER
    inner_curvature: float = INNER_CURVATURE
    recurve_curvature: float = RECURVE_CURVATURE
    recurve: float = RECURVE
    root_distance: float = ROOT_DISTANCE
    stretch: float = 0.0
    individual: tuple[Deviation, Deviation] = (NONE, NONE)


@dataclass(frozen=True, slots=True)
class BowReadings:
    """What was read with both bolts at these rock angles (rad). Lengths in m."""

    rock: tuple[float, float]
    brace_height: float
    tiller: float
    """Upper less lower."""
    weighings: tuple[Weighing, ...]


@dataclass(frozen=True, slots=True)
class FittedBow:
    """The bow that gives these readings.

    Attributes:
        bow: limbs and string.
        frame: what was given.
        rock: as it was measured.
        ratio: stiffness of the lower limb over the upper one's.
        braced: as it was measured.
        weighed: the bow at each weighing's draw length, in their order.
        off: by what each weighing differs from the bow, N, in their order.
        jacobian: the readings that decide, by string and logarithm of the ratio.
    """

    bow: Bow
    frame: Frame
    rock: tuple[float, float]
    ratio: float
    braced: BracedBow
    weighed: tuple[DrawnBow, ...]
    off: tuple[float, ...]
    jacobian: tuple[tuple[float, ...], ...]

    @property
    def string(self) -> float:
        """The string's whole length, m."""
        return self.bow.string.upper + self.bow.string.lower


_Unknown = tuple[float, ...]
"""String (m) and logarithm of the ratio."""


def _bow(frame: Frame, unknown: _Unknown, stiffness: float) -> Bow:
    string, log_ratio = unknown
    upper = _side(frame, frame.individual[0], frame.upper_fulcrum, stiffness)
    lower = _side(frame, frame.individual[1], frame.lower_fulcrum, math.exp(log_ratio) * stiffness)
    stretches = 1 / frame.stretch if frame.stretch else None
    return Bow(upper, lower, BowString(string * frame.upper_part, string * (1 - frame.upper_part), stretches))


def _side(frame: Frame, own: Deviation, fulcrum: float, stiffness: float) -> Side:
    """One limb: what both have in common, and what it has more of its own."""
    root = frame.root_distance + own.root_distance
    length = frame.limb_length + own.limb_length - root
    depth = frame.limb_depth + own.limb_depth
    limb = Limb(
        length,
        stiffness,
        frame.taper + own.taper,
        frame.inner_curvature + own.inner_curvature,
        frame.recurve_curvature + own.recurve_curvature,
        length - (frame.recurve + own.recurve),
    )
    return Side(limb, frame.fulcrum_x, fulcrum, frame.flush_angle + own.flush_angle, depth, root, depth)


@contextmanager
def _refused_about(reading: str) -> Iterator[None]:
    """While the mechanics are asked: their refusal is about this reading."""
    try:
        yield
    except (BowError, LimbError) as error:
        raise FitError(reading, str(error)) from None


_Evaluation = tuple[BracedBow, tuple[float, ...]]
"""The bow at one set of unknowns: braced as measured, and what the readings that decide are off by."""
_Jacobian = tuple[tuple[float, ...], ...]


def _evaluate(
    frame: Frame, measured: BowReadings, unknown: _Unknown, stiffness: float, near: BracedBow | None
) -> _Evaluation:
    with _refused_about("brace_height"):
        now = equilibrium.braced(_bow(frame, unknown, stiffness), measured.rock, start=near)
    return now, (measured.brace_height - now.brace_height, measured.tiller - now.belly_tiller)


def _linearised_residuals(bow: Bow, measured: BowReadings, now: Linearisation) -> tuple[float, ...]:
    """What the readings that decide are off by, of a bow that differs a little from the one linearised about."""
    seen = linearisation.linearised_outcome(now, bow, measured.rock)
    return measured.brace_height - seen.brace_height, measured.tiller - (seen.distances[0] - seen.distances[1])


def _jacobian(frame: Frame, measured: BowReadings, unknown: _Unknown, stiffness: float, here: _Evaluation) -> _Jacobian:
    """How each reading that decides goes with each unknown: a row a reading."""
    near = linearisation.linearise(_bow(frame, unknown, stiffness), here[0])
    columns = []
    for place in range(len(unknown)):
        moved = tuple(value + STEPS[at] * (at == place) for at, value in enumerate(unknown))
        with _refused_about("brace_height"):
            there = _linearised_residuals(_bow(frame, moved, stiffness), measured, near)
        columns.append([(one - other) / STEPS[place] for one, other in zip(here[1], there, strict=True)])
    return tuple(zip(*columns, strict=True))


def _newton(
    frame: Frame, measured: BowReadings, unknown: _Unknown, stiffness: float = STIFFNESS
) -> tuple[_Unknown, BracedBow, _Jacobian]:
    """Newton's method for the readings that decide; the Jacobian, by differences, is kept while it serves."""
    here = _evaluate(frame, measured, unknown, stiffness, None)
    jacobian, taken_at = _jacobian(frame, measured, unknown, stiffness, here), unknown
    for _ in range(ROUNDS):
        now, off = here
        if max(map(abs, off)) < CLOSE:
            if unknown != taken_at:
                jacobian = _jacobian(frame, measured, unknown, stiffness, here)
            return unknown, now, jacobian
        steps = solve_linear(jacobian, off)
        if steps is None:
            break
        unknown = tuple(
            value + max(-most, min(most, step))
            for value, step, most in zip(unknown, steps, LONGEST_STRIDES, strict=True)
        )
        here = _evaluate(frame, measured, unknown, stiffness, now)
        if max(map(abs, here[1])) > SLOW * max(map(abs, off)):
            jacobian, taken_at = _jacobian(frame, measured, unknown, stiffness, here), unknown
    raise _no_bow()


def _first_newton(frame: Frame, measured: BowReadings, string: float) -> tuple[_Unknown, BracedBow, _Jacobian]:
    """From the string's length as it is given; where that leads nowhere, from what a bow of this size would have."""
    around = frame.upper_fulcrum + frame.lower_fulcrum + 2 * frame.limb_length
    for start in (string, *(share * around for share in USUAL)):
        try:
            return _newton(frame, measured, (start, 0.0))
        except FitError:
            continue
    raise _no_bow()


def _no_bow() -> FitError:
    return FitError(
        "brace_height",
        "No string and no two limbs of this shape give this brace height with this tiller. Measure brace height, both "
        "tillers and the riser again.",
    )


def fit(frame: Frame, measured: BowReadings, string: float) -> FittedBow:
    """Find the bow; `string` (m) is where the search for its length begins.

    Raises:
        FitError: no bow of this kind gives these readings.
    """
    unknown, now, jacobian = _first_newton(frame, measured, string)
    stiffness = STIFFNESS
    for _ in range(ROUNDS):
        plain = _bow(frame, unknown, stiffness)
        weighed = _weighed(plain, measured, now)
        scale = _least_squares_scale(measured.weighings, [one.force for one in weighed])
        stiffness *= scale
        if not frame.stretch or abs(scale - 1) < ALIKE:
            break
        # A string that stretches is as long as its tension makes it: found again with limbs that are as strong.
        unknown, now, jacobian = _newton(frame, measured, unknown, stiffness)
    with _refused_about("draw_weight"):
        bow = _bow(frame, unknown, stiffness)
        now = equilibrium.braced(bow, measured.rock, start=now)
        again = tuple(continuation.drawn(bow, measured.rock, one.draw, start=one) for one in weighed)
    off = tuple(one.force - drawn.force for one, drawn in zip(measured.weighings, again, strict=True))
    return FittedBow(bow, frame, measured.rock, math.exp(unknown[1]), now, again, off, jacobian)


def _weighed(bow: Bow, measured: BowReadings, braced: BracedBow) -> tuple[DrawnBow, ...]:
    """The bow at each weighing's draw length, found in the order of draw."""
    draws = sorted({one.draw for one in measured.weighings})
    with _refused_about("draw_weight"):
        found = continuation.curve(bow, measured.rock, draws, start=braced)
    at = dict(zip(draws, found, strict=True))
    return tuple(at[one.draw] for one in measured.weighings)


def _least_squares_scale(weighings: tuple[Weighing, ...], forces: Sequence[float]) -> float:
    """By what the stiffness must grow for the weighings, by least squares."""
    return math.fsum(one.force * force for one, force in zip(weighings, forces, strict=True)) / math.fsum(
        force**2 for force in forces
    )


class LinearRefit:
    """A fitted bow with which others are compared that differ a little from it, all found with the same steps."""

    def __init__(self, fitted: FittedBow, steps: StepCounts = FAST) -> None:
        self._fitted, self._steps = fitted, steps
        self._now = self._linearised(fitted.braced)
        self._weighed: dict[float, Linearisation] = {}

    def _linearised(self, found: BracedBow | DrawnBow) -> Linearisation:
        """The bow as it was found, ready for linearised outcomes."""
        return linearisation.linearise(self._fitted.bow, found, steps=self._steps)

    def refit(self, frame: Frame, measured: BowReadings) -> Bow:
        """The bow of a frame and readings that differ a little from those that were fitted, to first order.

        The search is one step with the derivatives that are known.

        Raises:
            FitError: where even so near there is no bow.
        """
        fitted = self._fitted
        unknown: _Unknown = (fitted.string, math.log(fitted.ratio))
        stiffness = fitted.bow.upper.limb.stiffness
        with _refused_about("brace_height"):
            moves = solve_linear(
                fitted.jacobian, _linearised_residuals(_bow(frame, unknown, stiffness), measured, self._now)
            )
            if moves is None:
                raise _no_bow()
            moved = tuple(value + move for value, move in zip(unknown, moves, strict=True))
            bow = _bow(frame, moved, stiffness)
        return _bow(frame, moved, stiffness * _least_squares_scale(measured.weighings, self._forces(bow, measured)))

    def _forces(self, bow: Bow, measured: BowReadings) -> list[float]:
        """The force at each weighing's draw length, of a bow that differs a little from the fitted one.

        Where there are many draw lengths, a few are solved: by how much the forces differ goes smoothly with the draw.
        """
        at = {one.draw: found for one, found in zip(measured.weighings, self._fitted.weighed, strict=True)}
        draws = sorted(at)
        picked = sorted({round(place * (len(draws) - 1) / (SOLVED - 1)) for place in range(SOLVED)})
        ratios = {}
        with _refused_about("draw_weight"):
            for draw in (draws[place] for place in picked):
                found = at[draw]
                if found.draw not in self._weighed:
                    self._weighed[found.draw] = self._linearised(found)
                seen = linearisation.linearised_outcome(self._weighed[found.draw], bow, measured.rock, draw=draw)
                ratios[draw] = seen.force / found.force
        nodes, known = tuple(ratios), tuple(ratios.values())
        return [
            at[one.draw].force * (ratios.get(one.draw) or math.fsum(lagrange_terms(nodes, known, one.draw)))
            for one in measured.weighings
        ]


@dataclass(frozen=True, slots=True)
class TurnedBow:
    """The bow with its bolts at other rock angles, the string as it is."""

    braced: BracedBow
    drawn: DrawnBow


def turned(fitted: FittedBow, rock: tuple[float, float], draw: float, *, near: TurnedBow | None = None) -> TurnedBow:
    """Foretell brace height, tiller and draw force (draw from the pivot point, m) at these rock angles (rad).

    `near` is the bow at rock angles and a draw that differ little, where that is known: it is quicker.

    Raises:
        FitError: where the bow has no answer there.
    """
    near = near or TurnedBow(fitted.braced, fitted.weighed[0])
    with _refused_about("turns"):
        braced = equilibrium.braced(fitted.bow, rock, start=near.braced)
        return TurnedBow(braced, continuation.drawn(fitted.bow, rock, draw, start=near.drawn))


def strung(bow: Bow, rock: tuple[float, float], *, near: BracedBow) -> BracedBow:
    """The bow strung and at rest at these rock angles (rad); `near` is one that differs little.

    Raises:
        FitError: where the bow has no answer there.
    """
    with _refused_about("turns"):
        return equilibrium.braced(bow, rock, start=near)


def string_for(fitted: FittedBow, rock: tuple[float, float], brace_height: float) -> float:
    """The length of string (m) that gives this brace height at these rock angles, all else as it is.

    Raises:
        FitError: no such string.
    """
    length, near = fitted.string, strung(fitted.bow, rock, near=fitted.braced)
    slope = fitted.jacobian[0][0]
    for _ in range(ROUNDS):
        off = brace_height - near.brace_height
        if abs(off) < CLOSE:
            return length
        length += off / slope
        share = fitted.frame.upper_part
        with _refused_about("brace_height"):
            parts = replace(fitted.bow.string, upper=length * share, lower=length * (1 - share))
        bow = replace(fitted.bow, string=parts)
        near = strung(bow, rock, near=near)
    raise FitError("brace_height", "No string gives this brace height with the bolts there.")
