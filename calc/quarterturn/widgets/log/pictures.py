"""The pictures of the page with the log: draw weight and tiller over the dates, one under the other on one scale."""

from __future__ import annotations

from itertools import pairwise

from quarterturn import units
from quarterturn.bench.log import LogEntry, tiller_uncertainty, weight_uncertainty
from quarterturn.bench.uncertainty import COVERAGE_FACTOR
from quarterturn.numbers import same
from quarterturn.widgets.answer import Drawing
from quarterturn.widgets.log.form import NAME
from quarterturn.widgets.log.inputs import LABELS, LogInputs

LEAST_DAYS = 14
"""Days that are shown at least."""
ASIDE = 0.04
"""Room at both ends, of the time between the first and the last entry."""


def over_time(inputs: LogInputs, name: str) -> Drawing | None:
    """Draw a reading over the dates, with how closely it was read; nothing where it was never read."""
    from quarterturn.figures.chart import line_chart
    from quarterturn.figures.chart_data import Chart, Dots, Series

    read = inputs.log.read(name)
    if not read:
        return None
    unit, first = inputs.unit(name), inputs.log.entries[0].day
    points = [(float(entry.day - first), units.from_si(value, unit)) for entry, value in read]
    uncertainty = weight_uncertainty(inputs.scale) if name == "weight" else tiller_uncertainty(inputs.tape)
    half = units.from_si(COVERAGE_FACTOR * uncertainty, unit)
    turned = _turned_since(inputs, [entry for entry, _ in read])
    kinds = (("bolts as at the reading before", "ring", False), ("after a turn of a bolt", "square", True))
    dots = []
    for words, shape, wanted in kinds:
        chosen = tuple(point for point, one in zip(points, turned, strict=True) if one is wanted)
        if chosen:
            dots.append(Dots(words, chosen, shape, (half,) * len(chosen)))
    label = LABELS[name]
    picture = line_chart(
        Chart(
            x_label="date",
            y_label=f"{label}, {inputs.symbol(name)}",
            series=(Series(label, tuple(points)),),
            dots=tuple(dots),
            x_range=_range(inputs),
            x_day=first,
            y_unit=inputs.symbol(name),
            y_decimals=3 if unit == "in" else 1,
        ),
        prefix=f"{NAME}-{name}",
        name=name,
        title=f"{label[0].upper()}{label[1:]} over time",
    )
    return Drawing(picture, CAPTIONS[name])


CAPTIONS = {
    "weight": "The bars: about 95 % (U = 2u, GUM), from how closely you read the scale. The line only joins the "
    "readings.",
    "tiller": "Upper less lower. The bars: about 95 % (U = 2u, GUM), from how closely you read the tape, for both "
    "limbs. The line only joins the readings.",
}


def _range(inputs: LogInputs) -> tuple[float, float]:
    """The same for both pictures: from the first to the last entry, with some room."""
    span = float(inputs.log.entries[-1].day - inputs.log.entries[0].day)
    room = max(ASIDE * span, (LEAST_DAYS - span) / 2)
    return -room, span + room


def _turned_since(inputs: LogInputs, read: list[LogEntry]) -> list[bool]:
    """For each of these entries, whether a bolt is known to have been turned since the one before it."""
    found = [False]
    for before, after in pairwise(read):
        pairs = zip(before.stands, after.stands, strict=True)
        found.append(any(old is not None and new is not None and not same(old, new) for old, new in pairs))
    return found
