"""The Markdown blocks that place parts of calculators in a page's words.

    /// boxes | head_diameter            the inputs of fields; `WIDGET/GROUP` those of a group, `*_name` both bolts'
    /// show | safe-range/*-scale        blocks of answers
    //// beside | pocket/side            a section, with blocks that stay in sight while its words are read
    //// step | Find zero { #flush }     a numbered step at the bench
    //// when | safe-range: no_window    words for states of an answer, folded in all others
    //// kinds | flat, stop              words for these kinds of bow, left out for all others
    //// answered | lesson_moves         words that are there once a question is answered
    /// try | Turn it far out            an experiment: a button that moves the pictures

A block with Markdown inside has more slashes than those in it. Options are indented lines under the head; which there
are stands at each class. What is misspelt ends the build.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl
from xml.etree import ElementTree

from markupsafe import Markup
from pymdownx.blocks.block import type_boolean, type_string

import forms
from html_block import HoldingBlock, HtmlBlock, stash
from page_parts import (
    OpenStep,
    PageParts,
    bolt_of,
    built,
    drawings_of_fields,
    has_drawn_options,
    pairs,
    step_look,
)
from places import ROOT
from quarterturn.markup import escape
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.render import BASE_MARK

if TYPE_CHECKING:
    from quarterturn.record.field_types import AnyField

CURRENT: list[PageParts] = []
"""The page that is being made, as the only item."""
DOCS = ROOT / "docs"
AGAIN = '<p class="qt-again">First do what stands <a href="#found">at the top of this page</a>.</p>'
"""Where a further calculator of the page says under a stop what the first has said (see qt-parts.css)."""
_PLACE = re.compile(r"^(?P<words>.*?)\s*\{\s*#(?P<place>[\w-]+)\s*\}$")


def current() -> PageParts:
    """The page that is being made."""
    return CURRENT[-1]


def _text(default: str = "") -> list[Any]:
    return [default, type_string]


def _switch() -> list[Any]:
    return [False, type_boolean]


def _fold(words: str, html: str) -> str:
    return f'<details class="qt-more"><summary>{escape(words)}</summary>{html}</details>' if words else html


def _head(argument: str) -> tuple[str, str]:
    """The words of a head, and the name of the place after it in braces, "" where it has none."""
    found = _PLACE.match(argument.strip())
    return (found["words"], found["place"]) if found else (argument.strip(), "")


def _of_kinds(words: str) -> str:
    """The condition that the bow is of one of these kinds; while that is not answered, its default holds."""
    kinds, field = re.split("[, ]+", words.strip()), BY_NAME["bolt_family"]
    if unknown := set(kinds) - {option.value for option in getattr(field, "options", ())}:
        raise current().error(f"{words}: no kind of bolt is called {', '.join(sorted(unknown))}")
    return f"bolt_family={'|'.join(kinds)}{'|' if field.default in kinds else ''}"


class BoxesBlock(HtmlBlock):
    """The inputs of fields.

    Options: `known: yes` as a line that opens, with `how: PAGE#PLACE` where it is measured; `tell: WIDGET/NAME` a line
    under each, `*` in it standing for the bolt or, for fields of neither, for the field; `look:` a drawing; `fold:` the
    words of a fold around them; `row: yes` abreast; `slider: yes` with its slider; `rows: newest` the last of a list;
    `enters: FIELD=VALUE` what is entered along with it.
    """

    NAME = "boxes"
    OPTIONS = {  # noqa: RUF012 - theirs
        "known": _switch(),
        "how": _text(),
        "tell": _text(),
        "look": _text(),
        "fold": _text(),
        "row": _switch(),
        "rows": _text(),
        "slider": _switch(),
        "enters": _text(),
    }

    def html(self, argument: str) -> str:
        """The boxes, made by the templates from the fields' declarations."""
        parts, options = current(), self.options
        fields = parts.fields(argument)
        for one in fields:
            parts.place_field(one, known=options["known"], counts=not options["fold"])
        inside = forms.rendered(
            "boxes.html.j2",
            pairs=pairs(fields),
            known=options["known"],
            how=self._how(),
            row=options["row"],
            with_slider=options["slider"],
            newest=options["rows"] == "newest",
            bolt_of=bolt_of,
            enters={one.name: self._enters(one) for one in fields},
            tells={one.name: Markup(self._tells(one)) for one in fields},
            drawings={} if options["known"] else drawings_of_fields(),
            has_drawn_options=has_drawn_options if not options["known"] else lambda _: False,
        )
        look = step_look(parts, options["look"]) if options["look"] else ""
        html = _fold(options["fold"], look + inside)
        return f'<article class="qt-part" role="none" data-search-exclude>{html}</article>'

    def _how(self) -> str:
        """The address of the place where it is told how this is measured."""
        page, hash_, place = str(self.options["how"]).partition("#")
        if self.options["how"] and page and not (DOCS / f"{page}.md").is_file():
            raise current().error(f"boxes | {self.argument}: how must be PAGE#PLACE: {self.options['how']!r}")
        return f"{BASE_MARK}{page}{'/' if page else ''}{hash_}{place}" if self.options["how"] else ""

    def _enters(self, one: AnyField) -> str:
        entered = str(self.options["enters"]).replace("*", bolt_of(one))
        if entered and entered.partition("=")[0] not in BY_NAME:
            raise current().error(f"boxes | {self.argument}: enters must be FIELD=VALUE: {entered!r}")
        return entered

    def _tells(self, one: AnyField) -> str:
        told = str(self.options["tell"]).replace("*", bolt_of(one) or one.name)
        if "*" not in str(self.options["tell"]) and one is not current().fields(str(self.argument))[-1]:
            return ""
        return "".join(current().spot(key) for key in current().blocks(told)) if told else ""


class ShowBlock(HtmlBlock):
    """Blocks of answers.

    Options: `fold:` the words of a fold around them; `small: yes` in small print; `hands: no` without their sliders.
    """

    NAME = "show"
    OPTIONS = {"fold": _text(), "small": _switch(), "hands": [True, type_boolean]}  # noqa: RUF012 - theirs

    def html(self, argument: str) -> str:
        """Their places, with what they hold for an empty record."""
        parts = current()
        spots = ""
        for key in parts.blocks(argument):
            name, _, block = key.partition("/")
            spots += parts.spot(key)
            if block == "headline":
                spots += f'<div class="qt-top qt-top--again" data-zone="{name}/top"></div>{AGAIN}'
        classes = " qt-small" * self.options["small"] + " qt-no-hands" * (not self.options["hands"])
        return (
            f'<article class="qt-part qt-show{classes}" role="none" data-search-exclude>'
            f"{_fold(self.options['fold'], spots)}</article>"
        )


class BesideBlock(HoldingBlock):
    """A section in two panes: blocks that stay in sight beside the words.

    Options: `strip:` what stands for them on a narrow page, a line and perhaps a small picture; `label:` its name.
    """

    NAME = "beside"
    OPTIONS = {"strip": _text(), "label": _text("The picture")}  # noqa: RUF012 - theirs

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Lay out heading, pane, strip and words, in this order."""
        parts = current()
        section = ElementTree.SubElement(parent, "div", {"class": "qt-beside"})
        self._head = ElementTree.SubElement(section, "div", {"class": "qt-beside-head"})
        spots = "".join(parts.spot(key) for key in parts.blocks(str(self.argument)))
        label = escape(str(self.options["label"]))
        pane = (
            f'<article class="qt-pane" role="region" aria-label="{label}" data-search-exclude tabindex="0">{spots}'
            "</article>"
        )
        self.put(section, pane, **{"class": "qt-pane-place"})
        keys = parts.blocks(str(self.options["strip"]))
        strip_class = "qt-strip-button" if keys else "qt-strip-button qt-strip-button--none"
        told = "".join(parts.spot(key).replace("<div ", "<span ").replace("</div>", "</span>") for key in keys)
        self.put(
            section,
            f'<button type="button" class="{strip_class}" aria-expanded="false">'
            f'<span class="qt-strip-name">{label}</span>'
            f"{told}</button>",
            **{"class": "qt-strip-place"},
        )
        self._words = ElementTree.SubElement(section, "div", {"class": "qt-beside-words"})
        return section

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element:
        """The words."""
        return self._words

    def on_end(self, block: ElementTree.Element) -> None:
        """Heading and lead come before the picture."""
        while len(self._words) and (self._words[0].tag in ("h1", "h2") or "{: .lead }" in (self._words[0].text or "")):
            child = self._words[0]
            self._words.remove(child)
            self._head.append(child)


class StepBlock(HoldingBlock):
    """A numbered step: done when its readings can be used, or by its own tick.

    Options: `look:` a drawing; `family: flat, stop` the kinds of bolt that it is for; `value:` the fields that its line
    shows, "none" for none, in place of those it waits for.
    """

    NAME = "step"
    OPTIONS = {"look": _text(), "family": _text(), "value": _text()}  # noqa: RUF012 - theirs

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """The step, open as it is without a script."""
        parts = current()
        parts.step_count += 1
        self._title, place = _head(str(self.argument))
        attributes = {"class": "qt-step", "open": "open"} | ({"id": place} if place else {})
        if self.options["family"]:
            attributes["data-when"] = _of_kinds(str(self.options["family"]))
        step = ElementTree.SubElement(parent, "details", attributes)
        self._summary = ElementTree.SubElement(step, "summary")
        self._body = ElementTree.SubElement(step, "div", {"class": "qt-step-body"})
        self._number = parts.step_count
        parts.steps.append(OpenStep(step))
        return step

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element:
        """What is done in it."""
        return self._body

    def on_end(self, block: ElementTree.Element) -> None:
        """The line that it folds to, and its tick where it waits for no reading."""
        found = current().steps.pop()
        if found.needs:
            block.set("data-needs", " ".join(found.needs))
        if self.options["look"]:
            self._body.insert(1, self._looks())
        wanted = str(self.options["value"])
        values = found.needs or found.boxes
        if wanted:
            values = [] if wanted == "none" else [one.name for one in current().fields(wanted)]
        bolts = {
            bolt: " ".join(name for name in values if bolt_of(BY_NAME[name]) == bolt) for bolt in ("upper", "lower")
        }
        shared = " ".join(name for name in values if not bolt_of(BY_NAME[name]))
        told = [f'<span class="qt-step-value" data-words-of="{shared}">not yet</span>'] if shared else []
        told += [
            f'<span class="qt-step-value" data-of-bolt="{bolt}" data-words-of="{names}">not yet</span>'
            for bolt, names in bolts.items()
            if names
        ]
        self._summary.text = stash(
            self.md,
            f'<span class="qt-step-number">{self._number}</span> <span class="qt-step-title" role="heading" '
            f'aria-level="3">{escape(self._title)}</span> <span class="qt-step-values">{"".join(told)}</span>'
            '<span class="qt-step-mark"></span>',
        )
        if not found.needs:
            title = escape(self._title)
            tick = f'<input type="checkbox" data-tick autocomplete="off"> Done: {title}'
            self.put(self._body, f'<label class="qt-step-tick">{tick}</label>')

    def _looks(self) -> ElementTree.Element:
        place = ElementTree.Element("div")
        place.text = stash(self.md, step_look(current(), self.options["look"]))
        return place


class WhenBlock(HoldingBlock):
    """Words for states of an answer: open in these, folded under their heading in all others."""

    NAME = "when"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """A fold, open as it is without a script."""
        widget, colon, states = str(self.argument).partition(":")
        current().widget(widget.strip())
        if not colon:
            raise current().error(f"when | {self.argument}: it must be WIDGET: STATE, STATE")
        told = ",".join(re.split("[, ]+", states.strip()))
        fold = ElementTree.SubElement(
            parent, "details", {"class": "qt-when", "open": "open", "data-states": f"{widget.strip()}:{told}"}
        )
        self._summary = ElementTree.SubElement(fold, "summary")
        self._body = ElementTree.SubElement(fold, "div")
        return fold

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element:
        """The words."""
        return self._body

    def on_end(self, block: ElementTree.Element) -> None:
        """Their heading is what they fold to."""
        if not len(self._body) or self._body[0].tag not in ("h2", "h3"):
            raise current().error(f"when | {self.argument}: what is inside begins with a heading")
        heading = self._body[0]
        self._body.remove(heading)
        self._summary.append(heading)


class KindsBlock(HoldingBlock):
    """Words for bows of some kinds only; those of all kinds stand there as long as none was chosen."""

    NAME = "kinds"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """A part that is hidden from the others, and there without a script."""
        attributes = {"class": "qt-kinds", "data-when": _of_kinds(str(self.argument))}
        return ElementTree.SubElement(parent, "div", attributes)


class AnsweredBlock(HoldingBlock):
    """Words that are there once a question is answered, whatever the answer; hidden and shown as those of `kinds`."""

    NAME = "answered"

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """A part that waits for the answer."""
        name = str(self.argument).strip()
        options = getattr(BY_NAME.get(name), "options", ())
        if not options:
            raise current().error(f"answered | {name}: no such question")
        values = "|".join(option.value for option in options)
        return ElementTree.SubElement(parent, "div", {"class": "qt-kinds", "data-when": f"{name}={values}"})


class TryBlock(HoldingBlock):
    """An experiment.

    Options: `set: NAME=VALUE&NAME=VALUE` fields of the view; `picture: WIDGET/BLOCK` a built picture of it.
    """

    NAME = "try"
    OPTIONS = {"set": _text(), "picture": _text()}  # noqa: RUF012 - theirs

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """A button, and its picture."""
        title, place = _head(str(self.argument))
        settings = dict(parse_qsl(str(self.options["set"])))
        current().note_try(settings)
        box = ElementTree.SubElement(parent, "div", {"class": "qt-try"} | ({"id": place} if place else {}))
        if self.options["picture"]:
            self.put(box, self._picture(place, settings), **{"class": "qt-try-picture"})
        self._words = ElementTree.SubElement(box, "div", {"class": "qt-try-words"})
        self.put(
            self._words,
            f'<button type="button" class="qt-try-button" data-try="{escape(str(self.options["set"]))}" '
            f'aria-pressed="false">{escape(title)}</button><strong class="qt-try-title">{escape(title)}</strong>'
            '<button type="button" class="qt-put-back" data-put-back hidden>Put it back</button>',
            **{"class": "qt-try-head"},
        )
        return box

    def _picture(self, place: str, settings: dict[str, str]) -> str:
        """The picture as the experiment leaves it, its ids made this experiment's own."""
        name, _, block = current().blocks(str(self.options["picture"]))[0].partition("/")
        html = built(name, tuple(settings.items()))[block].html or ""
        return re.sub(rf'(id="|url\(#|href="#|labelledby="|describedby="){name}-', rf"\1{place}-{name}-", html)

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element:
        """The words."""
        return self._words


BLOCKS: tuple[type[HtmlBlock | HoldingBlock], ...] = (
    BoxesBlock,
    ShowBlock,
    BesideBlock,
    StepBlock,
    WhenBlock,
    KindsBlock,
    AnsweredBlock,
    TryBlock,
)
