"""How one limb lies in its pocket at a turn count: where it touches the limb bolt, and how far it has rocked.

Frame, symbols and source as in mechanics/pocket.py.
"""

import math
from dataclasses import dataclass, replace

from quarterturn.mechanics.pocket import (
    ContactState,
    Pocket,
    PocketError,
    angle_of_back,
    angle_of_corner,
    angle_of_coverage,
    back_height,
    bearing_height,
    bearing_x,
    butt_corner,
    coverage,
    held_by_fitting,
    innermost_angle,
    innermost_height,
    leaving_angle,
    outermost_angle,
)

AT_FLUSH = 1e-12  # turns: nearer to flush than this is flush
SAME = 1e-12  # relative: heights nearer than this are the same height


@dataclass(frozen=True, slots=True)
class Contact:
    """How the limb lies at one turn count."""

    turns: float
    """u, from flush, positive outward."""
    state: ContactState
    rock_angle: float
    """φ, rad."""
    head_height: float
    """h = p·u, m."""
    contact_x: float | None
    """Where the head bears, m; the nearest place when out of reach; None when the butt is off the head."""
    coverage: float
    """c: how far the butt reaches past the bolt axis, m."""
    gap: float | None
    """Head to limb at contact_x, along the bolt, m; only when out of reach."""


def _check_turns(turns: float) -> None:
    if not math.isfinite(turns):
        raise PocketError("turns", "The turns from flush must be a finite number.")


def _check_followed(pocket: Pocket, height: float) -> None:
    """Refuse a head so far in that the rim has passed under the fulcrum and can push the limb no farther."""
    if pocket.fulcrum_arm - pocket.rim_reach > pocket.limb_depth:
        return
    deepest = innermost_height(pocket)
    if height < deepest - SAME * pocket.limb_depth:
        raise PocketError(
            "turns",
            "With these dimensions the head's rim can rock the limb no farther than"
            f" {-deepest / pocket.pitch:.6g} turns inside flush. The turns must not be fewer.",
        )


def _state(pocket: Pocket, turns: float) -> ContactState:
    height = pocket.pitch * turns
    if abs(turns) <= AT_FLUSH:
        return ContactState.FLUSH
    return _state_inside(pocket, height) if turns < 0 else _state_outside(pocket, height)


def _state_inside(pocket: Pocket, height: float) -> ContactState:
    _check_followed(pocket, height)
    lever = pocket.fulcrum_arm - pocket.rim_reach
    if lever > pocket.limb_depth and height <= innermost_height(pocket):
        return ContactState.OFF_HEAD
    return ContactState.RIM


def _state_outside(pocket: Pocket, height: float) -> ContactState:
    highest = bearing_height(pocket, outermost_angle(pocket))
    if held_by_fitting(pocket):
        if height > highest * (1 + SAME):
            return ContactState.OUT_OF_REACH
    elif height >= highest * (1 - SAME):
        return ContactState.OFF_HEAD
    reach = pocket.rim_reach
    over = pocket.coverage_at_flush > reach and coverage(pocket, angle_of_back(pocket, height, -reach)) > reach
    return ContactState.EDGE if over else ContactState.BUTT


def _angle(pocket: Pocket, state: ContactState, height: float) -> float:
    if state is ContactState.FLUSH:
        return 0.0
    if state is ContactState.RIM:
        return angle_of_back(pocket, height, pocket.rim_reach)
    if state is ContactState.EDGE:
        return min(angle_of_back(pocket, height, -pocket.rim_reach), pocket.fitting_angle)
    if state is ContactState.BUTT:
        return min(angle_of_corner(pocket, height), pocket.fitting_angle)
    return pocket.fitting_angle


def rock_angle(pocket: Pocket, turns: float) -> float:
    """Return φ at this turn count, rad: strictly increasing while in contact, φs where there is none."""
    _check_turns(turns)
    return _angle(pocket, _state(pocket, turns), pocket.pitch * turns)


def contact(pocket: Pocket, turns: float) -> Contact:
    """Return how the limb lies when the bolt stands at this turn count from flush.

    Raises PocketError where the turns are not finite, or so far inside flush that the head's rim has passed under the
    fulcrum and can rock the limb no farther (only where the limb is deeper than the rim is far from the fulcrum).
    """
    _check_turns(turns)
    state = _state(pocket, turns)
    height = pocket.pitch * turns
    angle = _angle(pocket, state, height)
    place = _contact_x(pocket, state, angle)
    gap = height - bearing_height(pocket, angle) if state is ContactState.OUT_OF_REACH else None
    return Contact(turns, state, angle, height, place, coverage(pocket, angle), gap)


def _contact_x(pocket: Pocket, state: ContactState, angle: float) -> float | None:
    if state is ContactState.OFF_HEAD:
        return None
    if state is ContactState.FLUSH:
        return flush_centroid(pocket)
    if state is ContactState.RIM:
        return pocket.rim_reach
    return bearing_x(pocket, angle)


# Gauss-Legendre points and weights on −1..1, twelve points (Abramowitz & Stegun, table 25.4), half of each pair
_GAUSS = (
    (0.1252334085114689, 0.2491470458134028),
    (0.3678314989981802, 0.2334925365383548),
    (0.5873179542866175, 0.2031674267230659),
    (0.7699026741943047, 0.1600783285433462),
    (0.9041172563704749, 0.1069393259953184),
    (0.9815606342467193, 0.0471753363865118),
)


def flush_centroid(pocket: Pocket) -> float:
    """Return x of the centroid of head and limb's overlap when flush, where uniform pressure acts, m.

    The overlap is the head's disc less the slot, from the butt end (or the head's edge) to the far rim. With
    x = R·sin s the strip's width less the slot is 2R(cos s − cos e), s = e at the rim; the integrals over s keep
    their digits for the thinnest overlap.
    """
    radius, reach = pocket.head_radius, pocket.rim_reach
    start = math.asin(max(-reach, -pocket.coverage_at_flush) / radius)
    end = math.asin(reach / radius)
    middle, half = (start + end) / 2, (end - start) / 2
    area = moment = 0.0
    for point, weight in _GAUSS:
        for s in (middle - half * point, middle + half * point):
            strip = weight * math.sin((end + s) / 2) * math.sin((end - s) / 2) * math.cos(s)
            area += strip
            moment += strip * 2 * math.cos((end + s) / 2) * math.sin((end - s) / 2)
    return reach - radius * moment / area


# Turn counts where something happens


def first_touch(pocket: Pocket) -> float | None:
    """Return the turns where, coming in from outside, the head first meets the limb held by the pocket's fitting.

    None where the butt is off the head at the fitting's angle, so that there is nothing to touch. Otherwise more
    than 0, because a Pocket has a fitting angle of more than 0.
    """
    if not held_by_fitting(pocket):
        return None
    return bearing_height(pocket, pocket.fitting_angle) / pocket.pitch


def butt_leaves_head(pocket: Pocket) -> float | None:
    """Return the turns, backing out, where the butt end slips off the head's far rim (c = −Re).

    None where the fitting stops the limb first: exactly one of this and `first_touch` is a number.
    """
    if held_by_fitting(pocket):
        return None
    return bearing_height(pocket, leaving_angle(pocket)) / pocket.pitch


def coverage_lost(pocket: Pocket) -> float | None:
    """Return the turns, backing out, where the butt end comes over the bolt axis (c = 0), whatever the fitting allows.

    More than 0 where the butt covers the axis at flush; 0 where it ends there; less than 0 where it ends short of the
    axis at flush and would cover it only farther in. None where it covers the axis nowhere: **no coverage at all, not
    freedom from a limit**. Ask `coverage_at_flush` first.
    """
    angle = angle_of_coverage(pocket, 0.0)
    if angle is None or angle < innermost_angle(pocket):
        return None
    if angle < 0:
        return back_height(pocket, angle, pocket.rim_reach) / pocket.pitch
    return butt_corner(pocket, angle)[1] / pocket.pitch


# The other way round


def fitting_angle_for_touch(pocket: Pocket, turns: float) -> float:
    """Return the fitting angle φs, rad, that puts first touch at this turn count; the pocket's own one has no part.

    Raises PocketError where first touch cannot come there: at or inside flush, or after the butt has left the head.
    """
    _check_turns(turns)
    height = pocket.pitch * turns
    if turns <= AT_FLUSH:
        raise PocketError("turns", "First touch must come outside flush: its turns must be more than 0.")
    leaving = bearing_height(pocket, leaving_angle(pocket))
    if height >= leaving * (1 - SAME):
        raise PocketError(
            "turns",
            "The butt leaves the head before that first touch: its turns must be fewer than"
            f" {math.floor(100 * leaving / pocket.pitch) / 100:g}.",
        )
    free = replace(pocket, fitting_angle=math.nextafter(math.pi / 2, 0))
    return _angle(free, _state_outside(free, height), height)


def pocket_from_touch(dimensions: Pocket, turns: float) -> Pocket:
    """Return the same pocket with the fitting angle that puts first touch at this turn count."""
    return replace(dimensions, fitting_angle=fitting_angle_for_touch(dimensions, turns))


def with_fitting_angle(dimensions: Pocket, angle: float) -> Pocket:
    """Return the same pocket with this fitting angle φs, rad.

    Raises PocketError where the angle is not more than 0 and less than a right angle.
    """
    return replace(dimensions, fitting_angle=angle)
