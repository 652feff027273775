"""Eight lessons: a prediction that is made first, why it is so, and a number to read from the calculators."""

from __future__ import annotations

from quarterturn.bench.judgement import Judgement
from quarterturn.numbers import fixed
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.units import from_si
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, Group, Line, Refusal, Stage, State
from quarterturn.widgets.explanation import assumptions, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.lessons.content import LESSONS, Lesson, NoNumber, RightNumber

NAME = "lessons"
GROUPS = tuple(
    Group(one.key, one.title, "", (one.question, *((one.answer,) if one.number is not None else ()))) for one in LESSONS
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
UNITS = {"mm": "mm", "lb": "lbf"}
NOT_HERE = "With the numbers of your bow there is no answer here. Open another bow, or a new one, and look again."
CLOSE = 3.0
"""So many times as near as a right number, a wrong one is told to be close."""


def work(values: Values, judgement: Judgement) -> Answer:
    """Show what the lessons have come to.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    # Of a bow that must not be strung nothing is worked out, here as on every page.
    bow = values if judgement.predicts else None
    told: list[Block] = []
    for one in LESSONS:
        told += [Line(f"why-{one.key}", *_why(one, values, bow)), *_numbers(one, values, bow)]
    said = sum(1 for one in LESSONS if values.entered(one.question))
    right = sum(1 for one in LESSONS if values.entered(one.question) and _is_right(one, values, bow))
    left = [one.title for one in LESSONS if not values.entered(one.question)]
    title = f"{said} of {len(LESSONS)} predictions made, {right} of them right"
    ahead = f"Next: {words.lower(left[0])}." if left else "Now try it by feel, on the practice bench."
    return Answer(
        *(NAME, State.EXPLAIN, title, ahead, f"{title}.", tuple(told)),
        "Lessons",
        headline=f"{title}. {ahead}" if said else "",
        line=f"{said} of {len(LESSONS)} predictions",
    )


def _why(one: Lesson, values: Values, bow: Values | None) -> tuple[str, str]:
    """What is said of a prediction, and its mark; nothing before it is made."""
    if not values.entered(one.question):
        return "", "plain"
    field = BY_NAME[one.question]
    try:
        answer, why = one.right(_known(bow)), one.why(_known(bow))
    except NoNumber:
        return NOT_HERE, "ask"
    right = field.label_of(answer) if isinstance(field, ChoiceField) else answer
    if values.choice(one.question) == answer:
        return f"Yes: {right}. {why}", "go"
    return f"No: {right}. {why}", "ask"


def _known(bow: Values | None) -> Values:
    """The bow that is worked with.

    Raises:
        NoNumber: nothing is worked out of it.
    """
    if bow is None:
        raise NoNumber
    return bow


def _is_right(one: Lesson, values: Values, bow: Values | None) -> bool:
    try:
        return values.choice(one.question) == one.right(_known(bow))
    except NoNumber:
        return False


def _numbers(one: Lesson, values: Values, bow: Values | None) -> tuple[Line, ...]:
    """What is said of a number; one line where one is asked for."""
    if one.number is None:
        return ()
    name, entered = f"tell-{one.key}", values.optional(one.answer)
    if entered is None:
        return (Line(name, ""),)
    try:
        return (Line(name, *_held(entered, one.number(_known(bow)), one.unit)),)
    except NoNumber:
        return (Line(name, NOT_HERE, "ask"),)


def _held(entered: float, right: RightNumber, unit: str) -> tuple[str, str]:
    """A number against the right one: right, a slip that is known, close, or not."""
    off = abs(entered - right.value)
    if off <= right.within:
        return f"Right: {_told(right.value, unit)}.", "go"
    nearest = min(right.slips, key=lambda slip: abs(slip.value - entered), default=None)
    if nearest is not None and abs(nearest.value - entered) <= min(right.within, off / 2):
        return nearest.sentence, "ask"
    if off <= CLOSE * right.within:
        return "Close. Read it once more, to the last digit.", "ask"
    return "Not yet. Go through the steps above once more, and mind the unit.", "ask"


def _told(value: float, unit: str) -> str:
    if unit == "turn":
        return f"{fixed(value, 2)} {words.turn_word(value)}"
    return f"{fixed(from_si(value, UNITS[unit]), 2)} {unit}"


TOLD = tuple(f"why-{one.key}" for one in LESSONS) + tuple(f"tell-{one.key}" for one in LESSONS if one.number)
WIDGET = Widget(
    name=NAME,
    title="Eight lessons",
    groups=GROUPS,
    work=work,
    facts=frozenset(TOLD),
    explains=True,
    of_no_bow=True,
    notes=(
        assumptions("The numbers are of the bow that is open: the made-up example, until one is entered."),
        sources("statics", "common-practice"),
    ),
    next=(Stage("The practice bench", "practice", "", "read"),),
    sheet="the lessons",
)
