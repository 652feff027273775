"""Settings over time: a log of where the bolts stood and what was read, by date, and what it tells of one bow."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import about_events, words
from quarterturn.widgets.answer import Answer, Block, Later, Points, Stage
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.log import pictures, sentences, tables
from quarterturn.widgets.log.asked import Shown, asked
from quarterturn.widgets.log.form import GROUPS, NAME

CAUTIONS = (
    *words.CAUTIONS,
    "A log tells what was written. It does not say that a setting is inside its window, nor that a limb, a bolt or a "
    "riser holds.",
)
BOUNDS = (
    "How much a reading may change before it is asked about: our own bounds, wide, without a source. A limb's distance "
    "8 mm and 12 mm for each turn, draw weight 8 in 100 and 4 for each turn, brace height 15 mm and 4 mm for each turn."
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show the log by date, and what changed.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    return explained(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    shown = asked(values)
    return Explanation(
        title=sentences.title(shown),
        sentence=sentences.sentence(shown),
        spoken=f"{sentences.title(shown)}.",
        parts=tuple(_parts(shown)),
        example=shown.example,
        badge="Your log",
        made_up=sentences.MADE_UP,
    )


def _parts(shown: Shown) -> list[Block | Later]:
    parts: list[Block | Later] = []
    if told := sentences.told(shown):
        parts.append(Points("told", "Look at these again", told, "caution"))
    if found := shown.jumps:
        said = tuple(sentences.jump(shown, one) for one in found)
        parts.append(Points("jumps", "More than is plausible", said, "caution"))
    return [
        *parts,
        Later(partial(pictures.over_time, shown, "weight")),
        Later(partial(pictures.over_time, shown, "tiller")),
        tables.first_and_last(shown),
        Later(partial(tables.turns, shown)),
        Later(partial(tables.changes, shown)),
        Later(partial(tables.entries, shown)),
        *(block for block in (about_events.table(shown.values),) if block is not None),
        Points("sources", "Where it comes from", (source("gum"), BOUNDS), folded=True),
    ]


WIDGET = Widget(
    name=NAME,
    title="Settings over time",
    groups=GROUPS,
    work=work,
    facts=frozenset(
        (
            "told",
            "jumps",
            "weight",
            "tiller",
            "first-and-last",
            "own-turns",
            "changes",
            "entries",
            "happened",
            "sources",
        )
    ),
    next=(
        Stage("What a turn does to tiller", "tiller", "", "read"),
        Stage("Plan the next change", "plan", "", "read"),
    ),
    cautions=CAUTIONS,
    sheet="the log",
    buttons=(("csv", "Save the log as a table (CSV)"),),
)
