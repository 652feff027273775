"""A string's shortening by twists: the lengths of helices over the bundle by SciPy's quad (C), the yarn's formula (M).

Hearle, Grosberg and Backer, Structural Mechanics of Fibers, Yarns, and Fabrics (1969): the contraction factor of the
idealized yarn is (1 + sec α)/2 and its retraction tan²(α/2), with tan α = πnd/L (M).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from quarterturn.bench.string_twist import (
    TIGHTEST,
    TwistError,
    surface_angle,
    twists_for,
    untwisted,
)

if TYPE_CHECKING:
    from collections.abc import Callable

ANY = (math.nan, math.inf, -math.inf)
LENGTH, DIAMETER = 1.6458, 2.5e-3

strings = st.tuples(st.floats(1.0, 2.0), st.floats(1e-3, 5e-3), st.floats(0, 1))
"""Length, diameter and how tightly it is twisted, of the tightest."""


def turned(length: float, diameter: float, part: float) -> float:
    """The twists that give so much of the greatest angle's tangent."""
    return part * length * math.tan(math.radians(25)) / (math.pi * diameter)


def shorter_by(length: float, diameter: float, twists: float, more: float) -> float:
    """By how much a string gets shorter with so many more twists, from its mean fibre's length as it stays (M)."""
    bare = (length + math.hypot(length, math.pi * twists * diameter)) / 2
    return (math.pi * diameter) ** 2 * more * (2 * twists + more) / (4 * bare)


def refused(ask: Callable[..., Any], *arguments: Any) -> tuple[str, str]:
    """The parameter and the sentence of what is refused."""
    with pytest.raises(TwistError) as caught:
        ask(*arguments)
    return caught.value.parameter, str(caught.value)


# Lengths of helices


def helix(length: float, twists: float, radius: float) -> float:
    """Unrolled it is a straight line."""
    return math.hypot(length, 2 * math.pi * twists * radius)


def mean_of_packed_fibres(length: float, diameter: float, twists: float) -> float:
    """All fibre over all fibres: one that lies at an angle takes up more of the section, so that there are fewer."""
    edge = diameter / 2

    def number(radius: float) -> float:
        return 2 * math.pi * radius * length / helix(length, twists, radius)

    total = quad(lambda radius: number(radius) * helix(length, twists, radius), 0, edge)[0]
    return float(total / quad(number, 0, edge)[0])


def mean_over_the_section(length: float, diameter: float, twists: float) -> float:
    """As many fibres in every part of the section."""
    edge = diameter / 2
    total = quad(lambda radius: 2 * math.pi * radius * helix(length, twists, radius), 0, edge)[0]
    return float(total / (math.pi * edge**2))


def at_the_mean_square_radius(length: float, diameter: float, twists: float) -> float:
    """One fibre where ρ² is its mean over the section, d²/8."""
    return helix(length, twists, diameter / math.sqrt(8))


@pytest.mark.parametrize("length", [1.2, LENGTH])
@pytest.mark.parametrize("diameter", [1.8e-3, DIAMETER, 3.5e-3])
@pytest.mark.parametrize("twists", [1, 10, 20, 45])
def test_the_mean_fibre_of_quad(length: float, diameter: float, twists: float) -> None:
    bare = mean_of_packed_fibres(length, diameter, twists)
    assert untwisted(length, diameter, twists) == pytest.approx(bare, rel=1e-12)
    # twisted farther it is shorter, and again its own mean fibre has the same length
    for shorter in (1e-5, 1e-3, 5e-3, -0.5 * (bare - length), -0.9 * (bare - length)):
        more = twists_for(length, diameter, twists, shorter)
        assert mean_of_packed_fibres(length - shorter, diameter, twists + more) == pytest.approx(bare, rel=1e-12)
        assert math.copysign(1, shorter) == math.copysign(1, more)


@pytest.mark.parametrize("mean", [mean_over_the_section, at_the_mean_square_radius])
@pytest.mark.parametrize(("part", "off"), [(0.05, 1e-3), (0.3, 5e-3), (1.0, 0.03)])
def test_other_means_differ_by_less_than_three_per_cent(mean: Any, part: float, off: float) -> None:
    twists = turned(LENGTH, DIAMETER, part)
    ours = untwisted(LENGTH, DIAMETER, twists) - LENGTH
    assert mean(LENGTH, DIAMETER, twists) - LENGTH == pytest.approx(ours, rel=off)


@given(strings)
def test_the_yarn_s_formula(string: tuple[float, float, float]) -> None:
    """Contraction factor (1 + sec α)/2, retraction tan²(α/2) (M)."""
    length, diameter, part = string
    twists = turned(length, diameter, part)
    angle = surface_angle(length, diameter, twists)
    assert math.tan(angle) == pytest.approx(math.pi * twists * diameter / length, rel=1e-12)
    bare = untwisted(length, diameter, twists)
    assert bare / length == pytest.approx((1 + 1 / math.cos(angle)) / 2, rel=1e-12)
    assert (bare - length) / bare == pytest.approx(math.tan(angle / 2) ** 2, abs=1e-14)
    # Where no twist is left the length is level in the twists: the last digit of a length is the root of it in twists.
    last = math.sqrt(4 * bare * math.ulp(bare)) / (math.pi * diameter)
    assert twists_for(length, diameter, twists, length - bare) == pytest.approx(-twists, rel=1e-9, abs=4 * last)


def test_a_string_in_numbers() -> None:
    """By hand (C): πnd = 157.08 mm, L₀ = (1645.8 + √(1645.8² + 157.08²))/2 = 1649.5395; (πd)²·41/(4·L₀) = 0.38330."""
    assert untwisted(LENGTH, DIAMETER, 20) == pytest.approx(1.6495395, abs=1e-7)
    assert twists_for(LENGTH, DIAMETER, 20, 0.38330e-3) == pytest.approx(1, abs=2e-5)
    # from no twist on: m² of them
    assert twists_for(LENGTH, DIAMETER, 0, 100 * (math.pi * 2.5e-3) ** 2 / (4 * LENGTH)) == pytest.approx(10, rel=1e-12)


# There and back


@given(strings, st.floats(0, 1))
def test_there_and_back(string: tuple[float, float, float], to: float) -> None:
    length, diameter, part = string
    twists = turned(length, diameter, part)
    more = 0.999 * turned(length, diameter, to) * math.cos(math.radians(25)) - twists
    shorter = shorter_by(length, diameter, twists, more)
    assert twists_for(length, diameter, twists, shorter) == pytest.approx(more, abs=1e-4)
    assert untwisted(length - shorter, diameter, max(0.0, twists + more)) == pytest.approx(
        untwisted(length, diameter, twists), rel=1e-12
    )


@given(strings, st.floats(-1, 1))
def test_twists_for_a_length_of_brentq(string: tuple[float, float, float], wish: float) -> None:
    """The number of twists whose mean fibre, in a string of the length that is wished, is as long as before (C)."""
    length, diameter, part = string
    twists = turned(length, diameter, 0.1 + 0.6 * part)
    bare = untwisted(length, diameter, twists)
    shorter = wish * (bare - length) * (1 if wish < 0 else 0.5)
    assume(abs(shorter) > 1e-7)

    def too_long(count: float) -> float:
        wished = length - shorter
        return (wished + math.hypot(wished, math.pi * count * diameter)) / 2 - bare

    found = brentq(too_long, 0, 5 * twists + 100, xtol=1e-12, rtol=1e-14)
    assert twists_for(length, diameter, twists, shorter) == pytest.approx(found - twists, rel=1e-6, abs=1e-6)


@given(strings)
def test_a_twist_does_more_the_more_there_are(string: tuple[float, float, float]) -> None:
    length, diameter, part = string
    twists = 1 + turned(length, diameter, 0.8 * part)
    by = shorter_by(length, diameter, twists, -1)
    assert 0 < twists_for(length, diameter, twists, -by) < 1
    assert twists_for(length, diameter, twists, by) == pytest.approx(-1, abs=1e-6)
    assert twists_for(length, diameter, twists, 0) == 0


def test_a_string_without_a_twist() -> None:
    assert untwisted(LENGTH, DIAMETER, 0) == LENGTH
    for nothing in (0.0, -0.0, -1e-14):
        assert twists_for(LENGTH, DIAMETER, 0, nothing) == 0
    assert math.copysign(1, twists_for(LENGTH, DIAMETER, 0, 0.0)) == 1
    assert twists_for(LENGTH, DIAMETER, 0, 1e-3) == pytest.approx(
        math.sqrt(4 * LENGTH * 1e-3) / (math.pi * 2.5e-3), rel=1e-12
    )


def test_all_twists_out_and_no_more() -> None:
    """By hand (C): 1649.5395 − 1645.8 = 3.7395 mm are given back by the 20 twists."""
    given_back = untwisted(LENGTH, DIAMETER, 20) - LENGTH
    assert twists_for(LENGTH, DIAMETER, 20, -given_back) == pytest.approx(-20, abs=1e-5)
    assert twists_for(LENGTH, DIAMETER, 20, -given_back - 5e-13) == -20
    assert twists_for(LENGTH, DIAMETER, 20, -0.99 * given_back) > -20
    sentence = (
        "Untwisting makes this string longer by at most 3.7 mm, and then no twist is left. For more, use a longer "
        "string."
    )
    for longer in (3.74e-3, 3.9e-3, 1.0, math.inf):
        assert refused(twists_for, LENGTH, DIAMETER, 20, -longer) == ("shorter", sentence)
    assert given_back == pytest.approx(3.7395e-3, abs=1e-7)


def test_as_tight_as_it_may_be() -> None:
    """By hand (C): at 25° L is 2·1649.5395/(1 + 1.1033779) = 1568.467 mm, and n = L·tan 25°/(π·2.5 mm) = 93.123."""
    assert math.degrees(TIGHTEST) == pytest.approx(25, rel=1e-12)
    most = twists_for(LENGTH, DIAMETER, 20, 1.6458 - 1.568468)
    assert most == pytest.approx(73.123, abs=2e-3)
    assert surface_angle(1.568468, DIAMETER, 20 + most) == pytest.approx(math.radians(25), rel=1e-4)
    shorter = (
        "Twisting makes this string shorter by at most 77.3 mm, and then its outermost fibres are at 25° to it. For "
        "more, use a shorter string."
    )
    for bad in (0.077335, 0.5, math.inf):
        assert refused(twists_for, LENGTH, DIAMETER, 20, bad) == ("shorter", shorter)
    assert refused(twists_for, LENGTH, DIAMETER, 20, math.nan)[0] == "shorter"


def test_a_string_that_is_twisted_too_tightly() -> None:
    """By hand (C): n = 1645.8 mm·tan 25°/(π·2.5 mm) = 97.71."""
    sentence = (
        "With these twists the outermost fibres of this string would be at more than 25° to it. For its length and "
        "diameter at most 97 twists are possible. Count them and measure again."
    )
    for ask in (
        lambda twists: untwisted(LENGTH, DIAMETER, twists),
        lambda twists: twists_for(LENGTH, DIAMETER, twists, 1e-3),
    ):
        for twists in (97.72, 120, 500):
            assert refused(ask, twists) == ("twists", sentence)
    assert refused(twists_for, LENGTH, DIAMETER, 98, -1e-3) == ("twists", sentence)
    assert untwisted(LENGTH, DIAMETER, 97.7) > LENGTH
    # at the limit itself it may be untwisted and no more
    at = LENGTH * math.tan(math.radians(25)) / (math.pi * DIAMETER)
    assert twists_for(LENGTH, DIAMETER, at, -1e-3) < 0
    assert refused(twists_for, LENGTH, DIAMETER, at, 1e-5)[0] == "shorter"


@pytest.mark.parametrize("ask", [surface_angle, untwisted, twists_for])
def test_strings_that_are_none(ask: Any) -> None:
    rest = (0.0,) if ask is twists_for else ()
    for bad in (*ANY, 0.0, 0.19, 4.01, -1.6, 1645.8):
        told = refused(ask, bad, DIAMETER, 20, *rest)
        assert told == ("length", "The string's length must be from 200 to 4000 mm.")
    for bad in (*ANY, 0.0, 0.49e-3, 10.1e-3, -2.5e-3, 2.5):
        told = refused(ask, LENGTH, bad, 20, *rest)
        assert told == ("diameter", "The string's diameter must be from 0.5 to 10 mm.")
    for bad in (*ANY, -1, 501):
        told = refused(ask, LENGTH, DIAMETER, bad, *rest)
        assert told == ("twists", "The twists in the string must be from 0 to 500.")
    for length, diameter, twists in ((0.2, 0.5e-3, 1), (4.0, 10e-3, 1), (4.0, 0.5e-3, 500)):
        assert math.isfinite(ask(length, diameter, twists, *rest))
