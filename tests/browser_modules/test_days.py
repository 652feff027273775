"""Boxes for days, the browser's own or a plain one; and a list of which a link says how things stand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import fragment, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator

    from browser_modules.page_driver import PageDriver


@pytest.fixture
def days(driver: PageDriver) -> PageDriver:
    """A tab, not yet on the page that has boxes for days."""
    driver.name = "days"
    return driver


def box(driver: PageDriver, row: int, column: str = "day") -> Locator:
    return driver.find(f"#f-entries-{row}-{column}")


def entry(day: str, pull: str = "") -> dict[str, Any]:
    row: dict[str, Any] = {"day": {"typed": day}}
    return row | ({"pull": {"typed": pull, "unit": "N"}} if pull else {})


ONE, TWO = entry("2026-03-14", "100"), entry("2026-04-01")


def test_a_day_is_kept_as_iso_writes_it(days: PageDriver) -> None:
    days.open()
    days.type("made", "2026-06-30")
    box(days, 1).fill("2026-03-14")
    box(days, 1, "pull").fill("100")
    box(days, 2).fill("2026-04-01")
    record = {"made": {"typed": "2026-06-30"}, "entries": [ONE, TWO]}
    assert days.last_record() == record
    assert days.stored()["record"] == {"version": 1} | record
    days.page.reload()
    assert days.value("made") == "2026-06-30"
    assert [box(days, row).input_value() for row in (1, 2)] == ["2026-03-14", "2026-04-01"]
    expect(days.find("#f-made")).to_have_attribute("type", "date")
    days.type("made", "")
    assert days.last_record() == {"entries": [ONE, TWO]}


def test_a_day_is_typed_by_keyboard_part_by_part(days: PageDriver) -> None:
    """Until its parts make a day, the browser gives the box no value: the row says so, and is not taken for empty."""
    days.open()
    note = days.find("#field-entries .qt-row-note")
    box(days, 1).focus()
    days.page.keyboard.type("02312026")  # in the order of the browser's language: month, day, year
    expect(note).to_be_hidden()
    days.find("#f-name").focus()
    expect(note).to_have_text("No whole day yet: entry 1.")
    assert days.asks() == []
    box(days, 1, "pull").fill("9")
    expect(note).to_have_text("No whole day yet: entry 1. Not used yet, because a box is empty: entry 1.")
    assert days.last_record() == {"entries": [{"pull": {"typed": "9", "unit": "N"}}]}
    box(days, 1).fill("2026-02-28")
    expect(note).to_be_hidden()
    assert days.last_record() == {"entries": [entry("2026-02-28", "9")]}


def test_what_is_no_day_stands_in_a_plain_box_and_is_not_lost(days: PageDriver) -> None:
    odd = [entry("31 June", "5"), TWO]
    days.keep(kept(made="2026-06-31", entries=odd))
    days.open()
    expect(days.find("#f-made")).to_have_attribute("type", "text")
    assert days.value("made") == "2026-06-31"
    assert [box(days, row).input_value() for row in (1, 2)] == ["31 June", "2026-04-01"]
    expect(box(days, 2)).to_have_attribute("type", "date")
    box(days, 2, "pull").fill("7")
    assert days.last_record()["entries"] == [odd[0], entry("2026-04-01", "7")]
    # Mended in place; at the next visit it is the browser's own box again.
    box(days, 1).fill("2026-06-30")
    assert days.last_record()["entries"][0] == entry("2026-06-30", "5")
    days.page.reload()
    expect(box(days, 1)).to_have_attribute("type", "date")
    assert box(days, 1).input_value() == "2026-06-30"
    days.act("clear")
    expect(days.find("#f-made")).to_have_attribute("type", "date")
    assert days.value("made") == ""


def test_a_day_is_printed_as_it_is_kept(days: PageDriver) -> None:
    days.open()
    days.type("made", "2026-06-30")
    box(days, 1).fill("2026-03-14")
    days.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    printed = days.find(".qt-print-value").all_text_contents()
    assert "2026-06-30" in printed
    assert "2026-03-14" in printed
    days.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert days.value("made") == "2026-06-30"


def test_what_no_link_carries_is_said_when_one_is_made(days: PageDriver) -> None:
    days.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    days.open()
    days.type("name", "club bow")
    days.act("link")
    expect(days.find(".qt-status")).to_contain_text("The link is copied. It carries the values of this bow.")
    expect(days.find(".qt-status")).not_to_contain_text("Not in the link")
    box(days, 1).fill("2026-03-14")
    days.act("link")
    expect(days.find(".qt-status")).to_contain_text("It carries the values of this bow. Not in the link: Entries.")
    assert days.asks("link")[-1]["record"]["entries"] == [entry("2026-03-14")]


def test_a_links_values_never_take_what_no_link_carries(days: PageDriver) -> None:
    """Looked at without it, kept with it. Of a list that the page shows: link.test.mjs."""
    own = "kept by another page"
    days.keep(kept(name="club bow", diary=own))
    days.open(fragment({"name": "other bow"}))
    expect(days.find(".qt-banner")).to_contain_text("yours are kept")
    assert days.last_record() == {"name": "other bow"}
    days.act("link-keep")
    days.act("link-replace")
    expect(days.find(".qt-banner")).to_contain_text("now yours")
    assert days.stored()["record"] == {"version": 1, "name": "other bow", "diary": own}
    assert days.last_record() == {"name": "other bow", "diary": own}
    days.act("clear")
    assert days.stored()["record"] == {"version": 1}
    days.act("undo")
    assert days.stored()["record"] == {"version": 1, "name": "other bow", "diary": own}


THREE, FOUR = entry("2026-05-01", "102"), entry("2026-06-01", "103")


@pytest.mark.parametrize(
    ("name", "own", "there", "rows"),
    [
        ("club bow", [ONE], THREE, [ONE, THREE]),
        ("club bow", [ONE, TWO, THREE], FOUR, [ONE, TWO, THREE]),
    ],
    ids=["rows of both", "more than there may be"],
)
def test_rows_of_a_link_that_is_kept(
    days: PageDriver, name: str, own: list[Any], there: dict[str, Any], rows: list[Any]
) -> None:
    days.keep(kept(bow_name="club bow", entries=own))
    days.open(fragment({"bow_name": name, "entries": [there], "reach": "3"}))
    expect(days.find(".qt-banner")).to_contain_text("yours are kept")
    assert days.last_record()["entries"] == [there]
    days.act("link-keep")
    days.act("link-replace")
    expect(days.find(".qt-banner")).to_contain_text("now yours")
    assert days.stored()["record"]["entries"] == rows
    days.act("undo")
    assert days.stored()["record"] == {"version": 1, "bow_name": "club bow", "entries": own}


def test_other_tabs_hear_of_days(tab: Callable[[], PageDriver]) -> None:
    one, two = tab(), tab()
    for each in (one, two):
        each.name = "days"
        each.open()
    one.type("made", "2026-06-30")
    expect(two.find("#f-made")).to_have_value("2026-06-30")
