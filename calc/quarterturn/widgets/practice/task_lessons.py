"""The lessons of a task: how far each has come, with what was answered, and the answer key of the instructor."""

from __future__ import annotations

from quarterturn.bench.judgement import Judgement
from quarterturn.bench.practice_task import MOST_LESSONS
from quarterturn.record.entries import Record
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Block, Stage, Table, Way
from quarterturn.widgets.lesson_content import LESSONS, Lesson
from quarterturn.widgets.lesson_marks import LessonProgress, known_bow, label, progress, told, unit_of
from quarterturn.widgets.practice.inputs import PracticeInputs


def stands(shown: PracticeInputs, judgement: Judgement) -> tuple[str, ...]:
    """How each of all lessons stands, for the code."""
    return tuple(
        _stand(_progress(number, shown, judgement)) if number in shown.lessons else "none"
        for number in range(1, MOST_LESSONS + 1)
    )


def _stand(come: LessonProgress) -> str:
    if not come.done:
        return "open"
    return "right" if come.right else "done"


def _progress(number: int, shown: PracticeInputs, judgement: Judgement) -> LessonProgress:
    return progress(LESSONS[number - 1], shown.values, known_bow(shown.values, judgement))


def parts(shown: PracticeInputs, judgement: Judgement) -> list[Block]:
    """The list of the task's lessons; with the answer key theirs too."""
    found: list[Block] = [_way(shown, judgement)]
    if shown.values.choice("practice_key") == "yes":
        found.append(_key(shown))
    return found


def _way(shown: PracticeInputs, judgement: Judgement) -> Way:
    come = [(number, _progress(number, shown, judgement)) for number in shown.lessons]
    following = next((number for number, each in come if not each.done), None)
    stages = tuple(
        Stage(
            f"Lesson {number}: {LESSONS[number - 1].title}",
            "lessons",
            LESSONS[number - 1].key,
            "done" if each.done else "next" if number == following else "open",
            _note(LESSONS[number - 1], each),
        )
        for number, each in come
    )
    done = sum(1 for _, each in come if each.done)
    return Way("task-lessons", f"Lessons of the task: {done} of {len(come)} done", stages)


def _note(one: Lesson, come: LessonProgress) -> str:
    """What was answered, and whether it is right."""
    if not come.predicted:
        return ""
    said = f"You said “{come.predicted}”: {'right' if come.right else 'not right'}."
    if one.number is None:
        return said
    if not come.read:
        return f"{said} The number is still to be read."
    return f"{said} You read {come.read}: {'right' if come.done else 'not yet right'}."


def _key(shown: PracticeInputs) -> Table:
    """What is right on the made-up example."""
    example = Values(Record({}))
    rows = []
    for number in shown.lessons:
        one = LESSONS[number - 1]
        held = one.number(example) if one.number is not None else None
        cells = ("none", "") if held is None else (told(held.value, unit_of(one)), told(held.within, unit_of(one)))
        rows.append((f"{number} {one.title}", label(one, one.right(example)), *cells))
    return Table(
        "lesson-key",
        "Answer key of the lessons",
        ("lesson", "prediction", "number", "taken within"),
        tuple(rows),
        "Of the made-up example bow. With a student’s own bow open the numbers are that bow’s.",
    )
