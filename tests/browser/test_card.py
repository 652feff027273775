"""The setup card on paper and on a screen: its sheet's size, one sheet, and a code that a reader of codes reads.

Sizes: A6 is ISO 216's 105 by 148 mm (M), an index card 3 by 5 inches; Chromium rounds a sheet to a quarter of a
millimetre. PDFs are read by PDFium, codes by zxing-cpp.
"""

from __future__ import annotations

import base64
import json
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from playwright.sync_api import expect
from pypdfium2 import PdfDocument

from helpers import codes
from helpers.asking import COMPLETE, LOOKED_OVER, changed
from helpers.axe import findings
from helpers.profiles import watched_page
from helpers.site import Watch
from helpers.worksheet import TODAY, Sheet, as_entered, look_over_again, open_own, open_sheet
from quarterturn.record import link
from quarterturn.record.parsing import from_data
from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from helpers.worksheet import Record
    from web_server import Server

pytestmark = pytest.mark.browser

MILLIMETRES = 25.4 / 72
PAPER = {"a6": (148.0, 105.0), "index": (127.0, 76.2)}
WHOLE: Record = (
    COMPLETE
    | LOOKED_OVER
    | {
        "bow_name": "Club <b>bow</b> 3",
        "riser_name": "blue & red",
        "limbs_name": "medium",
        "set_by": "A. Example",
        "set_on": "2026-05-03",
        "draw_weight": 38,
        "draw_length": 28,
        "upper_tiller": 179,
        "lower_tiller": 175,
        "brace_height": 222,
        "string_length": 1645,
        "string_twists": 20,
    }
)
STOPPED: Record = changed(WHOLE, limb_cracks="fault")


@pytest.fixture(scope="module")
def shared_card(browser: Browser, server: Server) -> Iterator[tuple[Sheet, Watch]]:
    """The card of WHOLE, ready, and the watch over its page: for tests that only look at it."""
    watch = Watch()
    with watched_page(browser, watch) as page:
        yield opened(page, server, WHOLE), watch


@pytest.fixture
def ready(shared_card: tuple[Sheet, Watch]) -> Iterator[Sheet]:
    """That card, in its usual size on a usual screen; its faults fail the test that has it."""
    sheet, watch = shared_card
    sheet.page.set_viewport_size({"width": 1280, "height": 720})
    sheet.page.emulate_media(color_scheme="light")
    choose(sheet, "a6")
    yield sheet
    try:
        watch.check()
    finally:
        watch.faults.clear()


def opened(page: Page, server: Server, record: Record) -> Sheet:
    """The card's page with a bow that the reader entered."""
    sheet = open_own(page, server, record, "keep/")
    expect(page.locator("#card-sheet-a6-figure, #card-sheet-index-figure")).to_be_visible()
    return sheet


def choose(sheet: Sheet, size: str) -> None:
    sheet.choose("card_size", size)
    sheet.settled()
    expect(sheet.page.locator(f"#card-sheet-{size}-figure")).to_be_visible()


class Printed:
    """A print: its sheets in mm, its words, and the first sheet as greys, at so many dots a millimetre."""

    DOTS = 12.0

    def __init__(self, content: bytes) -> None:
        with PdfDocument(content) as document:
            self.sheets = [tuple(side * MILLIMETRES for side in page.get_size()) for page in document]
            self.words = "".join(page.get_textpage().get_text_range() for page in document)
            image = document[0].render(scale=self.DOTS * MILLIMETRES, rev_byteorder=True)
            self.image = codes.grey(image.to_numpy().copy())

    @property
    def plain(self) -> str:
        """Its words without blanks: where a line is broken is the card's business."""
        return "".join(self.words.split())


def paper_of(sheet: Sheet, **how: Any) -> Printed:
    """The paper that "Print the card" gives."""
    sheet.page.evaluate("document.documentElement.dataset.print = 'card'")
    return Printed(sheet.page.pdf(**({"prefer_css_page_size": True} | how)))


def same_record(address: str, record: Record) -> bool:
    found = link.from_fragment(address.partition("#")[2])
    return found.notes == () and found.record.canonical() == from_data(as_entered(record)).record.canonical()


@pytest.mark.parametrize("size", PAPER)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_card_alone_is_printed_on_one_sheet_of_its_size(
    ready: Sheet, server: Server, size: str, scheme: str
) -> None:
    sheet = ready
    sheet.page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    choose(sheet, size)
    for backgrounds in (True, False):
        on_paper = paper_of(sheet, print_background=backgrounds)
        assert len(on_paper.sheets) == 1
        assert on_paper.sheets[0] == pytest.approx(PAPER[size], abs=0.3)
        for words in ("Club<b>bow</b>3", "blue&red", "medium", "seton2026-05-03", "38.0lbat28inAMO", "0.33to4.82"):
            assert words in on_paper.plain, words
        for words in (
            "Card, log, bows",
            "Setup card",
            "Cautions",
            "The rules",
            "Print the card",
            "Measured at this setting",
        ):
            assert "".join(words.split()) not in on_paper.plain, words
        # Ink on white, from dark colours too: the corner is paper, and nothing is as grey as a screen's ground.
        height, width = on_paper.image.shape
        assert on_paper.image[height // 40, width // 2] == 255
        assert (on_paper.image > 200).mean() > 0.7
        (found,) = codes.read(on_paper.image)
        assert found.startswith(f"{server.address}#")
        assert same_record(found, WHOLE)


@pytest.mark.parametrize("size", PAPER)
def test_the_printed_squares_are_as_large_as_is_said(ready: Sheet, size: str) -> None:
    sheet = ready
    choose(sheet, size)
    said = (sheet.page.locator("#v-card-code_squares-figure").text_content() or "").split()
    count, side = int(said[0]), float(said[-2])
    (found,) = codes.found_in(paper_of(sheet).image)
    corners = found.position
    across = (corners.top_right.x - corners.top_left.x) / Printed.DOTS
    assert across == pytest.approx(count * side, rel=0.02)
    assert side >= 0.33


def test_on_other_paper_it_is_still_one_sheet_and_true_to_size(ready: Sheet) -> None:
    on_paper = paper_of(ready, format="A4", prefer_css_page_size=False)
    assert len(on_paper.sheets) == 1
    assert len(codes.read(on_paper.image)) == 1


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_code_is_read_off_the_screen(ready: Sheet, width: int, scheme: str) -> None:
    page = ready.page
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.set_viewport_size({"width": width, "height": 900})
    choose(ready, "index")
    content = page.evaluate("document.documentElement.scrollWidth")
    assert content <= width
    picture = page.locator("#card-sheet-index-figure")
    # A phone's screen has more dots than the page is wide; this one is enlarged instead.
    picture.evaluate("(picture, times) => { picture.style.zoom = times; }", 3 if width == 390 else 1)
    found = codes.read(_pixels(page, picture.screenshot()))
    assert len(found) == 1
    assert same_record(found[0], WHOLE)


def _pixels(page: Page, png: bytes) -> codes.Image:
    """The greys of a picture that the browser took, read by the browser."""
    data = page.evaluate(
        """async (text) => {
          const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
          const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
          const canvas = new OffscreenCanvas(image.width, image.height);
          const paint = canvas.getContext("2d");
          paint.drawImage(image, 0, 0);
          const { data } = paint.getImageData(0, 0, image.width, image.height);
          const grey = new Uint8Array(image.width * image.height);
          for (let at = 0; at < grey.length; at++) grey[at] = data[4 * at];
          let out = "";
          for (let at = 0; at < grey.length; at += 8192) out += String.fromCharCode(...grey.subarray(at, at + 8192));
          return [image.width, image.height, btoa(out)];
        }""",
        base64.b64encode(png).decode(),
    )
    width, height, text = data
    return np.frombuffer(base64.b64decode(text), dtype=np.uint8).reshape(height, width).copy()


def test_the_code_opens_the_same_card_in_a_clean_browser(browser: Browser, server: Server, watch: Watch) -> None:
    """But for the inspection, which was someone else's: it is the same once the bow was looked over there too."""
    with watched_page(browser, watch) as page:
        first = opened(page, server, WHOLE)
        expect(first.verdict).to_have_attribute("data-state", "go")
        (found,) = codes.read(paper_of(first).image)
        html, shown = first.places(), first.values()
        # Byte for byte what the package says under this Python.
        assert html == first.expected_places(by_package(as_entered(WHOLE), server))
    with watched_page(browser, watch) as page:
        page.goto(found)
        start = Sheet(page, "start").settled()
        expect(start.verdict).to_have_attribute("data-state", "open")
        second = open_sheet(page, server, "keep/")
        expect(second.verdict).to_have_attribute("data-state", "open")
        assert second.places() == second.expected_places(by_package(as_entered(WHOLE) | FOREIGN, server))
        look_over_again(page, server, LOOKED_OVER)
        third = open_sheet(page, server, "keep/")
        expect(third.verdict).to_have_attribute("data-state", "go")
        # Its code has no more the short list's answers, which the full inspection stands for: it may be smaller.
        assert {**third.values(), "code_squares": shown["code_squares"]} == shown


FOREIGN: Record = {"inspection_source": "other"}
"""What a record from elsewhere is marked with, where there is an inspection in it."""


def by_package(record: Record, server: Server) -> Record:
    question = {"ask": "answer", "widget": "card", "record": from_data(record).record.canonical()}
    reply: Record = json.loads(ask(json.dumps(question | {"address": server.address, "today": TODAY})))
    return reply


def test_in_a_folder_the_code_leads_into_the_folder(page: Page, folder_server: Server) -> None:
    sheet = opened(page, folder_server, WHOLE)
    (found,) = codes.read(paper_of(sheet).image)
    assert found.startswith(f"{folder_server.address}#q1.")
    assert folder_server.address.count("/") > 3


def test_a_stop_is_printed_as_a_stop(page: Page, server: Server) -> None:
    sheet = opened(page, server, STOPPED)
    on_paper = paper_of(sheet)
    assert len(on_paper.sheets) == 1
    assert "Stop:theinspectionsaysno" in on_paper.plain
    assert "0.33to" not in on_paper.plain
    assert "window" not in on_paper.plain


def test_without_entries_it_is_a_made_up_bow_on_paper_too(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "keep/")
    on_paper = paper_of(sheet)
    assert len(on_paper.sheets) == 1
    assert on_paper.sheets[0] == pytest.approx(PAPER["a6"], abs=0.3)
    assert "MADE-UPBOW" in on_paper.plain
    assert codes.read(on_paper.image) == []


def test_as_built_the_made_up_card_is_in_what_is_printed(browser: Browser, server: Server, watch: Watch) -> None:
    """Without scripts there is no button that prints it alone."""
    with watched_page(browser, watch, java_script_enabled=False) as page:
        page.goto(f"{server.address}keep/")
        on_paper = Printed(page.pdf(prefer_css_page_size=True))
        assert "MADE-UPBOW" in on_paper.plain
        assert codes.read(on_paper.image) == []


def test_the_buttons_print_the_card_alone(page: Page, server: Server) -> None:
    open_sheet(page, server, "keep/")
    page.evaluate("window.print = () => (globalThis.qtPrinted = document.documentElement.dataset.print)")
    buttons = page.get_by_role("button", name="Print the card").all()
    assert len(buttons) == 2
    for button in buttons:
        page.evaluate("globalThis.qtPrinted = ''")
        button.click()
        assert page.evaluate("globalThis.qtPrinted") == "card"


def test_an_old_card_is_not_printed(page: Page, server: Server) -> None:
    """An entry that cannot be used leaves the last answer on the screen, marked; on paper that would not be enough."""
    sheet = open_sheet(page, server, "keep/")
    sheet.enter({"riser_name": "blue"})
    sheet.settled()
    assert "blue" in paper_of(sheet).plain
    page.evaluate(
        """() => {
          const box = document.getElementById("f-set_on");
          box.type = "text";
          box.value = "2026-02-30";
          box.dispatchEvent(new Event("input", { bubbles: true }));
        }"""
    )
    sheet.settled()
    expect(page.locator(".qt-old-note")).to_be_visible()
    on_paper = paper_of(sheet)
    assert len(on_paper.sheets) == 1
    assert "blue" not in on_paper.plain
    assert on_paper.plain.startswith("Nocard.")
    assert "earliervalues" in on_paper.plain


def test_names_are_entered_on_a_phone_and_stay(page: Page, server: Server) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    sheet = open_sheet(page, server, "keep/")
    for name, words in (("riser_name", "blue riser"), ("limbs_name", "the soft ones"), ("set_by", "A. E.")):
        sheet.box(name).fill(words)
    page.locator("#f-set_on").fill("2026-07-01")
    sheet.settled()
    expect(page.locator("#card-sheet-a6-desc")).to_contain_text("Riser: blue riser. Limbs: the soft ones.")
    expect(page.locator("#card-sheet-a6-desc")).to_contain_text("set on 2026-07-01")
    page.reload()
    sheet.settled()
    expect(page.locator("#card-sheet-a6-desc")).to_contain_text("by A. E.")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.offline
@pytest.mark.expects("ERR_INTERNET_DISCONNECTED")
def test_without_a_network_the_code_is_made_too(page: Page, server: Server) -> None:
    sheet = opened(page, server, COMPLETE)
    page.context.set_offline(True)
    sheet.box("riser_name").fill("offline")
    sheet.settled()
    (found,) = codes.read(paper_of(sheet).image)
    page.context.set_offline(False)
    assert same_record(found, COMPLETE | {"riser_name": "offline"})


def test_axe_with_a_card_that_is_ready(page: Page, server: Server) -> None:
    opened(page, server, WHOLE)
    assert findings(page) == []
