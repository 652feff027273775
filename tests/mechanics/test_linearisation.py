"""The linearised outcome of a bow that differs a little: differences against those of bows found (central, C)."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from published.bow import DEFAULT_BOW, default_rock
from quarterturn.mechanics.bow import Bow, BowError, BowString, Side
from quarterturn.mechanics.continuation import drawn
from quarterturn.mechanics.equilibrium import braced
from quarterturn.mechanics.limb import StepCounts
from quarterturn.mechanics.linearisation import linearise, linearised_outcome
from quarterturn.units import INCH

ROCK = default_rock()
FULL = 26.25 * INCH
COARSE = StepCounts(5, 3)
Move = Callable[[Bow, float], Bow]


def upper(change: Callable[[Side, float], Side]) -> Move:
    """One side differs, the other does not."""
    return lambda bow, by: replace(bow, upper=change(bow.upper, by))


def limb(name: str) -> Move:
    return upper(lambda side, by: replace(side, limb=replace(side.limb, **{name: getattr(side.limb, name) + by})))


def place(name: str) -> Move:
    return upper(lambda side, by: replace(side, **{name: getattr(side, name) + by}))


MOVES: dict[str, tuple[Move, float]] = {
    "stiffness": (limb("stiffness"), 0.02),
    "taper": (limb("taper"), 2e-4),
    "inner curvature": (limb("inner_curvature"), 5e-4),
    "outer curvature": (limb("outer_curvature"), 3e-3),
    "fulcrum along": (place("fulcrum_y"), 2e-5),
    "fulcrum across": (place("fulcrum_x"), 2e-5),
    "lean": (place("flush_angle"), 2e-5),
    "string": (lambda bow, by: replace(bow, string=BowString(bow.string.upper + by, bow.string.lower)), 1e-5),
}


def found(bow: Bow, rock: tuple[float, float], draw: float) -> list[float]:
    """The bow found from nothing, with many steps."""
    fine = StepCounts(40, 30)
    strung = braced(bow, rock, steps=fine)
    full = drawn(bow, rock, draw, steps=fine, start=strung)
    sides = (strung.upper, strung.lower)
    return [
        strung.brace_height,
        *(one.distance_to_belly for one in sides),
        *(one.moment for one in sides),
        full.force,
        *(one.distance_to_belly for one in (full.upper, full.lower)),
        *(one.moment for one in (full.upper, full.lower)),
    ]


def linearised(bow: Bow, rock: tuple[float, float], draw: float | None = None) -> list[float]:
    """The same of a linearised outcome, from the default bow."""
    strung = braced(DEFAULT_BOW, ROCK)
    full = drawn(DEFAULT_BOW, ROCK, FULL, start=strung)
    one = linearised_outcome(linearise(DEFAULT_BOW, strung, steps=COARSE), bow, rock)
    other = linearised_outcome(linearise(DEFAULT_BOW, full, steps=COARSE), bow, rock, draw=draw)
    return [one.brace_height, *one.distances, *one.moments, other.force, *other.distances, *other.moments]


def check(one: list[list[float]], other: list[list[float]]) -> None:
    """Hold half the difference of two linearised outcomes against that of two bows that were found."""
    seen, expected = (np.subtract(pair[0], pair[1]) / 2 for pair in (one, other))
    # To a hundredth of itself, or of the most that the number does to any length, or to any force or moment.
    lengths, forces = [0, 1, 2, 6, 7], [3, 4, 5, 8, 9]
    for alike in (lengths, forces):
        scale = np.abs(expected[alike]).max()
        assert seen[alike] == pytest.approx(expected[alike], rel=0.01, abs=0.01 * scale)
        assert scale > 0


@pytest.mark.parametrize("name", MOVES)
def test_the_difference_of_linearised_outcomes_is_that_of_bows(name: str) -> None:
    move, by = MOVES[name]
    bows = [move(DEFAULT_BOW, by), move(DEFAULT_BOW, -by)]
    check([linearised(bow, ROCK) for bow in bows], [found(bow, ROCK, FULL) for bow in bows])


def test_of_a_turn_and_of_a_draw_too() -> None:
    turned = [(ROCK[0] + by, ROCK[1]) for by in (2e-5, -2e-5)]
    check([linearised(DEFAULT_BOW, rock) for rock in turned], [found(DEFAULT_BOW, rock, FULL) for rock in turned])
    draws = [FULL + 1e-4, FULL - 1e-4]
    seen = [linearised(DEFAULT_BOW, ROCK, draw)[5] for draw in draws]
    expected = [found(DEFAULT_BOW, ROCK, draw)[5] for draw in draws]
    assert seen[0] - seen[1] == pytest.approx(expected[0] - expected[1], rel=0.01)


def test_a_bow_many_times_as_stiff_is_the_same_in_every_place() -> None:
    """Exactly so without stretch: forces grow with the stiffness, whatever it is (every equation is linear in both)."""
    times = 1.7
    stiff = replace(
        DEFAULT_BOW,
        upper=replace(
            DEFAULT_BOW.upper,
            limb=replace(DEFAULT_BOW.upper.limb, stiffness=times * DEFAULT_BOW.upper.limb.stiffness),
        ),
        lower=replace(
            DEFAULT_BOW.lower,
            limb=replace(DEFAULT_BOW.lower.limb, stiffness=times * DEFAULT_BOW.lower.limb.stiffness),
        ),
    )
    one, other = linearised(DEFAULT_BOW, ROCK), linearised(stiff, ROCK)
    grown = [1, 1, 1, times, times, times, 1, 1, times, times]
    assert other == pytest.approx([each * factor for each, factor in zip(one, grown, strict=True)], rel=1e-9)


def test_where_there_is_no_bow_near_it_is_refused() -> None:
    strung = braced(DEFAULT_BOW, ROCK)
    far = replace(DEFAULT_BOW, string=BowString(0.05, 0.05))
    with pytest.raises(BowError):
        linearised_outcome(linearise(DEFAULT_BOW, strung), far, ROCK)
    with pytest.raises(BowError):
        linearised_outcome(linearise(DEFAULT_BOW, strung), DEFAULT_BOW, (math.nan, 0.0))
