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
        "That you have made, or mean to make. On this page only. Left empty, your log's turn counts, if you keep one.",
        TURNED,
    ),
    Group(
        "arrow",
        "Your arrow",
        "The limb maker tells how light an arrow may be. Where he does, his figure holds.",
        ("arrow_mass", "least_mass_per_pound", "arrow_spine"),
    ),
    STRUNG,
    replace(WEIGHED, title="Before the change", fields=(*WEIGHED.fields, "nocking_point")),
    Group(
        "since",
        "Since the change",
        "Strung again, with the same string, before anything else is set.",
        ("weight_after", "brace_after"),
    ),
    STANDS,
    Group(
        "heads",
        "Head heights",
        f"As they stood before. The worksheet's, if you measured there. {EMPTY}",
        ("upper_height_now", "lower_height_now"),
        folded=True,
    ),
    NEARNESS,
    RISER,
    TWISTS,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
