"""Tiller and brace height: what turning either bolt does to them, foretold from the reader's own readings."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import bow_warnings, turn_prediction, uncertainty_tables, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Drawing, Points, Stage
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.tiller import before_and_after, effects_of_turns, pictures, verdict
from quarterturn.widgets.tiller.form import ASKED, GROUPS, NAME
from quarterturn.widgets.turn_prediction import ASSUMED, TurnPrediction, predict

CAUTIONS = (
    *words.CAUTIONS,
    "No step over half a turn of a bolt; measure after each. A reading that is not as foretold means: recount, or stop "
    "and look.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "amo", "yarn", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Predict what a turn does to tiller, brace height and draw weight.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    shown = predict(values, ASKED)
    return Explanation(
        title=verdict.title(shown),
        sentence=verdict.sentence(shown),
        spoken=f"{verdict.title(shown)}.",
        parts=tuple(_parts(shown)),
        example=shown.example,
        searched=7,
        badge="Your bow, computed",
        made_up=turn_prediction.made_up(shown),
    )


def _parts(shown: TurnPrediction) -> list[Block | DeferredBlock]:
    return [
        pictures.whole_bow(shown),
        *bow_warnings.warnings(shown),
        *bow_warnings.by_log(shown),
        DeferredBlock(partial(_sure, shown, before_and_after.as_it_is))
        if shown.moved
        else before_and_after.as_it_is(shown),
        DeferredBlock(partial(_sure, shown, _strong)),
        DeferredBlock(partial(_sure, shown, before_and_after.foretold)),
        DeferredBlock(partial(_sure, shown, effects_of_turns.by_turn)),
        DeferredBlock(partial(pictures.over_turns, shown)),
        DeferredBlock(partial(before_and_after.string, shown)),
        DeferredBlock(partial(_sure, shown, _matters)),
        DeferredBlock(partial(_sure, shown, uncertainty_tables.table)),
        DeferredBlock(partial(_sure, shown, effects_of_turns.by_name)),
    ]


def _sure(shown: TurnPrediction, make: Callable[[TurnPrediction], Block | None]) -> Block | None:
    """What needs the doubts; nothing where the bow has no answer about where its bolts stand."""
    try:
        return make(shown)
    except FitError:
        return None


def _strong(shown: TurnPrediction) -> Points | None:
    return bow_warnings.strong(shown)


def _matters(shown: TurnPrediction) -> Drawing:
    return uncertainty_tables.figure(shown, NAME, "tiller", uncertainty_tables.UPPER_IN)


WIDGET = Widget(
    name=NAME,
    title="Tiller and brace height",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt")),
    notes=(assumptions(*ASSUMED), sources(*SOURCES_USED)),
    next=(
        Stage("Draw weight and the force-draw curve", "draw-weight", "", "read"),
        Stage("Plan a change", "plan", "", "read"),
    ),
    cautions=CAUTIONS,
)
