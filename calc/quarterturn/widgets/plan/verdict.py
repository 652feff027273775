"""The title and the sentence of the page that plans a change."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.course import WHAT
from quarterturn.bench.plan import PlacePair, Plan
from quarterturn.bench.window import Window
from quarterturn.numbers import fixed_down, fixed_up, quarters, same, trimmed
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.planned_change import PlannedChange

TOO_CLOSE = "The nearest setting is too close to tell from it by scale or tape."


def both(place: PlacePair, shown: PlannedChange) -> str:
    """Draw weight and tiller of a place, as a scale and a tape tell them."""
    unit = bow_wording.force_unit(shown.values)
    return (
        f"{bow_wording.force(place.weight, unit)} and {bow_wording.whole(place.tiller, shown.prediction.unit)} tiller"
    )


def title(shown: PlannedChange) -> str:
    """The plan in a line."""
    if shown.alone:
        return alone_title(shown)
    plan = shown.plan
    if plan is None:
        return "No plan yet"
    where = "" if plan.settled else turned(plan.best.change)
    if not plan.within:
        return f"{out_of_reach(shown, plan)} Nearest: {where or 'where the bolts are'}"
    if not where:
        if not _wants(shown):
            return "Nothing else is wanted: both bolts stay where they are"
        return f"For {wanted(shown, plan)}: both bolts stay where they are"
    count = "one step" if shown.left == 1 else f"{shown.left} steps"
    return f"For {wanted(shown, plan)}: {where}, in {count}"


def turned(change: Pair) -> str:
    """How far each bolt is turned and which way; "" where neither is."""
    upper, lower = change
    if same(upper, 0.0) and same(lower, 0.0):
        return ""
    if same(upper, lower):
        return f"both bolts {_turns(upper)}"
    return ", ".join(f"{bolt} bolt {_turns(each)}" for bolt, each in zip(BOLTS, change, strict=True))


def _turns(turns: float) -> str:
    if same(turns, 0.0):
        return "stays"
    return f"{quarters(abs(turns))} {words.turn_word(turns)} {'out' if turns > 0 else 'in'}"


def _wants(shown: PlannedChange) -> bool:
    return any(shown.values.optional(name) is not None for name in ("wanted_weight", "wanted_tiller"))


def wanted(shown: PlannedChange, plan: Plan) -> str:
    """What is wanted; of what was not entered, as it was when the plan was made."""
    values, unit, length = shown.values, bow_wording.force_unit(shown.values), shown.prediction.unit
    weight = f"{trimmed(units.from_si(plan.wish.weight, unit), 1)} {units.unit(unit).symbol}"
    tiller = _length(plan.wish.tiller, length)
    if values.optional("wanted_weight") is None:
        return f"{tiller} tiller and the weight as it was, {weight}"
    if values.optional("wanted_tiller") is None:
        return f"{weight} and tiller as it was, {tiller}"
    return f"{weight} and {tiller} tiller"


def _length(value: float, unit: str) -> str:
    return f"{trimmed(units.from_si(value, unit), 1 if unit == 'mm' else 3)} {units.unit(unit).symbol}"


def out_of_reach(shown: PlannedChange, plan: Plan) -> str:
    """What is out of reach, and what is not, rounded so that no more is promised than there is."""
    values, unit, length = shown.values, bow_wording.force_unit(shown.values), shown.prediction.unit
    least, most = (units.from_si(each, unit) for each in plan.weights)
    low, high = (units.from_si(each, length) for each in plan.tillers)
    if not plan.weights[0] <= plan.wish.weight <= plan.weights[1]:
        what = f"{trimmed(units.from_si(plan.wish.weight, unit), 1)} {units.unit(unit).symbol}"
        what = what if values.optional("wanted_weight") is not None else f"The weight as it was, {what},"
        return (
            f"{what} is out of reach: this bow can be set from {fixed_up(least, 1)} to {fixed_down(most, 1)} "
            f"{units.unit(unit).symbol}."
        )
    if not plan.tillers[0] <= plan.wish.tiller <= plan.tillers[1]:
        tiller = _length(plan.wish.tiller, length)
        what = f"{tiller} tiller" if values.optional("wanted_tiller") is not None else f"Tiller as it was, {tiller},"
        places = 0 if length == "mm" else 2
        return (
            f"{what} is out of reach: this bow can be set from {fixed_up(low, places)} to {fixed_down(high, places)} "
            f"{units.unit(length).symbol}."
        )
    return f"{words.capital(wanted(shown, plan))} are out of reach together."


def sentence(shown: PlannedChange) -> str:
    """The plan in a few sentences."""
    if shown.alone:
        return alone(shown)
    plan = shown.plan
    if plan is None:
        return shown.why_not
    if plan.settled:
        found = [f"Your plan led here: {both(plan.here, shown)}. {TOO_CLOSE}"]
    elif same(plan.best.turned, 0.0):
        found = ["No quarter turn brings them nearer." if _wants(shown) else "Enter what you want to see the plan."]
    else:
        found = [f"Expect {both(plan.best, shown)}: {missed(shown, plan)}."]
    if not plan.within:
        return " ".join([*found, *near_an_end(shown, plan), beyond(shown, plan)])
    if not plan.reached and not plan.settled:
        found.append("Another setting is near enough in both numbers. This one is nearer by what matters more to you.")
    found += near_an_end(shown, plan)
    if shown.left:
        found.append("No step is over half a turn of a bolt. Measure after each: what you read counts, not this.")
    return " ".join(found)


def missed(shown: PlannedChange, plan: Plan) -> str:
    """By how much the best pair misses what is wanted."""
    unit, length = bow_wording.force_unit(shown.values), shown.prediction.unit
    weight, tiller = plan.off
    parts = []
    if not words.is_nothing(bow_wording.force(weight, unit)):
        parts.append(f"{bow_wording.force(abs(weight), unit)} {'more' if weight > 0 else 'less'}")
    if not words.is_nothing(bow_wording.whole(tiller, length)):
        parts.append(f"{bow_wording.whole(abs(tiller), length)} {'more' if tiller > 0 else 'less'} tiller")
    if parts:
        return f"{words.listed(parts)} than you want"
    least = "1 mm" if length == "mm" else "0.01 in"
    return f"that is what you want to within {bow_wording.force(units.to_si(0.1, unit), unit)} and {least}"


def near_an_end(shown: PlannedChange, plan: Plan) -> list[str]:
    """Where the best pair ends nearer to an end of a window than it is sure."""
    windows, change = shown.bow.windows, plan.best.change
    uncertainty = _uncertainty_in_turns(shown, plan)
    if windows is None or uncertainty is None or plan.settled:
        return []
    found = []
    for bolt, window, place, turned_by in zip(BOLTS, windows, plan.best.turns, change, strict=True):
        if same(turned_by, 0.0):
            continue
        limit = window.inner if turned_by < 0 else window.outer
        room = abs(limit.usable - place)
        if room > max(uncertainty, limit.budget.expanded):
            continue
        whole = int(room / 0.25 + 1e-9) * 0.25
        where = "at" if same(whole, 0.0) else f"{quarters(whole)} {words.turn_word(whole)} from"
        found.append(
            f"The {bolt} bolt ends {where} the {limit.end.value} end of its safe range, and may have to go farther "
            "than is left."
        )
    return found


def _uncertainty_in_turns(shown: PlannedChange, plan: Plan) -> float | None:
    """Turns more or less that the plan may need, by the number that these turns decide most surely (k = 2)."""
    most = max(map(abs, plan.best.change))
    if same(most, 0.0):
        return None
    found = []
    for what in WHAT[:2]:
        moved = abs(getattr(plan.best, what) - getattr(plan.here, what))
        if not same(moved, 0.0):
            found.append(shown.course.foretell(plan.best.turns, what).expanded * most / moved)
    return min(found, default=None)


def beyond(shown: PlannedChange, plan: Plan) -> str:
    """What would reach what no turn inside the windows does."""
    if not plan.weights[0] <= plan.wish.weight <= plan.weights[1]:
        more = "more" if plan.wish.weight > plan.weights[1] else "less"
        return f"For {more} you need other limbs or another draw length: no turn of a bolt does it."
    if not plan.tillers[0] <= plan.wish.tiller <= plan.tillers[1]:
        return "Ask a bow technician to look at limbs and pockets before you want more."
    return (
        "You can reach each of the two, but no setting gives both. Say which matters more, or get the weight with "
        "other limbs and the tiller with the bolts."
    )


def alone_title(shown: PlannedChange) -> str:
    """How far both bolts can be turned together, inside both windows."""
    inward, outward = (min(rooms) for rooms in zip(*_rooms(shown), strict=True))
    return f"Turns only: both bolts can go in by {_down(inward)} and out by {_down(outward)}"


def alone(shown: PlannedChange) -> str:
    """Where nothing of the bow was measured: what is known of turns alone."""
    return (
        "Only the two safe ranges are known. In means more draw weight, out means less: over four to six turns of both "
        "about a tenth of it (common practice, no source). Measure to see how much on your bow, and what tiller does."
    )


def _rooms(shown: PlannedChange) -> list[tuple[float, float]]:
    """How far each bolt can go in and out inside its window; nothing where there is none."""
    return [
        (max(0.0, place - window.inner.usable), max(0.0, window.outer.usable - place))
        for place, window in _stands(shown)
    ] or [(0.0, 0.0)]


def _stands(shown: PlannedChange) -> list[tuple[float, Window]]:
    windows = shown.bow.windows
    if windows is None:
        return []
    return list(zip(shown.course.now.turns, windows, strict=True))


def _down(turns: float) -> str:
    """In whole quarters, rounded down."""
    whole = int(turns / 0.25 + 1e-9) * 0.25
    return "nothing" if same(whole, 0.0) else f"{quarters(whole)} {words.turn_word(whole)}"


def line(shown: PlannedChange) -> str:
    """How far each bolt is turned and what that gives, for a narrow strip."""
    plan = shown.plan
    if shown.alone or plan is None:
        return "Turns only: nothing weighed yet" if shown.alone else "No plan yet"
    end = plan.here if plan.settled else plan.best
    unit = bow_wording.force_unit(shown.values)
    length = bow_wording.whole(end.tiller, shown.prediction.unit)
    return f"{_short(end.change)} · {bow_wording.force(end.weight, unit)}, {length}"


def _short(change: Pair) -> str:
    upper, lower = change
    if same(upper, 0.0) and same(lower, 0.0):
        return "Both stay"
    if same(upper, lower):
        return f"Both {_way(upper)}"
    return f"Upper {_way(upper)}, lower {_way(lower)}"


def _way(turns: float) -> str:
    return "stays" if same(turns, 0.0) else f"{'out' if turns > 0 else 'in'} {quarters(abs(turns))}"
