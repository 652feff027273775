"""Which method applies to a bolt: decided before anything is turned."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Method(StrEnum):
    """How the ends of a bolt's range can be known."""

    FEEL = "feel"
    """Flush and first touch are felt with a strip."""
    FEEL_OR_STOP = "feel_or_stop"
    """The stop or flush, whichever comes first turning in, and first touch."""
    MAKER_ONLY = "maker_only"
    """Only the range that the maker gives applies."""
    FASTEN = "fasten"
    """The bolt adjusts nothing: it is kept fastened as its maker says."""
    BY_MANUAL = "by_manual"
    """What its maker's manual says, and nothing else: how far it may go can be neither felt nor counted here."""
    NOTHING = "nothing"
    """There is no bolt."""
    FIND_OUT = "find_out"
    """Only the maker's range applies, and first it must be known which bolt this is."""


@dataclass(frozen=True, slots=True)
class Family:
    """A family of limb bolts.

    Attributes:
        name: as in the record.
        method: what applies to it.
        reason: a sentence that says why.
        alone: of what is not turned here, what is said first of it; "" for all others.
    """

    name: str
    method: Method
    reason: str
    alone: str = ""


FAMILIES = {
    family.name: family
    for family in (
        Family(
            "flat",
            Method.FEEL,
            "The butt touches the head's flat underside, so you can feel both ends of the range with a strip.",
        ),
        Family(
            "stop",
            Method.FEEL_OR_STOP,
            "A stop may come before flush or after it with these limbs. Turning in, whichever comes first is the inner "
            "limit. Back off the lock first: a tight lock can feel like a stop.",
        ),
        Family(
            "swivel",
            Method.MAKER_ONLY,
            "A head that swivels stays flat on the limb all the way, so you cannot feel flush. Only the maker's range "
            "applies.",
        ),
        Family(
            "pivot",
            Method.MAKER_ONLY,
            "The whole pocket tilts with the limb, so there is no flush or first touch to feel. Only the maker's range "
            "applies.",
        ),
        Family(
            "clamp",
            Method.FASTEN,
            "This bolt only clamps the limb. Leave it hand-tight, as its maker says. Never back it out to change draw "
            "weight: the limb would be loose.",
            alone="Leave the bolts alone",
        ),
        Family(
            "under",
            Method.BY_MANUAL,
            "A bolt holds the limb, and a screw under it sets it: no flush can be felt. Set it only as its maker's "
            "manual says, or let a bow technician do it.",
            alone="Leave bolts and screws alone",
        ),
        Family(
            "two",
            Method.BY_MANUAL,
            "Two bolts hold each limb, and what one does depends on the other. Set them only as their maker's manual "
            "says, or let a bow technician do it.",
            alone="Leave all four bolts alone",
        ),
        Family(
            "fixed",
            Method.NOTHING,
            "The limbs are part of this bow, so it has no limb bolt. Twists in the string set its brace height; only "
            "another bow has another draw weight.",
            alone="Nothing here to turn",
        ),
        Family(
            "unknown",
            Method.FIND_OUT,
            "Until you know which bolt this is, only the maker's range applies. Never back out a clamping bolt. A "
            "swivelling head gives false readings.",
        ),
    )
}


def is_turned(name: str) -> bool:
    """Whether a bolt of this family is for turning, or may be."""
    return FAMILIES[name].method not in (Method.FASTEN, Method.BY_MANUAL, Method.NOTHING)


def can_be_felt(name: str) -> bool:
    """Whether the ends of this family's range can be found by feeling."""
    return FAMILIES[name].method in (Method.FEEL, Method.FEEL_OR_STOP)
