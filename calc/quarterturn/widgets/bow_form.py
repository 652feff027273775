"""The parts of the form that the pages on the whole bow share: the strung bow, places, lengths, the pocket."""

from __future__ import annotations

from quarterturn.bench.bow_inputs import BowInputsError
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Group

EMPTY = "What you leave empty is the example's."
TURNED = ("upper_change", "lower_change")
STRUNG = Group(
    "strung",
    "Strung, at rest",
    "Before anything is turned, the three of them at the same time.",
    ("brace_height", "upper_tiller", "lower_tiller"),
)
NEARNESS = Group(
    "nearness",
    "How near you read",
    "It decides how sure the answer is, and nothing else.",
    ("tape_step", "scale_step", "draw_step"),
    folded=True,
)
STANDS = Group(
    "stands",
    "Where the bolts stand",
    f"As on the worksheet: it is the same entry. {EMPTY}",
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
    "Scale readings from the page on draw weight, if there are any, count in place of the weight here.",
    ("draw_weight", "draw_length", "draw_station", "station_offset"),
)
TWISTS = Group(
    "twists",
    "Twists of the string",
    "For an estimate only: how many twists put the brace height back.",
    ("string_twists", "string_diameter"),
    folded=True,
)
POCKET = Group(
    "pocket",
    "The pocket",
    f"As on the worksheet: it tells how far the limb rocks in a turn. {EMPTY}",
    ("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "fulcrum_arm", "rise", "rise_turns"),
    folded=True,
)


def in_form(error: BowInputsError, fields: tuple[str, ...]) -> Problem:
    """What a form of these fields says of entries that give no bow, at a field where the reader can put it right."""
    problem = error.problem
    if problem.field in fields:
        return problem
    if error.of_pocket:
        label = BY_NAME[problem.field].label
        return Problem(
            "fulcrum_arm", f"On another page, “{label}” was entered so that no pocket has it. {error.reason}"
        )
    if problem.field == "scale_readings":
        return Problem("draw_weight", f"Entered on another page, the scale readings: {error.reason}")
    return problem
