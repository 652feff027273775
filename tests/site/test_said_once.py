"""Under a stop every calculator of a page says the same first; it is shown at the top alone (qt-parts.css)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from helpers.asking import CLAMP, COMPLETE, LOOKED_OVER, STRUNG, answered, changed
from helpers.built_pages import pages, read_page
from quarterturn.widgets.answer import State, name_of
from quarterturn.widgets.frame import GRAVE

if TYPE_CHECKING:
    from pathlib import Path

    from quarterturn.widgets.answer import Block

LED = ("findings", "also", "way-back", "next")
"""What may stand under a grave verdict, by the names that the style sheet leaves out further down."""
OWN = COMPLETE | LOOKED_OVER | STRUNG
GRAVE_RECORDS = {
    "a crack": changed(OWN, limb_cracks="fault"),
    "not sure of a crack": changed(OWN, limb_cracks="unsure"),
    "past first touch": changed(OWN, upper_now_turns=7),
    "past flush": changed(OWN, upper_now_side="in", upper_now_turns=1),
    "no range": changed(OWN, upper_touch_turns=0.3),
    "a crack, and past first touch": changed(OWN, limb_cracks="fault", upper_now_turns=7),
    "a clamp with a crack": changed(CLAMP, check_limbs="fault"),
}


@pytest.fixture(scope="module")
def shared(built_site: Path) -> set[tuple[str, str]]:
    """The calculator that leads a page, and each further one of which it shows the beginning."""
    found = set()
    for path in pages(built_site):
        tops = read_page(path).classed("qt-top")
        again = [one for one in tops if "qt-top--again" in one.get("class")]
        leading = {one.get("data-zone") for one in tops} - {one.get("data-zone") for one in again}
        found |= {(top[:-4], one.get("data-zone")[:-4]) for top in leading for one in again}
    return found


def led(record: dict[str, object], widget: str) -> dict[str, Block]:
    answer = answered(record, widget)
    assert answer.state in GRAVE
    return {name_of(part): part for part in answer.blocks[: answer.leading]}


def test_there_are_such_pages(shared: set[tuple[str, str]]) -> None:
    assert {("tiller", "draw-weight"), ("plan", "carry-out"), ("card", "log")} <= shared


@pytest.mark.parametrize("case", GRAVE_RECORDS)
def test_what_is_left_out_further_down_stands_at_the_top(shared: set[tuple[str, str]], case: str) -> None:
    record = GRAVE_RECORDS[case]
    for first, further in shared:
        top, below = led(record, first), led(record, further)
        assert below.keys() <= set(LED)
        assert below == {name: top[name] for name in below}, further
        assert answered(record, first).title == answered(record, further).title


def test_without_a_grave_verdict_nothing_is_left_out(shared: set[tuple[str, str]]) -> None:
    for _, further in shared:
        assert answered(OWN, further).state in (State.GO, State.EXPLAIN, State.EXAMPLE)
