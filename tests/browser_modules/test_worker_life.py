"""The one worker: its start, its failures, its hangs, and which question wins."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.bench import ANSWER_TIME, START_SILENCE, STEPS

if TYPE_CHECKING:
    from browser_modules.bench import Bench


def test_starts_by_itself_when_the_page_is_idle(bench: Bench) -> None:
    bench.open()
    bench.calc("ready")
    assert bench.asks() == []
    bench.says("A worked example.")


def test_progress_is_shown_in_bytes(bench: Bench) -> None:
    bench.plan(hold=True)
    bench.open().step("0.0")
    bench.release()
    bench.step("1.5")
    bar = bench.find(".qt-progress")
    expect(bar).to_be_visible()
    assert bar.evaluate("bar => [bar.value, bar.max]") == [1_500_000, 3_000_000]
    bench.release()
    bench.step("3.0")
    bench.release()
    bench.type("reach", "8")
    bench.says("reach 8 mm")
    expect(bar).to_be_hidden()
    expect(bench.find(".qt-stage")).to_be_hidden()


def test_a_slow_line_that_moves_is_not_given_up(bench: Bench) -> None:
    bench.own_clock()
    bench.plan(hold=True)
    bench.open()
    for loaded in STEPS:
        bench.step(loaded)
        bench.pass_time(START_SILENCE * 2 // 3)
        bench.release()
    bench.calc("ready")


@pytest.mark.parametrize(
    ("start", "sentence"),
    [
        ("fail", "Fetching the calculator failed: the file library.zip is missing."),
        ("silent", "Starting the calculator failed: nothing was heard for 600 s."),
        ("throw", "Starting the calculator failed: Uncaught Error: broken at the start."),
    ],
)
def test_failed_start_says_why_and_can_be_tried_again(bench: Bench, start: str, sentence: str) -> None:
    bench.own_clock()
    bench.plan(start=start)
    bench.open().type("reach", "8")
    if start == "silent":
        bench.calc("starting")
        bench.pass_time(START_SILENCE)
    trouble = bench.find(".qt-trouble")
    expect(trouble).to_contain_text(sentence)
    expect(bench.find(".qt-status")).to_contain_text(sentence)
    bench.says("A worked example.")
    expect(bench.find(".qt-old-note")).to_contain_text("not to those entered now")
    bench.plan()
    bench.act("retry")
    bench.says("reach 8 mm")
    expect(trouble).to_be_hidden()
    expect(bench.find(".qt-old-note")).to_be_hidden()


@pytest.mark.expects("404 (File not found)", "worker.js net::ERR_FAILED")
def test_missing_worker_is_a_failed_start(bench: Bench) -> None:
    bench.server.site.missing.add("runtime/abc/worker.js")
    bench.open()
    expect(bench.find(".qt-trouble")).to_contain_text("could not be started")
    bench.calc("failed")


def test_newest_change_wins(bench: Bench) -> None:
    bench.open().type("name", "slow")
    bench.says("reach none")
    before = len(bench.asks())
    bench.page.evaluate(
        "() => { const box = document.querySelector('#f-reach'); for (let i = 0; i < 20; i++) {"
        " box.value = String(i); box.dispatchEvent(new Event('input', { bubbles: true })); } }"
    )
    bench.says("reach 19 mm")
    asked = [ask["record"]["reach"]["typed"] for ask in bench.asks()[before:]]
    # The first ran already; of those that came while it ran only the newest was asked.
    assert asked == ["0", "19"]


def test_what_is_quick_of_an_answer_is_shown_first(bench: Bench) -> None:
    bench.open().type("name", "stream 1")
    # Nothing of it stands in the page yet, so that the quick part has no place there.
    bench.asked("stream 1", 2)
    bench.calc("working")
    bench.release()
    bench.says("quick stream 1")
    bench.type("name", "stream 2")
    bench.says("quick stream 2")
    expect(bench.find("#chart")).to_have_text("slow stream 1")
    bench.calc("working")
    bench.release()
    expect(bench.find("#chart")).to_have_text("slow stream 2")
    bench.calc("ready")
    assert [ask.get("part") for ask in bench.asks()[-2:]] == ["first", None]


@pytest.mark.parametrize(("waited", "rest"), [(0, []), (1_000, ["held 1"])], ids=["just now", "long ago"])
def test_the_rest_gives_way_to_a_newer_question_but_not_for_ever(bench: Bench, waited: int, rest: list[str]) -> None:
    bench.own_clock()
    bench.open().type("name", "stream 1")
    bench.asked("stream 1", 2)
    bench.page.clock.pause_at(bench.page.evaluate("Date.now() / 1000 + 5"))  # the last whole answer is from now
    bench.release()
    bench.says("quick stream 1")
    bench.type("name", "held 1")
    bench.asked("held 1")
    bench.type("name", "stream 2")
    bench.pass_time(waited)
    bench.release()
    for _ in rest:
        bench.says("quick held 1")
        bench.release()
        expect(bench.find("#chart")).to_have_text("slow held 1")
    bench.asked("stream 2")
    bench.release()
    expect(bench.find("#chart")).to_have_text("slow stream 2")
    asked = [(ask["record"]["name"]["typed"], ask.get("part")) for ask in bench.asks()]
    last = [("held 1", "first"), *((name, None) for name in rest), ("stream 2", "first"), ("stream 2", None)]
    assert asked[-len(last) :] == last


def test_hang_is_ended_and_tried_once_more_and_then_refused(bench: Bench) -> None:
    bench.own_clock()
    bench.open().type("reach", "8")
    bench.says("reach 8 mm")
    bench.plan(hold=True)
    bench.type("name", "hang")
    for times in (1, 2):
        bench.asked("hang", times)
        bench.pass_time(ANSWER_TIME)
        expect(bench.find(".qt-trouble")).to_contain_text("did not answer within 600 s and was ended")
        bench.let_start()
    expect(bench.find(".qt-summary")).to_contain_text("stopped twice on these same values")
    expect(bench.find("#answer-fake")).to_have_class("qt-answer qt-old")
    bench.calc("ready")
    assert (bench.value("name"), bench.stored()["record"]["name"]["typed"]) == ("hang", "hang")
    bench.says("reach 8 mm")
    bench.type("name", "other")
    expect(bench.find(".qt-summary")).to_be_hidden()
    # The same values once more: refused without being asked.
    bench.type("name", "hang")
    expect(bench.find(".qt-summary")).to_contain_text("stopped twice")
    bench.calc("ready")
    assert len([ask for ask in bench.asks() if ask["record"].get("name") == {"typed": "hang"}]) == 2


def test_one_hang_is_healed_by_a_new_worker(bench: Bench) -> None:
    bench.own_clock()
    bench.open().type("reach", "8")
    bench.says("reach 8 mm")
    bench.plan(hold=True)
    bench.type("name", "hang once")
    bench.asked("hang once")
    bench.page.wait_for_function("async () => (await (await caches.open('fake')).match('once')) !== undefined")
    bench.pass_time(ANSWER_TIME)
    expect(bench.find(".qt-trouble")).to_contain_text("was ended")
    bench.let_start()
    bench.says("reach 8 mm")
    expect(bench.find("#answer-fake")).to_contain_text("hang once")
    expect(bench.find(".qt-trouble")).to_be_hidden()


def test_change_during_a_hang_is_answered(bench: Bench) -> None:
    bench.own_clock()
    bench.open().type("name", "hang")
    bench.asked("hang")
    bench.type("name", "fine")
    bench.pass_time(ANSWER_TIME)
    expect(bench.find("#answer-fake")).to_contain_text("fine")
    assert len([ask for ask in bench.asks() if ask["record"]["name"] == {"typed": "hang"}]) == 1


@pytest.mark.expects("out of memory")
@pytest.mark.parametrize("name", ["crash", "failed later"])
def test_crash_is_treated_like_a_hang(bench: Bench, name: str) -> None:
    bench.open().type("reach", "8")
    bench.says("reach 8 mm")
    bench.type("name", name)
    expect(bench.find(".qt-summary")).to_contain_text("stopped twice on these same values")
    bench.type("name", "fine")
    expect(bench.find("#answer-fake")).to_contain_text("fine")
    expect(bench.find(".qt-summary")).to_be_hidden()


def test_exception_in_the_package_is_a_sentence(bench: Bench) -> None:
    bench.open().type("name", "broken")
    expect(bench.find(".qt-summary")).to_have_text("An exception, said in a sentence.")
    bench.calc("ready")


def test_page_shares_one_worker(bench: Bench) -> None:
    bench.open().type("reach", "8")
    bench.says("reach 8 mm")
    bench.type("name", "fine")
    expect(bench.find("#answer-fake")).to_contain_text("fine")
    assert len(bench.page.workers) == 1
    starts = [path for path in bench.server.site.requests if re.search(r"runtime/abc/worker\.js$", path)]
    assert len(starts) == 1
