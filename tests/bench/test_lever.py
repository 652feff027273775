"""The arm by the tip's travel: lever = 3·p·l/s (model.md section 6, C), and against the exact rock angles (C)."""

from __future__ import annotations

import math
from typing import Any

import mpmath
import pytest

from helpers.asking import answered, numbers, texts, values
from helpers.second_window import MM, Shape, bisected
from quarterturn.bench.counting import ReadingResolution, pitch_of
from quarterturn.bench.lever import arm, lever
from quarterturn.bench.shape import shape_of

PITCH = 25.4 / 24  # mm, 3/8-24
RISE = {"rise": 4.2333333, "rise_turns": 4}
BY_TIP = RISE | {"lever_travel": 26.5, "lever_turns": 3, "tip_length": 555, "head_diameter": 19}


def pitch_in(record: dict[str, Any]) -> Any:
    checked = values(record)
    resolution = ReadingResolution(0.125, 0.05, 1e-4)
    return pitch_of(checked.number("rise"), checked.number("rise_turns"), resolution, measured=True)


def rocked(shape: Shape, turns: float) -> Any:
    """The rock angle where the head stands so many turns out."""
    return bisected(lambda angle: shape.outside(angle)[0] - PITCH * turns, 0, 0.4)


def test_the_worked_numbers() -> None:
    """model.md section 6: 3·1.058·555/26.5 = 66.5 mm, where 67 is true."""
    assert lever(1.058e-3, 3, 0.555, 26.5e-3) == pytest.approx(66.5e-3, abs=0.05e-3)
    assert lever(1.058e-3, 3, 0.555, 26.5e-3) == pytest.approx(67e-3, rel=0.01)
    # ±1 mm in s is ±4 %
    for travel in (25.5e-3, 27.5e-3):
        assert lever(1.058e-3, 3, 0.555, travel) == pytest.approx(66.5e-3, rel=0.041)


@pytest.mark.parametrize("start", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("arm_mm", [35, 60, 100])
@pytest.mark.parametrize("cover", [3.0, 7.0])
def test_against_the_exact_rock_of_a_rigid_limb(start: float, arm_mm: float, cover: float) -> None:
    """The tip travels l·(φ at the end − φ at the start), by a turned rigid shape and bisection in mpmath (C)."""
    shape = Shape(mpmath.mpf(arm_mm), mpmath.mpf(8), mpmath.mpf(cover), mpmath.sqrt(9.5**2 - 5.1**2))
    travel = 555 * float(rocked(shape, start + 3) - rocked(shape, start)) * float(MM)
    found = lever(PITCH * 1e-3, 3, 0.555, travel)
    assert found == pytest.approx((arm_mm + cover) * 1e-3, rel=0.04)
    record = BY_TIP | {"lever_travel": 1e3 * travel, "upper_rim_to_butt": 9.5 - cover}
    shown = shape_of("upper", values(record), pitch_in(record))
    assert shown.arm.by == "by the tip"
    assert shown.pocket.fulcrum_arm == pytest.approx(arm_mm * 1e-3, abs=0.04 * (arm_mm + cover) * 1e-3)


def test_the_cover_is_taken_off_and_no_more_than_the_rim_reaches() -> None:
    """The arm is lever − c0 where c0 < Re (model.md section 6); beyond it the head bears at Re."""
    pitch = pitch_in(BY_TIP)
    by_hand = 3 * PITCH * 555 / 26.5
    reach = math.sqrt(9.5**2 - 5.1**2)
    for cover, off in ((7.0, 7.0), (2.0, 2.0), (9.0, reach), (9.5, reach)):
        found = arm(values(BY_TIP), pitch, cover * 1e-3, reach * 1e-3)
        assert found.by == "by the tip"
        assert 1e3 * found.value == pytest.approx(by_hand - off, abs=1e-4)


def test_what_was_entered_wins_and_nothing_is_assumed_only_where_nothing_is_known() -> None:
    assert known(BY_TIP | {"fulcrum_arm": 71}) == ("entered", 71)
    assert known({}) == ("assumed", 60)
    # Turns and tip length alone tell nothing.
    assert known({"lever_turns": 2, "tip_length": 600}) == ("assumed", 60)
    assert known(BY_TIP | {"fulcrum_arm": "x"})[0] == "by the tip"


def known(record: dict[str, Any]) -> tuple[str, float]:
    """How the arm is known, and its length in mm."""
    found = arm(values(record), pitch_in(BY_TIP), 7e-3, 8e-3)
    return found.by, round(1e3 * found.value, 9)


def test_every_page_uses_the_same_arm() -> None:
    """Flush from outside by explorer, paper and worksheet: alike, and as an entered arm of that length gives it."""
    by_hand = 3 * PITCH * 555 / 26.5 - 7
    for record in (BY_TIP, BY_TIP | {"lever_travel": 33.0}):
        found = {widget: numbers(answered(record, widget))["flush_outside"] for widget in ("pocket", "paper")}
        found["safe-range"] = numbers(answered(record))["upper_flush_reserve"]
        assert max(found.values()) - min(found.values()) < 1e-9
        entered = {"fulcrum_arm": 3 * PITCH * 555 / float(record["lever_travel"]) - 7}
        assert numbers(answered(record | entered, "pocket"))["flush_outside"] == pytest.approx(
            found["pocket"], abs=1e-6
        )
    assert numbers(answered(BY_TIP, "pocket"))["arm"] == pytest.approx(by_hand, abs=1e-3)
    assert texts(answered(BY_TIP, "pocket"))["arm"] == "59.50 mm"
