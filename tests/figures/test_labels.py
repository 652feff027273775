"""Labels: boxes against shapely, and the search for a place against a look at every candidate (C)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point as Place
from shapely.geometry import box

from quarterturn.figures import svg
from quarterturn.figures.axis import axis_between
from quarterturn.figures.labels import (
    ASCENT,
    DESCENT,
    Label,
    Placement,
    anchored,
    best_placement,
    overlap,
    placed_flags,
    pointing,
    shared_area,
)
from quarterturn.figures.svg import ROW, SIZE, WIDTH

places = st.floats(0, 300)
Box = tuple[float, float, float, float]


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    left, top = draw(places), draw(places)
    return left, top, left + draw(st.floats(1, 80)), top + draw(st.floats(1, 40))


@st.composite
def placements(draw: st.DrawFn) -> Placement:
    label = Label("one", (("some words",),), ((draw(places), draw(places)),), draw(st.booleans()))
    lines = label.ways[0]
    return Placement(label, lines, draw(places), draw(places), label.width(lines), label.targets[0])


@given(boxes(), boxes(), st.floats(0, 6), st.floats(0, 6))
def test_boxes_overlap_and_share_what_shapely_says(one: Box, other: Box, across: float, down: float) -> None:
    area = box(*one).intersection(box(*other)).area
    assert shared_area(one, other) == pytest.approx(area, abs=1e-6)
    assert overlap(one, other) == (area > 0)
    wider = (other[0] - across, other[1] - down, other[2] + across, other[3] + down)
    assert overlap(one, other, (across, down)) == (box(*one).intersection(box(*wider)).area > 0) or (
        box(*one).intersection(box(*wider)).area < 1e-6
    )


@given(placements())
def test_a_leader_ends_at_the_nearest_point_around_the_words(words: Placement) -> None:
    left, top, right, bottom = words.box
    around, target = box(left - 2, top - 1, right + 2, bottom + 1), Place(words.target)
    assert words.leader == pytest.approx(around.distance(target), abs=1e-9)
    assert around.distance(Place(words.nearest)) < 1e-9
    assert words.covers(words.target, 5) == box(left - 5, top - 5, right + 5, bottom + 5).contains(target)


def test_a_box_holds_all_lines() -> None:
    label = Label("two", (("brace height", "222 mm"),), ((0.0, 0.0),))
    words = Placement(label, label.ways[0], 10.0, 50.0, label.width(label.ways[0]), label.targets[0])
    assert words.width == svg.text_width("brace height", SIZE, bold=True)
    assert words.box == (10.0, 50.0 - ASCENT, words.end, 50.0 + ROW + DESCENT)


@given(st.lists(st.tuples(st.floats(0, 200), placements(), st.floats(0, 100)), max_size=12),
       st.lists(placements(), max_size=3))  # fmt: skip
def test_the_best_place_is_the_cheapest_free_one(
    drawn: list[tuple[float, Placement, float]], taken: list[Placement]
) -> None:
    """The search ends early; a look at all of them must find the same."""
    ordered = sorted(drawn, key=lambda one: one[0])
    extra = {id(words): more for _, words, more in ordered}
    gap = (4.0, 2.0)
    least, best = best_placement(
        [(near, words) for near, words, _ in ordered], taken, gap, lambda near, words: near + extra[id(words)]
    )
    free = [
        (near + more, rank)
        for rank, (near, words, more) in enumerate(ordered)
        if not any(overlap(words.box, other.box, gap) for other in taken)
    ]
    if not free:
        assert (least, best) == (math.inf, None)
    else:
        cost, rank = min(free)
        assert least == cost
        assert best is ordered[rank][1]


def test_a_place_of_endless_cost_is_none() -> None:
    label = Label("one", (("words",),), ((0.0, 0.0),))
    words = Placement(label, label.ways[0], 0.0, 0.0, 30.0, (0.0, 0.0))
    assert best_placement([(1.0, words)], (), (0.0, 0.0), lambda near, one: math.inf) == (math.inf, None)


@pytest.mark.parametrize(
    ("target", "expected"), [(5.0, (10.0, "start")), (60.0, (50.0, "end")), (20.0, (30.0, "middle"))]
)
def test_words_are_held_at_the_end_next_to_what_they_name(target: float, expected: tuple[float, str]) -> None:
    assert anchored(10.0, 40.0, target) == expected


def test_words_point_to_what_is_off_the_axis() -> None:
    axis = axis_between(0.0, 5.0, 16.0, 344.0)
    assert [pointing("zero", value, axis) for value in (-1.0, 0.0, 5.0, 6.0)] == ["← zero", "zero", "zero", "zero →"]


@given(st.lists(st.tuples(st.sampled_from(["zero 0.00", "first touch 5.03", "a limit by name 4.2"]),
                          st.floats(16, 344), st.booleans()), max_size=5))  # fmt: skip
def test_flags_stand_in_the_picture_and_not_on_one_another(drawn: list[tuple[str, float, bool]]) -> None:
    flags = placed_flags([(f"{at}", words, pole, strong) for at, (words, pole, strong) in enumerate(drawn)])
    assert sorted(flag.key for flag in flags) == [f"{at}" for at in range(len(drawn))]
    for at, flag in enumerate(flags):
        assert flag.start >= 2
        assert flag.start + flag.width <= WIDTH - 2
        for other in flags[:at]:
            apart = flag.start >= other.start + other.width or other.start >= flag.start + flag.width
            assert flag.row != other.row or apart
