"""What the page on loads warns of: too little cover, a string that does not fit, a tried turn that is not used."""

from __future__ import annotations

from quarterturn.widgets.bow_warnings import STRING_OFF, tried_turn_unused
from quarterturn.widgets.bow_wording import length
from quarterturn.widgets.loads.inputs import LoadInputs

COVER = (
    "By these entries the butt covers no more than half of the bolt. It must cover more (common practice), however "
    "little the bolt is bent: a butt that slips off the head lets go of the limb. Measure again. If it is so, do not "
    "draw the bow, and ask a bow technician."
)


def string_off(inputs: LoadInputs) -> str:
    """That the bow wants another string than the reader's, and what that says; "" where it does not."""
    bow, values = inputs.pull.bow, inputs.values
    off = bow.fitted.string - values.number("string_length")
    if not values.entered("string_length") or abs(off) <= STRING_OFF:
        return ""
    return (
        f"To have this brace height, the bow that is computed needs a string {length(abs(off), inputs.unit)} "
        f"{'longer' if off > 0 else 'shorter'} than yours. The lengths of riser and limbs, or the limbs' shape, are "
        "not quite yours: measure them again, and take the moment as rougher than it is said to be."
    )


def not_used(inputs: LoadInputs) -> list[str]:
    """The turn that was tried, where no bow explains it: the moment is computed without it."""
    return tried_turn_unused(inputs.pull.bow)
