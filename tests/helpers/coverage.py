"""How often predictions of made bows are right: shares of true changes that lie in the band that was given.

The bows are those of `made_bows`: true numbers drawn evenly within the half-widths that the package states for them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from helpers import made_bows
from helpers.asking import ALL_LENGTHS, COMPLETE, STRUNG, Data, values
from helpers.made_bows import KINDS, WHAT, Bench, Halves, Pair, Reading
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs, BowInputsError, bow_inputs
from quarterturn.bench.bow_numbers import INDIVIDUAL
from quarterturn.bench.bow_setup import as_it_is, foretold
from quarterturn.bench.bow_uncertainty import BowUncertainty, uncertainty_of
from quarterturn.bench.course import Course, course_of
from quarterturn.bench.history import read_to, reads
from quarterturn.bench.outcomes import outcome
from quarterturn.widgets.plan.form import ASKED

POPULATIONS = ("alike", "unlike")
"""Limbs that differ in nothing but their stiffness, and limbs with numbers of their own."""
SITUATIONS = ("nothing more", "a tried turn", "a log of three")


@dataclass(frozen=True)
class Case:
    """One prediction of one bow, SI.

    Attributes:
        kind: which bolts are turned.
        what: "weight", "tiller" or "brace_height"; with "reading of" before it what will be read, else its change.
        true: what the true bow does.
        band: half-width of what is given around `told`.
    """

    kind: str
    what: str
    true: float
    told: float
    band: float

    @property
    def held(self) -> bool:
        """Whether the band holds the truth."""
        return abs(self.told - self.true) <= self.band * (1 + 1e-9)


@dataclass(frozen=True)
class Answer:
    """What the package said of one bow in one situation: predictions, or why none.

    Attributes:
        set_aside: whether a turn that was tried is not used.
        redrawn: how often numbers were drawn before of which there is no bow.
    """

    cases: tuple[Case, ...] = ()
    refused: str = ""
    set_aside: bool = False
    redrawn: int = 0


@dataclass
class Cell:
    """All predictions of one number for one kind of turn."""

    cases: list[Case] = field(default_factory=list)

    @property
    def share(self) -> float:
        """Of the truths that lie in the band."""
        return sum(case.held for case in self.cases) / len(self.cases)

    @property
    def error(self) -> float:
        """The root mean square of the errors."""
        return math.sqrt(math.fsum((case.told - case.true) ** 2 for case in self.cases) / len(self.cases))

    @property
    def width(self) -> float:
        """The mean band over that."""
        return math.fsum(case.band for case in self.cases) / len(self.cases) / self.error


@dataclass
class Row:
    """A population of bows in one situation."""

    answers: list[Answer] = field(default_factory=list)

    @property
    def refused(self) -> list[str]:
        """Why no answer was given, each time."""
        return [one.refused for one in self.answers if one.refused]

    @property
    def cells(self) -> dict[tuple[str, str], Cell]:
        """By number and kind of turn."""
        found: dict[tuple[str, str], Cell] = {}
        for answer in self.answers:
            for case in answer.cases:
                found.setdefault((case.what, case.kind), Cell()).cases.append(case)
        return found


def halves_of(*, measured: bool = True) -> Halves:
    """What the package says that each number may be off by, where all lengths were measured or none was."""
    record = COMPLETE | STRUNG | (ALL_LENGTHS if measured else {})
    listed = bow_inputs(values(record), ASKED).parameters
    return Halves({each.name: each.half for each in listed if each.known != "alike"}, dict(INDIVIDUAL))


def measured_coverage(
    population: str, seeds: Iterable[int], *, measured: bool = True, near: Reading | None = None
) -> dict[str, Row]:
    """Every situation's row: one bow a seed, in all of them."""
    halves = halves_of(measured=measured)
    rows = {situation: Row() for situation in SITUATIONS}
    for seed in seeds:
        bench = made_bows.drawn_bench(seed, halves, unlike=population == "unlike", measured=measured, near=near)
        for situation, row in rows.items():
            row.answers.append(_answer(bench, situation))
    return rows


def _answer(bench: Bench, situation: str) -> Answer:
    record, place = _record(bench, situation)
    try:
        bow = bow_inputs(values(record), ASKED)
        cases = tuple(_of_log(bench, bow, place) if "log" in record else _of_bow(bench, bow))
    except (BowInputsError, FitError) as error:
        return Answer(refused=str(error), redrawn=bench.redrawn)
    return Answer(cases, set_aside=bow.tried_outlier is not None, redrawn=bench.redrawn)


def _record(bench: Bench, situation: str) -> tuple[Data, Pair]:
    """What was entered, and where the bolts really stand now."""
    if situation == "a tried turn":
        return made_bows.with_tried_turn(bench), bench.true.turns
    if situation == "a log of three":
        return made_bows.with_log(bench)
    return bench.record, bench.true.turns


def _changes(bench: Bench) -> Iterator[tuple[str, Pair]]:
    """Of each kind one, half a turn to a whole one, either way."""
    for kind, (upper, lower) in KINDS.items():
        size = float(bench.chance.uniform(0.5, 1.0)) * float(bench.chance.choice([-1.0, 1.0]))
        yield kind, (size * upper, size * lower)


def _true_change(bench: Bench, place: Pair, change: Pair) -> dict[str, float]:
    before = bench.true.at(place)
    after = bench.true.at((place[0] + change[0], place[1] + change[1]))
    return {what: after[what] - before[what] for what in WHAT}


def _of_bow(bench: Bench, bow: BowInputs) -> Iterator[Case]:
    """By the page on tiller."""
    sure: BowUncertainty = uncertainty_of(bow)
    now = outcome(as_it_is(bow.setup, bow.draw))
    for kind, change in _changes(bench):
        true = _true_change(bench, bench.true.turns, change)
        more = outcome(foretold(bow.setup, bow.draw, bow.at(change))) - now
        for what in WHAT:
            band = sure.budget_of(what, change, whole=False).expanded
            yield Case(kind, what, true[what], float(getattr(more, what)), band)


def _of_log(bench: Bench, bow: BowInputs, place: Pair) -> Iterator[Case]:
    """By the pages on a plan: the change from the newest setting, and what will be read after it."""
    course: Course = course_of(bow, reads(bow.values, bow), read_to(bow), "both")
    here = course.now.turns
    for kind, change in _changes(bench):
        there = here[0] + change[0], here[1] + change[1]
        true, read = _true_change(bench, place, change), _next_reading(bench, place, change)
        for what in WHAT:
            told = course.learned(what)
            by_bow = course.at(there, what) - course.at(here, what)
            (upper, both, lower), (one, two) = told.covariance, change
            variance = upper * one**2 + 2 * both * one * two + lower * two**2
            value = by_bow + told.more[0] * one + told.more[1] * two
            yield Case(kind, what, true[what], value, 2 * math.sqrt(max(0.0, variance)))
            next_one = course.foretell(there, what)
            yield Case(kind, f"reading of {what}", read[what], next_one.value, next_one.expanded)


def _next_reading(bench: Bench, place: Pair, change: Pair) -> dict[str, float]:
    """What the archer reads after turning by this count."""
    true, near, chance = bench.true, bench.near, bench.chance

    def by_tape() -> float:
        return float(chance.uniform(-near.tape, near.tape))

    there = made_bows.counted(place, change, chance, near)
    found = true.at(there)
    return {
        "weight": made_bows.weighed(true, there, chance, near),
        "tiller": found["tiller"] + by_tape() - by_tape(),
        "brace_height": found["brace_height"] + by_tape(),
    }


def table(population: str, rows: dict[str, Row]) -> str:
    """The rows as text: share in the band in per cent, and the mean band over the errors' root mean square."""
    lines = []
    for situation, row in rows.items():
        aside = sum(one.set_aside for one in row.answers)
        redrawn = sum(one.redrawn for one in row.answers)
        lines.append(
            f"limbs {population}, {situation}: {len(row.answers)} bows, {len(row.refused)} refused"
            f"{f', {aside} tried turns not used' if aside else ''}, {redrawn} drawn again"
        )
        lines += [f"    refused: {each}" for each in sorted(set(row.refused))]
        cells = row.cells
        for what in dict.fromkeys(what for what, _ in cells):
            parts = [f"{kind} {100 * cells[what, kind].share:5.1f} ({cells[what, kind].width:3.1f})" for kind in KINDS]
            lines.append(f"  {what:24}{'  '.join(parts)}")
    return "\n".join(lines)
