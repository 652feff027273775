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
from helpers.worksheet import MAIN, PATIENCE, Sheet, open_own, open_sheet
from quarterturn.bench.progress import CHECKS

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
PARTS = ("learn", "measure", "set", "keep")
"""The parts of the way on the first page."""
LEARN, CHOSEN = ["read"] * 4, ["read"] * 4
"""The pages to read, and those on the bow, the plan and what is kept: nobody's duty."""
OPTION = {"check_manual": "read", "check_string_off": "off", "check_lock": "loose"}


def marks(page: Page) -> list[str]:
    """What the way on the first page says of each of its stages."""
    stages = [one for part in PARTS for one in page.locator(f"#start-{part}-list > li").all()]
    return [str(one.get_attribute("data-mark")) for one in stages]


def follow(page: Page, name: str, path: str) -> Sheet:
    """Follow a link by its words, and wait until the calculator of the page it leads to runs."""
    page.locator(".md-content").get_by_role("link", name=name).first.click()
    page.wait_for_url(re.compile(f"/{path}$"))
    return Sheet(page, MAIN[path]).settled()


def shown(page: Page, live: str) -> str:
    """A number in the page's words."""
    return page.locator(f'[data-live="{live}"]').first.inner_text()


@pytest.mark.offline
def test_from_the_start_to_the_verdict_on_a_phone(page: Page, server: Server) -> None:
    page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
    start = open_sheet(page, server, "")
    assert marks(page) == [*LEARN, "next", "open", "open", *CHOSEN]
    start.choose("bolt_family", "flat")
    expect(page.locator("#start-measure-0")).to_have_attribute("data-mark", "done")
    assert marks(page) == [*LEARN, "done", "next", "open", *CHOSEN]

    # The explorer: the reader's number stands in the strip, the values and the words at once.
    pocket = follow(page, "How the pocket works", "pocket/")
    hand = page.locator("#pocket-side-hand")
    hand.focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#v-pocket-turns-figure")).to_have_text("1.95 turns")
    expect(pocket.spot("line")).to_contain_text("2.0 turns out")
    expect(hand).to_be_focused()
    page.get_by_role("button", name="Go half a turn past flush").click()
    expect(pocket.verdict).to_contain_text("Half a turn past flush: only the rim touches")
    expect(pocket.spot("line")).to_contain_text("Half a turn past flush")
    expect(pocket.box("turns_shown")).to_have_value("-0.5")
    assert shown(page, "pocket/flush_outside") == "0.42 turn"
    assert shown(page, "paper/flush_inside") == "0.33 turn"
    pocket.unfold().choose("strip_shown", "card")
    expect(page.locator('[data-live="pocket/flush_outside"]').first).not_to_have_text("0.42 turn")
    assert shown(page, "pocket/flush_outside") == page.locator("#v-pocket-flush_outside-figure").text_content()
    pocket.box("strip_thickness").fill("0.05")
    expect(page.locator('[data-live="paper/touch_outside"]')).to_have_text("0.05 turn")
    pocket.box("strip_thickness").fill("0.1")
    expect(page.locator('[data-live="paper/touch_outside"]')).to_have_text("0.09 turn")

    # What the bolt carries: half as heavy a bow, half the force, and the ratio stays.
    load = follow(page, "What the bolt carries", "load/")
    assert shown(page, "loads/rim_over_out_force") == "1.29 times"
    load.unfold().box("draw_weight").fill("19")
    expect(page.locator('[data-live="loads/rim_force"]').first).to_have_text("883 N")
    assert shown(page, "loads/rim_over_out_force") == "1.29 times"
    page.get_by_role("button", name="A quarter turn past flush").click()
    expect(page.locator("#v-loads-force-figure")).to_have_text("883 N")
    expect(page.locator("#loads-side-box figcaption")).to_contain_text("the rim presses on the bolt with 883 N")

    # The inspection: what was chosen is known, nothing else is taken as in order.
    before = follow(page, "Look it over", "before/")
    expect(before.choice("bolt_family", "flat")).to_be_checked()
    assert before.state() == "open"
    before.enter({name: OPTION.get(name, "fine") for name in CHECKS})
    expect(before.verdict).to_have_attribute("data-state", "go")
    expect(before.headline).to_be_visible()
    expect(before.verdict).to_contain_text("does not test strength")

    # The worksheet: the short list need not be answered again.
    sheet = follow(page, "Find the safe range", "safe-range/")
    sheet.enter_both({name: value for name, value in COMPLETE.items() if name not in (*GATE, "version", "bolt_family")})
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    expect(sheet.headline).to_contain_text("does not test strength")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    start = open_sheet(page, server, "")
    expect(page.locator("#start-measure-2")).to_have_attribute("data-mark", "done")
    assert marks(page)[:7] == [*LEARN, "done", "done", "done"]
    expect(start.headline).to_contain_text("Your bow: both bolts are inside their safe range")
    expect(start.headline).to_contain_text("does not test strength")


def test_a_stop_of_the_inspection_overrides_the_worksheet(page: Page, server: Server) -> None:
    """One answer, entered on the inspection's page, decides; taken back, it decides nothing (test_matrix.py: all)."""
    sheet = open_own(page, server, COMPLETE)
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    before = open_sheet(page, server, "before/").unfold()
    before.choose("slot_root", "fault")
    expect(before.verdict).to_have_attribute("data-state", "stop")
    # The worksheet gives no number at all.
    sheet = open_sheet(page, server)
    expect(sheet.verdict).to_have_attribute("data-state", "stop", timeout=PATIENCE)
    assert sheet.values() == {}
    before = open_sheet(page, server, "before/").unfold()
    before.choose("slot_root", "fine")
    expect(before.verdict).to_have_attribute("data-state", "open")
    expect(open_sheet(page, server).verdict).to_have_attribute("data-state", "go")
