"""Answers that need no reading: a stop, a doubt, a bolt that is not adjusted."""

from __future__ import annotations

from quarterturn.record.reading import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Points, State
from quarterturn.widgets.gate import closed
from quarterturn.widgets.safe_range.form import NAME


def without_readings(values: Values) -> Answer | None:
    """Answer where the inspection, or the kind of bolt, already decides; None where readings are wanted."""
    gate = closed(values)
    if gate is None:
        return None
    verdict = gate.sentence
    if gate.gate.findings and gate.sentence == gate.gate.findings[0].sentence:
        verdict += (
            " Nothing below this line is worked out while that stands."
            if gate.state is State.STOP
            else " No window is worked out before that is settled."
        )
    cautions = Points("cautions", "Cautions", words.CAUTIONS, "caution")
    return Answer(NAME, gate.state, gate.title, verdict, f"{gate.title}.", (*gate.findings(), cautions))
