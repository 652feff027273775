"""The parts of the form that the pages on a plan share: what is wanted, what each counts, the plan that is kept."""

from __future__ import annotations

from quarterturn.widgets import bow_form
from quarterturn.widgets.answer import Group

WANTED = Group(
    "wanted",
    "What you want",
    "An empty box means as it was when you made the plan.",
    ("wanted_weight", "wanted_tiller"),
)
WORTH = Group("worth", "What matters more", "", ("tiller_worth",))
NEAR = Group(
    "nearness",
    "How closely you read, and the basis",
    "It sets how sure the answer is, and what it is based on.",
    (*bow_form.NEARNESS.fields, "foretell_by"),
    folded=True,
)
PLAN_MADE = ("planned_on", "planned_weight", "planned_tiller")
"""When a plan was made, and what an empty wish means since."""
PLAN_KEPT = (*PLAN_MADE, "planned_upper", "planned_lower")
"""The fields that keep a plan."""
KEPT = Group(
    "kept",
    "When you made the plan",
    "Filled in when you enter what you want, so that readings never move the goal.",
    PLAN_KEPT,
    folded=True,
)
