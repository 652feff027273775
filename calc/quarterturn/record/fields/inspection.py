"""Whether the bow may be worked on: the short inspection, who made it and when, and how often it is due."""

from __future__ import annotations

from functools import partial

from quarterturn.record.field_types import AnyField, Option, Role, Scope
from quarterturn.record.fields.builders import COMMON, choice, count, day, text

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
        Option("none", "there is none to be had"),
        Option("forbids", "it forbids turning them"),
    ),
    _question(
        11,
        "check_string_off",
        "The string",
        "A bolt is only ever turned with the string off the bow. Use a stringer to take it off.",
        Option("off", "off the bow"),
        Option("on", "still on the bow"),
    ),
    _question(
        12,
        "check_limbs",
        "Limbs: no crack, no lifting layer, no twist",
        "Look along both edges and at the tips, in good light, and run a tuft of cotton along the edges.",
        *FINE_OR_NOT,
    ),
    _question(
        13,
        "check_butt",
        "Butt, slot and pocket fitting",
        "No crack at the root of the slot, no crushed butt end; the fitting and its seat whole and tight.",
        *FINE_OR_NOT,
    ),
    _question(
        14,
        "check_bolt",
        "Both bolts: head, shank and thread",
        "Straight, alike, no dent or crack under the head, thread clean; they turn by hand with the lock loose.",
        *FINE_OR_NOT,
        Option("seized", "one will not turn"),
    ),
    _question(
        15,
        "check_match",
        "Limbs and riser belong together, upper limb on top",
        "Same fitting and length class, marks and serial numbers agree, the upper limb in the upper pocket.",
        *FINE_OR_NOT,
    ),
    _question(
        16,
        "check_lock",
        "The bolt's lock",
        "A lock screw or nut that is still tight can damage the thread, and can feel like a stop.",
        Option("loose", "found and backed off"),
        Option("none", "this bow has none, the manual says"),
        Option("unsure", "not found, or not sure"),
    ),
)

INSPECTED: tuple[AnyField, ...] = (
    day(
        200,
        INSPECTED_ON,
        "Looked over on",
        "The day on which these questions were answered. It is filled in with the first answer.",
    ),
    text(
        201,
        "inspected_by",
        "Looked over by",
        "Initials are enough. They go into links that you make; leave it empty if not.",
    ),
    choice(
        202,
        "inspection_source",
        "Whose inspection is it?",
        "What came with a link or a file was seen by someone else, and perhaps long ago.",
        Option("own", "my own, of the bow in my hands"),
        Option("other", "someone else's: it came with a link or a file"),
        role=Role.SETTING,
        linked=False,
    ),
    choice(
        204,
        "marks_checked",
        "Which limb is on top, by the marks?",
        "Look at the marks or the writing on both limbs when the lower limb is the farther one from the string.",
        Option("right", "the upper limb is on top"),
        Option("swapped", "the lower limb is on top"),
        Option("unsure", "no marks, or not sure"),
        dated_by="marks_checked_on",
    ),
    day(205, "marks_checked_on", "Marks looked at on", "The day. It is filled in with the answer."),
)

REMINDER: tuple[AnyField, ...] = (
    count(
        203,
        "inspection_months",
        "Months until a bow is looked over again",
        "As your club wants it. After a crash, a dry-fire or a change of limbs it is due at once.",
        default=12.0,
        default_from=COMMON,
        limits=(1.0, 36.0, "a bow changes from one season to the next"),
        step=1.0,
        role=Role.SETTING,
        scope=Scope.READER,
    ),
)
