"""The full inspection, item by item (issue 3, item 2: go, stop, ask; common practice, no source).

What is looked at, where it belongs and what each answer must lead to is written down here by hand, not taken from the
program.
"""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.asking import values
from quarterturn.bench.inspection import MEANING, InspectionOutcome, covered, inspect
from quarterturn.record.field_types import ChoiceField
from quarterturn.record.fields import BY_NAME
from quarterturn.record.fields.inspection import INSPECTION
from quarterturn.record.fields.inspection_items import AREAS, ITEMS
from quarterturn.record.link import fragment, from_fragment
from quarterturn.record.parsing import from_data

AREA_OF = {
    "check_limbs": ("limb_cracks", "limb_layers", "limb_twist", "limb_tips"),
    "check_butt": ("butt_end", "slot_root", "fitting", "riser_pocket"),
    "check_bolt": ("bolt_head", "bolt_shank", "bolt_thread", "bolts_alike", "bolt_turns"),
    "check_match": ("marks_agree", "limb_places", "length_class"),
    "": ("string_sound",),
}
CLAMP = ("clamp_tight", "clamp_washer", "clamp_insert", "clamp_wood", "clamp_pin")
JOINT = ("joint_bolts", "joint_seat", "joint_riser")
"""By hand, from issue 18: what is looked at of a bolt that only clamps, and of other bows that are not turned."""
"""By hand, from issue 3: limbs, butt and fitting, bolts, what belongs together, the string."""
NAMES = tuple(name for names in AREA_OF.values() for name in names)
SHORT: dict[str, tuple[str, ...]] = {
    "check_manual": ("read", "none", "forbids"),
    "check_string_off": ("off", "on"),
    "check_limbs": ("fine", "unsure", "fault"),
    "check_butt": ("fine", "unsure", "fault"),
    "check_bolt": ("fine", "unsure", "fault", "seized"),
    "check_match": ("fine", "unsure", "fault"),
    "check_lock": ("loose", "none", "unsure"),
}
ANSWERS = SHORT | dict.fromkeys(NAMES, ("fine", "unsure", "fault")) | {"bolt_turns": ("fine", "unsure", "seized")}
SEVERE = {"forbids": 2, "on": 2, "fault": 2, "unsure": 1, "seized": 1}
"""A fault, a string that is on and a maker's no are a stop; a doubt and a bolt that will not turn are a question."""

Given = dict[str, str]


def meant(answers: Given) -> InspectionOutcome:
    """What the answers amount to, by hand."""
    worst = max((SEVERE.get(answer, 0) for answer in answers.values()), default=0)
    if worst:
        return InspectionOutcome.STOP if worst == 2 else InspectionOutcome.ASK
    return InspectionOutcome.OPEN if open_questions(answers) else InspectionOutcome.GO


def open_questions(answers: Given) -> set[str]:
    """Short questions that nothing answers: neither themselves nor all items of their area."""
    return {
        question
        for question in SHORT
        if question not in answers and not (question in AREA_OF and all(item in answers for item in AREA_OF[question]))
    }


def test_the_list_is_what_was_asked_for() -> None:
    areas = {area.name: (area.question, tuple(item.name for item in area.items)) for area in AREAS}
    assert areas.pop("clamp") == ("", CLAMP)
    assert areas.pop("joint") == ("", JOINT)
    assert dict(areas.values()) == AREA_OF
    assert tuple(item.name for item in ITEMS if item.name not in (*CLAMP, *JOINT)) == NAMES
    assert len(NAMES) == 17
    assert {field.name for field in INSPECTION} == set(SHORT)
    for name, options in ANSWERS.items():
        field = BY_NAME[name]
        assert isinstance(field, ChoiceField)
        assert tuple(option.value for option in field.options) == options


@pytest.mark.parametrize("name", ANSWERS)
def test_every_answer_but_in_order_has_a_meaning(name: str) -> None:
    for answer in ANSWERS[name]:
        severity = SEVERE.get(answer, 0)
        if not severity:
            assert (name, answer) not in MEANING
            continue
        outcome, sentence = MEANING[name, answer]
        assert outcome is (InspectionOutcome.STOP if severity == 2 else InspectionOutcome.ASK)
        assert sentence.endswith(".")
        assert len(sentence) > 20
        if severity == 1:
            assert any(word in sentence for word in ("technician", "coach", "maker", "find out", "Find out"))
    known = ANSWERS | dict.fromkeys((*CLAMP, *JOINT), ("fine", "unsure", "fault"))
    assert not [key for key in MEANING if key[0] not in known or key[1] not in known[key[0]]]


def test_no_bolt_cures_a_limb() -> None:
    """Issue 3: a bolt cures none of these."""
    for name in ("limb_cracks", "limb_layers", "limb_twist", "check_limbs"):
        assert "No bolt cures it" in MEANING[name, "fault"][1]


def test_one_answer_alone_holds_whatever_it_is() -> None:
    for name, answers in ANSWERS.items():
        for answer in answers:
            found = inspect(values({name: answer}))
            assert found.outcome is meant({name: answer})
            assert len(found.findings) == (1 if SEVERE.get(answer) else 0)


@pytest.mark.parametrize("question", [name for name in AREA_OF if name])
def test_every_combination_in_an_area(question: str) -> None:
    """Short question and items, each in order, unsure, a fault or not answered: the worse one holds, all count."""
    rest = {name: answers[0] for name, answers in SHORT.items() if name != question}
    parts = (question, *AREA_OF[question])
    choices = [(*ANSWERS[name][:3], None) for name in parts]
    seen = set()
    for combination in itertools.product(*choices):
        answers = rest | {name: each for name, each in zip(parts, combination, strict=True) if each is not None}
        checked = values(answers)
        found = inspect(checked)
        seen.add(found.outcome)
        assert found.outcome is meant(answers), answers
        assert {each.field for each in found.findings} == {name for name in parts if answers.get(name) in SEVERE}
        assert (found.outcome is InspectionOutcome.OPEN) <= bool(open_questions(answers))
        assert covered(checked, question) is all(name in answers for name in AREA_OF[question])
    assert seen == set(InspectionOutcome)


def test_nothing_covers_a_question_that_has_no_items() -> None:
    everything = values(dict.fromkeys(NAMES, "fine"))
    for question in ("check_manual", "check_string_off", "check_lock"):
        assert not covered(everything, question)
    assert inspect(everything).outcome is InspectionOutcome.OPEN
    answers = dict.fromkeys(NAMES, "fine") | {"check_manual": "read", "check_string_off": "off"}
    assert inspect(values(answers)).outcome is InspectionOutcome.OPEN
    assert inspect(values(answers | {"check_lock": "loose"})).outcome is InspectionOutcome.GO


drawn = st.fixed_dictionaries({}, optional={name: st.sampled_from(answers) for name, answers in ANSWERS.items()})


@settings(max_examples=400)
@pytest.mark.long
@given(drawn)
def test_whatever_is_answered_the_worst_holds_and_stands_first(answers: Given) -> None:
    found = inspect(values(answers))
    assert found.outcome is meant(answers)
    assert {each.field for each in found.findings} == {name for name, each in answers.items() if each in SEVERE}
    severity = [2 if each.outcome is InspectionOutcome.STOP else 1 for each in found.findings]
    assert severity == sorted(severity, reverse=True)


@settings(max_examples=50)
@pytest.mark.long
@given(drawn)
def test_the_outcome_goes_with_the_link(answers: Given) -> None:
    record = from_data(answers).record
    read_back = from_fragment(fragment(record))
    assert read_back.notes == ()
    assert inspect(values(read_back.record.canonical())).outcome is meant(answers)
