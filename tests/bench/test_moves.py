"""The turns to make: model.md section 5 (steps of at most half a turn a bolt) and issue 2 (the way back); C."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarterturn.bench.moves import Move, moves, target
from quarterturn.bench.uncertainty import budget
from quarterturn.bench.window import End, Window, WindowLimit

SLACK = 1e-9


def window(bolt: str, inner: float, outer: float) -> Window:
    nothing = budget(())
    ends = (
        WindowLimit("flush", End.INNER, inner, 0, 0, nothing),
        WindowLimit("touch", End.OUTER, outer, 0, 0, nothing),
    )
    return Window(bolt, ends, *ends, nothing, None)


WINDOWS = st.tuples(st.floats(-1, 4), st.floats(0.01, 8)).map(lambda pair: (pair[0], pair[0] + pair[1]))
NOW = st.floats(-5, 15) | st.integers(-20, 60).map(lambda quarters: quarters / 4)
GOALS = st.sampled_from(["stay", "middle"])


def plan_of(ends: tuple[float, float], now: float, goal: str) -> tuple[Move, ...]:
    return moves(((window("upper", *ends), now),), goal)


@given(WINDOWS, NOW, GOALS)
def test_no_step_is_larger_than_half_a_turn_and_the_chain_is_whole(
    ends: tuple[float, float], now: float, goal: str
) -> None:
    stood = now
    for move in plan_of(ends, now, goal):
        assert 0 < abs(move.turns) <= 0.5 + SLACK
        assert move.start == pytest.approx(stood, abs=1e-9)
        assert move.end == pytest.approx(move.start + move.turns, abs=1e-9)
        stood = move.end


@given(WINDOWS, NOW, GOALS)
def test_every_plan_ends_inside_and_never_comes_near_the_far_end(
    ends: tuple[float, float], now: float, goal: str
) -> None:
    inner, outer = ends
    plan = plan_of(ends, now, goal)
    last = plan[-1].end if plan else now
    assert inner - SLACK <= last <= outer + SLACK
    for move in plan:
        assert move.end <= max(now, outer) + SLACK
        assert move.end >= min(now, inner) - SLACK
        if now > outer:
            assert move.turns < 0
        if now < inner:
            assert move.turns > 0
        assert move.inside is (inner - SLACK <= move.end <= outer + SLACK)


@given(WINDOWS, NOW)
def test_the_way_back_is_the_shortest_to_a_quarter_inside(ends: tuple[float, float], now: float) -> None:
    inner, outer = ends
    quarters = [n / 4 for n in range(math.floor(inner * 4) - 1, math.ceil(outer * 4) + 2)]
    held = [turns for turns in quarters if inner <= turns <= outer]
    end = target(window("upper", inner, outer), now, "stay")
    if inner <= now <= outer:
        assert end == now
    elif held:
        assert abs(end - now) <= min(abs(turns - now) for turns in held) + SLACK


@given(WINDOWS, st.floats(0, 1))
def test_a_bolt_that_stands_inside_stays(ends: tuple[float, float], part: float) -> None:
    assert plan_of(ends, ends[0] + part * (ends[1] - ends[0]), "stay") == ()


@given(WINDOWS, NOW)
def test_the_middle_is_met_within_a_quarter(ends: tuple[float, float], now: float) -> None:
    middle = (ends[0] + ends[1]) / 2
    end = target(window("upper", *ends), now, "middle")
    assert abs(end - middle) <= 0.125 + SLACK or end == pytest.approx(middle)


@given(WINDOWS, WINDOWS, NOW, NOW, GOALS)
def test_bolts_take_turns_and_do_not_know_of_each_other(
    upper: tuple[float, float], lower: tuple[float, float], high: float, low: float, goal: str
) -> None:
    both = moves(((window("upper", *upper), high), (window("lower", *lower), low)), goal)
    alone = {
        "upper": moves(((window("upper", *upper), high),), goal),
        "lower": moves(((window("lower", *lower), low),), goal),
    }
    for bolt, plan in alone.items():
        assert tuple(move for move in both if move.bolt == bolt) == plan
    shared = 2 * min(len(plan) for plan in alone.values())
    assert [move.bolt for move in both[:shared]] == ["upper", "lower"] * (shared // 2)


def test_nothing_is_planned_where_no_window_is_left() -> None:
    assert moves(((window("upper", 3, 2), 5),), "middle") == ()
    assert moves(((window("upper", 3, 3), 5),), "middle") == ()


def test_a_plan_worked_by_hand() -> None:
    """From 6 to a window of 0.3 to 4.8: five half turns would pass 4.8 by nothing; 6, 5.5, 5, 4.75."""
    plan = plan_of((0.3, 4.8), 6.0, "stay")
    assert [move.end for move in plan] == [5.5, 5.0, 4.75]
    assert [move.inside for move in plan] == [False, False, True]
    plan = plan_of((0.3, 4.8), -1.0, "stay")
    assert [move.end for move in plan] == [-0.5, 0.0, 0.5]
