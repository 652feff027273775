"""The made-up bow of a student: the same for ever, a neighbour has another, and every lesson has its number there."""

from __future__ import annotations

from itertools import pairwise

import pytest

from quarterturn.bench.judgement import judge
from quarterturn.bench.practice_bow import made_up_bow
from quarterturn.bench.practice_task import MOST_STUDENTS, MOST_TASKS
from quarterturn.record.entries import Record
from quarterturn.record.values import Values
from quarterturn.widgets.lesson_content import LESSONS

FOR_EVER = {
    (4711, 17): {
        "rise": "4.05",
        "fulcrum_arm": "65.8",
        "limb_depth": "8.7",
        "head_diameter": "19.8",
        "slot_width": "10.2",
        "upper_rim_to_butt": "2.3",
        "lower_rim_to_butt": "2.3",
        "upper_touch_turns": "5.625",
        "lower_touch_turns": "5.625",
        "upper_now_turns": "2.125",
        "draw_weight": "40",
        "draw_length": "27.25",
        "upper_tiller": "179.5",
        "lower_tiller": "174",
        "bow_name": "Made up: task 4711, number 17",
    },
    (MOST_TASKS, MOST_STUDENTS): {"rise": "4.08", "draw_weight": "36", "upper_tiller": "178", "limb_depth": "7.5"},
}
SOME = [(1 + 37 * place % 5000, 1 + place % 40) for place in range(60)]


@pytest.mark.parametrize(("task", "student"), FOR_EVER)
def test_the_same_numbers_are_the_same_bow_for_ever(task: int, student: int) -> None:
    """Numbers that were handed out once: whoever changes the draws breaks every task that is set."""
    typed = {name: entry.typed for name, entry in made_up_bow(task, student)}
    assert typed | FOR_EVER[task, student] == typed
    assert len(typed) == len(FOR_EVER[4711, 17])


@pytest.mark.parametrize(("task", "student"), SOME)
def test_every_made_up_bow_is_one_that_lessons_can_work_with(task: int, student: int) -> None:
    """All its entries can be used, nothing is known against it, and every lesson has its number there."""
    bow = made_up_bow(task, student)
    values = Values(Record(dict(bow)))
    assert not values.problems_in(name for name, _ in bow)
    judgement = judge(values)
    assert judgement.predicts
    assert judgement.worst is None
    for one in LESSONS:
        assert one.right(values)
        assert one.why(values)
        assert one.number is None or one.number(values).value


def test_neighbours_have_different_bows() -> None:
    """In a class nobody has the pocket, the weight and the tillers of another, nor of the same number a task later."""
    for task in (1, 4711, 90_000):
        bows = [tuple(entry for name, entry in made_up_bow(*both) if name != "bow_name") for both in class_of(task)]
        assert len(set(bows)) == len(bows)
        for one, other in pairwise(bows):
            assert sum(mine == yours for mine, yours in zip(one, other, strict=True)) <= 6


def class_of(task: int) -> list[tuple[int, int]]:
    return [(task, student) for student in range(1, 41)] + [(task + 1, student) for student in range(1, 41)]


@pytest.mark.parametrize(("task", "student"), [(0, 1), (1, 0), (MOST_TASKS + 1, 1), (1, MOST_STUDENTS + 1)])
def test_there_is_no_such_bow(task: int, student: int) -> None:
    with pytest.raises(ValueError, match="no task"):
        made_up_bow(task, student)
