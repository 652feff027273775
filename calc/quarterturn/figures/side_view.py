"""Limb, pocket and bolt from the side, to scale, with the head's underside enlarged.

The limb's tip is to the right, the bolt axis upright, out is up. What lies where is asked from the mechanics; only
the riser, the bolt's head, shank and thread, and the limb beyond its back surface are drawn freely.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.figures import force as forces
from quarterturn.figures import pocket_parts, svg
from quarterturn.figures.force import Force
from quarterturn.figures.pocket_parts import Scene, View, scene_of
from quarterturn.figures.svg import Element, Picture
from quarterturn.mechanics import pocket as mechanics
from quarterturn.mechanics.pocket import ContactState, Pocket
from quarterturn.numbers import at_most, fixed, plain, rounded, trimmed

WIDTH = 360.0
LEFT, RIGHT = 4.0, 356.0
SIZE = 12.0
MAIN_TOP, MAIN_HEIGHT = 46.0, 172.0
LARGE_TOP, LARGE_HEIGHT = 246.0, 196.0
HEIGHT = 496.0
FLUSH_AT = MAIN_TOP + 72  # the height of flush in the main view
UNDER_TOP = 44.0  # the head's underside under the enlargement's top
LONGEST = 58.0  # user units: the arrow of a whole force
MOST_BENT = 12.0  # and how far off the axis the whole bend is drawn

MAIN_SCALES = (3.5, 3.0, 2.5, 2.0, 1.5, 1.0, 0.75, 0.5)  # user units a mm
WIDER = (4.0, 3.0, 2.5, 2.0, 1.5, 1.0)  # widths of the enlargement against those of the main view
TALLER = (1, 2, 4, 7, 10, 15, 20, 30)  # its heights against its widths
THIN = 0.2  # mm: a gap up to this is looked at with a strip of paper
THIN_SCALE = 68.0  # user units a mm at least, so that 0.05 mm is more than 3 px on a phone

_SAID = {
    ContactState.BUTT: "The butt end bears on the head's flat",
    ContactState.EDGE: "The head's edge bears on the limb's back",
    ContactState.FLUSH: "Flush: the limb lies flat on the head",
    ContactState.RIM: "In too far: only the rim bears, on the tip side",
    ContactState.OUT_OF_REACH: "Out too far: the head touches nothing",
    ContactState.OFF_HEAD: "The butt end is off the head: nothing touches",
}


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
            `mechanics.pocket.contact`.
    """
    if strip_side not in ("rim", "butt", None):
        raise ValueError(f'strip_side must be "rim", "butt" or None: {strip_side!r}')
    if strip_pushed is not None and not 0 <= strip_pushed < math.inf:
        raise ValueError(f"strip_pushed must be finite and at least 0: {strip_pushed}")
    scene = scene_of(pocket, turns, strip, strip_side, strip_name, strip_pushed)
    main, large = _main_view(scene, prefix), _large_view(scene, prefix)
    higher = 0.0
    if force is not None:
        forces.check(force)
        higher = _room_for_arrow(scene, main)
        main = replace(main, origin_y=main.origin_y + higher, height=main.height + higher)
        large = replace(large, origin_y=large.origin_y + higher, top=large.top + higher)
    drag = _drag(scene, main, drag_field, drag_low, drag_high) if drag_field else {}
    children = [_definitions(main, large), *_heading(scene), _main(scene, main, force, drag), *_between(main, large)]
    children += [_large(scene, large), *_scale_words(main, large)]
    return svg.picture(name, title, describe(scene, force), WIDTH, HEIGHT + higher, children, prefix=prefix)


def _drag(scene: Scene, view: View, field: str, low: float | None, high: float | None) -> dict[str, str]:
    """What a script needs to turn a height on the main view into turns."""
    if low is None or high is None or not -math.inf < low < high < math.inf:
        raise ValueError(f"the ends of a drag must be finite and in order: {low} to {high}")
    return {
        "data_drag_field": field, "data_drag_axis": "y", "data_drag_origin": repr(rounded(view.y(0.0))),
        "data_drag_scale": repr(rounded(-1000 * scene.pocket.pitch * view.scale_y)),
        "data_drag_low": repr(rounded(low)), "data_drag_high": repr(rounded(high)),
    }  # fmt: skip


# Scales


def _main_view(scene: Scene, prefix: str) -> View:
    """The largest scale that shows all from the butt to past the fulcrum; it does not depend on the turns."""
    left = max(scene.radius, 1000 * scene.pocket.coverage_at_flush) + 9
    wide, tall = left + scene.arm + 12, scene.depth + 16
    fits = min((RIGHT - LEFT) / wide, (MAIN_TOP + MAIN_HEIGHT - FLUSH_AT) / tall)
    scale = _largest(MAIN_SCALES, fits)
    spare = (RIGHT - LEFT) / scale - wide
    return View(
        prefix, scale, scale, LEFT + (left + spare / 3) * scale, FLUSH_AT, MAIN_TOP, MAIN_HEIGHT, LEFT, RIGHT, prefix
    )


def _room_for_arrow(scene: Scene, view: View) -> float:
    """How much higher the main view must be for the longest arrow and its words; it does not depend on the turns."""
    touch = mechanics.first_touch(scene.pocket)
    farthest = mechanics.butt_leaves_head(scene.pocket) if touch is None else touch
    highest = 1000 * scene.pocket.pitch * (farthest or 0.0) * view.scale_y
    return min(max(_WORDS_FROM + 4 + LONGEST + highest - (FLUSH_AT - MAIN_TOP), 0.0), _MOST_HIGHER)


_WORDS_FROM = 47.0  # the words of a force are at least this far under the main view's top, clear of what stands there
_MOST_HIGHER = 150.0


def _large_view(scene: Scene, prefix: str) -> View:
    main = _main_view(scene, prefix)
    left = max(scene.radius, min(1000 * scene.pocket.coverage_at_flush, 1.6 * scene.radius)) + 4.5
    wide = left + scene.radius + 6
    wider = _largest(WIDER, (RIGHT - LEFT) / wide / main.scale_x)
    scale = wider * main.scale_x
    tall = scale * _taller(scene, scale)
    spare = (RIGHT - LEFT) / scale - wide
    origin_x = LEFT + (left + spare / 2) * scale
    return View(
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


def _taller(scene: Scene, scale: float) -> int:
    """How many times the enlargement's heights are its widths: enough for paper, less where gaps are wide."""
    enough = next((times for times in TALLER if times * scale >= THIN_SCALE), TALLER[-1])
    gaps = [gap for gap in (scene.gap_rim, scene.gap_butt) if gap is not None]
    room = LARGE_HEIGHT - UNDER_TOP - 40
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
    word = "turn" if rounded(abs(turns)) <= 1 else "turns"
    return f"{fixed(abs(turns), 2)} {word} {'out from' if turns > 0 else 'in past'} flush"


def _heading(scene: Scene) -> list[Element]:
    words = f"bolt {_way(scene.contact.turns)}, its head {_height(scene)}"
    return [
        svg.text(LEFT, 16, _SAID[scene.state], size=13, class_="qt-text qt-strong"),
        svg.text(LEFT, 35, words, size=SIZE),
    ]


def _height(scene: Scene) -> str:
    height = fixed(abs(scene.head), 2)
    if height == "0.00":
        return "0.00 mm out"
    return f"{height} mm {'out' if scene.head > 0 else 'in'}"


def _sees(scene: Scene) -> str | None:
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


def _pushed_words(scene: Scene, pushed: float) -> str:
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


def describe(scene: Scene, force: Force | None = None) -> str:
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
    if force is not None:
        said.append(forces.described(scene, force))
    elif scene.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD):
        said.append("The pocket's own fitting carries everything.")
    if sees := _sees(scene):
        said.append(f"At the {'rim on the limb-tip side' if scene.strip_side == 'rim' else 'butt'}, {sees}.")
    return " ".join(said)


# The two windows


def _definitions(main: View, large: View) -> Element:
    return svg.element(
        "defs",
        *(svg.clip(f"{view.prefix}-clip", LEFT, view.top, RIGHT - LEFT, view.height) for view in (main, large)),
        svg.hatching(f"{main.base}-hatch-riser", "rising", 7),
        svg.hatching(f"{main.base}-hatch-bolt", "falling", 6),
    )


def _window(view: View, clipped: list[Element], over: list[Element], key: str, drag: dict[str, str]) -> Element:
    box = (LEFT, view.top, RIGHT - LEFT, view.height)
    return svg.group(
        svg.rect(*box, class_="qt-window"),
        svg.group(*clipped, clip_path=f"url(#{view.prefix}-clip)"),
        svg.rect(*box, class_="qt-frame"),
        *over,
        id=key, data_scale_x=plain(view.scale_x, 6), data_scale_y=plain(view.scale_y, 6),
        data_origin_x=plain(view.origin_x, 6), data_origin_y=plain(view.origin_y, 6), **drag,
    )  # fmt: skip


def _main(scene: Scene, view: View, force: Force | None, drag: dict[str, str]) -> Element:
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
    return _window(view, drawn, [*_main_labels(scene, view, force), *grip], f"{view.prefix}-main", drag)


def _pressed(scene: Scene, view: View, force: Force) -> list[Element]:
    return [*forces.bent(scene, view, force, MOST_BENT), *forces.arrows(scene, view, force, LONGEST)]


def _grip(scene: Scene, view: View) -> Element:
    """What a finger takes hold of: the bolt's head, with room round it for a thumb."""
    room = 10.0
    left, top = view.at((-scene.radius, scene.head + pocket_parts.head_height(scene)))
    return svg.rect(
        left - room, top - room, 2 * scene.radius * view.scale_x + 2 * room,
        pocket_parts.head_height(scene) * view.scale_y + 2 * room, class_="qt-grip", id=f"{view.prefix}-grip",
    )  # fmt: skip


def _large(scene: Scene, view: View) -> Element:
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
    return _window(view, drawn, _large_labels(scene, view), view.prefix, {})


# Labels


def _main_labels(scene: Scene, view: View, force: Force | None) -> list[Element]:
    fulcrum_x = view.x(scene.arm) + 10
    pressing = _force_label(scene, view, force) if force else None
    return [
        svg.text(LEFT + 6, view.top + 16, "↑ out ↓ in", size=SIZE, class_="qt-text qt-quiet"),
        svg.text(RIGHT - 6, view.top + 16, "toward the limb tip →", size=SIZE, anchor="end", class_="qt-text qt-quiet"),
        svg.text(LEFT + 6, view.bottom - 8, "riser", size=SIZE, class_="qt-text qt-halo-riser"),
        svg.text(fulcrum_x, view.bottom - 12, "fulcrum", size=SIZE, anchor="end", class_="qt-text qt-halo-riser"),
        *(_bolt_word(scene, view) if pressing is None else []),
        *_height_dimension(scene, view),
        _limb_words(scene, view, force),
        *([] if pressing is None else [pressing]),
        *(_bend_words(scene, view, force) if force else []),
        *_bar(view, f"{view.prefix}-bar", RIGHT - 6, view.top + 30, 35),
    ]


def _bolt_word(scene: Scene, view: View) -> list[Element]:
    """Over the head; in it where there is no room over it; nowhere where the head is at the window's edge."""
    y = view.y(scene.head + pocket_parts.head_height(scene)) - 6
    if y > view.top + 30:
        return [svg.text(view.x(0), y, "bolt", size=SIZE, anchor="middle", class_="qt-text qt-halo")]
    if y + 19 < view.top + 30:
        return []
    return [svg.text(view.x(0), y + 19, "bolt", size=SIZE, anchor="middle", class_="qt-text qt-halo-bolt")]


def _limb_words(scene: Scene, view: View, force: Force | None) -> Element:
    x = (view.x(scene.radius + 5) + RIGHT) / 2
    y = _back_at(scene, view, x) + scene.depth / 2 * view.scale_y
    free = scene.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD)
    words = f"{'held by its fitting' if free else 'limb'}, rocked {fixed(math.degrees(scene.angle), 2)}°"
    if free and force is not None:
        words = "its fitting carries everything"
    turned = f"rotate({plain(math.degrees(scene.angle), 3)} {svg.number(x)} {svg.number(y)})"
    kind = "qt-text qt-halo-limb"
    return svg.text(x, y + 4, words, size=SIZE, anchor="middle", class_=kind, transform=turned)


def _force_label(scene: Scene, view: View, force: Force) -> Element | None:
    """Over the force's tip and over the head, clear of the words for the head's height."""
    end = forces.tip(scene, view, force, LONGEST)
    if end is None:
        return None
    words = svg.shortened(force.words, 150, SIZE)
    half = svg.text_width(words, SIZE, bold=True) / 2
    over = min(end[1], view.y(scene.head + pocket_parts.head_height(scene)), view.y(0) - 22)
    x = min(max(end[0], LEFT + 6 + half), RIGHT - 6 - half)
    y = max(over - 4, view.top + _WORDS_FROM)
    height = _height_label(scene, view)
    if height and x + half > height[0] - 4 and abs(y - height[1]) < 16:
        x = min(x, height[0] - 5 - half)
        if x < LEFT + 6 + half:
            x, y = LEFT + 6 + half, min(y, height[1] - 16)
    kind = "qt-text qt-strong qt-halo"
    return svg.text(x, y, words, size=SIZE, anchor="middle", class_=kind, id=f"{view.prefix}-force-words")


def _bend_words(scene: Scene, view: View, force: Force) -> list[Element]:
    """Beside the riser's bush, before the word for the fulcrum; nowhere where there is no room."""
    words = forces.bend_words(scene, force)
    start = view.x(pocket_parts.bush_half(scene)) + 6
    end = min(view.x(scene.arm) + 4 - svg.text_width("fulcrum", SIZE), RIGHT - 8)
    if not words or start < LEFT + 50 or start + svg.text_width(words, SIZE) > end:
        return []
    kind = "qt-text qt-halo-riser"
    return [svg.text(start, view.bottom - 12, words, size=SIZE, class_=kind, id=f"{view.prefix}-bend-words")]


def _height_dimension(scene: Scene, view: View) -> list[Element]:
    """The head's height over flush, beside the head on the limb-tip side."""
    if abs(scene.head) * view.scale_y < 0.5:
        return []
    x, flush, head = view.x(scene.radius) + 9, view.y(0), max(view.y(scene.head), view.top)
    label = _height_label(scene, view)
    return [
        svg.line(view.x(scene.reach), head, x + 4, head, class_="qt-dimension"),
        svg.line(x, flush, x, head, class_="qt-dimension", id=f"{view.prefix}-height"),
        svg.line(x - 4, flush, x + 4, flush, class_="qt-dimension"),
        *([svg.text(*label, size=SIZE, class_="qt-text qt-halo")] if label else []),
    ]


def _height_label(scene: Scene, view: View) -> tuple[float, float, str] | None:
    """Where the height's words start, and they; None where there is no room: the line over the picture says it too."""
    if abs(scene.head) * view.scale_y < 0.5:
        return None
    x, words = view.x(scene.radius) + 9, f"head {_height(scene)}"
    end = x + 8 + svg.text_width(words, SIZE)
    y = min(max(view.y(scene.head), view.top), view.y(0), _back_over(scene, view, x, end)) - 6
    taken = y < view.top + 28 or (y < view.top + 46 and end > RIGHT - 106)
    return None if taken else (x + 8, y, words)


def _back_over(scene: Scene, view: View, start: float, end: float) -> float:
    """Where the limb's back is highest on the drawing between two places."""
    return min(_back_at(scene, view, start), _back_at(scene, view, end))


def _back_at(scene: Scene, view: View, x: float) -> float:
    return view.y(scene.back((x - view.origin_x) / view.scale_x))


def _large_labels(scene: Scene, view: View) -> list[Element]:
    return [
        svg.text(view.x(0), view.top + 17, "bolt head", size=SIZE, anchor="middle", class_="qt-text qt-halo-bolt"),
        svg.text(RIGHT - 6, view.top + 17, "limb tip →", size=SIZE, anchor="end", class_="qt-text qt-halo"),
        svg.text(LEFT + 6, view.top + 17, "← butt", size=SIZE, class_="qt-text qt-halo"),
        *_bearing_words(scene, view),
        *_strip_words(scene, view),
    ]


def _bearing_words(scene: Scene, view: View) -> list[Element]:
    """At the butt and at the rim: "bears here", or how wide the gap is."""
    if scene.state is ContactState.FLUSH:
        words = "bears all across"
        x = min(view.x(scene.butt_x) + 12, RIGHT - 8 - svg.text_width(words, SIZE, bold=True))
        return [svg.text(x, view.top + UNDER_TOP + 22, words, size=SIZE, class_="qt-text qt-strong qt-halo-limb")]
    if scene.state is ContactState.OFF_HEAD:
        x, kind = view.x(-pocket_parts.shank_half(scene)) - 8, "qt-text qt-strong qt-halo"
        lines = (("nothing", 36), ("under the head", 52))
        return [
            svg.text(x, view.top + UNDER_TOP + y, words, size=SIZE, anchor="end", class_=kind) for words, y in lines
        ]
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


def _written(view: View, words: _Words) -> Element:
    kind = "qt-text qt-halo-limb" if words.inside else "qt-text qt-halo"
    return svg.text(
        words.start + words.width if words.to_end else words.start, words.y, words.words, size=SIZE,
        anchor="end" if words.to_end else "start", class_=f"{kind} qt-strong" if words.bears else kind,
        id=f"{view.prefix}-words-{words.key}",
    )  # fmt: skip


def _side_words(scene: Scene, view: View, key: str) -> _Words | None:
    """Under the limb's back, or outside the butt end where there is room."""
    gap, place = (scene.gap_rim, scene.reach) if key == "rim" else (scene.gap_butt, scene.butt_x)
    if gap is None:
        return None
    bears = (key == "rim") == (scene.state is ContactState.RIM) and scene.state is not ContactState.OUT_OF_REACH
    words = "bears here" if bears else f"gap {_mm(gap)}"
    x, width = view.x(place), svg.text_width(words, SIZE, bold=bears)
    outside = key == "butt" and scene.corner[0] >= -scene.reach and x - 10 - width > LEFT + 2
    start = x - 10 - width if outside else x + 6 if key == "butt" else min(x + 30, RIGHT - 6) - width
    low = max(_back_at(scene, view, start), _back_at(scene, view, start + width))
    if outside:
        low = max(_back_at(scene, view, x), view.top + UNDER_TOP + (scene.strip or 0.0) * view.scale_y + 2)
    lowest = view.bottom - (26 if scene.strip_side else 8)
    inside = not outside and low + 15 <= lowest
    return _Words(key, words, start, width, min(low + 15, lowest), bears, inside, outside or key == "rim")


def _strip_words(scene: Scene, view: View) -> list[Element]:
    words = _sees(scene)
    if words is None:
        return []
    x, anchor = (RIGHT - 8, "end") if scene.strip_side == "rim" else (LEFT + 8, "start")
    kind = "qt-text qt-strong qt-halo"
    return [svg.text(x, view.bottom - 9, words, size=SIZE, anchor=anchor, class_=kind, id=f"{view.prefix}-words-strip")]


# Scales in words and bars


def _between(main: View, large: View) -> list[Element]:
    y = main.bottom + 19
    times = trimmed(rounded(large.scale_x / main.scale_x), 2)
    high = trimmed(rounded(large.scale_y / main.scale_x), 2)
    words = f"The underside, {times} × as wide, {high} × as high"
    return [svg.text(LEFT, y, words, size=SIZE, class_="qt-text qt-strong", id=f"{main.prefix}-scale-words")]


def _scale_words(main: View, large: View) -> list[Element]:
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


def _bar(view: View, key: str, x: float, y: float, most: float, after: str = "") -> list[Element]:
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
    return rounded(next((step for step in (5, 2) if step * power <= most * (1 + 1e-9)), 1) * power)
