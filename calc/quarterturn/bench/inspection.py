"""The inspection as a gate: go, stop, ask, or not finished."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from quarterturn.record.checklist import AREAS, ITEMS
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
    ("limb_cracks", "fault"): (Outcome.STOP, "A cracked limb is not strung and not shot. No bolt cures it."),
    ("limb_cracks", "unsure"): (
        Outcome.ASK,
        "A scratch in the varnish and a crack look alike: show it to a technician.",
    ),
    ("limb_layers", "fault"): (
        Outcome.STOP,
        "A limb whose layers lift is coming apart. It is not strung. No bolt cures it.",
    ),
    ("limb_layers", "unsure"): (Outcome.ASK, "Let a bow technician look at the edges of the limbs."),
    ("limb_twist", "fault"): (Outcome.STOP, "A twisted limb can throw its string. It is not strung. No bolt cures it."),
    ("limb_twist", "unsure"): (Outcome.ASK, "Let a coach look along the limbs with you."),
    ("limb_tips", "fault"): (Outcome.STOP, "A tip that is cracked or cuts its loop lets the string go at full draw."),
    ("limb_tips", "unsure"): (Outcome.ASK, "Let a bow technician look at the tips and their nocks."),
    ("butt_end", "fault"): (
        Outcome.STOP,
        "A crushed or split butt cannot be leaned on, and a dent from a rim says that a bolt stood too far in. "
        "A technician looks at limb and bolt before the bow is strung.",
    ),
    ("butt_end", "unsure"): (Outcome.ASK, "Let a bow technician look at the butt ends."),
    ("slot_root", "fault"): (Outcome.STOP, "A crack at the root of the slot grows. The limb is not strung."),
    ("slot_root", "unsure"): (Outcome.ASK, "Let a bow technician look at the root of the slot, limb off."),
    ("fitting", "fault"): (Outcome.STOP, "A fitting that is worn or loose cannot hold the limb in its pocket."),
    ("fitting", "unsure"): (Outcome.ASK, "Let a bow technician look at the fittings and their seats."),
    ("riser_pocket", "fault"): (
        Outcome.STOP,
        "A cracked riser, or a bush that turns, is not drawn. Its maker is asked.",
    ),
    ("riser_pocket", "unsure"): (Outcome.ASK, "Let a bow technician look at the riser round the pockets."),
    ("bolt_head", "fault"): (
        Outcome.STOP,
        "A bolt with a dented or cracked head is replaced, by its maker's own part, before the bow is strung.",
    ),
    ("bolt_head", "unsure"): (Outcome.ASK, "Let a bow technician look under both heads, limb off."),
    ("bolt_shank", "fault"): (Outcome.STOP, "A bent bolt is replaced, by its maker's own part. It is never bent back."),
    ("bolt_shank", "unsure"): (Outcome.ASK, "Let a bow technician try both bolts on a flat plate."),
    ("bolt_thread", "fault"): (
        Outcome.STOP,
        "A torn or galled thread holds less than it seems to. Bolt and bush are a technician's work.",
    ),
    ("bolt_thread", "unsure"): (Outcome.ASK, "Let a bow technician look at both threads and their bushes."),
    ("bolts_alike", "fault"): (Outcome.STOP, "Two different bolts are not the maker's. Put his own parts in first."),
    ("bolts_alike", "unsure"): (Outcome.ASK, "Ask the maker or a bow technician which bolts belong in this riser."),
    ("bolt_turns", "unsure"): (
        Outcome.ASK,
        "Stiff or rough is a lock that still bites, dirt, or a bent bolt: find out.",
    ),
    ("bolt_turns", "seized"): (
        Outcome.ASK,
        "A bolt that will not turn is a technician's work. Do not use a longer key.",
    ),
    ("marks_agree", "fault"): (Outcome.STOP, "Two limbs that are no pair are not adjusted against each other."),
    ("marks_agree", "unsure"): (Outcome.ASK, "Ask the maker or a bow technician whether these limbs are a pair."),
    ("limb_places", "fault"): (Outcome.STOP, "Put the upper limb in the upper pocket first, and begin again."),
    ("limb_places", "unsure"): (
        Outcome.ASK,
        "Ask a coach which is the upper limb. Exchanged limbs feel like a wrong tiller.",
    ),
    ("length_class", "fault"): (
        Outcome.STOP,
        "Limbs that are not meant for a riser of this length are not strung on it.",
    ),
    ("length_class", "unsure"): (Outcome.ASK, "Ask the maker whether these limbs are meant for this riser."),
    ("string_sound", "fault"): (Outcome.STOP, "A worn or wrong string is replaced before the bow is strung again."),
    ("string_sound", "unsure"): (Outcome.ASK, "Let a coach look at the string before the bow is strung again."),
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
    """What the answers given so far amount to.

    Attributes:
        open_fields: short questions that neither were answered nor are covered by the full list's items.
    """

    outcome: Outcome
    findings: tuple[Finding, ...]
    open_fields: tuple[str, ...]


def covered(values: Values, question: str) -> bool:
    """Whether all items of the full list that a short question stands for have been looked at."""
    items = [item for area in AREAS if area.question == question for item in area.items]
    return bool(items) and all(values.entered(item.name) for item in items)


def inspect(values: Values) -> Inspection:
    """Read the gate: one stop is a stop, else one doubt is a question, else it is open until all is answered.

    A short question and the full list's items count alike; where they differ the worse one holds.
    """
    findings = [
        Finding(field.name, *meaning)
        for field in (*INSPECTION, *ITEMS)
        if values.entered(field.name) and (meaning := MEANING.get((field.name, values.choice(field.name))))
    ]
    findings.sort(key=lambda finding: finding.outcome is not Outcome.STOP)
    unanswered = tuple(
        field.name for field in INSPECTION if not values.entered(field.name) and not covered(values, field.name)
    )
    without = Outcome.OPEN if unanswered else Outcome.GO
    return Inspection(findings[0].outcome if findings else without, tuple(findings), unanswered)
