"""What the drawings of a pocket share: what lies where, and the drawn things themselves.

The limb's tip is to the right, the bolt axis upright, out is up. What lies where is asked from the mechanics; only
the riser, the bolt's head, shank and thread, and the limb beyond its back surface are drawn freely.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.axis import Point, Viewport
from quarterturn.figures.svg import Element
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics import pocket as mechanics
from quarterturn.mechanics.contact import Contact
from quarterturn.mechanics.pocket import ContactState, Pocket
from quarterturn.numbers import at_most


@dataclass(frozen=True, slots=True)
class PocketScene:
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
    length_unit: str = "mm"
    """The unit of lengths in words."""

    @property
    def angle(self) -> float:
        """φ, rad."""
        return self.contact.rock_angle

    @property
    def state(self) -> ContactState:
        """Where the limb bears."""
        return self.contact.state

    @property
    def corner(self) -> Point:
        """The corner of butt end and back, mm."""
        x, y = mechanics.butt_corner(self.pocket, self.angle)
        return 1000 * x, 1000 * y

    def back(self, x: float) -> float:
        """Height of the limb's back over x."""
        return 1000 * mechanics.back_height(self.pocket, self.angle, x / 1000)

    def beyond(self, point: Point, along: float, inward: float) -> Point:
        """A point moved along the limb toward its tip, and from its back inward."""
        cosine, sine = math.cos(self.angle), math.sin(self.angle)
        return point[0] + along * cosine - inward * sine, point[1] - along * sine - inward * cosine


def pocket_scene(
    pocket: Pocket,
    turns: float,
    strip: float | None = None,
    side: str | None = None,
    strip_name: str = "",
    pushed: float | None = None,
    length_unit: str = "mm",
) -> PocketScene:
    """Ask the mechanics what lies where; lengths in m, as they give and take them, and in words in `length_unit`."""
    found = contacts.contact(pocket, turns)
    rim, butt = feeler.gap_at_rim(pocket, turns), feeler.gap_at_butt(pocket, turns)
    reach = 1000 * pocket.rim_reach
    return PocketScene(
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
        length_unit=length_unit,
    )  # fmt: skip


def _how_far(pocket: Pocket, turns: float, strip: float | None, side: str | None) -> float | None:
    """How far in the strip goes, mm."""
    if strip is None or side is None:
        return None
    reach = feeler.strip_reach(pocket, turns, strip, side)
    return None if reach is None else 1000 * reach


# The drawn things


def _left_edge(view: Viewport) -> float:
    """The window's left edge, mm."""
    return (view.left - view.origin_x) / view.scale_x


def _right_edge(view: Viewport) -> float:
    return (view.right - view.origin_x) / view.scale_x


def riser(scene: PocketScene, view: Viewport) -> list[Element]:
    """A pocket of our own: end wall, floor, a boss for the bolt, and the fulcrum near the mouth."""
    floor, wall = -scene.depth - 5, -max(scene.radius, 1000 * scene.pocket.coverage_at_flush) - 4
    low = (view.bottom + 9 - view.origin_y) / -view.scale_y
    a, t = scene.arm, scene.depth
    outline = [
        (_left_edge(view) - 3, low), (_left_edge(view) - 3, -0.2 * t), (wall - 1, -0.2 * t), (wall, -0.2 * t - 1),
        (wall, floor), (a - 7, floor), (a - 2.6, -t - 1.3), (a + 2.6, -t - 1.3), (a + 6, -t - 3.5), (a + 9, low),
    ]  # fmt: skip
    points = view.all(outline)
    return [
        svg.polygon(points, class_="qt-riser"),
        svg.polygon(points, class_="qt-riser-line", fill=None),
        *_bush(scene, view, floor, low),
    ]


def _bush(scene: PocketScene, view: Viewport, floor: float, low: float) -> list[Element]:
    half = bush_half(scene)
    left, top = view.at((-half, floor))
    width, height = 2 * half * view.scale_x, (floor - low) * view.scale_y
    return [
        svg.rect(left, top, width, height, class_="qt-window"),
        svg.rect(left, top, width, height, fill=f"url(#{view.base}-hatch-riser)"),
        svg.rect(left, top, width, height, class_="qt-riser-line"),
    ]


def bush_half(scene: PocketScene) -> float:
    """Half the width of the riser's bush as drawn, mm."""
    return shank_half(scene) + 3


def shank_half(scene: PocketScene) -> float:
    """Half the width of the shank as drawn, mm."""
    return 0.88 * scene.slot if scene.slot > 0.15 * scene.radius else 0.45 * scene.radius


def shank(scene: PocketScene, view: Viewport) -> list[Element]:
    """The shank with its thread, which turns with the head."""
    half, floor = shank_half(scene), -scene.depth - 5
    pitch = max(1000 * scene.pocket.pitch, 2.5 / view.scale_y)
    start, low = floor + 1.5, (view.bottom + 8 - view.origin_y) / -view.scale_y
    right = [(half, scene.head), (half, start + scene.head)]
    height = start + scene.head
    height -= pitch * max(0, math.ceil((height - (view.origin_y - view.top) / view.scale_y) / pitch))
    while height > low:
        right += [(0.84 * half, height - pitch / 2), (half, height - pitch)]
        height -= pitch
    left = [(-x, y) for x, y in reversed(right)]
    points = view.all(right + left)
    return [
        svg.polygon(points, class_="qt-bolt", id=f"{view.prefix}-shank"),
        svg.polygon(points, class_="qt-bolt-line"),
    ]


def hidden_shank(scene: PocketScene, view: Viewport) -> list[Element]:
    """The shank in the limb's slot, behind the near prong."""
    half, bottom = shank_half(scene), -scene.depth - 5
    return [svg.line(*view.at((x, scene.head)), *view.at((x, bottom)), class_="qt-bolt-far") for x in (-half, half)]


def round_of_head(scene: PocketScene, view: Viewport) -> Element:
    """The head's full round, which stands over the slot, behind the prong."""
    left, top = view.at((-scene.radius, scene.head + head_height(scene)))
    width, height = 2 * scene.radius * view.scale_x, head_height(scene) * view.scale_y
    return svg.rect(left, top, width, height, class_="qt-bolt-round")


def head_height(scene: PocketScene) -> float:
    """How high the head is drawn, mm."""
    return 0.55 * scene.radius


def head(scene: PocketScene, view: Viewport) -> list[Element]:
    """The head as cut over the prong: its flat ends at the rim's reach."""
    reach, thick = scene.reach, head_height(scene)
    cut = min(0.6, 0.1 * scene.radius)
    corners = [
        (-reach, scene.head), (-reach, scene.head + thick - cut), (-reach + cut, scene.head + thick),
        (reach - cut, scene.head + thick), (reach, scene.head + thick - cut), (reach, scene.head),
    ]  # fmt: skip
    points = view.all(corners)
    under = (*view.at((-reach, scene.head)), *view.at((reach, scene.head)))
    return [
        svg.polygon(points, class_="qt-bolt", id=f"{view.prefix}-head"),
        svg.polygon(points, fill=f"url(#{view.base}-hatch-bolt)"),
        svg.polygon(points, class_="qt-bolt-line"),
        svg.line(*under, class_="qt-head-underside", id=f"{view.prefix}-head-underside"),
    ]


def limb(scene: PocketScene, view: Viewport) -> list[Element]:
    """The limb from its butt end on, with its back strong and a dot at the butt's corner."""
    corner, depth = scene.corner, scene.depth
    long = 2 * (abs(_right_edge(view)) + abs(_left_edge(view))) + scene.arm
    ends = ((0.0, 0.0), (long, 0.0), (long, depth), (0.0, depth))
    outline = [scene.beyond(corner, along, inward) for along, inward in ends]
    points = view.all(outline)
    back = (*view.at(corner), *view.at(outline[1]))
    return [
        svg.polygon(points, class_="qt-limb", id=f"{view.prefix}-limb"),
        svg.polygon(points, class_="qt-limb-line"),
        svg.line(*back, class_="qt-limb-back", id=f"{view.prefix}-limb-back"),
        svg.circle(*view.at(corner), 1.6, class_="qt-fulcrum", id=f"{view.prefix}-butt-corner"),
    ]


def slot_end(scene: PocketScene, view: Viewport) -> list[Element]:
    """The slot's closed end, taken to lie outside the head, dashed because the prong hides it."""
    if scene.slot <= 0:
        return []
    along = 1000 * scene.pocket.coverage_at_flush + scene.radius + 1.5
    top = scene.beyond(scene.corner, along, 0)
    bottom = scene.beyond(scene.corner, along, scene.depth)
    return [svg.line(*view.at(top), *view.at(bottom), class_="qt-slot")]


def centre_line(view: Viewport) -> Element:
    """The bolt axis."""
    x = view.x(0)
    return svg.line(x, view.top + 22, x, view.bottom - 4, class_="qt-axis")


def flush_line(view: Viewport) -> Element:
    """Where the head's underside is at flush, from the axis to the window's side."""
    return svg.line(view.x(0), view.y(0), view.right, view.y(0), class_="qt-zero-line", id=f"{view.prefix}-flush")


def fulcrum(scene: PocketScene, view: Viewport) -> list[Element]:
    """A pin that carries the limb's belly; its foot stands on the riser."""
    x, y = view.at((scene.arm, -scene.depth))
    wedge = [(x, y), (x - 6, y + 9), (x + 6, y + 9)]
    return [svg.polygon(wedge, class_="qt-fulcrum", id=f"{view.prefix}-fulcrum")]


def gaps(scene: PocketScene, view: Viewport, *, small: bool) -> list[Element]:
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


def strip(scene: PocketScene, view: Viewport) -> list[Element]:
    """The feeler strip at its true thickness, lying where a hand would slide it, as far in as it goes."""
    if scene.strip is None or scene.strip_side is None:
        return []
    points = _strip_at_rim(scene) if scene.strip_side == "rim" else _strip_at_butt(scene)
    return [svg.polygon(view.all(points), class_="qt-strip", id=f"{view.prefix}-strip")]


def _strip_at_rim(scene: PocketScene) -> list[Point]:
    """It lies on the limb's back and comes from the tip side."""
    thick, start = scene.strip or 0.0, scene.reach
    if scene.strip_pushed is not None:
        start = scene.reach - _pushed_in(scene, scene.strip_pushed)
    elif scene.gap_rim is None or not at_most(scene.gap_rim, thick):
        start = max(_where_gap_is(scene, thick), scene.reach - _depth_in(scene))
    return _on_back(scene, start, scene.reach + 0.6 * scene.radius)


def _strip_at_butt(scene: PocketScene) -> list[Point]:
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


def _pushed_in(scene: PocketScene, pushed: float) -> float:
    """As far as a hand pushes it and it goes, mm; under a head with no limb, across the head."""
    return min(pushed, 2 * scene.reach if scene.strip_reach is None else scene.strip_reach)


def _on_back(scene: PocketScene, start: float, end: float) -> list[Point]:
    thick = scene.strip or 0.0
    return [
        (start, scene.back(start)), (start, scene.back(start) + thick),
        (end, scene.back(end) + thick), (end, scene.back(end)),
    ]  # fmt: skip


def _depth_in(scene: PocketScene) -> float:
    """A hand slides the strip in as far as this and no farther, mm."""
    return 0.55 * scene.radius


def _where_gap_is(scene: PocketScene, gap: float) -> float:
    """The x where the head's flat is that far from the limb's back."""
    slope = math.tan(scene.angle)
    if slope == 0:
        return scene.reach
    return scene.reach + (gap - (scene.head - scene.back(scene.reach))) / slope


def bearing(scene: PocketScene, view: Viewport, radius: float) -> list[Element]:
    """The contact point, or the line of contact when flush; nothing where nothing bears."""
    key = f"{view.prefix}-contact"
    if scene.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD) or scene.contact.contact_x is None:
        return []
    if scene.state is ContactState.FLUSH:
        start = (view.x(scene.butt_x), view.y(scene.head))
        return [svg.line(*start, view.x(scene.reach), view.y(scene.head), class_="qt-contact-line", id=key)]
    x, y = view.at((1000 * scene.contact.contact_x, scene.head))
    return [svg.circle(x, y, radius, class_="qt-contact", id=key)]


# The whole bow above

BAND = 46.0  # user units: as high as this makes a picture higher
SAID = "Above it the whole bow lies on its side, with a ring round the pocket that is shown. "
_HALF, _RISER, _RING = 132.0, 40.0, 9.0
_TIP, _RECURVE = 26.0, 19.0


def whole_bow(view: Viewport, prefix: str) -> Element:
    """The whole bow, lying above the main view, a ring round the pocket and lines from it down to the view.

    It is no bow in particular and not to scale. As below it, the limb that is shown goes to the right, its back upward.
    By id after the prefix: whole-bow, whole-bow-ring.
    """
    middle, top = (view.left + view.right) / 2, view.top - BAND + 8
    drawn: list[Element] = []
    for way in (-1, 1):
        root, end = middle + way * _RISER, middle + way * _HALF
        drawn.append(
            svg.path(
                "M", root - way * 7, top + 1,
                "C", root + way * 40, top, end - way * 28, top + _RECURVE + 4, end - way * 12, top + _TIP,
                "S", end - way * 2, top + _TIP - 3, end, top + _TIP - 8,
                class_="qt-whole-limb",
            )
        )  # fmt: skip
    riser = [(44, 3), (30, 6), (12, 4), (-12, 4), (-30, 6), (-44, 3), (-44, 8), (-22, 13), (0, 7), (22, 13), (44, 8)]
    drawn += [
        svg.polygon([(middle + x, top + y) for x, y in riser], class_="qt-whole-riser"),
        svg.line(middle - _HALF + 12, top + _TIP, middle + _HALF - 12, top + _TIP, class_="qt-string"),
    ]
    ring = middle + _RISER - 2, top + 3.0
    drawn += [
        svg.line(ring[0] + way * 0.8 * _RING, ring[1] + 0.6 * _RING, end, view.top, class_="qt-whole-lead")
        for way, end in ((-1, view.left), (1, view.right))
    ]
    drawn.append(svg.circle(*ring, _RING, class_="qt-whole-ring", id=f"{prefix}-whole-bow-ring"))
    return svg.group(*drawn, id=f"{prefix}-whole-bow")
