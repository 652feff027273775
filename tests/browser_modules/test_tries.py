"""Experiments in the words: they set fields of the view, never a reading, and can be put back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Locator

    from browser_modules.page_driver import PageDriver


@pytest.fixture
def tries(driver: PageDriver) -> PageDriver:
    """The fixture's page with experiments, not yet opened."""
    return replace(driver, name="parts")


def button(driver: PageDriver, name: str) -> Locator:
    return driver.find(f"#try-{name} [data-try]")


def back(driver: PageDriver, name: str) -> Locator:
    return driver.find(f"#try-{name} [data-put-back]")


def test_an_experiment_sets_the_view_and_no_reading(tries: PageDriver) -> None:
    tries.open().type("name", "mine")
    button(tries, "wide").click()
    assert (tries.value("look"), tries.value("far_look"), tries.value("name")) == ("wide", "7", "mine")
    asked = tries.last_record()
    assert asked["look"] == {"typed": "wide"}
    # In the unit that its box has.
    assert asked["far_look"] == {"typed": "7", "unit": "mm"}
    assert asked["name"] == {"typed": "mine"}
    # Nothing of the view is kept.
    assert set(tries.stored()["record"]) == {"version", "name"}
    expect(button(tries, "wide")).to_have_attribute("aria-pressed", "true")
    expect(button(tries, "narrow")).to_have_attribute("aria-pressed", "false")
    expect(back(tries, "wide")).to_be_visible()
    expect(back(tries, "narrow")).to_be_hidden()


def test_put_back_is_what_stood_there_before_the_first_experiment(tries: PageDriver) -> None:
    tries.open().type("look", "my own")
    button(tries, "wide").click()
    button(tries, "narrow").click()
    assert tries.value("look") == "narrow"
    expect(back(tries, "wide")).to_be_hidden()
    back(tries, "narrow").click()
    assert (tries.value("look"), tries.value("far_look")) == ("my own", "")
    # The button under the focus has gone: the focus is beside it.
    expect(button(tries, "narrow")).to_be_focused()
    expect(back(tries, "narrow")).to_be_hidden()
    expect(button(tries, "narrow")).to_have_attribute("aria-pressed", "false")
    # The next experiment begins anew.
    tries.type("look", "another")
    button(tries, "wide").click()
    back(tries, "wide").click()
    assert tries.value("look") == "another"


def test_the_address_of_an_experiment_runs_it(tries: PageDriver) -> None:
    tries.open("#try-narrow")
    expect(tries.find("#f-look")).to_have_value("narrow")
    expect(back(tries, "narrow")).to_be_visible()
    tries.page.evaluate("location.hash = '#try-wide'")
    expect(tries.find("#f-look")).to_have_value("wide")
    expect(button(tries, "wide")).to_have_attribute("aria-pressed", "true")
    # An address of nothing, or of something else, runs nothing.
    for other in ("#try-nowhere", "#beside"):
        tries.open(other)
        tries.calc("ready")
        assert tries.value("look") == ""


def test_a_link_in_the_words_is_an_experiment_too(tries: PageDriver) -> None:
    tries.open()
    tries.find("#try-link").click()
    assert tries.value("look") == "linked"
    assert tries.page.url == f"{tries.address}#beside"
