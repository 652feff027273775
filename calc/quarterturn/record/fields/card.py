"""What the setup card says beside the bow's numbers."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField, Option, Role, Scope
from quarterturn.record.fields.builders import choice, day, text

CARD: tuple[AnyField, ...] = (
    text(
        168,
        "riser_name",
        "This riser, as you call it",
        "Your own words. They are printed on the card, and go into links that you make.",
    ),
    text(
        169,
        "limbs_name",
        "These limbs, as you call them",
        "The window belongs to this riser with these limbs, and to no others.",
    ),
    text(
        170,
        "set_by",
        "Who set and measured it",
        "A name or initials, for whoever reads the card. It goes into links that you make; leave it empty if not.",
    ),
    day(
        171,
        "set_on",
        "Set and measured on",
        "The day. If a log is kept of this bow, the card takes the day from there.",
    ),
    choice(
        177,
        "card_size",
        "Size of the card",
        "It changes the picture and the sheet that is printed.",
        Option("a6", "A6", "148 by 105 mm."),
        Option("index", "index card", "5 by 3 in, 127 by 76 mm."),
        role=Role.SETTING,
        scope=Scope.VIEW,
    ),
)
