"""Two tabs of the real site: what is entered later stays, and what is typed for a bow goes to no other.

That the modules keep every order of events is tested with the modules; here are the real pages, pictures and shelf.
"""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.test_bows import CLUB, OLD, bow, opened, press, shelf_of, stored
from helpers.asking import COMPLETE
from helpers.finger import QUIET_WORKER
from helpers.site import launch, watched_context
from helpers.worksheet import THEN, Sheet

if TYPE_CHECKING:
    from playwright.sync_api import Page, Playwright

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

FIELD = "head_diameter"
NAMED = bow(CLUB["id"], "Club bow 3", {**COMPLETE, FIELD: 19}, THEN)


def typed(one: Page, text: str) -> None:
    """Type in place of what the field's box shows, and stay in it."""
    box = Sheet(one).unfold().box(FIELD)
    box.fill("")
    box.press_sequentially(text)
    expect(box).to_be_focused()


def picture_moved(one: Page) -> None:
    """Drag along a chart by mouse: the bolt of the picture turns, and the reader is still in the box."""
    place = one.locator("#pocket-gaps-plot")
    place.evaluate("(one) => one.scrollIntoView({ block: 'center', behavior: 'instant' })")
    box = place.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    before = one.locator("#f-turns_shown").input_value()
    one.mouse.move(x, y)
    one.mouse.down()
    one.mouse.move(x + 60, y, steps=4)
    one.mouse.up()
    expect(one.locator("#f-turns_shown")).not_to_have_value(before)
    expect(one.locator(f"#f-{FIELD}")).to_be_focused()


def entered(record: dict[str, object]) -> str:
    entry = record[FIELD]
    assert isinstance(entry, dict)
    return str(entry["typed"])


def shown_in(one: Page, name: str) -> None:
    expect(one.locator(".qt-on-bench")).to_contain_text(name)


@pytest.mark.own_profile
def test_a_picture_moved_in_one_tab_brings_no_older_entry_back(page: Page, server: Server) -> None:
    page.context.add_init_script(QUIET_WORKER)
    opened(page, server, [], NAMED["record"])
    with closing(page.context.new_page()) as two:
        page.goto(server.address + "pocket/")
        two.goto(server.address + "pocket/")
        typed(page, "19.0")
        expect(two.locator(f"#f-{FIELD}")).to_have_value("19.0")
        typed(two, "18.5")
        two.locator("#f-slot_width").fill("7")
        expect(page.locator("#f-slot_width")).to_have_value("7")
        assert page.locator(f"#f-{FIELD}").input_value() == "19.0"
        picture_moved(page)
        assert entered(stored(page, "record")["record"]) == "18.5"
        page.locator("#f-slot_width").focus()
        expect(page.locator(f"#f-{FIELD}")).to_have_value("18.5")
        assert entered(stored(page, "record")["record"]) == "18.5"
        # Who types later has the later entry.
        typed(page, "18.25")
        expect(two.locator(f"#f-{FIELD}")).to_have_value("18.25")


@pytest.mark.own_profile
def test_what_is_typed_for_a_bow_is_not_written_into_the_one_that_came_to_the_bench(page: Page, server: Server) -> None:
    page.context.add_init_script(QUIET_WORKER)
    opened(page, server, [OLD], NAMED["record"], NAMED["id"])
    with closing(page.context.new_page()) as two:
        page.goto(server.address + "pocket/")
        shown_in(page, "Club bow 3")
        typed(page, "17.1")
        two.goto(server.address + "keep/")
        press(two, "Open", "The old one")
        shown_in(page, "The old one")
        assert stored(page, "record")["record"] == OLD["record"]
        picture_moved(page)
        page.keyboard.press("End")
        page.keyboard.type("5")
        # Of the old one nothing is changed, and of the other everything that was typed is there.
        assert stored(page, "record")["record"] == OLD["record"]
        club = shelf_of(page)["Club bow 3"]["record"]
        assert club == NAMED["record"] | {FIELD: {"typed": "17.15", "unit": "mm"}}
        expect(page.locator(".qt-notices")).to_contain_text("goes to “Club bow 3”, which is saved.")
        page.locator("#f-slot_width").focus()
        expect(page.locator(f"#f-{FIELD}")).to_have_value("")
        assert stored(page, "record")["record"] == OLD["record"]
        press(two, "Open", "Club bow 3")
        expect(page.locator(f"#f-{FIELD}")).to_have_value("17.15")


def test_a_page_from_the_back_forward_cache_shows_what_is_newest(
    playwright: Playwright, server: Server, watch: Watch
) -> None:
    """Left from within a box: some versions of the browser leave the focus there. It says whether it kept the page."""
    with (
        closing(launch(playwright, keeps_pages=True)) as keeping,
        watched_context(keeping, watch) as context,
    ):
        context.add_init_script(QUIET_WORKER)
        page, two = opened(context.new_page(), server, [OLD], NAMED["record"], NAMED["id"]), context.new_page()
        for change, shows in (("18.5", "18.5"), ("", "")):
            page.goto(server.address + "pocket/")
            page.evaluate("addEventListener('pageshow', ({ persisted }) => { window.wasKept = persisted; })")
            typed(page, "17.1")
            page.goto(server.address + "words/")
            if change:
                two.goto(server.address + "pocket/")
                typed(two, change)
            else:
                two.goto(server.address + "keep/")
                press(two, "Open", "The old one")
                expect(two.locator(".qt-bench h3")).to_have_text("The old one")
            # Such a page loads nothing any more. Its reader looks at it, so it is in front.
            page.bring_to_front()
            page.go_back(wait_until="commit")
            expect(page.locator(f"#f-{FIELD}")).to_have_value(shows)
            page.wait_for_function("window.wasKept === true")  # a tab may be told what is newest before
        shown_in(page, "The old one")
        page.locator(f"#f-{FIELD}").press_sequentially("20")
        assert entered(stored(page, "record")["record"]) == "20"
        assert entered(shelf_of(page)["Club bow 3"]["record"]) == "17.1"
