"""A link's values and the reader's own: neither overwrites the other without asking. More of it is in link.test.mjs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import fragment, kept

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver

THEIRS = fragment({"reach": {"typed": "77", "unit": "mm"}})
MINE = kept(reach={"typed": "5", "unit": "mm"}, habit={"typed": "mine"})


@pytest.fixture
def visiting(driver: PageDriver) -> PageDriver:
    """A reader with values of their own who opens a link."""
    driver.keep(MINE)
    driver.open(THEIRS)
    driver.says("reach 77 mm")
    return driver


def test_link_is_looked_at_and_kept_when_it_is_asked_for(driver: PageDriver) -> None:
    driver.open(THEIRS)
    expect(driver.find(".qt-banner")).to_contain_text("values from a link. None of it is kept yet.")
    driver.says("reach 77 mm")
    assert driver.page.url == driver.address + THEIRS
    assert "reach" not in ((driver.stored() or {}).get("record") or {})
    expect(driver.find(".qt-status")).not_to_have_text("")
    # Another page of the tab, whose address has no link.
    driver.open()
    driver.says("reach 77 mm")
    driver.act("link-shelf")
    expect(driver.find(".qt-banner")).to_contain_text("now yours")
    assert driver.stored()["record"]["reach"]["typed"] == "77"


def test_link_is_kept_by_whoever_changes_something_of_it(driver: PageDriver) -> None:
    """The box that is typed in is not touched, and keeps the focus."""
    driver.open(THEIRS)
    driver.says("reach 77 mm")
    driver.find("#f-reach").press("End")
    driver.page.keyboard.type(".25")
    driver.says("reach 77.25 mm")
    expect(driver.find("#f-reach")).to_be_focused()
    expect(driver.find(".qt-banner")).to_contain_text("You changed something: now it is kept")
    assert driver.stored()["record"]["reach"]["typed"] == "77.25"
    assert driver.page.url == driver.address


def test_ones_own_are_kept_while_a_link_is_looked_at(visiting: PageDriver) -> None:
    expect(visiting.find(".qt-banner")).to_contain_text("These are values from a link; yours are kept.")
    assert visiting.value("habit") == "mine"
    visiting.type("reach", "78")
    visiting.says("reach 78 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"
    visiting.act("link-back")
    visiting.says("reach 5 mm")
    assert visiting.value("reach") == "5"
    assert visiting.page.url == visiting.address
    visiting.type("reach", "6")
    assert visiting.stored()["record"]["reach"]["typed"] == "6"


def test_browsers_back_shows_the_link_again(visiting: PageDriver) -> None:
    visiting.act("link-back")
    visiting.says("reach 5 mm")
    visiting.page.go_back()
    visiting.says("reach 77 mm")
    visiting.page.go_forward()
    visiting.says("reach 5 mm")


def test_keeping_a_links_values_asks_first_and_can_be_undone(visiting: PageDriver) -> None:
    visiting.act("link-keep")
    expect(visiting.find(".qt-banner")).to_contain_text("Replace your own values")
    expect(visiting.find(".qt-banner")).to_be_focused()
    assert visiting.stored()["record"]["reach"]["typed"] == "5"
    visiting.act("link-cancel")
    expect(visiting.find(".qt-banner")).to_contain_text("yours are kept")
    visiting.act("link-keep")
    visiting.act("link-replace")
    assert visiting.stored()["record"]["reach"]["typed"] == "77"
    assert visiting.stored()["record"]["habit"]["typed"] == "mine"
    assert visiting.page.url == visiting.address
    visiting.act("undo")
    visiting.says("reach 5 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"


def test_reload_keeps_looking_and_keeps_ones_own(visiting: PageDriver) -> None:
    visiting.page.reload()
    visiting.says("reach 77 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"


def test_heading_of_the_page_changes_no_values(visiting: PageDriver) -> None:
    visiting.page.evaluate("() => { addEventListener('hashchange', () => { window.moved = true; }); }")
    before = visiting.asks()
    visiting.find("#to-heading").click()
    # The page's own listener was there first.
    visiting.page.wait_for_function("() => window.moved")
    assert visiting.asks() == before
    assert visiting.value("reach") == "77"


def test_link_that_was_cut_off_changes_nothing(driver: PageDriver) -> None:
    driver.keep(MINE)
    driver.open("#q1.eyJ2ZXJz")
    expect(driver.find(".qt-banner")).to_contain_text("Nothing of yours was changed")
    expect(driver.find(".qt-banner li")).to_have_text("It is not whole JSON.")
    assert driver.value("reach") == "5"
    driver.act("close")
    expect(driver.find(".qt-banner")).to_be_hidden()


def test_link_waits_for_a_calculator_that_failed(driver: PageDriver) -> None:
    driver.plan(start="fail")
    driver.keep(MINE)
    driver.open(THEIRS)
    driver.calc("failed")
    assert driver.value("reach") == "5"
    driver.plan()
    driver.act("retry")
    driver.says("reach 77 mm")


def test_script_in_a_link_never_runs(driver: PageDriver) -> None:
    driver.open(fragment({"name": {"typed": "<img src=x onerror=window.ran=1>"}}))
    expect(driver.find("#said + p")).to_contain_text("<img src=x")
    assert driver.page.evaluate("window.ran") is None


def test_link_is_copied_and_opens_to_the_same_values(driver: PageDriver) -> None:
    driver.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    driver.open().type("reach", "4,5")
    driver.type("habit", "not for others")
    driver.type("look", "nor this")
    driver.act("link")
    expect(driver.find(".qt-status")).to_contain_text("The link is copied")
    address = driver.page.evaluate("navigator.clipboard.readText()")
    # Whoever opens it sees the result first: on the first page.
    assert address.startswith(f"{driver.server.address}#q1.")
    assert set(driver.asks("link")[-1]["record"]) == {"version", "reach"}
    driver.act("clear")
    driver.page.goto(address)
    driver.says("reach 4,5 mm")


def test_refused_clipboard_shows_the_address_to_copy(driver: PageDriver) -> None:
    driver.page.add_init_script(
        "if (navigator.clipboard) navigator.clipboard.writeText = () => Promise.reject(new Error('no'));"
    )
    driver.open().type("reach", "4")
    driver.act("link")
    box = driver.find(".qt-link input")
    expect(box).to_be_focused()
    assert box.input_value().startswith(f"{driver.server.address}#q1.")
    assert driver.page.evaluate("getSelection().toString()") == box.input_value()


def test_no_link_for_nothing_and_a_sentence_for_too_much(driver: PageDriver) -> None:
    driver.open().act("link")
    expect(driver.find(".qt-status")).to_contain_text("Nothing has been entered yet")
    driver.type("name", "no link")
    driver.act("link")
    expect(driver.find(".qt-status")).to_contain_text("Too long for a link.")
