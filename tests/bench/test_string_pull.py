"""The string's pull: rigid limbs of checks.md B4, the default bow of model.md 4, virtual work, SciPy's own triangle."""

import math
from dataclasses import replace

import mpmath
import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st
from scipy.optimize import fsolve

from quarterturn.bench import string_pull
from quarterturn.bench.string_pull import Geometry, PullError

LBF = 4.4482216152605  # N (NIST SP 811)
INCH = 0.0254
SOME = settings(max_examples=100, deadline=None, derandomize=True)

# model.md 4: drawn to 28 in AMO, 26.25 in from the pivot; fulcrums at 0.315 and −0.295, half strings 0.7879 and 0.8579
DEFAULT = Geometry(26.25 * INCH, 0.045, 0.315 + 0.295, 0.7879 + 0.8579, 0.555)
WEIGHT = 37.9975 * LBF


# Rigid limbs on elastic hinges, checks.md B4 (C; the model of Hickman 1937)

HINGES = [  # b m, φ rad, string angle from the grip's line rad, tension N, F N, as printed
    (0.30, "0.39544864", "0.10869923", "74.42091", 16.147149),
    (0.40, "0.44694979", "0.20112068", "67.31028", 26.892820),
    (0.50, "0.51327492", "0.28696881", "65.03090", 36.813513),
    (0.60, "0.58945854", "0.37064908", "65.40973", 47.385495),
    (0.66, "0.63912657", "0.42092335", "66.60220", 54.427764),
]


def agrees(value: float, printed: str) -> bool:
    """Say whether the value is what was printed, one unit of its last digit either way: the inputs are rounded too."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 1.01 * 10.0**-digits


@pytest.mark.parametrize(("draw", "limb_angle", "string_angle", "tension", "force"), HINGES)
def test_rigid_limbs_on_hinges(draw: float, limb_angle: str, string_angle: str, tension: str, force: float) -> None:
    # limb 0.55 m from a hinge of 50 N m/rad at 0.30 m, half string 0.8123475383 m; a rigid limb is its own chord
    bow = Geometry(draw, 0.0, 0.60, 2 * 0.8123475383, 0.55)
    found = string_pull.triangle(bow, 1.0)
    assert agrees(math.atan2(found.tip_x, found.tip_y - 0.30), limb_angle)
    assert agrees(math.pi / 2 - found.angle, string_angle)
    pulled = string_pull.tension(force, found.angle)
    assert agrees(pulled, tension)
    # the hinge's moment 50·φ is the string's, with φ from the printed row
    assert pulled * found.lever == pytest.approx(50 * float(limb_angle), rel=2e-7)


# The default bow, whose limbs bend


def test_default_bow() -> None:  # model.md 4 (C: elastic lines, two independent solutions)
    found = string_pull.pull(WEIGHT, DEFAULT)
    for moment in (91.694, 93.841):
        assert found.low < moment < found.high
        assert found.moment == pytest.approx(moment, rel=0.1)
    assert found.moment == found.tension * found.lever
    assert found.tension * math.cos(found.angle) * 2 == pytest.approx(WEIGHT, rel=1e-12)


def test_what_the_assumed_chord_may_be_wrong_by() -> None:  # the width that is told to the archer: about 15 % each way
    found = string_pull.pull(WEIGHT, DEFAULT)
    assert 0.83 < found.low / found.moment < 0.90
    assert 1.12 < found.high / found.moment < 1.18


# Against two circles and against virtual work


@st.composite
def bows(draw: st.DrawFn) -> Geometry:
    """A bow made from the bend of its limbs, so that the string is one that can be."""
    length, half, ahead = draw(st.floats(0.3, 0.8)), draw(st.floats(0.1, 0.4)), draw(st.floats(-0.1, 0.1))
    bent, ratio = draw(st.floats(0.1, 1.3)), draw(st.sampled_from([0.9, 0.95, 1.0]))
    tip_x, tip_y = ahead + ratio * length * math.sin(bent), half + ratio * length * math.cos(bent)
    angle = draw(st.floats(0.5, 1.5))
    string = tip_y / math.sin(angle)
    try:
        return Geometry(tip_x + string * math.cos(angle), ahead, 2 * half, 2 * string, length)
    except PullError as error:
        refused = error
    assert refused.parameter in ("draw", "string_length")
    reject()
    raise refused


def found_by_scipy(bow: Geometry, ratio: float, start: tuple[float, float]) -> tuple[float, float]:
    """The tip on two circles, by fsolve (mark C)."""

    def misses(tip: tuple[float, float]) -> list[float]:
        from_fulcrum = math.hypot(tip[0] - bow.fulcrum_x, tip[1] - bow.fulcrum_span / 2)
        from_nock = math.hypot(tip[0] - bow.draw, tip[1])
        return [from_fulcrum - ratio * bow.tip_length, from_nock - bow.string_length / 2]

    x, y = fsolve(misses, start, xtol=1e-13)
    return float(x), float(y)


@pytest.mark.parametrize("draw", [0.5, 0.6, 0.66675, 0.72])
@pytest.mark.parametrize("ratio", [0.9, 0.95, 1.0])
def test_tip_of_scipy(draw: float, ratio: float) -> None:
    bow = replace(DEFAULT, draw=draw)
    x, y = found_by_scipy(bow, ratio, (0.2, 0.8))
    found = string_pull.triangle(bow, ratio)
    assert (found.tip_x, found.tip_y) == pytest.approx((x, y), rel=1e-9)
    # lever and angle from points as complex numbers
    string = complex(x, y) - complex(draw, 0)
    fulcrum = complex(bow.fulcrum_x, bow.fulcrum_span / 2) - complex(draw, 0)
    assert found.lever == pytest.approx(abs((string.conjugate() * fulcrum).imag) / abs(string), rel=1e-9)
    assert math.cos(found.angle) == pytest.approx(-string.real / abs(string), rel=1e-9)


@SOME
@given(bows(), st.sampled_from([0.9, 0.95, 1.0]), st.floats(20, 300))
def test_virtual_work(bow: Geometry, ratio: float, weight: float) -> None:
    # (C) with the string inextensible F·dD = 2·M·dθ, so M = F/2·dD/dθ: no tension and no lever in it (mpmath's diff)
    try:
        found = string_pull.triangle(bow, ratio)
    except PullError:
        reject()
    assume(found.angle < 1.5)
    half, chord, string = bow.fulcrum_span / 2, ratio * bow.tip_length, bow.string_length / 2
    bent = mpmath.atan2(found.tip_x - bow.fulcrum_x, found.tip_y - half)

    def drawn(angle: mpmath.mpf) -> mpmath.mpf:
        up = half + chord * mpmath.cos(angle)
        return bow.fulcrum_x + chord * mpmath.sin(angle) + mpmath.sqrt(string**2 - up**2)

    with mpmath.workdps(30):
        assert float(drawn(bent)) == pytest.approx(bow.draw, rel=1e-9)
        moment = float(weight / 2 * mpmath.diff(drawn, bent))
    assert string_pull.tension(weight, found.angle) * found.lever == pytest.approx(moment, rel=1e-6)


@SOME
@given(bows(), st.floats(20, 300), st.floats(0.2, 3))
def test_pull_scales_with_the_weight_and_lies_in_its_bounds(bow: Geometry, weight: float, times: float) -> None:
    try:
        one, many = string_pull.pull(weight, bow), string_pull.pull(times * weight, bow)
    except PullError as error:
        refused = error
        assert refused.parameter in ("draw", "string_length", "tip_length")
        reject()
    assert one.low <= one.moment <= one.high
    assert one.low < one.high
    assert one.tension > weight / 2
    assert (many.angle, many.lever) == (one.angle, one.lever)
    for name in ("tension", "moment", "low", "high"):
        assert getattr(many, name) == pytest.approx(times * getattr(one, name), rel=1e-12)


# What cannot be

ANY = (math.nan, math.inf, -math.inf)
RANGES = [
    ("draw", "The draw length from the pivot point must be from 50 to 1500 mm.", (*ANY, 0.0, -0.6, 26.25)),
    ("fulcrum_x", "The fulcrums' distance from the pivot point must be from -300 to 300 mm.", (*ANY, -0.4, 45.0)),
    ("fulcrum_span", "The distance from fulcrum to fulcrum must be from 50 to 1500 mm.", (*ANY, 0.0, -0.6, 610.0)),
    ("string_length", "The string's length must be from 200 to 4000 mm.", (*ANY, 0.0, -1.6, 1645.8)),
    ("tip_length", "The distance from fulcrum to tip must be from 100 to 1500 mm.", (*ANY, 0.0, -0.5, 555.0)),
]


@pytest.mark.parametrize(
    ("name", "sentence", "bad"), [(name, sentence, bad) for name, sentence, many in RANGES for bad in many]
)
def test_dimensions_out_of_range(name: str, sentence: str, bad: float) -> None:
    with pytest.raises(PullError) as caught:
        replace(DEFAULT, **{name: bad})
    assert caught.value.parameter == name
    assert str(caught.value) == sentence


def test_a_draw_that_does_not_come_past_the_fulcrums() -> None:
    with pytest.raises(PullError) as caught:
        replace(DEFAULT, draw=0.2, fulcrum_x=0.2)
    assert caught.value.parameter == "draw"
    assert str(caught.value) == (
        "The nocking point must lie nearer the archer than the fulcrums: the draw length from the pivot point must be"
        " more than 200 mm."
    )


@pytest.mark.parametrize("bad", [*ANY, 0.0, -1.0, 1000.1, 1e308])
def test_a_weight_that_cannot_be(bad: float) -> None:
    with pytest.raises(PullError) as caught:
        string_pull.pull(bad, DEFAULT)
    assert caught.value.parameter == "weight"
    assert str(caught.value) == "Draw weight must be a force of more than 0 and at most 1000 N."


def test_a_string_too_short() -> None:
    # (C) at the shortest the limb of 0.9 · 0.555 m lies along X: the tip at (0.5445, 0.305), 2·hypot(0.12225, 0.305)
    least = 2 * math.hypot(0.66675 - 0.5445, 0.305)
    with pytest.raises(PullError) as caught:
        string_pull.pull(WEIGHT, replace(DEFAULT, string_length=least - 1e-9))
    assert caught.value.parameter == "string_length"
    assert str(caught.value) == (
        "The string is too short to reach from the tips to the nocking point at this draw length: it must be longer"
        f" than {least * 1000:.6g} mm."
    )
    assert string_pull.pull(WEIGHT, replace(DEFAULT, string_length=least + 1e-6)).moment > 0


def test_a_string_too_long() -> None:
    # (C) at the longest the limb of 0.9 · 0.555 m stands upright: the tip at (0.045, 0.8045)
    most = 2 * math.hypot(0.66675 - 0.045, 0.305 + 0.4995)
    with pytest.raises(PullError) as caught:
        string_pull.pull(WEIGHT, replace(DEFAULT, string_length=most + 1e-9))
    assert caught.value.parameter == "string_length"
    assert str(caught.value) == (
        "The string is longer than tips and fulcrums allow and would be slack at this draw length: it must be shorter"
        f" than {most * 1000:.6g} mm."
    )
    assert string_pull.pull(WEIGHT, replace(DEFAULT, string_length=most - 1e-6)).moment > 0


def test_a_string_that_is_straight() -> None:
    # (C) braced: the tips of 0.555 m limbs bent by 0.3 rad, the string straight between them
    tip_x, tip_y = 0.045 + 0.555 * math.sin(0.3), 0.305 + 0.555 * math.cos(0.3)
    braced = Geometry(tip_x, 0.045, 0.61, 2 * tip_y, 0.555)
    sentence = (
        "At this draw length the string would be straight, as when braced, or bent away from the archer: the draw"
        " length must be more, or the string longer."
    )
    for bow in (braced, replace(braced, draw=tip_x - 0.02)):
        with pytest.raises(PullError) as caught:
            string_pull.triangle(bow, 1.0)
        assert caught.value.parameter == "draw"
        assert str(caught.value) == sentence
    assert string_pull.triangle(replace(braced, draw=tip_x + 0.02), 1.0).angle < math.pi / 2
    assert string_pull.triangle(replace(braced, string_length=2 * tip_y + 0.02), 1.0).angle < math.pi / 2


def test_limbs_too_long_for_the_draw() -> None:
    with pytest.raises(PullError) as caught:
        string_pull.pull(WEIGHT, Geometry(0.06, 0.05, 0.05, 1.0, 1.5))
    assert caught.value.parameter == "tip_length"
    assert str(caught.value) == (
        "The limbs are too long for this draw length: no string would bend them. The distance from fulcrum to tip must"
        " be less."
    )


@pytest.mark.parametrize("bad", [*ANY, 0.0, 0.49, 1.01, -1.0])
def test_a_chord_that_cannot_be(bad: float) -> None:
    with pytest.raises(PullError) as caught:
        string_pull.triangle(DEFAULT, bad)
    assert caught.value.parameter == "ratio"
    assert str(caught.value) == "The ratio of the bent limb's chord to its length must be from 0.5 to 1."


@pytest.mark.parametrize("bad", [*ANY, -0.1, math.pi / 2])
def test_an_angle_that_cannot_be(bad: float) -> None:
    with pytest.raises(PullError) as caught:
        string_pull.tension(WEIGHT, bad)
    assert caught.value.parameter == "angle"
    assert str(caught.value) == (
        "The string must not be straight: its angle to the draw must be from 0 to 89.4 degrees."
    )
