"""Settings over time: a log of where the bolts stood and what was read, by date, and what it tells of one bow."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement, Level
from quarterturn.record.values import Values
from quarterturn.widgets import bow_events, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Points, Stage
from quarterturn.widgets.explanation import Explanation, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.log import entry_tables, first_and_last, pictures, verdict, warnings
from quarterturn.widgets.log.form import GROUPS, NAME
from quarterturn.widgets.log.inputs import LogInputs, log_inputs

CAUTIONS = (
    *words.CAUTIONS,
    "A log is not permission. It does not show that a setting is inside its safe range. It does not test the strength "
    "of a limb, a bolt or a riser.",
)
BOUNDS = (
    "How much a reading may change before you are asked about it: our own bounds, wide, without a source. A limb's "
    "distance: 8 mm and 12 mm for each turn. Draw weight: 8 in 100 and 4 for each turn. Brace height: 15 mm and 4 mm "
    "for each turn."
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show the log by date, and what changed.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    return explain(NAME, _explain(values, judgement))


def _explain(values: Values, judgement: Judgement) -> Explanation:
    inputs = log_inputs(values)
    # Beside what is said of one's own bow a made-up log would pass for its log.
    made_up = inputs.example and (judgement.level in (Level.STOP, Level.ASK) or not judgement.is_turned)
    return Explanation(
        title=verdict.title(inputs),
        sentence=verdict.sentence(inputs),
        parts=(*_asked_about(inputs), *(() if made_up else _shown(inputs))),
        example=inputs.example,
        badge="Your log",
        made_up=verdict.MADE_UP,
    )


def _asked_about(inputs: LogInputs) -> list[Block]:
    parts: list[Block] = []
    if told := warnings.unused_entries(inputs):
        parts.append(Points("told", "Look at these again", told, "caution"))
    if found := inputs.jumps:
        said = tuple(warnings.jump(inputs, one) for one in found)
        parts.append(Points("jumps", "More than is plausible", said, "caution"))
    return parts


def _shown(inputs: LogInputs) -> list[Block | DeferredBlock]:
    return [
        DeferredBlock("weight", partial(pictures.over_time, inputs, "weight")),
        DeferredBlock("tiller", partial(pictures.over_time, inputs, "tiller")),
        first_and_last.first_and_last(inputs),
        DeferredBlock("own-turns", partial(entry_tables.turns, inputs)),
        DeferredBlock("changes", partial(entry_tables.changes, inputs)),
        DeferredBlock("entries", partial(entry_tables.entries, inputs)),
        *(block for block in (bow_events.events_table(inputs.values),) if block is not None),
    ]


WIDGET = Widget(
    name=NAME,
    title="The log",
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
        )
    ),
    notes=(sources("gum", also=(BOUNDS,)),),
    next=(Stage("Plan and turn", "set", "", "read"),),
    cautions=CAUTIONS,
    sheet="the log",
    buttons=(("csv", "Save the log as a table (CSV)"),),
)
