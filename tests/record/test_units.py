"""Factors between units, against pint's own definitions (NIST SP 811; C)."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarterturn import units


@cache
def registry() -> pint.UnitRegistry[Fraction]:
    """All units, exactly; they take a second to read."""
    return pint.UnitRegistry(non_int_type=Fraction)


PINT = {
    "mm": ("millimeter", "meter"),
    "in": ("inch", "meter"),
    "m": ("meter", "meter"),
    "lbf": ("force_pound", "newton"),
    "N": ("newton", "newton"),
    "kgf": ("force_kilogram", "newton"),
    "N m": ("newton * meter", "newton * meter"),
    "J": ("joule", "joule"),
    "lbf/in": ("force_pound / inch", "newton / meter"),
    "N/cm": ("newton / centimeter", "newton / meter"),
    "kgf/cm": ("force_kilogram / centimeter", "newton / meter"),
    "MPa": ("megapascal", "pascal"),
    "mm2": ("millimeter ** 2", "meter ** 2"),
    "gr": ("grain", "kilogram"),
    "g": ("gram", "kilogram"),
    "gr/lbf": ("grain / force_pound", "kilogram / newton"),
    "g/N": ("gram / newton", "kilogram / newton"),
    "thou": ("thou", "meter"),
    "N m2": ("newton * meter ** 2", "newton * meter ** 2"),
    "percent": ("percent", "dimensionless"),
    "count": ("dimensionless", "dimensionless"),
    "deg": ("degree", "radian"),
    "rad": ("radian", "radian"),
}
EXACT = {
    "in": Fraction(254, 10_000),
    "lbf": Fraction(45_359_237, 10**8) * Fraction(980_665, 10**5),
    "kgf": Fraction(980_665, 10**5),
    "gr": Fraction(6_479_891, 10**11),
}
"""NIST SP 811 (S2, sources.md E)."""


@pytest.mark.parametrize("name", PINT)
def test_size_is_pints(name: str) -> None:
    own, si = PINT[name]
    assert units.unit(name).size == pytest.approx(float((1 * registry()(own)).to(si).magnitude), rel=1e-15, abs=0)


@pytest.mark.parametrize("name", EXACT)
def test_size_is_the_float_nearest_to_the_exact_definition(name: str) -> None:
    assert units.unit(name).size == pytest.approx(float(EXACT[name]), rel=2.3e-16, abs=0)


def test_every_unit_is_held_against_pint_but_the_turn() -> None:
    # Inside the package a turn stays a turn (model.md section 2: counts are turns).
    assert set(units.UNITS) == set(PINT) | {"turn"}
    assert units.unit("turn").size == 1.0


def test_names_and_symbols_are_their_own() -> None:
    assert all(unit.name == name for name, unit in units.UNITS.items())
    symbols = [unit.symbol for unit in units.UNITS.values()]
    assert len(set(symbols)) == len(symbols)


@given(st.sampled_from(sorted(units.UNITS)), st.floats(-1e9, 1e9))
def test_there_and_back(name: str, value: float) -> None:
    assert units.from_si(units.to_si(value, name), name) == pytest.approx(value, rel=4e-16, abs=0)


@pytest.mark.parametrize("name", ["", "MM", "ft", "millimetre", "mm "])
def test_unknown_unit_is_refused_with_those_there_are(name: str) -> None:
    with pytest.raises(units.UnknownUnitError, match="mm, in, m, turn"):
        units.to_si(1.0, name)
