"""The switch of the colours in the head of every page: as the system has it, light, dark; kept, and by keyboard too."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

FOLLOWS, LIGHT, DARK = (
    "Colours follow the system. Press for light",
    "Light colours. Press for dark",
    "Dark colours. Press to follow the system",
)


def check_shown(page: Page, scheme: str, label: str) -> None:
    """The page's colours, and the one sign that is in sight."""
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", scheme)
    signs = page.locator("[data-colours] label:visible")
    expect(signs).to_have_count(1)
    expect(signs).to_have_attribute("title", label)
    # The browser's own bar goes with the head of the page.
    expect(page.locator("meta[name=theme-color]")).to_have_attribute(
        "content", page.locator(".md-header").evaluate("(head) => getComputedStyle(head).backgroundColor")
    )


@pytest.mark.parametrize("path", ["", "words/"])
def test_it_goes_round_is_kept_and_follows_the_system_where_it_says_so(page: Page, server: Server, path: str) -> None:
    page.emulate_media(color_scheme="dark")
    page.goto(server.address + path)
    check_shown(page, "slate", FOLLOWS)
    page.emulate_media(color_scheme="light")
    check_shown(page, "default", FOLLOWS)
    page.emulate_media(color_scheme="dark")

    sign = page.locator("[data-colours] label:visible")
    sign.click()
    check_shown(page, "default", LIGHT)
    page.reload()
    check_shown(page, "default", LIGHT)
    sign.click()
    check_shown(page, "slate", DARK)
    page.emulate_media(color_scheme="light")
    check_shown(page, "slate", DARK)
    page.reload()
    # Before any script of ours: no flash of light for those who chose dark.
    check_shown(page, "slate", DARK)

    page.locator("[data-colours] input:checked").focus()
    page.keyboard.press("Enter")
    check_shown(page, "default", FOLLOWS)
    page.keyboard.press("Enter")
    check_shown(page, "default", LIGHT)
    expect(page.locator("[data-colours] input:focus")).to_have_attribute("aria-label", LIGHT)


def test_where_nothing_can_be_kept_it_works_for_the_page(page: Page, server: Server) -> None:
    page.add_init_script('Object.defineProperty(window, "localStorage", { get() { throw new DOMException("no"); } });')
    page.goto(f"{server.address}words/")
    check_shown(page, "default", FOLLOWS)
    page.locator("[data-colours] label:visible").click()
    check_shown(page, "default", LIGHT)
