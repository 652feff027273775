"""Where on a bow a pocket is: the whole bow lying over a picture of the pocket, a ring round it, lines down to it.

It is no bow in particular and not to scale. As in the picture below it, the limb that is shown goes to the right, its
back upward.
"""

from __future__ import annotations

from quarterturn.figures import svg
from quarterturn.figures.axis import Viewport
from quarterturn.figures.svg import Element

BAND = 46.0  # user units: as high as this makes a picture higher
SAID = "Above it the whole bow lies on its side, with a ring round the pocket that is shown. "
_HALF, _RISER, _RING = 150.0, 40.0, 9.0
_TIP, _RECURVE = 26.0, 19.0


def whole_bow(view: Viewport, prefix: str) -> Element:
    """The bow in the band above a picture's main view; by id after the prefix: whole-bow, whole-bow-ring."""
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
