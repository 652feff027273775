"""Bare pages: which there are, what they carry, where they must not stand, and who may frame what."""

from __future__ import annotations

import gzip
import json
import re
from typing import TYPE_CHECKING

import pytest

import bare_pages
import policy
from embed_block import EmbedBlock, EmbedError
from helpers.built_pages import Element, pages, read_html, read_page
from quarterturn.widgets.words import CAUTIONS
from web_server import headers_for, read_rules

if TYPE_CHECKING:
    from pathlib import Path

BARE = ("after", "before", "bow", "lessons", "load", "pocket", "practice", "safe-range", "set")
each = pytest.mark.parametrize("name", BARE)


def both(site: Path, name: str) -> tuple[Element, Element]:
    """A whole page and its bare one."""
    return read_page(site / name / "index.html"), read_page(site / name / "bare.html")


def shown(page: Element) -> str:
    """All words of a page's article."""
    (article,) = [one for one in page.all("article") if "md-content__inner" in one.get("class")]
    return article.whole_text


def test_these_pages_and_no_others_are_bare(built_site: Path) -> None:
    assert sorted(path.parent.name for path in built_site.rglob("bare.html")) == sorted(BARE)
    with_calculators = {path.parent for path in pages(built_site) if read_page(path).classed("qt-page--parts")}
    left_out = {(built_site / name.removesuffix("index.md").removesuffix(".md")) for name in bare_pages.WITHHELD}
    assert with_calculators == {built_site / name for name in BARE} | left_out


@each
def test_a_bare_page_has_all_of_the_page_and_nothing_around_it(built_site: Path, name: str) -> None:
    whole, bare = both(built_site, name)
    assert shown(bare) == shown(whole)
    (part,) = bare.classed("qt-page")
    (other,) = whole.classed("qt-page")
    assert part.attributes == other.attributes
    (rules,) = bare.classed("qt-rules")
    for caution in CAUTIONS:
        assert caution in rules.whole_text
    assert len(bare.classed("qt-rules-line")) == len(whole.classed("qt-rules-line"))
    for around in ("nav", "footer"):
        assert bare.all(around) == []
    for gone in ("md-header", "md-search", "md-tabs", "md-toggle", "md-option"):
        assert bare.classed(gone) == []
    scripts = [one.get("src") for one in bare.all("script") if one.get("src")]
    assert scripts == ["../assets/browser/bare.js", "../assets/browser/page.js"]


@each
def test_it_says_whence_it_is_and_is_no_page_to_a_search_engine(built_site: Path, name: str) -> None:
    bare = read_page(built_site / name / "bare.html")
    (line,) = bare.classed("qt-bare-from")
    assert line.whole_text == "From Quarter Turn: open the whole page"
    assert [one.get("href") for one in line.all("a")] == ["./"]
    assert [one.get("content") for one in bare.all("meta") if one.get("name") == "robots"] == ["noindex"]


@each
def test_links_open_a_tab_but_those_to_a_place_in_it(built_site: Path, name: str) -> None:
    bare = read_page(built_site / name / "bare.html")
    (base,) = bare.all("base")
    assert base.attributes == {"target": "_blank"}
    links = [one for one in bare.all("a") if one.get("href")]
    ids = {one.get("id") for one in bare.all()}
    for link in links:
        stays = link.get("href").startswith("#")
        assert link.get("target") == ("_self" if stays else ""), link.get("href")
        assert not link.get("href").startswith(f"../{name}/#")
        assert not stays or link.get("href")[1:] in ids, link.get("href")
    assert sum(link.get("target") == "_self" for link in links) >= 3


def test_an_answers_link_to_its_own_page_is_one_to_a_place() -> None:
    html = '<a href="../set/#plan">1</a><a class="x" href="#y">2</a><a href="../set/">3</a><a href="../bow/#z">4</a>'
    links = read_html(bare_pages.staying(html, "set")).all("a")
    assert [(one.get("href"), one.get("target")) for one in links] == [
        ("#plan", "_self"),
        ("#y", "_self"),
        ("../set/", ""),
        ("../bow/#z", ""),
    ]


def test_no_search_no_site_map_and_no_other_page_leads_there(built_site: Path) -> None:
    index = json.loads((built_site / "search" / "whole_index.json").read_text(encoding="utf-8"))
    assert [one["location"] for one in index["docs"] if "bare" in one["location"].partition("#")[0]] == []
    for path in built_site.glob("sitemap.xml*"):
        raw = path.read_bytes()
        assert b"bare.html" not in (gzip.decompress(raw) if path.suffix == ".gz" else raw)
    first = read_page(built_site / "clubs" / "index.html").all("option")[0].get("value")
    for path in pages(built_site):
        links = [one.get("href") for one in read_page(path).all("a") if "bare.html" in one.get("href")]
        # The clubs' page shows one; what is kept for use without signal is what a nav leads to.
        assert links == ([f"../{first}/bare.html"] if path.parent.name == "clubs" else []), path
    assert "bare" not in (built_site / "sw.js").read_text(encoding="utf-8")


def framing(site: Path, path: str) -> list[str]:
    """All policies of a path that say who may frame it."""
    rules = read_rules((site / "_headers").read_text(encoding="utf-8"))
    found = [value for name, value in headers_for(path, rules) if name == "Content-Security-Policy"]
    assert len(found) >= 1, path
    assert "default-src 'none'" in found[0]
    return [value for value in found if "frame-ancestors" in value]


def test_every_address_but_a_bare_pages_refuses_to_be_framed(built_site: Path) -> None:
    addresses = {"/", "/404", "/index"}
    for path in built_site.rglob("*"):
        if path.is_file() and path.name != "_headers":
            address = f"/{path.relative_to(built_site).as_posix()}"
            addresses |= {address, re.sub(r"/index\.html$", "/", address)}
    bare = {f"/{name}/bare.html" for name in BARE}
    assert bare < addresses
    for address in sorted(addresses):
        assert framing(built_site, address) == ([] if address in bare else ["frame-ancestors 'none'"]), address


def test_a_new_folder_is_closed_until_it_has_a_bare_page(tmp_path: Path) -> None:
    (tmp_path / "new" / "deep").mkdir(parents=True)
    for name in ("index.html", "x.js", "new/index.html", "new/deep/index.html"):
        (tmp_path / name).write_text("", encoding="utf-8")
    assert policy.unframed(tmp_path) == ["/", "/index.html", "/index", "/new/*", "/x.js"]
    (tmp_path / "new" / "bare.html").write_text("", encoding="utf-8")
    assert policy.unframed(tmp_path) == [
        "/", "/index.html", "/index", "/new/", "/new/deep/*", "/new/index.html", "/new/index", "/x.js",
    ]  # fmt: skip


def test_the_snippet_stands_there_without_a_script(built_site: Path) -> None:
    (block,) = read_page(built_site / "clubs" / "index.html").classed("qt-embed")
    options = [one.get("value") for one in block.all("select")[0].all("option")]
    assert sorted(options) == sorted(BARE)
    frame, script = ("".join(one.texts) for one in block.all("textarea"))
    (element,) = read_html(frame).all("iframe")
    assert element.get("src") == f"{block.get('data-site')}{options[0]}/bare.html"
    assert (element.get("loading"), element.get("width")) == ("lazy", "100%")
    assert int(element.get("height")) >= 400
    assert element.get("title")
    for checked in ("origin !==", "=== source"):
        assert checked in script


def test_another_argument_ends_the_build() -> None:
    with pytest.raises(EmbedError, match="must be “all”"):
        EmbedBlock.html(EmbedBlock.__new__(EmbedBlock), "some")
