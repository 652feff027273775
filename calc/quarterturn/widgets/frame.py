"""The frame of every calculator: it judges the bow once, and no answer leaves it without that judgement.

A widget answers by itself; the frame sets what is known of the bow above that. Where the bow must not be strung, or
something has to be settled first, it gives the state, the words and the way back, and lets through only what the widget
declares as facts: what was entered or measured, and what only explains. It ends every answer with what the widget notes
(assumptions, sources), the next page and the cautions.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from quarterturn.bench.judgement import Judgement, Kind, Level, judge
from quarterturn.record.values import Values
from quarterturn.widgets import judgement_wording, words
from quarterturn.widgets.answer import (
    Answer,
    Block,
    DeferredBlock,
    Group,
    Points,
    Refusal,
    Stage,
    State,
    Way,
    name_of,
)
from quarterturn.widgets.render import STRENGTH

GRAVE = (State.STOP, State.NO_WINDOW, State.ASK)
"""States in which the verdict itself is read first."""
EXAMPLE = "Example: "
LONGEST_LINE = 48
"""Characters of a line in a narrow strip."""
GRAVITY = (State.STOP, State.NO_WINDOW, State.ASK, State.OPEN, State.EXAMPLE, State.EXPLAIN, State.GO)
"""States, the gravest first."""


@dataclass(frozen=True, slots=True)
class Widget:
    """A calculator: the fields it shows, and the pure function from checked values to an answer.

    Attributes:
        work: from values and the judgement of the bow to the widget's own answer, without notes, next page and
            cautions. It raises Refusal where the record cannot be answered.
        facts: the names of the blocks that may be shown whatever is known of the bow: what was entered or measured,
            and what only explains.
        steps: the names of the blocks that lead to turning a bolt or stringing the bow.
        blocks: the names of other blocks that it may give, and does not give for an empty record.
        explains: whether it only explains and gives no verdict on a bow.
        of_any_bolt: whether its verdict is of bolts too that are not for turning.
        of_no_bow: whether nothing on its page is of the reader's bow, so that no link and no clearing is offered there.
        about: of what is open, what this page is about; the rest is said beside its own, where that is open too.
        notes: what stands at the end of every answer that has parts: under which assumptions, from which sources.
        next: the pages that come next, where the answer names no others.
        cautions: in place of those of all pages, where it has more.
        sheet: what is printed, in words.
        buttons: the page's own: what the browser's modules know each by, and its words.
    """

    name: str
    title: str
    groups: tuple[Group, ...]
    work: Callable[[Values, Judgement], Answer]
    facts: frozenset[str] = frozenset()
    steps: frozenset[str] = frozenset()
    blocks: frozenset[str] = frozenset()
    explains: bool = False
    of_any_bolt: bool = False
    of_no_bow: bool = False
    about: frozenset[Kind] = frozenset(Kind)
    notes: tuple[Points, ...] = ()
    next: tuple[Stage, ...] = ()
    cautions: tuple[str, ...] = words.CAUTIONS
    sheet: str = "the sheet"
    buttons: tuple[tuple[str, str], ...] = field(default=())

    def fields(self) -> tuple[str, ...]:
        """The names of all its fields, in the order of the form."""
        return tuple(name for group in self.groups for name in group.fields)

    def answer(self, values: Values) -> Answer:
        """Answer a record, under the judgement of its bow.

        Raises:
            Refusal: where an entry of this form cannot be used, or entries contradict one another, and nothing that is
                known of the bow comes before that.
        """
        judgement = judge(values)
        try:
            own: Answer | Refusal = self.work(values, judgement)
        except Refusal as refusal:
            if (judgement.level is None or judgement.level is Level.OPEN) and not _needs_nothing(judgement, refusal):
                raise
            own = refusal
        notes = (*self.notes, *own.notes) if isinstance(own, Answer) and own.parts else ()
        return _ended(self, _judged(self, judgement, own), notes, judgement)


# Under the judgement


def _judged(widget: Widget, judgement: Judgement, own: Answer | Refusal) -> Answer:
    """The widget's answer with what is known of the bow above it."""
    level = judgement.level
    if level is not None and level > Level.OPEN:
        return _halted(widget, judgement, own)
    if isinstance(own, Refusal):
        own = Answer(widget.name, State.EXPLAIN, "", "", "", ())
    if not (judgement.is_turned or widget.of_any_bolt):
        return _left_alone(widget, judgement, own)
    if level is None or widget.explains:
        return _beside(own, judgement)
    own = replace(own, parts=tuple(_let_through(widget, judgement, own)))
    if own.state is State.EXAMPLE:
        return _beside(_open_first(own, judgement), judgement)
    if own.state is State.OPEN and not any(cause.kind in widget.about for cause in judgement.causes):
        return _beside(own, judgement)
    return _waiting(judgement, own)


def _halted(widget: Widget, judgement: Judgement, own: Answer | Refusal) -> Answer:
    """The bow must not be strung, or something is settled first: only facts are shown below."""
    told = judgement_wording.verdict_text(judgement)
    parts: list[Block | DeferredBlock] = [*told.blocks]
    verdict = told.verdict
    if isinstance(own, Refusal):
        verdict += f" An entry of this page cannot be used: {own.problems[0].sentence}"
    else:
        if widget.explains:
            parts.append(Points("shown", own.title, (own.verdict,)))
        parts += _only(own.parts, widget.facts)
    return Answer(widget.name, _state(widget, judgement, told.state), told.title, verdict, told.speak, tuple(parts))


def _state(widget: Widget, judgement: Judgement, state: State) -> State:
    """The worksheet says of a window that is none that there is none; everywhere else that is a stop."""
    worst = judgement.worst
    if widget.name == "safe-range" and worst is not None and worst.kind is Kind.NO_WINDOW:
        return State.NO_WINDOW
    return state


def _needs_nothing(judgement: Judgement, refusal: Refusal) -> bool:
    """Whether a page has no answer for the reason alone that the bow's bolts are not for turning."""
    return not judgement.is_turned and not refusal.problems


def _left_alone(widget: Widget, judgement: Judgement, own: Answer) -> Answer:
    """The bow's bolts are not for turning: that is said, and below it what only explains, or was measured."""
    title, verdict = judgement_wording.left_alone(judgement)
    if widget.explains:
        also = Points("also", title, (verdict, "What is shown here is a plain flat head."), "caution")
        shown = replace(own, parts=tuple(_without(list(own.parts), widget.steps | {"other-bolt"})))
        return replace(_beside(shown, judgement), parts=(also, *_beside(shown, judgement).parts))
    facts = _without(_only(own.parts, widget.facts), frozenset(("other-bolt",)))
    told = Answer(
        *(widget.name, State.EXPLAIN, title, verdict, f"{title}.", tuple(facts), "Not for your bolt"),
        next=judgement_wording.what_is_left(judgement),
        headline=f"{title}. {verdict}",
        line=title,
    )
    return _beside(told, judgement)


def _let_through(widget: Widget, judgement: Judgement, own: Answer) -> list[Block | DeferredBlock]:
    """What of a widget's parts is shown while something is open: no step, and no prediction where none can be made."""
    parts = list(own.parts) if judgement.predicts else _only(own.parts, widget.facts)
    return _without(parts, widget.steps)


def _waiting(judgement: Judgement, own: Answer) -> Answer:
    """Something is not finished or not known: that is said first."""
    told = judgement_wording.verdict_text(judgement)
    if GRAVITY.index(own.state) < GRAVITY.index(told.state):
        also = Points("also", told.title, (told.verdict,), "caution")
        return replace(own, parts=(also, *told.blocks, *own.parts), headline="")
    # What speaks for going on is not said where something speaks against it.
    more = f" {own.verdict}" if judgement.predicts and own.state is not State.GO else ""
    parts = (*told.blocks, *own.parts)
    return replace(
        own,
        state=told.state,
        title=told.title,
        verdict=told.verdict + more,
        speak=told.speak,
        parts=parts,
        badge="",
        headline="",
        line=told.title,
    )


def _open_first(own: Answer, judgement: Judgement) -> Answer:
    """An example in which something is the reader's own: what is open comes before what speaks for going on."""
    if not own.headline:
        return own
    title = judgement_wording.verdict_text(judgement).title
    return replace(own, headline=f"{title}.", line=title)


def _beside(own: Answer, judgement: Judgement) -> Answer:
    """An example, or a page that only explains: what is open of the reader's bow is said beside it."""
    if judgement.level is None:
        return own
    told = judgement_wording.verdict_text(judgement)
    return replace(own, parts=(Points("also", told.title, (told.verdict,), "caution"), *own.parts))


def _only(parts: tuple[Block | DeferredBlock, ...], names: frozenset[str]) -> list[Block | DeferredBlock]:
    return _chosen(parts, lambda name: name in names)


def _without(parts: list[Block | DeferredBlock], names: frozenset[str]) -> list[Block | DeferredBlock]:
    return _chosen(parts, lambda name: name not in names)


def _chosen(
    parts: tuple[Block | DeferredBlock, ...] | list[Block | DeferredBlock], wanted: Callable[[str], bool]
) -> list[Block | DeferredBlock]:
    """Those of these names."""
    return [part for part in parts if wanted(name_of(part))]


# The end of every answer


def _ended(widget: Widget, answer: Answer, notes: tuple[Points, ...], judgement: Judgement) -> Answer:
    ways_out = judgement_wording.ways_out(judgement)
    stages = ways_out or answer.next or widget.next
    if answer.state is State.GO and STRENGTH not in answer.verdict:
        answer = replace(answer, verdict=f"{answer.verdict} {STRENGTH}")
    answer = replace(answer, headline=_headline(answer), line=_line(answer))
    following = (Way("next", "Next", stages),) if stages else ()
    cautions = Points("cautions", "Cautions", widget.cautions, "caution")
    parts = (*answer.parts, *notes)
    # What settles a matter stands right under it, not below what else there is to read.
    first = _leading(parts) if ways_out else len(parts)
    leading = first + len(following) if ways_out else _leading(parts)
    return replace(answer, parts=(*parts[:first], *following, *parts[first:], cautions), leading=leading)


def _headline(answer: Answer) -> str:
    """The widget's own; none where the verdict itself is to be read first."""
    return "" if answer.state in GRAVE else answer.headline


def _line(answer: Answer) -> str:
    """The widget's own, marked where it is an example's; where the verdict is grave, that. Cut where it is too long."""
    line = answer.title if answer.state in GRAVE or not answer.line else answer.line
    of_example = answer.state is State.EXAMPLE and not answer.headline and not line.startswith(EXAMPLE)
    line = f"{EXAMPLE}{line}" if of_example else line
    if len(line) <= LONGEST_LINE:
        return line
    # Too long for the strip: a whole part less rather than half a word.
    parts = re.split(r"( · |: )", line)
    starts = ["".join(parts[:at]) for at in range(len(parts) - 2, 1, -2)]
    fits = [start for start in starts if len(start) <= LONGEST_LINE and start != EXAMPLE.rstrip(": ")]
    return fits[0] if fits else f"{line[: LONGEST_LINE - 1].rstrip()}…"


def _leading(parts: tuple[Block | DeferredBlock, ...]) -> int:
    """How many blocks at the beginning say what is known of the bow, and the way back."""
    for place, part in enumerate(parts):
        if name_of(part) not in ("findings", "also", "way-back"):
            return place
    return len(parts)
