"""Plain words: what the package shows is what an archer would say aloud.

Every text is collected that a reader can meet: labels, helps, options and limits of all fields, groups of all forms,
answers to a table of records, refusals, findings. The measures are those of plain-language guides: a sentence of at
most 25 words (GOV.UK content design, M), one word for one thing, labels of a few words. Which words are retired, and
what is said in their place, was settled by hand when the pages were written anew.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest

from helpers import matrix
from helpers.asking import ALL_LENGTHS, COMPLETE, LOOKED_OVER, MAKER, STRUNG, Data, changed, texts_of
from quarterturn.bench.family import FAMILIES
from quarterturn.bench.inspection import MEANING
from quarterturn.bench.readings import take
from quarterturn.record.field_types import AnyField, ChoiceField, Column, DateField, ListField, NumberField
from quarterturn.record.fields import FIELDS
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.sources import SOURCES
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, Block, Drawing, Refusal, Table, name_of

MOST_WORDS = 25
LABEL_WORDS, QUESTION_WORDS, VALUE_WORDS = 5, 8, 8

LISTS = ("draw-weight/unlike",)
"""Blocks whose sentences list as many of the reader's own readings as there are: no number of words bounds them."""

OWN = COMPLETE | STRUNG
LOG: Data = {"upper_at": 2, "lower_at": 1.5, "weight": 38.4, "upper_tiller": 179, "lower_tiller": 175}
LED: Data = {"date": "2026-06-05", "upper_at": 2, "lower_at": 1.5, "upper_tiller": 179, "lower_tiller": 175}
PLANNED: Data = {"wanted_weight": 38.4, "planned_on": "2026-06-01"}
SHAPE: Data = {"scale_readings": [{"draw": draw, "weight": weight} for draw, weight in
                                  ((16, 12), (20, 18), (24, 25.5), (28, 38))]}  # fmt: skip
RECORDS: dict[str, Data] = {
    "nothing entered": {"version": 1},
    "complete": COMPLETE,
    "complete and strung": OWN,
    "a maker's range": MAKER,
    "a stop": OWN | {"limb_cracks": "fault"},
    "a plan": OWN | {"wanted_weight": 39, "wanted_tiller": 3, "planned_on": "2026-06-01"},
    "a plan under way": OWN
    | LOOKED_OVER
    | {"wanted_weight": 39, "planned_on": "2026-06-01", "log": [LOG | {"date": "2026-06-05", "brace_height": 221.5}]},
    "a plan that ended where it led": OWN | LOOKED_OVER | PLANNED | {"log": [LED | {"weight": 38.9}]},
    "a plan to be weighed at the end": OWN | LOOKED_OVER | PLANNED | {"log": [LED]},
    "a step not measured": OWN | LOOKED_OVER | PLANNED | {"log": [
        {"date": "2026-06-05", "upper_at": 2, "lower_at": 1.5}]},
    "a plan of many steps": OWN | {"wanted_weight": 36.5},
    "a plan read otherwise": OWN | {"wanted_weight": 39, "log": [LOG | {"date": "2026-06-05", "weight": 46}]},
    "out of reach": OWN | {"wanted_weight": 60},
    "turns only": COMPLETE | {"wanted_weight": 39},
    "a turn": OWN | ALL_LENGTHS | {"upper_change": -1},
    "a turn out of the safe range": OWN | {"upper_change": 9},
    "an arrow": OWN | {"arrow_mass": 300, "arrow_spine": 700, "least_mass_per_pound": 6, "upper_change": -0.5},
    "too light an arrow": OWN | {"arrow_mass": 150, "least_mass_per_pound": 6},
    "an arrow too close to tell": OWN | {"arrow_mass": 300, "least_mass_per_pound": 7.85},
    "a tried turn": OWN | {"upper_tried_tiller": 177.5, "lower_tried_tiller": 177.5},
    "a tried turn that cannot be": OWN | {"upper_tried_tiller": 185, "lower_tried_tiller": 175},
    "half a tried turn": OWN | {"upper_tried_tiller": 177.5},
    "limbs of another shape": OWN | SHAPE | {"upper_change": -0.5},
    "another string": OWN | {"string_length": 1610},
    "too thick a strip": OWN | {"strip_thickness": 0.5},
    "a card": OWN | LOOKED_OVER | {"card_size": "index", "bow_name": "Club bow 3", "string_twists": 20},
    "a log that jumps": OWN | {"log": [
        {"date": "2026-03-14", "weight": 38, "upper_at": 2}, {"date": "2026-03-28", "weight": 83},
        {"date": "2026-03-20"}, {"weight": 38}]},
    "thread and heights": OWN | {"thread_diameter": 9.5, "upper_height_now": 8, "lower_height_now": 8, "rise": 4.23},
    "no cover": OWN | {"head_diameter": 12, "slot_width": 9.6, "upper_rim_to_butt": 5.9, "lower_rim_to_butt": 5.9},
}  # fmt: skip
AT_THE_BENCH: dict[str, Data] = {
    "from inside": COMPLETE | {"flush_way": "inside", "people": "two"},
    "both ways": COMPLETE | {"flush_way": "both", "upper_bracket": 1.5, "lower_bracket": 0.5},
    "a stop at the bolt": COMPLETE | {"bolt_family": "stop", "upper_first_in": "flush", "lower_first_in": "stop"},
    "a stop, not yet said": changed(COMPLETE, bolt_family="stop"),
    "one bolt done": changed(COMPLETE, lower_touch_turns=None),
    "the other bolt done": changed(COMPLETE, upper_now_turns=None, upper_now_side=None),
    "all read, not looked over": changed(COMPLETE, check_limbs=None, check_butt=None),
    "begun": {"bolt_family": "flat", "upper_now_turns": 0, "upper_now_side": "out"},
    "in past zero": changed(COMPLETE, upper_now_side="in", upper_now_turns=0.25, lower_touch_turns=None),
    "no manual": COMPLETE | {"check_manual": "none", "check_lock": "none"},
    "touch not reached": changed(COMPLETE | {"maker_out": 5}, upper_touch_found="no", upper_touch_turns=None),
    "only an outer limit": {"bolt_family": "flat", "maker_out": 6},
    "only an inner limit": {"bolt_family": "flat", "maker_in": 0.5},
    "little thread": OWN | {"rise": 4.23, "thread_diameter": 9.5, "upper_free_turns": 22, "bush_length": 12},
    "from the mark": OWN | {"rise": 4.23, "thread_diameter": 9.5, "upper_free_from_mark": 22},
    "no thread left": {"rise": 4.23, "thread_diameter": 9.5, "upper_free_from_mark": 17},
    "a tip that travels": OWN | {"tip_travel": 44.4, "tip_length": 555, "upper_touch_turns": 8},
    "in inches": COMPLETE | STRUNG | {"length_unit": "in", "upper_height_now": 8, "rise": 4.23},
    "both as far": COMPLETE | {"upper_tiller": 179, "lower_tiller": 179},
    "heights": COMPLETE | {"rise": 4.23, "upper_height_zero": 6, "upper_height_touch": 11.5},
    "the short list": changed(COMPLETE, check_limbs="fault"),
    "a season ago": LOOKED_OVER | {"inspected_on": "2025-01-01"},
    "twelve looked at": {name: LOOKED_OVER[name] for name in tuple(LOOKED_OVER)[:12]},
    "someone looked": LOOKED_OVER | {"inspected_on": "2026-06-01", "inspected_by": "A.", "inspection_source": "other"},
    "marks": LOOKED_OVER | {"marks_checked": "right", "marks_checked_on": "2026-06-02"},
}  # fmt: skip
"""Answered by the pages on which the work at the bench is told, and what is known against a bow."""
BRIEF = ("start", "inspection", "safe-range", "card")
BAD: tuple[Data, ...] = (
    *({"upper_touch_turns": "five"}, {"upper_now_turns": -1}, {"head_diameter": 41}, {"margin": 0.2}, {"rise": 1}),
    *({"upper_touch_turns": 0}, {"slot_width": 25}, {"upper_rim_to_butt": 9.5}, {"maker_in": 4, "maker_out": 2}),
    {"bolt_family": "stop", "upper_first_in": "stop", "lower_first_in": "flush", "upper_now_side": "in"},
    {"bolt_family": "stop", "upper_first_in": "stop", "lower_first_in": "flush", "upper_stop_turns": 1},
    {"bolt_family": "stop", "upper_first_in": "flush", "lower_first_in": "flush", "upper_now_side": "in",
     "upper_now_turns": 2, "upper_stop_turns": 1},
    {"upper_height_zero": 6, "upper_height_now": 7}, {"upper_height_zero": 8, "upper_height_touch": 7},
    {"lower_now_turns": 11, "lower_free_turns": 10.5, "thread_diameter": 8},
    {"thread_diameter": 9.5, "bolt_length": 30, "bush_length": 31}, {"thread_diameter": 9.5, "bush_length": 8},
    {"bolt_length": 40, "upper_stand_zero": 40, "thread_diameter": 9.5},
    {"bolt_length": 40, "upper_stand_zero": 12, "upper_free_turns": 5, "thread_diameter": 9.5},
    *({"fulcrum_span": 300}, {"string_upper": 400}, {"brace_height": 120}, {"draw_length": 12}),
    {"upper_tiller": 320, "lower_tiller": 80}, {"string_length": 900}, {"lever_travel": 200},
    {"head_diameter": 10, "thread_diameter": 10}, {"slot_width": 7, "thread_diameter": 9.5},
    {"scale_readings": [{"draw": 9, "weight": 12}, {"draw": 24, "weight": 20}]},
    {"scale_readings": [{"draw": 24, "weight": 25}, {"draw": 28, "weight": 20}]},
    {"log": [{"date": "1999-12-31"}, {"date": "31 June"}]}, {"arrow_mass": 20}, {"string_twists": 120},
    {"fulcrum_arm": 25, "limb_depth": 25, "head_diameter": 38, "turns_shown": -3},
)  # fmt: skip
TODAY = 739797
"""30 June 2026 as a count of days."""


@dataclass(frozen=True, slots=True)
class Text:
    """One text that a reader meets: where, what it is, and the text itself."""

    where: str
    kind: str
    text: str


def columns_too() -> Iterator[tuple[str, AnyField | Column]]:
    """All fields, and the columns of lists."""
    for field in FIELDS:
        yield field.name, field
        if isinstance(field, ListField):
            yield from ((f"{field.name}.{column.name}", column) for column in field.columns)


def of_fields() -> Iterator[Text]:
    for name, field in columns_too():
        yield Text(name, "label", field.label)
        yield Text(name, "help", field.help)
        if isinstance(field, ChoiceField):
            for option in field.options:
                yield from (Text(f"{name}={option.value}", "option", each) for each in (option.label, option.help))
        if isinstance(field, NumberField | DateField):
            yield Text(name, "limits", field.limits_because)


def of_forms() -> Iterator[Text]:
    for widget in WIDGETS.values():
        yield Text(widget.name, "title", widget.title)
        for group in widget.groups:
            yield from (Text(f"{widget.name}/{group.name}", "group", each) for each in (group.title, group.intro))
        yield from (Text(f"{widget.name}/cautions", "sentence", each) for each in widget.cautions)


def of_the_bench() -> Iterator[Text]:
    yield from (Text(f"{name}={option}", "sentence", said) for (name, option), (_, said) in MEANING.items())
    yield from (Text(family.name, "sentence", family.reason) for family in FAMILIES.values())
    yield from (Text(f"sources/{source.key}", "sentence", source.gives) for source in SOURCES.values())


def values(record: Data) -> Values:
    return Values(from_data(record).record, today=TODAY)


def of_answers() -> Iterator[Text]:
    for name, record in RECORDS.items():
        yield from of_record(name, record, tuple(WIDGETS))
    for name, record in (matrix.RECORDS | AT_THE_BENCH).items():
        yield from of_record(name, record, BRIEF)


def of_record(name: str, record: Data, pages: tuple[str, ...]) -> Iterator[Text]:
    for page in pages:
        try:
            answer = WIDGETS[page].answer(values(record))
        except Refusal as refusal:
            yield from (Text(f"{page}, {name}", "sentence", each.sentence) for each in refusal.problems)
        else:
            yield from of_answer(answer, name)


def of_answer(answer: Answer, record: str) -> Iterator[Text]:
    where = f"{answer.widget}, {record}"
    said = (answer.title, answer.verdict, answer.speak, answer.line, answer.badge, *answer.headline.split("\n"))
    yield from (Text(where, "sentence", each) for each in said)
    for block in answer.blocks:
        yield from of_block(block, f"{answer.widget}/{name_of(block)}, {record}")
    yield from (Text(f"{where}, {value.name}", "value", value.label) for value in answer.all_values())


def of_block(block: Block, where: str) -> Iterator[Text]:
    described = block.picture.description if isinstance(block, Drawing) else ""
    for text in texts_of(block):
        kind = "table" if isinstance(block, Table) else "picture" if text and text == described else "sentence"
        yield Text(where, kind, text)


def of_refusals() -> Iterator[Text]:
    for change in BAD:
        asked = values(OWN | change)
        yield from (Text(str(change), "sentence", each.sentence) for each in asked.problems)
        yield from (Text(str(change), "sentence", each.sentence) for each in take(asked).problems)
        for widget in WIDGETS.values():
            try:
                widget.answer(asked)
            except Refusal as refusal:
                yield from (Text(f"{widget.name}, {change}", "sentence", each.sentence) for each in refusal.problems)


@cache
def everything() -> tuple[Text, ...]:
    """Each text once."""
    found: dict[tuple[str, str], Text] = {}
    for part in (of_fields(), of_forms(), of_the_bench(), of_answers(), of_refusals()):
        for text in part:
            if text.text:
                found.setdefault((text.kind, text.text), text)
    return tuple(found.values())


# What is counted


def sentences(text: Text) -> list[str]:
    """Cut after a full stop, a question mark or a colon's equal; a picture in words is cut at its semicolons too."""
    stops = r"(?<=[.!?;])\s+" if text.kind == "picture" else r"(?<=[.!?])\s+"
    return [each for each in re.split(stops, text.text) if each]


def words(sentence: str) -> int:
    """Numbers are words too, as they are read aloud; a sign alone is none."""
    return sum(1 for each in sentence.split() if re.search(r"\w", each))


def too_long(texts: tuple[Text, ...]) -> list[tuple[int, str, str]]:
    return [
        (words(each), text.where, each)
        for text in texts
        if text.where.split(",")[0] not in LISTS
        for each in sentences(text)
        if words(each) > MOST_WORDS
    ]


def test_no_sentence_is_longer_than_can_be_said_in_one_breath() -> None:
    assert too_long(everything()) == []


def test_a_long_sentence_is_found() -> None:
    said = " ".join(["word"] * 25)
    assert too_long((Text("x", "sentence", f"{said}. {said}?"),)) == []
    assert too_long((Text("x", "sentence", f"Short. {said} more."),)) == [(26, "x", f"{said} more.")]
    assert too_long((Text("x", "sentence", f"{said}; ± {said} 3.5 mm."),)) != []
    assert too_long((Text("x", "picture", f"{said}; ± {said}."),)) == []


def test_everything_was_collected() -> None:
    kinds = [text.kind for text in everything()]
    assert {kind: kinds.count(kind) > 40 for kind in set(kinds) - {"title"}} == dict.fromkeys(
        ("label", "help", "option", "limits", "group", "sentence", "value", "table", "picture"), True
    )
    pages = {text.where.split(",")[0].split("/")[0] for text in everything()}
    assert set(WIDGETS) <= pages


# Retired words

NUMBERED = "pages?|numbers?|bolts?|readings?|entries|cards?|logs?|tables?|strips?|papers?|worksheets?|scales?|tapes?"
THINGS = f"(({NUMBERED}) (stand|lie|bear|tell|say|know|wait|answer)s?)"
GONE = (
    "worksheets?|before you touch the bolts|settings over time|carry it out|your bows|(the|another) pages? (on|before)|"
    "next page|the explorer"
)
"""Pages that there are no longer."""
RETIRED: tuple[tuple[str, str], ...] = (
    (r"foret(old|ell\w*)", "expected, predicted"),
    (r"as it stands?|\bstands?\b|\bstood\b", "is, was, now"),
    (r"made-up one's|still the (made-up bow|example)'s", "an example, example values"),
    (r"(?<!in )doubts?", "error, uncertainty"),
    (r"bears?|bearing", "touches, presses"),
    (r"tells|told", "shows, comes from"),
    (r"misses flush", "you feel flush early"),
    (r"looked for", "coming in, backing out"),
    (r"certif\w+", "does not test strength"),
    (r"permits nothing", "is not permission"),
    (r"how near you|as near as", "how closely, as closely as"),
    (r"counts as much as this", "what matters more"),
    (r"(strung|bow), at rest", "not drawn"),
    (r"turn that (you )?(have |was )?tried", "a test turn"),
    (r"he|his|him|himself", "the maker, the maker's"),
    (r"maker's least|least mass for", "minimum"),
    (r"arrow mass for the draw weight", "grains per pound"),
    (r"stations?", "measuring point"),
    (r"(of|from) (these|them|those|several) the", "normal word order"),
    (r"in (the )?place of", "is used instead of"),
    (r"(best|all|these|another) pairs?|pairs? of settings", "setting"),
    (r"be had", "is out of reach, there is none"),
    (r"what it stands on|foretell by", "what this is based on"),
    (r"in turns alone", "turns only"),
    (r"has been carried out", "no step done yet"),
    (r"put (that|this|it|them|the entry|that entry) right", "correct"),
    (r"bench and shelf", "open bow, saved bows"),
    (r"your own loose", "your release"),
    (r"where it comes from|under these assumptions", "sources, what this assumes"),
    (r"unlike work", "work differently"),
    (r"hardly", "almost nothing, barely"),
    (r"so many", "the number itself"),
    (r"nothing but|no more than just", "only"),
    (r"probably", "say what is known"),
    (r"recount", "count again"),
    (r"is held against|held against", "compared with"),
    (THINGS, "a bolt is, a number comes from"),
    (GONE, "the names of the pages, as the menu has them"),
)
IN_SENTENCES = (r"windows?", "safe range")
"""Only in tables, whose columns are narrow."""


def retired(texts: tuple[Text, ...]) -> list[tuple[str, str, str]]:
    return [
        (found.group(), text.where, text.text)
        for text in texts
        for pattern, _ in (*RETIRED, *(() if text.kind == "table" else (IN_SENTENCES,)))
        if (found := re.search(rf"\b({pattern})\b", text.text, re.I))
    ]


def test_no_retired_word_is_left() -> None:
    assert retired(everything()) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Foretold: 38.2 lb.", "Foretold"),
        ("The bow stands there.", "stands"),
        ("The doubt of counting.", "doubt"),
        ("When in doubt, ask.", ""),
        ("The head bears along one line.", "bears"),
        ("Where he does, his figure holds.", "he"),
        ("The head is flat.", ""),
        ("The window of the bolt.", "window"),
        ("The page says so.", "page says"),
        ("Say so.", ""),
    ],
)
def test_a_retired_word_is_found(text: str, found: str) -> None:
    assert [each for each, _, _ in retired((Text("x", "sentence", text),))] == ([found] if found else [])
    assert retired((Text("x", "table", "The window of the bolt."),)) == []


# Labels


def long_label(label: str) -> bool:
    """A noun phrase of a few words, or a short question."""
    return words(label) > (QUESTION_WORDS if label.endswith("?") else LABEL_WORDS)


def test_labels_of_fields_are_short() -> None:
    assert [(name, field.label) for name, field in columns_too() if long_label(field.label)] == []
    assert long_label("One pound counts as much as this much tiller")
    assert not long_label("What matters more, weight or tiller?")


def test_labels_of_values_are_short() -> None:
    labels = {text.text for text in everything() if text.kind == "value"}
    assert [label for label in labels if words(label) > VALUE_WORDS] == []
    assert len(labels) > 100


def test_titles_of_groups_are_short_and_have_no_full_stop() -> None:
    groups: list[Any] = [group for widget in WIDGETS.values() for group in widget.groups]
    assert [group.title for group in groups if words(group.title) > VALUE_WORDS or group.title.endswith(".")] == []
