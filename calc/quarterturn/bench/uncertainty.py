"""Putting the uncertainties of a reading together (JCGM 100:2008, GUM, clauses 4.3, 5.1 and annex G)."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

COVERAGE_FACTOR = 2.0
"""k in U = k·u_c: about 95 % where many small uncertainties are combined (GUM 6.3.3)."""


@dataclass(frozen=True, slots=True)
class Contribution:
    """One input's share in the uncertainty of a result.

    Attributes:
        name: what is uncertain.
        standard: its standard uncertainty, in its own unit.
        sensitivity: by how much the result changes for one unit of it.
        freedom: degrees of freedom of the standard uncertainty.
        shape: of the assumed distribution, for the reader.
    """

    name: str
    standard: float
    sensitivity: float = 1.0
    freedom: float = math.inf
    shape: str = "normal"

    @property
    def share(self) -> float:
        """Its standard uncertainty in the unit of the result, never negative."""
        return abs(self.standard * self.sensitivity)


def rectangular(name: str, half_width: float, sensitivity: float = 1.0) -> Contribution:
    """Make a contribution of which only the bounds are known (GUM 4.3.7): u = a/√3, a the half-width.

    Raises:
        ValueError: if the half-width is negative or not finite.
    """
    if not (math.isfinite(half_width) and half_width >= 0):
        raise ValueError(f"half_width must be finite and >= 0: {half_width}")
    return Contribution(name, half_width / math.sqrt(3), sensitivity, shape="rectangular")


@dataclass(frozen=True, slots=True)
class Budget:
    """All contributions to one result, taken as independent of one another."""

    contributions: tuple[Contribution, ...]

    @property
    def combined(self) -> float:
        """The combined standard uncertainty u_c (GUM 5.1.2)."""
        return math.hypot(*(each.share for each in self.contributions))

    @property
    def expanded(self) -> float:
        """U = 2·u_c."""
        return COVERAGE_FACTOR * self.combined

    @property
    def freedom(self) -> float:
        """Effective degrees of freedom by Welch and Satterthwaite (GUM G.4.1); infinite if all are."""
        total = self.combined
        if total == 0:
            return math.inf
        spread = math.fsum((each.share / total) ** 4 / each.freedom for each in self.contributions)
        return math.inf if spread == 0 else 1 / spread


def budget(contributions: Iterable[Contribution]) -> Budget:
    """Combine contributions to one result."""
    return Budget(tuple(contributions))
