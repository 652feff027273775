"""Readings that were not expected, and whether each was settled.

A reading is held against what the readings before it lead to, within a band of about 95 % (GUM, k = 2). Outside it
something is wrong, or it is one of the twenty that lie outside though nothing is: measured again at the same places and
then as expected, it was a slip, and is settled; otherwise it stays open until somebody writes what was found.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quarterturn.bench.course import WHAT, Course, Prediction, PredictionCheck, SettingReading
from quarterturn.bench.events import Event
from quarterturn.numbers import same


@dataclass(frozen=True, slots=True)
class Alarm:
    """A reading outside its band that is not settled.

    Attributes:
        reading: the setting at which it was read.
        what: "weight", "tiller" or "brace_height".
        expected: from the readings before it.
        mirrored: whether it is the tiller that limbs in each other's pockets would give.
    """

    reading: SettingReading
    what: str
    expected: Prediction
    mirrored: bool

    @property
    def value(self) -> float:
        """What was read."""
        return self.reading.get(self.what) or 0.0


def open_alarms(course: Course, events: Iterable[Event]) -> tuple[Alarm, ...]:
    """The readings of a bow that were not expected and are not settled, in the order of the readings."""
    written = [event.day for event in events if event.happened == "reading" and not event.is_open]
    latest = max((day for day in written if day is not None), default=0)
    checks = course.checks()
    return tuple(
        Alarm(one.reading, one.what, one.foretold, _mirrored(one))
        for one in checks
        if not one.agrees and one.reading.day > latest
        if not (_repeated(one, course) or is_repetition(one, checks, course))
    )


def _mirrored(one: PredictionCheck) -> bool:
    return one.what == "tiller" and one.foretold.holds(-(one.reading.get("tiller") or 0.0))


def _repeated(one: PredictionCheck, course: Course) -> bool:
    """Whether it was read again with the bolts at the same places, and then as expected."""
    place = course.reads.index(one.reading)
    for later in course.reads[place + 1 :]:
        if not _alike(later, one.reading):
            return False
        if _another_line(later, one, course):
            return False
        value = later.get(one.what)
        if value is not None and one.foretold.holds(value):
            return True
    return False


def is_repetition(one: PredictionCheck, checks: tuple[PredictionCheck, ...], course: Course) -> bool:
    """Whether it is the repetition of a slip at the same places, and what was expected before that."""
    place = course.reads.index(one.reading)
    for earlier in reversed(course.reads[:place]):
        if not _alike(earlier, one.reading) or _another_line(earlier, one, course):
            return False
        before = next((each for each in checks if each.reading is earlier and each.what == one.what), None)
        if before is not None and not before.agrees:
            return before.foretold.holds(one.reading.get(one.what) or 0.0)
    return False


def _another_line(other: SettingReading, one: PredictionCheck, course: Course) -> bool:
    """Whether a tiller is of another line of the limbs, so that it tells nothing of this one."""
    return one.what == "tiller" and course.line(other) != course.line(one.reading)


def _alike(one: SettingReading, two: SettingReading) -> bool:
    return all(map(same, one.turns, two.turns))


def unexpected(alarms: Iterable[Alarm]) -> tuple[str, ...]:
    """Which of `WHAT` they are about, each once and in that order."""
    named = {alarm.what for alarm in alarms}
    return tuple(what for what in WHAT if what in named)
