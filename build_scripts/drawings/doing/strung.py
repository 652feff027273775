"""The steps on the strung bow: tiller and brace height with a bow square, and the draw weight with a scale."""

from __future__ import annotations

from drawings.doing.hands import Hand, gripping
from drawings.doing.parts import WIDTH, Step, one, way
from drawings.sketch import Sketch, arc, box, smooth, tapered
from quarterturn.figures.svg import Element

# The bow lies on its side, the string below

STRING = 128.0
STATIONS = (36.0, 304.0)  # where a limb leaves the riser
BELLY = 54.0  # the height of a limb's belly there
PIVOT = (158.0, 40.0)  # the deepest place of the grip


def _lying(sketch: Sketch) -> list[Element]:
    upper = smooth([(46, 52), (58, 32), (84, 16), (120, 12), (160, 20), (200, 14), (256, 16), (282, 32), (294, 52)])
    lower = smooth(
        [(292, 58), (276, 54), (250, 38), (222, 38), (204, 56), (186, 60), (170, 46), PIVOT, (148, 46), (136, 46),
         (128, 34), (100, 32), (80, 38), (64, 54), (48, 58)]
    )  # fmt: skip
    left = tapered(smooth([(70, 36), (40, 46), (4.5, 68)]), 10, 8)
    return [
        *sketch.body([*upper, *lower], "riser"),
        *sketch.body(left, "limb"),
        *sketch.body([(WIDTH - x, y) for x, y in left], "limb"),
    ]


def _square(sketch: Sketch, x: float, top: float) -> list[Element]:
    """A bow square: clipped on the string, its rule square to it, the rule's right edge up to a point of the bow."""
    ticks = [top + 5 * step for step in range(1, int((STRING - 8 - top) / 5) + 1)]
    return [
        *sketch.body(box(x - 10, top, x, STRING), "window"),
        *(sketch.line((x - (7 if rank % 5 == 4 else 4), y), (x, y), "qt-tick") for rank, y in enumerate(ticks)),
        *sketch.body(box(x - 13, STRING - 5, x + 26, STRING + 5), "window"),
        sketch.line((x - 13, STRING), (x + 26, STRING), "qt-string"),
    ]


def _measured(sketch: Sketch) -> list[Element]:
    upper, lower = STATIONS
    return [
        sketch.line((1.5, STRING), (WIDTH - 1.5, STRING), "qt-string", key="string"),
        *_lying(sketch),
        *_square(sketch, upper, BELLY + 1),
        *_square(sketch, PIVOT[0], PIVOT[1] + 1),
        *_square(sketch, lower, BELLY + 1),
        *(sketch.dot(point, 3, "qt-fulcrum") for point in ((upper, BELLY), PIVOT, (lower, BELLY))),
        sketch.words(upper + 4, 153, "tiller", anchor="middle", strong=True),
        sketch.words(PIVOT[0] + 4, 153, "brace height", anchor="middle", strong=True),
        sketch.words(lower + 4, 153, "tiller", anchor="middle", strong=True),
        sketch.words(206, 118, "string"),
        sketch.words(108, 27, "riser", anchor="middle", over="riser"),
    ]


# The bow is weighed

NOCK = (178.0, 95.0)
TIP = (92.0, 10.0)


def _weighed(sketch: Sketch) -> list[Element]:
    x, y = NOCK
    upper = tapered(smooth([(40, 54), (42, 36), (58, 18), (80, 12), TIP]), 10, 4)
    riser = smooth(
        [(34, 44), (46, 44), (46, 62), (38, 74), (40, 84), (48, 90), (44, 100), (50, 116), (44, 124), (46, 146),
         (34, 146), (28, 124), (34, 100), (28, 74)], closed=True,
    )  # fmt: skip
    ring = [(x + 25, y), *arc((x + 7, y), 10, 0, 360, 24)]
    rod = [(18 + 10 * step, 5 if step % 4 else 7) for step in range(1, 15)]
    return [
        *sketch.body(upper, "limb"),
        *sketch.body([(a, 2 * y - b) for a, b in upper], "limb"),
        *sketch.body(riser, "riser"),
        *sketch.body(box(14, y - 4, x, y + 4), "window"),
        *(sketch.line((a, y - 4), (a, y - 4 + long), "qt-tick") for a, long in rod),
        sketch.line((44, y - 8), (44, y + 8), "qt-line", key="draw-mark"),
        sketch.stroke([TIP, NOCK, (TIP[0], 2 * y - TIP[1])], "qt-string"),
        *(sketch.stroke(ring, kind) for kind in ("qt-cord", "qt-cord-inner")),
        sketch.stroke([(x - 12, y - 10), NOCK, (x - 12, y + 10)], "qt-string"),
        *way(sketch, (x + 92, y + 44), (x + 142, y + 44)),
        *sketch.body(box(x + 24, y - 17, x + 84, y + 17), "window"),
        *sketch.body(arc((x + 54, y), 12, 0, 345, 23), "window"),
        sketch.line((x + 54, y), (x + 60, y - 8), "qt-string"),
        *gripping(sketch, Hand((x + 108, y), 180, sleeve=17)),
        *sketch.pointer((66, 74), (45, y - 6)),
        sketch.words(70, 74, "draw mark"),
        *sketch.pointer((190, 136), (x, y + 4)),
        sketch.words(146, 150, "nocking point"),
        *sketch.pointer((166, 48), (x + 8, y - 11)),
        sketch.words(134, 42, "closed hook"),
        sketch.words(x + 54, y - 26, "scale", anchor="middle"),
        sketch.words(332, y + 70, "straight back", anchor="end", strong=True),
    ]


STRUNG = (
    Step(
        "square_and_tape",
        "Tiller and brace height on the strung bow",
        "The strung bow lies on its side. A bow square, clipped on the string, measures square to it: to the limb where"
        " it leaves the riser, at both ends, for the tiller, and to the pivot point of the grip for the brace height.",
        160.0,
        one(160.0, _measured),
    ),
    Step(
        "hook_scale",
        "Weighing the bow with a scale",
        "A bow scale draws the strung bow, its closed hook round the string at the nocking point, straight back in the"
        " line of the arrow. A rod with marks shows how far it is drawn.",
        190.0,
        one(190.0, _weighed),
    ),
)
