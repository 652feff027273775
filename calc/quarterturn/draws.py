"""Random numbers that are the same for ever, on every machine: a published generator.

It is the linear congruential generator x ← 48271·x mod (2³¹ − 1) of Park, Miller and Stockmeyer (1993), which ISO C++
calls `minstd_rand` and for which it prints the ten-thousandth number (sources.md E). Good enough to make up a bow;
never for secrets.
"""

from __future__ import annotations

MODULUS = 2**31 - 1
MULTIPLIER = 48271


class Draws:
    """A row of random numbers from a seed."""

    __slots__ = ("_state",)

    def __init__(self, seed: int) -> None:
        """Begin with a seed from 1 to 2³¹ − 2.

        Raises:
            ValueError: the seed is outside that.
        """
        if not 1 <= seed < MODULUS:
            raise ValueError(f"seed must be from 1 to {MODULUS - 1}: {seed}")
        self._state = seed

    def integer(self) -> int:
        """The next number, 1 to 2³¹ − 2."""
        self._state = MULTIPLIER * self._state % MODULUS
        return self._state

    def between(self, low: float, high: float) -> float:
        """The next number, spread evenly between two others."""
        return low + (high - low) * (self.integer() - 1) / (MODULUS - 2)

    def one_of(self, count: int) -> int:
        """The next number as one of so many, from 0."""
        return (self.integer() - 1) * count // (MODULUS - 1)
