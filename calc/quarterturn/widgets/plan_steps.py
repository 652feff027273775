"""The steps of a plan as they are done at the bench, with what to expect after each; or in turns alone."""

from __future__ import annotations

from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.way import Step, WeighReason
from quarterturn.numbers import same
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets import bow_wording, plan_wording, procedure, words
from quarterturn.widgets.answer import Steps
from quarterturn.widgets.planned_change import PlannedChange


def by_key(turns: float) -> str:
    """Turns as the key makes them."""
    size = abs(turns)
    if same(size, 0.5):
        return "half a turn: the key goes half way round"
    if same(size, 0.25):
        return "a quarter of a turn: the key goes a quarter of the way round"
    return words.turns(size)


def which_way(values: Values) -> str:
    """Which way is in, where that is known of the bow; what to look at where it is not."""
    hand = words.hand_of(values)
    return f"{words.capital(words.direction(-1, hand))}." if hand else words.LOOK_WHICH_WAY


def turning(change: Pair, values: Values) -> str:
    """What is turned in one step, as the hand does it; the rest of a sentence after "turn"."""
    upper, lower = change
    hand = words.hand_of(values)
    if same(upper, lower):
        return f"both bolts {words.direction(upper, hand)}, each by {_by_key(upper, values)}"
    parts = [
        f"the {bolt} bolt {words.direction(each, hand)} by {_by_key(each, values)}"
        for bolt, each in zip(BOLTS, change, strict=True)
        if not same(each, 0.0)
    ]
    return "; ".join(parts)


def _by_key(turns: float, values: Values) -> str:
    """Turns as the key makes them, and in clicks where a detent has them."""
    clicks = procedure.in_clicks(turns, values)
    return f"{words.by_hand(turns)}{clicks}" if clicks else by_key(turns)


def is_weighed(step: Step) -> bool:
    """Whether the bow is weighed after this step."""
    return step.weighing is not WeighReason.NOT


def expected(step: Step, planned: PlannedChange) -> str:
    """What should be read after a step, and within what; the weight where it is weighed."""
    tape = (
        f"tiller {plan_wording.span(step.tiller, planned)}, "
        f"brace height {plan_wording.span(step.brace_height, planned)}"
    )
    if not is_weighed(step):
        return tape
    return f"{plan_wording.weight(step.weight, planned)} at {bow_wording.own_draw(planned.values)}, {tape}"


def measured(step: Step) -> str:
    """What is measured after a step, as a command without its full stop."""
    return f"measure brace height and both tillers{', and weigh' if is_weighed(step) else ''}"


WHY_WEIGHED = {
    WeighReason.TELLS: "It is the first setting whose weight a scale can tell from the last weighing.",
    WeighReason.LAST: "",
    WeighReason.UNSURE: "How sure the weight is cannot be computed, so weigh every time.",
    WeighReason.NOT: "No need to weigh here: a scale could not tell it from the last weighing.",
}


def why(step: Step) -> str:
    """Why a step ends where it does, and why the bow is weighed there or not."""
    if step.last:
        return "It is the last step."
    return f"Half a turn is the most in one step. {WHY_WEIGHED[step.weighing]}"


def in_words(step: Step, planned: PlannedChange) -> str:
    """One step of a plan: what is turned, what is measured and why, and what to expect."""
    return (
        f"String off. {procedure.off_in_short(planned.values)}Turn {turning(step.change, planned.values)}. "
        f"{procedure.on_in_short(planned.values)}, look, draw part of the way, "
        f"{measured(step)}. {why(step)} "
        f"Expect {expected(step, planned)}. Another reading: count again, or stop and look."
    )


OFF = "String off, with the stringer."
LOCK_OFF = "Back off the lock of each bolt that is turned."
SEAT = "Press the limbs into their seats."
LOCK = "Lock. The witness mark on each head must not move with it."
STRING = "String it with the stringer. Look at both loops, and along the limbs and the string."
PART_DRAWS = (
    "Draw it part of the way three times, an arrow on the string, toward a clear target. Listen. Let down each time, "
    "and never let go."
)


def at_bench(values: Values, turn: str, measure: str) -> tuple[str, ...]:
    """A step at the bench, from the stringer to the tape, with what is turned and what is measured."""
    lock_off, lock = procedure.lock_off(values, LOCK_OFF), procedure.lock_on(values, LOCK)
    return (OFF, lock_off, turn, *procedure.between_two(values), SEAT, lock, STRING, PART_DRAWS, measure)


def title_of_steps(planned: PlannedChange, title: str) -> str:
    """The title of a list of steps; it says where the bow is not the reader's own."""
    return f"{title}, of an example: turn nothing by it" if planned.prediction.example else title


def in_turns(values: Values) -> Steps:
    """A plan in turns alone, for a bow of which nothing is foretold."""
    return Steps(
        "in-turns",
        "Turns only: one step",
        (
            "Before you turn anything, read what the maker's manual permits. Make both witness marks. Measure brace "
            "height and both tillers with a tape.",
            *at_bench(
                values,
                "Turn both bolts alike, from where they are, by a quarter or half a turn. In is more draw weight, out "
                f"is less. {which_way(values)} Leave a bolt where it is if it would come within a quarter of a turn of "
                "an end of its safe range.",
                "Measure brace height and both tillers. Is the upper limb farther from the string than before, "
                "compared with the lower one? A quarter of a turn more of the upper bolt in, or of the lower one out, "
                "brings it back. Is it nearer? The other way round.",
            ),
        ),
        how=words.OFF_AND_ON,
    )
