"""The tables of the force-draw curve: the reader's readings beside it, and the curve in numbers."""

from __future__ import annotations

import math

from quarterturn import units
from quarterturn.bench.draw_curve import ScaleReading
from quarterturn.numbers import at_most, fixed
from quarterturn.units import INCH
from quarterturn.widgets import bow_wording
from quarterturn.widgets.answer import Table
from quarterturn.widgets.draw_weight import wording
from quarterturn.widgets.draw_weight.inputs import Curves, said_of

STEP = {"in": INCH, "mm": 0.025}
"""Between the rows of the curve's table, m, by the unit of draw lengths."""


def readings(found: Curves) -> Table | None:
    """The reader's readings beside the curve."""
    if not found.readings:
        return None
    symbol = units.unit(wording.force_unit(found)).symbol
    return Table(
        "readings",
        "Your readings and the curve",
        (
            "draw length",
            "you read",
            f"the curve, {symbol}",
            f"apart, {symbol}",
            f"the curve may be off by, {symbol}",
            "",
        ),
        tuple(_reading(one, found) for one in found.readings),
        "On the curve: as close as you can read scale and mark. Beside it: within what the limbs' shape and all else "
        "may be off too. Off: farther. Three standard uncertainties are allowed (our own measure).",
    )


def _reading(one: ScaleReading, found: Curves) -> tuple[str, ...]:
    unit = wording.force_unit(found)
    return (
        *said_of(one.number, found.values),
        fixed(units.from_si(one.bow, unit), 1),
        bow_wording.signed(fixed(units.from_si(one.apart, unit), 1)),
        f"± {fixed(units.from_si(2 * one.uncertainty, unit), 1)}",
        "on the curve" if one.met else "beside it" if one.allowed else "off",
    )


def points(found: Curves) -> Table:
    """The curve's numbers at whole inches or every 25 mm, now and after the turn."""
    prediction, unit = found.prediction, wording.force_unit(found)
    symbol, rises = units.unit(unit).symbol, units.unit(wording.slope_unit(found)).symbol
    columns = ["draw length", f"weight, {symbol}", f"±, {symbol}", f"rises by, {rises}", "energy, J"]
    if found.then is not None:
        columns += [f"then: weight, {symbol}", "then: energy, J"]
    lengths = STEP[bow_wording.draw_unit(found.values)]
    first = math.ceil(found.tape(found.now.brace) / lengths)
    last = math.floor(found.tape(found.now.full) / lengths + 1e-9)
    rows = [_point(found.pivot(place * lengths), found) for place in range(first, last + 1)]
    turned = f" Then: {bow_wording.both_moved(prediction.change)}." if found.then is not None else ""
    return Table(
        "points",
        "The curve in numbers",
        tuple(columns),
        tuple(rows),
        f"Draw lengths as you count yours; energy from the strung bow on.{turned}",
        folded=True,
    )


def _point(draw: float, found: Curves) -> tuple[str, ...]:
    unit = wording.force_unit(found)
    uncertainty = found.uncertainty(draw)
    draw = min(draw, found.now.full)
    cells = [
        wording.draw(draw, found),
        fixed(units.from_si(found.now.force(draw), unit), 1),
        "" if uncertainty is None else fixed(units.from_si(2 * uncertainty, unit), 1),
        fixed(units.from_si(found.now.slope(draw), wording.slope_unit(found)), 2),
        fixed(found.now.energy(draw), 1),
    ]
    if found.then is None:
        return tuple(cells)
    if not (at_most(found.then.brace, draw) and at_most(draw, found.then.full)):
        return (*cells, "", "")
    there = found.then.force(draw)
    return (*cells, fixed(units.from_si(there, unit), 1), fixed(found.then.energy(draw), 1))
