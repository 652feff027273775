"""Three small side views of head and butt side by side, each with the force on the bolt and the way it bends it.

All three have one scale, for the pocket and for the forces. Under each stand its name and the caller's words.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from quarterturn.figures import force as forces
from quarterturn.figures import pocket_parts, svg
from quarterturn.figures.axis import Viewport
from quarterturn.figures.force import Force
from quarterturn.figures.pocket_parts import PocketScene, pocket_scene
from quarterturn.figures.svg import HEADING, SIZE, WIDTH, Element, Picture
from quarterturn.mechanics.pocket import Pocket

EDGE = 3.0
ROW = 15.5
PANEL, SPACE = 99.0, 4.5
STATES = 3
TOP = 26.0  # of the windows
LONGEST = 50.0  # user units: the arrow of a whole force
MOST_BENT = 11.0  # and how far off the axis the whole bend is drawn
_NOTE = "Limb tip to the right. Arrow: the force on the bolt. Curve: the shank, bent far too much."
_HIGHEST, _DEEPEST = 190.0, 96.0  # user units shown over the head's underside at flush, and under it, at most


@dataclass(frozen=True, slots=True)
class ForceState:
    """One small view: its name, the turns from flush, what the limb does there, and the words under it."""

    name: str
    turns: float
    force: Force
    lines: tuple[str, ...] = ()


@lru_cache(maxsize=16)
def three_states(
    pocket: Pocket,
    states: tuple[ForceState, ForceState, ForceState],
    *,
    prefix: str,
    title: str = "Where the limb presses on the bolt",
    name: str = "three-states",
) -> Picture:
    """Draw head and butt at three turn counts, with the force on the head.

    Args:
        pocket: its dimensions.
        states: what is shown, from left to right.
        prefix: put before every id, so that several figures can stand on one page.
        title: what is shown; it is also written over the views.
        name: the picture's name for programs.

    The groups PREFIX-0 to PREFIX-2 carry data-scale-x and data-scale-y (user units per mm) and data-origin-x and
    data-origin-y (where the pocket's origin is drawn). In them, by id after the group's: head-underside, limb-back,
    butt-corner, contact, and, as `figures.force` says, force or force-0 and on, bend. Words: PREFIX-0-force-words,
    PREFIX-0-name, PREFIX-0-words-0 and on.

    Raises:
        ValueError: there are not three, or a force is none; PocketError as `mechanics.contact.contact`.
    """
    if len(states) != STATES:
        raise ValueError(f"three states are drawn: {len(states)}")
    for shown in states:
        forces.check(shown.force)
    scenes = [pocket_scene(pocket, shown.turns) for shown in states]
    views = [_view(scenes, at, prefix) for at in range(STATES)]
    heading = svg.text(EDGE, 16, svg.shortened(title, WIDTH - 2 * EDGE, HEADING, bold=True), size=HEADING,
                       class_="qt-text qt-strong")  # fmt: skip
    drawn = [
        _window(scene, view, shown.force) for scene, view, shown in zip(scenes, views, states, strict=True)
    ]  # fmt: skip
    under, bottom = _under(states, views)
    children = [_definitions(views, prefix), heading, *drawn, *under]
    description = _description(scenes, states)
    return svg.picture(name, title, description, WIDTH, bottom, children, prefix=prefix)


def _view(scenes: list[PocketScene], at: int, prefix: str) -> Viewport:
    """One window; the scale is the pocket's, whatever the turns, and the room over the head enough for all three."""
    scene = scenes[at]
    covered = 1000 * scene.pocket.coverage_at_flush
    left = max(scene.radius, min(covered, 1.7 * scene.radius)) + 0.35 * scene.radius
    scale = PANEL / (left + 1.75 * scene.radius)
    start = EDGE + at * (PANEL + SPACE)
    over = min(LONGEST + 24 + scale * max(0.0, *(one.head for one in scenes)), _HIGHEST)
    height = over + min(_DEEPEST, (scene.depth + 5) * scale + 26)
    return Viewport(
        f"{prefix}-{at}", scale, scale, start + left * scale, TOP + over, TOP, height, start, start + PANEL, prefix
    )


def _definitions(views: list[Viewport], prefix: str) -> Element:
    return svg.element(
        "defs",
        *(svg.clip(f"{view.prefix}-clip", view.left, view.top, PANEL, view.height) for view in views),
        svg.hatching(f"{prefix}-hatch-riser", "rising", 7),
        svg.hatching(f"{prefix}-hatch-bolt", "falling", 6),
    )


def _window(scene: PocketScene, view: Viewport, force: Force) -> Element:
    box = (view.left, view.top, PANEL, view.height)
    drawn = [
        *pocket_parts.riser(scene, view),
        *pocket_parts.shank(scene, view),
        pocket_parts.round_of_head(scene, view),
        *pocket_parts.limb(scene, view),
        *pocket_parts.hidden_shank(scene, view),
        pocket_parts.centre_line(view),
        *pocket_parts.head(scene, view),
        *forces.bent(scene, view, force, MOST_BENT),
        *forces.arrows(scene, view, force, LONGEST),
        *pocket_parts.bearing(scene, view, 4.0),
    ]
    return svg.group(
        svg.rect(*box, class_="qt-window"),
        svg.group(*drawn, clip_path=f"url(#{view.prefix}-clip)"),
        svg.rect(*box, class_="qt-frame"),
        *_force_words(scene, view, force),
        id=view.prefix, data_scale_x=repr(view.scale_x), data_scale_y=repr(view.scale_y),
        data_origin_x=repr(view.origin_x), data_origin_y=repr(view.origin_y),
    )  # fmt: skip


def _force_words(scene: PocketScene, view: Viewport, force: Force) -> list[Element]:
    """Over the arrow's tip; where nothing touches, that the fitting carries everything."""
    strong = "qt-text qt-strong qt-halo"
    end = forces.tip(scene, view, force, LONGEST)
    if end is None:
        middle = (view.left + view.right) / 2
        return [
            svg.text(middle, view.top + 16 + at * ROW, words, size=SIZE, anchor="middle", class_=strong)
            for at, words in enumerate(("no contact:", "the fitting", "carries it all"))
        ]
    words = svg.shortened(force.words, PANEL - 8, SIZE, bold=True)
    wide = svg.text_width(words, SIZE, bold=True)
    over = min(end[1], view.y(scene.head + pocket_parts.head_height(scene)))
    x = min(max(end[0], view.left + 4 + wide / 2), view.right - 4 - wide / 2)
    y = max(over - 5, view.top + 14)
    return [svg.text(x, y, words, size=SIZE, anchor="middle", class_=strong, id=f"{view.prefix}-force-words")]


def _under(states: tuple[ForceState, ...], views: list[Viewport]) -> tuple[list[Element], float]:
    """Names and words in columns whose rows stand level, and what the picture's signs mean."""
    columns = [_column(shown) for shown in states]
    drawn, y = [], views[0].bottom + 17
    for row in range(max(map(len, columns))):
        cells = [column[row] if row < len(column) else [] for column in columns]
        for view, lines in zip(views, cells, strict=True):
            for at, words in enumerate(lines):
                key = f"{view.prefix}-{f'words-{row - 1}' if row else 'name'}{f'-{at}' if at else ''}"
                kind = "qt-text" if row else "qt-text qt-strong"
                drawn.append(svg.text(view.left + 2, y + at * ROW, words, size=SIZE, class_=kind, id=key))
        y += ROW * max(map(len, cells))
    y += 4
    for words in svg.wrapped(_NOTE, WIDTH - 2 * EDGE, SIZE, 3):
        drawn.append(svg.text(EDGE, y, words, size=SIZE, class_="qt-text qt-quiet"))
        y += ROW
    return drawn, y - ROW + 8


def _column(shown: ForceState) -> list[list[str]]:
    """The rows of words under one window, each in the lines it takes."""
    named = svg.wrapped(shown.name, PANEL - 4, SIZE, 2, bold=True)
    return [named, *(svg.wrapped(words, PANEL - 4, SIZE, 3) for words in shown.lines)]


def _description(scenes: list[PocketScene], states: tuple[ForceState, ...]) -> str:
    said = ["Three side views of the bolt's head on the limb's butt, to one scale; the limb's tip is to the right."]
    for scene, shown in zip(scenes, states, strict=True):
        said.append(f"{shown.name}: {forces.described(scene, shown.force)}")
        said += [f"{line[:1].upper()}{line[1:].removesuffix('.')}." for line in shown.lines]
    return " ".join(said)
