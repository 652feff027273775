"""The families of limb bolts: each that the bench knows is drawn, and shows what tells it from the others.

What is parallel, what touches and what lies apart is computed from the coordinates by plane geometry (C).
"""

from __future__ import annotations

import math

import pytest

from drawings import form_drawings
from drawings.families import FAMILIES, family_drawing
from figures.reading import Drawing
from helpers.sketches import shapes, wrongs
from quarterturn.bench.family import FAMILIES as KNOWN
from quarterturn.record.fields.bolts import IDENTITY

NEAR = 0.002  # user units: coordinates are written with three decimals

each_family = pytest.mark.parametrize("name", FAMILIES)


def drawn(name: str) -> Drawing:
    return Drawing(family_drawing(name, prefix="p"))


def angle(line: tuple[float, float, float, float]) -> float:
    x1, y1, x2, y2 = line
    return math.degrees(math.atan2(y2 - y1, x2 - x1))


def away(point: tuple[float, float], line: tuple[float, float, float, float]) -> float:
    """How far a point lies from the line through two others: twice the triangle's area over its base."""
    x1, y1, x2, y2 = line
    return abs((x2 - x1) * (point[1] - y1) - (y2 - y1) * (point[0] - x1)) / math.hypot(x2 - x1, y2 - y1)


def test_every_family_that_can_be_chosen_is_drawn_but_the_unknown() -> None:
    assert set(FAMILIES) == set(KNOWN) - {"unknown"}
    choices = next(field for field in IDENTITY if field.name == "bolt_family")
    assert {option.value for option in getattr(choices, "options", ())} == {*FAMILIES, "unknown"}


@each_family
def test_nothing_is_wrong_with_the_drawing(name: str) -> None:
    assert wrongs(family_drawing(name, prefix="some-page"), "some-page") == []


@each_family
def test_the_same_again(name: str) -> None:
    assert family_drawing(name, prefix="p").svg == family_drawing(name, prefix="p").svg


def test_they_differ_by_more_than_words() -> None:
    assert len({shapes(family_drawing(name, prefix="p"), "p") for name in FAMILIES}) == len(FAMILIES)
    assert len({family_drawing(name, prefix="p").description for name in FAMILIES}) == len(FAMILIES)


@pytest.mark.parametrize("name", ["flat", "stop"])
def test_under_a_flat_head_only_the_butt_touches(name: str) -> None:
    drawing = drawn(name)
    back, under = drawing.line("p-limb-back"), drawing.line("p-head-underside")
    x, y = drawing.numbers("p-butt-corner", "cx", "cy")
    assert under[1] == under[3]
    assert y == pytest.approx(under[1], abs=NEAR)
    assert min(under[0], under[2]) < x < max(under[0], under[2])
    assert (x, y) == pytest.approx(back[:2], abs=NEAR)
    assert angle(back) > 3  # a tilt that can be seen; y is counted downward
    assert abs(angle(back) - angle(under)) > 3


def test_a_stop_is_the_flat_head_and_a_collar_that_has_not_met_the_riser() -> None:
    flat, stop = drawn("flat"), drawn("stop")
    assert flat.line("p-head-underside") == stop.line("p-head-underside")
    assert "p-collar" not in flat.by_id
    collar, bush, limb = (stop.points(f"p-{key}") for key in ("collar", "bush", "limb"))
    back = stop.line("p-limb-back")
    depth = away(limb[3], back)
    assert all(away(corner, back) > depth for corner in collar)  # under the limb
    assert max(y for _, y in collar) < min(y for _, y in bush) - 5  # over the riser, with some way left
    assert sum(x for x, _ in collar) / 4 == pytest.approx(sum(x for x, _ in bush) / 4, abs=NEAR)


def test_the_cup_lies_flat_on_the_tilted_limb() -> None:
    drawing = drawn("swivel")
    back, cup = drawing.line("p-limb-back"), drawing.line("p-cup-face")
    assert angle(back) > 3
    assert angle(cup) == pytest.approx(angle(back), abs=0.01)
    assert [away(point, back) for point in (cup[:2], cup[2:])] == pytest.approx([0, 0], abs=NEAR)


def test_the_pivoting_pocket_lies_along_its_limb() -> None:
    drawing = drawn("pivot")
    back, part = drawing.line("p-limb-back"), drawing.points("p-pocket-part")
    assert angle(back) > 3
    level = [corner for corner in part if away(corner, back) < 2 * NEAR]
    assert len(level) == 2  # both ends of the limb's back under the lip
    tail = (*part[-1], *part[0])
    assert angle(back) - angle(tail) == pytest.approx(90, abs=0.05)


@pytest.mark.parametrize("name", ["clamp", "under", "two", "fixed"])
def test_a_limb_that_is_not_set_by_a_head_does_not_tilt(name: str) -> None:
    back = drawn(name).line("p-limb-back")
    assert back[1] == back[3]


def test_the_screw_under_the_limb_presses_on_its_belly() -> None:
    drawing = drawn("under")
    back, screw = drawing.line("p-limb-back"), drawing.points("p-screw")
    x, y = drawing.numbers("p-screw-tip", "cx", "cy")
    assert min(y for _, y in screw) == pytest.approx(y, abs=NEAR)
    assert y - back[1] == pytest.approx(24, abs=NEAR)  # the limb's depth under its back
    assert back[0] < x < back[2]


def test_another_name_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(ValueError, match="flat, stop, swivel, pivot, clamp, under, two, fixed: 'unknown'"):
        family_drawing("unknown", prefix="p")


def test_every_kind_of_bolt_is_drawn_at_its_answer() -> None:
    assert set(form_drawings("start")) == {f"bolt_family={name}" for name in set(KNOWN) - {"unknown"}}
