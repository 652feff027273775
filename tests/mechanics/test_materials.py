"""Materials: what the table says of itself; its numbers are held to sources.md C in test_published_threads.py."""

import math

import pytest

from quarterturn.mechanics.materials import MATERIALS, Material, MaterialError, Use
from quarterturn.sources import SOURCES


def test_keys_sources_and_marks() -> None:
    assert list(MATERIALS) == ["8.8", "10.9", "12.9", "A2-70", "7075-T6", "6061-T6", "Ti-6Al-4V"]
    for key, material in MATERIALS.items():
        assert material.key == key
        assert material.source in SOURCES
        assert material.mark in ("S", "S2", "M")
        assert material.least is (material.source != "data-sheets")
    assert len({material.name for material in MATERIALS.values()}) == len(MATERIALS)
    assert any(material.what in (Use.RISER, Use.BOTH) for material in MATERIALS.values())


@pytest.mark.parametrize("key", ["8.8", "10.9", "12.9"])
def test_a_class_of_steel_is_named_by_its_strength(key: str) -> None:
    # ISO 898-1: the first number is a hundredth of the nominal tensile strength in MPa, the second ten times the ratio
    # of yield to tensile strength; the least values lie at the nominal ones or up to 4 % above
    hundreds, tenths = key.split(".")
    material = MATERIALS[key]
    nominal = int(hundreds) * 100e6
    assert nominal <= material.tensile <= 1.04 * nominal
    assert material.yield_strength == pytest.approx(nominal * int(tenths) / 10, rel=0.05)
    assert material.proof is not None
    assert 0.85 * material.yield_strength < material.proof < material.yield_strength


def test_stainless_steel_is_named_by_its_strength() -> None:  # ISO 3506-1: a tenth of the tensile strength in MPa
    assert MATERIALS["A2-70"].tensile == 70 * 10e6


@pytest.mark.parametrize("bad", [0.0, -1e6, math.nan, math.inf, 1e11])
def test_bad_strength_is_refused_by_name(bad: float) -> None:
    with pytest.raises(MaterialError, match=r"^Tensile strength must be more than 0") as caught:
        Material("x", "x", bad, 1e8, Use.BOLT, "data-sheets", "M")
    assert caught.value.parameter == "tensile"
    with pytest.raises(MaterialError, match=r"^Yield strength must be more than 0") as caught:
        Material("x", "x", 1e8, bad, Use.BOLT, "data-sheets", "M")
    assert caught.value.parameter == "yield_strength"


def test_yield_over_tensile_is_refused() -> None:
    with pytest.raises(MaterialError, match="not be more than the tensile strength") as caught:
        Material("x", "x", 1e8, 1.01e8, Use.BOLT, "data-sheets", "M")
    assert caught.value.parameter == "yield_strength"
