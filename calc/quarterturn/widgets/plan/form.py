"""The form of the page that plans a change: what is wanted, and what the bow is made from."""

from __future__ import annotations

from dataclasses import replace

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import POCKET, RISER, STANDS, STRUNG, TURNED, WEIGHED
from quarterturn.widgets.plan_form import KEPT, NEAR, PLAN_MADE, WANTED, WORTH

NAME = "plan"

GROUPS = (
    WANTED,
    WORTH,
    replace(KEPT, fields=PLAN_MADE),
    Group(
        "look",
        "Look at another setting",
        "As with the sliders under the map, or tap it there. Your bow stays as it is.",
        TURNED,
        folded=True,
    ),
    STRUNG,
    WEIGHED,
    STANDS,
    NEAR,
    RISER,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
