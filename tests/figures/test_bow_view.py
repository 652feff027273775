"""The drawing of the whole bow is measured: points, distances and angles, through the stated scale, are what went in.

Outside sources: Shapely's distances, projections and areas (C); numpy's least squares for the scale (C); circular arcs
in closed form for the shapes (C). The shapes are made up.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box
from shapely.geometry import Point as Place

from figures.reading import SPACE, Drawing, Frame, alike, boxes, collisions, faults
from quarterturn.figures.bow_labels import LONGEST, Measures
from quarterturn.figures.bow_shape import THICK, BowShape, Extent, LimbShape, extent_of
from quarterturn.figures.bow_view import bow_view
from quarterturn.figures.svg import WIDTH

NEAR = 1e-5  # m: a hundredth of a millimetre, more than the rounding of the coordinates
STYLES = (Path(__file__).parents[2] / "docs/assets/qt-figures.css").read_text(encoding="utf-8")
FULCRUMS = ((0.045, 0.315), (0.045, -0.295))
SIDES = ("upper", "lower")


def arc(
    start: tuple[float, float], lean: float, curvature: float, long: float, count: int
) -> list[tuple[float, float]]:
    """Points of a circular arc that starts leaning from Y and turns by curvature; its first point left out."""
    x, y = start
    found = []
    for at in range(1, count + 1):
        s = long * at / count
        end = lean + curvature * s
        if abs(curvature) < 1e-9:
            found.append((x + s * math.sin(lean), y + s * math.cos(lean)))
        else:
            across, up = (math.cos(lean) - math.cos(end)) / curvature, (math.sin(end) - math.sin(lean)) / curvature
            found.append((x + across, y + up))
    return found


def limb(sign: int, inner: float, outer: float, contact: int | None = None, lean: float = 0.1) -> LimbShape:
    """A limb of two arcs on the fulcrum of its side: 365 mm and a recurve of 170 mm."""
    x, y = FULCRUMS[0 if sign > 0 else 1]
    root = x - 0.008 * math.cos(lean) + 0.03 * math.sin(lean), abs(y) + 0.008 * math.sin(lean) + 0.03 * math.cos(lean)
    first = arc(root, lean, inner, 0.365, 12)
    points = [root, *first, *arc(first[-1], lean + 0.365 * inner, outer, 0.17, 8)]
    return LimbShape(tuple((x, sign * y) for x, y in points), contact)


def braced(upper: LimbShape, lower: LimbShape, part: float = 0.49) -> BowShape:
    """The nocking point on the straight string."""
    (x1, y1), (x2, y2) = (one.points[-1 if one.contact is None else one.contact] for one in (upper, lower))
    return BowShape(upper, lower, (x1 + part * (x2 - x1), y1 + part * (y2 - y1)))


BRACED = braced(limb(1, 1.7, -5.0, 18), limb(-1, 1.75, -5.0, 17))
DRAWN = BowShape(limb(1, 3.1, -6.0), limb(-1, 3.2, -6.0), (0.667, 0.025))
AT_REST = Measures("brace height 222 mm", "upper tiller 187.0 mm", "lower tiller 183.0 mm")
PULLED = Measures(draw_length="draw length 28 in", force="38.0 lbf", force_part=0.8)


class Bow(Drawing):
    """A drawn bow, read back in metres."""

    def __init__(self, now: BowShape, measures: Measures = AT_REST, **more: object) -> None:
        arguments = {"prefix": "b", **more}
        super().__init__(bow_view(now, measures=measures, **arguments))
        self.frame = Frame(self, "b-bow")

    @property
    def scale(self) -> float:
        return self.frame.scale()[0]

    def metres(self, x: float, y: float) -> tuple[float, float]:
        """The bow lies on its side: its Y goes to the right, its X down."""
        up, back = self.frame.mm(x, y)
        return -back, up

    def drawn(self, points: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        """From the bow's frame to user units."""
        origin_x, origin_y = self.numbers("b-bow", "data-origin-x", "data-origin-y")
        return [(origin_x + y * self.scale, origin_y + x * self.scale) for x, y in points]

    def way(self, key: str) -> list[tuple[float, float]]:
        """The points of a path of straight lines."""
        found = re.findall(r"[ML] (\S+) (\S+)", self.by_id[f"b-{key}"].attrib["d"])
        return [self.metres(float(x), float(y)) for x, y in found]

    def measured(self, key: str) -> tuple[tuple[float, float], tuple[float, float]]:
        x1, y1, x2, y2 = self.line(f"b-{key}")
        return self.metres(x1, y1), self.metres(x2, y2)

    def spot(self, key: str) -> tuple[float, float]:
        return self.metres(*self.numbers(f"b-{key}", "cx", "cy"))

    def said(self, key: str) -> str:
        """The words of a measure, on one line or two."""
        lines = [self.by_id[one].text or "" for one in (f"b-{key}-words", f"b-{key}-words-1") if one in self.by_id]
        return " ".join(lines)


def leaves(one: LimbShape) -> tuple[float, float]:
    return one.points[-1 if one.contact is None else one.contact]


def close(drawn: list[tuple[float, float]], wanted: tuple[tuple[float, float], ...]) -> bool:
    return len(drawn) == len(wanted) and all(math.dist(a, b) <= NEAR for a, b in zip(drawn, wanted, strict=True))


# What was put in is what is drawn


@pytest.mark.parametrize(("shape", "measures"), [(BRACED, AT_REST), (DRAWN, PULLED)])
def test_limbs_string_and_points_are_where_they_should_be(shape: BowShape, measures: Measures) -> None:
    drawing = Bow(shape, measures)
    for side, one, fulcrum in zip(SIDES, (shape.upper, shape.lower), shape.fulcrums, strict=True):
        assert close(drawing.way(f"{side}-line"), one.points)
        assert close([drawing.spot(f"{side}-tip"), drawing.spot(f"{side}-fulcrum")], (one.points[-1], fulcrum))
        if one.contact is None:
            assert f"b-{side}-contact" not in drawing.by_id
        else:
            assert close(drawing.way(f"{side}-contact"), one.points[one.contact :])
    assert shape.nock is not None
    assert close(drawing.way("string"), (leaves(shape.upper), shape.nock, leaves(shape.lower)))
    assert close([drawing.spot("nock")], (shape.nock,))


def test_the_upper_limb_is_to_the_right_and_the_archer_below() -> None:
    drawing = Bow(DRAWN, PULLED)
    (_, grip_y), (_, nock_y) = (drawing.line("b-draw")[at : at + 2] for at in (0, 2))
    assert nock_y > grip_y
    assert drawing.numbers("b-upper-tip", "cx")[0] > drawing.numbers("b-lower-tip", "cx")[0]
    assert "↑ target, ↓ archer" in drawing.words()


@pytest.mark.parametrize("shape", [BRACED, DRAWN])
def test_the_scale_is_one_and_is_the_stated_one(shape: BowShape) -> None:
    """A scale for each axis, fitted to every drawn point by least squares (numpy, C)."""
    drawing = Bow(shape, Measures())
    x, y = drawing.frame.scale()
    assert abs(x / y - 1) <= 1e-9
    put = [point for one in (shape.upper, shape.lower) for point in one.points]
    numbers = [
        (float(a), float(b))
        for side in SIDES
        for a, b in re.findall(r"[ML] (\S+) (\S+)", drawing.by_id[f"b-{side}-line"].attrib["d"])
    ]
    for axis in (0, 1):
        matrix = np.array([[point[axis], 1.0] for point in put])
        (slope, _), *_ = np.linalg.lstsq(matrix, np.array([number[1 - axis] for number in numbers]), rcond=None)
        assert slope == pytest.approx(x, abs=0.01)


def test_the_bar_is_as_long_as_it_says() -> None:
    for shape in (BRACED, DRAWN, _times(BRACED, 0.1), _times(DRAWN, 7.3)):
        drawing = Bow(shape, Measures())
        numbers = [float(one) for one in re.findall(r"-?[\d.]+", drawing.by_id["b-bar"].attrib["d"])]
        said = drawing.said("bar").removesuffix(" mm")
        assert (numbers[5] - numbers[0]) / drawing.scale == pytest.approx(float(said) / 1000, rel=1e-4)
        assert 20 <= numbers[5] - numbers[0] <= 70


def test_in_inches_the_bar_is_as_long_as_it_says_and_all_else_the_same() -> None:
    for shape in (BRACED, DRAWN, _times(BRACED, 0.1)):
        drawing = Bow(shape, Measures(length_unit="in"))
        numbers = [float(one) for one in re.findall(r"-?[\d.]+", drawing.by_id["b-bar"].attrib["d"])]
        said = drawing.said("bar").removesuffix(" in")
        assert (numbers[5] - numbers[0]) / drawing.scale == pytest.approx(0.0254 * float(said), rel=1e-4)
        assert 20 <= numbers[5] - numbers[0] <= 70
        other = Bow(shape, Measures())
        assert drawing.by_id["b-upper-limb"].attrib == other.by_id["b-upper-limb"].attrib
        alike(other.picture.description, drawing.picture.description)


def _times(shape: BowShape, factor: float) -> BowShape:
    def one(limb_shape: LimbShape) -> LimbShape:
        return replace(limb_shape, points=tuple((factor * x, factor * y) for x, y in limb_shape.points))

    upper, lower = shape.fulcrums
    assert shape.nock is not None
    nock = (factor * shape.nock[0], factor * shape.nock[1])
    scaled = ((factor * upper[0], factor * upper[1]), (factor * lower[0], factor * lower[1]))
    return replace(shape, upper=one(shape.upper), lower=one(shape.lower), nock=nock, fulcrums=scaled)


# What is measured


def test_brace_height_is_measured_from_the_pivot_point_square_to_the_string() -> None:
    """Shapely's distance of a point from a line (C)."""
    for pivot in ((0.0, 0.0), (0.01, -0.03)):
        shape = replace(BRACED, pivot=pivot)
        drawing = Bow(shape)
        start, end = drawing.measured("brace")
        string = LineString([leaves(shape.upper), leaves(shape.lower)])
        assert math.dist(start, pivot) <= NEAR
        assert string.distance(Place(end)) <= NEAR
        assert math.dist(start, end) == pytest.approx(string.distance(Place(pivot)), abs=NEAR)


def test_tiller_is_measured_at_the_foot_of_the_fulcrum_square_to_the_string() -> None:
    """Against Shapely's projections (C)."""
    drawing = Bow(BRACED)
    string = LineString([leaves(BRACED.upper), leaves(BRACED.lower)])
    for side, one, fulcrum in zip(SIDES, (BRACED.upper, BRACED.lower), FULCRUMS, strict=True):
        (x0, y0), (x1, y1) = one.points[:2]
        tangent = LineString([(x0 - 9 * (x1 - x0), y0 - 9 * (y1 - y0)), (x1, y1)])
        station = tangent.interpolate(tangent.project(Place(fulcrum)))
        start, end = drawing.measured(f"{side}-tiller")
        assert station.distance(Place(start)) <= NEAR
        assert string.distance(Place(end)) <= NEAR
        assert math.dist(start, end) == pytest.approx(string.distance(station), abs=NEAR)


def test_a_station_that_is_given_is_taken() -> None:
    shape = replace(BRACED, upper=replace(BRACED.upper, station=(0.05, 0.4)))
    drawing = Bow(shape)
    assert math.dist(drawing.measured("upper-tiller")[0], (0.05, 0.4)) <= NEAR
    assert drawing.points("b-upper-limb") == Bow(BRACED).points("b-upper-limb")


@given(st.floats(0.2, 0.9), st.floats(-0.3, 0.3), st.floats(0.02, 1))
def test_draw_length_and_force_lie_on_one_line(x: float, y: float, part: float) -> None:
    drawing = Bow(replace(DRAWN, nock=(x, y)), replace(PULLED, force_part=part))
    assert close(list(drawing.measured("draw")), ((0.0, 0.0), (x, y)))
    points = drawing.points("b-force")
    foot, tip = ((points[3][at] + points[4][at]) / 2 for at in (0, 1)), points[0]
    foot_x, foot_y = foot
    assert math.dist(drawing.metres(foot_x, foot_y), (x, y)) <= NEAR
    long = LONGEST * part / math.hypot(x, y)
    assert tip == pytest.approx((foot_x + long * y, foot_y + long * x), abs=0.01)


def test_no_force_has_no_arrow_and_still_has_words() -> None:
    drawing = Bow(DRAWN, replace(PULLED, force_part=0, force="0.0 lbf"))
    assert "b-force" not in drawing.by_id
    assert drawing.said("force") == "0.0 lbf"


def test_what_is_not_measured_is_not_drawn() -> None:
    drawing = Bow(BRACED, Measures())
    for key in ("brace", "upper-tiller", "lower-tiller", "draw", "force"):
        assert f"b-{key}" not in drawing.by_id
        assert f"b-{key}-words" not in drawing.by_id


# Limbs and riser


def test_a_limb_lies_on_the_target_side_of_its_line() -> None:
    """Its area is its length by its thickness, to Shapely (C), and no part of it lies on the archer's side."""
    for shape in (BRACED, DRAWN):
        drawing = Bow(shape, Measures())
        for side, one in zip(SIDES, (shape.upper, shape.lower), strict=True):
            outline = Polygon(drawing.points(f"b-{side}-limb"))
            assert outline.is_valid
            thick = THICK / drawing.scale
            inward = outline.exterior.length / 2 - THICK
            assert outline.area == pytest.approx(THICK * inward, rel=0.04)
            (x0, y0), (x1, y1) = one.points[4:6]
            size = math.dist((x0, y0), (x1, y1)) * (1 if side == "upper" else -1)
            for away, inside in ((0.5 * thick, True), (-0.5 * thick, False), (1.5 * thick, False)):
                middle = ((x0 + x1) / 2 - away * (y1 - y0) / size, (y0 + y1) / 2 + away * (x1 - x0) / size)
                assert outline.contains(Place(drawing.drawn([middle])[0])) is inside


def test_the_riser_passes_through_the_pivot_point() -> None:
    """A quadratic piece ends there: the riser's deepest place, where the hand is."""
    for pivot in ((0.0, 0.0), (0.01, -0.02)):
        drawing = Bow(replace(BRACED, pivot=pivot), Measures())
        ends = re.findall(r"Q \S+ \S+ (\S+) (\S+)", drawing.by_id["b-riser"].attrib["d"])
        assert min(math.dist(drawing.metres(float(x), float(y)), pivot) for x, y in ends) <= NEAR
        assert "Schematic: riser" in " ".join(drawing.words())
        assert "Schematic: riser" in drawing.picture.description


# Another shape of the same bow


def test_before_is_dashed_and_named() -> None:
    drawing = Bow(DRAWN, PULLED, before=BRACED, before_words="the braced bow")
    assert BRACED.nock is not None
    assert close(drawing.way("before-upper"), BRACED.upper.points)
    assert close(drawing.way("before-lower"), BRACED.lower.points)
    assert close(drawing.way("before-string"), (leaves(BRACED.upper), BRACED.nock, leaves(BRACED.lower)))
    assert "dashed: the braced bow" in drawing.words()
    assert "Dashed: the braced bow. From the grip's pivot point" in drawing.picture.description
    without = Bow(DRAWN, PULLED)
    assert not [one for one in without.ids if "before" in one]
    assert not any("dashed" in words for words in without.words())


def test_words_stand_clear_of_a_dashed_string_that_is_near() -> None:
    """By the boxes of the words and Shapely (C); farther off than that, a halo parts them."""
    for at in (1, 3, 5, 8, 12):
        before = braced(limb(1, 1.7 + 0.02 * at, -5.0, 18), limb(-1, 1.75 + 0.02 * at, -5.0, 17))
        drawing = Bow(BRACED, before=before)
        dashed = LineString(drawing.drawn((*before.upper.points[:17:-1], *before.lower.points[17:])))
        for one in boxes(drawing):
            assert not dashed.intersects(box(one.left, one.top, one.right, one.bottom)), one.words


def test_a_difference_that_cannot_be_seen_is_said() -> None:
    assert any("too close" in words for words in Bow(BRACED, before=BRACED).words())
    assert "too close to tell apart" in Bow(BRACED, before=BRACED).picture.description
    far = Bow(BRACED, before=braced(limb(1, 4.0, -5), limb(-1, 4, -5)))
    assert not any("too close" in words for words in far.words())
    assert not [key for key in far.ids if "inset" in key]


def _enlarged(shape: BowShape, key: str) -> tuple[float, float]:
    if key == "nock":
        assert shape.nock is not None
        return shape.nock
    return (shape.upper if key == "upper" else shape.lower).points[-1]


@pytest.mark.parametrize(("inner", "factor"), [(1.74, 10), (1.68, 10), (1.6, 5), (1.4, 2)])
def test_a_small_motion_of_tips_and_string_is_drawn_larger_by_the_stated_factor(inner: float, factor: int) -> None:
    moved = braced(limb(1, inner, -5.0, 18), limb(-1, inner, -5.0, 17))
    drawing = Bow(BRACED, before=moved)
    for key in (*SIDES, "nock"):
        places = [_enlarged(shape, key) for shape in (BRACED, moved)]
        shown = [drawing.numbers(f"b-{key}-inset-{name}", "cx", "cy") for name in ("now", "before")]
        assert math.dist(*shown) == pytest.approx(factor * drawing.scale * math.dist(*places), abs=0.03)
        left, top, wide, high = drawing.numbers(f"b-{key}-inset", "x", "y", "width", "height")
        assert all(left < x < left + wide and top < y < top + high for x, y in shown)
    assert f"{factor} times as large" in " ".join(drawing.words())
    assert f"{factor} times as large" in drawing.picture.description
    assert collisions(drawing) == []


def test_the_picture_stands_still_while_the_bow_is_drawn() -> None:
    extent = extent_of(BRACED, DRAWN)
    kept = set()
    for part in (at / 14 for at in range(15)):
        inner, outer = 1.75 + 1.4 * part, -5.0 - part
        contact = None if part > 0.4 else 18
        limbs = limb(1, inner, outer, contact), limb(-1, inner, outer, contact)
        shape = BowShape(*limbs, (0.222 + 0.445 * part, 0.02))
        drawing = Bow(shape, replace(PULLED, force_part=part), before=BRACED, extent=extent)
        assert collisions(drawing) == []
        kept.add(standing(drawing))
    assert len(kept) == 1


def standing(drawing: Bow) -> tuple[float, ...]:
    """What must stand still: size, scale and origin."""
    stated = drawing.numbers("b-bow", "data-scale-x", "data-scale-y", "data-origin-x", "data-origin-y")
    return drawing.picture.width, drawing.picture.height, *stated


def test_the_picture_stands_still_while_a_bolt_is_turned_and_its_words_move_little() -> None:
    """In steps that move the tips by 2 units at most, from far on one side of the dashed shape to the other."""
    extent = extent_of(BRACED, spare=0.05)
    kept, places = set(), []
    short = Measures("brace height 222.4 mm", "187.0 mm", "183.0 mm")  # as the page writes them
    for at in range(-20, 21):
        shape = braced(limb(1, 1.7 + 0.02 * at, -5.0, 18), limb(-1, 1.75 - 0.02 * at, -5.0, 17))
        words = "the bow as it stands, before a bolt was turned"
        drawing = Bow(shape, short, before=BRACED, before_words=words, extent=extent)
        kept.add(standing(drawing))
        keys = ("brace", "upper-tiller", "lower-tiller")
        places.append([place for key in keys for place in drawing.numbers(f"b-{key}-words", "x", "y")])
    assert len(kept) == 1
    assert np.abs(np.diff(np.array(places), axis=0)).max() <= 2.5


def test_the_extent_holds_every_point_and_what_is_spare() -> None:
    """Extremes by numpy (C); the riser lies between them here."""
    ends = [point for shape in (BRACED, DRAWN) for one in (shape.upper, shape.lower) for point in one.points]
    extent = extent_of(BRACED, DRAWN)
    assert (extent.lowest, extent.highest) == pytest.approx((np.min(ends, axis=0)[1], np.max(ends, axis=0)[1]))
    assert DRAWN.nock is not None
    assert extent.right == DRAWN.nock[0]
    assert extent.left <= np.min(ends, axis=0)[0]
    wider = extent_of(BRACED, DRAWN, spare=0.1)
    assert (wider.left, wider.right) == pytest.approx((extent.left - 0.1, extent.right + 0.1))
    assert (wider.lowest, wider.highest) == pytest.approx((extent.lowest - 0.1, extent.highest + 0.1))
    for shape in (BRACED, DRAWN):  # an extent that is no larger than the shape changes nothing
        assert standing(Bow(shape, Measures(), extent=extent_of(shape))) == standing(Bow(shape, Measures()))
    assert Bow(BRACED, extent=wider).scale < Bow(BRACED).scale


# Words


def test_measures_are_written_beside_what_they_measure() -> None:
    drawing = Bow(BRACED)
    for key, words in (("brace", AT_REST.brace_height), ("upper-tiller", AT_REST.upper_tiller)):
        assert drawing.said(key) == words
        (near,) = [one for one in boxes(drawing) if one.words == words]
        _, _, x, y = drawing.line(f"b-{key}")
        assert near.left < x < near.right
        assert 0 < near.top - y < 48
    pulled = Bow(DRAWN, PULLED)
    assert (pulled.said("draw"), pulled.said("force")) == (PULLED.draw_length, PULLED.force)


@pytest.mark.parametrize(("shape", "measures"), [(BRACED, AT_REST), (DRAWN, PULLED)])
def test_words_keep_off_limbs_string_and_measures(shape: BowShape, measures: Measures) -> None:
    drawing = Bow(shape, measures)
    lines = [LineString(drawing.drawn(drawing.way(key))) for key in ("upper-line", "lower-line", "string")]
    lines += [
        LineString([one[:2], one[2:]])
        for one in (
            drawing.line(f"b-{key}") for key in ("brace", "upper-tiller", "draw") if f"b-{key}" in drawing.by_id
        )
    ]
    for one in boxes(drawing):
        assert not any(line.intersects(box(one.left, one.top, one.right, one.bottom)) for line in lines), one.words


def test_what_is_drawn_is_told_in_words() -> None:
    """Lengths along the limb are Shapely's (C)."""
    said = Bow(BRACED).picture.description
    tip = BRACED.upper.points[-1]
    assert f"the upper tip is {1000 * tip[0]:.0f} mm toward the archer and {1000 * tip[1]:.0f} mm up" in said
    on_upper, on_lower = (
        1000 * LineString(one.points[one.contact :]).length for one in (BRACED.upper, BRACED.lower) if one.contact
    )
    assert f"lies on the last {on_upper:.0f} mm of the upper limb and {on_lower:.0f} mm of the lower." in said
    assert "Brace height 222 mm. Upper tiller 187.0 mm. Lower tiller 183.0 mm." in said
    pulled = Bow(DRAWN, PULLED).picture.description
    assert "touches the limbs at their tips only" in pulled
    assert "the string touches the tips only" in Bow(DRAWN, PULLED).words()
    assert "the nocking point 667 mm toward the archer and 25 mm up" in pulled
    assert "An arrow at the nocking point, away from the pivot point: 38.0 lbf." in pulled


def test_a_bow_without_a_string_has_none() -> None:
    shape = BowShape(limb(1, 0.2, -7), limb(-1, 0.2, -7), None, string_words="The string is slack")
    drawing = Bow(shape, Measures())
    assert not [one for one in drawing.ids if "string" in one or "nock" in one]
    assert "There is no string." in drawing.picture.description
    assert any(words.startswith("The string is slack.") for words in drawing.words())
    assert "The string is slack." in drawing.picture.description


hostile = st.sampled_from([
    "", "brace height 222 mm", "draw length 28 in", "<b>&\"'", "m" * 90, "−1 ← ½ →", "38.0 lbf", "a b c d e f 12 mm",
    "upper tiller 187.0 mm, give or take 0.5 mm", "W" * 24 + " 1", "\x00\ud800", "   ",
])  # fmt: skip
curved = st.floats(-4, 6) | st.just(0.0)


@st.composite
def bows(draw: st.DrawFn) -> tuple[BowShape, Measures]:
    """Weak, stiff and straight limbs, the string on the limb or not, the nocking point anywhere or on the string."""
    limbs = [
        limb(sign, draw(curved), draw(curved | st.floats(-12, 0)), draw(st.none() | st.integers(0, 20)), draw(leans))
        for sign in (1, -1)
    ]
    words = [draw(hostile) for _ in range(5)]
    straight = draw(st.booleans())
    if straight:
        shape = braced(limbs[0], limbs[1], draw(st.floats(0, 1)))
        brace, upper, lower, long, force = words
        measures = Measures(brace, upper, lower, long, force, draw(st.floats(0, 1)))
    else:
        nock = (draw(st.floats(-0.5, 2)), draw(st.floats(-1.5, 1.5)))
        shape = BowShape(limbs[0], limbs[1], nock, string_words=draw(hostile))
        measures = Measures(draw_length=words[3], force=words[4], force_part=draw(st.floats(0, 1)))
    if shape.nock is None or math.hypot(*shape.nock) < 1e-3:
        measures = replace(measures, draw_length="", force="")
    return shape, measures


leans = st.floats(-0.4, 0.6)


@pytest.mark.long
@settings(max_examples=250)
@given(bows(), hostile, hostile, st.booleans())
@example((DRAWN, PULLED), "the braced bow", "The bow", True)
def test_words_never_collide_and_markup_is_sound(
    asked: tuple[BowShape, Measures], before_words: str, title: str, with_before: bool
) -> None:
    shape, measures = asked
    drawing = Bow(shape, measures, before=BRACED if with_before else None, before_words=before_words, title=title)
    assert collisions(drawing) == []
    assert faults(drawing, "b") == []
    assert drawing.picture.width == WIDTH
    sizes = [float(one.attrib["font-size"]) for one in drawing.elements if one.tag == f"{SPACE}text"]
    assert min(sizes) >= 12
    x, y = drawing.frame.scale()
    assert abs(x / y - 1) <= 1e-9
    wanted = {
        "brace": measures.brace_height, "upper-tiller": measures.upper_tiller, "lower-tiller": measures.lower_tiller,
        "draw": measures.draw_length, "force": measures.force,
    }  # fmt: skip
    for key, words in wanted.items():
        assert (f"b-{key}-words" in drawing.by_id) is bool(words)
    for side, one in zip(SIDES, (shape.upper, shape.lower), strict=True):
        assert close(drawing.way(f"{side}-line"), one.points)
        places = [drawing.numbers(f"b-{side}-tip", "cx", "cy"), drawing.numbers(f"b-{side}-fulcrum", "cx", "cy")]
        assert all(0 < x < WIDTH and 0 < y < drawing.picture.height for x, y in places)


@pytest.mark.parametrize(
    ("shape", "measures"),
    [
        (braced(limb(1, 0.1, -9, 16), limb(-1, 5.5, -2)), AT_REST),  # one limb much weaker
        (braced(limb(1, 0, 0, lean=0), limb(-1, 0, 0, lean=0)), AT_REST),  # straight limbs, the string along them
        (braced(limb(1, 1.7, -5, 0), limb(-1, 1.7, -5, 0)), AT_REST),  # the string on all of both limbs
        (replace(DRAWN, nock=(2.5, -1.4)), PULLED),  # the nocking point far off
        (replace(DRAWN, nock=(-0.4, 0.9)), PULLED),  # and on the wrong side
        (_times(BRACED, 0.06), Measures()),
        (_times(BRACED, 60), Measures()),
    ],
)
def test_extreme_shapes(shape: BowShape, measures: Measures) -> None:
    drawing = Bow(shape, measures, before=BRACED)
    assert collisions(drawing) == []
    assert faults(drawing, "b") == []
    points = drawing.points("b-force") if "b-force" in drawing.by_id else []
    assert all(0 < x < WIDTH and 0 < y < drawing.picture.height for x, y in points)


def test_a_bow_that_lies_flat_leaves_room_for_all_words() -> None:
    """However low the bow, every measure finds a place, on two lines if it must."""

    def flat(one: LimbShape) -> LimbShape:
        return replace(one, points=tuple((3 * x, 0.01 * y) for x, y in one.points))

    shape = replace(BRACED, upper=flat(BRACED.upper), lower=flat(BRACED.lower), fulcrums=((0.1, 0.003), (0.1, -0.003)))
    shape = replace(braced(shape.upper, shape.lower), fulcrums=shape.fulcrums)
    words = f"{'measured here or there ' * 3} 12 mm"
    drawing = Bow(shape, Measures(words, words, words, words, words))
    assert collisions(drawing) == []
    for key in ("brace", "upper-tiller", "lower-tiller", "draw", "force"):
        assert drawing.said(key).startswith("measured here")


# In black and white, on a phone


def test_nothing_is_told_by_colour_alone() -> None:
    drawing = Bow(BRACED, AT_REST, before=DRAWN, before_words="drawn")
    for side in SIDES:
        assert drawing.by_id[f"b-{side}-contact"].attrib["class"] == "qt-bow-contact"
    rules = {
        name: re.search(rf"\.{name} {{([^}}]*)}}", STYLES) for name in ("qt-bow-contact", "qt-string", "qt-bow-before")
    }
    found = {name: rule.group(1) for name, rule in rules.items() if rule}
    wide = {name: float(re.findall(r"stroke-width: ([\d.]+)", rule)[0]) for name, rule in found.items()}
    assert wide["qt-bow-contact"] > 2 * wide["qt-string"] > 2 * wide["qt-bow-before"]
    assert "stroke-dasharray" in found["qt-bow-before"]
    assert "stroke-dasharray" not in found["qt-string"] + found["qt-bow-contact"]
    assert {"thick: the string lies on the limb", "dashed: drawn"} <= set(drawing.words())


def test_every_class_has_a_rule() -> None:
    used = {
        name
        for drawing in (Bow(BRACED, AT_REST, before=DRAWN), Bow(DRAWN, PULLED))
        for one in drawing.elements
        for name in one.attrib.get("class", "").split()
    }
    assert [name for name in used - {"qt-figure", "qt-text"} if f".{name} " not in STYLES] == []


def test_words_from_outside_are_escaped() -> None:
    measures = replace(AT_REST, brace_height="<script>1")
    picture = bow_view(BRACED, measures=measures, before=DRAWN, before_words="<b>", prefix="b", title="<i>&")
    assert not any(mark in picture.svg for mark in ("<script", "<b>", "<i>"))
    assert faults(Drawing(picture), "b") == []


def test_two_figures_share_no_id() -> None:
    one, other = (Drawing(bow_view(BRACED, measures=AT_REST, prefix=key)) for key in ("x", "y"))
    assert not set(one.ids) & set(other.ids)


# Refusals


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 101.0])
def test_numbers_that_are_none_are_refused(bad: float) -> None:
    for shape in (
        replace(BRACED, upper=LimbShape(((0, 0.3), (bad, 0.8)))),
        replace(BRACED, lower=LimbShape(((0, -0.3), (0, bad)))),
        replace(BRACED, upper=replace(BRACED.upper, station=(0, bad))),
        replace(BRACED, nock=(bad, 0)),
        replace(BRACED, pivot=(0, bad)),
        replace(BRACED, fulcrums=((bad, 0.3), (0, -0.3))),
    ):
        for asked in ({"now": shape}, {"now": BRACED, "before": shape}):
            with pytest.raises(ValueError, match="finite"):
                Bow(measures=Measures(), **asked)
        with pytest.raises(ValueError, match="finite"):
            extent_of(BRACED, shape)
    for place in range(4):
        sides = [bad if at == place else one for at, one in enumerate((-0.1, 0.1, -0.1, 0.1))]
        with pytest.raises(ValueError, match="finite"):
            Bow(BRACED, extent=Extent(*sides))


def test_an_extent_that_is_none_is_refused() -> None:
    for extent in (Extent(0.1, -0.1, -1, 1), Extent(-0.1, 0.1, 1, -1)):
        with pytest.raises(ValueError, match="left must not be right"):
            Bow(BRACED, extent=extent)
    for spare in (-0.01, math.nan, math.inf):
        with pytest.raises(ValueError, match="spare"):
            extent_of(BRACED, spare=spare)
    with pytest.raises(ValueError, match="shape"):
        extent_of()


@pytest.mark.parametrize(
    ("shape", "measures", "words"),
    [
        (replace(BRACED, upper=LimbShape(((0, 0.3),))), Measures(), "two points"),
        (replace(BRACED, upper=LimbShape(((0, 0.3), (0, 0.3)))), Measures(), "two points"),
        (replace(BRACED, lower=LimbShape(())), Measures(), "two points"),
        (replace(BRACED, lower=replace(BRACED.lower, contact=21)), Measures(), "one of its points"),
        (replace(BRACED, lower=replace(BRACED.lower, contact=-1)), Measures(), "one of its points"),
        (replace(BRACED, fulcrums=((0, -0.3), (0, 0.3))), Measures(), "over and under"),
        (replace(BRACED, nock=None), AT_REST, "need a string"),
        (replace(BRACED, nock=None), PULLED, "nocking point"),
        (replace(DRAWN, nock=(0, 0)), PULLED, "nocking point"),
        (DRAWN, AT_REST, "string is straight"),
        (DRAWN, replace(PULLED, force_part=1.1), "from 0 to 1"),
        (DRAWN, replace(PULLED, force_part=-0.1), "from 0 to 1"),
        (DRAWN, replace(PULLED, force_part=math.nan), "from 0 to 1"),
        (_times(BRACED, 0.01), Measures(), "at least"),
    ],
)
def test_what_cannot_be_drawn_is_refused(shape: BowShape, measures: Measures, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Bow(shape, measures)
