"""One limb: sources.md A by mpmath's elliptic integrals, SciPy's integrators, and what an elastic line must keep.

SciPy shares only the differential equation of the elastic line with the package; the elliptic integrals not even that.
"""

import itertools
import math
from dataclasses import replace

import mpmath
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from quarterturn.mechanics.limb import FAST, Limb, LimbError, StepCounts, bend, integrate, string_leaves

SOME = settings(max_examples=40, deadline=None, derandomize=True)
FINE = StepCounts(240, 160)
RECURVE = Limb(0.535, 33.37, 0.5, 0.2, -7.0, 0.365)  # model.md section 4 (made up)
REFLEXED = Limb(0.535, 33.37, 0.3, -1.2, -1.2, 0.535)
STRAIGHT = Limb(0.6, 25.0, 0.5, 0.0, 0.0, 0.6)
UNIFORM = Limb(1.0, 1.0, 0.0, 0.0, 0.0, 1.0)
EACH_LIMB = pytest.mark.parametrize(
    "limb",
    [RECURVE, REFLEXED, STRAIGHT, replace(RECURVE, outer_curvature=-14.0)],
    ids=["recurve", "reflexed", "straight", "strong"],
)

limbs = st.builds(
    Limb,
    length=st.floats(0.4, 0.8),
    stiffness=st.floats(10, 80),
    taper=st.floats(0, 0.7),
    inner_curvature=st.floats(-0.4, 0.6),
    outer_curvature=st.floats(-10, -0.5),
    break_at=st.floats(0.2, 0.35),
)


# sources.md A: a cantilever with a dead load across its tip


def cantilever(load: float, steps: StepCounts) -> tuple[float, float, float]:
    """w/L, u/L and tip angle: the string is the load, square to the root, so that ψ there is a right angle."""
    low, high = math.pi / 2, math.pi  # the tip turns from across the string to along it
    for _ in range(60):
        tip = (low + high) / 2
        low, high = (tip, high) if integrate(UNIFORM, steps, load, tip)[2] < math.pi / 2 else (low, tip)
    along, across, *_ = integrate(UNIFORM, steps, load, low)
    return -along, 1 - across, low - math.pi / 2


def by_elliptic_integrals(load: float) -> tuple[float, float, float]:
    """The same by Bisshopp and Drucker's formula (Quart. Appl. Math. 3 (1945) 272; M), with mpmath's integrals (C)."""

    def modulus(angle: mpmath.mpf) -> tuple[mpmath.mpf, mpmath.mpf]:
        m = (1 + mpmath.sin(angle)) / 2
        return m, mpmath.asin(1 / mpmath.sqrt(2 * m))

    def excess(angle: mpmath.mpf) -> mpmath.mpf:
        m, phase = modulus(angle)
        return mpmath.ellipk(m) - mpmath.ellipf(phase, m) - mpmath.sqrt(load)

    angle = mpmath.findroot(excess, (1e-6, mpmath.pi / 2 - 1e-6), solver="anderson")
    m, phase = modulus(angle)
    deflection = 1 - 2 * (mpmath.ellipe(m) - mpmath.ellipe(phase, m)) / mpmath.sqrt(load)
    return float(deflection), float(1 - mpmath.sqrt(2 * mpmath.sin(angle) / load)), float(angle)


# load, then w/L, u/L, tip angle as in the C columns of sources.md A
EXACT = (
    (0.2, 0.06636448214, 0.002646548341, 0.09963616304),
    (0.6, 0.1923502797, 0.02248766798, 0.2907377668),
    (1.0, 0.3017207738, 0.05643323628, 0.4613519497),
    (2.0, 0.4934574804, 0.1606417208, 0.7817498316),
    (5.0, 0.7137915236, 0.3876283607, 1.215368118),
    (10.0, 0.8106090249, 0.5549955978, 1.430285539),
)


@pytest.mark.parametrize(("load", "deflection", "shortening", "angle"), EXACT)
def test_a_cantilever_bends_as_elliptic_integrals_say(
    load: float, deflection: float, shortening: float, angle: float
) -> None:
    printed = (deflection, shortening, angle)
    assert by_elliptic_integrals(load) == pytest.approx(printed, rel=1e-9)
    assert cantilever(load, StepCounts(400, 1)) == pytest.approx(printed, rel=1e-9)  # wanted: 1e-6
    # what twelve steps give: 2.3e-5 off at worst, at the heaviest load, where the limb turns by 82 degrees
    assert cantilever(load, FAST) == pytest.approx(printed, rel=3e-5)


@pytest.mark.parametrize("load", [0.37, 1.7, 3.3, 7.9])
def test_loads_between_those_printed(load: float) -> None:
    assert cantilever(load, StepCounts(400, 1)) == pytest.approx(by_elliptic_integrals(load), rel=1e-9)


def test_a_light_load_bends_as_a_straight_beam() -> None:
    # elementary beam theory: w = PL³/3EI, tip angle PL²/2EI
    deflection, _, angle = cantilever(1e-4, StepCounts(200, 1))
    assert deflection == pytest.approx(1e-4 / 3, rel=1e-6)
    assert angle == pytest.approx(1e-4 / 2, rel=1e-6)


# SciPy's integrator on the same line (C)


def integrated(limb: Limb, tension: float, tip: float) -> tuple[float, float, float, float]:
    """along, δ, ψ at the root and the energy, by an eighth-order rule with error control, piece by piece."""
    leaves = string_leaves(limb, tip)
    state = [0.0, 0.0, tip if leaves == limb.length else 0.0, 0.0]
    ends = [leaves, *([limb.break_at] if limb.break_at < leaves else []), 0.0]
    for start, end in itertools.pairwise(ends):
        curvature = limb.curvature((start + end) / 2)

        def slope(s: float, y: list[float], curvature: float = curvature) -> list[float]:
            flexed = tension * y[1] / (limb.stiffness * (1 - limb.taper * s / limb.length) ** 2)
            return [-math.cos(y[2]), -math.sin(y[2]), curvature + flexed, -0.5 * flexed * tension * y[1]]

        state = list(solve_ivp(slope, (start, end), state, method="DOP853", rtol=1e-12, atol=1e-14).y[:, -1])
    return state[0], state[1], state[2], state[3]


@EACH_LIMB
@pytest.mark.parametrize("tip", [-0.25, -0.11, -1e-9, 0.0, 0.4, 1.2])
@pytest.mark.parametrize("tension", [20.0, 303.0])
def test_root_and_energy_are_scipys(limb: Limb, tension: float, tip: float) -> None:
    along, distance, angle, energy = integrated(limb, tension, tip)
    found = bend(limb, FINE, tension, tip)
    assert found.root[:3] == pytest.approx((along, distance, angle), abs=2e-8)
    assert found.energy == pytest.approx(energy, rel=1e-6, abs=1e-9)
    assert integrate(limb, FINE, tension, tip) == found.root


@SOME
@given(limb=limbs, tension=st.floats(10, 300), tip=st.floats(-0.3, 1.0))
def test_quick_steps_are_near_fine_ones(limb: Limb, tension: float, tip: float) -> None:
    quick, fine = integrate(limb, FAST, tension, tip), integrate(limb, FINE, tension, tip)
    assert quick[:3] == pytest.approx(fine[:3], abs=2e-3 * max(1.0, tension * limb.length**2 / limb.stiffness))


def test_the_error_falls_as_the_fourth_power_of_the_step() -> None:
    exact = integrated(RECURVE, 303.0, 0.3)
    off = [abs(integrate(RECURVE, StepCounts(12 * by, 8 * by), 303.0, 0.3)[0] - exact[0]) for by in (1, 2, 4)]
    assert off[0] / off[1] > 12
    assert off[1] / off[2] > 12


# Derivatives, by differences of SciPy's own results (C)


@EACH_LIMB
@pytest.mark.parametrize("tip", [-0.2, 0.5])
def test_the_derivatives_are_those_of_scipys_results(limb: Limb, tip: float) -> None:
    tension = 150.0
    found = integrate(limb, FINE, tension, tip)
    for place, (by_tension, by_tip) in ((3, (1e-2, 0.0)), (6, (0.0, 1e-4))):
        above = integrated(limb, tension + by_tension, tip + by_tip)
        below = integrated(limb, tension - by_tension, tip - by_tip)
        wide = 2 * (by_tension + by_tip)
        differences = [(high - low) / wide for high, low in zip(above[:3], below[:3], strict=True)]
        assert found[place : place + 3] == pytest.approx(differences, rel=2e-5, abs=2e-7)


# What the string does where it lies on the limb


def test_an_unloaded_limb_keeps_its_own_shape() -> None:
    # the curvature integrated by hand: 0.2·0.365 − 7·0.170 from root to tip
    found = bend(RECURVE, FINE, 0.0, 0.0)
    assert -found.root[2] == pytest.approx(0.2 * 0.365 - 7.0 * 0.170, abs=1e-12)
    assert found.energy == 0


def test_the_string_leaves_a_recurve_along_its_tangent() -> None:
    found = bend(RECURVE, FAST, 303.0, -0.11)
    assert found.places[0] == pytest.approx(0.535 * 0.89)
    assert found.states[0][:3] == (0, 0, 0)
    assert found.wrapped == pytest.approx(0.11 * 0.535)
    assert found.places[-1] == pytest.approx(0, abs=1e-15)
    assert min(abs(place - RECURVE.break_at) for place in found.places) < 1e-12  # a step ends at the break
    assert len(found.places) == len(found.states) == len(found.end_derivatives) == 21
    assert found.least_distance == 0


def test_a_limb_that_curves_toward_the_archer_cannot_have_the_string_on_it() -> None:
    found = bend(STRAIGHT, FAST, 30.0, -0.1)
    assert found.wrapped == 0
    assert found.states[0][2] == -0.1
    assert found.least_distance < 0  # the string would cut through it


def test_touching_the_nock_only_is_where_both_cases_meet() -> None:
    lying, touching = integrate(RECURVE, FINE, 200.0, -1e-12), integrate(RECURVE, FINE, 200.0, 0.0)
    assert lying[:6] == pytest.approx(touching[:6], abs=1e-9)


@SOME
@given(limb=limbs, tension=st.floats(10, 300), tip=st.floats(-0.2, 1.0), factor=st.floats(0.01, 100))
def test_shape_depends_on_tension_over_stiffness_only(limb: Limb, tension: float, tip: float, factor: float) -> None:
    # dimensions: T L²/EI is the one number that counts
    one = bend(limb, FAST, tension, tip)
    other = bend(replace(limb, stiffness=limb.stiffness * factor), FAST, tension * factor, tip)
    assert other.root[:3] == pytest.approx(one.root[:3], rel=1e-9, abs=1e-12)
    assert other.energy == pytest.approx(one.energy * factor, rel=1e-9)


@SOME
@given(limb=limbs, tension=st.floats(10, 300), tip=st.floats(-0.2, 1.0))
def test_the_energys_slope_is_the_work_of_the_string(limb: Limb, tension: float, tip: float) -> None:
    # Castigliano: the root held, the limb takes up T times what its string draws back at a far, fixed place of its line
    step = 1e-5
    assume(not -step <= tip <= step)  # where the string begins to lie on the limb both slopes differ
    below, middle, above = (bend(limb, FINE, tension, tip + by) for by in (-step, 0.0, step))
    longer = above.root[0] - below.root[0] + above.wrapped - below.wrapped
    turned = above.root[2] - below.root[2]
    drawn_back = -(longer + middle.root[1] * turned)
    assert above.energy - below.energy == pytest.approx(tension * drawn_back, rel=1e-3, abs=1e-7)


# What cannot be


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("length", 0.0),
        ("length", math.nan),
        ("length", math.inf),
        ("stiffness", 0.0),
        ("stiffness", -1.0),
        ("stiffness", math.nan),
        ("taper", 1.0),
        ("taper", math.nan),
        ("inner_curvature", math.inf),
        ("outer_curvature", -101.0),
        ("break_at", 0.0),
        ("break_at", 0.6),
        ("break_at", math.nan),
    ],
)
def test_what_is_no_limb_is_refused(name: str, value: float) -> None:
    with pytest.raises(LimbError) as refused:
        replace(RECURVE, **{name: value})
    assert refused.value.parameter == name
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize(("inner", "outer"), [(0, 8), (12, 0), (12, 10**9)])
def test_no_steps_at_all_are_refused(inner: int, outer: int) -> None:
    with pytest.raises(LimbError, match="number of steps"):
        StepCounts(inner, outer)
