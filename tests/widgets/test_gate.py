"""The gate: a stop in the inspection overrides every page, whatever else was entered (issue 3, item 2 and *Done when*).

Which answer is a stop and which a question is written down by hand.
"""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import (
    ALONE,
    COMPLETE,
    GATE,
    LOOKED_OVER,
    MAKER,
    STRUNG,
    answered,
    numbers,
    points_of,
    refused,
    texts_of,
    values,
)
from quarterturn.bench.judgement import judge
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import WIDGETS, judgement_wording
from quarterturn.widgets.answer import Drawing, Points, State, Steps

ITEMS = tuple(name for name in LOOKED_OVER if not name.startswith("check_"))
AREAS = ("check_limbs", "check_butt", "check_bolt", "check_match")
STOPS = [
    ("check_manual", "forbids"),
    ("check_string_off", "on"),
    *((name, "fault") for name in (*AREAS, *ITEMS) if name != "bolt_turns"),
]
ASKS = [
    ("check_lock", "unsure"),
    ("check_bolt", "seized"),
    ("bolt_turns", "seized"),
    *((name, "unsure") for name in (*AREAS, *ITEMS)),
]
RECORDS: dict[str, dict[str, Any]] = {
    "nothing else": {},
    "all in order": COMPLETE | LOOKED_OVER,
    "the maker's range": MAKER,
    "past first touch": COMPLETE | {"upper_now_turns": 9},
    "a bolt nobody knows": COMPLETE | {"bolt_family": "unknown"},
    "letters": COMPLETE | {"upper_touch_turns": "five", "rise": "nan", "strip_thickness": "x", "turns_shown": "abc"},
    "no such geometry": COMPLETE | {"slot_width": 30, "head_diameter": 8},
    "no such pitch": COMPLETE | {"rise": 1},
}
each_widget = pytest.mark.parametrize("widget", WIDGETS)


def test_all_stops_and_questions_are_here() -> None:
    assert len(STOPS) == 2 + 4 + 16
    assert len(ASKS) == 3 + 4 + 17


@each_widget
@pytest.mark.parametrize(("name", "option"), STOPS)
def test_a_stop_overrides_every_page(widget: str, name: str, option: str) -> None:
    for record in RECORDS.values():
        answer = answered(record | {name: option}, widget)
        assert answer.state is State.STOP
        assert answer.title == "Stop: the inspection says no"
        assert answer.badge == ""
        first = answer.blocks[0]
        assert isinstance(first, Points)
        assert (first.name, first.kind) == ("findings", "stop")
        assert first.points[0].startswith(BY_NAME[name].label)
        sentence = first.points[0].removeprefix(f"{BY_NAME[name].label}: ")
        assert answer.verdict.startswith(sentence)
        assert answer.speak.startswith("Stop")


@each_widget
@pytest.mark.parametrize(("name", "option"), ASKS)
def test_a_doubt_asks_on_every_page(widget: str, name: str, option: str) -> None:
    for given, record in RECORDS.items():
        answer = answered(record | {name: option}, widget)
        assert answer.state is (State.STOP if given == "past first touch" else State.ASK)
        assert points_of(answer, "findings")


@each_widget
def test_the_worst_holds_and_all_are_told(widget: str) -> None:
    record = COMPLETE | {
        "limb_twist": "unsure",
        "bolt_turns": "seized",
        "string_sound": "fault",
        "check_lock": "unsure",
    }
    answer = answered(record, widget)
    assert answer.state is State.STOP
    found = points_of(answer, "findings")
    assert len(found) == 4
    assert found[0].startswith(BY_NAME["string_sound"].label)


SAID_OF = {
    "clamp": ("Leave the bolts alone", "Leave it hand-tight"),
    "under": ("Leave bolts and screws alone", "a screw under it sets it"),
    "two": ("Leave all four bolts alone", "Two bolts hold each limb"),
    "fixed": ("Nothing here to turn", "it has no limb bolt"),
}
"""By hand, from issue 18: kinds of which nothing is turned here, and what each page says of one."""


@each_widget
@pytest.mark.parametrize("family", SAID_OF)
def test_what_is_not_for_turning_is_left_alone_and_an_unknown_one_a_question(family: str, widget: str) -> None:
    """Nothing is wrong with a bow that is not set by counted turns: no page stops it, and none turns a bolt of it."""
    fine = ALONE[family]
    for rest in (COMPLETE, COMPLETE | fine, fine | {"log": [{"date": "2026-05-01", "upper_at": 9}]}):
        # Its turns were counted: no page may sound better than what they may have told.
        doubt = answered(rest | {"bolt_family": family}, widget)
        assert (doubt.state, doubt.title) == (State.ASK, "Which bolt is it? Its turns were counted")
    for rest in ({}, GATE, LOOKED_OVER, fine):
        left = answered(rest | {"bolt_family": family}, widget)
        assert left.state not in (State.STOP, State.ASK, State.NO_WINDOW)
        said = " ".join((left.title, left.verdict, *points_of(left, "also")))
        # The rack says it in the bow's row (test_rack.py): what it says itself is of no bow.
        if widget not in ("start", "inspection", "rack"):
            assert any(words in said for words in SAID_OF[family])
        assert not any(isinstance(block, Steps) for block in left.blocks)
        assert (left.state is State.GO) is (widget in ("start", "inspection") and fine.items() <= rest.items())
        assert answered(rest | {"bolt_family": "unknown"}, widget).state is State.ASK


@pytest.mark.parametrize("family", ["flat", "stop", "swivel", "pivot", *SAID_OF, "unknown"])
def test_a_stop_of_the_inspection_comes_before_the_kind_of_bolt(family: str) -> None:
    found = judgement_wording.verdict_text(judge(values({"bolt_family": family, "limb_cracks": "fault"})))
    assert found.title == "Stop: the inspection says no"
    doubt = judgement_wording.verdict_text(judge(values({"bolt_family": family, "limb_cracks": "unsure"})))
    assert doubt.state is State.ASK


def test_the_gate_is_open_where_nothing_speaks_against_it() -> None:
    for record in ({}, GATE, LOOKED_OVER, {"check_manual": "none", "check_lock": "none"}, MAKER):
        assert judge(values(record)).causes == ()
    for family in ("flat", "stop", "swivel", "pivot"):
        assert judge(values({"bolt_family": family})).causes == ()


@pytest.mark.parametrize("widget", ["pocket", "loads", "paper"])
@pytest.mark.parametrize("stop", [{"limb_cracks": "fault"}, {"limb_cracks": "unsure"}])
def test_reading_pages_keep_their_pictures_and_numbers_below_a_stop(widget: str, stop: dict[str, Any]) -> None:
    """One may read on; the same figures and numbers stand there, after the finding."""
    record = COMPLETE | LOOKED_OVER
    plain, halted = answered(record, widget), answered(record | stop, widget)
    drawn = [[b.picture.svg for b in each.blocks if isinstance(b, Drawing)] for each in (plain, halted)]
    assert len(drawn[0]) >= 3
    assert drawn[0] == drawn[1]
    assert numbers(plain) == numbers(halted)
    assert halted.title != plain.title
    assert points_of(halted, "shown") == (plain.verdict,)
    assert "Your" not in halted.badge


@pytest.mark.parametrize("widget", ["draw-weight", "tiller", "plan", "carry-out", "after"])
@pytest.mark.parametrize(
    "stop", [{"limb_cracks": "fault"}, {"limb_cracks": "unsure"}, *({"bolt_family": kind} for kind in SAID_OF)]
)
def test_pages_on_the_strung_bow_predict_nothing_below_a_stop(widget: str, stop: dict[str, Any]) -> None:
    record = COMPLETE | LOOKED_OVER | STRUNG | {"wanted_weight": 39} | stop
    halted = answered(record, widget)
    assert {value.name for value in halted.all_values()} <= {"rows", "left", "planned_on", "amiss"}
    assert not any(isinstance(block, Drawing) for block in halted.blocks)
    words = " ".join((halted.verdict, *(text for block in halted.blocks for text in texts_of(block))))
    assert "string it" not in words.lower()


@pytest.mark.parametrize("widget", ["pocket", "loads", "paper", "draw-weight", "tiller", "plan", "carry-out", "after"])
@pytest.mark.parametrize("bad", [{"rise": "x"}, {"head_diameter": 8, "slot_width": 30}, {"upper_rim_to_butt": 20}])
def test_below_a_stop_a_bad_entry_is_said_and_nothing_is_drawn(widget: str, bad: dict[str, Any]) -> None:
    sentences = refused(bad, widget)
    answer = answered(bad | {"limb_cracks": "fault"}, widget)
    assert answer.state is State.STOP
    assert any(sentence in answer.verdict for sentence in sentences.values())
    assert answer.all_values() == ()
    assert points_of(answer, "cautions")


def test_the_worksheet_works_out_no_window_below_a_stop() -> None:
    for name, option in (*STOPS, *ASKS):
        answer = answered(COMPLETE | LOOKED_OVER | {name: option})
        assert answer.all_values() == ()
        assert not any(isinstance(block, Drawing) for block in answer.blocks)
