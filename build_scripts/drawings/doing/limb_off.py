"""The steps with the limb off: the head's width, the thread's end, and how far the head rises."""

from __future__ import annotations

from drawings.doing.parts import (
    FOOT,
    PANEL,
    REACH,
    SHANK,
    WIDTH,
    Step,
    bolt,
    bolt_outline,
    caliper_over,
    depth_caliper,
    one,
    riser_block,
    turning,
    two,
    way,
)
from drawings.sketch import Point, Sketch, arc
from quarterturn.figures.svg import Element

EDGE = WIDTH - 1.5

# The head's width

AXIS = 132.0


def _across_head(sketch: Sketch) -> list[Element]:
    under, face, low = 98.0, 128.0, 156.5
    return [
        *riser_block(sketch, AXIS, face, EDGE, low),
        *bolt(sketch, AXIS, under, low, smooth=34, high=26, key="bolt"),
        *caliper_over(sketch, AXIS - REACH, AXIS + REACH, 26, under + 3, 318),
        sketch.line((AXIS - REACH, under), (AXIS + REACH, under), "qt-head-underside", key="underside"),
        *sketch.pointer((206, 112), (AXIS + 22, under + 1)),
        sketch.words(210, 116, "flat underside", strong=True),
        sketch.words(262, 62, "caliper"),
        sketch.words(14, 147, "riser", over="riser"),
        sketch.words(14, 116, "limb off", quiet=True),
    ]


# The thread's end

MIDDLE, FACE, HIGH = 90.0, 104.0, 152.0
LONG = 54.0
MARK, FREE = FACE - 20, FACE - 3 - LONG  # the height of the underside at the mark, and where the bolt is free


def _coming_out(panel: Sketch) -> list[Element]:
    return [
        *riser_block(panel, MIDDLE, FACE, PANEL, HIGH, key="riser-1"),
        panel.stroke(bolt_outline(MIDDLE, MARK, MARK + LONG), "qt-bow-before", key="at-mark"),
        *turning(
            panel, (MIDDLE, FREE + 12), 30, 7, out=True, over=bolt(panel, MIDDLE, FREE, FREE + LONG, key="bolt-1")
        ),
        *way(panel, (11, MARK), (11, FREE + 6)),
        panel.words(17, 66, "count"),
        panel.words(126, 76, "mark"),
        *panel.pointer((124, 94), (106, 102)),
        panel.words(126, 98, "free", strong=True),
    ]


def _going_back(panel: Sketch) -> list[Element]:
    mark = [((MIDDLE + 22, MARK - 15), (MIDDLE + 22, MARK - 1)), ((MIDDLE + 22, FACE), (MIDDLE + 22, FACE + 12))]
    return [
        *riser_block(panel, MIDDLE, FACE, PANEL, HIGH, key="riser-2"),
        panel.stroke(bolt_outline(MIDDLE, FREE, FREE + LONG), "qt-bow-before"),
        *turning(
            panel, (MIDDLE, MARK + 9), 30, 7, out=False, over=bolt(panel, MIDDLE, MARK, MARK + LONG, key="bolt-2")
        ),
        *(panel.line(*ends, "qt-line") for ends in mark),
        *way(panel, (11, FREE + 6), (11, MARK)),
        panel.words(17, 66, "count"),
        panel.words(126, 80, "mark"),
    ]


# How far the head rises

RISE = 14.0
LOW = 62.0  # the head's upper face before it rises


def _risen(panel: Sketch, state: int, up: float) -> list[Element]:
    top = LOW - up
    drawn = bolt(panel, MIDDLE, top + 20, HIGH - up, key=f"bolt-{state}")
    return [
        *riser_block(panel, MIDDLE, FACE, PANEL, HIGH, key=f"riser-{state}"),
        *(turning(panel, (MIDDLE, top + 30), 32, 6, out=True, over=drawn) if up else drawn),
        *depth_caliper(panel, MIDDLE - REACH - 7, 4, top, FACE),
    ]


def _before(panel: Sketch) -> list[Element]:
    return [*_risen(panel, 1, 0), panel.line((MIDDLE + REACH, LOW), (PANEL, LOW), "qt-zero-line")]


def _after(panel: Sketch) -> list[Element]:
    top, x, end = LOW - RISE, PANEL - 24, PANEL - 10
    return [
        *_risen(panel, 2, RISE),
        panel.line((0, LOW), (50, LOW), "qt-zero-line"),
        panel.line((MIDDLE + REACH + 2, LOW), (end, LOW), "qt-zero-line"),
        panel.line((MIDDLE + REACH + 2, top), (end, top), "qt-zero-line"),
        *(panel.line((x - 5, y), (x + 5, y), "qt-gap") for y in (top, LOW)),
        panel.line((x, top), (x, LOW), "qt-gap", key="rise"),
        panel.words(x, 80, "rise", anchor="middle", strong=True),
    ]


# Two kinds of butt, the limb off and seen from above

BUTT_HIGH = 116.0
BUTT_TOP, BUTT_LOW, BUTT_END = 22.0, 94.0, 22.0
BUTT_MIDDLE = (BUTT_TOP + BUTT_LOW) / 2
BOLT_AT = 62.0


def _butt_outline(slot: list[Point]) -> list[Point]:
    """The butt from above, its end to the left; what is open there is given from its upper corner to its lower."""
    corner = 5.0
    return [
        (PANEL, BUTT_TOP), (BUTT_END + corner, BUTT_TOP), (BUTT_END, BUTT_TOP + corner), *slot,
        (BUTT_END, BUTT_LOW - corner), (BUTT_END + corner, BUTT_LOW), (PANEL, BUTT_LOW),
    ]  # fmt: skip


def _slotted(panel: Sketch) -> list[Element]:
    half = SHANK + 2.0
    slot = [(BUTT_END, BUTT_MIDDLE - half), *arc((BOLT_AT + 4, BUTT_MIDDLE), half, -90, 90),
            (BUTT_END, BUTT_MIDDLE + half)]  # fmt: skip
    outline = _butt_outline(slot)
    return [
        *panel.body(outline, "limb", edge=outline, key="slotted"),
        panel.dot((BOLT_AT, BUTT_MIDDLE), REACH, "qt-bolt-far", key="head"),
        panel.words(PANEL - 8, BUTT_TOP + 18, "limb", anchor="end", over="limb"),
        *panel.pointer((BOLT_AT + 50, BUTT_MIDDLE), (BOLT_AT + REACH, BUTT_MIDDLE)),
        panel.words(BOLT_AT + 54, BUTT_MIDDLE + 5, "head", over="limb"),
    ]


def _bored(panel: Sketch) -> list[Element]:
    outline = _butt_outline([])
    hole = arc((BOLT_AT, BUTT_MIDDLE), SHANK, 0, 350, 30)
    return [
        *panel.body(outline, "limb", edge=outline, key="bored"),
        *panel.body(hole, "window", key="hole"),
        *panel.body(arc((BOLT_AT + 52, BUTT_MIDDLE), 6.0, 0, 340, 18), "window"),
        panel.words(PANEL - 8, BUTT_TOP + 18, "limb", anchor="end", over="limb"),
        panel.words(BOLT_AT + 64, BUTT_MIDDLE + 5, "pin", over="limb"),
    ]


LIMB_OFF = (
    Step(
        "head_width",
        "How wide the head is",
        "A bolt in the riser, from the side, the limb taken off. The jaws of a caliper lie against both sides of the"
        " head, at its flat underside.",
        158.0,
        one(158.0, _across_head),
    ),
    Step(
        "thread_out",
        "Count the thread out, and come back",
        "First (1) the bolt is turned out from the mark, the limb off, and the turns are counted until it comes free of"
        " the riser. Then (2) it is turned back in by the same count, to the mark.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_coming_out, _going_back), ("1 out until free", "2 back, same count")),
    ),
    Step(
        "rise",
        "How far the head rises in four turns",
        "With the limb off, a caliper stands on the head, its rod down to the riser's face. First (1) it measures the"
        " height before, then (2) the height after four turns out; how far the head has risen is marked beside it.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_before, _after), ("1 before", "2 four turns out")),
    ),
    Step(
        "butt_kinds",
        "A slotted butt and a butt with a hole",
        "Two limbs taken off, their butts seen from above with the end to the left. On the left a slot is open at the"
        " end, and a dashed ring shows the head that lies over it; on the right are a round hole for the bolt and a"
        " small one for a pin.",
        BUTT_HIGH + FOOT + 2,
        two(BUTT_HIGH + FOOT + 2, (_slotted, _bored), ("slot: hooks in", "hole: bolt through")),
    ),
)
