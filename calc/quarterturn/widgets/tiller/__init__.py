"""Tiller and brace height: what turning either bolt does to them, foretold from the reader's own readings."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow, bow_doubts, words
from quarterturn.widgets.about_bow import ASSUMED, About, about
from quarterturn.widgets.answer import Answer, Block, Drawing, Later, Points, Stage
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.tiller import pictures, sentences, tables
from quarterturn.widgets.tiller.form import ASKED, GROUPS, NAME

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
    return explained(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    shown = about(values, ASKED)
    return Explanation(
        title=sentences.title(shown),
        sentence=sentences.sentence(shown),
        spoken=f"{sentences.title(shown)}.",
        parts=tuple(_parts(shown)),
        example=shown.example,
        searched=7,
        badge="Your bow, computed",
        made_up=about_bow.made_up(shown),
    )


def _parts(shown: About) -> list[Block | Later]:
    return [
        pictures.whole_bow(shown),
        *about_bow.warnings(shown),
        *about_bow.by_log(shown),
        Later(partial(_sure, shown, tables.as_it_is)) if shown.moved else tables.as_it_is(shown),
        Later(partial(_sure, shown, _strong)),
        Later(partial(_sure, shown, tables.foretold)),
        Later(partial(_sure, shown, tables.by_turn)),
        Later(partial(pictures.over_turns, shown)),
        Later(partial(tables.string, shown)),
        Later(partial(_sure, shown, _matters)),
        Later(partial(_sure, shown, bow_doubts.table)),
        Later(partial(_sure, shown, tables.by_name)),
        Points("assumed", "Under these assumptions", ASSUMED),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
    ]


def _sure(shown: About, make: Callable[[About], Block | None]) -> Block | None:
    """What needs the doubts; nothing where the bow has no answer about where its bolts stand."""
    try:
        return make(shown)
    except FitError:
        return None


def _strong(shown: About) -> Points | None:
    return about_bow.strong(shown)


def _matters(shown: About) -> Drawing:
    return bow_doubts.figure(shown, NAME, "tiller", bow_doubts.UPPER_IN)


WIDGET = Widget(
    name=NAME,
    title="Tiller and brace height",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt", "assumed", "sources")),
    next=(
        Stage("Draw weight and the force-draw curve", "draw-weight", "", "read"),
        Stage("Plan a change", "plan", "", "read"),
    ),
    cautions=CAUTIONS,
)
