"""Reads built pages as a browser would, without any of the project's own code."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

EMPTY = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)


@dataclass(slots=True)
class Element:
    """One element: its name, attributes, children, and the text directly inside it."""

    name: str
    attributes: dict[str, str]
    parent: Element | None = None
    children: list[Element] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def all(self, name: str = "") -> list[Element]:
        """All elements below this one, in order; with a name only those."""
        found = []
        for child in self.children:
            if name in ("", child.name):
                found.append(child)
            found.extend(child.all(name))
        return found

    def classed(self, word: str) -> list[Element]:
        """All elements below this one that have this class."""
        return [one for one in self.all() if word in one.get("class").split()]

    def get(self, name: str) -> str:
        """An attribute, "" where it is absent."""
        return self.attributes.get(name, "")

    @property
    def text(self) -> str:
        """The text directly inside, blanks gathered."""
        return " ".join("".join(self.texts).split())

    @property
    def whole_text(self) -> str:
        """The text of this element and all below it."""
        return " ".join(" ".join([self.text, *(child.whole_text for child in self.children)]).split())


class _Builder(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("", {})
        self.at = self.root

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        one = Element(tag, {name: value or "" for name, value in attrs}, self.at)
        self.at.children.append(one)
        if tag not in EMPTY:
            self.at = one

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.at.children.append(Element(tag, {name: value or "" for name, value in attrs}, self.at))

    def handle_endtag(self, tag: str) -> None:
        one: Element | None = self.at
        while one is not None and one.name != tag:
            one = one.parent
        if one is not None and one.parent is not None:
            self.at = one.parent

    def handle_data(self, data: str) -> None:
        self.at.texts.append(data)


def read_page(path: Path) -> Element:
    """The elements of a page."""
    return read_html(path.read_text(encoding="utf-8"))


def read_html(html: str) -> Element:
    """The elements of a piece of HTML."""
    builder = _Builder()
    builder.feed(html)
    builder.close()
    return builder.root


def pages(site: Path) -> list[Path]:
    """All pages of a built site."""
    return sorted(site.rglob("*.html"))
