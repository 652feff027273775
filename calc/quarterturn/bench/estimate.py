"""What the bow gives at any pair of places of its bolts inside a rectangle of them, quickly, from its four corners.

There the bow is solved, and how what it gives goes with the limbs' rock angles is known too. Over these angles, in
which the bow is smooth, each side of the rectangle is the cubic through values and slopes at its ends (Hermite).
Inside, straight lines join what opposite sides bulge over their chords, and are added to the corners' own surface
(Coons).

Turns count out from zero; SI. Source: Coons, Surfaces for computer-aided design of space forms, MIT 1967 (M).
"""

from __future__ import annotations

from collections.abc import Sequence

from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_setup import Pair, foretold
from quarterturn.bench.outcomes import Outcome, by_rock, outcome
from quarterturn.mechanics.numerics import coons_patch, hermite_bulge
from quarterturn.numbers import same

Numbers = tuple[float, float, float]
"""What a bow gives: weight, tiller and brace height, in the order of `course.WHAT`."""
_Corner = tuple[Numbers, Numbers, Numbers]
"""What the bow gives, and what rocking the upper and the lower limb by the whole side would add as it goes there."""
_Along = tuple[float, Numbers, Numbers]
"""How far along a side, from 0 to 1, and what is known there of this side and of the opposite one."""


def computed(bow: BowInputs, turns: Pair) -> Numbers:
    """What the bow gives with its bolts there, solved.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    return _numbers(outcome(foretold(bow.setup, bow.draw, turns)))


def _numbers(found: Outcome) -> Numbers:
    return found.weight, found.tiller, found.brace_height


class Estimate:
    """The bow over all pairs of these places of the upper and the lower bolt, in order.

    Raises FitError or PocketError where the bow has no answer in a corner.
    """

    def __init__(self, bow: BowInputs, places: tuple[Sequence[float], Sequence[float]]) -> None:
        start = places[0][0], places[1][0]
        angles = [
            [bow.setup.rock((place, start[1]))[0] for place in places[0]],
            [bow.setup.rock((start[0], place))[1] for place in places[1]],
        ]
        across = angles[0][-1] - angles[0][0], angles[1][-1] - angles[1][0]
        ends = [(each[0], each[-1]) for each in places]
        corners = [[_corner(bow, (one, two), across) for two in ends[1]] for one in ends[0]]
        self._solved = {(one, two) for one in ends[0] for two in ends[1]}
        self._upper: dict[float, _Along] = {}
        self._lower: dict[float, _Along] = {}
        for place, angle in zip(places[0], angles[0], strict=True):
            share = _share(angle, angles[0])
            inner, outer = (_side(corners[0][at], corners[1][at], 0, share, chord=True) for at in range(2))
            self._upper[place] = share, inner, outer
        for place, angle in zip(places[1], angles[1], strict=True):
            share = _share(angle, angles[1])
            inner, outer = (_side(corners[at][0], corners[at][1], 1, share, chord=False) for at in range(2))
            self._lower[place] = share, inner, outer

    def goes_through(self, turns: Pair) -> bool:
        """Whether a pair is one of those that were solved for it."""
        return turns in self._solved

    def at(self, turns: Pair) -> Numbers:
        """What the bow gives at one of the pairs, about."""
        s, one, two = self._upper[turns[0]]
        t, three, four = self._lower[turns[1]]
        return (
            coons_patch(s, t, (one[0], two[0]), (three[0], four[0])),
            coons_patch(s, t, (one[1], two[1]), (three[1], four[1])),
            coons_patch(s, t, (one[2], two[2]), (three[2], four[2])),
        )


def _corner(bow: BowInputs, turns: Pair, across: Pair) -> _Corner:
    upper, lower = by_rock(bow.setup, bow.draw, turns)
    return computed(bow, turns), _numbers(across[0] * upper), _numbers(across[1] * lower)


def _share(angle: float, angles: Sequence[float]) -> float:
    """How far along; nowhere, where all are one angle."""
    return 0.0 if same(angles[-1], angles[0]) else (angle - angles[0]) / (angles[-1] - angles[0])


def _side(start: _Corner, end: _Corner, limb: int, share: float, *, chord: bool) -> Numbers:
    """The cubic along a side, on which this limb is rocked; without its chord, what it bulges over that."""
    one, two, three = (
        (first + share * (last - first) if chord else 0.0) + hermite_bulge(share, last - first, leaving, coming)
        for first, last, leaving, coming in zip(start[0], end[0], start[1 + limb], end[1 + limb], strict=True)
    )
    return one, two, three
