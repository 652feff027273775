"""The window of turns a bolt can use: every limit with its source, the strictest winning, and where the bolt stands.

Turns are counted from the bolt's zero (the reading of flush, or the stop, or the place the maker counts from),
positive outward. Two kinds of uncertainty are kept apart and both are taken off the range: the strip's, a one-sided
interval that is never averaged away, and the random one, U = 2·u_c (see `uncertainty`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from quarterturn.bench.engagement import needed
from quarterturn.bench.readings import STRIP_TOLERANCE, BoltReadings, Dimensions, Readings
from quarterturn.bench.uncertainty import Budget, Contribution, budget, rectangular
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.numbers import at_most, rounded, same


class End(StrEnum):
    """The two ends of a range of turns."""

    INNER = "inner"
    OUTER = "outer"


@dataclass(frozen=True, slots=True)
class WindowLimit:
    """One limit of the range.

    Attributes:
        name: "flush", "stop", "maker_in", "touch", "cover", "thread" or "maker_out".
        end: which end it limits.
        at: where it was read or lies, turns.
        interval: what the strip may have missed, taken off the range, turns.
        margin: kept inside it, turns.
        budget: the random uncertainty about it.
        clicks: in one turn, where a detent lets a bolt rest only at whole clicks from zero; 0 where none does.
    """

    name: str
    end: End
    at: float
    interval: float
    margin: float
    budget: Budget
    clicks: int = 0

    @property
    def edge(self) -> float:
        """Where the limit may already lie, on the safe side of the strip's interval, turns."""
        return self.at + self.interval if self.end is End.INNER else self.at - self.interval

    @property
    def usable(self) -> float:
        """Where the usable range ends on its account, turns; with a detent at the next click inside."""
        reserve = self.margin + self.budget.expanded
        exact = self.edge + reserve if self.end is End.INNER else self.edge - reserve
        if not self.clicks:
            return exact
        in_clicks = rounded(exact * self.clicks)
        near = float(round(in_clicks))
        if not same(in_clicks, near):
            near = math.ceil(in_clicks) if self.end is End.INNER else math.floor(in_clicks)
        return near / self.clicks


@dataclass(frozen=True, slots=True)
class Feel:
    """What a strip can feel in this pocket, and what the geometry says about the range. Turns; positive.

    Attributes:
        pocket: with the fitting's angle found from first touch.
        flush_outside: from flush to where the strip stops at the rim, coming in.
        flush_inside: from flush in to where the strip stops at the butt end, backing out.
        inside_slope: by how much `flush_inside` changes for one metre of strip.
        touch: before first touch, coming in.
        blind: whether the strip stops at the rim before the head has touched the limb, so that it cannot tell flush.
        cover_lost: turns out from flush where the butt end comes over the bolt axis, or None.
    """

    pocket: Pocket
    flush_outside: float
    flush_inside: float
    inside_slope: float
    touch: float
    blind: bool
    cover_lost: float | None


@dataclass(frozen=True, slots=True)
class Window:
    """The window of one bolt.

    Attributes:
        limits: all that are known, inner ones first, the strictest of each end first.
        inner, outer: the strictest of each end.
        width_budget: the random uncertainty about the width.
        feel: what the strip can feel; None where only the maker's range applies.
    """

    bolt: str
    limits: tuple[WindowLimit, ...]
    inner: WindowLimit
    outer: WindowLimit
    width_budget: Budget
    feel: Feel | None

    @property
    def width(self) -> float:
        """Usable turns; negative or zero where the window vanishes."""
        return self.outer.usable - self.inner.usable

    @property
    def vanished(self) -> bool:
        """Whether margin and uncertainty leave nothing."""
        return at_most(self.outer.usable, self.inner.usable)

    @property
    def middle(self) -> float:
        """Halfway between the usable ends."""
        return (self.inner.usable + self.outer.usable) / 2

    def holds(self, turns: float) -> bool:
        """Whether a position is inside the window, ends included."""
        return at_most(self.inner.usable, turns) and at_most(turns, self.outer.usable)


class NoOuterLimit(ValueError):  # noqa: N818 - it reads as what it says
    """First touch was not reached and neither the maker's nor the thread's limit is known."""


def feel_of(dimensions: Dimensions, pitch: float, touch: float | None, strip: float) -> Feel:
    """Find what a strip (m) feels in this pocket; touch is the count at which it was read, or None.

    Raises:
        PocketError: where dimensions, strip and first touch contradict one another.
    """
    pocket = dimensions.free_pocket(pitch)
    lag = feeler.touch_seen_from_outside(pocket, strip)
    if touch is not None:
        pocket = contacts.pocket_from_touch(pocket, touch - lag)
    outside = feeler.flush_seen_from_outside(pocket, strip)
    step = strip / 100
    slope = (
        feeler.flush_seen_from_inside(pocket, strip + step) - feeler.flush_seen_from_inside(pocket, strip - step)
    ) / (2 * step)
    return Feel(
        pocket=pocket,
        flush_outside=outside,
        flush_inside=feeler.flush_seen_from_inside(pocket, strip),
        inside_slope=slope,
        touch=lag,
        blind=touch is not None and not at_most(outside, touch - lag),
        cover_lost=contacts.coverage_lost(pocket),
    )


def window_of(bolt: BoltReadings, readings: Readings) -> Window:
    """Find the window of one bolt from its readings.

    Raises:
        PocketError: where the dimensions contradict the readings.
        NoOuterLimit: where nothing limits the outer end.
    """
    feel = None
    if bolt.dimensions is not None:
        touch = None if bolt.touch is None else bolt.touch.turns
        feel = feel_of(bolt.dimensions, readings.pitch.value, touch, readings.strip)
    inner = _strictest(_at_clicks(_inner_limits(bolt, readings, feel), readings), End.INNER)
    outer = _strictest(_at_clicks(_outer_limits(bolt, readings, feel), readings), End.OUTER)
    if not outer:
        raise NoOuterLimit(
            "first touch was not reached, so the outer end needs the maker's outer limit or the thread that is left. "
            "The thread needs its diameter, and its turns or its lengths; a captive bolt is not taken out to count them"
        )
    window = Window(
        bolt=bolt.bolt,
        limits=(*inner, *outer),
        inner=inner[0],
        outer=outer[0],
        width_budget=_width_budget(inner[0], outer[0]),
        feel=feel,
    )
    if feel is not None and feel.blind and bolt.way in ("outside", "both") and not window.vanished:
        raise PocketError(
            "strip",
            "The strip stops at the rim before the head has touched the limb, so you cannot feel flush with it. Use a "
            "thinner one.",
        )
    return window


def _at_clicks(limits: list[WindowLimit], readings: Readings) -> list[WindowLimit]:
    return [replace(limit, clicks=readings.clicks) for limit in limits] if readings.clicks else limits


def _strictest(limits: list[WindowLimit], end: End) -> list[WindowLimit]:
    """Sort them strictest first; those within the tolerance of one another keep the order they are listed in."""
    ordered: list[WindowLimit] = []
    for limit in limits:
        place = next((i for i, other in enumerate(ordered) if _stricter(limit, other, end)), len(ordered))
        ordered.insert(place, limit)
    return ordered


def _stricter(limit: WindowLimit, other: WindowLimit, end: End) -> bool:
    if same(limit.usable, other.usable):
        return False
    return (limit.usable > other.usable) == (end is End.INNER)


def _inner_limits(bolt: BoltReadings, readings: Readings, feel: Feel | None) -> list[WindowLimit]:
    turning = readings.resolution.turning()
    limits = []
    if bolt.zero == "flush" and feel is not None:
        strip = () if bolt.way != "inside" else (_strip_thickness(readings.strip, feel.inside_slope),)
        interval = feel.flush_inside if bolt.way == "inside" else 0.0
        limits.append(WindowLimit("flush", End.INNER, 0.0, interval, readings.margin, budget((*turning, *strip))))
    elif bolt.zero == "stop":
        limits.append(WindowLimit("stop", End.INNER, 0.0, 0.0, readings.margin, budget(turning)))
    if bolt.zero == "flush" and bolt.stop_inside is not None:
        limits.append(WindowLimit("stop", End.INNER, -bolt.stop_inside, 0.0, readings.margin, budget(turning)))
    if readings.maker_in is not None:
        limits.append(WindowLimit("maker_in", End.INNER, readings.maker_in, 0.0, 0.0, budget(turning)))
    return limits


def _outer_limits(bolt: BoltReadings, readings: Readings, feel: Feel | None) -> list[WindowLimit]:
    limits = []
    if bolt.touch is not None and feel is not None:
        strip = _strip_thickness(readings.strip, 1 / readings.pitch.value)
        uncertainty = budget((*bolt.touch.budget.contributions, strip))
        limits.append(WindowLimit("touch", End.OUTER, bolt.touch.turns, feel.touch, readings.margin, uncertainty))
    if (thread := _thread_limit(bolt, readings)) is not None:
        limits.append(thread)
    if readings.maker_out is not None:
        limits.append(
            WindowLimit("maker_out", End.OUTER, readings.maker_out, 0.0, 0.0, budget(readings.resolution.turning()))
        )
    if feel is not None and feel.cover_lost is not None and limits:
        cover = WindowLimit(
            "cover",
            End.OUTER,
            feel.cover_lost,
            _zero_outside_flush(bolt, feel),
            readings.margin,
            budget(readings.resolution.turning()),
        )
        if min(limit.at for limit in limits) >= cover.usable:  # it comes inside the range at all
            limits.append(cover)
    return limits


def _zero_outside_flush(bolt: BoltReadings, feel: Feel) -> float:
    """Return how far true flush may lie inside the zero reading, turns."""
    return {"outside": feel.flush_outside, "both": bolt.bracket}.get(bolt.way, 0.0)


def _thread_limit(bolt: BoltReadings, readings: Readings) -> WindowLimit | None:
    if bolt.free is None or readings.thread_diameter is None:
        return None
    pitch, diameter = readings.pitch, readings.thread_diameter
    much = needed(diameter, readings.diameters_engaged, readings.bush_length)
    turns = much.length / pitch.value
    what = "length of the thread in the riser" if much.whole_bush else "diameter of the thread"
    others = [one for one in bolt.free.budget.contributions if one.name != "pitch of the thread"]
    # By lengths the pitch has made turns of both the thread there is and the thread that is wanted.
    of_pitch = turns if bolt.free.by == "turns" else turns - bolt.free.turns
    contributions = (
        *others,
        Contribution("pitch of the thread", pitch.uncertainty, of_pitch / pitch.value, shape="from its own reading"),
        rectangular(
            what, readings.resolution.caliper_step / 2, (1.0 if much.whole_bush else much.diameters) / pitch.value
        ),
    )
    return WindowLimit("thread", End.OUTER, bolt.free.turns - turns, 0.0, 0.0, budget(contributions))


def _strip_thickness(strip: float, sensitivity: float) -> Contribution:
    return rectangular("thickness of the strip", STRIP_TOLERANCE * strip, sensitivity)


def _width_budget(inner: WindowLimit, outer: WindowLimit) -> Budget:
    """Put the uncertainties of both ends together; what both share (the strip) is added, not squared apart."""
    shared: dict[str, float] = {}
    apart: list[Contribution] = []
    for limit, sign in ((outer, -1.0), (inner, -1.0)):
        for each in limit.budget.contributions:
            if each.name == "thickness of the strip":
                shared[each.name] = shared.get(each.name, 0.0) + sign * each.share
            else:
                apart.append(each)
    return budget(
        (
            *apart,
            *(Contribution(name, abs(share), shape="rectangular") for name, share in shared.items()),
        )
    )


class WindowPlace(StrEnum):
    """Where a bolt stands with regard to its window."""

    INSIDE = "inside"
    """In the usable window."""
    INNER_RESERVE = "inner_reserve"
    """Outside the window by no more than margin and uncertainty, at the inner end."""
    OUTER_RESERVE = "outer_reserve"
    """Outside the window by no more than margin and uncertainty, at the outer end."""
    PAST_INNER = "past_inner"
    """At or past an inner limit, or where it may be so."""
    PAST_OUTER = "past_outer"
    """At or past an outer limit, or where it may be so."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a bolt stands.

    Attributes:
        place: with regard to the window.
        limit: the limit it is past, or whose reserve it stands in; None inside.
        to_inner, to_outer: turns from where it stands to the usable ends; negative when beyond them.
        uncertainty: U of the position, turns.
    """

    place: WindowPlace
    limit: WindowLimit | None
    to_inner: float
    to_outer: float
    uncertainty: float


SERIOUS = ("touch", "flush", "stop", "thread", "maker_in", "maker_out", "cover")
"""Which limit is named first where a bolt is past several of them."""


def standing(bolt: BoltReadings, window: Window) -> Standing:
    """Say where the bolt stands."""
    now = bolt.now.turns
    past = [limit for limit in window.limits if _is_past(limit, now)]
    if past:
        limit = min(past, key=lambda limit: SERIOUS.index(limit.name))
        place = WindowPlace.PAST_INNER if limit.end is End.INNER else WindowPlace.PAST_OUTER
        found: tuple[WindowPlace, WindowLimit | None] = (place, limit)
    elif not at_most(window.inner.usable, now):
        found = (WindowPlace.INNER_RESERVE, window.inner)
    elif not at_most(now, window.outer.usable):
        found = (WindowPlace.OUTER_RESERVE, window.outer)
    else:
        found = (WindowPlace.INSIDE, None)
    return Standing(*found, now - window.inner.usable, window.outer.usable - now, bolt.now.budget.expanded)


def _is_past(limit: WindowLimit, turns: float) -> bool:
    if limit.end is End.INNER:
        return not at_most(limit.edge, turns)
    return not at_most(turns, limit.edge)


def expected_touch(window: Window, angle: float) -> float | None:
    """Foretell first touch, in turns from flush, from the fitting's angle (rad); None where the butt leaves the head.

    Raises:
        PocketError: where the angle cannot be.
    """
    if window.feel is None:
        return None
    return contacts.first_touch(replace(window.feel.pocket, fitting_angle=angle))
