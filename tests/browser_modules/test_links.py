"""A link's values and the reader's own: neither overwrites the other without asking."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.bench import fragment, kept, wait_until

if TYPE_CHECKING:
    from browser_modules.bench import Bench

FORBID = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
THEIRS = fragment({"reach": {"typed": "77", "unit": "mm"}})
MINE = kept(reach={"typed": "5", "unit": "mm"}, habit={"typed": "mine"})


@pytest.fixture
def visiting(bench: Bench) -> Bench:
    """A reader with values of their own who opens a link."""
    bench.keep(MINE)
    bench.open(THEIRS)
    bench.says("reach 77 mm")
    return bench


def test_link_is_used_where_there_is_nothing_of_ones_own(bench: Bench) -> None:
    bench.open(THEIRS)
    expect(bench.find(".qt-banner")).to_contain_text("values from a link. You had none of your own")
    bench.says("reach 77 mm")
    assert bench.page.url == bench.address
    assert bench.stored()["record"]["reach"]["typed"] == "77"
    expect(bench.find(".qt-status")).not_to_have_text("")


def test_ones_own_are_kept_while_a_link_is_looked_at(visiting: Bench) -> None:
    expect(visiting.find(".qt-banner")).to_contain_text("These are values from a link; yours are kept.")
    assert visiting.value("habit") == "mine"
    visiting.type("reach", "78")
    visiting.says("reach 78 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"
    visiting.act("link-back")
    visiting.says("reach 5 mm")
    assert visiting.value("reach") == "5"
    assert visiting.page.url == visiting.address
    visiting.type("reach", "6")
    assert visiting.stored()["record"]["reach"]["typed"] == "6"


def test_browsers_back_shows_the_link_again(visiting: Bench) -> None:
    visiting.act("link-back")
    visiting.says("reach 5 mm")
    visiting.page.go_back()
    visiting.says("reach 77 mm")
    visiting.page.go_forward()
    visiting.says("reach 5 mm")


def test_keeping_a_links_values_asks_first_and_can_be_undone(visiting: Bench) -> None:
    visiting.act("link-keep")
    expect(visiting.find(".qt-banner")).to_contain_text("Replace your own values")
    expect(visiting.find(".qt-banner")).to_be_focused()
    assert visiting.stored()["record"]["reach"]["typed"] == "5"
    visiting.act("link-cancel")
    expect(visiting.find(".qt-banner")).to_contain_text("yours are kept")
    visiting.act("link-keep")
    visiting.act("link-replace")
    assert visiting.stored()["record"]["reach"]["typed"] == "77"
    assert visiting.stored()["record"]["habit"]["typed"] == "mine"
    assert visiting.page.url == visiting.address
    visiting.act("undo")
    visiting.says("reach 5 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"


def test_reload_keeps_looking_and_keeps_ones_own(visiting: Bench) -> None:
    visiting.page.reload()
    visiting.says("reach 77 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"


def test_heading_of_the_page_changes_no_values(visiting: Bench) -> None:
    visiting.page.evaluate("() => { addEventListener('hashchange', () => { window.moved = true; }); }")
    before = visiting.asks()
    visiting.find("#to-heading").click()
    # The page's own listener was there first.
    visiting.page.wait_for_function("() => window.moved")
    assert visiting.asks() == before
    assert visiting.value("reach") == "77"


def test_another_fragment_in_the_open_page_is_taken_up(visiting: Bench) -> None:
    other = fragment({"reach": {"typed": "99", "unit": "mm"}})
    visiting.page.evaluate("hash => { location.hash = hash; }", other)
    visiting.says("reach 99 mm")
    assert visiting.stored()["record"]["reach"]["typed"] == "5"


def test_link_that_says_what_one_has_is_no_news(bench: Bench) -> None:
    # A text may be written plainly or as an entry: both say the same.
    bench.keep(kept(reach={"typed": "5", "unit": "mm"}, name={"typed": "Alder"}, habit={"typed": "mine"}))
    bench.open(fragment({"reach": {"unit": "mm", "typed": "5"}, "name": "Alder"}))
    bench.says("reach 5 mm")
    expect(bench.find(".qt-banner")).to_be_hidden()
    assert bench.page.url == bench.address


def test_ones_own_link_stays_in_the_address_where_nothing_can_be_stored(bench: Bench) -> None:
    bench.page.add_init_script(FORBID)
    bench.open().type("reach", "5")
    bench.says("reach 5 mm")
    own = fragment({"reach": {"typed": "5", "unit": "mm"}})
    bench.page.goto(bench.address + own)
    wait_until(bench.page, lambda: bench.asks_so_far("open") != [], "question about the link")
    bench.asks("open")
    expect(bench.find(".qt-banner")).to_be_hidden()
    # It is the only place that keeps the values.
    assert bench.page.url == bench.address + own
    bench.page.reload()
    bench.says("reach 5 mm")
    assert bench.value("reach") == "5"


def test_link_that_was_cut_off_changes_nothing(bench: Bench) -> None:
    bench.keep(MINE)
    bench.open("#q1.eyJ2ZXJz")
    expect(bench.find(".qt-banner")).to_contain_text("Nothing of yours was changed")
    expect(bench.find(".qt-banner li")).to_have_text("It is not whole JSON.")
    assert bench.value("reach") == "5"
    bench.act("close")
    expect(bench.find(".qt-banner")).to_be_hidden()


def test_link_waits_for_a_calculator_that_failed(bench: Bench) -> None:
    bench.plan(start="fail")
    bench.keep(MINE)
    bench.open(THEIRS)
    bench.calc("failed")
    assert bench.value("reach") == "5"
    bench.plan()
    bench.act("retry")
    bench.says("reach 77 mm")


def test_script_in_a_link_never_runs(bench: Bench) -> None:
    bench.open(fragment({"name": {"typed": "<img src=x onerror=window.ran=1>"}}))
    expect(bench.find("#said + p")).to_contain_text("<img src=x")
    assert bench.page.evaluate("window.ran") is None


def test_clear_while_looking_leaves_the_link_and_undo_brings_ones_own(visiting: Bench) -> None:
    visiting.act("clear")
    assert visiting.value("reach") == ""
    assert visiting.page.url == visiting.address
    visiting.act("undo")
    assert visiting.value("reach") == "5"


def test_link_is_copied_and_opens_to_the_same_values(bench: Bench) -> None:
    bench.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    bench.open().type("reach", "4,5")
    bench.type("habit", "not for others")
    bench.type("look", "nor this")
    bench.act("link")
    expect(bench.find(".qt-status")).to_contain_text("The link is copied")
    address = bench.page.evaluate("navigator.clipboard.readText()")
    assert address.startswith(f"{bench.address}#q1.")
    assert set(bench.asks("link")[-1]["record"]) == {"version", "reach"}
    bench.act("clear")
    bench.page.goto(address)
    bench.says("reach 4,5 mm")


def test_refused_clipboard_shows_the_address_to_copy(bench: Bench) -> None:
    bench.page.add_init_script(
        "if (navigator.clipboard) navigator.clipboard.writeText = () => Promise.reject(new Error('no'));"
    )
    bench.open().type("reach", "4")
    bench.act("link")
    box = bench.find(".qt-link input")
    expect(box).to_be_focused()
    assert box.input_value().startswith(f"{bench.address}#q1.")
    assert bench.page.evaluate("getSelection().toString()") == box.input_value()


def test_no_link_for_nothing_and_a_sentence_for_too_much(bench: Bench) -> None:
    bench.open().act("link")
    expect(bench.find(".qt-status")).to_contain_text("Nothing has been entered yet")
    bench.type("name", "no link")
    bench.act("link")
    expect(bench.find(".qt-status")).to_contain_text("Too long for a link.")
