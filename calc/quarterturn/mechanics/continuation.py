"""The bow drawn: its states followed from one draw length to the next (continuation along the draw).

Each state begins where the polynomial through the last found ones leads (predictor), and Newton's method sets its
forces equal (corrector). A step that fails, or leads to another branch, is halved.

Frame, symbols and source as in mechanics/bow.py.
"""

import math
from collections.abc import Iterable

from quarterturn.mechanics.bow import FARTHEST, Bow, BowError, BracedBow, DrawnBow
from quarterturn.mechanics.equilibrium import TOLERANCE, BentLimbs, braced, evaluate, solve, unstable, warm_start
from quarterturn.mechanics.limb import FAST, StepCounts
from quarterturn.mechanics.limb_response import BowState, LimbSetups, check_string_lies_free, limb_setups
from quarterturn.mechanics.numerics import lagrange_terms

LONGEST_STEP = 0.17  # of the limbs' mean length: a draw length farther off than this is reached in steps
SHORTEST_STEP = 2e-3  # m
SAME_DRAW = 1e-9  # m: states nearer than this are one place of the path
MOST_ITERATIONS = 12  # most take three; where more are needed, half as long a step is quicker
PASSING_TOLERANCE = 1e-3  # relative, as `TOLERANCE`: for a state that is only passed
NO_FORCE = 1e-6  # of both tensions

PathPoint = tuple[float, BowState, BentLimbs | None]
"""A draw length, the state found there, and its limbs, where they are known."""


def drawn(
    bow: Bow,
    rock: tuple[float, float],
    draw: float,
    *,
    steps: StepCounts = FAST,
    start: BracedBow | DrawnBow | None = None,
) -> DrawnBow:
    """Return the bow at one draw length; as `curve`."""
    return curve(bow, rock, (draw,), steps=steps, start=start)[0]


def curve(
    bow: Bow,
    rock: tuple[float, float],
    draws: Iterable[float],
    *,
    steps: StepCounts = FAST,
    start: BracedBow | DrawnBow | None = None,
) -> tuple[DrawnBow, ...]:
    """Return the bow at each draw length (pivot point to nocking point, m), each begun from the last ones.

    `start` is this bow braced, or drawn to some length, if that is known. Raises BowError as `braced`, or where a draw
    length cannot be: none, less than the braced bow's, or farther than these limbs and this string go.
    """
    setups = limb_setups(bow, rock)
    if start is None:
        start = braced(bow, rock, steps=steps)
    path: list[PathPoint] = [(start.draw, *warm_start(setups, steps, start))]
    rest = start.draw if isinstance(start, BracedBow) else None
    found = []
    for draw in draws:
        _check_draw(draw, rest)
        reached = _follow(setups, steps, path, draw)
        if reached is None:
            raise _no_balance(draw, path[-1][0])
        found.append(_drawn_bow(setups, *reached, draw, rest))
    return tuple(found)


def _check_draw(draw: float, rest: float | None) -> None:
    if not 0 < draw <= FARTHEST:
        raise BowError("draw", f"The draw length must be more than 0 and at most {FARTHEST:g} m.")
    if rest is not None and draw < rest * (1 - 1e-9):
        raise BowError(
            "draw",
            f"The draw length from the pivot point must be at least that of the strung bow, {rest * 1000:.1f} mm.",
        )


def _no_balance(draw: float, last: float) -> BowError:
    return BowError(
        "draw",
        f"The bow cannot be drawn to {draw * 1000:.0f} mm from the pivot point: past {last * 1000:.0f} mm no balance"
        " was found. The draw length must be less.",
    )


# Along the path


def _follow(
    setups: LimbSetups, steps: StepCounts, path: list[PathPoint], draw: float
) -> tuple[BowState, BentLimbs] | None:
    """Follow the path to a draw length, in steps that are halved where one fails; the states are added to it."""
    longest = step = LONGEST_STEP * (setups[0].side.limb.length + setups[1].side.limb.length)
    while True:
        here = path[-1][0]
        left = draw - here
        step = min(step, here / 2)
        last = abs(left) <= step
        there = draw if last else here + math.copysign(step, left)
        tolerance = TOLERANCE if last else PASSING_TOLERANCE
        found = _continuation_step(setups, steps, path, there, tolerance)
        if found is None and len(path) > 1:
            found = _continuation_step(setups, steps, path[-1:], there, tolerance)
        if found is None or not _on_one_branch(path[-1][1], found[0]):
            step = abs(there - here) / 2
            if step < SHORTEST_STEP:
                return None
            continue
        if abs(there - here) <= SAME_DRAW:
            path.pop()
        path.append((there, found[0], None))
        if last:
            return found
        step = min(longest, 2 * step)


def _continuation_step(
    setups: LimbSetups, steps: StepCounts, path: list[PathPoint], draw: float, tolerance: float
) -> tuple[BowState, BentLimbs] | None:
    """Return the state at a draw length, begun from the curve through the last found ones; None where that fails."""
    if len(path) == 1:
        _, state, limbs = path[0]
        return solve(setups, steps, state, draw, tolerance, limbs, MOST_ITERATIONS)
    guess = _extrapolated(path[-3:], draw)
    if not (guess[0] > 0 and guess[2] > 0):
        return None
    return solve(setups, steps, guess, draw, tolerance, iterations=MOST_ITERATIONS)


def _extrapolated(path: list[PathPoint], draw: float) -> BowState:
    """Return the value at `draw` of the polynomial through two or three found states."""
    weights = lagrange_terms([point[0] for point in path], [1.0] * len(path), draw)
    t1, q1, t2, q2, x, y = (
        math.fsum(weight * state[place] for weight, (_, state, _) in zip(weights, path, strict=True))
        for place in range(6)
    )
    return t1, q1, t2, q2, x, y


def _on_one_branch(one: BowState, other: BowState) -> bool:
    """Say whether two states may be neighbours on one path, and not on two branches."""
    return all(abs(one[place] - other[place]) < 0.5 for place in (1, 3)) and all(
        0.2 < other[place] / one[place] < 5 for place in (0, 2)
    )


# What was found, looked at


def _drawn_bow(setups: LimbSetups, state: BowState, limbs: BentLimbs, draw: float, rest: float | None) -> DrawnBow:
    """Return what was found at a draw length; `rest` is that of the strung bow, if it is known."""
    upper, lower, (xx, xy, yy), stable = evaluate(setups, state, limbs)
    x, y = state[4:]
    cx, cy = x / draw, y / draw
    pull_x = -upper.tension * math.sin(upper.string_angle) - lower.tension * math.sin(lower.string_angle)
    pull_y = -upper.tension * math.cos(upper.string_angle) + lower.tension * math.cos(lower.string_angle)
    force = pull_x * cx + pull_y * cy
    if force < -NO_FORCE * (upper.tension + lower.tension):
        if rest is not None:  # not this bow's curve any more
            raise _no_balance(draw, rest)
        raise BowError(
            "draw",
            "The nocking point is farther from the grip before the bow is drawn. The draw length from the"
            f" pivot point must be more than {draw * 1000:.0f} mm.",
        )
    for setup, half in zip(setups, (upper, lower), strict=True):
        check_string_lies_free(setup, half)
    stiffness = xx * cy * cy - 2 * xy * cx * cy + yy * cx * cx - force / draw
    if not stable or stiffness <= 0:
        raise unstable(f"Drawn to {draw * 1000:.0f} mm,")
    return DrawnBow(upper, lower, draw, force, math.atan2(y, x), x, y, stiffness)
