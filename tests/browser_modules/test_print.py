"""A print shows the entries as text with their units and closed details; the page is as before afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


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


def test_choice_not_made_is_printed_to_be_ticked(driver: PageDriver) -> None:
    driver.open()
    fire(driver, "beforeprint")
    expect(driver.find("#field-way .qt-option")).to_have_count(3)
    expect(driver.find("#field-way .qt-option").first).to_be_visible()
    expect(driver.find("#field-detail")).to_be_hidden()
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
