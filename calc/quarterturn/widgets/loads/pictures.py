"""The pictures of the page on loads: force and bend, three states, the thread that is left, materials."""

from __future__ import annotations

import math

from quarterturn import units
from quarterturn.figures.force import Force
from quarterturn.figures.side_view import side_view
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.materials import MATERIALS
from quarterturn.mechanics.pocket import ContactState, PocketError
from quarterturn.numbers import fixed, rounded
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Drawing, Slider
from quarterturn.widgets.loads import wording
from quarterturn.widgets.loads.form import NAME
from quarterturn.widgets.loads.inputs import QUARTER, BoltLoad, LoadInputs

INSIDE, BEYOND = -1.5, 1.0
"""How far the picture can be turned in past flush, and out beyond first touch, turns."""
NOTHING = 1e-9
"""A share of the largest bending that is none: what is left where the whole overlap bears alike."""
DIAMETERS = (1.0, 1.5, 2.0)
"""Thread engaged by the rules of thumb, in diameters (common practice, no source)."""
WHOLE = {"mm": 5.0, "in": 0.2}
"""The chart of engaged thread ends at a whole number of these."""
LEVELS = "Level lines: the diameters of thread that are wanted (common practice, no source)."


def ends(inputs: LoadInputs) -> tuple[float, float]:
    """From where to where the picture can be turned."""
    touch = contacts.first_touch(inputs.pocket) or contacts.butt_leaves_head(inputs.pocket) or 4.0
    field = BY_NAME["turns_shown"]
    high = field.high if isinstance(field, NumberField) else touch
    return INSIDE, min(high, math.ceil((touch + BEYOND) * 4) / 4)


def _largest(inputs: LoadInputs) -> tuple[float, float]:
    """The largest force and the largest bending that the pictures show: where the bolt is turned in farthest."""
    carried = [*inputs.states, inputs.shown]
    forces = [one.bearing.force for one in carried]
    bends = [abs(one.bearing.bending) for one in carried]
    return max(*forces, 1e-9), max(*bends, 1e-9)


def _force(carried: BoltLoad, inputs: LoadInputs) -> Force:
    most, bent = _largest(inputs)
    borne = carried.bearing
    bend = max(-1.0, min(1.0, borne.bending / bent))
    return Force(
        wording.newtons(borne.force),
        min(1.0, borne.force / most),
        spread=borne.state is ContactState.FLUSH,
        bend=bend if abs(bend) > NOTHING else 0.0,
    )


def from_the_side(inputs: LoadInputs) -> Drawing:
    """Draw the force where it bears, and let the hand turn the bolt."""
    low, high = ends(inputs)
    picture = side_view(
        inputs.pocket,
        inputs.turns,
        None,
        prefix=f"{NAME}-side",
        title=f"What the {inputs.limb} limb does to its bolt",
        name="side",
        drag_field="turns_shown",
        drag_low=low,
        drag_high=high,
        force=_force(inputs.shown, inputs),
        length_unit=inputs.unit,
    )
    hand = Slider("turns_shown", "Turn the bolt", low, high, 0.05, inputs.turns, wording.at(inputs.turns))
    return Drawing(picture, wording.now(inputs), hands=(hand,))


def states(inputs: LoadInputs) -> Drawing | None:
    """Draw the three states side by side; nothing where the pocket has no three."""
    from quarterturn.figures.three_states import ForceState, three_states

    named = (
        (inputs.out, QUARTER, "outside flush"),
        (inputs.flush, 0.0, "flush"),
        (inputs.rim, -QUARTER, "past flush"),
    )
    shown = tuple(
        ForceState(
            name,
            turns,
            _force(carried, inputs),
            (
                _ratio("force", carried.bearing.force, inputs.flush.bearing.force),
                _ratio("stress", carried.stress.combined, inputs.flush.stress.combined),
            ),
        )
        for carried, turns, name in named
    )
    one, two, three = shown
    try:
        picture = three_states(inputs.pocket, (one, two, three), prefix=f"{NAME}-states", name="states")
    except PocketError:
        return None
    # That it is a lower bound, and why, stands in the page's words.
    more = "" if inputs.even_is_least else f" {wording.even(inputs)}"
    return Drawing(
        picture,
        "A quarter of a turn outside flush, at flush with the load spread evenly, and a quarter of a turn past it. The "
        f"numbers are against flush.{more}",
    )


def _ratio(what: str, value: float, at_flush: float) -> str:
    found = wording.ratio(value, at_flush)
    return f"{what} {'none' if found is None else wording.against(found)}"


def thread(inputs: LoadInputs) -> Drawing:
    """Draw how much thread is engaged over the turns, with the rules of thumb."""
    from quarterturn.figures.chart import line_chart
    from quarterturn.figures.chart_data import Chart, Mark, Series

    low, high = ends(inputs)
    engaged, unit = inputs.engaged, inputs.unit
    last = max(high, 1.0)
    places = {rounded(low + 0.25 * place) for place in range(round((last - low) / 0.25) + 1)}
    if engaged.whole_until is not None and low < engaged.whole_until < last:
        places.add(rounded(engaged.whole_until))
    points = tuple((turns, units.from_si(engaged.at(turns), unit)) for turns in sorted(places))
    diameter = units.from_si(inputs.profile.diameter, unit)
    marks = tuple(Mark(diameter * many, f"{fixed(many, 1)} d", "plain", "y") for many in DIAMETERS)
    tallest = max(value for _, value in points)
    now, whole = engaged.at(inputs.turns), WHOLE[unit]
    picture = line_chart(
        Chart(
            x_label="turns from flush",
            y_label=f"thread engaged, {unit}",
            series=(Series("engaged", points, "solid"),),
            marks=(*marks, Mark(0.0, "flush", "plain")),
            x_range=(low, last),
            y_range=(0.0, whole * math.ceil(max(tallest, 2 * diameter) / whole + 0.2)),
            now=inputs.turns if low <= inputs.turns <= last else None,
            now_values=(units.from_si(now, unit),),
            now_words="bolt",
            x_unit="turns",
            y_unit=unit,
            x_ends=("← in", "out →"),
            drag_field="turns_shown",
            drag_low=low,
            drag_high=last,
        ),
        prefix=f"{NAME}-thread",
        name="thread-chart",
        title="How much thread holds the bolt",
    )
    whose = "" if inputs.thread_given else " An example until you enter your own."
    return Drawing(picture, f"{LEVELS}{whose}")


def materials(inputs: LoadInputs) -> Drawing:
    """Draw what the contact past flush asks of every material."""
    from quarterturn.figures.shares import Share, Shares
    from quarterturn.figures.shares import shares as draw_shares

    stress = inputs.rim.stress.combined
    rows = tuple(
        Share(each.name, stress / each.yield_strength, wording.percent(stress / each.yield_strength))
        for each in MATERIALS.values()
    )
    picture = draw_shares(
        Shares(rows, "nominal stress in the shank over the yield strength", "yield", "beyond yield: stays bent"),
        prefix=f"{NAME}-materials",
        name="materials",
        title="The same contact past flush, in other metals",
    )
    return Drawing(
        picture,
        "Shown to explain, never to choose a bolt: replace one only with the maker's part. Fatigue is not in it: a "
        "bolt that is bent again and again cracks far below yield.",
    )


def small(inputs: LoadInputs) -> Drawing:
    """Draw what touches the head, without words."""
    from quarterturn.figures.small_side_view import small_side_view

    title = f"The {inputs.limb} limb under the head of its bolt"
    picture = small_side_view(
        inputs.pocket,
        inputs.turns,
        None,
        prefix=f"{NAME}-small",
        strip_side=None,
        length_unit=inputs.unit,
        title=title,
        name="small",
    )
    return Drawing(picture, small=True)
