"""An arrow's mass and stiffness against the draw weight.

Outside sources: 5 grains a pound, 60 lb: 300 gr = 19.44 g (AMO, S2, sources.md D); static spine, 1.94 lb on 28 in (ASTM
F2031, S2), and the older test, 2 lb on 26 in, of which a shaft of 500 reads 413 (S2); the deflection of a beam by
virtual work with SciPy's quadrature, and by solving its equation (C); the first free bending of a bar,
22.3733·√(EI/μL⁴) (Young and Felgar 1949, M); units by pint (C).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from published import Row
from published.arrows import ROWS
from quarterturn.bench import arrows
from quarterturn.bench.arrows import ArrowError, MassJudgement, by_proportion, deflection, held, stiffness

REGISTRY: pint.UnitRegistry[float] = pint.get_application_registry()  # type: ignore[no-untyped-call]
GRAIN = 64.79891e-6
LBF = 4.4482216152605
INCH = 0.0254
positive = st.floats(1e-3, 1e3)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.what)
def test_ours_is_the_published_number(row: Row) -> None:
    assert row.agrees(), f"{row.printed} {row.unit} published, {row.ours()} ours"
    for off in (3, -3):
        assert not replace(row, published=row.published + off * row.tolerance).agrees()


def test_general_least_is_five_grains_a_pound_force() -> None:
    found = (5 * REGISTRY("grain") / REGISTRY("force_pound")).to("kilogram / newton").magnitude
    assert pytest.approx(found, rel=1e-12) == arrows.GENERAL_LEAST
    # In the trade's units for the sum of sources.md D.
    assert held(300 * GRAIN, 60 * LBF, arrows.GENERAL_LEAST).spare == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("mass", "weight", "ratio"),
    [(320, 38, 8.4210526), (180, 38, 4.7368421), (540, 60, 9.0), (350, 70, 5.0)],
)
def test_mass_for_a_pound_is_a_plain_division_in_the_trades_units(mass: float, weight: float, ratio: float) -> None:
    found = held(mass * GRAIN, weight * LBF, arrows.GENERAL_LEAST)
    quantity = REGISTRY.Quantity(found.ratio, "kilogram / newton").to("grain / force_pound")
    assert quantity.magnitude == pytest.approx(ratio, rel=1e-7)
    assert found.needed == pytest.approx(5 * weight * GRAIN)
    assert found.spare == pytest.approx((mass - 5 * weight) * GRAIN, abs=1e-12)
    assert found.heaviest_bow == pytest.approx(mass / 5 * LBF)


@pytest.mark.parametrize(
    ("mass", "uncertainty", "judged"),
    [
        (200.0, 0.0, MassJudgement.ENOUGH),  # 40 lb at 5 gr/lb: exactly enough is enough
        (199.9, 0.0, MassJudgement.LIGHT),
        (200.0, 0.1, MassJudgement.NEAR),
        (204.9, 1.0, MassJudgement.NEAR),  # 41 lb wants 205
        (205.0, 1.0, MassJudgement.ENOUGH),
        (199.9, 1.0, MassJudgement.LIGHT),
    ],
)
def test_an_arrow_is_enough_only_at_the_heaviest_that_the_bow_may_be(
    mass: float, uncertainty: float, judged: MassJudgement
) -> None:
    found = held(mass * GRAIN, 40 * LBF, arrows.GENERAL_LEAST, uncertainty * LBF)
    assert found.judged is judged
    assert found.heaviest == pytest.approx((40 + uncertainty) * LBF)


@pytest.mark.long
@given(positive, positive, positive, st.floats(0, 100))
def test_more_uncertainty_never_makes_an_arrow_better(
    mass: float, weight: float, least: float, uncertainty: float
) -> None:
    order = [MassJudgement.ENOUGH, MassJudgement.NEAR, MassJudgement.LIGHT]
    without, with_it = (order.index(held(mass, weight, least, each).judged) for each in (0.0, uncertainty))
    assert with_it >= without
    assert (with_it == 2) == (without == 2)


# Stiffness


def by_virtual_work(force: float, span: float, ei: float) -> float:
    """Deflection in the middle: twice the integral over half of the span of (F x/2)·(x/2)/EI."""
    return 2 * float(quad(lambda x: (force * x / 2) * (x / 2) / ei, 0, span / 2)[0])


def by_its_equation(force: float, span: float, ei: float) -> float:
    """The same by y'' = M/EI from the middle, where the slope is nothing, to the support."""

    def grow(x: float, y: Sequence[float]) -> list[float]:
        return [y[1], force / 2 * (span / 2 - x) / ei]

    return float(solve_ivp(grow, (0, span / 2), [0, 0], rtol=1e-11, atol=1e-14).y[0, -1])


@pytest.mark.parametrize("spine", [300, 500, 700, 1000])
def test_stiffness_is_that_of_a_beam_that_bends_so_far(spine: float) -> None:
    ei = stiffness(spine * INCH / 1000)
    for found in (by_virtual_work, by_its_equation):
        assert found(1.94 * LBF, 28 * INCH, ei) == pytest.approx(spine * INCH / 1000, rel=1e-8)
        assert found(2 * LBF, 26 * INCH, ei) == pytest.approx(
            deflection(ei, arrows.OLDER_FORCE, arrows.OLDER_SPAN), rel=1e-8
        )
    assert deflection(ei) == pytest.approx(spine * INCH / 1000)


def test_stiffness_of_a_shaft_of_500_by_hand() -> None:
    # 1.94 lbf = 8.62955 N; (0.7112 m)³ = 0.359728 m³; 48 · 12.7 mm = 0.6096 m: 5.09236 N·m²
    assert stiffness(0.0127) == pytest.approx(5.09236, abs=1e-5)


def test_the_older_test_reads_less_by_one_factor() -> None:
    exact = Fraction(2) * 26**3 / (Fraction(194, 100) * 28**3)
    for spine in (250e-6, 0.0127, 0.02):
        found = deflection(stiffness(spine), arrows.OLDER_FORCE, arrows.OLDER_SPAN) / spine
        assert found == pytest.approx(float(exact), rel=1e-12)
    assert float(exact) == pytest.approx(0.825, abs=0.0005)


def swings(ei: float, force: float, mass: float, length: float, stroke: float) -> float:
    """How many free swings a bar makes while a steady force pushes it along its stroke."""
    pushed = math.sqrt(2 * stroke * mass / force)
    return 22.3733 / (2 * math.pi) * math.sqrt(ei / (mass / length * length**4)) * pushed


@pytest.mark.long
@given(st.floats(0.2, 5), st.floats(0.5, 2))
def test_by_proportion_the_arrow_swings_as_often_as_before(soft: float, ratio: float) -> None:
    before, spine = 170.0, soft * 0.0127
    after = before * ratio
    then = by_proportion(spine, before, after)
    assert stiffness(then) / after == pytest.approx(stiffness(spine) / before)
    one, other = (swings(stiffness(each), force, 0.02, 0.72, 0.45) for each, force in ((spine, before), (then, after)))
    assert one == pytest.approx(other)
    assert (then < spine) == (after > before) or then == pytest.approx(spine)


def test_size_and_direction_by_hand() -> None:
    # 40 to 44 lb: a spine of 600 becomes 545; to 36 lb, 667.
    assert by_proportion(600, 40 * LBF, 44 * LBF) == pytest.approx(545.4545, abs=1e-3)
    assert by_proportion(600, 40 * LBF, 36 * LBF) == pytest.approx(666.6667, abs=1e-3)
    assert by_proportion(600, 170, 170) == 600


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_what_is_no_arrow_is_refused_by_name(bad: float) -> None:
    for call, name in (
        (lambda: held(bad, 170, 1e-4), "mass"),
        (lambda: held(0.02, bad, 1e-4), "weight"),
        (lambda: held(0.02, 170, bad), "least"),
        (lambda: stiffness(bad), "deflection"),
        (lambda: stiffness(0.01, force=bad), "force"),
        (lambda: stiffness(0.01, span=bad), "span"),
        (lambda: deflection(bad), "stiffness"),
        (lambda: by_proportion(bad, 170, 170), "spine"),
        (lambda: by_proportion(0.01, bad, 170), "weight_before"),
        (lambda: by_proportion(0.01, 170, bad), "weight_after"),
    ):
        with pytest.raises(ArrowError, match="must be a number greater than 0") as caught:
            call()
        assert caught.value.parameter == name


@pytest.mark.parametrize("bad", [-1e-9, math.nan, math.inf])
def test_an_uncertainty_is_never_less_than_nothing(bad: float) -> None:
    with pytest.raises(ArrowError, match="must be 0 or more"):
        held(0.02, 170, 1e-4, bad)
