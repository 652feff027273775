"""The words of the side view: what stands over and under its windows, at what is drawn, and in its description."""

from __future__ import annotations

import math
from dataclasses import replace

from quarterturn.figures import force as forces
from quarterturn.figures import pocket_parts, svg
from quarterturn.figures.axis import Viewport, bar_length, length_trimmed, length_words
from quarterturn.figures.force import Force
from quarterturn.figures.labels import Label, Placement
from quarterturn.figures.pocket_parts import PocketScene
from quarterturn.figures.svg import HEADING, SIZE, WIDTH, Element
from quarterturn.mechanics.pocket import ContactState
from quarterturn.numbers import at_most, fixed, plain, rounded, trimmed

LEFT, RIGHT = 4.0, WIDTH - 4.0
UNDER_TOP = 36.0  # the head's underside under the enlargement's top
LONGEST = 58.0  # user units: the arrow of a whole force
WORDS_FROM = 47.0  # the words of a force are at least this far under the main view's top, clear of what stands there

INWARD, DEEP = {"mm": "in", "in": "inward"}, {"mm": "in", "in": "deep"}
"""What is said after a length of a way in: after inches another word than theirs."""

_STATE_WORDS = {
    ContactState.BUTT: "The butt end touches the head",
    ContactState.EDGE: "The head's edge touches the limb",
    ContactState.FLUSH: "Flush: the limb is flat on the head",
    ContactState.RIM: "In too far: only the rim touches",
    ContactState.OUT_OF_REACH: "Out too far: nothing touches",
    ContactState.OFF_HEAD: "Butt off the head: nothing touches",
}

# Words


def _turns_words(turns: float) -> str:
    if fixed(turns, 2) == "0.00":
        return "at flush"
    word = "turn" if rounded(abs(turns)) <= 1 else "turns"
    return f"{fixed(abs(turns), 2)} {word} {'out from' if turns > 0 else 'in past'} flush"


def heading(scene: PocketScene) -> list[Element]:
    """What the limb bears on, and where the bolt stands."""
    words = f"{_turns_words(scene.contact.turns)}, head {_height_words(scene)}"
    return [
        svg.text(LEFT, 16, _STATE_WORDS[scene.state], size=HEADING, class_="qt-text qt-strong"),
        svg.text(LEFT, 34, words, size=SIZE),
    ]


def _height_words(scene: PocketScene) -> str:
    height = length_words(abs(scene.head), scene.length_unit, 2)
    is_out = scene.head > 0 or height == length_words(0.0, scene.length_unit, 2)
    return f"{height} {'out' if is_out else INWARD[scene.length_unit]}"


def _strip_result(scene: PocketScene) -> str | None:
    """What the strip does where it is offered."""
    if scene.strip is None or scene.strip_side is None:
        return None
    if scene.strip_pushed is not None:
        return f"{scene.strip_name} {_thickness(scene, scene.strip)} {_pushed_words(scene, scene.strip_pushed)}"
    gap = scene.gap_rim if scene.strip_side == "rim" else scene.gap_butt
    does = "goes in" if gap is None or not at_most(gap, scene.strip) else "does not go in"
    return f"{scene.strip_name} {length_trimmed(scene.strip, scene.length_unit, 3)} {does}"


def _thickness(scene: PocketScene, strip: float) -> str:
    """Hundredths of a millimetre, and thousandths where there are any; of an inch a digit more."""
    number, unit = length_words(strip, scene.length_unit, 3).split()
    return f"{number.removesuffix('0')} {unit}"


def _pushed_words(scene: PocketScene, pushed: float) -> str:
    """How far in a pushed strip is, and what becomes of it there."""
    reach = scene.strip_reach
    if reach is None:
        return "finds no limb"
    if reach == 0:
        return "does not go in"
    if pushed < reach:
        return f"is {length_words(pushed, scene.length_unit, 1)} {DEEP[scene.length_unit]}, goes on"
    far = length_words(reach, scene.length_unit, 1)
    if reach >= (scene.reach - scene.butt_x) * (1 - 1e-9):
        return f"goes through, {far}"
    return f"stops {far} {DEEP[scene.length_unit]}"


def _gap(scene: PocketScene, gap: float) -> str:
    return length_words(gap, scene.length_unit, 2)


def description(scene: PocketScene, force: Force | None = None) -> str:
    """The picture in words."""
    angle = fixed(math.degrees(scene.angle), 2)
    said = [
        f"{_STATE_WORDS[scene.state]}."
        f" The bolt is {_turns_words(scene.contact.turns)}, its head {_height_words(scene)}."
        f" The limb is rocked by {angle} degrees."
    ]
    if scene.gap_rim is not None:
        said.append(f"Gap between head and limb at the rim on the limb-tip side: {_gap(scene, scene.gap_rim)}.")
    if scene.gap_butt is not None:
        said.append(f"Gap at the butt: {_gap(scene, scene.gap_butt)}.")
    if force is not None:
        said.append(forces.described(scene, force))
    elif scene.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD):
        said.append("The pocket's own fitting carries everything.")
    if sees := _strip_result(scene):
        said.append(f"At the {'rim on the limb-tip side' if scene.strip_side == 'rim' else 'butt'}, {sees}.")
    return " ".join(said)


# Labels


def main_labels(scene: PocketScene, view: Viewport, force: Force | None) -> list[Element]:
    """The words in the main view."""
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
        *_scale_bar(view, f"{view.prefix}-bar", RIGHT - 6, view.top + 30, 35, scene.length_unit),
    ]


def _bolt_word(scene: PocketScene, view: Viewport) -> list[Element]:
    """Over the head; in it where there is no room over it; nowhere where the head is at the window's edge."""
    y = view.y(scene.head + pocket_parts.head_height(scene)) - 6
    if y > view.top + 30:
        return [svg.text(view.x(0), y, "bolt", size=SIZE, anchor="middle", class_="qt-text qt-halo")]
    if y + 19 < view.top + 30:
        return []
    return [svg.text(view.x(0), y + 19, "bolt", size=SIZE, anchor="middle", class_="qt-text qt-halo-bolt")]


def _limb_words(scene: PocketScene, view: Viewport, force: Force | None) -> Element:
    x = (view.x(scene.radius + 5) + RIGHT) / 2
    y = _back_at(scene, view, x) + scene.depth / 2 * view.scale_y
    free = scene.state in (ContactState.OUT_OF_REACH, ContactState.OFF_HEAD)
    words = f"{'held by its fitting' if free else 'limb'}, rocked {fixed(math.degrees(scene.angle), 2)}°"
    if free and force is not None:
        words = "its fitting carries everything"
    turned = f"rotate({plain(math.degrees(scene.angle), 3)} {svg.number(x)} {svg.number(y)})"
    kind = "qt-text qt-halo-limb"
    return svg.text(x, y + 4, words, size=SIZE, anchor="middle", class_=kind, transform=turned)


def _force_label(scene: PocketScene, view: Viewport, force: Force) -> Element | None:
    """Over the force's tip and over the head, clear of the words for the head's height."""
    end = forces.tip(scene, view, force, LONGEST)
    if end is None:
        return None
    words = svg.shortened(force.words, 150, SIZE)
    half = svg.text_width(words, SIZE, bold=True) / 2
    over = min(end[1], view.y(scene.head + pocket_parts.head_height(scene)), view.y(0) - 22)
    x = min(max(end[0], LEFT + 6 + half), RIGHT - 6 - half)
    y = max(over - 4, view.top + WORDS_FROM)
    height = _height_label(scene, view)
    if height and x + half > height[0] - 4 and abs(y - height[1]) < 16:
        x = min(x, height[0] - 5 - half)
        if x < LEFT + 6 + half:
            x, y = LEFT + 6 + half, min(y, height[1] - 16)
    kind = "qt-text qt-strong qt-halo"
    return svg.text(x, y, words, size=SIZE, anchor="middle", class_=kind, id=f"{view.prefix}-force-words")


def _bend_words(scene: PocketScene, view: Viewport, force: Force) -> list[Element]:
    """Beside the riser's bush, before the word for the fulcrum; nowhere where there is no room."""
    words = forces.bend_words(scene, force)
    start = view.x(pocket_parts.bush_half(scene)) + 6
    end = min(view.x(scene.arm) + 4 - svg.text_width("fulcrum", SIZE), RIGHT - 8)
    if not words or start < LEFT + 50 or start + svg.text_width(words, SIZE) > end:
        return []
    kind = "qt-text qt-halo-riser"
    return [svg.text(start, view.bottom - 12, words, size=SIZE, class_=kind, id=f"{view.prefix}-bend-words")]


def _height_dimension(scene: PocketScene, view: Viewport) -> list[Element]:
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


def _height_label(scene: PocketScene, view: Viewport) -> tuple[float, float, str] | None:
    """Where the height's words start, and they; None where there is no room: the line over the picture says it too."""
    if abs(scene.head) * view.scale_y < 0.5:
        return None
    x, words = view.x(scene.radius) + 9, f"head {_height_words(scene)}"
    end = x + 8 + svg.text_width(words, SIZE)
    y = min(max(view.y(scene.head), view.top), view.y(0), _back_over(scene, view, x, end)) - 6
    taken = y < view.top + 28 or (y < view.top + 46 and end > RIGHT - 106)
    return None if taken else (x + 8, y, words)


def _back_over(scene: PocketScene, view: Viewport, start: float, end: float) -> float:
    """Where the limb's back is highest on the drawing between two places."""
    return min(_back_at(scene, view, start), _back_at(scene, view, end))


def _back_at(scene: PocketScene, view: Viewport, x: float) -> float:
    return view.y(scene.back((x - view.origin_x) / view.scale_x))


def large_labels(scene: PocketScene, view: Viewport) -> list[Element]:
    """The words in the enlargement."""
    return [
        svg.text(view.x(0), view.top + 17, "bolt head", size=SIZE, anchor="middle", class_="qt-text qt-halo-bolt"),
        svg.text(RIGHT - 6, view.top + 17, "limb tip →", size=SIZE, anchor="end", class_="qt-text qt-halo"),
        svg.text(LEFT + 6, view.top + 17, "← butt", size=SIZE, class_="qt-text qt-halo"),
        *_bearing_words(scene, view),
        *_strip_words(scene, view),
    ]


def _bearing_words(scene: PocketScene, view: Viewport) -> list[Element]:
    """At the butt and at the rim: "contact", or how wide the gap is."""
    if scene.state is ContactState.FLUSH:
        words = "full contact"
        x = min(view.x(scene.butt_x) + 12, RIGHT - 8 - svg.text_width(words, SIZE, bold=True))
        return [svg.text(x, view.top + UNDER_TOP + 22, words, size=SIZE, class_="qt-text qt-strong qt-halo-limb")]
    if scene.state is ContactState.OFF_HEAD:
        kind, lines = "qt-text qt-strong qt-halo", (("nothing", 36), ("under the head", 52))
        room = max(svg.text_width(words, SIZE, bold=True) for words, _ in lines)
        x = max(view.x(-pocket_parts.shank_half(scene)) - 8, LEFT + 4 + room)
        return [
            svg.text(x, view.top + UNDER_TOP + y, words, size=SIZE, anchor="end", class_=kind) for words, y in lines
        ]
    butt, rim = _side_words(scene, view, "butt"), _side_words(scene, view, "rim")
    if butt and rim and rim[0].start < butt[0].end + 4 and abs(rim[0].baseline - butt[0].baseline) < 15:
        below = butt[0].baseline + 16
        rim = replace(rim[0], baseline=below if below <= view.bottom - 26 else butt[0].baseline - 16), *rim[1:]
    return [_written(*words) for words in (butt, rim) if words]


def _written(words: Placement, kind: str, anchor: str) -> Element:
    x = words.end if anchor == "end" else words.start
    return svg.text(x, words.baseline, words.lines[0], size=SIZE, anchor=anchor, class_=kind, id=words.label.key)


def _side_words(scene: PocketScene, view: Viewport, key: str) -> tuple[Placement, str, str] | None:
    """Under the limb's back, or outside the butt end where there is room; with their class and the end they hold."""
    gap, place = (scene.gap_rim, scene.reach) if key == "rim" else (scene.gap_butt, scene.butt_x)
    if gap is None:
        return None
    bears = (key == "rim") == (scene.state is ContactState.RIM) and scene.state is not ContactState.OUT_OF_REACH
    x, lines = view.x(place), ("contact" if bears else f"gap {_gap(scene, gap)}",)
    label = Label(f"{view.prefix}-words-{key}", (lines,), ((x, view.y(scene.head)),), bears)
    width = label.width(lines)
    outside = key == "butt" and scene.corner[0] >= -scene.reach and x - 10 - width > LEFT + 2
    start = x - 10 - width if outside else x + 6 if key == "butt" else min(x + 30, RIGHT - 6) - width
    low = max(_back_at(scene, view, start), _back_at(scene, view, start + width))
    if outside:
        low = max(_back_at(scene, view, x), view.top + UNDER_TOP + (scene.strip or 0.0) * view.scale_y + 2)
    lowest = view.bottom - (26 if scene.strip_side else 8)
    halo = "qt-halo-limb" if not outside and low + 15 <= lowest else "qt-halo"
    kind = f"qt-text {halo} qt-strong" if bears else f"qt-text {halo}"
    placement = Placement(label, lines, start, min(low + 15, lowest), width, label.targets[0])
    return placement, kind, "end" if outside or key == "rim" else "start"


def _strip_words(scene: PocketScene, view: Viewport) -> list[Element]:
    words = _strip_result(scene)
    if words is None:
        return []
    x, anchor = (RIGHT - 8, "end") if scene.strip_side == "rim" else (LEFT + 8, "start")
    kind = "qt-text qt-strong qt-halo"
    return [svg.text(x, view.bottom - 9, words, size=SIZE, anchor=anchor, class_=kind, id=f"{view.prefix}-words-strip")]


# Scales in words and bars


def between_words(main: Viewport, large: Viewport) -> list[Element]:
    """How much the enlargement enlarges."""
    y = main.bottom + 18
    times = trimmed(rounded(large.scale_x / main.scale_x), 2)
    high = trimmed(rounded(large.scale_y / main.scale_x), 2)
    words = f"Underside, {times} × as wide, {high} × as high"
    return [svg.text(LEFT, y, words, size=SIZE, class_="qt-text qt-strong", id=f"{main.prefix}-scale-words")]


def scale_words(main: Viewport, large: Viewport, unit: str) -> list[Element]:
    """Under the enlargement: a bar for its widths, and one for its heights."""
    y = large.bottom + 18
    tall, tall_words = bar_length(20 / large.scale_y, unit)
    x, top = 170.0, y + 4 - tall * large.scale_y
    upright = svg.path(
        "M", x - 4, top, "H", x + 4, "M", x, top, "V", y + 4, "M", x - 4, y + 4, "H", x + 4,
        class_="qt-dimension qt-dimension-strong", id=f"{large.prefix}-bar-high",
    )  # fmt: skip
    return [
        *_scale_bar(large, f"{large.prefix}-bar-wide", LEFT, y, 40, unit, after=" wide"),
        upright,
        svg.text(x + 12, y + 4, f"{tall_words} high", size=SIZE),
    ]


def _scale_bar(view: Viewport, key: str, x: float, y: float, most: float, unit: str, after: str = "") -> list[Element]:
    """A level scale bar; without words after it, it ends at x and has its words before it."""
    length, said = bar_length(most / view.scale_x, unit)
    long = length * view.scale_x
    start = x if after else x - long
    words = f"{said}{after}"
    place, anchor = (start + long + 8, "start") if after else (start - 8, "end")
    return [
        svg.path(*svg.bar_path(start, start + long, y, 4), class_="qt-dimension qt-dimension-strong", id=key),
        svg.text(place, y + 4, words, size=SIZE, anchor=anchor, class_="qt-text"),
    ]  # fmt: skip
