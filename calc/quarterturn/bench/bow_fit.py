"""The reader's own bow, from what a tape and a scale can tell.

In this order (each has one reading that decides it): the string's length from the brace height; the stiffness of the
limbs against each other from the tiller; their stiffness from one weighing, or from several by least squares. Draw
force goes with stiffness where the string does not stretch, so that the last needs no search. What no reading decides
is left at its default, and named.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.mechanics import bow as bows
from quarterturn.mechanics.bow import Bow, BowError, BowString, Braced, Drawn, Side
from quarterturn.mechanics.limb import Limb, LimbError

TAPER = 0.5
INNER_CURVATURE = 0.2  # 1/m
RECURVE_CURVATURE = -7.0  # 1/m
RECURVE = 0.17  # m, along the limb from where the curvature changes to the nock
ROOT_DISTANCE = 0.030  # m
FLUSH_ANGLE = 0.030  # rad
STIFFNESS = 34.0  # N·m², where the search begins; the answer does not depend on it
"""What is left at its default: a made-up, plausible limb (a working recurve of 68 in)."""
STRING_STEP = 1e-4  # m
RATIO_STEP = 1e-3
CLOSE = 1e-7  # m
ROUNDS = 20
LONGEST_CORRECTION = 0.02  # m of string
LARGEST_CORRECTION = 0.2  # of the logarithm of the ratio


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
class Frame:
    """What does not change when a bolt is turned. Lengths in m.

    Attributes:
        fulcrum_x: from the pivot point to the fulcrums, toward the archer.
        upper_fulcrum, lower_fulcrum: from the pivot point along the riser.
        limb_length: fulcrum to the tip's nock along the limb.
        limb_depth: fulcrum to the limb's back.
        upper_part: the share of the string that is above the nocking point.
        flush_angle: how far the limb leans toward the archer when flush, rad.
    """

    fulcrum_x: float
    upper_fulcrum: float
    lower_fulcrum: float
    limb_length: float
    limb_depth: float
    upper_part: float
    flush_angle: float = FLUSH_ANGLE


@dataclass(frozen=True, slots=True)
class Measured:
    """What was read with both bolts at these rock angles (rad). Lengths in m."""

    rock: tuple[float, float]
    brace_height: float
    tiller: float
    """Upper less lower."""
    weighings: tuple[Weighing, ...]


@dataclass(frozen=True, slots=True)
class Fitted:
    """The bow that gives these readings.

    Attributes:
        bow: limbs and string.
        ratio: stiffness of the lower limb over the upper one's.
        braced: as it was measured.
        off: by what each weighing differs from the bow, N, in their order.
    """

    bow: Bow
    frame: Frame
    rock: tuple[float, float]
    ratio: float
    braced: Braced
    off: tuple[float, ...]


def _bow(frame: Frame, string: float, ratio: float, stiffness: float) -> Bow:
    length = frame.limb_length - ROOT_DISTANCE

    def side(fulcrum: float, ei: float) -> Side:
        limb = Limb(length, ei, TAPER, INNER_CURVATURE, RECURVE_CURVATURE, length - RECURVE)
        return Side(
            limb,
            fulcrum_x=frame.fulcrum_x,
            fulcrum_y=fulcrum,
            flush_angle=frame.flush_angle,
            line_offset=frame.limb_depth,
            root_distance=ROOT_DISTANCE,
            depth=frame.limb_depth,
        )

    upper = side(frame.upper_fulcrum, stiffness)
    lower = side(frame.lower_fulcrum, ratio * stiffness)
    return Bow(upper, lower, BowString(string * frame.upper_part, string * (1 - frame.upper_part)))


def fit(frame: Frame, measured: Measured, string: float) -> Fitted:
    """Find the bow; `string` (m) is where the search for its length begins.

    Raises:
        FitError: no bow of this kind gives these readings.
    """
    length, ratio = _string_and_ratio(frame, measured, string)
    plain = _bow(frame, length, ratio, STIFFNESS)
    scale = _scale(plain, measured)
    bow = _bow(frame, length, ratio, scale * STIFFNESS)
    try:
        found = bows.braced(bow, measured.rock)
        off = tuple(one.force - bows.drawn(bow, measured.rock, one.draw).force for one in measured.weighings)
    except (BowError, LimbError) as error:
        raise FitError("draw_weight", str(error)) from None
    return Fitted(bow, frame, measured.rock, ratio, found, off)


def _string_and_ratio(frame: Frame, measured: Measured, string: float) -> tuple[float, float]:
    """Newton's rule for brace height and tiller, the derivatives by differences."""
    log_ratio, near = 0.0, None
    for _ in range(ROUNDS):
        now = near = _braced(frame, string, log_ratio, measured.rock, near)
        off = (measured.brace_height - now.brace_height, measured.tiller - now.belly_tiller)
        if max(map(abs, off)) < CLOSE:
            return string, math.exp(log_ratio)
        by_string = _braced(frame, string + STRING_STEP, log_ratio, measured.rock, now)
        by_ratio = _braced(frame, string, log_ratio + RATIO_STEP, measured.rock, now)
        a, c = _slopes(now, by_string, STRING_STEP)
        b, d = _slopes(now, by_ratio, RATIO_STEP)
        det = a * d - b * c
        if not det:
            break
        more, turned = (off[0] * d - off[1] * b) / det, (a * off[1] - c * off[0]) / det
        string += max(-LONGEST_CORRECTION, min(LONGEST_CORRECTION, more))
        log_ratio += max(-LARGEST_CORRECTION, min(LARGEST_CORRECTION, turned))
    raise FitError(
        "brace_height",
        "No string and no two limbs of this shape give this brace height with this tiller. Measure brace height, both "
        "tillers and the riser again.",
    )


def _slopes(now: Braced, then: Braced, step: float) -> tuple[float, float]:
    return (then.brace_height - now.brace_height) / step, (then.belly_tiller - now.belly_tiller) / step


def _braced(frame: Frame, string: float, log_ratio: float, rock: tuple[float, float], near: Braced | None) -> Braced:
    try:
        return bows.braced(_bow(frame, string, math.exp(log_ratio), STIFFNESS), rock, start=near)
    except (BowError, LimbError) as error:
        raise FitError("brace_height", str(error)) from None


def _scale(bow: Bow, measured: Measured) -> float:
    """By what the stiffness must grow for the weighings, by least squares."""
    try:
        forces = [bows.drawn(bow, measured.rock, one.draw).force for one in measured.weighings]
    except (BowError, LimbError) as error:
        raise FitError("draw_weight", str(error)) from None
    return math.fsum(one.force * f for one, f in zip(measured.weighings, forces, strict=True)) / math.fsum(
        f * f for f in forces
    )


@dataclass(frozen=True, slots=True)
class Turned:
    """The bow with its bolts at other rock angles, the string as it is."""

    braced: Braced
    drawn: Drawn


def turned(fitted: Fitted, rock: tuple[float, float], draw: float) -> Turned:
    """Foretell brace height, tiller and draw force (draw from the pivot point, m) at these rock angles (rad).

    Raises:
        FitError: where the bow has no answer there.
    """
    try:
        return Turned(bows.braced(fitted.bow, rock), bows.drawn(fitted.bow, rock, draw))
    except (BowError, LimbError) as error:
        raise FitError("turns", str(error)) from None
