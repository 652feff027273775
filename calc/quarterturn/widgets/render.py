"""From an answer to accessible HTML: the same code when the site is built and in the browser.

Every block and every part that can change has a stable id, so that the page can patch it in place. All text is
escaped here; pictures are SVG that `figures` has escaped. No style attributes: the page's policy forbids them.
"""

from __future__ import annotations

from functools import lru_cache

from quarterturn.markup import escape
from quarterturn.numbers import plain, rounded
from quarterturn.record.entries import Problem
from quarterturn.widgets.answer import (
    Answer,
    Block,
    DeferredBlock,
    Drawing,
    Offer,
    Points,
    Slider,
    Stage,
    State,
    Steps,
    Table,
    Value,
    ValueList,
    Way,
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
BASE_MARK = "@qt-base@"
"""Stands where the way from the page to the site's first page is put in."""
MARKS = {"done": "done", "next": "next", "open": "not yet", "stop": "stop", "read": "to read"}
"""What is said of a stage."""


def render(answer: Answer) -> str:
    """The whole answer as HTML."""
    return "".join(pieces(answer))


def pieces(answer: Answer) -> list[str]:
    """The answer's HTML, an element a piece: the verdict, then every block, or what keeps the place of none."""
    return [_verdict(answer), *(_part(part, place, answer.widget) for place, part in enumerate(answer.parts))]


def _part(part: Block | DeferredBlock, place: int, widget: str) -> str:
    if not isinstance(part, DeferredBlock):
        return _block(part, widget)
    # As many pieces as the first part has, so that it can be shown before the rest is there.
    return "".join(_block(block, widget) for block in part.made) or f'<span hidden id="{widget}-none-{place}"></span>'


def first_pieces(answer: Answer) -> list[str | None]:
    """The same pieces, None for each that is made later."""
    parts = answer.parts
    return [
        _verdict(answer),
        *(None if isinstance(part, DeferredBlock) else _block(part, answer.widget) for part in parts),
    ]


def _verdict(answer: Answer) -> str:
    return (
        f'<div class="qt-verdict qt-verdict--{answer.state.value}" id="{answer.widget}-verdict" '
        f'data-state="{answer.state.value}">'
        f'<p class="qt-verdict-badge" id="{answer.widget}-badge">{escape(answer.badge or BADGES[answer.state])}</p>'
        f'<h3 class="qt-verdict-title" id="{answer.widget}-title">{escape(answer.title)}</h3>'
        f'<p class="qt-verdict-text" id="{answer.widget}-text">{escape(answer.verdict)}</p></div>'
    )


@lru_cache(maxsize=128)
def _block(block: Block, widget: str) -> str:
    match block:
        case ValueList():
            return _section(widget, block.name, block.title, _values(block), side=block.side, folded=block.folded)
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
        f'<h4 id="{key}-head">{escape(title)}</h4>{body}</section>'
    )


def _values(block: ValueList) -> str:
    return f'<dl class="qt-values">{"".join(_value(value) for value in block.values)}</dl>'


def _value(value: Value) -> str:
    number = "" if value.value is None else f' data-value="{rounded(value.value)!r}" data-unit="{escape(value.unit)}"'
    uncertainty = "" if value.uncertainty is None else f' data-uncertainty="{rounded(value.uncertainty)!r}"'
    note = f'<span class="qt-value-note" id="v-{value.name}-note">{escape(value.note)}</span>' if value.note else ""
    return (
        f'<div class="qt-value" id="v-{value.name}" data-name="{value.name}"{number}{uncertainty}>'
        f'<dt id="v-{value.name}-label">{escape(value.label)}</dt>'
        f'<dd id="v-{value.name}-text">'
        f'<span class="qt-value-text" id="v-{value.name}-figure">{escape(value.text)}</span> '
        f'<span class="qt-value-status" id="v-{value.name}-status">{escape(value.status.value)}</span>{note}</dd></div>'
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
    intro = f'<p class="qt-note" id="{widget}-{block.name}-intro">{escape(block.intro)}</p>' if block.intro else ""
    items = "".join(
        f'<li id="{widget}-{block.name}-{place}">{escape(step)}</li>' for place, step in enumerate(block.steps)
    )
    return f'{intro}<ol class="qt-steps" id="{widget}-{block.name}-list">{items}</ol>'


def _points(block: Points, widget: str) -> str:
    items = "".join(
        f'<li id="{widget}-{block.name}-{place}">{escape(point)}</li>' for place, point in enumerate(block.points)
    )
    return f'<ul class="qt-points" id="{widget}-{block.name}-list">{items}</ul>'


def _way(block: Way, widget: str) -> str:
    items = "".join(_stage(stage, f"{widget}-{block.name}-{place}") for place, stage in enumerate(block.stages))
    return f'<ol class="qt-way" id="{widget}-{block.name}-list">{items}</ol>'


def _offer(block: Offer, widget: str) -> str:
    """A button that makes entries; the page's script asks for them by the names of widget and block."""
    key = f"{widget}-{block.name}"
    return (
        f'<p class="qt-note" id="{key}-text">{escape(block.text)}</p>'
        f'<button type="button" class="qt-button qt-offer" id="{key}-button" data-offer="{block.name}">'
        f"{escape(block.label)}</button>"
    )


def _stage(stage: Stage, key: str) -> str:
    address = BASE_MARK + (f"{stage.page}/" if stage.page else "") + (f"#{stage.anchor}" if stage.anchor else "")
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
