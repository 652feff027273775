"""Every page with a calculator: axe, width, print, and without scripts.

axe-core comes with the package axe-playwright-python; the print is read by PDFium.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pypdfium2 import PdfDocument

from helpers.axe import findings
from helpers.budgets import fit, hollow_folds
from helpers.profiles import watched_page
from helpers.worksheet import MAIN, open_sheet
from quarterturn.widgets.words import CAUTIONS

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

PAGES = {path: widget for path, widget in MAIN.items() if path != "safe-range/"}
"""Each with the calculator whose verdict it shows; the worksheet has tests of its own."""
SIZES = ((390, 844), (320, 640), (1280, 800))
each_page = pytest.mark.parametrize("path", PAGES)


@each_page
def test_axe_width_and_print(page: Page, server: Server, path: str) -> None:
    open_sheet(page, server, path)
    check_no_line_is_hidden(page)
    assert hollow_folds(page) == []
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    for width, height in SIZES:
        fit(page, width, height)
    assert findings(page, swapped=list(PAGES).index(path) % 2 == 1) == []
    # From dark colours too: two sheets at most, with the verdict and every caution.
    with PdfDocument(page.pdf(format="A4", print_background=True)) as document:
        text = "".join("".join(one.get_textpage().get_text_range().split()) for one in document)
        assert len(document) <= 2
    title = page.locator(f"#{PAGES[path]}-title").inner_text()
    for words in (title, *CAUTIONS):
        assert "".join(words.split()) in text, words


HIDDEN_LINES = """() => [...document.querySelectorAll("svg.qt-figure :is(line, path, polygon, rect, circle)")]
  .filter((one) => !one.closest(".qt-option, pattern, defs") && getComputedStyle(one).display === "none")
  .map((one) => `${one.closest("svg").id}: ${one.getAttribute("class")}`)"""
"""The small drawings of an answer have no words and no leaders to them, and are left out."""


def check_no_line_is_hidden(page: Page) -> None:
    """On the screen and on paper: by a class of the page that is one of a drawing's too."""
    for media in ("screen", "print"):
        page.emulate_media(media="screen" if media == "screen" else "print")
        assert page.evaluate(HIDDEN_LINES) == [], media
    page.emulate_media(media="null")


def test_no_line_of_the_worksheets_drawings_is_hidden(page: Page, server: Server) -> None:
    open_sheet(page, server)
    check_no_line_is_hidden(page)


def test_axe_on_the_published_values(page: Page, server: Server) -> None:
    page.goto(f"{server.address}checked/")
    assert findings(page) == []


def test_without_scripts_every_page_still_teaches(browser: Browser, server: Server, watch: Watch) -> None:
    with watched_page(browser, watch, java_script_enabled=False) as page:
        for path in MAIN:
            page.goto(server.address + path)
            check_no_line_is_hidden(page)
            if path in PAGES:
                check_it_teaches(page, path)


def check_it_teaches(page: Page, path: str) -> None:
    """Words, pictures and an example are there, and nothing that only works with a script."""
    assert page.locator(".qt-lead .qt-noscript").is_visible()
    assert page.locator("details.qt-sure > summary").is_visible()
    # What only works with a script is not offered.
    for dead in (".qt-hand", ".qt-tools", ".qt-try-button", ".qt-plain", ".qt-offer"):
        assert page.locator(f"{dead}:visible").count() == 0, dead
    shown = page.locator(".qt-spot figure svg:visible, .qt-look svg:visible, .qt-values:visible")
    # A rack is nothing but the reader's own bows.
    assert shown.count() > 0 or page.locator(".qt-bows--rack .qt-noscript:visible").count() == 1
    # All that is folded can be opened.
    for fold in page.locator("details.qt-step, details.qt-sure").all():
        if fold.is_visible() and fold.get_attribute("open") is None:
            fold.locator("> summary").click()
    assert page.locator(f"#{PAGES[path]}-verdict").is_visible()
