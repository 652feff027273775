"""Answers that need no reading: a stop, a doubt, a bolt that is not adjusted."""

from __future__ import annotations

from quarterturn.bench.family import Family, Method
from quarterturn.bench.inspection import Inspection, Outcome
from quarterturn.record.fields import BY_NAME
from quarterturn.record.reading import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, Points, State
from quarterturn.widgets.safe_range.form import NAME


def without_readings(values: Values, family: Family, gate: Inspection) -> Answer | None:
    """Answer where the inspection, or the kind of bolt, already decides; None where readings are wanted."""
    if gate.outcome is Outcome.STOP:
        return _stopped(
            State.STOP,
            "Stop: the inspection says no",
            f"{gate.findings[0].sentence} Nothing below this line is worked out while that stands.",
            gate,
        )
    chosen = values.entered("bolt_family")
    if chosen and family.method is Method.FASTEN:
        return _stopped(
            State.STOP,
            "Stop: this bolt is not for adjusting",
            f"{family.reason} If it is loose, or has been backed out, ask a bow technician before stringing.",
            gate,
        )
    if chosen and family.method is Method.FIND_OUT:
        return _stopped(
            State.ASK,
            "Find out first which bolt this is",
            f"{family.reason} Ask the maker, a qualified coach or a bow technician, and turn nothing until then.",
            gate,
        )
    if gate.outcome is Outcome.ASK:
        return _stopped(
            State.ASK,
            "Ask a technician first",
            f"{gate.findings[0].sentence} No window is worked out before that is settled.",
            gate,
        )
    return None


def _stopped(state: State, title: str, verdict: str, gate: Inspection) -> Answer:
    found = tuple(f"{BY_NAME[finding.field].label}: {finding.sentence}" for finding in gate.findings)
    blocks: tuple[Block, ...] = (
        *((Points("findings", "What the inspection found", found, "stop"),) if found else ()),
        Points("cautions", "Cautions", words.CAUTIONS, "caution"),
    )
    return Answer(NAME, state, title, verdict, f"{title}.", blocks)
