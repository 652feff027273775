"""What the setup card says beside the bow's numbers."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField, Option, Role, Scope
from quarterturn.record.fields.builders import choice, day, text

CARD: tuple[AnyField, ...] = (
    text(
        168,
        "riser_name",
        "Your name for the riser",
        "Your own words. The card shows them, and links that you make carry them.",
    ),
    text(
        169,
        "limbs_name",
        "Your name for the limbs",
        "The safe range is for this riser with these limbs, and for no others.",
    ),
    text(
        170,
        "set_by",
        "Who set and measured it",
        "Name or initials. Links that you make carry it; leave it empty to keep it out.",
    ),
    day(
        171,
        "set_on",
        "Set and measured on",
        "The day. If you keep a log, the card takes the day from there.",
    ),
    text(
        320,
        "link_note",
        "A note to send along",
        "A line for whoever opens your link. It is shown as you typed it.",
        max_length=80,
        inert="it is only sent along with a link and shown to whoever opens it",
    ),
    text(
        321,
        "whom_to_ask",
        "Whom to ask",
        "Your club’s coach or officer, and how to reach them. Links that you make carry it.",
        inert="it is only sent along with a link and shown to whoever opens it",
    ),
    choice(
        322,
        "kept_as",
        "What are these entries of?",
        "A preset holds the measures of a model, and no bow. Members start a bow of their own from it.",
        Option("bow", "a bow"),
        Option("preset", "a preset: a model’s measures"),
        role=Role.SETTING,
    ),
    choice(
        177,
        "card_size",
        "Size of the card",
        "It changes the picture and the printed sheet.",
        Option("a6", "A6", "148 by 105 mm."),
        Option("index", "index card", "5 by 3 in, 127 by 76 mm."),
        role=Role.SETTING,
        scope=Scope.VIEW,
    ),
)
