"""The tables of what was entered, and of what was assumed because it was not."""

from __future__ import annotations

from quarterturn import units
from quarterturn.numbers import trimmed
from quarterturn.record.entries import Entry
from quarterturn.record.field_types import AnyField, ChoiceField, ListField, NumberField, Role, Scope
from quarterturn.record.fields import FIELDS, OF_NO_BOW
from quarterturn.widgets.answer import Block, Table
from quarterturn.widgets.safe_range.form import ASKED
from quarterturn.widgets.safe_range.ranges import SafeRanges


def assumed(found: SafeRanges) -> list[Block]:
    """List what was assumed."""
    rows = []
    for field in FIELDS:
        if field.role is not Role.SETTING or field.scope.value != "bow" or field.name not in ASKED:
            continue
        if not found.values.matters(field.name):
            continue
        if not _used(field.name, found):
            continue
        if isinstance(field, NumberField) and not found.values.entered(field.name):
            unit = found.values.starting_unit(field.name)
            rows.append((field.label, _shown(field, unit), field.default_from))
        elif isinstance(field, ChoiceField) and field.name == "bush_metal" and not found.values.entered(field.name):
            rows.append((field.label, field.label_of(field.default), "the careful side"))
    if not rows:
        return []
    return [
        Table(
            "assumed",
            "Assumed, because it was not entered",
            ("what", "taken as", "from"),
            tuple(rows),
            "The answer holds under these. Measure what you can.",
            folded=True,
        )
    ]


def _used(name: str, found: SafeRanges) -> bool:
    """Whether a setting has a part in this answer: some only matter along with a reading."""
    entered = found.values.entered
    if name == "lever_turns":
        return entered("lever_travel") and not entered("fulcrum_arm")
    if name == "fulcrum_arm":
        return not entered("lever_travel")
    if name == "tip_length":
        return entered("tip_travel") or entered("lever_travel")
    return True


def _shown(field: NumberField, unit: str) -> str:
    return f"{trimmed(field.in_unit(field.default, unit), 4)} {units.unit(unit).symbol}".strip()


def entered(found: SafeRanges) -> list[Block]:
    """List what was entered and can be used, as it was typed; what cannot, the page says that asks for it."""
    rows = []
    unusable = {problem.name for problem in found.values.problems}
    for field in FIELDS:
        entry = found.values.record.entries.get(field.name)
        if entry is None or not found.values.matters(field.name) or not _is_of_the_bench(field):
            continue
        if field.name in unusable:
            continue
        rows.append((field.label, in_words(field, entry)))
    if not rows:
        return []
    return [Table("entered", "What was entered", ("field", "entry"), tuple(rows), folded=True)]


def _is_of_the_bench(field: AnyField) -> bool:
    """Whether it is of the bow, or a habit of the reader at the bench."""
    return field.scope is not Scope.VIEW and field.name not in OF_NO_BOW


def in_words(field: AnyField, entry: Entry) -> str:
    """What was typed with its unit; a choice by its words, the rows of a list one after the other."""
    if isinstance(field, ChoiceField):
        return field.label_of(entry.typed)
    if isinstance(field, ListField):
        return "; ".join(", ".join(_with_unit(cell) for cell in row if cell is not None) for row in entry.rows)
    return _with_unit(entry)


def _with_unit(entry: Entry) -> str:
    symbol = units.unit(entry.unit).symbol if entry.unit else ""
    return f"{entry.typed.strip()} {symbol}".strip()
