"""The declaration of the record: what is public is frozen here by hand (field numbers are permanent).

Limits and margins of the trade: sources.md D and E (common practice; S2). Numbers are read back by `decimal` (C).
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import forms
from helpers.each_case import holds_of_each
from quarterturn import units
from quarterturn.record.entries import Entry, Problem
from quarterturn.record.field_types import (
    AnyField,
    ChoiceField,
    DateField,
    ListField,
    NumberField,
    Role,
    Scope,
    TextField,
)
from quarterturn.record.fields import BY_NAME, BY_NUMBER, FIELDS, OF_NO_BOW, VERSION
from quarterturn.record.validation import validate_number
from quarterturn.widgets import WIDGETS

NUMBERS = """
1 bow_name, 2 bolt_family,
10 check_manual, 11 check_string_off, 12 check_limbs, 13 check_butt, 14 check_bolt, 15 check_match, 16 check_lock,
20 flush_way, 21 strip_thickness, 22 smallest_turn, 23 play, 24 margin, 25 maker_in, 26 maker_out, 27 goal,
28 thread_hand, 180 bolt_lock, 181 clicks_a_turn,
30 upper_first_in, 31 upper_stop_turns, 32 upper_bracket, 33 upper_touch_found, 34 upper_touch_turns,
35 upper_now_side, 36 upper_now_turns, 37 upper_height_zero, 38 upper_height_touch, 39 upper_height_now,
40 upper_free_turns, 41 upper_rim_to_butt, 42 upper_stand_zero, 43 upper_free_from_mark,
50 lower_first_in, 51 lower_stop_turns, 52 lower_bracket, 53 lower_touch_found, 54 lower_touch_turns,
55 lower_now_side, 56 lower_now_turns, 57 lower_height_zero, 58 lower_height_touch, 59 lower_height_now,
60 lower_free_turns, 61 lower_rim_to_butt, 62 lower_stand_zero, 63 lower_free_from_mark,
70 rise, 71 rise_turns, 72 head_diameter, 73 slot_width, 74 fulcrum_arm, 75 limb_depth, 76 tip_travel,
77 tip_length, 78 thread_diameter, 79 bush_metal, 80 caliper_step, 81 lever_travel, 82 lever_turns,
83 bolt_length, 84 bush_length, 182 shims_in, 183 shim_thickness,
90 upper_tiller, 91 lower_tiller, 92 brace_height, 93 nocking_point, 94 draw_weight,
95 draw_length, 96 draw_station, 97 string_length, 98 fulcrum_span,
99 upper_fulcrum,
100 people, 101 length_unit, 102 look_at,
110 limb_cracks, 111 limb_layers, 112 limb_twist, 113 limb_tips, 114 butt_end, 115 slot_root, 116 fitting,
117 riser_pocket, 118 bolt_head, 119 bolt_shank, 120 bolt_thread, 121 bolts_alike, 122 bolt_turns, 123 marks_agree,
124 limb_places, 125 length_class, 126 string_sound,
127 clamp_tight, 128 clamp_washer, 129 clamp_insert, 130 clamp_wood, 131 clamp_pin,
132 joint_bolts, 133 joint_seat, 134 joint_riser,
140 turns_shown, 141 limb_shown, 142 strip_offered, 143 strip_pushed, 144 strip_shown, 145 strip_wanted,
146 bolt_material, 147 limb_length, 148 string_upper, 149 tape_step,
150 scale_readings, 151 scale_step, 152 draw_step, 153 marked_weight, 154 bow_shown, 155 upper_change,
157 tried_move, 158 tried_turns, 159 upper_tried_tiller, 160 string_twists, 161 string_diameter, 163 station_offset,
164 log,
165 wanted_weight, 166 wanted_tiller, 167 tiller_worth, 168 riser_name, 169 limbs_name, 170 set_by, 171 set_on,
172 arrow_mass, 173 least_mass_per_pound, 174 arrow_spine, 176 weight_after, 178 brace_after,
175 lower_change, 177 card_size, 179 lower_tried_tiller,
190 foretell_by, 191 events,
200 inspected_on, 201 inspected_by, 202 inspection_source, 203 inspection_months, 204 marks_checked,
205 marks_checked_on, 206 planned_on, 207 planned_weight, 208 planned_tiller, 209 planned_upper, 229 planned_lower,
260 practice_level, 261 practice_bolt, 262 practice_turned, 263 practice_before, 264 practice_came,
265 practice_deepest, 266 practice_offered, 267 practice_strip, 268 practice_prong, 269 practice_tip,
270 practice_zero, 271 practice_zero_came, 272 practice_zero_offered, 273 practice_zero_strip,
274 practice_zero_prong, 275 practice_zero_tip,
276 practice_touch, 277 practice_touch_came, 278 practice_touch_offered, 279 practice_touch_strip,
280 practice_touch_prong, 281 practice_touch_tip,
282 practice_now_turns, 283 practice_now_side, 284 practice_touch_turns, 285 practice_inner, 286 practice_outer,
287 practice_stands, 288 practice_shown,
289 practice_task, 290 practice_student, 291 practice_class, 292 practice_key, 293 practice_code,
315 practice_lessons, 316 lesson_first,
300 lesson_moves, 301 lesson_moves_number, 302 lesson_ends, 303 lesson_ends_number,
304 lesson_paper, 305 lesson_paper_number, 306 lesson_bolt, 307 lesson_bolt_number,
308 lesson_weight, 309 lesson_weight_number, 310 lesson_tiller, 311 lesson_tiller_number,
312 lesson_pair, 313 lesson_pair_number, 314 lesson_stop, 320 link_note, 321 whom_to_ask
322 kept_as
"""
COLUMNS = {
    "scale_readings": "1 draw, 2 weight",
    "log": "1 date, 2 upper_at, 3 lower_at, 4 weight, 5 upper_tiller, 6 lower_tiller, 7 brace_height",
    "events": "1 date, 2 happened, 3 found, 4 found_on",
}
ITEMS = """
limb_cracks limb_layers limb_twist limb_tips butt_end slot_root fitting riser_pocket bolt_head bolt_shank bolt_thread
bolts_alike marks_agree limb_places length_class string_sound
clamp_tight clamp_washer clamp_insert clamp_wood clamp_pin joint_bolts joint_seat joint_riser
"""
OPTIONS = {
    "kept_as": "bow preset",
    "bolt_family": "flat stop swivel pivot clamp unknown under two fixed",
    "thread_hand": "right left",
    "bolt_lock": "unknown none set_screw counter_nut collet detent drag captive",
    "check_manual": "read none forbids",
    "check_string_off": "off on",
    "check_limbs": "fine unsure fault",
    "check_butt": "fine unsure fault",
    "check_bolt": "fine unsure fault seized",
    "check_match": "fine unsure fault",
    "check_lock": "loose none unsure",
    "flush_way": "outside inside both",
    "goal": "stay middle",
    "upper_first_in": "flush stop",
    "upper_touch_found": "yes no",
    "upper_now_side": "out in",
    "lower_first_in": "flush stop",
    "lower_touch_found": "yes no",
    "lower_now_side": "out in",
    "bush_metal": "unknown aluminium steel",
    "shims_in": "unknown none head floor butt_end beside several",
    "draw_station": "amo pivot plunger rest",
    "tried_move": "upper_in upper_out lower_in lower_out",
    "bow_shown": "braced drawn",
    "card_size": "a6 index",
    "foretell_by": "both bow readings",
    "people": "one two",
    "length_unit": "mm in",
    "practice_level": "sight paper play found",
    **{f"practice_{one}came": "not in out" for one in ("", "zero_", "touch_")},
    **{f"practice_{one}offered": "rim butt" for one in ("", "zero_", "touch_")},
    **{f"practice_{one}strip": "paper thin card" for one in ("", "zero_", "touch_")},
    **{f"practice_{one}prong": "both near far" for one in ("", "zero_", "touch_")},
    **{f"practice_{one}tip": "free eased" for one in ("", "zero_", "touch_")},
    "practice_now_side": "out in",
    "practice_stands": "inside inner outer",
    "practice_shown": "no yes",
    "practice_key": "no yes",
    "lesson_moves": "heavier lighter same",
    "lesson_ends": "bolt fitting string",
    "lesson_paper": "before at past",
    "lesson_bolt": "butt flat tip",
    "lesson_weight": "little some much",
    "lesson_tiller": "less more same",
    "lesson_pair": "upper both against",
    "lesson_stop": "on back stop",
    "look_at": "now past zero middle touch beyond",
    **dict.fromkeys(ITEMS.split(), "fine unsure fault"),
    "bolt_turns": "fine unsure seized",
    "limb_shown": "upper lower",
    "strip_offered": "rim butt",
    "strip_shown": "mine thin shim card",
    "inspection_source": "own other",
    "marks_checked": "right swapped unsure",
    "events.happened": "click crack dry_fire fall slipped reading limbs shims line withdrawn",
    "events.found": "slip nothing mended counted released",
    "bolt_material": "steel88 steel109 steel129 stainless aluminium7075 aluminium6061 titanium",
}
LISTS = [field for field in FIELDS if isinstance(field, ListField)]
COLUMN_FIELDS = [column for field in LISTS for column in field.columns]
CHOICES = {field.name: field for field in FIELDS if isinstance(field, ChoiceField)} | {
    f"{field.name}.{column.name}": column
    for field in LISTS
    for column in field.columns
    if isinstance(column, ChoiceField)
}
DATE_FIELDS = [field for field in (*FIELDS, *COLUMN_FIELDS) if isinstance(field, DateField)]
NUMBER_FIELDS = [field for field in (*FIELDS, *COLUMN_FIELDS) if isinstance(field, NumberField)]
IN_UNITS = [(field, unit) for field in NUMBER_FIELDS for unit in field.units]
each_field = holds_of_each(FIELDS, lambda field: field.name)
each_unit = holds_of_each(IN_UNITS, lambda each: f"{each[0].name}, {each[1]}")


def test_numbers_and_names_are_the_published_ones() -> None:
    published = {int(number): name for number, name in re.findall(r"(\d+) (\w+)", NUMBERS)}
    assert {field.number: field.name for field in FIELDS} == published
    assert len(FIELDS) == len(BY_NAME) == len(BY_NUMBER) == len(published)
    assert VERSION == 1


def test_places_of_options_and_units_are_the_published_ones() -> None:
    assert {name: " ".join(option.value for option in field.options) for name, field in CHOICES.items()} == OPTIONS
    found = {field.units for field in NUMBER_FIELDS}
    assert found == {
        *(("mm", "in"), ("in", "mm"), ("turn",), ("lbf", "N", "kgf"), ("count",)),
        *(("gr", "g"), ("gr/lbf", "g/N"), ("thou", "mm")),
    }


def test_columns_of_lists_are_the_published_ones_in_their_places() -> None:
    assert {
        field.name: ", ".join(f"{column.number} {column.name}" for column in field.columns) for field in LISTS
    } == COLUMNS
    for field in LISTS:
        assert [column.number for column in field.columns] == list(range(1, len(field.columns) + 1))


@holds_of_each(LISTS, lambda field: field.name)
def test_a_list_can_be_told_row_by_row(field: ListField) -> None:
    """Row and column stand in the names of boxes and in sentences: "reading 3, weight"."""
    assert re.fullmatch("[a-z]+", field.row)
    assert 2 <= field.max_rows <= 100
    assert field.required
    for column in field.columns:
        assert re.fullmatch("[a-z_]+", column.name), "a point divides list, row and column"
        assert column.label == column.label.strip()
        assert 0 < len(column.label) <= 20, "the head of a narrow column"
        assert column.label[0].islower(), "it stands within a sentence"
        assert (column.when, column.inert, column.scope, column.linked) == ((), "", Scope.BOW, True), "the list's"
        if isinstance(column, NumberField):
            assert column.low <= column.default <= column.high
            assert len({units.unit(name).quantity for name in column.units}) == 1
        if isinstance(column, ChoiceField):
            assert column.default in {option.value for option in column.options}
            continue
        assert column.default_from
        assert column.limits_because
        assert not column.limits_because.endswith(".")


@each_unit
def test_limits_are_rounded_inward(field: NumberField, unit: str) -> None:
    low, high = (Decimal(repr(end)) for end in field.bounds(unit))
    size = Decimal(repr(units.unit(unit).size)) / Decimal(repr(units.unit(field.unit).size))
    slack = Decimal("1e-9")
    assert Decimal(repr(field.low)) - slack <= low * size
    assert high * size <= Decimal(repr(field.high)) + slack
    assert low < high


@each_unit
def test_what_a_slider_or_a_sentence_shows_can_be_typed(field: NumberField, unit: str) -> None:
    slider = forms.slider(field, unit)
    shown = [slider.min, slider.max, slider.default]
    shown += re.findall(r"[\d.]+", field.permitted(unit))[:2]
    for text in shown:
        assert isinstance(validate_number(field, Entry(text, unit)), float), text
        assert isinstance(validate_number(field, Entry(text.replace(".", ","), unit)), float), text


@each_unit
def test_slider_steps_are_writable_and_reach_from_end_to_end(field: NumberField, unit: str) -> None:
    slider = forms.slider(field, unit)
    low, high, step, default = map(Decimal, (slider.min, slider.max, slider.step, slider.default))
    assert low <= default <= high
    assert 0 < step <= high - low
    assert step == (Decimal(repr(field.step)) if unit == field.unit else Decimal(1).scaleb(-slider.decimals))


@each_unit
def test_just_beyond_a_limit_is_refused_with_what_would_be_right(field: NumberField, unit: str) -> None:
    beyond = [field.in_unit(value, unit) for value in (field.high * 1.001, field.low - 0.001 * field.high)]
    for text in (*map(repr, beyond), "1e308", "-1e308"):
        problem = validate_number(field, Entry(text, unit))
        assert isinstance(problem, Problem), text
        assert problem.field == field.name
        assert field.label in problem.sentence
        assert field.permitted(unit) in problem.sentence


@each_field
def test_every_field_explains_itself(field: AnyField) -> None:
    assert field.label
    assert field.label == field.label.strip()
    assert len(field.label) <= 70
    assert field.help.endswith((".", "!")), "one line of help"
    assert "\n" not in field.help
    if isinstance(field, NumberField | DateField):
        assert field.default_from
        assert field.limits_because
        assert not field.limits_because.endswith(".")


@each_field
def test_default_is_permitted(field: AnyField) -> None:
    if isinstance(field, NumberField):
        assert field.low <= field.default <= field.high
        assert field.low < field.high
        assert field.slider_high is None or field.default <= field.slider_high <= field.high
        assert len({units.unit(name).quantity for name in field.units}) == 1
    elif isinstance(field, ChoiceField):
        assert field.default in {option.value for option in field.options}
        assert len({option.label for option in field.options}) == len(field.options)
    elif isinstance(field, TextField | ListField):
        assert field.default == (() if isinstance(field, ListField) else "")


@each_field
def test_conditions_name_choices_that_come_before(field: AnyField) -> None:
    earlier = FIELDS[: FIELDS.index(field)]
    for when in field.when:
        other = BY_NAME[when.field]
        assert other in earlier
        assert isinstance(other, ChoiceField)
        assert set(when.values) < {option.value for option in other.options}
        assert set(other.when) <= set(field.when), "a condition that itself does not matter"


@each_field
def test_inert_fields_are_never_needed(field: AnyField) -> None:
    if field.inert or isinstance(field, TextField):
        assert field.role is Role.OPTIONAL


def test_both_bolts_have_the_same_fields() -> None:
    for field in FIELDS:
        if field.name.startswith("upper_") and field.name != "upper_fulcrum":  # the lower is the rest of the span
            twin = BY_NAME[field.name.replace("upper_", "lower_", 1)]
            _assert_twins(field, twin, 1 if field.name == "upper_tiller" else 20)


def test_both_bolts_have_the_same_columns() -> None:
    for listed in LISTS:
        columns = {column.name: column for column in listed.columns}
        for name in (name for name in columns if name.startswith("upper_")):
            _assert_twins(columns[name], columns[name.replace("upper_", "lower_", 1)], 1)


def _assert_twins(upper: AnyField, lower: AnyField, shift: int) -> None:
    """The lower bolt's field is the upper one's but for name, number, label and default."""
    label = upper.label.replace("Upper", "Lower", 1).replace("upper", "lower", 1)
    alike = replace(lower, name=upper.name, number=upper.number, label=upper.label)
    if isinstance(alike, NumberField) and isinstance(upper, NumberField):
        alike = replace(alike, default=upper.default)
    assert alike == upper
    assert (lower.label, lower.number) == (label, upper.number + shift)


def test_every_field_is_asked_somewhere_and_no_form_asks_twice() -> None:
    # Whose an inspection is, the page itself writes down when a link or a file is opened.
    assert {name for widget in WIDGETS.values() for name in widget.fields()} == set(BY_NAME) - {"inspection_source"}
    for widget in WIDGETS.values():
        assert len(widget.fields()) == len(set(widget.fields())), widget.name


def test_scopes_keep_the_reader_and_the_view_out_of_the_bow() -> None:
    of_the_reader = {field.name for field in FIELDS if field.scope is Scope.READER}
    assert of_the_reader >= OF_NO_BOW
    assert of_the_reader - OF_NO_BOW == {
        *("people", "length_unit", "inspection_months"),
    }
    assert {field.name for field in FIELDS if field.scope is Scope.VIEW} == {
        *("look_at", "turns_shown", "limb_shown", "strip_offered", "strip_pushed", "strip_shown"),
        *("strip_wanted", "bolt_material", "bow_shown", "upper_change", "lower_change", "card_size"),
    }


def test_a_link_leaves_only_rows_of_the_log_at_home_and_whose_an_inspection_is() -> None:
    """0017-links.md: all of a bow in 1,200 signs; a log of sixty rows alone would be longer."""
    source, log = (field for field in FIELDS if not field.linked)
    assert source.name == "inspection_source"
    assert (log.name, log.setting_columns, log.date) == ("log", ("upper_at", "lower_at"), "date")  # type: ignore[union-attr]


@holds_of_each(DATE_FIELDS, lambda field: field.name)
def test_a_dates_default_and_limits_are_days(field: DateField) -> None:
    """Days by Python's `datetime` (C)."""
    first, default, last = map(date.fromisoformat, (field.first, field.default, field.last))
    assert first < default < last
    assert field.bounds == (first.toordinal(), last.toordinal())


def test_trade_values_are_those_of_the_checks() -> None:
    """sources.md D (common practice) and E (80 g/m² paper near 0.10 mm; S2)."""
    margin, strip = BY_NAME["margin"], BY_NAME["strip_thickness"]
    assert isinstance(margin, NumberField)
    assert (margin.default, margin.low) == (0.25, 0.25)
    assert isinstance(strip, NumberField)
    assert strip.default == 0.1


NAMED = {"I", "AMO", "A2", "T6", "Ti", "A6"}
"""Besides the word: a standard, a grade of steel (ISO 3506-1), a temper of aluminium, an element, a size of paper (ISO
216); no one's names."""


@each_field
def test_no_word_looks_like_a_name(field: AnyField) -> None:
    """Labels and help hold plain words: no capital inside a sentence, no mark of a trade name."""
    texts = [field.label, field.help]
    if isinstance(field, NumberField | DateField):
        texts += [field.default_from, field.limits_because]
    if isinstance(field, ListField):
        texts += [part for each in field.columns for part in (each.label, each.help)]
        measured = [column for column in field.columns if not isinstance(column, ChoiceField)]
        texts += [part for column in measured for part in (column.default_from, column.limits_because)]
    for choice in (field, *(field.columns if isinstance(field, ListField) else ())):
        if isinstance(choice, ChoiceField):
            texts += [part for option in choice.options for part in (option.label, option.help)]
    for text in texts:
        assert not re.search("[®™©@]|https?:|www", text)
        inside = re.findall(r"(?<![.?!:] )(?<!^)\b[A-Z]\w*", text)
        assert set(inside) <= NAMED, text
