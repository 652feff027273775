"""The inspection: go, stop, ask, or not finished; by whom, when, and whether it has to be done again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from quarterturn import days
from quarterturn.record.entries import Record
from quarterturn.record.fields.builders import TURNED
from quarterturn.record.fields.inspection import INSPECTED_ON, INSPECTION
from quarterturn.record.fields.inspection_items import AREAS, ITEMS, Area
from quarterturn.record.values import Values


class InspectionOutcome(StrEnum):
    """What the inspection says so far."""

    GO = "go"
    ASK = "ask"
    STOP = "stop"
    OPEN = "open"
    """Nothing speaks against it yet, and not everything has been looked at."""


MEANING: dict[tuple[str, str], tuple[InspectionOutcome, str]] = {
    ("check_manual", "forbids"): (
        InspectionOutcome.STOP,
        "The maker forbids turning these bolts. Leave them as they are.",
    ),
    ("check_string_off", "on"): (
        InspectionOutcome.STOP,
        "The string is on the bow. Take it off with a stringer before you touch a bolt.",
    ),
    ("check_limbs", "fault"): (
        InspectionOutcome.STOP,
        "Do not string or shoot a limb with a crack, a lifting layer or a twist. No bolt cures it.",
    ),
    ("check_limbs", "unsure"): (
        InspectionOutcome.ASK,
        "Let a coach or a bow technician look at the limbs before you string the bow again.",
    ),
    ("check_butt", "fault"): (
        InspectionOutcome.STOP,
        "Do not string the bow. A damaged butt, slot or pocket fitting cannot carry the limb.",
    ),
    ("check_butt", "unsure"): (
        InspectionOutcome.ASK,
        "Let a bow technician look at the butt, its slot and the pocket fitting.",
    ),
    ("check_bolt", "fault"): (
        InspectionOutcome.STOP,
        "Replace a bent, cracked, dented or galled bolt with its maker's own part before you string the bow.",
    ),
    ("check_bolt", "unsure"): (
        InspectionOutcome.ASK,
        "Let a bow technician look at both bolts, limb off.",
    ),
    ("check_bolt", "seized"): (
        InspectionOutcome.ASK,
        "Do not use a longer key. A bolt that will not turn is a technician's work.",
    ),
    ("check_match", "fault"): (
        InspectionOutcome.STOP,
        "Do not adjust limbs and riser that do not belong together, or limbs in each other's pockets. Correct that "
        "first.",
    ),
    ("check_match", "unsure"): (
        InspectionOutcome.ASK,
        "Ask the maker or a bow technician whether these limbs are meant for this riser.",
    ),
    ("check_lock", "unsure"): (
        InspectionOutcome.ASK,
        "Find out how the bolts are locked before you turn one. Look in the manual or ask a bow technician.",
    ),
    ("limb_cracks", "fault"): (InspectionOutcome.STOP, "Do not string or shoot a cracked limb. No bolt cures it."),
    ("limb_cracks", "unsure"): (
        InspectionOutcome.ASK,
        "Show it to a technician: a scratch in the varnish and a crack look alike.",
    ),
    ("limb_layers", "fault"): (
        InspectionOutcome.STOP,
        "Do not string a limb whose layers lift: it is coming apart. No bolt cures it.",
    ),
    ("limb_layers", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the edges of the limbs."),
    ("limb_twist", "fault"): (
        InspectionOutcome.STOP,
        "Do not string a twisted limb: it can throw its string. No bolt cures it.",
    ),
    ("limb_twist", "unsure"): (InspectionOutcome.ASK, "Let a coach look along the limbs with you."),
    ("limb_tips", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it: a tip that is cracked or cuts its loop lets the string go at full draw.",
    ),
    ("limb_tips", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the tips and their nocks."),
    ("butt_end", "fault"): (
        InspectionOutcome.STOP,
        "Let a technician look at limb and bolt before you string the bow. You cannot rely on a crushed or split butt, "
        "and a dent from a rim means that a bolt was too far in.",
    ),
    ("butt_end", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the butt ends."),
    ("slot_root", "fault"): (InspectionOutcome.STOP, "Do not string it: a crack at the root of the slot grows."),
    ("slot_root", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the root of the slot, limb off."),
    ("fitting", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it: a worn or loose fitting cannot keep the limb in its pocket.",
    ),
    ("fitting", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the fittings and their seats."),
    ("riser_pocket", "fault"): (
        InspectionOutcome.STOP,
        "Do not draw a bow with a cracked riser or a bush that turns. Ask its maker.",
    ),
    ("riser_pocket", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the riser round the pockets."),
    ("bolt_head", "fault"): (
        InspectionOutcome.STOP,
        "Replace a bolt with a dented or cracked head with its maker's own part before you string the bow.",
    ),
    ("bolt_head", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look under both heads, limb off."),
    ("bolt_shank", "fault"): (
        InspectionOutcome.STOP,
        "Replace a bent bolt with its maker's own part. Never bend it back.",
    ),
    ("bolt_shank", "unsure"): (InspectionOutcome.ASK, "Let a bow technician try both bolts on a flat plate."),
    ("bolt_thread", "fault"): (
        InspectionOutcome.STOP,
        "Bolt and bush are a technician's work: a torn or galled thread is weaker than it looks.",
    ),
    ("bolt_thread", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at both threads and their bushes."),
    ("bolts_alike", "fault"): (
        InspectionOutcome.STOP,
        "Put the maker's own bolts in first: two different bolts are not the maker's.",
    ),
    ("bolts_alike", "unsure"): (
        InspectionOutcome.ASK,
        "Ask the maker or a bow technician which bolts belong in this riser.",
    ),
    ("bolt_turns", "unsure"): (
        InspectionOutcome.ASK,
        "Find out why: it is a lock that still bites, dirt, or a bent bolt.",
    ),
    ("bolt_turns", "seized"): (
        InspectionOutcome.ASK,
        "Do not use a longer key. A bolt that will not turn is a technician's work.",
    ),
    ("marks_agree", "fault"): (
        InspectionOutcome.STOP,
        "Do not adjust two limbs against each other that are not a pair.",
    ),
    ("marks_agree", "unsure"): (
        InspectionOutcome.ASK,
        "Ask the maker or a bow technician whether these limbs are a pair.",
    ),
    ("limb_places", "fault"): (
        InspectionOutcome.STOP,
        "Put the upper limb in the upper pocket first, and begin again.",
    ),
    ("limb_places", "unsure"): (
        InspectionOutcome.ASK,
        "Ask a coach which is the upper limb. Exchanged limbs feel like a wrong tiller.",
    ),
    ("length_class", "fault"): (
        InspectionOutcome.STOP,
        "Do not string limbs on a riser of a length that they are not meant for.",
    ),
    ("length_class", "unsure"): (InspectionOutcome.ASK, "Ask the maker whether these limbs are meant for this riser."),
    ("clamp_tight", "unsure"): (
        InspectionOutcome.ASK,
        "Let a coach or a bow technician look how tight both bolts are.",
    ),
    ("clamp_tight", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it. Turn the bolt home by hand, as the manual says; if it does not stay, ask a bow technician.",
    ),
    ("clamp_washer", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at both washers, limb off."),
    ("clamp_washer", "fault"): (
        InspectionOutcome.STOP,
        "Put the maker's own washer in before you string the bow: without it the head sinks into the limb.",
    ),
    ("clamp_insert", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the inserts, limb off."),
    ("clamp_insert", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it: an insert that turns or sticks out lets the bolt go. It is a technician's work.",
    ),
    ("clamp_wood", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the wood round the holes."),
    ("clamp_wood", "fault"): (
        InspectionOutcome.STOP,
        "Do not string or shoot it: a crack at a hole grows with every draw. Nothing that is turned cures it.",
    ),
    ("clamp_pin", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the pin and its hole."),
    ("clamp_pin", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it: a loose pin lets the limb shift under the bolt.",
    ),
    ("joint_bolts", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at bolts and screws."),
    ("joint_bolts", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it: what is loose, bent or missing there lets the limb go. It is a technician's work.",
    ),
    ("joint_seat", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at the limb in its seat."),
    ("joint_seat", "fault"): (
        InspectionOutcome.STOP,
        "Do not string it: a limb that shifts or is crushed in its seat is not held. No screw cures it.",
    ),
    ("joint_riser", "unsure"): (InspectionOutcome.ASK, "Let a bow technician look at riser, grip and glue lines."),
    ("joint_riser", "fault"): (
        InspectionOutcome.STOP,
        "Do not string or shoot it: a crack or an open glue line grows with every draw.",
    ),
    ("string_sound", "fault"): (
        InspectionOutcome.STOP,
        "Replace a worn or wrong string before you string the bow again.",
    ),
    ("string_sound", "unsure"): (
        InspectionOutcome.ASK,
        "Let a coach look at the string before you string the bow again.",
    ),
}
"""Answers that do not let the work go on, with what they mean; all others do (common practice, no source)."""


LOOKED_AT = ("check_manual", "check_string_off", "check_lock")
"""The short questions that the full list holds as they are."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One answer that speaks against going on."""

    field: str
    outcome: InspectionOutcome
    sentence: str


@dataclass(frozen=True, slots=True)
class Inspection:
    """What the answers given so far amount to.

    Attributes:
        day: on which they were given; None where nobody wrote it.
        by: who gave them, as far as that was written; "" where it was not.
        own: whether the reader gave them: what came with a link or a file was seen by someone else.
    """

    outcome: InspectionOutcome
    findings: tuple[Finding, ...]
    day: int | None
    by: str
    own: bool


def areas_of(values: Values) -> tuple[Area, ...]:
    """The parts of this kind of bow that the full list looks at, each with what of it this kind has."""
    mine = (replace(area, items=tuple(item for item in area.items if values.matters(item.name))) for area in AREAS)
    return tuple(area for area in mine if area.items)


def list_of(values: Values) -> tuple[str, ...]:
    """What the full list of this kind of bow looks at, in order."""
    first = tuple(name for name in LOOKED_AT if values.matters(name))
    return (*first, *(item.name for area in areas_of(values) for item in area.items))


def covered(values: Values, question: str) -> bool:
    """Whether all items of the full list that a short question stands for have been looked at."""
    items = [item for area in AREAS if area.question == question for item in area.items]
    return bool(items) and all(values.entered(item.name) for item in items)


def _needed(values: Values) -> tuple[str, ...]:
    """What has to be answered, each itself or by the items that it stands for: the short list of this kind of bow."""
    short = tuple(field.name for field in INSPECTION if values.matters(field.name))
    own = tuple(item.name for item in ITEMS if item.when not in ((), TURNED) and values.matters(item.name))
    return (*short, *own)


def inspect(values: Values) -> Inspection:
    """Read the inspection: one stop is a stop, else one doubt is a question, else it is open until all is answered.

    A short question and the full list's items count alike; where they differ the worse one holds.
    """
    findings = [
        Finding(field.name, *meaning)
        for field in (*INSPECTION, *ITEMS)
        if (meaning := MEANING.get((field.name, _said(values, field.name)))) is not None
    ]
    findings.sort(key=lambda finding: finding.outcome is not InspectionOutcome.STOP)
    complete = all(values.entered(name) or covered(values, name) for name in _needed(values))
    without = InspectionOutcome.GO if complete else InspectionOutcome.OPEN
    return Inspection(
        findings[0].outcome if findings else without,
        tuple(findings),
        values.day(INSPECTED_ON),
        values.choice("inspected_by"),
        values.choice("inspection_source") == "own",
    )


def _said(values: Values, name: str) -> str:
    """The answer to a question; what was seen as another kind of bow counts too, unless it is about turning."""
    if values.entered(name):
        return values.choice(name)
    entry = values.record.entries.get(name)
    return "" if entry is None or name not in _WHATEVER_BOLT else entry.typed


_ABOUT_TURNING = ("check_manual", "check_lock", "bolt_turns")
"""What says nothing of a bolt that is not turned."""
_CRACKED = ("clamp_wood", "joint_riser")
"""A crack that was seen when the bolt was called another: it is still there."""
_WHATEVER_BOLT = frozenset(_CRACKED) | frozenset(
    field.name for field in (*INSPECTION, *ITEMS) if field.when == TURNED and field.name not in _ABOUT_TURNING
)
"""What spoils a bow, whatever its bolt is called afterwards."""

ENTRIES = (*(field.name for field in INSPECTION), *(item.name for item in ITEMS), INSPECTED_ON, "inspected_by")
"""All that an inspection leaves in a record."""


def marks_of(record: Record) -> dict[str, str]:
    """What a record from elsewhere is marked with: an inspection in it was someone else's."""
    return {"inspection_source": "other"} if any(name in record.entries for name in ENTRIES) else {}


class Due(StrEnum):
    """Why a bow has to be looked over again."""

    OTHER = "other"
    """Someone else looked it over."""
    SHOCK = "shock"
    """It was dry-fired, or fell."""
    LIMBS = "limbs"
    """Other limbs were put in."""
    PAST_END = "past_end"
    """A bolt was past an end of its range."""
    LINE = "line"
    """A tiller is not as before, and the line of the limbs was set anew in between."""
    AGE = "age"
    """It was long ago."""


@dataclass(frozen=True, slots=True)
class Since:
    """What has happened since, as far as it asks for another look: days, None where there was nothing.

    Attributes:
        shock: of the newest dry-fire, fall or crash.
        limbs: on which other limbs were put in.
        past_end: on which a bolt was brought back that had been past an end.
    """

    shock: int | None = None
    limbs: int | None = None
    past_end: int | None = None


def due(values: Values, found: Inspection, since: Since) -> Due | None:
    """Say why the bow has to be looked over again, the gravest reason first; None where it has not.

    An inspection without a day is older than anything that happened. How old it may become is the reader's own setting,
    at first twelve months (common practice, no source).
    """
    if not found.own:
        return Due.OTHER
    for reason, day in ((Due.SHOCK, since.shock), (Due.LIMBS, since.limbs), (Due.PAST_END, since.past_end)):
        if day is not None and (found.day is None or found.day < day):
            return reason
    months = round(values.number("inspection_months"))
    if found.day is not None and values.today is not None and values.today > days.months_later(found.day, months):
        return Due.AGE
    return None
