"""The fixture's site: the real browser modules, a form by hand, a worker that only keeps to the message contract."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import LISTEN, PATIENCE, PREFIX, PageDriver
from helpers.site import serving, watched_context
from places import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, BrowserContext

    from helpers.site import Watch
    from web_server import Server

# Of the whole run: no other test needs less.
expect.set_options(timeout=PATIENCE)

FIXTURE = Path(__file__).parent / "fixture"
POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; object-src 'none'"
)


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The fixture's site in a sub-folder of its host, with the strict policy as a header."""
    site = tmp_path_factory.mktemp("modules") / "site"
    shutil.copytree(ROOT / "docs" / "assets" / "browser", site / "assets" / "browser")
    (site / "pages").mkdir()
    for page in ("page.html", "days.html", "bows.html", "blank.html"):
        shutil.copy(FIXTURE / page, site / "pages")
    runtime = site / "runtime" / "abc"
    runtime.mkdir(parents=True)
    shutil.copy(FIXTURE / "worker.js", runtime)
    (runtime / "plan.json").write_text("{}")
    (runtime / "manifest.json").write_text('{"files": [{"role": "plan", "name": "plan.json", "bytes": 2}]}')
    worker = (ROOT / "docs" / "sw.js").read_text(encoding="utf-8")
    # A busy machine's answer from this very host must not pass for no answer.
    assert worker.count("const PATIENCE = 4000;") == 1
    worker = worker.replace("const PATIENCE = 4000;", f"const PATIENCE = {4 * PATIENCE};")
    worker = worker.replace("__QT_RUNTIME__", "runtime/abc/").replace("__QT_VERSION__", "one")
    (site / "sw.js").write_text(worker, encoding="utf-8")
    (site / "_headers").write_text(f"/*\n  Content-Security-Policy: {POLICY}\n")
    with serving(site, PREFIX) as running:
        yield running


@pytest.fixture
def module_server(shared_server: Server) -> Server:
    """The fixture's site as it was made; what an earlier test did to it is undone."""
    shared_server.site.missing.clear()
    shared_server.site.replaced.clear()
    shared_server.site.requests.clear()
    return shared_server


@pytest.fixture
def profile(browser: Browser, watch: Watch) -> Iterator[BrowserContext]:
    """A fresh browser profile."""
    with watched_context(browser, watch) as context:
        context.add_init_script(LISTEN)
        context.set_default_timeout(PATIENCE)
        yield context


@pytest.fixture
def tab(profile: BrowserContext, module_server: Server) -> Callable[[], PageDriver]:
    """Open another tab of the same browser."""
    return lambda: PageDriver(profile.new_page(), module_server)


@pytest.fixture
def driver(tab: Callable[[], PageDriver]) -> PageDriver:
    """A tab, not yet on the page."""
    return tab()
