"""A preset: the measures that all bows of one riser and limb model share, kept under a name of the club's own.

What belongs to one bow alone is no part of it: what was counted at its bolts, its inspection, its string, its readings.
"""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.numbers import same
from quarterturn.record.entries import Entry, Record
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values

KEPT_AS = "kept_as"
MEASURES = (
    "bolt_family",
    "riser_name",
    "limbs_name",
    "thread_hand",
    "bolt_lock",
    "clicks_a_turn",
    "rise",
    "rise_turns",
    "head_diameter",
    "slot_width",
    "fulcrum_arm",
    "limb_depth",
    "tip_length",
    "thread_diameter",
    "bush_metal",
    "bolt_length",
    "bush_length",
    "fulcrum_span",
    "upper_fulcrum",
    "limb_length",
    "maker_in",
    "maker_out",
)
"""The fields of a preset."""


@dataclass(frozen=True, slots=True)
class FilledIn:
    """What a preset gives to a bow.

    Attributes:
        record: the entries for boxes that are empty.
        differs: the fields of which the bow says something else, which stays.
    """

    record: Record
    differs: tuple[str, ...]


def is_preset(values: Values) -> bool:
    """Whether the entries are a preset's, and of no bow."""
    return values.choice(KEPT_AS) == "preset"


def measures_of(record: Record) -> Record:
    """The measures in a record, and nothing else of it."""
    return Record({name: record.entries[name] for name in MEASURES if name in record.entries})


def filled_in(bow: Record, preset: Record) -> FilledIn:
    """What a preset gives to a bow: it fills what is empty, and changes nothing that was entered."""
    given = measures_of(preset).entries
    new = {name: entry for name, entry in given.items() if name not in bow.entries}
    differs = tuple(name for name, entry in given.items() if name in bow.entries and not _same(name, bow, entry))
    return FilledIn(Record(new), differs)


def _same(name: str, bow: Record, entry: Entry) -> bool:
    """Whether a bow's entry says the same, in whichever unit; an entry that cannot be used says only what is typed."""
    mine = bow.entries[name]
    if mine == entry or not isinstance(BY_NAME[name], NumberField):
        return mine == entry
    one, other = (Values(Record({name: each})) for each in (mine, entry))
    if not (one.entered(name) and other.entered(name)):
        return False
    return same(one.number(name), other.number(name))
