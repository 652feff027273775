"""The whole way on a phone, from the start through inspection and reading to the verdict; and a stop that overrides.

What each page must show is written down here; the numbers are those of `python -m quarterturn` (checked elsewhere) and
of the published worked case (sources.md F: 0.42, 0.33 and 0.09 turn).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, GATE
from helpers.worksheet import PATIENCE, Sheet
from quarterturn.bench.progress import CHECKS

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
CHOSEN = ["read"] * 7
"""The pages on the bow, the plan and what is kept: nobody's duty."""
OPTION = {"check_manual": "read", "check_string_off": "off", "check_lock": "loose"}


def marks(page: Page) -> list[str]:
    """What the way on the first page says of each of its stages."""
    return [str(one.get_attribute("data-mark")) for one in page.locator("#start-way-list > li").all()]


def follow(page: Page, name: str, path: str) -> Sheet:
    """Follow a link by its words, and wait until the calculator of the page it leads to runs."""
    page.get_by_role("link", name=name).first.click()
    page.wait_for_url(re.compile(path))
    return Sheet(page).settled()


def shown(page: Page, live: str) -> str:
    """A number in the page's words."""
    return page.locator(f'[data-live="{live}"]').first.inner_text()


@pytest.mark.offline
def test_from_the_start_to_the_verdict_on_a_phone(page: Page, server: Server) -> None:
    page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
    page.goto(server.address)
    start = Sheet(page).settled()
    assert marks(page) == ["next", "open", "read", "read", "read", "open", *CHOSEN]
    start.choose("bolt_family", "flat")
    expect(page.locator("#start-way-0")).to_have_attribute("data-mark", "done")
    assert marks(page) == ["done", "next", "read", "read", "read", "open", *CHOSEN]

    # The inspection: what was chosen is known, nothing else is taken as in order.
    before = follow(page, "Look the bow over", "/before/$")
    expect(before.choice("bolt_family", "flat")).to_be_checked()
    assert before.state() == "open"
    before.enter({name: OPTION.get(name, "fine") for name in CHECKS})
    expect(before.verdict).to_have_attribute("data-state", "go")
    expect(before.verdict).to_contain_text("does not test strength")

    # The explorer: the reader's number stands in the sentence, the values and the words at once.
    pocket = follow(page, "See how the pocket works", "/pocket/$")
    hand = page.locator("#pocket-side-hand")
    hand.focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#v-pocket-turns-figure")).to_have_text("1.95 turns")
    expect(pocket.verdict).to_contain_text("2.0 turns out")
    expect(hand).to_be_focused()
    page.get_by_role("link", name="Go half a turn past flush").click()
    expect(pocket.verdict).to_contain_text("Half a turn past flush: only the rim touches")
    expect(pocket.box("turns_shown")).to_have_value("-0.5")
    assert shown(page, "pocket/flush_outside") == "0.42 turn"
    pocket.choose("strip_shown", "card")
    expect(page.locator('[data-live="pocket/flush_outside"]').first).not_to_have_text("0.42 turn")
    assert shown(page, "pocket/flush_outside") == page.locator("#v-pocket-flush_outside-figure").inner_text()

    # What the bolt carries: half as heavy a bow, half the force, and the ratio stays.
    load = follow(page, "See what the bolt carries", "/load/$")
    assert shown(page, "loads/rim_over_out_force") == "1.29 times"
    load.box("draw_weight").fill("19")
    expect(page.locator('[data-live="loads/rim_force"]').first).to_have_text("883 N")
    assert shown(page, "loads/rim_over_out_force") == "1.29 times"
    page.get_by_role("link", name="A quarter of a turn in").click()
    expect(page.locator("#v-loads-force-figure")).to_have_text("883 N")
    expect(page.locator("#loads-side-box figcaption")).to_contain_text("the rim presses on the bolt with 883 N")

    paper = follow(page, "What paper can and cannot tell", "/paper/$")
    assert shown(page, "paper/flush_inside") == "0.33 turn"
    paper.box("strip_thickness").fill("0.05")
    expect(page.locator('[data-live="paper/touch_outside"]')).to_have_text("0.05 turn")
    paper.box("strip_thickness").fill("0.1")
    expect(page.locator('[data-live="paper/touch_outside"]')).to_have_text("0.09 turn")

    # The worksheet: the short list need not be answered again.
    sheet = follow(page, "Find the safe range at the bench", "/safe-range/")
    sheet.enter({name: value for name, value in COMPLETE.items() if name not in (*GATE, "version", "bolt_family")})
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    expect(sheet.verdict).to_contain_text("does not test strength")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    page.goto(server.address)
    Sheet(page).settled()
    expect(page.locator("#start-way-5")).to_have_attribute("data-mark", "done")
    assert marks(page) == ["done", "done", "read", "read", "read", "done", *CHOSEN]
    expect(page.locator("#start-title")).to_have_text("Your bow: both bolts are inside their safe range")


PAGES = {
    "inspection": "before/",
    "start": "",
    "pocket": "pocket/",
    "loads": "load/",
    "paper": "paper/",
    "safe-range": "safe-range/",
    "draw-weight": "draw-weight/",
    "tiller": "tiller/",
    "plan": "plan/",
    "carry-out": "carry-out/",
    "card": "card/",
    "log": "log/",
    "after": "after/",
}


def test_a_stop_of_the_inspection_overrides_every_page(page: Page, server: Server) -> None:
    """One answer, entered on the inspection's page, decides all others; taken back, it decides nothing."""
    page.goto(f"{server.address}safe-range/")
    sheet = Sheet(page).settled()
    sheet.enter(COMPLETE)
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    page.goto(f"{server.address}before/")
    Sheet(page).settled().choose("slot_root", "fault")
    expect(page.locator("#inspection-verdict")).to_have_attribute("data-state", "stop")
    for widget, path in PAGES.items():
        if not page.url.endswith(path) or not path:
            page.goto(server.address + path)
        Sheet(page).settled()
        verdict = page.locator(f"#{widget}-verdict")
        expect(verdict).to_have_attribute("data-state", "stop", timeout=PATIENCE)
        expect(verdict).to_contain_text("a crack at the root of the slot grows.")
        expect(page.locator(f"#{widget}-findings")).to_contain_text("The root of the slot")
    # The worksheet gives no number at all.
    page.goto(f"{server.address}safe-range/")
    Sheet(page).settled()
    expect(page.locator("#safe-range-verdict")).to_have_attribute("data-state", "stop", timeout=PATIENCE)
    assert page.locator(".qt-answer [data-name]").count() == 0
    page.goto(f"{server.address}before/")
    Sheet(page).settled().choose("slot_root", "fine")
    expect(page.locator("#inspection-verdict")).to_have_attribute("data-state", "open")
    page.goto(f"{server.address}safe-range/")
    expect(Sheet(page).settled().verdict).to_have_attribute("data-state", "go")
