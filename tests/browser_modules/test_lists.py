"""A list in a form: rows come and go, units stand in the head, what is typed is kept, and the focus is never lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import fragment, kept, wait_until

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator

    from browser_modules.page_driver import PageDriver


def box(driver: PageDriver, row: int, column: str) -> Locator:
    return driver.find(f"#f-steps-{row}-{column}")


def fill(driver: PageDriver, row: int, far: str, pull: str) -> None:
    box(driver, row, "far").fill(far)
    box(driver, row, "pull").fill(pull)


def step(far: str, pull: str, unit: str = "mm") -> dict[str, Any]:
    cells = {"far": {"typed": far, "unit": unit}, "pull": {"typed": pull, "unit": "N"}}
    return {name: cell for name, cell in cells.items() if cell["typed"]}


def texts(driver: PageDriver) -> list[list[str]]:
    """What stands in the boxes, row by row."""
    found: list[list[str]] = driver.page.evaluate(
        "() => [...document.querySelectorAll('#field-steps tbody tr')]"
        ".map((row) => [...row.querySelectorAll('input')].map((one) => one.value))"
    )
    return found


def numbers(driver: PageDriver) -> list[str]:
    return driver.find("#field-steps tbody th").all_text_contents()


def remove(driver: PageDriver, row: int) -> None:
    driver.find("#field-steps tbody tr").nth(row - 1).locator("button").click()


def says_steps(driver: PageDriver, text: str) -> None:
    expect(driver.find("#steps")).to_have_text(f"steps {text}")


ONE, TWO = step("28", "100"), step("29,5", "1/2")


def test_rows_are_kept_as_typed_with_the_units_of_their_columns(driver: PageDriver) -> None:
    driver.open()
    fill(driver, 1, "28", "100")
    fill(driver, 2, "29,5", "1/2")
    assert driver.last_record() == {"steps": [ONE, TWO]}
    assert driver.stored()["record"]["steps"] == [ONE, TWO]
    assert list(driver.stored()["times"]) == ["steps"]
    driver.page.reload()
    says_steps(driver, "28mm:100 29,5mm:1/2")
    assert texts(driver) == [["28", "100"], ["29,5", "1/2"], ["", ""]]


def test_empty_rows_are_absent_and_do_not_count(driver: PageDriver) -> None:
    driver.open()
    fill(driver, 3, "28", "100")
    assert driver.last_record() == {"steps": [ONE]}
    assert numbers(driver) == ["–", "–", "1"]
    expect(box(driver, 3, "far")).to_have_attribute("aria-label", "how far, step 1")
    expect(box(driver, 1, "far")).to_have_attribute("aria-label", "how far, empty row 1")
    fill(driver, 1, "27", "90")
    assert numbers(driver) == ["1", "–", "2"]
    fill(driver, 1, " ", "")
    fill(driver, 3, "", " ")
    assert driver.last_record() == {}
    assert numbers(driver) == ["1", "2", "3"]


def test_a_row_that_is_not_complete_is_kept_and_said_where_it_stands(driver: PageDriver) -> None:
    driver.open()
    note = driver.find("#field-steps .qt-row-note")
    expect(note).to_be_hidden()
    fill(driver, 1, "28", "100")
    expect(note).to_be_hidden()
    box(driver, 2, "pull").fill("9")
    expect(note).to_have_text("Not used yet, because a box is empty: step 2.")
    assert driver.last_record() == {"steps": [ONE, {"pull": {"typed": "9", "unit": "N"}}]}
    box(driver, 2, "far").fill("3")
    expect(note).to_be_hidden()


def test_a_row_is_added_by_keyboard_and_has_the_focus(driver: PageDriver) -> None:
    driver.open().find("[data-act=add-row]").focus()
    driver.page.keyboard.press("Enter")
    expect(box(driver, 4, "far")).to_be_focused()
    expect(box(driver, 4, "far")).to_have_attribute("aria-label", "how far, step 4")
    expect(driver.find("#field-steps tbody tr").nth(3).locator("button")).to_be_visible()
    expect(driver.find(".qt-status")).to_have_text("A row for step 4 was added.")
    driver.page.keyboard.type("3,5")
    driver.page.keyboard.press("Tab")
    driver.page.keyboard.type("7")
    assert driver.last_record() == {"steps": [step("3,5", "7")]}


def test_there_can_be_so_many_rows_and_no_more(driver: PageDriver) -> None:
    driver.open()
    add = driver.find("[data-act=add-row]")
    add.click()
    expect(add).to_be_enabled()
    add.click()
    expect(add).to_be_disabled()
    expect(box(driver, 5, "far")).to_be_focused()
    expect(driver.find(".qt-status")).to_contain_text("There can be 5, and no more.")
    remove(driver, 2)
    expect(add).to_be_enabled()


def test_a_removed_row_goes_from_the_record_and_the_focus_stays_near(driver: PageDriver) -> None:
    driver.open()
    for row in (1, 2, 3):
        fill(driver, row, str(row), "5")
    remove(driver, 2)
    assert texts(driver) == [["1", "5"], ["3", "5"]]
    assert driver.last_record() == {"steps": [step("1", "5"), step("3", "5")]}
    buttons = driver.find("#field-steps tbody button")
    expect(buttons.nth(1)).to_be_focused()
    expect(buttons.nth(1)).to_have_attribute("aria-label", "remove step 2")
    expect(driver.find(".qt-status")).to_contain_text("Removed: step 2. Undo brings it back.")
    driver.page.keyboard.press("Enter")
    expect(buttons.nth(0)).to_be_focused()
    driver.page.keyboard.press("Enter")
    assert texts(driver) == [["", ""]]
    expect(box(driver, 1, "far")).to_be_focused()
    assert driver.last_record() == {}
    field = driver.find("#field-steps")
    expect(field).to_have_class("qt-field qt-list qt-list--blank")
    fill(driver, 1, "1", "")
    expect(field).to_have_class("qt-field qt-list")


def test_undo_brings_a_removed_row_back(driver: PageDriver) -> None:
    driver.open()
    fill(driver, 1, "28", "100")
    fill(driver, 2, "29,5", "1/2")
    expect(driver.find("[data-act=undo]")).to_be_hidden()
    remove(driver, 1)
    assert driver.stored()["record"]["steps"] == [TWO]
    driver.act("undo")
    assert texts(driver) == [["28", "100"], ["29,5", "1/2"], ["", ""]]
    assert driver.stored()["record"]["steps"] == [ONE, TWO]
    says_steps(driver, "28mm:100 29,5mm:1/2")


def test_an_empty_row_goes_without_anything_to_undo(driver: PageDriver) -> None:
    driver.open()
    remove(driver, 3)
    expect(driver.find(".qt-status")).to_have_text("An empty row was removed.")
    expect(driver.find("[data-act=undo]")).to_be_hidden()
    assert driver.asks() == []


def test_unit_in_the_head_says_what_is_typed_and_rewrites_nothing(driver: PageDriver) -> None:
    driver.open()
    fill(driver, 1, "28", "100")
    driver.find("#u-steps-far").select_option("in")
    assert texts(driver)[0] == ["28", "100"]
    assert driver.last_record() == {"steps": [step("28", "100", "in")]}
    fill(driver, 2, "29", "1")
    assert driver.last_record()["steps"][1] == step("29", "1", "in")
    driver.page.reload()
    assert driver.find("#u-steps-far").input_value() == "in"


def test_boxes_with_a_unit_of_their_own_keep_it_and_show_it(driver: PageDriver) -> None:
    rows = [step("28", "1", "in"), step("711", "2", "mm"), step("9", "3", "furlong")]
    driver.keep(kept(steps=rows))
    driver.open()
    assert driver.find("#u-steps-far").input_value() == "in"
    units = driver.find("#field-steps tbody td:nth-child(2) .qt-unit")
    assert units.all_text_contents() == ["", "mm", "furlong"]
    box(driver, 2, "far").fill("712")
    rows[1]["far"]["typed"] = "712"
    assert driver.last_record()["steps"] == rows
    # The head's unit is that of all boxes without another; what is emptied takes it too.
    driver.find("#u-steps-far").select_option("mm")
    rows[0]["far"]["unit"] = "mm"
    assert driver.last_record()["steps"] == rows
    box(driver, 3, "far").fill("")
    box(driver, 3, "far").fill("9")
    rows[2]["far"]["unit"] = "mm"
    assert driver.last_record()["steps"] == rows
    assert units.all_text_contents() == ["", "", ""]


def test_a_problem_marks_its_box_and_the_summary_leads_to_it(driver: PageDriver) -> None:
    driver.open()
    fill(driver, 1, "28", "100")
    fill(driver, 3, "x", "7")
    expect(driver.find("#e-steps")).to_have_text("Steps, step 2, far: type a number.")
    # Rows are counted as the package does: the second one is empty.
    wrong = driver.find("#field-steps [aria-invalid=true]")
    expect(wrong).to_have_count(1)
    expect(wrong).to_have_attribute("id", "f-steps-3-far")
    driver.find("#f-reach").focus()
    driver.find(".qt-summary a").click()
    expect(box(driver, 3, "far")).to_be_focused()
    assert driver.page.url == driver.address
    fill(driver, 1, "y", "z")
    expect(driver.find("#e-steps")).to_contain_text("step 1, far: type a number. Steps, step 1, pull: type")
    expect(wrong).to_have_count(3)
    for row in (1, 3):
        fill(driver, row, "1", "2")
    expect(wrong).to_have_count(0)
    expect(driver.find("#e-steps")).to_be_hidden()


def test_clear_empties_the_list_and_undo_brings_it_back(driver: PageDriver) -> None:
    driver.open().find("[data-act=add-row]").click()
    for row in (1, 2, 3, 4):
        fill(driver, row, str(row), "5")
    driver.act("clear")
    assert texts(driver) == [["", ""]] * 3
    assert "steps" not in driver.stored()["record"]
    driver.act("undo")
    assert texts(driver) == [[str(row), "5"] for row in (1, 2, 3, 4)]


def test_other_tabs_are_followed_but_not_into_a_list_that_is_being_edited(tab: Callable[[], PageDriver]) -> None:
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
    wait_until(two.page, lambda: texts(two)[:2] == [["27", "90"], ["", "3"]], "the other tab's row")


def test_a_list_left_unchanged_takes_over_the_other_tabs_rows(tab: Callable[[], PageDriver]) -> None:
    one, two = tab().open(), tab().open()
    box(two, 1, "far").focus()
    two.page.evaluate("() => { addEventListener('storage', () => { window.heard = true; }); }")
    fill(one, 1, "28", "100")
    two.page.wait_for_function("() => window.heard")
    assert texts(two)[0] == ["", ""]
    two.find("#f-reach").focus()
    expect(box(two, 1, "pull")).to_have_value("100")


def test_a_list_travels_by_link(driver: PageDriver) -> None:
    driver.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    driver.open()
    fill(driver, 1, "28", "100")
    fill(driver, 2, "29,5", "1/2")
    driver.act("link")
    expect(driver.find(".qt-status")).to_contain_text("The link is copied")
    address = driver.page.evaluate("navigator.clipboard.readText()")
    assert driver.asks("link")[-1]["record"]["steps"] == [ONE, TWO]
    # One's own rows, written in whichever way, are no news.
    driver.page.goto("about:blank")
    driver.page.goto(address)
    wait_until(driver.page, lambda: driver.page.url == driver.server.address, "address without the link's values")
    expect(driver.find(".qt-banner")).to_be_hidden()
    # Others' are looked at first; rows removed there are not one's own, and there is nothing to undo.
    driver.open(fragment({"steps": [{"pull": {"unit": "N", "typed": "7"}, "far": {"typed": "1", "unit": "mm"}}]}))
    expect(driver.find(".qt-banner")).to_contain_text("yours are kept")
    assert texts(driver)[:2] == [["1", "7"], ["", ""]]
    remove(driver, 1)
    expect(driver.find(".qt-status")).to_contain_text("Removed: step 1.")
    expect(driver.find(".qt-status")).not_to_contain_text("Undo")
    assert driver.stored()["record"]["steps"] == [ONE, TWO]
    driver.act("link-back")
    assert texts(driver)[0] == ["28", "100"]
    expect(driver.find("[data-act=undo]")).to_be_hidden()


def test_link_with_the_same_rows_in_another_writing_is_no_news(driver: PageDriver) -> None:
    driver.keep(kept(steps=[ONE]))
    driver.open(fragment({"steps": [{"pull": {"unit": "N", "typed": "100"}, "far": {"unit": "mm", "typed": "28"}}]}))
    says_steps(driver, "28mm:100")
    expect(driver.find(".qt-banner")).to_be_hidden()
    assert driver.page.url == driver.address


@pytest.mark.parametrize(
    "rows",
    [
        [None, 5, "x", [], {}, {"far": None}, {"far": {"typed": []}}, {"other": {"typed": "1"}}, ONE],
        [ONE, {"far": {"typed": " "}}],
        [{"far": {"typed": "28", "unit": "mm"}, "pull": "100"}],
    ],
    ids=["hostile", "an empty row", "plain numbers"],
)
def test_rows_of_any_shape_are_shown_in_part(driver: PageDriver, rows: list[Any]) -> None:
    driver.keep(kept(steps=rows))
    driver.open()
    expect(box(driver, 1, "far")).to_have_value("28")
    assert texts(driver) == [["28", "100"], ["", ""], ["", ""]]


def test_more_rows_than_there_can_be_are_not_shown(driver: PageDriver) -> None:
    driver.keep(kept(steps=[step(str(row), "1") for row in range(1, 2_000)]))
    driver.open()
    expect(box(driver, 5, "far")).to_have_value("5")
    assert len(texts(driver)) == 5


def test_typed_before_the_module_arrives_is_not_lost(driver: PageDriver) -> None:
    driver.page.add_init_script(
        "document.addEventListener('readystatechange', () => {"
        " const box = document.querySelector('#f-steps-2-far'); if (box && document.readyState === 'interactive')"
        " box.value = '7'; })"
    )
    driver.open()
    says_steps(driver, "7mm:")
    assert driver.stored()["record"]["steps"] == [step("7", "")]


def test_rows_are_printed_as_text_with_units_and_put_back(driver: PageDriver) -> None:
    driver.open()
    fill(driver, 1, "28", "100")
    fill(driver, 3, "29,5", "1/2")
    driver.find("#u-steps-far").select_option("in")
    driver.asks()
    says_steps(driver, "28in:100 29,5in:1/2")
    html = driver.find("#field-steps").inner_html()
    driver.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    printed = driver.find("#field-steps .qt-print-value")
    assert printed.all_text_contents() == ["28 in", "100 N", "29,5 in", "1/2 N"]
    for gone in ("input", "button", "select", "tbody tr:nth-child(2)"):
        for one in driver.find(f"#field-steps {gone}").all():
            expect(one).to_be_hidden()
    driver.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert driver.find("#field-steps").inner_html() == html
    driver.act("clear")
    driver.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert printed.all_text_contents() == ["__________ in", "__________ N"] * 3


@pytest.fixture
def newest(driver: PageDriver) -> PageDriver:
    """The fixture's page with its list as one that grows with time, and five rows in it; not yet opened."""
    page = (driver.server.site.folder / "pages" / "page.html").read_text(encoding="utf-8")
    page = page.replace('<form class="qt-form"', '<form class="qt-form qt-form--newest"')
    driver.server.site.replaced["pages/page.html"] = page.encode()
    driver.keep(kept(steps=[step(str(number), "1") for number in range(1, 6)]))
    return driver


def test_of_a_list_that_grows_the_newest_rows_are_shown_and_all_on_paper(newest: PageDriver) -> None:
    newest.open()
    rows, button = newest.find("#field-steps tbody tr"), newest.find("[data-act=all-row]")
    expect(box(newest, 5, "far")).to_have_value("5")
    expect(button).to_have_text("Show 2 older rows")
    for number, row in enumerate(rows.all()):
        expect(row).to_be_visible(visible=number >= 2)
    # Shown or not, they are in the record, and on paper.
    newest.type("name", "any")
    assert len(newest.last_record()["steps"]) == 5
    newest.page.emulate_media(media="print")
    newest.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    expect(button).to_be_hidden()
    assert [row.is_visible() for row in rows.all()] == [True] * 5
    newest.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    newest.page.emulate_media(media="screen")
    expect(button).to_be_visible()
    button.click()
    expect(button).to_be_hidden()
    for row in rows.all():
        expect(row).to_be_visible()
    expect(box(newest, 1, "far")).to_be_focused()


def test_a_sentence_about_an_older_row_leads_to_its_box(newest: PageDriver) -> None:
    newest.keep(kept(steps=[step("x", "1"), *(step(str(number), "1") for number in range(2, 6))]))
    newest.open()
    newest.find(".qt-summary a").click()
    expect(box(newest, 1, "far")).to_be_focused()


def test_a_list_that_grows_begins_with_one_row(newest: PageDriver) -> None:
    newest.open().act("clear")
    assert texts(newest) == [["", ""]]
    expect(newest.find("[data-act=all-row]")).to_be_hidden()


def test_a_list_is_kept_offline(driver: PageDriver) -> None:
    """Typed while the host is gone: what is kept needs no network."""
    driver.open()
    driver.calc("ready")
    driver.page.context.set_offline(True)
    fill(driver, 1, "28", "100")
    says_steps(driver, "28mm:100")
    driver.page.context.set_offline(False)
    driver.page.reload()
    says_steps(driver, "28mm:100")
