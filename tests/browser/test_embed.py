"""Pages of this site in a frame of a made-up course, which lies on another origin of this machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.axe import findings
from helpers.profiles import watched_page
from helpers.site import serving

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Frame, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

COURSE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<link rel="icon" href="data:,"><title>A made-up course</title>
<style>body {{ margin: 0 }} iframe {{ border: 0; display: block }} p {{ height: 300px }}</style></head>
<body><h1>A lesson</h1><p>Words above.</p>{snippet}
<script>window.heard = []; addEventListener("message", ({{ data }}) => heard.push(data))</script></body></html>
"""
TASK = {"task": "12", "level": "paper"}


def snippet(page: Page, server: Server, name: str, task: dict[str, str] | None = None, *, script: bool = False) -> str:
    """What the clubs' page gives to be pasted for a page, with this task."""
    page.goto(f"{server.address}clubs/")
    expect(page.locator("#embed-page")).to_be_visible()
    page.locator("#embed-page").select_option(name)
    for choice, value in (task or {}).items():
        box = page.locator(f"#embed-{choice}")
        box.fill(value) if choice == "task" else box.select_option(value)
    text = page.locator("#embed-frame").input_value()
    return text + page.locator("#embed-script").input_value() if script else text


@pytest.fixture
def course(tmp_path: Path) -> Iterator[tuple[Path, Server]]:
    """A folder for the course's page, and its server; it sends no headers of ours."""
    with serving(tmp_path) as running:
        yield tmp_path / "index.html", running


@pytest.fixture
def phone(browser: Browser, watch: Watch) -> Iterator[Page]:
    """A page as narrow as they come, touched by a finger."""
    with watched_page(browser, watch, viewport={"width": 320, "height": 640}, has_touch=True) as page:
        yield page
    watch.check()


def framed(page: Page, course: tuple[Path, Server], text: str) -> Frame:
    """The frame of a course's page that has this snippet."""
    file, running = course
    file.write_text(COURSE.format(snippet=text), encoding="utf-8")
    page.goto(running.address)
    page.locator("iframe").scroll_into_view_if_needed()
    expect(page.frame_locator("iframe").locator(".qt-page")).to_have_attribute("data-calc", "ready", timeout=90_000)
    (frame,) = page.frames[1:]
    return frame


WIDER = """() => [...document.querySelectorAll("body *")].filter((one) => {
  if (one.closest("svg") && one.tagName !== "svg") return false;
  if (!one.checkVisibility({ visibilityProperty: true })) return false;
  for (let at = one.parentElement; at; at = at.parentElement) {
    if (at !== document.body && /auto|scroll|hidden|clip/.test(getComputedStyle(at).overflowX)) return false;
  }
  const { left, right, width } = one.getBoundingClientRect();
  return width > 0 && (right > innerWidth + 0.5 || left < -0.5);
}).map((one) => one.outerHTML.slice(0, 120))"""
"""What reaches out of the frame, but for what scrolls in a box of its own."""


def test_the_worksheet_answers_in_a_frame_and_nothing_is_wider(
    phone: Page, server: Server, course: tuple[Path, Server]
) -> None:
    frame = framed(phone, course, snippet(phone, server, "safe-range"))
    assert frame.url == f"{server.address}safe-range/bare.html"
    picture = frame.locator("[data-spot^='safe-range/'] svg.qt-figure").first
    expect(picture).to_contain_text("first touch 5¼")
    frame.locator("details:has(#f-upper_touch_turns) > summary").first.click()
    frame.locator("#f-upper_touch_turns").fill("4")
    expect(picture).to_contain_text("first touch 4")
    assert frame.evaluate("innerWidth") == 320
    for opened in (False, True):
        if opened:
            frame.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        assert frame.evaluate("document.documentElement.scrollWidth") <= 320
        assert frame.evaluate(WIDER) == []
    # Scrolled in its own frame, the picture's strip is there.
    frame.evaluate("scrollTo(0, 1600)")
    expect(frame.locator(".qt-strip-button").first).to_be_visible()


@pytest.mark.parametrize("name", ["pocket", "load", "lessons", "before", "bow", "set", "after", "practice"])
def test_no_other_bare_page_is_wider_than_its_frame(
    phone: Page, server: Server, course: tuple[Path, Server], name: str
) -> None:
    frame = framed(phone, course, snippet(phone, server, name))
    frame.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    assert frame.evaluate("document.documentElement.scrollWidth") <= 320
    assert frame.evaluate(WIDER) == []


def test_the_frame_is_as_tall_as_its_page_and_hears_nothing(
    page: Page, server: Server, course: tuple[Path, Server]
) -> None:
    page.set_viewport_size({"width": 800, "height": 700})
    frame = framed(page, course, snippet(page, server, "practice", TASK, script=True))
    fits = "() => innerHeight === Math.ceil(document.querySelector('.qt-bare-whole').getBoundingClientRect().height)"
    frame.wait_for_function(fits)
    before = frame.evaluate("innerHeight")
    assert before > 1000
    frame.locator("#instructor > summary").click()
    frame.wait_for_function(f"(before) => innerHeight > before && ({fits})()", arg=before)
    frame.locator("#instructor > summary").click()
    frame.wait_for_function(f"(before) => innerHeight === before && ({fits})()", arg=before)
    heard = page.evaluate("heard")
    assert len(heard) >= 3
    assert all(list(one) == ["frameHeight"] and isinstance(one["frameHeight"], int) for one in heard)
    # A message from elsewhere moves no frame: it has the wrong origin, or is of no frame.
    page.evaluate("postMessage({ frameHeight: 5 }, '*')")
    page.wait_for_function("() => heard.some((one) => one.frameHeight === 5)")
    assert page.locator("iframe").get_attribute("height") == str(before)
    # A link to a place moves the page around it, and stays in the frame.
    page.evaluate("scrollTo(0, 0)")
    frame.locator("#class a.headerlink").dispatch_event("click")
    page.wait_for_function("() => scrollY > 1000")
    expect(page.frame_locator("iframe").locator("#class")).to_be_in_viewport()
    assert frame.url == f"{server.address}practice/bare.html#class"


def test_a_task_is_set_in_a_frame(page: Page, server: Server, course: tuple[Path, Server]) -> None:
    frame = framed(page, course, snippet(page, server, "practice", TASK))
    assert frame.locator("#f-practice_task").input_value() == "12"
    assert frame.locator("input[name=practice_level][value=paper]").is_checked()
    assert frame.url == f"{server.address}practice/bare.html"


def test_in_a_tall_frame_news_stand_where_the_button_was_pressed(
    page: Page, server: Server, course: tuple[Path, Server]
) -> None:
    frame = framed(page, course, snippet(page, server, "safe-range", script=True))
    frame.wait_for_function("() => document.body.classList.contains('qt-bare-tall')")
    frame.evaluate("document.querySelector('.qt-known button, .qt-known a, summary').focus()")
    frame.locator("[data-act=link]").click()
    status = page.frame_locator("iframe").locator(".qt-status:not(.qt-quiet)")
    expect(status).to_contain_text("Nothing has been entered yet")
    expect(status).to_be_in_viewport(ratio=1)
    between = (
        "() => ['.qt-status', '[data-act=link]'].map((one) => document.querySelector(one).getBoundingClientRect())"
    )
    said, pressed = frame.evaluate(f"() => ({between})().map(({{ top, bottom }}) => [top, bottom])")
    assert 0 <= said[0] - pressed[1] < 100


def test_links_open_a_tab_also_those_of_an_answer(page: Page, server: Server, course: tuple[Path, Server]) -> None:
    frame = framed(page, course, snippet(page, server, "safe-range"))
    for link, leads in ((".qt-bare-from a", "safe-range/"), (".qt-next a", ""), ("a.qt-word", "words/")):
        with page.expect_popup() as opened:
            frame.locator(link).first.dispatch_event("click")
        opened.value.wait_for_load_state()
        assert opened.value.url.startswith(server.address + leads)
        assert opened.value.evaluate("opener") is None
        opened.value.close()
    # As an answer brings it later: with the whole page's address, but to a place that is here.
    late = '<a id="late" href="../safe-range/#now">x</a>'
    frame.evaluate("(late) => document.querySelector('.qt-next').insertAdjacentHTML('beforeend', late)", late)
    frame.locator("#late").dispatch_event("click")
    frame.wait_for_url(f"{server.address}safe-range/bare.html#now")
    assert len(page.context.pages) == 1


@pytest.mark.expects("frame-ancestors", "ERR_BLOCKED_BY_RESPONSE")
@pytest.mark.parametrize("name", ["safe-range/", "safe-range/index.html", "", "keep/", "404.html"])
def test_a_whole_page_refuses_the_frame(page: Page, server: Server, course: tuple[Path, Server], name: str) -> None:
    file, running = course
    file.write_text(COURSE.format(snippet=f'<iframe src="{server.address}{name}"></iframe>'), encoding="utf-8")
    with page.expect_event("requestfailed") as failed:
        page.goto(running.address)
    assert failed.value.url == server.address + name
    assert page.frames[1].url.startswith("chrome-error:")


def test_in_a_folder_of_a_host_without_headers_the_address_is_right(
    page: Page, folder_server: Server, course: tuple[Path, Server]
) -> None:
    frame = framed(page, course, snippet(page, folder_server, "pocket"))
    assert frame.url == f"{folder_server.address}pocket/bare.html"
    expect(frame.locator("[data-spot^='pocket/'] svg.qt-figure").first).to_be_visible()


def test_the_clubs_page_says_what_is_wrong_and_copies(page: Page, server: Server) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.set_viewport_size({"width": 320, "height": 640})
    text = snippet(page, server, "practice", TASK)
    assert "practice/bare.html?task=12&amp;level=paper" in text
    for wrong in ("12a", "0", "123456", "1 2"):
        page.locator("#embed-task").fill(wrong)
        expect(page.locator("#embed-problem")).to_have_text(
            "Number of the task: write a whole number from 1 to 99999, without blanks."
        )
        expect(page.locator("#embed-task")).to_have_value(wrong)
        expect(page.locator("#embed-task")).to_have_attribute("aria-invalid", "true")
        assert "task=" not in page.locator("#embed-frame").input_value()
    page.locator("#embed-task").fill("7")
    expect(page.locator("#embed-problem")).to_be_hidden()
    page.locator(".qt-embed-height > summary").click()
    for name in ("frame", "script"):
        page.locator(f"[data-copies=embed-{name}]").click()
        expect(page.locator(".qt-embed-said:not(:empty)")).to_have_text("Copied.")
        assert page.evaluate("navigator.clipboard.readText()") == page.locator(f"#embed-{name}").input_value()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.locator("#framing > summary").click()
    assert findings(page) == []


def test_axe_on_a_bare_page(page: Page, server: Server) -> None:
    page.goto(f"{server.address}practice/bare.html")
    expect(page.locator(".qt-page")).to_have_attribute("data-calc", "ready", timeout=90_000)
    assert findings(page) == []
