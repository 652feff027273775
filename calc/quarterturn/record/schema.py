"""The JSON Schema of the record, made from its declaration."""

from __future__ import annotations

from quarterturn.record.declare import AnyField, ChoiceField, Column, DateField, ListField, NumberField
from quarterturn.record.fields import FIELDS, VERSION
from quarterturn.record.reading import MAX_KEPT


def schema() -> dict[str, object]:
    """The JSON Schema (draft 2020-12) of a record as `canonical` writes it and `from_data` reads it.

    A plain number is in the field's `x-unit`; a number with another unit, or as it was typed, is an object. A plain
    text of a date is a day as ISO 8601 writes it, from `x-first` to `x-last`; as it was typed, it is an object.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Quarter Turn record",
        "description": "What was entered about one bow. A field that is absent has not been entered.",
        "type": "object",
        "properties": {
            "version": {"const": VERSION, "description": "The version of this format."},
            **{field.name: _property(field) for field in sorted(FIELDS, key=lambda field: field.number)},
        },
        "additionalProperties": False,
    }


def _property(field: AnyField) -> dict[str, object]:
    about: dict[str, object] = {
        "title": field.label,
        "description": field.help,
        "x-number": field.number,
        "x-role": field.role.value,
        "x-scope": field.scope.value,
        "default": [] if isinstance(field, ListField) else field.default,
    }
    if field.when:
        about["x-matters-when"] = {when.field: list(when.values) for when in field.when}
    if field.inert:
        about["x-inert"] = field.inert
    if not field.linked:
        about["x-linked"] = False
    if isinstance(field, ListField):
        return about | _rows(field)
    if isinstance(field, NumberField):
        return about | _number(field)
    if isinstance(field, DateField):
        return about | _day(field)
    if isinstance(field, ChoiceField):
        return about | _either({"type": "string", "enum": [option.value for option in field.options]})
    return about | _either({"type": "string", "maxLength": field.max_length})


def _number(field: NumberField) -> dict[str, object]:
    # Each keyword binds one type only: the limits bind a plain number, the properties an object.
    return {
        "type": ["number", "object"],
        "x-unit": field.unit,
        "x-limits-because": field.limits_because,
        "minimum": field.low,
        "maximum": field.high,
        "properties": {
            "typed": {"type": "string", "maxLength": MAX_KEPT},
            "unit": {"enum": list(field.units)},
        },
        "required": ["typed"],
        "additionalProperties": False,
    }


def _day(field: DateField) -> dict[str, object]:
    # The pattern binds a plain text only; `format` says what the pattern cannot: that there is such a day.
    return {
        "type": ["string", "object"],
        "format": "date",
        "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
        "x-first": field.first,
        "x-last": field.last,
        "x-limits-because": field.limits_because,
        "properties": {"typed": {"type": "string", "maxLength": MAX_KEPT}, "unit": {"const": ""}},
        "required": ["typed"],
        "additionalProperties": False,
    }


def _rows(field: ListField) -> dict[str, object]:
    # A row may still be empty or incomplete: it is kept while it is filled in, and not used.
    return {
        "type": "array",
        "maxItems": field.most,
        "items": {
            "type": "object",
            "title": field.row,
            "properties": {column.name: _column(column) for column in field.columns},
            "additionalProperties": False,
        },
    }


def _column(column: Column) -> dict[str, object]:
    about = {"title": column.label, "x-number": column.number, "x-role": column.role.value, "default": column.default}
    kind = _day(column) if isinstance(column, DateField) else _number(column)
    return about | ({"description": column.help} if column.help else {}) | kind


def _either(words: dict[str, object]) -> dict[str, object]:
    return {
        "anyOf": [
            words,
            {
                "type": "object",
                "properties": {"typed": words, "unit": {"const": ""}},
                "required": ["typed"],
                "additionalProperties": False,
            },
        ]
    }
