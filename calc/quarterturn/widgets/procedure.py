"""The bench procedure in words, for the bolts' family and lock, the way flush is looked for, and one or two people."""

from __future__ import annotations

from quarterturn.bench.moves import Move
from quarterturn.numbers import same
from quarterturn.record.values import Values
from quarterturn.widgets import words

BASELINE = (
    "Strung, nothing turned yet: photograph both pockets and the whole bow.",
    "Mark each bolt's head and the riser beside it with one straight line: the witness mark.",
    "Measure both head heights over the riser's face, both tillers, brace height, nocking point and draw weight.",
)

LOCK = "Lock the bolts: hold the bolt still with one key and tighten its lock with the other. The mark must not move."
UNLOCK = "Back the lock off fully. One that still bites spoils the thread, and feels like a stop."
_AFTER = (
    "String with the stringer. Look at both loops in their nocks, and see that string and limbs lie in one line.",
    "A click, a creak, or a bolt that fingers can turn while the bow is strung: stop, string off, look again.",
    "A few part draws, arrow on the string, toward a clear target. Listen. Only then a full draw.",
    "Measure both tillers and the brace height, and write them beside the first ones.",
)


def after(values: Values) -> tuple[str, ...]:
    """What comes after the last turn, from the lock to the tape."""
    return (lock_on(values, LOCK), *_AFTER)


def bench(felt: bool, stop: bool, values: Values) -> tuple[str, ...]:
    """All steps from the strung bow to the last count; for one bolt, to be repeated on the other."""
    return (
        *BASELINE,
        "String off, with the stringer. Write down where the marks are and which limb is the upper one.",
        _held(values.choice("people")),
        lock_off(values, UNLOCK),
        *(_felt(stop, values) if felt else _counted()),
        "Turn the bolt back to its mark, or to where the next steps put it. Then do the other bolt.",
    )


def _held(people: str) -> str:
    if people == "two":
        return (
            "One holds the riser in the lap and eases the limb's tip lightly toward the archer's side for every "
            "reading. The other turns, offers the strip and says each count aloud; the first repeats it and writes it "
            "down."
        )
    return (
        "Lay the riser on two cushions, bolt heads up, limbs free of the bench: their weight eases the tips toward "
        "the archer's side. If a butt does not rise against its head, lay a folded towel near the tip. Write every "
        "count down before you turn on."
    )


COUNT_THREAD = (
    "Limb off: from the mark, count out until the thread lets go, and come back by the same count. Measure the head's "
    "rise over four turns. Limb in, and seated."
)
LEAVE_THREAD = (
    "Limb off: leave the captive bolt in, and do not count its thread. The maker's limit, or the lengths of bolt and "
    "thread, tell how far out it may go. Measure the head's rise over four turns. Limb in, and seated."
)


def _felt(stop: bool, values: Values) -> tuple[str, ...]:
    way = values.choice("flush_way")
    first = "the stop or flush, whichever comes first," if stop else "flush"
    return (
        LEAVE_THREAD if values.choice("bolt_lock") == "captive" else COUNT_THREAD,
        *(_flush(first) if way != "inside" else ()),
        *(_flush_from_inside(way) if way != "outside" else ()),
        *(CLICK_IS_ZERO if _clicks(values) else ()),
        "Count from zero to the mark: where the bolt was, and on which side of zero.",
        "From zero, turn out and count, until the strip passes freely at the butt end, over both prongs. Never go past "
        "the maker's or the thread's limit. Come in until it stops on the first prong: first touch. Write down the "
        "count from zero.",
        "Look down on the head and measure how far the butt end is inside its rim, away from the tip.",
    )


CLICK_IS_ZERO = ("Let the bolt rest in a click for every reading: zero is the click at which the strip has stopped.",)


def _flush(first: str) -> tuple[str, ...]:
    return (
        f"Find {first} from outside. The strip goes in at the rim of the head, on the side of the limb tip, over both "
        "prongs. Turn in an eighth of a turn at a time, until it stops on the first prong. That is zero.",
    )


def _flush_from_inside(way: str) -> tuple[str, ...]:
    after = (
        "Count from there out to the reading from outside, which stays zero."
        if way == "both"
        else "That is zero. It is inside true flush, and that is taken off for you."
    )
    return (
        "From inside: go in by quarter turns, and no farther than the strip needs to go in at the butt end. Back out "
        f"until it stops going in there, on the last of the two prongs. {after}",
    )


def _counted() -> tuple[str, ...]:
    return (
        "Find the place that the manual counts from, and call it zero. If it cannot be found, ask the maker or a bow "
        "technician.",
        "Count from zero to the mark: where the bolt was, and on which side of zero.",
    )


def turning_back(moves: tuple[Move, ...], values: Values, *, look_first: bool) -> tuple[str, ...]:
    """The moves that bring bolts back into their windows, unstrung; limb out first where one was past flush."""
    first = (
        "Limb out. Inspect head, shank, butt and slot. Any mark, bend or crack: stop, and ask a bow technician. Only "
        "if there is none, go on."
    )
    return (
        f"String off, or leave it off. {lock_off(values, 'Back the lock off.')}",
        *((first,) if look_first else ()),
        *(() if words.hand_of(values) else (words.LOOK_WHICH_WAY,)),
        *(_one_move(move, values) for move in moves),
        *between_two(values),
        lock_on(values, "Lock the bolts. The witness mark must not move."),
        "Write down where both bolts are now, in the log, with the day. Do not string the bow until the stop here is "
        "gone.",
    )


def _one_move(move: Move, values: Values) -> str:
    """One move of one bolt: how far, which way, and to where."""
    end = "zero" if same(move.end, 0.0) else words.position(move.end)
    far = f"{words.by_hand(move.turns)}{in_clicks(move.turns, values)}"
    return (
        f"{move.bolt.capitalize()} bolt: {far} {words.direction(move.turns, words.hand_of(values))}, to {end}. "
        "See that the butt is seated."
    )


def moving(moves: tuple[Move, ...], inside: dict[str, bool], values: Values) -> tuple[str, ...]:
    """The moves as steps to carry out, with what comes between them.

    Args:
        moves: in order.
        inside: for each bolt, whether it is inside its window before the first move.
        values: for the thread's hand, and the lock of the bolts.
    """
    unlocked = lock_off(values, "Lock backed off.")
    steps = [f"String off. {unlocked} Each turn below is made with the limb seated and the string off."]
    steps += [] if words.hand_of(values) else [words.LOOK_WHICH_WAY]
    steps += between_two(values)
    state = dict(inside)
    for place, move in enumerate(moves):
        steps.append(_one_move(move, values))
        state[move.bolt] = move.inside
        if all(state.values()) and place < len(moves) - 1:
            steps.append(
                f"{on_in_short(values)} with the stringer, look at loops and line, measure both tillers "
                f"and the brace height. {again(values)}"
            )
    return (*steps, *after(values))


# The lock of the bolts, and turns in clicks


_LOCK_OFF = {
    "none": "No lock was seen on this bow. Look once more: one that still bites spoils the thread.",
    "set_screw": "Slacken the set screw of each bolt that is turned, by two turns (common practice, no source).",
    "counter_nut": "Hold each bolt that is turned with one key, and loosen its counter nut with the other.",
    "collet": "Loosen the screw of the collet or wedge, and tap nothing. Once it lets go, the bolt turns evenly.",
    "detent": "Nothing to loosen: a detent clicks as the bolt turns.",
    "drag": "Nothing to loosen: a spring or an insert drags evenly. Where the bolt stops is an end: force nothing.",
    "captive": "Loosen the lock, if it has one. Take no ring, pin or lock apart: this bolt stays in.",
}
_LOCK_ON = {
    "none": "Nothing locks these bolts. See that the witness mark on each head is where you set it.",
    "set_screw": "Tighten the set screws. The witness mark on each head must not move with it.",
    "counter_nut": "Hold each bolt still with one key and tighten its counter nut with the other. The witness mark on "
    "each head must not move with it.",
    "collet": "Tighten the collet or wedge. The witness mark on each head must not move with it.",
    "detent": "Let each bolt rest in a click, never between two.",
    "drag": "Nothing to tighten: the drag holds. See that the witness mark on each head is where you set it.",
    "captive": "Tighten the lock again, if it has one, and nothing else. The witness mark on each head must not move "
    "with it.",
}
_LOCK_SHORT = {
    "none": ("", "See that the marks stand, string"),
    "set_screw": ("Slacken the set screws. ", "Tighten the set screws, string"),
    "counter_nut": ("Loosen the counter nuts. ", "Tighten the counter nuts, string"),
    "collet": ("Loosen the collets or wedges. ", "Tighten the collets or wedges, string"),
    "detent": ("", "Rest in a click, string"),
    "drag": ("", "See that the marks stand, string"),
}


def lock_off(values: Values, unknown: str) -> str:
    """How the lock is loosened; `unknown` where nobody has said which it is."""
    return _LOCK_OFF.get(values.choice("bolt_lock"), unknown)


def lock_on(values: Values, unknown: str) -> str:
    """How it is tightened again; `unknown` where nobody has said which it is."""
    return _LOCK_ON.get(values.choice("bolt_lock"), unknown)


def off_in_short(values: Values, unknown: str = "") -> str:
    """The same within a step that is one line, with a space after it."""
    return _LOCK_SHORT.get(values.choice("bolt_lock"), (unknown, ""))[0]


def on_in_short(values: Values) -> str:
    """How it is tightened before the bow is strung, within a step that is one line: "Lock, string"."""
    return _LOCK_SHORT.get(values.choice("bolt_lock"), ("", "Lock, string"))[1]


def again(values: Values) -> str:
    """The string off once more for the next step, and the lock."""
    kind = values.choice("bolt_lock")
    if kind in ("none", "detent", "drag"):
        return "String off again for the next step."
    return f"String off and {'screws slack' if kind == 'set_screw' else 'lock off'} again for the next step."


def in_clicks(turns: float, values: Values) -> str:
    """Turns in clicks, to stand after them; "" where no detent's clicks are known."""
    return f" ({_in_words(turns, values)})" if _clicks(values) else ""


def between_two(values: Values) -> tuple[str, ...]:
    """What to do where a quarter turn ends between two clicks; none where it ends in one."""
    if not _clicks(values) or same(_clicks(values) % 4, 0.0):
        return ()
    return (
        "A quarter of a turn is no whole number of clicks here. Rest in the last click before it, and write down the "
        "clicks you made, over those of a turn.",
    )


def clicks_told(values: Values) -> str:
    """What was said of the clicks, once it was."""
    each = _clicks(values)
    if not each:
        return ""
    return (
        f"Half a turn is {_in_words(0.5, values)}. A count of 20 clicks is written 20/{each}: {words.turns(20 / each)}."
        " The safe range then ends on whole clicks."
    )


# Only where the bolts click is anything of clicks imported.


def _clicks(values: Values) -> int:
    """How many clicks a turn has; 0 where there are none, or nobody has counted them."""
    if values.choice("bolt_lock") != "detent":
        return 0
    from quarterturn.bench.locks import clicks

    return clicks(values)


def _in_words(turns: float, values: Values) -> str:
    """How many clicks so many turns are: "4 clicks", "1 click", or "between 1 and 2 clicks"."""
    from quarterturn.bench.locks import in_clicks

    exact = in_clicks(abs(turns), _clicks(values))
    if same(exact, float(round(exact))):
        return f"{round(exact)} {'click' if round(exact) == 1 else 'clicks'}"
    return f"between {int(exact)} and {int(exact) + 1} clicks"
