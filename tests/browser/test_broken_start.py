"""When the calculator cannot start, or stops, the page says what happened and goes on teaching; trying again works.

The real runtime, damaged at the server; what is killed or hangs once it runs is the small worker of answering.py. That
the worker names the fault of every file, and starts once it is whole, is tested with the worker (tests/runtime); here,
on one file of each fault, it is what the reader sees.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

import runtime
from helpers.answering import WORKER
from helpers.asking import COMPLETE
from helpers.profiles import watched_page
from helpers.site import serving
from helpers.worksheet import KEEP_WORKER, PATIENCE, Sheet, open_sheet
from quarterturn.widgets.answer import State

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page, Worker

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

MISSING = runtime.WASM
"""Without it Pyodide's own start never ends."""
DAMAGED = "pyodide.mjs"
"""A script, which the browser fetches by itself and keeps."""
PAGE = "safe-range/index.html"
HANGING = """
const real = self.onmessage;
self.onmessage = (event) => {
  if (event.data.ask.includes("13.25")) for (;;);
  real(event);
};
"""
PASSED = 600_000
"""Milliseconds: nothing real takes so long."""
ADVICE = "The page can be read all the same"


def folder_of(site: Path) -> str:
    """The runtime's folder within the site."""
    (folder,) = (site / "runtime").iterdir()
    return f"runtime/{folder.name}/"


def with_own_clock(page: Page, server: Server) -> None:
    """Let time pass when the test says so (`pass_time`), so that none has to wait, nor races with a busy machine.

    The page's patience is set to PASSED, by the attributes that it reads.
    """
    page.clock.install()
    html = (server.site.folder / PAGE).read_bytes()
    marked = html.replace(
        b'<div class="qt-page qt-page--parts"',
        b'<div class="qt-page qt-page--parts" data-start-silence="%d" data-answer-time="%d"' % (PASSED, PASSED),
    )
    assert marked != html
    server.site.replaced[PAGE] = marked


def pass_time(page: Page) -> None:
    """Let the page's clock jump over its patience; the worker has another."""
    page.clock.fast_forward(PASSED)


def open_broken(page: Page, server: Server, path: str = "safe-range/") -> Sheet:
    page.goto(server.address + path)
    page.locator(".qt-page[data-calc=failed]").wait_for(state="attached", timeout=PATIENCE)
    return Sheet(page)


def check_it_still_teaches(sheet: Sheet) -> None:
    """The words of the page and the built worked example are there, and are what they were."""
    assert sheet.page.locator("h2#bench").is_visible()
    assert sheet.page.locator("h2#means-not").is_visible()
    check_the_example_is_there(sheet)
    assert len(sheet.values()) > 20


def check_the_example_is_there(sheet: Sheet) -> None:
    """Its lead, its picture, and that it is an example, which its fold says; in it stands the verdict."""
    assert sheet.state() == State.EXAMPLE
    assert sheet.section.locator(".qt-lead .lead").is_visible()
    assert sheet.section.locator(".qt-pane svg").first.is_visible()
    fold = sheet.section.locator(".qt-sure")
    assert not sheet.verdict.is_visible()
    fold.get_by_text("About this example").click()
    assert sheet.verdict.is_visible()
    fold.get_by_text("About this example").click()


def said(sheet: Sheet) -> str:
    """What the page says about the trouble; the reader is offered to try again, and hears of it too."""
    trouble = sheet.section.locator(".qt-trouble")
    assert trouble.is_visible()
    text = trouble.inner_text()
    assert ADVICE in text
    assert trouble.get_by_role("button", name="Try again").is_visible()
    assert sheet.section.locator(".qt-progress").is_hidden()
    # Spoken too, after the pause that keeps the spoken line quiet while things change.
    sentence = trouble.locator("p").first.text_content() or ""
    assert "could not be started" in sentence
    expect(sheet.section.locator(".qt-status")).to_have_text(sentence, timeout=10_000)
    return text


def try_again(sheet: Sheet) -> None:
    """Press the button."""
    sheet.section.get_by_role("button", name="Try again").click()


def check_it_starts_again(sheet: Sheet) -> None:
    """One press of the button, and what was typed meanwhile is answered."""
    before = float(sheet.values()["upper_outer"]["value"] or "nan")
    sheet.fill("upper_touch_turns", "6")
    try_again(sheet)
    sheet.settled()
    assert sheet.section.locator(".qt-trouble").is_hidden()
    after = float(sheet.values()["upper_outer"]["value"] or "nan")
    assert after - before == pytest.approx(0.75), "first touch is 6 turns out, and 5.25 in the example"
    assert sheet.box("upper_touch_turns").input_value() == "6"


def calculator(page: Page) -> Worker:
    """The page's worker that runs Python; the theme has one of its own, for the search."""
    return next(worker for worker in page.workers if "/runtime/" in worker.url)


def halved(content: bytes) -> bytes:
    return content[: len(content) // 2]


def spoilt(content: bytes) -> bytes:
    at = len(content) * 3 // 4
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]


FAULTS = ("404", "wasm", "CompileError", "Failed to load module", "SyntaxError", "Failed to load resource")


@pytest.mark.pyodide
@pytest.mark.expects(*FAULTS)
def test_a_missing_file_is_named_and_trying_again_works(page: Page, own_server: Server) -> None:
    path = folder_of(own_server.site.folder) + MISSING
    own_server.site.missing.add(path)
    sheet = open_broken(page, own_server)
    text = said(sheet)
    assert MISSING in text
    assert "is missing on the server" in text
    check_it_still_teaches(sheet)
    own_server.site.missing.clear()
    check_it_starts_again(sheet)


@pytest.mark.pyodide
@pytest.mark.expects(*FAULTS)
def test_a_damaged_file_is_named_and_once_it_is_whole_again_trying_again_works(page: Page, own_server: Server) -> None:
    """Damaged in one way at the first start, in another when it is tried again, then whole."""
    path = folder_of(own_server.site.folder) + DAMAGED
    content = (own_server.site.folder / path).read_bytes()
    own_server.site.replaced[path] = spoilt(content)
    sheet = open_broken(page, own_server)
    check_damage_is_named(sheet)
    own_server.site.replaced[path] = halved(content)
    try_again(sheet)
    page.locator("[data-calc=failed]").wait_for(state="attached", timeout=PATIENCE)
    check_damage_is_named(sheet)
    own_server.site.replaced.clear()
    # The browser kept the damaged file, as it was told to: the first try may only find that a fresh copy is whole.
    try_again(sheet)
    page.locator(":is([data-calc=ready], [data-calc=failed])").wait_for(state="attached", timeout=PATIENCE)
    if page.locator("[data-calc=failed]").count() == 1:
        text = said(sheet)
        assert "a fresh copy is here now" in text or f"the browser refused the file {DAMAGED}" in text
        check_it_starts_again(sheet)
    assert sheet.settled().section.locator(".qt-trouble").is_hidden()


def check_damage_is_named(sheet: Sheet) -> None:
    text = said(sheet)
    assert DAMAGED in text
    assert re.search(r"is damaged|bytes instead of", text)
    check_it_still_teaches(sheet)


@pytest.mark.expects(*FAULTS, "worker.js net::ERR_FAILED")
def test_without_the_worker_itself_the_page_says_so(page: Page, own_server: Server) -> None:
    path = folder_of(own_server.site.folder) + "worker.js"
    own_server.site.missing.add(path)
    sheet = open_broken(page, own_server)
    assert "could not be started" in said(sheet)
    check_it_still_teaches(sheet)
    own_server.site.missing.clear()
    check_it_starts_again(sheet)


@pytest.mark.pyodide
def test_a_file_that_never_comes_is_given_up_and_asked_for_again(page: Page, own_server: Server) -> None:
    with_own_clock(page, own_server)
    page.context.route("**/library.packed", lambda _route: None)
    page.goto(own_server.address + PAGE)
    page.locator(".qt-stage").filter(has_text="Fetching the calculator").wait_for(timeout=PATIENCE)
    sheet = Sheet(page)
    failed = page.locator(".qt-page[data-calc=failed]")
    for _ in range(20):  # the other files may still be arriving, and whatever arrives is heard
        pass_time(page)
        if failed.count():
            break
        page.wait_for_timeout(500)
    failed.wait_for(state="attached", timeout=PATIENCE)
    text = said(sheet)
    assert "Fetching the calculator failed" in text
    assert "nothing was heard for 600 s" in text
    check_it_still_teaches(sheet)
    page.context.unroute("**/library.packed")
    check_it_starts_again(sheet)


@pytest.mark.expects("wasm", "CompileError", "WebAssembly")
def test_a_host_whose_policy_forbids_wasm_is_told_of(
    browser: Browser, watch: Watch, built_site: Path, tmp_path: Path
) -> None:
    for entry in built_site.iterdir():
        if entry.name != "_headers":
            (tmp_path / entry.name).symlink_to(entry)
    headers = (built_site / "_headers").read_text(encoding="utf-8")
    assert "'wasm-unsafe-eval'" in headers
    (tmp_path / "_headers").write_text(headers.replace("'wasm-unsafe-eval'", ""), encoding="utf-8")
    with serving(tmp_path) as server, watched_page(browser, watch) as page:
        sheet = open_broken(page, server)
        text = said(sheet)
        assert f"the browser refused the file {runtime.WASM}" in text
        assert "Content Security Policy" in text
        check_it_still_teaches(sheet)


@pytest.mark.expects("Uncaught Error: killed by the test", "killed by the test")
def test_a_worker_that_crashes_is_started_again_with_the_values_kept(sheet: Sheet) -> None:
    page = sheet.page
    sheet.enter(COMPLETE)
    sheet.settled()
    assert sheet.state() == State.GO
    calculator(page).evaluate("() => { setTimeout(() => { throw new Error('killed by the test'); }); }")
    page.locator(".qt-page[data-calc=idle]").wait_for(state="attached")
    assert sheet.state() == State.GO
    sheet.type_into("upper_now_turns", "12")
    sheet.settled()
    assert sheet.state() == State.STOP
    assert sheet.box("head_diameter").input_value() == "19"


@pytest.mark.pyodide  # which takes long enough to start again that its sentence is seen
@pytest.mark.own_profile
def test_a_worker_that_hangs_or_is_gone_is_ended_and_the_question_asked_again(page: Page, own_server: Server) -> None:
    with_own_clock(page, own_server)
    page.add_init_script(KEEP_WORKER)
    sheet = open_sheet(page, own_server, PAGE)
    sheet.enter(COMPLETE)
    sheet.settled()
    # Gone without a word, as when the system runs out of memory.
    page.evaluate("qtWorker.terminate()")
    sheet.type_into("upper_now_turns", "12")
    working(page)
    pass_time(page)
    trouble = sheet.section.locator(".qt-trouble")
    trouble.filter(has_text="did not answer within 600 s").wait_for(timeout=PATIENCE)
    sheet.settled()
    assert trouble.is_hidden()
    assert sheet.state() == State.STOP
    # For ever busy.
    calculator(page).evaluate("() => { setTimeout(() => { for (;;); }); }")
    sheet.type_into("upper_now_turns", "2")
    working(page)
    pass_time(page)
    trouble.filter(has_text="your values are kept").wait_for(timeout=PATIENCE)
    sheet.settled()
    assert sheet.state() == State.GO
    assert sheet.box("upper_now_turns").input_value() == "2"


def working(page: Page) -> None:
    """Wait until the worker owes an answer."""
    page.locator(".qt-page[data-calc=working]").wait_for(state="attached", timeout=PATIENCE)


@pytest.mark.own_profile
def test_values_that_stop_the_calculator_twice_are_refused_with_a_sentence(page: Page, own_server: Server) -> None:
    """A worker that hangs on one value hangs on the same record each time."""
    path = folder_of(own_server.site.folder) + "worker.js"
    own_server.site.replaced[path] = (WORKER + HANGING).encode()
    with_own_clock(page, own_server)
    sheet = open_sheet(page, own_server, PAGE)
    sheet.enter(COMPLETE)
    sheet.settled()
    sheet.fill("upper_touch_turns", "13.25")
    for _ in range(2):
        working(page)
        # Another worker takes its place; the page may be at work again before anybody sees that it was not.
        with page.expect_worker(timeout=PATIENCE):
            pass_time(page)
    refusal = sheet.section.locator(".qt-summary").filter(has_text="stopped twice on these same values")
    refusal.wait_for(timeout=PATIENCE)
    assert sheet.section.locator(".qt-old-note").is_visible()
    assert sheet.state() == State.GO
    sheet.fill("upper_touch_turns", "5.5")
    sheet.settled()
    assert refusal.is_hidden()
    assert sheet.state() == State.GO


def test_without_javascript_the_page_is_a_readable_worked_example(
    browser: Browser, watch: Watch, server: Server
) -> None:
    with watched_page(browser, watch, java_script_enabled=False) as page:
        page.goto(server.address + "safe-range/")
        sheet = Sheet(page)
        note = sheet.section.locator(".qt-noscript")
        assert note.is_visible()
        assert "You can read and print everything." in note.inner_text()
        assert "The numbers are an example, not your bow" in note.inner_text()
        assert page.locator("h2#bench").is_visible()
        assert page.locator("h2#means-not").is_visible()
        check_the_example_is_there(sheet)
        page.locator(".qt-rest", has=sheet.answer).locator("summary").first.click()
        assert sheet.answer.locator("[data-name=upper_inner]").is_visible()
        # Nothing is offered that would do nothing.
        assert page.locator(".qt-tools button:visible").count() == 0
        assert page.locator(".qt-progress").is_hidden()


@pytest.mark.expects(*FAULTS, "Unexpected token")
@pytest.mark.parametrize("arrives", ["nothing", "damaged"])
def test_without_the_pages_own_script_the_example_stays(page: Page, own_server: Server, arrives: str) -> None:
    script = "assets/browser/page.js"
    if arrives == "nothing":
        own_server.site.missing.add(script)
    else:
        own_server.site.replaced[script] = (own_server.site.folder / script).read_bytes() + b"}"
    page.goto(own_server.address + "safe-range/")
    check_it_still_teaches(Sheet(page))
    assert page.locator(".qt-tools button:visible").count() == 0
