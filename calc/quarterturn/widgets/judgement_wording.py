"""The judgement of a bow in words: what is known, what to do first, the way back, and the page that settles it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from quarterturn.bench.events import WITHDRAWN
from quarterturn.bench.family import FAMILIES, can_be_felt
from quarterturn.bench.inspection import Due
from quarterturn.bench.judgement import Cause, Judgement, Kind, Level
from quarterturn.bench.positions import BoltPosition
from quarterturn.bench.window import WindowPlace
from quarterturn.numbers import trimmed
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.answer import Block, Points, Stage, State, Steps

if TYPE_CHECKING:
    from quarterturn.bench.alarms import Alarm

STATES = {Level.STOP: State.STOP, Level.ASK: State.ASK, Level.OPEN: State.OPEN}


@dataclass(frozen=True, slots=True)
class VerdictText:
    """What a page says of a judgement: state, title, sentence, a short line to speak, and blocks to put first."""

    state: State
    title: str
    verdict: str
    speak: str
    blocks: tuple[Block, ...]


def verdict_text(judgement: Judgement) -> VerdictText:
    """Put the gravest cause into words, with the others beside it.

    Raises:
        ValueError: where nothing speaks against the bow.
    """
    worst = judgement.worst
    if worst is None:
        raise ValueError("nothing speaks against this bow")
    title, verdict = _words(worst, judgement)
    blocks = (*_findings(judgement), *_also(judgement), *way_back(judgement))
    return VerdictText(STATES[worst.level], title, verdict, f"{title}.", blocks)


def other_bolt(values: Values, what: str) -> list[Points]:
    """Say that `what` is a flat head's, where the reader's bow has another bolt."""
    name = values.choice("bolt_family")
    if not values.entered("bolt_family") or can_be_felt(name):
        return []
    sentence = f"{what} is a flat head, and your bow has another bolt. {FAMILIES[name].reason}"
    return [Points("other-bolt", "Not your bolt", (sentence,), "caution")]


def title_of(cause: Cause, judgement: Judgement) -> str:
    """A cause in a line."""
    return _words(cause, judgement)[0]


def _words(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    return _WORDS[cause.kind](cause, judgement)


def _findings(judgement: Judgement) -> list[Block]:
    """What the inspection found, sentence by sentence."""
    found = tuple(f"{BY_NAME[each.field].label}: {each.sentence}" for each in judgement.inspection.findings)
    return [Points("findings", "What the inspection found", found, "stop")] if found else []


def _also(judgement: Judgement) -> list[Points]:
    """The causes after the gravest one."""
    rest = [_words(cause, judgement) for cause in judgement.causes[1:] if cause.kind is not Kind.INSPECTION]
    return [Points("also", "And besides", tuple(f"{title}. {text}" for title, text in rest), "stop")] if rest else []


# Kind by kind


def _of_inspection(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    first = judgement.inspection.findings[0].sentence
    by = inspected(judgement)
    if cause.level is Level.STOP:
        return "Stop: the inspection says no", f"{first}{by}"
    return "Ask a technician first", f"{first}{by}"


def inspected(judgement: Judgement) -> str:
    """By whom and when the bow was looked over, where that was someone else; "" where it was the reader."""
    found = judgement.inspection
    if found.own:
        return ""
    return " " + words.sentence(f"It was looked over{_when(found.day)} by {found.by or 'someone else'}")


def looked_over(judgement: Judgement) -> str:
    """When the bow was looked over and by whom: "30 June 2026 by AB"; "" where neither was written."""
    found = judgement.inspection
    when = "" if found.day is None else words.day(found.day)
    return f"{when} by {found.by}".strip() if found.by else when


def _when(day: int | None) -> str:
    return "" if day is None else f" on {words.day(day)}"


def left_alone(judgement: Judgement) -> tuple[str, str]:
    """What every page says of a bow of which nothing is turned here: title and sentence."""
    return judgement.family.alone, judgement.family.reason


def _of_family(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    if not judgement.is_turned:
        return (
            "Which bolt is it? Its turns were counted",
            f"{judgement.family.reason} Here its turns are written down. Compare it with the drawings again, and turn "
            "nothing until you know, or ask a bow technician. If it is so, begin a new bow for it; this one is kept.",
        )
    return (
        "Find out first which bolt this is",
        f"{judgement.family.reason} Ask the maker, a qualified coach or a bow technician, and turn nothing until then.",
    )


def _of_event(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    from quarterturn.widgets.bow_events import happened

    withdrawn = next((each for each in cause.events if each.happened == WITHDRAWN), None)
    if withdrawn is not None:
        return (
            "Stop: this bow is taken out of use",
            f"It was taken out of use{_when(withdrawn.day)}. Leave the string off, and do not shoot it. Whoever looks "
            "after the bow looks it over, and then writes down that it is released, with the day.",
        )
    event = cause.events[0]
    what = happened(event)
    return (
        f"Stop: {what} is not settled",
        f"You wrote down {what}{_when(event.day)}, and not yet what was found. Leave the "
        "string off. Look at limbs, butts, pockets, bolts and locks, or let a bow technician look. Then write down "
        "what was found, and on which day.",
    )


def _of_outside(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    title = "Stop: " + words.listed([f"the {bolt.name} bolt is {where(bolt)}" for bolt in cause.bolts])
    return title, " ".join(_back(bolt) for bolt in cause.bolts)


_PAST = {
    "touch": "past first touch",
    "thread": "too far out for its thread",
    "cover": "so far out that the butt may slip off the head",
    "maker_out": "past the maker's outer limit",
    "stop": "past its stop",
    "maker_in": "past the maker's inner limit",
}
_CLOSE = {
    "touch": "first touch",
    "thread": "the end of its thread",
    "cover": "where the butt slips off the head",
    "maker_out": "the maker's outer limit",
    "flush": "flush",
    "stop": "its stop",
    "maker_in": "the maker's inner limit",
}


def where(bolt: BoltPosition) -> str:
    """Where a bolt outside its window is, in a few words after "is"."""
    found, at = bolt.standing, bolt.at or 0.0
    if found is None or found.limit is None:
        return "inside"
    limit = found.limit
    if found.place in (WindowPlace.INNER_RESERVE, WindowPlace.OUTER_RESERVE):
        return f"at {words.place(at)}, too close to {_CLOSE[limit.name]}"
    reached = at > limit.at if found.place is WindowPlace.PAST_OUTER else at < limit.at
    if limit.name == "flush":
        if not reached:
            return f"at {words.place(at)}, past flush or may be"
        return f"{words.place(abs(at))} {words.turn_word(at)} past flush"
    return f"at {words.place(at)}, {_PAST[limit.name]}{'' if reached else ' or may be'}"


def _back(bolt: BoltPosition) -> str:
    """What to do with a bolt outside its window, in a sentence or three."""
    from quarterturn.bench.moves import target

    found = bolt.standing
    if found is None or found.limit is None or bolt.window is None or bolt.at is None:
        return ""
    end = words.place(target(bolt.window, bolt.at, "stay"))
    way = "out" if bolt.at < bolt.window.inner.usable else "in"
    if found.limit.name == "flush" and found.place is WindowPlace.PAST_INNER:
        return (
            f"String off, limb out: look at bolt, butt and slot before you turn the {bolt.name} bolt out to {end}. A "
            "bend, a crack or a bitten rim: stop, and ask a bow technician."
        )
    never = "shoot" if found.place in (WindowPlace.INNER_RESERVE, WindowPlace.OUTER_RESERVE) else "string"
    return f"Do not {never} the bow. String off, turn the {bolt.name} bolt {way} to {end} by the steps below."


def _of_no_window(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    bolts = "either bolt" if len(cause.bolts) > 1 else f"the {cause.bolts[0].name} bolt"
    ends = [bolt.window for bolt in cause.bolts if bolt.window is not None]
    between = words.listed(
        list(dict.fromkeys(f"between {words.limit(each.inner)} and {words.limit(each.outer)}" for each in ends))
    )
    return (
        f"Stop: no turn is safe on {bolts} with these limbs",
        f"Margin and uncertainty leave nothing {between}. Leave the string off. Do not use this riser with these "
        "limbs; ask the maker or a bow technician.",
    )


def _of_swapped(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    if cause.level is Level.STOP:
        return (
            "Stop: the limbs are in each other's pockets",
            "String off. Put the upper limb on top, look the bow over, and measure again. No bolt cures it.",
        )
    apart = bow_wording.length(abs(cause.tiller), judgement.values.choice("length_unit"))
    return (
        "Look at the marks on both limbs first",
        f"The lower limb is {apart} farther from the string than the upper one. Limbs in each other's pockets give "
        "that, and no bolt cures it. Look which limb is on top, by the marks, and write it down with the day. Some "
        "archers set the lower distance larger on purpose (common practice, no source).",
    )


def _of_alarm(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    from quarterturn.bench.alarms import unexpected

    named = words.listed([_CALLED[what] for what in unexpected(cause.alarms)])
    told_ = " ".join(_alarm(alarm, judgement) for alarm in cause.alarms)
    mirrored = any(alarm.mirrored for alarm in cause.alarms)
    marks = " Limbs in each other's pockets would give this tiller: look at the marks first." if mirrored else ""
    are = "was" if len(unexpected(cause.alarms)) == 1 else "were"
    return (
        f"Stop: {named} {are} not what was expected",
        f"{told_}{marks} Turn nothing farther. Count the turns again and measure again.",
    )


_CALLED = {"weight": "the weight", "tiller": "the tiller", "brace_height": "the brace height"}


def _alarm(alarm: Alarm, judgement: Judgement) -> str:
    values = judgement.values
    if alarm.what == "weight":
        unit = bow_wording.force_unit(values)
        read, expected, within = (
            bow_wording.force(each, unit) for each in (alarm.value, alarm.expected.value, alarm.expected.expanded)
        )
    else:
        unit = values.choice("length_unit")
        read, expected, within = (
            bow_wording.length(each, unit) for each in (alarm.value, alarm.expected.value, alarm.expected.expanded)
        )
    what = words.capital(_CALLED[alarm.what])
    return f"{what} was {read} on {alarm.reading.label}; expected was {expected}, within {within}."


def _of_narrow(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    bolts = "both bolts" if len(cause.bolts) > 1 else f"the {cause.bolts[0].name} bolt"
    it = "it is" if len(cause.bolts) == 1 else "they are"
    return (
        f"Leave {bolts} where {it} and ask: less than a quarter turn is safe",
        "Between both ends, after margin and uncertainty, there is no quarter of a turn that a hand could set. Ask the "
        "maker or a bow technician before you turn or string anything.",
    )


def _of_log(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    return (
        "An entry of your log cannot be used",
        f"{cause.problems[0].sentence} Until it is corrected, nobody can tell where the bolts are, and nothing is "
        "predicted.",
    )


def _of_worksheet(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    return "A reading cannot be used", cause.problems[0].sentence


def _of_change(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    from quarterturn.widgets.bow_events import asks_again

    return asks_again(cause.events[0])


def _of_due(cause: Cause, judgement: Judgement) -> tuple[str, str]:
    found = judgement.inspection
    if cause.due is Due.OTHER:
        return (
            "Look the bow over yourself first",
            f"This bow was looked over{_when(found.day)} by {found.by or 'someone else'}, not by you. Do it again, "
            "with the bow in your hands, before you turn a bolt or string it.",
        )
    last = f"The last time was{_when(found.day)}." if found.day is not None else "The last time has no day."
    months = trimmed(judgement.values.number("inspection_months"), 2)
    why = _DUE.get(cause.due or Due.AGE, f"More than {months} months have passed.")
    return "Look the bow over again first", f"{why} {last}"


_DUE = {
    Due.SHOCK: "After a dry-fire, a fall or a crash, look at every part again.",
    Due.LIMBS: "Other limbs were put in since it was looked over.",
    Due.LINE: "Tiller is not as before. The new line of the limbs may explain it, and so may a crack: look at both "
    "limbs.",
    Due.PAST_END: "A bolt was past an end of its range since it was looked over: head, shank, butt and slot first.",
}
_WORDS: dict[Kind, Callable[[Cause, Judgement], tuple[str, str]]] = {
    Kind.INSPECTION: _of_inspection,
    Kind.FAMILY: _of_family,
    Kind.EVENT: _of_event,
    Kind.OUTSIDE: _of_outside,
    Kind.NO_WINDOW: _of_no_window,
    Kind.SWAPPED: _of_swapped,
    Kind.ALARM: _of_alarm,
    Kind.SHIMS: _of_change,
    Kind.NARROW: _of_narrow,
    Kind.LOG: _of_log,
    Kind.WORKSHEET: _of_worksheet,
    Kind.LIMBS: _of_change,
    Kind.LINE: _of_change,
    Kind.DUE: _of_due,
}


# The way back


def way_back(judgement: Judgement) -> list[Steps]:
    """What to do, step by step, where a bolt is outside, has no window, or a reading was not expected."""
    for kind, make in ((Kind.NO_WINDOW, _again), (Kind.OUTSIDE, _turn_back), (Kind.ALARM, _recount)):
        cause = judgement.of(kind)
        if cause is not None and judgement.worst is not None and judgement.worst.level is cause.level:
            # A bow under a stop is not strung: no word here of how that is done.
            how = () if kind is Kind.NO_WINDOW else (words.STRING_OFF,)
            return [Steps("way-back", "What to do now", make(cause, judgement), how=how)]
    return []


def _turn_back(cause: Cause, judgement: Judgement) -> tuple[str, ...]:
    from quarterturn.bench.moves import moves
    from quarterturn.widgets import procedure

    turned = moves(
        tuple((bolt.window, bolt.at) for bolt in cause.bolts if bolt.window is not None and bolt.at is not None), "stay"
    )
    past_flush = any(bolt.standing is not None and _is_past_flush(bolt) for bolt in cause.bolts)
    return procedure.turning_back(turned, judgement.values, look_first=past_flush)


def _is_past_flush(bolt: BoltPosition) -> bool:
    found = bolt.standing
    return (
        found is not None
        and found.place is WindowPlace.PAST_INNER
        and found.limit is not None
        and found.limit.name == "flush"
    )


def _again(cause: Cause, judgement: Judgement) -> tuple[str, ...]:
    return (
        "Leave the string off. Turn both bolts back to their witness marks.",
        "Find both ends again, once, with a fresh strip. A lost turn is more common than a lost range.",
        "If it stays so, do not use this riser with these limbs. Ask the maker or a bow technician.",
    )


def _recount(cause: Cause, judgement: Judgement) -> tuple[str, ...]:
    return (
        "Count again: where is the witness mark? Was it the right bolt, and the right way?",
        "Measure again: the same spot on the limb, the same draw length, both loops in their nocks.",
        "If you had misread or miscounted, correct that entry. If it was right the second time, add an entry with the "
        "same places.",
        "If it stays: string off. Look at limbs, butts, pockets, bolts and locks, take the last step back, and ask a "
        "qualified coach or a bow technician.",
        "Write down what was found, and on which day: that settles it.",
    )


# Where it is settled


_WAYS: dict[Kind, tuple[Stage, ...]] = {
    Kind.INSPECTION: (Stage("Look it over", "before", "list", "stop", "put right what was found, and look again"),),
    Kind.FAMILY: (Stage("Which bolt has your bow?", "", "bolt", "stop"),),
    Kind.EVENT: (Stage("Write down what was found", "keep", "field-events", "stop"),),
    Kind.OUTSIDE: (
        Stage("Turn it back, step by step", "safe-range", "", "stop"),
        Stage("Write down where it is then", "keep", "log", "stop"),
    ),
    Kind.NO_WINDOW: (Stage("Find both ends again", "safe-range", "bench", "stop"),),
    Kind.SWAPPED: (Stage("Look at the marks", "before", "field-marks_checked", "stop"),),
    Kind.ALARM: (
        Stage("Correct the entry, or add what you measured again", "set", "carry", "stop"),
        Stage("Write down what was found", "keep", "field-events", "stop"),
    ),
    Kind.SHIMS: (
        Stage("Count both bolts again", "safe-range", "bench", "stop"),
        Stage("Write it down", "keep", "field-events", "stop"),
    ),
    Kind.NARROW: (Stage("Find both ends again", "safe-range", "bench", "stop"),),
    Kind.LOG: (Stage("Correct your log", "keep", "log", "next"),),
    Kind.WORKSHEET: (Stage("Correct the reading", "safe-range", "bench", "next"),),
    Kind.LIMBS: (
        Stage("Look it over", "before", "list", "next"),
        Stage("Count both bolts again", "safe-range", "bench", "next"),
        Stage("Write it down", "keep", "field-events", "next"),
    ),
    Kind.LINE: (Stage("Write both tillers into the log", "keep", "log", "next"),),
    Kind.DUE: (Stage("Look it over", "before", "list", "next"),),
}


def what_is_left(judgement: Judgement) -> tuple[Stage, ...]:
    """What is left to do with a bow whose bolts are left alone: to look it over, to measure it, to keep that."""
    if not judgement.in_order:
        return (_LOOK,)
    read = all(map(judgement.values.entered, ("brace_height", "upper_tiller", "lower_tiller")))
    return (_KEEP,) if read else (_MEASURE,)


_LOOK = Stage("Look it over", "before", "list", "next", "a short list, three minutes")
_KEEP = Stage("Card, log, bows", "keep", "log", "next", "write down what you measured")
_MEASURE = Stage("Weigh and measure", "bow", "", "next", "tiller and brace height: with a tape")


def ways_out(judgement: Judgement) -> tuple[Stage, ...]:
    """The pages that settle what speaks against going on, those of the gravest causes; none where nothing does."""
    grave = [cause for cause in judgement.causes if cause.level is judgement.level]
    return tuple(dict.fromkeys(stage for cause in grave for stage in _WAYS[cause.kind]))
