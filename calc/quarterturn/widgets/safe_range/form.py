"""The form: which fields it asks for, in which order."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField
from quarterturn.record.fields.bolts import PER_BOLT, STAND
from quarterturn.record.fields.bow import BASELINE
from quarterturn.record.fields.inspection import INSPECTED_ON, INSPECTION
from quarterturn.record.fields.pocket import LEVER, POCKET, THREAD_LENGTHS
from quarterturn.record.fields.strip_and_margins import METHOD
from quarterturn.widgets.answer import Group

NAME = "safe-range"


def _names(fields: tuple[AnyField, ...], *prefixes: str) -> tuple[str, ...]:
    names = [field.name for field in fields]
    return tuple(name for name in names if not prefixes or name.startswith(prefixes))


def _without(names: tuple[str, ...], *left_out: str) -> tuple[str, ...]:
    return tuple(name for name in names if name not in left_out)


THREAD = ("rise", "rise_turns", "thread_diameter", "bush_metal", "caliper_step")
COUNTING = ("smallest_turn", "play", "margin", "maker_in", "maker_out")
GROUPS = (
    Group("bow", "Which bow, which bolt", "", ("bow_name", "bolt_family")),
    Group(
        "inspection",
        "The inspection",
        "The short list: answer what you have looked at. One fault is a stop, whatever else is entered. What you "
        "answered in full under Look it over need not be answered again.",
        (*_names(INSPECTION), INSPECTED_ON, "inspected_by"),
    ),
    Group(
        "baseline",
        "As it was, strung",
        "Before you turn anything. This is your way back.",
        _names(BASELINE),
        folded=True,
    ),
    Group(
        "method",
        "How you looked",
        "",
        ("people", *_without(_names(METHOD), *COUNTING, "goal"), "head_diameter"),
    ),
    Group("upper", "Upper bolt", "All counts are turns, and never negative.", _names(PER_BOLT, "upper_")),
    Group("lower", "Lower bolt", "All counts are turns, and never negative.", _names(PER_BOLT, "lower_")),
    Group(
        "counting",
        "Counting, margin, and the maker's limits",
        "What you leave empty is assumed, and the answer says so.",
        COUNTING,
        folded=True,
    ),
    Group(
        "thread",
        "The thread",
        "What you leave empty is assumed, and the answer says so.",
        (*THREAD, *_names(THREAD_LENGTHS), *_names(STAND)),
        folded=True,
    ),
    Group(
        "pocket",
        "The pocket",
        "What you leave empty is assumed, and the answer says so.",
        (*_without(_names(POCKET), "head_diameter", *THREAD), *_names(LEVER)),
        folded=True,
    ),
    Group("view", "What to work out and show", "", ("goal", "length_unit", "look_at")),
)

ASKED = tuple(name for group in GROUPS for name in group.fields)
