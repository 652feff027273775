"""Where the limbs of a bow are, as it was found strung or drawn: points from each root to the nock at its tip.

Frame and symbols as in mechanics/bow.py.
"""

import math
from dataclasses import dataclass

from quarterturn.mechanics.bow import Bow, BracedBow, DrawnBow, Half
from quarterturn.mechanics.limb import Limb

LARGEST_TURN = 0.1  # rad: a piece of the line under the string turns by no more


@dataclass(frozen=True, slots=True)
class LimbLine:
    """A bent limb from its root to the nock at its tip, in the bow's frame: Y is up for the lower limb too."""

    places: tuple[float, ...]
    """s from the root along the limb, m."""
    points: tuple[tuple[float, float], ...]
    """X and Y there, m."""
    leaves: int
    """Which of them is where the free string begins: from it to the last the string lies on the limb."""


def limb_lines(bow: Bow, found: BracedBow | DrawnBow) -> tuple[LimbLine, LimbLine]:
    """Return where the upper and the lower limb of this bow are, as it was found strung or drawn.

    The points of the free part are those of the steps that the bow was found with. Under the string the limb is as it
    was unstrung, in arcs; a piece of one turns by at most 0.1 rad.
    """
    upper, lower = _line(bow.upper.limb, found.upper), _line(bow.lower.limb, found.lower)
    return upper, LimbLine(lower.places, tuple([(x, -y) for x, y in lower.points]), lower.leaves)


def _line(limb: Limb, half: Half) -> LimbLine:
    sine, cosine = math.sin(half.string_angle), math.cos(half.string_angle)
    x, y = half.end_x, half.end_y
    states = half.bent.states
    free = [(x - state[0] * sine - state[1] * cosine, y - state[0] * cosine + state[1] * sine) for state in states]
    free.reverse()
    places = list(reversed(half.bent.places))
    if half.bent.wrapped > 0:
        more, under = _under_string(limb, half)
    else:
        more, under = [], []
    return LimbLine((*places, *more), (*free, *under), len(free) - 1)


def _under_string(limb: Limb, half: Half) -> tuple[list[float], list[tuple[float, float]]]:
    """Return the part of the limb that the string lies on, from its end inward to the nock: places and points."""
    x, y, angle, first = half.end_x, half.end_y, half.string_angle, half.bent.leaves
    places, points = [], []
    for start, end, curvature in (
        (first, limb.break_at, limb.inner_curvature),
        (max(first, limb.break_at), limb.length, limb.tip_curvature),
    ):
        if end <= start:
            continue
        number = max(1, math.ceil(abs(curvature) * (end - start) / LARGEST_TURN))
        length = (end - start) / number
        turn = curvature * length
        chord = length * math.sin(turn / 2) / (turn / 2) if turn else length
        for at in range(1, number + 1):
            x, y = x + chord * math.sin(angle + turn / 2), y + chord * math.cos(angle + turn / 2)
            angle += turn
            points.append((x, y))
            places.append(start + at * length)
    return places, points
