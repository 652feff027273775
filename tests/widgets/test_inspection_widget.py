"""The inspection as a page: what it says, what it counts, and what it takes over from the worksheet (issue 3, item 2).

Twenty things are looked at: the manual, the string, the lock, and seventeen items, counted by hand.
"""

from __future__ import annotations

import random
from typing import Any

import pytest

from helpers.asking import (
    CLAMP,
    COMPLETE,
    GATE,
    LOOKED_OVER,
    answered,
    changed,
    numbers,
    points_of,
    refused,
    table_of,
    texts,
)
from quarterturn.bench.inspection import MEANING, InspectionOutcome
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Block, Offer, Points, State, Way, name_of

WIDGET = WIDGETS["inspection"]
ITEMS = tuple(name for name in LOOKED_OVER if not name.startswith("check_"))
FIRST = ("check_manual", "check_string_off", "check_lock")
MINE = (*FIRST, *ITEMS)


def told(record: dict[str, Any]) -> Answer:
    return answered(record, "inspection")


def counts(answer: Answer) -> tuple[float, ...]:
    found = numbers(answer)
    return tuple(found[name] for name in ("checked", "stops", "asks", "unchecked"))


def test_the_form_asks_for_the_twenty_and_for_nothing_else() -> None:
    assert len(MINE) == 20
    beside = ("inspected_on", "inspected_by", "inspection_months", "marks_checked", "marks_checked_on")
    asked = tuple(name for name in WIDGET.fields() if name not in (*OWN_OF_CLAMP, *JOINT))
    assert asked == ("bolt_family", *MINE, *beside)
    assert set(WIDGET.fields()) - set(asked) == {*OWN_OF_CLAMP, *JOINT}


def test_nothing_looked_at() -> None:
    answer = told({})
    assert answer.state is State.OPEN
    assert counts(answer) == (0, 0, 0, 20)
    assert "Nothing is taken as in order" in answer.verdict
    assert {row[2:] for row in table_of(answer, "looked-at").rows} == {("not looked at yet", "open")}


def test_all_looked_at() -> None:
    answer = told(LOOKED_OVER)
    assert answer.state is State.GO
    assert answer.badge == "Go on"
    assert counts(answer) == (20, 0, 0, 0)
    assert answer.title == "All 20 looked at, nothing found: go on"
    assert "does not test strength" in answer.verdict
    assert "safe" not in f"{answer.title} {answer.verdict}".lower()
    assert {row[3] for row in table_of(answer, "looked-at").rows} == {"go on"}


@pytest.mark.parametrize("name", MINE)
def test_one_thing_left_is_not_finished(name: str) -> None:
    answer = told({key: value for key, value in LOOKED_OVER.items() if key != name})
    assert answer.state is State.OPEN
    assert answer.title == "Not finished: 19 of 20 looked at"
    assert counts(answer) == (19, 0, 0, 1)
    row = table_of(answer, "looked-at").rows[MINE.index(name)]
    assert row[0] == BY_NAME[name].label
    assert row[2:] == ("not looked at yet", "open")


@pytest.mark.parametrize(("name", "option"), [key for key in MEANING if key[0] in MINE])
def test_every_answer_that_speaks_against_going_on(name: str, option: str) -> None:
    """A stop or a question: the state, the sentence, the row and the count agree, and the rest does not soften it."""
    outcome, sentence = MEANING[name, option]
    stop = outcome is InspectionOutcome.STOP
    answer = told(LOOKED_OVER | {name: option})
    assert answer.state is (State.STOP if stop else State.ASK)
    assert sentence in answer.verdict
    assert counts(answer) == (20, stop, not stop, 0)
    field = BY_NAME[name]
    assert isinstance(field, ChoiceField)
    row = table_of(answer, "looked-at").rows[MINE.index(name)]
    assert row == (field.label, row[1], field.label_of(option), "stop" if stop else "ask")
    first = answer.blocks[0]
    assert isinstance(first, Points)
    assert (first.name, first.kind) == ("findings", "stop")
    assert first.points == (f"{field.label}: {sentence}",)


def test_counts_add_up_to_twenty_whatever_is_answered() -> None:
    rng = random.Random(3)
    for _ in range(200):
        record = {}
        for name in MINE:
            field = BY_NAME[name]
            assert isinstance(field, ChoiceField)
            if rng.random() < 0.6:
                record[name] = rng.choice(field.options).value
        answer = told(record)
        checked, stops, asks, unchecked = counts(answer)
        severe = {"forbids": "stop", "on": "stop", "fault": "stop", "unsure": "ask", "seized": "ask"}
        assert checked == len(record)
        assert checked + unchecked == 20
        assert stops == sum(severe.get(each) == "stop" for each in record.values())
        assert asks == sum(severe.get(each) == "ask" for each in record.values())
        means = [row[3] for row in table_of(answer, "looked-at").rows]
        assert (means.count("stop"), means.count("ask"), means.count("open")) == (stops, asks, unchecked)
        assert means.count("go on") == checked - stops - asks


@pytest.mark.parametrize("name", ["check_limbs", "check_butt", "check_bolt", "check_match"])
def test_a_fault_of_the_short_list_is_told_here(name: str) -> None:
    """It was answered on another page: it holds here too, it is no item of this list, and the page says where it is."""
    answer = told(LOOKED_OVER | {name: "fault"})
    assert answer.state is State.STOP
    assert counts(answer) == (20, 0, 0, 0)
    (said,) = points_of(answer, "short-list")
    assert said.startswith(BY_NAME[name].label)
    assert "short list" in said
    assert points_of(answer, "findings")[0].startswith(BY_NAME[name].label)
    assert points_of(told(LOOKED_OVER | {name: "fine"}), "short-list") == ()


def test_the_short_list_in_order_does_not_finish_this_one() -> None:
    answer = told(GATE)
    assert answer.state is State.OPEN
    assert counts(answer) == (3, 0, 0, 17)
    assert points_of(answer, "short-list") == ()


OWN_OF_CLAMP = ("clamp_tight", "clamp_washer", "clamp_insert", "clamp_wood", "clamp_pin")
JOINT = ("joint_bolts", "joint_seat", "joint_riser")
"""By hand from issue 18, item 1: hand-tight, washer, insert, wood, pin."""


@pytest.mark.parametrize("name", ["clamp_wood", "joint_riser", "slot_root"])
def test_a_crack_is_still_there_when_the_bolt_is_called_another(name: str) -> None:
    for family in ("flat", "stop", "clamp", "under", "two", "fixed"):
        answer = told(LOOKED_OVER | {name: "fault", "bolt_family": family})
        assert answer.state is State.STOP, family
        assert points_of(answer, "findings")[0].startswith(BY_NAME[name].label)


def test_a_bolt_that_only_clamps_has_its_own_list_and_an_unknown_one_is_a_question() -> None:
    unknown = told(LOOKED_OVER | {"bolt_family": "unknown"})
    assert unknown.state is State.ASK
    assert points_of(unknown, "findings") == ()
    begun = told({"bolt_family": "clamp"})
    assert begun.state is State.OPEN
    assert counts(begun) == (0, 0, 0, 11)
    labels = [row[0] for row in table_of(begun, "looked-at").rows]
    assert labels[-6:-1] == [BY_NAME[name].label for name in OWN_OF_CLAMP]
    assert not any(BY_NAME[name].label in labels for name in ("check_manual", "slot_root", "bolt_head", "marks_agree"))
    done = told(CLAMP)
    assert done.state is State.GO
    assert done.title == "In order: leave the bolts alone"
    assert "Never back it out" in done.verdict
    for name in OWN_OF_CLAMP:
        assert told(changed(CLAMP, **{name: None})).state is State.OPEN
        for answer, state in (("unsure", State.ASK), ("fault", State.STOP)):
            found = told(CLAMP | {name: answer})
            assert found.state is state
            assert MEANING[name, answer][1] in found.verdict
        # Of a bolt that is for turning these say nothing, but for a crack.
        for_turning = State.STOP if name == "clamp_wood" else State.GO
        assert told(LOOKED_OVER | {name: "fault", "bolt_family": "flat"}).state is for_turning


def test_what_was_seen_as_another_kind_of_bolt_is_not_forgotten() -> None:
    """A cracked slot stays a stop when the bolt is called a clamping one; that the maker forbids turning is none."""
    for name in ("slot_root", "check_butt", "bolt_shank", "check_bolt"):
        assert told(CLAMP | {name: "fault"}).state is State.STOP
    assert told(CLAMP | {"check_manual": "forbids"}).state is State.GO
    assert told(CLAMP | {"check_lock": "unsure"}).state is State.GO


@pytest.mark.parametrize(
    ("record", "page"),
    [
        ({}, "before"),
        (LOOKED_OVER, "safe-range"),
        ({"limb_cracks": "fault"}, "before"),
        ({"limb_twist": "unsure"}, "before"),
        ({"bolt_family": "clamp"}, "before"),
        (CLAMP, "bow"),
    ],
)
def test_the_next_step_is_one_link_away(record: dict[str, Any], page: str) -> None:
    (way,) = [block for block in told(record).blocks if isinstance(block, Way)]
    (stage,) = way.stages
    assert stage.page == page


def test_readings_change_nothing_of_its_own_here() -> None:
    """What was measured counts in the judgement above; what was looked at stays what it is."""
    for record in ({}, LOOKED_OVER, {"limb_cracks": "fault"}):
        plain = {key: value for key, value in (COMPLETE | record).items() if key in (*MINE, "bolt_family")}
        other = told(plain | {"upper_touch_turns": 5, "margin": 0.5, "upper_now_turns": 9})
        for name in ("counts", "looked-at", "not-meant"):
            assert _block(other, name) == _block(told(plain), name)
    assert told(COMPLETE | LOOKED_OVER | {"upper_now_turns": 9}).state is State.STOP


def _block(answer: Answer, name: str) -> Block:
    return next(block for block in answer.blocks if name_of(block) == name)


@pytest.mark.parametrize("bad", [{"inspected_on": "2026-02-30"}, {"inspection_months": 0}, {"marks_checked_on": "x"}])
def test_a_day_that_is_none_is_said_at_its_box(bad: dict[str, Any]) -> None:
    assert set(refused(LOOKED_OVER | bad, "inspection")) == set(bad)
    # A finding is told all the same.
    assert told(LOOKED_OVER | bad | {"limb_cracks": "fault"}).state is State.STOP


def test_it_says_when_by_whom_and_until_when() -> None:
    """By the calendar: twelve months after 30 June 2026 (C)."""
    answer = told(LOOKED_OVER | {"inspected_on": "2026-06-30", "inspected_by": "AB"})
    assert "30 June 2026 by AB" in answer.verdict
    assert texts(answer)["looked_over"] == "30 June 2026 by AB"
    assert texts(answer)["again_by"] == "30 June 2027"
    later = told(LOOKED_OVER | {"inspected_on": "2026-06-30", "inspection_months": 6})
    assert texts(later)["again_by"] == "30 December 2026"
    assert "No day is written" in told(LOOKED_OVER).verdict


def test_one_press_empties_the_list_and_nothing_else() -> None:
    record = COMPLETE | LOOKED_OVER | {"inspected_on": "2026-06-30", "inspection_source": "other"}
    (offer,) = [block for block in told(record).blocks if isinstance(block, Offer)]
    emptied = dict(offer.entries)
    assert set(emptied.values()) == {None}
    assert set(emptied) == {*MINE, *GATE, "inspected_on", "inspection_source"}
    left = {name: value for name, value in record.items() if name not in emptied}
    assert told(left).title == "Nothing looked at yet"
    assert not [block for block in told({}).blocks if isinstance(block, Offer)]
