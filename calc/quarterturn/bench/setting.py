"""How a bow is set, for its card: where both bolts stand, what was measured so, and whether both windows hold it.

A position of a bolt holds until another one is written; a measured number holds from the day on which a bolt was last
set. So the newest places of the log count, and what was measured since; without a log, what the worksheet asks for.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from quarterturn.bench import counting
from quarterturn.bench.family import can_be_felt
from quarterturn.bench.progress import READ
from quarterturn.bench.readings import BoltReadings, Readings, take
from quarterturn.bench.shape import geometry_problem
from quarterturn.bench.window import NoOuterLimit, Place, Standing, Window, standing, window_of
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import same
from quarterturn.record.declare import Scope
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.record.newest import newest
from quarterturn.record.reading import Row, Values, list_named

LOG = list_named("log")


class Outcome(StrEnum):
    """What a record comes to, where the gate is open."""

    EXAMPLE = "example"
    """Nothing of a bow has been entered."""
    UNFINISHED = "unfinished"
    """A reading that the window needs has not been entered."""
    UNUSABLE = "unusable"
    """The worksheet's entries cannot be used, or contradict one another."""
    NO_WINDOW = "no_window"
    """A bolt has no window."""
    OUTSIDE = "outside"
    """A bolt stands outside its window."""
    INSIDE = "inside"
    """Both bolts have a window and stand inside it."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured with the bolts where they stand; SI, None where it was not."""

    weight: float | None
    upper_tiller: float | None
    lower_tiller: float | None
    brace_height: float | None


@dataclass(frozen=True, slots=True)
class Bolt:
    """One bolt.

    Attributes:
        name: "upper" or "lower".
        at: turns out from its zero; None where that was not entered.
        zero: what is counted from: "flush", "stop" or "maker".
        counted: turns out from its zero as the worksheet has it, None where that was not entered.
        logged: whether the place is the log's.
        window, standing: where they could be found.
    """

    name: str
    at: float | None
    zero: str
    counted: float | None
    logged: bool
    window: Window | None = None
    standing: Standing | None = None

    @property
    def moved(self) -> bool:
        """Whether it stands elsewhere than where the worksheet has it."""
        return self.at is not None and (self.counted is None or not same(self.at, self.counted))


@dataclass(frozen=True, slots=True)
class Setting:
    """The setting.

    Attributes:
        day: on which the bolts were set so, as a count of days; None where nobody wrote it.
        missing: the readings that the window still needs.
        why: why the worksheet's entries cannot be used, a sentence; "" where they can.
    """

    outcome: Outcome
    bolts: tuple[Bolt, Bolt]
    measured: Measured
    day: int | None
    missing: tuple[str, ...] = ()
    why: str = ""

    @property
    def moved(self) -> bool:
        """Whether a bolt stands elsewhere than where the worksheet has it."""
        return any(bolt.moved for bolt in self.bolts)


def setting(values: Values) -> Setting:
    """Read how the bow is set out of a record."""
    taken = take(values)
    rows = sorted(values.rows("log"), key=lambda row: row[LOG.date])
    log = {name: rows[at][name] for name, at in newest(rows, LOG.settled, LOG.date).items()}
    example = not any(BY_NAME[name].scope is Scope.BOW for name in values.record.entries)
    bolts = [_placed(bolt, values, taken.readings, taken.missing, log, example) for bolt in BOLTS]
    found = Setting(
        Outcome.EXAMPLE if example else Outcome.UNFINISHED,
        (bolts[0], bolts[1]),
        _measured(values, log, example),
        _day(values, log),
        taken.missing,
    )
    problems = (*values.problems_in((*READ, "log")), *taken.problems)
    if problems:
        return replace(found, outcome=Outcome.UNUSABLE, why=problems[0].sentence)
    if taken.missing or taken.readings is None:
        return found
    return _judged(found, taken.readings, values)


def _judged(found: Setting, readings: Readings, values: Values) -> Setting:
    bolts = []
    for bolt, read in zip(found.bolts, readings.bolts, strict=True):
        try:
            window = window_of(read, readings)
        except PocketError as error:
            why = geometry_problem(bolt.name, error, values).sentence
            return replace(found, outcome=Outcome.UNUSABLE, why=why)
        except NoOuterLimit as error:
            return replace(found, outcome=Outcome.UNUSABLE, why=f"{bolt.name.capitalize()} bolt: {error}.")
        bolts.append(replace(bolt, window=window, standing=standing(_standing_at(bolt, read, readings), window)))
    if any(bolt.window is not None and bolt.window.vanished for bolt in bolts):
        outcome = Outcome.NO_WINDOW
    elif any(bolt.standing is not None and bolt.standing.place is not Place.INSIDE for bolt in bolts):
        outcome = Outcome.OUTSIDE
    else:
        outcome = Outcome.INSIDE
    return replace(found, outcome=outcome, bolts=(bolts[0], bolts[1]))


def _standing_at(bolt: Bolt, read: BoltReadings, readings: Readings) -> BoltReadings:
    """The readings with the bolt where the log has it."""
    if not bolt.logged or bolt.at is None:
        return read
    return replace(read, now=counting.by_key(bolt.at, readings.care))


def _is_set(log: Row) -> bool:
    """Whether the log says where a bolt was set."""
    return any(column in log for column in LOG.settled)


def _day(values: Values, log: Row) -> int | None:
    """The day on which a bolt was last set, as far as the log has it; or else as entered, or of the newest row."""
    logged = int(log[LOG.date]) if log else None
    return logged if _is_set(log) else values.day("set_on") or logged


def _placed(
    bolt: str, values: Values, readings: Readings | None, missing: tuple[str, ...], log: Row, example: bool
) -> Bolt:
    zero = "flush"
    if not can_be_felt(values.choice("bolt_family")):
        zero = "maker"
    elif values.choice("bolt_family") == "stop":
        zero = values.choice(f"{bolt}_first_in")
    counted = _counted(bolt, values, readings, missing, example)
    logged = log.get(f"{bolt}_at")
    return Bolt(bolt, counted if logged is None else logged, zero, counted, logged is not None)


def _counted(
    bolt: str, values: Values, readings: Readings | None, missing: tuple[str, ...], example: bool
) -> float | None:
    """Where the worksheet has the bolt; None where that was not entered, or by lengths whose pitch was not measured."""
    if readings is None:
        return None
    now = next(each.now for each in readings.bolts if each.bolt == bolt)
    needed = {f"{bolt}_now_turns", f"{bolt}_now_side"} | ({"rise"} if now.by == "heights" else set())
    return None if needed & set(missing) and not example else now.turns


def _measured(values: Values, log: Row, example: bool) -> Measured:
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
    return Measured(**found)
