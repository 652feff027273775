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
from quarterturn.bench.events import line_days, own_day, times_set_anew
from quarterturn.bench.outcomes import Outcome, outcome
from quarterturn.bench.turn_least_squares import (
    COVERAGE,
    NOTHING,
    NormalEquations,
    SymmetricMatrix,
    dot,
    minus,
    plus,
    posterior_covariance,
    quadratic_form,
    times,
    unknown_turns,
)
from quarterturn.mechanics.pocket import PocketError

WHAT = ("weight", "tiller", "brace_height")
SURER = 0.999
"""Readings count for a bolt where they leave less than this part of the variance."""


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
        line_days: on which the line of the limbs was set anew: tillers from before and after are not compared.
        own_day: on which the record's own readings were taken; 0 where nobody wrote it.
    """

    reads: tuple[SettingReading, ...]
    at: Callable[[Pair, str], float]
    inside: Callable[[Pair], bool]
    prior: Callable[[str], Prior | None]
    read_to: dict[str, float]
    by: str = "both"
    counted_to: float = 0.0
    line_days: tuple[int, ...] = ()
    own_day: int = 0

    def line(self, one: SettingReading) -> int:
        """Of which line of the limbs a setting is: how often that had been set anew by then."""
        return times_set_anew(one.day or self.own_day, self.line_days)

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
        told = NormalEquations(self._reading(what), prior.turn)
        set_aside = tuple(
            one for one in reads if not told.add(one.turns, self._read(one, what) - self.at(one.turns, what))
        )
        if self.by == "readings":
            free = unknown_turns(told.known, prior.turn)
            if free is None:
                return replace(alone, set_aside=set_aside)
            covariance = plus(covariance, free)
            left, stands = posterior_covariance(covariance, told.known), (free[0] > 0, free[2] > 0)
        else:
            left = posterior_covariance(covariance, told.known)
            stands = left[0] < SURER * covariance[0], left[2] < SURER * covariance[2]
        upper, lower = (self.by if each else "bow" for each in stands)
        more = times(left, told.found)
        return TurnEstimate(newest, more, left, (upper, lower), told.middle, told.count, set_aside)

    def _of(self, what: str, before: int | None) -> list[SettingReading]:
        """The readings of one thing that count: the record's own, and those inside the windows."""
        return self._of_one_line(what, before) or self._counting(what, before)

    def _counting(self, what: str, before: int | None) -> list[SettingReading]:
        own, *others = self.reads[:before]
        return [own, *(one for one in others if one.get(what) is not None and self.inside(one.turns))]

    def _of_one_line(self, what: str, before: int | None) -> list[SettingReading]:
        """Those that may be compared with the reading there, or the next one; of tillers only those of its line."""
        found = self._counting(what, before)
        if what != "tiller" or not self.line_days:
            return found
        line = len(self.line_days) if before is None else self.line(self.reads[before])
        return [one for one in found if self.line(one) == line]

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
        told = self.learned(what, before)
        start = told.anchor.turns
        computed = self.at(turns, what) - self.at(start, what)
        value = self._read(told.anchor, what) + computed + dot(told.more, minus(turns, start))
        if self.prior(what) is None:
            reading = self._reading(what)
            return Prediction(value, COVERAGE * math.hypot(reading, reading, computed))
        return Prediction(value, self.expanded(told, what, turns))

    def expanded(self, told: TurnEstimate, what: str, turns: Pair) -> float:
        """How sure it is what will be read at a setting, by what the readings tell: k = 2, the reading's error in it.

        The level that the readings agree on is surer than the newest of them, and moves with what a turn is found to
        do: how sure the prediction is follows from the variances at both ends (that of a residual is the rest).
        """
        reading = self._reading(what)
        spread = quadratic_form(told.covariance, minus(turns, told.middle)) - quadratic_form(
            told.covariance, minus(told.anchor.turns, told.middle)
        )
        return COVERAGE * math.sqrt(max(reading**2, spread + 2 * reading**2))

    def value(self, what: str) -> float:
        """What this is where the bolts stand now: as read there, or as it is foretold; quick."""
        return self.value_at(self.now.turns, what) if self.inside(self.now.turns) else self._read(self.reads[0], what)

    def set_aside(self, what: str) -> tuple[SettingReading, ...]:
        """Readings that no turn of the bolts explains from the one before; quick as `predictor`."""
        return self.learned(what).set_aside if self._holds_two(what) else ()

    def _holds_two(self, what: str) -> bool:
        """Whether there are two settings to hold against one another."""
        return self.by != "bow" and len(self._of(what, None)) > 1

    def predictor(self, what: str) -> Callable[[Pair, float], float]:
        """How the value alone is foretold at a setting from what is computed there.

        Quick where there are no two settings to hold against one another.
        """
        start = self.anchor(what)
        more = self.learned(what).more if self._holds_two(what) else (0.0, 0.0)
        read, computed = self._read(start, what), self.at(start.turns, what)

        def predict(turns: Pair, there: float) -> float:
            upper, lower = turns[0] - start.turns[0], turns[1] - start.turns[1]
            return read + there - computed + (more[0] * upper + more[1] * lower)

        return predict

    def value_at(self, turns: Pair, what: str) -> float:
        """What is foretold at a setting, without how sure that is; quick as `predictor`."""
        return self.predictor(what)(turns, self.at(turns, what))

    def checks(self) -> tuple[PredictionCheck, ...]:
        """Every reading after the first that counts, held against what the ones before it foretold."""
        found = []
        for place, one in enumerate(self.reads[1:], 1):
            if not self.inside(one.turns):
                continue
            for what in WHAT:
                value = one.get(what)
                if value is not None and self._of_one_line(what, place):
                    told = self.foretell(one.turns, what, place)
                    found.append(PredictionCheck(one, what, told, told.holds(value)))
        return tuple(found)


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
    lines, day = line_days(bow.values), own_day(bow.values)
    return Course((first, *reads), at, inside, prior, read_to, by, counted_to(bow.values), lines, day)
