"""The setup card: how a bow is set, on one side of a small sheet for its case, with a code that opens the record."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.figures.card import card
from quarterturn.record.values import Values
from quarterturn.widgets import card_text
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Drawing, Points, Refusal, Stage, State
from quarterturn.widgets.card import card_values
from quarterturn.widgets.card.form import ASKED, GROUPS, NAME
from quarterturn.widgets.card_sheet import code_of, sheet_of, size_of, tells_numbers
from quarterturn.widgets.frame import Widget

NOT_SAID = (
    "Whether the bow is sound, or strong enough. You see only what was counted and measured, and when.",
    "Anything about other limbs in this riser, or about this bow after a bolt was turned again.",
    "The assumptions and uncertainties behind the safe range: they are under Find the safe range.",
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Lay out the card; what is known against the bow is on the card itself.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    state, title, sentence, badge = card_text.state(judgement)
    notes = (Points("not-said", "What is not on the card", NOT_SAID),) if tells_numbers(judgement) else ()
    return Answer(
        *(NAME, state, title, sentence, f"{title}.", tuple(_parts(values, judgement)), badge),
        notes=notes,
        headline=card_text.headline(judgement) if state is State.GO else "",
        line=title,
    )


def _parts(values: Values, judgement: Judgement) -> list[Block | DeferredBlock]:
    drawn = DeferredBlock("sheet", partial(_card, values, judgement))
    if not tells_numbers(judgement):
        return [drawn]
    return [
        drawn,
        DeferredBlock("remarks", partial(_remarks, values, judgement), warns=True),
        card_values.bolts(judgement),
        card_values.facts(values, judgement),
        DeferredBlock("code", partial(_code, values, judgement)),
        *card_values.waits(values, judgement),
    ]


def _card(values: Values, judgement: Judgement) -> Drawing:
    size = size_of(values)
    name = f"sheet-{size.name}"
    picture = card(sheet_of(values, judgement), size, prefix=f"{NAME}-{name}", name=name)
    return Drawing(picture, f"The card, {size.words}. It prints in this size, alone on its sheet.")


def _remarks(values: Values, judgement: Judgement) -> Points | None:
    return next(iter(card_values.remarks(values, judgement.positions, code_of(values).remark)), None)


def _code(values: Values, judgement: Judgement) -> Block | None:
    return card_values.code(sheet_of(values, judgement), size_of(values))


WIDGET = Widget(
    name=NAME,
    title="Setup card",
    groups=GROUPS,
    work=work,
    facts=frozenset(("sheet", "sheet-a6", "sheet-index", "remarks", "bolts", "facts", "code")),
    next=(Stage("Back to the start", "", "", "read"),),
    sheet="log and numbers",
    buttons=(("print-card", "Print the card"),),
)
