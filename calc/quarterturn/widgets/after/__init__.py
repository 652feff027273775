"""After the change: what to set again and in which order, whether the arrow is heavy enough, what it asks of it."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.arrows import MassJudgement
from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import bow_warnings, turn_prediction
from quarterturn.widgets.after import arrow_values, before_and_after, pictures, setting_order, verdict, warnings
from quarterturn.widgets.after.form import ASKED, GROUPS, NAME
from quarterturn.widgets.after.inputs import BowChange, bow_change
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Points, Stage, State
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.turn_prediction import where_solvable

SOURCES_USED = ("amo-arrow", "astm-f2031", "bow-mechanics", "elastica", "amo", "yarn", "gum", "common-practice")
ASSUMED = (
    "The bow is computed as under Weigh and measure, from the same readings, for the same string. Inside both safe "
    "ranges only.",
    "Spine that keeps step, and the arrow's drop, go against draw weight. These are rules of proportion, for the same "
    "length, point and mass of arrow. Only shooting shows what an arrow needs.",
    "The bow square is on the rest and square to the string. If the rest's place is not entered, it is taken above the "
    "pivot point.",
    "The head rises by the pitch for each turn, and nothing gives.",
    turn_prediction.PAIR,
    turn_prediction.ASSUMED[-1],
)
STATES = {MassJudgement.LIGHT: State.STOP, MassJudgement.NEAR: State.ASK}


def work(values: Values, judgement: Judgement) -> Answer:
    """Tell what to set again after a change, and whether the arrow is heavy enough.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explain(NAME, _explain(bow_change(values, ASKED, judgement)))


def _explain(shown: BowChange) -> Explanation:
    return Explanation(
        title=verdict.title(shown),
        sentence=verdict.sentence(shown),
        parts=tuple(_parts(shown)),
        example=shown.prediction.example,
        badge="Your bow, computed",
        made_up=turn_prediction.made_up(shown.prediction),
        searched=7,
        state=None if shown.stopped is None else STATES[shown.stopped],
        line=verdict.line(shown),
    )


def _parts(shown: BowChange) -> list[Block | DeferredBlock]:
    first = (
        warnings.light(shown),
        warnings.outside(shown),
        *bow_warnings.warnings(shown.prediction),
        warnings.by_log(shown),
        *(() if shown.by_log else bow_warnings.by_log(shown.prediction)),
        warnings.general(shown),
    )
    return [
        *(block for block in first if block is not None),
        arrow_values.arrow(shown),
        pictures.masses(shown),
        where_solvable("off", partial(before_and_after.off, shown), warns=True),
        *((setting_order.order(shown),) if shown.by else ()),
        where_solvable("before-after", partial(before_and_after.before_and_after, shown)),
        DeferredBlock("string", partial(before_and_after.string, shown)),
        *(block for block in (arrow_values.stiffness(shown),) if block is not None),
        DeferredBlock("spine", partial(pictures.spines, shown)),
        *(block for block in (before_and_after.heads(shown),) if block is not None),
        where_solvable("by-name", partial(before_and_after.by_name, shown)),
        Points("ask", "See a coach or a technician when", warnings.ASK),
    ]


WIDGET = Widget(
    name=NAME,
    title="After the change",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt", "general", "ask")),
    steps=frozenset(("order",)),
    blocks=frozenset(("beyond", "light")),
    notes=(assumptions(*ASSUMED, folded=True), sources(*SOURCES_USED)),
    next=(Stage("Card, log, bows", "keep", "", "read"),),
    cautions=warnings.CAUTIONS,
)
