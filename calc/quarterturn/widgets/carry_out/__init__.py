"""Carry a plan out: what comes next, and every reading held against what had been foretold."""

from __future__ import annotations

from functools import partial

from quarterturn.record.reading import Values
from quarterturn.widgets import about_bow, plan_parts, words
from quarterturn.widgets.about_bow import ASSUMED, about
from quarterturn.widgets.about_plan import PLANNED, Planned, planned, warned
from quarterturn.widgets.answer import Answer, Block, Later, Points, Stage, State, Way, Widget
from quarterturn.widgets.carry_out import sentences, tables
from quarterturn.widgets.carry_out.form import ASKED, GROUPS, NAME
from quarterturn.widgets.explained import Explanation, explained, source

CAUTIONS = (
    *words.CAUTIONS,
    "No step over half a turn of a bolt, and none that you have not measured after.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "gum", "common-practice")


def answer(values: Values) -> Answer:
    """Say what comes next, and whether what was read is what had been foretold; a closed gate stands above it.

    Raises:
        Refusal: where the gate is open and an entry of this form cannot be used, or entries contradict one another.
    """
    return explained(NAME, values, _explain)


def _explain(values: Values) -> Explanation:
    shown = planned(about(values, ASKED))
    return Explanation(
        title=sentences.title(shown),
        sentence=sentences.sentence(shown),
        spoken=f"{sentences.title(shown)}.",
        parts=tuple(_parts(shown)),
        example=shown.about.example and not shown.alone,
        badge="Step by step",
        reading_on="read on",
        made_up=about_bow.made_up(shown.about),
        searched=7,
        state=State.STOP if sentences.amiss(shown) else None,
    )


def _parts(shown: Planned) -> list[Block | Later]:
    plan, on = shown.plan, not shown.alone and (not sentences.carried(shown) or sentences.goes_on(shown))
    return [
        *(one for one in (tables.stop(shown),) if one is not None),
        *warned(shown),
        *((plan_parts.in_turns(),) if shown.alone and shown.may_turn and not sentences.amiss(shown) else ()),
        Later(partial(tables.next_step, shown)),
        *(one for one in (tables.step_back(shown),) if one is not None),
        Later(partial(tables.course, shown)),
        Later(partial(tables.rest, shown)),
        Later(lambda: None if plan is None or not on else plan_parts.map_of(shown, plan, NAME)),
        Later(lambda: None if shown.alone else plan_parts.foretold_by(shown)),
        tables.progress(shown),
        Points("assumed", "Under these assumptions", (*PLANNED, *ASSUMED)),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
        Way(
            "next",
            "Next",
            (Stage("After the change", "after", "", "read"), Stage("Write the setup card", "card", "", "read")),
        ),
        Points("cautions", "Cautions", CAUTIONS, "caution"),
    ]


WIDGET = Widget(name=NAME, title="Carry it out", groups=GROUPS, answer=answer)
