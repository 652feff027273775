"""The pages as they are built and looked at: without scripts, on a phone, on paper, twice."""

from __future__ import annotations

import filecmp
import os
import re
import subprocess
import sys
from typing import TYPE_CHECKING, Any, Literal

import pytest

from helpers.built_pages import pages, read_page
from helpers.profiles import watched_page
from places import ROOT

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

EXAMPLE = "worked example"


def test_worked_example_is_in_the_page_and_says_so(built_site: Path) -> None:
    (part,) = read_page(built_site / "safe-range" / "index.html").classed("qt-page")
    (note,) = part.all("noscript")
    assert "The numbers are an example, not your bow" in " ".join(note.whole_text.split())
    (verdict,) = part.classed("qt-verdict")
    assert verdict.get("data-state") == "example"
    assert "does not speak of your bow" in verdict.whole_text
    assert EXAMPLE in verdict.whole_text.lower()
    assert part.all("svg")


def test_no_mark_of_the_build_is_left(built_site: Path) -> None:
    for path in [*pages(built_site), *built_site.rglob("sw.js")]:
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"@qt-\w+@|__QT_\w+__", text), path
    assert (built_site / "sw.js").is_file()


def test_own_files_are_where_the_pages_say(built_site: Path) -> None:
    for path in pages(built_site):
        page = read_page(path)
        wanted = [one.get("src") for one in page.all() if one.get("src")]
        wanted += [one.get("href") for one in page.all("link") if one.get("rel") in ("stylesheet", "icon")]
        for address in wanted:
            if not address.startswith("data:"):
                assert (path.parent / address.split("#")[0]).exists(), (path, address)


def test_links_are_relative(built_site: Path) -> None:
    """So that the site works from any folder of a host; the page for what is missing finds its way by script."""
    for path in pages(built_site):
        if path.name != "404.html":
            links = [one.get("href") for one in read_page(path).all() if one.get("href")]
            assert [link for link in links if link.startswith("/") or "://" in link] == [], path


def build(into: Path) -> Path:
    words = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--strict", "--site-dir", str(into)]
    subprocess.run(words, cwd=ROOT, env={**os.environ, "NO_MKDOCS_2_WARNING": "1"}, check=True)
    return into


def files(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_two_builds_are_the_same_bytes(built_site: Path, tmp_path: Path) -> None:
    """Also against the site built by the command, perhaps on another day."""
    again = build(tmp_path / "site")
    assert files(again) == files(built_site)
    same, different, unreadable = filecmp.cmpfiles(again, built_site, files(again), shallow=False)
    assert (different, unreadable) == ([], [])
    assert same


@pytest.mark.browser
def test_without_scripts_the_page_teaches_and_says_it_is_an_example(
    browser: Browser, watch: Watch, server: Server
) -> None:
    with watched_page(browser, watch, java_script_enabled=False) as page:
        page.goto(server.address + "safe-range/")
        assert page.locator(".qt-noscript").is_visible()
        page.get_by_text("About this example").click()
        assert page.locator(".qt-verdict").is_visible()
        assert not page.locator(".qt-tools").is_visible()
        assert page.locator("#flush").is_visible()


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 390, 768, 1280])
def test_no_page_scrolls_sideways(browser: Browser, watch: Watch, server: Server, width: int, scheme: str) -> None:
    options: dict[str, Any] = {
        "viewport": {"width": width, "height": 800},
        "color_scheme": scheme,
        "reduced_motion": "reduce",
    }
    with watched_page(browser, watch, **options) as page:
        for name in ("", "safe-range/"):
            page.goto(server.address + name)
            page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
            assert page.evaluate("document.documentElement.scrollWidth") <= width, name
            page.evaluate("scrollTo(1000, 0)")
            assert page.evaluate("scrollX") == 0, name


@pytest.mark.browser
def test_what_is_touched_is_large_enough_on_a_phone(browser: Browser, watch: Watch, server: Server) -> None:
    """44 by 44 CSS pixels: WCAG 2.2, 2.5.5 (AAA), M."""
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        page.goto(server.address + "safe-range/")
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
        controls = ".qt-entry input, .qt-entry select, .qt-option, .qt-page input[type=range], .qt-page button, summary"
        small = page.evaluate(
            "(controls) => [...document.querySelectorAll(controls)].map((one) => [one.outerHTML.slice(0, 90),"
            " one.getBoundingClientRect()]).filter(([, box]) => box.width > 0 && (box.width < 44 || box.height < 44))"
            ".map(([html, box]) => `${box.width}x${box.height} ${html}`)",
            controls,
        )
        assert small == []


def sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_worksheet_prints_on_two_sheets_in_ink(
    browser: Browser, watch: Watch, server: Server, scheme: Literal["light", "dark"]
) -> None:
    with watched_page(browser, watch, color_scheme=scheme) as page:
        page.goto(server.address + "safe-range/")
        page.locator(".qt-page[data-calc=ready]").wait_for()
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        page.fill("#f-upper_touch_turns", "5,25")
        assert sheets(page.pdf(format="A4")) <= 2
        page.emulate_media(media="print", color_scheme=scheme)
        page.evaluate("document.documentElement.dataset.print = 'sheet'")
        assert ink(page, ".qt-verdict-title") == "rgb(0, 0, 0)"
        assert page.locator(".md-header").is_hidden()
        assert page.locator(".qt-block--caution").first.is_visible()


def ink(page: Page, selector: str) -> str:
    colour: str = page.evaluate("(s) => getComputedStyle(document.querySelector(s)).color", selector)
    return colour


@pytest.mark.browser
def test_keyboard_alone_opens_menu_and_search_on_a_phone(browser: Browser, watch: Watch, server: Server) -> None:
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}) as page:
        page.goto(server.address)
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        link = page.locator(".md-nav--primary .md-nav__link", has_text="Find the safe range").first
        link.wait_for(state="visible")
        page.keyboard.press("Space")
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        page.locator(".md-search__input").wait_for(state="visible")
        page.keyboard.type("flush")
        page.locator(".md-search-result__item").first.wait_for()
