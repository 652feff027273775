"""What a screw thread's diameter and pitch say of its shape: the diameters, the stress area, the limits of its class.

One triangle of 60° and height H = √3/2·P lies under every thread here. The metric profile is that of ISO 68-1 and
ISO 724, its stress area that of ISO 898-1, its limits those of ISO 965-1; the unified profile, stress area and limits
are those of ASME B1.1 (root rounded, UNR). Lengths in metres, areas in square metres.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from quarterturn.mechanics.threads import LONGEST, SHORTEST, Thread, ThreadError, ThreadSeries
from quarterturn.units import INCH

MILLIMETRE = 1e-3


class Standard(StrEnum):
    """The family of standards a thread is made by."""

    METRIC = "metric"
    UNIFIED = "unified"


@dataclass(frozen=True, slots=True)
class Profile:
    """The basic profile of one thread, before any tolerance.

    Raises ThreadError where a dimension is no length, the pitch is not less than the diameter, or so great a pitch
    would cut the bolt through.
    """

    diameter: float
    """Nominal (major) diameter, m."""
    pitch: float
    """m."""
    standard: Standard

    def __post_init__(self) -> None:
        for name, value in (("diameter", self.diameter), ("pitch", self.pitch)):
            if not SHORTEST <= value <= LONGEST:  # false for NaN too
                raise ThreadError(name, f"{name.capitalize()} must be a length from 0.001 mm to 1 m.")
        if not self.pitch < self.diameter:
            raise ThreadError("pitch", "Pitch must be less than the thread's diameter.")
        if not self.minor_external > 0:
            raise ThreadError(
                "pitch", "Pitch must be less than eight tenths of the diameter, or the thread cuts the bolt through."
            )

    @property
    def triangle_height(self) -> float:
        """H = √3/2·P, the height of the sharp triangle, m."""
        return math.sqrt(3) / 2 * self.pitch

    @property
    def pitch_diameter(self) -> float:
        """Where thread and gap are equally wide, d − 3H/4, m."""
        return self.diameter - 0.75 * self.triangle_height

    @property
    def minor_internal(self) -> float:
        """The hole before its thread is cut, d − 5H/4, m: the same in both standards."""
        return self.diameter - 1.25 * self.triangle_height

    @property
    def minor_external(self) -> float:
        """The bolt at the root of its thread, m: metric d3 = d − 17H/12, unified d − 11H/8 (UNR)."""
        if self.standard is Standard.METRIC:
            return self.minor_internal - self.triangle_height / 6
        return self.diameter - 1.375 * self.triangle_height

    @property
    def stress_diameter(self) -> float:
        """The diameter of a plain rod of the same stress area, m: metric (d2 + d3)/2, unified d − 9H/8."""
        if self.standard is Standard.METRIC:
            return (self.pitch_diameter + self.minor_external) / 2
        return self.diameter - 1.125 * self.triangle_height

    @property
    def stress_area(self) -> float:
        """The nominal area that carries tension, m²: ISO 898-1's As, ASME B1.1's At (there 9H/8 is 0.9743 P)."""
        return math.pi / 4 * self.stress_diameter**2


@dataclass(frozen=True, slots=True)
class Limits:
    """The sizes that leave least thread in a pair made to the usual class: 6g in 6H, or 2A in 2B. All in m."""

    major_external_min: float
    """The thinnest bolt over its crests."""
    pitch_external_min: float
    """The thinnest bolt at mid-thread."""
    pitch_internal_max: float
    """The widest nut or bush at mid-thread."""
    minor_internal_max: float
    """The widest hole over its crests."""


def profile_of(thread: Thread) -> Profile:
    """Return the profile of a standard thread of the table."""
    unified = thread.series in (ThreadSeries.UNC, ThreadSeries.UNF)
    return Profile(thread.diameter, thread.pitch, Standard.UNIFIED if unified else Standard.METRIC)


def class_limits(profile: Profile) -> Limits:
    """Return the limits of the usual class: 6g and 6H (ISO 965-1, lengths N) or 2A and 2B (ASME B1.1, UNC or UNF).

    Raises ThreadError where diameter and pitch are so far from any standard that such limits leave no thread.
    """
    limits = _metric_limits(profile) if profile.standard is Standard.METRIC else _unified_limits(profile)
    if not 0 < limits.minor_internal_max < limits.major_external_min < profile.diameter:
        raise ThreadError("pitch", "No tolerance class fits this diameter and pitch: check both against the standards.")
    return limits


# ISO 965-1, in µm. By pitch in mm: allowance g, tolerance of the bolt's crests (grade 6), of the nut's (grade 6).
_CRESTS = {
    0.5: (20, 106, 140),
    0.75: (22, 140, 190),
    0.8: (24, 150, 200),
    1.0: (26, 180, 236),
    1.25: (28, 212, 265),
    1.5: (32, 236, 300),
    1.75: (34, 265, 335),
}
# By the diameters' range (over, in mm) and pitch: tolerance at mid-thread of the bolt (grade 6), of the nut (grade 6).
_FLANKS = {
    (2.8, 0.5): (75, 100),
    (2.8, 0.75): (90, 118),
    (2.8, 0.8): (95, 125),
    (5.6, 0.75): (100, 132),
    (5.6, 1.0): (112, 150),
    (5.6, 1.25): (118, 160),
    (5.6, 1.5): (132, 180),
    (11.2, 1.0): (118, 160),
    (11.2, 1.25): (132, 180),
    (11.2, 1.5): (140, 190),
    (11.2, 1.75): (150, 200),
}
_RANGES = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)


def iso_formulas(diameter: float, pitch: float) -> tuple[float, float, float, float, float]:
    """Return what ISO 965-1's formulas give before the standard rounds and smooths them, in µm for lengths in mm.

    In order: allowance g; tolerances of the bolt's crests, the nut's crests, the bolt's and the nut's mid-thread. The
    diameter counts as the geometric mean of its range.
    """
    low, high = _range(diameter)
    flank = 90 * pitch**0.4 * math.sqrt(low * high) ** 0.1
    nut_crest = 433 * pitch - 190 * pitch**1.22 if pitch <= 0.8 else 230 * pitch**0.7
    return 15 + 11 * pitch, 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch), nut_crest, flank, 1.32 * flank


def _range(diameter: float) -> tuple[float, float]:
    """The standard's range of diameters (over, up to) that this one is in; outside them all the diameter itself."""
    place = sum(edge < diameter for edge in _RANGES)
    if 0 < place < len(_RANGES):
        return _RANGES[place - 1], _RANGES[place]
    return diameter, diameter


def _metric_limits(profile: Profile) -> Limits:
    """6g and 6H: the standard's tables for the pitches of limb bolts, its formulas for any other."""
    diameter, pitch = round(profile.diameter / MILLIMETRE, 9), round(profile.pitch / MILLIMETRE, 9)
    allowance, bolt_crest, nut_crest, bolt_flank, nut_flank = iso_formulas(diameter, pitch)
    allowance, bolt_crest, nut_crest = _CRESTS.get(pitch, (allowance, bolt_crest, nut_crest))
    bolt_flank, nut_flank = _FLANKS.get((_range(diameter)[0], pitch), (bolt_flank, nut_flank))
    micrometre = 1e-6
    return Limits(
        profile.diameter - (allowance + bolt_crest) * micrometre,
        profile.pitch_diameter - (allowance + bolt_flank) * micrometre,
        profile.pitch_diameter + nut_flank * micrometre,
        profile.minor_internal + nut_crest * micrometre,
    )


_SMALLEST_TO_THREE_PLACES = 0.138  # in: from this size on the nut's minor diameters are given to 0.001 in
_QUARTER = 0.25  # in: below this size the tolerance of the nut's minor diameter has a formula of its own


def _rounded(value: float, places: int) -> float:
    """Rounded as a table is, halves up; what is a half but for the binary fraction counts as one."""
    scale = 10.0**places
    return math.floor(value * scale + 0.5 + 1e-6) / scale


def _unified_limits(profile: Profile) -> Limits:
    """2A and 2B, rounded as the standard's tables were.

    The tolerance that others follow from to 0.000001 in, each part to 0.0001 in before it is added, at last the nut's
    minor diameter to 0.001 in.
    """
    diameter, pitch = profile.diameter / INCH, profile.pitch / INCH
    major, middle, hole = (
        _rounded(size / INCH, 4) for size in (profile.diameter, profile.pitch_diameter, profile.minor_internal)
    )
    flank = _rounded(0.0015 * (math.cbrt(diameter) + math.sqrt(diameter) + 10 * pitch ** (2 / 3)), 6)
    allowance = _rounded(0.3 * flank, 4)
    nut_crest = 0.25 * pitch - 0.4 * pitch**2
    if diameter < _QUARTER:
        small = 0.05 * pitch ** (2 / 3) + 0.03 * pitch / diameter - 0.002
        nut_crest = max(nut_crest, min(small, 0.394 * pitch))
    places = 3 if diameter >= _SMALLEST_TO_THREE_PLACES else 4
    return Limits(
        (major - allowance - _rounded(0.06 * pitch ** (2 / 3), 4)) * INCH,
        (middle - allowance - _rounded(flank, 4)) * INCH,
        (middle + _rounded(1.3 * flank, 4)) * INCH,
        _rounded(hole + _rounded(nut_crest, 4), places) * INCH,
    )
