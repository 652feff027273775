"""A form and its record: what was typed is kept as it is, two controls share one value, absent is absent."""

from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.bench import Bench


def test_box_moves_slider_and_slider_fills_box(bench: Bench) -> None:
    bench.open().type("reach", "62.5")
    slider = bench.find("#s-reach")
    assert slider.input_value() == "62.5"
    slider.fill("30.5")
    assert bench.value("reach") == "30.5"
    bench.says("reach 30.5 mm")


def test_slider_by_keyboard_enters_the_value_with_its_decimals(bench: Bench) -> None:
    bench.open().find("#s-count").focus()
    bench.page.keyboard.press("ArrowRight")
    assert bench.value("count") == "5.25"
    assert bench.last_record() == {"count": {"typed": "5.25", "unit": "turn"}}


def test_enter_on_a_slider_takes_the_value_it_stands_at(bench: Bench) -> None:
    bench.open().find("#s-count").focus()
    bench.page.keyboard.press("Enter")
    assert bench.last_record() == {"count": {"typed": "5.00", "unit": "turn"}}


def test_comma_is_kept_and_understood_by_the_slider(bench: Bench) -> None:
    bench.open().type("count", " 7,25 ")
    assert bench.value("count") == " 7,25 "
    assert bench.find("#s-count").input_value() == "7.25"
    assert bench.last_record()["count"] == {"typed": " 7,25 ", "unit": "turn"}
    bench.find("#s-count").fill("8.5")
    assert bench.value("count") == "8,50"


def test_what_is_no_number_is_kept_and_leaves_the_slider(bench: Bench) -> None:
    bench.open().type("count", "7")
    bench.type("count", "7 or 8")
    assert bench.value("count") == "7 or 8"
    assert bench.find("#s-count").input_value() == "7"
    assert bench.last_record()["count"]["typed"] == "7 or 8"


def test_empty_is_absent_and_the_slider_goes_to_its_default(bench: Bench) -> None:
    bench.open().type("count", "9")
    bench.type("count", "  ")
    assert bench.last_record() == {}
    slider = bench.find("#s-count")
    assert slider.input_value() == "5"
    expect(slider).to_have_attribute("aria-valuetext", "nothing entered, the slider stands at 5.00 turns")


def test_unit_says_what_is_typed_and_rewrites_nothing(bench: Bench) -> None:
    bench.open().type("reach", "2,5")
    bench.find("#u-reach").select_option("in")
    assert bench.value("reach") == "2,5"
    assert bench.last_record()["reach"] == {"typed": "2,5", "unit": "in"}
    slider = bench.find("#s-reach")
    assert (slider.get_attribute("max"), slider.input_value()) == ("4", "2.5")
    bench.type("reach", "")
    assert slider.input_value() == "1.58"


def test_choice_can_be_taken_back(bench: Bench) -> None:
    bench.open()
    clear = bench.find("#field-way [data-act=unchoose]")
    expect(clear).to_be_hidden()
    bench.choose("both")
    assert bench.last_record() == {"way": {"typed": "both"}}
    expect(clear).to_have_attribute("aria-label", "clear: Way")
    clear.click()
    assert bench.last_record() == {}
    expect(clear).to_be_hidden()
    expect(bench.find("input[name=way]").first).to_be_focused()


def test_condition_hides_a_field_and_keeps_its_value(bench: Bench) -> None:
    bench.open()
    field = bench.find("#field-detail")
    expect(field).to_be_hidden()
    bench.choose("both")
    expect(field).to_be_visible()
    bench.type("detail", "3")
    bench.choose("one")
    expect(field).to_be_hidden()
    assert bench.last_record()["detail"] == {"typed": "3", "unit": "mm"}
    bench.choose("other")
    assert bench.value("detail") == "3"


def test_hidden_field_with_a_problem_comes_into_sight(bench: Bench) -> None:
    bench.open()
    bench.choose("both")
    bench.type("detail", "x")
    bench.choose("one")
    expect(bench.find("#e-detail")).to_have_text("Detail: type a number.")
    expect(bench.find("#field-detail")).to_be_visible()


def test_problem_stands_at_its_field_and_the_last_good_answer_is_marked_old(bench: Bench) -> None:
    bench.open().type("reach", "12")
    bench.says("reach 12 mm")
    bench.find("#f-reach").press_sequentially("x")
    error = bench.find("#e-reach")
    expect(error).to_have_text("Reach: type a number.")
    expect(bench.find("#f-reach")).to_have_attribute("aria-invalid", "true")
    expect(bench.find("#f-reach")).to_be_focused()
    expect(bench.find("#answer-fake")).to_have_class("qt-answer qt-old")
    expect(bench.find(".qt-old-note")).to_contain_text("earlier values")
    bench.says("reach 12 mm")
    assert bench.value("reach") == "12x"
    bench.find("#f-reach").press("Backspace")
    expect(error).to_be_hidden()
    expect(bench.find("#f-reach")).not_to_have_attribute("aria-invalid", "true")
    expect(bench.find("#answer-fake")).to_have_class("qt-answer")
    expect(bench.find(".qt-old-note")).to_be_hidden()


def test_summary_leads_to_the_field_and_leaves_the_address(bench: Bench) -> None:
    bench.open().type("reach", "x")
    bench.find("#f-count").focus()
    bench.find(".qt-summary a").click()
    expect(bench.find("#f-reach")).to_be_focused()
    assert bench.page.url == bench.address
    bench.type("reach", "")
    bench.type("name", "elsewhere")
    expect(bench.find(".qt-summary li")).to_have_text("A field of another page is wrong.")
    expect(bench.find(".qt-summary a")).to_have_count(0)


def test_enter_in_a_box_sends_no_form(bench: Bench) -> None:
    bench.open().type("reach", "5")
    bench.find("#f-reach").press("Enter")
    bench.says("reach 5 mm")
    assert bench.page.url == bench.address


def test_typed_before_the_module_arrives_is_not_lost(bench: Bench) -> None:
    bench.page.add_init_script(
        "document.addEventListener('readystatechange', () => {"
        " const box = document.querySelector('#f-reach'); if (box && document.readyState === 'interactive')"
        " box.value = '7'; })"
    )
    bench.open()
    bench.says("reach 7 mm")
    assert bench.stored()["record"]["reach"] == {"typed": "7", "unit": "mm"}


def test_one_line_is_spoken_after_a_pause(bench: Bench) -> None:
    clock = bench.page.clock
    clock.install(time=0)
    bench.open()
    clock.pause_at(300)  # from here on the page's time passes by `run_for` only, in milliseconds
    status = bench.find(".qt-status")
    for typed in ("1", "12", "123", "1234"):
        bench.find("#f-reach").press_sequentially(typed[-1])
        bench.says(f"reach {typed} mm")
        clock.run_for(600)
        assert status.text_content() == ""
    clock.run_for(200)
    expect(status).to_have_text("Reach 1234")


def test_buttons_come_with_the_module(bench: Bench) -> None:
    bench.open()
    expect(bench.find("[data-act=clear]")).to_be_visible()
    expect(bench.find("[data-act=undo]")).to_be_hidden()
