"""What to do: the turns to make, and the bench procedure."""

from __future__ import annotations

from quarterturn.bench.family import Method, can_be_felt
from quarterturn.bench.window import Place
from quarterturn.widgets import procedure
from quarterturn.widgets.answer import Block, Steps
from quarterturn.widgets.safe_range.found import Found, FoundBolt


def what_to_do(found: Found) -> list[Block]:
    """List the turns to make and what comes after, or what to do where no window is left."""
    if found.vanished:
        steps: tuple[str, ...] = (
            "Leave the string off. Turn both bolts back to their witness marks.",
            "Find both ends again, once, on a fresh strip. A lost turn is more common than a lost window.",
            "If it stays so, do not use this riser with these limbs. Ask the maker or a bow technician.",
        )
        return [Steps("next", "What to do next", steps)]
    plan = found.moves
    inside = {bolt.name: bolt.standing.place is Place.INSIDE for bolt in found.bolts}
    intro = "Nothing has to be turned." if not plan else "No step is larger than half a turn."
    steps = procedure.moving(plan, inside) if plan else procedure.AFTER
    if any(_past_flush(bolt) for bolt in found.bolts):
        steps = (
            "Limb out. Inspect head, shank, butt and slot. Any mark, bend or crack: stop, and a bow technician. "
            "Only if there is none, go on.",
            *steps,
        )
    if found.example:
        intro = f"In the example: {intro[0].lower()}{intro[1:]}"
    return [Steps("next", "What to do next", steps, intro)]


def _past_flush(bolt: FoundBolt) -> bool:
    limit = bolt.standing.limit
    return bolt.standing.place is Place.PAST_INNER and limit is not None and limit.name == "flush"


def bench_steps(found: Found) -> Steps:
    """List the bench procedure for this family and way."""
    return Steps(
        "bench",
        "At the bench, in order",
        procedure.bench(
            can_be_felt(found.family.name),
            found.family.method is Method.FEEL_OR_STOP,
            found.values.choice("flush_way"),
            found.values.choice("people"),
        ),
        found.family.reason,
        folded=True,
    )
