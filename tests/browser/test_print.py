"""The printed worksheet: two sheets of A4 at most, with every entry, the verdict and the cautions, from dark too."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from pypdfium2 import PdfDocument

from helpers.asking import COMPLETE, answered, changed
from helpers.worksheet import as_entered
from quarterturn import units
from quarterturn.record.field_types import ChoiceField, NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Answer, State
from quarterturn.widgets.words import CAUTIONS

if TYPE_CHECKING:
    from helpers.worksheet import Record, Sheet

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


@dataclass(frozen=True, slots=True)
class Printed:
    pages: int
    text: str
    answer: Answer
    record: Record


def bare(text: str) -> str:
    """Text without blanks: where a line is broken is the printer's business."""
    return re.sub(r"\s+", "", text)


def printed(sheet: Sheet, name: str, scheme: str) -> Printed:
    record = RECORDS[name]
    sheet.page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    sheet.enter(record)
    sheet.settled()
    assert sheet.state() == STATES[name]
    before = sheet.page.evaluate("document.querySelector('.qt-form').outerHTML")
    content = sheet.page.pdf(format="A4", print_background=True)
    # Whatever was done for the print is undone.
    assert sheet.page.evaluate("document.querySelector('.qt-form').outerHTML") == before
    with PdfDocument(content) as document:
        text = "\n".join(page.get_textpage().get_text_range() for page in document)
        return Printed(len(document), bare(text), answered(as_entered(record)), record)


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


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", RECORDS)
def test_it_fits_two_pages_and_holds_everything(sheet: Sheet, name: str, scheme: str) -> None:
    on_paper = printed(sheet, name, scheme)
    assert bare(on_paper.answer.title) in on_paper.text
    assert bare(on_paper.answer.verdict) in on_paper.text
    missing = [words for words in [*entries(on_paper.record), *CAUTIONS] if bare(words) not in on_paper.text]
    assert missing == []
    # Every value with its unit, as the answer shows it.
    values = on_paper.answer.all_values()
    assert [value.name for value in values if bare(value.text) not in on_paper.text] == []
    assert on_paper.pages <= 2


def test_it_is_dark_on_white_from_dark_colours_too(sheet: Sheet) -> None:
    sheet.enter(GO)
    sheet.settled()
    sheet.page.emulate_media(color_scheme="dark", media="print")
    colours = sheet.page.evaluate(
        """() => [...document.querySelectorAll(".qt-verdict-title, .qt-verdict-text, .qt-answer dd, .qt-answer li")]
          .filter((one) => one.checkVisibility()).map((one) => getComputedStyle(one).color)"""
    )
    background = sheet.page.evaluate("getComputedStyle(document.body).backgroundColor")
    sheet.page.emulate_media(color_scheme="light", media="null")
    assert background in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)")
    assert len(colours) > 20
    for colour in set(colours):
        red, green, blue = (float(part) for part in re.findall(r"[\d.]+", colour)[:3])
        assert red + green + blue < 3 * 128, colour
