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
from quarterturn.bench.positions import PlaceSource, Positions, positions_of, window_at
from quarterturn.bench.window import WindowPlace
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values

HELD = COMPLETE | {"draw_weight": 38, "upper_tiller": 179, "lower_tiller": 175, "brace_height": 222}


def read(record: Data) -> Positions:
    return positions_of(values(record))


def logged(*rows: Data) -> Positions:
    return read(HELD | {"set_on": "2026-01-01", "log": list(rows)})


def places(found: Positions) -> tuple[float | None, float | None]:
    return found.bolts[0].at, found.bolts[1].at


def measured(found: Positions) -> tuple[float | None, ...]:
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
    for at, outside, past in (
        (inner + 0.001, False, False),
        (inner - 0.001, True, False),
        (outer - 0.001, False, False),
        (outer + 0.001, True, False),
        (-1.0, True, True),
        (9.0, True, True),
    ):
        bolt, other = logged({"date": "2026-05-01", "upper_at": round(at, 6)}).bolts
        assert (bolt.outside, bolt.past_end) == (outside, past)
        assert not other.outside
    # And the other way round: a bolt that was outside and was turned in is inside now.
    out = HELD | {"upper_now_turns": 5.2}
    assert read(out).bolts[0].outside
    assert not read(out | {"log": [{"date": "2026-05-01", "upper_at": 3}]}).bolts[0].outside


def test_a_place_that_is_only_looked_at_is_held_against_the_window_as_well() -> None:
    found = read(HELD)
    upper, _ = windows(COMPLETE)
    for at, place in ((2.5, WindowPlace.INSIDE), (-0.5, WindowPlace.PAST_INNER), (9.0, WindowPlace.PAST_OUTER)):
        where = window_at("upper", at, found)
        assert where is not None
        assert where.place is place
    assert window_at("upper", upper.outer.usable + 0.001, found).place is WindowPlace.OUTER_RESERVE  # type: ignore[union-attr]
    assert window_at("upper", 2.5, read(HELD | {"bolt_family": "clamp"})) is None


def test_it_says_where_a_place_comes_from_and_since_when() -> None:
    upper, lower = logged({"date": "2026-05-01", "upper_at": 3}).bolts
    assert (upper.source, upper.since, upper.counted, upper.moved) == (PlaceSource.LOG, day("2026-05-01"), 2.5, True)
    assert (lower.source, lower.since, lower.moved) == (PlaceSource.WORKSHEET, day("2026-01-01"), False)
    assert read({"version": 1, "bow_name": "x"}).bolts[0].source is PlaceSource.NONE


def test_without_any_entry_of_a_bow_it_is_an_example() -> None:
    for record in ({"version": 1}, {"version": 1, "people": "two", "card_size": "index", "length_unit": "in"}):
        found = read(record)
        assert found.example
        assert not any(bolt.known for bolt in found.bolts)
        assert places(found) == (2.5, 2.0)
        assert None not in measured(found)
    for name, entry in (("bow_name", "x"), ("set_on", "2026-01-01"), ("upper_touch_turns", 5), ("check_limbs", "fine")):
        found = read({"version": 1, name: entry})
        assert not found.example
        assert found.missing
        assert not any(bolt.known for bolt in found.bolts)


def test_what_was_not_entered_is_not_the_examples() -> None:
    found = read({"version": 1, "bow_name": "x"})
    assert places(found) == (None, None)
    assert measured(found) == (None, None, None, None)
    found = read(changed(COMPLETE, upper_now_side=None, head_diameter=None))
    assert places(found) == (None, 2.0)
    assert set(found.missing) == {"upper_now_side", "head_diameter"}
    assert set(found.bolts[0].missing) == {"head_diameter", "upper_now_side"}
    assert found.bolts[1].missing == ("head_diameter",)


def test_a_bolt_is_known_as_soon_as_its_own_readings_are_in() -> None:
    half = changed(COMPLETE, lower_touch_turns=None, lower_now_turns=None)
    upper, lower = read(half).bolts
    assert upper.known
    assert upper.missing == ()
    assert not lower.known
    assert lower.missing == ("lower_touch_turns", "lower_now_turns")
    # The inspection is no reading of a bolt.
    assert read(changed(COMPLETE, check_limbs=None)).bolts[0].known
    # The log tells a place that the worksheet has not.
    placed = read(half | {"lower_touch_turns": 5, "log": [{"date": "2026-05-01", "lower_at": 2}]})
    assert placed.bolts[1].known


def test_heights_tell_a_place_only_by_a_pitch_that_was_measured() -> None:
    heights = changed(COMPLETE, upper_now_turns=None, upper_height_zero=6, upper_height_now=8.115)
    assert places(read(heights))[0] is None
    at = places(read(heights | {"rise": 4.23}))[0]
    assert at == pytest.approx(2.115 / (4.23 / 4))


@pytest.mark.parametrize(
    ("bad", "said", "which"),
    [
        ({"slot_width": 25}, "slot", "both"),
        ({"rise": 1}, "pitch", "both"),
        ({"margin": "x"}, "Margin", "both"),
        ({"upper_touch_found": "no", "upper_touch_turns": None}, "outer end", "upper"),
        ({"strip_thickness": 0.5, "upper_touch_turns": 2.4}, "thinner", "upper"),
        ({"lower_touch_turns": "five"}, "five", "lower"),
        (
            {"upper_touch_found": "no", "maker_out": 6, "upper_height_zero": 8, "upper_height_touch": 6},
            "raises",
            "upper",
        ),
    ],
)
def test_what_cannot_be_used_gives_no_window_and_says_why(bad: dict[str, Any], said: str, which: str) -> None:
    found = read(changed(HELD, **bad))
    assert said in found.unusable[0].sentence
    assert found.unusable[0].sentence.endswith(".")
    assert found.log_unusable == ()
    gone = [bolt.name for bolt in found.bolts if bolt.window is None]
    assert gone == (["upper", "lower"] if which == "both" else [which])
    assert all(bolt.problem for bolt in found.bolts if bolt.name in gone)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ({"date": "2026-02-30", "upper_at": 2}, "February"),
        ({"date": "2026-02-20", "upper_at": "two"}, "two"),
        ({"date": "2026-02-20", "upper_at": 2, "weight": "38,4.2"}, "38,4.2"),
        ({"date": "2026-02-20", "weight": "heavy"}, "heavy"),
        ({"upper_at": 2}, "day"),
        ({"lower_at": 2, "weight": 38}, "day"),
    ],
)
def test_an_entry_of_the_log_that_cannot_be_used_leaves_open_where_the_bolts_are(row: Data, said: str) -> None:
    found = logged({"date": "2026-01-15", "upper_at": 1}, row)
    assert said in found.log_unusable[0].sentence
    assert found.log_unusable[0].field.startswith("log.2")
    assert found.unusable == ()


def test_an_entry_with_neither_place_nor_typo_is_only_not_used() -> None:
    assert logged({"weight": 38}).log_unusable == ()
    assert logged({"date": "2026-01-15"}).log_unusable == ()


def test_zero_is_called_what_it_is() -> None:
    assert [bolt.zero for bolt in read(COMPLETE).bolts] == ["flush", "flush"]
    stop = COMPLETE | {"bolt_family": "stop", "upper_first_in": "stop", "lower_first_in": "flush"}
    assert [bolt.zero for bolt in read(stop).bolts] == ["stop", "flush"]
    assert [bolt.zero for bolt in read(MAKER).bolts] == ["maker", "maker"]
    assert all(bolt.known and not bolt.outside for bolt in read(MAKER).bolts)


def test_a_bolt_that_is_not_adjusted_has_no_window() -> None:
    for family in ("clamp", "unknown"):
        assert all(bolt.window is None for bolt in read(HELD | {"bolt_family": family}).bolts)


def test_no_window_at_all_is_said() -> None:
    bolt = read(COMPLETE | {"margin": 2, "upper_touch_turns": 3}).bolts[0]
    assert bolt.window is not None
    assert bolt.window.vanished


def test_the_windows_are_the_worksheets() -> None:
    """C: `window_of` by the worksheet's own readings, for four hundred drawn records."""
    seen = set()
    for record in some(400):
        checked = Values(from_data(changed(record, log=None)).record)
        found = positions_of(checked)
        if found.unusable or any(bolt.window is None for bolt in found.bolts):
            seen.add("none")
            continue
        for bolt, window in zip(found.bolts, windows(changed(record, log=None)), strict=True):
            assert bolt.window == window
            assert bolt.standing is not None
            seen.add(bolt.standing.place)
    assert {"none", WindowPlace.INSIDE, WindowPlace.PAST_OUTER} <= seen
