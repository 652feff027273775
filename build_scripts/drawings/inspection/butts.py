"""What to look for where limb and riser meet: the butt end, its slot, the fitting, the pocket."""

from __future__ import annotations

from drawings.inspection.parts import PANEL, Subject, below, butt_body, pair
from drawings.sketch import Point, Sketch, arc, curve
from quarterturn.figures.svg import Element

MIDDLE = 43.0  # of the butt that is seen from above
EDGE = PANEL - 1.0
HEAD = (36.0, MIDDLE)  # the middle of the bolt's head over the slot


# The butt end


def _whole_butt(panel: Sketch) -> list[Element]:
    mark = arc(HEAD, 22, 27, 75, 8)
    return [
        *butt_body(panel),
        *(panel.stroke(points, "qt-slot") for points in (mark, _across(mark))),
        panel.words(72, MIDDLE + 4, "limb", over="limb"),
        below("faint mark only")(panel),
    ]


def _crushed_butt(panel: Sketch) -> list[Element]:
    """Dents of the curve of the head's rim on both halves, and the end of the butt crushed."""
    dent = [*arc(HEAD, 20, 28, 78, 8), *arc(HEAD, 25, 74, 22, 8)]
    crushed: list[Point] = [
        (14, 53), (15.5, 56), (12.5, 58.5), (15.5, 61), (12.5, 64), (15.5, 67), (18, 72), (25, 72), (25, 53),
    ]  # fmt: skip
    spoiled = [dent, crushed]
    return [
        *butt_body(panel),
        *(part for points in spoiled for side in (points, _across(points)) for part in panel.fault(side)),
        panel.words(72, MIDDLE + 4, "limb", over="limb"),
        below("dented, crushed")(panel),
    ]


def _across(points: list[Point]) -> list[Point]:
    """The same on the other side of the slot."""
    return [(x, 2 * MIDDLE - y) for x, y in points]


# The closed end of the slot


def _whole_root(panel: Sketch) -> list[Element]:
    return [*butt_body(panel), *_root_words(panel, "slot's end"), below("round and whole")(panel)]


def _cracked_root(panel: Sketch) -> list[Element]:
    return [
        *butt_body(panel),
        panel.crack((58, MIDDLE), (108, 39), wander=2.4, steps=9),
        panel.crack((55, MIDDLE - 7), (76, 24), wander=1.6, steps=5),
        *panel.pointer((84, 64), (88, 42)),
        panel.words(84, 69, "crack", over="limb", anchor="middle"),
        below("crack from slot")(panel),
    ]


def _root_words(panel: Sketch, words: str) -> list[Element]:
    return [*panel.pointer((70, 60), (59, MIDDLE + 2)), panel.words(46, 69, words, over="limb")]


# The fitting and its seat, cut from the side


def _limb_over(panel: Sketch, tilt: float = 0.0) -> list[Element]:
    points: list[Point] = [(8, 18 - tilt), (EDGE, 18), (EDGE, 36), (8, 36 - tilt)]
    return panel.body(points, "limb", edge=[points[1], points[0], points[3], points[2]])


def _seat(panel: Sketch, opening: list[Point]) -> list[Element]:
    """The riser below, with a seat let into it; opening runs from the seat's left rim to its right."""
    top: list[Point] = [(1, 39), *opening, (EDGE, 39)]
    points: list[Point] = [*top, (EDGE, 80), (1, 80)]
    return [*panel.body(points, "riser", edge=top), panel.line((1, 80), (EDGE, 80), "qt-riser-line")]


def _plug(panel: Sketch, x: float, y: float, lean: float = 0.0) -> list[Element]:
    """The fitting: a flange under the limb and a plug that goes into the seat."""
    points: list[Point] = [
        (x - 24, y), (x + 24, y), (x + 24, y + 5), (x + 13, y + 5), (x + 12 + lean, y + 27), (x + 9 + lean, y + 30),
        (x - 9 + lean, y + 30), (x - 12 + lean, y + 27), (x - 13, y + 5), (x - 24, y + 5),
    ]  # fmt: skip
    return panel.body(points, "bolt", hatched="bolt")


def _seated(panel: Sketch) -> list[Element]:
    opening: list[Point] = [
        (28, 39), (28, 42), (41, 42), (42.5, 65), (46, 68), (64, 68), (67.5, 65), (69, 42), (82, 42), (82, 39),
    ]  # fmt: skip
    return [
        *_seat(panel, opening), *_limb_over(panel), *_plug(panel, 55, 36), panel.words(84, 31, "limb", over="limb"),
        panel.words(8, 60, "seat", over="riser"), *panel.pointer((76, 65), (64, 52)),
        panel.words(72, 75, "fitting", over="riser"), below("fits closely")(panel),
    ]  # fmt: skip


def _loose(panel: Sketch) -> list[Element]:
    opening: list[Point] = [
        (24, 39), (25, 43), *curve((32, 43), (33, 46), (34, 56), 5), *curve((36, 66), (40, 74), (50, 74), 5),
        *curve((62, 75), (74, 74), (75, 60), 6), *curve((76, 50), (77, 44), (80, 43), 5), (86, 42), (87, 39),
    ]  # fmt: skip
    return [
        *_seat(panel, opening), panel.stroke(opening[1:-1], "qt-crack"), *_limb_over(panel), *_plug(panel, 55, 39, -5),
        panel.line((31, 36), (79, 36), "qt-limb-line"), panel.words(84, 31, "limb", over="limb"),
        below("worn and loose")(panel),
    ]  # fmt: skip


# The pocket in the riser, from above


def _pocket(panel: Sketch) -> list[Element]:
    walls: list[Point] = [(1, 8), (EDGE, 8), (EDGE, 78), (1, 78)]
    floor: list[Point] = [(18, 20), (EDGE, 20), (EDGE, 66), (18, 66)]
    return [
        *panel.body(walls, "riser", edge=walls[:2]),
        panel.line((1, 78), (EDGE, 78), "qt-riser-line"),
        *panel.body(floor, "window", edge=[(EDGE, 20), (18, 20), (18, 66), (EDGE, 66)]),
        *panel.body(arc((46, MIDDLE), 14, 0, 350, 24), "window", hatched="riser"),
        *panel.body(arc((46, MIDDLE), 8, 0, 345, 18), "window"),
    ]


def _whole_pocket(panel: Sketch) -> list[Element]:
    return [
        *_pocket(panel),
        *panel.pointer((76, MIDDLE), (57, MIDDLE)),
        panel.words(79, MIDDLE + 4, "bush"),
        below("pocket whole")(panel),
    ]


def _cracked_pocket(panel: Sketch) -> list[Element]:
    return [
        *_pocket(panel),
        panel.crack((36, 33), (10, 12), wander=2.4, steps=8),
        panel.crack((50, 57), (60, 77), wander=2.0, steps=6),
        *panel.pointer((75, 51), (56, 68)),
        panel.words(76, 50, "crack"),
        below("cracks at bush")(panel),
    ]


BUTTS = (
    Subject(
        "butt_end",
        "The butt end of a limb",
        "The slotted butt of a limb from above. In order: the head has left a faint mark at most. Not in order: the rim"
        " of the head has pressed curved dents into both halves, and the end is crushed.",
        pair(_whole_butt, _crushed_butt),
    ),
    Subject(
        "slot_root",
        "The closed end of the slot",
        "The slotted butt of a limb from above. In order: the closed end of the slot is round and whole. Not in order:"
        " cracks run from the closed end into the limb.",
        pair(_whole_root, _cracked_root),
    ),
    Subject(
        "fitting",
        "The pocket fitting and its seat",
        "The fitting under the limb and its seat in the riser, cut from the side. In order: the fitting fits its seat"
        " closely. Not in order: the seat is worn wide, and the fitting has come loose and leans in it.",
        pair(_seated, _loose),
    ),
    Subject(
        "riser_pocket",
        "The pocket in the riser",
        "The pocket of the riser from above, with the bush that takes the bolt. In order: all is whole. Not in order:"
        " cracks run from the bush into the walls of the pocket.",
        pair(_whole_pocket, _cracked_pocket),
    ),
)
