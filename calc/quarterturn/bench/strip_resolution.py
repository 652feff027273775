"""What a strip can tell in a pocket, and what each dimension of the pocket matters for it.

Everything is in turns from true flush; lengths in m.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.bench.counting import Pitch, ReadingResolution
from quarterturn.bench.readings import STRIP_TOLERANCE
from quarterturn.bench.uncertainty import Budget, Contribution, budget, rectangular
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import Pocket, PocketError


@dataclass(frozen=True, slots=True)
class StripResolution:
    """What one strip tells in one pocket. Turns, never negative; None where the strip is too thick to tell.

    Attributes:
        outside: outside flush, where it stops going in at the rim.
        inside: inside flush, where it stops going in at the butt end.
        touch: before first touch, where it stops going in at the butt end.
    """

    outside: float | None
    inside: float | None
    touch: float

    @property
    def both(self) -> float | None:
        """Between the two readings of flush: true flush lies in it."""
        return None if self.outside is None or self.inside is None else self.outside + self.inside


def strip_resolution(pocket: Pocket, strip: float) -> StripResolution:
    """Find what a strip tells.

    Raises:
        PocketError: where the strip is no thickness.
    """
    return StripResolution(
        outside=_outside(pocket, strip),
        inside=_or_none(lambda: feeler.flush_seen_from_inside(pocket, strip)),
        touch=feeler.touch_seen_from_outside(pocket, strip),
    )


def _outside(pocket: Pocket, strip: float) -> float | None:
    seen = _or_none(lambda: feeler.flush_seen_from_outside(pocket, strip))
    touch = contacts.first_touch(pocket)
    return None if seen is None or (touch is not None and seen > touch) else seen


def _or_none(ask: Callable[[], float]) -> float | None:
    try:
        return ask()
    except PocketError as error:
        if error.parameter != "strip":
            raise
        return None


def strip_for(pocket: Pocket, turns: float) -> float:
    """Return the thickness that stops going in at the rim this many turns outside flush, m; 0 where none does."""
    gap = feeler.gap_at_rim(pocket, turns)
    return gap or 0.0


# The uncertainty of one reading


def flush_budget(pocket: Pocket, strip: float, resolution: ReadingResolution, way: str) -> Budget:
    """Combine the random uncertainties of a reading of flush ("outside" or "inside"): counting, play, thickness.

    The strip's own interval is not in it: it has one side only and is kept whole.
    """
    ask = feeler.flush_seen_from_outside if way == "outside" else feeler.flush_seen_from_inside
    return budget((*resolution.turning(), _thickness(lambda thick: ask(pocket, thick), strip)))


def touch_budget(pocket: Pocket, strip: float, resolution: ReadingResolution) -> Budget:
    """Combine the random uncertainties of a reading of first touch."""
    return budget(
        (*resolution.turning(), _thickness(lambda thick: feeler.touch_seen_from_outside(pocket, thick), strip))
    )


def height_budget(turns: float, pitch: Pitch, resolution: ReadingResolution) -> Budget:
    """Combine the random uncertainties of a count by two heights of the head."""
    return budget(
        (
            Contribution("two heights by caliper", resolution.height(), 1 / pitch.value, shape="rectangular, twice"),
            Contribution("pitch of the thread", pitch.uncertainty, turns / pitch.value, shape="from its own reading"),
            rectangular("play of the bolt in its thread", resolution.play / 2),
        )
    )


def _thickness(ask: Callable[[float], float], strip: float) -> Contribution:
    step = strip / 100
    above, below = _or_none(lambda: ask(strip + step)), _or_none(lambda: ask(strip - step))
    slope = 0.0 if above is None or below is None else (above - below) / (2 * step)
    return rectangular("thickness of the strip", STRIP_TOLERANCE * strip, slope)


# What each dimension matters


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension that a reader may get wrong.

    Attributes:
        field: its name in the record.
        value: as it is used, m; for the strip too.
        entered: whether it was measured.
        half: how far it may be off, m: less where it was measured, more where it is assumed.
    """

    field: str
    value: float
    entered: bool
    half: float


@dataclass(frozen=True, slots=True)
class DimensionEffect:
    """What one dimension at its low and at its high end does, in turns; None where there is no such place then.

    Attributes:
        flush: to the reading of flush from outside.
        cover: to where the butt ceases to cover the bolt's axis.
    """

    dimension: Dimension
    flush: tuple[float | None, float | None]
    cover: tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class _PocketOutcome:
    flush: float | None
    cover: float | None


@lru_cache(maxsize=16)
def effects(pocket: Pocket, strip: float, dimensions: tuple[Dimension, ...]) -> tuple[DimensionEffect, ...]:
    """Change one dimension at a time to both of its ends, the largest effect on the reading of flush first.

    First touch is held where it was counted: a count does not change because a caliper was wrong.
    """
    touch = contacts.first_touch(pocket)
    base = _outcome(pocket, strip, touch)
    found = [_effect(pocket, strip, touch, base, one) for one in dimensions]
    return tuple(sorted(found, key=lambda effect: -max((abs(e) for e in effect.flush if e is not None), default=99.0)))


def _effect(pocket: Pocket, strip: float, touch: float | None, base: _PocketOutcome, one: Dimension) -> DimensionEffect:
    ends = [_changed(pocket, strip, touch, one, sign * one.half) for sign in (-1, 1)]
    return DimensionEffect(
        one,
        (_less(ends[0].flush, base.flush), _less(ends[1].flush, base.flush)),
        (_less(ends[0].cover, base.cover), _less(ends[1].cover, base.cover)),
    )


def _less(found: float | None, base: float | None) -> float | None:
    return None if found is None or base is None else found - base


def _changed(pocket: Pocket, strip: float, touch: float | None, one: Dimension, by: float) -> _PocketOutcome:
    try:
        if one.field == "strip_thickness":
            return _outcome(pocket, strip + by, touch)
        return _outcome(_with(pocket, one.field, by), strip, touch)
    except PocketError:
        return _PocketOutcome(None, None)


def _with(pocket: Pocket, field: str, by: float) -> Pocket:
    """The pocket with one measured dimension changed; the others are kept as they were measured."""
    if field == "head_diameter":  # the butt was measured from the rim
        return replace(pocket, head_radius=pocket.head_radius + by / 2, butt_length=pocket.butt_length + by / 2)
    if field == "slot_width":
        return replace(pocket, slot_half_width=pocket.slot_half_width + by / 2)
    if field == "fulcrum_arm":
        return replace(pocket, fulcrum_arm=pocket.fulcrum_arm + by, butt_length=pocket.butt_length + by)
    if field == "limb_depth":
        return replace(pocket, limb_depth=pocket.limb_depth + by)
    if field == "rise":
        return replace(pocket, pitch=pocket.pitch + by)
    return replace(pocket, butt_length=pocket.butt_length - by)  # from the rim to the butt end


def _outcome(pocket: Pocket, strip: float, touch: float | None) -> _PocketOutcome:
    held = pocket if touch is None else contacts.pocket_from_touch(pocket, touch)
    return _PocketOutcome(_outside(held, strip), contacts.coverage_lost(held))
