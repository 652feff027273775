"""The title and the sentence of the page for after the change."""

from __future__ import annotations

from quarterturn.bench.arrows import MassJudgement
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.after import arrow_wording
from quarterturn.widgets.after.arrow_wording import LOOK_UP
from quarterturn.widgets.after.inputs import BowChange


def title(shown: BowChange) -> str:
    """What is to be done, or why not."""
    if shown.stopped is MassJudgement.LIGHT:
        return "Stop: this arrow is too light"
    if shown.stopped is MassJudgement.NEAR:
        return "Too close to tell: take a heavier arrow"
    if not shown.by:
        return "Nothing is predicted there"
    found = shown.held
    if found is not None and shown.values.entered("arrow_mass") and shown.own_weight:
        unit = arrow_wording.ratio_unit(shown.values)
        has = arrow_wording.ratio_down(found.ratio, unit)
        if shown.by_maker:
            arrow = arrow_wording.mass(found.mass, arrow_wording.mass_unit(shown.values))
            wants = arrow_wording.least(shown)
            return f"Your {arrow} arrow is heavy enough: {has}, and the limb maker wants {wants}"
        return f"Look up how light an arrow your limb maker permits: yours has {has}"
    if not shown.prediction.turned:
        return "No bolt is turned: this is how to set the bow"
    return f"{words.capital(bow_wording.both_moved(shown.prediction.change))}: what to set again, and in which order"


def sentence(shown: BowChange) -> str:
    """The draw weight before and after, what that is for the arrow, and what comes first."""
    if shown.stopped is not None:
        return f"{_arrow(shown)} {arrow_wording.what_is_wrong(shown)} {_weights(shown)}"
    steps = shown.by and shown.turns
    first = "Now set again what it moves, in order: first the line of the limbs, last the sight." if steps else ""
    return " ".join(filter(None, (_arrow(shown), _weights(shown), first)))


def _weights(shown: BowChange) -> str:
    unit, prediction = bow_wording.force_unit(shown.values), shown.prediction
    before = bow_wording.force(shown.before, unit)
    at = bow_wording.own_draw(shown.values)
    if shown.by == "weighed" and shown.after is not None:
        return f"Draw weight at {at}: {before} before, {bow_wording.force(shown.after, unit)} weighed since."
    if shown.by == "foretold" and shown.after is not None:
        return f"Draw weight at {at}: {before} before, about {bow_wording.force(shown.after, unit)} expected."
    if shown.by == "same":
        return f"Draw weight at {at}: {before}."
    return f"{prediction.why_not} Draw weight now: {before} at {at}."


def _arrow(shown: BowChange) -> str:
    found = shown.held
    if found is None:
        return LOOK_UP if not shown.by_maker else "Weigh an arrow and enter its mass: it is not entered yet."
    whose = "Your arrow" if shown.values.entered("arrow_mass") else "The example arrow"
    weighs, holds = (
        arrow_wording.mass(found.mass, arrow_wording.mass_unit(shown.values)),
        arrow_wording.ratio_down(found.ratio, arrow_wording.ratio_unit(shown.values)),
    )
    has = f"{whose} of {weighs} has {holds}"
    if shown.by_maker:
        return f"{has} of draw weight; the limb maker wants {arrow_wording.least(shown)}."
    if found.judged is MassJudgement.LIGHT:
        return f"{has} of draw weight; lighter than {arrow_wording.least(shown)} is certainly too light for any bow."
    return f"{has} of draw weight. {LOOK_UP}"


def line(shown: BowChange) -> str:
    """Whether the arrow is heavy enough, for a narrow strip."""
    found = shown.held
    if found is None or not shown.values.entered("arrow_mass"):
        return "Weigh an arrow first"
    has = arrow_wording.ratio_down(found.ratio, arrow_wording.ratio_unit(shown.values))
    if shown.stopped is MassJudgement.LIGHT:
        return f"{has}: too light"
    if shown.stopped is MassJudgement.NEAR:
        return f"{has}: too near to tell"
    return f"{has}, minimum {arrow_wording.least(shown)}" if shown.by_maker else f"{has}: look up the minimum"
