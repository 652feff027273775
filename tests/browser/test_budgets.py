"""How long the eleven pages are and how far it is through them: lengths, words, pictures, boxes, taps.

The numbers are the site's own design (docs/decisions/0023-parts-in-the-words.md), measured with the wide fallback
font of a machine without the theme's usual ones, for which lengths get 5 in 100 more. The two ways are gone by a finger
on a narrow page, each tap and each box counted.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.budgets import letters, measure
from helpers.matrix import OWN
from helpers.profiles import watched_page
from helpers.taps import Finger
from helpers.worksheet import Sheet, open_own
from quarterturn.record.fields.builders import TURNED
from quarterturn.record.fields.inspection_items import ITEMS

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, ViewportSize

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

PHONE, DESKTOP = (390, 844), (1280, 800)
FALLBACK_FONTS = 1.05
BUDGETS = {
    "": (4800, 3000, 450, 2),
    "pocket/": (7500, 4800, 900, 6),
    "load/": (6000, 4200, 700, 2),
    "before/": (5000, 5500, 400, 7),
    "safe-range/": (10500, 7000, 1150, 15),
    "bow/": (9000, 5800, 1200, 8),
    "set/": (7000, 4800, 950, 4),
    "after/": (7000, 4800, 800, 5),
    "keep/": (7000, 4800, 650, 6),
    "practice/": (4200, 3200, 200, 9),
    "lessons/": (5000, 3600, 150, 9),
    "rack/": (4800, 3600, 300, 6),
}
"""px at 390 and at 1280, words open at first, boxes and questions open at first."""
WITHOUT_A_PICTURE = {"before/": "its pictures are those of its questions", "rack/": "it is a table"}


WIDTHS = (390, 1000, 1280)
SMALLEST, LARGEST = 13.0, 18.0
"""px: words in pictures are about as large as the page's own, which are 16.4 px."""
OF_ITS_OWN_SIZE = "card-sheet"
"""The card is shown as it is printed."""


@pytest.mark.parametrize("path", BUDGETS)
def test_a_page_keeps_to_its_length_and_its_pictures_to_the_size_of_its_words(
    page: Page, server: Server, path: str
) -> None:
    *heights, words, boxes = BUDGETS[path]
    for (width, height), most in zip((PHONE, DESKTOP), heights, strict=True):
        page.set_viewport_size({"width": width, "height": height})
        page.goto(server.address + path)
        Sheet(page).settled()
        found = measure(page)
        assert found.height <= FALLBACK_FONTS * most, width
        assert found.words <= words
        assert found.boxes <= boxes
        assert found.wide <= width
        if path in WITHOUT_A_PICTURE:
            continue
        if width == PHONE[0]:
            assert found.top <= FALLBACK_FONTS * 345
            assert found.top + 0.6 * found.tall <= height
        else:
            assert found.top + found.tall <= height
    check_words_in_pictures(page, path)


def check_words_in_pictures(page: Page, path: str) -> None:
    """At every width they are about as large as the words of the page."""
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 844})
        found = letters(page)
        wrong = {
            f"{key} at {width} px": (min(sizes), max(sizes))
            for key, sizes in found.items()
            if not key.startswith(OF_ITS_OWN_SIZE) and not SMALLEST - 0.05 < min(sizes) <= max(sizes) < LARGEST
        }
        assert wrong == {}
        assert found or path in ("", "rack/")


SHORT = ("check_limbs", "check_butt", "check_bolt", "check_match")


def test_the_way_to_ones_own_verdict_is_short(finger: Finger, server: Server) -> None:
    """First thing said: 1 tap. One bolt by the short list: 4 boxes; both: 3 boxes more."""
    hand, page = finger, finger.page
    hand.tap('label:has(input[name=bolt_family][value="flat"])')
    expect(page.locator("#start-tell-bolt")).to_contain_text("look it over")
    assert hand.taps == 1

    page.goto(f"{server.address}before/")
    Sheet(page).settled()
    for name, value in (("check_manual", "read"), ("check_string_off", "off"), ("check_lock", "loose")):
        hand.choose(name, value)
    for name in SHORT:
        hand.choose(name, "fine")

    page.goto(f"{server.address}safe-range/")
    Sheet(page).settled()
    hand.fill("head_diameter", "19")
    hand.choose("flush_way", "outside")
    hand.fill("upper_now_turns", "2.5")
    expect(page.locator("#safe-range-upper-tell-now")).to_have_count(0)
    hand.choose("upper_now_side", "out")
    expect(page.locator("#safe-range-upper-tell-now")).to_have_text("It was 2½ turns out from zero.")
    hand.fill("upper_touch_turns", "5.25")
    hand.fill("upper_rim_to_butt", "2.5")
    verdict = page.locator("#safe-range-upper-verdict")
    expect(verdict).to_contain_text("Use ½ to 4¾ turns out; it is at 2½: inside")
    expect(verdict).to_contain_text("Do not string the bow before the other bolt is done")
    assert hand.boxes == 4
    assert hand.taps <= 13

    before = hand.taps
    hand.choose("limb_shown", "lower")
    hand.fill("lower_now_turns", "2")
    hand.choose("lower_now_side", "out")
    hand.fill("lower_touch_turns", "5")
    hand.fill("lower_rim_to_butt", "2.5")
    told = "Lower bolt: use ½ to 4½ turns out; it is at 2: inside."
    expect(page.locator("#safe-range-headline")).to_contain_text(told)
    assert hand.boxes == 7
    assert hand.taps - before <= 2


def test_the_full_list_is_a_tap_an_item(finger: Finger, server: Server) -> None:
    """26 taps at most from the first page to one bolt's verdict, where all is looked at."""
    hand, page = finger, finger.page
    hand.tap('label:has(input[name=bolt_family][value="flat"])')
    page.goto(f"{server.address}before/")
    Sheet(page).settled()
    for name, value in (("check_manual", "read"), ("check_string_off", "off"), ("check_lock", "loose")):
        hand.choose(name, value)
    for item in ITEMS:
        if item.when in ((), TURNED):
            hand.choose(item.name, "fine")
    page.goto(f"{server.address}safe-range/")
    Sheet(page).settled()
    hand.fill("head_diameter", "19")
    hand.choose("flush_way", "outside")
    hand.fill("upper_now_turns", "2.5")
    hand.choose("upper_now_side", "out")
    hand.fill("upper_touch_turns", "5.25")
    hand.fill("upper_rim_to_butt", "2.5")
    expect(page.locator("#safe-range-upper-verdict")).to_contain_text("Use ½ to 4¾ turns out; it is at 2½: inside")
    assert hand.boxes == 4
    assert hand.taps <= 26


KEYBOARD_UP: ViewportSize = {"width": 390, "height": 430}
"""What a phone's keyboard leaves of the window (the design's own figure)."""


def test_a_box_and_what_it_changes_are_on_one_screen_with_the_keyboard_up(
    browser: Browser, server: Server, watch: Watch
) -> None:
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        sheet = open_own(page, server, {key: entry for key, entry in OWN.items() if key != "upper_touch_turns"})
        page.locator("#step-touch, details:has(#f-upper_touch_turns)").first.evaluate("(step) => { step.open = true }")
        box = page.locator("#f-upper_touch_turns")
        box.tap()
        page.set_viewport_size(KEYBOARD_UP)
        box.fill("5.25")
        strip = page.locator(".qt-strip-button:visible").first
        expect(strip).to_contain_text("Upper: ½ to 4¾, at 2½: inside")
        places = [one.bounding_box() for one in (strip, box)]
        assert all(place is not None for place in places)
        (over, under) = (place for place in places if place is not None)
        assert over["y"] >= 0
        assert over["y"] + over["height"] <= under["y"]
        assert under["y"] + under["height"] <= KEYBOARD_UP["height"]
        assert sheet.state() == "go"
    watch.check()


def test_a_bow_is_sent_in_two_taps_and_its_result_is_on_the_first_screen(
    browser: Browser, server: Server, watch: Watch
) -> None:
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        open_own(page, server, OWN)
        hand = Finger(page)
        page.evaluate("() => { navigator.clipboard.writeText = () => Promise.reject(new Error('refused')); }")
        hand.tap('[data-act="link"]:visible')
        address = page.locator(".qt-link input")
        expect(address).to_have_value(re.compile("#q1[.]"))
        assert hand.taps <= 2
        link = address.input_value()
    assert link.startswith(f"{server.address}#")
    for theirs in ({}, {"bow_name": "Mine"}):
        with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
            if theirs:
                open_own(page, server, theirs, "")
                page.goto("about:blank")
            page.goto(link)
            Sheet(page, "start").settled()
            title = page.locator(".qt-verdict-title:visible").first
            expect(title).to_have_text("Look the bow over yourself first")  # whoever sent it, did
            box = title.bounding_box()
            assert box is not None
            assert box["y"] + box["height"] <= 844
    watch.check()
