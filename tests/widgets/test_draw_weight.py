"""Draw weight: the page's every number against the default bow, sums over its curve, and what readings alone tell.

Outside sources: the default bow of model.md 4 (C: two solutions agree to 1e-6), as forces at draw lengths, moments, and
what a turn does; force as the slope of energy (sources.md B5, C) by SciPy's quadrature over bows of finer steps;
SciPy's line of least squares and NumPy's trapezoids for the readings; four target bows (sources.md B2: Tuyn and
Kooi 1992, Table I, S); the AMO draw length (S2); pound-force and inch (NIST SP 811, S2); Minkowski's inequality (C).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import cache
from typing import Any

import numpy as np
import pytest
from scipy.integrate import simpson
from scipy.stats import linregress

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
from quarterturn.bench import bow_fit, bow_numbers, bow_uncertainty, draw_curve
from quarterturn.bench.bow_inputs import bow_inputs
from quarterturn.bench.bow_setup import fitted_bow
from quarterturn.bench.sensitivities import perturbed
from quarterturn.mechanics import continuation, equilibrium
from quarterturn.mechanics.bow import Bow, BowString, BracedBow, Side
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.limb import Limb, StepCounts
from quarterturn.mechanics.pocket import Pocket
from quarterturn.numbers import quarters
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Drawing, State
from quarterturn.widgets.draw_weight import inputs
from quarterturn.widgets.draw_weight.form import ASKED

LBF, INCH, KGF = 4.4482216152605, 0.0254, 9.80665  # N, m, N
FORCES = {14: 11.6148, 18: 20.1527, 22: 26.7715, 26: 33.9148, 28: 37.9975, 30: 42.5939}
"""model.md 4: pounds by inches AMO."""
MODEL: dict[str, Any] = {
    "version": 1,
    "brace_height": 221.958,
    "upper_tiller": 179.023,
    "lower_tiller": 175.025,
    "draw_weight": 37.9975,
    "upper_now_turns": 2,
    "lower_now_turns": 2,
    "rise": 4.2333333,
    "upper_change": 0,
}
"""The default bow of model.md 4 as a tape and a scale tell it; what is not named is the fields' default.

The tape meets the belly: 8 mm nearer than the limbs' backs at 187.011 and 183.007 mm, along limbs that lean a little.
"""
ROWS = [{"draw": draw, "weight": weight} for draw, weight in FORCES.items()]
READ = changed(MODEL | {"scale_readings": ROWS}, draw_weight=None)
MINE = COMPLETE | {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
FULL = 26.25 * INCH
FINE = StepCounts(60, 40)


def between(points: Sequence[tuple[float, float]], x: float) -> float:
    """The value of a broken line, whose points are in the order of x."""
    return float(np.interp(x, [one for one, _ in points], [other for _, other in points]))


def told(record: dict[str, Any], **more: Any) -> Answer:
    return answered(record | more, "draw-weight")


def no(record: dict[str, Any], **more: Any) -> dict[str, str]:
    return refused(record | more, "draw-weight")


def noted(answer: Answer) -> dict[str, str]:
    return {value.name: value.note for value in answer.all_values()}


def doubted(answer: Answer) -> dict[str, float]:
    return {value.name: value.uncertainty for value in answer.all_values() if value.uncertainty is not None}


# The default bow, put together apart from the record, with finer steps

POCKET = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, 0.0254 / 24, 0.080)


def model_side(fulcrum: float, stiffness: float) -> Side:
    limb = Limb(0.535, stiffness, 0.5, 0.2, -7.0, 0.365)
    return Side(limb, 0.045, fulcrum, 0.030, 0.008, 0.030, 0.008)


MODEL_BOW = Bow(model_side(0.315, 33.37), model_side(0.295, 34.281), BowString(0.7879, 0.8579))


@cache
def strung(upper: float = 2.0, lower: float = 2.0) -> BracedBow:
    return equilibrium.braced(MODEL_BOW, (rock_angle(POCKET, upper), rock_angle(POCKET, lower)), steps=FINE)


@cache
def over_the_draw(upper: float = 2.0, lower: float = 2.0) -> tuple[tuple[float, float], ...]:
    """Draw (m) and force (N) at 121 even steps from the strung bow to 28 in AMO."""
    start = strung(upper, lower)
    draws = np.linspace(start.draw, FULL, 121)[1:]
    rock = (rock_angle(POCKET, upper), rock_angle(POCKET, lower))
    found = continuation.curve(MODEL_BOW, rock, [float(draw) for draw in draws], steps=FINE, start=start)
    return ((start.draw, 0.0), *((one.draw, one.force) for one in found))


def area(upper: float = 2.0, lower: float = 2.0) -> float:
    """Under that curve, J, by SciPy's Simpson's rule."""
    draws, forces = zip(*over_the_draw(upper, lower), strict=True)
    return float(simpson(forces, x=draws))


def force_at(draw: float) -> float:
    """N, of the default bow with both bolts two turns out."""
    rock = (rock_angle(POCKET, 2.0), rock_angle(POCKET, 2.0))
    return continuation.drawn(MODEL_BOW, rock, draw, steps=FINE, start=strung()).force


def test_the_bow_put_together_here_is_the_models() -> None:
    assert 1000 * strung().brace_height == pytest.approx(MODEL["brace_height"], abs=1e-3)
    for half, belly, back in ((strung().upper, "upper_tiller", 187.011), (strung().lower, "lower_tiller", 183.007)):
        assert 1000 * half.distance_to_back == pytest.approx(back, abs=2e-3)
        assert 1000 * half.distance_to_belly == pytest.approx(MODEL[belly], abs=1e-3)
    for inches, pounds in FORCES.items():
        assert force_at((inches - 1.75) * INCH) / LBF == pytest.approx(pounds, abs=1e-3)


def test_one_weighing_makes_the_whole_curve() -> None:
    """model.md 4: the force at draw lengths that were not weighed, from the table; ends beyond 28 in AMO by an inch."""
    rows = {row[0]: row for row in table_of(told(MODEL), "points").rows}
    for inches in (14, 18, 22, 26, 28):
        assert read(rows[f"{inches}.0 in"][1]) == pytest.approx(FORCES[inches], abs=0.06)
    assert list(rows) == [f"{inches}.0 in" for inches in range(11, 30)]


def test_weight_energy_and_slope_of_the_default_bow() -> None:
    found = numbers(told(MODEL))
    assert found["weight"] == pytest.approx(37.9975, abs=2e-5)
    assert found["energy"] == pytest.approx(area(), rel=2e-4)
    step = 1e-3
    slope = (force_at(FULL + step) - force_at(FULL - step)) / (2 * step)
    assert found["slope"] == pytest.approx(slope / LBF * INCH, rel=1e-3)
    for name, by in (("inch_more", INCH), ("inch_less", -INCH)):
        assert found[name] == pytest.approx((force_at(FULL + by) - force_at(FULL)) / LBF, abs=2e-3)
    assert found["weight_28"] == pytest.approx(37.9975, abs=1e-6)


def test_the_curve_between_its_points_is_the_bows() -> None:
    """At 120 draw lengths within 0.05 N, a tenth of what the finest scale tells."""
    now = inputs.curves(values(MODEL)).now
    for draw, force in over_the_draw()[1:]:
        assert now.force(draw) == pytest.approx(force, abs=0.05)


def test_quality_is_energy_over_force_and_draw_and_in_company() -> None:
    """Over the draw from the strung bow, and from the pivot point; sources.md B2 (S) for what real bows have."""
    answer = told(MODEL)
    found = numbers(answer)
    force = found["weight"] * LBF
    assert found["quality"] == pytest.approx(found["energy"] / force / (FULL - strung().draw), rel=1e-5)
    assert found["quality_whole"] == pytest.approx(found["energy"] / force / FULL, rel=1e-6)
    assert 0.95 * 0.581 < found["quality"] < 0.595
    assert 0.95 * 0.385 < found["quality_whole"] < 0.406
    notes = noted(answer)
    assert "0.58 to 0.60" in notes["quality"]
    assert "0.385 to 0.406" in notes["quality_whole"]
    assert "1992" in notes["quality"]


def test_what_a_turn_does_is_the_models() -> None:
    """model.md 4, pounds for one turn in: upper 0.4207, lower 0.4445, both 0.8648; and the energy by the area."""
    for change, pounds, stands in (
        ({"upper_change": -1}, 0.4207, (1.0, 2.0)),
        ({"lower_change": -1}, 0.4445, (2.0, 1.0)),
        ({"upper_change": -1, "lower_change": -1}, 0.8648, (1.0, 1.0)),
    ):
        found = numbers(told(MODEL, **change))
        assert found["weight_change"] == pytest.approx(pounds, abs=3e-4)
        assert found["weight_then"] == pytest.approx(found["weight"] + found["weight_change"], abs=2e-5)
        assert found["energy_then"] == pytest.approx(area(*stands), rel=2e-4)
    answer = told(MODEL, upper_change=-1, lower_change=-1)
    assert noted(answer)["weight_change"].startswith("+2.28 %")  # 0.8648 of 37.9975


def test_moments_about_the_fulcrums_are_the_models() -> None:
    """model.md 4: at 28 in 91.694 and 93.841 N·m."""
    answer = told(MODEL)
    found, labels = numbers(answer), {value.name: value.label for value in answer.all_values()}
    assert labels["upper_moment"].startswith("Upper limb")
    assert found["upper_moment"] == pytest.approx(91.694, abs=0.01)
    assert found["lower_moment"] == pytest.approx(93.841, abs=0.01)


def test_title_and_sentence_tell_now_and_then_by_the_values_rounded() -> None:
    for change, words in (
        ({"upper_change": -0.5, "lower_change": -0.5}, "Both bolts in by half a turn"),
        ({"lower_change": 0.25}, "Lower bolt out by a quarter of a turn"),
    ):
        answer = told(MODEL, **change)
        found = numbers(answer)
        now = f"now {found['weight']:.1f}"
        assert answer.title == f"{words}: about {found['weight_then']:.1f} lb at 28 in AMO, {now}"
        assert f"from {found['energy']:.1f} to {found['energy_then']:.1f} J" in answer.verdict
        assert answer.speak == f"{answer.title}."
        assert is_round(answer)
    alone = told(MODEL)
    assert (alone.title, is_round(alone)) == ("38.0 lb at 28 in AMO", True)
    assert f"it stores {numbers(alone)['energy']:.1f} J" in alone.verdict
    other = told(MODEL, draw_length=27, draw_weight=36, lower_change=0.5)
    assert other.title.endswith("about 35.8 lb at 27 in AMO, now 36.0")


def is_round(answer: Answer) -> bool:
    """Whether headline and sentence have neither a doubt nor hundredths of a turn."""
    return not re.search(r"±|\d\.\d\d+ turn", f"{answer.title} {answer.verdict}")


@pytest.mark.parametrize("change", [-0.75, -1, 1.5])
def test_quarters_of_a_turn_are_written_as_quarters(change: float) -> None:
    assert is_round(told(MODEL, upper_change=change))


# Readings


def test_six_readings_of_the_bow_lie_on_its_curve() -> None:
    """They and no other number give the curve: model.md 4's six forces."""
    answer = told(READ)
    rows = table_of(answer, "readings").rows
    assert [row[:2] for row in rows] == [(f"{draw} in", f"{weight} lb") for draw, weight in FORCES.items()]
    for row, weight in zip(rows, FORCES.values(), strict=True):
        assert read(row[2]) == pytest.approx(weight, abs=0.06)
        assert (row[3], row[5]) == ("0.0", "on the curve")
    assert read(rows[4][4].removeprefix("± ")) == pytest.approx(2 * doubted(answer)["weight"], abs=0.051)
    assert numbers(answer)["weight"] == pytest.approx(37.9975, abs=1e-3)
    assert points_of(answer, "unlike") == ()
    assert "through your 6 readings" in answer.verdict
    assert "misses" not in answer.verdict


def test_energy_by_the_readings_alone_is_the_trapezoids() -> None:
    """NumPy's trapezoids from the strung bow's draw length through the readings, to the longest."""
    answer = told(READ)
    draws = [strung().draw, *((draw - 1.75) * INCH for draw in FORCES)]
    forces = [0.0, *(LBF * weight for weight in FORCES.values())]
    assert numbers(answer)["read_energy"] == pytest.approx(float(np.trapezoid(forces, draws)), rel=1e-5)
    labels = {value.name: value.label for value in answer.all_values()}
    assert "30.0 in" in labels["read_energy"]
    assert "6 draw lengths" in noted(answer)["read_energy"]
    assert "read_energy" not in numbers(told(MODEL, scale_readings=ROWS[:2]))
    assert "read_energy" not in numbers(told(MODEL))


def test_slope_by_the_readings_alone_is_the_line_of_least_squares() -> None:
    """SciPy's line through those of the last 3 in; its doubt is a reading's over the root of the squares (GUM H.3)."""
    rows = [{"draw": draw, "weight": weight} for draw, weight in ((20, 23.5), (25.5, 33.0), (26, 34.2), (28, 38.0))]
    found = told(MODEL, scale_readings=rows)
    inches, pounds = (25.5, 26.0, 28.0), (33.0, 34.2, 38.0)
    line = linregress(inches, pounds)
    assert numbers(found)["read_slope"] == pytest.approx(line.slope, rel=1e-6)
    squares = math.sqrt(sum((each - sum(inches) / 3) ** 2 for each in inches))
    off = math.hypot(0.5, 2.2 * 0.125) / math.sqrt(3)
    assert doubted(found)["read_slope"] == pytest.approx(off / squares, rel=0.02)
    assert "3 readings" in noted(found)["read_slope"]
    assert "read_slope" not in numbers(told(MODEL, scale_readings=ROWS[:4]))


@pytest.mark.parametrize(
    ("rows", "stacks", "by"),
    [
        (((24, 27.0), (26, 31.0), (27, 34.5), (28, 38.2)), "yes", "your own readings"),
        (((24, 32.0), (26, 37.0), (27, 37.6), (28, 38.2)), "no", "your own readings"),
        (((24, 30.2), (26, 33.9), (27, 35.9), (28, 38.0)), "not clear", "the computed curve"),
        (((20, 23.5), (24, 30.2)), "not clear", "the computed curve"),
    ],
)
def test_it_stacks_where_it_is_steeper_than_an_even_share_beyond_doubt(
    rows: tuple[tuple[float, float], ...], stacks: str, by: str
) -> None:
    """By hand: 38 lb over the 17.3 in from the strung bow are 2.2 lb an inch; the last rise by 3.6, 0.6 and 2.05."""
    answer = told(MODEL, scale_readings=[{"draw": draw, "weight": weight} for draw, weight in rows])
    assert texts(answer)["stacks"] == stacks
    assert by in noted(answer)["stacks"]
    assert "our own measure" in noted(answer)["stacks"]


def test_one_weighing_does_not_tell_whether_it_stacks_but_a_long_draw_does() -> None:
    """The doubt about the limbs' shape is more than the difference, on the default bow at 28 in; not at 33 in."""
    answer = told(MODEL)
    assert texts(answer)["stacks"] == "not clear"
    even = 37.9975 / ((FULL - strung().draw) / INCH)
    assert abs(numbers(answer)["slope"] - even) < 2 * doubted(answer)["slope"]
    long = told(MODEL, draw_length=33, draw_weight=50)
    assert texts(long)["stacks"] == "yes"
    assert "the computed curve" in noted(long)["stacks"]


def test_a_coarse_scale_does_not_hide_that_it_stacks() -> None:
    """It makes slope and even share larger or smaller by the same part, so that their order stays."""
    found = inputs.curves(values(MODEL | {"draw_length": 33, "draw_weight": 50, "scale_step": 5}))
    coarse, fine = (
        draw_curve.rise(each.prediction.bow, each.now)
        for each in (found, inputs.curves(values(MODEL | {"draw_length": 33, "draw_weight": 50})))
    )
    assert coarse.uncertainty > 1.25 * fine.uncertainty
    assert coarse.gap_uncertainty < 1.05 * fine.gap_uncertainty


def test_a_reading_counts_as_on_the_curve_up_to_three_times_what_it_may_be_off() -> None:
    """Two readings at one place: each is off by half of their difference. By hand: 3·√(0.5² + (2.16·0.125)²)/√3 lb."""
    limit = 3 * math.hypot(0.5, 2.16 * 0.125) / math.sqrt(3)
    assert limit == pytest.approx(0.984, abs=1e-3)
    for part, where in ((0.98, "on the curve"), (1.02, "beside it")):
        weights = (38 - part * limit, 38 + part * limit)
        answer = told(MODEL, scale_readings=[{"draw": 28, "weight": weight} for weight in weights])
        assert [row[5] for row in table_of(answer, "readings").rows] == [where, where]
        assert bool(points_of(answer, "unlike")) is (where == "beside it")
        assert ("misses them all" in answer.verdict) is (where == "beside it")


STEEP = ((16, 12), (20, 18), (24, 25.5), (26, 30.5), (27, 34), (28, 38))
"""Limbs of another shape than ours: made up, they rise late."""


def test_limbs_of_another_shape_are_told_and_their_readings_believed() -> None:
    record = MODEL | {"scale_readings": [{"draw": draw, "weight": weight} for draw, weight in STEEP]}
    answer = told(record, upper_change=-1, lower_change=-1)
    block = next(one for one in answer.blocks if getattr(one, "name", "") == "unlike")
    assert getattr(block, "kind", "") == "caution"
    said = " ".join(points_of(answer, "unlike"))
    assert "Trust your readings for the weight." in said
    assert [row[5] for row in table_of(answer, "readings").rows] == [*["off"] * 3, "on the curve", "beside it", "off"]
    assert "misses 5 of them" in answer.verdict
    found = numbers(answer)
    becomes = re.search(r"38 lb at 28 in becomes (\d+\.\d) lb", said)
    assert becomes
    assert float(becomes[1]) == pytest.approx(38 * found["weight_then"] / found["weight"], abs=0.051)
    assert "becomes" not in " ".join(points_of(told(record), "unlike"))


def test_the_curve_is_the_least_squares_one() -> None:
    """Force goes with stiffness (sources.md B5): the factor on the one-weighing curve that makes the squares least."""
    shape = [FORCES[draw] for draw in (18, 22, 26, 28)]
    weights = (19.0, 27.5, 33.0, 39.5)
    record = MODEL | {
        "scale_readings": [{"draw": d, "weight": w} for d, w in zip((18, 22, 26, 28), weights, strict=True)]
    }
    factor = sum(one * other for one, other in zip(shape, weights, strict=True)) / sum(one**2 for one in shape)
    assert numbers(told(record))["weight"] == pytest.approx(37.9975 * factor, abs=3e-3)


def test_one_row_is_one_weighing_and_many_are_as_one_bow() -> None:
    one = told(changed(MODEL, draw_weight=None) | {"scale_readings": [{"draw": 28, "weight": 37.9975}]})
    alone = told(MODEL)
    for name, value in numbers(alone).items():
        assert numbers(one)[name] == pytest.approx(value, rel=1e-6), name
    assert doubted(one)["weight"] == pytest.approx(doubted(alone)["weight"], rel=1e-6)
    six, many = told(READ), told(READ, scale_readings=ROWS * 4)
    assert len(table_of(many, "readings").rows) == 24
    for name in ("weight", "energy", "slope", "weight_28", "read_energy", "read_slope"):
        assert numbers(many)[name] == pytest.approx(numbers(six)[name], rel=1e-6), name
    assert doubted(many)["weight"] < doubted(six)["weight"]
    assert doubted(many)["read_slope"] == pytest.approx(doubted(six)["read_slope"] / 2, rel=1e-6)


@pytest.mark.parametrize("scale", [0.15, 0.6, 2.5])
def test_lighter_and_heavier_bows_of_the_same_shape_are_the_same_curve(scale: float) -> None:
    """sources.md B5: forces and energies go with stiffness, lengths do not."""
    rows = [row | {"weight": scale * row["weight"]} for row in ROWS]
    found, plain = numbers(told(READ, scale_readings=rows)), numbers(told(READ))
    for name in ("weight", "energy", "slope", "inch_more", "read_energy", "upper_moment"):
        assert found[name] == pytest.approx(scale * plain[name], rel=1e-6), name
    for name in ("quality", "quality_whole"):
        assert found[name] == pytest.approx(plain[name], rel=1e-6)


def test_a_row_of_which_a_box_is_empty_is_said_and_not_used() -> None:
    half = told(READ, scale_readings=[*ROWS, {"draw": 24}])
    assert numbers(half) == numbers(told(READ))
    assert any("reading 7: not used yet" in point for point in points_of(half, "told"))
    none = told(MODEL, scale_readings=[{"weight": 40}])
    assert numbers(none) == numbers(told(MODEL))
    assert "one weight" in none.verdict
    assert any("reading 1: not used yet" in point for point in points_of(none, "told"))


def test_rows_after_an_unfinished_one_keep_their_number() -> None:
    rows = [{"draw": 28, "weight": 38}, {"draw": 27}, {"draw": 28, "weight": 60}]
    (field,) = no(MODEL, scale_readings=rows)
    assert field == "scale_readings.3.weight"


def test_the_answer_says_which_weight_counts() -> None:
    """The one weight counts while the table is empty, and then not at all."""
    assert "your one weight" in told(MODEL).verdict
    assert "the example's one weight" in told(changed(MODEL, draw_weight=None)).verdict
    both = told(READ, draw_weight=55)
    assert numbers(both) == numbers(told(READ))
    assert "The one weight below the table is not used." in both.verdict
    assert "not used" not in told(READ).verdict


# Units and stations


def test_a_length_counts_from_where_the_reader_says() -> None:
    """AMO 28 in is 26.25 in to the pivot point (AMO, S2), to a plunger over it too; a rest 1.75 in before it is AMO."""
    plain = told(READ)
    for station, shift, offset in (("pivot", -1.75, None), ("plunger", -1.75, 0.0), ("rest", 0.0, 44.45)):
        rows = [row | {"draw": row["draw"] + shift} for row in ROWS]
        more = {} if offset is None else {"station_offset": offset}
        answer = told(READ, scale_readings=rows, draw_length=28 + shift, draw_station=station, **more)
        for name, value in numbers(plain).items():
            assert numbers(answer)[name] == pytest.approx(value, rel=1e-6), (station, name)
    assert "AMO" in plain.title
    assert "to the plunger" in told(READ, draw_station="plunger", draw_length=26.25).title


def test_units_may_be_mixed_in_the_table() -> None:
    rows: list[dict[str, Any]] = [
        {"draw": {"typed": repr(14 * 25.4), "unit": "mm"}, "weight": {"typed": repr(FORCES[14] * LBF), "unit": "N"}},
        {"draw": 18, "weight": {"typed": repr(FORCES[18] * LBF / KGF), "unit": "kgf"}},
        *ROWS[2:],
    ]
    mixed, plain = told(READ, scale_readings=rows, draw_length=28, draw_weight=1e1), told(READ)
    for name, value in numbers(plain).items():
        assert numbers(mixed)[name] == pytest.approx(value, rel=1e-6), name
    assert table_of(mixed, "readings").rows[0][0] == "355.59999999999997 mm"


@pytest.mark.parametrize(
    ("force", "stiffness", "size", "symbol"),
    [("N", "N/cm", 1.0, "N"), ("kgf", "kgf/cm", KGF, "kgf"), ("lbf", "lbf/in", LBF, "lb")],
)
def test_results_come_in_the_unit_that_was_weighed_in(force: str, stiffness: str, size: float, symbol: str) -> None:
    weight = {"typed": repr(37.9975 * LBF / size), "unit": force}
    answer = told(MODEL, draw_weight=weight, marked_weight=36)
    by_unit = {value.name: value.unit for value in answer.all_values()}
    assert by_unit["weight"] == by_unit["inch_more"] == by_unit["marked_difference"] == force
    assert by_unit["slope"] == stiffness
    assert by_unit["energy"] == "J"
    found, plain = numbers(answer), numbers(told(MODEL, marked_weight=36))
    for name in ("weight", "inch_more", "marked_difference"):
        assert found[name] == pytest.approx(plain[name] * LBF / size, rel=1e-6)
    length = 1.0 if force == "lbf" else 2.54
    assert found["slope"] == pytest.approx(plain["slope"] * LBF / size / length, rel=1e-6)
    assert found["energy"] == pytest.approx(plain["energy"], rel=1e-6)
    assert texts(answer)["weight"].endswith(f" {symbol}")
    assert ("ft·lb" in noted(answer)["energy"]) is (force == "lbf")


def test_energy_in_foot_pounds() -> None:
    """A foot-pound is 1.3558179483 J (NIST SP 811, S2)."""
    answer = told(MODEL)
    said = read(noted(answer)["energy"])
    assert said == pytest.approx(numbers(answer)["energy"] / 1.3558179483, abs=0.051)


def test_who_counts_in_millimetres_gets_them() -> None:
    answer = told(MODEL, draw_length={"typed": "711.2", "unit": "mm"}, scale_readings=ROWS)
    assert "711.2 mm AMO" in answer.title
    rows = [row[0] for row in table_of(answer, "points").rows]
    assert rows[:2] == ["275 mm", "300 mm"]
    assert re.search(r"draw length AMO, mm, from 260 mm to 780 mm", picture_of(answer, "curve").description)


def test_the_mark_on_the_limbs() -> None:
    answer = told(MODEL, marked_weight=36)
    found = numbers(answer)
    assert found["marked_difference"] == pytest.approx(37.9975 - 36, abs=1e-6)
    assert texts(answer)["marked_difference"].startswith("+2.00 ±")
    assert noted(answer)["marked_difference"].startswith("+6 %")
    assert "common practice" in noted(answer)["marked_difference"]
    less = told(MODEL, marked_weight=40)
    assert texts(less)["marked_difference"].startswith("−2.00 ±")
    assert "marked_difference" not in numbers(told(MODEL))
    # At another draw length it is still the weight at 28 in that is held against the mark.
    short = numbers(told(MODEL, draw_length=26, draw_weight=33.9148, marked_weight=36))
    assert short["marked_difference"] == pytest.approx(37.9975 - 36, abs=3e-3)


def test_what_lies_beyond_the_readings_is_not_to_be_tried() -> None:
    short = noted(told(MODEL, draw_length=26, draw_weight=33.9148))
    assert "do not try it" in short["weight_28"]
    assert "do not try it" in short["inch_more"]
    assert short["inch_less"] == ""
    far = noted(told(READ, draw_length=26))
    assert far["weight_28"] == far["inch_more"] == ""


# How sure it is


def test_a_weight_that_was_read_is_as_sure_as_scale_and_mark() -> None:
    """By hand: √(scale² + (slope·mark)²)/√3; no length and no shape changes a force that was fitted."""
    for scale, mark in ((0.5, 0.125), (1.5, 0.125), (0.25, 0.5)):
        answer = told(MODEL, scale_step=scale, draw_step=mark)
        wanted = math.hypot(scale, numbers(answer)["slope"] * mark) / math.sqrt(3)
        assert doubted(answer)["weight"] == pytest.approx(wanted, rel=5e-3)
        assert texts(answer)["weight"] == f"38.0 ± {2 * wanted:.1f} lb"


@cache
def moved_energies() -> tuple[float, float]:
    """Standard uncertainties of energy (J) and slope (N/m): each number moved, the bow found again, root of squares."""
    bow = bow_inputs(values(MODEL), ASKED)
    fitted = fitted_bow(bow.setup)
    back = 2e-3

    def of(found: Bow, rock: tuple[float, float]) -> tuple[float, float]:
        start = equilibrium.braced(found, rock)
        near, full = continuation.curve(found, rock, (bow.draw - back, bow.draw), start=start)
        return full.energy - start.energy, (full.force - near.force) / back

    plain = of(fitted.bow, fitted.rock)
    shares = []
    for each in bow.parameters:
        there = bow_numbers.moved(bow.setup, each.name, 0.05 * each.half)
        found = of(bow_fit.LinearRefit(fitted, StepCounts()).refit(there.frame, there.measured), there.rock(there.now))
        shares.append([(one - other) / 0.05 for one, other in zip(found, plain, strict=True)])
    for part in (0.5 * LBF, numbers(told(MODEL))["slope"] * LBF / INCH * 0.125 * INCH):
        shares.append([part / (37.9975 * LBF) * value for value in plain])
    energy, slope = (math.hypot(*column) / math.sqrt(3) for column in zip(*shares, strict=True))
    return energy, slope


def test_energy_is_at_least_as_sure_as_is_said_and_hardly_surer() -> None:
    """Moved one at a time (C); what is said is an upper bound (Minkowski) and within a quarter of it."""
    energy, _ = moved_energies()
    assert energy <= doubted(told(MODEL))["energy"] <= 1.25 * energy
    bow = bow_inputs(values(MODEL), ASKED)
    draws = np.linspace(strung().draw, bow.draw, 25)[1:]
    table = bow_uncertainty.force_sensitivities(bow, tuple(float(draw) for draw in draws))
    finer = float(np.trapezoid((0.0, *map(table.standard, range(len(draws)))), (strung().draw, *draws)))
    assert doubted(told(MODEL))["energy"] == pytest.approx(finer, rel=0.03)


def test_the_slope_is_as_sure_as_is_said() -> None:
    """Moved one at a time, over the last 2 mm (C)."""
    _, slope = moved_energies()
    assert doubted(told(MODEL))["slope"] == pytest.approx(slope * INCH / LBF, rel=0.03)


def test_a_change_is_surer_than_the_weight_that_it_comes_to() -> None:
    """What scale and mark are off by is in both weights alike, and goes out of their difference."""
    found = doubted(told(MODEL, upper_change=-0.5))
    assert found["weight_then"] == pytest.approx(found["weight"], rel=0.05)
    assert found["weight_change"] < 0.2 * found["weight_then"]


def test_how_near_one_reads_moves_doubts_and_nothing_else() -> None:
    plain = told(MODEL, upper_change=-1)
    for name in ("tape_step", "scale_step", "draw_step"):
        other = told(MODEL, upper_change=-1, **{name: 3 if name == "tape_step" else 0.9})
        assert numbers(other) == numbers(plain)
        assert doubted(other) != doubted(plain)


# Windows, gates, states


def test_nothing_is_foretold_outside_a_window() -> None:
    """The window's ends are the worksheet's own."""
    ends = numbers(answered(MINE))
    for bolt, now in (("upper", 2.5), ("lower", 2.0)):
        for end, sign in ((ends[f"{bolt}_inner"], -1), (ends[f"{bolt}_outer"], 1)):
            inside = told(MINE, **{"upper_change": 0, f"{bolt}_change": round(end - now - sign * 0.01, 6)})
            beyond = told(MINE, **{"upper_change": 0, f"{bolt}_change": round(end - now + sign * 0.01, 6)})
            assert "weight_then" in numbers(inside)
            assert inside.title != beyond.title == "Nothing is predicted there"
            assert not {"weight_then", "weight_change", "energy_then"} & numbers(beyond).keys()
            assert f"The {bolt} bolt would be" in beyond.verdict
            first = math.ceil(4 * ends[f"{bolt}_inner"]) / 4
            last = math.floor(4 * ends[f"{bolt}_outer"]) / 4
            assert f"its safe range is {quarters(first)} to {quarters(last)} turns out" in beyond.verdict
            assert "after the turn" not in picture_of(beyond, "curve").description
            assert numbers(beyond)["weight"] == numbers(inside)["weight"]


def test_a_turn_out_of_the_window_is_told_in_round_numbers() -> None:
    assert is_round(told(MINE, upper_change=4))


def test_without_a_window_nothing_is_foretold_but_the_bow_is_shown() -> None:
    answer = told(MINE, upper_touch_found="no")
    assert answer.state is State.OPEN
    assert "first touch was not reached" in answer.verdict
    assert "Nothing is predicted without both safe ranges" in answer.verdict
    assert "weight" in numbers(answer)
    assert not {"weight_then", "weight_change", "energy_then"} & numbers(answer).keys()


FACTS = {"read_energy", "read_slope"}
"""What the readings alone tell."""


@pytest.mark.parametrize(
    ("change", "state"),
    [
        ({"limb_cracks": "fault"}, State.STOP),
        ({"limb_cracks": "unsure"}, State.ASK),
        ({"upper_touch_turns": 0.3}, State.STOP),
        ({"upper_now_turns": 9}, State.STOP),
        ({"events": [{"date": "2026-04-20", "happened": "crack"}]}, State.STOP),
        ({"events": [{"date": "2026-04-20", "happened": "limbs"}]}, State.OPEN),
        ({"log": [{"date": "2026-04-20", "upper_at": "x"}]}, State.OPEN),
    ],
    ids=["stop", "ask", "no window", "outside", "a crack", "other limbs", "the log"],
)
def test_nothing_is_predicted_of_a_bow_that_is_not_judged_fit(change: dict[str, Any], state: State) -> None:
    """Neither a curve nor a weight after a turn: only what the reader's own readings tell."""
    own = told(MINE, scale_readings=ROWS)
    answer = told(MINE, scale_readings=ROWS, **change)
    assert answer.state is state
    assert answer.title != own.title
    assert not any(isinstance(block, Drawing) for block in answer.blocks)
    assert numbers(answer) == pytest.approx({name: numbers(own)[name] for name in FACTS}, rel=1e-3)
    assert ("about" in answer.title, own.verdict in answer.verdict) == (False, False)


def test_what_is_to_be_looked_over_again_is_said_first_and_the_curve_is_shown() -> None:
    answer = told(MINE, inspection_source="other")
    assert (answer.state, numbers(answer)) == (State.OPEN, numbers(told(MINE)))
    assert answer.verdict.endswith(told(MINE).verdict)
    assert answer.verdict != told(MINE).verdict


def test_a_bad_entry_does_not_hide_a_stop() -> None:
    broken = told(MINE | {"limb_cracks": "fault", "draw_length": "x"})
    assert broken.state is State.STOP
    assert points_of(broken, "findings")
    assert "“x” is not a number" in broken.verdict
    assert broken.all_values() == ()


def test_where_the_log_has_the_bolts_elsewhere_they_are_turned_from_there() -> None:
    """Both bolts half a turn in by the log: it is the bow of the readings, turned so far (model.md 4)."""
    there = {"upper_now_turns": 2, "lower_now_turns": 2, "upper_change": -0.5, "lower_change": -0.5}
    before = told(MINE | there)
    answer = told(MINE | there | {"log": [{"date": "2026-05-01", "upper_at": 1.5, "lower_at": 1.5}]})
    assert numbers(answer)["weight"] == pytest.approx(numbers(before)["weight_then"], rel=1e-6)
    assert numbers(answer)["weight_then"] > numbers(answer)["weight"]
    (where,) = points_of(answer, "by-log")
    assert "the upper bolt is now 1½ turns out from zero" in where
    assert points_of(before, "by-log") == ()


def test_an_example_is_one_until_all_is_read() -> None:
    assert told({}).state is State.EXAMPLE
    assert told({}).badge == "Example"
    own = told(MINE)
    assert own.state is State.EXPLAIN
    assert own.badge == "Your bow, computed"
    for name in ("brace_height", "upper_tiller", "lower_tiller", "draw_weight", "upper_touch_turns"):
        assert told(changed(MINE, **{name: None})).state is State.EXAMPLE
    assert told(changed(MINE, draw_weight=None) | {"scale_readings": ROWS}).state is State.EXPLAIN
    statuses = {value.status.value for value in told({}).all_values()}
    assert statuses == {"example"}
    assert {value.status.value for value in own.all_values()} == {"computed"}


def test_cautions_of_weighing_are_said() -> None:
    said = " ".join(points_of(told({}), "cautions"))
    for words in ("cannot slip", "nobody in front", "Let down slowly", "dry-fire", "half a turn", "maker's manual"):
        assert words in said


def test_a_turn_that_was_tried_counts_though_this_form_does_not_ask_for_it() -> None:
    """It tells of all that was not measured, and what a turn does to the weight goes with that."""
    tried = MINE | {"upper_tried_tiller": 177.5, "lower_tried_tiller": 177.5}
    assert numbers(told(tried))["weight_change"] != pytest.approx(numbers(told(MINE))["weight_change"], rel=1e-3)
    assert numbers(told(tried))["weight"] == pytest.approx(38)


def test_what_was_asked_before_changes_nothing() -> None:
    """Curves and doubts are kept from answer to answer; a kept one is the same as a new one."""
    before = told(READ, upper_change=-0.5).as_data()
    for change in (-0.25, 0.0, 0.5):
        told(READ, upper_change=change)
    told(MODEL, draw_length=27)
    assert told(READ, upper_change=-0.5).as_data() == before
    for kept in (
        draw_curve._curve,
        draw_curve.turned_curve,
        bow_uncertainty._force_sensitivities,
        bow_uncertainty._uncertainty_of,
        perturbed,
        fitted_bow,
    ):
        kept.cache_clear()
    assert told(READ, upper_change=-0.5).as_data() == before


# What cannot be


def test_a_row_at_the_strung_string_is_refused() -> None:
    high = MODEL | {"brace_height": 300, "upper_tiller": 257, "lower_tiller": 253}
    (field, sentence), *more = no(high, scale_readings=[ROWS[4], {"draw": 13, "weight": 9}]).items()
    assert not more
    assert field == "scale_readings.2.draw"
    assert sentence.startswith("Scale readings, reading 2, draw length: 13 in is 286 mm from the pivot point")
    assert "300 mm" in sentence
    # Between brace height and the nocking point's own distance there is nothing to draw either.
    (field, sentence), *more = no(high, scale_readings=[ROWS[4], {"draw": 13.6, "weight": 9}]).items()
    assert field == "scale_readings.2.draw"
    assert "at least that of the strung bow" in sentence


def test_a_draw_that_no_such_bow_reaches_is_refused_at_its_row() -> None:
    short = MODEL | {"limb_length": 401, "string_length": 1095, "string_upper": 525, "fulcrum_span": 405}
    short |= {"upper_fulcrum": 209, "brace_height": 242, "upper_tiller": 237, "lower_tiller": 233}
    rows = [{"draw": 36, "weight": 80}, {"draw": 24, "weight": 30}]
    (field, sentence), *more = no(short, scale_readings=rows).items()
    assert not more
    assert field == "scale_readings.1.draw"
    assert sentence.startswith("Scale readings, reading 1, draw length: 36 in cannot be.")
    assert sentence.endswith("must be less.")


@pytest.mark.parametrize(
    ("rows", "wrong"),
    [
        (((28, 38), (30, 20)), "2.weight"),
        (((30, 20), (28, 38)), "2.weight"),
        (((28, 38), (28, 45)), "2.weight"),
        (((28, 38), (29, 40), (24, 60)), "3.weight"),
    ],
)
def test_rows_that_contradict_one_another_are_refused(rows: tuple[tuple[float, float], ...], wrong: str) -> None:
    """A bow pulls harder the farther it is drawn; more than three times what both may be off is no reading."""
    found = no(MODEL, scale_readings=[{"draw": draw, "weight": weight} for draw, weight in rows])
    assert list(found) == [f"scale_readings.{wrong}"]
    sentence = found[f"scale_readings.{wrong}"]
    draw, weight = rows[int(wrong[0]) - 1]
    assert f"{weight} lb at {draw} in contradicts reading 1, " in sentence
    assert sentence.endswith("weigh both again.")


def test_scatter_contradicts_nothing() -> None:
    """By hand: 0.5 lb and ⅛ in of 38 lb over 26¼ in, both readings, three times: 4.1 lb."""
    limit = 3 * 2 * (0.5 + 0.125 * 38 / 26.25)
    assert limit == pytest.approx(4.09, abs=0.01)
    told(MODEL, scale_readings=[{"draw": 28, "weight": 36}, {"draw": 28, "weight": 36 + 0.97 * limit}])
    no(MODEL, scale_readings=[{"draw": 28, "weight": 36}, {"draw": 28, "weight": 36 + 1.03 * limit}])
    # A coarser scale lets more pass.
    told(MODEL, scale_step=1, scale_readings=[{"draw": 28, "weight": 36}, {"draw": 28, "weight": 36 + 1.03 * limit}])


def test_what_the_bow_does_not_reach_is_left_out() -> None:
    """Of a short bow, drawn to an inch less than it goes: no number for an inch more, and the curve ends before."""
    short = MODEL | {"limb_length": 401, "string_length": 1095, "string_upper": 525, "fulcrum_span": 405}
    short |= {"upper_fulcrum": 209, "brace_height": 242, "upper_tiller": 237, "lower_tiller": 233}
    found = numbers(told(short, draw_length=31.75))
    assert "inch_less" in found
    assert "inch_more" not in found
    assert "inch_more" in numbers(told(short, draw_length=30))


def test_before_the_turned_bow_begins_its_columns_are_empty() -> None:
    """Both bolts out, the string stands farther away: 225 mm and a little are 273 mm AMO, then more than 275."""
    record = MODEL | {
        "brace_height": 225,
        "upper_tiller": 182,
        "lower_tiller": 178,
        "upper_change": 1,
        "lower_change": 1,
    }
    rows = table_of(told(record, draw_length={"typed": "711", "unit": "mm"}), "points").rows
    assert rows[0][0] == "275 mm"
    assert rows[0][1] != ""
    assert rows[0][5:] == ("", "")
    assert all(rows[1][5:])


def test_bad_boxes_are_named_by_row_and_column() -> None:
    rows = [ROWS[0], {"draw": "x", "weight": 30}, {"draw": 28, "weight": 500}]
    assert set(no(MODEL, scale_readings=rows)) == {"scale_readings.2.draw", "scale_readings.3.weight"}
    assert set(no(MODEL, draw_length="x", rise=99)) == {"draw_length", "rise"}


def test_a_draw_length_at_the_strung_string_is_refused() -> None:
    high = MODEL | {"brace_height": 300, "upper_tiller": 257, "lower_tiller": 253, "scale_readings": ROWS[4:]}
    assert list(no(high, draw_length=15, draw_station="plunger", station_offset=78)) == ["draw_length"]
    near = no(high, draw_length=15, draw_station="rest", station_offset=70)
    assert "beyond the strung string" in near["draw_length"]
    assert "1 in or more" in near["draw_length"]


# The pictures


def plotted(answer: Answer, name: str = "curve") -> tuple[Drawn, Any]:
    """A chart read back, and the way from its user units to draw length and weight."""
    drawing = Drawn(picture_of(answer, name))
    key = f"draw-weight-{name}"
    scale_x, scale_y, origin_x, origin_y = drawing.numbers(
        f"{key}-plot", "data-scale-x", "data-scale-y", "data-origin-x", "data-origin-y"
    )
    return drawing, lambda x, y: ((x - origin_x) / scale_x, (origin_y - y) / scale_y)


def line_of(drawing: Drawn, back: Any, key: str) -> list[tuple[float, float]]:
    pairs = re.findall(r"[ML] (\S+) (\S+)", drawing.by_id[key].attrib["d"])
    return [back(float(x), float(y)) for x, y in pairs]


def polygon_of(drawing: Drawn, back: Any, key: str) -> list[tuple[float, float]]:
    return [back(x, y) for x, y in drawing.points(key)]


def test_the_curve_that_is_drawn_is_the_models() -> None:
    drawing, back = plotted(told(READ))
    line = line_of(drawing, back, "draw-weight-curve-line-0")
    assert line[0][1] == pytest.approx(0, abs=0.01)
    assert line[0][0] == pytest.approx(strung().draw / INCH + 1.75, abs=0.02)
    for draw, weight in FORCES.items():
        found = between(line, draw)
        assert found == pytest.approx(weight, abs=0.12)
    assert line[-1][0] == pytest.approx(30, abs=0.01)


def test_readings_are_drawn_where_they_were_read_with_what_they_may_be_off() -> None:
    drawing, back = plotted(told(READ))
    for at, (draw, weight) in enumerate(FORCES.items()):
        x, y = drawing.numbers(f"draw-weight-curve-dot-0-{at}", "data-x", "data-y")
        assert back(x, y) == pytest.approx((draw, weight), abs=0.03)
        bar = drawing.by_id[f"draw-weight-curve-dot-0-{at}-bar"].attrib["d"]
        ends = re.match(r"M (\S+) (\S+) V (\S+)", bar)
        assert ends
        low, high = back(0, float(ends[2]))[1], back(0, float(ends[3]))[1]
        assert abs(high - low) / 2 == pytest.approx(2 * math.hypot(0.5, 0.27) / math.sqrt(3), rel=0.25)
    assert "your readings" in drawing.picture.description
    assert "what you weighed" in picture_of(told(MODEL), "curve").description
    assert "the example's weight" in picture_of(told({}), "curve").description


def test_the_hatched_area_is_the_energy() -> None:
    """By the corners (Gauss's formula): square inches of pounds and inches, as joules."""
    answer = told(MODEL)
    drawing, back = plotted(answer)
    corners = polygon_of(drawing, back, "draw-weight-curve-ribbon-0")
    area = (
        abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True))) / 2
    )
    assert area * LBF * INCH == pytest.approx(numbers(answer)["energy"], rel=3e-3)
    assert texts(answer)["energy"].split()[0] in drawing.picture.description


def test_the_band_is_twice_the_doubt_and_holds_the_curve() -> None:
    answer = told(MODEL)
    drawing, back = plotted(answer)
    corners = polygon_of(drawing, back, "draw-weight-curve-ribbon-1")
    half = len(corners) // 2
    upper, lower = corners[:half], corners[: half - 1 : -1]
    line = line_of(drawing, back, "draw-weight-curve-line-0")
    for x, y in line:
        low, high = (between(edge, x) for edge in (lower, upper))
        assert low - 0.02 <= y <= high + 0.02
    widths = {draw: between(upper, draw) - between(lower, draw) for draw in (19, 28)}
    assert widths[28] / 4 == pytest.approx(doubted(answer)["weight"], rel=0.05)
    assert widths[19] > 2 * widths[28]  # nothing was weighed there


def test_axes_stand_still_while_a_bolt_is_turned() -> None:
    stated = []
    millimetres = {"typed": "711.2", "unit": "mm"}
    for change in (-1.5, -0.5, 0.0, 1.0, 2.0, -4.0):
        drawing, _ = plotted(told(MODEL, upper_change=change, lower_change=change / 2, draw_length=millimetres))
        plot = drawing.by_id["draw-weight-curve-plot"].attrib
        stated.append(({name: plot[name] for name in plot if name.startswith("data-")}, drawing.root.attrib["viewBox"]))
    assert all(one == stated[0] for one in stated)
    assert len(stated[0][0]) == 4


def test_the_turned_curve_is_drawn_beside_the_other() -> None:
    drawing, back = plotted(told(MODEL, upper_change=-1, lower_change=-1))
    now, then = (line_of(drawing, back, f"draw-weight-curve-line-{at}") for at in (0, 1))
    assert "qt-line-dashed" in drawing.by_id["draw-weight-curve-line-1"].attrib["class"]
    assert "qt-line-dashed" not in drawing.by_id["draw-weight-curve-line-0"].attrib["class"]
    at_full = [between(line, 28) for line in (now, then)]
    assert at_full[1] - at_full[0] == pytest.approx(0.8648, abs=0.05)
    assert then[0][0] < now[0][0]  # turned in, the string stands nearer
    assert "draw-weight-curve-line-1" not in plotted(told(MODEL))[0].by_id


def test_what_a_turn_adds_is_drawn_larger() -> None:
    """model.md 4 at 28 in; at every draw length it is what the two curves differ by."""
    answer = told(MODEL, upper_change=-1, lower_change=-1)
    drawing, back = plotted(answer, "added")
    line = line_of(drawing, back, "draw-weight-added-line-0")
    assert between(line, 28) == pytest.approx(0.8648, abs=0.01)
    assert line[0][0] < strung().draw / INCH + 1.75 + 1.5
    for x, y in line[2:-2:3]:
        draw = (x - 1.75) * INCH
        there = between(over_the_draw(1.0, 1.0), draw)
        assert y == pytest.approx((there - force_at(draw)) / LBF, abs=0.02)
    assert not any(isinstance(one, Drawing) and one.picture.name == "added" for one in told(MODEL).blocks)


def test_the_sliders_turn_the_bolts() -> None:
    drawing = next(one for one in told(MODEL, upper_change=-0.5).blocks if isinstance(one, Drawing))
    assert drawing.picture.name == "curve"
    assert [(hand.field, hand.low, hand.high, hand.step, hand.now) for hand in drawing.hands] == [
        ("upper_change", -4, 4, 0.25, -0.5),
        ("lower_change", -4, 4, 0.25, 0),
    ]
    assert [hand.words for hand in drawing.hands] == ["in by half a turn", "not turned"]


def test_the_curve_comes_first_and_at_once() -> None:
    """The picture that the hand moves is in the quick part of the answer."""
    assert isinstance(told(MODEL).parts[0], Drawing)


def test_no_two_values_or_ids_are_alike() -> None:
    answer = told(READ, upper_change=-1, marked_weight=36)
    names = [value.name for value in answer.all_values()]
    assert len(set(names)) == len(names)
    for block in answer.blocks:
        if isinstance(block, Drawing):
            ids = Drawn(block.picture).ids
            assert len(set(ids)) == len(ids)


def test_its_value_names_are_public() -> None:
    names = {value.name for value in told(READ, upper_change=-1, marked_weight=36).all_values()}
    assert names == {
        *("weight", "inch_more", "inch_less", "energy", "quality", "quality_whole", "weight_28", "marked_difference"),
        *("weight_then", "weight_change", "energy_then", "read_energy", "read_slope", "slope", "stacks"),
        *("upper_moment", "lower_moment"),
    }


def test_the_form_asks_for_nothing_twice_and_shares_with_tiller() -> None:
    fields = WIDGETS["draw-weight"].fields()
    assert fields == ASKED
    assert len(set(fields)) == len(fields)
    only_here = set(fields) - set(WIDGETS["tiller"].fields())
    assert only_here == {"scale_readings", "marked_weight"}
