"""What the page that plans a change says."""

from __future__ import annotations

from quarterturn.bench.plan import Place, Plan
from quarterturn.bench.window import Window
from quarterturn.numbers import quarters, same
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import about_plan as told
from quarterturn.widgets.about_plan import Planned


def both(place: Place, shown: Planned) -> str:
    """Draw weight and tiller of a place."""
    unit = said.force_unit(shown.values)
    return f"{said.force(place.weight, unit)}, tiller {said.length(place.tiller, shown.about.unit)}"


def title(shown: Planned) -> str:
    """The plan in a line."""
    if shown.alone:
        return "A plan in turns alone"
    if shown.plan is None:
        return "No plan yet"
    best = shown.plan.best
    if same(best.turned, 0.0):
        return "Leave them where they stand" if shown.plan.within else "Not reachable: nothing inside comes nearer"
    where = told.change(best.change)
    if not shown.plan.within:
        return f"Not reachable inside the windows; nearest: {where}"
    return f"{where[0].upper()}{where[1:]}: {both(best, shown)}"


def sentence(shown: Planned) -> str:
    """The plan in a few sentences."""
    if shown.alone:
        return alone(shown)
    plan = shown.plan
    if plan is None:
        return shown.why_not
    unit = said.force_unit(shown.values)
    wanted = f"{said.force(plan.wish.weight, unit)} and tiller {said.length(plan.wish.tiller, shown.about.unit)}"
    found = [f"Wanted: {wanted}{_as_it_is(shown)}.", f"There are {len(plan.places)} pairs inside both windows."]
    if same(plan.best.turned, 0.0):
        found.append("The nearest of them is where the bolts stand.")
    else:
        found.append(f"The nearest of them: {told.change(plan.best.change)}. Foretold there: {both(plan.best, shown)}.")
    if not plan.within:
        return " ".join([*found, beyond(shown, plan)])
    if not plan.reached:
        found.append(
            "Another pair is near enough in both numbers; this one is nearer as you weigh a pound against tiller."
        )
    steps = shown.left
    if steps:
        found.append(
            f"{'One step leads' if steps == 1 else f'{steps} steps lead'} there, none over half a turn a bolt."
        )
        found.append("Measure after each: what you read counts, not what is foretold.")
    return " ".join(found)


def _as_it_is(shown: Planned) -> str:
    """What of the wish was not entered."""
    left = [
        name
        for field, name in (("wanted_weight", "the weight"), ("wanted_tiller", "the tiller"))
        if shown.values.optional(field) is None
    ]
    if not left:
        return ""
    return ", both as they are, for nothing else was entered" if len(left) > 1 else f", {left[0]} as it is"


def beyond(shown: Planned, plan: Plan) -> str:
    """Why it is not reachable, and what would reach it."""
    unit, length = said.force_unit(shown.values), shown.about.unit
    least, most = plan.weights
    low, high = plan.tillers
    if plan.wish.weight > most or plan.wish.weight < least:
        heavier = plan.wish.weight > most
        return (
            f"Inside the windows this bow can be set from {said.force(least, unit)} to {said.force(most, unit)} at "
            f"{said.own_draw(shown.values)}. {'More' if heavier else 'Less'} takes other limbs, or another draw "
            "length; no turn of a bolt does it."
        )
    if plan.wish.tiller > high or plan.wish.tiller < low:
        return (
            f"Inside the windows tiller can be set from {said.length(low, length)} to {said.length(high, length)}. "
            "Ask a bow technician to look at limbs and pockets before you want more."
        )
    return (
        "Each of the two can be had, but not both together: no pair of such a weight has such a tiller. Say which of "
        "the two counts more, or have the weight by other limbs and the tiller by the bolts."
    )


def alone(shown: Planned) -> str:
    """Where nothing of the bow was measured: what can be done by turns alone."""
    windows = shown.bow.windows
    if windows is None:
        return shown.why_not
    room_in = min(max(0.0, place - window.inner.usable) for place, window in _stands(shown))
    room_out = min(max(0.0, window.outer.usable - place) for place, window in _stands(shown))
    return (
        f"Both windows are known, and nothing else of the bow. Both bolts together can go in by {_down(room_in)} "
        f"and out by {_down(room_out)}, and stay inside. In means more draw weight, out means less: over four to six "
        "turns of both about a tenth of it (common practice, no source). How much on your bow, and what tiller does, "
        "nobody can tell before you measure."
    )


def _stands(shown: Planned) -> list[tuple[float, Window]]:
    windows = shown.bow.windows
    if windows is None:
        return []
    return list(zip(shown.course.now.turns, windows, strict=True))


def _down(turns: float) -> str:
    """In whole quarters, rounded down."""
    whole = int(turns / 0.25 + 1e-9) * 0.25
    return "nothing" if same(whole, 0.0) else f"{quarters(whole)} {'turn' if whole <= 1 else 'turns'}"
