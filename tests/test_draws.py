"""The generator of made-up numbers, against the standard that prints its ten-thousandth number.

ISO/IEC 14882 (C++), [rand.predef]: "The 10000th consecutive invocation of a default-constructed object of type
minstd_rand shall produce the value 399268537"; a default-constructed one has the seed 1. (From memory of the text.)
"""

from __future__ import annotations

import pytest

from quarterturn.draws import MODULUS, Draws

FIRST = (48271, 182605794, 1291394886, 1914720637, 2078669041)
"""From the seed 1, by hand: 48271, 48271² mod (2³¹ − 1)… They hold for ever: links and assignments rest on them."""


def test_the_ten_thousandth_is_the_standards() -> None:
    draws = Draws(1)
    for _ in range(9_999):
        draws.integer()
    assert draws.integer() == 399268537


def test_the_first_numbers_for_ever() -> None:
    draws = Draws(1)
    assert tuple(draws.integer() for _ in range(5)) == FIRST
    value = 1
    for wanted in FIRST:
        value = pow(48271, 1, MODULUS) * value % MODULUS
        assert value == wanted


@pytest.mark.parametrize("seed", [0, -1, MODULUS])
def test_a_seed_that_is_none(seed: int) -> None:
    with pytest.raises(ValueError, match="seed must be from 1"):
        Draws(seed)


def test_between_and_one_of_reach_their_ends_and_no_farther() -> None:
    """The least number is 1, the greatest 2³¹ − 2: here the generator is set so that they come next."""
    inverse = pow(48271, -1, MODULUS)
    for wanted, end, place in ((1, 2.0, 0), (MODULUS - 1, 5.0, 2)):
        assert Draws(inverse * wanted % MODULUS).between(2.0, 5.0) == end
        assert Draws(inverse * wanted % MODULUS).one_of(3) == place


def test_they_are_spread_evenly() -> None:
    """A thousand draws in ten drawers: chi squared with nine degrees of freedom is below 21.67 (1 in 100)."""
    draws, found = Draws(20261201), [0] * 10
    for _ in range(1000):
        found[draws.one_of(10)] += 1
    assert sum((count - 100) ** 2 / 100 for count in found) < 21.67
