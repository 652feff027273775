"""Where a form leads its reader when the entries give no bow (by hand, C)."""

from __future__ import annotations

from typing import Any

import pytest

from helpers.asking import COMPLETE, values
from quarterturn.bench.bow_inputs import BowInputsError, bow_inputs
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.bow_form import in_form
from quarterturn.widgets.tiller.form import ASKED

LOW: dict[str, Any] = {"brace_height": 270, "upper_tiller": 227, "lower_tiller": 223}
ROWS: dict[str, Any] = {"scale_readings": [{"draw": 12, "weight": 20}]}


def refused(record: dict[str, Any], fields: tuple[str, ...]) -> Problem:
    """What a form of these fields says of a record that gives no bow."""
    with pytest.raises(BowInputsError) as caught:
        bow_inputs(values(record), fields)
    return in_form(caught.value, fields)


def test_a_refusal_is_led_to_a_field_of_the_form() -> None:
    """Rows are entered on another page: there a problem of theirs is at the field that stands in for them."""
    problem = refused(COMPLETE | LOW | ROWS, ASKED)
    assert problem.field == "draw_weight"
    assert problem.sentence.startswith("Scale readings, entered on another page: ")
    problem = refused(COMPLETE | LOW | ROWS, (*ASKED, "scale_readings"))
    assert problem.field == "scale_readings"
    assert problem.sentence.startswith(BY_NAME["scale_readings"].label)


def test_a_pocket_of_another_page_is_told_at_the_arm() -> None:
    problem = refused(COMPLETE | {"slot_width": 30, "head_diameter": 8}, ASKED)
    assert problem.field == "fulcrum_arm"
    assert problem.sentence.startswith(f"Correct “{BY_NAME['slot_width'].label}” on its own page: no pocket")
    problem = refused(COMPLETE | {"slot_width": 30, "head_diameter": 8}, (*ASKED, "slot_width"))
    assert problem.field == "slot_width"
    assert "its own page" not in problem.sentence


def test_what_the_form_asks_for_is_told_as_it_is() -> None:
    problem = refused(COMPLETE | {"string_upper": 400}, ASKED)
    assert problem.field == "string_upper"
    assert problem.sentence.startswith(f"{BY_NAME['string_upper'].label}: It is 24.3 %")
