"""The one sheet for the bench: what its steps ask for, nothing of the example, and what was entered as it was typed."""

from __future__ import annotations

import re

import pytest

from helpers.asking import COMPLETE, STRUNG, Data, answered, table_of
from quarterturn.record.fields import BY_NAME
from quarterturn.widgets.answer import name_of
from quarterturn.widgets.safe_range.bench_sheet import BOW, COUNTED, FELT, LOOSE, MEASURED, TO_WRITE

KINDS = ("flat", "stop", "swivel", "pivot", "unknown", "clamp", "under", "two", "fixed")
TURNED = ("flat", "stop", "swivel", "pivot")


def rows(record: Data) -> dict[str, tuple[str, ...]]:
    return {row[0]: row[1:] for row in table_of(answered(record, "safe-range"), "bench-sheet").rows}


@pytest.mark.parametrize("kind", TURNED)
def test_an_empty_record_leaves_every_cell_empty(kind: str) -> None:
    """Only the kind was chosen: what is printed is to be written on, and no number stands in it."""
    found = rows({"bolt_family": kind})
    assert set().union(*found.values()) == {""}
    assert not any(re.search(r"\d", what) for what in found)
    assert list(found)[-2:] == list(TO_WRITE)
    assert ("Zero to first touch, turns" in found) is (kind in ("flat", "stop"))
    assert ("Maker’s zero to the mark, turns" in found) is (kind in ("swivel", "pivot"))
    assert len(found) <= 24  # one side of A4 at 8.2 mm a row


@pytest.mark.parametrize("kind", sorted(set(KINDS) - set(TURNED)))
def test_no_sheet_leads_to_turning_a_bolt_that_is_not_for_it(kind: str) -> None:
    """As every step: under a question or a bolt to leave alone it is not given at all."""
    answer = answered({"bolt_family": kind}, "safe-range")
    assert "bench-sheet" not in {name_of(part) for part in answer.parts}


def test_under_a_stop_there_is_none() -> None:
    answer = answered(COMPLETE | {"limb_cracks": "fault"}, "safe-range")
    assert "bench-sheet" not in {name_of(part) for part in answer.parts}


def test_a_record_fills_it_as_it_was_typed() -> None:
    found = rows(COMPLETE | STRUNG | {"bow_name": "Club bow 3", "draw_weight": {"typed": "38,5", "unit": "lbf"}})
    assert found["Bow"] == ("Club bow 3", "")
    assert found["Draw weight"] == ("38,5 lb", "")
    assert found["Zero to first touch, turns"] == ("5.25 turns", "5 turns")
    assert found["String off"][0] == "off the bow"


def test_every_field_of_it_is_there() -> None:
    for _, field in (*BOW, *LOOSE, *FELT, *COUNTED, *MEASURED):
        assert field.replace("*", "upper", 1) in BY_NAME
