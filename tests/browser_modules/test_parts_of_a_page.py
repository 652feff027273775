"""Two calculators on one page: one form, one record, one worker; each piece of an answer at its own place."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver

SPOTS = """
<div class="qt-lead"><p class="lead">The lead</p>
<div class="qt-headline qt-spot" data-spot="fake/headline" hidden></div>
<details class="qt-sure"><summary>How sure?</summary><div class="qt-spot" data-spot="fake/verdict"></div></details>
<div class="qt-top" data-zone="fake/top"></div></div>
<div class="qt-spot" data-spot="fake/chart"><p>as built</p></div>
<div class="qt-spot" data-spot="second/line"><p>as built</p></div>
<details class="qt-when" data-states="fake:explain" open><summary><h2>When</h2></summary><p>so</p></details>
"""


@pytest.fixture
def parts(driver: PageDriver) -> PageDriver:
    """The fixture's page, with places for pieces and a second calculator that shows a line only."""
    page = driver.server.site.folder / "pages" / "page.html"
    html = page.read_text(encoding="utf-8")
    html = html.replace('data-calculators="fake"', 'data-calculators="fake second:line"')
    html = html.replace('<form class="qt-form"', f'{SPOTS}<form class="qt-form"', 1)
    driver.server.site.replaced["pages/page.html"] = html.encode()
    return driver


def test_each_piece_has_its_place(parts: PageDriver) -> None:
    parts.open().type("name", "parts told")
    expect(parts.find(".qt-headline")).to_have_text("fake headline told")
    expect(parts.find("[data-spot='fake/chart']")).to_have_text("chart told")
    # A piece without a place of its own is with the rest; one that only a page places is nowhere else.
    expect(parts.find("#answer-fake")).to_have_text("table 🏹")
    # Of the second calculator the page shows a line, and asks for no more than that.
    expect(parts.find("[data-spot='second/line']")).to_have_text("line told")
    asked = {ask["widget"]: ask["blocks"] for ask in parts.asks()}
    assert asked == {"fake": None, "second": ["line"]}
    assert len(parts.page.workers) == 1
    assert parts.find("#fake-line, #second-table, #second-chart").count() == 0
    # What an answer no longer has is not left standing.
    parts.type("name", "parts")
    expect(parts.find("[data-spot='second/line']")).to_be_hidden()
    parts.type("name", "parts warn")
    expect(parts.find(".qt-top")).to_have_text("a warning")
    parts.type("name", "parts told")
    expect(parts.find(".qt-top")).to_have_text("")


def test_words_follow_the_state_of_the_answer(parts: PageDriver) -> None:
    when, lead = parts.find(".qt-when"), parts.find(".qt-lead")
    parts.open()
    expect(when).not_to_have_attribute("open", "")
    parts.type("name", "parts told")
    expect(when).to_have_attribute("open", "")
    expect(lead).to_have_class("qt-lead qt-own")
    parts.type("name", "parts")
    expect(when).not_to_have_attribute("open", "")


def test_a_verdict_that_must_be_read_first_is_open(parts: PageDriver) -> None:
    lead, verdict = parts.find(".qt-lead"), parts.find(".qt-sure")
    parts.open().type("name", "parts told")
    expect(lead).to_have_class("qt-lead qt-own")
    expect(verdict).not_to_have_attribute("open", "")
    # Without a headline the verdict takes its place.
    parts.type("name", "parts stop")
    expect(lead).to_have_class("qt-lead qt-own qt-verdict-first")
    expect(verdict).to_have_attribute("open", "")
    # A reader who has closed it is left alone while nothing changes.
    verdict.evaluate("one => { one.open = false; }")
    answers = int(parts.find(".qt-page").get_attribute("data-answers") or 0)
    parts.type("count", "2")
    parts.page.wait_for_function(
        "before => Number(document.querySelector('.qt-page').dataset.answers) > before + 1", arg=answers
    )
    expect(verdict).not_to_have_attribute("open", "")
    parts.type("name", "parts told")
    expect(lead).to_have_class("qt-lead qt-own")
    parts.type("name", "parts stop")
    expect(verdict).to_have_attribute("open", "")
    parts.type("name", "parts told")
    expect(verdict).not_to_have_attribute("open", "")


def test_an_old_answer_is_marked_at_every_place(parts: PageDriver) -> None:
    parts.open().type("name", "parts told")
    expect(parts.find("[data-spot='second/line']")).to_have_text("line told")
    parts.type("reach", "wide")
    parts.type("name", "other")
    for place in ("[data-spot='fake/chart']", "#answer-fake", ".qt-headline", "[data-spot='second/line']"):
        expect(parts.find(place)).to_have_class(re.compile("qt-old"))
    expect(parts.find(".qt-summary li")).to_have_text("Reach: type a number.")
    parts.find(".qt-summary a").click()
    expect(parts.find("#f-reach")).to_be_focused()
    parts.type("reach", "8")
    parts.type("name", "parts told")
    expect(parts.find(".qt-old")).to_have_count(0)
