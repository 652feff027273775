"""No page may sound better than the worst that is known of a bow: every kind of bow on every page (issue 15).

The table is `helpers.matrix`, written by hand. Here it is read on the command line, and what stands under each state is
looked at: predictions, steps, what comes next.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest

from helpers import matrix
from helpers.asking import all_texts, values
from helpers.matrix import PAGES, RECORDS, STATES, TODAY, state_of
from quarterturn import days
from quarterturn.__main__ import main
from quarterturn.bench.judgement import Kind, Level, judge
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Refusal, State, Steps, Way, name_of

OF_THE_FRAME = {
    *("findings", "also", "way-back", "next", "cautions", "shown"),
    *("assumed", "sources", "not-meant", "not-said"),
}
"""The names of the blocks that the frame puts around a widget's own."""

each_record = pytest.mark.parametrize("record", RECORDS)


@cache
def answer_of(record: str, page: str) -> Answer | None:
    """The answer; None where it is refused."""
    try:
        return WIDGETS[page].answer(Values(from_data(RECORDS[record]).record, today=days.parse(TODAY)))
    except Refusal:
        return None


def test_every_page_and_every_record_is_in_the_table() -> None:
    assert set(PAGES) == set(WIDGETS)
    assert sorted(PAGES.values()) == list(range(len(PAGES)))
    assert set(STATES) == set(RECORDS)
    assert {len(row) for row in STATES.values()} == {len(PAGES)}
    assert {kind for record in RECORDS for kind in kinds(record)} == set(Kind)


def kinds(record: str) -> set[Kind]:
    found = judge(Values(from_data(RECORDS[record]).record, today=days.parse(TODAY)))
    return {cause.kind for cause in found.causes}


@each_record
def test_the_command_line_says_what_the_table_says(
    record: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bow.json"
    file.write_text(json.dumps(RECORDS[record]), encoding="utf-8")
    for page in WIDGETS:
        code = main(["answer", page, str(file), "--today", TODAY])
        said = json.loads(capsys.readouterr().out)
        assert (said["state"] if code == 0 else "refused") == state_of(record, page), page


BETTER = {"explain": 0, "go": 0, "example": 1, "open": 1, "refused": 1, "ask": 2, "no_window": 3, "stop": 3}


def test_no_row_of_the_table_has_a_page_that_sounds_better() -> None:
    """Where one page says stop or ask, all do; where one waits, no page says go."""
    for record, row in STATES.items():
        worst = max(BETTER[state] for state in row)
        if worst > 1:
            assert {BETTER[state] for state in row} == {worst}, record
        if "open" in (row[0], row[5]):
            assert "go" not in row[5:], record


PREDICTED = re.compile(
    r"(then|change|percent|weight_to|tiller_to|best_\w+|pairs|upper_turns|lower_turns|inch_more|energy\w*|slope"
    r"|upper_in_\w+|lower_in_\w+|both_in_\w+|opposite_\w+|keep_\w+|string_change|twists|ratio_after|spine_\w+)$"
)


@each_record
def test_under_a_stop_nothing_is_predicted_planned_or_strung(record: str) -> None:
    for page in WIDGETS:
        answer = answer_of(record, page)
        if answer is None or answer.state not in (State.STOP, State.ASK, State.NO_WINDOW):
            continue
        widget = WIDGETS[page]
        names = {name_of(block) for block in answer.blocks}
        assert names <= widget.facts | OF_THE_FRAME, page
        if not widget.explains:
            assert not [value.name for value in answer.all_values() if PREDICTED.match(value.name)], page
        steps = [step for block in answer.blocks if isinstance(block, Steps) for step in block.steps]
        if page != "safe-range":  # which has the bench procedure, folded, for finding both ends
            assert not [step for step in steps if re.search(r"^String (?!off)|string it|string with", step)], page
        assert "plan in turns" not in all_texts(answer).lower()


WAYS_OUT = {
    Kind.INSPECTION: {"before"},
    Kind.FAMILY: {""},
    Kind.EVENT: {"keep"},
    Kind.NO_WINDOW: {"safe-range"},
    Kind.OUTSIDE: {"safe-range", "keep"},
    Kind.SWAPPED: {"before"},
    Kind.ALARM: {"set", "keep"},
    Kind.SHIMS: {"safe-range", "keep"},
    Kind.NARROW: {"safe-range"},
    Kind.LOG: {"keep"},
    Kind.WORKSHEET: {"safe-range"},
    Kind.LIMBS: {"before", "safe-range", "keep"},
    Kind.LINE: {"keep"},
    Kind.DUE: {"before"},
}


@each_record
def test_what_comes_next_leads_only_to_what_settles_it(record: str) -> None:
    found = judge(Values(from_data(RECORDS[record]).record, today=days.parse(TODAY)))
    grave = {page for cause in found.causes if cause.level is found.level for page in WAYS_OUT[cause.kind]}
    for page in WIDGETS:
        answer = answer_of(record, page)
        if answer is None:
            continue
        ways = [block for block in answer.blocks if isinstance(block, Way) and block.name == "next"]
        led = {stage.page for way in ways for stage in way.stages}
        assert led == grave or not grave, page
        assert [name_of(block) for block in answer.blocks][-1] == "cautions"
        if found.level is Level.STOP:
            others = [block for block in answer.blocks if isinstance(block, Way) and block.name != "next"]
            # What is to be read and what is done already; of what is to be done, only that which settles it.
            assert {way.name for way in others} <= ({"learn", "measure", "keep"} if page == "start" else set()), page
            marks = {stage.mark for way in others for stage in way.stages}
            assert marks <= {"read", "done", "stop", "next"}, page
            assert all(stage.mark == "stop" for way in others if way.name == "keep" for stage in way.stages)


@each_record
def test_the_same_words_are_on_every_page_that_stops(record: str) -> None:
    said = {}
    for page in WIDGETS:
        answer = answer_of(record, page)
        if answer is not None and answer.state in (State.STOP, State.ASK, State.NO_WINDOW):
            said[page] = answer.title, answer.verdict
    assert len(set(said.values())) <= 1


def test_a_bolt_outside_has_the_way_back_on_every_page() -> None:
    for record in ("past first touch, not weighed", "past flush", "in the margin", "log outside", "swivel outside"):
        for page in WIDGETS:
            answer = answer_of(record, page)
            assert answer is not None
            (steps,) = [block for block in answer.blocks if isinstance(block, Steps) and block.name == "way-back"]
            assert "String off" in steps.steps[0]
            assert any(re.match(r"(Upper|Lower) bolt: .* (in|out), to", step) for step in steps.steps)


def test_a_go_ends_with_what_it_does_not_test() -> None:
    seen = 0
    for record in RECORDS:
        for page in WIDGETS:
            answer = answer_of(record, page)
            if answer is not None and answer.state is State.GO:
                assert answer.verdict.endswith("This does not test strength."), (record, page)
                seen += 1
    assert seen > 20


@pytest.mark.parametrize("page", WIDGETS)
def test_every_block_is_declared_or_taken_away(page: str) -> None:
    """A page's facts and steps are names of blocks that it does give, for one of these bows."""
    given = set()
    for record in RECORDS:
        answer = answer_of(record, page)
        given |= {name_of(part) for part in (*answer.parts, *answer.blocks)} if answer is not None else set()
    widget = WIDGETS[page]
    rare = {"strong", "unusual", "log-told", "by-log", "told", "other-bolt", "jumps", "cover", "short-list", "happened"}
    elsewhere = {"outcome", "inside", "truth-scale", "losses", "lessons", "show", "another", "code"}  # test_practice.py
    elsewhere |= {"answer-key", "lesson-key", "task-code", "task-address", "task-lessons", "task-bow", "anew"}
    elsewhere |= {"sheet-index", "code", "in-turns", "rest", "back", "read"}  # by other tests of these pages
    assert (widget.facts | widget.steps) - given <= rare | elsewhere


def test_a_page_cannot_answer_without_the_judgement() -> None:
    """A widget whose own work says go all the same: the frame does not let it (a mutation that skips it is noticed)."""
    from dataclasses import replace

    def cheerful(values_: Values, judgement: object) -> Answer:
        return Answer("plan", State.GO, "All is well", "Turn both in.", "All is well.")

    widget = replace(WIDGETS["plan"], work=cheerful)
    for record, row in STATES.items():
        given = Values(from_data(RECORDS[record]).record, today=days.parse(TODAY))
        found = judge(given)
        state = widget.answer(given).state
        if found.level is not None:
            assert state.value in ("stop", "ask", "open"), record
            assert "Turn both in" not in widget.answer(given).title
        if not found.is_turned and not found.causes:
            assert state is State.EXPLAIN, record
            assert "Turn both in" not in widget.answer(given).verdict
            continue
        assert (state is State.GO) is (not found.causes), row
    assert values(matrix.OWN).record


def test_what_speaks_for_going_on_is_not_told_under_what_is_open() -> None:
    """Pages that would say *go on* of this bow say why not, in the same words and nothing after them."""
    pages = ("start", "inspection", "safe-range", "card")
    told = [answer for page in pages if (answer := answer_of("someone else's", page)) is not None]
    assert [answer.state for answer in told] == [State.OPEN] * len(pages)
    assert len({answer.verdict for answer in told}) == 1
    assert [state_of("inside", page) for page in pages] == ["go"] * len(pages)
