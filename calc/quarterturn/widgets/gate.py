"""What comes before every answer: a stop or a doubt of the inspection, or a bolt that is not to be adjusted."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.family import FAMILIES, Method
from quarterturn.bench.inspection import Inspection, Outcome, inspect
from quarterturn.record.fields import BY_NAME
from quarterturn.record.reading import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Points, Refusal, State


@dataclass(frozen=True, slots=True)
class Closed:
    """The gate is closed: the state and the words that stand above whatever else a page says."""

    state: State
    title: str
    sentence: str
    gate: Inspection

    def findings(self) -> tuple[Points, ...]:
        """What the inspection found, sentence by sentence; nothing where it found nothing."""
        found = tuple(f"{BY_NAME[each.field].label}: {each.sentence}" for each in self.gate.findings)
        return (Points("findings", "What the inspection found", found, "stop"),) if found else ()


def closed(values: Values) -> Closed | None:
    """Say whether the inspection or the family of bolt closes the gate; None where it is open."""
    family, gate = FAMILIES[values.choice("bolt_family")], inspect(values)
    if gate.outcome is Outcome.STOP:
        return Closed(State.STOP, "Stop: the inspection says no", gate.findings[0].sentence, gate)
    chosen = values.entered("bolt_family")
    if chosen and family.method is Method.FASTEN:
        return Closed(
            State.STOP,
            "Stop: this bolt is not for adjusting",
            f"{family.reason} If it is loose, or has been backed out, ask a bow technician before stringing.",
            gate,
        )
    if chosen and family.method is Method.FIND_OUT:
        return Closed(
            State.ASK,
            "Find out first which bolt this is",
            f"{family.reason} Ask the maker, a qualified coach or a bow technician, and turn nothing until then.",
            gate,
        )
    if gate.outcome is Outcome.ASK:
        return Closed(State.ASK, "Ask a technician first", gate.findings[0].sentence, gate)
    return None


def instead(widget: str, gate: Closed, refusal: Refusal) -> Answer:
    """Answer where the gate is closed and an entry cannot be used: what was found stands, and nothing is drawn."""
    verdict = f"{gate.sentence} Nothing is shown below, because an entry cannot be used. {refusal.problems[0].sentence}"
    cautions = Points("cautions", "Cautions", words.CAUTIONS, "caution")
    return Answer(widget, gate.state, gate.title, verdict, f"{gate.title}.", (*gate.findings(), cautions))
