"""Counting turns between two events: by the key, by the height of the head, and the pitch that ties the two."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.bench.uncertainty import Budget, Contribution, budget, rectangular
from quarterturn.mechanics.threads import pitch_from_rise
from quarterturn.numbers import at_most, fixed, trimmed

LEAST_PITCH = 0.5e-3
MOST_PITCH = 2.5e-3
"""Bounds of a limb bolt's pitch, m per turn (common practice, no source)."""

DISAGREEMENT = 3.0
"""Two ways of counting disagree when they differ by more than this many standard uncertainties of the difference."""


@dataclass(frozen=True, slots=True)
class ReadingResolution:
    """How finely the archer counts and measures.

    Attributes:
        smallest_turn: the smallest part of a turn counted.
        play: turns of the key that move nothing.
        caliper_step: the smallest step of the caliper, m.
    """

    smallest_turn: float
    play: float
    caliper_step: float

    def turning(self) -> tuple[Contribution, ...]:
        """What is uncertain whenever a number of turns is counted with the key."""
        return (
            rectangular("smallest part of a turn counted", self.smallest_turn / 2),
            rectangular("play of the bolt in its thread", self.play / 2),
        )

    def height(self) -> float:
        """The standard uncertainty of the difference of two heights by this caliper, m."""
        return math.sqrt(2) * self.caliper_step / 2 / math.sqrt(3)


@dataclass(frozen=True, slots=True)
class Pitch:
    """The thread's pitch.

    Attributes:
        value: m per turn.
        uncertainty: its standard uncertainty, m per turn.
        measured: whether it was measured on the bow, or assumed.
    """

    value: float
    uncertainty: float
    measured: bool


def pitch_of(rise: float, turns: float, resolution: ReadingResolution, *, measured: bool) -> Pitch:
    """Find the pitch from the head's rise over some turns (all lengths in m).

    Raises:
        ValueError: if it comes to less or more than any limb bolt's; the message is a whole sentence.
    """
    value = pitch_from_rise(rise, turns)
    if not (at_most(LEAST_PITCH, value) and at_most(value, MOST_PITCH)):
        raise ValueError(
            f"comes to {fixed(value * 1e3, 2)} mm a turn, and limb bolts have {trimmed(LEAST_PITCH * 1e3, 2)} to "
            f"{trimmed(MOST_PITCH * 1e3, 2)} mm. Measure the rise and the turns again"
        )
    return Pitch(value, resolution.height() / turns, measured)


@dataclass(frozen=True, slots=True)
class Count:
    """A number of turns between two events.

    Attributes:
        turns: positive outward.
        budget: what is uncertain about it.
        by: "turns", "heights" or "lengths".
    """

    turns: float
    budget: Budget
    by: str


def by_key(turns: float, resolution: ReadingResolution) -> Count:
    """Count with the key."""
    return Count(turns, budget(resolution.turning()), "turns")


def by_height(start: float, end: float, pitch: Pitch, resolution: ReadingResolution) -> Count:
    """Count by the height of the head over the riser's face: Δh/p, heights in m."""
    turns = (end - start) / pitch.value
    return Count(
        turns,
        budget(
            (
                Contribution(
                    "two heights by caliper", resolution.height(), 1 / pitch.value, shape="rectangular, twice"
                ),
                Contribution(
                    "pitch of the thread", pitch.uncertainty, turns / pitch.value, shape="from its own reading"
                ),
                rectangular("play of the bolt in its thread", resolution.play / 2),
            )
        ),
        "heights",
    )


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two ways of counting the same turns.

    Attributes:
        difference: turns by the key less turns by height.
        explained: the difference that the uncertainties of both explain, turns.
    """

    difference: float
    explained: float

    @property
    def agree(self) -> bool:
        """Whether the uncertainties explain the difference."""
        return abs(self.difference) <= self.explained


def compare(key: Count, height: Count) -> Comparison:
    """Hold a count by the key against a count by height."""
    explained = DISAGREEMENT * math.hypot(key.budget.combined, height.budget.combined)
    return Comparison(key.turns - height.turns, explained)
