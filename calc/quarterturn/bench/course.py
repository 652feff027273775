"""What was set and read so far, and what follows for every other setting.

A prediction stands on the newest reading of each thing and goes on from there by what the computed bow says the turns
between do. Where the reader has read two settings, what the turns did is held against what the bow said they would do:
either counts for as much as it is sure. So a plan learns from every step that is carried out.

Turns count out from zero; SI.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from quarterturn.bench.bow_asked import BowAsked, Pair, foretold
from quarterturn.bench.bow_doubt import doubts, outcome
from quarterturn.bench.bow_fit import Turned

WHAT = ("weight", "tiller", "brace_height")
COVERAGE = 2.0
LEAST_CHANGE = 3.0
"""A change that was read counts where it is more than so many times what reading can be off by."""
LEAST_SHARE, MOST_SHARE = 0.2, 3.0
"""What the reader's own readings may make of the bow's change: beyond, something else has changed too."""


@dataclass(frozen=True, slots=True)
class Read:
    """One setting and what was read at it; None where it was not read."""

    turns: Pair
    weight: float | None
    tiller: float | None
    brace_height: float | None
    label: str = ""

    def get(self, what: str) -> float | None:
        """A reading by its name."""
        return {"weight": self.weight, "tiller": self.tiller, "brace_height": self.brace_height}[what]


@dataclass(frozen=True, slots=True)
class Factor:
    """What the computed change is multiplied by: 1 by the bow alone.

    Attributes:
        doubt: its standard uncertainty.
        by: "bow", "readings" or "both".
    """

    value: float
    doubt: float
    by: str


@dataclass(frozen=True, slots=True)
class Foretold:
    """A number at a setting, with its expanded uncertainty (k = 2)."""

    value: float
    expanded: float

    def holds(self, read: float, own: float) -> bool:
        """Whether a reading that may itself be off by `own` (half-width) agrees with it."""
        return abs(read - self.value) <= math.hypot(self.expanded, COVERAGE * own / math.sqrt(3)) * (1 + 1e-9)


@dataclass(frozen=True, slots=True)
class Checked:
    """A reading held against what had been foretold from those before it."""

    reading: Read
    what: str
    foretold: Foretold
    agrees: bool


@dataclass(frozen=True, slots=True)
class Course:
    """All settings that were read, in order, the first one the record's own; never empty.

    Attributes:
        at: the computed bow's weight, tiller and brace height at a setting, by name.
        shares: the standard uncertainty of a computed change as a part of it, by name.
        read_to: how near each is read (half-width), by name.
        by: "bow", "readings" or "both": what predictions stand on where there is a choice.
    """

    reads: tuple[Read, ...]
    at: Callable[[Pair, str], float]
    doubt: Callable[[Pair, Pair, str], float]
    read_to: dict[str, float]
    by: str = "both"

    @property
    def now(self) -> Read:
        """The newest setting."""
        return self.reads[-1]

    def anchor(self, what: str, before: int | None = None) -> Read:
        """The newest setting at which this was read."""
        for one in reversed(self.reads[:before]):
            if one.get(what) is not None:
                return one
        return self.reads[0]

    def factor(self, what: str, before: int | None = None) -> Factor:
        """What the computed change has to be multiplied by: from the bow, the reader's readings, or both."""
        own = self._own_factor(what, before)
        bow = Factor(1.0, self._share(what), "bow")
        if own is None:
            return bow
        if self.by == "readings":
            return own
        # Two findings of one number, each weighed by how sure it is.
        weights = 1 / max(bow.doubt, 1e-9) ** 2, 1 / max(own.doubt, 1e-9) ** 2
        value = (weights[0] * bow.value + weights[1] * own.value) / (weights[0] + weights[1])
        return Factor(value, 1 / math.sqrt(weights[0] + weights[1]), "both")

    def times(self, what: str) -> float:
        """The factor's value; quick where there are no two settings to hold against one another."""
        return 1.0 if self._own_factor(what, None) is None else self.factor(what).value

    def _own_factor(self, what: str, before: int | None) -> Factor | None:
        reads = [one for one in self.reads[:before] if one.get(what) is not None]
        return None if len(reads) < 2 or self.by == "bow" else self._own(reads, what)

    def _own(self, reads: list[Read], what: str) -> Factor | None:
        """By the two of the settings between which the bow says that most has changed."""
        pairs = [(one, two) for place, one in enumerate(reads) for two in reads[place + 1 :]]
        one, two = max(pairs, key=lambda pair: abs(self._computed(pair[0].turns, pair[1].turns, what)))
        computed = self._computed(one.turns, two.turns, what)
        reading = math.sqrt(2) * self.read_to[what] / math.sqrt(3)
        if abs(computed) < LEAST_CHANGE * reading:
            return None
        first, second = one.get(what), two.get(what)
        if first is None or second is None:
            return None
        value = (second - first) / computed
        if not LEAST_SHARE <= value <= MOST_SHARE:
            return None
        return Factor(value, reading / abs(computed), "readings")

    def _share(self, what: str) -> float:
        """How far a computed change may be off, as a part of it: of one turn, whichever bolt is less sure."""
        here, found = self.reads[0].turns, []
        for there in ((here[0] - 1, here[1]), (here[0], here[1] - 1)):
            change = self._computed(here, there, what)
            if change:
                found.append(self.doubt(here, there, what) / abs(change))
        return max(found, default=1.0)

    def _computed(self, here: Pair, there: Pair, what: str) -> float:
        return self.at(there, what) - self.at(here, what)

    def foretell(self, turns: Pair, what: str, before: int | None = None) -> Foretold:
        """What this will be at a setting, from all that was read (or from what was read before one of the readings)."""
        anchor = self.anchor(what, before)
        value = anchor.get(what)
        if value is None:
            value = self.at(anchor.turns, what)
        factor, computed = self.factor(what, before), self._computed(anchor.turns, turns, what)
        bow = self.doubt(anchor.turns, turns, what)
        change = bow if factor.by == "bow" else min(bow, factor.doubt * abs(computed)) if computed else bow
        reading = self.read_to[what] / math.sqrt(3)
        return Foretold(value + factor.value * computed, COVERAGE * math.hypot(reading, change))

    def value(self, what: str) -> float:
        """What this is where the bolts stand now: as read there, or as it is foretold; quick."""
        anchor = self.anchor(what)
        read = anchor.get(what)
        here = self.at(anchor.turns, what) if read is None else read
        return here + self.times(what) * self._computed(anchor.turns, self.now.turns, what)

    def checks(self) -> tuple[Checked, ...]:
        """Every reading after the first, held against what the ones before it foretold."""
        found = []
        for place, one in enumerate(self.reads[1:], 1):
            for what in WHAT:
                value = one.get(what)
                if value is None or not any(other.get(what) is not None for other in self.reads[:place]):
                    continue
                foretold = self.foretell(one.turns, what, place)
                found.append(Checked(one, what, foretold, foretold.holds(value, self.read_to[what])))
        return tuple(found)


def course_of(bow: BowAsked, reads: tuple[Read, ...], read_to: dict[str, float], by: str) -> Course:
    """The course of a bow's readings; `reads` are what was read after the record's own, in order."""

    def at(turns: Pair, what: str) -> float:
        found: Turned = foretold(bow.setup, bow.draw, turns)
        return float(getattr(outcome(found), what))

    def doubt(here: Pair, there: Pair, what: str) -> float:
        return doubts(bow).budget_of(what, (there[0] - here[0], there[1] - here[1]), whole=False).combined

    setup = bow.setup
    first = Read(
        setup.now,
        at(setup.now, "weight"),
        setup.upper_tiller - setup.lower_tiller,
        setup.brace_height,
        "as it was measured",
    )
    return Course((first, *reads), at, doubt, read_to, by)
