"""The line of the limbs, set anew: tillers from before and after are not compared, and no page sounds better for it.

The case is made up: 4 mm of tiller before, 10 mm after, no bolt turned. What one bow does by itself is held against the
same bow without the event.
"""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import COMPLETE, Data, all_texts, answered, changed, points_of, table_of, texts, values
from helpers.matrix import ANEW, OWN, SIDEWAYS, WRONG, logged
from quarterturn.bench.events import line_days, times_set_anew
from quarterturn.bench.inspection import Due
from quarterturn.bench.judgement import Kind, Level, judge
from quarterturn.bench.log import jumps, log_of
from quarterturn.widgets.answer import State

AGAIN = {"date": "2026-06-14", "weight": 38, "upper_tiller": 182, "lower_tiller": 172}
OFF = {"date": "2026-06-16", "weight": 38, "upper_tiller": 188, "lower_tiller": 172}


def kinds(record: Data) -> list[Kind]:
    return [cause.kind for cause in judge(values(record)).causes]


def test_without_the_event_it_is_an_alarm() -> None:
    assert kinds(logged(SIDEWAYS)) == [Kind.ALARM]
    assert kinds(logged(SIDEWAYS, **ANEW)) == []


@pytest.mark.parametrize(("day", "open_"), [("2026-06-11", True), ("2026-06-12", False), (None, True)])
def test_a_tiller_that_only_the_new_line_may_explain_asks_for_another_look(day: str | None, open_: bool) -> None:
    """A crack moves tiller too: whoever writes down a new line does not make a stop into a go by that."""
    for when in ("2026-06-10", "2026-06-12", "2026-01-01"):
        record = changed(logged(SIDEWAYS), inspected_on=day, events=[{"date": when, "happened": "line"}])
        causes = judge(values(record)).causes
        assert [(cause.kind, cause.level, cause.due) for cause in causes] == (
            [(Kind.DUE, Level.OPEN, Due.LINE)] if open_ else []
        ), when
        told = answered(record, "safe-range")
        assert (told.title == "Look the bow over again first") is open_
        assert ("so may a crack: look at both limbs" in told.verdict) is open_


def test_a_tiller_is_wanted_after_it_and_no_step_is_told_before() -> None:
    (cause,) = judge(values(OWN | ANEW)).causes
    assert (cause.kind, cause.level) == (Kind.LINE, Level.OPEN)
    assert not judge(values(OWN | ANEW)).predicts
    assert not judge(values(OWN | ANEW)).turns
    only_weight = {"date": "2026-06-12", "weight": 38}
    assert kinds(logged(only_weight, **ANEW)) == [Kind.LINE]
    assert kinds(logged(only_weight | {"upper_tiller": 182}, **ANEW)) == [Kind.LINE], "one limb is no tiller"
    assert kinds(OWN | ANEW | {"set_on": "2026-06-11"}) == [], "set and measured after it"
    assert kinds(OWN | ANEW | {"set_on": "2026-06-09"}) == [Kind.LINE]
    assert kinds(COMPLETE | ANEW) == [], "there is no tiller from before"


def test_what_is_wrong_after_it_is_still_an_alarm() -> None:
    """Among tillers of the new line, and for weight and brace height as ever."""
    assert kinds(logged(SIDEWAYS, AGAIN, **ANEW)) == []
    assert kinds(logged(SIDEWAYS, AGAIN, OFF, **ANEW)) == [Kind.ALARM]
    assert kinds(logged(SIDEWAYS | {"weight": 46}, **ANEW)) == [Kind.ALARM]
    assert kinds(logged(SIDEWAYS | {"brace_height": 240}, **ANEW)) == [Kind.ALARM]


def test_an_alarm_from_before_it_stays() -> None:
    before = SIDEWAYS | {"date": "2026-06-08"}
    assert kinds(logged(before, **ANEW)) == [Kind.ALARM, Kind.LINE]
    repeated = {"date": "2026-06-12", "upper_tiller": 179, "lower_tiller": 175}
    assert kinds(logged(before, repeated | {"date": "2026-06-09"}, repeated, **ANEW)) == [], "measured again: a slip"
    assert kinds(logged(before, repeated, **ANEW)) == [Kind.ALARM], "a reading of another line settles nothing"


def test_a_day_is_needed() -> None:
    undated = {"events": [{"happened": "line"}]}
    assert kinds(logged(SIDEWAYS, **undated)) == [Kind.ALARM, Kind.LINE]
    assert kinds(OWN | undated) == [Kind.LINE]


def test_days_are_counted_with_the_day_itself_as_after() -> None:
    assert [times_set_anew(day, (3, 7)) for day in (0, 2, 3, 6, 7, 8)] == [0, 0, 1, 1, 2, 2]
    rows = [{"date": day, "happened": "line"} for day in ("2026-06-10", "2026-06-01", "2026-06-10")]
    found = line_days(values(OWN | {"events": [*rows, {"date": "2026-06-05", "happened": "click"}]}))
    assert len(found) == 2
    assert sorted(found) == list(found)


@pytest.mark.parametrize("page", ["plan", "carry-out", "after", "tiller", "draw-weight", "log"])
def test_it_is_said_where_tillers_are_shown(page: str) -> None:
    told = "A tiller from before is not compared with one from that day or after."
    record = logged(SIDEWAYS, **ANEW) | {"wanted_tiller": 6}
    assert told in all_texts(answered(record, page))
    assert "10 June 2026" in all_texts(answered(record, page))
    assert told not in all_texts(answered(changed(record, events=None), page))


def test_a_plan_starts_from_the_tiller_of_the_new_line() -> None:
    """By what was read last: 10 mm; with no wish of its own it stays there, and 4 mm are not brought back."""
    record = logged(SIDEWAYS, **ANEW) | {"wanted_weight": 38, "planned_on": "2026-06-01", "planned_tiller": 4}
    record |= {"planned_weight": 38, "planned_upper": 2.5, "planned_lower": 2}
    plan = answered(record, "plan")
    assert plan.state is State.EXPLAIN
    assert "10 mm" in f"{plan.title} {plan.verdict}"
    assert "4 mm" not in f"{plan.title} {plan.verdict}"


def moved(*rows: Data, **more: Any) -> Data:
    """Half a turn in of both bolts, by the log."""
    return logged(*({"upper_at": 2, "lower_at": 1.5} | row for row in rows), **more)


def test_after_a_turn_the_two_are_not_held_against_one_another() -> None:
    after = {"date": "2026-06-12", "upper_tiller": 182, "lower_tiller": 172}
    with_event, without = answered(moved(after, **ANEW), "after"), answered(moved(after), "after")
    assert points_of(with_event, "off") == ()
    assert without.state is State.STOP, "without the event it is an alarm"
    assert "it is not compared with the" in all_texts(with_event)
    assert "It was 4.0 mm and is" not in all_texts(with_event)


def test_the_log_compares_no_tiller_across_it() -> None:
    rows = ({"date": "2026-06-08", "upper_tiller": 179, "lower_tiller": 175}, SIDEWAYS, AGAIN)
    with_event, without = (answered(logged(*rows, **more), "log") for more in (ANEW, {}))
    assert [row[5 - 1] for row in table_of(with_event, "changes").rows] == ["–", "0.0"]
    assert [row[5 - 1] for row in table_of(without, "changes").rows] == ["+6.0", "0.0"]
    assert texts(with_event)["tiller_change"] == "0.0 mm"
    assert texts(without)["tiller_change"] == "+6.0 mm"
    assert "since the line of the limbs was set anew" in all_texts(answered(logged(*rows[:2], **ANEW), "log"))


def test_a_turn_across_it_tells_nothing_of_tiller() -> None:
    rows = (
        {"date": "2026-06-08", "upper_at": 2.5, "lower_at": 2, "upper_tiller": 179, "lower_tiller": 175},
        {"date": "2026-06-12", "upper_at": 2, "lower_at": 2, "upper_tiller": 182, "lower_tiller": 172},
    )
    weighed = tuple(row | {"weight": 38 + 0.3 * place} for place, row in enumerate(rows))
    (row,) = table_of(answered(logged(*weighed, **ANEW), "log"), "own-turns").rows
    assert row[3] == "–"
    assert row[2] != "–"


def test_jumps_across_it_are_none_and_those_within_are() -> None:
    rows = (
        {"date": "2026-06-08", "upper_at": 2.5, "lower_at": 2, "upper_tiller": 179, "lower_tiller": 175},
        {"date": "2026-06-12", "upper_tiller": 199, "lower_tiller": 155},
        {"date": "2026-06-14", "upper_tiller": 179, "lower_tiller": 175},
    )

    def odd(*which: Data, **more: Any) -> list[str]:
        return [jump.name for jump in jumps(log_of(values(logged(*which, **more))))]

    assert odd(*rows[:2]) == ["upper_tiller", "lower_tiller"]
    assert odd(*rows[:2], **ANEW) == []
    assert odd(*rows, **ANEW) == ["upper_tiller", "lower_tiller"]


def test_places_and_weight_are_compared_as_ever() -> None:
    assert kinds(logged(WRONG, **ANEW))[0] is Kind.ALARM
