"""What is said of the answers to a lesson, and how far a lesson has come: on its own page, and in a task."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn import units
from quarterturn.bench.judgement import Judgement
from quarterturn.numbers import fixed
from quarterturn.record.entries import Entry, Record
from quarterturn.record.field_types import ChoiceField, NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Entries, Line, Stage, Way
from quarterturn.widgets.lesson_content import LESSONS, Lesson, NoNumber, RightNumber

NOT_HERE = "With the numbers of your bow there is no answer here. Open another bow, or a new one, and look again."
FIRST = "lesson_first"
CLOSE = 3.0
"""So many times as near as a right number, a wrong one is told to be close."""


@dataclass(frozen=True, slots=True)
class LessonProgress:
    """How far a lesson has come, by what stands in the record now.

    Attributes:
        predicted: the words of the prediction; "" before it is made.
        right: whether it is the right one.
        read: the number in its unit; "" before there is one.
        done: whether the prediction is made and the number, where one is asked for, is right.
    """

    predicted: str
    right: bool
    read: str
    done: bool


def progress(one: Lesson, values: Values, bow: Values | None) -> LessonProgress:
    """How far a lesson has come."""
    predicted, number = words_of(one, values), values.optional(one.answer) if one.number else None
    lines = number_lines(one, values, bow)
    # Without a bow that is worked with there is no telling whether anything is right.
    finished = bow is not None if one.number is None else any(line.mark == "go" for line in lines)
    return LessonProgress(
        predicted,
        bool(predicted) and is_right(one, values, bow),
        "" if number is None else told(number, values.record.entries[one.answer].unit),
        bool(predicted) and finished,
    )


def words_of(one: Lesson, values: Values) -> str:
    """The prediction that counts, in words; "" while none is made."""
    return label(one, committed(one, values)) if values.entered(one.question) else ""


def committed(one: Lesson, values: Values) -> str:
    """The prediction that counts: what was said first. The box may be changed once the answer is seen."""
    return first_predictions(values).get(one.key) or values.choice(one.question)


def first_predictions(values: Values) -> dict[str, str]:
    """What was said first to each lesson's question, by the lesson's key, as the page keeps it."""
    entry = values.record.entries.get(FIRST)
    pairs = (part.partition("=") for part in (entry.typed if entry is not None else "").split())
    return {key: said for key, _, said in pairs if said in _answers(key)}


def _answers(key: str) -> tuple[str, ...]:
    """What can be said to a lesson's question; nothing where there is no such lesson."""
    field = next((BY_NAME[one.question] for one in LESSONS if one.key == key), None)
    return tuple(option.value for option in field.options) if isinstance(field, ChoiceField) else ()


def keeps_first(values: Values) -> Entries:
    """What the page keeps of predictions that were just made for the first time; nothing where there are none."""
    kept = first_predictions(values)
    new = {one.key: values.choice(one.question) for one in LESSONS if values.entered(one.question)} | kept
    return () if new == kept else ((FIRST, Entry(" ".join(f"{key}={said}" for key, said in new.items()))),)


def label(one: Lesson, value: str) -> str:
    """An answer to a lesson's question, in words."""
    field = BY_NAME[one.question]
    return field.label_of(value) if isinstance(field, ChoiceField) else value


def known_bow(values: Values, judgement: Judgement) -> Values | None:
    """The bow that lessons work with: in a task with lessons the student's own made-up one, else the one that is open.

    Of one that must not be strung nothing is worked out, here as on every page.
    """
    made_up = bow_of_task(values)
    if made_up is not None:
        return Values(Record(dict(made_up)), today=values.today, system=values.system)
    return values if judgement.predicts else None


def bow_of_task(values: Values) -> tuple[tuple[str, Entry], ...] | None:
    """The student's made-up bow; None without a task that has lessons, or before the number in the class is entered."""
    asked = ("practice_task", "practice_student", "practice_lessons")
    if not all(map(values.entered, asked)) or values.problems_in(asked):
        return None
    task, student = (values.number(name) for name in asked[:2])
    if not (task.is_integer() and student.is_integer()):
        return None
    from quarterturn.bench.practice_bow import made_up_bow

    return made_up_bow(round(task), round(student))


def way_to_the_bow(values: Values) -> Way | None:
    """Where the student's made-up bow is opened, and whether it is; None where there is none."""
    made_up = bow_of_task(values)
    if made_up is None:
        return None
    from quarterturn.record import link

    is_open = all(values.record.entries.get(name) == entry for name, entry in made_up)
    stage = Stage(
        "Your made-up bow is open" if is_open else "Open your made-up bow",
        "lessons",
        link.fragment(Record(dict(made_up))),
        "done" if is_open else "next",
        "" if is_open else "The task’s lessons ask for its numbers, not for those of the bow that is open now.",
    )
    return Way("task-bow", f"Lessons of task {round(values.number('practice_task'))}", (stage,))


def why(one: Lesson, values: Values, bow: Values | None) -> tuple[str, str]:
    """What is said of a prediction, and its mark; nothing before it is made. Without a bow nothing is worked out."""
    if not values.entered(one.question):
        return "", "plain"
    try:
        answer, because = one.right(_known(bow)), one.why(_known(bow))
    except NoNumber:
        return NOT_HERE, "ask"
    right, said = label(one, answer), committed(one, values)
    if said != values.choice(one.question):
        because = f"{because} What you said first counts: “{label(one, said)}”."
    if said == answer:
        return f"Yes: {right}. {because}", "go"
    return f"No: {right}. {because}", "ask"


def _known(bow: Values | None) -> Values:
    """The bow that is worked with.

    Raises:
        NoNumber: nothing is worked out of it.
    """
    if bow is None:
        raise NoNumber
    return bow


def is_right(one: Lesson, values: Values, bow: Values | None) -> bool:
    """Whether the prediction that stands there is the right one."""
    try:
        return committed(one, values) == one.right(_known(bow))
    except NoNumber:
        return False


def number_lines(one: Lesson, values: Values, bow: Values | None) -> tuple[Line, ...]:
    """What is said of a number; one line where one is asked for."""
    if one.number is None:
        return ()
    name, entered = f"tell-{one.key}", values.optional(one.answer)
    if entered is None:
        return (Line(name, ""),)
    try:
        return (Line(name, *_held(entered, one.number(_known(bow)), values.record.entries[one.answer].unit)),)
    except NoNumber:
        return (Line(name, NOT_HERE, "ask"),)


def _held(entered: float, right: RightNumber, unit: str) -> tuple[str, str]:
    """A number against the right one: right, a slip that is known, close, or not."""
    off = abs(entered - right.value)
    if off <= right.within:
        return f"Right: {told(right.value, unit)}.", "go"
    nearest = min(right.slips, key=lambda slip: abs(slip.value - entered), default=None)
    if nearest is not None and abs(nearest.value - entered) <= min(right.within, off / 2):
        return nearest.sentence, "ask"
    if off <= CLOSE * right.within:
        return "Close. Read it once more, to the last digit.", "ask"
    return "Not yet. Go through the steps above once more, and mind the unit.", "ask"


def unit_of(one: Lesson) -> str:
    """The unit that a lesson's number is asked in, where no other is chosen; "" where it asks for none."""
    field = BY_NAME.get(one.answer)
    return field.unit if isinstance(field, NumberField) else ""


def told(value: float, unit: str) -> str:
    """A number of a lesson, SI or turns, in a unit of its field: "0.42 turn", "0.016 in"."""
    if unit == "turn":
        return f"{fixed(value, 2)} {words.turn_word(value)}"
    known = units.unit(unit)
    return f"{fixed(units.from_si(value, known.name), 3 if known.name == 'in' else 2)} {known.symbol}"
