"""The setup card: how a bow is set, on one side of a small sheet for its case, with a code that opens the record."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.setting import Setting, setting
from quarterturn.figures.card import card
from quarterturn.record.reading import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, Drawing, Later, Points, Refusal, Widget
from quarterturn.widgets.card import tables
from quarterturn.widgets.card import words_on_it as on_it
from quarterturn.widgets.card.form import ASKED, GROUPS, NAME
from quarterturn.widgets.card.sheet import code_of, sheet_of, size_of
from quarterturn.widgets.gate import Closed, closed

NOT_SAID = (
    "That the bow is sound, or strong enough. It tells what was counted and measured, and on which day.",
    "Anything about other limbs in this riser, or about this bow after a bolt was turned again.",
    "The assumptions and doubts behind the window: the worksheet has them, and the code leads to it.",
)


def answer(values: Values) -> Answer:
    """Lay out the card; a closed gate stands on the card itself.

    Raises:
        Refusal: where the gate is open and an entry of this form cannot be used.
    """
    found, gate = setting(values), closed(values)
    if gate is not None:
        verdict = f"{gate.sentence} The card says so, and shows neither a window nor a number."
        parts: tuple[Block | Later, ...] = (*gate.findings(), _drawing(values, found, gate), _cautions())
        return Answer(NAME, gate.state, gate.title, verdict, f"{gate.title}.", parts)
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    state, title, sentence, badge = on_it.state(found)
    return Answer(NAME, state, title, sentence, f"{title}.", tuple(_parts(values, found)), badge)


def _parts(values: Values, found: Setting) -> list[Block | Later]:
    return [
        _drawing(values, found, None),
        Later(partial(_remarks, values, found)),
        tables.bolts(values, found),
        tables.facts(values, found),
        Later(partial(_code, values, found)),
        *tables.waits(values, found),
        Points("not-said", "What the card does not say", NOT_SAID),
        _cautions(),
    ]


def _drawing(values: Values, found: Setting, gate: Closed | None) -> Later:
    return Later(partial(_card, values, found, gate))


def _card(values: Values, found: Setting, gate: Closed | None) -> Drawing:
    size = size_of(values)
    name = f"sheet-{size.name}"
    picture = card(sheet_of(values, found, gate), size, prefix=f"{NAME}-{name}", name=name)
    return Drawing(picture, f"The card, {size.words}. It is printed in this size, alone on its sheet.")


def _remarks(values: Values, found: Setting) -> Points | None:
    return next(iter(tables.remarks(values, found, code_of(values, found).remark)), None)


def _code(values: Values, found: Setting) -> Block | None:
    return tables.code(sheet_of(values, found, None), size_of(values))


def _cautions() -> Points:
    return Points("cautions", "Cautions", words.CAUTIONS, "caution")


WIDGET = Widget(name=NAME, title="Setup card", groups=GROUPS, answer=answer, sheet="the card")
