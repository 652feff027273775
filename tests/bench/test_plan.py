"""A plan against a search of all pairs, written apart: every pair solved, none estimated.

Outside sources: the search itself, which solves every quarter-turn pair anew by bow_fit and takes nothing from the plan
(C); numpy for half cells and costs (C). A quarter of a turn between places and half a turn to a step: common practice,
no source. Everybody's numbers here are made up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.asking import COMPLETE, MAKER, changed, values, windows
from quarterturn.bench import bow_fit, bow_setup
from quarterturn.bench import estimate as estimate_module
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_setup import Pair, Setup
from quarterturn.bench.course import WHAT, Course, Prior, SettingReading, course_of
from quarterturn.bench.outcomes import Outcome
from quarterturn.bench.plan import NoPlan, Plan, Wish, find, go_on, grid
from quarterturn.bench.uncertainty import Budget
from quarterturn.bench.way import steps_of
from quarterturn.bench.window import End, Window, WindowLimit
from quarterturn.widgets.plan.form import ASKED

LBF = 4.4482216152605
BOW: dict[str, Any] = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
RECORDS: dict[str, dict[str, Any]] = {
    "own": COMPLETE | BOW,
    "unequal": COMPLETE | BOW | {"upper_touch_turns": 6.5, "lower_touch_turns": 3.75, "lower_now_turns": 1.5},
    "eighths": COMPLETE | BOW | {"upper_now_turns": 2.375, "lower_now_turns": 1.625},
    "maker": MAKER | BOW | {"maker_in": 1, "maker_out": 4.75},
    "uneven": COMPLETE | BOW | {"upper_tiller": 184, "lower_tiller": 173, "fulcrum_arm": 50, "lower_rim_to_butt": 3.5},
    "short arm": COMPLETE | BOW | {"fulcrum_arm": 35},
    "wide": MAKER | BOW | {"maker_in": 0.25, "maker_out": 6},
}
WISHES: dict[str, tuple[float, float, float]] = {
    "near": (38.4, 3.0, 2),
    "heavier": (39.3, 6.0, 2),
    "lighter, tiller turned": (36.9, -4.2, 2),
    "too heavy": (60, 4.0, 2),
    "too much tiller": (38, 24.0, 2),
    "both beyond": (20, -25.0, 2),
    "tiller alone": (38.7, 2.2, 0.1),
    "weight alone": (38.7, -1.0, 20),
}
READ_TO = {"weight": 0.5 * LBF, "tiller": 1.414e-3, "brace_height": 1e-3}
FINE = {"weight": 1e-6, "tiller": 1e-9, "brace_height": 1e-9}
ROWS = (SettingReading((2.0, 2.0), 39.0 * LBF, 0.9e-3, 0.2215), SettingReading((1.5, 2.5), 38.9 * LBF, -4.2e-3, None))
"""What was read after two steps of a bow that is not quite the computed one."""


def asked(record: dict[str, Any], **more: Any) -> BowInputs:
    return bow_inputs(values(changed(record, **more)), ASKED)


def wish_of(name: str) -> Wish:
    weight, tiller, worth = WISHES[name]
    return Wish(weight * LBF, tiller / 1000, worth / 1000 / LBF)


# The search of all pairs, apart


@dataclass(frozen=True)
class Exact:
    """One pair, solved for itself: N and m."""

    turns: Pair
    weight: float
    tiller: float
    brace_height: float


def quarter_places(window: Window, now: float) -> list[float]:
    found = [now + at / 4 for at in range(-200, 201)]
    return [one for one in found if window.inner.usable - 1e-9 <= one <= window.outer.usable + 1e-9]


@lru_cache(maxsize=16)
def all_pairs(name: str) -> tuple[Exact, ...]:
    """Every pair inside the worksheet's windows, each solved from the bow as it was found and from no other pair."""
    bow = asked(RECORDS[name])
    places = [quarter_places(window, now) for window, now in zip(windows(RECORDS[name]), bow.setup.now, strict=True)]
    found = []
    for upper in places[0]:
        for lower in places[1]:
            there = bow_fit.turned(bow.fitted, bow.setup.rock((upper, lower)), bow.draw)
            braced = there.braced
            tiller = braced.upper.distance_to_belly - braced.lower.distance_to_belly
            found.append(Exact((upper, lower), there.drawn.force, tiller, braced.brace_height))
    return tuple(found)


def searched(pairs: tuple[Exact, ...], now: Pair, wish: Wish) -> list[tuple[Exact, float]]:
    """All pairs with how far they are off, the best first; of those that are alike the one with fewer turns."""
    left = [(one, math.hypot((one.weight - wish.weight) * wish.worth, one.tiller - wish.tiller)) for one in pairs]
    left.sort(key=lambda each: each[1])
    ranked = []
    while left:
        alike = [each for each in left if each[1] <= left[0][1] + 1e-6]
        ranked.append(min(alike, key=lambda each: sum(abs(a - b) for a, b in zip(each[0].turns, now, strict=True))))
        left.remove(ranked[-1])
    return ranked


def planned(
    name: str, wish: Wish, rows: tuple[SettingReading, ...] = (), by: str = "both"
) -> tuple[Plan, Course, BowInputs]:
    bow = asked(RECORDS[name])
    course = course_of(bow, rows, READ_TO, by)
    return find(bow, course, wish), course, bow


@pytest.mark.parametrize("wished", WISHES)
@pytest.mark.parametrize("name", RECORDS)
@pytest.mark.long
def test_the_best_and_those_after_it_are_what_a_search_of_all_pairs_finds(name: str, wished: str) -> None:
    wish = wish_of(wished)
    plan, course, _ = planned(name, wish)
    pairs = all_pairs(name)
    assert sorted(one.turns for one in plan.places) == sorted(one.turns for one in pairs)
    ranked = searched(pairs, course.now.turns, wish)
    assert [plan.best.turns, *(one.turns for one in plan.next)] == [one.turns for one, _ in ranked[:5]]
    for mine, (one, cost) in zip((plan.best, *plan.next), ranked, strict=False):
        assert mine.solved
        assert mine.cost == pytest.approx(cost, abs=2e-7)
        assert mine.weight == pytest.approx(one.weight, abs=2e-4)
        assert mine.tiller == pytest.approx(one.tiller, abs=2e-7)
        assert mine.brace_height == pytest.approx(one.brace_height, abs=2e-7)
        assert mine.change == (mine.turns[0] - course.now.turns[0], mine.turns[1] - course.now.turns[1])
    assert plan.off == (plan.best.weight - wish.weight, plan.best.tiller - wish.tiller)
    assert plan.here.turns == course.now.turns
    assert plan.here.solved


@pytest.mark.parametrize("wished", ["near", "too heavy", "tiller alone", "weight alone"])
@pytest.mark.parametrize("by", ["both", "readings", "bow"])
def test_with_readings_the_search_finds_the_same_pairs(wished: str, by: str) -> None:
    """What is foretold of each pair is the course's; the bow at each is the search's."""
    wish = wish_of(wished)
    plan, course, bow = planned("own", wish, ROWS, by)
    assert course.now.turns == (1.5, 2.5)
    at = {one.turns: one for one in all_pairs("own")}
    found = []
    for turns, one in at.items():
        told = {}
        for what in WHAT:
            start = course.anchor(what)
            more, read = course.learned(what).more, start.get(what)
            assert read is not None
            apart = np.array(turns) - np.array(start.turns)
            told[what] = read + getattr(one, what) - getattr(at[start.turns], what) + float(np.array(more) @ apart)
        found.append(Exact(turns, told["weight"], told["tiller"], told["brace_height"]))
    ranked = searched(tuple(found), course.now.turns, wish)
    assert [plan.best.turns, *(one.turns for one in plan.next)] == [one.turns for one, _ in ranked[:5]]
    assert plan.best.cost == pytest.approx(ranked[0][1], abs=5e-7)
    assert (plan.best.weight, plan.best.tiller) == pytest.approx((ranked[0][0].weight, ranked[0][0].tiller), abs=1e-3)
    for what in WHAT:
        assert getattr(plan.best, what) == pytest.approx(course.foretell(plan.best.turns, what).value, abs=1e-9)
    if by == "bow":
        assert plan.best.turns != planned("own", wish)[0].best.turns or wished == "too heavy"
    assert bow.setup.now == (2.5, 2.0)  # the plan begins at the log's newest row, not where the record's bolts stood


# The estimate


@pytest.mark.parametrize("wished", ["near", "both beyond"])
@pytest.mark.parametrize("name", RECORDS)
def test_the_error_that_is_told_is_that_of_all_pairs(name: str, wished: str) -> None:
    """At no pair is the estimate off by more than a quarter more than is told; and it is told to be off at all."""
    plan, _, _ = planned(name, wish_of(wished))
    exact = {one.turns: one for one in all_pairs(name)}
    for what in WHAT:
        off = [abs(getattr(one, what) - getattr(exact[one.turns], what)) for one in plan.places if not one.solved]
        told = getattr(plan.error, what)
        assert max(off) <= 1.25 * told
        assert told <= 1.25 * max(off) + 1e-7
    assert plan.error.weight < 1e-3
    assert plan.error.tiller < 1e-5
    solved = [one for one in plan.places if one.solved]
    assert 4 < plan.error.places <= len(solved) < 50
    for one in solved:
        assert one.tiller == pytest.approx(exact[one.turns].tiller, abs=2e-7)


@pytest.mark.parametrize("name", RECORDS)
def test_the_ends_of_weight_and_tiller_are_those_of_all_pairs(name: str) -> None:
    plan, _, _ = planned(name, wish_of("near"))
    for mine, what, near in ((plan.weights, "weight", 1e-3), (plan.tillers, "tiller", 1e-5)):
        found = [getattr(one, what) for one in all_pairs(name)]
        assert mine == pytest.approx((min(found), max(found)), abs=near)


def test_hundreds_of_pairs_take_few_bows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted, not timed: four of the estimate, four where it is worst, the hopeful, the way; then those after it."""
    count = 0
    solve = bow_fit.turned

    def counted(*arguments: Any, **more: Any) -> Any:
        nonlocal count
        count += 1
        return solve(*arguments, **more)

    monkeypatch.setattr(bow_fit, "turned", counted)
    bow = asked(MAKER | BOW | {"maker_in": 0.5, "maker_out": 6})
    for wished in WISHES:
        for kept in (bow_setup.foretold, bow_setup.as_it_is):
            kept.cache_clear()
        count = 0
        course = course_of(bow, (), READ_TO, "both")
        plan = find(bow, course, wish_of(wished))
        assert len(plan.places) > 400
        assert 9 <= count <= 25
        planned_with = count
        [course.at(step, what) for step in plan.way for what in WHAT]
        assert count == planned_with  # the way was solved with the plan
        assert len(plan.next) == 4
        assert planned_with < count <= planned_with + 8  # those after the best, when they are asked for


# A bow of straight lines: ties and edges


def limit(end: End, at: float) -> WindowLimit:
    return WindowLimit("maker_in" if end is End.INNER else "maker_out", end, at, 0.0, 0.0, Budget(()))


def window(inner: float, outer: float, bolt: str = "upper") -> Window:
    first, last = limit(End.INNER, inner), limit(End.OUTER, outer)
    return Window(bolt, (first, last), first, last, Budget(()), None)


class Straight:
    """In place of the bow: weight with both bolts' turns, tiller with their difference, exactly.

    Over the rock angles, in which the estimate takes the bow to be smooth, it is so only between flush and the place
    where the limb comes off the bolt.
    """

    def __init__(self, monkeypatch: pytest.MonkeyPatch, weight: float = 2.0, tiller: float = 5e-3) -> None:
        self.weight, self.tiller = weight, tiller
        self.asked: list[Pair] = []
        monkeypatch.setattr(estimate_module, "foretold", lambda setup, draw, turns: self.at(turns))
        monkeypatch.setattr(estimate_module, "outcome", lambda found: found)
        monkeypatch.setattr(estimate_module, "by_rock", lambda setup, draw, turns: self.by_rock(setup, turns))

    def at(self, turns: Pair) -> Outcome:
        self.asked.append(turns)
        tiller = self.tiller * (turns[0] - turns[1])
        return Outcome(170 - self.weight * (turns[0] + turns[1]), 0.22, tiller, 0.0, 0.0, 0.0)

    def by_rock(self, setup: Setup, turns: Pair) -> tuple[Outcome, Outcome]:
        """By the angle that a ten thousandth of a turn rocks either limb; nothing, where that rocks none."""
        step, rock = -1e-4, setup.rock(turns)
        more = setup.rock((turns[0] + step, turns[1] + step))
        by = [step / (there - here) if there != here else 0.0 for here, there in zip(rock, more, strict=True)]
        upper, lower = (Outcome(-self.weight, 0.0, way * self.tiller, 0.0, 0.0, 0.0) for way in (1, -1))
        return by[0] * upper, by[1] * lower

    def find(self, upper: Window, lower: Window, now: Pair, wish: Wish, read_to: dict[str, float] = READ_TO) -> Plan:
        bow = replace(asked(RECORDS["own"]), windows=(upper, lower))
        return find(bow, self.course(now, read_to), wish)

    def course(self, now: Pair, read_to: dict[str, float] = READ_TO) -> Course:
        first = SettingReading(now, self.at(now).weight, self.at(now).tiller, 0.22)
        prior = Prior((-self.weight, -self.weight), (0.01, 0.0, 0.01))
        return Course((first,), lambda turns, what: float(getattr(self.at(turns), what)), lambda turns: True,
                      lambda what: prior, read_to)  # fmt: skip


def test_of_pairs_that_are_alike_the_one_with_fewer_turns_is_better(monkeypatch: pytest.MonkeyPatch) -> None:
    """Weight that no turn changes, and tiller wanted as it is: all equal turns of both bolts are as good."""
    bow, inside = Straight(monkeypatch, weight=0.0), window(0.25, 4.75)
    plan = bow.find(inside, inside, (2.5, 2.5), Wish(170, 0.0, 1e-3))
    assert [plan.best.change, *(one.change for one in plan.next)] == [
        (0, 0), (-0.25, -0.25), (0.25, 0.25), (-0.5, -0.5), (0.5, 0.5),
    ]  # fmt: skip
    # Tiller wanted halfway between two rows of pairs: either bolt by a quarter comes before both by more.
    plan = bow.find(inside, inside, (2.5, 2.5), Wish(170, 5e-3 / 8, 1e-3))
    assert [plan.best.turned, *(one.turned for one in plan.next)] == [0.0, 0.25, 0.25, 0.5, 0.5]
    # Better by less than what counts is no better; by more it is.
    for by, best in ((0.4e-6, (0.0, 0.0)), (1.5e-6, (0.0, -0.25))):
        plan = bow.find(inside, inside, (2.5, 2.5), Wish(170, 5e-3 / 8 + by / 2, 1e-3))
        assert plan.best.change == best or plan.best.change == (0.25, 0.0)
        assert (plan.best.turned == 0) is (best == (0.0, 0.0))


def test_where_only_one_place_is_left_that_is_the_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    bow = Straight(monkeypatch)
    plan = bow.find(window(2.4, 2.6), window(1.9, 2.2), (2.5, 2.0), Wish(180, 0.0, 1e-3))
    assert [one.turns for one in plan.places] == [(2.5, 2.0)]
    assert plan.best == plan.here
    assert plan.next == ()
    assert not plan.reached
    assert not plan.within
    assert plan.error.places == 0
    assert plan.weights == (161.0, 161.0)
    row = bow.find(window(2.4, 2.6), window(1.0, 3.0), (2.5, 2.0), Wish(160, 0.0, 1e-3))
    assert {one.turns[0] for one in row.places} == {2.5}
    assert [one.turns[1] for one in row.places] == [1 + at / 4 for at in range(9)]
    assert row.best.turns == (2.5, 2.5)
    assert all(one.solved for one in (row.best, *row.next))


ENDS = st.floats(-3, 6)


@given(ENDS, st.floats(0, 6), st.floats(0, 1))
def test_places_are_quarters_from_where_it_stands_all_inside_and_none_left_out(
    inner: float, wide: float, part: float
) -> None:
    there = window(inner, inner + wide)
    now = inner + part * wide
    found = grid(there, now)
    assert now in found
    assert all(there.holds(one) for one in found)
    assert all(inner - 1e-8 <= one <= inner + wide + 1e-8 for one in found)
    counts = [(one - now) * 4 for one in found]
    assert counts == pytest.approx([round(each) for each in counts], abs=1e-9)
    assert [round(b) - round(a) for a, b in pairwise(counts)] == [1] * (len(found) - 1)
    assert found[0] - 0.25 < inner + 1e-8
    assert found[-1] + 0.25 > inner + wide - 1e-8


@pytest.mark.parametrize("off", [-4e-10, -1e-13, 0.0, 1e-13, 4e-10])
def test_ends_on_a_quarter_and_a_bolt_at_its_end_are_inside(off: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """The window holds what is over its end by no more than the tolerance; so does the plan."""
    there = window(1.0, 3.0)
    for now in (1.0 + off, 3.0 + off):
        assert there.holds(now)
        assert len(grid(there, now)) == 9
        plan = Straight(monkeypatch).find(there, there, (now, 2.0), Wish(170, 0.0, 1e-3))
        assert plan.here.turns in {one.turns for one in plan.places}


@settings(max_examples=25)
@given(
    st.tuples(st.floats(0, 2), st.floats(0, 2)),
    st.tuples(st.floats(0.3, 4), st.floats(0.3, 4)),
    st.tuples(st.floats(0, 1), st.floats(0, 1)),
    st.tuples(st.floats(130, 190), st.floats(-0.025, 0.025), st.floats(0.02, 4.5)),
)
def test_nothing_outside_a_window_is_ever_proposed(
    inner: Pair, wide: Pair, part: Pair, wished: tuple[float, ...]
) -> None:
    upper, lower = (window(start, start + width) for start, width in zip(inner, wide, strict=True))
    now = (inner[0] + part[0] * wide[0], inner[1] + part[1] * wide[1])
    wish = Wish(wished[0], wished[1], wished[2] / 1000)
    with pytest.MonkeyPatch.context() as patch:
        bow = Straight(patch)
        plan = bow.find(upper, lower, now, wish)
        for turns in (
            *bow.asked,
            *(one.turns for one in (plan.best, *plan.next, *plan.places)),
            *plan.way,
        ):
            assert upper.holds(turns[0])
            assert lower.holds(turns[1])
    costs = [wish.cost(one.weight, one.tiller) for one in plan.places]
    assert plan.best.cost <= min(costs) + 1.1e-6


# Near enough


@pytest.mark.parametrize("name", ["own", "uneven"])
def test_near_enough_is_half_a_cell_or_what_a_reading_can_tell(name: str) -> None:
    bow = asked(RECORDS[name])
    exact = {one.turns: one for one in all_pairs(name)}
    there = (bow.setup.now[0] - 0.5, bow.setup.now[1] + 0.25)
    wish = Wish(exact[there].weight, exact[there].tiller, 2e-3 / LBF)
    for read_to in (READ_TO, FINE):
        plan = find(bow, course_of(bow, (), read_to, "bow"), wish)
        assert plan.best.turns == there
        assert plan.reached
        assert plan.within
        for at, what in enumerate(("weight", "tiller")):
            halves = [
                max(
                    abs(getattr(exact[(there[0] + a * side, there[1] + b * side)], what) - getattr(exact[there], what))
                    for side in (-1, 1)
                )
                for a, b in ((0.25, 0.0), (0.0, 0.25))
            ]
            half = sum(halves) / 2
            # The pairs beside the best may be estimated.
            error = max(plan.error.weight, plan.error.tiller)
            assert plan.near[at] == pytest.approx(max(read_to[what], half), abs=2 * error)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["own", "uneven", "unequal"]),
    st.tuples(st.floats(0, 0.999), st.floats(0, 0.999)),
    st.tuples(st.floats(0, 1), st.floats(0, 1)),
)
def test_what_lies_between_pairs_is_reached_however_fine_one_reads(name: str, cell: Pair, inside: Pair) -> None:
    """Any mixture of four pairs about it: steps of a quarter of a turn come no nearer, and it is not out of reach."""
    bow = asked(RECORDS[name])
    exact = {one.turns: one for one in all_pairs(name)}
    upper, lower = (sorted({turns[at] for turns in exact}) for at in range(2))
    one, two = int(cell[0] * (len(upper) - 1)), int(cell[1] * (len(lower) - 1))
    a, b = inside
    mixed = np.zeros(2)
    for at, part_a in ((one, 1 - a), (one + 1, a)):
        for to, part_b in ((two, 1 - b), (two + 1, b)):
            pair = exact[(upper[at], lower[to])]
            mixed += part_a * part_b * np.array([pair.weight, pair.tiller])
    plan = find(bow, course_of(bow, (), FINE, "bow"), Wish(float(mixed[0]), float(mixed[1]), 2e-3 / LBF))
    assert plan.within
    assert plan.reached


def test_what_is_wanted_beyond_the_ends_is_not_reached() -> None:
    bow = asked(RECORDS["own"])
    course = course_of(bow, (), FINE, "bow")
    pairs = all_pairs("own")
    heaviest, lightest = (pick(pairs, key=lambda one: one.weight) for pick in (max, min))
    for end, side in ((heaviest, 1), (lightest, -1)):
        at_end = find(bow, course, Wish(end.weight, end.tiller, 2e-3 / LBF))
        assert at_end.best.turns == end.turns
        assert at_end.reached
        beyond = find(bow, course, Wish(end.weight + side * 0.5 * LBF, end.tiller, 2e-3 / LBF))
        assert not beyond.reached
        assert not beyond.within
        assert beyond.best.turns == end.turns
        assert beyond.off[0] == pytest.approx(-side * 0.5 * LBF, abs=1e-3)
    # Farther off than half of what quarters of a turn do is not near, be the pair at the end the next to it.
    whole = 2 * at_end.near[0] if (at_end := find(bow, course, Wish(heaviest.weight, heaviest.tiller, 1e-6))) else 0.0
    for part, near in ((0.45, True), (0.75, False), (1.1, False)):
        beside = find(bow, course, Wish(heaviest.weight + part * whole, heaviest.tiller, 1.0))
        assert beside.best.turns == heaviest.turns
        assert (beside.reached, beside.within) == (near, near)
    # Either can be had, not both together.
    corner = find(bow, course, Wish(heaviest.weight, max(one.tiller for one in pairs), 2e-3 / LBF))
    assert not corner.within


def test_within_reach_and_not_the_best_as_it_is_weighed() -> None:
    """A pound that counts as a tenth of a millimetre: a pair far off in weight is nearer by a hair of tiller."""
    bow = asked(RECORDS["own"])
    wish = Wish(39.1 * LBF, 6e-3, 0.1e-3 / LBF)
    plan = find(bow, course_of(bow, (), READ_TO, "bow"), wish)
    assert not plan.reached
    assert plan.within
    assert abs(plan.off[0]) > 1 * LBF
    other = find(bow, course_of(bow, (), READ_TO, "bow"), replace(wish, worth=2e-3 / LBF))
    assert other.reached


def test_weight_alone_is_reached_by_both_bolts_alike() -> None:
    bow = asked(RECORDS["own"])
    course = course_of(bow, (), READ_TO, "both")
    wish = Wish(course.value("weight") + 0.86 * LBF, course.value("tiller"), 2e-3 / LBF)
    plan = find(bow, course, wish)
    assert plan.reached
    assert plan.best.change == (-1.0, -1.0)  # model.md 4: one turn in of both is 0.865 lb and 0.36 mm
    as_it_is = find(bow, course, Wish(course.value("weight"), course.value("tiller"), 2e-3 / LBF))
    assert as_it_is.best.change == (0, 0)
    assert as_it_is.best.cost == pytest.approx(0, abs=1e-9)
    assert as_it_is.reached


# No plan


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"upper_touch_found": "no", "upper_touch_turns": None}, "no plan without both safe ranges"),
        ({"upper_now_turns": 0.1}, "The upper bolt is outside its safe range. Bring it back first"),
        ({"lower_now_turns": 9}, "The lower bolt is outside its safe range"),
        ({"upper_now_turns": 0.1, "lower_now_turns": 9}, "Both bolts are outside their safe ranges. Bring them"),
        (
            {"margin": 2, "upper_touch_turns": 4},
            "The upper bolt has no safe range: margin and uncertainty leave",
        ),
        ({"margin": 2, "upper_touch_turns": 4, "lower_touch_turns": 4}, "Neither bolt has a safe range"),
        ({"strip_thickness": "thick"}, "no plan without both safe ranges"),
    ],
)
def test_without_windows_or_outside_one_there_is_no_plan(more: dict[str, Any], words: str) -> None:
    bow = asked(RECORDS["own"], **more)
    with pytest.raises(NoPlan) as caught:
        find(bow, course_of(bow, (), READ_TO, "both"), wish_of("near"))
    assert words in str(caught.value)
    assert str(caught.value).endswith(".")


def test_where_the_newest_row_stands_outside_there_is_no_plan() -> None:
    bow = asked(RECORDS["own"])
    row = SettingReading((0.1, 2.0), None, None, None)
    with pytest.raises(NoPlan, match="The upper bolt is outside"):
        find(bow, course_of(bow, (row,), READ_TO, "both"), wish_of("near"))
    # And from outside back in there is one again.
    back = SettingReading((1.0, 2.0), None, None, None)
    assert find(bow, course_of(bow, (row, back), READ_TO, "both"), wish_of("near")).here.turns == (1.0, 2.0)


@pytest.mark.parametrize("at", [(2.5, 2.0), (0.5, 0.5), (1.5, 3.0)])
def test_where_the_bow_has_no_answer_there_is_no_plan(at: Pair, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where it stands, at a corner, on the way: be it one place only."""
    bow = Straight(monkeypatch)
    solve = bow.at

    def fails(setup: object, draw: float, turns: Pair) -> Outcome:
        if turns == at:
            raise FitError("turns", "No such bow.")
        return solve(turns)

    monkeypatch.setattr(estimate_module, "foretold", fails)
    with pytest.raises(NoPlan, match=r"at one of the settings inside the safe ranges. No such bow\."):
        bow.find(window(0.5, 4.5), window(0.5, 4.5), (2.5, 2.0), Wish(170 - 2 * 4.0, -5e-3 * 3, 1e-3))


@pytest.mark.parametrize("place", range(4))
def test_where_the_bow_has_no_answer_at_a_pair_after_the_best_the_next_takes_its_place(
    place: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    bow, inside = Straight(monkeypatch), window(0.25, 4.75)
    wish = Wish(170 - 2 * 5.1, -5e-3 * 0.55, 1e-3)
    whole = bow.find(inside, inside, (2.5, 2.5), wish)
    ranked, solve = [one.turns for one in whole.next], bow.at
    assert len(ranked) == 4

    def fails(setup: object, draw: float, turns: Pair) -> Outcome:
        if turns == ranked[place]:
            raise FitError("turns", "No such bow.")
        return solve(turns)

    monkeypatch.setattr(estimate_module, "foretold", fails)
    plan = bow.find(inside, inside, (2.5, 2.5), wish)
    left = [one for one in ranked if one != ranked[place]]
    assert plan.best.turns == whole.best.turns
    assert [one.turns for one in plan.next[:3]] == left
    assert len(plan.next) == 4
    assert plan.next[3].turns not in ranked
    assert all(one.solved for one in plan.next)


# The way: its rules are in test_way.py


@pytest.mark.parametrize("wished", ["heavier", "lighter, tiller turned", "both beyond"])
@pytest.mark.parametrize("name", ["own", "eighths", "maker"])
def test_the_way_says_after_each_step_what_to_read(name: str, wished: str) -> None:
    plan, course, bow = planned(name, wish_of(wished))
    steps = steps_of(course, plan.way)
    assert steps
    assert np.sum([step.change for step in steps], axis=0) == pytest.approx(plan.best.change)
    assert steps[-1].turns == plan.best.turns
    assert [step.turns for step in steps] == list(plan.way)
    assert len(steps) == math.ceil(max(map(abs, plan.best.change)) / 0.5)
    exact = {one.turns: one for one in all_pairs(name)}
    for step in steps:
        assert max(map(abs, step.change)) <= 0.5
        assert bow.outside(step.turns) == ()
        assert step.turns in exact
        for what in WHAT:
            told = getattr(step, what)
            assert told == course.foretell(step.turns, what)
            assert told.value == pytest.approx(getattr(exact[step.turns], what), rel=1e-5, abs=1e-6)
    widths = [step.tiller.expanded for step in steps]
    assert widths == sorted(widths)  # the farther, the less sure
    assert planned(name, Wish(course.value("weight"), course.value("tiller"), 1e-3))[0].way == ()


# Where the plan led


def after(plan: Plan, *off: tuple[float, float]) -> tuple[SettingReading, ...]:
    """What is read where the plan led, once or more often: so much more weight (N) and tiller (m) than foretold."""
    best = plan.best
    return tuple(
        SettingReading(best.turns, best.weight + weight, best.tiller + tiller, best.brace_height)
        for weight, tiller in off
    )


BANDS = {"weight": 2 * math.sqrt(2 / 3) * READ_TO["weight"], "tiller": 2 * math.sqrt(2 / 3) * READ_TO["tiller"]}
"""Of two readings, each even within its half-width, k = 2 (GUM 4.3.7, 6.3.3, S2): no band is narrower."""


@pytest.mark.parametrize("off", [(0.9, 0.0), (-0.9, 0.0), (0.0, 1.3e-3), (0.0, -1.3e-3), (0.7, -1e-3)])
def test_a_plan_ends_where_it_led_though_the_reading_is_a_little_off(off: tuple[float, float]) -> None:
    """Within what two readings may differ by their errors alone: moved by that, the best would only follow them."""
    wish = wish_of("near")
    first, _, bow = planned("own", wish)
    assert abs(off[0]) < BANDS["weight"]
    assert abs(off[1]) < BANDS["tiller"]
    course = course_of(bow, after(first, off), READ_TO, "both")
    raw, plan = find(bow, course, wish), go_on(bow, course, wish)
    assert raw.best.turns != first.best.turns
    assert raw.way
    assert (plan.way, plan.settled, plan.best) == ((), True, raw.best)
    moved = {what: abs(getattr(raw.best, what) - getattr(raw.here, what)) for what in BANDS}
    assert all(moved[what] <= course.foretell(raw.best.turns, what).expanded for what in BANDS)


def test_a_plan_goes_on_where_a_reading_could_tell_or_where_it_did_not_lead() -> None:
    wish = wish_of("near")
    first, before, bow = planned("own", wish)
    for off in ((4.5 * LBF, 0.0), (0.0, 8e-3)):  # the best lies farther off than any band is wide
        course = course_of(bow, after(first, off), READ_TO, "both")
        found = find(bow, course, wish)
        told = [course.foretell(found.best.turns, what).expanded for what in BANDS]
        moved = [abs(getattr(found.best, what) - getattr(found.here, what)) for what in BANDS]
        assert any(np.array(moved) > 1.2 * np.array(told))
        assert go_on(bow, course, wish).way == found.way != ()
    # Half way: it led farther, and what is left is done.
    far = find(bow, before, wish_of("heavier"))
    assert len(far.way) > 1
    weight, tiller, brace = (before.value_at(far.way[-2], what) for what in WHAT)
    half = SettingReading(far.way[-2], weight, tiller, brace)
    course = course_of(bow, (half,), READ_TO, "both")
    plan = go_on(bow, course, wish_of("heavier"))
    assert (plan.way, plan.settled) == ((far.best.turns,), False)
    # Another wish is another plan.
    course = course_of(bow, after(first, (0.9, 0.0)), READ_TO, "both")
    assert go_on(bow, course, wish).settled
    other = Wish(wish.weight + 0.5 * LBF, wish.tiller, wish.worth)
    assert go_on(bow, course, other).way == find(bow, course, other).way != ()


def test_what_was_read_twice_where_the_plan_led_is_no_reason_to_turn() -> None:
    wish = wish_of("near")
    first, _, bow = planned("own", wish)
    course = course_of(bow, after(first, (0.9, 1e-3), (-0.9, -1.2e-3)), READ_TO, "both")
    assert find(bow, course, wish).way
    assert go_on(bow, course, wish).settled


def test_where_nobody_knows_how_sure_a_turn_is_the_plan_goes_on() -> None:
    wish = wish_of("near")
    first, _, bow = planned("own", wish)
    course = replace(course_of(bow, after(first, (0.9, 0.0)), READ_TO, "both"), prior=lambda what: None)
    plan = go_on(bow, course, wish)
    assert plan.way == find(bow, course, wish).way != ()
    assert not plan.settled


def test_before_anything_was_carried_out_a_small_wish_has_its_step() -> None:
    """Less than any band: it is what was asked for."""
    bow = asked(RECORDS["own"])
    course = course_of(bow, (), READ_TO, "both")
    wish = Wish(course.value("weight") + 0.2 * LBF, course.value("tiller"), 2e-3 / LBF)
    plan = go_on(bow, course, wish)
    assert len(plan.way) == 1
    assert plan.way == find(bow, course, wish).way
