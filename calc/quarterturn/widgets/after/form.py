"""The form of the page for after the change: the turn, what was measured before and since, the arrow."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import EMPTY, NEARNESS, POCKET, RISER, STANDS, STRUNG, TURNED

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
    Group(
        "weighed",
        "Before the change",
        "Scale readings from the page on draw weight, if there are any, count in place of the weight here.",
        ("draw_weight", "draw_length", "draw_station", "station_offset", "nocking_point"),
    ),
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
