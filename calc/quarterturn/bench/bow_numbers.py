"""Every number that a bow is made from, and how far each may be off: of both limbs in common, and of each by itself.

The uncertainty of a limb's number has two independent parts: a common one, by which both limbs are off alike, and an
individual one of each limb (a linear model with random effects; any textbook, M).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.bench.bow_setup import Setup, fitted_bow, force_slope
from quarterturn.bench.dimensions import BY_THE_TIP, OFF
from quarterturn.mechanics.pocket import Pocket
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values

LENGTHS: dict[str, tuple[float, float]] = {
    "string_length": (3e-3, 15e-3),
    "string_upper": (3e-3, 15e-3),
    "upper_fulcrum": (3e-3, 12e-3),
    "fulcrum_span": (4e-3, 20e-3),
    "limb_length": (4e-3, 15e-3),
    "limb_depth": OFF["limb_depth"],
}
"""How far a length may be off, m, measured and assumed (our own estimates, no source)."""
LIMB: dict[str, float] = {
    "flush_angle": 0.03,
    "taper": 0.2,
    "inner_curvature": 0.3,
    "recurve_curvature": 2.0,
    "recurve": 0.03,
    "root_distance": 0.01,
    "stretch": 2e-5,
}
"""How far what no tape tells may be off in both limbs alike: rad, a ratio, 1/m, 1/m, m, m, 1/N (our own estimates, no
source)."""
INDIVIDUAL: dict[str, float] = {
    "flush_angle": 0.005,
    "taper": 0.03,
    "inner_curvature": 0.05,
    "recurve_curvature": 0.3,
    "recurve": 0.005,
    "root_distance": 0.0015,
    "limb_length": 1e-3,
    "limb_depth": 0.2e-3,
    "fulcrum_arm": 0.5e-3,
}
"""How far each limb's own number may be off from what both have in common, in the same units: limbs that were made as a
pair, pockets that were machined alike (our own estimates, no source)."""


@dataclass(frozen=True, slots=True)
class Parameter:
    """A number the bow is made from: a field of the record, or of `Setup` where no field asks for it.

    What one limb has of its own is named after that limb, such as "upper_taper": by how much it is more than "taper".

    Attributes:
        half: how far it may be off either way, in the unit of `value` (SI).
        known: "measured", "assumed" (the example's, until it is entered), "default" (nobody can measure it here), or
            "alike" (taken as nothing, for both limbs are taken as alike).
    """

    name: str
    value: float
    half: float
    known: str

    @property
    def parts(self) -> tuple[str, ...]:
        """What is moved to see what it does: the number, or both limbs' own where each limb has one."""
        return tuple(f"{bolt}_{self.name}" for bolt in BOLTS) if self.name in INDIVIDUAL else (self.name,)


def parameters(values: Values, setup: Setup) -> tuple[Parameter, ...]:
    """List every number that the bow is made from but its weighings, which `of_scale` looks after."""
    tape, count = values.number("tape_step"), counted_to(values)
    found = [
        Parameter(name, getattr(setup, name), tape, _known(values, name))
        for name in ("brace_height", "upper_tiller", "lower_tiller")
    ]
    if setup.tried is not None:
        found += [
            Parameter(name, getattr(setup, name), tape, "measured")
            for name in ("upper_tried_tiller", "lower_tried_tiller")
        ]
        turned = math.dist(setup.tried, setup.now)  # of one bolt
        found.append(Parameter("tried_turns", turned, count, _known(values, "tried_turns")))
    found += [
        Parameter(name, getattr(setup, name), off[0 if values.entered(name) else 1], _known(values, name))
        for name, off in LENGTHS.items()
    ]
    found += _of_pocket(values, setup)
    found += [
        Parameter(f"{bolt}_now_turns", setup.now[at], count, _known_stand(values, bolt))
        for at, bolt in enumerate(("upper", "lower"))
    ]
    found += [Parameter(name, getattr(setup, name), half, "default") for name, half in LIMB.items()]
    found += [Parameter(f"{bolt}_{name}", 0.0, half, "alike") for name, half in INDIVIDUAL.items() for bolt in BOLTS]
    return tuple(found)


def individual(name: str) -> tuple[int, str] | None:
    """Whose a number is that one limb has of its own, 0 for the upper limb, and of what kind; None for all others."""
    bolt, _, kind = name.partition("_")
    return (BOLTS.index(bolt), kind) if bolt in BOLTS and kind in INDIVIDUAL else None


def counted_to(values: Values) -> float:
    """How far off a bolt may stand from where it is counted, half-width in turns."""
    return values.number("smallest_turn") / 2 + values.number("play") / 2


def _known(values: Values, name: str) -> str:
    return "measured" if values.entered(name) else "assumed"


def _known_stand(values: Values, bolt: str) -> str:
    """Where a bolt stands is counted by the key, or by the heights of its head."""
    by_heights = values.entered(f"{bolt}_height_zero") and values.entered(f"{bolt}_height_now")
    return "measured" if by_heights else _known(values, f"{bolt}_now_turns")


def _of_pocket(values: Values, setup: Setup) -> list[Parameter]:
    pocket = setup.pockets[0]
    arm = pocket.fulcrum_arm
    by_tip = values.entered("lever_travel") and not values.entered("fulcrum_arm")
    off = BY_THE_TIP * arm if by_tip else OFF["fulcrum_arm"][0 if values.entered("fulcrum_arm") else 1]
    found = [Parameter("fulcrum_arm", arm, off, "measured" if by_tip else _known(values, "fulcrum_arm"))]
    head = _known(values, "head_diameter")
    found.append(
        Parameter("head_diameter", 2 * pocket.head_radius, OFF["head_diameter"][0 if head == "measured" else 1], head)
    )
    for bolt, one in zip(("upper", "lower"), setup.pockets, strict=True):
        name = f"{bolt}_rim_to_butt"
        rim = one.head_radius - one.butt_length + one.fulcrum_arm
        found.append(Parameter(name, rim, OFF["rim_to_butt"][0 if values.entered(name) else 1], _known(values, name)))
    known = _known(values, "rise")
    return [*found, Parameter("rise", pocket.pitch, OFF["rise"][0 if known == "measured" else 1], known)]


def moved(setup: Setup, name: str, by: float) -> Setup:
    """The setup with one of its numbers more by this much (SI).

    Raises:
        PocketError: where that is no pocket.
    """
    upper, lower = setup.pockets
    whose = individual(name)
    if whose is not None:
        return _one_limb_moved(setup, *whose, by)
    if name == "fulcrum_arm":
        return replace(setup, pockets=(_longer_arm(upper, by), _longer_arm(lower, by)))
    if name == "head_diameter":
        return replace(setup, pockets=(_wider_head(upper, by), _wider_head(lower, by)))
    if name == "upper_rim_to_butt":
        return replace(setup, pockets=(replace(upper, butt_length=upper.butt_length - by), lower))
    if name == "lower_rim_to_butt":
        return replace(setup, pockets=(upper, replace(lower, butt_length=lower.butt_length - by)))
    if name == "rise":
        return replace(setup, pockets=(replace(upper, pitch=upper.pitch + by), replace(lower, pitch=lower.pitch + by)))
    if name in ("upper_now_turns", "lower_now_turns"):
        more = (by, 0.0) if name == "upper_now_turns" else (0.0, by)
        tried = None if setup.tried is None else (setup.tried[0] + more[0], setup.tried[1] + more[1])
        return replace(setup, now=(setup.now[0] + more[0], setup.now[1] + more[1]), tried=tried)
    if name == "tried_turns" and setup.tried is not None:
        farther = 1 + by / math.dist(setup.tried, setup.now)
        one, two = (now + farther * (then - now) for now, then in zip(setup.now, setup.tried, strict=True))
        return replace(setup, tried=(one, two))
    return replace(setup, **{name: getattr(setup, name) + by})


def _one_limb_moved(setup: Setup, place: int, kind: str, by: float) -> Setup:
    """The setup with what one limb has of its own more by this much."""
    if kind == "fulcrum_arm":
        pockets = list(setup.pockets)
        pockets[place] = _longer_arm(pockets[place], by)
        return replace(setup, pockets=(pockets[0], pockets[1]))
    limbs = list(setup.individual)
    limbs[place] = replace(limbs[place], **{kind: getattr(limbs[place], kind) + by})
    return replace(setup, individual=(limbs[0], limbs[1]))


def _longer_arm(pocket: Pocket, by: float) -> Pocket:
    return replace(pocket, fulcrum_arm=pocket.fulcrum_arm + by, butt_length=pocket.butt_length + by)


def _wider_head(pocket: Pocket, by: float) -> Pocket:
    """The rim stays as far from the butt end as it was measured."""
    return replace(pocket, head_radius=pocket.head_radius + by / 2, butt_length=pocket.butt_length + by / 2)


# The weighings


def of_scale(values: Values, setup: Setup) -> tuple[Parameter, ...]:
    """How far the limbs' stiffness may be off by the scale and by the mark that was drawn to, as a part of it.

    Each weighing counts as the squares' least sum weighs it; the uncertainties of different weighings are independent.

    Raises:
        FitError, PocketError: as `fitted_bow`.
    """
    weighed = fitted_bow(setup).weighed
    square = math.fsum(one.force**2 for one in weighed)
    scale, mark = values.number("scale_step"), values.number("draw_step")

    def part(off: Callable[[int], float]) -> float:
        return math.hypot(*(one.force / square * off(at) for at, one in enumerate(weighed)))

    slopes = _slopes(setup)
    known = "measured" if values.entered("scale_readings") or values.entered("draw_weight") else "assumed"
    return (
        Parameter("scale_step", scale, part(lambda _: scale), known),
        Parameter("draw_step", mark, part(lambda at: slopes[at] * mark), known),
    )


@lru_cache(maxsize=8)
def _slopes(setup: Setup) -> tuple[float, ...]:
    """How the force grows about each weighing's draw length, N/m."""
    fitted = fitted_bow(setup)
    found: dict[float, float] = {}
    for one in fitted.weighed:
        if one.draw not in found:
            found[one.draw] = force_slope(fitted, one)
    return tuple(found[one.draw] for one in fitted.weighed)
