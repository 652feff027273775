"""Two tabs of one browser: the later entry of a field counts, and an edit belongs to the bow it was begun for.

What must be kept follows from the order of what the two readers do (C).
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
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
WRITES = """
window.writes = [];
const set = Storage.prototype.setItem;
Storage.prototype.setItem = function (...words) {
  window.writes.push(words[0]);
  return set.apply(this, words);
};
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


def two_bows(driver: PageDriver, *, name: str = CLUB, log: list[Any] | None = None) -> PageDriver:
    """The bow Club on the bench and Other on the shelf; with another `name` Club was never on the shelf."""
    steps = {"steps": log} if log else {}
    club = bow(CLUB, "Club", reach=mm("17"), count={"typed": "3", "unit": "turn"}, **steps)
    other = bow(OTHER, "Other", reach=mm("50"), **({"steps": [row("1", "1")]} if log else {}))
    shelf = [club, other] if name else [other]
    data = json.loads(kept(5, **{key: entry for key, entry in club["record"].items() if key != "version"}))
    driver.page.goto(f"{driver.server.address}pages/blank.html")
    keep(driver, SHELF, {"version": 1, "bows": shelf})
    keep(driver, STORED, data | ({"bow": {"id": CLUB, "time": 9}} if name else {}))
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
    """The page on bows, in another tab."""
    page = replace(driver, name="bows").open()
    expect(page.find(".qt-bows-live")).to_be_visible()
    return page


def take(page: PageDriver, name: str) -> None:
    """Take a bow to the bench."""
    page.find(f"button[aria-label='Take to the bench: “{name}”']").click()
    expect(page.find(".qt-bench h3")).to_have_text(name)


def heard(driver: PageDriver, selector: str, value: str) -> None:
    """Wait until a tab has heard of another one, by a box that nobody is in."""
    expect(driver.find(selector)).to_have_value(value)


def notice(driver: PageDriver, words: str) -> None:
    expect(driver.find(".qt-notices")).to_contain_text(words)


def on_bench(driver: PageDriver, name: str) -> None:
    expect(driver.find(".qt-on-bench")).to_contain_text(f"On the bench: {name}")


# One bow ----------------------------------------------------------------------------------------------------------


def test_a_change_of_the_view_writes_nothing(driver: PageDriver) -> None:
    driver.page.add_init_script(WRITES)
    driver.open().type("reach", "5")
    before = driver.page.evaluate("window.writes.length")
    text = json.dumps(driver.stored())
    driver.page.evaluate(LOOK, "wide")
    assert driver.last_record()["look"] == {"typed": "wide"}
    assert (driver.page.evaluate("window.writes.length"), json.dumps(driver.stored())) == (before, text)
    # Nor where nothing is kept yet.
    driver.page.evaluate("localStorage.clear()")
    driver.page.evaluate(LOOK, "narrow")
    assert driver.last_record()["look"] == {"typed": "narrow"}
    assert driver.stored() is None


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
    assert two.stored()["record"]["reach"] == mm("18.51")


def test_changes_within_one_tick_of_the_clock_stay_in_order(tab: Tab) -> None:
    one, two = tab(), tab()
    for each in (one, two):
        each.page.add_init_script("Date.now = () => 1_800_000_000_000;" + DEAF)
        each.open()
    for number, each in enumerate([one, two, one, two, two, one]):
        # Neither waits for the other's news.
        for other in (one, two):
            other.page.evaluate("window.deaf = true")
        each.type("reach", str(number))
        assert each.stored()["record"]["reach"] == mm(str(number))
    for each in (one, two):
        each.page.evaluate("window.deaf = false")
    one.type("count", "1")
    two.find("#f-name").focus()
    heard(two, "#f-reach", "5")
    heard(one, "#f-reach", "5")


def test_two_equally_old_entries_become_one_in_both_tabs(tab: Tab) -> None:
    one, two = tab().open(), tab().open()
    one.type("name", "x")
    heard(two, "#f-name", "x")
    third = tab()
    third.page.goto(f"{third.server.address}pages/blank.html")
    # As two tabs at one moment, neither of which had heard of the other: the last of them is what is stored.
    time = one.stored()["times"]["name"] + 1000
    for typed in ("aa", "bb", "aa"):
        keep(third, STORED, json.loads(kept(time, name={"typed": typed})))
    one.find("#f-count").focus()
    heard(one, "#f-name", "bb")
    heard(two, "#f-name", "bb")
    wait_until(one.page, lambda: one.stored()["record"]["name"] == {"typed": "bb"}, "one name")


def test_an_entry_that_another_tab_wrote_over_at_the_same_time_is_written_again(tab: Tab) -> None:
    one = tab().open()
    one.type("reach", "5")
    before = one.stored()
    one.type("name", "mine")
    third = tab()
    third.page.goto(f"{third.server.address}pages/blank.html")
    before["record"]["count"] = {"typed": "2", "unit": "turn"}
    before["times"]["count"] = before["times"]["reach"] + 5
    keep(third, STORED, before)
    heard(one, "#f-count", "2")
    wait_until(one.page, lambda: one.stored()["record"].get("name") == {"typed": "mine"}, "the name again")
    assert one.stored()["record"]["count"] == {"typed": "2", "unit": "turn"}


@pytest.mark.parametrize("shelved", [True, False])
def test_cleared_in_another_tab_stays_cleared(tab: Tab, shelved: bool) -> None:
    one, two = two_bows(tab(), name=CLUB if shelved else "").open(), tab().open()
    one.find("#f-reach").press("End")
    one.page.keyboard.type(".1")
    heard(two, "#f-reach", "17.1")
    two.act("clear")
    heard(one, "#f-count", "")
    assert one.value("reach") == "17.1"
    one.page.evaluate(LOOK, "wide")
    assert set(one.stored()["record"]) == {"version"}
    if shelved:
        assert reach_of(on_shelf(one)["Club"]) == "17.1"
    one.find("#f-habit").focus()
    assert one.value("reach") == ""
    assert set(one.stored()["record"]) == {"version"}
    one.says("reach none")


def test_typing_on_after_a_clear_is_an_entry_of_the_empty_bench(tab: Tab) -> None:
    """Where the bow was never on the shelf: there is nothing else that it could belong to."""
    one, two = two_bows(tab(), name="").open(), tab().open()
    one.find("#f-reach").press("End")
    one.page.keyboard.type(".1")
    heard(two, "#f-reach", "17.1")
    two.act("clear")
    heard(one, "#f-count", "")
    one.page.keyboard.type("5")
    assert one.stored()["record"] == {"version": 1, "reach": mm("17.15")}
    heard(two, "#f-reach", "17.15")
    # And where that tab takes its clear back while the box holds what comes back, it is no other bow's either.
    two.act("undo")
    heard(one, "#f-count", "3")


# Another bow ------------------------------------------------------------------------------------------------------


def stale(tab: Tab, shelved: bool = True) -> tuple[PageDriver, PageDriver]:
    """A tab in the box of a field of Club, where 17.1 was typed, and the page on bows, which has taken Other."""
    one = two_bows(tab(), name=CLUB if shelved else "").open()
    one.find("#f-reach").press("End")
    one.page.keyboard.type(".1")
    assert one.stored()["record"]["reach"] == mm("17.1")
    page = bows(tab())
    take(page, "Other")
    on_bench(one, "Other")
    return one, page


@pytest.mark.parametrize("shelved", [True, False])
def test_an_old_text_is_not_written_into_the_other_bow(tab: Tab, shelved: bool) -> None:
    one, _ = stale(tab, shelved)
    # All is the other bow's but the text under the reader's hands.
    assert (one.value("reach"), one.value("count")) == ("17.1", "")
    assert one.last_record()["reach"] == mm("50")
    one.page.evaluate(LOOK, "wide")
    one.find("#f-habit").fill("mine")
    assert one.stored()["record"]["reach"] == mm("50")
    assert one.stored()["record"]["habit"] == {"typed": "mine"}
    assert one.value("reach") == "50"
    assert reach_of(on_shelf(one)["Club"]) == "17.1"


@pytest.mark.parametrize("shelved", [True, False])
def test_typing_on_goes_to_the_bow_it_was_begun_for(tab: Tab, shelved: bool) -> None:
    one, page = stale(tab, shelved)
    notice(one, "Another tab put another bow on the bench. What you type in this box goes to “Club”, on the shelf.")
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


def test_typing_on_after_the_bow_came_back_is_an_entry_of_the_bench(tab: Tab) -> None:
    one, page = stale(tab)
    take(page, "Club")
    on_bench(one, "Club")
    one.page.keyboard.type("5")
    assert one.stored()["record"]["reach"] == mm("17.15")
    assert one.last_record()["reach"] == mm("17.15")
    assert reach_of(on_shelf(one)["Other"]) == "50"


def test_a_bow_that_is_only_put_on_the_shelf_is_still_the_same(tab: Tab) -> None:
    one = two_bows(tab(), name="").open()
    one.find("#f-reach").press("End")
    one.page.keyboard.type(".1")
    page = bows(tab())
    page.find("button[aria-label='Put a copy on the shelf: “Club”']").click()
    wait_until(one.page, lambda: one.stored().get("bow") is not None, "an id")
    one.page.keyboard.type("5")
    assert one.stored()["record"]["reach"] == mm("17.15")
    assert one.last_record()["reach"] == mm("17.15")
    assert one.stored()["bow"]["id"] == on_shelf(one)["Club"]["id"]
    expect(one.find(".qt-notices")).to_be_hidden()


def test_a_text_without_a_bow_is_not_kept_and_the_page_says_so(tab: Tab) -> None:
    one, page = stale(tab)
    page.find("summary[aria-label='More: “Club”']").click()
    page.find("button[aria-label='Delete: “Club”']").click()
    expect(page.find(".qt-shelf h3")).to_have_count(0)
    one.page.keyboard.type("5")
    notice(one, "The bow that you were typing for is not on the shelf: what you type in this box is not kept.")
    assert one.stored()["record"]["reach"] == mm("50")
    assert set(on_shelf(one)) == {"Other"}


def test_a_change_that_crosses_with_the_exchange_goes_to_its_own_bow(tab: Tab) -> None:
    """By a slider under a finger, which nobody is in: the page had not heard of the other bow yet."""
    one = two_bows(tab())
    one.page.add_init_script(DEAF)
    one.open()
    one.page.evaluate("window.deaf = true")
    take(bows(tab()), "Other")
    one.page.evaluate(
        "() => { const one = document.getElementById('s-reach'); one.value = 33; "
        "one.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    assert reach_of(on_shelf(one)["Club"]) == "33.0"
    assert one.stored()["record"]["reach"] == mm("50")
    assert (one.value("reach"), one.find("#s-reach").input_value()) == ("50", "50")
    on_bench(one, "Other")
    notice(one, "on the shelf")


def test_an_entry_that_the_exchange_did_not_know_of_is_on_the_shelf_all_the_same(tab: Tab) -> None:
    one = two_bows(tab()).open()
    third = tab()
    third.page.goto(f"{third.server.address}pages/blank.html")
    shelf, other = one.stored(SHELF), one.stored(SHELF)["bows"][1]
    one.type("reach", "33")
    one.find("#f-count").focus()
    # As written by a tab at the same moment: the bow went to the shelf without that entry.
    keep(third, SHELF, shelf)
    keep(third, STORED, {"record": other["record"], "times": other["times"], "bow": {"id": OTHER, "time": 50}})
    heard(one, "#f-reach", "50")
    assert reach_of(on_shelf(one)["Club"]) == "33"


def test_what_a_late_tab_writes_of_the_bow_before_is_not_taken_for_the_new_one(tab: Tab) -> None:
    one = two_bows(tab()).open()
    before = one.stored()
    take(bows(tab()), "Other")
    heard(one, "#f-reach", "50")
    third = tab()
    third.page.goto(f"{third.server.address}pages/blank.html")
    before["record"]["reach"] = mm("66")
    before["times"]["reach"] = 4_000_000_000_000
    keep(third, STORED, before)
    wait_until(one.page, lambda: reach_of(one.stored()) == "50", "the bow of the bench again")
    assert one.stored()["bow"]["id"] == OTHER
    heard(one, "#f-reach", "50")
    on_bench(one, "Other")


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


def test_undo_of_a_clear_keeps_what_was_changed_of_that_bow_since(tab: Tab) -> None:
    one = two_bows(tab()).open()
    one.act("clear")
    one.says("reach none")
    page, two = bows(tab()), tab().open()
    take(page, "Club")
    heard(two, "#f-reach", "17")
    two.type("reach", "18")
    two.type("count", "")
    heard(one, "#f-reach", "18")
    page.page.bring_to_front()
    take(page, "Other")
    on_bench(one, "Other")
    one.act("undo")
    on_bench(one, "Club")
    assert one.stored()["record"]["reach"] == mm("18")
    assert "count" not in one.stored()["record"]
    assert reach_of(on_shelf(one)["Other"]) == "50"


def test_undo_of_a_bow_that_got_its_id_meanwhile_makes_no_second_one(tab: Tab) -> None:
    one = two_bows(tab(), name="", log=LOG).open()
    one.find("#field-steps [data-act=remove-row]").first.click()
    take(bows(tab()), "Other")
    on_bench(one, "Other")
    one.act("undo")
    on_bench(one, "Club")
    assert one.stored()["record"]["steps"] == LOG
    assert one.stored()["bow"]["id"] == on_shelf(one)["Club"]["id"]
    assert len(one.stored(SHELF)["bows"]) == 2


def away(one: PageDriver) -> None:
    one.page.evaluate("window.deaf = true")


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
    back(one)
    # Into the box that has the focus too: the reader was away.
    assert one.value("reach") == "18"
    away(one)
    take(bows(tab()), "Other")
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
