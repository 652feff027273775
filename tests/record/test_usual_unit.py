"""In which unit lengths are told: as chosen, else as most of them were typed, else as the site begins."""

from __future__ import annotations

import re
from typing import Any

import pytest

from helpers.asking import ALL_LENGTHS, COMPLETE, MAKER, STRUNG, answered
from quarterturn import units
from quarterturn.record.field_types import NumberField
from quarterturn.record.fields import BY_NAME, LENGTHS
from quarterturn.record.parsing import from_data
from quarterturn.record.values import Values
from quarterturn.widgets import WIDGETS
from quarterturn.widgets.render import pieces

Data = dict[str, Any]


def inches(*names: str) -> Data:
    """Entries in inches, of no matter what size."""
    return {name: {"typed": "7", "unit": "in"} for name in names}


def told(record: Data, system: str = "") -> str:
    """The unit that lengths are told in."""
    return Values(from_data(record).record, system=system).choice("length_unit")


@pytest.mark.parametrize(
    ("record", "unit"),
    [
        ({}, "mm"),
        (inches("brace_height"), "in"),
        (inches("brace_height") | {"upper_tiller": 179}, "mm"),
        (inches("brace_height", "lower_tiller") | {"upper_tiller": 179}, "in"),
        (inches("brace_height", "lower_tiller") | {"length_unit": "mm"}, "mm"),
        ({"brace_height": 222, "length_unit": "in"}, "in"),
        (inches("draw_length"), "mm"),
        ({"brace_height": {"typed": "tall", "unit": "in"}}, "mm"),
        ({"strip_pushed": {"typed": "0.2", "unit": "in"}}, "mm"),
    ],
    ids=lambda value: value if isinstance(value, str) else ", ".join(value) or "nothing",
)
def test_lengths_are_told_as_most_were_typed_unless_a_unit_is_chosen(record: Data, unit: str) -> None:
    assert told(record) == unit


def test_a_sites_own_units_are_for_what_nobody_typed() -> None:
    assert told({}, "imperial") == "in"
    assert told({"brace_height": 222}, "imperial") == "mm"
    assert told(inches("brace_height") | {"upper_tiller": 179}, "imperial") == "in"
    assert told(inches("brace_height"), "metric") == "in"
    values = Values(from_data(inches("brace_height")).record)
    assert {values.starting_unit(name) for name in LENGTHS} == {"in"}
    assert values.starting_unit("draw_weight") == "lbf"


def test_lengths_are_what_is_measured_of_a_bow_in_millimetres() -> None:
    assert {"brace_height", "head_diameter", "strip_thickness", "brace_after"} <= LENGTHS
    assert not LENGTHS & {"draw_length", "draw_step", "arrow_spine", "strip_pushed", "lesson_tiller_number"}
    for name in LENGTHS:
        field = BY_NAME[name]
        assert isinstance(field, NumberField)
        assert field.units == ("mm", "in")


# Answers to a bow in inches

OWN = COMPLETE | STRUNG | ALL_LENGTHS
MEANT = ("(to 16 mm)", "148 by 105 mm")
"""What stays in millimetres: the sizes of a standard's class of bolts (ISO 898-1), and a card's (ISO 216). A thread's
area is in square millimetres, as the standards tell it."""
OTHERS = ("practice", "log")
"""Of a made-up bolt, and of what sources say: as they say it."""


def in_inches(record: Data) -> Data:
    """The same bow, every length typed in inches."""
    return {
        name: {"typed": f"{value / units.INCH / 1000:.6f}", "unit": "in"} if name in LENGTHS else value
        for name, value in record.items()
    }


@pytest.mark.parametrize("record", [OWN, MAKER | STRUNG], ids=["flat", "swivel"])
@pytest.mark.parametrize("name", [name for name in WIDGETS if name not in OTHERS])
def test_whoever_types_inches_reads_no_millimetres(name: str, record: Data) -> None:
    html = " ".join(piece.html or "" for piece in pieces(answered(in_inches(record), name)))
    text = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", html))
    for meant in MEANT:
        text = text.replace(meant, "")
    assert re.findall(r".{0,40}\b(?:mm\b|millimet).{0,20}", text) == []
    assert re.findall(r".{0,40}[0-9] in in\b.{0,20}", text) == []
