"""Engagement and stripping: closed forms on the basic profile, and what must hold for any thread.

Published shear areas and the worked length are in test_published_threads.py.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quarterturn.mechanics.materials import MATERIALS, Material
from quarterturn.mechanics.thread_profile import Profile, Standard, class_limits, profile_of
from quarterturn.mechanics.thread_strength import SHEAR, engagement, needed_length, shear_areas, strip_force
from quarterturn.mechanics.threads import THREADS, Thread, ThreadError, thread_named

SOME = settings(max_examples=100, deadline=None, derandomize=True)


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    diameter = draw(st.floats(4e-3, 2e-2))
    return Profile(diameter, diameter * draw(st.floats(0.07, 0.23)), draw(st.sampled_from(Standard)))


materials = st.sampled_from(list(MATERIALS.values()))


def tooth(profile: Profile, middle: float, at: float, rises: int) -> float:
    """Width along the axis of a 60° tooth at one diameter, half a pitch wide at `middle`, as a sum of two flanks.

    The tooth of a bolt grows thinner outward (`rises` −1), that of a nut wider (+1).
    """
    flank = rises * math.tan(math.radians(30)) * (at - middle) / 2
    return profile.pitch / 2 + 2 * flank


@SOME
@given(profiles(), st.booleans())
def test_what_shears_is_a_cylinder_through_the_teeth(profile: Profile, least: bool) -> None:
    # C: π × diameter × width of the tooth there, a tooth each pitch
    if least:
        limits = class_limits(profile)
        hole, inside = limits.minor_internal_max, limits.pitch_internal_max
        crest, outside = limits.major_external_min, limits.pitch_external_min
    else:
        hole, inside = profile.minor_internal, profile.pitch_diameter
        crest, outside = profile.diameter, profile.pitch_diameter
    areas = shear_areas(profile, least_material=least)
    external = math.pi * hole * tooth(profile, outside, hole, -1) / profile.pitch
    internal = math.pi * crest * tooth(profile, inside, crest, 1) / profile.pitch
    assert areas.external == pytest.approx(external, rel=1e-9)
    assert areas.internal == pytest.approx(internal, rel=1e-9)


@SOME
@given(profiles(), st.floats(0.5, 2.0))
def test_basic_areas(profile: Profile, factor: float) -> None:
    # C: 7/8·π·d and 3/4·π·d1, whatever the pitch (for M10 27.489 mm²/mm, sources.md C)
    areas = shear_areas(profile, least_material=False)
    assert areas.internal == pytest.approx(7 / 8 * math.pi * profile.diameter, rel=1e-9)
    assert areas.external == pytest.approx(3 / 4 * math.pi * profile.minor_internal, rel=1e-9)
    larger = shear_areas(
        Profile(profile.diameter * factor, profile.pitch * factor, profile.standard), least_material=False
    )
    assert larger.internal == pytest.approx(factor * areas.internal, rel=1e-9)


@pytest.mark.parametrize("thread", THREADS, ids=lambda thread: thread.designation)
def test_the_class_leaves_less_than_the_basic_profile(thread: Thread) -> None:
    profile = profile_of(thread)
    least, basic = shear_areas(profile), shear_areas(profile, least_material=False)
    assert 0.6 * basic.external < least.external < 0.85 * basic.external
    assert 0.6 * basic.internal < least.internal < 0.85 * basic.internal
    assert least == shear_areas(profile, least_material=True)


@SOME
@given(profiles(), materials, materials, st.booleans())
def test_at_the_length_needed_both_give_way_at_once(
    profile: Profile, bolt: Material, bush: Material, least: bool
) -> None:
    needed = needed_length(profile, bolt, bush, least_material=least)
    areas = shear_areas(profile, least_material=least)
    breaking = profile.stress_area * bolt.tensile
    assert strip_force(areas.external, needed.by_external, bolt.tensile) == pytest.approx(breaking, rel=1e-9)
    assert strip_force(areas.internal, needed.by_internal, bush.tensile) == pytest.approx(breaking, rel=1e-9)
    assert needed.length == max(needed.by_external, needed.by_internal)
    # a little less engaged, and the one called weaker strips below the bolt's breaking load
    short = needed.length * 0.99
    area, strength = (areas.external, bolt.tensile) if needed.weaker == "bolt" else (areas.internal, bush.tensile)
    assert strip_force(area, short, strength) < breaking


@SOME
@given(profiles(), materials, materials, st.floats(1.01, 3))
def test_a_stronger_bolt_needs_more_and_a_stronger_bush_less(
    profile: Profile, bolt: Material, bush: Material, factor: float
) -> None:
    before = needed_length(profile, bolt, bush)
    stronger_bolt = needed_length(profile, replace(bolt, tensile=bolt.tensile * factor), bush)
    stronger_bush = needed_length(profile, bolt, replace(bush, tensile=bush.tensile * factor))
    assert stronger_bolt.by_internal == pytest.approx(before.by_internal * factor, rel=1e-9)
    assert stronger_bush.by_internal == pytest.approx(before.by_internal / factor, rel=1e-9)
    assert stronger_bolt.by_external == pytest.approx(before.by_external, rel=1e-9)
    assert stronger_bush.by_external == before.by_external
    assert stronger_bush.length <= before.length <= stronger_bolt.length


def test_the_weaker_thread() -> None:
    # a steel bolt in aluminium strips the bush, two of a strength strip the bolt: its shear area is the smaller
    profile = profile_of(thread_named("M8×1.25"))
    assert needed_length(profile, MATERIALS["12.9"], MATERIALS["6061-T6"]).weaker == "bush"
    assert needed_length(profile, MATERIALS["A2-70"], MATERIALS["A2-70"]).weaker == "bolt"


def test_rule_of_thumb() -> None:
    # sources.md C (S2): one diameter in steel, 1.5 to 2 in aluminium. Ours is the length at which a bolt would break
    # first, so it lies below the rule for an ordinary bolt
    for name in ("M8×1.25", "M10×1.5", "5/16-24", "3/8-24"):
        profile = profile_of(thread_named(name))
        in_steel = needed_length(profile, MATERIALS["8.8"], MATERIALS["8.8"]).length
        in_aluminium = needed_length(profile, MATERIALS["8.8"], MATERIALS["6061-T6"]).length
        assert 0.4 * profile.diameter < in_steel < profile.diameter
        assert profile.diameter < in_aluminium < 2 * profile.diameter


metres = st.floats(0, 0.06)
pitches = st.floats(5e-4, 2e-3)
bushes = st.one_of(st.none(), st.floats(1e-3, 0.05))
turns = st.floats(-30, 60)


@SOME
@given(turns, turns, metres, pitches, bushes)
def test_engagement_keeps_its_bounds_and_never_grows(
    first: float, second: float, at_zero: float, pitch: float, bush: float | None
) -> None:
    less, more = sorted((first, second))
    inner, outer = (engagement(count, at_zero, pitch, bush) for count in (less, more))
    assert inner >= outer >= 0
    if bush is not None:
        assert inner <= bush
    if outer > 0 and (bush is None or inner < bush):  # between the two the thread leaves at a pitch a turn
        assert inner - outer == pytest.approx(pitch * (more - less), abs=1e-12)


def test_engagement_by_hand() -> None:
    # 3/8-24 with 15 mm in a bush of 12: the bolt's end comes into the bush after 3 mm, 3/1.058333 = 2.83 turns
    pitch = 25.4e-3 / 24
    assert engagement(0, 0.015, pitch, 0.012) == 0.012
    assert engagement(2.8, 0.015, pitch, 0.012) == 0.012
    assert engagement(6, 0.015, pitch, 0.012) == pytest.approx(0.015 - 0.00635, rel=1e-12)
    assert engagement(15, 0.015, pitch, 0.012) == 0.0
    assert engagement(-2, 0.015, pitch) == pytest.approx(0.015 + 2 * pitch, rel=1e-12)


def test_strip_force_by_hand() -> None:
    # sources.md C, worked: 27.489 mm²/mm × 9.41 mm × 0.6 × 310 MPa is an M10 of 830 MPa: 58.0 × 830 = 48.1 kN
    assert strip_force(27.489e-3, 9.41e-3, 310e6) == pytest.approx(48.1e3, rel=1e-3)
    assert SHEAR == 0.6
    assert strip_force(27.489e-3, 0.0, 310e6) == 0.0


SUBJECTS = {
    "area_per_length": "Shear area",
    "engaged": "Thread engaged",
    "tensile_strength": "Tensile strength",
    "at_zero": "Thread engaged at zero",
    "pitch": "Pitch",
    "bush": "Bush",
}


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1e-3, 1e308])
def test_bad_input_is_refused_by_name(bad: float) -> None:
    asked: dict[str, Callable[[], float]] = {
        "area_per_length": lambda: strip_force(bad, 0.01, 3e8),
        "engaged": lambda: strip_force(0.02, bad, 3e8),
        "tensile_strength": lambda: strip_force(0.02, 0.01, bad),
        "at_zero": lambda: engagement(1, bad, 1e-3),
        "pitch": lambda: engagement(1, 0.01, bad),
        "bush": lambda: engagement(1, 0.01, 1e-3, bad),
    }
    for name, ask in asked.items():
        with pytest.raises(ThreadError, match="must be") as caught:
            ask()
        assert caught.value.parameter == name
        assert str(caught.value).startswith(SUBJECTS[name])


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1001])
def test_bad_turns_are_refused(bad: float) -> None:
    with pytest.raises(ThreadError, match=r"^Turns must be a number from -1000 to 1000") as caught:
        engagement(bad, 0.01, 1e-3)
    assert caught.value.parameter == "turns"


def test_nothing_is_no_length_of_a_pitch_or_bush() -> None:
    asked: dict[str, Callable[[], float]] = {
        "pitch": lambda: engagement(1, 0.01, 0.0),
        "bush": lambda: engagement(1, 0.01, 1e-3, 0.0),
        "area_per_length": lambda: strip_force(0.0, 0.01, 3e8),
        "tensile_strength": lambda: strip_force(0.02, 0.01, 0.0),
    }
    for name, ask in asked.items():
        with pytest.raises(ThreadError) as caught:
            ask()
        assert caught.value.parameter == name
