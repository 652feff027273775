"""The map of pairs is read back: every crossing, mark and tap lies where its numbers say, through the stated scale.

Outside sources: arithmetic on what went in, through the scale that is stated (C); Shapely for the outline (C). The
numbers are made up.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from figures.reading import SPACE, Drawing, boxes, collisions, faults
from quarterturn.figures.pair_map import MOST_PAIRS, PairMap, pair_map

NEAR = 0.01  # user units: coordinates have two decimals
TAP = 0.08  # and taps one
Index = tuple[int, int]


def lattice(rows: int = 9, columns: int = 7, upper: Any = (0.11, 1.17), lower: Any = (0.12, -1.24)) -> PairMap:
    """Weight and tiller about as on a bow, a little bent, the first place of either bolt the innermost."""

    def at(row: int, column: int) -> tuple[float, float]:
        bend = 0.0004 * row * column
        weight = 39.5 - row * upper[0] - column * lower[0] + bend
        return weight, 1.5 + row * upper[1] + column * lower[1] + 3 * bend

    points = tuple(tuple(at(row, column) for column in range(columns)) for row in range(rows))
    now = (rows // 2, columns // 2)
    return PairMap(
        points=points,
        changes=(
            tuple(0.25 * (row - now[0]) for row in range(rows)),
            tuple(0.25 * (column - now[1]) for column in range(columns)),
        ),
        now=now,
        best=(min(1, rows - 1), min(2, columns - 1)),
        following=((min(1, rows - 1), 0), (0, min(2, columns - 1))),
        looked=(rows - 1, columns - 1),
        wish=(points[min(1, rows - 1)][min(2, columns - 1)][0] + 0.02, 0.9),
        near=(0.1, 1.0),
        x_label="draw weight, lb",
        y_label="tiller, mm",
        x_unit="lb",
        y_unit="mm",
        fields=("upper_change", "lower_change"),
        decimals=(1, 1),
    )


FIGURE = lattice()


class Map(Drawing):
    """A drawn map, read back in the units of its axes."""

    def __init__(self, shown: PairMap = FIGURE, title: str = "All pairs") -> None:
        super().__init__(pair_map(shown, prefix="p", name="pairs", title=title))
        self.shown = shown
        group = self.by_id["p-map"].attrib
        self.scale = float(group["data-scale-x"]), float(group["data-scale-y"])
        self.origin = float(group["data-origin-x"]), float(group["data-origin-y"])

    def drawn(self, weight: float, tiller: float) -> tuple[float, float]:
        return self.origin[0] + weight * self.scale[0], self.origin[1] + tiller * self.scale[1]

    def pair(self, place: Index) -> tuple[float, float]:
        return self.drawn(*self.shown.points[place[0]][place[1]])

    def ways(self, key: str) -> list[list[tuple[float, float]]]:
        """The lines of a path, each as its points."""
        found = self.by_id[f"p-{key}"].attrib["d"].replace("Z", "").split("M")[1:]
        return [
            [(float(x), float(y)) for x, y in (point.split() for point in re.split("L", one) if point.strip())]
            for one in found
        ]

    def middle(self, key: str) -> tuple[float, float]:
        """Of a circle, a square or a polygon."""
        one = self.by_id[f"p-{key}"]
        if one.tag == f"{SPACE}circle":
            return self.numbers(f"p-{key}", "cx", "cy")  # type: ignore[return-value]
        if one.tag == f"{SPACE}rect":
            x, y, wide, high = self.numbers(f"p-{key}", "x", "y", "width", "height")
            return x + wide / 2, y + high / 2
        corners = self.points(f"p-{key}")
        return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)

    def frame(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of the plot."""
        (one,) = [each for each in self.elements if each.attrib.get("class") == "qt-frame"]
        x, y, wide, high = (float(one.attrib[name]) for name in ("x", "y", "width", "height"))
        return x, y, x + wide, y + high

    def taps(self) -> dict[str, tuple[float, float, float]]:
        """Where to tap and how near, by what that sets."""
        found = {}
        for one in self.elements:
            if one.tag == f"{SPACE}a":
                (hit,) = list(one)
                found[one.attrib["data-try"]] = (
                    float(hit.attrib["cx"]),
                    float(hit.attrib["cy"]),
                    float(hit.attrib["r"]),
                )
        return found

    def said(self, start: str) -> Any:
        (found,) = [box for box in boxes(self) if box.words.startswith(start)]
        return found


def close(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return math.dist(one, other) <= NEAR


# Where everything lies


def test_more_weight_is_right_and_more_tiller_up_by_the_stated_scale() -> None:
    drawing = Map()
    assert drawing.scale[0] > 0 > drawing.scale[1]
    left, top, right, bottom = drawing.frame()
    for row in FIGURE.points:
        for point in row:
            x, y = drawing.drawn(*point)
            assert left < x < right
            assert top < y < bottom
    xs = [drawing.drawn(*point)[0] for row in FIGURE.points for point in row]
    ys = [drawing.drawn(*point)[1] for row in FIGURE.points for point in row]
    assert max(xs) - min(xs) > 0.8 * (right - left)  # the pairs use the room there is
    assert max(ys) - min(ys) > 0.8 * (bottom - top)


def test_every_line_goes_through_the_pairs_of_one_place_of_its_bolt_in_order() -> None:
    drawing = Map()
    upper, lower = drawing.ways("upper-lines"), drawing.ways("lower-lines")
    assert (len(upper), len(lower)) == (9, 7)
    for row, line in enumerate(upper):
        assert len(line) == 7
        assert all(close(point, drawing.pair((row, column))) for column, point in enumerate(line))
    for column, line in enumerate(lower):
        assert len(line) == 9
        assert all(close(point, drawing.pair((row, column))) for row, point in enumerate(line))
    one, other = (drawing.by_id[f"p-{key}-lines"].attrib["class"] for key in ("upper", "lower"))
    assert one != other  # they are told apart


def test_the_ends_go_round_all_pairs() -> None:
    drawing = Map()
    (ring,) = drawing.ways("ends")
    outline = Polygon(ring)
    assert outline.is_valid
    border = (
        {(0, at) for at in range(7)} | {(8, at) for at in range(7)} | {(at, to) for at in range(9) for to in (0, 6)}
    )
    assert len(ring) == len(border)
    for place in border:
        assert any(close(point, drawing.pair(place)) for point in ring)
    for row in range(9):
        for column in range(7):
            assert outline.buffer(NEAR).contains(Point(drawing.pair((row, column))))
    # It is the figure of the window, no more: its corners are the four corner pairs.
    assert outline.convex_hull.area < 1.02 * outline.area


def test_marks_stand_on_their_pairs() -> None:
    drawing = Map()
    assert close(drawing.middle("now"), drawing.pair((4, 3)))
    assert close(drawing.middle("best"), drawing.pair((1, 2)))
    assert close(drawing.middle("looked"), drawing.pair((8, 6)))
    assert close(drawing.middle("next-2"), drawing.pair((1, 0)))
    assert close(drawing.middle("next-3"), drawing.pair((0, 2)))
    assert "p-next-4" not in drawing.by_id
    for number in ("2", "3"):
        x, y = drawing.middle(f"next-{number}")
        spots = [(float(one.attrib["x"]), float(one.attrib["y"])) for one in drawing.elements if one.text == number]
        assert any(abs(there[0] - x) < NEAR and abs(there[1] - 4.2 - y) < NEAR for there in spots)
    shapes = {key: drawing.by_id[f"p-{key}"].attrib["class"] for key in ("now", "best", "looked", "next-2")}
    assert len(set(shapes.values())) == 4
    for key, word in (("now", "now"), ("best", "nearest"), ("looked", "looked at")):
        flag = drawing.by_id[f"p-{key}-words"]
        assert flag.text == word
        x, y = drawing.middle(key)
        assert abs(float(flag.attrib["y"]) - y) < 30
        assert abs(float(flag.attrib["x"]) - x) < 80


def test_where_nothing_is_looked_at_and_it_stands_between_pairs_no_mark_is_made_up() -> None:
    drawing = Map(replace(FIGURE, now=None, looked=None, following=()))
    assert not {"p-now", "p-now-words", "p-looked", "p-looked-words", "p-next-2"} & set(drawing.ids)
    assert "Where the bolts are" not in drawing.picture.description
    assert "p-best" in drawing.by_id


def test_what_is_wanted_lies_in_the_middle_of_what_is_near_enough() -> None:
    drawing = Map()
    x, y, wide, high = drawing.numbers("p-near", "x", "y", "width", "height")
    wished = drawing.drawn(*FIGURE.wish)
    assert close((x + wide / 2, y + high / 2), wished)
    assert (wide, high) == pytest.approx((2 * 0.1 * drawing.scale[0], 2 * 1.0 * -drawing.scale[1]), abs=2 * NEAR)
    ends = [point for line in drawing.ways("wish") for point in line]
    assert close((sum(x for x, _ in ends) / len(ends), sum(y for _, y in ends) / len(ends)), wished)


def test_what_is_near_enough_is_drawn_inside_the_plot_only() -> None:
    drawing = Map(replace(FIGURE, near=(9.0, 90.0)))
    x, y, wide, high = drawing.numbers("p-near", "x", "y", "width", "height")
    assert (x, y, x + wide, y + high) == pytest.approx(drawing.frame(), abs=NEAR)


@pytest.mark.parametrize(
    ("wish", "signs"),
    [
        ((60, 1.0), "→"),
        ((20, 1.0), "←"),
        ((39, 40.0), "↑"),
        ((39, -40.0), "↓"),
        ((60, -40.0), "→ ↓"),
        ((20, 40), "← ↑"),
    ],
)
def test_what_is_wanted_far_off_is_said_at_the_edge_with_its_way(wish: tuple[float, float], signs: str) -> None:
    drawing = Map(replace(FIGURE, wish=wish))
    assert "p-wish" not in drawing.by_id
    assert "p-near" not in drawing.by_id
    words = drawing.by_id["p-wish-words"].text
    assert words == f"wanted {signs}"
    left, top, right, bottom = drawing.frame()
    box = drawing.said("wanted")
    assert left <= box.left < box.right <= right
    assert top <= box.top < box.bottom <= bottom
    if "→" in signs:
        assert box.left > (left + right) / 2
    if "←" in signs:
        assert box.right < (left + right) / 2
    # The pairs keep their room: nothing is squeezed for a wish far off.
    assert drawing.scale == pytest.approx(Map(replace(FIGURE, wish=FIGURE.points[4][3])).scale)


def test_what_is_wanted_a_little_beyond_is_still_drawn() -> None:
    most = max(point[0] for row in FIGURE.points for point in row)
    drawing = Map(replace(FIGURE, wish=(most + 0.3, 1.0)))
    left, _, right, _ = drawing.frame()
    x, _ = drawing.drawn(most + 0.3, 1.0)
    assert left < x < right
    assert "p-wish" in drawing.by_id
    near = drawing.numbers("p-near", "x", "width")
    assert sum(near) <= right + NEAR


def test_the_numbers_of_the_axes_stand_where_they_say() -> None:
    for shown in (
        FIGURE,
        lattice(20, 20),
        replace(
            FIGURE, points=tuple(tuple((w * 4.45, t / 25.4) for w, t in row) for row in FIGURE.points), wish=(170, 0.03)
        ),
    ):
        drawing = Map(shown)
        ticks: dict[str, list[float]] = {"x": [], "y": []}
        for one in drawing.elements:
            kind = one.attrib.get("class", "")
            for at, axis in enumerate("xy"):
                if one.tag == f"{SPACE}text" and f"qt-tick-{axis}" in kind:
                    value = float((one.text or "").replace("−", "-"))
                    place = float(one.attrib[axis]) - (4 if axis == "y" else 0)
                    assert place == pytest.approx(drawing.origin[at] + value * drawing.scale[at], abs=NEAR)
                    ticks[axis].append(value)
        for found in ticks.values():
            assert 3 <= len(found) <= 7
            steps = {round(b - a, 9) for a, b in pairwise(found)}
            assert len(steps) == 1
            assert steps.pop() > 0


# Taps


def test_a_tap_on_a_pair_sets_the_turns_that_lead_there() -> None:
    drawing = Map()
    taps = drawing.taps()
    assert len(taps) == 63
    for row in range(9):
        for column in range(7):
            upper, lower = 0.25 * (row - 4), 0.25 * (column - 3)
            x, y, _ = taps[f"upper_change={upper:.2f}&lower_change={lower:.2f}"]
            assert math.dist((x, y), drawing.pair((row, column))) <= TAP
    assert all(re.fullmatch(r"upper_change=-?\d\.\d\d&lower_change=-?\d\.\d\d", each) for each in taps)
    assert Map(replace(FIGURE, fields=("", ""))).taps() == {}


LATTICES = {
    "about as on a bow": FIGURE,
    "twenty by twenty": lattice(20, 20),
    "long": lattice(24, 3),
    "weight with one bolt": lattice(8, 8, (0.3, 0.1), (0.02, -1.2)),
    "slanted": lattice(8, 8, (0.1, 1.0), (0.11, 0.9)),
    "slanted the other way": lattice(8, 8, (0.1, 1.0), (-0.11, -0.9)),
}


@pytest.mark.parametrize("name", LATTICES)
def test_no_finger_hits_two_pairs(name: str) -> None:
    """The discs do not overlap, each is as large as its neighbours leave it, and none larger than a finger."""
    drawing = Map(LATTICES[name])
    discs = list(drawing.taps().values())
    for one, other in combinations(discs, 2):
        assert math.dist(one[:2], other[:2]) >= one[2] + other[2]
    for one in discs:
        nearest = min(math.dist(one[:2], other[:2]) for other in discs if other is not one)
        assert one[2] <= 9
        assert one[2] >= min(9, nearest / 2 - 0.3)


# Size and degenerate maps


def test_four_hundred_pairs_are_small() -> None:
    drawing = Map(lattice(20, 20))
    assert len(drawing.taps()) == 400
    assert len(drawing.picture.svg.encode()) < 60_000
    assert faults(drawing, "p") == []


ODD = {
    "one pair": lattice(1, 1),
    "one row": lattice(1, 6),
    "one column": lattice(6, 1),
    "one weight": lattice(5, 5, (0.0, 1.2), (0.0, -1.2)),
    "one tiller": lattice(5, 5, (0.1, 0.0), (0.1, 0.0)),
    "all one": lattice(4, 4, (0.0, 0.0), (0.0, 0.0)),
    "in newtons": replace(FIGURE, points=tuple(tuple((w * 4.45, t) for w, t in row) for row in FIGURE.points)),
    "tiny": lattice(3, 3, (1e-9, 1e-9), (1e-9, -1e-9)),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_maps_are_whole_drawings(name: str) -> None:
    shown = ODD[name]
    drawing = Map(shown)
    assert faults(drawing, "p") == []
    assert not re.search(r"nan|inf\b", drawing.picture.svg)
    left, top, right, bottom = drawing.frame()
    for row in range(len(shown.points)):
        for column in range(len(shown.points[0])):
            x, y = drawing.pair((row, column))
            assert left <= x <= right
            assert top <= y <= bottom
    assert len(drawing.ways("upper-lines")) == len(shown.points)
    assert len(drawing.ways("lower-lines")) == len(shown.points[0])
    assert [one for one in collisions(drawing) if one[1] == ""] == []
    assert all(radius >= 0.8 for _, _, radius in drawing.taps().values())
    if name == "one pair":
        assert [radius for _, _, radius in drawing.taps().values()] == [pytest.approx(9, abs=0.2)]


@settings(max_examples=60)
@given(
    st.integers(1, 6), st.integers(1, 6), st.floats(5, 600), st.floats(-300, 300),
    st.floats(-5, 5), st.floats(-5, 5), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4),
)  # fmt: skip
def test_any_numbers_of_a_bow_make_a_drawing_with_everything_inside(
    rows: int, columns: int, weight: float, tiller: float, a: float, b: float, wished: float, too: float
) -> None:
    points = tuple(
        tuple((weight + a * row + b * column, tiller + b * row - a * column) for column in range(columns))
        for row in range(rows)
    )
    shown = replace(lattice(rows, columns), points=points, wish=(wished, too))
    drawing = Map(shown)
    assert faults(drawing, "p") == []
    left, top, right, bottom = drawing.frame()
    for key in ("now", "best", "looked"):
        x, y = drawing.middle(key)
        assert left - NEAR <= x <= right + NEAR
        assert top - NEAR <= y <= bottom + NEAR
    # Far from zero the origin lies far off, and a scale times a value loses digits.
    assert math.dist(drawing.middle("best"), drawing.pair(shown.best)) < 0.01
    assert [one for one in collisions(drawing) if one[1] == ""] == []


# Refusals


@pytest.mark.parametrize(
    "change",
    [
        {"points": ()},
        {"points": ((),)},
        {"points": (((1.0, 2.0),), ((1.0, 2.0), (1.0, 2.0)))},
        {"points": (((math.nan, 2.0),),), "changes": ((0.0,), (0.0,))},
        {"points": (((1.0, math.inf),),), "changes": ((0.0,), (0.0,))},
        {"points": (((1e9, 1.0),),), "changes": ((0.0,), (0.0,))},
        {"points": ((((1.0, 1.0),) * (MOST_PAIRS + 1)),), "changes": ((0.0,), (0.0,) * (MOST_PAIRS + 1))},
        {"changes": ((0.0,), (0.0,))},
        {"changes": ((math.nan,) * 9, (0.0,) * 7)},
        {"wish": (math.nan, 1.0)},
        {"wish": (38.0, -math.inf)},
        {"near": (math.nan, 1.0)},
        {"best": (9, 0)},
        {"best": (0, 7)},
        {"best": (-1, 0)},
        {"now": (0, 7)},
        {"looked": (9, 9)},
        {"following": ((0, 0), (0, 99))},
    ],
)
def test_what_cannot_be_drawn_is_refused(change: dict[str, Any]) -> None:
    plain = {"now": None, "looked": None, "following": (), "best": (0, 0)} if "points" in change else {}
    with pytest.raises(ValueError, match=r"."):
        pair_map(replace(FIGURE, **(plain | change)), prefix="p", name="pairs", title="All pairs")


# Words


def test_the_description_says_in_words_what_is_drawn() -> None:
    description = Map().picture.description
    points = FIGURE.points
    assert description.startswith("63 settings, ")

    def said(place: Index) -> str:
        weight, tiller = points[place[0]][place[1]]
        return f"{weight:.1f} lb and {tiller:.1f} mm".replace("-", "−")

    weights = [point[0] for row in points for point in row]
    tillers = [point[1] for row in points for point in row]
    assert f"from {min(weights):.1f} to {max(weights):.1f} lb" in description
    assert f"from {min(tillers):.1f} to {max(tillers):.1f} mm".replace("-", "−") in description
    assert f"Where the bolts are: {said((4, 3))}." in description
    assert f"The nearest: {said((1, 2))}." in description
    assert f"Number 2: {said((1, 0))}." in description
    assert f"Number 3: {said((0, 2))}." in description
    assert f"Looked at: {said((8, 6))}." in description
    assert f"Wanted: {FIGURE.wish[0]:.1f} lb and 0.9 mm." in description


def test_words_have_room_and_stay_inside() -> None:
    for shown in (FIGURE, lattice(20, 20), replace(FIGURE, looked=None, now=(1, 2)), replace(FIGURE, wish=(60, 1))):
        drawing = Map(shown)
        assert [one for one in collisions(drawing) if one[1] == ""] == []
        flags = {"now", "nearest", "looked at", "wanted", "wanted →"}
        assert [one for one in collisions(drawing) if set(one) <= flags] == []


def test_every_sign_is_explained_and_every_class_has_its_style() -> None:
    drawing = Map()
    text = " ".join(drawing.words())
    for words in ("bolts now", "nearest", "what you want", "upper bolt", "lower bolt", "ends of the range"):
        assert words in text
    assert "All pairs" in text
    assert "draw weight, lb" in text
    assert "tiller, mm" in text


def test_markup_in_words_is_only_words() -> None:
    shown = replace(FIGURE, x_label="<b>&", y_label='"x"')
    drawing = Map(shown, title="<script>alert(1)</script>")
    assert "<script" not in drawing.picture.svg
    assert "<script>alert(1)</script>" in drawing.words()
    assert "<b>&" in drawing.words()
