"""A reader who measures in inches says so once: empty boxes, examples, answers and pictures follow, on every page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.profiles import watched_page
from helpers.worksheet import Sheet, kept_record, open_own, open_sheet
from quarterturn.units import INCH

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

SHOWN = """() => Object.fromEntries([...document.querySelectorAll("[data-unit-of]")].map((menu) => [
  menu.dataset.unitOf,
  [menu.value, document.getElementById(`f-${menu.dataset.unitOf}`)?.placeholder ?? ""],
]))"""
TYPED = {"brace_height": "8 3/4", "upper_tiller": "7 1/16", "lower_tiller": "6 7/8"}


def unit(sheet: Sheet, name: str) -> Locator:
    """The menu of a box's unit."""
    return sheet.page.locator(f"#u-{name}")


def test_chosen_once_inches_are_chosen_for_every_empty_length_and_answers_are_in_them(
    browser: Browser, server: Server, watch: Watch
) -> None:
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        sheet = open_sheet(page, server, "bow/")._open_boxes()
        sheet.fill("upper_fulcrum", "315")
        before = page.evaluate(SHOWN)
        unit(sheet, "brace_height").select_option("in")
        after = page.evaluate(SHOWN)
        lengths = {name for name, (shown, _) in before.items() if shown == "mm" and name != "upper_fulcrum"}
        assert len(lengths) > 12
        for name, (shown, example) in after.items():
            if name not in lengths:
                assert before[name] == [shown, example], name
                continue
            assert shown == "in", name
            number = float(example.removeprefix("example "))
            assert number * 1000 * INCH == pytest.approx(float(before[name][1].split()[1]), rel=0.02, abs=0.3), name
        for name, text in TYPED.items():
            sheet.fill(name, text)
        sheet.settled()
        assert {name: kept_record(page)[name]["unit"] for name in TYPED} == dict.fromkeys(TYPED, "in")
        expect(sheet.verdict).to_contain_text("0.10 in, now 0.19")
        assert kept_record(page)["upper_fulcrum"] == {"typed": "315", "unit": "mm"}
        expect(page.locator("#tiller-bow-bar-words")).to_have_text("10 in")

        sheet.fill("lower_tiller", "")
        expect(unit(sheet, "lower_tiller")).to_have_value("in")
        open_sheet(page, server, "pocket/")._open_boxes()
        there = page.evaluate(SHOWN)
        assert {there[name][0] for name in ("strip_thickness", "head_diameter", "upper_rim_to_butt")} == {"in"}
        assert there["strip_thickness"][1] == "example 0.0039"
        open_sheet(page, server, "keep/")
        column = page.locator('thead [data-column="upper_tiller"]')
        expect(column.locator("select")).to_have_value("in")
        expect(column.locator("small")).to_have_text("example 7.05 in")
    watch.check()


def test_a_picture_that_is_tapped_enters_its_own_unit_whatever_the_box_shows(
    browser: Browser, server: Server, watch: Watch
) -> None:
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        sheet = open_own(page, server, {"head_diameter": 19, "bolt_family": "flat"}, "pocket/")._open_boxes()
        unit(sheet, "strip_thickness").select_option("in")
        plot = page.locator("#paper-thickness-plot")
        plot.scroll_into_view_if_needed()
        low, high = (float(plot.get_attribute(f"data-drag-{end}") or "") for end in ("low", "high"))
        middle = (low + high) / 2
        place = plot.evaluate(
            """(group, at) => {
              const x = Number(group.dataset.dragOrigin) + at * Number(group.dataset.dragScale);
              const box = group.getBBox();
              const point = new DOMPoint(x, box.y + box.height / 2).matrixTransform(group.getScreenCTM());
              return [point.x, point.y];
            }""",
            middle,
        )
        page.touchscreen.tap(*place)
        expect(sheet.box("strip_thickness")).not_to_have_value("")
        entered = kept_record(page)["strip_thickness"]
        assert entered["unit"] == "mm"
        assert float(entered["typed"]) == pytest.approx(middle, abs=0.02)
        expect(unit(sheet, "strip_thickness")).to_have_value("mm")
        expect(sheet.error("strip_thickness")).to_be_hidden()
    watch.check()
