"""What holds for every bow that is found, whatever was read (model.md 4; C): drawn setups, no expected numbers.

Energy and moment, energy and force, forces and stiffness, a bow and its mirror image: sources.md B5. SciPy's Gauss
quadrature (C).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from quarterturn.bench.bow_fit import FitError, FittedBow, Weighing
from quarterturn.bench.bow_setup import Setup, as_it_is, fitted_bow, foretold, strung
from quarterturn.bench.outcomes import Outcome, outcome
from quarterturn.mechanics import continuation
from quarterturn.mechanics import limb as limb_module
from quarterturn.mechanics.bow import BowError, DrawnBow
from quarterturn.mechanics.pocket import Pocket

pytestmark = pytest.mark.long

LBF = 4.4482216152605
FULL = 26.25 * 0.0254
"""28 in by the AMO standard, from the pivot point."""
COUNT = 24


def near(low: float, high: float, digits: int = 4) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda x: round(x, digits))


POCKETS = st.builds(
    lambda arm, cover, depth, fitting: Pocket(arm, depth, arm + cover, 0.0095, 0.0051, 0.0254 / 24, fitting),
    near(0.05, 0.075),
    near(0.002, 0.008),
    near(0.006, 0.010),
    near(0.06, 0.09),
)
TURNS = near(0.3, 4, 3)
SHAPES = st.sampled_from(["working recurve", "strong recurve", "hardly any recurve", "no recurve at all"])
CURVATURES = {
    "working recurve": (0.2, -7.0),
    "strong recurve": (0.3, -10.0),
    "hardly any recurve": (-0.3, -1.0),
    "no recurve at all": (0.0, 0.001),
}
"""Inner and outer curvature of the unstrung limb, 1/m; the last limb takes no string."""


@st.composite
def setups(draw: st.DrawFn) -> Setup:
    """Unequal limbs and fulcrums, the nock high or low; at times a bolt past first touch, or a string that gives."""
    inner, outer = CURVATURES[draw(SHAPES)]
    brace, ahead, tiller = draw(near(0.20, 0.24)), draw(near(0.03, 0.06)), draw(near(-0.012, 0.012))
    upper, lower, limb = draw(near(0.28, 0.33)), draw(near(0.27, 0.32)), draw(near(0.52, 0.59))
    string = round((0.945 if outer < 0 else 0.955) * (upper + lower + 2 * limb), 4)
    now = (draw(TURNS), draw(TURNS))
    if draw(st.integers(0, 4)) == 0:
        now = (now[0] + 5, now[1])
    return Setup(
        brace_height=brace,
        upper_tiller=brace - ahead + tiller / 2,
        lower_tiller=brace - ahead - tiller / 2,
        weighings=(Weighing(FULL, draw(near(28, 46, 1)) * LBF),),
        string_length=string,
        string_upper=round(draw(near(0.45, 0.51)) * string, 4),
        upper_fulcrum=upper,
        fulcrum_span=upper + lower,
        limb_length=limb,
        limb_depth=0.008,
        pockets=(draw(POCKETS), draw(POCKETS)),
        now=now,
        flush_angle=draw(near(0.0, 0.08)) if outer < -2 else draw(near(0.08, 0.2)),
        inner_curvature=inner,
        recurve_curvature=outer,
        stretch=draw(st.sampled_from([0.0, 0.0, 4e-6])),
    )


def found(setup: Setup) -> FittedBow:
    """The bow; where there is none a sentence says so, and the setup is not what is looked at."""
    try:
        return fitted_bow(setup)
    except FitError as error:
        refused(error)
        raise


def refused(error: FitError) -> None:
    assert error.reading in ("brace_height", "tiller", "draw_weight", "turns")
    assert str(error).endswith(".")
    assume(False)


def around(setup: Setup) -> tuple[Outcome, Outcome, Outcome]:
    """As it stands, and what a quarter of a turn in of the upper and of the lower bolt makes of it."""
    upper, lower = setup.now
    try:
        now = outcome(as_it_is(setup, FULL))
        one, two = (outcome(foretold(setup, FULL, turns)) for turns in ((upper - 0.25, lower), (upper, lower - 0.25)))
    except FitError as error:
        refused(error)
        raise
    return now, one - now, two - now


def numbers(one: Outcome) -> list[float]:
    """Each in a size of its own: 1 N, 1 mm, 1 N·m."""
    lengths = (one.brace_height, one.upper_tiller, one.lower_tiller)
    return [one.weight, *(1000 * each for each in lengths), one.upper_moment, one.lower_moment]


several = settings(max_examples=COUNT)


@several
@given(setups())
def test_the_bow_gives_its_readings_and_every_number_is_one(setup: Setup) -> None:
    fitted = found(setup)
    if not setup.stretch:
        assert fitted.braced.brace_height == pytest.approx(setup.brace_height, abs=2e-7)
        assert fitted.braced.belly_tiller == pytest.approx(setup.upper_tiller - setup.lower_tiller, abs=2e-7)
        assert fitted.off == pytest.approx((0.0,), abs=1e-6)
    assert fitted.braced.least_stiffness > 0
    assert fitted.ratio > 0
    for one in around(setup):
        assert all(map(math.isfinite, numbers(one)))
    # The two halves of the string are one straight line, and tension balances at it.
    upper, lower = fitted.braced.upper, fitted.braced.lower
    assert upper.tension == pytest.approx(lower.tension, rel=1e-6)
    assert upper.string_angle == pytest.approx(-lower.string_angle, abs=1e-7)


@several
@given(setups())
def test_the_energy_falls_with_the_lean_by_the_moment(setup: Setup) -> None:
    """dE/dφ = −M_F at the same draw length, for either limb; central differences."""
    fitted = found(setup)
    here = fitted.weighed[0]
    by = 2e-4
    for at, moment in enumerate((here.upper.moment, here.lower.moment)):
        ends = []
        for more in (by, -by):
            rock = (fitted.rock[0] + more * (at == 0), fitted.rock[1] + more * (at == 1))
            ends.append(continuation.drawn(fitted.bow, rock, here.draw, start=here).energy)
        assert (ends[0] - ends[1]) / (2 * by) == pytest.approx(-moment, rel=1e-3)


POINTS, WEIGHTS = np.polynomial.legendre.leggauss(6)
PIECES = 4


@several
@given(setups())
def test_the_work_of_the_draw_is_the_energy_that_is_stored(setup: Setup) -> None:
    """∫F dD = ΔE by Gauss's rule in pieces: the curve has a bend where the string leaves the recurve."""
    fitted = found(setup)
    start, end = fitted.braced.draw, fitted.weighed[0]
    edges = np.linspace(start, end.draw, PIECES + 1)
    half = (edges[1] - edges[0]) / 2
    draws = [float(low + half * (1 + point)) for low in edges[:-1] for point in POINTS]
    try:
        pulled: tuple[DrawnBow, ...] = continuation.curve(fitted.bow, fitted.rock, draws, start=fitted.braced)
    except BowError:
        assume(False)
        raise
    work = half * math.fsum(weight * one.force for weight, one in zip(np.tile(WEIGHTS, PIECES), pulled, strict=True))
    assert work == pytest.approx(end.energy - fitted.braced.energy, rel=2e-4)
    assert all(one.force > 0 for one in pulled)


@several
@given(setups(), st.floats(0.7, 1.4))
def test_forces_go_with_the_stiffness_and_lengths_do_not(setup: Setup, factor: float) -> None:
    setup = replace(setup, stretch=0.0)
    (one,) = setup.weighings
    heavier = replace(setup, weighings=(Weighing(one.draw, factor * one.force),))
    before, after = found(setup), found(heavier)
    assert after.bow.upper.limb.stiffness == pytest.approx(factor * before.bow.upper.limb.stiffness, rel=1e-9)
    for first, second in zip(around(setup), around(heavier), strict=True):
        scaled = replace(
            first,
            weight=factor * first.weight,
            upper_moment=factor * first.upper_moment,
            lower_moment=factor * first.lower_moment,
        )
        assert numbers(second) == pytest.approx(numbers(scaled), rel=1e-6, abs=2e-5)


def upside_down(setup: Setup) -> Setup:
    return replace(
        setup,
        upper_tiller=setup.lower_tiller,
        lower_tiller=setup.upper_tiller,
        string_upper=setup.string_length - setup.string_upper,
        upper_fulcrum=setup.fulcrum_span - setup.upper_fulcrum,
        pockets=(setup.pockets[1], setup.pockets[0]),
        now=(setup.now[1], setup.now[0]),
    )


def swapped(one: Outcome) -> Outcome:
    return Outcome(one.weight, one.brace_height, one.lower_tiller, one.upper_tiller, one.lower_moment, one.upper_moment)


@several
@given(setups())
def test_a_bow_upside_down_has_its_effects_swapped(setup: Setup) -> None:
    setup = replace(setup, stretch=0.0)
    one, other = found(setup), found(upside_down(setup))
    assert other.string == pytest.approx(one.string, abs=1e-6)
    assert other.ratio == pytest.approx(1 / one.ratio, rel=1e-5)
    now, upper, lower = around(setup)
    mirrored = around(upside_down(setup))
    for there, here in zip(mirrored, (now, lower, upper), strict=True):
        assert numbers(there) == pytest.approx(numbers(swapped(here)), rel=1e-5, abs=2e-3)


@several
@given(setups(), st.sampled_from(["brace_height", "upper_tiller", "lower_tiller", "limb_length", "now", "force"]))
def test_a_little_more_of_a_reading_changes_little(setup: Setup, name: str) -> None:
    """No answer jumps to another branch: a hundredth of a millimetre, of a turn or of a pound."""
    (one,) = setup.weighings
    moved = (
        replace(setup, now=(setup.now[0] + 0.01, setup.now[1]))
        if name == "now"
        else replace(setup, weighings=(replace(one, force=one.force + 0.01 * LBF),))
        if name == "force"
        else replace(setup, **{name: getattr(setup, name) + 1e-5})
    )
    one_, two = found(setup), found(moved)
    assert two.string == pytest.approx(one_.string, abs=2e-3)
    assert two.ratio == pytest.approx(one_.ratio, rel=0.05)
    for before, after in zip(around(setup), around(moved), strict=True):
        # N, mm and N·m
        assert numbers(after) == pytest.approx(numbers(before), abs=0.3, rel=1e-3)


@several
@given(setups())
def test_in_is_more_weight_less_brace_height_and_a_nearer_limb(setup: Setup) -> None:
    """model.md 4, the signs to expect on turning one bolt in; both bolts inside first touch."""
    assume(max(setup.now) < 4.5)
    assume(all(rock < one.fitting_angle for rock, one in zip(setup.rock(setup.now), setup.pockets, strict=True)))
    assume(setup.recurve_curvature < -2)
    found(setup)
    _, upper, lower = around(setup)
    assert upper.weight > 0
    assert lower.weight > 0
    assert upper.brace_height < 0
    assert lower.brace_height < 0
    assert upper.upper_tiller < 0 < upper.lower_tiller
    assert lower.lower_tiller < 0 < lower.upper_tiller
    assert upper.tiller < 0 < lower.tiller


@several
@given(setups())
def test_past_first_touch_turning_out_changes_nothing(setup: Setup) -> None:
    """The fitting alone holds the limb there (model.md 1)."""
    assume(setup.rock(setup.now)[0] == setup.pockets[0].fitting_angle)
    found(setup)
    try:
        here = strung(setup, setup.now)
        there = strung(setup, (setup.now[0] + 1, setup.now[1]))
    except FitError as error:
        refused(error)
        raise
    assert there.brace_height == pytest.approx(here.brace_height, abs=1e-9)
    assert there.belly_tiller == pytest.approx(here.belly_tiller, abs=1e-9)


# No hang

MOST = 30_000
"""So often a limb is integrated at most for one bow, found or refused: some two seconds in a browser."""


@pytest.fixture
def integrated(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How often a limb was integrated since the list was emptied."""
    count = [0]

    runge_kutta = limb_module._runge_kutta

    def counted(steps, *rest):  # type: ignore[no-untyped-def]
        count[0] += 1
        return runge_kutta(steps, *rest)

    monkeypatch.setattr(limb_module, "_runge_kutta", counted)
    return count


def is_found(setup: Setup) -> bool:
    try:
        fitted_bow(setup)
    except FitError:
        return False
    return True


@pytest.mark.long
def test_no_setup_is_searched_for_without_end(integrated: list[int]) -> None:
    """Setups from far beyond what any bow has: found or refused, after a bounded number of integrations."""
    chance = np.random.default_rng(11)
    outcomes = {"found": 0, "refused": 0}
    for _ in range(20):
        brace = float(chance.uniform(0.12, 0.32))
        span, limb = float(chance.uniform(0.3, 0.9)), float(chance.uniform(0.32, 0.9))
        string = (span + 2 * limb) * float(chance.uniform(0.8, 1.05))
        pocket = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, 0.0254 / 24, 0.080)
        setup = Setup(
            brace_height=brace,
            upper_tiller=float(chance.uniform(0.08, 0.32)),
            lower_tiller=float(chance.uniform(0.08, 0.32)),
            weighings=(Weighing(float(chance.uniform(0.26, 0.9)), float(chance.uniform(20, 530))),),
            string_length=string,
            string_upper=string * float(chance.uniform(0.31, 0.69)),
            upper_fulcrum=span * float(chance.uniform(0.3, 0.7)),
            fulcrum_span=span,
            limb_length=limb,
            limb_depth=0.008,
            pockets=(pocket, pocket),
            now=(float(chance.uniform(-1, 9)), float(chance.uniform(-1, 9))),
        )
        integrated[0] = 0
        outcomes["found" if is_found(setup) else "refused"] += 1
        assert integrated[0] < MOST
    assert min(outcomes.values()) > 0
