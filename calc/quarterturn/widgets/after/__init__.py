"""After the change: what to set again and in which order, whether the arrow is heavy enough, what it asks of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from quarterturn.bench.arrows import MassJudgement
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow
from quarterturn.widgets.after import pictures, sentences, steps, tables
from quarterturn.widgets.after.asked import After, after
from quarterturn.widgets.after.form import ASKED, GROUPS, NAME
from quarterturn.widgets.answer import Answer, Block, Later, Points, Stage, State
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget

SOURCES_USED = ("amo-arrow", "astm-f2031", "bow-mechanics", "elastica", "amo", "yarn", "gum", "common-practice")
ASSUMED = (
    "The bow is computed as on the page on tiller, from the same readings, for the same string. Inside both "
    "windows only.",
    "Spine that keeps step goes against draw weight, and the arrow's drop likewise: rules of proportion, for the same "
    "length, point and mass of arrow. What an arrow needs, shooting tells.",
    "The bow square lies on the rest and is square to the string. Where the rest's place is not told, it is over the "
    "pivot point.",
    "The head rises by the pitch for each turn, and nothing gives.",
    about_bow.PAIR,
    about_bow.ASSUMED[-1],
)
STATES = {MassJudgement.LIGHT: State.STOP, MassJudgement.NEAR: State.ASK}


def work(values: Values, judgement: Judgement) -> Answer:
    """Tell what to set again after a change, and whether the arrow is heavy enough.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explained(NAME, _explain(after(values, ASKED, judgement)))


def _explain(shown: After) -> Explanation:
    return Explanation(
        title=sentences.title(shown),
        sentence=sentences.sentence(shown),
        spoken=f"{sentences.title(shown)}.",
        parts=tuple(_parts(shown)),
        example=shown.about.example,
        badge="Your bow, computed",
        made_up=about_bow.made_up(shown.about),
        searched=7,
        state=None if shown.stopped is None else STATES[shown.stopped],
    )


def _parts(shown: After) -> list[Block | Later]:
    first = (
        sentences.light(shown),
        sentences.outside(shown),
        *about_bow.warnings(shown.about),
        sentences.by_log(shown),
        *(() if shown.by_log else about_bow.by_log(shown.about)),
        sentences.general(shown),
    )
    return [
        *(block for block in first if block is not None),
        tables.arrow(shown),
        pictures.masses(shown),
        Later(partial(_sure, shown, tables.off)),
        *((steps.order(shown),) if shown.by else ()),
        Later(partial(_sure, shown, tables.before_and_after)),
        Later(partial(tables.string, shown)),
        *(block for block in (tables.stiffness(shown),) if block is not None),
        Later(partial(pictures.spines, shown)),
        *(block for block in (tables.heads(shown),) if block is not None),
        Later(partial(_sure, shown, tables.by_name)),
        Points("ask", "See a coach or a technician when", sentences.ASK),
        Points("assumed", "Under these assumptions", ASSUMED, folded=True),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
    ]


def _sure(shown: After, make: Callable[[After], Block | None]) -> Block | None:
    """What needs the doubts; nothing where the bow has no answer about where its bolts stand."""
    try:
        return make(shown)
    except FitError:
        return None


WIDGET = Widget(
    name=NAME,
    title="After the change",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt", "general", "ask", "assumed", "sources")),
    steps=frozenset(("order",)),
    next=(
        Stage("Write the setup card", "card", "", "read"),
        Stage("Tiller or weight is not what you want", "plan", "", "read"),
    ),
    cautions=sentences.CAUTIONS,
)
