"""The rows of a table of budgets: every contribution, a column a budget, and what they come to together."""

from __future__ import annotations

import math

from quarterturn.bench.uncertainty import Budget
from quarterturn.numbers import fixed


def budget_rows(budgets: tuple[Budget, ...]) -> tuple[tuple[str, ...], ...]:
    """Every contribution by name and shape, in the budgets' own unit; last the combined and the expanded."""
    names = dict.fromkeys((each.name, each.shape) for budget in budgets for each in budget.contributions)
    return (
        *((f"{name} ({shape})", *(_share(budget, name, shape) for budget in budgets)) for name, shape in names),
        ("together, u", *(fixed(budget.combined, 4) for budget in budgets)),
        ("U = 2u", *(fixed(budget.expanded, 4) for budget in budgets)),
    )


def _share(budget: Budget, name: str, shape: str) -> str:
    shares = [each.share for each in budget.contributions if (each.name, each.shape) == (name, shape)]
    return fixed(math.hypot(*shares), 4) if shares else "none"
