"""The tables of the answer."""

from __future__ import annotations

import math
from collections.abc import Callable

from quarterturn import units
from quarterturn.bench import balance
from quarterturn.bench.uncertainty import Budget
from quarterturn.bench.window import End, WindowLimit
from quarterturn.numbers import fixed, fixed_down, fixed_up, trimmed
from quarterturn.record.entries import Entry
from quarterturn.record.field_types import AnyField, ChoiceField, ListField, NumberField, Role
from quarterturn.record.fields import BOLTS, FIELDS
from quarterturn.widgets import words
from quarterturn.widgets.answer import Block, Table
from quarterturn.widgets.safe_range.form import ASKED
from quarterturn.widgets.safe_range.found import Found, FoundBolt


def against_each_other(found: Found) -> Table:
    """Hold the upper bolt against the lower one."""
    upper, lower = found.bolts
    rows: list[tuple[str, float, float, Callable[[float, int], str]]] = [
        ("inner end", upper.window.inner.usable, lower.window.inner.usable, fixed_up),
        ("outer end", upper.window.outer.usable, lower.window.outer.usable, fixed_down),
        ("width", upper.window.width, lower.window.width, fixed_down),
        ("stands at", upper.readings.now.turns, lower.readings.now.turns, fixed),
        (
            "out from the middle",
            upper.readings.now.turns - upper.window.middle,
            lower.readings.now.turns - lower.window.middle,
            fixed,
        ),
    ]
    note = (
        "The pockets differ, so the same number of turns from zero means nothing by itself. Tiller decides how the two "
        "bolts stand to each other."
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


def limits(bolt: FoundBolt) -> Table:
    """List every limit of one bolt."""
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
        note += (
            " How much thread is left was not given, so it limits nothing here: count its turns, limb off, or measure "
            "bolt and stand."
        )
    return Table(
        f"{bolt.name}-limits",
        f"{bolt.title.capitalize()}: every limit, the strictest first",
        ("limit", "end", "read at", "strip", "margin", "doubt U", "usable to"),
        tuple(rows),
        note,
        folded=True,
    )


def _usable(limit: WindowLimit) -> str:
    return fixed_up(limit.usable, 2) if limit.end is End.INNER else fixed_down(limit.usable, 2)


def doubts(bolt: FoundBolt) -> Table:
    """List every contribution to the doubt of one bolt's ends, place and width."""
    budgets = (
        bolt.window.inner.budget,
        bolt.window.outer.budget,
        bolt.window.width_budget,
        bolt.readings.now.budget,
    )
    names = dict.fromkeys((each.name, each.shape) for budget in budgets for each in budget.contributions)
    rows = [(f"{name} ({shape})", *(_share(budget, name, shape) for budget in budgets)) for name, shape in names]
    return Table(
        f"{bolt.name}-doubts",
        f"{bolt.title.capitalize()}: what the doubt is made of",
        ("standard uncertainty, turns", "inner end", "outer end", "width", "where it stands"),
        (
            *rows,
            ("together, u", *(fixed(budget.combined, 4) for budget in budgets)),
            ("U = 2u", *(fixed(budget.expanded, 4) for budget in budgets)),
        ),
        "Put together as the GUM does (JCGM 100:2008). U is taken off each end. The strip's own interval is not in "
        "here: it is taken off whole.",
        folded=True,
    )


def _share(budget: Budget, name: str, shape: str) -> str:
    shares = [each.share for each in budget.contributions if (each.name, each.shape) == (name, shape)]
    return fixed(math.hypot(*shares), 4) if shares else "none"


def assumed(found: Found) -> list[Block]:
    """List what was assumed."""
    rows = []
    for field in FIELDS:
        if field.role is not Role.SETTING or field.scope.value != "bow" or field.name not in ASKED:
            continue
        if not found.values.matters(field.name):
            continue
        if not _used(field.name, found):
            continue
        if isinstance(field, NumberField) and not found.values.entered(field.name):
            rows.append((field.label, _shown(field, field.default, field.unit), field.default_from))
        elif isinstance(field, ChoiceField) and field.name == "bush_metal" and not found.values.entered(field.name):
            rows.append((field.label, field.label_of(field.default), "the careful side"))
    if not rows:
        return []
    return [
        Table(
            "assumed",
            "Assumed, because it was not entered",
            ("what", "taken as", "from"),
            tuple(rows),
            "The answer holds under these. Measure what you can.",
            folded=True,
        )
    ]


def _used(name: str, found: Found) -> bool:
    """Whether a setting has a part in this answer: some only matter along with a reading."""
    entered = found.values.entered
    if name == "lever_turns":
        return entered("lever_travel") and not entered("fulcrum_arm")
    if name == "fulcrum_arm":
        return not entered("lever_travel")
    if name == "tip_length":
        return entered("tip_travel") or entered("lever_travel")
    return True


def _shown(field: NumberField, value: float, unit: str) -> str:
    return f"{trimmed(value, 4)} {units.unit(unit).symbol}".strip()


def entered(found: Found) -> list[Block]:
    """List what was entered and can be used, as it was typed; what cannot, the page says that asks for it."""
    rows = []
    unusable = {problem.name for problem in found.values.problems}
    for field in FIELDS:
        entry = found.values.record.entries.get(field.name)
        if entry is None or not found.values.matters(field.name) or field.scope.value == "view":
            continue
        if field.name in unusable:
            continue
        rows.append((field.label, _in_words(field, entry)))
    if not rows:
        return []
    return [Table("entered", "What was entered", ("field", "entry"), tuple(rows), folded=True)]


def _in_words(field: AnyField, entry: Entry) -> str:
    """What was typed with its unit; a choice by its words, the rows of a list one after the other."""
    if isinstance(field, ChoiceField):
        return field.label_of(entry.typed)
    if isinstance(field, ListField):
        return "; ".join(", ".join(_with_unit(cell) for cell in row if cell is not None) for row in entry.rows)
    return _with_unit(entry)


def _with_unit(entry: Entry) -> str:
    symbol = units.unit(entry.unit).symbol if entry.unit else ""
    return f"{entry.typed.strip()} {symbol}".strip()
