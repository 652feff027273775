"""What the practice bench says: turns in eighths, what is felt, what comes next."""

from __future__ import annotations

from quarterturn.figures.closed_pocket import SEEN
from quarterturn.mechanics.pocket import ContactState
from quarterturn.numbers import rounded
from quarterturn.widgets import words
from quarterturn.widgets.practice.inputs import PracticeInputs

THROUGH = 0.8
"""A strip that goes in by this part of the head's width is said to go through."""
EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def eighths(turns: float) -> str:
    """A number of turns in eighths, rounded to the nearest, without its sign.

    >>> eighths(-2.375), eighths(0.0), eighths(0.5)
    ('2⅜', '0', '½')
    """
    whole, part = divmod(round(abs(rounded(turns)) * 8), 8)
    return f"{whole or ''}{EIGHTHS[part]}" or "0"


def counted(turns: float) -> str:
    """A place in words: "2⅜ turns out", "½ turn in", "no turn"."""
    text = eighths(turns)
    if text == "0":
        return "no turn"
    unit = "turn" if round(abs(turns) * 8) <= 8 else "turns"
    return f"{text} {unit} {'out' if turns > 0 else 'in'}"


def strip_does(shown: PracticeInputs) -> str:
    """What the strip does, in a few words."""
    reach = shown.felt.reach
    if reach is None:
        return "No limb under the head"
    if reach == 0.0:
        return "The strip does not go in"
    if reach >= THROUGH * 2 * shown.bolt.pocket.rim_reach:
        return "The strip goes through"
    return f"The strip goes in {words.length(reach, 'mm', 0)}"


def feel(shown: PracticeInputs, state: ContactState) -> str:
    """What is seen or felt now, a sentence or two."""
    if shown.felt.at_stop:
        return "The bolt comes to a hard stop. Do not force it."
    end = ""
    if shown.felt.at_end:
        way = "in: the rim would crush the limb" if shown.felt.head < 0 else "out: the thread is at its end"
        end = f" It goes no farther {way}."
    return f"{SEEN[state] if shown.in_sight else strip_does(shown)}.{end}"


def next_thing(shown: PracticeInputs) -> str:
    """What to do next, a sentence or two."""
    if shown.open:
        return "Take another bolt, or a harder level."
    if shown.zero is None:
        return _find_zero(shown)
    if shown.now_turns is None:
        return "Next: enter how many turns from zero to where you found it, and on which side."
    if shown.touch is None and shown.touch_turns is None:
        return _find_touch(shown)
    if shown.touch_turns is None:
        return "Next: enter how many turns from zero to first touch."
    if not shown.stands:
        return "Next: say where the bolt was when you found it."
    if not shown.chosen:
        return "Next: say from where to where you would use it."
    return "Next: see the truth."


def _find_zero(shown: PracticeInputs) -> str:
    if shown.in_sight:
        return "Next: turn until head and limb lie flat on each other, and call that zero."
    return (
        "Next: ease the tip. Offer the strip at the rim over both prongs. Turn out until it goes in, then in by "
        "eighths. Where it stops, call it zero."
    )


def _find_touch(shown: PracticeInputs) -> str:
    if shown.in_sight:
        return "Next: turn out until the head leaves the limb. Come back to where they meet: first touch."
    return (
        "Next: offer the strip at the butt end. Turn out from zero and count, until it passes. Come in by eighths. "
        "Where it stops is first touch."
    )
