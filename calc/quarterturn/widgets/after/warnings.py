"""What the page for after the change warns of: too light an arrow, a bolt outside its window, no maker's figure."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.arrows import MassCheck, MassJudgement
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.after import arrow_wording
from quarterturn.widgets.after.arrow_wording import LOOK_UP
from quarterturn.widgets.after.inputs import BowChange
from quarterturn.widgets.answer import Points

DRY = (
    "A light arrow leaves the bow with too much of its own energy, as a dry-fire does. Limbs, riser or string can "
    "break."
)
CAUTIONS = (
    *words.CAUTIONS,
    f"Never shoot an arrow that is lighter than the limb maker permits. {DRY}",
    "A limb bolt is positioned, never torqued. Its place is what counts, and its lock keeps it there.",
)
ASK = (
    "Tiller, brace height or draw weight is not what was expected, even after you counted the turns and measured "
    "again.",
    "A bolt or its lock does not stay where you put it, or the bow makes a sound that it did not make before.",
    "The string does not run along the middle of both limbs, or a limb has a line, a lifted edge or a twist. String "
    "off, and do not shoot.",
    "You cannot hold the bow steady at full draw, or it hurts: it is too heavy for you.",
    "Arrows still fly badly with brace height, nocking point and plunger set: a coach sees what no page can.",
    "You do not know how light an arrow the limb maker permits.",
)
"""When to see a coach or a technician."""


def by_log(shown: BowChange) -> Points | None:
    """Say that the turn is the one of the log; None where it is not."""
    if not shown.by_log:
        return None
    turn = f"The turn is from your log, since your first count: {bow_wording.both_moved(shown.prediction.change)}."
    read = " What you read after it is used instead of the predictions." if shown.since else ""
    return Points("by-log", "The turn that you made", (f"{turn}{read} Move a slider to look at another.",))


def outside(shown: BowChange) -> Points | None:
    """A stop where the turn leaves a bolt's window; nothing where it does not, or no window is known."""
    prediction = shown.prediction
    if prediction.then is not None or prediction.bow.windows is None or not prediction.turned:
        return None
    beyond = prediction.bow.outside(prediction.there)
    if not beyond:
        return None
    which = f"the {beyond[0]} bolt is" if len(beyond) == 1 else "both bolts are"
    sentence = (
        f"After that turn {which} outside the safe range. If you have made it: string off, bring it back, and only "
        "then go on. Do not shoot a bow that is set like this."
    )
    return Points("beyond", "Outside the safe range", (sentence,), "stop")


def light(shown: BowChange) -> Points | None:
    """A stop where the arrow is too light or too near to it; nothing where it is not."""
    found = shown.held
    if found is None or found.judged is MassJudgement.ENOUGH:
        return None
    if shown.stopped is not None:
        return Points("light", "Too light an arrow", (_counted(shown, found), DRY), "stop")
    example = "The draw weight is an example. Enter yours first: only then is this about your arrow."
    return Points("light", "Too light an arrow", (arrow_wording.what_is_wrong(shown), example), "caution")


def _counted(shown: BowChange, found: MassCheck) -> str:
    """The sum, as a reader can do it."""
    weight = bow_wording.force_unit(shown.values)
    unit = arrow_wording.ratio_unit(shown.values)
    more = bow_wording.force(found.heaviest - found.weight, weight)
    return (
        f"{arrow_wording.mass(found.mass, arrow_wording.mass_unit(shown.values))} over "
        f"{bow_wording.force(found.weight, weight)} is {arrow_wording.finely(found.ratio, unit)}. "
        f"{words.capital(arrow_wording.least_by(shown))} is {arrow_wording.ratio(found.least, unit)}. Scale "
        f"and draw may be off, so the draw weight may be {more} more."
    )


def general(shown: BowChange) -> Points | None:
    """Say what the general figure is worth, where there is no maker's; or that a maker's is lower."""
    figure = arrow_wording.ratio(
        units.to_si(5.0, "gr/lbf"),
        arrow_wording.ratio_unit(shown.values),
        1 if arrow_wording.ratio_unit(shown.values) == "gr/lbf" else 3,
    )
    if not shown.by_maker:
        sentence = (
            f"{LOOK_UP} Below the published general figure, {figure}, an arrow is certainly too light. It has no "
            "figure of its own for recurve bows. Many limb makers want a heavier arrow than that "
            "(common practice, no source)."
        )
        return Points("general", "The limb maker's figure is missing", (sentence,))
    general_one = units.to_si(5.0, "gr/lbf")
    if shown.least < general_one * (1 - 1e-9):
        sentence = (
            f"The maker's {arrow_wording.least(shown)} is less than the published general figure, {figure}. Read it "
            "again in the manual before you use it."
        )
        return Points("general", "Less than the general figure", (sentence,), "caution")
    return None
