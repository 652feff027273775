"""The title and the sentence of the page on paper: what a strip can tell."""

from __future__ import annotations

import math

from quarterturn.numbers import quarters, rounded
from quarterturn.widgets import words
from quarterturn.widgets.paper.inputs import PaperInputs


def title(inputs: PaperInputs) -> str:
    """How early flush is felt with this strip, at most."""
    strip = words.length(inputs.strip, inputs.unit)
    if inputs.strip_resolution.outside is None:
        return f"A strip of {strip} is too thick to feel flush here"
    return f"With a strip of {strip} you feel flush up to {_up(inputs.strip_resolution.outside)} early"


def _up(turns: float) -> str:
    """In quarters of a turn, rounded up: so much at most."""
    size = math.ceil(rounded(4 * turns) - 1e-9) / 4
    return f"{quarters(size)} {words.turn_word(size)}"


def sentence(inputs: PaperInputs) -> str:
    """What the strip tells from outside, from inside and at first touch."""
    told = inputs.strip_resolution
    if told.outside is None:
        first = (
            "Coming in from outside, it stops at the rim before the head has even touched the limb, so you cannot "
            "feel flush. Take a thinner strip."
        )
    else:
        first = "Coming in from outside, it stops before true flush. That is the careful side."
    second = (
        "From inside it never goes in at all."
        if told.inside is None
        else f"Backing out, it stops up to {_up(told.inside)} late. That is not careful, so all of it is taken off."
    )
    third = f"You feel first touch up to {_up(told.touch)} early."
    return f"{first} {second} {third}"


def line(inputs: PaperInputs) -> str:
    """How early flush is felt, for a narrow strip."""
    if inputs.strip_resolution.outside is None:
        return "Too thick to tell flush here"
    return f"Flush felt up to {_up(inputs.strip_resolution.outside)} early"
