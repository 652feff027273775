"""Thread profiles: limits of class against charts that quote ISO 965-1 and ASME B1.1, and what any thread must keep.

The threads of sources.md C are in test_published_threads.py. Rows here are S2 (charts of the standards) or M (from
memory, to be confirmed).
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quarterturn.mechanics.thread_profile import Limits, Profile, Standard, class_limits, iso_formulas, profile_of
from quarterturn.mechanics.threads import THREADS, Thread, ThreadError, ThreadSeries, thread_named

INCH = 0.0254
SOME = settings(max_examples=100, deadline=None, derandomize=True)


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    """Threads of 3 to 30 mm, from a tenth finer than any in the table to a third coarser."""
    diameter = draw(st.floats(3e-3, 3e-2))
    return Profile(diameter, diameter * draw(st.floats(0.06, 0.3)), draw(st.sampled_from(Standard)))


# Metric, mm: least major and pitch diameter of the bolt (6g); greatest pitch and minor diameter of the nut (6H)
BOLTS_6G = [
    ("M5×0.8", 4.826, 4.361),  # S2, as the next five
    ("M5×0.5", 4.874, 4.580),
    ("M6×0.75", 5.838, 5.391),
    ("M7×1", 6.794, 6.212),
    ("M8×0.75", 7.838, 7.391),
    ("M10×0.75", 9.838, 9.391),
    ("M12×1.75", 11.701, 10.679),  # M
]
NUTS_6H = [
    ("M10×0.75", 9.645, 9.378),  # S2, as all of these
    ("M12×1.75", 11.063, 10.441),
    ("M12×1.5", 11.216, 10.676),
    ("M12×1.25", 11.368, 10.912),
    ("M12×1", 11.510, 11.153),
]


def limits_of(name: str) -> Limits:
    return class_limits(profile_of(thread_named(name)))


@pytest.mark.parametrize(("name", "major", "middle"), BOLTS_6G)
def test_bolts_of_class_6g(name: str, major: float, middle: float) -> None:
    limits = limits_of(name)
    assert limits.major_external_min * 1000 == pytest.approx(major, abs=0.00051)
    assert limits.pitch_external_min * 1000 == pytest.approx(middle, abs=0.00051)


@pytest.mark.parametrize(("name", "middle", "minor"), NUTS_6H)
def test_nuts_of_class_6h(name: str, middle: float, minor: float) -> None:
    limits = limits_of(name)
    assert limits.pitch_internal_max * 1000 == pytest.approx(middle, abs=0.00051)
    assert limits.minor_internal_max * 1000 == pytest.approx(minor, abs=0.00051)


# Unified, in: the same of class 2A and 2B
BOLTS_2A = [  # M
    ("No. 10-32", 0.1831, 0.1658),
    ("1/4-20", 0.2408, 0.2127),
    ("1/2-20", 0.4906, 0.4619),
]
NUTS_2B = [
    ("No. 10-24", 0.1672, 0.156),  # S2, as the next four
    ("1/4-20", 0.2224, 0.207),
    ("5/16-18", 0.2817, 0.265),
    ("7/16-14", 0.3972, 0.376),
    ("1/2-13", 0.4565, 0.434),
    ("No. 10-32", 0.1736, 0.164),  # M, as the next
    ("1/2-20", 0.4731, 0.457),
]


@pytest.mark.parametrize(("name", "major", "middle"), BOLTS_2A)
def test_bolts_of_class_2a(name: str, major: float, middle: float) -> None:
    limits = limits_of(name)
    assert limits.major_external_min / INCH == pytest.approx(major, abs=1e-9)
    assert limits.pitch_external_min / INCH == pytest.approx(middle, abs=1e-9)


@pytest.mark.parametrize(("name", "middle", "minor"), NUTS_2B)
def test_nuts_of_class_2b(name: str, middle: float, minor: float) -> None:
    limits = limits_of(name)
    assert limits.pitch_internal_max / INCH == pytest.approx(middle, abs=1e-9)
    assert limits.minor_internal_max / INCH == pytest.approx(minor, abs=1e-9)


def test_small_unified_nuts_keep_four_places() -> None:
    # ASME B1.1, class 2B: 4-40 pitch 0.0991, minor 0.0939; 2-56 pitch 0.0772, minor 0.0737 (S2)
    for diameter, per_inch, middle, minor in ((0.112, 40, 0.0991, 0.0939), (0.086, 56, 0.0772, 0.0737)):
        limits = class_limits(Profile(diameter * INCH, INCH / per_inch, Standard.UNIFIED))
        assert limits.pitch_internal_max / INCH == pytest.approx(middle, abs=1e-9)
        assert limits.minor_internal_max / INCH == pytest.approx(minor, abs=1e-9)


@pytest.mark.parametrize(
    ("diameter", "pitch", "major", "middle"),
    [(4, 0.7, 3.838, 3.433), (16, 2, 15.682, 14.503)],  # class 6g: S2, M
)
def test_formulas_stand_in_where_no_limb_bolt_is(diameter: float, pitch: float, major: float, middle: float) -> None:
    # within the rounding to preferred numbers (ISO 3, series R40: steps of 6 %) that the standard's tables add
    limits = class_limits(Profile(diameter / 1000, pitch / 1000, Standard.METRIC))
    assert limits.major_external_min * 1000 == pytest.approx(major, abs=0.03 * (diameter - major))
    assert limits.pitch_external_min * 1000 == pytest.approx(middle, abs=0.006)


@pytest.mark.parametrize("thread", [thread for thread in THREADS if thread.designation.startswith("M")])
def test_the_standards_tables_are_its_formulas_rounded(thread: Thread) -> None:
    # ISO 965-1 (M): the tabulated tolerances are the formulas', rounded to R40 and smoothed; a step of R40 is 6 %
    profile = profile_of(thread)
    limits = class_limits(profile)
    allowance, bolt_crest, nut_crest, bolt_flank, nut_flank = iso_formulas(profile.diameter * 1e3, profile.pitch * 1e3)
    pairs = (
        (profile.diameter - limits.major_external_min, allowance + bolt_crest),
        (profile.pitch_diameter - limits.pitch_external_min, allowance + bolt_flank),
        (limits.pitch_internal_max - profile.pitch_diameter, nut_flank),
        (limits.minor_internal_max - profile.minor_internal, nut_crest),
    )
    for tabulated, formula in pairs:
        assert tabulated * 1e6 == pytest.approx(formula, rel=0.06)


# ISO 3 (M): the series R40, one decade
R40 = (
    *(100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300),
    *(315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950),
)


@pytest.mark.parametrize("thread", [thread for thread in THREADS if thread.designation.startswith("M")])
def test_the_standards_tolerances_are_preferred_numbers(thread: Thread) -> None:
    # ISO 965-1 (M): to the micrometre, which the formulas' six per cent do not hold
    profile = profile_of(thread)
    limits = class_limits(profile)
    allowance = {0.5: 20, 0.75: 22, 0.8: 24, 1.0: 26, 1.25: 28, 1.5: 32, 1.75: 34}[round(profile.pitch * 1e3, 3)]
    for tolerance in (
        (profile.diameter - limits.major_external_min) * 1e6 - allowance,
        (profile.pitch_diameter - limits.pitch_external_min) * 1e6 - allowance,
        (limits.pitch_internal_max - profile.pitch_diameter) * 1e6,
        (limits.minor_internal_max - profile.minor_internal) * 1e6,
    ):
        assert tolerance == pytest.approx(round(tolerance), abs=1e-6)
        assert round(tolerance) * (10 if round(tolerance) < 100 else 1) in R40


def test_the_minor_diameter_of_the_fine_thread_is_not_the_coarse_ones() -> None:
    # sources.md C, trap: 6.917 is M8×1's, not M8's
    assert round(profile_of(thread_named("M8×1")).minor_internal * 1000, 3) == 6.917
    assert round(profile_of(thread_named("M8×1.25")).minor_internal * 1000, 3) == 6.647


@pytest.mark.parametrize("thread", THREADS, ids=lambda thread: thread.designation)
def test_every_thread_of_the_table_has_a_profile_and_limits(thread: Thread) -> None:
    profile = profile_of(thread)
    limits = class_limits(profile)
    unified = thread.series in (ThreadSeries.UNC, ThreadSeries.UNF)
    assert profile.standard is (Standard.UNIFIED if unified else Standard.METRIC)
    assert profile.pitch_diameter * 0.97 < limits.pitch_external_min < profile.pitch_diameter
    assert profile.pitch_diameter < limits.pitch_internal_max < profile.pitch_diameter * 1.03
    assert profile.diameter * 0.94 < limits.major_external_min < profile.diameter
    assert profile.minor_internal < limits.minor_internal_max < limits.major_external_min


@SOME
@given(profiles())
def test_diameters_are_in_order(profile: Profile) -> None:
    sizes = (
        0.0,
        profile.minor_external,
        profile.minor_internal,
        profile.pitch_diameter,
        profile.diameter,
    )
    assert all(smaller < larger for smaller, larger in pairwise(sizes))
    assert profile.minor_external < profile.stress_diameter < profile.pitch_diameter
    assert profile.stress_area == pytest.approx(math.pi * (profile.stress_diameter / 2) ** 2, rel=1e-12)
    # the tooth is a triangle of 60°: H over half its base is tan 60°
    assert profile.triangle_height / (profile.pitch / 2) == pytest.approx(math.tan(math.pi / 3), rel=1e-12)


@SOME
@given(profiles(), st.floats(0.5, 2.0))
def test_areas_grow_with_the_square(profile: Profile, factor: float) -> None:
    larger = Profile(profile.diameter * factor, profile.pitch * factor, profile.standard)
    assert larger.stress_area == pytest.approx(factor**2 * profile.stress_area, rel=1e-9)
    assert larger.minor_external == pytest.approx(factor * profile.minor_external, rel=1e-9)


@SOME
@given(st.floats(3e-3, 3e-2), st.floats(0.06, 0.3))
def test_a_rounded_root_leaves_more(diameter: float, ratio: float) -> None:
    metric, unified = (Profile(diameter, ratio * diameter, standard) for standard in Standard)
    assert metric.minor_external < unified.minor_external
    assert metric.minor_internal == unified.minor_internal
    assert metric.stress_area > unified.stress_area  # ISO 898-1's 0.938 P against ASME B1.1's 0.974 P


@SOME
@given(profiles())
def test_limits_take_metal_away(profile: Profile) -> None:
    limits = class_limits(profile)
    assert limits.major_external_min < profile.diameter
    assert limits.pitch_external_min < profile.pitch_diameter < limits.pitch_internal_max
    # the unified minor diameter is rounded to 0.001 in
    assert limits.minor_internal_max > profile.minor_internal - 0.0005 * INCH


BAD = [0.0, -1e-3, math.nan, math.inf, -math.inf, 1e308]


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize("standard", Standard)
def test_bad_dimensions_are_refused_by_name(bad: float, standard: Standard) -> None:
    with pytest.raises(ThreadError, match=r"^Diameter must be a length from") as caught:
        Profile(bad, 1e-3, standard)
    assert caught.value.parameter == "diameter"
    with pytest.raises(ThreadError, match=r"^Pitch must be a length from") as caught:
        Profile(8e-3, bad, standard)
    assert caught.value.parameter == "pitch"


@pytest.mark.parametrize(
    ("diameter", "pitch", "sentence"),
    [
        (8e-3, 8.1e-3, "less than the thread's diameter"),
        (8e-3, 8e-3, "less than the thread's diameter"),
        (8e-3, 7e-3, "cuts the bolt through"),  # d − 17H/12 is below nothing from P = 0.815 d on
    ],
)
def test_a_pitch_too_great_is_refused(diameter: float, pitch: float, sentence: str) -> None:
    with pytest.raises(ThreadError, match=sentence) as caught:
        Profile(diameter, pitch, Standard.METRIC)
    assert caught.value.parameter == "pitch"


@pytest.mark.parametrize("standard", Standard)
def test_no_limits_for_what_no_standard_knows(standard: Standard) -> None:
    with pytest.raises(ThreadError, match=r"^No tolerance class fits") as caught:
        class_limits(Profile(2e-6, 1e-6, standard))
    assert caught.value.parameter == "pitch"
