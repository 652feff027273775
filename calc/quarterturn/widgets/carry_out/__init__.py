"""Carry a plan out: what comes next, and every reading held against what had been foretold."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow, about_events, plan_parts, words
from quarterturn.widgets.about_bow import ASSUMED, about
from quarterturn.widgets.about_plan import PLANNED, Planned, keeps, planned, warned
from quarterturn.widgets.answer import Answer, Block, Later, Points, Stage
from quarterturn.widgets.carry_out import sentences, tables
from quarterturn.widgets.carry_out.form import ASKED, GROUPS, NAME
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget

CAUTIONS = (
    *words.CAUTIONS,
    "No step over half a turn of a bolt, and none that you have not measured after.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what comes next, and hold what was read against what was expected.

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
        badge="Step by step",
        made_up=about_bow.made_up(shown.about),
        searched=7,
    )


def _parts(shown: Planned) -> list[Block | Later]:
    plan, on = shown.plan, not shown.alone and (not sentences.carried(shown) or sentences.goes_on(shown))
    return [
        *warned(shown),
        *((plan_parts.in_turns(),) if shown.alone else ()),
        Later(partial(tables.next_step, shown)),
        *(one for one in (tables.step_back(shown),) if one is not None),
        Later(partial(tables.course, shown)),
        Later(partial(tables.rest, shown)),
        Later(lambda: None if plan is None or not on else plan_parts.map_of(shown, plan, NAME)),
        Later(lambda: None if shown.alone else plan_parts.foretold_by(shown)),
        tables.progress(shown),
        *(block for block in (about_events.table(shown.values),) if block is not None),
        Points("assumed", "Under these assumptions", (*PLANNED, *ASSUMED)),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
    ]


WIDGET = Widget(
    name=NAME,
    title="Carry it out",
    groups=GROUPS,
    work=work,
    facts=frozenset(
        ("by-log", "log-told", "told", "other-bolt", "back", "course", "progress", "happened", "assumed", "sources")
    ),
    steps=frozenset(("in-turns", "next-step", "rest")),
    next=(Stage("After the change", "after", "", "read"), Stage("Write the setup card", "card", "", "read")),
    cautions=CAUTIONS,
)
