"""What a force-draw curve tells: SciPy's splines and integrals, rigid limbs in closed form, published numbers.

Sources: sources.md B2 (four measured bows, S), B3 and B4 (C), D (the AMO standard, S2); the default bow, model.md 4
(C: two solutions agree to 1e-6); NIST SP 811 (M); GUM H.3, the calibration of a thermometer (M: its data are from
memory, and its printed results follow from them).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import CubicHermiteSpline, CubicSpline

from quarterturn.bench import force_draw as curves
from quarterturn.bench.bow_fit import BowReadings, Frame, Weighing, fit
from quarterturn.bench.draw_length import DrawError, on_tape, pivot_draw
from quarterturn.bench.force_draw import ForceDraw, against_mark, even_draws, stacking, through
from quarterturn.bench.scale_readings import measured_energy
from quarterturn.mechanics import bow as bows
from quarterturn.mechanics import continuation
from quarterturn.mechanics.contact import rock_angle
from quarterturn.mechanics.pocket import Pocket
from quarterturn.units import to_si

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

INCH = 0.0254
LBF = 4.4482216152605  # N (NIST SP 811)
POUNDS_PER_INCH = to_si(1.0, "lbf/in")  # N/m
ANY = (math.nan, math.inf, -math.inf)


def refused(ask: Callable[..., Any], *arguments: Any) -> tuple[str, str]:
    """The parameter and the sentence of what is refused."""
    with pytest.raises(DrawError) as caught:
        ask(*arguments)
    return caught.value.parameter, str(caught.value)


def test_pounds_per_inch() -> None:
    """NIST SP 811, B.8: pound-force per inch, 1.751268 E+02 N/m (M)."""
    assert pytest.approx(175.1268, abs=5e-5) == POUNDS_PER_INCH


# The spline, against SciPy's


@st.composite
def points(draw: st.DrawFn, least: int = 4) -> tuple[list[float], list[float], list[float]]:
    """Draw lengths in steps that differ up to eight times, with any forces and energies."""
    steps = draw(st.lists(st.floats(0.01, 0.08), min_size=least - 1, max_size=23))
    places = [0.2]
    for step in steps:
        places.append(places[-1] + step)
    any_force = st.lists(st.floats(-200, 200), min_size=len(places), max_size=len(places))
    return places, draw(any_force), draw(any_force)


@given(points())
def test_the_spline_of_scipy(drawn: tuple[list[float], list[float], list[float]]) -> None:
    places, forces, energies = drawn
    curve = through(places, forces, energies)
    spline = CubicSpline(places, forces, bc_type="not-a-knot")
    hermite = CubicHermiteSpline(places, energies, forces)
    ask = np.unique([*places, *np.linspace(places[0], places[-1], 57)])
    size = 1 + float(np.abs(spline(ask)).max())
    steep = 1 + float(np.abs(spline(ask, 1)).max())
    assert [curve.force(at) for at in ask] == pytest.approx(list(spline(ask)), abs=1e-11 * size)
    assert [curve.slope(at) for at in ask] == pytest.approx(list(spline(ask, 1)), abs=1e-10 * steep)
    assert [curve.energy(at) for at in ask] == pytest.approx(list(hermite(ask)), abs=1e-10)
    assert curve.slopes == pytest.approx(list(spline(places, 1)), abs=1e-10 * steep)
    assert (curve.brace, curve.full) == (places[0], places[-1])
    assert (curve.draws, curve.forces, curve.energies) == (tuple(places), tuple(forces), tuple(energies))


@given(points(), st.floats(0, 0.9), st.floats(0.05, 1))
def test_the_least_slope_of_scipy(
    drawn: tuple[list[float], list[float], list[float]], first: float, part: float
) -> None:
    places, forces, energies = drawn
    curve = through(places, forces, energies)
    low = places[0] + first * (places[-1] - places[0])
    high = min(places[-1], low + part * (places[-1] - low))
    spline = CubicSpline(places, forces)
    turns = [at for at in spline.derivative(2).roots(extrapolate=False) if low < at < high]
    inside = [at for at in places if low < at < high]
    least = min(float(spline(at, 1)) for at in (low, high, *turns, *inside))
    found, at = curve.least_slope(low, high)
    steep = 1 + float(np.abs(spline(np.linspace(places[0], places[-1], 99), 1)).max())
    assert found == pytest.approx(least, abs=1e-9 * steep)
    assert low <= at <= high
    assert curve.slope(at) == found


def test_where_a_curve_ends() -> None:
    curve = through((0.2, 0.3, 0.4, 0.65), (0, 40, 60, 150), (0, 2, 7, 30))
    for ask in (curve.force, curve.energy, curve.slope, curve.quality):
        for bad in (*ANY, 0.0, 0.1999, 0.6501):
            assert refused(ask, bad) == (
                "draw",
                "The draw length from the pivot point must be from 200.0 to 650.0 mm: the curve goes no farther.",
            )
    # the last bits of a sum of steps do not count
    assert curve.force(0.65 + 1e-12) == pytest.approx(150, rel=1e-14)
    assert curve.force(0.2 - 1e-13) == 0
    assert curve.energy(0.65 + 1e-12) == pytest.approx(30, rel=1e-14)
    for low, high in ((0.1, 0.5), (0.3, 0.7)):
        assert refused(curve.least_slope, low, high)[0] == "draw"


def test_points_that_make_no_curve() -> None:
    count = "A curve needs four points or more, each with a draw length, a force and an energy."
    for sizes in ((3, 3, 3), (5, 4, 4), (4, 5, 4), (4, 4, 5)):
        rows = [[0.2 + 0.1 * step for step in range(size)] for size in sizes]
        assert refused(through, *rows) == ("draws", count)
    for place in range(3):
        for bad in ANY:
            rows = [[0.2, 0.3, 0.4, 0.5] for _ in range(3)]
            rows[place][3] = bad
            assert refused(through, *rows) == ("draws", "The points of a curve must all be numbers.")
    rise = "The draw lengths of a curve must rise by at least 0.1 mm from point to point."
    for draws in ([0.2, 0.2, 0.3, 0.4], [0.2, 0.3, 0.25, 0.4], [0.2, 0.3, 0.4, 0.40009]):
        assert refused(through, draws, [0, 1, 2, 3], [0, 1, 2, 3]) == ("draws", rise)
    assert through([0.2, 0.3, 0.4, 0.40011], [0, 1, 2, 3], [0, 1, 2, 3]).full == 0.40011


@given(st.floats(0.1, 0.3), st.floats(0.4, 0.9), st.integers(1, 60))
def test_even_draws_of_numpy(brace: float, full: float, count: int) -> None:
    found = even_draws(brace, full, count)
    assert found == pytest.approx(list(np.linspace(brace, full, count + 1))[1:], rel=1e-14)
    assert found[-1] == full


# Rigid limbs on elastic hinges, in closed form (sources.md B4, C)

HINGES = [("0.30", "16.147149", "0.893511"), ("0.40", "26.892820", "3.062735"), ("0.50", "36.813513", "6.247086")]
HINGES += [("0.60", "47.385495", "10.447598"), ("0.66", "54.427764", "13.498668")]


@dataclass(frozen=True)
class Hinged:
    """Limbs of 0.55 m on hinges of 50 N m/rad at ±0.30 m, braced at 0.20 m; by the angle, to 30 digits."""

    string: Any
    at_rest: Any

    def draw(self, angle: Any) -> Any:
        return 0.55 * mpmath.sin(angle) + mpmath.sqrt(self.string**2 - (0.30 + 0.55 * mpmath.cos(angle)) ** 2)

    def force(self, angle: Any) -> Any:
        """Virtual work: F·db = 2·50·φ·dφ, with b by φ put down by hand."""
        up = 0.30 + 0.55 * mpmath.cos(angle)
        by_angle = 0.55 * mpmath.cos(angle) + up * 0.55 * mpmath.sin(angle) / mpmath.sqrt(self.string**2 - up**2)
        return 100 * angle / by_angle

    def angle(self, draw: float) -> Any:
        return mpmath.findroot(lambda angle: self.draw(angle) - draw, (self.at_rest + 1e-9, 0.9), solver="anderson")

    def slope(self, draw: float) -> float:
        angle = self.angle(draw)
        return float(mpmath.diff(self.force, angle) / mpmath.diff(self.draw, angle))


@lru_cache(maxsize=1)
def hinged() -> Hinged:
    at_rest = mpmath.asin(0.2 / mpmath.mpf("0.55"))  # the string is straight: the tips are at the brace height
    return Hinged(0.30 + 0.55 * mpmath.cos(at_rest), at_rest)


@lru_cache(maxsize=1)
def hinged_curve() -> ForceDraw:
    """Nodes from the closed form. Braced itself, F/(db/dφ) is 0/0 in the closed form, and F is 0."""
    draws = even_draws(0.2, 0.66)
    angles = [hinged().angle(draw) for draw in draws]
    energies = [float(50 * (angle**2 - hinged().at_rest ** 2)) for angle in angles]
    return through([0.2, *draws], [0.0, *(float(hinged().force(angle)) for angle in angles)], [0.0, *energies])


@pytest.mark.parametrize(("draw", "force", "energy"), HINGES)
def test_rigid_limbs_as_printed(draw: str, force: str, energy: str) -> None:
    assert hinged_curve().force(float(draw)) == pytest.approx(float(force), abs=2e-3)
    assert hinged_curve().energy(float(draw)) == pytest.approx(float(energy), abs=2e-5)


def test_rigid_limbs_between_the_nodes() -> None:
    curve = hinged_curve()
    for draw in np.linspace(0.25, 0.655, 23):
        angle = hinged().angle(float(draw))
        assert curve.force(draw) == pytest.approx(float(hinged().force(angle)), abs=2e-4)
        assert curve.energy(draw) == pytest.approx(float(50 * (angle**2 - hinged().at_rest ** 2)), abs=5e-6)
        assert curve.slope(draw) == pytest.approx(hinged().slope(float(draw)), rel=5e-4)


def test_how_rigid_limbs_stack() -> None:
    curve = hinged_curve()
    told = stacking(curve)
    draws = np.linspace(0.43, 0.66, 116)
    slopes = [hinged().slope(float(draw)) for draw in draws]
    assert told.slope == pytest.approx(slopes[-1], rel=2e-4)
    assert told.least == pytest.approx(min(slopes), rel=1e-5)
    assert told.least_at == pytest.approx(draws[int(np.argmin(slopes))], abs=3e-3)
    assert told.ratio == pytest.approx(slopes[-1] / min(slopes), rel=2e-4)
    assert told.even == pytest.approx(54.427764 / 0.46, rel=1e-7)
    assert slopes[-1] > 54.427764 / 0.46
    assert told.stacks


# A bow without recurve (sources.md B3, C)

B3 = [
    (3 / 14, 0.0, 0.0),
    (0.3125, 0.2048581567, 0.01118999228),
    (0.4107142857, 0.3340768553, 0.03793137108),
    (0.5089285714, 0.4443846056, 0.07622646357),
    (0.6071428571, 0.5512933508, 0.1251182602),
    (0.7053571429, 0.6607801715, 0.1846030087),
    (0.8035714286, 0.7762204309, 0.2551098432),
    (0.9017857143, 0.9003531726, 0.3373592962),
    (1.0, 1.036033640, 0.4323423687),
]


def test_quality_of_straight_limbs() -> None:
    """At b = 1 q is 0.41730534."""
    curve = through(*zip(*B3, strict=True))
    full = curve.quality(1.0)
    assert full.of_draw == pytest.approx(0.41730534, abs=1e-8)
    assert full.of_stroke == pytest.approx(0.4323423687 / (1.036033640 * 11 / 14), rel=1e-9)
    half = curve.quality(0.6071428571)
    assert half.of_draw == pytest.approx(0.1251182602 / (0.5512933508 * 0.6071428571), rel=1e-9)


def test_straight_limbs_stack() -> None:
    """They are known for it; between the last two rows the force rises faster than on the line from the braced bow."""
    curve = through(*zip(*B3, strict=True))
    assert (1.036033640 - 0.9003531726) / (1 - 0.9017857143) > 1.036033640 / (11 / 14)
    assert stacking(curve).stacks


def test_energy_between_the_rows_of_straight_limbs() -> None:
    """Every other row left out, and found again from the rest."""
    curve = through(*zip(*B3[::2], strict=True))
    for draw, _, energy in B3[3::2]:
        assert curve.energy(draw) == pytest.approx(energy, abs=5e-5)


# The default bow

FULL = 26.25 * INCH


@lru_cache(maxsize=1)
def default_bow() -> tuple[Any, tuple[float, float]]:
    pocket = Pocket(0.060, 0.008, 0.067, 0.0095, 0.0051, 0.0254 / 24, 0.080)
    rock = (rock_angle(pocket, 2), rock_angle(pocket, 2))
    frame = Frame(0.045, 0.315, 0.295, 0.565, 0.008, 0.7879 / 1.6458)
    return fit(frame, BowReadings(rock, 0.221958, 0.004, (Weighing(FULL, 37.9975 * LBF),)), 1.64), rock


def states(draws: Sequence[float]) -> tuple[bows.BracedBow, tuple[bows.DrawnBow, ...]]:
    fitted, rock = default_bow()
    return fitted.braced, continuation.curve(fitted.bow, rock, draws, start=fitted.braced)


@lru_cache(maxsize=2)
def default_curve(full: float = FULL) -> ForceDraw:
    braced, drawn = states(even_draws(default_bow()[0].braced.draw, full))
    return curves.force_draw(braced, drawn)


def test_the_curve_is_the_bows_own() -> None:
    braced, drawn = states((0.3, 0.45, FULL))
    curve = curves.force_draw(braced, drawn)
    assert curve.draws == (braced.draw, 0.3, 0.45, FULL)
    assert curve.forces == (0.0, *(one.force for one in drawn))
    assert curve.energies == (0.0, *(one.energy - braced.energy for one in drawn))
    assert refused(curves.force_draw, braced, drawn[:2])[0] == "draws"


@pytest.mark.parametrize(("draw", "force"), [(14, 11.6148), (18, 20.1527), (22, 26.7715), (26, 33.9148), (28, 37.9975)])
def test_force_by_draw_as_printed(draw: float, force: float) -> None:
    """model.md 4: pounds by draw length on a tape (AMO)."""
    assert default_curve().force(pivot_draw(draw * INCH, "amo")) / LBF == pytest.approx(force, abs=2e-3)


def test_energy_is_the_integral_of_the_force() -> None:
    """sources.md B5, by scipy.integrate.quad (C): the bent bow's energies know nothing of the forces between."""
    curve = default_curve()
    for end in (0.35, 0.5, 0.61, FULL):
        work, _ = quad(curve.force, curve.brace, end, points=[at for at in curve.draws if at < end], limit=100)
        assert curve.energy(end) == pytest.approx(work, abs=1e-3)


def test_how_near_twenty_steps_come() -> None:
    """What the module says of itself, against 400 computed points and SciPy's spline through them (C)."""
    braced, drawn = states(even_draws(default_bow()[0].braced.draw, 28 * INCH, 400))
    fine = CubicSpline([braced.draw, *(one.draw for one in drawn)], [0.0, *(one.force for one in drawn)])
    curve = default_curve()
    for draw in np.linspace(curve.brace, FULL, 300):
        assert curve.force(draw) == pytest.approx(float(fine(draw)), abs=0.01)
        late = draw > (curve.brace + FULL) / 2
        assert curve.slope(draw) == pytest.approx(float(fine(draw, 1)), rel=0.003 if late else 0.006)
    assert curve.slope(FULL) == pytest.approx(float(fine(FULL, 1)), rel=2e-4)


@pytest.mark.parametrize(
    ("stroke", "weight", "brace", "energy", "of_stroke", "of_draw"),
    [
        (0.430, 170.5, 0.219, 42.6, 0.581, 0.385),
        (0.509, 170, 0.219, 50.3, 0.581, 0.406),
        (0.429, 130, 0.217, 33.2, 0.595, 0.395),
    ],
)
def test_quality_of_bows_as_measured(
    stroke: float, weight: float, brace: float, energy: float, of_stroke: float, of_draw: float
) -> None:
    """sources.md B2 (S); the last two columns C."""
    places = [brace, brace + 0.1, brace + 0.2, brace + stroke]
    told = through(places, [0.0, 50.0, 90.0, weight], [0.0, 3.0, 11.0, energy]).quality(brace + stroke)
    assert told.of_stroke == pytest.approx(of_stroke, abs=6e-4)
    assert told.of_draw == pytest.approx(of_draw, abs=6e-4)


def test_quality_of_the_default_bow() -> None:
    """Near those bows, and a little under them: 0.581 and 0.385 are the least of sources.md B2."""
    told = default_curve().quality(FULL)
    assert told.of_stroke == pytest.approx(0.581, rel=0.04)
    assert told.of_draw == pytest.approx(0.385, rel=0.04)


def test_what_the_default_bow_adds_by_the_inch() -> None:
    """model.md 4: 33.9148, 37.9975 and 42.5939 lbf at 26, 28 and 30 in."""
    at28, at30 = stacking(default_curve()), stacking(default_curve(28.25 * INCH))
    forces = [default_curve(28.25 * INCH).force(pivot_draw(inches * INCH, "amo")) / LBF for inches in range(26, 31)]
    assert forces[::2] == pytest.approx([33.9148, 37.9975, 42.5939], abs=2e-3)
    inches = [after - before for before, after in pairwise(forces)]
    assert inches == sorted(inches)
    # even: 38.0 lbf over 17.3 in, and 42.6 over 19.3; the slope lies under the first and over the second
    assert at28.even / POUNDS_PER_INCH == pytest.approx(37.9975 / (26.25 - 8.908), rel=1e-4)
    assert at28.slope / POUNDS_PER_INCH < 37.9975 / (26.25 - 8.908)
    assert not at28.stacks
    assert at30.slope / POUNDS_PER_INCH > (42.5939 - 37.9975) / 2 > 42.5939 / (28.25 - 8.908)
    assert at30.stacks
    # the least slope is searched past the steep beginning, where the string lies on the recurve
    assert 18.5 < on_tape(at28.least_at) / INCH < 20.5
    assert at28.ratio == at28.slope / at28.least > 1.2


def test_full_draw_short_of_the_curves_end() -> None:
    long, short = default_curve(28.25 * INCH), default_curve()
    told, again = stacking(long, FULL), stacking(short)
    for name in ("slope", "least", "ratio", "even"):
        assert getattr(told, name) == pytest.approx(getattr(again, name), rel=2e-3)
    assert told.least_at == pytest.approx(again.least_at, abs=5e-3)
    assert not told.stacks


# Curves with a formula


def formula(force: Callable[[float], float], energy: Callable[[float], float]) -> ForceDraw:
    """Half a metre of draw from 0.2 m, by what was drawn."""
    drawn = [0.02 * step for step in range(26)]
    return through([0.2 + at for at in drawn], [force(at) for at in drawn], [energy(at) for at in drawn])


def test_an_even_spring() -> None:
    """F = 300 x (C): half the rectangle is stored, no inch costs more than another, and nothing stacks."""
    curve = formula(lambda at: 300 * at, lambda at: 150 * at**2)
    told = stacking(curve)
    assert (told.slope, told.least, told.even, told.ratio) == pytest.approx((300, 300, 300, 1), rel=1e-9)
    assert not told.stacks
    assert curve.quality(0.6).of_stroke == pytest.approx(0.5, rel=1e-9)
    assert curve.quality(0.6).of_draw == pytest.approx(0.5 * 0.4 / 0.6, rel=1e-9)


def test_a_cubic_whose_least_slope_lies_between_nodes() -> None:
    """F = 300 x − 700 x² + 700 x³ (C): the slope 300 − 1400 x + 2100 x² is least, 66⅔, at x = ⅓."""

    def force(at: float) -> float:
        return 300 * at - 700 * at**2 + 700 * at**3

    told = stacking(formula(force, lambda at: 150 * at**2 - 700 / 3 * at**3 + 175 * at**4))
    assert told.least == pytest.approx(200 / 3, rel=1e-8)
    assert told.least_at == pytest.approx(0.2 + 1 / 3, abs=1e-6)
    assert told.slope == pytest.approx(300 - 700 + 525, rel=1e-9)
    assert told.ratio == pytest.approx(125 / (200 / 3), rel=1e-8)
    assert told.even == pytest.approx(force(0.5) / 0.5, rel=1e-12)
    # 125 N/m where the even share is 125 N/m: the rule is about more than that
    assert told.slope == pytest.approx(told.even, rel=1e-9)
    assert not told.stacks


@pytest.mark.parametrize(("power", "stacks"), [(0.999, False), (1.001, True), (2.0, True), (0.6, False)])
def test_a_power_stacks_from_one_on(power: float, stacks: bool) -> None:
    """F = 300 xⁿ (C): its slope over the even one is n."""
    told = stacking(formula(lambda at: 300 * at**power, lambda at: 300 / (power + 1) * at ** (power + 1)))
    assert told.slope / told.even == pytest.approx(power, rel=1e-4)
    assert told.stacks is stacks


def test_what_cannot_stack() -> None:
    curve = formula(lambda at: 300 * at, lambda at: 150 * at**2)
    near = "Full draw must be at least 2 in (51 mm) from the strung bow."
    assert refused(stacking, curve, 0.2507) == ("draw", near)
    assert stacking(curve, 0.2509).ratio == pytest.approx(1, rel=1e-9)
    assert refused(stacking, curve, 0.71)[0] == "draw"
    falling = formula(lambda at: 300 * at - 400 * at**2, lambda at: 150 * at**2 - 400 / 3 * at**3)
    assert refused(stacking, falling) == ("draw", "The force must rise from mid-draw to full draw.")
    assert refused(stacking, formula(lambda at: 300 * min(at, 0.1), lambda at: at))[0] == "draw"
    assert stacking(formula(lambda at: 0.5 * at, lambda at: 0.25 * at**2)).least == pytest.approx(0.5, rel=1e-9)
    assert stacking(falling, 0.56).least == pytest.approx(12, rel=1e-6)


def test_no_quality_without_force() -> None:
    told = ("draw", "The draw length must be more than that of the strung bow, which has no force.")
    curve = formula(lambda at: 300 * at, lambda at: 150 * at**2)
    assert refused(curve.quality, 0.2) == told
    dead = formula(lambda at: 0.0 * at, lambda at: 0.0 * at)
    assert refused(dead.quality, 0.4) == told


# The mark on the limbs


def test_against_the_mark() -> None:
    """model.md 4: 37.9975 lbf at 28 in AMO, by hand against marks of 36 and 40 lb (C)."""
    for curve in (default_curve(), default_curve(28.25 * INCH)):
        for mark in (36, 40):
            assert against_mark(mark * LBF, curve) / LBF == pytest.approx(37.9975 - mark, abs=2e-3)


def test_a_mark_that_is_none() -> None:
    for bad in (*ANY, 0.0, -100.0):
        told = refused(against_mark, bad, default_curve())
        assert told == ("marked_weight", "The marked weight must be a force of more than 0.")
    short = through((0.2, 0.3, 0.4, 0.6), (0, 40, 60, 150), (0, 2, 7, 30))
    assert refused(against_mark, 150.0, short)[0] == "draw"


# The reader's own readings on it


def test_measured_energy_of_the_default_bow() -> None:
    """Readings an inch apart come within 1 % of the bow's energy, six inches apart within 5 %, and both below it."""
    curve = default_curve()
    for step, part in ((1, 0.01), (6, 0.05)):
        draws = [FULL - back * INCH for back in range(0, 17, step)]
        told = measured_energy([Weighing(draw, curve.force(draw)) for draw in draws], curve.brace)
        assert told is not None
        assert (1 - part) * curve.energy(FULL) < told.energy < curve.energy(FULL)
