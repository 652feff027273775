"""A card for the bow case, laid out to the millimetre: one user unit is one millimetre of paper, black on white.

Nothing on it is smaller than `SMALLEST`. Words that have no room are cut with an ellipsis, and nothing leaves the card.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from quarterturn.figures import svg
from quarterturn.figures.axis import Axis
from quarterturn.figures.card_sheet import BoltScale, CardSize, Notice, Sheet, fitted, lines_of, width_of
from quarterturn.figures.qr import QUIET, drawn
from quarterturn.figures.svg import Element, Picture
from quarterturn.numbers import fixed


@lru_cache(maxsize=8)
def card(sheet: Sheet, size: CardSize, *, prefix: str, name: str) -> Picture:
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


def _text(x: float, y: float, words: str, size: float, *, bold: bool = False, anchor: str = "start") -> Element:
    return svg.text(x, y, words, size=size, anchor=anchor, class_="qt-card-text" + (" qt-strong" if bold else ""))


def _hatching(identity: str) -> Element:
    stroke = svg.line(0.45, 0, 0.45, 0.9, class_="qt-card-hatch")
    return svg.element(
        "pattern", stroke, id=identity, width=0.9, height=0.9, patternunits="userSpaceOnUse",
        patterntransform="rotate(45)",
    )  # fmt: skip


# The head of the card


def _header(sheet: Sheet, size: CardSize, left: float, right: float) -> tuple[list[Element], float]:
    """Name, riser and limbs, day and name; and where the next part begins."""
    aside = max(width_of(words, size.plain, bold=True) for words in (sheet.day, sheet.by, ""))
    aside = min(aside, 0.36 * (right - left))
    room = right - left - aside - 3.0
    first = size.margin + 0.78 * size.big
    second = first + 1.5 * size.plain
    parts: list[Element] = [
        _text(left, first, fitted(sheet.name, room, size.big, bold=True), size.big, bold=True),
        _text(right, first, fitted(sheet.day, aside, size.plain, bold=True), size.plain, bold=True, anchor="end"),
        _text(right, second, fitted(sheet.by, aside, size.plain), size.plain, anchor="end"),
    ]
    share = room / max(1, len(sheet.parts))
    x = left
    for label, value in sheet.parts:
        parts.append(_text(x, second, label, size.plain))
        start = x + width_of(f"{label} ", size.plain)
        if value:
            words = fitted(value, x + share - 2.0 - start, size.plain, bold=True)
            parts.append(_text(start, second, words, size.plain, bold=True))
        else:
            parts.append(svg.line(start, second + 0.4, x + share - 3.0, second + 0.4, class_="qt-card-blank"))
        x += share
    rule = second + 0.5 * size.plain
    parts.append(svg.line(left, rule, right, rule, class_="qt-card-rule"))
    return parts, rule + 0.3 * size.plain


# What stands between head and cautions


def _body(sheet: Sheet, size: CardSize, box: tuple[float, float, float, float], prefix: str) -> list[Element]:
    x, top, width, height = box
    parts: list[Element] = []
    facts = len(sheet.facts) * size.lead
    if sheet.notice is not None:
        tall = height - facts - (1.5 if facts else 0.0)
        parts += _notice(sheet.notice, size, (x, top + 0.6, width, tall - 0.6), prefix)
        top += tall
    else:
        for place, bolt in enumerate(sheet.bolts):
            parts += _bolt(
                bolt, sheet.bolts, size, (x, top + place * size.bolt, width), f"{prefix}-bolt-{place}", prefix
            )
        top += len(sheet.bolts) * size.bolt + 0.5
    return [*parts, *_facts(sheet.facts, size, x, top, width)]


def _facts(facts: tuple[tuple[str, str], ...], size: CardSize, x: float, top: float, width: float) -> list[Element]:
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


def _notice(notice: Notice, size: CardSize, box: tuple[float, float, float, float], prefix: str) -> list[Element]:
    """The box of large words: as large as there is room for, title and sentences."""
    x, y, width, height = box
    inner, least = width - 2 * _PAD, size.small + 0.2
    # As large as leaves room for all; where that were small, the sentences are cut and not the first words.
    room = [each for each in _LETTERS if _notice_height(notice, inner, each, least) <= height and each > size.big]
    brief = replace(notice, sentences=("x",) * 2)
    letters = next(iter(room), 0.0) or next(
        (each for each in _LETTERS if _notice_height(brief, inner, each, least) <= height), _LETTERS[-1]
    )
    body = max(least, _BODY * letters)
    said = "qt-card-white" if notice.black else "qt-card-text"
    ground = "qt-card-black" if notice.black else "qt-card-box"
    tall = min(height, _notice_height(notice, inner, letters, least) + 0.5 * _PAD)
    parts: list[Element] = [svg.rect(x, y, width, tall, class_=ground, id=f"{prefix}-loud")]
    at = y + 0.8 * _PAD
    for words in lines_of(notice.title, inner, letters, _TITLE_LINES, bold=True):
        at += _LEAD * letters
        parts.append(svg.text(x + _PAD, at - 0.3 * letters, words, size=letters, class_=f"{said} qt-strong"))
    left = math.floor((y + height - 0.3 * _PAD - at) / (_LEAD * body) + 1e-9)
    for sentence in notice.sentences:
        lines = lines_of(sentence, inner, body, left) if left > 0 else []
        for words in lines:
            at += _LEAD * body
            parts.append(svg.text(x + _PAD, at - 0.3 * body, words, size=body, class_=said))
        left -= len(lines)
    return parts


_PAD, _LEAD, _TITLE_LINES, _BODY = 2.5, 1.25, 2, 0.48
_LETTERS = (10.0, 9.0, 8.0, 7.0, 6.2, 5.5, 4.8, 4.2, 3.6)
"""Sizes of the largest letters, mm, tried in this order."""


def _notice_height(notice: Notice, room: float, letters: float, least: float) -> float:
    """How high the words are, with a title in such letters; without end where its lines are too many."""
    title = len(lines_of(notice.title, room, letters, 99, bold=True))
    if title > _TITLE_LINES:
        return math.inf
    body = max(least, _BODY * letters)
    rest = math.fsum(float(len(lines_of(sentence, room, body, 99))) for sentence in notice.sentences)
    return 1.1 * _PAD + _LEAD * (letters * title + body * rest)


# A bolt on its scale


def _axis_range(bolts: tuple[BoltScale, ...]) -> tuple[float, float]:
    """The first and the last turn of the scale that both bolts share."""
    places = [each for bolt in bolts for each in (0.0, bolt.inner, bolt.outer, bolt.at)]
    return float(math.floor(min(places) + 1e-9)) - 0.25, float(math.ceil(max(places) - 1e-9)) + 0.25


def _bolt(
    bolt: BoltScale, both: tuple[BoltScale, ...], size: CardSize, box: tuple[float, float, float], key: str, prefix: str
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
        _text(aside, band + 0.5 * size.small, "safe range", size.small),
        _text(aside, band + 0.5 * size.small + 1.15 * size.plain, bolt.window, size.plain, bold=True),
    ]


def _scale(
    bolt: BoltScale,
    both: tuple[BoltScale, ...],
    size: CardSize,
    box: tuple[float, float, float, float],
    key: str,
    prefix: str,
) -> list[Element]:
    x, y, width, tall = box
    first, last = _axis_range(both)
    axis = Axis(first, last, x, width / (last - first))
    inner, outer = axis.at(bolt.inner), axis.at(bolt.outer)
    mark, foot = axis.at(bolt.at), y + tall
    parts = [
        svg.rect(x, y, width, tall, class_="qt-card-out", fill=f"url(#{prefix}-hatch)"),
        svg.rect(inner, y, outer - inner, tall, class_="qt-card-window", id=f"{key}-window"),
        *_ticks(bolt, size, axis, foot),
        svg.line(mark, y - 0.3, mark, foot + 0.3, class_="qt-card-now", id=f"{key}-now"),
        svg.polygon([(mark - 1.0, y - 1.5), (mark + 1.0, y - 1.5), (mark, y + 0.2)], class_="qt-card-arrow"),
    ]
    return [
        svg.group(
            *parts,
            data_first=first,
            data_scale_x=svg.number(axis.scale),
            data_origin_x=svg.number(axis.at(0.0)),
            id=key,
        )
    ]


def _ticks(bolt: BoltScale, size: CardSize, axis: Axis, foot: float) -> list[Element]:
    turn = axis.scale
    step = next((each for each in (1, 2, 5, 10) if each * turn >= 5.5), 20)
    reach = width_of(bolt.zero, size.small) / 2 + 1.2
    ticks = []
    count = math.ceil(axis.low * 4)
    while count <= axis.high * 4:
        place = axis.at(count / 4)
        whole = count % (4 * step) == 0
        if whole or turn >= 6.0 or count % 4 == 0:
            ticks.append(svg.line(place, foot, place, foot + (0.9 if whole else 0.5), class_="qt-card-tick"))
        if whole and (count == 0 or abs(count / 4) * turn >= reach + 0.7 * size.small):
            words = bolt.zero if count == 0 else fixed(count / 4, 0)
            ticks.append(_text(place, foot + 0.9 + 0.85 * size.small, words, size.small, anchor="middle"))
        count += 1
    return ticks


# The code and what stands under it


def _code(sheet: Sheet, size: CardSize, x: float, top: float, bottom: float, prefix: str) -> list[Element]:
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


def _cautions(sheet: Sheet, size: CardSize, left: float, right: float) -> tuple[list[Element], float]:
    """The cautions at the foot, in a frame; and where it begins."""
    room, lead = right - left - 4.0, 1.22 * size.small
    lines = lines_of(" · ".join(sheet.cautions), room, size.small, 6)
    tall = len(lines) * lead + 1.6
    top = size.height - size.margin - tall
    frame = svg.rect(left, top, right - left, tall, class_="qt-card-box")
    words = [_text(left + 2.0, top + 0.5 + (place + 0.85) * lead, line, size.small) for place, line in enumerate(lines)]
    return [frame, *words], top - 1.0


def _across(words: str, size: CardSize) -> list[Element]:
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
    if sheet.notice is not None:
        said += [f"{sheet.notice.title}.", *sheet.notice.sentences]
    said += [f"{bolt.title}: {bolt.words}, safe range {bolt.window}." for bolt in sheet.bolts]
    named = [(label.rstrip(":"), value) for label, value in (*sheet.parts, *sheet.facts)]
    said += [f"{label}: {value or 'not entered'}." for label, value in named]
    said += [words for words in (sheet.day, sheet.by) if words]
    return " ".join([*said, *sheet.beside])
