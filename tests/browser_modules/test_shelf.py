"""Several bows: the bench gives way to another bow, and the one that lay there goes to the shelf."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import PREFIX, STORED, PageDriver, fragment, kept

if TYPE_CHECKING:
    pass

Bow = dict[str, Any]

SHELF = f"quarter-turn {PREFIX} bows"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError'); };"


OWN: dict[str, Any] = {"reach": {"typed": "5", "unit": "mm"}, "bow_name": {"typed": "Club"}}
ON_SHELF = {"id": "aaaaaaaa", "record": {"version": 1, **OWN}, "times": {"reach": 1, "bow_name": 2}}


def store(driver: PageDriver, key: str, text: str) -> None:
    driver.page.evaluate("([key, text]) => localStorage.setItem(key, text)", [key, text])


def of_the_shelf(driver: PageDriver) -> PageDriver:
    """A page whose bow lies on the shelf too, as it was before the count was entered."""
    driver.page.goto(f"{driver.server.address}pages/blank.html")
    data = json.loads(kept(10, **OWN, count={"typed": "3", "unit": "turn"}, habit={"typed": "mine"}))
    store(driver, STORED, json.dumps(data | {"bow": {"id": "aaaaaaaa", "time": 9}}))
    store(driver, SHELF, json.dumps({"version": 1, "bows": [ON_SHELF]}))
    return driver


def on_shelf(driver: PageDriver) -> list[Bow]:
    bows: list[Bow] = driver.stored(SHELF)["bows"]
    return bows


RETURNED = {
    "id": "aaaaaaaa",
    "record": {"version": 1, **OWN, "count": {"typed": "3", "unit": "turn"}},
    "times": {"reach": 1, "bow_name": 2, "count": 10},
}


def test_a_bow_of_the_shelf_goes_back_there_before_all_is_cleared(driver: PageDriver) -> None:
    of_the_shelf(driver).open()
    driver.says("reach 5 mm")
    expect(driver.find(".qt-on-bench")).to_contain_text("Open bow: Club")
    driver.act("clear")
    driver.says("reach none")
    expect(driver.find(".qt-on-bench")).to_be_hidden()
    assert on_shelf(driver) == [RETURNED]
    assert driver.stored()["bow"]["id"] is None
    # Another bow is entered: it is not the one of the shelf.
    driver.type("reach", "9")
    driver.act("clear")
    assert on_shelf(driver) == [RETURNED]
    driver.act("undo")
    driver.act("undo")
    assert on_shelf(driver) == [RETURNED]


def test_undo_of_a_clear_is_the_same_bow_again(driver: PageDriver) -> None:
    of_the_shelf(driver).open()
    driver.says("reach 5 mm")
    driver.act("clear")
    driver.act("undo")
    driver.says("reach 5 mm")
    assert driver.stored()["bow"]["id"] == "aaaaaaaa"
    driver.page.reload()
    driver.says("reach 5 mm")
    driver.type("reach", "6")
    driver.act("clear")
    (back,) = on_shelf(driver)
    assert back["record"]["reach"] == {"typed": "6", "unit": "mm"}


def theirs(name: str) -> str:
    return fragment({"reach": {"typed": "77", "unit": "mm"}, "bow_name": {"typed": name}})


@pytest.mark.parametrize(("name", "same"), [("Club", True), ("Other", False)])
def test_a_kept_link_is_of_the_same_bow_only_under_its_name(driver: PageDriver, name: str, same: bool) -> None:
    of_the_shelf(driver).open(theirs(name))
    driver.says("reach 77 mm")
    expect(driver.find(".qt-on-bench")).to_contain_text(f"Bow of the link: {name}")
    driver.act("link-keep")
    driver.act("link-replace")
    expect(driver.find(".qt-banner")).to_contain_text("now yours")
    assert driver.stored()["record"]["reach"]["typed"] == "77"
    assert driver.stored()["bow"]["id"] == ("aaaaaaaa" if same else None)
    assert on_shelf(driver) == [ON_SHELF if same else RETURNED]


def test_a_links_bow_goes_to_the_shelf_beside_ones_own(driver: PageDriver) -> None:
    of_the_shelf(driver).open(theirs("Other"))
    driver.says("reach 77 mm")
    driver.act("link-shelf")
    driver.says("reach 5 mm")
    expect(driver.find(".qt-banner")).to_contain_text("is saved")
    assert driver.page.url == driver.address
    mine, other = on_shelf(driver)
    assert mine == ON_SHELF
    assert other["record"] == {"version": 1, "reach": {"typed": "77", "unit": "mm"}, "bow_name": {"typed": "Other"}}
    assert set(other["times"]) == {"reach", "bow_name"}
    # Once more: it is there already.
    driver.page.go_back()
    driver.says("reach 77 mm")
    driver.act("link-shelf")
    expect(driver.find(".qt-banner")).to_contain_text("was saved already")
    assert len(on_shelf(driver)) == 2


def test_where_nothing_can_be_stored_a_clear_can_still_be_undone(driver: PageDriver) -> None:
    driver.page.add_init_script(FULL)
    driver.open().type("reach", "5")
    driver.act("clear")
    driver.says("reach none")
    driver.act("undo")
    driver.says("reach 5 mm")
