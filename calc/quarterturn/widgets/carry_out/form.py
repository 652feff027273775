"""The form of the page on carrying a plan out: the log of settings, and what is wanted."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_events import HAPPENED
from quarterturn.widgets.bow_form import POCKET, RISER, STANDS, STRUNG
from quarterturn.widgets.plan_form import KEPT, NEAR, WANTED, WORTH

NAME = "carry-out"

GROUPS = (
    Group(
        "log",
        "What you set and measured",
        "One entry after every step. Where the bolts stand is counted from zero; a minus is in past zero. Entries of "
        "one day count in the order in which they stand.",
        ("log",),
    ),
    HAPPENED,
    WANTED,
    WORTH,
    KEPT,
    STRUNG,
    Group(
        "weighed",
        "Weighed before the first step",
        "Scale readings from the page on draw weight, if there are any, count in place of the weight here.",
        ("draw_weight", "draw_length", "draw_station", "station_offset"),
    ),
    STANDS,
    NEAR,
    RISER,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
