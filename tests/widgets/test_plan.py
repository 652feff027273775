"""The page that plans a change: what it says, that it says the same everywhere, and what it must not say.

Outside sources: the plan by bench/plan.py, which stands under its own search of all pairs; the worksheet's windows;
U = 2u (GUM, M); pound-force, kilogram-force and inch (NIST SP 811, S2). One turn in of both bolts of the default bow is
0.865 lb (model.md 4, C). No step over half a turn, a tenth of the weight over four to six turns: common practice, no
source. All bows are made up.
"""

from __future__ import annotations

import math
import re
from datetime import date
from typing import Any

import pytest

from figures.reading import SPACE, faults
from figures.reading import Drawing as Drawn
from helpers.asking import (
    COMPLETE,
    MAKER,
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
    windows,
)
from helpers.records import some
from quarterturn.bench.bow_inputs import bow_inputs
from quarterturn.bench.course import WHAT, course_of
from quarterturn.bench.history import read_to
from quarterturn.bench.judgement import judge
from quarterturn.bench.plan import Plan, Wish, find
from quarterturn.numbers import quarters
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS, planned_change
from quarterturn.widgets.answer import (
    Answer,
    DeferredBlock,
    Drawing,
    Entries,
    Offer,
    Points,
    Refusal,
    State,
    Status,
    Steps,
    Table,
)
from quarterturn.widgets.plan.form import ASKED
from quarterturn.widgets.plan_form import PLAN_KEPT
from quarterturn.widgets.planned_change import PlannedChange
from quarterturn.widgets.turn_prediction import predict

LBF = 4.4482216152605
KGF = 9.80665
INCH = 25.4
BOW: dict[str, Any] = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
OWN: dict[str, Any] = COMPLETE | BOW
WANTED: dict[str, Any] = OWN | {"wanted_weight": 39, "wanted_tiller": 0}
BEST = ("upper_turns", "lower_turns", "best_weight", "best_tiller", "best_brace_height", "pairs")


SHOWN = 1e-6
"""Relative: numbers are told to seven digits, the same on every machine."""


def told(record: dict[str, Any], **more: Any) -> Answer:
    return answered(changed(record, **more), "plan")


def names(answer: Answer) -> set[str]:
    return {value.name for value in answer.all_values()}


def steps_of(answer: Answer, name: str) -> tuple[str, ...]:
    return next((block.steps for block in answer.blocks if isinstance(block, Steps) and block.name == name), ())


def words_of(answer: Answer) -> str:
    data = answer.as_data()
    return " ".join(
        map(str, (answer.title, answer.verdict, answer.speak, *map(data.get, ("values", "tables", "points", "steps"))))
    )


def turned_in(step: str) -> tuple[float, float]:
    """How far a step turns each bolt, by its own words: out positive."""
    found = {"upper": 0.0, "lower": 0.0}
    size = {"half a turn": 0.5, "a quarter of a turn": 0.25}
    pattern = (
        r"(both bolts|the upper bolt|the lower bolt) (in|out)( \((?:anti)?clockwise, facing the head\))?,?( each)? "
        r"by ([^:;.]+)"
    )
    for bolts, way, hand, _, far in re.findall(pattern, step):
        assert hand == "" or "clockwise" in hand  # a drawn bow's thread may be left-handed
        for bolt in ("upper", "lower") if bolts == "both bolts" else (bolts.split()[1],):
            found[bolt] += size[far.strip()] * (1 if way == "out" else -1)
    return found["upper"], found["lower"]


def cells_of(answer: Answer, table: str) -> list[dict[str, str]]:
    """The rows of a table by its columns' names without their units."""
    found = table_of(answer, table)
    return [{name.split(",")[0]: cell for name, cell in zip(found.columns, row, strict=True)} for row in found.rows]


def ranked(answer: Answer) -> dict[str, dict[str, str]]:
    """The ranking's rows by their first cell: best, 2, 3 and so on, now, looked at."""
    weight = table_of(answer, "ranking").columns[3]
    return {row[""]: row | {"weight": row[weight.split(",")[0]]} for row in cells_of(answer, "ranking")}


def planned(record: dict[str, Any]) -> Plan:
    """The plan of a record without a log, asked of the bench."""
    given = values(record)
    bow = bow_inputs(given, ASKED)
    course = course_of(bow, (), read_to(bow), "both")
    weight, tiller = given.optional("wanted_weight"), given.optional("wanted_tiller")
    wish = Wish(
        course.value("weight") if weight is None else weight,
        course.value("tiller") if tiller is None else tiller,
        given.number("tiller_worth") / LBF,
    )
    return find(bow, course, wish)


QUARTERS = {"0": 0.0, "¼": 0.25, "½": 0.5, "¾": 0.75}


def turns_in(cell: str) -> float:
    whole, rest = (cell[:-1], cell[-1]) if cell[-1] in "¼½¾" else (cell, "0")
    return float(whole or 0) + QUARTERS[rest]


def change_in(title: str) -> tuple[float, float]:
    """How far each bolt is turned by the plan's title: out positive."""
    found = {"upper": 0.0, "lower": 0.0}
    for bolts, size, way in re.findall(r"(both|upper|lower) bolts? (\S+) turns? (in|out)", title):
        for bolt in ("upper", "lower") if bolts == "both" else (bolts,):
            found[bolt] = turns_in(size) * (1 if way == "out" else -1)
    return found["upper"], found["lower"]


def rounded(value: float, digits: int = 0) -> str:
    """Half of the last digit up."""
    size = f"{math.floor(abs(value) * 10**digits + 0.5 + 1e-9) / 10**digits:.{digits}f}"
    return f"−{size}" if value < 0 and float(size) else size


def is_round(answer: Answer) -> bool:
    """Whether headline and sentence have neither a doubt nor hundredths of a turn."""
    return not re.search(r"±|\d\.\d\d+ turn", f"{answer.title} {answer.verdict}")


# The plan


@pytest.mark.parametrize(
    "wanted",
    [
        {"wanted_weight": 39, "wanted_tiller": 0},
        {"wanted_weight": 37},
        {"wanted_tiller": -3.5},
        {"wanted_weight": 38.3, "wanted_tiller": 6, "tiller_worth": 10},
        {"wanted_weight": 55, "wanted_tiller": 4},
    ],
)
def test_the_best_pair_is_the_bench_s_in_values_table_title_and_map(wanted: dict[str, Any]) -> None:
    record = OWN | wanted
    answer, plan = told(record), planned(record)
    found = numbers(answer)
    assert (found["upper_turns"], found["lower_turns"]) == plan.best.change
    assert found["best_weight"] == pytest.approx(plan.best.weight / LBF, rel=SHOWN)
    assert found["best_tiller"] == pytest.approx(plan.best.tiller * 1000, rel=SHOWN)
    assert found["best_brace_height"] == pytest.approx(plan.best.brace_height * 1000, rel=SHOWN)
    assert found["pairs"] == len(plan.places)
    rows = ranked(answer)
    assert list(rows)[:6] == ["nearest", "2", "3", "4", "5", "now"]
    for row, place in zip(rows.values(), (plan.best, *plan.next, plan.here), strict=False):
        assert read(row["weight"]) == pytest.approx(place.weight / LBF, abs=0.051)
        assert read(row["tiller"]) == pytest.approx(place.tiller * 1000, abs=0.051)
        assert read(row["brace height"]) == pytest.approx(place.brace_height * 1000, abs=0.051)
        assert read(row["off"]) == pytest.approx(place.cost * 1000, abs=0.051)
    off = [read(row["off"]) for row in list(rows.values())[:5]]
    assert off == sorted(off)
    assert change_in(answer.title) == plan.best.change
    expected = f"Expect {rounded(found['best_weight'], 1)} lb and {rounded(found['best_tiller'])} mm tiller"
    assert expected in answer.verdict
    assert is_round(answer)
    drawing = Drawn(picture_of(answer, "pairs"))
    assert faults(drawing, "plan-pairs") == []
    assert f"The nearest: {rows['nearest']['weight']} lb" in drawing.picture.description
    for name in ("weight", "tiller", "brace_height"):
        value = next(one for one in answer.all_values() if one.name == f"best_{name}")
        assert value.uncertainty is not None
        assert read(value.text.split("±")[1]) == pytest.approx(2 * value.uncertainty, abs=0.051)


@pytest.mark.parametrize(
    "wanted", [{"wanted_weight": 38.2, "wanted_tiller": 4.4}, {"wanted_weight": 39}, {"wanted_weight": 60}]
)
def test_the_map_s_numbers_are_the_table_s(wanted: dict[str, Any]) -> None:
    """Number 3 in the map is row 3 of the table, also where one of them is where the bolts stand."""
    answer, plan = told(OWN | wanted), planned(OWN | wanted)
    drawing = Drawn(picture_of(answer, "pairs"))
    group = drawing.by_id["plan-pairs-map"].attrib
    scale = [float(group[f"data-scale-{axis}"]) for axis in "xy"]
    origin = [float(group[f"data-origin-{axis}"]) for axis in "xy"]
    drawn = 0
    for place, one in enumerate(plan.next, 2):
        key = f"plan-pairs-next-{place}"
        if key not in drawing.by_id:
            assert one.turns == plan.here.turns
            continue
        drawn += 1
        x, y = drawing.numbers(key, "cx", "cy")
        assert (x - origin[0]) / scale[0] == pytest.approx(one.weight / LBF, abs=1e-3)
        assert (y - origin[1]) / scale[1] == pytest.approx(one.tiller * 1000, abs=1e-2)
    assert drawn >= 3
    x, y = drawing.numbers("plan-pairs-best", "cx", "cy")
    assert (x - origin[0]) / scale[0] == pytest.approx(plan.best.weight / LBF, abs=1e-3)


def test_what_was_left_empty_stays_as_it_is() -> None:
    answer = told(OWN)
    found = numbers(answer)
    assert (found["upper_turns"], found["lower_turns"]) == (0, 0)
    assert found["best_weight"] == pytest.approx(38, abs=1e-3)
    assert found["best_tiller"] == pytest.approx(4, abs=1e-3)
    assert found["best_brace_height"] == pytest.approx(222, abs=1e-3)
    assert steps_of(answer, "steps") == ()
    heavier = numbers(told(OWN, wanted_weight=38.86))
    assert (heavier["upper_turns"], heavier["lower_turns"]) == (-1, -1)
    assert heavier["best_tiller"] == pytest.approx(4.36, abs=0.2)
    as_read = numbers(told(OWN, upper_tiller=181, lower_tiller=174))
    assert as_read["best_tiller"] == pytest.approx(7, abs=1e-3)


@pytest.mark.parametrize(
    "wanted",
    [
        {"wanted_weight": 39, "wanted_tiller": 0},
        {"wanted_weight": 37.2, "wanted_tiller": 2},
        {"wanted_weight": 55, "wanted_tiller": -4},
        {"wanted_weight": 38.86},
    ],
)
def test_by_how_much_the_best_pair_misses_what_is_wanted_is_said(wanted: dict[str, Any]) -> None:
    answer = told(OWN | wanted)
    found = numbers(answer)
    weight = found["best_weight"] - wanted["wanted_weight"]
    tiller = found["best_tiller"] - wanted.get("wanted_tiller", 4)
    parts = [f"{rounded(abs(weight), 1)} lb {'more' if weight > 0 else 'less'}"] if abs(weight) >= 0.05 else []
    parts += [f"{rounded(abs(tiller))} mm {'more' if tiller > 0 else 'less'} tiller"] if abs(tiller) >= 0.5 else []
    missed = f"{' and '.join(parts)} than you want" if parts else "that is what you want to within 0.1 lb and 1 mm"
    assert f"mm tiller: {missed}." in answer.verdict


def near_the_end(record: dict[str, Any]) -> dict[str, tuple[float, str]]:
    """Which bolts' places are nearer to the end they go to than plan or window are sure: turns off it, and which end.

    By the answer's own doubts (U = 2u): so many turns more or less as the surer of weight and tiller leaves open.
    """
    answer = told(record)
    found, sure = numbers(answer), {value.name: value.uncertainty or 0.0 for value in answer.all_values()}
    change = found["upper_turns"], found["lower_turns"]
    moved = {"best_weight": found["best_weight"] - 38, "best_tiller": found["best_tiller"] - 4}
    doubt = min(2 * sure[name] * max(map(abs, change)) / abs(by) for name, by in moved.items())
    near = {}
    places = record["upper_now_turns"], record["lower_now_turns"]
    for window, now, by in zip(windows(record), places, change, strict=True):
        end = window.inner if by < 0 else window.outer
        room = abs(end.usable - now - by)
        if by and room <= max(doubt, end.budget.expanded):
            near[window.bolt] = math.floor(4 * room + 1e-9) / 4, "inner" if by < 0 else "outer"
    return near


@pytest.mark.parametrize(
    ("wanted", "bolts"),
    [
        ({"wanted_weight": 38.4}, []),
        ({"wanted_weight": 38.8}, ["lower"]),
        ({"wanted_weight": 38.7, "wanted_tiller": -3.5}, ["upper"]),
        ({"wanted_weight": 36.2}, ["upper", "lower"]),
        ({"wanted_weight": 60}, ["upper", "lower"]),
        ({"wanted_tiller": -8}, []),
        ({"wanted_tiller": 1.7, "lower_now_turns": 4.25}, ["lower"]),
        ({"wanted_tiller": 1.7, "wanted_weight": 38.2, "lower_now_turns": 4.25}, []),  # the lower bolt stays
    ],
)
def test_an_end_that_is_nearer_than_the_plan_is_sure_is_said(wanted: dict[str, Any], bolts: list[str]) -> None:
    record = OWN | wanted
    answer, near = told(record), near_the_end(record)
    assert list(near) == bolts
    assert answer.verdict.count("end of its safe range") == len(bolts)
    for bolt, (room, end) in near.items():
        where = rf"{quarters(room)} turns? from" if room else "at"
        assert re.search(f"The {bolt} bolt ends {where} the {end} end of its safe range", answer.verdict)


def test_more_worth_brings_weight_nearer_and_tiller_farther() -> None:
    weight, tiller = (
        numbers(told(OWN, wanted_weight=39.2, wanted_tiller=9, tiller_worth=worth)) for worth in (20, 0.1)
    )
    assert abs(weight["best_weight"] - 39.2) < abs(tiller["best_weight"] - 39.2)
    assert abs(weight["best_tiller"] - 9) > abs(tiller["best_tiller"] - 9)


# The steps


@pytest.mark.parametrize(
    "wanted",
    [{"wanted_weight": 39, "wanted_tiller": 0}, {"wanted_tiller": -3.5}, {"wanted_weight": 36, "wanted_tiller": 2}],
)
def test_steps_of_half_a_turn_at_most_lead_to_the_best_pair(wanted: dict[str, Any]) -> None:
    answer = told(OWN | wanted)
    found = numbers(answer)
    steps = steps_of(answer, "steps")
    change = (found["upper_turns"], found["lower_turns"])
    assert len(steps) == math.ceil(max(map(abs, change)) / 0.5)
    assert answer.title.endswith(f"in {'one step' if len(steps) == 1 else f'{len(steps)} steps'}")
    made = [turned_in(one) for one in steps]
    assert (sum(a for a, _ in made), sum(b for _, b in made)) == change
    assert all(max(abs(a), abs(b)) <= 0.5 for a, b in made)
    for one in steps:
        for word in ("String off", "measure brace height and both tillers", "Expect", "stop and look"):
            assert word in one
        assert ("and weigh" in one) is bool(re.search(r"Expect [^:]* lb at", one))
        assert ("It is the last step." if one is steps[-1] else "Half a turn is the most in one step.") in one
        assert ("No need to weigh" in one) is ("and weigh" not in one)
    last = steps[-1]
    assert texts(answer)["best_weight"].split("\u00a0lb")[0].split(" lb")[0] in last
    assert texts(answer)["best_tiller"].split(" mm")[0] in last
    each = " ".join(steps_of(answer, "each-step"))
    for word in ("stringer", "lock", "which way", "loops", "Measure", "never let go"):
        assert word in each


@pytest.mark.parametrize(
    "record", [WANTED, OWN | {"wanted_weight": 60, "wanted_tiller": -25}, OWN | {"wanted_weight": 20}]
)
def test_no_sentence_turns_more_than_half_a_turn_at_once(record: dict[str, Any]) -> None:
    answer = told(record)
    listed = [*steps_of(answer, "steps"), *steps_of(answer, "each-step")]
    assert listed
    for step in listed:
        assert not re.search(r"three quarters|by (one|two|a whole|\d)", step)
        assert max(map(abs, turned_in(step))) <= 0.5
    assert any("no bolt by more than half a turn" in each for each in points_of(answer, "cautions"))


def test_more_weight_asks_for_limbs_and_arrows_first() -> None:
    stronger, weaker = (" ".join(points_of(told(OWN, wanted_weight=each), "before")) for each in (39, 37))
    assert "stronger" in stronger
    assert "arrow" in stronger
    assert "stronger" not in weaker
    assert "manual" in weaker


# Looking at another pair


def taps(answer: Answer) -> list[dict[str, float]]:
    drawing = Drawn(picture_of(answer, "pairs"))
    return [
        {name: float(value) for name, value in (part.split("=") for part in one.attrib["data-try"].split("&"))}
        for one in drawing.elements
        if one.tag == f"{SPACE}a"
    ]


@pytest.mark.parametrize(
    "record",
    [WANTED, OWN | {"upper_now_turns": 0.75, "upper_touch_turns": 7}, MAKER | BOW],
    ids=["own", "at one end of a wide window", "maker's range"],
)  # fmt: skip
def test_every_pair_of_the_map_can_be_tapped_and_is_then_told(record: dict[str, Any]) -> None:
    found = taps(told(record))
    assert len(found) == numbers(told(record))["pairs"]
    corners = [found[0], found[-1], max(found, key=lambda one: one["upper_change"] - one["lower_change"]), found[40]]
    for each in found:
        for name, turns in each.items():
            field = BY_NAME[name]
            assert field.low <= turns <= field.high  # type: ignore[union-attr]
    for each in corners:
        answer = told(record, **each)
        if each == {"upper_change": 0.0, "lower_change": 0.0}:
            continue
        row = ranked(answer)["looked at"]
        assert "not foretold" not in row.values()
        drawing = Drawn(picture_of(answer, "pairs"))
        group = drawing.by_id["plan-pairs-map"].attrib
        corners_drawn = drawing.points("plan-pairs-looked")
        x = sum(a for a, _ in corners_drawn) / len(corners_drawn)
        weight = (x - float(group["data-origin-x"])) / float(group["data-scale-x"])
        assert read(row["weight"]) == pytest.approx(weight, abs=0.06)


def test_looking_changes_nothing_of_the_plan() -> None:
    plain, looked = told(WANTED, upper_change=0, lower_change=0), told(WANTED, upper_change=-0.5, lower_change=0.25)
    assert plain.title == looked.title
    assert plain.verdict == looked.verdict
    assert [numbers(plain)[name] for name in BEST] == [numbers(looked)[name] for name in BEST]
    assert steps_of(plain, "steps") == steps_of(looked, "steps")
    row = ranked(looked)["looked at"]
    tiller = answered(WANTED | {"upper_change": -0.5, "lower_change": 0.25}, "tiller")
    assert read(row["tiller"]) == pytest.approx(numbers(tiller)["tiller_then"], abs=0.06)
    assert read(row["weight"]) == pytest.approx(numbers(tiller)["weight_then"], abs=0.06)


def test_where_the_bolts_stand_is_not_another_pair() -> None:
    answer = told(WANTED, upper_change=0, lower_change=0)
    assert list(ranked(answer))[-1] == "now"
    assert "plan-pairs-looked" not in Drawn(picture_of(answer, "pairs")).by_id


@pytest.mark.parametrize("change", [{"upper_change": 0.1}, {"upper_change": -3.5}])
def test_what_is_no_pair_of_the_map_is_not_foretold(change: dict[str, Any]) -> None:
    answer = told(WANTED, **(change | {"lower_change": 0}))
    row = ranked(answer)["looked at"]
    assert {row[name] for name in ("weight", "tiller", "off", "brace height")} == {"not predicted"}


# Reachable or not


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ({"wanted_weight": 60}, "For more you need other limbs"),
        ({"wanted_weight": 25}, "For less you need other limbs"),
        ({"wanted_tiller": 24}, "Ask a bow technician"),
        ({"wanted_weight": 39.4, "wanted_tiller": 16}, "no setting gives both"),
    ],
)
def test_what_cannot_be_reached_is_said_with_the_nearest_and_what_would(wanted: dict[str, Any], words: str) -> None:
    answer = told(OWN | wanted)
    assert re.search("(is|are) out of reach", answer.title)
    assert words in answer.verdict
    found, plan = numbers(answer), planned(OWN | wanted)
    assert (found["upper_turns"], found["lower_turns"]) == plan.best.change
    assert found["weight_from"] == pytest.approx(plan.weights[0] / LBF)
    assert found["tiller_to"] == pytest.approx(plan.tillers[1] * 1000)
    assert change_in(answer.title.partition("Nearest: ")[2]) == plan.best.change
    ends = re.search(r"can be set from (\S+) to (\S+) (lb|mm)", answer.title)
    assert (ends is None) is ("both" in words)
    if ends is not None:  # no more is promised than there is
        step = 0.1 if ends[3] == "lb" else 1
        least, most = (read(end) for end in ends.groups()[:2])
        low, high = (found[f"{'weight' if ends[3] == 'lb' else 'tiller'}_{end}"] for end in ("from", "to"))
        assert low <= least < low + step
        assert high - step < most <= high
    assert found["near_weight"] == pytest.approx(plan.near[0] / LBF)
    assert found["near_tiller"] == pytest.approx(plan.near[1] * 1000)


def test_what_can_be_had_is_not_called_out_of_reach_where_it_is_weighed_otherwise() -> None:
    answer = told(OWN, wanted_weight=39.1, wanted_tiller=6, tiller_worth=0.1)
    assert "out of reach" not in answer.title
    assert "what matters more to you" in answer.verdict
    assert "as you weigh" not in told(OWN, wanted_weight=39.1, wanted_tiller=6).verdict


@pytest.mark.parametrize("wanted", [-14, 14, 12.5])
def test_much_tiller_is_told(wanted: float) -> None:
    assert points_of(told(OWN, wanted_tiller=wanted), "unusual") != ()
    assert points_of(told(OWN, wanted_tiller=wanted / 4), "unusual") == ()


# States


def test_the_empty_record_is_an_example() -> None:
    answer = told({"version": 1})
    assert answer.state is State.EXAMPLE
    assert answer.badge == "Example"
    assert {value.status for value in answer.all_values()} == {Status.EXAMPLE}
    assert numbers(answer)["pairs"] > 200


@pytest.mark.parametrize("name", ["upper_touch_turns", "lower_now_turns", "upper_rim_to_butt"])
def test_with_a_window_of_the_example_it_is_one(name: str) -> None:
    answer = told(WANTED, **{name: None})
    assert answer.state is State.EXAMPLE
    assert {value.status for value in answer.all_values()} == {Status.EXAMPLE}
    title = next((block.title for block in answer.blocks if isinstance(block, Steps) and block.name == "steps"), "")
    assert title == "" or "of an example" in title


def test_own_readings_make_it_ones_own() -> None:
    answer = told(WANTED)
    assert answer.state is State.EXPLAIN
    assert answer.badge == "Your plan"
    assert "made-up" not in words_of(answer)
    assert {value.status for value in answer.all_values()} == {Status.COMPUTED}


@pytest.mark.parametrize(
    "lacking", [("draw_weight",), ("brace_height",), ("draw_weight", "upper_tiller", "lower_tiller", "brace_height")]
)
def test_with_windows_alone_the_plan_is_in_turns_and_no_number_of_another_bow_is_told(lacking: tuple[str, ...]) -> None:
    record = changed(OWN, wanted_weight=39, **dict.fromkeys(lacking))
    answer = told(record)
    assert answer.state is State.EXPLAIN
    assert answer.badge == "Turns only"
    assert not set(BEST) & names(answer)
    assert not any(isinstance(block, Drawing) for block in answer.blocks)
    assert not re.search(r"\d (lb|mm)\b", f"{answer.title} {answer.verdict} {answer.as_data()['tables']}")
    assert not any(re.search(r"\d (lb|mm)\b", each) for each in points_of(answer, "one-more"))
    assert points_of(answer, "one-more") != ()
    assert any("weigh" in each for each in points_of(answer, "one-more")) is ("draw_weight" in lacking)
    assert any("brace height and both tillers" in each for each in points_of(answer, "one-more")) is bool(
        set(lacking) - {"draw_weight"}
    )
    listed = steps_of(answer, "in-turns")
    assert listed
    assert not any(re.search(r"three quarters|by (one|two|a whole) turn", each) for each in listed)


@pytest.mark.parametrize("record", [COMPLETE, COMPLETE | {"upper_now_turns": 2.375, "lower_now_turns": 0.9}, WANTED])
def test_the_room_there_is_is_the_windows_rounded_down(record: dict[str, Any]) -> None:
    answer = told(record)
    upper, lower = windows(record)
    now = (record["upper_now_turns"], record["lower_now_turns"])
    room = {
        "upper bolt in": now[0] - upper.inner.usable,
        "upper bolt out": upper.outer.usable - now[0],
        "lower bolt in": now[1] - lower.inner.usable,
        "lower bolt out": lower.outer.usable - now[1],
    }
    room["both in"] = min(room["upper bolt in"], room["lower bolt in"])
    room["both out"] = min(room["upper bolt out"], room["lower bolt out"])
    room["upper in, lower out"] = min(room["upper bolt in"], room["lower bolt out"])
    room["upper out, lower in"] = min(room["upper bolt out"], room["lower bolt in"])
    rows = {row[0]: turns_in(row[1]) for row in table_of(answer, "room").rows}
    assert set(rows) == set(room)
    for name, most in room.items():
        assert rows[name] <= most + 1e-9
        assert rows[name] + 0.25 > most - 1e-9


def nothing_is_planned(answer: Answer) -> None:
    """Neither a pair nor a step to one, nor a number or a picture of the bow."""
    assert names(answer) == set()
    assert not any(isinstance(block, Drawing | Table | Offer) for block in answer.blocks)
    for name in ("steps", "each-step", "in-turns"):
        assert steps_of(answer, name) == ()
    assert points_of(answer, "before") == ()
    assert not re.search(r"Expect|For \d|Nearest", answer.title + answer.verdict)
    assert points_of(answer, "cautions") != ()


@pytest.mark.parametrize(
    ("change", "state", "words"),
    [
        ({"upper_touch_found": "no"}, State.OPEN, "first touch was not reached"),
        ({"upper_now_turns": 0.1}, State.STOP, "the upper bolt is at 0.1"),
        ({"margin": 2, "upper_touch_turns": 4}, State.STOP, "no turn is safe on the upper bolt"),
        ({"check_limbs": "fault"}, State.STOP, "the inspection says no"),
        ({"check_string_off": "on"}, State.STOP, "the inspection says no"),
        ({"check_lock": "unsure"}, State.ASK, "Ask a technician"),
        ({"bolt_family": "clamp"}, State.ASK, "Its turns were counted"),
        ({"events": [{"date": "2026-07-01", "happened": "dry_fire"}]}, State.STOP, "dry-fire"),
        ({"events": [{"date": "2026-07-01", "happened": "limbs"}]}, State.OPEN, "other limbs"),
        ({"log": [{"date": "2026-07-01", "upper_at": "x"}]}, State.OPEN, "log cannot be used"),
    ],
)
@pytest.mark.parametrize("record", [WANTED, COMPLETE])
def test_nothing_is_planned_for_a_bow_that_is_not_judged_fit(
    record: dict[str, Any], change: dict[str, Any], state: State, words: str
) -> None:
    answer = told(record | change)
    # Beside a made-up bow the worksheet's trouble is a caution.
    made_up = answer.state is State.EXAMPLE and state is State.OPEN and record is COMPLETE
    assert answer.state is state or made_up
    assert words in " ".join((answer.title, answer.verdict, *points_of(answer, "also")))
    nothing_is_planned(answer)


def test_no_window_is_called_known_that_is_not() -> None:
    assert "ranges are known" not in told(COMPLETE, upper_touch_found="no").verdict


@pytest.mark.parametrize("record", [WANTED, COMPLETE])
def test_until_the_bow_is_looked_over_again_the_plan_has_no_step(record: dict[str, Any]) -> None:
    answer, before = told(record | {"inspection_source": "other"}), told(record)
    assert answer.state is State.OPEN
    assert numbers(answer) == numbers(before)
    assert {block.name for block in answer.blocks if isinstance(block, Steps)} == set()
    assert any(isinstance(block, Steps) for block in before.blocks)
    assert points_of(answer, "before") == ()


def test_cautions_and_assumptions_are_always_there_and_nothing_but_a_range_is_called_safe() -> None:
    for record in (WANTED, {"version": 1}, COMPLETE, WANTED | {"check_limbs": "fault"}, WANTED | {"margin": 2}):
        answer = told(record)
        assert any("Take the string off the bow before" in each for each in points_of(answer, "cautions"))
        assert any("only inside both safe ranges" in each for each in points_of(answer, "assumed"))
        assert not re.search(r"(?<!no turn is )\bsafe(?! ranges?\b)", words_of(answer))


# The log


def row(
    day: int,
    upper: float | None,
    lower: float | None,
    weight: float | None = None,
    *,
    tillers: Any = None,
    brace: float | None = None,
) -> dict[str, Any]:
    found = {"date": f"2026-07-{day:02}", "upper_at": upper, "lower_at": lower, "weight": weight, "brace_height": brace}
    if tillers is not None:
        found |= {"upper_tiller": tillers[0], "lower_tiller": tillers[1]}
    return {name: value for name, value in found.items() if value is not None}


def test_where_the_log_has_them_is_where_the_plan_begins() -> None:
    before = numbers(told(WANTED))
    answer = told(WANTED, log=[row(1, 2.0, 2.0)])
    found = numbers(answer)
    assert found["upper_turns"] == before["upper_turns"] + 0.5
    assert found["lower_turns"] == before["lower_turns"]
    assert found["best_weight"] == pytest.approx(before["best_weight"], abs=1e-4)
    assert points_of(answer, "by-log") != ()
    room = [{row[0]: turns_in(row[1]) for row in table_of(each, "room").rows} for each in (told(WANTED), answer)]
    assert room[1]["upper bolt in"] == room[0]["upper bolt in"] - 0.5
    assert room[1]["upper bolt out"] == room[0]["upper bolt out"] + 0.5
    assert room[1]["lower bolt in"] == room[0]["lower bolt in"]
    assert points_of(told(WANTED, log=[row(1, 2.5, 2.0)]), "by-log") == ()


SETTLED = {"date": "2026-07-01", "happened": "reading", "found": "nothing", "found_on": "2026-07-01"}
"""It was looked at, and nothing was wrong: the reading counts."""


def test_what_was_read_there_changes_what_is_foretold_as_far_as_the_reader_wants() -> None:
    """Half a turn of the upper bolt that did twice what is computed."""
    bow = numbers(answered(OWN | {"upper_change": -0.5, "lower_change": 0}, "tiller"))
    tiller = 4 + 2 * bow["tiller_change"]
    log = [row(1, 2.0, 2.0, tillers=(177 + tiller / 2, 177 - tiller / 2))]
    fine = {"tape_step": 0.1, "wanted_weight": 38.5, "events": [SETTLED]}
    assert told(OWN | fine, log=log, events=None).state is State.STOP  # twice as much was not expected
    found = {by: told(OWN | fine, log=log, foretell_by=by) for by in ("bow", "both", "readings")}
    tables = {by: table_of(one, "foretold-by").rows for by, one in found.items()}
    upper = {by: next(cells for cells in rows if cells[0] == "upper bolt: tiller") for by, rows in tables.items()}
    lower = {by: next(cells for cells in rows if cells[0] == "lower bolt: tiller") for by, rows in tables.items()}
    by_turn = {by: read(cells[1]) for by, cells in upper.items()}
    assert by_turn["readings"] == pytest.approx(2 * bow["upper_in_tiller"], rel=0.03)
    assert by_turn["bow"] == pytest.approx(bow["upper_in_tiller"], abs=0.01)
    assert by_turn["readings"] < by_turn["both"] < by_turn["bow"] < 0
    assert len({cells[2] for cells in upper.values()}) == 3
    assert lower["readings"][2] == lower["bow"][2]  # of the lower bolt nothing was read
    assert "2026-07-01" in upper["both"][3]
    weights = {
        by: next(cells for cells in rows if cells[0] == "upper bolt: draw weight") for by, rows in tables.items()
    }
    assert weights["both"] == weights["bow"] == weights["readings"]  # weight was not read


def test_rows_in_any_order_are_taken_by_their_dates() -> None:
    rows = [row(3, 1.5, 2.0, 38.7), row(1, 2.5, 2.0, 38.1), row(2, 2.0, 2.0, 38.4)]
    answers = [told(WANTED, log=order) for order in (rows, rows[::-1], sorted(rows, key=lambda one: one["date"]))]
    assert numbers(answers[0]) == numbers(answers[1]) == numbers(answers[2])
    other = told(WANTED, log=[rows[0], rows[1], rows[2] | {"date": "2026-07-09"}])
    assert numbers(other)["upper_turns"] == numbers(answers[0])["upper_turns"] - 0.5


def test_rows_that_are_not_finished_or_count_for_nothing_are_told() -> None:
    plain = told(WANTED, log=[row(1, 2.0, 2.0)])
    answer = told(WANTED, log=[row(1, 2.0, 2.0), {"weight": 38}])
    assert any("date" in each for each in points_of(answer, "log-told"))
    assert numbers(answer) == numbers(plain)
    nowhere = told(WANTED, log=[row(1, 2.0, 2.0), {"upper_at": 2.25}])  # nobody can tell where the bolt is
    assert any("date" in each for each in points_of(nowhere, "log-told"))
    nothing_is_planned(nowhere)
    outside = told(WANTED, log=[row(1, 9.0, 2.0, 38), row(2, 2.0, 2.0)])
    assert any("outside its safe range" in each and "2026-07-01" in each for each in points_of(outside, "log-told"))
    assert outside.title == "Look the bow over again first"
    absurd = told(WANTED, log=[row(1, 2.0, 2.0, 80)])
    assert any("draw weight" in each and "2026-07-01" in each for each in points_of(absurd, "log-told"))
    assert absurd.title == "Stop: the weight was not what was expected"
    nothing_is_planned(absurd)
    assert points_of(told(WANTED, log=[row(1, 2.0, 2.0, 38.2)]), "log-told") == ()


def test_a_newest_row_outside_its_window_ends_the_plan() -> None:
    answer = told(WANTED, log=[row(1, 0.0, 2.0, 39)])
    assert (answer.state, answer.title) == (State.STOP, "Stop: the upper bolt is at 0, too close to flush")
    assert any("Upper bolt: half a turn out" in step for step in steps_of(answer, "way-back"))
    nothing_is_planned(answer)


# What an empty wish means, and a new plan


def shown(record: dict[str, Any]) -> PlannedChange:
    """What the page plans."""
    given = values(record)
    return planned_change.plan_change(predict(given, ASKED), judge(given))


def as_predicted(record: dict[str, Any], day: int, turns: tuple[float, float]) -> dict[str, Any]:
    """A row of the log with exactly what is predicted for these places of the bolts."""
    course = shown(record).course
    weight, tiller, brace = (course.foretell(turns, what).value for what in WHAT)
    return row(
        day, *turns, weight / LBF, tillers=(177 + 500 * tiller, 177 - 500 * tiller), brace=1000 * brace
    )  # half of a tiller in m is 500 times as many mm


MADE: dict[str, Any] = {"planned_on": "2026-06-30"}


@pytest.mark.parametrize("wish", [{"wanted_weight": 39}, {"wanted_tiller": -3}])
@pytest.mark.parametrize("made", [{}, MADE, MADE | {"planned_weight": 38, "planned_tiller": 4}])
def test_readings_exactly_as_predicted_never_move_the_goal(wish: dict[str, Any], made: dict[str, Any]) -> None:
    record = OWN | wish | made
    before = shown(record)
    assert before.plan is not None
    log: list[dict[str, Any]] = []
    for day, turns in enumerate(((2.0, 2.0), (1.5, 2.0), (2.5, 1.0), before.plan.best.turns), 1):
        log.append(as_predicted(record | {"log": log}, day, turns))
        after = shown(record | {"log": log})
        assert after.plan is not None
        assert after.plan.best.turns == before.plan.best.turns
        assert after.plan.best.weight == pytest.approx(before.plan.best.weight, rel=1e-6)
        assert after.plan.best.tiller == pytest.approx(before.plan.best.tiller, abs=1e-7)
        assert (after.wish.weight, after.wish.tiller) == pytest.approx((before.wish.weight, before.wish.tiller))
    assert told(record, log=log).title.endswith("both bolts stay where they are")


def read_later(*tillers: float) -> list[dict[str, Any]]:
    """The bolts where they were, and another tiller by the tape, on one day after the other."""
    return [row(day, 2.5, 2.0, tillers=(177 + each / 2, 177 - each / 2)) for day, each in enumerate(tillers, 1)]


@pytest.mark.parametrize(
    ("made", "tiller"),
    [
        ({}, "4 mm"),
        ({"planned_on": "2026-06-30"}, "4 mm"),
        ({"planned_on": "2026-07-01"}, "5 mm"),
        ({"planned_on": "2026-07-02"}, "6 mm"),
        ({"planned_on": "2026-07-02", "planned_tiller": 4.5}, "4.5 mm"),
    ],
)
def test_an_empty_wish_is_what_was_read_when_the_plan_was_made(made: dict[str, Any], tiller: str) -> None:
    answer = told(OWN | {"wanted_weight": 38.5} | made, log=read_later(5, 6))
    assert answer.title.startswith(f"For 38.5 lb and tiller as it was, {tiller}: ")


def with_entries(record: dict[str, Any], entries: Entries) -> dict[str, Any]:
    """The record with what the page enters."""
    typed = {
        name: {"typed": entry.typed, "unit": entry.unit} if entry and entry.unit else entry and entry.typed
        for name, entry in entries
    }
    return changed(record, **typed)


def test_a_plan_is_kept_once_there_is_a_wish_and_a_day_and_emptied_when_the_wish_is_gone() -> None:
    record = OWN | {"wanted_weight": 38.5}
    assert told(record).keeps == ()  # no day yet
    assert told(OWN | MADE).keeps == tuple((name, None) for name in MADE)  # no wish
    log = [*read_later(5), row(2, 2.0, 1.75, 38.3)]
    kept = told(record, planned_on="2026-07-01", log=log).keeps
    assert tuple(name for name, _ in kept) == PLAN_KEPT
    full = with_entries(record | {"log": log}, kept)
    given = values(full)
    assert given.optional("planned_weight") == pytest.approx(38 * LBF)
    assert given.optional("planned_tiller") == pytest.approx(0.005)
    assert (given.optional("planned_upper"), given.optional("planned_lower")) == (2.5, 2.0)
    assert told(full).keeps == ()
    assert texts(told(full))["planned_on"] == "1 July 2026"
    assert told(full).title == told(record, planned_on="2026-07-01", log=log).title
    gone = told(changed(full, wanted_weight=None))
    assert gone.keeps == tuple((name, None) for name in PLAN_KEPT)
    assert told(with_entries(changed(full, wanted_weight=None), gone.keeps)).keeps == ()
    assert told(changed(record | MADE, draw_weight=None)).keeps == ()  # not the reader's own bow


def on(day: str, record: dict[str, Any]) -> Answer:
    """The answer on that day."""
    return WIDGETS["plan"].answer(Values(values(record).record, today=date.fromisoformat(day).toordinal()))


def test_a_new_plan_is_offered_where_something_was_read_since_and_the_day_is_known() -> None:
    record = OWN | {"wanted_weight": 38.5} | MADE
    record = with_entries(record, told(record).keeps)
    assert on("2026-07-03", record).offers == ()  # nothing was read since
    read_since = record | {"log": read_later(6)}
    assert told(read_since).offers == ()  # no day
    assert on("2026-07-03", changed(read_since, **dict.fromkeys(PLAN_KEPT))).offers == ()  # no plan was kept
    answer = on("2026-07-03", read_since)
    (offer,) = answer.offers
    assert (offer.name, offer.label) == ("new-plan", "Make a new plan")
    assert "as it was, 4 mm" in answer.title
    anew = with_entries(read_since, offer.entries)
    assert anew["planned_on"] == "2026-07-03"
    assert "as it was, 6 mm" in on("2026-07-03", anew).title
    assert on("2026-07-03", anew).offers == ()
    # Readings that come later are again no part of it.
    later = anew | {"log": [*read_later(6), row(4, 2.5, 2.0, tillers=(180, 173))]}
    assert "as it was, 6 mm" in on("2026-07-05", later).title
    assert len(on("2026-07-05", later).offers) == 1


# Units


def test_in_the_reader_s_units_the_plan_is_the_same() -> None:
    plain = numbers(told(WANTED))
    inches = told(WANTED, length_unit="in")
    assert texts(inches)["best_tiller"].endswith(" in")
    for name in ("best_tiller", "best_brace_height", "tiller_to", "near_tiller"):
        assert numbers(inches)[name] == pytest.approx(plain[name] / INCH, rel=2 * SHOWN)
    for unit, size in (("N", LBF), ("kgf", LBF / KGF)):
        other = told(
            OWN,
            draw_weight={"typed": repr(38 * size), "unit": unit},
            wanted_weight={"typed": repr(39 * size), "unit": unit},
            wanted_tiller={"typed": "0", "unit": "in"},
        )
        found = numbers(other)
        for name in ("best_weight", "weight_from", "weight_to", "near_weight"):
            assert found[name] == pytest.approx(plain[name] * size, rel=1e-6)
        assert texts(other)["best_weight"].endswith(f" {unit}")
        assert [found[name] for name in ("upper_turns", "lower_turns")] == [plain["upper_turns"], plain["lower_turns"]]
        assert unit in table_of(other, "ranking").columns
        assert f" {unit}" in other.title


# What is quick, what is refused, what never is


def test_what_is_quick_comes_first() -> None:
    parts = WIDGETS["plan"].answer(values(WANTED)).parts
    assert isinstance(parts[0], DeferredBlock), "the map"
    quick = [part for part in parts if not isinstance(part, (DeferredBlock, Drawing))]
    assert {part.name for part in quick} >= {"assumed", "cautions"}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"wanted_weight": "heavy"}, "wanted_weight"),
        ({"wanted_weight": 500}, "wanted_weight"),
        ({"wanted_tiller": 80}, "wanted_tiller"),
        ({"tiller_worth": 0}, "tiller_worth"),
        ({"upper_change": 9}, "upper_change"),
        ({"brace_height": 500}, "brace_height"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(change: dict[str, Any], field: str) -> None:
    sentences = refused(OWN | change, "plan")
    assert set(sentences) == {field}
    assert sentences[field].endswith(".")


def outcome_of(given: Values) -> Answer | Refusal:
    try:
        return WIDGETS["plan"].answer(given)
    except Refusal as refusal:
        return refusal


def test_drawn_records_are_answered_with_numbers_or_refused_with_sentences() -> None:
    """Records from the schema's own limits, logs and all."""
    plans = 0
    for place, record in enumerate(some(24, start=8000)):
        if place % 2:  # a drawn log puts the bolts anywhere, and so outside as a rule
            record.pop("log", None)
        given = Values(from_data(record).record)
        found = outcome_of(given)
        if isinstance(found, Refusal):
            assert all(one.sentence.endswith(".") and one.name in ASKED for one in found.problems)
            continue
        for value in found.all_values():
            assert value.value is None or math.isfinite(value.value)
            assert value.uncertainty is None or (math.isfinite(value.uncertainty) and value.uncertainty >= 0)
        assert not re.search(r"\bnan\b|\binf\b", words_of(found))
        for step in steps_of(found, "steps"):
            assert max(map(abs, turned_in(step))) <= 0.5
        plans += "pairs" in names(found)
    assert plans > 0


def test_every_block_has_a_name_of_its_own() -> None:
    for record in (WANTED, COMPLETE, WANTED | {"log": [row(1, 2.0, 2.0, 80)]}):
        answer = told(record)
        listed = [block.name for block in answer.blocks if isinstance(block, Points | Steps)]
        assert len(listed) == len(set(listed))
        listed = [value.name for value in answer.all_values()]
        assert len(listed) == len(set(listed))


def test_a_weighing_is_read_as_near_as_scale_and_mark_allow() -> None:
    """The default bow's pull grows by 2.04 lb an inch up to 28 inches and by 2.30 beyond (model.md 4, C)."""
    assert numbers(told(OWN, draw_step=0.01))["near_weight"] == pytest.approx(0.5, rel=2e-3)
    slopes = [
        math.sqrt(numbers(told(OWN, draw_step=step))["near_weight"] ** 2 - 0.5**2) / step for step in (0.25, 0.5, 1)
    ]
    assert slopes == pytest.approx([slopes[0]] * 3, rel=1e-6)
    assert 2.04 < slopes[0] < 2.30


def test_where_the_plan_led_it_says_so_and_plans_no_step_that_no_reading_could_tell() -> None:
    first = told(WANTED)
    found = numbers(first)
    there = (2.5 + found["upper_turns"], 2.0 + found["lower_turns"])
    brace, weight = found["best_brace_height"], found["best_weight"] + 0.5
    half = (found["best_tiller"] - 1) / 2
    answer = told(WANTED, log=[row(1, *there, weight, tillers=(177 + half, 177 - half), brace=brace)])
    best = numbers(answer)
    assert (best["upper_turns"], best["lower_turns"]) != (0, 0)
    assert answer.title.endswith("both bolts stay where they are")
    assert f"Your plan led here: {weight:.1f} lb" in answer.verdict
    assert "too close to tell from it by scale or tape" in answer.verdict
    assert answer.line.startswith("Both stay")
    for name in ("steps", "each-step"):
        assert steps_of(answer, name) == ()
    assert points_of(answer, "before") == ()
    # A wish of something else is another plan, and has its steps.
    assert steps_of(told(WANTED | {"wanted_weight": 37.5}, log=[
        row(1, *there, weight, tillers=(177 + half, 177 - half), brace=brace)]), "steps")  # fmt: skip
