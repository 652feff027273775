"""What was found on the way is used again: limbs of the bow a search begins with, and of its last but one state.

Outside sources: SciPy's hybrid method for the equations of equal forces, written apart here from where a limb's root
lies (C); a limb that is integrated anew (the same rule, so a check of the reuse alone). All bows are made up.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import root

from published.bow import DEFAULT_BOW, default_rock
from quarterturn.mechanics import limb as limb_module
from quarterturn.mechanics.bow import Bow, BracedBow, DrawnBow, Side
from quarterturn.mechanics.continuation import curve, drawn
from quarterturn.mechanics.equilibrium import braced
from quarterturn.mechanics.limb import FAST, Limb, StepCounts, bend, integrate
from quarterturn.units import INCH

SOME = settings(max_examples=40, deadline=None, derandomize=True)
ROCK = default_rock()
FULL = 26.25 * INCH
UNLIKE = replace(
    DEFAULT_BOW, upper=replace(DEFAULT_BOW.upper, limb=replace(DEFAULT_BOW.upper.limb, stiffness=31.0, taper=0.45))
)
STRETCHING = replace(UNLIKE, string=replace(UNLIKE.string, stretch_stiffness=4e4))


# Equal forces, apart


def nocking_point(side: Side, rock: float, string: float, tension: float, tip: float) -> np.ndarray:
    """Where a limb's string puts the nocking point, from the root of the limb as it is integrated."""
    lean = side.flush_angle + rock
    along, off, turned = integrate(side.limb, FAST, tension, tip)[:3]
    back = np.array([math.sin(lean), math.cos(lean)])
    square = np.array([-math.cos(lean), math.sin(lean)])
    limb_root = np.array([side.fulcrum_x, side.fulcrum_y]) + side.line_offset * square + side.root_distance * back
    angle = lean - turned
    free = string - (along + side.limb.length * max(0.0, -tip) if side.limb.takes_string else along)
    return (
        limb_root
        - free * np.array([math.sin(angle), math.cos(angle)])
        + off * np.array([math.cos(angle), -math.sin(angle)])
    )


def pull(side: Side, rock: float, tension: float, tip: float) -> np.ndarray:
    angle = side.flush_angle + rock - integrate(side.limb, FAST, tension, tip)[2]
    return tension * np.array([math.sin(angle), math.cos(angle)])


def solved(bow: Bow, rock: tuple[float, float], start: BracedBow | DrawnBow) -> np.ndarray:
    """T and q of both limbs where forces are equal, begun from what was found."""
    draw = start.draw if isinstance(start, DrawnBow) else None
    stretch = bow.string.stretch_stiffness
    mirror = np.array([1.0, -1.0])
    first = np.array([start.upper.tension, start.upper.bent.tip, start.lower.tension, start.lower.bent.tip])
    scale = np.array([first[0], 1.0, first[2], 1.0])

    def off(scaled: np.ndarray) -> list[float]:
        t1, q1, t2, q2 = scaled * scale
        longer = [1 + t / stretch if stretch else 1.0 for t in (t1, t2)]
        one = nocking_point(bow.upper, rock[0], bow.string.upper * longer[0], t1, q1)
        two = nocking_point(bow.lower, rock[1], bow.string.lower * longer[1], t2, q2) * mirror
        force = (pull(bow.upper, rock[0], t1, q1) + pull(bow.lower, rock[1], t2, q2) * mirror) / first[0]
        apart = one - two
        if draw is None:
            return [*apart, *force]
        return [*apart, math.hypot(*one) - draw, one[0] * force[1] - one[1] * force[0]]

    found = root(off, first / scale, method="hybr", options={"xtol": 1e-13})
    assert max(map(abs, found.fun)) < 1e-10
    there: np.ndarray = np.asarray(found.x) * scale
    return there


def check(bow: Bow, rock: tuple[float, float], found: BracedBow | DrawnBow, shape: float = 1e-8) -> None:
    """Hold what was found against equal forces, and its limbs against limbs integrated anew."""
    t1, q1, t2, q2 = solved(bow, rock, found)
    assert [found.upper.tension, found.lower.tension] == pytest.approx([t1, t2], rel=1e-9)
    assert [found.upper.bent.tip, found.lower.bent.tip] == pytest.approx([q1, q2], abs=1e-9)
    for half, side in ((found.upper, bow.upper), (found.lower, bow.lower)):
        anew = bend(side.limb, FAST, half.tension, half.bent.tip)
        assert half.bent.root[:3] == pytest.approx(anew.root[:3], rel=1e-9, abs=1e-10)
        assert half.bent.root[3:] == pytest.approx(anew.root[3:], rel=3e-3, abs=1e-6)
        assert half.energy == pytest.approx(anew.energy + half.stretched, rel=shape)
        assert half.bent.leaves == anew.leaves
        assert half.bent.places[0] == anew.leaves


turns = st.tuples(st.floats(-0.03, 0.03), st.floats(-0.03, 0.03))


@pytest.mark.long
@SOME
@given(bow=st.sampled_from([DEFAULT_BOW, UNLIKE, STRETCHING]), by=turns, little=st.floats(-3e-5, 3e-5))
def test_from_a_bow_near_by_it_is_found_as_exactly_as_from_nothing(
    bow: Bow, by: tuple[float, float], little: float
) -> None:
    """Also from one so near that no limb is integrated at all, and from one that was found so itself."""
    strung = braced(bow, ROCK)
    full = drawn(bow, ROCK, FULL, start=strung)
    rock = (ROCK[0] + by[0], ROCK[1] + by[1])
    there, then = braced(bow, rock, start=strung), drawn(bow, rock, FULL, start=full)
    for one in (there, then):
        check(bow, rock, one)
    rock = (rock[0] + little, rock[1])
    check(bow, rock, braced(bow, rock, start=there))
    check(bow, rock, drawn(bow, rock, FULL, start=then))


@SOME
@given(times=st.floats(0.5, 2), other=st.floats(0.97, 1.03))
def test_a_limb_that_is_only_stiffer_is_pulled_harder(times: float, other: float) -> None:
    def stiffer(side: Side, by: float) -> Side:
        return replace(side, limb=replace(side.limb, stiffness=by * side.limb.stiffness))

    bow = replace(UNLIKE, upper=stiffer(UNLIKE.upper, times), lower=stiffer(UNLIKE.lower, times * other))
    strung = braced(UNLIKE, ROCK)
    full = drawn(UNLIKE, ROCK, FULL, start=strung)
    check(bow, ROCK, braced(bow, ROCK, start=strung))
    check(bow, ROCK, drawn(bow, ROCK, FULL, start=full))


def test_another_limb_or_other_steps_are_not_taken_for_the_same() -> None:
    strung = braced(DEFAULT_BOW, ROCK)
    found = braced(UNLIKE, ROCK, start=strung)
    check(UNLIKE, ROCK, found)
    for name, by in (("taper", 1e-6), ("outer_curvature", 1e-5), ("length", 1e-7)):
        limb = replace(DEFAULT_BOW.upper.limb, **{name: getattr(DEFAULT_BOW.upper.limb, name) + by})
        bow = replace(DEFAULT_BOW, upper=replace(DEFAULT_BOW.upper, limb=limb))
        check(bow, ROCK, braced(bow, ROCK, start=strung))
    fine = StepCounts(40, 30)
    near, anew = (braced(DEFAULT_BOW, ROCK, steps=fine, start=start) for start in (strung, None))
    assert near.tension == pytest.approx(anew.tension, rel=1e-10)
    assert len(near.upper.bent.states) == len(anew.upper.bent.states) == 71


def test_where_the_string_comes_off_the_recurve_the_limb_is_integrated_anew() -> None:
    """Derivatives differ on either side: a correction across is followed by another."""
    low, high = 0.3, FULL
    strung = braced(DEFAULT_BOW, ROCK)
    for _ in range(45):
        middle = (low + high) / 2
        low, high = (
            (middle, high) if drawn(DEFAULT_BOW, ROCK, middle, start=strung).upper.bent.wrapped > 0 else (low, middle)
        )
    for by in (1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4):
        on, off = (drawn(DEFAULT_BOW, ROCK, draw, start=strung) for draw in (low - by, high + by))
        for start, draw in ((on, high + by), (off, low - by)):
            check(DEFAULT_BOW, ROCK, drawn(DEFAULT_BOW, ROCK, draw, start=start))


# How often a limb is integrated


@pytest.fixture
def integrations(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    counts: list[int] = []
    runge_kutta = limb_module._runge_kutta

    def counted(steps, *rest):  # type: ignore[no-untyped-def]
        counts.append(len(steps))
        return runge_kutta(steps, *rest)

    monkeypatch.setattr(limb_module, "_runge_kutta", counted)
    return counts


def test_counted_not_timed(integrations: list[int]) -> None:
    """For the same bow no integration; for a quarter of a turn, two of each limb; for a curve, three a draw length."""
    strung = braced(DEFAULT_BOW, ROCK)
    full = drawn(DEFAULT_BOW, ROCK, FULL, start=strung)
    integrations.clear()
    braced(DEFAULT_BOW, ROCK, start=strung)
    drawn(DEFAULT_BOW, ROCK, FULL, start=full)
    assert integrations == []
    rock = (ROCK[0] - 0.004, ROCK[1])
    braced(DEFAULT_BOW, rock, start=strung)
    assert integrations == [20] * 4
    integrations.clear()
    drawn(DEFAULT_BOW, rock, FULL, start=full)
    assert integrations == [20] * 4
    integrations.clear()
    curve(DEFAULT_BOW, ROCK, [strung.draw + (FULL - strung.draw) * at / 20 for at in range(1, 21)], start=strung)
    assert len(integrations) <= 20 * 2 * 3
    integrations.clear()
    braced(DEFAULT_BOW, ROCK)
    assert sum(integrations) < 700


# One limb

RECURVE = DEFAULT_BOW.upper.limb
BENT = st.tuples(st.floats(100, 400), st.one_of(st.floats(-0.25, -0.02), st.floats(0.02, 0.8)))


def numbers(half: object) -> np.ndarray:
    return np.array([state[:3] for state in half.states])  # type: ignore[attr-defined]


@SOME
@given(state=BENT, by=st.floats(-1, 1), turned=st.floats(-1, 1))
def test_a_correction_leaves_an_error_of_its_square(state: tuple[float, float], by: float, turned: float) -> None:
    """What it leaves is Taylor's term of second order, by differences of limbs that are integrated anew (C)."""
    tension, tip = state
    assume(abs(by) + abs(turned) > 0.5)
    near, off = bend(RECURVE, FAST, tension, tip), []
    for size in (4e-3, 1e-3):
        there, back = ((tension * (1 + by * step), tip + turned * step) for step in (size, -size))
        found, anew = near.corrected(*there), bend(RECURVE, FAST, *there)
        assert (found.tension, found.tip) == there
        assert found.leaves == anew.leaves
        assert found.states[0] == anew.states[0]
        places = [np.array(limb.root[:3]) for limb in (anew, near, bend(RECURVE, FAST, *back))]
        off.append(float(np.abs(np.subtract(found.root[:3], anew.root[:3])).max()))
        second = float(np.abs(places[0] - 2 * places[1] + places[2]).max()) / 2
        assert off[-1] == pytest.approx(second, rel=0.1)
    assert off[0] == pytest.approx(16 * off[1], rel=0.1)


@SOME
@given(state=BENT, times=st.floats(0.1, 10))
def test_a_stiffer_limb_is_as_it_would_be_found(state: tuple[float, float], times: float) -> None:
    limb = replace(RECURVE, stiffness=times * RECURVE.stiffness)
    found = bend(RECURVE, FAST, *state).stiffened(limb)
    anew = bend(limb, FAST, times * state[0], state[1])
    assert isinstance(found.limb, Limb)
    assert found.limb == limb
    assert found.tension == pytest.approx(anew.tension)
    for one, other in zip(found.states, anew.states, strict=True):
        assert one == pytest.approx(other, rel=1e-9, abs=1e-12)
    assert found.energy == pytest.approx(anew.energy, rel=1e-10)
    assert np.array(found.end_derivatives) == pytest.approx(np.array(anew.end_derivatives), rel=1e-9, abs=1e-15)
    assert found.places == anew.places
