"""A card for the bow case, laid out to the millimetre: one user unit is one millimetre of paper, black on white.

Nothing on it is smaller than `SMALLEST`. Words that have no room are cut with an ellipsis, and nothing leaves the card.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.qr import QUIET, Code, drawn
from quarterturn.figures.svg import Element, Picture
from quarterturn.numbers import fixed

SMALLEST = 2.3
"""The smallest letters, mm: 6.5 pt, for a card that is read at arm's length (our own measure)."""
MODULE = 0.33
"""The smallest square of the code, mm: for an ordinary camera and an ordinary printer (our own measure)."""
WIDER_FROM = ((0x1100, 0.45), (0x250, 0.4))
"""From these letters on (Unicode) one may be wider than a Latin one, by so much of its size: all are taken so."""


@dataclass(frozen=True, slots=True)
class Size:
    """A size of card, mm.

    Attributes:
        words: what it is called.
        code: the side of the square that the code has, its white rim included.
        big, plain, small: sizes of letters.
        lead: from line to line of the facts.
        label: room for the names of the facts.
        bolt: height of a bolt's part.
    """

    name: str
    words: str
    width: float
    height: float
    margin: float
    code: float
    big: float
    plain: float
    small: float
    lead: float
    label: float
    bolt: float

    @property
    def most_modules(self) -> int:
        """How many squares a side of the code can have."""
        return math.floor(self.code / MODULE + 1e-9) - 2 * QUIET


SIZES = {
    size.name: size
    for size in (
        Size("a6", "A6, 148 by 105 mm", 148.0, 105.0, 5.0, 44.0, 5.2, 2.8, 2.5, 4.25, 25.0, 18.5),
        Size("index", "index card, 5 by 3 in", 127.0, 76.2, 4.0, 36.0, 4.2, 2.45, 2.3, 3.15, 21.0, 12.7),
    )
}


@dataclass(frozen=True, slots=True)
class Bolt:
    """One bolt on its scale of turns, out is positive.

    Attributes:
        title: which bolt.
        words: where it stands.
        at: the same, in turns from its zero.
        zero: what its zero is called.
        inner, outer: ends of its window.
        window: the window in words, rounded inward.
    """

    title: str
    words: str
    at: float
    zero: str
    inner: float
    outer: float
    window: str


@dataclass(frozen=True, slots=True)
class Loud:
    """What must be seen first, in the place of the scales: a few words, and a sentence or two.

    `black` is white on black.
    """

    title: str
    sentences: tuple[str, ...]
    black: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that a card says.

    Attributes:
        name: of the bow.
        parts: riser and limbs, each with its label.
        day, by: when it was set so and by whom, in words.
        bolts: both on their scales, or none.
        loud: instead of the scales.
        facts: what was measured, by label; an empty value is a line to write on.
        cautions: sentences.
        code: the QR code, or None.
        beside: what stands under the code, or in its place.
        across: words across the whole card, or "".
    """

    name: str
    parts: tuple[tuple[str, str], ...]
    day: str
    by: str
    bolts: tuple[Bolt, ...]
    loud: Loud | None
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    code: Code | None
    beside: tuple[str, ...]
    across: str = ""


@lru_cache(maxsize=8)
def card(sheet: Sheet, size: Size, *, prefix: str, name: str) -> Picture:
    """Draw a card; ids begin with the prefix."""
    left, right = size.margin, size.width - size.margin
    header, top = _header(sheet, size, left, right)
    cautions, bottom = _cautions(sheet, size, left, right)
    column = right - size.code - 3.0 - left
    clip = f"{prefix}-edge"
    children = [
        svg.rect(0, 0, size.width, size.height, class_="qt-card-paper"),
        svg.element("defs", svg.clip(clip, 0, 0, size.width, size.height), _hatching(f"{prefix}-hatch")),
        svg.group(
            *header,
            *_body(sheet, size, (left, top, column, bottom - top), prefix),
            *_code(sheet, size, right - size.code, top, bottom, prefix),
            *cautions,
            *_across(sheet.across, size),
            clip_path=f"url(#{clip})",
        ),
        svg.rect(0.1, 0.1, size.width - 0.2, size.height - 0.2, class_="qt-card-cut"),
    ]
    title = f"Setup card: {sheet.name}"
    return svg.picture(name, title, _description(sheet), size.width, size.height, children, prefix=prefix)


def width_of(words: str, size: float, *, bold: bool = False) -> float:
    """About how wide words are, mm; errs on the long side, for letters of any writing."""
    more = [next((more for first, more in WIDER_FROM if ord(letter) >= first), 0.0) for letter in words]
    return svg.text_width(words, size, bold=bold) + size * math.fsum(more)


def fitted(words: str, room: float, size: float, *, bold: bool = False) -> str:
    """Words cut to the room there is, with an ellipsis where something is left out."""
    if width_of(words, size, bold=bold) <= room:
        return words
    kept = words
    while kept and width_of(f"{kept}…", size, bold=bold) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def lines_of(words: str, room: float, size: float, most: int, *, bold: bool = False) -> list[str]:
    """Words broken into lines that fit, a longer one within itself; what is left after the last is cut off."""
    lines: list[str] = []
    rest = words.split()
    while rest and len(lines) < most - 1:
        count = _count(rest, room, size, bold)
        if count:
            lines.append(" ".join(rest[:count]))
            rest = rest[count:]
        else:
            part = _part(rest[0], room, size, bold)
            lines.append(part)
            rest[0] = rest[0][len(part) :]
    return [*lines, fitted(" ".join(rest), room, size, bold=bold)] if rest else lines


def _count(words: list[str], room: float, size: float, bold: bool) -> int:
    """How many of these words have room in one line."""
    count = 0
    while count < len(words) and width_of(" ".join(words[: count + 1]), size, bold=bold) <= room:
        count += 1
    return count


def _part(word: str, room: float, size: float, bold: bool) -> str:
    """The longest beginning of a word that has room; one letter at least."""
    length = len(word)
    while length > 1 and width_of(word[:length], size, bold=bold) > room:
        length -= 1
    return word[:length]


def _text(x: float, y: float, words: str, size: float, *, bold: bool = False, anchor: str = "start") -> Element:
    return svg.text(x, y, words, size=size, anchor=anchor, class_="qt-card-text" + (" qt-strong" if bold else ""))


def _hatching(identity: str) -> Element:
    stroke = svg.line(0.45, 0, 0.45, 0.9, class_="qt-card-hatch")
    return svg.element(
        "pattern", stroke, id=identity, width=0.9, height=0.9, patternunits="userSpaceOnUse",
        patterntransform="rotate(45)",
    )  # fmt: skip


# The head of the card


def _header(sheet: Sheet, size: Size, left: float, right: float) -> tuple[list[Element], float]:
    """Name, riser and limbs, day and name; and where the next part begins."""
    aside = max(width_of(words, size.plain, bold=True) for words in (sheet.day, sheet.by, ""))
    aside = min(aside, 0.36 * (right - left))
    room = right - left - aside - 3.0
    first = size.margin + 0.78 * size.big
    second = first + 1.5 * size.plain
    drawn_: list[Element] = [
        _text(left, first, fitted(sheet.name, room, size.big, bold=True), size.big, bold=True),
        _text(right, first, fitted(sheet.day, aside, size.plain, bold=True), size.plain, bold=True, anchor="end"),
        _text(right, second, fitted(sheet.by, aside, size.plain), size.plain, anchor="end"),
    ]
    share = room / max(1, len(sheet.parts))
    x = left
    for label, value in sheet.parts:
        drawn_.append(_text(x, second, label, size.plain))
        start = x + width_of(f"{label} ", size.plain)
        if value:
            words = fitted(value, x + share - 2.0 - start, size.plain, bold=True)
            drawn_.append(_text(start, second, words, size.plain, bold=True))
        else:
            drawn_.append(svg.line(start, second + 0.4, x + share - 3.0, second + 0.4, class_="qt-card-blank"))
        x += share
    rule = second + 0.5 * size.plain
    drawn_.append(svg.line(left, rule, right, rule, class_="qt-card-rule"))
    return drawn_, rule + 0.3 * size.plain


# What stands between head and cautions


def _body(sheet: Sheet, size: Size, box: tuple[float, float, float, float], prefix: str) -> list[Element]:
    x, top, width, height = box
    parts: list[Element] = []
    facts = len(sheet.facts) * size.lead
    if sheet.loud is not None:
        tall = height - facts - (1.5 if facts else 0.0)
        parts += _loud(sheet.loud, size, (x, top + 0.6, width, tall - 0.6), prefix)
        top += tall
    else:
        for place, bolt in enumerate(sheet.bolts):
            parts += _bolt(
                bolt, sheet.bolts, size, (x, top + place * size.bolt, width), f"{prefix}-bolt-{place}", prefix
            )
        top += len(sheet.bolts) * size.bolt + 0.5
    return [*parts, *_facts(sheet.facts, size, x, top, width)]


def _facts(facts: tuple[tuple[str, str], ...], size: Size, x: float, top: float, width: float) -> list[Element]:
    parts = []
    for place, (label, value) in enumerate(facts):
        y = top + (place + 0.8) * size.lead
        parts.append(_text(x, y, fitted(label, size.label - 1.0, size.plain), size.plain))
        start = x + size.label
        if value:
            words = fitted(value, width - size.label, size.plain, bold=True)
            parts.append(_text(start, y, words, size.plain, bold=True))
        else:
            parts.append(svg.line(start, y + 0.4, start + 30.0, y + 0.4, class_="qt-card-blank"))
    return parts


def _loud(loud: Loud, size: Size, box: tuple[float, float, float, float], prefix: str) -> list[Element]:
    """The box of large words: as large as there is room for, title and sentences."""
    x, y, width, height = box
    inner, least = width - 2 * _PAD, size.small + 0.2
    # As large as leaves room for all; where that were small, the sentences are cut and not the first words.
    room = [each for each in _LOUD if _loud_height(loud, inner, each, least) <= height and each > size.big]
    brief = replace(loud, sentences=("x",) * 2)
    letters = next(iter(room), 0.0) or next(
        (each for each in _LOUD if _loud_height(brief, inner, each, least) <= height), _LOUD[-1]
    )
    body = max(least, _BODY * letters)
    said = "qt-card-white" if loud.black else "qt-card-text"
    ground = "qt-card-black" if loud.black else "qt-card-box"
    tall = min(height, _loud_height(loud, inner, letters, least) + 0.5 * _PAD)
    parts: list[Element] = [svg.rect(x, y, width, tall, class_=ground, id=f"{prefix}-loud")]
    at = y + 0.8 * _PAD
    for words in lines_of(loud.title, inner, letters, _TITLE_LINES, bold=True):
        at += _LEAD * letters
        parts.append(svg.text(x + _PAD, at - 0.3 * letters, words, size=letters, class_=f"{said} qt-strong"))
    left = math.floor((y + height - 0.3 * _PAD - at) / (_LEAD * body) + 1e-9)
    for sentence in loud.sentences:
        lines = lines_of(sentence, inner, body, left) if left > 0 else []
        for words in lines:
            at += _LEAD * body
            parts.append(svg.text(x + _PAD, at - 0.3 * body, words, size=body, class_=said))
        left -= len(lines)
    return parts


_PAD, _LEAD, _TITLE_LINES, _BODY = 2.5, 1.25, 2, 0.48
_LOUD = (10.0, 9.0, 8.0, 7.0, 6.2, 5.5, 4.8, 4.2, 3.6)
"""Sizes of the largest letters, mm, tried in this order."""


def _loud_height(loud: Loud, room: float, letters: float, least: float) -> float:
    """How high the words are, with a title in such letters; without end where its lines are too many."""
    title = len(lines_of(loud.title, room, letters, 99, bold=True))
    if title > _TITLE_LINES:
        return math.inf
    body = max(least, _BODY * letters)
    rest = math.fsum(float(len(lines_of(sentence, room, body, 99))) for sentence in loud.sentences)
    return 1.1 * _PAD + _LEAD * (letters * title + body * rest)


# A bolt on its scale


def axis_of(bolts: tuple[Bolt, ...]) -> tuple[float, float]:
    """The first and the last turn of the scale that both bolts share."""
    places = [each for bolt in bolts for each in (0.0, bolt.inner, bolt.outer, bolt.at)]
    return float(math.floor(min(places) + 1e-9)) - 0.25, float(math.ceil(max(places) - 1e-9)) + 0.25


def _bolt(
    bolt: Bolt, both: tuple[Bolt, ...], size: Size, box: tuple[float, float, float], key: str, prefix: str
) -> list[Element]:
    x, top, width = box
    line = top + 1.5 * size.plain
    start = x + width_of("Upper bolt", size.plain, bold=True) + 1.5
    room = x + width - start
    letters = next(
        (part * size.plain for part in (1.32, 1.2, 1.1) if width_of(bolt.words, part * size.plain, bold=True) <= room),
        size.plain,
    )
    words = fitted(bolt.words, room, letters, bold=True)
    told = width_of("−00.00 to 00.00", size.plain, bold=True)
    scale = width - told - 2.5
    band, tall = line + size.plain, 0.26 * size.bolt
    aside = x + scale + 2.5
    return [
        _text(x, line, bolt.title, size.plain, bold=True),
        _text(start, line, words, letters, bold=True),
        *_scale(bolt, both, size, (x, band, scale, tall), key, prefix),
        _text(aside, band + 0.5 * size.small, "window", size.small),
        _text(aside, band + 0.5 * size.small + 1.15 * size.plain, bolt.window, size.plain, bold=True),
    ]


def _scale(
    bolt: Bolt, both: tuple[Bolt, ...], size: Size, box: tuple[float, float, float, float], key: str, prefix: str
) -> list[Element]:
    x, y, width, tall = box
    first, last = axis_of(both)
    turn = width / (last - first)

    def at(turns: float) -> float:
        return x + (turns - first) * turn

    mark, foot = at(bolt.at), y + tall
    parts = [
        svg.rect(x, y, width, tall, class_="qt-card-out", fill=f"url(#{prefix}-hatch)"),
        svg.rect(at(bolt.inner), y, at(bolt.outer) - at(bolt.inner), tall, class_="qt-card-window", id=f"{key}-window"),
        *_ticks(bolt, size, (first, last, turn), x, foot),
        svg.line(mark, y - 0.3, mark, foot + 0.3, class_="qt-card-now", id=f"{key}-now"),
        svg.polygon([(mark - 1.0, y - 1.5), (mark + 1.0, y - 1.5), (mark, y + 0.2)], class_="qt-card-arrow"),
    ]
    return [
        svg.group(*parts, data_first=first, data_scale_x=svg.number(turn), data_origin_x=svg.number(at(0.0)), id=key)
    ]


def _ticks(bolt: Bolt, size: Size, axis: tuple[float, float, float], x: float, foot: float) -> list[Element]:
    first, last, turn = axis
    step = next((each for each in (1, 2, 5, 10) if each * turn >= 5.5), 20)
    reach = width_of(bolt.zero, size.small) / 2 + 1.2
    ticks = []
    count = math.ceil(first * 4)
    while count <= last * 4:
        place = x + (count / 4 - first) * turn
        whole = count % (4 * step) == 0
        if whole or turn >= 6.0 or count % 4 == 0:
            ticks.append(svg.line(place, foot, place, foot + (0.9 if whole else 0.5), class_="qt-card-tick"))
        if whole and (count == 0 or abs(count / 4) * turn >= reach + 0.7 * size.small):
            words = bolt.zero if count == 0 else fixed(count / 4, 0)
            ticks.append(_text(place, foot + 0.9 + 0.85 * size.small, words, size.small, anchor="middle"))
        count += 1
    return ticks


# The code and what stands under it


def _code(sheet: Sheet, size: Size, x: float, top: float, bottom: float, prefix: str) -> list[Element]:
    parts: list[Element] = []
    y = top
    if sheet.code is not None:
        parts.append(
            svg.group(
                svg.rect(x, top, size.code, size.code, class_="qt-card-paper"),
                drawn(sheet.code, x, top, size.code, class_="qt-card-code"),
                id=f"{prefix}-code", data_version=str(sheet.code.version),
            )
        )  # fmt: skip
        y += size.code
        inset = min(2.5, QUIET * size.code / (sheet.code.modules + 2 * QUIET))
    else:
        parts.append(svg.rect(x, top + 0.6, size.code, bottom - top - 1.2, class_="qt-card-frame"))
        inset = 2.0
        y += 1.5
    room, lead = size.code - 2 * inset, 1.2 * size.small
    if sheet.code is not None:
        room = size.code - inset + 1.0
    most = max(1, math.floor((bottom - y - 0.3) / lead))
    for words in sheet.beside:
        for line in lines_of(words, room, size.small, max(1, most)):
            if most <= 0:
                break
            y += lead
            parts.append(_text(x + inset, y, line, size.small))
            most -= 1
    return parts


def _cautions(sheet: Sheet, size: Size, left: float, right: float) -> tuple[list[Element], float]:
    """The cautions at the foot, in a frame; and where it begins."""
    room, lead = right - left - 4.0, 1.22 * size.small
    lines = lines_of(" · ".join(sheet.cautions), room, size.small, 6)
    tall = len(lines) * lead + 1.6
    top = size.height - size.margin - tall
    frame = svg.rect(left, top, right - left, tall, class_="qt-card-box")
    words = [_text(left + 2.0, top + 0.5 + (place + 0.85) * lead, line, size.small) for place, line in enumerate(lines)]
    return [frame, *words], top - 1.0


def _across(words: str, size: Size) -> list[Element]:
    if not words:
        return []
    letters = 0.88 * size.width / max(1.0, width_of(words, 1.0, bold=True))
    angle = -math.degrees(math.atan2(size.height, size.width)) * 0.8
    turn = f"rotate({svg.number(angle)} {svg.number(size.width / 2)} {svg.number(size.height / 2)})"
    return [
        svg.text(
            size.width / 2, size.height / 2 + 0.35 * letters, words, size=letters, anchor="middle",
            class_="qt-card-across qt-strong", transform=turn,
        )
    ]  # fmt: skip


def _description(sheet: Sheet) -> str:
    said = [f"{sheet.across}."] if sheet.across else []
    if sheet.loud is not None:
        said += [f"{sheet.loud.title}.", *sheet.loud.sentences]
    said += [f"{bolt.title}: {bolt.words}, window {bolt.window}." for bolt in sheet.bolts]
    named = [(label.rstrip(":"), value) for label, value in (*sheet.parts, *sheet.facts)]
    said += [f"{label}: {value or 'not entered'}." for label, value in named]
    said += [words for words in (sheet.day, sheet.by) if words]
    return " ".join([*said, *sheet.beside])
