"""How far a record has come: the inspection, and the readings that the window waits for."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.readings import take
from quarterturn.record.checklist import ITEMS
from quarterturn.record.declare import Role
from quarterturn.record.fields import FIELDS, INSPECTION
from quarterturn.record.reading import Values

LOOKED_AT = ("check_manual", "check_string_off", "check_lock")
"""The short questions that the full list holds as they are."""
CHECKS = (*LOOKED_AT, *(item.name for item in ITEMS))
"""Everything that the full inspection looks at."""
_GATE = (*(field.name for field in INSPECTION), "bolt_family")


@dataclass(frozen=True, slots=True)
class Progress:
    """So many of so many."""

    done: int
    wanted: int

    @property
    def complete(self) -> bool:
        """Whether nothing is left."""
        return self.done >= self.wanted


def inspected(values: Values) -> Progress:
    """Count what the full inspection has looked at."""
    return Progress(sum(1 for name in CHECKS if values.entered(name)), len(CHECKS))


def read(values: Values) -> Progress:
    """Count the readings at the bench that the window waits for, the inspection and the kind of bolt apart."""
    missing = [name for name in take(values).missing if name not in _GATE]
    entered = [
        field.name
        for field in FIELDS
        if field.role is Role.READING
        and field.name not in _GATE
        and values.matters(field.name)
        and field.name not in missing
    ]
    return Progress(len(entered), len(entered) + len(missing))
