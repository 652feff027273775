"""The log in a browser: typed on a phone, kept, in the charts, saved as a table under the site's own policy.

The table is read by Python's `csv` in its strict mode (C).
"""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from helpers.worksheet import Sheet, open_own, open_sheet
from quarterturn.record import link

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

PHONE = 390
ROWS: tuple[dict[str, str], ...] = (
    {"date": "2026-04-18", "lower_at": "1,5", "weight": "38.75", "upper_tiller": "179", "lower_tiller": "174"},
    {"date": "2026-03-14", "upper_at": "2 1/2", "lower_at": "2", "weight": "38", "brace_height": "222"},
    {"weight": "38.5"},
)


def open_log(page: Page, server: Server) -> Sheet:
    """Open the page that the log is on."""
    open_sheet(page, server, "keep/")
    return Sheet(page, "log")


def enter(page: Page, rows: tuple[dict[str, str], ...]) -> None:
    for number, row in enumerate(rows, 1):
        if number > 1:
            page.locator("#field-log [data-act=add-row]").click()
        for column, typed in row.items():
            page.locator(f"#f-log-{number}-{column}").fill(typed)


def boxes(page: Page, row: int) -> list[Any]:
    found = [one.bounding_box() for one in page.locator("#field-log tbody tr").nth(row - 1).locator("input").all()]
    return [box for box in found if box is not None]


def test_a_log_is_kept_on_a_phone_and_saved_as_a_table(page: Page, server: Server) -> None:
    page.set_viewport_size({"width": PHONE, "height": 844})
    sheet = open_log(page, server)
    expect(sheet.headline).to_be_hidden()
    remove = page.locator("#field-log [data-act=remove-row]")
    expect(remove).to_be_hidden()
    enter(page, ROWS)
    expect(remove.first).to_be_visible()
    sheet.settled()
    expect(sheet.headline).to_have_attribute("data-state", "explain")
    expect(sheet.headline).to_contain_text("2 entries since March 2026: 0.8 lb more")
    expect(sheet.top).to_contain_text("entry 3: not used yet, because date is empty")
    expect(page.locator("#field-log .qt-row-note")).to_have_text("Not used yet, because a box is empty: entry 3.")
    expect(sheet.spot("weight").locator("#log-weight-plot")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE
    # Boxes under one another, two abreast, none of them narrow.
    first = boxes(page, 1)
    assert len(first) == 7
    assert min(box["width"] for box in first) >= 120
    assert len({round(box["x"]) for box in first}) == 2
    expect(page.locator("#field-log tbody td").first).to_be_visible()

    page.reload()
    sheet.settled()
    assert page.locator("#f-log-1-date").input_value() == "2026-04-18"
    assert page.locator("#f-log-2-upper_at").input_value() == "2 1/2"
    with page.expect_download() as saved:
        sheet.section.locator("[data-act=csv]").click()
    assert saved.value.suggested_filename == "log.csv"
    heads, one, two = csv.reader(io.StringIO(Path(saved.value.path()).read_bytes().decode("ascii")), strict=True)
    assert heads[:2] == ["date", "upper bolt (turns out from zero)"]
    assert one == ["2026-03-14", "2.5", "2", "38", "", "", "", "222"]
    assert two == ["2026-04-18", "", "1.5", "38.75", "179", "174", "5", ""]
    expect(page.locator(".qt-status")).to_contain_text("Saved as log.csv.")
    expect(page.locator(".qt-status")).to_contain_text("entry 3: not used yet")


@pytest.mark.parametrize("width", [900, 1280])
def test_beside_its_pictures_no_box_of_the_log_is_cut_off(page: Page, server: Server, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    open_log(page, server)
    enter(page, ROWS[:1])
    row = boxes(page, 1)
    assert row[0]["width"] >= 120, "a date is not cut off"
    edge = page.locator("#field-log").bounding_box()
    remove = page.locator("#field-log tbody tr").first.locator("button").bounding_box()
    assert edge is not None
    assert remove is not None
    assert max(box["x"] + box["width"] for box in [*row, remove]) <= edge["x"] + edge["width"] + 1


def test_a_day_that_is_none_is_told_at_its_box(page: Page, server: Server) -> None:
    sheet = open_log(page, server)
    enter(page, ({"date": "1999-12-31", "weight": "38"},))
    expect(page.locator("#e-log")).to_contain_text("1999-12-31 is too early. Write a day from 2000-01-01")
    expect(page.locator("#f-log-1-date")).to_have_attribute("aria-invalid", "true")
    page.locator("#f-log-1-date").fill("2026-03-14")
    sheet.settled()
    expect(page.locator("#e-log")).to_be_hidden()


def test_the_log_leads_from_page_to_page_and_into_a_link(page: Page, server: Server) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    sheet = open_log(page, server)
    enter(page, ROWS[:2])
    sheet.unfold()
    page.locator("#f-bow_name").fill("Club bow")
    sheet.settled()
    page.goto(f"{server.address}safe-range/")
    sheet = Sheet(page).settled()
    sheet.section.locator("[data-act=link]").click()
    expect(page.locator(".qt-status")).to_contain_text("opied")
    expect(page.locator(".qt-status")).not_to_contain_text("only the newest")
    address = page.evaluate("navigator.clipboard.readText()")
    assert len(link.from_fragment(address.partition("#")[2]).record.entries["log"].rows) == 2
    # One's own link is no news.
    page.goto("about:blank")
    page.goto(address)
    Sheet(page).settled()
    expect(page.locator(".qt-banner")).to_be_hidden()
    expect(open_log(page, server).headline).to_contain_text("2 entries")


def test_where_bolts_are_is_asked_of_bows_that_are_turned_and_what_was_written_stays_in_sight(
    page: Page, server: Server
) -> None:
    """A bow of one piece has no places of bolts; a place that was written down is asked about, and can be taken out."""
    place, weight = page.locator("#f-log-1-upper_at"), page.locator("#f-log-1-weight")
    written = [{"date": "2026-04-18", "upper_at": "2"}]
    for record, shown in (
        ({"bolt_family": "fixed"}, False),
        ({"bolt_family": "flat"}, True),
        ({"bolt_family": "fixed", "log": written}, True),
    ):
        open_own(page, server, record, "keep/")
        expect(weight).to_be_visible()
        expect(place).to_be_visible(visible=shown)
        page.goto("about:blank")
    open_own(page, server, {"bolt_family": "fixed", "log": written}, "keep/")
    place.fill("")
    weight.fill("38")
    expect(place).to_be_hidden()
