"""What to look for in an inspection: one small drawing for each thing that is looked at.

They are schematic. Where it helps, "in order" and "not in order" stand side by side.
"""

from __future__ import annotations

from drawings.inspection.bolts import BOLTS
from drawings.inspection.butts import BUTTS
from drawings.inspection.limbs import LIMBS
from drawings.inspection.pairs import PAIRS
from drawings.sketch import Sketch, drawing
from quarterturn.figures.svg import Picture

_BY_NAME = {subject.name: subject for subject in (*LIMBS, *BUTTS, *BOLTS, *PAIRS)}

SUBJECTS: tuple[str, ...] = tuple(_BY_NAME)
"""What has a drawing, by the names the questions have in the record."""


def subject_drawing(name: str, *, prefix: str) -> Picture:
    """Draw what to look for.

    Args:
        name: one of SUBJECTS.
        prefix: put before every id, so that several figures can stand on one page.

    Raises:
        ValueError: nothing of that name has a drawing.
    """
    if name not in _BY_NAME:
        raise ValueError(f"name must be one of {', '.join(SUBJECTS)}: {name!r}")
    subject = _BY_NAME[name]
    drawn = subject.draw(Sketch(prefix))
    return drawing(name, subject.title, subject.description, subject.height, drawn, prefix=prefix)
