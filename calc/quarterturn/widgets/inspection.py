"""Look it over: the full inspection, item by item, and what it amounts to."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.inspection import LOOKED_AT, MEANING, InspectionOutcome, areas_of, list_of
from quarterturn.bench.judgement import Judgement, Kind
from quarterturn.bench.progress import CHECKS, inspected
from quarterturn.numbers import trimmed
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.fields.inspection import INSPECTED_ON, INSPECTION
from quarterturn.record.fields.inspection_items import AREAS
from quarterturn.record.values import Values
from quarterturn.widgets import judgement_wording, words
from quarterturn.widgets.answer import (
    Answer,
    Block,
    Group,
    Line,
    Missing,
    Offer,
    Points,
    Refusal,
    Stage,
    State,
    Status,
    Table,
    Tally,
    TallyPart,
    Value,
    ValueList,
)
from quarterturn.widgets.frame import Widget

NAME = "inspection"
MEANS = {InspectionOutcome.GO: "go on", InspectionOutcome.ASK: "ask", InspectionOutcome.STOP: "stop"}

GROUPS = (
    Group(
        "first",
        "First of all",
        "The bow lies unstrung on the table. Take your time, and use a lamp.",
        ("bolt_family", *LOOKED_AT),
    ),
    *(Group(area.name, area.title, "", tuple(item.name for item in area.items)) for area in AREAS),
    Group(
        "seen",
        "Who looked, and when",
        "Initials are enough. They travel with a link that you make.",
        (INSPECTED_ON, "inspected_by", "inspection_months"),
    ),
    Group(
        "marks",
        "The marks on both limbs",
        "If the lower limb is farther from the string than the upper one, look at the marks before you turn anything.",
        ("marks_checked", "marks_checked_on"),
    ),
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what the inspection amounts to.

    Raises:
        Refusal: where a day or a number of months cannot be used.
    """
    if problems := values.problems_in(tuple(name for group in GROUPS for name in group.fields)):
        raise Refusal(problems)
    progress = inspected(values)
    count = f"{progress.done} of {progress.wanted} looked at"
    parts: tuple[Block, ...] = (
        *_from_the_short_list(values),
        *_again(values, judgement),
        _count(values),
        *(_told(name, values) for name in TOLD),
        _counts(values, judgement),
        _looked_at(values),
    )
    if not judgement.is_turned and judgement.in_order:
        return _left_alone(judgement, count, parts)
    if progress.complete:
        title = f"All {progress.wanted} looked at, nothing found: go on"
        text = f"{_by(judgement)} {EYES}"
        line = f"{count} · nothing found"
        return Answer(NAME, State.GO, title, text, f"{title}.", parts, "Go on", GO_ON, headline=f"{title}.", line=line)
    title = "Nothing looked at yet" if progress.done == 0 else f"Not finished: {count}"
    text = (
        "Go through the list from the top and answer what you see. Nothing is taken as in order before you have looked "
        "at it."
    )
    if progress.done:
        text = "Nothing speaks against going on so far. What has not been looked at is not in order yet."
    if judgement.inspection.outcome is InspectionOutcome.GO:
        text = f"The short list is answered, so the work can go on. {text}"
    begun = progress.done > 0
    headline = f"{count}, nothing found so far." if begun else ""
    line = f"{progress.done} of {progress.wanted} · nothing found" if begun else ""
    return Answer(NAME, State.OPEN, title, text, f"{title}.", parts, headline=headline, line=line)


def _left_alone(judgement: Judgement, count: str, parts: tuple[Block, ...]) -> Answer:
    """Bolts that are not for turning, and nothing found: that is the end of the way."""
    alone, said = words.lower(judgement.family.alone), f"{judgement.family.reason} {_by(judgement)} {EYES}"
    title, line = f"In order: {alone}", f"{count} · {alone}"
    return Answer(NAME, State.GO, title, said, f"{title}.", parts, "In order", MEASURE, headline=f"{title}.", line=line)


EYES = (
    "That is what eyes and hands can find. It does not show what is hidden under paint or in the glue. Do it again "
    "before the first day of a season, and at once after a fall or a dry-fire."
)
MEASURE = (Stage("Weigh and measure", "bow", "", "next", "tiller and brace height: with a tape"),)
GO_ON = (Stage("Find the safe range", "safe-range", "", "next", "at the bench, in fourteen steps"),)


def _by(judgement: Judgement) -> str:
    """By whom and when the bow was looked over."""
    said = judgement_wording.looked_over(judgement)
    return (
        words.sentence(f"Looked over: {said}")
        if said
        else "No day is written: add it, so that you know how old this is."
    )


def _again(values: Values, judgement: Judgement) -> list[Offer]:
    """A button that empties the list, so that every question is answered anew; none where nothing was answered."""
    names = [*CHECKS, *(field.name for field in INSPECTION)]
    if not any(map(values.entered, names)):
        return []
    also = (INSPECTED_ON, "inspected_by", "inspection_source")
    return [
        Offer(
            "again",
            "Look it over again",
            "You answer every question again, with the bow in your hands. Your counts and readings stay.",
            "Empty this list",
            tuple((name, None) for name in dict.fromkeys((*names, *also)) if name in values.record.entries),
        )
    ]


NOT_MEANT = (
    "A look is not a test. A crack under the varnish, a glue line that fails in the cold, a bolt with a hidden flaw: "
    "none of these can be seen.",
    "It holds for today. Look again after every change, after a dry-fire or a fall, and before the first day of a "
    "season.",
)


def _from_the_short_list(values: Values) -> list[Points]:
    """Say which findings come from the short list, where they were answered and can be changed."""
    mine = {field for group in GROUPS for field in group.fields}
    found = tuple(
        f"{BY_NAME[name].label}: answered in the short list, where it can be changed. It counts here too."
        for name, option in MEANING
        if name not in mine and values.entered(name) and values.choice(name) == option
    )
    return [Points("short-list", "From the short list", found)] if found else []


def _outcome(name: str, values: Values) -> InspectionOutcome:
    if not values.entered(name):
        return InspectionOutcome.OPEN
    meaning = MEANING.get((name, values.choice(name)))
    return InspectionOutcome.GO if meaning is None else meaning[0]


TOLD = tuple(dict.fromkeys((*CHECKS, *(field.name for field in INSPECTION))))
"""Questions under which stands at once what the answer means."""


def _told(name: str, values: Values) -> Line:
    """What an answer just given means; empty before it is."""
    if not values.entered(name):
        return Line(f"tell-{name}", "")
    meaning = MEANING.get((name, values.choice(name)))
    if meaning is None:
        return Line(f"tell-{name}", "In order.", "go")
    outcome, sentence = meaning
    return Line(f"tell-{name}", sentence, "stop" if outcome is InspectionOutcome.STOP else "ask")


def _count(values: Values) -> Tally:
    """How far each area has come; the first question that has not been answered is one press away."""
    areas = [("first", "First of all", tuple(name for name in LOOKED_AT if values.matters(name)))]
    areas += [(area.name, area.title, tuple(item.name for item in area.items)) for area in areas_of(values)]
    parts: list[TallyPart] = []
    for name, title, fields in areas:
        missing = [field for field in fields if not values.entered(field)]
        begun = any(part.missing for part in parts)
        first = () if begun else tuple(Missing(BY_NAME[field].label, "before", field) for field in missing[:1])
        parts.append(TallyPart(name, title, len(fields) - len(missing), len(fields), first))
    return Tally("count", "How far you are", tuple(parts))


def _counts(values: Values, judgement: Judgement) -> ValueList:
    wanted = list_of(values)
    outcomes = [_outcome(name, values) for name in wanted]
    shown = [
        ("checked", "Looked at", sum(1 for each in outcomes if each is not InspectionOutcome.OPEN)),
        ("stops", "Stop", outcomes.count(InspectionOutcome.STOP)),
        ("asks", "Ask first", outcomes.count(InspectionOutcome.ASK)),
        ("unchecked", "Not looked at yet", outcomes.count(InspectionOutcome.OPEN)),
    ]
    counted = tuple(
        Value(name, label, float(count), "count", f"{count} of {len(wanted)}") for name, label, count in shown
    )
    return ValueList("counts", "How far you are", (*counted, *_when_and_who(values, judgement)))


def _when_and_who(values: Values, judgement: Judgement) -> list[Value]:
    """When the bow was looked over, by whom and until when that counts; and what was seen of the marks."""
    found, listed = judgement.inspection, []
    if said := judgement_wording.looked_over(judgement):
        listed.append(Value("looked_over", "Looked over", None, "", said, Status.ENTERED))
    if found.day is not None:
        months = values.number("inspection_months")
        again = words.day(days.months_later(found.day, round(months)))
        note = f"after {trimmed(months, 2)} months; as your club has it"
        listed.append(Value("again_by", "To be done again by", None, "", again, note=note))
    if values.entered("marks_checked"):
        field, seen = BY_NAME["marks_checked"], values.day("marks_checked_on")
        said = field.label_of(values.choice("marks_checked")) if isinstance(field, ChoiceField) else ""
        when = "no day" if seen is None else words.day(seen)
        listed.append(Value("marks", "The marks on both limbs", None, "", f"{said}; {when}", Status.ENTERED))
    return listed


def _looked_at(values: Values) -> Table:
    places = {item.name: area.title for area in AREAS for item in area.items}
    rows = []
    for name in list_of(values):
        field, outcome = BY_NAME[name], _outcome(name, values)
        said = field.label_of(values.choice(name)) if isinstance(field, ChoiceField) else ""
        rows.append(
            (
                field.label,
                places.get(name, "First of all"),
                "not looked at yet" if outcome is InspectionOutcome.OPEN else said,
                MEANS.get(outcome, "open"),
            )
        )
    return Table(
        "looked-at",
        "The list, and what each answer means",
        ("what", "where", "what you said", "it means"),
        tuple(rows),
        "Stop: the bow stays unstrung. Ask: a qualified coach, a bow technician or the maker looks first. No bolt "
        "cures a fault of a limb.",
        folded=True,
    )


WIDGET = Widget(
    name=NAME,
    title="The inspection",
    groups=GROUPS,
    work=work,
    facts=frozenset(("short-list", "again", "count", "counts", "looked-at", *(f"tell-{name}" for name in TOLD))),
    about=frozenset((Kind.DUE, Kind.LIMBS)),
    of_any_bolt=True,
    notes=(Points("not-meant", "What this does not say", NOT_MEANT),),
    next=(Stage("Go on with the list", "before", "list", "next"),),
)
