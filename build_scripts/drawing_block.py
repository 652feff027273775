"""A Markdown block that puts a drawing of the site's own on a page: `/// drawing | pocket-frame` and `///`.

The drawings are those of `drawings.frames`, with their words under them, and those of the steps at the bench, as
`doing/hook_scale`, whose words are the page's. A name that none of them has ends the build.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from drawings.doing import SUBJECTS, step_drawing
from drawings.frames import PICTURES
from html_block import HtmlBlock
from quarterturn.markup import escape

if TYPE_CHECKING:
    pass


class DrawingError(ValueError):
    """No drawing has this name; the message says which there are."""


def page_part(name: str) -> str:
    """The drawing as HTML, with its name under it.

    Raises:
        DrawingError: if no drawing has that name.
    """
    room, _, step = name.partition("/")
    if room == "doing" and step in SUBJECTS:
        return f'<div class="qt-look">{step_drawing(step, prefix=f"doing-{step}").svg}</div>'
    if name not in PICTURES:
        known = ", ".join([*PICTURES, *(f"doing/{step}" for step in SUBJECTS)])
        raise DrawingError(f"drawing | {name}: no drawing has this name; there are: {known}")
    picture = PICTURES[name](name)
    return (
        f'<figure class="qt-drawing">{picture.svg}<figcaption>{escape(picture.title)}. {escape(picture.description)}'
        "</figcaption></figure>"
    )


class DrawingBlock(HtmlBlock):
    """One drawing, named by the block's argument."""

    NAME = "drawing"
    ERROR = DrawingError

    def html(self, argument: str) -> str:
        """The figure."""
        return page_part(argument)
