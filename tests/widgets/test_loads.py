"""What the bolt carries: the page's every number against statics by hand, and all that it must say.

Outside sources: sources.md F (C: turned polygon and bisection at 40 digits); stress and shear areas and strengths of
sources.md C (S2: ASME B1.1, ISO 898-1, ISO 3506-1, FED-STD-H28/2, data sheets); a rigid limb turned in mpmath and
moments taken of forces at points (C); the drawn bow of model.md 4 (C: two solutions that agree to 1e-6), the balance of
the forces on its nocking point, and its doubts by drawing numbers at random (C: JCGM 101); 1.75 in between pivot point
and AMO draw length (AMO standard, S2); the pound-force (NIST SP 811, S).
"""

from __future__ import annotations

import itertools
import math
import random
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

import mpmath
import pytest
from scipy.integrate import quad

from figures.reading import Drawing, Frame
from helpers.asking import (
    ALL_LENGTHS,
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
from helpers.drawn_answers import answers, outcomes
from helpers.second_window import DEFAULTS, Case, bisected, pitch_of, shape_of
from quarterturn.bench import bow_inputs as bows
from quarterturn.bench import bow_setup
from quarterturn.bench.bow_fit import FitError, Weighing
from quarterturn.bench.bow_numbers import moved
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, DeferredBlock, Points, Refusal, State, ValueList, Way
from quarterturn.widgets.answer import Drawing as Drawn

LBF = 4.4482216152605  # N
INCH = 25.4  # mm
STAND = 12.0  # mm: the example's length of shank between thread and head, at zero
F = {"rise": 4.2333333, "rise_turns": 4, "tip_travel": 44.4, "tip_length": 555, "head_diameter": 19}
"""The bolt, head and fitting of sources.md F: 3/8-24, R 9.5, φs = 44.4/555 = 0.08."""
EDGE = F | {"upper_rim_to_butt": 0.7}
BARELY = F | {"limb_depth": 10, "upper_rim_to_butt": 9.2}
OFF = F | {"limb_depth": 12, "upper_rim_to_butt": 17.2, "tip_travel": 66.6}
LESS_THAN_HALF = F | {"upper_rim_to_butt": 13}
STRUNG = {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175}
MINE = STRUNG | {"draw_weight": 38, "head_diameter": 19, "upper_rim_to_butt": 2.5, "thread_diameter": 9.5}
LENGTHS = MINE | {"rise": 4.2333333, "bolt_length": 32, "upper_stand_zero": 12, "bush_length": 16}


def told(record: dict[str, Any], **more: Any) -> Answer:
    return answered(record | more, "loads")


# Statics by hand


class Held(NamedTuple):
    """What the head carries, N, mm and N·m."""

    along: float
    across: float
    place: float

    @property
    def force(self) -> float:
        return math.hypot(self.along, self.across)

    @property
    def bending(self) -> float:
        return self.along * self.place / 1000

    def stress(self, area: float, free: float) -> float:
        """Nominal, MPa, for a stress area in mm² and a free length in mm."""
        diameter = math.sqrt(4 * area / math.pi)
        moment = abs(1000 * self.bending) + abs(self.across) * free
        return self.along / area + 32 * moment / (math.pi * diameter**3)


def by_hand(case: Case, turns: float, moment: float) -> Held:
    """The force that keeps the limb from turning, from points: its moment about the fulcrum is the string's, N·m."""
    shape = shape_of(case)
    head = turns * pitch_of(case)
    if turns == 0:
        place = centroid(case)
        return Held(1000 * moment / (float(shape.arm) - place), 0.0, place)
    side = shape.outside if turns > 0 else shape.inside
    with mpmath.workdps(25):
        angle = bisected(lambda angle: abs(side(angle)[0]) - abs(head), 0, 0.2)
        corner = shape.corner(angle)
        if turns > 0 and corner.real >= -shape.reach:
            point, way = mpmath.mpc(corner.real, head), mpmath.mpc(0, 1)
        else:
            rocked = angle if turns > 0 else -angle
            point = mpmath.mpc(-shape.reach if turns > 0 else shape.reach, head)
            way = mpmath.mpc(mpmath.sin(rocked), mpmath.cos(rocked))
        arm = point - mpmath.mpc(shape.arm, -shape.depth)
        # The head presses back on the limb, −way; arm × (−way) turns the tip away from the archer.
        lever = arm.imag * way.real - arm.real * way.imag
        force = 1000 * moment / lever
        return Held(float(force * way.imag), float(force * way.real), float(point.real))


def centroid(case: Case) -> float:
    """Of the disc less the slot, from the butt end to the rim, by SciPy's quadrature, mm."""
    shape, half = shape_of(case), case["slot"] / 2
    low, high = float(max(-shape.reach, -shape.covered)), float(shape.reach)

    def wide(x: float) -> float:
        return float(math.sqrt((case["head"] / 2) ** 2 - x * x) - half)

    area = quad(wide, low, high, epsabs=1e-9, epsrel=1e-8)[0]
    return float(quad(lambda x: x * wide(x), low, high, epsabs=1e-9, epsrel=1e-8)[0] / area)


PUBLISHED_AREA = 0.0878 * INCH**2  # 3/8-24, sources.md C (S2)
CASES: dict[str, tuple[dict[str, Any], Case]] = {
    "default": ({}, DEFAULTS),
    "covers all": ({"upper_rim_to_butt": 0.7}, DEFAULTS | {"rim_to_butt": 0.7}),
    "covers half": ({"upper_rim_to_butt": 9.2, "limb_depth": 10}, DEFAULTS | {"rim_to_butt": 9.2, "depth": 10}),
    "covers less": ({"upper_rim_to_butt": 13}, DEFAULTS | {"rim_to_butt": 13}),
    "another": (
        {"upper_rim_to_butt": 3, "head_diameter": 22, "slot_width": 10, "fulcrum_arm": 45, "limb_depth": 6},
        DEFAULTS | {"rim_to_butt": 3, "head": 22, "slot": 10, "arm": 45, "depth": 6},
    ),
}
each_case = pytest.mark.parametrize("name", CASES)
STATES = (("out", 0.25), ("flush", 0.0), ("rim", -0.25))


@each_case
def test_force_bending_and_stress_by_hand(name: str) -> None:
    record, case = CASES[name]
    found = numbers(told(record))
    moment = found["moment"]
    pitch = float(pitch_of(case))
    for state, turns in STATES:
        held = by_hand(case, turns, moment)
        assert found[f"{state}_force"] == pytest.approx(held.force, rel=1e-8)
        assert found[f"{state}_bending"] == pytest.approx(held.bending, rel=1e-8, abs=1e-8)
        wanted = held.stress(PUBLISHED_AREA, STAND + pitch * turns)
        assert found[f"{state}_stress"] == pytest.approx(wanted, rel=1e-3)  # four printed digits of the area
    for turns in (-1.2, -0.1, 0, 0.1, 1, 2, 4):
        shown, held = numbers(told(record, turns_shown=turns)), by_hand(case, turns, moment)
        assert shown["force"] == pytest.approx(held.force, rel=1e-8)
        assert shown["force_along"] == pytest.approx(held.along, rel=1e-8)
        assert shown["force_across"] == pytest.approx(held.across, rel=1e-7, abs=1e-7)
        assert shown["off_axis"] == pytest.approx(held.place, rel=1e-8, abs=1e-9)
        assert shown["bending"] == pytest.approx(held.bending, rel=1e-8, abs=1e-8)
        assert shown["stress"] == pytest.approx(held.stress(PUBLISHED_AREA, STAND + pitch * turns), rel=1e-3)
        assert shown["yield_share"] == pytest.approx(shown["stress"] / 640 * 100, rel=1e-8)  # 8.8, ISO 898-1 (S2)


def test_the_default_in_plain_sums() -> None:
    """Moment over lever, 32M/πd³: the two lines of contact with nothing but a pocket calculator's sums (C)."""
    found = numbers(told({}))
    moment = found["moment"]
    assert found["out_force"] == pytest.approx(moment / (0.060 + 0.00697), rel=2e-4)  # butt end 6.97 mm off the axis
    assert found["rim_force"] == pytest.approx(moment / (0.060 - 0.00801), rel=2e-3)  # rim at √(9.5² − 5.1²) mm
    diameter = math.sqrt(4 * PUBLISHED_AREA / math.pi) / 1000
    pull = found["out_force"] / (PUBLISHED_AREA * 1e-6)
    bend = 32 * found["out_force"] * 0.00697 / (math.pi * diameter**3)
    assert found["out_stress"] == pytest.approx((pull + bend) / 1e6, rel=2e-3)


# turns, N at 92 N·m, M_b, xc: sources.md F (C)
ROWS: dict[str, tuple[dict[str, Any], float, float, float, float | None]] = {
    "rim": (F, -1, 1774.9414, 14.22317, 8.014986),
    "butt": (F, 1, 1375.9039, -9.445769, -6.865137),
    "none": (F, 6, 0, 0, None),
    "butt over rim": (EDGE, 0.2, 1352.1417, -10.83734, -8.014986),
    "flush": (BARELY, 0, 1612.9438, 4.776627, 2.961434),
    "off the head": (OFF, 1.5, 0, 0, None),
}


@pytest.mark.parametrize("name", ROWS)
def test_forces_of_checks_f_for_each_newton_metre(name: str) -> None:
    record, turns, force, bending, place = ROWS[name]
    found = numbers(told(record, turns_shown=turns))
    # Half a unit of the last digit printed, and the pitch is printed to eight.
    assert 92 * found["force"] / found["moment"] == pytest.approx(force, abs=6e-5)
    assert 92 * found["bending"] / found["moment"] == pytest.approx(bending, abs=6e-6)
    if place is None:
        assert "off_axis" not in found
    else:
        assert found["off_axis"] == pytest.approx(place, abs=1e-6)


# The pull


# model.md 4 at 28 in (AMO), both bolts 2 turns out; the tillers are those whose middle puts the fulcrums at 45 mm
FOUND = {"draw_weight": 37.9975, "brace_height": 221.958, "upper_tiller": 178.96, "lower_tiller": 174.956}
FOUND |= {"rise": 4.2333333, "rise_turns": 4, "upper_now_turns": 2, "lower_now_turns": 2}
MOMENTS = {"upper": 91.694, "lower": 93.841}
HALVES = pytest.mark.parametrize("limb", MOMENTS)


def quick(answer: Answer) -> dict[str, float]:
    """What is there at once."""
    now = [part for part in answer.parts if isinstance(part, ValueList)]
    return {value.name: value.value for part in now for value in part.values if value.value is not None}


def both(record: dict[str, Any], **more: Any) -> list[dict[str, float]]:
    return [quick(told(record, limb_shown=limb, **more)) for limb in MOMENTS]


@HALVES
def test_the_moment_of_the_default_bow(limb: str) -> None:
    """model.md 4 (C): what a tape and a scale read of that bow gives its moments again."""
    found = numbers(told(FOUND, limb_shown=limb))
    assert found["moment"] == pytest.approx(MOMENTS[limb], abs=5e-3)
    assert found["draw_from_pivot"] == pytest.approx(666.75, abs=1e-6)
    assert found["moment_low"] < MOMENTS[limb] < found["moment_high"]
    lever = MOMENTS[limb] / found["tension"]
    assert found["string_lever"] == pytest.approx(1000 * lever, rel=1e-4)


def test_the_example_s_bow_is_the_default_one_with_its_readings_rounded() -> None:
    upper, lower = both({})
    assert upper["moment"] == pytest.approx(MOMENTS["upper"], rel=2e-3)
    assert lower["moment"] == pytest.approx(MOMENTS["lower"], rel=2e-3)
    for limb in MOMENTS:
        answer = told({}, limb_shown=limb)
        assert f"38 lb, the string turns the {limb} limb about its fulcrum with" in answer.verdict
        title = next(block.title for block in answer.blocks if isinstance(block, ValueList) and block.name == "pull")
        assert f"the {limb} limb" in title


BOWS: dict[str, dict[str, Any]] = {
    "the example": {},
    "the default": FOUND,
    "another": {"draw_weight": 27.5, "draw_length": 29.5, "brace_height": 215, "upper_tiller": 176, "lower_tiller": 169,
                "fulcrum_span": 590, "upper_fulcrum": 309, "string_length": 1629},
    "bolts far out": {"upper_now_turns": 5, "lower_now_turns": 4.5},
    "weighed more than once": {"scale_readings": [{"draw": 24, "weight": 31}, {"draw": 28, "weight": 38.5}]},
}  # fmt: skip


@pytest.mark.parametrize("name", BOWS)
def test_the_two_parts_of_the_string_hold_the_draw(name: str) -> None:
    """The nocking point rests (C): along the draw both tensions make up the weight, across it they cancel."""
    record = BOWS[name]
    parts = both(record)
    along = sum(part["tension"] * math.cos(math.radians(part["string_angle"])) for part in parts)
    across = [part["tension"] * math.sin(math.radians(part["string_angle"])) for part in parts]
    assert across[0] == pytest.approx(across[1], rel=1e-6)
    weight = float(re.search(r"Drawn to ([\d.]+) lb", told(record).verdict).group(1))  # type: ignore[union-attr]
    assert along / LBF == pytest.approx(weight, abs=0.0501)
    if "scale_readings" not in record:
        assert weight == record.get("draw_weight", 38) or name == "the default"
    for part in parts:
        assert part["moment"] == pytest.approx(part["tension"] * part["string_lever"] / 1000, rel=1e-8)


@pytest.mark.parametrize("name", BOWS)
def test_lever_and_angle_are_those_of_the_points(name: str) -> None:
    """From nocking point, tip and fulcrum as complex numbers, the lower limb's below (C); X toward the archer."""
    asked = bows.bow_inputs(values(BOWS[name]), WIDGETS["loads"].fields())
    drawn = bow_setup.as_it_is(asked.setup, asked.draw).drawn
    nocking = complex(drawn.nocking_x, drawn.nocking_y)
    assert abs(nocking) == pytest.approx(asked.draw, rel=1e-8)
    sides = ((drawn.upper, asked.fitted.bow.upper, 1), (drawn.lower, asked.fitted.bow.lower, -1))
    for (half, side, up), found in zip(sides, both(BOWS[name]), strict=True):
        tip, fulcrum = complex(half.end_x, up * half.end_y), complex(side.fulcrum_x, up * side.fulcrum_y)
        string = (tip - nocking) / abs(tip - nocking)
        assert found["string_lever"] == pytest.approx(1000 * abs(((fulcrum - nocking) / string).imag), rel=1e-6)
        between = abs(math.atan2((string / -nocking).imag, (string / -nocking).real))
        assert math.radians(found["string_angle"]) == pytest.approx(between, rel=1e-6)


def test_scale_readings_of_the_page_on_draw_weight_count_in_place_of_the_weight() -> None:
    """Two rows that the default bow gives (model.md 4) give its moments, whatever the one weight says."""
    rows = [{"draw": 26, "weight": 33.9148}, {"draw": 28, "weight": 37.9975}]
    upper, lower = both(FOUND | {"scale_readings": rows, "draw_weight": 60})
    assert upper["moment"] == pytest.approx(MOMENTS["upper"], abs=5e-3)
    assert lower["moment"] == pytest.approx(MOMENTS["lower"], abs=5e-3)
    mine = changed(MINE, draw_weight=None)
    assert told(mine | {"scale_readings": rows}).state is State.EXPLAIN
    assert told(mine).state is State.EXAMPLE
    begun = told(mine | {"scale_readings": [*rows, {"draw": 20}]})
    assert "not used yet" in points_of(begun, "told")[0]


def test_the_string_s_length_is_held_against_that_of_the_computed_bow() -> None:
    """model.md 4: the default bow's string is 1645.8 mm long."""
    assert points_of(told(FOUND | {"string_length": 1645.8}), "told") == ()
    (sentence,) = points_of(told(FOUND | {"string_length": 1620, "string_upper": 775.55}), "told")
    assert "25.9 mm longer than yours" in sentence


def test_the_moment_is_the_bow_s_as_it_stands_at_every_turn_of_the_picture() -> None:
    moments = {turns: quick(told({}, turns_shown=turns))["moment"] for turns in (-1.5, 0, 2, 5)}
    assert len(set(moments.values())) == 1
    stood = [quick(told({}, upper_now_turns=turns))["moment"] for turns in (1, 2, 4)]
    assert len(set(stood)) == 3
    said = " ".join(points_of(told({}), "assumed"))
    assert "your bow now" in said
    assert "is not predicted" in said


NO_WINDOW: list[dict[str, Any]] = [
    {"strip_thickness": "x"},
    {"margin": "x"},
    {"upper_touch_found": "no", "lower_touch_found": "no"},
    {"upper_touch_turns": 0.3, "strip_thickness": 0.5},
]


@pytest.mark.parametrize("record", NO_WINDOW)
def test_it_answers_where_the_worksheet_finds_no_window(record: dict[str, Any]) -> None:
    asked = bows.bow_inputs(Values(from_data(COMPLETE | record).record), WIDGETS["loads"].fields())
    assert asked.windows is None
    found, plain = numbers(told(COMPLETE | record)), numbers(told(COMPLETE))
    assert found["moment"] == pytest.approx(plain["moment"], rel=1e-3)
    assert found["moment_low"] < found["moment"] < found["moment_high"]


# How sure the moment is


def test_the_range_is_told_and_is_twice_the_standard_uncertainty() -> None:
    answer = told({})
    found, said = numbers(answer), texts(answer)
    assert found["moment_high"] - found["moment"] == pytest.approx(found["moment_off"], rel=1e-8)
    assert found["moment"] - found["moment_low"] == pytest.approx(found["moment_off"], rel=1e-8)
    assert said["moment_low"] == f"{found['moment_low']:.1f} N·m"
    assert said["moment_off"] == f"±\u00a0{found['moment_off']:.1f} N·m"
    note = next(value.note for value in answer.all_values() if value.name == "moment_off")
    assert "about 95 %" in note
    assert "fulcrum to string nock, the example's" in note  # the limb's length, 15 mm off, has the largest part


def test_what_is_shown_at_once_does_not_wait_for_it() -> None:
    """The slow list comes later; the verdict names none of its numbers."""
    answer = told(MINE)
    late = [part for part in answer.parts if isinstance(part, DeferredBlock)]
    lists = [block for part in late for block in part.made if isinstance(block, ValueList)]
    held = [value.name for block in lists for value in block.values]
    assert held == ["moment_off", "moment_low", "moment_high"]
    assert {"moment", "tension", "string_angle", "rim_force", "force"} <= set(quick(answer))
    for name in held:
        assert texts(answer)[name] not in answer.verdict


MEASURED = ALL_LENGTHS | FOUND | {"upper_rim_to_butt": 2.5, "lower_rim_to_butt": 2.5, "scale_step": 0.3}


@pytest.mark.long
@pytest.mark.parametrize("record", [{}, MEASURED], ids=["example", "measured"])
def test_it_covers_what_numbers_drawn_at_random_give(record: dict[str, Any]) -> None:
    """JCGM 101, propagation of distributions (C): every number of the bow is drawn, and the whole bow found anew.

    The moments scatter as the linear budget says, and about 95 % of them lie in the range.
    """
    checked = values(record)
    asked = bows.bow_inputs(checked, WIDGETS["loads"].fields())
    chance = random.Random(20240501)
    scale, mark = checked.number("scale_step"), checked.number("draw_step")

    def one() -> bow_setup.Setup:
        setup = asked.setup
        for each in asked.parameters:
            by = each.half * chance.uniform(-1, 1)
            setup = moved(setup, each.name, abs(by) if each.name == "stretch" else by)  # no string shortens
        weighings = tuple(
            Weighing(at.draw + mark * chance.uniform(-1, 1), at.force + scale * chance.uniform(-1, 1))
            for at in setup.weighings
        )
        return replace(setup, weighings=weighings)

    drawn: dict[str, list[float]] = {limb: [] for limb in MOMENTS}
    failed = 0
    for _ in range(150):
        try:
            there = bow_setup.as_it_is(one(), asked.draw).drawn
        except (FitError, PocketError):
            failed += 1
            continue
        drawn["upper"].append(there.upper.moment)
        drawn["lower"].append(there.lower.moment)
    assert failed <= 3
    for limb, moments in drawn.items():
        found = numbers(told(record, limb_shown=limb))
        middle = sum(moments) / len(moments)
        scatter = math.sqrt(sum((each - middle) ** 2 for each in moments) / (len(moments) - 1))
        assert found["moment_off"] / 2 == pytest.approx(scatter, rel=0.2)
        inside = sum(found["moment_low"] <= each <= found["moment_high"] for each in moments)
        assert 0.90 <= inside / len(moments) <= 1.0


def test_nearer_readings_make_it_surer_and_change_nothing_else() -> None:
    far, near = (
        numbers(told(MEASURED, tape_step=tape, scale_step=scale, draw_step=draw))
        for tape, scale, draw in ((3, 2, 0.5), (0.5, 0.1, 0.05))
    )
    for name in far:
        if name not in ("moment_off", "moment_low", "moment_high"):
            assert far[name] == near[name]
    assert near["moment_off"] < 0.8 * far["moment_off"]
    measured, assumed = (numbers(told(record))["moment_off"] for record in (MEASURED, FOUND))
    assert measured < assumed  # the example's lengths are rougher


def test_stations_of_the_draw_length_differ_by_1_75_inch() -> None:
    amo, pivot = numbers(told({})), numbers(told({}, draw_station="pivot"))
    assert pivot["draw_from_pivot"] - amo["draw_from_pivot"] == pytest.approx(1.75 * INCH, abs=1e-9)
    assert amo["draw_from_pivot"] == pytest.approx(26.25 * INCH, abs=1e-9)  # 26.25 in to the pivot is 28 in
    same = numbers(told({}, draw_station="pivot", draw_length=26.25))
    assert same["moment"] == pytest.approx(amo["moment"], rel=1e-8)
    assert pivot["moment"] < amo["moment"]  # the same weight at a longer draw: a sharper angle, less tension
    assert station_of({}) == "the AMO draw length less 1.75 in"
    assert station_of({"draw_station": "pivot"}) == "as entered"


def station_of(record: dict[str, Any]) -> str:
    return next(value.note for value in told(record).all_values() if value.name == "draw_from_pivot")


@pytest.mark.parametrize(
    ("station", "offset", "note"),
    [
        ("plunger", None, "as entered: the plunger hole is right above the pivot point"),
        ("plunger", 12, "as entered, less 12.00 mm to the plunger hole"),
        ("rest", -8, "as entered, and 8.00 mm to the rest"),
    ],
)
def test_a_draw_length_from_plunger_or_rest(station: str, offset: float | None, note: str) -> None:
    """The place lies so far toward the target of the pivot point, and the draw length is that much less from there."""
    record = changed({"draw_station": station, "draw_length": {"typed": "670", "unit": "mm"}}, station_offset=offset)
    found = numbers(told(record))
    assert found["draw_from_pivot"] == pytest.approx(670 - (offset or 0), abs=1e-6)
    assert station_of(record) == note


SCALING = [
    *(f"{state}_{what}" for state in ("out", "flush", "rim") for what in ("force", "bending", "stress")),
    *("moment", "tension"),
    *("force", "force_along", "force_across", "bending", "stress", "yield_share"),
]


@pytest.mark.parametrize("turns", [-1, 0, 2])
def test_all_that_is_force_grows_with_the_draw_weight_and_nothing_else_does(turns: float) -> None:
    one, other = (quick(told({}, draw_weight=weight, turns_shown=turns)) for weight in (16, 48))
    assert set(one) == set(other)
    for name, value in one.items():
        assert other[name] == pytest.approx(3 * value if name in SCALING else value, rel=1e-8, abs=1e-9)
    assert {"rim_over_out_force", "rim_over_out_bending", "rim_over_out_stress"} <= set(one) - set(SCALING)
    metric = quick(told({}, draw_weight={"typed": repr(16 * LBF), "unit": "N"}, turns_shown=turns))
    assert metric == pytest.approx(one, rel=1e-8)


@pytest.mark.parametrize("weight", [5, 12, 24, 120])
def test_the_moment_goes_with_the_weight_over_all_that_people_draw(weight: float) -> None:
    """model.md 4: forces go with the limbs' stiffness; where the string does not stretch, all places stay."""
    upper, lower = both(FOUND, draw_weight=weight)
    assert upper["moment"] == pytest.approx(MOMENTS["upper"] * weight / FOUND["draw_weight"], rel=1e-4)
    assert lower["moment"] == pytest.approx(MOMENTS["lower"] * weight / FOUND["draw_weight"], rel=1e-4)


# Ratios


def assert_shown(cells: tuple[str, ...], ratios: list[float]) -> None:
    """To two decimals, and to none from ten up."""
    for cell, ratio in zip(cells, ratios, strict=True):
        assert read(cell) == pytest.approx(ratio, abs=5.001e-3 if ratio < 9.995 else 0.5001)
        assert ("." in cell) == (ratio < 9.995)


@each_case
def test_ratios_are_those_of_the_levers(name: str) -> None:
    """Under one moment the forces are as the levers are, whatever the moment; the bending with the places too."""
    record, case = CASES[name]
    answer = told(record, draw_weight=77)
    found = numbers(answer)
    out, rim = (by_hand(case, turns, 1.0) for turns in (0.25, -0.25))
    assert found["rim_over_out_force"] == pytest.approx(rim.force / out.force, rel=1e-8)
    assert found["rim_over_out_bending"] == pytest.approx(abs(rim.bending / out.bending), rel=1e-8)
    # The rock angle is small: (a − xc) over (a − xc) already says it.
    plain = (case["arm"] - out.place) / (case["arm"] - rim.place)
    assert found["rim_over_out_force"] == pytest.approx(plain, rel=5e-3)
    assert found["rim_over_out_stress"] == pytest.approx(found["rim_stress"] / found["out_stress"], rel=1e-8)
    flush = by_hand(case, 0, 1.0)
    rows = {row[0]: row[1:] for row in table_of(answer, "states-table").rows}
    of_flush = [one.force / flush.force for one in (out, flush, rim)]
    assert_shown(rows["force, of flush"], of_flush)
    of_out = [one.force / out.force for one in (out, flush, rim)]
    assert_shown(rows["force, of outside"], of_out)
    bent = [abs(one.bending / out.bending) for one in (out, flush, rim)]
    assert_shown(rows["bending, of outside"], bent)
    for what, by in (("stress, of flush", "flush"), ("stress, of outside", "out")):
        shares = [found[f"{state}_stress"] / found[f"{by}_stress"] for state, _ in STATES]
        assert_shown(rows[what], shares)


# One number, everywhere

SHOWN: list[tuple[dict[str, Any], float]] = [
    ({}, 2),
    ({}, -0.5),
    ({}, 0),
    ({"upper_rim_to_butt": 0.7}, 0.3),
    ({"upper_rim_to_butt": 9.2, "limb_depth": 10}, 0.25),
    (LESS_THAN_HALF, 1),
    (LENGTHS | {"length_unit": "in", "bolt_material": "titanium"}, 1.35),
    (COMPLETE | {"limb_shown": "lower", "lower_rim_to_butt": 4, "draw_weight": 71.5}, -0.25),
    (F, 6),
]
each_shown = pytest.mark.parametrize(("record", "turns"), SHOWN)


def about(ratio: float) -> str:
    """A ratio as the title has it: in quarters, from ten on in whole numbers."""
    if ratio >= 10:
        return f"about {ratio:.0f} times"
    whole, part = divmod(round(4 * ratio), 4)
    return f"about {whole}{('', '¼', '½', '¾')[part]} times"


@each_shown
def test_sentence_values_table_and_pictures_say_the_same(record: dict[str, Any], turns: float) -> None:
    answer = told(record, turns_shown=turns)
    found, said = numbers(answer), texts(answer)
    rows = {row[0]: row[1:] for row in table_of(answer, "states-table").rows}
    strings = picture_of(answer, "states").description
    assert said["moment"] in answer.verdict
    for place, (state, _) in enumerate(STATES):
        force, bending, stress = (said[f"{state}_{what}"] for what in ("force", "bending", "stress"))
        assert rows["force"][place] == force
        assert rows["together, nominal"][place] == stress
        assert read(rows["bending moment"][place]) == pytest.approx(found[f"{state}_bending"], abs=5.001e-3)
        assert read(bending) == pytest.approx(abs(found[f"{state}_bending"]), abs=5.001e-2)
        parts = read(rows["stress from the pull"][place]) + read(rows["stress from bending"][place])
        assert parts == pytest.approx(found[f"{state}_stress"], abs=1.01)
        assert f"{force} and" in answer.verdict or f"{force}. That bends" in answer.verdict
        assert bending in answer.verdict
        assert force in strings
        assert f"Force {rows['force, of flush'][place]}. Stress {rows['stress, of flush'][place]}." in strings
    for what in ("force", "bending", "stress"):
        ratio = found[f"rim_over_out_{what}"]
        assert read(said[f"rim_over_out_{what}"]) == pytest.approx(ratio, abs=5.001e-3 if ratio < 10 else 0.5001)
        assert said[f"rim_over_out_{what}"].split()[0] == rows[f"{what}, of outside"][2]
    assert about(found["rim_over_out_bending"]) in answer.title
    assert not re.search(r"±|\d\.\d\d+ turn", answer.title + answer.verdict)
    side = picture_of(answer, "side").description
    caption = next(
        block.caption for block in answer.blocks if isinstance(block, Drawn) and block.picture.name == "side"
    )
    if "off_axis" in found:
        assert said["force"] in side
        assert said["force"] in caption
        assert said["off_axis"].replace("−", "") in caption
    sent = "toward the butt" if found["bending"] > 0 else "toward the limb tip"
    if abs(found["bending"]) > 1:
        assert sent in side
        assert sent in caption
        assert sent in next(value.note for value in answer.all_values() if value.name == "bending")


@each_shown
def test_the_arrows_are_measured(record: dict[str, Any], turns: float) -> None:
    """Length for length they are the forces, from where the limb presses; the bend goes the way that it is said."""
    answer = told(record, turns_shown=turns)
    found = numbers(answer)
    drawing = Drawing(picture_of(answer, "states"))
    most = max(found["force"], *(found[f"{state}_force"] for state, _ in STATES))
    bent = max(abs(found["bending"]), *(abs(found[f"{state}_bending"]) for state, _ in STATES))
    places = [read(cell) for cell in next(
        row for row in table_of(answer, "states-table").rows if row[0].startswith("off the axis")
    )[1:]]  # fmt: skip
    scale = INCH if record.get("length_unit") == "in" else 1
    lengths = {}
    for place, (state, _) in enumerate(STATES):
        key = f"loads-states-{place}"
        bend = drawing.by_id.get(f"{key}-bend")
        if bend is not None:
            drawn = float(bend.attrib["data-bend"])
            assert drawn == pytest.approx(-11 * found[f"{state}_bending"] / bent, abs=1e-3)  # 11 units: the largest
        if state == "flush":
            continue
        tip, *rest = drawing.points(f"{key}-force")
        foot = [(rest[2][at] + rest[3][at]) / 2 for at in (0, 1)]
        lengths[state] = math.dist(tip, foot)
        assert Frame(drawing, key).mm(*foot)[0] == pytest.approx(scale * places[place], abs=0.02)
    assert lengths["out"] / lengths["rim"] == pytest.approx(found["out_force"] / found["rim_force"], rel=1e-3)
    assert max(lengths.values()) <= 62.001 * max(found["out_force"], found["rim_force"]) / most
    shown = Drawing(picture_of(answer, "side"))
    assert any("force" in each for each in shown.by_id) is (found["force"] > 0)


def test_the_hand_turns_the_picture_past_flush_and_beyond_first_touch() -> None:
    hand = next(block.hands[0] for block in told(F).blocks if isinstance(block, Drawn) and block.hands)
    assert hand.field == "turns_shown"
    assert hand.low < -1
    assert hand.high > 5.0349904  # first touch of sources.md F (C)
    assert hand.words == "2 turns out from flush"


# The states


def bears(answer: Answer) -> tuple[str, ...]:
    return next(row for row in table_of(answer, "states-table").rows if row[0] == "what touches")[1:]


def test_what_bears_is_named_in_each_state() -> None:
    assert bears(told(F)) == ("the butt end", "the whole overlap", "the rim")
    assert bears(told(EDGE)) == ("the head's edge", "the whole overlap", "the rim")
    assert bears(told(LESS_THAN_HALF)) == ("the butt end", "the whole overlap", "the rim")
    assert "the head's edge presses on the bolt" in told(EDGE).verdict
    for turns, words in ((0.2, "the head's edge"), (0, "the whole overlap"), (-0.2, "the rim")):
        answer = told(EDGE, turns_shown=turns)
        drawn = [block.caption for block in answer.blocks if isinstance(block, Drawn)]
        assert words in drawn[0]
    assert "a quarter of a turn out from flush" in told(F, turns_shown=0.25).blocks[0].caption.lower()  # type: ignore[union-attr]


def test_past_first_touch_the_fitting_carries_everything() -> None:
    answer = told(F, turns_shown=6)  # first touch at 5.0349904, sources.md F (C)
    found, said = numbers(answer), texts(answer)
    assert [
        found[name] for name in ("force", "force_along", "force_across", "bending", "stress", "yield_share")
    ] == 6 * [0]
    assert said["off_axis"] == "it touches nothing"
    caption = next(block.caption for block in answer.blocks if isinstance(block, Drawn))
    assert caption == "6 turns out from flush nothing presses on the bolt: the pocket's fitting carries everything."
    assert "fitting carries everything" in picture_of(answer, "side").description
    assert found["out_force"] == numbers(told(F))["out_force"]
    assert numbers(told(F, turns_shown=5.03))["force"] > 1000


def test_where_nothing_touches_a_quarter_out_there_is_nothing_to_compare_with() -> None:
    """First touch 0.3 turn out as a strip of 0.1 mm tells it, 0.21 turn in truth."""
    answer = told(F, upper_touch_turns=0.3, strip_thickness=0.1, turns_shown=-0.25)
    found, said = numbers(answer), texts(answer)
    assert bears(answer) == ("nothing", "the whole overlap", "the rim")
    assert answer.title == "What the bolt carries, state by state"
    assert "nothing touches the head, and the fitting carries all" in answer.verdict
    assert [said[f"rim_over_out_{what}"] for what in ("force", "bending", "stress")] == 3 * ["none"]
    assert not any(name.startswith("rim_over_out") for name in found)
    assert found["rim_force"] == found["force"] > 1000
    assert "fitting" in picture_of(answer, "states").description


def test_less_than_half_under_the_head_is_told_before_any_number() -> None:
    """Common practice, no source: more than half. A butt near the axis hardly bends the bolt, and may slip off it."""
    for record, warned in ((F, False), (BARELY, False), (F | {"upper_rim_to_butt": 9.5}, True), (LESS_THAN_HALF, True)):
        answer = told(record)
        assert bool(points_of(answer, "cover")) is warned
        if warned:
            listed = [block for block in answer.blocks if isinstance(block, Points | ValueList)]
            before = listed[: [block.name for block in listed].index("cover")]
            assert not any(isinstance(block, ValueList) for block in before)
            assert "do not draw the bow" in points_of(answer, "cover")[0]
    assert numbers(told(LESS_THAN_HALF))["out_bending"] > 0  # both contacts on the tip's side


def test_lower_bound_and_upper_bound_are_said() -> None:
    answer = told({})
    assert "a lower bound of the bending" in answer.verdict
    note = table_of(answer, "states-table").note
    assert "lower bound" in note
    assert "A line of contact is an upper bound" in note
    found = numbers(answer)
    assert abs(found["flush_bending"]) < min(abs(found["out_bending"]), found["rim_bending"])


@pytest.mark.parametrize("rim_to_butt", [8.5, 9.2, 9.49, 13])
def test_even_pressure_is_no_lower_bound_where_the_butt_ends_near_the_axis(rim_to_butt: float) -> None:
    """sources.md F's flush (C): 4.78 N·m with 0.3 mm of cover, where the butt end lies 0.3 mm off the axis, or less."""
    record = F | {"upper_rim_to_butt": rim_to_butt}
    found, answer = numbers(told(record)), told(record)
    case = DEFAULTS | {"rise": 4.2333333, "rim_to_butt": rim_to_butt}
    least = abs(by_hand(case, 0, 1).bending) <= min(abs(by_hand(case, turns, 1).bending) for turns in (0.25, -0.25))
    assert least is (abs(found["flush_bending"]) <= min(abs(found["out_bending"]), abs(found["rim_bending"])))
    assert ("no lower bound" in answer.verdict) is not least
    assert ("no lower bound" in table_of(answer, "states-table").note) is not least
    (caption,) = [one.caption for one in answer.blocks if isinstance(one, Drawn) and one.picture.name == "states"]
    assert ("no lower bound" in caption) is not least


# The thread


# designation, what a caliper reads (a little under), rise over four turns, stress area: sources.md C (S2)
THREADS = [
    ("1/4-28", 0.247 * INCH, 4 * INCH / 28, 0.0364 * INCH**2),
    ("5/16-24", 0.309 * INCH, 4 * INCH / 24, 0.0581 * INCH**2),
    ("3/8-16", 0.371 * INCH, 4 * INCH / 16, 0.0775 * INCH**2),
    ("3/8-24", 0.372 * INCH, 4 * INCH / 24, 0.0878 * INCH**2),
    ("M6×1", 5.9, 4, 20.1),
    ("M8×1.25", 7.9, 5, 36.6),
    ("M8×1", 7.9, 4, 39.2),
    ("M10×1.5", 9.9, 6, 58.0),
    ("M10×1", 9.9, 4, 64.5),
    ("M10×1.25", 9.9, 5, 61.2),
]


@pytest.mark.parametrize(("name", "diameter", "rise", "area"), THREADS)
def test_a_standard_thread_is_taken_by_its_published_area(name: str, diameter: float, rise: float, area: float) -> None:
    answer = told({"thread_diameter": round(diameter, 3), "rise": round(rise * 1.01, 4), "slot_width": 10.2})
    assert texts(answer)["thread_name"] == name
    found = numbers(answer)
    assert found["stress_area"] == pytest.approx(area, rel=2e-3)
    assert found["stress_diameter"] == pytest.approx(math.sqrt(4 * area / math.pi), rel=1e-3)
    assert found["doubling"] == pytest.approx(found["stress_diameter"] / 8)  # sources.md C: doubled at e = ds/8 (C)


@pytest.mark.parametrize(("diameter", "pitch"), [(9, 1.15), (9.5, 1.25), (9.5, 1.095)])
def test_a_thread_in_no_standard_is_taken_as_it_was_measured(diameter: float, pitch: float) -> None:
    """The lesser of the two standards' areas, ASME B1.1's (S2), and said; 3/8-24 has 1.0583, 3/8-16 1.5875 mm."""
    answer = told({"thread_diameter": diameter, "rise": 4 * pitch})
    assert texts(answer)["thread_name"] == "no standard thread: as measured"
    found = numbers(answer)
    assert found["stress_area"] == pytest.approx(math.pi / 4 * (diameter - 0.9743 * pitch) ** 2, rel=1e-4)
    assert found["stress_area"] < math.pi / 4 * (diameter - 0.9382 * pitch) ** 2
    height = math.sqrt(3) / 2 * pitch
    assert found["pitch_diameter"] == pytest.approx(diameter - 0.75 * height)
    assert found["minor_internal"] == pytest.approx(diameter - 1.25 * height)


def test_stripping_by_the_published_shear_areas() -> None:
    """3/8-24 at an engaged length of its diameter: 0.217 and 0.299 in² (S2, FED-STD-H28/2); 0.6 Rm, as worked there."""
    found = numbers(told(LENGTHS | {"bolt_material": "steel109", "bush_metal": "steel"}))
    per_mm = {"bolt": 0.217 * INCH**2 / (0.375 * INCH), "riser": 0.299 * INCH**2 / (0.375 * INCH)}
    assert found["engaged"] == pytest.approx(16)
    assert found["strip_bolt"] == pytest.approx(0.6 * 1040 * per_mm["bolt"] * 16, rel=3e-3)
    assert found["strip_riser"] == pytest.approx(0.6 * 700 * per_mm["riser"] * 16, rel=3e-3)  # A2-70
    needed = [PUBLISHED_AREA / (0.6 * per_mm["bolt"]), PUBLISHED_AREA * 1040 / (0.6 * 700 * per_mm["riser"])]
    assert found["engaged_for_strength"] == pytest.approx(max(needed), rel=4e-3)
    soft = told(LENGTHS | {"bush_metal": "aluminium"})
    assert numbers(soft)["strip_riser"] == pytest.approx(0.6 * 310 * per_mm["riser"] * 16, rel=3e-3)  # 6061-T6
    note = next(value.note for value in soft.all_values() if value.name == "engaged_for_strength")
    assert note == "before a thread strips; the weaker thread is the riser's, taken as aluminium, 6061-T6"


P = 4.2333333 / 4
# record, thread between the bolt's end and the riser's mouth at zero (mm), the riser's thread (mm or none)
ENGAGED: dict[str, tuple[dict[str, Any], float, float | None]] = {
    "the example's": ({"rise": 4.2333333}, 26 * P, 25),
    "by lengths": (LENGTHS, 20, 16),
    "by lengths, no bush": (changed(LENGTHS, bush_length=None), 20, None),
    "counted": (MINE | {"rise": 4.2333333, "upper_free_turns": 9}, 9 * P, None),
    "counted, with a bush": (MINE | {"rise": 4.2333333, "upper_free_turns": 15, "bush_length": 12}, 15 * P, 12),
    "counted, little": (MINE | {"rise": 4.2333333, "upper_free_turns": 2}, 2 * P, None),
}


@pytest.mark.parametrize("name", ENGAGED)
def test_the_thread_s_chart_and_values(name: str) -> None:
    record, at_zero, bush = ENGAGED[name]

    def left(turns: float) -> float:
        return max(0.0, min(math.inf if bush is None else bush, at_zero - P * turns))

    for turns in (-1, 0, 2, 4.5):
        answer = told(record, turns_shown=turns)
        found, said = numbers(answer), texts(answer)
        assert found["engaged"] == pytest.approx(left(turns), abs=1e-6)
        assert found["lets_go"] == pytest.approx(at_zero / P, abs=1e-6)
        assert ("whole_until" in found) is (bush is not None)
        if bush is not None:
            assert found["whole_until"] == pytest.approx((at_zero - bush) / P, abs=1e-6)
        picture = picture_of(answer, "thread-chart")
        assert f"{said['engaged']} at {said['turns'].split()[0]} turns (bolt)" in picture.description
        drawing = Drawing(picture)
        frame = Frame(drawing, "loads-thread-plot")
        drawn = [
            frame.mm(float(x), float(y))
            for x, y in re.findall(r"[ML] (\S+) (\S+)", drawing.by_id["loads-thread-line-0"].attrib["d"])
        ]
        assert len(drawn) >= 2
        for at, length in drawn:
            assert length == pytest.approx(left(at), abs=0.05)
        assert drawn[0][0] == pytest.approx(-1.5, abs=0.01)
        x, _, _, _ = drawing.line("loads-thread-now")
        assert frame.mm(x, 0)[0] == pytest.approx(turns, abs=0.01)
        for many in ("1.0 d", "1.5 d", "2.0 d"):
            assert f"{many}: at {9.525 * float(many[:3]):.2f} mm" in picture.description  # 3/8 in is 9.525 mm
    status = next(value.status.value for value in told(record).all_values() if value.name == "engaged")
    assert status == ("example" if name == "the example's" else "computed")


@pytest.mark.parametrize(
    ("changes", "wanted", "words"),
    [
        ({"bush_metal": "steel"}, 9.525, "1 diameter"),
        ({"bush_metal": "aluminium", "bush_length": 25}, 19.05, "2 diameters"),
        ({"bush_length": 25}, 19.05, "2 diameters"),
        ({}, 16, "all of the riser's thread"),
    ],
)
def test_how_much_thread_is_wanted(changes: dict[str, Any], wanted: float, words: str) -> None:
    """One diameter in steel, two in aluminium or when not known (common practice, no source)."""
    answer = told(LENGTHS | changes)
    found = numbers(answer)
    assert found["engaged_wanted"] == pytest.approx(wanted, abs=1e-6)
    assert found["enough_until"] == pytest.approx((20 - wanted) / P, abs=1e-5)
    note = next(value.note for value in answer.all_values() if value.name == "engaged_wanted")
    assert words in note


# Materials

YIELDS = {
    "steel, class 8.8 (to 16 mm)": (800, 640, "least"),
    "steel, class 10.9": (1040, 940, "least"),
    "steel, class 12.9": (1220, 1100, "least"),
    "stainless steel, A2-70": (700, 450, "least"),
    "aluminium, 7075-T6": (572, 503, "typical"),
    "aluminium, 6061-T6": (310, 276, "typical"),
    "titanium, Ti-6Al-4V annealed": (900, 830, "typical"),
}
"""sources.md C (S2): ISO 898-1, ISO 3506-1, data sheets; MPa."""


@pytest.mark.parametrize("weight", [12, 38, 120])
def test_materials_by_the_published_strengths(weight: float) -> None:
    answer = told({}, draw_weight=weight)
    found = numbers(answer)
    rows = table_of(answer, "materials-table").rows
    assert [row[0] for row in rows] == list(YIELDS)
    drawing = Drawing(picture_of(answer, "materials"))
    scale = float(drawing.by_id["loads-materials-shares"].attrib["data-scale-x"])
    for place, (name, breaks, yields, kind, outside, past) in enumerate(rows):
        tensile, limit, wanted = YIELDS[name]
        assert (breaks, yields, kind) == (f"{tensile} MPa", f"{limit} MPa", wanted)
        assert read(outside) == pytest.approx(100 * found["out_stress"] / limit, abs=0.501)
        assert read(past) == pytest.approx(100 * found["rim_stress"] / limit, abs=0.501)
        (width,) = drawing.numbers(f"loads-materials-bar-{place}", "width")
        assert width / scale == pytest.approx(found["rim_stress"] / limit, rel=1e-3)
        assert drawing.by_id[f"loads-materials-value-{place}"].text == past
        assert (f"loads-materials-over-{place}" in drawing.by_id) is (found["rim_stress"] > limit)


CHOSEN = dict(zip([option.value for option in getattr(BY_NAME["bolt_material"], "options")], YIELDS, strict=True))  # noqa: B009 - of a choice


@pytest.mark.parametrize("option", CHOSEN)
def test_the_bolt_that_was_chosen_is_held_against_its_own_yield(option: str) -> None:
    answer = told({}, bolt_material=option)
    found, limit = numbers(answer), YIELDS[CHOSEN[option]][1]
    assert found["yield_share"] == pytest.approx(100 * found["stress"] / limit, rel=1e-8)
    note = next(value.note for value in answer.all_values() if value.name == "yield_share")
    assert CHOSEN[option] in note
    row = next(row for row in table_of(answer, "states-table").rows if row[0].startswith("of the yield"))
    assert CHOSEN[option] in row[0]
    assert [read(cell) for cell in row[1:]] == pytest.approx(
        [100 * found[f"{state}_stress"] / limit for state, _ in STATES], abs=0.501
    )
    assert found["out_force"] == numbers(told({}))["out_force"]


# What must be said


SAID = [
    "The maker's manual comes first",
    "Take the string off the bow before you turn a bolt or its lock",
    "Never dry-fire",
    "a qualified coach or a bow technician",
    "Follow club and range rules",
    "Replace a bolt that is bent, galled or marked, and only with the maker's part",
    "positioned, never torqued",
    "With a crack, do not string the bow",
    "ranks positions of one bolt and does not test strength",
    "no fatigue",
    "pulls a bush out of wood or magnesium is left out",
    "Fatigue is not in it",
    "Shown to explain, never to choose a bolt",
    "it ranks positions; it does not test strength",
]
ALL_WAYS: dict[str, dict[str, Any]] = {
    "example": {},
    "mine": LENGTHS,
    "less than half": LESS_THAN_HALF,
    "nothing touches": F | {"turns_shown": 6},
    "a stop": LENGTHS | {"limb_cracks": "fault"},
    "another bolt": {"bolt_family": "swivel"},
}


@pytest.mark.parametrize("name", ALL_WAYS)
def test_every_caution_is_there_whatever_is_shown(name: str) -> None:
    answer = told(ALL_WAYS[name])
    data = str(answer.as_data() | {"ways": []})  # a page's name is not said
    for words in SAID:
        assert words in data, words
    listed = points_of(answer, "cautions")
    assert listed[0].startswith("The maker's manual")
    assert any(
        block.kind == "caution" for block in answer.blocks if isinstance(block, Points) and block.points == listed
    )
    assert not re.search(r"\bsafe\b(?! range)|strong enough", data.lower())


def test_the_assumptions_are_listed() -> None:
    said = " ".join(points_of(told({}), "assumed"))
    for words in ("No friction", "rigid", "without mass", "plausible and made up", "does not stretch"):
        assert words in said
    for words in ("nominal", "usual class"):
        assert words in said


@pytest.mark.parametrize("family", ["swivel", "pivot"])
def test_another_bolt_is_told_that_this_is_not_it(family: str) -> None:
    answer = told(LENGTHS | {"bolt_family": family})
    assert "flat head, and your bow has another bolt" in points_of(answer, "other-bolt")[0]
    assert answer.state is State.EXAMPLE
    for mine in ({}, {"bolt_family": "flat"}, {"bolt_family": "stop"}):
        assert points_of(told(mine), "other-bolt") == ()


def test_an_example_until_pull_head_butt_and_thread_are_the_reader_s() -> None:
    assert told(MINE).state is State.EXPLAIN
    assert told(MINE).badge == "Your bolt"
    for name in MINE:
        part = told(changed(MINE, **{name: None}))
        assert part.state is State.EXAMPLE
        assert "example" in part.verdict.lower()
        assert all(value.status.value == "example" for value in part.all_values())
    assert told(MINE, limb_shown="lower").state is State.EXAMPLE


@pytest.mark.parametrize(("entry", "state"), [("fault", State.STOP), ("unsure", State.ASK)])
def test_what_the_inspection_found_comes_first_and_the_figures_are_still_there(entry: str, state: State) -> None:
    answer, before = told(LENGTHS | {"slot_root": entry}), told(LENGTHS)
    assert answer.state is state
    first, out, second = answer.blocks[:3]
    assert isinstance(first, Points)
    assert isinstance(second, Points)
    assert isinstance(out, Way)
    assert (first.name, first.kind) == ("findings", "stop")
    assert (second.name, second.title, second.points) == ("shown", before.title, (before.verdict,))
    drawn = [block.picture.name for block in answer.blocks if isinstance(block, Drawn)]
    assert drawn == ["side", "small", "states", "thread-chart", "materials"]
    assert "the slot" in answer.verdict
    assert numbers(answer) == numbers(before)


# Whose limb it is, and units


def test_each_limb_has_its_own_readings() -> None:
    record = MINE | {"rise": 4.2333333, "lower_rim_to_butt": 4, "upper_free_turns": 20, "lower_free_turns": 15}
    upper, lower = (numbers(told(record, limb_shown=limb)) for limb in ("upper", "lower"))
    assert upper["moment"] != lower["moment"]
    for found, rim_to_butt, free in ((upper, 2.5, 20), (lower, 4, 15)):
        case = DEFAULTS | {"rise": 4.2333333, "rim_to_butt": rim_to_butt}
        assert found["out_force"] == pytest.approx(by_hand(case, 0.25, found["moment"]).force, rel=1e-8)
        assert found["lets_go"] == free
    assert "lower limb" in picture_of(told(record, limb_shown="lower"), "side").title
    lengths = changed(LENGTHS, upper_stand_zero=None) | {"lower_stand_zero": 14}
    assert numbers(told(lengths, limb_shown="lower"))["lets_go"] == pytest.approx(18 / P)


def test_the_free_shank_is_bent_by_the_part_across() -> None:
    """At the rim the force leans toward the butt: its part across acts on the shank down to the thread (C)."""
    short, long = (numbers(told(MINE, upper_stand_zero=stand)) for stand in (5, 30))
    diameter = short["stress_diameter"]
    across = numbers(told(MINE, turns_shown=-0.25))["force_across"]
    assert across < 0
    more = 32 * abs(across) * 25 / (math.pi * diameter**3)
    assert long["rim_stress"] - short["rim_stress"] == pytest.approx(more, rel=1e-6)
    assert long["out_stress"] == short["out_stress"]


def test_inches_and_millimetres_are_alike() -> None:
    lengths = {
        "head_diameter": 19.5,
        "upper_rim_to_butt": 2.6,
        "slot_width": 10.4,
        "fulcrum_arm": 62,
        "limb_depth": 8.5,
    }
    lengths |= {"limb_length": 568, "string_upper": 790, "upper_fulcrum": 317}
    lengths |= {"rise": 4.2333333, "thread_diameter": 9.45, "bolt_length": 33, "bush_length": 17}
    lengths |= {"upper_stand_zero": 12.3, "brace_height": 220, "upper_tiller": 180, "lower_tiller": 174}
    lengths |= {"string_length": 1650, "fulcrum_span": 615, "draw_length": {"typed": "27.5", "unit": "in"}}  # type: ignore[dict-item]
    inches = {
        name: {"typed": f"{length / 25.4:.9f}", "unit": "in"}
        if name != "draw_length"
        else {"typed": "698.5", "unit": "mm"}
        for name, length in lengths.items()
    }
    one, other = numbers(told(lengths)), numbers(told(inches, length_unit="mm"))
    assert one == pytest.approx(other, rel=1e-6, abs=1e-6)
    shown = told(lengths, length_unit="in")
    for value in shown.all_values():
        if value.unit == "in":
            assert value.value is not None
            assert 25.4 * value.value == pytest.approx(one[value.name], rel=2e-9, abs=1e-9)
            assert value.text.endswith(" in")
        elif value.value is not None:
            assert value.value == pytest.approx(one[value.name], rel=1e-8)


# What cannot be

HIGH = {"brace_height": 320, "upper_tiller": 270, "lower_tiller": 268}
BAD: list[tuple[str, dict[str, Any], str, str]] = [
    ("a pitch too large", {"thread_diameter": 6, "rise": 8.4}, "thread_diameter", "less than 30 % of the diameter"),
    ("a pitch of no bolt", {"rise": 1}, "rise", "Measure the rise"),
    ("bush and bolt", LENGTHS | {"bush_length": 33}, "bush_length", "more than the whole bolt"),
    ("stand and bolt", LENGTHS | {"upper_stand_zero": 32}, "upper_stand_zero", "no thread would hold"),
    ("count and lengths", LENGTHS | {"upper_free_turns": 5}, "upper_free_turns", "Count and measure again"),
    ("head and shank", {"head_diameter": 9, "thread_diameter": 10}, "head_diameter", "must be wider"),
    ("head as wide", {"head_diameter": 10, "thread_diameter": 10}, "head_diameter", "must be wider"),
    ("slot and shank", {"slot_width": 7, "thread_diameter": 9.5}, "slot_width", "wider than the thread"),
    ("slot and head", {"slot_width": 19}, "slot_width", "narrower than the bolt's head"),
    ("butt and head", {"upper_rim_to_butt": 19}, "upper_rim_to_butt", "does not reach"),
    ("weight 0", {"draw_weight": 0}, "draw_weight", "5 to 120 lb"),
    ("weight below 0", {"draw_weight": -5}, "draw_weight", "5 to 120 lb"),
    ("weight in words", {"draw_weight": "lots"}, "draw_weight", "is not a number"),
    ("weight of no bow", {"draw_weight": 500}, "draw_weight", "5 to 120 lb"),
    ("weight NaN", {"draw_weight": "nan"}, "draw_weight", "is not a number"),
    ("a draw of no archer", {"draw_length": 12}, "draw_length", "15 to 36 in"),
    ("a draw inside the strung bow", HIGH | {"draw_length": 15, "draw_station": "plunger", "station_offset": 80},
     "draw_length", "at least that of the strung bow"),
    ("a string too short", {"string_length": 900}, "string_length", "1000 to 1900 mm"),
    ("string and its part", {"string_length": 1000}, "string_upper", "from 30 to 70 %"),
    ("span and fulcrum", {"fulcrum_span": 300}, "upper_fulcrum", "at least 50 mm less than fulcrum to fulcrum"),
    ("brace height and tiller", {"brace_height": 120}, "brace_height", "behind the grip's pivot point"),
    ("tillers of no bow", {"upper_tiller": 320, "lower_tiller": 80}, "brace_height", "both tillers"),
    ("turns in words", {"turns_shown": "abc"}, "turns_shown", "is not a number"),
    ("turns past the range", {"turns_shown": 99}, "turns_shown", "3 to 15 turns"),
    ("turns in past it", {"turns_shown": -4}, "turns_shown", "3 to 15 turns"),
    ("turns that no rim can", {"fulcrum_arm": 25, "limb_depth": 25, "head_diameter": 38, "turns_shown": -3},
     "turns_shown", "no farther than"),
    ("a rim under the fulcrum", {"rise": 10, "fulcrum_arm": 25, "limb_depth": 25, "head_diameter": 40,
     "thread_diameter": 8.4, "slot_width": 8.4}, "fulcrum_arm", "must be more, or the head smaller"),
    ("an arm by the tip", {"lever_travel": 200}, "fulcrum_arm", "Enter it here"),
]  # fmt: skip


@pytest.mark.parametrize(("record", "field", "words"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_bad_input_gets_one_clear_sentence_at_its_field(record: dict[str, Any], field: str, words: str) -> None:
    problems = refused(record, "loads")
    assert list(problems) == [field]
    sentence = problems[field]
    assert words in sentence
    assert sentence.endswith(".")
    label = BY_NAME[field].label.split(":")[0].split(",")[0].lower()
    assert (label if field != "rise" else "pitch") in sentence.lower()
    assert field in WIDGETS["loads"].fields()


@pytest.mark.parametrize("record", [{"head_diameter": 9, "slot_width": 8}, {"slot_width": 8}])
def test_what_contradicts_the_example_s_thread_says_whose_it_is(record: dict[str, Any]) -> None:
    (sentence,) = refused(record, "loads").values()
    assert "9.5 mm (the example's: enter yours)" in sentence
    assert told(record, thread_diameter=6, rise=4).state is State.EXAMPLE


# Whatever is entered


@pytest.mark.long
def test_the_limits_of_all_fields_two_by_two_are_answered_or_refused_in_words() -> None:
    widget = WIDGETS["loads"]
    ends = [
        (name, end)
        for name in widget.fields()
        if isinstance(field := BY_NAME[name], NumberField)
        for end in (field.low, field.high)
    ]
    counted = {"answered": 0, "refused": 0}

    def look(record: dict[str, Any], take: Callable[[Answer], dict[str, float]]) -> dict[str, float]:
        try:
            found = take(widget.answer(values(record)))
        except Refusal as refusal:
            counted["refused"] += 1
            for problem in refusal.problems:
                assert problem.field in widget.fields()
                assert problem.sentence.endswith(".")
            return {}
        counted["answered"] += 1
        assert all(math.isfinite(value) for value in found.values())
        return found

    for name, end in ends:
        if found := look({name: end}, numbers):
            assert 0 <= found["moment_low"] <= found["moment"] <= found["moment_high"]
    pairs = [(one, other) for one, other in itertools.combinations(ends, 2) if one[0] != other[0]]
    for pair in pairs[::3]:
        look(dict(pair), quick)
    assert min(counted.values()) >= 100


@pytest.mark.long
def test_drawn_records_are_in_balance() -> None:
    """Whatever was drawn: moment of the head's force about the fulcrum is the string's, from the values shown (C)."""
    looked_at = 0
    for record, answer in answers("loads"):
        found = numbers(answer)
        if not found:
            continue  # a stop above a bad entry
        checked = Values(from_data(record).record)
        if "moment_off" in found:
            assert 0 <= found["moment_low"] < found["moment"] < found["moment_high"]
        if "off_axis" not in found:
            assert found["force"] == found["bending"] == found["stress"] == 0
            continue
        assert found["force"] == pytest.approx(math.hypot(found["force_along"], found["force_across"]), rel=1e-8)
        size = INCH if checked.choice("length_unit") == "in" else 1
        place = found["off_axis"] * size
        assert found["bending"] == pytest.approx(found["force_along"] * place / 1000, rel=1e-6, abs=1e-9)
        if checked.entered("lever_travel") and not checked.entered("fulcrum_arm"):
            continue  # the arm is another page's to tell
        arm, depth = (1000 * checked.number(name) for name in ("fulcrum_arm", "limb_depth"))
        head = 1000 * checked.number("rise") / checked.number("rise_turns") * found["turns"]
        moment = found["force_along"] * (arm - place) + found["force_across"] * (depth + head)
        assert moment / 1000 == pytest.approx(found["moment"], rel=1e-6)
        looked_at += 1
    assert looked_at >= 20


@pytest.mark.long
def test_drawn_records_come_to_answers_and_to_refusals() -> None:
    drawn = outcomes("loads")
    answered_ = [outcome for _, outcome in drawn if isinstance(outcome, Answer)]
    assert 3 * len(answered_) >= len(drawn)
    assert len(answered_) < len(drawn)
    for _, outcome in drawn:
        if isinstance(outcome, Refusal):
            assert all(problem.sentence.endswith(".") for problem in outcome.problems)
        else:
            assert points_of(outcome, "cautions")
