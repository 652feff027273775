"""The HTML of the boxes of fields, and what the templates of a page are given to make it.

Everything a form says of a field comes from the field's declaration; the templates hold no limit and no label.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from club import current
from quarterturn import numbers, units
from quarterturn.record.field_types import (
    AnyField,
    ChoiceField,
    Column,
    Condition,
    DateField,
    ListField,
    NumberField,
    Option,
    Scope,
    TextField,
)
from quarterturn.record.fields import BY_NAME, FIELDS
from quarterturn.record.fields.bolts import PER_BOLT
from quarterturn.record.fields.builders import LENGTH, TURNED

RUNTIME_MARK = "@qt-runtime@"
"""Stands in the HTML where the page's own way to the runtime is put in."""

MOST_ABREAST = 3
"""A list of more columns is wide: on a phone its boxes stand under one another, each with its name."""

TEMPLATES = Path(__file__).resolve().parent / "templates"


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider's numbers in one unit, as HTML writes them."""

    unit: str
    min: str
    max: str
    step: str
    decimals: int
    default: str


def _html_number(value: float, decimals: int) -> str:
    """A number as HTML writes it: an ASCII minus, no zeros that say nothing."""
    return numbers.trimmed(value, decimals).replace("−", "-")


def slider(field: NumberField, unit: str) -> Slider:
    """The slider of a field in one unit; in another than the declared one it moves by the last decimal."""
    decimals = field.decimals(unit)
    low, high = field.bounds(unit, field.slider_high)
    return Slider(
        unit=unit,
        min=_html_number(low, decimals),
        max=_html_number(high, decimals),
        step=_html_number(field.step if unit == field.unit else 10.0**-decimals, decimals),
        decimals=decimals,
        default=_html_number(round(field.in_unit(field.default, unit), decimals), decimals),
    )


def example(field: Column) -> str:
    """A number's default with its unit, a day or an option, to say what is meant."""
    if isinstance(field, ChoiceField):
        return field.label_of(field.default)
    if isinstance(field, DateField):
        return field.default
    unit = first_unit(field)
    return f"{slider(field, unit).default} {symbol(unit)}".strip()


def examples_json(field: NumberField) -> str:
    """A column's example in every unit of its menu, for the page's script."""
    return json.dumps({unit: f"{slider(field, unit).default} {symbol(unit)}" for unit in field.units})


def first_unit(field: NumberField) -> str:
    """The unit that a box begins with."""
    return field.starting_unit(current().units)


def chosen(field: NumberField, unit: str) -> Markup:
    """What marks a unit in a menu, where the menu does not begin with it anyway."""
    marked = unit == first_unit(field) != field.unit
    return Markup(" selected" if marked else "")


def usual(field: NumberField) -> Markup:
    """What names the setting whose unit a box has while nothing stands in it; of lengths there is one."""
    return Markup(' data-usual="length_unit"' if field.units == LENGTH else "")


@cache
def same_units() -> str:
    """The fields of a bow that offer the same units in the same order, by these units: JSON for the page's script."""
    kinds: dict[str, list[str]] = {}
    for field in FIELDS:
        if isinstance(field, NumberField) and field.scope is Scope.BOW and len(field.units) > 1:
            kinds.setdefault(" ".join(field.units), []).append(field.name)
    return json.dumps(kinds)


def sliders_json(field: NumberField) -> str:
    """The slider's numbers in every unit of the field, for the page's script."""
    return json.dumps(
        {
            unit: {
                "min": float(numbers_.min),
                "max": float(numbers_.max),
                "step": float(numbers_.step),
                "decimals": numbers_.decimals,
                "default": float(numbers_.default),
            }
            for unit in field.units
            for numbers_ in (slider(field, unit),)
        }
    )


def conditions(when: tuple[Condition, ...]) -> str:
    """When a field is shown, as the page's script reads it: values split by |, conditions by &.

    An empty value stands for a question that was not answered, which counts as its default.
    """
    return "&".join(f"{one.field}={'|'.join([*one.values, *_unanswered(one)])}" for one in when)


def _unanswered(one: Condition) -> list[str]:
    asked = BY_NAME[one.field]
    return [""] if asked.default in one.values else []


def column_when(field: ListField, column: Column) -> str:
    """When a column of a list is shown, as `conditions`: what tells how bolts were set, where bolts are for turning."""
    return conditions(TURNED) if column.name in field.setting_columns else ""


def shown_order(field: ChoiceField) -> list[Option]:
    """The answers as they are shown: "I do not know" last where it is no default, wherever it stands in the record."""
    return sorted(field.options, key=lambda option: option.value == "unknown" and field.default != "unknown")


def shown_at_first(field: AnyField) -> bool:
    """Whether the field matters while nothing is entered."""
    return all(BY_NAME[one.field].default in one.values for one in field.when)


def in_clicks(field: NumberField) -> bool:
    """Whether it is a count of turns of one bolt, so that it may be counted in a detent's clicks."""
    return field.unit == "turn" and field in PER_BOLT


def kind(field: AnyField) -> str:
    """The word the page's script knows a field's kind by."""
    match field:
        case NumberField():
            return "number"
        case ChoiceField():
            return "choice"
        case TextField():
            return "text"
        case DateField():
            return "date"
        case ListField():
            return "list"


def is_wide(field: ListField) -> bool:
    """Whether a list has more columns than stand abreast on a phone."""
    return len(field.columns) > MOST_ABREAST


def label_alone(column: Column) -> str:
    """A column's label where its head is out of sight, with its unit where that is no menu."""
    if not isinstance(column, NumberField) or len(column.units) > 1:
        return column.label
    return ", ".join(filter(None, (column.label, symbol(column.unit))))


def symbol(unit: str) -> str:
    """A unit's symbol, as shown."""
    return units.unit(unit).symbol


def rendered(template: str, **parts: object) -> str:
    """A template's HTML, with these parts of text put in."""
    return _environment().get_template(template).render(**parts)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(
        chosen=chosen,
        club=current(),
        column_when=column_when,
        conditions=conditions,
        example=example,
        examples_json=examples_json,
        first_unit=first_unit,
        in_clicks=in_clicks,
        is_wide=is_wide,
        kind=kind,
        label_alone=label_alone,
        shown_at_first=shown_at_first,
        shown_order=shown_order,
        slider=slider,
        sliders_json=sliders_json,
        symbol=symbol,
        usual=usual,
    )
    return environment
