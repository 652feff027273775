"""On paper: the sheet (two pages of A4, every entry, verdict, cautions), blank steps, the reading."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from pypdfium2 import PdfDocument

from helpers import codes
from helpers.asking import COMPLETE, STRUNG, answered, changed
from helpers.worksheet import as_entered, open_own
from quarterturn import units
from quarterturn.record import link
from quarterturn.record.field_types import ChoiceField, NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.widgets.answer import Answer, State
from quarterturn.widgets.render import BADGES
from quarterturn.widgets.words import CAUTIONS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from helpers.worksheet import Record, Sheet
    from web_server import Server

pytestmark = pytest.mark.browser

GO: Record = changed(
    COMPLETE,
    bow_name="Club bow 3",
    strip_thickness={"typed": "0.0043", "unit": "in"},
    upper_rim_to_butt={"typed": "2,75", "unit": "mm"},
    upper_height_zero={"typed": "6.1", "unit": "mm"},
)
RECORDS: dict[str, Record] = {
    "empty": {"version": 1},
    "go": GO,
    "stop": changed(GO, lower_now_turns=11.875),
}
STATES = {"empty": State.EXAMPLE, "go": State.GO, "stop": State.STOP}

WITHOUT_NEWS = """document.querySelector(".qt-page").outerHTML.replace(/<p class="qt-status.*?<[/]p>/, "")"""
"""All of the page but what is said to a screen reader, which may come a little later."""


@dataclass(frozen=True, slots=True)
class Printed:
    pages: int
    text: str
    answer: Answer
    record: Record


def bare(text: str) -> str:
    """Text without blanks: where a line is broken is the printer's business."""
    return re.sub(r"\s+", "", text)


def printed(page: Page, server: Server, name: str) -> Iterator[Printed]:
    """One page's sheet, from light colours and from dark ones."""
    sheet = open_own(page, server, RECORDS[name])
    record = {key: entry for key, entry in RECORDS[name].items() if key in {"version", *sheet.fields()}}
    assert sheet.state() == STATES[name]
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
        body = page.locator(f"body[data-md-color-scheme={'slate' if scheme == 'dark' else 'default'}]")
        body.wait_for(state="attached")
        pages, text = on_paper(sheet)
        yield Printed(pages, text, answered(as_entered(RECORDS[name])), record)


def on_paper(sheet: Sheet, kind: str = "sheet") -> tuple[int, str]:
    """How many pages of A4 one of the page's prints has, and what is read on them, without blanks."""
    before = sheet.page.evaluate(WITHOUT_NEWS)
    if kind != "sheet":  # a sheet is what the browser's own menu prints too
        sheet.page.evaluate("(kind) => { document.documentElement.dataset.print = kind }", kind)
    content = sheet.page.pdf(format="A4", print_background=True)
    # Whatever was done for the print is undone.
    assert sheet.page.evaluate(WITHOUT_NEWS) == before
    assert sheet.page.evaluate("document.documentElement.dataset.print ?? null") is None
    with PdfDocument(content) as document:
        text = "\n".join(page.get_textpage().get_text_range() for page in document)
        return len(document), bare(text)


def entries(record: Record) -> list[str]:
    """What must be read for each entry: the words of a choice, what was typed with its unit, a text."""
    wanted = []
    for name, entry in record.items():
        if name == "version":
            continue
        field = BY_NAME[name]
        typed = str(entry["typed"] if isinstance(entry, dict) else entry)
        if isinstance(field, ChoiceField):
            wanted.append(next(option.label for option in field.options if option.value == typed))
        elif isinstance(field, NumberField):
            unit = entry["unit"] if isinstance(entry, dict) else field.unit
            wanted.append(f"{typed} {units.unit(unit).symbol}")
        else:
            wanted.append(typed)
    return wanted


@pytest.mark.parametrize("name", RECORDS)
def test_it_fits_two_pages_and_holds_everything(page: Page, server: Server, name: str) -> None:
    for paper in printed(page, server, name):
        assert bare(paper.answer.title) in paper.text
        assert bare(paper.answer.verdict) in paper.text
        missing = [words for words in [*entries(paper.record), *CAUTIONS] if bare(words) not in paper.text]
        assert missing == []
        # Every value with its unit, as the answer shows it.
        values = paper.answer.all_values()
        assert [value.name for value in values if bare(value.text) not in paper.text] == []
        assert paper.pages <= 2


def test_it_is_dark_on_white_from_dark_colours_too(page: Page, server: Server) -> None:
    sheet = open_own(page, server, GO)
    sheet.page.emulate_media(color_scheme="dark", media="print")
    colours = sheet.page.evaluate(
        """() => [...document.querySelectorAll(".qt-verdict-title, .qt-verdict-text, .qt-page dd, .qt-page li")]
          .filter((one) => one.checkVisibility()).map((one) => getComputedStyle(one).color)"""
    )
    background = sheet.page.evaluate("getComputedStyle(document.body).backgroundColor")
    sheet.page.emulate_media(color_scheme="light", media="null")
    assert background in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)")
    assert len(colours) > 20
    for colour in set(colours):
        red, green, blue = (float(part) for part in re.findall(r"[\d.]+", colour)[:3])
        assert red + green + blue < 3 * 128, colour


def test_blank_steps_have_a_line_for_each_box_of_both_bolts_and_nobodys_result(page: Page, server: Server) -> None:
    sheet = open_own(page, server, GO)
    pages, text = on_paper(sheet, "steps")
    assert pages <= 3
    for words in ("Find first touch", "Upper bolt: first touch", "Lower bolt: first touch", *CAUTIONS):
        assert bare(words) in text
    asked = [name for name in sheet.fields() if name.startswith(("upper_", "lower_"))]
    assert text.count("__________") >= len([name for name in asked if isinstance(BY_NAME[name], NumberField)])
    for words in ("it is at 2½", "5.25", "2,75", BADGES[State.GO]):
        assert bare(words) not in text


def test_the_button_prints_a_code_that_opens_the_bow(page: Page, server: Server) -> None:
    sheet = open_own(page, server, GO)
    page.evaluate("() => { window.print = () => { window.asked = document.documentElement.dataset.print } }")
    sheet.tool("print").click()
    page.wait_for_function("() => window.asked === 'sheet'")
    paper = page.pdf(format="A4", print_background=True)
    with PdfDocument(paper) as document:
        assert len(document) <= 2
        found = [
            words
            for one in document
            for words in codes.read(codes.grey(one.render(scale=6, rev_byteorder=True).to_numpy().copy()))
        ]
    (address,) = found
    assert address.startswith(f"{server.address}#")
    opened = link.from_fragment(address.partition("#")[2]).record.canonical()
    assert opened == from_data(as_entered(GO)).record.canonical()


def test_the_steps_of_a_plan_are_blank_too(page: Page, server: Server) -> None:
    """Nobody's plan: the step in words, with lines to write on; one's own plan adds what to expect."""
    sheet = open_own(page, server, {"version": 1}, "set/")
    pages, text = on_paper(sheet, "steps")
    assert pages == 1
    assert bare("Turn the upper bolt ________ turn in / out") in text
    assert bare("Expect") not in text
    sheet = open_own(page, server, GO | STRUNG | {"wanted_weight": "39"}, "set/")
    pages, text = on_paper(sheet, "steps")
    assert pages == 1
    assert bare("The steps that are left") in text
    assert bare("Turn the upper bolt ________ turn in / out") in text
    for words in CAUTIONS:
        assert bare(words) in text
    assert not sheet.page.locator('[data-spot="carry-out/blank-step"]').is_visible()


def test_the_reading_is_the_words_with_their_pictures_and_experiments(page: Page, server: Server) -> None:
    sheet = open_own(page, server, GO, "pocket/")
    pages, text = on_paper(sheet, "reading")
    assert pages <= 6
    lead = sheet.page.locator(".lead").first
    assert not lead.is_visible()  # on the screen what is known of the bow has its place
    for words in (lead.text_content() or "", *CAUTIONS):
        assert bare(words) in text
    for one in sheet.page.locator(".qt-try-title").all():
        assert bare(one.text_content() or "-") in text
    assert bare(sheet.headline.text_content() or "-") not in text
    assert bare("Copy a link") not in text


def test_without_a_script_the_page_prints_as_it_is_read(browser: Browser, server: Server) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(f"{server.address}load/")
        with PdfDocument(page.pdf(format="A4")) as document:
            text = bare("".join(one.get_textpage().get_text_range() for one in document))
    assert bare("Where the force comes from") in text
    assert bare("You can read and print everything") not in text  # that is for the screen
    assert all(bare(words) in text for words in CAUTIONS)


@pytest.mark.parametrize("kind", ["flat", "stop", "swivel"])
def test_one_sheet_to_write_on_is_one_page(page: Page, server: Server, kind: str) -> None:
    """The rules and what is read, with lines; no number of the example, and one side of A4."""
    open_own(page, server, {"bolt_family": kind})
    page.evaluate("document.documentElement.dataset.print = 'bench'")
    made = PdfDocument(page.pdf(format="A4", prefer_css_page_size=True))
    assert len(made) == 1
    words = made[0].get_textpage().get_text_range()
    assert "The rules" in words
    assert "One sheet" in words
    assert "Draw weight" in words
    assert "Set to, turns out" in words
    assert not re.search(r"\d+\.\d", words)
