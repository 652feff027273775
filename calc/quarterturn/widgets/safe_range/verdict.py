"""The verdict: what a hand can use of each bolt's window, and where each bolt is; and how sure that is.

The same for both bolts, for one of them, in a headline and in a narrow strip.
"""

from __future__ import annotations

from quarterturn.bench.family import can_be_felt
from quarterturn.bench.window import WindowPlace
from quarterturn.numbers import fixed, fixed_up
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.answer import Line, PartVerdict, Points, State
from quarterturn.widgets.render import STRENGTH
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges
from quarterturn.widgets.safe_range.still_to_do import BOTH, INSPECTION, left


def verdict(found: SafeRanges) -> tuple[State, str, str]:
    """Give the state, the title and the sentence of a bow that nothing is known against."""
    if found.example:
        return State.EXAMPLE, *_not_finished(found)
    seen = f", for the bow as it was looked over ({found.looked_over})" if found.looked_over else ""
    held = "" if can_be_felt(found.family.name) else "Only the maker's range applies to this bolt. "
    return State.GO, _use(found.bolts), f"{held}{counted_from(found)} It holds under the assumptions below{seen}."


def _not_finished(found: SafeRanges) -> tuple[str, str]:
    if found.untouched:
        to_go = left(found)
        readings = sum(to_go[part] for part in (*BOLTS, BOTH))
        return (
            "Example: a made-up bow",
            f"This does not speak of your bow: it is an example until you enter your own. {readings} "
            f"readings and {to_go[INSPECTION]} answers to go. In the example: {words.lower(_use(found.bolts))}.",
        )
    own = tuple(bolt for bolt in found.bolts if found.tells_range(bolt))
    told = [_use(own)] if own else []
    told += [words.capital(_of_one(bolt, found)) for bolt in found.bolts if bolt not in own]
    told += _of_both(found)
    told += [_look_first(found)] if found.waits_for_inspection else []
    known = any(bolt.position.known for bolt in found.bolts)
    after = counted_from(found) if own else "" if known else "Below is an example. It does not speak of your bow."
    return ". ".join(told), f"{NOT_YET} {after}".strip()


NOT_YET, OTHER_FIRST = "Do not string the bow yet.", "Do not string the bow before the other bolt is done."


def _of_one(bolt: BoltRange, found: SafeRanges) -> str:
    count = left(found)[bolt.name]
    return f"{bolt.title}: {_to_go(count) if count else 'all read'}"


def _of_both(found: SafeRanges) -> list[str]:
    count = left(found)[BOTH]
    return [f"Both bolts: {_to_go(count)}"] if count else []


def _look_first(found: SafeRanges) -> str:
    return f"Look the bow over first: {_answers(len(found.waits_for_inspection))}"


def _answers(count: int) -> str:
    return f"{count} {'answer' if count == 1 else 'answers'} to go"


def _to_go(count: int) -> str:
    return f"{count} {'reading' if count == 1 else 'readings'} to go"


def headline(found: SafeRanges) -> str:
    """What the page begins with once anything of the bow was entered; "" before that."""
    if not found.example:
        return "\n".join(f"{bolt.title.capitalize()}: use {_used(bolt)}." for bolt in found.bolts)
    if found.untouched:
        return ""
    told = [
        f"{bolt.title.capitalize()}: use {_used(bolt)}."
        if found.tells_range(bolt)
        else f"{words.capital(_of_one(bolt, found))}."
        for bolt in found.bolts
    ]
    told += [f"{both}." for both in _of_both(found)]
    look = f"{_look_first(found)}. " if found.waits_for_inspection else ""
    return "\n".join((*told, f"{look}{NOT_YET}"))


def line(found: SafeRanges) -> str:
    """The bolt at hand in a few words; "" while nothing is the reader's own."""
    return "" if found.untouched else bolt_line(found.at_hand, found).text


def bolt_line(bolt: BoltRange, found: SafeRanges) -> Line:
    """One bolt in a few words: "Upper: ½ to 4¾, at 2½: inside"."""
    name, title = f"{bolt.name}-line", words.capital(bolt.name)
    if not found.tells_range(bolt):
        own, both = left(found)[bolt.name], left(found)[BOTH]
        if both and not own:
            return Line(name, f"Both bolts: {both} to go")
        return Line(name, f"{title}: {f'{own} to go' if own else 'look the bow over first'}")
    if bolt.window.vanished:
        return Line(name, f"{title}: no turn is safe", "stop")
    used = words.safe_range(bolt.window).removesuffix(" turns out")
    inside = bolt.standing.place is WindowPlace.INSIDE
    return Line(name, f"{title}: {used}, at {_at(bolt)}: {_inside(bolt)}", "go" if inside else "stop")


def bolt_verdict(bolt: BoltRange, found: SafeRanges) -> list[PartVerdict]:
    """The verdict on one bolt, as soon as its own readings are in.

    None where it is outside, and none once both are done: that is the verdict on the bow.
    """
    if not found.tells_range(bolt) or bolt.standing.place is not WindowPlace.INSIDE or bolt.window.vanished:
        return []
    if not found.example:
        return []
    # By the log both may be inside while the count at the bench is still missing.
    waits = NOT_YET if all(map(found.tells_range, found.bolts)) else OTHER_FIRST
    text = f"{STRENGTH} {waits}"
    return [PartVerdict(f"{bolt.name}-verdict", bolt.title.capitalize(), State.GO, f"Use {_used(bolt)}", text)]


def _used(bolt: BoltRange) -> str:
    return f"{words.safe_range(bolt.window)}; it is at {_at(bolt)}: {_inside(bolt)}"


def _use(bolts: tuple[BoltRange, ...]) -> str:
    return ". ".join(_use_one(bolt, first=place == 0) for place, bolt in enumerate(bolts))


def _use_one(bolt: BoltRange, *, first: bool) -> str:
    """What can be used of a bolt, in whole quarters rounded inward, and where it is."""
    if bolt.window.vanished:
        return f"Nothing can be used on the {bolt.title}"
    said = words.safe_range(bolt.window)
    on = bolt.title if first else bolt.name
    said = said if first else said.removesuffix(" turns out")
    return f"Use {said} on the {on}; it is at {_at(bolt)}: {_inside(bolt)}"


def _at(bolt: BoltRange) -> str:
    return words.place(bolt.readings.now.turns)


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
    return Points("sure", "How sure?", tuple(_sure(bolt, found) for bolt in found.bolts), folded=True)


def _sure(bolt: BoltRange, found: SafeRanges) -> str:
    window, now = bolt.window, bolt.readings.now
    if window.vanished:
        return (
            f"Nothing is left between {words.limit(window.inner)} and {words.limit(window.outer)} on the {bolt.title}, "
            "when margin and uncertainty are taken off."
        )
    inner, outer = window.inner, window.outer
    own = found.has_own_range(bolt)
    if bolt.position.known and not own:
        return f"{words.capital(bolt.title)}: all read. Look the bow over first."
    whose = words.capital(bolt.title) if own else f"In the example, {bolt.title}"
    at = (
        f" It is at {fixed(now.turns, 2)} (U {fixed(bolt.standing.uncertainty, 2)})." if found.shows_range(bolt) else ""
    )
    return (
        f"{whose}: from {fixed_up(inner.usable, 2)} to "
        f"{words.turns_down(outer.usable)} out. {words.capital(words.limit(inner))} sets the inner end (U "
        f"{fixed(inner.budget.expanded, 2)}), {words.limit(outer)} the outer end (U "
        f"{fixed(outer.budget.expanded, 2)}).{at} About 95 %."
    )
