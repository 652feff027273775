"""The form of the page for after the change: the turn, what was measured before and since, the arrow."""

from __future__ import annotations

from dataclasses import replace

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import EMPTY, NEARNESS, POCKET, RISER, STANDS, STRUNG, TURNED, TWISTS, WEIGHED

NAME = "after"

GROUPS = (
    Group(
        "look",
        "The turn",
        "The turn that you made or mean to make, for After a turn only. If empty, your log's turn is used.",
        TURNED,
    ),
    Group(
        "arrow",
        "Your arrow",
        "If the limb maker gives a figure for the lightest arrow, use it.",
        ("arrow_mass", "least_mass_per_pound", "arrow_spine"),
    ),
    STRUNG,
    replace(WEIGHED, title="Before the change", fields=(*WEIGHED.fields, "nocking_point")),
    Group(
        "since",
        "Since the change",
        "Strung again, with the same string, before you set anything else.",
        ("weight_after", "brace_after"),
    ),
    STANDS,
    Group(
        "heads",
        "Head heights",
        f"As they were before, if you measured them. {EMPTY}",
        ("upper_height_now", "lower_height_now"),
        folded=True,
    ),
    NEARNESS,
    RISER,
    TWISTS,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
