"""The head's underside from the side in a few square centimetres: no words, heights twice their true size.

The head stays where it is and the limb moves under it, so that many turns fit into a narrow strip.
"""

from __future__ import annotations

from functools import lru_cache

from quarterturn.figures import pocket_parts, svg
from quarterturn.figures.axis import Viewport
from quarterturn.figures.pocket_parts import PocketScene, pocket_scene
from quarterturn.figures.side_view_labels import description
from quarterturn.figures.svg import Element, Picture
from quarterturn.mechanics.pocket import Pocket

WIDTH, HEIGHT = 132.0, 84.0
UNDERSIDE = 30.0
"""Where the head's underside is drawn."""
TALLER = 2.0


@lru_cache(maxsize=32)
def small_side_view(
    pocket: Pocket,
    turns: float,
    strip: float | None,
    *,
    prefix: str,
    strip_side: str | None,
    length_unit: str = "mm",
    title: str,
    name: str,
) -> Picture:
    """Draw head, limb and strip without words.

    Args:
        pocket: its dimensions.
        turns: u, from flush, positive outward.
        strip: thickness of the feeler strip, m; None for none.
        prefix: put before every id.
        strip_side: where the strip is offered: "rim" or "butt"; None for nowhere.
        length_unit: the unit of lengths in its description, "mm" or "in".
        title: the picture's name for those who do not see it.
        name: the picture's name for programs.

    Raises:
        PocketError: as `mechanics.contact.contact`.
    """
    scene = pocket_scene(pocket, turns, strip, strip_side, "paper", None, length_unit)
    view = _view(scene, prefix)
    clip = svg.element(
        "defs", svg.clip(f"{prefix}-clip", 0, 0, WIDTH, HEIGHT), svg.hatching(f"{prefix}-hatch-bolt", "falling", 6)
    )
    children = [
        clip,
        svg.rect(0, 0, WIDTH, HEIGHT, class_="qt-window"),
        svg.group(*_drawn(scene, view), clip_path=f"url(#{prefix}-clip)"),
        svg.rect(0.5, 0.5, WIDTH - 1, HEIGHT - 1, class_="qt-frame"),
    ]
    return svg.picture(name, title, description(scene), WIDTH, HEIGHT, children, prefix=prefix)


def _drawn(scene: PocketScene, view: Viewport) -> list[Element]:
    """Each part over the one before it."""
    return [
        *pocket_parts.shank(scene, view),
        pocket_parts.round_of_head(scene, view),
        *pocket_parts.limb(scene, view),
        *pocket_parts.hidden_shank(scene, view),
        pocket_parts.centre_line(view),
        *pocket_parts.head(scene, view),
        *pocket_parts.strip(scene, view),
        *pocket_parts.bearing(scene, view, 4.5),
    ]


def _view(scene: PocketScene, prefix: str) -> Viewport:
    scale = WIDTH / (3.4 * scene.radius)
    tall = TALLER * scale
    return Viewport(prefix, scale, tall, 0.46 * WIDTH, UNDERSIDE + scene.head * tall, 0.0, HEIGHT, 0.0, WIDTH, prefix)
