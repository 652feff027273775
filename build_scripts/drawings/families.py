"""The families of limb bolts, each cut open from the side: one small drawing that shows what tells it from the others.

As in the side view, the limb's tip is to the right, the bolt upright, out is up. The drawings are schematic: parts
have likely proportions, and a tilt is drawn larger than it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from drawings.sketch import Point, Sketch, Tilted, arc, box, curve, drawing, threaded
from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture

HEIGHT = 150.0
LEFT, RIGHT, BOTTOM = 1.5, 238.5, 148.5  # where bodies that go on outside the picture end
AXIS = 84.0
SHANK = 13.0
REACH, ROUND = 27.0, 32.0  # half the head's width as cut over the prong, and of its full round
UNDERSIDE, HEAD = 59.0, 18.0
DEPTH = 24.0  # of the limb
FLOOR = 118.0
FULCRUM = 190.0
TILT = math.radians(5.5)
BUTT = 64.0
LEVEL = 58.0  # the back of a limb that does not tilt


@dataclass(frozen=True, slots=True)
class _Kind:
    """A family's words."""

    title: str
    telling: str
    description: str


_KINDS = {
    "flat": _Kind(
        "Plain flat head",
        "The butt leans on the head",
        "Cut from the side. The slotted butt of the limb lies under the flat head of the bolt. The limb rocks on a"
        " fulcrum, so only its butt end touches the head, and a gap opens toward the limb tip."
        " The tilt is drawn larger than it is.",
    ),
    "stop": _Kind(
        "Flat head with a stop",
        "A stop ends its travel",
        "Cut from the side. The head is flat and the butt leans on it, as with a plain flat head. A collar on the bolt"
        " meets the riser before the bolt is all the way in, and stops it there."
        " The tilt is drawn larger than it is.",
    ),
    "swivel": _Kind(
        "Head that swivels",
        "The cup stays flat on the limb",
        "Cut from the side. The head is round underneath and sits in a loose cup. The cup tilts with the limb and"
        " lies flat on its back all across, so no gap opens on either side."
        " The tilt is drawn larger than it is.",
    ),
    "pivot": _Kind(
        "Pocket that pivots",
        "Pocket and limb tilt on a pin",
        "Cut from the side. The limb is held fast in a pocket part of its own. The bolt moves the end of that part,"
        " which turns as a whole, limb and all, on a pin in the riser."
        " The tilt is drawn larger than it is.",
    ),
    "clamp": _Kind(
        "Bolt that only clamps",
        "It only holds the limb fast",
        "Cut from the side. The bolt goes through a hole in the limb and presses it flat on the riser. A locating pin"
        " beside it goes through the limb as well. Nothing rocks, and nothing is adjusted.",
    ),
    "under": _Kind(
        "Screw under the limb",
        "A screw presses from below",
        "Cut from the side. A bolt through the butt holds the limb on a ledge of the riser. Farther toward the limb tip"
        " a screw stands up out of the riser, and its round end presses on the belly of the limb from below.",
    ),
    "two": _Kind(
        "Two bolts a limb",
        "Two bolts hold one limb",
        "Cut from the side. Two bolts, one behind the other, go through the limb into the riser. Both heads lie on the"
        " back of the limb, each on its washer, and the limb lies flat on the riser.",
    ),
    "fixed": _Kind(
        "Bow of one piece",
        "Limb and grip are one",
        "Cut from the side. The limb runs on over the grip without a joint. The wood of the grip below it thins out"
        " toward the limb tip. There is no pocket, no bolt and no screw.",
    ),
}

FAMILIES: tuple[str, ...] = tuple(_KINDS)
"""The families that have a drawing, by the names they have in the record."""


def family_drawing(name: str, *, prefix: str) -> Picture:
    """Draw one family of limb bolts.

    Args:
        name: one of FAMILIES.
        prefix: put before every id, so that several figures can stand on one page.

    By id, where the family has them: PREFIX-limb-back, PREFIX-head-underside, PREFIX-butt-corner, PREFIX-cup-face.

    Raises:
        ValueError: no family of that name has a drawing.
    """
    if name not in _KINDS:
        raise ValueError(f"name must be one of {', '.join(FAMILIES)}: {name!r}")
    kind, sketch = _KINDS[name], Sketch(prefix)
    drawn = _DRAWN[name](sketch)
    frame = (1.0, 1.0, 238.0, HEIGHT - 2)
    children = [
        svg.rect(*frame, class_="qt-window"),
        *drawn,
        svg.rect(*frame, class_="qt-frame"),
        sketch.words(8, 19, kind.telling, strong=True),
    ]
    return drawing(name, kind.title, kind.description, HEIGHT, children, prefix=prefix)


# One by one


def _flat(sketch: Sketch) -> list[Element]:
    back = Tilted((BUTT, UNDERSIDE), TILT)
    return [*_rocking(sketch, back, UNDERSIDE), *_leaning_words(sketch, back)]


def _stop(sketch: Sketch) -> list[Element]:
    back = Tilted((BUTT, UNDERSIDE), TILT)
    low = 102.0
    collar = sketch.body(box(AXIS - 24, low - 10, AXIS + 24, low), "bolt", hatched="bolt", key="collar")
    ways = [
        part
        for side in (-1, 1)
        for part in sketch.arrow([(AXIS + side * 20, low + 2), (AXIS + side * 20, FLOOR - 1)], size=6)
    ]
    return [
        *_rocking(sketch, back, UNDERSIDE), *collar, *ways,
        *sketch.pointer((AXIS + 34, 102), (AXIS + 20, low - 5)),
        sketch.words(AXIS + 38, 108, "collar", strong=True),
        sketch.words(232, 57, "limb tip →", anchor="end", quiet=True),
        *_limb_words(sketch, back, 134),
        sketch.words(10, 141, "riser", over="riser"),
    ]  # fmt: skip


def _swivel(sketch: Sketch) -> list[Element]:
    radius, wide, thick = 50.0, 22.0, 4.0
    centre = (AXIS, 9.0)
    tilt = math.radians(7)
    foot = centre[0] - (radius + thick) * math.sin(tilt), centre[1] + (radius + thick) * math.cos(tilt)
    back = Tilted(foot, tilt)
    half = math.degrees(math.asin(wide / radius))
    dome = arc(centre, radius, 90 - half, 90 + half)
    top = dome[0][1] - 16
    head = [(AXIS - wide, top), (AXIS + wide, top), *dome]
    inner = Tilted(centre, tilt)
    bowl = [inner.at(radius * math.sin(a), -radius * math.cos(a)) for a in (x / 20 for x in range(-10, 11))]
    rim = radius + thick - radius * math.cos(0.5)
    cup = [back.at(-REACH, 0), back.at(-REACH, rim), *bowl, back.at(REACH, rim), back.at(REACH, 0)]
    start = back.at(-44)
    return [
        *_riser(sketch, back.over(FULCRUM, -DEPTH)[1]), *_shank(sketch, dome[len(dome) // 2][1]),
        *_limb(sketch, back, start[0]), *_hidden_shank(sketch, back),
        *sketch.body(cup, "window", hatched="riser"),
        *sketch.body(head, "bolt", hatched="bolt"),
        _axis(sketch, top),
        sketch.line(back.at(-REACH), back.at(REACH), "qt-contact-line", key="cup-face"),
        *_fulcrum(sketch, back),
        *sketch.pointer((AXIS + 44, 50), back.at(REACH - 4, 6)),
        sketch.words(AXIS + 48, 54, "cup", strong=True),
        *_limb_words(sketch, back, 140),
        sketch.words(10, 141, "riser", over="riser"),
    ]  # fmt: skip


def _pivot(sketch: Sketch) -> list[Element]:
    pin = (176.0, 108.0)
    part = Tilted(pin, TILT)
    bed, lip = 10.0, 10.0 + DEPTH  # heights of the limb's bed and of its back over the pin
    butt, tail, wide = -72.0, -150.0, 24.0
    outline = [
        part.at(tail, bed + 4), part.at(butt - 8, bed + 4), part.at(butt - 8, lip + 7), part.at(butt + 18, lip + 7),
        part.at(butt + 18, lip), part.at(butt, lip), part.at(butt, bed), part.at(wide, bed), part.at(wide - 4, -10),
        part.at(-14, -10), part.at(-26, -4), part.at(tail, -4),
    ]  # fmt: skip
    axis = 52.0
    radius, wide = 44.0, 20.0
    crown = part.over(axis, bed + 4 + radius)  # the round of the head touches the part's tail below this
    half = math.degrees(math.asin(wide / radius))
    dome = arc(crown, radius, 90 - half, 90 + half)
    top = dome[0][1] - 15
    under = part.over(axis, bed + 4)[1]
    limb = [part.at(butt, lip), part.over(RIGHT, lip), part.over(RIGHT, bed), part.at(butt, bed)]
    riser = [
        (LEFT, BOTTOM), (LEFT, 126), (148, 126), (160, 120), (163, pin[1]), *arc(pin, 13, 180, 360),
        (192, 120), (204, BOTTOM),
    ]  # fmt: skip
    return [
        *sketch.body(riser, "riser"),
        *_bush(sketch, axis, 126),
        *sketch.body(threaded(axis - 11, axis + 11, under, BOTTOM), "bolt"),
        *sketch.body(limb, "limb", edge=[limb[1], limb[0], limb[3], limb[2]]),
        sketch.line(limb[0], limb[1], "qt-limb-back", key="limb-back"),
        *sketch.body(outline, "window", hatched="riser", key="pocket-part"),
        *sketch.body([(axis - wide, top), (axis + wide, top), *dome], "bolt", hatched="bolt"),
        svg.line(axis, top - 7, axis, BOTTOM, class_="qt-axis"),
        sketch.dot(pin, 6.5, "qt-bolt"),
        sketch.dot(pin, 6.5, "qt-bolt-line"),
        *sketch.pointer((208, 124), (pin[0] + 3, pin[1] + 2)),
        sketch.words(211, 132, "pin", strong=True),
        *sketch.pointer((134, 51), part.at(butt + 8, lip + 4)),
        sketch.words(137, 51, "pocket", strong=True),
        sketch.words(150, part.over(162, bed + DEPTH / 2)[1] + 4, "limb", over="limb"),
        *sketch.arrow([(14, 84), (14, 66)], size=6),
        *sketch.arrow([(14, 84), (14, 102)], size=6),
        sketch.words(84, 142, "riser", over="riser"),
    ]  # fmt: skip


def _clamp(sketch: Sketch) -> list[Element]:
    top, low = 58.0, 58.0 + DEPTH
    axis, pin = 74.0, 136.0
    riser = [(LEFT, BOTTOM), (LEFT, 72), (24, 72), (24, low), (204, low), (212, low + 6), (218, BOTTOM)]
    limb = [(34.0, top), (RIGHT, top), (RIGHT, low), (34.0, low)]
    head = box(axis - 26, top - 20, axis + 26, top - 4)
    return [
        *sketch.body(riser, "riser"),
        *_bush(sketch, axis, low),
        *sketch.body(limb, "limb", edge=[limb[1], limb[0], limb[3], limb[2]]),
        sketch.line(limb[0], limb[1], "qt-limb-back", key="limb-back"),
        *sketch.body(box(axis - 13, top, axis + 13, low), "bolt"),
        *sketch.body(threaded(axis - 13, axis + 13, low, BOTTOM), "bolt"),
        *sketch.body(box(axis - 32, top - 4, axis + 32, top), "bolt"),
        *sketch.body(head, "bolt", hatched="bolt"),
        *sketch.body([(pin - 7, top), *arc((pin, top), 7, 180, 360), (pin + 7, low + 20), (pin - 7, low + 20)], "bolt"),
        svg.line(axis, top - 26, axis, BOTTOM, class_="qt-axis"),
        sketch.line((axis - 32, top), (axis + 32, top), "qt-contact-line"),
        sketch.words(pin, 44, "pin", anchor="middle", strong=True),
        *sketch.pointer((45, 104), (axis - 13, low - 8)),
        sketch.words(12, 114, "hole", over="riser", strong=True),
        sketch.words(176, low - 8, "limb", over="limb"),
        sketch.words(10, 141, "riser", over="riser"),
    ]  # fmt: skip


def _held(sketch: Sketch, axis: float, floor: float, key: str = "bush") -> list[Element]:
    """A bolt through a limb that lies level, its head on a washer, and the riser's bush that it goes into."""
    washer, head = box(axis - 26, LEVEL - 4, axis + 26, LEVEL), box(axis - 20, LEVEL - 20, axis + 20, LEVEL - 4)
    return [
        *_bush(sketch, axis, floor, key),
        *sketch.body(box(axis - 11, LEVEL, axis + 11, floor), "bolt"),
        *sketch.body(threaded(axis - 11, axis + 11, floor, BOTTOM), "bolt"),
        *sketch.body(washer, "bolt"),
        *sketch.body(head, "bolt", hatched="bolt"),
        svg.line(*sketch.at((axis, LEVEL - 26)), *sketch.at((axis, BOTTOM)), class_="qt-axis"),
    ]


def _level_limb(sketch: Sketch, butt: float) -> list[Element]:
    limb = box(butt, LEVEL, RIGHT, LEVEL + DEPTH)
    return [
        *sketch.body(limb, "limb", edge=[limb[1], limb[0], limb[3], limb[2]]),
        sketch.line(limb[0], limb[1], "qt-limb-back", key="limb-back"),
    ]


def _under(sketch: Sketch) -> list[Element]:
    low, floor, axis, screw = LEVEL + DEPTH, 112.0, 66.0, 158.0
    riser = [
        (LEFT, BOTTOM), (LEFT, 72), (24, 72), (24, low), (100, low), (108, floor), (204, floor), (216, BOTTOM),
    ]  # fmt: skip
    tip = arc((screw, low + 11), 11, 180, 360)
    rod = threaded(screw - 11, screw + 11, low + 11, BOTTOM)
    return [
        *sketch.body(riser, "riser"),
        *_level_limb(sketch, 34.0),
        *_held(sketch, axis, low),
        *_bush(sketch, screw, floor, "screw-bush"),
        *sketch.body([*tip, *rod], "bolt", hatched="bolt", key="screw"),
        sketch.dot((screw, low), 4.0, "qt-contact", key="screw-tip"),
        *sketch.arrow([(192, 106), (192, 88)], size=6),
        *sketch.pointer((214, 108), (screw + 9, low + 16)),
        sketch.words(236, 119, "screw", anchor="end", strong=True),
        sketch.words(104, 45, "bolt", strong=True),
        sketch.words(200, low - 8, "limb", over="limb"),
        sketch.words(10, 141, "riser", over="riser"),
    ]  # fmt: skip


def _two(sketch: Sketch) -> list[Element]:
    low = LEVEL + DEPTH
    riser = [(LEFT, BOTTOM), (LEFT, 72), (24, 72), (24, low), (204, low), (212, low + 6), (218, BOTTOM)]
    return [
        *sketch.body(riser, "riser"),
        *_level_limb(sketch, 34.0),
        *_held(sketch, 68.0, low),
        *_held(sketch, 142.0, low, "second-bush"),
        sketch.words(105, 45, "1", anchor="middle", strong=True),
        sketch.words(179, 45, "2", anchor="middle", strong=True),
        sketch.words(186, low - 8, "limb", over="limb"),
        sketch.words(10, 141, "riser", over="riser"),
    ]


def _fixed(sketch: Sketch) -> list[Element]:
    low = LEVEL + DEPTH
    thins = curve((226, low), (128, low + 2), (96, BOTTOM))
    grip = [(LEFT, BOTTOM), (LEFT, low), *thins]
    return [
        *sketch.body(grip, "limb", edge=[*thins]),
        *sketch.body(box(LEFT, LEVEL, RIGHT, low), "limb", edge=[(RIGHT, low), (LEFT, low)]),
        sketch.line((LEFT, LEVEL), (RIGHT, LEVEL), "qt-limb-back", key="limb-back"),
        sketch.line((LEFT, LEVEL + DEPTH / 2), (RIGHT, LEVEL + DEPTH / 2), "qt-slot"),
        sketch.words(186, low - 14, "limb", over="limb"),
        sketch.words(14, 130, "grip", over="limb"),
        sketch.words(136, 126, "no bolt", strong=True),
    ]


_DRAWN = {
    "flat": _flat, "stop": _stop, "swivel": _swivel, "pivot": _pivot, "clamp": _clamp, "under": _under, "two": _two,
    "fixed": _fixed,
}  # fmt: skip


# Parts


def _rocking(sketch: Sketch, back: Tilted, under: float) -> list[Element]:
    """A flat head, and a slotted limb that rocks under it."""
    head = box(AXIS - REACH, under - HEAD, AXIS + REACH, under)
    place = sketch.at((AXIS - ROUND, under - HEAD))
    return [
        *_riser(sketch, back.over(FULCRUM, -DEPTH)[1]),
        *_shank(sketch, under),
        svg.rect(*place, 2 * ROUND, HEAD, class_="qt-bolt-round"),
        *_limb(sketch, back, back.origin[0]),
        *_hidden_shank(sketch, back),
        *sketch.body(head, "bolt", hatched="bolt"),
        _axis(sketch, under - HEAD),
        sketch.line((AXIS - REACH, under), (AXIS + REACH, under), "qt-head-underside", key="head-underside"),
        *_fulcrum(sketch, back),
        sketch.dot(back.origin, 4.0, "qt-contact", key="butt-corner"),
    ]


def _leaning_words(sketch: Sketch, back: Tilted) -> list[Element]:
    rim = AXIS + REACH
    return [
        sketch.line((rim, UNDERSIDE), back.over(rim), "qt-gap"),
        sketch.words(AXIS + ROUND + 6, UNDERSIDE - 4, "gap", strong=True),
        sketch.words(56, 78, "butt", anchor="end", strong=True),
        sketch.words(232, 57, "limb tip →", anchor="end", quiet=True),
        *_limb_words(sketch, back, 134),
        sketch.words(10, 141, "riser", over="riser"),
        sketch.words(150, 141, "fulcrum", over="riser"),
    ]


def _limb_words(sketch: Sketch, back: Tilted, x: float) -> list[Element]:
    return [sketch.words(x, back.over(x + 12, -DEPTH / 2)[1] + 4, "limb", over="limb")]


def _riser(sketch: Sketch, fulcrum: float) -> list[Element]:
    top = fulcrum + 6
    outline = [
        (LEFT, BOTTOM), (LEFT, 88), (30, 88), (34, 92), (34, FLOOR), (164, FLOOR), (FULCRUM - 9, top),
        (FULCRUM + 9, top), (FULCRUM + 18, top + 7), (FULCRUM + 24, BOTTOM),
    ]  # fmt: skip
    return [*sketch.body(outline, "riser"), *_bush(sketch, AXIS, FLOOR)]


def _bush(sketch: Sketch, axis: float, top: float, key: str = "bush") -> list[Element]:
    return sketch.body(box(axis - SHANK - 10, top, axis + SHANK + 10, BOTTOM), "window", hatched="riser", key=key)


def _shank(sketch: Sketch, top: float) -> list[Element]:
    smooth = box(AXIS - SHANK, top, AXIS + SHANK, FLOOR - 4)
    thread = threaded(AXIS - SHANK, AXIS + SHANK, FLOOR - 4, BOTTOM)
    outline: list[Point] = [smooth[0], smooth[1], *thread]
    return sketch.body(outline, "bolt")


def _limb(sketch: Sketch, back: Tilted, butt: float) -> list[Element]:
    """The limb from its butt to the edge of the picture, and the closed end of its slot."""
    corner = back.over(butt)
    along = (corner[0] - back.origin[0]) / math.cos(back.angle)
    points = [corner, back.over(RIGHT), back.over(RIGHT, -DEPTH), back.at(along, -DEPTH)]
    end = AXIS + 36
    return [
        *sketch.body(points, "limb", key="limb", edge=[points[1], points[0], points[3], points[2]]),
        sketch.line(points[0], points[1], "qt-limb-back", key="limb-back"),
        sketch.line(back.over(end), back.over(end - DEPTH * math.tan(back.angle), -DEPTH), "qt-slot"),
    ]


def _hidden_shank(sketch: Sketch, back: Tilted) -> list[Element]:
    """The shank in the limb's slot, behind its near half."""
    sides = (AXIS - SHANK, AXIS + SHANK)
    return [sketch.line(back.over(x), back.over(x, -DEPTH), "qt-bolt-far") for x in sides]


def _axis(sketch: Sketch, head: float) -> Element:
    return sketch.line((AXIS, head - 7), (AXIS, BOTTOM), "qt-axis")


def _fulcrum(sketch: Sketch, back: Tilted) -> list[Element]:
    x, y = back.over(FULCRUM, -DEPTH)
    placed = [sketch.at(point) for point in ((x, y), (x + 7, y + 9), (x - 7, y + 9))]
    return [svg.polygon(placed, class_="qt-fulcrum")]
