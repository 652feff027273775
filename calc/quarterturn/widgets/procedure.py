"""The bench procedure in words, for the family of bolt, the way flush is looked for, and one or two people."""

from __future__ import annotations

from quarterturn.bench.moves import Move
from quarterturn.numbers import same
from quarterturn.widgets import words

BASELINE = (
    "Strung, nothing turned yet: photograph both pockets and the whole bow.",
    "Mark each bolt's head and the riser beside it with one straight line: the witness mark.",
    "Measure both head heights over the riser's face, both tillers, brace height, nocking point and draw weight.",
)

AFTER = (
    "Lock the bolts: hold the bolt still with one key and tighten its lock with the other. The mark must not move.",
    "String with the stringer. Look at both loops in their nocks, and see that string and limbs lie in one line.",
    "A click, a creak, or a bolt that fingers can turn while the bow is strung: stop, string off, look again.",
    "A few part draws, arrow on the string, toward a clear target. Listen. Only then a full draw.",
    "Measure both tillers and the brace height, and write them beside the first ones.",
)


def bench(felt: bool, stop: bool, way: str, people: str) -> tuple[str, ...]:
    """All steps from the strung bow to the last count; for one bolt, to be repeated on the other."""
    return (
        *BASELINE,
        "String off, with the stringer. Write down where the marks are and which limb is the upper one.",
        _held(people),
        "Back the lock off fully. One that still bites spoils the thread, and feels like a stop.",
        *(_felt(stop, way) if felt else _counted()),
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


def _felt(stop: bool, way: str) -> tuple[str, ...]:
    first = "the stop or flush, whichever comes first," if stop else "flush"
    return (
        "Limb off: from the mark, count out until the thread lets go, and come back by the same count. Measure the "
        "head's rise over four turns. Limb in, and seated.",
        *(_flush(first) if way != "inside" else ()),
        *(_flush_from_inside(way) if way != "outside" else ()),
        "Count from zero to the mark: where the bolt was, and on which side of zero.",
        "From zero, turn out and count, until the strip passes freely at the butt end, over both prongs. Never go past "
        "the maker's or the thread's limit. Come in until it stops on the first prong: first touch. Write down the "
        "count from zero.",
        "Look down on the head and measure how far the butt end is inside its rim, away from the tip.",
    )


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


def turning_back(moves: tuple[Move, ...], hand: str, *, look_first: bool) -> tuple[str, ...]:
    """The moves that bring bolts back into their windows, unstrung; limb out first where one was past flush."""
    first = (
        "Limb out. Inspect head, shank, butt and slot. Any mark, bend or crack: stop, and ask a bow technician. Only "
        "if there is none, go on."
    )
    return (
        "String off, or leave it off. Back the lock off.",
        *((first,) if look_first else ()),
        *(() if hand else (words.LOOK_WHICH_WAY,)),
        *(_one_move(move, hand) for move in moves),
        "Lock the bolts. The witness mark must not move.",
        "Write down where both bolts are now, in the log, with the day. Do not string the bow until the stop here is "
        "gone.",
    )


def _one_move(move: Move, hand: str) -> str:
    """One move of one bolt: how far, which way, and to where."""
    end = "zero" if same(move.end, 0.0) else words.position(move.end)
    return (
        f"{move.bolt.capitalize()} bolt: {words.by_hand(move.turns)} {words.direction(move.turns, hand)}, to {end}. "
        "See that the butt is seated."
    )


def moving(moves: tuple[Move, ...], inside: dict[str, bool], hand: str) -> tuple[str, ...]:
    """The moves as steps to carry out, with what comes between them.

    Args:
        moves: in order.
        inside: for each bolt, whether it is inside its window before the first move.
        hand: the thread's, as `words.hand_of` has it.
    """
    steps = ["String off. Lock backed off. Each turn below is made with the limb seated and the string off."]
    steps += [] if hand else [words.LOOK_WHICH_WAY]
    state = dict(inside)
    for place, move in enumerate(moves):
        steps.append(_one_move(move, hand))
        state[move.bolt] = move.inside
        if all(state.values()) and place < len(moves) - 1:
            steps.append(
                "Lock, string with the stringer, look at loops and line, measure both tillers and the brace height. "
                "String off and lock off again for the next step."
            )
    return (*steps, *AFTER)
