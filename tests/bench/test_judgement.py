"""The one judgement of a bow: causes one by one, their order, and what closes them; by hand, from issue 15.

Days by Python's `datetime` (C). Which events ask for another look, and the twelve months: common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from helpers.asking import COMPLETE, LOOKED_OVER, STRUNG, Data, changed, values, windows
from helpers.matrix import OWN, RIGHT, WRONG
from quarterturn.bench.inspection import Due
from quarterturn.bench.judgement import Judgement, Kind, Level, judge, to_pass_on
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values

TODAY = date(2026, 6, 30)


def judged(record: Data, today: date | None = TODAY) -> Judgement:
    checked = values(record)
    return judge(Values(checked.record, today=None if today is None else today.toordinal()))


def kinds(record: Data, today: date | None = TODAY) -> list[Kind]:
    return [cause.kind for cause in judged(record, today).causes]


def test_nothing_speaks_against_a_bow_inside() -> None:
    found = judged(OWN)
    assert found.causes == ()
    assert (found.worst, found.level) == (None, None)
    assert found.complete
    assert found.turns
    assert found.predicts


def test_what_is_only_looked_at_has_no_part_in_it() -> None:
    looked = OWN | {"turns_shown": -3, "upper_change": 4, "look_at": "past"}
    assert judged(looked) is judged(OWN | {"turns_shown": 5})
    assert BY_NAME["turns_shown"].scope.value == "view"


# Order


def test_the_gravest_comes_first_and_all_are_told() -> None:
    record = OWN | {
        "limb_cracks": "fault",
        "upper_now_turns": 9,
        "events": [{"date": "2026-06-10", "happened": "click"}, {"date": "2026-06-10", "happened": "limbs"}],
        "upper_tiller": 175,
        "lower_tiller": 179,
        "log": [{"date": "2026-06-01", "weight": "x"}],
    }
    found = judged(record)
    wanted = [Kind.INSPECTION, Kind.EVENT, Kind.OUTSIDE, Kind.SWAPPED, Kind.LOG, Kind.LIMBS]
    assert [cause.kind for cause in found.causes] == wanted
    assert [cause.level for cause in found.causes] == [3, 3, 3, 2, 1, 1]
    assert not found.predicts
    assert not found.turns


def test_a_doubt_comes_after_a_stop_of_any_other_kind() -> None:
    assert kinds(OWN | {"limb_twist": "unsure", "upper_now_turns": 9}) == [Kind.OUTSIDE, Kind.INSPECTION]


# Places


@pytest.mark.parametrize("missing", ["lower_touch_turns", "lower_now_turns", "check_limbs", "draw_weight"])
def test_what_is_known_of_one_bolt_waits_for_nothing_else(missing: str) -> None:
    record = changed(COMPLETE | STRUNG | {"upper_now_turns": 9}, **{missing: None})
    assert kinds(record) == [Kind.OUTSIDE]
    assert [bolt.name for bolt in judged(record).causes[0].bolts] == ["upper"]


def test_a_bolt_of_the_example_is_never_held_against_the_reader() -> None:
    """The example's counts beside a reader's margin could lie outside; nothing is known of such a bolt."""
    assert kinds({"version": 1, "margin": 2}) == []
    assert kinds({"version": 1, "upper_now_turns": 9}) == []
    assert kinds(changed(COMPLETE, bolt_family=None) | {"upper_now_turns": 9}) == []


def test_the_margin_is_outside_and_no_end() -> None:
    upper, _ = windows(COMPLETE)
    for at, past in ((upper.inner.usable - 0.01, False), (-0.5, True), (upper.outer.usable + 0.01, False), (9, True)):
        side = {"upper_now_side": "in" if at < 0 else "out", "upper_now_turns": round(abs(at), 4)}
        (cause,) = judged(OWN | side).causes
        assert cause.kind is Kind.OUTSIDE
        assert cause.bolts[0].past_end is past


# Events


@pytest.mark.parametrize(
    ("event", "is_open"),
    [
        ({}, True),
        ({"found": "nothing"}, True),
        ({"found_on": "2026-06-12"}, True),
        ({"found": "nothing", "found_on": "2026-06-12"}, False),
        ({"found": "nothing", "found_on": "2026-06-10"}, False),
        ({"found": "nothing", "found_on": "2026-06-09"}, True),
        ({"found": "nothing", "found_on": "2026-02-30"}, True),
        ({"found": "nothing", "found_on": "2026-06-12", "date": ""}, False),
        ({"found": "nothing", "date": ""}, True),
    ],
)
@pytest.mark.parametrize("what", ["click", "crack", "slipped", "reading"])
def test_an_event_is_open_until_it_is_found_out_and_on_which_day(event: Data, is_open: bool, what: str) -> None:
    row = {key: value for key, value in ({"date": "2026-06-10", "happened": what} | event).items() if value}
    found = judge(Values(from_data(OWN | {"events": [row]}).record, today=TODAY.toordinal()))
    assert [cause.kind for cause in found.causes] == ([Kind.EVENT] if is_open else [])
    assert [one.is_open for one in found.events] == [is_open]


def test_a_row_that_says_not_what_happened_is_no_event() -> None:
    assert judged(OWN | {"events": [{"date": "2026-06-10"}]}).events == ()


def test_other_limbs_wait_for_the_count_and_predict_nothing() -> None:
    found = judged(OWN | {"events": [{"date": "2026-05-10", "happened": "limbs"}]})
    assert [cause.level for cause in found.causes] == [Level.OPEN]
    assert not found.predicts


# The inspection


SEEN = COMPLETE | STRUNG | LOOKED_OVER


@pytest.mark.parametrize(
    ("record", "due"),
    [
        ({"inspected_on": "2025-06-30"}, None),
        ({"inspected_on": "2025-06-29"}, Due.AGE),
        ({"inspected_on": "2025-12-31", "inspection_months": 6}, None),
        ({"inspected_on": "2025-12-29", "inspection_months": 6}, Due.AGE),
        ({}, None),
        ({"inspection_source": "other", "inspected_on": "2026-06-29"}, Due.OTHER),
        ({"inspection_source": "own"}, None),
    ],
)
def test_an_inspection_ages_and_is_never_another_readers(record: Data, due: Due | None) -> None:
    found = judged(SEEN | record)
    assert found.due is due
    assert [cause.kind for cause in found.causes] == ([] if due is None else [Kind.DUE])


def test_without_a_day_to_go_by_nothing_ages() -> None:
    assert judged(SEEN | {"inspected_on": "2020-01-01"}, None).due is None


SETTLED = {"found": "nothing", "found_on": "2026-06-12"}


@pytest.mark.parametrize(
    ("what", "due"),
    [("dry_fire", Due.SHOCK), ("fall", Due.SHOCK), ("limbs", Due.LIMBS), ("click", None), ("reading", None)],
)
def test_what_happened_since_asks_for_another_look(what: str, due: Due | None) -> None:
    events = {"events": [{"date": "2026-06-10", "happened": what} | SETTLED]}
    for seen_on, wanted in (("2026-06-09", due), ("2026-06-10", None), ("2026-06-20", None)):
        assert judged(SEEN | events | {"inspected_on": seen_on}).due is wanted
    # One without a day is older than anything that happened.
    assert judged(SEEN | events).due is due


def test_a_bolt_that_was_past_an_end_asks_for_another_look_and_one_in_the_margin_does_not() -> None:
    back = {"date": "2026-06-20", "upper_at": 2.5}
    for place, due in ((9, Due.PAST_END), (-0.5, Due.PAST_END), (4.9, None), (3, None)):
        record = SEEN | {"inspected_on": "2026-06-15", "log": [{"date": "2026-06-10", "upper_at": place}, back]}
        assert judged(record).due is due, place
        assert judged(record | {"inspected_on": "2026-06-20"}).due is None
    # The worksheet's own place counts as well.
    out = SEEN | {"upper_now_turns": 9, "log": [back], "inspected_on": "2026-06-15"}
    assert judged(out).due is Due.PAST_END


# Limbs in each other's pockets


def test_the_marks_settle_it_with_their_day() -> None:
    swapped = OWN | {"upper_tiller": 175, "lower_tiller": 179}
    assert kinds(swapped) == [Kind.SWAPPED]
    assert kinds(swapped | {"marks_checked": "right"}) == [Kind.SWAPPED]
    assert kinds(swapped | {"marks_checked": "right", "marks_checked_on": "2026-02-30"}) == [Kind.SWAPPED]
    right = swapped | {"marks_checked": "right", "marks_checked_on": "2026-06-02"}
    assert kinds(right) == []
    assert kinds(right | {"marks_checked": "unsure"}) == [Kind.SWAPPED]
    # Other limbs since: the marks have to be looked at again.
    limbs = {"events": [{"date": "2026-06-03", "happened": "limbs", "found": "counted", "found_on": "2026-06-03"}]}
    assert Kind.SWAPPED in kinds(right | limbs)
    assert Kind.SWAPPED not in kinds(right | limbs | {"marks_checked_on": "2026-06-03"})


def test_marks_that_say_swapped_are_a_stop_whatever_the_tiller() -> None:
    found = judged(OWN | {"marks_checked": "swapped", "marks_checked_on": "2026-06-02"})
    assert [(cause.kind, cause.level) for cause in found.causes] == [(Kind.SWAPPED, Level.STOP)]


@pytest.mark.parametrize(("upper", "lower", "asks"), [(175, 176.1, True), (175, 175.9, False), (175, 175, False)])
def test_from_a_millimetre_on(upper: float, lower: float, asks: bool) -> None:
    assert (Kind.SWAPPED in kinds(OWN | {"upper_tiller": upper, "lower_tiller": lower})) is asks


def test_the_first_tiller_is_the_worksheets_or_else_the_logs_first() -> None:
    """A plan may want the lower limb farther: only what was there before anything was turned is a suspicion."""
    turned = {"date": "2026-06-05", "upper_at": 1, "lower_at": 3, "upper_tiller": 174.5, "lower_tiller": 179}
    assert Kind.SWAPPED not in kinds(OWN | {"log": [turned]})
    bare = changed(OWN, upper_tiller=None, lower_tiller=None)
    assert kinds(bare | {"log": [turned]}) == [Kind.SWAPPED]


# Alarms


def test_a_reading_outside_its_band_is_open_until_it_is_settled() -> None:
    found = judged(OWN | {"log": [WRONG]})
    (cause,) = found.causes
    assert (cause.kind, cause.level) == (Kind.ALARM, Level.STOP)
    assert [alarm.what for alarm in cause.alarms] == ["weight"]
    assert not cause.alarms[0].mirrored


@pytest.mark.parametrize(
    ("rows", "more", "is_open"),
    [
        ([WRONG, RIGHT], {}, False),
        ([RIGHT, WRONG | {"date": "2026-06-07"}], {}, True),
        # Turned on in between: it was not read again at the same places.
        ([WRONG, RIGHT | {"upper_at": 1.5}, RIGHT | {"date": "2026-06-08"}], {}, True),
        # Read again, and the same again: it was no slip.
        ([WRONG, WRONG | {"date": "2026-06-06"}], {}, True),
        ([WRONG], {"events": [{"date": "2026-06-05", "happened": "reading"} | SETTLED]}, False),
        ([WRONG], {"events": [{"date": "2026-06-04", "happened": "reading"} | SETTLED]}, True),
        ([WRONG], {"events": [{"date": "2026-05-01", "happened": "reading", "found": "slip"}]}, True),
        ([WRONG], {"events": [{"date": "2026-06-01", "happened": "click", "found": "slip"}]}, True),
        ([WRONG | {"date": "2026-06-13"}], {"events": [{"date": "2026-06-05", "happened": "reading"} | SETTLED]}, True),
    ],
)
def test_an_alarm_is_closed_by_a_recount_or_by_what_was_found(rows: list[Data], more: Data, is_open: bool) -> None:
    assert bool(judged(OWN | {"log": rows} | more).causes) is is_open


def test_only_the_same_places_repeat_a_reading() -> None:
    """The next reading is the weight that was expected, at another setting: the first one stays open."""
    elsewhere = {"date": "2026-06-06", "upper_at": 1.75, "lower_at": 1.5, "weight": 38.4}
    (cause,) = judged(OWN | {"log": [WRONG, elsewhere]}).causes
    assert date(2026, 6, 5).toordinal() in {alarm.reading.day for alarm in cause.alarms}


def test_a_mirrored_tiller_is_called_that() -> None:
    mirrored = RIGHT | {"upper_tiller": 175.2, "lower_tiller": 178.2}
    (cause,) = judged(OWN | {"log": [mirrored]}).causes
    assert [(alarm.what, alarm.mirrored) for alarm in cause.alarms] == [("tiller", True)]


def test_nothing_is_expected_of_a_bow_that_is_not_the_readers() -> None:
    assert kinds(COMPLETE | LOOKED_OVER | {"log": [WRONG]}) == []
    assert kinds(OWN | {"log": [WRONG | {"upper_at": 9}]}) == [Kind.OUTSIDE]


def test_what_is_passed_on_takes_open_alarms_along() -> None:
    checked = values(OWN | {"log": [WRONG]})
    row = to_pass_on(checked).canonical()["events"]
    assert row == [{"date": "2026-06-05", "happened": "reading"}]
    assert to_pass_on(values(OWN)) is values(OWN).record or to_pass_on(values(OWN)) == values(OWN).record


@pytest.mark.parametrize("months", [1, 7, 12, 36])
def test_the_day_on_which_it_is_due_is_the_calendars(months: int) -> None:
    """By `datetime`: the same day of the month, or the month's last (C)."""
    seen = date(2024, 1, 31)
    year, month = divmod(seen.month - 1 + months, 12)
    first = date(seen.year + year, month + 1, 1)
    last = (first.replace(day=28) + timedelta(days=4)).replace(day=1) - timedelta(days=1)
    until = min(first.replace(day=last.day), first + timedelta(days=30))
    record: dict[str, Any] = SEEN | {"inspected_on": seen.isoformat(), "inspection_months": months}
    assert judged(record, until).due is None
    assert judged(record, until + timedelta(days=1)).due is Due.AGE
