"""Pictures that a hand turns: by mouse, by finger, by keyboard; and experiments that the words ask for.

Where a pointer must land is worked out from the scale that the figure states, by the browser's own matrices (C).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from helpers.finger import Finger
from helpers.profiles import watched_page
from helpers.site import Watch
from helpers.worksheet import Sheet, open_sheet
from quarterturn.widgets.words import amount

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from web_server import Server

pytestmark = pytest.mark.browser

ON_SCREEN = """(group, [axis, at]) => {
  const x = axis === "x" ? at : Number(group.querySelector("rect").getAttribute("x")) + 20;
  const y = axis === "y" ? at : Number(group.querySelector("rect").getAttribute("y")) + 20;
  const point = new DOMPoint(x, y).matrixTransform(group.getScreenCTM());
  return [point.x, point.y];
}"""


@pytest.fixture(scope="module")
def opened(browser: Browser, server: Server) -> Iterator[tuple[Sheet, Watch]]:
    """One phone with the page open for all of these tests."""
    watch = Watch()
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        yield open_sheet(page, server, "pocket/"), watch


@pytest.fixture
def pocket(opened: tuple[Sheet, Watch]) -> Iterator[Sheet]:
    """The page as on a first visit."""
    sheet, watch = opened
    sheet.page.mouse.up()
    sheet.clear()
    sheet.unfold().page.evaluate("scrollTo(0, 0)")
    expect(sheet.page.locator("#v-pocket-turns-figure")).to_have_text("2.00 turns")
    yield sheet
    watch.check()


def place(page: Page, selector: str, value: float) -> tuple[float, float]:
    """Where a value of the field is drawn on the screen, by the figure's own statement."""
    group = page.locator(selector)
    group.scroll_into_view_if_needed()
    stated: dict[str, Any] = group.evaluate("(group) => ({ ...group.dataset })")
    at = float(stated["dragOrigin"]) + value * float(stated["dragScale"])
    x, y = group.evaluate(ON_SCREEN, [stated["dragAxis"], at])
    return float(x), float(y)


def turns(page: Page) -> float:
    return float(str(page.locator("#v-pocket-turns").get_attribute("data-value")))


def until_turns(page: Page, are: str) -> None:
    """Wait for the answer to the last of several moves: each of them is answered, or passed over."""
    page.wait_for_function(
        f"() => {{ const turns = Number(document.querySelector('#v-pocket-turns').dataset.value); return {are}; }}"
    )


def test_a_tap_on_a_chart_turns_the_bolt_there(pocket: Sheet) -> None:
    page = pocket.page
    for selector, wanted in (("#pocket-gaps-plot", 3.5), ("#pocket-rock-plot", -1.0)):
        page.touchscreen.tap(*place(page, selector, wanted))
        # A finger is as exact as the screen: a point is some hundredths of a turn.
        until_turns(page, f"Math.abs(turns - {wanted}) < 0.06")
        assert pocket.box("turns_shown").input_value() == f"{turns(page):.2f}"


def test_a_drag_along_a_chart_is_followed(pocket: Sheet) -> None:
    page = pocket.page
    x, y = place(page, "#pocket-gaps-plot", 1.0)
    page.mouse.move(x, y)
    page.mouse.down()
    expect(page.locator("#v-pocket-turns-figure")).to_have_text("1.00 turn")
    for wanted, words in ((2.5, "2½ turns out"), (4.0, "4 turns out"), (5.5, "5½ turns out: past first touch")):
        page.mouse.move(*place(page, "#pocket-gaps-plot", wanted), steps=4)
        expect(pocket.verdict).to_contain_text(words)
    # Beyond the chart it stays at its end, and let go it moves no more.
    page.mouse.move(10_000, y)
    last = float(str(page.locator("#pocket-gaps-plot").get_attribute("data-drag-high")))
    expect(page.locator("#v-pocket-turns-figure")).to_have_text(f"{last:.2f} turns")
    page.mouse.up()
    page.mouse.move(x, y)
    page.wait_for_timeout(200)
    assert turns(page) == last


def test_the_bolt_is_pulled_out_and_pushed_in(pocket: Sheet) -> None:
    page = pocket.page
    grip = page.locator("#pocket-side-grip")
    grip.scroll_into_view_if_needed()
    box = grip.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y - 30, steps=3)
    until_turns(page, "turns > 2.3")
    page.mouse.move(x, y + 60, steps=3)
    until_turns(page, "turns < 2")
    page.mouse.up()
    page.wait_for_timeout(200)
    assert turns(page) < 2


def test_a_finger_scrolls_past_the_picture_without_turning_it(pocket: Sheet) -> None:
    page = pocket.page
    _, y = place(page, "#pocket-side-main", 0.0)
    box = page.locator("#pocket-side-main").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] - 30, y)
    page.wait_for_timeout(200)
    assert turns(page) == 2.0


def test_a_finger_drags_along_a_chart_and_swipes_past_it(pocket: Sheet) -> None:
    page, finger = pocket.page, Finger.of(pocket.page)
    (x, y), (far, _) = place(page, "#pocket-gaps-plot", 1.0), place(page, "#pocket-gaps-plot", 4.5)
    finger.drag((x, y), far - x)
    until_turns(page, "Math.abs(turns - 4.5) < 0.06")
    before = finger.scrolled
    finger.swipe(place(page, "#pocket-gaps-plot", 2.0))
    page.wait_for_timeout(200)
    assert finger.scrolled != before
    assert turns(page) == pytest.approx(4.5, abs=0.06)


def test_an_answer_does_not_take_the_slider_from_under_a_finger(pocket: Sheet) -> None:
    page, finger = pocket.page, Finger.of(pocket.page)
    hand = page.locator("#pocket-side-hand")

    def touch_and_turn(part: float, typed: str) -> tuple[float, float]:
        """Put the finger down; while it rests, another way of turning the bolt is answered."""
        box = hand.bounding_box()
        assert box is not None
        x, y = box["x"] + box["width"] * part, box["y"] + box["height"] / 2
        finger.down((x, y))
        pocket.box("turns_shown").evaluate(
            "(box, typed) => { box.value = typed; box.dispatchEvent(new Event('input', { bubbles: true })); }", typed
        )
        expect(page.locator("#v-pocket-turns")).to_have_attribute("data-value", typed)
        pocket.settled()
        return x, y

    hand.scroll_into_view_if_needed()
    touch_and_turn(0.9, "3.0")
    touched = float(hand.input_value())
    assert touched > 4
    finger.up()
    until_turns(page, f"Math.abs(turns - {touched}) < 0.01")
    # Where the touch scrolls, the slider goes to what is answered now.
    x, y = touch_and_turn(0.2, "3.5")
    assert float(hand.input_value()) < 1
    finger.path((x, y), (x, y - 150))
    finger.up()
    finger.rest()
    assert float(hand.input_value()) == turns(page) == 3.5


def test_the_slider_under_the_picture_by_keyboard(pocket: Sheet) -> None:
    page = pocket.page
    hand = page.get_by_role("slider", name="Turn the bolt", exact=True).last
    hand.focus()
    page.keyboard.press("Home")
    expect(pocket.verdict).to_contain_text("past flush: only the rim touches")
    low = float(str(hand.get_attribute("min")))
    assert turns(page) == low
    expect(hand).to_have_attribute("aria-valuetext", f"{amount(-low)} past flush")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#v-pocket-turns")).to_have_attribute("data-value", f"{low + 0.05:g}")
    expect(hand).to_be_focused()
    # Every slider that is bound to the field stands in the same place.
    assert float(pocket.slider("turns_shown").input_value()) == pytest.approx(low + 0.05)


def test_turning_the_picture_enters_nothing_of_the_bow(pocket: Sheet) -> None:
    page = pocket.page
    page.touchscreen.tap(*place(page, "#pocket-gaps-plot", 4.0))
    pocket.choose("strip_shown", "thin")
    pocket.choose("limb_shown", "lower")
    expect(page.locator("#v-pocket-flush_outside-figure")).not_to_have_text("0.42 turn")
    assert "turns_shown" not in page.evaluate("JSON.stringify(Object.values(localStorage))")
    page.reload()
    Sheet(page).settled()
    expect(page.locator("#v-pocket-turns-figure")).to_have_text("2.00 turns")


def test_every_experiment_moves_the_picture_and_puts_it_back(pocket: Sheet) -> None:
    page = pocket.page
    buttons = page.locator("button[data-try]")
    assert buttons.count() == 5
    for button in buttons.all():
        wanted = dict(part.split("=") for part in str(button.get_attribute("data-try")).split("&"))
        button.click()
        for name, value in wanted.items():
            if name == "turns_shown":
                expect(pocket.box(name)).to_have_value(value)
                expect(page.locator("#v-pocket-turns")).to_have_attribute("data-value", str(float(value)))
            else:
                expect(pocket.choice(name, value)).to_be_checked()
        # The strip has what the picture shows, beside the words that are read.
        expect(pocket.spot("small")).to_be_in_viewport()
        expect(button).to_be_in_viewport()
        expect(page.locator("button[aria-pressed=true]")).to_have_count(1)
        expect(button).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#v-pocket-turns-figure")).to_have_text("2.00 turns")
    expect(page.locator("button[aria-pressed=true]")).to_have_count(0)
    expect(buttons.last).to_be_focused()


def test_the_address_of_an_experiment_runs_it(page: Page, server: Server) -> None:
    page.goto(f"{server.address}pocket/#try-rim")
    pocket = Sheet(page, "pocket").settled()
    expect(pocket.verdict).to_contain_text("Half a turn past flush: only the rim touches")
    expect(page.locator("#try-rim button[data-try]")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#try-rim")).to_be_in_viewport()


def test_nonsense_is_said_and_the_picture_stays(pocket: Sheet) -> None:
    for typed in ("abc", "99", "1e999", "-4"):
        pocket.box("strip_pushed").fill(typed)
        expect(pocket.error("strip_pushed")).to_contain_text("Slide the strip in")
        assert pocket.box("strip_pushed").input_value() == typed
        assert pocket.page.locator("#pocket-side-figure").count() == 1
        expect(pocket.page.locator(".qt-summary")).to_contain_text("One entry cannot be used")
    pocket.box("strip_pushed").fill("0,5")
    expect(pocket.error("strip_pushed")).to_be_hidden()
    expect(pocket.page.locator(".qt-old-note")).to_be_hidden()
