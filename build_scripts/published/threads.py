"""Threads and bolts as published: diameters, areas, limits, strengths, worked examples (sources.md C)."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from published import Row, Table
from quarterturn.mechanics.bolt_load import Bearing, shank_stress
from quarterturn.mechanics.materials import MATERIALS, Material, Use
from quarterturn.mechanics.pocket import ContactState
from quarterturn.mechanics.thread_profile import Limits, Profile, class_limits, profile_of
from quarterturn.mechanics.thread_strength import needed_length, shear_areas
from quarterturn.mechanics.threads import thread_named
from quarterturn.units import INCH

if TYPE_CHECKING:
    from collections.abc import Callable

MM = 1e-3
MPA = 1e6


def _profile(name: str) -> Profile:
    return profile_of(thread_named(name))


def _size(name: str) -> float:
    """The unit a thread's table is in."""
    return MM if name.startswith("M") else INCH


def _unit(name: str) -> str:
    return "mm" if name.startswith("M") else "in"


def _of_profile(name: str, property_name: str, power: int = 1) -> float:
    return float(getattr(_profile(name), property_name)) / _size(name) ** power


_CUT_OFF = "The printed digits look cut off, not rounded."

# Thread, stress area, pitch diameter, minor diameter inside, minor diameter outside, as printed.
_DIMENSIONS = (
    ("1/4-28", "0.0364", "0.2268", "0.2113", "0.2074"),
    ("5/16-24", "0.0580", "0.2854", "0.2674", "0.2629"),
    ("3/8-16", "0.0775", "0.3344", "0.3073", "0.2983"),
    ("3/8-24", "0.0878", "0.3479", "0.3299", "0.3254"),
    ("M6×1", "20.1", "5.350", "4.917", "4.773"),
    ("M8×1.25", "36.6", "7.188", "6.647", "6.466"),
    ("M8×1", "39.2", "7.350", "6.917", "6.773"),
    ("M10×1.5", "58.0", "9.026", "8.376", "8.160"),
    ("M10×1", "64.5", "9.350", "8.917", "8.773"),
    ("M10×1.25", "61.2", "9.188", "8.647", "8.466"),
)


def _older_root(name: str) -> float:
    """Minor diameter of a bolt whose root is flat at H/4 less H/6, d − 17H/12, as unified tables once gave it."""
    profile = _profile(name)
    return (profile.diameter - 17 / 12 * profile.triangle_height) / INCH


def _areas() -> list[Row]:
    metric = Table("Stress area", "ISO 898-1", "S2", "mm²")
    unified = Table("Stress area", "ASME B1.1", "S2", "in²")
    rows = []
    for name, printed, *_ in _DIMENSIONS:
        ask = partial(_of_profile, name, "stress_area", 2)
        if name == "5/16-24":
            remark = f"{_CUT_OFF} Another table prints 0.0581."
            rows.append(unified.row(name, printed, ask, places=1, remark=remark))
            rows.append(unified.row(f"{name}, another table", "0.0581", ask))
        else:
            rows.append((metric if name.startswith("M") else unified).row(name, printed, ask))
    return rows


def _diameters() -> list[Row]:
    rows = []
    for place, (group, property_name) in enumerate(
        (
            ("Pitch diameter", "pitch_diameter"),
            ("Minor diameter, nut or bush", "minor_internal"),
            ("Minor diameter, bolt", "minor_external"),
        ),
        start=2,
    ):
        for line in _DIMENSIONS:
            name, printed = line[0], line[place]
            source = "ISO 68-1, ISO 724" if name.startswith("M") else "ASME B1.1"
            table = Table(group, source, "S2", _unit(name))
            ask = partial(_of_profile, name, property_name)
            if (name, place) == ("3/8-16", 4):
                remark = (
                    "Printed for the older root, d − 17H/12, and compared with that. The package takes the rounded"
                    " root, d − 11H/8, as the other three unified rows do: 0.3006 in."
                )
                rows.append(table.row(f"{name}, older root", printed, partial(_older_root, name), remark=remark))
            elif (name, place) == ("1/4-28", 4):
                rows.append(table.row(name, printed, ask, places=1, remark=_CUT_OFF))
            else:
                rows.append(table.row(name, printed, ask))
    return rows


def _proof_load(name: str, key: str) -> float:
    proof = MATERIALS[key].proof
    return _profile(name).stress_area * proof if proof else 0.0


_CLASSES = ("8.8", "10.9", "12.9")
_PROOF_LOADS = (
    ("M6×1", ("11600", "16700", "19500")),
    ("M8×1.25", ("21200", "30400", "35500")),
    ("M10×1.5", ("33700", "48100", "56300")),
)
_PROOF_REMARKS = {
    ("M6×1", "8.8"): "No one proof stress gives both this and the load printed for M10: this one is rounded down.",
    ("M10×1.5", "8.8"): "No one proof stress gives both this and the load printed for M6: this one is rounded up.",
    ("M10×1.5", "12.9"): "The standard multiplies its own rounded area, 58.0 mm²; ours is 57.99.",
}


def _proof_loads() -> list[Row]:
    table = Table("Proof load", "ISO 898-1", "S2", "N")
    rows = []
    for name, loads in _PROOF_LOADS:
        for key, printed in zip(_CLASSES, loads, strict=True):
            remark = _PROOF_REMARKS.get((name, key), "")
            ask = partial(_proof_load, name, key)
            places = 1 if remark else 0.5
            rows.append(table.row(f"{name}, {key}", printed, ask, last_place=100, places=places, remark=remark))
    return rows


def _strength(key: str, property_name: str) -> float:
    return float(getattr(MATERIALS[key], property_name)) / MPA


_STRENGTHS = (
    ("8.8", "800", "640", "ISO 898-1 (up to 16 mm)"),
    ("10.9", "1040", "940", "ISO 898-1"),
    ("12.9", "1220", "1100", "ISO 898-1"),
    ("A2-70", "700", "450", "ISO 3506-1"),
    ("7075-T6", "572", "503", "data sheets, typical"),
    ("6061-T6", "310", "276", "data sheets, typical"),
    ("Ti-6Al-4V", "900", "830", "data sheet, annealed bar"),
)


def _strengths() -> list[Row]:
    rows = []
    for key, tensile, yielding, source in _STRENGTHS:
        table = Table("Strength", source, "S2", "MPa")
        rows.append(table.row(f"{key}, tensile", tensile, partial(_strength, key, "tensile")))
        rows.append(table.row(f"{key}, yield", yielding, partial(_strength, key, "yield_strength")))
    return rows


def _eccentric(name: str, offset: float) -> float:
    """Stress of 1000 N along the bolt, so far (mm) from its axis, MPa."""
    bearing = Bearing(0.0, ContactState.RIM, 1000.0, 1000.0, 0.0, offset * MM, 1000.0 * offset * MM, 0.0)
    return shank_stress(bearing, _profile(name).stress_area).combined / MPA


_ECCENTRIC = (
    ("M8×1.25", "59.324", "91.332"),
    ("M10×1.5", "33.299", "49.354"),
    ("5/16-24", "57.615", "88.536"),
)


def _eccentrics() -> list[Row]:
    table = Table("Stress at 1000 N beside the axis", "σ = (F/As)(1 + 8e/ds), elementary beam theory", "C", "MPa")
    rows = []
    for name, at_one, at_two in _ECCENTRIC:
        for offset, printed in ((1.0, at_one), (2.0, at_two)):
            ask = partial(_eccentric, name, offset)
            remark = ""
            if name == "5/16-24":
                remark = (
                    "Computed with the factor the standard prints, 0.9743/n, not with the table's rounded area; the"
                    " package takes 9H/8, which is 0.97428/n."
                )
            places = 1.5 if remark else 0.5
            rows.append(table.row(f"{name}, {offset:g} mm", printed, ask, places=places, remark=remark))
    return rows


def _shear(name: str, side: str, length: float) -> float:
    """Shear area of a thread engaged so far (m), in²."""
    return float(getattr(shear_areas(_profile(name)), side)) * length / INCH**2


_SHEARED = (
    ("3/8-24", "external", "0.217", ""),
    ("3/8-24", "internal", "0.299", ""),
    ("1/4-28", "external", "0.093", ""),
    ("1/4-28", "internal", "0.130", ""),
    ("3/8-16", "external", "0.216", ""),
    ("3/8-16", "internal", "0.310", f"{_CUT_OFF} By hand from the same limits it is 0.31053."),
)


def _shear_areas() -> list[Row]:
    table = Table("Shear area, one diameter engaged", "FED-STD-H28/2, Machinery's Handbook, 24th edition", "S2", "in²")
    sides = {"external": "bolt", "internal": "bush"}
    rows = [
        table.row(
            f"{name}, {sides[side]}",
            printed,
            partial(_shear, name, side, _profile(name).diameter),
            places=0.6 if remark else 0.5,
            remark=remark,
        )
        for name, side, printed, remark in _SHEARED
    ]
    each_inch = Table("Shear area, one inch engaged", table.source, "S2", "in²")
    return [*rows, each_inch.row("5/16-24, bush", "0.663", partial(_shear, "5/16-24", "internal", INCH))]


def _limit(name: str, pick: Callable[[Limits], float]) -> float:
    return pick(class_limits(_profile(name))) / _size(name)


def _major(limits: Limits) -> float:
    return limits.major_external_min


def _outside(limits: Limits) -> float:
    return limits.pitch_external_min


def _inside(limits: Limits) -> float:
    return limits.pitch_internal_max


def _minor(limits: Limits) -> float:
    return limits.minor_internal_max


# Thread, least pitch diameter of the bolt, greatest minor of the bush, least major of the bolt, greatest pitch diameter
# of the bush.
_CLASS_2 = (
    ("1/4-28", ".2225", ".2200", ".2425", ".2311"),
    ("5/16-24", ".2806", ".2770", ".3042", ".2902"),
    ("3/8-16", ".3287", ".3210", ".3643", ".3401"),
    ("3/8-24", ".3430", ".3400", ".3667", ".3528"),
)
# The same for metric threads, and the marks of what is said of the bush: charts of the standard quote the rest.
_CLASS_6 = (
    ("M6×1", "5.212", "5.153", "5.794", "5.500", "M"),
    ("M8×1.25", "7.042", "6.912", "7.760", "7.348", "M"),
    ("M8×1", "7.212", "7.153", "7.794", "7.500", "M"),
    ("M10×1.5", "8.862", "8.676", "9.732", "9.206", "S2"),
    ("M10×1.25", "9.042", "8.912", "9.760", "9.348", "S2"),
    ("M10×1", "9.212", "9.153", "9.794", "9.500", "S2"),
)
_PICKS = (
    ("bolt, least pitch diameter", _outside),
    ("bush, greatest minor diameter", _minor),
    ("bolt, least major diameter", _major),
    ("bush, greatest pitch diameter", _inside),
)


def _class_limits() -> list[Row]:
    rows = []
    unified = Table("Limits, class 2A and 2B", "ASME B1.1", "M", "in")
    for name, *printed in _CLASS_2:
        for text, (what, pick) in zip(printed, _PICKS, strict=True):
            mark = "S2" if name == "3/8-16" and what.startswith("bush") else None
            rows.append(unified.row(f"{name}, {what}", f"0{text}", partial(_limit, name, pick), mark=mark))
    metric = Table("Limits, class 6g and 6H", "ISO 965-1, ASME B1.13M", "S2", "mm")
    for name, *printed, bush_mark in _CLASS_6:
        for text, (what, pick) in zip(printed, _PICKS, strict=True):
            mark = bush_mark if what.startswith("bush") else None
            rows.append(metric.row(f"{name}, {what}", text, partial(_limit, name, pick), mark=mark))
    return rows


_WORKED_BOLT = Material("worked", "the worked bolt", 830 * MPA, 660 * MPA, Use.BOLT, "iso-898-1", "S2")
"""Only its tensile strength is used; the yield strength is ISO 898-1's for class 8.8 over 16 mm (M)."""


def _worked_area() -> float:
    return shear_areas(_profile("M10×1.5"), least_material=False).internal / MM


def _worked_length() -> float:
    needed = needed_length(_profile("M10×1.5"), _WORKED_BOLT, MATERIALS["6061-T6"], least_material=False)
    return needed.by_internal / MM


def _worked() -> list[Row]:
    group = "Worked example: M10, Rm 830 MPa, in 6061-T6"
    table = Table(group, "worked example, 0.6 Rm in shear", "S2", "mm")
    return [
        table.row("shear area of the bush, per mm engaged", "27.489", _worked_area, unit="mm²/mm"),
        table.row("length engaged as strong as the bolt", "9.41", _worked_length, mark="C"),
        table.row("the same, as first printed", "9.4", _worked_length),
    ]


ROWS: tuple[Row, ...] = (
    *_areas(),
    *_diameters(),
    *_proof_loads(),
    *_strengths(),
    *_eccentrics(),
    *_shear_areas(),
    *_class_limits(),
    *_worked(),
)
"""All of them, in the order they are shown."""
