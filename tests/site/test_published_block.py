"""Published numbers on a page: every row of the list is there, and a row that does not agree ends the build.

The lists' numbers are held against the package in tests/mechanics/ (test_published_threads.py, test_bow_published.py);
here it is only asked whether the page shows them. How far apart two numbers are is worked out here a second time, in
whole numbers (C).
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from markdown import Markdown

import published_block
from helpers.budgets import fit
from helpers.built_pages import Element, read_html, read_page
from helpers.profiles import watched_page
from html_block import HtmlBlockExtension
from published import Row, Table, arrows, bolts, bow, limbs, pocket, readings, threads, trade
from published_block import LISTS, PublishedBlock, PublishedError

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

    from helpers.site import Watch
    from web_server import Server

ON_THE_PAGE = (
    *(pocket.ROWS, threads.ROWS, bolts.ROWS, bow.ROWS, limbs.ROWS),
    *(bow.COMPANY, trade.ROWS, arrows.ROWS, readings.ROWS),
)
ROWS = [row for rows in ON_THE_PAGE for row in rows]
BLOCK = "/// published | small\n///"
GOOD = Table("Widths", "Standard 1", "S2", "mm").row("first", "1.50", lambda: 1.5049)


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> list[Row]:
    """A list of the test's own, known to the block as `small`."""
    rows = [GOOD]
    monkeypatch.setitem(LISTS, "small", rows)
    return rows


def convert(text: str = BLOCK) -> str:
    return Markdown(extensions=[HtmlBlockExtension(PublishedBlock)]).convert(text)


def cells(row: Element) -> list[str]:
    """The cells' texts; the mark stands before the source."""
    return [" ".join([*(one.whole_text for one in cell.children), cell.text]).strip() for cell in row.children]


def shown_rows(part: Element) -> list[tuple[str, list[str], str]]:
    """Of each row: the table's caption, the cells, and the note under it."""
    found: list[tuple[str, list[str], str]] = []
    for table in part.all("table"):
        (caption,) = table.all("caption")
        (body,) = table.all("tbody")
        for row in body.children:
            if "qt-published-note" in row.get("class"):
                group, before, _ = found.pop()
                found.append((group, before, row.whole_text))
            else:
                found.append((caption.whole_text, cells(row), ""))
    return found


# ---- the block, by itself ----


@pytest.mark.usefixtures("small")
def test_a_row_is_shown_with_its_difference() -> None:
    page = read_html(convert())
    assert shown_rows(page) == [
        ("Widths", ["first", "1.50 mm", "1.505 mm", "+0.005", "±0.005", "S2 Standard 1"], ""),
    ]
    (head,) = page.all("thead")
    assert head.whole_text == "What Published Ours Apart Allowed Mark and source"


@pytest.mark.parametrize(
    ("printed", "last_place", "ours", "apart", "allowed"),
    [
        ("1.50", None, 1.4951, "−0.005", "±0.005"),
        ("1.50", None, 1.5, "0", "±0.005"),
        ("1.50", None, 1.5004, "0", "±0.005"),
        ("1.50", None, 1.5006, "+0.001", "±0.005"),
        ("0.0001", None, 0.00014, "+0.00004", "±0.00005"),
        ("11600", 100.0, 11649.0, "+49", "±50"),
        ("11600", 100.0, 11551.0, "−49", "±50"),
        ("800", None, 800.0, "0", "±0.5"),
    ],
)
def test_the_difference_is_that_of_the_digits_shown(
    small: list[Row], printed: str, last_place: float | None, ours: float, apart: str, allowed: str
) -> None:
    table = Table("Widths", "Standard 1", "S2", "mm")
    small[:] = [table.row("first", printed, lambda: ours, last_place=last_place)]
    ((_, shown, _),) = shown_rows(read_html(convert()))
    assert shown[3:5] == [apart, allowed]


def test_rows_of_a_group_stand_in_one_table_wherever_they_are_in_the_list(small: list[Row]) -> None:
    other = replace(GOOD, group="Lengths", remark="A note.")
    small[:] = [GOOD, other, replace(GOOD, what="second")]
    page = read_html(convert())
    assert [(group, shown[0], note) for group, shown, note in shown_rows(page)] == [
        ("Widths", "first", ""),
        ("Widths", "second", ""),
        ("Lengths", "first", "A note."),
    ]
    assert "3 numbers in 2 tables. By mark: 0 S, 3 S2, 0 M, 0 C." in page.whole_text
    ids = [one.get("id") for one in page.all() if one.get("id")]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("ours", [1.5051, 1.4949, 15.0, -1.5, float("nan"), float("inf")])
def test_a_row_that_does_not_agree_ends_the_build_and_is_named(small: list[Row], ours: float) -> None:
    small.append(replace(GOOD, what="second", computed=lambda: ours))
    with pytest.raises(PublishedError) as caught:
        convert()
    sentence = str(caught.value)
    assert "small: Widths: second: 1.50 mm is published and ours is" in sentence
    assert "±0.005 is allowed" in sentence


@pytest.mark.parametrize("name", ["smal", "Small", "threads.py", "__init__", "published"])
def test_an_unknown_list_ends_the_build_and_the_known_ones_are_named(small: list[Row], name: str) -> None:
    with pytest.raises(PublishedError, match=r"there are: pocket, threads, .*, readings, small"):
        convert(f"/// published | {name}\n///")


def test_an_empty_list_ends_the_build(small: list[Row]) -> None:
    small.clear()
    with pytest.raises(PublishedError):
        convert()


def test_a_mark_that_nobody_explains_ends_the_build(small: list[Row]) -> None:
    small.append(replace(GOOD, mark="S3"))
    with pytest.raises(PublishedError, match="'S3' is not explained"):
        convert()


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize("inside", ["Words.", "| a |\n|---|", "<b>x</b>"])
def test_nothing_may_stand_in_the_block(inside: str) -> None:
    with pytest.raises(PublishedError, match="nothing may stand between"):
        convert(f"/// published | small\n{inside}\n///")


TEXTS = ("group", "what", "unit", "source", "remark")
HOSTILE = "<script>alert(1)</script><b style='x' onclick=\"y\">&amp;"


@pytest.mark.parametrize("field", TEXTS)
def test_hostile_text_is_text(small: list[Row], field: str) -> None:
    texts = {name: str(getattr(GOOD, name)) for name in TEXTS} | {field: HOSTILE}
    table = Table(texts["group"], texts["source"], "S2", texts["unit"])
    small[:] = [table.row(texts["what"], "1.50", lambda: 1.5, remark=texts["remark"])]
    html = convert()
    page = read_html(html)
    assert not page.all("script")
    assert not page.all("b")
    assert not re.search(r"<[^>]*\s(style|on\w+)\s*=", html)
    assert HOSTILE in page.whole_text


def test_markdown_in_a_row_is_text(small: list[Row]) -> None:
    small[:] = [replace(GOOD, what="*first* [x](y) `z` _w_", source="# S")]
    ((_, shown, _),) = shown_rows(read_html(convert()))
    assert shown[0] == "*first* [x](y) `z` _w_"
    assert shown[5] == "S2 # S"


# ---- the built page ----


@pytest.fixture(scope="module")
def built(built_site: Path) -> Element:
    return read_page(built_site / "checked" / "index.html")


def test_every_row_of_the_list_is_on_the_built_page(built: Element) -> None:
    shown = {(group, row[0]): (row, note) for group, row, note in shown_rows(built)}
    assert len(shown) == len(shown_rows(built)) == len(ROWS) >= 290
    for row in ROWS:
        found, note = shown[row.group, row.what]
        assert found[1] == f"{row.printed} {row.unit}".strip()
        number, _, unit = found[2].partition(" ")
        assert (number, unit) == (row.ours(), row.unit)
        # The digits shown are the package's, to half a unit of the last of them.
        decimals = len(number.partition(".")[2])
        assert abs(float(number) - row.computed()) <= 0.5000001 * 10.0**-decimals
        assert found[5] == f"{row.mark} {row.source}"
        assert note == row.remark


def in_last_places(number: str, decimals: int) -> int:
    """A number as a count of units in that decimal place."""
    whole, _, part = number.replace("−", "-").lstrip("+±").partition(".")
    sign = -1 if whole.startswith("-") else 1
    return sign * int(whole.lstrip("-") + part.ljust(decimals, "0"))


def test_every_difference_can_be_checked_by_the_reader_and_is_allowed(built: Element) -> None:
    decimals = 14
    for _, row, _ in shown_rows(built):
        published, ours = row[1].split()[0], row[2].split()[0]
        apart = in_last_places(row[3], decimals)
        assert apart == in_last_places(ours, decimals) - in_last_places(published, decimals), row
        assert abs(apart) <= in_last_places(row[4], decimals), row
        assert row[4].startswith("±")
        assert row[3] == "0" or row[3][0] in "+−", row


def test_wide_rows_are_those_with_a_note(built: Element) -> None:
    """More than half a unit in the last digit printed (of a proof load: of a hundred) needs a note."""
    for group, row, note in shown_rows(built):
        decimals = len(row[1].split()[0].partition(".")[2])
        half = 50 if group == "Proof load" else 0.5 * 10.0**-decimals
        assert float(row[4].lstrip("±")) <= half * 1.000001 or note, row


def test_tables_are_named_reached_by_keyboard_and_have_heads(built: Element) -> None:
    boxes = built.classed("qt-published")
    assert len(boxes) == len({row.group for row in ROWS}) == len(built.all("table"))
    assert [box.all("caption")[0].whole_text for box in boxes] == list(dict.fromkeys(row.group for row in ROWS))
    ids = [one.get("id") for one in built.all() if one.get("id")]
    assert len(ids) == len(set(ids))
    for box in boxes:
        assert (box.get("role"), box.get("tabindex")) == ("region", "0")
        (caption,) = box.all("caption")
        assert box.get("aria-labelledby") == caption.get("id") != ""
        (head,) = box.all("thead")
        assert {one.get("scope") for one in head.all("th")} == {"col"}
        (body,) = box.all("tbody")
        for row, above in zip(body.children, [None, *body.children], strict=False):
            if "qt-published-note" in row.get("class"):
                (note,) = row.children
                assert above is not None
                assert note.get("headers") == above.children[0].get("id") != ""
                assert note.get("colspan") == str(len(head.all("th")))
            else:
                assert len(row.children) == len(head.all("th"))
                assert (row.children[0].name, row.children[0].get("scope")) == ("th", "row")
                assert {one.name for one in row.children[1:]} == {"td"}


def test_every_mark_is_explained_once_and_counted(built: Element) -> None:
    starts = [item.all("strong")[0].whole_text for item in built.all("li") if item.all("strong")]
    explained = [start for start in starts if start in published_block.MARKS]
    assert explained == list(published_block.MARKS)
    for rows in ON_THE_PAGE:
        counts = Counter(row.mark for row in rows)
        told = f"{len(rows)} numbers in {len({row.group for row in rows})} tables. By mark: "
        told += ", ".join(f"{counts[mark]} {mark}" for mark in explained)
        assert told in built.whole_text


def test_the_page_shows_every_list_there_is(built: Element) -> None:
    assert list(LISTS.values()) == list(ON_THE_PAGE)
    for name in LISTS:
        assert [one for one in built.classed("qt-published") if one.get("id") == f"published-{name}-1"]


def test_no_style_attributes(built: Element) -> None:
    (article,) = built.all("article")
    assert [one.name for one in article.all() if "style" in one.attributes] == []


@pytest.mark.browser
def test_tables_scroll_in_their_own_box_and_print_whole(browser: Browser, watch: Watch, server: Server) -> None:
    with watched_page(browser, watch, reduced_motion="reduce") as page:
        page.goto(server.address + "checked/")
        for width in (320, 390, 1280):
            fit(page, width)
        page.set_viewport_size({"width": 390, "height": 800})
        box = page.locator("#published-threads-1")
        box.focus()
        page.keyboard.press("ArrowRight")
        pushed = "(one) => one.scrollLeft"
        for _ in range(100):
            if box.evaluate(pushed) > 0:
                break
            page.wait_for_timeout(50)
        assert box.evaluate(pushed) > 0
        # What the row is about stays in sight.
        left = "(one) => one.getBoundingClientRect().left"
        assert page.locator("#published-threads-1-1").evaluate(left) >= box.evaluate(left)
        # On A4, 190 mm between the margins: no table is wider than the paper.
        page.emulate_media(media="print")
        page.set_viewport_size({"width": 718, "height": 1000})
        widest = "() => Math.max(...[...document.querySelectorAll('.qt-published table')].map((t) => t.scrollWidth))"
        assert page.evaluate(widest) <= 718
        assert page.locator(".qt-published").count() == page.locator(".qt-published:visible").count()
