"""Arrows as published: the general least mass, and one shaft by both tests of spine (sources.md D)."""

from __future__ import annotations

from published import Row, Table
from quarterturn.bench.arrows import GENERAL_LEAST, OLDER_FORCE, OLDER_SPAN, deflection, held, stiffness
from quarterturn.units import from_si, to_si

_LEAST = Table("Least mass of an arrow", "AMO, quoted by others", "S2", "gr")
_SPINE = Table("One shaft by both tests of spine", "ASTM F2031 and AMO, quoted by others", "S2", "thou")


def _least(weight: float, unit: str) -> float:
    return from_si(held(1.0, to_si(weight, "lbf"), GENERAL_LEAST).needed, unit)


def _older(spine: float) -> float:
    return from_si(deflection(stiffness(to_si(spine, "thou")), OLDER_FORCE, OLDER_SPAN), "thou")


ROWS: tuple[Row, ...] = (
    _LEAST.row("60 lb, in grains", "300", lambda: _least(60, "gr")),
    _LEAST.row("60 lb, in grams", "19.44", lambda: _least(60, "g"), unit="g"),
    _SPINE.row("500 by 1.94 lb on 28 in, under 2 lb on 26 in", "413", lambda: _older(500)),
    _SPINE.row("what the first is multiplied by", "0.825", lambda: _older(500) / 500, unit=""),
)
