"""Statements without a source: one form of words marks them, and the page that lists them has every one.

What readers meet is read from the built pages and from answers to drawn records, by none of the code that makes the
list; the program's notes are read as plain text.
"""

from __future__ import annotations

import re
import tokenize
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from markdown import Markdown

import trade_facts
from helpers.asking import texts_of
from helpers.built_pages import Element, pages, read_html, read_page
from helpers.drawn_answers import WIDGET_NAMES, first_outcomes
from html_block import HtmlBlockExtension
from places import ROOT
from quarterturn.widgets.answer import Answer
from trade_facts_block import FactsBlock, FactsError

WORDS = "common practice, no source"
FORM = f"({WORDS})"
OTHER_FORM = re.compile(
    r"common[ -]practice|practice, no source|(usual|standard|accepted|trade) practice|custom(ary|s? of the trade)|"
    r"(?<!our own )(?<!choice, )(?<!measure, )(?<!estimates, )(?<!assumed, )(?<!\()no source(?! says)",
    re.IGNORECASE,
)
LIST = "trade-facts"
DRAWN = 40
"""Records a widget; what an answer may say of any bow is read from the code, and this finds what that would miss."""


def in_another_form(text: str) -> list[str]:
    """What is marked otherwise than all else, or half."""
    if text.strip() in (WORDS, FORM):
        return []
    return [found.group() for found in OTHER_FORM.finditer(text.replace(FORM, ""))]


# What readers meet

BLOCKS = frozenset(
    [
        *("address", "article", "aside", "button", "caption", "dd", "desc", "details", "div", "dl", "dt", "figcaption"),
        *("figure", "form", "h1", "h2", "h3", "h4", "label", "legend", "li", "main", "nav", "ol", "option", "p"),
        *("section", "summary", "table", "tbody", "td", "text", "th", "thead", "title", "tr", "ul"),
    ]
)


class Texts(HTMLParser):
    """The texts of a page, each as long as one goes on without a break, and those in attributes; and its rows."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self.rows: list[list[str]] = []
        self._now = ""
        self._hidden = False

    def _end(self) -> None:
        text = " ".join(self._now.split())
        if text:
            self.found.append(text)
        self._now = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._hidden = tag in ("script", "style")
        if tag in BLOCKS:
            self._end()
        if tag == "tr":
            self.rows.append([])
        self.found.extend(value for _, value in attrs if value and "practice" in value and " " in value)

    def handle_endtag(self, tag: str) -> None:
        self._hidden = False
        if tag in ("td", "th") and self.rows:
            self.rows[-1].append(" ".join(self._now.split()))
        if tag in BLOCKS:
            self._end()

    def handle_data(self, data: str) -> None:
        if not self._hidden:
            self._now += data


def texts_in(html: str) -> Texts:
    reader = Texts()
    reader.feed(html)
    reader.close()
    return reader


@cache
def of_answers() -> frozenset[str]:
    """Every text of the answers to drawn records, and of what is refused."""
    found: set[str] = set()
    for widget in WIDGET_NAMES:
        for _, outcome in first_outcomes(widget, DRAWN):
            if isinstance(outcome, Answer):
                found |= {outcome.title, outcome.verdict, outcome.headline, outcome.line}
                found |= {text for block in outcome.blocks for text in texts_of(block)}
            else:
                found |= {each.sentence for each in outcome.problems}
    return frozenset(" ".join(text.split()) for text in found if text)


@pytest.fixture(scope="module")
def met(built_site: Path) -> dict[str, str]:
    """Each text that a reader can meet, and where."""
    found = dict.fromkeys(of_answers(), "an answer")
    for path in pages(built_site):
        if path.parent.name != LIST:
            found |= dict.fromkeys(texts_in(path.read_text(encoding="utf-8")).found, path.parent.name)
    return found


@pytest.fixture(scope="module")
def listed(built_site: Path) -> list[str]:
    page = read_page(built_site / LIST / "index.html")
    (article,) = page.all("article")
    return [one.whole_text for part in article.classed("qt-facts") for one in part.all("dt")]


def plain(text: str) -> str:
    return re.sub(r" (?=[.,;:])", "", " ".join(text.replace(FORM, " ").split())).rstrip(". ").casefold()


def is_listed(sentence: str, listed: list[str]) -> bool:
    """Whether the list has the sentence; three dots are any words, and a label before a colon may be missing."""
    said = plain(sentence)
    for one in listed:
        if plain(one).startswith(f"{said}: "):
            return True
        for part in (plain(one), plain(one).partition(": ")[2]):
            if len(part) > 12 and re.search(re.escape(part).replace("…", ".*?"), said):
                return True
    return False


def sentences(text: str) -> list[str]:
    return [each for each in re.split(r"(?<=[.!?])\s+", text) if FORM in each]


# The form


def test_what_is_met_is_marked_in_one_form(met: dict[str, str]) -> None:
    assert [(where, text, found) for text, where in met.items() if (found := in_another_form(text))] == []


@pytest.mark.parametrize(
    "text",
    [
        "A quarter of a turn (common practice).",
        "*Common practice*: a quarter of a turn.",
        "Common practice wants more.",
        "Common practice, no source.",
        "A quarter (common practice; no source).",
        "A quarter of a turn, as is customary.",
        "A quarter of a turn (no source is known: standard practice).",
        "A quarter of a turn. No source.",
    ],
)
def test_another_form_is_found(text: str) -> None:
    assert in_another_form(text)


@pytest.mark.parametrize(
    "text",
    [
        f"A quarter {FORM}. More only costs range.",
        WORDS,
        "A tenth of a turn (our own choice, no source).",
        "assumed, no source",
        "It was chosen for this page, and no source says it.",
    ],
)
def test_the_form_itself_and_what_is_our_own_pass(text: str) -> None:
    assert in_another_form(text) == []


def code() -> Iterator[Path]:
    kinds = {".py", ".js", ".mjs", ".j2", ".html", ".md", ".json"}
    for folder in ("calc", "build_scripts", "docs"):
        yield from (
            path
            for path in (ROOT / folder).rglob("*")
            if path.suffix in kinds and "__pycache__" not in path.parts and not path.name.startswith("trade_facts")
        )


def test_in_the_code_too_every_mark_has_the_form() -> None:
    """As text, strings that go on in the next line put together; the key of the source is none."""
    seen = 0
    for path in code():
        text = re.sub(r"[\"']\s*\n\s*[frbu]*[\"']", "", path.read_text(encoding="utf-8"))
        text = " ".join(text.split()).replace('"common-practice"', "")
        seen += text.count(WORDS)
        rest = re.sub(rf"\({WORDS}\)|\| {WORDS} \||\"{WORDS}\"", "", text)
        assert re.findall(r".{40}common[ -]practice.{20}", rest, re.IGNORECASE) == [], path
    assert seen >= 50


def test_no_comment_hides_one() -> None:
    """A comment is not read into the list: what stands beside a constant is its docstring."""
    for path in code():
        if path.suffix == ".py":
            with path.open("rb") as file:
                comments = [each.string for each in tokenize.tokenize(file.readline) if each.type == tokenize.COMMENT]
            assert [each for each in comments if "practice" in each] == [], path


# The list


def test_every_sentence_that_is_met_is_listed(met: dict[str, str], listed: list[str]) -> None:
    marked = [(where, each) for text, where in met.items() for each in sentences(text)]
    assert len({each for _, each in marked}) >= 25
    assert {where for where, _ in marked} >= {"an answer", "safe-range", "words", "model"}
    assert [(where, each) for where, each in marked if not is_listed(each, listed)] == []


def test_every_marked_row_is_listed(built_site: Path, listed: list[str]) -> None:
    rows = []
    for path in pages(built_site):
        if path.parent.name != LIST:
            rows += [row for row in texts_in(path.read_text(encoding="utf-8")).rows if WORDS in row]
    assert len(rows) >= 5
    begun = [plain(one) for one in listed]
    assert [row for row in rows if not any(one.startswith(f"{plain(row[0])}: ") for one in begun)] == []


def test_every_mark_of_the_code_is_listed_or_said_there(listed: list[str]) -> None:
    """The other way round, by the text around it: a note or a string of the program, whatever record would show it."""
    shown = " ".join(listed).casefold()
    for path in (ROOT / "calc").rglob("*.py"):
        text = re.sub(r"[\"']\s*\n\s*[frbu]*[\"']", "", path.read_text(encoding="utf-8"))
        for before in re.findall(rf"([^\n\".(){{}}]*)\({WORDS}\)", re.sub(r"\s*\n\s*", " ", text)):
            last = " ".join(before.split()[-3:]).casefold()
            assert last in shown, (path, before)


def test_a_missing_one_would_be_noticed(met: dict[str, str], listed: list[str]) -> None:
    assert not is_listed(f"Archers wear green {FORM}.", listed)
    met_sentences = [each for text in met for each in sentences(text)]
    unseen = 0
    for left_out in listed:
        rest = [one for one in listed if one != left_out]
        unseen += any(not is_listed(each, rest) for each in met_sentences)
    assert unseen >= 20


def test_every_link_leads_to_its_place(built_site: Path) -> None:
    page = read_page(built_site / LIST / "index.html")
    links = [link.get("href") for part in page.classed("qt-facts") for link in part.all("a")]
    assert len(links) >= 35
    for link in links:
        address, _, anchor = link.partition("#")
        target = built_site / LIST / address / "index.html"
        assert target.is_file(), link
        assert not anchor or anchor in {one.get("id") for one in read_page(target).all()}, link


def test_it_is_found_from_how_it_was_checked_and_stands_in_no_menu(built_site: Path) -> None:
    for name in ("checked", "sources", "model"):
        links = [one.get("href") for one in read_page(built_site / name / "index.html").all("a")]
        assert f"../{LIST}/" in links, name
    first = read_page(built_site / "index.html")
    assert [one for nav in first.all("nav") for one in nav.all("a") if LIST in one.get("href")] == []


# The mechanism, by itself


def test_sentences_are_cut_and_the_mark_is_taken_off() -> None:
    text = f"One. Two more {FORM}, or three. Four. Five\n{FORM}."
    assert trade_facts.marked(text) == ["Two more, or three.", "Five."]
    assert trade_facts.marked("One (common practice).") == []


def test_code_is_read_whatever_record_would_show_it(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(
        f'"""A module."""\n\nMOST = 3\n"""No more {FORM}."""\n\n\ndef said(n: int) -> str:\n    """Say it {FORM}."""\n'
        f'    return f"At most {{n}} turns, "    "as a rule {FORM}." if n else "None."\n'
    )
    found = list(trade_facts._texts(module))
    assert (f"At most … turns, as a rule {FORM}.", "") in found
    assert (f"No more {FORM}.", "MOST") in found
    assert (f"Say it {FORM}.", "said") in found
    assert ("None.", "") in found


def test_pages_are_read_under_their_headings() -> None:
    text = (
        f"# T\n\nLead {FORM}.\n\n/// details | Fold\n    attrs: {{id: fold}}\nIn it {FORM}.\n\n- a\n- b {FORM}\n///\n\n"
    )
    text += f"| a | b |\n|---|---|\n| row | {WORDS} |\n"
    found = [(anchor, told) for anchor, _, told in trade_facts._read(text) if WORDS in told]
    assert found == [
        ("", f"Lead {FORM}."),
        ("fold", f"In it {FORM}."),
        ("fold", f"b {FORM}"),
        ("fold", f"row: {WORDS}"),
    ]
    assert trade_facts.marked(found[-1][1]) == ["row"]


def test_an_argument_that_is_not_known_ends_the_build() -> None:
    reader = Markdown(extensions=[HtmlBlockExtension(FactsBlock)])
    with pytest.raises(FactsError, match="the only list is “all”"):
        reader.convert("/// facts | some\n///")
    shown: Element = read_html(reader.convert("/// facts | all\n///"))
    assert len([one for part in shown.classed("qt-facts") for one in part.all("dt")]) == len(trade_facts.statements())
