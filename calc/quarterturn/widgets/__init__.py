"""The calculators, by name: one room each, from a record to an answer. A room is imported when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module

from quarterturn.widgets.frame import Widget

ROOMS = {
    "start": "start",
    "inspection": "inspection",
    "pocket": "pocket_explorer",
    "loads": "loads",
    "paper": "paper",
    "safe-range": "safe_range",
    "draw-weight": "draw_weight",
    "tiller": "tiller",
    "plan": "plan",
    "carry-out": "carry_out",
    "after": "after",
    "card": "card",
    "log": "log",
    "practice": "practice",
    "lessons": "lessons",
    "rack": "rack",
}
"""The module of this package whose WIDGET has the name, in the order of the site."""


class Registry(Mapping[str, Widget]):
    """Widgets by their names; its names are known without importing any of them."""

    def __getitem__(self, name: str) -> Widget:
        """The widget of a name; its room is imported now if it has not been."""
        room = import_module(f"{__name__}.{ROOMS[name]}")
        widget: Widget = room.WIDGET
        return widget

    def __iter__(self) -> Iterator[str]:
        return iter(ROOMS)

    def __len__(self) -> int:
        return len(ROOMS)

    def __contains__(self, name: object) -> bool:
        return name in ROOMS


WIDGETS = Registry()
