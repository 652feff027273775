"""By keyboard alone, and by axe: everything can be reached, seen and named, in light and dark, on phone and desktop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, changed
from helpers.axe import axe, findings
from helpers.worksheet import Sheet, open_own, open_sheet
from quarterturn.widgets.answer import State

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from helpers.worksheet import Record
    from web_server import Server

pytestmark = pytest.mark.browser

RECORDS: dict[str, Record] = {
    "example": {"version": 1},
    "go": changed(COMPLETE, bow_name="Club bow 3"),
    "stop": changed(COMPLETE, upper_now_turns=12),
    "ask": changed(COMPLETE, check_limbs="unsure"),
    "no_window": changed(COMPLETE, margin=2, upper_touch_turns=2.5, lower_touch_turns=2.5),
    "refused": changed(COMPLETE, upper_touch_turns={"typed": "abc", "unit": "turn"}, margin=0.1),
}


# axe ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", RECORDS)
def test_axe_finds_nothing_serious_on_the_worksheet(page: Page, server: Server, name: str) -> None:
    sheet = open_own(page, server, RECORDS[name])
    if name == "refused":
        assert sheet.section.locator(".qt-summary").is_visible()
    else:
        assert sheet.state() == name
    sheet.unfold()
    assert findings(page, swapped=list(RECORDS).index(name) % 2 == 1) == []


@pytest.mark.parametrize("path", ["words/", "trade-facts/", "404.html"])
def test_axe_finds_nothing_serious_on_the_other_pages(page: Page, server: Server, path: str) -> None:
    page.goto(server.address + path)
    assert findings(page) == []


PALE = """() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync("main article p:last-of-type { color: #999 !important }");
  document.adoptedStyleSheets = [sheet];
}"""


def test_axe_would_find_something(page: Page, server: Server) -> None:
    page.goto(server.address)
    page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    assert any(line.startswith("critical label") for line in axe(page))
    page.evaluate(PALE)
    assert any(line.startswith("serious color-contrast") for line in axe(page))


# The keyboard ------------------------------------------------------------------------------------------------------

FOCUSED = """() => {
  const one = document.activeElement;
  const { left, top, right, bottom, width, height } = one.getBoundingClientRect();
  const style = getComputedStyle(one);
  const outlined = (of) => of.outlineStyle !== "none" && parseFloat(of.outlineWidth) >= 1;
  const up = [one, one.parentElement, one.nextElementSibling, one.closest("label")].filter(Boolean);
  return {
    tag: one.localName,
    id: one.id,
    name: one.name ?? "",
    type: one.type ?? "",
    act: one.closest(".qt-foot") === null ? "" : one.dataset.act ?? "",
    field: one.closest("[data-field]")?.dataset.field ?? "",
    place: [...document.querySelectorAll("*")].indexOf(one),
    isFolded: one.localName === "summary" && one.closest(".qt-page") !== null && !one.parentElement.open,
    isPane: one.classList.contains("qt-pane"),
    inForm: one.closest(".qt-form") !== null,
    inAnswer: one.closest(".qt-answer") !== null,
    seen: width > 0 && height > 0 && bottom > 0 && top < innerHeight && right > 0 && left < innerWidth,
    marked: up.some((of) => outlined(getComputedStyle(of)) || getComputedStyle(of).boxShadow !== "none"),
  };
}"""
WANTED = """[...document.querySelectorAll(".qt-form .qt-field")]
  .filter((one) => one.checkVisibility() && one.getClientRects().length > 0).map((one) => one.dataset.field)"""
"""The fields in sight, in the order of the page."""


def walk(page: Page, key: str, limit: int = 400) -> list[dict[str, Any]]:
    """Press a key again and again, until the focus leaves the page or is at one place twice; what had the focus."""
    steps: list[dict[str, Any]] = []
    seen: set[tuple[str, ...]] = set()
    for _ in range(limit):
        page.keyboard.press(key)
        step: dict[str, Any] = page.evaluate(FOCUSED)
        mark = tuple(str(step[part]) for part in ("tag", "id", "name", "act", "field", "place"))
        if steps and step["type"] == "date" and step["id"] == steps[-1]["id"]:
            continue  # such a box is gone through in parts: day, month, year
        if step["tag"] == "body" or (step["id"] and mark in seen):
            return steps
        seen.add(mark)
        steps.append(step)
    raise AssertionError(f"the focus never came out again: {steps[-3:]}")


def test_tab_goes_through_everything_in_the_order_of_the_page(sheet: Sheet) -> None:
    page = sheet.unfold().page
    page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    page.locator("h1").evaluate("(one) => { one.tabIndex = -1; one.focus(); }")
    steps = walk(page, "Tab")
    # Every field in sight has its turn, and nothing is taken out of its turn.
    wanted = page.evaluate(WANTED)
    assert len(wanted) > 30
    assert list(dict.fromkeys(step["field"] for step in steps if step["field"])) == wanted
    places = [step["place"] for step in steps]
    assert places == sorted(places)
    # The picture's pane can be scrolled; after the words the numbers, and the buttons.
    assert any(step["isPane"] for step in steps)
    tools = ["print", "print-steps", "link", "print-bench", "undo", "clear"]
    assert [step["act"] for step in steps if step["act"]] == tools
    kinds = [0 if step["inForm"] else 1 if step["inAnswer"] else 2 if step["act"] else None for step in steps]
    order = [kind for kind in kinds if kind is not None]
    assert set(order) == {0, 1, 2}
    assert order == sorted(order)
    unseen = [step for step in steps if not step["seen"]]
    assert unseen == []
    unmarked = [step for step in steps if not step["marked"]]
    assert unmarked == []


def test_the_way_back_is_the_same(sheet: Sheet) -> None:
    page = sheet.unfold().page
    wanted = page.evaluate(WANTED)
    sheet.tool("clear").focus()
    fields: list[str] = []
    for _ in range(400):
        page.keyboard.press("Shift+Tab")
        step = page.evaluate(FOCUSED)
        if step["tag"] in ("body", "h1"):
            break
        fields.append(step["field"])
        if step["field"] == wanted[0]:
            break
    else:
        raise AssertionError("the focus is caught")
    assert list(dict.fromkeys(field for field in fields if field)) == wanted[::-1]


def fill_in(page: Page, record: Record, limit: int = 400) -> set[str]:
    """Fill in by Tab to go on, arrows and space to choose, keys to type, Enter to open; the fields that were."""
    done: set[str] = set()
    page.locator("h1").evaluate("(one) => { one.tabIndex = -1; one.focus(); }")
    for _ in range(limit):
        page.keyboard.press("Tab")
        step = page.evaluate(FOCUSED)
        name = step["field"]
        if step["act"] == "print":
            return done
        if step["isFolded"]:
            Sheet(page).settled()  # an answer that changes the page's state opens and closes what goes with it
            if page.evaluate(FOCUSED)["isFolded"]:
                page.keyboard.press("Enter")
            assert not page.evaluate(FOCUSED)["isFolded"]
        if not name or name in done or name not in record:
            continue
        if page.evaluate("document.activeElement.type") == "radio":
            choose_by_keyboard(page, str(record[name]))
        else:
            page.keyboard.type(str(record[name]))
        done.add(name)
    raise AssertionError("the buttons were never reached")


def test_all_that_a_verdict_needs_is_entered_by_keyboard(page: Page, server: Server) -> None:
    record = changed(COMPLETE, bow_name="Club bow 3")
    done = set()
    for path in ("", "before/", "safe-range/"):
        sheet = open_sheet(page, server, path)
        # What an earlier page has asked is known by now.
        done |= fill_in(page, {name: value for name, value in record.items() if name not in done})
        sheet.settled()
    assert done == set(record) - {"version"}
    assert sheet.state() == State.GO
    assert sheet.box("upper_touch_turns").input_value() == "5.25"
    # A fold, by Enter and by space.
    for folded in (page.locator("details.qt-step:visible").first, page.locator(".qt-foot details").first):
        folded.locator("summary").first.focus()
        was_open = folded.evaluate("(one) => one.open")
        page.keyboard.press("Enter")
        assert folded.evaluate("(one) => one.open") != was_open
        page.keyboard.press("Space")
        assert folded.evaluate("(one) => one.open") == was_open
    # A choice taken back, and the buttons.
    sheet.unfold()
    page.locator("#field-check_lock [data-act=unchoose]").focus()
    page.keyboard.press("Enter")
    sheet.settled()
    assert sheet.state() != State.GO
    assert page.evaluate(FOCUSED)["field"] == "check_lock"
    sheet.tool("clear").focus()
    page.keyboard.press("Enter")
    sheet.settled()
    assert sheet.box("upper_touch_turns").input_value() == ""
    sheet.tool("undo").focus()
    page.keyboard.press("Space")
    sheet.settled()
    assert sheet.box("upper_touch_turns").input_value() == "5.25"


def test_a_slider_is_moved_by_its_arrows(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "set/")
    slider = sheet.slider("tiller_worth")
    slider.focus()
    page.keyboard.press("ArrowRight")
    sheet.settled()
    # One step of 0.1 from where it stands in its own declaration, 2.0.
    assert sheet.box("tiller_worth").input_value() == "2.1"
    expect(slider).to_be_focused()


def choose_by_keyboard(page: Page, value: str) -> None:
    """In a group of radio buttons that has the focus: space takes the first, the arrows go on."""
    page.keyboard.press("Space")
    for _ in range(12):
        if page.evaluate("document.activeElement.value") == value:
            return
        page.keyboard.press("ArrowDown")
    raise AssertionError(f"{value} cannot be chosen by keyboard")


def test_the_focus_stays_while_the_answer_changes_under_it(page: Page, server: Server) -> None:
    sheet = open_own(page, server, COMPLETE).unfold()
    change = """() => {
      const box = document.querySelector("#f-upper_touch_turns");
      box.value = "6.5";
      box.dispatchEvent(new Event("input", { bubbles: true }));
    }"""
    # On the head of something folded in the answer, opened by the reader.
    folded = page.locator(".qt-answer details").first
    folded.evaluate("(one) => { one.open = false; }")
    folded.locator("summary").first.focus()
    page.keyboard.press("Enter")
    page.evaluate("globalThis.qtFocused = document.activeElement")
    before = sheet.values()["upper_outer"]
    page.evaluate(change)
    sheet.settled()
    assert sheet.values()["upper_outer"] != before
    assert page.evaluate("document.activeElement === qtFocused && qtFocused.isConnected")
    assert folded.evaluate("(one) => one.open")
    # In a box: the caret stays where it was.
    box = sheet.box("lower_now_turns")
    box.fill("2.5")
    sheet.settled()
    box.evaluate("(box) => box.setSelectionRange(2, 2)")
    page.keyboard.type("2")
    sheet.settled()
    assert box.input_value() == "2.25"
    assert box.evaluate("(box) => [document.activeElement === box, box.selectionStart]") == [True, 3]
