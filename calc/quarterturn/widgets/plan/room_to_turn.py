"""How far each bolt can go inside its window; and what one more reading would add."""

from __future__ import annotations

from quarterturn.numbers import quarters
from quarterturn.widgets.answer import Points, Table
from quarterturn.widgets.planned_change import PlannedChange


def one_more(shown: PlannedChange) -> Points:
    """Without readings of the bow: what one more reading would add."""
    lacking = set(shown.bow.missing)
    points = []
    if lacking & {"draw_weight", "scale_readings"}:
        points.append(
            "Weigh once at your draw length: you see the pounds of each setting, and which one gives the weight that "
            "you want."
        )
    if lacking & {"upper_tiller", "lower_tiller", "brace_height"}:
        points.append(
            "Measure brace height and both tillers: you see which bolt to turn farther for tiller, and by how much."
        )
    points.append("Measure the same three things again after one step: you see what a turn does on your own bow.")
    return Points("one-more", "What one more reading would add", tuple(points))


def room(shown: PlannedChange) -> Table | None:
    """How far each bolt and both can go inside their windows, in whole quarters."""
    windows = shown.bow.windows
    if windows is None:
        return None
    ways = []
    for place, window in zip(shown.course.now.turns, windows, strict=True):
        inward, outward = max(0.0, place - window.inner.usable), max(0.0, window.outer.usable - place)
        ways.append((inward, outward))
    (upper_in, upper_out), (lower_in, lower_out) = ways
    found = (
        ("upper bolt in", upper_in),
        ("upper bolt out", upper_out),
        ("lower bolt in", lower_in),
        ("lower bolt out", lower_out),
        ("both in", min(upper_in, lower_in)),
        ("both out", min(upper_out, lower_out)),
        ("upper in, lower out", min(upper_in, lower_out)),
        ("upper out, lower in", min(upper_out, lower_in)),
    )
    return Table(
        "room",
        "How much room there is",
        ("turned", "turns"),
        tuple((name, _down(room)) for name, room in found),
        "Whole quarters, from where the bolts are to the last place inside their safe ranges.",
        folded=not shown.alone,
    )


def _down(turns: float) -> str:
    return quarters(int(turns / 0.25 + 1e-9) * 0.25)
