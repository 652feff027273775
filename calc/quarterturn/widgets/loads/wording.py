"""Forces, moments, stresses and ratios of the page on loads in words."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.engagement import EngagementRequirement
from quarterturn.mechanics.pocket import ContactState
from quarterturn.numbers import fixed, quarters, same, trimmed
from quarterturn.widgets import words
from quarterturn.widgets.loads.inputs import BoltLoad, LoadInputs

STATES = {
    ContactState.BUTT: "the butt end",
    ContactState.EDGE: "the head's edge",
    ContactState.FLUSH: "the whole overlap",
    ContactState.RIM: "the rim",
    ContactState.OUT_OF_REACH: "nothing",
    ContactState.OFF_HEAD: "nothing",
}
MANY = 10
"""From here on a ratio is told without decimals."""
LARGE = 0.005
"""A moment of less than this, N·m, bends nothing worth a word."""


def newtons(force: float) -> str:
    """A force in whole newtons."""
    return f"{fixed(force, 0)} N"


def moment(value: float) -> str:
    """A moment to a tenth of a newton metre, without its direction."""
    return f"{fixed(abs(value), 1)} N·m"


def stress(value: float) -> str:
    """A stress in whole megapascals."""
    return f"{fixed(units.from_si(value, 'MPa'), 0)} MPa"


def percent(share: float) -> str:
    """A share in whole percent."""
    return f"{fixed(100 * share, 0)} %"


def times(ratio: float) -> str:
    """A ratio with its word."""
    return f"{against(ratio)} times"


def round_times(ratio: float) -> str:
    """A ratio in quarters, a large one in whole numbers, with its word."""
    return f"{quarters(round(4 * ratio) / 4) if abs(ratio) < MANY else fixed(ratio, 0)} times"


def against(ratio: float) -> str:
    """A ratio to two decimals, a large one to none."""
    return fixed(ratio, 2 if abs(ratio) < MANY else 0)


def ratio(one: float, other: float) -> float | None:
    """One over the other, without direction; None where there is nothing to compare with."""
    return None if same(other, 0.0) else abs(one / other)


def side(bending: float) -> str:
    """Which way a bending moment sends the head."""
    if abs(bending) < LARGE:
        return "neither way"
    return "toward the butt" if bending > 0 else "toward the limb tip"


def at(turns: float) -> str:
    """Where a bolt is, counted from flush."""
    if same(turns, 0.0):
        return "at flush"
    return f"{words.amount(turns)} {'out from' if turns > 0 else 'in past'} flush"


def bears(carried: BoltLoad) -> str:
    """What touches the bolt, in words."""
    return STATES[carried.bearing.state]


def even(inputs: LoadInputs) -> str:
    """What the even pressure at flush is good for."""
    if inputs.even_is_least:
        return "Even pressure at flush is a lower bound of the bending: no two surfaces fit so well."
    return "The butt end touches so near the axis that even pressure at flush is no lower bound of the bending here."


def now(inputs: LoadInputs) -> str:
    """The picture's state in one sentence."""
    borne = inputs.shown.bearing
    if not inputs.shown.touches:
        return f"{at(inputs.turns).capitalize()} nothing presses on the bolt: the pocket's fitting carries everything."
    return (
        f"{at(inputs.turns).capitalize()}, {bears(inputs.shown)} presses on the bolt with {newtons(borne.force)}, "
        f"{words.length(abs(borne.contact_x or 0.0), inputs.unit)} from its axis. That bends its head "
        f"{side(borne.bending)}."
    )


def wanted(much: EngagementRequirement) -> str:
    """By which rule this much thread is wanted."""
    if much.whole_bush:
        return "all of the riser's thread, which is less than the rule wants"
    if much.diameters == 1:
        return "thread wanted: 1 diameter (common practice, no source)"
    return f"thread wanted: {trimmed(much.diameters, 1)} diameters (common practice, no source)"
