"""What the page with the log says."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.log import READINGS, Jump
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.about_bow import force, signed, whole
from quarterturn.widgets.log.asked import LABELS, Shown
from quarterturn.widgets.log.form import NAME

COLUMNS = {
    "upper_at": "the upper bolt's place",
    "lower_at": "the lower bolt's place",
    "weight": "draw weight",
    "upper_tiller": "the upper limb's distance to the string",
    "lower_tiller": "the lower limb's distance to the string",
    "brace_height": "brace height",
}
MADE_UP = "The log is a made-up bow's, until you enter a row of your own with its date."
"""Said while there is no entry that can be used."""


def title(shown: Shown) -> str:
    """How many entries, since when, and what has changed."""
    entries = shown.log.entries
    many = len(entries)
    counted = f"{many} {'entry' if many == 1 else 'entries'}"
    first, last = (days.in_words(entry.day) for entry in (entries[0], entries[-1]))
    when = f"{counted} of {first}" if first == last else f"{counted} since {first.partition(' ')[2]}"
    changed = [part for name in READINGS if (part := _changed(shown, name))]
    return f"{when}: {words.listed(changed)}" if changed else when


def _changed(shown: Shown, name: str) -> str:
    """By how much a reading has changed since its first, in round numbers; "" where it has not, or was read once."""
    read = shown.log.read(name)
    if len(read) < 2:
        return ""
    by = read[-1][1] - read[0][1]
    number = force(abs(by), shown.force) if name == "weight" else whole(abs(by), shown.length)
    if not any(sign in "123456789" for sign in number):
        return ""
    more = "more" if by > 0 else "less"
    return f"{number} {more}" if name == "weight" else f"{LABELS[name]} {number} {more}"


def sentence(shown: Shown) -> str:
    """What changed between the first and the last of each reading, and where the bolts stand."""
    parts = [part for name in READINGS if (part := _first_to_last(shown, name))]
    said = f"{'; '.join(parts)}." if parts else "No weight, tiller or brace height is in it yet."
    odd = len(shown.jumps)
    jumped = ""
    if odd:
        jumped = f" {'One number' if odd == 1 else f'{odd} numbers'} changed by more than is plausible: see below."
    return f"{said[0].upper()}{said[1:]} {_stand(shown)}{jumped}"


def _first_to_last(shown: Shown, name: str) -> str:
    read = shown.log.read(name)
    if not read:
        return ""
    if len(read) == 1:
        return f"{LABELS[name]} {shown.words(name, read[0][1])}, read once"
    (_, first), (_, last) = read[0], read[-1]
    return (
        f"{LABELS[name]} {shown.number(name, first)} to {shown.words(name, last)} ({shown.change(name, last - first)})"
    )


def _stand(shown: Shown) -> str:
    stands = shown.log.entries[-1].stands
    known = [
        f"the {bolt} one {words.position(place)}"
        for bolt, place in zip(BOLTS, stands, strict=True)
        if place is not None
    ]
    if not known:
        return "Where the bolts stand is not written."
    return f"By the log the bolts stand: {words.listed(known)}."


def told(shown: Shown) -> tuple[str, ...]:
    """What of the log is not used, or not in the order of the table."""
    found = [problem.sentence for problem in shown.values.unfinished(NAME)]
    if shown.example:
        return tuple(found)
    found += [
        f"Entry {entry.number} ({days.written(entry.day)}) holds a date and nothing else."
        for entry in shown.log.entries
        if entry.is_bare
    ]
    if moved := shown.log.moved_up:
        named = words.listed([f"{entry.number} ({days.written(entry.day)})" for entry in moved])
        one = len(moved) == 1
        found.append(
            f"{'Entry' if one else 'Entries'} {named} {'stands' if one else 'stand'} under an entry of a later date. "
            "All that is shown here is in the order of the dates. If a date is wrong, mend it."
        )
    return tuple(found)


def jump(shown: Shown, found: Jump) -> str:
    """What changed by more than is plausible, and what to look for."""
    before, after = found.before, found.after
    by = signed(shown.number(found.name, found.by))
    what = COLUMNS[found.name]
    start = (
        f"Entry {after.number} ({days.written(after.day)}): {what} changed by {by} {shown.symbol(found.name)} "
        f"since entry {before.number} ({days.written(before.day)})."
    )
    if found.name.endswith("_at"):
        return f"{start} That is many turns for one entry. Count again from zero, and look whether a sign was lost."
    slip = "Look for a slip of the pen or another unit, and measure again"
    if found.alone:
        start = f"{start} The next one is as before, so this one is most likely a slip."
    if found.name == "weight":
        return f"{start} Turns of the bolts do not explain it. {slip}; was the draw length the same, and the limbs?"
    return (
        f"{start} Turns of the bolts do not explain it. {slip}; was it the same place on the limb, and the same string?"
    )
