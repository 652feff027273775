"""Parts of a page for some kinds of bow only: their condition, and a kind that is none (issue 18)."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest
from markdown import Markdown

import part_blocks
from helpers.built_pages import Element, read_page
from html_block import HtmlBlockExtension
from page_parts import PageParts, PartError
from quarterturn.bench.family import FAMILIES

if TYPE_CHECKING:
    from pathlib import Path


def made(kinds: str) -> str:
    """The block as HTML."""
    part_blocks.CURRENT.append(PageParts("index.md"))
    try:
        return Markdown(extensions=[HtmlBlockExtension(part_blocks.KindsBlock)]).convert(
            f"/// kinds | {kinds}\nSome *words*.\n///"
        )
    finally:
        part_blocks.CURRENT.pop()


def test_words_stand_there_for_their_kinds_and_before_one_is_chosen_for_a_flat_head() -> None:
    assert 'data-when="bolt_family=two|fixed"' in made("two, fixed")
    assert 'data-when="bolt_family=flat|stop|"' in made("flat, stop")
    assert "<p>Some <em>words</em>.</p>" in made("two")


def test_a_kind_that_is_none_ends_the_build() -> None:
    with pytest.raises(PartError, match="no kind of bolt is called flatt"):
        made("flatt, stop")


def kinds_of(part: Element) -> set[str]:
    return set(part.get("data-when").partition("=")[2].split("|")) - {""}


def test_every_kind_is_led_by_the_pages_of_the_bench(built_site: Path) -> None:
    """Each kind is left out of some part, or is a bow that is turned: none is forgotten by all."""
    turned = {name for name, family in FAMILIES.items() if not family.alone}
    for name in ("safe-range", "set"):
        parts = read_page(built_site / name / "index.html").classed("qt-kinds")
        within = [inner for part in parts for inner in part.classed("qt-kinds")]
        outer = [part for part in parts if not any(part is one for one in within)]
        assert outer
        assert [kinds_of(part) for part in outer] == [turned] * len(outer)
        # Where words differ from kind to kind, each kind has some, in each place once.
        told = Counter(kind for part in within for kind in kinds_of(part))
        assert set(told) == (turned if within else set()), name
        assert len(set(told.values())) <= 1, name
