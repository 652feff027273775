"""How far a record has come: the inspection, and the readings that the window waits for."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.family import can_be_felt
from quarterturn.bench.inspection import LOOKED_AT, list_of
from quarterturn.bench.readings import take
from quarterturn.record.field_types import AnyField, Role
from quarterturn.record.fields import FIELDS
from quarterturn.record.fields.bolts import IDENTITY, PER_BOLT, STAND
from quarterturn.record.fields.bow import BASELINE
from quarterturn.record.fields.inspection import INSPECTION
from quarterturn.record.fields.inspection_items import ITEMS
from quarterturn.record.fields.pocket import LEVER, POCKET, THREAD_LENGTHS
from quarterturn.record.fields.strip_and_margins import METHOD
from quarterturn.record.values import Values

CHECKS = (*LOOKED_AT, *(item.name for item in ITEMS))
"""Everything that a full inspection may look at."""
_WINDOW = (IDENTITY, INSPECTION, METHOD, PER_BOLT, STAND, POCKET, LEVER, THREAD_LENGTHS)
COUNTED = tuple(field.name for fields in _WINDOW for field in fields)
"""What decides where a window is, and where a bolt is in it."""
READ = (*COUNTED, *(field.name for field in BASELINE))
"""What the worksheet asks for: what others ask for does not make it unusable."""
_GATE = (*(field.name for field in INSPECTION), "bolt_family")


@dataclass(frozen=True, slots=True)
class Progress:
    """So many of so many."""

    done: int
    wanted: int

    @property
    def complete(self) -> bool:
        """Whether nothing is left of what was wanted; where nothing is wanted there is nothing to complete."""
        return 0 < self.wanted <= self.done


def inspected(values: Values) -> Progress:
    """Count what the full inspection of this kind of bow has looked at."""
    wanted = list_of(values)
    return Progress(sum(1 for name in wanted if values.entered(name)), len(wanted))


def read(values: Values) -> Progress:
    """Count the readings at the bench that the window waits for, the inspection and the kind of bolt apart."""
    missing = [name for name in take(values).missing if name not in _GATE]
    entered = [
        field.name
        for field in FIELDS
        if field.name not in missing and field.name not in _GATE and _is_waited_for(field, values)
    ]
    return Progress(len(entered), len(entered) + len(missing))


def _is_waited_for(field: AnyField, values: Values) -> bool:
    """Whether the window waits for this reading; a first touch that was not reached is not one."""
    if not values.matters(field.name):
        return False
    if field.role is not Role.READING:
        return field.name in ("maker_in", "maker_out") and not can_be_felt(values.choice("bolt_family"))
    bolt, _, rest = field.name.partition("_")
    return rest != "touch_turns" or values.choice(f"{bolt}_touch_found") == "yes"
