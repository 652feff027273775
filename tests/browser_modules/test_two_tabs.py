"""Two tabs of one browser: the later entry of a field counts, and an edit belongs to the bow it was begun for.

What must be kept follows from the order of what the two readers do (C). Here it is looked at through the form, the page
with the list of bows and the browser's own storage; two_tabs.test.mjs has the many cases in which two tabs meet.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from playwright.sync_api import expect

from browser_modules.page_driver import PREFIX, STORED, PageDriver, fragment, kept, wait_until

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeAlias

    from playwright.sync_api import Locator

    Tab: TypeAlias = Callable[[], PageDriver]

Bow = dict[str, Any]

SHELF = f"quarter-turn {PREFIX} bows"
CLUB, OTHER = "a" * 16, "b" * 16
# A page that misses what other tabs store, as in the back-forward cache, until it is told to hear again.
DEAF = """
window.deaf = false;
addEventListener("storage", (event) => { if (window.deaf) event.stopImmediatePropagation(); }, true);
"""
LOOK = """(typed) => {
  const box = document.getElementById("f-look");
  box.value = typed;
  box.dispatchEvent(new Event("input", { bubbles: true }));
}"""
"""Changes a field of the view without going into its box, as a picture does."""


def mm(typed: str) -> dict[str, str]:
    return {"typed": typed, "unit": "mm"}


def row(far: str, pull: str) -> dict[str, Any]:
    return {"far": mm(far), "pull": {"typed": pull, "unit": "N"}}


def bow(key: str, name: str, **record: Any) -> Bow:
    whole = {"bow_name": {"typed": name}, **record}
    return {"id": key, "record": {"version": 1, **whole}, "times": dict.fromkeys(whole, 5)}


def two_bows(driver: PageDriver, *, log: list[Any] | None = None) -> PageDriver:
    """The bow Club on the bench and on the shelf, and Other on the shelf."""
    steps = {"steps": log} if log else {}
    club = bow(CLUB, "Club", reach=mm("17"), count={"typed": "3", "unit": "turn"}, **steps)
    other = bow(OTHER, "Other", reach=mm("50"), **({"steps": [row("1", "1")]} if log else {}))
    data = json.loads(kept(5, **{key: entry for key, entry in club["record"].items() if key != "version"}))
    driver.page.goto(f"{driver.server.address}pages/blank.html")
    keep(driver, SHELF, {"version": 1, "bows": [club, other]})
    keep(driver, STORED, data | {"bow": {"id": CLUB, "time": 9}})
    return driver


def keep(driver: PageDriver, key: str, data: Any) -> None:
    driver.page.evaluate("([key, text]) => localStorage.setItem(key, text)", [key, json.dumps(data)])


def on_shelf(driver: PageDriver) -> dict[str, Bow]:
    """The bows of the shelf, by their names."""
    return {one["record"]["bow_name"]["typed"]: one for one in driver.stored(SHELF)["bows"]}


def reach_of(one: Bow) -> str | None:
    typed: str | None = one["record"].get("reach", {}).get("typed")
    return typed


def bows(driver: PageDriver) -> PageDriver:
    """The page with the list of bows, in another tab."""
    page = replace(driver, name="bows").open()
    expect(page.find(".qt-bows-live")).to_be_visible()
    return page


def take(page: PageDriver, name: str) -> None:
    """Open a bow of the list."""
    page.find(f"button[aria-label='Open: “{name}”']").click()
    expect(page.find(".qt-bench h3")).to_have_text(name)


def stored_here(driver: PageDriver, reach: dict[str, str]) -> None:
    """Wait for what another tab stored: one process of the browser has it from another a moment later."""
    wait_until(driver.page, lambda: driver.stored()["record"]["reach"] == reach, "what the other tab stored")


def away(one: PageDriver) -> None:
    one.page.evaluate("window.deaf = true")


def heard(driver: PageDriver, selector: str, value: str) -> None:
    """Wait until a tab has heard of another one, by a box that nobody is in."""
    expect(driver.find(selector)).to_have_value(value)


def notice(driver: PageDriver, words: str) -> None:
    expect(driver.find(".qt-notices")).to_contain_text(words)


def on_bench(driver: PageDriver, name: str) -> None:
    expect(driver.find(".qt-on-bench")).to_contain_text(f"Open bow: {name}")


# One bow ----------------------------------------------------------------------------------------------------------


def test_a_later_entry_is_not_written_over_by_a_box_that_is_only_being_looked_at(tab: Tab) -> None:
    one, two = tab().open(), tab().open()
    one.type("reach", "19.0")
    heard(two, "#f-reach", "19.0")
    two.type("reach", "18.5")
    two.type("count", "7")
    heard(one, "#f-count", "7")
    # Not taken from under the reader, and not written back either.
    assert one.value("reach") == "19.0"
    one.page.evaluate(LOOK, "wide")
    one.page.evaluate("document.getElementById('f-habit').dispatchEvent(new Event('input', { bubbles: true }))")
    one.choose("both")  # the box is left with it
    assert one.stored()["record"]["reach"] == mm("18.5")
    heard(one, "#f-reach", "18.5")
    assert one.last_record()["reach"] == mm("18.5")
    assert two.value("reach") == "18.5"


def test_who_goes_on_typing_has_the_later_entry(tab: Tab) -> None:
    one, two = tab().open(), tab().open()
    one.type("reach", "19.0")
    heard(two, "#f-reach", "19.0")
    two.type("reach", "18.5")
    two.type("count", "7")
    heard(one, "#f-count", "7")
    one.find("#f-reach").press("End")
    one.page.keyboard.type("5")
    assert one.stored()["record"]["reach"] == mm("19.05")
    assert one.last_record()["reach"] == mm("19.05")
    two.find("#f-name").focus()
    heard(two, "#f-reach", "19.05")


def test_in_another_window_a_box_is_not_being_edited(tab: Tab) -> None:
    one, two = tab().open(), tab().open()
    one.type("reach", "19.0")
    heard(two, "#f-reach", "19.0")
    # The tests' browser takes every page for the one in front.
    one.page.evaluate("document.hasFocus = () => false")
    two.type("reach", "18.5")
    heard(one, "#f-reach", "18.5")
    expect(one.find("#f-reach")).to_be_focused()
    one.page.evaluate("delete document.hasFocus")
    one.page.keyboard.press("End")
    one.page.keyboard.type("1")
    stored_here(two, mm("18.51"))


# Another bow ------------------------------------------------------------------------------------------------------


def stale(tab: Tab) -> tuple[PageDriver, PageDriver]:
    """A tab in the box of a field of Club, where 17.1 was typed, and one with the list of bows, which opened Other."""
    one = two_bows(tab()).open()
    one.find("#f-reach").press("End")
    one.page.keyboard.type(".1")
    assert one.stored()["record"]["reach"] == mm("17.1")
    page = bows(tab())
    take(page, "Other")
    on_bench(one, "Other")
    return one, page


def test_typing_on_goes_to_the_bow_it_was_begun_for(tab: Tab) -> None:
    one, page = stale(tab)
    notice(one, "Another tab opened another bow. What you type in this box goes to “Club”, which is saved.")
    one.page.keyboard.type("5")
    assert one.value("reach") == "17.15"
    assert reach_of(on_shelf(one)["Club"]) == "17.15"
    assert one.stored()["record"]["reach"] == mm("50")
    assert one.last_record()["reach"] == mm("50")
    # Left, the box is the new bow's.
    one.find("#f-count").focus()
    assert one.value("reach") == "50"
    one.type("reach", "51")
    assert one.stored()["record"]["reach"] == mm("51")
    assert reach_of(on_shelf(one)["Club"]) == "17.15"
    # And the first bow comes back with all that was typed for it.
    take(page, "Club")
    heard(one, "#f-count", "3")
    one.find("#f-count").focus()
    assert one.value("reach") == "17.15"
    assert reach_of(on_shelf(one)["Other"]) == "51"


def test_a_change_that_crosses_with_the_exchange_goes_to_its_own_bow(tab: Tab) -> None:
    """By a slider under a finger, which nobody is in: the page had not heard of the other bow yet."""
    one = two_bows(tab())
    one.page.add_init_script(DEAF)
    one.open()
    away(one)
    take(bows(tab()), "Other")
    stored_here(one, mm("50"))
    one.page.evaluate(
        "() => { const one = document.getElementById('s-reach'); one.value = 33; "
        "one.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    wait_until(one.page, lambda: reach_of(on_shelf(one)["Club"]) == "33.0", "the change in its own bow")
    assert one.stored()["record"]["reach"] == mm("50")
    assert (one.value("reach"), one.find("#s-reach").input_value()) == ("50", "50")
    on_bench(one, "Other")
    notice(one, "which is saved")


# Lists ------------------------------------------------------------------------------------------------------------


def box(driver: PageDriver, number: int, column: str) -> Locator:
    return driver.find(f"#f-steps-{number}-{column}")


LOG = [row("28", "100"), row("27", "90")]


def test_rows_of_both_tabs_stay(tab: Tab) -> None:
    one, two = two_bows(tab(), log=LOG).open(), tab().open()
    box(one, 1, "pull").focus()
    one.page.keyboard.press("End")
    # The other tab changes a row, adds one, and then changes the very row that is being edited here.
    box(two, 2, "pull").fill("95")
    box(two, 3, "far").fill("26")
    box(two, 1, "far").fill("29")
    two.type("count", "8")
    heard(one, "#f-count", "8")
    assert box(one, 1, "far").input_value() == "28"
    one.page.keyboard.type("5")
    one.page.keyboard.type("0")
    # That row stays in both states: which of them is right, only the reader knows.
    wanted = [row("28", "10050"), row("27", "95"), row("29", "100"), {"far": mm("26")}]
    assert one.stored()["record"]["steps"] == wanted
    assert one.last_record()["steps"] == wanted
    heard(two, "#f-steps-1-pull", "10050")
    assert box(one, 3, "far").input_value() == ""
    one.find("#f-count").focus()
    assert [box(one, number, "far").input_value() for number in (1, 2, 3, 4)] == ["28", "27", "29", "26"]


def test_a_row_removed_in_one_tab_and_one_changed_in_the_other(tab: Tab) -> None:
    one, two = two_bows(tab(), log=LOG).open(), tab().open()
    box(one, 2, "pull").focus()
    one.page.keyboard.press("End")
    two.find("#field-steps [data-act=remove-row]").first.click()
    two.type("count", "8")
    heard(one, "#f-count", "8")
    one.page.keyboard.type("5")
    assert one.stored()["record"]["steps"] == [row("27", "905")]
    # A row removed here, with the other tab's new one not in sight.
    box(two, 2, "far").fill("20")
    two.type("count", "9")
    heard(one, "#f-count", "9")
    one.find("#field-steps [data-act=remove-row]").nth(1).click()
    assert one.stored()["record"]["steps"] == [{"far": mm("20")}]
    one.act("undo")
    assert one.stored()["record"]["steps"] == [row("27", "905"), {"far": mm("20")}]


def test_a_row_begun_for_another_bow_goes_to_that_bow(tab: Tab) -> None:
    one = two_bows(tab(), log=LOG).open()
    box(one, 3, "far").fill("2")
    take(bows(tab()), "Other")
    on_bench(one, "Other")
    one.page.keyboard.type("6")
    assert on_shelf(one)["Club"]["record"]["steps"] == [*LOG, {"far": mm("26")}]
    assert one.stored()["record"]["steps"] == [row("1", "1")]
    one.find("#f-count").focus()
    heard(one, "#f-steps-1-far", "1")
    assert box(one, 3, "far").input_value() == ""
    assert on_shelf(one)["Club"]["record"]["steps"] == [*LOG, {"far": mm("26")}]


# Undo, and pages that were away --------------------------------------------------------------------------------------


def test_undo_brings_the_bow_of_then_back_and_the_other_goes_to_the_shelf(tab: Tab) -> None:
    one = two_bows(tab(), log=LOG).open()
    one.find("#field-steps [data-act=remove-row]").first.click()
    assert one.stored()["record"]["steps"] == LOG[1:]
    page = bows(tab())
    take(page, "Other")
    on_bench(one, "Other")
    one.type("reach", "52")
    one.act("undo")
    on_bench(one, "Club")
    assert (one.value("reach"), one.stored()["record"]["steps"]) == ("17", LOG)
    assert one.stored()["bow"]["id"] == CLUB
    assert reach_of(on_shelf(one)["Other"]) == "52"
    assert "steps" in on_shelf(one)["Other"]["record"]
    # Once more: the other one again, and nothing of either is lost.
    one.act("undo")
    on_bench(one, "Other")
    assert one.value("reach") == "52"
    assert on_shelf(one)["Club"]["record"]["steps"] == LOG


def back(one: PageDriver) -> None:
    """The page comes back from the browser's back-forward cache."""
    one.page.evaluate("window.deaf = false")
    one.page.evaluate("dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))")


def test_a_page_that_comes_back_shows_all_that_changed_meanwhile(tab: Tab) -> None:
    one = two_bows(tab())
    one.page.add_init_script(DEAF)
    one.open()
    one.find("#f-reach").press("End")
    one.page.keyboard.type(".1")
    two = tab().open()
    away(one)
    two.type("reach", "18")
    assert one.value("reach") == "17.1"
    stored_here(one, mm("18"))
    back(one)
    # Into the box that has the focus too: the reader was away.
    assert one.value("reach") == "18"
    away(one)
    take(bows(tab()), "Other")
    stored_here(one, mm("50"))
    back(one)
    assert (one.value("reach"), one.value("count")) == ("50", "")
    on_bench(one, "Other")
    expect(one.find(".qt-notices")).to_be_hidden()
    one.find("#f-reach").press("End")
    one.page.keyboard.type("1")
    assert one.stored()["record"]["reach"] == mm("501")
    assert reach_of(on_shelf(one)["Club"]) == "18"


def test_while_a_link_is_looked_at_other_tabs_are_followed_beneath(tab: Tab) -> None:
    two = two_bows(tab()).open()
    one = tab().open(fragment({"reach": mm("77")}))
    one.says("reach 77 mm")
    one.find("#f-reach").press("End")
    two.type("reach", "19")
    two.find("#f-count").focus()
    one.page.keyboard.type("8")
    assert one.value("reach") == "778"
    assert two.value("reach") == "19"
    one.act("link-back")
    assert one.value("reach") == "19"
    assert one.stored()["record"]["reach"] == mm("19")
