"""The charts of the page on paper: what a strip shows against its thickness, the head and the lever."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from quarterturn.bench.strip_resolution import StripResolution, strip_resolution
from quarterturn.figures.chart import line_chart
from quarterturn.figures.chart_data import Chart, Mark, Series
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.numbers import fixed
from quarterturn.widgets.answer import Drawing, Table
from quarterturn.widgets.paper.form import NAME
from quarterturn.widgets.paper.inputs import PaperInputs

THICKNESSES = tuple(place * 0.01e-3 for place in (1, *range(2, 31, 2)))
HEADS = tuple(size * 1e-3 for size in (10, 10.5, 11, 12, 13, 15, 17, 20, 23, 26, 30))
"""Closer together where the curve is steep."""
ARMS = tuple(size * 1e-3 for size in range(30, 121, 15))
NOTHING = StripResolution(None, None, 0.0)
"""For a size that no pocket has: a head narrower than the slot, a fulcrum under the head."""

Points = tuple[tuple[float, float | None], ...]


@lru_cache(maxsize=8)
def _over_thickness(pocket: Pocket) -> tuple[StripResolution, ...]:
    return tuple(strip_resolution(pocket, thick) for thick in THICKNESSES)


@lru_cache(maxsize=8)
def _over_heads(pocket: Pocket, strip: float) -> tuple[StripResolution, ...]:
    """The butt keeps its distance from the rim: a larger head covers more on both sides."""
    free = pocket.head_radius - pocket.coverage_at_flush

    def with_head(diameter: float) -> Pocket:
        radius = diameter / 2
        return replace(pocket, head_radius=radius, butt_length=pocket.fulcrum_arm + radius - free)

    return tuple(_told(with_head, size, strip) for size in HEADS)


@lru_cache(maxsize=8)
def _over_arms(pocket: Pocket, strip: float) -> tuple[StripResolution, ...]:
    cover = pocket.coverage_at_flush

    def with_arm(arm: float) -> Pocket:
        return replace(pocket, fulcrum_arm=arm, butt_length=arm + cover)

    return tuple(_told(with_arm, arm, strip) for arm in ARMS)


def _told(make: Callable[[float], Pocket], size: float, strip: float) -> StripResolution:
    try:
        return strip_resolution(make(size), strip)
    except PocketError:
        return NOTHING


def _points(inputs: PaperInputs, sizes: tuple[float, ...], found: list[float | None]) -> Points:
    return tuple((inputs.length(size), value) for size, value in zip(sizes, found, strict=True))


def thickness(inputs: PaperInputs) -> Drawing:
    """Draw what each reading misses against the strip's thickness."""
    found, unit = _over_thickness(inputs.pocket), inputs.unit
    low, high = (inputs.length(thick) for thick in (THICKNESSES[0], THICKNESSES[-1]))
    picture = line_chart(
        Chart(
            x_label=f"thickness of the strip, {unit}",
            y_label="missed by up to, turns",
            series=(
                Series("flush, from outside", _points(inputs, THICKNESSES, [one.outside for one in found]), "solid"),
                Series("flush, from inside", _points(inputs, THICKNESSES, [one.inside for one in found]), "dashed"),
                Series("first touch", _points(inputs, THICKNESSES, [one.touch for one in found]), "dotted"),
            ),
            marks=(Mark(inputs.length(inputs.thin_enough), f"{fixed(inputs.wanted, 2)} turn", "limit"),)
            if THICKNESSES[0] <= inputs.thin_enough <= THICKNESSES[-1]
            else (),
            x_range=(0.0, high),
            now=inputs.length(inputs.strip) if inputs.strip <= THICKNESSES[-1] else None,
            now_values=(inputs.strip_resolution.outside, inputs.strip_resolution.inside, inputs.strip_resolution.touch),
            now_words="yours",
            x_unit=unit,
            y_unit="turns",
            x_decimals=4 if unit == "in" else 2,
            drag_field="strip_thickness",
            drag_unit=unit,
            drag_low=low,
            drag_high=high,
        ),
        prefix=f"{NAME}-thickness",
        name="thickness",
        title="What a strip misses, by its thickness",
    )
    caption = "Tap or drag to try another thickness. The upright line: a strip thin enough for what you want."
    return Drawing(picture, caption)


def thickness_table(inputs: PaperInputs) -> Table:
    """The numbers behind the chart."""
    found = _over_thickness(inputs.pocket)
    rows = tuple(
        (
            fixed(inputs.length(thick), 4 if inputs.unit == "in" else 2),
            _turns(one.outside),
            _turns(one.inside),
            _turns(one.both),
            fixed(one.touch, 3),
        )
        for thick, one in zip(THICKNESSES, found, strict=True)
    )
    return Table(
        "thickness-table",
        "The numbers behind this chart",
        (f"strip, {inputs.unit}", "from outside", "from inside", "both, apart by", "first touch"),
        rows,
        "In turns.",
        folded=True,
    )


def head(inputs: PaperInputs) -> Drawing:
    """Draw what is missed at flush against the head's diameter."""
    found = _over_heads(inputs.pocket, inputs.strip)
    return _size_chart(
        inputs, HEADS, found, 2 * inputs.pocket.head_radius, "head", "diameter of the head",
        "What this strip misses at flush, by the head", "A wide head opens a wider gap for the same rock.",
    )  # fmt: skip


def lever(inputs: PaperInputs) -> Drawing:
    """Draw what is missed at flush against the arm."""
    found = _over_arms(inputs.pocket, inputs.strip)
    return _size_chart(
        inputs, ARMS, found, inputs.pocket.fulcrum_arm, "lever", "fulcrum to bolt axis",
        "What this strip misses at flush, by the lever", "A long lever rocks less for each turn, so you feel less.",
    )  # fmt: skip


def _size_chart(
    inputs: PaperInputs,
    sizes: tuple[float, ...],
    found: tuple[StripResolution, ...],
    now: float,
    name: str,
    label: str,
    title: str,
    caption: str,
) -> Drawing:
    picture = line_chart(
        Chart(
            x_label=f"{label}, {inputs.unit}",
            y_label="missed by up to, turns",
            series=(
                Series("from outside", _points(inputs, sizes, [one.outside for one in found]), "solid"),
                Series("from inside", _points(inputs, sizes, [one.inside for one in found]), "dashed"),
            ),
            x_range=(inputs.length(sizes[0]), inputs.length(sizes[-1])),
            now=inputs.length(now) if sizes[0] <= now <= sizes[-1] else None,
            now_values=(inputs.strip_resolution.outside, inputs.strip_resolution.inside),
            now_words="taken as",
            x_unit=inputs.unit,
            y_unit="turns",
            x_decimals=2 if inputs.unit == "in" else 1,
        ),
        prefix=f"{NAME}-{name}",
        name=name,
        title=title,
    )
    return Drawing(picture, caption)


def head_and_lever_table(inputs: PaperInputs) -> Table:
    """The numbers behind both charts."""
    rows = [
        *_size_rows(inputs, "head", HEADS, _over_heads(inputs.pocket, inputs.strip)),
        *_size_rows(inputs, "lever", ARMS, _over_arms(inputs.pocket, inputs.strip)),
    ]
    return Table(
        "sizes-table",
        "The numbers behind both charts",
        ("what", inputs.unit, "from outside, turns", "from inside, turns"),
        tuple(rows),
        folded=True,
    )


def _size_rows(
    inputs: PaperInputs, what: str, sizes: tuple[float, ...], found: tuple[StripResolution, ...]
) -> list[tuple[str, ...]]:
    places = 2 if inputs.unit == "in" else 1
    return [
        (what, fixed(inputs.length(size), places), *_size_cells(one)) for size, one in zip(sizes, found, strict=True)
    ]


def _size_cells(one: StripResolution) -> tuple[str, str]:
    if one is NOTHING:
        return "no such pocket", "no such pocket"
    return _turns(one.outside), _turns(one.inside)


def _turns(value: float | None) -> str:
    return "too thick" if value is None else fixed(value, 3)
