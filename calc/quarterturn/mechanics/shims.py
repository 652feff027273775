"""What a shim or a washer does to one limb in its pocket: to flush, to first touch, to how far the limb leans.

Frame, symbols and source as in mechanics/pocket.py. Turns go on counting from flush as it was without the shim.
A plate under the head lowers its underside; one on the floor lifts the fulcrum: either way head and limb come as near
to one another as thickness/p of a turn would bring them. One behind the butt end pushes the limb toward its tip, so
that the fulcrum bears nearer to the butt end.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from quarterturn.mechanics.contact import Contact, contact, first_touch, rock_angle
from quarterturn.mechanics.pocket import (
    LONGEST,
    ContactState,
    Pocket,
    PocketError,
    angle_of_corner,
    bearing_height,
    butt_corner,
)


class ShimPlace(StrEnum):
    """Where a shim sits."""

    HEAD = "head"
    """Between the bolt's head and the limb, as wide as the head."""
    FLOOR = "floor"
    """On the floor of the pocket, under the limb where it rocks."""
    BUTT_END = "butt_end"
    """Between the butt end and the wall of the pocket."""


@dataclass(frozen=True, slots=True)
class ShimEffect:
    """What a shim changes.

    Attributes:
        flush: how far flush moves out, turns.
        touch: how far first touch moves out, turns, at least and at most; None where there is none to touch.
        lean: by how much more the limb is rocked with the bolt where it was, rad; less is negative.
        state: where the limb bears then.
        cover: by how much more the butt reaches past the bolt's axis at flush, m.
    """

    flush: float
    touch: tuple[float, float] | None
    lean: float
    state: ContactState
    cover: float


def shim_effect(pocket: Pocket, place: ShimPlace, thickness: float, turns: float) -> ShimEffect:
    """Return what a shim of this thickness, m, changes in a pocket whose bolt stands at this turn count.

    On the floor first touch depends on the pocket's fitting, which is not known: it moves out with flush where the
    fitting lets the limb rock as far as before, and not at all where it holds the butt end at the same height.

    Raises PocketError where the thickness is no length, or where the butt would no longer reach the head.
    """
    alike, at = lies_as(pocket, place, thickness, turns)
    before = first_touch(pocket)
    if place is ShimPlace.BUTT_END:
        after = first_touch(alike)
        moved = None if before is None or after is None else (after - before, after - before)
        return _effect(pocket, contact(alike, at), turns, 0.0, moved, -thickness)
    nearer = turns_nearer(thickness, pocket.pitch)
    least = nearer
    if place is ShimPlace.FLOOR and before is not None:
        least = _held_at_its_height(pocket, thickness) - before
    touch = None if before is None else (least, nearer)
    return _effect(pocket, contact(alike, at), turns, nearer, touch, 0.0)


def lies_as(pocket: Pocket, place: ShimPlace, thickness: float, turns: float) -> tuple[Pocket, float]:
    """Return the pocket, and its turn count, in which a limb without a shim lies as this one does with it.

    The thickness is in m. Raises PocketError where it is no length, or where the butt would no longer reach the head.
    """
    if not 0 < thickness <= LONGEST or not math.isfinite(thickness):
        raise PocketError("thickness", "The shim's thickness must be more than 0 and at most 10 m.")
    if place is ShimPlace.BUTT_END:
        return replace(pocket, butt_length=pocket.butt_length - thickness), turns
    return pocket, turns - turns_nearer(thickness, pocket.pitch)


def turns_nearer(thickness: float, pitch: float) -> float:
    """How many turns of the bolt bring head and limb as near as a plate of this thickness does; both in m."""
    return thickness / pitch


def _held_at_its_height(pocket: Pocket, thickness: float) -> float:
    """First touch over a shim on the floor, in turns, where the fitting holds the butt end where it held it before.

    At flush, and no farther in, where it would hold it lower than the shim lifts the limb: nothing is left then.
    """
    height = butt_corner(pocket, pocket.fitting_angle)[1] - thickness
    if height <= 0:
        return turns_nearer(thickness, pocket.pitch)
    return (bearing_height(pocket, angle_of_corner(pocket, height)) + thickness) / pocket.pitch


def _effect(
    pocket: Pocket,
    found: Contact,
    turns: float,
    flush: float,
    touch: tuple[float, float] | None,
    cover: float,
) -> ShimEffect:
    return ShimEffect(flush, touch, found.rock_angle - rock_angle(pocket, turns), found.state, cover)
