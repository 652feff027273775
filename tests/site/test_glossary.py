"""The list of words, and the links to it from the first use of each word on a page.

What should be linked is worked out here a second time (C), from the built pages and from words.md as text: the page is
cut into tokens and compared with the spellings token by token, without the extension's own patterns.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from markdown import Markdown
from playwright.sync_api import expect

from glossary import GlossaryError, GlossaryExtension, read_terms
from helpers.built_pages import pages, read_page
from helpers.profiles import watched_page
from moved_pages import MOVED
from places import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from helpers.site import Watch
    from web_server import Server

WORDS = (ROOT / "docs" / "words.md").read_text(encoding="utf-8")
ENTRY = re.compile(
    r'^(?P<shown>[^\n{]+) \{ #(?P<anchor>[\w-]+)(?: data-also="(?P<also>[^"]*)")? \}\n:   (?P<said>.+)$', re.M
)


@dataclass(frozen=True, slots=True)
class Entry:
    """A term as it stands in words.md."""

    anchor: str
    shown: str
    also: str
    said: str

    @property
    def spellings(self) -> list[str]:
        """All that counts as a use."""
        return [one.strip() for one in [*self.shown.split(","), *self.also.split("|")] if one.strip()]

    @property
    def plain(self) -> str:
        """The definition without its links."""
        return re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", self.said)


ENTRIES = [Entry(m["anchor"], m["shown"], m["also"] or "", m["said"]) for m in ENTRY.finditer(WORDS)]


# ---- the list ----


def test_every_entry_of_the_list_was_read() -> None:
    assert len(ENTRIES) >= 35
    assert len(ENTRIES) == len(re.findall(r"^:   ", WORDS, re.M)) == len(re.findall(r"\{ #", WORDS))
    assert [(term.anchor, list(term.spellings)) for term in read_terms(WORDS)] == [
        (entry.anchor, entry.spellings) for entry in ENTRIES
    ]


def test_terms_are_sorted_and_stand_once() -> None:
    shown = [entry.shown.casefold() for entry in ENTRIES]
    assert shown == sorted(shown)
    spellings = [spelling.casefold() for entry in ENTRIES for spelling in entry.spellings]
    assert len(spellings) == len(set(spellings))


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.anchor)
def test_definition_is_short_and_whole(entry: Entry) -> None:
    assert entry.plain.endswith(".")
    assert len(entry.plain.split()) <= 40
    assert entry.plain[0].isupper()
    links = re.findall(r"\]\(#([\w-]+)\)", entry.said)
    assert entry.anchor not in links
    assert len(links) == len(set(links))


@pytest.mark.parametrize(
    ("anchor", "caution"),
    [
        ("dry-fire", "Never do it"),
        ("limb-bolt", "never turned on a strung bow"),
        ("string", "no limb bolt and no lock is turned"),
        ("delamination", "not strung"),
        ("limb-twist", "not strung"),
        ("margin", "no proof of safety"),
        ("bow-scale", "cannot slip off: a slip is a dry-fire"),
        ("let-down", "without letting go"),
    ],
)
def test_dangerous_word_carries_its_caution(anchor: str, caution: str) -> None:
    (entry,) = [entry for entry in ENTRIES if entry.anchor == anchor]
    assert caution in entry.plain


# ---- the extension, by itself ----

LIST = """
limb { #limb data-also="limbs|limb's" }
:   A spring.

limb bolt, bolt { #limb-bolt data-also="limb bolts|bolts" }
:   A screw.

dry-fire { #dry-fire }
:   Never do it.

back of the limb { #back data-also="limb's back" }
:   A face.
"""


@pytest.fixture
def markdown(tmp_path: Path) -> Markdown:
    """Markdown with a small list of words of the test's own."""
    page = tmp_path / "words.md"
    page.write_text(LIST, encoding="utf-8")
    blocks = ["pymdownx.blocks.admonition", "pymdownx.blocks.details"]
    others = ["attr_list", "def_list", "tables", "toc", *blocks]
    return Markdown(extensions=[*others, GlossaryExtension(page)])


def linked(html: str) -> list[tuple[str, str]]:
    """The links to the list in a piece of HTML: anchor and words."""
    return re.findall(r'<a class="qt-word" href="/words\.md#([\w-]+)">([^<]*)</a>', html)


def test_first_use_is_linked_and_only_the_first(markdown: Markdown) -> None:
    html = markdown.convert("One limb, two limbs.\n\nA Limb bends.\n\n- a limb\n")
    assert html.startswith('<p>One <a class="qt-word" href="/words.md#limb">limb</a>, two limbs.</p>')
    assert html.count("<a ") == 1


def test_next_page_starts_anew(markdown: Markdown) -> None:
    assert linked(markdown.convert("A limb.")) == linked(markdown.reset().convert("A limb.")) == [("limb", "limb")]


@pytest.mark.parametrize(
    ("text", "links"),
    [
        ("The limb bolt of a limb.", [("limb-bolt", "limb bolt"), ("limb", "limb")]),
        ("The limb\nbolt, broken over two lines.", [("limb-bolt", "limb\nbolt")]),
        ("The back of the limb, the limb.", [("back", "back of the limb"), ("limb", "limb")]),
        ("The limb bolt, then a limb bolt. No other.", [("limb-bolt", "limb bolt")]),
        ("The limb's back, with either mark.", [("back", "limb's back")]),
        ("The limb’s back, with either mark.", [("back", "limb’s back")]),
    ],
)
def test_longest_term_wins(markdown: Markdown, text: str, links: list[tuple[str, str]]) -> None:
    assert linked(markdown.convert(text)) == links


@pytest.mark.parametrize(
    "text", ["LIMB", "Limbs", "*limb*", "**limb**.", "(limb)", "1. limb", "> limb", "limb: one", "limb\\*"]
)
def test_use_is_found(markdown: Markdown, text: str) -> None:
    assert [anchor for anchor, _ in linked(markdown.convert(text))] == ["limb"]


@pytest.mark.parametrize("text", ["climb", "limbo", "limb-tip", "up-limb", "limb_tip", "dry fire", "Never dry- fire"])
def test_part_of_another_word_is_no_use(markdown: Markdown, text: str) -> None:
    assert linked(markdown.convert(text)) == []


NOT_PROSE = [
    "# A limb",
    "## The **limb**",
    "[a limb](other.md)",
    "[**a limb**](other.md){ .md-button }",
    "`limb`",
    "    limb",
    "![limb](limb.png)",
    "| limb |\n|---|\n| . |",
    "limb\n:   What it is.",
    "/// note | The limb\nNothing.\n///",
    "/// details | The limb\nNothing.\n///",
    "**limb**{ data-turn=1 }",
    "The limb.\n{: data-turn=1 }",
    "The limb.\n{: .qt-widget }",
    "<div>A limb</div>",
    "Press <button>limb</button>.",
    "Press <button data-act='go'>the *limb* <b>limb</b> limb</button>.",
    'It is <span data-name="x"><span>a</span> limb</span>.',
    "It is <span class='a qt-widget'>limb</span>.",
    "It is <A HREF='x'>limb</A>.",
]


@pytest.mark.parametrize("text", NOT_PROSE)
def test_what_is_no_prose_is_left_alone_and_prose_behind_it_is_linked(markdown: Markdown, text: str) -> None:
    assert linked(markdown.convert(text)) == []
    assert linked(markdown.reset().convert(f"{text}\n\nThen a limb.")) == [("limb", "limb")]


@pytest.mark.parametrize("tag", ["<br>", "<b>", "<span class='name'>", "<input data-x='1'>"])
def test_tag_that_is_prose_or_holds_nothing_does_not_hide_a_use(markdown: Markdown, tag: str) -> None:
    assert linked(markdown.convert(f"Here {tag} limb.")) == [("limb", "limb")]


def test_text_behind_a_skipped_part_is_prose(markdown: Markdown) -> None:
    html = markdown.convert("Press <button>limb</button>, says the limb of *that* bolt `bolt`.")
    assert linked(html) == [("limb", "limb"), ("limb-bolt", "bolt")]
    assert re.sub("<[^>]*>", "", html) == "Press limb, says the limb of that bolt bolt."


def test_table_cells_are_prose_and_heads_are_not(markdown: Markdown) -> None:
    html = markdown.convert("| limb | bolt |\n|---|---|\n| limbs | x |")
    assert linked(html) == [("limb", "limbs")]


def test_the_list_itself_is_left_as_it_is(markdown: Markdown) -> None:
    assert linked(markdown.convert("A limb.\n" + LIST)) == []


def test_page_reads_the_same_with_and_without_the_links(markdown: Markdown) -> None:
    """Every page of the site, converted with and without the extension (C)."""
    plain = Markdown(extensions=["attr_list", "def_list", "tables", "toc"])
    with_links = Markdown(extensions=["attr_list", "def_list", "tables", "toc", GlossaryExtension()])
    for path in sorted((ROOT / "docs").glob("*.md")):
        text = path.read_text(encoding="utf-8")
        html = with_links.reset().convert(text)
        assert re.sub(r'<a class="qt-word"[^>]*>([^<]*)</a>', r"\1", html) == plain.reset().convert(text), path


def test_term_without_an_anchor_is_refused() -> None:
    with pytest.raises(GlossaryError, match="limb: the term needs an anchor"):
        read_terms("limb\n:   A spring.\n")


@pytest.mark.parametrize(
    "second", ["Limb { #other }", 'tip { #tip data-also="limb" }', 'tip { #tip data-also="LIMB" }']
)
def test_spelling_of_two_terms_is_refused(second: str) -> None:
    with pytest.raises(GlossaryError, match="stands twice"):
        read_terms(f"limb {{ #limb }}\n:   A spring.\n\n{second}\n:   Another.\n")


# ---- the built site ----

BARRIERS = {
    "a",
    "button",
    "code",
    "pre",
    "summary",
    "svg",
    "math",
    "th",
    "caption",
    "figcaption",
    "label",
    "legend",
    "dt",
}
BARRIERS |= {
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "script",
    "style",
    "select",
    "textarea",
    "title",
    "nav",
    "header",
    "footer",
}
EMPTY = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
WALL = "\0"


@dataclass(slots=True)
class Reader(HTMLParser):
    """A page's running prose as tokens, each with the anchor that it is linked to; a wall where prose is broken."""

    tokens: list[tuple[str, str]] = field(default_factory=list)
    strays: list[str] = field(default_factory=list)
    stack: list[tuple[str, str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        HTMLParser.__init__(self)

    def kind(self, tag: str, given: dict[str, str]) -> str:
        """What an element does: out of the article, in it, no prose, or a link to the list of words."""
        classes = given.get("class", "").split()
        if tag == "article":
            return "in" if "md-content__inner" in classes else "not"
        if "qt-page" in classes:
            return ""  # the frame around all words
        if "qt-word" in classes:
            return "word"
        carries = "qt-kinds" not in classes and any(name.startswith("data-") for name in given)
        special = {"admonition-title", "qt-place", "qt-widget", "qt-noscript", "qt-strip-place", "qt-try-head"} & set(
            classes
        )
        return "not" if tag in BARRIERS or special or carries else ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        kind = self.kind(tag, given)
        if kind == "word" and ("in" not in self.kinds or "not" in self.kinds):
            self.strays.append(given["href"])
        if kind != "word":
            self.tokens.append((WALL, ""))
        if tag not in EMPTY:
            self.stack.append((tag, kind, given.get("href", "")))

    def handle_endtag(self, tag: str) -> None:
        while self.stack:
            name, kind, _ = self.stack.pop()
            if kind != "word":
                self.tokens.append((WALL, ""))
            if name == tag:
                break

    def handle_data(self, data: str) -> None:
        if "in" in self.kinds and "not" not in self.kinds:
            anchor = next((href.split("#")[1] for _, kind, href in self.stack if kind == "word"), "")
            self.tokens += [(token, anchor) for token in cut(data)]

    @property
    def kinds(self) -> set[str]:
        """What the open elements do, the article and those inside it."""
        kinds = [kind for _, kind, _ in self.stack]
        return set(kinds[kinds.index("in") :]) if "in" in kinds else set()


def cut(text: str) -> list[str]:
    """Words with their hyphens, and single marks; small letters."""
    return re.findall(r"[\w-]+|[^\w\s-]", text.lower().replace("’", "'"))


def expected_links(tokens: list[str]) -> dict[int, tuple[str, int]]:
    """Where each term is first used: place -> anchor and number of tokens; the longest term at a place, each once."""
    known = {tuple(cut(spelling)): entry.anchor for entry in ENTRIES for spelling in entry.spellings}
    found: dict[int, tuple[str, int]] = {}
    at = 0
    while at < len(tokens):
        fits = [words for words in known if tuple(tokens[at : at + len(words)]) == words]
        longest = max(fits, key=lambda words: len(" ".join(words)), default=())
        if longest and known[longest] not in {anchor for anchor, _ in found.values()}:
            found[at] = (known[longest], len(longest))
        at += len(longest) or 1
    return found


def prose_pages(site: Path) -> list[Path]:
    """All pages but the list of words, the page for what is missing, and those that only lead on."""
    return [path for path in pages(site) if path.name != "404.html" and path.parent.name not in {"words", *MOVED}]


def read(path: Path) -> Reader:
    reader = Reader()
    reader.feed(path.read_text(encoding="utf-8"))
    reader.close()
    return reader


def test_first_uses_of_every_page_are_linked_and_nothing_else(built_site: Path) -> None:
    assert len(prose_pages(built_site)) >= 2
    for path in prose_pages(built_site):
        reader = read(path)
        wanted = expected_links([token for token, _ in reader.tokens])
        should = [""] * len(reader.tokens)
        for at, (anchor, length) in wanted.items():
            should[at : at + length] = [anchor] * length
        assert [anchor for _, anchor in reader.tokens] == should, path
        assert reader.strays == [], path
        assert len(wanted) == len(read_page(path).classed("qt-word")), path
        # Decisions speak of the code, some without a word of the trade.
        assert wanted or "decisions" in path.relative_to(built_site).parts, path


def test_pages_do_use_the_words(built_site: Path) -> None:
    links = {one.get("href") for one in read_page(built_site / "safe-range" / "index.html").classed("qt-word")}
    assert {"../words/#flush", "../words/#first-touch", "../words/#limb-bolt", "../words/#dry-fire"} <= links


def test_every_link_finds_its_word(built_site: Path) -> None:
    ids = [one.get("id") for one in read_page(built_site / "words" / "index.html").all() if one.get("id")]
    assert len(ids) == len(set(ids))
    terms = read_page(built_site / "words" / "index.html").all("dt")
    assert [term.get("id") for term in terms] == [entry.anchor for entry in ENTRIES]
    for path in prose_pages(built_site):
        for link in read_page(path).classed("qt-word"):
            where, anchor = link.get("href").split("#")
            assert (path.parent / where / "index.html").resolve() == (built_site / "words" / "index.html").resolve()
            assert anchor in ids


def test_list_links_to_itself_and_to_how_a_bow_is_strung(built_site: Path) -> None:
    page = read_page(built_site / "words" / "index.html")
    (listed,) = page.all("dl")
    links = [link.get("href") for link in listed.all("a")]
    out = [link for link in links if not link.startswith("#")]
    assert set(out) == {"../bow/#stringing"}  # what a word cannot tell: how it is done, in the one place that does
    assert {link.removeprefix("#") for link in links if link not in out} <= {entry.anchor for entry in ENTRIES}
    assert page.classed("qt-word") == []


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 390, 1280])
def test_list_fits_and_its_links_lead_to_the_word(
    browser: Browser, watch: Watch, server: Server, width: int, scheme: str
) -> None:
    options: dict[str, Any] = {
        "viewport": {"width": width, "height": 800},
        "color_scheme": scheme,
        "reduced_motion": "reduce",
    }
    with watched_page(browser, watch, **options) as page:
        page.goto(server.address + "safe-range/")
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        page.locator("a.qt-word", has_text="first touch").click()
        page.wait_for_url("**/words/#first-touch")
        term = page.locator("dt#first-touch")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        bar = page.locator(".md-header").bounding_box()
        box = term.bounding_box()
        assert bar is not None
        assert box is not None
        assert bar["y"] + bar["height"] <= box["y"] + 1 < 800


@pytest.mark.browser
def test_links_to_words_are_quiet_on_the_screen_and_not_seen_on_paper(
    browser: Browser, watch: Watch, server: Server
) -> None:
    style = "(link) => [getComputedStyle(link).color, getComputedStyle(link.parentElement).color,"
    style += " getComputedStyle(link).textDecorationLine, getComputedStyle(link).textDecorationStyle]"
    with watched_page(browser, watch) as page:
        page.goto(server.address)
        link = page.locator(".admonition.danger a.qt-word, p a.qt-word").first
        ink, around, line, kind = link.evaluate(style)
        assert (ink, line, kind) == (around, "underline", "dotted")
        page.emulate_media(media="print")
        expect(link).to_have_css("color", "rgb(0, 0, 0)")
        expect(link).to_have_css("text-decoration-line", "none")
