"""Every published number of checks.md A and B that is a number of one bow or limb, and the default bow's.

Source and mark stand in each row (`build_scripts/published/bow.py`); those marked M are to be confirmed. Here the
integration takes fine steps; what the quick steps give is in test_bow.py.
"""

from collections import Counter
from dataclasses import replace

import pytest

from published import ROUNDING, Row
from published.bow import ROWS

each_row = pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.group}: {row.what}: {row.printed}")


@each_row
def test_ours_is_the_published_number(row: Row) -> None:
    assert row.agrees(), f"{row.printed} {row.unit} published, {row.ours()} ours"


@each_row
def test_a_number_a_little_off_would_be_noticed(row: Row) -> None:
    off = 3 * (row.tolerance + ROUNDING * abs(row.published))
    assert not replace(row, published=row.published + off).agrees()
    assert not replace(row, published=row.published - off).agrees()


@each_row
def test_no_row_is_given_more_than_its_rounding(row: Row) -> None:
    assert row.mark in ("S2", "M", "C")
    assert row.source
    assert row.tolerance <= 0.5 * row.last_place
    assert float(row.printed) == row.published


def test_nothing_of_the_tables_is_left_out() -> None:
    # checks.md A: six loads in three columns, printed and computed; B3: eight draws in two columns, two braced, four at
    # full draw; model.md section 4: seven braced, six forces, two moments, three changes of three numbers
    assert Counter(row.group for row in ROWS) == {
        "Cantilever, dead load across its tip": 18,
        "The same by elliptic integrals": 18,
        "Bow with straight limbs: grip 1/7, limb 8/7, EI 1, draw 1": 22,
        "The default bow, both bolts two turns out": 15,
        "The default bow, one turn in": 9,
    }
    assert len({(row.group, row.what) for row in ROWS}) == len(ROWS)
