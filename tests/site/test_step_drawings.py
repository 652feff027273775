"""The steps at the bench: each drawing is whole, legible on a phone, and shows what the hand does.

What lies where is computed from the coordinates by plane geometry (C). Which way a strip of paper goes, and what it
feels at both ends, is what `mechanics.contact` computes and the page "Find the safe range" says of it.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from drawings import form_drawings
from drawings.doing import SUBJECTS, step_drawing
from figures.reading import SPACE, Box, Drawing, boxes
from helpers.sketches import points_of, shapes, wrongs
from quarterturn.widgets import WIDGETS

WANTED = {
    "witness_mark", "square_and_tape", "alone", "two_people", "head_width", "thread_out", "rise", "ease_tip",
    "strip_at_rim", "strip_at_butt", "rim_to_butt", "hook_scale", "string_loops", "stringer_on", "stringer_lift",
    "loops_seated", "string_line", "butt_kinds",
}  # fmt: skip
STATES = {"thread_out": 2, "rise": 2, "strip_at_rim": 2, "strip_at_butt": 2, "string_line": 3}
"""These show so many states: one after the other, or one right and the others wrong."""
NEAR = 0.002  # user units: coordinates are written with three decimals
PHONE = 340.0  # CSS pixels: what a phone has for a drawing, so that a user unit is a pixel there
LEAST = 13.0  # CSS pixels: the smallest words

each_name = pytest.mark.parametrize("name", SUBJECTS)


def drawn(name: str) -> Drawing:
    return Drawing(step_drawing(name, prefix="p"))


def numbered(drawing: Drawing) -> list[str]:
    return [said for said in drawing.words() if re.match(r"\d ", said)]


def test_every_step_that_hands_carry_out_has_one() -> None:
    assert set(SUBJECTS) == WANTED
    assert all(step.name == name for name, step in SUBJECTS.items())


@each_name
def test_nothing_is_wrong_with_the_drawing(name: str) -> None:
    assert wrongs(step_drawing(name, prefix="some-page"), "some-page") == []


@each_name
def test_the_same_again(name: str) -> None:
    assert step_drawing(name, prefix="p").svg == step_drawing(name, prefix="p").svg


@each_name
def test_it_can_be_read_at_the_width_of_a_phone(name: str) -> None:
    picture = step_drawing(name, prefix="p")
    assert picture.width == PHONE
    assert 110 <= picture.height <= 190
    sizes = [float(one.attrib["font-size"]) for one in Drawing(picture).root.iter(f"{SPACE}text")]
    assert min(sizes) >= LEAST


@each_name
def test_labels_are_few_and_short(name: str) -> None:
    drawing = drawn(name)
    labels = [said for said in drawing.words() if said not in numbered(drawing)]
    assert len(labels) <= 6
    assert [said for said in (*labels, *(said[2:] for said in numbered(drawing))) if len(said.split()) > 3] == []


@each_name
def test_it_has_no_title_inside_and_says_it_all_to_those_who_do_not_see_it(name: str) -> None:
    picture = step_drawing(name, prefix="p")
    assert picture.title not in Drawing(picture).words()
    assert 1 <= len(re.findall(r"\.(?: |$)", picture.description)) <= 2


@each_name
def test_states_are_numbered_below_and_in_words(name: str) -> None:
    drawing = drawn(name)
    states = [box for box in boxes(drawing) if re.match(r"\d ", box.words)]
    if name not in STATES:
        assert states == []
        return
    assert [box.words[:2] for box in states] == [f"{state} " for state in range(1, STATES[name] + 1)]
    assert min(box.top for box in states) > drawing.picture.height - 2 * LEAST
    told = [drawing.picture.description.index(f"({state})") for state in range(1, STATES[name] + 1)]
    assert told == sorted(told)


# Words and lines


def strokes(drawing: Drawing) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Every straight piece of a line that is drawn, rectangles and dots by their bounds; grounds have none."""
    hatched = {part for one in drawing.root.iter(f"{SPACE}pattern") for part in one.iter()}
    found = []
    for one in drawing.elements:
        tag, names = one.tag.removeprefix(SPACE), set(one.attrib.get("class", "").split())
        if one in hatched or tag not in LINES or names <= GROUNDS:
            continue
        points = points_of(dict(one.attrib), tag)
        if tag in ("rect", "circle"):
            (left, top), (right, bottom) = points
            points = [(left, top), (right, top), (right, bottom), (left, bottom)]
        found += list(pairwise([*points, points[0]] if tag in CLOSED else points))
    return found


CLOSED = ("polygon", "rect", "circle")
LINES = ("line", "path", *CLOSED)
GROUNDS = {"qt-limb", "qt-riser", "qt-bolt", "qt-window"}


def crosses(piece: tuple[tuple[float, float], tuple[float, float]], box: Box) -> bool:
    """Whether a straight piece has a point in the box: clipped to it side by side (Liang and Barsky, from memory)."""
    (x0, y0), (x1, y1) = piece
    enter, leave = 0.0, 1.0
    sides = ((x0 - x1, x0 - box.left), (x1 - x0, box.right - x0), (y0 - y1, y0 - box.top), (y1 - y0, box.bottom - y0))
    for step, room in sides:
        if step == 0:
            if room < 0:
                return False
        elif step < 0:
            enter = max(enter, room / step)
        else:
            leave = min(leave, room / step)
    return enter <= leave


def test_a_line_through_words_is_seen() -> None:
    box = Box("words", 10, 10, 40, 20)
    assert crosses(((0, 15), (50, 15)), box)
    assert crosses(((20, 12), (21, 13)), box)
    assert crosses(((0, 0), (50, 30)), box)
    assert not crosses(((0, 5), (50, 5)), box)
    assert not crosses(((0, 30), (9, 12)), box)
    assert not crosses(((45, 0), (45, 50)), box)


@each_name
def test_no_line_runs_through_words(name: str) -> None:
    drawing = drawn(name)
    pieces = strokes(drawing)
    assert len(pieces) > 20
    assert [(box.words, piece) for box in boxes(drawing) for piece in pieces if crosses(piece, box)] == []


@each_name
def test_words_lie_in_their_panel(name: str) -> None:
    """In one of the framed panels, or under it and no wider than it."""
    drawing = drawn(name)
    frames = [one for one in drawing.elements if one.attrib.get("class") == "qt-frame"]
    sides = [(float(one.attrib["x"]), float(one.attrib["x"]) + float(one.attrib["width"])) for one in frames]
    assert len(sides) in (1, 2, 3)
    outside = [
        box.words for box in boxes(drawing) if not any(left < box.left and box.right < right for left, right in sides)
    ]
    assert outside == []


# What they show


def tilt(line: tuple[float, float, float, float]) -> float:
    x1, y1, x2, y2 = line
    return (y2 - y1) / (x2 - x1)


@pytest.mark.parametrize("name", ["strip_at_rim", "strip_at_butt"])
def test_a_strip_goes_in_and_then_it_stops(name: str) -> None:
    drawing = drawn(name)
    for state in (1, 2):
        underside, back = drawing.line(f"p-underside-{state}"), drawing.line(f"p-back-{state}")
        strip = drawing.points(f"p-strip-{state}")
        rim, butt = underside[2], back[0]
        assert underside[0] < butt < rim  # the butt end lies under the head, the limb tip to the right
        inner = min(x for x, _ in strip) if name == "strip_at_rim" else max(x for x, _ in strip)
        reaches = (rim - inner) if name == "strip_at_rim" else (inner - butt)
        assert reaches > 15 if state == 1 else reaches < NEAR
        if state == 1:  # where it goes in, it lies in the gap: under the head, over the limb
            below = [y - back[1] - tilt(back) * (x - back[0]) for x, y in strip if butt < x < rim]
            assert below
            assert max(below) < 0
            assert min(y for _, y in strip) > underside[1]


@pytest.mark.parametrize(("name", "touching"), [("strip_at_rim", (1, 2)), ("strip_at_butt", (2,))])
def test_butt_and_head_touch_where_a_point_says_so(name: str, touching: tuple[int, ...]) -> None:
    drawing = drawn(name)
    for state in (1, 2):
        underside, back = drawing.line(f"p-underside-{state}"), drawing.line(f"p-back-{state}")
        assert (f"p-contact-{state}" in drawing.by_id) is (state in touching)
        if state in touching:
            assert drawing.numbers(f"p-contact-{state}", "cx", "cy") == pytest.approx((back[0], underside[1]), abs=NEAR)
            assert 0 <= back[1] - underside[1] < 1
        else:
            assert back[1] - underside[1] > 5
    if name == "strip_at_rim":  # turning in brings the back nearer to the flat of the head
        assert 0 < tilt(drawing.line("p-back-2")) < tilt(drawing.line("p-back-1")) / 3


def test_the_caliper_lies_against_the_head() -> None:
    drawing = drawn("head_width")
    left, y, right, _ = drawing.line("p-underside")
    fixed, sliding = drawing.points("p-fixed-jaw"), drawing.points("p-sliding-jaw")
    assert max(x for x, _ in fixed) == pytest.approx(left, abs=NEAR)
    assert min(x for x, _ in sliding) == pytest.approx(right, abs=NEAR)
    assert all(max(y for _, y in jaw) > y for jaw in (fixed, sliding))
    assert max(x for x, _ in drawing.points("p-bolt")) == pytest.approx(right, abs=NEAR)


def test_the_bolt_comes_out_of_the_thread_and_goes_back_to_its_mark() -> None:
    drawing = drawn("thread_out")
    (_, face), *_ = drawing.points("p-riser-1")
    free, mark = drawing.points("p-bolt-1"), drawing.points("p-bolt-2")
    assert max(y for _, y in free) < face < max(y for _, y in mark)
    was = points_of(dict(drawing.by_id["p-at-mark"].attrib), "path")
    aside = mark[0][0] - was[0][0]
    assert [(x + aside, y) for x, y in was] == [pytest.approx(point, abs=NEAR) for point in mark]


def test_the_rise_is_what_the_head_has_risen() -> None:
    drawing = drawn("rise")
    before, after = (min(y for _, y in drawing.points(f"p-bolt-{state}")) for state in (1, 2))
    _, top, _, low = drawing.line("p-rise")
    assert (low, top) == pytest.approx((before, after), abs=NEAR)
    assert low - top > 10


def test_the_cover_is_measured_from_the_rim_away_from_the_tip() -> None:
    drawing = drawn("rim_to_butt")
    head, limb = drawing.points("p-head"), drawing.points("p-limb")
    rim, butt = drawing.line("p-from-rim")[0], drawing.line("p-from-butt")[0]
    middle = (min(x for x, _ in head) + max(x for x, _ in head)) / 2
    assert rim == pytest.approx(min(x for x, _ in head), abs=0.1)  # the round is drawn with many corners
    assert butt == pytest.approx(min(x for x, _ in limb), abs=NEAR)
    assert rim < butt < middle < max(x for x, _ in limb)  # it covers more than half of the bolt


# Stringing: what the archer does is common practice, no source; where things lie is plane geometry


def width(points: list[tuple[float, float]]) -> float:
    return max(x for x, _ in points) - min(x for x, _ in points)


def way(drawing: Drawing, identity: str) -> list[tuple[float, float]]:
    """The points of a line or a shape."""
    one = drawing.by_id[identity]
    return points_of(dict(one.attrib), one.tag.removeprefix(SPACE))


def area(points: list[tuple[float, float]]) -> float:
    """The area of a polygon (the shoelace formula, from memory)."""
    return abs(sum(x * y1 - x1 * y for (x, y), (x1, y1) in pairwise([*points, points[0]]))) / 2


def edge(limb: list[tuple[float, float]], height: float) -> tuple[float, float]:
    """The limb's left and right edges at a height."""
    found = [
        x0 + (height - y0) * (x1 - x0) / (y1 - y0)
        for (x0, y0), (x1, y1) in pairwise([*limb, limb[0]])
        if min(y0, y1) <= height < max(y0, y1)
    ]
    return min(found), max(found)


def test_the_larger_loop_is_larger_and_below_the_nock_that_the_smaller_one_is_in() -> None:
    drawing = drawn("string_loops")
    larger, smaller = way(drawing, "p-loop-1"), way(drawing, "p-loop-2")
    assert area(larger) > 2 * area(smaller)
    for loop, limb, is_in in ((larger, "p-limb-1", False), (smaller, "p-limb-2", True)):
        height = loop[0][1]
        left, right = edge(way(drawing, limb), height)
        assert loop[0][0] < left < right < loop[-1][0]  # it is round the limb
        assert in_nock(way(drawing, limb), height) is is_in


def in_nock(limb: list[tuple[float, float]], height: float) -> bool:
    """Whether the limb is wider a little to both sides of that height: there it has its two grooves."""
    here, over, under = (right - left for left, right in (edge(limb, height + step) for step in (0, -5, 5)))
    return here + 2 < min(over, under)


def test_both_loops_are_in_their_grooves_and_the_string_leaves_in_the_middle() -> None:
    drawing = drawn("loops_seated")
    for side in (1, 2):
        limb, loop, string = (way(drawing, f"p-{part}-{side}") for part in ("limb", "loop", "string"))
        assert loop[0][1] == pytest.approx(loop[-1][1], abs=NEAR)
        assert in_nock(limb, loop[0][1])
        for x, y in string[:-1]:
            left, right = edge(limb, y)
            assert x == pytest.approx((left + right) / 2, abs=NEAR)


def test_the_stringer_hangs_below_the_string_from_both_limbs() -> None:
    drawing = drawn("stringer_on")
    cord, string, loop = (way(drawing, f"p-{part}") for part in ("cord", "string", "loop"))
    block, cup = way(drawing, "p-block"), way(drawing, "p-cup")
    assert max(y for _, y in cord) > max(y for _, y in string) + 20
    assert max(x for x, _ in loop) < min(x for x, _ in block)  # the loop can slide to the tip past the block
    assert min(x for x, _ in cup) < max(x for x, _ in cord)
    assert min(x for x, _ in cord) == pytest.approx(sum(x for x, _ in block) / 4, abs=8)


def test_the_bow_is_lifted_straight_up_with_the_head_out_of_its_plane() -> None:
    drawing = drawn("stringer_lift")
    cord, shoe = way(drawing, "p-cord"), way(drawing, "p-foot")
    lowest = max(y for _, y in cord)
    at_foot = [x for x, y in cord if y > lowest - 8]
    assert min(x for x, _ in shoe) < min(at_foot) < max(at_foot) < max(x for x, _ in shoe)
    x0, y0, x1, y1 = drawing.line("p-lift")
    assert x0 == x1
    assert y1 < y0
    plane = drawing.line("p-plane")[0]
    assert min(x for x, _ in way(drawing, "p-head")) > plane + 10
    bow = way(drawing, "p-bow")
    assert (min(x for x, _ in bow) + max(x for x, _ in bow)) / 2 == pytest.approx(plane, abs=NEAR)
    assert width(way(drawing, "p-cord-2")) < 6  # the cord is under the bow, in the same plane


def test_the_string_is_in_the_middle_or_it_is_wrong() -> None:
    drawing = drawn("string_line")
    beside = []
    for state in (1, 2, 3):
        x0, y0, x1, y1 = drawing.line(f"p-string-{state}")
        height = 45.0
        left, right = edge(way(drawing, f"p-upper-{state}"), height)
        beside.append(abs(x0 + (x1 - x0) * (height - y0) / (y1 - y0) - (left + right) / 2))
    assert beside[0] < NEAR
    assert min(beside[1:]) > 3
    ends = [way(drawing, f"p-strands-{state}") for state in (1, 2, 3)]
    assert ends[0][0][1] == pytest.approx(ends[0][-1][1], abs=NEAR)
    assert abs(ends[2][0][1] - ends[2][-1][1]) > 5  # one strand is out of its groove


def test_no_two_are_alike() -> None:
    assert len({shapes(step_drawing(name, prefix="p"), "p") for name in SUBJECTS}) == len(SUBJECTS)
    assert len({step.title for step in SUBJECTS.values()}) == len(SUBJECTS)
    assert len({step.description for step in SUBJECTS.values()}) == len(SUBJECTS)


def test_another_name_is_refused() -> None:
    with pytest.raises(ValueError, match=r"name must be one of witness_mark, .*: 'elsewhere'"):
        step_drawing("elsewhere", prefix="p")


def test_no_form_has_them() -> None:
    titles = {step.title for step in SUBJECTS.values()}
    assert not titles & {picture.title for widget in WIDGETS for picture in form_drawings(widget).values()}
