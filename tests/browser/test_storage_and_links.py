"""What is entered stays in this browser, and goes to another only by a link; neither ever costs the reader a value.

With the real package behind the page: that the modules keep their order is tested with the modules.
"""

from __future__ import annotations

import base64
import json
import zlib
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, changed
from helpers.site import SUB_FOLDER, watched_context
from helpers.worksheet import PATIENCE, Sheet, as_entered, keep, kept_record, on_the_bench, open_sheet, request
from moved_pages import MOVED
from quarterturn.bench import inspection
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.widgets.answer import State
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Locator, Page

    from helpers.site import Watch
    from helpers.worksheet import Record
    from web_server import Server

pytestmark = pytest.mark.browser

PAGE = "safe-range/"
NAMED = as_entered(changed(COMPLETE, bow_name="Club bow 3", upper_touch_turns={"typed": "5,5", "unit": "turn"}))
TAKEN = NAMED | {"inspection_source": "other"}
"""The same, once it came with a link: the inspection in it is someone else's."""
FORBIDDEN = """Object.defineProperty(window, "localStorage", {
  get() { throw new DOMException("The operation is insecure.", "SecurityError"); },
});"""


def same_answer(sheet: Sheet, record: Record) -> bool:
    """Whether the page shows just what the package answers to a record."""
    folded = sheet.page.evaluate("document.querySelectorAll(':is([data-spot], [data-zone]) details[open]').length")
    assert folded == 0
    return sheet.places() == sheet.expected_places(json.loads(ask(request(record, sheet.widget))))


def banner(sheet: Sheet, words: str) -> None:
    sheet.section.locator(".qt-banner").filter(has_text=words).wait_for(timeout=PATIENCE)


def open_bow(sheet: Sheet) -> Locator:
    """The name of the bow that the page is about."""
    return sheet.section.locator(".qt-on-bench strong")


def press(sheet: Sheet, words: str) -> None:
    sheet.section.get_by_role("button", name=words, exact=True).click()


def fragment_of(record: Record) -> str:
    """The link's fragment, from the package under this Python."""
    return str(json.loads(ask(json.dumps({"ask": "link", "record": record})))["fragment"])


def packed(plain: str | bytes) -> str:
    """A fragment with any text in it, packed and summed as the package does (RFC 1951 and CRC-32)."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    raw = plain.encode() if isinstance(plain, str) else plain
    body = b"d" + zlib.crc32(raw).to_bytes(4, "big") + packer.compress(raw) + packer.flush()
    return "q1." + base64.urlsafe_b64encode(body).decode().rstrip("=")


def copied_link(sheet: Sheet) -> str:
    """Press the button and take the address from the clipboard."""
    sheet.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    press(sheet, "Copy a link to this bow")
    sheet.section.locator(".qt-status").filter(has_text="The link is copied").wait_for(timeout=PATIENCE)
    return str(sheet.page.evaluate("navigator.clipboard.readText()"))


# Kept --------------------------------------------------------------------------------------------------------------


def keep_clear_and_undo(sheet: Sheet) -> None:
    page = sheet.page
    sheet.enter(NAMED)
    sheet.settled()
    assert same_answer(sheet, NAMED)
    page.reload()
    sheet.settled()
    assert sheet.box("upper_touch_turns").input_value() == "5,5"
    assert sheet.choice("flush_way", "outside").is_checked()
    assert same_answer(sheet, NAMED)
    press(sheet, "Clear all entries")
    sheet.settled()
    assert sheet.state() == State.EXAMPLE
    assert sheet.box("upper_touch_turns").input_value() == ""
    expect(open_bow(sheet)).to_be_hidden()
    press(sheet, "Undo")
    sheet.settled()
    expect(open_bow(sheet)).to_have_text("Club bow 3")
    assert same_answer(sheet, NAMED)
    page.reload()
    sheet.settled()
    assert same_answer(sheet, NAMED)


def links(sender: Sheet, browser: Browser, watch: Watch, server: Server) -> None:
    """`sender` is a worksheet with the entries of NAMED."""
    with watched_context(browser, watch) as theirs:
        link = copied_link(sender)
        assert link == f"{server.address}#{fragment_of(NAMED)}"
        assert len(link) <= 400
        # A clean profile: the first page opens, and the values and the answer are the same on every page of the tab.
        other = theirs.new_page()
        other.goto(link)
        start = Sheet(other, "start")
        banner(start, "None of it is kept yet.")
        start.settled()
        assert start.box("bow_name").input_value() == "Club bow 3"
        assert same_answer(start, TAKEN)
        sheet = open_sheet(other, server, PAGE)
        assert sheet.box("upper_touch_turns").input_value() == "5,5"
        assert same_answer(sheet, TAKEN)
        assert "upper_touch_turns" not in kept_record(other)
        press(sheet, "Keep as a bow of mine")
        sheet.settled()
        assert same_answer(sheet, TAKEN)
        # One's own values are looked past, not lost; a link may lead to any page.
        own = changed(TAKEN, bow_name="Mine", upper_now_turns={"typed": "3", "unit": "turn"})
        link = link.replace("#", f"{PAGE}#")
        sheet.fill("upper_now_turns", "3")
        sheet.settled()
        other.goto(server.address)
        start.settled().fill("bow_name", "Mine")
        other.goto(link)
        banner(sheet, "These are values from a link: “Club bow 3”; yours are kept.")
        sheet.settled()
        expect(open_bow(sheet)).to_have_text("Club bow 3")
        assert same_answer(sheet, TAKEN)
        press(sheet, "Back to mine")
        sheet.settled()
        expect(open_bow(sheet)).to_have_text("Mine")
        assert same_answer(sheet, own)
        assert "#" not in other.url
        # Keeping the link's asks first, and can be undone.
        other.goto(link)
        banner(sheet, "yours are kept")
        press(sheet, "Use it in place of mine")
        banner(sheet, "Replace your own values")
        press(sheet, "Replace mine")
        sheet.settled()
        assert same_answer(sheet, TAKEN)
        press(sheet, "Undo")
        sheet.settled()
        assert same_answer(sheet, own)
        other.reload()
        sheet.settled()
        expect(open_bow(sheet)).to_have_text("Mine")


def test_the_record_is_kept_cleared_and_had_back(sheet: Sheet) -> None:
    keep_clear_and_undo(sheet)


def test_a_link_carries_the_values_and_overwrites_none(
    sheet: Sheet, browser: Browser, watch: Watch, server: Server
) -> None:
    sheet.enter(NAMED)
    sheet.settled()
    links(sheet, browser, watch, server)


def test_in_a_sub_folder_the_record_is_kept_and_a_link_carries_it(
    page: Page, browser: Browser, watch: Watch, folder_server: Server
) -> None:
    sheet = open_sheet(page, folder_server)
    keep_clear_and_undo(sheet)
    assert {path for path in folder_server.site.requests if not path.startswith(SUB_FOLDER)} == set()
    keys = page.evaluate("Object.keys(localStorage)")
    assert all(SUB_FOLDER in key for key in keys if "quarter" in key)
    assert any(SUB_FOLDER in key for key in keys)
    links(sheet, browser, watch, folder_server)


def test_where_storage_is_forbidden_the_page_says_so_and_works(page: Page, server: Server) -> None:
    page.add_init_script(FORBIDDEN)
    sheet = open_sheet(page, server)
    notice = sheet.section.locator(".qt-notices")
    notice.filter(has_text="does not let the page keep your values").wait_for()
    # What another page asks for cannot have been kept either.
    here = {name: entry for name, entry in NAMED.items() if page.locator(f"#field-{name}").count()}
    assert {"upper_touch_turns", "head_diameter", "check_manual"} <= here.keys()
    sheet.enter(here)
    sheet.settled()
    here = as_entered(here)
    assert same_answer(sheet, here)
    assert notice.locator("li").count() == 1
    # The link is the way left to keep the values, over a reload too.
    link = copied_link(sheet)
    page.goto(link)
    page.reload()
    taken = here | inspection.marks_of(from_data(here).record)
    assert taken != here
    assert same_answer(Sheet(page, "start").settled(), taken)
    page.goto(link.replace("#", f"{PAGE}#"))
    sheet.settled()
    assert sheet.box("upper_touch_turns").input_value() == "5,5"
    assert same_answer(sheet, taken)


def test_where_storage_is_full_the_page_says_so_and_works(sheet: Sheet) -> None:
    page = sheet.bring(NAMED).page
    page.evaluate(
        """() => {
          let size = 4_000_000;
          for (let at = 0; size > 0; at += 1) {
            try { localStorage.setItem(`filler ${at}`, "x".repeat(size)); } catch { size = Math.floor(size / 2); }
          }
        }"""
    )
    sheet.enter(NAMED)
    sheet.settled()
    sheet.section.locator(".qt-notices").filter(has_text="This browser's storage is full").wait_for()
    assert same_answer(sheet, NAMED)
    # Room again: the next entry is kept with all the others.
    page.evaluate(
        """() => {
          for (const key of Object.keys(localStorage)) if (key.startsWith("filler")) localStorage.removeItem(key);
        }"""
    )
    sheet.fill("upper_now_turns", "3")
    page.reload()
    sheet.settled()
    assert same_answer(sheet, changed(NAMED, upper_now_turns={"typed": "3", "unit": "turn"}))


def test_two_tabs_show_one_record(sheet: Sheet, server: Server) -> None:
    with closing(sheet.page.context.new_page()) as second:
        one, two = sheet, open_sheet(second, server)
        one.enter(NAMED)
        one.settled()
        expect(two.verdict).to_have_attribute("data-state", State.GO, timeout=PATIENCE)
        two.settled()
        assert same_answer(two, NAMED)
        two.fill("upper_now_turns", "3")
        one.page.bring_to_front()
        both = changed(NAMED, upper_now_turns={"typed": "3", "unit": "turn"})
        upper_now = one.section.locator("#v-safe-range-upper_now")
        expect(upper_now).to_have_attribute("data-value", "3.0", timeout=PATIENCE)
        one.settled()
        assert one.box("upper_now_turns").input_value() == "3"
        assert same_answer(one, both)


@pytest.mark.parametrize(
    ("kept", "sentence"),
    [
        ('{"record": {"version": 1, "bow_name": {"typed": "Old"}, "nonsense": 3}, "times": [', "not whole JSON"),
        (
            '{"record": {"version": 1, "bow_name": true, "margin": {"typed": "0.5", "unit": "turn"}}, "times": {}}',
            "Name of this bow: ignored",
        ),
        ('{"record": {"version": 9, "bow_name": {"typed": "Later"}}, "times": {"bow_name": 5}}', "newer than 1"),
    ],
)
def test_what_was_kept_damaged_or_newer_is_read_in_part_and_said(
    sheet: Sheet, page: Page, server: Server, kept: str, sentence: str
) -> None:
    # Where the page itself keeps a record; then, in a profile of its own, what an earlier visit would have left there.
    sheet.fill("margin", "0.6")
    sheet.settled()
    key = sheet.page.evaluate("Object.keys(localStorage).find((key) => key.endsWith('record'))")
    page.goto(server.address + "404.html")
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [key, kept])
    sheet = open_sheet(page, server)
    notices = sheet.section.locator(".qt-notices")
    notices.filter(has_text=sentence).wait_for(timeout=PATIENCE)
    sheet.settled()
    sheet.enter({"version": 1, "check_manual": "read"})
    sheet.settled()
    stored = page.evaluate("Object.values({ ...localStorage })")
    # Nothing is lost: a damaged text is put aside as it was, a newer one is left where it is.
    assert kept in stored


# Links that are not well meant -------------------------------------------------------------------------------------

SCRIPT = "<img src=x onerror=alert(1)><script>alert(2)</script>'\"</b>"
BOW_NAME = BY_NAME["bow_name"].number
LINK = fragment_of(NAMED)

HOSTILE = {
    "cut short": (LINK[: len(LINK) // 2], "cut off or changed"),
    "cut by one": (LINK[:-1], "cut off or changed"),
    "cut to its mark": ("q1.", "cut off or changed"),
    "not of the alphabet": ("q1.d%00%22<script>", "cut off or changed"),
    "oversized": ("q1.p" + "A" * 5_000, "longer than 4,000 characters"),
    "a bomb": (packed(b"1=" + b"A" * 2_000_000), "cut off or changed"),
    "another version": ("q7." + LINK[3:], "this version can read"),
    "nothing in it": (packed(""), "no values that can be read"),
    "only fields nobody knows": (packed("9999=1;zz=2;-1=3"), "no such field"),
    "numbers beyond sense": (packed("1" * 400 + "=1"), "no such field"),
}


def test_a_hostile_link_is_refused_with_a_sentence_and_changes_nothing(sheet: Sheet, subtests: pytest.Subtests) -> None:
    sheet.enter(NAMED)
    sheet.settled()
    said = sheet.section.locator(".qt-banner")
    for kind, (fragment, sentence) in HOSTILE.items():
        with subtests.test(kind):
            sheet.page.evaluate("(hash) => { location.hash = hash; }", fragment)
            banner(sheet, sentence)
            assert "Nothing of yours was changed" in said.inner_text()
            sheet.settled()
            assert same_answer(sheet, NAMED)
        sheet.page.evaluate("history.replaceState(null, '', location.pathname)")
        said.evaluate("(one) => one.replaceChildren()")  # what the next one says is said anew


def test_script_in_a_link_is_text(page: Page, server: Server) -> None:
    dialogs: list[str] = []

    def on_dialog(dialog: Dialog) -> None:
        dialogs.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", on_dialog)
    record = changed(NAMED, bow_name=SCRIPT)
    page.goto(f"{server.address}{PAGE}#{fragment_of(record)}")
    sheet = Sheet(page)
    banner(sheet, "values from a link")
    sheet.settled()
    expect(open_bow(sheet)).to_have_text(SCRIPT)
    assert same_answer(sheet, record | TAKEN | {"bow_name": SCRIPT})
    assert page.locator(".qt-page img, .qt-page script").count() == 0
    assert dialogs == []


def test_of_a_link_in_part_known_the_known_part_is_used(page: Page, server: Server) -> None:
    plain = f"{BOW_NAME}=Half;7777=x;2=99;34=6"
    page.goto(f"{server.address}{PAGE}#{packed(plain)}")
    sheet = Sheet(page)
    banner(sheet, "values from a link")
    notes = sheet.section.locator(".qt-banner").inner_text()
    assert "this version has no such field" in notes
    assert "Which kind of limb bolt?: ignored" in notes
    sheet.settled()
    expect(open_bow(sheet)).to_have_text("Half")
    assert sheet.box("upper_touch_turns").input_value() == "6"


def test_a_link_with_a_whole_window_and_a_long_name_is_short(sheet: Sheet) -> None:
    """60 characters of address, every reading and setting of a window, a name of 60 letters."""
    record = changed(
        NAMED,
        bow_name="The tall club bow with the long limbs, green riser, nr. 12/b"[:60],
        flush_way="both",
        upper_bracket=0.5,
        lower_bracket=0.375,
        strip_thickness=0.11,
        smallest_turn=0.125,
        play=0.04,
        margin=0.25,
        maker_in=0,
        maker_out=6,
    )
    sheet.enter(record)
    sheet.settled()
    assert sheet.state() in (State.GO, State.STOP)
    link = copied_link(sheet)
    fragment = link.split("#")[1]
    assert fragment == fragment_of(record)
    assert 60 + len("#") + len(fragment) <= 400


# Old addresses ----------------------------------------------------------------------------------------------------

MOVED_WITH_A_BOW = {
    "card/#{bow}": ("keep/", "card"),
    "plan/?x=1#{bow}": ("set/?x=1", "plan"),
    "paper/#{bow}": ("pocket/", "paper"),
    "draw-weight/#{bow}": ("bow/", "weigh"),
    "tiller/#{bow}": ("bow/", "turn"),
    "carry-out/#{bow}": ("set/", "carry"),
    "log/#{bow}": ("keep/", "log"),
    "bows/#{bow}": ("keep/", "bows"),
}
"""Addresses that were given away, in the code of a printed card for one; where they lead, and to which place there."""
MOVED_TO_A_PLACE = {
    "paper/": "pocket/#paper",
    "plan/?x=1#ranked": "set/?x=1#plan",
    "tiller/#string": "after/#string",
    "bows/?x=1#file": "checked/?x=1#file",
    "log/#nowhere": "keep/#nowhere",
}


@pytest.mark.parametrize("old", MOVED_WITH_A_BOW)
def test_an_old_address_with_a_bow_leads_on_and_opens_it(page: Page, server: Server, old: str) -> None:
    path, place = MOVED_WITH_A_BOW[old]
    page.goto(f"{server.address}{old.format(bow=LINK)}")
    page.locator(".qt-banner").filter(has_text="None of it is kept yet.").wait_for(timeout=PATIENCE)
    # The place was gone to once; the address keeps the link.
    assert page.url == f"{server.address}{path}#{LINK}"
    assert page.locator(f"#{place}").count() == 1
    expect(open_bow(Sheet(page))).to_have_text("Club bow 3")
    press(Sheet(page), "Keep as a bow of mine")
    assert page.url == f"{server.address}{path}"
    assert kept_record(page)["upper_touch_turns"] == {"typed": "5,5", "unit": "turn"}
    # With a bow of one's own there, it is looked at, and the address keeps it.
    page.evaluate("localStorage.clear()")
    keep(page, server, record=on_the_bench({"bow_name": "Mine"}))
    page.goto(f"{server.address}{old.format(bow=LINK)}")
    page.locator(".qt-banner").filter(has_text="yours are kept").wait_for(timeout=PATIENCE)
    assert page.url == f"{server.address}{path}#{LINK}"
    assert kept_record(page)["bow_name"] == "Mine"


def test_every_place_that_an_old_address_leads_to_is_there(page: Page, server: Server) -> None:
    for name, moved in MOVED.items():
        for place in (moved.place, *moved.places.values()):
            path, _, fragment = place.rpartition("#")
            html = page.request.get(f"{server.address}{path or moved.page}/").text()
            assert f'id="{fragment}"' in html, (name, place)


def test_an_old_address_without_a_bow_leads_on_to_the_place(page: Page, server: Server) -> None:
    for old, now in MOVED_TO_A_PLACE.items():
        page.goto(f"{server.address}{old}")
        page.wait_for_url(f"{server.address}{now}")
        page.locator("h1").wait_for()
        if "nowhere" not in now:
            assert page.locator(f"[id='{now.partition('#')[2]}']").count() == 1


def test_a_note_sent_along_is_text_and_stands_on_top(sheet: Sheet, server: Server) -> None:
    """Beside a bow of one's own, on the first page that the link opens: who, what they write, whom to ask."""
    record = changed(NAMED, link_note=SCRIPT, whom_to_ask="The bow officer, Tuesdays at the range")
    sheet.enter({"bow_name": "Mine"})
    sheet.settled()
    page = sheet.page
    page.goto(f"{server.address}#{fragment_of(record)}")
    Sheet(page).settled()
    said = page.locator(".qt-banner li")
    expect(said).to_have_count(2)
    expect(said.first).to_have_text(f"Their note: “{SCRIPT}”")
    expect(said.last).to_have_text("If in doubt, ask: The bow officer, Tuesdays at the range")
    assert page.locator(".qt-page img, .qt-page script").count() == 0
    box = page.locator(".qt-banner").bounding_box()
    assert box is not None
    assert box["y"] < 300
