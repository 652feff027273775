"""The bow, strung and drawn: two elastic limbs in their pockets and the string that joins their tips.

Frame: origin at the grip's pivot point, X toward the archer, Y up; the lower limb is described mirrored in Y, so that
its numbers read as the upper one's. Each limb leans on its **fulcrum** at th = flush angle + rock angle φ from Y,
toward the archer; turning the bolt in makes φ less and leans the limb away. The **nocking point** P is fixed on the
string, so each part of the string keeps its length, but for the stretch that its tension gives it.

A limb holds the nocking point by a force along its part of the string and by nothing else, so that each limb is one
function of P: its energy, least over all shapes. Braced, the sum of both is least over every place of P; the string is
then one straight line, and where the nocking point sits on it plays no part. Drawn, the sum is least over all places
at the draw length |OP| from the pivot point O, for the bow hand is one force through O and the bow may turn about it.
What is found by setting forces equal is tested: **only a minimum is an answer**. A limb is at its minimum for a held
P while the determinant of its end's place by (T, q) keeps its sign from tip to root (Jacobi's condition with the
string as a constraint), and the bow is while the curvature of the summed energy over P is positive besides.

Elastic limbs without mass, a string without mass or friction, no hand but one point, no arrow rest. m, N, J, rad.

Source: as in mechanics/limb.py; the second variation as in Gelfand and Fomin, Calculus of Variations, chapter 5 (M).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quarterturn.mechanics.limb import FAST, BentLimb, Limb, LimbState, StepCounts, bend, integrate, stiffer

FARTHEST = 5.0  # m, the greatest place or string
MOST_LEANING = 1.3  # rad, how far a limb may lean either way
LONGEST_STRIDE = 0.17  # of the limbs' mean length: a draw length farther off than this is reached in strides
SHORTEST_STRIDE = 2e-3  # m
SAME_DRAW = 1e-9  # m: states nearer than this are one place of the path
ROUNDS = 30
STRIDE_ROUNDS = 12  # most take three; where more are needed, half as long a stride is quicker
CLOSE = 1e-5  # relative: a last correction less than this leaves an error of its square, or of 1e-5 of it
SAME = 1e-10  # relative: no correction
ON_THE_WAY = 1e-3  # relative: the same for a state that is only passed
LINEAR_TOLERANCE = 1e-3  # relative: a last correction less than this leaves that part of a small difference unseen
BESIDE = 1e-9  # of the limb's length: what a string may lie inside the limb by rounding
ARC = 0.1  # rad: a piece of the line under the string turns by no more
LONGEST_TIP = 2.5  # rad, as far as limbs with their mirror images are followed
ROUGH = StepCounts(5, 3)  # to begin with
TWIN_STRIDE = 0.08
TWIN_ROUNDS = 12
TWIN_CLOSE = 1e-3  # of the limb's length: near enough to begin with
TWIN_LOOSE = 5e-3  # of the limb's length: within it the string fits the limb with its mirror image
MOST_PULL = 1000.0  # EI/L²: no string pulls harder on a limb in any bow


class BowError(ValueError):
    """A bow, or a draw, that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


@dataclass(frozen=True, slots=True)
class Side:
    """One limb and where the riser holds it; the lower side mirrored in Y.

    Raises BowError where a number is not finite or outside its range.
    """

    limb: Limb
    fulcrum_x: float
    """X_F: how far the fulcrum lies from the pivot point toward the archer, m; negative in front of it."""
    fulcrum_y: float
    """Y_F: how far from the pivot point toward the tip, m."""
    flush_angle: float
    """How far the limb's back leans toward the archer from Y when its bolt is flush, rad."""
    line_offset: float = 0.0
    """t_n: fulcrum to the elastic line, square to the limb and away from the archer, m."""
    root_distance: float = 0.0
    """r: from there to the elastic line's root, along the limb toward the tip, m."""
    depth: float = 0.0
    """t: fulcrum to the limb's back, square to it, m."""

    def __post_init__(self) -> None:
        for name in ("fulcrum_x", "fulcrum_y", "line_offset", "root_distance", "depth"):
            if not abs(getattr(self, name)) <= FARTHEST:  # false for NaN too
                words = name.replace("_", " ").capitalize()
                raise BowError(name, f"{words} must be a distance of at most {FARTHEST:g} m.")
        if not abs(self.flush_angle) <= MOST_LEANING:
            raise BowError("flush_angle", "The limb's lean at flush must be from -74 to 74 degrees.")


@dataclass(frozen=True, slots=True)
class BowString:
    """The string, from the nocking point to either loop, without tension.

    Raises BowError where a length is not from 1 cm to 5 m, or the stretch stiffness is no number above 0.
    """

    upper: float
    """S_u, m."""
    lower: float
    """S_l, m."""
    stretch_stiffness: float | None = None
    """EA: the tension that would double its length, N; None for a string that does not stretch."""

    def __post_init__(self) -> None:
        for name in ("upper", "lower"):
            if not 0.01 <= getattr(self, name) <= FARTHEST:
                raise BowError("string", f"The {name} part of the string must be from 1 cm to {FARTHEST:g} m long.")
        if self.stretch_stiffness is not None and not 1e-3 <= self.stretch_stiffness <= 1e12:
            raise BowError("stretch_stiffness", "The string's stretch stiffness must be a force of more than 0 N.")


@dataclass(frozen=True, slots=True)
class Bow:
    """Two sides and a string."""

    upper: Side
    lower: Side
    string: BowString


@dataclass(frozen=True, slots=True)
class Half:
    """One limb and its part of the string as found; the lower one mirrored in Y."""

    lean: float
    """th = flush angle + φ, rad."""
    tension: float
    """T, N."""
    string_angle: float
    """θe: the free string from Y, from the nocking point toward the tip, positive leaning toward the archer, rad."""
    free_length: float
    """Nocking point to where the string leaves the limb, m."""
    end_x: float
    """Where it leaves the limb, m."""
    end_y: float
    moment: float
    """M_F: moment of the string about the fulcrum, N·m; it swings the limb toward the archer."""
    distance_to_back: float
    """String to the limb's back at the foot of the perpendicular from the fulcrum, square to the string, m."""
    distance_to_belly: float
    """String to the fulcrum, where the belly face rests, square to the string, m."""
    stretched: float
    """Energy of its part of the string, J."""
    bent: BentLimb
    """The limb in the string's frame; `bent.wrapped` is how much of it the string lies on."""

    @property
    def energy(self) -> float:
        """Of the bent limb, and of its stretched part of the string, J."""
        return self.bent.energy + self.stretched


@dataclass(frozen=True, slots=True)
class Braced:
    """The bow strung and at rest."""

    upper: Half
    lower: Half
    tension: float
    """N."""
    brace_height: float
    """Pivot point to string, square to the string, m."""
    nocking_x: float
    """m."""
    nocking_y: float
    """m."""
    least_stiffness: float
    """The least stiffness against moving the nocking point, N/m: near 0, one limb is about to unload into the other."""

    @property
    def energy(self) -> float:
        """Both limbs and the string, J."""
        return self.upper.energy + self.lower.energy

    @property
    def tiller(self) -> float:
        """Upper less lower distance to the limb's back, m."""
        return self.upper.distance_to_back - self.lower.distance_to_back

    @property
    def belly_tiller(self) -> float:
        """Upper less lower distance to the belly, m: the same within 0.01 mm where the limbs are as deep."""
        return self.upper.distance_to_belly - self.lower.distance_to_belly

    @property
    def draw(self) -> float:
        """|OP|: where the draw length begins, m."""
        return math.hypot(self.nocking_x, self.nocking_y)


@dataclass(frozen=True, slots=True)
class Drawn:
    """The bow at one draw length."""

    upper: Half
    lower: Half
    draw: float
    """D = |OP|, m; a draw length on a tape by the AMO standard is 1.75 in more."""
    force: float
    """F, N."""
    angle: float
    """Of OP from X, positive upward, rad."""
    nocking_x: float
    """m."""
    nocking_y: float
    """m."""
    least_stiffness: float
    """Stiffness against moving the nocking point square to OP at this draw length, N/m."""

    @property
    def energy(self) -> float:
        """Both limbs and the string, J; less that of the braced bow it is what was stored."""
        return self.upper.energy + self.lower.energy


# One limb as a function of its tension and tip


@dataclass(slots=True)  # not frozen: made by the hundred, which that would slow five times
class _Held:
    """What stays fixed while one bow is solved: a side at its angle with its part of the string."""

    name: str
    side: Side
    lean: float
    root_x: float
    root_y: float
    string: float
    yielding: float
    """Longer by this for every newton, m/N."""
    up: float
    """1, or −1 for the lower side."""


@dataclass(slots=True)  # not frozen: made by the hundred, which that would slow five times
class _Pulled:
    """One limb at (T, q): where its string puts the nocking point, in the bow's frame, and how that changes."""

    x: float
    y: float
    pull_x: float
    """Gradient of the limb's energy over P: the force that holds P against this limb, N."""
    pull_y: float
    tension_by_x: float
    tension_by_y: float
    tip_by_x: float
    tip_by_y: float
    xx: float
    """Second derivatives of the energy over P, N/m."""
    xy: float
    yy: float


def _held(name: str, side: Side, rock: float, string: float, stretch: float | None) -> _Held:
    lean = side.flush_angle + rock
    if not abs(lean) <= MOST_LEANING:
        raise BowError(
            "rock", f"The {name} limb's rock angle and lean at flush must be from -74 to 74 degrees together."
        )
    sine, cosine = math.sin(lean), math.cos(lean)
    root_x = side.fulcrum_x - side.line_offset * cosine + side.root_distance * sine
    root_y = side.fulcrum_y + side.line_offset * sine + side.root_distance * cosine
    yielding = string / stretch if stretch else 0.0
    return _Held(name, side, lean, root_x, root_y, string, yielding, -1.0 if name == "lower" else 1.0)


def _both(bow: Bow, rock: tuple[float, float]) -> tuple[_Held, _Held]:
    stretch = bow.string.stretch_stiffness
    upper = _held("upper", bow.upper, rock[0], bow.string.upper, stretch)
    return upper, _held("lower", bow.lower, rock[1], bow.string.lower, stretch)


def _pulled(held: _Held, tension: float, tip: float, root: LimbState) -> _Pulled | None:
    """Return the limb at (T, q), or None where its end does not move with them in two directions."""
    limb = held.side.limb
    x, d, p, xt, dt, pt, xq, dq, pq = root
    wound = limb.length if tip < 0 and limb.takes_string else 0.0  # by q; less string is free the more is wound
    behind = held.string + held.yielding * tension + wound * tip - x  # from P back to the root, along the string
    angle = held.lean - p
    sine, cosine = math.sin(angle), math.cos(angle)
    # by T and by q: along the string (a) and square to it (b), the root held
    at, bt = xt - held.yielding + d * pt, dt + behind * pt
    aq, bq = xq - wound + d * pq, dq + behind * pq
    det = at * bq - aq * bt
    if not det:
        return None
    up = held.up
    ee, em = -bq / det, aq / det
    mm = tension * (at * pq - aq * pt) / det
    return _Pulled(
        held.root_x - behind * sine + d * cosine,
        up * (held.root_y - behind * cosine - d * sine),
        -tension * sine,
        -up * tension * cosine,
        (bq * sine - aq * cosine) / det,
        up * (bq * cosine + aq * sine) / det,
        (at * cosine - bt * sine) / det,
        -up * (at * sine + bt * cosine) / det,
        ee * sine * sine + 2 * em * sine * cosine + mm * cosine * cosine,
        up * ((ee - mm) * sine * cosine + em * (cosine * cosine - sine * sine)),
        ee * cosine * cosine - 2 * em * sine * cosine + mm * sine * sine,
    )


# Setting the forces equal


def _most_pull(limb: Limb) -> float:
    return MOST_PULL * limb.stiffness / limb.length**2


_State = tuple[float, float, float, float, float, float]
"""T and q of the upper limb, of the lower, and the nocking point."""


_Bents = tuple[BentLimb, BentLimb]


@dataclass(frozen=True, slots=True)
class _Settled:
    """A state of equal forces, and both limbs as they were found on the way, so near to it that they need no search."""

    state: _State
    bents: _Bents


def _settle(
    sides: tuple[_Held, _Held],
    steps: StepCounts,
    state: _State,
    draw: float | None,
    close: float = CLOSE,
    bents: _Bents | None = None,
    rounds: int = ROUNDS,
) -> _Settled | None:
    """Return what has equal forces near this state, braced (no draw) or drawn; None where nothing is found.

    `bents` are these limbs in this state, if that is known.
    """
    for _ in range(rounds):
        if bents is None:
            t1, q1, t2, q2, _, _ = state
            bents = bend(sides[0].side.limb, steps, t1, q1), bend(sides[1].side.limb, steps, t2, q2)
        found = _round(sides, (bents[0].root, bents[1].root), state, draw)
        if found is None:
            return None
        state, off = found
        if off < close and (off < SAME or not (_other_end(bents[0], state[1]) or _other_end(bents[1], state[3]))):
            return _Settled(state, bents)
        bents = None
    return None


def _other_end(bent: BentLimb, tip: float) -> bool:
    """Say whether the string lies on the limb in one of these and not in the other: derivatives differ there."""
    return bent.limb.takes_string and (bent.tip < 0) != (tip < 0)


def _shots(sides: tuple[_Held, _Held], steps: StepCounts, state: _State) -> tuple[LimbState, LimbState]:
    upper, lower = sides
    return integrate(upper.side.limb, steps, state[0], state[1]), integrate(lower.side.limb, steps, state[2], state[3])


def _round(
    sides: tuple[_Held, _Held], shots: tuple[LimbState, LimbState], state: _State, draw: float | None
) -> tuple[_State, float] | None:
    """Return a state nearer to equal forces (Newton's rule) from the limbs' shots at this one, and how far it is."""
    upper, lower = sides
    t1, q1, t2, q2, px, py = state
    most1, most2 = _most_pull(upper.side.limb), _most_pull(lower.side.limb)
    one = _pulled(upper, t1, q1, shots[0])
    two = _pulled(lower, t2, q2, shots[1])
    if one is None or two is None:
        return None
    if draw is not None:
        apart = math.hypot(px, py)
        px, py = px * draw / apart, py * draw / apart
    x1, y1, x2, y2 = px - one.x, py - one.y, px - two.x, py - two.y
    gx = one.pull_x + one.xx * x1 + one.xy * y1 + two.pull_x + two.xx * x2 + two.xy * y2
    gy = one.pull_y + one.xy * x1 + one.yy * y1 + two.pull_y + two.xy * x2 + two.yy * y2
    xx, xy, yy = one.xx + two.xx, one.xy + two.xy, one.yy + two.yy
    if draw is None:
        det = xx * yy - xy * xy
        if not det:
            return None
        mx, my = (xy * gy - yy * gx) / det, (xy * gx - xx * gy) / det
        px, py = px + mx, py + my
    else:
        cx, cy = px / draw, py / draw
        stiff = draw * (xx * cy * cy - 2 * xy * cx * cy + yy * cx * cx) - (gx * cx + gy * cy)
        if not stiff:
            return None
        turn = (gx * cy - gy * cx) / stiff
        turn = max(-0.2, min(0.2, turn))
        sine, cosine = math.sin(turn), math.cos(turn)
        qx, qy = px * cosine - py * sine, px * sine + py * cosine
        mx, my = qx - px, qy - py
        px, py = qx, qy
    x1, y1, x2, y2 = x1 + mx, y1 + my, x2 + mx, y2 + my
    dt1, dq1 = one.tension_by_x * x1 + one.tension_by_y * y1, one.tip_by_x * x1 + one.tip_by_y * y1
    dt2, dq2 = two.tension_by_x * x2 + two.tension_by_y * y2, two.tip_by_x * x2 + two.tip_by_y * y2
    off = abs(dt1 / t1) + abs(dt2 / t2) + abs(dq1) + abs(dq2)
    if not off < 1e6:
        return None
    least1, least2 = upper.side.limb.least_tip, lower.side.limb.least_tip
    t1, q1 = max(0.3 * t1, min(3 * t1, t1 + dt1)), max(least1, q1 + max(-0.3, min(0.3, dq1)))
    t2, q2 = max(0.3 * t2, min(3 * t2, t2 + dt2)), max(least2, q2 + max(-0.3, min(0.3, dq2)))
    if t1 > most1 or t2 > most2:
        return None
    return (t1, q1, t2, q2, px, py), off


# Where to begin: each limb with its own mirror image


def _upright_tension(held: _Held, steps: StepCounts, tip: float, guess: float) -> float | None:
    """Return the least T at which the string of a limb with this tip stands upright, θe = 0.

    ψ at the root falls as T rises from 0, so that Newton's rule kept inside a bracket finds it. None where there is
    none.
    """
    limb = held.side.limb
    greatest = _most_pull(limb)
    low, high, tension = 0.0, math.inf, guess
    for _ in range(60):
        root = integrate(limb, steps, tension, tip)
        over = root[2] - held.lean
        if over > 0:
            low = tension
        else:
            high = tension
        better = tension - over / root[5] if root[5] < 0 else math.inf
        if not low < better < high:
            better = (low + high) / 2 if high < math.inf else 4 * tension
        better = min(better, 4 * tension)
        if better > greatest:
            return None
        if abs(better - tension) <= 1e-6 * tension:
            return better
        tension = better
    return None


def _unloaded_tip(held: _Held) -> float:
    """Return the least q that bends the limb with the string upright: where T would be 0, or the least there is."""
    limb = held.side.limb
    inner = limb.inner_curvature * limb.break_at
    whole = inner + limb.tip_curvature * (limb.length - limb.break_at)
    if held.lean + whole >= 0 or not limb.takes_string:
        return max(0.0, held.lean + whole)
    leaves = limb.break_at - (held.lean + inner) / limb.tip_curvature
    return max(limb.least_tip, min(0.0, leaves / limb.length - 1))


@dataclass(frozen=True, slots=True)
class _Twin:
    """About how a limb is braced against its own mirror image."""

    tension: float
    tip: float
    spare: float
    """How much too short the string is for that, m; less than 0: too long."""


def _twin(held: _Held, steps: StepCounts, half: float) -> _Twin | None:
    """Return a limb braced against its mirror image by a string of twice this length, or the nearest that there is.

    Along these bows the string gets shorter as q rises. None where no string braces such a bow.
    """
    limb = held.side.limb
    stretch = held.yielding / held.string * half

    def at(tip: float, guess: float) -> _Twin | None:
        tension = _upright_tension(held, steps, tip, guess)
        bent = None if tension is None else bend(limb, steps, tension, tip)
        if bent is None or bent.least_distance < -BESIDE * limb.length:
            return None
        reach = held.root_y + bent.root[0] + bent.wrapped
        return _Twin(bent.tension, tip, reach - half - stretch * bent.tension)

    tip = _unloaded_tip(held)
    low: _Twin | None = None  # the farthest along whose string is still longer than this one
    high: _Twin | None = None
    bottom, guess = tip, 0.5 * limb.stiffness / limb.length**2
    while tip < LONGEST_TIP and high is None:
        tip += TWIN_STRIDE
        found = at(tip, guess)
        if found is None:
            if low is not None:
                return low
            bottom = tip
        elif found.spare > 0:
            low, bottom, guess = found, tip, found.tension
        else:
            high = found
    if high is None:
        return low
    for _ in range(TWIN_ROUNDS):
        share = 0.5 if low is None else low.spare / (low.spare - high.spare)
        tip = bottom + (high.tip - bottom) * share
        found = at(tip, high.tension)
        if found is None or found.spare > 0:
            low, bottom = found, tip
        else:
            high = found
        if found is not None and abs(found.spare) < TWIN_CLOSE * limb.length:
            return found
    return high


def _first_guess(sides: tuple[_Held, _Held], steps: StepCounts) -> tuple[_Twin | None, _Twin | None, float]:
    """Return each limb as with its mirror image, and the nocking point's height if they had one string."""
    upper, lower = sides
    half = (upper.string + lower.string + upper.root_y - lower.root_y) / 2
    one = _twin(upper, steps, half)
    two = _twin(lower, steps, upper.string + lower.string - half)
    return one, two, half - upper.string


def _strung(sides: tuple[_Held, _Held], steps: StepCounts, first: StepCounts) -> _Settled:
    """Return the state of equal forces nearest to that of limbs with their mirror images; raises BowError for none.

    `first` are the steps that those are found with.
    """
    one, two, y = _first_guess(sides, first)
    if one is not None and two is not None:
        x = (_string_x(sides[0], first, one) + _string_x(sides[1], first, two)) / 2
        found = _settle(sides, steps, (one.tension, one.tip, two.tension, two.tip, x, y), None)
        if found is not None:
            return found
    raise _not_strung(sides, one, two)


def _string_x(held: _Held, steps: StepCounts, twin: _Twin) -> float:
    """Return X of an upright string."""
    return held.root_x + integrate(held.side.limb, steps, twin.tension, twin.tip)[1]


# What was found, looked at


def _string_at(held: _Held, x: float, d: float, p: float) -> tuple[float, float, float, float]:
    """Return the string's angle, its end's place on the limb, and how far it is from the fulcrum, from a root."""
    side, angle = held.side, held.lean - p
    sine, cosine = math.sin(angle), math.cos(angle)
    end_x, end_y = held.root_x + x * sine + d * cosine, held.root_y + x * cosine - d * sine
    return angle, end_x, end_y, (end_x - side.fulcrum_x) * cosine - (end_y - side.fulcrum_y) * sine


def _half(held: _Held, bent: BentLimb) -> Half:
    side, (x, d, p, *_) = held.side, bent.root
    angle, end_x, end_y, to_belly = _string_at(held, x, d, p)
    free = held.string + held.yielding * bent.tension - bent.wrapped
    return Half(
        held.lean,
        bent.tension,
        angle,
        free,
        end_x,
        end_y,
        bent.tension * to_belly,
        to_belly + side.depth * math.cos(p),
        to_belly,
        0.5 * held.yielding * bent.tension**2,
        bent,
    )


def _steady(held: _Held, half: Half) -> bool:
    """Say whether the limb's energy is least for the nocking point held where it is (Jacobi's condition).

    At each place the limb is taken as clamped there, and the string's end as moved by (T, q): the determinant of that
    is negative near the tip and must stay so. Its first row is summed from the tip, where differences would lose its
    sign.
    """
    for (x, _, _, _, dt, pt, _, dq, pq), (by_tension, by_tip) in zip(
        half.bent.shots[1:], half.bent.sums[1:], strict=True
    ):
        behind = half.free_length - x
        if (held.yielding + by_tension) * (dq + behind * pq) - by_tip * (dt + behind * pt) <= 0:
            return False
    return True


def _check_string_lies_free(held: _Held, half: Half) -> None:
    limb, bent = held.side.limb, half.bent
    if bent.least_distance < -BESIDE * limb.length:
        raise BowError(
            "limb",
            f"The string would cut through the {held.name} limb: it could lie on the recurve only, not farther in. The"
            " limb must lean more toward the archer, or the string must be shorter.",
        )
    if half.free_length <= 0:
        raise BowError(
            "string",
            f"The {held.name} part of the string would lie on the limb with its whole length: the nocking point must be"
            " farther from that limb.",
        )


def _unsteady(state: str) -> BowError:
    return BowError(
        "flush_angle",
        f"{state} the bow would not stay as it is: one limb would unload into the other, or snap over. The limbs are"
        " set too far back, or too unlike one another, for this string: they must lean more toward the archer.",
    )


def _looked_at(sides: tuple[_Held, _Held], found: _Settled) -> tuple[Half, Half, tuple[float, float, float], bool]:
    """Return both halves, the second derivatives of their energy over P, and whether each is at its own minimum."""
    halves, sums, steady = [], [0.0, 0.0, 0.0], True
    state = found.state
    for held, near, tension, tip in zip(sides, found.bents, state[0:4:2], state[1:4:2], strict=True):
        bent = near.corrected(tension, tip)
        half = _half(held, bent)
        pulled = _pulled(held, tension, tip, bent.root)
        steady = steady and pulled is not None and _steady(held, half)
        if pulled is not None:
            sums = [sums[0] + pulled.xx, sums[1] + pulled.xy, sums[2] + pulled.yy]
        halves.append(half)
    return halves[0], halves[1], (sums[0], sums[1], sums[2]), steady


def braced(bow: Bow, rock: tuple[float, float], *, steps: StepCounts = FAST, start: Braced | None = None) -> Braced:
    """Return the bow strung and at rest with the limbs rocked by these angles φ (upper, lower), rad.

    `start` is a bow that differs little, if there is one: it is quicker. Raises BowError where no such bow can be
    strung: a string too long or too short, one that would cut through a limb, or a balance that would not last.
    """
    sides = _both(bow, rock)
    if start is not None:
        state, bents = _begun(sides, steps, start)
        found = _settle(sides, steps, state, None, bents=bents)
        if found is not None:
            return _at_rest(sides, found)
    try:
        return _at_rest(sides, _strung(sides, steps, ROUGH))
    except BowError:  # where that is no bow, it is one only when looked at closely
        return _at_rest(sides, _strung(sides, steps, steps))


def _at_rest(sides: tuple[_Held, _Held], found: _Settled) -> Braced:
    """Return what was found of the strung bow; raises BowError as `braced`."""
    upper, lower, (xx, xy, yy), steady = _looked_at(sides, found)
    for held, half in zip(sides, (upper, lower), strict=True):
        _check_string_lies_free(held, half)
    least_stiffness = (xx + yy) / 2 - math.hypot((xx - yy) / 2, xy)
    if not steady or least_stiffness <= 0:
        raise _unsteady("Strung,")
    x, y = found.state[4:]
    height = x * math.cos(upper.string_angle) - y * math.sin(upper.string_angle)
    if height <= 0:
        raise BowError(
            "string",
            "The string would not stand clear of the grip: it must be shorter, or the limbs must lean more"
            " toward the archer.",
        )
    return Braced(upper, lower, upper.tension, height, x, y, least_stiffness)


def _begun(sides: tuple[_Held, _Held], steps: StepCounts, start: Braced | Drawn) -> tuple[_State, _Bents | None]:
    """Return the state of a bow that was found, where a search may begin, and both limbs in it where they are these.

    A limb that is only stiffer is pulled as much harder, and no place is another.
    """
    bents = []
    known = True
    for held, half in zip(sides, (start.upper, start.lower), strict=True):
        limb, bent = held.side.limb, half.bent
        if limb is not bent.limb and limb != bent.limb:
            known = known and _alike(limb, bent.limb)
            bent = bent.stiffened(limb)
        known = known and bent.steps == steps
        bents.append(bent)
    one, two = bents
    state = one.tension, one.tip, two.tension, two.tip, start.nocking_x, start.nocking_y
    return state, (one, two) if known else None


def _not_strung(sides: tuple[_Held, _Held], one: _Twin | None, two: _Twin | None) -> BowError:
    """Return why no braced bow was found, as far as the limbs with their mirror images tell."""
    if one is None or two is None:
        return BowError(
            "string",
            "No strung bow was found for these limbs and this string: the string must be shorter or longer, or the"
            " limbs must lean more toward the archer.",
        )
    loose = TWIN_LOOSE * min(held.side.limb.length for held in sides)
    limit = (sides[0].string + sides[1].string + one.spare + two.spare) * 1000
    if min(one.spare, two.spare) < -loose:
        return BowError("string", f"The string would hang slack: it must be shorter than about {limit:.0f} mm.")
    if max(one.spare, two.spare) > loose:
        return BowError("string", f"The string is too short for this bow: it must be longer than about {limit:.0f} mm.")
    return _unsteady("Strung,")


# The draw


@dataclass(frozen=True, slots=True)
class _At:
    """A place of the path along which a bow is drawn; `bents` are its limbs there, where they are known."""

    draw: float
    state: _State
    bents: _Bents | None


def _stride(
    sides: tuple[_Held, _Held], steps: StepCounts, path: Sequence[_At], draw: float, close: float
) -> _Settled | None:
    """Return the state at a draw length, begun from the curve through the last found ones; None where that fails."""
    last = path[-1]
    if len(path) == 1:
        return _settle(sides, steps, last.state, draw, close, last.bents, STRIDE_ROUNDS)
    guess = _carried_on(path[-3:], draw)
    if not (guess[0] > 0 and guess[2] > 0):
        return None
    return _settle(sides, steps, guess, draw, close, rounds=STRIDE_ROUNDS)


def _carried_on(path: Sequence[_At], draw: float) -> _State:
    """Return the value at `draw` of the polynomial through two or three found states."""
    weights = []
    for here in path:
        weight = 1.0
        for there in path:
            if there is not here:
                weight *= (draw - there.draw) / (here.draw - there.draw)
        weights.append(weight)
    t1, q1, t2, q2, x, y = (
        math.fsum(weight * one.state[place] for weight, one in zip(weights, path, strict=True)) for place in range(6)
    )
    return t1, q1, t2, q2, x, y


def _reached(sides: tuple[_Held, _Held], steps: StepCounts, path: list[_At], draw: float) -> _Settled | None:
    """Follow the path to a draw length, in strides that are halved where one fails; the states are added to it."""
    longest = stride = LONGEST_STRIDE * (sides[0].side.limb.length + sides[1].side.limb.length)
    while True:
        here = path[-1].draw
        left = draw - here
        stride = min(stride, here / 2)
        last = abs(left) <= stride
        at = draw if last else here + math.copysign(stride, left)
        close = CLOSE if last else ON_THE_WAY
        found = _stride(sides, steps, path, at, close)
        if found is None and len(path) > 1:
            found = _stride(sides, steps, path[-1:], at, close)
        if found is None or not _near(path[-1].state, found.state):
            stride = abs(at - here) / 2
            if stride < SHORTEST_STRIDE:
                return None
            continue
        if abs(at - here) <= SAME_DRAW:
            path.pop()
        path.append(_At(at, found.state, None))
        if last:
            return found
        stride = min(longest, 2 * stride)


def _near(one: _State, other: _State) -> bool:
    """Say whether two states may be neighbours on one path, and not on two branches."""
    return all(abs(one[place] - other[place]) < 0.5 for place in (1, 3)) and all(
        0.2 < other[place] / one[place] < 5 for place in (0, 2)
    )


def _no_balance(draw: float, last: float) -> BowError:
    return BowError(
        "draw",
        f"The bow cannot be drawn to {draw * 1000:.0f} mm from the pivot point: past {last * 1000:.0f} mm no balance"
        " was found. The draw length must be less.",
    )


def _seen(sides: tuple[_Held, _Held], found: _Settled, draw: float, rest: float | None) -> Drawn:
    """Return what was found at a draw length; `rest` is that of the strung bow, if it is known."""
    upper, lower, (xx, xy, yy), steady = _looked_at(sides, found)
    x, y = found.state[4:]
    cx, cy = x / draw, y / draw
    pull_x = -upper.tension * math.sin(upper.string_angle) - lower.tension * math.sin(lower.string_angle)
    pull_y = -upper.tension * math.cos(upper.string_angle) + lower.tension * math.cos(lower.string_angle)
    force = pull_x * cx + pull_y * cy
    if force < -1e-6 * (upper.tension + lower.tension):
        if rest is not None:  # not this bow's curve any more
            raise _no_balance(draw, rest)
        raise BowError(
            "draw",
            "The nocking point is farther from the grip before the bow is drawn: the draw length from the"
            f" pivot point must be more than {draw * 1000:.0f} mm.",
        )
    for held, half in zip(sides, (upper, lower), strict=True):
        _check_string_lies_free(held, half)
    least_stiffness = xx * cy * cy - 2 * xy * cx * cy + yy * cx * cx - force / draw
    if not steady or least_stiffness <= 0:
        raise _unsteady(f"Drawn to {draw * 1000:.0f} mm,")
    return Drawn(upper, lower, draw, force, math.atan2(y, x), x, y, least_stiffness)


def curve(
    bow: Bow,
    rock: tuple[float, float],
    draws: Iterable[float],
    *,
    steps: StepCounts = FAST,
    start: Braced | Drawn | None = None,
) -> tuple[Drawn, ...]:
    """Return the bow at each draw length (pivot point to nocking point, m), each begun from the last ones.

    `start` is this bow braced, or drawn to some length, if that is known. Raises BowError as `braced`, or where a draw
    length cannot be: none, less than the braced bow's, or farther than these limbs and this string go.
    """
    sides = _both(bow, rock)
    if start is None:
        start = braced(bow, rock, steps=steps)
    path = [_At(start.draw, *_begun(sides, steps, start))]
    rest = start.draw if isinstance(start, Braced) else None
    found = []
    for draw in draws:
        if not 0 < draw <= FARTHEST:
            raise BowError("draw", f"The draw length must be more than 0 and at most {FARTHEST:g} m.")
        if rest is not None and draw < rest * (1 - 1e-9):
            raise BowError(
                "draw",
                f"The draw length from the pivot point must be at least that of the strung bow, {rest * 1000:.1f} mm.",
            )
        reached = _reached(sides, steps, path, draw)
        if reached is None:
            raise _no_balance(draw, path[-1].draw)
        found.append(_seen(sides, reached, draw, rest))
    return tuple(found)


def drawn(
    bow: Bow, rock: tuple[float, float], draw: float, *, steps: StepCounts = FAST, start: Braced | Drawn | None = None
) -> Drawn:
    """Return the bow at one draw length; as `curve`."""
    return curve(bow, rock, (draw,), steps=steps, start=start)[0]


# A bow that differs little from one that was found


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


@dataclass(frozen=True, slots=True)
class Linearisation:
    """A bow that was found, strung or drawn, ready for linearised outcomes of others that differ little from it."""

    limbs: tuple[Limb, Limb]
    state: _State
    draw: float | None
    """m; None where it is strung and at rest."""
    steps: StepCounts
    shots: tuple[LimbState, LimbState]
    """Of both limbs, by these steps, which need not be those that the bow was found with."""


def linearise(bow: Bow, found: Braced | Drawn, *, steps: StepCounts = FAST) -> Linearisation:
    """Return the linearisation about a bow as it was found."""
    limbs, draw = (bow.upper.limb, bow.lower.limb), found.draw if isinstance(found, Drawn) else None
    bents = found.upper.bent, found.lower.bent
    state = bents[0].tension, bents[0].tip, bents[1].tension, bents[1].tip, found.nocking_x, found.nocking_y
    shots = tuple(
        bent.root if bent.steps == steps else integrate(limb, steps, bent.tension, bent.tip)
        for limb, bent in zip(limbs, bents, strict=True)
    )
    return Linearisation(limbs, state, draw, steps, (shots[0], shots[1]))


def linearised_outcome(
    near: Linearisation, bow: Bow, rock: tuple[float, float], *, draw: float | None = None
) -> LinearisedOutcome:
    """Return what a bow gives that differs little from the one linearised about.

    At that one's draw length, or at one (`draw`) near it; to first order in the difference, where it is as little as
    `LINEAR_TOLERANCE`: for derivatives, where both sides are found so. How stiff a limb is counts as no difference,
    for places are the same where the tension grows with it; and a limb that differs in nothing else is not integrated
    again. Raises BowError where there is no bow near.
    """
    return _linearised_outcome(near, _both(bow, rock), near.draw if draw is None else draw)


def linearised_outcomes(
    near: Iterable[Linearisation], bow: Bow, rock: tuple[float, float]
) -> tuple[LinearisedOutcome, ...]:
    """Return the outcome linearised about each of these, at its own draw length; as `linearised_outcome`."""
    sides = _both(bow, rock)
    return tuple(_linearised_outcome(one, sides, one.draw) for one in near)


def _linearised_outcome(near: Linearisation, sides: tuple[_Held, _Held], draw: float | None) -> LinearisedOutcome:
    one, two = sides[0].side.limb, sides[1].side.limb
    times = one.stiffness / near.limbs[0].stiffness, two.stiffness / near.limbs[1].stiffness
    t1, q1, t2, q2, x, y = near.state
    state = t1 * times[0], q1, t2 * times[1], q2, x, y
    shots = (
        stiffer(near.shots[0], times[0]) if _alike(one, near.limbs[0]) else integrate(one, near.steps, state[0], q1),
        stiffer(near.shots[1], times[1]) if _alike(two, near.limbs[1]) else integrate(two, near.steps, state[2], q2),
    )
    for _ in range(ROUNDS):
        found = _round(sides, shots, state, draw)
        if found is None:
            break
        before, (state, off) = state, found
        if off < LINEAR_TOLERANCE:
            return _outcome_after(sides, before, state, shots)
        shots = _shots(sides, near.steps, state)
    raise _unsteady("With a number a little off,")


def _alike(one: Limb, other: Limb) -> bool:
    """Say whether two limbs differ in nothing but how stiff they are."""
    return (one.length, one.taper, one.inner_curvature, one.outer_curvature, one.break_at) == (
        other.length,
        other.taper,
        other.inner_curvature,
        other.outer_curvature,
        other.break_at,
    )


def _outcome_after(
    sides: tuple[_Held, _Held], before: _State, state: _State, shots: tuple[LimbState, LimbState]
) -> LinearisedOutcome:
    """Return what a state gives, from what was found at the state before it."""
    angles, distances = [], []
    for at, (held, (x, d, p, xt, dt, pt, xq, dq, pq)) in enumerate(zip(sides, shots, strict=True)):
        by, turned = state[2 * at] - before[2 * at], state[2 * at + 1] - before[2 * at + 1]
        angle, _, _, distance = _string_at(
            held, x + xt * by + xq * turned, d + dt * by + dq * turned, p + pt * by + pq * turned
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


# Where the limbs are


@dataclass(frozen=True, slots=True)
class LimbLine:
    """A bent limb from its root to the nock at its tip, in the bow's frame: Y is up for the lower limb too."""

    places: tuple[float, ...]
    """s from the root along the limb, m."""
    points: tuple[tuple[float, float], ...]
    """X and Y there, m."""
    leaves: int
    """Which of them is where the free string begins: from it to the last the string lies on the limb."""


def limb_lines(bow: Bow, found: Braced | Drawn) -> tuple[LimbLine, LimbLine]:
    """Return where the upper and the lower limb of this bow are, as it was found strung or drawn.

    The points of the free part are those of the steps that the bow was found with. Under the string the limb is as it
    was unstrung, in arcs; a piece of one turns by at most 0.1 rad.
    """
    upper, lower = _line(bow.upper.limb, found.upper), _line(bow.lower.limb, found.lower)
    return upper, LimbLine(lower.places, tuple([(x, -y) for x, y in lower.points]), lower.leaves)


def _line(limb: Limb, half: Half) -> LimbLine:
    sine, cosine = math.sin(half.string_angle), math.cos(half.string_angle)
    x, y = half.end_x, half.end_y
    places, shots = half.bent.places, half.bent.shots
    points = [(x - shot[0] * sine - shot[1] * cosine, y - shot[0] * cosine + shot[1] * sine) for shot in shots]
    points.reverse()
    stations = list(reversed(places))
    leaves = len(points) - 1
    if half.bent.wrapped <= 0:
        return LimbLine(tuple(stations), tuple(points), leaves)
    angle = half.string_angle
    for start, end, curvature in (
        (places[0], limb.break_at, limb.inner_curvature),
        (max(places[0], limb.break_at), limb.length, limb.tip_curvature),
    ):
        if end <= start:
            continue
        number = max(1, math.ceil(abs(curvature) * (end - start) / ARC))
        length = (end - start) / number
        turn = curvature * length
        chord = length * math.sin(turn / 2) / (turn / 2) if turn else length
        for at in range(1, number + 1):
            x, y = x + chord * math.sin(angle + turn / 2), y + chord * math.cos(angle + turn / 2)
            angle += turn
            points.append((x, y))
            stations.append(start + at * length)
    return LimbLine(tuple(stations), tuple(points), leaves)


# What turning a bolt does


@dataclass(frozen=True, slots=True)
class Change:
    """What one setting of the bolts has more than another, at the same draw length."""

    force: float
    """N."""
    brace_height: float
    """m."""
    tiller: float
    """m, of the distances to the limbs' backs."""
    upper_distance: float
    """m, to the limb's back."""
    lower_distance: float
    """m."""


def change(
    bow: Bow, before: tuple[Braced, Drawn], rock: tuple[float, float], *, steps: StepCounts = FAST
) -> tuple[Change, Braced, Drawn]:
    """Return what changes when the limbs are rocked to these angles, from the bow as it was strung and drawn.

    Raises BowError as `braced` and `drawn`.
    """
    strung, pulled = before
    now = braced(bow, rock, steps=steps, start=strung)
    then = drawn(bow, rock, pulled.draw, steps=steps, start=pulled)
    return difference(before, (now, then)), now, then


def difference(before: tuple[Braced, Drawn], after: tuple[Braced, Drawn]) -> Change:
    """Return what the second bow has more than the first."""
    (one, pulled), (two, then) = before, after
    upper = two.upper.distance_to_back - one.upper.distance_to_back
    lower = two.lower.distance_to_back - one.lower.distance_to_back
    return Change(then.force - pulled.force, two.brace_height - one.brace_height, upper - lower, upper, lower)
