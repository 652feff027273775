"""The title and the sentence of the page with the log."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.log import READINGS
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import words
from quarterturn.widgets.bow_wording import force, whole
from quarterturn.widgets.log.inputs import LABELS, LogInputs

MADE_UP = "This is an example until you enter a row of your own with its date."
"""Said while there is no entry that can be used."""


def title(inputs: LogInputs) -> str:
    """How many entries, since when, and what has changed."""
    entries = inputs.log.entries
    many = len(entries)
    counted = f"{many} {'entry' if many == 1 else 'entries'}"
    first, last = (days.in_words(entry.day) for entry in (entries[0], entries[-1]))
    when = f"{counted} of {first}" if first == last else f"{counted} since {first.partition(' ')[2]}"
    changed = [part for name in READINGS if (part := _changed(inputs, name))]
    return f"{when}: {words.listed(changed)}" if changed else when


def _changed(inputs: LogInputs, name: str) -> str:
    """By how much a reading has changed since its first, in round numbers; "" where it has not, or was read once."""
    read = inputs.log.comparable(name)
    if len(read) < 2:
        return ""
    by = read[-1][1] - read[0][1]
    number = force(abs(by), inputs.force) if name == "weight" else whole(abs(by), inputs.length)
    if words.is_nothing(number):
        return ""
    more = "more" if by > 0 else "less"
    return f"{number} {more}" if name == "weight" else f"{LABELS[name]} {number} {more}"


def sentence(inputs: LogInputs) -> str:
    """What changed between the first and the last of each reading, and where the bolts are."""
    parts = [part for name in READINGS if (part := _first_to_last(inputs, name))]
    said = f"{'; '.join(parts)}." if parts else "No weight, tiller or brace height is in it yet."
    odd = len(inputs.jumps)
    jumped = ""
    if odd:
        jumped = f" {'One number' if odd == 1 else f'{odd} numbers'} changed by more than is plausible: see below."
    return f"{words.capital(said)} {_stand(inputs)}{jumped}"


def _first_to_last(inputs: LogInputs, name: str) -> str:
    read = inputs.log.comparable(name)
    if not read:
        return ""
    if len(read) == 1:
        since = "" if len(inputs.log.read(name)) == 1 else " since the line of the limbs was set anew"
        return f"{LABELS[name]} {inputs.words(name, read[0][1])}, read once{since}"
    (_, first), (_, last) = read[0], read[-1]
    change = inputs.change(name, last - first)
    return f"{LABELS[name]} {inputs.number(name, first)} to {inputs.words(name, last)} ({change})"


def _stand(inputs: LogInputs) -> str:
    stands = inputs.log.entries[-1].stands
    known = [
        f"the {bolt} bolt is {words.position(place)}"
        for bolt, place in zip(BOLTS, stands, strict=True)
        if place is not None
    ]
    if not known:
        return "Where the bolts are is not written."
    return f"By the log {words.listed(known)}."
