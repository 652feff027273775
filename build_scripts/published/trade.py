"""Rules of the trade with a source, beside the default bow, and the shortening of a twisted string (sources.md D)."""

from __future__ import annotations

import math
from functools import cache, partial

from published import Row, Table
from published.bow import DEFAULT_BOW, FINE_RECURVE, LBF, TAPE, default_rock
from quarterturn.bench.draw_length import on_tape
from quarterturn.bench.string_twist import untwisted
from quarterturn.mechanics.continuation import curve
from quarterturn.mechanics.equilibrium import braced
from quarterturn.units import INCH

LENGTH = 68
"""The default bow's, in."""
_STRING, _STRAND = 1.65, 2.5e-3
"""Of a made-up string, m."""


@cache
def _weights() -> tuple[float, float]:
    """What the default bow holds at 28 and at 29 in AMO, N."""
    rock = default_rock()
    strung = braced(DEFAULT_BOW, rock, steps=FINE_RECURVE)
    draws = [inches * INCH - TAPE for inches in (20, 24, 28, 29)]
    *_, at_28, at_29 = curve(DEFAULT_BOW, rock, draws, steps=FINE_RECURVE, start=strung)
    return at_28.force, at_29.force


def _an_inch(weight: float | None = None) -> float:
    """What one inch more pulls, lbf; with a weight, of limbs so much stiffer that 28 in hold it: forces go with EI."""
    at_28, at_29 = _weights()
    return (at_29 - at_28) / LBF if weight is None else weight * (at_29 / at_28 - 1)


def _longer_than_string() -> float:
    return LENGTH - (DEFAULT_BOW.string.upper + DEFAULT_BOW.string.lower) / INCH


def _shorter(degrees: float) -> float:
    """How much shorter a string is whose outermost fibres lie at this angle to it, per cent of its untwisted length."""
    twists = _STRING * math.tan(math.radians(degrees)) / (math.pi * _STRAND)
    return 100 * (1 - _STRING / untwisted(_STRING, _STRAND, twists))


_AMO = "AMO standard, quoted by others"
_RULE = Table("One inch more of draw, near 28 in", "rule of thumb, quoted by others", "S2", "lb")
_BOW = Table("A bow is longer than its string", "AMO standard", "S", "in")
_TAPE = Table("Draw length on a tape", _AMO, "S2", "in")
_TWIST = Table(
    "String shorter by its twists, by the angle of its outermost fibres",
    "worked out of a formula for yarns, J. Textile Machinery Society of Japan 14 (3–4) 115, abstract",
    "C",
    "%",
)
_ROUGH = "A rule in whole pounds, and the default bow is made up."
_MEANS = "The fibres’ mean length is taken in another way there. Three in a hundred are allowed."
_TWISTED = (("10", "0.763", 23), ("15", "1.723", 52), ("20", "3.078", 92), ("25", "4.838", 145))
"""Angle in degrees, per cent, and three in a hundred of it in units of the last place."""

ROWS: tuple[Row, ...] = (
    _RULE.row("up to 40 lb: the default bow, 38 lb", "2", _an_inch, remark=_ROUGH),
    _RULE.row("above 40 lb: the same, stiffer, 50 lb", "3", partial(_an_inch, 50.0), remark=_ROUGH),
    _BOW.row("68 in, the default bow", "3", _longer_than_string, remark="The default bow is made up."),
    _TAPE.row("26.25 in to the pivot point", "28", lambda: on_tape(26.25 * INCH) / INCH),
    *(
        _TWIST.row(f"{angle}°", printed, partial(_shorter, float(angle)), places=places, remark=_MEANS)
        for angle, printed, places in _TWISTED
    ),
)
"""All of them, in the order they are shown."""
