"""The small side view is measured: what is drawn, divided by its own scale, is what the mechanics say.

Angles and contact points are those of sources.md F (C: turned polygon and bisection at 40 digits).
"""

from __future__ import annotations

import math
import random

import pytest

from figures.reading import SPACE, Drawing, faults
from quarterturn.figures.small_side_view import small_side_view
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.pocket import ContactState, Pocket

PITCH = 25.4 / 24  # mm, 3/8-24
NEAR = 0.02  # mm; an attribute has three decimals, and a millimetre takes about four units


def pocket(a: float, t: float, b: float, R: float, w: float, p: float, phi: float) -> Pocket:
    """A pocket from mm and rad."""
    return Pocket(a / 1000, t / 1000, b / 1000, R / 1000, w / 1000, p / 1000, phi)


DEFAULT = pocket(60, 8, 67, 9.5, 5.1, PITCH, 0.08)
CASES = [
    (DEFAULT, -1.0, ContactState.RIM, -0.0203875942, 8.014986),
    (DEFAULT, 1.0, ContactState.BUTT, 0.0158116042, -6.865137),
    (DEFAULT, 6.0, ContactState.OUT_OF_REACH, 0.08, None),
    (pocket(60, 8, 68.8, 9.5, 5.1, PITCH, 0.08), 0.2, ContactState.EDGE, 0.00311147985, -8.014986),
    (pocket(60, 10, 60.3, 9.5, 5.1, PITCH, 0.08), 0.0, ContactState.FLUSH, 0.0, None),
    (pocket(60, 12, 52.3, 9.5, 5.1, PITCH, 0.12), 1.5, ContactState.OFF_HEAD, 0.12, None),
]
STATES = {state for _, _, state, _, _ in CASES}


class Small(Drawing):
    """A drawn head and limb, read back in mm: along from the bolt's axis, down from the head's underside."""

    def __init__(self, shape: Pocket, turns: float, strip: float | None = None, side: str | None = None) -> None:
        picture = small_side_view(
            shape, turns, strip, prefix="s", strip_side=side, title="The upper pocket", name="small"
        )
        super().__init__(picture)
        # The head's flat is as wide as the prongs let it be: that tells the scale.
        x1, self.underside, x2, y2 = self.line("s-head-underside")
        assert self.underside == y2
        reach = 1000 * math.sqrt(shape.head_radius**2 - shape.slot_half_width**2)
        self.scale = (x2 - x1) / (2 * reach)
        self.axis = (x1 + x2) / 2

    def mm(self, x: float, y: float) -> tuple[float, float]:
        """Heights are drawn twice as large as widths."""
        return (x - self.axis) / self.scale, (self.underside - y) / (2 * self.scale)


def corner(shape: Pocket, phi: float) -> tuple[float, float]:
    """The corner of butt end and back: the limb laid flat at flush and turned about the fulcrum as a rigid body, mm."""
    a, t, b = 1000 * shape.fulcrum_arm, 1000 * shape.limb_depth, 1000 * shape.butt_length
    return a - b * math.cos(phi) + t * math.sin(phi), b * math.sin(phi) + t * math.cos(phi) - t


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_the_contact_point_is_where_it_is(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    small = Small(shape, turns)
    if contact_x is not None:
        x, y = small.numbers("s-contact", "cx", "cy")
        assert small.mm(x, y) == pytest.approx((contact_x, 0), abs=NEAR)
    elif state is ContactState.FLUSH:
        x1, y1, x2, y2 = small.line("s-contact")
        reach = 1000 * math.sqrt(shape.head_radius**2 - shape.slot_half_width**2)
        assert small.mm(x2, y2) == pytest.approx((reach, 0), abs=NEAR)
        assert small.mm(x1, y1) == pytest.approx((max(-reach, corner(shape, 0)[0]), 0), abs=NEAR)
    else:
        assert "s-contact" not in small.by_id


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_the_limb_lies_as_the_mechanics_have_it(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    """Heights twice as large as widths, so that a slope is drawn twice as steep."""
    small = Small(shape, turns)
    h = 1000 * shape.pitch * turns
    x, y = corner(shape, phi)
    drawn = small.mm(*small.numbers("s-butt-corner", "cx", "cy"))
    assert drawn == pytest.approx((x, y - h), abs=NEAR)
    x1, y1, x2, y2 = small.line("s-limb-back")
    start, end = small.mm(x1, y1), small.mm(x2, y2)
    assert (end[1] - start[1]) / (end[0] - start[0]) == pytest.approx(-math.tan(phi), abs=1e-3)


def random_pockets(count: int) -> list[tuple[Pocket, float]]:
    rng, found = random.Random(4), []
    for _ in range(count):
        arm, radius = rng.uniform(40, 90), rng.uniform(6, 14)
        butt, slot = arm + rng.uniform(0.05, 0.95) * radius, rng.uniform(0.3, 0.7) * radius
        shape = pocket(arm, rng.uniform(4, 12), butt, radius, slot, rng.uniform(0.8, 1.5), rng.uniform(0.03, 0.15))
        found.append((shape, rng.uniform(-2, 9)))
    return found


def test_nothing_leaves_the_frame() -> None:
    """What reaches farther is cut at the frame: it is drawn inside one clip, which is the whole picture and no more."""
    seen = set()
    for shape, turns in [(shape, turns) for shape, turns, *_ in CASES] + random_pockets(200):
        small = Small(shape, turns, 1e-4, random.Random(turns).choice(["rim", "butt"]))
        wide, high = small.picture.width, small.picture.height
        clip = small.by_id["s-clip"]
        assert [part.tag for part in clip] == [f"{SPACE}rect"]
        assert [float(clip[0].attrib[name]) for name in ("x", "y", "width", "height")] == [0, 0, wide, high]
        clipped = [one for one in small.root if one.attrib.get("clip-path") == "url(#s-clip)"]
        assert len(clipped) == 1
        for one in small.root:
            if one.tag == f"{SPACE}rect":
                x, y, width, height = (float(one.attrib[name]) for name in ("x", "y", "width", "height"))
                assert 0 <= x <= x + width <= wide
                assert 0 <= y <= y + height <= high
            else:
                assert one in clipped or one.tag in (f"{SPACE}title", f"{SPACE}desc", f"{SPACE}defs")
        # The head's underside and what touches it are in sight, whatever the turns.
        x1, y1, x2, _ = small.line("s-head-underside")
        assert 0 < x1 < x2 < wide
        assert 0 < y1 < high
        state = contacts.contact(shape, turns).state
        if state in (ContactState.BUTT, ContactState.EDGE, ContactState.RIM):
            cx, cy, r = small.numbers("s-contact", "cx", "cy", "r")
            assert r < cx < wide - r
            assert r < cy < high - r
        assert not faults(small, "s")
        seen.add(state)
    assert seen == STATES


def test_there_are_no_words_in_it_and_the_same_in_words() -> None:
    for shape, turns, state, *_ in CASES:
        small = Small(shape, turns, 1e-4, "rim")
        assert small.words() == []
        assert small.root.attrib["role"] == "img"
        assert small.picture.title == "The upper pocket"
        said = {
            ContactState.BUTT: "butt end touches", ContactState.EDGE: "edge touches", ContactState.FLUSH: "Flush",
            ContactState.RIM: "only the rim", ContactState.OUT_OF_REACH: "nothing touches",
            ContactState.OFF_HEAD: "nothing touches",
        }[state]  # fmt: skip
        assert said in small.picture.description


def test_the_strip_is_drawn_where_one_is_offered() -> None:
    assert "s-strip" not in Small(DEFAULT, 1).by_id
    for side in ("rim", "butt"):
        points = [Small(DEFAULT, 1, 1e-4, side).mm(*point) for point in Small(DEFAULT, 1, 1e-4, side).points("s-strip")]
        across = max(x for x, _ in points) + min(x for x, _ in points)
        assert (across > 0) is (side == "rim")


def test_it_fits_a_narrow_strip() -> None:
    picture = Small(DEFAULT, 1).picture
    assert (picture.width, picture.height) <= (132, 84)
