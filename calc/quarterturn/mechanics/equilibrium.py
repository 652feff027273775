"""The bow strung and at rest: the state where the forces of both limbs are equal, and whether it is a minimum.

Braced, the sum of both limbs' energies is least over every place of the nocking point P; drawn, over all places at the
draw length |OP| from the pivot point O, for the bow hand is one force through O and the bow may turn about it. Newton's
method sets the forces equal. What is found is tested: **only a minimum is an answer**. A limb is at its minimum for a
held P while the determinant of its end's place by (T, q) keeps its sign from tip to root (Jacobi's condition with the
string as a constraint), and the bow is while the curvature of the summed energy over P is positive besides.

Source: the second variation as in Gelfand and Fomin, Calculus of Variations, chapter 5 (M); all else as in
mechanics/bow.py.
"""

import math

from quarterturn.mechanics.bow import Bow, BowError, BracedBow, DrawnBow, Half
from quarterturn.mechanics.first_guess import COARSE_STEPS, not_strung, state_of, symmetric_guesses
from quarterturn.mechanics.limb import FAST, BentLimb, Limb, LimbState, StepCounts, bend, same_but_for_stiffness
from quarterturn.mechanics.limb_response import (
    BowState,
    LimbSetups,
    check_string_lies_free,
    greatest_tension,
    half_of,
    is_stable,
    limb_response,
    limb_setups,
)

MOST_ITERATIONS = 30
TOLERANCE = 1e-5  # relative: a last correction less than this leaves an error of its square, or of 1e-5 of it
NO_CORRECTION = 1e-10  # relative
DIVERGED = 1e6  # relative: no correction is so large
LARGEST_TURN = 0.2  # rad, of the nocking point about the pivot point in one step
LARGEST_TIP_STEP = 0.3
LEAST_TENSION_RATIO = 0.3  # of one step
GREATEST_TENSION_RATIO = 3.0

BentLimbs = tuple[BentLimb, BentLimb]
"""The upper and the lower limb in one state."""


def solve(
    setups: LimbSetups,
    steps: StepCounts,
    state: BowState,
    draw: float | None,
    tolerance: float = TOLERANCE,
    limbs: BentLimbs | None = None,
    iterations: int = MOST_ITERATIONS,
) -> tuple[BowState, BentLimbs] | None:
    """Return what has equal forces near this state, braced (no draw) or drawn; None where nothing is found.

    Beside the state stand both limbs as they were found on the way, so near to it that they need no search. `limbs` are
    these limbs in the state where the search begins, if that is known.
    """
    for _ in range(iterations):
        if limbs is None:
            t1, q1, t2, q2, _, _ = state
            limbs = bend(setups[0].side.limb, steps, t1, q1), bend(setups[1].side.limb, steps, t2, q2)
        found = newton_step(setups, (limbs[0].root, limbs[1].root), state, draw)
        if found is None:
            return None
        state, correction = found
        if correction < NO_CORRECTION or (correction < tolerance and not _contact_changed(limbs, state)):
            return state, limbs
        limbs = None
    return None


def _contact_changed(limbs: BentLimbs, state: BowState) -> bool:
    """Say whether the string lies on a limb in one of these and not in the other: derivatives differ there."""
    return any(
        bent.limb.takes_string and (bent.tip < 0) != (tip < 0)
        for bent, tip in zip(limbs, (state[1], state[3]), strict=True)
    )


def newton_step(
    setups: LimbSetups, roots: tuple[LimbState, LimbState], state: BowState, draw: float | None
) -> tuple[BowState, float] | None:
    """Return a state nearer to equal forces and the size of the correction, from both limbs' roots at this state.

    The size is the sum of the tensions' relative corrections and the tips'. None where there is no such state.
    """
    t1, q1, t2, q2, px, py = state
    one, two = limb_response(setups[0], t1, q1, roots[0]), limb_response(setups[1], t2, q2, roots[1])
    if one is None or two is None:
        return None
    if draw is not None:
        apart = math.hypot(px, py)
        px, py = px * draw / apart, py * draw / apart
    x1, y1, x2, y2 = px - one.x, py - one.y, px - two.x, py - two.y
    gx = one.pull_x + one.xx * x1 + one.xy * y1 + two.pull_x + two.xx * x2 + two.xy * y2
    gy = one.pull_y + one.xy * x1 + one.yy * y1 + two.pull_y + two.xy * x2 + two.yy * y2
    hessian = one.xx + two.xx, one.xy + two.xy, one.yy + two.yy
    moved = _free_step(hessian, gx, gy, px, py) if draw is None else _step_at_draw(hessian, gx, gy, px, py, draw)
    if moved is None:
        return None
    px, py, mx, my = moved
    x1, y1, x2, y2 = x1 + mx, y1 + my, x2 + mx, y2 + my
    dt1, dq1 = one.tension_by_x * x1 + one.tension_by_y * y1, one.tip_by_x * x1 + one.tip_by_y * y1
    dt2, dq2 = two.tension_by_x * x2 + two.tension_by_y * y2, two.tip_by_x * x2 + two.tip_by_y * y2
    correction = abs(dt1 / t1) + abs(dt2 / t2) + abs(dq1) + abs(dq2)
    if not correction < DIVERGED:
        return None
    upper = _limited_step(setups[0].side.limb, t1, q1, dt1, dq1)
    lower = _limited_step(setups[1].side.limb, t2, q2, dt2, dq2)
    return None if upper is None or lower is None else ((*upper, *lower, px, py), correction)


def _free_step(
    hessian: tuple[float, float, float], gx: float, gy: float, px: float, py: float
) -> tuple[float, float, float, float] | None:
    """Return the nocking point where the summed force vanishes, and how far it has moved; None where it is nowhere."""
    xx, xy, yy = hessian
    det = xx * yy - xy * xy
    if not det:
        return None
    mx, my = (xy * gy - yy * gx) / det, (xy * gx - xx * gy) / det
    return px + mx, py + my, mx, my


def _step_at_draw(
    hessian: tuple[float, float, float], gx: float, gy: float, px: float, py: float, draw: float
) -> tuple[float, float, float, float] | None:
    """Return the same for a nocking point that may only turn about the pivot point, at this draw length."""
    xx, xy, yy = hessian
    cx, cy = px / draw, py / draw
    stiffness = draw * (xx * cy * cy - 2 * xy * cx * cy + yy * cx * cx) - (gx * cx + gy * cy)
    if not stiffness:
        return None
    turn = (gx * cy - gy * cx) / stiffness
    turn = max(-LARGEST_TURN, min(LARGEST_TURN, turn))
    sine, cosine = math.sin(turn), math.cos(turn)
    qx, qy = px * cosine - py * sine, px * sine + py * cosine
    return qx, qy, qx - px, qy - py


def _limited_step(
    limb: Limb, tension: float, tip: float, by_tension: float, by_tip: float
) -> tuple[float, float] | None:
    """Return T and q after a step that is cut where it is long; None where no string pulls so hard."""
    stepped = max(LEAST_TENSION_RATIO * tension, min(GREATEST_TENSION_RATIO * tension, tension + by_tension))
    if stepped > greatest_tension(limb):
        return None
    tip += max(-LARGEST_TIP_STEP, min(LARGEST_TIP_STEP, by_tip))
    return stepped, tip if tip >= 0 else max(limb.least_tip, tip)


# What was found, looked at


def evaluate(
    setups: LimbSetups, state: BowState, limbs: BentLimbs
) -> tuple[Half, Half, tuple[float, float, float], bool]:
    """Return both halves, the second derivatives of their energy over P, and whether each is at its own minimum."""
    halves, sums, stable = [], [0.0, 0.0, 0.0], True
    for setup, near, tension, tip in zip(setups, limbs, state[0:4:2], state[1:4:2], strict=True):
        bent = near.corrected(tension, tip)
        half = half_of(setup, bent)
        response = limb_response(setup, tension, tip, bent.root)
        stable = stable and response is not None and is_stable(setup, half)
        if response is not None:
            sums = [sums[0] + response.xx, sums[1] + response.xy, sums[2] + response.yy]
        halves.append(half)
    return halves[0], halves[1], (sums[0], sums[1], sums[2]), stable


def unstable(state: str) -> BowError:
    """Return the refusal of a bow that is at no minimum; `state` begins its sentence."""
    return BowError(
        "flush_angle",
        f"{state} the bow would not stay as it is: one limb would unload into the other, or snap over. The limbs are"
        " set too far back, or too unlike one another, for this string: they must lean more toward the archer.",
    )


# The strung bow


def braced(
    bow: Bow, rock: tuple[float, float], *, steps: StepCounts = FAST, start: BracedBow | None = None
) -> BracedBow:
    """Return the bow strung and at rest with the limbs rocked by these angles φ (upper, lower), rad.

    `start` is a bow that differs little, if there is one: it is quicker. Raises BowError where no such bow can be
    strung: a string too long or too short, one that would cut through a limb, or a balance that would not last.
    """
    setups = limb_setups(bow, rock)
    if start is not None:
        state, limbs = warm_start(setups, steps, start)
        found = solve(setups, steps, state, None, limbs=limbs)
        if found is not None:
            return _braced_bow(setups, *found)
    try:
        return _braced_bow(setups, *_from_first_guess(setups, steps, COARSE_STEPS))
    except BowError:  # where that is no bow, it is one only when looked at closely
        return _braced_bow(setups, *_from_first_guess(setups, steps, steps))


def warm_start(setups: LimbSetups, steps: StepCounts, start: BracedBow | DrawnBow) -> tuple[BowState, BentLimbs | None]:
    """Return the state of a bow that was found, where a search may begin, and both limbs in it where they are these.

    A limb that is only stiffer is pulled as much harder, and no place is another.
    """
    limbs = []
    known = True
    for setup, half in zip(setups, (start.upper, start.lower), strict=True):
        limb, bent = setup.side.limb, half.bent
        if limb is not bent.limb and limb != bent.limb:
            known = known and same_but_for_stiffness(limb, bent.limb)
            bent = bent.stiffened(limb)
        known = known and bent.steps == steps
        limbs.append(bent)
    one, two = limbs
    state = one.tension, one.tip, two.tension, two.tip, start.nocking_x, start.nocking_y
    return state, (one, two) if known else None


def _from_first_guess(setups: LimbSetups, steps: StepCounts, first: StepCounts) -> tuple[BowState, BentLimbs]:
    """Return the state of equal forces nearest to that of limbs with their mirror images; raises BowError for none.

    `first` are the steps that those are found with.
    """
    guesses = symmetric_guesses(setups, first)
    state = state_of(setups, first, guesses)
    found = None if state is None else solve(setups, steps, state, None)
    if found is None:
        raise not_strung(setups, guesses) or unstable("Strung,")
    return found


def _braced_bow(setups: LimbSetups, state: BowState, limbs: BentLimbs) -> BracedBow:
    """Return what was found of the strung bow; raises BowError as `braced`."""
    upper, lower, (xx, xy, yy), stable = evaluate(setups, state, limbs)
    for setup, half in zip(setups, (upper, lower), strict=True):
        check_string_lies_free(setup, half)
    least_stiffness = (xx + yy) / 2 - math.hypot((xx - yy) / 2, xy)
    if not stable or least_stiffness <= 0:
        raise unstable("Strung,")
    x, y = state[4:]
    height = x * math.cos(upper.string_angle) - y * math.sin(upper.string_angle)
    if height <= 0:
        raise BowError(
            "string",
            "The string would not clear the grip: it must be shorter, or the limbs must lean more toward the archer.",
        )
    return BracedBow(upper, lower, upper.tension, height, x, y, least_stiffness)
