"""The pictures of one bolt: its scale of turns and its pocket from the side."""

from __future__ import annotations

from quarterturn.bench.window import WindowLimit
from quarterturn.figures import turn_scale as scales
from quarterturn.mechanics.pocket import PocketError
from quarterturn.widgets import words
from quarterturn.widgets.answer import Drawing
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges


def scale(bolt: BoltRange, found: SafeRanges) -> Drawing:
    """Draw the scale of turns of one bolt, on the axis that both share."""
    marks = [_marks(each) for each in found.bolts]
    first, last = scales.axis_range(*marks)
    mine = _marks(bolt, first, last)
    key = f"{bolt.name}-scale"
    picture = scales.turn_scale(mine, prefix=key, title=bolt.title.capitalize(), name=key)
    return Drawing(picture)


def _marks(bolt: BoltRange, first: float | None = None, last: float | None = None) -> scales.ScaleMarks:
    window = bolt.window
    others = tuple(
        scales.Limit(words.limit(limit), limit.at, limit.end.value)
        for limit in window.limits
        if limit not in (window.inner, window.outer) and limit.name != "touch" and -3 <= limit.at <= 12
    )
    return scales.ScaleMarks(
        inner_usable=window.inner.usable,
        outer_usable=window.outer.usable,
        inner_parts=_reserve(window.inner),
        outer_parts=_reserve(window.outer),
        touch=None if bolt.readings.touch is None else bolt.readings.touch.turns,
        limits=others,
        present=bolt.readings.now.turns,
        present_uncertainty=bolt.standing.uncertainty,
        first=first,
        last=last,
    )


def _reserve(limit: WindowLimit) -> scales.Reserve:
    return scales.Reserve(limit.interval, limit.margin, limit.budget.expanded)


def side_view(bolt: BoltRange, found: SafeRanges) -> Drawing | None:
    """Draw one pocket from the side, with the bolt where the reader wants to see it; None where nothing is felt."""
    from quarterturn.figures import side_view as side_views

    feel = bolt.window.feel
    if feel is None:
        return None
    turns = _looked_at(bolt, found.values.choice("look_at"))
    touch = bolt.readings.touch
    at_butt = turns <= 0 or (touch is not None and turns >= touch.turns - feel.touch)
    try:
        picture = side_views.side_view(
            feel.pocket,
            turns,
            found.readings.strip,
            prefix=f"{bolt.name}-side",
            strip_side="butt" if at_butt else "rim",
            title=f"{bolt.title.capitalize()} from the side, {words.position(turns)}",
            name=f"{bolt.name}-side",
        )
    except PocketError:
        return None
    return Drawing(
        picture,
        f"The {bolt.name} limb in its pocket, {words.position(turns)}, drawn as if zero were true flush.",
        bolt.name,
    )


def _looked_at(bolt: BoltRange, choice: str) -> float:
    touch = bolt.window.outer.at if bolt.readings.touch is None else bolt.readings.touch.turns
    return {
        "now": bolt.readings.now.turns,
        "past": -0.5,
        "zero": 0.0,
        "middle": bolt.window.middle,
        "touch": touch,
        "beyond": touch + 0.5,
    }[choice]
