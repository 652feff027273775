"""Made bows: every number is known, and what an archer reads of one is drawn within what the record says of reading.

A bow is put together from the mechanics alone, each limb with numbers of its own; SciPy's root finder gives it the
string and the two limbs' stiffness that make the wanted brace height, tiller and draw weight. So nothing here goes
through the package's own search for a bow. SI; turns count out from zero, which is taken as flush.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.optimize import root

from helpers.asking import COMPLETE, Data
from quarterturn.mechanics import continuation, equilibrium
from quarterturn.mechanics.bow import Bow, BowError, BowString, BracedBow, Side
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.limb import Limb, LimbError
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.units import to_si

Pair = tuple[float, float]
WHAT = ("weight", "tiller", "brace_height")
LBF = to_si(1.0, "lbf")
INCH = 0.0254
AMO = 1.75 * INCH
"""The draw length by the AMO standard is so much more than from the pivot point (AMO standard, S2)."""
KINDS: dict[str, Pair] = {"upper": (1.0, 0.0), "lower": (0.0, 1.0), "both": (1.0, 1.0), "opposite": (1.0, -1.0)}
"""Which bolts are turned, and which way against one another."""
DEFAULTS = {
    "flush_angle": 0.030,
    "taper": 0.5,
    "inner_curvature": 0.2,
    "recurve_curvature": -7.0,
    "recurve": 0.17,
    "root_distance": 0.030,
    "stretch": 0.0,
}
"""What no tape tells: the made-up limb that the package takes, written down once more (model.md 4)."""
RANGES = {
    "upper_fulcrum": (0.305, 0.325),
    "fulcrum_span": (0.595, 0.625),
    "limb_length": (0.550, 0.580),
    "limb_depth": (0.0065, 0.0095),
    "fulcrum_arm": (0.054, 0.066),
    "head_diameter": (0.018, 0.020),
    "upper_rim_to_butt": (0.0015, 0.0035),
    "lower_rim_to_butt": (0.0015, 0.0035),
    "rise": (1.00e-3, 1.10e-3),
    "upper_now_turns": (1.75, 3.0),
    "lower_now_turns": (1.75, 3.0),
    "fulcrum_x": (0.038, 0.052),
    "string_share": (0.474, 0.484),
    "brace_height": (0.212, 0.230),
    "tiller": (-0.002, 0.008),
    "weight": (26 * LBF, 44 * LBF),
    "draw": (24.5 * INCH, 27.5 * INCH),
}
"""Between these bows lie (made up): what a tape and a scale tell of them, and the draw from the pivot point."""
EXAMPLE = {
    "upper_fulcrum": 0.315,
    "fulcrum_span": 0.610,
    "limb_length": 0.565,
    "limb_depth": 0.008,
    "fulcrum_arm": 0.060,
    "head_diameter": 0.019,
    "rise": 4.233e-3 / 4,
}
EXAMPLE_STRING = {"string_length": 1.6458, "string_upper": 0.7879}
"""The lengths of the example's bow, which count where none were entered."""
LIMBS = ("upper", "lower")


Limbs = tuple[dict[str, float], dict[str, float]]
"""What the upper limb and its pocket are made with, and the lower one, by name."""


class NoBow(ValueError):  # noqa: N818 - it reads as what it says
    """These numbers are no bow that can be strung and drawn."""


@dataclass(frozen=True)
class TrueBow:
    """A bow of which every number is known.

    Attributes:
        turns: where its bolts stand.
        draw: the archer's draw length from the pivot point, m.
        string: from the nocking point to both loops, m.
        limbs: what each limb and its pocket are made with.
        common: what both have in common, by name.
    """

    bow: Bow
    pockets: tuple[Pocket, Pocket]
    turns: Pair
    draw: float
    limbs: Limbs
    common: dict[str, float]

    def rock(self, turns: Pair) -> Pair:
        """Both limbs' rock angles, rad."""
        return rock_angle(self.pockets[0], turns[0]), rock_angle(self.pockets[1], turns[1])

    def braced(self, turns: Pair) -> BracedBow:
        """Strung, with its bolts there."""
        return equilibrium.braced(self.bow, self.rock(turns))

    def at(self, turns: Pair) -> dict[str, float]:
        """What it gives with its bolts there: exactly what tape and scale would tell.

        Raises:
            NoBow: where it cannot be strung or drawn.
        """
        try:
            strung = self.braced(turns)
            force = continuation.drawn(self.bow, self.rock(turns), self.draw, start=strung).force
        except (BowError, PocketError) as error:
            raise NoBow(str(error)) from None
        return {
            "weight": force,
            "tiller": strung.belly_tiller,
            "brace_height": strung.brace_height,
            "upper_tiller": strung.upper.distance_to_belly,
            "lower_tiller": strung.lower.distance_to_belly,
        }

    def change(self, change: Pair) -> dict[str, float]:
        """What turning both bolts by this much adds."""
        before, after = self.at(self.turns), self.at((self.turns[0] + change[0], self.turns[1] + change[1]))
        return {what: after[what] - before[what] for what in WHAT}


def pocket_of(limb: dict[str, float]) -> Pocket:
    """A limb's pocket; nothing but the bolt holds the limb."""
    radius = limb["head_diameter"] / 2
    arm = limb["fulcrum_arm"]
    return Pocket(arm, limb["limb_depth"], arm + radius - limb["rim_to_butt"], radius, 0.0051, limb["rise"], 0.3)


def side_of(limb: dict[str, float], fulcrum_x: float, fulcrum_y: float, stiffness: float) -> Side:
    """A limb and where the riser holds it."""
    length = limb["limb_length"] - limb["root_distance"]
    line = Limb(
        length,
        stiffness,
        limb["taper"],
        limb["inner_curvature"],
        limb["recurve_curvature"],
        length - limb["recurve"],
    )
    depth = limb["limb_depth"]
    return Side(line, fulcrum_x, fulcrum_y, limb["flush_angle"], depth, limb["root_distance"], depth)


def put_together(limbs: Limbs, common: dict[str, float], string: float, log_ratio: float, stiffness: float) -> Bow:
    """The bow of these numbers, of this string and of limbs as stiff as that."""
    heights = common["upper_fulcrum"], common["fulcrum_span"] - common["upper_fulcrum"]
    upper, lower = (
        side_of(limb, common["fulcrum_x"], height, ei)
        for limb, height, ei in zip(limbs, heights, (stiffness, stiffness * math.exp(log_ratio)), strict=True)
    )
    share = common["string_share"]
    stretches = 1 / common["stretch"] if common["stretch"] else None
    return Bow(upper, lower, BowString(string * share, string * (1 - share), stretches))


def strung_bow(limbs: Limbs, common: dict[str, float], turns: Pair) -> TrueBow:
    """The bow of these numbers that has the wanted brace height, tiller and draw weight.

    Raises:
        NoBow: there is none.
    """
    try:
        pockets = pocket_of(limbs[0]), pocket_of(limbs[1])
        rock = rock_angle(pockets[0], turns[0]), rock_angle(pockets[1], turns[1])
    except PocketError as error:
        raise NoBow(str(error)) from None
    kept: list[BracedBow] = []

    def off(unknown: Any) -> list[float]:
        string, log_ratio, log_stiffness = (float(each) for each in unknown)
        bow = put_together(limbs, common, string, log_ratio, math.exp(log_stiffness))
        strung = equilibrium.braced(bow, rock, start=kept[-1] if kept else None)
        kept[:] = [strung]
        force = continuation.drawn(bow, rock, common["draw"], start=strung).force
        return [
            (strung.brace_height - common["brace_height"]) / 1e-3,
            (strung.belly_tiller - common["tiller"]) / 1e-3,
            (force - common["weight"]) / LBF,
        ]

    around = common["fulcrum_span"] + limbs[0]["limb_length"] + limbs[1]["limb_length"]
    for part in (0.945, 0.935, 0.955, 0.925, 0.965):
        kept.clear()
        try:
            found = root(off, [part * around, 0.0, math.log(34.0)], method="hybr", options={"eps": 1e-5})
        except (BowError, LimbError):
            continue
        if found.success and max(map(abs, found.fun)) < 1e-4:
            string, log_ratio, log_stiffness = (float(each) for each in found.x)
            bow = put_together(limbs, common, string, log_ratio, math.exp(log_stiffness))
            return TrueBow(bow, pockets, turns, common["draw"], limbs, common)
    raise NoBow("no string and no stiffness give these readings")


# Drawn within half-widths


@dataclass(frozen=True)
class Halves:
    """How far each number may be off, half-widths by name: of both limbs in common, and of each limb's own."""

    common: dict[str, float]
    individual: dict[str, float]


@dataclass(frozen=True)
class Reading:
    """How near the archer reads, half-widths: tape (m), scale (N), mark of the draw (m), count of turns."""

    tape: float = 1e-3
    scale: float = 0.5 * LBF
    mark: float = 0.125 * INCH
    count: float = 0.125 / 2 + 0.05 / 2


@dataclass(frozen=True)
class Bench:
    """A bow of known truth, and the record that an archer has of it.

    Attributes:
        redrawn: so many times other numbers were drawn before, of which there is no bow.
    """

    true: TrueBow
    record: Data
    near: Reading
    chance: np.random.Generator
    redrawn: int


PER_LIMB = ("rim_to_butt",)
OF_LIMB = ("flush_angle", "taper", "inner_curvature", "recurve_curvature", "recurve", "root_distance")
OF_BOTH = ("limb_length", "limb_depth", "fulcrum_arm", "head_diameter", "rise")
"""Entered once for both limbs."""


def drawn_bench(
    seed: int, halves: Halves, *, unlike: bool, measured: bool = True, near: Reading | None = None
) -> Bench:
    """A bow whose numbers are off from what its record says by chance, evenly within the half-widths.

    Where not all was measured, the archer entered the bow as it is and nothing of riser, limbs and string, so that
    the record says the example's.
    """
    near = near or Reading()
    chance = np.random.default_rng([seed, 17])
    for redrawn in range(200):
        try:
            true, record = _tried(chance, halves, near, unlike, measured)
        except NoBow:
            continue
        return Bench(true, record, near, chance, redrawn)
    raise AssertionError("no bow could be drawn")


def _tried(
    chance: np.random.Generator, halves: Halves, near: Reading, unlike: bool, measured: bool
) -> tuple[TrueBow, Data]:
    entered = {name: float(chance.uniform(*ends)) for name, ends in RANGES.items()}
    if not measured:
        entered |= EXAMPLE
        string, upper = (
            whole + float(chance.uniform(-1, 1)) * halves.common[name] for name, whole in EXAMPLE_STRING.items()
        )
        entered["string_share"] = upper / string

    def off(half: float) -> float:
        return float(chance.uniform(-half, half))

    def true_of(name: str) -> float:
        return (entered | DEFAULTS)[name] + off(halves.common[name])

    common = {name: entered[name] for name in ("fulcrum_x", "string_share", "brace_height", "tiller", "weight", "draw")}
    common |= {name: true_of(name) for name in ("upper_fulcrum", "fulcrum_span")}
    common["stretch"] = abs(off(halves.common["stretch"]))
    shared = {name: true_of(name) for name in (*OF_LIMB, *OF_BOTH)}
    limbs = []
    for bolt in LIMBS:
        own = {name: off(half) for name, half in halves.individual.items()}
        limb = {name: value + (own.get(name, 0.0) if unlike else 0.0) for name, value in shared.items()}
        limb["rim_to_butt"] = true_of(f"{bolt}_rim_to_butt")
        limbs.append(limb)
    turns = tuple(entered[f"{bolt}_now_turns"] + off(near.count) for bolt in LIMBS)
    true = strung_bow((limbs[0], limbs[1]), common, (turns[0], turns[1]))
    for kind in KINDS.values():  # so far it is turned, here and in what is entered
        for way in (-1.0, 1.0):
            true.at((turns[0] + way * kind[0], turns[1] + way * kind[1]))
    return true, _record(true, entered, chance, near, halves if measured else None)


def _record(
    true: TrueBow, entered: dict[str, float], chance: np.random.Generator, near: Reading, halves: Halves | None
) -> Data:
    """What the archer enters: the bow as it is by tape and scale and, where they were measured, all lengths."""
    strung = true.at(true.turns)
    string = true.bow.string.upper + true.bow.string.lower

    def mm(value: float, half: float = 0.0) -> float:
        return 1000 * (value + float(chance.uniform(-half, half)))

    lengths: Data = {}
    if halves is not None:
        names = ("upper_fulcrum", "fulcrum_span", "limb_length", "limb_depth", "fulcrum_arm", "head_diameter")
        lengths = {name: mm(entered[name]) for name in names}
        lengths |= {"rise": 4000 * entered["rise"], "rise_turns": 4}
        lengths |= {
            "string_length": mm(string, halves.common["string_length"]),
            "string_upper": mm(true.bow.string.upper, halves.common["string_upper"]),
        }
    return COMPLETE | {
        **lengths,
        **{f"{bolt}_rim_to_butt": mm(entered[f"{bolt}_rim_to_butt"]) for bolt in LIMBS},
        **{f"{bolt}_now_turns": entered[f"{bolt}_now_turns"] for bolt in LIMBS},
        "draw_length": (true.draw + AMO) / INCH,
        "draw_station": "amo",
        "tape_step": 1000 * near.tape,
        "scale_step": near.scale / LBF,
        "draw_step": near.mark / INCH,
        **{name: mm(strung[name], near.tape) for name in ("brace_height", "upper_tiller", "lower_tiller")},
        "draw_weight": weighed(true, true.turns, chance, near) / LBF,
    }


def weighed(true: TrueBow, turns: Pair, chance: np.random.Generator, near: Reading) -> float:
    """What the scale shows, drawn to the mark as near as the archer does it, N."""
    drawn = replace(true, draw=true.draw + float(chance.uniform(-near.mark, near.mark)))
    return drawn.at(turns)["weight"] + float(chance.uniform(-near.scale, near.scale))


def counted(start: Pair, change: Pair, chance: np.random.Generator, near: Reading) -> Pair:
    """Where the bolts really stand when they were turned by this count; a bolt left alone stays where it is."""
    upper, lower = (
        place + by + (float(chance.uniform(-near.count, near.count)) if by else 0.0)
        for place, by in zip(start, change, strict=True)
    )
    return upper, lower


# What an archer adds to the record


def with_tried_turn(bench: Bench) -> Data:
    """The record with one bolt turned for trial, and both tillers read after it."""
    chance, near, true = bench.chance, bench.near, bench.true
    bolt, way = LIMBS[int(chance.integers(2))], ("in", "out")[int(chance.integers(2))]
    by = float(chance.choice([0.5, 0.75, 1.0]))
    signed = -by if way == "in" else by
    there = counted(true.turns, (signed, 0.0) if bolt == "upper" else (0.0, signed), chance, near)
    found = true.at(there)
    read = {
        f"{each}_tried_tiller": 1000 * (found[f"{each}_tiller"] + float(chance.uniform(-near.tape, near.tape)))
        for each in LIMBS
    }
    return bench.record | read | {"tried_move": f"{bolt}_{way}", "tried_turns": by}


def with_log(bench: Bench, count: int = 3) -> tuple[Data, Pair]:
    """The record with some settings in its log, each a step of a quarter or a half from the one before.

    Beside it, where the bolts really stand at the newest of them.
    """
    chance, near, true = bench.chance, bench.near, bench.true
    at, there = [0.0, 0.0], true.turns
    rows = []
    for day in range(1, count + 1):
        for bolt in range(2):
            step = float(chance.choice([-0.5, -0.25, 0.0, 0.25, 0.5]))
            at[bolt] += step if abs(at[bolt] + step) <= 1 else -step
        there = counted(true.turns, (at[0], at[1]), chance, near)
        found = true.at(there)
        upper, lower, brace = (
            1000 * (found[name] + float(chance.uniform(-near.tape, near.tape)))
            for name in ("upper_tiller", "lower_tiller", "brace_height")
        )
        rows.append(
            {
                "date": f"2026-06-{day:02}",
                "upper_at": bench.record["upper_now_turns"] + at[0],
                "lower_at": bench.record["lower_now_turns"] + at[1],
                "weight": weighed(true, there, chance, near) / LBF,
                "upper_tiller": upper,
                "lower_tiller": lower,
                "brace_height": brace,
            }
        )
    return bench.record | {"log": rows}, there
