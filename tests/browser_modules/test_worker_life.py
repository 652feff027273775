"""The one worker, and what the page shows of its start, its failures and its hangs (the rest is in client.test.mjs)."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import ANSWER_TIME, START_SILENCE

if TYPE_CHECKING:
    from browser_modules.page_driver import PageDriver


def test_starts_by_itself_when_the_page_is_idle(driver: PageDriver) -> None:
    driver.open()
    driver.calc("ready")
    assert driver.asks() == []
    driver.says("A worked example.")


def test_progress_is_shown_in_bytes(driver: PageDriver) -> None:
    driver.plan(hold=True)
    driver.open().step("0.0")
    driver.release()
    driver.step("1.5")
    bar = driver.find(".qt-progress")
    expect(bar).to_be_visible()
    assert bar.evaluate("bar => [bar.value, bar.max]") == [1_500_000, 3_000_000]
    driver.release()
    driver.step("3.0")
    driver.release()
    driver.type("reach", "8")
    driver.says("reach 8 mm")
    expect(bar).to_be_hidden()
    expect(driver.find(".qt-stage")).to_be_hidden()


@pytest.mark.usefixtures("own_profile")
@pytest.mark.parametrize(
    ("start", "sentence"),
    [
        ("fail", "Fetching the calculator failed: the file library.zip is missing."),
        ("silent", "Starting the calculator failed: nothing was heard for 600 s."),
        ("throw", "Starting the calculator failed: Uncaught Error: broken at the start."),
    ],
)
def test_failed_start_says_why_and_can_be_tried_again(driver: PageDriver, start: str, sentence: str) -> None:
    driver.own_clock()
    driver.plan(start=start)
    driver.open().type("reach", "8")
    if start == "silent":
        driver.calc("starting")
        driver.pass_time(START_SILENCE)
    trouble = driver.find(".qt-trouble")
    expect(trouble).to_contain_text(sentence)
    expect(driver.find(".qt-status")).to_contain_text(sentence)
    driver.says("A worked example.")
    expect(driver.find(".qt-old-note")).to_contain_text("not to those entered now")
    driver.plan()
    driver.act("retry")
    driver.says("reach 8 mm")
    expect(trouble).to_be_hidden()
    expect(driver.find(".qt-old-note")).to_be_hidden()


@pytest.mark.expects("404 (File not found)", "worker.js net::ERR_FAILED")
def test_missing_worker_is_a_failed_start(driver: PageDriver) -> None:
    driver.server.site.missing.add("runtime/abc/worker.js")
    driver.open()
    expect(driver.find(".qt-trouble")).to_contain_text("could not be started")
    driver.calc("failed")


def test_what_is_quick_of_an_answer_is_shown_first(driver: PageDriver) -> None:
    driver.open().type("name", "stream 1")
    # Nothing of it stands in the page yet, so that the quick part has no place there.
    driver.asked("stream 1", 2)
    driver.calc("working")
    driver.release()
    driver.says("quick stream 1")
    driver.type("name", "stream 2")
    driver.says("quick stream 2")
    expect(driver.find("#chart")).to_have_text("slow stream 1")
    driver.calc("working")
    driver.release()
    expect(driver.find("#chart")).to_have_text("slow stream 2")
    driver.calc("ready")
    assert [ask.get("part") for ask in driver.asks()[-2:]] == ["first", None]


@pytest.mark.usefixtures("own_profile")
def test_hang_is_ended_and_tried_once_more_and_then_refused(driver: PageDriver) -> None:
    driver.own_clock()
    driver.open().type("reach", "8")
    driver.says("reach 8 mm")
    driver.plan(hold=True)
    driver.type("name", "hang")
    for times in (1, 2):
        driver.asked("hang", times)
        driver.pass_time(ANSWER_TIME)
        expect(driver.find(".qt-trouble")).to_contain_text("did not answer within 600 s and was ended")
        driver.let_start()
    expect(driver.find(".qt-summary")).to_contain_text("stopped twice on these same values")
    expect(driver.find("#answer-fake")).to_have_class("qt-answer qt-old")
    driver.calc("ready")
    assert (driver.value("name"), driver.stored()["record"]["name"]["typed"]) == ("hang", "hang")
    driver.says("reach 8 mm")
    driver.type("name", "other")
    expect(driver.find(".qt-summary")).to_be_hidden()
    # The same values once more: refused without being asked.
    driver.type("name", "hang")
    expect(driver.find(".qt-summary")).to_contain_text("stopped twice")
    driver.calc("ready")
    assert len([ask for ask in driver.asks() if ask["record"].get("name") == {"typed": "hang"}]) == 2


@pytest.mark.expects("out of memory")
@pytest.mark.parametrize("name", ["crash", "failed later"])
def test_crash_is_treated_like_a_hang(driver: PageDriver, name: str) -> None:
    driver.open().type("reach", "8")
    driver.says("reach 8 mm")
    driver.type("name", name)
    expect(driver.find(".qt-summary")).to_contain_text("stopped twice on these same values")
    driver.type("name", "fine")
    expect(driver.find("#answer-fake")).to_contain_text("fine")
    expect(driver.find(".qt-summary")).to_be_hidden()


def test_exception_in_the_package_is_a_sentence(driver: PageDriver) -> None:
    driver.open().type("name", "broken")
    expect(driver.find(".qt-summary")).to_have_text("An exception, said in a sentence.")
    driver.calc("ready")


def test_page_shares_one_worker(driver: PageDriver) -> None:
    driver.open().type("reach", "8")
    driver.says("reach 8 mm")
    driver.type("name", "fine")
    expect(driver.find("#answer-fake")).to_contain_text("fine")
    assert len(driver.page.workers) == 1
    starts = [path for path in driver.server.site.requests if re.search(r"runtime/abc/worker\.js$", path)]
    assert len(starts) == 1
