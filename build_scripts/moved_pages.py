"""Pages that have moved: at every old address a page leads on, with the query and the place it was asked for.

A card that was printed long ago has an old address in its code, with the bow in the fragment: that works for good.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import forms

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class Moved:
    """Where a page has gone.

    Attributes:
        page: the page that has it now.
        place: where on it.
        places: old places that have another name, or are on another page ("PAGE#PLACE").
    """

    page: str
    place: str
    places: dict[str, str] = field(default_factory=dict)


def _to(place: str, *old: str) -> dict[str, str]:
    return dict.fromkeys(old, place)


MOVED = {
    "paper": Moved("pocket", "paper", _to("paper", "idea", "try")),
    "draw-weight": Moved("bow", "weigh", {**_to("length", "what"), **_to("weigh", "tools", "how", "readings")}),
    "tiller": Moved("bow", "turn", {**_to("tiller", "what"), **_to("turn", "bolts", "try"), "string": "after#string"}),
    "plan": Moved("set", "plan", {**_to("want", "what"), **_to("plan", "try", "ranked")}),
    "carry-out": Moved("set", "carry", _to("carry", "before", "step")),
    "card": Moved("keep", "card", _to("card", "what", "not")),
    "log": Moved("keep", "log", _to("log", "write", "read", "keep", "not")),
    "bows": Moved("keep", "bows", {**_to("bows", "places", "bench", "shelf"), "file": "checked#file"}),
}
"""By the old page's name."""


def write(site: Path) -> None:
    """Write every old address into a built site."""
    for name, moved in MOVED.items():
        folder = site / name
        folder.mkdir()
        html = forms.rendered(
            "moved.html.j2", page=moved.page, place=moved.place, places=json.dumps(moved.places, sort_keys=True)
        )
        (folder / "index.html").write_text(html, encoding="utf-8")
