"""How far a plan has been carried out: what was read last, what is amiss, the step back."""

from __future__ import annotations

from itertools import takewhile

from quarterturn.bench.alarms import is_repetition
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT, PredictionCheck, SettingReading
from quarterturn.bench.way import LARGEST_STEP, Discernment, WeighReason, steps_to
from quarterturn.numbers import same
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording, plan_steps, procedure, words
from quarterturn.widgets.planned_change import PlannedChange


def last_checks(shown: PlannedChange) -> tuple[PredictionCheck, ...]:
    """The newest setting's readings, held against what had been expected."""
    newest = shown.course.now
    return tuple(one for one in shown.checks if one.reading is newest)


def amiss(shown: PlannedChange) -> tuple[PredictionCheck, ...]:
    """Those of them that are not as expected."""
    return tuple(
        one for one in last_checks(shown) if not one.agrees and not is_repetition(one, shown.checks, shown.course)
    )


def carried(shown: PlannedChange) -> bool:
    """Whether anything has been carried out and read."""
    return len(shown.course.reads) > 1


TAPE = ("tiller", "brace_height")
"""What is read with the tape after every step; one of them is the least."""


def unread(shown: PlannedChange) -> bool:
    """Whether nobody has measured with the tape after the newest step, or the newest entry has no reading at all."""
    newest = shown.course.now
    nothing = all(newest.get(what) is None for what in WHAT)
    return carried(shown) and (nothing or not any(_is_read(shown, what) for what in TAPE))


def unweighed(shown: PlannedChange) -> bool:
    """Whether no step is left, and the bow was not weighed since the last one."""
    return shown.own and carried(shown) and shown.plan is not None and not shown.left and not _is_read(shown, "weight")


def asks_weight(shown: PlannedChange) -> bool:
    """Whether it is to be weighed where the bolts stand: no step is left, or a scale can tell it from the last time."""
    now = shown.course.now.turns
    return Discernment(shown.course, shown.course.value_at).weighing(now, last=not shown.left) is not WeighReason.NOT


def _is_read(shown: PlannedChange, what: str) -> bool:
    """Whether this was read since the bolts were turned last."""
    newest = shown.course.now
    here = takewhile(lambda one: _alike(one, newest), reversed(shown.course.reads))
    return any(one.get(what) is not None for one in here)


def goes_on(shown: PlannedChange) -> bool:
    """Whether there is a next step, and nothing that comes before it."""
    ready = shown.own or not carried(shown)
    return shown.left > 0 and ready and not shown.alone and not unread(shown)


def done(shown: PlannedChange) -> int:
    """How many steps of the plan are made: as far as the bolts have come since; by the log, where none is kept."""
    places = tuple(shown.values.optional(f"planned_{bolt}") for bolt in BOLTS)
    upper, lower = places
    if upper is not None and lower is not None:
        return steps_to((upper, lower), shown.course.now.turns)
    return len(_way_here(shown)) - 1


def first_change(shown: PlannedChange) -> Pair:
    """How far each bolt is turned in the next step."""
    if shown.plan is None or not shown.plan.way:
        return 0.0, 0.0
    there, now = shown.plan.way[0], shown.course.now.turns
    return there[0] - now[0], there[1] - now[1]


def back(shown: PlannedChange) -> str:
    """The step back, which is always open; it leads along the way that was come."""
    way = _way_here(shown)
    if len(way) < 2:
        return "The bolts are where they were before the first step: there is nothing to take back."
    here, there = way[-1], way[-2]
    change: Pair = (there.turns[0] - here.turns[0], there.turns[1] - here.turns[1])
    upper, lower = map(words.position, there.turns)
    found = (
        f"String off, with the stringer. {procedure.off_in_short(shown.values, 'Locks off. ')}"
        f"Turn {plan_steps.turning(change, shown.values)}. Limbs seated. {procedure.on_in_short(shown.values)}, "
        f"look. Then the upper bolt is {upper}, the lower one {lower}."
    )
    if max(map(abs, change)) > LARGEST_STEP + 1e-9:
        if shown.course.inside(here.turns):
            found += " That is more than half a turn: go in steps of half a turn at most, and measure between them."
        else:
            found += " Go all the way with the string off: do not string the bow out there."
    parts = []
    if there.weight is not None:
        parts.append(bow_wording.force(there.weight, bow_wording.force_unit(shown.values)))
    if there.tiller is not None and shown.course.line(there) == shown.course.line(here):
        parts.append(f"tiller {bow_wording.length(there.tiller, shown.prediction.unit)}")
    if there.brace_height is not None:
        parts.append(f"brace height {bow_wording.length(there.brace_height, shown.prediction.unit)}")
    return found + (f" Expect what you read there: {', '.join(parts)}." if parts and shown.own else "")


def place_before(shown: PlannedChange) -> Pair | None:
    """Where the bolts were before the last step; None where there is nothing to take back."""
    way = _way_here(shown)
    return way[-2].turns if len(way) > 1 else None


def _way_here(shown: PlannedChange) -> list[SettingReading]:
    """The settings that lead to where the bolts stand: a step back takes the one that it undoes off the way."""
    way: list[SettingReading] = []
    for one in shown.course.reads:
        if way and _alike(one, way[-1]):
            way[-1] = one
        elif len(way) > 1 and _alike(one, way[-2]):
            del way[-1]
            way[-1] = one
        else:
            way.append(one)
    return way


def _alike(one: SettingReading, two: SettingReading) -> bool:
    return all(map(same, one.turns, two.turns))
