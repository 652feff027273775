"""Plan a change: the pair of settings nearest to the wanted draw weight and tiller, and the steps to it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow, plan_parts, words
from quarterturn.widgets.about_bow import ASSUMED, about
from quarterturn.widgets.about_plan import PLANNED, Planned, keeps, planned, warned
from quarterturn.widgets.answer import Answer, Block, Later, Points, Stage
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.plan import sentences, tables
from quarterturn.widgets.plan.form import ASKED, GROUPS, NAME

CAUTIONS = (
    *words.CAUTIONS,
    "No step over half a turn of a bolt. A step back is always open: the same turn the other way, string off.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Find the nearest setting and the way to it.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    shown = planned(about(values, ASKED), judgement)
    return replace(explained(NAME, _explain(shown)), keeps=keeps(shown))


def _explain(shown: Planned) -> Explanation:
    return Explanation(
        title=sentences.title(shown),
        sentence=sentences.sentence(shown),
        spoken=f"{sentences.title(shown)}.",
        parts=tuple(_parts(shown)),
        example=shown.about.example and not shown.alone,
        badge="In turns alone" if shown.alone else "Your plan",
        made_up=about_bow.made_up(shown.about),
        searched=7,
    )


def _parts(shown: Planned) -> list[Block | Later]:
    return [
        *(_in_turns(shown) if shown.alone else _by_numbers(shown)),
        Later(partial(tables.room, shown)),
        Points("assumed", "Under these assumptions", (*PLANNED, *ASSUMED)),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
    ]


def _in_turns(shown: Planned) -> list[Block | Later]:
    """Without readings of the bow nothing is foretold: no map, and no number of another bow."""
    return [*warned(shown), plan_parts.in_turns(), tables.one_more(shown)]


def _by_numbers(shown: Planned) -> list[Block | Later]:
    plan = shown.plan
    if plan is None:
        return [*warned(shown)]
    return [
        Later(partial(plan_parts.map_of, shown, plan, NAME)),
        *warned(shown),
        *plan_parts.new_plan(shown),
        Later(partial(tables.best, shown, plan)),
        Later(partial(tables.before, shown, plan)),
        Later(partial(tables.steps, shown, plan)),
        Later(partial(tables.each_step, shown)),
        Later(partial(tables.ranking, shown, plan)),
        Later(partial(tables.reach, shown, plan)),
        Later(partial(plan_parts.foretold_by, shown)),
    ]


WIDGET = Widget(
    name=NAME,
    title="Plan a change",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "log-told", "told", "other-bolt", "assumed", "sources")),
    steps=frozenset(("in-turns", "before", "steps", "each-step")),
    next=(
        Stage("Carry it out, step by step", "carry-out", "", "read"),
        Stage("After the change", "after", "", "read"),
    ),
    cautions=CAUTIONS,
)
