"""From a bow that was found, strung or drawn, to the shape that is drawn of it."""

from __future__ import annotations

from quarterturn.figures.bow_view import BowShape, LimbShape
from quarterturn.mechanics.bow import Bow, Braced, Drawn
from quarterturn.mechanics.limb_line import LimbLine, limb_lines


def shape_of(bow: Bow, found: Braced | Drawn) -> BowShape:
    """Return the shape of this bow as it was found.

    The tiller's stations are the fulcrums, where the belly face rests: what is drawn from there square to the string is
    `distance_to_belly`.
    """
    upper, lower = limb_lines(bow, found)
    high = (bow.upper.fulcrum_x, bow.upper.fulcrum_y)
    low = (bow.lower.fulcrum_x, -bow.lower.fulcrum_y)
    return BowShape(_limb(upper, high), _limb(lower, low), (found.nocking_x, found.nocking_y), fulcrums=(high, low))


def _limb(line: LimbLine, station: tuple[float, float]) -> LimbShape:
    contact = line.leaves if line.leaves < len(line.points) - 1 else None
    return LimbShape(line.points, contact, station)
