"""The fixture's site: the real browser modules, a form by hand, a worker that only keeps to the message contract."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import browser_bundle
import moved_pages
from browser_modules.page_driver import LISTEN, PATIENCE, PREFIX, PageDriver
from helpers.site import Watch, serving, watched_context
from places import ROOT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, BrowserContext, Page

    from web_server import Server

# Leaves a profile as it was before its first page.
EMPTY = """async () => {
  localStorage.clear();
  sessionStorage.clear();
  for (const name of await caches.keys()) await caches.delete(name);
}"""

FIXTURE = Path(__file__).parent / "fixture"
POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; object-src 'none'"
)


@dataclass(frozen=True)
class FileProfile:
    """The browser profile that the tests of a file share, what went wrong in it, and the page that empties it."""

    context: BrowserContext
    watch: Watch
    cleaner: Page

    def clean(self) -> None:
        """Close the test's pages and take away what they stored, and what the test allowed or cut off."""
        for page in self.context.pages:
            if page != self.cleaner:
                page.close()
        self.context.set_offline(False)
        self.context.clear_permissions()
        self.cleaner.evaluate(EMPTY)


@contextmanager
def _profile(browser: Browser, watch: Watch) -> Iterator[BrowserContext]:
    with watched_context(browser, watch) as context:
        context.add_init_script(LISTEN)
        context.set_default_timeout(PATIENCE)
        yield context


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The fixture's site in a sub-folder of its host, with the strict policy as a header."""
    site = tmp_path_factory.mktemp("modules") / "site"
    shutil.copytree(ROOT / "docs" / "assets" / "browser", site / "assets" / "browser")
    browser_bundle.put_in_place(site)
    (site / "pages").mkdir()
    for page in ("page.html", "parts.html", "days.html", "bows.html", "blank.html"):
        shutil.copy(FIXTURE / page, site / "pages")
    # Links lead to the first page.
    first = (FIXTURE / "page.html").read_text(encoding="utf-8").replace("../", "./")
    (site / "index.html").write_text(first, encoding="utf-8")
    # Old addresses, and the pages that they lead to: long ones, on which a place lies far down.
    moved_pages.write(site)
    heading = '<h2 id="later">A heading</h2>'
    page = (FIXTURE / "page.html").read_text(encoding="utf-8")
    assert page.count(heading) == 1
    page = page.replace(heading, '<h2 id="card">A heading</h2><svg width="9" height="3000"></svg>')
    for moved in ("pocket", "bow", "set", "after", "keep", "checked"):
        (site / moved).mkdir()
        (site / moved / "index.html").write_text(page, encoding="utf-8")
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
    kept = "/assets/*\n  Cache-Control: max-age=86400\n"  # nothing of it changes while the tests run
    (site / "_headers").write_text(f"/*\n  Content-Security-Policy: {POLICY}\n{kept}")
    with serving(site, PREFIX) as running:
        yield running


@pytest.fixture
def module_server(shared_server: Server) -> Server:
    """The fixture's site as it was made; what an earlier test did to it is undone."""
    shared_server.site.missing.clear()
    shared_server.site.replaced.clear()
    shared_server.site.requests.clear()
    return shared_server


@pytest.fixture(scope="module")
def file_profile(browser: Browser, shared_server: Server) -> Iterator[FileProfile]:
    """One browser profile for the tests of a file, so that its modules are fetched once."""
    watch = Watch()
    with _profile(browser, watch) as context:
        cleaner = context.new_page()
        cleaner.goto(f"{shared_server.address}pages/blank.html")
        yield FileProfile(context, watch, cleaner)


@pytest.fixture
def own_profile(browser: Browser, watch: Watch) -> Iterator[BrowserContext]:
    """A profile of the test's own: for what cannot be undone, as a clock that the test moves."""
    with _profile(browser, watch) as context:
        yield context


@pytest.fixture
def profile(request: pytest.FixtureRequest) -> Iterator[BrowserContext]:
    """A profile with nothing in it: the file's, emptied after the test, or the test's own where it asks for one."""
    if "own_profile" in request.fixturenames:
        yield request.getfixturevalue("own_profile")
        return
    shared: FileProfile = request.getfixturevalue("file_profile")
    marker = request.node.get_closest_marker("expects")
    shared.watch.faults.clear()
    shared.watch.expected[:] = marker.args if marker else []
    yield shared.context
    shared.clean()
    shared.watch.check()


@pytest.fixture
def tab(profile: BrowserContext, module_server: Server) -> Callable[[], PageDriver]:
    """Open another tab of the same browser."""
    return lambda: PageDriver(profile.new_page(), module_server)


@pytest.fixture
def driver(tab: Callable[[], PageDriver]) -> PageDriver:
    """A tab, not yet on the page."""
    return tab()
