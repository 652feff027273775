"""The parts of calculators that stand anywhere in a page's words, and what holds them together as one page.

A page has one form, one record and one worker. Its Markdown places boxes (fields of the record) and blocks of answers;
this module knows which are placed, finds what is wrong with that, and makes what the frame itself puts on the page: the
lead with the main calculator's headline and verdict, all that is placed nowhere, the rules, buttons and news.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

from markupsafe import Markup

import forms
from club import current
from drawings import form_drawings
from drawings.doing import SUBJECTS as DOING
from drawings.doing import step_drawing
from drawings.inspection import SUBJECTS, subject_drawing
from moved_pages import MOVED
from quarterturn import widgets
from quarterturn.record.entries import Entry, Record
from quarterturn.record.field_types import AnyField, ChoiceField, ListField, NumberField, Role, Scope
from quarterturn.record.fields import BOLTS, BY_NAME, FIELDS, VERSION
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Zone
from quarterturn.widgets.render import BASE_MARK, Piece, pieces

if TYPE_CHECKING:
    from collections.abc import Iterable
    from xml.etree import ElementTree

    from quarterturn.widgets.frame import Widget

OF_THE_FRAME = ("headline", "line", "verdict", "findings", "also", "way-back", "shown", "next", "cautions")
"""Names of blocks that every calculator may have."""
TWINS = {
    "paper/matters": "pocket/matters",
    "paper/matters-table": "pocket/matters-table",
    "draw-weight/matters-table": "tiller/matters-table",
    "carry-out/pairs": "plan/pairs",
    "carry-out/foretold-by": "plan/foretold-by",
}
"""Blocks that are the same in two calculators: where both are on a page the first named is left out."""
HANDS = re.compile(r'data-(?:hand|drag-field)="(\w+)"')


class PartError(ValueError):
    """A page places what it cannot; the message names the page and the block, and says what would be right."""


@dataclass(slots=True)
class OpenStep:
    """A step whose inside is being read: its element, and the fields that were placed in it."""

    element: ElementTree.Element
    needs: list[str] = field(default_factory=list)
    boxes: list[str] = field(default_factory=list)


@dataclass(slots=True)
class PageParts:
    """What one page has placed so far.

    Attributes:
        page: its source, for sentences.
        main: the calculator whose headline, verdict and next page are the page's; "" where the page has none.
        blank_steps: whether its steps are printed with lines to write on.
        reading: whether its words are printed with their drawings.
        whole: calculators whose whole form and answer stand on the page.
        boxes, known: fields that stand there to be filled in, and as a line that opens.
        spots: blocks of answers, as "WIDGET/NAME".
        silent: fields of the view that only pictures and experiments set.
        steps: those that are open while their inside is read, the innermost last.
        step_count: how many steps there are.
    """

    page: str
    main: str = ""
    blank_steps: bool = False
    reading: bool = False
    whole: list[str] = field(default_factory=list)
    boxes: list[str] = field(default_factory=list)
    known: list[str] = field(default_factory=list)
    spots: list[str] = field(default_factory=list)
    silent: list[str] = field(default_factory=list)
    steps: list[OpenStep] = field(default_factory=list)
    step_count: int = 0

    def error(self, sentence: str) -> PartError:
        """An error of this page."""
        return PartError(f"{self.page}: {sentence}")

    # Fields

    def fields(self, words: str) -> list[AnyField]:
        """The fields of an argument: names, `*_name` for both bolts', `WIDGET/GROUP` for those of a group.

        Raises:
            PartError: if there is no such field or group.
        """
        found: list[AnyField] = []
        for word in _split(words):
            for name in self._names(word):
                if name not in BY_NAME:
                    raise self.error(f"boxes | {word}: no field is called {name}")
                found.append(BY_NAME[name])
        return found

    def _names(self, word: str) -> list[str]:
        if "/" not in word:
            return _starred(word)
        name, _, group = word.partition("/")
        groups = {each.name: each for each in self.widget(name).groups}
        if group not in groups:
            raise self.error(f"boxes | {word}: {name} has the groups {', '.join(groups)}")
        return list(groups[group].fields)

    def place_field(self, one: AnyField, *, known: bool, counts: bool) -> None:
        """Note that a field stands here; `counts` says that the step around it waits for it.

        Raises:
            PartError: if it stands on the page already.
        """
        if one.name in self.boxes or one.name in self.known:
            raise self.error(f"the field {one.name} stands on the page twice")
        (self.known if known else self.boxes).append(one.name)
        if self.steps:
            self.steps[-1].boxes.append(one.name)
            if counts and (one.role is Role.READING or one.dated_by):
                self.steps[-1].needs.append(one.name)

    # Blocks of answers

    def widget(self, name: str) -> Widget:
        """A calculator.

        Raises:
            PartError: if there is none of that name.
        """
        if name not in widgets.WIDGETS:
            raise self.error(f"{name} is no calculator; there are {', '.join(widgets.WIDGETS)}")
        return widgets.WIDGETS[name]

    def blocks(self, words: str) -> list[str]:
        """The blocks of an argument, "WIDGET/NAME" each; `WIDGET/*-name` is both bolts'.

        Raises:
            PartError: if a calculator gives no block of that name.
        """
        found = []
        for word in _split(words):
            name, _, block = word.partition("/")
            given = names_of(self.widget(name))
            for each in _starred(block):
                if each not in given:
                    raise self.error(f"{word}: {name} gives no {each}; it gives {', '.join(sorted(given))}")
                found.append(f"{name}/{each}")
        return found

    def spot(self, key: str) -> str:
        """The place of a block, with what it holds for an empty record.

        Raises:
            PartError: if it stands on the page already, or belongs under the verdict.
        """
        if key in self.spots:
            raise self.error(f"the block {key} stands on the page twice")
        name, _, block = key.partition("/")
        piece = built(name).get(block)
        if piece is not None and piece.zone in (Zone.TOP, Zone.NEXT, Zone.END):
            raise self.error(f"{key} is placed by the frame, not by a page")
        self.spots.append(key)
        html = "" if piece is None else piece.html or ""
        self._note_hands(html)
        hidden = "" if html else " hidden"
        return f'<div class="qt-spot" data-spot="{key}" data-state="{_state(name)}"{hidden}>{html}</div>'

    def _note_hands(self, html: str) -> None:
        self.silent = list(dict.fromkeys([*self.silent, *HANDS.findall(html)]))

    def note_try(self, settings: dict[str, str]) -> None:
        """An experiment sets these fields.

        Raises:
            PartError: if one of them is no field of the view.
        """
        for name in settings:
            if name not in BY_NAME or BY_NAME[name].scope.value != "view":
                raise self.error(f"try: {name} is no field of the view, and nothing else may be set so")
            if name not in self.silent:
                self.silent.append(name)

    # The whole page

    @property
    def calculators(self) -> list[str]:
        """All calculators of the page, the main one first."""
        named = [self.main, *self.whole, *(key.partition("/")[0] for key in self.spots)]
        return list(dict.fromkeys(name for name in named if name))

    def has_rest(self, name: str) -> bool:
        """Whether all that a calculator answers stands on the page, and not a line or a picture alone."""
        blocks = [key.partition("/")[2] for key in self.spots if key.startswith(f"{name}/")]
        kinds = [piece.zone for block in blocks if (piece := built(name).get(block)) is not None]
        return name == self.main or sum(zone not in (Zone.ASIDE, "verdict") for zone in kinds) > 1

    def declared(self) -> str:
        """The calculators for the page's script: "NAME" for all of an answer, "NAME:BLOCK,BLOCK" for these."""
        told = []
        for name in self.calculators:
            blocks = [key.partition("/")[2] for key in self.spots if key.startswith(f"{name}/")]
            told.append(name if name in self.whole or self.has_rest(name) else f"{name}:{','.join(blocks)}")
        return " ".join(told)

    def finished(self, html: str) -> str:
        """The page's words with all that the frame adds.

        Raises:
            PartError: if something of the page is left unread, or a rule of the frame is broken.
        """
        if not self.calculators:
            return html
        if self.main:
            self._check()
            html = _LINK_IN_A_SUMMARY.sub(r"\1\2", html)
            html = self._with_lead(html) + self._foot()
        return forms.rendered(
            "page.html.j2",
            content=Markup(html),
            calculators=self.declared(),
            main=self.main,
            runtime_mark=forms.RUNTIME_MARK,
            base_mark=BASE_MARK,
            record_version=VERSION,
            units=current().units,
            unlinked=UNLINKED,
            habits=HABITS,
            same_units=forms.same_units(),
            moved=" ".join(f"{name}/" for name in MOVED),
        )

    def _check(self) -> None:
        for name in self.calculators:
            if name != self.main and self.has_rest(name) and f"{name}/headline" not in self.spots:
                raise self.error(f"{name} has more than one block here, so {name}/headline must be placed")

    def _with_lead(self, html: str) -> str:
        heading = re.search(r"</h1>\s*(<p class=\"lead\">.*?</p>)", html, re.DOTALL)
        if heading is None:
            raise self.error("a page with a calculator begins with its heading and a lead")
        lead = forms.rendered(
            "lead.html.j2",
            lead=Markup(heading[1]),
            headline=Markup(self.spot(f"{self.main}/headline").replace('"qt-spot"', '"qt-spot qt-headline"', 1)),
            verdict=Markup(self._verdict()),
            main=self.main,
            state=_state(self.main),
            top=Markup("".join(piece.html or "" for piece in built(self.main).values() if piece.zone is Zone.TOP)),
        )
        return f"{html[: heading.start(1)]}{lead}{html[heading.end(1) :]}"

    def _verdict(self) -> str:
        return self.spot(f"{self.main}/verdict")

    def _foot(self) -> str:
        rests = [(name, Markup(self._rest(name))) for name in self.calculators if self.has_rest(name)]
        asked = [*self.boxes, *self.known]
        silent = [BY_NAME[name] for name in self.silent if name not in asked]
        main = self.widget(self.main)
        return forms.rendered(
            "foot.html.j2",
            rests=rests,
            silent=silent,
            widget=main,
            buttons=[pair for name in self.calculators for pair in self.widget(name).buttons],
            next=Markup(_zone(self.main, Zone.NEXT)),
            end=Markup(_zone(self.main, Zone.END)),
            drawings={},
            has_drawn_options=lambda _: False,
            base_mark=BASE_MARK,
            blank_steps=self.blank_steps,
            reading=self.reading,
        )

    def _rest(self, name: str) -> str:
        left_out = {
            *self.spots,
            *(twin for twin, other in TWINS.items() if other.partition("/")[0] in self.calculators),
        }
        given = built(name).items()
        return "".join(
            piece.html or ""
            for block, piece in given
            if piece.zone in (Zone.REST, "verdict") and f"{name}/{block}" not in left_out
        )


_LINK_IN_A_SUMMARY = re.compile(
    r'(<summary>\s*<h[23][^>]*>[^<]*)<a class="headerlink"[^>]*>[^<]*</a>(</h[23]>\s*</summary>)'
)
"""What opens a fold cannot hold a link as well."""
UNLINKED = " ".join(
    f"{field.name}:{field.max_rows}" for field in FIELDS if isinstance(field, ListField) and not field.linked
)
HABITS = " ".join(field.name for field in FIELDS if field.scope is Scope.READER)
"""What is of the reader and goes with no bow, whether or not a page asks for it."""


def _split(words: str) -> list[str]:
    return [word for word in re.split(r"[,\s]+", words) if word]


def _starred(word: str) -> list[str]:
    """Both bolts' names for `*…`, else the name itself."""
    return [word.replace("*", bolt, 1) for bolt in BOLTS] if word.startswith("*") else [word]


@cache
def built(name: str, record: tuple[tuple[str, str], ...] = ()) -> dict[str, Piece]:
    """The pieces of a calculator's answer to a record of these entries, by name."""
    entries = {field: Entry(typed, _unit(field)) for field, typed in record}
    return {piece.name: piece for piece in pieces(widgets.WIDGETS[name].answer(_values(entries)))}


def _values(entries: dict[str, Entry]) -> Values:
    """The values of these entries, in the units that the site begins with."""
    return Values(Record(entries), system=current().units)


def _unit(name: str) -> str:
    one = BY_NAME[name]
    return one.unit if isinstance(one, NumberField) else ""


@cache
def _state(name: str) -> str:
    return widgets.WIDGETS[name].answer(_values({})).state.value


def _zone(name: str, zone: Zone) -> str:
    return "".join(piece.html or "" for piece in built(name).values() if piece.zone is zone)


def names_of(widget: Widget) -> frozenset[str]:
    """The names of all blocks that a calculator can give."""
    return frozenset((*OF_THE_FRAME, *built(widget.name), *widget.facts, *widget.steps, *widget.blocks))


def step_look(parts: PageParts, words: str) -> str:
    """The drawings of an option `look: doing/NAME, looking/NAME`.

    Raises:
        PartError: if there is no such drawing.
    """
    drawn = []
    for word in _split(words):
        room, _, name = word.partition("/")
        rooms = {"doing": (DOING, step_drawing), "looking": (SUBJECTS, subject_drawing)}
        if room not in rooms or name not in rooms[room][0]:
            known = [f"{each}/{one}" for each, (names, _) in rooms.items() for one in names]
            raise parts.error(f"look: {word} is no drawing; there are {', '.join(known)}")
        picture = rooms[room][1](name, prefix=f"{room}-{parts.step_count}-{name}")
        drawn.append(f'<div class="qt-look">{picture.svg}</div>')
    return f'<div class="qt-looks">{"".join(drawn)}</div>'


@cache
def drawings_of_fields() -> dict[str, Markup]:
    """The drawings of questions and their answers, for the page where these are asked."""
    found = form_drawings("start") | form_drawings("inspection") | form_drawings("safe-range")
    return {key: Markup(picture.svg) for key, picture in found.items()}


def has_drawn_options(one: AnyField) -> bool:
    """Whether the answers of a question are drawings."""
    return isinstance(one, ChoiceField) and any(key.startswith(f"{one.name}=") for key in drawings_of_fields())


def bolt_of(one: AnyField) -> str:
    """The bolt that a field is of, "" where it is of both."""
    return next((bolt for bolt in BOLTS if one.name.startswith(f"{bolt}_")), "")


def pairs(fields: Iterable[AnyField]) -> list[tuple[AnyField, ...]]:
    """The fields in order, those of both bolts beside one another."""
    found: list[tuple[AnyField, ...]] = []
    for one in fields:
        other = found[-1][-1] if found else None
        is_second = other is not None and len(found[-1]) == 1 and bolt_of(other) == "upper" and bolt_of(one) == "lower"
        if is_second and other is not None and one.name == f"lower_{other.name.removeprefix('upper_')}":
            found[-1] = (other, one)
        else:
            found.append((one,))
    return found
