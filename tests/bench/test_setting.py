"""How a bow is set: the log's newest places, and what was measured since; by hand, from issue 6, items 4 and 6.

Days by Python's `datetime` (C). The window itself is the business of other tests; here it is the worksheet's own (C).
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from helpers.asking import COMPLETE, MAKER, Data, changed, values, windows
from helpers.records import some
from quarterturn import units
from quarterturn.bench.progress import Verdict, verdict
from quarterturn.bench.setting import Outcome, Setting, setting
from quarterturn.record.reading import Values, from_data

HELD = COMPLETE | {"draw_weight": 38, "upper_tiller": 179, "lower_tiller": 175, "brace_height": 222}


def read(record: Data) -> Setting:
    return setting(values(record))


def logged(*rows: Data) -> Setting:
    return read(HELD | {"set_on": "2026-01-01", "log": list(rows)})


def places(found: Setting) -> tuple[float | None, float | None]:
    return found.bolts[0].at, found.bolts[1].at


def measured(found: Setting) -> tuple[float | None, ...]:
    """In pounds and millimetres."""
    one = found.measured
    pounds = None if one.weight is None else round(units.from_si(one.weight, "lbf"), 9)
    lengths = (one.upper_tiller, one.lower_tiller, one.brace_height)
    return pounds, *(None if each is None else round(units.from_si(each, "mm"), 9) for each in lengths)


def day(text: str) -> int:
    return date.fromisoformat(text).toordinal()


def test_without_a_log_it_is_what_the_worksheet_has() -> None:
    found = read(HELD | {"set_on": "2026-01-01"})
    assert places(found) == (2.5, 2.0)
    assert measured(found) == (38, 179, 175, 222)
    assert found.day == day("2026-01-01")
    assert not found.moved
    assert read(HELD).day is None
    assert places(read(HELD | {"upper_now_side": "in", "upper_now_turns": 0.25})) == (-0.25, 2.0)


def test_the_newest_row_counts_by_its_date_and_not_by_its_place() -> None:
    newer = {"date": "2026-05-02", "upper_at": 3, "lower_at": 2.5, "weight": 37, "brace_height": 224}
    older = {"date": "2026-04-01", "upper_at": 1, "lower_at": 1, "weight": 40, "upper_tiller": 180, "lower_tiller": 180}
    for rows in ((newer, older), (older, newer)):
        found = logged(*rows)
        assert places(found) == (3.0, 2.5)
        assert measured(found) == (37, None, None, 224), "an older tiller belongs to another setting"
        assert found.day == day("2026-05-02")
        assert found.moved


def test_of_one_day_the_row_that_comes_later_counts() -> None:
    found = logged({"date": "2026-05-02", "upper_at": 1.0}, {"date": "2026-05-02", "upper_at": 1.5})
    assert places(found) == (1.5, 2.0)


def test_a_place_holds_until_another_is_written() -> None:
    found = logged(
        {"date": "2026-04-01", "upper_at": 3, "lower_at": 1.5},
        {"date": "2026-05-01", "lower_at": 1.75},
        {"date": "2026-06-01"},
    )
    assert places(found) == (3.0, 1.75)
    assert found.day == day("2026-05-01"), "the day on which it was set so"


def test_what_is_measured_after_the_last_turn_belongs_to_it() -> None:
    rows = [
        {"date": "2026-04-01", "upper_at": 3, "weight": 40},
        {"date": "2026-05-01", "upper_at": 2.25, "weight": 38.5},
        {"date": "2026-06-01", "upper_tiller": 178, "lower_tiller": 175.5},
        {"date": "2026-07-01", "weight": 38},
    ]
    assert measured(logged(*rows)) == (38, 178, 175.5, None)
    assert measured(logged(*rows[:2])) == (38.5, None, None, None)


def test_a_log_without_places_leaves_the_worksheets_and_its_day() -> None:
    found = logged({"date": "2026-07-01", "weight": 36})
    assert places(found) == (2.5, 2.0)
    assert not found.moved
    assert measured(found) == (36, 179, 175, 222)
    assert found.day == day("2026-01-01")
    without = read(changed(HELD, log=[{"date": "2026-07-01", "weight": 36}]))
    assert without.day == day("2026-07-01")


def test_a_row_without_its_date_is_not_used() -> None:
    found = logged({"upper_at": 3.0, "weight": 30})
    assert places(found) == (2.5, 2.0)
    assert measured(found)[0] == 38


def test_the_logs_places_are_held_against_the_window() -> None:
    upper, _ = windows(COMPLETE)
    inner, outer = upper.inner.usable, upper.outer.usable
    for at, outcome in (
        (inner + 0.001, Outcome.INSIDE),
        (inner - 0.001, Outcome.OUTSIDE),
        (outer - 0.001, Outcome.INSIDE),
        (outer + 0.001, Outcome.OUTSIDE),
        (-1.0, Outcome.OUTSIDE),
    ):
        assert logged({"date": "2026-05-01", "upper_at": round(at, 6)}).outcome is outcome
    # And the other way round: a bolt that stood outside and was turned in is inside now.
    out = HELD | {"upper_now_turns": 5.2}
    assert read(out).outcome is Outcome.OUTSIDE
    assert read(out | {"log": [{"date": "2026-05-01", "upper_at": 3}]}).outcome is Outcome.INSIDE


def test_without_any_entry_of_a_bow_it_is_an_example() -> None:
    for record in ({"version": 1}, {"version": 1, "people": "two", "card_size": "index", "length_unit": "in"}):
        found = read(record)
        assert found.outcome is Outcome.EXAMPLE
        assert places(found) == (2.5, 2.0)
        assert None not in measured(found)
    for name, entry in (("bow_name", "x"), ("set_on", "2026-01-01"), ("upper_touch_turns", 5), ("check_limbs", "fine")):
        assert read({"version": 1, name: entry}).outcome is Outcome.UNFINISHED


def test_what_was_not_entered_is_not_the_examples() -> None:
    found = read({"version": 1, "bow_name": "x"})
    assert places(found) == (None, None)
    assert measured(found) == (None, None, None, None)
    found = read(changed(COMPLETE, upper_now_side=None, head_diameter=None))
    assert places(found) == (None, 2.0)
    assert set(found.missing) == {"upper_now_side", "head_diameter"}


def test_heights_tell_a_place_only_by_a_pitch_that_was_measured() -> None:
    heights = changed(COMPLETE, upper_now_turns=None, upper_height_zero=6, upper_height_now=8.115)
    assert places(read(heights))[0] is None
    at = places(read(heights | {"rise": 4.23}))[0]
    assert at == pytest.approx(2.115 / (4.23 / 4))


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ({"slot_width": 25}, "slot"),
        ({"rise": 1}, "pitch"),
        ({"margin": "x"}, "Margin"),
        ({"upper_touch_found": "no", "upper_touch_turns": None}, "outer end"),
        ({"strip_thickness": 0.5, "upper_touch_turns": 2.4}, "thinner"),
        ({"log": [{"date": "2026-02-30", "upper_at": 2}]}, "February"),
        ({"log": [{"date": "2026-02-20", "upper_at": "two"}]}, "two"),
    ],
)
def test_what_cannot_be_used_gives_no_window_and_says_why(bad: dict[str, Any], said: str) -> None:
    found = read(changed(HELD, **bad))
    assert found.outcome is Outcome.UNUSABLE
    assert said in found.why
    assert found.why.endswith(".")
    assert all(bolt.window is None for bolt in found.bolts)


def test_zero_is_called_what_it_is() -> None:
    assert [bolt.zero for bolt in read(COMPLETE).bolts] == ["flush", "flush"]
    stop = COMPLETE | {"bolt_family": "stop", "upper_first_in": "stop", "lower_first_in": "flush"}
    assert [bolt.zero for bolt in read(stop).bolts] == ["stop", "flush"]
    assert [bolt.zero for bolt in read(MAKER).bolts] == ["maker", "maker"]
    assert read(MAKER).outcome is Outcome.INSIDE


def test_no_window_at_all_is_said() -> None:
    assert read(COMPLETE | {"margin": 2, "upper_touch_turns": 3}).outcome is Outcome.NO_WINDOW


def test_it_comes_to_what_the_worksheet_comes_to() -> None:
    """C: `bench.progress` finds the same without a log, for four hundred drawn records."""
    same = {
        Verdict.INSIDE: Outcome.INSIDE,
        Verdict.OUTSIDE: Outcome.OUTSIDE,
        Verdict.NO_WINDOW: Outcome.NO_WINDOW,
        Verdict.UNUSABLE: Outcome.UNUSABLE,
    }
    seen = set()
    for record in some(400):
        checked = Values(from_data(changed(record, log=None)).record)
        found = setting(checked)
        if not found.missing:
            assert found.outcome is same[verdict(checked)]
            seen.add(found.outcome)
        else:
            assert found.outcome in (Outcome.UNFINISHED, Outcome.UNUSABLE)
    assert seen == set(same.values())
