"""Limb, pocket and bolt from the side, to scale, with the head's underside enlarged.

The limb's tip is to the right, the bolt axis upright, out is up. What lies where is asked from the mechanics; only
the riser, the bolt's head, shank and thread, and the limb beyond its back surface are drawn freely.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.svg import Element, Picture
from quarterturn.mechanics import pocket as mechanics
from quarterturn.mechanics.pocket import Contact, Pocket, State
from quarterturn.numbers import at_most, fixed, plain, settle, trimmed

WIDTH = 360.0
LEFT, RIGHT = 4.0, 356.0
SIZE = 12.0
MAIN_TOP, MAIN_HEIGHT = 46.0, 172.0
LARGE_TOP, LARGE_HEIGHT = 246.0, 196.0
HEIGHT = 496.0
FLUSH_AT = MAIN_TOP + 72  # the height of flush in the main view
HEAD_AT = LARGE_TOP + 44  # the height of the head's underside in the enlargement

MAIN_SCALES = (3.5, 3.0, 2.5, 2.0, 1.5, 1.0, 0.75, 0.5)  # user units a mm
WIDER = (4.0, 3.0, 2.5, 2.0, 1.5, 1.0)  # widths of the enlargement against those of the main view
TALLER = (1, 2, 4, 7, 10, 15, 20, 30)  # its heights against its widths
THIN = 0.2  # mm: a gap up to this is looked at with a strip of paper
THIN_SCALE = 68.0  # user units a mm at least, so that 0.05 mm is more than 3 px on a phone

_SAID = {
    State.BUTT: "The butt end bears on the head's flat",
    State.EDGE: "The head's edge bears on the limb's back",
    State.FLUSH: "Flush: the limb lies flat on the head",
    State.RIM: "In too far: only the rim bears, on the tip side",
    State.OUT_OF_REACH: "Out too far: the head touches nothing",
    State.OFF_HEAD: "The butt end is off the head: nothing touches",
}


@dataclass(frozen=True, slots=True)
class _View:
    """A window and its scales: millimetres of the pocket's frame to user units."""

    prefix: str
    scale_x: float
    scale_y: float
    origin_x: float
    origin_y: float
    top: float
    height: float

    def x(self, mm: float) -> float:
        return self.origin_x + mm * self.scale_x

    def y(self, mm: float) -> float:
        return self.origin_y - mm * self.scale_y

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        return self.x(point[0]), self.y(point[1])

    @property
    def bottom(self) -> float:
        return self.top + self.height

    @property
    def left_mm(self) -> float:
        return (LEFT - self.origin_x) / self.scale_x

    @property
    def right_mm(self) -> float:
        return (RIGHT - self.origin_x) / self.scale_x


@dataclass(frozen=True, slots=True)
class _Scene:
    """Everything that is drawn, in mm and in the pocket's frame."""

    pocket: Pocket
    contact: Contact
    strip: float | None
    strip_side: str | None
    strip_name: str
    strip_reach: float | None
    strip_pushed: float | None
    radius: float
    reach: float
    slot: float
    arm: float
    depth: float
    head: float
    butt_x: float
    gap_rim: float | None
    gap_butt: float | None

    @property
    def angle(self) -> float:
        return self.contact.rock_angle

    @property
    def state(self) -> State:
        return self.contact.state

    @property
    def corner(self) -> tuple[float, float]:
        x, y = mechanics.butt_corner(self.pocket, self.angle)
        return 1000 * x, 1000 * y

    def back(self, x: float) -> float:
        """Height of the limb's back over x."""
        return 1000 * mechanics.back_height(self.pocket, self.angle, x / 1000)

    def beyond(self, point: tuple[float, float], along: float, inward: float) -> tuple[float, float]:
        """A point moved along the limb toward its tip, and from its back inward."""
        cosine, sine = math.cos(self.angle), math.sin(self.angle)
        return point[0] + along * cosine - inward * sine, point[1] - along * sine - inward * cosine


def _scene(
    pocket: Pocket, turns: float, strip: float | None, side: str | None, strip_name: str, pushed: float | None
) -> _Scene:
    found = mechanics.contact(pocket, turns)
    rim, butt = mechanics.gap_at_rim(pocket, turns), mechanics.gap_at_butt(pocket, turns)
    reach = 1000 * pocket.rim_reach
    return _Scene(
        pocket=pocket, contact=found,
        strip=None if strip is None else 1000 * strip,
        strip_side=None if strip is None else side,
        strip_name=strip_name,
        strip_reach=_how_far(pocket, turns, strip, side),
        strip_pushed=None if pushed is None else 1000 * pushed,
        radius=1000 * pocket.head_radius, reach=reach, slot=1000 * pocket.slot_half_width,
        arm=1000 * pocket.fulcrum_arm, depth=1000 * pocket.limb_depth, head=1000 * found.head_height,
        butt_x=max(-reach, -1000 * found.coverage),
        gap_rim=None if rim is None else 1000 * rim,
        gap_butt=None if butt is None else 1000 * butt,
    )  # fmt: skip


def _how_far(pocket: Pocket, turns: float, strip: float | None, side: str | None) -> float | None:
    """How far in the strip goes, mm."""
    if strip is None or side is None:
        return None
    reach = mechanics.strip_reach(pocket, turns, strip, side)
    return None if reach is None else 1000 * reach


@lru_cache(maxsize=16)
def side_view(
    pocket: Pocket,
    turns: float,
    strip: float | None = None,
    *,
    prefix: str,
    strip_side: str | None = None,
    strip_name: str = "paper",
    strip_pushed: float | None = None,
    drag_field: str = "",
    drag_low: float | None = None,
    drag_high: float | None = None,
    title: str = "Limb, pocket and bolt from the side",
    name: str = "side-view",
) -> Picture:
    """Draw the pocket from the side at a turn count, and the head's underside enlarged.

    Args:
        pocket: its dimensions.
        turns: u, from flush, positive outward.
        strip: thickness of the feeler strip, m; None for none.
        prefix: put before every id, so that several figures can stand on one page.
        strip_side: where the strip is offered: "rim" (limb-tip side) or "butt"; None for nowhere.
        strip_name: what the strip is called in the words of the drawing.
        strip_pushed: how far a hand pushes the strip in from there, m; it is drawn as far in as it goes at most, and
            the words say how far that is. None: it is drawn well in wherever it goes in.
        drag_field: the field of turns that a drag up or down on the main view sets; "" for none.
        drag_low: the least turns to be set so.
        drag_high: the most.
        title: the picture's name for those who do not see it.
        name: the picture's name for programs.

    The groups PREFIX-main and PREFIX-large carry data-scale-x and data-scale-y (user units per mm) and data-origin-x
    and data-origin-y (where the pocket's origin is drawn). In them, by id (in the second with "large-" before the
    name): head-underside, limb-back, butt-corner, contact, gap-rim, gap-butt, strip. What does not exist in a state is
    not drawn. With a field to drag, PREFIX-main carries data-drag-field, data-drag-axis "y", data-drag-origin (the y
    of the head's underside at flush), data-drag-scale (user units per turn, negative, for out is up), data-drag-low and
    data-drag-high (turns).

    Raises:
        ValueError: strip_side is neither "rim" nor "butt" nor None; strip_pushed is less than 0 or not finite; a field
            to drag has no ends or its ends are not in order; PocketError as `mechanics.pocket.contact`.
    """
    if strip_side not in ("rim", "butt", None):
        raise ValueError(f'strip_side must be "rim", "butt" or None: {strip_side!r}')
    if strip_pushed is not None and not 0 <= strip_pushed < math.inf:
        raise ValueError(f"strip_pushed must be finite and at least 0: {strip_pushed}")
    scene = _scene(pocket, turns, strip, strip_side, strip_name, strip_pushed)
    main, large = _main_view(scene, prefix), _large_view(scene, prefix)
    drag = _drag(scene, main, drag_field, drag_low, drag_high) if drag_field else {}
    children = [_definitions(prefix), *_heading(scene), _main(scene, main, drag), *_between(main, large)]
    children += [_large(scene, large), *_scale_words(main, large)]
    return svg.picture(name, title, describe(scene), WIDTH, HEIGHT, children, prefix=prefix)


def _drag(scene: _Scene, view: _View, field: str, low: float | None, high: float | None) -> dict[str, str]:
    """What a script needs to turn a height on the main view into turns."""
    if low is None or high is None or not -math.inf < low < high < math.inf:
        raise ValueError(f"the ends of a drag must be finite and in order: {low} to {high}")
    return {
        "data_drag_field": field, "data_drag_axis": "y", "data_drag_origin": repr(settle(view.y(0.0))),
        "data_drag_scale": repr(settle(-1000 * scene.pocket.pitch * view.scale_y)),
        "data_drag_low": repr(settle(low)), "data_drag_high": repr(settle(high)),
    }  # fmt: skip


# Scales


def _main_view(scene: _Scene, prefix: str) -> _View:
    """The largest scale that shows all from the butt to past the fulcrum; it does not depend on the turns."""
    left = max(scene.radius, 1000 * scene.pocket.coverage_at_flush) + 9
    wide, tall = left + scene.arm + 12, scene.depth + 16
    fits = min((RIGHT - LEFT) / wide, (MAIN_TOP + MAIN_HEIGHT - FLUSH_AT) / tall)
    scale = _largest(MAIN_SCALES, fits)
    spare = (RIGHT - LEFT) / scale - wide
    return _View(prefix, scale, scale, LEFT + (left + spare / 3) * scale, FLUSH_AT, MAIN_TOP, MAIN_HEIGHT)


def _large_view(scene: _Scene, prefix: str) -> _View:
    main = _main_view(scene, prefix)
    left = max(scene.radius, min(1000 * scene.pocket.coverage_at_flush, 1.6 * scene.radius)) + 4.5
    wide = left + scene.radius + 6
    wider = _largest(WIDER, (RIGHT - LEFT) / wide / main.scale_x)
    scale = wider * main.scale_x
    tall = scale * _taller(scene, scale)
    spare = (RIGHT - LEFT) / scale - wide
    origin_x = LEFT + (left + spare / 2) * scale
    return _View(f"{prefix}-large", scale, tall, origin_x, HEAD_AT + scene.head * tall, LARGE_TOP, LARGE_HEIGHT)


def _largest(choices: tuple[float, ...], fits: float) -> float:
    """The largest choice that fits; below the set it goes on by powers of two."""
    for choice in choices:
        if choice <= fits:
            return choice
    smallest = choices[-1]
    return smallest * 2.0 ** math.floor(math.log2(fits / smallest))


def _taller(scene: _Scene, scale: float) -> int:
    """How many times the enlargement's heights are its widths: enough for paper, less where gaps are wide."""
    enough = next((times for times in TALLER if times * scale >= THIN_SCALE), TALLER[-1])
    gaps = [gap for gap in (scene.gap_rim, scene.gap_butt) if gap is not None]
    room = LARGE_TOP + LARGE_HEIGHT - HEAD_AT - 40
    widest = max(gaps, default=0.0)
    if widest * scale * enough <= room or any(0 < gap <= THIN for gap in gaps):
        return enough
    return max((times for times in TALLER if times <= enough and times * scale * widest <= room), default=1)


# Words


def _mm(value: float) -> str:
    return f"{fixed(value, 2)} mm"


def _way(turns: float) -> str:
    if fixed(turns, 2) == "0.00":
        return "at flush"
    word = "turn" if settle(abs(turns)) <= 1 else "turns"
    return f"{fixed(abs(turns), 2)} {word} {'out from' if turns > 0 else 'in past'} flush"


def _heading(scene: _Scene) -> list[Element]:
    words = f"bolt {_way(scene.contact.turns)}, its head {_height(scene)}"
    return [
        svg.text(LEFT, 16, _SAID[scene.state], size=13, class_="qt-text qt-strong"),
        svg.text(LEFT, 35, words, size=SIZE),
    ]


def _height(scene: _Scene) -> str:
    height = fixed(abs(scene.head), 2)
    if height == "0.00":
        return "0.00 mm out"
    return f"{height} mm {'out' if scene.head > 0 else 'in'}"


def _sees(scene: _Scene) -> str | None:
    """What the strip does where it is offered."""
    if scene.strip is None or scene.strip_side is None:
        return None
    if scene.strip_pushed is not None:
        return f"{scene.strip_name} {_thickness(scene.strip)} {_pushed_words(scene, scene.strip_pushed)}"
    gap = scene.gap_rim if scene.strip_side == "rim" else scene.gap_butt
    does = "goes in" if gap is None or not at_most(gap, scene.strip) else "does not go in"
    return f"{scene.strip_name} {trimmed(scene.strip, 3)} mm {does}"


def _thickness(strip: float) -> str:
    """Hundredths of a millimetre, and thousandths where there are any."""
    said = fixed(strip, 3)
    return f"{said.removesuffix('0')} mm"


def _pushed_words(scene: _Scene, pushed: float) -> str:
    """How far in a pushed strip is, and what becomes of it there."""
    reach = scene.strip_reach
    if reach is None:
        return "finds no limb under the head"
    if reach == 0:
        return "does not go in"
    if pushed < reach:
        return f"is {fixed(pushed, 1)} mm in and goes farther"
    if reach >= (scene.reach - scene.butt_x) * (1 - 1e-9):
        return f"goes right through, {fixed(reach, 1)} mm"
    return f"goes in {fixed(reach, 1)} mm and stops"


def describe(scene: _Scene) -> str:
    """The picture in words."""
    angle = fixed(math.degrees(scene.angle), 2)
    said = [
        f"{_SAID[scene.state]}. The bolt stands {_way(scene.contact.turns)}, its head {_height(scene)};"
        f" the limb is rocked by {angle} degrees."
    ]
    if scene.gap_rim is not None:
        said.append(f"Gap between head and limb at the rim on the limb-tip side: {_mm(scene.gap_rim)}.")
    if scene.gap_butt is not None:
        said.append(f"Gap at the butt: {_mm(scene.gap_butt)}.")
    if scene.state in (State.OUT_OF_REACH, State.OFF_HEAD):
        said.append("The pocket's own fitting carries everything.")
    if sees := _sees(scene):
        said.append(f"At the {'rim on the limb-tip side' if scene.strip_side == 'rim' else 'butt'}, {sees}.")
    return " ".join(said)


# The two windows


def _definitions(prefix: str) -> Element:
    return svg.element(
        "defs",
        svg.clip(f"{prefix}-clip", LEFT, MAIN_TOP, RIGHT - LEFT, MAIN_HEIGHT),
        svg.clip(f"{prefix}-large-clip", LEFT, LARGE_TOP, RIGHT - LEFT, LARGE_HEIGHT),
        svg.hatching(f"{prefix}-hatch-riser", "rising", 7),
        svg.hatching(f"{prefix}-hatch-bolt", "falling", 6),
    )


def _window(view: _View, clipped: list[Element], over: list[Element], key: str, drag: dict[str, str]) -> Element:
    box = (LEFT, view.top, RIGHT - LEFT, view.height)
    return svg.group(
        svg.rect(*box, class_="qt-window"),
        svg.group(*clipped, clip_path=f"url(#{view.prefix}-clip)"),
        svg.rect(*box, class_="qt-frame"),
        *over,
        id=key, data_scale_x=plain(view.scale_x, 6), data_scale_y=plain(view.scale_y, 6),
        data_origin_x=plain(view.origin_x, 6), data_origin_y=plain(view.origin_y, 6), **drag,
    )  # fmt: skip


def _main(scene: _Scene, view: _View, drag: dict[str, str]) -> Element:
    drawn = [
        *_riser(scene, view),
        *_shank(scene, view),
        _round_of_head(scene, view),
        *_limb(scene, view),
        *_slot_end(scene, view),
        *_hidden_shank(scene, view),
        _centre_line(view),
        _flush_line(view),
        *_head(scene, view),
        *_fulcrum(scene, view),
        *_strip(scene, view),
        *_gaps(scene, view, small=True),
        *_bearing(scene, view, 4.0),
    ]
    grip = [_grip(scene, view)] if drag else []
    return _window(view, drawn, [*_main_labels(scene, view), *grip], f"{view.prefix}-main", drag)


def _grip(scene: _Scene, view: _View) -> Element:
    """What a finger takes hold of: the bolt's head, with room round it for a thumb."""
    room = 10.0
    left, top = view.at((-scene.radius, scene.head + _head_height(scene)))
    return svg.rect(
        left - room, top - room, 2 * scene.radius * view.scale_x + 2 * room,
        _head_height(scene) * view.scale_y + 2 * room, class_="qt-grip", id=f"{view.prefix}-grip",
    )  # fmt: skip


def _large(scene: _Scene, view: _View) -> Element:
    drawn = [
        *_shank(scene, view),
        _round_of_head(scene, view),
        *_limb(scene, view),
        *_hidden_shank(scene, view),
        _centre_line(view),
        *_head(scene, view),
        *_strip(scene, view),
        *_gaps(scene, view, small=False),
        *_bearing(scene, view, 5.5),
    ]
    return _window(view, drawn, _large_labels(scene, view), view.prefix, {})


# The drawn things


def _riser(scene: _Scene, view: _View) -> list[Element]:
    """A pocket of our own: end wall, floor, a boss for the bolt, and the fulcrum near the mouth."""
    floor, wall = -scene.depth - 5, -max(scene.radius, 1000 * scene.pocket.coverage_at_flush) - 4
    low = (MAIN_TOP + MAIN_HEIGHT + 9 - view.origin_y) / -view.scale_y
    a, t = scene.arm, scene.depth
    outline = [
        (view.left_mm - 3, low), (view.left_mm - 3, -0.2 * t), (wall - 1, -0.2 * t), (wall, -0.2 * t - 1),
        (wall, floor), (a - 7, floor), (a - 2.6, -t - 1.3), (a + 2.6, -t - 1.3), (a + 6, -t - 3.5), (a + 9, low),
    ]  # fmt: skip
    points = [view.at(point) for point in outline]
    return [
        svg.polygon(points, class_="qt-riser"),
        svg.polygon(points, class_="qt-riser-line", fill=None),
        *_bush(scene, view, floor, low),
    ]


def _bush(scene: _Scene, view: _View, floor: float, low: float) -> list[Element]:
    half = _shank_half(scene) + 3
    left, top = view.at((-half, floor))
    width, height = 2 * half * view.scale_x, (floor - low) * view.scale_y
    return [
        svg.rect(left, top, width, height, class_="qt-window"),
        svg.rect(left, top, width, height, fill=f"url(#{view.prefix}-hatch-riser)"),
        svg.rect(left, top, width, height, class_="qt-riser-line"),
    ]


def _shank_half(scene: _Scene) -> float:
    return 0.88 * scene.slot if scene.slot > 0.15 * scene.radius else 0.45 * scene.radius


def _shank(scene: _Scene, view: _View) -> list[Element]:
    half, floor = _shank_half(scene), -scene.depth - 5
    pitch = max(1000 * scene.pocket.pitch, 2.5 / view.scale_y)
    start, low = floor + 1.5, (view.bottom + 8 - view.origin_y) / -view.scale_y
    right = [(half, scene.head), (half, start + scene.head)]
    height = start + scene.head
    height -= pitch * max(0, math.ceil((height - (view.origin_y - view.top) / view.scale_y) / pitch))
    while height > low:
        right += [(0.84 * half, height - pitch / 2), (half, height - pitch)]
        height -= pitch
    left = [(-x, y) for x, y in reversed(right)]
    points = [view.at(point) for point in right + left]
    return [
        svg.polygon(points, class_="qt-bolt", id=f"{view.prefix}-shank"),
        svg.polygon(points, class_="qt-bolt-line"),
    ]


def _hidden_shank(scene: _Scene, view: _View) -> list[Element]:
    """The shank in the limb's slot, behind the near prong."""
    half, bottom = _shank_half(scene), -scene.depth - 5
    return [svg.line(*view.at((x, scene.head)), *view.at((x, bottom)), class_="qt-bolt-far") for x in (-half, half)]


def _round_of_head(scene: _Scene, view: _View) -> Element:
    """The head's full round, which stands over the slot, behind the prong."""
    left, top = view.at((-scene.radius, scene.head + _head_height(scene)))
    width, height = 2 * scene.radius * view.scale_x, _head_height(scene) * view.scale_y
    return svg.rect(left, top, width, height, class_="qt-bolt-round")


def _head_height(scene: _Scene) -> float:
    return 0.55 * scene.radius


def _head(scene: _Scene, view: _View) -> list[Element]:
    """The head as cut over the prong: its flat ends at the rim's reach."""
    reach, thick = scene.reach, _head_height(scene)
    cut = min(0.6, 0.1 * scene.radius)
    corners = [
        (-reach, scene.head), (-reach, scene.head + thick - cut), (-reach + cut, scene.head + thick),
        (reach - cut, scene.head + thick), (reach, scene.head + thick - cut), (reach, scene.head),
    ]  # fmt: skip
    points = [view.at(point) for point in corners]
    under = (*view.at((-reach, scene.head)), *view.at((reach, scene.head)))
    return [
        svg.polygon(points, class_="qt-bolt", id=f"{view.prefix}-head"),
        svg.polygon(points, fill=f"url(#{_base(view)}-hatch-bolt)"),
        svg.polygon(points, class_="qt-bolt-line"),
        svg.line(*under, class_="qt-head-underside", id=f"{view.prefix}-head-underside"),
    ]


def _base(view: _View) -> str:
    return view.prefix.removesuffix("-large")


def _limb(scene: _Scene, view: _View) -> list[Element]:
    corner, depth = scene.corner, scene.depth
    long = 2 * (abs(view.right_mm) + abs(view.left_mm)) + scene.arm
    ends = ((0.0, 0.0), (long, 0.0), (long, depth), (0.0, depth))
    outline = [scene.beyond(corner, along, inward) for along, inward in ends]
    points = [view.at(point) for point in outline]
    back = (*view.at(corner), *view.at(outline[1]))
    return [
        svg.polygon(points, class_="qt-limb", id=f"{view.prefix}-limb"),
        svg.polygon(points, class_="qt-limb-line"),
        svg.line(*back, class_="qt-limb-back", id=f"{view.prefix}-limb-back"),
        svg.circle(*view.at(corner), 1.6, class_="qt-fulcrum", id=f"{view.prefix}-butt-corner"),
    ]


def _slot_end(scene: _Scene, view: _View) -> list[Element]:
    """The slot's closed end, taken to lie outside the head, dashed because the prong hides it."""
    if scene.slot <= 0:
        return []
    along = 1000 * scene.pocket.coverage_at_flush + scene.radius + 1.5
    top = scene.beyond(scene.corner, along, 0)
    bottom = scene.beyond(scene.corner, along, scene.depth)
    return [svg.line(*view.at(top), *view.at(bottom), class_="qt-slot")]


def _centre_line(view: _View) -> Element:
    x = view.x(0)
    return svg.line(x, view.top + 22, x, view.bottom - 4, class_="qt-axis")


def _flush_line(view: _View) -> Element:
    return svg.line(view.x(0), view.y(0), RIGHT, view.y(0), class_="qt-zero-line", id=f"{view.prefix}-flush")


def _fulcrum(scene: _Scene, view: _View) -> list[Element]:
    """A pin that carries the limb's belly; its foot stands on the riser."""
    x, y = view.at((scene.arm, -scene.depth))
    wedge = [(x, y), (x - 6, y + 9), (x + 6, y + 9)]
    return [svg.polygon(wedge, class_="qt-fulcrum", id=f"{view.prefix}-fulcrum")]


def _gaps(scene: _Scene, view: _View, *, small: bool) -> list[Element]:
    """Measuring lines from the head's underside to the limb's back, at the rim and at the butt."""
    drawn = []
    for key, x, gap in (("rim", scene.reach, scene.gap_rim), ("butt", scene.butt_x, scene.gap_butt)):
        if gap is None:
            continue
        left, top, bottom = view.x(x), view.y(scene.head), view.y(scene.head - gap)
        drawn.append(svg.line(left, top, left, bottom, class_="qt-gap", id=f"{view.prefix}-gap-{key}"))
        if not small and bottom - top > 1.5:
            drawn += [svg.line(left - 5, y, left + 5, y, class_="qt-gap") for y in (top, bottom)]
    return drawn


def _strip(scene: _Scene, view: _View) -> list[Element]:
    """The feeler strip at its true thickness, lying where a hand would slide it, as far in as it goes."""
    if scene.strip is None or scene.strip_side is None:
        return []
    points = _strip_at_rim(scene) if scene.strip_side == "rim" else _strip_at_butt(scene)
    return [svg.polygon([view.at(point) for point in points], class_="qt-strip", id=f"{view.prefix}-strip")]


def _strip_at_rim(scene: _Scene) -> list[tuple[float, float]]:
    """It lies on the limb's back and comes from the tip side."""
    thick, start = scene.strip or 0.0, scene.reach
    if scene.strip_pushed is not None:
        start = scene.reach - _pushed_in(scene, scene.strip_pushed)
    elif scene.gap_rim is None or not at_most(scene.gap_rim, thick):
        start = max(_where_gap_is(scene, thick), scene.reach - _depth_in(scene))
    return _on_back(scene, start, scene.reach + 0.6 * scene.radius)


def _strip_at_butt(scene: _Scene) -> list[tuple[float, float]]:
    """It comes from behind the butt, under the head's flat; on the back where the butt reaches past the head."""
    thick, end, out = scene.strip or 0.0, scene.butt_x, scene.butt_x - 0.5 * scene.radius
    if scene.strip_pushed is not None:
        end = scene.butt_x + _pushed_in(scene, scene.strip_pushed)
    elif scene.gap_butt is not None and not at_most(scene.gap_butt, thick):
        inmost = scene.butt_x + _depth_in(scene)
        end = inmost if scene.angle >= 0 else min(_where_gap_is(scene, thick), inmost)
    if scene.corner[0] < -scene.reach:
        return _on_back(scene, max(out, scene.corner[0]), end)
    return [(out, scene.head), (end, scene.head), (end, scene.head - thick), (out, scene.head - thick)]


def _pushed_in(scene: _Scene, pushed: float) -> float:
    """As far as a hand pushes it and it goes, mm; under a head with no limb, across the head."""
    return min(pushed, 2 * scene.reach if scene.strip_reach is None else scene.strip_reach)


def _on_back(scene: _Scene, start: float, end: float) -> list[tuple[float, float]]:
    thick = scene.strip or 0.0
    return [
        (start, scene.back(start)), (start, scene.back(start) + thick),
        (end, scene.back(end) + thick), (end, scene.back(end)),
    ]  # fmt: skip


def _depth_in(scene: _Scene) -> float:
    """A hand slides the strip in as far as this and no farther, mm."""
    return 0.55 * scene.radius


def _where_gap_is(scene: _Scene, gap: float) -> float:
    """The x where the head's flat is that far from the limb's back."""
    slope = math.tan(scene.angle)
    if slope == 0:
        return scene.reach
    return scene.reach + (gap - (scene.head - scene.back(scene.reach))) / slope


def _bearing(scene: _Scene, view: _View, radius: float) -> list[Element]:
    """The contact point, or the line of contact when flush; nothing where nothing bears."""
    key = f"{view.prefix}-contact"
    if scene.state in (State.OUT_OF_REACH, State.OFF_HEAD) or scene.contact.contact_x is None:
        return []
    if scene.state is State.FLUSH:
        start = (view.x(scene.butt_x), view.y(scene.head))
        return [svg.line(*start, view.x(scene.reach), view.y(scene.head), class_="qt-contact-line", id=key)]
    x, y = view.at((1000 * scene.contact.contact_x, scene.head))
    return [svg.circle(x, y, radius, class_="qt-contact", id=key)]


# Labels


def _main_labels(scene: _Scene, view: _View) -> list[Element]:
    fulcrum_x = view.x(scene.arm) + 10
    return [
        svg.text(LEFT + 6, view.top + 16, "↑ out ↓ in", size=SIZE, class_="qt-text qt-quiet"),
        svg.text(RIGHT - 6, view.top + 16, "toward the limb tip →", size=SIZE, anchor="end", class_="qt-text qt-quiet"),
        svg.text(LEFT + 6, view.bottom - 8, "riser", size=SIZE, class_="qt-text qt-halo-riser"),
        svg.text(fulcrum_x, view.bottom - 12, "fulcrum", size=SIZE, anchor="end", class_="qt-text qt-halo-riser"),
        *_bolt_word(scene, view),
        *_height_dimension(scene, view),
        _limb_words(scene, view),
        *_bar(view, f"{view.prefix}-bar", RIGHT - 6, view.top + 30, 35),
    ]


def _bolt_word(scene: _Scene, view: _View) -> list[Element]:
    """Over the head; in it where there is no room over it; nowhere where the head is at the window's edge."""
    y = view.y(scene.head + _head_height(scene)) - 6
    if y > view.top + 30:
        return [svg.text(view.x(0), y, "bolt", size=SIZE, anchor="middle", class_="qt-text qt-halo")]
    if y + 19 < view.top + 30:
        return []
    return [svg.text(view.x(0), y + 19, "bolt", size=SIZE, anchor="middle", class_="qt-text qt-halo-bolt")]


def _limb_words(scene: _Scene, view: _View) -> Element:
    x = (view.x(scene.radius + 5) + RIGHT) / 2
    y = _back_at(scene, view, x) + scene.depth / 2 * view.scale_y
    free = scene.state in (State.OUT_OF_REACH, State.OFF_HEAD)
    words = f"{'held by its fitting' if free else 'limb'}, rocked {fixed(math.degrees(scene.angle), 2)}°"
    turned = f"rotate({plain(math.degrees(scene.angle), 3)} {svg.number(x)} {svg.number(y)})"
    kind = "qt-text qt-halo-limb"
    return svg.text(x, y + 4, words, size=SIZE, anchor="middle", class_=kind, transform=turned)


def _height_dimension(scene: _Scene, view: _View) -> list[Element]:
    """The head's height over flush, beside the head on the limb-tip side."""
    if abs(scene.head) * view.scale_y < 0.5:
        return []
    x, flush, head = view.x(scene.radius) + 9, view.y(0), max(view.y(scene.head), view.top)
    words = f"head {_height(scene)}"
    end = x + 8 + svg.text_width(words, SIZE)
    y = min(head, flush, _back_over(scene, view, x, end)) - 6
    taken = y < view.top + 28 or (y < view.top + 46 and end > RIGHT - 106)
    label = svg.text(x + 8, y, words, size=SIZE, class_="qt-text qt-halo")
    return [
        svg.line(view.x(scene.reach), head, x + 4, head, class_="qt-dimension"),
        svg.line(x, flush, x, head, class_="qt-dimension", id=f"{view.prefix}-height"),
        svg.line(x - 4, flush, x + 4, flush, class_="qt-dimension"),
        *([] if taken else [label]),  # the line over the picture says it too
    ]


def _back_over(scene: _Scene, view: _View, start: float, end: float) -> float:
    """Where the limb's back is highest on the drawing between two places."""
    return min(_back_at(scene, view, start), _back_at(scene, view, end))


def _back_at(scene: _Scene, view: _View, x: float) -> float:
    return view.y(scene.back((x - view.origin_x) / view.scale_x))


def _large_labels(scene: _Scene, view: _View) -> list[Element]:
    return [
        svg.text(view.x(0), view.top + 17, "bolt head", size=SIZE, anchor="middle", class_="qt-text qt-halo-bolt"),
        svg.text(RIGHT - 6, view.top + 17, "limb tip →", size=SIZE, anchor="end", class_="qt-text qt-halo"),
        svg.text(LEFT + 6, view.top + 17, "← butt", size=SIZE, class_="qt-text qt-halo"),
        *_bearing_words(scene, view),
        *_strip_words(scene, view),
    ]


def _bearing_words(scene: _Scene, view: _View) -> list[Element]:
    """At the butt and at the rim: "bears here", or how wide the gap is."""
    if scene.state is State.FLUSH:
        words = "bears all across"
        x = min(view.x(scene.butt_x) + 12, RIGHT - 8 - svg.text_width(words, SIZE, bold=True))
        return [svg.text(x, HEAD_AT + 22, words, size=SIZE, class_="qt-text qt-strong qt-halo-limb")]
    if scene.state is State.OFF_HEAD:
        x, kind = view.x(-_shank_half(scene)) - 8, "qt-text qt-strong qt-halo"
        lines = (("nothing", 36), ("under the head", 52))
        return [svg.text(x, HEAD_AT + y, words, size=SIZE, anchor="end", class_=kind) for words, y in lines]
    butt, rim = _side_words(scene, view, "butt"), _side_words(scene, view, "rim")
    if butt and rim and rim.start < butt.start + butt.width + 4 and abs(rim.y - butt.y) < 15:
        rim = replace(rim, y=butt.y + (16 if butt.y + 16 <= view.bottom - 26 else -16))
    return [_written(view, words) for words in (butt, rim) if words]


@dataclass(frozen=True, slots=True)
class _Words:
    key: str
    words: str
    start: float
    width: float
    y: float
    bears: bool
    inside: bool  # over the limb
    to_end: bool  # held at their end


def _written(view: _View, words: _Words) -> Element:
    kind = "qt-text qt-halo-limb" if words.inside else "qt-text qt-halo"
    return svg.text(
        words.start + words.width if words.to_end else words.start, words.y, words.words, size=SIZE,
        anchor="end" if words.to_end else "start", class_=f"{kind} qt-strong" if words.bears else kind,
        id=f"{view.prefix}-words-{words.key}",
    )  # fmt: skip


def _side_words(scene: _Scene, view: _View, key: str) -> _Words | None:
    """Under the limb's back, or outside the butt end where there is room."""
    gap, place = (scene.gap_rim, scene.reach) if key == "rim" else (scene.gap_butt, scene.butt_x)
    if gap is None:
        return None
    bears = (key == "rim") == (scene.state is State.RIM) and scene.state is not State.OUT_OF_REACH
    words = "bears here" if bears else f"gap {_mm(gap)}"
    x, width = view.x(place), svg.text_width(words, SIZE, bold=bears)
    outside = key == "butt" and scene.corner[0] >= -scene.reach and x - 10 - width > LEFT + 2
    start = x - 10 - width if outside else x + 6 if key == "butt" else min(x + 30, RIGHT - 6) - width
    low = max(_back_at(scene, view, start), _back_at(scene, view, start + width))
    if outside:
        low = max(_back_at(scene, view, x), HEAD_AT + (scene.strip or 0.0) * view.scale_y + 2)
    lowest = view.bottom - (26 if scene.strip_side else 8)
    inside = not outside and low + 15 <= lowest
    return _Words(key, words, start, width, min(low + 15, lowest), bears, inside, outside or key == "rim")


def _strip_words(scene: _Scene, view: _View) -> list[Element]:
    words = _sees(scene)
    if words is None:
        return []
    x, anchor = (RIGHT - 8, "end") if scene.strip_side == "rim" else (LEFT + 8, "start")
    kind = "qt-text qt-strong qt-halo"
    return [svg.text(x, view.bottom - 9, words, size=SIZE, anchor=anchor, class_=kind, id=f"{view.prefix}-words-strip")]


# Scales in words and bars


def _between(main: _View, large: _View) -> list[Element]:
    y = MAIN_TOP + MAIN_HEIGHT + 19
    times = trimmed(settle(large.scale_x / main.scale_x), 2)
    high = trimmed(settle(large.scale_y / main.scale_x), 2)
    words = f"The underside, {times} × as wide, {high} × as high"
    return [svg.text(LEFT, y, words, size=SIZE, class_="qt-text qt-strong", id=f"{main.prefix}-scale-words")]


def _scale_words(main: _View, large: _View) -> list[Element]:
    """Under the enlargement: a bar for its widths, a bar for its heights, and what dashed lines mean."""
    y = large.bottom + 18
    tall = _round_length(20 / large.scale_y)
    dashed = "dashed: in the limb's slot, behind its near half"
    x, top = 190.0, y + 4 - tall * large.scale_y
    upright = svg.path(
        "M", x - 4, top, "H", x + 4, "M", x, top, "V", y + 4, "M", x - 4, y + 4, "H", x + 4,
        class_="qt-dimension qt-dimension-strong", id=f"{large.prefix}-bar-high",
    )  # fmt: skip
    return [
        *_bar(large, f"{large.prefix}-bar-wide", LEFT, y, 40, after=" wide"),
        upright,
        svg.text(x + 12, y + 4, f"{trimmed(tall, 4)} mm high", size=SIZE),
        svg.text(LEFT, y + 26, dashed, size=SIZE, class_="qt-text qt-quiet"),
    ]


def _bar(view: _View, key: str, x: float, y: float, most: float, after: str = "") -> list[Element]:
    """A level scale bar; without words after it, it ends at x and has its words before it."""
    length = _round_length(most / view.scale_x)
    long = length * view.scale_x
    start = x if after else x - long
    words = f"{trimmed(length, 3)} mm{after}"
    place, anchor = (start + long + 8, "start") if after else (start - 8, "end")
    return [
        svg.path(
            "M", start, y - 4, "V", y + 4, "M", start, y, "H", start + long, "M", start + long, y - 4, "V", y + 4,
            class_="qt-dimension qt-dimension-strong", id=key,
        ),
        svg.text(place, y + 4, words, size=SIZE, anchor=anchor, class_="qt-text"),
    ]  # fmt: skip


def _round_length(most: float) -> float:
    """The largest of 1, 2, 5, 10, … that is not more."""
    power = 10.0 ** math.floor(math.log10(most) + 1e-9)
    return settle(next((step for step in (5, 2) if step * power <= most * (1 + 1e-9)), 1) * power)
