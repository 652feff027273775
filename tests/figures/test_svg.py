"""The builder of SVG."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarterturn.figures import svg
from quarterturn.figures.svg import element, number
from quarterturn.markup import escape


@given(st.text())
def test_any_text_survives_as_text_and_as_attribute(words: str) -> None:
    markup = element("text", words, data_words=words).markup
    parsed = ElementTree.fromstring(markup)
    assert not list(parsed)
    if words.isprintable():  # spaces of other kinds are folded by XML, forbidden characters are replaced
        assert (parsed.text or "") == words
        assert parsed.attrib["data-words"] == words


def test_markup_in_text_is_not_markup() -> None:
    assert escape("<script>\"&'") == "&lt;script&gt;&quot;&amp;&#39;"
    assert "<script" not in svg.picture("n", "<script>", "</svg><script>", 1, 1, [], prefix="p").svg


def test_forbidden_characters_are_replaced() -> None:
    assert escape("a\x00b\x1fc\ud800d\uffffe") == "a\ufffdb\ufffdc\ufffdd\ufffde"


def test_attributes_come_in_one_order() -> None:
    one = element("g", id="i", class_="c", zeta="1", alpha="2", x=1.0)
    other = element("g", x=1.0, alpha="2", zeta="1", class_="c", id="i")
    assert one.markup == other.markup == '<g id="i" class="c" x="1" alpha="2" zeta="1"/>'


@pytest.mark.parametrize(
    ("value", "said"), [(1.0, "1"), (-0.0, "0"), (-0.0004, "0"), (-1.5, "-1.5"), (0.1 + 0.2, "0.3")]
)
def test_numbers(value: float, said: str) -> None:
    assert number(value) == said


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        number(value)


@pytest.mark.parametrize("name", ["style", "onclick", "onload"])
def test_style_and_script_attributes_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="not allowed"):
        element("g", **{name: "x"})


def test_words_are_cut_to_the_room_there_is() -> None:
    words = svg.shortened("the maker's own outer limit", 80, 12)
    assert words.endswith("…")
    assert svg.text_width(words, 12) <= 80
    assert svg.shortened("short", 80, 12) == "short"
