"""The next step in full, the step back, and the steps that are left."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.way import Step
from quarterturn.numbers import fixed
from quarterturn.record.values import Values
from quarterturn.widgets import bow_wording, plan_steps, plan_wording, words
from quarterturn.widgets.answer import Points, Steps, Table
from quarterturn.widgets.carry_out import progress, readings
from quarterturn.widgets.planned_change import PlannedChange


def next_step(shown: PlannedChange) -> Steps | None:
    """The next step in full, as it is done at the bench; nothing where none is left, or something comes before it."""
    if not progress.goes_on(shown):
        return None
    step = shown.steps[0]
    turn = plan_steps.turning(step.change, shown.values)
    upper, lower = (fixed(place, 2) for place in step.turns)
    so_far = progress.done(shown)
    look = "" if words.hand_of(shown.values) else f" {words.LOOK_WHICH_WAY}"
    return Steps(
        "next-step",
        plan_steps.title_of_steps(shown, f"Step {so_far + 1} of {so_far + shown.left}"),
        (
            *plan_steps.at_bench(
                shown.values,
                f"Turn {turn}.{look}",
                f"{words.capital(plan_steps.measured(step))}. {plan_steps.why(step)} "
                f"Expect {plan_steps.expected(step, shown)}.",
            ),
            "Another reading: count again, or stop and look. If it is as expected, make a new entry: today's date, "
            f"upper bolt at {upper}, lower bolt at {lower}, and what you read.",
        ),
        how=words.OFF_AND_ON,
    )


def blank_step(values: Values) -> Steps:
    """A step to be carried to the bench on paper, with lines to write on."""
    return Steps(
        "blank-step",
        "Every step, one row below for each",
        (
            *plan_steps.at_bench(
                values,
                "Turn the upper bolt ________ turn in / out, the lower bolt ________ turn in / out. Half "
                "a turn is the most.",
                "Measure both tillers and brace height. Weigh after the last step, and where the plan says so. Write "
                "it all into the next row.",
            ),
            "A reading you did not expect: count again, or stop and look.",
        ),
        how=words.OFF_AND_ON,
    )


def step_back(shown: PlannedChange) -> Points | None:
    """The way back to the setting before; always there once something was carried out."""
    if not progress.carried(shown):
        return None
    return Points("back", "You can always step back", (progress.back(shown),))


def rest(shown: PlannedChange) -> Table | None:
    """The steps that are left, with what to expect."""
    if not progress.goes_on(shown):
        return None
    unit, weight = units.unit(shown.prediction.unit).symbol, units.unit(bow_wording.force_unit(shown.values)).symbol
    rows = tuple(
        (
            str(place),
            *map(plan_wording.turned, step.change),
            _weight(step, shown),
            readings.bare(plan_wording.span(step.tiller, shown)),
            readings.bare(plan_wording.span(step.brace_height, shown)),
        )
        for place, step in enumerate(shown.steps, 1)
    )
    return Table(
        "rest",
        plan_steps.title_of_steps(shown, "The steps that are left"),
        ("step", "upper", "lower", weight, f"tiller, {unit}", f"brace height, {unit}"),
        rows,
        "Every reading plans them anew. After ±: about 95 %, with the error of your next reading in it. Not weighed: a "
        "scale could not tell it from the last weighing.",
    )


def _weight(step: Step, shown: PlannedChange) -> str:
    """The weight after a step, and how sure that is where it is weighed."""
    told = readings.bare(plan_wording.weight(step.weight, shown))
    return told if plan_steps.is_weighed(step) else f"{told.split(' ', 1)[0]} not weighed"
