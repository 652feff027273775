"""The lessons of a task: how far each has come, with what was answered, and the answer key of the instructor."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.bench.practice_bow import made_up_bow
from quarterturn.bench.practice_task import MOST_LESSONS
from quarterturn.record.entries import Record
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Block, DeferredBlock, Stage, Table, Way
from quarterturn.widgets.lesson_content import LESSONS, Lesson
from quarterturn.widgets.lesson_marks import LessonProgress, known_bow, label, progress, told, unit_of, way_to_the_bow
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


def parts(shown: PracticeInputs, judgement: Judgement) -> list[Block | DeferredBlock]:
    """The list of the task's lessons; with the answer key theirs too."""
    bow = way_to_the_bow(shown.values)
    found: list[Block | DeferredBlock] = [_way(shown, judgement)] if bow is None else [bow, _way(shown, judgement)]
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


def _key(shown: PracticeInputs) -> DeferredBlock:
    return DeferredBlock("lesson-key", partial(_right_answers, shown))


def _right_answers(shown: PracticeInputs) -> Table:
    """What is right on each student's made-up bow; what is alike for all stands once, under the table."""
    bows = [_bow(shown, student) for student in range(1, round(shown.values.number("practice_class")) + 1)]
    columns = [("number", *(str(place) for place in range(1, len(bows) + 1)))]
    alike = []
    for number in shown.lessons:
        one = LESSONS[number - 1]
        said = [label(one, one.right(bow)) for bow in bows]
        told_once = len(set(said)) == 1
        if told_once:
            alike.append(f"Lesson {number}: “{said[0]}”{_within(one, bows[0])}.")
        if one.number is not None or not told_once:
            columns.append((f"lesson {number}", *map(partial(_cell, one, told_once), said, bows)))
    header, *rows = zip(*columns, strict=True)
    return Table("lesson-key", "Answer key of the lessons, each student’s bow", header, tuple(rows), " ".join(alike))


def _within(one: Lesson, bow: Values) -> str:
    return "" if one.number is None else f"; its number within {told(one.number(bow).within, unit_of(one))}"


def _cell(one: Lesson, told_once: bool, said: str, bow: Values) -> str:
    number = "" if one.number is None else told(one.number(bow).value, unit_of(one))
    return number if told_once else "; ".join(filter(None, (said, number)))


def _bow(shown: PracticeInputs, student: int) -> Values:
    task = round(shown.values.number("practice_task"))
    return Values(Record(dict(made_up_bow(task, student))), today=shown.values.today, system=shown.values.system)
