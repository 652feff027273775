"""The page and CPython give the same answer: every named value, the verdict, and every byte of the HTML.

The other side is the package itself under this Python. That its numbers are right is the business of other tests.
Form and page in front of a worker that answers with this Python; the reader's own worker, Pyodide, beside it.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from browser_bundle import MODULES
from helpers.asking import COMPLETE, answered
from helpers.records import some
from helpers.worksheet import KEEP_WORKER, MAIN, Sheet, as_entered, open_sheet, request
from quarterturn.record import link
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Answer, Refusal, State
from quarterturn.widgets.render import BADGES
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from helpers.worksheet import Record, Shown
    from quarterturn.record.entries import Problem
    from web_server import Server

pytestmark = pytest.mark.browser

THROUGH_THE_FORM = 16
BY_HAND = 2
THROUGH_THE_WORKER = 100
REFUSED = 5
"""So many of those asked through the worker, besides, are drawn among records that are refused."""


def as_shown(answer: Answer) -> Shown:
    """The named values of an answer as the page has them in its attributes."""
    shown: Shown = {}
    values: Any = answer.as_data()["values"]
    for value in values:
        words = value["unit"] == "" and isinstance(value["value"], str)
        shown[value["name"]] = {
            "value": None if words else repr(value["value"]),
            "unit": None if words else value["unit"],
            "uncertainty": None if value["uncertainty"] is None else repr(value["uncertainty"]),
            **{part: value[part] for part in ("label", "text", "status", "note")},
        }
    return shown


def check_answer(sheet: Sheet, answer: Answer) -> None:
    assert sheet.values() == as_shown(answer)
    assert sheet.state() == answer.state.value
    shown = sheet.spot("verdict").get_attribute("data-state")
    assert shown == ("begun" if answer.state is State.EXAMPLE and answer.headline else answer.state.value)
    assert sheet.headline.inner_text().replace("\n", "") == answer.headline.replace("\n", "") or not answer.headline
    assert sheet.verdict.locator(".qt-verdict-badge").text_content() == (answer.badge or BADGES[answer.state])
    assert sheet.verdict.locator(".qt-verdict-title").text_content() == answer.title
    assert sheet.verdict.locator(".qt-verdict-text").text_content() == answer.verdict
    assert sheet.section.locator(".qt-summary").is_hidden()


def check_refusal(sheet: Sheet, problems: tuple[Problem, ...]) -> None:
    """The list has all of them; a box that has two has both under it."""
    assert sheet.section.locator(".qt-summary li").all_text_contents() == [problem.sentence for problem in problems]
    named = {problem.field: "" for problem in problems if problem.field}
    for name in named:
        named[name] = " ".join(problem.sentence for problem in problems if problem.field == name)
        assert sheet.error(name).text_content() == named[name]
    shown = sheet.section.locator(".qt-error:visible").all_text_contents()
    assert sorted(shown) == sorted(named.values())


def is_refused(record: Record) -> bool:
    try:
        answered(as_entered(record))
    except Refusal:
        return True
    return False


def windows_in(html: str) -> bool:
    """Whether an answer has a window for at least one bolt."""
    return any(f'data-name="{bolt}_middle"' in html for bolt in ("upper", "lower"))


def test_the_worked_example_is_the_same_live_as_built(browser: Browser, sheet: Sheet, server: Server) -> None:
    # As built: no script has touched it, neither the theme's nor ours.
    with browser.new_context(java_script_enabled=False) as context:
        untouched = Sheet(context.new_page())
        untouched.page.goto(server.address + "safe-range/")
        built, values = untouched.places(), untouched.values()
    assert len(values) > 20
    sheet.unfold().box("head_diameter").fill("20")
    sheet.settled()
    sheet.box("head_diameter").fill("")
    sheet.settled()
    assert sheet.places() == built
    assert sheet.values() == values == as_shown(answered({"version": 1}))
    check_answer(sheet, answered({"version": 1}))
    assert sheet.state() == State.EXAMPLE


def through_the_form(drawn: Record, form: set[str]) -> Record:
    """What of a record the page's form can hold: a count of turns there says that first touch was found."""
    found = {f"{bolt}_touch_found": "yes" for bolt in ("upper", "lower") if f"{bolt}_touch_turns" in drawn}
    return {name: entry for name, entry in (drawn | found).items() if name in form}


def test_what_is_entered_in_the_form_gives_the_numbers_of_cpython(sheet: Sheet) -> None:
    windows, kinds = 0, set()
    form = {"version", *sheet.fields()}
    records = [through_the_form(drawn, form) for drawn in some(THROUGH_THE_FORM)]
    wrong = (through_the_form(drawn, form) for drawn in some(400, start=400))
    records.append(next(filter(is_refused, wrong)))
    for place, record in enumerate(records):
        sheet.clear()
        entered = sheet.enter_by_hand(record) if place < BY_HAND else sheet.enter(record)
        sheet.settled()
        # The form leaves out just what does not matter to this record.
        values = Values(from_data(record).record)
        assert set(record) - {"version", *entered} == {
            name for name in record if name != "version" and not values.matters(name)
        }
        try:
            answer = answered(as_entered(record))
        except Refusal as refusal:
            check_refusal(sheet, refusal.problems)
            kinds.add("refused")
            continue
        check_answer(sheet, answer)
        kinds.add(answer.state.value)
        windows += windows_in("".join(sheet.places().values()))
    assert windows >= THROUGH_THE_FORM // 2
    assert {"example", "stop", "refused"} <= kinds


@pytest.mark.pyodide
def test_the_pages_worker_answers_byte_for_byte_as_cpython(page: Page, server: Server) -> None:
    page.add_init_script(KEEP_WORKER)
    # The page has its modules in one file; here one of them is asked by itself.
    page.route("**/modules/*.js", lambda route: route.fulfill(path=MODULES / route.request.url.rpartition("/")[2]))
    sheet = open_sheet(page, server)
    wrong = filter(is_refused, some(400, start=400))
    records: list[Record] = [*some(THROUGH_THE_WORKER, start=1000), *(next(wrong) for _ in range(REFUSED))]
    questions = [request(record) for record in records]
    theirs = sheet.ask_worker(questions)
    windows, refusals = 0, 0
    for question, text in zip(questions, theirs, strict=True):
        assert text == ask(question), question
        reply = json.loads(text)
        assert "broken" not in reply
        windows += windows_in(reply["html"] or "")
        refusals += bool(reply["problems"])
    assert windows >= THROUGH_THE_WORKER / 2
    assert refusals >= REFUSED
    # And what the page makes of such HTML is what a browser makes of it: nothing is added, dropped or rewritten.
    live = [json.loads(text)["html"] for text in theirs if json.loads(text)["html"]]
    page_makes = sheet.page.evaluate(
        """async (all) => {
          const { patch } = await import(new URL("../modules/patch.js", location.href));
          const root = document.createElement("div");
          return all.map((html) => {
            const template = document.createElement("template");
            template.innerHTML = html;
            patch(root, html);
            for (const one of [...root.querySelectorAll("details")]) one.open = false;
            return root.innerHTML === template.innerHTML;
          });
        }""",
        live,
    )
    assert all(page_makes)
    assert len(page_makes) > THROUGH_THE_WORKER / 2


TYPE = """(box, typed) => {
  box.value = typed;
  box.dispatchEvent(new Event("input", { bubbles: true }));
}"""
"""A box may be out of sight: a picture under the reader's finger writes into it."""
LOADED = COMPLETE | {"draw_weight": 41.5, "thread_diameter": 9.5, "rise": 4.23}
LOADED |= {"upper_free_turns": 25, "bush_length": 22, "brace_height": 222, "upper_tiller": 179, "lower_tiller": 175}


@pytest.mark.pyodide
@pytest.mark.parametrize(("widget", "path"), [("loads", "load/"), ("pocket", "pocket/"), ("paper", "pocket/")])
def test_the_pages_that_explain_say_what_the_package_says(page: Page, server: Server, widget: str, path: str) -> None:
    """A whole record by link, shown in two parts one after the other: the page ends with every byte of the answer."""
    record = from_data(LOADED).record
    page.goto(f"{server.address}{path}#{link.fragment(record)}")
    sheet = Sheet(page, widget).settled()
    # What came with a link was looked over by someone else.
    opened = record.canonical() | {"inspection_source": "other"}
    reply = json.loads(ask(request(opened, widget)))
    assert reply["state"] == "explain"
    expect(Sheet(page, MAIN[path]).verdict).to_have_attribute("data-state", "explain")
    assert sheet.places() == sheet.expected_places(reply)
    # And after a change of the view, of which the quick part comes first.
    name, typed = ("strip_wanted", "0.2") if widget == "paper" else ("turns_shown", "1")
    sheet.box(name).evaluate(TYPE, typed)
    sheet.settled()
    changed = json.loads(ask(request(opened | {name: {"typed": typed, "unit": "turn"}}, widget)))
    assert sheet.places() == sheet.expected_places(changed)
    assert changed["html"] != reply["html"]
