"""What the page on loads says: what each state does to the bolt, and what holds its thread."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.engagement import EngagementRequirement
from quarterturn.mechanics.pocket import ContactState
from quarterturn.numbers import fixed, quarters, same, trimmed
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import words
from quarterturn.widgets.about_bow import MOST_NAMED, STRING_OFF, force_unit, length, tried_turn_unused
from quarterturn.widgets.loads.asked import QUARTER, Asked, Carried

STATES = {
    ContactState.BUTT: "the butt end",
    ContactState.EDGE: "the head's edge",
    ContactState.FLUSH: "the whole overlap",
    ContactState.RIM: "the rim",
    ContactState.OUT_OF_REACH: "nothing",
    ContactState.OFF_HEAD: "nothing",
}
COVER = (
    "By these entries the butt covers no more than half of the bolt. It must cover more (common practice), however "
    "little the bolt is bent: a butt that slips off the head lets go of the limb. Measure again. If it is so, do not "
    "draw the bow, and ask a bow technician."
)
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
    """Where a bolt stands, counted from flush."""
    if same(turns, 0.0):
        return "at flush"
    return f"{words.by_hand(turns)} {'out from' if turns > 0 else 'in past'} flush"


def title(about: Asked) -> str:
    """How the rim compares with what bears in ordinary use."""
    out, rim = about.out, about.rim
    if not (out.touches and rim.touches):
        return "What the bolt carries, state by state"
    bent = ratio(rim.bearing.bending, out.bearing.bending)
    if bent is None or bent <= 1:
        return f"The rim carries about {round_times(rim.bearing.force / out.bearing.force)} the force of {_bears(out)}"
    other = ", and the other way" if out.bearing.bending * rim.bearing.bending < 0 else ""
    whose = "the bolt" if about.example else "your bolt"
    return f"Past flush {whose} is bent about {round_times(bent)} as hard as outside it{other}"


def _bears(carried: Carried) -> str:
    return STATES[carried.bearing.state]


def sentence(about: Asked) -> str:
    """What each state does, with its numbers."""
    unit = force_unit(about.values)
    pulled = f"{trimmed(units.from_si(about.pull.weight, unit), 1)} {units.unit(unit).symbol}"
    first = (
        f"Drawn to {pulled}, the string turns the {about.limb} limb about its fulcrum with {moment(about.pull.moment)}."
    )
    return " ".join((first, _one(about.out, QUARTER), _flush(about), _one(about.rim, -QUARTER)))


def made_up(about: Asked) -> str:
    """What is still the example's, and what makes the answer the reader's own; "" where nothing is."""
    lacking = [BY_NAME[name].label for name in about.missing]
    if not lacking:
        return ""
    if len(lacking) > MOST_NAMED:
        return "Bow and bolt are made up, until you enter your own."
    return f"Still the made-up bow's: {words.listed(lacking)}."


def string_off(about: Asked) -> str:
    """That the bow wants another string than the reader's, and what that says; "" where it does not."""
    bow, values = about.pull.bow, about.values
    off = bow.fitted.string - values.number("string_length")
    if not values.entered("string_length") or abs(off) <= STRING_OFF:
        return ""
    return (
        f"To have this brace height, the bow that is computed needs a string {length(abs(off), about.unit)} "
        f"{'longer' if off > 0 else 'shorter'} than yours. The lengths of riser and limbs, or the limbs' shape, are "
        "not quite yours: measure them again, and take the moment as rougher than it is said to be."
    )


def not_used(about: Asked) -> list[str]:
    """The turn that was tried, where no bow explains it: the moment is computed without it."""
    return tried_turn_unused(about.pull.bow)


def _one(carried: Carried, turns: float) -> str:
    if not carried.touches:
        return f"{at(turns).capitalize()} nothing touches the head, and the fitting carries all."
    borne = carried.bearing
    return (
        f"{at(turns).capitalize()}, {_bears(carried)} presses on the bolt with {newtons(borne.force)} and bends its "
        f"head {side(borne.bending)} with {moment(borne.bending)}."
    )


def _flush(about: Asked) -> str:
    borne = about.flush.bearing
    bound = "a lower bound of the bending" if about.even_is_least else "which here is no lower bound of the bending"
    return f"Spread evenly at flush, it would be {newtons(borne.force)} and {moment(borne.bending)}, {bound}."


def even(about: Asked) -> str:
    """What the even pressure at flush is good for."""
    if about.even_is_least:
        return "Even pressure at flush is a lower bound of the bending: no two surfaces lie so well on each other."
    return "The butt end bears so near the axis that even pressure at flush is no lower bound of the bending here."


def now(about: Asked) -> str:
    """The picture's state in one sentence."""
    borne = about.shown.bearing
    if not about.shown.touches:
        return f"{at(about.turns).capitalize()} nothing presses on the bolt: the pocket's fitting carries everything."
    return (
        f"{at(about.turns).capitalize()}, {_bears(about.shown)} presses on the bolt with {newtons(borne.force)}, "
        f"{words.length(abs(borne.contact_x or 0.0), about.unit)} from its axis, and bends its head "
        f"{side(borne.bending)}."
    )


def wanted(much: EngagementRequirement) -> str:
    """By which rule so much thread is wanted."""
    if much.whole_bush:
        return "all of the riser's thread, which is less than the rule wants"
    return f"{trimmed(much.diameters, 1)} diameter{'' if much.diameters == 1 else 's'} (common practice)"
