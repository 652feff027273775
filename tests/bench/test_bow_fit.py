"""The reader's own bow from readings: bows are made, read as an archer would read them, and found again.

The default bow's readings and what a turn of either bolt does to it are those of model.md, section 4 (C: two solutions
agree to 1e-6). The readings of made-up bows are taken with finer steps than the fit uses (C). Least squares by NumPy
(C).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from quarterturn.bench.bow_fit import (
    BowReadings,
    FitError,
    FittedBow,
    Frame,
    LinearRefit,
    Weighing,
    fit,
    string_for,
    strung,
    turned,
)
from quarterturn.bench.stability import near_unloading
from quarterturn.mechanics import continuation, equilibrium
from quarterturn.mechanics.bow import Bow, BowError, BowString, Side
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.limb import Limb, LimbError, StepCounts
from quarterturn.mechanics.pocket import Pocket
from quarterturn.units import to_si

LBF = to_si(1.0, "lbf")
POCKET = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, 0.0254 / 24, 0.080)
FRAME = Frame(0.045, 0.315, 0.295, 0.565, 0.008, 0.7879 / 1.6458)
FULL = 26.25 * 0.0254
"""28 in by the AMO standard, from the pivot point (sources.md D)."""
FINE = StepCounts(60, 40)


def rock(upper: float, lower: float) -> tuple[float, float]:
    """The limbs' rock angles so many turns out from flush."""
    return rock_angle(POCKET, upper), rock_angle(POCKET, lower)


DEFAULT = BowReadings(rock(2, 2), 0.221958, 0.004, (Weighing(FULL, 37.9975 * LBF),))


@pytest.fixture(scope="module")
def default() -> FittedBow:
    return fit(FRAME, DEFAULT, 1.64)


def test_the_default_bow_is_found_from_three_readings(default: FittedBow) -> None:
    """Brace height, tiller and one weighing give string and both stiffnesses of model.md 4, as its digits allow."""
    string = default.bow.string
    assert string.upper + string.lower == pytest.approx(1.6458, abs=2e-6)
    assert default.ratio == pytest.approx(34.281 / 33.37, abs=1e-4)
    assert default.bow.upper.limb.stiffness == pytest.approx(33.37, abs=3e-3)
    assert default.bow.lower.limb.stiffness == pytest.approx(34.281, abs=3e-3)
    assert default.braced.tension == pytest.approx(302.987, abs=0.05)
    assert default.braced.brace_height == pytest.approx(0.221958, abs=1e-7)
    assert default.braced.belly_tiller == pytest.approx(0.004, abs=1e-7)
    assert default.off == pytest.approx((0.0,), abs=1e-9)


@pytest.mark.parametrize(("draw", "force"), [(14, 11.6148), (18, 20.1527), (22, 26.7715), (26, 33.9148), (30, 42.5939)])
def test_it_foretells_the_other_draw_lengths(default: FittedBow, draw: float, force: float) -> None:
    """model.md 4: the force at the draw lengths that were not weighed."""
    found = turned(default, default.rock, (draw - 1.75) * 0.0254)
    assert found.drawn.force / LBF == pytest.approx(force, abs=2e-3)


@pytest.mark.parametrize(
    ("turns", "weight", "brace", "tiller"),
    [((1, 2), 0.4207, -0.783, -4.665), ((2, 1), 0.4445, -1.080, 5.008), ((1, 1), 0.8648, -1.812, 0.360)],
    ids=["upper in", "lower in", "both in"],
)
def test_it_foretells_what_one_turn_in_does(
    default: FittedBow, turns: tuple[float, float], weight: float, brace: float, tiller: float
) -> None:
    """model.md 4, the last line of the default bow: pounds, and millimetres of brace height and tiller."""
    found = turned(default, rock(*turns), FULL)
    assert found.drawn.force / LBF - 37.9975 == pytest.approx(weight, abs=2e-4)
    assert 1000 * (found.braced.brace_height - default.braced.brace_height) == pytest.approx(brace, abs=1e-3)
    assert 1000 * (found.braced.tiller - default.braced.tiller) == pytest.approx(tiller, abs=2e-3)


def made(string: float, stiffness: float, ratio: float, frame: Frame) -> Bow:
    """A bow of this frame, put together apart from the fit (model.md, section 4)."""
    root, taper = frame.root_distance, frame.taper
    length = frame.limb_length - root

    def side(fulcrum: float, ei: float) -> Side:
        limb = Limb(length, ei, taper, frame.inner_curvature, frame.recurve_curvature, length - frame.recurve)
        return Side(limb, frame.fulcrum_x, fulcrum, frame.flush_angle, frame.limb_depth, root, frame.limb_depth)

    stretches = 1 / frame.stretch if frame.stretch else None
    parts = BowString(string * frame.upper_part, string * (1 - frame.upper_part), stretches)
    return Bow(side(frame.upper_fulcrum, stiffness), side(frame.lower_fulcrum, ratio * stiffness), parts)


def read_off(bow: Bow, turns: tuple[float, float], draws: tuple[float, ...]) -> BowReadings:
    """What a tape and a scale would read, computed with finer steps than the fit's."""
    strung = equilibrium.braced(bow, rock(*turns), steps=FINE)
    pulled = continuation.curve(bow, rock(*turns), draws, steps=FINE, start=strung)
    weighings = tuple(Weighing(one.draw, one.force) for one in pulled)
    return BowReadings(rock(*turns), strung.brace_height, strung.belly_tiller, weighings)


@settings(max_examples=25)
@given(
    string=st.floats(1.62, 1.655),
    stiffness=st.floats(15, 60),
    ratio=st.floats(0.94, 1.1),
    upper=st.floats(0.3, 4),
    lower=st.floats(0.3, 4),
    depth=st.floats(0.006, 0.010),
    begin=st.floats(1.61, 1.66),
)
def test_a_made_up_bow_is_found_again(
    string: float, stiffness: float, ratio: float, upper: float, lower: float, depth: float, begin: float
) -> None:
    frame = Frame(0.045, 0.315, 0.295, 0.565, depth, 0.479)
    try:
        measured = read_off(made(string, stiffness, ratio, frame), (upper, lower), (0.45, 0.6))
    except (BowError, LimbError):
        assume(False)
        raise AssertionError("unreachable") from None
    found = fit(frame, measured, begin)
    assert found.bow.string.upper + found.bow.string.lower == pytest.approx(string, abs=5e-5)
    assert found.ratio == pytest.approx(ratio, abs=2e-3)
    assert found.bow.upper.limb.stiffness == pytest.approx(stiffness, rel=2e-3)
    assert max(map(abs, found.off)) < 1e-3 * measured.weighings[-1].force


def test_stiffness_goes_with_the_weight_and_nothing_else() -> None:
    """sources.md B5: forces scale with EI; twice the weight at the same brace height is twice the stiffness."""
    heavy = fit(FRAME, BowReadings(DEFAULT.rock, 0.221958, 0.004, (Weighing(FULL, 2 * 37.9975 * LBF),)), 1.64)
    plain = fit(FRAME, DEFAULT, 1.64)
    assert heavy.bow.upper.limb.stiffness == pytest.approx(2 * plain.bow.upper.limb.stiffness, rel=1e-12)
    assert heavy.ratio == plain.ratio
    assert heavy.bow.string == plain.bow.string


def test_several_weighings_are_met_by_least_squares() -> None:
    """Two readings that no bow meets both: moving the stiffness either way makes the squares' sum larger."""
    weighings = (Weighing(0.5, 27.0 * LBF), Weighing(FULL, 40.0 * LBF))
    found = fit(FRAME, BowReadings(DEFAULT.rock, 0.221958, 0.004, weighings), 1.64)
    assert found.off[0] * found.off[1] < 0
    least = math.fsum(each**2 for each in found.off)
    for factor in (0.999, 1.001):
        moved = made(
            found.bow.string.upper + found.bow.string.lower,
            factor * found.bow.upper.limb.stiffness,
            found.ratio,
            FRAME,
        )
        forces = [continuation.drawn(moved, DEFAULT.rock, one.draw).force for one in weighings]
        assert math.fsum((one.force - force) ** 2 for one, force in zip(weighings, forces, strict=True)) > least


@pytest.mark.parametrize(
    ("brace", "tiller", "reading"),
    [(0.60, 0.004, "brace_height"), (0.01, 0.004, "brace_height"), (0.222, 0.25, "brace_height")],
    ids=["far too high", "hardly any", "a tiller of no bow"],
)
def test_readings_of_no_bow_are_refused_with_a_sentence(brace: float, tiller: float, reading: str) -> None:
    with pytest.raises(FitError) as caught:
        fit(FRAME, BowReadings(DEFAULT.rock, brace, tiller, DEFAULT.weighings), 1.64)
    assert caught.value.reading == reading
    assert str(caught.value).endswith(".")


def test_a_draw_of_no_bow_is_refused_with_a_sentence(default: FittedBow) -> None:
    with pytest.raises(FitError) as caught:
        fit(FRAME, BowReadings(DEFAULT.rock, 0.221958, 0.004, (Weighing(1.6, 170.0),)), 1.64)
    assert caught.value.reading == "draw_weight"
    with pytest.raises(FitError) as caught:
        turned(default, default.rock, 1.6)
    assert caught.value.reading == "turns"


# What is foretold of weight


@pytest.mark.parametrize("pounds", [5, 7.5, 10, 12, 14, 17, 24, 38, 50, 60, 67, 89, 120])
def test_a_bow_of_any_weight_is_found(default: FittedBow, pounds: float) -> None:
    """sources.md B5: forces scale with EI, so that each bow of this shape is the default bow with other stiffness."""
    found = fit(FRAME, replace(DEFAULT, weighings=(Weighing(FULL, pounds * LBF),)), 1.64)
    assert found.bow.upper.limb.stiffness == pytest.approx(33.37 * pounds / 37.9975, rel=1e-4)
    assert found.braced.tension == pytest.approx(302.987 * pounds / 37.9975, rel=2e-4)
    assert found.off == pytest.approx((0.0,), abs=1e-8)
    assert turned(found, found.rock, 0.5).drawn.force == pytest.approx(
        turned(default, default.rock, 0.5).drawn.force * pounds / 37.9975, rel=1e-7
    )


WEIGHED = tuple(Weighing(draw, force * LBF) for draw, force in ((0.5, 27), (FULL, 40), (0.6, 33.2), (0.6, 34.1)))


def test_weighings_are_met_by_least_squares_in_any_order() -> None:
    """The bow's forces go with its stiffness: NumPy's least squares tells for which they are nearest."""
    found = fit(FRAME, replace(DEFAULT, weighings=WEIGHED), 1.64)
    unit = made(found.string, 1.0, found.ratio, FRAME)
    forces = [continuation.drawn(unit, DEFAULT.rock, one.draw).force for one in WEIGHED]
    (stiffness,), *_ = np.linalg.lstsq(np.array([forces]).T, np.array([one.force for one in WEIGHED]), rcond=None)
    assert found.bow.upper.limb.stiffness == pytest.approx(float(stiffness), rel=1e-7)
    assert found.off == pytest.approx(
        [one.force - float(stiffness) * force for one, force in zip(WEIGHED, forces, strict=True)], abs=1e-5
    )
    assert [one.draw for one in found.weighed] == [one.draw for one in WEIGHED]
    turned_round = fit(FRAME, replace(DEFAULT, weighings=WEIGHED[::-1]), 1.64)
    assert turned_round.off == pytest.approx(found.off[::-1], abs=1e-9)
    assert turned_round.bow.upper.limb.stiffness == pytest.approx(found.bow.upper.limb.stiffness, rel=1e-12)


# The string that gives a brace height back


@pytest.mark.parametrize("turns", [(1, 1), (3.5, 0.5), (2, 2)])
@pytest.mark.parametrize("brace", [0.205, 0.221958, 0.238])
def test_the_string_gives_the_brace_height_when_the_bow_is_solved_anew(
    default: FittedBow, turns: tuple[float, float], brace: float
) -> None:
    string = string_for(default, rock(*turns), brace)
    bow = made(string, default.bow.upper.limb.stiffness, default.ratio, FRAME)
    assert equilibrium.braced(bow, rock(*turns)).brace_height == pytest.approx(brace, abs=1.1e-7)
    # A shorter string stands farther from the grip.
    longer = made(string + 1e-3, default.bow.upper.limb.stiffness, default.ratio, FRAME)
    assert equilibrium.braced(longer, rock(*turns)).brace_height < brace - 1e-4


def test_a_brace_height_that_no_string_gives_is_refused(default: FittedBow) -> None:
    for brace in (0.01, 0.6):
        with pytest.raises(FitError) as caught:
            string_for(default, rock(2, 2), brace)
        assert str(caught.value).endswith(".")


# Near the edge


def test_near_the_edge_the_bow_gives_way_along_the_string() -> None:
    """model.md 4: as limbs are set back, tiller per turn grows without bound and the least stiffness goes to nothing.

    Away from there it is what two cords of tension T hold across, T(1/S_u + 1/S_l) (any textbook on strings, M).
    """
    bent = replace(FRAME, inner_curvature=-0.4)
    per_turn = []
    for lean in (0.10, 0.03, -0.01, -0.05, -0.09):
        found = fit(replace(bent, flush_angle=lean), DEFAULT, 1.64)
        there = strung(found.bow, rock(1.75, 2), near=found.braced)
        per_turn.append(abs(there.belly_tiller - found.braced.belly_tiller) * 4)
        halves = found.braced.upper, found.braced.lower
        across = sum(half.tension / half.free_length for half in halves)
        if lean >= 0.03:
            assert found.braced.least_stiffness == pytest.approx(across, rel=0.1)
        assert near_unloading(found.braced) is (lean < -0.03)
        assert near_unloading(found.braced) is (per_turn[-1] > 0.0115)
    assert per_turn == sorted(per_turn)
    with pytest.raises(FitError):
        fit(replace(bent, flush_angle=-0.13), DEFAULT, 1.64)


# What a small difference does

Move = Callable[[Frame, BowReadings, float], tuple[Frame, BowReadings]]


def _of_frame(name: str) -> Move:
    return lambda frame, read, more: (replace(frame, **{name: getattr(frame, name) + more}), read)


PERTURBED: dict[str, tuple[float, Move]] = {
    "fulcrum_x": (2e-4, _of_frame("fulcrum_x")),
    "upper_fulcrum": (1e-3, _of_frame("upper_fulcrum")),
    "lower_fulcrum": (1e-3, _of_frame("lower_fulcrum")),
    "limb_length": (1e-3, _of_frame("limb_length")),
    "limb_depth": (2e-4, _of_frame("limb_depth")),
    "upper_part": (1e-3, _of_frame("upper_part")),
    "taper": (1e-2, _of_frame("taper")),
    "inner_curvature": (2e-2, _of_frame("inner_curvature")),
    "recurve_curvature": (0.1, _of_frame("recurve_curvature")),
    "recurve": (1e-3, _of_frame("recurve")),
    "root_distance": (1e-3, _of_frame("root_distance")),
    "brace_height": (2e-4, lambda frame, read, more: (frame, replace(read, brace_height=read.brace_height + more))),
    "tiller": (1e-4, lambda frame, read, more: (frame, replace(read, tiller=read.tiller + more))),
    "upper rock": (2e-4, lambda frame, read, more: (frame, replace(read, rock=(read.rock[0] + more, read.rock[1])))),
    "lower rock": (2e-4, lambda frame, read, more: (frame, replace(read, rock=(read.rock[0], read.rock[1] + more)))),
    "force": (1.0, lambda frame, read, more: (frame, replace(read, weighings=_weighed(read, 0.0, more)))),
    "draw": (1e-3, lambda frame, read, more: (frame, replace(read, weighings=_weighed(read, more, 0.0)))),
}
"""How to move every number that a bow is found from, and by how much."""


def _weighed(read: BowReadings, draw: float, force: float) -> tuple[Weighing, ...]:
    first, *others = read.weighings
    return (Weighing(first.draw + draw, first.force + force), *others)


def found_numbers(bow: Bow) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """What is found, each as a part of what it may move by: string, ratio, stiffness."""
    upper, lower, string = bow.upper, bow.lower, bow.string
    return np.array(
        [
            (string.upper + string.lower) / 1e-3,
            lower.limb.stiffness / upper.limb.stiffness / 1e-2,
            upper.limb.stiffness / 0.3,
        ]
    )


@pytest.mark.parametrize("name", PERTURBED)
def test_to_first_order_a_refit_is_a_full_fit(name: str) -> None:
    """Central differences, of a step with the known derivatives and of a search from nothing."""
    by, move = PERTURBED[name]
    read = replace(DEFAULT, weighings=WEIGHED)
    found = fit(FRAME, read, 1.64)
    step = [found_numbers(LinearRefit(found).refit(*move(found.frame, read, more))) for more in (by, -by)]
    whole = [found_numbers(fit(*move(found.frame, read, more), 1.64).bow) for more in (by, -by)]
    difference, expected = step[0] - step[1], whole[0] - whole[1]
    assert np.abs(expected).max() > 1e-3 or name == "upper_part"
    assert difference == pytest.approx(expected, rel=0.02, abs=0.01 * np.abs(expected).max() + 1e-4)


def test_a_refit_with_nothing_moved_is_the_bow_itself(default: FittedBow) -> None:
    assert found_numbers(LinearRefit(default).refit(FRAME, DEFAULT)) == pytest.approx(
        found_numbers(default.bow), abs=1e-3
    )


def test_the_derivatives_are_those_of_the_bow_that_was_found(default: FittedBow) -> None:
    """Central differences of the readings by string and stiffness of bows put together apart from the fit."""
    string, log_ratio, stiffness = default.string, math.log(default.ratio), default.bow.upper.limb.stiffness

    def reads(longer: float, more: float) -> tuple[float, float]:
        bow = made(string + longer, stiffness, math.exp(log_ratio + more), FRAME)
        braced = equilibrium.braced(bow, DEFAULT.rock)
        return braced.brace_height, braced.belly_tiller

    for column, by in enumerate(((1e-4, 0.0), (0.0, 1e-3))):
        there, back = reads(*by), reads(-by[0], -by[1])
        slopes = [(one - other) / (2 * max(by)) for one, other in zip(there, back, strict=True)]
        assert [row[column] for row in default.jacobian] == pytest.approx(slopes, rel=0.02, abs=1e-3)


def test_a_string_that_stretches_is_found_for_the_tension_that_it_has() -> None:
    """The bow that is found gives the readings; a string of 2e-5 to the newton is 10 mm longer at 300 N."""
    heavy = replace(DEFAULT, weighings=(Weighing(FULL, 60 * LBF),))
    found = fit(replace(FRAME, stretch=2e-5), heavy, 1.64)
    assert found.braced.brace_height == pytest.approx(heavy.brace_height, abs=1e-6)
    assert found.off == pytest.approx((0.0,), abs=1e-3)
