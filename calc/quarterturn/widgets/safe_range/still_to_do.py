"""How far the readings have come, part by part; each that is missing leads to its box.

What is read in one go is one reading here: a count and its side, first touch and whether it was reached.
"""

from __future__ import annotations

from collections.abc import Iterable

from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.widgets import words
from quarterturn.widgets.answer import Missing, Tally, TallyPart
from quarterturn.widgets.safe_range.form import NAME
from quarterturn.widgets.safe_range.ranges import SafeRanges, entered_readings, is_of_inspection

BOTH, INSPECTION, INSPECTION_PAGE = "both", "inspection", "before"
CALLED = {
    "flush_way": "Zero, and which way you came",
    "head_diameter": "How wide the head is",
    "rise": "How far it rises in four turns",
    "thread_diameter": "The thread's diameter",
    "bolt_length": "The bolt's length",
    "maker_in": "The maker's range",
    "maker_out": "The maker's range",
    "first_in": "What came first, turning in",
    "bracket": "Between the two flush readings",
    "touch_found": "First touch",
    "touch_turns": "First touch",
    "now_side": "Where it was",
    "now_turns": "Where it was",
    "rim_to_butt": "How far the butt is under the head",
    "stand_zero": "Thread to head, at zero",
}
"""Readings in a few words, by the field without its bolt."""
BOX = {"touch_found": "touch_turns", "now_side": "now_turns"}
"""Where a reading of several boxes begins."""


def left(found: SafeRanges) -> dict[str, int]:
    """Say how many readings of each bolt and of both are to go, and how many answers about the bow."""
    to_go = {part.name: part.wanted - part.done for part in count(found).parts}
    return dict.fromkeys((*BOLTS, BOTH, INSPECTION), 0) | to_go


def count(found: SafeRanges) -> Tally:
    """Count the readings of each bolt, of both, and the inspection."""
    parts = [_part(bolt, f"{words.capital(bolt)} bolt", found, f"{bolt}_") for bolt in BOLTS]
    parts.append(_part(BOTH, "Both bolts", found, ""))
    parts.append(_inspection(found))
    return Tally("count", "How far the readings have come", tuple(part for part in parts if part.wanted))


def readings_in(fields: Iterable[str]) -> dict[str, str]:
    """The readings that these fields are of: in words, each with the field where it begins."""
    found: dict[str, str] = {}
    for field in fields:
        bolt, rest = _split(field)
        found.setdefault(CALLED.get(rest, BY_NAME[field].label), f"{bolt}{BOX.get(rest, rest)}")
    return found


def _split(field: str) -> tuple[str, str]:
    bolt = next((f"{each}_" for each in BOLTS if field.startswith(f"{each}_")), "")
    return bolt, field.removeprefix(bolt)


def _part(name: str, title: str, found: SafeRanges, prefix: str) -> TallyPart:
    def is_mine(field: str) -> bool:
        return not is_of_inspection(field) and _split(field)[0] == prefix

    missing = readings_in(filter(is_mine, found.missing))
    done = [each for each in readings_in(filter(is_mine, entered_readings(found))) if each not in missing]
    listed = tuple(Missing(text, NAME, field) for text, field in missing.items())
    return TallyPart(name, title, len(done), len(done) + len(listed), listed)


def _inspection(found: SafeRanges) -> TallyPart:
    missing = found.waits_for_inspection
    done = sum(1 for field in entered_readings(found) if is_of_inspection(field))
    listed = tuple(Missing(BY_NAME[field].label, "", field) for field in missing if field == "bolt_family")
    asked = [field for field in missing if field != "bolt_family"]
    if asked:
        listed = (*listed, Missing("Look the bow over", INSPECTION_PAGE, asked[0]))
    return TallyPart(INSPECTION, "Inspection", done, done + len(missing), listed)
