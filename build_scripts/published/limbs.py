"""Two more bent leaves: a benchmark of finite elements, and a column pushed past buckling (sources.md A)."""

from __future__ import annotations

import math
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from published import Row, Table
from published.bow import FINE, cantilever
from quarterturn.mechanics.limb import Limb, integrate
from quarterturn.mechanics.numerics import bisect

if TYPE_CHECKING:
    from collections.abc import Callable

LENGTH = 10.0
"""Of the benchmark's leaf: its displacements are printed for this length."""
FULL = 4.0
"""PL²/EI at the benchmark's full load: L 10, width 1, thickness 0.1, E 1.2·10⁶, P 4."""

# Share of the full load, displacement along the leaf and across it. Every second load of the table.
_BENCHMARK = (
    ("0.1", "0.103", "1.309"),
    ("0.2", "0.381", "2.493"),
    ("0.3", "0.763", "3.488"),
    ("0.4", "1.184", "4.292"),
    ("0.5", "1.604", "4.933"),
    ("0.6", "2.002", "5.444"),
    ("0.7", "2.370", "5.855"),
    ("0.8", "2.705", "6.190"),
    ("0.9", "3.010", "6.467"),
    ("1.0", "3.286", "6.698"),
)


def _along(share: float) -> float:
    return LENGTH * cantilever(FULL * share)[1]


def _across(share: float) -> float:
    return LENGTH * cantilever(FULL * share)[0]


def _benchmark() -> list[Row]:
    table = Table("Leaf of shell elements, loaded across its end", "Sze, Liu and Lo 2004", "S2", "")
    asked: tuple[tuple[str, Callable[[float], float]], ...] = (("along", _along), ("across", _across))
    remark = "Theirs is a mesh of 16 shell elements, which is a little stiffer than the line itself."
    return [
        table.row(f"{share} of the load, {way}", printed, partial(ask, float(share)), places=4, remark=remark)
        for share, *numbers in _BENCHMARK
        for printed, (way, ask) in zip(numbers, asked, strict=True)
    ]


@lru_cache(maxsize=16)
def _column(degrees: float) -> tuple[float, float, float]:
    """Load over that which buckles it, height and sideways place of the end (over the length), by its end's angle.

    The string is the load: it pulls the end straight back toward the root, so that ψ there is nothing.
    """
    limb, tip = Limb(1.0, 1.0, 0.0, 0.0, 0.0, 1.0), math.radians(degrees)

    def root_angle(load: float) -> float:
        return integrate(limb, FINE, load, tip)[2]

    low = high = math.pi**2 / 4  # the first buckling load
    while root_angle(high) > 0:
        low, high = high, 1.1 * high
    load = bisect(lambda load: -root_angle(load), low, high)
    along, across, *_ = integrate(limb, FINE, load, tip)
    return load * 4 / math.pi**2, along, across


# Angle of the free end in degrees, load over that which buckles, height and sideways place of the end over the length.
_COLUMN = (
    ("20", "1.015", "0.970", "0.220"),
    ("40", "1.063", "0.881", "0.422"),
    ("60", "1.152", "0.741", "0.593"),
    ("80", "1.293", "0.560", "0.719"),
    ("100", "1.518", "0.349", "0.792"),
    ("120", "1.884", "0.123", "0.803"),
    ("140", "2.541", "-0.107", "0.750"),
    ("160", "4.029", "-0.340", "0.625"),
    ("176", "9.116", "-0.577", "0.421"),
)

_UNSURE = frozenset(
    [
        *(("20", "sideways"), ("40", "load"), ("80", "load"), ("80", "height")),
        *(("120", "load"), ("140", "load"), ("160", "load")),
    ]
)
"""What mpmath's elliptic integrals do not round to as printed (C)."""


def _pushed(degrees: float, place: int) -> float:
    return _column(degrees)[place]


def _buckled() -> list[Row]:
    source = "Timoshenko and Gere, Theory of Elastic Stability, 1961"
    table = Table("Column pushed past buckling", source, "M", "")
    rows = []
    for degrees, *numbers in _COLUMN:
        for place, (printed, what) in enumerate(zip(numbers, ("load P/Pcr", "height", "sideways"), strict=True)):
            ask = partial(_pushed, float(degrees), place)
            unsure = (degrees, what.partition(" ")[0]) in _UNSURE
            remark = (
                "A closed form with elliptic integrals gives ours: the last digit printed is not sure."
                if unsure
                else ""
            )
            rows.append(table.row(f"{degrees}°, {what}", printed, ask, places=1.5 if unsure else 0.5, remark=remark))
    return rows


ROWS: tuple[Row, ...] = (*_benchmark(), *_buckled())
"""All of them, in the order they are shown."""
