"""The side view is measured: what is drawn, divided by the stated scale, is what the mechanics say."""

from __future__ import annotations

import itertools
import math
import random
import re

import pytest

from figures.reading import SPACE, Drawing, Frame, alike, collisions, faults
from quarterturn.figures.pocket_parts import BAND
from quarterturn.figures.side_view import side_view
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import ContactState, Pocket

NEAR = 0.01  # mm, what issue 2 asks for
PITCH = 25.4 / 24  # mm, 3/8-24
PHONE = 390
# Width a figure is given on a 390 px screen after the page's margins, with room to spare.
ON_PHONE = 340


def pocket(a: float, t: float, b: float, R: float, w: float, p: float, phi: float) -> Pocket:
    """A pocket from mm and rad."""
    return Pocket(a / 1000, t / 1000, b / 1000, R / 1000, w / 1000, p / 1000, phi)


DEFAULT = pocket(60, 8, 67, 9.5, 5.1, PITCH, 0.08)

# sources.md F (C: turned polygon and bisection at 40 digits): pocket, turns, state, φ, xc in mm
CASES = [
    (DEFAULT, -1.0, ContactState.RIM, -0.0203875942, 8.014986),
    (DEFAULT, 1.0, ContactState.BUTT, 0.0158116042, -6.865137),
    (DEFAULT, 6.0, ContactState.OUT_OF_REACH, 0.08, -6.146397),
    (pocket(60, 8, 68.8, 9.5, 5.1, PITCH, 0.08), 0.2, ContactState.EDGE, 0.00311147985, -8.014986),
    (pocket(60, 10, 60.3, 9.5, 5.1, PITCH, 0.08), 0.0, ContactState.FLUSH, 0.0, 2.961434),
    (pocket(60, 12, 52.3, 9.5, 5.1, PITCH, 0.12), 1.5, ContactState.OFF_HEAD, 0.12, None),
]  # fmt: skip


def drawn(shape: Pocket, turns: float, strip: float | None = None, side: str | None = None) -> Drawing:
    return Drawing(side_view(shape, turns, strip, prefix="up", strip_side=side))


def frames(drawing: Drawing) -> list[tuple[Frame, str]]:
    return [(Frame(drawing, "up-main"), "up"), (Frame(drawing, "up-large"), "up-large")]


def turned(shape: Pocket, phi: float, along: float, deep: float) -> tuple[float, float]:
    """A point of the limb, turned about the fulcrum: `along` from the butt end, `deep` below the back (mm).

    Independent of the production code: the limb is laid flat at flush and turned as a rigid body.
    """
    a, t, b = 1000 * shape.fulcrum_arm, 1000 * shape.limb_depth, 1000 * shape.butt_length
    x, y = a - b + along - a, -deep + t  # from the fulcrum
    return a + x * math.cos(phi) + y * math.sin(phi), -t - x * math.sin(phi) + y * math.cos(phi)


def back_height(shape: Pocket, phi: float, x: float) -> float:
    (x0, y0), (x1, y1) = turned(shape, phi, 0, 0), turned(shape, phi, 50, 0)
    return y0 + (x - x0) / (x1 - x0) * (y1 - y0)


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_every_state_of_the_checks_is_drawn_as_it_is(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    drawing = drawn(shape, turns)
    reach = 1000 * math.sqrt(shape.head_radius**2 - shape.slot_half_width**2)
    h = 1000 * shape.pitch * turns
    corner = turned(shape, phi, 0, 0)
    for frame, prefix in frames(drawing):
        x1, y1, x2, y2 = drawing.line(f"{prefix}-head-underside")
        assert frame.mm(x1, y1) == pytest.approx((-reach, h), abs=NEAR)
        assert frame.mm(x2, y2) == pytest.approx((reach, h), abs=NEAR)
        cx, cy = drawing.numbers(f"{prefix}-butt-corner", "cx", "cy")
        assert frame.mm(cx, cy) == pytest.approx(corner, abs=NEAR)
        start_x, start_y, end_x, end_y = drawing.line(f"{prefix}-limb-back")
        assert frame.mm(start_x, start_y) == pytest.approx(corner, abs=NEAR)
        end = frame.mm(end_x, end_y)
        assert end[1] == pytest.approx(back_height(shape, phi, end[0]), abs=NEAR)
        if state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD):
            assert f"{prefix}-contact" not in drawing.by_id
        elif state is ContactState.FLUSH:
            x1, y1, x2, y2 = drawing.line(f"{prefix}-contact")
            assert frame.mm(x1, y1) == pytest.approx((max(corner[0], -reach), 0), abs=NEAR)
            assert frame.mm(x2, y2) == pytest.approx((reach, 0), abs=NEAR)
        else:
            x, y = drawing.numbers(f"{prefix}-contact", "cx", "cy")
            assert frame.mm(x, y) == pytest.approx((contact_x, h), abs=NEAR)


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_gaps_of_the_checks(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    drawing = drawn(shape, turns)
    reach = 1000 * math.sqrt(shape.head_radius**2 - shape.slot_half_width**2)
    butt = max(-reach, turned(shape, phi, 0, 0)[0])
    for frame, prefix in frames(drawing):
        for key, place in (("rim", reach), ("butt", butt)):
            if state is ContactState.OFF_HEAD:
                assert f"{prefix}-gap-{key}" not in drawing.by_id
                continue
            x1, y1, x2, y2 = drawing.line(f"{prefix}-gap-{key}")
            wanted = 1000 * shape.pitch * turns - back_height(shape, phi, place)
            assert frame.mm(x1, y1)[0] == pytest.approx(place, abs=NEAR)
            assert x1 == x2
            assert (y2 - y1) / frame.scale()[1] == pytest.approx(wanted, abs=NEAR)


def random_pockets(count: int) -> list[tuple[Pocket, float]]:
    rng = random.Random(20240607)
    found: list[tuple[Pocket, float]] = []
    while len(found) < count:
        R = rng.uniform(5, 14)
        w = rng.uniform(0, 0.7) * R
        a = rng.uniform(25, 120)
        b = a + rng.uniform(-0.7, 1.5) * R
        shape = pocket(a, rng.uniform(4, 16), b, R, w, rng.uniform(0.7, 1.8), rng.uniform(0.01, 0.2))
        found.append((shape, rng.choice([0.0, rng.uniform(-0.5, 0.5), rng.uniform(-3, 12)])))
    return found


@pytest.mark.long
def test_many_pockets_in_all_states() -> None:
    seen: set[ContactState] = set()
    for shape, turns in random_pockets(600):
        contact = contacts.contact(shape, turns)
        seen.add(contact.state)
        strip = 1e-4 if turns > -1 else 3e-4
        drawing = drawn(shape, turns, strip, "rim" if turns > 0 else "butt")
        assert not faults(drawing, "up")
        gaps = {"rim": feeler.gap_at_rim(shape, turns), "butt": feeler.gap_at_butt(shape, turns)}
        for frame, prefix in frames(drawing):
            for key, gap in gaps.items():
                if gap is None:
                    assert f"{prefix}-gap-{key}" not in drawing.by_id
                    continue
                _, y1, _, y2 = drawing.line(f"{prefix}-gap-{key}")
                assert (y2 - y1) / frame.scale()[1] == pytest.approx(1000 * gap, abs=NEAR)
            if (
                contact.state in (ContactState.BUTT, ContactState.EDGE, ContactState.RIM)
                and contact.contact_x is not None
            ):
                x, y = drawing.numbers(f"{prefix}-contact", "cx", "cy")
                wanted = 1000 * contact.contact_x, 1000 * contact.head_height
                assert frame.mm(x, y) == pytest.approx(wanted, abs=NEAR)
            thick = {round(abs(y), 6) for y in _thicknesses(drawing, prefix)}
            assert all(t / frame.scale()[1] == pytest.approx(1000 * strip, abs=NEAR) for t in thick)
    assert seen == set(ContactState)


def _thicknesses(drawing: Drawing, prefix: str) -> list[float]:
    points = drawing.points(f"{prefix}-strip")
    pairs = itertools.combinations(points, 2)
    return [one[1] - other[1] for one, other in pairs if one[0] == other[0]]


@pytest.mark.parametrize("side", ["rim", "butt"])
@pytest.mark.parametrize("turns", [-1, -0.2, 0, 0.2, 1, 3, 5.02, 6])
def test_the_strip_has_its_thickness_and_keeps_off_head_and_limb(side: str, turns: float) -> None:
    for tau in (0.05, 0.1, 0.2):
        drawing = drawn(DEFAULT, turns, tau / 1000, side)
        phi = contacts.rock_angle(DEFAULT, turns)
        reach, h = 1000 * DEFAULT.rim_reach, 1000 * DEFAULT.pitch * turns
        corner_x = turned(DEFAULT, phi, 0, 0)[0]
        frame = Frame(drawing, "up-large")
        thick = _thicknesses(drawing, "up-large")
        assert len(thick) == 2
        assert all(abs(t) / frame.scale()[1] == pytest.approx(tau, abs=1e-4) for t in thick)
        for point in drawing.points("up-large-strip"):
            x, y = frame.mm(*point)
            if -reach + 1e-3 < x < reach - 1e-3:
                assert y <= h + 1e-3
            if x > corner_x + 1e-3:
                assert y >= back_height(DEFAULT, phi, x) - 1e-3
        gap = feeler.gap_at_rim(DEFAULT, turns) if side == "rim" else feeler.gap_at_butt(DEFAULT, turns)
        assert gap is not None
        goes_in = 1000 * gap > tau
        inmost = [frame.mm(*point)[0] for point in drawing.points("up-large-strip")]
        place = reach if side == "rim" else max(-reach, corner_x)
        entered = min(inmost) < place - 0.01 if side == "rim" else max(inmost) > place + 0.01
        assert entered is goes_in
        assert any(("does not go in" in words) is not goes_in for words in drawing.words() if "paper" in words)


def test_no_strip_is_drawn_where_none_is_offered() -> None:
    assert not any("strip" in identity for identity in drawn(DEFAULT, 1, None, "rim").ids)
    assert not any("strip" in identity for identity in drawn(DEFAULT, 1, 1e-4, None).ids)


def test_a_gap_thinner_than_paper_can_be_seen_on_a_phone() -> None:
    """0.05 mm takes 3 px at least, in the enlargement, on a 390 px screen."""
    touch = contacts.first_touch(DEFAULT)
    assert touch is not None
    for turns, key in ((0.2107, "rim"), (-0.158, "butt"), (touch + 0.05 / PITCH, "butt")):
        drawing = drawn(DEFAULT, turns, 1e-4, key)
        _, y1, _, y2 = drawing.line(f"up-large-gap-{key}")
        gap = (y2 - y1) / Frame(drawing, "up-large").scale()[1]
        assert gap == pytest.approx(0.05, abs=0.002)
        assert (y2 - y1) * ON_PHONE / drawing.picture.width >= 3


def test_thin_gaps_of_many_pockets_can_be_seen() -> None:
    for shape, turns in random_pockets(300):
        gaps = [feeler.gap_at_rim(shape, turns), feeler.gap_at_butt(shape, turns)]
        if any(gap is not None and 1e-9 < gap <= 1e-4 for gap in gaps):
            scale = Frame(drawn(shape, turns), "up-large").scale()[1]
            assert 0.05 * scale * ON_PHONE / 360 >= 3


def test_the_main_view_has_one_scale_and_keeps_it_when_the_bolt_turns() -> None:
    scales = {Frame(drawn(DEFAULT, turns), "up-main").scale() for turns in (-2, 0, 1, 5, 8)}
    assert len(scales) == 1
    x, y = scales.pop()
    assert x == y


def test_the_stated_scales_are_the_true_ones() -> None:
    drawing = drawn(DEFAULT, 1)
    main, large = (Frame(drawing, key).scale() for key in ("up-main", "up-large"))
    words = drawing.by_id["up-scale-words"].text or ""
    assert words == f"Underside, {large[0] / main[0]:g} × as wide, {large[1] / main[1]:g} × as high"
    for key, scale, said in (
        ("up-bar", main[0], "10 mm"),
        ("up-large-bar-wide", large[0], "2 mm wide"),
        ("up-large-bar-high", large[1], "0.2 mm high"),
    ):
        assert said in drawing.words()
        parts = drawing.by_id[key].attrib["d"].split()
        numbers = [float(part) for part in parts if part not in "MHV"]
        length = numbers[5] - numbers[1 if "bar-high" in key else 0]
        assert length / scale == pytest.approx(float(said.split()[0]), abs=0.001)


def test_in_inches_the_bars_are_as_long_as_they_say() -> None:
    drawing = Drawing(side_view(DEFAULT, 1, 1e-4, prefix="up", strip_side="rim", length_unit="in"))
    for key, scale, said in (
        ("up-bar", Frame(drawing, "up-main").scale()[0], "0.2 in"),
        ("up-large-bar-wide", Frame(drawing, "up-large").scale()[0], "0.1 in wide"),
        ("up-large-bar-high", Frame(drawing, "up-large").scale()[1], "0.005 in high"),
    ):
        assert said in drawing.words()
        numbers = [float(part) for part in drawing.by_id[key].attrib["d"].split() if part not in "MHV"]
        length = numbers[5] - numbers[1 if "bar-high" in key else 0]
        assert length / scale == pytest.approx(25.4 * float(said.split()[0]), rel=0.01)


@pytest.mark.parametrize("turns", [-1.5, 0.0, 1.0, 2.5, 6.0, 8.0])
@pytest.mark.parametrize("pushed", [None, 0.0, 0.003, 0.012])
def test_in_inches_the_same_is_said_and_nothing_lies_on_anything(turns: float, pushed: float | None) -> None:
    for side in ("rim", "butt"):
        drawings = {
            unit: Drawing(
                side_view(DEFAULT, turns, 1e-4, prefix="up", strip_side=side, strip_pushed=pushed, length_unit=unit)
            )
            for unit in ("mm", "in")
        }
        said = drawings["in"].picture.description
        assert re.findall(r" in in\b", said) == []
        for after in ("inward", "deep"):
            said = re.sub(rf"(?<= in) {after}\b", " in", said)
        alike(drawings["mm"].picture.description, said)
        assert not any(" mm" in words for words in drawings["in"].words())
        assert collisions(drawings["in"]) == []


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_words_do_not_lie_on_one_another(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    for side in ("rim", "butt", None):
        assert collisions(drawn(shape, turns, 1e-4, side)) == []


@pytest.mark.long
def test_words_of_many_pockets_do_not_lie_on_one_another() -> None:
    for shape, turns in random_pockets(400):
        for side in ("rim", "butt"):
            found = collisions(drawn(shape, turns, 1e-4, side))
            assert found == [], (shape, turns, side)


@pytest.mark.parametrize(("shape", "turns", "state", "phi", "contact_x"), CASES)
def test_markup_is_sound_and_says_the_state(
    shape: Pocket, turns: float, state: ContactState, phi: float, contact_x: float | None
) -> None:
    drawing = drawn(shape, turns, 1e-4, "rim")
    assert not faults(drawing, "up")
    assert drawing.root.attrib["role"] == "img"
    labels = drawing.root.attrib["aria-labelledby"].split()
    assert [drawing.by_id[label].tag for label in labels] == [f"{SPACE}title", f"{SPACE}desc"]
    said = {
        ContactState.BUTT: "butt end touches", ContactState.EDGE: "edge touches", ContactState.FLUSH: "Flush",
        ContactState.RIM: "only the rim",
        ContactState.OUT_OF_REACH: "nothing touches", ContactState.OFF_HEAD: "nothing touches",
    }[state]  # fmt: skip
    assert said in drawing.words()[0]
    assert said in drawing.picture.description


def test_words_from_outside_are_escaped() -> None:
    picture = side_view(DEFAULT, 1, 1e-4, prefix="up", strip_side="rim", strip_name="<b>&", title="<script>")
    assert "<b>" not in picture.svg
    assert "<script" not in picture.svg
    assert not faults(Drawing(picture), "up")


def test_two_figures_share_no_id() -> None:
    one, other = (Drawing(side_view(DEFAULT, 1, prefix=prefix)) for prefix in ("upper", "lower"))
    assert not set(one.ids) & set(other.ids)


def test_extreme_dimensions_are_drawn_all_the_same() -> None:
    for shape in (pocket(9000, 1, 9001, 20, 1, 1, 0.1), pocket(0.03, 0.002, 0.035, 0.01, 0.001, 0.001, 1.2)):
        for turns in (-0.1, 0, 0.3, 1e6):
            assert not faults(drawn(shape, turns, 1e-4, "butt"), "up")


def test_an_unknown_side_is_refused() -> None:
    with pytest.raises(ValueError, match="strip_side"):
        side_view(DEFAULT, 1, 1e-4, prefix="up", strip_side="top")


# A strip that is pushed in


def pushed(shape: Pocket, turns: float, side: str, by: float, strip: float = 1e-4) -> Drawing:
    return Drawing(side_view(shape, turns, strip, prefix="up", strip_side=side, strip_pushed=by / 1000))


def inmost(drawing: Drawing, prefix: str, side: str) -> float:
    """The x, in mm, of the strip's inner end."""
    frame = Frame(drawing, prefix if prefix != "up" else "up-main")
    places = [frame.mm(*point)[0] for point in drawing.points(f"{prefix}-strip")]
    return min(places) if side == "rim" else max(places)


def offered(shape: Pocket, turns: float, side: str) -> float:
    """Where the strip is offered, mm: the rim, or the butt end or the head's edge."""
    reach = 1000 * math.sqrt(shape.head_radius**2 - shape.slot_half_width**2)
    return reach if side == "rim" else max(-reach, turned(shape, contacts.rock_angle(shape, turns), 0, 0)[0])


def strip_words(drawing: Drawing) -> str:
    return drawing.by_id["up-large-words-strip"].text or ""


def test_a_strip_pushed_hard_stops_in_the_wedge() -> None:
    """At one turn outside flush, from the published angle and contact point (sources.md F, C)."""
    wanted = 8.014986 + 6.865137 - 0.1 / math.tan(0.0158116042)
    drawing = pushed(DEFAULT, 1, "rim", 50)
    for prefix in ("up", "up-large"):
        assert inmost(drawing, prefix, "rim") == pytest.approx(8.014986 - wanted, abs=NEAR)
    assert strip_words(drawing) == f"paper 0.10 mm stops {wanted:.1f} mm in"
    assert f"paper 0.10 mm stops {wanted:.1f} mm in." in drawing.picture.description
    # Turned in past flush the wedge opens at the butt and closes toward the rim, where it bears.
    corner = turned(DEFAULT, -0.0203875942, 0, 0)[0]
    drawing = pushed(DEFAULT, -1, "butt", 50)
    end = 8.014986 - 0.1 / math.tan(0.0203875942)
    for prefix in ("up", "up-large"):
        assert inmost(drawing, prefix, "butt") == pytest.approx(end, abs=NEAR)
    assert strip_words(drawing) == f"paper 0.10 mm stops {end - corner:.1f} mm in"


@pytest.mark.parametrize("by", [0, 0.7, 3.2])
def test_a_strip_pushed_a_little_is_that_far_in(by: float) -> None:
    for turns, side in ((2, "rim"), (-1, "butt"), (6, "butt"), (6, "rim")):
        drawing = pushed(DEFAULT, turns, side, by)
        way = -by if side == "rim" else by
        for prefix in ("up", "up-large"):
            assert inmost(drawing, prefix, side) == pytest.approx(offered(DEFAULT, turns, side) + way, abs=NEAR)
        assert strip_words(drawing) == f"paper 0.10 mm is {by:.1f} mm in, goes on"


def test_a_strip_that_does_not_go_in_stays_outside() -> None:
    for turns, side in ((0.2, "rim"), (-0.2, "butt"), (-1, "rim"), (1, "butt"), (0, "rim"), (0, "butt")):
        drawing = pushed(DEFAULT, turns, side, 50)
        assert inmost(drawing, "up-large", side) == pytest.approx(offered(DEFAULT, turns, side), abs=NEAR)
        assert strip_words(drawing) == "paper 0.10 mm does not go in"


def test_a_strip_goes_right_through_where_nothing_touches() -> None:
    through = offered(DEFAULT, 6, "rim") - offered(DEFAULT, 6, "butt")
    for side in ("rim", "butt"):
        drawing = pushed(DEFAULT, 6, side, 50)
        other = "butt" if side == "rim" else "rim"
        assert inmost(drawing, "up-large", side) == pytest.approx(offered(DEFAULT, 6, other), abs=NEAR)
        assert strip_words(drawing) == f"paper 0.10 mm goes through, {through:.1f} mm"


@pytest.mark.long
def test_pushed_strips_of_many_pockets_fit_between_head_and_limb() -> None:
    """Never past the limb's back or the head's flat as turned rigid bodies (C), and words have room."""
    stopped = 0
    for shape, turns in random_pockets(250):
        for side in ("rim", "butt"):
            drawing = pushed(shape, turns, side, 30, 1.2e-4)
            assert collisions(drawing) == [], (shape, turns, side)
            assert not faults(drawing, "up")
            state = contacts.contact(shape, turns).state
            if state is ContactState.OFF_HEAD:
                assert strip_words(drawing) == "paper 0.12 mm finds no limb"
                continue
            frame = Frame(drawing, "up-large")
            phi = contacts.rock_angle(shape, turns)
            reach, h = 1000 * shape.rim_reach, 1000 * shape.pitch * turns
            corner_x, room = turned(shape, phi, 0, 0)[0], 0.002 / frame.scale()[1] + 1e-4
            slack = room + 0.002 / frame.scale()[0] * abs(math.tan(phi))
            for point in drawing.points("up-large-strip"):
                x, y = frame.mm(*point)
                if -reach + 1e-2 < x < reach - 1e-2 and max(corner_x, -reach) + 1e-2 < x:
                    assert y <= h + slack
                    assert y >= back_height(shape, phi, x) - slack
            stopped += "stops" in strip_words(drawing)
    assert stopped > 40


def test_thicker_strips_go_in_less_far() -> None:
    far = [inmost(pushed(DEFAULT, 2, "rim", 50, tau / 1000), "up-large", "rim") for tau in (0.05, 0.1, 0.2, 0.4)]
    assert far == sorted(far)
    assert len(set(far)) == 4
    assert strip_words(pushed(DEFAULT, 2, "rim", 50, 0.075e-3)).startswith("paper 0.075 mm stops")


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1e-9])
def test_a_push_that_is_none_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="strip_pushed"):
        pushed(DEFAULT, 1, "rim", bad)


def test_without_a_push_or_a_drag_nothing_is_different() -> None:
    for turns, side in ((1, "rim"), (-1, "butt"), (6, "butt")):
        one = side_view(DEFAULT, turns, 1e-4, prefix="up", strip_side=side)
        other = side_view(DEFAULT, turns, 1e-4, prefix="up", strip_side=side, strip_pushed=None, drag_field="")
        assert one.svg == other.svg
        assert "drag" not in one.svg
        assert not any("farther" in words or "stops" in words for words in Drawing(one).words())


# Dragging the bolt


@pytest.mark.parametrize("turns", [-1, 0, 0.25, 2, 5.5])
def test_a_height_on_the_main_view_gives_the_turns(turns: float) -> None:
    picture = side_view(DEFAULT, turns, prefix="up", drag_field="explorer_turns", drag_low=-1.5, drag_high=7)
    drawing = Drawing(picture)
    main = drawing.by_id["up-main"].attrib
    assert (main["data-drag-field"], main["data-drag-axis"]) == ("explorer_turns", "y")
    origin, scale, low, high = drawing.numbers(
        "up-main", "data-drag-origin", "data-drag-scale", "data-drag-low", "data-drag-high"
    )
    assert (low, high) == (-1.5, 7)
    assert scale < 0
    _, y, _, _ = drawing.line("up-head-underside")
    assert abs((y - origin) / scale - turns) * -scale <= NEAR
    assert not any("data-drag-field" in one.attrib for one in drawing.elements if one.attrib.get("id") != "up-main")
    assert not faults(drawing, "up")


@pytest.mark.parametrize(("low", "high"), [(None, 1), (1, None), (1, 1), (2, 1), (math.nan, 1), (0, math.inf)])
def test_a_drag_without_ends_is_refused(low: float | None, high: float | None) -> None:
    with pytest.raises(ValueError, match="drag"):
        side_view(DEFAULT, 1, prefix="up", drag_field="turns", drag_low=low, drag_high=high)


@pytest.mark.parametrize("slot", [2.0, 4.0, 5.1, 7.0])
def test_the_shank_goes_through_the_slot_with_little_play(slot: float) -> None:
    """It is drawn freely, but as a bolt that fits its slot, and thinner than its head."""
    drawing = drawn(pocket(60, 8, 67, 9.5, slot, PITCH, 0.08), 1.0)
    for frame, prefix in frames(drawing):
        half = max(frame.mm(x, y)[0] for x, y in drawing.points(f"{prefix}-shank"))
        assert 0.8 * slot < half < slot
        assert half < 9.5


def test_the_whole_bow_above_leads_to_the_window_and_moves_all_else_by_its_own_height() -> None:
    plain_one, on_bow = (Drawing(side_view(DEFAULT, 2.0, prefix="p", on_bow=above)) for above in (False, True))
    (frame, *_), (lower, *_) = (
        [one for one in drawing.elements if one.attrib.get("class") == "qt-frame"] for drawing in (plain_one, on_bow)
    )
    assert float(lower.attrib["y"]) - float(frame.attrib["y"]) == pytest.approx(BAND)
    leads = [one for one in on_bow.elements if one.attrib.get("class") == "qt-whole-lead"]
    left, wide = float(lower.attrib["x"]), float(lower.attrib["width"])
    assert sorted(float(one.attrib["x2"]) for one in leads) == pytest.approx([left, left + wide])
    assert {float(one.attrib["y2"]) for one in leads} == {float(lower.attrib["y"])}
    cx, cy, r = on_bow.numbers("p-whole-bow-ring", "cx", "cy", "r")
    assert left + wide / 2 < cx < left + wide
    assert cy + r < float(lower.attrib["y"])
    assert "ring round the pocket" in on_bow.picture.description
    assert "ring" not in plain_one.picture.description
