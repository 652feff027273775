"""One page with a running calculator for all tests that can share it; each finds it empty."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from helpers.profiles import watched_page
from helpers.site import Watch
from helpers.taps import Finger
from helpers.worksheet import KEEP_WORKER, Sheet, open_sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

    from web_server import Server


@pytest.fixture(scope="session")
def shared(browser: Browser, server: Server) -> Iterator[tuple[Sheet, Watch]]:
    """A page whose calculator runs, and the watch over it."""
    watch = Watch()
    with watched_page(browser, watch) as page:
        page.add_init_script(KEEP_WORKER)
        yield open_sheet(page, server), watch


@pytest.fixture
def sheet(shared: tuple[Sheet, Watch], server: Server, request: pytest.FixtureRequest) -> Iterator[Sheet]:
    """The shared worksheet, empty, in its usual size and in light colours; its faults fail the test that has it."""
    one, watch = shared
    marker = request.node.get_closest_marker("expects")
    one.page.set_viewport_size({"width": 1280, "height": 720})
    one.page.emulate_media(color_scheme="light")
    if not one.page.url.startswith(f"{server.address}safe-range/"):  # a test before went on to another page
        open_sheet(one.page, server)
    one.clear()
    watch.expected = list(marker.args) if marker else []
    yield one
    try:
        watch.check()
    finally:
        # Noted once: the next test answers for its own faults only.
        watch.faults.clear()
        watch.expected.clear()


@pytest.fixture
def finger(browser: Browser, server: Server, watch: Watch) -> Iterator[Finger]:
    """A finger on the first page of a fresh phone."""
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        page.goto(server.address)
        Sheet(page).settled()
        yield Finger(page)
    watch.check()
