"""By keyboard alone, and by axe: everything can be reached, seen and named, in light and dark, on phone and desktop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from helpers.asking import COMPLETE, changed
from helpers.axe import axe, findings
from helpers.worksheet import Sheet
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
def test_axe_finds_nothing_serious_on_the_worksheet(sheet: Sheet, name: str) -> None:
    sheet.enter(RECORDS[name])
    sheet.settled()
    if name == "refused":
        assert sheet.section.locator(".qt-summary").is_visible()
    else:
        assert sheet.state() == name
    sheet.page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    found = findings(sheet.page, swapped=list(RECORDS).index(name) % 2 == 1)
    sheet.page.evaluate("for (const one of document.querySelectorAll('.qt-page details')) one.open = false")
    assert found == []


@pytest.mark.parametrize("path", ["words/", "404.html"])
def test_axe_finds_nothing_serious_on_the_other_pages(page: Page, server: Server, path: str) -> None:
    page.goto(server.address + path)
    assert findings(page) == []


def test_axe_would_find_something(page: Page, server: Server) -> None:
    page.goto(server.address)
    page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    assert any(line.startswith("critical label") for line in axe(page))


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
    act: one.dataset.act ?? "",
    field: one.closest("[data-field]")?.dataset.field ?? "",
    group: one.closest(".qt-group")?.id ?? "",
    inForm: one.closest(".qt-form") !== null,
    inAnswer: one.closest(".qt-answer") !== null,
    seen: width > 0 && height > 0 && bottom > 0 && top < innerHeight && right > 0 && left < innerWidth,
    marked: up.some((of) => outlined(getComputedStyle(of)) || getComputedStyle(of).boxShadow !== "none"),
  };
}"""


def walk(page: Page, key: str, limit: int = 400) -> list[dict[str, Any]]:
    """Press a key again and again, until the focus leaves the page or is at one place twice; what had the focus."""
    steps: list[dict[str, Any]] = []
    seen: set[tuple[str, ...]] = set()
    for _ in range(limit):
        page.keyboard.press(key)
        step: dict[str, Any] = page.evaluate(FOCUSED)
        mark = tuple(str(step[part]) for part in ("tag", "id", "name", "act", "field"))
        if steps and step["type"] == "date" and step["id"] == steps[-1]["id"]:
            continue  # such a box is gone through in parts: day, month, year
        if step["tag"] == "body" or (step["id"] and mark in seen):
            return steps
        seen.add(mark)
        steps.append(step)
    raise AssertionError(f"the focus never came out again: {steps[-3:]}")


def test_tab_goes_through_everything_in_the_order_of_the_page(sheet: Sheet) -> None:
    page = sheet.page
    page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    page.locator("#before").evaluate("(one) => { one.tabIndex = -1; one.focus(); }")
    steps = walk(page, "Tab")
    in_form = [step for step in steps if step["inForm"]]
    # Every field in sight has a place, in the form's own order, and each group is gone through once.
    wanted = page.evaluate(
        """[...document.querySelectorAll(".qt-form .qt-field")]
          .filter((one) => one.checkVisibility() && one.getClientRects().length > 0).map((one) => one.dataset.field)"""
    )
    fields = [step["field"] for step in in_form if step["field"]]
    assert len(wanted) > 15
    assert list(dict.fromkeys(fields)) == wanted
    groups = [step["group"] for step in in_form if step["group"]]
    assert len(list(dict.fromkeys(groups))) == sum(
        1 for at, group in enumerate(groups) if at == 0 or groups[at - 1] != group
    )
    # After the form the buttons, then what can be opened or scrolled in the answer.
    tools = ["print", "link", "undo", "clear"]
    assert [step["act"] for step in steps if step["act"] in tools] == tools
    assert any(step["inAnswer"] for step in steps)
    places = [step for step in steps if step["inForm"] or step["inAnswer"] or step["act"] in tools]
    order = [0 if step["inForm"] else 2 if step["inAnswer"] else 1 for step in places]
    assert order == sorted(order)
    unseen = [step for step in steps if not step["seen"]]
    assert unseen == []
    unmarked = [step for step in steps if not step["marked"]]
    assert unmarked == []


def test_the_way_back_is_the_same(sheet: Sheet) -> None:
    page = sheet.page
    page.locator("[data-act=clear]").focus()
    steps = []
    for _ in range(400):
        page.keyboard.press("Shift+Tab")
        step = page.evaluate(FOCUSED)
        if step["tag"] == "body" or step["field"] == "bow_name":
            break
        steps.append(step)
    else:
        raise AssertionError("the focus is caught")
    groups = list(dict.fromkeys(step["group"] for step in steps if step["group"]))
    wanted = page.locator(".qt-form .qt-group").evaluate_all(
        "(all) => all.filter((one) => one.checkVisibility()).map((one) => one.id).reverse()"
    )
    assert groups == wanted


def test_the_whole_worksheet_is_filled_in_by_keyboard(sheet: Sheet) -> None:
    """No mouse: Tab to go on, arrows and space to choose and slide, keys to type, Enter to open and press."""
    page = sheet.page
    sheet.page.evaluate("for (const one of document.querySelectorAll('.qt-form details')) one.open = false")
    sheet.box("bow_name").focus()
    page.keyboard.type("Club bow 3")
    done = {"bow_name"}
    for _ in range(400):
        page.keyboard.press("Tab")
        step = page.evaluate(FOCUSED)
        name = step["field"]
        if step["act"] == "print":
            break
        if not name or name in done or name not in COMPLETE:
            continue
        if page.evaluate("document.activeElement.type") == "radio":
            choose_by_keyboard(page, str(COMPLETE[name]))
        else:
            page.keyboard.type(str(COMPLETE[name]))
        done.add(name)
    else:
        raise AssertionError("the buttons were never reached")
    assert done == (set(COMPLETE) | {"bow_name"}) - {"version"}
    sheet.settled()
    assert sheet.state() == State.GO
    assert sheet.box("upper_touch_turns").input_value() == "5.25"
    # A slider by its arrows.
    sheet.slider("upper_now_turns").focus()
    page.keyboard.press("ArrowRight")
    sheet.settled()
    assert sheet.box("upper_now_turns").input_value() == "2.625"
    assert sheet.slider("upper_now_turns").evaluate("(one) => one === document.activeElement")
    # What is folded, by Enter and by space.
    for folded in (page.locator(".qt-form details").first, page.locator(".qt-answer details").first):
        folded.locator("summary").first.focus()
        page.keyboard.press("Enter")
        assert folded.evaluate("(one) => one.open")
        page.keyboard.press("Space")
        assert not folded.evaluate("(one) => one.open")
    # A choice taken back, and the buttons.
    page.locator("#field-check_lock [data-act=unchoose]").focus()
    page.keyboard.press("Enter")
    sheet.settled()
    assert sheet.state() == State.EXAMPLE
    assert page.evaluate(FOCUSED)["field"] == "check_lock"
    page.locator("[data-act=clear]").focus()
    page.keyboard.press("Enter")
    sheet.settled()
    assert sheet.box("bow_name").input_value() == ""
    page.locator("[data-act=undo]").focus()
    page.keyboard.press("Space")
    sheet.settled()
    assert sheet.box("bow_name").input_value() == "Club bow 3"


def choose_by_keyboard(page: Page, value: str) -> None:
    """In a group of radio buttons that has the focus: space takes the first, the arrows go on."""
    page.keyboard.press("Space")
    for _ in range(12):
        if page.evaluate("document.activeElement.value") == value:
            return
        page.keyboard.press("ArrowDown")
    raise AssertionError(f"{value} cannot be chosen by keyboard")


def test_the_focus_stays_while_the_answer_changes_under_it(sheet: Sheet) -> None:
    page = sheet.page
    sheet.enter(COMPLETE)
    sheet.settled()
    change = """() => {
      const box = document.querySelector("#f-upper_touch_turns");
      box.value = "6.5";
      box.dispatchEvent(new Event("input", { bubbles: true }));
    }"""
    # On the head of something folded in the answer, opened by the reader.
    folded = page.locator(".qt-answer details").first
    folded.locator("summary").first.focus()
    page.keyboard.press("Enter")
    page.evaluate("globalThis.qtFocused = document.activeElement")
    before = sheet.values()["upper_outer"]
    page.evaluate(change)
    sheet.settled()
    assert sheet.values()["upper_outer"] != before
    assert page.evaluate("document.activeElement === qtFocused && qtFocused.isConnected")
    assert folded.evaluate("(one) => one.open")
    page.keyboard.press("Enter")
    # In a box: the caret stays where it was.
    sheet.box("bow_name").fill("Club bow")
    sheet.settled()
    sheet.box("bow_name").evaluate("(box) => box.setSelectionRange(4, 4)")
    page.keyboard.type("-")
    sheet.settled()
    assert sheet.box("bow_name").input_value() == "Club- bow"
    assert sheet.box("bow_name").evaluate("(box) => [document.activeElement === box, box.selectionStart]") == [True, 5]
