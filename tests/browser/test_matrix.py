"""Every page in the browser, with bows of several kinds: the state that stands there is the table's (issue 15).

Two pages are shown one bow of each kind, the others a few; the command line looks at all bows on all pages.

The bow comes from another tab, as it does for a reader with two pages open; which day it is, the page's own clock says.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

from helpers.matrix import RECORDS, TODAY, state_of
from helpers.site import Watch, watched_context
from helpers.worksheet import MAIN, PAGE_OF, PATIENCE, Sheet, open_sheet
from quarterturn.record.parsing import from_data
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import State

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from web_server import Server

pytestmark = pytest.mark.browser

STORE = """([key, record, times]) => localStorage.setItem(key, JSON.stringify({ record, times }))"""
BRIEF = [
    "inside",
    "inside, not weighed",
    "past first touch, not weighed",
    "past flush, not weighed",
    "no window",
    "no quarter",
    "log outside",
    "log brought back",
    "log with a typo",
    "alarm",
    "alarm, recounted",
    "a click",
    "other limbs",
    "a crack",
    "long ago",
    "someone else's",
    "exchanged",
    "clamp",
    "unknown bolt",
    "swivel outside",
]
"""One of each kind."""
IN_FULL = {"safe-range", "plan"}
CRACK = "Do not string or shoot a cracked limb."
FEW = ["inside, not weighed", "past first touch, not weighed", "log with a typo", "alarm", "a crack", "inside"]


def test_every_page_of_the_site_is_opened() -> None:
    assert set(PAGE_OF) == set(WIDGETS)


@dataclass(slots=True)
class Tabs:
    """Two tabs of one browser, on the day of the table: a page is open in one, the bow is entered in the other."""

    page: Page
    other: Page
    watch: Watch


@pytest.fixture(scope="module")
def tabs(browser: Browser, server: Server) -> Iterator[Tabs]:
    watch = Watch()
    with watched_context(browser, watch) as context:
        context.clock.set_fixed_time(f"{TODAY}T12:00:00")
        page, other = context.new_page(), context.new_page()
        other.goto(f"{server.address}words/")
        yield Tabs(page, other, watch)


@pytest.mark.parametrize("widget", PAGE_OF)
def test_the_page_shows_the_state_of_the_table(tabs: Tabs, server: Server, widget: str) -> None:
    page = tabs.page
    page.goto("about:blank")
    tabs.other.evaluate("localStorage.clear()")
    open_sheet(page, server, PAGE_OF[widget])
    sheet = Sheet(page, widget)
    key = f"quarter-turn {urlsplit(server.address).path} record"
    names: set[str] = set()
    for count, record in enumerate(BRIEF if widget in IN_FULL else FEW):
        canonical = from_data(RECORDS[record]).record.canonical()
        names |= set(canonical) - {"version"}
        times = dict.fromkeys(names, 1_800_000_000_000 + count)
        heard = answers(page)
        tabs.other.evaluate(STORE, [key, canonical, times])
        page.wait_for_selector(
            f'.qt-page[data-answers]:not([data-answers="{heard}"])', state="attached", timeout=PATIENCE
        )
        sheet.settled()
        refused = page.locator(f'.qt-old:is([data-spot^="{widget}/"], [data-zone^="{widget}/"])').count() > 0
        shown = "refused" if refused else sheet.state()
        assert shown == state_of(record, widget), (record, sheet.places())
        if record == "a crack":
            check_the_stop_is_in_sight(sheet)
    tabs.watch.check()


def check_the_stop_is_in_sight(sheet: Sheet) -> None:
    """The page's verdict comes first, open and in sight; under every headline stands what was found."""
    main = Sheet(sheet.page, MAIN[PAGE_OF[sheet.widget]])
    assert main.state() == State.STOP
    assert main.verdict.is_visible()
    expect(main.verdict).to_contain_text(CRACK)
    expect(sheet.page.locator(f"#{sheet.widget}-findings")).to_contain_text("Cracks")
    assert sheet.headline.is_hidden()


def answers(page: Page) -> str:
    """How many answers have been shown, as the page counts them."""
    return page.locator(".qt-page").get_attribute("data-answers") or "0"


def test_the_brief_list_is_of_the_table() -> None:
    assert set(FEW) <= set(BRIEF) <= set(RECORDS)
    assert json.dumps(RECORDS)
