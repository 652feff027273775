"""Tiller as it was measured before anything is turned, and what it hints at."""

from __future__ import annotations

TELLING = 1e-3
"""A tiller below zero by more than this (m) is told; less is lost in the reading (common practice, no source)."""


def tiller(upper: float, lower: float) -> float:
    """Upper less lower distance from string to limb; same unit in and out."""
    return upper - lower


def looks_exchanged(tiller: float) -> bool:
    """Whether the lower distance is the larger one, as limbs in each other's pockets give (common practice, no source).

    Some archers set it so on purpose, so it is a reason to look at the marks, no verdict. Tiller in m.
    """
    return tiller < -TELLING
