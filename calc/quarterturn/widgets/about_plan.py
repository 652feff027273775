"""What the pages that plan a change and carry it out share: what is wanted, what was read, and the way in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from quarterturn import days, units
from quarterturn.bench.bow_asked import BowAsked, Pair, as_it_is
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.course import WHAT, Checked, Course, Foretold, Read, course_of
from quarterturn.bench.log import Entry, log_of
from quarterturn.bench.plan import NoPlan, Plan, Step, Wish, find, steps_to, way
from quarterturn.numbers import fixed, quarters, same
from quarterturn.record.fields import BOLTS
from quarterturn.record.reading import Values
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import words
from quarterturn.widgets.about_bow import About
from quarterturn.widgets.answer import Group, Points
from quarterturn.widgets.gate import closed

WANTED = Group(
    "wanted",
    "What you want",
    "What you leave empty stays as it is.",
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
A_LITTLE = 2e-3
"""Of draw, m, over which the force's growth is taken."""
UNUSUAL_TILLER = 0.010
"""More than this, m, is more than archers use as a rule (our own measure)."""
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

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The way to the best pair, with what to expect: slow at first."""
        return () if self.plan is None else way(self.course, self.plan.best.turns)

    @cached_property
    def checks(self) -> tuple[Checked, ...]:
        """Every reading of the course, held against what had been foretold; none of a bow that is not the reader's."""
        return self.course.checks() if self.own else ()

    @property
    def own(self) -> bool:
        """Whether the bow is the reader's, so that a reading can be held against what is foretold."""
        return not self.bow.missing

    @property
    def may_turn(self) -> bool:
        """Whether steps may be listed: nothing speaks against turning the bolts."""
        return closed(self.values) is None

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
    course = course_of(bow, reads(values, bow), read_to(bow), values.choice("foretell_by"))
    wish = wished(values, course)
    try:
        plan = find(bow, course, wish)
    except NoPlan as error:
        return Planned(shown, course, wish, alone, None, str(error))
    return Planned(shown, course, wish, alone, plan, "")


def read_to(bow: BowAsked) -> dict[str, float]:
    """How near each thing is read, half-widths: a weighing by scale and mark, tiller by the difference of two."""
    values = bow.values
    tape = values.number("tape_step")
    weighed = math.hypot(values.number("scale_step"), _slope(bow) * values.number("draw_step"))
    return {"weight": weighed, "tiller": 2**0.5 * tape, "brace_height": tape}


def _slope(bow: BowAsked) -> float:
    """How the force grows about the reader's own draw length, N/m; 0 where the bow cannot be drawn a little less."""
    try:
        here, before = (as_it_is(bow.setup, bow.draw - back).drawn.force for back in (0.0, A_LITTLE))
    except FitError:
        return 0.0
    return (here - before) / A_LITTLE


def reads(values: Values, bow: BowAsked) -> tuple[Read, ...]:
    """The log's entries by date, those of one day in the order of the table; a bolt stands where it was last written.

    Where nothing has been written yet it stands where the worksheet has it. An entry of a date alone tells nothing.
    """
    entries = [entry for entry in log_of(values).entries if not entry.is_bare]
    found = []
    for entry in entries:
        upper, lower = (
            place if there is None else there for there, place in zip(entry.stands, bow.setup.now, strict=True)
        )
        found.append(Read((upper, lower), entry.weight, entry.tiller, entry.brace_height, _label(entry, entries)))
    return tuple(found)


def _label(entry: Entry, entries: list[Entry]) -> str:
    """The entry's date, with its number where another has the same date."""
    alike = sum(1 for other in entries if other.day == entry.day)
    return days.written(entry.day) + (f", entry {entry.number}" if alike > 1 else "")


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
    found = said.warnings(planned.about)
    if not all(map(same, planned.course.now.turns, planned.bow.setup.now)):
        upper, lower = planned.course.now.turns
        sentence = (
            f"The newest entry of your log counts ({planned.course.now.label}): the upper bolt {said.position(upper)}, "
            f"the lower one {said.position(lower)}. The worksheet has them where they stood when the bow was measured."
        )
        found.append(Points("by-log", "Where the bolts stand, by your log", (sentence,)))
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
