"""A pocket as it is seen at the bench: the bolt's head from above and from the side, a strip; nothing of the inside.

The limb's tip is to the right, out is up. What lies behind the pocket's cheek is not drawn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.figures import pocket_parts, svg
from quarterturn.figures.axis import Viewport
from quarterturn.figures.pocket_parts import pocket_scene
from quarterturn.figures.svg import SIZE, WIDTH, Element, Picture
from quarterturn.mechanics.pocket import ContactState, Pocket

HEIGHT = 268.0
DIAL = (56.0, 58.0)
RADIUS = 34.0
CHEEK = 196.0
"""The upper edge of the pocket's cheek."""
AXIS = 128.0
SCALE = 4.0
"""User units a mm, in the view from the side."""
LENGTH = 22.0
"""How long the strip is drawn, mm."""
HEAD_HIGH = 6.0
LIFT = 5.0
"""How far the head's underside is over the cheek's edge at flush, mm."""
FROM_ABOVE = 112.0
"""Where the words beside the head from above begin."""


@dataclass(frozen=True, slots=True)
class ClosedScene:
    """What is seen.

    Attributes:
        turned: since the bolt was found, turns, positive outward; the head from above shows its part of a turn.
        height: of the head's underside over where it is at flush, m.
        radius: of the head, m.
        offered: where the strip is, "rim" or "butt".
        reach: how far it has gone in, m; None where there is no limb under the head.
        lines: words beside the head from above.
        felt: what the strip does, in a few words.
    """

    turned: float
    height: float
    radius: float
    offered: str
    reach: float | None
    lines: tuple[str, ...]
    felt: str


@dataclass(frozen=True, slots=True)
class TurnDrag:
    """A field of turns that a pull up or down on the head sets: its name, its least and its most, m a turn."""

    field: str
    low: float
    high: float
    pitch: float


def closed_pocket(scene: ClosedScene, *, prefix: str, title: str, name: str, drag: TurnDrag | None = None) -> Picture:
    """Draw what is seen at the bench.

    The group PREFIX-side carries, with a drag, data-drag-field, data-drag-axis "y", data-drag-origin (the y of the
    underside where the field is 0), data-drag-scale (user units a turn, negative, for out is up), data-drag-low and
    data-drag-high. By id after the prefix: mark (on the head), strip, felt.
    """
    under = _under(scene)
    at_zero = under if drag is None else under + 1000 * drag.pitch * scene.turned * SCALE
    attributes = {} if drag is None else _drag_attributes(drag, at_zero, SCALE)
    children = [
        svg.element("defs", svg.hatching(f"{prefix}-hatch", "rising", 7)),
        *_from_above(scene, prefix),
        svg.group(*_from_the_side(scene, under, prefix), id=f"{prefix}-side", **attributes),
    ]
    words = f"{' '.join(f'{line}.' for line in scene.lines)} {scene.felt}"
    return svg.picture(name, title, words, WIDTH, HEIGHT, children, prefix=prefix)


def _under(scene: ClosedScene) -> float:
    return CHEEK - SCALE * (LIFT + 1000 * scene.height)


# The head from above


def _from_above(scene: ClosedScene, prefix: str) -> list[Element]:
    x, y = DIAL
    drawn = [
        svg.rect(8, 8, 96, 100, class_="qt-riser"),
        svg.rect(8, 8, 96, 100, class_="qt-riser-line"),
        svg.circle(x, y, RADIUS, class_="qt-bolt"),
        svg.circle(x, y, RADIUS, class_="qt-bolt-line"),
        svg.polygon([_at(k / 6 - scene.turned, 11) for k in range(6)], class_="qt-window"),
        svg.polygon([_at(k / 6 - scene.turned, 11) for k in range(6)], class_="qt-bolt-line", fill="none"),
        svg.line(*_at(-scene.turned, 14), *_at(-scene.turned, RADIUS), class_="qt-head-underside", id=f"{prefix}-mark"),
        svg.line(x, y - RADIUS - 3, x, 9, class_="qt-head-underside"),
    ]
    drawn += [
        svg.line(*_at(k / 8, RADIUS + 2), *_at(k / 8, RADIUS + (6 if k % 2 else 9)), class_="qt-gap")
        for k in range(1, 8)
    ]
    return [*drawn, *svg_lines(scene.lines)]


def svg_lines(lines: tuple[str, ...]) -> list[Element]:
    """Words beside the head, a line under the other."""
    return [
        svg.text(FROM_ABOVE, 24 + 18 * at, svg.shortened(words, WIDTH - FROM_ABOVE - 4, SIZE), size=SIZE)
        for at, words in enumerate(lines)
    ]


def _at(part: float, far: float) -> tuple[float, float]:
    """A place round the head's middle, by a part of a turn clockwise from the top."""
    angle = 2 * math.pi * part
    return DIAL[0] + far * math.sin(angle), DIAL[1] - far * math.cos(angle)


# From the side


def _from_the_side(scene: ClosedScene, under: float, prefix: str) -> list[Element]:
    half = 1000 * scene.radius * SCALE
    left, right, shank = AXIS - half, AXIS + half, 0.4 * half
    limb = [(236.0, CHEEK - 4), (WIDTH - 4, CHEEK - 14), (WIDTH - 4, CHEEK + 16), (236.0, CHEEK + 26)]
    return [
        svg.rect(4, 114, WIDTH - 8, HEIGHT - 118, class_="qt-window"),
        svg.polygon(limb, class_="qt-limb"),
        svg.polygon(limb, class_="qt-limb-line"),
        svg.rect(AXIS - shank, under, 2 * shank, max(0.0, CHEEK + 6 - under), class_="qt-bolt"),
        *_strip(scene, (left, right), under, prefix),
        svg.rect(left, under - HEAD_HIGH * SCALE, 2 * half, HEAD_HIGH * SCALE, class_="qt-bolt"),
        svg.rect(left, under - HEAD_HIGH * SCALE, 2 * half, HEAD_HIGH * SCALE, class_="qt-bolt-line", fill="none"),
        svg.line(left, under, right, under, class_="qt-head-underside"),
        svg.rect(30, CHEEK, 212, HEIGHT - CHEEK - 5, class_="qt-riser"),
        svg.rect(30, CHEEK, 212, HEIGHT - CHEEK - 5, fill=f"url(#{prefix}-hatch)"),
        svg.rect(30, CHEEK, 212, HEIGHT - CHEEK - 5, class_="qt-riser-line"),
        svg.text(38, HEIGHT - 14, svg.shortened(scene.felt, 200, SIZE, bold=True), size=SIZE,
                 class_="qt-text qt-strong qt-halo-riser", id=f"{prefix}-felt"),
        svg.rect(4, 114, WIDTH - 8, HEIGHT - 118, class_="qt-frame"),
        svg.rect(left - 10, under - HEAD_HIGH * SCALE - 10, 2 * half + 20, HEAD_HIGH * SCALE + 20, class_="qt-grip"),
    ]  # fmt: skip


def _strip(scene: ClosedScene, rims: tuple[float, float], under: float, prefix: str) -> list[Element]:
    """What of the strip is still out, at the rim toward the tip or at the butt end."""
    left, right = rims
    into = (left - right if scene.offered == "butt" else right - left) / 2
    reach = 2 * abs(into) if scene.reach is None else 1000 * scene.reach * SCALE
    start = left if scene.offered == "butt" else right
    way = -1.0 if scene.offered == "butt" else 1.0
    inner, outer = start - way * reach, start + way * max(LENGTH * SCALE - reach, 14.0)
    points = [(inner, under + 1), (outer, under - 5), (outer, under - 2), (inner, under + 4)]
    return [svg.polygon(points, class_="qt-strip", id=f"{prefix}-strip")]


SMALL_WIDTH, SMALL_HEIGHT = 132.0, 84.0


def small_dial(turned: float, *, prefix: str, title: str, name: str) -> Picture:
    """Draw the head from above alone, without words, for a narrow strip."""
    x, y, radius = SMALL_WIDTH / 2, SMALL_HEIGHT / 2, 34.0
    angle = -2 * math.pi * turned
    tip = (x + radius * math.sin(angle), y - radius * math.cos(angle))
    foot = (x + 0.4 * radius * math.sin(angle), y - 0.4 * radius * math.cos(angle))
    children = [
        svg.rect(0.5, 0.5, SMALL_WIDTH - 1, SMALL_HEIGHT - 1, class_="qt-riser"),
        svg.circle(x, y, radius, class_="qt-bolt"),
        svg.circle(x, y, radius, class_="qt-bolt-line"),
        svg.line(*foot, *tip, class_="qt-head-underside"),
        svg.line(x, y - radius - 2, x, 1, class_="qt-head-underside"),
        svg.rect(0.5, 0.5, SMALL_WIDTH - 1, SMALL_HEIGHT - 1, class_="qt-frame"),
    ]
    return svg.picture(name, title, f"{title}.", SMALL_WIDTH, SMALL_HEIGHT, children, prefix=prefix)


# The same with the cheek taken off

OPEN_HEIGHT, OPEN_FLUSH, TALLER = 216.0, 150.0, 2.0
GRIP = 48.0
"""Of the head, what a finger takes hold of: beside it a swipe scrolls the page."""


def opened_pocket(
    pocket: Pocket,
    turns: float,
    *,
    prefix: str,
    title: str,
    name: str,
    drag: TurnDrag | None = None,
    found: float = 0.0,
) -> Picture:
    """Draw head and limb without a number, heights twice their true size; the group PREFIX-side as in `closed_pocket`.

    Args:
        pocket: its dimensions.
        turns: of the head, from flush.
        prefix: put before every id.
        title: the picture's name for those who do not see it.
        name: the picture's name for programs.
        drag: what a pull on the head sets.
        found: where that field is 0, turns from flush.

    Raises PocketError as `mechanics.contact.contact`.
    """
    scene = pocket_scene(pocket, turns)
    scale = WIDTH / (3.4 * scene.radius)
    view = Viewport(prefix, scale, TALLER * scale, 0.46 * WIDTH, OPEN_FLUSH, 0.0, OPEN_HEIGHT, 0.0, WIDTH, prefix)
    drawn = [
        *pocket_parts.shank(scene, view),
        pocket_parts.round_of_head(scene, view),
        *pocket_parts.limb(scene, view),
        *pocket_parts.hidden_shank(scene, view),
        *pocket_parts.head(scene, view),
    ]
    under = view.y(scene.head)
    drawn.append(svg.rect(view.x(0) - GRIP, under - GRIP, 2 * GRIP, GRIP, class_="qt-grip"))
    attributes = {} if drag is None else _drag_attributes(drag, view.y(1000 * drag.pitch * found), view.scale_y)
    children = _opened(drawn, prefix, attributes)
    return svg.picture(name, title, f"{SEEN[scene.state]}.", WIDTH, OPEN_HEIGHT, children, prefix=prefix)


def _opened(drawn: list[Element], prefix: str, attributes: dict[str, str]) -> list[Element]:
    """The window on what is drawn, and its two words."""
    return [
        svg.element(
            "defs",
            svg.clip(f"{prefix}-clip", 0, 0, WIDTH, OPEN_HEIGHT),
            svg.hatching(f"{prefix}-hatch-bolt", "falling", 6),
        ),
        svg.group(
            svg.rect(0, 0, WIDTH, OPEN_HEIGHT, class_="qt-window"),
            svg.group(*drawn, clip_path=f"url(#{prefix}-clip)"),
            svg.rect(0.5, 0.5, WIDTH - 1, OPEN_HEIGHT - 1, class_="qt-frame"),
            svg.text(WIDTH - 8, 18, "limb tip →", size=SIZE, anchor="end", class_="qt-text qt-halo"),
            svg.text(8, 18, "← butt", size=SIZE, class_="qt-text qt-halo"),
            id=f"{prefix}-side",
            **attributes,
        ),
    ]


SEEN = {
    ContactState.BUTT: "The butt end touches the head",
    ContactState.EDGE: "The head's edge touches the limb's back",
    ContactState.FLUSH: "Head and limb lie flat on each other",
    ContactState.RIM: "Only the head's rim touches",
    ContactState.OUT_OF_REACH: "Head and limb do not touch",
    ContactState.OFF_HEAD: "Head and limb do not touch",
}
"""What an eye sees."""


def _drag_attributes(drag: TurnDrag, origin: float, scale: float) -> dict[str, str]:
    return {
        "data_drag_field": drag.field, "data_drag_axis": "y", "data_drag_origin": svg.number(origin),
        "data_drag_scale": svg.number(-1000 * drag.pitch * scale),
        "data_drag_low": svg.number(drag.low), "data_drag_high": svg.number(drag.high),
    }  # fmt: skip
