"""The turns to make, in order, none larger than half a turn.

A bolt outside its window is brought back inside it, and nothing is predicted for it. A bolt inside stays, or goes to
the middle of its window where that is wanted. Where both bolts move they take turns.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise, zip_longest

from quarterturn.bench.window import Window
from quarterturn.numbers import rounded, same

LARGEST = 0.5
GRID = 0.25


@dataclass(frozen=True, slots=True)
class Move:
    """One turn of one bolt.

    Attributes:
        bolt: "upper" or "lower".
        turns: how far; positive is out, negative is in; at most half a turn.
        start, end: positions from zero, turns.
        inside: whether the bolt stands inside its window after it.
    """

    bolt: str
    turns: float
    start: float
    end: float
    inside: bool


def target(window: Window, now: float, goal: str) -> float:
    """Where a bolt should stand: on a quarter of a turn from zero where the window holds one.

    Args:
        window: that has not vanished.
        now: where the bolt stands.
        goal: "stay" or "middle".
    """
    if goal == "middle":
        return _quarter_near(window, window.middle)
    if window.holds(now):
        return now
    return _quarter_near(window, min(max(now, window.inner.usable), window.outer.usable))


def _quarter_near(window: Window, wanted: float) -> float:
    below = math.floor(rounded(wanted / GRID)) * GRID
    candidates = [turns for turns in (below, below + GRID) if window.holds(turns)]
    if not candidates:
        return window.middle
    return min(candidates, key=lambda turns: rounded(abs(turns - wanted)))


def moves(windows: tuple[tuple[Window, float], ...], goal: str) -> tuple[Move, ...]:
    """List the moves of all bolts, each given as (window, where it stands), bolts taking turns."""
    series = [_series(window, now, target(window, now, goal)) for window, now in windows if not window.vanished]
    return tuple(move for turn in zip_longest(*series) for move in turn if move is not None)


def _series(window: Window, now: float, end: float) -> list[Move]:
    steps = math.ceil(rounded(abs(end - now) / LARGEST))
    between = [now + math.copysign(LARGEST, end - now) * step for step in range(1, steps)]
    return [
        Move(window.bolt, after - before, before, after, window.holds(after))
        for before, after in pairwise([now, *between, end])
        if not same(before, after)
    ]
