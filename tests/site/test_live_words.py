"""Numbers in the pages' words: the build holds them against the package and ends where one differs.

The numbers looked for are those of model.md section 1 (C): 0.42, 0.33 and 0.09 turn for the default bow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

import live_words
import site_hooks
from drawings import form_drawings
from helpers.asking import answered, texts
from helpers.built_pages import Element, pages, read_page
from helpers.nav import page_names
from live_words import LiveWordError
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Way

if TYPE_CHECKING:
    from pathlib import Path


def said(live: str, text: str) -> str:
    return f'<p>It is <em data-live="{live}">{text}</em> here.</p>'


KNOWN = [
    ("paper/flush_outside", "0.42 turn"),
    ("paper/flush_inside", "0.33 turn"),
    ("pocket/touch_outside", "0.09 turn"),
    ("safe-range/flush_outside", "0.42 turn"),
    ("inspection/unchecked", "20 of 20"),
]


@pytest.mark.parametrize(("live", "text"), KNOWN)
def test_a_right_number_passes(live: str, text: str) -> None:
    live_words.check("a page", said(live, text))
    live_words.check("a page", f'<em class="x" data-live="{live}" id="y">{text}</em>')


@pytest.mark.parametrize(("live", "text"), KNOWN)
@pytest.mark.parametrize("wrong", ["0.43 turn", "0.42 turns", "0.42", "", "0,42 turn", "19 of 20", " 0.42 turn"])
def test_a_wrong_number_ends_the_build_and_says_which(live: str, text: str, wrong: str) -> None:
    with pytest.raises(LiveWordError) as caught:
        live_words.check("paper/", said(live, wrong))
    sentence = str(caught.value)
    assert "paper/" in sentence
    assert live in sentence
    assert text in sentence
    assert repr(wrong) in sentence


def test_one_wrong_number_among_right_ones_is_found() -> None:
    right = said("paper/flush_outside", "0.42 turn")
    with pytest.raises(LiveWordError, match="flush_inside"):
        live_words.check("a page", right + right + said("paper/flush_inside", "0.42 turn") + right)


def test_an_unknown_name_ends_the_build_and_says_what_there_is() -> None:
    with pytest.raises(LiveWordError, match="names no value") as caught:
        live_words.check("pocket/", said("paper/flush_outsid", "0.42 turn"))
    assert "flush_outside, flush_inside, flush_both" in str(caught.value)


@pytest.mark.parametrize("live", ["papers/flush_outside", "/flush_outside", "flush_outside", ""])
def test_an_unknown_widget_ends_the_build(live: str) -> None:
    with pytest.raises(LiveWordError, match="names no value"):
        live_words.check("pocket/", said(live, "0.42 turn"))


def test_signs_that_html_writes_otherwise_are_read_as_they_are_shown() -> None:
    number = texts(answered({}, "pocket"))["contact_x"]
    assert number.startswith("−")
    live_words.check("a page", said("pocket/contact_x", number.replace("−", "&#8722;")))


def test_a_page_without_such_numbers_passes() -> None:
    live_words.check("words/", "<p>0.43 turn, and data-live is only a word here.</p>")


THEMES_SEARCH = "assets/javascripts/workers/search.0a1b2c3d.min.js"


def test_the_hook_ends_the_build(monkeypatch: pytest.MonkeyPatch) -> None:
    """What mkdocs calls for each page calls the check: a wrong number does not get past it."""

    class OnePage:
        url = "paper/"

    monkeypatch.setattr(site_hooks, "_NAMED", {})
    page = f'"search": "../{THEMES_SEARCH}" {said("paper/flush_outside", "0.41 turn")}'
    with pytest.raises(LiveWordError):
        site_hooks.on_post_page(page, OnePage(), None)  # type: ignore[arg-type]


def test_a_theme_that_names_its_search_in_another_way_ends_the_build(monkeypatch: pytest.MonkeyPatch) -> None:
    class OnePage:
        url = "paper/"

    monkeypatch.setattr(site_hooks, "_NAMED", {})
    with pytest.raises(site_hooks.ThemeChangedError, match="search"):
        site_hooks.on_post_page('"search": "../assets/search.js"', OnePage(), None)  # type: ignore[arg-type]


# The built pages


@pytest.fixture(scope="module")
def built(built_site: Path) -> dict[str, Element]:
    return {path.parent.relative_to(built_site).as_posix(): read_page(path) for path in pages(built_site)}


def test_every_number_on_the_built_pages_is_what_the_widget_answers(built: dict[str, Element]) -> None:
    found: dict[str, int] = {}
    for name, page in built.items():
        for place in page.all():
            if "data-live" not in place.attributes:
                continue
            widget, _, value = place.get("data-live").partition("/")
            told = " ".join(texts(answered({}, widget))[value].split())  # a space that does not break is one too
            assert " ".join(place.whole_text.split()) == told, (name, value)
            found[name] = found.get(name, 0) + 1
    assert found["pocket"] >= 5
    assert found["load"] >= 5
    assert found["safe-range"] >= 2
    assert sum(found.values()) >= 20


def test_every_number_in_the_words_stands_among_the_answers_of_its_page_too(built: dict[str, Element]) -> None:
    """So it follows the reader's bow, and its sentence speaks of no example: that is added where it is one."""
    for name, page in built.items():
        figures = {one.get("id") for one in page.all()}
        for place in page.all():
            if "data-live" not in place.attributes:
                continue
            live = place.get("data-live")
            assert f"v-{live.replace('/', '-')}-figure" in figures, (name, live)
            assert place.parent is not None
            assert "in the example" not in place.parent.whole_text, (name, live)


def test_every_stage_of_a_way_leads_to_a_place_on_a_built_page(built: dict[str, Element]) -> None:
    """Pages of the navigation, and ids as the browser finds them."""
    records: tuple[dict[str, str], ...] = (
        {},
        {"bolt_family": "clamp"},
        {"bolt_family": "swivel"},
        {"limb_cracks": "fault"},
    )
    stages = [
        stage
        for record in records
        for widget in WIDGETS
        for block in answered(record, widget).blocks
        if isinstance(block, Way)
        for stage in block.stages
    ]
    assert len({(stage.page, stage.anchor) for stage in stages}) >= 6
    for stage in stages:
        assert stage.page in page_names(), stage
        page = built[stage.page.rstrip("/") or "."]
        assert not stage.anchor or stage.anchor in {one.get("id") for one in page.all()}, stage


def test_every_link_of_a_way_on_the_built_pages_leads_somewhere(built: dict[str, Element], built_site: Path) -> None:
    links = [
        (name, link.get("href")) for name, page in built.items()
        for stage in page.classed("qt-stage-of-way") for link in stage.all("a")
    ]  # fmt: skip
    assert len(links) >= 5
    for name, href in links:
        assert "@" not in href
        address, _, anchor = href.partition("#")
        target = (built_site / name / address).resolve()
        assert (target / "index.html").is_file(), href
        ids = {one.get("id") for one in read_page(target / "index.html").all()}
        assert not anchor or anchor in ids, href


def test_every_drawing_of_a_form_stands_in_it(built: dict[str, Element]) -> None:
    """The picture stands at its question, or at its answer (issue 3, items 1 and 2)."""
    for widget, name in (("start", "."), ("inspection", "before")):
        drawings = form_drawings(widget)
        assert drawings
        page = built[name]
        ids = [one.get("id") for one in page.all()]
        assert len(ids) == len(set(ids)) + ids.count("") - ("" in ids)
        for key, picture in drawings.items():
            field, _, option = key.partition("=")
            (place,) = [one for one in page.all() if one.get("id") == f"field-{field}"]
            if option:
                (radio,) = [one for one in place.all("input") if one.get("value") == option]
                assert radio.parent is not None
                place = radio.parent
            titles = [one.whole_text for one in place.all("title")]
            assert titles == [picture.title]
