"""The code that opens a record from paper: what it holds, and the picture of it at the foot of a printed sheet."""

from __future__ import annotations

import re

from quarterturn.bench.judgement import to_pass_on
from quarterturn.figures import qr, svg
from quarterturn.figures.svg import Picture
from quarterturn.record import link
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values

OWN_DEVICE = re.compile(r"(localhost|127(\.\d+){3}|\[::1\])(:\d+)?/")
"""Addresses that lead back to the device they are opened on."""
SIDE = 42.0
"""The side of the picture on a sheet, mm."""
_FINEST = 0.34
"""A phone's camera still tells squares of this size apart, mm (common practice, no source)."""


def is_own(values: Values) -> bool:
    """Whether a record holds anything of a bow that a code could carry."""
    return any(BY_NAME[name].scope is Scope.BOW for name in values.record.entries)


def code_of(values: Values, most: int) -> qr.Code:
    """The code of the address that opens a record on the site that asks, of at most so many modules a side.

    Raises:
        NoCode: as `figures.qr.code`.
    """
    return qr.code(f"{values.address}#{link.fragment(to_pass_on(values), link.BRIEF)}", most)


def site_of(values: Values) -> str:
    """Where the code leads, as it is read to somebody."""
    return values.address.partition("://")[2]


def on_sheet(values: Values) -> Picture | None:
    """The picture of the code for a printed sheet; None where there is nothing to open, or no code that fits."""
    if not is_own(values) or not values.address:
        return None
    try:
        made = code_of(values, int(SIDE / _FINEST) - 2 * qr.QUIET)
    except qr.NoCode:
        return None
    words = f"A code that opens this record at {site_of(values)}"
    ground = svg.rect(0, 0, SIDE, SIDE, class_="qt-card-white")
    drawn = qr.drawn(made, 0, 0, SIDE, class_="qt-card-code", id="sheet-code-squares")
    return svg.picture("code", words, f"{words}.", SIDE, SIDE, [ground, drawn], prefix="sheet-code")
