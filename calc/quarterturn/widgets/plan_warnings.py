"""What must be known before a plan is read: about the log, and about what is wanted."""

from __future__ import annotations

from quarterturn.bench.course import WHAT
from quarterturn.widgets import bow_warnings, bow_wording
from quarterturn.widgets.answer import Points
from quarterturn.widgets.plan_wording import NAMED
from quarterturn.widgets.planned_change import PlannedChange

UNUSUAL_TILLER = 0.010
"""More than this, m, is more than archers use as a rule (our own measure)."""
GOES_ON = "The plan starts from there, with what you read there."


def plan_warnings(planned: PlannedChange) -> list[Points]:
    """What must be known before the plan is read."""
    found = [*bow_warnings.warnings(planned.prediction), *bow_warnings.by_log(planned.prediction, GOES_ON)]
    told = [*_unfinished(planned), *_set_aside(planned)]
    if told:
        found.append(Points("log-told", "About your log", tuple(told), "caution"))
    wanted = planned.values.optional("wanted_tiller")
    if wanted is not None and abs(wanted) > UNUSUAL_TILLER:
        sentence = (
            f"Tiller of {bow_wording.length(wanted, planned.prediction.unit)} is more than usual: archers use a few "
            "millimetres (common practice, no source). Look in the maker's manual or ask a coach first."
        )
        found.append(Points("unusual", "That is a lot of tiller", (sentence,), "caution"))
    return found


def _unfinished(planned: PlannedChange) -> list[str]:
    return [problem.sentence for problem in planned.values.unfinished("log")]


def _set_aside(planned: PlannedChange) -> list[str]:
    """Entries that count for nothing, and those that no turn explains."""
    told = [
        f"{one.label}: a bolt is outside its safe range there, so no prediction starts from it."
        for one in planned.course.beside
    ]
    if not planned.own:
        return told
    for what in WHAT:
        told += [
            f"{one.label}: no turn explains how {NAMED[what].lower()} changed. Something else has changed too, or it "
            "was read wrongly. Predictions start from there."
            for one in planned.course.set_aside(what)
        ]
    return told
