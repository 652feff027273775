"""A task for a class: what a student is told, the code of what came of it; the instructor's key, what a code says."""

from __future__ import annotations

from quarterturn.bench import practice
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.practice import ChosenEnd
from quarterturn.bench.practice_task import TaskCodeError, TaskResult, bolt_number, code_of, link_check, read_code
from quarterturn.figures import qr, svg
from quarterturn.figures.svg import Picture
from quarterturn.numbers import fixed
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Block, DeferredBlock, Drawing, Line, Table
from quarterturn.widgets.practice import truth
from quarterturn.widgets.practice.form import NAME
from quarterturn.widgets.practice.inputs import PracticeInputs

MOST_MODULES = 60
"""Of the code a side: so many a phone's camera tells apart at that size (common practice, no source)."""
SIDE = 42.0
"""The side of the picture of the link, mm."""
LESSONS_SAID = {
    "open": "not finished",
    "done": "finished, prediction not right",
    "right": "finished, prediction right",
}
ENDS = {"none": "no range", "past": "past the end", "near": "too near", "inside": "well inside"}


def parts(shown: PracticeInputs, judgement: Judgement) -> list[Block | DeferredBlock]:
    """What there is to say of a task."""
    found: list[Block | DeferredBlock] = [Line("task", _told(shown)), Line("tell-code", *_said(shown))]
    if shown.values.entered("practice_task"):
        found += link(shown)
        if shown.values.choice("practice_key") == "yes":
            found.append(key(shown))
    stands: tuple[str, ...] = ()
    if shown.lessons:
        from quarterturn.widgets.practice import task_lessons

        stands = task_lessons.stands(shown, judgement)
        found += task_lessons.parts(shown, judgement)
    if shown.open and shown.task is not None:
        later = " It changes as you finish the lessons." if "open" in stands else ""
        found.append(Line("code", f"Code for your instructor: {code_of(result(shown, stands))}.{later}", "go"))
    return found


def level_words(level: str) -> str:
    """A level as the form calls it."""
    field = BY_NAME["practice_level"]
    return field.label_of(level) if isinstance(field, ChoiceField) else level


def _told(shown: PracticeInputs) -> str:
    if not shown.values.entered("practice_task"):
        return ""
    task = round(shown.values.number("practice_task"))
    if shown.task is None:
        return f"Task {task}: enter your number in the class."
    return f"Task {task}, number {shown.task[1]}: your bolt is {shown.number}, {level_words(shown.level)}."


def result(shown: PracticeInputs, lessons: tuple[str, ...] = ()) -> TaskResult:
    """What came of it, and of its lessons."""
    task, student = shown.task or (1, 1)
    ends = truth.chosen(shown) if shown.stands == "inside" else None
    inner, outer = ("none", "none") if ends is None else tuple(map(_outcome, ends))
    return TaskResult(shown.level, task, student, shown.stands == shown.bolt.stands, inner, outer, lessons)


def _outcome(end: ChosenEnd) -> str:
    if end.past:
        return "past"
    return "inside" if end.enough else "near"


# For the instructor


def _said(shown: PracticeInputs) -> tuple[str, str]:
    """What a code says, and the mark of the line."""
    entry = shown.values.record.entries.get("practice_code")
    if entry is None or not entry.typed.strip():
        return "", "plain"
    try:
        told = read_code(entry.typed)
    except TaskCodeError as error:
        return str(error), "stop"
    where = "rightly said where it was" if told.right else "wrongly said where it was"
    bolt = bolt_number(told.task, told.student)
    ends = f"; from: {ENDS[told.inner]}, to: {ENDS[told.outer]}" if told.inner != "none" else ""
    words = f"Task {told.task}, number {told.student}, {level_words(told.level)}, bolt {bolt}: {where}{ends}."
    good = told.right and {told.inner, told.outer} <= {"inside", "none"} and "open" not in told.lessons
    return f"{words}{_said_of_lessons(told.lessons)}", "go" if good else "ask"


def _said_of_lessons(stands: tuple[str, ...]) -> str:
    """What a code says of its lessons: one short sentence each."""
    said = [
        f" Lesson {number}: {LESSONS_SAID[stand]}." for number, stand in enumerate(stands, 1) if stand in LESSONS_SAID
    ]
    return "".join(said)


def key(shown: PracticeInputs) -> Table:
    """Each student's bolt and the right answer, counted from a careful zero."""
    task = round(shown.values.number("practice_task"))
    rows = []
    for student in range(1, round(shown.values.number("practice_class")) + 1):
        number = bolt_number(task, student)
        bolt = practice.made_up_bolt(number, shown.level)
        rows.append(
            (
                str(student),
                str(number),
                truth.STANDS[bolt.stands],
                fixed(bolt.found - bolt.inner, 2),
                fixed(bolt.touch - bolt.inner, 2),
            )
        )
    return Table(
        "answer-key",
        f"Answer key of task {task}, {level_words(shown.level)}",
        ("number", "bolt", "it is found", "from its inner end", "first touch from there"),
        tuple(rows),
        "Turns from true flush, or from the stop. A careful zero by paper lies up to half a turn out from there.",
    )


def link(shown: PracticeInputs) -> list[Block]:
    """The address that sets this task, and its code to scan; nothing where it is not known where the site lies."""
    site = shown.values.address
    if not site:
        return []
    task = round(shown.values.number("practice_task"))
    address = f"{site}practice/?task={task}&level={shown.level}"
    if shown.lessons:
        # The lessons stand first: of a link that was cut anywhere something is missing then.
        named, check = ",".join(map(str, shown.lessons)), link_check(shown.level, task, shown.lessons)
        address = f"{site}practice/?lessons={named}&task={task}&level={shown.level}&check={check}"
    line = Line("task-address", f"Link to this task: {address}")
    try:
        return [line, Drawing(_picture(address, task), f"Opens task {task}, {level_words(shown.level)}.")]
    except qr.NoCode:
        return [line]


def _picture(address: str, task: int) -> Picture:
    words = f"A code that opens task {task}"
    ground = svg.rect(0, 0, SIDE, SIDE, class_="qt-card-white")
    squares = qr.drawn(
        qr.code(address, MOST_MODULES), 0, 0, SIDE, class_="qt-card-code", id=f"{NAME}-task-code-squares"
    )
    return svg.picture("task-code", words, f"{words}.", SIDE, SIDE, [ground, squares], prefix=f"{NAME}-task-code")
