"""Tiller and brace height: what turning either bolt does to them, foretold from the reader's own readings."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import bow_warnings, turn_prediction, uncertainty_tables, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Line, Stage
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.tiller import before_and_after, effects_of_turns, pictures, verdict
from quarterturn.widgets.tiller.form import ASKED, GROUPS, NAME
from quarterturn.widgets.turn_prediction import ASSUMED, TurnPrediction, predict, where_solvable

CAUTIONS = (
    *words.CAUTIONS,
    "Turn no bolt by more than half a turn in a step, and measure after each. A reading that you did not expect means: "
    "count again, or stop and look.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "amo", "yarn", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Predict what a turn does to tiller, brace height and draw weight.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    prediction = predict(values, ASKED)
    return Explanation(
        title=verdict.title(prediction),
        sentence=verdict.sentence(prediction),
        parts=tuple(_parts(prediction)),
        example=prediction.example,
        searched=7,
        badge="Your bow, computed",
        made_up=turn_prediction.made_up(prediction),
        headline=verdict.headline(prediction),
        line=verdict.line(prediction),
    )


def _parts(prediction: TurnPrediction) -> list[Block | DeferredBlock]:
    return [
        pictures.whole_bow(prediction),
        Line("tell-weight", verdict.weight_line(prediction)),
        Line("tell-tiller", verdict.tiller_line(prediction)),
        Line("tell-brace", verdict.brace_line(prediction)),
        *bow_warnings.warnings(prediction),
        *bow_warnings.by_log(prediction),
        where_solvable("now", partial(before_and_after.as_it_is, prediction))
        if prediction.moved
        else before_and_after.as_it_is(prediction),
        where_solvable("strong", partial(bow_warnings.strong, prediction), warns=True),
        where_solvable("then", partial(before_and_after.foretold, prediction)),
        where_solvable("by-turn", partial(effects_of_turns.by_turn, prediction)),
        DeferredBlock("turns", partial(pictures.over_turns, prediction)),
        DeferredBlock("string", partial(before_and_after.string, prediction)),
        where_solvable(
            "matters", partial(uncertainty_tables.figure, prediction, NAME, "tiller", uncertainty_tables.UPPER_IN)
        ),
        where_solvable("matters-table", partial(uncertainty_tables.table, prediction)),
        where_solvable("by-name", partial(effects_of_turns.by_name, prediction)),
    ]


WIDGET = Widget(
    name=NAME,
    title="Tiller and brace height",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt", "tell-weight", "tell-tiller", "tell-brace")),
    notes=(assumptions(*ASSUMED), sources(*SOURCES_USED)),
    next=(Stage("Plan and turn", "set", "", "read"),),
    cautions=CAUTIONS,
)
