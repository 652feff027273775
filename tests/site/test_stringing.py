"""How a bow is strung is told in one place; every step that asks for it leads there, and an answer's steps too.

What is told is common practice, no source. What is tested: that it is there to be read, in which order, in sentences
of at most 25 words (GOV.UK content design, M), and that no word of stringing is beside a bow that must stay unstrung.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from pypdfium2 import PdfDocument

from helpers import matrix
from helpers.asking import COMPLETE, STRUNG, Data
from helpers.built_pages import Element, read_html, read_page
from helpers.profiles import watched_page
from helpers.worksheet import Sheet
from places import ROOT
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Refusal, State, Steps
from quarterturn.widgets.render import BASE_MARK, render

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser

    from helpers.site import Watch
    from web_server import Server

DOCS = ROOT / "docs"
ON, OFF = "stringing", "unstringing"
DRAWN = ["string_loops", "stringer_on", "stringer_lift", "loops_seated", "string_line"]
PLACES = {f"{BASE_MARK}bow/#{place}" for place in (ON, OFF)}


@pytest.fixture(scope="module")
def folds(built_site: Path) -> dict[str, Element]:
    page = read_page(built_site / "bow" / "index.html")
    return {one.get("id"): one for one in page.all("details") if one.get("id") in (ON, OFF)}


def test_both_ways_are_folded_and_in_numbered_steps(folds: dict[str, Element]) -> None:
    assert list(folds) == [ON, OFF]
    assert [one.get("open") for one in folds.values()] == ["", ""]
    assert all("open" not in one.attributes for one in folds.values())
    assert [len(one.all("ol")[0].all("li")) for one in folds.values()] == [6, 5]


def test_each_drawing_is_in_the_step_that_it_shows(folds: dict[str, Element]) -> None:
    steps = folds[ON].all("ol")[0].all("li")
    assert [[one.get("id") for one in step.all("svg")] for step in steps] == [
        *([f"doing-{name}-figure"] for name in DRAWN),
        [],
    ]


def test_it_says_what_can_hurt(folds: dict[str, Element]) -> None:
    (box,) = folds[ON].classed("danger")
    said = " ".join(box.whole_text.split())
    for words in (
        "stay unstrung",
        "Never without a stringer",
        "Look first",
        "face clear",
        "Nobody is in front",
        "crack, a click or a lifted layer: stop",
    ):
        assert words in said
    assert "Never let go without an arrow" in folds[ON].whole_text
    assert [one.text for one in folds[OFF].all("ol")[0].all("li")[0].all("strong")] == ["Stringer on first,"]


def test_its_sentences_can_be_said_in_one_breath() -> None:
    text = (DOCS / "bow.md").read_text(encoding="utf-8")
    part = text[text.index("{ #string-on-off }") : text.index("## Measure it")]
    plain = re.sub(r"\]\([^)]*\)|[*\[\]]|^//.*$|^ *attrs:.*$", "", part, flags=re.M)
    sentences = [" ".join(each.split()) for each in re.split(r"(?<=[.!?:;])\s+", plain)]
    assert len(sentences) > 40
    assert [each for each in sentences if len(each.split()) > 25] == []


ASKS = re.compile(r"stringer|string off|\bstring (?:it|on|the bow)\b", re.I)
BLOCK = re.compile(r"^(?:/.*|    .*|#.*|description:.*)\n", re.M)
NO_STEP = re.compile(r"^String off before you turn ·|with the string off, a strip|Leave the string off")
"""The line of the rules above each page, and what asks for no hand."""


def test_every_step_that_asks_for_it_leads_there() -> None:
    for name in ("index", "before", "safe-range", "set", "after", "keep", "bow"):
        text = (DOCS / f"{name}.md").read_text(encoding="utf-8")
        if name == "bow":
            text = text[: text.index("## String on, string off")] + text[text.index("## Measure it") :]
        parts = re.split(r"\n(?=- |\d+\. |\n)", BLOCK.sub("\n", text))
        asking = [part for part in parts if ASKS.search(part) and not NO_STEP.search(part.strip())]
        assert asking, name
        assert [part for part in asking if not re.search(r"\((?:bow\.md)?#(?:un)?stringing\)", part)] == [], name


# Answers


RECORDS: dict[str, Data] = {
    "nothing entered": {"version": 1},
    "complete": COMPLETE,
    "a plan": COMPLETE | STRUNG | {"wanted_weight": 39, "planned_on": "2026-06-01"},
    "turns only": COMPLETE | {"wanted_weight": 39},
    "a turn": COMPLETE | STRUNG | {"upper_change": -0.5},
    **matrix.RECORDS,
}


def answers() -> Iterator[tuple[str, Answer]]:
    for name, record in RECORDS.items():
        for widget in WIDGETS.values():
            try:
                yield f"{widget.name}, {name}", widget.answer(Values(from_data(record).record))
            except Refusal:
                continue


def test_steps_of_answers_lead_there_too() -> None:
    found = 0
    for where, answer in answers():
        for block in answer.blocks:
            if not isinstance(block, Steps):
                continue
            led = {each.anchor for each in block.how}
            assert {each.page for each in block.how} <= {"bow"}
            said = " ".join(block.steps)
            on = re.search(r"(?<!not )\b[Ss]tring (?:it |the bow )?with the stringer|Lock, string\b", said)
            off = re.search(r"(?<!the )\b[Ss]tring off\b", said)
            assert not on or ON in led, (where, block.name, said)
            assert not off or OFF in led, (where, block.name, said)
            found += bool(on or off)
            if block.name == "way-back":
                assert ON not in led, where
                assert answer.state in (State.STOP, State.NO_WINDOW, State.ASK), where
    assert found > 20


def test_their_links_are_on_the_page_and_in_the_data() -> None:
    answer = WIDGETS["after"].answer(Values(from_data(RECORDS["a turn"]).record))
    html = read_html(render(answer))
    (line,) = html.classed("qt-how-to")
    assert {one.get("href") for one in line.all("a")} == PLACES
    steps = answer.as_data()["steps"]
    assert isinstance(steps, list)
    assert steps[0]["how"][0] == {"text": "String it, step by step", "page": "bow", "place": ON}


# In the browser


@pytest.mark.browser
@pytest.mark.parametrize("width", [390, 1280])
def test_a_link_opens_it(browser: Browser, server: Server, watch: Watch, width: int) -> None:
    with watched_page(browser, watch, viewport={"width": width, "height": 844}) as page:
        page.goto(f"{server.address}after/")
        Sheet(page, "after").settled()
        page.locator(f'.qt-how-to a[href$="bow/#{ON}"]').click()
        page.wait_for_url(f"**/bow/#{ON}")
        expect(page.locator(f"#{ON}")).to_have_attribute("open", "")
        expect(page.locator(f"#doing-{DRAWN[0]}-figure")).to_be_visible()
        expect(page.locator(f"#{OFF} li").first).not_to_be_visible()
        page.locator(f'#{ON} a[href="#{OFF}"]').click()
        expect(page.locator(f"#{OFF} li").first).to_be_visible()
    watch.check()


@pytest.mark.browser
def test_without_a_script_it_can_be_opened(browser: Browser, server: Server, watch: Watch) -> None:
    with watched_page(browser, watch, java_script_enabled=False) as page:
        page.goto(f"{server.address}bow/#{ON}")
        page.locator(f"#{ON} > summary").click()
        for name in DRAWN:
            expect(page.locator(f"#doing-{name}-figure")).to_be_visible()


@pytest.mark.browser
def test_it_can_be_taken_along_on_paper(browser: Browser, server: Server, watch: Watch) -> None:
    with watched_page(browser, watch) as page:
        page.goto(f"{server.address}bow/")
        Sheet(page, "tiller").settled()
        expect(page.locator('[data-act="print-reading"]')).to_be_visible()
        page.evaluate("document.documentElement.dataset.print = 'reading'")
        with PdfDocument(page.pdf(format="A4")) as document:
            text = " ".join("".join(one.get_textpage().get_text_range() for one in document).split())
    for words in (
        "Find the larger loop",
        "face clear",
        "Draw it part of the way",
        "Stringer on first",
        "Lower the bow",
    ):
        assert words in text
    watch.check()
