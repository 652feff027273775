"""The lock of the bolts: what it forbids, and windows that end on a detent's clicks.

The clicks inside a window are counted here by trying each one with exact fractions (Python's `fractions`, C).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE, Data, answered, changed, refused, values
from quarterturn.bench import locks
from quarterturn.bench.judgement import judge
from quarterturn.bench.readings import take
from quarterturn.bench.window import Window, window_of
from quarterturn.widgets.answer import State

DETENT: Data = COMPLETE | {"bolt_lock": "detent"}


def window(record: Data, bolt: int = 0) -> Window:
    readings = take(values(record)).readings
    assert readings is not None
    return window_of(readings.bolts[bolt], readings)


@given(clicks=st.integers(2, 60), touch=st.integers(24, 48), margin=st.integers(25, 60))
def test_both_ends_are_the_first_whole_clicks_inside(clicks: int, touch: int, margin: int) -> None:
    record = DETENT | {"upper_touch_turns": touch / 8, "margin": margin / 100}
    bare, on_clicks = window(changed(record, bolt_lock="unknown")), window(record | {"clicks_a_turn": clicks})
    inner, outer = Fraction(bare.inner.usable), Fraction(bare.outer.usable)
    inside = [Fraction(each, clicks) for each in range(7 * clicks) if inner <= Fraction(each, clicks) <= outer]
    if not inside:
        assert on_clicks.vanished
        return
    assert on_clicks.inner.usable == pytest.approx(float(inside[0]), abs=1e-9)
    assert on_clicks.outer.usable == pytest.approx(float(inside[-1]), abs=1e-9)
    assert on_clicks.vanished == (len(inside) == 1)


@given(clicks=st.integers(2, 60), at=st.floats(0, 6))
def test_no_place_is_inside_on_clicks_that_is_not_inside_without(clicks: int, at: float) -> None:
    bare, on_clicks = window(COMPLETE), window(DETENT | {"clicks_a_turn": clicks})
    assert not on_clicks.holds(at) or bare.holds(at)


def test_without_a_count_of_clicks_the_window_is_as_it_was() -> None:
    assert window(DETENT) == window(COMPLETE)
    assert window(COMPLETE | {"bolt_lock": "set_screw", "clicks_a_turn": 8}) == window(COMPLETE)


@pytest.mark.parametrize("lock", locks.LOOSENED)
def test_a_lock_that_was_seen_is_not_none(lock: str) -> None:
    assert list(refused(COMPLETE | {"bolt_lock": lock, "check_lock": "none"})) == ["bolt_lock"]
    assert answered(COMPLETE | {"bolt_lock": lock}).state is State.GO
    assert answered(COMPLETE | {"bolt_lock": "detent", "check_lock": "none"}).state is State.GO


@pytest.mark.parametrize("name", ["upper_free_turns", "lower_free_from_mark"])
def test_a_captive_bolt_was_not_counted_until_it_came_free(name: str) -> None:
    record = COMPLETE | {"bolt_lock": "captive", name: 23, "thread_diameter": 9.5, "rise": 4.23}
    assert list(refused(record)) == [name]
    assert judge(values(record)).causes, "it is open until one of the two is put right"
    assert answered(changed(record, bolt_lock="set_screw")).state is State.GO


def test_lengths_limit_a_captive_bolt_as_any_other() -> None:
    lengths = {"thread_diameter": 9.5, "bolt_length": 32, "bush_length": 16, "rise": 4.23}
    lengths |= {"upper_stand_zero": 12, "lower_stand_zero": 12.5}
    captive, other = (window(COMPLETE | lengths | {"bolt_lock": lock}) for lock in ("captive", "set_screw"))
    assert captive == other
    assert "thread" in {limit.name for limit in captive.limits}


@pytest.mark.parametrize(("typed", "told"), [(7.5, True), (8, False), ("8.0", False), ("17/2", True)])
def test_clicks_are_whole(typed: Any, told: bool) -> None:
    record = DETENT | {"clicks_a_turn": typed}
    if told:
        assert list(refused(record)) == ["clicks_a_turn"]
    else:
        assert answered(record).state is State.GO


def test_a_count_typed_over_the_clicks_of_a_turn_is_that_count_in_turns() -> None:
    assert values(DETENT | {"clicks_a_turn": 8, "upper_now_turns": "20/8"}).number("upper_now_turns") == 2.5


@pytest.mark.parametrize("typed", ["20 clicks", "20 Clicks", "1 click"])
def test_clicks_alone_get_a_sentence_that_says_how_they_are_typed(typed: str) -> None:
    """They are kept as they were typed."""
    record = values(COMPLETE | {"upper_now_turns": {"typed": typed, "unit": "turn"}})
    (problem,) = record.problems
    assert problem.field == "upper_now_turns"
    assert "is a count of clicks" in problem.sentence
    assert "20/8" in problem.sentence
    assert record.record.entries["upper_now_turns"].typed == typed


def test_a_place_between_two_clicks_is_seen() -> None:
    record = DETENT | {"clicks_a_turn": 6, "upper_now_turns": 2.25, "lower_now_turns": 2.5}
    assert locks.between_clicks(values(record)) == [("upper", 13.5)]
