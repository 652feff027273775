"""What keeps the limb bolts from turning: which lock, what it forbids, and the clicks of a detent."""

from __future__ import annotations

from quarterturn.numbers import rounded, same, trimmed
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values

LOOSENED = ("set_screw", "counter_nut", "collet")
"""Locks that are loosened before a bolt is turned, and tightened after."""
CAPTIVE, DETENT = "captive", "detent"


def lock_of(values: Values) -> str:
    """Which lock it is, an option of the field; "unknown" where nobody said."""
    return values.choice("bolt_lock")


def is_captive(values: Values) -> bool:
    """Whether something keeps the bolts in the riser: its thread is not counted by taking them out."""
    return lock_of(values) == CAPTIVE


def clicks(values: Values) -> int:
    """How many clicks a detent gives in one turn; 0 where there is none, or they were not counted."""
    counted = values.optional("clicks_a_turn") if lock_of(values) == DETENT else None
    return 0 if counted is None or not _is_whole(counted) else round(counted)


def in_clicks(turns: float, each: int) -> float:
    """Turns as clicks, of so many in a turn."""
    return rounded(turns * each)


def rests_in_a_click(turns: float, each: int) -> bool:
    """Whether a bolt that far from zero, itself a click, rests in one."""
    return _is_whole(in_clicks(turns, each))


def _is_whole(value: float) -> bool:
    return same(value, float(round(value)))


def problems(values: Values) -> list[Problem]:
    """What was said of the lock and cannot be."""
    found = []
    kind = lock_of(values)
    if kind in LOOSENED and values.entered("check_lock") and values.choice("check_lock") == "none":
        label = BY_NAME["bolt_lock"].label.rstrip("?")
        found.append(
            Problem(
                "bolt_lock",
                f"{label}: when you looked the bow over you said that it has no lock, by the manual. One of the two is "
                "wrong. Look again, and change it.",
            )
        )
    counted = values.optional("clicks_a_turn")
    if counted is not None and not _is_whole(counted):
        found.append(
            Problem(
                "clicks_a_turn",
                f"{BY_NAME['clicks_a_turn'].label}: {trimmed(counted, 3)} is not a whole number. Turn one whole turn, "
                "and count every one.",
            )
        )
    return [*found, *(problem for bolt in BOLTS for problem in _captive(bolt, values))]


def _captive(bolt: str, values: Values) -> list[Problem]:
    """A captive bolt whose thread was counted until it came free: one of the two cannot be."""
    if not is_captive(values):
        return []
    return [
        Problem(
            f"{bolt}_{name}",
            f"{bolt.capitalize()} bolt: you said that it is captive, so its thread is not counted until it comes free. "
            "Empty this count, or name another lock. The maker's limit, or lengths, tell how far it goes.",
        )
        for name in ("free_turns", "free_from_mark")
        if values.entered(f"{bolt}_{name}")
    ]


def between_clicks(values: Values) -> list[tuple[str, float]]:
    """The bolts whose place, as it was counted, is between two clicks, with that place in clicks."""
    each = clicks(values)
    found = []
    for bolt in BOLTS:
        turns = values.optional(f"{bolt}_now_turns")
        if each and turns is not None and not rests_in_a_click(turns, each):
            found.append((bolt, in_clicks(turns, each)))
    return found
