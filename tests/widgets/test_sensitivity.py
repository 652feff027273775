"""What each dimension matters, as figure and table on two pages, against a second computation (C; mpmath)."""

from __future__ import annotations

from typing import Any

import pytest

from figures.reading import Drawing
from helpers.asking import COMPLETE, answered, picture_of, read, table_of
from helpers.second_window import DEFAULTS, cover_lost, strip_outside
from quarterturn.record.fields import BY_NAME

KEYS = {
    "head_diameter": ("head", 0.2, 2.0),
    "slot_width": ("slot", 0.5, 2.0),
    "fulcrum_arm": ("arm", 2.0, 15.0),
    "limb_depth": ("depth", 0.3, 2.0),
    "upper_rim_to_butt": ("rim_to_butt", 0.5, 1.5),
    "rise": ("rise", 0.02, 0.2),
    "strip_thickness": ("strip", 0.005, 0.015),
}
"""Entry of the second computation; how far it may be off, mm, measured and assumed: our own estimates, no source."""
LABELS = {BY_NAME[name].label if name != "rise" else "Rise of the head, a turn": name for name in KEYS}
MEASURED = {"head_diameter": 19, "slot_width": 10.2, "fulcrum_arm": 60, "limb_depth": 8, "upper_rim_to_butt": 2.5}
MEASURED |= {"rise": 4.23, "strip_thickness": 0.1}
each_page = pytest.mark.parametrize("widget", ["pocket", "paper"])


def rows_of(record: dict[str, Any], widget: str) -> dict[str, tuple[str, ...]]:
    return {LABELS[row[0]]: ends_apart(row) for row in table_of(answered(record, widget), "matters-table").rows}


def ends_apart(row: tuple[str, ...]) -> tuple[str, ...]:
    """The row with the low and the high end in cells of their own: flush low, high, cover low, high."""
    return (*row[:4], *row[4].split(" / "), *row[5].split(" / "))


@each_page
@pytest.mark.parametrize("record", [{}, MEASURED], ids=["assumed", "measured"])
def test_the_table_is_what_a_second_computation_changes_by(record: dict[str, Any], widget: str) -> None:
    flush, cover = float(strip_outside(DEFAULTS)), float(cover_lost(DEFAULTS))
    rows = rows_of(record, widget)
    assert set(rows) == set(KEYS)
    for name, (key, measured, assumed) in KEYS.items():
        row = rows[name]
        half = measured if record else assumed
        assert row[3] == ("measured" if record else "assumed")
        taken = DEFAULTS[key] / (4 if name == "rise" else 1)
        assert read(row[1]) == pytest.approx(taken, abs=0.00501)
        assert read(row[2].removeprefix("± ")) == pytest.approx(half, abs=0.00501)
        for sign, in_flush, in_cover in ((-1, row[4], row[6]), (1, row[5], row[7])):
            other = DEFAULTS | {key: DEFAULTS[key] + sign * half * (4 if name == "rise" else 1)}
            assert read(in_flush) == pytest.approx(float(strip_outside(other)) - flush, abs=0.00501), name
            assert read(in_cover) == pytest.approx(float(cover_lost(other)) - cover, abs=0.00501), name


@each_page
def test_each_is_measured_on_its_own(widget: str) -> None:
    for name in KEYS:
        rows = rows_of({name: MEASURED[name]}, widget)
        assert {key for key, row in rows.items() if row[3] == "measured"} == {name}


def test_the_arm_by_the_tip_counts_as_measured_within_four_percent() -> None:
    """model.md section 6: ±1 mm in s is ±4 %."""
    row = rows_of({"lever_travel": 26.5, "rise": 4.2333333}, "pocket")["fulcrum_arm"]
    assert row[3] == "measured"
    assert read(row[2].removeprefix("± ")) == pytest.approx(0.04 * 59.4957, abs=0.00501)


@each_page
@pytest.mark.parametrize("record", [{}, MEASURED, COMPLETE], ids=["assumed", "measured", "complete"])
def test_the_figure_and_the_table_say_the_same_the_largest_first(record: dict[str, Any], widget: str) -> None:
    answer = answered(record, widget)
    rows = [ends_apart(row) for row in table_of(answer, "matters-table").rows]
    assert not any("+0.00" in cell for row in rows for cell in row)
    largest = [max(abs(read(row[4])), abs(read(row[5]))) for row in rows]
    assert largest == sorted(largest, reverse=True)
    drawing = Drawing(picture_of(answer, "matters"))
    (scale,) = drawing.numbers(f"{widget}-matters-bars", "data-scale-x")
    (origin,) = drawing.numbers(f"{widget}-matters-bars", "data-origin-x")
    for place, row in enumerate(rows):
        for end, cell in (("low", row[4]), ("high", row[5])):
            key = f"{widget}-matters-{end}-{place}"
            if key not in drawing.by_id:
                assert read(cell) == 0
                continue
            x, width = drawing.numbers(key, "x", "width")
            value = (x + width - origin) / scale if x >= origin - 1e-3 else (x - origin) / scale
            assert value == pytest.approx(read(cell), abs=0.00501)
        said = f"{row[0]}: entry at its low end {row[4]}, entry at its high end {row[5]}."
        assert said in picture_of(answer, "matters").description
