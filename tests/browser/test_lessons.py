"""The lessons in the browser: nothing is shown before the prediction, and the number is read from the picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.profiles import watched_page
from helpers.taps import Finger
from helpers.worksheet import Sheet, kept_record, open_sheet
from quarterturn.widgets.lesson_content import LESSONS

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser


def test_a_lesson_by_a_finger(browser: Browser, server: Server, watch: Watch) -> None:
    """Predict, see it move, read the number, be told of a slip, put it right: the third lesson."""
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        open_sheet(page, server, "lessons/")
        hand = Finger(page)
        button = page.get_by_role("button", name="Come in to where paper stops")
        box, told = page.locator("#f-lesson_paper_number"), page.locator("#lessons-tell-paper")
        expect(button).to_be_hidden()
        expect(box).to_be_hidden()
        hand.choose("lesson_paper", "at")
        expect(page.locator("#lessons-why-paper")).to_contain_text("No: before flush.")
        expect(button).to_be_visible()
        button.tap()
        expect(page.locator("#pocket-side-figure")).to_contain_text("1.00 turn out from flush")
        hand.fill("lesson_paper_number", "0,33")
        expect(told).to_have_text("That is how late it stops from inside. Come in from outside.")
        hand.fill("lesson_paper_number", "0.42")
        expect(told).to_have_text("Right: 0.42 turn.")
        assert page.evaluate("document.documentElement.scrollWidth") == 390
        page.reload()
        Sheet(page).settled()
        expect(told).to_have_text("Right: 0.42 turn.")


def test_all_eight_and_the_bow_stays_as_it_is(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "lessons/")
    for lesson in LESSONS:
        page.locator(f"#field-{lesson.question} input").first.check()
    expect(page.locator("[data-spot='lessons/headline']")).to_contain_text("8 of 8 predictions made")
    sheet.settled()
    assert {name for name in kept_record(page) if not name.startswith("lesson_")} == {"version"}
    page.goto(server.address)
    Sheet(page).settled()
    expect(page.locator("h1")).to_be_visible()
    assert page.locator("[data-spot='start/headline']").inner_text() == ""
