"""The steps with the limb in its pocket: the tip is eased, paper finds both ends, and the cover is measured."""

from __future__ import annotations

import math

from drawings.doing.hands import Hand, pushing
from drawings.doing.parts import (
    FOOT,
    PANEL,
    REACH,
    SHANK,
    WIDTH,
    Step,
    head,
    one,
    two,
    way,
)
from drawings.sketch import Point, Sketch, Tilted, arc, box, smooth, threaded
from quarterturn.figures import svg
from quarterturn.figures.svg import Element

# The tip is eased

AXIS, UNDER, FLOOR = 88.0, 54.0, 124.0
DEPTH = 24.0
TILT, BEFORE = math.radians(7.0), math.radians(2.0)
FULCRUM = 190.0
EDGE, LOW = WIDTH - 1.5, 158.5


def _eased(sketch: Sketch) -> list[Element]:
    """The whole limb, shortened: its butt lifted against the head, and as it lay before."""
    back = Tilted((AXIS - 21, UNDER), TILT)
    bearing = back.over(FULCRUM, -DEPTH)
    lifted = _limb_outline(back)
    turned = [_about(bearing, point, BEFORE - TILT) for point in lifted]
    tip = back.at(226, -2)
    riser = [
        (1.5, LOW), (1.5, 84), (30, 84), (34, 88), (34, FLOOR), (160, FLOOR), (FULCRUM - 9, bearing[1] + 7),
        (FULCRUM + 9, bearing[1] + 7), (FULCRUM + 17, bearing[1] + 14), (FULCRUM + 24, LOW),
    ]  # fmt: skip
    foot = [sketch.at(p) for p in (bearing, (bearing[0] + 7, bearing[1] + 9), (bearing[0] - 7, bearing[1] + 9))]
    return [
        *sketch.body(riser, "riser"),
        *sketch.body(box(AXIS - SHANK - 11, FLOOR, AXIS + SHANK + 11, LOW), "window", hatched="riser"),
        *sketch.body(
            [(AXIS - SHANK, UNDER), (AXIS + SHANK, UNDER), *threaded(AXIS - SHANK, AXIS + SHANK, FLOOR - 4, LOW)],
            "bolt",
        ),
        *sketch.body(lifted, "limb"),
        *(sketch.line(back.over(x), back.over(x, -DEPTH), "qt-bolt-far") for x in (AXIS - SHANK, AXIS + SHANK)),
        sketch.stroke([*turned, turned[0]], "qt-bow-before"),
        *head(sketch, AXIS, UNDER),
        svg.polygon(foot, class_="qt-fulcrum"),
        sketch.dot(back.origin, 4.5, "qt-contact", key="contact"),
        *way(sketch, (48, 112), (48, 88)),
        *pushing(sketch, Hand((tip[0] - 4, tip[1] - 1), 112, 0.85, mirrored=True, sleeve=10)),
        *way(sketch, (tip[0] - 36, tip[1] - 42), (tip[0] - 36, tip[1] - 16)),
        sketch.words(8, 22, "butt rises", strong=True),
        sketch.words(tip[0] - 46, 38, "light push", anchor="end", strong=True),
        sketch.words(330, 148, "toward archer ↓", anchor="end"),
        sketch.words(132, back.over(146, -DEPTH / 2)[1] + 4, "limb", over="limb"),
    ]


def _limb_outline(back: Tilted) -> list[Point]:
    upper = [back.at(0), back.at(120), back.at(224, -1), back.at(236, -4)]
    lower = [back.at(234, -9), back.at(222, -10), back.at(136, -DEPTH), back.at(0, -DEPTH)]
    return [*upper, *lower]


def _about(centre: Point, point: Point, angle: float) -> Point:
    cosine, sine = math.cos(angle), math.sin(angle)
    x, y = point[0] - centre[0], point[1] - centre[1]
    return centre[0] + x * cosine - y * sine, centre[1] + x * sine + y * cosine


# A strip of paper, under the head

MIDDLE = 78.0
HIGH, BED = 128.0, 44.0  # the panels' height, and the underside's
CORNER = MIDDLE - 21  # the butt's
PAPER = 4.0  # the strip's thickness, larger than it is


def _under_head(panel: Sketch, back: Tilted, state: int) -> list[Element]:
    """The head over the butt, whose corner is the frame's origin; the limb goes on to the right and below."""
    under, bottom = BED, HIGH
    corner, far = back.at(0), back.over(PANEL)
    low = (corner[0] - (bottom - corner[1]) * math.tan(back.angle), bottom)
    shank = [(x, y) for x in (MIDDLE - SHANK, MIDDLE + SHANK) for y in (bottom, under)]
    return [
        *panel.body([shank[0], shank[1], shank[3], shank[2]], "bolt", edge=[shank[0], shank[1], shank[3], shank[2]]),
        *panel.body([corner, far, (PANEL, bottom), low], "limb", edge=[low, corner, far]),
        panel.line(corner, far, "qt-limb-back", key=f"back-{state}"),
        *(panel.line(back.over(x), (x, bottom), "qt-bolt-far") for x in (MIDDLE - SHANK, MIDDLE + SHANK)),
        panel.line((MIDDLE, 6), (MIDDLE, bottom), "qt-axis"),
        *head(panel, MIDDLE, under, 26.0, key=f"underside-{state}"),
    ]


def _strip(panel: Sketch, points: list[Point], key: str) -> list[Element]:
    """A strip of paper along a line."""
    lower = [(x, y + PAPER) for x, y in reversed(points)]
    placed = [panel.at(point) for point in [*points, *lower]]
    return [svg.polygon(placed, class_="qt-strip", id=f"{panel.prefix}-{key}")]


def _goes_in(panel: Sketch) -> list[Element]:
    back = Tilted((CORNER, BED), math.radians(14))
    return [
        *_under_head(panel, back, 1),
        *_strip(panel, [(MIDDLE + 5, BED + 2), (PANEL - 4, BED + 2)], "strip-1"),
        panel.dot(back.origin, 4.5, "qt-contact", key="contact-1"),
        *way(panel, (PANEL - 10, BED - 12), (PANEL - 40, BED - 12)),
        panel.words(PANEL - 6, 22, "strip", anchor="end"),
        panel.words(PANEL - 8, HIGH - 12, "limb", anchor="end", over="limb"),
    ]


def _stops(panel: Sketch) -> list[Element]:
    back = Tilted((CORNER, BED), math.radians(1.6))
    rim = MIDDLE + REACH
    buckled = smooth(
        [(rim + 1, BED - 1), (rim + 10, BED - 3), (rim + 26, BED - 11), (rim + 42, BED - 6), (162, BED - 8)]
    )
    return [
        *_under_head(panel, back, 2),
        *_strip(panel, buckled, "strip-2"),
        panel.dot(back.origin, 4.5, "qt-contact", key="contact-2"),
        panel.words(PANEL - 8, HIGH - 12, "limb", anchor="end", over="limb"),
    ]


def _passes(panel: Sketch) -> list[Element]:
    back = Tilted((CORNER, BED + 9), math.radians(16))
    return [
        *_under_head(panel, back, 1),
        *_strip(panel, [(4, BED + 2.5), (MIDDLE + 8, BED + 2.5)], "strip-1"),
        *way(panel, (8, BED - 10), (36, BED - 10)),
        panel.words(6, 22, "strip"),
        panel.words(PANEL - 8, HIGH - 12, "limb", anchor="end", over="limb"),
    ]


def _stops_at_butt(panel: Sketch) -> list[Element]:
    back = Tilted((CORNER, BED + 0.5), math.radians(16))
    buckled = smooth([(4, BED + 8), (18, BED + 9), (32, BED + 14), (46, BED + 6), (CORNER, BED + 1)])
    return [
        *_under_head(panel, back, 2),
        *_strip(panel, buckled, "strip-2"),
        panel.dot((CORNER, BED), 4.5, "qt-contact", key="contact-2"),
        panel.words(PANEL - 8, HIGH - 12, "limb", anchor="end", over="limb"),
    ]


# Looking down on the head

HUB, RADIUS = (120.0, 80.0), 48.0
BUTT = HUB[0] - 28.0
PRONGS = (12.0, 148.0)  # the limb's two edges
SLOT = 19.0  # half its width


def _from_above(sketch: Sketch) -> list[Element]:
    top, low = PRONGS
    x, y = HUB
    root = x + RADIUS + 16
    slot: list[Point] = [
        (BUTT, y - SLOT),
        (root - SLOT, y - SLOT),
        *arc((root - SLOT, y), SLOT, -90, 90),
        (BUTT, y + SLOT),
    ]
    outline: list[Point] = [
        (WIDTH - 1.5, top),
        (BUTT, top),
        (BUTT, y - SLOT),
        *slot[1:-1],
        (BUTT, y + SLOT),
        (BUTT, low),
        (WIDTH - 1.5, low),
    ]
    rim, foot = x - RADIUS, low + 16
    return [
        *sketch.body(outline, "limb", edge=outline, key="limb"),
        *sketch.body(arc(HUB, RADIUS, 0, 355, 71), "bolt", key="head"),
        sketch.line((BUTT, y - 40), (BUTT, y - SLOT), "qt-slot"),
        sketch.line((BUTT, y + SLOT), (BUTT, y + 40), "qt-slot"),
        sketch.stroke(slot, "qt-slot"),
        *sketch.body(arc(HUB, 12, 0, 300, 5), "window"),
        sketch.line((rim, y), (rim, foot + 6), "qt-dimension", key="from-rim"),
        sketch.line((BUTT, low), (BUTT, foot + 6), "qt-dimension", key="from-butt"),
        *way(sketch, (rim - 24, foot), (rim - 4, foot)),
        *way(sketch, (BUTT + 24, foot), (BUTT + 4, foot)),
        sketch.words(BUTT + 34, foot + 4, "rim to butt", strong=True),
        sketch.words(x, y - 26, "head", anchor="middle", over="bolt"),
        sketch.words(196, top + 20, "prong", over="limb"),
        sketch.words(196, low - 10, "prong", over="limb"),
        sketch.words(196, y + 4, "slot", over="limb"),
        sketch.words(330, y + 4, "limb tip →", anchor="end", over="limb"),
    ]


LIMB_IN = (
    Step(
        "ease_tip",
        "Ease the tip toward the archer",
        "The limb in its pocket, from the side, shortened; dashed is how it lay before. A light push of one finger on"
        " the tip, toward the archer, lifts the butt until it touches the head of the bolt.",
        160.0,
        one(160.0, _eased),
    ),
    Step(
        "strip_at_rim",
        "A strip of paper at the rim of the head",
        "Head and butt from the side, the limb tip to the right, the tilt drawn larger than it is. First (1), outside"
        " flush, the strip goes in at the rim on the side toward the limb tip; then (2), farther in, it stops at the"
        " rim, and that place is zero.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_goes_in, _stops), ("1 it goes in", "2 it stops: zero")),
    ),
    Step(
        "strip_at_butt",
        "A strip of paper at the butt end",
        "Head and butt from the side, the limb tip to the right, the tilt drawn larger than it is. First (1), far out,"
        " the strip passes freely between head and butt end; then (2), coming in, it stops on the first prong, and that"
        " place is first touch.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_passes, _stops_at_butt), ("1 it passes freely", "2 stops: first touch")),
    ),
    Step(
        "rim_to_butt",
        "From the rim of the head to the butt end",
        "Looking down on the head over the slotted butt, the limb tip to the right. Measured is how far the butt end,"
        " where the two prongs end, lies inside the rim on the side away from the tip.",
        180.0,
        one(180.0, _from_above),
    ),
)
