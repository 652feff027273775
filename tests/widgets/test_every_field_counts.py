"""Every field changes every answer that asks for it, or is declared inert, or kept there, and changes none.

Issue 2, *Done when* (C): an inert field changes no answer anywhere; a kept one none of that widget's.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

from helpers.asking import ALONE, CLAMP, COMPLETE, MAKER, STRUNG, answered, changed, table_of, values
from helpers.each_case import holds_of_each
from quarterturn.record.field_types import AnyField, ChoiceField, DateField, ListField, NumberField, TextField
from quarterturn.record.fields import BY_NAME, FIELDS
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.practice.inputs import WHOLE

pytestmark = pytest.mark.long

LISTS = ("entered", "assumed", "bench-sheet")
"""Tables that only repeat the record."""

BOTH_WAYS = COMPLETE | {"flush_way": "both", "upper_bracket": 0.5, "lower_bracket": 0.5}
STOP = COMPLETE | {"bolt_family": "stop", "upper_first_in": "flush", "lower_first_in": "flush"}
THREAD = COMPLETE | {"thread_diameter": 9.5, "upper_free_turns": 25, "lower_free_turns": 24, "rise": 4.23}
FROM_MARK = COMPLETE | {"thread_diameter": 9.5, "upper_free_from_mark": 22, "lower_free_from_mark": 22, "rise": 4.23}
LENGTHS = COMPLETE | {"thread_diameter": 9.5, "bolt_length": 32, "bush_length": 16, "turns_shown": 5}
LENGTHS |= {"upper_stand_zero": 12, "lower_stand_zero": 12.5}
HEIGHTS = COMPLETE | {"rise": 4.23}
HEIGHTS |= {f"{bolt}_height_{event}": at for bolt in ("upper", "lower") for event, at in (("zero", 6), ("touch", 11.5))}
HEIGHTS |= {"upper_touch_turns": 5.2, "lower_touch_turns": 5.2, "upper_height_now": 8.64, "lower_height_now": 8.12}
TRIED = COMPLETE | {"upper_tiller": 179, "lower_tiller": 175, "upper_tried_tiller": 176.5, "lower_tried_tiller": 177}

HALF_A_TURN_IN = {"weight": 38.3, "upper_tiller": 177, "lower_tiller": 176}
PLANNED = STRUNG | {"wanted_weight": 39, "wanted_tiller": 2}
PLAN_KEPT = {"planned_on": "2026-07-01", "planned_weight": 38, "planned_tiller": 4}
PLAN_KEPT |= {"planned_upper": 2.5, "planned_lower": 2}
BY_THE_PAGE = ("inspection_source",)
"""In no form: the page writes it down when a link or a file is opened, and every page goes by it."""
NEEDED = {"plan": PLANNED, "carry-out": PLANNED}
"""Without it these pages tell no number of the bow, so that none can change."""


def _hand(reading: str, at: float, offered: str) -> dict[str, Any]:
    return {
        f"practice_{reading}": at,
        f"practice_{reading}_came": "in",
        f"practice_{reading}_offered": offered,
        f"practice_{reading}_strip": "paper",
        f"practice_{reading}_prong": "both",
        f"practice_{reading}_tip": "eased",
    }


AT_PRACTICE = COMPLETE | {"practice_level": "found", "practice_bolt": 2, "practice_tip": "eased"}
AT_PRACTICE |= {"practice_turned": 1.25, "practice_before": 1.25, "practice_came": "out", "practice_deepest": -0.5}
AT_PRACTICE |= {"practice_offered": "rim", "practice_prong": "both", "practice_strip": "paper"}
AT_PRACTICE |= {"practice_now_turns": 1, "practice_now_side": "in", "practice_touch_turns": 4.5}
AT_PRACTICE |= {"practice_inner": 0.25, "practice_outer": 4, "practice_stands": "inside"}
SHOWN = AT_PRACTICE | _hand("zero", 1, "rim") | _hand("touch", 5.5, "butt") | {"practice_shown": "yes"}


LESSONS = {"lesson_moves_number": 1, "lesson_ends_number": 5.16, "lesson_paper_number": 0.42, "lesson_bolt_number": 5}
LESSONS |= {"lesson_weight_number": 0.4, "lesson_tiller_number": 1.7, "lesson_pair_number": -4.6}
"""Numbers of which the next one tried is told apart."""


def base_of(name: str) -> dict[str, Any]:
    """A record in which the field matters."""
    if name in ("practice_turned", "practice_before", "practice_came", *WIDGETS["practice"].groups[1].fields):
        return AT_PRACTICE
    if name == "practice_lessons":
        return SHOWN | {"practice_task": 4711, "practice_student": 3, "practice_lessons": "1, 3"}
    if name in ("practice_task", "practice_student", "practice_class", "practice_key"):
        return SHOWN | {"practice_task": 4711, "practice_student": 3, "practice_class": 12, "practice_key": "yes"}
    if name.startswith("practice_"):
        return SHOWN
    if name == "lesson_first":
        return COMPLETE | {"lesson_moves": "heavier"}
    if name.startswith("lesson_"):
        return COMPLETE | LESSONS
    for part, record in (("_height_", HEIGHTS), ("bracket", BOTH_WAYS), ("first_in", STOP), ("stop_turns", STOP)):
        if part in name:
            return record
    if name.startswith("clamp_"):
        return CLAMP
    if name.startswith("joint_"):
        return ALONE["two"]
    if "touch_found" in name:
        return COMPLETE | {"maker_out": 6}
    if "stand_zero" in name or name in ("bolt_length", "bush_length"):
        return LENGTHS | {"limb_shown": "lower" if name.startswith("lower") else "upper"}
    if "free_from_mark" in name:
        return FROM_MARK | {"limb_shown": "lower" if name.startswith("lower") else "upper"}
    if name in ("thread_diameter", "bush_metal", "caliper_step") or "free_turns" in name:
        return THREAD | {"limb_shown": "lower" if name.startswith("lower") else "upper"}
    if name == "shim_thickness":
        return COMPLETE | {"shims_in": "head", "rise": 4.23}
    if name == "clicks_a_turn":
        return COMPLETE | {"bolt_lock": "detent", "clicks_a_turn": 8}
    if name in ("tip_travel", "tip_length"):
        return COMPLETE | {"tip_travel": 44.4, "tip_length": 555}
    if name.startswith("lower_") and "tiller" not in name and "change" not in name:
        return COMPLETE | {"limb_shown": "lower"}
    if name == "marks_checked_on":
        return COMPLETE | {"marks_checked": "right"}
    if name in ("inspection_months", "inspected_by"):
        return COMPLETE | {"inspected_on": "2026-07-01"}
    if name.startswith("planned_"):
        return COMPLETE | PLAN_KEPT | {f"wanted_{name.removeprefix('planned_')}": None}
    if name == "strip_pushed":
        return COMPLETE | {"strip_pushed": 3}
    if name in ("lever_travel", "lever_turns"):
        return COMPLETE | {"lever_travel": 26.5, "lever_turns": 3}
    if name.startswith(("tried_", "upper_tried", "lower_tried")):
        return TRIED
    if name == "foretell_by":
        return COMPLETE | {"tape_step": 0.1, "log": [{"date": "2026-07-01", "upper_at": 2, **HALF_A_TURN_IN}]}
    if name == "station_offset":
        return COMPLETE | {"draw_station": "plunger"}
    if "tiller" in name:
        return COMPLETE | {"upper_tiller": 179, "lower_tiller": 175}
    return COMPLETE


OTHER: dict[str, Any] = {
    "upper_bracket": 2.5,
    "lower_bracket": 2.5,
    "upper_height_zero": 6.05,
    "lower_height_zero": 6.05,
    "upper_height_touch": 11.6,
    "lower_height_touch": 11.4,
    "upper_height_now": 8.6,
    "lower_height_now": 8.2,
    "upper_free_from_mark": 19,
    "lower_free_from_mark": 19,
    "upper_free_turns": 22,
    "lower_free_turns": 22,
    "thread_diameter": 9,
    "clicks_a_turn": 12,
    "maker_in": 1,
    "maker_out": 4,
    "slot_width": 11,
    "bush_length": 17.5,
    "strip_pushed": 4,
    "practice_bolt": 7,
    "practice_task": 12,
    "practice_student": 4,
    "practice_class": 5,
    "practice_deepest": -1,
    "practice_zero_prong": "near",
    "practice_touch_prong": "near",
    "upper_tried_tiller": 176.3,
    "lower_tried_tiller": 177.3,
}
"""Another value where the one halfway to the upper limit would be refused."""


def another(field: AnyField, record: dict[str, Any]) -> Any:
    """A value that differs from the record's."""
    if field.name == "practice_lessons":
        return "2, 8"
    if field.name == "lesson_first":
        return "moves=lighter"
    if field.name in OTHER:
        return OTHER[field.name]
    if isinstance(field, TextField):
        return "Another bow"
    if isinstance(field, DateField):
        return "2026-07-02"
    now = record.get(field.name, field.default)
    if isinstance(field, ChoiceField):
        return next(option.value for option in reversed(field.options) if option.value != now)
    if isinstance(field, ListField):
        return [{column.name: column.default for column in field.columns}]
    return round(now + 0.1 * (field.high - now), 3)


def told(record: dict[str, Any], field: AnyField, *, kept: bool = False) -> dict[str, Any]:
    """The answers of every page that asks for the field to use it, without the tables that repeat the record.

    With `kept` of those that ask for it only to keep it.
    """
    told = {}
    for widget in WIDGETS.values():
        asked = field.name in widget.fields() or field.name in BY_THE_PAGE
        if asked and (field.name in KEPT.get(widget.name, ())) is kept:
            given = changed(NEEDED.get(widget.name, {}) | record)
            told[widget.name] = json.loads(answer_without_lists(widget.name, json.dumps(given)))
    return told


@cache
def answer_without_lists(widget: str, record: str) -> str:
    """The answer as JSON; many fields are changed from one and the same record."""
    data = WIDGETS[widget].answer(values(json.loads(record))).as_data()
    tables = data["tables"]
    assert isinstance(tables, list)
    return json.dumps(data | {"tables": [table for table in tables if table["name"] not in LISTS]})


each_field = holds_of_each(FIELDS, lambda field: field.name)


@each_field
def test_a_change_of_it_changes_the_answer_unless_it_is_inert(field: AnyField) -> None:
    before = base_of(field.name)
    after = before | {field.name: another(field, before)}
    if field.inert:
        assert unnamed(told(before, field)) == unnamed(told(after, field))
        assert answered(before).as_data() != answered(after).as_data()
    else:
        # On every page that asks for it: a form asks for nothing that its answer does not use, or says so.
        one, other = told(before, field), told(after, field)
        assert one
        assert [name for name in one if one[name] == other[name]] == []


def unnamed(told: dict[str, Any]) -> str:
    """Without the names of bows, which a title may repeat."""
    return json.dumps(told).replace("Another bow:", "Your bow:")


KEPT = {"safe-range": {"brace_height", "draw_weight", "nocking_point"}}
"""Fields that a page only keeps, for other pages: they change nothing of its answer but what it repeats."""


def test_kept_are_only_those_that_another_page_uses() -> None:
    for widget, names in KEPT.items():
        for name in names:
            assert name in WIDGETS[widget].fields()
            assert not BY_NAME[name].inert
            assert told(COMPLETE, BY_NAME[name])


@pytest.mark.parametrize("name", sorted(set().union(*KEPT.values())))
@pytest.mark.parametrize("widget", KEPT)
def test_a_kept_field_changes_only_the_lists_of_its_page(widget: str, name: str) -> None:
    field = BY_NAME[name]
    assert isinstance(field, NumberField)
    for typed in (field.low, another(field, COMPLETE), field.high):
        before, after = COMPLETE, COMPLETE | {name: typed}
        assert told(before, field, kept=True)[widget] == told(after, field, kept=True)[widget]
        lists = [table_of(answered(record, widget), "entered").rows for record in (before, after)]
        assert lists[0] != lists[1]


@each_field
def test_the_reading_itself_counts_and_not_only_its_presence(field: AnyField) -> None:
    """Two entered values, both other than the default, give two answers."""
    if field.inert or not isinstance(field, NumberField):
        return
    if field.name.startswith(("practice_before", "lesson_")):  # its side counts, or right and wrong
        return
    base = base_of(field.name)
    one = another(field, base)
    two = round(one + 0.02 * (field.default - one if one != field.default else field.high - one), 4)
    if field.name in ("clicks_a_turn", *WHOLE):
        two = one + 1  # whole ones
    assert one != two
    assert told(base | {field.name: one}, field) != told(base | {field.name: two}, field)


INERT = {"bow_name", "link_note", "whom_to_ask"}


def test_inert_are_only_those_that_say_why() -> None:
    assert {field.name for field in FIELDS if field.inert} == INERT
    for field in FIELDS:
        if field.inert:
            assert len(field.inert) > 10


@each_field
def test_a_field_whose_condition_does_not_hold_changes_nothing(field: AnyField) -> None:
    """Hidden fields keep their values without a say: here for a bolt whose head swivels."""
    if not field.when or any(when.field == "bolt_family" and "swivel" in when.values for when in field.when):
        return
    if field.name in ("clamp_wood", "joint_riser"):  # a crack is one, whatever the bolt is called
        return
    assert answered(changed(MAKER, **{field.name: another(field, COMPLETE)})).as_data() == answered(MAKER).as_data()


@each_field
def test_every_option_of_a_choice_is_answered(field: AnyField) -> None:
    if not isinstance(field, ChoiceField) or field.inert:
        return
    base = base_of(field.name) | {"maker_in": 0.1, "maker_out": 6, "upper_bracket": 0.5, "lower_bracket": 0.5}
    fitting = {"upper_out": {"upper_tried_tiller": 181.5, "lower_tried_tiller": 173}}
    fitting["lower_in"] = fitting["upper_out"]  # a tiller of no bow is refused
    found = [told(base | fitting.get(option.value, {}) | {field.name: option.value}, field) for option in field.options]
    alike = {"check_manual": 1, "check_lock": 1, "bush_metal": 1, "check_bolt": 0}.get(field.name, 0)
    if field.name.startswith("lesson_"):
        alike = 1  # two wrong ones
    if field.name.startswith("practice_") and field.name.endswith(("_came", "_prong")):
        alike = 1  # the bolt as found has come in; one of the prongs is the one that stops the strip
    distinct = [data for place, data in enumerate(found) if data not in found[:place]]
    assert len(distinct) >= len(found) - alike
