"""Readings as published: a straight line through them, their uncertainty, and the units they are in (sources.md E)."""

from __future__ import annotations

import math
from functools import cache

from published import Row, Table
from quarterturn.bench.bow_fit import Weighing
from quarterturn.bench.scale_readings import MeasuredSlope, measured_slope
from quarterturn.bench.uncertainty import Budget, Contribution, budget, rectangular
from quarterturn.units import to_si

# The thermometer of GUM H.3: readings in °C and the correction at each. A degree stands here for a centimetre of draw.
_AT = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
_OFF = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
_CENTI = 1e-2
_SCATTER = math.sqrt(0.000110096583109 / 9)
"""The corrections' standard deviation about the line, by the sum of squares that a second source prints."""


@cache
def _line() -> MeasuredSlope:
    found = measured_slope([Weighing(at * _CENTI, off) for at, off in zip(_AT, _OFF, strict=True)])
    if found is None:
        raise ValueError("the thermometer's readings give no line")
    return found


def _slope() -> float:
    return _line().slope * _CENTI


def _slope_uncertainty() -> float:
    return _SCATTER / _line().spread * _CENTI


# GUM H.1, in nm, and EA-4/02, in mg.


def _end_gauge() -> Budget:
    return budget(
        (
            Contribution("standard", 25.0, freedom=18),
            Contribution("comparison", 9.7, freedom=25.6),
            Contribution("expansion", 2.9, freedom=50),
            Contribution("temperature", 16.6, freedom=2),
        )
    )


def _weight() -> Budget:
    halves = {"drift": 15.0, "comparator": 25.0, "magnetism": 10.0, "air": 10.0}
    return budget((Contribution("standard", 45.0, 1 / 2), *(rectangular(name, half) for name, half in halves.items())))


_GUIDE = "JCGM 100:2008 (GUM), quoted by others"
_LINE = Table("Straight line through eleven readings: a thermometer", f"{_GUIDE}, H.3", "S2", "")
_GAUGE = Table("Uncertainties put together: an end gauge", f"{_GUIDE}, H.1", "S2", "nm")
_MASS = Table(
    "Uncertainties put together: a weight of 10 kg", "EA-4/02 M:2022, example S2, quoted by others", "S2", "mg"
)
_UNITS = Table("Units", "NIST Special Publication 811, quoted by others", "S2", "")
_CUT = "The printed digits look cut off, not rounded."

ROWS: tuple[Row, ...] = (
    _LINE.row("slope", "0.00218", _slope),
    _LINE.row("standard uncertainty of the slope", "0.00067", _slope_uncertainty),
    _GAUGE.row("combined standard uncertainty", "32", lambda: _end_gauge().combined),
    _GAUGE.row(
        "effective degrees of freedom",
        "16",
        lambda: _end_gauge().freedom,
        unit="",
        places=1,
        remark="The Guide cuts this number off, as its annex G says. The degrees of its parts are from memory (M).",
    ),
    _MASS.row("combined standard uncertainty", "29.2", lambda: _weight().combined, places=1, remark=_CUT),
    _MASS.row("expanded uncertainty, k = 2", "58", lambda: _weight().expanded, places=1, remark=_CUT),
    _UNITS.row("inch", "25.4", lambda: to_si(1, "in") * 1e3, unit="mm"),
    _UNITS.row("pound-force", "4.4482216152605", lambda: to_si(1, "lbf"), unit="N"),
    _UNITS.row("kilogram-force", "9.80665", lambda: to_si(1, "kgf"), unit="N"),
    _UNITS.row("grain", "64.79891", lambda: to_si(1, "gr") * 1e6, unit="mg"),
)
"""All of them, in the order they are shown."""
