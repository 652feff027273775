"""Start: the way and what stands on it, by hand from issue 3, item 1."""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import COMPLETE, GATE, LOOKED_OVER, MAKER, STRUNG, answered, changed, points_of
from helpers.drawn_answers import answers, outcomes
from helpers.nav import page_names
from quarterturn.bench.family import can_be_felt
from quarterturn.widgets.answer import Answer, Refusal, Stage, State, Way

CHOSEN = ["draw-weight", "tiller", "plan", "carry-out", "after", "card", "log"]
FELT = ["", "before", "pocket", "load", "paper", "safe-range", *CHOSEN]
MAKERS = ["", "before", "safe-range", *CHOSEN]
ON_THE_BOW = ["read"] * len(CHOSEN)


def stages(answer: Answer) -> tuple[Stage, ...]:
    (way,) = [block for block in answer.blocks if isinstance(block, Way) and block.name == "way"]
    return way.stages


def marks(record: dict[str, Any]) -> list[str]:
    return [stage.mark for stage in stages(answered(record, "start"))]


DONE, READ = ("done", "done"), ("read", "read", "read")
HALF = {"bolt_family": "flat", "check_manual": "read", "limb_cracks": "fine"}
WAYS: list[tuple[str, dict[str, Any], list[str], State]] = [
    ("empty", {}, ["next", "open", *READ, "open"], State.OPEN),
    ("the bolt", {"bolt_family": "flat"}, ["done", "next", *READ, "open"], State.OPEN),
    ("a bolt with a stop", {"bolt_family": "stop"}, ["done", "next", *READ, "open"], State.OPEN),
    ("half", HALF, ["done", "next", *READ, "open"], State.OPEN),
    ("looked over", LOOKED_OVER | {"bolt_family": "flat"}, [*DONE, *READ, "next"], State.OPEN),
    ("looked over, no bolt", LOOKED_OVER, ["next", "done", *READ, "open"], State.OPEN),
    ("the short list", GATE | {"bolt_family": "flat"}, [*DONE, *READ, "next"], State.OPEN),
    ("worksheet first", changed(COMPLETE, check_limbs=None), ["done", "next", *READ, "done"], State.OPEN),
    ("one reading left", changed(COMPLETE, head_diameter=None), [*DONE, *READ, "next"], State.OPEN),
    ("a pitch of no bolt", changed(GATE, bolt_family="flat", rise=1),
     [*DONE, *READ, "next"], State.OPEN),
    ("complete", COMPLETE, [*DONE, *READ, "done"], State.GO),
    ("complete, looked over", COMPLETE | LOOKED_OVER, [*DONE, *READ, "done"], State.GO),
    ("a swivelling head", {"bolt_family": "swivel"}, ["done", "next", "open"], State.OPEN),
    ("a pocket that pivots", {"bolt_family": "pivot"}, ["done", "next", "open"], State.OPEN),
    ("the maker's range", MAKER, ["done", "done", "done"], State.GO),
    ("the maker's range not known", changed(MAKER, maker_out=None), ["done", "done", "next"], State.OPEN),
    ("a stop", {"limb_cracks": "fault"}, ["next", "stop"], State.STOP),
    ("a stop, bolt known", HALF | {"limb_cracks": "fault"}, ["done", "stop"], State.STOP),
    ("a stop, all else", COMPLETE | {"slot_root": "fault"}, ["done", "stop"], State.STOP),
    ("a doubt", HALF | {"limb_cracks": "unsure"}, ["done", "stop"], State.ASK),
    ("a clamping bolt", {"bolt_family": "clamp"}, ["stop"], State.STOP),
    ("an unknown bolt", {"bolt_family": "unknown"}, ["stop"], State.ASK),
    ("clamping, looked over", LOOKED_OVER | {"bolt_family": "clamp"}, ["stop"], State.STOP),
    ("a bolt outside", COMPLETE | {"upper_now_turns": 9}, [*DONE, *READ, "stop"], State.STOP),
    ("by the log outside", COMPLETE | {"log": [{"date": "2026-05-01", "upper_at": 9}]},
     [*DONE, *READ, "stop"], State.STOP),
    ("a crack", COMPLETE | {"events": [{"date": "2026-05-01", "happened": "crack"}]},
     [*DONE, *READ, "done", "stop"], State.STOP),
    ("an entry that cannot be used", COMPLETE | {"log": [{"date": "2026-05-01", "upper_at": "x"}]},
     [*DONE, *READ, "done", "next"], State.OPEN),
    ("exchanged limbs", COMPLETE | {"upper_tiller": 175, "lower_tiller": 179}, ["done", "stop"], State.ASK),
    ("a foreign inspection", COMPLETE | {"inspection_source": "other"},
     ["done", "next", *READ, "done"], State.OPEN),
]  # fmt: skip


@pytest.mark.parametrize(("record", "wanted", "state"), [row[1:] for row in WAYS], ids=[row[0] for row in WAYS])
def test_the_way_knows_what_the_record_holds(record: dict[str, Any], wanted: list[str], state: State) -> None:
    answer = answered(record, "start")
    # Nothing follows a stop.
    assert marks(record) == wanted + ([] if "stop" in wanted else ON_THE_BOW)
    assert answer.state is state
    pages = [stage.page for stage in stages(answer) if stage.page != "log" or stage.anchor == ""]
    assert pages == (FELT if can_be_felt(record.get("bolt_family", "flat")) else MAKERS)[: len(pages)]


def test_one_stage_is_next_unless_it_is_done_or_halted() -> None:
    """Over the drawn records: exactly one next; none after a stop and none once all is done."""
    seen = set()
    for _, answer in answers("start"):
        found = [stage.mark for stage in stages(answer)]
        assert set(found) <= {"done", "next", "open", "read", "stop"}
        if "stop" in found:
            assert found.index("stop") == len(found) - 1
            assert answer.state in (State.STOP, State.ASK)
        elif answer.state is State.GO:
            assert set(found) <= {"done", "read"}
        elif answer.state is State.OPEN:
            assert found.count("next") == 1
            assert "open" not in found[: found.index("next")]
        seen.add(answer.state)
    assert {State.STOP, State.GO, State.OPEN} <= seen


def test_it_never_sounds_better_than_the_worksheet() -> None:
    """Over the drawn records, both pages asked: go here only where the worksheet says go."""
    compared = 0
    for (record, here), (_, there) in zip(outcomes("start"), outcomes("safe-range"), strict=True):
        if isinstance(there, Refusal):
            assert isinstance(here, Answer)
            assert here.state is not State.GO, record
        elif isinstance(here, Answer) and here.state is State.GO:
            assert there.state is State.GO, record
            compared += 1
    assert compared > 20


@pytest.mark.parametrize(
    ("change", "state", "mark", "words"),
    [
        ({"upper_now_turns": 6}, State.STOP, "stop", "the upper bolt is at 6"),
        ({"lower_now_side": "in"}, State.STOP, "stop", "the lower bolt is 2 turns past flush"),
        ({"margin": 2, "upper_touch_turns": 3}, State.STOP, "stop", "no turn is safe on the upper bolt"),
        ({"margin": 0.1}, State.OPEN, "next", "some of them cannot be used"),
        ({"lower_touch_turns": 0.01}, State.OPEN, "next", "some of them cannot be used"),
    ],
)
def test_the_worksheets_no_is_told(change: dict[str, Any], state: State, mark: str, words: str) -> None:
    answer = answered(COMPLETE | change, "start")
    assert answer.state is state
    worksheet = next(stage for stage in stages(answer) if stage.page == "safe-range")
    assert (worksheet.mark, words in worksheet.note) == (mark, True)


def test_every_page_it_leads_to_is_in_the_site() -> None:
    """The names of pages are those of mkdocs.yml."""
    assert set(FELT) <= page_names()


def test_what_is_left_is_counted() -> None:
    """Half a record: of thirteen stages the inspection and the worksheet are left; to read is nobody's duty."""
    assert "2 of 13 stages are left." in answered(HALF, "start").verdict
    assert "1 of 13 stages are left." in answered(GATE | {"bolt_family": "flat"}, "start").verdict
    notes = [stage.note for stage in stages(answered(HALF, "start"))]
    assert notes[1] == "2 of 20 looked at"
    assert notes[5] == "0 of 12 readings entered"
    notes = [stage.note for stage in stages(answered(COMPLETE, "start"))]
    assert notes[1] == "by the short list; of the full list, 3 of 20 looked at"
    assert notes[5] == "12 of 12 readings entered; both bolts are inside their safe range"


@pytest.mark.parametrize(
    ("family", "words"),
    [
        ("flat", "can be felt"),
        ("stop", "whichever comes first"),
        ("swivel", "Only the maker's range"),
        ("pivot", "Only the maker's range"),
        ("clamp", "adjusts nothing"),
        ("unknown", "must be known which bolt"),
    ],
)
def test_it_says_what_applies_to_the_bolt(family: str, words: str) -> None:
    said = points_of(answered({"bolt_family": family}, "start"), "method")
    assert words in said[0]
    assert points_of(answered({}, "start"), "method") == ()


def test_it_refuses_nothing_and_promises_nothing() -> None:
    bad = {"upper_touch_turns": "x", "margin": "nan", "turns_shown": "abc", "slot_width": 30, "head_diameter": 8}
    assert answered(bad, "start").state is State.OPEN
    done = answered(COMPLETE, "start")
    assert "does not test strength" in done.verdict
    assert "assumptions" in done.verdict


def test_the_bow_is_called_by_its_name_and_the_next_page_by_what_is_missing() -> None:
    done = answered(COMPLETE | {"bow_name": "Club bow 3"}, "start")
    assert done.title == "Club bow 3: both bolts are inside their safe range"
    assert "weigh and measure" in done.verdict
    assert "plan the change" in answered(COMPLETE | STRUNG, "start").verdict
