"""The thread that is left as a limit of the window: counted, by lengths, or both; how much of it is wanted.

Turns needed: model.md 3 and 6 (C; one diameter in steel, two in aluminium: common practice, no source). Lengths by
hand in fractions (C); engagement as the overlap of two intervals (C). Doubt, worked anew in two ways (C): the law of
propagation (JCGM 100:2008, GUM, 4.3.7 and 5.1.2; M) with mpmath's derivatives, and drawn benches (JCGM 101:2008; M).
"""

from __future__ import annotations

import random
import statistics
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import mpmath
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from helpers.asking import (
    COMPLETE,
    MAKER,
    answered,
    changed,
    missing_of,
    points_of,
    readings,
    refused,
    table_of,
    values,
    windows,
)
from quarterturn.bench.engagement import WANTED, ThreadEngagement, needed
from quarterturn.bench.positions import positions_of
from quarterturn.bench.readings import take
from quarterturn.bench.window import End, WindowLimit, WindowPlace, standing, window_of
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import State

Data = dict[str, Any]

BY_TURNS = COMPLETE | {"rise": 4.23, "thread_diameter": 9.5, "upper_free_turns": 25, "lower_free_turns": 24}
BY_LENGTHS = COMPLETE | {
    "rise": 4.23,
    "thread_diameter": 9.5,
    "bolt_length": 40,
    "upper_stand_zero": 12,
    "lower_stand_zero": 11.5,
}
"""In mm: 28 and 28.5 of thread between the bolt's end and the mouth, at 1.0575 a turn. Nobody's bow."""
SHORT = BY_LENGTHS | {"bolt_length": 35.5}
"""Here the thread ends the range before first touch does."""


def inches(millimetres: str) -> Data:
    return {"typed": repr(float(Fraction(millimetres) / Fraction("25.4"))), "unit": "in"}


def thread(record: Data) -> WindowLimit:
    """The thread's limit of the upper bolt."""
    window, _ = windows(record)
    return next(limit for limit in window.limits if limit.name == "thread")


def by_hand(record: Data) -> Fraction:
    """Where the upper bolt's thread limit lies, turns: what there is less what is wanted, over the pitch."""
    at = {name: Fraction(str(value)) for name, value in record.items() if isinstance(value, int | float)}
    pitch = at["rise"] / at.get("rise_turns", Fraction(4))
    wanted = {"steel": 1, "aluminium": 2}.get(record.get("bush_metal", ""), 2) * at["thread_diameter"]
    wanted = min(wanted, at.get("bush_length", wanted))
    counted = at.get("upper_free_turns")
    there = counted * pitch if counted is not None else at["bolt_length"] - at["upper_stand_zero"]
    return (there - wanted) / pitch


# How much is wanted


@pytest.mark.parametrize(
    ("diameter", "pitch", "diameters", "turns"),
    [
        ("9.525", Fraction("25.4") / 24, 1.0, "9.0"),
        ("9.525", Fraction("25.4") / 24, 1.5, "13.5"),
        ("8", Fraction("1.25"), 1.0, "6.4"),
        ("8", Fraction("1.25"), 1.5, "9.6"),
    ],
)
def test_turns_needed_are_those_of_the_model(diameter: str, pitch: Fraction, diameters: float, turns: str) -> None:
    """model.md 6 (C): 3/8-24 needs 9.0 turns for one diameter and 13.5 for one and a half; M8×1.25 6.4 and 9.6."""
    much = needed(float(diameter) / 1000, diameters, None)
    assert much.length / (float(pitch) / 1000) == pytest.approx(float(turns), rel=1e-12)
    assert (much.diameters, much.whole_bush) == (diameters, False)


def test_diameters_wanted_are_those_of_the_trade() -> None:
    """One in steel, two in aluminium; unknown is taken as aluminium (model.md 3; common practice, no source)."""
    assert WANTED == {"steel": 1.0, "aluminium": 2.0, "unknown": 2.0}
    field = BY_NAME["bush_metal"]
    assert field.default == "unknown"


@pytest.mark.parametrize("base", [BY_TURNS, BY_LENGTHS], ids=["turns", "lengths"])
@pytest.mark.parametrize(("metal", "diameters"), [("steel", 1), ("aluminium", 2), ("unknown", 2), (None, 2)])
def test_metal_of_the_riser_decides_how_much_is_wanted(base: Data, metal: str | None, diameters: int) -> None:
    found = readings(changed(base, bush_metal=metal))
    assert found.diameters_engaged == diameters
    turns = found.bolts[0].free
    assert turns is not None
    wanted = diameters * Fraction("9.5") / Fraction("1.0575")
    assert turns.turns - thread(changed(base, bush_metal=metal)).at == pytest.approx(float(wanted), rel=1e-12)


@pytest.mark.parametrize("base", [BY_TURNS, BY_LENGTHS], ids=["turns", "lengths"])
@pytest.mark.parametrize(
    ("bush", "wanted"), [(9.5, 9.5), (12, 12), (18.9, 18.9), (19, 19), (19.1, 19), (25, 19), (40, 19)]
)
def test_no_more_is_wanted_than_the_riser_has(base: Data, bush: float, wanted: float) -> None:
    """model.md 3: engaged is at most the length of the bush; here two diameters are 19 mm."""
    record = base | {"bush_length": bush}
    found = readings(record)
    free = found.bolts[0].free
    assert free is not None
    limit = thread(record)
    assert limit.at == pytest.approx(float(by_hand(record)), abs=1e-9)
    assert (free.turns - limit.at) * 1.0575 == pytest.approx(wanted, rel=1e-9)
    engaged = ThreadEngagement(free, found.bush_length, found.pitch)
    assert engaged.whole_until is not None
    if bush < 19:  # all of it: the limit is where the bolt's end comes into the bush
        assert limit.at == pytest.approx(engaged.whole_until, abs=1e-9)
    else:
        assert limit.at >= engaged.whole_until - 1e-9
    much = needed(0.0095, 2.0, bush / 1000)
    assert much.whole_bush is (bush < 19)
    assert much.length == pytest.approx(wanted / 1000, rel=1e-12)


def test_without_the_bushs_length_nobody_knows_how_long_all_of_it_holds() -> None:
    found = readings(BY_LENGTHS)
    free = found.bolts[0].free
    assert free is not None
    assert ThreadEngagement(free, None, found.pitch).whole_until is None


# Where the thread lets go


def test_twenty_four_threads_to_the_inch_let_go_after_twenty_four_turns() -> None:
    """3/8-24 by its name: an inch of thread is 24 turns; one diameter in steel leaves 24 − 9 of them (model.md 6)."""
    record = COMPLETE | {
        "rise": {"typed": "1/4", "unit": "in"},
        "rise_turns": 6,
        "thread_diameter": {"typed": "3/8", "unit": "in"},
        "bush_metal": "steel",
        "bolt_length": {"typed": "1 1/2", "unit": "in"},
        "upper_stand_zero": {"typed": "1/2", "unit": "in"},
        "lower_stand_zero": {"typed": "5/8", "unit": "in"},
    }
    upper, lower = (bolt.free for bolt in readings(record).bolts)
    assert upper is not None
    assert lower is not None
    assert (upper.turns, lower.turns) == pytest.approx((24, 21), rel=1e-12)
    assert (upper.by, lower.by) == ("lengths", "lengths")
    assert thread(record).at == pytest.approx(15, rel=1e-12)


CASES: list[Data] = [
    BY_TURNS,
    BY_TURNS | {"bush_metal": "steel", "rise": 5, "thread_diameter": 8},
    BY_TURNS | {"bush_length": 12},
    BY_LENGTHS,
    BY_LENGTHS | {"bush_metal": "steel"},
    BY_LENGTHS | {"bush_length": 12, "rise": 6, "rise_turns": 6, "bolt_length": 33.25},
    BY_LENGTHS | {"bush_length": 30, "caliper_step": 0.01},
    SHORT | {"upper_stand_zero": 14.7, "bush_length": 12.7},
    BY_LENGTHS | {"upper_free_turns": 26.4},
]


@pytest.mark.parametrize("record", CASES, ids=str)
def test_the_limit_is_that_worked_by_hand(record: Data) -> None:
    limit = thread(record)
    assert limit.at == pytest.approx(float(by_hand(record)), abs=1e-9)
    assert (limit.end, limit.interval, limit.margin) == (End.OUTER, 0.0, 0.0)
    assert limit.usable == pytest.approx(limit.at - limit.budget.expanded, abs=1e-12)


def test_one_bolt_may_be_counted_and_the_other_measured() -> None:
    record = changed(BY_LENGTHS, upper_stand_zero=None, upper_free_turns=25)
    upper, lower = (bolt.free for bolt in readings(record).bolts)
    assert upper is not None
    assert lower is not None
    assert (upper.by, upper.turns) == ("turns", 25)
    assert lower.by == "lengths"
    assert lower.turns == pytest.approx(float(Fraction("28.5") / Fraction("1.0575")), rel=1e-12)


def test_a_head_that_swivels_has_no_limit_by_lengths() -> None:
    """Only the maker's range applies to it (model.md 2, last lines)."""
    found = readings(
        MAKER | {name: BY_LENGTHS[name] for name in ("bolt_length", "upper_stand_zero", "thread_diameter")}
    )
    assert [bolt.free for bolt in found.bolts] == [None, None]
    assert {limit.name for bolt in found.bolts for limit in window_of(bolt, found).limits} == {"maker_in", "maker_out"}


# Counted and measured


@dataclass(frozen=True)
class Input:
    """An input of the limit: its value and the half-width within which it is taken to lie evenly."""

    value: Any
    half: Any


def inputs_of(record: Data) -> dict[str, Input]:
    """What the thread's limit is worked out from, with the bounds of each; mm and turns.

    A caliper's reading is uncertain by half its step; the pitch is the difference of two readings over counted turns.
    """
    half = mpmath.mpf(str(record.get("caliper_step", 0.1))) / 2
    found = {"start": Input(mpmath.mpf(10), half), "end": Input(10 + mpmath.mpf(str(record["rise"])), half)}
    if "upper_free_turns" in record:
        found["count"] = Input(mpmath.mpf(str(record["upper_free_turns"])), mpmath.mpf("0.125") / 2)
        found["play"] = Input(mpmath.mpf(0), mpmath.mpf("0.05") / 2)
    else:
        found["bolt"] = Input(mpmath.mpf(str(record["bolt_length"])), half)
        found["stand"] = Input(mpmath.mpf(str(record["upper_stand_zero"])), half)
        found["first turn"] = Input(mpmath.mpf(0), mpmath.mpf("0.5"))
    diameters = 1 if record.get("bush_metal") == "steel" else 2
    if record.get("bush_length", 1000) < diameters * record["thread_diameter"]:
        found["bush"] = Input(mpmath.mpf(str(record["bush_length"])), half)
    else:
        found["diameter"] = Input(mpmath.mpf(str(record["thread_diameter"])), half)
    return found


def limit_by(record: Data) -> Callable[..., Any]:
    """The limit as a function of its inputs: (L − s)/p − k·d/p, or the count less what is wanted."""
    turns, diameters = record.get("rise_turns", 4), 1 if record.get("bush_metal") == "steel" else 2

    def limit(**at: Any) -> Any:
        pitch = (at["end"] - at["start"]) / turns
        first = at.get("first turn", 0)
        free = at["count"] + at["play"] if "count" in at else (at["bolt"] - at["stand"]) / pitch + first
        return free - (at["bush"] if "bush" in at else diameters * at["diameter"]) / pitch

    return limit


def propagated(function: Callable[..., Any], inputs: dict[str, Input]) -> float:
    """u_c by the law of propagation: each derivative by mpmath, each uncertainty rectangular, half-width over √3."""
    with mpmath.workdps(30):
        best = {name: each.value for name, each in inputs.items()}
        total = mpmath.mpf(0)
        for name, each in inputs.items():
            slope = mpmath.diff(lambda x, name=name: function(**(best | {name: x})), each.value)
            total += (slope * each.half) ** 2 / 3
        return float(mpmath.sqrt(total))


LENGTHS = [
    *CASES[:8],
    BY_TURNS | {"bush_length": 12, "caliper_step": 0.5},
    BY_LENGTHS | {"caliper_step": 0.5, "rise": 2.1, "rise_turns": 2},
    BY_LENGTHS | {"caliper_step": 0.02, "rise": 7.5, "rise_turns": 6, "bolt_length": 45, "bush_metal": "steel"},
]


@pytest.mark.parametrize("record", LENGTHS, ids=str)
def test_the_uncertainty_is_that_of_the_law_of_propagation(record: Data) -> None:
    limit = thread(record)
    inputs, function = inputs_of(record), limit_by(record)
    assert function(**{name: each.value for name, each in inputs.items()}) == pytest.approx(limit.at, abs=1e-9)
    assert limit.budget.combined == pytest.approx(propagated(function, inputs), rel=1e-9)
    assert limit.budget.expanded == 2 * limit.budget.combined


@pytest.mark.parametrize("record", [SHORT, BY_LENGTHS | {"bush_length": 12, "caliper_step": 0.5}, BY_TURNS], ids=str)
def test_the_uncertainty_is_the_spread_of_ten_thousand_benches(record: Data) -> None:
    """Inputs drawn evenly within their bounds; the same draws at every run."""
    chance, function, limit = random.Random(24), limit_by(record), thread(record)
    bounds = {name: (float(each.value), float(each.half)) for name, each in inputs_of(record).items()}
    drawn = [
        function(**{name: chance.uniform(value - half, value + half) for name, (value, half) in bounds.items()})
        for _ in range(10_000)
    ]
    assert statistics.stdev(drawn) == pytest.approx(limit.budget.combined, rel=0.02)
    assert sum(each >= limit.usable for each in drawn) >= 0.95 * len(drawn)


def test_each_uncertainty_is_named_and_the_pitchs_stands_there_once() -> None:
    wanted = {"diameter of the thread", "pitch of the thread"}
    measured = wanted | {"two lengths by caliper", "first turn of the thread, not full"}
    counted = wanted | {"smallest part of a turn counted", "play of the bolt in its thread"}
    riser = {"length of the thread in the riser"}
    for record, names in (
        (BY_LENGTHS, measured),
        (BY_TURNS, counted),
        (BY_LENGTHS | {"bush_length": 12}, measured - {"diameter of the thread"} | riser),
        (BY_TURNS | {"bush_length": 12}, counted - {"diameter of the thread"} | riser),
    ):
        listed = [each.name for each in thread(record).budget.contributions]
        assert len(listed) == len(set(listed))
        assert set(listed) == names


def test_by_lengths_the_pitch_has_no_part_in_a_limit_at_zero() -> None:
    """Where what there is is just what is wanted, any pitch gives zero turns: its share is of both, and is one."""
    record = BY_LENGTHS | {"bolt_length": 31, "upper_stand_zero": 12}
    limit = thread(record)
    assert limit.at == pytest.approx(0, abs=1e-9)
    share = {each.name: each.share for each in limit.budget.contributions}
    assert share["pitch of the thread"] == pytest.approx(0, abs=1e-9)
    counted = thread(
        changed(record, upper_stand_zero=None, bolt_length=None, lower_stand_zero=None, upper_free_turns=18)
    )
    assert next(each.share for each in counted.budget.contributions if each.name == "pitch of the thread") > 0.1


def explained() -> tuple[float, float]:
    """Where the thread of `BY_LENGTHS` lets go, and three standard uncertainties of a count's difference from it."""
    measured = inputs_of(changed(BY_LENGTHS, bush_length=1))
    del measured["bush"]
    length = propagated(
        lambda **at: (at["bolt"] - at["stand"]) / ((at["end"] - at["start"]) / 4) + at["first turn"], measured
    )
    key = propagated(lambda smallest, play: smallest + play, {"smallest": Input(0, 0.0625), "play": Input(0, 0.025)})
    return float(Fraction(28) / Fraction("1.0575")), 3 * float(mpmath.hypot(length, key))


@pytest.mark.parametrize("part", [-0.999, -0.3, 0.0, 0.5, 0.999])
def test_where_both_agree_the_count_is_taken(part: float) -> None:
    lengths, most = explained()
    counted = round(lengths + part * most, 9)
    record = BY_LENGTHS | {"upper_free_turns": counted}
    free = readings(record).bolts[0].free
    assert free is not None
    assert (free.turns, free.by) == (counted, "turns")
    alone = changed(record, bolt_length=None, upper_stand_zero=None, lower_stand_zero=None)
    assert thread(record) == thread(alone)


@pytest.mark.parametrize("part", [-4, -1.001, 1.001, 2])
@pytest.mark.parametrize("bolt", ["upper", "lower"])
def test_where_they_disagree_the_record_is_refused(part: float, bolt: str) -> None:
    lengths, most = explained()
    counted = round(lengths + part * most, 9)
    record = BY_LENGTHS | {"lower_stand_zero": 12, f"{bolt}_free_turns": counted}
    said = refused(record)
    assert list(said) == [f"{bolt}_free_turns"]
    sentence = said[f"{bolt}_free_turns"]
    assert sentence.startswith(f"{bolt.capitalize()} bolt")
    for turns in (counted, lengths, most):
        assert f"{turns:.2f}" in sentence
    assert len(take(values(record)).problems) == 1


# Counted from the mark

FROM_MARK = changed(BY_TURNS, upper_free_turns=None, upper_free_from_mark=22.5)
"""The mark is 2½ turns out from zero: 25 turns from zero, as in `BY_TURNS`."""


@pytest.mark.parametrize(("side", "now", "turns"), [("out", 2.5, 25), ("in", 0.25, 22.25), ("out", 0, 22.5)])
def test_from_the_mark_the_thread_ends_where_both_counts_together_do(side: str, now: float, turns: float) -> None:
    """A mark in past zero is on the way: what it takes to come to zero is taken off (by hand)."""
    free = readings(FROM_MARK | {"upper_now_side": side, "upper_now_turns": now}).bolts[0].free
    assert free is not None
    assert free.turns == pytest.approx(turns, abs=1e-12)
    assert free.by == "turns"


def one_count(play: float = 0.05, smallest: float = 0.125) -> float:
    """The uncertainty of one count by the key: half the smallest part of a turn, half the play, both rectangular."""
    halves = {"smallest": Input(0, mpmath.mpf(smallest) / 2), "play": Input(0, mpmath.mpf(play) / 2)}
    return propagated(lambda smallest, play: smallest + play, halves)


@pytest.mark.parametrize(("smallest", "play"), [(0.125, 0.05), (0.25, 0.0), (0.05, 0.2)])
def test_two_counts_are_as_uncertain_as_two_counts(smallest: float, play: float) -> None:
    """√2 of one: both are made with the same key, and one does not know of the other (GUM 5.1.2; M)."""
    found = readings(FROM_MARK | {"smallest_turn": smallest, "play": play})
    free = found.bolts[0].free
    assert free is not None
    one = one_count(play, smallest)
    assert free.budget.combined == pytest.approx(float(mpmath.sqrt(2)) * one, rel=1e-12)
    drawn = random.Random(5)
    half, loose = smallest / 2, play / 2
    sums = [sum(drawn.uniform(-half, half) + drawn.uniform(-loose, loose) for _ in range(2)) for _ in range(40_000)]
    assert statistics.pstdev(sums) == pytest.approx(free.budget.combined, rel=0.02)  # 40 000 drawn: 0.4 % at one sigma
    names = {each.name for each in thread(FROM_MARK).budget.contributions}
    assert {"count from the mark to the thread's end", "count from zero to the mark"} <= names


def test_the_limit_from_the_mark_is_that_of_the_same_count_and_less_sure() -> None:
    one, two = thread(BY_TURNS), thread(FROM_MARK)
    assert two.at == pytest.approx(one.at, abs=1e-12)
    assert two.budget.combined**2 - one.budget.combined**2 == pytest.approx(one_count() ** 2, rel=1e-9)
    assert two.usable < one.usable


def test_from_the_mark_the_way_from_zero_may_be_told_by_heights() -> None:
    """8.115 mm over the riser at the mark and 6 mm at zero, at 1.0575 mm a turn: two turns out."""
    heights = {"upper_height_zero": 6, "upper_height_now": 8.115}
    free = readings(changed(FROM_MARK, upper_now_turns=None, **heights)).bolts[0].free
    assert free is not None
    assert free.turns == pytest.approx(24.5, abs=1e-9)


@pytest.mark.parametrize("part", [-0.999, 0.0, 0.999])
def test_a_count_from_zero_is_taken_where_the_one_from_the_mark_agrees(part: float) -> None:
    off = part * 3 * one_count() * float(mpmath.sqrt(3))
    record = FROM_MARK | {"upper_free_turns": round(25 + off, 9)}
    free = readings(record).bolts[0].free
    assert free is not None
    assert free.turns == record["upper_free_turns"]
    assert thread(record) == thread(changed(record, upper_free_from_mark=None))


@pytest.mark.parametrize("part", [-3, -1.001, 1.001, 2])
@pytest.mark.parametrize("bolt", ["upper", "lower"])
def test_counts_from_zero_and_from_the_mark_that_disagree_are_refused(part: float, bolt: str) -> None:
    """Three standard uncertainties of the difference of one count and of two: 3·√3 of one."""
    now = {"upper": 2.5, "lower": 2}[bolt]
    counted = round(22.5 + now + part * 3 * one_count() * float(mpmath.sqrt(3)), 9)
    record = BY_TURNS | {f"{bolt}_free_turns": counted, f"{bolt}_free_from_mark": 22.5}
    said = refused(record)
    assert list(said) == [f"{bolt}_free_from_mark"]
    sentence = said[f"{bolt}_free_from_mark"]
    assert sentence.startswith(f"{bolt.capitalize()} bolt")
    for turns in (counted, 22.5 + now):
        assert f"{turns:.2f}" in sentence
    assert len(take(values(record)).problems) == 1


def test_a_thread_counted_from_the_mark_waits_for_the_count_to_the_mark() -> None:
    """Wherever the log has the bolt: without the mark's place nobody knows from zero where the thread ends."""
    log = [{"date": "2026-05-01", "upper_at": 2.5, "lower_at": 2}]
    record = changed(FROM_MARK | {"log": log}, upper_now_turns=None)
    waiting, whole = (positions_of(values(each)).bolts[0] for each in (record, FROM_MARK | {"log": log}))
    assert waiting.missing == ("upper_now_turns",)
    assert not waiting.known
    assert whole.known
    counted = changed(record, upper_free_from_mark=None, upper_free_turns=25)
    assert positions_of(values(counted)).bolts[0].known


@pytest.mark.parametrize("without", ["thread_diameter", "rise"])
def test_a_count_from_the_mark_wants_diameter_and_pitch(without: str) -> None:
    assert take(values(changed(FROM_MARK, **{without: None}))).missing == (without,)


# The answer


def test_the_thread_is_named_where_it_is_the_strictest() -> None:
    """5.25 turns at first touch, and the thread's limit before it: (35.5 − 12 − 19)/1.0575 = 4.26 turns."""
    window, _ = windows(SHORT)
    assert window.outer.name == "thread"
    assert f"{window.outer.at:.2f}" == f"{float(Fraction('4.5') / Fraction('1.0575')):.2f}" == "4.26"
    answer = answered(SHORT | {"lower_now_turns": 1.5})
    assert answer.state is State.GO
    rows = {row[0]: row for row in table_of(answer, "upper-limits").rows}
    row = rows["the thread that is left (strictest)"]
    u = propagated(limit_by(SHORT), inputs_of(SHORT))
    exact = float(by_hand(SHORT)) - 2 * u
    assert row[1:6] == ("outer", "4.26", "0.00", "0.00", f"{2 * u:.2f}")
    assert 0 <= exact - float(row[6]) < 0.01  # rounded in, not out
    assert "first touch" in rows
    assert f"to {row[6]} turns out" in points_of(answer, "sure")[0]


@pytest.mark.parametrize(
    ("record", "outer"),
    [
        (BY_LENGTHS, "touch"),
        (SHORT | {"bush_metal": "steel"}, "touch"),
        (SHORT, "thread"),
        (SHORT | {"maker_out": 3}, "maker_out"),
    ],
    ids=["much thread", "steel", "little thread", "maker"],
)
def test_the_strictest_outer_limit_ends_the_range(record: Data, outer: str) -> None:
    window, _ = windows(record)
    assert window.outer.name == outer
    assert window.outer.usable == min(limit.usable for limit in window.limits if limit.end is End.OUTER)
    assert {limit.name for limit in window.limits} >= {"touch", "thread"}


def test_a_bolt_past_it_is_stopped_in_words() -> None:
    """Between the limit at 4.26 and first touch at 5.25 there is too little thread, though the head still touches."""
    record = SHORT | {"upper_now_turns": 4.5}
    found = readings(record)
    stands = standing(found.bolts[0], window_of(found.bolts[0], found))
    assert stands.place is WindowPlace.PAST_OUTER
    assert stands.limit is not None
    assert stands.limit.name == "thread"
    answer = answered(record)
    assert answer.state is State.STOP
    assert "too far out for its thread" in answer.title
    assert "Do not string the bow" in answer.verdict


def test_too_little_thread_leaves_no_window() -> None:
    answer = answered(BY_LENGTHS | {"bolt_length": 31.5})
    assert answer.state is State.NO_WINDOW
    assert "the thread that is left" in answer.verdict


def test_first_touch_that_was_not_reached_may_be_limited_by_lengths() -> None:
    record = changed(BY_LENGTHS, upper_touch_found="no", upper_touch_turns=None)
    window, _ = windows(record)
    assert window.outer.name == "thread"
    assert window.outer.at == pytest.approx(float(by_hand(record)), abs=1e-9)


# What is missing


@pytest.mark.parametrize(
    ("without", "names"),
    [
        (("upper_stand_zero",), ("upper_stand_zero",)),
        (("lower_stand_zero",), ("lower_stand_zero",)),
        (("upper_stand_zero", "lower_stand_zero"), ("upper_stand_zero", "lower_stand_zero")),
        (("thread_diameter",), ("thread_diameter",)),
        (("thread_diameter", "lower_stand_zero"), ("lower_stand_zero", "thread_diameter")),
    ],
    ids=str,
)
def test_what_was_begun_must_be_ended(without: tuple[str, ...], names: tuple[str, ...]) -> None:
    """A limit that was begun and limits nothing would mislead: the answer stays an example and leads to the rest."""
    record = changed(BY_LENGTHS, **dict.fromkeys(without))
    assert set(take(values(record)).missing) == set(names)
    answer = answered(record)
    assert answer.state is State.EXAMPLE
    assert set(missing_of(answer)) == set(names)
    assert answered(BY_LENGTHS).state is State.GO


def test_a_count_stands_in_for_a_stand() -> None:
    record = changed(BY_LENGTHS, upper_stand_zero=None, upper_free_turns=25)
    assert take(values(record)).missing == ()
    assert answered(record).state is State.GO
    assert take(values(changed(record, thread_diameter=None))).missing == ("thread_diameter",)


# What cannot be


@pytest.mark.parametrize(
    ("changes", "field", "beginning", "numbers"),
    [
        ({"bush_length": 41}, "bush_length", "Length of the riser's thread", ("41 mm", "40 mm")),
        ({"bush_length": 40.01}, "bush_length", "Length of the riser's thread", ("40.01 mm", "40 mm")),
        ({"upper_stand_zero": 36}, "upper_stand_zero", "Upper bolt", ("3.78", "first touch", "5.25")),
        ({"lower_stand_zero": 36}, "lower_stand_zero", "Lower bolt", ("3.78", "first touch", "5.00")),
        (
            {"upper_stand_zero": 36, "upper_touch_turns": 3, "upper_now_turns": 4},
            "upper_stand_zero",
            "Upper bolt",
            ("3.78", "your mark", "4.00"),
        ),
        (
            {"bolt_length": None, "upper_stand_zero": None, "lower_stand_zero": None, "upper_free_turns": 4},
            "upper_free_turns",
            "Upper bolt",
            ("4.00", "first touch", "5.25"),
        ),
        ({"upper_stand_zero": 40}, "upper_stand_zero", "Upper bolt, thread to head", ("40 mm",)),
        ({"lower_stand_zero": 44.5}, "lower_stand_zero", "Lower bolt, thread to head", ("44.5 mm", "40 mm")),
        ({"bush_length": 9}, "bush_length", "Length of the riser's thread", ("9 mm", "9.5 mm")),
    ],
    ids=str,
)
def test_lengths_that_cannot_be_are_refused_in_one_sentence(
    changes: Data, field: str, beginning: str, numbers: tuple[str, ...]
) -> None:
    record = changed(BY_LENGTHS, **changes)
    (problem,) = take(values(record)).problems
    assert problem.field == field
    assert refused(record) == {field: problem.sentence}
    assert problem.sentence.startswith(beginning)
    assert problem.sentence.endswith(".")
    assert "again" in problem.sentence
    for number in numbers:
        assert number in problem.sentence


@pytest.mark.parametrize(
    "changes", [{"bush_length": 40}, {"upper_stand_zero": 34}, {"upper_free_turns": 26.48}], ids=str
)
def test_what_just_can_be_is_answered(changes: Data) -> None:
    assert answered(BY_LENGTHS | changes).state is not State.EXAMPLE


# What a reader would be misled by


def test_lengths_become_turns_by_a_pitch_that_was_measured() -> None:
    """As heights do: with a real pitch of 1.5 the thread lets go at 18.7 turns and not at 26.5."""
    record = changed(BY_LENGTHS, rise=None)
    assert "rise" in take(values(record)).missing
    assert answered(record).state is State.EXAMPLE


def test_stands_want_the_bolts_length() -> None:
    record = changed(BY_LENGTHS, bolt_length=None)
    assert take(values(record)).missing == ("bolt_length",)
    assert answered(record).state is State.EXAMPLE


def test_nobody_is_told_of_two_diameters_where_the_whole_bush_is_wanted() -> None:
    """12 mm of thread in the riser are neither two diameters nor, in steel, more than 9.5 mm."""
    record = BY_LENGTHS | {"bolt_length": 28, "bush_length": 12, "lower_now_turns": 1, "upper_now_turns": 1}
    window, _ = windows(record)
    assert window.outer.name == "thread"
    assert not any("two diameters" in remark for remark in points_of(answered(record), "remarks"))


# Whatever was read


def rounded(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda x: round(x, 3))


BENCHES = st.fixed_dictionaries(
    {
        "rise": rounded(3, 6),
        "thread_diameter": rounded(5, 12),
        "bolt_length": rounded(32, 60),
        "upper_stand_zero": rounded(5, 15),
        "bush_metal": st.sampled_from(["steel", "aluminium", "unknown"]),
        "caliper_step": rounded(0.01, 0.2),
    },
    optional={"bush_length": rounded(17, 30)},
).map(lambda drawn: BY_LENGTHS | drawn)


def overlap(record: Data, turns: float) -> float:
    """The thread engaged, mm: from the mouth in, what bolt and bush both reach (the bolt's end lies L − s − p·u in)."""
    reach = float(record["bolt_length"] - record["upper_stand_zero"] - record["rise"] / 4 * turns)
    return max(0.0, min(reach, float(record.get("bush_length", reach))))


@pytest.mark.long
@given(BENCHES, st.floats(0, 60))
def test_engagement_is_the_overlap_and_never_negative(record: Data, turns: float) -> None:
    found = readings(record)
    free = found.bolts[0].free
    assert free is not None
    engaged = ThreadEngagement(free, found.bush_length, found.pitch)
    there = engaged.at(turns)
    assert there >= 0
    assert 1000 * there == pytest.approx(overlap(record, turns), abs=1e-6)
    assert 1000 * engaged.at(free.turns) == pytest.approx(0, abs=1e-6)
    if engaged.whole_until is not None:
        assert overlap(record, engaged.whole_until) == pytest.approx(record["bush_length"], abs=1e-6)
        assert overlap(record, engaged.whole_until + 0.1) < record["bush_length"]


@pytest.mark.long
@given(BENCHES)
def test_at_the_limit_what_is_wanted_is_still_engaged_and_beyond_it_is_not(record: Data) -> None:
    limit = thread(record)
    wanted = (1 if record["bush_metal"] == "steel" else 2) * record["thread_diameter"]
    wanted = min(wanted, record.get("bush_length", wanted))
    assert overlap(record, limit.at) == pytest.approx(wanted, abs=1e-6)
    assert overlap(record, limit.at + 0.01) < wanted
    assert overlap(record, limit.usable) >= wanted - 1e-6


@pytest.mark.long
@given(BENCHES)
def test_no_limit_lies_beyond_where_the_thread_lets_go(record: Data) -> None:
    free = readings(record).bolts[0].free
    assert free is not None
    limit = thread(record)
    assert limit.usable < limit.at < free.turns


@pytest.mark.long
@given(BENCHES, st.floats(0, 10))
def test_a_longer_bolt_never_narrows(record: Data, more: float) -> None:
    longer = record | {"bolt_length": record["bolt_length"] + more}
    assert thread(longer).usable >= thread(record).usable - 1e-9
    assert windows(longer)[0].outer.usable >= windows(record)[0].outer.usable - 1e-9


@pytest.mark.long
@given(BENCHES, st.floats(0, 5), st.sampled_from(["upper_stand_zero", "thread_diameter"]))
def test_a_head_farther_out_at_zero_or_a_thicker_bolt_never_widens(record: Data, more: float, name: str) -> None:
    changed_record = record | {name: record[name] + more}
    checked = values(changed_record)
    assume(checked.problems == () and take(checked).problems == ())  # it may let go before first touch then
    assert thread(changed_record).at <= thread(record).at + 1e-9
    # By where the range ends: another limit may be the strictest of the two, and lie elsewhere.
    assert windows(changed_record)[0].outer.usable <= windows(record)[0].outer.usable + 1e-9


@pytest.mark.long
@given(BENCHES)
def test_steel_never_wants_more_than_aluminium(record: Data) -> None:
    steel, aluminium, unknown = (thread(record | {"bush_metal": metal}) for metal in ("steel", "aluminium", "unknown"))
    assert steel.at >= aluminium.at
    assert unknown == aluminium


@pytest.mark.long
@given(BENCHES, rounded(12, 30))
def test_a_bush_with_room_for_what_is_wanted_changes_nothing(record: Data, bush: float) -> None:
    wanted = (1 if record["bush_metal"] == "steel" else 2) * record["thread_diameter"]
    without, with_it = thread(changed(record, bush_length=None)), thread(record | {"bush_length": bush})
    if bush >= wanted:
        assert with_it == without
    else:
        assert with_it.at > without.at


@pytest.mark.long
@given(BENCHES)
def test_inches_and_millimetres_upper_and_lower_give_the_same(record: Data) -> None:
    lengths = ("rise", "thread_diameter", "bolt_length", "upper_stand_zero", "bush_length", "caliper_step")
    other = record | {name: inches(str(record[name])) for name in lengths if name in record}
    one, same = thread(record), thread(other)
    assert (same.at, same.budget.combined) == pytest.approx((one.at, one.budget.combined), rel=1e-9, abs=1e-9)
    _, lower = windows(record | {"lower_stand_zero": record["upper_stand_zero"]})
    assert next(limit for limit in lower.limits if limit.name == "thread") == one
