"""The tables of both windows: one against the other, every limit, what the uncertainty is made of."""

from __future__ import annotations

from collections.abc import Callable

from quarterturn.bench import balance
from quarterturn.bench.window import End, WindowLimit
from quarterturn.numbers import fixed, fixed_down, fixed_up
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.answer import Table
from quarterturn.widgets.budget_rows import budget_rows
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges


def against_each_other(found: SafeRanges) -> Table:
    """Hold the upper bolt against the lower one."""
    upper, lower = found.bolts
    rows: list[tuple[str, float, float, Callable[[float, int], str]]] = [
        ("inner end", upper.window.inner.usable, lower.window.inner.usable, fixed_up),
        ("outer end", upper.window.outer.usable, lower.window.outer.usable, fixed_down),
        ("width", upper.window.width, lower.window.width, fixed_down),
        ("is at", upper.readings.now.turns, lower.readings.now.turns, fixed),
        (
            "out from the middle",
            upper.readings.now.turns - upper.window.middle,
            lower.readings.now.turns - lower.window.middle,
            fixed,
        ),
    ]
    note = (
        "The two pockets differ: two turns on one bolt are not two turns on the other. Set one bolt against the "
        "other by tiller."
    )
    tillers = [found.values.optional(f"{bolt}_tiller") for bolt in BOLTS]
    if tillers[0] is not None and tillers[1] is not None:
        note += f" Tiller as you measured it: {words.length(balance.tiller(tillers[0], tillers[1]), found.unit)}."
    return Table(
        "against",
        "Upper against lower",
        ("turns", "upper", "lower", "upper less lower"),
        tuple((label, show(a, 2), show(b, 2), fixed(a - b, 2)) for label, a, b, show in rows),
        note,
    )


def limits(bolt: BoltRange, *, captive: bool = False) -> Table:
    """List every limit of one bolt; a captive one is not taken out to count its thread."""
    rows = []
    for limit in bolt.window.limits:
        strictest = limit in (bolt.window.inner, bolt.window.outer)
        end = "inner" if limit.end is End.INNER else "outer"
        rows.append(
            (
                f"{words.limit(limit)}{' (strictest)' if strictest else ''}",
                end,
                fixed(limit.at, 2),
                fixed(limit.interval, 2),
                fixed(limit.margin, 2),
                fixed(limit.budget.expanded, 2),
                _usable(limit),
            )
        )
    note = "In turns from zero. Off the inner end they are added, off the outer end they are taken away."
    if bolt.readings.dimensions is not None and not any(limit.name == "thread" for limit in bolt.window.limits):
        counted = "" if captive else "Count its turns with the limb off, or measure"
        note += (
            " How much thread is left was not given, so it limits nothing here. "
            f"{counted or 'This bolt is captive, so do not count it: measure'} the bolt and its thread to the head."
        )
    return Table(
        f"{bolt.name}-limits",
        f"{bolt.title.capitalize()}: every limit, the strictest first",
        ("limit", "end", "read at", "strip", "margin", "error U", "usable to"),
        tuple(rows),
        note,
        folded=True,
    )


def _usable(limit: WindowLimit) -> str:
    return fixed_up(limit.usable, 2) if limit.end is End.INNER else fixed_down(limit.usable, 2)


def uncertainties(bolt: BoltRange) -> Table:
    """List every contribution to the uncertainty of one bolt's ends, place and width."""
    budgets = (
        bolt.window.inner.budget,
        bolt.window.outer.budget,
        bolt.window.width_budget,
        bolt.readings.now.budget,
    )
    return Table(
        f"{bolt.name}-doubts",
        f"{bolt.title.capitalize()}: where the uncertainty comes from",
        ("standard uncertainty, turns", "inner end", "outer end", "width", "where it is"),
        budget_rows(budgets),
        "Put together as the GUM does (JCGM 100:2008). U is taken off each end. The strip's own interval is not in "
        "here: it is taken off whole.",
        folded=True,
    )
