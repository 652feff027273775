"""Eight lessons: a prediction that is made first, why it is so, and a number to read from the calculators."""

from __future__ import annotations

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, Group, Line, Offer, Refusal, Stage, State
from quarterturn.widgets.explanation import assumptions, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.lesson_content import LESSONS
from quarterturn.widgets.lesson_marks import (
    FIRST,
    bow_of_task,
    is_right,
    keeps_first,
    known_bow,
    number_lines,
    way_to_the_bow,
    why,
)

NAME = "lessons"
GROUPS = (
    *(
        Group(one.key, one.title, "", (one.question, *((one.answer,) if one.number is not None else ())))
        for one in LESSONS
    ),
    Group("kept", "Kept by the page", "", (FIRST,), folded=True),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show what the lessons have come to.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    bow = known_bow(values, judgement)
    way = way_to_the_bow(values)
    told: list[Block] = [] if way is None else [way]
    for one in LESSONS:
        told += [Line(f"why-{one.key}", *why(one, values, bow)), *number_lines(one, values, bow)]
    if any(map(values.entered, ASKED)) and bow_of_task(values) is None:
        told.append(_anew())
    said = sum(1 for one in LESSONS if values.entered(one.question))
    right = sum(1 for one in LESSONS if values.entered(one.question) and is_right(one, values, bow))
    left = [one.title for one in LESSONS if not values.entered(one.question)]
    title = f"{said} of {len(LESSONS)} predictions made, {right} of them right"
    ahead = f"Next: {words.lower(left[0])}." if left else "Now try it by feel, on the practice bench."
    return Answer(
        *(NAME, State.EXPLAIN, title, ahead, f"{title}.", tuple(told)),
        "Lessons",
        headline=f"{title}. {ahead}" if said else "",
        keeps=keeps_first(values),
        line=f"{said} of {len(LESSONS)} predictions",
    )


def _anew() -> Offer:
    """In a task there is no such button: there the first prediction counts."""
    text = "It clears what you said and read."
    return Offer("anew", "Once more?", text, "Begin the lessons anew", tuple((name, None) for name in ASKED))


TOLD = tuple(f"why-{one.key}" for one in LESSONS) + tuple(f"tell-{one.key}" for one in LESSONS if one.number)
WIDGET = Widget(
    name=NAME,
    title="Eight lessons",
    groups=GROUPS,
    work=work,
    facts=frozenset((*TOLD, "task-bow", "anew")),
    blocks=frozenset(("task-bow", "anew")),
    explains=True,
    of_no_bow=True,
    notes=(
        assumptions(
            "The numbers are of the bow that is open: the made-up example, until one is entered.",
            "In a task with lessons they are of your made-up bow of that task, whatever is open.",
        ),
        sources("statics", "common-practice"),
    ),
    next=(Stage("The practice bench", "practice", "", "read"),),
    sheet="the lessons",
)
