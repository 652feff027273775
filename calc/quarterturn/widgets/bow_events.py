"""What happened to the bow: the part of a form that asks for it, and what was written so far."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.events import LIMBS, NAME, SHIMS, Event, events_of, line_days, own_day, times_set_anew
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import list_named
from quarterturn.record.values import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Group, Table

HAPPENED = Group(
    "events",
    "What happened to the bow",
    "Write down what you should look into: a click, a crack, a dry-fire, a fall, other limbs or shims, the line of the "
    "limbs.",
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


def asks_again(event: Event) -> tuple[str, str]:
    """What has to be counted or measured again after other limbs, shims or another line of the limbs, and why."""
    that = "that" if event.day is None else words.day(event.day)
    if event.happened == LIMBS:
        return (
            "Count both bolts again: other limbs were put in",
            f"What was counted before {that} belongs to other limbs. Look the bow over, find both ends of both bolts "
            "again, and write that down as what was found.",
        )
    if event.happened == SHIMS:
        return (
            "Count both bolts again: shims or washers were changed",
            f"What was counted before {that} no longer holds: a shim moves flush and first touch. String off. Find "
            "both ends of both bolts again, and write down that both were counted, with the day.",
        )
    if event.day is None:
        return (
            "On which day was the line of the limbs set anew?",
            "Write down the day. Tillers from before it are not compared with those after it.",
        )
    return (
        "Measure both tillers again: the line of the limbs was set anew",
        f"A tiller from before {that} cannot be compared with one from after it. Measure both, with the string along "
        "the middle of both limbs, and write them into the log.",
    )


def line_anew(values: Values, *, computed: bool = False) -> list[str]:
    """Say that tillers from before the line of the limbs was set anew are not compared; nothing where it never was.

    With `computed` also where the tiller that a page computes from is one of them.
    """
    found = line_days(values)
    if not found:
        return []
    told = [
        f"The line of the limbs was set anew on {words.listed([words.day(day) for day in found])}. A tiller from "
        "before is not compared with one from that day or after. A fault that came in between is not seen by it."
    ]
    if computed and times_set_anew(own_day(values), found) != len(found):
        told.append(
            "The tiller that these numbers start from is from before that, or has no day. Measure both limbs anew, "
            "and enter that with the day on which it was set and measured."
        )
    return told


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
