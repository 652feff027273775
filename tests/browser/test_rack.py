"""An officer with five bows and a member: the rack by touch at 390 px, files of two, a table, presets, prints."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect
from pypdfium2 import PdfDocument

from browser.test_bows import banner, bow, choose_file, file_of, opened, press, says, shelf_of
from helpers.asking import COMPLETE
from helpers.axe import findings
from helpers.profiles import watched_page
from helpers.worksheet import PATIENCE, THEN, Sheet, open_sheet

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
SETTLED = {"riser_name": "Made-up riser 25", "limbs_name": "Made-up limbs M"}


@pytest.fixture
def touch_page(browser: Browser, watch: Watch) -> Iterator[Page]:
    """A fresh phone with a finger on it."""
    with watched_page(browser, watch, viewport=PHONE, has_touch=True) as page:
        yield page
    watch.check()


def five() -> list[dict[str, Any]]:
    """A made-up club's bows: in order, cracked, long ago looked over, not complete, and one by its name last."""
    own = COMPLETE | SETTLED
    return [
        bow("a" * 16, "Club 1", own | {"inspected_on": "2026-10-02", "inspected_by": "AB"}),
        bow("b" * 16, "Club 2", own | {"check_limbs": "fault"}),
        bow("c" * 16, "Club 3", own | {"inspected_on": "2020-01-31", "inspected_by": "CD"}),
        bow("d" * 16, "Club 10", {"bolt_family": "flat", "marked_weight": 34}),
        bow("e" * 16, "Beginner's", own),
    ]


def rack(page: Page, server: Server, bows: list[dict[str, Any]]) -> Page:
    opened(page, server, bows)
    page.goto(server.address + "rack/")
    known(page, len(bows))
    return page


def known(page: Page, many: int) -> None:
    """Wait until every row tells what is known of its bow."""
    expect(page.locator(".qt-rack-state:not(.qt-rack-state--none)")).to_have_count(many, timeout=PATIENCE)


def names(page: Page) -> list[str]:
    return page.locator(".qt-rack h3").all_inner_texts()


def state_of(page: Page, name: str) -> str:
    row = page.locator(".qt-rack tr").filter(has=page.get_by_role("heading", name=name, exact=True))
    return row.locator(".qt-rack-state").inner_text()


def tap(page: Page, words: str, name: str | None = None) -> None:
    """Press by touch, unfolding a row's further buttons."""
    label = words if name is None else f"{words}: “{name}”"
    button = page.locator(".qt-bows button").and_(page.get_by_role("button", name=label, exact=True))
    if name is not None and not button.is_visible():
        page.locator(f"summary[aria-label='More: “{name}”']").tap()
    button.tap()


def saved(page: Page, words: str) -> str:
    with page.expect_download() as waited:
        tap(page, words)
    return waited.value.path().read_text(encoding="utf-8")


def test_an_officer_keeps_five_bows_and_a_member_opens_one(
    touch_page: Page, server: Server, browser: Browser, watch: Watch
) -> None:
    page = rack(touch_page, server, five())
    assert names(page) == ["Beginner's", "Club 1", "Club 2", "Club 3", "Club 10"]
    assert state_of(page, "Club 1") == "Both ranges found, nothing open"
    assert state_of(page, "Club 2") == "Stop: the inspection says no"
    assert state_of(page, "Club 3") == "Look the bow over again first"
    # Sorted, selected, and found by a word.
    page.locator("[name=rack-order]").select_option("grave")
    assert names(page)[0] == "Club 2"
    page.locator("[name=rack-order]").select_option("due")
    assert names(page) == ["Club 2", "Club 3", "Club 10", "Club 1", "Beginner's"]
    page.locator("[name=rack-shown]").select_option("due")
    assert "Club 3" in names(page)
    assert "Club 1" not in names(page)
    page.locator("[name=rack-shown]").select_option("")
    page.locator("[name=rack-order]").select_option("name")
    page.locator("[name=rack-words]").fill("club 10")
    assert names(page) == ["Club 10"]
    page.locator("[name=rack-words]").fill("")
    # Nothing is wider than the phone.
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    # Out of use: on the rack at once, on the bow's own page and in the link of it.
    tap(page, "Take out of use", "Club 1")
    expect(page.locator(".qt-status")).to_contain_text("“Club 1” is out of use")
    expect(page.locator("[data-bow='" + "a" * 16 + "']").locator("xpath=ancestor::tr")).to_contain_text(
        "taken out of use"
    )
    rows = shelf_of(page)["Club 1"]["record"]["events"]
    assert [row["happened"] for row in rows] == ["withdrawn"]
    tap(page, "Open", "Club 1")
    says(page, "“Club 1” is open")
    address = _link(page)
    with watched_page(browser, watch, viewport=PHONE, has_touch=True) as member:
        member.goto(address)
        expect(member.locator(".qt-banner").first).to_contain_text("values from a link", timeout=PATIENCE)
        expect(member.locator("body")).to_contain_text("Stop: this bow is taken out of use", timeout=PATIENCE)
    # Released, and that taken back.
    tap(page, "Release for use", "Club 1")
    expect(page.locator(".qt-rack")).not_to_contain_text("taken out of use", timeout=PATIENCE)
    page.locator(".qt-bows [data-act=undo]").tap()
    expect(page.locator(".qt-rack")).to_contain_text("taken out of use", timeout=PATIENCE)
    sheet = open_sheet(page, server)
    expect(sheet.section).to_contain_text("Stop: this bow is taken out of use", timeout=PATIENCE)


def _link(page: Page) -> str:
    """The open bow's link, from the clipboard's place or the box that stands for it."""
    page.evaluate("navigator.clipboard.writeText = (text) => { window.copied = text; return Promise.resolve(); }")
    tap(page, "Copy a link", "Club 1")
    expect(page.locator(".qt-status")).to_contain_text("The link is copied", timeout=PATIENCE)
    address: str = page.evaluate("window.copied")
    return address


def test_two_officers_files_lose_nothing(touch_page: Page, server: Server) -> None:
    page = rack(touch_page, server, five())
    theirs = json.loads(json.dumps(five()[:2]))
    for one in theirs:
        one["times"] |= {"riser_name": THEN + 90, "limbs_name": THEN - 90}
        one["record"] |= {"riser_name": "Their word", "limbs_name": "Their older word"}
    choose_file(page, file_of(*theirs, bow("f" * 16, "Club 7", COMPLETE)))
    banner(page, "holds 3 bows")
    press(page, "Make them one: the later entry counts")
    known(page, 6)
    kept = shelf_of(page)
    assert kept["Club 1"]["record"]["riser_name"] == "Their word"
    assert kept["Club 1"]["record"]["limbs_name"] == SETTLED["limbs_name"]
    assert sorted(kept) == sorted([*(one["record"]["bow_name"] for one in five()), "Club 7"])


def test_a_table_goes_out_and_comes_in(touch_page: Page, server: Server, tmp_path: Path) -> None:
    page = rack(touch_page, server, five())
    text = saved(page, "Save as a table")
    table = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    assert {line["bow_name"]: line["(what is known)"] for line in table}["Club 2"] == "Stop: the inspection says no"
    new = tmp_path / "list.csv"
    new.write_text("bow_name;riser_name;head_diameter\nNew 1;R;19\nNew 2;R;wide\n", encoding="utf-8")
    page.locator("#open-file").set_input_files(new)
    told = banner(page, "holds 2 bows")
    assert "Line 3, New 2" in told
    press(page, "Save what is new")
    known(page, 7)
    assert {"New 1", "New 2"} <= set(names(page))
    # What was typed is not lost.
    head = shelf_of(page)["New 2"]["record"]["head_diameter"]
    assert head["typed"] == "wide"


def test_a_preset_is_saved_started_from_and_contradicts_nothing(touch_page: Page, server: Server) -> None:
    page = rack(touch_page, server, five())
    tap(page, "Save as a preset", "Club 1")
    says(page, "“Preset Club 1” is saved")
    known(page, 6)
    assert state_of(page, "Preset Club 1").startswith("A preset of ")
    tap(page, "Start a bow from it", "Preset Club 1")
    known(page, 7)
    started = shelf_of(page)["Bow Preset Club 1"]["record"]
    assert started["head_diameter"] == shelf_of(page)["Club 1"]["record"]["head_diameter"]
    assert not {"upper_now_turns", "check_limbs", "kept_as"} & set(started)
    # A bow that says otherwise keeps what it says, and that is named.
    tap(page, "Open", "Club 1")
    says(page, "“Club 1” is open")
    page.goto(server.address + "safe-range/")
    sheet = Sheet(page).settled()
    sheet.fill("head_diameter", "18")
    sheet.settled()
    page.goto(server.address + "rack/")
    known(page, 7)
    tap(page, "Fill the open bow", "Preset Club 1")
    told = banner(page, "“Club 1” got")
    assert "the bow says “18 mm”, the preset “19 mm”. The bow's stays." in told
    assert shelf_of(page)["Club 1"]["record"]["head_diameter"]["typed"] == "18"


def test_cards_are_four_a_sheet_and_a_notice_is_one(touch_page: Page, server: Server) -> None:
    page = rack(touch_page, server, five())
    page.evaluate("window.print = () => {}")
    for act, what, pages, width in (("Print the cards shown", "cards", 2, 297), ("Print a notice", "notice", 1, 210)):
        tap(page, act)
        expect(page.locator(".qt-rack-sheets")).to_have_attribute("data-what", what, timeout=PATIENCE)
        page.evaluate("document.documentElement.dataset.print = 'rack'")
        with PdfDocument(page.pdf(prefer_css_page_size=True)) as document:
            assert len(document) == pages, act
            assert round(document[0].get_width() / 72 * 25.4) == width
        page.evaluate("delete document.documentElement.dataset.print")
    assert page.locator(".qt-rack-sheet").count() == 1


def test_the_rack_is_used_by_keyboard_and_has_no_faults(page: Page, server: Server) -> None:
    opened(page, server, five())
    page.goto(server.address + "rack/")
    known(page, 5)
    assert findings(page) == []
    page.locator("[name=rack-words]").focus()
    page.keyboard.type("Club 2")
    assert names(page) == ["Club 2"]
    page.keyboard.press("Tab")
    label = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert label == "Open: “Club 2”"
    page.keyboard.press("Enter")
    says(page, "“Club 2” is open")
    assert page.evaluate("document.activeElement.tagName") == "H3"
