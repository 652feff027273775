"""The form of the page on loads: the turn, the bolt, the pull, and what they are worked out from."""

from __future__ import annotations

from quarterturn.widgets.answer import Group

NAME = "loads"
EMPTY = "What you leave empty is the example's."

GROUPS = (
    Group("look", "Turn the bolt, choose a bolt", "", ("turns_shown", "limb_shown", "bolt_material")),
    Group("pull", "What you draw", "", ("draw_weight", "draw_length", "draw_station")),
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
        (
            *("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "slot_width", "fulcrum_arm", "limb_depth"),
            "length_unit",
        ),
        folded=True,
    ),
    Group(
        "string",
        "The bow around it",
        f"They tell how long a lever the string has. {EMPTY}",
        ("brace_height", "upper_tiller", "lower_tiller", "string_length", "fulcrum_span", "tip_length"),
        folded=True,
    ),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
