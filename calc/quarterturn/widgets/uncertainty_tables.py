"""What each number of the bow matters for what is foretold: a figure and a table that the pages on the bow share."""

from __future__ import annotations

from collections.abc import Callable

from quarterturn import units
from quarterturn.bench.bow_numbers import Parameter, individual
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.bow_uncertainty import BowUncertainty
from quarterturn.bench.uncertainty import Budget
from quarterturn.numbers import fixed, trimmed
from quarterturn.record.fields import BOLTS, BY_NAME
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.answer import Drawing, Table
from quarterturn.widgets.turn_prediction import TurnPrediction

MOST_BARS = 8
NOTHING = 1e-9
"""An effect of less, N or m, is none."""
BOTH_IN: Pair = (-1.0, -1.0)
UPPER_IN: Pair = (-1.0, 0.0)
LABELS = {
    "scale_step": "What the scale shows",
    "draw_step": "Where the draw stopped",
    "rise": "Rise of the head, a turn",
    "flush_angle": "Lean of the limbs at flush",
    "taper": "Taper of the limbs",
    "inner_curvature": "Bend of the unstrung limb, inner part",
    "recurve_curvature": "Bend of the recurve",
    "recurve": "Length of the recurve",
    "root_distance": "Fulcrum to where the limb bends",
    "stretch": "Stretch of the string",
    "second_order": "What does not go in proportion",
    "second_order_of_lever": "What does not go in proportion, of brace height",
}
SHOWN: dict[str, Callable[[float], str]] = {
    "flush_angle": lambda value: f"{fixed(value, 3)} rad",
    "taper": lambda value: fixed(value, 2),
    "inner_curvature": lambda value: f"{fixed(value, 2)} per m",
    "recurve_curvature": lambda value: f"{fixed(value, 1)} per m",
    "stretch": lambda value: f"{fixed(1e5 * value, 1)} · 10⁻⁵ per N",
}
"""How a number is shown that is no length."""
HOW = {
    "measured": "measured",
    "assumed": "the example's",
    "default": "our default",
    "alike": "taken as alike",
    "computed": "computed",
}


def label(parameter: Parameter) -> str:
    """A parameter's name in words."""
    whose = individual(parameter.name)
    if whose is None:
        return _name(parameter.name)
    bolt, kind = BOLTS[whose[0]], whose[1]
    return f"{bolt.capitalize()} limb by itself: {words.lower(_name(kind))}"


def _name(name: str) -> str:
    return LABELS.get(name) or BY_NAME[name].label


def ranked(found: BowUncertainty, what: str, change: Pair) -> list[tuple[Parameter, float]]:
    """The parameters by what their being off does to the difference that a turn makes; the largest first.

    What is computed from all of them is no parameter.
    """
    numbers = [one for one in found.shares(what, change) if one[0].known != "computed"]
    # Rounded, so that what is alike but for its last digits has one order on every machine.
    return sorted(numbers, key=lambda one: -float(f"{abs(one[1]):.4e}") if abs(one[1]) > NOTHING else 0.0)


def figure(prediction: TurnPrediction, widget: str, what: str, change: Pair) -> Drawing:
    """Draw what matters most for the difference that a turn makes in `what`, an attribute of Outcome."""
    from quarterturn.figures.bars import Bar, Bars, bars

    unit = bow_wording.force_unit(prediction.values) if what == "weight" else prediction.unit
    found = ranked(prediction.uncertainty, what, change)[:MOST_BARS]
    rows = tuple(
        Bar(label(parameter), -drawn, drawn)
        for parameter, share in found
        for drawn in (float(f"{units.from_si(share, unit):.4e}"),)
    )
    symbol = units.unit(unit).symbol
    picture = bars(
        Bars(
            rows,
            f"{_NAMES[what]}, one turn in: {symbol} more or less",
            unit=symbol,
            decimals=2 if unit != "in" else 4,
        ),
        prefix=f"{widget}-matters",
        name="matters",
        title=f"What matters for {_NAMES[what]} after a turn",
    )
    first = found[0][0]
    return Drawing(picture, _next(first, found))


_NAMES = {"weight": "draw weight", "tiller": "tiller", "brace_height": "brace height"}


def _next(first: Parameter, found: list[tuple[Parameter, float]]) -> str:
    """What to measure next: the first of them that can be measured and has not been."""
    open_ = next((each for each, _ in found if each.known == "assumed"), None)
    if open_ is not None:
        return f"The longest bars matter most. Measure this next: {words.lower(label(open_))}."
    if first.known in ("default", "alike"):
        return (
            "The longest bars matter most. You have entered all that a tape, a scale or a caliper can measure. What is "
            "left is the limbs' shape, and a test turn shows more of it than any other measure."
        )
    return "The longest bars matter most. Measure those more closely, or more often."


def table(prediction: TurnPrediction) -> Table:
    """Every number the bow is made from: where it comes from, how far it may be off, and what that does."""
    weight = bow_wording.force_unit(prediction.values)
    found = prediction.uncertainty
    order = {parameter.name: place for place, (parameter, _) in enumerate(ranked(found, "tiller", UPPER_IN))}
    columns = (("weight", BOTH_IN), ("tiller", UPPER_IN), ("brace_height", BOTH_IN))
    shares = zip(*(found.shares(what, change) for what, change in columns), strict=True)
    rows = [
        _row(force[0], (force[1], tiller[1], brace[1]), weight, prediction)
        for force, tiller, brace in sorted(shares, key=lambda one: order.get(one[0][0].name, len(order)))
    ]
    return Table(
        "matters-table",
        "Every number the bow is made from",
        (
            "number",
            "taken as",
            "may be off by",
            "it is",
            "weight, both in",
            "tiller, upper in",
            "brace height, both in",
        ),
        tuple(rows),
        "The last three columns: how much more one turn would do if the number were larger by what it may be off. If "
        "it were smaller, that much less. How far each may be off: your own entries for tape, scale and draw, and for "
        "the rest our own estimate, without a source. Our defaults are those of a made-up, plausible limb: nobody can "
        "measure them with a tape. What a limb has by itself comes on top of what both have alike. Two limbs of a "
        "pair, or two pockets of a riser, are taken to differ by a sixth, or less, of what bows differ by. The "
        "last row, on what does not go in proportion, is computed from all others and has no sign."
        + _lost(prediction.uncertainty.lost),
        folded=True,
    )


def _row(
    parameter: Parameter, shares: tuple[float, float, float], weight: str, prediction: TurnPrediction
) -> tuple[str, ...]:
    """A row of the table; `shares` are what the parameter does to weight, tiller and brace height."""
    decimals = 2 if prediction.unit == "mm" else 4
    return (
        label(parameter),
        _taken(parameter, prediction),
        _off(parameter, prediction),
        HOW[parameter.known],
        bow_wording.signed(bow_wording.force(shares[0], weight, 2)),
        *(bow_wording.signed(bow_wording.length(share, prediction.unit, decimals)) for share in shares[1:]),
    )


def _lost(lost: tuple[Parameter, ...]) -> str:
    if not lost:
        return ""
    return f" Left out, because no bow is found when they are a little off: {', '.join(map(label, lost))}."


def _taken(parameter: Parameter, prediction: TurnPrediction) -> str:
    if parameter.name in ("scale_step", "draw_step"):
        return "your readings" if parameter.known == "measured" else "the example's readings"
    if parameter.known in ("alike", "computed"):
        return {"alike": "as the pair's", "computed": ""}[parameter.known]
    return _value(parameter.name, parameter.value, prediction)


def _off(parameter: Parameter, prediction: TurnPrediction) -> str:
    if parameter.known == "computed":
        return ""
    if parameter.name == "scale_step":
        return f"± {bow_wording.force(parameter.value, bow_wording.force_unit(prediction.values), 2)}"
    if parameter.name == "draw_step":
        return f"± {bow_wording.length(parameter.value, prediction.unit, 1 if prediction.unit == 'mm' else 3)}"
    whose = individual(parameter.name)
    return f"± {_value(whose[1] if whose else parameter.name, parameter.half, prediction)}"


def _value(name: str, value: float, prediction: TurnPrediction) -> str:
    if name.endswith("_now_turns"):
        return f"{trimmed(value, 3)} {units.unit('turn').symbol}"
    if name in SHOWN:
        return SHOWN[name](value)
    return bow_wording.length(value, prediction.unit, (3 if name == "rise" else 1) if prediction.unit == "mm" else 4)


def expanded(budget: Budget, unit: str, decimals: int) -> str:
    """U in the reader's unit, with its sign and without the unit's symbol."""
    return f"±\u00a0{fixed(units.from_si(budget.expanded, unit), decimals)}"
