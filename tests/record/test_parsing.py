"""Hostile, damaged, older and newer records: what could be read is kept, and the rest gets a sentence.

What is JSON is decided by RFC 8259 (S2); what is permitted by the fields' own declaration.
"""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quarterturn.record.fields import BY_NAME, FIELDS
from quarterturn.record.parsing import MAX_NOTES, MAX_TEXT, ParsedRecord, ParseError, from_data, from_text
from quarterturn.record.values import Values

GOOD = {"upper_touch_turns": {"typed": "5,25", "unit": "turn"}, "bolt_family": "flat"}


def nested(depth: int) -> Any:
    data: Any = "x"
    for _ in range(depth):
        data = [data]
    return data


def kept(parsed: ParsedRecord) -> bool:
    """Whether the good part of a bad record was kept, as it was typed."""
    canonical = parsed.record.canonical()
    return all(canonical[name] == value for name, value in GOOD.items())


def sentences(parsed: ParsedRecord) -> bool:
    return all(note == note.strip() and note.endswith(".") and len(note) < 400 for note in parsed.notes)


BAD_VALUES = {
    "a list": ["5"],
    "true": True,
    "deep": nested(500),
    "deep in typed": {"typed": nested(500), "unit": "turn"},
    "deep unit": {"typed": "5", "unit": nested(500)},
    "unit of another kind": {"typed": "5", "unit": "mm"},
    "unit is a number": {"typed": "5", "unit": 7},
    "unit is null": {"typed": "5", "unit": None},
    "long": "9" * 5_000,
    "huge integer": 10**400,
    "integer too long to print": 10**5_000,
}


@pytest.mark.parametrize("value", BAD_VALUES.values(), ids=BAD_VALUES.keys())
def test_a_value_of_a_wrong_type_is_ignored_alone(value: Any) -> None:
    parsed = from_data(GOOD | {"lower_touch_turns": value})
    assert kept(parsed)
    assert "lower_touch_turns" not in parsed.record.entries
    assert len(parsed.notes) == 1
    assert BY_NAME["lower_touch_turns"].label in parsed.notes[0]
    assert sentences(parsed)


@pytest.mark.parametrize("value", [None, "", "  ", {"typed": None}, {"typed": " "}, {}, {"unit": "turn"}])
def test_an_empty_box_is_absent_and_nothing_is_said(value: Any) -> None:
    parsed = from_data(GOOD | {"lower_touch_turns": value})
    assert kept(parsed)
    assert "lower_touch_turns" not in parsed.record.entries
    assert parsed.notes == ()


@pytest.mark.parametrize("name", ["", "nonsense", "__class__", "Upper_touch_turns", "x" * 10_000, "<script>", "\ud800"])
def test_an_unknown_name_is_named_and_the_rest_kept(name: str) -> None:
    parsed = from_data(GOOD | {name: 1})
    assert kept(parsed)
    assert len(parsed.notes) == 1
    assert sentences(parsed)
    assert name[:10].replace("\ud800", "") in parsed.notes[0]
    parsed.notes[0].encode()


@pytest.mark.parametrize("version", [2, 99, 0, -1, "1", 1.5, True, None, [], math.nan, 10**5_000], ids=lambda _: "")
def test_another_version_is_said_and_what_is_known_is_read(version: Any) -> None:
    parsed = from_data({"version": version} | GOOD)
    assert kept(parsed)
    assert len(parsed.notes) == 1
    assert "version" in parsed.notes[0]
    assert sentences(parsed)


def test_the_present_version_and_none_are_read_without_a_word() -> None:
    assert from_data({"version": 1} | GOOD).notes == from_data(GOOD).notes == ()


def test_a_choice_that_is_not_offered_is_ignored_with_those_that_are() -> None:
    parsed = from_data(GOOD | {"goal": "best"})
    assert kept(parsed)
    assert "stay, middle" in parsed.notes[0]


def test_script_is_kept_as_the_words_it_is_and_control_signs_are_dropped() -> None:
    script = "<script>alert(1)</script>"
    parsed = from_data(GOOD | {"bow_name": f"\x00{script}\u202e\n"})
    assert parsed.record.entries["bow_name"].typed == script
    assert parsed.notes == ()


def test_a_text_that_is_too_long_is_ignored_with_its_length() -> None:
    parsed = from_data(GOOD | {"bow_name": "x" * 61})
    assert kept(parsed)
    assert "60" in parsed.notes[0]


def test_many_faults_are_told_in_few_sentences() -> None:
    parsed = from_data(GOOD | {f"unknown_{place}": 1 for place in range(5_000)})
    assert kept(parsed)
    assert len(parsed.notes) == MAX_NOTES + 1
    assert "4988" in parsed.notes[-1]


@pytest.mark.parametrize("data", [None, [], [GOOD], "text", 5, True, math.nan])
def test_what_is_no_object_is_refused(data: Any) -> None:
    with pytest.raises(ParseError, match="not an object"):
        from_data(data)


def test_every_truncation_is_refused_with_a_sentence() -> None:
    text = json.dumps(GOOD)
    for length in range(len(text)):
        with pytest.raises(ParseError, match=r"^The record is refused: .*\.$"):
            from_text(text[:length])


@pytest.mark.parametrize("text", ["[" * 50_000, '{"a":' * 20_000, "[" * 50_000 + "]" * 50_000])
def test_deep_nesting_is_refused(text: str) -> None:
    with pytest.raises(ParseError, match=r"^The record is refused: .*\.$"):
        from_text(text)


def test_ten_megabytes_are_refused_without_being_read() -> None:
    with pytest.raises(ParseError, match=f"{MAX_TEXT:,}"):
        from_text('{"bow_name":"' + "x" * 10_000_000 + '"}')


def test_a_number_of_five_thousand_digits_is_ignored_alone() -> None:
    parsed = from_text(
        '{"bolt_family":"flat","upper_touch_turns":{"typed":"5,25","unit":"turn"},"rise":' + "9" * 5_000 + "}"
    )
    assert kept(parsed)
    assert len(parsed.notes) == 1
    assert sentences(parsed)


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999"])
def test_numbers_that_are_none_are_kept_as_typed_and_then_refused_by_name(word: str) -> None:
    parsed = from_text(f'{{"rise": {word}, "bolt_family": "flat"}}')
    problems = Values(parsed.record).problems
    assert [problem.field for problem in problems] == ["rise"]
    assert parsed.record.entries["bolt_family"].typed == "flat"


def test_a_name_given_twice_is_said() -> None:
    parsed = from_text('{"upper_touch_turns": 4, "upper_touch_turns": 5, "bolt_family": "flat"}')
    assert parsed.record.entries["upper_touch_turns"].typed == "5"
    assert len(parsed.notes) == 1
    assert "twice" in parsed.notes[0]
    assert "upper_touch_turns" in parsed.notes[0]


def test_lone_surrogates_never_reach_a_screen_or_a_link() -> None:
    parsed = from_data(GOOD | {"lower_touch_turns": {"typed": "5\ud800", "unit": "turn"}, "goal": "\udfff"})
    assert kept(parsed)
    said = [*parsed.notes, *(problem.sentence for problem in Values(parsed.record).problems)]
    assert len(said) == 2
    json.dumps([said, parsed.record.canonical()], ensure_ascii=False).encode()


JSONISH = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
NAMES = st.sampled_from([field.name for field in FIELDS]) | st.sampled_from(["version", "other"])


@settings(max_examples=60)
@given(st.dictionaries(NAMES, JSONISH | st.fixed_dictionaries({"typed": JSONISH, "unit": JSONISH}), max_size=12))
def test_anything_at_all_is_read_in_part_and_reads_the_same_again(data: dict[str, Any]) -> None:
    parsed = from_data(data)
    assert sentences(parsed)
    Values(parsed.record)
    again = from_data(parsed.record.canonical())
    assert again.record.canonical() == parsed.record.canonical()
    assert again.notes == ()
    assert from_text(json.dumps(parsed.record.canonical())).record.canonical() == parsed.record.canonical()
