"""The inspection gate, over every combination of answers (issue 2, item 4: go, stop, or ask; common practice).

What each answer must lead to is written down here by hand, not taken from the program.
"""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from helpers.asking import COMPLETE, GATE, MAKER, answered, changed, values
from quarterturn.bench.inspection import InspectionOutcome, inspect
from quarterturn.bench.judgement import Level, judge
from quarterturn.widgets.answer import State

STOPS = {
    ("check_manual", "forbids"),
    ("check_string_off", "on"),
    ("check_limbs", "fault"),
    ("check_butt", "fault"),
    ("check_bolt", "fault"),
    ("check_match", "fault"),
}
ASKS = {
    ("check_limbs", "unsure"),
    ("check_butt", "unsure"),
    ("check_bolt", "unsure"),
    ("check_bolt", "seized"),
    ("check_match", "unsure"),
    ("check_lock", "unsure"),
}
ANSWERS: dict[str, tuple[str | None, ...]] = {
    "check_manual": ("read", "none", "forbids", None),
    "check_string_off": ("off", "on", None),
    "check_limbs": ("fine", "unsure", "fault", None),
    "check_butt": ("fine", "unsure", "fault", None),
    "check_bolt": ("fine", "unsure", "fault", "seized", None),
    "check_match": ("fine", "unsure", "fault", None),
    "check_lock": ("loose", "none", "unsure", None),
}


def meant(given: dict[str, str | None]) -> InspectionOutcome:
    answers = set(given.items())
    if answers & STOPS:
        return InspectionOutcome.STOP
    if answers & ASKS:
        return InspectionOutcome.ASK
    return InspectionOutcome.OPEN if None in given.values() else InspectionOutcome.GO


@pytest.mark.long
def test_every_combination_of_answers() -> None:
    seen = set()
    for combination in itertools.product(*ANSWERS.values()):
        given = dict(zip(ANSWERS, combination, strict=True))
        gate = inspect(values(changed(given)))
        seen.add(gate.outcome)
        assert gate.outcome is meant(given), given
        if gate.findings:
            assert gate.findings[0].outcome is gate.outcome
    assert seen == set(InspectionOutcome)


READINGS: dict[str, dict[str, Any]] = {
    "nothing else": {},
    "all in order": COMPLETE,
    "the maker's range": MAKER,
    "past first touch": COMPLETE | {"upper_now_turns": 9},
    "inside flush": COMPLETE | {"lower_now_side": "in"},
    "no window": COMPLETE | {"margin": 2, "upper_touch_turns": 3},
    "letters": COMPLETE | {"upper_touch_turns": "five", "rise": "nan"},
    "no such geometry": COMPLETE | {"slot_width": 30, "head_diameter": 8},
    "an unknown bolt": COMPLETE | {"bolt_family": "unknown"},
}


@pytest.mark.parametrize(("name", "answer"), sorted(STOPS))
@pytest.mark.parametrize("readings", READINGS.values(), ids=READINGS.keys())
def test_a_stop_overrides_whatever_was_read(readings: dict[str, Any], name: str, answer: str) -> None:
    found = answered(readings | {name: answer})
    assert found.state is State.STOP
    assert found.title.startswith("Stop")
    assert found.all_values() == ()
    assert not any(hasattr(block, "picture") for block in found.blocks)


@pytest.mark.parametrize(("name", "answer"), sorted(ASKS))
@pytest.mark.parametrize("readings", READINGS.values(), ids=READINGS.keys())
def test_a_doubt_asks_and_shows_no_window(readings: dict[str, Any], name: str, answer: str) -> None:
    found = answered(readings | {name: answer})
    stopped = judge(values(readings)).level is Level.STOP
    assert found.state in ((State.STOP, State.NO_WINDOW) if stopped else (State.ASK,))
    assert found.all_values() == ()
    said = " ".join([found.verdict, *(str(block) for block in found.blocks)])
    assert any(word in said for word in ("technician", "coach", "maker"))


def test_an_unanswered_question_keeps_the_answer_an_example() -> None:
    for name in GATE:
        assert answered(changed(COMPLETE, **{name: None})).state is State.EXAMPLE
        assert answered(changed(MAKER, **{name: None})).state is State.EXAMPLE


def test_every_stop_is_found_when_there_are_many() -> None:
    record = COMPLETE | dict(STOPS)
    found = inspect(values(record))
    assert {finding.field for finding in found.findings} == {name for name, _ in STOPS}
    text = str(answered(record).blocks)
    for finding in found.findings:
        assert finding.sentence in text
