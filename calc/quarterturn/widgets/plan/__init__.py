"""Plan a change: the pair of settings nearest to the wanted draw weight and tiller, and the steps to it."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import plan_basis, plan_map, plan_steps, planned_change, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Stage
from quarterturn.widgets.explanation import assumptions, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.plan import best_pair, room_to_turn, step_list, verdict
from quarterturn.widgets.plan.form import ASKED, GROUPS, NAME
from quarterturn.widgets.plan_warnings import plan_warnings
from quarterturn.widgets.planned_change import PLAN_ASSUMED, PlannedChange, explain_plan, plan_change
from quarterturn.widgets.turn_prediction import ASSUMED, predict

CAUTIONS = (
    *words.CAUTIONS,
    "Turn no bolt by more than half a turn in a step. You can always step back: the same turn the other way, string "
    "off.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Find the nearest setting and the way to it.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    shown = plan_change(predict(values, ASKED), judgement)
    badge = "Turns only" if shown.alone else "Your plan"
    return explain_plan(
        NAME, shown, verdict.title(shown), verdict.sentence(shown), badge, _parts(shown), verdict.line(shown)
    )


def _parts(shown: PlannedChange) -> list[Block | DeferredBlock]:
    return [
        *(_in_turns(shown) if shown.alone else _by_numbers(shown)),
        DeferredBlock("room", partial(room_to_turn.room, shown)),
    ]


def _in_turns(shown: PlannedChange) -> list[Block | DeferredBlock]:
    """Without readings of the bow nothing is foretold: no map, and no number of another bow."""
    return [*plan_warnings(shown), plan_steps.in_turns(shown.values), room_to_turn.one_more(shown)]


def _by_numbers(shown: PlannedChange) -> list[Block | DeferredBlock]:
    plan = shown.plan
    if plan is None:
        return [*plan_warnings(shown)]
    return [
        DeferredBlock("pairs", partial(plan_map.map_of, shown, plan, NAME)),
        *plan_warnings(shown),
        *planned_change.new_plan(shown),
        DeferredBlock("best", partial(best_pair.best, shown, plan)),
        DeferredBlock("before", partial(step_list.before, shown, plan), warns=True),
        DeferredBlock("steps", partial(step_list.steps, shown, plan)),
        DeferredBlock("each-step", partial(step_list.each_step, shown)),
        DeferredBlock("ranking", partial(best_pair.ranking, shown, plan)),
        DeferredBlock("reach", partial(best_pair.reach, shown, plan)),
        DeferredBlock("foretold-by", partial(plan_basis.foretold_by, shown)),
    ]


WIDGET = Widget(
    name=NAME,
    title="Plan a change",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "log-told", "told", "other-bolt")),
    steps=frozenset(("in-turns", "before", "steps", "each-step")),
    blocks=frozenset(("new-plan", "one-more", "unusual")),
    notes=(assumptions(*PLAN_ASSUMED, *ASSUMED), sources(*SOURCES_USED)),
    next=(Stage("After a turn", "after", "", "read"),),
    cautions=CAUTIONS,
)
