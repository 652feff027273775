"""A bow that differs little from one that was found: what it gives, to first order in the difference.

For derivatives, where both sides of a difference are found so; quicker than a search, and not tested for being a
minimum.

Frame, symbols and source as in mechanics/bow.py.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from quarterturn.mechanics.bow import Bow, BracedBow, DrawnBow
from quarterturn.mechanics.equilibrium import MOST_ITERATIONS, newton_step, unstable
from quarterturn.mechanics.limb import (
    FAST,
    Limb,
    LimbState,
    StepCounts,
    integrate,
    same_but_for_stiffness,
    stiffened_state,
)
from quarterturn.mechanics.limb_response import BowState, LimbSetups, limb_setups, string_at

LINEAR_TOLERANCE = 1e-3  # relative: a last correction less than this leaves that part of a small difference unseen


@dataclass(frozen=True, slots=True)
class Linearisation:
    """A bow that was found, strung or drawn, about which others are linearised that differ little from it."""

    limbs: tuple[Limb, Limb]
    state: BowState
    draw: float | None
    """m; None where it is strung and at rest."""
    steps: StepCounts
    roots: tuple[LimbState, LimbState]
    """Of both limbs, by these steps, which need not be those that the bow was found with."""


@dataclass(frozen=True, slots=True)
class LinearisedOutcome:
    """What a bow gives, without its shape, and not tested for being a minimum."""

    brace_height: float
    """Pivot point to the upper part of the string, square to it, m: strung, the brace height."""
    force: float
    """Draw force, N."""
    distances: tuple[float, float]
    """String to the belly of the upper and of the lower limb, m."""
    moments: tuple[float, float]
    """Of the string about either fulcrum, N·m."""


def linearise(bow: Bow, found: BracedBow | DrawnBow, *, steps: StepCounts = FAST) -> Linearisation:
    """Return the linearisation about a bow as it was found."""
    limbs, draw = (bow.upper.limb, bow.lower.limb), found.draw if isinstance(found, DrawnBow) else None
    bents = found.upper.bent, found.lower.bent
    state = bents[0].tension, bents[0].tip, bents[1].tension, bents[1].tip, found.nocking_x, found.nocking_y
    roots = tuple(
        bent.root if bent.steps == steps else integrate(limb, steps, bent.tension, bent.tip)
        for limb, bent in zip(limbs, bents, strict=True)
    )
    return Linearisation(limbs, state, draw, steps, (roots[0], roots[1]))


def linearised_outcome(
    near: Linearisation, bow: Bow, rock: tuple[float, float], *, draw: float | None = None
) -> LinearisedOutcome:
    """Return what a bow gives that differs little from the one linearised about.

    At that one's draw length, or at one (`draw`) near it; to first order in the difference, where it is as little as
    `LINEAR_TOLERANCE`: for derivatives, where both sides are found so. How stiff a limb is counts as no difference,
    for places are the same where the tension grows with it; and a limb that differs in nothing else is not integrated
    again. Raises BowError where there is no bow near.
    """
    return _outcome(near, limb_setups(bow, rock), near.draw if draw is None else draw)


def linearised_outcomes(
    near: Iterable[Linearisation], bow: Bow, rock: tuple[float, float]
) -> tuple[LinearisedOutcome, ...]:
    """Return the outcome linearised about each of these, at its own draw length; as `linearised_outcome`."""
    setups = limb_setups(bow, rock)
    return tuple(_outcome(one, setups, one.draw) for one in near)


def _outcome(near: Linearisation, setups: LimbSetups, draw: float | None) -> LinearisedOutcome:
    one, two = setups[0].side.limb, setups[1].side.limb
    times = one.stiffness / near.limbs[0].stiffness, two.stiffness / near.limbs[1].stiffness
    t1, q1, t2, q2, x, y = near.state
    state = t1 * times[0], q1, t2 * times[1], q2, x, y
    roots = _root(near, 0, one, times[0], state[0], q1), _root(near, 1, two, times[1], state[2], q2)
    for _ in range(MOST_ITERATIONS):
        found = newton_step(setups, roots, state, draw)
        if found is None:
            break
        before, (state, correction) = state, found
        if correction < LINEAR_TOLERANCE:
            return _outcome_after(setups, before, state, roots)
        t1, q1, t2, q2, _, _ = state
        roots = integrate(one, near.steps, t1, q1), integrate(two, near.steps, t2, q2)
    raise unstable("With a number a little off,")


def _root(near: Linearisation, which: int, limb: Limb, times: float, tension: float, tip: float) -> LimbState:
    """Return a limb's root, where it is so many times as stiff as the one that was found."""
    if same_but_for_stiffness(limb, near.limbs[which]):
        return stiffened_state(near.roots[which], times)
    return integrate(limb, near.steps, tension, tip)


def _outcome_after(
    setups: LimbSetups, before: BowState, state: BowState, roots: tuple[LimbState, LimbState]
) -> LinearisedOutcome:
    """Return what a state gives, from what was found at the state before it."""
    angles, distances = [], []
    for at, (setup, (x, d, p, xt, dt, pt, xq, dq, pq)) in enumerate(zip(setups, roots, strict=True)):
        by, turned = state[2 * at] - before[2 * at], state[2 * at + 1] - before[2 * at + 1]
        angle, _, _, distance = string_at(
            setup, x + xt * by + xq * turned, d + dt * by + dq * turned, p + pt * by + pq * turned
        )
        angles.append(angle)
        distances.append(distance)
    t1, _, t2, _, x, y = state
    sine, cosine = math.sin(angles[0]), math.cos(angles[0])
    pull_x, pull_y = -t1 * sine - t2 * math.sin(angles[1]), -t1 * cosine + t2 * math.cos(angles[1])
    return LinearisedOutcome(
        x * cosine - y * sine,
        (pull_x * x + pull_y * y) / math.hypot(x, y),
        (distances[0], distances[1]),
        (t1 * distances[0], t2 * distances[1]),
    )
