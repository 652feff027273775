"""The verdict: what a hand can use of each bolt's window, and where each bolt is; and how sure that is."""

from __future__ import annotations

from quarterturn.bench.family import can_be_felt
from quarterturn.numbers import fixed, fixed_up
from quarterturn.widgets import words
from quarterturn.widgets.answer import Points, State
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges, entered_readings


def verdict(found: SafeRanges) -> tuple[State, str, str]:
    """Give the state, the title and the sentence of a bow that nothing is known against."""
    if found.example:
        return State.EXAMPLE, *_not_finished(found)
    seen = f", for the bow as it was looked over ({found.looked_over})" if found.looked_over else ""
    held = "" if can_be_felt(found.family.name) else "Only the maker's range holds for this bolt. "
    return State.GO, _use(found.bolts), f"{held}{counted_from(found)} It holds under the assumptions below{seen}."


def _not_finished(found: SafeRanges) -> tuple[str, str]:
    known = tuple(bolt for bolt in found.bolts if bolt.position.known)
    if not known:
        total = len(found.missing) + entered_readings(found)
        return (
            "Worked example: a made-up bow",
            f"This does not speak of your bow: {len(found.missing)} of the {total} readings that a verdict needs are "
            f"still the example's. In the example: {_use(found.bolts)}.",
        )
    left = [f"{bolt.title}: {_to_go(len(bolt.position.missing))}" for bolt in found.bolts if bolt not in known]
    rest = f" {words.capital('. '.join(left))}" if left else ""
    looked = "" if left else " The inspection is not finished"
    return f"{_use(known)}.{rest}{looked}", f"Do not string the bow yet. {counted_from(found)}"


def _to_go(count: int) -> str:
    return f"{count} {'reading' if count == 1 else 'readings'} to go"


def _use(bolts: tuple[BoltRange, ...]) -> str:
    return ". ".join(_use_one(bolt, first=place == 0) for place, bolt in enumerate(bolts))


def _use_one(bolt: BoltRange, *, first: bool) -> str:
    """What can be used of a bolt, in whole quarters rounded inward, and where it is."""
    if bolt.window.vanished:
        return f"Nothing can be used on the {bolt.title}"
    said = words.safe_range(bolt.window)
    on = bolt.title if first else bolt.name
    said = said if first else said.removesuffix(" turns out")
    return f"Use {said} on the {on}; it is at {words.place(bolt.readings.now.turns)}: {_inside(bolt)}"


def _inside(bolt: BoltRange) -> str:
    """Inside or not, by the unrounded number."""
    now = bolt.readings.now.turns
    if not bolt.window.holds(now):
        return "outside"
    quarters = words.quarters_inside(bolt.window)
    return "inside" if quarters is not None and quarters[0] <= now <= quarters[1] else "just inside"


FROM = {
    "flush": "where the paper stopped, coming in",
    "inside": "where the paper stopped, backing out",
    "stop": "its stop",
    "maker": "where the manual counts from",
}


def counted_from(found: SafeRanges) -> str:
    """What turns are counted from: what was felt."""
    upper, lower = (_zero(bolt, found) for bolt in found.bolts)
    if upper == lower:
        return f"Turns count out from {FROM[upper]}."
    return f"Turns count out from {FROM[upper]} on the upper bolt, and from {FROM[lower]} on the lower one."


def _zero(bolt: BoltRange, found: SafeRanges) -> str:
    zero = bolt.readings.zero
    return "inside" if zero == "flush" and found.values.choice("flush_way") == "inside" else zero


def sure(found: SafeRanges) -> Points:
    """The same to hundredths of a turn, with its uncertainty, and what sets each end."""
    return Points("sure", "How sure?", tuple(_sure(bolt) for bolt in found.bolts), folded=True)


def _sure(bolt: BoltRange) -> str:
    window, now = bolt.window, bolt.readings.now
    if window.vanished:
        return (
            f"Nothing is left between {words.limit(window.inner)} and {words.limit(window.outer)} on the {bolt.title}, "
            "when margin and uncertainty are taken off."
        )
    inner, outer = window.inner, window.outer
    whose = "" if bolt.position.known else "In the example: "
    return (
        f"{whose}{bolt.title if whose else words.capital(bolt.title)}: from {fixed_up(inner.usable, 2)} to "
        f"{words.turns_down(outer.usable)} out. {words.capital(words.limit(inner))} sets the inner end (U "
        f"{fixed(inner.budget.expanded, 2)}), {words.limit(outer)} the outer end (U "
        f"{fixed(outer.budget.expanded, 2)}). It is at {fixed(now.turns, 2)} "
        f"(U {fixed(bolt.standing.uncertainty, 2)}). About 95 %."
    )
