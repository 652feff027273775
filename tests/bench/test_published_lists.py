"""The published lists that are of no one room: more bent leaves, a bolt's head, rules of the trade, readings and units.

Source and mark stand in each row (`build_scripts/published/`); what is M is to be confirmed. What is worked out of a
published formula (C) is worked out here again.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest
from mpmath import ellipe, ellipk, mp, mpf

from published import ROUNDING, Row, bolts, limbs, readings, trade
from published.bow import DEFAULT_BOW, LBF
from quarterturn.units import INCH

LISTS = {"limbs": limbs.ROWS, "bolts": bolts.ROWS, "readings": readings.ROWS, "trade": trade.ROWS}
ALL = [row for rows in LISTS.values() for row in rows]
each_row = pytest.mark.parametrize("row", ALL, ids=lambda row: f"{row.group}: {row.what}: {row.printed}")


@each_row
def test_ours_is_the_published_number(row: Row) -> None:
    assert row.agrees(), f"{row.printed} {row.unit} published, {row.ours()} ours"


@each_row
def test_a_number_a_little_off_would_be_noticed(row: Row) -> None:
    off = 3 * (row.tolerance + ROUNDING * abs(row.published))
    assert not replace(row, published=row.published + off).agrees()
    assert not replace(row, published=row.published - off).agrees()


@each_row
def test_a_wide_tolerance_says_why(row: Row) -> None:
    assert row.mark in ("S", "S2", "M", "C")
    assert row.source
    assert row.tolerance <= 0.5 * row.last_place or row.remark
    assert row.tolerance <= max(4 * row.last_place, 0.031 * abs(row.published))
    assert float(row.printed) == row.published


def test_nothing_of_the_tables_is_left_out() -> None:
    counts = {name: Counter(row.group for row in rows) for name, rows in LISTS.items()}
    assert [sorted(count.values()) for count in counts.values()] == [[20, 27], [2, 4], [2, 2, 2, 4], [1, 1, 2, 4]]
    assert all(len({(row.group, row.what) for row in rows}) == len(rows) for rows in LISTS.values())


def test_the_column_is_that_of_elliptic_integrals() -> None:
    """P/Pcr = (2K/π)², height 2E/K − 1, sideways 2k/K with k = sin(α/2) (C); seven printed digits are off it."""
    mp.dps = 25
    off = []
    for row in limbs.ROWS:
        if row.group != "Column pushed past buckling":
            continue
        angle, what = row.what.split("°, ")
        k = mp.sin(mpf(angle) * mp.pi / 360)
        exact = {
            "load P/Pcr": (2 * ellipk(k**2) / mp.pi) ** 2,
            "height": 2 * ellipe(k**2) / ellipk(k**2) - 1,
            "sideways": 2 * k / ellipk(k**2),
        }[what]
        assert row.computed() == pytest.approx(float(exact), abs=2e-8)
        if abs(row.published - exact) > 0.5e-3:
            off.append(row.what)
            assert row.remark
    assert len(off) == 7


def test_the_mesh_is_stiffer_than_the_line_as_the_page_says() -> None:
    mesh = [row for row in limbs.ROWS if row.group.startswith("Leaf of shell")]
    assert all(0 < row.computed() - row.published < 4e-3 for row in mesh)


def test_what_was_worked_out_of_a_formula() -> None:
    """Of a disc cut off by a line 4r·sin³α/(3·(2α − sin 2α)); of a yarn 1 + cos θ·ln cos θ/(1 − cos θ)."""
    discs = [row for row in bolts.ROWS if row.mark == "C"]
    for row, half_angle in zip(discs, (math.pi / 2, math.pi / 3, 2 * math.pi / 3, math.pi), strict=True):
        place = 4 * math.sin(half_angle) ** 3 / (3 * (2 * half_angle - math.sin(2 * half_angle)))
        assert row.published == pytest.approx(place, abs=0.5001 * row.last_place)
    for row in (row for row in trade.ROWS if row.mark == "C"):
        cosine = math.cos(math.radians(float(row.what.rstrip("°"))))
        shorter = 100 * (1 + cosine * math.log(cosine) / (1 - cosine))
        assert row.published == pytest.approx(shorter, abs=0.5001 * row.last_place)
        assert row.tolerance <= 0.0305 * row.published


def test_a_bow_of_another_kind_is_out_of_the_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    """A string an inch too long, and a bow that pulls twice as hard, would be seen."""
    string = next(row for row in trade.ROWS if row.what == "68 in, the default bow")
    rule = next(row for row in trade.ROWS if row.what.startswith("up to 40 lb"))
    longer = replace(DEFAULT_BOW.string, upper=DEFAULT_BOW.string.upper + INCH)
    monkeypatch.setattr("published.trade.DEFAULT_BOW", replace(DEFAULT_BOW, string=longer))
    assert not string.agrees()
    monkeypatch.setattr("published.trade.LBF", LBF / 2)
    assert not rule.agrees()
