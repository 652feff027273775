"""Draw weight: the force-draw curve from the reader's own readings, and what turning either bolt does to it."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import bow_warnings, turn_prediction, uncertainty_tables, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Points, Stage
from quarterturn.widgets.draw_weight import curve_tables, curve_values, pictures, verdict
from quarterturn.widgets.draw_weight.form import GROUPS, NAME
from quarterturn.widgets.draw_weight.inputs import Curves, curves
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.turn_prediction import ASSUMED, where_solvable

CAUTIONS = (
    *words.CAUTIONS,
    "Weigh with a hook that cannot slip off the string, with nobody in front of the bow or behind it. Let down slowly. "
    "Never draw farther than you shoot, nor a bow that you cannot hold.",
    "Turn no bolt by more than half a turn in a step, and measure after each. A reading that you did not expect means: "
    "count again, or stop and look.",
)
SOURCES_USED = ("elastica", "bow-mechanics", "amo", "gum", "common-practice")


def work(values: Values, judgement: Judgement) -> Answer:
    """Tell draw weight, energy and how both change with the bolts.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    found = curves(values)
    return Explanation(
        title=verdict.title(found),
        sentence=verdict.sentence(found),
        parts=tuple(_parts(found)),
        example=found.prediction.example,
        searched=7,
        badge="Your bow, computed",
        made_up=turn_prediction.made_up(found.prediction),
        line=verdict.line(found),
    )


def _parts(found: Curves) -> list[Block | DeferredBlock]:
    prediction = found.prediction
    unlike = verdict.unlike(found)
    read = [block for block in (curve_tables.readings(found), curve_values.by_readings(found)) if block is not None]
    return [
        pictures.force_draw(found),
        *bow_warnings.warnings(prediction),
        *bow_warnings.by_log(prediction),
        *([Points("unlike", "Not quite your limbs", unlike, "caution")] if unlike else []),
        curve_values.as_it_is(found),
        *read,
        where_solvable("strong", partial(bow_warnings.strong, prediction), warns=True),
        where_solvable("then", partial(curve_values.foretold, found)),
        where_solvable("added", partial(pictures.added, found)),
        where_solvable("rise", partial(curve_values.rising, found)),
        DeferredBlock("points", partial(curve_tables.points, found)),
        where_solvable("moments", partial(curve_values.moments, found)),
        where_solvable(
            "matters", partial(uncertainty_tables.figure, prediction, NAME, "weight", uncertainty_tables.BOTH_IN)
        ),
        where_solvable("matters-table", partial(uncertainty_tables.table, prediction)),
    ]


WIDGET = Widget(
    name=NAME,
    title="Draw weight",
    groups=GROUPS,
    work=work,
    facts=frozenset(("by-log", "told", "other-bolt", "read")),
    blocks=frozenset(("readings", "unlike")),
    notes=(assumptions(*ASSUMED), sources(*SOURCES_USED)),
    next=(Stage("Plan and turn", "set", "", "read"),),
    cautions=CAUTIONS,
)
