"""Every page carries the strict policy, and the policy fits the page.

What the policy has to say: Content Security Policy Level 3 (W3C), M. The example hash is that of CSP Level 2, 4.2.5, M.
"""

from __future__ import annotations

import base64
import hashlib
import re
import time
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

import policy
from helpers.built_pages import Element, pages, read_page
from helpers.profiles import watched_page
from helpers.site import Watch

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from web_server import Server

WANTED = {
    "default-src": ["'none'"],
    "img-src": ["'self'", "data:"],
    "connect-src": ["'self'"],
    "worker-src": ["'self'"],
    "manifest-src": ["'self'"],
    "base-uri": ["'none'"],
    "form-action": ["'none'"],
    "object-src": ["'none'"],
}
FETCHING = {"link": "href", "script": "src", "img": "src", "iframe": "src", "source": "src", "object": "data"}


def policy_of(page: Element) -> dict[str, list[str]]:
    """The directives of a page's one meta policy."""
    (meta,) = [one for one in page.all("meta") if one.get("http-equiv").lower() == "content-security-policy"]
    return directives(meta.get("content"))


def directives(text: str) -> dict[str, list[str]]:
    """A policy's directives, by name."""
    return {words[0]: words[1:] for words in (part.split() for part in text.split(";"))}


def sha256(text: str) -> str:
    """A hash as the policy writes it."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def inline(page: Path, name: str) -> set[str]:
    """The hashes of a page's inline elements of one name, found by a pattern, not by a parser."""
    html = page.read_text(encoding="utf-8")
    found = re.findall(rf"<{name}\b([^>]*)>(.*?)</{name}>", html, re.DOTALL)
    return {sha256(text) for attributes, text in found if "src=" not in attributes and "json" not in attributes}


def test_hash_is_that_of_the_specification() -> None:
    assert policy.hash_of("alert('Hello, world.');") == "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"


def test_every_page_has_the_policy_before_anything_it_governs(built_site: Path) -> None:
    assert len(pages(built_site)) >= 3
    for path in pages(built_site):
        head = read_page(path).all("head")[0]
        names = [one.name for one in head.children]
        policies = [one.get("http-equiv") for one in head.children]
        place = policies.index("Content-Security-Policy")
        assert not {"script", "style", "link"} & set(names[:place]), path


def test_policy_permits_what_is_inline_and_nothing_more(built_site: Path) -> None:
    for path in pages(built_site):
        stated = policy_of(read_page(path))
        assert {name: stated[name] for name in WANTED} == WANTED, path
        assert set(stated) == {*WANTED, "script-src", "style-src"}, path
        assert set(stated["script-src"]) == {"'self'", "'wasm-unsafe-eval'", *inline(path, "script")}, path
        assert set(stated["style-src"]) == {"'self'", *inline(path, "style")}, path


def test_no_style_attribute_no_handler_no_script_address(built_site: Path) -> None:
    for path in pages(built_site):
        for one in read_page(path).all():
            for name, value in one.attributes.items():
                assert name != "style", (path, one.name)
                assert not name.startswith("on"), (path, one.name, name)
                assert not value.strip().lower().startswith("javascript:"), (path, one.name, name)


def test_nothing_is_fetched_from_another_host(built_site: Path) -> None:
    for path in pages(built_site):
        for one in read_page(path).all():
            address = one.get(FETCHING.get(one.name, ""))
            assert urlsplit(address).netloc == "", (path, address)
            assert urlsplit(address).scheme in ("", "data"), (path, address)
    for sheet in built_site.rglob("*.css"):
        css = sheet.read_text(encoding="utf-8")
        outside = re.findall(r"(?:url\(|@import)\s*[\"']?\s*(?:[a-z]+:)?//[^\s\"')]*", css)
        assert outside == [], sheet


def test_headers_file_says_the_same(built_site: Path) -> None:
    """Who may frame what: test_bare_pages.py."""
    text = (built_site / "_headers").read_text(encoding="utf-8")
    (line,) = re.findall(r"^/\*\n(?:  .*\n)*?  Content-Security-Policy: (.*)$", text, re.MULTILINE)
    stated = directives(line)
    assert "frame-ancestors" not in stated
    every = [policy_of(read_page(path)) for path in pages(built_site)]
    for name, words in stated.items():
        assert set(words) == {word for one in every for word in one[name]}, name
    assert "  X-Content-Type-Options: nosniff\n" in text


@pytest.mark.parametrize(
    "html",
    ['<p style="color:red">', '<p onclick="x()">', '<a href=" JavaScript:void(0)">', '<svg onload="x()">'],
)
def test_what_the_policy_would_refuse_ends_the_build(tmp_path: Path, html: str) -> None:
    (tmp_path / "page.html").write_text(f'<meta charset="utf-8">{html}', encoding="utf-8")
    with pytest.raises(policy.PolicyProblem, match=r"page\.html"):
        policy.write(tmp_path)


def test_page_without_a_place_for_the_policy_ends_the_build(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text("<title>x</title>", encoding="utf-8")
    with pytest.raises(policy.PolicyProblem, match="must be there once"):
        policy.write(tmp_path)


def open_search(page: Page) -> None:
    """Open the theme's search by its key."""
    field = page.locator(".md-search__input")
    # The theme listens once its script has run, and opens the field in its own time.
    page.locator("html.js").wait_for()
    page.keyboard.press("/")
    expect(field).to_be_focused(timeout=30_000)


def search(page: Page, words: str) -> None:
    """Use the theme's search, which runs a worker of its own."""
    open_search(page)
    page.keyboard.type(words)
    page.locator(".md-search-result__item").first.wait_for()


@pytest.mark.browser
@pytest.mark.offline
@pytest.mark.parametrize("host", ["server", "folder_server"])
def test_pages_and_their_search_live_under_the_policy(host: str, page: Page, request: pytest.FixtureRequest) -> None:
    """With the policy as a header and a meta, and as a meta alone; the watch fails on any violation."""
    server: Server = request.getfixturevalue(host)
    # A page of each kind and of both depths.
    for name in ("", "words/", "keep/"):
        page.goto(server.address + name)
        search(page, "find flush, and call it zero")
        # The best match changes while the words arrive.
        best = page.locator(".md-search-result__item").first
        expect(best.locator(".md-search-result__link").first).to_have_attribute("href", re.compile("/safe-range/"))
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile(r"/safe-range/(\?[^#]*)?(#.*)?$"))


@pytest.mark.browser
def test_every_page_and_its_scripts_live_under_the_policy(built_site: Path, page: Page, server: Server) -> None:
    """A page's policy is the others', but for what is inline; that it is enough, its scripts and the watch tell.

    Of the decisions, which are all made in one way, the list is opened and one of them.
    """
    names = [path.parent.relative_to(built_site).as_posix() for path in pages(built_site) if path.name == "index.html"]
    assert len(names) >= 16
    decisions = sorted(name for name in names if name.startswith("decisions/"))
    for name in sorted(set(names) - set(decisions[1:])):
        page.goto(server.address + ("" if name == "." else f"{name}/"))
        open_search(page)


REFUSED = {"script-src-elem", "style-src-attr", "img-src", "connect-src"}


def refused(watch: Watch) -> set[str]:
    """The directives that have stopped something."""
    return {fault.split()[1] for fault in watch.faults if fault.startswith("policy:")}


@pytest.mark.browser
@pytest.mark.parametrize("host", ["server", "folder_server"])
def test_policy_stops_what_it_should(host: str, browser: Browser, request: pytest.FixtureRequest) -> None:
    """A policy that lets everything pass would pass every other check here."""
    server: Server = request.getfixturevalue(host)
    watch = Watch()
    with watched_page(browser, watch) as page:
        page.goto(server.address)
        page.evaluate(
            "() => { const s = document.createElement('script'); s.textContent = 'window.ran = 1';"
            " document.body.append(s); document.body.setAttribute('style', 'color: red');"
            " new Image().src = 'https://example.invalid/x.png';"
            " return fetch('https://example.invalid/').catch(() => {}); }"
        )
        end = time.monotonic() + 30
        while not refused(watch) >= REFUSED and time.monotonic() < end:
            page.wait_for_timeout(20)
        assert page.evaluate("window.ran") is None
    assert refused(watch) >= REFUSED


@pytest.mark.browser
@pytest.mark.expects("404")
@pytest.mark.parametrize("host", ["server", "folder_server"])
def test_missing_page_leads_home_from_any_depth(host: str, page: Page, request: pytest.FixtureRequest) -> None:
    server: Server = request.getfixturevalue(host)
    page.goto(server.address + "no/such/page")
    page.locator(f'#home[href="{server.address}"]').click()
    page.wait_for_url(server.address)
    assert "limb bolts" in page.inner_text("h1")
