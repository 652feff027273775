"""What a bow gives, strung and drawn, and what turning its bolts or rocking its limbs adds to that."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.bow_fit import FitError, TurnedBow
from quarterturn.bench.bow_setup import Pair, Setup, fitted_bow, foretold
from quarterturn.bench.sensitivities import Row
from quarterturn.mechanics import linearisation
from quarterturn.mechanics.bow import Bow, BowError
from quarterturn.mechanics.limb import FAST, StepCounts
from quarterturn.mechanics.linearisation import Linearisation

ROCKED = 1e-4
"""Rad that a limb is rocked for what rocking does."""
OUTCOMES = ("weight", "brace_height", "upper_tiller", "lower_tiller", "upper_moment", "lower_moment")
"""The numbers of an outcome, in the order of a row."""
SIZE = len(OUTCOMES)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a bow gives, or what one more turn or one more of a number adds to it. N, m, N·m.

    Attributes:
        weight: draw weight at the reader's draw length.
        upper_tiller, lower_tiller: string to each limb's belly.
        upper_moment, lower_moment: of the string about each fulcrum, drawn.
    """

    weight: float
    brace_height: float
    upper_tiller: float
    lower_tiller: float
    upper_moment: float
    lower_moment: float

    @property
    def tiller(self) -> float:
        """Upper less lower."""
        return self.upper_tiller - self.lower_tiller

    @property
    def row(self) -> Row:
        """All of its numbers, in order."""
        return tuple([getattr(self, name) for name in OUTCOMES])

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(*[one + more for one, more in zip(self.row, other.row, strict=True)])

    def __sub__(self, other: Outcome) -> Outcome:
        return Outcome(*[one - less for one, less in zip(self.row, other.row, strict=True)])

    def __rmul__(self, factor: float) -> Outcome:
        return Outcome(*[factor * one for one in self.row])


def outcome(found: TurnedBow) -> Outcome:
    """What a bow gives, from how it was found."""
    braced, drawn = found.braced, found.drawn
    return Outcome(
        drawn.force,
        braced.brace_height,
        braced.upper.distance_to_belly,
        braced.lower.distance_to_belly,
        drawn.upper.moment,
        drawn.lower.moment,
    )


@dataclass(frozen=True, slots=True)
class TurnResponse:
    """What the bow gives as it stands, and what a turn OUT of either bolt adds to it, about there."""

    now: Outcome
    upper: Outcome
    lower: Outcome

    def change(self, change: Pair) -> Outcome:
        """What turning both by this much adds, as far as it goes with the turns."""
        return change[0] * self.upper + change[1] * self.lower

    @classmethod
    def of(cls, row: Row) -> TurnResponse:
        """The same, of a row: the outcomes now, by a turn of the upper bolt, by one of the lower."""
        return cls(Outcome(*row[:SIZE]), Outcome(*row[SIZE : 2 * SIZE]), Outcome(*row[2 * SIZE :]))


def of_response(row: Row, what: str) -> tuple[float, float, float]:
    """What the row of a turn response has of one attribute of Outcome: now, by a turn of the upper bolt, the lower."""
    if what == "tiller":
        return row[2] - row[3], row[SIZE + 2] - row[SIZE + 3], row[2 * SIZE + 2] - row[2 * SIZE + 3]
    at = OUTCOMES.index(what)
    return row[at], row[SIZE + at], row[2 * SIZE + at]


# A bow that differs little from one that was found

OutcomeLinearisation = tuple[Linearisation, Linearisation]
"""Of a bow strung and drawn."""


def linearise_outcome(bow: Bow, found: TurnedBow, *, steps: StepCounts = FAST) -> OutcomeLinearisation:
    """What `linearised_row` needs of a bow as it was found."""
    return (
        linearisation.linearise(bow, found.braced, steps=steps),
        linearisation.linearise(bow, found.drawn, steps=steps),
    )


def linearised_row(bow: Bow, rock: Pair, near: OutcomeLinearisation) -> Row:
    """The row of `outcome`, to first order, of a bow that differs little from the one linearised about.

    Raises:
        BowError, LimbError: where there is no bow near.
    """
    braced, drawn = linearisation.linearised_outcomes(near, bow, rock)
    return (drawn.force, braced.brace_height, *braced.distances, *drawn.moments)


def by_rock(setup: Setup, draw: float, turns: Pair) -> tuple[Outcome, Outcome]:
    """What a rad more of the upper limb's rock angle adds to what the bow gives with its bolts there; of the lower's.

    By linearised outcomes of the bow that is found there: no limb is integrated again.

    Raises:
        FitError: where the bow has no answer.
        PocketError: a bolt cannot stand there.
    """
    bow, found, rock = fitted_bow(setup).bow, foretold(setup, draw, turns), setup.rock(turns)
    near = linearise_outcome(bow, found)
    here = Outcome(*linearised_row(bow, rock, near))

    def by(more: Pair) -> Outcome:
        there = Outcome(*linearised_row(bow, (rock[0] + more[0], rock[1] + more[1]), near))
        return (1 / ROCKED) * (there - here)

    try:
        return by((ROCKED, 0.0)), by((0.0, ROCKED))
    except BowError as error:
        raise FitError("turns", str(error)) from None
