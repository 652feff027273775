"""What the bolt carries: sources.md C, E and F, statics from points, and SciPy's integrals of the overlap.

The points and the quadrature share no formula with the package: the limb is turned by complex numbers, the moment is
taken of the force as a vector, and the overlap is cut into strips along the limb instead of across it.
"""

import itertools
import math
from dataclasses import replace

import mpmath
import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from published.pocket import CASES, DEFAULT, MM, MOMENT, Case, shape
from quarterturn.mechanics import bolt_load
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.bolt_load import Bearing, LoadError
from quarterturn.mechanics.contact import flush_centroid
from quarterturn.mechanics.pocket import ContactState, Pocket, PocketError

SOME = settings(max_examples=100, deadline=None, derandomize=True)
NO_CONTACT = (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD)


def agrees(value: float, printed: str) -> bool:
    """Say whether the value is what was printed, half a unit of the last printed digit either way."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5001 * 10.0**-digits


# sources.md F (C: turned polygon and bisection at 40 digits)


@pytest.mark.parametrize("case", CASES, ids=[case.state.value for case in CASES])
def test_forces_of_the_published_cases(case: Case) -> None:  # sources.md F (C)
    found = bolt_load.bearing(case.pocket, case.turns, MOMENT)
    assert found.state is case.state
    assert found.turns == case.turns
    assert agrees(found.force, case.force)
    assert agrees(found.bending, case.bending)


# The moment balance, from points


@st.composite
def pockets(draw: st.DrawFn) -> Pocket:
    radius = draw(st.floats(3e-3, 2e-2))
    slot = draw(st.one_of(st.just(0.0), st.floats(0, 0.95))) * radius
    reach = math.sqrt(radius**2 - slot**2)
    arm = radius * draw(st.floats(1.5, 12))
    butt = arm + reach * draw(st.floats(-0.95, 2.5))
    depth = draw(st.floats(1e-3, 2e-2))
    return Pocket(arm, depth, butt, radius, slot, draw(st.floats(5e-4, 2e-3)), draw(st.floats(5e-3, 0.4)))


any_turns = st.one_of(st.just(0.0), st.floats(1e-3, 30), st.floats(-6, -1e-3))
moments = st.floats(1.0, 300.0)


def borne(shape: Pocket, turns: float, moment: float = MOMENT) -> Bearing:
    """The answer, or "not this example" where the package refuses the turns with a sentence of its own."""
    try:
        return bolt_load.bearing(shape, turns, moment)
    except PocketError as error:
        refused = error
    assert refused.parameter == "turns"
    reject()
    raise refused


def along_the_back(shape: Pocket, angle: float) -> complex:
    """The limb's back toward the tip, from two of its points turned about the fulcrum as complex numbers."""
    fulcrum = complex(shape.fulcrum_arm, -shape.limb_depth)
    turned = complex(math.cos(angle), -math.sin(angle))
    near, far = ((complex(x, 0) - fulcrum) * turned + fulcrum for x in (0.0, 1.0))
    return (far - near) / abs(far - near)


@pytest.mark.long
@SOME
@given(pockets(), any_turns, moments)
def test_head_and_string_balance_about_the_fulcrum(shape: Pocket, turns: float, moment: float) -> None:
    # (C) statics of a rigid body; the force stands square to the head's flat or to the limb's back
    found = borne(shape, turns, moment)
    assume(found.contact_x is not None)
    assert found.contact_x is not None
    arm = complex(found.contact_x, shape.pitch * turns) - complex(shape.fulcrum_arm, -shape.limb_depth)
    back = along_the_back(shape, found.rock_angle)
    outward = back * 1j if found.state in (ContactState.RIM, ContactState.EDGE) else 1j
    on_limb = -found.force * outward
    assert (arm.conjugate() * on_limb).imag == pytest.approx(moment, rel=1e-9)
    assert complex(found.across, found.along) == pytest.approx(-on_limb, rel=1e-9)


@SOME
@given(pockets(), any_turns, st.floats(0, 0.05))
def test_shank_carries_the_moment_of_the_force_about_the_thread(shape: Pocket, turns: float, free: float) -> None:
    # (C) cross product about the place on the bolt's axis `free` under the head; As = π/4 cm² makes ds 1 cm
    found = borne(shape, turns)
    assume(found.contact_x is not None)
    assert found.contact_x is not None
    stress = bolt_load.shank_stress(found, math.pi / 4 * 1e-4, free)
    about = (complex(found.contact_x, free).conjugate() * complex(found.across, found.along)).imag
    assert stress.bending == pytest.approx(32 * abs(about) / (math.pi * 1e-6), rel=1e-9, abs=1e-3)
    assert stress.axial == pytest.approx(found.along / (math.pi / 4 * 1e-4), rel=1e-12)
    assert stress.combined == stress.axial + stress.bending


# Where even pressure acts at flush, by quadrature


def strips(shape: Pocket) -> tuple[float, float]:
    """Area and first moment of the head's disc less slot and what lies beyond the butt, cut along the limb (SciPy)."""
    radius, slot, butt = shape.head_radius, shape.slot_half_width, shape.fulcrum_arm - shape.butt_length

    def ends(y: float) -> tuple[float, float]:
        right = math.sqrt(max(0.0, radius**2 - y**2))
        return min(right, max(-right, butt)), right

    corner = math.sqrt(max(0.0, radius**2 - butt**2))
    top = corner if butt > 0 else radius
    breaks = [slot, *([corner] if slot < corner < top else []), top]
    area = moment = 0.0
    for low, high in itertools.pairwise(breaks):
        area += 2 * quad(lambda y: ends(y)[1] - ends(y)[0], low, high, epsabs=1e-18, epsrel=1e-10)[0]
        moment += quad(lambda y: ends(y)[1] ** 2 - ends(y)[0] ** 2, low, high, epsabs=1e-18, epsrel=1e-10)[0]
    return area, moment


@SOME
@given(pockets())
def test_flush_centroid_is_that_of_the_strips(shape: Pocket) -> None:  # (C) SciPy's quad
    area, moment = strips(shape)
    assert flush_centroid(shape) == pytest.approx(moment / area, rel=1e-6, abs=1e-9)


@SOME
@given(pockets())
def test_flush_centroid_is_the_closed_form(
    shape: Pocket,
) -> None:  # model.md 3, as it is written there, at 30 digits (C)
    with mpmath.workdps(30):
        radius, slot = mpmath.mpf(shape.head_radius), mpmath.mpf(shape.slot_half_width)
        reach = mpmath.sqrt(radius**2 - slot**2)
        low = max(-reach, shape.fulcrum_arm - mpmath.mpf(shape.butt_length))
        segment = [x * mpmath.sqrt(radius**2 - x**2) + radius**2 * mpmath.asin(x / radius) for x in (low, reach)]
        area = segment[1] - segment[0] - 2 * slot * (reach - low)
        ends = [(radius**2 - x**2) ** mpmath.mpf(1.5) for x in (low, reach)]
        moment = mpmath.mpf(2) / 3 * (ends[0] - ends[1]) - slot * (reach**2 - low**2)
        assert flush_centroid(shape) == pytest.approx(float(moment / area), rel=1e-7, abs=1e-11)


def test_whole_and_half_discs() -> None:
    # (M) Archimedes: the centroid of half a disc lies 4R/(3π) from its straight side
    whole = replace(DEFAULT, butt_length=0.08, slot_half_width=0.0)
    assert flush_centroid(whole) == pytest.approx(0, abs=1e-12)
    half = replace(DEFAULT, butt_length=DEFAULT.fulcrum_arm, slot_half_width=0.0)
    assert flush_centroid(half) == pytest.approx(4 * 9.5 * MM / (3 * math.pi), rel=1e-9)


@pytest.mark.parametrize("part", [1e-3, 1e-4, 1e-5])
def test_a_thin_overlap_keeps_its_digits(part: float) -> None:
    # (C) a sliver at a slotted head's rim is two triangles, (Re − x)·Re/w wide at x: centroid a third from its base
    cover = part * DEFAULT.rim_reach
    thin = replace(DEFAULT, butt_length=DEFAULT.fulcrum_arm - DEFAULT.rim_reach + cover)
    assert DEFAULT.rim_reach - flush_centroid(thin) == pytest.approx(2 / 3 * cover, rel=5 * part)


def test_an_overlap_that_cannot_bear_is_refused_at_flush_too() -> None:
    nothing = Pocket(9.5475 * MM, 8 * MM, 0.0475 * MM + 1e-16, 9.5 * MM, 0.0, 1 * MM, 0.08)
    with pytest.raises(PocketError) as caught:
        bolt_load.bearing(nothing, 0.0, MOMENT)
    assert caught.value.parameter == "butt_length"
    assert str(caught.value) == (
        "The butt reaches too little under the bolt's head to press on it: from fulcrum to butt end must be more than"
        " 0.0475 mm."
    )


# Levers and eccentric heads


def point_bolt(lever: float) -> Pocket:
    """A bolt no thicker than a thread of dust, the butt ending on its axis, hardly any depth: a lever."""
    tiny = 1e-6
    return Pocket(lever, tiny, lever + tiny, 2 * tiny, 0.0, tiny, 0.08)


@pytest.mark.parametrize(
    ("force", "at", "lever", "bolt"),
    [
        (600, 2, 6, 200),  # sources.md E: beam of 6 m, 600 N at 2 m, the far support
        (600, 4, 6, 400),  # and the near one
        (1000, 3, 5.4, 1000 * 3 / 5.4),  # uniform, 555.6 N
        (1000, 2.4, 5.4, 1000 * 2.4 / 5.4),  # 444.4 N
        (170, 0.555, 0.067, 170 * 0.555 / 0.067),  # pocket form: F·a/b
    ],
)
@pytest.mark.parametrize("turns", [-0.5, 0, 0.5])
def test_levers(force: float, at: float, lever: float, bolt: float, turns: float) -> None:  # sources.md E (C)
    found = bolt_load.bearing(point_bolt(lever), turns, force * at)
    assert found.state not in NO_CONTACT
    assert found.force == pytest.approx(bolt, rel=1e-4)


# As of the metric rows by ISO 898-1's (d2 + d3)/2 = d − 13H/12, whose rounded factor is 0.9382; ASME B1.1 has 0.9743
METRIC, UNIFIED = 13 / 12 * math.sqrt(0.75), 0.9743
STRESS = [  # sources.md C, eccentric load of 1000 N (C): nominal diameter, pitch mm, factor of the pitch, e mm, MPa
    (8, 1.25, METRIC, 1, "59.324"),
    (8, 1.25, METRIC, 2, "91.332"),
    (10, 1.5, METRIC, 1, "33.299"),
    (10, 1.5, METRIC, 2, "49.354"),
    (0.3125 * 25.4, 25.4 / 24, UNIFIED, 1, "57.615"),
    (0.3125 * 25.4, 25.4 / 24, UNIFIED, 2, "88.536"),
]


def eccentric(place: float) -> Bearing:
    return Bearing(0.0, ContactState.FLUSH, 1000.0, 1000.0, 0.0, place, 1000.0 * place, 0.0)


@pytest.mark.parametrize(("diameter", "pitch", "factor", "place", "printed"), STRESS)
@pytest.mark.parametrize("side", [-1, 1])
def test_eccentric_head(diameter: float, pitch: float, factor: float, place: float, printed: str, side: int) -> None:
    section = math.pi / 4 * ((diameter - factor * pitch) * MM) ** 2
    found = bolt_load.shank_stress(eccentric(side * place * MM), section)
    assert agrees(found.combined / 1e6, printed)


def test_stress_doubles_an_eighth_of_the_diameter_off_the_axis() -> None:  # sources.md C (C)
    found = bolt_load.shank_stress(eccentric(8 * MM / 8), math.pi / 4 * (8 * MM) ** 2)
    assert found.bending == pytest.approx(found.axial, rel=1e-12)
    assert found.combined == pytest.approx(2 * found.axial, rel=1e-12)


# Properties


@SOME
@given(pockets(), any_turns, moments)
def test_forces_are_never_negative_and_need_contact(shape: Pocket, turns: float, moment: float) -> None:
    found = borne(shape, turns, moment)
    assert found.rock_angle == contacts.rock_angle(shape, turns)
    assert found.state is contacts.contact(shape, turns).state
    if found.state in NO_CONTACT:
        assert (found.force, found.along, found.across, found.bending, found.contact_x) == (0, 0, 0, 0, None)
        assert bolt_load.shank_stress(found, 36.6e-6, 0.01) == bolt_load.Stress(0, 0, 0)
        return
    assert 0 < found.along <= found.force
    assert math.hypot(found.along, found.across) == pytest.approx(found.force, rel=1e-12)
    assert {ContactState.RIM: found.across < 0, ContactState.EDGE: found.across > 0}.get(found.state, found.across == 0)
    assert found.contact_x == contacts.contact(shape, turns).contact_x


@SOME
@given(pockets(), any_turns, moments, st.floats(0.1, 10))
def test_force_scales_with_the_moment(shape: Pocket, turns: float, moment: float, times: float) -> None:
    one, many = borne(shape, turns, moment), borne(shape, turns, times * moment)
    assert many.force == pytest.approx(times * one.force, rel=1e-12)
    assert many.bending == pytest.approx(times * one.bending, rel=1e-12)
    assert borne(shape, turns, 0.0).force == 0


@SOME
@given(pockets(), st.floats(-3, 3), st.floats(1.05, 3))
def test_force_falls_as_the_arm_grows(shape: Pocket, turns: float, times: float) -> None:
    longer = (times - 1) * shape.fulcrum_arm
    far = replace(shape, fulcrum_arm=shape.fulcrum_arm + longer, butt_length=shape.butt_length + longer)
    near_one, far_one = borne(shape, turns), borne(far, turns)
    assume(near_one.state not in NO_CONTACT and far_one.state is near_one.state)
    assert far_one.force < near_one.force


@SOME
@given(pockets(), st.floats(1, 3))
def test_a_whole_overlap_does_not_bend_the_shank(shape: Pocket, covered: float) -> None:
    whole = replace(shape, butt_length=shape.fulcrum_arm + covered * shape.rim_reach)
    found = bolt_load.bearing(whole, 0.0, MOMENT)
    assert found.bending == pytest.approx(0, abs=1e-9 * MOMENT)
    assert found.force == pytest.approx(MOMENT / shape.fulcrum_arm, rel=1e-9)


@SOME
@given(pockets(), st.floats(0.01, 0.5))
def test_butt_and_rim_bend_opposite_ways(shape: Pocket, turns: float) -> None:
    out, into = borne(shape, turns), borne(shape, -turns)
    assume(out.state not in NO_CONTACT and into.state is ContactState.RIM)
    assert into.bending > 0
    covered = contacts.contact(shape, turns).coverage
    assume(abs(covered) > 1e-9)
    assert (out.bending < 0) == (covered > 0)


@SOME
@given(pockets())
def test_the_jump_at_flush_is_finite_and_the_flush_state_lies_in_it(shape: Pocket) -> None:
    # model.md 3: M/(a + min(c0, Re)) just outside, M/(a − Re) just inside
    step = 1e-9
    assume((contacts.first_touch(shape) or 1.0) > 1e-6)
    out, flush, into = (borne(shape, turns) for turns in (step, 0.0, -step))
    assume(out.state not in NO_CONTACT)
    reach = shape.rim_reach
    edge = MOMENT / (shape.fulcrum_arm + min(shape.coverage_at_flush, reach))
    assert out.force == pytest.approx(edge, rel=1e-6)
    assert into.force == pytest.approx(MOMENT / (shape.fulcrum_arm - reach), rel=1e-6)
    assert out.force < flush.force < into.force
    assert out.bending < flush.bending < into.bending


def where(shape: Pocket, state: ContactState, low: float, high: float) -> float:
    """The first turns where the state is this one, by halving."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if contacts.contact(shape, middle).state is state else (middle, high)
    return high


@pytest.mark.parametrize("over", [0.001, 0.02, 0.1, 0.3])
def test_where_the_butt_passes_the_edge_only_the_direction_changes(over: float) -> None:
    # (C) N_y(a − xc) + N_x(h + t) = M on both sides; the size differs by cos φ·(a + Re)/(a + Re + t·sin φ)
    full = shape(60, 8, 60 + 8.014985963805546 + over, 0.08)
    turns = where(full, ContactState.BUTT, 1e-6, 5)
    edge, butt = (bolt_load.bearing(full, turns + step, MOMENT) for step in (-1e-9, 1e-9))
    assert (edge.state, butt.state) == (ContactState.EDGE, ContactState.BUTT)
    assert edge.rock_angle == pytest.approx(butt.rock_angle, rel=1e-6)
    assert edge.contact_x == pytest.approx(butt.contact_x, rel=1e-6)
    for found in (edge, butt):
        lever = full.fulcrum_arm + full.rim_reach
        assert found.along * lever + found.across * (full.pitch * turns + full.limb_depth) == pytest.approx(
            92, rel=1e-6
        )
    assert edge.force < butt.force
    assert edge.force == pytest.approx(butt.force, rel=0.2 * edge.rock_angle)  # so they agree as φ goes to 0
    assert 0 < edge.rock_angle < 0.05


def test_first_touch_carries_all_and_beyond_it_nothing() -> None:
    touch = contacts.first_touch(DEFAULT)
    assert touch is not None
    assert bolt_load.bearing(DEFAULT, touch, MOMENT).force == pytest.approx(MOMENT / (60 + 6.146397) / MM, rel=1e-6)
    assert bolt_load.bearing(DEFAULT, touch + 1e-6, MOMENT).force == 0


# What cannot be


@pytest.mark.parametrize("bad", [-1e-9, -92.0, math.nan, math.inf, -math.inf, 10_001.0, 1e308])
def test_a_moment_that_cannot_be(bad: float) -> None:
    with pytest.raises(LoadError) as caught:
        bolt_load.bearing(DEFAULT, 1.0, bad)
    assert caught.value.parameter == "moment"
    assert str(caught.value) == "The string's moment about the fulcrum must be a number from 0 to 10000 N·m."


@pytest.mark.parametrize("bad", [0.0, -36.6e-6, math.nan, math.inf, 1e-9, 0.1])
def test_a_stress_area_that_cannot_be(bad: float) -> None:
    with pytest.raises(LoadError) as caught:
        bolt_load.shank_stress(eccentric(MM), bad)
    assert caught.value.parameter == "stress_area"
    assert str(caught.value) == "The bolt's stress area must be from 0.01 to 10000 mm²."


@pytest.mark.parametrize("bad", [-1e-3, math.nan, math.inf, 1.1])
def test_a_free_length_that_cannot_be(bad: float) -> None:
    with pytest.raises(LoadError) as caught:
        bolt_load.shank_stress(eccentric(MM), 36.6e-6, bad)
    assert caught.value.parameter == "free_length"
    assert str(caught.value) == ("The length of the shank between head and thread must be a length from 0 to 1000 mm.")


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_turns_that_cannot_be(bad: float) -> None:
    with pytest.raises(PocketError) as caught:
        bolt_load.bearing(DEFAULT, bad, MOMENT)
    assert caught.value.parameter == "turns"


def test_a_rim_in_line_with_the_fulcrum_holds_nothing() -> None:
    deep = Pocket(12 * MM, 20 * MM, 13 * MM, 10 * MM, 0.0, 1 * MM, 0.08)
    deepest = (20 - math.sqrt(20**2 - 2**2)) * -1  # mm and turns of 1 mm: there the fulcrum lies straight under the rim
    assert bolt_load.bearing(deep, 0.9 * deepest, MOMENT).force > 1e5
    with pytest.raises(PocketError) as caught:
        bolt_load.bearing(deep, deepest * (1 - 1e-12), MOMENT)
    assert caught.value.parameter == "turns"
    assert str(caught.value).startswith("So far inside flush the head's rim presses almost in line with the fulcrum")
