"""The words of a page under a stop: no number of the bow stands in them, and what to do is said once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, STRUNG
from helpers.worksheet import as_entered, open_own

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

OWN = as_entered(COMPLETE | STRUNG | {"upper_tiller": 183})
NOTE = ".qt-live-note"


def test_nothing_of_a_bow_that_must_not_be_strung_stands_in_the_words(page: Page, server: Server) -> None:
    sheet = open_own(page, server, OWN, "bow/")
    number, words = page.locator('#tiller [data-live="tiller/tiller"]'), page.locator("#tiller")
    turns = page.locator('[data-live="tiller/keep_weight"]')
    expect(number).to_have_text("8.0 mm")  # 183 - 175
    expect(page.locator(NOTE)).to_have_count(0)
    own = turns.inner_text()

    # Seven turns out is past first touch: no number of this bow is foretold but the way back.
    sheet.unfold().enter({"upper_now_turns": 7})
    sheet.settled()
    expect(number).to_have_text("4.0 mm")
    expect(words.locator(NOTE)).to_have_text("These numbers are an example, not your bow.")
    said = page.locator("p, li", has=page.locator('[data-live^="tiller/"]'))
    expect(said.locator(NOTE)).to_have_count(said.count())

    # Without its picture there is nothing to try.
    tries = page.locator(".qt-try-button")
    expect(tries.filter(visible=True)).to_have_count(0)
    expect(page.locator(".qt-try-title:visible")).to_have_count(tries.count())

    # Two calculators say so; the way back stands under the heading, and further down a line leads there.
    expect(page.get_by_role("heading", name="What to do now")).to_have_count(1)
    again = page.locator(".qt-again:visible")
    expect(again).to_have_text("First do what stands at the top of this page.")
    again.get_by_role("link").click()
    expect(page.get_by_role("heading", name="What to do now")).to_be_in_viewport()

    sheet.enter({"upper_now_turns": 2.5})
    sheet.settled()
    expect(number).to_have_text("8.0 mm")
    expect(turns).to_have_text(own)
    expect(again).to_have_count(0)
    expect(tries.filter(visible=True)).to_have_count(tries.count())
    expect(page.locator(NOTE)).to_have_count(0)
