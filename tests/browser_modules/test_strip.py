"""A section's picture, once it has been scrolled past, stands as a strip that opens it again."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver

PASSED, OPEN = re.compile(r"\bqt-passed\b"), re.compile(r"\bqt-open\b")


@pytest.fixture
def section(driver: PageDriver) -> PageDriver:
    """The fixture's page with a picture beside long words, opened at its top."""
    page = replace(driver, name="parts").open()
    page.calc("ready")
    return page


def past(driver: PageDriver) -> None:
    """Scroll on in the words, until the picture is out of sight."""
    driver.page.evaluate("scrollTo(0, 1500)")
    expect(driver.find("#beside")).to_have_class(PASSED)


def test_the_strip_stands_once_the_picture_has_been_passed(section: PageDriver) -> None:
    expect(section.find("#beside")).not_to_have_class(PASSED)
    past(section)
    section.page.evaluate("scrollTo(0, 0)")
    expect(section.find("#beside")).not_to_have_class(PASSED)


def test_a_picture_further_down_has_not_been_passed(section: PageDriver) -> None:
    section.page.evaluate(
        "() => { const far = document.createElementNS('http://www.w3.org/2000/svg', 'svg'); "
        "far.setAttribute('height', '4000'); document.getElementById('top').append(far); "
        "window.heard = 0; new IntersectionObserver(() => { window.heard += 1; })"
        ".observe(document.querySelector('.qt-pane-place')); }"
    )
    section.page.wait_for_function("() => window.heard > 0")
    expect(section.find(".qt-pane-place")).not_to_be_in_viewport()
    expect(section.find("#beside")).not_to_have_class(PASSED)


def test_the_strip_opens_the_picture_and_closes_it(section: PageDriver) -> None:
    past(section)
    strip, beside = section.find(".qt-strip-button"), section.find("#beside")
    place = section.find(".qt-pane-place")
    height = place.evaluate("one => one.offsetHeight")
    strip.evaluate("one => one.click()")
    expect(beside).to_have_class(OPEN)
    expect(strip).to_have_attribute("aria-expanded", "true")
    # What stands below does not move up while the picture lies over the page.
    assert place.evaluate("one => one.style.minHeight") == f"{height}px"
    strip.evaluate("one => one.click()")
    expect(beside).not_to_have_class(OPEN)
    expect(strip).to_have_attribute("aria-expanded", "false")
    assert place.evaluate("one => one.style.minHeight") == ""


def test_escape_closes_it_and_the_focus_is_not_lost(section: PageDriver) -> None:
    past(section)
    strip, beside = section.find(".qt-strip-button"), section.find("#beside")
    for inside, focused in (("#in-pane", ".qt-strip-button"), ("#in-words", "#in-words")):
        strip.evaluate("one => one.click()")
        expect(beside).to_have_class(OPEN)
        section.find(inside).evaluate("one => one.focus({ preventScroll: true })")
        section.page.keyboard.press("Escape")
        expect(beside).not_to_have_class(OPEN)
        expect(section.find(focused)).to_be_focused()


def test_back_at_the_picture_it_is_closed(section: PageDriver) -> None:
    past(section)
    section.find(".qt-strip-button").evaluate("one => one.click()")
    expect(section.find("#beside")).to_have_class(OPEN)
    section.page.evaluate("scrollTo(0, 0)")
    expect(section.find("#beside")).not_to_have_class(OPEN)
    expect(section.find(".qt-strip-button")).to_have_attribute("aria-expanded", "false")
