"""The setup card: issue 6, item 4. A card never looks like a permission; its code opens the same record.

Codes are read back by zxing-cpp from the card's own drawing; links are the record's, held elsewhere (C).
"""

from __future__ import annotations

import json
import random
import re
import string
import xml.etree.ElementTree as ElementTree
from collections import Counter
from dataclasses import replace
from itertools import cycle
from typing import Any

import pytest

from helpers import codes
from helpers.asking import (
    COMPLETE,
    LOOKED_OVER,
    MAKER,
    answered,
    changed,
    picture_of,
    points_of,
    refused,
    texts,
    values,
)
from helpers.records import some
from quarterturn.bench.judgement import to_pass_on
from quarterturn.bench.positions import positions_of
from quarterturn.figures.svg import Picture
from quarterturn.record import link
from quarterturn.record.entries import Record
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Drawing, State, Way
from quarterturn.worker_interface import ask

SITE = "https://example.org/quarter-turn/"
WHOLE = COMPLETE | {
    "bow_name": "Club bow 3",
    "riser_name": "blue riser",
    "limbs_name": "medium, 38",
    "set_by": "A. Example",
    "set_on": "2026-05-03",
    "draw_weight": 38,
    "draw_length": 28,
    "upper_tiller": 179,
    "lower_tiller": 175,
    "brace_height": 222,
    "nocking_point": 8,
    "string_length": 1645,
    "string_twists": 20,
    "rise": 4.23,
    "upper_height_zero": 6,
    "upper_height_now": 8.64,
    "lower_height_zero": 6,
    "lower_height_now": 8.12,
}
WINDOW = {"upper": "0.33 to 4.82", "lower": "0.33 to 4.57"}
"""Of the complete record, as the worksheet rounds them inward (test_safe_range.py)."""


def asked(record: dict[str, Any], address: str = SITE) -> Answer:
    return WIDGETS["card"].answer(Values(from_data(record).record, address))


def sheet_of(answer: Answer) -> Picture:
    (picture,) = [block.picture for block in answer.blocks if isinstance(block, Drawing)]
    return picture


def printed(answer: Answer) -> list[str]:
    """Every line of words on the card."""
    root = ElementTree.fromstring(sheet_of(answer).svg)
    return [one.text or "" for one in root.iter("{http://www.w3.org/2000/svg}text")]


def in_one(answer: Answer) -> str:
    return " ".join(printed(answer))


def code_in(answer: Answer) -> list[str]:
    picture = sheet_of(answer)
    if "qt-card-code" not in picture.svg:
        return []
    return codes.read(codes.drawn(picture.svg, picture.width, picture.height))


def of_the_bow(record: Record) -> dict[str, object]:
    """What a code carries of a record, but for the log, of which it has how the bow stands."""
    data = record.canonical()
    return {
        name: entry
        for name, entry in data.items()
        if name == "version" or (BY_NAME[name].scope is Scope.BOW and BY_NAME[name].linked)
    }


# What is on it


def test_a_whole_card_says_how_the_bow_is_set() -> None:
    answer = asked(WHOLE)
    assert answer.state is State.GO
    words = printed(answer)
    for wanted in (
        *("Club bow 3", "blue riser", "medium, 38", "set on 2026-05-03", "by A. Example"),
        *(
            "2½ turns out from the paper's stop",
            "2 turns out from the paper's stop",
            WINDOW["upper"],
            WINDOW["lower"],
        ),
        *("38.0 lb at 28 in AMO", "4.0 mm (179.0 upper, 175.0 lower)", "222.0 mm; nocking point 8.0 mm"),
        *("1645 mm loop to loop, 20 twists", "8.6 mm high, at zero 6.0 mm", "8.1 mm high, at zero 6.0 mm"),
        "from outside, strip 0.10 mm, assumed",
    ):
        assert wanted in words, wanted
    assert "does not test strength" in answer.verdict
    assert answer.title == "The card is ready: upper bolt at 2½, lower at 2, set on 3 May 2026"


@pytest.mark.parametrize("size", ["a6", "index"])
@pytest.mark.parametrize("record", [WHOLE, {"version": 1}, WHOLE | {"limb_cracks": "fault"}, COMPLETE])
def test_the_cautions_are_on_every_card(size: str, record: dict[str, Any]) -> None:
    said = in_one(asked(record | {"card_size": size}))
    for caution in (
        "The maker's manual comes first",
        "String off before a bolt or its lock is turned",
        "Never dry-fire",
        "In doubt: a qualified coach or a bow technician",
        "is no permission and does not test strength",
    ):
        assert caution in said


@pytest.mark.parametrize("bolt", ["upper", "lower"])
def test_the_window_is_the_worksheets_to_the_digit(bolt: str) -> None:
    worksheet = texts(answered(WHOLE))
    mine = texts(asked(WHOLE))
    for end in ("inner", "outer"):
        assert mine[f"{bolt}_{end}"] == worksheet[f"{bolt}_{end}"]
        assert worksheet[f"{bolt}_{end}"].split()[0] in WINDOW[bolt]


def test_what_was_not_entered_is_left_open_and_never_made_up() -> None:
    answer = asked(COMPLETE)
    assert answer.state is State.GO
    said = in_one(answer)
    for made_up in ("38.0", "179.0", "222.0", "1645", "1646", "twists", "AMO", "made-up"):
        assert made_up not in said
    assert "A bow without a name" in said
    shown = texts(answer)
    assert {shown[name] for name in ("weight", "tiller", "brace_height", "string", "upper_head")} == {"not entered"}


def test_a_weight_without_a_draw_length_says_so() -> None:
    assert "38.0 lb, draw length not given" in printed(asked(COMPLETE | {"draw_weight": 38}))
    typed = COMPLETE | {"draw_weight": {"typed": "17", "unit": "kgf"}, "draw_length": {"typed": "711", "unit": "mm"}}
    assert "17.0 kgf at 711 mm AMO" in printed(asked(typed))


def test_inches_are_shown_where_inches_are_wanted() -> None:
    said = in_one(asked(WHOLE | {"length_unit": "in"}))
    assert "0.157 in (7.047 upper, 6.890 lower)" in said
    assert "64.76 in loop to loop" in said


def test_one_tiller_alone_is_no_tiller() -> None:
    answer = asked(changed(WHOLE, lower_tiller=None))
    assert "only the upper limb: 179.0 mm" in printed(answer)
    assert "4.0" not in texts(answer)["tiller"]


def test_other_zeros_have_their_names() -> None:
    stop = WHOLE | {"bolt_family": "stop", "upper_first_in": "stop", "lower_first_in": "flush"}
    assert {"2½ turns out from its stop", "2 turns out from the paper's stop", "stop", "paper"} <= set(
        printed(asked(stop))
    )
    maker = printed(asked(MAKER))
    assert {"3 turns out from the maker's zero", "zero"} <= set(maker)
    assert not any("strip" in words for words in maker)


def test_it_has_the_size_that_was_chosen() -> None:
    for size, (width, height) in (("a6", (148, 105)), ("index", (127, 76.2))):
        answer = asked(WHOLE | {"card_size": size})
        picture = picture_of(answer, f"sheet-{size}")
        assert (picture.width, picture.height) == (width, height)


# The log


def test_the_logs_newest_places_are_on_it_with_their_day() -> None:
    record = WHOLE | {"log": [{"date": "2026-06-01", "upper_at": 3, "lower_at": 2.25, "weight": 37}]}
    answer = asked(record)
    words = printed(answer)
    assert {
        "3 turns out from the paper's stop",
        "2¼ turns out from the paper's stop",
        "37.0 lb at 28 in AMO",
        "set on 2026-06-01",
    } <= set(words)
    said = in_one(answer)
    assert "222.0" not in said, "measured before the bolts were turned"
    assert "8.6 mm high" not in said, "so were the heads"
    assert not any("log" in one for one in words), "its one row is in the code"
    told = " ".join(points_of(answer, "remarks"))
    assert "from the log" in told
    assert points_of(asked(WHOLE), "remarks") == ()


def test_of_a_longer_log_the_code_has_how_the_bow_stands() -> None:
    log = [{"date": "2026-06-01", "upper_at": 3, "weight": 37.5}, {"date": "2026-06-08", "upper_at": 2.5, "weight": 38}]
    answer = asked(WHOLE | {"log": log})
    assert "Of the log, only the newest." in printed(answer)
    (address,) = code_in(answer)
    carried = link.from_fragment(address.partition("#")[2]).record
    assert carried.canonical() == from_data(WHOLE | {"log": log[1:]}).record.canonical()


def test_a_log_that_says_the_same_takes_nothing_away() -> None:
    answer = asked(WHOLE | {"log": [{"date": "2026-06-01", "upper_at": 2.5, "lower_at": 2}]})
    assert "8.6 mm high, at zero 6.0 mm" in printed(answer)
    assert points_of(answer, "remarks") == ()


def test_a_row_that_is_left_out_is_said() -> None:
    answer = asked(WHOLE | {"log": [{"upper_at": 3}]})
    assert any("not used yet" in said for said in points_of(answer, "remarks"))


# No card looks like a permission

CLOSED = [
    ({"limb_cracks": "fault"}, State.STOP),
    ({"check_string_off": "on"}, State.STOP),
    ({"bolt_family": "clamp"}, State.ASK),
    ({"limb_cracks": "unsure"}, State.ASK),
    ({"bolt_family": "unknown"}, State.ASK),
]
SHUT: list[tuple[str, dict[str, Any], State, str]] = [
    ("empty", {"version": 1}, State.EXAMPLE, "Made-up bow"),
    ("one missing", changed(WHOLE, head_diameter=None), State.OPEN, "Not complete"),
    ("only a name", {"version": 1, "bow_name": "x"}, State.OPEN, "Not complete"),
    ("contradiction", WHOLE | {"slot_width": 25}, State.OPEN, "No range"),
    ("outside", changed(WHOLE, upper_now_turns=5.2, upper_height_now=None), State.STOP, "Stop: upper bolt outside"),
    (
        "outside by the log",
        WHOLE | {"log": [{"date": "2026-06-01", "lower_at": 5}]},
        State.STOP,
        "Stop: lower bolt outside",
    ),
    (
        "both outside",
        changed(WHOLE, upper_now_turns=5.2, lower_now_turns=5.2, upper_height_now=None, lower_height_now=None),
        State.STOP,
        "Stop: both bolts outside",
    ),
    ("no window", WHOLE | {"margin": 2, "upper_touch_turns": 3.5}, State.STOP, "Stop: no turn is safe"),
    *((f"gate {part}", WHOLE | LOOKED_OVER | part, state, "") for part, state in CLOSED),
]


@pytest.mark.parametrize("size", ["a6", "index"])
@pytest.mark.parametrize(("record", "state", "loud"), [row[1:] for row in SHUT], ids=[row[0] for row in SHUT])
def test_without_a_go_there_is_no_window_and_the_reason_is_loud(
    size: str, record: dict[str, Any], state: State, loud: str
) -> None:
    answer = asked(record | {"card_size": size})
    assert answer.state is state
    picture = sheet_of(answer)
    assert not re.search(r"qt-card-(window|now|out)\b", picture.svg)
    said = in_one(answer)
    for window in WINDOW.values():
        assert window not in said
        assert window.split()[0] not in said
    assert not {"upper_inner", "upper_outer", "lower_inner", "lower_outer"} & set(texts(answer))
    # What is loud is the largest on the card, and whole.
    root = ElementTree.fromstring(picture.svg)
    sized = [
        (float(one.attrib["font-size"]), one.text or "")
        for one in root.iter("{http://www.w3.org/2000/svg}text")
        if "qt-card-across" not in one.attrib["class"]
    ]
    largest = max(size for size, _ in sized)
    title = " ".join(words for size, words in sized if size == largest)
    assert title.startswith(loud or answer.title)
    assert "…" not in title
    assert ("MADE-UP BOW" in said) is (state is State.EXAMPLE)


@pytest.mark.parametrize(("part", "state"), CLOSED)
def test_behind_a_closed_gate_the_card_has_no_number_at_all(part: dict[str, Any], state: State) -> None:
    answer = asked(WHOLE | LOOKED_OVER | part)
    assert answer.state is state
    assert answer.all_values() == ()
    said = in_one(answer)
    for number in ("2½", "38.0", "179", "222", "1645", "8.6", "0.10"):
        assert number not in said
    assert points_of(answer, "cautions")


def test_a_stop_stands_on_the_card_with_what_was_found() -> None:
    said = in_one(asked(WHOLE | LOOKED_OVER | {"limb_cracks": "fault"}))
    assert "Stop: the inspection says no" in said
    assert "Do not string or shoot a cracked limb." in said


@pytest.mark.long
def test_every_drawn_record_keeps_to_that() -> None:
    seen = set()
    for record in some(100):
        answer = WIDGETS["card"].answer(Values(from_data(record).record, SITE))
        seen.add(answer.state)
        shut = answer.state is not State.GO
        assert ("qt-card-window" not in sheet_of(answer).svg) is shut
        assert ("upper_outer" not in texts(answer)) is shut
    assert {State.GO, State.STOP, State.ASK, State.OPEN} <= seen


def test_the_card_never_sounds_better_than_the_worksheet() -> None:
    """Without a log both come to the same; the worksheet's own answer decides."""
    for record in some(120, start=900):
        bare = changed(record, log=None)
        try:
            worksheet = answered(bare).state
        except ValueError:
            worksheet = State.OPEN
        mine = WIDGETS["card"].answer(Values(from_data(bare).record)).state
        assert (mine is State.GO) is (worksheet is State.GO)
        if worksheet in (State.STOP, State.ASK, State.NO_WINDOW):
            assert mine is (State.STOP if worksheet is State.NO_WINDOW else worksheet)


def test_a_made_up_card_is_of_no_bow() -> None:
    answer = asked({"version": 1})
    assert answer.badge == "Example"
    assert {value.status.value for value in answer.all_values() if value.text != "not entered"} == {"example"}
    assert code_in(answer) == []


def test_a_day_that_is_none_is_refused_at_its_field() -> None:
    assert list(refused(WHOLE | {"set_on": "2026-02-30"}, "card")) == ["set_on"]
    assert asked(WHOLE | {"set_on": "2026-02-30", "limb_cracks": "fault"}).state is State.STOP


def test_what_is_missing_is_named_with_its_page() -> None:
    (way,) = [block for block in asked({"version": 1}).blocks if isinstance(block, Way) and block.name == "waits"]
    assert [stage.page for stage in way.stages] == ["safe-range", "bow", "after"]
    assert not [block for block in asked(WHOLE).blocks if isinstance(block, Way) and block.name == "waits"]
    (way,) = [
        block
        for block in asked(changed(WHOLE, draw_weight=None)).blocks
        if isinstance(block, Way) and block.name == "waits"
    ]
    assert [(stage.page, stage.note) for stage in way.stages] == [("bow", "draw weight")]


# Hostile names


HOSTILE = [
    "</svg><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "\"'&<>`;~=%",
    "&#60;b&#62;",
    "W" * 40,
    "漢" * 40,
]


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("part", [{}, {"limb_cracks": "fault"}, {"head_diameter": None}])
def test_a_hostile_name_is_a_name(name: str, part: dict[str, Any]) -> None:
    named = WHOLE | dict.fromkeys(("bow_name", "riser_name", "limbs_name", "set_by"), name)
    question = {"ask": "answer", "widget": "card", "record": changed(named, **part), "address": SITE}
    html = json.loads(ask(json.dumps(question)))["html"]
    assert "<script" not in html
    assert "<img" not in html
    answer = asked(changed(named, **part))
    assert any(words.removesuffix("…") and name.startswith(words.removesuffix("…")) for words in printed(answer))
    # And it comes through the code unharmed.
    (found,) = code_in(answer)
    opened = link.from_fragment(found.partition("#")[2]).record
    assert all(opened.entries[field].typed == name for field in ("bow_name", "riser_name", "limbs_name", "set_by"))


# The code


@pytest.mark.long
def test_the_code_opens_the_same_record() -> None:
    """Random records through the card: read from its drawing, opened as a link, and the same to the last entry."""
    read_back, too_long, logs = Counter[str](), Counter[str](), 0
    for record, size in zip(some(60, start=2000), cycle(["a6", "index"]), strict=False):
        given = from_data(record | {"card_size": size}).record
        answer = WIDGETS["card"].answer(Values(given, SITE))
        found = code_in(answer)
        if not found:
            too_long[size] += 1
            assert len(SITE + "#" + link.fragment(given, link.BRIEF)) > (1000 if size == "a6" else 700)
            assert any(words.startswith("No code: the record is") for words in printed(answer))
            continue
        (address,) = found
        assert address.startswith(f"{SITE}#q1.")
        opened = link.from_fragment(address.partition("#")[2])
        assert opened.notes == ()
        # What the whole log would tell, that a reading was not expected, goes along as an event.
        assert of_the_bow(opened.record) == of_the_bow(to_pass_on(Values(given)))
        there, here = (positions_of(Values(one)) for one in (opened.record, given))
        assert [replace(bolt, since=None) for bolt in there.bolts] == [replace(bolt, since=None) for bolt in here.bolts]
        assert (there.measured, there.day, there.missing) == (here.measured, here.day, here.missing)
        assert there.unusable == here.unusable
        assert bool(there.log_unusable) is bool(here.log_unusable)
        logs += "log" in given.entries
        read_back[size] += 1
    assert min(read_back["a6"], read_back["index"]) >= 15
    assert logs >= 5
    assert max(too_long.values()) <= 15


def test_the_code_of_a_whole_bow_has_squares_that_print() -> None:
    for size, least in (("a6", 0.45), ("index", 0.36)):
        answer = asked(WHOLE | LOOKED_OVER | {"card_size": size})
        count, by, side = re.fullmatch(r"(\d+) by (\d+) squares of ([\d.]+) mm", texts(answer)["code_squares"]).groups()  # type: ignore[union-attr]
        assert count == by
        assert float(side) >= least


def long_record(size: str) -> dict[str, Any]:
    """Too long for an index card, and not for A6."""
    chance = random.Random(3)
    rows = [{"draw": round(chance.uniform(13, 35), 6), "weight": round(chance.uniform(5, 90), 6)} for _ in range(24)]
    names = ("riser_name", "limbs_name", "set_by")
    named = {name: "".join(chance.choice(string.ascii_letters) for _ in range(40)) for name in names}
    return WHOLE | LOOKED_OVER | named | {"scale_readings": rows, "card_size": size}


def test_a_record_that_is_too_long_has_no_code_and_the_card_says_so() -> None:
    a6, index = (asked(long_record(size)) for size in ("a6", "index"))
    assert len(code_in(a6)) == 1
    assert code_in(index) == []
    assert any(words.startswith("No code:") for words in printed(index))
    assert any("too long" in said for said in points_of(index, "remarks"))
    assert "code_squares" not in texts(index)


@pytest.mark.parametrize(
    "address",
    ["", "javascript:alert(1)/", "file:///home/", "https://example.org", "https://exämple.org/", "http://a b/",
     "https://" + "x" * 300 + "/", "ftp://example.org/", 5, None, ["https://example.org/"], "https://example.org/\n"],
)  # fmt: skip
def test_an_address_that_is_none_gives_no_code(address: Any) -> None:
    question = {"ask": "answer", "widget": "card", "record": WHOLE, "address": address}
    html = json.loads(ask(json.dumps(question)))["html"]
    assert "qt-card-code" not in html
    assert "No code" in html


@pytest.mark.parametrize("address", ["http://localhost:8000/", "http://127.0.0.1/x/", "http://[::1]:81/"])
def test_this_devices_own_address_is_said(address: str) -> None:
    said = " ".join(points_of(asked(WHOLE, address), "remarks"))
    assert "no other device can" in said
    assert "no other device can" not in " ".join(points_of(asked(WHOLE, "https://localhost.example.org/"), "remarks"))


def test_the_code_stands_on_a_card_that_is_not_finished_too() -> None:
    (found,) = code_in(asked({"version": 1, "bow_name": "x"}))
    assert link.from_fragment(found.partition("#")[2]).record.canonical() == {"version": 1, "bow_name": "x"}


def test_the_readers_own_habits_and_the_view_are_in_no_code() -> None:
    (found,) = code_in(asked(WHOLE | {"people": "two", "card_size": "index", "length_unit": "in"}))
    opened = link.from_fragment(found.partition("#")[2]).record
    assert not {"people", "card_size", "length_unit"} & set(opened.entries)


def test_the_desk_makes_the_card_only_when_the_whole_is_asked_for() -> None:
    question = {"ask": "answer", "widget": "card", "record": WHOLE, "address": SITE}
    first = json.loads(ask(json.dumps(question | {"part": "first"})))
    assert first["more"]
    assert "<svg" not in first["html"]
    whole = json.loads(ask(json.dumps(question)))
    assert "qt-card-code" in whole["html"]
    assert values(WHOLE).address == ""
    assert points_of(asked(WHOLE), "not-said")
