"""The pictures of one bolt: its scale of turns and its pocket from the side."""

from __future__ import annotations

from dataclasses import replace

from quarterturn.bench.window import WindowLimit
from quarterturn.figures.turn_scale import EndMarks, ScaleMark, ScaleMarks, axis_range, small_scale, turn_scale
from quarterturn.mechanics.pocket import PocketError
from quarterturn.widgets import words
from quarterturn.widgets.answer import Drawing
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges

SHOWN = (-3.0, 12.0)
"""Other limits are drawn where they are this near, turns."""
NAMED = {
    "stop": "stop",
    "maker_in": "maker's inner limit",
    "maker_out": "maker's outer limit",
    "cover": "end of the cover",
    "thread": "end of the thread",
}
"""Other limits than flush and first touch, as short as a scale wants them."""


def scale(bolt: BoltRange, found: SafeRanges) -> Drawing:
    """Draw the scale of turns of one bolt, on the axis that both share."""
    name = f"{bolt.name}-scale"
    key = bolt.name == "lower" and any(map(found.shows_range, found.bolts))
    return Drawing(turn_scale(_on_one_axis(bolt, found), prefix=name, title=_title(bolt, found), name=name, key=key))


def small(found: SafeRanges) -> Drawing:
    """Draw the scale of the bolt at hand without words."""
    bolt = found.at_hand
    title = _title(bolt, found)
    return Drawing(small_scale(_marks(bolt, found), prefix="safe-range-small", title=title, name="small"), small=True)


def _title(bolt: BoltRange, found: SafeRanges) -> str:
    return f"{words.capital(bolt.title)}{': example' if found.untouched else ''}"


def _on_one_axis(bolt: BoltRange, found: SafeRanges) -> ScaleMarks:
    first, last = axis_range(*(_marks(each, found) for each in found.bolts))
    return replace(_marks(bolt, found), first=first, last=last)


def _marks(bolt: BoltRange, found: SafeRanges) -> ScaleMarks:
    return _range_marks(bolt, found) if found.shows_range(bolt) else _read_marks(bolt, found)


def _range_marks(bolt: BoltRange, found: SafeRanges) -> ScaleMarks:
    """The bolt's own range, or the example's where nothing of a bow has been entered."""
    window, touch = bolt.window, bolt.readings.touch
    others = tuple(
        ScaleMark(f"limit-{place}", f"{NAMED[limit.name]} {words.place(limit.at)}", limit.at)
        for place, limit in enumerate(window.limits)
        if limit.name in NAMED and SHOWN[0] <= limit.at <= SHOWN[1]
    )
    usable = "no turn is safe" if window.vanished else f"use {words.safe_range(window).removesuffix(' turns out')}"
    return ScaleMarks(
        inner=_end(window.inner),
        outer=_end(window.outer),
        usable=usable,
        places=(_ZERO, *(() if touch is None else (_touch(touch.turns),)), *others),
        now=_now(bolt),
        hollow=bolt.name == "lower",
    )


_ZERO = ScaleMark("zero", "zero", 0.0)


def _touch(turns: float) -> ScaleMark:
    return ScaleMark("touch", f"first touch {words.place(turns)}", turns)


def _now(bolt: BoltRange) -> ScaleMark:
    at = bolt.readings.now.turns
    return ScaleMark("now", f"now {words.place(at)}", at)


def _end(limit: WindowLimit) -> EndMarks:
    return EndMarks(limit.at, limit.usable)


def _read_marks(bolt: BoltRange, found: SafeRanges) -> ScaleMarks:
    """Only what has been read of this bolt."""
    zero, touch = found.read_zero(bolt), found.read_touch(bolt)
    places = (*((_ZERO,) if zero else ()), *(() if touch is None else (_touch(touch),)))
    return ScaleMarks(
        inner_read=0.0 if zero else None,
        outer_read=touch,
        places=places,
        now=_now(bolt) if bolt.position.at is not None else None,
        hollow=bolt.name == "lower",
    )


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
            length_unit=found.unit,
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
