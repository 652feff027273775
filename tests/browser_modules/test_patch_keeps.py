"""A live answer changes in place: nodes, focus, open details and selection stay; nothing in it runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


@pytest.fixture
def answered(driver: PageDriver) -> PageDriver:
    driver.open().type("count", "5")
    expect(driver.find("#press")).to_have_text("Press 5")
    return driver


def test_nodes_stay_the_same_nodes(answered: PageDriver) -> None:
    ids = ["verdict", "said", "picture", "dot", "more", "press"]
    answered.page.evaluate("ids => { window.old = ids.map(id => document.getElementById(id)); }", ids)
    answered.type("count", "12")  # also brings a new first node
    expect(answered.find("#warn")).to_have_text("many")
    same = "ids => ids.map((id, i) => document.getElementById(id) === window.old[i])"
    assert answered.page.evaluate(same, ids) == [True] * len(ids)
    answered.type("count", "6")
    expect(answered.find("#warn")).to_have_count(0)
    assert answered.page.evaluate(same, ids) == [True] * len(ids)


def test_picture_keeps_its_namespaces_and_takes_new_numbers(answered: PageDriver) -> None:
    answered.type("count", "7")
    expect(answered.find("#dot")).to_have_attribute("cx", "7")
    spaces = "() => ['dot', 'picture'].map(id => document.getElementById(id).namespaceURI)"
    assert answered.page.evaluate(spaces) == ["http://www.w3.org/2000/svg"] * 2
    assert answered.page.evaluate("document.querySelector('#picture').hasAttribute('viewBox')")
    assert answered.page.evaluate("document.querySelector('#dot').getBBox().x") == 6  # 7 less its radius


def test_focus_stays_in_the_answer(answered: PageDriver) -> None:
    answered.find("#press").focus()
    answered.page.evaluate(
        "() => { window.lost = 0; document.querySelector('#press').addEventListener('blur', () => window.lost++); }"
    )
    for value in ("12", "6", "13"):
        answered.page.evaluate(
            "value => { const box = document.querySelector('#f-count'); box.value = value;"
            " box.dispatchEvent(new Event('input', { bubbles: true })); }",
            value,
        )
        expect(answered.find("#press")).to_have_text(f"Press {value}")
    expect(answered.find("#press")).to_be_focused()
    assert answered.page.evaluate("window.lost") == 0


def test_focus_on_what_goes_is_at_the_heading_above(answered: PageDriver) -> None:
    """Else it would be at the top of the page, and the next Tab would begin anew."""
    answered.type("count", "12")
    answered.find("#warn").evaluate("(one) => { one.tabIndex = -1; one.focus(); }")
    expect(answered.find("#warn")).to_be_focused()
    answered.page.evaluate(
        "() => { const box = document.querySelector('#f-count'); box.value = '6';"
        " box.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    expect(answered.find("#warn")).to_have_count(0)
    expect(answered.find("#top")).to_be_focused()


def test_details_stay_as_the_reader_left_them(answered: PageDriver) -> None:
    answered.find("#sum").click()
    answered.type("count", "6")
    expect(answered.find("#more p")).to_have_text("All of 6")
    expect(answered.find("#more")).to_have_attribute("open", "")
    answered.find("#sum").click()
    answered.type("count", "7")
    expect(answered.find("#press")).to_have_text("Press 7")
    expect(answered.find("#more")).not_to_have_attribute("open", "")


def test_selection_and_scroll_stay(answered: PageDriver) -> None:
    page = answered.page
    page.evaluate("document.querySelector('#tall').scrollIntoView()")
    page.evaluate(
        "() => { document.activeElement.blur(); const text = document.querySelector('#tall p').firstChild;"
        " getSelection().setBaseAndExtent(text, 5, text, 9); window.top0 = scrollY; }"
    )
    page.evaluate(
        "() => { const slider = document.querySelector('#s-count'); slider.value = 9;"
        " slider.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    expect(answered.find("#press")).to_have_text("Press 9")
    assert page.evaluate("getSelection().toString()") == "long"
    assert page.evaluate("scrollY === window.top0")


def test_selection_in_a_changed_text_stays_as_far_as_it_reaches(answered: PageDriver) -> None:
    page = answered.page
    answered.type("name", "a long name")
    expect(answered.find("#answer-fake")).to_contain_text("a long name")
    page.evaluate(
        "() => { document.activeElement.blur(); const text = document.querySelector('#said + p').firstChild;"
        " getSelection().setBaseAndExtent(text, 0, text, text.length); }"
    )
    page.evaluate(
        "() => { const box = document.querySelector('#f-name'); box.value = 'x';"
        " box.dispatchEvent(new Event('input', { bubbles: true })); }"
    )
    expect(answered.find("#said + p")).to_have_text("Name: x")
    assert page.evaluate("getSelection().toString()") == "Name: x"


# The policy refuses handlers and style attributes first, and says so; what it would let through goes too.
@pytest.mark.expects("Content Security Policy", "policy: ", "404 (File not found)")
def test_script_in_the_html_is_dropped(answered: PageDriver) -> None:
    answered.type("name", "script")
    expect(answered.find("#styled")).to_have_text("y")
    answer = answered.find("#answer-fake")
    expect(answer.locator("script")).to_have_count(0)
    assert answered.find("#bad").get_attribute("onerror") is None
    assert answered.find("#evil").get_attribute("href") is None
    assert answered.find("#styled").get_attribute("style") is None
    inside = "document.querySelector('#row').content.querySelector('p').hasAttribute('onclick')"
    assert answered.page.evaluate(inside) is False
    answered.find("#evil").click()
    assert answered.page.evaluate("window.ran") is None


def test_text_of_the_reader_is_text(answered: PageDriver) -> None:
    answered.type("name", "<img src=x onerror=window.ran=1>")
    expect(answered.find("#said + p")).to_have_text("Name: <img src=x onerror=window.ran=1>")
    answered.type("name", "note")
    expect(answered.find(".qt-notes li")).to_have_text("A <b>note</b>.")
    assert answered.page.evaluate("window.ran") is None
