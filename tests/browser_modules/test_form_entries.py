"""A form and its record: what was typed is kept as it is, two controls share one value, absent is absent."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


def test_box_moves_slider_and_slider_fills_box(driver: PageDriver) -> None:
    driver.open().type("reach", "62.5")
    slider = driver.find("#s-reach")
    assert slider.input_value() == "62.5"
    slider.fill("30.5")
    assert driver.value("reach") == "30.5"
    driver.says("reach 30.5 mm")


def test_slider_by_keyboard_enters_the_value_with_its_decimals(driver: PageDriver) -> None:
    driver.open().find("#s-count").focus()
    driver.page.keyboard.press("ArrowRight")
    assert driver.value("count") == "5.25"
    assert driver.last_record() == {"count": {"typed": "5.25", "unit": "turn"}}


def test_enter_on_a_slider_takes_the_value_it_stands_at(driver: PageDriver) -> None:
    driver.open().find("#s-count").focus()
    driver.page.keyboard.press("Enter")
    assert driver.last_record() == {"count": {"typed": "5.00", "unit": "turn"}}


def test_comma_is_kept_and_understood_by_the_slider(driver: PageDriver) -> None:
    driver.open().type("count", " 7,25 ")
    assert driver.value("count") == " 7,25 "
    assert driver.find("#s-count").input_value() == "7.25"
    assert driver.last_record()["count"] == {"typed": " 7,25 ", "unit": "turn"}
    driver.find("#s-count").fill("8.5")
    assert driver.value("count") == "8,50"


def test_what_is_no_number_is_kept_and_leaves_the_slider(driver: PageDriver) -> None:
    driver.open().type("count", "7")
    driver.type("count", "7 or 8")
    assert driver.value("count") == "7 or 8"
    assert driver.find("#s-count").input_value() == "7"
    assert driver.last_record()["count"]["typed"] == "7 or 8"


def test_empty_is_absent_and_the_slider_goes_to_its_default(driver: PageDriver) -> None:
    driver.open().type("count", "9")
    driver.type("count", "  ")
    assert driver.last_record() == {}
    slider = driver.find("#s-count")
    assert slider.input_value() == "5"
    expect(slider).to_have_attribute("aria-valuetext", "nothing entered, the slider stands at 5.00 turns")


def test_what_is_counted_beside_a_box_is_typed_over_another_fields_number(driver: PageDriver) -> None:
    driver.open()
    beside = driver.find("#c-count")
    expect(beside).to_be_hidden()
    driver.choose("both")
    expect(beside).to_be_visible()
    beside.fill("20")
    assert driver.value("count") == "20 steps", "nobody knows yet over what: it is kept, and the package says so"
    driver.type("detail", "8")
    assert driver.value("count") == "20 steps"
    beside.fill("21")
    assert driver.value("count") == "21/8"
    assert driver.last_record()["count"] == {"typed": "21/8", "unit": "turn"}
    driver.type("count", "3")
    assert beside.input_value() == "", "what is typed in the box itself was not counted so"
    beside.fill("5")
    beside.fill("")
    assert driver.value("count") == ""
    assert "count" not in driver.last_record()


def test_unit_says_what_is_typed_and_rewrites_nothing(driver: PageDriver) -> None:
    driver.open().type("reach", "2,5")
    driver.find("#u-reach").select_option("in")
    assert driver.value("reach") == "2,5"
    assert driver.last_record()["reach"] == {"typed": "2,5", "unit": "in"}
    slider = driver.find("#s-reach")
    assert (slider.get_attribute("max"), slider.input_value()) == ("4", "2.5")
    driver.type("reach", "")
    assert slider.input_value() == "1.58"


def test_choice_can_be_taken_back(driver: PageDriver) -> None:
    driver.open()
    clear = driver.find("#field-way [data-act=unchoose]")
    expect(clear).to_be_hidden()
    driver.choose("both")
    assert driver.last_record() == {"way": {"typed": "both"}}
    expect(clear).to_have_attribute("aria-label", "clear: Way")
    clear.click()
    assert driver.last_record() == {}
    expect(clear).to_be_hidden()
    expect(driver.find("input[name=way]").first).to_be_focused()


def test_condition_hides_a_field_and_keeps_its_value(driver: PageDriver) -> None:
    driver.open()
    field = driver.find("#field-detail")
    expect(field).to_be_hidden()
    driver.choose("both")
    expect(field).to_be_visible()
    driver.type("detail", "3")
    driver.choose("one")
    expect(field).to_be_hidden()
    assert driver.last_record()["detail"] == {"typed": "3", "unit": "mm"}
    driver.choose("other")
    assert driver.value("detail") == "3"


def test_hidden_field_with_a_problem_comes_into_sight(driver: PageDriver) -> None:
    driver.open()
    driver.choose("both")
    driver.type("detail", "x")
    driver.choose("one")
    expect(driver.find("#e-detail")).to_have_text("Detail: type a number.")
    expect(driver.find("#field-detail")).to_be_visible()


def test_problem_stands_at_its_field_and_the_last_good_answer_is_marked_old(driver: PageDriver) -> None:
    driver.open().type("reach", "12")
    driver.says("reach 12 mm")
    driver.find("#f-reach").press_sequentially("x")
    error = driver.find("#e-reach")
    expect(error).to_have_text("Reach: type a number.")
    expect(driver.find("#f-reach")).to_have_attribute("aria-invalid", "true")
    expect(driver.find("#f-reach")).to_be_focused()
    expect(driver.find("#answer-fake")).to_have_class("qt-answer qt-old")
    expect(driver.find(".qt-old-note")).to_contain_text("earlier values")
    driver.says("reach 12 mm")
    assert driver.value("reach") == "12x"
    driver.find("#f-reach").press("Backspace")
    expect(error).to_be_hidden()
    expect(driver.find("#f-reach")).not_to_have_attribute("aria-invalid", "true")
    expect(driver.find("#answer-fake")).to_have_class("qt-answer")
    expect(driver.find(".qt-old-note")).to_be_hidden()


def test_summary_leads_to_the_field_and_leaves_the_address(driver: PageDriver) -> None:
    driver.open().type("reach", "x")
    driver.find("#f-count").focus()
    driver.find(".qt-summary a").click()
    expect(driver.find("#f-reach")).to_be_focused()
    assert driver.page.url == driver.address
    driver.type("reach", "")
    driver.type("name", "elsewhere")
    expect(driver.find(".qt-summary li")).to_have_text("A field of another page is wrong.")
    expect(driver.find(".qt-summary a")).to_have_count(0)


def test_enter_in_a_box_sends_no_form(driver: PageDriver) -> None:
    driver.open().type("reach", "5")
    driver.find("#f-reach").press("Enter")
    driver.says("reach 5 mm")
    assert driver.page.url == driver.address


def test_typed_before_the_module_arrives_is_not_lost(driver: PageDriver) -> None:
    driver.page.add_init_script(
        "document.addEventListener('readystatechange', () => {"
        " const box = document.querySelector('#f-reach'); if (box && document.readyState === 'interactive')"
        " box.value = '7'; })"
    )
    driver.open()
    driver.says("reach 7 mm")
    assert driver.stored()["record"]["reach"] == {"typed": "7", "unit": "mm"}


@pytest.mark.usefixtures("own_profile")
def test_one_line_is_spoken_after_a_pause(driver: PageDriver) -> None:
    clock = driver.page.clock
    clock.install(time=0)
    driver.open()
    clock.pause_at(300)  # from here on the page's time passes by `run_for` only, in milliseconds
    status = driver.find(".qt-status")
    for typed in ("1", "12", "123", "1234"):
        driver.find("#f-reach").press_sequentially(typed[-1])
        driver.says(f"reach {typed} mm")
        clock.run_for(600)
        assert status.text_content() == ""
    clock.run_for(200)
    expect(status).to_have_text("Reach 1234")


def test_buttons_come_with_the_module(driver: PageDriver) -> None:
    driver.open()
    expect(driver.find("[data-act=clear]")).to_be_visible()
    expect(driver.find("[data-act=undo]")).to_be_hidden()
