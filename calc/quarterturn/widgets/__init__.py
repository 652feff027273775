"""The calculators: one module each, from a record to an answer."""

from __future__ import annotations

from quarterturn.widgets import safe_range
from quarterturn.widgets.answer import Widget

WIDGETS: dict[str, Widget] = {widget.name: widget for widget in (safe_range.WIDGET,)}
