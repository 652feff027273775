"""The service worker: use without signal, fresh pages with it, old caches gone, and the switch that takes it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import LISTEN, PATIENCE, PageDriver, fragment
from helpers.site import watched_context

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

    from helpers.site import Watch
    from web_server import Server

# Notes what the service worker says at the end, before the page hears it.
NOTE_KEPT = """
window.MessageChannel = class extends MessageChannel {
  constructor() {
    super();
    this.port1.addEventListener("message", (event) => (window.kept = event.data.kept));
  }
};
"""
READY = "Ready to be used without signal."


@pytest.fixture
def installed(browser: Browser, watch: Watch, module_server: Server) -> Iterator[PageDriver]:
    """A page that has been used once with its service worker."""
    watch.expect("404 (Not Found)", "ERR_INTERNET_DISCONNECTED", "ERR_FAILED", "503")
    with watched_context(browser, watch, offline=True) as context:
        context.add_init_script(LISTEN)
        context.set_default_timeout(PATIENCE)
        page = context.new_page()
        page.goto(module_server.address + "pages/blank.html")
        page.evaluate("caches.open('quarter-turn /club/bows/ pages old')")
        page.evaluate("caches.open('another site')")
        driver = PageDriver(page, module_server).open()
        expect(driver.find(".qt-offline")).to_have_text(READY)
        yield driver


def test_page_computes_without_a_network(installed: PageDriver) -> None:
    installed.page.context.set_offline(True)
    installed.page.reload()
    installed.type("reach", "5")
    installed.says("reach 5 mm")


def test_with_a_network_the_page_is_fresh_and_the_runtime_is_not_asked_for_again(installed: PageDriver) -> None:
    page = (installed.server.site.folder / "pages" / "page.html").read_bytes()
    installed.server.site.replaced["pages/page.html"] = page.replace(b"A form by hand", b"A newer form")
    installed.server.site.requests.clear()
    installed.page.reload()
    expect(installed.find("h1")).to_have_text("A newer form")
    installed.calc("ready")
    assert [path for path in installed.server.site.requests if "/runtime/" in path] == []


def test_an_old_address_leads_on_without_a_network(browser: Browser, watch: Watch, module_server: Server) -> None:
    """As in the code of a card that was printed long ago, looked at where there is no signal."""
    watch.expect("404 (Not Found)", "ERR_INTERNET_DISCONNECTED", "ERR_FAILED", "503")
    page = (module_server.site.folder / "pages" / "page.html").read_text(encoding="utf-8")
    page = page.replace("<section", '<nav><a href="../keep/">Keep</a></nav><section data-moved="card/"', 1)
    module_server.site.replaced["pages/page.html"] = page.encode()
    with watched_context(browser, watch, offline=True) as context:
        context.set_default_timeout(PATIENCE)
        driver = PageDriver(context.new_page(), module_server).open()
        expect(driver.find(".qt-offline")).to_have_text(READY)
        context.set_offline(True)
        bow = fragment({"reach": {"typed": "77", "unit": "mm"}})
        driver.page.goto(f"{module_server.address}card/{bow}")
        driver.page.wait_for_url(f"{module_server.address}keep/{bow}")
        driver.says("reach 77 mm")


def test_old_caches_of_this_site_are_deleted_and_others_left(installed: PageDriver) -> None:
    names = set(installed.page.evaluate("caches.keys()"))
    prefix = "quarter-turn /club/bows/"
    assert names == {f"{prefix} runtime runtime/abc/", f"{prefix} pages one", "another site"}


def test_switch_removes_it_and_its_caches(installed: PageDriver) -> None:
    installed.server.site.replaced["sw-off.txt"] = b"off\n"
    installed.page.context.add_init_script("Object.defineProperty(navigator, 'serviceWorker', { value: undefined });")
    installed.page.reload()
    installed.calc("ready")
    installed.page.wait_for_function("async () => (await caches.keys()).join() === 'another site'")


def test_no_service_worker_is_silent_until_asked_for(driver: PageDriver) -> None:
    driver.open().type("reach", "5")
    driver.says("reach 5 mm")
    expect(driver.find(".qt-offline")).to_be_hidden()
    driver.page.evaluate("() => { navigator.serviceWorker.register = async () => { throw new Error('no'); }; }")
    driver.act("offline")
    expect(driver.find(".qt-status")).to_contain_text("does not keep these pages for use without signal")


def test_incomplete_cache_is_not_called_ready(browser: Browser, watch: Watch, module_server: Server) -> None:
    watch.expect("404")
    manifest = b'{"files": [{"name": "plan.json"}, {"name": "gone.zip"}]}'
    module_server.site.replaced["runtime/abc/manifest.json"] = manifest
    with watched_context(browser, watch, offline=True) as context:
        context.add_init_script(NOTE_KEPT)
        context.set_default_timeout(PATIENCE)
        driver = PageDriver(context.new_page(), module_server).open()
        driver.calc("ready")
        driver.page.wait_for_function("async () => (await navigator.serviceWorker.getRegistration())?.active != null")
        driver.page.wait_for_function("() => window.kept !== undefined")
        assert driver.page.evaluate("window.kept") is False
        expect(driver.find(".qt-offline")).to_be_hidden()
