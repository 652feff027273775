"""What every test may ask for: the built site, a server of it, the browser, a page that watches for faults."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import configuration, settings
from playwright.sync_api import expect, sync_playwright
from xdist.scheduler import LoadFileScheduling

from helpers import roomy_caches  # before anything of the package
from helpers.profiles import watched_page
from helpers.same_examples import draw_from_the_whole_package
from helpers.site import COMPILED_ONCE, SUB_FOLDER, Watch, launch, serving
from places import MADE
from site_build import build_site

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page, Playwright
    from xdist.remote import Producer

    from web_server import Server

TESTS = Path(__file__).parent
# The same examples at every run: a check that fails today fails tomorrow. `--hypothesis-profile=wide` looks further.
configuration.set_hypothesis_home_dir(MADE / "cache" / "hypothesis")
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("wide", derandomize=False, deadline=None, max_examples=2000)
settings.load_profile("same")
# A busy machine is slow, and what holds comes early anyway.
expect.set_options(timeout=30_000)


QUICK = "--quick"
NOT_THE_PACKAGE = ("browser", "browser_modules", "commands", "runtime", "site")
"""Folders of tests that need more than the package: browser, built runtime, built site, processes of their own."""
LONG = (
    "browser/test_storage_and_links.py",
    "browser/test_typing.py",
    "browser/test_keyboard_and_axe.py",
    "browser/test_print.py",
    "browser/test_every_page.py",
    "runtime/test_three_pythons.py",
    "browser/test_same_numbers.py",
    "browser/test_offline.py",
    "browser/test_touch.py",
    "browser/test_whole_job.py",
    "bench/test_coverage.py",
    "browser/test_matrix.py",
    "browser/test_card.py",
    "browser/test_bows.py",
    "browser/test_broken_start.py",
    "runtime/test_worker.py",
    "runtime/test_build.py",
    "site/test_pages.py",
    "browser/test_the_way.py",
    "widgets/test_loads.py",
    "widgets/test_answer_parts.py",
    "widgets/test_card.py",
    "widgets/test_drawn_records.py",
    "runtime/test_compiled.py",
    "bench/test_tried_turn.py",
    "runtime/test_borrowed.py",
    "browser/test_pictures_by_hand.py",
    "browser/test_budgets.py",
    "runtime/test_other_runtime.py",
    "widgets/test_every_field_counts.py",
    "site/test_policy.py",
    "site/test_publish.py",
    "browser_modules/test_lists.py",
    "test_command_line.py",
)
"""The files that take longest, the longest first: begun last, one of them alone would keep the whole run waiting."""


TOGETHER = (
    "widgets/test_drawn_records.py",
    "widgets/test_answer_parts.py",
    "widgets/test_loads.py",
    "widgets/test_render.py",
    "widgets/test_start.py",
    "widgets/test_still_to_do.py",
    "widgets/test_tells.py",
    "widgets/test_safe_range.py",
    "widgets/test_bolt_verdict.py",
    "site/test_trade_facts.py",
)
"""The files that look at the same answers (helpers/drawn_answers.py): one process works them out, for all of them."""


class Together(LoadFileScheduling):
    """A file at a time is given to a process, and those that belong together are given as one."""

    def _split_scope(self, nodeid: str) -> str:
        file: str = super()._split_scope(nodeid)
        return TOGETHER[0] if file.removeprefix("tests/") in TOGETHER else file


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> LoadFileScheduling | None:
    """Tell how the files are given out; None leaves it to the words of the command."""
    return Together(config, log) if config.getvalue("dist") == "loadfile" else None


def pytest_addoption(parser: pytest.Parser) -> None:
    """Declare the quick form."""
    parser.addoption(QUICK, action="store_true", help="the tests of the package itself, but for the long ones")


def pytest_collection() -> None:
    """Settle what is drawn before any test is loaded."""
    gc.disable()
    draw_from_the_whole_package()


def pytest_collection_finish() -> None:
    """Leave what is loaded out of the search for garbage: it stays to the end."""
    gc.enable()
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


def pytest_sessionfinish() -> None:
    """Nor is what the tests leave behind searched at the end, five times over, by each process."""
    gc.freeze()


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave out, in the quick form, what is not the package's."""
    if config.getoption(QUICK) and collection_path.parent == TESTS and collection_path.name in NOT_THE_PACKAGE:
        return True
    return None


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Where a test may change the package, nothing that was worked out before is used in it, nor after it."""
    changes = "monkeypatch" in getattr(item, "fixturenames", ())
    if changes:
        roomy_caches.forget()
    result = yield
    if changes:
        roomy_caches.forget()
    return result


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Begin with the long files, go on with the others in their own order; the quick form has no long tests."""
    if config.getoption(QUICK):
        items[:] = [item for item in items if item.get_closest_marker("long") is None]
    places = {TESTS / name: place for place, name in enumerate(LONG)}
    items.sort(key=lambda item: places.get(item.path, len(LONG)))


def pytest_configure(config: pytest.Config) -> None:
    """Declare the markers with which a test says what its page is to have and which faults it expects."""
    config.addinivalue_line(
        "markers", "expects(*parts): the page's faults that contain one of these texts are meant (see helpers/site.py)"
    )
    config.addinivalue_line("markers", "long: of many drawn cases; the quick form leaves it to the whole check")
    config.addinivalue_line("markers", "offline: the test's page has its service worker (see helpers/site.py)")
    config.addinivalue_line("markers", "own_profile: the test's page leaves what outlasts it: a clock, a kept file")
    config.addinivalue_line(
        "markers", "pyodide: the calculator of the test's page is the reader's (see helpers/site.py)"
    )


@pytest.fixture(scope="session")
def built_site() -> Path:
    """The folder of the site, built from the present files."""
    return build_site()


@pytest.fixture(scope="session")
def server(built_site: Path) -> Iterator[Server]:
    """The site as the only one of its host, with its headers file obeyed."""
    with serving(built_site, steady=True) as running:
        yield running


@pytest.fixture(scope="session")
def folder_server(built_site: Path) -> Iterator[Server]:
    """The site deep in a host's folders; the host reads no headers file."""
    with serving(built_site, prefix=SUB_FOLDER, send_headers=False, steady=True) as running:
        yield running


@pytest.fixture
def own_server(built_site: Path) -> Iterator[Server]:
    """A server of the test's own, to damage: `own_server.site.missing`, `own_server.site.replaced`."""
    with serving(built_site, answering=True) as running:
        yield running


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """What starts browsers."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """Chromium, headless."""
    running = launch(playwright, COMPILED_ONCE)
    yield running
    running.close()


@pytest.fixture
def watch(request: pytest.FixtureRequest) -> Iterator[Watch]:
    """What went wrong in the test's pages; at the end anything that the test did not expect fails it."""
    marker = request.node.get_closest_marker("expects")
    watching = Watch(expected=list(marker.args) if marker else [])
    yield watching
    watching.check()


@pytest.fixture
def page(browser: Browser, watch: Watch, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page as on a first visit, watched by `watch`; what else it has, a test's marks say.

    Without a mark its profile and its tab may be another test's before, emptied (see helpers/profiles.py).
    """
    marks = {name for name in ("offline", "pyodide", "own_profile") if request.node.get_closest_marker(name)}
    options = dict.fromkeys(marks - {"own_profile"}, True)
    with watched_page(browser, watch, fresh="own_profile" in marks, **options) as page:
        yield page
