"""A plan for the reader's bow: what is wanted, what was read, the pair that comes of it; and what the page keeps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from quarterturn import days, units
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.course import Course, PredictionCheck
from quarterturn.bench.events import times_set_anew
from quarterturn.bench.history import history
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.plan import NoPlan, Plan, Wish, go_on
from quarterturn.bench.way import Step, steps_of
from quarterturn.numbers import plain
from quarterturn.record.entries import Entry
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets import bow_wording, turn_prediction
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Entries, Offer
from quarterturn.widgets.explanation import Explanation, explain
from quarterturn.widgets.plan_form import PLAN_KEPT
from quarterturn.widgets.turn_prediction import TurnPrediction

PLAN_ASSUMED = (
    "The nearest setting is only as good as the predictions. What you measure after each step counts.",
    "Only settings a quarter of a turn apart are looked at, from where the bolts are, inside both safe ranges.",
)


@dataclass(frozen=True)
class PlannedChange:
    """A bow, the course of its readings, what is wanted of it and what comes of that.

    Attributes:
        alone: whether there are windows and no readings of the bow: a plan in turns alone.
        plan: None where there is none.
        why_not: why not, a sentence; "" where there is one.
        turns: whether steps are told.
    """

    prediction: TurnPrediction
    course: Course
    wish: Wish
    alone: bool
    plan: Plan | None
    why_not: str
    turns: bool

    @property
    def left(self) -> int:
        """So many steps lead to the best pair."""
        return 0 if self.plan is None else len(self.plan.way)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The way to the best pair, with what to expect: slow at first."""
        return () if self.plan is None else steps_of(self.course, self.plan.way)

    @cached_property
    def checks(self) -> tuple[PredictionCheck, ...]:
        """Every reading of the course, held against what had been foretold; none of a bow that is not the reader's."""
        return self.course.checks() if self.own else ()

    @property
    def own(self) -> bool:
        """Whether the bow is the reader's, so that a reading can be held against what is foretold."""
        return not self.bow.missing

    @property
    def bow(self) -> BowInputs:
        """The bow that was asked about."""
        return self.prediction.bow

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.prediction.values


def plan_change(shown: TurnPrediction, judgement: Judgement) -> PlannedChange:
    """Find the plan for what a record asks, where the judgement lets one be told; it refuses nothing."""
    bow = shown.bow
    alone = bool(bow.missing) and not bow.window_missing and bow.windows is not None
    course = history(bow)
    wish = wished(shown.values, course)
    if not judgement.predicts:
        return PlannedChange(shown, course, wish, alone, None, "There is no plan until what is open is settled.", False)
    try:
        plan = go_on(bow, course, wish)
    except NoPlan as error:
        return PlannedChange(shown, course, wish, alone, None, str(error), judgement.turns)
    return PlannedChange(shown, course, wish, alone, plan, "", judgement.turns)


def wished(values: Values, course: Course) -> Wish:
    """What is wanted. An empty wish means the value when the plan was made, and never follows the readings since."""
    weight, tiller = values.optional("wanted_weight"), values.optional("wanted_tiller")
    start = course if weight is None and tiller is None else _when_planned(values, course)
    # A tiller from before the line of the limbs was set anew is no wish for one from after.
    of_line = course if _line_anew(values, course) else start
    return Wish(
        _or(weight, values.optional("planned_weight") if start is not course else None, start.value("weight")),
        _or(tiller, values.optional("planned_tiller") if of_line is not course else None, of_line.value("tiller")),
        values.number("tiller_worth") / units.to_si(1.0, "lbf"),
    )


def _line_anew(values: Values, course: Course) -> bool:
    return times_set_anew(values.day("planned_on") or 0, course.line_days) != len(course.line_days)


def _or(*found: float | None) -> float:
    return next(each for each in found if each is not None)


def _when_planned(values: Values, course: Course) -> Course:
    """The settings that had been read when the plan was made; the record's own alone where its day is not known."""
    day = values.day("planned_on")
    return replace(course, reads=tuple(one for one in course.reads if one.day <= (day or 0)))


def explain_plan(
    name: str,
    shown: PlannedChange,
    title: str,
    sentence: str,
    badge: str,
    parts: list[Block | DeferredBlock],
    line: str = "",
) -> Answer:
    """The answer of a page on a plan, which keeps the plan; without readings of the bow it is no example's."""
    explanation = Explanation(
        title=title,
        sentence=sentence,
        parts=tuple(parts),
        example=shown.prediction.example and not shown.alone,
        badge=badge,
        made_up=turn_prediction.made_up(shown.prediction),
        searched=7,
        line=line,
    )
    return replace(explain(name, explanation), keeps=keeps(shown))


def keeps(shown: PlannedChange) -> Entries:
    """What the page keeps of a plan that is made; and that of a plan that is given up, emptied."""
    values = shown.values
    if not _wants(values):
        return tuple((name, None) for name in PLAN_KEPT if name in values.record.entries)
    known = all(values.entered(name) for name in PLAN_KEPT)
    if known or not shown.own or values.day("planned_on") is None:
        return ()
    return plan_entries(shown, _when_planned(values, shown.course), values.day("planned_on") or 0)


def _wants(values: Values) -> bool:
    return values.entered("wanted_weight") or values.entered("wanted_tiller")


def plan_entries(shown: PlannedChange, course: Course, day: int) -> Entries:
    """The entries that keep a plan: its day, and draw weight, tiller and places of the bolts by these readings."""
    weight, unit = bow_wording.force_unit(shown.values), shown.prediction.unit
    return (
        ("planned_on", Entry(days.isoformat(day))),
        ("planned_weight", Entry(plain(units.from_si(course.value("weight"), weight), 2), weight)),
        ("planned_tiller", Entry(plain(units.from_si(course.value("tiller"), unit), 1 if unit == "mm" else 3), unit)),
        *(
            (f"planned_{bolt}", Entry(plain(place, 3), "turn"))
            for bolt, place in zip(BOLTS, course.now.turns, strict=True)
        ),
    )


def new_plan(shown: PlannedChange) -> list[Offer]:
    """A button that makes a new plan from what was read last; none where the plan is from there, or no day is told."""
    today = shown.values.today
    if today is None or not shown.own or not shown.values.entered("planned_on"):
        return []
    entries = plan_entries(shown, shown.course, today)
    if all(shown.values.record.entries.get(name) == entry for name, entry in entries[1:]):
        return []
    return [
        Offer(
            "new-plan",
            "This plan starts from where you made it",
            "An empty box means what was read when you made the plan. A new plan takes what was read last.",
            "Make a new plan",
            entries,
        )
    ]
