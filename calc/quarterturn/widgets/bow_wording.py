"""Turns, weights and lengths of the whole bow in words and in the reader's units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quarterturn import units
from quarterturn.numbers import fixed, rounded, same, trimmed
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.widgets import words

if TYPE_CHECKING:
    from quarterturn.bench.bow_setup import Pair


def position(turns: float) -> str:
    """Where a bolt stands, counted from zero."""
    if same(turns, 0.0):
        return "at zero"
    return f"{words.turns(abs(turns))} {'out from' if turns > 0 else 'in past'} zero"


def moved(turns: float) -> str:
    """By how much a bolt is turned, and which way."""
    return f"{'out' if turns > 0 else 'in'} by {words.amount(turns)}"


def both_moved(change: Pair) -> str:
    """What is turned, for the beginning of a sentence or after a colon."""
    upper, lower = (rounded(each) for each in change)
    if same(upper, lower):
        return f"both bolts {moved(upper)}"
    parts = [
        f"{bolt} bolt {moved(each)}" for bolt, each in zip(BOLTS, (upper, lower), strict=True) if not same(each, 0)
    ]
    return ", ".join(parts)


def force_unit(values: Values) -> str:
    """The unit that the reader weighs in: as first typed, else pounds or what the site begins with."""
    return _first_typed(values, "draw_weight", slice(1, None)) or values.starting_unit("draw_weight")


def force(value: float, unit: str, decimals: int = 1) -> str:
    """A force, in the reader's unit."""
    return f"{fixed(units.from_si(value, unit), decimals)} {units.unit(unit).symbol}"


def length(value: float, unit: str, decimals: int | None = None) -> str:
    """A length that a tape tells: a tenth of a millimetre, or three decimals of an inch."""
    places = (1 if unit == "mm" else 3) if decimals is None else decimals
    return words.length(value, unit, places)


def whole(value: float, unit: str) -> str:
    """A length as a headline has it: whole millimetres, or hundredths of an inch."""
    return words.length(value, unit, 0 if unit == "mm" else 2)


def tiller_told(tiller: float, unit: str) -> str:
    """What two tillers just entered mean; upper less lower, m."""
    told = whole(abs(tiller), unit)
    if words.is_nothing(told):
        return f"Tiller {told}: both limbs are as far from the string."
    if tiller < 0:
        return f"The lower limb is {told} farther from the string: check that the limbs are not swapped."
    return f"Tiller {told}: the upper limb is farther from the string."


def signed(text: str) -> str:
    """With a plus where there is no minus, and none where it is nothing."""
    number = text.split(" ", maxsplit=1)[0]
    return text if words.is_nothing(number) or text.startswith(("−", "-")) else f"+{text}"


def draw_unit(values: Values) -> str:
    """The unit that the reader counts draw lengths in: as first typed, else inches or what the site begins with."""
    return _first_typed(values, "draw_length", slice(1)) or values.starting_unit("draw_length")


def _first_typed(values: Values, field: str, columns: slice) -> str:
    """The unit first typed in a field, or else in these columns of the scale readings; "" where there is none."""
    for name in (field, "scale_readings"):
        entry = values.record.entries.get(name)
        if entry is None or not values.entered(name):
            continue
        if entry.unit:
            return entry.unit
        for row in entry.rows:
            for box in row[columns]:
                if box is not None and box.unit:
                    return box.unit
    return ""


def own_draw(values: Values) -> str:
    """The reader's draw length as it was typed, with the place it is counted from."""
    unit = draw_unit(values)
    number = trimmed(units.from_si(values.number("draw_length"), unit), 2)
    station = {"amo": "AMO", "pivot": "to the pivot point", "plunger": "to the plunger", "rest": "to the rest"}
    return f"{number} {units.unit(unit).symbol} {station[values.choice('draw_station')]}"
