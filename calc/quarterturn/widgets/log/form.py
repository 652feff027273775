"""The form of the log: its rows, and how near they were read."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_events import HAPPENED

NAME = "log"

GROUPS = (
    Group(
        "log",
        "Your log",
        "Weigh at the same draw length every time, or the weights show nothing about the bolts. A bolt that you leave "
        "empty is where it was last written.",
        ("bow_name", "log"),
    ),
    HAPPENED,
    Group(
        "nearness",
        "How closely you read",
        "It only sets how sure the numbers are.",
        ("scale_step", "tape_step", "length_unit"),
        folded=True,
    ),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
