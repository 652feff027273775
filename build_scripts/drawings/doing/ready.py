"""The steps before anything is turned: the mark and the head's height, and how the riser is laid or held."""

from __future__ import annotations

from drawings.doing.hands import Hand, gripping, pinching, pushing
from drawings.doing.parts import (
    FOOT,
    PANEL,
    REACH,
    SHANK,
    WIDTH,
    Step,
    bolt_outline,
    depth_caliper,
    key_in_head,
    measure,
    one,
    two,
)
from drawings.sketch import Point, Sketch, Tilted, arc, box, smooth, tapered
from quarterturn.figures import svg
from quarterturn.figures.svg import Element

HIGH = 128.0

# The mark, from above, and the head's height, from the side


def _marked(panel: Sketch) -> list[Element]:
    x, y, radius = 104.0, 76.0, 32.0
    butt = x - 20
    end: Point = (32.0, y)
    return [
        panel.fill(box(0, 0, PANEL, HIGH), "qt-riser"),
        *panel.body(box(butt, 32, PANEL, 120), "limb", edge=[(PANEL, 32), (butt, 32), (butt, 120), (PANEL, 120)]),
        *panel.body(arc((x, y), radius, 0, 355, 71), "bolt"),
        *panel.body(arc((x, y), 10, 0, 300, 5), "window"),
        panel.line((x + radius - 3, y), (x + 12, y), "qt-line"),
        panel.line((x - 12, y), end, "qt-line", key="mark"),
        *_pencil(panel, end, -100),
        panel.words(10, HIGH - 12, "riser", over="riser"),
        panel.words(PANEL - 8, 52, "limb", anchor="end", over="limb"),
    ]


def _pencil(panel: Sketch, tip: Point, angle: float) -> list[Element]:
    """A pencil whose tip is there, the rest of it in that direction."""
    at = Hand(tip, angle, 1.15).at
    return [
        *panel.body(at([(0, 0), (12, -4), (56, -4), (56, 4), (12, 4)]), "window"),
        panel.stroke(at([(12, -4), (12, 4)]), "qt-bolt-line"),
        panel.stroke(at([(12, 0), (56, 0)]), "qt-bolt-line"),
        panel.fill(at([(0, 0), (5, -1.7), (5, 1.7)]), "qt-fulcrum"),
    ]


def _high(panel: Sketch) -> list[Element]:
    axis, under, face, floor = 92.0, 68.0, 88.0, 112.0
    back = Tilted((axis - 19, under), 0.07)
    riser: list[Point] = [(0, HIGH), (0, face), (62, face), (62, floor), (PANEL, floor), (PANEL, HIGH)]
    limb = [back.at(0), back.over(PANEL), back.over(PANEL, -22), back.at(0, -22)]
    top = under - 20
    return [
        *panel.body(riser, "riser", edge=riser[1:5]),
        *panel.body(box(axis - SHANK, under, axis + SHANK, floor), "bolt"),
        *panel.body(limb, "limb", edge=[limb[1], limb[0], limb[3], limb[2]]),
        *panel.body([*bolt_outline(axis, under, under)[:6], (axis - REACH, under)], "bolt"),
        *depth_caliper(panel, axis - REACH - 7, 4, top, face),
        panel.line((20, top), (axis - REACH - 9, top), "qt-zero-line"),
        *measure(panel, (30, face), (30, top)),
    ]


# The riser laid ready: alone

BENCH = 136.0


def _alone(sketch: Sketch) -> list[Element]:
    middle = WIDTH / 2
    limb = smooth([(96, 66), (64, 70), (34, 84), (16, 86), (8, 76)])
    left = tapered(limb, 10, 4)
    riser = smooth(
        [(84, 62), (104, 58), (130, 64), (168, 62), (210, 64), (236, 58), (256, 62), (254, 76), (228, 82), (212, 80),
         (198, 94), (184, 96), (168, 82), (156, 88), (146, 84), (112, 82), (86, 76)], closed=True,
    )  # fmt: skip
    heads = [(100.0, 62.0), (WIDTH - 100.0, 62.0)]
    return [
        *sketch.body(box(1.5, BENCH, WIDTH - 1.5, 158.5), "window", edge=[(1.5, BENCH), (WIDTH - 1.5, BENCH)]),
        *_cushion(sketch, 122), *_cushion(sketch, 226),
        *sketch.body(left, "limb"), *sketch.body([(2 * middle - x, y) for x, y in left], "limb"),
        *sketch.body(riser, "riser"),
        *(part for x, y in heads for part in _small_bolt(sketch, x, y)),
        *_towel(sketch, 296, 76),
        *measure(sketch, (38, BENCH - 1), (38, 90)),
        sketch.words(46, 118, "free", strong=True),
        sketch.words(middle, 24, "bolt heads up", anchor="middle", strong=True),
        sketch.words(300, 126, "towel", anchor="middle"),
        sketch.words(middle, 152, "bench", anchor="middle"),
    ]  # fmt: skip


def _small_bolt(sketch: Sketch, x: float, y: float) -> list[Element]:
    return [
        *sketch.body(box(x - 5, y - 12, x + 5, y), "bolt"),
        *sketch.body(box(x - 12, y - 20, x + 12, y - 10), "bolt", hatched="bolt"),
    ]


def _cushion(sketch: Sketch, x: float) -> list[Element]:
    outline = smooth(
        [
            (x - 36, 88),
            (x - 18, 86),
            (x, 83),
            (x + 18, 86),
            (x + 36, 88),
            (x + 33, 110),
            (x + 36, 134),
            (x, 135.5),
            (x - 36, 134),
            (x - 33, 110),
        ],
        closed=True,
    )
    return sketch.body(outline, "window", hatched="limb")


def _towel(sketch: Sketch, x: float, y: float) -> list[Element]:
    """A folded towel that hangs over the limb."""
    hem = smooth([(x + 17, y + 30), (x + 8, y + 32), (x, y + 29), (x - 8, y + 32), (x - 17, y + 30)])
    outline = [(x - 16, y - 4), (x + 16, y - 4), *hem]
    return [
        *sketch.body(outline, "window"),
        *(sketch.line((x - 16.5, y + down), (x + 16.5, y + down), "qt-bolt-line") for down in (19, 23)),
        sketch.line((x, y - 4), (x, y + 19), "qt-slot"),
    ]


# Two people

LOW = 188.5


def _together(sketch: Sketch) -> list[Element]:
    axis, under, floor = 124.0, 86.0, 122.0
    back = Tilted((axis - 18, under), 0.09)
    limb = [
        back.at(0),
        back.at(100),
        back.at(164, -3),
        back.at(170, -6),
        back.at(168, -9),
        back.at(86, -20),
        back.at(0, -20),
    ]
    foot = back.over(196, -20)
    riser: list[Point] = [
        (1.5, 108),
        *smooth([(30, 112), (60, 112), (84, 98)]),
        (92, 98),
        (92, floor),
        (170, floor),
        (foot[0] - 7, foot[1]),
        (foot[0] + 7, foot[1]),
        (212, floor + 8),
        *smooth([(208, 140), (140, 148), (60, 146), (1.5, 140)]),
    ]
    lap = [(1.5, LOW), *smooth([(1.5, 150), (60, 148), (140, 150), (176, 156), (188, 172), (188, LOW)])]
    tip = back.at(160, -2)
    strip = [(axis + 12, under + 1.5), (axis + 66, under - 5), (axis + 66, under - 1), (axis + 12, under + 4.5)]
    return [
        *sketch.body(lap, "window", edge=lap[1:]),
        *sketch.body(riser, "riser"),
        *sketch.body(box(axis - 12, under, axis + 12, floor), "bolt"),
        *sketch.body(limb, "limb"),
        svg.polygon([sketch.at(p) for p in strip], class_="qt-strip"),
        *sketch.body(box(axis - 24, under - 17, axis + 24, under), "bolt", hatched="bolt"),
        *key_in_head(sketch, axis, under - 17, reach=-62, high=20),
        *gripping(sketch, Hand((40, 128), -86, hatched=True, sleeve=20)),
        *pushing(sketch, Hand(tip, 125, 0.8, mirrored=True, hatched=True)),
        *pinching(sketch, Hand((axis - 54, under - 34), 40, 0.8, sleeve=10)),
        *pinching(sketch, Hand((axis + 62, under - 3), 115, 0.8, mirrored=True, sleeve=14)),
        sketch.words(8, 94, "B turns key"),
        sketch.words(226, 24, "B offers strip"),
        sketch.words(84, 174, "A holds"),
        sketch.words(228, 150, "A eases tip"),
    ]


READY = (
    Step(
        "witness_mark",
        "The witness mark, and the height of the head",
        "On the left, from above, one straight pencil line runs across the head of the bolt and onto the riser. On the"
        " right, from the side, a caliper stands on the head, and its rod reaches down to the riser's face.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_marked, _high), ("one straight line", "height over riser")),
    ),
    Step(
        "alone",
        "Laid ready for one person",
        "The bow without its string, its riser across two cushions on the bench, the bolt heads up. Both limbs hang"
        " free of the bench; a folded towel over one of them, near its tip, may help its weight.",
        160.0,
        one(160.0, _alone),
    ),
    Step(
        "two_people",
        "Laid ready for two people",
        "One person, A, holds the riser in the lap, the bolt head toward the other, and eases the tip of the limb"
        " with a finger. The other, B, turns the key and offers the strip at the head.",
        190.0,
        one(190.0, _together),
    ),
)
