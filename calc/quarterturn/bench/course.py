"""What was set and read so far, and what follows for every other setting.

A prediction stands on the newest reading of each thing and goes on from there by what the turns between do. The
computed bow says what they do and how sure that is. Where the reader has read more than one setting, what a turn of
either bolt does is found from both: the bow's answer is a finding before the readings, which add theirs, and each
counts for as much as it is sure (generalised least squares, with a level that nothing is known of beforehand). So a
plan learns from every step that is carried out, and what was read of one bolt tells of the other only as much as the
bow says that the two are alike.

Turns count out from zero; SI.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_numbers import counted_to
from quarterturn.bench.bow_setup import Pair, foretold
from quarterturn.bench.bow_uncertainty import uncertainty_of
from quarterturn.bench.outcomes import Outcome, outcome
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import same

WHAT = ("weight", "tiller", "brace_height")
COVERAGE = 2.0
LEAST_CHANGE = 3.0
"""By readings alone: a change counts where it is more than so many standard uncertainties of a difference that is
read."""
LEAST_TIMES, MOST_TIMES = 0.2, 3.0
"""So many times what the bow says a turn may do by the reader's readings; beyond, something else has changed too."""
FREE = 10.0
"""By readings alone: so many times itself may a turn's effect be off before anything is read, which is as good as not
known."""
SURER = 0.999
"""Readings count for a bolt where they leave less than this part of the variance."""

SymmetricMatrix = tuple[float, float, float]
"""A symmetric matrix of two rows: upper and upper, upper and lower, lower and lower."""
NOTHING: SymmetricMatrix = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SettingReading:
    """One setting and what was read at it; None where it was not read.

    `number` is its row in the log and `day` its date; 0 for the record's own.
    """

    turns: Pair
    weight: float | None
    tiller: float | None
    brace_height: float | None
    label: str = ""
    number: int = 0
    day: int = 0

    def get(self, what: str) -> float | None:
        """A reading by its name."""
        return {"weight": self.weight, "tiller": self.tiller, "brace_height": self.brace_height}[what]


@dataclass(frozen=True, slots=True)
class Prior:
    """What the bow alone says that one turn out of either bolt does to a number, and how sure that is.

    Attributes:
        turn: of the upper and of the lower bolt.
        covariance: of both.
    """

    turn: Pair
    covariance: SymmetricMatrix


@dataclass(frozen=True, slots=True)
class Turn:
    """What one turn out of a bolt does to a number.

    Attributes:
        computed: by the bow alone.
        value: as it is foretold.
        uncertainty: its standard uncertainty.
        by: "bow", "readings" or "both".
    """

    computed: float
    value: float
    uncertainty: float
    by: str

    @property
    def times(self) -> float:
        """So many times what is computed; 1 where nothing is."""
        return self.value / self.computed if self.computed else 1.0


@dataclass(frozen=True, slots=True)
class Prediction:
    """What will be read at a setting, with its expanded uncertainty (k = 2), that of the reading itself within it."""

    value: float
    expanded: float

    def holds(self, read: float) -> bool:
        """Whether a reading agrees with it."""
        return abs(read - self.value) <= self.expanded * (1 + 1e-9)


@dataclass(frozen=True, slots=True)
class PredictionCheck:
    """A reading held against what had been foretold from those before it."""

    reading: SettingReading
    what: str
    foretold: Prediction
    agrees: bool


@dataclass(frozen=True, slots=True)
class TurnEstimate:
    """What the readings of one thing tell.

    Attributes:
        anchor: the newest of them.
        more: what one turn out of either bolt does more than is computed.
        covariance: of that.
        by: what each bolt's turn stands on.
        middle: the mean of the settings that are of one row with the newest, between which only turns lie.
        count: how many they are.
        set_aside: readings that no turn of the bolts explains from the one before: something else has changed too.
    """

    anchor: SettingReading
    more: Pair
    covariance: SymmetricMatrix
    by: tuple[str, str]
    middle: Pair
    count: int
    set_aside: tuple[SettingReading, ...]


@dataclass(frozen=True, slots=True)
class Course:
    """All settings that were read, in order, the first one the record's own, with all three readings; never empty.

    Attributes:
        at: the computed bow's weight, tiller and brace height at a setting, by name.
        inside: whether anything may be foretold for a setting: both bolts in their windows, and the bow has an answer.
        prior: what the bow says that turns do to a number; None where it does not tell how sure it is, which is taken
            as being off by all of it.
        read_to: how near each is read (half-width), by name.
        by: "bow", "readings" or "both": what predictions stand on where there is a choice.
        counted_to: how far off a bolt may stand from where it is counted, half-width in turns.
    """

    reads: tuple[SettingReading, ...]
    at: Callable[[Pair, str], float]
    inside: Callable[[Pair], bool]
    prior: Callable[[str], Prior | None]
    read_to: dict[str, float]
    by: str = "both"
    counted_to: float = 0.0

    @property
    def now(self) -> SettingReading:
        """The newest setting."""
        return self.reads[-1]

    @property
    def beside(self) -> tuple[SettingReading, ...]:
        """Settings for which nothing is foretold, and from which nothing is: a bolt stands outside its window."""
        return tuple(one for one in self.reads[1:] if not self.inside(one.turns))

    def anchor(self, what: str, before: int | None = None) -> SettingReading:
        """The newest setting at which this was read, of those that count."""
        return self._of(what, before)[-1]

    def turn(self, what: str, before: int | None = None) -> tuple[Turn, Turn] | None:
        """What one turn out of either bolt does; None where the bow does not tell how sure it is."""
        prior = self.prior(what)
        if prior is None:
            return None
        told = self.learned(what, before)
        standard = (math.sqrt(max(0.0, told.covariance[0])), math.sqrt(max(0.0, told.covariance[2])))
        one, two = (
            Turn(computed, computed + more, uncertainty, by)
            for computed, more, uncertainty, by in zip(prior.turn, told.more, standard, told.by, strict=True)
        )
        return one, two

    def learned(self, what: str, before: int | None = None) -> TurnEstimate:
        """What the readings tell, or those before one of them."""
        reads = self._of(what, before)
        newest, prior = reads[-1], self.prior(what)
        covariance = NOTHING if prior is None else prior.covariance
        alone = TurnEstimate(newest, (0.0, 0.0), covariance, ("bow", "bow"), newest.turns, 1, ())
        if prior is None or self.by == "bow" or len(reads) == 1:
            return alone
        told = _NormalEquations(self._reading(what), prior.turn)
        for one in reads:
            told.add(one, self._read(one, what) - self.at(one.turns, what))
        if self.by == "readings":
            free = _free(told.known, prior.turn)
            if free is None:
                return replace(alone, set_aside=tuple(told.set_aside))
            covariance = _plus(covariance, free)
            left, stands = _posterior_covariance(covariance, told.known), (free[0] > 0, free[2] > 0)
        else:
            left = _posterior_covariance(covariance, told.known)
            stands = left[0] < SURER * covariance[0], left[2] < SURER * covariance[2]
        upper, lower = (self.by if each else "bow" for each in stands)
        more = _times(left, told.found)
        return TurnEstimate(newest, more, left, (upper, lower), told.middle, told.count, tuple(told.set_aside))

    def _of(self, what: str, before: int | None) -> list[SettingReading]:
        """The readings of one thing that count: the record's own, and those inside the windows."""
        own, *others = self.reads[:before]
        return [own, *(one for one in others if one.get(what) is not None and self.inside(one.turns))]

    def _read(self, one: SettingReading, what: str) -> float:
        value = one.get(what)
        return self.at(one.turns, what) if value is None else value

    def _reading(self, what: str) -> float:
        """The standard uncertainty of a reading where the bolts are counted to stand: bounds are known (GUM 4.3.7)."""
        prior = self.prior(what) if self.counted_to else None
        off = () if prior is None else tuple(self.counted_to * each for each in prior.turn)
        return math.hypot(self.read_to[what], *off) / math.sqrt(3)

    def foretell(self, turns: Pair, what: str, before: int | None = None) -> Prediction:
        """What will be read at a setting, from all that was read (or from what was read before one of the readings)."""
        told, reading = self.learned(what, before), self._reading(what)
        start = told.anchor.turns
        computed = self.at(turns, what) - self.at(start, what)
        value = self._read(told.anchor, what) + computed + _dot(told.more, _less(turns, start))
        if self.prior(what) is None:
            return Prediction(value, COVERAGE * math.hypot(reading, reading, computed))
        # The level that the readings agree on is surer than the newest of them, and moves with what a turn is found to
        # do: how sure the prediction is follows from the variances at both ends (that of a residual is the rest).
        spread = _form(told.covariance, _less(turns, told.middle)) - _form(told.covariance, _less(start, told.middle))
        return Prediction(value, COVERAGE * math.sqrt(max(reading**2, spread + 2 * reading**2)))

    def value(self, what: str) -> float:
        """What this is where the bolts stand now: as read there, or as it is foretold; quick."""
        return self.line(what).at(self.now.turns) if self.inside(self.now.turns) else self._read(self.reads[0], what)

    def set_aside(self, what: str) -> tuple[SettingReading, ...]:
        """Readings that no turn of the bolts explains from the one before; quick as `line`."""
        return self.learned(what).set_aside if self._holds_two(what) else ()

    def _holds_two(self, what: str) -> bool:
        """Whether there are two settings to hold against one another."""
        return self.by != "bow" and len(self._of(what, None)) > 1

    def line(self, what: str) -> PredictionLine:
        """Foretells the value alone; quick where there are no two settings to hold against one another."""
        start = self.anchor(what)
        more = self.learned(what).more if self._holds_two(what) else (0.0, 0.0)
        return PredictionLine(self, what, start.turns, self._read(start, what), self.at(start.turns, what), more)

    def checks(self) -> tuple[PredictionCheck, ...]:
        """Every reading after the first that counts, held against what the ones before it foretold."""
        found = []
        for place, one in enumerate(self.reads[1:], 1):
            if not self.inside(one.turns):
                continue
            for what in WHAT:
                value = one.get(what)
                if value is not None:
                    told = self.foretell(one.turns, what, place)
                    found.append(PredictionCheck(one, what, told, told.holds(value)))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class PredictionLine:
    """From what is computed at a setting to what is foretold there.

    Attributes:
        start: where it goes on from.
        read, computed: there.
        more: what one turn out of either bolt does more than is computed.
    """

    course: Course
    what: str
    start: Pair
    read: float
    computed: float
    more: Pair

    def at(self, turns: Pair) -> float:
        """What is foretold."""
        return self.of(turns, self.course.at(turns, self.what))

    def of(self, turns: Pair, computed: float) -> float:
        """What is foretold where this is computed."""
        upper, lower = turns[0] - self.start[0], turns[1] - self.start[1]
        return self.read + computed - self.computed + (self.more[0] * upper + self.more[1] * lower)


class _NormalEquations:
    """What the readings of one thing say that turns do more than is computed: sums for least squares.

    Readings are taken row by row: within a row only turns lie between them. A reading that no turn explains begins a
    new row. Within each, deviations from the row's mean are what counts, for its level is not known beforehand.

    Attributes:
        known: the information in them, the inverse of a matrix of variances.
        found: the same times what a turn does more.
    """

    def __init__(self, reading: float, turn: Pair) -> None:
        self._reading, self._turn = reading, turn
        self._before: tuple[Pair, float] | None = None
        self.set_aside: list[SettingReading] = []
        self.known, self.found = NOTHING, (0.0, 0.0)
        self.count, self.middle, self._mean = 0, (0.0, 0.0), 0.0

    def add(self, one: SettingReading, off: float) -> None:
        """Take a reading, and by how much it is more than is computed there."""
        if self._before is not None and not self._explained(one.turns, off):
            self.set_aside.append(one)
            self.count = 0
        self._before = one.turns, off
        if not self.count:
            self.count, self.middle, self._mean = 1, one.turns, off
            return
        # One more reading: what it adds to the sums of squares about the mean (Welford).
        apart, by, self.count = _less(one.turns, self.middle), off - self._mean, self.count + 1
        weight = (self.count - 1) / self.count / self._reading**2
        more = (weight * apart[0] ** 2, weight * apart[0] * apart[1], weight * apart[1] ** 2)
        self.known = _plus(self.known, more)
        self.found = (self.found[0] + weight * apart[0] * by, self.found[1] + weight * apart[1] * by)
        part = 1 / self.count
        self.middle = (self.middle[0] + part * apart[0], self.middle[1] + part * apart[1])
        self._mean += part * by

    def _explained(self, turns: Pair, off: float) -> bool:
        """Whether some number of times what a turn does, of either bolt, explains what has changed."""
        if self._before is None:
            return True
        change = off - self._before[1]
        least = most = 0.0
        for each, turned in zip(self._turn, _less(turns, self._before[0]), strict=True):
            ends = sorted((times - 1) * each * turned for times in (LEAST_TIMES, MOST_TIMES))
            least, most = least + ends[0], most + ends[1]
        slack = COVERAGE * math.sqrt(2) * self._reading
        return least - slack <= change <= most + slack


def _free(known: SymmetricMatrix, turn: Pair) -> SymmetricMatrix | None:
    """What is taken as not known before the readings, where they tell it: variances of what a turn does more.

    Of both bolts apart where the readings tell them apart; of the one that was moved; of both by the same number of
    times where they were only moved together; None where reading is too coarse for what was turned.
    """
    upper, lower = turn
    of_upper, mixed, of_lower = upper**2 * known[0], upper * lower * known[1], lower**2 * known[2]
    least = LEAST_CHANGE**2
    weakest = (of_upper + of_lower - math.hypot(of_upper - of_lower, 2 * mixed)) / 2
    if weakest >= least:
        return (FREE * upper) ** 2, 0.0, (FREE * lower) ** 2
    if same(known[2], 0.0) and of_upper >= least:
        return (FREE * upper) ** 2, 0.0, 0.0
    if same(known[0], 0.0) and of_lower >= least:
        return 0.0, 0.0, (FREE * lower) ** 2
    if of_upper + 2 * mixed + of_lower >= least:
        return (FREE * upper) ** 2, FREE**2 * upper * lower, (FREE * lower) ** 2
    return None


def _posterior_covariance(covariance: SymmetricMatrix, known: SymmetricMatrix) -> SymmetricMatrix:
    """The variances that are left of these when so much is known besides: the inverse of the sum of the inverses."""
    a, b = 1 + known[0] * covariance[0] + known[1] * covariance[1], known[0] * covariance[1] + known[1] * covariance[2]
    c, d = known[1] * covariance[0] + known[2] * covariance[1], 1 + known[1] * covariance[1] + known[2] * covariance[2]
    whole = a * d - b * c
    return (
        (covariance[0] * d - covariance[1] * c) / whole,
        (covariance[1] * a - covariance[0] * b) / whole,
        (covariance[2] * a - covariance[1] * b) / whole,
    )


def _plus(one: SymmetricMatrix, two: SymmetricMatrix) -> SymmetricMatrix:
    return one[0] + two[0], one[1] + two[1], one[2] + two[2]


def _times(square: SymmetricMatrix, pair: Pair) -> Pair:
    return square[0] * pair[0] + square[1] * pair[1], square[1] * pair[0] + square[2] * pair[1]


def _form(square: SymmetricMatrix, pair: Pair) -> float:
    return _dot(_times(square, pair), pair)


def _dot(one: Pair, two: Pair) -> float:
    return one[0] * two[0] + one[1] * two[1]


def _less(one: Pair, two: Pair) -> Pair:
    return one[0] - two[0], one[1] - two[1]


def course_of(bow: BowInputs, reads: tuple[SettingReading, ...], read_to: dict[str, float], by: str) -> Course:
    """The course of a bow's readings; `reads` are what was read after the record's own, in order."""
    setup = bow.setup

    @cache
    def found(turns: Pair) -> Outcome:
        return outcome(foretold(setup, bow.draw, turns))

    def at(turns: Pair, what: str) -> float:
        return float(getattr(found(turns), what))

    @cache
    def inside(turns: Pair) -> bool:
        try:
            return not bow.outside(turns) and bool(found(turns))
        except (FitError, PocketError):
            return False

    @cache
    def prior(what: str) -> Prior | None:
        try:
            told = uncertainty_of(bow)
        except FitError:
            return None
        return Prior((getattr(told.response.upper, what), getattr(told.response.lower, what)), told.covariance(what))

    first = SettingReading(
        setup.now,
        at(setup.now, "weight"),
        setup.upper_tiller - setup.lower_tiller,
        setup.brace_height,
        "as it was measured",
    )
    return Course((first, *reads), at, inside, prior, read_to, by, counted_to(bow.values))
