"""The tables of the answer."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench import balance
from quarterturn.bench.window import End
from quarterturn.numbers import fixed, trimmed
from quarterturn.record.declare import ChoiceField, NumberField, Role
from quarterturn.record.fields import BOLTS, FIELDS
from quarterturn.widgets import words
from quarterturn.widgets.answer import Block, Table
from quarterturn.widgets.safe_range.found import Found, FoundBolt


def against_each_other(found: Found) -> Table:
    """Hold the upper bolt against the lower one."""
    upper, lower = found.bolts
    rows = [
        ("inner end", upper.window.inner.usable, lower.window.inner.usable),
        ("outer end", upper.window.outer.usable, lower.window.outer.usable),
        ("width", upper.window.width, lower.window.width),
        ("stands at", upper.readings.now.turns, lower.readings.now.turns),
        (
            "out from the middle",
            upper.readings.now.turns - upper.window.middle,
            lower.readings.now.turns - lower.window.middle,
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
        tuple((label, fixed(a, 2), fixed(b, 2), fixed(a - b, 2)) for label, a, b in rows),
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
                fixed(limit.usable, 2),
            )
        )
    note = "In turns from zero. Off the inner end they are added, off the outer end they are taken away."
    if bolt.readings.dimensions is not None and not any(limit.name == "thread" for limit in bolt.window.limits):
        note += " How much thread is left was not given, so it limits nothing here: count it, limb off."
    return Table(
        f"{bolt.name}-limits",
        f"{bolt.title.capitalize()}: every limit, the strictest first",
        ("limit", "end", "read at", "strip", "margin", "doubt U", "usable to"),
        tuple(rows),
        note,
        folded=True,
    )


def doubts(bolt: FoundBolt) -> Table:
    """List every contribution to the doubt of one bolt's ends, place and width."""
    rows: list[tuple[str, ...]] = []
    for label, budget in (
        ("inner end", bolt.window.inner.budget),
        ("outer end", bolt.window.outer.budget),
        ("where it stands", bolt.readings.now.budget),
        ("width", bolt.window.width_budget),
    ):
        rows += [(label, each.name, each.shape, fixed(each.share, 4)) for each in budget.contributions]
        rows.append((label, "together, u", "", fixed(budget.combined, 4)))
    return Table(
        f"{bolt.name}-doubts",
        f"{bolt.title.capitalize()}: what the doubt is made of",
        ("of", "contribution", "shape", "standard uncertainty, turns"),
        tuple(rows),
        "Put together as the GUM does (JCGM 100:2008). U = 2u is taken off each end. The strip's own interval is not "
        "in here: it is taken off whole.",
        folded=True,
    )


def assumed(found: Found) -> list[Block]:
    """List what was assumed."""
    rows = []
    for field in FIELDS:
        if field.role is not Role.SETTING or field.scope.value != "bow" or not found.values.matters(field.name):
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


def _shown(field: NumberField, value: float, unit: str) -> str:
    return f"{trimmed(value, 4)} {units.unit(unit).symbol}".strip()


def entered(found: Found) -> list[Block]:
    """List what was entered, as it was typed."""
    rows = []
    for field in FIELDS:
        entry = found.values.record.entries.get(field.name)
        if entry is None or not found.values.matters(field.name) or field.scope.value == "view":
            continue
        if isinstance(field, ChoiceField):
            rows.append((field.label, field.label_of(entry.typed)))
        else:
            symbol = units.unit(entry.unit).symbol if entry.unit else ""
            rows.append((field.label, f"{entry.typed.strip()} {symbol}".strip()))
    if not rows:
        return []
    return [Table("entered", "What was entered", ("field", "entry"), tuple(rows), folded=True)]
