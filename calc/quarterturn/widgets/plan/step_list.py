"""The steps of the plan, and what comes before the first."""

from __future__ import annotations

from quarterturn.bench.plan import Plan
from quarterturn.widgets import plan_steps, words
from quarterturn.widgets.answer import Points, Steps
from quarterturn.widgets.planned_change import PlannedChange


def before(shown: PlannedChange, plan: Plan) -> Points | None:
    """What comes before the first step; nothing where there is none."""
    if not shown.left:
        return None
    points = [
        "Read what the maker's manual permits. Make both witness marks. Measure brace height, both tillers and draw "
        "weight once more."
    ]
    if plan.best.weight > plan.here.weight:
        points.append(
            "The bow becomes stronger: look up how far its limbs may be drawn, and how heavy the arrow must be then."
        )
    return Points("before", "Before the first step", tuple(points), "caution")


def steps(shown: PlannedChange, plan: Plan) -> Steps | None:
    """The plan, step by step; nothing where there is nothing to do."""
    found = shown.steps
    if not found:
        return None
    count = "one step" if len(found) == 1 else f"{len(found)} steps"
    return Steps(
        "steps",
        plan_steps.title_of_steps(shown, f"{'The plan' if plan.within else 'The way to the nearest'}, {count}"),
        tuple(plan_steps.in_words(step, shown) for step in found),
        "Enter what you measure in the log. There each reading is compared with what was expected, and the rest "
        "is planned anew.",
        how=words.OFF_AND_ON,
    )


def each_step(shown: PlannedChange) -> Steps | None:
    """How a step is done at the bench; nothing where none is planned."""
    if not shown.left:
        return None
    return Steps(
        "each-step",
        "How each step goes",
        plan_steps.at_bench(
            shown.values,
            f"Turn, and count aloud. {plan_steps.which_way(shown.values)}",
            "Measure both tillers and brace height, weigh where the step says so, and write it all down.",
        ),
        how=words.OFF_AND_ON,
    )
