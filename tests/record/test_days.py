"""Days: as the calendar has them, as a field, in rows, in a link, in the schema, and what is said of what is no day.

What is a day, and which, is held against Python's `datetime`, which keeps to ISO 8601 and to the Gregorian calendar
carried back (C); that 1900 had no 29 February and 2000 had one is the rule of 1582 (M). What is JSON Schema is held
against `jsonschema` with its own check of dates (draft 2020-12; C).
"""

from __future__ import annotations

import base64
import json
import zlib
from datetime import date, timedelta
from functools import cache
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.more_fields import declare
from quarterturn import days
from quarterturn.record import link
from quarterturn.record import schema as schemas
from quarterturn.record.field_types import DateField, ListField, NumberField, Role
from quarterturn.record.parsing import from_data, from_text
from quarterturn.record.values import Values

# The calendar


@given(st.dates())
def test_a_day_is_read_and_written_as_datetime_does(day: date) -> None:
    assert days.parse(day.isoformat()) == day.toordinal()
    assert days.isoformat(day.toordinal()) == day.isoformat()


def test_every_day_of_the_years_that_can_be_entered() -> None:
    day = date(1999, 12, 31)
    while day <= date(2101, 1, 1):
        assert days.parse(day.isoformat()) == day.toordinal()
        assert days.isoformat(day.toordinal()) == day.isoformat()
        day += timedelta(days=1)


def test_the_first_and_last_days_of_every_year() -> None:
    for year in range(1, 10_000):
        for day in (date(year, 1, 1), date(year, 12, 31)):
            assert days.isoformat(days.parse(day.isoformat())) == day.isoformat()


@given(st.integers(0, 9999), st.integers(0, 19), st.integers(0, 39))
def test_what_datetime_does_not_know_is_no_day(year: int, month: int, day: int) -> None:
    text = f"{year:04d}-{month:02d}-{day:02d}"
    try:
        known = date.fromisoformat(text).toordinal()
    except ValueError:
        if year > 0:  # the standard knows a year 0, datetime does not
            with pytest.raises(days.InvalidDateError):
                days.parse(text)
    else:
        assert days.parse(text) == known


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("2026-06-31", "is not a day: June 2026 goes from 01 to 30. Write year, month and day as 2026-06-30"),
        ("2026-02-29", "is not a day: February 2026 goes from 01 to 28. Write"),
        ("2024-02-30", "is not a day: February 2024 goes from 01 to 29. Write"),
        ("1900-02-29", "is not a day: February 1900 goes from 01 to 28. Write"),
        ("2026-12-00", "is not a day: December 2026 goes from 01 to 31. Write"),
        ("2026-13-01", "is not a day: months go from 01 to 12. Write"),
        ("2026-00-10", "is not a day: months go from 01 to 12. Write"),
    ],
)
def test_what_is_no_day_is_told_with_what_would_be_right(typed: str, words: str) -> None:
    with pytest.raises(days.InvalidDateError) as refused:
        days.parse(typed)
    assert str(refused.value).startswith(words)
    assert str(refused.value).endswith("as 2026-06-30")


OTHER_WRITINGS = [
    "30 June", "31.6.2026", "6/30/2026", "2026/06/30", "20260630", "2026-6-30", "26-06-30", "2026-181", "2026-W27-2",
    "2026-06-30T10:00", "2026-06-30Z", "-2026-06-30", "+2026-06-30", "02026-06-30", "2026-06", "2026", "2026–06–30",
    "٢٠٢٦-٠٦-٣٠", "２０２６-06-30", "2026-06-3O", "2026-06-30\x00", "x", "1e3",
]  # fmt: skip
"""Some are ISO 8601 too (basic, ordinal, week, with a time): one way is enough, and no other can be mistaken for it."""


@pytest.mark.parametrize("typed", OTHER_WRITINGS)
def test_other_writings_are_refused_and_never_guessed(typed: str) -> None:
    with pytest.raises(days.InvalidDateError, match=r"^is not a day: write year, month and day as 2026-06-30$"):
        days.parse(typed)


@given(st.text(max_size=14) | st.text(alphabet="0123456789-", min_size=8, max_size=11))
def test_anything_is_a_day_of_datetimes_or_refused(typed: str) -> None:
    try:
        day = days.parse(typed)
    except days.InvalidDateError:
        return
    text = typed.strip()
    assert text.startswith("0000") or date.fromisoformat(text).toordinal() == day


# As a field, and in a list


SET_ON = DateField(
    number=900,
    name="made_on",
    label="Made on",
    help="Made up, for these checks.",
    default="2026-06-30",
    default_from="nowhere",
)
STEPS = ListField(
    number=901,
    name="made_steps",
    label="Steps",
    help="Made up, for these checks.",
    row="step",
    columns=(
        NumberField(
            number=1, name="far", label="how far", units=("mm", "in"), default=1.0, default_from="nowhere",
            low=0.0, high=9.0, limits_because="these are checks", step=0.5,
        ),
        DateField(
            number=2, name="day", label="day", role=Role.READING, default="2026-06-30", default_from="nowhere",
            first="2024-02-29", last="2026-12-31", limits_because="these are checks",
        ),
    ),
    max_rows=9,
)  # fmt: skip


@pytest.fixture
def _declared(monkeypatch: pytest.MonkeyPatch) -> None:
    declare(monkeypatch, SET_ON, STEPS)


declared = pytest.mark.usefixtures("_declared")


def values(data: dict[str, Any]) -> Values:
    parsed = from_data(data)
    assert parsed.notes == ()
    return Values(parsed.record)


@declared
def test_a_day_is_kept_as_typed_and_read_as_a_count_of_days() -> None:
    found = values({"made_on": "2024-02-29"})
    assert found.record.canonical() == {"version": 1, "made_on": "2024-02-29"}
    assert found.day("made_on") == date(2024, 2, 29).toordinal()
    assert found.entered("made_on")
    assert found.problems == ()
    spaced = values({"made_on": {"typed": " 2024-02-29"}})
    assert spaced.day("made_on") == found.day("made_on")
    assert spaced.record.canonical()["made_on"] == {"typed": " 2024-02-29"}


@declared
def test_no_day_is_no_value() -> None:
    for data in ({}, {"made_on": None}, {"made_on": " "}, {"made_on": {"typed": ""}}):
        found = values(data)
        assert found.day("made_on") is None
        assert not found.entered("made_on")
        assert found.record.canonical() == {"version": 1}


@declared
@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("31 June", "Made on: “31 June” is not a day: write year, month and day as 2026-06-30."),
        ("2026-06-31", "Made on: “2026-06-31” is not a day: June 2026 goes from 01 to 30. Write year, month and day "
         "as 2026-06-30."),
        ("1999-12-31", "Made on: 1999-12-31 is too early. Write a day from 2000-01-01 to 2100-12-31, "
         "because nobody keeps a record of a bow for longer."),
        ("2101-01-01", "Made on: 2101-01-01 is too late. Write a day from 2000-01-01 to 2100-12-31, "
         "because nobody keeps a record of a bow for longer."),
        ("0000-01-01", "Made on: 0000-01-01 is too early. Write a day from 2000-01-01 to 2100-12-31, "
         "because nobody keeps a record of a bow for longer."),
    ],
)  # fmt: skip
def test_what_is_no_day_is_kept_and_told(typed: str, sentence: str) -> None:
    found = values({"made_on": typed})
    assert [(problem.field, problem.sentence) for problem in found.problems] == [("made_on", sentence)]
    assert found.day("made_on") is None
    assert not found.entered("made_on")
    again = from_text(json.dumps(found.record.canonical()))
    assert again.record == found.record
    assert link.from_fragment(link.fragment(found.record)).record == found.record


@declared
def test_limits_are_permitted() -> None:
    for typed in ("2000-01-01", "2100-12-31"):
        assert values({"made_on": typed}).day("made_on") == date.fromisoformat(typed).toordinal()


@declared
def test_a_number_is_no_day_and_something_long_is_ignored() -> None:
    """20260630 is the standard's basic format, and a number of days to others: neither is guessed."""
    (problem,) = values({"made_on": 20260630}).problems
    assert "“20260630” is not a day" in problem.sentence
    for wrong, words in ((["2026-06-30"], "neither text"), (True, "neither text"), ("2" * 999, "too long")):
        parsed = from_data({"made_on": wrong})
        assert parsed.record.entries == {}
        assert len(parsed.notes) == 1
        assert words in parsed.notes[0]


@declared
def test_asking_for_another_kind_is_a_fault_of_the_program() -> None:
    found = values({"made_on": "2026-06-30"})
    for ask_for, name in ((found.day, "rise"), (found.number, "made_on"), (found.choice, "made_on")):
        with pytest.raises(TypeError, match=name):
            ask_for(name)


@declared
def test_a_column_of_days_is_in_the_row_as_a_count() -> None:
    rows = [
        {"far": 2, "day": "2026-06-30"},
        {"day": "2025-01-01"},
        {"far": 3},
        {"far": 4, "day": "2026-02-30"},
        {"day": "2024-02-28"},
        {"day": {"typed": " 2024-02-29 "}},
    ]
    found = values({"made_steps": rows})
    far, first, last, spaced = 0.002, date(2026, 6, 30), date(2025, 1, 1), date(2024, 2, 29)
    assert found.rows("made_steps") == (
        {"far": far, "day": first.toordinal()},
        {"day": last.toordinal()},
        {"day": spaced.toordinal()},
    )
    assert {problem.field: problem.sentence for problem in found.problems} == {
        "made_steps.4.day": "Steps, step 4, day: “2026-02-30” is not a day: February 2026 goes from 01 to 28. Write "
        "year, month and day as 2026-06-30.",
        "made_steps.5.day": "Steps, step 5, day: 2024-02-28 is too early. Write a day from 2024-02-29 to "
        "2026-12-31, because these are checks.",
    }
    assert [problem.sentence for problem in found.unfinished("made_steps")] == [
        "Steps, step 3: not used yet, because day is empty."
    ]


def unpacked(fragment: str) -> str:
    raw = base64.urlsafe_b64decode((body := fragment.removeprefix("q1.")) + "=" * (-len(body) % 4))
    return (zlib.decompress(raw[5:], -15) if raw[:1] == b"d" else raw[5:]).decode()


@declared
def test_a_link_writes_a_day_as_it_was_typed() -> None:
    record = from_data(
        {
            "made_on": "2026-06-30",
            "made_steps": [{"far": {"typed": "1", "unit": "in"}, "day": "2025-01-31"}, {"day": "2!_3"}, {"far": 2}],
        }
    ).record
    assert unpacked(link.fragment(record)) == "900=2026-06-30;901=1~1_2025-01-31!_2%21%5F3!2"
    parsed = link.from_fragment(link.fragment(record))
    assert parsed.notes == ()
    assert parsed.record == record


TYPED = st.dates().map(date.isoformat) | st.text(alphabet="0123456789-;~=!_% x", min_size=1, max_size=12)


@declared
@given(TYPED, st.lists(TYPED, max_size=4))
def test_any_typing_comes_back_from_link_and_text(typed: str, more: list[str]) -> None:
    record = from_data({"made_on": typed, "made_steps": [{"day": one, "far": "1_!"} for one in more]}).record
    assert link.from_fragment(link.fragment(record)).record == record
    assert from_text(json.dumps(record.canonical())).record == record


# In the schema


@cache
def checker() -> jsonschema.Draft202012Validator:
    """Of the schema with the fields that are declared here; used only where they are."""
    schema = schemas.schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker(["date"]))


@declared
def test_the_schema_says_what_a_day_is() -> None:
    check = checker()
    about: Any = schemas.schema()["properties"]
    assert (about["made_on"]["format"], about["made_on"]["x-number"]) == ("date", 900)
    assert (about["made_on"]["x-first"], about["made_on"]["x-last"]) == ("2000-01-01", "2100-12-31")
    for right in ("2026-06-30", {"typed": "31 June"}, {"typed": "2026-06-30", "unit": ""}):
        assert check.is_valid({"made_on": right}), right
        assert check.is_valid({"made_steps": [{"day": right}]}), right
    for wrong in (
        "2026-06-31",
        "20260630",
        "30 June",
        "",
        20260630,
        None,
        {"typed": 5},
        {"typed": "2026-06-30", "unit": "mm"},
        {"unit": ""},
    ):
        assert not check.is_valid({"made_on": wrong}), wrong
        assert not check.is_valid({"made_steps": [{"day": wrong}]}), wrong


@declared
@given(TYPED)
def test_whatever_was_read_is_written_as_the_schema_says(typed: str) -> None:
    record = from_data({"made_on": typed, "made_steps": [{"day": typed}]}).record
    check = checker()
    check.validate(record.canonical())
    day = Values(record).day("made_on")
    if day is not None and typed == date.fromordinal(day).isoformat():
        assert record.canonical()["made_on"] == typed


def test_the_schema_tells_what_no_link_carries() -> None:
    about: Any = schemas.schema()["properties"]
    assert [name for name, one in about.items() if one.get("x-linked") is False] == ["log", "inspection_source"]
