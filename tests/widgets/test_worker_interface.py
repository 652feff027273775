"""The one function that the browser's worker calls: its contract is its docstring; JSON as RFC 8259 (C)."""

from __future__ import annotations

import csv
import io
import itertools
import json
import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import codes
from helpers.asking import COMPLETE, STRUNG, Data, answered
from helpers.records import drawn
from quarterturn.record.parsing import from_data
from quarterturn.widgets.paper_code import SIDE
from quarterturn.widgets.render import render
from quarterturn.worker_interface import ask

ANSWER_KEYS = {"html", "state", "speak", "problems", "notes", "cuts", "places", "more", "keeps", "offers"}


def forbidden(word: str) -> None:
    raise AssertionError(f"not JSON: {word}")


def reply(text: str) -> dict[str, Any]:
    """The reply as strict JSON."""
    data = json.loads(ask(text), parse_constant=forbidden)
    assert isinstance(data, dict)
    return data


def asked(**request: Any) -> dict[str, Any]:
    return reply(json.dumps(request))


def test_an_answer() -> None:
    found = asked(ask="answer", widget="safe-range", record=COMPLETE)
    assert set(found) == ANSWER_KEYS
    answer = answered(COMPLETE)
    told = dict(zip(map(tuple, found["places"]), pieces_of(found), strict=True))
    assert "".join(html for (_, zone), html in told.items() if zone != "aside") == render(answer)
    assert {name for (name, zone) in told if zone == "aside"} >= {"headline", "line"}
    assert (found["state"], found["problems"], found["notes"]) == ("go", [], [])
    assert found["speak"] == answer.speak
    assert "\n" not in found["speak"]


def pieces_of(found: dict[str, Any]) -> list[str]:
    """The pieces of a whole answer's html."""
    ends = [0, *itertools.accumulate(found["cuts"])]
    return [found["html"][start:end] for start, end in itertools.pairwise(ends)]


def test_a_page_gets_the_blocks_that_it_shows() -> None:
    """What is not wanted is not made; verdict, headline and what is known against the bow come with every answer."""
    found = asked(ask="answer", widget="pocket", record=COMPLETE | {"slot_root": "fault"}, blocks=["gaps"])
    told = dict(zip((name for name, _ in found["places"]), pieces_of(found), strict=True))
    assert {name for name, html in told.items() if html} == {"verdict", "line", "findings", "next", "gaps"}
    assert told["gaps"].count("<svg") == 1


@pytest.mark.parametrize(
    "widget",
    ["pocket", "loads", "paper", "safe-range", "draw-weight", "tiller", "plan", "carry-out", "after", "card", "log"],
)
def test_what_is_quick_is_part_of_the_whole(widget: str) -> None:
    """The first part is the whole's own pieces at their own places, without most of the pictures, which are slow."""
    whole = asked(ask="answer", widget=widget, record=COMPLETE | STRUNG)
    first = asked(ask="answer", widget=widget, record=COMPLETE | STRUNG, part="first")
    assert set(first) == ANSWER_KEYS
    assert (whole["more"], first["more"]) == (False, True)
    assert len(first["cuts"]) == len(whole["cuts"])
    assert first["places"] == whole["places"]
    assert first["html"] == "".join(
        piece for piece, length in zip(pieces_of(whole), first["cuts"], strict=True) if length is not None
    )
    assert first["cuts"][0] == whole["cuts"][0]
    drawn = [each["html"].count("<svg") for each in (first, whole)]
    assert drawn[0] < drawn[1]


def test_what_has_nothing_slow_is_whole_at_once() -> None:
    whole = asked(ask="answer", widget="start", record=COMPLETE)
    assert asked(ask="answer", widget="start", record=COMPLETE, part="first") == whole


def test_no_record_is_the_worked_example() -> None:
    assert asked(ask="answer", widget="safe-range")["state"] == "example"
    assert asked(ask="answer", widget="safe-range", record={})["state"] == "example"


def test_a_refusal_names_the_fields_and_keeps_the_last_answer_in_the_page() -> None:
    found = asked(ask="answer", widget="safe-range", record=COMPLETE | {"margin": 9, "rise": "x"})
    assert set(found) == ANSWER_KEYS
    assert found["html"] is None
    assert found["state"] == "refused"
    assert {problem["field"] for problem in found["problems"]} == {"margin", "rise"}
    assert found["speak"].startswith("2 entries cannot be used")


@pytest.mark.parametrize("record", [[], "text", 5, None, True])
def test_what_is_no_record_is_refused_with_a_sentence(record: Any) -> None:
    found = asked(ask="answer", widget="safe-range", record=record)
    assert found["html"] is None
    assert found["problems"][0]["field"] == ""
    assert found["problems"][0]["sentence"].endswith(".")


def test_what_was_ignored_is_noted() -> None:
    found = asked(ask="answer", widget="safe-range", record=COMPLETE | {"nonsense": 1})
    assert found["state"] == "go"
    assert "nonsense" in found["notes"][0]


LOG = [{"date": "2026-03-14", "weight": 38}, {"weight": 39}]
LONG = [
    {"date": f"{year}-03-14", "weight": 38 + math.sin(year), "brace_height": 220 + math.cos(year)}
    for year in range(2026, 2086)
]


def test_a_link_has_of_a_long_log_how_the_bow_stands_and_says_so() -> None:
    found = asked(ask="link", record=COMPLETE | {"log": LONG})
    assert set(found) == {"fragment", "brief", "left"}
    assert found["fragment"] == found["brief"] == asked(ask="link", record=COMPLETE | {"log": LONG[-1:]})["fragment"]
    assert found["left"].startswith("A link must be short")
    assert asked(ask="link", record=COMPLETE)["left"] == ""
    # A short one is carried as it stands, but on a card.
    found = asked(ask="link", record={"log": LOG, "people": "two"})
    assert found["left"] == ""
    for carried, rows in (("fragment", LOG), ("brief", LOG[:1])):
        record = asked(ask="open", fragment=found[carried])["record"]
        assert record["log"] == from_data({"log": rows}).record.canonical()["log"]


def test_the_log_as_a_table() -> None:
    found = asked(ask="csv", record={"log": LOG, "bow_name": "Club bow", "nonsense": 1})
    assert set(found) == {"name", "text", "notes"}
    assert found["name"] == "log-Club-bow.csv"
    heads, line = csv.reader(io.StringIO(found["text"], newline=""), strict=True)
    assert (heads[0], heads[3]) == ("date", "draw weight (lb)")
    assert (line[0], line[3]) == ("2026-03-14", "38")
    ignored, unfinished = found["notes"]
    assert "nonsense" in ignored
    assert unfinished.endswith("entry 2: not used yet, because date is empty.")


@pytest.mark.parametrize(
    ("record", "field"), [({}, "log"), ({"log": [{"date": "31 June"}]}, "log.1.date"), ([], ""), ("x", "")]
)
def test_without_a_log_that_can_be_used_there_is_no_table(record: Any, field: str) -> None:
    found = asked(ask="csv", record=record)
    assert set(found) == {"problems"}
    assert [problem["field"] for problem in found["problems"]] == [field]
    assert found["problems"][0]["sentence"].endswith(".")


def test_a_link_and_back() -> None:
    fragment = asked(ask="link", record=COMPLETE)["fragment"]
    assert fragment.startswith("q1.")
    for text in (fragment, f"#{fragment}"):
        found = asked(ask="open", fragment=text)
        assert set(found) == {"record", "marks", "notes", "problems"}
        # The inspection in it was another reader's; a record without one has nothing to mark.
        assert found["marks"] == {"inspection_source": "other"}
        again = asked(ask="read", text=json.dumps(COMPLETE))
        assert found == again
        assert found["record"]["upper_touch_turns"] == {"typed": "5.25", "unit": "turn"}


SITE = "https://club.example/bows/"


def test_the_code_of_a_sheet_opens_the_record() -> None:
    """Read back by zxing-cpp, which was written apart (C); its squares are not too fine for a phone's camera."""
    html = asked(ask="code", record=COMPLETE | STRUNG, address=SITE)["html"]
    (address,) = codes.read(codes.drawn(html, SIDE, SIDE))
    assert address == f"{SITE}#{asked(ask='link', record=COMPLETE | STRUNG)['brief']}"
    (scale,) = re.findall(r"scale\(([\d.]+)\)", html)
    assert float(scale) >= 0.34
    assert "club.example/bows/" in html


@pytest.mark.parametrize(
    ("record", "address"),
    [
        ({"version": 1}, SITE),
        ({"length_unit": "in"}, SITE),
        (COMPLETE, ""),
        (COMPLETE, "no address"),
        (drawn(3, likely=False), f"{SITE}{'x' * 170}/"),
    ],
)
def test_a_sheet_has_no_code_where_there_is_none_to_open(record: Data, address: str) -> None:
    """Nothing of a bow, no address; or more than its squares can hold in that size."""
    assert asked(ask="code", record=record, address=address) == {"html": ""}


def test_a_record_without_an_inspection_is_not_marked() -> None:
    fragment = asked(ask="link", record={"upper_touch_turns": 5, "bolt_family": "flat"})["fragment"]
    assert asked(ask="open", fragment=fragment)["marks"] == {}


def test_whose_an_inspection_is_never_goes_into_a_link() -> None:
    for source in ("own", "other"):
        fragment = asked(ask="link", record=COMPLETE | {"inspection_source": source})["fragment"]
        assert fragment == asked(ask="link", record=COMPLETE)["fragment"]
        assert "inspection_source" not in asked(ask="open", fragment=fragment)["record"]


def test_a_bow_of_a_file_tells_what_it_is_marked_with_and_by_which_fields() -> None:
    bow = {"id": "abcdef0123456789", "changed": 9_000, "times": {"check_limbs": 5_000}, "record": COMPLETE}
    text = json.dumps({"format": "quarter-turn bows", "version": 1, "bows": [bow, {"record": {"bow_name": "x"}}]})
    looked_over, bare = asked(ask="file", text=text)["bows"]
    assert looked_over["marks"] == {"inspection_source": "other"}
    assert {"check_limbs", "limb_cracks", "inspected_on", "inspected_by"} <= set(looked_over["marked_by"])
    assert "upper_touch_turns" not in looked_over["marked_by"]
    assert "inspection_source" not in looked_over["record"]
    assert bare["marks"] == {}


READ_WRONG = [{"date": "2026-05-01", "upper_at": 2, "lower_at": 2, "weight": 46}]


def test_a_link_takes_an_alarm_along_that_its_log_would_no_longer_tell() -> None:
    """A link has to be short: of a log it may carry the newest places alone, and these look well."""
    later = [{"date": f"2026-05-{day:02}", "upper_at": 2 + day % 2 / 4, "lower_at": 2} for day in range(2, 31)]
    record = COMPLETE | STRUNG | {"log": READ_WRONG + later}
    answer = asked(ask="answer", widget="plan", record=record)
    assert answer["state"] == "stop"
    brief = asked(ask="open", fragment=asked(ask="link", record=record)["brief"])["record"]
    assert len(brief["log"]) == 1
    assert asked(ask="answer", widget="plan", record=brief)["state"] == "stop"
    without = {name: value for name, value in brief.items() if name != "events"}
    assert asked(ask="answer", widget="plan", record=without)["state"] != "stop"


def test_a_plan_that_is_made_is_kept_and_one_that_is_given_up_is_emptied() -> None:
    record = COMPLETE | STRUNG | {"wanted_weight": 39, "planned_on": "2026-06-30"}
    kept = asked(ask="answer", widget="plan", record=record)["keeps"]
    assert kept["planned_weight"] == {"typed": "38.00", "unit": "lbf"}
    assert kept["planned_tiller"] == {"typed": "4.0", "unit": "mm"}
    assert asked(ask="answer", widget="plan", record=record | kept)["keeps"] == {}
    given_up = {name: value for name, value in (record | kept).items() if name != "wanted_weight"}
    assert asked(ask="answer", widget="plan", record=given_up)["keeps"] == dict.fromkeys(kept)


def test_a_button_offers_the_entries_that_it_makes() -> None:
    offers = asked(ask="answer", widget="inspection", record=COMPLETE)["offers"]
    assert set(offers["again"].values()) == {None}
    assert asked(ask="answer", widget="inspection", record={})["offers"] == {}


def test_the_reader_s_own_day_ages_an_inspection() -> None:
    """Twelve months (common practice, no source); a day that is none is as if none was told."""
    record = COMPLETE | {"inspected_on": "2025-06-30"}
    for today, state in (("2026-06-30", "go"), ("2026-07-01", "open"), ("31 June", "go"), (5, "go")):
        found = asked(ask="answer", widget="safe-range", record=record, today=today)
        assert found["state"] == state


@pytest.mark.parametrize("request_of", [{"ask": "open", "fragment": "q1.xxxx"}, {"ask": "read", "text": '{"a":'}])
def test_what_is_damaged_is_told_in_the_same_shape(request_of: dict[str, str]) -> None:
    found = reply(json.dumps(request_of))
    assert found["record"] == {"version": 1}
    assert found["notes"] == []
    assert [problem["field"] for problem in found["problems"]] == [""]


@pytest.mark.parametrize(
    "text",
    [
        *("", "null", "5", "[]", "{}", "{", "nonsense", '"text"', '{"ask": null}', '{"ask": []}', '{"ask": {}}'),
        *('{"ask": "answer"}', '{"ask": "answer", "widget": "other"}', '{"ask": "answer", "widget": []}'),
        *("[" * 100_000, '{"ask":' * 5_000, '{"ask": "nothing"}', '{"ask": "__class__"}', "\ud800", "9" * 10_000),
    ],
)
def test_garbage_is_broken_in_a_sentence_and_never_raises(text: str) -> None:
    found = reply(text)
    assert set(found) == {"broken"}
    assert found["broken"].endswith(".")


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=10), inner, max_size=3),
    max_leaves=8,
)


@given(st.sampled_from(["answer", "link", "code", "csv", "open", "read"]), ANYTHING, ANYTHING, ANYTHING)
def test_any_content_is_replied_to(kind: str, record: Any, fragment: Any, text: Any) -> None:
    request = {"ask": kind, "widget": "safe-range", "record": record, "fragment": fragment, "text": text}
    found = reply(json.dumps(request))
    assert "broken" not in found or (kind in ("link", "code") and not isinstance(record, dict))


@given(st.text(max_size=200))
def test_any_text_is_replied_to(text: str) -> None:
    assert reply(text)


def test_lone_surrogates_and_controls_come_through() -> None:
    record = COMPLETE | {"bow_name": "a\ud800\u0000b", "rise": "4\udfff", "\ud800": 1}
    assert asked(ask="answer", widget="safe-range", record=record)["problems"][0]["field"] == "rise"
    assert "fragment" in asked(ask="link", record=record)


def test_the_same_question_gets_the_same_answer_byte_for_byte() -> None:
    text = json.dumps({"ask": "answer", "widget": "safe-range", "record": COMPLETE})
    assert ask(text) == ask(text)
