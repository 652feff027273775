"""Every statement that is marked as common practice without a source, collected from the pages and from the program.

The mark is one form of words, MARK: in a sentence in parentheses, in a table as a cell of its own. It is looked for
where readers meet it, in the pages' Markdown and in the package's declared fields, and in all other text of the code:
what an answer may say, whatever the record, and the notes beside constants and functions. Where a number or a word is
put into a text later, "…" stands for it. `trade_facts_block` makes a page of what is found here.
"""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from markdown import Markdown
from markdown.treeprocessors import Treeprocessor
from markdown.util import HTML_PLACEHOLDER_RE
from mkdocs.utils.meta import get_data

from page_parts import PageParts
from places import BUILD_SCRIPTS, CALC, ROOT
from quarterturn import units
from quarterturn.record.field_types import AnyField, ChoiceField, Column, ListField, NumberField, Option
from quarterturn.record.fields import FIELDS
from quarterturn.sources import SOURCES
from quarterturn.widgets import ROOMS

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from xml.etree import ElementTree

MARK = "common practice, no source"
PAGE = "trade-facts.md"
"""The page that shows them; what it says of the mark itself is no statement."""
DOCS = ROOT / "docs"
EVERYWHERE = "On several pages"
NOTES = "In the program’s notes"
GAP = "…"

_MARKED = re.compile(rf" ?\({MARK}\)|: {MARK}(?=\.?$)")
_BEGUN = re.compile(rf"^{GAP}[:;,] |(?<=\.){GAP}$")
"""What is put in before or behind a sentence and does not belong to it."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")
_IN_MENU = re.compile(r"^ +- .+: (\S+\.md)$", re.MULTILINE)
_BLOCK = re.compile(r"^/{3,}[ \t]*(\w*)(?:[ \t]*\|[ \t]*(.*))?\n((?:[ \t]{4}.*\n)*)", re.MULTILINE)
_ID = re.compile(r"#([\w-]+)\s*\}|id:\s*([\w-]+)")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a statement stands: in which group of the list, in what, and its address in the site ("" for none)."""

    group: str
    label: str
    link: str = ""


@dataclass(slots=True)
class Statement:
    """One sentence without its mark, and all places where it stands."""

    text: str
    places: list[Place]


@cache
def statements() -> tuple[Statement, ...]:
    """All of them, each sentence once, in the order of the site: pages, boxes, answers, then the program's notes."""
    found: dict[str, Statement] = {}
    for text, place in (*_of_pages(), *_of_sources(), *_of_fields(), *_of_code()):
        one = found.setdefault(text, Statement(text, []))
        if place not in one.places:
            one.places.append(place)
    return tuple(found.values())


def marked(text: str) -> list[str]:
    """The sentences of a text that carry the mark, without it."""
    sentences = _SENTENCE.split(" ".join(text.split()))
    return [_BEGUN.sub("", _MARKED.sub("", sentence)) for sentence in sentences if MARK in sentence]


# Pages


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the site: its address, title and words, and which calculators and fields it places."""

    link: str
    title: str
    text: str
    rooms: frozenset[str]
    fields: frozenset[str]


@cache
def pages() -> tuple[Page, ...]:
    """The pages in the order of the menu, then those that only the foot of a page names."""
    menu = _IN_MENU.findall((ROOT / "mkdocs.yml").read_text(encoding="utf-8"))
    others = sorted(path.relative_to(DOCS).as_posix() for path in DOCS.rglob("*.md"))
    return tuple(_page(name) for name in dict.fromkeys([*menu, *others]) if name != PAGE)


def _page(source: str) -> Page:
    text, told = get_data((DOCS / source).read_text(encoding="utf-8"))
    heading = re.search(r"^# (.+?)(?: \{.*)?$", text, re.MULTILINE)
    title = str(told.get("title") or (heading[1] if heading else source))
    link = re.sub(r"(^|/)index$", r"\1", source.removesuffix(".md"))
    parts = PageParts(source)
    placed = _BLOCK.findall(text)
    fields = {one.name for kind, words, _ in placed if kind == "boxes" for one in parts.fields(words.strip())}
    rooms = {name for name in ROOMS if any(re.search(rf"\b{name}/", words) for _, words, _ in placed)}
    address = f"{link}/" if link and not link.endswith("/") else link
    rooms |= {str(told.get("widget", ""))} & set(ROOMS)
    return Page(address, title, text, frozenset(rooms), frozenset(fields))


def _of_pages() -> Iterator[tuple[str, Place]]:
    for page in pages():
        for anchor, heading, text in _read(page.text):
            for sentence in marked(text):
                yield sentence, Place(page.title, heading or page.title, f"{page.link}{anchor and f'#{anchor}'}")


def _read(text: str) -> list[tuple[str, str, str]]:
    """The paragraphs, items, rows and definitions of a Markdown text, each with the heading above it."""
    reader = Markdown(extensions=["attr_list", "def_list", "tables", "toc"])
    collector = _Collector(reader)
    reader.treeprocessors.register(collector, "trade-facts", 2)  # after the table of contents has made the anchors
    reader.convert(_BLOCK.sub(_as_heading, text))
    return collector.found


def _as_heading(block: re.Match[str]) -> str:
    """A step or a fold as a heading with its anchor; nothing for any other block, whose inside is read as it is."""
    kind, title, options = block[1], block[2] or "", block[3]
    anchor = _ID.search(f"{title} {options}")
    if kind not in ("step", "details") or anchor is None:
        return "\n"
    return f"\n## {title.partition('{')[0].strip()} {{ #{anchor[1] or anchor[2]} }}\n\n"


class _Collector(Treeprocessor):
    """Notes the texts of a page and the anchors they stand under."""

    def __init__(self, md: Markdown) -> None:
        super().__init__(md)
        self.found: list[tuple[str, str, str]] = []

    def run(self, root: ElementTree.Element) -> None:
        anchor = heading = ""
        for one in root.iter():
            if one.tag in ("h2", "h3", "h4", "dt"):
                anchor, heading = one.get("id", anchor), _text(one)
            elif one.tag == "tr":
                self.found.append((anchor, heading, ": ".join(_text(cell) for cell in one)))
            elif one.tag == "p" or (one.tag in ("li", "dd") and one.find("p") is None):
                self.found.append((anchor, heading, _text(one)))


def _text(element: ElementTree.Element) -> str:
    return " ".join(HTML_PLACEHOLDER_RE.sub("", "".join(element.itertext())).split())


# The package: its sources, its fields


def _of_sources() -> Iterator[tuple[str, Place]]:
    where = Place("Sources", "What is cited", "sources/#cited")
    for source in SOURCES.values():
        for sentence in marked(source.citation):
            yield f"{sentence.rstrip('.')}: {source.gives}.", where


def _of_fields() -> Iterator[tuple[str, Place]]:
    for field in FIELDS:
        place = _place_of_field(field)
        columns = field.columns if isinstance(field, ListField) else ()
        for one in (field, *columns):
            told = [one.help, *(part for option in _options(one) for part in (option.label, option.help))]
            if isinstance(one, NumberField) and one.default_from == MARK:
                told.append(f"{one.label}: {_shown(one)} until you enter your own: {MARK}")
            if isinstance(one, NumberField):
                told.append(f"{one.label}: {one.limits_because}")
            yield from ((sentence, place) for text in told for sentence in marked(text))


def _options(one: AnyField | Column) -> tuple[Option, ...]:
    return one.options if isinstance(one, ChoiceField) else ()


def _shown(one: NumberField) -> str:
    return f"{one.default:g} {units.unit(one.unit).symbol}".strip()


def _place_of_field(field: AnyField) -> Place:
    for page in pages():
        if field.name in page.fields:
            return Place(page.title, f"the box “{field.label}”", f"{page.link}#field-{field.name}")
    return Place(EVERYWHERE, f"the box “{field.label}”")


# The rest of the code


def _of_code() -> Iterator[tuple[str, Place]]:
    known = {text for text, _ in _of_fields()}
    files = [*sorted(CALC.rglob("*.py")), *sorted(BUILD_SCRIPTS.rglob("*.py"))]
    notes = []
    for file in files:
        if MARK not in " ".join(file.read_text(encoding="utf-8").split()) or file.name == "trade_facts.py":
            continue
        for text, about in _texts(file):
            for sentence in marked(text):
                if about:
                    notes.append((sentence, Place(NOTES, f"{_short(file)}, {about}")))
                elif not any(sentence in one for one in known) and not _is_declared(file):
                    yield from ((sentence, place) for place in _places_of_answer(file))
    yield from notes


def _short(file: Path) -> str:
    return file.relative_to(CALC / "quarterturn" if file.is_relative_to(CALC) else ROOT).as_posix()


def _is_declared(file: Path) -> bool:
    """Whether its texts are declared, and read there: fields and sources."""
    return file.parent.name == "fields" or file.name == "sources.py"


def _texts(file: Path) -> Iterator[tuple[str, str]]:
    """The texts of a module: what may be shown, with "", and the notes, with the name of what they are about."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    notes = dict(_notes(tree))
    inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else GAP for part in node.values), ""
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in inside:
            yield node.value, notes.get(id(node), "")


def _notes(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """The strings that are statements by themselves, and what they are about."""
    for node in ast.walk(tree):
        before = getattr(node, "name", "the module")
        for statement in getattr(node, "body", ()) if not isinstance(node, ast.Lambda | ast.IfExp) else ():
            if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
                yield id(statement.value), before
            if isinstance(statement, ast.Assign):
                before = ast.unparse(statement.targets[0])
            elif isinstance(statement, ast.AnnAssign):
                before = ast.unparse(statement.target)


def _places_of_answer(file: Path) -> list[Place]:
    """The pages whose calculators are made with this module; one place for what nearly all of them are made with."""
    name = _module(file)
    rooms = {room for room in ROOMS if name in _needs(f"quarterturn.widgets.{ROOMS[room]}")}
    made = [page for page in pages() if page.rooms & rooms]
    if not made or rooms == set(ROOMS):
        return [Place(EVERYWHERE, "answers")]
    return [Place(page.title, "answers", page.link) for page in made]


def _module(file: Path) -> str:
    root = CALC if file.is_relative_to(CALC) else BUILD_SCRIPTS
    return ".".join(file.relative_to(root).with_suffix("").parts).removesuffix(".__init__")


@cache
def _needs(name: str) -> frozenset[str]:
    """A module of the package and all that it imports, by name."""
    needed: set[str] = set()
    waiting = [name]
    while waiting:
        one = waiting.pop()
        if one not in needed and one in _modules():
            needed.add(one)
            waiting.extend(_imports(one))
    return frozenset(needed)


@cache
def _modules() -> dict[str, Path]:
    return {_module(file): file for file in CALC.rglob("*.py")}


@cache
def _imports(name: str) -> tuple[str, ...]:
    tree = ast.parse(_modules()[name].read_text(encoding="utf-8"))
    found: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            found += [node.module, *(f"{node.module}.{each.name}" for each in node.names)]
        elif isinstance(node, ast.Import):
            found += [each.name for each in node.names]
    return tuple(each for each in found if each.startswith("quarterturn") and each != "quarterturn.widgets")
