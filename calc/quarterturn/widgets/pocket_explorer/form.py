"""The form of the explorer: what is turned and slid, and every dimension of the pocket."""

from __future__ import annotations

from quarterturn.widgets.answer import Group

NAME = "pocket"
PLAY = ("turns_shown", "strip_pushed", "strip_offered", "strip_shown", "limb_shown")
HEAD = ("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "slot_width", "rise", "rise_turns")
LIMB = ("fulcrum_arm", "lever_travel", "lever_turns", "limb_depth")
FITTING = ("upper_touch_turns", "lower_touch_turns", "tip_travel", "tip_length")
STRIP = ("strip_thickness", "length_unit")

GROUPS = (
    Group("play", "Turn the bolt, slide the strip", "", PLAY),
    Group(
        "head",
        "The bolt's head and thread",
        "Measured with the limb off, by caliper. An empty box uses the example's value.",
        HEAD,
        folded=True,
    ),
    Group(
        "limb",
        "The limb on its fulcrum",
        "The arm is hard to measure in the pocket. Instead, turn the bolt and measure how far the tip moves.",
        LIMB,
        folded=True,
    ),
    Group(
        "fitting",
        "How far the fitting lets it rock",
        "First touch is the best measure of it. The free travel of the tip predicts it.",
        FITTING,
        folded=True,
    ),
    Group("strip", "Your strip, and units", "", STRIP, folded=True),
)
