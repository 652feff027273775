"""From an answer to accessible HTML: the same code when the site is built and in the browser.

Every block and every part that can change has a stable id, so that the page can patch it in place. All text is
escaped here; pictures are SVG that `figures` has escaped. No style attributes: the page's policy forbids them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.markup import escape
from quarterturn.numbers import plain, rounded
from quarterturn.record.entries import Problem
from quarterturn.widgets.answer import (
    Answer,
    Block,
    DeferredBlock,
    Drawing,
    Line,
    Missing,
    Offer,
    OfferRow,
    PartVerdict,
    Points,
    Slider,
    Stage,
    State,
    Steps,
    Table,
    Tally,
    TallyPart,
    Value,
    ValueList,
    Way,
    Zone,
    name_of,
)

BADGES = {
    State.EXAMPLE: "Worked example",
    State.GO: "Inside the window",
    State.ASK: "Ask first",
    State.STOP: "Stop",
    State.NO_WINDOW: "No window",
    State.EXPLAIN: "How it works",
    State.OPEN: "Not finished",
}
STRENGTH = "This does not test strength."
"""Under every answer that lets the work go on."""
BASE_MARK = "@qt-base@"
"""Stands where the way from the page to the site's first page is put in."""
MARKS = {"done": "done", "next": "next", "open": "not yet", "stop": "stop", "read": "to read"}
"""What is said of a stage."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One element of an answer, for its place on a page.

    Attributes:
        name: of the place: a block's, or "verdict", "headline", "line".
        zone: where it stands unless the page places it.
        html: the element; "" where there is none, None where it is made later.
    """

    name: str
    zone: str
    html: str | None


def render(answer: Answer) -> str:
    """The whole answer as HTML, but for what stands only where a page places it."""
    return "".join(piece.html or "" for piece in pieces(answer) if piece.zone != Zone.ASIDE)


def pieces(answer: Answer, *, whole: bool = True, wanted: Callable[[str], bool] = lambda name: True) -> list[Piece]:
    """The answer's HTML, an element a piece: the verdict, then every block in order.

    Args:
        answer: of a widget.
        whole: whether what is made later is made now.
        wanted: whether a block of that name is wanted; one that is not is left empty, and not made.
    """
    widget = answer.widget
    first = [
        Piece("verdict", "verdict", _verdict(answer)),
        Piece("headline", Zone.ASIDE, _headline(answer)),
        Piece("line", Zone.ASIDE, _line(Line("line", answer.line), widget)),
    ]
    for part, zone in zip(answer.parts, answer.zones, strict=True):
        name = name_of(part)
        html: str | None = ""
        if zone is Zone.TOP or wanted(name):
            html = _made(part, widget) if whole or not isinstance(part, DeferredBlock) else None
        first.append(Piece(name, zone, html))
    return first


def _made(part: Block | DeferredBlock, widget: str) -> str:
    blocks = part.made if isinstance(part, DeferredBlock) else (part,)
    return "".join(_block(block, widget) for block in blocks)


def _verdict(answer: Answer) -> str:
    return (
        f'<div class="qt-verdict qt-verdict--{answer.state.value}" id="{answer.widget}-verdict" '
        f'data-state="{answer.state.value}">'
        f'<p class="qt-verdict-badge" id="{answer.widget}-badge">{escape(answer.badge or BADGES[answer.state])}</p>'
        f'<h2 class="qt-verdict-title" id="{answer.widget}-title">{escape(answer.title)}</h2>'
        f'<p class="qt-verdict-text" id="{answer.widget}-text">{escape(answer.verdict)}</p></div>'
    )


@lru_cache(maxsize=128)
def _block(block: Block, widget: str) -> str:
    match block:
        case ValueList():
            return _section(
                widget, block.name, block.title, _values(block, widget), side=block.side, folded=block.folded
            )
        case Table():
            return _section(widget, block.name, block.title, _table(block, widget), folded=block.folded)
        case Drawing():
            return _drawing(block, widget)
        case Steps():
            return _section(widget, block.name, block.title, _steps(block, widget), folded=block.folded)
        case Points():
            return _section(
                widget, block.name, block.title, _points(block, widget), folded=block.folded, kind=block.kind
            )
        case Way():
            return _section(widget, block.name, block.title, _way(block, widget))
        case Offer():
            return _section(widget, block.name, block.title, _offer(block, widget))
        case OfferRow():
            return _section(widget, block.name, block.title, _offer_row(block, widget))
        case Line():
            return _line(block, widget)
        case PartVerdict():
            return _part_verdict(block, widget)
        case Tally():
            return _count(block, widget)


def _section(
    widget: str, name: str, title: str, body: str, *, folded: bool = False, side: str = "", kind: str = ""
) -> str:
    key = f"{widget}-{name}"
    classes = "qt-block" + (f" qt-side qt-side--{side}" if side else "") + (f" qt-block--{kind}" if kind else "")
    if folded:
        return (
            f'<details class="{classes}" id="{key}"><summary id="{key}-head">{escape(title)}</summary>{body}</details>'
        )
    return (
        f'<section class="{classes}" id="{key}" aria-labelledby="{key}-head">'
        f'<h3 id="{key}-head">{escape(title)}</h3>{body}</section>'
    )


def _values(block: ValueList, widget: str) -> str:
    return f'<dl class="qt-values">{"".join(_value(value, f"v-{widget}-{value.name}") for value in block.values)}</dl>'


def _value(value: Value, key: str) -> str:
    number = "" if value.value is None else f' data-value="{rounded(value.value)!r}" data-unit="{escape(value.unit)}"'
    uncertainty = "" if value.uncertainty is None else f' data-uncertainty="{rounded(value.uncertainty)!r}"'
    note = f'<span class="qt-value-note" id="{key}-note">{escape(value.note)}</span>' if value.note else ""
    return (
        f'<div class="qt-value" id="{key}" data-name="{value.name}"{number}{uncertainty}>'
        f'<dt id="{key}-label">{escape(value.label)}</dt>'
        f'<dd id="{key}-text">'
        f'<span class="qt-value-text" id="{key}-figure">{escape(value.text)}</span> '
        f'<span class="qt-value-status" id="{key}-status" data-status="{value.status.name.lower()}">'
        f"{escape(value.status.value)}</span>{note}</dd></div>"
    )


def _table(block: Table, widget: str) -> str:
    head = "".join(f'<th scope="col">{escape(column)}</th>' for column in block.columns)
    rows = "".join(
        f'<tr id="{widget}-{block.name}-{place}"><th scope="row">{escape(row[0])}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in row[1:])
        + "</tr>"
        for place, row in enumerate(block.rows)
    )
    note = f'<p class="qt-note" id="{widget}-{block.name}-note">{escape(block.note)}</p>' if block.note else ""
    return (
        f'<div class="qt-table" id="{widget}-{block.name}-box" role="region" tabindex="0" '
        f'aria-label="{escape(block.title)}"><table class="qt-grid"><thead><tr>{head}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>{note}"
    )


def _drawing(block: Drawing, widget: str) -> str:
    key = f"{widget}-{block.picture.name}"
    side = f" qt-side qt-side--{block.side}" if block.side else ""
    caption = f'<figcaption id="{key}-caption">{escape(block.caption)}</figcaption>' if block.caption else ""
    hands = "".join(_hand(hand, f"{key}-hand{f'-{place}' if place else ''}") for place, hand in enumerate(block.hands))
    return f'<figure class="qt-figure{side}" id="{key}-box">{block.picture.svg}{hands}{caption}</figure>'


def _hand(hand: Slider, key: str) -> str:
    """The slider under a picture; the page's script binds it to its field."""
    ends = f'min="{plain(hand.low, 3)}" max="{plain(hand.high, 3)}" step="{plain(hand.step, 3)}"'
    return (
        f'<div class="qt-hand"><label for="{key}">{escape(hand.label)}</label>'
        f'<input type="range" id="{key}" data-hand="{hand.field}" {ends} value="{plain(hand.now, 3)}" '
        f'aria-valuetext="{escape(hand.words)}" autocomplete="off"></div>'
    )


def _steps(block: Steps, widget: str) -> str:
    key = f"{widget}-{block.name}"
    intro = f'<p class="qt-note" id="{key}-intro">{escape(block.intro)}</p>' if block.intro else ""
    items = "".join(f'<li id="{key}-{place}">{escape(step)}</li>' for place, step in enumerate(block.steps))
    return f'{intro}{_how(block.how, key)}<ol class="qt-steps" id="{key}-list">{items}</ol>'


def _how(places: tuple[Stage, ...], key: str) -> str:
    """Links to where it is told how something is done; nothing where there are none."""
    links = " · ".join(
        f'<a href="{_address(each.page, each.anchor)}" id="{key}-how-{rank}">{escape(each.text)}</a>'
        for rank, each in enumerate(places)
    )
    return f'<p class="qt-note qt-how-to" id="{key}-how">{links}</p>' if links else ""


def _address(page: str, anchor: str) -> str:
    return BASE_MARK + (f"{page}/" if page else "") + (f"#{anchor}" if anchor else "")


def _points(block: Points, widget: str) -> str:
    items = "".join(
        f'<li id="{widget}-{block.name}-{place}">{escape(point)}</li>' for place, point in enumerate(block.points)
    )
    return f'<ul class="qt-points" id="{widget}-{block.name}-list">{items}</ul>'


def _way(block: Way, widget: str) -> str:
    items = "".join(_stage(stage, f"{widget}-{block.name}-{place}") for place, stage in enumerate(block.stages))
    return f'<ol class="qt-way" id="{widget}-{block.name}-list">{items}</ol>'


def _line(block: Line, widget: str) -> str:
    """One sentence; nothing at all while it is empty."""
    if not block.text:
        return ""
    return (
        f'<p class="qt-line qt-line--{block.mark}" id="{widget}-{block.name}" data-mark="{block.mark}">'
        f"{escape(block.text)}</p>"
    )


def _headline(answer: Answer) -> str:
    """What a page about the reader's bow begins with, a line a bolt, and what it is not where the work can go on."""
    if not answer.headline:
        return ""
    mark = "go" if answer.state is State.GO else "plain"
    lines = "".join(f"<span>{escape(line)}</span>" for line in answer.headline.split("\n"))
    strength = f"<small>{escape(STRENGTH)}</small>" if answer.state is State.GO else ""
    return f'<p class="qt-line qt-line--{mark}" id="{answer.widget}-headline" data-mark="{mark}">{lines}{strength}</p>'


def _part_verdict(block: PartVerdict, widget: str) -> str:
    """A verdict on a part, of the same shape as that of the whole, and lower in rank."""
    key = f"{widget}-{block.name}"
    return (
        f'<div class="qt-verdict qt-verdict--part qt-verdict--{block.state.value}" id="{key}" '
        f'data-part-state="{block.state.value}">'
        f'<p class="qt-verdict-badge" id="{key}-badge">{escape(block.part)}: {BADGES[block.state].lower()}</p>'
        f'<p class="qt-verdict-title" id="{key}-title">{escape(block.title)}</p>'
        f'<p class="qt-verdict-text" id="{key}-text">{escape(block.text)}</p></div>'
    )


def _count(block: Tally, widget: str) -> str:
    """How far it has come, a part a line; every missing reading is a link to its box."""
    key = f"{widget}-{block.name}"
    parts = "".join(_count_part(part, f"{key}-{part.name}") for part in block.parts)
    return f'<section class="qt-count" id="{key}" aria-label="{escape(block.title)}">{parts}</section>'


def _count_part(part: TallyPart, key: str) -> str:
    left = part.wanted - part.done
    told = "done" if left == 0 else f"{left} to go"
    items = "".join(_missing(each, f"{key}-{place}") for place, each in enumerate(part.missing))
    listed = f'<ul class="qt-count-missing" id="{key}-missing">{items}</ul>' if items else ""
    return (
        f'<div class="qt-count-part" id="{key}" data-left="{left}"><p class="qt-count-head" id="{key}-head">'
        f'<strong>{escape(part.title)}</strong> <span class="qt-count-left">{told}</span></p>{listed}</div>'
    )


def _missing(each: Missing, key: str) -> str:
    address = _address(each.page, f"field-{each.field}")
    return (
        f'<li id="{key}"><a href="{address}" data-to-field="{each.field}" id="{key}-link">{escape(each.text)}</a></li>'
    )


def _offer(block: Offer, widget: str) -> str:
    """A button that makes entries; the page's script asks for them by the names of widget and block."""
    key = f"{widget}-{block.name}"
    then = f' data-then="{widget}/{block.then}"' if block.then else ""
    return (
        f'<p class="qt-note" id="{key}-text">{escape(block.text)}</p>'
        f'<button type="button" class="qt-button qt-offer" id="{key}-button" data-offer="{block.name}"{then}>'
        f"{escape(block.label)}</button>"
    )


def _offer_row(block: OfferRow, widget: str) -> str:
    """Their buttons abreast, each with what it does as its description."""
    buttons = "".join(
        f'<button type="button" class="qt-button qt-offer" id="{widget}-{one.name}-button" data-offer="{one.name}" '
        f'data-again title="{escape(one.text)}">{escape(one.label)}</button>'
        for one in block.offers
    )
    return f'<p class="qt-offer-row" id="{widget}-{block.name}-row">{buttons}</p>'


def _stage(stage: Stage, key: str) -> str:
    address = _address(stage.page, stage.anchor)
    note = f'<span class="qt-way-note" id="{key}-note">{escape(stage.note)}</span>' if stage.note else ""
    current = ' aria-current="step"' if stage.mark == "next" else ""
    return (
        f'<li class="qt-stage-of-way qt-stage--{stage.mark}" id="{key}" data-mark="{stage.mark}"{current}>'
        f'<a href="{address}" id="{key}-link">{escape(stage.text)}</a> '
        f'<span class="qt-way-mark" id="{key}-mark">{MARKS[stage.mark]}</span>{note}</li>'
    )


def problems_text(problems: tuple[Problem, ...]) -> str:
    """One short line for those who hear the page."""
    if len(problems) == 1:
        return problems[0].sentence
    return f"{len(problems)} entries cannot be used; the first: {problems[0].sentence}"
