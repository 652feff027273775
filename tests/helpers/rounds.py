"""Plans carried out on made bows of known truth: how many rounds and weighings it takes, and where it ends.

Each bow is read by tape and scale as near as its record says. Before: weighed in every round, and planned anew from
every reading to the last digit. Now: as the steps ask, until the plan says that it is done.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from helpers import made_bows
from helpers.asking import values
from helpers.coverage import halves_of
from helpers.made_bows import LBF, Bench, NoBow, Pair, Reading
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.course import Course, SettingReading, course_of
from quarterturn.bench.history import read_to
from quarterturn.bench.plan import NoPlan, Wish, find, go_on
from quarterturn.bench.way import WeighReason, steps_of
from quarterturn.widgets.plan.form import ASKED

MOST_ROUNDS = 12
"""A plan that is not done after so many is given up."""
WORTH = 2e-3 / LBF


@dataclass(frozen=True)
class Carried:
    """A plan that was carried out.

    Attributes:
        rounds, weighings: so many were made.
        planned: rounds and weighings as the first plan has them.
        off: how far the true weight (N) and tiller (m) were from what was wanted at the end.
        unexpected: readings outside their bands.
    """

    rounds: int
    weighings: int
    planned: tuple[int, int]
    off: Pair
    unexpected: int


def carried_out(seeds: Iterable[int], *, now: bool, near: Reading | None = None) -> list[Carried]:
    """One plan a seed; a bow that cannot be planned for is left out."""
    halves, found = halves_of(), []
    for seed in seeds:
        bench = made_bows.drawn_bench(seed, halves, unlike=True, near=near)
        try:
            found.append(_carried_out(bench, seed, now=now))
        except (NoPlan, NoBow):
            continue
    return found


def _course(bow: BowInputs, reads: tuple[SettingReading, ...]) -> Course:
    return course_of(bow, reads, read_to(bow), "both")


def _carried_out(bench: Bench, seed: int, *, now: bool) -> Carried:
    bow = bow_inputs(values(bench.record), ASKED)
    wished, chance = np.random.default_rng([seed, 5]), np.random.default_rng([seed, 6])
    first = _course(bow, ())
    weight, tiller = float(wished.uniform(-1.5, 1.5)) * LBF, float(wished.uniform(-4, 4)) / 1000
    wish = Wish(first.value("weight") + weight, first.value("tiller") + tiller, WORTH)
    steps = steps_of(first, find(bow, first, wish).way)
    asked = sum(step.weighing is not WeighReason.NOT for step in steps)
    start, there = first.now.turns, bench.true.turns
    reads: tuple[SettingReading, ...] = ()
    rounds = weighings = 0
    while True:
        course = _course(bow, reads)
        way = (go_on if now else find)(bow, course, wish).way
        if rounds >= MOST_ROUNDS or not (way or (reads and reads[-1].weight is None)):
            break
        if way:
            step, rounds = steps_of(course, way)[0], rounds + 1
            turns, weighed = step.turns, not now or step.weighing is not WeighReason.NOT
            there = made_bows.counted(
                bench.true.turns, (turns[0] - start[0], turns[1] - start[1]), bench.chance, bench.near
            )
        else:  # it was turned last without a weighing: now it is weighed, and measured again with it
            turns, weighed, reads = reads[-1].turns, True, reads[:-1]
        weighings += weighed
        reads = (*reads, _read(bench, turns, there, chance, weighed=weighed))
    end, checks = bench.true.at(there), _course(bow, reads).checks()
    off = abs(end["weight"] - wish.weight), abs(end["tiller"] - wish.tiller)
    planned = len(steps), asked if now else len(steps)
    return Carried(rounds, weighings, planned, off, sum(not one.agrees for one in checks))


def _read(bench: Bench, turns: Pair, there: Pair, chance: np.random.Generator, *, weighed: bool) -> SettingReading:
    """What is read where the bolts are counted to stand at `turns` and really stand elsewhere."""
    near, found = bench.near, bench.true.at(there)
    upper, lower, brace = (float(chance.uniform(-near.tape, near.tape)) for _ in range(3))
    weight = made_bows.weighed(bench.true, there, chance, near)
    tiller, height = found["tiller"] + upper - lower, found["brace_height"] + brace
    return SettingReading(turns, weight if weighed else None, tiller, height)


def table(before: list[Carried], now: list[Carried]) -> str:
    """Both as text: means a bow."""
    rows: dict[str, Callable[[Carried], float]] = {
        "rounds as planned": lambda one: one.planned[0],
        "weighings as planned": lambda one: one.planned[1],
        "rounds": lambda one: one.rounds,
        "weighings": lambda one: one.weighings,
        "off in weight, lb": lambda one: one.off[0] / LBF,
        "off in tiller, mm": lambda one: one.off[1] * 1000,
        "unexpected readings": lambda one: one.unexpected,
    }
    lines = [f"{len(before)} and {len(now)} bows, means: before, now"]
    for name, of in rows.items():
        one, two = (float(np.mean([of(each) for each in found])) for found in (before, now))
        lines.append(f"{name:22} {one:6.2f} {two:6.2f}")
    return "\n".join(lines)
