"""Standard screw threads a limb bolt may have, the nearest to a measured pitch, and how many turns must stay engaged.

Sources: ISO 261 and ISO 262 (metric coarse and fine, M5 to M12), ASME B1.1 (unified UNC and UNF, No. 10 to 1/2 in;
the inch is exactly 25.4 mm). Lengths in metres.
"""

from dataclasses import dataclass
from enum import StrEnum

from quarterturn.units import INCH

SHORTEST = 1e-6  # m, the least length that is taken for a dimension of a thread
LONGEST = 1.0  # m, the greatest
MOST = 1000  # the greatest number of turns, diameters or matches asked for


class ThreadError(ValueError):
    """A question that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


class ThreadSeries(StrEnum):
    """The standard's series a thread belongs to."""

    METRIC_COARSE = "metric coarse"
    METRIC_FINE = "metric fine"
    UNC = "UNC"
    UNF = "UNF"


@dataclass(frozen=True, slots=True)
class Thread:
    """One standard thread."""

    designation: str
    diameter: float
    """Nominal (major) diameter, m."""
    pitch: float
    """Rise in one turn of the single start, m."""
    series: ThreadSeries


@dataclass(frozen=True, slots=True)
class Match:
    """A standard thread beside a measured pitch."""

    thread: Thread
    relative_difference: float
    """Measured pitch over the standard one, less 1."""


def _metric(diameter: float, pitch: float, series: ThreadSeries) -> Thread:
    return Thread(f"M{diameter:g}×{pitch:g}", diameter / 1000, pitch / 1000, series)


def _unified(size: str, inches: float, per_inch: int, series: ThreadSeries) -> Thread:
    return Thread(f"{size}-{per_inch}", inches * INCH, INCH / per_inch, series)


_COARSE = ((5, 0.8), (6, 1), (7, 1), (8, 1.25), (10, 1.5), (12, 1.75))
_FINE = (
    *((5, 0.5), (6, 0.75), (7, 0.75), (8, 1), (8, 0.75), (10, 1.25), (10, 1), (10, 0.75)),
    *((12, 1.5), (12, 1.25), (12, 1)),
)
_UNC = (("No. 10", 0.19, 24), ("1/4", 0.25, 20), ("5/16", 0.3125, 18), ("3/8", 0.375, 16), ("7/16", 0.4375, 14))
_UNF = (("No. 10", 0.19, 32), ("1/4", 0.25, 28), ("5/16", 0.3125, 24), ("3/8", 0.375, 24), ("7/16", 0.4375, 20))

THREADS: tuple[Thread, ...] = (
    *(_metric(diameter, pitch, ThreadSeries.METRIC_COARSE) for diameter, pitch in _COARSE),
    *(_metric(diameter, pitch, ThreadSeries.METRIC_FINE) for diameter, pitch in _FINE),
    *(_unified(*row, ThreadSeries.UNC) for row in (*_UNC, ("1/2", 0.5, 13))),
    *(_unified(*row, ThreadSeries.UNF) for row in (*_UNF, ("1/2", 0.5, 20))),
)
"""The table, in the fixed order that ties are given in."""

UNDERSIZE = 0.04  # a thread's crests measure up to 4 % less than its nominal diameter
OVERSIZE = 0.01  # and, with the caliper's error, up to 1 % more


def _check_length(name: str, value: float) -> None:
    if not SHORTEST <= value <= LONGEST:  # false for NaN too
        raise ThreadError(name, f"{name.capitalize()} must be a length from 0.001 mm to 1 m.")


def _check_count(name: str, value: float) -> None:
    if not 0 < value <= MOST:
        words = name.replace("_", " ").capitalize()
        raise ThreadError(name, f"{words} must be a number of more than 0 and at most {MOST}.")


def _fits(thread: Thread, diameter: float | None) -> bool:
    if diameter is None:
        return True
    return (1 - UNDERSIZE) * thread.diameter <= diameter <= (1 + OVERSIZE) * thread.diameter


def nearest_threads(pitch: float, diameter: float | None = None, count: int = 3) -> tuple[Match, ...]:
    """Return the standard threads nearest to a measured pitch (m), nearest first, ties in the table's order.

    With a measured outside diameter (m) only threads whose crests can measure so (4 % under to 1 % over nominal) are
    compared: there may be fewer than `count`, or none.
    """
    _check_length("pitch", pitch)
    if diameter is not None:
        _check_length("diameter", diameter)
    _check_count("count", count)
    matches = [Match(thread, pitch / thread.pitch - 1) for thread in THREADS if _fits(thread, diameter)]
    matches.sort(key=lambda match: round(abs(match.relative_difference), 12))
    return tuple(matches[:count])


def thread_named(designation: str) -> Thread:
    """Return the thread of this exact designation, as in `THREADS`."""
    for thread in THREADS:
        if thread.designation == designation:
            return thread
    raise ThreadError("designation", f"{designation} is not in the table: give a designation as M8×1.25 or 3/8-24.")


def pitch_from_rise(rise: float, turns: float) -> float:
    """Return the pitch, m, of a bolt whose head rises this far (m) in this many turns (both positive)."""
    _check_length("rise", rise)
    _check_count("turns", turns)
    return rise / turns
