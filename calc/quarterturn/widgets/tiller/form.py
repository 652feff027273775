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
        "A turn that you have tried",
        "If you have: string off, one bolt, inside its window. It tells how far your limbs lean.",
        ("upper_tried_tiller", "lower_tried_tiller", "tried_move", "tried_turns"),
        folded=True,
    ),
    NEARNESS,
    RISER,
    TWISTS,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
