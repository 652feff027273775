"""What paper can and cannot tell: the resolution of a strip, its uncertainties, and how to do better."""

from __future__ import annotations

from quarterturn.bench.dimensions import dimensions
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.strip_resolution import DimensionEffect, effects
from quarterturn.numbers import fixed
from quarterturn.record.values import Values
from quarterturn.widgets import pocket_sensitivity, words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Stage, Value, ValueList
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.paper import better, charts, verdict
from quarterturn.widgets.paper.form import ASKED, GROUPS
from quarterturn.widgets.paper.inputs import LARGEST, NAME, PaperInputs, paper_inputs


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what a strip can tell.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    about = paper_inputs(values, ASKED)
    return Explanation(
        title=verdict.title(about),
        sentence=verdict.sentence(about),
        parts=tuple(_parts(about)),
        example=about.example,
        badge="Your strip",
    )


def _parts(about: PaperInputs) -> list[Block | DeferredBlock]:
    return [
        _told(about),
        charts.thickness(about),
        DeferredBlock(lambda: charts.thickness_table(about)),
        DeferredBlock(lambda: better.table(about)),
        DeferredBlock(lambda: charts.head(about)),
        DeferredBlock(lambda: charts.lever(about)),
        DeferredBlock(lambda: charts.head_and_lever_table(about)),
        DeferredBlock(lambda: better.budgets(about)),
        DeferredBlock(lambda: better.shares(about)),
        DeferredBlock(lambda: pocket_sensitivity.figure(_effects(about), NAME)),
        DeferredBlock(lambda: pocket_sensitivity.table(_effects(about), about.unit)),
    ]


def _effects(about: PaperInputs) -> tuple[DimensionEffect, ...]:
    measured = dimensions(about.limb, about.values, about.shape, about.pitch, about.strip)
    return effects(about.pocket, about.strip, measured)


ASSUMED = (
    "Head and butt are taken as rigid and clean. Paint, a burr or a crease in the strip adds to its thickness.",
    "The strip is felt where it stops going in. How hard a hand pushes is not in the numbers: push as lightly for both "
    "readings.",
    f"A strip may be off its thickness by {fixed(100 * LARGEST, 0)} % either way, evenly likely.",
)


SOURCES_USED = ("gum", "iso-534", "statics", "common-practice")


def _told(about: PaperInputs) -> ValueList:
    told, thick = about.told, "too thick to tell"

    def turns(name: str, label: str, value: float | None, note: str) -> Value:
        text = thick if value is None else words.turns(value)
        return Value(name, label, value, "" if value is None else "turn", text, about.status, note=note)

    return ValueList(
        "told",
        "What this strip can tell",
        (
            turns("flush_outside", "Flush, looked for from outside", told.outside, "read too early; the careful side"),
            turns("flush_inside", "Flush, looked for from inside", told.inside, "read too late; all is taken off"),
            turns("flush_both", "Flush, from both sides", told.both, "true flush lies between the two readings"),
            turns("touch_outside", "First touch, from outside", told.touch, "read too early; taken off as well"),
            Value(
                "strip_for_wanted",
                f"A strip that tells flush to {words.turns(about.wanted)}",
                about.length(about.thin_enough),
                about.unit,
                words.length(about.thin_enough, about.unit, 3 if about.unit == "mm" else 4),
                about.status,
                note="at most so thick",
            ),
        ),
    )


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
    next=(Stage("Find the safe range at the bench", "safe-range", "worksheet", "read"),),
)
