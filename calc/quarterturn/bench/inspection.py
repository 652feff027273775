"""The inspection as a gate: go, stop, ask, or not finished."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from quarterturn.record.fields import INSPECTION
from quarterturn.record.reading import Values


class Outcome(StrEnum):
    """What the inspection says so far."""

    GO = "go"
    ASK = "ask"
    STOP = "stop"
    OPEN = "open"
    """Nothing speaks against it yet, and not everything has been looked at."""


MEANING: dict[tuple[str, str], tuple[Outcome, str]] = {
    ("check_manual", "forbids"): (
        Outcome.STOP,
        "The maker forbids turning these bolts. Leave them as they are.",
    ),
    ("check_string_off", "on"): (
        Outcome.STOP,
        "The string is on the bow. Take it off with a stringer before a bolt is touched.",
    ),
    ("check_limbs", "fault"): (
        Outcome.STOP,
        "A limb with a crack, a lifting layer or a twist is not strung and not shot. No bolt cures it.",
    ),
    ("check_limbs", "unsure"): (
        Outcome.ASK,
        "Let a coach or a bow technician look at the limbs before the bow is strung again.",
    ),
    ("check_butt", "fault"): (
        Outcome.STOP,
        "A damaged butt, slot or pocket fitting cannot carry the limb. The bow is not strung.",
    ),
    ("check_butt", "unsure"): (
        Outcome.ASK,
        "Let a bow technician look at the butt, its slot and the pocket fitting.",
    ),
    ("check_bolt", "fault"): (
        Outcome.STOP,
        "A bent, cracked, dented or galled bolt is replaced, by its maker's own part, before the bow is strung.",
    ),
    ("check_bolt", "unsure"): (
        Outcome.ASK,
        "Let a bow technician look at both bolts, limb off.",
    ),
    ("check_bolt", "seized"): (
        Outcome.ASK,
        "A bolt that will not turn is a technician's work. Do not use a longer key.",
    ),
    ("check_match", "fault"): (
        Outcome.STOP,
        "Limbs and riser that do not belong together, or are in each other's pockets, are not adjusted: put that "
        "right first.",
    ),
    ("check_match", "unsure"): (
        Outcome.ASK,
        "Ask the maker or a bow technician whether these limbs are meant for this riser.",
    ),
    ("check_lock", "unsure"): (
        Outcome.ASK,
        "Find out how the bolts are locked before turning one: the manual or a bow technician knows.",
    ),
}
"""Answers that do not let the work go on, with what they mean. All others do. (Common practice, no source.)"""


@dataclass(frozen=True, slots=True)
class Finding:
    """One answer that speaks against going on."""

    field: str
    outcome: Outcome
    sentence: str


@dataclass(frozen=True, slots=True)
class Inspection:
    """What the answers given so far amount to."""

    outcome: Outcome
    findings: tuple[Finding, ...]
    open_fields: tuple[str, ...]


def inspect(values: Values) -> Inspection:
    """Read the gate: one stop is a stop, else one doubt is a question, else it is open until all is answered."""
    findings: list[Finding] = []
    unanswered: list[str] = []
    for field in INSPECTION:
        if not values.entered(field.name):
            unanswered.append(field.name)
        elif meaning := MEANING.get((field.name, values.choice(field.name))):
            findings.append(Finding(field.name, *meaning))
    findings.sort(key=lambda finding: finding.outcome is not Outcome.STOP)
    without = Outcome.OPEN if unanswered else Outcome.GO
    return Inspection(findings[0].outcome if findings else without, tuple(findings), tuple(unanswered))
