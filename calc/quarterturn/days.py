"""Days of the calendar, read and written as ISO 8601 has them: year, month and day as 2026-06-30.

A day is a whole number, so that days can be sorted, subtracted and drawn: 1 is the first of January of the year 1 in
today's (Gregorian) calendar, carried back. Python's own `date.toordinal` counts the same way; it is not used here, for
the browser's copy of the library would have to carry it.
"""

from __future__ import annotations

import re

_ISO_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_MONTHS = (
    ("January", 31), ("February", 28), ("March", 31), ("April", 30), ("May", 31), ("June", 30),
    ("July", 31), ("August", 31), ("September", 30), ("October", 31), ("November", 30), ("December", 31),
)  # fmt: skip
EXAMPLE = "2026-06-30"


class InvalidDateError(ValueError):
    """What was typed is no day of the calendar; the message says what would be right."""


def parse(typed: str) -> int:
    """Read a day as ISO 8601 writes it; spaces around it are understood.

    Raises:
        InvalidDateError: with the rest of a sentence, to follow what was typed.

    >>> parse("2026-06-30") - parse("2025-06-30")
    365
    """
    shape = _ISO_DATE.fullmatch(typed.strip())
    if shape is None:
        raise InvalidDateError(f"is not a day: write year, month and day as {EXAMPLE}")
    year, month, day = map(int, shape.groups())
    if not 1 <= month <= 12:
        raise InvalidDateError(f"is not a day: months go from 01 to 12. Write year, month and day as {EXAMPLE}")
    last = _days_in_month(year, month)
    if not 1 <= day <= last:
        name = _MONTHS[month - 1][0]
        raise InvalidDateError(
            f"is not a day: {name} {year} goes from 01 to {last}. Write year, month and day as {EXAMPLE}"
        )
    return _days_before_year(year) + _days_before_month(year, month) + day


def isoformat(day: int) -> str:
    """A day as ISO 8601 writes it, of the years 1 to 9999.

    >>> isoformat(parse("2024-02-28") + 1)
    '2024-02-29'
    """
    year = 1 + 400 * (day - 1) // 146097  # so many days have 400 years; it may be one too early
    if day > _days_before_year(year + 1):
        year += 1
    rest = day - _days_before_year(year)
    month = max(each for each in range(1, 13) if _days_before_month(year, each) < rest)
    return f"{year:04d}-{month:02d}-{rest - _days_before_month(year, month):02d}"


def in_words(day: int) -> str:
    """A day as people say it.

    >>> in_words(parse("2026-06-30"))
    '30 June 2026'
    """
    year, month, number = map(int, isoformat(day).split("-"))
    return f"{number} {_MONTHS[month - 1][0]} {year}"


def months_later(day: int, months: int) -> int:
    """The same day of a later month, or that month's last where it has none.

    >>> isoformat(months_later(parse("2025-08-31"), 6))
    '2026-02-28'
    """
    year, month, number = map(int, isoformat(day).split("-"))
    year, month = year + (month - 1 + months) // 12, (month - 1 + months) % 12 + 1
    return _days_before_year(year) + _days_before_month(year, month) + min(number, _days_in_month(year, month))


def _is_leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def _days_in_month(year: int, month: int) -> int:
    return 29 if month == 2 and _is_leap(year) else _MONTHS[month - 1][1]


def _days_before_year(year: int) -> int:
    """How many days lie before a year's first."""
    past = year - 1
    return 365 * past + past // 4 - past // 100 + past // 400


def _days_before_month(year: int, month: int) -> int:
    """How many days of the year lie before a month's first."""
    return sum(_days_in_month(year, each) for each in range(1, month))
