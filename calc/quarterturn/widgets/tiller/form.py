"""The form of the page on tiller: the turn that is looked at, and what the bow is made from."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import NEARNESS, POCKET, RISER, STANDS, STRUNG, TURNED, TWISTS, WEIGHED

NAME = "tiller"

GROUPS = (
    Group("look", "Turn the bolts", "On this page only.", (*TURNED, "bow_shown")),
    STRUNG,
    WEIGHED,
    STANDS,
    Group(
        "tried",
        "A test turn",
        "String off, one bolt, inside its safe range. How far your limbs lean comes from it.",
        ("upper_tried_tiller", "lower_tried_tiller", "tried_move", "tried_turns"),
        folded=True,
    ),
    NEARNESS,
    RISER,
    TWISTS,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
