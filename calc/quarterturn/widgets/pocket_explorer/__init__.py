"""How the pocket works: turn the bolt, slide the strip, and see where the limb bears and what paper can tell."""

from __future__ import annotations

from quarterturn.bench.dimensions import dimensions
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.strip_resolution import DimensionEffect, effects
from quarterturn.figures.side_view import side_view
from quarterturn.figures.small_side_view import small_side_view
from quarterturn.record.values import Values
from quarterturn.widgets import judgement_wording, pocket_sensitivity
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Drawing, Slider, Stage, Table
from quarterturn.widgets.explanation import Explanation, assumptions, explain, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.pocket_explorer import charts, pocket_values, verdict
from quarterturn.widgets.pocket_explorer.form import GROUPS, NAME
from quarterturn.widgets.pocket_explorer.inputs import ExplorerInputs, explorer_inputs

ASKED = tuple(name for group in GROUPS for name in group.fields)
ASSUMED = (
    "Head and butt are taken as rigid, and the limb as pressed outward by hand, as at the bench.",
    "The slot is open past the head's rim on the tip side, and the pocket has no floor that stops the limb.",
    "Strung and drawn, the limb bends in its pocket, and flush comes sooner as you turn in.",
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show a pocket.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    return explain(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    inputs = explorer_inputs(values, ASKED)
    return Explanation(
        title=verdict.title(inputs),
        sentence=verdict.sentence(inputs),
        spoken=verdict.spoken(inputs),
        parts=tuple(_parts(inputs)),
        example=inputs.example,
        badge="Your pocket",
        headline=verdict.headline(inputs),
        line=verdict.line(inputs),
    )


def _parts(inputs: ExplorerInputs) -> list[Block | DeferredBlock]:
    return [
        _picture(inputs),
        _small(inputs),
        _picture(inputs, "turning", enlarged=False),
        *judgement_wording.other_bolt(inputs.values, "What is shown here"),
        pocket_values.now(inputs),
        DeferredBlock("gaps", lambda: charts.gaps(inputs)),
        DeferredBlock("rock", lambda: charts.rock(inputs)),
        DeferredBlock("behind", lambda: charts.table(inputs)),
        pocket_values.places(inputs),
        DeferredBlock("shim-nearer", lambda: _shim_picture("head", inputs)),
        DeferredBlock("shim-behind", lambda: _shim_picture("butt_end", inputs)),
        DeferredBlock("shims", lambda: _shims(inputs)),
        DeferredBlock("matters", lambda: pocket_sensitivity.figure(_effects(inputs), NAME)),
        DeferredBlock("matters-table", lambda: pocket_sensitivity.table(_effects(inputs), inputs.unit)),
        pocket_values.dimension_values(inputs),
    ]


def _shims(inputs: ExplorerInputs) -> Table:
    from quarterturn.widgets.pocket_explorer import shims

    return shims.table(inputs)


def _shim_picture(place: str, inputs: ExplorerInputs) -> Drawing | None:
    from quarterturn.mechanics.shims import ShimPlace
    from quarterturn.widgets.pocket_explorer import shims

    return shims.picture(ShimPlace(place), inputs)


def _effects(inputs: ExplorerInputs) -> tuple[DimensionEffect, ...]:
    measured = dimensions(inputs.limb, inputs.values, inputs.shape, inputs.pitch, inputs.strip)
    return effects(inputs.pocket, inputs.strip, measured)


def _picture(inputs: ExplorerInputs, name: str = "side", *, enlarged: bool = True) -> Drawing:
    low, high = charts.ends(inputs.pocket)
    picture = side_view(
        inputs.pocket,
        inputs.turns,
        inputs.strip,
        prefix=f"{NAME}-{name}",
        strip_side=inputs.side,
        strip_pushed=inputs.pushed,
        title=f"The {inputs.limb} limb in its pocket, from the side",
        name=name,
        enlarged=enlarged,
        on_bow=True,
        length_unit=inputs.unit,
        drag_field="turns_shown",
        drag_low=low,
        drag_high=high,
    )
    hand = Slider("turns_shown", "Turn the bolt", low, high, 0.05, inputs.turns, verdict.from_flush(inputs.turns))
    caption = "Use the slider, or pull the bolt. Dashed: in the slot, behind the near half of the limb."
    caption = caption if enlarged else "The whole bow, lying; below it the pocket in the ring, from the side."
    return Drawing(picture, caption, hands=(hand,), small=not enlarged)


def _small(inputs: ExplorerInputs) -> Drawing:
    picture = small_side_view(
        inputs.pocket,
        inputs.turns,
        inputs.strip,
        prefix=f"{NAME}-small",
        strip_side=inputs.side,
        length_unit=inputs.unit,
        title=f"The {inputs.limb} limb under the head of its bolt",
        name="small",
    )
    return Drawing(picture, small=True)


FACTS = (
    "side",
    "small",
    "turning",
    "other-bolt",
    "now",
    "gaps",
    "rock",
    "behind",
    "places",
    "shim-nearer",
    "shim-behind",
    "shims",
    "matters",
    "matters-table",
    "dimensions",
)
WIDGET = Widget(
    name=NAME,
    title="How the pocket works",
    groups=GROUPS,
    work=work,
    facts=frozenset(FACTS),
    steps=frozenset(("turning",)),
    explains=True,
    notes=(assumptions(*ASSUMED), sources("statics", "common-practice")),
    next=(Stage("What the bolt carries", "load", "", "read"),),
)
