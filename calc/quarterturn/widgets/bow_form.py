"""The parts of the form that the pages on the whole bow share: the strung bow, places, lengths, the pocket."""

from __future__ import annotations

from quarterturn.bench.bow_inputs import BowInputsError
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Group

EMPTY = "An empty box uses the example's value."
TURNED = ("upper_change", "lower_change")
STRUNG = Group(
    "strung",
    "Strung, not drawn",
    "Measure all three before you turn anything.",
    ("brace_height", "upper_tiller", "lower_tiller"),
)
NEARNESS = Group(
    "nearness",
    "How closely you read",
    "It only sets how sure the answer is.",
    ("tape_step", "scale_step", "draw_step"),
    folded=True,
)
STANDS = Group(
    "stands",
    "Where the bolts are",
    f"The same entries as under Find the safe range. {EMPTY}",
    ("upper_now_side", "upper_now_turns", "lower_now_side", "lower_now_turns"),
    folded=True,
)
RISER = Group(
    "riser",
    "Riser, limbs, string",
    f"By tape. {EMPTY}",
    ("upper_fulcrum", "fulcrum_span", "limb_length", "limb_depth", "string_length", "string_upper", "length_unit"),
    folded=True,
)
WEIGHED = Group(
    "weighed",
    "Weighed",
    "If you entered scale readings, they are used instead of this weight.",
    ("draw_weight", "draw_length", "draw_station", "station_offset"),
)
TWISTS = Group(
    "twists",
    "Twists of the string",
    "Only for an estimate of how many twists bring the brace height back.",
    ("string_twists", "string_diameter"),
    folded=True,
)
POCKET = Group(
    "pocket",
    "The pocket",
    f"As under Find the safe range. How far the limb rocks in a turn comes from it. {EMPTY}",
    ("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "fulcrum_arm", "rise", "rise_turns"),
    folded=True,
)


def in_form(error: BowInputsError, fields: tuple[str, ...]) -> Problem:
    """What a form of these fields says of entries that give no bow, at a field where the reader can correct it."""
    problem = error.problem
    if problem.field in fields:
        return problem
    if error.of_pocket:
        label = BY_NAME[problem.field].label
        return Problem("fulcrum_arm", f"Correct “{label}” on its own page: no pocket has this value. {error.reason}")
    if problem.field == "scale_readings":
        return Problem("draw_weight", f"Scale readings, entered on another page: {error.reason}")
    return problem
