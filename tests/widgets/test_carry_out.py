"""The page on carrying a plan out: what comes next, what was read held against what was foretold, and the way back.

Outside sources: the course and the plan by the bench, under checks of their own; the computed bow as the page on tiller
tells it; U = 2u (GUM, M); pound-force and inch (NIST SP 811, S2). No step over half a turn, a reading that is not as
foretold stops the work: common practice, no source. All bows are made up.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from figures.reading import SPACE, faults
from figures.reading import Drawing as Drawn
from helpers.asking import (
    COMPLETE,
    answered,
    changed,
    numbers,
    picture_of,
    points_of,
    read,
    refused,
    table_of,
    texts,
    values,
)
from helpers.carrying_out import (
    OWN,
    START,
    WANTED,
    Row,
    as_computed,
    bow_at,
    count_of,
    next_of,
    row,
    steps_of,
    turned_in,
)
from helpers.records import some
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import (
    Answer,
    DeferredBlock,
    Drawing,
    Points,
    Refusal,
    State,
    Status,
    Steps,
    Way,
    name_of,
)
from quarterturn.widgets.carry_out.form import ASKED

LBF = 4.4482216152605
INCH = 25.4


def told(record: dict[str, Any], *rows: Row, **more: Any) -> Answer:
    log = {"log": list(rows)} if rows else {}
    return answered(changed(record | log, **more), "carry-out")


def words_of(answer: Answer) -> str:
    data = answer.as_data()
    parts = (data.get(name) for name in ("values", "tables", "points", "steps"))
    return " ".join(map(str, (answer.title, answer.verdict, answer.speak, *parts)))


def change_of(record: dict[str, Any], *rows: Row) -> tuple[float, float]:
    """How far it is to the best pair, by the page on the plan."""
    found = numbers(answered(record | ({"log": list(rows)} if rows else {}), "plan"))
    return found["upper_turns"], found["lower_turns"]


SIZES = {"half a turn": 0.5, "a quarter of a turn": 0.25}


def title_turns(title: str) -> tuple[float, float]:
    """How far the title turns each bolt: out positive."""
    found = {"upper": 0.0, "lower": 0.0}
    for bolts, size, way in re.findall(r"(both|upper|lower) bolts? (half a turn|a quarter of a turn) (in|out)", title):
        for bolt in ("upper", "lower") if bolts == "both" else (bolts,):
            found[bolt] = SIZES[size] * (1 if way == "out" else -1)
    return found["upper"], found["lower"]


def names_of(answer: Answer) -> set[str]:
    """The names of all blocks."""
    return {name_of(block) for block in answer.blocks}


def nothing_comes_next(answer: Answer) -> None:
    """No step, no way on, nothing that is predicted."""
    assert not names_of(answer) & {"next-step", "in-turns", "rest", "pairs", "foretold-by"}
    assert not re.search(r"Expect|Step \d", answer.title + answer.verdict)


# The next step


def test_the_first_step_goes_toward_the_plan_s_best_pair() -> None:
    answer = told(WANTED)
    change = change_of(WANTED)
    first = turned_in(next_of(answer))
    for at in range(2):
        assert first[at] == math.copysign(min(0.5, abs(change[at])), change[at])
    found = numbers(answer)
    assert (found["rows"], found["amiss"]) == (0, 0)
    assert found["left"] == math.ceil(max(map(abs, change)) / 0.5) == len(table_of(answer, "rest").rows)
    assert count_of(answer) == (1, found["left"])
    assert title_turns(answer.title) == first
    assert points_of(answer, "back") == ()
    assert not any(block.name == "course" for block in answer.blocks if hasattr(block, "name"))
    for word in (
        "String off",
        "stringer",
        "lock",
        "which way",
        "seat",
        "loops",
        "never let go",
        "Expect",
        "stop and look",
    ):
        assert word.lower() in next_of(answer).lower()
    # Where they then stand is said as the log wants it.
    upper, lower = (f"{START[at] + first[at]:.2f}" for at in range(2))
    assert f"upper bolt at {upper}, lower bolt at {lower}" in next_of(answer)


def test_what_to_expect_is_the_computed_bow_and_the_band_holds_the_reading_s_own_doubt() -> None:
    answer = told(WANTED)
    first = turned_in(next_of(answer))
    there = bow_at(START[0] + first[0], START[1] + first[1])
    cells = table_of(answer, "rest").rows[0]
    said = re.search(r"Expect about (\S+) lb and (\S+) mm tiller after it", answer.verdict)
    assert said is not None
    assert read(said[2]) == pytest.approx(there["tiller"], abs=0.501)
    assert not re.search(r"±|\d\.\d\d+ turn", answer.title + answer.verdict)
    # The step is not weighed: its weight is told, without a band.
    assert cells[3] == f"{said[1]} not weighed"
    assert read(said[1]) == pytest.approx(there["weight"], abs=0.051)
    assert f"{said[1]} ±" not in next_of(answer)
    weighed = told(OWN | {"wanted_weight": 38.2})
    assert read(table_of(weighed, "rest").rows[0][3].split("±")[1]) >= 2 * 0.5 * math.sqrt(2 / 3) - 0.051
    assert table_of(weighed, "rest").rows[0][3].split(" ±")[0] in next_of(weighed)
    for cell, name, own in zip(cells[4:], ("tiller", "brace"), (math.sqrt(2), 1.0), strict=True):
        assert read(cell) == pytest.approx(there[name], abs=0.051)
        assert cell.split(" ±")[0] in next_of(answer)
        # Two readings, either off by a rectangular doubt, and the turn's on top (k = 2).
        assert read(cell.split("±")[1]) >= 2 * own * math.sqrt(2 / 3) - 0.051


@pytest.mark.parametrize("wish", [{"wanted_weight": 39, "wanted_tiller": 0}, {"wanted_weight": 38.9}])
def test_following_every_step_as_foretold_leads_to_the_best_pair_and_is_done(wish: dict[str, Any]) -> None:
    record = OWN | wish
    rows: list[Row] = []
    here = START
    left = []
    for day in range(1, 9):
        answer = told(record, *rows)
        assert numbers(answer)["amiss"] == 0
        assert numbers(answer)["rows"] == len(rows)
        left.append(numbers(answer)["left"])
        if not left[-1]:
            break
        assert count_of(answer) == (len(rows) + 1, left[0])
        step = turned_in(next_of(answer))
        assert 0 < max(map(abs, step)) <= 0.5
        assert title_turns(answer.title) == step
        here = (here[0] + step[0], here[1] + step[1])
        rows.append(as_computed(day, *here))
    assert left == sorted(left, reverse=True)
    assert left[-1] == 0
    assert (here[0] - START[0], here[1] - START[1]) == change_of(record)
    assert answer.title.startswith("Done")
    assert "As expected: draw weight, tiller and brace height." in answer.verdict
    assert steps_of(answer, "next-step") == ()
    assert answer.state is State.EXPLAIN
    assert len(table_of(answer, "course").rows) == len(rows) + 1


def test_steps_are_counted_from_where_the_plan_was_made() -> None:
    step = as_computed(1, 2.0, 1.5)
    again = step | {"date": "2026-07-02"}
    assert count_of(told(WANTED)) == (1, 3)
    assert count_of(told(WANTED, step)) == (2, 3)
    assert count_of(told(WANTED, step, again)) == (2, 3)  # measured twice, turned once
    assert count_of(told(WANTED, step, as_computed(2, *START))) == (1, 3)  # taken back
    made = {"planned_on": "2026-07-02", "planned_weight": 38, "planned_tiller": 4}
    kept = made | {"planned_upper": 2.0, "planned_lower": 1.5}
    assert count_of(told(WANTED | kept, step, again)) == (1, 2)
    said = texts(told(WANTED | kept, step, again))
    assert (said["planned_on"], said["planned_at"]) == ("2 July 2026", "2.00 / 1.50")
    assert count_of(told(WANTED | kept, step, again, as_computed(3, 1.5, 1.25))) == (2, 2)


def test_the_page_keeps_the_plan_as_the_page_before_does() -> None:
    record = OWN | {"wanted_weight": 38.5, "planned_on": "2026-06-30"}
    assert told(record).keeps == answered(record, "plan").keeps != ()


# What is measured


FINE = {"scale_step": 0.1, "draw_step": 0.05}
COARSE_WISH = OWN | {"wanted_weight": 39.5, "upper_now_turns": 3.25, "lower_now_turns": 3.0}
"""A pound and a half more: four rounds, and three of them before a scale of half pounds can tell."""


def is_weighed(answer: Answer) -> list[bool]:
    """After which of the steps that are left the bow is weighed."""
    return ["not weighed" not in each[3] for each in table_of(answer, "rest").rows]


def test_the_tape_is_read_after_every_step_and_the_scale_where_it_can_tell_and_at_the_end() -> None:
    """By the table's own numbers: it is weighed where it is farther from 38 lb than its band, and at the end."""
    answer = told(COARSE_WISH)
    rows = table_of(answer, "rest").rows
    assert is_weighed(answer) == [False, False, True, True]
    two_readings = 2 * 0.5 * math.sqrt(2 / 3)  # the least that a band can be (GUM)
    assert 0 < read(rows[0][3]) - 38 < two_readings
    assert read(rows[2][3]) - 38 > read(rows[2][3].split("±")[1]) > read(rows[1][3]) - 38 > 0
    assert read(rows[3][3]) - read(rows[2][3]) < two_readings  # the last step
    assert all("±" in each[at] for each in rows for at in (4, 5))
    assert is_weighed(told(COARSE_WISH | FINE)) == [True] * 4


def test_the_step_says_what_to_measure_in_it_and_why() -> None:
    first, fine = told(COARSE_WISH), told(COARSE_WISH | FINE)
    assert (
        "Measure brace height and both tillers. Half a turn is the most in one step. No need to weigh here"
        in next_of(first)
    )
    assert not re.search(r"Expect [^:]* lb", next_of(first))
    assert "Measure brace height and both tillers, and weigh. Half a turn is the most in one step." in next_of(fine)
    assert "It is the first setting whose weight a scale can tell from the last weighing." in next_of(fine)
    assert re.search(r"Expect \S+ ± \S+ lb", next_of(fine).replace("\u00a0", " "))
    assert is_weighed(told(OWN | {"wanted_weight": 38.2})) == [True]
    last = next_of(told(OWN | {"wanted_weight": 38.2}))
    assert "Measure brace height and both tillers, and weigh. It is the last step." in last
    for answer in (first, fine):
        assert "brace height" in next_of(answer)
        assert "both tillers" in next_of(answer)


def test_after_the_last_step_it_is_weighed_before_it_is_done() -> None:
    rows = [as_computed(1, 2.0, 1.5), as_computed(2, 1.5, 1.25)]
    end = (START[0] + change_of(WANTED)[0], START[1] + change_of(WANTED)[1])
    there = bow_at(*end)
    tape = row(3, *end, tiller=there["tiller"], brace=there["brace"])
    answer = told(WANTED, *rows, tape)
    assert numbers(answer)["left"] == 0
    assert answer.title == "Weigh it: the last step is done"
    assert "Weigh it, and enter the draw weight" in answer.verdict
    assert next_of(answer) == ""
    assert told(WANTED, *rows, tape, row(4, weight=there["weight"])).title.startswith("Done")
    assert told(WANTED, *rows, tape | {"weight": there["weight"]}).title.startswith("Done")


def test_a_step_that_was_not_weighed_is_held_against_what_the_weighing_before_it_foretold() -> None:
    """A weight that is off is noticed where it is read, though the steps before it were measured by tape alone."""
    tape = [{name: value for name, value in as_computed(1, 2.0, 1.5).items() if name != "weight"}]
    assert numbers(told(WANTED, *tape))["amiss"] == 0
    assert table_of(told(WANTED, *tape), "course").rows[-1][2] == "not read"
    assert told(WANTED, *tape, as_computed(2, 1.5, 1.25)).state is State.EXPLAIN
    wrong = told(WANTED, *tape, as_computed(2, 1.5, 1.25, weight=3))
    assert (wrong.state, wrong.title) == (State.STOP, "Stop: the weight was not what was expected")


def test_a_reading_that_is_a_little_off_at_the_end_is_no_reason_for_another_step() -> None:
    """Half a pound and a millimetre: less than the scale and the tape could tell of a step after it."""
    end = (START[0] + change_of(WANTED)[0], START[1] + change_of(WANTED)[1])
    rows = [as_computed(1, 2.0, 1.5), as_computed(2, 1.5, 1.25), as_computed(3, *end, weight=0.5, tiller=-1)]
    answer = told(WANTED, *rows)
    assert change_of(WANTED, *rows) != (0, 0)  # the nearest is another one now
    assert numbers(answer)["left"] == 0
    assert answer.title == "Done: no reading could tell a nearer setting"
    assert next_of(answer) == ""
    assert told(WANTED, *rows, as_computed(4, *end)).title.startswith("Done")
    # It is not where the plan led: the step that is left is told.
    on_the_way = told(WANTED, *rows[:2])
    assert numbers(on_the_way)["left"] == 1


# Held against what was foretold


CALLED = {"weight": "the weight", "tiller": "the tiller", "brace": "the brace height"}


@pytest.mark.parametrize("off", [{"weight": 3.0}, {"weight": -3.0}, {"tiller": 8.0}, {"tiller": -8.0}, {"brace": 9.0}])
def test_a_reading_that_is_not_as_foretold_stops_the_work_before_all_else(off: dict[str, float]) -> None:
    answer = told(WANTED, as_computed(1, 2.0, 1.75, **off))
    name = CALLED[next(iter(off))]
    assert answer.state is State.STOP
    assert answer.title == f"Stop: {name} was not what was expected"
    assert answer.speak.startswith("Stop")
    first = answer.blocks[0]
    assert isinstance(first, Steps)
    assert first.name == "way-back"
    assert any("technician" in step for step in first.steps)
    assert "Turn nothing farther" in answer.verdict
    # What was read, what was expected, and within what, is what the table has.
    row_, cell = table_of(answer, "course").rows[1], 2 + list(CALLED.values()).index(name)
    read_as, expected, within = re.match(r"(\S+) \((\S+) ±\u00a0(\S+): not", row_[cell]).groups()  # type: ignore[union-attr]
    unit = "lb" if cell == 2 else "mm"
    said = f"was {read_as} {unit} on 2026-07-01; expected was {expected} {unit}, within {within} {unit}"
    assert said in answer.verdict
    assert numbers(answer)["amiss"] == 1
    nothing_comes_next(answer)
    (back,) = points_of(answer, "back")
    assert turned_in(back) == (0.5, 0.25)
    way = next(block for block in answer.blocks if isinstance(block, Way))
    assert {stage.page for stage in way.stages} == {"set", "keep"}


def test_it_stops_every_page_that_predicts() -> None:
    record = WANTED | {"log": [as_computed(1, 2.0, 1.75, weight=3)]}
    for page in ("draw-weight", "tiller", "plan", "after"):
        answer = answered(record, page)
        assert (answer.state, answer.title) == (State.STOP, "Stop: the weight was not what was expected")
        assert answer.all_values() == ()


def test_the_band_in_the_table_is_what_decides() -> None:
    """A reading just inside what is shown in brackets is as foretold, one just outside is not."""
    plain = table_of(told(WANTED, as_computed(1, 2.0, 1.75)), "course").rows[1]
    inside = re.search(r"\((\S+) ±\u00a0(\S+)\)", str(plain[2]))
    assert inside is not None
    value, expanded = float(inside[1]), float(inside[2])
    for side in (-1, 1):
        for part, amiss in ((expanded - 0.11, 0), (expanded + 0.11, 1)):
            record = row(1, 2.0, 1.75, weight=round(value + side * part, 3))
            assert numbers(told(WANTED, record))["amiss"] == amiss


WRONG = {"weight": 4, "tiller": 9}


def settled(day: int, on: int | None = None) -> Row:
    """A reading of that day that nobody had expected, looked at on another day: nothing was wrong."""
    event = {"date": f"2026-07-{day:02}", "happened": "reading"}
    return event | ({} if on is None else {"found": "nothing", "found_on": f"2026-07-{on:02}"})


def test_all_that_are_amiss_are_told_until_they_are_settled() -> None:
    wrong, again = as_computed(1, 2.0, 1.75, **WRONG), as_computed(2, 2.0, 1.75, **WRONG)
    answer = told(WANTED, wrong)
    assert answer.title == "Stop: the weight and the tiller were not what was expected"
    assert answer.verdict.count("expected was") == numbers(answer)["amiss"] == 2
    # The same again is no explanation of it.
    answer = told(WANTED, wrong, again)
    assert numbers(answer)["amiss"] == 0
    assert "on 2026-07-01; expected was" in answer.verdict
    nothing_comes_next(answer)
    for event in (settled(1), settled(1, on=1) | {"date": "2026-06-30"}):
        assert told(WANTED, wrong, again, events=[event]).state is State.STOP  # open, or of a day before
    # Looked at, and written down: it goes on from what was read.
    answer = told(WANTED, wrong, again, events=[settled(1, on=2)])
    assert "not expected" in str(table_of(answer, "course").rows[1])
    assert "not as foretold" not in str(table_of(answer, "course").rows[2])
    assert answer.state is State.EXPLAIN
    assert next_of(answer) != ""
    alone = told(WANTED, wrong, events=[settled(1, on=1)])
    assert "Not as expected, but you wrote down that it is settled: draw weight and tiller." in alone.verdict
    # What comes after it is held against what it says.
    assert told(WANTED, wrong, as_computed(2, 1.75, 1.75), events=[settled(1, on=1)]).state is State.STOP


def test_measured_again_and_then_as_expected_it_was_a_slip() -> None:
    """The band of a weighing is some 0.9 lb wide to either side: 1.1 lb off, and half a pound off the second time."""
    slip = as_computed(1, 2.0, 1.75, weight=1.1)
    assert told(WANTED, slip).state is State.STOP
    answer = told(WANTED, slip, as_computed(2, 2.0, 1.75, weight=0.5))
    assert answer.state is State.EXPLAIN
    assert next_of(answer) != ""
    # Somewhere else it is another reading.
    assert told(WANTED, slip, as_computed(2, 2.25, 1.75, weight=0.5)).state is State.STOP


def measured_again(second: float = 0.0) -> Answer:
    """After a weighing that was four pounds off, and another one at the same places."""
    return told(WANTED, as_computed(1, 2.0, 1.75, weight=4), as_computed(2, 2.0, 1.75, weight=second))


def test_a_large_slip_is_settled_by_measuring_again_as_well() -> None:
    """Though the second reading is far from the first."""
    answer = measured_again()
    assert (answer.state, answer.title) == (State.EXPLAIN, told(WANTED, as_computed(2, 2.0, 1.75)).title)
    assert turned_in(next_of(answer)) == (-0.5, -0.5)
    assert measured_again(-4).state is measured_again(4).state is State.STOP


def test_what_was_measured_again_as_expected_is_called_that() -> None:
    assert "not as expected" not in measured_again().verdict


def test_what_was_read_makes_the_rest_of_the_plan() -> None:
    """A step that did half of what is computed: more is left to do than after one that did as computed."""
    there = bow_at(2.0, 2.0)
    wanted = OWN | {"wanted_tiller": -5, "tape_step": 0.2}
    half = row(1, 2.0, 2.0, tiller=(4 + there["tiller"]) / 2)
    whole = row(1, 2.0, 2.0, tiller=there["tiller"])
    by = {"foretell_by": "readings", "events": [settled(1, on=1)]}
    far, near = (numbers(told(wanted, one, **by)) for one in (half, whole))
    assert far["left"] > near["left"]
    rates = {}
    for name, one in (("half", half), ("whole", whole)):
        cells = next(
            row for row in table_of(told(wanted, one, **by), "foretold-by").rows if row[0] == "upper bolt: tiller"
        )
        rates[name] = read(cells[1])
    assert rates["half"] == pytest.approx(rates["whole"] / 2, rel=0.05)


# The way back


def test_a_step_back_is_always_open_and_leads_where_it_came_from() -> None:
    rows = [as_computed(1, 2.0, 1.75), as_computed(2, 1.5, 1.75)]
    (back,) = points_of(told(WANTED, *rows), "back")
    assert turned_in(back) == (0.5, 0)
    (first,) = points_of(told(WANTED, rows[0]), "back")
    assert turned_in(first) == (0.5, 0.25)
    assert "38.0 lb" in first
    assert "tiller 4.0 mm" in first
    for word in ("String off", "stringer", "ock"):
        assert word in back
    block = next(one for one in told(WANTED, *rows).blocks if isinstance(one, Points) and one.name == "back")
    assert block.kind != "stop"
    # Taken back, the step before it is the next that can be.
    (again,) = points_of(told(WANTED, *rows, as_computed(3, 2.0, 1.75)), "back")
    assert turned_in(again) == (0.5, 0.25)
    (none,) = points_of(told(WANTED, rows[0], as_computed(2, *START)), "back")
    assert turned_in(none) == (0, 0)


def test_the_step_back_is_open_where_there_is_no_plan_and_where_nothing_was_read() -> None:
    for answer in (
        told(WANTED, row(1, 2.0, 1.75)),
        told(WANTED, row(1, 0.0, 2.0, weight=39)),
        told(WANTED, row(1, 2.0, 1.75), margin=2, upper_touch_turns=4),
        told(WANTED, as_computed(1, 2.0, 1.75, weight=5)),
        told(changed(WANTED, draw_weight=None), row(1, 2.0, 1.75, tiller=2.0)),
        told(COMPLETE, row(1, 2.0, 1.75)),
    ):
        assert len(points_of(answer, "back")) == 1


@pytest.mark.parametrize("to", [(1.0, 2.0), (2.5, 4.0), (1.25, 3.25)])
def test_a_way_back_of_more_than_half_a_turn_is_said_to_be_gone_in_steps(to: tuple[float, float]) -> None:
    (back,) = points_of(told(WANTED, row(1, *to)), "back")
    turned = turned_in(back)
    assert turned == (START[0] - to[0], START[1] - to[1])
    assert "in steps of half a turn at most" in back
    (short,) = points_of(told(WANTED, row(1, 2.0, 1.5)), "back")
    assert "in steps of half" not in short


@pytest.mark.parametrize(
    "rows",
    [(), ((2.0, 2.0),), ((2.0, 2.0), (1.5, 1.5)), ((4.5, 4.25),), ((0.75, 0.75),), ((1.375, 2.125),)],
)
def test_no_sentence_turns_more_than_half_a_turn_at_once(rows: tuple[tuple[float, float], ...]) -> None:
    for wanted in ({"wanted_weight": 39.4}, {"wanted_weight": 36, "wanted_tiller": 12}, {"wanted_tiller": -15}):
        answer = told(OWN | wanted, *(as_computed(day, *there) for day, there in enumerate(rows, 1)))
        listed = steps_of(answer, "next-step")
        assert max(map(abs, turned_in(" ".join(listed)))) <= 0.5
        assert not re.search(r"three quarters|by (one|two|a whole) turn", " ".join(listed))
        for one in table_of(answer, "rest").rows if listed else ():
            assert not re.search(r"[¾1-9]\s*(½|¼|¾)?$", one[1].split(",")[0].replace("½", "").replace("¼", ""))
        assert any("no bolt by more than half a turn" in each for each in points_of(answer, "cautions"))


# The log's rows


def test_rows_in_any_order_are_taken_by_their_dates_and_those_of_a_day_as_they_stand() -> None:
    one, two, three = as_computed(1, 2.0, 1.75), as_computed(2, 1.5, 1.75), as_computed(3, 1.25, 1.75)
    plain = told(WANTED, one, two, three)
    assert told(WANTED, three, one, two).as_data() == plain.as_data()
    same_day = [each | {"date": "2026-07-01"} for each in (one, two, three)]
    assert numbers(told(WANTED, *same_day)) == numbers(plain)
    assert table_of(told(WANTED, *same_day[::-1]), "course").rows[-1][1] == "2.00 / 1.75"
    labels = [each[0] for each in table_of(told(WANTED, *same_day), "course").rows]
    assert len(set(labels)) == 4


def test_a_row_without_a_place_stands_where_they_were_and_one_without_anything_counts_for_nothing() -> None:
    step = as_computed(1, 2.0, 1.75)
    later = told(WANTED, step, row(2, weight=bow_at(2.0, 1.75)["weight"]))
    assert table_of(later, "course").rows[-1][1] == "2.00 / 1.75"
    assert numbers(later)["rows"] == 2
    half = told(WANTED, step, row(2, upper=1.5, weight=bow_at(1.5, 1.75)["weight"]))
    assert table_of(half, "course").rows[-1][1] == "1.50 / 1.75"
    assert numbers(half)["amiss"] == 0
    bare = told(WANTED, step, row(2))
    assert numbers(bare)["rows"] == 1
    assert next_of(bare) == next_of(told(WANTED, step))
    only = told(WANTED, row(1, weight=38.2))
    assert table_of(only, "course").rows[-1][1] == "2.50 / 2.00"


def test_a_step_after_which_nothing_was_read_is_measured_first() -> None:
    answer = told(WANTED, row(1, 2.0, 1.75))
    assert answer.title.startswith("Measure")
    assert steps_of(answer, "next-step") == ()
    assert not any(getattr(block, "name", "") == "rest" for block in answer.blocks)
    # The tape is read after every step: with one of its readings it goes on, with the weight alone it does not.
    assert next_of(told(WANTED, row(1, 2.0, 1.75, brace=221.0))) != ""
    assert next_of(told(WANTED, row(1, 2.0, 1.75, tiller=3.0))) != ""
    weighed = row(1, 2.0, 1.75, weight=38.3)
    assert told(WANTED, weighed).title == answer.title
    assert next_of(told(WANTED, weighed)) == ""
    # In an entry of its own as well; a bare one after it is a step that nobody has measured after.
    assert next_of(told(WANTED, weighed, row(2, 2.0, 1.75, tiller=3.0))) != ""
    assert next_of(told(WANTED, row(1, 2.0, 1.75, tiller=3.0), row(2, 2.0, 1.75, weight=38.3))) != ""
    assert told(WANTED, row(1, 2.0, 1.75, tiller=3.0), row(2, 2.0, 1.75)).title == answer.title


def test_one_tiller_alone_is_no_reading_of_tiller() -> None:
    answer = told(WANTED, row(1, 2.0, 1.75) | {"upper_tiller": 178})
    assert table_of(answer, "course").rows[-1][3] == "not read"
    assert numbers(answer)["amiss"] == 0


def test_the_same_place_twice_is_held_against_the_first() -> None:
    first = as_computed(1, 2.0, 1.75)
    assert numbers(told(WANTED, first, first | {"date": "2026-07-02"}))["amiss"] == 0
    other = first | {"date": "2026-07-02", "weight": first["weight"] + 2}
    assert numbers(told(WANTED, first, other))["amiss"] == 1


def test_absurd_and_unfinished_rows_are_told() -> None:
    absurd = told(WANTED, as_computed(1, 2.0, 1.75, weight=40))
    assert any("2026-07-01" in each and "draw weight" in each for each in points_of(absurd, "log-told"))
    assert points_of(told(WANTED, as_computed(1, 2.0, 1.75)), "log-told") == ()
    unfinished = told(WANTED, as_computed(1, 2.0, 1.75), {"weight": 40})
    assert any("date" in each for each in points_of(unfinished, "log-told"))
    assert numbers(unfinished)["rows"] == 1
    outside = told(WANTED, row(1, 9.0, 2.0, weight=30), as_computed(2, 2.0, 1.75))
    assert any("outside its safe range" in each for each in points_of(outside, "log-told"))
    cell = table_of(outside, "course").rows[1][2]
    assert "±" not in cell  # nothing is foretold outside


def test_a_newest_row_outside_its_window_has_no_next_step() -> None:
    answer = told(WANTED, row(1, 0.0, 2.0, weight=39))
    assert (answer.state, answer.title) == (State.STOP, "Stop: the upper bolt is at 0, too close to flush")
    assert any("Upper bolt: half a turn out" in step for step in steps_of(answer, "way-back"))
    nothing_comes_next(answer)


# States


def test_the_empty_record_is_an_example_without_a_step() -> None:
    answer = told({"version": 1})
    assert answer.state is State.EXAMPLE
    assert {value.status for value in answer.all_values()} == {Status.EXAMPLE}
    wanted = told({"version": 1, "wanted_weight": 39})
    title = next(block.title for block in wanted.blocks if isinstance(block, Steps) and block.name == "next-step")
    assert "of an example: turn nothing by it" in title


@pytest.mark.parametrize("lacking", ["draw_weight", "brace_height", "upper_tiller"])
def test_nothing_is_held_against_a_made_up_bow(lacking: str) -> None:
    """With rows in the log and a reading of before the first step left out, no reading is called amiss."""
    answer = told(changed(WANTED, **{lacking: None}), as_computed(1, 2.0, 1.75, weight=20))
    assert numbers(answer)["amiss"] == 0
    assert not answer.title.startswith("Stop")
    assert "±" not in str(table_of(answer, "course").rows)
    assert steps_of(answer, "next-step") == ()


def test_in_turns_alone_one_small_step_and_the_tape() -> None:
    answer = told(COMPLETE, wanted_weight=39)
    assert answer.title.startswith("Turns only")
    assert steps_of(answer, "in-turns") != ()
    assert steps_of(answer, "next-step") == ()
    assert not any(isinstance(block, Drawing) for block in answer.blocks)
    assert not re.search(r"\d (lb|mm)\b", f"{answer.title} {answer.verdict}")


@pytest.mark.parametrize(
    ("change", "state"),
    [
        ({"check_limbs": "fault"}, State.STOP),
        ({"check_lock": "unsure"}, State.ASK),
        ({"bolt_family": "clamp"}, State.ASK),
        ({"upper_now_turns": 9, "lower_now_turns": 9}, State.STOP),
        ({"events": [{"date": "2026-07-09", "happened": "click"}]}, State.STOP),
        ({"events": [{"date": "2026-07-09", "happened": "limbs"}]}, State.OPEN),
    ],
)
def test_what_speaks_against_the_bow_leaves_no_step_and_no_prediction(change: dict[str, Any], state: State) -> None:
    for record in (WANTED, COMPLETE):
        for rows in ((), (as_computed(1, 2.0, 1.75),), (as_computed(1, 2.0, 1.75, weight=5),)):
            answer = told(record | change, *rows)
            amiss = record is WANTED and len(rows) == 1 and rows[0]["weight"] > 40 and "bolt_family" not in change
            if "upper_now_turns" in change and rows:
                continue  # the log has brought them back
            assert answer.state is (State.STOP if amiss else state)
            nothing_comes_next(answer)
            assert ("course" in names_of(answer)) is bool(rows)  # what was read
            assert ("happened" in names_of(answer)) is ("events" in change)


@pytest.mark.parametrize("record", [WANTED, COMPLETE])
def test_until_the_bow_is_looked_over_again_there_is_no_step(record: dict[str, Any]) -> None:
    answer = told(record | {"inspection_source": "other"}, as_computed(1, 2.0, 1.75))
    assert (answer.state, answer.title) == (State.OPEN, "Look the bow over yourself first")
    assert not names_of(answer) & {"next-step", "in-turns", "rest"}
    assert "course" in names_of(answer)


def test_where_no_plan_is_told_no_steps_are_counted() -> None:
    assert "left" not in numbers(told(WANTED, check_limbs="fault"))


@pytest.mark.parametrize(
    ("change", "state", "words"),
    [
        ({"upper_touch_found": "no"}, State.OPEN, "without both safe ranges"),
        ({"upper_now_turns": 0.1}, State.STOP, "the upper bolt is at 0.1"),
        ({"log": [{"date": "2026-07-01", "upper_at": 2}, {"lower_at": 2}]}, State.OPEN, "log cannot be used"),
    ],
)
def test_without_a_plan_there_is_no_step(change: dict[str, Any], state: State, words: str) -> None:
    answer = told(WANTED | change)
    assert answer.state is state
    assert steps_of(answer, "next-step") == ()
    assert not names_of(answer) & {"rest", "pairs"}
    assert words in answer.title + answer.verdict


def test_out_of_reach_is_not_called_done() -> None:
    corner = told(OWN | {"wanted_weight": 60, "wanted_tiller": 4})
    assert numbers(corner)["left"] > 0
    change = change_of(OWN | {"wanted_weight": 60, "wanted_tiller": 4})
    there = (START[0] + change[0], START[1] + change[1])
    answer = told(OWN | {"wanted_weight": 60, "wanted_tiller": 4}, as_computed(1, *there))
    assert numbers(answer)["left"] == 0
    assert "Done" not in answer.title


def test_cautions_are_always_there_and_nothing_is_called_safe() -> None:
    for answer in (
        told(WANTED),
        told({"version": 1}),
        told(COMPLETE),
        told(WANTED, as_computed(1, 2.0, 1.75, weight=5)),
    ):
        assert any("Take the string off the bow before" in each for each in points_of(answer, "cautions"))
        assert any("measure after every step" in each for each in points_of(answer, "cautions"))
        assert not re.search(r"\bsafe(?! ranges?\b)", words_of(answer))


# Pictures, units, what is quick, refusals


def test_the_map_has_no_taps_here_and_shows_where_they_stand() -> None:
    answer = told(WANTED, as_computed(1, 2.0, 1.75))
    drawing = Drawn(picture_of(answer, "pairs"))
    assert faults(drawing, "carry-out-pairs") == []
    assert not any(one.tag == f"{SPACE}a" for one in drawing.elements)
    assert "carry-out-pairs-looked" not in drawing.by_id
    group = drawing.by_id["carry-out-pairs-map"].attrib
    x, _, wide = drawing.numbers("carry-out-pairs-now", "x", "y", "width")
    weight = (x + wide / 2 - float(group["data-origin-x"])) / float(group["data-scale-x"])
    assert weight == pytest.approx(bow_at(2.0, 1.75)["weight"], abs=0.01)


def test_readings_are_shown_in_the_reader_s_units() -> None:
    first = as_computed(1, 2.0, 1.75)
    plain = table_of(told(WANTED, first), "course")
    newtons = told(
        WANTED | {"draw_weight": {"typed": repr(38 * LBF), "unit": "N"}, "length_unit": "in"},
        first | {"weight": {"typed": repr(first["weight"] * LBF), "unit": "N"}},
    )
    table = table_of(newtons, "course")
    for at, size in ((2, LBF), (3, 1 / INCH), (4, 1 / INCH)):
        assert read(table.rows[1][at]) == pytest.approx(read(plain.rows[1][at]) * size, abs=0.051 * max(size, 0.02))
    assert table.columns[2:] == ("draw weight, N", "tiller, in", "brace height, in")
    assert numbers(newtons)["amiss"] == 0
    assert numbers(newtons)["left"] == numbers(told(WANTED, first))["left"]
    assert " in" in next_of(newtons)


def test_every_reading_stands_in_the_table_beside_what_was_foretold_before_it() -> None:
    rows = [as_computed(1, 2.0, 1.75), as_computed(2, 1.5, 1.75)]
    answer = told(WANTED, *rows)
    found = table_of(answer, "course").rows
    assert [each[1] for each in found] == ["2.50 / 2.00", "2.00 / 1.75", "1.50 / 1.75"]
    assert "±" not in str(found[0])
    for place, one in enumerate(rows, 1):
        assert one["date"] in found[place][0]
        for at, name in ((2, "weight"), (4, "brace_height")):
            assert read(found[place][at]) == pytest.approx(one[name], abs=0.051)
        foretold = re.findall(r"\((\S+) ±", " ".join(found[place]))
        assert len(foretold) == 3
    assert texts(answer)["rows"] == "2"


def test_what_stops_comes_with_what_is_quick() -> None:
    quick = [
        part
        for part in WIDGETS["carry-out"].answer(values(WANTED | {"log": [as_computed(1, 2.0, 1.75, weight=5)]})).parts
        if not isinstance(part, DeferredBlock)
    ]
    names = [getattr(part, "name", "") for part in quick]
    assert names[0] == "way-back"
    assert {"back", "progress", "cautions"} <= set(names)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"wanted_weight": 500}, "wanted_weight"),
        ({"log": [{"date": "2026-07-01", "weight": "heavy"}]}, "log.1.weight"),
        ({"log": [{"date": "the first", "weight": 38}]}, "log.1.date"),
        ({"log": [{"date": "2026-07-01", "upper_at": 99}]}, "log.1.upper_at"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(change: dict[str, Any], field: str) -> None:
    sentences = refused(OWN | change, "carry-out")
    assert set(sentences) == {field}
    assert sentences[field].endswith(".")


def outcome_of(given: Values) -> Answer | Refusal:
    try:
        return WIDGETS["carry-out"].answer(given)
    except Refusal as refusal:
        return refusal


def test_drawn_records_are_answered_with_numbers_or_refused_with_sentences() -> None:
    """Records from the schema's own limits, logs and all."""
    answers = 0
    for record in some(24, start=9000):
        given = Values(from_data(record).record)
        found = outcome_of(given)
        if isinstance(found, Refusal):
            assert all(one.sentence.endswith(".") and one.name.split(".")[0] in ASKED for one in found.problems)
            continue
        answers += 1
        for value in found.all_values():
            assert value.value is None or math.isfinite(value.value)
        assert not re.search(r"\bnan\b|\binf\b", words_of(found))
        left = given.choice("thread_hand") == "left"
        assert max(map(abs, turned_in(next_of(found), left=left))) <= 0.5
    assert answers > 5
