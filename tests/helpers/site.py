"""How the tests serve the built site, start Chromium and notice what goes wrong in a page."""

from __future__ import annotations

import os
import shutil
import threading
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from helpers.answering import COOKIE, AnsweringServer, SteadyServer
from web_server import Server, Site

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Playwright, Request

SUB_FOLDER = "/some/deep/folder/"
SHELL = "chromium-headless-shell"
"""Debian's browser without windows, quicker than the whole; it has no back-forward cache."""
NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
# Nothing of the browser's own goes out, so that a request log holds the page's requests only.
ARGUMENTS = (
    "--disable-background-networking",
    "--disable-gpu",
    "--disable-component-update",
    "--disable-quic",
    "--disable-sync",
    "--no-first-run",
)
COMPILED_ONCE = "--js-flags=--liftoff-only"
"""WebAssembly is not compiled again to run faster: most pages of the tests answer a few times and are closed."""
SHARED_MEMORY = Path("/dev/shm")
ENOUGH = 2**30
"""Bytes of shared memory for all browsers of a run, six at most."""
BLOCKED = "Service Worker registration blocked by Playwright"
"""What Playwright writes on the page's console where a test has no service worker."""


@contextmanager
def serving(
    folder: Path, prefix: str = "/", *, send_headers: bool = True, answering: bool = False, steady: bool = False
) -> Iterator[Server]:
    """Serve a built site on a free port of this machine; `server.address` is its first page.

    With `answering` a page may have its questions answered by this Python (see helpers/answering.py); with `steady`
    too, and what stands beside the pages is kept by the browser.
    """
    kind = SteadyServer if steady else AnsweringServer if answering else Server
    with kind(Site(folder, prefix, send_headers)) as server:
        thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()


def chromium_path(playwright: Playwright, *, whole: bool = False) -> str:
    """Find the browser: $CHROMIUM (set by the checking command), one on PATH, or Playwright's own.

    Before them all the one without windows, unless the `whole` is wanted.
    """
    found = [] if whole else [shutil.which(SHELL)]
    found += [os.environ.get("CHROMIUM"), *map(shutil.which, NAMES), playwright.chromium.executable_path]
    path = next((path for path in found if path and Path(path).exists()), None)
    if path is None:
        raise FileNotFoundError("No Chromium on this machine; `sh build_scripts/check` installs it or says how.")
    return path


def launch(playwright: Playwright, *more: str, keeps_pages: bool = False) -> Browser:
    """Start Chromium headless, with more arguments if there are any; its own sandbox does not work for root.

    With `keeps_pages` it has its back-forward cache, which Playwright switches off.  Playwright also keeps it from
    sharing memory but in files, for in a container there may be too little: a tenth of all that a page costs.
    """
    as_root = ["--no-sandbox"] if os.geteuid() == 0 else []
    left_out = ["--disable-back-forward-cache"] if keeps_pages else []
    if SHARED_MEMORY.is_dir() and shutil.disk_usage(SHARED_MEMORY).free >= ENOUGH:
        left_out.append("--disable-dev-shm-usage")
    return playwright.chromium.launch(
        executable_path=chromium_path(playwright, whole=keeps_pages),
        args=[*ARGUMENTS, *as_root, *more],
        ignore_default_args=left_out,
    )


@dataclass  # no slots: Playwright keeps a note of its own on the object of a bound handler
class Watch:
    """Everything that a clean page does not do: console errors, exceptions, policy violations, foreign requests."""

    faults: list[str] = field(default_factory=list)
    """One line each, "KIND: TEXT"; KIND is console, exception, policy, foreign or failed."""
    expected: list[str] = field(default_factory=list)
    """Parts of faults that the test means to cause."""
    origins: set[str] = field(default_factory=set)
    """Where the pages asked for anything: scheme, host and port."""

    def expect(self, *parts: str) -> None:
        """Say which faults are meant: those that contain one of these texts."""
        self.expected.extend(parts)

    def unexpected(self) -> list[str]:
        """The faults that nobody expected."""
        return [fault for fault in self.faults if not any(part in fault for part in self.expected)]

    def check(self) -> None:
        """Fail the test if something happened that nobody expected."""
        faults = self.unexpected()
        assert not faults, "the page was not clean:\n" + "\n".join(faults)

    def note(self, kind: str, text: str) -> None:
        """Write one fault down."""
        self.faults.append(f"{kind}: {text}")

    def on_context(self, context: BrowserContext) -> None:
        """Watch every page and worker of a browser context, from before its first script."""
        context.expose_binding("qtPolicyFault", lambda _source, text: self.note("policy", text))
        context.add_init_script(
            "addEventListener('securitypolicyviolation', (e) =>"
            " qtPolicyFault(`${e.effectiveDirective} blocked ${e.blockedURI} on ${e.documentURI} ${e.sample}`))"
        )
        context.on("request", lambda request: self._on_address(request.url))
        context.on("console", self._on_console)
        context.on("weberror", lambda web_error: self.note("exception", str(web_error.error)))
        context.on("requestfailed", self._on_failure)

    def _on_console(self, message: ConsoleMessage) -> None:
        if message.type == "error" and BLOCKED not in message.text:
            self.note("console", message.text)

    def _on_failure(self, request: Request) -> None:
        if request.failure != "net::ERR_ABORTED":  # what a page or a worker that ends leaves behind
            self.note("failed", f"{request.url} {request.failure}")

    def _on_address(self, address: str) -> None:
        parts = urlsplit(address)
        if parts.scheme in ("http", "https", "ws", "wss"):
            self.origins.add(f"{parts.scheme}://{parts.netloc}")
            if parts.hostname != "127.0.0.1":
                self.note("foreign", address)


def answer_here(context: BrowserContext) -> None:
    """Have the calculators of all pages opened from now on answered by this Python, where a server does so."""
    name, _, value = COOKIE.partition("=")
    context.add_cookies([{"name": name, "value": value, "domain": "127.0.0.1", "path": "/"}])


def new_context(
    browser: Browser, watch: Watch, *, offline: bool = False, pyodide: bool = False, **options: Any
) -> BrowserContext:
    """Make a browser profile whose pages are watched; options as for Playwright's `new_context`.

    Only with `offline` may a page have its service worker, which at a first visit fetches the whole site. Only then
    and with `pyodide` its calculator is the reader's where a server answers (see helpers/answering.py).
    """
    context = browser.new_context(service_workers="allow" if offline else "block", **options)
    if not offline and not pyodide:
        answer_here(context)
    watch.on_context(context)
    return context


@contextmanager
def watched_context(browser: Browser, watch: Watch, **options: Any) -> Iterator[BrowserContext]:
    """Open a fresh browser profile whose pages are watched; options as for `new_context`."""
    context = new_context(browser, watch, **options)
    try:
        yield context
    finally:
        context.close()
