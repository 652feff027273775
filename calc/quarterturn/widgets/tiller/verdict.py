"""The title and the sentence of the page on tiller."""

from __future__ import annotations

from quarterturn.bench.outcomes import Outcome, outcome
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.turn_prediction import TurnPrediction


def title(prediction: TurnPrediction) -> str:
    """What the bow measures, or what the turn does to tiller, or why nothing is predicted."""
    if prediction.why_not:
        return "Nothing is predicted there"
    if not prediction.turned or prediction.then is None:
        return words.capital(_as_it_is(outcome(prediction.now), prediction))
    now, there = outcome(prediction.now), outcome(prediction.then)
    before = bow_wording.whole(now.tiller, prediction.unit).rpartition(" ")[0]
    turned = words.capital(bow_wording.both_moved(prediction.change))
    return f"{turned}: tiller about {bow_wording.whole(there.tiller, prediction.unit)}, now {before}"


def sentence(prediction: TurnPrediction) -> str:
    """What the turn does to all that is measured, in round numbers."""
    now = outcome(prediction.now)
    if prediction.why_not:
        return f"{prediction.why_not} Now: {_as_it_is(now, prediction)}."
    if not prediction.turned or prediction.then is None:
        return f"{words.capital(meaning(now.tiller))}. Turn a bolt to see what would change."
    there = outcome(prediction.then)
    unit = bow_wording.force_unit(prediction.values)
    return (
        f"With the same string expect about {bow_wording.force(there.weight, unit)} at "
        f"{bow_wording.own_draw(prediction.values)}, now {bow_wording.force(now.weight, unit)}, and the brace height "
        f"{_change(there.brace_height - now.brace_height, prediction)}. Take the string off before you turn a "
        "bolt."
    )


def _change(by: float, prediction: TurnPrediction) -> str:
    """By how much a length changes, in whole millimetres."""
    text = bow_wording.whole(abs(by), prediction.unit)
    if words.is_nothing(text):
        return f"changed by less than {'1 mm' if prediction.unit == 'mm' else '0.01 in'}"
    return f"{text} {'more' if by > 0 else 'less'}"


def _as_it_is(now: Outcome, prediction: TurnPrediction) -> str:
    unit = bow_wording.force_unit(prediction.values)
    return (
        f"tiller {bow_wording.whole(now.tiller, prediction.unit)}, brace height "
        f"{bow_wording.whole(now.brace_height, prediction.unit)}, "
        f"{bow_wording.force(now.weight, unit)} at {bow_wording.own_draw(prediction.values)}"
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


def headline(prediction: TurnPrediction) -> str:
    """What the bow is now, and what the turn that is looked at does to it."""
    now = words.capital(_as_it_is(outcome(prediction.now), prediction))
    if prediction.why_not or not prediction.turned or prediction.then is None:
        return f"{now}."
    there = outcome(prediction.then)
    unit = bow_wording.force_unit(prediction.values)
    return (
        f"{now}.\n{words.capital(bow_wording.both_moved(prediction.change))}: about "
        f"{bow_wording.force(there.weight, unit)}, tiller about {bow_wording.whole(there.tiller, prediction.unit)}."
    )


def line(prediction: TurnPrediction) -> str:
    """Draw weight and tiller, before and after, for a narrow strip."""
    now, unit = outcome(prediction.now), bow_wording.force_unit(prediction.values)
    weight, tiller = bow_wording.force(now.weight, unit), bow_wording.whole(now.tiller, prediction.unit)
    if prediction.why_not or not prediction.turned or prediction.then is None:
        return f"{weight} · tiller {tiller}"
    there = outcome(prediction.then)
    return (
        f"{_bare(weight)} → {bow_wording.force(there.weight, unit)} · tiller {_bare(tiller)} → "
        f"{bow_wording.whole(there.tiller, prediction.unit)}"
    )


def _bare(text: str) -> str:
    return text.rpartition(" ")[0]


def weight_line(prediction: TurnPrediction) -> str:
    """What a weighing just entered tells; "" before there is one."""
    values = prediction.values
    if not values.entered("draw_weight"):
        return ""
    weight = bow_wording.force(values.number("draw_weight"), bow_wording.force_unit(values))
    return f"{weight} at {bow_wording.own_draw(values)}. A weight without its draw length is half a weight."


def tiller_line(prediction: TurnPrediction) -> str:
    """What two tillers just entered mean; "" before there are two."""
    values = prediction.values
    if not all(map(values.entered, ("upper_tiller", "lower_tiller"))):
        return ""
    return bow_wording.tiller_told(values.number("upper_tiller") - values.number("lower_tiller"), prediction.unit)


def brace_line(prediction: TurnPrediction) -> str:
    """What a brace height just entered means; "" before there is one."""
    values = prediction.values
    if not values.entered("brace_height"):
        return ""
    return f"{bow_wording.whole(values.number('brace_height'), prediction.unit)}. The maker's range comes first."
