"""Units of measure at the edges: exact factors to SI (NIST SP 811, 2008, appendix B, S).

Inside the package everything is metres, newtons, kilograms, radians and turns.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its name in records, the symbol shown, the quantity it measures, its size in SI."""

    name: str
    symbol: str
    quantity: str
    size: float


class UnknownUnitError(ValueError):
    """No unit of that name; the message lists those that are permitted."""


INCH = 0.0254
POUND = 0.45359237
STANDARD_GRAVITY = 9.80665

UNITS = {
    unit.name: unit
    for unit in (
        Unit("mm", "mm", "length", 1e-3),
        Unit("in", "in", "length", INCH),
        Unit("m", "m", "length", 1.0),
        Unit("turn", "turns", "rotation", 1.0),
        Unit("count", "", "count", 1.0),
        Unit("percent", "%", "ratio", 0.01),
        Unit("deg", "°", "angle", math.pi / 180),
        Unit("rad", "rad", "angle", 1.0),
        Unit("lbf", "lb", "force", POUND * STANDARD_GRAVITY),
        Unit("N", "N", "force", 1.0),
        Unit("kgf", "kgf", "force", STANDARD_GRAVITY),
        Unit("N m", "N·m", "moment", 1.0),
        Unit("J", "J", "energy", 1.0),
        Unit("lbf/in", "lb/in", "stiffness", POUND * STANDARD_GRAVITY / INCH),
        Unit("N/cm", "N/cm", "stiffness", 100.0),
        Unit("kgf/cm", "kgf/cm", "stiffness", 100 * STANDARD_GRAVITY),
        Unit("MPa", "MPa", "stress", 1e6),
        Unit("mm2", "mm²", "area", 1e-6),
        Unit("gr", "gr", "mass", 64.79891e-6),
        Unit("g", "g", "mass", 1e-3),
        Unit("gr/lbf", "gr/lb", "mass per force", 64.79891e-6 / (POUND * STANDARD_GRAVITY)),
        Unit("g/N", "g/N", "mass per force", 1e-3),
        Unit("thou", "thou", "length", 1e-3 * INCH),
        Unit("N m2", "N·m²", "bending stiffness", 1.0),
    )
}


SYSTEMS = {"metric": ("mm", "N", "g", "g/N"), "imperial": ("in", "lbf", "gr", "gr/lbf")}
"""The units of a site that begins with metric or with imperial ones, one for a quantity; other sites begin with those
that the trade uses. What was typed has a unit of its own."""


def unit(name: str) -> Unit:
    """The unit of that name.

    Raises:
        UnknownUnitError: if there is none.
    """
    try:
        return UNITS[name]
    except KeyError:
        raise UnknownUnitError(f"unit must be one of {', '.join(UNITS)}: {name!r}") from None


def to_si(value: float, name: str) -> float:
    """A value given in the named unit, in SI.

    >>> round(to_si(0.25, "in"), 12)
    0.00635
    """
    return value * unit(name).size


def from_si(value: float, name: str) -> float:
    """An SI value in the named unit.

    >>> from_si(0.0254, "in")
    1.0
    """
    return value / unit(name).size
