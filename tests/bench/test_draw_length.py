"""Where draw lengths are measured from: the AMO standard (sources.md D, S2), a drawing with numbers (C)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarterturn.bench.draw_length import AMO, DrawError, on_tape, pivot_draw

if TYPE_CHECKING:
    from collections.abc import Callable

INCH = 0.0254
ANY = (math.nan, math.inf, -math.inf)


def refused(ask: Callable[..., Any], *arguments: Any) -> tuple[str, str]:
    """The parameter and the sentence of what is refused."""
    with pytest.raises(DrawError) as caught:
        ask(*arguments)
    return caught.value.parameter, str(caught.value)


def test_amo_by_the_standard() -> None:
    """sources.md D (S2): 26.25 in to the pivot point is 28 in."""
    assert pytest.approx(1.75 * INCH, rel=1e-15) == AMO
    assert pivot_draw(28 * INCH, "amo") == pytest.approx(26.25 * INCH, rel=1e-15)
    assert on_tape(26.25 * INCH) == pytest.approx(28 * INCH, rel=1e-15)
    assert pivot_draw(0.66, "pivot") == on_tape(0.66, "pivot") == 0.66


@pytest.mark.parametrize("station", ["plunger", "rest"])
def test_the_nearer_to_the_target_a_place_is_the_longer_is_what_is_measured_from_it(station: str) -> None:
    """A drawing with numbers (C): pivot point at 0, the target to the left, place at −12, nocking point at 660 mm."""
    place, pivot, nock = -0.012, 0.0, 0.660
    assert on_tape(nock - pivot, station, pivot - place) == pytest.approx(nock - place, rel=1e-15)
    assert pivot_draw(nock - place, station, pivot - place) == pytest.approx(nock - pivot, rel=1e-15)
    assert pivot_draw(0.66, station) == on_tape(0.66, station) == 0.66
    assert pivot_draw(0.66, station, -0.02) == pytest.approx(0.68, rel=1e-15)


@given(st.floats(0.2, 1.5), st.sampled_from(["pivot", "amo", "plunger", "rest"]), st.floats(-0.1, 0.1))
def test_there_and_back(draw: float, station: str, offset: float) -> None:
    assert pivot_draw(on_tape(draw, station, offset), station, offset) == pytest.approx(draw, rel=1e-12)
    if station in ("pivot", "amo"):
        assert on_tape(draw, station, offset) == on_tape(draw, station)
        assert pivot_draw(draw, station, offset) == pivot_draw(draw, station, math.nan)


def test_draw_lengths_that_cannot_be() -> None:
    sentence = "The draw length from the pivot point must be more than 0 and at most 5 m."
    for bad in (*ANY, 0.0, -0.6, 26.25):
        assert refused(pivot_draw, bad, "pivot") == ("draw_length", sentence)
        assert refused(on_tape, bad, "pivot") == ("draw_length", sentence)
    assert refused(pivot_draw, AMO, "amo") == ("draw_length", sentence)
    assert pivot_draw(5.0, "pivot") == on_tape(5.0, "pivot") == 5.0
    for bad in (*ANY, 12.0, -12.0):
        for ask in (pivot_draw, on_tape):
            told = refused(ask, 0.7, "rest", bad)
            assert told == ("station_offset", "The rest's place must be a distance of at most 5 m.")
    assert on_tape(0.7, "rest", 5.0) == 5.7
    for ask in (pivot_draw, on_tape):
        told = refused(ask, 0.7, "nose")
        assert told == (
            "draw_station",
            "The measuring point of a draw length must be one of pivot, amo, plunger, rest.",
        )
