"""What a page enters by itself, or by a button of its answer: days, a plan's start, a list that is emptied; and undo.

What must be kept is written down here; when it is right to keep it is tested of the package elsewhere.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, LOOKED_OVER, STRUNG
from helpers.worksheet import TODAY, Sheet, open_own, open_sheet

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

Record = dict[str, Any]
LOOKED_AT: Record = COMPLETE | LOOKED_OVER
PLANNED = ("planned_on", "planned_weight", "planned_tiller", "planned_upper", "planned_lower")
LOG = [
    {"date": "2026-05-01", "upper_at": 2, "lower_at": 1.5, "weight": 38.4, "upper_tiller": 179, "lower_tiller": 175},
]


def stored(page: Page) -> Record:
    """The bow on the bench as this browser keeps it."""
    text = page.evaluate("Object.entries(localStorage).find(([key]) => key.endsWith(' record'))?.[1] ?? '{}'")
    return dict(json.loads(text).get("record", {}))


def typed(record: Record, name: str) -> str:
    """What is kept of a field, as it would stand in its box."""
    entry = record[name]
    return str(entry["typed"] if isinstance(entry, dict) else entry)


def press(sheet: Sheet, words: str) -> None:
    sheet.unfold().section.get_by_role("button", name=words, exact=True).click()
    sheet.settled()


def undo(sheet: Sheet) -> None:
    sheet.section.locator(".qt-foot [data-act=undo]").click()
    sheet.settled()


def test_the_first_answer_of_an_inspection_brings_its_day_and_no_other_does(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "before/").unfold()
    sheet.choose("slot_root", "fine")
    sheet.settled()
    assert typed(stored(page), "inspected_on") == TODAY
    expect(sheet.box("inspected_on")).to_have_value(TODAY)
    sheet.fill("inspected_on", "2026-03-01")
    sheet.choose("limb_cracks", "fine")
    sheet.settled()
    assert typed(stored(page), "inspected_on") == "2026-03-01"
    # The day alone can be taken away; it comes again only with a further answer.
    sheet.fill("inspected_on", "")
    sheet.settled()
    assert "inspected_on" not in stored(page)


def test_the_marks_bring_their_own_day(page: Page, server: Server) -> None:
    swapped = LOOKED_AT | STRUNG | {"upper_tiller": 175, "lower_tiller": 179}
    sheet = open_own(page, server, swapped, "safe-range/")
    expect(sheet.verdict).to_have_attribute("data-state", "ask")
    page.goto(f"{server.address}before/")
    before = Sheet(page, "inspection").settled()
    before.unfold()
    before.choose("marks_checked", "right")
    before.settled()
    assert typed(stored(page), "marks_checked_on") == TODAY
    page.goto(f"{server.address}safe-range/")
    expect(Sheet(page).settled().verdict).to_have_attribute("data-state", "go")


def test_an_inspection_is_begun_anew_by_its_button_and_taken_back(page: Page, server: Server) -> None:
    sheet = open_own(page, server, LOOKED_AT | STRUNG | {"inspected_by": "A. E."}, "before/")
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    kept = stored(page)
    press(sheet, "Empty this list")
    expect(sheet.verdict).to_have_attribute("data-state", "open")
    left = stored(page)
    assert not left.keys() & (LOOKED_OVER.keys() | {"inspected_on", "inspected_by", "check_limbs"})
    assert left.items() <= kept.items()
    assert {"upper_touch_turns", "draw_weight", "bolt_family"} <= left.keys()
    undo(sheet)
    expect(sheet.verdict).to_have_attribute("data-state", "go")
    assert stored(page) == kept


def test_a_plan_keeps_where_it_was_made_until_a_new_one_is_made(page: Page, server: Server) -> None:
    """A wish for weight alone: tiller means what it was when the plan was made, whatever is read later."""
    sheet = open_own(page, server, LOOKED_AT | STRUNG, "set/")
    sheet.enter({"wanted_weight": 37})
    sheet.settled()
    made = {name: typed(stored(page), name) for name in PLANNED}
    assert made["planned_on"] == TODAY
    assert float(made["planned_weight"]) == pytest.approx(38, abs=0.01)
    assert float(made["planned_tiller"]) == pytest.approx(4, abs=0.05)
    # Later readings, of a day before the plan's own or not, move nothing of it.
    kept = stored(page)
    sheet = open_own(page, server, kept | {"log": LOG}, "set/")
    assert {name: typed(stored(page), name) for name in PLANNED} == made
    expect(page.locator("#plan-title")).to_contain_text("For 37 lb and tiller as it was, 4 mm")
    press(sheet, "Make a new plan")
    anew = stored(page)
    assert [float(typed(anew, f"planned_{bolt}")) for bolt in ("upper", "lower")] == [2, 1.5]
    assert float(typed(anew, "planned_weight")) == pytest.approx(38.4, abs=0.01)
    undo(sheet)
    assert {name: typed(stored(page), name) for name in PLANNED} == made
    # And a plan that is given up leaves nothing.
    sheet.fill("wanted_weight", "")
    sheet.settled()
    assert not stored(page).keys() & set(PLANNED)


def test_what_happened_is_told_in_a_row_and_stops_every_page_until_it_is_settled(page: Page, server: Server) -> None:
    """The menus of such a row, by touch of a finger or not, are a browser's own."""
    sheet = open_own(page, server, LOOKED_AT | STRUNG, "keep/").unfold()
    page.locator("#f-events-1-date").fill("2026-11-20")
    page.locator("#f-events-1-happened").select_option("click")
    sheet.settled()
    expect(sheet.verdict).to_have_attribute("data-state", "stop")
    (row,) = stored(page)["events"]
    assert (typed(row, "date"), typed(row, "happened")) == ("2026-11-20", "click")
    for path in ("set/", "safe-range/"):
        expect(open_sheet(page, server, path).verdict).to_have_attribute("data-state", "stop")
    page.goto(f"{server.address}keep/")
    sheet = Sheet(page, "card").settled().unfold()
    expect(page.locator("#f-events-1-happened")).to_have_value("click")
    page.locator("#f-events-1-found").select_option("nothing")
    page.locator("#f-events-1-found_on").fill("2026-11-21")
    sheet.settled()
    assert typed(stored(page)["events"][0], "found") == "nothing"
    expect(sheet.verdict).not_to_have_attribute("data-state", "stop")
