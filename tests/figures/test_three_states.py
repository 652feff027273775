"""Three small side views are measured: what is drawn, through the stated scale, is what the mechanics' checks say.

Outside sources: contact places and rock angles of sources.md F (C: turned polygon and bisection at 40 digits); the
normal from two points of the limb's back, turned as a rigid body (C).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from figures.reading import SPACE, Drawing, Frame, boxes, collisions, faults
from figures.test_force import NOTHING, arrow, normal, place
from figures.test_side_view import CASES, DEFAULT, random_pockets, turned
from quarterturn.figures.force import SPREAD, Force
from quarterturn.figures.svg import WIDTH
from quarterturn.figures.three_states import LONGEST, PANEL, ForceState, three_states
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.pocket import ContactState, Pocket

NEAR = 0.01  # user units
STYLES = (Path(__file__).parents[2] / "docs/assets/qt-figures.css").read_text(encoding="utf-8")
STATES = (
    ForceState("butt end", 1, Force("1 376 N", 0.78, bend=-0.8), ("force 0.89 of flush", "bending 13 × that of flush")),
    ForceState("flush", 0, Force("1 547 N", 0.87, spread=True, bend=0.06), ("force 1", "bending 1")),
    ForceState("rim", -1, Force("1 770 N", 1, bend=1), ("force 1.14 of flush",)),
)


class Drawn(Drawing):
    """A drawn figure, read back window by window."""

    def __init__(self, shape: Pocket, states: tuple[ForceState, ForceState, ForceState] = STATES) -> None:
        super().__init__(three_states(shape, states, prefix="t"))

    def said(self, key: str) -> str:
        return self.by_id[f"t-{key}"].text or ""


def alone(turns: float, force: Force) -> tuple[ForceState, ForceState, ForceState]:
    shown = ForceState("a", turns, force)
    return shown, replace(shown, turns=0.0), shown


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_every_state_of_the_checks_is_drawn_as_it_is(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    drawing = Drawn(shape, alone(turns, Force("900 N", 0.6)))
    reach = 1000 * math.sqrt(shape.head_radius**2 - shape.slot_half_width**2)
    h = 1000 * shape.pitch * turns
    for panel in ("t-0", "t-2"):
        frame = Frame(drawing, panel)
        scale_x, scale_y = frame.scale()
        assert scale_x == scale_y
        x1, y1, x2, y2 = drawing.line(f"{panel}-head-underside")
        assert (x1, y1) == pytest.approx(place(drawing, panel, -reach, h), abs=NEAR)
        assert (x2, y2) == pytest.approx(place(drawing, panel, reach, h), abs=NEAR)
        corner = drawing.numbers(f"{panel}-butt-corner", "cx", "cy")
        assert corner == pytest.approx(place(drawing, panel, *turned(shape, phi, 0, 0)), abs=NEAR)
        if state in NOTHING:
            assert f"{panel}-force" not in drawing.by_id
            assert f"{panel}-contact" not in drawing.by_id
            assert {"no contact:", "the fitting", "carries it all"} <= set(drawing.words())
            continue
        assert contact_x is not None
        foot, tip = arrow(drawing, f"{panel}-force")
        assert foot == pytest.approx(place(drawing, panel, contact_x, h), abs=NEAR)
        across, up = normal(shape, phi) if state in (ContactState.EDGE, ContactState.RIM) else (0.0, 1.0)
        length = 0.6 * LONGEST
        assert tip == pytest.approx((foot[0] + length * across, foot[1] - length * up), abs=NEAR)
        assert drawing.said(f"{panel[2:]}-force-words") == "900 N"


def test_all_three_have_one_scale_and_lengths_go_with_the_forces() -> None:
    drawing = Drawn(DEFAULT)
    assert len({Frame(drawing, f"t-{at}").scale() for at in range(3)}) == 1
    lengths = [math.dist(*arrow(drawing, f"t-{at}-force")) for at in (0, 2)]
    small = [math.dist(*arrow(drawing, f"t-1-force-{at}")) for at in range(SPREAD)]
    assert max(small) - min(small) < NEAR
    assert [lengths[0], sum(small), lengths[1]] == pytest.approx([0.78 * LONGEST, 0.87 * LONGEST, LONGEST], abs=0.03)
    tops = {drawing.line(f"t-{at}-head-underside")[1] - drawing.numbers(f"t-{at}", "data-origin-y")[0] for at in (0, 2)}
    assert len(tops) == 2  # one out, one in
    assert len({drawing.numbers(f"t-{at}", "data-origin-y") for at in range(3)}) == 1


def test_bends_go_with_the_moments_and_away_from_the_load() -> None:
    drawing = Drawn(DEFAULT)
    off = [float(drawing.by_id[f"t-{at}-bend"].attrib["data-bend"]) for at in range(3)]
    assert off[0] > 0 > off[2]
    assert off[0] / off[2] == pytest.approx(-0.8, abs=NEAR)
    assert abs(off[1]) < 1
    assert {"t-0-bend-arrow", "t-2-bend-arrow"} <= set(drawing.ids)
    assert "t-1-bend-arrow" not in drawing.ids


def test_words_stand_under_their_window_in_level_rows() -> None:
    drawing = Drawn(DEFAULT)
    for at, shown in enumerate(STATES):
        left, width = (drawing.by_id[f"t-{at}-clip"][0].attrib[name] for name in ("x", "width"))
        bottom = sum(float(drawing.by_id[f"t-{at}-clip"][0].attrib[name]) for name in ("y", "height"))
        assert drawing.said(f"{at}-name") == shown.name
        mine = [key for key in drawing.ids if key.startswith((f"t-{at}-words", f"t-{at}-name"))]
        assert " ".join(drawing.by_id[key].text or "" for key in mine) == " ".join([shown.name, *shown.lines])
        for key in mine:
            (box,) = [one for one in boxes(drawing) if (one.left, one.words) == (
                float(drawing.by_id[key].attrib["x"]), drawing.by_id[key].text) and one.bottom > bottom and abs(
                one.bottom - 0.2 * 12 - float(drawing.by_id[key].attrib["y"])) < NEAR]  # fmt: skip
            assert float(left) <= box.left < box.right <= float(left) + float(width)
            assert box.top > bottom
    for row in ("name", "words-0"):
        assert len({drawing.by_id[f"t-{at}-{row}"].attrib["y"] for at in range(3)}) == 1
    assert drawing.by_id["t-0-words-1"].attrib["y"] == drawing.by_id["t-1-words-1"].attrib["y"]


def test_windows_do_not_overlap() -> None:
    drawing = Drawn(DEFAULT)
    starts = [float(drawing.by_id[f"t-{at}-clip"][0].attrib["x"]) for at in range(3)]
    assert all(after - before > PANEL for before, after in pairwise(starts))
    assert starts[0] >= 0
    assert starts[2] + PANEL <= drawing.picture.width == WIDTH


@pytest.mark.long
def test_words_never_collide_and_markup_is_sound() -> None:
    names = ("butt end", "m" * 60, "", "the edge of the head on the limb's back")
    seen: set[ContactState] = set()
    for at, (shape, turns) in enumerate(random_pockets(300)):
        seen.add(contacts.contact(shape, turns).state)
        force = Force(("1 376 N", "0.85 of flush in all", "<b>&")[at % 3], (at % 9) / 8, at % 2 == 0, (at % 13 - 6) / 6)
        shown = ForceState(
            names[at % 4], turns, force, (names[(at + 1) % 4], "bending 13 times that of flush")[: at % 3]
        )
        drawing = Drawn(shape, (shown, replace(shown, turns=0.0, lines=()), shown))
        assert collisions(drawing) == [], (shape, turns)
        assert faults(drawing, "t") == []
        sizes = [float(one.attrib["font-size"]) for one in drawing.elements if one.tag == f"{SPACE}text"]
        assert min(sizes) >= 12
    assert seen == set(ContactState)


def test_the_figure_is_said_in_words() -> None:
    said = Drawn(DEFAULT).picture.description
    assert "butt end: The limb presses on the head, outward: 1 376 N, in one place on the butt side" in said
    assert "flush: The limb presses on the head, outward: 1 547 N, spread over the whole overlap." in said
    assert "Force 0.89 of flush. Bending 13 × that of flush." in said
    assert "It bends the shank, its head toward the butt." in said
    assert "limb's tip is to the right" in said


def test_words_from_outside_are_escaped() -> None:
    shown = ForceState("<b>", 1, Force("<script>", 1), ("<i>&",))
    picture = three_states(DEFAULT, (shown, shown, shown), prefix="t", title="<img src=x>")
    assert not any(mark in picture.svg for mark in ("<b>", "<script", "<i>", "<img"))
    assert faults(Drawing(picture), "t") == []


def test_every_class_has_a_rule() -> None:
    used = {name for one in Drawn(DEFAULT).elements for name in one.attrib.get("class", "").split()}
    assert [name for name in used - {"qt-figure", "qt-text"} if f".{name} " not in STYLES] == []


def test_two_figures_share_no_id() -> None:
    one, other = (Drawing(three_states(DEFAULT, STATES, prefix=key)) for key in ("a", "b"))
    assert not set(one.ids) & set(other.ids)


@pytest.mark.parametrize("bad", [math.nan, -0.1, 1.1])
def test_forces_that_are_none_are_refused(bad: float) -> None:
    for force in (Force("x", bad), Force("x", 1, bend=-3 * bad if bad > 0 else 20 * bad)):
        with pytest.raises(ValueError, match=r"length|bend"):
            Drawn(DEFAULT, alone(1, force))


def test_two_are_not_three() -> None:
    with pytest.raises(ValueError, match="three"):
        three_states(DEFAULT, STATES[:2], prefix="t")
