"""A Markdown extension that links the first use of each of the trade's words on a page to the list of words.

The words and their other spellings are read from `docs/words.md`, a definition list whose terms look like this:

    strip, feeler { #strip data-also="strips|feelers" }
    :   A thin piece of known thickness...

Everything before the braces, parted by commas, and everything in `data-also`, parted by bars, counts as a use. Only
running prose is linked: no heading, link, code, button, caption or title, nothing of a calculator, nothing that carries
data. Of two words that begin in the same place the longer one wins. The page that defines the words is left as it is.
The link begins at docs/, wherever the page lies; the build checks every link.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor
from markdown.util import HTML_PLACEHOLDER_RE, AtomicString

from places import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

WORDS_PAGE = "words.md"
WORDS_LINK = f"/{WORDS_PAGE}"
"""From any page, as seen from docs/ (`absolute_links` in mkdocs.yml)."""
LINK_CLASS = "qt-word"
# After the inline parsing, the attribute lists and the table of contents; before MkDocs makes the links relative.
PRIORITY = 2

_NOT_PROSE = frozenset(
    [
        *("a", "button", "caption", "code", "dt", "figcaption", "h1", "h2", "h3", "h4", "h5", "h6", "kbd", "label"),
        *("legend", "math", "option", "output", "pre", "samp", "script", "select", "style", "summary", "svg"),
        *("textarea", "th", "var"),
    ]
)
_NOT_PROSE_CLASSES = frozenset(["admonition-title", "md-button", "qt-place", "qt-widget"])
_OF_SOME_KINDS = "qt-kinds"
"""Running prose, whatever it carries: a part of a page for some kinds of bow."""
_TAG = re.compile(r"<(/?)([a-zA-Z][a-zA-Z0-9-]*)([^<>]*?)(/?)>")
_VOID = frozenset(["area", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"])


@dataclass(frozen=True, slots=True)
class Term:
    """One entry of the list of words: its anchor on the page, and all that counts as a use of it."""

    anchor: str
    spellings: tuple[str, ...]


class GlossaryError(ValueError):
    """The list of words contradicts itself; the message says where."""


def read_terms(text: str) -> tuple[Term, ...]:
    """The terms of a definition list in Markdown, in order.

    Raises GlossaryError where a term has no anchor or a spelling stands for two terms.
    """
    reader = Markdown(extensions=["attr_list", "def_list"])
    collector = _TermCollector(reader)
    reader.treeprocessors.register(collector, "glossary-terms", PRIORITY)
    reader.convert(text)
    terms = tuple(_term(element) for element in collector.found)
    _check(terms)
    return terms


class _TermCollector(Treeprocessor):
    """Collects the terms of the definition lists that went by."""

    def __init__(self, md: Markdown) -> None:
        super().__init__(md)
        self.found: list[ElementTree.Element] = []

    def run(self, root: ElementTree.Element) -> None:
        self.found = list(root.iter("dt"))


def _term(element: ElementTree.Element) -> Term:
    shown = "".join(element.itertext()).strip()
    spellings = [*shown.split(","), *element.get("data-also", "").split("|")]
    return Term(element.get("id", ""), tuple(word.strip() for word in spellings if word.strip()))


def _check(terms: tuple[Term, ...]) -> None:
    known: dict[str, str] = {}
    for term in terms:
        if not term.anchor:
            raise GlossaryError(f"{term.spellings[0]}: the term needs an anchor, like {{ #word }}")
        for spelling in term.spellings:
            if _key(spelling) in known:
                raise GlossaryError(f"{spelling}: stands twice, at {known[_key(spelling)]} and at {term.anchor}")
            known[_key(spelling)] = term.anchor


def _key(words: str) -> str:
    """A spelling as it is compared: small letters, single blanks, one kind of apostrophe."""
    return " ".join(words.casefold().replace("’", "'").split())


def _pattern(spelling: str) -> str:
    words = (re.escape(word).replace("'", "['’]") for word in _key(spelling).split())
    return r"\s+".join(words)


class _Linker(Treeprocessor):
    """Links the first use of each term in one page after another."""

    def __init__(self, md: Markdown, terms: tuple[Term, ...]) -> None:
        super().__init__(md)
        self._md = md
        self._anchors = {_key(spelling): term.anchor for term in terms for spelling in term.spellings}
        longest_first = sorted(self._anchors, key=len, reverse=True)
        # A hyphen belongs to the word: "limb-tip" is no use of "limb".
        self._uses = re.compile(rf"(?<![\w-])(?:{'|'.join(map(_pattern, longest_first))})(?![\w-])", re.IGNORECASE)
        self._linked: set[str] = set()
        self._inside: list[str] = []

    def run(self, root: ElementTree.Element) -> None:
        """Link the page, unless it is the one that defines the words."""
        if not self._anchors or {term.get("id") for term in root.iter("dt")} & set(self._anchors.values()):
            return
        self._linked = set()
        self._visit(root)

    def _visit(self, parent: ElementTree.Element) -> None:
        """Link inside an element: its text, its children, and the text behind each of them."""
        if self._md.is_block_level(parent.tag):
            self._inside = []  # a tag that was written by hand and never closed ends with its paragraph
        children = list(parent)
        parent.text, inserted = self._link(parent.text)
        for child in children:
            inserted.append(child)
            if not self._inside and _is_prose(child.tag, dict(child.items())):
                self._visit(child)
            child.tail, behind = self._link(child.tail)
            inserted.extend(behind)
        parent[:] = inserted

    def _link(self, text: str | None) -> tuple[str | None, list[ElementTree.Element]]:
        """A text as the part before its first link, and the links, each with the text behind it."""
        if not text or isinstance(text, AtomicString):
            return text, []
        before = ""
        links: list[ElementTree.Element] = []
        for piece in self._pieces(text):
            if isinstance(piece, ElementTree.Element):
                links.append(piece)
            elif links:
                links[-1].tail = (links[-1].tail or "") + piece
            else:
                before += piece
        return before, links

    def _pieces(self, text: str) -> Iterator[str | ElementTree.Element]:
        """The text in order, with a link for each first use; tags written by hand stand in it as marks."""
        end = 0
        for mark in HTML_PLACEHOLDER_RE.finditer(text):
            yield from self._pieces_of_prose(text[end : mark.start()])
            self._pass_tag(int(mark[1]))
            yield mark[0]
            end = mark.end()
        yield from self._pieces_of_prose(text[end:])

    def _pieces_of_prose(self, text: str) -> Iterator[str | ElementTree.Element]:
        end = 0
        for use in self._uses.finditer(text) if not self._inside else ():
            anchor = self._anchors[_key(use[0])]
            if anchor not in self._linked:
                self._linked.add(anchor)
                yield text[end : use.start()]
                yield _link_to(anchor, use[0])
                end = use.end()
        yield text[end:]

    def _pass_tag(self, number: int) -> None:
        """Note when a tag written by hand opens or closes something that is no prose."""
        stored = self._md.htmlStash.rawHtmlBlocks[number]
        tag = _TAG.fullmatch(stored) if isinstance(stored, str) else None
        if tag is None:
            return
        closes, name, attributes, empty = tag[1], tag[2].lower(), tag[3], tag[4]
        if closes:
            if name in self._inside:
                while self._inside.pop() != name:
                    pass
        elif not empty and name not in _VOID and (self._inside or not _is_prose(name, _attributes(attributes))):
            self._inside.append(name)


def _is_prose(name: str, attributes: dict[str, str]) -> bool:
    classes = set((attributes.get("class") or "").split())
    carries_data = any(attribute.startswith("data-") for attribute in attributes) and _OF_SOME_KINDS not in classes
    return name not in _NOT_PROSE and not carries_data and not classes & _NOT_PROSE_CLASSES


def _attributes(text: str) -> dict[str, str]:
    found = re.findall(r"""([\w:-]+)(?:\s*=\s*("[^"]*"|'[^']*'|[^\s"'>]+))?""", text)
    return {name.lower(): value.strip("\"'") for name, value in found}


def _link_to(anchor: str, words: str) -> ElementTree.Element:
    link = ElementTree.Element("a", {"class": LINK_CLASS, "href": f"{WORDS_LINK}#{anchor}"})
    link.text = words
    return link


class GlossaryExtension(Extension):
    """The links to the list of words as a Markdown extension."""

    def __init__(self, page: Path = ROOT / "docs" / WORDS_PAGE, **kwargs: Any) -> None:
        """Read the terms from a page; from that of the site if none is named."""
        super().__init__(**kwargs)
        self.terms = read_terms(page.read_text(encoding="utf-8"))

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802 - theirs
        """Make the links known to Markdown."""
        md.treeprocessors.register(_Linker(md, self.terms), "glossary", PRIORITY)
