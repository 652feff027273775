"""Five calls for a notebook or a lesson: the calculators of the site, from plain data to plain data.

A record is a dictionary of entries by the names of their fields, as in the file that a page saves: numbers in the
field's own unit, or text with a unit, "9.5 mm" being {"typed": "9.5", "unit": "mm"}.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quarterturn import days
from quarterturn.__main__ import today
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Drawing, Refusal


@dataclass(frozen=True, slots=True)
class Svg:
    """A picture that a notebook shows by itself; `text` is its markup."""

    text: str

    def _repr_svg_(self) -> str:
        return self.text


def calculators() -> dict[str, str]:
    """The names of the calculators, with their titles."""
    return {name: widget.title for name, widget in WIDGETS.items()}


def fields(calculator: str) -> dict[str, str]:
    """The fields that a calculator asks for: by name, what each is called, and the unit of a number.

    Raises:
        KeyError: there is no such calculator.
    """
    found = {}
    for name in WIDGETS[calculator].fields():
        field = BY_NAME[name]
        found[name] = f"{field.label} ({field.unit})" if isinstance(field, NumberField) else field.label
    return found


def answer(calculator: str, record: Mapping[str, object] | None = None) -> dict[str, object]:
    """The answer to a record as plain data; without one, to the made-up example.

    Raises:
        KeyError: there is no such calculator.
        ValueError: an entry cannot be used; the message says which, and what would be right.
    """
    return _answered(calculator, record).as_data()


def number(calculator: str, value: str, record: Mapping[str, object] | None = None) -> float:
    """One number of an answer, by its name, in the unit that the answer gives it.

    Raises:
        KeyError: there is no such calculator, or it gives no such number.
        ValueError: as `answer`.
    """
    found = {one.name: one.value for one in _answered(calculator, record).all_values()}
    told = found[value]
    if told is None:
        raise KeyError(value)
    return told


def picture(calculator: str, name: str, record: Mapping[str, object] | None = None) -> Svg:
    """A picture of an answer, by its name.

    Raises:
        KeyError: there is no such calculator, or it draws no such picture.
        ValueError: as `answer`.
    """
    drawn = {one.picture.name: one.picture for one in _answered(calculator, record).blocks if isinstance(one, Drawing)}
    return Svg(drawn[name].svg)


def _answered(calculator: str, record: Mapping[str, object] | None) -> Answer:
    parsed = from_data(dict(record or {}))
    if parsed.notes:
        raise ValueError(" ".join(parsed.notes))
    # As on the site an inspection grows old.
    try:
        return WIDGETS[calculator].answer(Values(parsed.record, today=days.parse(today())))
    except Refusal as refusal:
        raise ValueError(str(refusal)) from None
