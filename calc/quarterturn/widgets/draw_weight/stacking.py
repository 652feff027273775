"""Whether the bow stacks, in words."""

from __future__ import annotations

from quarterturn.bench.draw_curve import Rise
from quarterturn.bench.scale_readings import MeasuredRise
from quarterturn.widgets.draw_weight import wording
from quarterturn.widgets.draw_weight.inputs import Curves


def stacks(rise: Rise, read: MeasuredRise | None) -> str:
    """Say whether the bow stacks: "yes", "no", or that it is not clear; the reader's readings come first."""
    if read is not None and abs(read.gap) > 2 * read.uncertainty:
        return "yes" if read.gap > 0 else "no"
    if rise.stack is None or abs(rise.stack.slope - rise.stack.even) <= 2 * rise.gap_uncertainty:
        return "not clear"
    return "yes" if rise.stack.stacks else "no"


def why_stacks(rise: Rise, read: MeasuredRise | None, found: Curves) -> str:
    """What that is based on."""
    if read is not None and abs(read.gap) > 2 * read.uncertainty:
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
    if stacks(rise, None) == "not clear":
        return f"{by}. It depends on the limbs' shape: three readings in the last 3 in would show more"
    return by
