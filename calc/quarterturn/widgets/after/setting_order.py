"""The order in which a bow is set again after its bolts were turned."""

from __future__ import annotations

from quarterturn.bench import nocking
from quarterturn.bench.bow_fit import FitError
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.after.inputs import BowChange
from quarterturn.widgets.answer import Steps
from quarterturn.widgets.bow_form import TURNED


def order(shown: BowChange) -> Steps:
    """The steps, each with the number to expect where one is predicted."""
    return Steps(
        "order",
        "The order",
        (
            "String the bow with the stringer. Look at both loops and listen. Draw a little, twice, and let down each "
            "time.",
            "Line of the limbs, before tiller. Seen from behind, the string runs along the middle of both limbs. If it "
            "does not, string off, and set it as the maker describes. Moving a limb sideways changes tiller: write it "
            "down, and earlier tillers are not compared.",
            f"Brace height.{_brace(shown)} Bring it into the maker's range by twists of the string, string off.",
            f"Tiller.{_tiller(shown)} If it is not what you want, go back to the bolts now, or you do all that follows "
            "twice. Then weigh the bow.",
            f"Nocking point.{_nock(shown)} Set it by the bow square.",
            "Rest and plunger: the line of the arrow first, then the spring of the plunger.",
            "Clicker: at full draw, as you draw now. A heavier bow is often drawn a little shorter.",
            "Sight: shoot near first. A heavier bow shoots higher, so its marks move up; a lighter one the other way.",
            f"After the first dozen arrows, check witness marks, locks and both head heights{_heads(shown)}. If one "
            "has moved: string off, put the bolt back where it was, lock it. Never tighten a limb bolt to make it "
            "stay.",
        ),
        f"{_for_turn(shown)}Each step changes what comes after it, and almost nothing before it.",
        how=(words.STRING_ON, words.STRING_OFF),
    )


def _for_turn(shown: BowChange) -> str:
    """For which turn numbers are told to expect; of the log's turn it is said above."""
    if shown.by_log or shown.prediction.then is None or not shown.prediction.turned:
        return ""
    own = any(shown.values.entered(name) for name in TURNED)
    more = "" if own else "Set your own turn with the sliders. "
    return f"The numbers are for this turn: {bow_wording.both_moved(shown.prediction.change)}. {more}"


def _brace(shown: BowChange) -> str:
    prediction = shown.prediction
    unit = prediction.unit
    was = bow_wording.length(prediction.bow.setup.brace_height, unit)
    measured = shown.since.get("brace_height")
    if measured is not None:
        return f" It was {was} and is {bow_wording.length(measured, unit)} with the same string."
    if prediction.then is not None and prediction.turned:
        then = bow_wording.length(prediction.then.braced.brace_height, unit)
        return f" It was {was}; expect {then} with the same string."
    return f" It was {was}."


def _tiller(shown: BowChange) -> str:
    prediction = shown.prediction
    was = bow_wording.length(prediction.now.braced.belly_tiller, prediction.unit)
    if shown.line_anew:
        now = shown.since.get("tiller")
        is_ = "" if now is None else f" It is {bow_wording.length(now, prediction.unit)}."
        return f"{is_} The line of the limbs was set anew: it is not compared with the {was} from before."
    if "tiller" in shown.since:
        return f" It was {was} and is {bow_wording.length(shown.since['tiller'], prediction.unit)}."
    if prediction.then is None or not prediction.turned:
        return f" It was {was}."
    return f" It was {was}; expect {bow_wording.length(prediction.then.braced.belly_tiller, prediction.unit)}."


def _nock(shown: BowChange) -> str:
    prediction = shown.prediction
    if prediction.then is None or not prediction.turned:
        return ""
    try:
        more = nocking.change(prediction.bow, prediction.start, prediction.there, shown.nock)
    except (FitError, PocketError):
        return ""
    way = "higher" if more > 0 else "lower"
    return f" Expect it {bow_wording.length(abs(more), prediction.unit)} {way} over square: measure it."


def _heads(shown: BowChange) -> str:
    parts = []
    for bolt in BOLTS:
        stood = shown.values.optional(f"{bolt}_height_now")
        if stood is not None:
            parts.append(f"{bolt} {bow_wording.length(stood + shown.head_change(bolt), shown.prediction.unit, 2)}")
    return f" ({', '.join(parts)})" if parts else ", as you wrote them down"
