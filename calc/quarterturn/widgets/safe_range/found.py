"""What was found: the readings, a window and a standing for each bolt, what is still missing."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.family import Family
from quarterturn.bench.inspection import Inspection
from quarterturn.bench.moves import Move, moves
from quarterturn.bench.readings import BoltReadings, Readings, take
from quarterturn.bench.shape import geometry_problem
from quarterturn.bench.window import NoOuterLimit, Place, Standing, Window, expected_touch, standing, window_of
from quarterturn.mechanics.pocket import PocketError
from quarterturn.record.declare import Role
from quarterturn.record.fields import FIELDS
from quarterturn.record.reading import Problem, Values
from quarterturn.widgets.answer import Refusal
from quarterturn.widgets.safe_range.form import ASKED


@dataclass(frozen=True, slots=True)
class FoundBolt:
    """One bolt: what was read, its window, where it stands."""

    readings: BoltReadings
    window: Window
    standing: Standing

    @property
    def name(self) -> str:
        """Either upper or lower."""
        return self.readings.bolt

    @property
    def title(self) -> str:
        """Its name in a sentence."""
        return f"{self.name} bolt"


@dataclass(frozen=True, slots=True)
class Found:
    """Both bolts, and what was entered."""

    values: Values
    family: Family
    gate: Inspection
    readings: Readings
    bolts: tuple[FoundBolt, ...]
    missing: tuple[str, ...]

    @property
    def example(self) -> bool:
        """Whether a reading is still the example's."""
        return bool(self.missing)

    @property
    def vanished(self) -> tuple[FoundBolt, ...]:
        """The bolts without a window."""
        return tuple(bolt for bolt in self.bolts if bolt.window.vanished)

    @property
    def outside(self) -> tuple[FoundBolt, ...]:
        """The bolts that stand outside their windows."""
        return tuple(bolt for bolt in self.bolts if bolt.standing.place is not Place.INSIDE)

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


def find(values: Values, family: Family, gate: Inspection) -> Found:
    """Take the readings and find both windows.

    Raises:
        Refusal: where an entry cannot be used or entries contradict one another.
    """
    taken = take(values)
    problems = (*values.problems_in(ASKED), *taken.problems)
    if problems or taken.readings is None:
        raise Refusal(problems)
    readings = taken.readings
    bolts = tuple(_bolt(bolt, readings, values) for bolt in readings.bolts)
    return Found(values, family, gate, readings, bolts, _still_missing(taken.missing))


def _bolt(bolt: BoltReadings, readings: Readings, values: Values) -> FoundBolt:
    try:
        window = window_of(bolt, readings)
    except PocketError as error:
        raise Refusal((geometry_problem(bolt.bolt, error, values),)) from None
    except NoOuterLimit as error:
        name = f"{bolt.bolt}_touch_found"
        sentence = f"{bolt.bolt.capitalize()} bolt: {error}. Enter one of them."
        raise Refusal((Problem(name, sentence),)) from None
    return FoundBolt(bolt, window, standing(bolt, window))


def _still_missing(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(names, key=lambda name: [field.name for field in FIELDS].index(name)))


def entered_readings(found: Found) -> int:
    """Count the readings that a verdict needs and that have been entered."""
    return sum(
        1
        for field in FIELDS
        if field.role is Role.READING and found.values.matters(field.name) and field.name not in found.missing
    )


def foretold(bolt: FoundBolt, found: Found) -> float | None:
    """Foretell the first touch that a strip reads, from true flush, by the tip's free travel; None without it."""
    travel = found.values.optional("tip_travel")
    if travel is None or bolt.window.feel is None:
        return None
    try:
        touch = expected_touch(bolt.window, travel / found.values.number("tip_length"))
    except PocketError:
        return None
    return None if touch is None else touch + bolt.window.feel.touch
