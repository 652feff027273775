"""What of the log is not used, and what changed by more than is plausible."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.log import Jump
from quarterturn.widgets import bow_events, words
from quarterturn.widgets.bow_wording import signed
from quarterturn.widgets.log.form import NAME
from quarterturn.widgets.log.inputs import LogInputs

COLUMNS = {
    "upper_at": "the upper bolt's place",
    "lower_at": "the lower bolt's place",
    "weight": "draw weight",
    "upper_tiller": "the upper limb's distance to the string",
    "lower_tiller": "the lower limb's distance to the string",
    "brace_height": "brace height",
}


def unused_entries(inputs: LogInputs) -> tuple[str, ...]:
    """What of the log is not used, or not in the order of the table."""
    found = [problem.sentence for problem in inputs.values.unfinished(NAME)]
    if inputs.example:
        return tuple(found)
    found += bow_events.line_anew(inputs.values)
    found += [
        f"Entry {entry.number} ({days.isoformat(entry.day)}) has only a date."
        for entry in inputs.log.entries
        if entry.is_bare
    ]
    if moved := inputs.log.moved_up:
        named = words.listed([f"{entry.number} ({days.isoformat(entry.day)})" for entry in moved])
        one = len(moved) == 1
        found.append(
            f"{'Entry' if one else 'Entries'} {named} {'is' if one else 'are'} under an entry of a later date. "
            "All that is shown here is in the order of the dates. If a date is wrong, correct it."
        )
    return tuple(found)


def jump(inputs: LogInputs, found: Jump) -> str:
    """What changed by more than is plausible, and what to look for."""
    before, after = found.before, found.after
    by = signed(inputs.number(found.name, found.by))
    what = COLUMNS[found.name]
    start = (
        f"Entry {after.number} ({days.isoformat(after.day)}): {what} changed by {by} {inputs.symbol(found.name)} "
        f"since entry {before.number} ({days.isoformat(before.day)})."
    )
    if found.name.endswith("_at"):
        return f"{start} That is many turns for one entry. Count again from zero, and check whether a sign was lost."
    slip = "Look for a slip of the pen or another unit, and measure again"
    if found.alone:
        start = f"{start} The next one is as before, so this one is most likely a slip."
    if found.name == "weight":
        return f"{start} Turns of the bolts do not explain it. {slip}. Were the draw length and the limbs the same?"
    return f"{start} Turns of the bolts do not explain it. {slip}. Were the place on the limb and the string the same?"
