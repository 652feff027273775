"""What the page on draw weight says."""

from __future__ import annotations

from quarterturn import units
from quarterturn.numbers import at_most, fixed
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import words
from quarterturn.widgets.draw_weight.asked import Curves, ReadRise, Rise

STIFFNESS = {"lbf": "lbf/in", "N": "N/cm", "kgf": "kgf/cm"}
"""The unit of a slope, by that of the force."""
STATIONS = {
    "amo": "draw length AMO",
    "pivot": "draw length to the pivot point",
    "plunger": "draw length to the plunger",
    "rest": "draw length to the rest",
}
FOOT_POUND = units.to_si(12.0, "in") * units.to_si(1.0, "lbf")


def force_unit(found: Curves) -> str:
    """The unit that this reader weighs in."""
    return said.force_unit(found.values)


def slope_unit(found: Curves) -> str:
    """The unit of a slope for this reader."""
    return STIFFNESS[force_unit(found)]


def bare(text: str) -> str:
    """A number without its unit, where the unit follows later in the sentence."""
    return text.rpartition(" ")[0]


def slope(value: float, found: Curves) -> str:
    """A slope in this reader's unit."""
    unit = slope_unit(found)
    return f"{fixed(units.from_si(value, unit), 2)} {units.unit(unit).symbol}"


def energy(value: float) -> str:
    """An energy."""
    return f"{fixed(value, 1)} J"


def foot_pounds(value: float, found: Curves) -> str:
    """An energy as those who weigh in pounds know it; "" for the others."""
    return f"{fixed(value / FOOT_POUND, 1)} ft·lb" if force_unit(found) == "lbf" else ""


def draw(length: float, found: Curves) -> str:
    """A draw length (from the pivot point, m) as this reader counts it, without the station."""
    unit = said.draw_unit(found.values)
    return words.length(found.tape(length), unit, 1 if unit == "in" else 0)


def title(found: Curves) -> str:
    """What the turn does to the weight, or why nothing is foretold."""
    shown = found.shown
    if shown.why_not:
        return "Nothing is predicted there"
    unit, at = force_unit(found), said.own_draw(found.values)
    now = said.force(shown.now.drawn.force, unit)
    if not shown.turned or shown.then is None:
        return f"{now} at {at}"
    turned = words.capital(said.both_moved(shown.change))
    return f"{turned}: about {said.force(shown.then.drawn.force, unit)} at {at}, now {bare(now)}"


def sentence(found: Curves) -> str:
    """What the turn does to weight and energy; from what it is computed."""
    shown = found.shown
    if shown.why_not:
        return f"{shown.why_not} {_as_it_is(found)}"
    if not shown.turned or shown.then is None:
        return f"{_stores(found)} {source(found)} Turn a bolt to see the curve move."
    stored = ""
    if found.then is not None:
        stored = (
            f"The energy stored goes from {bare(energy(found.now.energy(found.own)))} to "
            f"{energy(found.then.energy(found.own))}. "
        )
    return (
        f"For the same string. {stored}{source(found)} How sure that is stands below. The string is off the bow while "
        "a bolt is turned."
    )


def _as_it_is(found: Curves) -> str:
    weight = said.force(found.shown.now.drawn.force, force_unit(found))
    return f"As it is: {weight} at {said.own_draw(found.values)}. {_stores(found)} {source(found)}"


def _stores(found: Curves) -> str:
    return f"Drawn so far it stores {energy(found.now.energy(found.own))}."


def source(found: Curves) -> str:
    """From which readings the curve is, which it misses, and which are not used."""
    values, many = found.values, len(found.readings)
    if not many:
        whose = "your one weight" if values.entered("draw_weight") else "the example's one weight"
        return f"The curve is computed through {whose}; readings over the draw would tell its shape."
    which = "your one reading" if many == 1 else f"your {many} readings (least squares)"
    missed = sum(1 for one in found.readings if not one.met)
    but = f" and misses {'them all' if missed == many else f'{missed} of them'}" if missed else ""
    unused = " The one weight below the table is not used." if values.entered("draw_weight") else ""
    return f"The curve is computed through {which}{but}.{unused}"


# Whether it stacks


def stacks(rise: Rise, read: ReadRise | None) -> str:
    """Say whether the bow stacks: "yes", "no", or that it cannot be told; the reader's readings come first."""
    if read is not None and abs(_gap(read)) > 2 * read.doubt:
        return "yes" if _gap(read) > 0 else "no"
    if rise.stack is None or abs(rise.stack.slope - rise.stack.even) <= 2 * rise.gap_doubt:
        return "cannot be told"
    return "yes" if rise.stack.stacks else "no"


def _gap(read: ReadRise) -> float:
    return read.measured.slope - read.even


def why_stacks(rise: Rise, read: ReadRise | None, found: Curves) -> str:
    """By what that was told."""
    if read is not None and abs(_gap(read)) > 2 * read.doubt:
        return (
            f"by your own readings: over the last {draw_span(read.measured.span, found)} they rise by "
            f"{bare(slope(read.measured.slope, found))} ± {slope(2 * read.doubt, found)}, and an even share from the "
            f"strung bow is {slope(read.even, found)}"
        )
    if rise.stack is None:
        return "the draw is too short for it"
    by = (
        f"by the computed curve: at your draw it rises by {bare(slope(rise.stack.slope, found))} ± "
        f"{slope(2 * rise.doubt, found)}, and an even share from the strung bow is {slope(rise.stack.even, found)}"
    )
    if stacks(rise, None) == "cannot be told":
        return f"{by}; the limbs' shape decides it, and three readings in the last 3 in would tell more"
    return by


def draw_span(span: float, found: Curves) -> str:
    """A stretch of the draw, in this reader's unit."""
    unit = said.draw_unit(found.values)
    return words.length(span, unit, 1 if unit == "in" else 0)


# Readings that the curve does not meet


def unlike(found: Curves) -> tuple[str, ...]:
    """What readings mean that the curve does not go through."""
    beyond = [one for one in found.readings if not one.allowed]
    beside = [one for one in found.readings if one.allowed and not one.met]
    told = []
    if beyond:
        which = words.listed([f"{one.said[1]} at {one.said[0]}" for one in beyond])
        told.append(
            f"No bow that is computed here goes through {which}. Weigh there again. If it stays so, your limbs are of "
            "another shape than any that is allowed for here."
        )
    if beside:
        which = words.listed([f"{one.said[1]} at {one.said[0]}" for one in beside])
        told.append(f"The curve does not go through {which}: your limbs are not quite of the shape that is taken here.")
    if told:
        told.append(f"Believe your readings for the weight. {_in_proportion(found)}")
    return tuple(told)


def _in_proportion(found: Curves) -> str:
    """What the turn makes of the reading nearest to the reader's draw length."""
    then = found.then
    one = min(found.readings, key=lambda each: (abs(each.draw - found.own), each.number))
    if then is None or not (at_most(then.brace, one.draw) and at_most(one.draw, then.full)) or one.bow <= 0:
        return "What a turn does is foretold in proportion only."
    there = one.force * then.force(one.draw) / one.bow
    return (
        f"What a turn does is foretold in proportion only: {one.said[1]} at {one.said[0]} becomes "
        f"{said.force(there, force_unit(found))}."
    )
