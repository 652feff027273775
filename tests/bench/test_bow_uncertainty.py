"""How sure the reader's bow is: every derivative, and what is combined of them, found in another way.

Outside methods: the bow found anew with each number moved, by a search of its own over finer steps and with central
differences (C); Monte Carlo runs in which all numbers are drawn at once and each bow is found anew, as JCGM 101:2008
(GUM, supplement 1; M) has it, with NumPy's random numbers from a fixed seed; the half-width over √3 of a rectangular
distribution (GUM 4.3.7, M).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest

from helpers.asking import ALL_LENGTHS, COMPLETE, STRUNG, values
from helpers.effects import Effect, effects_of, without
from quarterturn.bench import bow_numbers
from quarterturn.bench.bow_fit import FitError, Weighing
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_numbers import Parameter
from quarterturn.bench.bow_setup import Pair, Setup, as_it_is
from quarterturn.bench.bow_uncertainty import BowUncertainty, force_sensitivities, uncertainty_of
from quarterturn.bench.outcomes import Outcome, TurnResponse
from quarterturn.bench.sensitivities import Sensitivities
from quarterturn.mechanics import continuation, equilibrium
from quarterturn.mechanics.bow import Bow, BowError, BowString, BracedBow, DrawnBow, Side
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.limb import Limb, LimbError, StepCounts
from quarterturn.mechanics.pocket import Pocket
from quarterturn.units import to_si
from quarterturn.widgets.tiller.form import ASKED

pytestmark = pytest.mark.long

LBF = to_si(1.0, "lbf")
INCH = 0.0254
MM = 1e-3
FINE = StepCounts(24, 16)
"""Sixteen times nearer to the limit than the package's own."""
COMPUTED = ("second_order", "second_order_of_lever")
Numbers = np.ndarray[Any, np.dtype[np.float64]]
NAMES = ("weight", "brace_height", "upper_tiller", "lower_tiller", "upper_moment", "lower_moment")
FORCES = [0, 4, 5]
SIZES = np.array([LBF, MM, MM, MM, 1.0, 1.0])
"""What is much of each: a pound, a millimetre, a newton metre."""

MEASURED: dict[str, Any] = COMPLETE | STRUNG | ALL_LENGTHS | {"draw_length": 28, "draw_station": "amo"}
"""All that a tape, a caliper and a scale tell."""
TRIED = MEASURED | {"upper_tried_tiller": 176.65, "lower_tried_tiller": 177.0}
WEIGHED = MEASURED | {"scale_readings": [{"draw": 24, "weight": 29.9}, {"draw": 28, "weight": 38.4}]}
RECORDS: dict[str, dict[str, Any]] = {
    "the example": COMPLETE,
    "all measured": MEASURED,
    "weighed twice": WEIGHED,
}


def asked(record: dict[str, Any]) -> BowInputs:
    return bow_inputs(values(record), ASKED)


# The bow, found apart from the package's own search


class Search:
    """Newton's rule over string and logarithm of the stiffnesses' ratio; after it stiffness by the weighings."""

    def __init__(self, steps: StepCounts, bow: BowInputs) -> None:
        fitted = bow.fitted
        self.steps = steps
        self.begun = np.array([fitted.string, math.log(fitted.ratio)])
        self.stiffness = fitted.bow.upper.limb.stiffness
        self.near: BracedBow | None = None
        self.slopes: Numbers | None = None
        self.far: dict[float, DrawnBow] = {}

    def drawn(self, bow: Bow, rocked: Pair, draw: float, braced: BracedBow) -> DrawnBow:
        """The bow at a draw length; begun at the last one found near there, or from the strung bow."""
        near = self.far.get(round(draw, 1), braced)
        try:
            found = continuation.drawn(bow, rocked, draw, steps=self.steps, start=near)
        except BowError:
            found = continuation.drawn(bow, rocked, draw, steps=self.steps, start=braced)
        self.far[round(draw, 1)] = found
        return found

    def bow(self, setup: Setup, unknown: Numbers, stiffness: float) -> Bow:
        """A bow from all its numbers (model.md, section 4)."""
        string, lower = float(unknown[0]), math.exp(unknown[1]) * stiffness
        # The string is straight: what it is from the fulcrums' line at the pivot point, read off between the tillers.
        fulcrums = (setup.upper_fulcrum - setup.fulcrum_span, setup.upper_fulcrum)
        ahead = setup.brace_height - float(np.interp(0.0, fulcrums, (setup.lower_tiller, setup.upper_tiller)))
        lean = setup.flush_angle

        def side(place: int, fulcrum: float, ei: float) -> Side:
            def of_limb(name: str) -> float:  # what both have, and what this one has more
                return float(getattr(setup, name)) + float(getattr(setup.individual[place], name))

            root, depth = of_limb("root_distance"), of_limb("limb_depth")
            length = of_limb("limb_length") - root
            bends = (of_limb("inner_curvature"), of_limb("recurve_curvature"), length - of_limb("recurve"))
            leans = lean + setup.individual[place].flush_angle
            return Side(Limb(length, ei, of_limb("taper"), *bends), ahead, fulcrum, leans, depth, root, depth)

        share = setup.string_upper / setup.string_length
        parts = BowString(string * share, string * (1 - share), 1 / setup.stretch if setup.stretch else None)
        lower_fulcrum = setup.fulcrum_span - setup.upper_fulcrum
        return Bow(side(0, setup.upper_fulcrum, stiffness), side(1, lower_fulcrum, lower), parts)

    def off(self, setup: Setup, unknown: Numbers, stiffness: float) -> Numbers:
        """What the readings of the strung bow are off by, m."""
        bow = self.bow(setup, unknown, stiffness)
        now = equilibrium.braced(bow, rock(setup, setup.now), steps=self.steps, start=self.near)
        self.near = now
        tiller = setup.upper_tiller - setup.lower_tiller
        return np.array([now.brace_height - setup.brace_height, now.belly_tiller - tiller])

    def strung(self, setup: Setup, unknown: Numbers, stiffness: float) -> Numbers:
        """The unknowns at which the strung bow's readings are off by nothing any more."""
        slopes, before = self.slopes, math.inf
        for _ in range(40):
            off = self.off(setup, unknown, stiffness)
            if np.abs(off).max() < 1e-10:
                return unknown
            if slopes is None or np.abs(off).max() > 0.2 * before:
                steps = np.diag([1e-6, 1e-5])
                slopes = np.array([(self.off(setup, unknown + one, stiffness) - off) / one.max() for one in steps]).T
                self.slopes = slopes if self.slopes is None else self.slopes
            before = float(np.abs(off).max())
            unknown = unknown - np.linalg.solve(slopes, off)
        raise AssertionError(f"no bow: off by {off}")

    def __call__(self, setup: Setup) -> Bow:
        """The bow that gives all readings."""
        unknown, stiffness = self.begun, self.stiffness
        for _ in range(40):
            unknown = self.strung(setup, unknown, stiffness)
            bow = self.bow(setup, unknown, stiffness)
            rocked = rock(setup, setup.now)
            start = equilibrium.braced(bow, rocked, steps=self.steps, start=self.near)
            forces = [self.drawn(bow, rocked, one.draw, start).force for one in setup.weighings]
            factor = np.dot(forces, [one.force for one in setup.weighings]) / np.dot(forces, forces)
            stiffness *= float(factor)
            if not setup.stretch or abs(factor - 1) < 1e-9:  # without stretch all forces go with it
                return self.bow(setup, unknown, stiffness)
        raise AssertionError(f"no stiffness: {factor}")


def rock(setup: Setup, turns: Pair) -> Pair:
    upper, lower = setup.pockets
    return rock_angle(upper, turns[0]), rock_angle(lower, turns[1])


def numbers_of(braced: BracedBow, drawn: DrawnBow) -> Numbers:
    tillers = braced.upper.distance_to_belly, braced.lower.distance_to_belly
    return np.array([drawn.force, braced.brace_height, *tillers, drawn.upper.moment, drawn.lower.moment])


def around_of(search: Search, setup: Setup, draw: float) -> Numbers:
    """As it stands, and what a turn of the upper bolt and of the lower adds, from a quarter of a turn in."""
    bow = search(setup)
    upper, lower = setup.now
    found = []
    for turns in ((upper, lower), (upper - 0.25, lower), (upper, lower - 0.25)):
        rocked = rock(setup, turns)
        braced = equilibrium.braced(bow, rocked, steps=search.steps, start=search.near)
        found.append(numbers_of(braced, search.drawn(bow, rocked, draw, braced)))
    now, one, two = found
    around: Numbers = np.array([now, (one - now) / -0.25, (two - now) / -0.25])
    return around


def as_numbers(around: TurnResponse) -> Numbers:
    rows = (around.now, around.upper, around.lower)
    found: Numbers = np.array([[getattr(row, name) for name in NAMES] for row in rows]) / SIZES
    return found


class Case:
    """A record's bow, its uncertainties, and a search of our own that begins at it."""

    def __init__(self, record: dict[str, Any], steps: StepCounts) -> None:
        self.asked = asked(record)
        self.uncertainty = uncertainty_of(self.asked)
        self.setup = self.asked.setup
        self.search = Search(steps, self.asked)
        self.search(self.setup)

    def around(self, setup: Setup) -> Numbers:
        found: Numbers = around_of(self.search, setup, self.asked.draw) / SIZES
        return found

    @property
    def listed(self) -> list[Effect]:
        """All but what the scale and the mark do, and what is computed from all."""
        apart = ("scale_step", "draw_step", *COMPUTED)
        return [each for each in effects_of(self.uncertainty) if each.parameter.name not in apart]


def moved(setup: Setup, name: str, by: float) -> Setup:
    """The setup with one number more by this much: what each of them means is written down here once more."""
    if name == "fulcrum_arm":
        return replace(setup, pockets=_pockets(setup, lambda one: (one.fulcrum_arm + by, one.butt_length + by)))
    if name == "head_diameter":
        upper, lower = (
            replace(one, head_radius=one.head_radius + by / 2, butt_length=one.butt_length + by / 2)
            for one in setup.pockets
        )
        return replace(setup, pockets=(upper, lower))
    if name == "rise":
        return replace(setup, pockets=(_pitched(setup.pockets[0], by), _pitched(setup.pockets[1], by)))
    if name.endswith("rim_to_butt"):
        less = [by if name.startswith(bolt) else 0.0 for bolt in ("upper", "lower")]
        upper, lower = (
            replace(one, butt_length=one.butt_length - each) for one, each in zip(setup.pockets, less, strict=True)
        )
        return replace(setup, pockets=(upper, lower))
    if name.endswith("now_turns"):
        more = (by, 0.0) if name.startswith("upper") else (0.0, by)
        now = (setup.now[0] + more[0], setup.now[1] + more[1])
        return replace(setup, now=now)
    bolt, _, kind = name.partition("_")
    if bolt in ("upper", "lower") and kind in OWN:
        return _of_one_limb(setup, ("upper", "lower").index(bolt), kind, by)
    return replace(setup, **{name: getattr(setup, name) + by})


OWN = {
    "flush_angle": 0.005,
    "taper": 0.03,
    "inner_curvature": 0.05,
    "recurve_curvature": 0.3,
    "recurve": 0.005,
    "root_distance": 0.0015,
    "limb_length": 1e-3,
    "limb_depth": 0.2e-3,
    "fulcrum_arm": 0.5e-3,
}
"""What each limb has of its own, and how far that may be off: a sixth, or less, of what both may be off by alike."""


def _of_one_limb(setup: Setup, place: int, kind: str, by: float) -> Setup:
    if kind == "fulcrum_arm":
        pockets = [
            replace(one, fulcrum_arm=one.fulcrum_arm + more, butt_length=one.butt_length + more)
            for one, more in zip(setup.pockets, (by, 0.0) if place == 0 else (0.0, by), strict=True)
        ]
        return replace(setup, pockets=(pockets[0], pockets[1]))
    upper, lower = setup.individual
    if place == 0:
        return replace(setup, individual=(replace(upper, **{kind: getattr(upper, kind) + by}), lower))
    return replace(setup, individual=(upper, replace(lower, **{kind: getattr(lower, kind) + by})))


def _pockets(setup: Setup, longer: Callable[[Pocket], tuple[float, float]]) -> tuple[Pocket, Pocket]:
    upper, lower = (replace(one, fulcrum_arm=longer(one)[0], butt_length=longer(one)[1]) for one in setup.pockets)
    return upper, lower


def _pitched(pocket: Pocket, by: float) -> Pocket:
    return replace(pocket, pitch=pocket.pitch + by)


@pytest.fixture(scope="module", params=RECORDS)
def case(request: pytest.FixtureRequest) -> Case:
    return Case(RECORDS[request.param], FINE)


# Derivatives


def test_what_turns_do_is_found_with_finer_steps_too(case: Case) -> None:
    """The coarse steps that differences are found with matter by a thousandth at most."""
    fine, coarse = case.around(case.setup), as_numbers(case.uncertainty.response)
    assert coarse == pytest.approx(fine, rel=1e-3, abs=1e-4)


def test_every_derivative_is_that_of_the_bow_found_anew(case: Case) -> None:
    """Each number a tenth of its half-width either way: what the bow gives then, and what a turn does.

    The package's search is one step with derivatives that it kept, and its difference is taken on one side: that leaves
    less than a fiftieth of each share and of what is combined.
    """
    first_order = [each for each in effects_of(case.uncertainty) if each.parameter.name not in COMPUTED]
    total = np.sqrt(sum((as_numbers(each.by) ** 2 for each in first_order), np.zeros((3, 6))))
    for effect in case.listed:
        parameter = effect.parameter
        by = 0.1 * parameter.half
        there = case.around(moved(case.setup, parameter.name, by))
        back, ends = (
            (case.around(case.setup), 0.1)  # a string does not stretch less than nothing
            if parameter.name == "stretch"
            else (case.around(moved(case.setup, parameter.name, -by)), 0.2)
        )
        off = np.abs(as_numbers(effect.by) - (there - back) / ends)
        room = 0.02 * (total + np.abs(there - back) / ends) + 1e-4
        assert (off[1:] <= room[1:]).all(), parameter.name
        assert (off[0, FORCES] <= room[0, FORCES]).all(), parameter.name
        assert (off[0] <= 0.16 * total[0] + 1e-4).all(), parameter.name


def test_every_number_of_the_bow_is_listed_once_with_its_half_width() -> None:
    """By hand: what a tape tells, a caliper, a count, and what nobody can measure here; what is entered is surer."""
    tape = ["brace_height", "upper_tiller", "lower_tiller"]
    lengths: dict[str, tuple[float, float]] = {
        "string_length": (3, 15),
        "string_upper": (3, 15),
        "upper_fulcrum": (3, 12),
        "fulcrum_span": (4, 20),
    }
    lengths |= {
        "limb_length": (4, 15),
        "limb_depth": (0.3, 2),
        "fulcrum_arm": (2, 15),
        "rise": (0.02, 0.2),
        "head_diameter": (0.2, 2),
    }
    lengths |= {"upper_rim_to_butt": (0.5, 1.5), "lower_rim_to_butt": (0.5, 1.5)}
    limb = {"flush_angle", "taper", "inner_curvature", "recurve_curvature", "recurve", "root_distance", "stretch"}
    own = {f"{bolt}_{kind}" for bolt in ("upper", "lower") for kind in OWN}
    for record, at, known in (({"version": 1}, 1, "assumed"), (MEASURED | {"rise": 4.23}, 0, "measured")):
        listed = asked(record).parameters
        named = {each.name: each for each in listed}
        assert len(named) == len(listed)
        assert set(named) == {*tape, *lengths, "upper_now_turns", "lower_now_turns", *limb, *own}
        for name in tape:
            assert named[name].half == pytest.approx(1 * MM)
            assert named[name].known == known
        for name, halves in lengths.items():
            assert named[name].half == pytest.approx(halves[at] * MM)
            assert named[name].known == known
        assert {named[name].known for name in limb} == {"default"}
        for name in own:
            assert (named[name].known, named[name].value) == ("alike", 0)
            assert named[name].half == OWN[name.partition("_")[2]]
        # Half of the smallest turn counted and half of the play, model.md 2.
        assert named["upper_now_turns"].half == pytest.approx(0.125 / 2 + 0.05 / 2)
    tried = {each.name: each for each in asked(TRIED).parameters}
    assert set(tried) == {*tape, *lengths, "upper_now_turns", "lower_now_turns", *limb, *own} | {
        "upper_tried_tiller",
        "lower_tried_tiller",
        "tried_turns",
    }
    assert tried["tried_turns"].value == 1
    assert tried["tried_turns"].half == pytest.approx(0.125 / 2 + 0.05 / 2)
    assumed = {each.name: each.half for each in asked({"version": 1}).parameters}
    for kind, half in OWN.items():  # a pair differs less than one bow from another
        assert half <= assumed[kind] / 6 * (1 + 1e-9)


@pytest.mark.parametrize("step", [0.1, 2.0, 5.0])
def test_the_tape_that_the_reader_names_is_taken(step: float) -> None:
    found = uncertainty_of(asked(MEASURED | {"tape_step": step}))
    for name in ("brace_height", "upper_tiller", "lower_tiller"):
        assert of(found, name).parameter.half == pytest.approx(step * MM)
    assert of(found, "brace_height").by.now.brace_height == pytest.approx(step * MM, rel=1e-3)


def of(found: BowUncertainty, name: str) -> Effect:
    return next(each for each in effects_of(found) if each.parameter.name == name)


# What a reading decides


def test_what_a_reading_decides_leaves_nothing_uncertain(case: Case) -> None:
    """Weight at the draw that was weighed, and the string's length."""
    if len(case.setup.weighings) == 1:
        for effect in case.listed:
            assert abs(effect.by.now.weight) < 1e-4 * LBF, effect.parameter.name
    by = of(case.uncertainty, "string_length").by
    for part in (by.now, by.upper, by.lower):  # the string's share above the nocking point matters drawn, and only so
        assert max(map(abs, (part.brace_height, part.upper_tiller, part.lower_tiller))) < 1e-8


def test_brace_height_and_tiller_are_uncertain_by_their_own_readings_alone() -> None:
    found = uncertainty_of(asked(COMPLETE))
    for effect in effects_of(found):
        own = effect.parameter.name in ("brace_height", "upper_tiller", "lower_tiller")
        if not own:
            assert abs(effect.by.now.tiller) < 0.05 * MM, effect.parameter.name
            assert abs(effect.by.now.brace_height) < 0.15 * MM, effect.parameter.name
    # The difference of two readings of a tape that is off by 1 mm at most: √2 mm/√3 (GUM 4.3.7, 5.1.2).
    assert found.budget_of("tiller", (0.0, 0.0), whole=True).combined == pytest.approx(MM * math.sqrt(2 / 3), rel=0.02)


def test_the_scale_and_the_mark_by_hand() -> None:
    """One weighing: half a pound of 38; an eighth of an inch on the curve's slope. GUM 4.3.7: over √3."""
    bow = asked(MEASURED)
    found = uncertainty_of(bow)
    setup, fitted = bow.setup, bow.fitted
    ends = [
        continuation.drawn(fitted.bow, fitted.rock, bow.draw + by, start=fitted.weighed[0]).force for by in (MM, -MM)
    ]
    slope = (ends[0] - ends[1]) / (2 * MM)
    scale, mark = of(found, "scale_step"), of(found, "draw_step")
    assert scale.by.now.weight == pytest.approx(0.5 * LBF, rel=1e-9)
    assert mark.by.now.weight == pytest.approx(slope * 0.125 * INCH, rel=1e-2)
    both = found.budget_of("weight", (0.0, 0.0), whole=True).combined
    assert both == pytest.approx(math.hypot(0.5 * LBF, slope * 0.125 * INCH) / math.sqrt(3), rel=5e-3)
    for effect in (scale, mark):  # all forces and moments are more by one part, and no length is
        part = effect.by.now.weight / found.response.now.weight
        for name in NAMES:
            for row, whole in ((effect.by.now, found.response.now), (effect.by.upper, found.response.upper)):
                expected = part * getattr(whole, name) if name in ("weight", "upper_moment", "lower_moment") else 0.0
                assert getattr(row, name) == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert setup.weighings[0].force == pytest.approx(38 * LBF)


def test_more_weighings_make_the_stiffness_surer() -> None:
    """Some readings at one draw: the uncertainty of their mean, 1/√n of one's (GUM 4.2.3 for the mean; C)."""
    one, four = (
        uncertainty_of(asked(MEASURED | {"scale_readings": [{"draw": 28, "weight": 38}] * count})) for count in (1, 4)
    )
    for name in ("scale_step", "draw_step"):
        assert of(four, name).parameter.half == pytest.approx(of(one, name).parameter.half / 2, rel=1e-9)
    assert of(one, "scale_step").parameter.half == pytest.approx(0.5 / 38, rel=1e-9)


def test_what_the_steps_are_known_by() -> None:
    assert of(uncertainty_of(asked(COMPLETE)), "scale_step").parameter.known == "assumed"
    assert of(uncertainty_of(asked(MEASURED)), "scale_step").parameter.known == "measured"
    assert of(
        uncertainty_of(asked(COMPLETE | {"scale_readings": [{"draw": 28, "weight": 38}]})), "draw_step"
    ).parameter.known == ("measured")


# Numbers put together


def test_outcomes_add_and_scale_number_by_number() -> None:
    one, two = Outcome(1, 2, 3, 4, 5, 6), Outcome(10, 20, 30, 50, 50, 60)
    assert two - one == Outcome(9, 18, 27, 46, 45, 54)
    assert two + one == Outcome(11, 22, 33, 54, 55, 66)
    assert 0.5 * two == Outcome(5, 10, 15, 25, 25, 30)
    assert two.tiller == -20
    around = TurnResponse(one, two, Outcome(100, 0, 0, 0, 0, 0))
    assert around.change((-1.0, 2.0)) == Outcome(190, -20, -30, -50, -50, -60)


def test_the_budget_is_the_root_of_the_squares_of_halves_over_root_three(case: Case) -> None:
    """GUM 5.1.2 and 4.3.7 by hand, for a turn and for what there is after it."""
    change = (-0.75, 0.5)
    for what in ("weight", "tiller", "brace_height", "upper_moment"):
        shares = [getattr(each.by.change(change), what) for each in effects_of(case.uncertainty)]
        wholes = [getattr(each.by.change(change) + each.by.now, what) for each in effects_of(case.uncertainty)]
        turned = case.uncertainty.budget_of(what, change, whole=False)
        assert turned.combined == pytest.approx(math.sqrt(sum(each**2 for each in shares) / 3), rel=1e-12)
        whole = case.uncertainty.budget_of(what, change, whole=True)
        assert whole.combined == pytest.approx(math.sqrt(sum(each**2 for each in wholes) / 3), rel=1e-12)
        assert turned.expanded == 2 * turned.combined
    assert case.uncertainty.budget_of("weight", (0.0, 0.0), whole=False).combined == 0


def test_the_covariance_of_two_bolts_is_that_of_their_budgets(case: Case) -> None:
    """var(a + b) = var a + var b + 2 cov(a, b) (GUM 5.2; C)."""
    for what in ("weight", "tiller", "brace_height"):
        upper, both, lower = (
            case.uncertainty.budget_of(what, change, whole=False).combined ** 2
            for change in ((1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
        )
        expected = (upper, (both - upper - lower) / 2, lower)
        assert case.uncertainty.covariance(what) == pytest.approx(expected, rel=1e-9, abs=1e-12 * both)


# What each limb has of its own


def test_limbs_that_differ_matter_most_where_both_bolts_turn_alike() -> None:
    """Alike, what both limbs have in common cancels in tiller; what each has of its own does not."""
    found = uncertainty_of(asked(MEASURED))
    for change, least, most in (((-1.0, -1.0), 0.8, 1.0), ((-1.0, 0.0), 0.05, 0.35), ((-1.0, 1.0), 0.0, 0.25)):
        shares = {each.parameter.name: each.by.change(change).tiller for each in effects_of(found)}
        own = math.hypot(*(share for name, share in shares.items() if bow_numbers.individual(name)))
        assert least < own / math.hypot(*shares.values()) < most
    upper, lower = (
        math.hypot(*(each.by.change((-1.0, -1.0)).tiller for each in effects_of(found) if whose(each) == place))
        for place in (0, 1)
    )
    assert upper == pytest.approx(lower, rel=0.1)  # two limbs that are nearly alike


def whose(effect: Effect) -> int | None:
    found = bow_numbers.individual(effect.parameter.name)
    return None if found is None else found[0]


def test_what_is_of_one_limb_is_told_from_what_is_of_both() -> None:
    assert bow_numbers.individual("upper_taper") == (0, "taper")
    assert bow_numbers.individual("lower_fulcrum_arm") == (1, "fulcrum_arm")
    for name in ("taper", "fulcrum_arm", "upper_fulcrum", "upper_tiller", "lower_rim_to_butt", "upper_now_turns"):
        assert bow_numbers.individual(name) is None


# Second order


@pytest.mark.parametrize("name", ["all measured", "the example"])
def test_the_band_reaches_toward_where_the_bow_found_anew_has_its_farther_end(name: str) -> None:
    """At twice the standard uncertainty along the steepest direction the bow is found anew.

    That is the design point of a first-order reliability method (Ditlevsen and Madsen, Structural reliability methods;
    M). The bow is farther off there than first order has it: the band goes a good part of the way, and not beyond.
    """
    case = Case(RECORDS[name], FINE)
    change = (-1.0, 1.0)
    turn = float(case.uncertainty.response.change(change).tiller)
    shares = {each.parameter: each.by.change(change).tiller for each in case.listed if each.parameter.name != "stretch"}
    length = math.hypot(*shares.values())
    first = 2 * length / math.sqrt(3)
    setup = case.setup
    for parameter, share in shares.items():  # toward more tiller
        part = 2 / math.sqrt(3) * math.copysign(1.0, turn) * share / length
        setup = moved(setup, parameter.name, part * parameter.half)
    there = case.around(setup)
    now = (there[2] - there[1]) * SIZES
    expanded = case.uncertainty.budget_of("tiller", change, whole=False).expanded
    off = abs(float(now[2] - now[3])) - abs(turn)
    assert off > 1.1 * first
    assert 0.3 < (expanded - first) / (off - first) < 1.3


# Monte Carlo

DRAWN = 240
COARSE = StepCounts(5, 3)
"""The package's own for differences: whoever draws hundreds of bows needs no finer ones."""


@dataclass(frozen=True)
class Run:
    """A Monte Carlo run (JCGM 101, 7.2 to 7.4).

    Attributes:
        parts: of each bow and each number, which part of its half-width it was off by, −1 to 1; then of each weighing
            the scale's and the mark's.
        found: of each bow what it gives and what a turn of either bolt adds, less what the bow as measured does.
    """

    case: Case
    uncertainty: BowUncertainty
    parts: Numbers
    found: Numbers


def made_run(name: str, count: int, size: float) -> Run:
    """All numbers drawn at once, evenly between these parts of their half-widths, and the bow found anew each time.

    The string's stretch is left out: it is nothing as measured and cannot be less.
    """
    case = Case(RECORDS[name], COARSE)
    numbers = [each.parameter for each in case.listed if each.parameter.name != "stretch"]
    steps = [case.asked.values.number(step) for step in ("scale_step", "draw_step")]
    chance = np.random.default_rng(20240611)
    here = case.around(case.setup)
    parts: list[Numbers] = []
    found: list[Numbers] = []
    while len(found) < count:
        row = chance.uniform(-size, size, len(numbers) + 2 * len(case.setup.weighings))
        try:
            found.append(case.around(_all_moved(case.setup, numbers, row, steps)) - here)
        except (BowError, LimbError):  # no such bow: the readings would not be those of one
            continue
        parts.append(row)
    return Run(case, without(case.uncertainty, "stretch"), np.array(parts), np.array(found))


def _all_moved(setup: Setup, numbers: list[Parameter], row: Numbers, steps: list[float]) -> Setup:
    for parameter, part in zip(numbers, row, strict=False):
        setup = moved(setup, parameter.name, float(part) * parameter.half)
    off = row[len(numbers) :].reshape(-1, 2)
    weighings = tuple(
        Weighing(one.draw - float(mark) * steps[1], one.force + float(scale) * steps[0])
        for one, (scale, mark) in zip(setup.weighings, off, strict=True)
    )
    return replace(setup, weighings=weighings)


@pytest.mark.parametrize("name", ["all measured", "weighed twice"])
def test_small_errors_of_all_numbers_at_once_add_as_the_effects_do(name: str) -> None:
    """Errors of a tenth of what they may be, all at once: the sum of the effects tells what the bow found anew does.

    What several weighings do by scale and mark is one effect each: here it is found by NumPy's least squares, one by
    one, and must have that size.
    """
    run = made_run(name, 40, 0.1)
    listed = [effect for effect in run.case.listed if effect.parameter.name != "stretch"]
    by = np.array([as_numbers(effect.by) for effect in listed])
    foretold = np.tensordot(run.parts[:, : len(listed)], by, (1, 0))
    rest = run.found - foretold
    weighed = run.parts[:, len(listed) :]
    solved, *_ = np.linalg.lstsq(weighed, rest[:, 0, 0], rcond=None)
    for place, step in enumerate(("scale_step", "draw_step")):
        own = of(run.uncertainty, step).by.now.weight / LBF
        assert float(np.linalg.norm(solved[place::2])) == pytest.approx(own, rel=0.05), step
    left = rest[:, 0, 0] - weighed @ solved
    assert np.std(left) < 0.05 * np.std(run.found[:, 0, 0])
    for row in (1, 2):
        for column in (1, 2, 3):
            assert np.std(rest[:, row, column]) < 0.08 * np.std(run.found[:, row, column]), (row, column)


CHANGES: dict[str, tuple[tuple[float, float, float], Pair, bool]] = {
    "as it stands": ((1, 0, 0), (0.0, 0.0), True),
    "upper in": ((0, -1, 0), (-1.0, 0.0), False),
    "both in": ((0, -1, -1), (-1.0, -1.0), False),
    "after half a turn in and one out": ((1, -0.5, 1), (-0.5, 1.0), True),
}


@pytest.fixture(scope="module")
def whole_run() -> Run:
    return made_run("all measured", DRAWN, 1.0)


@pytest.mark.long
@pytest.mark.parametrize("turned", CHANGES)
def test_the_combined_uncertainty_is_that_of_a_monte_carlo_run(whole_run: Run, turned: str) -> None:
    """JCGM 101, clause 8: the GUM's law of propagation held against the spread of the drawn bows.

    A standard deviation of so many is itself good for 4.6 %; what does not go in proportion puts a few bows far out.
    """
    weights, change, whole = CHANGES[turned]
    spread = np.tensordot(np.array(weights), whole_run.found, (0, 1)) * SIZES
    for what, numbers in (
        ("weight", spread[:, 0]),
        ("brace_height", spread[:, 1]),
        ("tiller", spread[:, 2] - spread[:, 3]),
    ):
        combined = whole_run.uncertainty.budget_of(what, change, whole=whole).combined
        found = float(np.std(numbers, ddof=1))
        assert 0.8 * found < combined < 1.25 * found, what
        assert np.mean(np.abs(numbers) <= 2 * combined) > 0.9, what
        assert np.mean(np.abs(numbers) <= combined) < 0.8, what


# The band


DRAWS = (0.36, 0.44, 0.52, 0.60, 26.25 * INCH, 0.72)


def standard(found: Sensitivities) -> list[float]:
    return [found.standard(at) for at in range(len(found.outcomes))]


def test_at_the_weighed_draw_the_band_is_the_scales_alone_and_grows_away_from_it() -> None:
    bow = asked(MEASURED)
    fitted, found = bow.fitted, force_sensitivities(bow, DRAWS)
    weighed = DRAWS.index(26.25 * INCH)
    assert found.outcomes == tuple(
        pytest.approx(continuation.drawn(fitted.bow, fitted.rock, draw).force, rel=5e-5) for draw in DRAWS
    )
    alone = uncertainty_of(bow).budget_of("weight", (0.0, 0.0), whole=True).combined
    assert found.standard(weighed) == pytest.approx(alone, rel=1e-4)
    # What is more than the scale's part grows from there either way; with the string on the limb it is less again.
    more = [
        math.sqrt(max(0.0, uncertainty**2 - (alone / found.outcomes[weighed] * force) ** 2))
        for uncertainty, force in zip(standard(found), found.outcomes, strict=True)
    ]
    assert more[weighed] < 1e-3 * alone
    assert more[1 : weighed + 1] == sorted(more[1 : weighed + 1], reverse=True)
    assert more[weighed - 1] > alone
    assert more[weighed + 1] > alone


@pytest.mark.parametrize("name", ["all measured", "weighed twice"])
def test_the_band_is_put_together_of_bows_found_anew(name: str) -> None:
    """Each number a tenth of its half-width either way; the squares of the forces' differences over 3 (GUM)."""
    case = Case(RECORDS[name], FINE)
    fitted = case.asked.fitted
    square = math.fsum(one.force**2 for one in fitted.weighed)

    def forces(setup: Setup) -> Numbers:
        bow = case.search(setup)
        start = equilibrium.braced(bow, rock(setup, setup.now), steps=FINE, start=case.search.near)
        return np.array(
            [one.force for one in continuation.curve(bow, rock(setup, setup.now), DRAWS, steps=FINE, start=start)]
        )

    here = forces(case.setup)
    shares = []
    for effect in case.listed:
        moves, by = effect.parameter.name, 0.1 * effect.parameter.half
        back, ends = (here, 0.1) if moves == "stretch" else (forces(moved(case.setup, moves, -by)), 0.2)
        shares.append((forces(moved(case.setup, moves, by)) - back) / ends)
    for one in fitted.weighed:  # a weighing's part in the least squares is its own force's
        nearby = continuation.drawn(fitted.bow, fitted.rock, one.draw + 1e-4, start=one).force
        slope = (nearby - one.force) / 1e-4
        shares += [here * one.force / square * off for off in (0.5 * LBF, slope * 0.125 * INCH)]
    expected = np.sqrt(sum((each**2 for each in shares), np.zeros(len(DRAWS))) / 3)
    found = standard(force_sensitivities(case.asked, DRAWS))
    assert found == pytest.approx([float(each) for each in expected], rel=0.03)


def test_a_band_without_draw_lengths_is_empty() -> None:
    assert standard(force_sensitivities(asked(MEASURED), ())) == []


def test_a_band_beyond_the_bow_is_refused_as_is_said() -> None:
    with pytest.raises(FitError):
        force_sensitivities(asked(MEASURED), (0.5, 1.6))


# The steps


def test_a_turn_is_tried_inward_but_outward_at_the_inner_end() -> None:
    """At 0.4 turn out, a quarter in would leave the window; what a turn does is then found outward."""
    bow = asked(MEASURED | {"upper_now_turns": 0.4})
    assert bow.windows is not None
    assert bow.windows[0].holds(0.4)
    assert not bow.windows[0].holds(0.15)
    found = uncertainty_of(bow).response
    fitted, start = bow.fitted, as_it_is(bow.setup, bow.draw)
    rocked = bow.setup.rock((0.65, bow.setup.now[1]))
    braced = equilibrium.braced(fitted.bow, rocked, start=start.braced)
    there = numbers_of(braced, continuation.drawn(fitted.bow, rocked, bow.draw, start=start.drawn))
    here = numbers_of(start.braced, start.drawn)
    assert as_numbers(found)[1] == pytest.approx((there - here) / 0.25 / SIZES, rel=2e-3, abs=1e-3)
