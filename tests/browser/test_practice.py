"""The practice bench in the browser, from the first turn to the truth: by a finger, by keyboard, in a second visit."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.axe import axe
from helpers.site import watched_page
from helpers.taps import Finger
from helpers.worksheet import Sheet, kept_record, open_own, open_sheet
from quarterturn.bench.practice import made_up_bolt

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

FEEL, COUNT, THEN = "#practice-feel", "#practice-count", "#practice-then"


@pytest.fixture
def phone(browser: Browser, server: Server, watch: Watch) -> Iterator[Finger]:
    """A finger on the practice bench of a fresh phone."""
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        open_sheet(page, server, "practice/")
        yield Finger(page)


def turn(hand: Finger, offer: str, *until: str) -> int:
    """Press a button of the key until one of these words is felt; tell how often."""
    for times in range(200):
        if any(word in hand.page.locator(FEEL).inner_text() for word in until):
            return times
        before = hand.page.locator("#practice-bench-figure").evaluate("one => one.outerHTML")
        hand.tap(f"#practice-{offer}-button")
        expect(hand.page.locator("#practice-bench-figure")).not_to_have_js_property("outerHTML", before)
        Sheet(hand.page).settled()
    raise AssertionError(f"never {until}")


def test_by_a_finger_with_paper_to_the_truth(phone: Finger) -> None:
    """Bolt 1: both ends found as the worksheet says it, counted by the bench, a range chosen, and the truth."""
    page = phone.page
    phone.choose("practice_level", "paper")
    expect(page.locator(THEN)).to_contain_text("ease the tip")
    phone.choose("practice_tip", "eased")
    phone.choose("practice_prong", "both")
    Sheet(page).settled()
    turn(phone, "key-out", "goes")
    steps = turn(phone, "key-in", "does not go in")
    phone.tap("#practice-call-zero-button")
    expect(page.locator(COUNT)).to_have_text("Your count: no turn from zero; 3⅜ turns in from where you found it.")
    assert steps == round(3.375 * 8)
    phone.choose("practice_offered", "butt")
    Sheet(page).settled()
    for _ in range(4):
        phone.tap("#practice-key-out-whole-button")
        Sheet(page).settled()
    turn(phone, "key-out", "goes")
    turn(phone, "key-in", "does not go in")
    phone.tap("#practice-call-touch-button")
    expect(page.locator(COUNT)).to_contain_text("4⅜ turns out from zero")
    phone.fill("practice_now_turns", "3 3/8")
    phone.choose("practice_now_side", "out")
    phone.fill("practice_touch_turns", "4,375")
    phone.choose("practice_stands", "inside")
    phone.fill("practice_inner", "0.25")
    assert page.locator("#practice-show-button").count() == 0
    phone.fill("practice_outer", "4")
    phone.tap("#practice-show-button")
    expect(page.locator("[data-spot='practice/headline']")).to_contain_text(
        "Bolt 1: your range lies well inside both ends."
    )
    expect(page.locator("#practice-losses")).to_contain_text("the strip's thickness")
    expect(page.locator("#practice-truth-scale-figure")).to_be_visible()
    expect(page.locator("#practice-inside-figure")).to_be_visible()
    assert phone.boxes == 4
    assert phone.taps < 60
    assert page.evaluate("document.documentElement.scrollWidth") == 390


def test_what_was_done_is_there_at_a_second_visit_and_another_bolt_forgets_it(page: Page, server: Server) -> None:
    """Nothing of it is of the bow: it is in no link, and a bow on the bench stays as it is."""
    sheet = open_own(page, server, {"bolt_family": "flat", "bow_name": "Club bow 3"}, "practice/")
    sheet.choose("practice_level", "found")
    page.locator("#practice-key-out-button").click()
    page.locator("#practice-call-zero-button").click()
    expect(page.locator("#practice-call-zero-button")).to_have_text("Zero is here instead")
    sheet.settled()
    page.reload()
    Sheet(page).settled()
    expect(page.locator("#practice-call-zero-button")).to_have_text("Zero is here instead")
    kept = kept_record(page)
    assert kept["practice_came"] == "out"
    assert kept["bow_name"]
    page.locator("#practice-another-button").click()
    expect(page.locator("#practice-call-zero-button")).to_have_text("This is zero")
    Sheet(page).settled()
    names = {name for name in kept_record(page) if name.startswith("practice_")}
    assert names == {"practice_level", "practice_bolt"}
    assert kept_record(page)["bow_name"]
    assert page.locator("[data-act=link], [data-act=clear]").count() == 0


def test_by_keyboard_and_for_those_who_cannot_see_it(page: Page, server: Server) -> None:
    """The slider goes by eighths; a press of the key's button keeps the focus; axe finds nothing serious."""
    sheet = open_sheet(page, server, "practice/")
    slider = page.locator("input[data-hand=practice_turned]")
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    expect(page.locator(COUNT)).to_have_text("Your count: ⅜ turn in from where you found it.")
    page.locator("#practice-key-in-button").focus()
    page.keyboard.press("Enter")
    expect(page.locator(COUNT)).to_have_text("Your count: ½ turn in from where you found it.")
    sheet.settled()
    assert page.evaluate("document.activeElement.id") == "practice-key-in-button"
    sheet.choose("practice_level", "paper")
    sheet.settled()
    assert axe(page) == []


def test_the_head_is_pulled(page: Page, server: Server) -> None:
    """A pull on the head by mouse turns the bolt the way that the head goes."""
    sheet = open_sheet(page, server, "practice/")
    box = page.locator("#practice-bench-figure").bounding_box()
    assert box is not None
    x, y = box["x"] + 0.46 * box["width"], box["y"] + 0.35 * box["height"]
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 30, steps=5)
    page.mouse.up()
    sheet.settled()
    expect(page.locator(COUNT)).to_contain_text("in from where you found it")
    turned = -float(kept_record(page)["practice_turned"]["typed"])
    scale = box["width"] / 312
    pitch = 1000 * made_up_bolt(1, "sight").pocket.pitch
    radius = 1000 * made_up_bolt(1, "sight").pocket.head_radius
    # The hand goes four times as far as the picture is true to scale (drag.js).
    assert turned == pytest.approx(30 / 4 / (scale * 2 * 312 / (3.4 * radius) * pitch), abs=0.07)


def test_nonsense_is_named_at_its_box(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "practice/")
    sheet.unfold()
    sheet.type_into("practice_bolt", "two")
    expect(sheet.error("practice_bolt")).to_be_visible()
    sheet.type_into("practice_bolt", "1.5")
    expect(sheet.error("practice_bolt")).to_contain_text("a whole number, 1 to 99999")
    assert page.input_value("#f-practice_bolt") == "1.5"
