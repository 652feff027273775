"""The verdict on one bolt and the headlines: said when that bolt is done, and never better than what is known.

Windows are those of tests/bench, which are held against a second computation there; quarters are counted here (C).
"""

from __future__ import annotations

import itertools
import random
import re
from typing import Any

import pytest

from helpers import matrix
from helpers.asking import COMPLETE, GATE, LOOKED_OVER, MAKER, Data, answered, changed, lines_of, values, windows
from helpers.drawn_answers import answers
from helpers.records import some
from quarterturn.bench.judgement import judge
from quarterturn.bench.window import Window
from quarterturn.record.fields import BOLTS
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, PartVerdict, Refusal, State
from quarterturn.widgets.frame import GRAVE, LONGEST_LINE

OTHER = {"upper": "lower", "lower": "upper"}


def verdicts(answer: Answer) -> dict[str, PartVerdict]:
    return {block.name: block for block in answer.blocks if isinstance(block, PartVerdict)}


def quarters(window: Window) -> tuple[float, float] | None:
    """The first and last whole quarter inside, counted one by one."""
    inside = [count / 4 for count in range(-40, 160) if window.inner.usable <= count / 4 <= window.outer.usable]
    return (inside[0], inside[-1]) if inside else None


def written(turns: float) -> str:
    whole, rest = int(turns), ("", "¼", "½", "¾")[round(4 * (turns % 1))]
    return f"{whole or ''}{rest}" or "0"


def only(bolt: str, **more: Any) -> Data:
    """A record in which one bolt is done, and of the other first touch is missing."""
    return changed(COMPLETE, **{f"{OTHER[bolt]}_touch_turns": None}, **more)


# When there is one


@pytest.mark.parametrize("bolt", BOLTS)
def test_a_bolt_that_is_done_has_its_verdict(bolt: str) -> None:
    found = verdicts(answered(only(bolt)))
    assert list(found) == [f"{bolt}-verdict"]
    verdict = found[f"{bolt}-verdict"]
    assert (verdict.part, verdict.state) == (f"{bolt.capitalize()} bolt", State.GO)
    first, last = quarters(windows(COMPLETE)[BOLTS.index(bolt)]) or (0, 0)
    place = written(COMPLETE[f"{bolt}_now_turns"])
    assert verdict.title == f"Use {written(first)} to {written(last)} turns out; it is at {place}: inside"
    assert "does not test strength" in verdict.text
    assert verdict.text.endswith("Do not string the bow before the other bolt is done.")


@pytest.mark.parametrize("bolt", BOLTS)
@pytest.mark.parametrize(
    "name",
    [
        *("*_touch_turns", "*_touch_found", "*_now_turns", "*_now_side", "*_rim_to_butt"),
        *("flush_way", "head_diameter", "bolt_family", *GATE),
    ],
)
def test_there_is_none_while_one_of_its_own_readings_or_the_inspection_is_missing(bolt: str, name: str) -> None:
    record = changed(only(bolt), **{name.replace("*", bolt): None})
    assert verdicts(answered(record)) == {}


@pytest.mark.parametrize("bolt", BOLTS)
def test_the_full_inspection_stands_in_for_the_short_one(bolt: str) -> None:
    record = {name: entry for name, entry in only(bolt).items() if name not in GATE} | LOOKED_OVER
    assert list(verdicts(answered(record))) == [f"{bolt}-verdict"]


@pytest.mark.parametrize("bolt", BOLTS)
@pytest.mark.parametrize(("side", "turns"), [("out", 9), ("out", 5.0), ("out", 0.1), ("in", 0.5)])
def test_there_is_none_where_the_bolt_is_outside(bolt: str, side: str, turns: float) -> None:
    """That is a stop for the whole bow, whatever the other bolt waits for."""
    answer = answered(only(bolt) | {f"{bolt}_now_side": side, f"{bolt}_now_turns": turns})
    assert answer.state is State.STOP
    assert verdicts(answer) == {}


def test_there_is_none_once_both_are_done() -> None:
    for record in (COMPLETE, MAKER):
        assert verdicts(answered(record)) == {}


OPEN: dict[str, Data] = {
    "looked over by somebody else": {"inspection_source": "other"},
    "other limbs": {"events": [{"date": "2026-06-10", "happened": "limbs"}]},
    "an entry of the log that cannot be used": {"log": [{"date": "2026-06-05", "upper_at": "x"}]},
    "a place without a day": {"log": [{"upper_at": 2, "lower_at": 2}]},
    "a long time ago": LOOKED_OVER | {"inspected_on": "2025-01-01"},
}
"""What comes before any range, though nothing that is known speaks against the bow."""


@pytest.mark.parametrize("bolt", BOLTS)
@pytest.mark.parametrize("what", OPEN)
def test_what_is_open_comes_before_any_range(bolt: str, what: str) -> None:
    record = only(bolt) | OPEN[what]
    answer = WIDGETS["safe-range"].answer(Values(from_data(record).record, today=739797))  # 30 June 2026
    assert answer.state is State.EXAMPLE
    assert verdicts(answer) == {}
    for said in (answer.title, answer.headline, answer.line):
        assert "inside" not in said
        assert "use" not in said.lower().split()
    assert "Do not string the bow yet." in answer.verdict


def drawn(count: int) -> list[tuple[Data, Answer]]:
    """Answers to drawn records of which some entries were taken away."""
    rng, found = random.Random(21), []
    for record in some(count, start=4000):
        drop = rng.choice([0.0, 0.02, 0.06])
        gone = f"{rng.choice(BOLTS)}_touch_turns" if rng.random() < 0.5 else ""
        less = {name: entry for name, entry in record.items() if rng.random() >= drop and name != gone}
        try:
            found.append((less, WIDGETS["safe-range"].answer(Values(from_data(less).record))))
        except Refusal:
            continue
    return found


@pytest.mark.long
def test_no_bolts_verdict_is_another_than_the_judgements() -> None:
    """Over drawn records: only of a bow that nothing speaks against, of a bolt that is known and inside its window."""
    seen = 0
    for record, answer in drawn(600):
        found = verdicts(answer)
        judged = judge(Values(from_data(record).record))
        by_name = {f"{bolt.name}-verdict": bolt for bolt in judged.bolts}
        both = all(bolt.known for bolt in judged.bolts)
        assert both or len(found) <= 1
        for name, verdict in found.items():
            bolt = by_name[name]
            assert judged.level is None
            assert answer.state is State.EXAMPLE
            assert verdict.state is State.GO
            assert bolt.known
            assert not bolt.outside
            assert bolt.window is not None
            assert bolt.at is not None
            assert bolt.window.inner.usable <= bolt.at <= bolt.window.outer.usable
            assert not [each for each in judged.missing if each.startswith(("check_", "bolt_family"))]
            # By the log both may be known while the count at the bench is still missing.
            waits = "yet" if both else "before the other bolt is done"
            assert verdict.text.endswith(f"Do not string the bow {waits}.")
            seen += 1
        if judged.level is not None:
            assert not found
    assert seen > 15


@pytest.mark.parametrize("record", matrix.RECORDS)
def test_a_bolts_verdict_is_never_beside_a_stop(record: str) -> None:
    if matrix.state_of(record, "safe-range") in ("stop", "ask", "no_window", "open", "go"):
        assert verdicts(answered(matrix.RECORDS[record])) == {}


# Headlines


def test_both_bolts_have_a_line_of_the_headline() -> None:
    lines = answered(COMPLETE).headline.split("\n")
    for bolt, line in zip(BOLTS, lines, strict=True):
        first, last = quarters(windows(COMPLETE)[BOLTS.index(bolt)]) or (0, 0)
        place = written(COMPLETE[f"{bolt}_now_turns"])
        assert line == (
            f"{bolt.capitalize()} bolt: use {written(first)} to {written(last)} turns out; it is at {place}: inside."
        )


@pytest.mark.long
def test_a_headline_says_inside_only_of_a_bolt_of_which_nothing_is_missing() -> None:
    """And of the other what is to go, and that the bow is not strung."""
    counted = {"inside": 0, "to go": 0}
    for record, answer in (*answers(first=300), *drawn(300)):
        if answer.headline == "":
            continue
        judged = judge(Values(from_data(record).record))
        lines = dict.fromkeys(BOLTS, "") | {
            line.split()[0].lower(): line for line in answer.headline.split("\n") if " bolt: " in line
        }
        looked = not [each for each in judged.missing if each.startswith(("check_", "bolt_family"))]
        for bolt in judged.bolts:
            line = lines[bolt.name]
            if "inside" in line:
                assert bolt.known
                assert looked
                assert not bolt.missing
                counted["inside"] += 1
            if bolt.missing and line:
                assert line.endswith((" to go.", "all read."))
                counted["to go"] += "to go" in line
        if answer.state is State.EXAMPLE:
            assert "Do not string the bow yet." in answer.headline or judged.level is not None
    assert min(counted.values()) > 50


@pytest.mark.parametrize("count", range(6))
def test_readings_to_go_are_counted_down(count: int) -> None:
    """Three readings a bolt and two of both: the kind of bolt and the inspection are counted apart."""
    boxes = ["upper_touch_turns", "upper_now_turns", "upper_rim_to_butt", "flush_way", "head_diameter"]
    answer = answered(changed(COMPLETE, **dict.fromkeys(boxes[:count])))
    (first, _, *last) = answer.headline.split("\n")
    own, both = min(count, 3), max(count - 3, 0)
    if count:
        assert first == f"Upper bolt: {own} reading{'s' * (own > 1)} to go."
        assert lines_of(answer)["upper-line"].text == f"Upper: {own} to go"
        told = [f"Both bolts: {both} reading{'s' * (both > 1)} to go."] if both else []
        assert last == [*told, "Do not string the bow yet."]
    else:
        assert first.endswith(": inside.")


def test_what_is_of_both_bolts_is_told_once_their_own_readings_are_in() -> None:
    answer = answered(changed(COMPLETE, head_diameter=None))
    assert answer.headline.split("\n") == [
        "Upper bolt: all read.",
        "Lower bolt: all read.",
        "Both bolts: 1 reading to go.",
        "Do not string the bow yet.",
    ]
    assert answer.title == "Upper bolt: all read. Lower bolt: all read. Both bolts: 1 reading to go"
    assert {lines_of(answer)[f"{bolt}-line"].text for bolt in BOLTS} == {"Both bolts: 1 to go"}


@pytest.mark.parametrize("count", [1, 3, 7])
def test_answers_to_go_are_told_after_the_readings(count: int) -> None:
    record = changed(COMPLETE, **dict.fromkeys(tuple(GATE)[:count]))
    lines = answered(record).headline.split("\n")
    assert lines[:2] == ["Upper bolt: all read.", "Lower bolt: all read."]
    to_go = f"{count} answer{'s' * (count > 1)} to go"
    assert lines[2:] == [f"Look the bow over first: {to_go}. Do not string the bow yet."]
    assert lines_of(answered(record))["upper-line"].text == "Upper: look the bow over first"


def test_there_is_no_headline_before_anything_is_the_readers_own() -> None:
    for name in WIDGETS:
        assert answered({}, name).headline == ""


@pytest.mark.parametrize("page", WIDGETS)
def test_where_the_verdict_is_grave_it_is_read_first(page: str) -> None:
    """Over the bows of every kind: no headline beside a stop or a question; the strip says what the verdict says."""
    for record in matrix.RECORDS.values():
        try:
            answer = answered(record, page)
        except Refusal:
            continue
        if answer.state in GRAVE:
            assert answer.headline == ""
            assert answer.line.rstrip("…") == answer.title[: len(answer.line.rstrip("…"))]
        assert 0 < len(answer.line) <= LONGEST_LINE
        assert not re.search(r"\d[.]\d\d|±", answer.headline) or page not in ("safe-range", "start", "inspection")


def test_the_line_of_the_bolt_at_hand_is_the_pages() -> None:
    for bolt, record in itertools.product(BOLTS, (COMPLETE, only("upper"), only("lower"))):
        answer = answered(record | {"limb_shown": bolt})
        assert answer.line == lines_of(answer)[f"{bolt}-line"].text
    assert answered({}).line == "Example: a made-up bow"
    assert values(COMPLETE).problems == ()


@pytest.mark.long
@pytest.mark.parametrize("bolt", BOLTS)
def test_a_bolts_line_goes_only_where_it_is_inside(bolt: str) -> None:
    lines = lines_of(answered(only(bolt)))
    assert (lines[f"{bolt}-line"].mark, lines[f"{OTHER[bolt]}-line"].mark) == ("go", "plain")
    for _, answer in drawn(200):
        for name, line in lines_of(answer).items():
            if name.endswith("-line"):
                assert (line.mark == "go") is line.text.endswith("inside")
