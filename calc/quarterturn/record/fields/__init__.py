"""The fields of the record, each declared once, and the order of all of them.

Numbers are permanent: a new field takes a new number, a retired one leaves its number unused. Of a field that both
bolts have, the lower bolt's number is the upper one's plus 20.

Defaults describe one made-up bow, so that a page has a worked example to show. They are nobody's bow.
"""

from __future__ import annotations

from quarterturn.record.field_types import AnyField, ListField, NumberField, Scope
from quarterturn.record.fields import (
    arrows,
    bolts,
    bow,
    card,
    inspection,
    inspection_items,
    lessons,
    log,
    plan,
    pocket,
    practice,
    strip_and_margins,
    view,
)
from quarterturn.record.fields.builders import LENGTH

VERSION = 1
BOLTS = ("upper", "lower")

FIELDS: tuple[AnyField, ...] = (
    *bolts.IDENTITY,
    *inspection.INSPECTION,
    *inspection_items.ITEMS,
    *inspection.INSPECTED,
    *strip_and_margins.METHOD,
    *bolts.PER_BOLT,
    *bolts.STAND,
    *pocket.POCKET,
    *pocket.LEVER,
    *pocket.THREAD_LENGTHS,
    *bow.BASELINE,
    *bow.STRING,
    *bow.READ_TO,
    *plan.TRIED,
    *inspection.REMINDER,
    *view.READER,
    *view.VIEW,
    *bow.MARKED,
    *plan.WISHES,
    *plan.PLANNED,
    *arrows.ARROWS,
    *plan.AFTER,
    *bow.SCALE,
    *log.LOG,
    *log.EVENTS,
    *card.CARD,
    *practice.PRACTICE,
    *lessons.LESSONS,
)
OF_NO_BOW = frozenset(field.name for field in (*practice.PRACTICE, *lessons.LESSONS))
"""What was practised and what was answered in lessons: the reader's own, and in no list of what is known of a bow."""
LENGTHS = frozenset(
    field.name
    for field in FIELDS
    if isinstance(field, NumberField) and field.units == LENGTH and field.scope is Scope.BOW
)
"""What is measured of a bow in millimetres or inches; a draw length, in inches by the trade, is none of them."""
BY_NAME: dict[str, AnyField] = {field.name: field for field in FIELDS}
BY_NUMBER: dict[int, AnyField] = {field.number: field for field in FIELDS}


def list_named(name: str) -> ListField:
    """The list of that name.

    Raises:
        TypeError: it is another kind of field.
    """
    field = BY_NAME[name]
    if not isinstance(field, ListField):
        raise TypeError(f"name must be a list's: {name!r}")
    return field
