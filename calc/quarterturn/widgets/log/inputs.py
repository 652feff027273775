"""What the page with the log works with: its entries, those of a made-up bow while there are none, their units."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from quarterturn import units
from quarterturn.bench.log import Jump, Log, OwnTurn, jumps, log_of, own_turns
from quarterturn.numbers import fixed, same
from quarterturn.record.entries import Record
from quarterturn.record.field_types import ListField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Refusal, Status
from quarterturn.widgets.bow_wording import force_unit, signed
from quarterturn.widgets.log.form import ASKED, NAME

EXAMPLE = (
    ("2026-03-14", "2.5", "2", "38.0", "179", "175", "222"),
    ("2026-03-28", "2", "", "38.2", "178", "176.5", "221.5"),
    ("2026-04-18", "1.5", "1.5", "38.7", "178", "176", "220.5"),
    ("2026-05-09", "", "", "38.4", "178", "176", "221"),
    ("2026-06-06", "", "1", "38.9", "180", "173.5", "220"),
)
"""A made-up bow's log, in the order of the columns: nobody's readings."""
DECIMALS = {"mm": 1, "in": 3, "lbf": 1, "N": 0, "kgf": 2, "turn": 2}
LABELS = {"weight": "draw weight", "tiller": "tiller", "brace_height": "brace height"}


@dataclass(frozen=True, slots=True)
class LogInputs:
    """A log as it is shown.

    Attributes:
        example: whether it is the made-up bow's.
        length, force: the units of lengths and of draw weight.
        scale, tape: how near they are read, N and m.
    """

    values: Values
    log: Log
    example: bool
    length: str
    force: str
    scale: float
    tape: float

    @property
    def status(self) -> Status:
        """Where its numbers come from."""
        return Status.EXAMPLE if self.example else Status.ENTERED

    @property
    def computed(self) -> Status:
        """Where what is computed from them comes from."""
        return Status.EXAMPLE if self.example else Status.COMPUTED

    @property
    def own_turns(self) -> tuple[OwnTurn, ...]:
        """What turns of one bolt, or of both alike, did."""
        return own_turns(self.log, scale=self.scale, tape=self.tape)

    @property
    def jumps(self) -> tuple[Jump, ...]:
        """What changed by more than is plausible."""
        return jumps(self.log)

    def unit(self, name: str) -> str:
        """The unit of a reading or of a column."""
        if name.endswith("_at"):
            return "turn"
        return self.force if name == "weight" else self.length

    def number(self, name: str, value: float, more: int = 0) -> str:
        """A reading without its unit, with so many decimals more than it is read to."""
        unit = self.unit(name)
        return fixed(units.from_si(value, unit), DECIMALS[unit] + more)

    def words(self, name: str, value: float) -> str:
        """A reading with its unit."""
        return f"{self.number(name, value)} {self.symbol(name)}"

    def change(self, name: str, value: float) -> str:
        """By how much a reading changed, without its unit."""
        return signed(self.number(name, value))

    def symbol(self, name: str) -> str:
        """The symbol of a reading's unit."""
        return units.unit(self.unit(name)).symbol


def log_inputs(values: Values) -> LogInputs:
    """Take the log out of a record.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    example = not values.entered(NAME)
    return LogInputs(
        values,
        example_log() if example else log_of(values),
        example,
        values.choice("length_unit"),
        weighed_in(values),
        values.number("scale_step"),
        values.number("tape_step"),
    )


def weighed_in(values: Values) -> str:
    """The unit of draw weight: as first typed in the log, else as elsewhere."""
    field, entry = BY_NAME[NAME], values.record.entries.get(NAME)
    if not isinstance(field, ListField):
        raise TypeError("the log must be a list")
    place = [column.name for column in field.columns].index("weight")
    typed = (row[place] for row in entry.rows) if entry is not None else ()
    return next((cell.unit for cell in typed if cell is not None), force_unit(values))


@lru_cache(maxsize=1)
def example_log() -> Log:
    """The made-up bow's log."""
    field = BY_NAME[NAME]
    if not isinstance(field, ListField):
        raise TypeError("the log must be a list")
    names = [column.name for column in field.columns]
    rows = [{name: typed for name, typed in zip(names, row, strict=True) if typed} for row in EXAMPLE]
    return log_of(Values(Record(from_data({NAME: rows}).record.entries)))


def is_still(by: float) -> bool:
    """Whether a difference is none."""
    return same(by, 0.0)
