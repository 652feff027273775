"""What the practice bench works with: the made-up bolt, the hand on it, the readings that were made."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench import practice
from quarterturn.bench.practice import Hand, LastTurn, MadeUpBolt, StripFeel
from quarterturn.numbers import plain, same
from quarterturn.record.entries import Entry, Problem
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Entries, Refusal
from quarterturn.widgets.practice.form import ASKED, MADE, OF_THIS_BOLT, SHOWN


@dataclass(frozen=True, slots=True)
class PracticeInputs:
    """Everything that is shown.

    Attributes:
        hand: as it is now.
        felt: what it feels.
        deepest: the least count of turns so far.
        zero, touch: the hands that made these readings; None while they have not been made.
        now_turns: where the bolt was found, counted from zero, positive outward; None while that is not entered.
        touch_turns: first touch, counted from zero; None likewise.
        inner, outer: the range that is chosen, counted from zero; None likewise.
        stands: where it is said to have been found; "" while that is not said.
        open: whether the truth is shown.
        lessons: the numbers of the task's lessons; none without a task.
    """

    values: Values
    number: int
    level: str
    bolt: MadeUpBolt
    hand: Hand
    felt: StripFeel
    deepest: float
    zero: Hand | None
    touch: Hand | None
    now_turns: float | None
    touch_turns: float | None
    inner: float | None
    outer: float | None
    stands: str
    open: bool
    lessons: tuple[int, ...]

    @property
    def in_sight(self) -> bool:
        """Whether the pocket is drawn open from the start."""
        return self.level == "sight"

    @property
    def counted_for(self) -> bool:
        """Whether the bench counts for the reader."""
        return self.level in ("sight", "paper")

    @property
    def begun(self) -> bool:
        """Whether anything was done with this bolt."""
        return any(self.values.entered(name) for name in OF_THIS_BOLT)

    @property
    def task(self) -> tuple[int, int] | None:
        """The task and the student's number; None without both."""
        if not (self.values.entered("practice_task") and self.values.entered("practice_student")):
            return None
        return round(self.values.number("practice_task")), round(self.values.number("practice_student"))

    @property
    def chosen(self) -> bool:
        """Whether an answer is given: a range, or that it is past an end."""
        has_range = self.inner is not None and self.outer is not None
        return self.stands in ("inner", "outer") or (self.stands == "inside" and has_range)

    def turns_from_zero(self, turned: float) -> float | None:
        """A place by the true count from the reading of zero; None while that has not been made."""
        if self.zero is None:
            return None
        return practice.key_of(self.bolt, turned) - practice.key_of(self.bolt, self.zero.turned)


def practice_inputs(values: Values) -> PracticeInputs:
    """Set the bench up from a record.

    Raises:
        Refusal: where an entry of this form cannot be used, or the range is none.
    """
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    if fractions := [name for name in WHOLE if not same(values.number(name), round(values.number(name)))]:
        raise Refusal(tuple(map(_not_whole, fractions)))
    number, level = _number(values), values.choice("practice_level")
    bolt = _made_up(number, level)
    hand = _hand(values, bolt)
    turned = practice.felt(bolt, hand).turned
    now, side = values.optional("practice_now_turns"), values.choice("practice_now_side")
    inner, outer = values.optional("practice_inner"), values.optional("practice_outer")
    if inner is not None and outer is not None and outer <= inner:
        raise Refusal((Problem("practice_outer", "I would use it to: it must be farther out than where it begins."),))
    return PracticeInputs(
        values=values,
        number=number,
        level=level,
        bolt=bolt,
        hand=hand,
        felt=practice.felt(bolt, hand),
        deepest=min(turned, values.optional("practice_deepest") or 0.0),
        zero=_made(values, "zero"),
        touch=_made(values, "touch"),
        now_turns=None if now is None else -now if side == "in" else now,
        touch_turns=values.optional("practice_touch_turns"),
        inner=inner,
        outer=outer,
        stands=values.choice("practice_stands") if values.entered("practice_stands") else "",
        open=values.choice(SHOWN) == "yes",
        lessons=_lessons(values),
    )


WHOLE = ("practice_bolt", "practice_task", "practice_student", "practice_class")


def _not_whole(name: str) -> Problem:
    field = BY_NAME[name]
    most = f"{field.high:.0f}" if isinstance(field, NumberField) else ""
    return Problem(name, f"{field.label}: it must be a whole number, 1 to {most}.")


def _number(values: Values) -> int:
    """Of the made-up bolt: the task's for this student, or the one that was chosen."""
    if values.entered("practice_task") and values.entered("practice_student"):
        from quarterturn.bench.practice_task import bolt_number

        return bolt_number(round(values.number("practice_task")), round(values.number("practice_student")))
    return round(values.number("practice_bolt"))


def _lessons(values: Values) -> tuple[int, ...]:
    """Of the task.

    Raises:
        Refusal: the text names no lessons.
    """
    text = values.choice("practice_lessons").strip()
    if not text:
        return ()
    from quarterturn.bench.practice_task import TaskLessonsError, lessons_of

    try:
        named = lessons_of(text)
    except TaskLessonsError:
        label = BY_NAME["practice_lessons"].label
        sentence = f"{label}: type numbers from 1 to 8 with commas between, such as 1, 3, 6."
        raise Refusal((Problem("practice_lessons", sentence),)) from None
    return named if values.entered("practice_task") else ()


@lru_cache(maxsize=4)
def _made_up(number: int, level: str) -> MadeUpBolt:
    return practice.made_up_bolt(number, level)


def _hand(values: Values, bolt: MadeUpBolt) -> Hand:
    """The hand now; which way it came follows from where the bolt was at the last answer."""
    turned = values.number("practice_turned")
    before = practice.key_of(bolt, values.optional("practice_before") or 0.0)
    went = plain_turns(practice.key_of(bolt, turned) - before)
    came = LastTurn(values.choice("practice_came"))
    if not same(went, 0.0):
        came = LastTurn.OUT if went > 0 else LastTurn.IN
    return Hand(
        turned=turned,
        came=came,
        offered=values.choice("practice_offered"),
        strip=values.choice("practice_strip"),
        prong=values.choice("practice_prong"),
        eased=bolt.level == "sight" or values.choice("practice_tip") == "eased",
    )


def _made(values: Values, reading: str) -> Hand | None:
    at = values.optional(MADE[reading][0])
    if at is None:
        return None
    came, offered, strip, prong, tip = (values.choice(name) for name in MADE[reading][1:])
    return Hand(at, LastTurn(came), offered, strip, prong, tip == "eased")


def turned_entry(turned: float) -> Entry:
    """A count of turns, as the page enters it."""
    return Entry(plain(turned, 6), "turn")


def reading_entries(reading: str, shown: PracticeInputs) -> Entries:
    """What is entered when a reading is made: where the bolt is, and how the hand was."""
    hand = shown.hand
    held = (hand.came.value, hand.offered, hand.strip, hand.prong, "eased" if hand.eased else "free")
    ends = zip(MADE[reading][1:], held, strict=True)
    return ((MADE[reading][0], turned_entry(shown.felt.turned)), *((name, Entry(how)) for name, how in ends))


def keeps(shown: PracticeInputs) -> Entries:
    """What the page keeps of the way the bolt has gone: nothing where it has not moved since the last answer.

    Where it was is written last: while only a part of this is written, the bolt has still come the same way.
    """
    before = practice.key_of(shown.bolt, shown.values.optional("practice_before") or 0.0) - shown.bolt.found
    if same(plain_turns(before), plain_turns(shown.felt.turned)):
        return ()
    return (
        ("practice_came", Entry(shown.hand.came.value)),
        ("practice_deepest", turned_entry(shown.deepest)),
        ("practice_before", turned_entry(shown.felt.turned)),
    )


def plain_turns(turns: float) -> float:
    """As it is entered."""
    return float(plain(turns, 6))
