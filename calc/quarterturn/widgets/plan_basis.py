"""The table of what a plan is based on: what one turn does, found by what, from which reading on."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.course import WHAT
from quarterturn.numbers import fixed
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording
from quarterturn.widgets.answer import Table
from quarterturn.widgets.plan_wording import NAMED
from quarterturn.widgets.planned_change import PlannedChange

BY = {
    "bow": "the computed bow",
    "readings": "your own settings",
    "both": "both",
}
"""What a prediction is found by."""


def foretold_by(shown: PlannedChange) -> Table:
    """What the predictions are based on: what one turn in of either bolt does, found by what, from which reading on."""
    rows = [_by_turn(shown, what, at) for what in WHAT for at in range(len(BOLTS))]
    return Table(
        "foretold-by",
        "What this is based on",
        ("one turn in", "does", "based on", "starts from"),
        tuple(rows),
        "After ±: about 95 %. Each number starts from its newest reading. What a turn does on your bow comes from your "
        "own settings too, as far as they are surer than the computed bow.",
        folded=True,
    )


def _by_turn(shown: PlannedChange, what: str, at: int) -> tuple[str, str, str, str]:
    told, anchor = shown.course.turn(what), shown.course.anchor(what)
    name = f"{BOLTS[at]} bolt: {NAMED[what].lower()}"
    if told is None:
        return name, "not known", "its uncertainty cannot be computed", anchor.label
    symbol = bow_wording.force_unit(shown.values) if what == "weight" else shown.prediction.unit
    decimals = 3 if symbol == "in" else 2
    value, uncertainty = (
        fixed(units.from_si(each, symbol), decimals) for each in (-told[at].value, 2 * told[at].uncertainty)
    )
    return (
        name,
        f"{bow_wording.signed(value)} ±\u00a0{uncertainty} {units.unit(symbol).symbol}",
        BY[told[at].by],
        anchor.label,
    )
