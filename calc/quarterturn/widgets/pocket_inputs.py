"""What all pages that show one pocket read from what they show."""

from __future__ import annotations

from quarterturn.bench.shape import Shape
from quarterturn.mechanics.pocket import Pocket
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Status


class PocketInputs:
    """For a frozen dataclass that holds `values` and a `shape`."""

    __slots__ = ()

    values: Values
    shape: Shape
    example: bool

    @property
    def pocket(self) -> Pocket:
        """The pocket."""
        return self.shape.pocket

    @property
    def unit(self) -> str:
        """The unit that lengths are shown in."""
        return self.values.choice("length_unit")

    @property
    def status(self) -> Status:
        """Where what is computed from it comes from."""
        return Status.EXAMPLE if self.example else Status.COMPUTED
