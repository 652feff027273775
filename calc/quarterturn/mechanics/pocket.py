"""One limb in its pocket, seen from the side: where it touches the limb bolt, and how far it has rocked.

The limb rocks on a **fulcrum** near the mouth of the pocket; its **butt** bears against the flat underside of the
**limb bolt**'s head. The frame: y is the bolt axis, positive the way the head travels when the bolt is backed out;
x is square to it, positive toward the limb tip; the origin is on the bolt axis at the head's underside in the
**flush** position. Turns are counted from flush, positive outward. Angles are in radians and positive when the butt
has lifted; lengths are in metres.

Rigid head, rigid butt, limb pressed outward. The slot's closed end is taken to lie at x ≥ head radius, and a floor of
the pocket (a lower stop of the rock angle) is not modelled.

Source: statics of two rigid bodies; every formula follows from the fulcrum F = (a, −t), the foot of the perpendicular
Q = F + t·(sin φ, cos φ) and the butt corner C = Q − b·(cos φ, −sin φ). The heights and coverages are written with
half angles so that they keep their digits near flush.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from quarterturn.mechanics.numerics import bisect, newton_in_bracket

SHORTEST = 1e-6  # m, the least length that is taken for a dimension
LONGEST = 10.0  # m, the greatest
AT_FLUSH = 1e-12  # turns: nearer to flush than this is flush
NO_WIDER = 1e-9  # relative: a gap wider than the strip by less than this is as wide as the strip
SAME = 1e-12  # relative: heights nearer than this are the same height
STEEPEST = math.pi / 4  # rad, the farthest a limb is followed past flush when looking for a gap

_LENGTHS = ("fulcrum_arm", "limb_depth", "butt_length", "head_radius", "pitch")


class PocketError(ValueError):
    """Dimensions or a question that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


class ContactState(StrEnum):
    """Where the limb bears on the bolt's head."""

    BUTT = "butt"
    """The butt end on the head's flat (outside flush)."""
    EDGE = "edge"
    """The head's edge on the limb's back, because the butt reaches past the head (outside flush)."""
    FLUSH = "flush"
    """The limb's back flat on the head over their whole overlap."""
    RIM = "rim"
    """The head's rim on the limb-tip side (inside flush)."""
    OUT_OF_REACH = "out_of_reach"
    """No contact: the pocket's fitting holds the limb and the head is farther out."""
    OFF_HEAD = "off_head"
    """No contact: the butt end is no longer under the head."""


@dataclass(frozen=True, slots=True)
class Pocket:
    """The dimensions of one pocket with its limb and bolt.

    Raises PocketError where a dimension is not a number, is outside 0.001 mm to 10 m, or contradicts another one.
    """

    fulcrum_arm: float
    """a: fulcrum to bolt axis, along x, m."""
    limb_depth: float
    """t: fulcrum to the limb's back surface, square to it, m."""
    butt_length: float
    """b: butt end to the foot of that perpendicular, along the back surface, m."""
    head_radius: float
    """R: radius of the head's flat underside, m."""
    slot_half_width: float
    """w: half the width of the limb's slot, m; 0 for none."""
    pitch: float
    """p: rise of the head in one turn, m."""
    fitting_angle: float
    """φs: the largest rock angle that the pocket's own fitting allows, rad."""

    def __post_init__(self) -> None:
        for name in _LENGTHS:
            _check_length(name, getattr(self, name))
        _check_slot(self)
        _check_reach(self)
        _check_fitting_angle(self.fitting_angle)

    @property
    def rim_reach(self) -> float:
        """Re = √(R² − w²): where the head's rim ends over the limb's two prongs, along x, m."""
        return math.sqrt((self.head_radius - self.slot_half_width) * (self.head_radius + self.slot_half_width))

    @property
    def coverage_at_flush(self) -> float:
        """c0 = b − a: how far the butt reaches past the bolt axis when flush, m."""
        return self.butt_length - self.fulcrum_arm


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


# Checks of what came in


def _millimetres(length: float) -> str:
    return f"{length * 1000:.6g} mm"


def _check_length(name: str, value: float) -> None:
    if not SHORTEST <= value <= LONGEST:  # false for NaN too
        words = name.replace("_", " ").capitalize()
        raise PocketError(name, f"{words} must be a length from 0.001 mm to 10 m.")


def _check_slot(pocket: Pocket) -> None:
    if not 0 <= pocket.slot_half_width < pocket.head_radius:
        raise PocketError(
            "slot_half_width",
            "The slot must be narrower than the bolt's head: half its width must be from 0 to less than the head"
            f" radius of {_millimetres(pocket.head_radius)}.",
        )


def _check_reach(pocket: Pocket) -> None:
    if pocket.fulcrum_arm <= pocket.head_radius:
        raise PocketError(
            "fulcrum_arm",
            "The fulcrum must lie outside the bolt's head: its distance from the bolt axis must be more than the head"
            f" radius of {_millimetres(pocket.head_radius)}.",
        )
    shortest = pocket.fulcrum_arm - pocket.rim_reach
    if pocket.butt_length <= shortest:
        raise PocketError(
            "butt_length",
            "The butt does not reach the bolt's head: from fulcrum to butt end must be more than"
            f" {_millimetres(shortest)}.",
        )


def _check_fitting_angle(angle: float) -> None:
    if not 0 < angle < math.pi / 2:
        raise PocketError(
            "fitting_angle",
            "The free rock of the limb must be more than 0 and less than 90 degrees: at 0 or less, first touch would"
            " come at or inside flush.",
        )


def _check_turns(turns: float) -> None:
    if not math.isfinite(turns):
        raise PocketError("turns", "The turns from flush must be a finite number.")


def _check_strip(strip: float) -> None:
    if not 0 < strip <= LONGEST:
        raise PocketError("strip", "The strip's thickness must be more than 0 and at most 10 m.")


# The limb at a given rock angle


def _versine(angle: float) -> float:
    return 2 * math.sin(angle / 2) ** 2


def coverage(pocket: Pocket, angle: float) -> float:
    """Return c(φ) = b·cos φ − t·sin φ − a, how far the butt reaches past the bolt axis, m."""
    lost = pocket.butt_length * _versine(angle) + pocket.limb_depth * math.sin(angle)
    return pocket.coverage_at_flush - lost


def butt_corner(pocket: Pocket, angle: float) -> tuple[float, float]:
    """Return the corner of butt end and back surface, (Cx, Cy), m."""
    rise = pocket.butt_length * math.sin(angle) - pocket.limb_depth * _versine(angle)
    return -coverage(pocket, angle), rise


def back_height(pocket: Pocket, angle: float, x: float) -> float:
    """Return y(x), the height of the limb's back surface (prolonged where it has ended) over x, m."""
    lever = pocket.fulcrum_arm - x
    return (pocket.limb_depth * _versine(angle) + lever * math.sin(angle)) / math.cos(angle)


def _bearing_x(pocket: Pocket, angle: float) -> float:
    """Return the place nearest the butt where head and limb overlap: the butt end, or the head's edge."""
    return max(-pocket.rim_reach, -coverage(pocket, angle))


def _bearing_height(pocket: Pocket, angle: float) -> float:
    """Return the height of the head that holds the limb at this angle φ ≥ 0."""
    if coverage(pocket, angle) > pocket.rim_reach:
        return back_height(pocket, angle, -pocket.rim_reach)
    return butt_corner(pocket, angle)[1]


def _on_head(pocket: Pocket, angle: float) -> bool:
    return coverage(pocket, angle) > -pocket.rim_reach


# The rock angle at a given height or coverage, in closed form with T = tan(φ/2)


def _angle_of_back(pocket: Pocket, height: float, x: float) -> float:
    """Return φ where y(x) = h: (h + 2t)T² + 2(a − x)T − h = 0."""
    lever = pocket.fulcrum_arm - x
    square = max(0.0, lever**2 + height * (height + 2 * pocket.limb_depth))
    return 2 * math.atan(height / (lever + math.sqrt(square)))


def _angle_of_corner(pocket: Pocket, height: float) -> float:
    """Return φ where Cy = h: (h + 2t)T² − 2bT + h = 0."""
    square = max(0.0, pocket.butt_length**2 - height * (height + 2 * pocket.limb_depth))
    return 2 * math.atan(height / (pocket.butt_length + math.sqrt(square)))


def _coverage_root(pocket: Pocket, wanted: float) -> float | None:
    """Return √(t² + b² − (a + c)²), or None where the butt never covers that much."""
    arm = pocket.fulcrum_arm + wanted
    square = pocket.limb_depth**2 + (pocket.butt_length - arm) * (pocket.butt_length + arm)
    return math.sqrt(square) if square >= 0 else None


def _angle_of_coverage(pocket: Pocket, wanted: float) -> float | None:
    """Return φ where c falls through the wanted value as the limb rocks out; None where it never has it."""
    root = _coverage_root(pocket, wanted)
    if root is None:
        return None
    return 2 * math.atan((pocket.coverage_at_flush - wanted) / (pocket.limb_depth + root))


def _leaving_angle(pocket: Pocket) -> float:
    """Return the φ > 0 where the butt end leaves the head's far rim, c = −Re."""
    angle = _angle_of_coverage(pocket, -pocket.rim_reach)
    return math.pi / 2 if angle is None else angle


# How far contact goes


def _outermost_angle(pocket: Pocket) -> float:
    return min(pocket.fitting_angle, _leaving_angle(pocket))


def _held_by_fitting(pocket: Pocket) -> bool:
    """Say whether the fitting stops the limb before its butt leaves the head."""
    return _on_head(pocket, pocket.fitting_angle)


def _innermost_angle(pocket: Pocket) -> float:
    """Return the φ < 0 where contact at the rim ends: the butt leaves the head, or the rim stands over the fulcrum."""
    lever = pocket.fulcrum_arm - pocket.rim_reach
    root = _coverage_root(pocket, -pocket.rim_reach)
    if lever <= pocket.limb_depth or root is None:
        return -math.asin(min(1.0, lever / pocket.limb_depth))
    beyond = pocket.coverage_at_flush + pocket.rim_reach
    return 2 * math.atan(beyond / (pocket.limb_depth - root))


def _innermost_height(pocket: Pocket) -> float:
    lever = pocket.fulcrum_arm - pocket.rim_reach
    if lever <= pocket.limb_depth:
        return math.sqrt((pocket.limb_depth - lever) * (pocket.limb_depth + lever)) - pocket.limb_depth
    return butt_corner(pocket, _innermost_angle(pocket))[1]


def _check_followed(pocket: Pocket, height: float) -> None:
    """Refuse a head so far in that the rim has passed under the fulcrum and can push the limb no farther."""
    if pocket.fulcrum_arm - pocket.rim_reach > pocket.limb_depth:
        return
    deepest = _innermost_height(pocket)
    if height < deepest - SAME * pocket.limb_depth:
        raise PocketError(
            "turns",
            "With these dimensions the head's rim can rock the limb no farther than"
            f" {-deepest / pocket.pitch:.6g} turns inside flush: the turns must not be fewer.",
        )


# Contact


def _state(pocket: Pocket, turns: float) -> ContactState:
    height = pocket.pitch * turns
    if abs(turns) <= AT_FLUSH:
        return ContactState.FLUSH
    return _state_inside(pocket, height) if turns < 0 else _state_outside(pocket, height)


def _state_inside(pocket: Pocket, height: float) -> ContactState:
    _check_followed(pocket, height)
    lever = pocket.fulcrum_arm - pocket.rim_reach
    if lever > pocket.limb_depth and height <= _innermost_height(pocket):
        return ContactState.OFF_HEAD
    return ContactState.RIM


def _state_outside(pocket: Pocket, height: float) -> ContactState:
    highest = _bearing_height(pocket, _outermost_angle(pocket))
    if _held_by_fitting(pocket):
        if height > highest * (1 + SAME):
            return ContactState.OUT_OF_REACH
    elif height >= highest * (1 - SAME):
        return ContactState.OFF_HEAD
    reach = pocket.rim_reach
    over = pocket.coverage_at_flush > reach and coverage(pocket, _angle_of_back(pocket, height, -reach)) > reach
    return ContactState.EDGE if over else ContactState.BUTT


def _angle(pocket: Pocket, state: ContactState, height: float) -> float:
    if state is ContactState.FLUSH:
        return 0.0
    if state is ContactState.RIM:
        return _angle_of_back(pocket, height, pocket.rim_reach)
    if state is ContactState.EDGE:
        return min(_angle_of_back(pocket, height, -pocket.rim_reach), pocket.fitting_angle)
    if state is ContactState.BUTT:
        return min(_angle_of_corner(pocket, height), pocket.fitting_angle)
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
    gap = height - _bearing_height(pocket, angle) if state is ContactState.OUT_OF_REACH else None
    return Contact(turns, state, angle, height, place, coverage(pocket, angle), gap)


def _contact_x(pocket: Pocket, state: ContactState, angle: float) -> float | None:
    if state is ContactState.OFF_HEAD:
        return None
    if state is ContactState.FLUSH:
        return flush_centroid(pocket)
    if state is ContactState.RIM:
        return pocket.rim_reach
    return _bearing_x(pocket, angle)


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
    if not _held_by_fitting(pocket):
        return None
    return _bearing_height(pocket, pocket.fitting_angle) / pocket.pitch


def butt_leaves_head(pocket: Pocket) -> float | None:
    """Return the turns, backing out, where the butt end slips off the head's far rim (c = −Re).

    None where the fitting stops the limb first: exactly one of this and `first_touch` is a number.
    """
    if _held_by_fitting(pocket):
        return None
    return _bearing_height(pocket, _leaving_angle(pocket)) / pocket.pitch


def coverage_lost(pocket: Pocket) -> float | None:
    """Return the turns, backing out, where the butt end comes over the bolt axis (c = 0), whatever the fitting allows.

    More than 0 where the butt covers the axis at flush; 0 where it ends there; less than 0 where it ends short of the
    axis at flush and would cover it only farther in. None where it covers the axis nowhere: **no coverage at all, not
    freedom from a limit**. Ask `coverage_at_flush` first.
    """
    angle = _angle_of_coverage(pocket, 0.0)
    if angle is None or angle < _innermost_angle(pocket):
        return None
    if angle < 0:
        return back_height(pocket, angle, pocket.rim_reach) / pocket.pitch
    return butt_corner(pocket, angle)[1] / pocket.pitch


# What a feeler sees


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
        return _wedge(pocket, found.rock_angle, _bearing_x(pocket, found.rock_angle))
    return found.gap or 0.0


@dataclass(frozen=True, slots=True)
class Gaps:
    """How the limb lies at one turn count, with the gaps that `gap_at_rim` and `gap_at_butt` give there, m."""

    contact: Contact
    rim: float | None
    butt: float | None


def gaps(pocket: Pocket, turns: float) -> Gaps:
    """Return contact and both gaps at once; raises as `contact`."""
    found = contact(pocket, turns)
    return Gaps(found, _rim_gap(pocket, found), _butt_gap(pocket, found))


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
    if side not in ("rim", "butt"):
        raise ValueError(f'side must be "rim" or "butt": {side!r}')
    gap = gap_at_rim(pocket, turns) if side == "rim" else gap_at_butt(pocket, turns)
    if gap is None:
        return None
    if gap <= strip * (1 + NO_WIDER):
        return 0.0
    angle = rock_angle(pocket, turns)
    overlap = pocket.rim_reach - _bearing_x(pocket, angle)
    closing = math.tan(angle) if side == "rim" else -math.tan(angle)
    return overlap if closing <= 0 else min(overlap, (gap - strip) / closing)


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
    outermost = _outermost_angle(pocket)
    if _held_by_fitting(pocket) and _opening(pocket, outermost, 1)[0] < strip:
        return (back_height(pocket, outermost, pocket.rim_reach) + strip) / pocket.pitch
    angle = _angle_where_open(pocket, strip, outermost, 1)
    if angle is None:
        raise PocketError(
            "strip",
            "The butt leaves the head before the gap at the rim is as wide as the strip: the strip must be thinner.",
        )
    return _bearing_height(pocket, angle) / pocket.pitch


def flush_seen_from_inside(pocket: Pocket, strip: float) -> float:
    """Return how many turns inside flush (a positive number) a strip of this thickness (m) stops at the butt end.

    Raises PocketError where the gap at the butt end never opens so wide within 45 degrees of rock.
    """
    _check_strip(strip)
    farthest = min(STEEPEST, -_innermost_angle(pocket))
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


# The other way round


def fitting_angle_for_touch(pocket: Pocket, turns: float) -> float:
    """Return the fitting angle φs, rad, that puts first touch at this turn count; the pocket's own one has no part.

    Raises PocketError where first touch cannot come there: at or inside flush, or after the butt has left the head.
    """
    _check_turns(turns)
    height = pocket.pitch * turns
    if turns <= AT_FLUSH:
        raise PocketError("turns", "First touch must come outside flush: its turns must be more than 0.")
    leaving = _bearing_height(pocket, _leaving_angle(pocket))
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
