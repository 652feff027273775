"""Draw weight: the force-draw curve from the reader's own readings, and what turning either bolt does to it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import about_bow, bow_doubts, words
from quarterturn.widgets.about_bow import ASSUMED
from quarterturn.widgets.answer import Answer, Block, Drawing, Later, Points, Stage
from quarterturn.widgets.draw_weight import pictures, sentences, tables
from quarterturn.widgets.draw_weight.asked import Curves, curves
from quarterturn.widgets.draw_weight.form import GROUPS, NAME
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget

CAUTIONS = (
    *words.CAUTIONS,
    "Weigh with a hook that cannot slip off the string, with nobody in front of the bow or behind it, and let down "
    "slowly. Never draw farther than you shoot, nor a bow that you cannot hold.",
    "No step over half a turn of a bolt; weigh after each. A weight that is not as foretold means: recount, or stop "
    "and look.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "amo", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Tell draw weight, energy and how both change with the bolts.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explained(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    found = curves(values)
    return Explanation(
        title=sentences.title(found),
        sentence=sentences.sentence(found),
        spoken=f"{sentences.title(found)}.",
        parts=tuple(_parts(found)),
        example=found.shown.example,
        searched=7,
        badge="Your bow, computed",
        made_up=about_bow.made_up(found.shown),
    )


def _parts(found: Curves) -> list[Block | Later]:
    shown = found.shown
    unlike = sentences.unlike(found)
    read = [block for block in (tables.readings(found), tables.by_readings(found)) if block is not None]
    return [
        pictures.force_draw(found),
        *about_bow.warnings(shown),
        *about_bow.by_log(shown),
        *([Points("unlike", "Not quite your limbs", unlike, "caution")] if unlike else []),
        tables.as_it_is(found),
        *read,
        Later(partial(_sure, found, _strong)),
        Later(partial(_sure, found, tables.foretold)),
        Later(partial(_sure, found, pictures.added)),
        Later(partial(_sure, found, tables.rising)),
        Later(partial(tables.points, found)),
        Later(partial(_sure, found, tables.moments)),
        Later(partial(_sure, found, _matters)),
        Later(partial(_sure, found, _numbers)),
        Points("assumed", "Under these assumptions", ASSUMED),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
    ]


def _sure(found: Curves, make: Callable[[Curves], Block | None]) -> Block | None:
    """What needs the doubts; nothing where the bow has no answer about where its bolts stand."""
    try:
        return make(found)
    except FitError:
        return None


def _strong(found: Curves) -> Points | None:
    return about_bow.strong(found.shown)


def _matters(found: Curves) -> Drawing:
    return bow_doubts.figure(found.shown, NAME, "weight", bow_doubts.BOTH_IN)


def _numbers(found: Curves) -> Block:
    return bow_doubts.table(found.shown)


WIDGET = Widget(
    name=NAME,
    title="Draw weight",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt", "read", "assumed", "sources")),
    next=(Stage("Tiller and brace height", "tiller", "", "read"), Stage("Plan a change", "plan", "", "read")),
    cautions=CAUTIONS,
)
