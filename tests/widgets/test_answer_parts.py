"""Where the parts of an answer belong, by zones; that every part's name is declared, so that a page can place it."""

from __future__ import annotations

import json
import random
from functools import cache
from typing import Any

import pytest

from helpers import matrix
from helpers.asking import ALL_LENGTHS, COMPLETE, LOOKED_OVER, MAKER, STRUNG, Data, changed
from helpers.drawn_answers import answers
from helpers.records import some
from page_parts import OF_THE_FRAME, names_of
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import (
    Answer,
    DeferredBlock,
    Drawing,
    Line,
    PartVerdict,
    Points,
    Refusal,
    State,
    Tally,
    Zone,
    name_of,
)
from quarterturn.widgets.render import pieces
from quarterturn.worker_interface import ask

pytestmark = pytest.mark.long

TODAY = 739797
"""30 June 2026 as a count of days."""
OWN: Data = COMPLETE | STRUNG | LOOKED_OVER
TURNED: Data = {"date": "2026-06-05", "upper_at": 2, "lower_at": 1.5, "weight": 38.4}
TURNED |= {"upper_tiller": 179, "lower_tiller": 175}
JUMPS = [{"date": f"2026-0{month}-01", "weight": 38 + 9 * (month == 4)} for month in range(1, 6)]
BY_HAND: dict[str, Data] = {
    "nothing": {"version": 1},
    "complete": COMPLETE,
    "one bolt": changed(COMPLETE, lower_touch_turns=None),
    "the other bolt": changed(COMPLETE, upper_touch_turns=None),
    "a maker's range": MAKER,
    "everything": OWN | ALL_LENGTHS | {"wanted_weight": 39, "wanted_tiller": 3, "thread_diameter": 9.5},
    "a turn": OWN | ALL_LENGTHS | {"upper_change": -1, "lower_change": -0.5},
    "a turn too far": OWN | {"upper_change": 9},
    "a strong turn": OWN | {"upper_change": -2, "lower_change": -1.5, "marked_weight": 38},
    "under way": OWN | {"wanted_weight": 39, "planned_on": "2026-06-01", "log": [TURNED]},
    "an alarm": OWN | {"wanted_weight": 39, "log": [TURNED | {"weight": 46}]},
    "an arrow": OWN | {"arrow_mass": 300, "arrow_spine": 700, "least_mass_per_pound": 6, "upper_change": -0.5},
    "too light an arrow": OWN | {"arrow_mass": 150, "least_mass_per_pound": 6},
    "a long log": OWN | {"log": JUMPS},
    "a code": OWN | {"card_size": "index", "bow_name": "Club bow 3"},
    "a push": OWN | {"strip_pushed": 3, "strip_wanted": 0.2},
    "a tried turn": OWN | {"upper_tried_tiller": 177.5, "lower_tried_tiller": 177.5},
    "no cover": {"head_diameter": 19, "upper_rim_to_butt": 13},
    "a task": {"practice_task": 4711, "practice_student": 3, "practice_key": "yes", "practice_shown": "yes",
               "practice_zero": -2, "practice_touch": 3, "practice_stands": "inside",
               "practice_lessons": "1, 8", "lesson_moves": "heavier", "lesson_stop": "on"},
    "a curve": OWN | {"scale_readings": [{"draw": draw, "weight": weight} for draw, weight in
                                         ((16, 12), (20, 18), (24, 25.5), (28, 38))]},
}  # fmt: skip


def asked(record: Data, widget: str) -> Answer | None:
    """The answer; None where the record is refused."""
    try:
        return WIDGETS[widget].answer(Values(from_data(record).record, "https://example.org/qt/", TODAY))
    except Refusal:
        return None


@cache
def with_gaps() -> tuple[Data, ...]:
    """Drawn records of which entries are taken away, so that something of every kind is missing."""
    rng = random.Random(13)
    return tuple(
        {name: entry for name, entry in record.items() if rng.random() < 0.8} for record in some(150, start=7000)
    )[::3]


@cache
def asked_by_hand(widget: str) -> tuple[tuple[str, Answer], ...]:
    records = {**BY_HAND, **matrix.RECORDS}
    return tuple((name, answer) for name, record in records.items() if (answer := asked(record, widget)) is not None)


each_widget = pytest.mark.parametrize("widget", WIDGETS)


@pytest.mark.long
@each_widget
def test_every_parts_name_is_declared(widget: str) -> None:
    """A page that places a block that is not declared ends the build, and one that nobody declares is never placed."""
    declared, given = names_of(WIDGETS[widget]), set()
    for answer in (*(answer for _, answer in answers(widget)), *(asked(record, widget) for record in with_gaps())):
        given |= {name_of(part) for part in answer.parts} if answer is not None else set()
    for _, answer in asked_by_hand(widget):
        given |= {name_of(part) for part in (*answer.parts, *answer.blocks)}
    assert given - declared == set()
    # And a name that is declared is given by one of these bows: of a name that none gives a slip would stay unseen.
    assert declared - given <= set(OF_THE_FRAME)


@each_widget
def test_a_deferred_part_is_made_under_its_own_name(widget: str) -> None:
    """The page keeps a place by the part's name; what is made later must go there."""
    for record, answer in asked_by_hand(widget):
        for part in answer.parts:
            if isinstance(part, DeferredBlock):
                names = {part.name} if part.name != "sheet" else {"sheet-a6", "sheet-index"}  # by the card's size
                assert {name_of(block) for block in part.made} <= names, (record, part.name)
                assert len(part.made) <= 1


@each_widget
def test_no_name_is_given_twice(widget: str) -> None:
    for record, answer in asked_by_hand(widget):
        names = [name_of(part) for part in answer.parts]
        assert len(set(names)) == len(names), record


# Zones


def blocks_of(answer: Answer) -> list[tuple[Zone, Any]]:
    """Every block that is made, with the zone of its part."""
    made = []
    for part, zone in zip(answer.parts, answer.zones, strict=True):
        made += [(zone, block) for block in (part.made if isinstance(part, DeferredBlock) else (part,))]
    return made


@each_widget
def test_warnings_come_right_under_the_verdict_and_nothing_else_does(widget: str) -> None:
    """Whether they are made at once or later; what leads an answer is what is known of the bow and the way back."""
    seen: set[Zone] = set()
    for record, answer in (*asked_by_hand(widget), *((str(record), answer) for record, answer in answers(widget, 20))):
        for place, (zone, block) in enumerate(blocks_of(answer)):
            name = name_of(block)
            warns = isinstance(block, Points) and block.kind in ("stop", "caution") and name != "cautions"
            leads = name in ("findings", "also", "way-back") or (name == "next" and place < 4)
            assert (zone is Zone.TOP) <= (warns or leads), (record, name)
            assert warns <= (zone is Zone.TOP), (record, name)
            seen.add(zone)
    assert {Zone.REST, Zone.END} <= seen
    assert Zone.NEXT in seen or widget == "start"  # its lists lead everywhere


@each_widget
def test_lines_verdicts_counts_and_small_pictures_stand_only_where_a_page_puts_them(widget: str) -> None:
    for record, answer in asked_by_hand(widget):
        for zone, block in blocks_of(answer):
            small = isinstance(block, Drawing) and block.small
            aside = isinstance(block, Line | PartVerdict | Tally) or small
            assert (zone is Zone.ASIDE) is aside, (record, name_of(block))


@each_widget
def test_cautions_end_every_answer_and_what_comes_next_is_told_once(widget: str) -> None:
    """At the foot, but where something has to be settled: then right under what is to be settled."""
    for record, answer in asked_by_hand(widget):
        zones = dict(zip(map(name_of, answer.parts), answer.zones, strict=True))
        assert name_of(answer.parts[-1]) == "cautions"
        assert zones["cautions"] is Zone.END
        ways = [zone for name, zone in zones.items() if name == "next"]
        assert len(ways) <= 1
        if answer.state in (State.STOP, State.NO_WINDOW, State.ASK) and widget != "after":
            assert ways == [Zone.TOP], record
        leading = answer.zones[: answer.leading]
        assert set(leading) <= {Zone.TOP}


def test_what_leads_is_before_everything_else() -> None:
    answer = asked(matrix.RECORDS["past first touch"], "safe-range")
    assert answer is not None
    assert [name_of(part) for part in answer.parts[: answer.leading]] == ["way-back", "next"]
    (also,) = [asked(matrix.RECORDS["someone else's"], "pocket")]
    assert also is not None
    assert [name_of(part) for part in also.parts[: also.leading]] == ["also", "next"]


# The same in the worker's reply


@each_widget
@pytest.mark.parametrize("record", BY_HAND)
def test_the_reply_has_a_place_for_every_piece(widget: str, record: str) -> None:
    """In the answer's order: the verdict, its headline and line, then every part with its zone."""
    answer = asked(BY_HAND[record], widget)
    question = {"ask": "answer", "widget": widget, "record": BY_HAND[record], "today": "2026-06-30"}
    reply = json.loads(ask(json.dumps(question | {"address": "https://example.org/qt/"})))
    if answer is None:
        assert (reply["places"], reply["html"]) == ([], None)
        return
    first = [["verdict", "verdict"], ["headline", "aside"], ["line", "aside"]]
    wanted = [[name_of(part), zone.value] for part, zone in zip(answer.parts, answer.zones, strict=True)]
    assert reply["places"] == first + wanted
    assert len(reply["cuts"]) == len(reply["places"])
    assert sum(reply["cuts"]) == len(reply["html"].encode("utf-16-le")) // 2


@each_widget
def test_only_the_blocks_that_are_wanted_are_made(widget: str) -> None:
    """Whichever is asked for: it, and what is known against the bow; all other pieces are empty."""
    record = BY_HAND["everything"] | {"inspection_source": "other"}
    answer = asked(record, widget)
    assert answer is not None
    whole = {piece.name: piece.html for piece in pieces(answer)}
    top = {piece.name for piece in pieces(answer) if piece.zone == Zone.TOP}
    for name in list(whole)[3::4]:
        question = {"ask": "answer", "widget": widget, "record": record, "blocks": [name], "today": "2026-06-30"}
        reply = json.loads(ask(json.dumps(question | {"address": "https://example.org/qt/"})))
        at, made = 0, {}
        for (place, _), length in zip(reply["places"], reply["cuts"], strict=True):
            made[place] = reply["html"].encode("utf-16-le")[2 * at : 2 * (at + length)].decode("utf-16-le")
            at += length
        kept = {"verdict", "headline", "line", name, *top}
        assert {place for place, html in made.items() if html} <= kept
        for place in kept & made.keys():
            assert made[place] == whole[place]
