"""Where draw lengths are measured from: the grip's pivot point, and the stations that a tape has besides. m.

Source: draw length, the AMO standard.
"""

from __future__ import annotations

from quarterturn.units import INCH

AMO = 1.75 * INCH
"""A draw length on a tape by the AMO standard is more by this than the one from the pivot point."""
MARKED_DRAW = 28 * INCH - AMO
"""From the pivot point: 28 in on a tape by the AMO standard, where a bow's marked weight counts."""
STATIONS = ("pivot", "amo", "plunger", "rest")
FARTHEST = 5.0
"""m: no draw length is more."""


class DrawError(ValueError):
    """A draw length or a reading that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


def _beyond(station: str, offset: float) -> float:
    """Return how far toward the target from the pivot point a draw length at this station begins, m."""
    if station not in STATIONS:
        raise DrawError("draw_station", f"The measuring point of a draw length must be one of {', '.join(STATIONS)}.")
    if station == "pivot":
        return 0.0
    if station == "amo":
        return AMO
    if not abs(offset) <= FARTHEST:  # false for NaN too
        raise DrawError("station_offset", f"The {station}'s place must be a distance of at most {FARTHEST:g} m.")
    return offset


def pivot_draw(length: float, station: str, offset: float = 0.0) -> float:
    """Return the draw length from the pivot point of one that was measured from a station.

    The stations are "pivot", the pivot point itself; "amo", 1.75 in beyond it (AMO standard); "plunger", the middle of
    the plunger hole, and "rest", the arrow rest. `offset` is how far that hole or rest lies from the pivot point toward
    the target, along the arrow, and plays no part for the others: 0 where it lies right over the pivot point
    (common practice, no source).

    Hole and rest lie above the pivot point, and the line from there to the nocking point is therefore a little longer
    than what is measured along the arrow: by √(D² + h²) − D, with h from the pivot point square to the arrow. That is
    left out: 1.2 mm where h is 40 mm and D 650 mm.

    Raises:
        DrawError: for a station that is none, or where the length or the offset is no distance.
    """
    draw = length - _beyond(station, offset)
    if not 0 < draw <= FARTHEST:
        raise DrawError(
            "draw_length", f"The draw length from the pivot point must be more than 0 and at most {FARTHEST:g} m."
        )
    return draw


def on_tape(draw: float, station: str = "amo", offset: float = 0.0) -> float:
    """Return what is measured from a station at this draw length from the pivot point: `pivot_draw`, backward.

    Raises:
        DrawError: as `pivot_draw`.
    """
    if not 0 < draw <= FARTHEST:
        raise DrawError(
            "draw_length", f"The draw length from the pivot point must be more than 0 and at most {FARTHEST:g} m."
        )
    return draw + _beyond(station, offset)
