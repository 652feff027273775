"""Start: what to do, in four lists, and how far each stage has come: by hand from issue 3, item 1."""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import (
    ALONE,
    CLAMP,
    COMPLETE,
    GATE,
    LOOKED_OVER,
    MAKER,
    STRUNG,
    answered,
    changed,
    lines_of,
    points_of,
)
from helpers.drawn_answers import answers, outcomes
from helpers.nav import page_names
from quarterturn.bench.family import can_be_felt
from quarterturn.widgets.answer import Answer, Refusal, Stage, State, Way

LISTS = {
    "learn": ["pocket", "load", "lessons", "practice"],
    "measure": ["", "before", "safe-range", "bow"],
    "set": ["set", "after"],
    "keep": ["keep"],
}
"""The pages as the menu has them, group by group (mkdocs.yml)."""
FELT = [page for pages in LISTS.values() for page in pages]
MAKERS = FELT[4:]
ON_THE_BOW = ["read"] * 3
CURVE = [{"draw": 28, "weight": 38}]


def lists(answer: Answer) -> dict[str, tuple[Stage, ...]]:
    """Its four lists, those that are there, in their order."""
    return {block.name: block.stages for block in answer.blocks if isinstance(block, Way) and block.name in LISTS}


def stages(answer: Answer) -> tuple[Stage, ...]:
    return tuple(stage for listed in lists(answer).values() for stage in listed)


DONE, READ = ("done", "done"), ("read",) * 4
HALF = {"bolt_family": "flat", "check_manual": "read", "limb_cracks": "fine"}
WAYS: list[tuple[str, dict[str, Any], list[str], State]] = [
    ("empty", {}, [*READ, "next", "open", "open"], State.EXAMPLE),
    ("the bolt", {"bolt_family": "flat"}, [*READ, "done", "next", "open"], State.OPEN),
    ("a bolt with a stop", {"bolt_family": "stop"}, [*READ, "done", "next", "open"], State.OPEN),
    ("half", HALF, [*READ, "done", "next", "open"], State.OPEN),
    ("looked over", LOOKED_OVER | {"bolt_family": "flat"}, [*READ, *DONE, "next"], State.OPEN),
    ("looked over, no bolt", LOOKED_OVER, [*READ, "next", "done", "open"], State.OPEN),
    ("the short list", GATE | {"bolt_family": "flat"}, [*READ, *DONE, "next"], State.OPEN),
    ("readings first", changed(COMPLETE, check_limbs=None), [*READ, "done", "next", "done"], State.OPEN),
    ("one reading left", changed(COMPLETE, head_diameter=None), [*READ, *DONE, "next"], State.OPEN),
    ("a pitch of no bolt", changed(GATE, bolt_family="flat", rise=1), [*READ, *DONE, "next"], State.OPEN),
    ("complete", COMPLETE, [*READ, *DONE, "done"], State.GO),
    ("complete, looked over", COMPLETE | LOOKED_OVER, [*READ, *DONE, "done"], State.GO),
    ("a swivelling head", {"bolt_family": "swivel"}, ["done", "next", "open"], State.OPEN),
    ("a pocket that pivots", {"bolt_family": "pivot"}, ["done", "next", "open"], State.OPEN),
    ("the maker's range", MAKER, ["done", "done", "done"], State.GO),
    ("the maker's range not known", changed(MAKER, maker_out=None), ["done", "done", "next"], State.OPEN),
    ("a stop", {"limb_cracks": "fault"}, [*READ, "next", "stop"], State.STOP),
    ("a stop, bolt known", HALF | {"limb_cracks": "fault"}, [*READ, "done", "stop"], State.STOP),
    ("a stop, all else", COMPLETE | {"slot_root": "fault"}, [*READ, "done", "stop"], State.STOP),
    ("a doubt", HALF | {"limb_cracks": "unsure"}, [*READ, "done", "stop"], State.ASK),
    ("a clamping bolt", {"bolt_family": "clamp"}, ["done", "next"], State.OPEN),
    ("a clamping bolt, looked over", CLAMP, ["done", "done"], State.GO),
    ("a clamping bolt, its pin loose", CLAMP | {"clamp_pin": "fault"}, ["done", "stop"], State.STOP),
    *((f"{kind}, chosen", {"bolt_family": kind}, ["done", "next"], State.OPEN) for kind in ("under", "two", "fixed")),
    *((f"{kind}, looked over", ALONE[kind], ["done", "done"], State.GO) for kind in ("under", "two", "fixed")),
    ("an unknown bolt", {"bolt_family": "unknown"}, ["stop"], State.ASK),
    ("clamping, the other list", LOOKED_OVER | {"bolt_family": "clamp"}, ["done", "next"], State.OPEN),
    ("a bolt outside", COMPLETE | {"upper_now_turns": 9}, [*READ, *DONE, "stop"], State.STOP),
    ("by the log outside", COMPLETE | {"log": [{"date": "2026-05-01", "upper_at": 9}]},
     [*READ, *DONE, "stop"], State.STOP),
    ("a crack", COMPLETE | {"events": [{"date": "2026-05-01", "happened": "crack"}]},
     [*READ, *DONE, "done", "stop"], State.STOP),
    ("an entry that cannot be used", COMPLETE | {"log": [{"date": "2026-05-01", "upper_at": "x"}]},
     [*READ, *DONE, "done", "next"], State.OPEN),
    ("exchanged limbs", COMPLETE | {"upper_tiller": 175, "lower_tiller": 179}, [*READ, "done", "stop"], State.ASK),
    ("a foreign inspection", COMPLETE | {"inspection_source": "other"}, [*READ, "done", "next", "done"], State.OPEN),
]  # fmt: skip


@pytest.mark.parametrize(("record", "wanted", "state"), [row[1:] for row in WAYS], ids=[row[0] for row in WAYS])
def test_the_lists_know_what_the_record_holds(record: dict[str, Any], wanted: list[str], state: State) -> None:
    """What is read, then what is measured; the pages after that are for reading until their turn comes."""
    answer = answered(record, "start")
    assert answer.state is state
    found = lists(answer)
    to_do = [stage for stage in stages(answer) if stage.page not in ("bow", "set", "after", "keep")]
    to_settle = [stage for stage in found.get("keep", ()) if stage.mark != "read"]
    assert [stage.mark for stage in (*to_do, *to_settle)] == wanted
    # Nothing follows a stop.
    rest = [stage.mark for stage in stages(answer) if stage not in (*to_do, *to_settle)]
    if record.get("bolt_family") in ALONE:  # nothing is turned: it is measured, and written down
        rest += ["read", "read"] if rest else []
    strung = "next" if state is State.GO else "read"
    assert rest == ([] if "stop" in wanted else [strung, *ON_THE_BOW])


def test_weighing_and_measuring_is_next_and_then_done() -> None:
    """A reading of the scale's curve is a draw weight too."""
    for record, mark, note in (
        (COMPLETE, "next", "with a scale and a tape"),
        (COMPLETE | {"brace_height": 222}, "next", "1 of 4 readings entered"),
        (COMPLETE | STRUNG, "done", "4 of 4 readings entered"),
        (changed(COMPLETE | STRUNG, draw_weight=None) | {"scale_readings": CURVE}, "done", "4 of 4 readings entered"),
        (STRUNG, "done", "4 of 4 readings entered"),
        ({"brace_height": 222}, "read", "1 of 4 readings entered"),
    ):
        (stage,) = [stage for stage in stages(answered(record, "start")) if stage.page == "bow"]
        assert (stage.mark, stage.note) == (mark, note)


@pytest.mark.parametrize("record", [row[1] for row in WAYS], ids=[row[0] for row in WAYS])
def test_each_stage_is_in_the_list_of_its_page(record: dict[str, Any]) -> None:
    found = lists(answered(record, "start"))
    assert list(found) == [name for name in LISTS if name in found]
    for name, listed in found.items():
        assert listed
        assert {stage.page for stage in listed} <= set(LISTS[name])
    pages = list(dict.fromkeys(stage.page for listed in found.values() for stage in listed))
    assert pages == [page for page in FELT if page in pages]
    if not can_be_felt(record.get("bolt_family", "flat")):
        assert "learn" not in found


def test_one_stage_is_next_unless_it_is_done_or_halted() -> None:
    """Over the drawn records: exactly one next; none after a stop and none once all is done."""
    seen = set()
    for _, answer in answers("start"):
        found = [stage.mark for stage in stages(answer)]
        assert set(found) <= {"done", "next", "open", "read", "stop"}
        if "stop" in found:
            assert found.index("stop") == len(found) - 1
            assert "set" not in lists(answer)
            assert answer.state in (State.STOP, State.ASK)
        elif answer.state is State.GO:
            assert set(found) <= {"done", "read", "next"}
            assert found.count("next") <= 1
        else:
            assert answer.state in (State.OPEN, State.EXAMPLE)
            assert found.count("next") == 1
            assert "open" not in found[: found.index("next")]
        seen.add(answer.state)
    assert {State.STOP, State.GO, State.OPEN} <= seen


def test_it_never_sounds_better_than_the_page_on_the_range() -> None:
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
def test_a_no_of_the_readings_is_told(change: dict[str, Any], state: State, mark: str, words: str) -> None:
    answer = answered(COMPLETE | change, "start")
    assert answer.state is state
    bench = next(stage for stage in stages(answer) if stage.page == "safe-range")
    assert (bench.mark, words in bench.note) == (mark, True)


def test_every_page_of_the_site_is_in_a_list() -> None:
    """The names of pages are those of mkdocs.yml: none that is not there, and none forgotten.

    The rack is a club's: no step on the way of one bow.
    """
    assert set(FELT) == page_names() - {"rack"}
    assert {stage.page for stage in stages(answered({}, "start"))} == page_names() - {"rack"}


def test_what_is_left_is_counted() -> None:
    """Half a record: of eleven stages the inspection and the bench are left; to read is nobody's duty."""
    assert "2 of 11 stages are left." in answered(HALF, "start").verdict
    assert "1 of 11 stages are left." in answered(GATE | {"bolt_family": "flat"}, "start").verdict
    notes = {stage.page: stage.note for stage in stages(answered(HALF, "start"))}
    assert notes["before"] == "2 of 20 looked at"
    assert notes["safe-range"] == "0 of 12 readings entered"
    notes = {stage.page: stage.note for stage in stages(answered(COMPLETE, "start"))}
    assert notes["before"] == "by the short list; of the full list, 3 of 20 looked at"
    assert notes["safe-range"] == "12 of 12 readings entered; both bolts are inside their safe range"


@pytest.mark.parametrize(
    ("family", "words"),
    [
        ("flat", "look it over"),
        ("stop", "look it over"),
        ("swivel", "have the manual at hand"),
        ("pivot", "have the manual at hand"),
        ("clamp", "Leave this bolt alone"),
        ("under", "turn nothing here"),
        ("two", "turn nothing here"),
        ("fixed", "nothing is turned"),
        ("unknown", "Turn nothing"),
    ],
)
def test_the_bolt_just_chosen_is_answered_with_what_comes_next(family: str, words: str) -> None:
    """By hand from model.md 2: flat heads are felt, a swivel and a pivot have the maker's range, the rest stop here."""
    line = lines_of(answered({"bolt_family": family}, "start"))["tell-bolt"].text
    assert words in line
    assert ("Next: look it over" in line) is (family != "unknown")
    assert lines_of(answered({}, "start"))["tell-bolt"].text == ""


@pytest.mark.parametrize(
    ("family", "words"),
    [
        ("flat", "can be felt"),
        ("stop", "whichever comes first"),
        ("swivel", "Only the maker's range"),
        ("pivot", "Only the maker's range"),
        ("clamp", "adjusts nothing"),
        ("under", "nothing is felt for or counted"),
        ("two", "nothing is felt for or counted"),
        ("fixed", "twists in the string"),
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


def test_the_headline_is_of_the_readers_bow_and_only_of_theirs() -> None:
    assert answered({}, "start").headline == ""
    assert answered({"turns_shown": 2.5, "limb_shown": "lower"}, "start").headline == ""  # only the picture was turned
    named = answered({"bolt_family": "flat", "bow_name": "Club bow 3"}, "start")
    assert named.headline == "Club bow 3. Next: look the bow over."
    done = answered(COMPLETE, "start").headline.split("\n")
    assert done == ["Your bow: both bolts are inside their safe range.", "Next: weigh and measure it."]
    for _, answer in answers("start"):
        # Where the verdict itself has to be read first there is none beside it.
        assert (answer.headline == "") or answer.state not in (State.STOP, State.ASK, State.NO_WINDOW)
        assert ("inside" in answer.headline) <= (answer.state is State.GO)
