"""What to look for in what belongs together: bolt and lock, limbs and riser, bow and string."""

from __future__ import annotations

from itertools import pairwise

from drawings.inspection.parts import PANEL, Subject, below, pair
from drawings.sketch import Point, Sketch, arc, box, curve, mirrored, tapered, threaded
from quarterturn.figures import svg
from quarterturn.figures.svg import Element

MIDDLE = PANEL / 2


# The lock of the bolt, cut from the side


def _locked(panel: Sketch, tip: float) -> list[Element]:
    """A bolt in its bush, and a lock screw from the right whose end is at tip."""
    screw: list[Point] = [
        (tip, 42), (tip + 4, 39), (tip + 54, 39), (tip + 54, 34), (tip + 61, 34), (tip + 61, 62), (tip + 54, 62),
        (tip + 54, 57), (tip + 4, 57), (tip, 54),
    ]  # fmt: skip
    return [
        *panel.body(box(1, 26, 92, 80), "riser"),
        *panel.body(box(36, 39, 92, 57), "window"),
        *panel.body([(10, 10), (46, 10), (46, 22), *threaded(18, 38, 22, 80), (10, 22)], "bolt"),
        *panel.body(screw, "bolt", hatched="bolt"),
    ]


def _loosened(panel: Sketch) -> list[Element]:
    return [
        *_locked(panel, 48),
        *panel.arrow([(92, 70), (110, 70)], size=6),
        panel.words(52, 19, "lock screw"),
        below("then turn bolt")(panel),
    ]


def _tightened(panel: Sketch) -> list[Element]:
    return [
        *_locked(panel, 38),
        *panel.arrow([(113, 70), (95, 70)], size=6),
        panel.line((38, 43), (38, 53), "qt-contact-line"),
        below("bolt is set")(panel),
    ]


# Marks on limbs and riser


def _marked(panel: Sketch, marks: tuple[str, str, str]) -> list[Element]:
    """A bow taken apart, lying on its side: limb, riser, limb, each with its mark."""
    left: list[Point] = [(4, 40), (34, 36), (34, 56), (4, 52)]
    right = [(PANEL - x, y) for x, y in left]
    riser: list[Point] = [(38, 34), (54, 36), (56, 40), (61, 40), (63, 36), (79, 34), (79, 58), (38, 58)]
    places = ((20.0, "limb"), (MIDDLE, "riser"), (97.0, "limb"))
    return [
        *panel.body(left, "limb"),
        *panel.body(right, "limb"),
        *panel.body(riser, "riser"),
        *(
            panel.words(x, 53 if over == "riser" else 50, mark, over=over, anchor="middle", strong=True)
            for mark, (x, over) in zip(marks, places, strict=True)
        ),
        panel.words(20, 28, "limb", anchor="middle", quiet=True),
        panel.words(MIDDLE, 28, "riser", anchor="middle", quiet=True),
        panel.words(97, 28, "limb", anchor="middle", quiet=True),
    ]


def _agreeing(panel: Sketch) -> list[Element]:
    return [*_marked(panel, ("A7", "A7", "A7")), below("one mark")(panel)]


def _disagreeing(panel: Sketch) -> list[Element]:
    ring = [(97 + 17 * x, 46 + 13 * y) for x, y in arc((0, 0), 1, 0, 360, 24)]
    return [*_marked(panel, ("A7", "A7", "C2")), panel.stroke(ring, "qt-crack"), below("one differs")(panel)]


# Upper and lower limb

TALL = 152.0


def _upright(panel: Sketch, words: tuple[str, str]) -> list[Element]:
    """A bow that stands: the riser with its grip, and a limb above and below, curved toward the archer's right."""
    riser: list[Point] = [
        (40, 56), (50, 56), *curve((50, 58), (40, 72), (46, 76), 6), (45, 92), *curve((46, 93), (52, 98), (51, 108), 6),
        (40, 108), *curve((38, 100), (32, 92), (34, 80), 6), *curve((34, 78), (30, 68), (38, 60), 6),
    ]  # fmt: skip
    upper = [*curve((41, 56), (36, 28), (60, 7)), *curve((64, 9), (46, 30), (49, 56))]
    lower = [*curve((41, 108), (36, 128), (60, 146)), *curve((64, 144), (46, 127), (50, 108))]
    return [
        *panel.body(upper, "limb"),
        *panel.body(lower, "limb"),
        *panel.body(riser, "riser"),
        *panel.pointer((64, 34), (50, 35)),
        panel.words(66, 38, words[0], strong=True),
        *panel.pointer((64, 126), (51, 126)),
        panel.words(66, 130, words[1], strong=True),
        *panel.arrow([(16, 44), (16, 14)], size=7),
        panel.words(6, 58, "up"),
        panel.words(58, 88, "grip", quiet=True),
    ]


def _right_way(panel: Sketch) -> list[Element]:
    return _upright(panel, ("upper", "lower"))


def _swapped(panel: Sketch) -> list[Element]:
    return [
        *_upright(panel, ("lower", "upper")),
        *(panel.stroke(curve((70, y + 5), (86, y + 8), (100, y + 5)), "qt-crack") for y in (38.0, 130.0)),
    ]


# Limb length and riser length


def _lengths(whole: Sketch) -> list[Element]:
    """Two bows that lie on their sides over the picture's width: limbs of one length, and limbs of two."""
    good, bad = Sketch(whole.prefix, 0, 20), Sketch(whole.prefix, 0, 106)
    return [
        *_lying(good, 74.0, 74.0),
        *_measure(good, 8, 232, 48, "bow length"),
        *_headed(whole, 0, "in order", good_one=True),
        *_lying(bad, 74.0, 52.0),
        *_headed(whole, 86, "not in order", good_one=False),
        whole.words(232, 100, "limb lengths differ", anchor="end"),
        whole.line((210, 124), (232, 124), "qt-gap"),
        whole.line((210, 119), (210, 129), "qt-gap"),
        whole.line((232, 119), (232, 129), "qt-gap"),
    ]


def _headed(whole: Sketch, y: float, words: str, *, good_one: bool) -> list[Element]:
    ticks: list[list[Point]] = [[(3, 10), (6.5, 14), (13, 5)]] if good_one else [[(3, 5), (12, 14)], [(3, 14), (12, 5)]]
    moved = [[(px, py + y) for px, py in points] for points in ticks]
    return [
        *(whole.stroke(points, "qt-dimension qt-dimension-strong") for points in moved),
        whole.words(17, y + 14, words, strong=True),
    ]


def _lying(row: Sketch, left: float, right: float) -> list[Element]:
    riser = box(82, 8, 158, 28)
    one: list[Point] = [(82, 8.5), (82, 27.5), (82 - left, 24), (82 - left, 12)]
    other: list[Point] = [(158, 8.5), (158, 27.5), (158 + right, 24), (158 + right, 12)]
    return [
        *row.body(one, "limb"),
        *row.body(other, "limb"),
        *row.body(riser, "riser"),
        row.words(52, 22, "limb", over="limb", anchor="middle"),
        row.words(120, 22, "riser", over="riser", anchor="middle"),
        row.words(184, 22, "limb", over="limb", anchor="middle"),
    ]


def _measure(row: Sketch, start: float, end: float, y: float, words: str) -> list[Element]:
    middle = (start + end) / 2
    half = svg.text_width(words, 12) / 2 + 6
    return [
        row.words(middle, y + 4, words, anchor="middle"),
        *row.arrow([(middle - half, y), (start, y)], size=7),
        *row.arrow([(middle + half, y), (end, y)], size=7),
        row.line((start, y - 6), (start, y + 6), "qt-dimension"),
        row.line((end, y - 6), (end, y + 6), "qt-dimension"),
    ]


# The string


def _served(panel: Sketch, start: float, end: float, turns: int) -> list[Element]:
    """A wound part of a string, lying level."""
    step = (end - start) / turns
    return [
        *panel.body(box(start, 44, end, 54), "bolt"),
        *(panel.line((start + step * n + 1, 54), (start + step * n + 4, 44), "qt-hatch") for n in range(1, turns - 1)),
    ]


def _loop(panel: Sketch) -> list[Element]:
    """The end loop, drawn as two lines of one cord."""
    outer = [
        *curve((34, 45), (22, 34), (10, 38)),
        *curve((5, 44), (3, 49), (5, 54), 4),
        *curve((10, 60), (22, 64), (34, 53)),
    ]
    return [panel.stroke(outer, "qt-cord"), panel.stroke(outer, "qt-cord-inner")]


def _strands(panel: Sketch, start: float, end: float) -> list[Element]:
    return [panel.line((start, y), (end, y), "qt-string") for y in (45.5, 49.0, 52.5)]


def _sound(panel: Sketch) -> list[Element]:
    return [
        *_strands(panel, 48, 84), *_loop(panel), *_served(panel, 32, 50, 6), *_served(panel, 80, 116, 11),
        panel.words(8, 28, "loop"), *panel.pointer((86, 29), (92, 43)), panel.words(62, 26, "serving"),
        below("all strands whole")(panel),
    ]  # fmt: skip


def _cut(panel: Sketch) -> list[Element]:
    ends: tuple[list[Point], ...] = (
        curve((50, 45.5), (60, 45), (63, 34), 6), curve((80, 45.5), (72, 45), (69, 37), 6),
        curve((98, 54), (104, 66), (112, 68), 8),
    )  # fmt: skip
    return [
        *_strands(panel, 48, 116)[1:], *_loop(panel), *_served(panel, 32, 50, 6), *_served(panel, 80, 98, 6),
        panel.line((98, 45.5), (116, 45.5), "qt-string"),
        *(panel.stroke(points, "qt-crack") for points in ends),
        panel.words(MIDDLE, 26, "cut strand", anchor="middle"),
        below("serving undone")(panel),
    ]  # fmt: skip


# The string comes off with a stringer


def _bow(panel: Sketch, grip: float, limb: list[Point]) -> list[Element]:
    """A bow held level, its grip up; limb is the middle line of its right limb."""
    right = tapered(limb, 8, 3.5)
    return [
        *panel.body(right, "limb"),
        *panel.body(mirrored(right, MIDDLE), "limb"),
        *panel.body(box(MIDDLE - 15, grip - 6, MIDDLE + 15, grip + 6), "riser"),
    ]


def _stringing(panel: Sketch) -> list[Element]:
    grip, tip, ground = 30.0, 58.0, 79.0
    limb = [*curve((MIDDLE + 15, grip), (96, grip), (106, tip - 6), 10), (110, tip - 1)]
    string = [*curve((7, tip - 1), (MIDDLE, tip + 12), (110, tip - 1))]
    left, right = MIDDLE - 11, MIDDLE + 13
    stringer: list[Point] = [(5, tip - 2), (left, ground - 1.5), (right, ground - 1.5), (PANEL - 5, tip - 2)]
    shoe: list[Point] = [
        (left, ground - 3), (left, ground - 12), (left + 10, ground - 12), (left + 12, ground - 8),
        (right, ground - 6), (right, ground - 3),
    ]  # fmt: skip
    return [
        panel.line((1, ground), (PANEL - 1, ground), "qt-dimension"),
        *_bow(panel, grip, limb),
        panel.stroke(string, "qt-string"),
        *(panel.line(*ends, "qt-middle") for ends in pairwise(stringer)),
        *panel.body(shoe, "riser"),
        *panel.arrow([(MIDDLE, 19), (MIDDLE, 5)], size=6),
        panel.words(MIDDLE + 8, 15, "lift"),
        panel.words(MIDDLE, 53, "slack string", anchor="middle"),
        below("foot on stringer")(panel),
    ]  # fmt: skip


def _unstrung(panel: Sketch) -> list[Element]:
    slack = [*curve((14, 62), (40, 82), (60, 66), 10), *curve((60, 66), (82, 54), (104, 70), 10)]
    return [
        *_bow(
            panel,
            38,
            [*curve((MIDDLE + 15, 38), (90, 38), (104, 42), 8), *curve((104, 42), (111, 42), (112, 32), 6)[1:]],
        ),
        panel.stroke(slack, "qt-string"),
        *(panel.dot(end, 3.5, "qt-string") for end in ((11, 59.5), (107, 72))),
        panel.words(MIDDLE, 20, "bow at rest", anchor="middle"),
        below("string is off")(panel),
    ]


PAIRS = (
    Subject(
        "bolt_lock",
        "The lock of the bolt",
        "A bolt in the riser, cut from the side, with a lock screw that presses on it. First the lock screw is"
        " loosened; only then is the bolt turned. Last, when the bolt is set, the lock screw is tightened again.",
        pair(_loosened, _tightened, ("1  loosen first", "2  tighten last")),
    ),
    Subject(
        "marks_agree",
        "Marks on limbs and riser",
        "A bow taken apart: limb, riser, limb. In order: both limbs carry the mark that the riser carries. Not in"
        " order: one limb carries another mark. The marks here are made up.",
        pair(_agreeing, _disagreeing),
    ),
    Subject(
        "upper_on_top",
        "Upper limb on top",
        "A bow standing upright. In order: the limb marked upper is in the upper pocket, above the grip, and the lower"
        " one below it. Not in order: they have been swapped.",
        pair(_right_way, _swapped, height=TALL),
        height=TALL + 22,
    ),
    Subject(
        "length_class",
        "Limb length and riser length",
        "A bow laid on its side. In order: two limbs of one length on a riser, which together give the length of the"
        " bow. Not in order: the limbs differ in length.",
        _lengths,
        height=150.0,
    ),
    Subject(
        "string_sound",
        "The string",
        "Part of a string with an end loop and the serving, the thread wound around it. In order: all strands and the"
        " serving are whole. Not in order: a strand is cut, and the serving has come undone.",
        pair(_sound, _cut),
    ),
    Subject(
        "string_off",
        "Taking the string off",
        "A bow held level with a stringer, a cord from tip to tip under the foot. First the bow is lifted against the"
        " stringer, which bends the limbs and slackens the string. Then, with the loops slid off and the bow let down,"
        " the bow is at rest and the string is off.",
        pair(_stringing, _unstrung, ("1  bend", "2  let down")),
    ),
)
