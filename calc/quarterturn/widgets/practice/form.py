"""The form of the practice bench: which made-up bolt, the hand, the counts, the range that is chosen; what is kept."""

from __future__ import annotations

from quarterturn.widgets.answer import Group

NAME = "practice"
HELD = ("came", "offered", "strip", "prong", "tip")
"""How a hand was, by the ends of its fields' names."""
READINGS = ("zero", "touch")
MADE = {
    reading: tuple(f"practice_{reading}{end}" for end in ("", *(f"_{one}" for one in HELD))) for reading in READINGS
}
HAND = ("practice_turned", "practice_offered", "practice_strip", "practice_prong", "practice_tip")
MOVED = ("practice_before", "practice_came", "practice_deepest")
COUNTS = ("practice_now_turns", "practice_now_side", "practice_touch_turns")
CHOSEN = ("practice_stands", "practice_inner", "practice_outer")
SHOWN = "practice_shown"
TASK = ("practice_task", "practice_student")
CLASS = ("practice_lessons", "practice_class", "practice_key", "practice_code")

GROUPS = (
    Group("bolt", "Which made-up bolt", "", ("practice_level", "practice_bolt")),
    Group("hand", "Your hands", "", HAND),
    Group("counts", "What you counted", "", COUNTS),
    Group("chosen", "Your answer", "", CHOSEN),
    Group("task", "In a class", "", TASK),
    Group("class", "For the instructor", "", CLASS),
    Group("kept", "Kept by the page", "", (*MOVED, *MADE["zero"], *MADE["touch"], SHOWN), folded=True),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
OF_THIS_BOLT = tuple(name for name in ASKED if name not in ("practice_level", "practice_bolt", *TASK, *CLASS))
"""What another bolt does not keep."""
