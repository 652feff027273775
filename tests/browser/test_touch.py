"""A finger that scrolls the page enters nothing: real touch events, on every slider and every picture that is dragged.

Chromium itself decides what a touch is; that it scrolled is read from the page (C). No calculator has to start for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from helpers.finger import BRISK, HELD, SLANTED, SLOW, STRAIGHT, Finger, Point, asked, phone
from helpers.site import Watch
from helpers.worksheet import MAIN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Locator, Page

    from web_server import Server

pytestmark = pytest.mark.browser

SLIDERS = "input[type=range]:visible"
CHARTS = "[data-drag-axis=x]:visible"
FIELD = ".qt-field[data-scope=bow] [data-slider-of]:visible"
HAND = "[data-hand]:visible"
WITHOUT = {"before/", "safe-range/", "keep/", "rack/"}
"""Pages on which nothing is turned by hand."""
SPREAD = 3
"""So many controls of a page at most are swiped over: one piece of code holds all of them back."""
IN_FULL = {"pocket/", "set/"}
"""Pages that have all kinds between them: there in every way that a finger has."""
KINDS = (FIELD, HAND, CHARTS)
"""A field's own slider, one under a picture, and a picture that is dragged."""

# Nothing is folded, no condition hides a field, and a jump to a place is one.
IN_SIGHT = """() => {
  for (const one of document.querySelectorAll("details")) one.open = true;
  for (const one of document.querySelectorAll("[data-when]")) one.hidden = false;
  document.documentElement.style.scrollBehavior = "auto";
}"""
STATE = """(control) => {
  const { sliderOf, hand, dragField } = control.dataset;
  return {
    box: document.getElementById(`f-${sliderOf ?? hand ?? dragField}`).value,
    thumb: control.value ?? null,
    asked: window.asked.length,
    stored: Object.keys(localStorage).filter((key) => key.endsWith(" record")).length,
    scrolled: scrollY,
  };
}"""
# A place on a control, which is brought to the middle of the screen; far from a slider's thumb where no part is given.
AT = """(control, part) => {
  control.scrollIntoView({ block: "center", behavior: "instant" });
  const { x, y, width, height } = control.getBoundingClientRect();
  if (width === 0) throw new Error(`out of sight: ${control.id}`);
  const { min, max, value } = control;
  const free = max === undefined ? 0.5 : (value - min) / (max - min) < 0.5 ? 0.8 : 0.2;
  return [x + width * (part ?? free), y + height / 2];
}"""


ROOM_BELOW = "() => scrollY + innerHeight + 300 < document.documentElement.scrollHeight"


def opened(page: Page, address: str) -> Finger:
    page.goto(address)
    page.locator(".qt-page[data-calc]").first.wait_for(state="attached")
    page.evaluate(IN_SIGHT)
    return Finger.of(page)


def at(control: Locator, part: float | None = None) -> Point:
    x, y = control.evaluate(AT, part)
    return float(x), float(y)


def state(control: Locator) -> dict[str, Any]:
    """What the field's box shows, where the thumb is, how often was asked, and how far the page is down."""
    found: dict[str, Any] = control.evaluate(STATE)
    return found


def swiped(finger: Finger, control: Locator, kind: str, *, up: bool = True) -> None:
    """Swipe over a control: the page scrolls, and nothing else happens."""
    place = at(control)
    before = state(control)
    # At the foot of a page only a swipe down scrolls it.
    finger.swipe(place, kind, up=up and control.evaluate(ROOM_BELOW))
    after = state(control)
    assert after.pop("scrolled") != before.pop("scrolled"), "the page did not scroll"
    assert after == before
    assert (after["asked"], after["stored"]) == (0, 0)


@pytest.mark.parametrize("path", MAIN)
def test_a_swipe_over_any_slider_or_picture_scrolls_and_enters_nothing(
    held_page: tuple[Page, str, Watch], path: str
) -> None:
    for finger in first_visit(held_page, path):
        page = finger.page
        controls = page.locator(f"{SLIDERS}, {CHARTS}").all()
        assert bool(controls) == (path not in WITHOUT)
        for control in controls[:: 1 + len(controls) // SPREAD]:
            swiped(finger, control, BRISK)
        of_each_kind = [one for kind in KINDS for one in page.locator(kind).all()[:1]]
        for one in of_each_kind:
            for way in (STRAIGHT, SLANTED, SLOW, HELD) if path in IN_FULL else ():
                swiped(finger, one, way)
            swiped(finger, one, STRAIGHT, up=False)
        # A tap and a drag of the same ones enter what they say.
        for one in of_each_kind:
            enters(finger, one)


def enters(finger: Finger, control: Locator) -> None:
    """A tap enters the place that is tapped, and a drag follows the finger to its end, either way."""
    # A thumb has its width, and a picture's group its words beside the ends.
    near = 0.1
    before = state(control)
    at(control)
    finger.rest()  # the place is drawn where a finger then finds it
    finger.tap(at(control, 0.7))
    assert part_entered(control) == pytest.approx(0.7, abs=near)
    (left, _), (right, _) = at(control, 0.25), at(control, 0.8)
    scrolled = state(control)["scrolled"]
    finger.drag(at(control, 0.25), right - left)
    assert part_entered(control) == pytest.approx(0.8, abs=near)
    finger.drag(at(control, 0.8), left - right)
    assert part_entered(control) == pytest.approx(0.25, abs=near)
    after = state(control)
    assert after["scrolled"] == scrolled
    assert after["asked"] > before["asked"] + 2
    if control.evaluate("(one) => one.closest('[data-scope=bow]') !== null"):
        assert after["stored"] == 1


def part_entered(control: Locator) -> float:
    """Where the entered value lies between the control's ends."""
    for _ in range(40):  # the slider's own event may come after the touch
        if state(control)["box"] != "":
            break
        control.page.wait_for_timeout(50)
    now = state(control)
    assert now["box"] != "", "nothing was entered"
    low, high = control.evaluate(
        "({ min, max, dataset }) => [min ?? dataset.dragLow, max ?? dataset.dragHigh].map(Number)"
    )
    value = float(now["box"])
    assert now["thumb"] is None or float(now["thumb"]) == pytest.approx(value)
    return float((value - low) / (high - low))


# One phone, for what is the same on all pages ------------------------------------------------------------------------


@pytest.fixture(scope="module")
def held_page(browser: Browser, server: Server) -> Iterator[tuple[Page, str, Watch]]:
    watch = Watch()
    with phone(browser, watch) as page:
        yield page, server.address, watch


def first_visit(held_page: tuple[Page, str, Watch], path: str) -> Iterator[Finger]:
    page, address, watch = held_page
    if page.url != "about:blank":
        page.evaluate("localStorage.clear()")
    yield opened(page, address + path)
    watch.check()


@pytest.fixture
def finger(held_page: tuple[Page, str, Watch]) -> Iterator[Finger]:
    """A finger on the page on the pocket, with its pictures, as on a first visit."""
    yield from first_visit(held_page, "pocket/")


@pytest.fixture
def setting(held_page: tuple[Page, str, Watch]) -> Iterator[Finger]:
    """A finger on the page with a field's own slider, as on a first visit."""
    yield from first_visit(held_page, "set/")


@pytest.fixture
def on_page(held_page: tuple[Page, str, Watch], control: str) -> Iterator[Finger]:
    """A finger on the page that has such a control."""
    yield from first_visit(held_page, "set/" if control == FIELD else "pocket/")


CONTROLS = (FIELD, HAND, CHARTS)


def slider(finger: Finger) -> Locator:
    return finger.page.locator(FIELD).first


@pytest.mark.parametrize("control", CONTROLS)
def test_while_the_finger_rests_nothing_is_entered_or_asked(on_page: Finger, control: str) -> None:
    one = on_page.page.locator(control).first
    place = at(one, 0.7)
    on_page.down(place)
    on_page.path(place, (place[0] + 4, place[1] + 5), moves=2)
    on_page.page.wait_for_timeout(300)
    assert (state(one)["box"], state(one)["asked"]) == ("", 0)
    on_page.up()
    on_page.rest()
    assert part_entered(one) == pytest.approx(0.7, abs=0.1)
    assert state(one)["asked"] >= 1


@pytest.mark.parametrize("control", CONTROLS[:2])
def test_as_soon_as_the_page_scrolls_the_thumb_is_back(on_page: Finger, control: str) -> None:
    one = on_page.page.locator(control).first
    place, before = at(one), state(one)
    on_page.down(place)
    assert state(one)["thumb"] != before["thumb"]
    on_page.path(place, (place[0], place[1] - 120))
    during = state(one)
    on_page.up()
    assert during.pop("scrolled") != before.pop("scrolled")
    assert during == before


@pytest.mark.parametrize("control", [*CONTROLS, ".qt-grip:visible"])
def test_two_fingers_enter_nothing(on_page: Finger, control: str) -> None:
    one = on_page.page.locator(control).first
    place, before = at(one), values(on_page)
    on_page.pinch(place)
    assert values(on_page) == before
    # The second of two fingers enters nothing either.
    on_page.down((20, 400))
    on_page.down((20, 400), place)
    on_page.up()
    on_page.rest()
    assert values(on_page) == before
    assert asked(on_page.page) == []


def values(finger: Finger) -> list[str]:
    """What every box shows, and where every slider is."""
    all_values = "[...document.querySelectorAll('.qt-page input')].map(({ value }) => value)"
    found: list[str] = finger.page.evaluate(all_values)
    return found


def test_a_drag_at_a_slant_enters_where_it_ends(setting: Finger) -> None:
    """Less level than a drag is known by at once, and less steep than what scrolls."""
    one = slider(setting)
    (left, y), (right, _) = at(one, 0.25), at(one, 0.8)
    scrolled = setting.scrolled
    setting.down((left, y))
    setting.path((left, y), (right, y + 0.7 * (right - left)))
    # Before it is lifted: the answer to what it enters folds parts of the page.
    setting.rest()
    assert setting.scrolled == scrolled
    setting.up()
    setting.rest()
    assert part_entered(one) == pytest.approx(0.8, abs=0.1)


def test_where_the_page_cannot_scroll_a_swipe_enters_nothing_either(setting: Finger) -> None:
    setting.page.evaluate("document.documentElement.style.overflow = document.body.style.overflow = 'hidden'")
    one = slider(setting)
    place, before = at(one), state(one)
    setting.swipe(place)
    assert state(one) == before


def test_after_a_swipe_the_slider_is_moved_in_every_other_way(setting: Finger) -> None:
    page, one = setting.page, slider(setting)
    swiped(setting, one, STRAIGHT)
    one.focus()
    page.keyboard.press("ArrowRight")
    by_key = state(one)["box"]
    assert by_key != ""
    # As a screen reader does it: another value, and the event of it.
    one.evaluate(
        "(one) => { one.stepUp(); for (const kind of ['input', 'change'])"
        " one.dispatchEvent(new Event(kind, { bubbles: true })); }"
    )
    assert float(state(one)["box"]) > float(by_key)
    page.mouse.click(*at(one, 0.2))
    assert part_entered(one) == pytest.approx(0.2, abs=0.1)


def test_a_mouse_enters_at_once(setting: Finger) -> None:
    page, one = setting.page, slider(setting)
    x, y = at(one, 0.8)
    page.mouse.move(x, y)
    page.mouse.down()
    assert part_entered(one) == pytest.approx(0.8, abs=0.1)
    # Upward too: a mouse does not scroll so.
    page.mouse.move(x - 100, y - 150, steps=4)
    page.mouse.up()
    assert part_entered(one) < 0.7


def test_a_value_that_was_there_stays_through_a_swipe(setting: Finger) -> None:
    one = slider(setting)
    box = one.locator("xpath=ancestor::*[@data-field]").locator("input[name]")
    box.fill("1,2")
    place, before = at(one), state(one)
    setting.swipe(place)
    after = state(one)
    assert after.pop("scrolled") != before.pop("scrolled")
    assert after == before
    assert after["box"] == "1,2"


def test_a_finger_on_the_grip_turns_the_bolt_and_does_not_scroll(finger: Finger) -> None:
    page, grip = finger.page, finger.page.locator(".qt-grip:visible").first
    place = at(grip, 0.5)
    scrolled = finger.scrolled
    turns = []
    finger.down(place)
    for step in range(1, 5):
        finger.path((place[0], place[1] - 20 * (step - 1)), (place[0], place[1] - 20 * step), moves=2)
        turns.append(float(page.locator("#f-turns_shown").input_value()))
    finger.up()
    finger.rest()
    assert finger.scrolled == scrolled
    # Out is up, and it follows all the way.
    assert turns == sorted(set(turns))


def test_a_finger_beside_the_grip_scrolls_past(finger: Finger) -> None:
    picture = finger.page.locator("[data-drag-axis=y]:visible").first
    x, y, width, height = picture.evaluate(
        "(one) => { one.scrollIntoView({ block: 'center' });"
        " const { x, y, width, height } = one.getBoundingClientRect(); return [x, y, width, height]; }"
    )
    scrolled = finger.scrolled
    finger.swipe((x + width - 8, y + height / 2))
    assert finger.scrolled != scrolled
    assert finger.page.locator("#f-turns_shown").input_value() == ""
