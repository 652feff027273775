"""The search starts with what is first looked for, and ends with what was typed last (docs/search_worker.js)."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.worksheet import PAGE_OF
from moved_pages import MOVED
from quarterturn.record.entries import Record
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

FIELD = ".md-search__input"
ITEM = ".md-search-result__item"
INDEX = "/search/whole_index.json"


def opened(page: Page, address: str) -> Page:
    page.goto(address)
    page.locator("html.js").wait_for()
    page.keyboard.press("/")
    expect(page.locator(FIELD)).to_be_focused()
    return page


def found(page: Page) -> list[str]:
    """The pages and places that are listed, seen from the site's first page, once the list no longer changes."""
    page.locator(ITEM).first.wait_for()
    seen: list[str] = []
    for _ in range(100):
        now: list[str] = page.locator(f"{ITEM} a").evaluate_all("(all) => all.map((one) => one.href)")
        if now == seen:
            return [address.removeprefix("/".join(page.url.split("/")[:3])) for address in seen]
        seen = now
        page.wait_for_timeout(300)
    raise AssertionError("the list never came to rest")


def test_what_was_typed_last_is_what_is_found(page: Page, server: Server) -> None:
    """On a page whose search begins with these words, and on one whose search has started before."""
    opened(page, server.address)
    page.locator(FIELD).press_sequentially("dry-fire")
    at_once = found(page)
    assert len(set(at_once)) > 3
    opened(page, f"{server.address}words/")
    page.keyboard.type("z")
    page.wait_for_timeout(500)
    page.keyboard.press("Backspace")
    lists = []
    for words in ("first touch", "nocking point", "dry-fire"):
        page.locator(FIELD).fill("")
        expect(page.locator(ITEM)).to_have_count(0)
        page.locator(FIELD).press_sequentially(words, delay=60)
        lists.append(found(page))
        assert len(set(lists[-1])) > 3
    assert lists[-1] == at_once
    assert lists[0] != lists[1] != lists[2]


def test_what_a_calculator_says_of_its_example_is_not_found(built_site: Path) -> None:
    """Its numbers are of a made-up bow, and a list of results does not say so."""
    index = json.loads((built_site / "search" / "whole_index.json").read_text(encoding="utf-8"))
    locations = [entry["location"] for entry in index["docs"]]
    # What the pages themselves say is: by page and heading, and nothing of an old address.
    assert {location.partition("#")[0] for location in locations} >= set(PAGE_OF.values())
    assert {"safe-range/#bench", "keep/#log", "set/#carry", "pocket/#paper"} <= set(locations)
    assert [one for one in locations if one.startswith(tuple(f"{name}/" for name in MOVED))] == []
    in_answers = tuple(f"{widget}-" for widget in WIDGETS)
    headings = [one for one in index["docs"] if one["location"].partition("#")[2].startswith(in_answers)]
    assert [one["location"] for one in headings if not one["text"]] == []
    for name in ("safe-range", "tiller", "draw-weight", "after"):
        answer = WIDGETS[name].answer(Values(Record({})))
        notes = {value.note for value in answer.all_values() if len(value.note) > 40}
        assert notes
        assert [note for note in notes if any(note in entry["text"] for entry in index["docs"])] == []


def test_until_then_nothing_is_fetched(page: Page, server: Server) -> None:
    before = server.site.requests.count(INDEX)
    opened(page, server.address)
    page.wait_for_timeout(500)
    assert server.site.requests.count(INDEX) == before
    page.keyboard.type("tiller")
    found(page)
    assert server.site.requests.count(INDEX) == before + 1


@pytest.mark.expects("503", "ERR_FAILED")
def test_without_signal_the_next_letter_tries_again(page: Page, server: Server) -> None:
    page.context.route("**/whole_index.json", lambda route: route.abort())
    opened(page, server.address)
    page.keyboard.type("til")
    page.wait_for_timeout(500)
    assert page.locator(ITEM).count() == 0
    page.context.unroute("**/whole_index.json")
    page.keyboard.type("ler")
    assert found(page)
