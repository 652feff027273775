"""Whether the bow stacks, in words."""

from __future__ import annotations

from quarterturn.widgets.draw_weight import wording
from quarterturn.widgets.draw_weight.inputs import Curves, ReadRise, Rise


def stacks(rise: Rise, read: ReadRise | None) -> str:
    """Say whether the bow stacks: "yes", "no", or that it cannot be told; the reader's readings come first."""
    if read is not None and abs(_gap(read)) > 2 * read.uncertainty:
        return "yes" if _gap(read) > 0 else "no"
    if rise.stack is None or abs(rise.stack.slope - rise.stack.even) <= 2 * rise.gap_uncertainty:
        return "cannot be told"
    return "yes" if rise.stack.stacks else "no"


def _gap(read: ReadRise) -> float:
    return read.measured.slope - read.even


def why_stacks(rise: Rise, read: ReadRise | None, found: Curves) -> str:
    """By what that was told."""
    if read is not None and abs(_gap(read)) > 2 * read.uncertainty:
        return (
            f"by your own readings: over the last {wording.draw_span(read.measured.span, found)} they rise by "
            f"{wording.bare(wording.slope(read.measured.slope, found))} ± "
            f"{wording.slope(2 * read.uncertainty, found)}, and an even share from the strung bow is "
            f"{wording.slope(read.even, found)}"
        )
    if rise.stack is None:
        return "the draw is too short for it"
    by = (
        f"by the computed curve: at your draw it rises by {wording.bare(wording.slope(rise.stack.slope, found))} ± "
        f"{wording.slope(2 * rise.uncertainty, found)}, and an even share from the strung bow is "
        f"{wording.slope(rise.stack.even, found)}"
    )
    if stacks(rise, None) == "cannot be told":
        return f"{by}; the limbs' shape decides it, and three readings in the last 3 in would tell more"
    return by
