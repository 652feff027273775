"""The form of the setup card: what it is labelled with, and its size; all else is the record's."""

from __future__ import annotations

from quarterturn.widgets.answer import Group

NAME = "card"

GROUPS = (
    Group(
        "label",
        "At the top of the card",
        "The bow's name is the same on all pages.",
        ("riser_name", "limbs_name", "set_by", "set_on"),
    ),
    Group("along", "Sent along with a link", "", ("link_note", "whom_to_ask")),
    Group("size", "The card", "", ("card_size",)),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
