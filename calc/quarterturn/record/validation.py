"""Whether an entry can be used: its value in SI, or the sentence that says why not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quarterturn import days, numbers, units
from quarterturn.record.entries import Entry, Problem, excerpt
from quarterturn.record.field_types import ChoiceField, Column, DateField, ListField, NumberField, TextField

Row = Mapping[str, float]
"""One complete row of a list, by the names of its columns: numbers in SI, a day as a count of days (`days`); a choice
is not in it."""


IN_CLICKS = "is a count of clicks. Type it over the clicks of one turn: 20 clicks of 8 a turn are 20/8."
"""Said of a count of clicks where turns are wanted: how many there are in a turn is not told with it."""


def validate(field: Column | TextField, entry: Entry) -> float | int | str | Problem:
    """The value of an entry: a number in SI, a count of days, an option or a text; or why it has none."""
    if isinstance(field, ChoiceField | TextField):
        return entry.typed
    return validate_day(field, entry) if isinstance(field, DateField) else validate_number(field, entry)


def validate_number(field: NumberField, entry: Entry) -> float | Problem:
    """The entry as a number in SI, or the sentence that says why not."""
    try:
        value = numbers.parse(entry.typed)
    except numbers.InvalidNumberError as error:
        reason = IN_CLICKS if field.unit == "turn" and "click" in entry.typed.lower() else f"{error}."
        return Problem(field.name, f"{field.label}: “{excerpt(entry.typed)}” {reason}")
    declared = units.from_si(units.to_si(value, entry.unit), field.unit)
    if numbers.at_most(field.low, declared) and numbers.at_most(declared, field.high):
        return units.to_si(min(max(declared, field.low), field.high), field.unit)
    size = "small" if declared < field.low else "large"
    shown = f"{excerpt(entry.typed.strip())} {units.unit(entry.unit).symbol}".strip()
    return Problem(
        field.name,
        f"{field.label}: {shown} is too {size}. Type {field.permitted(entry.unit)}, because {field.limits_because}.",
    )


def validate_day(field: DateField, entry: Entry) -> int | Problem:
    """The entry as a count of days, or the sentence that says why not."""
    try:
        day = days.parse(entry.typed)
    except days.InvalidDateError as error:
        return Problem(field.name, f"{field.label}: “{excerpt(entry.typed)}” {error}.")
    first, last = field.bounds
    if first <= day <= last:
        return day
    return Problem(
        field.name,
        f"{field.label}: {entry.typed.strip()} is too {'early' if day < first else 'late'}. "
        f"Write a day from {field.permitted}, because {field.limits_because}.",
    )


@dataclass(frozen=True, slots=True)
class ValidatedRows:
    """The rows that can be used, the problems of those that cannot, and a sentence for each that is not complete."""

    complete: tuple[Row, ...]
    problems: tuple[Problem, ...]
    unfinished: tuple[Problem, ...]


def validate_rows(field: ListField, entry: Entry) -> ValidatedRows:
    """The rows of a list, each judged by itself."""
    complete: list[Row] = []
    problems: list[Problem] = []
    unfinished: list[Problem] = []
    for number, cells in enumerate(entry.rows, 1):
        typed = _typed(field, cells)
        outcomes = {
            column.name: validate(column, typed[column.name]) for column in field.columns if column.name in typed
        }
        wrong = [outcome for outcome in outcomes.values() if isinstance(outcome, Problem)]
        empty = [column for column in field.required if column.name not in typed]
        where, said = f"{field.name}.{number}", f"{field.label}, {field.row} {number}"
        problems.extend(Problem(f"{where}.{each.field}", f"{said}, {each.sentence}") for each in wrong)
        if empty:
            names = " and ".join(column.label for column in empty)
            are = "is" if len(empty) == 1 else "are"
            unfinished.append(
                Problem(f"{where}.{empty[0].name}", f"{said}: not used yet, because {names} {are} empty.")
            )
        elif not wrong:
            complete.append({name: value for name, value in outcomes.items() if isinstance(value, float | int)})
    return ValidatedRows(tuple(complete), tuple(problems), tuple(unfinished))


def _typed(field: ListField, cells: tuple[Entry | None, ...]) -> dict[str, Entry]:
    """What was typed in a row, by the names of its columns."""
    return {column.name: cell for column, cell in zip(field.columns, cells, strict=True) if cell is not None}


def dated_rows(field: ListField, entry: Entry) -> list[dict[str, Entry]]:
    """The rows of a dated list as they were typed, in the order of their days; only those that can be used."""
    found = [
        (row[field.date], _typed(field, cells))
        for cells in entry.rows
        for row in validate_rows(field, Entry("", rows=(cells,))).complete
    ]
    return [typed for _, typed in sorted(found, key=lambda one: one[0])]


def misleading_row(field: ListField, entry: Entry) -> tuple[Entry | None, ...] | None:
    """The first row that leaves open how things stand: one with a problem, or that settles something and has no day."""
    settling = [place for place, column in enumerate(field.columns) if column.name in field.setting_columns]
    for cells in entry.rows:
        found = validate_rows(field, Entry("", rows=(cells,)))
        if found.problems or (found.unfinished and any(cells[place] is not None for place in settling)):
            return cells
    return None
