"""What one limb bolt carries: the force of the limb on its head, where it acts, and the nominal stress in the shank.

Frame and signs are those of `pocket`: y along the bolt, positive outward; x square to it, positive toward the limb
tip. The string's moment about the fulcrum is held by the head alone: no friction, rigid head and butt. Forces are
given as the limb presses on the head. N, N·m, Pa, m, rad.

At flush the force is statically indeterminate: there the pressure is taken as even over the whole overlap, and just
beside flush all of it acts on one edge. The jump is the model's own, so states are to be reported side by side, never
as a curve through flush: even pressure is a lower bound of the bending, contact on one edge an upper one.

Sources: moment balance of a rigid body about the fulcrum; area and centroid of a circle's segment; nominal stress of a
round section, axial and bending (elementary beam theory). None of it certifies that a bolt is strong enough.
"""

import math
from dataclasses import dataclass

from quarterturn.mechanics.contact import AT_FLUSH, Contact, contact
from quarterturn.mechanics.pocket import SHORTEST, ContactState, Pocket, PocketError

GREATEST_MOMENT = 10_000.0  # N·m, the greatest moment about the fulcrum that is taken
THINNEST = 1e-5  # rad of the head's edge, the least overlap that is taken to bear: nothing that could be made
LEAST_AREA = 1e-8  # m², the least stress area that is taken
GREATEST_AREA = 1e-2  # m², the greatest
LONGEST_FREE = 1.0  # m, the greatest length of shank between head and thread


class LoadError(ValueError):
    """A load or a section that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


@dataclass(frozen=True, slots=True)
class Bearing:
    """What the limb does to the bolt's head at one turn count."""

    turns: float
    """u, from flush, positive outward."""
    state: ContactState
    force: float
    """N: what the limb presses on the head with, N; 0 without contact, where the pocket's fitting carries all."""
    along: float
    """Its part along the bolt, outward, N; never negative."""
    across: float
    """Its part square to the bolt, toward the limb tip, N; negative inside flush, 0 where the head's flat bears."""
    contact_x: float | None
    """Where it acts, from the bolt axis, m; None without contact."""
    bending: float
    """Bending moment in the shank at the head's underside, along·contact_x, N·m: positive where the force acts on the
    limb-tip side, negative on the butt side."""
    rock_angle: float
    """φ of the limb, rad."""


@dataclass(frozen=True, slots=True)
class Stress:
    """Nominal stress in the shank, Pa."""

    axial: float
    bending: float
    """At the outermost fibre; never negative."""
    combined: float
    """Their sum: the greatest tension in the section."""


def _check_overlap(pocket: Pocket) -> None:
    """Refuse a butt that reaches so little under the head that no overlap is left to bear at flush."""
    reach, radius = pocket.rim_reach, pocket.head_radius
    end = math.acos(pocket.slot_half_width / radius)
    start = math.asin(-pocket.coverage_at_flush / radius) if pocket.coverage_at_flush < reach else -end
    if end - start < THINNEST:
        raise PocketError(
            "butt_length",
            "The butt reaches too little under the bolt's head to press on it: from fulcrum to butt end must be more"
            f" than {(pocket.fulcrum_arm - reach) * 1000:.6g} mm.",
        )


def bearing(pocket: Pocket, turns: float, moment: float) -> Bearing:
    """Return what the head carries where the string's moment about the fulcrum is `moment`, N·m, at this turn count.

    - the butt end on the head's flat, and flush: N = M/(a − xc), along the bolt
    - an edge of the head on the limb's back: N = M·cos φ/(a + t·sin φ − xc), square to the limb's back

    Exactly at first touch the head is still taken to carry all; beyond it the fitting does. Where the butt end passes
    the head's edge the force turns by φ and its size changes by the few tenths of a percent that follow from that.

    Raises:
        LoadError: the moment is not a number from 0 to 10 000 N·m.
        PocketError: as `contact`; where at flush no overlap is left to bear; or where the head's rim stands so nearly
            under the fulcrum that no force there could hold the limb.
    """
    if not 0 <= moment <= GREATEST_MOMENT:  # false for NaN too
        raise LoadError(
            "moment",
            f"The string's moment about the fulcrum must be a number from 0 to {GREATEST_MOMENT:.0f} N·m.",
        )
    if abs(turns) <= AT_FLUSH:
        _check_overlap(pocket)
    found = contact(pocket, turns)
    angle, place = found.rock_angle, found.contact_x
    if place is None or found.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD):
        return Bearing(turns, found.state, 0.0, 0.0, 0.0, None, 0.0, angle)
    force = moment / _lever(pocket, found, place)
    tilt = angle if found.state in (ContactState.RIM, ContactState.EDGE) else 0.0
    along, across = force * math.cos(tilt), force * math.sin(tilt)
    return Bearing(turns, found.state, force, along, across, place, along * place, angle)


def _lever(pocket: Pocket, found: Contact, place: float) -> float:
    """Return the distance of the force's line from the fulcrum, m."""
    lever = pocket.fulcrum_arm - place
    if found.state in (ContactState.RIM, ContactState.EDGE):
        angle = found.rock_angle
        lever = (lever + pocket.limb_depth * math.sin(angle)) / math.cos(angle)
    if lever < SHORTEST:
        raise PocketError(
            "turns",
            "So far inside flush the head's rim presses almost in line with the fulcrum and cannot hold the limb. The"
            " bolt must be farther out.",
        )
    return lever


def shank_stress(bearing: Bearing, stress_area: float, free_length: float = 0.0) -> Stress:
    """Return the nominal stress in a shank of this tensile stress area (m²), first held `free_length` (m) lower.

    σ = along/As + 32(along·|xc| + |across|·l)/(π·ds³) with ds = √(4As/π). The two bending parts always add: on the
    limb-tip side the force leans outward from there, on the butt side too. The whole moment is left to the shank: the
    thread's play and the riser's hold on the bolt are not counted. It ranks positions of one bolt; it is no proof of
    strength.

    Raises LoadError where the stress area is not from 0.01 to 10 000 mm², or the free length not from 0 to 1 m.
    """
    if not LEAST_AREA <= stress_area <= GREATEST_AREA:
        raise LoadError("stress_area", "The bolt's stress area must be from 0.01 to 10000 mm².")
    if not 0 <= free_length <= LONGEST_FREE:
        raise LoadError(
            "free_length", "The length of the shank between head and thread must be a length from 0 to 1000 mm."
        )
    axial = bearing.along / stress_area
    diameter = math.sqrt(4 * stress_area / math.pi)
    moment = abs(bearing.bending) + abs(bearing.across) * free_length
    bending = 32 * moment / (math.pi * diameter**3)
    return Stress(axial, bending, axial + bending)
