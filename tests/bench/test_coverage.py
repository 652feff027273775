"""How often the bands hold the truth, and how the bow and its bands are found in quite another way.

Outside methods: bows of known truth, read by tape and scale, of which all is counted (JCGM 101:2008, GUM supplement 1,
M; that 2u holds about 95 in 100, GUM 6.3.3, S2); SciPy's root finder, which makes these bows; SciPy's least squares
over all numbers at once, whose Jacobian gives the covariance (any textbook of Bayesian least squares: prior and
readings as rows of one problem, M). The mechanics are the package's own and stand under their own checks.

The long form: .made/venv/bin/python build_scripts/measure_coverage.py
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from scipy.optimize import least_squares

from helpers.asking import Data, values
from helpers.coverage import POPULATIONS, SITUATIONS, Cell, Row, halves_of, measured_coverage
from helpers.effects import without
from helpers.made_bows import (
    DEFAULTS,
    INCH,
    LBF,
    OF_BOTH,
    OF_LIMB,
    Bench,
    Limbs,
    Pair,
    drawn_bench,
    pocket_of,
    put_together,
    with_tried_turn,
)
from quarterturn.bench import course as course_module
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_numbers import individual
from quarterturn.bench.bow_setup import foretold
from quarterturn.bench.bow_uncertainty import BowUncertainty, uncertainty_of
from quarterturn.bench.course import SettingReading, course_of
from quarterturn.bench.history import read_to
from quarterturn.mechanics import continuation, equilibrium
from quarterturn.mechanics.bow import Bow, BracedBow
from quarterturn.mechanics.contact import rock_angle
from quarterturn.record.fields import BOLTS
from quarterturn.widgets.plan.form import ASKED

MM = 1e-3
Numbers = np.ndarray[Any, np.dtype[np.float64]]


def asked(record: Data) -> BowInputs:
    return bow_inputs(values(record), ASKED)


# The short form of the count

BOWS = 24
LEAST, LEAST_ALL = 0.75, 0.86
"""Of so few bows 95 in 100 may be 19 of 24 in one of a hundred cells; of four kinds of turn together less is left."""


@pytest.fixture(scope="module", params=POPULATIONS)
def rows(request: pytest.FixtureRequest) -> dict[str, Row]:
    return measured_coverage(request.param, range(9000, 9000 + BOWS))


@pytest.mark.long
@pytest.mark.parametrize("situation", SITUATIONS)
def test_true_changes_lie_in_their_bands_and_no_band_is_far_too_wide(rows: dict[str, Row], situation: str) -> None:
    row = rows[situation]
    assert row.refused == []
    for (what, kind), cell in row.cells.items():
        assert len(cell.cases) == BOWS
        assert cell.share >= LEAST, (what, kind)
        assert cell.width >= 1.0, (what, kind)
    for what in dict.fromkeys(what for what, _ in row.cells):
        whole = Cell([case for (name, _), cell in row.cells.items() if name == what for case in cell.cases])
        assert whole.share >= LEAST_ALL, what
        assert whole.width <= 4.0, what


@pytest.mark.long
def test_an_honest_turn_is_used_and_narrows_what_turns_do_to_tiller(rows: dict[str, Row]) -> None:
    plain, tried = rows["nothing more"], rows["a tried turn"]
    assert sum(one.set_aside for one in tried.answers) <= 1
    for kind in ("upper", "lower", "opposite"):
        before, after = ([case.band for case in row.cells["tiller", kind].cases] for row in (plain, tried))
        assert math.fsum(after) < 0.97 * math.fsum(before), kind


# The bow, identified by SciPy's least squares


@dataclass(frozen=True)
class Entered:
    """The record's numbers as a bow's: what both limbs are made with, and what else there is."""

    limbs: Limbs
    common: dict[str, float]
    turns: Pair
    readings: dict[str, float]


def entered(record: Data) -> Entered:
    """By hand from the record (model.md 6): lengths in mm, draw and weight as AMO inches and pounds."""
    mm = {name: value * MM for name, value in record.items() if isinstance(value, int | float)}
    shared = DEFAULTS | {name: mm[name] for name in OF_BOTH if name != "rise"} | {"rise": mm["rise"] / 4}
    upper, lower = ({**shared, "rim_to_butt": mm[f"{bolt}_rim_to_butt"]} for bolt in ("upper", "lower"))
    readings = {name: mm[name] for name in ("brace_height", "upper_tiller", "lower_tiller")}
    common = {name: mm[name] for name in ("upper_fulcrum", "fulcrum_span", "string_length", "string_upper")}
    common |= {"stretch": 0.0, "draw": record["draw_length"] * INCH - 1.75 * INCH}
    readings["weight"] = record["draw_weight"] * LBF
    return Entered((upper, lower), common, (record["upper_now_turns"], record["lower_now_turns"]), readings)


def made(one: Entered, string: float, log_ratio: float, log_stiffness: float) -> Bow:
    """The bow of these numbers: its fulcrums lie before the straight string by the tillers that were read."""
    read, upper = one.readings, one.common["upper_fulcrum"]
    places = (upper - one.common["fulcrum_span"], upper)
    ahead = read["brace_height"] - float(np.interp(0.0, places, (read["lower_tiller"], read["upper_tiller"])))
    share = one.common["string_upper"] / one.common["string_length"]
    common = one.common | {"fulcrum_x": ahead, "string_share": share}
    return put_together(one.limbs, common, string, log_ratio, math.exp(log_stiffness))


def rock(one: Entered, more: Pair = (0.0, 0.0)) -> Pair:
    upper, lower = (
        rock_angle(pocket_of(limb), turns + by) for limb, turns, by in zip(one.limbs, one.turns, more, strict=True)
    )
    return upper, lower


class Asking:
    """A bow is asked again and again: each search begins at the last bow found there."""

    def __init__(self) -> None:
        self.last: dict[Pair, BracedBow] = {}

    def strung(self, bow: Bow, one: Entered, more: Pair = (0.0, 0.0)) -> BracedBow:
        self.last[more] = equilibrium.braced(bow, rock(one, more), start=self.last.get(more))
        return self.last[more]

    def force(self, bow: Bow, one: Entered, more: Pair = (0.0, 0.0)) -> float:
        found = continuation.drawn(bow, rock(one, more), one.common["draw"], start=self.strung(bow, one, more))
        return found.force


def identified(record: Data) -> tuple[Numbers, Callable[[Pair], Numbers]]:
    """String, logarithm of the ratio and of the stiffness; and what a change of the bolts adds then."""
    one, asking = entered(record), Asking()

    def off(unknown: Numbers) -> list[float]:
        bow = made(one, *map(float, unknown))
        strung = asking.strung(bow, one)
        read = one.readings
        return [
            (strung.brace_height - read["brace_height"]) / MM,
            (strung.belly_tiller - read["upper_tiller"] + read["lower_tiller"]) / MM,
            (asking.force(bow, one) - read["weight"]) / LBF,
        ]

    start = [one.common["string_length"], 0.0, math.log(33.0)]
    solved = least_squares(off, start, x_scale=[1e-3, 1e-2, 1e-2], xtol=1e-14, ftol=1e-14)
    assert solved.cost < 1e-12
    bow = made(one, *map(float, solved.x))

    def change(more: Pair) -> Numbers:
        before, after = asking.strung(bow, one), asking.strung(bow, one, more)
        tiller, brace = after.belly_tiller - before.belly_tiller, after.brace_height - before.brace_height
        return np.array([asking.force(bow, one, more) - asking.force(bow, one), tiller, brace])

    return np.asarray(solved.x), change


@pytest.mark.parametrize("seed", [9000, 9001, 9002])
def test_the_bow_is_the_one_that_least_squares_identify(seed: int) -> None:
    record = drawn_bench(seed, halves_of(), unlike=True).record
    bow = asked(record)
    unknown, change = identified(record)
    fitted = bow.fitted
    assert fitted.string == pytest.approx(unknown[0], abs=2e-6)
    assert math.log(fitted.ratio) == pytest.approx(unknown[1], abs=2e-5)
    assert math.log(fitted.bow.upper.limb.stiffness) == pytest.approx(unknown[2], abs=2e-5)
    for more in ((-1.0, 0.0), (0.0, 0.75), (0.5, 0.5), (-0.5, 0.5)):
        here, there = (foretold(bow.setup, bow.draw, bow.at(by)) for by in ((0.0, 0.0), more))
        found = [
            there.drawn.force - here.drawn.force,
            there.braced.belly_tiller - here.braced.belly_tiller,
            there.braced.brace_height - here.braced.brace_height,
        ]
        assert found == pytest.approx(list(change(more)), rel=1e-4, abs=2e-6)


# All numbers at once: prior and readings as the rows of one problem of least squares

SURE = 1e-5
"""What is known exactly counts as known to a hundredth of a millimetre."""
WAYS: tuple[Pair, ...] = ((-1.0, 0.0), (0.0, -1.0), (-1.0, -1.0), (-1.0, 1.0))
STEP = 0.25


class Whole:
    """Every number that the bow is made from as an unknown, in its own standard uncertainty, about the record's.

    Its prior is a row for each; what holds between the numbers, and what was read besides, are the other rows.
    """

    def __init__(self, record: Data, later: tuple[tuple[Pair, float], ...] = ()) -> None:
        self.bow = asked(record)
        self.one, self.asking, self.later = entered(record), Asking(), later
        self.listed = [each for each in self.bow.parameters if each.name != "stretch"]
        self.units = [each.half / math.sqrt(3) for each in self.listed]
        self.counted = course_of(self.bow, (), read_to(self.bow), "both")._reading("tiller")

    def made(self, unknown: Numbers) -> tuple[Entered, Bow]:
        one = self.one
        common, readings, turns = dict(one.common), dict(one.readings), list(one.turns)
        limbs = [dict(one.limbs[0]), dict(one.limbs[1])]
        for each, part, unit in zip(self.listed, unknown[3:], self.units, strict=True):
            by, whose = float(part) * unit, individual(each.name)
            if whose:
                limbs[whose[0]][whose[1]] += by
            elif each.name in OF_LIMB or each.name in OF_BOTH:
                for limb in limbs:
                    limb[each.name] += by
            elif each.name.endswith("rim_to_butt"):
                limbs[BOLTS.index(each.name.partition("_")[0])]["rim_to_butt"] += by
            elif each.name.endswith("now_turns"):
                turns[BOLTS.index(each.name.partition("_")[0])] += by
            elif each.name in readings:
                readings[each.name] += by
            else:
                common[each.name] += by
        there = Entered((limbs[0], limbs[1]), common, (turns[0], turns[1]), readings)
        return there, made(there, *map(float, unknown[:3]))

    def rows(self, unknown: Numbers) -> Numbers:
        there, bow = self.made(unknown)
        strung, read = self.asking.strung(bow, there), there.readings
        found = [
            (strung.brace_height - read["brace_height"]) / SURE,
            (strung.belly_tiller - read["upper_tiller"] + read["lower_tiller"]) / SURE,
            (self.asking.force(bow, there) - read["weight"]) / (1e-4 * LBF),
        ]
        for by, tiller in self.later:
            found.append((self.asking.strung(bow, there, by).belly_tiller - tiller) / self.counted)
        return np.array([*found, *unknown[3:]])

    def turns(self, unknown: Numbers) -> Numbers:
        """What a turn of either bolt adds to weight, tiller and brace height, from a quarter of one."""
        there, bow = self.made(unknown)
        found = []
        for by in ((0.0, 0.0), (-STEP, 0.0), (0.0, -STEP)):
            strung = self.asking.strung(bow, there, by)
            found.append([self.asking.force(bow, there, by), strung.belly_tiller, strung.brace_height])
        turned: Numbers = (np.array(found[1:]) - np.array(found[0])) / -STEP
        return turned

    def solved(self) -> tuple[Numbers, Numbers]:
        """What turns add, a row a bolt, and the covariance of the unknowns."""
        fitted = self.bow.fitted
        begun = [fitted.string, math.log(fitted.ratio), math.log(fitted.bow.upper.limb.stiffness)]
        scale = np.array([1e-3, 1e-2, 1e-2, *([1.0] * len(self.listed))])
        start = np.array([*begun, *([0.0] * len(self.listed))])
        found = least_squares(self.rows, start, self.jacobian, x_scale=scale, xtol=1e-7, ftol=1e-7)
        jacobian = np.array(found.jac) * scale
        covariance = np.linalg.inv(jacobian.T @ jacobian) * np.outer(scale, scale)
        return found.x, covariance

    @property
    def steps(self) -> Numbers:
        """For derivatives: m of string, logarithms, and a hundredth of each standard uncertainty."""
        return np.diag([1e-5, 1e-4, 1e-4, *([1e-2] * len(self.listed))])

    def jacobian(self, unknown: Numbers) -> Numbers:
        here = self.rows(unknown)
        return np.array([(self.rows(unknown + step) - here) / step.sum() for step in self.steps]).T

    def of_turns(self) -> tuple[Numbers, Numbers]:
        """What a turn of either bolt adds, and the covariance of that, number by number."""
        unknown, covariance = self.solved()
        here = self.turns(unknown)
        slopes = np.array([(self.turns(unknown + step) - here) / step.sum() for step in self.steps])
        return here, np.array([slopes[:, :, what].T @ covariance @ slopes[:, :, what] for what in range(3)])


def first_order(found: BowUncertainty) -> BowUncertainty:
    """Without what is of the second order, and without what no even uncertainty has: a string's stretch."""
    return without(found, "second_order", "second_order_of_lever", "stretch", "scale_step", "draw_step")


@pytest.fixture(scope="module")
def bench() -> Bench:
    return drawn_bench(9003, halves_of(), unlike=True)


def test_bands_are_those_of_one_least_squares_problem_of_all_numbers(bench: Bench) -> None:
    """For each kind of turn, with what limbs have in common and what each has of its own among the unknowns."""
    whole = Whole(bench.record)
    told = first_order(uncertainty_of(whole.bow))
    here, covariance = whole.of_turns()
    for what, name in enumerate(("weight", "tiller", "brace_height")):
        for way in WAYS:
            change = float(np.array(way) @ here[:, what])
            assert float(getattr(told.response.change(way), name)) == pytest.approx(change, rel=5e-3, abs=1e-6)
            u = math.sqrt(float(np.array(way) @ covariance[what] @ np.array(way)))
            assert told.budget_of(name, way, whole=False).combined == pytest.approx(u, rel=0.03), (name, way)


@pytest.mark.long
def test_what_a_tried_turn_tells_is_what_least_squares_tell(bench: Bench) -> None:
    """The tiller after the turn is one more row; here all numbers give way, where the package holds what was read.

    So both agree about what turns do to tiller, as far as the reading that they share is not taken for the truth.
    """
    record = with_tried_turn(bench)
    bow = asked(record)
    assert bow.tried_outlier is None
    bolt, _, way = record["tried_move"].partition("_")
    by = record["tried_turns"] * (-1.0 if way == "in" else 1.0)
    tiller = (record["upper_tried_tiller"] - record["lower_tried_tiller"]) * MM
    whole = Whole(bench.record, (((by, 0.0) if bolt == "upper" else (0.0, by), tiller),))
    here, covariance = whole.of_turns()
    told, plain = first_order(uncertainty_of(bow)), first_order(uncertainty_of(asked(bench.record)))
    for way_of in ((-1.0, 0.0), (0.0, -1.0), (-1.0, 1.0)):
        u = math.sqrt(float(np.array(way_of) @ covariance[1] @ np.array(way_of)))
        change = float(np.array(way_of) @ here[:, 1])
        assert told.budget_of("tiller", way_of, whole=False).combined == pytest.approx(u, rel=0.1), way_of
        assert u < 0.9 * plain.budget_of("tiller", way_of, whole=False).combined
        assert told.response.change(way_of).tiller == pytest.approx(change, abs=0.2 * u), way_of


@pytest.mark.long
def test_what_a_log_of_tillers_leaves_is_what_least_squares_leave(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three settings of which tiller alone was read, off what is predicted by half a reading's uncertainty.

    All numbers are solved for once more, with these readings as further rows.
    """
    bow = asked(bench.record)
    monkeypatch.setattr(course_module, "uncertainty_of", lambda one: first_order(uncertainty_of(one)))
    now, told_by = bow.setup.now, course_of(bow, (), read_to(bow), "both")
    later = []
    for way, part in (((-0.5, 0.0), 0.5), ((-0.5, -0.75), -0.5), ((0.25, -0.75), 0.5)):
        there = bow.at(way)
        tiller = bow.setup.upper_tiller - bow.setup.lower_tiller
        tiller += told_by.at(there, "tiller") - told_by.at(now, "tiller")
        later.append((way, tiller + part * told_by._reading("tiller")))
    log = tuple(SettingReading(bow.at(way), None, tiller, None) for way, tiller in later)
    course = course_of(bow, log, read_to(bow), "both")
    told, prior = course.learned("tiller"), course.prior("tiller")
    assert prior is not None
    assert told.count == 4
    whole = Whole(bench.record, tuple(later))
    for place, each in enumerate(whole.listed):
        if each.name in ("upper_tiller", "lower_tiller"):  # the record's own reading is as good as the others
            whole.units[place] = whole.counted / math.sqrt(2)
    here, covariance = whole.of_turns()
    for way in WAYS:
        u = math.sqrt(float(np.array(way) @ covariance[1] @ np.array(way)))
        (upper, both, lower), (one, two) = told.covariance, way
        mine = math.sqrt(upper * one**2 + 2 * both * one * two + lower * two**2)
        assert mine == pytest.approx(u, rel=0.1), way
        more = np.array(way) @ (np.array(prior.turn) + np.array(told.more))
        assert float(more) == pytest.approx(float(np.array(way) @ here[:, 1]), abs=0.15 * u)
