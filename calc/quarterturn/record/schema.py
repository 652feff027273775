"""The JSON Schemas of the record and of a file of bows, made from the record's declaration."""

from __future__ import annotations

from quarterturn.record.bows import FILE_VERSION, FORMAT, LONGEST_ID, MAX_BOWS, MAX_TIME, SHORTEST_ID
from quarterturn.record.entries import MAX_KEPT
from quarterturn.record.field_types import AnyField, ChoiceField, Column, DateField, ListField, NumberField
from quarterturn.record.fields import FIELDS, VERSION


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


def bows_schema() -> dict[str, object]:
    """The JSON Schema (draft 2020-12) of a file of bows, as the page saves it and `bows_from_text` reads it."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Quarter Turn bows",
        "description": "One bow or several, as the page “Card, log, bows” saves them to a file and reads them back.",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT, "description": "What kind of file this is."},
            "version": {"const": FILE_VERSION, "description": "The version of this format."},
            "bows": {"type": "array", "maxItems": MAX_BOWS, "items": {"$ref": "#/$defs/bow"}},
        },
        "required": ["format", "version", "bows"],
        "additionalProperties": False,
        "$defs": {"bow": _bow(), "record": {key: value for key, value in schema().items() if key != "$schema"}},
    }


def _bow() -> dict[str, object]:
    time = {"type": "integer", "minimum": 0, "maximum": MAX_TIME}
    since = "in milliseconds since 1970-01-01 in UTC"
    return {
        "type": "object",
        "properties": {
            "id": {
                "type": "string",
                "pattern": f"^[0-9a-z]{{{SHORTEST_ID},{LONGEST_ID}}}$",
                "description": "Drawn at random. A file read back finds its bow again by it.",
            },
            "changed": time | {"description": f"When anything of the bow was last entered, {since}."},
            "times": {
                "type": "object",
                "description": f"When each field was last entered or emptied, {since}: of two states of one "
                "field the later one counts. Of a field that is not named here it is `changed`.",
                "propertyNames": {"enum": [field.name for field in FIELDS]},
                "additionalProperties": time,
            },
            "record": {"$ref": "#/$defs/record"},
        },
        "required": ["record"],
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
        return about | _list_keywords(field)
    if isinstance(field, NumberField):
        return about | _number_keywords(field)
    if isinstance(field, DateField):
        return about | _day_keywords(field)
    if isinstance(field, ChoiceField):
        return about | _options_keywords(field)
    return about | _text_keywords({"type": "string", "maxLength": field.max_length})


def _number_keywords(field: NumberField) -> dict[str, object]:
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


def _day_keywords(field: DateField) -> dict[str, object]:
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


def _list_keywords(field: ListField) -> dict[str, object]:
    # A row may still be empty or incomplete: it is kept while it is filled in, and not used.
    return {
        "type": "array",
        "maxItems": field.max_rows,
        "items": {
            "type": "object",
            "title": field.row,
            "properties": {column.name: _column_property(column) for column in field.columns},
            "additionalProperties": False,
        },
    }


def _column_property(column: Column) -> dict[str, object]:
    about = {"title": column.label, "x-number": column.number, "x-role": column.role.value, "default": column.default}
    if isinstance(column, ChoiceField):
        kind = _options_keywords(column)
    else:
        kind = _day_keywords(column) if isinstance(column, DateField) else _number_keywords(column)
    return about | ({"description": column.help} if column.help else {}) | kind


def _options_keywords(field: ChoiceField) -> dict[str, object]:
    return _text_keywords({"type": "string", "enum": [option.value for option in field.options]})


def _text_keywords(words: dict[str, object]) -> dict[str, object]:
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
