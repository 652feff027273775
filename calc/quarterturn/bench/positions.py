"""Where each limb bolt is: since when, by which source, its window and its place in it; and what was measured so.

There is one rule for the place of a bolt: the newest entry of the log that names it, or else the worksheet's count.
There is one rule for readings: they belong to the setting from the day on which a bolt was last set. And there is one
for what cannot be used: an entry of the log with a cell that cannot be read, or with a place and no day, leaves open
where the bolts are, so that nothing older stands in for it.

Turns count out from each bolt's zero; SI; a day is a count of days (`quarterturn.days`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from quarterturn.bench import counting
from quarterturn.bench.engagement import needs_mark
from quarterturn.bench.family import FAMILIES, Method, can_be_felt
from quarterturn.bench.progress import COUNTED, READ
from quarterturn.bench.readings import BoltReadings, Readings, Worksheet, take
from quarterturn.bench.shape import geometry_problem
from quarterturn.bench.window import NoOuterLimit, Standing, Window, WindowPlace, standing, window_of
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import same
from quarterturn.record.entries import Problem
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BOLTS, BY_NAME, list_named
from quarterturn.record.fields.inspection import INSPECTION
from quarterturn.record.newest import newest
from quarterturn.record.validation import Row
from quarterturn.record.values import Values

LOG = list_named("log")
_CHECKS = frozenset(field.name for field in INSPECTION)
_COUNTABLE = (Method.FEEL, Method.FEEL_OR_STOP, Method.MAKER_ONLY)


class PlaceSource(StrEnum):
    """Where the place of a bolt comes from."""

    WORKSHEET = "worksheet"
    LOG = "log"
    NONE = "none"
    """It was not entered."""


@dataclass(frozen=True, slots=True)
class CurrentReadings:
    """What was measured with the bolts where they are; SI, None where it was not."""

    weight: float | None
    upper_tiller: float | None
    lower_tiller: float | None
    brace_height: float | None

    @property
    def tiller(self) -> float | None:
        """Upper less lower; None unless both were read."""
        if self.upper_tiller is None or self.lower_tiller is None:
            return None
        return self.upper_tiller - self.lower_tiller


@dataclass(frozen=True, slots=True)
class BoltPosition:
    """One bolt.

    Attributes:
        name: "upper" or "lower".
        zero: what is counted from: "flush", "stop" or "maker".
        at: turns out from its zero; None where that was not entered.
        source: where that comes from.
        since: the day on which it was set there; None where nobody wrote it.
        counted: turns out from its zero as the worksheet has it, None where that was not entered.
        window, standing: where there is a window; of the worked example as far as readings are missing.
        missing: the readings that its window or its place still needs, the inspection apart.
        problem: why there is no window; None where there is one, or where this kind of bolt has none.
    """

    name: str
    zero: str
    at: float | None
    source: PlaceSource
    since: int | None
    counted: float | None
    window: Window | None = None
    standing: Standing | None = None
    missing: tuple[str, ...] = ()
    problem: Problem | None = None

    @property
    def known(self) -> bool:
        """Whether window and place are the reader's own, and no example's."""
        return self.window is not None and not self.missing

    @property
    def moved(self) -> bool:
        """Whether it is elsewhere than where the worksheet has it."""
        return self.at is not None and (self.counted is None or not same(self.at, self.counted))

    @property
    def outside(self) -> bool:
        """Whether it is known to be outside its window."""
        return self.known and self.standing is not None and self.standing.place is not WindowPlace.INSIDE

    @property
    def past_end(self) -> bool:
        """Whether it is known to be at or past an end, and not only in what is kept free there."""
        return self.outside and self.standing is not None and is_past_end(self.standing)


def is_past_end(found: Standing) -> bool:
    """Whether a bolt is at or past an end of its range, or may be."""
    return found.place in (WindowPlace.PAST_INNER, WindowPlace.PAST_OUTER)


@dataclass(frozen=True, slots=True)
class Positions:
    """Both bolts.

    Attributes:
        example: whether nothing of a bow has been entered.
        readings: the worksheet's; None where no thread has such a pitch.
        measured: with the bolts where they are.
        day: on which a bolt was last set, or what was entered or read since; None where nobody wrote it.
        missing: the readings that the worksheet still needs, the inspection among them.
        unusable: what cannot be used, or contradicts itself: entries of the worksheet.
        log_unusable: entries of the log, for which it is open where the bolts are.
    """

    bolts: tuple[BoltPosition, BoltPosition]
    example: bool
    readings: Readings | None
    measured: CurrentReadings
    day: int | None
    missing: tuple[str, ...]
    unusable: tuple[Problem, ...]
    log_unusable: tuple[Problem, ...]

    @property
    def moved(self) -> bool:
        """Whether a bolt is elsewhere than where the worksheet has it."""
        return any(bolt.moved for bolt in self.bolts)

    @property
    def windows(self) -> tuple[Window, Window] | None:
        """Both windows, those of the example as far as readings are missing; None unless there are both."""
        upper, lower = (bolt.window for bolt in self.bolts)
        return None if upper is None or lower is None else (upper, lower)

    @property
    def places(self) -> tuple[float | None, float | None]:
        """Where both bolts are."""
        return self.bolts[0].at, self.bolts[1].at


@lru_cache(maxsize=4)
def positions_of(values: Values) -> Positions:
    """Find where both bolts are; it refuses nothing."""
    taken = take(values)
    rows = sorted(values.rows("log"), key=lambda row: row[LOG.date])
    found = newest(rows, LOG.setting_columns, LOG.date)
    log = {name: rows[at][name] for name, at in found.items()}
    days = {name: int(rows[at][LOG.date]) for name, at in found.items()}
    example = not any(BY_NAME[name].scope is Scope.BOW for name in values.record.entries)
    upper, lower = (_with_window(_placed(bolt, values, taken, log, days, example), values, taken) for bolt in BOLTS)
    unusable = [*values.problems_in(READ), *taken.problems]
    unusable += [bolt.problem for bolt in (upper, lower) if bolt.problem and bolt.problem not in unusable]
    return Positions(
        bolts=(upper, lower),
        example=example,
        readings=taken.readings,
        measured=_measured(values, log, example),
        day=_day(values, log),
        missing=taken.missing,
        unusable=tuple(unusable),
        log_unusable=(*values.problems_in(("log",)), *_places_without_a_day(values)),
    )


def read_now(bolt: str, found: Positions) -> BoltReadings | None:
    """The readings of a bolt, with the bolt where it is now; None where no thread has such a pitch."""
    if found.readings is None:
        return None
    place = BOLTS.index(bolt)
    return _read_at(found.bolts[place], found.readings.bolts[place], found.readings)


def window_at(bolt: str, place: float, found: Positions) -> Standing | None:
    """Where a bolt would be in its window at another place; None where it has none."""
    position = found.bolts[BOLTS.index(bolt)]
    if position.window is None or found.readings is None:
        return None
    read = found.readings.bolts[BOLTS.index(bolt)]
    return standing(replace(read, now=counting.by_key(place, found.readings.resolution)), position.window)


# Where they are


def _placed(bolt: str, values: Values, taken: Worksheet, log: Row, days: dict[str, int], example: bool) -> BoltPosition:
    family = values.choice("bolt_family")
    zero = "flush"
    if not can_be_felt(family):
        zero = "maker"
    elif family == "stop":
        zero = values.choice(f"{bolt}_first_in")
    counted, column = _counted(bolt, values, taken, example), f"{bolt}_at"
    at = log.get(column, counted)
    source = PlaceSource.LOG if column in log else PlaceSource.WORKSHEET if at is not None else PlaceSource.NONE
    since = days.get(column) if source is PlaceSource.LOG else values.day("set_on")
    # Where the log has the bolt, nobody waits for its count to the mark: unless the thread was counted from the mark.
    logged = source is PlaceSource.LOG and not needs_mark(bolt, values)
    return BoltPosition(bolt, zero, at, source, since, counted, missing=_missing(bolt, taken.missing, logged=logged))


def _missing(bolt: str, missing: Iterable[str], *, logged: bool) -> tuple[str, ...]:
    """What this bolt's window and place still need: neither the other bolt's readings nor the inspection."""
    other = "lower_" if bolt == "upper" else "upper_"
    placed = {f"{bolt}_now_side", f"{bolt}_now_turns"} if logged else set()
    return tuple(name for name in missing if name not in _CHECKS and name not in placed and not name.startswith(other))


def _counted(bolt: str, values: Values, taken: Worksheet, example: bool) -> float | None:
    """Where the worksheet has the bolt; None where that was not entered, or by lengths whose pitch was not measured."""
    if taken.readings is None:
        return None
    now = next(each.now for each in taken.readings.bolts if each.bolt == bolt)
    needed = {f"{bolt}_now_turns", f"{bolt}_now_side"} | ({"rise"} if now.by == "heights" else set())
    return None if needed & set(taken.missing) and not example else now.turns


def _places_without_a_day(values: Values) -> tuple[Problem, ...]:
    """Entries of the log that name a place and have no day yet: nothing older may stand in for them."""
    entry = values.record.entries.get("log")
    if entry is None:
        return ()
    columns = [column.name for column in LOG.columns]
    places = [columns.index(name) for name in LOG.setting_columns]
    found = []
    for problem in values.unfinished("log"):
        cells = entry.rows[int(problem.field.split(".")[1]) - 1]
        if any(cells[at] is not None for at in places):
            found.append(Problem(problem.field, f"{problem.sentence} Enter its day: the row has a bolt's place."))
    return tuple(found)


# Their windows


def _with_window(bolt: BoltPosition, values: Values, taken: Worksheet) -> BoltPosition:
    """The bolt with its window and its place in it, or with what keeps it from having one."""
    if FAMILIES[values.choice("bolt_family")].method not in _COUNTABLE:
        return bolt
    problem = next(iter(_problems(bolt.name, values, taken)), None)
    if problem is not None or taken.readings is None:
        return replace(bolt, problem=problem)
    read = taken.readings.bolts[BOLTS.index(bolt.name)]
    try:
        window = window_of(read, taken.readings)
    except PocketError as error:
        return replace(bolt, problem=geometry_problem(bolt.name, error, values))
    except NoOuterLimit as error:
        sentence = f"{bolt.name.capitalize()} bolt: {error}. Enter one of them."
        return replace(bolt, problem=Problem(f"{bolt.name}_touch_found", sentence))
    return replace(bolt, window=window, standing=standing(_read_at(bolt, read, taken.readings), window))


def _problems(bolt: str, values: Values, taken: Worksheet) -> list[Problem]:
    """What of the worksheet's entries keeps this bolt from having a window."""
    other = "lower_" if bolt == "upper" else "upper_"
    found = (*values.problems_in(COUNTED), *taken.problems)
    return [each for each in found if not each.field.startswith(other)]


def _read_at(bolt: BoltPosition, read: BoltReadings, readings: Readings) -> BoltReadings:
    """The readings with the bolt where the log has it."""
    if bolt.source is not PlaceSource.LOG or bolt.at is None:
        return read
    return replace(read, now=counting.by_key(bolt.at, readings.resolution))


# What was measured so


def _is_set(log: Row) -> bool:
    """Whether the log says where a bolt was set."""
    return any(column in log for column in LOG.setting_columns)


def _day(values: Values, log: Row) -> int | None:
    """The day on which a bolt was last set, as far as the log has it; or else as entered, or of the newest row."""
    logged = int(log[LOG.date]) if log else None
    return logged if _is_set(log) else values.day("set_on") or logged


def _measured(values: Values, log: Row, example: bool) -> CurrentReadings:
    names = {
        "weight": "draw_weight",
        "upper_tiller": "upper_tiller",
        "lower_tiller": "lower_tiller",
        "brace_height": "brace_height",
    }
    found = {column: log.get(column) for column in names}
    if not _is_set(log):
        for column, name in names.items():
            entered = values.number(name) if example else values.optional(name)
            found[column] = entered if found[column] is None else found[column]
    return CurrentReadings(**found)
