"""What the page shows of what is kept: over a reload, between tabs, and when storage is forbidden, full or damaged.

The many cases of what is stored are in kept_values.test.mjs.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import ASIDE, STORED, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from browser_modules.page_driver import PageDriver

FORBID = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError'); };"


def test_values_come_back_after_a_reload_with_their_unit(driver: PageDriver) -> None:
    driver.open().type("reach", "2,5")
    driver.find("#u-reach").select_option("in")
    driver.choose("other")
    driver.page.reload()
    driver.says("reach 2,5 in")
    assert driver.value("reach") == "2,5"
    assert driver.find("#u-reach").input_value() == "in"
    expect(driver.find("input[value=other]")).to_be_checked()
    assert set(driver.stored()["times"]) == {"reach", "way"}


@pytest.mark.parametrize(("script", "words"), [(FORBID, "does not let the page keep"), (FULL, "storage is full")])
def test_page_works_without_storage_and_says_so_once(driver: PageDriver, script: str, words: str) -> None:
    driver.page.add_init_script(script)
    driver.open().type("reach", "5")
    driver.says("reach 5 mm")
    driver.type("reach", "6")
    driver.says("reach 6 mm")
    expect(driver.find(".qt-notices li")).to_have_count(1)
    expect(driver.find(".qt-notices")).to_contain_text(words)


def test_other_tabs_are_followed_but_not_into_the_field_being_edited(tab: Callable[[], PageDriver]) -> None:
    one, two = tab().open(), tab().open()
    one.type("reach", "5")
    expect(two.find("#f-reach")).to_have_value("5")
    two.says("reach 5 mm")
    two.page.bring_to_front()
    two.find("#f-count").focus()
    two.page.keyboard.type("3")
    one.type("count", "9")
    one.type("reach", "6")
    expect(two.find("#f-reach")).to_have_value("6")
    assert two.value("count") == "3"
    # Its own change is the later one again.
    two.page.keyboard.type("4")
    one.page.bring_to_front()
    one.find("#f-name").focus()
    expect(one.find("#f-count")).to_have_value("34")
    assert one.stored()["record"]["count"]["typed"] == "34"


def test_field_left_unchanged_takes_over_the_other_tabs_value(tab: Callable[[], PageDriver]) -> None:
    one, two = tab().open(), tab().open()
    two.find("#f-count").focus()
    two.page.evaluate("() => { addEventListener('storage', () => { window.heard = true; }); }")
    one.type("count", "9")
    # The page's own listener was there first.
    two.page.wait_for_function("() => window.heard")
    assert two.value("count") == ""
    two.find("#f-reach").focus()
    expect(two.find("#f-count")).to_have_value("9")


@pytest.mark.parametrize(
    ("text", "read", "words"),
    [
        ("{broken", "", "not whole JSON"),
        (json.dumps({"record": {"version": 1, "reach": {"typed": "7", "unit": "mm"}, "count": True}, "times": {}}),
         "7", "count was ignored."),
    ],
)  # fmt: skip
def test_damaged_record_is_read_in_part_and_put_aside(driver: PageDriver, text: str, read: str, words: str) -> None:
    driver.keep(text)
    driver.open()
    expect(driver.find(".qt-notices")).to_contain_text("damaged")
    expect(driver.find(".qt-notices")).to_contain_text(words)
    expect(driver.find("#f-reach")).to_have_value(read)
    driver.type("name", "mine")
    assert driver.page.evaluate("key => localStorage.getItem(key)", ASIDE) == text
    assert driver.stored()["record"]["name"] == {"typed": "mine"}
    assert driver.stored()["record"].get("reach", {}).get("typed", "") == read


def test_damaged_record_is_left_while_the_calculator_cannot_read_it(driver: PageDriver) -> None:
    driver.plan(start="fail")
    driver.keep("{broken")
    driver.open().type("reach", "5")
    driver.calc("failed")
    assert driver.page.evaluate("key => localStorage.getItem(key)", STORED) == "{broken"
    driver.plan()
    driver.act("retry")
    driver.says("reach 5 mm")
    expect(driver.find(".qt-notices")).to_contain_text("put aside")
    assert driver.stored()["record"]["reach"]["typed"] == "5"


def test_hostile_names_in_the_storage_do_no_harm(driver: PageDriver) -> None:
    driver.keep(
        '{"record":{"version":1,"__proto__":{"typed":"x"},"constructor":{"typed":"y"}},"times":{"__proto__":5}}'
    )
    driver.open().type("reach", "5")
    driver.says("reach 5 mm")
    assert driver.page.evaluate("({}).typed") is None


def test_newer_record_is_left_untouched(driver: PageDriver) -> None:
    text = kept(version=9, reach={"typed": "7", "unit": "mm"})
    driver.keep(text)
    driver.open()
    expect(driver.find(".qt-notices")).to_contain_text("newer version")
    expect(driver.find("#f-reach")).to_have_value("7")
    driver.type("reach", "8")
    driver.says("reach 8 mm")
    assert driver.page.evaluate("key => localStorage.getItem(key)", STORED) == text


def test_eviction_is_said_and_the_values_are_kept_again(driver: PageDriver) -> None:
    driver.open().type("reach", "5")
    driver.page.evaluate("localStorage.clear()")
    driver.type("count", "2")
    expect(driver.find(".qt-notices")).to_contain_text("has removed what it kept")
    assert driver.stored()["record"]["reach"]["typed"] == "5"


def test_clear_empties_all_and_undo_brings_it_back(driver: PageDriver) -> None:
    driver.open().type("reach", "5")
    driver.choose("both")
    driver.act("clear")
    assert (driver.value("reach"), driver.last_record()) == ("", {})
    expect(driver.find("input[value=both]")).not_to_be_checked()
    driver.says("reach none")
    driver.type("count", "2")
    driver.act("undo")
    assert driver.value("reach") == "5"
    expect(driver.find("input[value=both]")).to_be_checked()
    assert set(driver.stored()["record"]) == {"version", "reach", "way"}
    # What was entered since the clear is one more press away.
    driver.act("undo")
    assert (driver.value("count"), driver.value("reach")) == ("2", "")
