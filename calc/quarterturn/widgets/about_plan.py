"""What the pages that plan a change and carry it out share: what is wanted, what was read, and the way in words."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn import units
from quarterturn.bench.bow_asked import BowAsked, Pair
from quarterturn.bench.course import Course, Foretold, Read, course_of
from quarterturn.bench.plan import NoPlan, Plan, Step, Wish, find, steps_to, way
from quarterturn.numbers import fixed, quarters, same
from quarterturn.record.fields import BOLTS
from quarterturn.record.reading import Values
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import words
from quarterturn.widgets.about_bow import About
from quarterturn.widgets.answer import Group, Points

WANTED = Group(
    "wanted",
    "What you want",
    "What you leave empty stays as it is.",
    ("wanted_weight", "wanted_tiller", "tiller_worth"),
)
PLANNED = (
    "The best pair is the best by what is foretold, and no better than that. What you measure after each step counts.",
    "Only pairs a quarter of a turn apart, from where the bolts stand, inside both windows.",
)
NAMED = {"weight": "Draw weight", "tiller": "Tiller", "brace_height": "Brace height"}
BY = {
    "bow": "by the computed bow",
    "readings": "by your own two settings",
    "both": "by the computed bow and your own settings, each as far as it is sure",
}


@dataclass(frozen=True, slots=True)
class Planned:
    """A bow, the course of its readings, what is wanted of it and what comes of that.

    Attributes:
        alone: whether there are windows and no readings of the bow: a plan in turns alone.
        plan: None where there is none.
        why_not: why not, a sentence; "" where there is one.
    """

    about: About
    course: Course
    wish: Wish
    alone: bool
    plan: Plan | None
    why_not: str

    @property
    def left(self) -> int:
        """So many steps lead to the best pair."""
        return 0 if self.plan is None else steps_to(self.course.now.turns, self.plan.best.turns)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The way to the best pair, with what to expect: slow at first."""
        return () if self.plan is None else way(self.course, self.plan.best.turns)

    @property
    def bow(self) -> BowAsked:
        """The bow that was asked about."""
        return self.about.bow

    @property
    def values(self) -> Values:
        """The record's values."""
        return self.about.values


def planned(shown: About) -> Planned:
    """Find the plan for what a record asks; it refuses nothing."""
    values, bow = shown.values, shown.bow
    alone = bool(bow.missing) and not bow.window_missing
    course = course_of(bow, reads(values, bow), read_to(values), values.choice("foretell_by"))
    wish = wished(values, course)
    try:
        plan = find(bow, course, wish)
    except NoPlan as error:
        return Planned(shown, course, wish, alone, None, str(error))
    return Planned(shown, course, wish, alone, plan, "")


def read_to(values: Values) -> dict[str, float]:
    """How near each thing is read, half-widths: tiller is the difference of two readings."""
    tape = values.number("tape_step")
    return {"weight": values.number("scale_step"), "tiller": 2**0.5 * tape, "brace_height": tape}


def reads(values: Values, bow: BowAsked) -> tuple[Read, ...]:
    """The rows of the log that tell where both bolts stood, in the order of their dates."""
    found = []
    for row in sorted(values.rows("log"), key=lambda row: str(row["date"])):
        upper, lower = row.get("upper_at"), row.get("lower_at")
        if upper is None or lower is None:
            continue
        tillers = row.get("upper_tiller"), row.get("lower_tiller")
        tiller = None if tillers[0] is None or tillers[1] is None else tillers[0] - tillers[1]
        found.append(Read((upper, lower), row.get("weight"), tiller, row.get("brace_height"), str(row["date"])))
    return tuple(found)


def wished(values: Values, course: Course) -> Wish:
    """What is wanted; what was left empty, as it is now."""
    weight, tiller = values.optional("wanted_weight"), values.optional("wanted_tiller")
    return Wish(
        course.value("weight") if weight is None else weight,
        course.value("tiller") if tiller is None else tiller,
        values.number("tiller_worth") / units.to_si(1.0, "lbf"),
    )


# In words


def weight(one: Foretold, planned: Planned) -> str:
    """A foretold draw weight with its doubt."""
    return _with(one, said.force_unit(planned.values), 1)


def span(one: Foretold, planned: Planned) -> str:
    """A foretold length with its doubt."""
    unit = planned.about.unit
    return _with(one, unit, 1 if unit == "mm" else 3)


def _with(one: Foretold, unit: str, decimals: int) -> str:
    value, doubt = (fixed(units.from_si(each, unit), decimals) for each in (one.value, one.expanded))
    return f"{value} ±\u00a0{doubt} {units.unit(unit).symbol}"


def by_key(turns: float) -> str:
    """So many turns as the key makes them."""
    size = abs(turns)
    if same(size, 0.5):
        return "half a turn: the key goes half way round"
    if same(size, 0.25):
        return "a quarter of a turn: the key goes a quarter of the way round"
    return f"{words.turns(size)}"


def turning(change: Pair) -> str:
    """What is turned in one step, as the hand does it."""
    parts = [
        f"the {bolt} bolt {words.direction(each)} by {by_key(each)}"
        for bolt, each in zip(BOLTS, change, strict=True)
        if not same(each, 0.0)
    ]
    return "; ".join(parts)


def change(turns: Pair) -> str:
    """A change of both bolts in a few words."""
    if all(same(each, 0.0) for each in turns):
        return "as they stand"
    parts = [
        f"{bolt} {'out' if each > 0 else 'in'} {quarters(abs(each))}" if not same(each, 0.0) else f"{bolt} as it is"
        for bolt, each in zip(BOLTS, turns, strict=True)
    ]
    return ", ".join(parts)


def expected(step: Step, planned: Planned) -> str:
    """What should be read after a step, and within what."""
    return (
        f"{weight(step.weight, planned)} at {said.own_draw(planned.values)}, tiller {span(step.tiller, planned)}, "
        f"brace height {span(step.brace_height, planned)}"
    )


BEFORE = (
    "Read the maker's manual for what it permits. Note where both witness marks stand, and measure once more as it is.",
)


def in_words(step: Step, place: int, count: int, planned: Planned) -> str:
    """One step, all of it: nothing is left for another page to say."""
    return (
        f"Step {place} of {count}. String off, with the stringer. Back the lock off. Turn {turning(step.change)}. "
        "Press the limbs into their seats. Lock. String it with the stringer. Look at both loops, and along the limbs "
        "and the string. Draw it part of the way three times, and let it down: never let go. Then measure. Expect "
        f"{expected(step, planned)}. Another reading: recount, or stop and look."
    )


def warned(planned: Planned) -> list[Points]:
    """What must be known before the plan is read."""
    return said.warnings(planned.about)
