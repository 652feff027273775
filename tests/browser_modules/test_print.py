"""A print shows the entries as text with their units and closed details; the page is as before afterwards."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


# The browser's own print window cannot be looked at: what it would show is noted instead.
PRINT = """
window.printed = [];
window.print = () => {
  dispatchEvent(new Event("beforeprint"));
  const { print } = document.documentElement.dataset;
  window.printed.push([print, document.querySelectorAll(".qt-print-value").length > 0]);
  window.foot = document.querySelector(".qt-print-from").innerHTML;
  dispatchEvent(new Event("afterprint"));
};
"""


def fire(driver: PageDriver, kind: str) -> None:
    driver.page.evaluate("kind => window.dispatchEvent(new Event(kind))", kind)


def test_entries_are_printed_as_text_and_put_back(driver: PageDriver) -> None:
    driver.open().type("reach", "2,5")
    driver.find("#u-reach").select_option("in")
    driver.choose("both")
    driver.find("#f-reach").focus()
    # Nothing changes by itself any more.
    driver.asks()
    driver.says("reach 2,5 in")
    expect(driver.find(".qt-status")).to_have_text("Reach 2,5")
    html = driver.page.content()
    fire(driver, "beforeprint")
    expect(driver.find("#field-reach .qt-print-value")).to_have_text("2,5 in")
    expect(driver.find("#f-reach")).to_be_hidden()
    expect(driver.find("#field-way .qt-print-value")).to_have_text("both ways")
    expect(driver.find("#field-count .qt-print-value")).to_have_text("__________ turns")
    expect(driver.find("#outside")).to_have_attribute("open", "")
    fire(driver, "afterprint")
    expect(driver.find(".qt-print-value")).to_have_count(0)
    expect(driver.find("#f-reach")).to_be_focused()
    assert driver.page.content() == html


def test_what_is_hidden_is_hidden_whatever_display_a_style_sheet_gives_it(driver: PageDriver) -> None:
    driver.open()
    driver.page.evaluate(
        "() => { const sheet = new CSSStyleSheet(); sheet.replaceSync('.qt-entry > *, .qt-field { display: flex; }');"
        " document.adoptedStyleSheets.push(sheet); }"
    )
    expect(driver.find("#f-reach")).to_have_css("display", "flex")
    expect(driver.find("#field-detail")).to_be_hidden()
    fire(driver, "beforeprint")
    for gone in ("#f-reach", "#u-reach", "#field-count .qt-unit"):
        expect(driver.find(gone)).to_be_hidden()
    fire(driver, "afterprint")
    expect(driver.find("#f-reach")).to_be_visible()


def test_what_was_not_entered_is_not_on_the_sheet(driver: PageDriver) -> None:
    driver.open().choose("both")
    fire(driver, "beforeprint")
    expect(driver.find("#field-way")).to_be_visible()
    for left in ("#field-reach", "#field-count"):
        expect(driver.find(left)).to_be_hidden()
    fire(driver, "afterprint")
    expect(driver.find("#field-reach")).to_be_visible()


def test_a_choice_is_printed_to_be_ticked_on_blank_steps(driver: PageDriver) -> None:
    driver.open().choose("both")
    driver.page.evaluate("document.documentElement.dataset.print = 'steps'")
    fire(driver, "beforeprint")
    expect(driver.find("#field-way .qt-option")).to_have_count(3)
    expect(driver.find("#field-way .qt-option").first).to_be_visible()
    expect(driver.find("#field-way .qt-print-value")).to_have_count(0)
    fire(driver, "afterprint")


def test_the_browsers_own_print_is_prepared_too(driver: PageDriver) -> None:
    driver.open().type("reach", "2,5")
    driver.page.evaluate(
        "() => { window.seen = []; new MutationObserver((all) => all.forEach((one) => one.addedNodes.forEach((node) =>"
        " node.className === 'qt-print-value' && window.seen.push(node.textContent))))"
        ".observe(document.body, { childList: true, subtree: true }); }"
    )
    assert driver.page.pdf().startswith(b"%PDF")
    assert "2,5 mm" in driver.page.evaluate("window.seen")
    expect(driver.find(".qt-print-value")).to_have_count(0)


@pytest.mark.parametrize(("act", "kind"), [("print", "sheet"), ("print-steps", "steps"), ("print-reading", "reading")])
def test_each_button_prints_its_own(driver: PageDriver, act: str, kind: str) -> None:
    page = replace(driver, name="parts")
    page.page.add_init_script(PRINT)
    page.open().act(act)
    page.page.wait_for_function("() => window.printed.length > 0")
    # For style sheets, while it is printed and no longer; the entries stand there as text.
    assert page.page.evaluate("window.printed") == [[kind, True]]
    expect(page.find("html")).not_to_have_attribute("data-print", re.compile(".*"))


def test_the_browsers_own_print_is_of_the_sheet(driver: PageDriver) -> None:
    page = replace(driver, name="parts")
    page.page.add_init_script(PRINT)
    page.open().act("print-steps")
    fire(page, "beforeprint")
    expect(page.find("html")).to_have_attribute("data-print", "sheet")
    # Steps that are folded are on paper too.
    expect(page.find("details:not([open])")).to_have_count(0)
    fire(page, "afterprint")
    expect(page.find("html")).not_to_have_attribute("data-print", re.compile(".*"))
    expect(page.find("#step-far")).to_have_attribute("open", "")
    expect(page.find("#step-end")).not_to_have_attribute("open", "")


def test_the_sheet_s_own_button_adds_the_code_of_the_bow(driver: PageDriver) -> None:
    """It is asked for with what is shown; what comes is held to the same rules as an answer, and gone afterwards."""
    driver.page.add_init_script(PRINT)
    driver.open()
    driver.calc("ready")
    driver.type("name", "A")
    driver.act("print")
    driver.page.wait_for_function("() => window.printed.length > 0")
    (question,) = driver.asks("code")
    assert question["address"].startswith("http")
    assert question["record"]["name"] == {"typed": "A"}
    foot = driver.page.evaluate("window.foot")
    assert "<svg" in foot
    assert "<script" not in foot
    assert "The code opens this bow." in foot
    fire(driver, "beforeprint")  # the browser's own menu waits for nothing
    expect(driver.find(".qt-print-from")).to_have_count(1)
    expect(driver.find(".qt-print-from svg")).to_have_count(0)
    fire(driver, "afterprint")


def test_a_calculator_that_does_not_answer_holds_up_no_print(driver: PageDriver) -> None:
    driver.page.add_init_script(PRINT)
    driver.open()
    driver.calc("ready")
    driver.type("name", "no code")
    driver.act("print")
    driver.page.wait_for_function("() => window.printed.length > 0")
    assert "<svg" not in driver.page.evaluate("window.foot")
