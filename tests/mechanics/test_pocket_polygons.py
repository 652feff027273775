"""The pocket against an independent construction: Shapely polygons, turned and lifted until they touch (mark C).

The head is a rectangle and the limb a bar of known thickness. The limb is turned about the fulcrum with Shapely's
own rotation and the angle of contact is found by bisection on "do they intersect". Nothing here knows a formula for
the rock angle, the coverage or the gap: contact point, coverage and gaps are read from the polygons.
"""

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from shapely import LineString, Polygon, affinity, box

from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics import pocket as mechanics
from quarterturn.mechanics.pocket import ContactState, Pocket

THICK = 3.0  # mm, the limb at the butt
STEP = 0.01  # rad: at a lever of 90 mm the limb moves 0.9 mm, less than it is thick
TILT = 0.6  # rad, as far as the limb is turned in to begin a search


@dataclass(frozen=True, slots=True)
class Bench:
    """One made-up pocket in millimetres, as polygons."""

    arm: float
    depth: float
    butt: float
    radius: float
    slot: float
    pitch: float
    fitting: float

    def pocket(self) -> Pocket:
        return Pocket(
            fulcrum_arm=self.arm / 1000,
            limb_depth=self.depth / 1000,
            butt_length=self.butt / 1000,
            head_radius=self.radius / 1000,
            slot_half_width=self.slot / 1000,
            pitch=self.pitch / 1000,
            fitting_angle=self.fitting,
        )

    def half_head(self) -> float:
        """Half the head's chord along the slot's wall, by Pythagoras."""
        return math.sqrt(self.radius**2 - self.slot**2)

    def head(self, height: float) -> Polygon:
        half = self.half_head()
        return box(-half, height, half, height + 6)

    def limb(self, angle: float) -> Polygon:
        """The limb's bar in the flush position, turned so that the butt lifts (clockwise: the tip is at +x)."""
        flush = Polygon(
            [
                (self.arm - self.butt, 0),
                (self.arm + 60, 0),
                (self.arm + 60, -THICK),
                (self.arm - self.butt, -THICK),
            ]
        )
        return affinity.rotate(flush, -angle, origin=(self.arm, -self.depth), use_radians=True)

    def corner(self, angle: float) -> tuple[float, float]:
        x, y = self.limb(angle).exterior.coords[0]
        return float(x), float(y)

    def top(self, angle: float, x: float) -> float:
        """The highest point of the limb over x, cut out of the polygon by a line."""
        cut = self.limb(angle).intersection(LineString([(x, -300), (x, 300)]))
        return float(cut.bounds[3])

    def touches(self, angle: float, height: float) -> bool:
        return bool(self.head(height).intersects(self.limb(angle)))

    def step(self) -> float:
        """Fine enough not to step over a butt that bears on a sliver of the rim before it passes it."""
        return 0.0004 if self.butt - self.arm < -0.9 * self.half_head() else STEP

    def stop_angle(self, height: float) -> float | None:
        """The first angle, coming from far in, at which the head stops the limb; None when the fitting does."""
        low = -TILT if height < 0 else 0.0
        if self.touches(low, height):
            raise AssertionError("the search must begin free of the head")
        head = self.head(height)
        while low < self.fitting:
            high = min(low + (STEP if low < 0 else self.step()), self.fitting)
            if head.intersects(self.limb(high)):
                return bisect(lambda angle: bool(head.intersects(self.limb(angle))), low, high)
            low = high
        return None

    def gap(self, angle: float, height: float, x: float) -> float:
        return height - self.top(angle, x)


def bisect(true_above: Callable[[float], bool], low: float, high: float, times: int = 48) -> float:
    """Halve the bracket of a question that is answered no at its low end and yes at its high end."""
    for _ in range(times):
        middle = (low + high) / 2
        if true_above(middle):
            high = middle
        else:
            low = middle
    return (low + high) / 2


SHAPES = [
    Bench(arm, depth, arm + cover, 9.5, slot, pitch, fitting)
    for (arm, depth, slot, pitch), cover, fitting in itertools.product(
        [(60.0, 8.0, 5.1, 25.4 / 24), (45.0, 4.0, 0.0, 1.25), (75.0, 14.0, 3.0, 1.0)],
        [-7.7, -3.0, 0.3, 4.0, 7.0, 8.2, 8.8, 12.0],
        [0.03, 0.08, 0.2],
    )
]
TURNS = (-4.0, -1.0, -0.2, 0.2, 0.7, 1.5, 3.0, 6.0, 12.0)


def name(shape: Bench) -> str:
    return f"a{shape.arm:g}-c{shape.butt - shape.arm:.1f}-f{shape.fitting:g}"


def expected_state(shape: Bench, turns: float, angle: float | None) -> ContactState:
    """What the polygons show: who is where when the head stops the limb, or when it does not."""
    half = shape.half_head()
    if angle is None:
        return ContactState.OFF_HEAD if shape.corner(shape.fitting)[0] >= half else ContactState.OUT_OF_REACH
    if turns < 0:
        return ContactState.RIM
    return ContactState.EDGE if shape.corner(angle)[0] < -half else ContactState.BUTT


@pytest.mark.parametrize("shape", SHAPES, ids=name)
def test_contact(shape: Bench) -> None:
    for turns in TURNS:
        height = shape.pitch * turns
        stopped = shape.stop_angle(height)
        angle = shape.fitting if stopped is None else stopped
        found = contacts.contact(shape.pocket(), turns)
        assert found.state is expected_state(shape, turns, stopped), turns
        assert found.rock_angle == pytest.approx(angle, abs=2e-12)
        assert found.coverage * 1000 == pytest.approx(-shape.corner(angle)[0], abs=1e-9)
        check_place(shape, height, stopped, found)
        check_gaps(shape, turns, angle, found.state)


def check_place(shape: Bench, height: float, stopped: float | None, found: contacts.Contact) -> None:
    """Turn the limb a hair farther: where the polygons first overlap is where it bears."""
    if stopped is None:
        assert (found.contact_x is None) == (found.state is ContactState.OFF_HEAD)
        return
    overlap = shape.head(height).intersection(shape.limb(stopped + 1e-8))
    assert not overlap.is_empty
    assert found.contact_x is not None
    assert overlap.bounds[0] - 1e-3 <= found.contact_x * 1000 <= overlap.bounds[2] + 1e-3
    assert overlap.bounds[2] - overlap.bounds[0] < 1e-2


def check_gaps(shape: Bench, turns: float, angle: float, state: ContactState) -> None:
    height, half = shape.pitch * turns, shape.half_head()
    rim, butt = feeler.gap_at_rim(shape.pocket(), turns), feeler.gap_at_butt(shape.pocket(), turns)
    if state is ContactState.OFF_HEAD:
        assert rim is None
        assert butt is None
        return
    assert rim is not None
    assert butt is not None
    end = max(-half, shape.corner(angle)[0] + 1e-9)
    assert rim * 1000 == pytest.approx(shape.gap(angle, height, half), abs=1e-8)
    assert butt * 1000 == pytest.approx(shape.gap(angle, height, end), abs=1e-8)


def test_all_states_but_flush_are_in_the_grid() -> None:
    seen = {contacts.contact(shape.pocket(), turns).state for shape in SHAPES for turns in TURNS}
    assert seen == set(ContactState) - {ContactState.FLUSH}


@pytest.mark.parametrize("shape", SHAPES, ids=name)
def test_flush_lies_flat(shape: Bench) -> None:
    found = contacts.contact(shape.pocket(), 0)
    overlap = box(-shape.half_head(), -1, shape.half_head(), 0).intersection(shape.limb(0))
    assert found.state is ContactState.FLUSH
    assert found.rock_angle == 0
    assert overlap.bounds[3] == pytest.approx(0, abs=1e-12)
    assert not shape.head(1e-9).intersects(shape.limb(0))


@pytest.mark.parametrize("shape", SHAPES[::5], ids=name)
def test_flush_centroid_of_the_real_overlap(shape: Bench) -> None:
    """Disc less slot, cut off at the butt end, seen along the bolt axis; the disc is a fine polygon."""
    count = 20000
    points = [(math.cos(2 * math.pi * i / count), math.sin(2 * math.pi * i / count)) for i in range(count)]
    disc = Polygon([(shape.radius * x, shape.radius * y) for x, y in points])
    start = max(-shape.half_head(), shape.arm - shape.butt)
    prongs = box(start, -20, shape.half_head(), 20).difference(box(-20, -shape.slot, 20, shape.slot))
    centroid = disc.intersection(prongs).centroid.x
    found = contacts.contact(shape.pocket(), 0).contact_x
    assert found is not None
    assert found * 1000 == pytest.approx(centroid, abs=1e-5)


def lifted_clear(shape: Bench, angle: float) -> float:
    """The height at which a head that comes down on a held limb first meets it."""
    return bisect(lambda height: not shape.touches(angle, height), -1.0, 40.0)


@pytest.mark.parametrize("shape", SHAPES[::2], ids=name)
def test_first_touch(shape: Bench) -> None:
    touch = contacts.first_touch(shape.pocket())
    if shape.corner(shape.fitting)[0] >= shape.half_head():
        assert touch is None
        return
    assert touch is not None
    assert touch * shape.pitch == pytest.approx(lifted_clear(shape, shape.fitting), abs=1e-9)


@pytest.mark.parametrize("shape", SHAPES[::2], ids=name)
def test_coverage_lost_and_butt_leaving(shape: Bench) -> None:
    lost, leaves = contacts.coverage_lost(shape.pocket()), contacts.butt_leaves_head(shape.pocket())
    if shape.butt > shape.arm:
        angle = bisect(lambda tilt: shape.corner(tilt)[0] > 0, 0.0, 1.5)
        assert lost is not None
        assert lost * shape.pitch == pytest.approx(shape.corner(angle)[1], abs=1e-8)
    half = shape.half_head()
    if shape.corner(shape.fitting)[0] < half:
        assert leaves is None
        return
    angle = bisect(lambda tilt: shape.corner(tilt)[0] > half, 0.0, shape.fitting)
    assert leaves is not None
    assert leaves * shape.pitch == pytest.approx(shape.corner(angle)[1], abs=1e-8)


USUAL = [shape for shape in SHAPES if shape.fitting == 0.08 and shape.butt > shape.arm]


@pytest.mark.parametrize("strip", [0.03, 0.1, 0.5])
@pytest.mark.parametrize("shape", USUAL[::3], ids=name)
def test_what_a_feeler_sees(shape: Bench, strip: float) -> None:
    """The head is turned until the polygons leave just the strip's thickness free at the side that is felt."""
    half = shape.half_head()

    def at(turns: float) -> float:
        stopped = shape.stop_angle(shape.pitch * turns)
        return shape.fitting if stopped is None else stopped

    def goes_in_at_rim(turns: float) -> bool:
        return shape.gap(at(turns), shape.pitch * turns, half) >= strip

    def goes_in_at_butt(depth: float) -> bool:
        angle = at(-depth)
        end = max(-half, shape.corner(angle)[0] + 1e-9)
        return shape.gap(angle, -shape.pitch * depth, end) >= strip

    outside = bisect(goes_in_at_rim, 1e-3, 8.0, 21)
    inside = bisect(goes_in_at_butt, 1e-3, 8.0, 21)
    assert feeler.flush_seen_from_outside(shape.pocket(), strip / 1000) == pytest.approx(outside, abs=1e-5)
    assert feeler.flush_seen_from_inside(shape.pocket(), strip / 1000) == pytest.approx(inside, abs=1e-5)
    held = lifted_clear(shape, shape.fitting) / shape.pitch
    lifted = bisect(
        lambda turns: (
            shape.gap(shape.fitting, shape.pitch * turns, max(-half, shape.corner(shape.fitting)[0] + 1e-9)) >= strip
        ),
        held,
        held + 3,
        21,
    )
    assert feeler.touch_seen_from_outside(shape.pocket(), strip / 1000) == pytest.approx(lifted - held, abs=1e-5)


@pytest.mark.parametrize("side", ["rim", "butt"])
@pytest.mark.parametrize("turns", [-1.5, -0.4, 0.3, 1.0, 2.5, 5.0, 8.0, 12.0])
@pytest.mark.parametrize("shape", USUAL[::3], ids=name)
def test_how_far_a_strip_goes_in(shape: Bench, turns: float, side: str) -> None:
    """Push along the overlap, a two-hundredth at a time: it stops where the polygons leave less than its thickness."""
    strip, height, half = 0.1, shape.pitch * turns, shape.half_head()
    stopped = shape.stop_angle(height)
    angle = shape.fitting if stopped is None else stopped
    start, end = (half, -half) if side == "rim" else (-half, half)
    corner = shape.corner(angle)[0] + 1e-9
    start, end = max(start, corner), max(end, corner)
    count = 200
    places = [start + (end - start) * i / count for i in range(count + 1)]
    free = list(itertools.takewhile(lambda x: shape.gap(angle, height, x) > strip, places))
    reach = feeler.strip_reach(shape.pocket(), turns, strip / 1000, side)
    assert reach is not None
    pushed = abs(free[-1] - start) if free else 0.0
    assert pushed - 1e-6 <= reach * 1000 <= pushed + abs(end - start) / count + 1e-6


def test_a_strip_is_offered_at_one_of_two_places() -> None:
    with pytest.raises(ValueError, match='"rim" or "butt"'):
        feeler.strip_reach(USUAL[0].pocket(), 1.0, 1e-4, "tip")
    with pytest.raises(mechanics.PocketError, match="strip's thickness"):
        feeler.strip_reach(USUAL[0].pocket(), 1.0, 0.0, "rim")
