"""What to look for on the limbs: cracks, lifting layers, twist, the tips."""

from __future__ import annotations

import math

from drawings.inspection.parts import PANEL, Subject, below, pair
from drawings.sketch import Point, Sketch, box, curve
from quarterturn.figures.svg import Element

NEAR, FAR = 1.0, PANEL - 1.0  # where a limb that goes on ends at the panel's frame


# Cracks, by the light on the face


def _face(panel: Sketch) -> list[Element]:
    upper, lower = ((NEAR, 22.0), (FAR, 27.0)), ((NEAR, 66.0), (FAR, 61.0))
    return [
        panel.fill([*upper, *reversed(lower)], "qt-limb"),
        *(panel.line(*edge, "qt-limb-line") for edge in (upper, lower)),
    ]


def _shine(panel: Sketch, start: float, end: float, aside: float = 0.0) -> Element:
    high, low = 36 + aside, 45 + aside
    return panel.fill([(start, high), (end, high), (end, low), (start, low)], "qt-light")


def _whole_face(panel: Sketch) -> list[Element]:
    return [*_face(panel), _shine(panel, NEAR, FAR), below("shine runs on")(panel)]


def _cracked_face(panel: Sketch) -> list[Element]:
    return [
        *_face(panel),
        _shine(panel, NEAR, 67),
        _shine(panel, 74, FAR, 4),
        panel.crack((71, 26), (69, 63), wander=3.0, steps=9),
        panel.crack((12, 58), (52, 56), wander=1.6, steps=8),
        *panel.pointer((76, 12), (72, 29)),
        panel.words(112, 15, "crack", anchor="end"),
        below("shine breaks")(panel),
    ]


# Layers, from the edge


def _layers(panel: Sketch, tops: list[list[Point]]) -> list[Element]:
    drawn: list[Element] = []
    for rank, (top, low) in enumerate(zip(tops[0::2], tops[1::2], strict=True)):
        hatched = "limb" if rank % 2 else None
        drawn += panel.body([*top, *reversed(low)], "limb", hatched=hatched, edge=[*reversed(top), *low])
    return drawn


def _level(y: float, thick: float, start: float = 8.0) -> list[list[Point]]:
    return [[(start, y), (FAR, y)], [(start, y + thick), (FAR, y + thick)]]


def _tight_layers(panel: Sketch) -> list[Element]:
    lines = [line for rank in range(4) for line in _level(30 + 9 * rank, 9)]
    return [*_layers(panel, lines), below("layers tight")(panel)]


def _lifting_layer(panel: Sketch) -> list[Element]:
    lines = [line for rank in range(1, 4) for line in _level(30 + 9 * rank, 9)]
    top = [*curve((10, 13), (44, 29), (72, 30)), (FAR, 30)]
    low = [*curve((8, 22), (44, 38), (72, 39)), (FAR, 39)]
    return [
        *_layers(panel, [top, low, *lines]),
        *panel.pointer((56, 17), (22, 33)),
        panel.words(59, 18, "gap"),
        below("layer lifts")(panel),
    ]


# Twist, from the tip along the string's line


def _along(panel: Sketch, turned: float, aside: float) -> list[Element]:
    """The limb as it runs away from the eye: near tip above, wide end by the riser below."""
    middle, far = PANEL / 2, 71.0
    tip = (middle + aside, 26.0)
    dx, dy = 9 * math.cos(turned), 9 * math.sin(turned)
    left, right = (tip[0] - dx, tip[1] - dy), (tip[0] + dx, tip[1] + dy)
    shape = [
        *curve((middle - 30, far), (middle - 16 + aside / 4, 52), left),
        *reversed(curve((middle + 30, far), (middle + 16 + aside / 4, 52), right)),
    ]
    end = [left, right, (right[0] - 5 * math.sin(turned), right[1] - 5), (left[0] - 5 * math.sin(turned), left[1] - 5)]
    return [
        *panel.body(box(middle - 40, far, middle + 40, far + 8), "riser"),
        *panel.body(shape, "limb"),
        *panel.body(end, "limb", hatched="limb"),
        panel.line((middle, 14), (middle, far + 8), "qt-middle"),
    ]


def _straight(panel: Sketch) -> list[Element]:
    return [*_along(panel, 0.0, 0.0), panel.words(68, 20, "tip"), below("line in middle")(panel)]


def _twisted(panel: Sketch) -> list[Element]:
    return [*_along(panel, math.radians(28), 12.0), panel.words(84, 20, "tip"), below("tip turned")(panel)]


# The tips


def _tip(panel: Sketch) -> list[Element]:
    """The tip from its face: it narrows to a round end, with a groove for the loop at each edge."""
    middle = 44.0
    upper: list[Point] = [
        (NEAR, 23), (61, 31.5), *curve((61, 31.5), (65, 33), (66, 38), 4), (70, 38.5), (73, 33), (94, 36),
        *curve((94, 36), (106, 37), (107, middle), 6),
    ]  # fmt: skip
    lower = [(x, 2 * middle - y) for x, y in reversed(upper)]
    edge = [*upper, *lower]
    return panel.body(edge, "limb", edge=edge)


def _whole_tip(panel: Sketch) -> list[Element]:
    return [
        *_tip(panel),
        *panel.pointer((60, 17), (68, 37)),
        panel.words(PANEL / 2, 15, "nock groove", anchor="middle"),
        below("edges smooth")(panel),
    ]


def _cracked_tip(panel: Sketch) -> list[Element]:
    return [
        *_tip(panel),
        panel.crack((68, 38.5), (24, 43), wander=2.0, steps=9),
        panel.crack((68, 49.5), (82, 46), wander=1.5, steps=5),
        *panel.pointer((60, 17), (50, 39)),
        panel.words(PANEL / 2, 15, "crack", anchor="middle"),
        below("groove cracked")(panel),
    ]


LIMBS = (
    Subject(
        "limb_cracks",
        "Cracks in a limb",
        "The face of a limb held to the light. In order: the shine runs on without a break. Not in order: the shine"
        " breaks and jumps where a hairline crack crosses it, and another crack runs along the limb.",
        pair(_whole_face, _cracked_face),
    ),
    Subject(
        "limb_layers",
        "Layers of a limb",
        "A limb seen from its edge. In order: its layers lie tight on one another. Not in order: the outermost layer"
        " lifts at its end, and a gap runs in under it.",
        pair(_tight_layers, _lifting_layer),
    ),
    Subject(
        "limb_twist",
        "Twist of a limb",
        "Looking along the limb from its tip, with the line in which the string runs. In order: the tip lies level and"
        " that line goes down the middle of the limb. Not in order: the tip is turned, and stands beside the line.",
        pair(_straight, _twisted),
    ),
    Subject(
        "limb_tips",
        "Tips and string nocks",
        "The tip of a limb with the grooves that hold the loop. In order: the grooves are whole and smooth. Not in"
        " order: cracks run from the bottom of a groove into the limb.",
        pair(_whole_tip, _cracked_tip),
    ),
)
