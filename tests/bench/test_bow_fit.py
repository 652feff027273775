"""The reader's own bow from readings: bows are made, read as an archer would read them, and found again.

The default bow's readings and what a turn of either bolt does to it are those of model.md, section 4 (C: two solutions
agree to 1e-6). The readings of made-up bows are taken with finer steps than the fit uses (C).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from quarterturn.bench.bow_fit import FitError, Fitted, Frame, Measured, Weighing, fit, turned
from quarterturn.mechanics import bow as bows
from quarterturn.mechanics.bow import Bow, BowError, BowString, Side
from quarterturn.mechanics.limb import Limb, LimbError, Steps
from quarterturn.mechanics.pocket import Pocket, rock_angle
from quarterturn.units import to_si

LBF = to_si(1.0, "lbf")
POCKET = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, 0.0254 / 24, 0.080)
FRAME = Frame(0.045, 0.315, 0.295, 0.565, 0.008, 0.7879 / 1.6458)
FULL = 26.25 * 0.0254
"""28 in by the AMO standard, from the pivot point (checks.md D)."""
FINE = Steps(60, 40)


def rock(upper: float, lower: float) -> tuple[float, float]:
    """The limbs' rock angles so many turns out from flush."""
    return rock_angle(POCKET, upper), rock_angle(POCKET, lower)


DEFAULT = Measured(rock(2, 2), 0.221958, 0.004, (Weighing(FULL, 37.9975 * LBF),))


@pytest.fixture(scope="module")
def default() -> Fitted:
    return fit(FRAME, DEFAULT, 1.64)


def test_the_default_bow_is_found_from_three_readings(default: Fitted) -> None:
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
def test_it_foretells_the_other_draw_lengths(default: Fitted, draw: float, force: float) -> None:
    """model.md 4: the force at the draw lengths that were not weighed."""
    found = turned(default, default.rock, (draw - 1.75) * 0.0254)
    assert found.drawn.force / LBF == pytest.approx(force, abs=2e-3)


@pytest.mark.parametrize(
    ("turns", "weight", "brace", "tiller"),
    [((1, 2), 0.4207, -0.783, -4.665), ((2, 1), 0.4445, -1.080, 5.008), ((1, 1), 0.8648, -1.812, 0.360)],
    ids=["upper in", "lower in", "both in"],
)
def test_it_foretells_what_one_turn_in_does(
    default: Fitted, turns: tuple[float, float], weight: float, brace: float, tiller: float
) -> None:
    """model.md 4, the last line of the default bow: pounds, and millimetres of brace height and tiller."""
    found = turned(default, rock(*turns), FULL)
    assert found.drawn.force / LBF - 37.9975 == pytest.approx(weight, abs=2e-4)
    assert 1000 * (found.braced.brace_height - default.braced.brace_height) == pytest.approx(brace, abs=1e-3)
    assert 1000 * (found.braced.tiller - default.braced.tiller) == pytest.approx(tiller, abs=2e-3)


def made(string: float, stiffness: float, ratio: float, frame: Frame) -> Bow:
    """A bow with limbs of the default shape, put together apart from the fit."""
    length = frame.limb_length - 0.030

    def side(fulcrum: float, ei: float) -> Side:
        limb = Limb(length, ei, 0.5, 0.2, -7.0, length - 0.17)
        return Side(limb, frame.fulcrum_x, fulcrum, 0.030, frame.limb_depth, 0.030, frame.limb_depth)

    parts = BowString(string * frame.upper_part, string * (1 - frame.upper_part))
    return Bow(side(frame.upper_fulcrum, stiffness), side(frame.lower_fulcrum, ratio * stiffness), parts)


def read_off(bow: Bow, turns: tuple[float, float], draws: tuple[float, ...]) -> Measured:
    """What a tape and a scale would read, computed with finer steps than the fit's."""
    strung = bows.braced(bow, rock(*turns), steps=FINE)
    pulled = bows.curve(bow, rock(*turns), draws, steps=FINE, start=strung)
    weighings = tuple(Weighing(one.draw, one.force) for one in pulled)
    return Measured(rock(*turns), strung.brace_height, strung.belly_tiller, weighings)


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
    """checks.md B5: forces scale with EI; twice the weight at the same brace height is twice the stiffness."""
    heavy = fit(FRAME, Measured(DEFAULT.rock, 0.221958, 0.004, (Weighing(FULL, 2 * 37.9975 * LBF),)), 1.64)
    plain = fit(FRAME, DEFAULT, 1.64)
    assert heavy.bow.upper.limb.stiffness == pytest.approx(2 * plain.bow.upper.limb.stiffness, rel=1e-12)
    assert heavy.ratio == plain.ratio
    assert heavy.bow.string == plain.bow.string


def test_several_weighings_are_met_by_least_squares() -> None:
    """Two readings that no bow meets both: moving the stiffness either way makes the squares' sum larger."""
    weighings = (Weighing(0.5, 27.0 * LBF), Weighing(FULL, 40.0 * LBF))
    found = fit(FRAME, Measured(DEFAULT.rock, 0.221958, 0.004, weighings), 1.64)
    assert found.off[0] * found.off[1] < 0
    least = math.fsum(each**2 for each in found.off)
    for factor in (0.999, 1.001):
        moved = made(
            found.bow.string.upper + found.bow.string.lower,
            factor * found.bow.upper.limb.stiffness,
            found.ratio,
            FRAME,
        )
        forces = [bows.drawn(moved, DEFAULT.rock, one.draw).force for one in weighings]
        assert math.fsum((one.force - force) ** 2 for one, force in zip(weighings, forces, strict=True)) > least


@pytest.mark.parametrize(
    ("brace", "tiller", "reading"),
    [(0.60, 0.004, "brace_height"), (0.01, 0.004, "brace_height"), (0.222, 0.25, "brace_height")],
    ids=["far too high", "hardly any", "a tiller of no bow"],
)
def test_readings_of_no_bow_are_refused_with_a_sentence(brace: float, tiller: float, reading: str) -> None:
    with pytest.raises(FitError) as caught:
        fit(FRAME, Measured(DEFAULT.rock, brace, tiller, DEFAULT.weighings), 1.64)
    assert caught.value.reading == reading
    assert str(caught.value).endswith(".")


def test_a_draw_of_no_bow_is_refused_with_a_sentence(default: Fitted) -> None:
    with pytest.raises(FitError) as caught:
        fit(FRAME, Measured(DEFAULT.rock, 0.221958, 0.004, (Weighing(1.6, 170.0),)), 1.64)
    assert caught.value.reading == "draw_weight"
    with pytest.raises(FitError) as caught:
        turned(default, default.rock, 1.6)
    assert caught.value.reading == "turns"
