"""The rack: a row says what the bow's pages say, a table is read back, a preset fills the gaps; what prints."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest

from helpers.asking import COMPLETE, changed
from helpers.matrix import RECORDS, STATES, TODAY, state_of
from quarterturn import days
from quarterturn.bench import presets
from quarterturn.bench.judgement import judge
from quarterturn.record.bows import MAX_BOWS, MAX_FILE, ShelvedBow
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import ParseError, from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.rack import prints
from quarterturn.widgets.rack.rows import NOW, row_of
from quarterturn.widgets.rack.table_file import bows_from_csv, csv_of
from quarterturn.worker_interface import ask

OUT = [{"date": "2026-06-12", "happened": "withdrawn"}]
BACK = [{**OUT[0], "found": "released", "found_on": "2026-06-20"}]
PRESET: dict[str, Any] = {
    "version": 1,
    "bow_name": "Made-up model",
    "kept_as": "preset",
    "bolt_family": "flat",
    "head_diameter": {"typed": "18", "unit": "mm"},
    "slot_width": {"typed": "8", "unit": "mm"},
}


def values(record: dict[str, Any]) -> Values:
    return Values(from_data(record).record, "https://club.example/bows/", days.parse(TODAY))


def shelved(record: dict[str, Any], id_: str = "") -> ShelvedBow:
    return ShelvedBow(from_data(record).record, id_, {})


def asked(**request: Any) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(ask(json.dumps({"today": TODAY, **request})))
    return answer


# Rows


@pytest.mark.parametrize("record", STATES)
def test_a_row_never_sounds_better_than_the_pages_of_the_bow(record: str) -> None:
    """The states of `helpers/matrix.py`: what the worksheet and the inspection say of the same bow."""
    row = row_of(values(RECORDS[record]))
    pages = {state_of(record, page) for page in ("safe-range", "card")}
    if pages & {"stop", "no_window"}:
        assert row.state == "stop"
    elif "ask" in pages:
        assert row.state == "ask"
    elif pages & {"open", "refused", "example"}:
        assert row.state in ("open", "explain")
    else:
        assert row.state in ("go", "explain")
    assert ("ready" in row.groups) is (row.state == "go")
    if not judge(values(RECORDS[record])).predicts:
        assert not row.upper.window
        assert not row.lower.window
    title = WIDGETS["card"].answer(values(RECORDS[record])).title
    if row.state in ("stop", "ask"):
        assert row.known == title


def test_a_range_of_other_limbs_is_not_told() -> None:
    """Counted for another pair: the range in the record is not this bow's, though nothing stops it."""
    for record in ("other limbs", "line set anew", "log with a typo"):
        row = row_of(values(RECORDS[record]))
        assert (row.state, row.upper.window, row.lower.window) == ("open", "", ""), record
    assert row_of(values(RECORDS["inside"])).upper.window
    assert row_of(values(RECORDS["long ago"])).upper.window


def test_a_row_has_the_days_and_who_it_was() -> None:
    row = row_of(values(changed(COMPLETE, inspected_on="2026-02-01", inspected_by="AB", inspection_months=6)))
    assert (row.inspected, row.due) == ("1 February 2026 by AB", "2026-08-01")
    assert row_of(values(changed(COMPLETE, inspected_on="2025-02-01"))).due == NOW
    late = row_of(values(changed(COMPLETE, inspected_on="2025-02-01", inspection_source="other")))
    assert "due" in late.groups
    fresh = row_of(values(changed(COMPLETE, inspected_on="2026-02-01", inspection_source="other")))
    assert (fresh.due, fresh.state) == ("2027-02-01", "open")
    assert "due" not in fresh.groups


def test_a_bow_that_is_out_of_use_is_a_stop_everywhere_until_it_is_released() -> None:
    out, settled, back = (changed(COMPLETE, events=rows) for rows in (OUT, [{**BACK[0], "found": "nothing"}], BACK))
    for record in (out, settled):
        row = row_of(values(record))
        assert (row.known, row.state) == ("Stop: this bow is taken out of use", "stop")
        assert "withdrawn" in row.groups
        answer = WIDGETS["safe-range"].answer(values(record))
        assert answer.title == row.known
        assert "12 June 2026" in answer.verdict
    assert "withdrawn" not in row_of(values(back)).groups
    assert row_of(values(back)).state == "go"


def test_a_bow_whose_bolts_are_not_turned_is_left_alone_in_its_row() -> None:
    for record in ("clamp, looked over", "under, looked over", "two, looked over", "fixed, looked over"):
        row = row_of(values(RECORDS[record]))
        assert row.known == judge(values(RECORDS[record])).family.alone, record
        assert (row.state, row.upper.window) == ("explain", "")


def test_a_preset_is_no_bow() -> None:
    row = row_of(values(PRESET))
    assert (row.known, row.groups) == ("A preset of 3 measures", ("preset",))
    # But for what is known against it: no word of what it is may hide that.
    for against in ({"events": OUT}, {"check_limbs": "fault"}, {"bolt_family": "unknown"}):
        row = row_of(values(PRESET | against))
        assert row.state in ("stop", "ask")
        assert "preset" not in row.groups
    told = WIDGETS["rack"].answer(values(PRESET)).verdict
    assert "a preset of 3 measures, and no bow" in told


def test_rows_come_with_the_ids_that_were_asked_for() -> None:
    given = [
        {"id": "one", "record": COMPLETE},
        {"id": "two", "record": 3},
        5,
        {"id": "three", "record": {"version": 1}},
    ]
    rows = asked(ask="rack", bows=given)["rows"]
    assert [row["id"] for row in rows] == ["one", "three"]
    assert rows[0]["known"] == row_of(values(COMPLETE)).known
    assert asked(ask="rack", bows="none")["rows"] == []


# A table


def test_a_table_is_read_back_as_it_was() -> None:
    """By Python's own csv module: a line a bow, and every entry that is no list comes back with its unit."""
    words = {
        "bow_name": '=cmd("x"), "quoted"\n',
        "riser_name": "-dash",
        "limbs_name": "'apostrophe",
        "set_by": "Ümit; ä",
    }
    bows = [
        shelved(changed(COMPLETE, events=OUT), "a" * 16),
        shelved(changed(COMPLETE, **words)),
        shelved(PRESET, "b" * 8),
    ]
    text = csv_of(bows, lambda record: Values(record, today=days.parse(TODAY)))
    table = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    assert [line["id"] for line in table] == ["a" * 16, "", "b" * 8]
    assert table[0]["(what is known)"] == "Stop: this bow is taken out of use"
    assert table[0]["(taken out of use)"] == "yes"
    assert not any(cell.startswith(("=", "@", "+")) for line in table for cell in line.values())
    read = bows_from_csv(text)
    assert read.notes == ()
    assert [bow.id for bow in read.bows] == [bow.id for bow in bows]
    for bow, again in zip(bows, read.bows, strict=True):
        lists = {"events", "log", "scale_readings"}
        assert again.record.entries == {k: v for k, v in bow.record.entries.items() if k not in lists}


@pytest.mark.parametrize("apart", [",", ";", "\t"])
def test_a_list_of_bows_from_elsewhere_is_read(apart: str) -> None:
    lines = [
        ["bow_name", "head_diameter", "marked_weight", "Locker"],
        ["Club 1", "19", "34 lb", "7"],
        ["Club 2", "0.75 in", "", ""],
    ]
    read = bows_from_csv("\r\n".join(apart.join(line) for line in lines))
    assert read.notes == ("The column “Locker” was ignored: no field of a bow has that name.",)
    first, second = (bow.record.canonical() for bow in read.bows)
    assert first["head_diameter"] == {"typed": "19", "unit": "mm"}
    assert first["marked_weight"] == {"typed": "34", "unit": "lbf"}
    assert second["head_diameter"] == {"typed": "0.75", "unit": "in"}


def test_five_hundred_bows_and_ten_broken_ones() -> None:
    """What is broken is named by line and bow, what was typed stays, and the others are all there."""
    lines = [f"Club {number},{'x' if number % 50 == 7 else '19'},flat" for number in range(1, 501)]
    read = bows_from_csv("\n".join(["bow_name,head_diameter,bolt_family", *lines]))
    assert len(read.bows) == 500
    assert read.notes[0].startswith("Line 8, Club 7: ")
    assert sum("Club " in note for note in read.notes) == 10
    assert read.bows[6].record.entries["head_diameter"].typed == "x"
    many = bows_from_csv("\n".join(["bow_name", *(f"Club {number}" for number in range(MAX_BOWS + 3))]))
    assert len(many.bows) == MAX_BOWS
    assert f"Only the first {MAX_BOWS} bows" in many.notes[0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Bow,Place\nClub 1,7\n", "its first line names no field of a bow"),
        ("bow_name\n\n\n", "no line of it is a bow"),
        ("bow_name\n" + "x" * MAX_FILE, "longer than"),
        ("", "names no field"),
        ("log,events\n1,2\n", "names no field"),
    ],
)
def test_what_is_no_table_of_bows_is_refused(text: str, words: str) -> None:
    with pytest.raises(ParseError, match=words):
        bows_from_csv(text)
    reply = asked(ask="file", text=text or "bow")
    assert reply["bows"] == []
    assert reply["problems"][0]["sentence"]


def test_a_line_that_cannot_be_read_is_named() -> None:
    read = bows_from_csv("bow_name,bolt_family,id\nA,wooden,UPPER\nB,flat,abcdefgh,more\n")
    assert [bow.id for bow in read.bows] == ["", "abcdefgh"]
    told = " ".join(read.notes)
    assert "Line 2, A: Which kind of limb bolt?: ignored, because “wooden” is not one of" in told
    assert "Line 2, A: its id was ignored" in told
    assert "Line 3: it has more cells" in told


def test_a_file_is_told_from_a_table() -> None:
    assert [bow["record"]["bow_name"] for bow in asked(ask="file", text="bow_name\nClub 1\n")["bows"]] == ["Club 1"]
    assert asked(ask="file", text=json.dumps(COMPLETE))["bows"][0]["record"]["bolt_family"] == "flat"
    given = [{"id": "abcdefgh", "record": COMPLETE}]
    table = asked(ask="rack_csv", bows=given)
    assert table["name"] == "rack.csv"
    assert asked(ask="file", text=table["text"])["bows"][0]["id"] == "abcdefgh"


# Presets


def test_a_preset_fills_what_is_empty_and_names_what_differs() -> None:
    bow = {"version": 1, "bow_name": "Mine", "head_diameter": {"typed": "0.75", "unit": "in"}, "bolt_family": "flat"}
    reply = asked(ask="preset", record=PRESET, bow=bow)
    assert reply["record"] == {"version": 1, "slot_width": {"typed": "8", "unit": "mm"}}
    (told,) = reply["notes"]
    assert told == f"{BY_NAME['head_diameter'].label}: the bow says “0.75 in”, the preset “18 mm”. The bow's stays."


def test_a_measure_in_another_unit_is_the_same() -> None:
    """One inch is 25.4 mm exactly (the international yard and pound of 1959)."""
    inch, metric = (
        {"version": 1, "head_diameter": {"typed": typed, "unit": unit}}
        for typed, unit in (("0.75", "in"), ("19.05", "mm"))
    )
    filled = presets.filled_in(from_data(inch).record, from_data(metric).record)
    assert (filled.record.entries, filled.differs) == ({}, ())
    odd = {"version": 1, "head_diameter": {"typed": "wide", "unit": "mm"}}
    assert presets.filled_in(from_data(odd).record, from_data(metric).record).differs == ("head_diameter",)


def test_a_preset_holds_nothing_that_belongs_to_one_bow() -> None:
    """No count, no inspection, no reading of string, tape or scale, no day: its measures are those of a model."""
    given = presets.measures_of(from_data(COMPLETE).record).entries
    assert given
    assert {"head_diameter", "bolt_family"} <= set(given)
    ends = ("_turns", "_side", "_tiller", "_on", "_by", "_first_in", "_bracket", "_found", "_now", "_zero", "_to_butt")
    own = ("check_", "upper_", "lower_", "limb_c", "planned", "wanted", "draw_", "brace", "string_")
    shared = {"upper_fulcrum", "rise_turns"}
    assert not {
        name for name in presets.MEASURES if name not in shared and (name.endswith(ends) or name.startswith(own))
    }


# On paper


def test_cards_have_names_of_their_own_and_say_what_is_known() -> None:
    given = [
        {"id": "a", "record": changed(COMPLETE, bow_name="Club 1")},
        {"id": "b", "record": changed(COMPLETE, events=OUT)},
    ]
    first, second = asked(ask="rack_print", what="cards", bows=given, address="https://club.example/bows/")["sheets"]
    assert "Club 1" in first
    assert ">Stop: out of" in second
    ids = [{part.split('"')[0] for part in sheet.split(' id="')[1:]} for sheet in (first, second)]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_a_tag_and_a_notice_say_the_rules_and_run_nothing() -> None:
    hostile = "<img src=x onerror=alert(1)>"
    tag = prints.tag_of(values(changed(COMPLETE, bow_name=hostile, events=OUT)))
    assert "Do not string this bow" in tag
    assert "Stop: this bow is taken out of use" in tag
    assert "<img" not in tag
    notice = prints.notice("https://club.example/bows/")
    assert "The maker&#39;s manual comes first." in notice
    assert "club.example/bows/" in notice
    assert "<svg" in notice
    assert "no other device can open it" in prints.notice("http://127.0.0.1:8000/")
    assert "<svg" not in prints.notice("")
    assert asked(ask="rack_print", what="posters", bows=[])["broken"] == "what must be one of cards, tags, notice."
