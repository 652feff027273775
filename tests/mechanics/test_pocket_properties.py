"""Properties the pocket keeps for any dimensions, and its numbers against the model's equations at 40 digits.

The reference (mark C) evaluates the equations of model.md 1 as they are written there, with mpmath, and finds every
angle by bisection; it shares no closed form with the package.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import mpmath
import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st
from mpmath import mpf

from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import ContactState, Pocket, PocketError

SOME = settings(max_examples=100, deadline=None, derandomize=True)
FEW = settings(max_examples=40, deadline=None, derandomize=True)


@st.composite
def pockets(draw: st.DrawFn) -> Pocket:
    radius = draw(st.floats(3e-3, 2e-2))
    slot = draw(st.one_of(st.just(0.0), st.floats(0, 0.95))) * radius
    reach = math.sqrt(radius**2 - slot**2)
    arm = radius * draw(st.floats(1.5, 12))
    butt = arm + reach * draw(st.floats(-0.95, 2.5))
    depth = draw(st.floats(1e-3, 2e-2))
    pitch = draw(st.floats(5e-4, 2e-3))
    return Pocket(arm, depth, butt, radius, slot, pitch, draw(st.floats(5e-3, 0.4)))


outside = st.floats(1e-3, 30)
inside = st.floats(-6, -1e-3)
any_turns = st.one_of(st.just(0.0), outside, inside)
strips = st.floats(2e-5, 1e-3)


def touching(pocket: Pocket, turns: float) -> bool:
    return contacts.contact(pocket, turns).state not in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD)


def answered(question: Callable[[Pocket, float], float], pocket: Pocket, value: float) -> float:
    """The answer, or "not this example" where the package refuses with a sentence of its own."""
    try:
        return question(pocket, value)
    except PocketError as error:
        refused = error
    reject()
    raise refused


# Properties


@SOME
@given(pockets(), any_turns, any_turns)
def test_rock_angle_rises_strictly_while_in_contact(pocket: Pocket, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assume(high - low > 1e-9)
    answered(contacts.rock_angle, pocket, low)
    assume(touching(pocket, low) and touching(pocket, high))
    assert contacts.rock_angle(pocket, low) < contacts.rock_angle(pocket, high)


@SOME
@given(pockets(), any_turns)
def test_gaps_are_never_negative_and_one_side_bears(pocket: Pocket, turns: float) -> None:
    answered(contacts.rock_angle, pocket, turns)
    found = contacts.contact(pocket, turns)
    rim, butt = feeler.gap_at_rim(pocket, turns), feeler.gap_at_butt(pocket, turns)
    if found.state is ContactState.OFF_HEAD:
        assert rim is None
        assert butt is None
        return
    assert rim is not None
    assert butt is not None
    assert rim >= 0
    assert butt >= 0
    assert (found.gap is not None and found.gap > 0) == (found.state is ContactState.OUT_OF_REACH)
    if found.state in (ContactState.BUTT, ContactState.EDGE):
        assert butt == 0 < rim
    if found.state is ContactState.RIM:
        assert rim == 0 < butt
    if found.state is ContactState.OUT_OF_REACH:
        assert butt == found.gap
        assert rim > butt


@SOME
@given(pockets(), any_turns, strips)
def test_scale_of_ten(pocket: Pocket, turns: float, strip: float) -> None:
    lengths = ("fulcrum_arm", "limb_depth", "butt_length", "head_radius", "slot_half_width", "pitch")
    large = replace(pocket, **{name: 10 * getattr(pocket, name) for name in lengths})
    answered(contacts.rock_angle, pocket, turns)
    small_one, large_one = contacts.contact(pocket, turns), contacts.contact(large, turns)
    assert large_one.state is small_one.state
    assert large_one.rock_angle == pytest.approx(small_one.rock_angle, rel=1e-9)
    assert large_one.coverage == pytest.approx(10 * small_one.coverage, rel=1e-9, abs=1e-14)
    for question in (contacts.first_touch, contacts.coverage_lost, contacts.butt_leaves_head):
        few, many = question(pocket), question(large)
        assert (few is None) == (many is None)
        if few is not None and many is not None:
            assert many == pytest.approx(few, rel=1e-9, abs=1e-12)
    seen = answered(feeler.flush_seen_from_inside, pocket, strip)
    assert feeler.flush_seen_from_inside(large, 10 * strip) == pytest.approx(seen, rel=1e-9)


@SOME
@given(pockets(), outside)
def test_fitting_angle_is_the_inverse_of_first_touch(pocket: Pocket, turns: float) -> None:
    angle = answered(contacts.fitting_angle_for_touch, pocket, turns)
    touch = contacts.first_touch(replace(pocket, fitting_angle=angle))
    assert touch == pytest.approx(turns, rel=1e-10)
    assert contacts.first_touch(contacts.pocket_from_touch(pocket, turns)) == touch


@SOME
@given(pockets(), strips)
def test_the_strip_is_as_thick_as_the_gap_where_it_stops(pocket: Pocket, strip: float) -> None:
    out = answered(feeler.flush_seen_from_outside, pocket, strip)
    assert out > 0
    assert feeler.gap_at_rim(pocket, out) == pytest.approx(strip, rel=1e-8)
    into = answered(feeler.flush_seen_from_inside, pocket, strip)
    assert into > 0
    assert feeler.gap_at_butt(pocket, -into) == pytest.approx(strip, rel=1e-8)


@SOME
@given(pockets(), strips, st.floats(0.05, 0.95))
def test_nearer_to_flush_the_strip_does_not_go_in(pocket: Pocket, strip: float, part: float) -> None:
    out = answered(feeler.flush_seen_from_outside, pocket, strip)
    touch = contacts.first_touch(pocket)
    assume(touch is None or out <= touch)
    near = feeler.gap_at_rim(pocket, part * out)
    assert near is not None
    assert near < strip
    into = answered(feeler.flush_seen_from_inside, pocket, strip)
    closer = feeler.gap_at_butt(pocket, -part * into)
    assert closer is not None
    assert closer < strip


@SOME
@given(pockets())
def test_either_the_fitting_or_the_rim_ends_contact(pocket: Pocket) -> None:
    touch, leaves = contacts.first_touch(pocket), contacts.butt_leaves_head(pocket)
    assert (touch is None) != (leaves is None)
    last = touch if touch is not None else leaves
    assert last is not None
    assert last > 0
    assert touching(pocket, last * (1 - 1e-9))
    assert not touching(pocket, last * (1 + 1e-9))


@SOME
@given(pockets(), any_turns, st.floats(0.1, 5))
def test_only_the_head_height_counts(pocket: Pocket, turns: float, factor: float) -> None:
    other = replace(pocket, pitch=pocket.pitch * factor)
    answered(contacts.rock_angle, pocket, turns)
    first, second = contacts.contact(pocket, turns), contacts.contact(other, turns / factor)
    assert second.rock_angle == pytest.approx(first.rock_angle, rel=1e-9, abs=1e-15)


@SOME
@given(
    st.floats(allow_nan=True, allow_infinity=True),
    st.floats(allow_nan=True, allow_infinity=True),
    st.lists(st.floats(allow_nan=True, allow_infinity=True), min_size=7, max_size=7),
)
def test_any_numbers_are_answered_or_refused(turns: float, strip: float, sizes: list[float]) -> None:
    for shape in (tuple(sizes), (0.06, 0.008, 0.067, 0.0095, 0.0051, 0.001058, 0.08)):
        try:
            pocket = Pocket(*shape)
        except PocketError:
            continue
        finite_or_refused(lambda p=pocket: contacts.contact(p, turns).rock_angle)  # type: ignore[misc]
        finite_or_refused(lambda p=pocket: feeler.flush_seen_from_outside(p, strip))  # type: ignore[misc]
        finite_or_refused(lambda p=pocket: feeler.flush_seen_from_inside(p, strip))  # type: ignore[misc]
        finite_or_refused(lambda p=pocket: contacts.fitting_angle_for_touch(p, turns))  # type: ignore[misc]


def finite_or_refused(question: Callable[[], float]) -> None:
    try:
        value = question()
    except PocketError:
        return
    assert math.isfinite(value)


@st.composite
def wild_pockets(draw: st.DrawFn) -> Pocket:
    """Anything a Pocket accepts, however unlike a bow: lengths from a hundredth of a millimetre to ten metres."""
    radius = 10 ** draw(st.floats(-5, -0.5))
    slot = radius * draw(st.sampled_from([0.0, 1e-9, 0.5, 0.999999]))
    reach = math.sqrt(radius**2 - slot**2)
    arm = min(9.0, radius * (1 + 10 ** draw(st.floats(-9, 3))))
    butt = min(10.0, arm - reach + 10 ** draw(st.floats(-9, 0.5)))
    depth, pitch = 10 ** draw(st.floats(-6, 1)), 10 ** draw(st.floats(-6, 1))
    angle = 10 ** draw(st.floats(-9, 0.19))
    try:
        return Pocket(arm, depth, butt, radius, slot, pitch, angle)
    except PocketError as error:
        refused = error
    reject()
    raise refused


@SOME
@given(wild_pockets(), st.floats(-1e6, 1e6), st.floats(-9, 1))
def test_wild_pockets_never_hang_nor_give_nan(pocket: Pocket, turns: float, power: float) -> None:
    strip = 10.0**power
    finite_or_refused(lambda: contacts.contact(pocket, turns).rock_angle)
    finite_or_refused(lambda: contacts.contact(pocket, 0).contact_x or 0.0)
    finite_or_refused(lambda: feeler.flush_seen_from_outside(pocket, strip))
    finite_or_refused(lambda: feeler.flush_seen_from_inside(pocket, strip))
    finite_or_refused(lambda: contacts.fitting_angle_for_touch(pocket, turns))
    for question in (contacts.first_touch, contacts.coverage_lost, contacts.butt_leaves_head):
        value = question(pocket)
        assert value is None or math.isfinite(value)
    for gap in (feeler.gap_at_rim, feeler.gap_at_butt):
        finite_or_refused(lambda ask=gap: ask(pocket, turns) or 0.0)  # type: ignore[misc]


# The model's equations at 40 digits


class Reference:
    """model.md 1 as written, in 40-digit numbers; angles by bisection only."""

    def __init__(self, pocket: Pocket) -> None:
        self.a, self.t, self.b = mpf(pocket.fulcrum_arm), mpf(pocket.limb_depth), mpf(pocket.butt_length)
        self.p, self.limit = mpf(pocket.pitch), mpf(pocket.fitting_angle)
        self.reach = mpmath.sqrt(mpf(pocket.head_radius) ** 2 - mpf(pocket.slot_half_width) ** 2)

    def back(self, angle: mpf, x: mpf) -> mpf:
        foot_x = self.a + self.t * mpmath.sin(angle)
        foot_y = -self.t + self.t * mpmath.cos(angle)
        return foot_y - (x - foot_x) * mpmath.tan(angle)

    def coverage(self, angle: mpf) -> mpf:
        return self.b * mpmath.cos(angle) - self.t * mpmath.sin(angle) - self.a

    def place(self, angle: mpf) -> mpf:
        return -min(self.reach, self.coverage(angle))

    def bearing(self, angle: mpf) -> mpf:
        """The head height that gives this angle: y(xc)."""
        return self.back(angle, self.place(angle)) if angle >= 0 else self.back(angle, self.reach)

    def opening(self, angle: mpf) -> mpf:
        """The gap on the side that does not bear."""
        return abs(self.bearing(angle) - self.back(angle, self.reach if angle >= 0 else self.place(angle)))


def halve(too_far: Callable[[mpf], bool], low: float | mpf, high: float | mpf) -> mpf:
    near, far = mpf(low), mpf(high)
    for _ in range(110):
        middle = (near + far) / 2
        if too_far(middle):
            far = middle
        else:
            near = middle
    return (near + far) / 2


def close(value: float, reference: mpf) -> bool:
    return bool(abs(mpf(value) - reference) <= mpf("1e-9") * abs(reference))


@FEW
@given(pockets(), st.one_of(outside, inside))
def test_contact_at_forty_digits(pocket: Pocket, turns: float) -> None:
    answered(contacts.rock_angle, pocket, turns)
    found = contacts.contact(pocket, turns)
    with mpmath.workdps(40):
        model, height = Reference(pocket), mpf(pocket.pitch) * mpf(turns)
        if found.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD):
            assert found.rock_angle == pocket.fitting_angle
            outward = halve(lambda angle: model.coverage(angle) <= -model.reach, 0, 1.5)
            end = min(outward, model.limit)
            assert turns < 0 or model.bearing(end) < height
            assert (found.state is ContactState.OFF_HEAD) == (turns < 0 or outward <= model.limit)
            if found.gap is not None:
                assert close(found.gap, height - model.bearing(model.limit))
            return
        angle = found.rock_angle
        low, high = (angle - 1e-3, 0) if turns < 0 else (0, angle + 1e-3)
        reference = halve(lambda tilt: model.bearing(tilt) > height, low, high)
        assert close(angle, reference)
        assert found.contact_x is not None
        place = model.reach if turns < 0 else model.place(reference)
        assert abs(found.contact_x - place) <= mpf("1e-9") * model.reach
        assert abs(found.coverage - model.coverage(reference)) <= mpf("1e-9") * model.reach
        gap = (feeler.gap_at_butt if turns < 0 else feeler.gap_at_rim)(pocket, turns)
        assert gap is not None
        overlap = model.reach - model.place(reference)  # a sliver of cover is a difference of longer lengths
        tolerance = mpf("1e-9") if overlap > model.reach / 1000 else mpf("1e-6")
        assert abs(gap - model.opening(reference)) <= tolerance * model.opening(reference)


@FEW
@given(pockets())
def test_thresholds_at_forty_digits(pocket: Pocket) -> None:
    touch, leaves, lost = (
        question(pocket) for question in (contacts.first_touch, contacts.butt_leaves_head, contacts.coverage_lost)
    )
    with mpmath.workdps(40):
        model = Reference(pocket)
        if touch is not None:
            assert close(touch, model.bearing(model.limit) / model.p)
        if leaves is not None:
            angle = halve(lambda tilt: model.coverage(tilt) <= -model.reach, 0, pocket.fitting_angle)
            assert close(leaves, model.bearing(angle) / model.p)
        if pocket.butt_length > pocket.fulcrum_arm:
            angle = halve(lambda tilt: model.coverage(tilt) <= 0, 0, 1.5)
            assert lost is not None
            assert close(lost, model.back(angle, mpf(0)) / model.p)


@pytest.mark.long
@FEW
@given(pockets(), strips)
def test_what_a_feeler_sees_at_forty_digits(pocket: Pocket, strip: float) -> None:
    assume(pocket.coverage_at_flush > 0)
    out = answered(feeler.flush_seen_from_outside, pocket, strip)
    into = answered(feeler.flush_seen_from_inside, pocket, strip)
    with mpmath.workdps(40):
        model, thick = Reference(pocket), mpf(strip)
        if model.coverage(model.limit) > -model.reach and model.opening(model.limit) < thick:
            # It stops beyond first touch, where the fitting holds the limb.
            reference = (model.back(model.limit, model.reach) + thick) / model.p
        else:
            # Where the butt leaves the head the opening falls again: the first rise is meant.
            angles = [model.limit * step / 500 for step in range(501)]
            wide = next(step for step, angle in enumerate(angles) if model.opening(angle) > thick)
            angle = halve(lambda tilt: model.opening(tilt) > thick, angles[wide - 1], angles[wide])
            reference = model.bearing(angle) / model.p
        assert close(out, reference)
        tilt = halve(lambda angle: model.opening(-angle) > thick, 0, 3 * strip / float(model.reach))
        assert close(into, -model.bearing(-tilt) / model.p)
