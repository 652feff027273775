"""A pull beside a bolt's axis, and where an even pressure under its head acts (sources.md C)."""

from __future__ import annotations

import math
from functools import partial

from published import Row, Table
from quarterturn.mechanics.bolt_load import Bearing, bearing, shank_stress
from quarterturn.mechanics.numerics import bisect
from quarterturn.mechanics.pocket import ContactState, Pocket
from quarterturn.mechanics.thread_profile import profile_of
from quarterturn.mechanics.threads import thread_named

RADIUS, ARM = 9.5e-3, 60e-3


def _core(name: str) -> float:
    """How far from its axis a pull may be until the shank's other side is free of tension, over its diameter."""
    area = profile_of(thread_named(name)).stress_area
    diameter = math.sqrt(4 * area / math.pi)

    def bent_more(place: float) -> float:
        pulled = Bearing(0.0, ContactState.RIM, 1000.0, 1000.0, 0.0, place, 1000.0 * place, 0.0)
        stress = shank_stress(pulled, area)
        return stress.bending - stress.axial

    return bisect(bent_more, 0.0, diameter) / diameter


def _middle(beyond: float) -> float:
    """Where even pressure acts on a head whose slot is none, over its radius: the butt reaches so many radii past."""
    pocket = Pocket(ARM, 0.008, ARM + beyond * RADIUS, RADIUS, 0.0, 1e-3, 0.08)
    place = bearing(pocket, 0.0, 92.0).contact_x
    return float("nan") if place is None else round(place / RADIUS, 12) + 0.0


_CORE = Table(
    "Pull beside the axis, no side pressed: over the diameter", "a teaching text on direct and bending stress", "S", ""
)
_DISC = Table(
    "Even pressure on a round head, covered from a line on: its place over the radius",
    "worked out of the formula in tables of centroids, 4r·sin³α/(3·(2α − sin 2α))",
    "C",
    "",
)

ROWS: tuple[Row, ...] = (
    *(_CORE.row(name, "0.125", partial(_core, name)) for name in ("M8×1.25", "3/8-24")),
    _DISC.row("half of it covered", "0.4244", partial(_middle, 0.0)),
    _DISC.row("half a radius less than half", "0.7050", partial(_middle, -0.5)),
    _DISC.row("half a radius more than half", "0.1713", partial(_middle, 0.5)),
    _DISC.row("all of it", "0.0000", partial(_middle, 1.5)),
)
"""All of them, in the order they are shown."""
