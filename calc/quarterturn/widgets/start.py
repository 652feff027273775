"""Start: which bolt has this bow, and the whole job as a way whose stages know what the record holds."""

from __future__ import annotations

from dataclasses import replace

from quarterturn.bench.family import FAMILIES, Method, can_be_felt, is_turned
from quarterturn.bench.inspection import InspectionOutcome
from quarterturn.bench.judgement import Judgement, Kind
from quarterturn.bench.progress import inspected, read
from quarterturn.record.field_types import ChoiceField, Scope
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.widgets import judgement_wording, words
from quarterturn.widgets.answer import Answer, Block, Group, Line, Points, Stage, State, Way
from quarterturn.widgets.frame import Widget

NAME = "start"
GROUPS = (
    Group(
        "which",
        "Which bolt has your bow?",
        "Compare with the drawings. All show the pocket from the side, with the limb's tip to the right.",
        ("bow_name", "bolt_family"),
    ),
)
APPLIES = {
    Method.FEEL: "Both ends of the range can be felt with a strip of paper.",
    Method.FEEL_OR_STOP: "Both ends can be felt: the stop or flush, whichever comes first, and first touch.",
    Method.MAKER_ONLY: "Only the maker's range applies; nothing is felt for.",
    Method.FASTEN: "It is kept hand-tight as its maker says, and adjusts nothing.",
    Method.BY_MANUAL: "Its maker's manual alone says how it is set; nothing is felt for or counted here.",
    Method.NOTHING: "Nothing is turned: twists in the string set the brace height, and the limbs do the rest.",
    Method.FIND_OUT: "Only the maker's range applies, and first it must be known which bolt this is.",
}


def work(values: Values, judgement: Judgement) -> Answer:
    """Show what to do, in order, and how far the record has come; it refuses nothing."""
    stages = _stages(values, judgement)
    parts: tuple[Block, ...] = (*_lists(stages), Line("tell-bolt", _tell_bolt(values)), *_method(values))
    if judgement.complete:
        title, text = f"{_name(values)}: both bolts are inside their safe range", _whats_next(values)
        headline = f"{title}.\n{text.partition('. ')[2]}"
        return Answer(
            *(NAME, State.GO, title, text, f"{title}.", parts, "All entered"), headline=headline, line="Both inside"
        )
    if not judgement.is_turned and judgement.in_order:
        title = f"{_name(values)} is in order: {words.lower(judgement.family.alone)}"
        text = f"{judgement.family.reason} Tiller and brace height can be measured; nothing here is turned."
        headline = f"{title}.\n{_whats_next(values).partition('. ')[2]}"
        return Answer(
            *(NAME, State.GO, title, text, f"{title}.", parts, "In order"), headline=headline, line="In order: leave it"
        )
    waiting = next((stage for stage in stages if stage.mark == "next"), None)
    if not judgement.chosen:
        title, verdict = (
            "Begin with the bolt",
            "Say which bolt your bow has: not every kind is for turning.",
        )
    elif waiting is None:
        title, verdict = "The way ends here", judgement.family.reason
    else:
        title = f"Next: {words.lower(waiting.text)}"
        verdict = f"{judgement.family.reason} {_left(stages)}"
    begun = judgement.chosen or any(BY_NAME[name].scope is Scope.BOW for name in values.record.entries)
    headline = f"{_name(values)}. {title}." if begun else ""
    state = State.OPEN if begun else State.EXAMPLE
    return Answer(NAME, state, title, verdict, f"{title}.", parts, "The way", headline=headline, line=title)


LISTS = (("learn", "Learn"), ("measure", "Measure"), ("set", "Set"), ("keep", "Keep"))
OF = {
    "pocket": "learn",
    "load": "learn",
    "lessons": "learn",
    "practice": "learn",
    "": "measure",
    "before": "measure",
    "safe-range": "measure",
    "bow": "measure",
    "set": "set",
    "after": "set",
    "keep": "keep",
}
"""The list that a page is in."""


def _lists(stages: tuple[Stage, ...]) -> list[Way]:
    """The stages in four lists; one without a stage is left out."""
    found = []
    for name, title in LISTS:
        mine = tuple(stage for stage in stages if OF[stage.page] == name)
        if mine:
            found.append(Way(name, title, mine))
    return found


NEXT = {
    Method.FEEL: "All of these pages apply to your bow. Next: look it over.",
    Method.FEEL_OR_STOP: "All of these pages apply to your bow. Next: look it over.",
    Method.MAKER_ONLY: "Only the maker's range applies to this bolt: have the manual at hand. Next: look it over.",
    Method.FASTEN: "Leave this bolt alone: it only clamps the limb. Next: look it over, in three minutes.",
    Method.BY_MANUAL: "Only its manual says how it is set: turn nothing here. Next: look it over, in three minutes.",
    Method.NOTHING: "This bow has no limb bolt: nothing is turned. Next: look it over, in three minutes.",
    Method.FIND_OUT: "Turn nothing. Ask the maker, a qualified coach or a bow technician which bolt it is.",
}


def _tell_bolt(values: Values) -> str:
    """What comes next for the bolt just chosen; "" before one is."""
    return NEXT[FAMILIES[values.choice("bolt_family")].method] if values.entered("bolt_family") else ""


def _name(values: Values) -> str:
    entered = values.record.entries.get("bow_name")
    return "Your bow" if entered is None else entered.typed.strip() or "Your bow"


ASSUMING = "It holds under the assumptions of Find the safe range."


def _whats_next(values: Values) -> str:
    """What comes after both windows."""
    if not is_turned(values.choice("bolt_family")):
        return f"{ASSUMING} Next: {'keep what you measured' if _strung(values).mark == 'done' else 'measure it'}."
    if _strung(values).mark == "done":
        return f"{ASSUMING} Next: say which draw weight and tiller you want, and plan the change."
    return f"{ASSUMING} Next: weigh and measure it."


def _left(stages: tuple[Stage, ...]) -> str:
    left = sum(1 for stage in stages if stage.mark in ("next", "open"))
    return f"{left} of {len(stages)} stages are left."


def _method(values: Values) -> list[Points]:
    if not values.entered("bolt_family"):
        return []
    family = FAMILIES[values.choice("bolt_family")]
    return [Points("method", "What applies to this bolt", (APPLIES[family.method], family.reason))]


def _stages(values: Values, judgement: Judgement) -> tuple[Stage, ...]:
    """The stages in order; the first that is not done is the next one, and nothing follows a stop."""
    turned = judgement.is_turned
    listed = [*_reading(values), _bolt(values), _inspection(values, judgement)]
    listed += _worksheet(values, judgement) if turned else []
    stages: list[Stage] = []
    taken = False
    for stage in (*listed, _strung(values), *(_ON_THE_BOW if turned else _ON_THE_BOW[-1:])):
        mark = stage.mark
        if mark == "open":  # what is done on the strung bow is for reading until its turn comes
            mark, taken = ("next", True) if not taken else ("read" if stage.page == "bow" else mark, taken)
        stages.append(replace(stage, mark=mark))
        if mark == "stop":
            break
    return tuple(stages)


def _bolt(values: Values) -> Stage:
    text = "Say which bolt your bow has"
    if not values.entered("bolt_family"):
        return Stage(text, "", "bolt", "open")
    field, name = BY_NAME["bolt_family"], values.choice("bolt_family")
    label = field.label_of(name) if isinstance(field, ChoiceField) else name
    halting = FAMILIES[name].method is Method.FIND_OUT
    return Stage(text, "", "bolt", "stop" if halting else "done", label)


def _inspection(values: Values, judgement: Judgement) -> Stage:
    text, found, progress = "Look the bow over", judgement.inspection, inspected(values)
    count = f"{progress.done} of {progress.wanted} looked at"
    if found.outcome in (InspectionOutcome.STOP, InspectionOutcome.ASK):
        word = "stop" if found.outcome is InspectionOutcome.STOP else "ask first"
        return Stage(text, "before", "", "stop", f"{word}: {found.findings[0].sentence}")
    if (swapped := judgement.of(Kind.SWAPPED)) is not None:
        return Stage(
            text, "before", "field-marks_checked", "stop", f"{judgement_wording.title_of(swapped, judgement)}."
        )
    if judgement.due is not None:
        return Stage(text, "before", "list", "open", "it has to be done again")
    if progress.complete:
        return Stage(text, "before", "", "done", count)
    if found.outcome is InspectionOutcome.GO:
        return Stage(text, "before", "", "done", f"by the short list; of the full list, {count}")
    return Stage(text, "before", "", "open", count)


def _reading(values: Values) -> list[Stage]:
    if values.entered("bolt_family") and not can_be_felt(values.choice("bolt_family")):
        return []
    return [
        Stage("How the pocket works", "pocket", "", "read", "a picture to turn, ten minutes"),
        Stage("What the bolt carries", "load", "", "read", "why not past the end, five minutes"),
        Stage("Eight lessons", "lessons", "", "read", "say what will happen, then look"),
        Stage("Practise on a made-up bolt", "practice", "", "read", "by feel, before you touch a bow"),
    ]


_OF_THE_BOLTS = (Kind.NO_WINDOW, Kind.OUTSIDE, Kind.SHIMS, Kind.NARROW)
_OF_THE_LOG = (Kind.EVENT, Kind.ALARM)


def _worksheet(values: Values, judgement: Judgement) -> list[Stage]:
    """The bench, and what the log holds against the bow."""
    bench = _bench(values, judgement)
    return [bench] if bench.mark == "stop" else [bench, *_log(judgement)]


def _bench(values: Values, judgement: Judgement) -> Stage:
    """How far the worksheet has come."""
    progress = read(values)
    entered = f"{progress.done} of {progress.wanted} readings entered"

    def stage(mark: str, note: str) -> Stage:
        return Stage("Find the safe range", "safe-range", "", mark, note)

    for kind in _OF_THE_BOLTS:
        if (cause := judgement.of(kind)) is not None:
            return stage("stop", f"{entered}. {judgement_wording.title_of(cause, judgement)}.")
    if judgement.of(Kind.WORKSHEET) is not None:
        return stage("open", f"{entered}; some of them cannot be used: correct them")
    if progress.complete:
        mark = "done" if all(bolt.known for bolt in judgement.bolts) else "open"
        return stage(mark, f"{entered}; both bolts are inside their safe range")
    return stage("open", entered)


def _log(judgement: Judgement) -> list[Stage]:
    """What is to be settled in the log before the bench counts."""
    causes = [cause for kind in _OF_THE_LOG if (cause := judgement.of(kind)) is not None]
    stages = [
        Stage(
            *("Settle what happened", "keep", "field-events", "stop"),
            f"{judgement_wording.title_of(cause, judgement)}.",
        )
        for cause in causes
    ]
    if judgement.of(Kind.LOG) is not None:
        stages.append(Stage("Correct your log", "keep", "log", "open", "an entry cannot be used"))
    if judgement.of(Kind.LINE) is not None:
        stages.append(Stage("Measure both tillers again", "keep", "log", "open", "the line of the limbs was set anew"))
    if judgement.of(Kind.LIMBS) is not None:
        stages.append(Stage("Count both bolts again", "safe-range", "bench", "open", "other limbs were put in"))
    return stages


def _strung(values: Values) -> Stage:
    """How far weighing and measuring has come."""
    read = [values.entered(name) for name in ("brace_height", "upper_tiller", "lower_tiller")]
    read.append(values.entered("draw_weight") or values.entered("scale_readings"))
    note = f"{sum(read)} of {len(read)} readings entered" if any(read) else "with a scale and a tape"
    return Stage("Weigh and measure", "bow", "", "done" if all(read) else "open", note)


_ON_THE_BOW = (
    Stage("Plan and turn", "set", "", "read", "the weight and tiller you want, step by step"),
    Stage("After a turn", "after", "", "read", "the arrow first, then eight things in order"),
    Stage("Card, log, bows", "keep", "", "read", "for the bow case, so that nobody guesses again"),
)
WIDGET = Widget(
    name=NAME,
    title="Start",
    groups=GROUPS,
    work=work,
    facts=frozenset(("learn", "measure", "set", "keep", "method", "tell-bolt")),
    of_any_bolt=True,
)
