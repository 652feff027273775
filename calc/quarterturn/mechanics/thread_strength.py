"""How much of a thread is engaged, and at what force it would strip.

Shear areas by FED-STD-H28/2: the bolt's thread shears at the crests of the bush, the bush's thread at the crests of
the bolt. All turns engaged are taken to carry alike, the bush to be stiff and sound, the pull to be steady and along
the bolt. A real thread carries most on its first turns, wears, and tires under load that comes and goes: nothing here
certifies that a thread holds. m, m² per m engaged, N, Pa, turns.
"""

import math
from dataclasses import dataclass

from quarterturn.mechanics.materials import STRONGEST, Material
from quarterturn.mechanics.thread_profile import Profile, class_limits
from quarterturn.mechanics.threads import LONGEST, MOST, SHORTEST, ThreadError

SHEAR = 0.6
"""Shear strength over tensile strength, as worked examples take it (distortion energy alone would give 0.577)."""

LARGEST = 3.0  # m² per m engaged, more than any thread up to 1 m across has
_SLOPE = 1 / math.sqrt(3)  # tan 30°, FED-STD-H28/2's 0.57735


@dataclass(frozen=True, slots=True)
class ShearAreas:
    """What shears as a thread strips, m² per m engaged (that is, m)."""

    external: float
    """Of the bolt's thread."""
    internal: float
    """Of the thread in the bush or riser."""


@dataclass(frozen=True, slots=True)
class NeededLength:
    """Engaged length, m, at which the bolt would break before a thread strips."""

    by_external: float
    """For the bolt's thread."""
    by_internal: float
    """For the thread in the bush."""
    length: float
    """The longer of the two."""
    weaker: str
    """Whose thread strips first where less is engaged: "bolt" or "bush"."""


def shear_areas(profile: Profile, *, least_material: bool = True) -> ShearAreas:
    """Return the shear areas of a pair of threads, with the least metal its class allows or on the basic profile.

    FED-STD-H28/2, per length engaged: external π·Kn·[1/2 + (Es − Kn)/(√3·P)], internal π·Ds·[1/2 + (Ds − En)/(√3·P)],
    with Kn the minor and En the pitch diameter inside, Ds the major and Es the pitch diameter outside. On the basic
    profile they are 3/4·π·d1 and 7/8·π·d.

    Raises ThreadError as `class_limits`.
    """
    if least_material:
        limits = class_limits(profile)
        kn, en = limits.minor_internal_max, limits.pitch_internal_max
        ds, es = limits.major_external_min, limits.pitch_external_min
    else:
        kn, en = profile.minor_internal, profile.pitch_diameter
        ds, es = profile.diameter, profile.pitch_diameter
    external = math.pi * kn * (0.5 + _SLOPE * (es - kn) / profile.pitch)
    internal = math.pi * ds * (0.5 + _SLOPE * (ds - en) / profile.pitch)
    if not (external > 0 and internal > 0):
        raise ThreadError("pitch", "No tolerance class fits this diameter and pitch: check both against the standards.")
    return ShearAreas(external, internal)


def strip_force(area_per_length: float, engaged: float, tensile_strength: float) -> float:
    """Return the pull, N, at which a thread strips: `SHEAR` times its tensile strength (Pa) on its shear area.

    Raises ThreadError where the shear area per length or the strength is no positive number, or the length engaged is
    not from 0 to 1 m.
    """
    if not 0 < area_per_length <= LARGEST:
        raise ThreadError("area_per_length", "Shear area must be more than 0 and at most 3 m² per m engaged.")
    if not 0 <= engaged <= LONGEST:
        raise ThreadError("engaged", "Thread engaged must be a length from 0 to 1 m.")
    if not 0 < tensile_strength <= STRONGEST:
        raise ThreadError("tensile_strength", "Tensile strength must be more than 0 and at most 10000 MPa.")
    return SHEAR * tensile_strength * area_per_length * engaged


def needed_length(profile: Profile, bolt: Material, bush: Material, *, least_material: bool = True) -> NeededLength:
    """Return the engaged length at which the bolt would break (As·Rm) before its thread or the bush's strips.

    The bolt's strength cancels for its own thread. Engaged that far, a bolt pulled too hard breaks, which is seen, and
    does not strip; what either may carry in use is another question.

    Raises ThreadError as `class_limits`.
    """
    areas = shear_areas(profile, least_material=least_material)
    by_external = profile.stress_area / (SHEAR * areas.external)
    by_internal = profile.stress_area * bolt.tensile / (SHEAR * areas.internal * bush.tensile)
    weaker = "bolt" if by_external >= by_internal else "bush"
    return NeededLength(by_external, by_internal, max(by_external, by_internal), weaker)


def engagement(turns: float, at_zero: float, pitch: float, bush: float | None = None) -> float:
    """Return the length of thread engaged, m, `turns` out from where the count is zero.

    `at_zero` (m) is the thread between the bolt's end and the bush's mouth at zero: it may be more than the length of
    the bush (m), whose whole length then stays engaged until the bolt's end comes into it. Never less than 0.

    Raises ThreadError where the turns are not a number from −1000 to 1000, `at_zero` is not from 0 to 1 m, or pitch
    or bush are no length.
    """
    if not -MOST <= turns <= MOST:
        raise ThreadError("turns", f"Turns must be a number from -{MOST} to {MOST}.")
    if not 0 <= at_zero <= LONGEST:
        raise ThreadError("at_zero", "Thread engaged at zero must be a length from 0 to 1 m.")
    for name, value in (("pitch", pitch), ("bush", bush)):
        if value is not None and not SHORTEST <= value <= LONGEST:
            raise ThreadError(name, f"{name.capitalize()} must be a length from 0.001 mm to 1 m.")
    left = max(0.0, at_zero - pitch * turns)
    return left if bush is None else min(bush, left)
