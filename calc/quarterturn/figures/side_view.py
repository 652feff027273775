"""Limb, pocket and bolt from the side, to scale, with the head's underside enlarged.

The limb's tip is to the right, the bolt axis upright, out is up. What lies where is asked from the mechanics; only
the riser, the bolt's head, shank and thread, and the limb beyond its back surface are drawn freely.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from quarterturn.figures import force as forces
from quarterturn.figures import pocket_parts, svg
from quarterturn.figures.axis import Viewport
from quarterturn.figures.force import Force
from quarterturn.figures.pocket_parts import BAND, SAID, PocketScene, pocket_scene, whole_bow
from quarterturn.figures.side_view_labels import (
    LEFT,
    LONGEST,
    RIGHT,
    UNDER_TOP,
    WORDS_FROM,
    between_words,
    description,
    heading,
    large_labels,
    main_labels,
    scale_words,
)
from quarterturn.figures.svg import WIDTH, Element, Picture
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.pocket import Pocket
from quarterturn.numbers import plain, rounded

MAIN_TOP, MAIN_HEIGHT = 44.0, 150.0
LARGE_TOP, LARGE_HEIGHT = 220.0, 144.0
HEIGHT = 391.0
FLUSH_AT = MAIN_TOP + 66  # the height of flush in the main view
MOST_BENT = 12.0  # how far off the axis the whole bend is drawn

MAIN_SCALES = (3.5, 3.0, 2.5, 2.0, 1.5, 1.0, 0.75, 0.5)  # user units a mm
WIDER = (4.0, 3.0, 2.5, 2.0, 1.5, 1.0)  # widths of the enlargement against those of the main view
TALLER = (1, 2, 4, 7, 10, 15, 20, 30)  # its heights against its widths
THIN = 0.2  # mm: a gap up to this is looked at with a strip of paper
THIN_SCALE = 68.0  # user units a mm at least, so that 0.05 mm is more than 3 px on a phone


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
    force: Force | None = None,
    drag_field: str = "",
    drag_low: float | None = None,
    drag_high: float | None = None,
    enlarged: bool = True,
    on_bow: bool = False,
    length_unit: str = "mm",
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
        force: what the limb does to the bolt there, drawn in the main view, which is then higher; None for nothing.
        drag_field: the field of turns that a drag up or down on the main view sets; "" for none.
        drag_low: the least turns to be set so.
        drag_high: the most.
        enlarged: whether the head's underside is drawn enlarged below.
        on_bow: whether the whole bow is drawn above, with a ring round the pocket.
        length_unit: the unit of lengths in words, "mm" or "in".
        title: the picture's name for those who do not see it.
        name: the picture's name for programs.

    The groups PREFIX-main and PREFIX-large carry data-scale-x and data-scale-y (user units per mm) and data-origin-x
    and data-origin-y (where the pocket's origin is drawn). In them, by id (in the second with "large-" before the
    name): head-underside, limb-back, butt-corner, contact, gap-rim, gap-butt, strip. What does not exist in a state is
    not drawn. With a force, in PREFIX-main, what `figures.force` says, and the words PREFIX-force-words and
    PREFIX-bend-words. With a field to drag, PREFIX-main carries data-drag-field, data-drag-axis "y", data-drag-origin
    (the y of the head's underside at flush), data-drag-scale (user units per turn, negative, for out is up),
    data-drag-low and data-drag-high (turns).

    Raises:
        ValueError: strip_side is neither "rim" nor "butt" nor None; strip_pushed is less than 0 or not finite; the
            force is none; a field to drag has no ends or its ends are not in order; PocketError as
            `mechanics.contact.contact`.
    """
    if strip_side not in ("rim", "butt", None):
        raise ValueError(f'strip_side must be "rim", "butt" or None: {strip_side!r}')
    if strip_pushed is not None and not 0 <= strip_pushed < math.inf:
        raise ValueError(f"strip_pushed must be finite and at least 0: {strip_pushed}")
    scene = pocket_scene(pocket, turns, strip, strip_side, strip_name, strip_pushed, length_unit)
    main, large = _main_view(scene, prefix), _large_view(scene, prefix)
    higher = 0.0
    if force is not None:
        forces.check(force)
        higher = _room_for_arrow(scene, main)
        main = replace(main, origin_y=main.origin_y + higher, height=main.height + higher)
        large = replace(large, origin_y=large.origin_y + higher, top=large.top + higher)
    lower = BAND if on_bow else 0.0
    main, large = (replace(view, origin_y=view.origin_y + lower, top=view.top + lower) for view in (main, large))
    drag = _drag(scene, main, drag_field, drag_low, drag_high) if drag_field else {}
    children = [_definitions(main, large), *heading(scene), _main(scene, main, force, drag)]
    words = description(scene, force)
    if on_bow:
        children.append(whole_bow(main, prefix))
        words = f"{words} {SAID}".strip()
    if not enlarged:
        return svg.picture(name, title, words, WIDTH, main.bottom + 4, children, prefix=prefix)
    children += [*between_words(main, large), _large(scene, large), *scale_words(main, large, length_unit)]
    return svg.picture(name, title, words, WIDTH, HEIGHT + higher + lower, children, prefix=prefix)


def _drag(scene: PocketScene, view: Viewport, field: str, low: float | None, high: float | None) -> dict[str, str]:
    """What a script needs to turn a height on the main view into turns."""
    if low is None or high is None or not -math.inf < low < high < math.inf:
        raise ValueError(f"the ends of a drag must be finite and in order: {low} to {high}")
    return {
        "data_drag_field": field, "data_drag_axis": "y", "data_drag_origin": repr(rounded(view.y(0.0))),
        "data_drag_scale": repr(rounded(-1000 * scene.pocket.pitch * view.scale_y)),
        "data_drag_low": repr(rounded(low)), "data_drag_high": repr(rounded(high)),
    }  # fmt: skip


# Scales


def _main_view(scene: PocketScene, prefix: str) -> Viewport:
    """The largest scale that shows all from the butt to past the fulcrum; it does not depend on the turns."""
    left = max(scene.radius, 1000 * scene.pocket.coverage_at_flush) + 9
    wide, tall = left + scene.arm + 12, scene.depth + 16
    fits = min((RIGHT - LEFT) / wide, (MAIN_TOP + MAIN_HEIGHT - FLUSH_AT) / tall)
    scale = _largest(MAIN_SCALES, fits)
    spare = (RIGHT - LEFT) / scale - wide
    return Viewport(
        prefix, scale, scale, LEFT + (left + spare / 3) * scale, FLUSH_AT, MAIN_TOP, MAIN_HEIGHT, LEFT, RIGHT, prefix
    )


def _room_for_arrow(scene: PocketScene, view: Viewport) -> float:
    """How much higher the main view must be for the longest arrow and its words; it does not depend on the turns."""
    touch = contacts.first_touch(scene.pocket)
    farthest = contacts.butt_leaves_head(scene.pocket) if touch is None else touch
    highest = 1000 * scene.pocket.pitch * (farthest or 0.0) * view.scale_y
    return min(max(WORDS_FROM + 4 + LONGEST + highest - (FLUSH_AT - MAIN_TOP), 0.0), _MOST_HIGHER)


_MOST_HIGHER = 150.0


def _large_view(scene: PocketScene, prefix: str) -> Viewport:
    main = _main_view(scene, prefix)
    left = max(scene.radius, min(1000 * scene.pocket.coverage_at_flush, 1.6 * scene.radius)) + 4.5
    wide = left + scene.radius + 6
    wider = _largest(WIDER, (RIGHT - LEFT) / wide / main.scale_x)
    scale = wider * main.scale_x
    tall = scale * _taller(scene, scale)
    spare = (RIGHT - LEFT) / scale - wide
    origin_x = LEFT + (left + spare / 2) * scale
    return Viewport(
        f"{prefix}-large",
        scale,
        tall,
        origin_x,
        LARGE_TOP + UNDER_TOP + scene.head * tall,
        LARGE_TOP,
        LARGE_HEIGHT,
        LEFT,
        RIGHT,
        prefix,
    )


def _largest(choices: tuple[float, ...], fits: float) -> float:
    """The largest choice that fits; below the set it goes on by powers of two."""
    for choice in choices:
        if choice <= fits:
            return choice
    smallest = choices[-1]
    return smallest * 2.0 ** math.floor(math.log2(fits / smallest))


def _taller(scene: PocketScene, scale: float) -> int:
    """How many times the enlargement's heights are its widths: enough for paper, less where gaps are wide."""
    enough = next((times for times in TALLER if times * scale >= THIN_SCALE), TALLER[-1])
    gaps = [gap for gap in (scene.gap_rim, scene.gap_butt) if gap is not None]
    room = LARGE_HEIGHT - UNDER_TOP - 40
    widest = max(gaps, default=0.0)
    if widest * scale * enough <= room or any(0 < gap <= THIN for gap in gaps):
        return enough
    return max((times for times in TALLER if times <= enough and times * scale * widest <= room), default=1)


# The two windows


def _definitions(main: Viewport, large: Viewport) -> Element:
    return svg.element(
        "defs",
        *(svg.clip(f"{view.prefix}-clip", LEFT, view.top, RIGHT - LEFT, view.height) for view in (main, large)),
        svg.hatching(f"{main.base}-hatch-riser", "rising", 7),
        svg.hatching(f"{main.base}-hatch-bolt", "falling", 6),
    )


def _window(view: Viewport, clipped: list[Element], over: list[Element], key: str, drag: dict[str, str]) -> Element:
    box = (LEFT, view.top, RIGHT - LEFT, view.height)
    return svg.group(
        svg.rect(*box, class_="qt-window"),
        svg.group(*clipped, clip_path=f"url(#{view.prefix}-clip)"),
        svg.rect(*box, class_="qt-frame"),
        *over,
        id=key, data_scale_x=plain(view.scale_x, 6), data_scale_y=plain(view.scale_y, 6),
        data_origin_x=plain(view.origin_x, 6), data_origin_y=plain(view.origin_y, 6), **drag,
    )  # fmt: skip


def _main(scene: PocketScene, view: Viewport, force: Force | None, drag: dict[str, str]) -> Element:
    drawn = [
        *pocket_parts.riser(scene, view),
        *pocket_parts.shank(scene, view),
        pocket_parts.round_of_head(scene, view),
        *pocket_parts.limb(scene, view),
        *pocket_parts.slot_end(scene, view),
        *pocket_parts.hidden_shank(scene, view),
        pocket_parts.centre_line(view),
        pocket_parts.flush_line(view),
        *pocket_parts.head(scene, view),
        *pocket_parts.fulcrum(scene, view),
        *pocket_parts.strip(scene, view),
        *pocket_parts.gaps(scene, view, small=True),
        *(_pressed(scene, view, force) if force else []),
        *pocket_parts.bearing(scene, view, 4.0),
    ]
    grip = [_grip(scene, view)] if drag else []
    return _window(view, drawn, [*main_labels(scene, view, force), *grip], f"{view.prefix}-main", drag)


def _pressed(scene: PocketScene, view: Viewport, force: Force) -> list[Element]:
    return [*forces.bent(scene, view, force, MOST_BENT), *forces.arrows(scene, view, force, LONGEST)]


def _grip(scene: PocketScene, view: Viewport) -> Element:
    """What a finger takes hold of: the bolt's head, with room round it for a thumb."""
    room = 10.0
    left, top = view.at((-scene.radius, scene.head + pocket_parts.head_height(scene)))
    return svg.rect(
        left - room, top - room, 2 * scene.radius * view.scale_x + 2 * room,
        pocket_parts.head_height(scene) * view.scale_y + 2 * room, class_="qt-grip", id=f"{view.prefix}-grip",
    )  # fmt: skip


def _large(scene: PocketScene, view: Viewport) -> Element:
    drawn = [
        *pocket_parts.shank(scene, view),
        pocket_parts.round_of_head(scene, view),
        *pocket_parts.limb(scene, view),
        *pocket_parts.hidden_shank(scene, view),
        pocket_parts.centre_line(view),
        *pocket_parts.head(scene, view),
        *pocket_parts.strip(scene, view),
        *pocket_parts.gaps(scene, view, small=False),
        *pocket_parts.bearing(scene, view, 5.5),
    ]
    return _window(view, drawn, large_labels(scene, view), view.prefix, {})
