"""The form of the page on carrying a plan out: the log of settings, and what is wanted."""

from __future__ import annotations

from dataclasses import replace

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_events import HAPPENED
from quarterturn.widgets.bow_form import POCKET, RISER, STANDS, STRUNG, WEIGHED
from quarterturn.widgets.plan_form import KEPT, NEAR, WANTED, WORTH

NAME = "carry-out"

GROUPS = (
    Group(
        "log",
        "What you set and measured",
        "One entry after every step. Count places from zero; a minus is in past zero. Keep entries of one day in "
        "order.",
        ("log",),
    ),
    HAPPENED,
    WANTED,
    WORTH,
    KEPT,
    STRUNG,
    replace(WEIGHED, title="Weighed before the first step"),
    STANDS,
    NEAR,
    RISER,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
