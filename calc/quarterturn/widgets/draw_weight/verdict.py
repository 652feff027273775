"""The title and the sentence of the page on draw weight, and what is said of readings that the curve does not meet."""

from __future__ import annotations

from quarterturn.bench.draw_curve import ScaleReading
from quarterturn.numbers import at_most
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.draw_weight import wording
from quarterturn.widgets.draw_weight.inputs import Curves, said_of


def title(found: Curves) -> str:
    """What the turn does to the weight, or why nothing is predicted."""
    prediction = found.prediction
    if prediction.why_not:
        return "Nothing is predicted there"
    unit, at = wording.force_unit(found), bow_wording.own_draw(found.values)
    now = bow_wording.force(prediction.now.drawn.force, unit)
    if not prediction.turned or prediction.then is None:
        return f"{now} at {at}"
    turned = words.capital(bow_wording.both_moved(prediction.change))
    return f"{turned}: about {bow_wording.force(prediction.then.drawn.force, unit)} at {at}, now {wording.bare(now)}"


def sentence(found: Curves) -> str:
    """What the turn does to weight and energy; from what it is computed."""
    prediction = found.prediction
    if prediction.why_not:
        return f"{prediction.why_not} {_as_it_is(found)}"
    if not prediction.turned or prediction.then is None:
        return f"{_stores(found)} {source(found)} Turn a bolt to see the curve move."
    stored = ""
    if found.then is not None:
        stored = (
            f"The energy stored goes from {wording.bare(wording.energy(found.now.energy(found.own)))} to "
            f"{wording.energy(found.then.energy(found.own))}. "
        )
    return (
        f"For the same string. {stored}{source(found)} See below how sure that is. Take the string off before you "
        "turn a bolt."
    )


def _as_it_is(found: Curves) -> str:
    weight = bow_wording.force(found.prediction.now.drawn.force, wording.force_unit(found))
    return f"Now: {weight} at {bow_wording.own_draw(found.values)}. {_stores(found)} {source(found)}"


def _stores(found: Curves) -> str:
    return f"Drawn that far it stores {wording.energy(found.now.energy(found.own))}."


def source(found: Curves) -> str:
    """From which readings the curve is, which it misses, and which are not used."""
    values, many = found.values, len(found.readings)
    if not many:
        whose = "your one weight" if values.entered("draw_weight") else "the example's one weight"
        return f"The curve is computed through {whose}. Readings over the draw would show its shape."
    which = "your one reading" if many == 1 else f"your {many} readings (least squares)"
    missed = sum(1 for one in found.readings if not one.met)
    but = f" and misses {'them all' if missed == many else f'{missed} of them'}" if missed else ""
    unused = " The one weight below the table is not used." if values.entered("draw_weight") else ""
    return f"The curve is computed through {which}{but}.{unused}"


def unlike(found: Curves) -> tuple[str, ...]:
    """What readings mean that the curve does not go through."""
    beyond = [one for one in found.readings if not one.allowed]
    beside = [one for one in found.readings if one.allowed and not one.met]
    told = []
    if beyond:
        which = words.listed([_said(one, found) for one in beyond])
        told.append(
            f"No computed bow goes through {which}. Weigh there again. If it stays so, your limbs have another shape "
            "than any that is allowed for here."
        )
    if beside:
        which = words.listed([_said(one, found) for one in beside])
        told.append(f"The curve does not go through {which}: your limbs do not quite have the shape taken here.")
    if told:
        told.append(f"Trust your readings for the weight. {_in_proportion(found)}")
    return tuple(told)


def _said(one: ScaleReading, found: Curves) -> str:
    draw, weight = said_of(one.number, found.values)
    return f"{weight} at {draw}"


def _in_proportion(found: Curves) -> str:
    """What the turn makes of the reading nearest to the reader's draw length."""
    then = found.then
    one = min(found.readings, key=lambda each: (abs(each.draw - found.own), each.number))
    if then is None or not (at_most(then.brace, one.draw) and at_most(one.draw, then.full)) or one.bow <= 0:
        return "What a turn does is predicted in proportion only."
    there = one.force * then.force(one.draw) / one.bow
    return (
        f"What a turn does is predicted in proportion only: {_said(one, found)} becomes "
        f"{bow_wording.force(there, wording.force_unit(found))}."
    )


def line(found: Curves) -> str:
    """The weight and what an inch of draw makes of it, for a narrow strip."""
    prediction = found.prediction
    weight = bow_wording.force(prediction.now.drawn.force, wording.force_unit(found))
    return f"{weight} at {bow_wording.own_draw(found.values)}"
