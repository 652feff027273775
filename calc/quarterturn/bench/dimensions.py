"""How far each dimension of a pocket may be off: less where it was measured, more where it is assumed."""

from __future__ import annotations

from quarterturn.bench.counting import Pitch
from quarterturn.bench.readings import STRIP_TOLERANCE
from quarterturn.bench.shape import Shape
from quarterturn.bench.strip_resolution import Dimension
from quarterturn.record.values import Values

OFF: dict[str, tuple[float, float]] = {
    "head_diameter": (0.2e-3, 2e-3),
    "slot_width": (0.5e-3, 2e-3),
    "fulcrum_arm": (2e-3, 15e-3),
    "limb_depth": (0.3e-3, 2e-3),
    "rim_to_butt": (0.5e-3, 1.5e-3),
    "rise": (0.02e-3, 0.2e-3),
}
"""How far a dimension may be off, m, measured and assumed. (Our own estimates: caliper and ruler against what is seen
from one bow to another; no source.)"""
BY_THE_TIP = 0.04
"""How far the arm may be off when it was found by the tip's travel: 1 mm in 26 mm, as a part of it."""
STRIP_ASSUMED = 0.15
"""How far a strip's thickness may be off that nobody measured, as a part of it (0.092 to 0.115 mm for office paper)."""


def dimensions(bolt: str, values: Values, shape: Shape, pitch: Pitch, strip: float) -> tuple[Dimension, ...]:
    """List what the reading of flush rests on, with how far each may be off."""
    pocket = shape.pocket
    used = {
        "head_diameter": 2 * pocket.head_radius,
        "slot_width": 2 * pocket.slot_half_width,
        "fulcrum_arm": pocket.fulcrum_arm,
        "limb_depth": pocket.limb_depth,
        f"{bolt}_rim_to_butt": pocket.head_radius - pocket.coverage_at_flush,
        "rise": pitch.value,
    }
    listed = [_one(name, name.removeprefix(f"{bolt}_"), value, values, shape) for name, value in used.items()]
    known = values.entered("strip_thickness")
    half = (STRIP_TOLERANCE if known else STRIP_ASSUMED) * strip
    return (*listed, Dimension("strip_thickness", strip, known, half))


def _one(name: str, key: str, value: float, values: Values, shape: Shape) -> Dimension:
    if key == "fulcrum_arm" and shape.arm.by == "by the tip":
        return Dimension(name, value, entered=True, half=BY_THE_TIP * value)
    entered = values.entered(name)
    return Dimension(name, value, entered, OFF[key][0 if entered else 1])
