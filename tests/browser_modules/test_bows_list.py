"""The list of bows as a part of a page: it works on the page's own session, record and storage."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import PREFIX, STORED, kept

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver

SHELF = f"quarter-turn {PREFIX} bows"
CLUB: dict[str, Any] = {"bow_name": {"typed": "Club"}, "reach": {"typed": "5", "unit": "mm"}}
OTHER: dict[str, Any] = {"bow_name": {"typed": "Other"}, "reach": {"typed": "9", "unit": "mm"}}
# A reader's habit, of which the page itself has no box.
HABIT: dict[str, Any] = {"habit": {"typed": "mine"}}


def of_the_shelf(key: str, record: dict[str, Any]) -> dict[str, Any]:
    return {"id": key, "record": {"version": 1, **record}, "times": dict.fromkeys(record, 1)}


@pytest.fixture
def bows(driver: PageDriver) -> PageDriver:
    """The page with the list, Club open and saved, Other saved."""
    page = replace(driver, name="bows")
    page.keep(json.dumps(json.loads(kept(**CLUB, **HABIT)) | {"bow": {"id": "aaaaaaaa", "time": 9}}))
    saved = [of_the_shelf("aaaaaaaa", CLUB), of_the_shelf("bbbbbbbb", OTHER)]
    page.page.evaluate(
        "([key, text]) => localStorage.setItem(key, text)", [SHELF, json.dumps({"version": 1, "bows": saved})]
    )
    return page.open()


def press(page: PageDriver, words: str) -> None:
    """Press a button of a bow, unfolding what it is in."""
    button = page.find(f"button[aria-label='{words}']")
    button.evaluate("one => { const fold = one.closest('details'); if (fold) fold.open = true; }")
    button.click()


def saved(page: PageDriver) -> dict[str, dict[str, Any]]:
    """What is on the shelf, by the bows' names."""
    return {one["record"]["bow_name"]["typed"]: one["record"] for one in page.stored(SHELF)["bows"]}


def test_a_bow_that_is_opened_is_the_pages_own(bows: PageDriver) -> None:
    bows.says("reach 5 mm")
    press(bows, "Open: “Other”")
    bows.says("reach 9 mm")
    assert bows.value("reach") == "9"
    expect(bows.find(".qt-bench h3")).to_have_text("Other")
    expect(bows.find(".qt-on-bench")).to_contain_text("Open bow: Other")
    # The reader's habits stay theirs: of no bow, though this page has no box for them.
    assert bows.stored()["record"] == {"version": 1, **OTHER, **HABIT}
    assert saved(bows) == {"Club": {"version": 1, **CLUB}, "Other": {"version": 1, **OTHER}}
    # And the page's own Undo brings the first one back.
    bows.find(".qt-tools:not(.qt-bows *) [data-act=undo]").click()
    bows.says("reach 5 mm")
    assert bows.stored()["bow"]["id"] == "aaaaaaaa"


def test_what_is_entered_on_the_page_is_in_the_list_at_once(bows: PageDriver) -> None:
    expect(bows.find(".qt-bench .qt-bow-facts")).to_contain_text("2 entries")
    bows.type("reach", "")
    expect(bows.find(".qt-bench .qt-bow-facts")).to_contain_text("1 entry")


def test_the_open_bow_is_deleted_and_had_back(bows: PageDriver) -> None:
    press(bows, "Delete: “Club”")
    expect(bows.find(".qt-status")).to_contain_text("“Club” is deleted.")
    bows.says("reach none")
    assert set(saved(bows)) == {"Other"}
    assert bows.stored()["record"] == {"version": 1, **HABIT}
    bows.find(".qt-bows [data-act=undo]").click()
    bows.says("reach 5 mm")
    assert bows.stored()["record"] == {"version": 1, **CLUB, **HABIT}
    assert saved(bows) == {"Club": {"version": 1, **CLUB}, "Other": {"version": 1, **OTHER}}


def test_a_new_empty_bow_leaves_the_open_one_saved(bows: PageDriver) -> None:
    bows.type("reach", "6")
    bows.find("[data-act=new]").click()
    bows.says("reach none")
    assert bows.value("reach") == ""
    assert saved(bows)["Club"] == {"version": 1, **CLUB, "reach": {"typed": "6", "unit": "mm"}}
    assert bows.stored(STORED)["bow"]["id"] is None


def test_buttons_of_the_list_and_of_the_page_do_not_meet(bows: PageDriver) -> None:
    """Both have an Undo; each undoes its own."""
    bows.find(".qt-tools:not(.qt-bows *) [data-act=clear]").click()
    bows.says("reach none")
    expect(bows.find(".qt-bows [data-act=undo]")).to_be_hidden()
    bows.find(".qt-tools:not(.qt-bows *) [data-act=undo]").click()
    bows.says("reach 5 mm")
