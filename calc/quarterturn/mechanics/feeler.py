"""What a feeler sees of a limb in its pocket: gaps between head and limb, and how far a thin strip goes in.

Frame, symbols and source as in mechanics/pocket.py.
"""

import math

from quarterturn.mechanics.contact import Contact, contact, rock_angle
from quarterturn.mechanics.numerics import bisect, newton_in_bracket
from quarterturn.mechanics.pocket import (
    LONGEST,
    ContactState,
    Pocket,
    PocketError,
    back_height,
    bearing_height,
    bearing_x,
    coverage,
    held_by_fitting,
    innermost_angle,
    outermost_angle,
)

NO_WIDER = 1e-9  # relative: a gap wider than the strip by less than this is as wide as the strip
STEEPEST = math.pi / 4  # rad, the farthest a limb is followed past flush when looking for a gap


def _check_strip(strip: float) -> None:
    if not 0 < strip <= LONGEST:
        raise PocketError("strip", "The strip's thickness must be more than 0 and at most 10 m.")


def gap_at_rim(pocket: Pocket, turns: float) -> float | None:
    """Return head to limb at the rim on the limb-tip side, x = +Re, along the bolt, m; None where no limb is there."""
    return _rim_gap(pocket, contact(pocket, turns))


def _rim_gap(pocket: Pocket, found: Contact) -> float | None:
    if found.state is ContactState.OFF_HEAD or found.contact_x is None:
        return None
    if found.state is ContactState.OUT_OF_REACH:
        return found.head_height - back_height(pocket, found.rock_angle, pocket.rim_reach)
    return _wedge(pocket, found.rock_angle, found.contact_x)


def gap_at_butt(pocket: Pocket, turns: float) -> float | None:
    """Return head to limb at the butt end or the head's edge, x = max(−Re, Cx), m; None where no limb is there."""
    return _butt_gap(pocket, contact(pocket, turns))


def _butt_gap(pocket: Pocket, found: Contact) -> float | None:
    if found.state is ContactState.OFF_HEAD:
        return None
    if found.state is ContactState.RIM:
        return _wedge(pocket, found.rock_angle, bearing_x(pocket, found.rock_angle))
    return found.gap or 0.0


def gaps(pocket: Pocket, turns: float) -> tuple[Contact, float | None, float | None]:
    """Return contact and the gaps at the rim and at the butt (m) at once; raises as `contact`."""
    found = contact(pocket, turns)
    return found, _rim_gap(pocket, found), _butt_gap(pocket, found)


def _wedge(pocket: Pocket, angle: float, x: float) -> float:
    """Return the opening, at one of x and +Re, of a limb that touches the head at the other one."""
    return abs((pocket.rim_reach - x) * math.tan(angle))


def strip_reach(pocket: Pocket, turns: float, strip: float, side: str) -> float | None:
    """Return how far a strip of this thickness (m) goes in between head and limb, along x from where it is offered, m.

    `side` is "rim" (offered at x = +Re and pushed toward the butt) or "butt" (offered at x = max(−Re, Cx) and pushed
    toward the tip). The limb's back is straight, so the gap closes evenly and the strip stops where it is as wide as
    the strip; it goes through the whole overlap where it is nowhere so narrow. None where no limb is under the head.

    Raises:
        PocketError: as `contact`, or where the strip is no thickness.
        ValueError: side is neither "rim" nor "butt".
    """
    _check_strip(strip)
    _check_side(side)
    gap = gap_at_rim(pocket, turns) if side == "rim" else gap_at_butt(pocket, turns)
    return None if gap is None else _reach(pocket, rock_angle(pocket, turns), gap, strip, side)


def _check_side(side: str) -> None:
    if side not in ("rim", "butt"):
        raise ValueError(f'side must be "rim" or "butt": {side!r}')


def _reach(pocket: Pocket, angle: float, gap: float, strip: float, side: str) -> float:
    """How far a strip goes in where the gap is so wide at its side, m."""
    if gap <= strip * (1 + NO_WIDER):
        return 0.0
    overlap = pocket.rim_reach - bearing_x(pocket, angle)
    closing = math.tan(angle) if side == "rim" else -math.tan(angle)
    return overlap if closing <= 0 else min(overlap, (gap - strip) / closing)


def strip_reach_of_slack_limb(pocket: Pocket, turns: float, rest: float, strip: float, side: str) -> float | None:
    """Return how far a strip goes in while nothing presses the limb outward, as `strip_reach`, m.

    The limb lies at its angle of rest (rad) in the pocket, or where the head pushes it farther in.

    Raises:
        PocketError, ValueError: as `strip_reach`.
    """
    _check_strip(strip)
    _check_side(side)
    if rock_angle(pocket, turns) <= rest:
        return strip_reach(pocket, turns, strip, side)
    gap = pocket.pitch * turns - back_height(pocket, rest, _place(pocket, rest, side))
    return _reach(pocket, rest, gap, strip, side)


def slack_limb_stops(pocket: Pocket, rest: float, strip: float, side: str) -> float:
    """Return the turns from flush where a strip (m) stops, turning in, while the limb lies at its angle of rest (rad).

    Raises:
        PocketError: where the strip is no thickness.
    """
    _check_strip(strip)
    _check_side(side)
    return (back_height(pocket, rest, _place(pocket, rest, side)) + strip) / pocket.pitch


def _place(pocket: Pocket, angle: float, side: str) -> float:
    """Where a strip is offered, x in m."""
    return pocket.rim_reach if side == "rim" else bearing_x(pocket, angle)


def touch_seen_from_outside(pocket: Pocket, strip: float) -> float:
    """Return how many turns before first touch a strip of this thickness (m) stops going in at the butt end: τ/p."""
    _check_strip(strip)
    return strip / pocket.pitch


def flush_seen_from_outside(pocket: Pocket, strip: float) -> float:
    """Return the turns outside flush where a strip of this thickness (m) stops going in at the rim.

    Where the gap at the rim is still less than the strip at first touch, the strip stops farther out, while the
    fitting holds the limb: that count (beyond first touch) is returned, and such a strip can tell nothing about flush.
    Raises PocketError where the butt leaves the head before the gap has ever been as wide as the strip.
    """
    _check_strip(strip)
    outermost = outermost_angle(pocket)
    if held_by_fitting(pocket) and _opening(pocket, outermost, 1)[0] < strip:
        return (back_height(pocket, outermost, pocket.rim_reach) + strip) / pocket.pitch
    angle = _angle_where_open(pocket, strip, outermost, 1)
    if angle is None:
        raise PocketError(
            "strip",
            "The butt leaves the head before the gap at the rim is as wide as the strip: the strip must be thinner.",
        )
    return bearing_height(pocket, angle) / pocket.pitch


def flush_seen_from_inside(pocket: Pocket, strip: float) -> float:
    """Return how many turns inside flush (a positive number) a strip of this thickness (m) stops at the butt end.

    Raises PocketError where the gap at the butt end never opens so wide within 45 degrees of rock.
    """
    _check_strip(strip)
    farthest = min(STEEPEST, -innermost_angle(pocket))
    angle = _angle_where_open(pocket, strip, farthest, -1)
    if angle is None:
        raise PocketError(
            "strip",
            "Turned in past flush, the gap at the butt end never opens as wide as the strip: the strip must be"
            " thinner.",
        )
    return -back_height(pocket, -angle, pocket.rim_reach) / pocket.pitch


def _opening(pocket: Pocket, tilt: float, side: int) -> tuple[float, float]:
    """Return the gap (Re + min(Re, c))·tan ψ at the open end of the wedge, and its slope, at φ = side·ψ, ψ ≥ 0."""
    reach, covered = pocket.rim_reach, coverage(pocket, side * tilt)
    slope = -pocket.butt_length * math.sin(tilt) - side * pocket.limb_depth * math.cos(tilt)
    overlap, change = (2 * reach, 0.0) if covered > reach else (reach + covered, slope)
    tangent = math.tan(tilt)
    return overlap * tangent, overlap * (1 + tangent**2) + change * tangent


def _angle_where_open(pocket: Pocket, strip: float, farthest: float, side: int) -> float | None:
    """Return the first ψ up to the farthest where the opening is as wide as the strip; None where it never is.

    The opening rises to one peak and falls after it: outside flush it is convex and rising as long as the butt covers
    the whole head, then concave; inside flush its logarithm is concave up to 45 degrees.
    """
    narrow, wide = 0.0, min(farthest, strip / (2 * pocket.rim_reach))
    while (at_wide := _opening(pocket, wide, side))[0] < strip:
        if at_wide[1] < 0:  # past the peak
            wide = bisect(lambda tilt: -_opening(pocket, tilt, side)[1], narrow, wide)
            at_wide = _opening(pocket, wide, side)
            if at_wide[0] < strip:
                return None
            break
        if wide >= farthest:
            return None
        narrow, wide = wide, min(farthest, 2 * wide)

    def excess(tilt: float) -> tuple[float, float]:
        width, slope = _opening(pocket, tilt, side)
        return width - strip, slope

    # The opening grows almost evenly with the tilt: a first guess that is close to the root.
    found = newton_in_bracket(excess, narrow, wide, wide * strip / at_wide[0])
    return bisect(lambda tilt: excess(tilt)[0], narrow, wide) if found is None else found
