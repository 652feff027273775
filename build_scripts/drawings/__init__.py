"""The drawings of the forms: the families of bolts, their locks, what to look for in an inspection, and the steps.

They are the same for every reader, so they are made once, when a page is built. The package in calc/ does not know
them, and the browser does not fetch their code.
"""

from __future__ import annotations

from drawings.families import FAMILIES, family_drawing
from drawings.inspection import SUBJECTS, subject_drawing
from drawings.locks import LOCKS, lock_drawing
from quarterturn.bench.progress import CHECKS
from quarterturn.figures.svg import Picture

SUBJECT_OF = {"check_string_off": "string_off", "check_lock": "bolt_lock", "limb_places": "upper_on_top"}
"""The subject of a question, where it has another name."""


def form_drawings(widget: str) -> dict[str, Picture]:
    """The drawings of a widget's form, by the field's name, or by field and option as "field=option"."""
    if widget == "start":
        return {f"bolt_family={name}": family_drawing(name, prefix=f"family-{name}") for name in FAMILIES}
    if widget == "inspection":
        subjects = {name: SUBJECT_OF.get(name, name) for name in CHECKS}
        return {
            name: subject_drawing(subject, prefix=f"look-{name}")
            for name, subject in subjects.items()
            if subject in SUBJECTS
        }
    if widget == "safe-range":
        return {f"bolt_lock={name}": lock_drawing(name, prefix=f"lock-{name}") for name in LOCKS}
    return {}
