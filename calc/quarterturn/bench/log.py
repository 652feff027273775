"""The log: settings and readings of one bow by date, what changed from entry to entry, and what its own turns did.

A bolt stands where it was last written until another place is written. What was read is read, and is never carried on.

Turns count out from zero; SI; a day is a count of days (`quarterturn.days`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from quarterturn.bench.events import line_days, times_set_anew
from quarterturn.bench.uncertainty import budget, rectangular
from quarterturn.numbers import at_most, same
from quarterturn.record.values import Values

NAME = "log"
TILLERS = ("tiller", "upper_tiller", "lower_tiller")
"""What is of one line of the limbs."""
READINGS = ("weight", "tiller", "brace_height")
"""What changes from entry to entry: draw weight; upper less lower; brace height."""
LEAST_TURN = 0.125
"""A smaller turn tells nothing of a whole one: how near is read would be taken eight times and more."""
MOST_TURNS = 2.0
"""More at once asks for a recount, and tells nothing of a turn: no step of a bolt is over half a turn
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One row of the log.

    Attributes:
        number: its place in the record's list, from 1.
        day: when.
        upper_at, lower_at: what was written in it, None where nothing was.
        stands: where the bolts stand by it and those before, upper and lower.
        weight, upper_tiller, lower_tiller, brace_height: what was read, None where it was not.
    """

    number: int
    day: int
    upper_at: float | None
    lower_at: float | None
    stands: tuple[float | None, float | None]
    weight: float | None
    upper_tiller: float | None
    lower_tiller: float | None
    brace_height: float | None

    @property
    def tiller(self) -> float | None:
        """Upper less lower; None unless both were read."""
        return _less(self.upper_tiller, self.lower_tiller)

    @property
    def is_bare(self) -> bool:
        """Whether it holds a date and nothing else."""
        return all(
            each is None
            for each in (
                self.upper_at,
                self.lower_at,
                self.weight,
                self.upper_tiller,
                self.lower_tiller,
                self.brace_height,
            )
        )

    def reading(self, name: str) -> float | None:
        """One of READINGS."""
        return {"weight": self.weight, "tiller": self.tiller, "brace_height": self.brace_height}[name]


@dataclass(frozen=True, slots=True)
class LogChange:
    """From one entry to the next.

    Attributes:
        turned: by how much each bolt was turned, out is positive; None where a place is not known.
        line_anew: whether the line of the limbs was set anew between them.
    """

    before: LogEntry
    after: LogEntry
    turned: tuple[float | None, float | None]
    line_anew: bool = False

    def of(self, name: str) -> float | None:
        """By how much one of READINGS changed; None where it was not read in both, or cannot be compared."""
        if self.line_anew and name in TILLERS:
            return None
        return _less(self.after.reading(name), self.before.reading(name))

    @property
    def moved(self) -> bool:
        """Whether a bolt was turned, as far as is known."""
        return any(each is not None and not same(each, 0.0) for each in self.turned)


@dataclass(frozen=True, slots=True)
class Rate:
    """What a whole turn in does by two readings, and its standard uncertainty, from how near both were read."""

    by_turn: float
    uncertainty: float


@dataclass(frozen=True, slots=True)
class OwnTurn:
    """A turn of one bolt, or of both alike, between two entries with readings.

    Attributes:
        bolt: "upper", "lower" or "both".
        turns: how far, out is positive.
        weight, tiller: for one whole turn IN; None where it was not read in both.
    """

    before: LogEntry
    after: LogEntry
    bolt: str
    turns: float
    weight: Rate | None
    tiller: Rate | None


@dataclass(frozen=True, slots=True)
class Log:
    """The entries that can be used, by date; those of one day in the order of the table.

    `line_days` are those on which the line of the limbs was set anew.
    """

    entries: tuple[LogEntry, ...]
    line_days: tuple[int, ...] = ()

    def line(self, entry: LogEntry) -> int:
        """Of which line of the limbs an entry is: how often that had been set anew by then."""
        return times_set_anew(entry.day, self.line_days)

    def change(self, before: LogEntry, after: LogEntry) -> LogChange:
        """From one entry to another."""
        return _change(before, after, line_anew=self.line(before) != self.line(after))

    @property
    def moved_up(self) -> tuple[LogEntry, ...]:
        """Those that stand in the table under an entry of a later date."""
        latest, found = -math.inf, []
        for entry in sorted(self.entries, key=lambda each: each.number):
            if entry.day < latest:
                found.append(entry)
            latest = max(latest, entry.day)
        return tuple(found)

    @property
    def changes(self) -> tuple[LogChange, ...]:
        """From each entry to the next."""
        return tuple(self.change(before, after) for before, after in pairwise(self.entries))

    def read(self, name: str) -> tuple[tuple[LogEntry, float], ...]:
        """The entries that have one of READINGS, with it."""
        return tuple((entry, value) for entry in self.entries if (value := entry.reading(name)) is not None)

    def comparable(self, name: str) -> tuple[tuple[LogEntry, float], ...]:
        """Those of them that can be compared with the last: of tillers those of its line of the limbs."""
        read = self.read(name)
        if name not in TILLERS or not read:
            return read
        return tuple(one for one in read if self.line(one[0]) == self.line(read[-1][0]))


def log_of(values: Values) -> Log:
    """Take the log out of a record."""
    unused = (*values.unfinished(NAME), *values.problems_in((NAME,)))
    left_out = {int(problem.field.split(".")[1]) for problem in unused}
    numbers = (number for number in range(1, len(left_out) + len(values.rows(NAME)) + 1) if number not in left_out)
    rows = sorted(zip(numbers, values.rows(NAME), strict=True), key=lambda each: each[1]["date"])
    entries: list[LogEntry] = []
    upper: float | None = None
    lower: float | None = None
    for number, row in rows:
        upper, lower = row.get("upper_at", upper), row.get("lower_at", lower)
        entries.append(
            LogEntry(
                number,
                int(row["date"]),
                row.get("upper_at"),
                row.get("lower_at"),
                (upper, lower),
                row.get("weight"),
                row.get("upper_tiller"),
                row.get("lower_tiller"),
                row.get("brace_height"),
            )
        )
    return Log(tuple(entries), line_days(values))


def _less(after: float | None, before: float | None) -> float | None:
    return None if after is None or before is None else after - before


def _change(before: LogEntry, after: LogEntry, *, line_anew: bool = False) -> LogChange:
    upper, lower = (_less(there, here) for there, here in zip(after.stands, before.stands, strict=True))
    return LogChange(before, after, (upper, lower), line_anew)


# What a turn did


def weight_uncertainty(scale: float) -> float:
    """The standard uncertainty of a draw weight, N, from how near the scale is read: half of what it may lie in."""
    return budget([rectangular("scale", scale)]).combined


def tiller_uncertainty(tape: float) -> float:
    """The standard uncertainty of a tiller, which is two readings, m, from how near the tape is read, m."""
    return budget(rectangular("tape", tape) for _ in range(2)).combined


def own_turns(log: Log, *, scale: float, tape: float) -> tuple[OwnTurn, ...]:
    """Find what turns of one bolt, or of both alike, did to weight and tiller.

    Between two readings of the same thing with no other reading of it between them, so that a turn that was noted on a
    day of its own counts. Where a reading jumped by more than is plausible, it tells nothing of a turn.

    Args:
        log: the entries.
        scale: how near the scale is read, N, half of the width in which a reading may lie.
        tape: how near the tape is read, m.
    """
    # A change is two readings.
    weighed, taped = (
        math.sqrt(2) * uncertainty for uncertainty in (weight_uncertainty(scale), tiller_uncertainty(tape))
    )
    weights = _rates(log, "weight", weighed, ("weight",))
    tillers = _rates(log, "tiller", taped, ("upper_tiller", "lower_tiller"))
    places = {entry.number: place for place, entry in enumerate(log.entries)}
    found = []
    for pair in sorted(weights.keys() | tillers.keys(), key=lambda pair: (places[pair[1]], places[pair[0]])):
        before, after = (log.entries[places[number]] for number in pair)
        if (alone := _turned_alone(_change(before, after))) is not None:
            found.append(OwnTurn(before, after, *alone, weights.get(pair), tillers.get(pair)))
    return tuple(found)


def _rates(log: Log, name: str, uncertainty: float, columns: tuple[str, ...]) -> dict[tuple[int, int], Rate]:
    """What a turn in did by each two readings, by their entries' numbers; of none that jumped in these columns."""
    odd = [jump for jump in jumps(log) if jump.name in columns]
    slips, shifts = {jump.after.number for jump in odd if jump.alone}, {jump.after.number for jump in odd}
    found = {}
    read = [(entry, value) for entry, value in log.read(name) if entry.number not in slips]
    for (before, old), (after, new) in pairwise(read):
        change = log.change(before, after)
        alone = None if change.line_anew and name in TILLERS else _turned_alone(change)
        if alone is not None and after.number not in shifts:
            found[before.number, after.number] = Rate((new - old) / -alone[1], uncertainty / abs(alone[1]))
    return found


def _turned_alone(change: LogChange) -> tuple[str, float] | None:
    """The one bolt that was turned, or both where they were turned alike, and how far; None for all else."""
    upper, lower = change.turned
    if upper is None or lower is None:
        return None
    if same(upper, lower):
        bolt, turns = "both", upper
    elif same(lower, 0.0):
        bolt, turns = "upper", upper
    elif same(upper, 0.0):
        bolt, turns = "lower", lower
    else:
        return None
    return (bolt, turns) if at_most(LEAST_TURN, abs(turns)) and at_most(abs(turns), MOST_TURNS) else None


# What is more than is plausible


@dataclass(frozen=True, slots=True)
class JumpLimit:
    """How much a reading may change without a question: in any case, and more for each turn of a bolt.

    With `share` both are parts of the reading itself, else m. Our own bounds, wide: no source.
    """

    always: float
    by_turn: float
    share: bool = False


LIMITS = {
    "weight": JumpLimit(0.08, 0.04, share=True),
    "upper_tiller": JumpLimit(0.008, 0.012),
    "lower_tiller": JumpLimit(0.008, 0.012),
    "brace_height": JumpLimit(0.015, 0.004),
}
"""A turn of one bolt moves the weight by 1 or 2 in 100, one limb's distance by some 3 mm and the brace height by 1 mm
in the example's bow. Other strings, and other draw lengths, are in what is always permitted."""
PLACES = ("upper_at", "lower_at")


@dataclass(frozen=True, slots=True)
class Jump:
    """A number that changed by more than is plausible since the entry that had it before.

    Attributes:
        name: a column of the log.
        by: how much, in SI or turns.
        alone: whether the next one is plausible again after the one before: then this one is most likely a slip.
    """

    name: str
    before: LogEntry
    after: LogEntry
    by: float
    alone: bool


def jumps(log: Log) -> tuple[Jump, ...]:
    """Find what changed by more than is plausible, by date.

    A single number that is off is one jump, not two.
    """
    found = []
    for name in (*PLACES, *LIMITS):
        read = [entry for entry in log.entries if getattr(entry, name) is not None]
        before = read[0] if read else None
        for place, after in enumerate(read[1:], 1):
            anew = before is not None and name in TILLERS and log.line(before) != log.line(after)
            if before is None or anew or _plausible(name, before, after):
                before = after
                continue
            following = read[place + 1] if place + 1 < len(read) else None
            same_line = following is not None and (name not in TILLERS or log.line(before) == log.line(following))
            alone = following is not None and same_line and _plausible(name, before, following)
            found.append(Jump(name, before, after, getattr(after, name) - getattr(before, name), alone))
            before = before if alone else after
    return tuple(sorted(found, key=lambda jump: (jump.after.day, jump.after.number)))


def _plausible(name: str, before: LogEntry, after: LogEntry) -> bool:
    old = getattr(before, name)
    by = abs(getattr(after, name) - old)
    if name in PLACES:
        return at_most(by, MOST_TURNS)
    limit = LIMITS[name]
    most = limit.always + limit.by_turn * _turns_of_both(before, after)
    return at_most(by, most * (old if limit.share else 1.0))


def _turns_of_both(before: LogEntry, after: LogEntry) -> float:
    """Turns of both bolts together; of a bolt whose place is not known as many as are no jump."""
    turned = _change(before, after).turned
    return math.fsum(MOST_TURNS if each is None else abs(each) for each in turned)
