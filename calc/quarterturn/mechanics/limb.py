"""One limb of the strung bow: an elastic line, clamped at its root and bent by the string.

The limb is an inextensible, unshearable line of length L from its root (s = 0) to the nock at its tip. Unstrung it has
the curvature κ0(s), positive toward the archer, so that a recurve is negative; here κ0 has one value up to a break and
another after it. Its bending stiffness is EI(s) = EI0·(1 − taper·s/L)². The string's tension T bends it by M/EI with
M = T·δ, where δ is the distance from the limb to the line of the free string, positive where the string is on the
archer's side.

It is integrated from the string's end inward, in the string's own frame: `along` the string, from the place where it
leaves the limb toward the root; δ square to it; ψ the limb's direction against the string's. With s from the root

    d(along)/ds = −cos ψ,    dδ/ds = −sin ψ,    dψ/ds = κ0 + T·δ/EI,    along = δ = 0 where the string leaves the limb.

One signed number, the **tip** q, says how the string meets the limb. q ≥ 0: it touches the nock only, and ψ = q there.
q < 0: it lies on the recurve from s = L(1 + q) to the nock and leaves the limb along its tangent, ψ = 0; beyond, M =
0. A limb that does not curve away from the archer at its tip cannot have the string lie on it: there q < 0 is an
angle only.

m, N, N·m², rad. Source: the elastic line of Euler and Bernoulli (Love, Mathematical Theory of Elasticity, chapter XIX,
M); for a limb that the string lies on, Kooi, On the mechanics of the bow and arrow (M).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import accumulate

SHORTEST = 0.01  # m
LONGEST = 10.0  # m
SOFTEST = 1e-6  # N·m²
STIFFEST = 1e9  # N·m²
MOST_CURVED = 100.0  # 1/m
MOST_TAPER = 0.99
MOST_STEPS = 100_000
LEAST_FREE = 0.05  # the least share of a limb, reflexed from its root, that the string may leave free

Step = tuple[float, float, float, float, float]
"""Length h, κ0·h, and h/EI at its outer end, in its middle and at its inner end."""
LimbState = tuple[float, float, float, float, float, float, float, float, float]
"""At the root (or where a step ends): along, δ, ψ; their derivatives by T; their derivatives by q."""


class LimbError(ValueError):
    """A limb that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


@dataclass(frozen=True, slots=True)
class Limb:
    """An elastic limb, root to tip nock.

    Raises LimbError where a number is not finite, outside its range, or contradicts another one.
    """

    length: float
    """L: root to tip nock along the limb, m."""
    stiffness: float
    """EI0: bending stiffness at the root, N·m²."""
    taper: float
    """EI(s) = EI0·(1 − taper·s/L)²; 0 for a uniform limb."""
    inner_curvature: float
    """κ0 from the root to the break, 1/m, positive toward the archer."""
    outer_curvature: float
    """κ0 from the break to the nock, 1/m: negative for a recurve."""
    break_at: float
    """Root to the break along the limb, m; L for a limb of one curvature."""

    def __post_init__(self) -> None:
        _within("length", self.length, SHORTEST, LONGEST, "The limb's length must be from 1 cm to 10 m.")
        _within(
            "stiffness", self.stiffness, SOFTEST, STIFFEST, "The limb's bending stiffness must be more than 0 N·m²."
        )
        _within("taper", self.taper, -MOST_TAPER, MOST_TAPER, "The limb's taper must be from -0.99 to 0.99.")
        for name in ("inner_curvature", "outer_curvature"):
            words = name.replace("_", " ")
            sentence = f"The limb's {words} must be from -100 to 100 per metre: a radius of 1 cm or more."
            _within(name, getattr(self, name), -MOST_CURVED, MOST_CURVED, sentence)
        if not 0 < self.break_at <= self.length:
            raise LimbError(
                "break_at",
                "The limb's curvature must change between its root and its tip: more than 0, at most its length.",
            )

    @property
    def tip_curvature(self) -> float:
        """κ0 at the nock, 1/m."""
        return self.outer_curvature if self.break_at < self.length else self.inner_curvature

    @property
    def takes_string(self) -> bool:
        """Whether the limb curves away from the archer at its tip, so that the string can lie on it."""
        return self.tip_curvature < 0

    @property
    def least_tip(self) -> float:
        """The least q: the string on the whole of the recurve; −π where no string can lie on the limb."""
        if not self.takes_string:
            return -math.pi
        if self.break_at < self.length and self.inner_curvature >= 0:
            return self.break_at / self.length - 1
        return LEAST_FREE - 1

    def curvature(self, s: float) -> float:
        """Return κ0 at s from the root, 1/m."""
        return self.inner_curvature if s < self.break_at else self.tip_curvature


def same_but_for_stiffness(limb: Limb, other: Limb) -> bool:
    """Say whether two limbs differ in nothing but how stiff they are."""
    return (limb.length, limb.taper, limb.inner_curvature, limb.outer_curvature, limb.break_at) == (
        other.length,
        other.taper,
        other.inner_curvature,
        other.outer_curvature,
        other.break_at,
    )


def _within(name: str, value: float, least: float, greatest: float, sentence: str) -> None:
    if not least <= value <= greatest:  # false for NaN too
        raise LimbError(name, sentence)


@dataclass(frozen=True, slots=True)
class StepCounts:
    """How many steps the integration takes from root to break, and from the break to the string's end."""

    inner: int = 12
    outer: int = 8

    def __post_init__(self) -> None:
        for name in ("inner", "outer"):
            if not 1 <= getattr(self, name) <= MOST_STEPS:
                raise LimbError(name, f"The number of steps must be from 1 to {MOST_STEPS}.")


FAST = StepCounts()
"""Draw force within 2e-5 of the limit for a bow like the default one."""


@dataclass(frozen=True, slots=True)
class BentLimb:
    """A limb with the string's tension on it, in the string's frame."""

    limb: Limb
    """Unstrung."""
    steps: StepCounts
    tension: float
    """T, N."""
    tip: float
    """q."""
    leaves: float
    """s where the string leaves the limb, m."""
    states: tuple[LimbState, ...]
    """What was found at every step's end, from where the string leaves the limb (first) to the root (last)."""
    taken_steps: Sequence[Step] = field(compare=False, repr=False)
    """The steps between."""

    @property
    def root(self) -> LimbState:
        """What was found at the root."""
        return self.states[-1]

    @property
    def wrapped(self) -> float:
        """How much of the limb the string lies on, m."""
        return self.limb.length - self.leaves

    @property
    def least_distance(self) -> float:
        """The least δ over the free part, m: less than 0 where the string would cut through the limb."""
        return min([state[1] for state in self.states])

    @property
    def places(self) -> tuple[float, ...]:
        """Every step's end, s in m."""
        inward = list(accumulate([step[0] for step in reversed(self.taken_steps)], initial=0.0))
        inward[-1] = self.leaves
        return tuple(reversed(inward))

    @property
    def energy(self) -> float:
        """½∫M²/EI ds, J."""
        return _energy(self.limb, self.tension, self.places, self.states, self.taken_steps)

    @property
    def end_derivatives(self) -> tuple[tuple[float, float], ...]:
        """Up to every step's end, from the string's end: ∫δ(δ + T·∂δ/∂T)/EI ds and ∫T·δ·∂δ/∂q/EI ds."""
        return _end_derivatives(self.tension, self.states, self.taken_steps)

    def corrected(self, tension: float, tip: float) -> "BentLimb":
        """Return the limb at T and q that differ by so little that what was found changes by its derivatives."""
        by, turned = tension - self.tension, tip - self.tip
        states = [
            (x + xt * by + xq * turned, d + dt * by + dq * turned, p + pt * by + pq * turned, xt, dt, pt, xq, dq, pq)
            for x, d, p, xt, dt, pt, xq, dq, pq in self.states
        ]
        leaves, states[0] = _string_end(self.limb, tip)
        return BentLimb(self.limb, self.steps, tension, tip, leaves, tuple(states), self.taken_steps)

    def stiffened(self, limb: Limb) -> "BentLimb":
        """Return a limb that differs in nothing but how stiff it is, at a tension that is as many times as much."""
        times = limb.stiffness / self.limb.stiffness
        states = [stiffened_state(state, times) for state in self.states]
        taken_steps = [(h, k, c1 / times, c2 / times, c4 / times) for h, k, c1, c2, c4 in self.taken_steps]
        return BentLimb(limb, self.steps, self.tension * times, self.tip, self.leaves, tuple(states), taken_steps)


def stiffened_state(state: LimbState, times: float) -> LimbState:
    """Return what is found of a limb that is so many times as stiff, at as many times the tension."""
    x, d, p, xt, dt, pt, xq, dq, pq = state
    return x, d, p, xt / times, dt / times, pt / times, xq, dq, pq


def string_leaves(limb: Limb, tip: float) -> float:
    """Return s where the string leaves the limb, m."""
    return limb.length * (1 + tip) if tip < 0 and limb.takes_string else limb.length


def _section(limb: Limb, start: float, end: float, curvature: float, number: int) -> list[Step]:
    """Return the steps over one piece of the limb, from its outer end inward."""
    h = (end - start) / number
    scale, slope = math.sqrt(limb.stiffness), limb.taper / limb.length
    half = 0.5 * h
    flexed = [h / (scale * (1.0 - slope * (end - half * place))) ** 2 for place in range(2 * number + 1)]
    turn = curvature * h
    return [(h, turn, flexed[at], flexed[at + 1], flexed[at + 2]) for at in range(0, 2 * number, 2)]


@lru_cache(maxsize=64)
def _inner_steps(limb: Limb, number: int) -> list[Step]:
    return _section(limb, 0.0, limb.break_at, limb.inner_curvature, number)


@lru_cache(maxsize=64)
def _all_steps(limb: Limb, steps: StepCounts) -> list[Step]:
    """Return the steps of a limb that the string touches at its nock only."""
    inner = _inner_steps(limb, steps.inner)
    if limb.break_at == limb.length:
        return inner
    return _section(limb, limb.break_at, limb.length, limb.outer_curvature, steps.outer) + inner


def _steps_from(limb: Limb, steps: StepCounts, leaves: float) -> list[Step]:
    """Return the steps of a limb that the string leaves at s."""
    if leaves <= limb.break_at:
        return _section(limb, 0.0, leaves, limb.inner_curvature, steps.inner)
    outer = _section(limb, limb.break_at, leaves, limb.outer_curvature, steps.outer)
    return outer + _inner_steps(limb, steps.inner)


def _string_end(limb: Limb, tip: float) -> tuple[float, LimbState]:
    """Return s where the string leaves the limb, and what is known there."""
    leaves = string_leaves(limb, tip)
    if leaves < limb.length:
        turn = -limb.curvature(leaves) * limb.length  # q moves the place, and with it all that is found farther in
        return leaves, (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, limb.length, 0.0, turn)
    return leaves, (0.0, 0.0, tip, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0)


def _laid_out(limb: Limb, steps: StepCounts, tip: float) -> tuple[float, LimbState, Sequence[Step]]:
    """Return s where the string leaves the limb, what is known there, and the steps from there to the root."""
    leaves, start = _string_end(limb, tip)
    return leaves, start, _steps_from(limb, steps, leaves) if leaves < limb.length else _all_steps(limb, steps)


def integrate(limb: Limb, steps: StepCounts, tension: float, tip: float) -> LimbState:
    """Integrate from the string's end to the root; return what is found there, with its derivatives by T and q."""
    _, start, taken_steps = _laid_out(limb, steps, tip)
    return _runge_kutta(taken_steps, tension, start, None)


def _runge_kutta(steps: Sequence[Step], tension: float, start: LimbState, kept: list[LimbState] | None) -> LimbState:
    """Take all steps by the classical Runge-Kutta rule of fourth order, with the derivatives of the same rule.

    One flat loop over plain numbers: it is where all the time of a bow goes. x is along, d is δ, p is ψ; the second
    letter says by what it is derived (t by T, q by q), the last digit the stage. No whole numbers stand in it: Python
    multiplies two floats quicker.
    """
    sin, cos = math.sin, math.cos
    x, d, p, xt, dt, pt, xq, dq, pq = start
    for h, k, c1, c2, c4 in steps:
        k = -k
        a1, a2, a4 = tension * c1, tension * c2, tension * c4
        d1, x1, p1 = h * sin(p), h * cos(p), k - a1 * d
        dt1, pt1, xt1 = x1 * pt, -c1 * d - a1 * dt, d1 * pt
        dq1, pq1, xq1 = x1 * pq, -a1 * dq, d1 * pq
        p_, d_ = p + 0.5 * p1, d + 0.5 * d1
        pt_, pq_, dt_ = pt + 0.5 * pt1, pq + 0.5 * pq1, dt + 0.5 * dt1
        d2, x2, p2 = h * sin(p_), h * cos(p_), k - a2 * d_
        dt2, pt2, xt2 = x2 * pt_, -c2 * d_ - a2 * dt_, d2 * pt_
        dq2, pq2, xq2 = x2 * pq_, -a2 * (dq + 0.5 * dq1), d2 * pq_
        p_, d_ = p + 0.5 * p2, d + 0.5 * d2
        pt_, pq_, dt_ = pt + 0.5 * pt2, pq + 0.5 * pq2, dt + 0.5 * dt2
        d3, x3, p3 = h * sin(p_), h * cos(p_), k - a2 * d_
        dt3, pt3, xt3 = x3 * pt_, -c2 * d_ - a2 * dt_, d3 * pt_
        dq3, pq3, xq3 = x3 * pq_, -a2 * (dq + 0.5 * dq2), d3 * pq_
        p_, d_ = p + p3, d + d3
        pt_, pq_, dt_ = pt + pt3, pq + pq3, dt + dt3
        d4, x4 = h * sin(p_), h * cos(p_)
        x += (x1 + 2.0 * (x2 + x3) + x4) / 6.0
        p += (p1 + 2.0 * (p2 + p3) + k - a4 * d_) / 6.0
        d += (d1 + 2.0 * (d2 + d3) + d4) / 6.0
        xt -= (xt1 + 2.0 * (xt2 + xt3) + d4 * pt_) / 6.0
        pt += (pt1 + 2.0 * (pt2 + pt3) - c4 * d_ - a4 * dt_) / 6.0
        dt += (dt1 + 2.0 * (dt2 + dt3) + x4 * pt_) / 6.0
        xq -= (xq1 + 2.0 * (xq2 + xq3) + d4 * pq_) / 6.0
        pq += (pq1 + 2.0 * (pq2 + pq3) - a4 * (dq + dq3)) / 6.0
        dq += (dq1 + 2.0 * (dq2 + dq3) + x4 * pq_) / 6.0
        if kept is not None:
            kept.append((x, d, p, xt, dt, pt, xq, dq, pq))
    return x, d, p, xt, dt, pt, xq, dq, pq


def bend(limb: Limb, steps: StepCounts, tension: float, tip: float) -> BentLimb:
    """Return the bent limb, with what is found at every step's end."""
    leaves, start, taken_steps = _laid_out(limb, steps, tip)
    states = [start]
    _runge_kutta(taken_steps, tension, start, states)
    return BentLimb(limb, steps, tension, tip, leaves, tuple(states), taken_steps)


def _energy(
    limb: Limb, tension: float, places: Sequence[float], states: Sequence[LimbState], taken_steps: Sequence[Step]
) -> float:
    """Return ½∫M²/EI ds by the trapezoidal rule with the slopes at each step's ends, which is of fourth order."""
    slope = limb.taper / limb.length
    doubled = 0.0
    for at, (h, _, outer, _, inner) in enumerate(taken_steps):
        parts = []
        for place, (_, d, p, *_), flexed in ((places[at], states[at], outer), (places[at + 1], states[at + 1], inner)):
            stiffening = slope / (1 - slope * place)
            parts.append((d * d * flexed, 2 * (d * math.sin(p) - d * d * stiffening) * flexed))
        (far, far_slope), (near, near_slope) = parts
        doubled += 0.5 * (far + near) + h / 12 * (far_slope - near_slope)
    return 0.5 * tension**2 * doubled


def _end_derivatives(
    tension: float, states: Sequence[LimbState], taken_steps: Sequence[Step]
) -> tuple[tuple[float, float], ...]:
    """Return how the string's end comes nearer as T or q changes, up to every step's end, by the trapezoidal rule."""
    by_tension = by_tip = 0.0
    end_derivatives = [(0.0, 0.0)]
    for (_, _, outer, _, inner), (_, d, _, _, dt, _, _, dq, _), (_, d_, _, _, dt_, _, _, dq_, _) in zip(
        taken_steps, states, states[1:], strict=False
    ):
        by_tension += 0.5 * (outer * d * (d + tension * dt) + inner * d_ * (d_ + tension * dt_))
        by_tip += 0.5 * tension * (outer * d * dq + inner * d_ * dq_)
        end_derivatives.append((by_tension, by_tip))
    return tuple(end_derivatives)
