"""A second, plain computation of every limit of a bolt, from model.md sections 1 and 2 (C; mpmath, 30 digits).

The limb is a rigid shape turned about its fulcrum by multiplication with a complex number; roots are found by
bisection. Nothing here calls the package.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import mpmath

MM = mpmath.mpf("0.001")
Case = dict[str, Any]

DEFAULTS: Case = {
    "flush_way": "outside",
    "strip": 0.1,
    "smallest": 0.125,
    "play": 0.05,
    "margin": 0.25,
    "rise": 4.23,
    "rise_turns": 4,
    "caliper": 0.1,
    "head": 19,
    "slot": 10.2,
    "arm": 60,
    "depth": 8,
    "rim_to_butt": 2.5,
    "touch": 5.25,
    "bracket": 0.5,
    "diameters": 2,
}
"""The worked example, in mm and turns. Optional: stop, zero_is_stop, maker_in, maker_out, free, thread."""


@dataclass(frozen=True, slots=True)
class Plain:
    """One limit: where it was read, the strip's interval, the margin, U, and where the range ends on its account."""

    at: float
    interval: float
    margin: float
    uncertainty: float
    usable: float


@dataclass(frozen=True, slots=True)
class Shape:
    """A limb and a head, in mm."""

    arm: Any
    depth: Any
    covered: Any
    reach: Any

    def corner(self, angle: Any) -> Any:
        """The butt's corner, turned."""
        return self._turned(mpmath.mpc(-self.covered, 0), angle)

    def height(self, angle: Any, x: Any) -> Any:
        """The back's height over x: the line through two turned points of it."""
        one, other = (self._turned(mpmath.mpc(place, 0), angle) for place in (-self.covered, self.arm))
        return one.imag + (x - one.real) * (other.imag - one.imag) / (other.real - one.real)

    def _turned(self, point: Any, angle: Any) -> Any:
        fulcrum = mpmath.mpc(self.arm, -self.depth)
        return fulcrum + (point - fulcrum) * mpmath.expjpi(-angle / mpmath.pi)

    def outside(self, angle: Any) -> tuple[Any, Any]:
        """Out from flush: the head's height, and the gap at the rim on the tip side."""
        corner = self.corner(angle)
        head = self.height(angle, -self.reach) if corner.real < -self.reach else corner.imag
        return head, head - self.height(angle, self.reach)

    def inside(self, angle: Any) -> tuple[Any, Any]:
        """In past flush: the head's height, and the gap at the butt end."""
        head = self.height(-angle, self.reach)
        return head, head - self.height(-angle, max(-self.reach, self.corner(-angle).real))


def bisected(function: Callable[[Any], Any], low: Any, high: Any) -> Any:
    """Where a function that is negative at `low` comes to zero."""
    low, high = mpmath.mpf(low), mpmath.mpf(high)
    for _ in range(110):
        middle = (low + high) / 2
        low, high = (middle, high) if function(middle) < 0 else (low, middle)
    return low


def shape_of(case: Case) -> Shape:
    """The shape of a case."""
    radius, half_slot = mpmath.mpf(case["head"]) / 2, mpmath.mpf(case["slot"]) / 2
    return Shape(
        mpmath.mpf(case["arm"]),
        mpmath.mpf(case["depth"]),
        radius - mpmath.mpf(case["rim_to_butt"]),
        mpmath.sqrt(radius**2 - half_slot**2),
    )


def strip_outside(case: Case) -> Any:
    """Turns outside flush where the strip stops at the rim."""
    shape, pitch, strip = shape_of(case), pitch_of(case), mpmath.mpf(case["strip"])
    angle = bisected(lambda angle: shape.outside(angle)[1] - strip, 0, 0.3)
    return shape.outside(angle)[0] / pitch


def strip_inside(case: Case) -> Any:
    """Turns inside flush where the strip stops at the butt end."""
    shape, pitch, strip = shape_of(case), pitch_of(case), mpmath.mpf(case["strip"])
    angle = bisected(lambda angle: shape.inside(angle)[1] - strip, 0, 0.3)
    return -shape.inside(angle)[0] / pitch


def cover_lost(case: Case) -> Any:
    """Turns out from flush where the butt end comes over the bolt's axis."""
    shape = shape_of(case)
    angle = bisected(lambda angle: shape.corner(angle).real, 0, 1)
    return shape.corner(angle).imag / pitch_of(case)


def pitch_of(case: Case) -> Any:
    """Rise over turns, mm."""
    return mpmath.mpf(case["rise"]) / case["rise_turns"]


def limits(changes: Case) -> dict[str, Plain]:
    """Every limit of a case by name; the cover only where it may come before another outer one."""
    case = DEFAULTS | changes
    with mpmath.workdps(30):
        return {name: _plain(name, *each, case) for name, each in _limits(case).items()}


INNER = ("flush", "stop", "maker_in")


def _plain(name: str, at: Any, interval: Any, uncertainties: list[Any], case: Case) -> Plain:
    margin = 0 if name in ("maker_in", "maker_out", "thread") else case["margin"]
    expanded = 2 * mpmath.sqrt(sum(uncertainty**2 for uncertainty in uncertainties))
    sign = 1 if name in INNER else -1
    usable = at + sign * (interval + margin + expanded)
    return Plain(*(float(each) for each in (at, interval, margin, expanded, usable)))


def _limits(case: Case) -> dict[str, tuple[Any, Any, list[Any]]]:
    root, pitch, way = mpmath.sqrt(3), pitch_of(case), case["flush_way"]
    counting = [mpmath.mpf(case["smallest"]) / 2 / root, mpmath.mpf(case["play"]) / 2 / root]
    strip_uncertainty = mpmath.mpf(case["strip"]) / 20 / root
    found: dict[str, tuple[Any, Any, list[Any]]] = {}
    if case.get("zero_is_stop"):
        found["stop"] = (0, 0, counting)
    else:
        if way == "inside":
            slope = mpmath.diff(lambda strip: strip_inside(case | {"strip": strip}), case["strip"], h=1e-6)
            found["flush"] = (0, strip_inside(case), [*counting, slope * strip_uncertainty])
        else:
            found["flush"] = (0, 0, counting)
        if "stop" in case:
            found["stop"] = (-case["stop"], 0, counting)
    if "maker_in" in case:
        found["maker_in"] = (case["maker_in"], 0, counting)
    if case["touch"] is not None:
        found["touch"] = (case["touch"], case["strip"] / pitch, [*counting, strip_uncertainty / pitch])
    if "free" in case and "thread" in case:
        needed = case["diameters"] * mpmath.mpf(case["thread"]) / pitch
        caliper = mpmath.mpf(case["caliper"]) / 2 / root
        pitch_uncertainty = caliper * mpmath.sqrt(2) / case["rise_turns"]
        of_it = [needed * pitch_uncertainty / pitch, case["diameters"] * caliper / pitch]
        found["thread"] = (case["free"] - needed, 0, [*counting, *of_it])
    if "maker_out" in case:
        found["maker_out"] = (case["maker_out"], 0, counting)
    zero_is_flush = not case.get("zero_is_stop")
    interval = strip_outside(case) if zero_is_flush and way == "outside" else 0
    interval = case["bracket"] if zero_is_flush and way == "both" else interval
    cover = (cover_lost(case), interval, counting)
    if _plain("cover", *cover, case).usable <= min(float(found[name][0]) for name in found if name not in INNER):
        found["cover"] = cover
    return found
