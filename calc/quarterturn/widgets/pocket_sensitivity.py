"""What each dimension of a pocket matters: a figure and a table that several widgets show."""

from __future__ import annotations

from quarterturn.bench.strip_resolution import DimensionEffect
from quarterturn.numbers import fixed
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import words
from quarterturn.widgets.answer import Drawing, Table

TITLE = "What matters for the reading of flush"


def figure(effects: tuple[DimensionEffect, ...], widget: str) -> Drawing:
    """Draw what each dimension does to the reading of flush, from its low to its high end."""
    from quarterturn.figures.bars import Bar, Bars, bars

    rows = tuple(Bar(_label(effect), *effect.flush) for effect in effects)
    picture = bars(
        Bars(rows, "the strip stops this much later or earlier", ("← nearer to flush", "farther out →")),
        prefix=f"{widget}-matters",
        name="matters",
        title=TITLE,
    )
    return Drawing(picture, "The longest bar is what to measure next. A count of turns depends on none of them.")


def table(effects: tuple[DimensionEffect, ...], unit: str) -> Table:
    """The numbers behind the figure."""
    rows = tuple(
        (
            _label(effect),
            words.length(effect.dimension.value, unit),
            f"± {words.length(effect.dimension.half, unit)}",
            "measured" if effect.dimension.entered else "assumed",
            _ends(effect.flush),
            _ends(effect.cover),
        )
        for effect in effects
    )
    return Table(
        "matters-table",
        "The numbers behind it",
        (
            "dimension",
            "taken as",
            "may be off by",
            "it is",
            "flush",
            "cover",
        ),
        rows,
        "In turns, at its low and at its high end, one dimension changed at a time. Flush: where the strip stops going "
        "in at the rim. Cover: where the butt end comes over the bolt's axis. How far each may be off is our own "
        "estimate, without a source.",
        folded=True,
    )


def _label(effect: DimensionEffect) -> str:
    label = BY_NAME[effect.dimension.field].label
    return "Rise of the head, a turn" if effect.dimension.field == "rise" else label


def _ends(changes: tuple[float | None, float | None]) -> str:
    low, high = changes
    return f"{_turns(low)} / {_turns(high)}"


def _turns(change: float | None) -> str:
    if change is None:
        return "no such place"
    text = fixed(change, 2)
    return f"+{text}" if change > 0 and text != "0.00" else text
