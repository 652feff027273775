"""Files of bows: round trips, what is refused or read in part, and the published schema.

The schema is checked by `jsonschema` (draft 2020-12; C); JSON is RFC 8259 (C).
"""

from __future__ import annotations

import json
from contextlib import suppress
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE
from helpers.records import some
from quarterturn.bench.inspection import ENTRIES
from quarterturn.record.bows import MAX_BOWS, MAX_FILE, MAX_TIME, bows_from_text, name_of, record_from_text
from quarterturn.record.fields import FIELDS
from quarterturn.record.parsing import MAX_NOTES, ParseError, from_data
from quarterturn.record.schema import bows_schema, schema
from quarterturn.worker_interface import ask

SCHEMA: dict[str, Any] = bows_schema()
CHECKER = jsonschema.Draft202012Validator(SCHEMA)
RECORDS = list(some(80))
NAMES = [field.name for field in FIELDS]
SCRIPT = "<img src=x onerror=alert(1)>"

File = dict[str, Any]


def file_of(*bows: Any, **more: Any) -> File:
    """A file as the documentation tells it, written here by hand."""
    return {"format": "quarter-turn bows", "version": 1, "bows": list(bows)} | more


def bow(record: Any = COMPLETE, **more: Any) -> dict[str, Any]:
    return {"record": record} | more


def refusal(given: Any) -> str:
    with pytest.raises(ParseError) as caught:
        bows_from_text(given if isinstance(given, str) else json.dumps(given))
    sentence = str(caught.value)
    assert sentence.endswith(".")
    return sentence


# The schema -------------------------------------------------------------------------------------------------------


def test_schema_is_valid_and_holds_the_records_own() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA
    assert SCHEMA["$defs"]["record"] | {"$schema": SCHEMA["$schema"]} == schema()


def test_what_a_file_must_have_and_may_have() -> None:
    CHECKER.validate(file_of())
    CHECKER.validate(file_of(bow()))
    CHECKER.validate(file_of(bow(id="0a1b2c3d", changed=0, times={"margin": MAX_TIME})))
    for wrong in (
        {},
        {"format": "quarter-turn bows", "version": 1},
        file_of() | {"version": 2},
        file_of() | {"format": "bows"},
        file_of(more=1),
        file_of({}),
        file_of(bow(id="short")),
        file_of(bow(id="UPPERCASE1")),
        file_of(bow(id="z" * 33)),
        file_of(bow(changed="2026-06-30")),
        file_of(bow(changed=-1)),
        file_of(bow(changed=MAX_TIME + 1)),
        file_of(bow(times={"no_such_field": 1})),
        file_of(bow(times={"margin": 1.5})),
        file_of(bow({"no_such_field": 1})),
        file_of(bow(more=1)),
        file_of(*[bow()] * (MAX_BOWS + 1)),
    ):
        assert not CHECKER.is_valid(wrong), wrong


# Round trips ------------------------------------------------------------------------------------------------------


def test_drawn_bows_come_back_as_they_went() -> None:
    """In the records' own shortest form, and as they are written once read."""
    written = [bow(record, id=f"{place:08d}", times={"margin": place}) for place, record in enumerate(RECORDS)]
    for data in (written, [one | {"record": from_data(one["record"]).record.canonical()} for one in written]):
        CHECKER.validate(file_of(*data))
        parsed = bows_from_text(json.dumps(file_of(*data)))
        assert parsed.notes == ()
        assert [one.record for one in parsed.bows] == [from_data(record).record for record in RECORDS]
        assert [one.id for one in parsed.bows] == [one["id"] for one in written]
        assert [one.times for one in parsed.bows] == [one["times"] for one in written]


def test_a_changed_bow_gives_its_time_to_every_entry_that_has_none() -> None:
    given_times = {"margin": 7, "rise": 9}
    (read,) = bows_from_text(json.dumps(file_of(bow({"margin": 0.5, "play": 0.1}, changed=5, times=given_times)))).bows
    assert read.times == {"margin": 7, "play": 5, "rise": 9}


def test_a_single_record_is_a_file_of_one() -> None:
    (read,) = bows_from_text(json.dumps(COMPLETE)).bows
    assert (read.record, read.id, read.times) == (from_data(COMPLETE).record, "", {})


def test_the_desk_gives_what_the_page_asks_for() -> None:
    text = json.dumps(file_of(bow({"bow_name": "Club", "odd": 1}, id="12345678", times={"bow_name": 3})))
    assert json.loads(ask(json.dumps({"ask": "file", "text": text}))) == {
        "bows": [
            {"id": "12345678", "times": {"bow_name": 3}, "record": {"version": 1, "bow_name": "Club"}}
            | {"marks": {}, "marked_by": list(ENTRIES)}
        ],
        "notes": ["Bow 1, Club: “odd” was ignored: this version has no field of that name."],
        "problems": [],
    }
    told = json.loads(ask(json.dumps({"ask": "file", "text": "{"})))
    assert (told["bows"], told["notes"]) == ([], [])
    assert "cut off" in told["problems"][0]["sentence"]


# What is not well meant -------------------------------------------------------------------------------------------

WHOLE = json.dumps(file_of(*[bow(id=f"{place:08d}", changed=place) for place in range(3)]))


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ("", "cut off"),
        ("no JSON at all", "cut off"),
        ("[]", "not an object"),
        ("3", "not an object"),
        ({}, "there is no bow in it"),
        ({"version": 1}, "there is no bow in it"),
        ({"other": 1}, "“other” was ignored"),
        (file_of() | {"format": "bows"}, "another kind of file"),
        (file_of() | {"format": ["quarter-turn bows"]}, "another kind of file"),
        ({"bows": []}, "another kind of file"),
        (file_of() | {"bows": {"0": bow()}}, "not a list"),
        (file_of() | {"bows": None}, "not a list"),
        ("x" * (MAX_FILE + 1), "longer than 2,000,000 characters"),
        ("[" * 100_000, "nested too deeply"),
        ('{"bows":' * 100_000, "nested too deeply"),
        (json.dumps(file_of())[:-1] + ', "x": ' + "[" * 700 + "]" * 700 + "}", "nested too deeply"),
    ],
    ids=range(16),
)
def test_refused_in_one_sentence(given: Any, words: str) -> None:
    assert words in refusal(given)


def test_every_truncated_file_is_refused() -> None:
    for end in range(0, len(WHOLE) - 1, 97):
        assert "cut off" in refusal(WHOLE[:end])


@pytest.mark.parametrize(
    ("given", "names", "words"),
    [
        (file_of(bow()) | {"version": 9}, 1, "of version 9, newer than 1"),
        (file_of(bow()) | {"version": "one"}, 1, "not a known number"),
        (file_of(bow()) | {"version": True}, 1, "not a known number"),
        (file_of(bow(), more=1), 1, "“more” was ignored"),
        (file_of(bow(), 3, None, []), 1, "Bow 2: ignored, because it is not an object"),
        (file_of({}, bow({}), bow([]), bow()), 1, "Bow 1: ignored, because its record is not an object"),
        (file_of(bow({}), bow()), 1, "Bow 1: ignored, because nothing is entered in it"),
        (file_of(bow({"bow_name": ["x"], "margin": 0.5})), 1, "neither text nor a number"),
        (file_of(bow({"bow_name": "Mine", "margin": {"a": 1}, "x": 1})), 1, "Bow 1, Mine: “x” was ignored"),
        (file_of(bow(id=3)), 1, "its id was ignored"),
        (file_of(bow(id="__proto__")), 1, "its id was ignored"),
        (file_of(bow(id="ÄÖÜäöüßé")), 1, "its id was ignored"),
        (file_of(bow(changed=1e300)), 1, "times were ignored"),
        (file_of(bow(changed=True)), 1, "times were ignored"),
        (file_of(bow(times=[1])), 1, "times were ignored"),
        (file_of(bow(times={"margin": -5})), 1, "times were ignored"),
        (file_of(bow(COMPLETE | {"version": 8})), 1, "of version 8, newer than 1"),
        (file_of(bow(more=SCRIPT)), 1, "“more” was ignored: a bow has no such part"),
        (file_of(*[bow()] * (MAX_BOWS + 5)), MAX_BOWS, "Only the first 600 bows were read"),
    ],
    ids=range(19),
)
def test_read_in_part_with_a_sentence(given: File, names: int, words: str) -> None:
    parsed = bows_from_text(json.dumps(given))
    assert len(parsed.bows) == names
    assert any(words in note for note in parsed.notes), parsed.notes
    assert all(note.endswith((".", "…")) for note in parsed.notes)
    assert len(parsed.notes) <= MAX_NOTES + 1
    again = file_of(*[bow(one.record.canonical(), times=dict(one.times)) for one in parsed.bows])
    CHECKER.validate(again)


def test_names_given_twice_are_said_among_many() -> None:
    """Beside 150,000 others: whoever counted all of them for each would never end."""
    many = ",".join(f'"{place}":0' for place in range(150_000))
    parsed = bows_from_text(f'{{{many},"0":1,"bow_name":"a","bow_name":"b"}}')
    assert name_of(parsed.bows[0]) == "b"
    assert parsed.notes[0] == "“0” was given twice: the last one was read."


def test_a_script_in_a_name_stays_text() -> None:
    (read,) = bows_from_text(json.dumps(file_of(bow({"bow_name": SCRIPT})))).bows
    assert name_of(read) == SCRIPT


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8) | st.sampled_from(NAMES), inner),
    max_leaves=12,
)
PARTS = st.fixed_dictionaries({}, optional=dict.fromkeys(("id", "changed", "times", "record", "more"), JSON))


@pytest.mark.long
@given(st.fixed_dictionaries({"format": st.just("quarter-turn bows"), "bows": st.lists(PARTS | JSON, max_size=4)}))
def test_whatever_is_in_it_is_read_or_refused(data: File) -> None:
    parsed = bows_from_text(json.dumps(data))
    for one in parsed.bows:
        assert one.record.entries
        CHECKER.validate(
            file_of(bow(one.record.canonical(), times=dict(one.times)) | ({"id": one.id} if one.id else {}))
        )


@given(st.text(max_size=200) | JSON.map(json.dumps))
def test_no_text_is_worse_than_refused(text: str) -> None:
    with suppress(ParseError):
        bows_from_text(text)


# The command line's choice ----------------------------------------------------------------------------------------


def test_one_bow_of_a_file_by_its_name() -> None:
    two = json.dumps(
        file_of(bow({"bow_name": "A", "margin": 0.5}), bow({"bow_name": "B", "margin": 0.75}), bow({"play": 0}))
    )
    assert record_from_text(two, "B").record.entries["margin"].typed == "0.75"
    assert record_from_text(json.dumps(file_of(bow()))).record == from_data(COMPLETE).record
    assert record_from_text(json.dumps(COMPLETE)).record == from_data(COMPLETE).record
    for name, words in (
        (None, "There are 3 bows in the file. Name the one you want; there are: A, B, (without a name)."),
        ("C", "No bow of the file has the name “C”; there are: A, B, (without a name)."),
    ):
        with pytest.raises(ParseError) as caught:
            record_from_text(two, name)
        assert str(caught.value) == words
    twice = json.dumps(file_of(bow({"bow_name": "A"}), bow({"bow_name": "A"})))
    with pytest.raises(ParseError, match="2 bows have the name “A”"):
        record_from_text(twice, "A")
    with pytest.raises(ParseError, match="there is no bow in it"):
        record_from_text(json.dumps(file_of()))
