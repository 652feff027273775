"""A print shows the entries as text with their units and closed details; the page is as before afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.bench import Bench


def fire(bench: Bench, kind: str) -> None:
    bench.page.evaluate("kind => window.dispatchEvent(new Event(kind))", kind)


def test_entries_are_printed_as_text_and_put_back(bench: Bench) -> None:
    bench.open().type("reach", "2,5")
    bench.find("#u-reach").select_option("in")
    bench.choose("both")
    bench.find("#f-reach").focus()
    # Nothing changes by itself any more.
    bench.asks()
    bench.says("reach 2,5 in")
    expect(bench.find(".qt-status")).to_have_text("Reach 2,5")
    html = bench.page.content()
    fire(bench, "beforeprint")
    expect(bench.find("#field-reach .qt-print-value")).to_have_text("2,5 in")
    expect(bench.find("#f-reach")).to_be_hidden()
    expect(bench.find("#field-way .qt-print-value")).to_have_text("both ways")
    expect(bench.find("#field-count .qt-print-value")).to_have_text("__________ turns")
    expect(bench.find("#outside")).to_have_attribute("open", "")
    fire(bench, "afterprint")
    expect(bench.find(".qt-print-value")).to_have_count(0)
    expect(bench.find("#f-reach")).to_be_focused()
    assert bench.page.content() == html


def test_choice_not_made_is_printed_to_be_ticked(bench: Bench) -> None:
    bench.open()
    fire(bench, "beforeprint")
    expect(bench.find("#field-way .qt-option")).to_have_count(3)
    expect(bench.find("#field-way .qt-option").first).to_be_visible()
    expect(bench.find("#field-detail")).to_be_hidden()
    fire(bench, "afterprint")


def test_the_browsers_own_print_is_prepared_too(bench: Bench) -> None:
    bench.open().type("reach", "2,5")
    bench.page.evaluate(
        "() => { window.seen = []; new MutationObserver((all) => all.forEach((one) => one.addedNodes.forEach((node) =>"
        " node.className === 'qt-print-value' && window.seen.push(node.textContent))))"
        ".observe(document.body, { childList: true, subtree: true }); }"
    )
    assert bench.page.pdf().startswith(b"%PDF")
    assert "2,5 mm" in bench.page.evaluate("window.seen")
    expect(bench.find(".qt-print-value")).to_have_count(0)
