"""What is entered, in words, wherever the page says it; and which bolt is at hand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import fragment, kept

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


@pytest.fixture
def words(driver: PageDriver) -> PageDriver:
    """The fixture's page with words about entries, not yet opened."""
    return replace(driver, name="parts")


def told(driver: PageDriver, name: str, text: str) -> None:
    expect(driver.find(f"#said-{name}")).to_have_text(text)


def classes(driver: PageDriver, name: str) -> set[str]:
    return set((driver.find(f"#said-{name}").get_attribute("class") or "").split())


def test_words_follow_the_entries(words: PageDriver) -> None:
    words.open()
    told(words, "name", "not entered")
    assert "qt-nothing" in classes(words, "name")
    words.type("name", "Club bow")
    told(words, "name", "Club bow")
    assert "qt-nothing" not in classes(words, "name")
    # A choice in the words of its label, without the small print.
    words.choose("other")
    told(words, "way", "the other way")
    words.act("clear")
    told(words, "name", "not entered")
    told(words, "way", "not chosen")


def test_of_several_fields_the_first_that_has_something(words: PageDriver) -> None:
    words.open()
    words.type("lower_far", "7")
    told(words, "far", "7 mm")
    words.type("upper_far", "6")
    told(words, "far", "6 mm")
    words.type("upper_far", "")
    told(words, "far", "7 mm")


def test_a_field_that_is_not_asked_is_not_told(words: PageDriver) -> None:
    words.keep(kept(detail={"typed": "3", "unit": "mm"}, way={"typed": "other"}))
    words.open()
    told(words, "detail", "3 mm")
    assert "qt-absent" not in classes(words, "detail")
    words.choose("one")
    told(words, "detail", "nothing")
    assert {"qt-absent", "qt-nothing"} <= classes(words, "detail")


def test_what_cannot_be_used_says_so_until_it_is_put_right(words: PageDriver) -> None:
    words.open()
    words.choose("other")
    words.type("detail", "x")
    told(words, "detail", "x mm: look again")
    assert "qt-wrong" in classes(words, "detail")
    told(words, "way", "the other way")
    words.type("detail", "3")
    told(words, "detail", "3 mm")
    assert "qt-wrong" not in classes(words, "detail")


def test_words_are_those_of_the_link_while_it_is_looked_at(words: PageDriver) -> None:
    words.keep(kept(name={"typed": "mine"}))
    words.open(fragment({"name": {"typed": "theirs"}}))
    told(words, "name", "theirs")
    words.act("link-back")
    told(words, "name", "mine")


def test_the_bolt_at_hand_is_the_one_that_is_looked_at(words: PageDriver) -> None:
    page = words.open().find(".qt-page")
    expect(page).to_have_attribute("data-bolt", "upper")
    words.find("#to-lower").click()
    expect(page).to_have_attribute("data-bolt", "lower")
    expect(words.find("input[name=limb_shown][value=lower]")).to_be_checked()
    assert words.last_record()["limb_shown"] == {"typed": "lower"}
    # Chosen in its own box it is the same.
    words.find("input[name=limb_shown][value=upper]").check()
    expect(page).to_have_attribute("data-bolt", "upper")


def test_a_switch_may_lead_on_to_a_place(words: PageDriver) -> None:
    words.open().find("#to-lower").click()
    words.find("#to-upper").evaluate("one => one.scrollIntoView()")
    assert words.page.evaluate("scrollY") > 100
    words.find("#to-upper").click()
    expect(words.find("#top")).to_be_in_viewport()
    expect(words.find(".qt-page")).to_have_attribute("data-bolt", "upper")
