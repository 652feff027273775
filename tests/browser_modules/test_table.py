"""A table is saved as a file by the browser itself: the policy lets it, and nothing is sent."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


@pytest.fixture
def days(driver: PageDriver) -> PageDriver:
    """A tab, not yet on the page that has a table to save."""
    driver.name = "days"
    return driver


def test_a_table_is_saved_as_the_package_wrote_it_and_nothing_is_sent(days: PageDriver) -> None:
    days.open()
    days.find("#f-entries-1-day").fill("2026-03-14")
    days.find("#f-entries-1-pull").fill("100")
    days.asks()
    asked: list[str] = []
    days.page.on("request", lambda request: asked.append(request.url))
    with days.page.expect_download() as saved:
        days.act("csv")
    assert saved.value.suggested_filename == "log-a.csv"
    assert Path(saved.value.path()).read_bytes() == b"day,pull (N)\r\n2026-03-14,100\r\n"
    expect(days.find(".qt-status")).to_contain_text("Saved as log-a.csv. One row was left out.")
    assert [url for url in asked if not url.startswith("blob:")] == []
    assert days.asks("csv")[-1]["record"]["entries"] == [
        {"day": {"typed": "2026-03-14"}, "pull": {"typed": "100", "unit": "N"}}
    ]
    assert days.page.url == days.address


@pytest.mark.parametrize(
    ("name", "sentence"),
    [("", "There is nothing to save."), ("broken", "An exception, said in a sentence.")],
)
def test_what_cannot_be_saved_is_said_and_no_file_is_made(days: PageDriver, name: str, sentence: str) -> None:
    saved: list[object] = []
    days.page.on("download", lambda download: saved.append(download))
    days.open()
    if name:
        days.type("name", name)
        expect(days.find("[aria-label='What cannot be used']")).to_be_visible()
    days.act("csv")
    expect(days.find(".qt-status")).to_contain_text(sentence)
    assert saved == []
