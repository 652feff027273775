"""The force with which the limb presses on the bolt's head, and the way it bends the bolt's shank.

One arrow where the head bears at one place; a row of equal small ones, in a light block, where the load is spread over
the overlap. The small ones together are as long as the one would be: length for length, all pictures compare. The
bend is a curve from the riser up to the head, off the bolt axis the way the head goes, much too large.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.figures import svg
from quarterturn.figures.axis import Point, Viewport
from quarterturn.figures.pocket_parts import PocketScene
from quarterturn.figures.svg import Element
from quarterturn.mechanics.pocket import ContactState

SPREAD = 5
"""How many small arrows there are."""
NOTHING = (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD)
"""Where nothing touches the head."""
HARDLY = 0.15
"""A bend of less than this part of the largest is drawn without an arrow and said to be hardly any."""
_ARROW = (1.9, 5.2, 9.5, 1.6 * 9.5)
_SMALL_ARROW = (1.1, 3.3, 5.5, 1.6 * 5.5)


@dataclass(frozen=True, slots=True)
class Force:
    """What the limb does to the bolt at one turn count.

    Where it presses and which way is not said here: the pocket's contact says it.
    """

    words: str
    """What is written at it, such as "1 376 N"."""
    length: float
    """The force as a part, 0 to 1, of the largest that is shown."""
    spread: bool = False
    """When flush: the load is spread evenly over the overlap; else, and elsewhere, it is drawn at its one place."""
    bend: float = 0.0
    """The bending moment at the head's underside as a part, −1 to 1, of the largest that is shown, with the sign of
    force times place: positive where the limb presses on the limb-tip side of the axis, which bends the head toward
    the butt."""


def check(force: Force) -> None:
    """Refuse lengths that are none.

    Raises:
        ValueError: the length is not from 0 to 1, or the bend not from −1 to 1.
    """
    if not 0 <= force.length <= 1:  # false for NaN too
        raise ValueError(f"a force's length must be from 0 to 1: {force.length}")
    if not -1 <= force.bend <= 1:
        raise ValueError(f"a bend must be from -1 to 1: {force.bend}")


def direction(scene: PocketScene) -> Point:
    """Which way the limb presses on the head, a unit vector in the pocket's frame; no friction.

    Along the bolt, +y, where the head's flat bears; along the normal of the limb's back, (sin φ, cos φ), where an edge
    of the head bears on that.
    """
    if scene.state in (ContactState.EDGE, ContactState.RIM):
        return math.sin(scene.angle), math.cos(scene.angle)
    return 0.0, 1.0


def tip(scene: PocketScene, view: Viewport, force: Force, longest: float) -> Point | None:
    """Where the force's arrow ends, in user units; the middle of the small ones' tips; None where nothing touches."""
    if scene.state in NOTHING or scene.contact.contact_x is None:
        return None
    x, y = view.at((1000 * scene.contact.contact_x, scene.head))
    if _is_spread(scene, force):
        return (view.x(scene.butt_x) + view.x(scene.reach)) / 2, y - longest * force.length / SPREAD
    across, up = direction(scene)
    return x + across * longest * force.length, y - up * longest * force.length


def _is_spread(scene: PocketScene, force: Force) -> bool:
    return force.spread and scene.state is ContactState.FLUSH


def arrows(scene: PocketScene, view: Viewport, force: Force, longest: float) -> list[Element]:
    """The force from where the head bears; nothing where nothing touches.

    One polygon PREFIX-force, its tip first and its foot between the fourth point and the fifth; or PREFIX-force-0 and
    on, and the block PREFIX-force-block behind them. `longest` is the length of a whole force, user units. The view
    must be as high as wide.
    """
    end = tip(scene, view, force, longest)
    if end is None or force.length == 0:
        return []
    if not _is_spread(scene, force):
        foot = view.at((1000 * (scene.contact.contact_x or 0.0), scene.head))
        return [svg.polygon(svg.arrow_outline(foot, end, *_ARROW), class_="qt-force", id=f"{view.prefix}-force")]
    left, right, flat = view.x(scene.butt_x), view.x(scene.reach), view.y(scene.head)
    block = (left, end[1], right - left, flat - end[1])
    drawn = [svg.rect(*block, class_="qt-force-block", id=f"{view.prefix}-force-block")]
    for at in range(SPREAD):
        x = left + (right - left) * (at + 0.5) / SPREAD
        points = svg.arrow_outline((x, flat), (x, end[1]), *_SMALL_ARROW)
        drawn.append(svg.polygon(points, class_="qt-force-small", id=f"{view.prefix}-force-{at}"))
    return drawn


def bent(scene: PocketScene, view: Viewport, force: Force, most: float) -> list[Element]:
    """The bent axis of the bolt from the riser to the head's underside, `most` user units off it for the whole bend.

    A parabola, the shape of an evenly bent shank that is held in the riser. PREFIX-bend carries data-bend, how far off
    the axis its upper end is, positive toward the limb tip. Nothing where nothing touches or nothing bends.
    """
    if scene.state in NOTHING or force.bend == 0:
        return []
    off = -force.bend * most
    x, mouth, top = view.x(0), view.y(-scene.depth - 5), view.y(scene.head)
    parts = ("M", x, mouth + 16, "V", mouth, "Q", x, (mouth + top) / 2, x + off, top)
    drawn = [
        svg.path(*parts, class_="qt-bend-halo"),
        svg.path(*parts, class_="qt-bend", id=f"{view.prefix}-bend", data_bend=svg.number(off)),
    ]
    if abs(force.bend) < HARDLY:
        return drawn
    way, down = math.copysign(1.0, off), 10.0
    base = x + off * max(0.0, 1 - down / (mouth - top)) ** 2 + way * 2.4  # beside the curve, that much under its end
    points = [(base + way * 9, top + down), (base, top + down - 5), (base, top + down + 5)]
    return [*drawn, svg.polygon(points, class_="qt-bend-arrow", id=f"{view.prefix}-bend-arrow")]


def bend_words(scene: PocketScene, force: Force) -> str:
    """Which way the shank is bent, short, for a drawing whose limb tip is to the right; "" where nothing touches."""
    if scene.state in NOTHING:
        return ""
    if abs(force.bend) < HARDLY:
        return "barely bent" if force.bend else "not bent"
    return "← bends" if force.bend > 0 else "bends →"


def described(scene: PocketScene, force: Force) -> str:
    """The force in words."""
    if scene.state in NOTHING:
        return "The limb does not press on the bolt: its fitting carries everything."
    said = f"The limb presses on the head, outward: {force.words}"
    if _is_spread(scene, force):
        said += ", spread over the whole overlap."
    else:
        side = "the limb-tip side" if (scene.contact.contact_x or 0.0) > 0 else "the butt side"
        said += f", in one place on {side} of the bolt's axis."
    if force.bend == 0:
        return said
    how = "barely bends" if abs(force.bend) < HARDLY else "bends"
    return f"{said} It {how} the shank, its head toward {'the butt' if force.bend > 0 else 'the limb tip'}."
