"""One limb in its pocket, seen from the side: its dimensions, and where its surfaces are when it has rocked.

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
from dataclasses import dataclass
from enum import StrEnum

SHORTEST = 1e-6  # m, the least length that is taken for a dimension
LONGEST = 10.0  # m, the greatest

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
            "The slot must be narrower than the bolt's head. Half its width must be from 0 to less than the head"
            f" radius of {_millimetres(pocket.head_radius)}.",
        )


def _check_reach(pocket: Pocket) -> None:
    if pocket.fulcrum_arm <= pocket.head_radius:
        raise PocketError(
            "fulcrum_arm",
            "The fulcrum must be outside the bolt's head. Its distance from the bolt axis must be more than the head"
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
            "The free rock of the limb must be more than 0 and less than 90 degrees. At 0 or less, first touch would"
            " come at or inside flush.",
        )


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


def bearing_x(pocket: Pocket, angle: float) -> float:
    """Return the place nearest the butt where head and limb overlap: the butt end, or the head's edge."""
    return max(-pocket.rim_reach, -coverage(pocket, angle))


def bearing_height(pocket: Pocket, angle: float) -> float:
    """Return the height of the head that holds the limb at this angle φ ≥ 0."""
    if coverage(pocket, angle) > pocket.rim_reach:
        return back_height(pocket, angle, -pocket.rim_reach)
    return butt_corner(pocket, angle)[1]


def on_head(pocket: Pocket, angle: float) -> bool:
    """Say whether the butt end is still under the head at this angle φ ≥ 0."""
    return coverage(pocket, angle) > -pocket.rim_reach


# The rock angle at a given height or coverage, in closed form with T = tan(φ/2)


def angle_of_back(pocket: Pocket, height: float, x: float) -> float:
    """Return φ where y(x) = h: (h + 2t)T² + 2(a − x)T − h = 0."""
    lever = pocket.fulcrum_arm - x
    square = max(0.0, lever**2 + height * (height + 2 * pocket.limb_depth))
    return 2 * math.atan(height / (lever + math.sqrt(square)))


def angle_of_corner(pocket: Pocket, height: float) -> float:
    """Return φ where Cy = h: (h + 2t)T² − 2bT + h = 0."""
    square = max(0.0, pocket.butt_length**2 - height * (height + 2 * pocket.limb_depth))
    return 2 * math.atan(height / (pocket.butt_length + math.sqrt(square)))


def _coverage_root(pocket: Pocket, wanted: float) -> float | None:
    """Return √(t² + b² − (a + c)²), or None where the butt never covers that much."""
    arm = pocket.fulcrum_arm + wanted
    square = pocket.limb_depth**2 + (pocket.butt_length - arm) * (pocket.butt_length + arm)
    return math.sqrt(square) if square >= 0 else None


def angle_of_coverage(pocket: Pocket, wanted: float) -> float | None:
    """Return φ where c falls through the wanted value as the limb rocks out; None where it never has it."""
    root = _coverage_root(pocket, wanted)
    if root is None:
        return None
    return 2 * math.atan((pocket.coverage_at_flush - wanted) / (pocket.limb_depth + root))


def leaving_angle(pocket: Pocket) -> float:
    """Return the φ > 0 where the butt end leaves the head's far rim, c = −Re."""
    angle = angle_of_coverage(pocket, -pocket.rim_reach)
    return math.pi / 2 if angle is None else angle


# How far contact goes


def outermost_angle(pocket: Pocket) -> float:
    """Return the greatest φ with contact: the fitting stops the limb there, or its butt leaves the head."""
    return min(pocket.fitting_angle, leaving_angle(pocket))


def held_by_fitting(pocket: Pocket) -> bool:
    """Say whether the fitting stops the limb before its butt leaves the head."""
    return on_head(pocket, pocket.fitting_angle)


def innermost_angle(pocket: Pocket) -> float:
    """Return the φ < 0 where contact at the rim ends: the butt leaves the head, or the rim stands over the fulcrum."""
    lever = pocket.fulcrum_arm - pocket.rim_reach
    root = _coverage_root(pocket, -pocket.rim_reach)
    if lever <= pocket.limb_depth or root is None:
        return -math.asin(min(1.0, lever / pocket.limb_depth))
    beyond = pocket.coverage_at_flush + pocket.rim_reach
    return 2 * math.atan(beyond / (pocket.limb_depth - root))


def innermost_height(pocket: Pocket) -> float:
    """Return the height of the head, less than 0, where contact at the rim ends, m."""
    lever = pocket.fulcrum_arm - pocket.rim_reach
    if lever <= pocket.limb_depth:
        return math.sqrt((pocket.limb_depth - lever) * (pocket.limb_depth + lever)) - pocket.limb_depth
    return butt_corner(pocket, innermost_angle(pocket))[1]
