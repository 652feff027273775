"""What the bolt carries: where the limb presses on it, how hard that bends it, and what thread holds it."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Stage
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.loads import pictures, pull_values, states_tables, thread_values, verdict, warnings
from quarterturn.widgets.loads.form import ASKED, GROUPS, NAME
from quarterturn.widgets.loads.inputs import LoadInputs, load_inputs

ASSUMED = (
    "No friction; head, butt, riser rigid. The whole bending is left to the shank: what the riser's thread takes "
    "of it is not counted.",
    "The moment is that of your bow now, drawn to your draw length, and is taken as the same at every turn. What the "
    "bow itself would do past its safe range is not predicted.",
    "The limbs are springs without mass, bent in a shape that is plausible and made up. The string does not stretch "
    "and has no friction. The hand holds the bow at one point. The uncertainty of the moment includes lengths, shape "
    "and stretch, but not friction, mass or the hand.",
    "Stress is nominal: no notch under the head, no root of a thread, no fatigue. It ranks positions of one bolt and "
    "does not test strength.",
    "The thread is counted from zero, and the picture from true flush. Here the two are taken as one. A zero felt from "
    "outside is a little farther out.",
    "The thread's turns are taken to carry alike, made to the usual class, clean and whole. What pulls a bush out of "
    "wood or magnesium is left out.",
)
CAUTIONS = (
    *words.CAUTIONS,
    "Replace a bolt that is bent, galled or marked, and only with the maker's part. The metals here only explain: "
    "choose no bolt by them.",
    "An adjusting limb bolt is positioned, never torqued. Tighten only its lock, to the maker's figure.",
)
SOURCES_USED = (
    *("statics", "elastica", "bow-mechanics", "amo", "gum"),
    *("iso-68-1", "iso-898-1", "iso-965-1", "iso-3506-1", "asme-b1.1", "fed-std-h28-2", "data-sheets"),
    "common-practice",
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show what the bolt carries.

    Raises:
        Refusal: where an entry of this form cannot be used, or entries contradict one another.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    inputs = load_inputs(values, ASKED)
    return Explanation(
        title=verdict.title(inputs),
        sentence=verdict.sentence(inputs),
        parts=tuple(_parts(inputs)),
        example=inputs.example,
        searched=10,
        badge="Your bolt",
        made_up=verdict.made_up(inputs),
        line=verdict.line(inputs),
    )


def _parts(inputs: LoadInputs) -> list[Block | DeferredBlock]:
    return [
        pictures.from_the_side(inputs),
        pictures.small(inputs),
        *warnings.warnings(inputs),
        states_tables.at_this_turn(inputs),
        DeferredBlock("states", partial(pictures.states, inputs)),
        states_tables.states(inputs),
        states_tables.three(inputs),
        pull_values.pull(inputs),
        DeferredBlock("sure", partial(pull_values.sure, inputs)),
        DeferredBlock("thread-chart", partial(pictures.thread, inputs)),
        thread_values.thread(inputs),
        thread_values.profile(inputs),
        DeferredBlock("materials", partial(pictures.materials, inputs)),
        DeferredBlock("materials-table", partial(states_tables.materials, inputs)),
    ]


FACTS = (
    *("side", "small", "other-bolt", "told", "cover", "now", "states", "states-table", "three", "pull", "sure"),
    *("thread", "thread-chart", "profile", "materials", "materials-table"),
)
WIDGET = Widget(
    name=NAME,
    title="What the bolt carries",
    groups=GROUPS,
    work=work,
    facts=frozenset(FACTS),
    explains=True,
    notes=(assumptions(*ASSUMED), sources(*SOURCES_USED)),
    next=(Stage("Look it over", "before", "", "read"),),
    cautions=CAUTIONS,
)
