"""The title and the sentence of the page on carrying a plan out."""

from __future__ import annotations

from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import PredictionCheck
from quarterturn.numbers import same
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.carry_out import progress
from quarterturn.widgets.plan_wording import NAMED
from quarterturn.widgets.planned_change import PlannedChange


def title(shown: PlannedChange) -> str:
    """What is to be done now."""
    if shown.alone:
        return "Turns only: measure after each step"
    if progress.carried(shown) and not shown.own:
        return "First enter what you measured before the first step"
    if shown.plan is None:
        return "No next step"
    if progress.unread(shown):
        return "Measure before you go on"
    if shown.left:
        so_far = progress.done(shown)
        return f"Step {so_far + 1} of {so_far + shown.left}: {by_hand(progress.first_change(shown))}"
    if progress.unweighed(shown):
        return "Weigh it: the last step is done"
    if not shown.plan.within:
        return "As near as the safe ranges let it come"
    if shown.plan.settled:
        return "Done: no reading could tell a nearer setting"
    return (
        "Done: no quarter turn brings it nearer"
        if progress.carried(shown)
        else "Nothing to turn: nothing else is wanted"
    )


def by_hand(change: Pair) -> str:
    """What is turned in a step, in a few words."""
    upper, lower = change
    if same(upper, lower):
        return f"both bolts {_by_hand(upper)}"
    parts = [f"{bolt} bolt {_by_hand(each)}" for bolt, each in zip(BOLTS, change, strict=True) if not same(each, 0.0)]
    return words.listed(parts)


def _by_hand(turns: float) -> str:
    return f"{words.amount(turns)} {'out' if turns > 0 else 'in'}"


def sentence(shown: PlannedChange) -> str:
    """How far it has come, and what comes next."""
    if shown.alone:
        return (
            "Without readings of the bow nothing can be predicted. With the string off, turn both bolts by a quarter "
            "or half a turn. Measure with the tape before and after."
        )
    if progress.carried(shown) and not shown.own:
        lacking = words.listed([BY_NAME[name].label.lower() for name in shown.bow.missing])
        return (
            f"Your log has entries, but these are example values, not yours: {lacking}. Enter below what you read "
            "before you turned anything."
        )
    if shown.plan is None:
        return shown.why_not
    if progress.unread(shown):
        scale = ". Weigh it too" if progress.asks_weight(shown) else ""
        return (
            f"The newest entry has no reading of the tape. Measure both tillers and brace height{scale}. Enter it all."
        )
    so_far = _so_far(shown) if progress.carried(shown) else "No step done yet."
    if shown.left:
        return f"{_expected(shown)} {so_far}" if shown.turns else so_far
    if progress.unweighed(shown):
        return f"{so_far} It was weighed last at another setting. Weigh it, and enter the draw weight."
    if not progress.carried(shown) and shown.plan.within:
        return f"{so_far} Enter what you want to see the first step."
    if not shown.plan.within:
        return f"{so_far} What you want is out of reach. Look under the plan for what would reach it."
    return f"{so_far} Go on with After a turn, then print the card."


def _expected(shown: PlannedChange) -> str:
    """What should be read after the next step, in round numbers; its uncertainty is with the step."""
    change, now = progress.first_change(shown), shown.course.now.turns
    there = now[0] + change[0], now[1] + change[1]
    weight, tiller = (shown.course.value_at(there, what) for what in ("weight", "tiller"))
    unit = bow_wording.force_unit(shown.values)
    lengths = bow_wording.whole(tiller, shown.prediction.unit)
    return f"Expect about {bow_wording.force(weight, unit)} and {lengths} tiller after it."


def _so_far(shown: PlannedChange) -> str:
    held = progress.last_checks(shown)
    if not held:
        return "Nothing of the last step could be compared with what was expected."
    wrong = progress.amiss(shown)
    if wrong:
        return f"Not as expected, but you wrote down that it is settled: {_named(wrong)}."
    return f"As expected: {_named(held)}."


def _named(found: tuple[PredictionCheck, ...]) -> str:
    return words.listed([NAMED[one.what].lower() for one in found])


def line(shown: PlannedChange) -> str:
    """Which step is in hand, for a narrow strip."""
    return title(shown)
