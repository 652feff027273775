"""What to look for in an inspection: one small drawing for each thing that is looked at.

They are schematic. Where it helps, "in order" and "not in order" stand side by side.
"""

from __future__ import annotations

from quarterturn.figures.looking.bolts import BOLTS
from quarterturn.figures.looking.butts import BUTTS
from quarterturn.figures.looking.limbs import LIMBS
from quarterturn.figures.looking.pairs import PAIRS
from quarterturn.figures.sketch import Sketch, drawing
from quarterturn.figures.svg import Picture

_SUBJECTS = {subject.name: subject for subject in (*LIMBS, *BUTTS, *BOLTS, *PAIRS)}

LOOKING: tuple[str, ...] = tuple(_SUBJECTS)
"""What has a drawing, by the names the questions have in the record."""


def looking(name: str, *, prefix: str) -> Picture:
    """Draw what to look for.

    Args:
        name: one of LOOKING.
        prefix: put before every id, so that several figures can stand on one page.

    Raises:
        ValueError: nothing of that name has a drawing.
    """
    if name not in _SUBJECTS:
        raise ValueError(f"name must be one of {', '.join(LOOKING)}: {name!r}")
    subject = _SUBJECTS[name]
    drawn = subject.draw(Sketch(prefix))
    return drawing(name, subject.title, subject.description, subject.height, drawn, prefix=prefix)
