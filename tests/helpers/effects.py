"""What each number of a bow does to it, one by one: the rows of a table of sensitivities by their parameters."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_uncertainty import BowUncertainty
from quarterturn.bench.outcomes import TurnResponse


@dataclass(frozen=True)
class Effect:
    """What a parameter's being off by its half does to the bow as it stands and to what a turn does."""

    parameter: Parameter
    by: TurnResponse


def effects_of(found: BowUncertainty) -> tuple[Effect, ...]:
    """All of them, in the table's order."""
    listed = zip(found.table.parameters, found.table.rows, strict=True)
    return tuple(Effect(each, TurnResponse.of(row)) for each, row in listed)


def without(found: BowUncertainty, *names: str) -> BowUncertainty:
    """The same without these parameters."""
    table = found.table
    listed = zip(table.parameters, table.rows, strict=True)
    kept = [(each, row) for each, row in listed if each.name not in names]
    parameters, rows = (tuple(column) for column in zip(*kept, strict=True))
    return BowUncertainty(type(table)(table.outcomes, parameters, rows), found.lost)
