"""The way to a setting: as few rounds as half a turn leaves, each measured, and weighed where a scale could tell.

Outside sources: every way within the limits, listed here one by one with itertools and counted by numpy, which takes
nothing from the search (C); the band of two readings and a turn, U = 2·√(dᵀ·C·d + 2·u²) with u = a/√3 (GUM 4.3.7,
5.2.2, 6.3.3, S2), by numpy (C). Half a turn to a step: common practice, no source. All bows are made-up straight lines.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from helpers.rounds import carried_out
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT, Course, Prior, SettingReading
from quarterturn.bench.way import Discernment, Step, WeighReason, places_to, steps_of, steps_to

Matrix = tuple[float, float, float]
LEVEL = {"weight": 170.0, "tiller": 4e-3, "brace_height": 0.22}
TURN: dict[str, Pair] = {"weight": (-1.9, -2.0), "tiller": (4.6e-3, -4.8e-3), "brace_height": (0.8e-3, 1.0e-3)}
"""What a turn out of the upper and of the lower bolt does: N, m, m (made up)."""
SURE: dict[str, Matrix] = {
    "weight": (0.16, 0.1, 0.18),
    "tiller": (1.6e-6, -1.5e-6, 1.7e-6),
    "brace_height": (1e-8, 0.5e-8, 1e-8),
}
"""Variance, covariance, variance of it (made up)."""
READ_TO = {"weight": 2.2, "tiller": 1.4e-3, "brace_height": 1e-3}
START = (2.5, 2.0)


def straight(turns: Pair, what: str) -> float:
    return LEVEL[what] + float(np.dot(TURN[what], turns))


def exactly(turns: Pair) -> SettingReading:
    """What is read there without an error."""
    return SettingReading(turns, straight(turns, "weight"), straight(turns, "tiller"), straight(turns, "brace_height"))


def course(
    *reads: SettingReading, start: Pair = START, weight: float = 1.0, tiller: float = 1.0, **more: Any
) -> Course:
    """A course of a bow of straight lines; scale and tape read to so many times what they do."""
    first = exactly(start)
    said: dict[str, Any] = {
        "reads": (first, *reads),
        "at": straight,
        "inside": lambda turns: True,
        "prior": lambda what: Prior(TURN[what], SURE[what]),
        "read_to": READ_TO | {"weight": weight * READ_TO["weight"], "tiller": tiller * READ_TO["tiller"]},
    }
    return Course(**(said | more))


def there(change: Pair, start: Pair = START) -> Pair:
    return start[0] + change[0], start[1] + change[1]


def way(shown: Course, change: Pair) -> tuple[Step, ...]:
    end = there(change, shown.now.turns)
    return steps_of(shown, places_to(shown, end, shown.value_at))


def weighed(steps: tuple[Step, ...]) -> list[WeighReason]:
    return [step.weighing for step in steps]


def tells(shown: Course, what: str, one: Pair, two: Pair) -> bool:
    """Whether two readings there could be told apart: by numpy."""
    apart = np.subtract(two, one)
    upper, both, lower = SURE[what]
    variance = apart @ np.array([[upper, both], [both, lower]]) @ apart + 2 * (shown.read_to[what] ** 2 / 3)
    return bool(abs(np.dot(TURN[what], apart)) > 2 * np.sqrt(variance))


def told(shown: Course, places: tuple[Pair, ...]) -> int:
    """In how many rounds draw weight since it was weighed last, or else tiller, changes by more than its band."""
    count, here, weighing = 0, shown.now.turns, shown.now.turns
    for one in places:
        weight = tells(shown, "weight", weighing, one)
        count += weight or tells(shown, "tiller", here, one)
        here, weighing = one, one if weight else weighing
    return count


def all_ways(change: Pair) -> Iterator[tuple[Pair, ...]]:
    """Every way in as few rounds as there can be, in which the bolt with farther to go goes half turns first.

    The other one is never turned farther in a round than it, nor ever back.
    """
    counts = [round(each * 4) for each in change]
    far = 0 if abs(counts[0]) >= abs(counts[1]) else 1
    rounds = math.ceil(abs(counts[far]) / 2)
    farther = [min(2, abs(counts[far]) - 2 * one) for one in range(rounds)]
    for other in product(range(3), repeat=rounds):
        if sum(other) != abs(counts[1 - far]) or any(one > most for one, most in zip(other, farther, strict=True)):
            continue
        sides = (farther, other) if far == 0 else (other, farther)
        signed = [np.sign(count) * np.cumsum(side) / 4 for count, side in zip(counts, sides, strict=True)]
        yield tuple(there((float(one), float(two))) for one, two in zip(*signed, strict=True))


QUARTERS = st.integers(-14, 14).map(lambda count: count / 4)
PARTS = st.sampled_from([0.02, 0.1, 0.25, 0.5, 1.0, 2.0])


@settings(max_examples=60)
@given(st.tuples(st.floats(-2, 4), st.floats(-2, 4)), st.tuples(QUARTERS, QUARTERS), PARTS, PARTS)
@example((2.3, 1.7), (-2.25, 1.75), 1.0, 1.0)
@example((0.43, 0.07), (3.5, -3.0), 0.1, 0.5)
def test_steps_lead_there_none_over_half_a_turn_and_all_between(
    start: Pair, change: Pair, weight: float, tiller: float
) -> None:
    end, shown = there(change, start), course(start=start, weight=weight, tiller=tiller)
    places = places_to(shown, end, shown.value_at)
    assert len(places) == steps_to(start, end) == math.ceil(max(map(abs, change)) / 0.5)
    here = start
    far = 0 if abs(change[0]) >= abs(change[1]) else 1
    for number, one in enumerate(places, 1):
        turned = [one[at] - here[at] for at in range(2)]
        for at in range(2):
            assert abs(turned[at]) <= 0.5 + 1e-12
            assert turned[at] * change[at] >= 0
            low, high = sorted((start[at], end[at]))
            assert low - 1e-12 <= one[at] <= high + 1e-12
            assert turned[at] * 4 == pytest.approx(round(turned[at] * 4), abs=1e-9)
        assert abs(turned[1 - far]) <= abs(turned[far]) + 1e-12
        if number < len(places):
            assert abs(turned[far]) == pytest.approx(0.5)
        here = one
    assert places[-1:] == ((end,) if any(change) else ())
    # What is left after a step is as many steps fewer.
    assert [steps_to(one, end) for one in places] == list(range(len(places)))[::-1]


@pytest.mark.parametrize("change", [(-1.25, 0.25), (1.5, -0.75), (2.0, 2.0), (0.25, 0.0), (0.0, -1.75)])
def test_no_way_has_fewer_rounds(change: Pair) -> None:
    """A search of all turns of up to two quarters of either bolt, either way, round by round."""
    goal = tuple(round(4 * each) for each in change)
    seen, edge = {(0, 0)}, deque([((0, 0), 0)])
    while edge:
        here, rounds = edge.popleft()
        if here == goal:
            break
        for step in product(range(-2, 3), repeat=2):
            one = here[0] + step[0], here[1] + step[1]
            if one not in seen and max(map(abs, one)) <= 10:
                seen.add(one)
                edge.append((one, rounds + 1))
    assert len(way(course(), change)) == rounds


@settings(max_examples=150)
@given(st.tuples(*2 * [st.integers(-9, 9).map(lambda count: count / 4)]), PARTS, PARTS)
@example((-1.25, 0.25), 1.0, 0.7)
@example((-1.25, -0.25), 1.0, 0.7)
@example((1.0, -2.25), 0.1, 2.0)
def test_of_all_ways_the_one_in_which_most_rounds_can_be_told_and_of_these_the_soonest(
    change: Pair, weight: float, tiller: float
) -> None:
    shown = course(weight=weight, tiller=tiller)
    found = tuple(step.turns for step in way(shown, change))
    ways = list(all_ways(change))
    assert found in ways
    most = max(told(shown, one) for one in ways)
    assert told(shown, found) == most
    alike = [one for one in ways if told(shown, one) == most]
    soonest = max(
        alike, key=lambda places: [abs(one - two) for place in places for one, two in zip(place, START, strict=True)]
    )
    assert found == soonest


def test_what_is_left_of_one_bolt_goes_where_it_can_be_told_with_the_other_s() -> None:
    """By hand: half a turn of one bolt can be told by its tiller, a quarter cannot, a quarter of either against can."""
    shown = course(weight=10, tiller=0.7)
    assert tells(shown, "tiller", (0, 0), (-0.5, 0))
    assert tells(shown, "tiller", (0, 0), (-0.25, 0.25))
    assert not tells(shown, "tiller", (0, 0), (-0.25, 0))
    assert [step.change for step in way(shown, (-1.25, 0.25))] == [(-0.5, 0), (-0.5, 0), (-0.25, 0.25)]
    # Where nothing can be told, as soon as can be.
    coarse = course(weight=10, tiller=10)
    assert [step.change for step in way(coarse, (-1.25, 0.25))] == [(-0.5, 0.25), (-0.5, 0), (-0.25, 0)]


# The band


def test_the_band_is_of_two_readings_and_what_the_turns_between_are_sure_to() -> None:
    shown = course()
    discernment = Discernment(shown, shown.value_at)
    for what in WHAT[:2]:
        upper, both, lower = SURE[what]
        apart = np.array([-0.75, 0.5])
        variance = apart @ np.array([[upper, both], [both, lower]]) @ apart + 2 * READ_TO[what] ** 2 / 3
        for since in (None, START):
            assert discernment.band(what, there((-0.75, 0.5)), since) == pytest.approx(
                2 * math.sqrt(variance), rel=1e-12
            )
        # From a reading that is still to come the same turn is as sure.
        later = there((-0.5, -0.5))
        assert discernment.band(what, there((-0.75, 0.5), later), later) == pytest.approx(
            2 * math.sqrt(variance), rel=1e-12
        )
        # The reading's own error alone, where nothing is turned.
        assert discernment.band(what, later, later) == pytest.approx(2 * math.sqrt(2 / 3) * READ_TO[what], rel=1e-12)


def test_from_the_newest_reading_the_band_is_that_of_the_check() -> None:
    """What was learned of other settings is in it as it is where the reading will be held against what is foretold."""
    reads = [exactly(there(at)) for at in ((-0.5, 0), (-0.5, -0.5))]
    shown = course(*reads)
    discernment = Discernment(shown, shown.value_at)
    for what in WHAT[:2]:
        for at in ((-1.0, -0.5), (-0.75, -0.75), (0.0, 0.0)):
            assert discernment.band(what, there(at)) == shown.foretell(there(at), what).expanded


# What is measured


def surer(what: str) -> Prior:
    """A bow of which it is known very well what turns do."""
    upper, both, lower = SURE[what]
    return Prior(TURN[what], (1e-4 * upper, 1e-4 * both, 1e-4 * lower))


@pytest.mark.parametrize("change", [(-1.25, -1.25), (0.75, 0.25), (0.0, 0.25)])
def test_where_a_quarter_can_be_told_every_step_is_weighed(change: Pair) -> None:
    """By hand: a quarter of one bolt is 0.475 N and more, and 2·√(2/3)·0.22 N = 0.36 N is the band."""
    steps = way(course(weight=0.1, prior=surer), change)
    assert set(weighed(steps)) == {WeighReason.TELLS}


def test_where_half_a_turn_cannot_be_told_it_is_weighed_where_several_can_and_at_the_end() -> None:
    """By hand: 1.95 N in a round and 2·√(0.135 + 2·1.98²/3) N = 3.3 N; 3.9 N in two and 2·√(0.54 + 2.61) N = 3.55 N."""
    steps = way(course(weight=0.9), (-2.25, -2.25))
    once, twice = WeighReason.NOT, WeighReason.TELLS
    assert weighed(steps) == [once, twice, once, twice, WeighReason.LAST]
    assert [step.last for step in steps] == [False] * 4 + [True]


@settings(max_examples=60)
@given(st.tuples(QUARTERS, QUARTERS), PARTS, PARTS)
def test_it_is_weighed_exactly_where_it_could_be_told_from_the_last_time_and_at_the_end(
    change: Pair, weight: float, tiller: float
) -> None:
    shown = course(weight=weight, tiller=tiller)
    last = START
    steps = way(shown, change)
    for number, step in enumerate(steps, 1):
        could = tells(shown, "weight", last, step.turns)
        at_end = WeighReason.LAST if number == len(steps) else WeighReason.NOT
        assert step.weighing is (WeighReason.TELLS if could else at_end)
        last = step.turns if could else last
    assert all(step.weighing is not WeighReason.NOT for step in steps[-1:])


def test_turns_against_one_another_are_told_by_tiller_and_weighed_at_the_end() -> None:
    shown = course()
    steps = way(shown, (-1.0, 1.0))
    assert weighed(steps) == [WeighReason.NOT, WeighReason.LAST]
    assert told(shown, tuple(step.turns for step in steps)) == 2
    assert all(
        tells(shown, "tiller", one, two) for one, two in ((START, steps[0].turns), (steps[0].turns, steps[1].turns))
    )


def test_a_weight_that_was_not_read_at_the_newest_setting_is_told_from_where_it_was() -> None:
    """Two rounds without a scale: the next half turn is told from the weighing before them."""
    reads = [
        SettingReading(there((-0.5 * at, -0.5 * at)), None, straight(there((-0.5 * at, -0.5 * at)), "tiller"), 0.22)
        for at in (1, 2)
    ]
    shown = course(*reads)
    assert not tells(shown, "weight", there((-1, -1)), there((-1.5, -1.5)))
    assert tells(shown, "weight", START, there((-1.5, -1.5)))
    assert weighed(way(shown, (-1.0, -1.0)))[0] is WeighReason.TELLS


def test_where_nobody_knows_how_sure_a_turn_is_every_step_is_weighed() -> None:
    shown = course(prior=lambda what: None)
    steps = way(shown, (-1.25, 0.25))
    assert weighed(steps) == [WeighReason.UNSURE] * 3
    assert [step.change for step in steps] == [(-0.5, 0.25), (-0.5, 0), (-0.25, 0)]


def test_where_it_stands_there_is_no_step() -> None:
    shown = course()
    assert places_to(shown, START, shown.value_at) == ()
    assert steps_of(shown, ()) == ()


@pytest.mark.long
def test_made_bows_take_about_the_rounds_that_were_planned_and_end_as_near() -> None:
    """A short form of build_scripts/measure_rounds.py: bows whose every number is known, read by a tape and a scale."""
    before, now = (carried_out(range(8), now=each) for each in (False, True))
    assert len(before) == len(now) == 8
    planned, rounds = sum(one.planned[0] for one in now), sum(one.rounds for one in now)
    followed = sum(one.rounds for one in before)
    assert rounds <= planned + 8 / 2 < followed
    assert sum(one.weighings for one in now) < sum(one.weighings for one in before) / 2
    assert all(1 <= one.weighings <= one.rounds or not one.rounds for one in now)
    # As near as what is wanted can be told: a band of two weighings, and of two readings of tiller.
    bands = 2 * math.sqrt(2 / 3) * 0.5 * 4.448, 2 * math.sqrt(2 / 3) * math.sqrt(2) * 1e-3
    for off, band in zip(np.mean([one.off for one in now], axis=0), bands, strict=True):
        assert off < band / 2
