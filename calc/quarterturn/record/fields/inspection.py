"""Whether the bow may be worked on: the short inspection, who made it and when, and how often it is due."""

from __future__ import annotations

from functools import partial

from quarterturn.record.field_types import AnyField, Option, Role, Scope
from quarterturn.record.fields.builders import COMMON, TURNED, choice, count, day, text

INSPECTED_ON = "inspected_on"
"""The field of the day on which the bow was looked over."""

FINE_OR_NOT = (
    Option("fine", "in order"),
    Option("unsure", "not sure"),
    Option("fault", "not in order"),
)

_question = partial(choice, role=Role.READING, dated_by=INSPECTED_ON)

INSPECTION: tuple[AnyField, ...] = (
    _question(
        10,
        "check_manual",
        "The maker's manual",
        "It comes first. Look for the range of the limb bolts, and for anything it forbids.",
        Option("read", "read; it allows the bolts to be turned"),
        Option("none", "there is none"),
        Option("forbids", "it forbids turning them"),
        when=TURNED,
    ),
    _question(
        11,
        "check_string_off",
        "The string",
        "Turn a bolt only with the string off the bow. Take it off with a stringer.",
        Option("off", "off the bow"),
        Option("on", "still on the bow"),
    ),
    _question(
        12,
        "check_limbs",
        "Limbs: cracks, layers, twist",
        "In good light, look along both edges and at the tips. Run a tuft of cotton along the edges.",
        *FINE_OR_NOT,
    ),
    _question(
        13,
        "check_butt",
        "Butt, slot and pocket fitting",
        "No crack at the slot's root, no crushed butt end. Fitting and seat whole and tight.",
        *FINE_OR_NOT,
        when=TURNED,
    ),
    _question(
        14,
        "check_bolt",
        "Both bolts: head, shank, thread",
        "Straight, alike, clean thread, no dent or crack under the head. They turn by hand, lock loose.",
        *FINE_OR_NOT,
        Option("seized", "one will not turn"),
        when=TURNED,
    ),
    _question(
        15,
        "check_match",
        "Do limbs and riser match?",
        "Same fitting and length class; marks and serial numbers agree. The upper limb is on top.",
        *FINE_OR_NOT,
        when=TURNED,
    ),
    _question(
        16,
        "check_lock",
        "The bolt's lock",
        "A lock screw or nut that is still tight can damage the thread, or feel like a stop.",
        Option("loose", "found and backed off"),
        Option("none", "this bow has none, by the manual"),
        Option("unsure", "not found, or not sure"),
        when=TURNED,
    ),
)

INSPECTED: tuple[AnyField, ...] = (
    day(
        200,
        INSPECTED_ON,
        "Looked over on",
        "The day of these answers. Your first answer fills it in.",
    ),
    text(
        201,
        "inspected_by",
        "Looked over by",
        "Initials are enough. Links that you make carry them; leave it empty to keep them out.",
    ),
    choice(
        202,
        "inspection_source",
        "Whose inspection is it?",
        "If it came with a link or a file, someone else looked, perhaps long ago.",
        Option("own", "my own, of the bow in my hands"),
        Option("other", "someone else's: it came with a link or a file"),
        role=Role.SETTING,
        linked=False,
    ),
    choice(
        204,
        "marks_checked",
        "Which limb is on top, by the marks?",
        "If the lower limb is farther from the string, look at the marks or writing on both limbs.",
        Option("right", "the upper limb is on top"),
        Option("swapped", "the lower limb is on top"),
        Option("unsure", "no marks, or not sure"),
        dated_by="marks_checked_on",
    ),
    day(205, "marks_checked_on", "Marks looked at on", "The day. Your answer fills it in."),
)

REMINDER: tuple[AnyField, ...] = (
    count(
        203,
        "inspection_months",
        "Months until the next inspection",
        "As your club wants it. After a crash, a dry-fire or a change of limbs, look at once.",
        default=12.0,
        default_from=COMMON,
        limits=(1.0, 36.0, "a bow changes from one season to the next"),
        step=1.0,
        role=Role.SETTING,
        scope=Scope.READER,
    ),
)
