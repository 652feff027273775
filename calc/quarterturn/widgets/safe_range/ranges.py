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
from quarterturn.record.fields import BOLTS, FIELDS
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
        waits: whether something is open that comes before any range is told: a day, an entry, other limbs.
        looked_over: when and by whom the bow was inspected, in words; "" where that was not written.
        untouched: whether nothing of a bow has been entered.
    """

    values: Values
    family: Family
    readings: Readings
    bolts: tuple[BoltRange, ...]
    missing: tuple[str, ...]
    waits: bool
    looked_over: str
    untouched: bool

    @property
    def example(self) -> bool:
        """Whether a reading is still the example's."""
        return bool(self.missing)

    @property
    def waits_for_inspection(self) -> tuple[str, ...]:
        """What of the short inspection, and of the kind of bolt, has not been answered."""
        return tuple(name for name in self.missing if is_of_inspection(name))

    @property
    def at_hand(self) -> BoltRange:
        """The bolt that the reader looks at."""
        return self.bolts[BOLTS.index(self.values.choice("limb_shown"))]

    def has_own_range(self, bolt: BoltRange) -> bool:
        """Whether a bolt's range is the reader's own: all of it has been read, and the bow looked over."""
        return bolt.position.known and not self.waits_for_inspection

    def tells_range(self, bolt: BoltRange) -> bool:
        """Whether a bolt's own range is told in words: nothing that is open comes before it."""
        return self.has_own_range(bolt) and not self.waits

    def shows_range(self, bolt: BoltRange) -> bool:
        """Whether a range is drawn for it: its own, or the example's while nothing is the reader's."""
        return self.untouched or self.has_own_range(bolt)

    def read_zero(self, bolt: BoltRange) -> bool:
        """Whether it has been said how its zero was found."""
        return self.values.entered({"maker": "maker_in"}.get(bolt.readings.zero, "flush_way"))

    def read_touch(self, bolt: BoltRange) -> float | None:
        """The count from zero to first touch as read, turns; None where it was not."""
        read = self.values.entered(f"{bolt.name}_touch_turns")
        return bolt.readings.touch.turns if read and bolt.readings.touch is not None else None

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
        values=values,
        family=judgement.family,
        readings=positions.readings,
        bolts=bolts,
        missing=_still_missing(positions.missing),
        waits=judgement.level is not None,
        looked_over=looked_over(judgement),
        untouched=positions.example,
    )


def _bolt(bolt: BoltPosition, positions: Positions) -> BoltRange:
    readings = read_now(bolt.name, positions)
    if readings is None or bolt.window is None or bolt.standing is None:
        raise Refusal(() if bolt.problem is None else (bolt.problem,))
    return BoltRange(readings, bolt.window, bolt.standing, bolt)


def _still_missing(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(names, key=lambda name: [field.name for field in FIELDS].index(name)))


def is_of_inspection(name: str) -> bool:
    """Whether a field is of the short inspection, or says which bolt it is: answered before a bolt is turned."""
    return name.startswith("check_") or name == "bolt_family"


def entered_readings(found: SafeRanges) -> tuple[str, ...]:
    """The readings that a verdict needs and that have been entered."""
    return tuple(
        field.name
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
