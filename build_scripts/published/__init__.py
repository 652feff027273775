"""Published numbers that the package is held against: read by the tests and by the page that shows them to readers.

Nothing in the package knows them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

ROUNDING = 1e-9  # relative: two numbers that differ by less are one, written in binary


@dataclass(frozen=True, slots=True)
class Row:
    """One published number and the package's own.

    Attributes:
        group: the table it belongs to.
        what: which number of it.
        published: the number as printed.
        unit: its unit, as shown.
        tolerance: what the printed digits allow: half a unit in the last place printed, wider only with a remark.
        source: who published it.
        mark: S seen in the source, S2 quoted by a second one, M from memory, C computed another way.
        computed: asks the package, in `unit`.
        remark: why ours may differ, if it does by more than the rounding.
        printed: the published number to the letter, with its last noughts.
        last_place: a unit in the last place printed.
    """

    group: str
    what: str
    published: float
    unit: str
    tolerance: float
    source: str
    mark: str
    computed: Callable[[], float]
    remark: str
    printed: str
    last_place: float

    def agrees(self) -> bool:
        """Tell whether the package's number is the published one within the tolerance."""
        return abs(self.computed() - self.published) <= self.tolerance + ROUNDING * abs(self.published)

    def ours(self) -> str:
        """The package's number with one digit more than was printed; none after the point where tens were rounded."""
        decimals = len(self.printed.partition(".")[2])
        return f"{self.computed():.{decimals + 1 if self.last_place <= 1 else 0}f}"


@dataclass(frozen=True, slots=True)
class Table:
    """What the rows of one table share."""

    group: str
    source: str
    mark: str
    unit: str

    def row(
        self,
        what: str,
        printed: str,
        computed: Callable[[], float],
        *,
        places: float = 0.5,
        remark: str = "",
        last_place: float | None = None,
        unit: str | None = None,
        mark: str | None = None,
    ) -> Row:
        """One row. `places` is the tolerance in units of the last place printed; more than a half needs a remark.

        Raises:
            ValueError: if it has none.
        """
        last = 10.0 ** -len(printed.partition(".")[2]) if last_place is None else last_place
        if places > 0.5 and not remark:
            raise ValueError(f"{self.group}, {what}: a wide tolerance needs a remark")
        return Row(
            group=self.group,
            what=what,
            published=float(printed),
            unit=self.unit if unit is None else unit,
            tolerance=places * last,
            source=self.source,
            mark=mark or self.mark,
            computed=computed,
            remark=remark,
            printed=printed,
            last_place=last,
        )
