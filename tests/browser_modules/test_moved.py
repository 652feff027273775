"""Old addresses: each leads on to where the page is now, with its query, its place and the bow of a link.

The pages are those of the build (moved_pages.py, its template), the places they lead to are the fixture's page. Where
an address must lead is worked out by hand from the table of the pages that have moved (C).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import fragment, kept

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from browser_modules.page_driver import PageDriver
    from web_server import Server


def leads(driver: PageDriver, asked: str, to: str) -> None:
    driver.page.goto("about:blank")
    driver.page.goto(f"{driver.server.address}{asked}")
    driver.page.wait_for_url(f"{driver.server.address}{to}")


@pytest.mark.parametrize(
    ("asked", "to"),
    [
        ("card/", "keep/#card"),
        ("card/#what", "keep/#card"),  # a place that has another name now
        ("bows/#file", "checked/#file"),  # one that is on another page
        ("tiller/?from=club#string", "after/?from=club#string"),
        ("plan/?from=club", "set/?from=club#plan"),
        ("plan/?from=club#try", "set/?from=club#plan"),
        ("log/#field-log", "keep/#field-log"),  # one that has kept its name
    ],
)
def test_an_old_address_leads_on(driver: PageDriver, asked: str, to: str) -> None:
    leads(driver, asked, to)


def test_the_old_address_is_no_step_back(driver: PageDriver) -> None:
    """Back from the new page is the page before, and not the old address, which would lead on again."""
    driver.page.goto(f"{driver.server.address}pages/blank.html")
    driver.page.evaluate("location.href = '../card/'")
    driver.page.wait_for_url("**/keep/#card")
    driver.page.go_back()
    driver.page.wait_for_url("**/pages/blank.html")


def test_the_code_of_a_printed_card_still_opens_its_bow(driver: PageDriver) -> None:
    driver.keep(kept(reach={"typed": "5", "unit": "mm"}))
    bow = fragment({"reach": {"typed": "77", "unit": "mm"}})
    # The fragment is the bow: the page goes to the place once, and says so no longer.
    leads(driver, f"card/?from=club{bow}", f"keep/?from=club{bow}")
    driver.says("reach 77 mm")
    expect(driver.find("#card")).to_be_in_viewport()
    expect(driver.find(".qt-banner")).to_contain_text("yours are kept")
    assert driver.page.evaluate("scrollY") > 0
    # The reader's own are one press away, and the address is then the page's.
    driver.act("link-back")
    driver.says("reach 5 mm")
    assert driver.page.url == f"{driver.server.address}keep/?from=club"


def test_without_a_script_an_old_address_leads_on_too(browser: Browser, module_server: Server) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{module_server.address}card/")
    page.wait_for_url(f"{module_server.address}keep/#card")
    context.close()
