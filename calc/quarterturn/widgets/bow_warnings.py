"""What must be known before a number of the whole bow is read: the warnings that its pages share."""

from __future__ import annotations

from quarterturn.bench.bow_inputs import BowInputs
from quarterturn.numbers import fixed
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets import bow_wording, judgement_wording, words
from quarterturn.widgets.answer import Points
from quarterturn.widgets.turn_prediction import TurnPrediction

COMPUTED = "The numbers here are computed for this setting, from your earlier readings."
STRONG = 0.010
"""Where a turn moves tiller by more than this, m, it is said (our own measure)."""
UNLIKE = 1.3
"""Where one limb would be so many times as stiff as the other, it is said (our own measure)."""
STRING_OFF = 0.010
"""Where the bow wants another string than was measured by more than this, m, it is said (our own measure)."""


def warnings(prediction: TurnPrediction) -> list[Points]:
    """What must be known before a number is read."""
    values = prediction.values
    found = judgement_wording.other_bolt(values, "What is computed here")
    told = [problem.sentence for problem in values.unfinished("scale_readings")]
    told += _line_anew(values)
    told += string_off(prediction.bow, "predictions are rougher")
    told += [*_unlike(prediction), *_half_tried(values), *tried_turn_unused(prediction.bow)]
    if told:
        found.append(Points("told", "Look at these again", tuple(told), "caution"))
    return found


def _line_anew(values: Values) -> list[str]:
    if "events" not in values.record.entries:
        return []
    from quarterturn.widgets import bow_events

    return bow_events.line_anew(values, computed=True)


def by_log(prediction: TurnPrediction, reading: str = COMPUTED) -> list[Points]:
    """Where the bolts are by the log, and how the page's numbers go with that; nothing where they were not moved."""
    if not prediction.moved:
        return []
    upper, lower = map(words.position, prediction.start)
    sentence = f"By your log the upper bolt is now {upper}, the lower one {lower}. {reading}"
    return [Points("by-log", "Where the bolts are, by your log", (sentence,))]


def string_off(bow: BowInputs, rougher: str) -> list[str]:
    """Say that the computed bow needs another string than the reader's, and what is `rougher` for it."""
    off = bow.fitted.string - bow.values.number("string_length")
    if not bow.values.entered("string_length") or abs(off) <= STRING_OFF:
        return []
    return [
        f"For this brace height the computed bow needs a string {bow_wording.length(abs(off), bow.unit)} "
        f"{'longer' if off > 0 else 'shorter'} than yours. So the lengths of riser and limbs, or the limbs' shape, "
        f"are not quite yours. Measure them again; until then, {rougher}."
    ]


def _unlike(prediction: TurnPrediction) -> list[str]:
    ratio = prediction.bow.fitted.ratio
    if 1 / UNLIKE <= ratio <= UNLIKE:
        return []
    return [
        f"By these readings the {'lower' if ratio > 1 else 'upper'} limb is {fixed(max(ratio, 1 / ratio), 2)} times as "
        "stiff as the other. No pair of limbs differs so much. Measure both tillers again, and check which is which."
    ]


def _half_tried(values: Values) -> list[str]:
    entered = [bolt for bolt in BOLTS if values.entered(f"{bolt}_tried_tiller")]
    if len(entered) != 1:
        return []
    lacking = "lower" if entered == ["upper"] else "upper"
    return [f"The test turn is not used yet: enter the {lacking} limb's distance after it too."]


def tried_turn_unused(bow: BowInputs) -> list[str]:
    """Say that the test turn is not used, what it would have to have done, and what to do if it was right."""
    tried = bow.tried_outlier
    if tried is None:
        return []
    change = bow_wording.signed(bow_wording.length(tried.change, bow.unit))
    begun = f"The test turn is not used. By your four readings it changed tiller by {change}"
    if tried.expected is None:
        return [f"{begun}, but no bolt can be brought there in the computed pocket. Count the turn again."]
    least, most = (bow_wording.signed(bow_wording.length(each, bow.unit)) for each in tried.expected)
    return [
        f"{begun}. Even with all that may be off, the computed bow gives {least} to {most}. Measure all four again, "
        "as closely as you can, and count the turn again. A whole turn shows more than a half. If it is so again, "
        "turn nothing farther. Leave the string off and ask a qualified coach or a bow technician."
    ]


def _unloading(bow: BowInputs) -> str:
    """What must be known of a bow that is near unloading one limb into the other; "" of all others."""
    if not bow.near_unloading:
        return ""
    return (
        " By these readings the limbs are almost out of balance: one of them is near unloading into the other. Leave "
        "the string off and ask a qualified coach or a bow technician."
    )


def strong(prediction: TurnPrediction) -> Points | None:
    """Warn where a turn moves tiller much more than usual."""
    most = max(abs(prediction.response.upper.tiller), abs(prediction.response.lower.tiller))
    if most <= STRONG:
        return None
    sentence = (
        f"By these readings a turn of one bolt moves tiller by {fixed(1000 * most, 0)} mm, more than twice the usual. "
        "A reading may be off: measure again, the pocket too."
    ) + (
        _unloading(prediction.bow) or " If it is so, ask a qualified coach or a bow technician before you turn a bolt."
    )
    return Points("strong", "Tiller moves too easily", (sentence,), "stop")
