"""Carry a plan out: what comes next, and every reading held against what had been foretold."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import bow_events, plan_basis, plan_map, plan_steps, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Stage
from quarterturn.widgets.carry_out import entry_offers, progress, readings, steps, verdict
from quarterturn.widgets.carry_out.form import ASKED, GROUPS, NAME
from quarterturn.widgets.explanation import assumptions, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.plan_warnings import plan_warnings
from quarterturn.widgets.planned_change import PLAN_ASSUMED, PlannedChange, explain_plan, plan_change
from quarterturn.widgets.turn_prediction import ASSUMED, predict

CAUTIONS = (
    *words.CAUTIONS,
    "Turn no bolt by more than half a turn in a step, and measure after every step.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what comes next, and hold what was read against what was expected.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    shown = plan_change(predict(values, ASKED), judgement)
    return explain_plan(
        NAME, shown, verdict.title(shown), verdict.sentence(shown), "Step by step", _parts(shown), verdict.line(shown)
    )


def _parts(shown: PlannedChange) -> list[Block | DeferredBlock]:
    plan, on = shown.plan, not shown.alone and (not progress.carried(shown) or progress.goes_on(shown))
    return [
        *plan_warnings(shown),
        *((plan_steps.in_turns(shown.values),) if shown.alone else ()),
        DeferredBlock("next-step", partial(steps.next_step, shown)),
        *entry_offers.offers(shown),
        *entry_offers.tells(shown),
        *(one for one in (steps.step_back(shown),) if one is not None),
        DeferredBlock("course", partial(readings.course, shown)),
        DeferredBlock("rest", partial(steps.rest, shown)),
        DeferredBlock("blank-step", partial(steps.blank_step, shown.values)),
        DeferredBlock("pairs", lambda: None if plan is None or not on else plan_map.map_of(shown, plan, NAME)),
        DeferredBlock("foretold-by", lambda: None if shown.alone else plan_basis.foretold_by(shown)),
        readings.progress_values(shown),
        *(block for block in (bow_events.events_table(shown.values),) if block is not None),
    ]


WIDGET = Widget(
    name=NAME,
    title="Step by step",
    groups=GROUPS,
    work=work,
    facts=frozenset(
        (
            "by-log",
            "log-told",
            "told",
            "other-bolt",
            "back",
            "took-back",
            "course",
            "tell-weight",
            "tell-tiller",
            "tell-brace",
            "progress",
            "happened",
        )
    ),
    steps=frozenset(("in-turns", "next-step", "rest", "blank-step", "did-step")),
    blocks=frozenset(("took-back", "unusual")),
    notes=(assumptions(*PLAN_ASSUMED, *ASSUMED), sources(*SOURCES_USED)),
    next=(Stage("After a turn", "after", "", "read"),),
    cautions=CAUTIONS,
)
