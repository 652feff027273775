"""The title and the sentence of the page with the log."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.log import READINGS
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.bow_wording import force, whole
from quarterturn.widgets.log.inputs import LABELS, LogInputs

MADE_UP = "The log is a made-up bow's, until you enter a row of your own with its date."
"""Said while there is no entry that can be used."""


def title(shown: LogInputs) -> str:
    """How many entries, since when, and what has changed."""
    entries = shown.log.entries
    many = len(entries)
    counted = f"{many} {'entry' if many == 1 else 'entries'}"
    first, last = (days.in_words(entry.day) for entry in (entries[0], entries[-1]))
    when = f"{counted} of {first}" if first == last else f"{counted} since {first.partition(' ')[2]}"
    changed = [part for name in READINGS if (part := _changed(shown, name))]
    return f"{when}: {words.listed(changed)}" if changed else when


def _changed(shown: LogInputs, name: str) -> str:
    """By how much a reading has changed since its first, in round numbers; "" where it has not, or was read once."""
    read = shown.log.read(name)
    if len(read) < 2:
        return ""
    by = read[-1][1] - read[0][1]
    number = force(abs(by), shown.force) if name == "weight" else whole(abs(by), shown.length)
    if words.is_nothing(number):
        return ""
    more = "more" if by > 0 else "less"
    return f"{number} {more}" if name == "weight" else f"{LABELS[name]} {number} {more}"


def sentence(shown: LogInputs) -> str:
    """What changed between the first and the last of each reading, and where the bolts stand."""
    parts = [part for name in READINGS if (part := _first_to_last(shown, name))]
    said = f"{'; '.join(parts)}." if parts else "No weight, tiller or brace height is in it yet."
    odd = len(shown.jumps)
    jumped = ""
    if odd:
        jumped = f" {'One number' if odd == 1 else f'{odd} numbers'} changed by more than is plausible: see below."
    return f"{words.capital(said)} {_stand(shown)}{jumped}"


def _first_to_last(shown: LogInputs, name: str) -> str:
    read = shown.log.read(name)
    if not read:
        return ""
    if len(read) == 1:
        return f"{LABELS[name]} {shown.words(name, read[0][1])}, read once"
    (_, first), (_, last) = read[0], read[-1]
    return (
        f"{LABELS[name]} {shown.number(name, first)} to {shown.words(name, last)} ({shown.change(name, last - first)})"
    )


def _stand(shown: LogInputs) -> str:
    stands = shown.log.entries[-1].stands
    known = [
        f"the {bolt} one {words.position(place)}"
        for bolt, place in zip(BOLTS, stands, strict=True)
        if place is not None
    ]
    if not known:
        return "Where the bolts stand is not written."
    return f"By the log the bolts stand: {words.listed(known)}."
