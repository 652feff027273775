"""What is kept in the browser: across reloads, between tabs, and when the storage is forbidden, full or damaged."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.bench import ASIDE, STORED, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from browser_modules.bench import Bench

FORBID = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError'); };"


def test_values_come_back_after_a_reload_with_their_unit(bench: Bench) -> None:
    bench.open().type("reach", "2,5")
    bench.find("#u-reach").select_option("in")
    bench.choose("other")
    bench.page.reload()
    bench.says("reach 2,5 in")
    assert bench.value("reach") == "2,5"
    assert bench.find("#u-reach").input_value() == "in"
    expect(bench.find("input[value=other]")).to_be_checked()
    assert set(bench.stored()["times"]) == {"reach", "way"}


def test_view_fields_are_not_kept_and_reader_fields_are(bench: Bench) -> None:
    bench.open().type("look", "wide")
    bench.type("habit", "quarter")
    assert bench.last_record()["look"] == {"typed": "wide"}
    assert set(bench.stored()["record"]) == {"version", "habit"}


def test_fields_of_other_pages_stay(bench: Bench) -> None:
    bench.keep(kept(other_page={"typed": "3", "unit": "mm"}))
    bench.open().type("reach", "5")
    assert bench.last_record()["other_page"] == {"typed": "3", "unit": "mm"}
    assert bench.stored()["record"]["other_page"] == {"typed": "3", "unit": "mm"}


def test_key_carries_the_path_of_the_site(bench: Bench) -> None:
    bench.open().type("reach", "5")
    assert bench.page.evaluate("Object.keys(localStorage)") == [STORED]


@pytest.mark.parametrize(("script", "words"), [(FORBID, "does not let the page keep"), (FULL, "storage is full")])
def test_page_works_without_storage_and_says_so_once(bench: Bench, script: str, words: str) -> None:
    bench.page.add_init_script(script)
    bench.open().type("reach", "5")
    bench.says("reach 5 mm")
    bench.type("reach", "6")
    bench.says("reach 6 mm")
    expect(bench.find(".qt-notices li")).to_have_count(1)
    expect(bench.find(".qt-notices")).to_contain_text(words)


def test_other_tabs_are_followed_but_not_into_the_field_being_edited(tab: Callable[[], Bench]) -> None:
    one, two = tab().open(), tab().open()
    one.type("reach", "5")
    expect(two.find("#f-reach")).to_have_value("5")
    two.says("reach 5 mm")
    two.page.bring_to_front()
    two.find("#f-count").focus()
    two.page.keyboard.type("3")
    one.type("count", "9")
    one.type("reach", "6")
    expect(two.find("#f-reach")).to_have_value("6")
    assert two.value("count") == "3"
    # Its own change is the later one again.
    two.page.keyboard.type("4")
    one.page.bring_to_front()
    one.find("#f-name").focus()
    expect(one.find("#f-count")).to_have_value("34")
    assert one.stored()["record"]["count"]["typed"] == "34"


def test_field_left_unchanged_takes_over_the_other_tabs_value(tab: Callable[[], Bench]) -> None:
    one, two = tab().open(), tab().open()
    two.find("#f-count").focus()
    two.page.evaluate("() => { addEventListener('storage', () => { window.heard = true; }); }")
    one.type("count", "9")
    # The page's own listener was there first.
    two.page.wait_for_function("() => window.heard")
    assert two.value("count") == ""
    two.find("#f-reach").focus()
    expect(two.find("#f-count")).to_have_value("9")


def test_emptied_field_stays_empty_in_the_other_tab(tab: Callable[[], Bench]) -> None:
    one = tab().open()
    one.type("reach", "5")
    two = tab().open()
    expect(two.find("#f-reach")).to_have_value("5")
    one.type("reach", "")
    expect(two.find("#f-reach")).to_have_value("")
    two.type("count", "1")
    assert "reach" not in two.stored()["record"]


@pytest.mark.parametrize(
    ("text", "read", "words"),
    [
        ("{broken", "", "not whole JSON"),
        ("[" * 50_000, "", "not whole JSON"),
        (json.dumps({"record": {"version": 1, "reach": {"typed": "7", "unit": "mm"}, "count": True}, "times": {}}),
         "7", "count was ignored."),
        (kept(version=0, reach={"typed": "7", "unit": "mm"}), "7", "is damaged"),
    ],
)  # fmt: skip
def test_damaged_record_is_read_in_part_and_put_aside(bench: Bench, text: str, read: str, words: str) -> None:
    bench.keep(text)
    bench.open()
    expect(bench.find(".qt-notices")).to_contain_text("damaged")
    expect(bench.find(".qt-notices")).to_contain_text(words)
    expect(bench.find("#f-reach")).to_have_value(read)
    bench.type("name", "mine")
    assert bench.page.evaluate("key => localStorage.getItem(key)", ASIDE) == text
    assert bench.stored()["record"]["name"] == {"typed": "mine"}
    assert bench.stored()["record"].get("reach", {}).get("typed", "") == read


def test_damaged_record_is_left_while_the_calculator_cannot_read_it(bench: Bench) -> None:
    bench.plan(start="fail")
    bench.keep("{broken")
    bench.open().type("reach", "5")
    bench.calc("failed")
    assert bench.page.evaluate("key => localStorage.getItem(key)", STORED) == "{broken"
    bench.plan()
    bench.act("retry")
    bench.says("reach 5 mm")
    expect(bench.find(".qt-notices")).to_contain_text("put aside")
    assert bench.stored()["record"]["reach"]["typed"] == "5"


def test_record_that_the_package_stumbles_over_is_left(bench: Bench) -> None:
    bench.keep("{stumble")
    bench.open().type("reach", "5")
    bench.says("reach 5 mm")
    expect(bench.find(".qt-notices")).to_contain_text("left as it is. The calculator stumbled.")
    assert bench.page.evaluate("key => localStorage.getItem(key)", STORED) == "{stumble"


def test_hostile_names_in_the_storage_do_no_harm(bench: Bench) -> None:
    bench.keep('{"record":{"version":1,"__proto__":{"typed":"x"},"constructor":{"typed":"y"}},"times":{"__proto__":5}}')
    bench.open().type("reach", "5")
    bench.says("reach 5 mm")
    assert bench.page.evaluate("({}).typed") is None


def test_newer_record_is_left_untouched(bench: Bench) -> None:
    text = kept(version=9, reach={"typed": "7", "unit": "mm"})
    bench.keep(text)
    bench.open()
    expect(bench.find(".qt-notices")).to_contain_text("newer version")
    expect(bench.find("#f-reach")).to_have_value("7")
    bench.type("reach", "8")
    bench.says("reach 8 mm")
    assert bench.page.evaluate("key => localStorage.getItem(key)", STORED) == text


def test_eviction_is_said_and_the_values_are_kept_again(bench: Bench) -> None:
    bench.open().type("reach", "5")
    bench.page.evaluate("localStorage.clear()")
    bench.type("count", "2")
    expect(bench.find(".qt-notices")).to_contain_text("has removed what it kept")
    assert bench.stored()["record"]["reach"]["typed"] == "5"


def test_clear_empties_all_and_undo_brings_it_back(bench: Bench) -> None:
    bench.open().type("reach", "5")
    bench.choose("both")
    bench.act("clear")
    assert (bench.value("reach"), bench.last_record()) == ("", {})
    expect(bench.find("input[value=both]")).not_to_be_checked()
    bench.says("reach none")
    bench.type("count", "2")
    bench.act("undo")
    assert bench.value("reach") == "5"
    expect(bench.find("input[value=both]")).to_be_checked()
    assert set(bench.stored()["record"]) == {"version", "reach", "way"}
    # What was entered since the clear is one more press away.
    bench.act("undo")
    assert (bench.value("count"), bench.value("reach")) == ("2", "")
