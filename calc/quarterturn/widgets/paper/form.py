"""The form of the page on paper: the strip, how finely a hand counts, head and lever."""

from __future__ import annotations

from quarterturn.widgets.answer import Group

NAME = "paper"

GROUPS = (
    Group("strip", "The strip", "", ("strip_thickness", "strip_wanted", "limb_shown")),
    Group(
        "hand",
        "How finely you count and measure",
        "For an empty box a usual value is assumed.",
        ("smallest_turn", "play", "caliper_step", "rise", "rise_turns"),
    ),
    Group(
        "head",
        "Head and lever",
        "An empty box uses the example's value.",
        (
            *("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "slot_width", "fulcrum_arm", "limb_depth"),
            "length_unit",
        ),
        folded=True,
    ),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
