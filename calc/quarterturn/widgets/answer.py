"""What a widget is, and what an answer is made of. An answer is data; `render` makes HTML of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from quarterturn.figures.svg import Picture
from quarterturn.record.entries import Entry, Problem

VERSION = 1
"""Of the names of widgets, fields and values. It changes when one of them changes its meaning or goes."""


class State(StrEnum):
    """What kind of answer this is."""

    EXAMPLE = "example"
    """A worked example: a reading that the verdict needs has not been entered."""
    GO = "go"
    """There is a window and the bolts stand inside it, under the assumptions that are named."""
    ASK = "ask"
    """A coach, a technician or the maker first."""
    STOP = "stop"
    """Do not go on."""
    OPEN = "open"
    """Not finished: nothing speaks against going on so far, and not everything has been answered."""
    EXPLAIN = "explain"
    """Something is shown with the reader's own numbers; no verdict on a bow."""
    NO_WINDOW = "no_window"
    """Margin and uncertainty leave nothing to use."""


class Status(StrEnum):
    """Where a value comes from."""

    COMPUTED = "computed"
    ENTERED = "entered"
    ASSUMED = "assumed"
    EXAMPLE = "example"
    MAKER = "from the maker"


@dataclass(frozen=True, slots=True)
class Value:
    """A named value.

    Attributes:
        name: public.
        label: a few words.
        value: in its unit; None where the value is words.
        unit: name of the unit, "" for words.
        text: as it is shown, with its unit's symbol.
        uncertainty: standard uncertainty u in the same unit; None where none is worked out.
        status: where it comes from.
        note: a short sentence, or "".
    """

    name: str
    label: str
    value: float | None
    unit: str
    text: str
    status: Status = Status.COMPUTED
    uncertainty: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class ValueList:
    """A group of named values."""

    name: str
    title: str
    values: tuple[Value, ...]
    side: str = ""
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table: the first column heads its rows; `numeric` tells which columns are numbers."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider under a picture that turns it: a field of the form, where it stands, and that in words."""

    field: str
    label: str
    low: float
    high: float
    step: float
    now: float
    words: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture in its place, with the sliders that turn it.

    Attributes:
        small: whether it is the small form of a picture, for a narrow strip.
    """

    picture: Picture
    caption: str = ""
    side: str = ""
    hands: tuple[Slider, ...] = ()
    small: bool = False


@dataclass(frozen=True, slots=True)
class Steps:
    """Things to do, in order; `how` is where it is told how some of them are done."""

    name: str
    title: str
    steps: tuple[str, ...]
    intro: str = ""
    folded: bool = False
    how: tuple[Stage, ...] = ()


@dataclass(frozen=True, slots=True)
class Points:
    """Sentences that stand side by side: what was found, what an answer means, cautions."""

    name: str
    title: str
    points: tuple[str, ...]
    kind: str = "note"
    """"note", "caution" or "stop"."""
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a way through the pages.

    Attributes:
        text: what is done there.
        page: the page's name, "" for the first page.
        anchor: a place on it, or "".
        mark: "done", "next", "open", "stop" or "read".
        note: how far it has come, a short sentence.
    """

    text: str
    page: str
    anchor: str
    mark: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """Stages in order, each a link."""

    name: str
    title: str
    stages: tuple[Stage, ...]


Entries = tuple[tuple[str, Entry | None], ...]
"""Entries that the page is to make, by field; None empties one."""


@dataclass(frozen=True, slots=True)
class Offer:
    """Entries that the reader can have made with one press: a button, and what it does in a sentence.

    Attributes:
        then: the block at which the reader goes on where the press takes the button away; "" for its own heading.
    """

    name: str
    title: str
    text: str
    label: str
    entries: Entries
    then: str = ""


@dataclass(frozen=True, slots=True)
class OfferRow:
    """Several offers abreast: their buttons, under one title; each does what its own text says."""

    name: str
    title: str
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One sentence: what an entry just made means, or a bolt in a few words.

    Attributes:
        mark: "plain", "go", "ask" or "stop".
    """

    name: str
    text: str
    mark: str = "plain"


@dataclass(frozen=True, slots=True)
class PartVerdict:
    """A verdict on a part of the bow: one bolt.

    Attributes:
        part: whose verdict it is, in words.
    """

    name: str
    part: str
    state: State
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Missing:
    """A reading that is still to be taken: its words, and the page and the field where it is entered."""

    text: str
    page: str
    field: str


@dataclass(frozen=True, slots=True)
class TallyPart:
    """How much of one part has been read: so many of so many, and what is missing."""

    name: str
    title: str
    done: int
    wanted: int
    missing: tuple[Missing, ...] = ()


@dataclass(frozen=True, slots=True)
class Tally:
    """How far the readings have come, part by part."""

    name: str
    title: str
    parts: tuple[TallyPart, ...]


Block = ValueList | Table | Drawing | Steps | Points | Way | Offer | OfferRow | Line | PartVerdict | Tally


class DeferredBlock:
    """A block that takes time, or none: it is made when the whole answer is asked for, and once.

    Attributes:
        name: of its place on a page; the same whether there is such a block or not.
        warns: whether it is a warning, which belongs right under the verdict.
    """

    __slots__ = ("_made", "_make", "name", "warns")

    def __init__(self, name: str, make: Callable[[], Block | None], *, warns: bool = False) -> None:
        self.name = name
        self.warns = warns
        self._make = make
        self._made: tuple[Block, ...] | None = None

    @property
    def made(self) -> tuple[Block, ...]:
        """The block, made now if it has not been; nothing where there is none."""
        if self._made is None:
            block = self._make()
            self._made = () if block is None else (block,)
        return self._made


def name_of(part: Block | DeferredBlock) -> str:
    """The name of a part of an answer; of a drawing, its picture's."""
    return part.picture.name if isinstance(part, Drawing) else part.name


class Zone(StrEnum):
    """Where on a page a part of an answer belongs, unless the page places it."""

    TOP = "top"
    """Right under the verdict: what is known against the bow, the way back, warnings."""
    REST = "rest"
    """With all numbers and tables."""
    NEXT = "next"
    """At the foot: the page that comes next."""
    END = "end"
    """The cautions, once on a page."""
    ASIDE = "aside"
    """Only where a page places it."""


def zone_of(part: Block | DeferredBlock) -> Zone:
    """Where a part belongs by itself; what leads an answer is told by the answer."""
    if isinstance(part, Line | PartVerdict | Tally) or (isinstance(part, Drawing) and part.small):
        return Zone.ASIDE
    name = name_of(part)
    if name in ("next", "cautions"):
        return Zone.NEXT if name == "next" else Zone.END
    warns = part.kind in ("stop", "caution") if isinstance(part, Points) else getattr(part, "warns", False)
    return Zone.TOP if warns else Zone.REST


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer.

    Attributes:
        widget: its widget's name.
        state: what kind of answer it is.
        title: names the kind of answer in words.
        verdict: one or two sentences.
        speak: one short line for those who hear the page.
        parts: everything else, in reading order; what takes time may come later.
        badge: a word or two over the title, where those of its state do not fit.
        next: the pages that come next, where they are others than its widget's.
        notes: what else stands at its end, beside its widget's.
        keeps: entries that the page keeps from now on.
        headline: the one sentence that a page about the reader's own bow begins with; "" while nothing is their own,
            and where the verdict itself has to be read first.
        line: the same in a few words (48 characters), for a narrow strip.
        leading: so many of its parts, from the first, belong right under the verdict.
    """

    widget: str
    state: State
    title: str
    verdict: str
    speak: str
    parts: tuple[Block | DeferredBlock, ...] = ()
    badge: str = ""
    next: tuple[Stage, ...] = ()
    notes: tuple[Points, ...] = ()
    keeps: Entries = ()
    headline: str = ""
    line: str = ""
    leading: int = 0

    @property
    def blocks(self) -> tuple[Block, ...]:
        """All parts, made."""
        made = (part.made if isinstance(part, DeferredBlock) else (part,) for part in self.parts)
        return tuple(block for blocks in made for block in blocks)

    @property
    def zones(self) -> tuple[Zone, ...]:
        """Where each of its parts belongs."""
        return tuple(Zone.TOP if place < self.leading else zone_of(part) for place, part in enumerate(self.parts))

    @property
    def offers(self) -> tuple[Offer, ...]:
        """What it offers to enter; of what is made later, none."""
        rows = tuple(offer for part in self.parts if isinstance(part, OfferRow) for offer in part.offers)
        return (*(part for part in self.parts if isinstance(part, Offer)), *rows)

    def all_values(self) -> tuple[Value, ...]:
        """Every named value of the answer, in order."""
        return tuple(value for block in self.blocks if isinstance(block, ValueList) for value in block.values)

    def as_data(self) -> dict[str, object]:
        """The answer as JSON data: what `python -m quarterturn answer` prints."""
        from quarterturn.widgets.answer_data import answer_data

        return answer_data(self)


class Refusal(ValueError):  # noqa: N818 - it reads as what it says
    """No answer can be given to this record; `problems` says why, field by field."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(" ".join(problem.sentence for problem in problems))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Group:
    """A part of a widget's form; folded away at first where no verdict waits for its fields."""

    name: str
    title: str
    intro: str
    fields: tuple[str, ...]
    folded: bool = False
