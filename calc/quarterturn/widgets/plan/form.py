"""The form of the page that plans a change: what is wanted, and what the bow is made from."""

from __future__ import annotations

from quarterturn.widgets.answer import Group
from quarterturn.widgets.bow_form import POCKET, RISER, STANDS, STRUNG, TURNED
from quarterturn.widgets.plan_form import KEPT, NEAR, PLAN_MADE, WANTED, WORTH

NAME = "plan"

GROUPS = (
    WANTED,
    WORTH,
    Group(KEPT.name, KEPT.title, KEPT.intro, PLAN_MADE, folded=True),
    Group(
        "look",
        "Look at another pair",
        "As with the sliders under the map, or tap it there. It changes nothing of your bow.",
        TURNED,
        folded=True,
    ),
    STRUNG,
    Group(
        "weighed",
        "Weighed",
        "Scale readings from the page on draw weight, if there are any, count in place of the weight here.",
        ("draw_weight", "draw_length", "draw_station", "station_offset"),
    ),
    STANDS,
    NEAR,
    RISER,
    POCKET,
)
ASKED = tuple(name for group in GROUPS for name in group.fields)
