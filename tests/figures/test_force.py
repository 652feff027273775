"""The force in the side view is measured: foot where the limb bears, way of the limb's normal, length of the force.

Outside sources: contact places and rock angles of sources.md F (C: turned polygon and bisection at 40 digits); the
normal from two points of the limb's back, turned as a rigid body (C); cantilever with an even moment, y'' = const (C).
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from figures.reading import SPACE, Drawing, boxes, collisions, faults
from figures.test_side_view import CASES, DEFAULT, random_pockets, turned
from quarterturn.figures.force import HARDLY, SPREAD, Force
from quarterturn.figures.side_view import HEIGHT, MOST_BENT, side_view
from quarterturn.figures.side_view_labels import LONGEST
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.pocket import ContactState, Pocket

NEAR = 0.01  # user units
STYLES = (Path(__file__).parents[2] / "docs/assets/qt-figures.css").read_text(encoding="utf-8")
FORCE = Force("1 376 N", 0.8, spread=True, bend=-0.7)
NOTHING = (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD)

each_case = pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)


def drawn(shape: Pocket, turns: float, force: Force | None, side: str | None = None) -> Drawing:
    return Drawing(side_view(shape, turns, 1e-4 if side else None, prefix="up", strip_side=side, force=force))


def place(drawing: Drawing, frame: str, x: float, y: float) -> tuple[float, float]:
    """Millimetres of the pocket's frame to user units."""
    names = ("data-scale-x", "data-scale-y", "data-origin-x", "data-origin-y")
    scale_x, scale_y, origin_x, origin_y = drawing.numbers(frame, *names)
    return origin_x + x * scale_x, origin_y - y * scale_y


def arrow(drawing: Drawing, key: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Foot and tip of a drawn arrow."""
    points = drawing.points(key)
    (x1, y1), (x2, y2) = points[3:5]
    return ((x1 + x2) / 2, (y1 + y2) / 2), points[0]


def normal(shape: Pocket, phi: float) -> tuple[float, float]:
    """The outward normal of the limb's back, from two of its points turned as a rigid body."""
    (x0, y0), (x1, y1) = turned(shape, phi, 0, 0), turned(shape, phi, 50, 0)
    return (y0 - y1) / 50, (x1 - x0) / 50


@each_case
def test_the_arrow_starts_where_the_limb_bears_and_goes_the_way_it_presses(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    drawing = drawn(shape, turns, replace(FORCE, spread=False))
    if state in NOTHING:
        assert not [one for one in drawing.ids if "force" in one or "bend" in one]
        return
    assert contact_x is not None
    foot, tip = arrow(drawing, "up-force")
    wanted = place(drawing, "up-main", contact_x, 1000 * shape.pitch * turns)
    assert foot == pytest.approx(wanted, abs=NEAR)
    across, up = normal(shape, phi) if state in (ContactState.EDGE, ContactState.RIM) else (0.0, 1.0)
    length = 0.8 * LONGEST
    assert tip == pytest.approx((foot[0] + length * across, foot[1] - length * up), abs=NEAR)


def test_the_arrow_leans_with_the_limb_where_an_edge_bears() -> None:
    """Not the limb's normal turned the wrong way: in past flush the limb's back falls toward the butt."""
    foot, tip = arrow(drawn(DEFAULT, -1, FORCE), "up-force")
    assert tip[0] < foot[0] - 0.5
    shape, turns, *_ = CASES[3]
    foot, tip = arrow(drawn(shape, 5 * turns, FORCE), "up-force")
    assert tip[0] > foot[0] + 0.1


@pytest.mark.long
def test_many_pockets_in_all_states() -> None:
    seen: set[ContactState] = set()
    for at, (shape, turns) in enumerate(random_pockets(400)):
        contact = contacts.contact(shape, turns)
        seen.add(contact.state)
        force = Force("1 376 N, spread", (at % 7 + 0.2) / 7, spread=at % 2 == 0, bend=(at % 11 - 5) / 5)
        drawing = drawn(shape, turns, force, "rim" if turns > 0 else "butt")
        assert faults(drawing, "up") == []
        assert collisions(drawing) == [], (shape, turns)
        if contact.state in NOTHING:
            assert "up-force" not in drawing.by_id
        elif contact.state is not ContactState.FLUSH and contact.contact_x is not None:
            wanted = place(drawing, "up-main", 1000 * contact.contact_x, 1000 * contact.head_height)
            assert arrow(drawing, "up-force")[0] == pytest.approx(wanted, abs=NEAR)
    assert seen == set(ContactState)


def test_lengths_go_with_the_forces() -> None:
    lengths = [math.dist(*arrow(drawn(DEFAULT, 1, replace(FORCE, length=part)), "up-force")) for part in (1, 0.5, 0.02)]
    assert lengths == pytest.approx([LONGEST, LONGEST / 2, LONGEST / 50], abs=NEAR)
    assert "up-force" not in drawn(DEFAULT, 1, replace(FORCE, length=0)).by_id


def test_a_spread_load_is_a_row_of_equal_arrows_that_add_up() -> None:
    drawing = drawn(DEFAULT, 0, FORCE)
    assert "up-force" not in drawing.by_id
    arrows = [arrow(drawing, f"up-force-{at}") for at in range(SPREAD)]
    left, flat = place(drawing, "up-main", turned(DEFAULT, 0, 0, 0)[0], 0)
    right, _ = place(drawing, "up-main", 1000 * math.sqrt(DEFAULT.head_radius**2 - DEFAULT.slot_half_width**2), 0)
    each = 0.8 * LONGEST / SPREAD
    for at, (foot, tip) in enumerate(arrows):
        x = left + (right - left) * (2 * at + 1) / (2 * SPREAD)
        assert foot == pytest.approx((x, flat), abs=NEAR)
        assert tip == pytest.approx((x, flat - each), abs=NEAR)
    x, y, width, height = drawing.numbers("up-force-block", "x", "y", "width", "height")
    assert (x, x + width) == pytest.approx((left, right), abs=NEAR)
    assert (y, y + height) == pytest.approx((flat - each, flat), abs=NEAR)


def test_a_load_is_spread_only_when_flush() -> None:
    for turns in (1, -1):
        drawing = drawn(DEFAULT, turns, FORCE)
        assert "up-force" in drawing.by_id
        assert "up-force-0" not in drawing.by_id
    assert "up-force" in drawn(DEFAULT, 0, replace(FORCE, spread=False)).by_id


# The bend


def curve(drawing: Drawing) -> list[float]:
    return [float(one) for one in drawing.by_id["up-bend"].attrib["d"].split() if one not in "MVQ"]


@pytest.mark.parametrize(("turns", "bend"), [(1, -1.0), (1, -0.3), (-1, 1.0), (0, 0.2)])
def test_the_shank_is_bent_away_from_where_it_is_pushed_up(turns: float, bend: float) -> None:
    """A force up on the butt side turns the head toward the tip: a moment x·N about the axis, right-handed (C)."""
    drawing = drawn(DEFAULT, turns, replace(FORCE, bend=bend))
    x, _, mouth, middle_x, middle, end, top = curve(drawing)
    axis, head = place(drawing, "up-main", 0, 1000 * DEFAULT.pitch * turns)
    assert (x, top) == pytest.approx((axis, head), abs=NEAR)
    assert end - axis == pytest.approx(-bend * MOST_BENT, abs=NEAR)
    assert float(drawing.by_id["up-bend"].attrib["data-bend"]) == pytest.approx(end - axis, abs=NEAR)
    # Held upright at the mouth and with one curvature: the control point of a parabola whose offset goes with height².
    assert (middle_x, middle) == pytest.approx((axis, (mouth + top) / 2), abs=NEAR)
    points = drawing.points("up-bend-arrow")
    assert (points[0][0] - points[1][0]) * (end - axis) > 0
    said = drawing.by_id["up-bend-words"].text or ""
    assert ("→" in said, "←" in said) == (bend < 0, bend > 0)
    assert f"its head toward {'the butt' if bend > 0 else 'the limb tip'}" in drawing.picture.description


def test_hardly_any_bend_has_no_arrow_and_none_no_curve() -> None:
    hardly = drawn(DEFAULT, 0, replace(FORCE, bend=HARDLY / 2))
    assert "up-bend" in hardly.by_id
    assert "up-bend-arrow" not in hardly.by_id
    assert hardly.by_id["up-bend-words"].text == "barely bent"
    assert "barely bends the shank" in hardly.picture.description
    without = drawn(DEFAULT, 0, replace(FORCE, bend=0))
    assert "up-bend" not in without.by_id
    assert without.by_id["up-bend-words"].text == "not bent"


# Words


@each_case
def test_words_say_what_presses_and_do_not_lie_on_one_another(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    for side in ("rim", "butt", None):
        for force in (FORCE, replace(FORCE, length=0.05, spread=False), Force("12 345 N on the whole", 1, bend=1)):
            drawing = drawn(shape, turns, force, side)
            assert collisions(drawing) == []
            assert faults(drawing, "up") == []
            if state in NOTHING:
                assert "its fitting carries everything" in drawing.words()
                assert force.words not in drawing.words()
                assert "its fitting carries everything." in drawing.picture.description
                continue
            assert drawing.by_id["up-force-words"].text == force.words
            assert force.words in drawing.picture.description
    sizes = [float(one.attrib["font-size"]) for one in drawing.elements if one.tag == f"{SPACE}text"]
    assert min(sizes) >= 12


def test_which_side_it_presses_on_is_said() -> None:
    assert "in one place on the butt side" in drawn(DEFAULT, 1, FORCE).picture.description
    assert "in one place on the limb-tip side" in drawn(DEFAULT, -1, FORCE).picture.description
    assert "spread over the whole overlap" in drawn(DEFAULT, 0, FORCE).picture.description


def test_the_arrow_and_its_words_stay_in_the_window() -> None:
    for turns in (-1, 0, 0.2, 2, 5):
        drawing = drawn(DEFAULT, turns, replace(FORCE, length=1))
        (frame,) = [one for one in drawing.by_id["up-main"] if one.attrib.get("class") == "qt-frame"]
        top, height = float(frame.attrib["y"]), float(frame.attrib["height"])
        (words,) = [one for one in boxes(drawing) if one.words == FORCE.words]
        assert words.top > top + 20
        tips = [drawing.points(key)[0][1] for key in drawing.ids if key.startswith("up-force") and "points" in
                drawing.by_id[key].attrib]  # fmt: skip
        assert tips
        assert all(words.bottom < y < top + height for y in tips)


def test_the_picture_keeps_its_size_while_the_bolt_turns() -> None:
    sizes = {drawn(DEFAULT, turns, FORCE).picture.height for turns in (-1, 0, 1, 5, 7)}
    assert len(sizes) == 1


def test_words_from_outside_are_escaped() -> None:
    picture = side_view(DEFAULT, 1, prefix="up", force=replace(FORCE, words="<script>&\"'"))
    assert "<script" not in picture.svg
    assert faults(Drawing(picture), "up") == []


def test_without_a_force_nothing_is_different() -> None:
    for turns in (-1, 0, 1, 6):
        one, other = side_view(DEFAULT, turns, prefix="up"), side_view(DEFAULT, turns, prefix="up", force=None)
        assert one == other
        assert "force" not in one.svg
        assert one.height == HEIGHT


def test_a_height_on_the_main_view_still_gives_the_turns() -> None:
    picture = side_view(DEFAULT, 2, prefix="up", force=FORCE, drag_field="t", drag_low=-1, drag_high=7)
    drawing = Drawing(picture)
    origin, scale = drawing.numbers("up-main", "data-drag-origin", "data-drag-scale")
    _, y, _, _ = drawing.line("up-head-underside")
    assert (y - origin) / scale == pytest.approx(2, abs=1e-3)


def test_every_class_has_a_rule() -> None:
    used = {
        name
        for turns in (0, 1)
        for one in drawn(DEFAULT, turns, FORCE).elements
        for name in one.attrib.get("class", "").split()
    }
    assert {"qt-force", "qt-force-small", "qt-force-block", "qt-bend", "qt-bend-halo", "qt-bend-arrow"} <= used
    assert [name for name in used - {"qt-figure", "qt-text"} if f".{name} " not in STYLES] == []


@pytest.mark.parametrize("bad", [math.nan, math.inf, -0.01, 1.01])
def test_lengths_that_are_none_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="length"):
        drawn(DEFAULT, 1, replace(FORCE, length=bad))


@pytest.mark.parametrize("bad", [math.nan, -math.inf, -1.01, 1.01])
def test_bends_that_are_none_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="bend"):
        drawn(DEFAULT, 1, replace(FORCE, bend=bad))
