"""After one visit the worksheet works without signal; a new build replaces what was kept; the switch removes it."""

from __future__ import annotations

import re
import shutil
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, changed
from helpers.site import SUB_FOLDER, serving, watched_context
from helpers.worksheet import PAGE_OF, PATIENCE, Sheet, open_sheet
from quarterturn.record import link
from quarterturn.record.parsing import from_data
from quarterturn.widgets.answer import State

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

# Without network every request that is not answered from a cache fails, the look at the switch for one.
CARD = link.fragment(from_data(changed(COMPLETE, bow_name="Of the card")).record)
GONE = ("net::ERR_INTERNET_DISCONNECTED", "net::ERR_CONNECTION_REFUSED", "net::ERR_FAILED", "404")


def kept(sheet: Sheet) -> None:
    """Wait until the page says that all is there."""
    sheet.section.locator(".qt-offline").filter(has_text="Ready to be used without signal").wait_for(timeout=PATIENCE)


def caches_of(page: Page) -> list[str]:
    names: list[str] = page.evaluate("caches.keys()")
    return names


def use_without_network(page: Page) -> None:
    """Reload, find one's values, and have a new value computed."""
    page.reload()
    sheet = Sheet(page).settled()
    assert page.locator("h2#bench").is_visible()
    assert sheet.state() == State.GO
    assert sheet.box("head_diameter").input_value() == "19"
    before = sheet.values()["upper_outer"]["value"]
    sheet.fill("upper_touch_turns", "4.75")
    sheet.settled()
    after = sheet.values()["upper_outer"]["value"]
    assert before is not None
    assert after is not None
    assert float(before) - float(after) == pytest.approx(0.5, abs=1e-6)
    sheet.fill("upper_touch_turns", "5.25")
    sheet.settled()


def first_visit(context: BrowserContext, server: Server) -> Page:
    page = context.new_page()
    sheet = open_sheet(page, server)
    sheet.enter(COMPLETE)
    sheet.settled()
    kept(sheet)
    return page


def find_what_was_never_opened(page: Page, server: Server) -> None:
    """Who has read one page at home goes on to the others at the bench."""
    for path in dict.fromkeys(PAGE_OF.values()):
        got: str = page.evaluate("(address) => fetch(address).then((one) => one.text())", server.address + path)
        assert 'class="qt-page' in got, path
    # One shows as well as all that its script runs, and that the calculator starts behind it.
    page.goto(f"{server.address}bow/")
    Sheet(page, "tiller").settled()
    # So are the old addresses, and the code of a card that was printed long ago opens its bow.
    page.goto(f"{server.address}bows/")
    page.wait_for_url(f"{server.address}keep/#bows")
    page.get_by_role("heading", name="Saved bows").wait_for()
    for old, now in (("card/", "keep/"), ("plan/?x=1", "set/?x=1")):
        page.goto(f"{server.address}{old}#{CARD}")
        page.locator(".qt-banner").filter(has_text="These are values from a link").wait_for(timeout=PATIENCE)
        assert page.url == f"{server.address}{now}#{CARD}"
        expect(page.locator(".qt-on-bench")).to_contain_text("Of the card")
    page.goto(f"{server.address}words/#flush")
    assert page.get_by_role("heading", name="Words").is_visible()
    # So is the search, whose index no page has fetched yet. (A page that begins at a place closes it when it is ready.)
    page.goto(f"{server.address}words/")
    page.keyboard.press("/")
    page.locator(".md-search__input").press_sequentially("first touch")
    page.locator(".md-search-result__item").first.wait_for(timeout=PATIENCE)


@pytest.mark.expects(*GONE)
def test_it_is_used_without_network_and_without_server(browser: Browser, watch: Watch, built_site: Path) -> None:
    with watched_context(browser, watch, offline=True) as context:
        with serving(built_site) as server:
            page = first_visit(context, server)
            context.set_offline(True)
            use_without_network(page)
            find_what_was_never_opened(page, server)
            context.set_offline(False)
        # The server is gone altogether now, and so is the page that knew it.
        page.close()
        again = context.new_page()
        again.goto(server.address + "safe-range/")
        use_without_network(again)
        assert Sheet(again).values()["upper_outer"]["value"] is not None


@pytest.mark.expects(*GONE)
def test_it_is_used_without_server_from_a_sub_folder(browser: Browser, watch: Watch, built_site: Path) -> None:
    with watched_context(browser, watch, offline=True) as context:
        with serving(built_site, prefix=SUB_FOLDER, send_headers=False) as server:
            page = first_visit(context, server)
            assert all(f"quarter-turn {SUB_FOLDER} " in name for name in caches_of(page))
        use_without_network(page)


def rebuilt(site: Path) -> None:
    """What another build changes: the version in the service worker, the runtime's folder, a word on the page."""
    worker = (site / "sw.js").read_text(encoding="utf-8")
    (folder,) = (site / "runtime").iterdir()
    other = "0123456789abcdef0123"
    folder.rename(folder.with_name(other))
    changed_worker = re.sub(r'VERSION = "\w+"', 'VERSION = "another-one"', worker).replace(folder.name, other)
    assert changed_worker.count(other) == 1
    assert '"another-one"' in changed_worker
    (site / "sw.js").write_text(changed_worker, encoding="utf-8")
    page = site / "safe-range" / "index.html"
    html = page.read_text(encoding="utf-8").replace(folder.name, other)
    html = html.replace("two ends to its useful travel", "two ends. A new build. Its useful travel")
    page.write_text(html, encoding="utf-8")


@pytest.mark.expects(*GONE)
def test_a_new_build_replaces_the_old_caches(browser: Browser, watch: Watch, built_site: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    shutil.copytree(built_site, site)
    with watched_context(browser, watch, offline=True) as context:
        with serving(site) as server:
            page = first_visit(context, server)
            page.evaluate("caches.open('of another site of this host')")
            before = set(caches_of(page))
            assert len(before) == 3
            rebuilt(site)
            page.reload()
            # With a network the new page is there at once, whatever is kept.
            assert page.get_by_text("A new build.").is_visible()
            sheet = Sheet(page).settled()
            kept(sheet)
            end_idle_workers(context, page)
            wait_for_caches(page, lambda names: len(names) == 3 and len(before & names) == 1)
            assert "of another site of this host" in caches_of(page)
        page.reload()
        assert page.get_by_text("A new build.").is_visible()
        use_without_network(page)


@pytest.mark.expects(*GONE)
def test_the_switch_removes_caches_and_service_worker(
    browser: Browser, watch: Watch, built_site: Path, tmp_path: Path
) -> None:
    site = tmp_path / "site"
    shutil.copytree(built_site, site)
    with watched_context(browser, watch, offline=True) as context, serving(site) as server:
        page = first_visit(context, server)
        page.evaluate("caches.open('of another site of this host')")
        # A host that answers every address with a page does not throw it.
        (site / "sw-off.txt").write_text("<!doctype html>", encoding="utf-8")
        page.goto(server.address)
        page.wait_for_timeout(1_000)
        assert len(caches_of(page)) == 3
        (site / "sw-off.txt").write_text("off\n", encoding="utf-8")
        page.goto(server.address)
        wait_for_caches(page, lambda names: names == {"of another site of this host"})
        gone = "navigator.serviceWorker.getRegistrations().then((all) => all.length)"
        wait_until(page, lambda: page.evaluate(gone) == 0)
        # The page itself works on.
        sheet = open_sheet(page, server)
        assert sheet.state() == State.GO
        sheet.enter(changed({"version": 1}, head_diameter=18))
        sheet.settled()


def end_idle_workers(context: BrowserContext, page: Page) -> None:
    """End the service workers that have nothing to do, as the browser does by itself when no debugger is attached.

    A new one that does not wait takes over once the older one is idle; Playwright's debugger keeps that one busy.
    """
    session = context.new_cdp_session(page)
    session.send("ServiceWorker.enable")
    session.send("ServiceWorker.stopAllWorkers")
    session.detach()


def wait_until(page: Page, happened: Any) -> None:
    for _ in range(PATIENCE // 100):
        if happened():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it did not happen")


def wait_for_caches(page: Page, wanted: Any) -> None:
    wait_until(page, lambda: wanted(set(caches_of(page))))
