"""The steps at the bench: which are done, which one is open, and how they fold.

What is expected follows from the rules at the head of steps.js, worked out here step by step (C).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import kept

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver

MM = {"typed": "5", "unit": "mm"}


@pytest.fixture
def steps(driver: PageDriver) -> PageDriver:
    """The fixture's page with steps, not yet opened."""
    return replace(driver, name="parts")


def open_steps(driver: PageDriver) -> list[str]:
    found: list[str] = driver.page.evaluate(
        "() => [...document.querySelectorAll('.qt-step')].filter((one) => one.open && !one.hidden)"
        ".map((one) => one.id.slice(5))"
    )
    return found


def done(driver: PageDriver) -> list[str]:
    found: list[str] = driver.page.evaluate(
        "() => [...document.querySelectorAll('.qt-step.qt-done')].map((one) => one.id.slice(5))"
    )
    return found


def numbers(driver: PageDriver) -> dict[str, str]:
    """The number of each step that is shown."""
    found: dict[str, str] = driver.page.evaluate(
        "() => Object.fromEntries([...document.querySelectorAll('.qt-step')].filter((one) => !one.hidden)"
        ".map((one) => [one.id.slice(5), one.querySelector('.qt-step-number').textContent]))"
    )
    return found


def fold(driver: PageDriver, step: str) -> None:
    """Press the line of a step, wherever there is room."""
    driver.find(f"#step-{step} summary").click()


def test_the_first_step_that_is_not_done_is_open(steps: PageDriver) -> None:
    steps.open()
    assert open_steps(steps) == ["far"]
    assert done(steps) == []
    steps.keep(kept(upper_far=MM, lower_far=MM))
    steps.open()
    steps.says("reach none")
    assert done(steps) == ["far"]
    assert open_steps(steps) == ["look"]
    expect(steps.find("#step-far .qt-step-mark")).to_have_text("done")
    expect(steps.find("#step-look .qt-step-mark")).to_have_text("")


def test_a_step_is_done_by_its_readings_or_its_tick_and_the_next_opens(steps: PageDriver) -> None:
    steps.open().type("upper_far", "5")
    assert done(steps) == ["far"]  # the bolt at hand is the upper one
    assert open_steps(steps) == ["far", "look"]
    steps.find("[data-tick]").check()
    assert done(steps) == ["far", "look"]
    assert open_steps(steps)[-1] == "reach"
    steps.find("[data-tick]").uncheck()
    assert done(steps) == ["far"]


def test_of_a_bolts_own_readings_those_of_the_bolt_at_hand_count(steps: PageDriver) -> None:
    steps.open().type("upper_far", "5")
    assert done(steps) == ["far"]
    steps.find("#to-lower").click()
    assert done(steps) == []
    steps.type("lower_far", "6")
    assert done(steps) == ["far"]


def test_a_reading_that_cannot_be_used_does_not_make_a_step_done(steps: PageDriver) -> None:
    steps.open()
    fold(steps, "reach")
    steps.type("reach", "wide")
    expect(steps.find("#field-reach .qt-error")).to_have_text("Reach: type a number.")
    expect(steps.find("#step-reach")).not_to_have_class("qt-step qt-done")
    steps.type("reach", "8")
    expect(steps.find("#step-reach")).to_have_class("qt-step qt-done")


def test_a_step_for_another_kind_is_neither_counted_nor_waited_for(steps: PageDriver) -> None:
    steps.open()
    assert numbers(steps) == {"far": "1", "look": "2", "reach": "3", "end": "4"}
    steps.choose("other")
    assert numbers(steps) == {"far": "1", "look": "2", "detail": "3", "reach": "4", "end": "5"}
    steps.type("upper_far", "5")
    steps.find("[data-tick]").check()
    assert open_steps(steps)[-1] == "detail"
    steps.choose("one")
    assert open_steps(steps)[-1] == "reach"


def test_a_tick_is_not_waited_for_where_a_later_step_has_its_readings(steps: PageDriver) -> None:
    steps.keep(kept(upper_far=MM, lower_far=MM, reach=MM))
    steps.open()
    steps.says("reach 5 mm")
    assert done(steps) == ["far", "reach"]
    assert open_steps(steps) == ["end"]


def test_a_step_that_is_done_folds_when_the_reader_goes_on_and_the_box_stays_where_it_is(steps: PageDriver) -> None:
    steps.open().type("upper_far", "5")
    steps.find("#step-end").evaluate("one => { one.open = true; }")
    assert open_steps(steps) == ["far", "look", "end"]
    box = steps.find("#f-count")
    # So far down that there is something to scroll by when what is above folds.
    box.evaluate("one => scrollBy(0, one.getBoundingClientRect().top - 200)")
    before = box.evaluate("one => one.getBoundingClientRect().top")
    box.evaluate("one => one.focus({ preventScroll: true })")
    # The second has no tick yet, and stays.
    assert open_steps(steps) == ["look", "end"]
    # The browser itself may move the page too, in its next frame.
    steps.page.evaluate("() => new Promise((on) => requestAnimationFrame(() => requestAnimationFrame(on)))")
    assert box.evaluate("one => one.getBoundingClientRect().top") == pytest.approx(before, abs=1)
    # What the reader opens again stays open while they are in it.
    fold(steps, "far")
    steps.find("#f-upper_far").press("End")
    steps.page.keyboard.type("1")
    assert open_steps(steps) == ["far", "look", "end"]
    # On to the line of a later one, and it folds again.
    fold(steps, "reach")
    assert open_steps(steps) == ["look", "reach", "end"]


def test_all_steps_at_once(steps: PageDriver) -> None:
    steps.open()
    steps.act("all-steps")
    assert open_steps(steps) == ["far", "look", "reach", "end"]
    steps.act("all-steps")
    assert open_steps(steps) == []


def test_a_clear_makes_no_step_done(steps: PageDriver) -> None:
    steps.open().type("upper_far", "5")
    steps.act("clear")
    assert done(steps) == []
    expect(steps.find("#step-far .qt-step-mark")).to_have_text("")
