"""The made-up bow that a student gets for the lessons of a task: the same for ever from the task's and their number.

It differs from the worked example where it can without leaving what bows are like: in the pocket, the pitch, the
weight, the draw, the tiller and where the bolts stand. What is not drawn here is the example's.
"""

from __future__ import annotations

from functools import lru_cache

from quarterturn.bench.practice_task import bolt_number
from quarterturn.draws import Draws
from quarterturn.record.entries import Entry

AFTER_BOLTS = 1_000_000
"""Added to the number of the student's made-up bolt: bow and bolt do not begin with the same draw."""
WARM_UP = 4
"""Draws that are thrown away: the first ones of two seeds that lie together lie together too."""
DRAWN = (
    ("rise", "mm", 380, 500, 100),
    ("fulcrum_arm", "mm", 560, 660, 10),
    ("limb_depth", "mm", 68, 92, 10),
    ("head_diameter", "mm", 178, 204, 10),
    ("slot_width", "mm", 96, 108, 10),
    ("upper_rim_to_butt", "mm", 18, 32, 10),
    ("upper_touch_turns", "turn", 36, 46, 8),
    ("upper_now_turns", "turn", 14, 20, 8),
    ("draw_weight", "lbf", 56, 84, 2),
    ("draw_length", "in", 109, 114, 4),
    ("upper_tiller", "mm", 355, 361, 2),
    ("lower_tiller", "mm", 347, 353, 2),
)
"""Of each field, in the order of the draws: name, unit, the least and the greatest number of steps, steps to a unit."""
TWINS = (("upper_touch_turns", "lower_touch_turns"), ("upper_rim_to_butt", "lower_rim_to_butt"))
"""What is alike in both pockets."""


@lru_cache(maxsize=64)
def made_up_bow(task: int, student: int) -> tuple[tuple[str, Entry], ...]:
    """Make up a student's bow, as entries of a record.

    Args:
        task: 1 to MOST_TASKS.
        student: 1 to MOST_STUDENTS.

    Raises:
        ValueError: a number is outside its limits.
    """
    draws = Draws(AFTER_BOLTS + bolt_number(task, student))
    for _ in range(WARM_UP):
        draws.integer()
    found = {
        name: Entry(_typed((low + draws.one_of(high - low + 1)) / of), unit) for name, unit, low, high, of in DRAWN
    }
    found |= {twin: found[name] for name, twin in TWINS}
    found["bow_name"] = Entry(f"Made up: task {task}, number {student}")
    return tuple(found.items())


def _typed(number: float) -> str:
    """A number as somebody would type it, without zeros at its end."""
    return f"{number:.3f}".rstrip("0").rstrip(".")
