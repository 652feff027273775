"""What is drawn of a bow that was found is the bow that was found, measured in the picture.

Outside sources: Shapely's distances and lengths (C); the default bow's published numbers (model.md section 4, C).
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import lru_cache
from typing import Any

import pytest
from shapely.geometry import LineString
from shapely.geometry import Point as Place

from figures.reading import Drawing, Frame, collisions, faults
from published.bow import DEFAULT_BOW, default_rock
from quarterturn.figures.bow_labels import Measures
from quarterturn.figures.bow_shape import BowShape, extent_of, shape_of
from quarterturn.figures.bow_view import bow_view
from quarterturn.mechanics.bow import Bow, BracedBow, DrawnBow
from quarterturn.mechanics.continuation import drawn
from quarterturn.mechanics.equilibrium import braced
from quarterturn.units import INCH, POUND, STANDARD_GRAVITY

ROCK = default_rock()
FULL = 26.25 * INCH
TURNED = (ROCK[0] - 0.016, ROCK[1] + 0.008)  # rad: the upper bolt about a turn in, the lower one half a turn out
UNLIKE = replace(
    DEFAULT_BOW,
    lower=replace(DEFAULT_BOW.lower, fulcrum_x=0.06, depth=0.01, limb=replace(DEFAULT_BOW.lower.limb, stiffness=40.0)),
)
BOWS = pytest.mark.parametrize(("bow", "rock"), [(DEFAULT_BOW, ROCK), (DEFAULT_BOW, TURNED), (UNLIKE, ROCK)])
SIDES = ("upper", "lower")


@lru_cache
def strung(turned: bool = False) -> tuple[BracedBow, DrawnBow]:
    rock = TURNED if turned else ROCK
    found = braced(DEFAULT_BOW, rock)
    return found, drawn(DEFAULT_BOW, rock, FULL, start=found)


class Seen(Drawing):
    """A drawn bow, read back in metres."""

    def __init__(self, now: BowShape, measures: Measures, **more: Any) -> None:
        super().__init__(bow_view(now, measures=measures, prefix="b", **more))
        self.frame = Frame(self, "b-bow")

    def metres(self, x: float, y: float) -> tuple[float, float]:
        """The bow lies on its side: its Y goes to the right, its X down."""
        up, back = self.frame.mm(x, y)
        return -back, up

    def measured(self, key: str) -> tuple[tuple[float, float], tuple[float, float]]:
        x1, y1, x2, y2 = self.line(f"b-{key}")
        return self.metres(x1, y1), self.metres(x2, y2)

    def way(self, key: str) -> list[tuple[float, float]]:
        found = re.findall(r"[ML] (\S+) (\S+)", self.by_id[f"b-{key}"].attrib["d"])
        return [self.metres(float(x), float(y)) for x, y in found]

    def written(self, key: str) -> float:
        """The number in the words of a measure, m."""
        words = " ".join(self.by_id[one].text or "" for one in self.ids if re.fullmatch(rf"b-{key}-words(-1)?", one))
        return float(re.findall(r"[\d.]+", words)[0]) / 1000


def at_rest(found: BracedBow) -> Measures:
    upper, lower = found.upper.distance_to_belly, found.lower.distance_to_belly
    return Measures(
        f"brace height {1000 * found.brace_height:.1f} mm",
        f"upper tiller {1000 * upper:.1f} mm",
        f"lower tiller {1000 * lower:.1f} mm",
    )


@BOWS
def test_what_is_written_at_the_strung_bow_is_as_long_as_it_is_drawn(bow: Bow, rock: tuple[float, float]) -> None:
    """To half of the last digit and the coordinates' rounding; square to the string, by Shapely (C)."""
    found = braced(bow, rock)
    drawing = Seen(shape_of(bow, found), at_rest(found))
    string = LineString(drawing.way("string")[::2])
    for key in ("brace", "upper-tiller", "lower-tiller"):
        start, end = drawing.measured(key)
        assert math.dist(start, end) == pytest.approx(drawing.written(key), abs=0.00005 + 2e-5)
        assert string.distance(Place(start)) == pytest.approx(math.dist(start, end), abs=2e-5)
        assert string.distance(Place(end)) <= 1e-5
    for side, half, name in zip((bow.upper, bow.lower), (found.upper, found.lower), SIDES, strict=True):
        start, end = drawing.measured(f"{name}-tiller")
        assert math.dist(start, end) == pytest.approx(half.distance_to_belly, abs=2e-5)
        up = 1 if name == "upper" else -1
        assert math.dist(start, (side.fulcrum_x, up * side.fulcrum_y)) <= 1e-5


def test_the_default_bow_is_drawn_with_its_published_numbers() -> None:
    """model.md section 4: brace height 221.958 mm, at the belly 179.0 and 175.0 mm (C)."""
    found, full = strung()
    drawing = Seen(shape_of(DEFAULT_BOW, found), at_rest(found))
    lengths = [math.dist(*drawing.measured(key)) for key in ("brace", "upper-tiller", "lower-tiller")]
    assert lengths == pytest.approx([0.221958, 0.1790, 0.1750], abs=7e-5)
    pulled = Seen(shape_of(DEFAULT_BOW, full), Measures(draw_length="draw length 28 in"))
    assert math.dist(*pulled.measured("draw")) + 1.75 * INCH == pytest.approx(28 * INCH, abs=2e-5)


@BOWS
def test_the_drawn_limbs_are_as_long_as_they_are_and_the_string_too(bow: Bow, rock: tuple[float, float]) -> None:
    """Shapely's lengths (C); chords are a little shorter than arcs."""
    for found in (braced(bow, rock), drawn(bow, rock, FULL)):
        drawing = Seen(shape_of(bow, found), Measures())
        string = LineString(drawing.way("string")).length
        for name, side in zip(SIDES, (bow.upper, bow.lower), strict=True):
            line = LineString(drawing.way(f"{name}-line"))
            assert line.length == pytest.approx(side.limb.length, rel=1e-3)
            if f"b-{name}-contact" in drawing.by_id:
                string += LineString(drawing.way(f"{name}-contact")).length
        assert string == pytest.approx(bow.string.upper + bow.string.lower, abs=2e-4)


def test_the_string_lies_on_the_limbs_of_the_strung_bow_and_not_at_full_draw() -> None:
    found, full = strung()
    shape = shape_of(DEFAULT_BOW, found)
    drawing = Seen(shape, Measures())
    for name, half, limb in zip(SIDES, (found.upper, found.lower), (shape.upper, shape.lower), strict=True):
        assert LineString(drawing.way(f"{name}-contact")).length == pytest.approx(half.bent.wrapped, rel=1e-3)
        assert limb.contact is not None
    pulled = shape_of(DEFAULT_BOW, full)
    assert pulled.upper.contact is pulled.lower.contact is None


def test_the_string_has_the_angles_that_hold_the_weight() -> None:
    """Tension along the drawn string, both parts together: 37.9975 lbf at 28 in on a tape (model.md section 4, C)."""
    _, full = strung()
    drawing = Seen(shape_of(DEFAULT_BOW, full), Measures())
    upper, nock, lower = drawing.way("string")
    pull = [0.0, 0.0]
    for tip, half in ((upper, full.upper), (lower, full.lower)):
        for axis in (0, 1):
            pull[axis] += half.tension * (nock[axis] - tip[axis]) / math.dist(nock, tip)
    assert math.hypot(*pull) / (POUND * STANDARD_GRAVITY) == pytest.approx(37.9975, abs=0.01)
    assert pull[0] * nock[1] - pull[1] * nock[0] == pytest.approx(0, abs=0.02)  # through the pivot point


def test_a_bow_turned_by_hand_keeps_the_pictures_scale_and_its_words_apart() -> None:
    found, full = strung()
    turned, pulled = strung(turned=True)
    shapes = [shape_of(DEFAULT_BOW, one) for one in (found, full, turned, pulled)]
    extent = extent_of(*shapes[:2], spare=0.02)
    scales = set()
    for now, before, measures in (
        (shapes[0], None, at_rest(found)),
        (shapes[2], shapes[0], at_rest(turned)),
        (shapes[1], shapes[0], Measures(draw_length="draw length 28 in", force="38.0 lbf")),
        (shapes[3], shapes[1], Measures(draw_length="draw length 28 in", force="38.2 lbf")),
    ):
        drawing = Seen(now, measures, before=before, extent=extent)
        assert collisions(drawing) == []
        assert faults(drawing, "b") == []
        scales.add(drawing.numbers("b-bow", "data-scale-x", "data-origin-x", "data-origin-y"))
    assert len(scales) == 1


def test_turning_a_bolt_in_moves_that_limb_away_from_the_archer() -> None:
    """What archers see: that limb's tiller distance falls, the other's rises (common practice, no source)."""
    one, other = (Seen(shape_of(DEFAULT_BOW, strung(turned=at)[0]), at_rest(strung(turned=at)[0])) for at in (0, 1))
    upper, lower = (
        math.dist(*other.measured(key)) - math.dist(*one.measured(key)) for key in ("upper-tiller", "lower-tiller")
    )
    assert upper < -0.001
    assert lower > 0.001
