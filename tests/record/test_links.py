"""A record carried by a link's fragment: bounded, whole or refused, and of the bow only (0017-links.md).

What was packed is held against `zlib` and `base64` (C).
"""

from __future__ import annotations

import base64
import contextlib
import random
import zlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE
from helpers.records import drawn, some
from quarterturn.record import link
from quarterturn.record.field_types import ChoiceField, Column, DateField, ListField, NumberField, Scope
from quarterturn.record.fields import FIELDS
from quarterturn.record.parsing import ParseError, from_data

ADDRESS = "https://" + "a" * 52
READ = {"weight": (30, 40), "brace_height": (210, 230), "upper_tiller": (170, 190), "lower_tiller": (170, 190)}
OF_THE_BOW = {field.name for field in FIELDS if field.scope is Scope.BOW and field.linked}


def packed(plain: str) -> str:
    """A fragment as the format says, made here: kind, checksum, body."""
    raw = plain.encode()
    body = b"p" + zlib.crc32(raw).to_bytes(4, "big") + raw
    return "q1." + base64.urlsafe_b64encode(body).decode().rstrip("=")


def of_the_bow(canonical: dict[str, object]) -> dict[str, object]:
    """What of a record every link carries: all of the bow but the log, which may be cut down to one row."""
    return {name: value for name, value in canonical.items() if name in OF_THE_BOW or name == "version"}


@given(st.integers(0, 10**6), st.booleans())
def test_there_and_back_is_what_was_entered(seed: int, likely: bool) -> None:
    record = from_data(drawn(seed, likely=likely)).record
    parsed = link.from_fragment(link.fragment(record))
    assert parsed.notes == ()
    assert of_the_bow(parsed.record.canonical()) == of_the_bow(record.canonical())
    if link.left_out(record):
        # How things stand, and a row that leaves it open.
        assert len(parsed.record.entries["log"].rows if "log" in parsed.record.entries else ()) <= 2
    else:
        assert parsed.record.entries.get("log") == record.entries.get("log")


@given(st.text(max_size=60), st.text(max_size=40))
def test_any_words_and_any_typing_come_back_as_typed(name: str, typed: str) -> None:
    record = from_data({"bow_name": name, "rise": {"typed": typed, "unit": "in"}}).record
    parsed = link.from_fragment("#" + link.fragment(record))
    assert parsed.record.canonical() == record.canonical()


def test_reader_and_view_stay_at_home() -> None:
    record = from_data({"people": "two", "length_unit": "in", "look_at": "beyond"}).record
    assert link.from_fragment(link.fragment(record)).record.canonical() == {"version": 1}
    for number in (100, 101, 102):
        parsed = link.from_fragment(packed(f"{number}=1"))
        assert parsed.record.canonical() == {"version": 1}
        assert str(number) in parsed.notes[0]


def test_of_a_log_a_link_has_how_the_bow_stands_now() -> None:
    """Worked out by hand (C): the newest place of each bolt, and what was read since the last turn."""
    log = [
        {"date": "2026-04-02", "upper_at": 2.25, "weight": 38.5, "brace_height": {"typed": "8 3/4", "unit": "in"}},
        {"date": "2026-03-14", "upper_at": 2.5, "lower_at": "2 1/4", "weight": 38, "upper_tiller": 179},
        {"date": "2026-04-09", "lower_tiller": 176},
        {"weight": 50},
        {"date": "2026-04-09", "weight": 39},
    ]
    stands = {
        "date": "2026-04-02",
        "upper_at": 2.25,
        "lower_at": "2 1/4",
        "weight": 39,
        "brace_height": {"typed": "8 3/4", "unit": "in"},
        "lower_tiller": 176,
    }
    record, now = (from_data(COMPLETE | {"log": rows}).record for rows in (log, [stands]))
    assert link.from_fragment(link.fragment(record, link.BRIEF)).record.canonical() == now.canonical()
    assert link.fragment(record, link.BRIEF) == link.fragment(now)
    assert link.from_fragment(link.fragment(record)).record.canonical() == record.canonical(), (
        "a short one is carried whole"
    )


@pytest.mark.parametrize(
    "bad",
    [
        {"date": "2026-05-01", "weight": 300},
        {"date": "2026-05-01", "upper_at": 2, "weight": "38,4.2"},
        {"upper_at": 2},
        {"date": "2026-02-30"},
    ],
)
def test_a_row_that_leaves_open_how_the_bow_stands_goes_along(bad: dict[str, Any]) -> None:
    """Without it the link would sound better than the whole log."""
    log = [{"date": "2026-04-02", "upper_at": 2.25, "lower_at": 2}, bad, {"date": "2026-04-09", "weight": 39}]
    for rows in (log, [bad]):
        brief = link.from_fragment(link.fragment(from_data(COMPLETE | {"log": rows}).record, link.BRIEF)).record
        assert from_data({"log": [bad]}).record.entries["log"].rows[0] in brief.entries["log"].rows
    fine = [{"date": "2026-04-02", "upper_at": 2.25}, {"weight": 50}]
    brief = link.from_fragment(link.fragment(from_data(COMPLETE | {"log": fine}).record, link.BRIEF)).record
    assert len(brief.entries["log"].rows) == 1


def test_a_log_is_carried_whole_as_long_as_there_is_room() -> None:
    dice = random.Random(6)
    rows = [
        {"date": f"2026-03-{day}"} | {name: dice.uniform(*ends) for name, ends in READ.items()} for day in range(10, 32)
    ]
    whole = 0
    for number in range(1, len(rows) + 1):
        record = from_data(COMPLETE | {"log": rows[:number]}).record
        written = link.fragment(record)
        assert len(written) <= link.ROOM
        brief = written == link.fragment(record, link.BRIEF)
        back, own = (one.entries["log"] for one in (link.from_fragment(written).record, record))
        assert back == own or (brief and len(back.rows) == 1)
        assert (link.left_out(record) == "") == (back == own)
        whole += not brief
    assert 5 <= whole < len(rows)


def test_readings_alone_are_of_the_newest_day() -> None:
    rows = [{"date": "2026-04-02", "weight": 38}, {"date": "2026-03-14", "weight": 39, "brace_height": 222}]
    found = link.from_fragment(link.fragment(from_data({"log": rows}).record, link.BRIEF)).record.canonical()
    assert found == from_data({"log": [{"date": "2026-04-02", "weight": 38, "brace_height": 222}]}).record.canonical()


def test_what_a_link_leaves_at_home_is_said() -> None:
    one, two = {"date": "2026-03-14", "weight": 38}, {"date": "2026-04-01", "weight": 39}
    stays = "It stays in this browser. Save a file to take it along."
    for rows, said in (
        ([one], ""),
        ([one, two], "A link must be short enough to print. It carries only the newest of this: "
                     f"Log of settings and readings. {stays}"),
        ([{"weight": 38}], "Not in the link, because no row of it is complete: Log of settings and readings. "
                           f"{stays}"),
    ):  # fmt: skip
        logged = from_data(COMPLETE | {"log": rows}).record
        assert link.left_out(logged, link.BRIEF) == said
        assert link.left_out(logged) == ""
    for record in ({}, COMPLETE, {"people": "two", "turns_shown": 1}):
        assert link.left_out(from_data(record).record) == ""


def test_a_windows_readings_fit_in_four_hundred_signs() -> None:
    readings = from_data(COMPLETE | {"bow_name": "Club bow 3", "strip_thickness": 0.1, "rise": "4,23"}).record
    assert len(f"{ADDRESS}#{link.fragment(readings)}") <= 400


def typical(field: Any) -> Any:
    if isinstance(field, NumberField):
        return {"typed": f"{field.in_unit(field.default, field.units[-1]):.4f}", "unit": field.units[-1]}
    if isinstance(field, ListField):
        shares = [place / 5 for place in range(6)]
        return [{column.name: _within(column, share) for column in field.columns} for share in shares]
    if isinstance(field, DateField):
        return field.default
    return field.options[-1].value if isinstance(field, ChoiceField) else "A bow of the club, number 3 of the rack"


def _within(column: Column, share: float) -> Any:
    if isinstance(column, DateField):
        return column.default
    if isinstance(column, ChoiceField):
        return column.options[-1].value
    value = column.low + (column.high - column.low) * (0.2 + 0.6 * share)
    return {"typed": f"{column.in_unit(value, column.units[-1]):.1f}", "unit": column.units[-1]}


def test_all_of_a_bow_fits_in_twelve_hundred_signs() -> None:
    record = from_data({field.name: typical(field) for field in FIELDS}).record
    assert set(record.entries) == {field.name for field in FIELDS}
    assert record.entries["events"].rows
    assert len(f"{ADDRESS}#{link.fragment(record)}") <= 1200


def test_every_drawn_record_makes_a_link_that_opens() -> None:
    for record in some(100):
        assert len(link.fragment(from_data(record).record)) <= link.MAX_FRAGMENT


@pytest.mark.parametrize("record", [COMPLETE, {"upper_touch_turns": "12.5"}, {}, drawn(3, likely=False)])
def test_a_link_that_was_cut_off_is_refused_never_misread(record: dict[str, Any]) -> None:
    whole = link.fragment(from_data(record).record)
    for length in range(len(whole)):
        with pytest.raises(ParseError, match=r"^The link.*\.$"):
            link.from_fragment(whole[:length])


@given(st.data())
def test_a_changed_sign_is_refused_or_changes_nothing(data: st.DataObject) -> None:
    whole = link.fragment(from_data(COMPLETE).record)
    place = data.draw(st.integers(3, len(whole) - 1))
    sign = data.draw(st.sampled_from("ABab01-_"))
    with contextlib.suppress(ParseError):
        parsed = link.from_fragment(whole[:place] + sign + whole[place + 1 :])
        assert parsed.record.canonical() == from_data(COMPLETE).record.canonical()


@given(st.text(max_size=100) | st.binary(max_size=200).map(lambda raw: base64.urlsafe_b64encode(raw).decode()))
def test_anything_else_is_refused_with_a_sentence(text: str) -> None:
    for fragment in (text, f"q1.{text}", f"#q1.{text}"):
        with pytest.raises(ParseError, match=r"^The link.*\.$"):
            link.from_fragment(fragment)


def bomb(plain: bytes) -> str:
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    body = packer.compress(plain) + packer.flush()
    raw = b"d" + zlib.crc32(plain).to_bytes(4, "big") + body
    return "q1." + base64.urlsafe_b64encode(raw).decode().rstrip("=")


def test_a_decompression_bomb_is_refused() -> None:
    assert link.from_fragment(bomb(b"1=name")).record.entries["bow_name"].typed == "name"
    for size in (link.MAX_PLAIN + 1, 1_000_000):
        with pytest.raises(ParseError, match="cannot be read"):
            link.from_fragment(bomb(b"1=" + b"x" * size))


def test_a_link_that_is_too_long_is_refused() -> None:
    with pytest.raises(ParseError, match="longer than"):
        link.from_fragment(bomb(b"") + "A" * link.MAX_FRAGMENT)


@pytest.mark.parametrize("number", ["3", "999", "0", "x", "", "-1", "00000000000001", "٣"])
def test_a_foreign_field_is_named_and_the_rest_kept(number: str) -> None:
    parsed = link.from_fragment(packed(f"{number}=1;34=5,25"))
    assert parsed.record.entries["upper_touch_turns"].typed == "5,25"
    assert len(parsed.notes) == 1
    assert number[:6] in parsed.notes[0]


@pytest.mark.parametrize("value", ["5~9", "5~x", "5~-1", "5~", "5~99"])
def test_an_unknown_unit_is_never_taken_for_millimetres(value: str) -> None:
    parsed = link.from_fragment(packed(f"72={value};34=5,25"))
    assert "head_diameter" not in parsed.record.entries
    assert len(parsed.notes) == 1
    assert parsed.record.entries["upper_touch_turns"].typed == "5,25"


@pytest.mark.parametrize("value", ["9", "-1", "flatt", "", "1~1"])
def test_an_unknown_option_is_ignored_with_a_note_or_absent(value: str) -> None:
    parsed = link.from_fragment(packed(f"2={value};34=5,25"))
    assert "bolt_family" not in parsed.record.entries
    assert len(parsed.notes) == (1 if value else 0)


def test_many_faults_are_told_in_few_sentences() -> None:
    plain = ";".join(f"{number}=1" for number in range(200, 600))
    assert len(link.from_fragment(packed(plain)).notes) < 20
