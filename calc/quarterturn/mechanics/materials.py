"""Strength of what limb bolts and the threads they run in are made of.

Least values that a standard holds the maker to, or typical ones from data sheets, which a piece may miss. What a bolt
is really made of only its maker knows. Pa.
"""

from dataclasses import dataclass
from enum import StrEnum

MEGAPASCAL = 1e6
STRONGEST = 1e10  # Pa, more than any metal bears


class MaterialError(ValueError):
    """A strength that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


class Use(StrEnum):
    """What is made of a material (common practice, no source)."""

    BOLT = "bolt"
    RISER = "riser"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Material:
    """One material and its strength in tension.

    Raises MaterialError where a strength is no positive number or the yield strength is more than the tensile one.
    """

    key: str
    name: str
    tensile: float
    """Stress at which it breaks, Rm, Pa."""
    yield_strength: float
    """Stress at which it stays bent (ReL or Rp0.2), Pa."""
    what: Use
    source: str
    """Key of its source in `sources`."""
    mark: str
    """How the number was come by: S2 quoted by a second source, M from memory."""
    least: bool = False
    """The standard's least value; otherwise a typical one, which a piece may miss."""
    proof: float | None = None
    """Stress under the standard's proof load, Pa, where it sets one."""

    def __post_init__(self) -> None:
        for parameter, value in (("tensile", self.tensile), ("yield_strength", self.yield_strength)):
            if not 0 < value <= STRONGEST:  # true for NaN too
                words = parameter if "strength" in parameter else f"{parameter}_strength"
                raise MaterialError(
                    parameter,
                    f"{words.replace('_', ' ').capitalize()} must be more than 0 and at most 10000 MPa.",
                )
        if self.yield_strength > self.tensile:
            raise MaterialError("yield_strength", "Yield strength must not be more than the tensile strength.")


def _steel(key: str, note: str, tensile: float, yielding: float, proof: float) -> Material:
    name = f"steel, class {key}{note}"
    return Material(
        *(key, name, tensile * MEGAPASCAL, yielding * MEGAPASCAL, Use.BOLT, "iso-898-1", "S2"),
        least=True,
        proof=proof * MEGAPASCAL,
    )


def _other(key: str, name: str, strength: tuple[float, float], what: Use, source: str) -> Material:
    tensile, yielding = strength
    least = source != "data-sheets"
    return Material(key, name, tensile * MEGAPASCAL, yielding * MEGAPASCAL, what, source, "S2", least)


MATERIALS = {
    material.key: material
    for material in (
        _steel("8.8", " (to 16 mm)", 800, 640, 580),
        _steel("10.9", "", 1040, 940, 830),
        _steel("12.9", "", 1220, 1100, 970),
        _other("A2-70", "stainless steel, A2-70", (700, 450), Use.BOTH, "iso-3506-1"),
        _other("7075-T6", "aluminium, 7075-T6", (572, 503), Use.BOTH, "data-sheets"),
        _other("6061-T6", "aluminium, 6061-T6", (310, 276), Use.RISER, "data-sheets"),
        _other("Ti-6Al-4V", "titanium, Ti-6Al-4V annealed", (900, 830), Use.BOTH, "data-sheets"),
    )
}
"""By key, in the order they are offered."""
