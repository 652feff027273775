"""The published JSON Schema, against `jsonschema` (draft 2020-12; C): valid, and as strict as the declaration."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
from hypothesis import given
from hypothesis import strategies as st

from helpers.each_case import holds_of_each
from helpers.records import some
from quarterturn.record.field_types import ChoiceField, NumberField, TextField
from quarterturn.record.fields import FIELDS
from quarterturn.record.parsing import from_data
from quarterturn.record.schema import schema
from quarterturn.record.values import Values

SCHEMA: dict[str, Any] = schema()
CHECKER = jsonschema.Draft202012Validator(SCHEMA)
RECORDS = list(some(200))
NUMBER_FIELDS = [field for field in FIELDS if isinstance(field, NumberField)]
each_number = holds_of_each(NUMBER_FIELDS, lambda field: field.name)


def test_schema_is_valid_and_is_json() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA


def test_schema_names_every_field_and_nothing_else() -> None:
    assert set(SCHEMA["properties"]) == {field.name for field in FIELDS} | {"version"}
    assert not CHECKER.is_valid({"other": 1})
    assert CHECKER.is_valid({})


def test_drawn_records_are_valid_and_are_read_without_a_note() -> None:
    for record in RECORDS:
        CHECKER.validate(record)
        parsed = from_data(record)
        assert parsed.notes == ()
        assert Values(parsed.record).problems == ()


def test_what_was_read_is_valid_again() -> None:
    for record in RECORDS:
        CHECKER.validate(from_data(record).record.canonical())


@given(st.sampled_from(FIELDS), st.text(max_size=200), st.sampled_from(["", "mm", "in", "turn", "lbf"]))
def test_whatever_could_be_read_is_written_as_the_schema_says(field: Any, typed: str, unit: str) -> None:
    parsed = from_data({field.name: {"typed": typed, "unit": unit}})
    CHECKER.validate(parsed.record.canonical())


@each_number
def test_limits_are_exactly_the_declarations(field: NumberField) -> None:
    about = SCHEMA["properties"][field.name]
    assert (about["minimum"], about["maximum"]) == (field.low, field.high)
    assert (about["x-unit"], about["x-number"], about["default"]) == (field.unit, field.number, field.default)
    assert CHECKER.is_valid({field.name: field.low})
    assert CHECKER.is_valid({field.name: field.high})
    assert not CHECKER.is_valid({field.name: field.high * (1 + 1e-9)})
    assert not CHECKER.is_valid({field.name: field.low - 1e-9})


@each_number
def test_schema_and_program_agree_on_the_limits(field: NumberField) -> None:
    span = field.high - field.low
    for value in (field.low, field.low + 0.3 * span, field.high, field.high + 0.01 * span, field.low - 0.01 * span):
        problems = Values(from_data(matters(field) | {field.name: value}).record).problems
        assert CHECKER.is_valid({field.name: value}) is (problems == ())


def matters(field: NumberField) -> dict[str, object]:
    return {when.field: when.values[0] for when in field.when}


@each_number
def test_numbers_with_units_are_objects_of_one_form(field: NumberField) -> None:
    assert CHECKER.is_valid({field.name: {"typed": "5,25", "unit": field.units[-1]}})
    assert CHECKER.is_valid({field.name: {"typed": "5,25"}})
    for wrong in (
        {"typed": 5},
        {"typed": "5", "unit": "m"},
        {"unit": field.unit},
        {"typed": "5", "more": 1},
        "5",
        True,
    ):
        assert not CHECKER.is_valid({field.name: wrong}), wrong


def test_choices_and_words_are_bounded() -> None:
    for field in FIELDS:
        if isinstance(field, ChoiceField):
            assert SCHEMA["properties"][field.name]["anyOf"][0]["enum"] == [option.value for option in field.options]
            assert not CHECKER.is_valid({field.name: "any other"})
        if isinstance(field, TextField):
            assert CHECKER.is_valid({field.name: "x" * field.max_length})
            assert not CHECKER.is_valid({field.name: "x" * (field.max_length + 1)})


def test_version_is_bound() -> None:
    assert CHECKER.is_valid({"version": 1})
    assert not CHECKER.is_valid({"version": 2})
