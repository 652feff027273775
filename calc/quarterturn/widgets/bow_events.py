"""What happened to the bow: the part of a form that asks for it, and what was written so far."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.events import NAME, Event, events_of
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import list_named
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Group, Table

HAPPENED = Group(
    "events",
    "What happened to the bow",
    "Write down what you should look into: a click, a crack, a dry-fire, a fall, other limbs.",
    (NAME,),
)


def happened(event: Event) -> str:
    """What happened, in the words of the form."""
    return _label("happened", event.happened)


def events_table(values: Values) -> Table | None:
    """Everything that was written, and what is still open; None where nothing was."""
    rows = tuple(_row(event) for event in events_of(values))
    if not rows:
        return None
    return Table("happened", "What happened to the bow", ("on", "what", "found", "on"), rows)


def _row(event: Event) -> tuple[str, str, str, str]:
    found = _label("found", event.found) if event.found else ""
    return (
        _day(event.day),
        happened(event),
        found if not event.is_open else f"{found} (open)".strip(),
        _day(event.found_on),
    )


def _day(day: int | None) -> str:
    return "no day" if day is None else days.isoformat(day)


def _label(name: str, value: str) -> str:
    column = next(each for each in list_named(NAME).columns if each.name == name)
    return column.label_of(value) if isinstance(column, ChoiceField) else value
