"""Start: which bolt has this bow, and the whole job as a way whose stages know what the record holds."""

from __future__ import annotations

from quarterturn.bench.family import FAMILIES, Method, can_be_felt
from quarterturn.bench.inspection import Outcome, inspect
from quarterturn.bench.progress import Verdict, inspected, read
from quarterturn.bench.progress import verdict as verdict_of
from quarterturn.figures.svg import Picture
from quarterturn.record.declare import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.reading import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, Group, Points, Stage, State, Way, Widget
from quarterturn.widgets.gate import closed

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
    Method.FASTEN: "It is kept fastened as its maker says, and adjusts nothing.",
    Method.FIND_OUT: "Only the maker's range applies, and first it must be known which bolt this is.",
}


def looks() -> dict[str, Picture]:
    """Draw the families of bolts, each at its answer (when the page is built; the browser never asks)."""
    from quarterturn.figures.families import FAMILIES as DRAWN
    from quarterturn.figures.families import family as draw

    return {f"bolt_family={name}": draw(name, prefix=f"family-{name}") for name in DRAWN}


def answer(values: Values) -> Answer:
    """Show the way, and where the record stands on it; it refuses nothing."""
    stages = _stages(values)
    gate = closed(values)
    if gate is not None:
        verdict = f"{gate.sentence} The way ends here until that is settled."
        return _with(gate.state, gate.title, verdict, stages, values, gate.findings())
    ends = _ends(values)
    if ends is not None:
        state, title, verdict = ends
        return _with(state, title, verdict, stages, values)
    waiting = next((stage for stage in stages if stage.mark == "next"), None)
    if waiting is None:
        return _with(
            State.GO,
            "Both windows are found",
            "Everything that the worksheet needs is entered. It says where each window lies, under which assumptions, "
            "and how sure that is. It certifies no strength. What is left is to choose a setting inside them, and to "
            "keep it.",
            stages,
            values,
            badge="All entered",
        )
    if not values.entered("bolt_family"):
        title = "Begin with the bolt"
        verdict = "Say which bolt your bow has: not every bolt can be treated in this way."
    else:
        family = FAMILIES[values.choice("bolt_family")]
        title, verdict = f"Next: {waiting.text[0].lower()}{waiting.text[1:]}", f"{family.reason} {_left(stages)}"
    return _with(State.OPEN, title, verdict, stages, values)


def _ends(values: Values) -> tuple[State, str, str] | None:
    """The worksheet's own no, where its readings are all in: this page must not sound better than that one."""
    outcome = verdict_of(values) if read(values).complete else None
    if outcome is Verdict.OUTSIDE:
        return (
            State.STOP,
            "Stop: a bolt stands outside its window",
            "The bow stays unstrung. The worksheet says which bolt, which way and how far.",
        )
    if outcome is Verdict.NO_WINDOW:
        return (
            State.NO_WINDOW,
            "A bolt has no window",
            "Margin and doubt leave nothing to use. Do not use this riser with these limbs; ask a bow technician.",
        )
    return None


def _left(stages: tuple[Stage, ...]) -> str:
    left = sum(1 for stage in stages if stage.mark in ("next", "open"))
    return f"{left} of {len(stages)} stages are left."


def _with(
    state: State,
    title: str,
    verdict: str,
    stages: tuple[Stage, ...],
    values: Values,
    found: tuple[Points, ...] = (),
    badge: str = "",
) -> Answer:
    blocks: tuple[Block, ...] = (
        *found,
        Way("way", "The way", stages),
        *_method(values),
        Points("cautions", "Cautions", words.CAUTIONS, "caution"),
    )
    return Answer(NAME, state, title, verdict, f"{title}.", blocks, badge or ("The way" if state is State.OPEN else ""))


def _method(values: Values) -> list[Points]:
    if not values.entered("bolt_family"):
        return []
    family = FAMILIES[values.choice("bolt_family")]
    return [Points("method", "What applies to this bolt", (APPLIES[family.method], family.reason))]


def _stages(values: Values) -> tuple[Stage, ...]:
    """The stages in order; the first that is not done is the next one, and nothing follows a stop."""
    listed = [_bolt(values), _inspection(values), *_reading(values), _worksheet(values), *_ON_THE_BOW]
    stages: list[Stage] = []
    halted = taken = False
    for stage in listed:
        mark = stage.mark
        if mark == "open" and not (halted or taken):
            mark, taken = "next", True
        halted = halted or mark == "stop"
        stages.append(Stage(stage.text, stage.page, stage.anchor, mark, stage.note))
    return tuple(stages)


def _bolt(values: Values) -> Stage:
    text = "Say which bolt your bow has"
    if not values.entered("bolt_family"):
        return Stage(text, "", "bolt", "open")
    field, name = BY_NAME["bolt_family"], values.choice("bolt_family")
    label = field.label_of(name) if isinstance(field, ChoiceField) else name
    halting = FAMILIES[name].method in (Method.FASTEN, Method.FIND_OUT)
    return Stage(text, "", "bolt", "stop" if halting else "done", label)


def _inspection(values: Values) -> Stage:
    text, gate, progress = "Look the bow over", inspect(values), inspected(values)
    count = f"{progress.done} of {progress.wanted} looked at"
    if gate.outcome in (Outcome.STOP, Outcome.ASK):
        word = "stop" if gate.outcome is Outcome.STOP else "ask first"
        return Stage(text, "before", "", "stop", f"{word}: {gate.findings[0].sentence}")
    if progress.complete:
        return Stage(text, "before", "", "done", count)
    if gate.outcome is Outcome.GO:
        return Stage(text, "before", "", "done", f"by the worksheet's short list; of the full list, {count}")
    return Stage(text, "before", "", "open", count)


def _reading(values: Values) -> list[Stage]:
    if values.entered("bolt_family") and not can_be_felt(values.choice("bolt_family")):
        return []
    return [
        Stage("See how the pocket works", "pocket", "", "read", "a picture to turn, ten minutes"),
        Stage("See what the bolt carries", "load", "", "read", "why not past the end, five minutes"),
        Stage("Know what paper can and cannot tell", "paper", "", "read", "with your own strip, five minutes"),
    ]


def _worksheet(values: Values) -> Stage:
    progress = read(values)
    mark, note = "open", f"{progress.done} of {progress.wanted} readings entered"
    if progress.complete:
        mark, said = _MARKS[verdict_of(values)]
        note = f"{note}; {said}" if said else note
    return Stage("Find the safe range at the bench", "safe-range", "worksheet", mark, note)


_ON_THE_BOW = (
    Stage("See what a turn does to draw weight", "draw-weight", "", "read", "with your scale readings"),
    Stage("See what a turn does to tiller", "tiller", "", "read", "with your tape"),
    Stage("Plan a change", "plan", "", "read", "the weight and tiller you want, and the steps there"),
    Stage("Carry it out", "carry-out", "", "read", "one step at a time, measured after each"),
    Stage("Set what a change moves", "after", "", "read", "brace height, nocking point, arrows"),
    Stage("Write the setup card", "card", "", "read", "for the bow case, so that nobody guesses again"),
    Stage("Keep a log of settings", "log", "", "read", "what was turned and read, by date"),
)
_MARKS = {
    Verdict.INSIDE: ("done", "both bolts stand inside their windows"),
    Verdict.OUTSIDE: ("stop", "a bolt stands outside its window"),
    Verdict.NO_WINDOW: ("stop", "a bolt has no window"),
    Verdict.UNUSABLE: ("open", "some of them cannot be used: the worksheet says which"),
}


WIDGET = Widget(name=NAME, title="Start", groups=GROUPS, answer=answer, looks=looks)
