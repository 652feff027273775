"""The values and tables of the page on tiller."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench import bow_fit
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.bow_setup import Pair
from quarterturn.bench.bow_uncertainty import outcome
from quarterturn.mechanics.pocket import PocketError
from quarterturn.numbers import fixed, same
from quarterturn.widgets import about_bow as said
from quarterturn.widgets import words
from quarterturn.widgets.about_bow import About
from quarterturn.widgets.about_string import brace_back
from quarterturn.widgets.answer import Table, Value, ValueList
from quarterturn.widgets.bow_doubts import expanded
from quarterturn.widgets.tiller import sentences

TURNS: tuple[tuple[str, str, Pair], ...] = (
    ("upper_in", "upper in", (-1.0, 0.0)),
    ("lower_in", "lower in", (0.0, -1.0)),
    ("both_in", "both in", (-1.0, -1.0)),
    ("opposite", "upper in, lower out", (-1.0, 1.0)),
)
WHAT = ("weight", "tiller", "brace_height")


def as_it_is(shown: About) -> ValueList:
    """What was entered, and what follows from it at once; computed, with its doubt, where the log moved the bolts."""
    now, unit, weight = outcome(shown.now), shown.unit, said.force_unit(shown.values)
    tape = 1 if unit == "mm" else 3
    return ValueList(
        "now",
        "As it stands",
        (
            _as_it_is("tiller", "Tiller, upper less lower", unit, tape, shown, sentences.meaning(now.tiller)),
            _as_it_is("brace_height", "Brace height", unit, tape, shown),
            _as_it_is("weight", f"Draw weight at {said.own_draw(shown.values)}", weight, 1, shown),
        ),
    )


def _as_it_is(name: str, label: str, unit: str, decimals: int, shown: About, note: str = "") -> Value:
    value = units.from_si(getattr(outcome(shown.now), name), unit)
    text, symbol, doubt = fixed(value, decimals), units.unit(unit).symbol, shown.sure(name) if shown.moved else None
    if doubt is None:
        return Value(name, label, value, unit, f"{text} {symbol}", shown.status, note=note)
    sure = units.from_si(doubt.combined, unit)
    text = f"{text} {expanded(doubt, unit, decimals)} {symbol}"
    return Value(name, label, value, unit, text, shown.status, uncertainty=sure, note=note)


def foretold(shown: About) -> ValueList | None:
    """What the turn makes of them, with how sure that is; nothing where nothing is foretold."""
    if shown.then is None or not shown.turned:
        return None
    now, there = outcome(shown.now), outcome(shown.then)
    unit, weight = shown.unit, said.force_unit(shown.values)
    status, listed = shown.status, []
    for name, label, symbol, decimals in (
        ("weight", "Draw weight", weight, 2),
        ("tiller", "Tiller", unit, 1 if unit == "mm" else 3),
        ("brace_height", "Brace height", unit, 1 if unit == "mm" else 3),
    ):
        key = "brace" if name == "brace_height" else name
        for which, value, whole in (
            ("then", getattr(there, name), True),
            ("change", getattr(there, name) - getattr(now, name), False),
        ):
            doubt = (
                shown.sure(name, then=True) if whole else shown.uncertainty.budget_of(name, shown.change, whole=False)
            )
            number = fixed(units.from_si(value, symbol), decimals)
            text = f"{number if whole else said.signed(number)} {expanded(doubt, symbol, decimals)}"
            listed.append(
                Value(
                    f"{key}_{which}",
                    f"{label} then" if whole else f"{label}: by how much it changes",
                    units.from_si(value, symbol),
                    symbol,
                    f"{text} {units.unit(symbol).symbol}",
                    status,
                    uncertainty=units.from_si(doubt.combined, symbol),
                )
            )
    moved = said.both_moved(shown.change)
    return ValueList("then", f"Foretold: {moved}", tuple(listed))


def by_turn(shown: About) -> Table | None:
    """What one turn of either bolt does, of both, and what keeps one while the other moves."""
    if shown.outside:
        return None
    unit, weight = shown.unit, said.force_unit(shown.values)
    rows = [_row(label, change, shown) for _, label, change in TURNS]
    weight_kept, tiller_kept = kept(shown)
    if weight_kept is not None:
        rows.append(_row(f"lower {_way(weight_kept)}: weight stays", (-1.0, weight_kept), shown))
    if tiller_kept is not None:
        rows.append(_row(f"lower {_way(tiller_kept)}: tiller stays", (-1.0, tiller_kept), shown))
    return Table(
        "by-turn",
        "What turns do about there",
        (
            "one turn",
            f"draw weight, {units.unit(weight).symbol}",
            f"tiller, {units.unit(unit).symbol}",
            f"brace height, {units.unit(unit).symbol}",
        ),
        tuple(rows),
        f"As it goes about where the bolts {'were measured' if shown.moved else 'are'}, taken from a quarter of a "
        "turn, the string as it is. After ±: about "
        "95 % (U = 2u, GUM), from how far every number may be off; counted on drawn bows it held 90 to 100 %. "
        "Turning out does the same the other way. The last two: for one turn in of the upper bolt, what the lower one "
        "must do.",
    )


def kept(shown: About) -> tuple[float | None, float | None]:
    """Turns OUT of the lower bolt for one turn IN of the upper one that keep draw weight, and that keep tiller."""
    around = shown.response

    def ratio(one: float, other: float) -> float | None:
        return None if same(other, 0.0) or abs(one) > 10 * abs(other) else one / other

    return (
        ratio(around.upper.weight, around.lower.weight),
        ratio(around.upper.tiller, around.lower.tiller),
    )


def _way(turns: float) -> str:
    return f"{'out' if turns > 0 else 'in'} {fixed(abs(turns), 2)}"


def _row(label: str, change: Pair, shown: About) -> tuple[str, ...]:
    unit, weight = shown.unit, said.force_unit(shown.values)
    found, cells = shown.response.change(change), []
    for name in WHAT:
        symbol = weight if name == "weight" else unit
        decimals = 2 if symbol != "in" else 3
        doubt = shown.uncertainty.budget_of(name, change, whole=False)
        number = said.signed(fixed(units.from_si(getattr(found, name), symbol), decimals))
        cells.append(f"{number} {expanded(doubt, symbol, decimals)}")
    return (label, *cells)


def by_name(shown: About) -> ValueList | None:
    """The same by name, for those who ask by name."""
    if shown.outside:
        return None
    unit, weight, status = shown.unit, said.force_unit(shown.values), shown.status
    listed = []
    for key, label, change in TURNS:
        found = shown.response.change(change)
        for name in WHAT:
            symbol = weight if name == "weight" else unit
            doubt = shown.uncertainty.budget_of(name, change, whole=False)
            value = units.from_si(getattr(found, name), symbol)
            number = fixed(value, 2 if symbol != "in" else 3)
            listed.append(
                Value(
                    f"{key}_{'brace' if name == 'brace_height' else name}",
                    f"{label[0].upper()}{label[1:]}, one turn: {name.replace('_', ' ')}",
                    value,
                    symbol,
                    f"{said.signed(number)} {units.unit(symbol).symbol}",
                    status,
                    uncertainty=units.from_si(doubt.combined, symbol),
                )
            )
    for name, label, turned in zip(
        ("keep_weight", "keep_tiller"),
        ("Turns of the lower bolt that keep weight", "Turns of the lower bolt that keep tiller"),
        kept(shown),
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


def string(shown: About) -> ValueList | None:
    """What puts the brace height back: a length of string, and about how many twists."""
    bow = shown.bow
    if shown.then is None or not shown.turned:
        return None
    setup = bow.setup
    try:
        wanted = bow_fit.string_for(bow.fitted, setup.rock(shown.there), shown.now.braced.brace_height)
    except (FitError, PocketError):
        return None
    return brace_back(shown, bow.fitted.string - wanted, shown.status)
