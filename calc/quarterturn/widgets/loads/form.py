"""The form of the page on loads: the turn, the bolt, the bow that pulls, and what they are worked out from."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import EMPTY, NEARNESS, RISER, STANDS, STRUNG

NAME = "loads"

GROUPS = (
    Group("look", "Turn the bolt, choose a bolt", "", ("turns_shown", "limb_shown", "bolt_material")),
    Group(
        "pull",
        "What you draw",
        "If you entered scale readings, they are used instead of this weight.",
        ("draw_weight", "draw_length", "draw_station", "station_offset"),
    ),
    STRUNG,
    Group(
        "thread",
        "The thread",
        f"Measured with the bolt out, by caliper. {EMPTY}",
        (
            *("thread_diameter", "rise", "rise_turns", "bush_metal", "bolt_length", "bush_length"),
            *("upper_stand_zero", "lower_stand_zero", "upper_free_turns", "lower_free_turns"),
        ),
        folded=True,
    ),
    Group(
        "head",
        "Head and lever",
        EMPTY,
        ("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "slot_width", "fulcrum_arm"),
        folded=True,
    ),
    STANDS,
    RISER,
    NEARNESS,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
