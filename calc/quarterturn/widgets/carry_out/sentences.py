"""What the page on carrying a plan out says."""

from __future__ import annotations

from quarterturn.bench.bow_asked import Pair
from quarterturn.bench.course import Checked
from quarterturn.bench.plan import first_step
from quarterturn.numbers import same
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import about_plan as told
from quarterturn.widgets.about_plan import NAMED, Planned


def last_checks(shown: Planned) -> tuple[Checked, ...]:
    """The newest setting's readings, held against what had been foretold."""
    newest = shown.course.now
    return tuple(one for one in shown.course.checks() if one.reading is newest)


def amiss(shown: Planned) -> tuple[Checked, ...]:
    """Those of them that are not as foretold."""
    return tuple(one for one in last_checks(shown) if not one.agrees)


def carried(shown: Planned) -> bool:
    """Whether anything has been carried out and read."""
    return len(shown.course.reads) > 1


def title(shown: Planned) -> str:
    """What is to be done now."""
    if amiss(shown):
        return "Stop and look: a reading is not as foretold"
    if shown.alone:
        return "In turns alone: measure before you go on"
    if shown.plan is None:
        return "No next step"
    if not shown.left:
        return "Done: no pair inside the windows comes nearer" if shown.plan.reached else "No pair inside comes nearer"
    return f"{'Next step' if carried(shown) else 'First step'}: {told.change(first_change(shown))}"


def sentence(shown: Planned) -> str:
    """How far it has come, and what comes next."""
    wrong = amiss(shown)
    if wrong:
        return (
            f"{reading(wrong[0], shown)} Do not turn further. Recount the turns and measure again, or go the step back."
        )
    if shown.plan is None or shown.alone:
        return shown.why_not or "Without readings of the bow nothing is foretold: turn in small steps and measure."
    so_far = "Nothing has been carried out yet." if not carried(shown) else _so_far(shown)
    if not shown.left:
        return f"{so_far} Write the setup card, and look at lock and heads again after the first dozen arrows."
    left = shown.left
    count = "One step is left" if left == 1 else f"{left} steps are left"
    return f"{so_far} {count}. What to expect after the next one stands below."


def first_change(shown: Planned) -> Pair:
    """How far each bolt is turned in the next step."""
    return first_step(shown.course.now.turns, shown.plan.best.turns) if shown.plan is not None else (0.0, 0.0)


def _so_far(shown: Planned) -> str:
    checks = last_checks(shown)
    if not checks:
        return "The newest row holds no reading: measure before you go on."
    names = ", ".join(NAMED[one.what].lower() for one in checks)
    return f"The newest readings ({names}) are as foretold."


def reading(one: Checked, shown: Planned) -> str:
    """A reading beside what was foretold."""
    value, foretold = (
        (said.force(one.reading.get(one.what) or 0.0, said.force_unit(shown.values)), told.weight(one.foretold, shown))
        if one.what == "weight"
        else (said.length(one.reading.get(one.what) or 0.0, shown.about.unit), told.span(one.foretold, shown))
    )
    return f"{NAMED[one.what]} was read as {value}; foretold {foretold}."


def back(shown: Planned) -> str:
    """The step back, which is always open."""
    newest, before = shown.course.reads[-1], shown.course.reads[-2]
    change: Pair = (before.turns[0] - newest.turns[0], before.turns[1] - newest.turns[1])
    if all(same(each, 0.0) for each in change):
        return "The newest two settings are the same place: there is no turn to take back."
    parts = []
    if before.weight is not None:
        parts.append(said.force(before.weight, said.force_unit(shown.values)))
    if before.tiller is not None:
        parts.append(f"tiller {said.length(before.tiller, shown.about.unit)}")
    expected = f" You should read what you read there: {', '.join(parts)}." if parts else ""
    return (
        f"The step back: string off, lock backed off, {told.turning(change)}, limbs seated, lock, stringer. The upper "
        f"bolt then stands {said.position(before.turns[0])}, the lower one {said.position(before.turns[1])}.{expected}"
    )
