"""What a strip tells of flush and first touch, other ways to find them, and what each reading's uncertainty holds."""

from __future__ import annotations

from quarterturn.bench.strip_resolution import flush_budget, height_budget, strip_resolution, touch_budget
from quarterturn.bench.uncertainty import Budget
from quarterturn.numbers import fixed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Table, Value, ValueList
from quarterturn.widgets.budget_rows import budget_rows
from quarterturn.widgets.paper.inputs import PaperInputs


def strip_values(inputs: PaperInputs) -> ValueList:
    """What this strip can tell, as named values."""
    told, thick = inputs.strip_resolution, "too thick"

    def turns(name: str, label: str, value: float | None, note: str) -> Value:
        text = thick if value is None else words.turns(value)
        return Value(name, label, value, "" if value is None else "turn", text, inputs.status, note=note)

    return ValueList(
        "told",
        "What you feel with this strip",
        (
            turns("flush_outside", "Flush, coming in from outside", told.outside, "read too early; the careful side"),
            turns("flush_inside", "Flush, backing out from inside", told.inside, "read too late; all is taken off"),
            turns("flush_both", "Flush, from both sides", told.both, "true flush is between the two readings"),
            turns("touch_outside", "First touch, from outside", told.touch, "read too early; taken off as well"),
            Value(
                "strip_for_wanted",
                f"Strip for flush to {words.turns(inputs.wanted)}",
                inputs.length(inputs.thin_enough),
                inputs.unit,
                words.length(inputs.thin_enough, inputs.unit, 3 if inputs.unit == "mm" else 4),
                inputs.status,
                note="at most this thick",
            ),
        ),
    )


THINNER = ((0.05e-3, "a feeler blade"), (0.03e-3, "cigarette paper, about"))
"""Strips that many have at hand, m (thicknesses from memory; a blade carries its own)."""
HEIGHT_TURNS = 5.0
"""The count that heights are judged by, turns."""


def ways(inputs: PaperInputs) -> Table:
    """Every way to find flush with this pocket, and how closely each brackets it."""
    mine = inputs.strip_resolution
    rows = [
        ("this strip, from outside", _where(mine.outside, "before"), _turns(mine.outside), "yes"),
        ("this strip, from inside", _where(mine.inside, "past"), _turns(mine.inside), "no, so all of it is taken off"),
        ("this strip, from both sides", "between the two", _turns(mine.both), "yes: the outer end is used"),
    ]
    for thick, what in THINNER:
        if thick < inputs.strip:
            fine = strip_resolution(inputs.pocket, thick)
            rows.append(
                (
                    f"{what} {words.length(thick, inputs.unit)}, from outside",
                    _where(fine.outside, "before"),
                    _turns(fine.outside),
                    "yes",
                )
            )
    rows.append(
        (
            "the head's height by caliper",
            "counts turns, finds no end",
            fixed(height_budget(HEIGHT_TURNS, inputs.pitch, inputs.resolution).expanded, 2),
            f"U of a count of {fixed(HEIGHT_TURNS, 0)} turns",
        )
    )
    return Table(
        "better",
        "How to do better",
        ("way", "reads flush", "off by up to, turns", "careful side?"),
        tuple(rows),
        "A thinner strip helps in proportion. You cannot find flush with a caliper, but you can find a lost turn.",
    )


def _where(turns: float | None, side: str) -> str:
    return "not at all" if turns is None else f"{side} true flush"


def _turns(turns: float | None) -> str:
    return "too thick" if turns is None else fixed(turns, 2)


def budgets(inputs: PaperInputs) -> Table:
    """Hold the strip's interval against the random uncertainty, reading by reading."""
    rows = [
        (name, _turns(interval), fixed(each.combined, 3), fixed(each.expanded, 3))
        for name, interval, each in _readings(inputs)
    ]
    return Table(
        "budgets",
        "Two kinds of uncertainty",
        ("reading", "the strip's interval, turns", "random uncertainty u", "U = 2u"),
        tuple(rows),
        "The interval has one side and does not shrink when you read again. The random uncertainty has two sides and "
        "does. They are kept apart, and both are taken off.",
    )


def shares(inputs: PaperInputs) -> Table:
    """List every contribution to the random uncertainty of each reading."""
    readings = _readings(inputs)
    return Table(
        "shares",
        "What the random uncertainty is made of",
        ("standard uncertainty, turns", *(name for name, _, _ in readings)),
        budget_rows(tuple(each for _, _, each in readings)),
        "Combined as in the GUM (JCGM 100:2008).",
        folded=True,
    )


def _readings(inputs: PaperInputs) -> list[tuple[str, float | None, Budget]]:
    pocket, strip, resolution, mine = inputs.pocket, inputs.strip, inputs.resolution, inputs.strip_resolution
    listed: list[tuple[str, float | None, Budget]] = []
    if mine.outside is not None:
        listed.append(("flush, from outside", mine.outside, flush_budget(pocket, strip, resolution, "outside")))
    if mine.inside is not None:
        listed.append(("flush, from inside", mine.inside, flush_budget(pocket, strip, resolution, "inside")))
    listed.append(("first touch", mine.touch, touch_budget(pocket, strip, resolution)))
    listed.append(("5 turns by heights", 0.0, height_budget(HEIGHT_TURNS, inputs.pitch, resolution)))
    return listed
