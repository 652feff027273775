"""Four hundred records drawn from the schema's limits: every widget answers or refuses in words, half have a window.

How many must have a window is issue 2, *Done when*; JSON without NaN is RFC 8259 (C).
"""

from __future__ import annotations

import json
import math
from collections import Counter

import pytest

from helpers.asking import read, table_of
from helpers.drawn_answers import COUNT, WIDGET_NAMES, answers, has_window, outcomes
from helpers.nav import page_names
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.answer import Answer, State, Way
from quarterturn.worker_interface import ask

pytestmark = pytest.mark.long

each_widget = pytest.mark.parametrize("widget", WIDGET_NAMES)


def test_half_of_all_drawn_records_yield_a_window() -> None:
    with_window = [record for record, answer in answers() if has_window(answer)]
    assert 2 * len(with_window) >= COUNT


def test_half_of_the_likely_ones_that_pass_the_gate_do() -> None:
    passed = [
        outcome
        for place, (_, outcome) in enumerate(outcomes())
        if place % 4 and not (isinstance(outcome, Answer) and outcome.blocks and not outcome.all_values())
    ]
    assert 2 * sum(isinstance(outcome, Answer) and has_window(outcome) for outcome in passed) >= len(passed)


def test_every_state_and_both_kinds_of_outcome_are_drawn() -> None:
    """The drawn records are of use only if they come to every kind of answer."""
    states = Counter(answer.state for _, answer in answers())
    assert all(states[state] >= 2 for state in set(State) - {State.EXPLAIN})
    assert len(answers()) < COUNT


@each_widget
def test_no_number_is_none_or_infinite(widget: str) -> None:
    for _, answer in answers(widget):
        text = json.dumps(answer.as_data(), allow_nan=False)
        assert "NaN" not in text
        assert "Infinity" not in text
        for value in answer.all_values():
            assert value.value is None or math.isfinite(value.value)
            assert value.uncertainty is None or (math.isfinite(value.uncertainty) and value.uncertainty >= 0)


@each_widget
def test_every_way_leads_to_a_page_of_the_site(widget: str) -> None:
    """The names of pages are those of mkdocs.yml."""
    pages = page_names()
    for _, answer in answers(widget)[::5]:
        ways = [block for block in answer.blocks if isinstance(block, Way)]
        assert {stage.page for way in ways for stage in way.stages} <= pages


@each_widget
def test_every_refusal_names_a_field_of_its_own_form_in_a_sentence(widget: str) -> None:
    """What another page asks for never keeps this one from answering: the reader could not put it right here."""
    mine = set(WIDGETS[widget].fields())
    for _, outcome in outcomes(widget):
        if isinstance(outcome, Answer):
            continue
        assert outcome.problems
        for problem in outcome.problems:
            assert problem.name in mine, problem.sentence
            assert problem.sentence.endswith(".")
            assert len(problem.sentence) < 500


HOPELESS = {
    "safe-range": ("turns_shown", "strip_pushed", "strip_wanted"),
    "pocket": ("margin", "upper_now_turns", "maker_out", "lower_free_turns", "brace_height", "strip_wanted"),
    "loads": ("margin", "upper_touch_turns", "strip_thickness", "tip_travel", "lever_travel", "nocking_point"),
    "paper": ("margin", "upper_touch_turns", "tip_travel", "lever_travel", "turns_shown", "lower_bracket"),
    "draw-weight": ("margin", "upper_touch_turns", "strip_thickness", "tip_travel", "nocking_point", "turns_shown"),
    "tiller": ("margin", "upper_touch_turns", "strip_thickness", "tip_travel", "nocking_point", "turns_shown"),
    "plan": ("margin", "upper_touch_turns", "strip_thickness", "tip_travel", "marked_weight", "turns_shown"),
    "carry-out": ("margin", "upper_touch_turns", "strip_thickness", "tip_travel", "upper_change", "turns_shown"),
    "after": ("margin", "upper_touch_turns", "strip_thickness", "tip_travel", "upper_tried_tiller", "turns_shown"),
    "card": ("margin", "upper_touch_turns", "strip_thickness", "draw_weight", "upper_now_turns", "turns_shown"),
    "log": ("margin", "upper_touch_turns", "draw_weight", "upper_tiller", "brace_height", "turns_shown"),
    "start": tuple(name for name, field in BY_NAME.items() if isinstance(field, NumberField)),
    "lessons": ("margin", "upper_touch_turns", "draw_weight", "strip_thickness", "turns_shown", "bow_name"),
    "rack": ("margin", "upper_touch_turns", "draw_weight", "strip_thickness", "turns_shown", "bow_name"),
    "practice": ("margin", "upper_touch_turns", "draw_weight", "strip_thickness", "turns_shown", "bow_name"),
    "inspection": tuple(
        name for name, field in BY_NAME.items() if isinstance(field, NumberField) and name != "inspection_months"
    ),
}


@each_widget
def test_letters_in_another_page_s_box_refuse_nothing_here(widget: str) -> None:
    for name in HOPELESS[widget]:
        assert name not in WIDGETS[widget].fields()
        reply = json.loads(ask(json.dumps({"ask": "answer", "widget": widget, "record": {name: "x"}})))
        assert reply["problems"] == []
        assert reply["html"]


@pytest.mark.long
@each_widget
def test_the_desk_is_never_broken(widget: str) -> None:
    drawn = outcomes(widget)
    for record, outcome in drawn[::4] + drawn[1::4] if widget == "safe-range" else drawn[::7]:
        reply = json.loads(ask(json.dumps({"ask": "answer", "widget": widget, "record": record})))
        assert "broken" not in reply
        assert reply["notes"] == []
        state = outcome.state.value if isinstance(outcome, Answer) else "refused"
        assert reply["state"] == state


def test_values_keep_together() -> None:
    """Whatever was drawn: the window's ends, width, middle and distances are one another's sums."""
    for _, answer in answers():
        found = {value.name: value.value for value in answer.all_values() if value.value is not None}
        for bolt in ("upper", "lower"):
            if f"{bolt}_middle" not in found:
                continue
            inner, outer, now = (found[f"{bolt}_{name}"] for name in ("inner", "outer", "now"))
            assert math.isclose(found[f"{bolt}_width"], outer - inner, abs_tol=1e-9)
            assert found[f"{bolt}_width"] > 0
            assert math.isclose(found[f"{bolt}_middle"], (outer + inner) / 2, abs_tol=1e-9)
            assert math.isclose(found[f"{bolt}_to_inner"], now - inner, abs_tol=1e-9)
            assert math.isclose(found[f"{bolt}_to_outer"], outer - now, abs_tol=1e-9)
            inside = min(found[f"{bolt}_to_inner"], found[f"{bolt}_to_outer"]) >= -1e-9
            if answer.state is State.GO:
                assert inside


def test_every_contribution_is_listed_and_they_add_up_as_the_guide_says() -> None:
    """GUM 5.1.2: the root of the sum of squares; for the width the strip's two shares are already one row."""
    looked_at = 0
    for _, answer in answers():
        if not has_window(answer):
            continue
        for bolt in ("upper", "lower"):
            *parts, together, expanded = table_of(answer, f"{bolt}-doubts").rows
            assert (together[0], expanded[0]) == ("together, u", "U = 2u")
            for column in range(1, 5):
                total = math.hypot(*(read(row[column]) for row in parts if row[column] != "none"))
                assert math.isclose(total, read(together[column]), abs_tol=2e-4)
                assert math.isclose(2 * total, read(expanded[column]), abs_tol=4e-4)
                looked_at += 1
    assert looked_at >= 1000


def test_every_limit_is_listed_and_the_strictest_is_marked() -> None:
    for _, answer in answers():
        if not has_window(answer):
            continue
        values = {value.name: value.value for value in answer.all_values()}
        for bolt in ("upper", "lower"):
            rows = table_of(answer, f"{bolt}-limits").rows
            for name, end, at, strip, margin, doubt, usable in rows:
                sign = 1 if end == "inner" else -1
                found = read(at) + sign * (read(strip) + read(margin) + read(doubt))
                assert math.isclose(found, read(usable), abs_tol=0.031)
                if "(strictest)" in name:
                    exact = values[f"{bolt}_{end}"]
                    assert exact is not None
                    assert math.isclose(read(usable), exact, abs_tol=0.0101)
                    assert sign * (read(usable) - exact) >= -1e-9, "rounding never widens the window"
            assert sorted(end for name, end, *_ in rows if "(strictest)" in name) == ["inner", "outer"]
