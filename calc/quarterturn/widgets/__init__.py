"""The calculators: one module each, from a record to an answer."""

from __future__ import annotations

from quarterturn.widgets import (
    after,
    card,
    carry_out,
    draw_weight,
    inspection,
    loads,
    log,
    paper,
    plan,
    pocket_explorer,
    safe_range,
    start,
    tiller,
)
from quarterturn.widgets.frame import Widget

WIDGETS: dict[str, Widget] = {
    widget.name: widget
    for widget in (
        start.WIDGET,
        inspection.WIDGET,
        pocket_explorer.WIDGET,
        loads.WIDGET,
        paper.WIDGET,
        safe_range.WIDGET,
        draw_weight.WIDGET,
        tiller.WIDGET,
        plan.WIDGET,
        carry_out.WIDGET,
        after.WIDGET,
        card.WIDGET,
        log.WIDGET,
    )
}
