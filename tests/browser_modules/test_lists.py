"""A list in a form: rows come and go, units stand in the head, what is typed is kept, and the focus is never lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from browser_modules.bench import fragment, kept, wait_until

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator

    from browser_modules.bench import Bench


def box(bench: Bench, row: int, column: str) -> Locator:
    return bench.find(f"#f-steps-{row}-{column}")


def fill(bench: Bench, row: int, far: str, pull: str) -> None:
    box(bench, row, "far").fill(far)
    box(bench, row, "pull").fill(pull)


def step(far: str, pull: str, unit: str = "mm") -> dict[str, Any]:
    cells = {"far": {"typed": far, "unit": unit}, "pull": {"typed": pull, "unit": "N"}}
    return {name: cell for name, cell in cells.items() if cell["typed"]}


def texts(bench: Bench) -> list[list[str]]:
    """What stands in the boxes, row by row."""
    found: list[list[str]] = bench.page.evaluate(
        "() => [...document.querySelectorAll('#field-steps tbody tr')]"
        ".map((row) => [...row.querySelectorAll('input')].map((one) => one.value))"
    )
    return found


def numbers(bench: Bench) -> list[str]:
    return bench.find("#field-steps tbody th").all_text_contents()


def remove(bench: Bench, row: int) -> None:
    bench.find("#field-steps tbody tr").nth(row - 1).locator("button").click()


def says_steps(bench: Bench, text: str) -> None:
    expect(bench.find("#steps")).to_have_text(f"steps {text}")


ONE, TWO = step("28", "100"), step("29,5", "1/2")


def test_rows_are_kept_as_typed_with_the_units_of_their_columns(bench: Bench) -> None:
    bench.open()
    fill(bench, 1, "28", "100")
    fill(bench, 2, "29,5", "1/2")
    assert bench.last_record() == {"steps": [ONE, TWO]}
    assert bench.stored()["record"]["steps"] == [ONE, TWO]
    assert list(bench.stored()["times"]) == ["steps"]
    bench.page.reload()
    says_steps(bench, "28mm:100 29,5mm:1/2")
    assert texts(bench) == [["28", "100"], ["29,5", "1/2"], ["", ""]]


def test_empty_rows_are_absent_and_do_not_count(bench: Bench) -> None:
    bench.open()
    fill(bench, 3, "28", "100")
    assert bench.last_record() == {"steps": [ONE]}
    assert numbers(bench) == ["–", "–", "1"]
    expect(box(bench, 3, "far")).to_have_attribute("aria-label", "how far, step 1")
    expect(box(bench, 1, "far")).to_have_attribute("aria-label", "how far, empty row 1")
    fill(bench, 1, "27", "90")
    assert numbers(bench) == ["1", "–", "2"]
    fill(bench, 1, " ", "")
    fill(bench, 3, "", " ")
    assert bench.last_record() == {}
    assert numbers(bench) == ["1", "2", "3"]


def test_a_row_that_is_not_complete_is_kept_and_said_where_it_stands(bench: Bench) -> None:
    bench.open()
    note = bench.find("#field-steps .qt-row-note")
    expect(note).to_be_hidden()
    fill(bench, 1, "28", "100")
    expect(note).to_be_hidden()
    box(bench, 2, "pull").fill("9")
    expect(note).to_have_text("Not used yet, because a box is empty: step 2.")
    assert bench.last_record() == {"steps": [ONE, {"pull": {"typed": "9", "unit": "N"}}]}
    box(bench, 2, "far").fill("3")
    expect(note).to_be_hidden()


def test_a_row_is_added_by_keyboard_and_has_the_focus(bench: Bench) -> None:
    bench.open().find("[data-act=add-row]").focus()
    bench.page.keyboard.press("Enter")
    expect(box(bench, 4, "far")).to_be_focused()
    expect(box(bench, 4, "far")).to_have_attribute("aria-label", "how far, step 4")
    expect(bench.find("#field-steps tbody tr").nth(3).locator("button")).to_be_visible()
    expect(bench.find(".qt-status")).to_have_text("A row for step 4 was added.")
    bench.page.keyboard.type("3,5")
    bench.page.keyboard.press("Tab")
    bench.page.keyboard.type("7")
    assert bench.last_record() == {"steps": [step("3,5", "7")]}


def test_there_can_be_so_many_rows_and_no_more(bench: Bench) -> None:
    bench.open()
    add = bench.find("[data-act=add-row]")
    add.click()
    expect(add).to_be_enabled()
    add.click()
    expect(add).to_be_disabled()
    expect(box(bench, 5, "far")).to_be_focused()
    expect(bench.find(".qt-status")).to_contain_text("There can be 5, and no more.")
    remove(bench, 2)
    expect(add).to_be_enabled()


def test_a_removed_row_goes_from_the_record_and_the_focus_stays_near(bench: Bench) -> None:
    bench.open()
    for row in (1, 2, 3):
        fill(bench, row, str(row), "5")
    remove(bench, 2)
    assert texts(bench) == [["1", "5"], ["3", "5"]]
    assert bench.last_record() == {"steps": [step("1", "5"), step("3", "5")]}
    buttons = bench.find("#field-steps tbody button")
    expect(buttons.nth(1)).to_be_focused()
    expect(buttons.nth(1)).to_have_attribute("aria-label", "remove step 2")
    expect(bench.find(".qt-status")).to_contain_text("Removed: step 2. Undo brings it back.")
    bench.page.keyboard.press("Enter")
    expect(buttons.nth(0)).to_be_focused()
    bench.page.keyboard.press("Enter")
    assert texts(bench) == [["", ""]]
    expect(box(bench, 1, "far")).to_be_focused()
    assert bench.last_record() == {}


def test_undo_brings_a_removed_row_back(bench: Bench) -> None:
    bench.open()
    fill(bench, 1, "28", "100")
    fill(bench, 2, "29,5", "1/2")
    expect(bench.find("[data-act=undo]")).to_be_hidden()
    remove(bench, 1)
    assert bench.stored()["record"]["steps"] == [TWO]
    bench.act("undo")
    assert texts(bench) == [["28", "100"], ["29,5", "1/2"], ["", ""]]
    assert bench.stored()["record"]["steps"] == [ONE, TWO]
    says_steps(bench, "28mm:100 29,5mm:1/2")


def test_an_empty_row_goes_without_anything_to_undo(bench: Bench) -> None:
    bench.open()
    remove(bench, 3)
    expect(bench.find(".qt-status")).to_have_text("An empty row was removed.")
    expect(bench.find("[data-act=undo]")).to_be_hidden()
    assert bench.asks() == []


def test_unit_in_the_head_says_what_is_typed_and_rewrites_nothing(bench: Bench) -> None:
    bench.open()
    fill(bench, 1, "28", "100")
    bench.find("#u-steps-far").select_option("in")
    assert texts(bench)[0] == ["28", "100"]
    assert bench.last_record() == {"steps": [step("28", "100", "in")]}
    fill(bench, 2, "29", "1")
    assert bench.last_record()["steps"][1] == step("29", "1", "in")
    bench.page.reload()
    assert bench.find("#u-steps-far").input_value() == "in"


def test_boxes_with_a_unit_of_their_own_keep_it_and_show_it(bench: Bench) -> None:
    rows = [step("28", "1", "in"), step("711", "2", "mm"), step("9", "3", "furlong")]
    bench.keep(kept(steps=rows))
    bench.open()
    assert bench.find("#u-steps-far").input_value() == "in"
    units = bench.find("#field-steps tbody td:nth-child(2) .qt-unit")
    assert units.all_text_contents() == ["", "mm", "furlong"]
    box(bench, 2, "far").fill("712")
    rows[1]["far"]["typed"] = "712"
    assert bench.last_record()["steps"] == rows
    # The head's unit is that of all boxes without another; what is emptied takes it too.
    bench.find("#u-steps-far").select_option("mm")
    rows[0]["far"]["unit"] = "mm"
    assert bench.last_record()["steps"] == rows
    box(bench, 3, "far").fill("")
    box(bench, 3, "far").fill("9")
    rows[2]["far"]["unit"] = "mm"
    assert bench.last_record()["steps"] == rows
    assert units.all_text_contents() == ["", "", ""]


def test_a_problem_marks_its_box_and_the_summary_leads_to_it(bench: Bench) -> None:
    bench.open()
    fill(bench, 1, "28", "100")
    fill(bench, 3, "x", "7")
    expect(bench.find("#e-steps")).to_have_text("Steps, step 2, far: type a number.")
    # Rows are counted as the package does: the second one is empty.
    wrong = bench.find("#field-steps [aria-invalid=true]")
    expect(wrong).to_have_count(1)
    expect(wrong).to_have_attribute("id", "f-steps-3-far")
    bench.find("#f-reach").focus()
    bench.find(".qt-summary a").click()
    expect(box(bench, 3, "far")).to_be_focused()
    assert bench.page.url == bench.address
    fill(bench, 1, "y", "z")
    expect(bench.find("#e-steps")).to_contain_text("step 1, far: type a number. Steps, step 1, pull: type")
    expect(wrong).to_have_count(3)
    for row in (1, 3):
        fill(bench, row, "1", "2")
    expect(wrong).to_have_count(0)
    expect(bench.find("#e-steps")).to_be_hidden()


def test_clear_empties_the_list_and_undo_brings_it_back(bench: Bench) -> None:
    bench.open().find("[data-act=add-row]").click()
    for row in (1, 2, 3, 4):
        fill(bench, row, str(row), "5")
    bench.act("clear")
    assert texts(bench) == [["", ""]] * 3
    assert "steps" not in bench.stored()["record"]
    bench.act("undo")
    assert texts(bench) == [[str(row), "5"] for row in (1, 2, 3, 4)]


def test_other_tabs_are_followed_but_not_into_a_list_that_is_being_edited(tab: Callable[[], Bench]) -> None:
    one, two = tab().open(), tab().open()
    fill(one, 1, "28", "100")
    expect(box(two, 1, "pull")).to_have_value("100")
    says_steps(two, "28mm:100")
    two.page.bring_to_front()
    two.page.evaluate("() => { addEventListener('storage', () => { window.heard = true; }); }")
    box(two, 2, "far").focus()
    fill(one, 1, "27", "90")
    two.page.wait_for_function("() => window.heard")
    # From box to box of the list its rows stay as they are.
    two.page.keyboard.press("Tab")
    expect(box(two, 2, "pull")).to_be_focused()
    assert texts(two)[0] == ["28", "100"]
    # What either tab did to it counts.
    two.page.keyboard.type("3")
    one.find("#f-name").focus()
    expect(box(one, 2, "pull")).to_have_value("3")
    theirs = {"far": {"typed": "27", "unit": "mm"}, "pull": {"typed": "90", "unit": "N"}}
    assert one.stored()["record"]["steps"] == [theirs, {"pull": {"typed": "3", "unit": "N"}}]
    two.find("#f-name").focus()
    assert texts(two)[:2] == [["27", "90"], ["", "3"]]


def test_a_list_left_unchanged_takes_over_the_other_tabs_rows(tab: Callable[[], Bench]) -> None:
    one, two = tab().open(), tab().open()
    box(two, 1, "far").focus()
    two.page.evaluate("() => { addEventListener('storage', () => { window.heard = true; }); }")
    fill(one, 1, "28", "100")
    two.page.wait_for_function("() => window.heard")
    assert texts(two)[0] == ["", ""]
    two.find("#f-reach").focus()
    expect(box(two, 1, "pull")).to_have_value("100")


def test_a_list_travels_by_link(bench: Bench) -> None:
    bench.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    bench.open()
    fill(bench, 1, "28", "100")
    fill(bench, 2, "29,5", "1/2")
    bench.act("link")
    expect(bench.find(".qt-status")).to_contain_text("The link is copied")
    address = bench.page.evaluate("navigator.clipboard.readText()")
    assert bench.asks("link")[-1]["record"]["steps"] == [ONE, TWO]
    # One's own rows, written in whichever way, are no news.
    bench.page.goto("about:blank")
    bench.page.goto(address)
    wait_until(bench.page, lambda: bench.page.url == bench.address, "address without the link's values")
    expect(bench.find(".qt-banner")).to_be_hidden()
    # Others' are looked at first; rows removed there are not one's own, and there is nothing to undo.
    bench.open(fragment({"steps": [{"pull": {"unit": "N", "typed": "7"}, "far": {"typed": "1", "unit": "mm"}}]}))
    expect(bench.find(".qt-banner")).to_contain_text("yours are kept")
    assert texts(bench)[:2] == [["1", "7"], ["", ""]]
    remove(bench, 1)
    expect(bench.find(".qt-status")).to_contain_text("Removed: step 1.")
    expect(bench.find(".qt-status")).not_to_contain_text("Undo")
    assert bench.stored()["record"]["steps"] == [ONE, TWO]
    bench.act("link-back")
    assert texts(bench)[0] == ["28", "100"]
    expect(bench.find("[data-act=undo]")).to_be_hidden()


def test_link_with_the_same_rows_in_another_writing_is_no_news(bench: Bench) -> None:
    bench.keep(kept(steps=[ONE]))
    bench.open(fragment({"steps": [{"pull": {"unit": "N", "typed": "100"}, "far": {"unit": "mm", "typed": "28"}}]}))
    says_steps(bench, "28mm:100")
    expect(bench.find(".qt-banner")).to_be_hidden()
    assert bench.page.url == bench.address


@pytest.mark.parametrize(
    "rows",
    [
        [None, 5, "x", [], {}, {"far": None}, {"far": {"typed": []}}, {"other": {"typed": "1"}}, ONE],
        [ONE, {"far": {"typed": " "}}],
        [{"far": {"typed": "28", "unit": "mm"}, "pull": "100"}],
    ],
    ids=["hostile", "an empty row", "plain numbers"],
)
def test_rows_of_any_shape_are_shown_in_part(bench: Bench, rows: list[Any]) -> None:
    bench.keep(kept(steps=rows))
    bench.open()
    expect(box(bench, 1, "far")).to_have_value("28")
    assert texts(bench) == [["28", "100"], ["", ""], ["", ""]]


def test_more_rows_than_there_can_be_are_not_shown(bench: Bench) -> None:
    bench.keep(kept(steps=[step(str(row), "1") for row in range(1, 2_000)]))
    bench.open()
    expect(box(bench, 5, "far")).to_have_value("5")
    assert len(texts(bench)) == 5


def test_typed_before_the_module_arrives_is_not_lost(bench: Bench) -> None:
    bench.page.add_init_script(
        "document.addEventListener('readystatechange', () => {"
        " const box = document.querySelector('#f-steps-2-far'); if (box && document.readyState === 'interactive')"
        " box.value = '7'; })"
    )
    bench.open()
    says_steps(bench, "7mm:")
    assert bench.stored()["record"]["steps"] == [step("7", "")]


def test_rows_are_printed_as_text_with_units_and_put_back(bench: Bench) -> None:
    bench.open()
    fill(bench, 1, "28", "100")
    fill(bench, 3, "29,5", "1/2")
    bench.find("#u-steps-far").select_option("in")
    bench.asks()
    says_steps(bench, "28in:100 29,5in:1/2")
    html = bench.find("#field-steps").inner_html()
    bench.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    printed = bench.find("#field-steps .qt-print-value")
    assert printed.all_text_contents() == ["28 in", "100 N", "29,5 in", "1/2 N"]
    for gone in ("input", "button", "select", "tbody tr:nth-child(2)"):
        for one in bench.find(f"#field-steps {gone}").all():
            expect(one).to_be_hidden()
    bench.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert bench.find("#field-steps").inner_html() == html
    bench.act("clear")
    bench.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert printed.all_text_contents() == ["__________ in", "__________ N"] * 3


def test_a_list_is_kept_offline(bench: Bench) -> None:
    """Typed while the host is gone: what is kept needs no network."""
    bench.open()
    bench.calc("ready")
    bench.page.context.set_offline(True)
    fill(bench, 1, "28", "100")
    says_steps(bench, "28mm:100")
    bench.page.context.set_offline(False)
    bench.page.reload()
    says_steps(bench, "28mm:100")
