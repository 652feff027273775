"""What the pages that plan a change and carry it out share: what is wanted, what was read, and the way in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from quarterturn import days, units
from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT, Course, Prediction, PredictionCheck
from quarterturn.bench.history import history
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.plan import NoPlan, Plan, Step, Wish, find, steps_to, way
from quarterturn.numbers import fixed, plain, quarters, same
from quarterturn.record.entries import Entry
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import words
from quarterturn.widgets.about_bow import About
from quarterturn.widgets.answer import Entries, Group, Points

WANTED = Group(
    "wanted",
    "What you want",
    "An empty box means: as it was when the plan was made.",
    ("wanted_weight", "wanted_tiller"),
)
WORTH = Group("worth", "How much each counts", "", ("tiller_worth",))
NEAR = Group(
    "nearness",
    "How near you read, and what foretells",
    "It decides how sure the answer is, and by what it is found.",
    (*said.NEARNESS.fields, "foretell_by"),
    folded=True,
)
PLANNED = (
    "The best pair is the best by what is foretold, and no better than that. What you measure after each step counts.",
    "Only pairs a quarter of a turn apart, from where the bolts stand, inside both windows.",
)
PLAN_MADE = ("planned_on", "planned_weight", "planned_tiller")
"""When a plan was made, and what an empty wish means since."""
PLAN_KEPT = (*PLAN_MADE, "planned_upper", "planned_lower")
"""The fields that keep a plan."""
KEPT = Group(
    "kept",
    "When the plan was made",
    "It is filled in when you say what you want, so that readings never move the goal.",
    PLAN_KEPT,
    folded=True,
)
UNUSUAL_TILLER = 0.010
"""More than this, m, is more than archers use as a rule (our own measure)."""
GOES_ON = "The plan goes on from there, by what you read there."
NAMED = {"weight": "Draw weight", "tiller": "Tiller", "brace_height": "Brace height"}
BY = {
    "bow": "the computed bow",
    "readings": "your own settings",
    "both": "both",
}


@dataclass(frozen=True)
class Planned:
    """A bow, the course of its readings, what is wanted of it and what comes of that.

    Attributes:
        alone: whether there are windows and no readings of the bow: a plan in turns alone.
        plan: None where there is none.
        why_not: why not, a sentence; "" where there is one.
        turns: whether steps are told.
    """

    about: About
    course: Course
    wish: Wish
    alone: bool
    plan: Plan | None
    why_not: str
    turns: bool

    @property
    def left(self) -> int:
        """So many steps lead to the best pair."""
        return 0 if self.plan is None else steps_to(self.course.now.turns, self.plan.best.turns)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The way to the best pair, with what to expect: slow at first."""
        return () if self.plan is None else way(self.course, self.plan.best.turns)

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
        return self.about.bow

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.about.values


def planned(shown: About, judgement: Judgement) -> Planned:
    """Find the plan for what a record asks, where the judgement lets one be told; it refuses nothing."""
    bow = shown.bow
    alone = bool(bow.missing) and not bow.window_missing and bow.windows is not None
    course = history(bow)
    wish = wished(shown.values, course)
    if not judgement.predicts:
        return Planned(shown, course, wish, alone, None, "There is no plan until what is open is settled.", False)
    try:
        plan = find(bow, course, wish)
    except NoPlan as error:
        return Planned(shown, course, wish, alone, None, str(error), judgement.turns)
    return Planned(shown, course, wish, alone, plan, "", judgement.turns)


# What is wanted


def wished(values: Values, course: Course) -> Wish:
    """What is wanted. An empty wish means the value when the plan was made, and never follows the readings since."""
    weight, tiller = values.optional("wanted_weight"), values.optional("wanted_tiller")
    start = course if weight is None and tiller is None else _when_planned(values, course)
    return Wish(
        _or(weight, values.optional("planned_weight") if start is not course else None, start.value("weight")),
        _or(tiller, values.optional("planned_tiller") if start is not course else None, start.value("tiller")),
        values.number("tiller_worth") / units.to_si(1.0, "lbf"),
    )


def _or(*found: float | None) -> float:
    return next(each for each in found if each is not None)


def _when_planned(values: Values, course: Course) -> Course:
    """The settings that had been read when the plan was made; the record's own alone where its day is not known."""
    day = values.day("planned_on")
    return replace(course, reads=tuple(one for one in course.reads if one.day <= (day or 0)))


def keeps(shown: Planned) -> Entries:
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


def plan_entries(shown: Planned, course: Course, day: int) -> Entries:
    """The entries that keep a plan: its day, and draw weight, tiller and places of the bolts by these readings."""
    weight, unit = said.force_unit(shown.values), shown.about.unit
    return (
        ("planned_on", Entry(days.written(day))),
        ("planned_weight", Entry(plain(units.from_si(course.value("weight"), weight), 2), weight)),
        ("planned_tiller", Entry(plain(units.from_si(course.value("tiller"), unit), 1 if unit == "mm" else 3), unit)),
        *(
            (f"planned_{bolt}", Entry(plain(place, 3), "turn"))
            for bolt, place in zip(BOLTS, course.now.turns, strict=True)
        ),
    )


# In words


def weight(one: Prediction, planned: Planned) -> str:
    """A foretold draw weight with its doubt."""
    return _with(one, said.force_unit(planned.values), 1)


def span(one: Prediction, planned: Planned) -> str:
    """A foretold length with its doubt."""
    unit = planned.about.unit
    return _with(one, unit, 1 if unit == "mm" else 3)


def _with(one: Prediction, unit: str, decimals: int) -> str:
    value, doubt = (fixed(units.from_si(each, unit), decimals) for each in (one.value, one.expanded))
    return f"{value} ±\u00a0{doubt} {units.unit(unit).symbol}"


def by_key(turns: float) -> str:
    """So many turns as the key makes them."""
    size = abs(turns)
    if same(size, 0.5):
        return "half a turn: the key goes half way round"
    if same(size, 0.25):
        return "a quarter of a turn: the key goes a quarter of the way round"
    return words.turns(size)


def turning(change: Pair) -> str:
    """What is turned in one step, as the hand does it; the rest of a sentence after "turn"."""
    upper, lower = change
    if same(upper, lower):
        return f"both bolts {words.direction(upper)}, each by {by_key(upper)}"
    parts = [
        f"the {bolt} bolt {words.direction(each)} by {by_key(each)}"
        for bolt, each in zip(BOLTS, change, strict=True)
        if not same(each, 0.0)
    ]
    return "; ".join(parts)


def change(turns: Pair) -> str:
    """A change of both bolts in a few words."""
    upper, lower = turns
    if same(upper, 0.0) and same(lower, 0.0):
        return "as they stand"
    if same(upper, lower):
        return f"both {turned(upper)}"
    return ", ".join(f"{bolt} {turned(each)}" for bolt, each in zip(BOLTS, turns, strict=True))


def turned(turns: float) -> str:
    """How far a bolt is turned, and which way, in a word or two."""
    return "as it is" if same(turns, 0.0) else f"{'out' if turns > 0 else 'in'} {quarters(abs(turns))}"


def expected(step: Step, planned: Planned) -> str:
    """What should be read after a step, and within what."""
    return (
        f"{weight(step.weight, planned)} at {said.own_draw(planned.values)}, tiller {span(step.tiller, planned)}, "
        f"brace height {span(step.brace_height, planned)}"
    )


def in_words(step: Step, planned: Planned) -> str:
    """One step of a plan: what is turned, and what to expect."""
    return (
        f"String off. Turn {turning(step.change)}. Lock, string, look, draw part of the way, measure. Expect "
        f"{expected(step, planned)}. Another reading: recount, or stop and look."
    )


OFF = "String off, with the stringer."
LOCK_OFF = "Back off the lock of each bolt that is turned."
SEAT = "Press the limbs into their seats."
LOCK = "Lock. The witness mark on each head must not move with it."
STRING = "String it with the stringer. Look at both loops, and along the limbs and the string."
PART_DRAWS = (
    "Draw it part of the way, three times, an arrow on the string and toward a clear target. Listen. Let down each "
    "time, and never let go."
)


def at_bench(turn: str, measure: str) -> tuple[str, ...]:
    """A step at the bench, from the stringer to the tape, with what is turned and what is measured."""
    return (OFF, LOCK_OFF, turn, SEAT, LOCK, STRING, PART_DRAWS, measure)


def title_of_steps(planned: Planned, title: str) -> str:
    """The title of a list of steps; it says where the bow is not the reader's own."""
    return f"{title}, of a made-up bow: turn nothing by it" if planned.about.example else title


def warned(planned: Planned) -> list[Points]:
    """What must be known before the plan is read."""
    found = [*said.warnings(planned.about), *said.by_log(planned.about, GOES_ON)]
    told = [*_unfinished(planned), *_set_aside(planned)]
    if told:
        found.append(Points("log-told", "About your log", tuple(told), "caution"))
    wanted = planned.values.optional("wanted_tiller")
    if wanted is not None and abs(wanted) > UNUSUAL_TILLER:
        sentence = (
            f"Tiller of {said.length(wanted, planned.about.unit)} is more than archers use as a rule: a few "
            "millimetres (common practice, no source). Ask the maker's manual or a coach first."
        )
        found.append(Points("unusual", "That is much tiller", (sentence,), "caution"))
    return found


def _unfinished(planned: Planned) -> list[str]:
    return [problem.sentence for problem in planned.values.unfinished("log")]


def _set_aside(planned: Planned) -> list[str]:
    """Entries that count for nothing, and those that no turn explains."""
    told = [
        f"{one.label}: a bolt stands outside its window there, so nothing is foretold from it."
        for one in planned.course.beside
    ]
    if not planned.own:
        return told
    for what in WHAT:
        told += [
            f"{one.label}: no turn explains how {NAMED[what].lower()} changed. Something else has changed too, or it "
            "was read wrongly. What is foretold goes on from there."
            for one in planned.course.set_aside(what)
        ]
    return told
