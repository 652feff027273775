"""One limb as a function of the string's tension T and the tip q: where it puts the nocking point, and how firmly.

A limb holds the nocking point by a force along its part of the string and by nothing else, so that each limb is one
function of the nocking point P: its energy, least over all shapes. Here are that energy's gradient and its second
derivatives over P, from what the integration along the limb finds at its root.

Frame, symbols and source as in mechanics/bow.py.
"""

import math
from dataclasses import dataclass

from quarterturn.mechanics.bow import MOST_LEANING, Bow, BowError, Half, Side
from quarterturn.mechanics.limb import BentLimb, Limb, LimbState

GREATEST_TENSION = 1000.0  # EI/L²: no string pulls harder on a limb in any bow
INSIDE_LIMB = 1e-9  # of the limb's length: what a string may lie inside the limb by rounding


@dataclass(slots=True)  # not frozen: made by the hundred, which that would slow five times
class LimbSetup:
    """What stays fixed while one bow is solved: a side at its angle with its part of the string."""

    name: str
    side: Side
    lean: float
    """th = flush angle + φ, rad."""
    root_x: float
    root_y: float
    string: float
    """Without tension, m."""
    compliance: float
    """The string is longer by this for every newton, m/N."""
    up: float
    """1, or −1 for the lower side."""


LimbSetups = tuple[LimbSetup, LimbSetup]
"""Of the upper and of the lower limb."""
BowState = tuple[float, float, float, float, float, float]
"""T and q of the upper limb, of the lower, and the nocking point."""


@dataclass(slots=True)  # not frozen: made by the hundred, which that would slow five times
class LimbResponse:
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


def limb_setup(name: str, side: Side, rock: float, string: float, stretch: float | None) -> LimbSetup:
    """Return a side ("upper" or "lower") rocked by φ (rad), with its part of the string (m) of this EA (N)."""
    lean = side.flush_angle + rock
    if not abs(lean) <= MOST_LEANING:
        raise BowError(
            "rock", f"The {name} limb's rock angle and lean at flush must be from -74 to 74 degrees together."
        )
    sine, cosine = math.sin(lean), math.cos(lean)
    root_x = side.fulcrum_x - side.line_offset * cosine + side.root_distance * sine
    root_y = side.fulcrum_y + side.line_offset * sine + side.root_distance * cosine
    compliance = string / stretch if stretch else 0.0
    return LimbSetup(name, side, lean, root_x, root_y, string, compliance, -1.0 if name == "lower" else 1.0)


def limb_setups(bow: Bow, rock: tuple[float, float]) -> LimbSetups:
    """Return both sides of a bow, rocked by these angles φ (upper, lower), rad."""
    stretch = bow.string.stretch_stiffness
    upper = limb_setup("upper", bow.upper, rock[0], bow.string.upper, stretch)
    return upper, limb_setup("lower", bow.lower, rock[1], bow.string.lower, stretch)


def greatest_tension(limb: Limb) -> float:
    """Return the greatest tension that is looked at, N."""
    return GREATEST_TENSION * limb.stiffness / limb.length**2


def limb_response(setup: LimbSetup, tension: float, tip: float, root: LimbState) -> LimbResponse | None:
    """Return the limb at (T, q), or None where its end does not move with them in two directions.

    `root` is what integration finds at the limb's root.
    """
    limb = setup.side.limb
    x, d, p, xt, dt, pt, xq, dq, pq = root
    wound = limb.length if tip < 0 and limb.takes_string else 0.0  # by q; less string is free the more is wound
    behind = setup.string + setup.compliance * tension + wound * tip - x  # from P back to the root, along the string
    angle = setup.lean - p
    sine, cosine = math.sin(angle), math.cos(angle)
    # by T and by q: along the string (a) and square to it (b), the root held
    at, bt = xt - setup.compliance + d * pt, dt + behind * pt
    aq, bq = xq - wound + d * pq, dq + behind * pq
    det = at * bq - aq * bt
    if not det:
        return None
    up = setup.up
    ee, em = -bq / det, aq / det
    mm = tension * (at * pq - aq * pt) / det
    return LimbResponse(
        setup.root_x - behind * sine + d * cosine,
        up * (setup.root_y - behind * cosine - d * sine),
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


def string_at(setup: LimbSetup, x: float, d: float, p: float) -> tuple[float, float, float, float]:
    """Return the string's angle, its end's place on the limb, and how far it is from the fulcrum, from a root."""
    side, angle = setup.side, setup.lean - p
    sine, cosine = math.sin(angle), math.cos(angle)
    end_x, end_y = setup.root_x + x * sine + d * cosine, setup.root_y + x * cosine - d * sine
    return angle, end_x, end_y, (end_x - side.fulcrum_x) * cosine - (end_y - side.fulcrum_y) * sine


def half_of(setup: LimbSetup, bent: BentLimb) -> Half:
    """Return a limb and its part of the string as they were found."""
    side, (x, d, p, *_) = setup.side, bent.root
    angle, end_x, end_y, to_belly = string_at(setup, x, d, p)
    free = setup.string + setup.compliance * bent.tension - bent.wrapped
    return Half(
        setup.lean,
        bent.tension,
        angle,
        free,
        end_x,
        end_y,
        bent.tension * to_belly,
        to_belly + side.depth * math.cos(p),
        to_belly,
        0.5 * setup.compliance * bent.tension**2,
        bent,
    )


def is_stable(setup: LimbSetup, half: Half) -> bool:
    """Say whether the limb's energy is least for the nocking point held where it is (Jacobi's condition).

    At each place the limb is taken as clamped there, and the string's end as moved by (T, q): the determinant of that
    is negative near the tip and must stay so. Its first row is summed from the tip, where differences would lose its
    sign.
    """
    for (x, _, _, _, dt, pt, _, dq, pq), (by_tension, by_tip) in zip(
        half.bent.states[1:], half.bent.end_derivatives[1:], strict=True
    ):
        behind = half.free_length - x
        if (setup.compliance + by_tension) * (dq + behind * pq) - by_tip * (dt + behind * pt) <= 0:
            return False
    return True


def check_string_lies_free(setup: LimbSetup, half: Half) -> None:
    """Raise BowError where the string would cut through the limb, or lie on it with its whole length."""
    limb, bent = setup.side.limb, half.bent
    if bent.least_distance < -INSIDE_LIMB * limb.length:
        raise BowError(
            "limb",
            f"The string would cut through the {setup.name} limb: it could lie on the recurve only, not farther in. The"
            " limb must lean more toward the archer, or the string must be shorter.",
        )
    if half.free_length <= 0:
        raise BowError(
            "string",
            f"The {setup.name} part of the string would lie on the limb with its whole length: the nocking point must"
            " be farther from that limb.",
        )
