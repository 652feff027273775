"""What to look for on the bolts: head, shank, thread, whether both are alike, and whether they turn."""

from __future__ import annotations

from drawings.inspection.parts import PANEL, Subject, below, bolt_outline, pair
from drawings.sketch import Point, Sketch, arc, box, threaded
from quarterturn.figures.svg import Element

MIDDLE = PANEL / 2


# The head, from the side and from below


def _head(panel: Sketch, outline: list[Point]) -> list[Element]:
    return panel.body(outline, "bolt")


def _from_below(panel: Sketch, rim: list[Point]) -> list[Element]:
    return [
        *panel.body(rim, "bolt"),
        *panel.body(arc((90, 40), 10, 0, 345, 20), "window", hatched="bolt"),
    ]


def _whole_head(panel: Sketch) -> list[Element]:
    return [
        *_head(panel, bolt_outline(32, 16, long=48)),
        *_from_below(panel, arc((90, 40), 23, 0, 350, 32)),
        panel.words(90, 78, "below", anchor="middle", quiet=True),
        below("even and whole")(panel),
    ]


def _dented_head(panel: Sketch) -> list[Element]:
    outline = bolt_outline(32, 16, long=48)
    corner = outline.index((58, 31))
    bitten = [*outline[:corner], (58, 26), (55, 27.5), (54, 25), (51, 28), (49.5, 31), *outline[corner + 1 :]]
    whole = arc((90, 40), 23, 12, 318, 28)
    bite: list[Point] = [(104, 25), (106, 31), (101.5, 31), (105, 36), (103, 41), (110, 43)]
    return [
        *_head(panel, bitten),
        panel.stroke(bitten[corner - 1 : corner + 6], "qt-crack"),
        panel.crack((19, 33), (45, 34), wander=1.6, steps=7),
        *_from_below(panel, [*whole, *bite]),
        panel.stroke([whole[-1], *bite, whole[0]], "qt-crack"),
        *panel.pointer((60, 13), (54, 24)),
        panel.words(62, 13, "dent"),
        *panel.pointer((54, 60), (40, 35)),
        panel.words(50, 74, "crack"),
        below("dented, cracked")(panel),
    ]


# The shank, rolled on a flat plate


def _rolled(panel: Sketch, bow: float) -> list[Element]:
    """A bolt lying on a plate with its head over the plate's edge; the middle of the shank is lifted by bow."""
    low, high, start, end = 60.0, 40.0, 22.0, 108.0

    def lifted(x: float) -> float:
        t = (x - start) / (end - start)
        return 4 * bow * t * (1 - t)

    steps = [start + (end - start) * rank / 20 for rank in range(21)]
    top: list[Point] = [(x, high + (1.8 if rank > 7 and rank % 2 else 0) - lifted(x)) for rank, x in enumerate(steps)]
    under: list[Point] = [(x, low - (1.8 if rank > 7 and rank % 2 else 0) - lifted(x)) for rank, x in enumerate(steps)]
    lean = bow / 5
    head: list[Point] = [(9 - lean, 26 + lean), (22 - lean, 26 - lean), (22 + lean, 74 - lean), (9 + lean, 74 + lean)]
    return [
        *panel.body(box(28, low, PANEL - 1, 76), "window", hatched="riser"),
        *panel.body([*top, *reversed(under)], "bolt"),
        *panel.body(head, "bolt"),
    ]


def _rolling(panel: Sketch) -> list[Element]:
    return panel.arrow(arc((66, 34), 20, 215, 325), size=6)


def _straight_shank(panel: Sketch) -> list[Element]:
    return [*_rolled(panel, 0.0), *_rolling(panel), below("lies flat")(panel)]


def _bent_shank(panel: Sketch) -> list[Element]:
    return [
        *_rolled(panel, 9.0),
        panel.line((65, 60), (65, 51), "qt-gap"),
        panel.line((61, 60), (69, 60), "qt-gap"),
        panel.line((61, 51), (69, 51), "qt-gap"),
        panel.words(72, 20, "bent", anchor="middle"),
        below("light below")(panel),
    ]


# The thread, from near


def _flank(panel: Sketch, crests: list[tuple[float, float, float]]) -> list[Element]:
    """Teeth on a shank: each a height and the heights of its crest's two corners."""
    points: list[Point] = []
    for rank, (top, left, right) in enumerate(crests):
        x = 8 + 17.0 * rank
        points += [(x, 52), (x + 6.5, top + left), (x + 10.5, top + right)]
    points.append((110, 52))
    edge = list(points)
    return [
        *panel.body([(8, 76), *edge, (110, 76)], "bolt", hatched="bolt", edge=edge),
        panel.line((8, 76), (110, 76), "qt-axis"),
    ]


def _clean_thread(panel: Sketch) -> list[Element]:
    return [*_flank(panel, [(30, 0, 0)] * 6), below("teeth alike")(panel)]


def _torn_thread(panel: Sketch) -> list[Element]:
    spoiled = [
        (25.0, 52.0), (29.0, 43.0), (36.0, 44.0), (41.0, 50.0), (46.0, 41.0), (53.0, 42.5), (59.0, 51.0), (62.0, 47.0),
        (65.0, 33.0), (72.0, 31.0), (70.0, 37.0), (74.0, 41.0), (71.0, 46.0), (76.0, 52.0),
    ]  # fmt: skip
    edge: list[Point] = [
        (8, 52), (14.5, 30), (18.5, 30), *spoiled, (82.5, 30), (86.5, 30), (93, 52), (99.5, 30), (103.5, 30), (110, 52),
    ]  # fmt: skip
    return [
        *panel.body([(8, 76), *edge, (110, 76)], "bolt", hatched="bolt", edge=edge),
        panel.stroke(spoiled, "qt-crack"),
        panel.line((8, 76), (110, 76), "qt-axis"),
        below("flat, torn teeth")(panel),
    ]


# Two bolts side by side


def _two(panel: Sketch, other: list[Point]) -> list[Element]:
    return [*panel.body(bolt_outline(32, 12, head=20, shank=9, long=50), "bolt"), *panel.body(other, "bolt")]


def _alike(panel: Sketch) -> list[Element]:
    heights = [panel.line((4, y), (113, y), "qt-zero-line") for y in (12, 27, 77)]
    return [
        *heights,
        *_two(panel, bolt_outline(84, 12, head=20, shank=9, long=50)),
        panel.words(MIDDLE, 56, "=", anchor="middle", strong=True),
        below("same in all")(panel),
    ]


def _unlike(panel: Sketch) -> list[Element]:
    heights = [panel.line((4, y), (113, y), "qt-zero-line") for y in (12, 27, 77)]
    return [
        *heights,
        *_two(panel, bolt_outline(84, 12, head=25, high=20, shank=9, long=31)),
        panel.words(MIDDLE, 56, "≠", anchor="middle", strong=True),
        panel.line((84, 64), (84, 76), "qt-gap"),
        panel.line((80, 64), (88, 64), "qt-gap"),
        panel.line((80, 76), (88, 76), "qt-gap"),
        below("not alike")(panel),
    ]


# Both bolts, turned by hand


def _turned(panel: Sketch, axis: float, *, stiff: bool) -> list[Element]:
    """A bolt in its bush, cut from the side, with the key in its head and how far a hand turns it."""
    head, floor, low = 36.0, 56.0, 80.0
    key: list[Point] = [
        (axis - 2, head), (axis - 2, 11), (axis + 24, 11), (axis + 24, 15), (axis + 2, 15), (axis + 2, head),
    ]  # fmt: skip
    bush = box(axis - 15, floor, axis + 15, low)
    shank: list[Point] = [(axis + 8, 46), *threaded(axis - 8, axis + 8, 48, low), (axis - 8, 46)]
    turn = [(axis + 15 * x, 25 + 5 * y) for x, y in arc((0, 0), 1, 265 if stiff else 200, 128 if stiff else -75, 12)]
    end = turn[-1]
    return [
        *panel.body(bush, "window", hatched="riser"),
        *panel.body(shank, "bolt"),
        *(panel.fault(box(axis - 8, floor + 1, axis + 8, low - 1)) if stiff else []),
        *panel.body(box(axis - 14, head, axis + 14, 46), "bolt", hatched="bolt"),
        *panel.arrow(turn, size=6),
        *panel.body(key, "window"),
        *([panel.line((end[0] + 2, end[1] - 5), (end[0] + 2, end[1] + 5), "qt-crack")] if stiff else []),
    ]


def _two_bolts(panel: Sketch, *, stiff: bool) -> list[Element]:
    return [
        *panel.body(box(1, 56, PANEL - 1, 80), "riser"),
        *_turned(panel, 30, stiff=False),
        *_turned(panel, 86, stiff=stiff),
        below("one is stiff" if stiff else "by hand, evenly")(panel),
    ]


def _both_turn(panel: Sketch) -> list[Element]:
    return _two_bolts(panel, stiff=False)


def _one_stiff(panel: Sketch) -> list[Element]:
    return _two_bolts(panel, stiff=True)


BOLTS = (
    Subject(
        "bolt_head",
        "The head of a limb bolt",
        "A bolt from the side and its head from below. In order: the rim is even and the corner under the head is"
        " whole. Not in order: the rim is dented, and a crack runs across the shank just under the head.",
        pair(_whole_head, _dented_head),
    ),
    Subject(
        "bolt_shank",
        "The shank of a limb bolt",
        "A bolt rolled on a flat plate, its head over the edge. In order: the shank lies on the plate along its length"
        " and rolls evenly. Not in order: the shank is bent, and light shows under its middle.",
        pair(_straight_shank, _bent_shank),
    ),
    Subject(
        "bolt_thread",
        "The thread of a limb bolt",
        "A thread from near, in outline. In order: all teeth are alike and whole. Not in order: some teeth are"
        " flattened and one is torn.",
        pair(_clean_thread, _torn_thread),
    ),
    Subject(
        "bolts_alike",
        "Both limb bolts side by side",
        "Two bolts side by side. In order: heads and lengths are the same. Not in order: the second bolt is shorter and"
        " its head is wider and higher.",
        pair(_alike, _unlike),
    ),
    Subject(
        "bolt_turns",
        "Both limb bolts turn",
        "Both bolts in the riser, cut from the side, the key in each head. In order: both turn by hand, evenly. Not in"
        " order: one is stiff, and its thread sticks in the bush.",
        pair(_both_turn, _one_stiff),
    ),
)
