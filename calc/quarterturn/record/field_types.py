"""What a field of the record is.

A field is declared once. From that declaration come the form, the checks and their sentences, the unit switch,
the link, the JSON Schema and the strategies of the tests, so a limit is never written a second time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from quarterturn import days, numbers, units


class Scope(StrEnum):
    """How far a field travels: with the bow, with the reader, or no farther than the screen."""

    BOW = "bow"
    """Of the bow: kept, linked, printed."""
    READER = "reader"
    """Of the reader: kept in this browser, not linked."""
    VIEW = "view"
    """Of the view: neither kept nor linked."""


class Role(StrEnum):
    """What it means that a field has not been entered."""

    READING = "reading"
    """The verdict needs it; until it is entered the answer is a worked example that uses the default."""
    SETTING = "setting"
    """The default is used and named as an assumption."""
    OPTIONAL = "optional"
    """There is no value: nothing is computed from it, and the default only tells a slider where to stand."""


@dataclass(frozen=True, slots=True)
class Condition:
    """A field matters only while another field has one of these values."""

    field: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What every field has.

    Attributes:
        number: permanent; never reused, never changed. Links are written with it.
        name: public; the key in JSON.
        label: a few words, as the form shows them.
        help: one line on how to find the value.
        role: what its absence means.
        scope: how far it travels.
        when: all of these must hold for the field to matter.
        inert: why changing it changes no answer, for fields that are only kept ("" for all others).
        linked: whether a link carries all of it, where it is of the bow. Of a list that grows without end, which is too
            long for one, it carries how things stand now (`record.newest`); of any other field nothing.
        dated_by: the date field that gets the reader's day when this is entered and it is still empty; "" for none.
    """

    number: int
    name: str
    label: str
    help: str = ""
    role: Role = Role.OPTIONAL
    scope: Scope = Scope.BOW
    when: tuple[Condition, ...] = ()
    inert: str = ""
    linked: bool = True
    dated_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberField(Field):
    """A measured or counted number.

    Attributes:
        units: names of the units it may be typed in; the first is the one its default and limits are given in.
        default: what the worked example uses while nothing is entered.
        default_from: where the default comes from.
        low, high: limits, both permitted.
        limits_because: why these limits; the rest of a sentence after "because".
        step: what one press of an arrow key on the slider does.
        slider_high: the slider's own upper end where the whole range would make it too coarse.
    """

    units: tuple[str, ...]
    default: float
    default_from: str
    low: float
    high: float
    limits_because: str
    step: float
    slider_high: float | None = None

    @property
    def unit(self) -> str:
        """The name of the unit of its default and limits."""
        return self.units[0]

    def starting_unit(self, system: str) -> str:
        """The unit that its box begins with, and that it is told in while none was typed.

        Without a system it is the declared one, and so it is of what is only of the view and typed nowhere, and of what
        the trade counts in a unit of its own, as spine.
        """
        if self.scope is Scope.VIEW or not any(self.unit in each for each in units.SYSTEMS.values()):
            return self.unit
        return next((unit for unit in units.SYSTEMS.get(system, ()) if unit in self.units), self.unit)

    def in_unit(self, value: float, unit: str) -> float:
        """A value given in the declared unit, in another of the permitted ones."""
        return units.from_si(units.to_si(value, self.unit), unit)

    def decimals(self, unit: str) -> int:
        """How many decimals the step needs in this unit."""
        step = self.in_unit(self.step, unit)
        if unit == self.unit:
            return next((n for n in range(6) if numbers.same(step, round(step, n))), 6)
        return next((n for n in range(6) if 10.0**-n <= step), 6)

    def bounds(self, unit: str, high: float | None = None) -> tuple[float, float]:
        """The limits in a unit, rounded inward to its decimals, so that typing what is shown is permitted."""
        places = 10.0 ** self.decimals(unit)
        low = math.ceil(numbers.rounded(self.in_unit(self.low, unit) * places)) / places
        top = math.floor(numbers.rounded(self.in_unit(self.high if high is None else high, unit) * places)) / places
        return low, top

    def permitted(self, unit: str) -> str:
        """The limits in words, in a unit.

        For a count of turns: "0 to 15 turns".
        """
        low, high = (numbers.trimmed(bound, self.decimals(unit)) for bound in self.bounds(unit))
        return f"{low} to {high} {units.unit(unit).symbol}".strip()


@dataclass(frozen=True, slots=True)
class Option:
    """One of the answers of a choice."""

    value: str
    label: str
    help: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceField(Field):
    """A question with a few answers; the worked example takes the default."""

    options: tuple[Option, ...]
    default: str

    def label_of(self, value: str) -> str:
        """The words of one of its options."""
        return next(option.label for option in self.options if option.value == value)


@dataclass(frozen=True, slots=True, kw_only=True)
class TextField(Field):
    """A few words of the reader's own."""

    max_length: int
    default: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DateField(Field):
    """A day of the calendar, typed and kept as ISO 8601 writes it: 2026-06-30. Its value is a count of days.

    Attributes:
        default: an example of a day.
        default_from: where the default comes from.
        first, last: limits, both permitted.
        limits_because: why these limits; the rest of a sentence after "because".
    """

    default: str
    default_from: str
    first: str = "2000-01-01"
    last: str = "2100-12-31"
    limits_because: str = "nobody keeps a record of a bow for longer"

    @property
    def bounds(self) -> tuple[int, int]:
        """The limits as counts of days."""
        return days.parse(self.first), days.parse(self.last)

    @property
    def permitted(self) -> str:
        """The limits in words."""
        return f"{self.first} to {self.last}"


Column = NumberField | DateField | ChoiceField
"""What a row of a list can hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListField(Field):
    """Rows, as many as the reader has.

    A row is used once every column that is not optional is entered. What its columns have of a field's other
    properties (scope, when, inert, linked) is the list's.

    Attributes:
        row: one word for a row, as sentences and buttons say it.
        columns: what a row holds, each declared as a number, a date or a choice is, with a short label in lower case;
            `number` is its place, counted from 1. Columns are only ever added at the end, for links write their places.
        max_rows: how many rows there may be.
        initial_rows: how many empty ones a form begins with.
        setting_columns: of a dated list, the columns that tell what was set: readings hold from then on.
        default: no row, as every field has a default.
    """

    row: str
    columns: tuple[Column, ...]
    max_rows: int
    setting_columns: tuple[str, ...] = ()
    initial_rows: int = 3
    default: tuple[()] = ()

    @property
    def required(self) -> tuple[Column, ...]:
        """The columns without which a row is not used."""
        return tuple(column for column in self.columns if column.role is not Role.OPTIONAL)

    @property
    def date(self) -> str:
        """The name of the column that dates a row; "" where there is none."""
        return next((column.name for column in self.columns if isinstance(column, DateField)), "")


AnyField = NumberField | ChoiceField | TextField | DateField | ListField
