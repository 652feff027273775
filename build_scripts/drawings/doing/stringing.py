"""The string is put on with a stringer: its loops, the stringer, the lift, both tips, and the look along the string."""

from __future__ import annotations

import math

from drawings.doing.hands import Hand, gripping, pinching
from drawings.doing.parts import FOOT, LEFT, WIDTH, Step, arrow_head, one, two, way
from drawings.sketch import Point, Sketch, Tilted, arc, box, curve, mirrored, smooth, tapered
from quarterturn.figures import svg
from quarterturn.figures.svg import Element

HIGH = 146.0  # of two panels

# A limb's tip, seen from the side of the string; "up" is toward the tip

MIDDLE = 112.0
TIP, NOCK = 12.0, 34.0  # how far the tip's end and its grooves are from the panel's end
NOTCH = 9.0  # half the width between the two grooves


def _half(down: float) -> float:
    """Half the limb's width, so far from the panel's end."""
    return 14.0 + 0.085 * (down - NOCK)


class _Tip:
    """A limb's tip in a panel: the upper one at its top, the lower one upside down at its foot."""

    def __init__(self, panel: Sketch, *, lower: bool = False) -> None:
        self.panel = panel
        self.lower = lower
        self.side = 2 if lower else 1

    def at(self, aside: float, down: float) -> Point:
        return MIDDLE + aside, (HIGH - down if self.lower else down)

    def line(self, points: list[Point]) -> list[Point]:
        return [self.at(*point) for point in points]

    def limb(self) -> list[Element]:
        right = [
            *smooth([(0, TIP), (8, TIP + 3), (12, NOCK - 9)]),
            *smooth([(NOTCH + 2, NOCK - 5), (NOTCH, NOCK), (NOTCH + 2, NOCK + 5)]),
            (_half(NOCK + 9), NOCK + 9),
            (_half(HIGH), HIGH),
        ]
        outline = self.line([*mirrored(right, 0.0)[::-1], *right])
        return self.panel.body(outline, "limb", edge=outline, key=f"limb-{self.side}")

    def limb_in_loop(self, back: float, joint: float, aside: float) -> list[Element]:
        """The limb with a loop round it: behind it at `back`, to `aside` on both its edges, and joined at `joint`."""
        strand = curve((aside, back), (aside - 2, (back + joint) / 2), (0, joint))
        whole = self.line([*mirrored(strand, 0.0), *strand[-2::-1]])
        behind = self.line([(aside, back), (aside - 4, back - 3), (4 - aside, back - 3), (-aside, back)])
        return [
            *_cord(self.panel, [whole[-2], *behind, whole[1]]),
            *self.limb(),
            self.panel.stroke(behind[1:3], "qt-slot"),
            *_cord(self.panel, whole, key=f"loop-{self.side}"),
        ]

    def string(self, joint: float, *, end: float = HIGH) -> list[Element]:
        """The string from where the loop is joined, with the serving round its first part."""
        serving = [
            self.panel.line(self.at(-3.5, down), self.at(3.5, down + 3), "qt-bolt-line")
            for down in (joint + 5, joint + 10, joint + 15)
        ]
        return [*_cord(self.panel, self.line([(0, joint), (0, end)]), key=f"string-{self.side}"), *serving]

    def way(self, aside: float, start: float, end: float) -> list[Element]:
        return way(self.panel, self.at(aside, start), self.at(aside, end))


def _cord(sketch: Sketch, points: list[Point], *, key: str | None = None) -> list[Element]:
    """A string or cord seen near: a light line with dark edges."""
    return [sketch.stroke(points, "qt-cord", key=key), sketch.stroke(points, "qt-cord-inner")]


SLID, JOINED = 62.0, 112.0


def _larger(panel: Sketch) -> list[Element]:
    tip = _Tip(panel)
    return [
        *tip.limb_in_loop(SLID, JOINED, _half(SLID) + 3),
        *tip.string(JOINED),
        *tip.way(-46, 50, 92),
        panel.words(8, 24, "upper tip"),
        panel.words(8, 42, "nock"),
        *panel.pointer((44, 38), tip.at(-NOTCH - 3, NOCK)),
    ]


def _smaller(panel: Sketch) -> list[Element]:
    tip = _Tip(panel, lower=True)
    return [
        *tip.limb_in_loop(NOCK, NOCK + 27, NOTCH + 3.5),
        *tip.string(NOCK + 27),
        panel.words(8, 132, "lower tip"),
        panel.words(8, HIGH - NOCK + 6, "nock"),
        *panel.pointer((44, HIGH - NOCK + 2), tip.at(-NOTCH - 3, NOCK)),
    ]


# The whole bow, level, the side of the string down: at rest, and bent by the stringer

REST: tuple[Point, ...] = ((50, 3), (78, 5), (108, 13), (132, 20), (146, 17), (153, 5))
BENT: tuple[Point, ...] = ((50, 3), (78, 9), (106, 25), (128, 43), (141, 50), (151, 46))
"""A limb's middle, from where it leaves the riser to its tip."""
RISER: tuple[Point, ...] = (
    (-60, 0), (-46, -4), (-28, 2), (0, -1), (28, 2), (46, -4), (60, 0), (58, 11), (42, 15), (30, 14), (20, 26),
    (10, 27), (0, 14), (-8, 20), (-16, 16), (-40, 15), (-58, 11),
)  # fmt: skip
"""The riser's outline; its grip is at the origin."""


class _Bow:
    """The bow lying level in a drawing: its grip's place, its size, and how its limbs are."""

    def __init__(self, sketch: Sketch, grip: Point, size: float, limb: tuple[Point, ...]) -> None:
        self.sketch = sketch
        self.grip = grip
        self.size = size
        self.middle = smooth(list(limb))

    def at(self, x: float, y: float) -> Point:
        return self.grip[0] + self.size * x, self.grip[1] + self.size * y

    def upper(self, along: float) -> Point:
        """A point of the upper limb's middle, so far from the grip; the upper limb is on the left."""
        x, y = min(self.middle, key=lambda point: abs(point[0] - along))
        return self.at(-x, y)

    @property
    def tip(self) -> Point:
        """The lower limb's tip."""
        return self.at(*self.middle[-1])

    def draw(self) -> list[Element]:
        right = tapered([self.at(*point) for point in self.middle], 9 * self.size + 1, 4)
        left = tapered([self.at(-x, y) for x, y in self.middle], 9 * self.size + 1, 4)
        riser = smooth([self.at(*point) for point in RISER], closed=True)
        return [
            *self.sketch.body(left, "limb"),
            *self.sketch.body(right, "limb"),
            *self.sketch.body(riser, "riser"),
        ]

    def cup(self) -> list[Element]:
        """The stringer's cup over the lower tip."""
        (x, y), (x0, y0) = self.tip, self.at(*self.middle[-6])
        over = [(x + (x - x0) * 0.35, y + (y - y0) * 0.35), (x0 - (x - x0) * 0.25, y0 - (y - y0) * 0.25)]
        return self.sketch.body(tapered(over, 9, 14), "window", hatched="limb", key="cup")

    def block(self, along: float) -> list[Element]:
        """The stringer's block across the back of the upper limb."""
        lies = self._across(along)
        up = 5.5 + 3 * self.size
        placed = [lies.at(x, y) for x, y in ((-10, up + 5), (10, up + 5), (10, up - 5), (-10, up - 5))]
        return self.sketch.body(placed, "window", hatched="limb", key="block")

    def loop(self, along: float, joint: Point) -> list[Element]:
        """The string's larger loop round the upper limb, from the side: both strands cross the limb."""
        lies = self._across(along)
        half = 4 + 2 * self.size
        strands = [joint, lies.at(5, -half), lies.at(3, half), lies.at(-3, half), lies.at(-5, -half), joint]
        return [self.sketch.stroke(strands, "qt-string", key="loop")]

    def _across(self, along: float) -> Tilted:
        """The upper limb's own frame there: its back is up."""
        (x, y), (x0, y0) = self.upper(along - 7), self.upper(along + 7)
        return Tilted(self.upper(along), math.atan2(y - y0, x - x0))


def _stringer_cord(sketch: Sketch, points: list[Point], key: str) -> list[Element]:
    """The stringer's cord: a band, where the bow's string is a line."""
    return sketch.body(tapered(points, 4.5, 4.5), "bolt", key=key)


BLOCK, LOOP = 98.0, 126.0


def _put_on(sketch: Sketch) -> list[Element]:
    bow = _Bow(sketch, (WIDTH / 2, 54.0), 1.0, REST)
    block, tip = bow.upper(BLOCK), bow.tip
    joint = (bow.upper(LOOP)[0] + 13, bow.upper(LOOP)[1] + 20)
    hanging = smooth([(block[0], block[1] - 8), (block[0] + 2, 78), (86, 120), (150, 142), (220, 136), (290, 104), tip])
    slack = smooth([joint, (110, 102), (180, 108), (250, 100), (306, 76), (tip[0] - 4, tip[1] + 6)])
    return [
        sketch.stroke(slack, "qt-string", key="string"),
        *bow.draw(),
        *bow.loop(LOOP, joint),
        *_stringer_cord(sketch, hanging, "cord"),
        *bow.block(BLOCK),
        *bow.cup(),
        sketch.words(8, 24, "upper limb", strong=True),
        sketch.words(332, 24, "lower limb", anchor="end", strong=True),
        sketch.words(78, 42, "block"),
        sketch.words(276, 46, "cup"),
        sketch.words(196, 98, "string"),
        sketch.words(170, 162, "cord"),
    ]


# The lift: from the front, and from the side

FLOOR = 174.0
FRONT, SIDE = 226.0, 106.0
BESIDE = LEFT + FRONT + 6.0
STEP: Point = (113.0, 162.0)  # where the foot is on the cord


def _lift(whole: Sketch) -> list[Element]:
    drawn: list[Element] = []
    for left, wide, part in ((LEFT, FRONT, _from_front), (BESIDE, SIDE, _from_side)):
        frame = (left, 1.0, wide, 188.0)
        drawn += [
            svg.rect(*frame, class_="qt-window"),
            *part(Sketch(whole.prefix, left, 0.0, whole.size)),
            svg.rect(*frame, class_="qt-frame"),
        ]
    return drawn


def _from_front(panel: Sketch) -> list[Element]:
    x, foot = STEP
    bow = _Bow(panel, (x, 84.0), 0.68, BENT)
    block, tip, loop = bow.upper(BLOCK - 8), bow.tip, bow.upper(134)
    joint = (loop[0] + 15, loop[1] + 6)
    slack = smooth([joint, (x - 40, tip[1] + 10), (x + 50, tip[1] + 9), (tip[0] - 4, tip[1] + 2)])
    tight = [(block[0], block[1] - 6), (block[0] + 1, block[1] + 5), (x - 8, foot), (x + 8, foot), tip]
    return [
        *_leg(panel, x + 62, x + 40), *_leg(panel, x, x + 4),
        panel.line((1, FLOOR), (FRONT - 1, FLOOR), "qt-bolt-line"),
        panel.stroke(slack, "qt-string", key="string"),
        *bow.draw(),
        *bow.loop(134, joint),
        *_stringer_cord(panel, tight, "cord"),
        *bow.block(BLOCK - 8), *bow.cup(),
        *_shoe(panel, x, key="foot"),
        *gripping(panel, Hand((x + 2, 90), 90, 0.62, sleeve=66)),
        *pinching(panel, Hand((loop[0] + 4, loop[1] - 1), 84, 0.5, sleeve=20)),
        panel.line((90, 68), (90, 34), "qt-dimension qt-dimension-strong", key="lift"),
        *arrow_head(panel, (90, 68), (90, 34)),
        panel.words(6, 22, "straight up", strong=True),
        panel.words(84, 162, "cord", anchor="end"),
        panel.words(8, 138, "loop"),
    ]  # fmt: skip


def _leg(panel: Sketch, foot: float, hip: float) -> list[Element]:
    """A trouser leg from the front, and its shoe."""
    outline = [(hip - 17, 1.0), (hip + 17, 1.0), (foot + 10, 158.0), (foot - 10, 158.0)]
    return [*panel.body(outline, "window", edge=[outline[0], outline[3], outline[2], outline[1]]), *_shoe(panel, foot)]


def _shoe(panel: Sketch, foot: float, *, key: str | None = None) -> list[Element]:
    toe = smooth([(foot - 9, 155), (foot + 9, 155), (foot + 12, 166), (foot + 11, FLOOR), (foot - 11, FLOOR),
                  (foot - 12, 166)], closed=True)  # fmt: skip
    return panel.body(toe, "window", hatched="fault", key=key)


def _from_side(panel: Sketch) -> list[Element]:
    plane, y = 42.0, 92.0
    hip: Point = (70.0, 104.0)
    shoulder: Point = (74.0, 62.0)
    return [
        panel.line((1, FLOOR), (SIDE - 1, FLOOR), "qt-bolt-line"),
        panel.line((plane, 30), (plane, 166), "qt-axis", key="plane"),
        *_stringer_cord(panel, [(plane, y), (plane, 163)], "cord-2"),
        *panel.body(tapered([hip, (80, 138), (86, 168)], 17, 11), "window"),
        *panel.body(tapered([hip, (54, 134), (54, 164)], 17, 11), "window"),
        *_shoe_aside(panel, 88), *_shoe_aside(panel, 55),
        *panel.body(smooth([(64, 56), (78, 52), (86, 62), (82, 90), (80, 112), (60, 110), (62, 84), (61, 64)],
                           closed=True), "window"),
        *panel.body(arc((76, 37), 12, 0, 350, 30), "window", key="head"),
        panel.stroke(arc((76, 37), 12, 180, 320, 10), "qt-dimension-strong qt-dimension"),
        *panel.body(tapered([shoulder, (60, 84), (plane + 3, y - 4)], 12, 8), "window"),
        *panel.body(box(plane - 6, y - 8, plane + 6, y + 8), "riser", key="bow"),
        *way(panel, (plane - 18, 84), (plane - 18, 50)),
        panel.words(6, 20, "face clear", strong=True),
        panel.words(6, 118, "bow"),
    ]  # fmt: skip


def _shoe_aside(panel: Sketch, heel: float) -> list[Element]:
    outline = smooth([(heel + 8, 162), (heel + 8, FLOOR), (heel - 18, FLOOR), (heel - 17, 168), (heel - 7, 162)],
                     closed=True)  # fmt: skip
    return panel.body(outline, "window", hatched="fault")


# Both tips, the string in their grooves

SEATED = NOCK + 27


def _upper_seated(panel: Sketch) -> list[Element]:
    tip = _Tip(panel)
    return [
        *panel.body(box(MIDDLE - 38, HIGH - 36, MIDDLE + 38, HIGH - 20), "window", hatched="limb"),
        *tip.limb_in_loop(NOCK, SEATED, NOTCH + 3.5),
        *tip.string(SEATED),
        panel.words(8, 38, "groove"),
        *panel.pointer((64, 34), tip.at(-NOTCH - 3, NOCK)),
        panel.words(8, 86, "middle"),
        *panel.pointer((64, 82), tip.at(-3, 82)),
        panel.words(8, HIGH - 24, "block"),
    ]


def _lower_seated(panel: Sketch) -> list[Element]:
    tip = _Tip(panel, lower=True)
    cup = tip.line([(-24, 62), *smooth([(-24, 62), (-22, 20), (-12, 4), (12, 4), (22, 20), (24, 62)])[1:-1], (24, 62)])
    return [
        *tip.limb_in_loop(NOCK, SEATED, NOTCH + 3.5),
        *tip.string(SEATED),
        panel.stroke([*cup, cup[0]], "qt-bow-before"),
        panel.words(8, 70, "cup"),
        *panel.pointer((64, 69), tip.at(-24, 61)),
    ]


# Looking along the string

THIRD, ROOM = 108.0, 7.0  # a panel's width, and what lies between them
TALL = 166.0
HUB = THIRD / 2


def _three(whole: Sketch) -> list[Element]:
    drawn: list[Element] = []
    words = ("1 right", "2 twisted", "3 off groove")
    for rank, (part, said) in enumerate(zip((_in_line, _twisted, _off_groove), words, strict=True)):
        left = LEFT + rank * (THIRD + ROOM)
        frame = (left, 1.0, THIRD, TALL)
        drawn += [
            svg.rect(*frame, class_="qt-window"),
            *part(Sketch(whole.prefix, left, 1.0, whole.size)),
            svg.rect(*frame, class_="qt-frame"),
            whole.words(left + 2, TALL + 19, said, strong=True),
        ]
    return drawn


def _straight() -> list[Point]:
    """The upper limb from the side of the string."""
    right: list[Point] = [(0, 6), (7, 9), (10, 17), (7.5, 21), (10, 25), (18, 66)]
    return [(HUB - x, y) for x, y in reversed(right)] + [(HUB + x, y) for x, y in right]


def _upright(panel: Sketch, limb: list[Point], state: int) -> list[Element]:
    """The whole bow, upright, with that upper limb."""
    lower = [(x, TALL - y) for x, y in _straight()]
    half: list[Point] = [(22, 62), (20, 70), (10, 76), (10, 91), (20, 97), (22, 104)]
    riser = [(HUB + x, y) for x, y in half] + [(HUB - x, y) for x, y in reversed(half)]
    return [
        *panel.body(lower, "limb"),
        *panel.body(limb, "limb", key=f"upper-{state}"),
        *panel.body(riser, "riser"),
    ]


def _seen(panel: Sketch, state: int, joint: Point, ends: tuple[Point, Point]) -> list[Element]:
    """The string from the joint of the upper loop, whose strands end there, to the lower tip."""
    low, foot = (HUB, TALL - 38), TALL - 21
    return [
        panel.line(joint, low, "qt-string qt-dimension-strong", key=f"string-{state}"),
        panel.stroke([ends[0], joint, ends[1]], "qt-string qt-dimension-strong", key=f"strands-{state}"),
        panel.stroke([(HUB - 8, foot), low, (HUB + 8, foot)], "qt-string qt-dimension-strong"),
    ]


def _in_line(panel: Sketch) -> list[Element]:
    return [*_upright(panel, _straight(), 1), *_seen(panel, 1, (HUB, 38), ((HUB - 8, 21), (HUB + 8, 21)))]


def _twisted(panel: Sketch) -> list[Element]:
    face: list[Point] = [(HUB + 1, 13), (HUB + 7, 8), (HUB + 14, 10), (HUB + 17, 18), (HUB + 16, 22), (HUB + 19, 27),
                         (HUB + 20, 44), (HUB + 18, 66), (HUB - 18, 66), (HUB - 11, 44), (HUB - 3, 26)]  # fmt: skip
    side: list[Point] = [(HUB + 1, 13), (HUB - 3, 26), (HUB - 11, 44), (HUB - 18, 66), (HUB - 19, 44), (HUB - 14, 26),
                         (HUB - 9, 14), (HUB - 2, 7), (HUB + 7, 8)]  # fmt: skip
    return [
        *_upright(panel, face, 2),
        *panel.body(side, "limb", hatched="limb"),
        *_seen(panel, 2, (HUB + 1, 40), ((HUB, 21), (HUB + 15, 22))),
    ]


def _off_groove(panel: Sketch) -> list[Element]:
    return [*_upright(panel, _straight(), 3), *_seen(panel, 3, (HUB - 12, 36), ((HUB - 9, 20), (HUB + 1, 8)))]


STRINGING = (
    Step(
        "string_loops",
        "The two loops of the string",
        "Both tips from the side of the string. On the left the larger loop is round the upper limb and has slid down"
        " it, away from the nock; on the right the smaller loop lies in the nock of the lower tip.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_larger, _smaller), ("larger loop", "smaller loop")),
    ),
    Step(
        "stringer_on",
        "The stringer on the bow",
        "The unstrung bow is level, the side of the string down. The cup of the stringer covers the lower tip, its"
        " block lies across the back of the upper limb between riser and loop, and the cord hangs below the string.",
        170.0,
        one(170.0, _put_on),
    ),
    Step(
        "stringer_lift",
        "Foot on the cord, lift the bow",
        "From the front, a foot holds the cord on the floor, one hand lifts the level bow straight up by its grip, and"
        " the other slides the loop to the tip. From the side, the head is behind the upright plane of bow and cord.",
        190.0,
        _lift,
    ),
    Step(
        "loops_seated",
        "Both loops in their grooves",
        "Both tips from the side of the string, the stringer still on. On the left, at the upper tip, and on the right,"
        " at the lower tip under the cup, the loop lies in the grooves on both sides, and the string leaves in the"
        " middle of the limb.",
        HIGH + FOOT + 2,
        two(HIGH + FOOT + 2, (_upper_seated, _lower_seated), ("upper: both sides", "lower: both sides")),
    ),
    Step(
        "string_line",
        "Looking along the string",
        "The strung bow upright, from behind: (1) the string runs down the middle of both limbs. It is wrong where (2)"
        " the upper limb is twisted, so that its edge shows and the string runs beside its middle, or (3) the loop is"
        " out of one groove and the string runs off to that side.",
        TALL + FOOT + 2,
        _three,
    ),
)
