"""What to do at the bench: one drawing for each step that hands carry out.

They are schematic, and the limb's tip is to the right. A drawing is made for the width of a phone: a user unit is a
pixel there, and no word is smaller than 13 of them.
"""

from __future__ import annotations

from drawings.doing.limb_in import LIMB_IN
from drawings.doing.limb_off import LIMB_OFF
from drawings.doing.parts import SIZE, WIDTH, Step
from drawings.doing.ready import READY
from drawings.doing.stringing import STRINGING
from drawings.doing.strung import STRUNG
from drawings.sketch import Sketch, drawing
from quarterturn.figures.svg import Picture

SUBJECTS: dict[str, Step] = {step.name: step for step in (*READY, *STRINGING, *STRUNG, *LIMB_OFF, *LIMB_IN)}
"""The steps that have a drawing, by name."""


def step_drawing(name: str, *, prefix: str) -> Picture:
    """Draw a step at the bench.

    Args:
        name: one of SUBJECTS.
        prefix: put before every id, so that several figures can stand on one page.

    Raises:
        ValueError: no step of that name has a drawing.
    """
    if name not in SUBJECTS:
        raise ValueError(f"name must be one of {', '.join(SUBJECTS)}: {name!r}")
    step = SUBJECTS[name]
    drawn = step.draw(Sketch(prefix, size=SIZE))
    return drawing(name, step.title, step.description, step.height, drawn, prefix=prefix, width=WIDTH)
