"""Every page with a calculator: axe, width, print, and without scripts.

axe-core comes with the package axe-playwright-python; the print is read by PDFium.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pypdfium2 import PdfDocument

from helpers.axe import findings
from helpers.site import watched_page
from helpers.worksheet import open_sheet
from quarterturn.widgets.words import CAUTIONS

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

PAGES = {
    "start": "",
    "inspection": "before/",
    "pocket": "pocket/",
    "loads": "load/",
    "paper": "paper/",
    "draw-weight": "draw-weight/",
    "tiller": "tiller/",
    "plan": "plan/",
    "carry-out": "carry-out/",
    "card": "card/",
    "log": "log/",
    "after": "after/",
}
"""The worksheet has tests of its own."""
SIZES = {"phone": (390, 844), "small": (320, 640), "desktop": (1280, 800)}
each_page = pytest.mark.parametrize("widget", PAGES)


@each_page
def test_axe_width_and_print(page: Page, server: Server, widget: str) -> None:
    open_sheet(page, server, PAGES[widget])
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    for name, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        for _ in range(40):  # what scripts fit to the window follows it a little later
            if page.evaluate("document.documentElement.scrollWidth") <= width:
                break
            page.wait_for_timeout(50)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
    assert findings(page, swapped=list(PAGES).index(widget) % 2 == 1) == []
    if widget == "card":  # it prints its card alone: test_card.py
        return
    # From dark colours too: two sheets at most, with the verdict and every caution.
    with PdfDocument(page.pdf(format="A4", print_background=True)) as document:
        text = "".join("".join(one.get_textpage().get_text_range().split()) for one in document)
        assert len(document) <= 2
    title = page.locator(f"#{widget}-title").inner_text()
    for words in (title, *CAUTIONS):
        assert "".join(words.split()) in text, words


def test_axe_on_the_published_values(page: Page, server: Server) -> None:
    page.goto(f"{server.address}checked/")
    assert findings(page) == []


@each_page
def test_without_scripts_it_still_teaches(browser: Browser, server: Server, watch: Watch, widget: str) -> None:
    with watched_page(browser, watch, java_script_enabled=False) as page:
        page.goto(server.address + PAGES[widget])
        assert page.locator(".qt-noscript").is_visible()
        assert page.locator(f"#{widget}-verdict").is_visible()
        if widget in ("pocket", "loads", "tiller", "draw-weight", "plan", "after"):
            assert not page.locator(".qt-hand").first.is_visible()
        assert page.locator(".qt-answer figure svg, .qt-look svg, .qt-values").first.is_visible() or widget == "start"
        # The experiments are links to the picture then.
        for link in page.locator("a[data-try]:not(svg a)").all():
            assert page.locator(str(link.get_attribute("href"))).count() == 1
