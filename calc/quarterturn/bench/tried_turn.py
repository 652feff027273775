"""What a turn that was tried may have done to tiller, whichever way the limbs lean at flush."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from quarterturn.bench.bow_fit import LEAST_LEAN, MOST_LEAN, FitError, Frame, Measured, fit, strung

STRIDES = 3
SHORTEST = 2e-3
"""So many strides of lean lead to the most and the least that a turn may do to tiller; none is shorter, rad."""

Pair = tuple[float, float]


def explained(frame: Frame, measured: Measured, string: float, rock: Pair) -> Pair | None:
    """The change of tiller nearest to nothing and the farthest from it that rocking the limbs there can make, m.

    Over all leans at flush that are looked at, all readings but the tried turn as they are; `string` as for `fit`. None
    where there is no bow to begin with.
    """
    plain = replace(measured, tried=None)

    def change(lean: float) -> float | None:
        try:
            fitted = fit(replace(frame, flush_angle=lean), plain, string)
            return strung(fitted.bow, rock, near=fitted.braced).belly_tiller - fitted.braced.belly_tiller
        except FitError:
            return None

    found = [_farthest(change, frame.flush_angle, end) for end in (LEAST_LEAN, MOST_LEAN)]
    ends = [each for each in found if each is not None]
    return (min(ends, key=abs), max(ends, key=abs)) if ends else None


def _farthest(change: Callable[[float], float | None], start: float, end: float) -> float | None:
    """What is found at the end, or where on the way there from the start something is found last."""
    found, stride = change(start), (end - start) / STRIDES
    if found is None:
        return None
    place = start
    while abs(end - place) > abs(stride) / 2 and abs(stride) > SHORTEST:
        there = change(place + stride)
        if there is None:
            stride /= 2
        else:
            found, place = there, place + stride
    return found
