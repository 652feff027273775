"""The nocking point over square before and after a turn, against plane geometry done with vectors (C).

Outside methods: the foot of a perpendicular on the line through the two ends of the string, with NumPy; a rigid motion
changes no distance; each parameter's share from a bow that is found anew with finer steps and from both sides.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.asking import COMPLETE, values
from quarterturn.bench import bow_fit, nocking
from quarterturn.bench.bow_inputs import BowInputs, bow_inputs
from quarterturn.bench.bow_numbers import moved
from quarterturn.bench.bow_setup import Pair, strung
from quarterturn.bench.nocking import NockingReading, Rest, over_square, rest_of
from quarterturn.bench.uncertainty import Budget
from quarterturn.mechanics.bow import BracedBow
from quarterturn.widgets.tiller.form import ASKED

MM = 1e-3
READ = NockingReading(over=8 * MM, x=0.0, x_off=20 * MM)
TURNS: tuple[Pair, ...] = ((-1.0, 0.0), (0.0, -1.0), (-1.0, -1.0), (-1.0, 1.0), (0.5, 0.0), (-0.5, 0.25))


@pytest.fixture(scope="module")
def bow() -> BowInputs:
    return bow_inputs(values(COMPLETE | {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175}), ASKED)


def by_vectors(found: BracedBow, rest: Rest) -> float:
    """Along the line through both ends of the free string: from the foot of the rest's perpendicular to the nock."""
    upper = np.array([found.upper.end_x, found.upper.end_y])
    lower = np.array([found.lower.end_x, -found.lower.end_y])
    along = (upper - lower) / np.linalg.norm(upper - lower)
    foot = lower + along * float(np.dot(np.array([rest.x, rest.y]) - lower, along))
    nock = np.array([found.nocking_x, found.nocking_y])
    assert abs(float(np.dot(nock - lower, [-along[1], along[0]]))) < 1e-7  # the nocking point is on that line
    return float(np.dot(nock - foot, along))


@pytest.mark.parametrize("turned", TURNS)
@pytest.mark.parametrize("rest", [Rest(0.0, 0.036), Rest(-0.03, 0.036), Rest(0.02, 0.05)])
def test_over_square_is_what_vectors_give(bow: BowInputs, turned: Pair, rest: Rest) -> None:
    found = strung(bow.setup, bow.at(turned))
    assert over_square(found, rest) == pytest.approx(by_vectors(found, rest), abs=1e-8)


@given(st.floats(-1, 1), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2))
def test_moving_the_bow_and_its_rest_together_changes_nothing(angle: float, dx: float, dy: float) -> None:
    """A bow square does not know how the bow is held."""
    bow = bow_inputs(values({"version": 1}), ASKED)
    found, rest = bow.fitted.braced, Rest(-0.02, 0.04)
    cosine, sine = math.cos(angle), math.sin(angle)

    def there(x: float, y: float) -> tuple[float, float]:  # leaning toward the archer by `angle`
        return x * cosine + y * sine + dx, -x * sine + y * cosine + dy

    x, y = there(found.nocking_x, found.nocking_y)
    upper = replace(found.upper, string_angle=found.upper.string_angle + angle)
    turned = replace(found, upper=upper, nocking_x=x, nocking_y=y)
    assert over_square(turned, Rest(*there(rest.x, rest.y))) == pytest.approx(over_square(found, rest), abs=1e-12)


@pytest.mark.parametrize("over", [0.0, 8 * MM, 25 * MM])
@pytest.mark.parametrize("x", [-0.05, 0.0, 0.03])
def test_the_rest_is_where_the_reading_says(bow: BowInputs, over: float, x: float) -> None:
    rest = rest_of(bow.fitted.braced, over, x)
    assert rest.x == x
    assert by_vectors(bow.fitted.braced, rest) == pytest.approx(over, abs=1e-8)
    assert 0.01 < rest.y < 0.06  # a rest lies a few centimetres over the pivot point (common practice, no source)


def changed(bow: BowInputs, turned: Pair, read: NockingReading) -> float:
    """From where the readings were taken."""
    return nocking.change(bow, bow.setup.now, bow.at(turned), read)


def uncertainty_of_turn(bow: BowInputs, turned: Pair) -> Budget:
    return nocking.change_budget(bow, bow.setup.now, bow.at(turned), READ)


def test_from_one_turn_to_another_it_is_the_difference(bow: BowInputs) -> None:
    one, other = (-0.5, 0.0), (0.25, -0.25)
    between = nocking.change(bow, bow.at(one), bow.at(other), READ)
    assert between == pytest.approx(changed(bow, other, READ) - changed(bow, one, READ), abs=1e-9)
    assert nocking.over(bow, bow.at(one), READ) == pytest.approx(READ.over + changed(bow, one, READ), abs=1e-9)
    here, there = bow.at(one), bow.at(other)
    forward, back = nocking.change_budget(bow, here, there, READ), nocking.change_budget(bow, there, here, READ)
    assert forward.combined == pytest.approx(back.combined, rel=1e-6)
    assert nocking.change_budget(bow, bow.at(one), bow.at(one), READ).combined == pytest.approx(0, abs=1e-9)


def test_no_turn_changes_nothing(bow: BowInputs) -> None:
    assert changed(bow, (0.0, 0.0), READ) == pytest.approx(0, abs=1e-8)


@pytest.mark.parametrize("turned", TURNS)
def test_a_change_is_the_difference_of_two_readings_with_one_square(bow: BowInputs, turned: Pair) -> None:
    for read in (READ, NockingReading(12 * MM, -0.03, 5 * MM)):
        rest = rest_of(bow.fitted.braced, read.over, read.x)
        then = by_vectors(strung(bow.setup, bow.at(turned)), rest)
        assert changed(bow, turned, read) == pytest.approx(then - read.over, abs=2e-8)


def test_what_one_turn_does_to_the_default_bow(bow: BowInputs) -> None:
    """Tilt and slide by hand: the string leans by −7.68 mrad, 222 mm from the rest, and goes up by 2.53 mm (C)."""
    before, after = bow.fitted.braced, strung(bow.setup, bow.at((-1.0, 0.0)))
    tilt = before.nocking_x * (math.sin(after.upper.string_angle) - math.sin(before.upper.string_angle))
    slide = after.nocking_y - before.nocking_y
    assert tilt == pytest.approx(-1.71 * MM, abs=0.02 * MM)
    assert slide == pytest.approx(2.53 * MM, abs=0.02 * MM)
    assert changed(bow, (-1.0, 0.0), READ) == pytest.approx(tilt + slide, abs=0.02 * MM)
    # Both alike leave it; one against the other doubles it.
    assert abs(changed(bow, (-1.0, -1.0), READ)) < 0.1 * MM
    assert changed(bow, (-1.0, 1.0), READ) == pytest.approx(1.70 * MM, abs=0.1 * MM)


@pytest.mark.parametrize("turned", [(-1.0, 0.0), (-0.5, 0.5)])
def test_every_share_of_the_uncertainty_is_found_again(bow: BowInputs, turned: Pair) -> None:
    """By a bow that is fitted anew with the number half of its uncertainty up and down."""
    shares = {each.name: each for each in uncertainty_of_turn(bow, turned).contributions}
    listed = {each.name: each for each in bow.parameters}
    assert set(shares) == {*listed, "rest"}
    held = replace(bow.setup, flush_angle=bow.fitted.frame.flush_angle)

    def at(name: str, by: float) -> float:
        setup = moved(held, name, by)
        fitted = bow_fit.fit(setup.frame, setup.measured, setup.string_length)
        rest = rest_of(fitted.braced, READ.over, READ.x)
        places = (setup.now[0] + turned[0], setup.now[1] + turned[1])
        return by_vectors(bow_fit.strung(fitted.bow, setup.rock(places), near=fitted.braced), rest) - READ.over

    common = ("fulcrum_arm", "rise", "inner_curvature", "recurve", "fulcrum_span", "limb_length", "flush_angle")
    for name in (*common, "lower_inner_curvature", "upper_flush_angle", "upper_recurve_curvature", "lower_fulcrum_arm"):
        half = listed[name].half
        slope = (at(name, 0.1 * half) - at(name, -0.1 * half)) / (0.2 * half)
        assert shares[name].standard == pytest.approx(half / math.sqrt(3))
        assert shares[name].sensitivity == pytest.approx(slope, rel=0.08, abs=0.01 * MM / half)


def test_the_rests_place_counts_by_how_much_the_string_tilts(bow: BowInputs) -> None:
    share = uncertainty_of_turn(bow, (-1.0, 0.0)).contributions[-1]
    before, after = bow.fitted.braced, strung(bow.setup, bow.at((-1.0, 0.0)))
    tilt = math.sin(after.upper.string_angle) - math.sin(before.upper.string_angle)
    assert share.name == "rest"
    assert share.sensitivity == pytest.approx(-tilt, rel=1e-3)
    assert share.standard == pytest.approx(20 * MM / math.sqrt(3))
