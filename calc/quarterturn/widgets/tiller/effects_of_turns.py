"""What one turn of either bolt does to tiller, brace height and draw weight: the table, and the same by name."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_setup import Pair
from quarterturn.numbers import fixed, same
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.answer import Table, Value, ValueList
from quarterturn.widgets.turn_prediction import TurnPrediction
from quarterturn.widgets.uncertainty_tables import expanded

TURNS: tuple[tuple[str, str, Pair], ...] = (
    ("upper_in", "upper in", (-1.0, 0.0)),
    ("lower_in", "lower in", (0.0, -1.0)),
    ("both_in", "both in", (-1.0, -1.0)),
    ("opposite", "upper in, lower out", (-1.0, 1.0)),
)
WHAT = ("weight", "tiller", "brace_height")


def by_turn(prediction: TurnPrediction) -> Table | None:
    """What one turn of either bolt does, of both, and what keeps one while the other moves."""
    if prediction.outside:
        return None
    unit, weight = prediction.unit, bow_wording.force_unit(prediction.values)
    rows = [_row(label, change, prediction) for _, label, change in TURNS]
    weight_kept, tiller_kept = kept(prediction)
    if weight_kept is not None:
        rows.append(_row(f"lower {_way(weight_kept)}: weight stays", (-1.0, weight_kept), prediction))
    if tiller_kept is not None:
        rows.append(_row(f"lower {_way(tiller_kept)}: tiller stays", (-1.0, tiller_kept), prediction))
    return Table(
        "by-turn",
        "What one turn does here",
        (
            "one turn",
            f"draw weight, {units.unit(weight).symbol}",
            f"tiller, {units.unit(unit).symbol}",
            f"brace height, {units.unit(unit).symbol}",
        ),
        tuple(rows),
        f"Near where the bolts {'were measured' if prediction.moved else 'are'}, computed from a quarter of a turn, "
        "with the same string. After ±: about 95 % (U = 2u, GUM), from how far every number may be off. Counted on "
        "made-up test bows, it was right in 90 to 100 %. Turning out does the same the other way. The last two "
        "rows: for one turn in of the upper bolt, what the lower one must do.",
    )


def kept(prediction: TurnPrediction) -> tuple[float | None, float | None]:
    """Turns OUT of the lower bolt for one turn IN of the upper one that keep draw weight, and that keep tiller."""
    around = prediction.response

    def ratio(one: float, other: float) -> float | None:
        return None if same(other, 0.0) or abs(one) > 10 * abs(other) else one / other

    return (
        ratio(around.upper.weight, around.lower.weight),
        ratio(around.upper.tiller, around.lower.tiller),
    )


def _way(turns: float) -> str:
    return f"{'out' if turns > 0 else 'in'} {fixed(abs(turns), 2)}"


def _row(label: str, change: Pair, prediction: TurnPrediction) -> tuple[str, ...]:
    unit, weight = prediction.unit, bow_wording.force_unit(prediction.values)
    found, cells = prediction.response.change(change), []
    for name in WHAT:
        symbol = weight if name == "weight" else unit
        decimals = 2 if symbol != "in" else 3
        uncertainty = prediction.uncertainty.budget_of(name, change, whole=False)
        number = bow_wording.signed(fixed(units.from_si(getattr(found, name), symbol), decimals))
        cells.append(f"{number} {expanded(uncertainty, symbol, decimals)}")
    return (label, *cells)


def by_name(prediction: TurnPrediction) -> ValueList | None:
    """The same by name, for those who ask by name."""
    if prediction.outside:
        return None
    unit, weight, status = prediction.unit, bow_wording.force_unit(prediction.values), prediction.status
    listed = []
    for key, label, change in TURNS:
        found = prediction.response.change(change)
        for name in WHAT:
            symbol = weight if name == "weight" else unit
            uncertainty = prediction.uncertainty.budget_of(name, change, whole=False)
            value = units.from_si(getattr(found, name), symbol)
            number = fixed(value, 2 if symbol != "in" else 3)
            listed.append(
                Value(
                    f"{key}_{'brace' if name == 'brace_height' else name}",
                    f"{words.capital(label)}, one turn: {name.replace('_', ' ')}",
                    value,
                    symbol,
                    f"{bow_wording.signed(number)} {units.unit(symbol).symbol}",
                    status,
                    uncertainty=units.from_si(uncertainty.combined, symbol),
                )
            )
    for name, label, turned in zip(
        ("keep_weight", "keep_tiller"),
        ("Lower bolt turns that keep weight", "Lower bolt turns that keep tiller"),
        kept(prediction),
        strict=True,
    ):
        text = "none" if turned is None else f"{words.turns(abs(turned))} {'out' if turned > 0 else 'in'}"
        listed.append(
            Value(
                *(name, label, turned, "" if turned is None else "turn", text, status),
                note="for one turn in of the upper bolt; out is positive",
            )
        )
    return ValueList("by-name", "What turns do, by name", tuple(listed), folded=True)
