"""Plan a change: the pair of settings nearest to the wanted draw weight and tiller, and the steps to it."""

from __future__ import annotations

from functools import partial

from quarterturn.record.reading import Values
from quarterturn.widgets import about_bow, plan_parts, words
from quarterturn.widgets.about_bow import ASSUMED, about
from quarterturn.widgets.about_plan import PLANNED, Planned, planned, warned
from quarterturn.widgets.answer import Answer, Block, Later, Points, Stage, Way, Widget
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.plan import sentences, tables
from quarterturn.widgets.plan.form import ASKED, GROUPS, NAME

CAUTIONS = (
    *words.CAUTIONS,
    "No step over half a turn of a bolt. A step back is always open: the same turn the other way, string off.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "gum", "common-practice")


def answer(values: Values) -> Answer:
    """Find the best pair and the way to it; a closed gate stands above it.

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
        badge="In turns alone" if shown.alone else "Your plan",
        reading_on="read on and look at the map",
        made_up=about_bow.made_up(shown.about),
        searched=7,
    )


def _parts(shown: Planned) -> list[Block | Later]:
    return [
        *(_in_turns(shown) if shown.alone else _by_numbers(shown)),
        Later(partial(tables.room, shown)),
        Points("assumed", "Under these assumptions", (*PLANNED, *ASSUMED)),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
        Way(
            "next",
            "Next",
            (
                Stage("Carry it out, step by step", "carry-out", "", "read"),
                Stage("After the change", "after", "", "read"),
            ),
        ),
        Points("cautions", "Cautions", CAUTIONS, "caution"),
    ]


def _in_turns(shown: Planned) -> list[Block | Later]:
    """Without readings of the bow nothing is foretold: no map, and no number of another bow."""
    found: list[Block | Later] = [*warned(shown)]
    if shown.may_turn:
        found.append(plan_parts.in_turns())
    return [*found, tables.one_more(shown)]


def _by_numbers(shown: Planned) -> list[Block | Later]:
    plan = shown.plan
    if plan is None:
        return [*warned(shown)]
    found: list[Block | Later] = [
        Later(partial(plan_parts.map_of, shown, plan, NAME)),
        *warned(shown),
        Later(partial(tables.best, shown, plan)),
    ]
    if shown.may_turn:
        found += [
            Later(partial(tables.before, shown, plan)),
            Later(partial(tables.steps, shown, plan)),
            Later(partial(tables.each_step, shown)),
        ]
    return [
        *found,
        Later(partial(tables.ranking, shown, plan)),
        Later(partial(tables.reach, shown, plan)),
        Later(partial(plan_parts.foretold_by, shown)),
    ]


WIDGET = Widget(name=NAME, title="Plan a change", groups=GROUPS, answer=answer)
