"""How to do better than one sheet: other ways, other strips, heights; and what each reading's uncertainty holds."""

from __future__ import annotations

import math

from quarterturn.bench.strip_resolution import flush_budget, height_budget, strip_resolution, touch_budget
from quarterturn.bench.uncertainty import Budget
from quarterturn.numbers import fixed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Table
from quarterturn.widgets.paper.inputs import PaperInputs

THINNER = ((0.05e-3, "a feeler blade"), (0.03e-3, "cigarette paper, about"))
"""Strips that many have at hand, m (thicknesses from memory; a blade carries its own)."""
HEIGHT_TURNS = 5.0
"""The count that heights are judged by, turns."""


def table(about: PaperInputs) -> Table:
    """Every way to find flush with this pocket, and how closely each brackets it."""
    mine = about.told
    rows = [
        ("this strip, from outside", _where(mine.outside, "before"), _turns(mine.outside), "yes"),
        ("this strip, from inside", _where(mine.inside, "past"), _turns(mine.inside), "no, so all of it is taken off"),
        ("this strip, from both sides", "between the two", _turns(mine.both), "yes: the outer end is used"),
    ]
    for thick, what in THINNER:
        if thick < about.strip:
            fine = strip_resolution(about.pocket, thick)
            rows.append(
                (
                    f"{what} {words.length(thick, about.unit)}, from outside",
                    _where(fine.outside, "before"),
                    _turns(fine.outside),
                    "yes",
                )
            )
    rows.append(
        (
            "the head's height by caliper",
            "counts turns, finds no end",
            fixed(height_budget(HEIGHT_TURNS, about.pitch, about.resolution).expanded, 2),
            f"U of a count of {fixed(HEIGHT_TURNS, 0)} turns",
        )
    )
    return Table(
        "better",
        "How to do better",
        ("way", "reads flush", "off by up to, turns", "careful side?"),
        tuple(rows),
        "A thinner strip helps in proportion. A caliper does not see flush at all, but it catches a lost turn.",
    )


def _where(turns: float | None, side: str) -> str:
    return "it cannot tell" if turns is None else f"{side} true flush"


def _turns(turns: float | None) -> str:
    return "too thick" if turns is None else fixed(turns, 2)


def budgets(about: PaperInputs) -> Table:
    """Hold the strip's interval against the random uncertainty, reading by reading."""
    rows = [
        (name, _turns(interval), fixed(each.combined, 3), fixed(each.expanded, 3))
        for name, interval, each in _readings(about)
    ]
    return Table(
        "budgets",
        "Two kinds of doubt",
        ("reading", "the strip's interval, turns", "random doubt u", "U = 2u"),
        tuple(rows),
        "The interval has one side and does not shrink when you read again. The random doubt has two sides and does. "
        "They are kept apart, and both are taken off.",
    )


def shares(about: PaperInputs) -> Table:
    """List every contribution to the random uncertainty of each reading."""
    readings = [each for _, _, each in _readings(about)]
    names = dict.fromkeys((one.name, one.shape) for each in readings for one in each.contributions)
    rows = [(f"{name} ({shape})", *(_share(each, name, shape) for each in readings)) for name, shape in names]
    return Table(
        "shares",
        "What the random doubt is made of",
        ("standard uncertainty, turns", *(name for name, _, _ in _readings(about))),
        (
            *rows,
            ("together, u", *(fixed(each.combined, 4) for each in readings)),
            ("U = 2u", *(fixed(each.expanded, 4) for each in readings)),
        ),
        "Put together as the GUM does (JCGM 100:2008).",
        folded=True,
    )


def _readings(about: PaperInputs) -> list[tuple[str, float | None, Budget]]:
    pocket, strip, resolution, mine = about.pocket, about.strip, about.resolution, about.told
    listed: list[tuple[str, float | None, Budget]] = []
    if mine.outside is not None:
        listed.append(("flush, from outside", mine.outside, flush_budget(pocket, strip, resolution, "outside")))
    if mine.inside is not None:
        listed.append(("flush, from inside", mine.inside, flush_budget(pocket, strip, resolution, "inside")))
    listed.append(("first touch", mine.touch, touch_budget(pocket, strip, resolution)))
    listed.append(("5 turns by heights", 0.0, height_budget(HEIGHT_TURNS, about.pitch, resolution)))
    return listed


def _share(each: Budget, name: str, shape: str) -> str:
    found = [one.share for one in each.contributions if (one.name, one.shape) == (name, shape)]
    return fixed(math.hypot(*found), 4) if found else "none"
