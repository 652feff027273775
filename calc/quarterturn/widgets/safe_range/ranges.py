"""The safe range of each bolt: the readings, its window, where it stands in it, what is still missing."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.family import Family
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.moves import Move, moves
from quarterturn.bench.positions import BoltPosition, Positions, read_now
from quarterturn.bench.readings import BoltReadings, Readings
from quarterturn.bench.window import Standing, Window, expected_touch
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.field_types import Role
from quarterturn.record.fields import FIELDS
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.judgement_wording import looked_over
from quarterturn.widgets.safe_range.form import ASKED


@dataclass(frozen=True, slots=True)
class BoltRange:
    """One bolt: what was read, its window, where it is.

    Attributes:
        readings: with the bolt where it is now, be that by the log.
    """

    readings: BoltReadings
    window: Window
    standing: Standing
    position: BoltPosition

    @property
    def name(self) -> str:
        """Either upper or lower."""
        return self.readings.bolt

    @property
    def title(self) -> str:
        """Its name in a sentence."""
        return f"{self.name} bolt"


@dataclass(frozen=True, slots=True)
class SafeRanges:
    """Both bolts, and what was entered.

    Attributes:
        looked_over: when and by whom the bow was inspected, in words; "" where that was not written.
    """

    values: Values
    family: Family
    readings: Readings
    bolts: tuple[BoltRange, ...]
    missing: tuple[str, ...]
    looked_over: str

    @property
    def example(self) -> bool:
        """Whether a reading is still the example's."""
        return bool(self.missing)

    @property
    def unit(self) -> str:
        """The unit that lengths are shown in."""
        return self.values.choice("length_unit")

    @property
    def moves(self) -> tuple[Move, ...]:
        """The turns to make, in order."""
        return moves(
            tuple((bolt.window, bolt.readings.now.turns) for bolt in self.bolts),
            self.values.choice("goal"),
        )


def find_ranges(values: Values, judgement: Judgement) -> SafeRanges:
    """Take the readings and both windows.

    Raises:
        Refusal: where an entry cannot be used or entries contradict one another.
    """
    positions = judgement.positions
    problems = (*values.problems_in(ASKED), *positions.unusable)
    if problems or positions.readings is None:
        raise Refusal(tuple(dict.fromkeys(problems)))
    bolts = tuple(_bolt(bolt, positions) for bolt in positions.bolts)
    return SafeRanges(
        values, judgement.family, positions.readings, bolts, _still_missing(positions.missing), looked_over(judgement)
    )


def _bolt(bolt: BoltPosition, positions: Positions) -> BoltRange:
    readings = read_now(bolt.name, positions)
    if readings is None or bolt.window is None or bolt.standing is None:
        raise Refusal(() if bolt.problem is None else (bolt.problem,))
    return BoltRange(readings, bolt.window, bolt.standing, bolt)


def _still_missing(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(names, key=lambda name: [field.name for field in FIELDS].index(name)))


def entered_readings(found: SafeRanges) -> int:
    """Count the readings that a verdict needs and that have been entered."""
    return sum(
        1
        for field in FIELDS
        if field.role is Role.READING and found.values.matters(field.name) and field.name not in found.missing
    )


def foretold(bolt: BoltRange, found: SafeRanges) -> float | None:
    """Foretell the first touch that a strip reads, from true flush, by the tip's free travel; None without it."""
    travel = found.values.optional("tip_travel")
    if travel is None or bolt.window.feel is None:
        return None
    try:
        touch = expected_touch(bolt.window, travel / found.values.number("tip_length"))
    except PocketError:
        return None
    return None if touch is None else touch + bolt.window.feel.touch
