"""The card's picture: millimetres of paper, nothing too small, nothing outside, nothing over another.

A6 is ISO 216's 105 by 148 mm (M), an index card 3 by 5 inches, an inch 25.4 mm and a point 1/72 of it.
"""

from __future__ import annotations

import random
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from figures.reading import SPACE, Drawing
from quarterturn.figures import card_sheet, qr
from quarterturn.figures.card import card
from quarterturn.figures.card_sheet import SIZES, BoltScale, CardSize, Notice, Sheet
from quarterturn.figures.svg import Picture

STYLES = (Path(__file__).parents[2] / "docs/assets/qt-figures.css").read_text(encoding="utf-8")
POINT = 25.4 / 72
UPPER = BoltScale("Upper bolt", "2½ turns out from flush", 2.5, "flush", 0.33, 4.82, "0.33 to 4.82")
LOWER = BoltScale("Lower bolt", "2 turns out from flush", 2.0, "flush", 0.4, 4.57, "0.40 to 4.57")
FACTS = (
    ("Draw weight", "38.0 lb at 28 in AMO"),
    ("Tiller", "4.0 mm (179.0 upper, 175.0 lower)"),
    ("Brace height", "222.0 mm; nocking point 8.0 mm"),
    ("String", "1645 mm loop to loop, 20 twists"),
    ("Upper head", "8.6 mm high, at zero 6.0 mm"),
    ("Lower head", ""),
    ("Flush, felt", "from outside, strip 0.10 mm, assumed"),
)
PLACES = (("Upper bolt", "2½ turns out from flush"), ("Lower bolt", ""))
CAUTIONS = (
    "The maker's manual comes first",
    "String off before a bolt or its lock is turned",
    "In doubt: a qualified coach or a bow technician",
)
GO = Sheet(
    name="Club bow 3",
    parts=(("Riser:", "blue riser"), ("Limbs:", "medium, 38")),
    day="set on 2026-05-03",
    by="by A. Example",
    bolts=(UPPER, LOWER),
    notice=None,
    facts=FACTS,
    cautions=CAUTIONS,
    code=qr.code("https://example.org/quarter-turn/card/#q1." + "x" * 400, 101),
    beside=("Opens this record at example.org/quarter-turn/", "Of the log it has the newest."),
)
STOP = replace(
    GO,
    bolts=(),
    notice=Notice("Stop: upper bolt outside", ("Do not string the bow. Turn it back, string off.",), black=True),
    facts=(*PLACES, *FACTS),
)
CLOSED = replace(
    STOP, facts=(), notice=Notice("Stop: the inspection says no", ("A cracked limb is not shot.",) * 9, True)
)
MADE_UP = replace(
    STOP,
    code=None,
    beside=("Here comes a code.",),
    across="MADE-UP BOW",
    notice=Notice("Made-up bow", ("Nothing.",), False),
)
SHEETS = {"go": GO, "stop": STOP, "closed": CLOSED, "made up": MADE_UP}
each_size = pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
each_sheet = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)


def drawing(sheet: Sheet, size: CardSize) -> Drawing:
    return Drawing(card(sheet, size, prefix="c", name=f"sheet-{size.name}"))


def texts(shown: Drawing) -> list[ElementTree.Element]:
    return [one for one in shown.elements if one.tag == f"{SPACE}text"]


def box(text: ElementTree.Element) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of words, by the estimate that errs on the long side."""
    words, size = text.text or "", float(text.attrib["font-size"])
    width = card_sheet.width_of(words, size, bold="qt-strong" in text.attrib["class"])
    x, y = float(text.attrib["x"]), float(text.attrib["y"])
    left = x - {"end": width, "middle": width / 2}.get(text.attrib.get("text-anchor", ""), 0.0)
    return left, y - 0.75 * size, left + width, y + 0.22 * size


def test_the_sizes_are_those_of_paper() -> None:
    assert (SIZES["a6"].width, SIZES["a6"].height) == (148.0, 105.0)
    assert (SIZES["index"].width, SIZES["index"].height) == pytest.approx((5 * 25.4, 3 * 25.4), abs=1e-9)


@each_size
@each_sheet
def test_its_box_is_the_paper_and_ids_are_its_own(sheet: Sheet, size: CardSize) -> None:
    shown = drawing(sheet, size)
    assert shown.root.attrib["viewBox"] == f"0 0 {size.width:g} {size.height:g}"
    assert len(shown.ids) == len(set(shown.ids))
    assert all(one == "c" or one.startswith("c-") for one in shown.ids)


@each_size
@each_sheet
def test_nothing_is_too_small_to_read(sheet: Sheet, size: CardSize) -> None:
    """6.5 points at least."""
    for text in texts(drawing(sheet, size)):
        assert float(text.attrib["font-size"]) >= 6.5 * POINT, text.text
    assert card_sheet.SMALLEST >= 6.5 * POINT


@each_size
@each_sheet
def test_words_stay_on_the_card_and_do_not_run_into_one_another(sheet: Sheet, size: CardSize) -> None:
    found = [text for text in texts(drawing(sheet, size)) if "qt-card-across" not in text.attrib["class"]]
    boxes = [(text.text, box(text)) for text in found if (text.text or "").strip()]
    assert len(boxes) >= 10
    for words, (left, top, right, bottom) in boxes:
        assert left >= 3 - 1e-6, words
        assert top >= 2, words
        assert right <= size.width - 3 + 1e-6, words
        assert bottom <= size.height - 3, words
    for place, (words, one) in enumerate(boxes):
        for others, other in boxes[place + 1 :]:
            over = min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])
            assert min(over) <= 0.12, (words, others, over)


@each_size
def test_the_mark_and_the_window_are_drawn_to_scale(size: CardSize) -> None:
    shown = drawing(GO, size)
    for place, bolt in enumerate(GO.bolts):
        scale, origin = shown.numbers(f"c-bolt-{place}", "data-scale-x", "data-origin-x")
        assert shown.line(f"c-bolt-{place}-now")[0] == pytest.approx(origin + bolt.at * scale, abs=0.01)
        x, width = shown.numbers(f"c-bolt-{place}-window", "x", "width")
        assert x == pytest.approx(origin + bolt.inner * scale, abs=0.01)
        assert x + width == pytest.approx(origin + bolt.outer * scale, abs=0.01)
    # One scale for both, so that they can be held against one another.
    assert shown.numbers("c-bolt-0", "data-scale-x", "data-origin-x") == shown.numbers(
        "c-bolt-1", "data-scale-x", "data-origin-x"
    )


@each_size
@pytest.mark.parametrize(("inner", "outer", "at"), [(0.0, 15.0, 7.5), (-3.0, 2.0, -0.25), (0.5, 0.75, 0.6)])
def test_odd_windows_are_drawn_within_their_scale(size: CardSize, inner: float, outer: float, at: float) -> None:
    bolt = replace(UPPER, inner=inner, outer=outer, at=at, zero="zero")
    shown = drawing(replace(GO, bolts=(bolt, bolt)), size)
    x, width = shown.numbers("c-bolt-0-window", "x", "width")
    scale, origin = shown.numbers("c-bolt-0", "data-scale-x", "data-origin-x")
    assert x == pytest.approx(origin + inner * scale, abs=0.02)
    assert size.margin - 0.01 <= x < x + width <= size.width - size.code
    assert x <= shown.line("c-bolt-0-now")[0] <= x + width
    labels = sorted(box(text)[::2] for text in texts(shown) if re.fullmatch(r"−?\d+|zero", text.text or ""))
    upper = labels[::2]
    assert len(upper) >= 2
    assert all(one[1] <= other[0] for one, other in pairwise(upper))


@each_size
def test_the_codes_squares_are_never_too_small_for_a_camera(size: CardSize) -> None:
    assert size.code / (size.most_modules + 2 * qr.QUIET) >= card_sheet.MODULE
    assert size.code / (size.most_modules + 1 + 2 * qr.QUIET) < card_sheet.MODULE
    # A whole bow's link of 500 signs has room on either card (ISO/IEC 18004: 504 bytes at level M are version 17, M).
    assert size.most_modules >= 17 + 4 * 17
    shown = drawing(GO, size)
    paper = next(iter(shown.by_id["c-code"]))
    assert float(paper.attrib["width"]) == size.code


@each_size
def test_only_a_made_up_card_says_so_across(size: CardSize) -> None:
    for name, sheet in SHEETS.items():
        across = [one.text for one in texts(drawing(sheet, size)) if "qt-card-across" in one.attrib["class"]]
        assert across == (["MADE-UP BOW"] if name == "made up" else [])
        assert ("MADE-UP BOW" in drawing(sheet, size).picture.description) is (name == "made up")
    (word,) = [one for one in texts(drawing(MADE_UP, size)) if "qt-card-across" in one.attrib["class"]]
    assert float(word.attrib["font-size"]) > 10


@each_size
def test_a_loud_card_has_no_scale_and_its_words_are_the_largest(size: CardSize) -> None:
    shown = drawing(STOP, size)
    assert not any("bolt" in one for one in shown.ids)
    assert not any("range" in (text.text or "").lower() for text in texts(shown))
    sizes = {text.text: float(text.attrib["font-size"]) for text in texts(shown)}
    largest = max(sizes, key=lambda words: sizes[words])
    assert str(largest).startswith("Stop")
    # White words stand on black, and only they.
    ground = shown.numbers("c-loud", "x", "y", "width", "height")
    for text in texts(shown):
        left, top, right, bottom = box(text)
        within = ground[0] <= left and ground[1] <= top and right <= ground[0] + ground[2] + 0.5
        within = within and bottom <= ground[1] + ground[3]
        assert ("qt-card-white" in text.attrib["class"]) is within, text.text


@each_size
def test_what_was_not_entered_is_a_line_to_write_on(size: CardSize) -> None:
    def lines(sheet: Sheet) -> int:
        return sum(1 for one in drawing(sheet, size).elements if one.attrib.get("class") == "qt-card-blank")

    assert lines(GO) == 1
    assert (
        lines(replace(GO, facts=tuple((label, "") for label, _ in FACTS), parts=(("Riser:", ""), ("Limbs:", "")))) == 9
    )


HOSTILE = [
    "</text></svg><script>alert(1)</script>", "<img src=x onerror=alert(1)>", '"\'&<>' * 12, "&lt;b&gt;", "W" * 60,
    "漢" * 60, "Ж" * 60, "a" + "\u0301" * 40, "😀" * 30, "one two " * 8, "]]>", "url(#c-hatch)", "\u202eelbatrevni",
]  # fmt: skip


@each_size
@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_and_long_words_stay_words_in_their_place(size: CardSize, words: str) -> None:
    sheet = replace(
        GO,
        name=words,
        parts=(("Riser:", words), ("Limbs:", words)),
        by=f"by {words}",
        facts=tuple((label, words) for label, _ in FACTS),
        beside=(words, words),
    )
    shown = drawing(sheet, size)
    plain = drawing(GO, size)
    assert {one.tag for one in shown.elements} == {one.tag for one in plain.elements}
    assert not any(key.startswith("on") or key in ("href", "style") for one in shown.elements for key in one.attrib)
    for text in texts(shown):
        left, _, right, _ = box(text)
        assert left >= 2.9, text.text
        assert right <= size.width - 2.9, text.text
    # The day is never pushed out by a name.
    assert "set on 2026-05-03" in [text.text for text in texts(shown)]


def test_words_are_broken_and_cut_to_their_room() -> None:
    chance = random.Random(6)
    for _ in range(300):
        words = " ".join("".join(chance.choice("aiMW漢Ж.-") for _ in range(chance.randint(1, 30))) for _ in range(6))
        room, size, most = chance.uniform(8, 60), chance.uniform(2, 6), chance.randint(1, 9)
        lines = card_sheet.lines_of(words, room, size, most)
        assert len(lines) <= most
        assert all(card_sheet.width_of(line, size) <= room or len(line) <= 1 for line in lines)
        kept = "".join(lines).replace(" ", "")
        assert words.replace(" ", "").startswith(kept.removesuffix("…"))
        if not kept.endswith("…"):
            assert kept == words.replace(" ", "")


def described(picture: Picture) -> str:
    return picture.description


def test_whoever_cannot_see_it_is_told_the_same() -> None:
    said = described(card(GO, SIZES["a6"], prefix="c", name="n"))
    for words in (
        "Upper bolt: 2½ turns out from flush, safe range 0.33 to 4.82",
        "Lower head: not entered",
        "2026-05-03",
    ):
        assert words in said
    assert "Stop: upper bolt outside" in described(card(STOP, SIZES["a6"], prefix="c", name="n"))


def test_every_class_has_its_rule_and_the_paper_is_white_in_the_dark() -> None:
    used = {
        name
        for sheet in SHEETS.values()
        for one in drawing(sheet, SIZES["a6"]).elements
        for name in one.attrib.get("class", "").split()
        if name.startswith("qt-card-")
    }
    ruled = set(re.findall(r"\.(qt-card-[a-z]+)\b", STYLES))
    assert used == ruled
    for rule in re.findall(r"^[^\n]*\.qt-card-[a-z]+ \{([^}]*)\}", STYLES, re.MULTILINE):
        assert not re.search(r"var\(", rule), "ink is black and paper white, whatever the screen's colours"
