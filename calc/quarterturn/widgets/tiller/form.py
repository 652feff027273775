"""The form of the page on tiller: the turn that is looked at, and what the bow is made from."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import NEARNESS, POCKET, RISER, STANDS, STRUNG, TURNED

NAME = "tiller"

GROUPS = (
    Group("look", "Turn the bolts", "On this page only.", (*TURNED, "bow_shown")),
    STRUNG,
    Group(
        "weighed",
        "Weighed",
        "Scale readings from the page on draw weight, if there are any, count in place of the weight here.",
        ("draw_weight", "draw_length", "draw_station", "station_offset"),
    ),
    STANDS,
    Group(
        "tried",
        "A turn that you have tried",
        "If you have: string off, one bolt, inside its window. It tells how far your limbs lean.",
        ("upper_tried_tiller", "lower_tried_tiller", "tried_move", "tried_turns"),
        folded=True,
    ),
    NEARNESS,
    RISER,
    Group(
        "twists",
        "Twists of the string",
        "For an estimate only: how many twists put the brace height back.",
        ("string_twists", "string_diameter"),
        folded=True,
    ),
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
