"""What the page on tiller says."""

from __future__ import annotations

from quarterturn.bench.bow_doubt import Outcome, outcome
from quarterturn.widgets import about_bow as said
from quarterturn.widgets.about_bow import About


def title(shown: About) -> str:
    """What the turn does to tiller, or why nothing is foretold."""
    now = outcome(shown.now)
    if shown.why_not:
        return "Nothing is foretold there"
    if not shown.turned or shown.then is None:
        return f"Your tiller is {said.length(now.tiller, shown.unit)}"
    moved = said.both_moved(shown.change)
    there = outcome(shown.then)
    return (
        f"{moved[0].upper()}{moved[1:]}: tiller {_plain(now.tiller, shown)} to {said.length(there.tiller, shown.unit)}"
    )


def _plain(value: float, shown: About) -> str:
    return said.length(value, shown.unit).rpartition(" ")[0]


def sentence(shown: About) -> str:
    """What the turn does to all that is measured, with its numbers."""
    now = outcome(shown.now)
    if shown.why_not:
        return f"{shown.why_not} As it stands, {_as_it_is(now, shown)}."
    if not shown.turned or shown.then is None:
        return f"As it stands, {_as_it_is(now, shown)}. Turn a bolt to see what would change."
    there = outcome(shown.then)
    unit = said.force_unit(shown.values)
    return (
        f"Foretold for the same string: draw weight {said.force(now.weight, unit, 1).rpartition(' ')[0]} to "
        f"{said.force(there.weight, unit)} at {said.own_draw(shown.values)}, brace height "
        f"{_plain(now.brace_height, shown)} to {said.length(there.brace_height, shown.unit)}, tiller "
        f"{_plain(now.tiller, shown)} to {said.length(there.tiller, shown.unit)}. How sure that is stands below. The "
        "string is off the bow while a bolt is turned."
    )


def _as_it_is(now: Outcome, shown: About) -> str:
    unit = said.force_unit(shown.values)
    return (
        f"the upper limb is {said.length(now.upper_tiller, shown.unit)} from the string and the lower "
        f"{said.length(now.lower_tiller, shown.unit)}: tiller {said.length(now.tiller, shown.unit)}, brace height "
        f"{said.length(now.brace_height, shown.unit)}, {said.force(now.weight, unit)} at {said.own_draw(shown.values)}"
    )


def meaning(tiller: float) -> str:
    """What a tiller of this sign is called."""
    if abs(tiller) < 0.00025:
        return "even: both limbs are as far from the string"
    return (
        "positive: the upper limb is farther from the string"
        if tiller > 0
        else "negative: the lower limb is farther from the string"
    )
