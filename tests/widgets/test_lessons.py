"""The lessons: what is right is what the calculators themselves answer, and a wrong number is told what went wrong."""

from __future__ import annotations

import re
from typing import Any

import pytest

from helpers.asking import COMPLETE, STRUNG, Data, answered, lines_of
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import State
from quarterturn.widgets.lesson_content import LESSONS

BOWS: list[Data] = [{}, COMPLETE | STRUNG, COMPLETE | STRUNG | {"upper_touch_turns": 6.5, "draw_weight": 52}]
each_bow = pytest.mark.parametrize("bow", BOWS, ids=["example", "own", "another"])


def page(name: str, record: Data, value: str) -> float:
    """What a page tells of a value."""
    found = {one.name: one.value for one in answered(record, name).all_values()}[value]
    assert found is not None
    return found


def half(bow: Data, upper: float, lower: float) -> Data:
    return bow | {"upper_change": upper, "lower_change": lower}


def rise(bow: Data) -> float:
    turned = [page("pocket", bow | {"turns_shown": at}, "head_height") for at in (1.0, 2.0)]
    return turned[1] - turned[0]


def contact(bow: Data) -> float:
    return abs(page("pocket", bow | {"turns_shown": 2}, "contact_x"))


RIGHT: dict[str, Any] = {
    "moves": rise,
    "ends": lambda bow: page("pocket", bow, "first_touch"),
    "paper": lambda bow: page("pocket", bow, "flush_outside"),
    "bolt": contact,
    "weight": lambda bow: page("tiller", half(bow, -0.5, -0.5), "weight_change"),
    "tiller": lambda bow: page("tiller", half(bow, -0.5, 0), "tiller_then"),
    "pair": lambda bow: (
        page("tiller", half(bow, -0.5, 0.5), "tiller_then") - page("tiller", half(bow, -0.5, 0.5), "tiller")
    ),
}
"""Where each number stands on the pages that the lesson leads to."""


@each_bow
@pytest.mark.parametrize("key", RIGHT)
def test_what_a_page_says_is_right(bow: Data, key: str) -> None:
    line = lines_of(answered(bow | {f"lesson_{key}_number": round(RIGHT[key](bow), 3)}, "lessons"))[f"tell-{key}"]
    assert line.mark == "go"
    assert line.text.startswith("Right: ")


@pytest.mark.parametrize(
    ("key", "number", "part"),
    [
        ("moves", 4.23, "the rise of four turns"),
        ("moves", 2.12, "the rise of two turns"),
        ("moves", -1.06, "Out is a plus"),
        ("ends", 3.16, "Count from flush"),
        ("paper", 0.33, "from inside"),
        ("paper", 0.09, "at first touch"),
        ("paper", 0.75, "from one reading of flush to the other"),
        ("paper", 0, "is not closed"),
        ("bolt", 8.0, "the rim"),
        ("bolt", 60, "to the fulcrum"),
        ("weight", 0.21, "one bolt alone"),
        ("weight", -0.43, "In is heavier"),
        ("weight", 38.43, "the weight then"),
        ("tiller", -2.3, "Add it to the tiller before"),
        ("tiller", 4.0, "before the turn"),
        ("tiller", 6.4, "the lower bolt’s turn"),
        ("pair", -2.3, "The lower one goes out as well"),
        ("pair", 4.6, "a minus"),
        ("moves", 1.13, "Close."),
        ("pair", 20, "Not yet."),
    ],
)
def test_a_wrong_number_is_told_which_step_went_wrong(key: str, number: float, part: str) -> None:
    line = lines_of(answered({f"lesson_{key}_number": number}, "lessons"))[f"tell-{key}"]
    assert part in line.text
    assert line.mark == "ask"


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.key)
def test_a_prediction_is_told_whether_it_was_right_and_why(lesson: Any) -> None:
    field = BY_NAME[lesson.question]
    assert isinstance(field, ChoiceField)
    marks = []
    for option in field.options:
        line = lines_of(answered({lesson.question: option.value}, "lessons"))[f"why-{lesson.key}"]
        marks.append(line.mark)
        assert line.text.startswith("Yes: " if line.mark == "go" else "No: ")
        assert len(line.text) > 60
    assert sorted(marks) == ["ask", "ask", "go"]
    assert lines_of(answered({}, "lessons"))[f"why-{lesson.key}"].text == ""


@each_bow
@pytest.mark.parametrize("key", RIGHT)
def test_why_does_not_give_the_number_away_that_is_asked_for(bow: Data, key: str) -> None:
    (lesson,) = [one for one in LESSONS if one.key == key]
    field = BY_NAME[lesson.question]
    assert isinstance(field, ChoiceField)
    said = lines_of(answered(bow | {lesson.question: field.options[0].value}, "lessons"))[f"why-{key}"].text
    asked = abs(RIGHT[key](bow))
    assert not {f"{asked:.{digits}f}" for digits in (1, 2, 3)} & set(re.findall(r"\d+\.\d+", said)), said


@each_bow
def test_predictions_hold_for_the_bow_that_is_open(bow: Data) -> None:
    """Held against the pages: heavier, smaller, both by tiller; how much by the weight."""
    right = {one.key: one for one in LESSONS}
    told = lines_of(answered(bow | {"lesson_weight": "little"}, "lessons"))["why-weight"]
    assert (told.mark == "go") is (RIGHT["weight"](bow) < 1)
    assert page("tiller", half(bow, -0.5, 0), "weight_change") > 0
    assert RIGHT["tiller"](bow) < page("tiller", bow, "tiller")
    both = page("tiller", half(bow, -0.5, -0.5), "tiller_then") - page("tiller", bow, "tiller")
    assert abs(both) < 0.3 * abs(RIGHT["pair"](bow))
    assert set(right) == {*RIGHT, "stop"}


def test_how_many_are_made_and_right_is_counted() -> None:
    one = answered({"lesson_moves": "heavier", "lesson_ends": "bolt"}, "lessons")
    assert one.title == "2 of 8 predictions made, 1 of them right"
    assert one.verdict == "Next: what a strip can see."
    assert one.state is State.EXPLAIN
    every = {lesson.question: BY_NAME[lesson.question].options[0].value for lesson in LESSONS}  # type: ignore[union-attr]
    assert answered(every, "lessons").verdict == "Now try it by feel, on the practice bench."


def test_a_bow_that_cannot_be_computed_is_said_so() -> None:
    bow = COMPLETE | STRUNG | {"slot_width": 25, "lesson_moves": "heavier", "lesson_moves_number": 1}
    lines = lines_of(answered(bow, "lessons"))
    assert lines["tell-moves"].text.startswith("With the numbers of your bow there is no answer here.")


HALTED = [
    {"limb_cracks": "fault"},
    {"upper_now_turns": 9},
    {"lower_now_side": "in", "lower_now_turns": 0.5},
    {"log": [{"date": "2026-06-05", "upper_at": 9}]},
    {"events": [{"date": "2026-06-10", "happened": "crack"}]},
    {"limb_twist": "unsure"},
]


@pytest.mark.parametrize("more", HALTED, ids=["crack", "past touch", "past flush", "log", "event", "doubt"])
def test_of_a_bow_that_must_not_be_strung_no_lesson_tells_a_number(more: Data) -> None:
    """The stop stands on top, and no line below it works out what a turn of that bow would do."""
    every = {lesson.question: BY_NAME[lesson.question].options[0].value for lesson in LESSONS}  # type: ignore[union-attr]
    numbers = {f"lesson_{key}_number": 1 for key in RIGHT}
    answer = answered(COMPLETE | STRUNG | every | numbers | more, "lessons")
    assert answer.state in (State.STOP, State.ASK)
    for line in lines_of(answer).values():
        assert line.mark == "ask"
        assert line.text.startswith("With the numbers of your bow there is no answer here.")


# What was said first


def kept(record: Data) -> Data:
    """A record with what the page keeps of its answer."""
    (entry,) = [entry for name, entry in answered(record, "lessons").keeps if name == "lesson_first"]
    assert entry is not None
    return record | {"lesson_first": entry.typed}


def test_the_first_prediction_counts_whatever_the_box_is_changed_to() -> None:
    wrong = kept({"lesson_moves": "lighter"})
    assert answered(wrong, "lessons").keeps == ()
    changed_mind = wrong | {"lesson_moves": "heavier"}
    answer = answered(changed_mind, "lessons")
    line = lines_of(answer)["why-moves"]
    assert line.mark == "ask"
    assert line.text.startswith("No: gets heavier. ")
    assert line.text.endswith("What you said first counts: “gets lighter”.")
    assert answer.title == "1 of 8 predictions made, 0 of them right"
    assert answer.keeps == ()
    right = kept({"lesson_moves": "heavier"}) | {"lesson_moves": "lighter"}
    assert lines_of(answered(right, "lessons"))["why-moves"].mark == "go"


def test_each_first_prediction_is_kept_once() -> None:
    record: Data = {}
    for lesson in LESSONS:
        question = BY_NAME[lesson.question]
        assert isinstance(question, ChoiceField)
        record = kept(record | {lesson.question: question.options[-1].value})
        record |= {lesson.question: question.options[0].value}
    assert len(record["lesson_first"]) <= 200
    assert [part.partition("=")[0] for part in record["lesson_first"].split()] == [one.key for one in LESSONS]
    assert answered(record, "lessons").keeps == ()


@pytest.mark.parametrize("text", ["x", "moves", "moves=", "moves=up", "=heavier", "moves=heavier=x", "a=b c=d"])
def test_what_says_nothing_was_never_said(text: str) -> None:
    line = lines_of(answered({"lesson_first": text, "lesson_moves": "heavier"}, "lessons"))["why-moves"]
    assert line.mark == "go"
    assert "What you said first" not in line.text


def test_outside_a_task_the_lessons_can_be_begun_anew() -> None:
    record = kept({"lesson_moves": "lighter", "lesson_moves_number": 1})
    (offer,) = answered(record, "lessons").offers
    assert {name for name, entry in offer.entries if entry is None} >= set(record)
    assert answered({}, "lessons").offers == ()
    task = {"practice_task": 3, "practice_student": 2, "practice_lessons": "1"}
    assert answered(record | task, "lessons").offers == ()
