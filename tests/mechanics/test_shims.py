"""Shims against an independent construction: plates and bars as Shapely polygons, turned until they touch (mark C).

Nothing here knows what a shim does in turns: a plate is drawn under the head, or the limb is drawn where a plate lifts
or pushes it. Flush, first touch and the lean are then found by bisection on "do they intersect".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from shapely import Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from quarterturn.mechanics.pocket import ContactState, Pocket, PocketError
from quarterturn.mechanics.shims import ShimPlace, shim_effect

THICK = 3.0  # mm, the limb at the butt


@dataclass(frozen=True, slots=True)
class Bench:
    """One made-up pocket in millimetres, with a plate somewhere in it."""

    arm: float
    depth: float
    cover: float
    radius: float
    slot: float
    pitch: float
    fitting: float
    under_head: float = 0.0
    on_floor: float = 0.0
    at_butt: float = 0.0

    def pocket(self) -> Pocket:
        """Without the plate."""
        return Pocket(
            fulcrum_arm=self.arm / 1000,
            limb_depth=self.depth / 1000,
            butt_length=(self.arm + self.cover) / 1000,
            head_radius=self.radius / 1000,
            slot_half_width=self.slot / 1000,
            pitch=self.pitch / 1000,
            fitting_angle=self.fitting,
        )

    def head(self, turns: float) -> BaseGeometry:
        half, under = (self.radius**2 - self.slot**2) ** 0.5, self.pitch * turns
        return box(-half, under, half, under + 6).union(box(-half, under - self.under_head, half, under + 1))

    def limb(self, angle: float) -> Polygon:
        start, top = -self.cover + self.at_butt, self.on_floor
        flat = Polygon([(start, top), (self.arm + 60, top), (self.arm + 60, top - THICK), (start, top - THICK)])
        return affinity.rotate(flat, -angle, origin=(self.arm, top - self.depth), use_radians=True)

    def corner(self, angle: float) -> float:
        """How high the upper corner of the butt end is."""
        return float(self.limb(angle).exterior.coords[0][1])

    def touches(self, turns: float, angle: float) -> bool:
        return bool(self.head(turns).intersects(self.limb(angle)))

    def flush(self) -> float:
        """Where a head that comes in first meets the limb that lies flat."""
        return bisect(lambda turns: not self.touches(turns, 0.0), -3.0, 12.0)

    def first_touch(self, angle: float) -> float:
        """Where a head that comes in first meets the limb held at this angle."""
        return bisect(lambda turns: not self.touches(turns, angle), -3.0, 40.0)

    def rocked(self, turns: float) -> float:
        """How far the limb rocks before the head or the fitting stops it."""
        low = -0.2
        assert not self.touches(turns, low)
        while low < self.fitting:
            high = min(low + 0.01, self.fitting)
            if self.touches(turns, high):
                return bisect(lambda angle: self.touches(turns, angle), low, high)
            low = high
        return self.fitting


def bisect(true_above: Callable[[float], bool], low: float, high: float) -> float:
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (low, middle) if true_above(middle) else (middle, high)
    return (low + high) / 2


PLAIN = [
    Bench(60.0, 8.0, 7.0, 9.5, 5.1, 25.4 / 24, 0.08),
    Bench(45.0, 4.0, 4.0, 9.5, 0.0, 1.25, 0.12),
    Bench(75.0, 14.0, 11.0, 9.5, 3.0, 1.0, 0.1),
    Bench(60.0, 8.0, 1.5, 8.0, 4.0, 1.0, 0.06),
]
SIZES = (0.2, 0.5, 1.0)


def with_plate(bench: Bench, place: ShimPlace, size: float) -> Bench:
    where = {ShimPlace.HEAD: "under_head", ShimPlace.FLOOR: "on_floor", ShimPlace.BUTT_END: "at_butt"}[place]
    return Bench(**{name: getattr(bench, name) for name in bench.__slots__} | {where: size})


each_place = pytest.mark.parametrize("place", list(ShimPlace))


@each_place
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("bench", PLAIN, ids=lambda bench: f"a{bench.arm:g}-c{bench.cover:g}")
def test_flush_and_lean(bench: Bench, place: ShimPlace, size: float) -> None:
    plate = with_plate(bench, place, size)
    for turns in (-0.6, 0.3, 1.0, 2.0, 3.5):
        found = shim_effect(bench.pocket(), place, size / 1000, turns)
        assert found.flush == pytest.approx(plate.flush() - bench.flush(), abs=1e-9)
        assert found.lean == pytest.approx(plate.rocked(turns) - bench.rocked(turns), abs=1e-9)
        assert (found.state is ContactState.RIM) == (turns < plate.flush() - 1e-9)
        reach = plate.limb(0.0).bounds[0] - bench.limb(0.0).bounds[0]
        assert 1000 * found.cover == pytest.approx(-reach, abs=1e-9)


@pytest.mark.parametrize("place", [ShimPlace.HEAD, ShimPlace.BUTT_END])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("bench", PLAIN, ids=lambda bench: f"a{bench.arm:g}-c{bench.cover:g}")
def test_first_touch(bench: Bench, place: ShimPlace, size: float) -> None:
    touch = shim_effect(bench.pocket(), place, size / 1000, 2.0).touch
    moved = with_plate(bench, place, size).first_touch(bench.fitting) - bench.first_touch(bench.fitting)
    assert touch == pytest.approx((moved, moved), abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("bench", PLAIN, ids=lambda bench: f"a{bench.arm:g}-c{bench.cover:g}")
def test_first_touch_over_a_plate_on_the_floor_lies_between_two_fittings(bench: Bench, size: float) -> None:
    """One lets the limb rock as far as before; the other holds the butt end as high as before."""
    plate, touch = with_plate(bench, ShimPlace.FLOOR, size), bench.first_touch(bench.fitting)
    held = bisect(lambda angle: plate.corner(angle) > bench.corner(bench.fitting), 0.0, bench.fitting)
    found = shim_effect(bench.pocket(), ShimPlace.FLOOR, size / 1000, 2.0).touch
    expected = (plate.first_touch(held) - touch, plate.first_touch(bench.fitting) - touch)
    assert found == pytest.approx(expected, abs=1e-9)


def test_a_plate_thicker_than_all_of_the_fittings_way_leaves_nothing() -> None:
    """The fitting would hold the butt end, at most 5.3 mm up, lower than the plate lifts the limb that lies flat."""
    bench = PLAIN[0]
    found = shim_effect(bench.pocket(), ShimPlace.FLOOR, 6e-3, 2.0)
    assert bench.corner(bench.fitting) < 6
    assert found.touch is not None
    assert bench.first_touch(bench.fitting) + found.touch[0] == pytest.approx(found.flush)


@each_place
@pytest.mark.parametrize("size", [0.0, -1e-3, float("nan"), float("inf")])
def test_no_thickness_is_refused(place: ShimPlace, size: float) -> None:
    with pytest.raises(PocketError, match="thickness must be"):
        shim_effect(PLAIN[0].pocket(), place, size, 2.0)


def test_a_plate_that_pushes_the_butt_off_the_head_is_refused() -> None:
    with pytest.raises(PocketError, match="does not reach"):
        shim_effect(PLAIN[0].pocket(), ShimPlace.BUTT_END, 20e-3, 2.0)
