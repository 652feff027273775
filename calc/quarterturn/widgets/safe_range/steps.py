"""What to do: the turns to make, and the bench procedure."""

from __future__ import annotations

from quarterturn.bench.family import Method, can_be_felt
from quarterturn.bench.window import WindowPlace
from quarterturn.widgets import procedure, words
from quarterturn.widgets.answer import Steps
from quarterturn.widgets.safe_range.ranges import SafeRanges


def what_to_do(found: SafeRanges) -> Steps:
    """List the turns to make and what comes after."""
    plan = found.moves
    inside = {bolt.name: bolt.standing.place is WindowPlace.INSIDE for bolt in found.bolts}
    intro = "Nothing has to be turned." if not plan else "No step is larger than half a turn."
    steps = procedure.moving(plan, inside, found.values) if plan else procedure.after(found.values)
    if found.example:
        intro = f"In the example: {words.lower(intro)}"
    return Steps("to-do", "What to do next", steps, intro, how=words.OFF_AND_ON)


def bench_steps(found: SafeRanges) -> Steps:
    """List the bench procedure for this family and way."""
    return Steps(
        "bench",
        "At the bench, in order",
        procedure.bench(
            can_be_felt(found.family.name),
            found.family.method is Method.FEEL_OR_STOP,
            found.values,
        ),
        found.family.reason,
        folded=True,
        how=(words.STRING_OFF,),
    )
