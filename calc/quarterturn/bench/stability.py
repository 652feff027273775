"""How near a strung bow is to unloading one limb into the other (model.md 4)."""

from __future__ import annotations

from quarterturn.mechanics.bow import BracedBow

EDGE = 0.8
"""Held less firmly than this part of what the string's tension alone gives, the bow is near unloading a limb (our own
measure: a turn then moves tiller two and a half times as much as in a usual bow, or more)."""


def near_unloading(braced: BracedBow) -> bool:
    """Whether one limb of this bow is near unloading into the other.

    Away from that edge the nocking point is held least across the string, by the string's tension alone: T(1/S_u +
    1/S_l). Nearer to it the limbs hold it less and less along the string, down to nothing at the edge.
    """
    across = braced.tension * (1 / braced.upper.free_length + 1 / braced.lower.free_length)
    return braced.least_stiffness < EDGE * across
