"""An answer that explains and gives no verdict: of a made-up bow, or with the reader's numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from quarterturn.sources import SOURCES
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Points, State, ValueList

UNCERTAINTY_DIGITS = 4
"""Significant digits of the uncertainty of what a search gives, which is a difference of two searches."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """What is shown.

    Attributes:
        title, sentence: what there is to see, with its numbers.
        parts: everything else.
        example: whether what matters most is still the example's.
        badge: a word or two over the title where it is the reader's own.
        made_up: what is still the example's, a sentence.
        state: a verdict that holds all the same, whatever is still the example's; None where there is none.
        searched: where numbers come from a search, to so many digits they are told: the same on every machine.
        spoken: one short line for those who hear the page, where that is not the title.
    """

    title: str
    sentence: str
    parts: tuple[Block | DeferredBlock, ...]
    example: bool
    badge: str
    made_up: str = "This is an example until you measure your own pocket."
    state: State | None = None
    searched: int = 0
    spoken: str = ""
    headline: str = ""
    line: str = ""


def explain(name: str, shown: Explanation) -> Answer:
    """The widget's own answer; what is known of the bow comes above it in the frame."""
    parts = shown.parts
    if shown.searched:
        parts = tuple(_with_rounded_values(part, shown.searched) for part in parts)
    spoken = shown.spoken or f"{shown.title}."
    made = Answer(
        *(name, State.EXPLAIN, shown.title, shown.sentence, spoken, parts, shown.badge),
        headline="" if shown.example else shown.headline or f"{shown.title}.",
        line=shown.line,
    )
    if shown.state is not None:
        return replace(made, state=shown.state, badge="")
    if shown.example:
        verdict = f"{shown.sentence} {shown.made_up}"
        return replace(made, state=State.EXAMPLE, verdict=verdict, badge="Example")
    return made


def _with_rounded_values(part: Block | DeferredBlock, digits: int) -> Block | DeferredBlock:
    """Values to as many digits as every machine's sines give alike: those of differences have the fewest."""
    if isinstance(part, DeferredBlock):
        return DeferredBlock(part.name, partial(_rounded_later, part, digits), warns=part.warns)
    if not isinstance(part, ValueList):
        return part
    values = tuple(
        replace(
            one,
            value=None if one.value is None else to_digits(one.value, digits),
            uncertainty=None if one.uncertainty is None else to_digits(one.uncertainty, UNCERTAINTY_DIGITS),
        )
        for one in part.values
    )
    return replace(part, values=values)


def _rounded_later(part: DeferredBlock, digits: int) -> Block | None:
    for block in part.made:
        block_rounded = _with_rounded_values(block, digits)
        return None if isinstance(block_rounded, DeferredBlock) else block_rounded
    return None


def to_digits(value: float, digits: int) -> float:
    """To so many significant digits; next to nothing is nothing, as it is of the size of the last digits."""
    return float(f"{value:.{digits - 1}e}") if abs(value) > 1e-9 else 0.0


def assumptions(*sentences: str, folded: bool = False) -> Points:
    """Under which assumptions an answer holds: a note at its end."""
    return Points("assumed", "What this assumes", sentences, folded=folded)


def sources(*keys: str, also: tuple[str, ...] = (), title: str = "Sources", gives: str = "It gives") -> Points:
    """Where an answer comes from, a source a sentence with what it gives here: a note at its end."""
    cited = (f"{SOURCES[key].citation} {gives}: {SOURCES[key].gives}." for key in keys)
    return Points("sources", title, (*cited, *also), folded=True)
