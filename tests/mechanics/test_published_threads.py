"""Every published number of sources.md C against the package: the list that a page shows to readers too.

Source and mark stand in each row (`build_scripts/published/threads.py`); those marked M are to be confirmed.
"""

from collections import Counter
from dataclasses import replace

import pytest

from published import Row, Table
from published.threads import ROWS

each_row = pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.group}: {row.what}: {row.printed}")


@each_row
def test_ours_is_the_published_number(row: Row) -> None:
    assert row.agrees(), f"{row.printed} {row.unit} published, {row.ours()} ours"


@each_row
def test_a_number_a_little_off_would_be_noticed(row: Row) -> None:
    for published in (row.published + 3 * row.tolerance, row.published - 3 * row.tolerance):
        assert not replace(row, published=published).agrees()


@each_row
def test_a_wide_tolerance_says_why(row: Row) -> None:
    assert row.mark in ("S", "S2", "M", "C")
    assert row.source
    assert row.tolerance <= 0.5 * row.last_place or row.remark
    assert row.tolerance <= 1.5 * row.last_place
    assert float(row.printed) == row.published


def test_nothing_of_the_table_is_left_out() -> None:
    # sources.md C: ten threads in four columns and a second 5/16-24 area; nine loads; seven materials; six stresses;
    # seven shear areas; sixteen limits and, beside it, six metric threads; one worked example
    counts = Counter(row.group for row in ROWS)
    assert counts == {
        "Stress area": 11,
        "Pitch diameter": 10,
        "Minor diameter, nut or bush": 10,
        "Minor diameter, bolt": 10,
        "Proof load": 9,
        "Strength": 14,
        "Stress at 1000 N beside the axis": 6,
        "Shear area, one diameter engaged": 6,
        "Shear area, one inch engaged": 1,
        "Limits, class 2A and 2B": 16,
        "Limits, class 6g and 6H": 24,
        "Worked example: M10, Rm 830 MPa, in 6061-T6": 3,
    }
    assert len({(row.group, row.what) for row in ROWS}) == len(ROWS)


def test_a_wide_tolerance_without_a_reason_is_refused() -> None:
    table = Table("g", "s", "S2", "mm")
    assert table.row("a", "1.50", lambda: 1.505).agrees()
    assert not table.row("a", "1.50", lambda: 1.5051).agrees()
    assert table.row("a", "1.50", lambda: 1.5051, places=1, remark="why").ours() == "1.505"
    assert table.row("a", "1500", lambda: 1549.9, last_place=100).ours() == "1550"
    with pytest.raises(ValueError, match="remark"):
        table.row("a", "1.50", lambda: 1.5, places=1)
