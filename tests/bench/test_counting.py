"""Counting by head heights, the second way (model.md section 2): against the sensitivities that mpmath derives (C).

The pitch of the example, 4.23 mm over 4 turns, is model.md section 6.
"""

from __future__ import annotations

import math

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from helpers.asking import COMPLETE, answered, changed, numbers, readings, refused
from quarterturn.bench import counting
from quarterturn.bench.counting import ReadingResolution

CARE = ReadingResolution(smallest_turn=0.125, play=0.05, caliper_step=1e-4)
PITCH = counting.pitch_of(4.23e-3, 4, CARE, measured=True)


def test_pitch_of_the_model() -> None:
    assert round(PITCH.value * 1e3, 3) == 1.058  # 4.2333/4 as printed there


@given(st.floats(0.5e-3, 2.5e-3), st.floats(1, 10))
def test_pitch_is_rise_over_turns(pitch: float, turns: float) -> None:
    found = counting.pitch_of(pitch * turns, turns, CARE, measured=True)
    assert found.value == pytest.approx(pitch, rel=1e-9)


@pytest.mark.parametrize(("rise", "turns"), [(1e-3, 4), (4e-3, 1), (30e-3, 1), (0.3e-3, 10)])
def test_a_pitch_that_no_bolt_has_is_refused(rise: float, turns: float) -> None:
    with pytest.raises(ValueError, match=r"0\.5 to 2\.5 mm"):
        counting.pitch_of(rise, turns, CARE, measured=True)


def test_the_difference_of_two_heights_is_uncertain_as_scipy_says() -> None:
    step = CARE.caliper_step
    one = stats.uniform(-step / 2, step).var()
    assert CARE.height() == pytest.approx(math.sqrt(2 * one), rel=1e-12)


@given(st.floats(0, 0.02), st.floats(-0.01, 0.02))
def test_turns_by_height_and_their_uncertainty(start: float, rise: float) -> None:
    count = counting.by_height(start, start + rise, PITCH, CARE)
    assert count.turns == pytest.approx(rise / PITCH.value, rel=1e-9, abs=1e-9)
    by_rise = float(mpmath.diff(lambda x: x / mpmath.mpf(PITCH.value), rise))
    by_pitch = float(mpmath.diff(lambda p: mpmath.mpf(rise) / p, PITCH.value))
    play = CARE.play / 2 / math.sqrt(3)
    uncertainty = math.sqrt((by_rise * CARE.height()) ** 2 + (by_pitch * PITCH.uncertainty) ** 2 + play**2)
    assert count.budget.combined == pytest.approx(uncertainty, rel=1e-6)


@given(st.floats(0, 10), st.floats(-2, 2))
def test_counts_disagree_beyond_three_standard_uncertainties(turns: float, shift: float) -> None:
    key = counting.by_key(turns + shift, CARE)
    height = counting.by_height(0.005, 0.005 + turns * PITCH.value, PITCH, CARE)
    comparison = counting.compare(key, height)
    together = math.sqrt(key.budget.combined**2 + height.budget.combined**2)
    assert comparison.difference == pytest.approx(shift, abs=1e-9)
    assert comparison.explained == pytest.approx(3 * together, rel=1e-12)
    if abs(abs(shift) - 3 * together) > 1e-9:
        assert comparison.agree is (abs(shift) < 3 * together)


HEIGHTS = {"upper_height_zero": 6, "upper_height_touch": round(6 + 5.25 * 1.0575, 3), "rise": 4.23}


def test_a_count_and_its_height_that_agree_are_held_against_each_other() -> None:
    answer = answered(COMPLETE | HEIGHTS)
    assert answer.state == "go"
    assert numbers(answer)["upper_touch_difference"] == pytest.approx(0, abs=1e-3)
    assert numbers(answer)["upper_outer"] == numbers(answered(COMPLETE | {"rise": 4.23}))["upper_outer"]


@pytest.mark.parametrize("lost", [-1, -0.5, 0.5, 1])
def test_a_lost_half_turn_is_found(lost: float) -> None:
    sentence = refused(COMPLETE | HEIGHTS | {"upper_touch_turns": 5.25 + lost})["upper_touch_turns"]
    assert f"{abs(lost):.2f} turns" in sentence
    assert "Count and measure again" in sentence


def test_an_assumed_pitch_is_named_where_the_counts_disagree() -> None:
    record = changed(COMPLETE | HEIGHTS | {"upper_touch_turns": 4}, rise=None)
    assert "pitch is assumed" in refused(record)["upper_touch_turns"]


def test_heights_alone_stand_for_the_count() -> None:
    record = changed(COMPLETE | HEIGHTS, upper_touch_turns=None)
    assert answered(record).state == "go"
    touch = readings(record).bolts[0].touch
    assert touch is not None
    assert touch.by == "heights"
    assert touch.turns == pytest.approx(5.25, abs=1e-3)


def test_heights_with_an_assumed_pitch_are_no_reading() -> None:
    """A default never passes for a reading (DEVELOPERS.md, *Rules*): without the rise, the turns are the example's."""
    answer = answered(changed(COMPLETE | HEIGHTS, upper_touch_turns=None, rise=None))
    assert answer.state == "example"
