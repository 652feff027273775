"""The title and the sentence of the explorer: where the limb touches, what the strip does, how far it still is."""

from __future__ import annotations

from quarterturn.mechanics.pocket import ContactState
from quarterturn.numbers import at_most, fixed, same
from quarterturn.widgets import words
from quarterturn.widgets.pocket_explorer.inputs import ExplorerInputs

STATES = {
    ContactState.BUTT: "the butt end touches the head",
    ContactState.EDGE: "the head's edge touches the limb's back",
    ContactState.FLUSH: "the limb is flat on the head",
    ContactState.RIM: "only the rim touches",
    ContactState.OUT_OF_REACH: "past first touch, the head touches nothing",
    ContactState.OFF_HEAD: "the butt is off the head, nothing touches",
}


def title(inputs: ExplorerInputs) -> str:
    """Where the bolt is, and what touches."""
    return f"{words.capital(from_flush(inputs.turns))}: {STATES[inputs.contact.state]}"


def sentence(inputs: ExplorerInputs) -> str:
    """Where it touches and what the strip does, in round numbers."""
    return f"{_where(inputs)} {strip_says(inputs)}"


def _where(inputs: ExplorerInputs) -> str:
    found, unit = inputs.contact, inputs.unit
    if found.state is ContactState.FLUSH:
        return "The load spreads over the whole overlap."
    if found.state is ContactState.OFF_HEAD or found.contact_x is None:
        return "The butt end no longer reaches under the head; the pocket's fitting carries everything."
    if found.state is ContactState.OUT_OF_REACH:
        return (
            f"The fitting holds the limb, and {tenths(found.gap or 0.0, unit)} of air is between head and butt: the "
            "fitting carries all."
        )
    off = whole(abs(found.contact_x), unit)
    side = "toward the limb tip" if found.contact_x > 0 else "toward the butt"
    what = "The rim" if found.state is ContactState.RIM else "The head"
    return f"{what} touches along one line, {off} from the bolt's axis {side}."


def from_flush(turns: float) -> str:
    """Where a bolt is, counted from flush."""
    if same(turns, 0.0):
        return "at flush"
    return f"{words.amount(turns)} {'out' if turns > 0 else 'past flush'}"


def whole(value: float, unit: str) -> str:
    """A length in whole millimetres, or hundredths of an inch."""
    return words.length(value, unit, 0 if unit == "mm" else 2)


def tenths(value: float, unit: str) -> str:
    """A length to a tenth of a millimetre, or a thousandth of an inch; less than that is said so."""
    places, least = (1, "0.1 mm") if unit == "mm" else (3, "0.001 in")
    text = words.length(value, unit, places)
    return f"less than {least}" if words.is_nothing(text) else text


def strip_says(inputs: ExplorerInputs) -> str:
    """What the strip does where it is offered, and what that hides."""
    unit = inputs.unit
    strip = f"a strip of {words.length(inputs.strip, unit)}"
    place = "At the rim" if inputs.side == "rim" else "At the butt end"
    if inputs.gap is None:
        return f"{place} there is nothing to feel."
    gap = tenths(inputs.gap, unit)
    if at_most(inputs.gap, inputs.strip):
        if fixed(inputs.gap, 5) == "0.00000":
            return f"{place} there is no gap, and {strip} does not go in."
        return f"{place} the gap is {gap}, and {strip} does not go in: it would feel closed.{_still(inputs)}"
    depth = whole(inputs.goes_in, unit)
    if inputs.pushed < (inputs.reach or 0.0):
        return f"{place} the gap is {gap}; {strip} goes in {depth}, and could go on."
    return f"{place} the gap is {gap}; {strip} goes in {depth} and stops."


def _still(inputs: ExplorerInputs) -> str:
    if inputs.side == "rim" and inputs.turns > 0:
        return f" Flush is still {words.amount(inputs.turns)} farther in."
    if inputs.side == "butt" and inputs.turns < 0:
        return f" Flush is still {words.amount(-inputs.turns)} farther out."
    if inputs.side == "butt" and inputs.touch is not None and inputs.turns > inputs.touch:
        return f" First touch is still {words.amount(inputs.turns - inputs.touch)} farther in."
    return ""


def spoken(inputs: ExplorerInputs) -> str:
    """One short line for those who hear the page."""
    return f"{title(inputs)}. {strip_says(inputs)}"


TOUCHES = {
    ContactState.BUTT: "butt end touches",
    ContactState.EDGE: "head's edge touches",
    ContactState.FLUSH: "flat on the head",
    ContactState.RIM: "only the rim touches",
    ContactState.OUT_OF_REACH: "nothing touches",
    ContactState.OFF_HEAD: "nothing touches",
}
"""What touches, in a few words."""


def line(inputs: ExplorerInputs) -> str:
    """Where the bolt is, what touches and the gap, for a narrow strip."""
    gap = "" if inputs.gap is None else f" · gap {tenths(inputs.gap, inputs.unit)}"
    return f"{words.capital(from_flush(inputs.turns))} · {TOUCHES[inputs.contact.state]}{gap}"


def headline(inputs: ExplorerInputs) -> str:
    """Where the bolt is that is shown, what touches, and what paper does there."""
    place = "in the picture" if inputs.values.entered("turns_shown") else "now"
    does = (
        ""
        if inputs.gap is None
        else f", and paper {_goes(inputs)} at the {'rim' if inputs.side == 'rim' else 'butt end'}"
    )
    return f"Your {inputs.limb} bolt, {place} {from_flush(inputs.turns)}: {TOUCHES[inputs.contact.state]}{does}."


def _goes(inputs: ExplorerInputs) -> str:
    return "does not go in" if at_most(inputs.gap or 0.0, inputs.strip) else "goes in"
