"""The form of the page on draw weight: the turn that is looked at, the scale readings, what the bow is made from."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import NEARNESS, POCKET, RISER, STANDS, STRUNG, TURNED

NAME = "draw-weight"

GROUPS = (
    Group("look", "Turn the bolts", "On this page only.", TURNED),
    Group(
        "readings",
        "Weighed over the draw",
        "As many as you like. Three of them in the last 3 in show how the weight rises there.",
        ("scale_readings", "draw_station", "station_offset"),
    ),
    Group(
        "weighed",
        "At your own draw length",
        "This weight is used while the table has no reading.",
        ("draw_length", "draw_weight", "marked_weight"),
    ),
    STRUNG,
    STANDS,
    NEARNESS,
    RISER,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
