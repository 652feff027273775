"""What a hand at a bench types: nonsense, commas, half a number, faster than can be answered. Nothing of it is lost.

The sentences themselves are tested with the package; here they must reach the reader, at the field and in the summary.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from helpers.asking import COMPLETE, GATE, STRUNG, changed, refused
from helpers.profiles import watched_page
from helpers.worksheet import (
    PATIENCE,
    Sheet,
    as_entered,
    keep,
    kept_record,
    on_the_bench,
    open_own,
    open_sheet,
    request,
)
from quarterturn.widgets.answer import State
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from helpers.worksheet import Record
    from web_server import Server

pytestmark = pytest.mark.browser


def turns(typed: str) -> dict[str, str]:
    return {"typed": typed, "unit": "turn"}


def millimetres(typed: str) -> dict[str, str]:
    return {"typed": typed, "unit": "mm"}


NOT_NUMBERS = ("abc", "NaN", "inf", "--", "5,2,5", "1.2.3", "1e", "0x10", "<b>5</b>", "9" * 50, "5 m", "=1+1")
OUTSIDE = ("1e308", "-1e308", "-3", "99", "15.01")

RECORDS: dict[str, Record] = {
    "letters": {"upper_touch_turns": turns("abc")},
    "a negative count": {"upper_now_turns": turns("-2")},
    "a margin below the least": {"margin": turns("0.1")},
    "first touch at flush": {"upper_touch_turns": turns("0")},
    "a stop and a flush that disagree": {
        "bolt_family": "stop",
        "upper_first_in": "stop",
        "lower_first_in": "flush",
        "upper_stop_turns": turns("1"),
    },
    "counts and heights that disagree": {
        "upper_height_zero": millimetres("6"),
        "upper_height_touch": millimetres("30"),
    },
    "a slot wider than the head": {"slot_width": millimetres("25")},
    "a butt that does not reach": {"upper_rim_to_butt": millimetres("18")},
    "a distance below nothing": {"upper_rim_to_butt": millimetres("-1")},
    "a maker's range upside down": {"maker_in": turns("4"), "maker_out": turns("2")},
    "two at once": {"upper_touch_turns": turns("x"), "lower_touch_turns": turns("y")},
}


def complete(sheet: Sheet) -> None:
    """Enter the complete record; its answer stands there."""
    sheet.enter(COMPLETE)
    sheet.settled()
    assert sheet.state() == State.GO


def test_bad_input_is_named_at_its_field_and_the_last_good_answer_stays(
    sheet: Sheet, subtests: pytest.Subtests
) -> None:
    complete(sheet)
    good = sheet.places()
    for kind, given in RECORDS.items():
        if sheet.places() != good or sheet.section.locator(".qt-summary").is_visible():  # the one before left something
            sheet.clear()
            complete(sheet)
        with subtests.test(kind):
            enter_and_mend(sheet, given, good)


def enter_and_mend(sheet: Sheet, given: Record, good: dict[str, str]) -> None:
    sentences = refused(changed(COMPLETE, **given))
    # A change on the way may have an answer of its own; the offending entries come last.
    sheet.enter({name: entry for name, entry in given.items() if isinstance(entry, str)})
    sheet.enter({name: entry for name, entry in given.items() if not isinstance(entry, str)})
    sheet.settled()
    summary = sheet.section.locator(".qt-summary")
    assert summary.locator("li").all_text_contents() == list(sentences.values())
    for name, sentence in sentences.items():
        assert sheet.error(name).is_visible()
        assert sheet.error(name).text_content() == sentence
        assert sheet.box(name).get_attribute("aria-invalid") == "true"
        assert f"e-{name}" in (sheet.box(name).get_attribute("aria-describedby") or "").split()
    invalid = sheet.page.locator("[aria-invalid=true]").evaluate_all("(all) => all.map((one) => one.name)")
    assert sorted(invalid) == sorted(sentences)
    if len(given) == 1:
        assert sheet.places() == good
    # A stop has no headline: its verdict stands there unfolded.
    assert (sheet.verdict if sheet.state() == State.STOP else sheet.headline).is_visible()
    assert "qt-old" in (sheet.spot("verdict").get_attribute("class") or "").split()
    assert sheet.section.locator(".qt-old-note").is_visible()
    assert "qt-old" in (sheet.answer.get_attribute("class") or "")
    # The summary leads to the field.
    first = next(iter(sentences))
    summary.locator("a").first.click()
    assert sheet.page.evaluate("document.activeElement.name") == first
    # Mended, and all of it goes.
    sheet.enter({name: turns("5.5") for name in given if name.endswith("touch_turns")})
    for name, entry in given.items():
        if not isinstance(entry, str) and not name.endswith("touch_turns"):
            sheet.fill(name, "")
    sheet.settled()
    sheet.enter({name: COMPLETE[name] for name in given if name in COMPLETE})
    sheet.settled()
    assert summary.is_hidden()
    assert sheet.page.locator("[aria-invalid=true]").count() == 0
    assert sheet.section.locator(".qt-old-note").is_hidden()
    assert sheet.state() == State.GO


def test_whatever_is_typed_is_answered_with_its_sentence_and_stays(sheet: Sheet) -> None:
    complete(sheet)
    good = sheet.places()
    for typed in (*NOT_NUMBERS, *OUTSIDE):
        sheet.enter({"upper_touch_turns": turns(typed)})
        sheet.settled()
        (sentence,) = refused(changed(COMPLETE, upper_touch_turns=turns(typed))).values()
        assert sheet.section.locator(".qt-summary li").all_text_contents() == [sentence]
        assert sheet.error("upper_touch_turns").text_content() == sentence
        assert sheet.box("upper_touch_turns").input_value() == typed
        assert sheet.places() == good


def test_nonsense_is_still_there_after_a_reload(sheet: Sheet) -> None:
    sheet.enter(COMPLETE)
    sheet.settled()
    typed = {"upper_touch_turns": "five & a half", "margin": " 0,1", "play": "1e308"}
    for name, text in typed.items():
        sheet.fill(name, text)
    sheet.settled()
    sheet.page.reload()
    sheet.settled()
    assert {name: sheet.box(name).input_value() for name in typed} == typed
    assert sheet.error("upper_touch_turns").is_visible()
    assert sheet.section.locator(".qt-summary li").count() == 3
    # No answer of this visit is there to stay: the worked example is, and is marked as not theirs.
    assert sheet.state() == State.EXAMPLE
    assert sheet.section.locator(".qt-old-note").is_visible()
    assert sheet.section.locator(".qt-lead .lead").is_visible()
    assert not sheet.verdict.is_visible()


def test_a_name_is_still_there_as_it_was_typed_after_a_reload(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "")
    sheet.fill("bow_name", "  two  words ")
    sheet.settled()
    page.reload()
    assert sheet.settled().box("bow_name").input_value() == "  two  words "


def test_comma_and_point_give_one_answer_and_are_kept_as_typed(sheet: Sheet) -> None:
    complete(sheet)
    answers = []
    for typed in ("5.5", "5,5", "5 1/2", "5½", "05.50", " 5.5 "):
        sheet.type_into("upper_touch_turns", typed)
        sheet.settled()
        assert sheet.box("upper_touch_turns").input_value() == typed
        assert sheet.error("upper_touch_turns").is_hidden()
        answers.append(sheet.values()["upper_outer"])
    assert all(answer == answers[0] for answer in answers)


def test_a_vanished_window_is_a_verdict_of_its_own(sheet: Sheet) -> None:
    sheet.enter(changed(COMPLETE, margin=2, upper_touch_turns=2.5, lower_touch_turns=2.5))
    sheet.settled()
    assert sheet.state() == State.NO_WINDOW
    text = sheet.verdict.inner_text()
    assert "Do not use this riser with these limbs" in text
    assert "bow technician" in text
    assert sheet.section.locator(".qt-old-note").is_hidden()


def test_a_default_never_passes_for_a_reading(sheet: Sheet, server: Server) -> None:
    """Take away one reading after the other: without it the answer is the worked example and says so."""
    complete(sheet)
    for name in ("upper_touch_turns", "lower_now_turns", "head_diameter"):
        sheet.fill(name, "")
        sheet.settled()
        assert sheet.state() == State.EXAMPLE
        assert ("does not speak of your bow" in (sheet.verdict.text_content() or "")) is (name == "head_diameter")
        assert "Do not string the bow yet" in (sheet.verdict.text_content() or "")
        sheet.fill(name, str(COMPLETE[name]))
        sheet.settled()
        assert sheet.state() == State.GO
    sheet.page.goto(server.address + "before/")
    Sheet(sheet.page, "inspection").settled().unfold()
    sheet.page.locator("#field-check_limbs [data-act=unchoose]").click()
    sheet.page.goto(server.address + "safe-range/")
    sheet.settled()
    assert sheet.state() == State.EXAMPLE


def test_slider_and_box_hold_one_value(page: Page, server: Server) -> None:
    wish = COMPLETE | STRUNG | {"wanted_weight": 37}
    sheet = open_own(page, server, wish, "set/")
    without = sheet.places()
    sheet.fill("tiller_worth", "2,5")
    assert sheet.slider("tiller_worth").input_value() == "2.5"
    sheet.slider("tiller_worth").focus()
    page.keyboard.press("ArrowLeft")
    sheet.settled()
    assert sheet.box("tiller_worth").input_value() == "2,4"
    assert sheet.slider("tiller_worth").get_attribute("aria-valuetext") == "2,4 mm"
    record = kept_record(page)
    assert record["tiller_worth"] == {"typed": "2,4", "unit": "mm"}
    assert sheet.places() == sheet.expected_places(json.loads(ask(request(record, "plan"))))
    assert sheet.places() != without
    # Emptied, the slider goes back to the example's value and the answer does too: nothing is entered.
    sheet.fill("tiller_worth", "")
    sheet.settled()
    assert sheet.slider("tiller_worth").input_value() == "2"
    assert sheet.places() == without


def test_the_unit_says_what_is_typed_in_and_rewrites_nothing(sheet: Sheet) -> None:
    complete(sheet)
    sheet.fill("head_diameter", "0.75")
    sheet.settled()
    assert sheet.error("head_diameter").is_visible()
    sheet.page.locator("#u-head_diameter").select_option("in")
    sheet.settled()
    assert sheet.box("head_diameter").input_value() == "0.75"
    assert sheet.error("head_diameter").is_hidden()
    inches = changed(COMPLETE, head_diameter={"typed": "0.75", "unit": "in"})
    assert sheet.places() == sheet.expected_places(json.loads(ask(request(as_entered(inches)))))
    assert float(sheet.slider("head_diameter").get_attribute("max") or "nan") < 3
    sheet.page.locator("#u-head_diameter").select_option("mm")
    assert sheet.box("head_diameter").input_value() == "0.75"


def test_the_newest_change_wins_however_fast_they_come(sheet: Sheet) -> None:
    complete(sheet)
    shown_before = int(sheet.section.get_attribute("data-answers") or 0)
    sheet.page.evaluate(
        """() => {
          const box = document.querySelector("#f-upper_touch_turns");
          for (let at = 0; at <= 200; at += 1) {
            box.value = (4 + at / 100).toFixed(2);
            box.dispatchEvent(new Event("input", { bubbles: true }));
          }
        }"""
    )
    sheet.settled()
    record = changed(COMPLETE, upper_touch_turns=turns("6.00"))
    assert sheet.places() == sheet.expected_places(json.loads(ask(request(as_entered(record)))))
    # Not each of them was asked for: one ran, at least its first part, and of those that waited the newest counted.
    assert int(sheet.section.get_attribute("data-answers") or 0) - shown_before in (1, 2)
    # And key by key.
    sheet.type_into("upper_touch_turns", "5.4375")
    sheet.settled()
    record = changed(COMPLETE, upper_touch_turns=turns("5.4375"))
    assert sheet.places() == sheet.expected_places(json.loads(ask(request(as_entered(record)))))


def test_what_is_typed_before_the_calculator_runs_is_answered(browser: Browser, watch: Watch, server: Server) -> None:
    with watched_page(browser, watch, pyodide=True) as page:
        held: list[Any] = []
        keep(page, server, record=on_the_bench({"bolt_family": "flat", **GATE}))
        page.context.route("**/library.packed", lambda route: held.append(route))
        page.goto(server.address + "safe-range/")
        sheet = Sheet(page)
        page.locator(".qt-page[data-calc]").wait_for(state="attached")
        sheet.enter(COMPLETE)
        assert page.locator(".qt-page[data-calc=starting]").count() == 1
        page.locator(".qt-stage").filter(has_text="Fetching the calculator").wait_for(timeout=PATIENCE)
        assert page.locator(".qt-progress").is_visible()
        assert sheet.state() == State.EXAMPLE
        for _ in range(600):
            if held:
                break
            page.wait_for_timeout(50)
        for route in held:
            route.continue_()
        page.context.unroute("**/library.packed")
        sheet.settled()
        assert sheet.state() == State.GO
        assert page.locator(".qt-progress").is_hidden()


@pytest.mark.parametrize("path", ["", "keep/"])
def test_script_in_the_name_of_the_bow_is_text(page: Page, server: Server, path: str) -> None:
    evil = "<img src=x onerror=\"document.title='run'\"></dd><script>1</script>"
    assert len(evil) > 60
    sheet = open_own(page, server, COMPLETE, path)
    title = page.title()
    for name in (evil[:60], "<script>document.title=1</script>", "javascript:alert(1)", "&lt;b&gt; </textarea>"):
        sheet.fill("bow_name", name)
        sheet.settled()
        asked = json.loads(request(as_entered(changed(COMPLETE, bow_name=name)), sheet.widget))
        reply = json.loads(ask(json.dumps(asked | {"address": server.address})))
        assert sheet.places() == sheet.expected_places(reply)
        assert name in sheet.section.inner_text()
        assert page.locator(".qt-page img, .qt-page script:not([type='application/json']), [onerror]").count() == 0
    assert page.title() == title
    # A name longer than the box takes is not taken by the form either.
    sheet.fill("bow_name", "")
    sheet.box("bow_name").press_sequentially("n" * 70)
    assert len(sheet.box("bow_name").input_value()) == 60


@pytest.mark.parametrize("width", [390, 320])
def test_nothing_sticks_out_at_the_width_of_a_phone(sheet: Sheet, width: int) -> None:
    sheet.page.set_viewport_size({"width": width, "height": 760})
    for record in (
        {"version": 1},
        changed(COMPLETE, bow_name="n" * 60),
        changed(COMPLETE, upper_now_turns=12),
        changed(COMPLETE, upper_touch_turns={"typed": "9" * 50, "unit": "turn"}, head_diameter="x"),
    ):
        sheet.clear()
        sheet.enter(record)
        sheet.settled()
        sheet.unfold()
        wide = sheet.page.evaluate(
            """() => [...document.querySelectorAll("body *")].filter((one) => {
              const { right, width } = one.getBoundingClientRect();
              if (width === 0 || right <= innerWidth + 0.5) return false;
              for (let up = one.parentElement; up && up !== document.body; up = up.parentElement) {
                if (["auto", "scroll", "hidden", "clip"].includes(getComputedStyle(up).overflowX)) return false;
              }
              return getComputedStyle(one).position !== "fixed" && one.checkVisibility();
            }).map((one) => `${one.localName}.${one.className}#${one.id}`)"""
        )
        scrolls = sheet.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        sheet.page.evaluate("for (const one of document.querySelectorAll('.qt-page details')) one.open = false")
        assert (scrolls, wide[:5]) == (0, [])
