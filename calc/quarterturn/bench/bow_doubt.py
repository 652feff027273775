"""What is foretold of the reader's bow, how sure it is, and which number matters most for it (GUM, as uncertainty.py).

Every number that the bow is made from is moved a little, the bow is found again, and what it foretells is compared. So
one that a reading decides anyway, such as the string's length, has no part, and one that the readings leave open has.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.bench.bow_asked import BowAsked, Pair, Setup, as_it_is, fitted_bow, foretold
from quarterturn.bench.bow_fit import FitError, Near, Turned
from quarterturn.bench.dimensions import BY_THE_TIP, OFF
from quarterturn.bench.uncertainty import Budget, Contribution, budget, rectangular
from quarterturn.mechanics import bow as bows
from quarterturn.mechanics.bow import Bow, BowError, View
from quarterturn.mechanics.limb import LimbError, Steps
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.record.reading import Values

COARSE = Steps(5, 3)
"""For differences: both sides of one are glimpsed with these."""
NUDGE = 2e-4
"""Of how far a number may be off: so far it is moved, and what that does is taken as going with it."""
ROCKED = 1e-4
"""Rad that a limb is rocked for what rocking does."""
STEP = 0.25
"""Turns that a bolt is turned for what it does in one."""
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
"""How far what no tape tells may be off: rad, a ratio, 1/m, 1/m, m, m, 1/N (our own estimates, no source)."""


@dataclass(frozen=True, slots=True)
class Parameter:
    """A number the bow is made from: a field of the record, or of `Setup` where no field asks for it.

    Attributes:
        half: how far it may be off either way, in the unit of `value` (SI).
        known: "measured", "assumed" (the example's, until it is entered) or "default" (nobody can measure it here).
    """

    name: str
    value: float
    half: float
    known: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a bow gives, or what one more turn or one more of a number adds to it. N, m, N·m.

    Attributes:
        weight: draw weight at the reader's draw length.
        upper_tiller, lower_tiller: string to each limb's belly.
        upper_moment, lower_moment: of the string about each fulcrum, drawn.
    """

    weight: float
    brace_height: float
    upper_tiller: float
    lower_tiller: float
    upper_moment: float
    lower_moment: float

    @property
    def tiller(self) -> float:
        """Upper less lower."""
        return self.upper_tiller - self.lower_tiller

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(*(one + two for one, two in zip(_numbers(self), _numbers(other), strict=True)))

    def __sub__(self, other: Outcome) -> Outcome:
        return self + -1.0 * other

    def __rmul__(self, factor: float) -> Outcome:
        return Outcome(*(factor * one for one in _numbers(self)))


def _numbers(one: Outcome) -> tuple[float, ...]:
    return (one.weight, one.brace_height, one.upper_tiller, one.lower_tiller, one.upper_moment, one.lower_moment)


def outcome(found: Turned) -> Outcome:
    """What a bow gives, from how it was found."""
    braced, drawn = found.braced, found.drawn
    return Outcome(
        drawn.force,
        braced.brace_height,
        braced.upper.distance_to_belly,
        braced.lower.distance_to_belly,
        drawn.upper.moment,
        drawn.lower.moment,
    )


@dataclass(frozen=True, slots=True)
class Around:
    """What the bow gives as it stands, and what a turn OUT of either bolt adds to it, about there."""

    now: Outcome
    upper: Outcome
    lower: Outcome

    def change(self, change: Pair) -> Outcome:
        """What turning both by this much adds, as far as it goes with the turns."""
        return change[0] * self.upper + change[1] * self.lower


@dataclass(frozen=True, slots=True)
class Effect:
    """What a parameter's being off by its half does to the bow as it stands and to what a turn does."""

    parameter: Parameter
    by: Around


@dataclass(frozen=True, slots=True)
class Doubts:
    """How sure the bow is about what it gives, and about what turns do.

    `lost` are numbers of which no bow was found when they were moved: their doubt is not in it, and that is said.
    """

    around: Around
    effects: tuple[Effect, ...]
    lost: tuple[Parameter, ...] = ()

    def budget_of(self, what: str, change: Pair, *, whole: bool) -> Budget:
        """The doubts of one number after a turn; without `whole`, of the difference to what it is now.

        `what` names an attribute of Outcome.
        """

        def share(effect: Effect) -> float:
            now, upper, lower = (float(getattr(one, what)) for one in (effect.by.now, effect.by.upper, effect.by.lower))
            turned = change[0] * upper + change[1] * lower
            return turned + now if whole else turned

        return budget(_contribution(effect, share(effect)) for effect in self.effects)


def _contribution(effect: Effect, share: float) -> Contribution:
    parameter = effect.parameter
    return rectangular(parameter.name, parameter.half, share / parameter.half if parameter.half else 0.0)


def parameters(asked: BowAsked) -> tuple[Parameter, ...]:
    """List every number that the bow is made from but its weighings, which `_by_weighing` looks after."""
    values, setup = asked.values, asked.setup
    tape = values.number("tape_step")
    found = [
        Parameter(name, getattr(setup, name), tape, _known(values, name))
        for name in ("brace_height", "upper_tiller", "lower_tiller")
    ]
    if setup.tried is not None:
        found += [
            Parameter(name, getattr(setup, name), tape, "measured")
            for name in ("upper_tried_tiller", "lower_tried_tiller")
        ]
    found += [
        Parameter(name, getattr(setup, name), off[0 if values.entered(name) else 1], _known(values, name))
        for name, off in LENGTHS.items()
    ]
    found += _of_pocket(values, setup)
    count = values.number("smallest_turn") / 2 + values.number("play") / 2
    found += [
        Parameter(f"{bolt}_now_turns", setup.now[at], count, _known_stand(values, bolt))
        for at, bolt in enumerate(("upper", "lower"))
    ]
    frame = fitted_bow(setup).frame
    found += [
        Parameter(name, getattr(frame, name), half, "default")
        for name, half in LIMB.items()
        if not (name == "flush_angle" and setup.tried is not None)
    ]
    return tuple(found)


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
    return replace(setup, **{name: getattr(setup, name) + by})


def _longer_arm(pocket: Pocket, by: float) -> Pocket:
    return replace(pocket, fulcrum_arm=pocket.fulcrum_arm + by, butt_length=pocket.butt_length + by)


def _wider_head(pocket: Pocket, by: float) -> Pocket:
    """The rim stays as far from the butt end as it was measured."""
    return replace(pocket, head_radius=pocket.head_radius + by / 2, butt_length=pocket.butt_length + by / 2)


@dataclass(frozen=True, slots=True)
class _Nudged:
    """The bow with one number a little off."""

    setup: Setup
    bow: Bow


@lru_cache(maxsize=4)
def _nudged(setup: Setup, listed: tuple[Parameter, ...]) -> tuple[_Nudged, tuple[_Nudged | None, ...]]:
    """The bow as it is, and with each parameter a little off (None where that is no bow), all with coarse steps."""
    fitted = fitted_bow(setup)
    near = Near(fitted, COARSE)
    held = replace(setup, flush_angle=fitted.frame.flush_angle)

    def one(name: str, by: float) -> _Nudged | None:
        try:
            there = moved(held, name, by) if name else held
            return _Nudged(there, near.refit(there.frame, there.measured))
        except (FitError, PocketError, BowError, LimbError):
            return None

    base = _Nudged(held, fitted.bow)
    again = one("", 0.0)
    return again or base, tuple(one(each.name, NUDGE * each.half) for each in listed)


def doubts(asked: BowAsked) -> Doubts:
    """Find what the bow gives, what turns do, and how sure both are.

    Raises:
        FitError: where the bow cannot be drawn to the reader's draw length.
    """
    steps = _steps(asked)
    return _doubts(asked.setup, parameters(asked), asked.draw, steps, _scale_doubt(asked))


def _steps(asked: BowAsked) -> Pair:
    """Which way each bolt is turned to see what a turn does: in, but out where that would leave its window."""
    found = []
    for at in range(2):
        inward = (-STEP, 0.0) if at == 0 else (0.0, -STEP)
        inside = asked.windows is None or asked.windows[at].holds(asked.at(inward)[at])
        found.append(-STEP if inside else STEP)
    return found[0], found[1]


@lru_cache(maxsize=4)
def _doubts(
    setup: Setup, listed: tuple[Parameter, ...], draw: float, steps: Pair, scale: tuple[Parameter, ...]
) -> Doubts:
    bow = fitted_bow(setup).bow
    as_it_is(setup, draw)  # its refusal is about the draw
    nowhere = FitError("turns", "The bow has no answer a quarter of a turn from where its bolts stand.")
    try:
        # All three begun from one bow: where a turn does nothing they are the same to the last digit.
        turned = [foretold(setup, draw, turns) for turns in _places(setup.now, steps)]
    except (FitError, PocketError):
        raise nowhere from None
    near = [(bows.view(bow, one.braced, steps=COARSE), bows.view(bow, one.drawn, steps=COARSE)) for one in turned]
    base, others = _nudged(setup, listed)
    around = _around(base, steps, near)
    if around is None:
        raise nowhere
    effects = [
        Effect(each, _difference(found, around, 1 / NUDGE))
        for each, nudged in zip(listed, others, strict=True)
        if nudged is not None and (found := _around(nudged, steps, near)) is not None
    ]
    by_scale = [Effect(each, _of_forces(around, each.half)) for each in scale]
    kept = {effect.parameter.name for effect in effects}
    return Doubts(around, (*by_scale, *effects), tuple(each for each in listed if each.name not in kept))


_Views = tuple[View, View]
"""Of a bow strung and drawn."""


def _places(now: Pair, steps: Pair) -> tuple[Pair, Pair, Pair]:
    """Where the bolts stand, and with either of them turned by its step."""
    return now, (now[0] + steps[0], now[1]), (now[0], now[1] + steps[1])


def _around(nudged: _Nudged, steps: Pair, near: Sequence[_Views]) -> Around | None:
    """What that bow gives; `near` is the bow that was found, at each of the places."""
    setup = nudged.setup
    try:
        now, one, two = (
            _glimpsed(nudged.bow, setup.rock(turns), there)
            for turns, there in zip(_places(setup.now, steps), near, strict=True)
        )
    except (BowError, LimbError, PocketError):
        return None
    return Around(now, (1 / steps[0]) * (one - now), (1 / steps[1]) * (two - now))


def _glimpsed(bow: Bow, rock: Pair, near: _Views) -> Outcome:
    """As `outcome`, to first order, of a bow that differs little from the one in view."""
    braced, drawn = bows.glimpses(near, bow, rock)
    return Outcome(drawn.force, braced.brace_height, *braced.distances, *drawn.moments)


def by_rock(setup: Setup, draw: float, turns: Pair) -> tuple[Outcome, Outcome]:
    """What a rad more of the upper limb's rock angle adds to what the bow gives with its bolts there; of the lower's.

    By glimpses of the bow that is found there: no limb is shot again.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    bow, found, rock = fitted_bow(setup).bow, foretold(setup, draw, turns), setup.rock(turns)
    near = bows.view(bow, found.braced), bows.view(bow, found.drawn)
    here = _glimpsed(bow, rock, near)

    def by(more: Pair) -> Outcome:
        return (1 / ROCKED) * (_glimpsed(bow, (rock[0] + more[0], rock[1] + more[1]), near) - here)

    try:
        return by((ROCKED, 0.0)), by((0.0, ROCKED))
    except BowError as error:
        raise FitError("turns", str(error)) from None


def _difference(there: Around, here: Around, factor: float) -> Around:
    return Around(
        factor * (there.now - here.now), factor * (there.upper - here.upper), factor * (there.lower - here.lower)
    )


def _of_forces(around: Around, part: float) -> Around:
    """What all forces' being more by this part of them does: lengths are as they were."""

    def forces(one: Outcome) -> Outcome:
        return Outcome(part * one.weight, 0.0, 0.0, 0.0, part * one.upper_moment, part * one.lower_moment)

    return Around(forces(around.now), forces(around.upper), forces(around.lower))


def a_little_off(asked: BowAsked) -> tuple[tuple[Parameter | None, Setup, Bow], ...]:
    """The bow, found with coarse steps: first as it is, then with each number off by `NUDGE` of its half.

    For the doubts of what no `Outcome` holds; a number with which there is no bow is left out.
    """
    listed = parameters(asked)
    base, others = _nudged(asked.setup, listed)
    found = [(each, one.setup, one.bow) for each, one in zip(listed, others, strict=True) if one is not None]
    return (None, base.setup, base.bow), *found


def _scale_doubt(asked: BowAsked) -> tuple[Parameter, ...]:
    """How far the limbs' stiffness may be off by the scale and by the mark that was drawn to, as a part of it.

    Each weighing counts as the squares' least sum weighs it; the doubts of different weighings are independent.
    """
    fitted, values = asked.fitted, asked.values
    square = math.fsum(one.force**2 for one in fitted.weighed)
    scale, mark = values.number("scale_step"), values.number("draw_step")

    def part(off: Callable[[int], float]) -> float:
        return math.hypot(*(one.force / square * off(at) for at, one in enumerate(fitted.weighed)))

    slopes = _slopes(asked.setup)
    known = "assumed" if {"draw_weight", "scale_readings"} & set(asked.missing) else "measured"
    return (
        Parameter("scale_step", scale, part(lambda _: scale), known),
        Parameter("draw_step", mark, part(lambda at: slopes[at] * mark), known),
    )


@lru_cache(maxsize=8)
def _slopes(setup: Setup) -> tuple[float, ...]:
    """How the force grows about each weighing's draw length, N/m."""
    fitted, step = fitted_bow(setup), -2e-3
    found: dict[float, float] = {}
    for one in fitted.weighed:
        if one.draw not in found:
            try:
                other = bows.drawn(fitted.bow, fitted.rock, one.draw + step, start=one)
            except BowError:
                found[one.draw] = 0.0
            else:
                found[one.draw] = (other.force - one.force) / step
    return tuple(found[one.draw] for one in fitted.weighed)


# The curve


@dataclass(frozen=True, slots=True)
class Band:
    """How sure the force is at a few draw lengths (pivot point, m): the force and its standard uncertainty, N."""

    draws: tuple[float, ...]
    forces: tuple[float, ...]
    doubts: tuple[float, ...]


def band(asked: BowAsked, draws: tuple[float, ...]) -> Band:
    """Find how sure the force is at these draw lengths, in the order of draw.

    Raises:
        FitError: where the bow cannot be drawn so far.
    """
    return _band(asked.setup, parameters(asked), draws, _scale_doubt(asked))


@lru_cache(maxsize=4)
def _band(setup: Setup, listed: tuple[Parameter, ...], draws: tuple[float, ...], scale: tuple[Parameter, ...]) -> Band:
    fitted = fitted_bow(setup)
    base, others = _nudged(setup, listed)
    try:
        start = bows.curve(fitted.bow, fitted.rock, draws, start=fitted.braced) if draws else ()
    except BowError as error:
        raise FitError("draw_weight", str(error)) from None

    near = [bows.view(fitted.bow, one, steps=COARSE) for one in start]

    def forces(nudged: _Nudged) -> tuple[float, ...] | None:
        try:
            rock = nudged.setup.rock(nudged.setup.now)
            return tuple(bows.glimpse(one, nudged.bow, rock).force for one in near)
        except (BowError, LimbError, PocketError):
            return None

    here = forces(base)
    if here is None:
        raise FitError("draw_weight", "The bow cannot be drawn to all of these draw lengths.")
    there = [found for nudged in others if nudged is not None and (found := forces(nudged)) is not None]
    doubted = []
    for at, force in enumerate(here):
        shares = [(one[at] - force) / NUDGE for one in there] + [each.half * force for each in scale]
        doubted.append(math.hypot(*shares) / math.sqrt(3))
    return Band(draws, tuple(one.force for one in start), tuple(doubted))
