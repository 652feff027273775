"""Weights, slopes, energies and draw lengths in the reader's units."""

from __future__ import annotations

from quarterturn import units
from quarterturn.numbers import fixed
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.draw_weight.inputs import Curves

STIFFNESS = {"lbf": "lbf/in", "N": "N/cm", "kgf": "kgf/cm"}
"""The unit of a slope, by that of the force."""
STATIONS = {
    "amo": "draw length AMO",
    "pivot": "draw length to the pivot point",
    "plunger": "draw length to the plunger",
    "rest": "draw length to the rest",
}
FOOT_POUND = units.to_si(12.0, "in") * units.to_si(1.0, "lbf")


def force_unit(found: Curves) -> str:
    """The unit that this reader weighs in."""
    return bow_wording.force_unit(found.values)


def slope_unit(found: Curves) -> str:
    """The unit of a slope for this reader."""
    return STIFFNESS[force_unit(found)]


def bare(text: str) -> str:
    """A number without its unit, where the unit follows later in the sentence."""
    return text.rpartition(" ")[0]


def slope(value: float, found: Curves) -> str:
    """A slope in this reader's unit."""
    unit = slope_unit(found)
    return f"{fixed(units.from_si(value, unit), 2)} {units.unit(unit).symbol}"


def energy(value: float) -> str:
    """An energy."""
    return f"{fixed(value, 1)} J"


def foot_pounds(value: float, found: Curves) -> str:
    """An energy as those who weigh in pounds know it; "" for the others."""
    return f"{fixed(value / FOOT_POUND, 1)} ft·lb" if force_unit(found) == "lbf" else ""


def draw(length: float, found: Curves) -> str:
    """A draw length (from the pivot point, m) as this reader counts it, without the measuring point."""
    unit = bow_wording.draw_unit(found.values)
    return words.length(found.tape(length), unit, 1 if unit == "in" else 0)


def draw_span(span: float, found: Curves) -> str:
    """A stretch of the draw, in this reader's unit."""
    unit = bow_wording.draw_unit(found.values)
    return words.length(span, unit, 1 if unit == "in" else 0)
