"""The two charts of the explorer and the table behind them."""

from __future__ import annotations

import math
from functools import lru_cache

from quarterturn import units
from quarterturn.figures.chart import line_chart
from quarterturn.figures.chart_data import Band, Chart, Mark, Series
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import ContactState, Pocket, PocketError
from quarterturn.numbers import fixed, rounded
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import Drawing, Table
from quarterturn.widgets.pocket_explorer.form import NAME
from quarterturn.widgets.pocket_explorer.inputs import ExplorerInputs

STEP = 0.25
INSIDE, BEYOND = -1.5, 1.5
"""How far the charts go in past flush, and out past the last thing to see, turns."""
IN_WORDS = {
    ContactState.BUTT: "butt end on the head",
    ContactState.EDGE: "head's edge on the back",
    ContactState.FLUSH: "flush",
    ContactState.RIM: "rim only",
    ContactState.OUT_OF_REACH: "nothing: the fitting",
    ContactState.OFF_HEAD: "nothing: butt off the head",
}

Points = tuple[tuple[float, float | None], ...]


def ends(pocket: Pocket) -> tuple[float, float]:
    """The charts' ends in turns: from past flush to beyond first touch, whatever the bolt does."""
    touch, leaves = contacts.first_touch(pocket), contacts.butt_leaves_head(pocket)
    last = (touch if touch is not None else leaves or 4.0) + BEYOND
    field = BY_NAME["turns_shown"]
    high = field.high if isinstance(field, NumberField) else last
    return INSIDE, min(high, math.ceil(last * 4) / 4)


@lru_cache(maxsize=16)
def curves(pocket: Pocket, unit: str = "mm") -> tuple[Points, Points, Points]:
    """Rock angle (degrees), gap at the rim and gap at the butt (in the unit) over turns; None where there is none."""
    angle: list[tuple[float, float | None]] = []
    rim: list[tuple[float, float | None]] = []
    butt: list[tuple[float, float | None]] = []
    for turns in _places(pocket):
        try:
            found, at_rim, at_butt = feeler.gaps(pocket, turns)
        except PocketError:
            continue  # farther in than this pocket can be followed
        angle.append((turns, math.degrees(found.rock_angle)))
        rim.append((turns, _shown_in(unit, at_rim)))
        butt.append((turns, _shown_in(unit, at_butt)))
    return tuple(angle), tuple(rim), tuple(butt)


def _places(pocket: Pocket) -> list[float]:
    first, last = ends(pocket)
    count = round((last - first) / STEP)
    regular = {rounded(first + place * STEP) for place in range(count + 1)}
    special = {
        turns for turns in (contacts.first_touch(pocket), contacts.butt_leaves_head(pocket)) if turns is not None
    }
    return sorted(regular | {turns for turns in special if first <= turns <= last})


def _shown_in(unit: str, length: float | None) -> float | None:
    return None if length is None else units.from_si(length, unit)


def gaps(inputs: ExplorerInputs) -> Drawing:
    """Draw the gaps over turns, with what the strip cannot see hatched."""
    unit = inputs.unit
    _, rim, butt = curves(inputs.pocket, unit)
    first, last = ends(inputs.pocket)
    chart = _over_turns(
        inputs,
        f"gap between head and limb, {unit}",
        unit,
        (Series("at the rim", rim, "solid"), Series("at the butt end", butt, "dashed")),
        (_shown_in(unit, inputs.gap_rim), _shown_in(unit, inputs.gap_butt)),
        _unseen(inputs, first, last),
    )
    picture = line_chart(chart, prefix=f"{NAME}-gaps", name="gaps", title="Gaps over turns")
    return Drawing(
        picture, "Tap or drag on the chart to turn the bolt. Hatched: you cannot feel flush with this strip."
    )


def rock(inputs: ExplorerInputs) -> Drawing:
    """Draw the rock angle over turns."""
    angle, _, _ = curves(inputs.pocket)
    chart = _over_turns(
        inputs,
        "rock angle of the limb, degrees",
        "°",
        (Series("rock angle", angle, "solid"),),
        (math.degrees(inputs.contact.rock_angle),),
    )
    picture = line_chart(chart, prefix=f"{NAME}-rock", name="rock", title="How far the limb rocks")
    return Drawing(picture, "Past flush the rim pushes on a shorter arm, and a turn rocks the limb more.")


def _over_turns(
    inputs: ExplorerInputs,
    label: str,
    unit: str,
    series: tuple[Series, ...],
    now_values: tuple[float | None, ...],
    bands: tuple[Band, ...] = (),
) -> Chart:
    """A chart over the turns, on which a tap or a drag turns the bolt."""
    first, last = ends(inputs.pocket)
    return Chart(
        x_label="turns from flush",
        y_label=label,
        series=series,
        bands=bands,
        marks=_marks(inputs),
        x_range=(first, last),
        now=_inside(inputs.turns, first, last),
        now_values=now_values,
        now_words="bolt",
        x_unit="turns",
        y_unit=unit,
        y_decimals=3 if unit == "in" else 2,
        x_ends=("← in", "out →"),
        drag_field="turns_shown",
        drag_low=first,
        drag_high=last,
    )


def _inside(turns: float, first: float, last: float) -> float | None:
    return turns if first <= turns <= last else None


def _unseen(inputs: ExplorerInputs, first: float, last: float) -> tuple[Band, ...]:
    strip = units.from_si(inputs.strip, inputs.unit)
    bands = []
    told = inputs.strip_resolution
    inner = first if told.inside is None else max(first, -told.inside)
    outer = last if told.outside is None else min(last, told.outside)
    bands.append(Band(inner, outer, "the strip goes in on neither side", "rising"))
    bands.append(Band(0.0, strip, "thinner than the strip", "level", axis="y"))
    return tuple(bands)


def _marks(inputs: ExplorerInputs) -> tuple[Mark, ...]:
    marks = [Mark(0.0, "flush", "plain")]
    if inputs.touch is not None:
        marks.append(Mark(inputs.touch, "first touch", "limit"))
    return tuple(marks)


def table(inputs: ExplorerInputs) -> Table:
    """The numbers behind both charts, every half turn and where something happens."""
    return _table(inputs.pocket, inputs.touch, inputs.unit)


@lru_cache(maxsize=16)
def _table(pocket: Pocket, touch: float | None, unit: str) -> Table:
    angle, rim, butt = curves(pocket, unit)
    finely = 4 if unit == "in" else 3
    rows = []
    for (turns, degrees), (_, at_rim), (_, at_butt) in zip(angle, rim, butt, strict=True):
        if rounded(turns * 2) % 1 and turns != touch:
            continue
        state = contacts.contact(pocket, turns).state
        rows.append(
            (fixed(turns, 2), IN_WORDS[state], _shown(degrees, 2), _shown(at_rim, finely), _shown(at_butt, finely))
        )
    return Table(
        "behind",
        "The numbers behind both charts",
        (
            *("turns from flush", "what touches", "rock angle, degrees"),
            *(f"gap at the rim, {unit}", f"gap at the butt end, {unit}"),
        ),
        tuple(rows),
        "You cannot feel a gap smaller than the strip. None: no limb is under that part of the head.",
        folded=True,
    )


def _shown(value: float | None, decimals: int) -> str:
    return "none" if value is None else fixed(value, decimals)
