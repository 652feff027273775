"""What the page on loads warns of: too little cover, a string that does not fit, a tried turn that is not used."""

from __future__ import annotations

from quarterturn.widgets import judgement_wording
from quarterturn.widgets.answer import Points
from quarterturn.widgets.bow_warnings import string_off, tried_turn_unused
from quarterturn.widgets.loads.inputs import LoadInputs

COVER = (
    "By these entries the butt covers no more than half of the bolt. More than half must be covered "
    "(common practice, no source), however little the bolt is bent. A butt that slips off the head frees the limb. "
    "Measure again. If it is so, do not draw the bow, and ask a bow technician."
)


def warnings(inputs: LoadInputs) -> list[Points]:
    """What must be known before a number is read: another bolt or bow than this one, too little cover."""
    found = judgement_wording.other_bolt(inputs.values, "What is shown here")
    told = [problem.sentence for problem in inputs.values.unfinished("scale_readings")]
    told += string_off(inputs.pull.bow, "the moment is rougher than its ± shows")
    told += tried_turn_unused(inputs.pull.bow)
    if told:
        found.append(Points("told", "Look at these again", tuple(told), "caution"))
    if not inputs.covered:
        found.append(Points("cover", "Too little under the head", (COVER,), "caution"))
    return found
