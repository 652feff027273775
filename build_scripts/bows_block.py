"""A Markdown block that puts the reader's own bows on a page: the list, its buttons, and what its script must know.

    /// bows | all          or rack, a table of them
    ///

What stands there of fields is made from the record's declaration, as a form is.
"""

from __future__ import annotations

import json
from typing import Any

import forms
from html_block import HtmlBlock
from quarterturn.record.bows import MAX_FILE
from quarterturn.record.field_types import AnyField, ChoiceField, DateField, ListField, NumberField, Scope, TextField
from quarterturn.record.fields import BY_NAME, FIELDS, VERSION

NAME = "bow_name"
FACTS = ("riser_name", "limbs_name", "bolt_family", "marked_weight")
"""Fields by which a reader knows one bow from another, beside its name; those that are entered are shown."""


TEMPLATES = {"all": "bows.html.j2", "rack": "rack.html.j2"}
"""The reader's bows as a list, or as a club's table."""


class BowsError(ValueError):
    """The block's argument is not known; the message says which there is."""


def page_part(what: str) -> str:
    """The HTML of the list, before any script runs.

    Raises:
        BowsError: if something other than "all" or "rack" is to be shown.
    """
    if what not in TEMPLATES:
        raise BowsError(f"bows | {what}: there are {', '.join(TEMPLATES)}")
    # Nothing in the data may end the element that holds it.
    data = json.dumps(about(), ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    return forms.rendered(TEMPLATES[what], about=data)


def about() -> dict[str, Any]:
    """What the page's script must know of fields."""
    name = BY_NAME[NAME]
    if not isinstance(name, TextField):
        raise TypeError(f"{NAME} must be a text")
    return {
        "version": VERSION,
        "scopes": {field.name: field.scope.value for field in FIELDS if field.scope is not Scope.BOW},
        "labels": {field.name: field.label for field in FIELDS if field.scope is Scope.BOW},
        # Their rows are events: two states of such a list are made one by keeping the rows of both.
        "lists": {
            field.name: field.max_rows
            for field in FIELDS
            if isinstance(field, ListField) and isinstance(field.columns[0], DateField)
        },
        "nameLabel": name.label,
        "longestName": name.max_length,
        "mostBytes": MAX_FILE,
        "facts": [_fact(BY_NAME[one]) for one in FACTS],
    }


def _fact(field: AnyField) -> dict[str, Any]:
    known: dict[str, Any] = {"name": field.name, "label": field.label.rstrip("?")}
    if isinstance(field, ChoiceField):
        known["options"] = {option.value: option.label for option in field.options}
    if isinstance(field, NumberField):
        known["symbols"] = {unit: forms.symbol(unit) for unit in field.units}
    return known


class BowsBlock(HtmlBlock):
    """The reader's bows."""

    NAME = "bows"
    ERROR = BowsError

    def html(self, argument: str) -> str:
        """The list and what it must know."""
        return page_part(argument)
