"""What the page on carrying a plan out says."""

from __future__ import annotations

from quarterturn.bench.alarms import is_repetition
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT, PredictionCheck, SettingReading
from quarterturn.bench.plan import LARGEST_STEP, first_step, steps_to
from quarterturn.numbers import same
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import about_plan as told
from quarterturn.widgets import words
from quarterturn.widgets.about_plan import NAMED, Planned


def last_checks(shown: Planned) -> tuple[PredictionCheck, ...]:
    """The newest setting's readings, held against what had been expected."""
    newest = shown.course.now
    return tuple(one for one in shown.checks if one.reading is newest)


def amiss(shown: Planned) -> tuple[PredictionCheck, ...]:
    """Those of them that are not as expected."""
    return tuple(
        one for one in last_checks(shown) if not one.agrees and not is_repetition(one, shown.checks, shown.course)
    )


def carried(shown: Planned) -> bool:
    """Whether anything has been carried out and read."""
    return len(shown.course.reads) > 1


def unread(shown: Planned) -> bool:
    """Whether nothing was read at the newest setting: a step that nobody has measured after."""
    return carried(shown) and all(shown.course.now.get(what) is None for what in WHAT)


def goes_on(shown: Planned) -> bool:
    """Whether there is a next step, and nothing that comes before it."""
    ready = shown.own or not carried(shown)
    return shown.left > 0 and ready and not shown.alone and not unread(shown)


def done(shown: Planned) -> int:
    """So many steps of the plan are made: as far as the bolts have come since; by the log, where none is kept."""
    places = tuple(shown.values.optional(f"planned_{bolt}") for bolt in BOLTS)
    upper, lower = places
    if upper is not None and lower is not None:
        return steps_to((upper, lower), shown.course.now.turns)
    return len(_way_here(shown)) - 1


def title(shown: Planned) -> str:
    """What is to be done now."""
    if shown.alone:
        return "In turns alone: measure after each step"
    if carried(shown) and not shown.own:
        return "First enter what you measured before the first step"
    if shown.plan is None:
        return "No next step"
    if unread(shown):
        return "Measure before you go on"
    if shown.left:
        so_far = done(shown)
        return f"Step {so_far + 1} of {so_far + shown.left}: {by_hand(first_change(shown))}"
    if not shown.plan.within:
        return "As near as the safe ranges let it come"
    return "Done: no quarter turn brings it nearer" if carried(shown) else "Nothing to turn: nothing else is wanted"


def by_hand(change: Pair) -> str:
    """What is turned in a step, in a few words."""
    upper, lower = change
    if same(upper, lower):
        return f"both bolts {_by_hand(upper)}"
    parts = [f"{bolt} bolt {_by_hand(each)}" for bolt, each in zip(BOLTS, change, strict=True) if not same(each, 0.0)]
    return words.listed(parts)


def _by_hand(turns: float) -> str:
    return f"{words.amount(turns)} {'out' if turns > 0 else 'in'}"


def sentence(shown: Planned) -> str:
    """How far it has come, and what comes next."""
    if shown.alone:
        return (
            "Without readings of the bow nothing is expected, and nothing can be held against it. A quarter or half a "
            "turn of both bolts, and the tape before and after: that is all."
        )
    if carried(shown) and not shown.own:
        lacking = words.listed([BY_NAME[name].label.lower() for name in shown.bow.missing])
        return (
            f"Your log has entries, and what they would be held against is still a made-up bow's: {lacking}. Enter "
            "below what you read before anything was turned."
        )
    if shown.plan is None:
        return shown.why_not
    if unread(shown):
        return (
            "At the newest entry nothing was read. Measure draw weight, both tillers and brace height, and enter them."
        )
    so_far = _so_far(shown) if carried(shown) else "Nothing has been turned yet."
    if shown.left:
        return f"{_expected(shown)} {so_far}" if shown.turns else so_far
    if not carried(shown) and shown.plan.within:
        return f"{so_far} Say what you want, here or on the page before, and the first step is here."
    if not shown.plan.within:
        return f"{so_far} What you want is out of reach; the page on the plan says what would give it."
    return f"{so_far} Go through what comes after a change, and write the setup card."


def _expected(shown: Planned) -> str:
    """What should be read after the next step, in round numbers: how sure that is stands with the step."""
    change, now = first_change(shown), shown.course.now.turns
    there = now[0] + change[0], now[1] + change[1]
    weight, tiller = (shown.course.line(what).at(there) for what in ("weight", "tiller"))
    unit = said.force_unit(shown.values)
    return f"Expect about {said.force(weight, unit)} and {said.whole(tiller, shown.about.unit)} tiller after it."


def first_change(shown: Planned) -> Pair:
    """How far each bolt is turned in the next step."""
    return first_step(shown.course.now.turns, shown.plan.best.turns) if shown.plan is not None else (0.0, 0.0)


def _so_far(shown: Planned) -> str:
    held = last_checks(shown)
    if not held:
        return "Nothing of the last step could be held against what was expected."
    wrong = amiss(shown)
    if wrong:
        return f"Written down as settled, though not as expected: {_named(wrong)}."
    return f"As expected: {_named(held)}."


def _named(found: tuple[PredictionCheck, ...]) -> str:
    return words.listed([NAMED[one.what].lower() for one in found])


def back(shown: Planned) -> str:
    """The step back, which is always open; it leads along the way that was come."""
    way = _way_here(shown)
    if len(way) < 2:
        return "The bolts stand where they stood before the first step: there is nothing to take back."
    here, there = way[-1], way[-2]
    change: Pair = (there.turns[0] - here.turns[0], there.turns[1] - here.turns[1])
    found = (
        f"String off, with the stringer. Locks off. Turn {told.turning(change)}. Limbs seated, lock, string, look. The "
        f"upper bolt then stands {said.position(there.turns[0])}, the lower one {said.position(there.turns[1])}."
    )
    if max(map(abs, change)) > LARGEST_STEP + 1e-9:
        if shown.course.inside(here.turns):
            found += " That is more than half a turn: go in steps of half a turn at most, and measure between them."
        else:
            found += " Go all the way with the string off: out there the bow is not strung."
    parts = []
    if there.weight is not None:
        parts.append(said.force(there.weight, said.force_unit(shown.values)))
    if there.tiller is not None:
        parts.append(f"tiller {said.length(there.tiller, shown.about.unit)}")
    if there.brace_height is not None:
        parts.append(f"brace height {said.length(there.brace_height, shown.about.unit)}")
    return found + (f" You should read what you read there: {', '.join(parts)}." if parts and shown.own else "")


def _way_here(shown: Planned) -> list[SettingReading]:
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
