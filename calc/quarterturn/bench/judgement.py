"""What is known of one bow, judged once for whoever asks: may it be strung, may its bolts be turned, what is open.

The causes that speak against it are found here and nowhere else, the gravest first. Whoever is given a judgement
shows no more than it permits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import IntEnum, StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from quarterturn.bench import balance
from quarterturn.bench.events import (
    LIMBS,
    LINE,
    SHIMS,
    SHOCKS,
    Event,
    events_of,
    line_days,
    noted,
    own_day,
    times_set_anew,
)
from quarterturn.bench.family import FAMILIES, Family, Method, is_turned
from quarterturn.bench.inspection import Due, Inspection, InspectionOutcome, Since, due, inspect
from quarterturn.bench.log import log_of
from quarterturn.bench.positions import LOG, BoltPosition, PlaceSource, Positions, is_past_end, positions_of, window_at
from quarterturn.bench.window import Window
from quarterturn.numbers import rounded
from quarterturn.record.entries import Entry, Problem, Record
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.values import Values

if TYPE_CHECKING:
    from quarterturn.bench.alarms import Alarm

QUARTER = 0.25


class Level(IntEnum):
    """How grave a cause is."""

    OPEN = 1
    """Something is not finished, or not known; nothing that is known speaks against the bow."""
    ASK = 2
    """Something must be looked at, or somebody asked, before a bolt is turned or the bow is strung."""
    STOP = 3
    """The bow is not strung, and no bolt is turned but back."""


class Kind(StrEnum):
    """What a cause is about, in the order in which causes of one level are named."""

    INSPECTION = "inspection"
    """The inspection found something, or is not sure of it."""
    FAMILY = "family"
    """Nobody knows which kind of bolt this is, or its turns were counted though it is not for turning."""
    EVENT = "event"
    """Something happened to the bow and is not settled."""
    NO_WINDOW = "no_window"
    """Margin and uncertainty leave nothing of a window."""
    OUTSIDE = "outside"
    """A bolt is outside its window."""
    SWAPPED = "swapped"
    """The limbs are, or may be, in each other's pockets."""
    ALARM = "alarm"
    """A reading was not expected, and is not settled."""
    SHIMS = "shims"
    """Shims or washers were changed, and the bolts not counted again."""
    NARROW = "narrow"
    """A bolt is inside a window that holds no whole quarter of a turn."""
    LOG = "log"
    """An entry of the log cannot be used, so that it is open where the bolts are."""
    WORKSHEET = "worksheet"
    """An entry of the worksheet cannot be used, or entries contradict one another."""
    LIMBS = "limbs"
    """Other limbs were put in, and the bolts not counted again."""
    LINE = "line"
    """The line of the limbs was set anew, and no tiller was read since."""
    DUE = "due"
    """The bow has to be looked over again."""


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that speaks against going on; of what it is about, only what belongs to its kind is given."""

    level: Level
    kind: Kind
    bolts: tuple[BoltPosition, ...] = ()
    events: tuple[Event, ...] = ()
    alarms: tuple[Alarm, ...] = ()
    problems: tuple[Problem, ...] = ()
    due: Due | None = None
    tiller: float = 0.0
    """Upper less lower, m."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """What is known of a bow, and what speaks against going on with it.

    Attributes:
        chosen: whether the kind of bolt was said.
        due: why the bow has to be looked over again, None where it has not.
        events: all, settled ones too.
        causes: the gravest first; none where nothing speaks against it.
    """

    values: Values
    family: Family
    chosen: bool
    inspection: Inspection
    due: Due | None
    positions: Positions
    events: tuple[Event, ...]
    causes: tuple[Cause, ...]

    @property
    def worst(self) -> Cause | None:
        """The gravest cause."""
        return self.causes[0] if self.causes else None

    @property
    def level(self) -> Level | None:
        """That of the gravest cause; None where there is none."""
        return self.causes[0].level if self.causes else None

    @property
    def bolts(self) -> tuple[BoltPosition, BoltPosition]:
        """Both bolts."""
        return self.positions.bolts

    @property
    def missing(self) -> tuple[str, ...]:
        """The readings that the worksheet still needs, the inspection among them."""
        return self.positions.missing

    @property
    def complete(self) -> bool:
        """Whether both windows and both places are the reader's own."""
        return not self.missing and all(bolt.known for bolt in self.bolts)

    @property
    def predicts(self) -> bool:
        """Whether what a turn would do may be told."""
        open_only = not any(cause.level > Level.OPEN or cause.kind in _NOT_PREDICTED for cause in self.causes)
        return open_only and self.is_turned

    @property
    def turns(self) -> bool:
        """Whether steps that turn a bolt and string the bow may be told."""
        return not self.causes and self.is_turned

    @property
    def is_turned(self) -> bool:
        """Whether the bow's bolts are for turning, or may be."""
        return is_turned(self.family.name)

    @property
    def in_order(self) -> bool:
        """Whether the bow was looked over and nothing speaks against it."""
        return not self.causes and self.inspection.outcome is InspectionOutcome.GO

    def of(self, kind: Kind) -> Cause | None:
        """The cause of this kind, if there is one."""
        return next((cause for cause in self.causes if cause.kind is kind), None)


_NOT_PREDICTED = (Kind.LOG, Kind.LIMBS, Kind.LINE)
"""Though nothing is known to be wrong, what is predicted would be of another setting, limbs, or line of the limbs."""


def judge(values: Values) -> Judgement:
    """Judge a bow by its record; it refuses nothing. What is only of the view has no part in it."""
    entries = values.record.entries.items()
    lasting = tuple((name, entry) for name, entry in entries if BY_NAME[name].scope is not Scope.VIEW)
    return _judge(lasting, values.today, values.system)


@lru_cache(maxsize=4)
def _judge(entries: tuple[tuple[str, Entry], ...], today: int | None, system: str) -> Judgement:
    values = Values(Record(dict(entries)), today=today, system=system)
    family, inspection, events = FAMILIES[values.choice("bolt_family")], inspect(values), events_of(values)
    chosen, positions = values.entered("bolt_family"), positions_of(values)
    again = (
        due(values, inspection, _since(values, positions, events))
        if inspection.outcome is InspectionOutcome.GO
        else None
    )
    causes = [
        *_inspected(inspection),
        *_family(family, values, chosen),
        *_happened(events),
        *_placed(positions),
        *_swapped(values, events),
        *_unused(positions),
        *_line_anew(values, events),
        *_not_yet(again),
    ]
    if not is_turned(family.name):
        causes = [cause for cause in causes if cause.kind not in _OF_TURNING]
    if not any(cause.level is Level.STOP or cause.kind is Kind.LOG for cause in causes):
        alarmed = _alarmed(values, positions, events, inspection)
        causes += [cause for cause in alarmed if again is None or cause.due is None]
        again = again or next((cause.due for cause in alarmed if cause.due), None)
    causes.sort(key=lambda cause: (-cause.level, _ORDER.index(cause.kind)))
    return Judgement(values, family, chosen, inspection, again, positions, events, tuple(causes))


_ORDER = tuple(Kind)
_OF_TURNING = (Kind.OUTSIDE, Kind.NO_WINDOW, Kind.NARROW, Kind.WORKSHEET, Kind.LOG, Kind.LIMBS, Kind.SHIMS)
"""What says nothing of bolts that are not turned; other limbs are looked over, and not counted."""


def to_pass_on(values: Values) -> Record:
    """The record for a link, which may carry no more of a log than its newest places.

    What the whole log would tell, that a reading was not expected, goes along as an event that is open.
    """
    found = judge(values).of(Kind.ALARM)
    return values.record if found is None else noted(values.record, max(each.reading.day for each in found.alarms))


# The causes


def _inspected(found: Inspection) -> list[Cause]:
    level = {InspectionOutcome.STOP: Level.STOP, InspectionOutcome.ASK: Level.ASK}.get(found.outcome)
    return [] if level is None else [Cause(level, Kind.INSPECTION)]


def _family(family: Family, values: Values, chosen: bool) -> list[Cause]:
    doubtful = family.method is Method.FIND_OUT or (not is_turned(family.name) and _counted(values))
    return [Cause(Level.ASK, Kind.FAMILY)] if chosen and doubtful else []


def _counted(values: Values) -> bool:
    """Whether turns of a bolt are written down, as it was counted when it was held for another kind."""
    ends = ("_now_turns", "_touch_turns")
    rows = values.rows("log")
    return any(name.endswith(ends) for name in values.record.entries) or any(
        row.get(column) is not None for row in rows for column in LOG.setting_columns
    )


def _happened(events: tuple[Event, ...]) -> list[Cause]:
    still = tuple(event for event in events if event.is_open)
    grave = tuple(event for event in still if event.happened not in (LIMBS, SHIMS, LINE))
    limbs, shims = (tuple(event for event in still if event.happened == what) for what in (LIMBS, SHIMS))
    return [
        *([Cause(Level.STOP, Kind.EVENT, events=grave)] if grave else []),
        *([Cause(Level.ASK, Kind.SHIMS, events=shims)] if shims else []),
        *([Cause(Level.OPEN, Kind.LIMBS, events=limbs)] if limbs else []),
    ]


def _placed(found: Positions) -> list[Cause]:
    """What is known of either bolt, whatever the other one still needs."""
    known = [(bolt, bolt.window) for bolt in found.bolts if bolt.known and bolt.window is not None]
    none = tuple(bolt for bolt, window in known if window.vanished)
    outside = tuple(bolt for bolt, window in known if not window.vanished and bolt.outside)
    narrow = tuple(
        bolt for bolt, window in known if not (window.vanished or bolt.outside) and not holds_a_quarter(window)
    )
    return [
        *([Cause(Level.STOP, Kind.OUTSIDE, bolts=outside)] if outside else []),
        *([Cause(Level.STOP, Kind.NO_WINDOW, bolts=none)] if none else []),
        *([Cause(Level.ASK, Kind.NARROW, bolts=narrow)] if narrow else []),
    ]


def holds_a_quarter(window: Window) -> bool:
    """Whether a whole quarter of a turn from zero lies inside a window."""
    first = math.ceil(rounded(window.inner.usable / QUARTER) - 1e-9) * QUARTER
    return window.holds(first)


def _swapped(values: Values, events: tuple[Event, ...]) -> list[Cause]:
    """Limbs in each other's pockets, or a tiller that these would give, until the marks were looked at."""
    tiller, answer = first_tiller(values), values.choice("marks_checked") if values.entered("marks_checked") else ""
    if answer == "swapped":
        return [Cause(Level.STOP, Kind.SWAPPED, tiller=tiller or 0.0)]
    if tiller is None or not balance.looks_exchanged(tiller):
        return []
    seen = values.day("marks_checked_on")
    changed = max((event.day or 0 for event in events if event.happened == LIMBS), default=0)
    if answer == "right" and seen is not None and seen >= changed:
        return []
    return [Cause(Level.ASK, Kind.SWAPPED, tiller=tiller)]


def first_tiller(values: Values) -> float | None:
    """The tiller as it was before anything was turned: the worksheet's, else the log's first; m, None without one."""
    upper, lower = (values.optional(f"{bolt}_tiller") for bolt in BOLTS)
    if upper is not None and lower is not None:
        return balance.tiller(upper, lower)
    return next((entry.tiller for entry in log_of(values).entries if entry.tiller is not None), None)


def _line_anew(values: Values, events: tuple[Event, ...]) -> list[Cause]:
    """The line of the limbs set anew, where a tiller from before is known and none from after, or the day is not."""
    anew = tuple(event for event in events if event.happened == LINE)
    if not anew or first_tiller(values) is None:
        return []
    undated = tuple(event for event in anew if event.is_open)
    if undated:
        return [Cause(Level.OPEN, Kind.LINE, events=undated)]
    lines = line_days(values)
    read = [entry.day for entry in log_of(values).entries if entry.tiller is not None]
    if all(values.entered(f"{bolt}_tiller") for bolt in BOLTS):
        read.append(own_day(values))
    if any(times_set_anew(day, lines) == len(lines) for day in read):
        return []
    return [Cause(Level.OPEN, Kind.LINE, events=tuple(event for event in anew if event.day == lines[-1]))]


def _unused(found: Positions) -> list[Cause]:
    causes = []
    if found.log_unusable:
        causes.append(Cause(Level.OPEN, Kind.LOG, problems=found.log_unusable))
    if found.unusable:
        causes.append(Cause(Level.OPEN, Kind.WORKSHEET, problems=found.unusable))
    return causes


def _not_yet(again: Due | None) -> list[Cause]:
    return [] if again is None else [Cause(Level.OPEN, Kind.DUE, due=again)]


def _alarmed(values: Values, found: Positions, events: tuple[Event, ...], seen: Inspection) -> list[Cause]:
    """Readings that were not expected; none of a bow that is not the reader's own, for nothing is expected of it.

    A tiller that only another line of the limbs may explain is none of them, and asks for another look at the limbs.
    """
    rows = values.rows("log")
    if found.missing or not rows or not all(bolt.known for bolt in found.bolts):
        return []
    # Only a bow with a log needs what follows: without one none of these is imported.
    from quarterturn.bench.alarms import open_alarms
    from quarterturn.bench.bow_inputs import BowInputsError, bow_inputs
    from quarterturn.bench.history import history

    try:
        bow = bow_inputs(values)
    except BowInputsError:
        return []
    if bow.missing:
        return []
    course = history(bow)
    if alarms := open_alarms(course, events):
        return [Cause(Level.STOP, Kind.ALARM, alarms=alarms)]
    across = open_alarms(replace(course, line_days=()), events) if course.line_days else ()
    if across and (seen.day is None or seen.day < max(alarm.reading.day for alarm in across)):
        return [Cause(Level.OPEN, Kind.DUE, due=Due.LINE)]
    return []


# What asks for another look


def _since(values: Values, found: Positions, events: tuple[Event, ...]) -> Since:
    """What has happened to the bow that its inspection may not have seen."""
    return Since(
        shock=_latest([event.day or event.found_on for event in events if event.happened in SHOCKS]),
        limbs=_latest([event.day or event.found_on for event in events if event.happened == LIMBS]),
        past_end=_latest([_brought_back(bolt, values, found) for bolt in BOLTS]),
    )


def _latest(days: list[int | None]) -> int | None:
    return max((day for day in days if day is not None), default=None)


def _brought_back(bolt: str, values: Values, found: Positions) -> int | None:
    """The last day on which this bolt was brought back that had been past an end; None where it never was."""
    position = found.bolts[BOLTS.index(bolt)]
    if not position.known or position.source is not PlaceSource.LOG:
        return None
    was_past, latest = _past(bolt, position.counted, found), None
    for entry in log_of(values).entries:
        place = entry.upper_at if bolt == "upper" else entry.lower_at
        if place is None:
            continue
        if was_past:
            latest = entry.day
        was_past = _past(bolt, place, found)
    return latest


def _past(bolt: str, place: float | None, found: Positions) -> bool:
    where = None if place is None else window_at(bolt, place, found)
    return where is not None and is_past_end(where)
