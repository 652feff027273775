"""The list of one's bows as a reader uses it: open and saved bows, files, links, hostile ones, no storage.

axe-core comes with the package axe-playwright-python; the schema is checked by `jsonschema` (C).
"""

from __future__ import annotations

import json
import random
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE
from helpers.axe import axe, findings
from helpers.budgets import fit
from helpers.records import some
from helpers.site import watched_context
from helpers.worksheet import PATIENCE, THEN, Sheet, keep, open_sheet
from quarterturn.bench import inspection
from quarterturn.record import link
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

Bow = dict[str, Any]
Record = dict[str, Any]

SCRIPT = "<img src=x onerror=alert(1)><script>alert(2)</script>"
FORBIDDEN = """Object.defineProperty(window, "localStorage", {
  get() { throw new DOMException("The operation is insecure.", "SecurityError"); },
});"""
FULL = """() => {
  Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
}"""


def written(record: Record) -> Record:
    """A record as the package writes it."""
    return from_data(record).record.canonical()


def bow(key: str, name: str, record: Record | None = None, since: int = THEN) -> Bow:
    whole = written({**(record or {}), "bow_name": name})
    return {"id": key, "record": whole, "times": {field: since for field in whole if field != "version"}}


CLUB = bow("c" * 16, "Club bow 3", COMPLETE)
OLD = bow("d" * 16, "The old one", {"marked_weight": 34, "margin": 0.75})


def opened(
    page: Page, server: Server, shelf: list[Bow], bench: Record | None = None, bench_id: str | None = None
) -> Page:
    kept: Record = {"bows": {"version": 1, "bows": shelf}}
    if bench is not None:
        times = {name: THEN + 1 for name in bench if name != "version"}
        kept["record"] = {"record": bench, "times": times} | ({"bow": {"id": bench_id, "time": 5}} if bench_id else {})
    keep(page, server, **kept)
    page.goto(server.address + "keep/")
    page.locator(".qt-bows-live").wait_for()
    return page


def stored(page: Page, key: str) -> Any:
    text = page.evaluate(
        "(end) => Object.entries(localStorage).find(([key]) => key.endsWith(` ${end}`))?.[1] ?? null", key
    )
    return None if text is None else json.loads(text)


def shelf_of(page: Page) -> dict[str, Bow]:
    """What is stored of the shelf, by the bows' names."""
    return {name_of(one["record"]): one for one in stored(page, "bows")["bows"]}


def name_of(record: Record) -> str:
    typed = record.get("bow_name", "")
    return str(typed["typed"] if isinstance(typed, dict) else typed)


def on_bench(page: Page) -> str:
    return page.locator(".qt-bench").inner_text().splitlines()[0]


def on_shelf(page: Page) -> list[str]:
    return page.locator(".qt-shelf h3").all_inner_texts()


def press(page: Page, words: str, name: str | None = None) -> None:
    """Press a button of the page, or one of a bow's own, unfolding them."""
    label = words if name is None else f"{words}: “{name}”"
    button = (
        page.locator(".qt-bows button").filter(visible=True).and_(page.get_by_role("button", name=label, exact=True))
    )
    if name is not None and button.count() == 0:
        page.locator(f"summary[aria-label='More: “{name}”']").click()
    button.click()


def says(page: Page, words: str) -> None:
    expect(page.locator(".qt-status")).to_contain_text(words)


def banner(page: Page, words: str) -> str:
    """Wait for what is said of a file; all of it."""
    place = page.locator(".qt-banner").filter(has_text=words)
    place.wait_for(timeout=PATIENCE)
    return place.inner_text()


def choose_file(page: Page, content: bytes | str, name: str = "bows.json") -> None:
    data = content.encode() if isinstance(content, str) else content
    page.locator("#open-file").set_input_files({"name": name, "mimeType": "application/json", "buffer": data})


def saved(page: Page, words: str, name: str | None = None) -> tuple[str, str]:
    """Press a button that saves a file; the file's name and text."""
    with page.expect_download() as download:
        press(page, words, name)
    return download.value.suggested_filename, Path(download.value.path()).read_text(encoding="utf-8")


def copied(page: Page, name: str) -> str:
    """Copy a bow's link; what then stands in the clipboard."""
    page.evaluate("navigator.clipboard.writeText('')")
    press(page, "Copy a link", name)
    end = time.monotonic() + PATIENCE / 1000
    while not (text := str(page.evaluate("navigator.clipboard.readText()"))):
        assert time.monotonic() < end, "nothing was copied"
        page.wait_for_timeout(50)
    says(page, "The link is copied.")
    return text


def file_of(*bows: Any, **more: Any) -> str:
    return json.dumps({"format": "quarter-turn bows", "version": 1, "bows": bows} | more)


# Bench and shelf --------------------------------------------------------------------------------------------------


def test_bows_are_taken_copied_renamed_deleted_and_had_back(page: Page, server: Server) -> None:
    """Without the calculator: the list asks nothing of it, and the page's own answers never come here."""
    page.context.route("**/runtime/*/worker.js", lambda _route: None)
    habits = {"people": "two"}
    opened(page, server, [OLD, bow("e" * 16, "Bow 10"), bow("f" * 16, "Bow 9")], {**CLUB["record"], **habits})
    assert on_bench(page) == "Club bow 3"
    assert on_shelf(page) == ["Bow 9", "Bow 10", "The old one"]
    facts = page.locator(".qt-shelf .qt-bow-facts").last.inner_text()
    assert facts == "3 entries · last entry on 28 May 2026 · Weight marked on the limbs: 34 lb"
    # Taken: the one of the bench is on the shelf, whole, and the reader's own habits stay.
    press(page, "Open", "The old one")
    says(page, "“The old one” is open: every page is about it now. “Club bow 3” is saved.")
    expect(page.locator(".qt-bench h3")).to_be_focused()
    assert on_shelf(page) == ["Bow 9", "Bow 10", "Club bow 3"]
    assert shelf_of(page)["Club bow 3"]["record"] == CLUB["record"]
    assert stored(page, "record")["record"] == OLD["record"] | habits
    # Changed on another page, and back: both keep what is theirs.
    page.goto(server.address + "safe-range/")
    expect(page.locator(".qt-on-bench")).to_contain_text("The old one")
    Sheet(page).fill("margin", "0.6")
    page.goto(server.address + "keep/")
    press(page, "Open", "Club bow 3")
    old = shelf_of(page)["The old one"]
    assert old["record"]["margin"]["typed"] == "0.6"
    assert old["times"]["margin"] > THEN
    # Being looked at is no change.
    assert {since for name, since in old["times"].items() if name != "margin"} == {THEN}
    # A copy, another name, and a bow that is empty.
    press(page, "Save a copy", "Club bow 3")
    says(page, "A copy is saved: “Club bow 3 2”.")
    copy = shelf_of(page)["Club bow 3 2"]
    assert copy["id"] != stored(page, "record")["bow"]["id"]
    assert copy["record"] | {"bow_name": "Club bow 3"} == CLUB["record"]
    press(page, "Rename", "Club bow 3 2")
    page.keyboard.type("Spare")
    page.keyboard.press("Enter")
    says(page, "The bow is called “Spare” now.")
    assert on_shelf(page) == ["Bow 9", "Bow 10", "Spare", "The old one"]
    press(page, "Rename", "Club bow 3")
    page.keyboard.type("never mind")
    page.keyboard.press("Escape")
    assert on_bench(page) == "Club bow 3"
    press(page, "New empty bow")
    assert on_bench(page) == "Nothing is entered yet: this is an empty bow."
    assert "Club bow 3" in on_shelf(page)
    assert stored(page, "record")["record"] == {"version": 1} | habits
    # Deleted and had back, the last one first.
    press(page, "Delete", "Bow 9")
    says(page, "“Bow 9” is deleted. Undo brings it back")
    press(page, "Delete", "Spare")
    expect(page.get_by_role("button", name="Undo the deletion of “Spare”")).to_be_focused()
    assert on_shelf(page) == ["Bow 10", "Club bow 3", "The old one"]
    press(page, "Undo the deletion of “Spare”")
    press(page, "Undo the deletion of “Bow 9”")
    assert on_shelf(page) == ["Bow 9", "Bow 10", "Club bow 3", "Spare", "The old one"]
    page.reload()
    assert on_shelf(page) == ["Bow 9", "Bow 10", "Club bow 3", "Spare", "The old one"]
    assert page.locator(".qt-page").get_attribute("data-calc") == "starting"


def test_the_bow_of_the_bench_is_deleted_and_had_back(page: Page, server: Server) -> None:
    opened(page, server, [OLD], CLUB["record"])
    press(page, "Delete", "Club bow 3")
    assert on_bench(page).startswith("Nothing is entered")
    assert stored(page, "record")["record"] == {"version": 1}
    press(page, "Undo the deletion of “Club bow 3”")
    assert on_bench(page) == "Club bow 3"
    assert stored(page, "record")["record"] == CLUB["record"]
    # Where another bow lies there by then, it stays.
    press(page, "Delete", "Club bow 3")
    press(page, "Open", "The old one")
    press(page, "Undo the deletion of “Club bow 3”")
    assert on_bench(page) == "The old one"
    assert on_shelf(page) == ["Club bow 3"]
    assert shelf_of(page)["Club bow 3"]["record"] == CLUB["record"]


def test_two_tabs_show_the_same_bows(page: Page, server: Server) -> None:
    opened(page, server, [CLUB, OLD])
    with closing(page.context.new_page()) as second:
        second.goto(server.address + "keep/")
        press(second, "Open", "Club bow 3")
        expect(page.locator(".qt-bench h3")).to_have_text("Club bow 3")
        expect(page.locator(".qt-shelf h3")).to_have_text(["The old one"])
        press(page, "Save a copy", "Club bow 3")
        expect(second.locator(".qt-shelf h3")).to_have_text(["Club bow 3 2", "The old one"])


@pytest.mark.parametrize("how", ["forbidden", "full"])
def test_without_storage_it_says_so_and_offers_the_file(page: Page, server: Server, how: str) -> None:
    if how == "forbidden":
        page.add_init_script(FORBIDDEN)
        page.goto(server.address + "keep/")
        expect(page.locator(".qt-notices")).to_contain_text("does not let the page keep your values")
        assert on_bench(page).startswith("Nothing is entered")
        return
    opened(page, server, [OLD], CLUB["record"])
    page.evaluate(FULL)
    # What could not be stored is not taken from the bench.
    press(page, "Open", "The old one")
    says(page, "The open bow could not be saved, because this browser's storage is full")
    expect(page.locator(".qt-notices")).to_contain_text("storage is full")
    assert on_bench(page) == "Club bow 3"
    assert stored(page, "record")["record"] == CLUB["record"]
    # A copy is there as long as the page is, and goes into the file.
    press(page, "Save a copy", "Club bow 3")
    assert on_shelf(page) == ["Club bow 3 2", "The old one"]
    _, text = saved(page, "Save all bows to a file")
    assert [name_of(one["record"]) for one in json.loads(text)["bows"]] == ["Club bow 3", "Club bow 3 2", "The old one"]


# Files and links --------------------------------------------------------------------------------------------------


def test_drawn_bows_go_through_storage_file_and_link(browser: Browser, watch: Watch, server: Server) -> None:
    """From one browser into another that never saw them, by the published schema."""
    chance = random.Random(3)
    of_bows = {name for name, field in BY_NAME.items() if field.scope is Scope.BOW}
    bows: list[Bow] = []
    for place, drawn in enumerate(some(24)):
        record = {name: value for name, value in written(drawn).items() if name in of_bows or name == "version"}
        record["bow_name"] = f"Drawn {place} {SCRIPT}"[:60]
        times = {name: THEN + chance.randint(0, 10**6) for name in record if name != "version"}
        bows.append({"id": f"{place:016x}", "record": record, "times": times})
    with watched_context(browser, watch) as one, watched_context(browser, watch) as two:
        page = opened(one.new_page(), server, bows)
        name, text = saved(page, "Save all bows to a file")
        schema = json.loads(page.request.get(server.address + "assets/bows.schema.json").text())
        jsonschema.Draft202012Validator.check_schema(schema)
        jsonschema.Draft202012Validator(schema).validate(json.loads(text))
        assert name.startswith("bows-20")
        other = two.new_page()
        other.goto(server.address + "keep/")
        choose_file(other, text, name)
        banner(other, f"“{name}” holds 24 bows. Nothing of yours is changed yet.")
        assert stored(other, "bows") is None
        press(other, "Save what is new")
        banner(other, "was read. Undo takes it back.")
        # All of it, with its times; an inspection in it was someone else's from now on.
        there = {one["id"]: one for one in stored(other, "bows")["bows"]}
        assert {key: one["record"] for key, one in there.items()} == {one["id"]: foreign(one["record"]) for one in bows}
        assert all("inspection_source" in one["record"] for one in there.values())
        for mine in bows:
            theirs = there[mine["id"]]["times"]
            assert {**theirs, "inspection_source": 0} == {**mine["times"], "inspection_source": 0}
        # The same file again brings nothing new.
        choose_file(other, text, name)
        banner(other, "There is nothing in it that you have not.")
        # Links, of some: to the first page, where whoever has no values can keep them as their own.
        two.grant_permissions(["clipboard-read", "clipboard-write"])
        for drawn_bow in bows[1:3]:
            address = copied(other, name_of(drawn_bow["record"]))
            assert address == f"{server.address}#{link.fragment(from_data(drawn_bow['record']).record)}"
            carried = link.from_fragment(address.split("#")[1]).record.canonical()
            sent = {name: entry for name, entry in drawn_bow["record"].items() if name != "inspection_source"}
            whole = link.left_out(from_data(drawn_bow["record"]).record) == ""
            assert "inspection_source" not in carried, "whose it is, is for the one who opens it to say"
            assert without_log(carried) == without_log(sent)
            assert not whole or carried == sent
        with watched_context(browser, watch) as three:
            third = three.new_page()
            third.goto(address)
            third.locator(".qt-banner").filter(has_text="None of it is kept yet.").wait_for(timeout=PATIENCE)
            third.get_by_role("button", name="Keep as a bow of mine").click()
            assert stored(third, "record")["record"] == foreign(carried)


def foreign(record: Record) -> Record:
    """A record as it is kept once it came from elsewhere."""
    return written(record | inspection.marks_of(from_data(record).record))


def without_log(record: Record) -> Record:
    """What every link carries whole."""
    return {name: entry for name, entry in record.items() if name != "log"}


def test_a_file_is_made_one_with_what_is_here_or_kept_apart_and_undone(page: Page, server: Server) -> None:
    log = [{"date": "2026-05-01"}, {"date": "2026-05-02"}]
    mine = bow(CLUB["id"], "Club bow 3", {**COMPLETE, "log": log})
    opened(page, server, [OLD], mine["record"], CLUB["id"])
    page.goto(server.address + "keep/")
    theirs = json.loads(json.dumps(mine))
    theirs["record"] |= written(
        {"margin": 0.9, "upper_now_turns": 2, "log": [{"date": "2026-05-02"}, {"date": "2026-05-03"}]}
    )
    # From a clock that is wrong by thousands of years; and a habit of theirs, which is not of the bow.
    theirs["record"]["people"] = "two"
    theirs["times"] |= {"margin": 200_000_000_000_000, "upper_now_turns": THEN - 50, "log": THEN - 50}
    stranger = bow("0" * 16, "The old one", {"margin": 1})
    text = file_of(theirs, stranger, {"record": {"bow_name": SCRIPT, "nonsense": 1}})
    dialogs: list[str] = []

    def on_dialog(dialog: Dialog) -> None:
        dialogs.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", on_dialog)
    before = {name: json.loads(json.dumps(one)) for name, one in shelf_of(page).items()}
    choose_file(page, text, f"{SCRIPT}.json".replace("/", ""))
    words = banner(page, "holds 3 bows. Nothing of yours is changed yet.")
    (line,) = [one for one in words.splitlines() if one.startswith("“Club bow 3” is here already. Newer in the file: ")]
    newer, _, not_older = line.partition(" Yours is not older: ")
    assert "Margin kept inside both ends" in newer
    assert "Log of settings and readings" in newer
    assert BY_NAME["upper_now_turns"].label in not_older
    assert "“The old one 2” is not here yet." in words
    assert "nonsense" in words
    assert name_of(stored(page, "record")["record"]) == "Club bow 3"
    assert set(before) <= set(shelf_of(page))
    press(page, "Make them one: the later entry counts")
    banner(page, "Undo takes it back.")
    assert on_bench(page) == "Club bow 3"
    assert on_shelf(page) == [SCRIPT, "The old one", "The old one 2"]
    record = stored(page, "record")["record"]
    assert record["margin"]["typed"] == "0.9"
    assert THEN < shelf_of(page)["Club bow 3"]["times"]["margin"] <= page.evaluate("Date.now()")
    assert "people" not in record
    assert record["upper_now_turns"] == mine["record"]["upper_now_turns"]
    assert [row["date"] for row in record["log"]] == ["2026-05-01", "2026-05-02", "2026-05-03"]
    assert page.locator(".qt-bows img, .qt-bows script:not([type='application/json'])").count() == 0
    page.locator(".qt-bows [data-act=undo]").click()
    assert on_shelf(page) == ["The old one"]
    assert stored(page, "record")["record"] == mine["record"]
    # Both kept.
    choose_file(page, text)
    banner(page, "holds 3 bows")
    press(page, "Keep both")
    banner(page, "Undo takes it back.")
    assert stored(page, "record")["record"] == mine["record"]
    beside = shelf_of(page)["Club bow 3 2"]
    assert beside["id"] != CLUB["id"]
    del theirs["record"]["people"]
    assert beside["record"] == foreign(theirs["record"]) | {"bow_name": {"typed": "Club bow 3 2"}}
    assert dialogs == []


DEEP = "[" * 100_000
HOSTILE: dict[str, tuple[bytes | str, str]] = {
    "10 MB": (b" " * 10_000_000, "was not read: it has 10.0 MB"),
    "nested": (DEEP, "nested too deeply"),
    "nested in its place": (file_of({"record": {"bow_name": "x"}})[:-2] + ', {"record": ' + DEEP, "nested too deeply"),
    "truncated": (file_of(CLUB)[:-20], "cut off"),
    "empty": (b"", "cut off"),
    "not text": (bytes(range(256)), "not text in UTF-8"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(100), "not text in UTF-8"),
    "a page": ("<!doctype html><script>alert(1)</script>", "not whole JSON"),
    "a list": ("[]", "not an object"),
    "another kind": ('{"format": "else", "bows": []}', "another kind of file"),
    "no list": ('{"format": "quarter-turn bows", "version": 1, "bows": "all"}', "not a list"),
    "nothing in it": ("{}", "there is no bow in it"),
    "a far version of nothing": ('{"format": "quarter-turn bows", "version": 99, "bows": []}', "holds 0 bows"),
    "wrong types": (
        file_of(3, None, {"record": 5}, {"record": {"margin": True}}, {"record": {"margin": {"typed": []}}}),
        "Bow 1: ignored",
    ),
    "names of the language": (
        '{"format": "quarter-turn bows", "version": 1, "bows": [{"id": "__proto__", "record": {"__proto__": 1}}]}',
        "was ignored",
    ),
}


def test_hostile_files_are_refused_with_a_sentence_and_change_nothing(page: Page, server: Server) -> None:
    opened(page, server, [OLD], CLUB["record"], CLUB["id"])
    before = (stored(page, "record"), shelf_of(page)["The old one"])
    for kind, (content, words) in HOSTILE.items():
        choose_file(page, content)
        told = banner(page, words)
        assert "Nothing of yours was changed." in told or "nothing in it that you have not" in told, kind
        assert (stored(page, "record"), shelf_of(page)["The old one"]) == before, kind
        assert on_bench(page) == "Club bow 3", kind
        assert on_shelf(page) == ["The old one"], kind
        press(page, "Close")
    # What can be used of one that is partly wrong, of a later version too, is used.
    choose_file(page, file_of({"id": "x", "record": {"bow_name": "Part", "margin": True}}, 3, version=9))
    told = banner(page, "holds 1 bow")
    assert "newer than 1" in told
    assert "Margin kept inside both ends: ignored" in told
    press(page, "Leave the file")
    assert on_shelf(page) == ["The old one"]
    # Of two kinds of bolt no one bow is made: both stay as they are.
    choose_file(page, file_of(bow(CLUB["id"], "Club bow 3", COMPLETE | {"bolt_family": "swivel"}, THEN + 9)))
    assert "their bolts are of two kinds" in banner(page, "Nothing of yours is changed yet.")
    press(page, "Keep both")
    banner(page, "is saved beside yours")
    assert stored(page, "record") == before[0]
    assert on_shelf(page) == ["Club bow 3 2", "The old one"]


def test_more_bows_than_there_can_be_are_refused_and_none_is_lost(page: Page, server: Server) -> None:
    opened(page, server, [bow(f"{place:016d}", f"Bow {place}") for place in range(599)])
    choose_file(page, file_of(bow("a" * 16, "A"), bow("b" * 16, "B")))
    banner(page, "holds 2 bows")
    press(page, "Save what is new")
    assert "There can be 600 bows, and no more." in banner(page, "Nothing of yours was changed.")
    assert len(stored(page, "bows")["bows"]) == 599
    # All of them fit into one file, and into the schema.
    _, text = saved(page, "Save all bows to a file")
    assert len(json.loads(ask(json.dumps({"ask": "file", "text": text})))["bows"]) == 599


# For everyone -----------------------------------------------------------------------------------------------------


def test_by_keyboard_with_axe_and_on_every_width(page: Page, server: Server) -> None:
    opened(page, server, [OLD, bow("e" * 16, "N" * 60), bow("f" * 16, SCRIPT)], CLUB["record"], CLUB["id"])
    page.locator("summary[aria-label='More: “The old one”']").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Rename: “The old one”")).to_be_focused()
    page.keyboard.press("Space")
    page.keyboard.type("Renamed by keys")
    page.keyboard.press("Enter")
    expect(page.locator(".qt-shelf h3").filter(has_text="Renamed by keys")).to_be_focused()
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    press(page, "Rename", "Club bow 3")
    for width in (320, 390, 1280):
        fit(page, width)
    assert findings(page) == []
    assert axe(page, {"runOnly": ["heading-order"]}, every=True) == []
    page.set_viewport_size({"width": 390, "height": 844})
    controls = ".qt-bows button, .qt-bows summary, .qt-bows input"
    small = page.evaluate(
        "(controls) => [...document.querySelectorAll(controls)].map((one) => [one.outerHTML.slice(0, 90),"
        " one.getBoundingClientRect()]).filter(([, box]) => box.width > 0 && (box.width < 44 || box.height < 44))"
        ".map(([html]) => html)",
        controls,
    )
    assert small == []


def test_without_scripts_it_says_that_nothing_is_lost(browser: Browser, watch: Watch, server: Server) -> None:
    with watched_context(browser, watch, java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(server.address + "keep/")
        assert "What is kept is not lost." in page.locator(".qt-bows .qt-noscript").inner_text()
        assert not page.locator(".qt-bows-live").is_visible()


def test_what_is_entered_on_a_page_is_the_bow_of_the_bench(page: Page, server: Server) -> None:
    """And an answer is about that one: the way from the worksheet to the shelf and back."""
    sheet = open_sheet(page, server)
    sheet.enter({**COMPLETE, "bow_name": "Mine"})
    sheet.settled()
    verdict = sheet.verdict.text_content()
    page.locator(".qt-on-bench a").click()
    page.locator(".qt-bows-live").wait_for()
    assert on_bench(page) == "Mine"
    press(page, "New empty bow")
    page.goto(server.address + "safe-range/")
    sheet = Sheet(page).settled()
    expect(page.locator(".qt-on-bench")).to_be_hidden()
    assert sheet.box("head_diameter").input_value() == ""
    assert sheet.verdict.text_content() != verdict
    page.goto(server.address + "keep/")
    press(page, "Open", "Mine")
    # The card and the log of this same page speak of it too.
    expect(page.locator("#card-verdict")).to_have_attribute("data-state", "go")
    expect(page.locator('[data-spot="card/headline"]')).to_be_visible()
    page.goto(server.address + "safe-range/")
    sheet = Sheet(page).settled()
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    assert sheet.verdict.text_content() == verdict
