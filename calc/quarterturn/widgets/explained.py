"""An answer that explains and gives no verdict: under a closed gate, of a made-up bow, or with the reader's numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from quarterturn.record.reading import Values
from quarterturn.sources import SOURCES
from quarterturn.widgets.answer import Answer, Block, Later, Refusal, State, ValueList
from quarterturn.widgets.gate import closed, instead

DOUBT_DIGITS = 4
"""Significant digits of the doubt of what a search gives, which is a difference of two searches."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """What is shown.

    Attributes:
        title, sentence: what there is to see, with its numbers.
        spoken: one short line for those who hear the page.
        parts: everything else.
        example: whether what matters most is still the example's.
        badge: a word or two over the title where it is the reader's own.
        reading_on: what a reader may still do under a closed gate; the rest of a sentence after "You may".
        made_up: what is still the example's, a sentence.
        state: a verdict that holds all the same, whatever is still the example's; None where there is none.
        searched: where numbers come from a search, to so many digits they are told: the same on every machine.
    """

    title: str
    sentence: str
    spoken: str
    parts: tuple[Block | Later, ...]
    example: bool
    badge: str
    reading_on: str
    made_up: str = "The pocket is a made-up bow's, until you enter your own."
    state: State | None = None
    searched: int = 0


def explained(name: str, values: Values, explain: Callable[[Values], Explanation]) -> Answer:
    """Answer for a page that explains; a closed gate stands above it, and holds where nothing can be shown.

    Raises:
        Refusal: as `explain`, where the gate is open.
    """
    gate = closed(values)
    try:
        shown = explain(values)
    except Refusal as refusal:
        if gate is None:
            raise
        return instead(name, gate, refusal)
    if shown.searched:
        shown = replace(shown, parts=tuple(_steady(part, shown.searched) for part in shown.parts))
    if gate is not None:
        verdict = f"{gate.sentence} You may {shown.reading_on}; on the bow nothing is turned. {shown.sentence}"
        return Answer(name, gate.state, gate.title, verdict, f"{gate.title}.", (*gate.findings(), *shown.parts))
    if shown.state is not None:
        return Answer(name, shown.state, shown.title, shown.sentence, shown.spoken, shown.parts)
    if shown.example:
        verdict = f"{shown.sentence} {shown.made_up}"
        return Answer(name, State.EXAMPLE, shown.title, verdict, shown.spoken, shown.parts, "A made-up bow")
    return Answer(name, State.EXPLAIN, shown.title, shown.sentence, shown.spoken, shown.parts, shown.badge)


def _steady(part: Block | Later, digits: int) -> Block | Later:
    """Values to as many digits as every machine's sines give alike: those of differences have the fewest."""
    if isinstance(part, Later):
        return Later(partial(_steadily, part, digits))
    if not isinstance(part, ValueList):
        return part
    values = tuple(
        replace(
            one,
            value=None if one.value is None else rounded(one.value, digits),
            uncertainty=None if one.uncertainty is None else rounded(one.uncertainty, DOUBT_DIGITS),
        )
        for one in part.values
    )
    return replace(part, values=values)


def _steadily(part: Later, digits: int) -> Block | None:
    for block in part.made:
        steady = _steady(block, digits)
        return None if isinstance(steady, Later) else steady
    return None


def rounded(value: float, digits: int) -> float:
    """To so many significant digits; next to nothing is nothing, as it is of the size of the last digits."""
    return float(f"{value:.{digits - 1}e}") if abs(value) > 1e-9 else 0.0


def source(key: str) -> str:
    """A source in one sentence, with what it gives here."""
    return f"{SOURCES[key].citation} It gives: {SOURCES[key].gives}."
