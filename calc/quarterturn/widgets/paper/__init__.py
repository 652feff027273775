"""What paper can and cannot tell: the resolution of a strip, its uncertainties, and how to do better."""

from __future__ import annotations

from quarterturn.bench.dimensions import dimensions
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.strip_resolution import DimensionEffect, effects
from quarterturn.numbers import fixed
from quarterturn.record.values import Values
from quarterturn.widgets import pocket_sensitivity
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Stage
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.paper import charts, flush_readings, verdict
from quarterturn.widgets.paper.form import ASKED, GROUPS, NAME
from quarterturn.widgets.paper.inputs import LARGEST, PaperInputs, paper_inputs


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what a strip can tell.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    inputs = paper_inputs(values, ASKED)
    return Explanation(
        title=verdict.title(inputs),
        sentence=verdict.sentence(inputs),
        parts=tuple(_parts(inputs)),
        example=inputs.example,
        badge="Your strip",
        headline=f"{verdict.title(inputs)}.",
        line=verdict.line(inputs),
    )


def _parts(inputs: PaperInputs) -> list[Block | DeferredBlock]:
    return [
        flush_readings.strip_values(inputs),
        charts.thickness(inputs),
        DeferredBlock("thickness-table", lambda: charts.thickness_table(inputs)),
        DeferredBlock("better", lambda: flush_readings.ways(inputs)),
        DeferredBlock("head", lambda: charts.head(inputs)),
        DeferredBlock("lever", lambda: charts.lever(inputs)),
        DeferredBlock("sizes-table", lambda: charts.head_and_lever_table(inputs)),
        DeferredBlock("budgets", lambda: flush_readings.budgets(inputs)),
        DeferredBlock("shares", lambda: flush_readings.shares(inputs)),
        DeferredBlock("matters", lambda: pocket_sensitivity.figure(_effects(inputs), NAME)),
        DeferredBlock("matters-table", lambda: pocket_sensitivity.table(_effects(inputs), inputs.unit)),
    ]


def _effects(inputs: PaperInputs) -> tuple[DimensionEffect, ...]:
    measured = dimensions(inputs.limb, inputs.values, inputs.shape, inputs.pitch, inputs.strip)
    return effects(inputs.pocket, inputs.strip, measured)


ASSUMED = (
    "Head and butt are taken as rigid and clean. Paint, a burr or a crease in the strip adds to its thickness.",
    "You feel where the strip stops going in. How hard a hand pushes is not in the numbers: push as lightly for both "
    "readings.",
    f"A strip's thickness may be off by {fixed(100 * LARGEST, 0)} % either way, evenly likely.",
)
SOURCES_USED = ("gum", "iso-534", "statics", "common-practice")
FACTS = (
    *("told", "thickness", "thickness-table", "better", "head", "lever", "sizes-table", "budgets", "shares"),
    *("matters", "matters-table"),
)
WIDGET = Widget(
    name=NAME,
    title="What paper can and cannot tell",
    groups=GROUPS,
    work=work,
    facts=frozenset(FACTS),
    explains=True,
    notes=(assumptions(*ASSUMED), sources(*SOURCES_USED)),
    next=(Stage("Find the safe range", "safe-range", "", "read"),),
)
