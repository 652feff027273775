"""Every list of steps names the lock that this bow has, and no other; turns are told in clicks where a detent has them.

What each lock asks for is common practice, no source; how many clicks a turn is, is reckoned here by hand.
"""

from __future__ import annotations

import re

import pytest

from helpers.asking import COMPLETE, STRUNG, Data, answered, changed, lines_of, numbers, points_of, texts
from quarterturn.bench.locks import LOOSENED
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Answer, Steps

WISHED: Data = COMPLETE | STRUNG | {"wanted_weight": 39, "wanted_tiller": 2}
TO_TURN: dict[str, Data] = {
    "safe-range": COMPLETE | STRUNG | {"goal": "middle"},
    "plan": WISHED,
    "carry-out": WISHED,
    "way back": COMPLETE | {"upper_now_turns": 9},
}
PAGE = {"way back": "safe-range"}
NAMES = {
    "set_screw": "set screw",
    "counter_nut": "counter nut",
    "collet": "collet",
    "detent": "detent",
    "drag": "drags evenly",
    "captive": "no ring, pin or lock apart",
    "none": "No lock was seen",
}
LISTS = ("bench", "to-do", "way-back", "each-step", "next-step", "blank-step", "steps", "in-turns")


def said(answer: Answer) -> dict[str, str]:
    """What each list of steps says."""
    return {
        part.name: " ".join(part.steps)
        for part in answer.blocks
        if isinstance(part, Steps) and part.name in LISTS
    }  # fmt: skip


def steps(page: str, **lock: object) -> dict[str, str]:
    return said(answered(TO_TURN[page] | lock, PAGE.get(page, page)))


def test_every_lock_is_asked_here() -> None:
    field = BY_NAME["bolt_lock"]
    assert isinstance(field, ChoiceField)
    assert set(NAMES) == {option.value for option in field.options} - {"unknown"}


@pytest.mark.parametrize("page", TO_TURN)
@pytest.mark.parametrize("lock", NAMES)
def test_steps_name_this_lock_and_no_other(page: str, lock: str) -> None:
    told = steps(page, bolt_lock=lock)
    assert told.keys() == steps(page).keys()
    assert told
    for name, text in told.items():
        if name != "steps":  # a line for each step: what is nothing to do is not in it
            assert NAMES[lock] in text, name
        others = [other for one, other in NAMES.items() if one != lock and other in text]
        assert others == [], name
        assert "Back off the lock" not in text
        assert "Back the lock off" not in text


@pytest.mark.parametrize("page", TO_TURN)
@pytest.mark.parametrize("lock", LOOSENED)
def test_what_is_loosened_is_tightened_again_before_the_bow_is_strung(page: str, lock: str) -> None:
    for name, text in steps(page, bolt_lock=lock).items():
        if name == "bench":
            continue  # it ends with the string off
        first = re.search(r"[Ll]oosen|[Ss]lacken", text)
        assert first, name
        for strung in re.finditer(r"String (it )?with the stringer|, string\b", text):
            between = text[: strung.start()]
            assert max(between.rfind("ighten"), -1) > max(between.rfind("lacken"), between.rfind("oosen")), name


def test_a_captive_bolt_is_never_told_to_come_out() -> None:
    for page in TO_TURN:
        for name, text in steps(page, bolt_lock="captive").items():
            assert "until the thread lets go" not in text, name
    assert "do not count its thread" in steps("safe-range", bolt_lock="captive")["bench"]
    assert "until the thread lets go" in steps("safe-range", bolt_lock="set_screw")["bench"]


@pytest.mark.parametrize("page", TO_TURN)
def test_turns_are_told_in_clicks(page: str) -> None:
    clicking = steps(page, bolt_lock="detent", clicks_a_turn=8)
    turned = " ".join(text for name, text in clicking.items() if name not in ("bench", "each-step", "blank-step"))
    pairs = re.findall(r"(half a turn|a quarter of a turn|[\d.]+ turns?) \((\d+) clicks?\)", turned)
    assert pairs
    sizes = {"half a turn": 0.5, "a quarter of a turn": 0.25}
    for turns, count in pairs:
        size = sizes[turns] if turns in sizes else float(turns.split()[0])
        assert float(count) == 8 * size
    assert not re.search(r"\(\d+ clicks?\)", " ".join(steps(page, bolt_lock="detent").values()))


@pytest.mark.parametrize(("clicks", "between"), [(4, False), (6, True), (8, False), (10, True), (5, True)])
def test_where_a_quarter_is_no_click_it_is_said_where_to_rest(clicks: int, between: bool) -> None:
    for page in TO_TURN:
        told = steps(page, bolt_lock="detent", clicks_a_turn=clicks)
        turning = [text for name, text in told.items() if name not in ("bench", "steps")]
        assert turning
        assert all(("Rest in the last click before it" in text) is between for text in turning)


def test_the_range_is_told_in_clicks() -> None:
    """0.33 and 4.82 turns (with no lock) are 2.64 and 38.6 clicks of 8: inward 3 and 38."""
    answer = answered(COMPLETE | {"bolt_lock": "detent", "clicks_a_turn": 8})
    assert texts(answer)["upper_clicks"] == "3 to 38 clicks out"
    assert (numbers(answer)["upper_inner"], numbers(answer)["upper_outer"]) == (3 / 8, 38 / 8)
    assert "upper_clicks" not in texts(answered(COMPLETE))
    assert lines_of(answer)["upper-tell-now"].text == "It was 2½ turns (20 clicks) out from zero."
    assert lines_of(answer)["upper-tell-touch"].text.startswith("5¼ turns (42 clicks) from zero")


@pytest.mark.parametrize(
    ("record", "told"),
    [
        ({"bolt_lock": "detent"}, "the clicks of one turn are not entered"),
        ({"bolt_lock": "detent", "clicks_a_turn": 6, "upper_now_turns": 2.25}, "is 13.5 clicks, and a bolt rests"),
        ({"bolt_lock": "captive"}, "has met what holds it"),
    ],
)
def test_what_does_not_fit_is_said_first(record: Data, told: str) -> None:
    def remarks(of: Data) -> str:
        return " ".join(points_of(answered(of), "remarks"))

    assert told in remarks(COMPLETE | record)
    assert told not in remarks(changed(COMPLETE | record, bolt_lock=None))
    if record["bolt_lock"] == "captive":
        assert told not in remarks(COMPLETE | record | {"maker_in": 0, "maker_out": 6})
