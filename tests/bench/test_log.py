"""The log: by date, from entry to entry, what its own turns did, and what is more than plausible.

Dates by Python's `datetime` (C). Doubts: the standard deviation of an even spread is `scipy.stats.uniform`'s (C), of a
difference the root of the sum of squares (GUM 5.1.2, S2). A turn that moves the weight by so much was made up here and
has to come back.
"""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import uniform

from helpers.asking import values
from quarterturn.bench.log import LEAST_TURN, LIMITS, MOST_TURNS, Log, jumps, log_of, own_turns

POUND, INCH = 4.4482216152605, 0.0254  # NIST SP 811, table B.8 (S2)
SCALE, TAPE = 0.5 * POUND, 0.001
COLUMNS = ("date", "upper_at", "lower_at", "weight", "upper_tiller", "lower_tiller", "brace_height")


def rows(*given: tuple[Any, ...]) -> list[dict[str, Any]]:
    """Rows in the order of the columns; None and what is left off is empty."""
    return [{name: typed for name, typed in zip(COLUMNS, row, strict=False) if typed is not None} for row in given]


def log(*given: tuple[Any, ...]) -> Log:
    return log_of(values({"log": rows(*given)}))


def day(text: str) -> int:
    return date.fromisoformat(text).toordinal()


# By date


def test_entries_are_in_si_with_their_place_in_the_table() -> None:
    found = log_of(
        values(
            {
                "log": [
                    {"weight": 5},
                    {
                        "date": "2026-03-14",
                        "upper_at": "2 1/2",
                        "lower_at": -0.25,
                        "weight": {"typed": "170", "unit": "N"},
                        "upper_tiller": {"typed": "7", "unit": "in"},
                        "lower_tiller": 175,
                        "brace_height": {"typed": "8 3/4", "unit": "in"},
                    },
                ]
            }
        )
    )
    (entry,) = found.entries
    assert (entry.number, entry.day) == (2, day("2026-03-14"))
    assert (entry.upper_at, entry.lower_at, entry.weight) == (2.5, -0.25, 170)
    assert entry.upper_tiller == pytest.approx(7 * INCH, rel=1e-12)
    assert entry.brace_height == pytest.approx(8.75 * INCH, rel=1e-12)
    assert entry.tiller == pytest.approx(7 * INCH - 0.175, rel=1e-12)


DATES = st.dates(date(2000, 1, 1), date(2100, 12, 31))


@pytest.mark.long
@given(st.lists(st.tuples(DATES | st.none(), st.integers(20, 60)), max_size=12))
def test_entries_are_by_date_and_those_of_a_day_as_they_were_typed(given: list[tuple[date | None, int]]) -> None:
    found = log(*((None if one is None else one.isoformat(), None, None, weight) for one, weight in given))
    dated = [(number, one, weight) for number, (one, weight) in enumerate(given, 1) if one is not None]
    dated.sort(key=lambda each: each[1])  # stable
    assert [(entry.number, entry.day) for entry in found.entries] == [(n, one.toordinal()) for n, one, _ in dated]
    assert [entry.weight for entry in found.entries] == pytest.approx([weight * POUND for *_, weight in dated])
    moved = [
        number
        for place, (number, one, _) in enumerate(sorted(dated))
        if any(earlier[1] > one for earlier in sorted(dated)[:place])
    ]
    assert [entry.number for entry in found.moved_up] == moved


def test_a_bolt_stands_where_it_was_last_written_by_date_and_readings_are_never_carried_on() -> None:
    found = log(
        ("2026-05-01", None, 1.5),
        ("2026-03-01", 2.5, None, 38),
        ("2026-04-01", None, None, None, 179, None, 222),
        ("2026-06-01", 0, None),
    )
    assert [entry.number for entry in found.entries] == [2, 3, 1, 4]
    assert [entry.stands for entry in found.entries] == [(2.5, None), (2.5, None), (2.5, 1.5), (0.0, 1.5)]
    assert [entry.upper_at for entry in found.entries] == [2.5, None, None, 0.0]
    assert [entry.weight is None for entry in found.entries] == [False, True, True, True]
    assert [entry.tiller for entry in found.entries] == [None] * 4, "one distance is no tiller"
    assert [entry.is_bare for entry in found.entries] == [False] * 4
    assert log(("2026-03-01",)).entries[0].is_bare


def test_changes_go_from_each_entry_to_the_next() -> None:
    found = log(
        ("2026-03-01", 2.5, 2, 38, 179, 175, 222),
        ("2026-03-02", 2, None, 38.5, 178, 176.5, None),
        ("2026-03-03", 2, 2.25, None, 177, 176, 223),
    )
    one, two = found.changes
    assert one.turned == (-0.5, 0.0)
    assert one.of("weight") == pytest.approx(0.5 * POUND)
    assert one.of("tiller") == pytest.approx(-0.0025)
    assert one.of("brace_height") is None
    assert two.turned == (0.0, 0.25)
    assert (two.of("weight"), two.of("brace_height")) == (None, None)
    assert two.of("tiller") == pytest.approx(-0.0005)
    assert log(("2026-03-01", 1, 1, 38)).changes == ()


# What a turn did


def deviation(half: float, readings: int) -> float:
    """Of a sum or difference of so many readings, each of an even spread of this half width."""
    return math.sqrt(readings * uniform(-half, 2 * half).var())


TURNS = st.sampled_from([-2.0, -1.25, -0.5, -0.25, 0.25, 0.5, 1.0, 2.0])


@pytest.mark.long
@given(TURNS, st.sampled_from(["upper", "lower", "both"]), st.floats(-0.9, 0.9), st.floats(-4.0, 4.0))
def test_a_turn_alone_gives_back_what_it_did(turns: float, bolt: str, weight: float, tiller: float) -> None:
    """What one turn IN was made to do, in pounds and mm, is found again, with what the readings leave open."""
    upper, lower = 2.5 + turns * (bolt != "lower"), 2.0 + turns * (bolt != "upper")
    found = log(
        ("2026-03-01", 2.5, 2, 38, 179, 175),
        ("2026-03-09", upper, lower, 38 - weight * turns, 179 - tiller * turns, 175),
    )
    (one,) = own_turns(found, scale=SCALE, tape=TAPE)
    assert one.bolt == bolt
    assert one.turns == pytest.approx(turns)
    assert one.weight is not None
    assert one.tiller is not None
    assert one.weight.by_turn == pytest.approx(weight * POUND, abs=1e-9)
    assert one.tiller.by_turn == pytest.approx(tiller / 1000, abs=1e-9)
    assert one.weight.uncertainty == pytest.approx(deviation(SCALE, 2) / abs(turns), rel=1e-12)
    assert one.tiller.uncertainty == pytest.approx(deviation(TAPE, 4) / abs(turns), rel=1e-12)


@pytest.mark.parametrize(
    ("upper", "lower", "tells"),
    [
        (0.5, 0, True), (0, -0.5, True), (0.25, 0.25, True), (LEAST_TURN, 0, True), (MOST_TURNS, 0, True),
        (0.5, 0.25, False), (0.5, -0.5, False), (0, 0, False), (0.12, 0, False), (2.25, 2.25, False),
    ],
)  # fmt: skip
def test_only_one_bolt_alone_or_both_alike_tell_of_a_turn(upper: float, lower: float, tells: bool) -> None:
    found = log(("2026-03-01", 2.5, 2.5, 38, 179, 175), ("2026-03-02", 2.5 + upper, 2.5 + lower, 38.5, 178, 175))
    assert bool(own_turns(found, scale=SCALE, tape=TAPE)) is tells


def test_a_turn_noted_on_a_day_of_its_own_counts_and_an_unknown_place_does_not() -> None:
    found = log(
        ("2026-03-01", 2.5, 2, 38),
        ("2026-03-02", 2, None),
        ("2026-03-03", None, None, None, 179, 175),
        ("2026-03-04", None, None, 38.4),
    )
    (one,) = own_turns(found, scale=SCALE, tape=TAPE)
    assert (one.before.number, one.after.number, one.bolt, one.turns) == (1, 4, "upper", -0.5)
    assert one.weight is not None
    assert one.weight.by_turn == pytest.approx(0.8 * POUND)
    assert one.tiller is None
    for unknown in (("2026-03-01", None, 2, 38), ("2026-03-01", None, None, 38)):
        assert own_turns(log(unknown, ("2026-03-02", 2, 2, 38.4)), scale=SCALE, tape=TAPE) == ()


def test_weight_and_tiller_of_the_same_two_entries_stand_together_and_others_apart() -> None:
    found = log(
        ("2026-03-01", 2.5, 2, 38, 179, 175),
        ("2026-03-02", 2, 2, 38.4, None, None),
        ("2026-03-03", 1.5, 2, 38.8, 177, 177),
        ("2026-03-04", 1.5, 1.5, 39.2, 178, 175.5),
    )
    assert [
        (one.before.number, one.after.number, one.turns, one.weight is not None, one.tiller is not None)
        for one in own_turns(found, scale=SCALE, tape=TAPE)
    ] == [(1, 2, -0.5, True, False), (1, 3, -1.0, False, True), (2, 3, -0.5, True, False), (3, 4, -0.5, True, True)]


# What is more than is plausible


def test_a_single_slip_is_one_jump_and_tells_nothing_of_a_turn() -> None:
    found = log(
        ("2026-03-01", 2.5, 2, 38),
        ("2026-03-02", 2, 2, 83),
        ("2026-03-03", 1.5, 2, 38.8),
    )
    (jump,) = jumps(found)
    assert (jump.name, jump.before.number, jump.after.number, jump.alone) == ("weight", 1, 2, True)
    assert jump.by == pytest.approx(45 * POUND)
    (one,) = own_turns(found, scale=SCALE, tape=TAPE)
    assert (one.before.number, one.after.number, one.turns) == (1, 3, -1.0)


def test_other_limbs_are_one_jump_and_what_follows_counts_again() -> None:
    found = log(
        ("2026-03-01", 2.5, 2, 38),
        ("2026-03-02", 2, 2, 46),
        ("2026-03-03", 1.5, 2, 46.4),
        ("2026-03-04", 1.5, 1.5, 46.8),
    )
    (jump,) = jumps(found)
    assert (jump.after.number, jump.alone) == (2, False)
    assert [(one.before.number, one.after.number) for one in own_turns(found, scale=SCALE, tape=TAPE)] == [
        (2, 3),
        (3, 4),
    ]


@pytest.mark.parametrize("name", LIMITS)
@pytest.mark.parametrize("turns", [0.0, 0.5, 2.0])
@pytest.mark.parametrize("sign", [-1, 1])
def test_a_reading_may_change_up_to_its_limit_and_no_farther(name: str, turns: float, sign: int) -> None:
    limit, start = LIMITS[name], {"weight": 40.0, "brace_height": 220.0}.get(name, 180.0)
    unit = POUND if name == "weight" else 0.001
    most = (limit.always + limit.by_turn * turns) * (start if limit.share else 1 / unit)
    for part, wanted in ((0.999, []), (1.001, [name])):
        before = {"date": "2026-03-01", "upper_at": 2, "lower_at": 2, name: start}
        after = {"date": "2026-03-02", "upper_at": 2 + turns, name: start + sign * most * part}
        assert [jump.name for jump in jumps(log_of(values({"log": [before, after]})))] == wanted


def test_where_the_bolts_stand_jumps_over_two_turns_and_an_unknown_place_asks_less() -> None:
    assert jumps(log(("2026-03-01", 2, 2), ("2026-03-02", 4, 0))) == ()
    found = jumps(log(("2026-03-01", 2, 2), ("2026-03-02", 4.25, None), ("2026-03-03", None, -0.25)))
    assert [(jump.name, jump.by) for jump in found] == [("upper_at", 2.25), ("lower_at", -2.25)]
    # 9 of 38 lb is over the 8 % of bolts that were not turned, and within what four unknown turns would explain.
    assert jumps(log(("2026-03-01", 2, 2, 38), ("2026-03-02", 2, 2, 47))) != ()
    assert jumps(log(("2026-03-01", None, None, 38), ("2026-03-02", None, None, 47))) == ()


def test_the_examples_bow_makes_no_jump_by_its_own_turns() -> None:
    """What the page on tiller computes for its bow, a turn: 0.87 lb, 4.9 mm, 1.8 mm at most; far inside."""
    for upper, lower in ((1, 0), (0, 1), (1, 1), (-1, 1)):
        after = (
            "2026-03-02",
            2.5 + upper,
            2 + lower,
            38 - 0.45 * (upper + lower),
            179 + 2.4 * (upper - lower),
            175 - 2.4 * (upper - lower),
            222 + 0.9 * (upper + lower),
        )
        assert jumps(log(("2026-03-01", 2.5, 2, 38, 179, 175, 222), after)) == ()


SOME = st.none() | st.integers(0, 100).map(lambda part: part / 100)
ROWS = st.lists(st.tuples(DATES, SOME, SOME, SOME, SOME, SOME, SOME), min_size=1, max_size=12)
BOUNDS = ((-5, 15), (-5, 15), (5, 120), (80, 320), (80, 320), (120, 320))


@pytest.mark.long
@given(ROWS)
def test_any_log_is_taken_and_nothing_in_it_is_endless(drawn: list[tuple[Any, ...]]) -> None:
    typed = [
        (one.isoformat(), *(None if part is None else low + part * (high - low) for part, (low, high) in
                            zip(parts, BOUNDS, strict=True)))
        for one, *parts in drawn
    ]  # fmt: skip
    found = log(*typed)
    assert len(found.entries) == len(drawn)
    assert len(found.changes) == len(drawn) - 1
    for one in own_turns(found, scale=SCALE, tape=TAPE):
        assert one.weight is not None or one.tiller is not None
        for rate in (one.weight, one.tiller):
            if rate is not None:
                assert math.isfinite(rate.by_turn)
                assert rate.uncertainty > 0
    for jump in jumps(found):
        assert math.isfinite(jump.by)
        assert jump.before.day <= jump.after.day
