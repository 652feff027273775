"""Bars against a limit are read back: from zero to their value through the stated scale; words have room and say all.

Outside source: arithmetic on what went in, through the scale that is stated (C).
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from figures.reading import SPACE, Drawing, boxes, collisions, faults
from quarterturn.figures.shares import Share, Shares, shares
from quarterturn.figures.svg import WIDTH

NEAR = 0.01  # user units
STYLES = (Path(__file__).parents[2] / "docs/assets/qt-figures.css").read_text(encoding="utf-8")

FIGURE = Shares(
    (
        Share("12.9 steel", 0.41, "0.41"),
        Share("A2-70 stainless steel", 1.0, "1.00"),
        Share("6061-T6 aluminium", 1.62, "1.62"),
        Share("unknown", None, "no answer"),
        Share("none", 0, "0.00"),
    ),
    "nominal stress as a share of the yield", "the metal yields",
)  # fmt: skip


class Drawn(Drawing):
    """A drawn figure, read back in shares."""

    def __init__(self, figure: Shares, title: str = "One bolt, five materials") -> None:
        super().__init__(shares(figure, prefix="s", name="shares", title=title))
        self.scale, self.zero = self.numbers("s-shares", "data-scale-x", "data-origin-x")

    def said(self, key: str) -> str:
        return self.by_id[f"s-{key}"].text or ""

    def limit(self) -> float:
        parts = self.by_id["s-limit"].attrib["d"].split()
        (x,) = {float(parts[at + 1]) for at, part in enumerate(parts) if part == "M"}
        return x


def check_bars(drawing: Drawn, figure: Shares) -> None:
    assert drawing.limit() == pytest.approx(drawing.zero + drawing.scale, abs=NEAR)
    for at, row in enumerate(figure.rows):
        if row.value is None:
            assert f"s-bar-{at}" not in drawing.by_id
            continue
        x, width = drawing.numbers(f"s-bar-{at}", "x", "width")
        assert (x, width) == pytest.approx((drawing.zero, row.value * drawing.scale), abs=NEAR)
        assert x + width <= drawing.picture.width
        if row.value <= 1:
            assert f"s-over-{at}" not in drawing.by_id
        elif row.value > 1 + 1e-6:
            x, width = drawing.numbers(f"s-over-{at}", "x", "width")
            assert x == pytest.approx(drawing.limit(), abs=NEAR)
            assert width == pytest.approx((row.value - 1) * drawing.scale, abs=NEAR)


def test_bars_reach_from_zero_to_their_value_and_are_hatched_past_the_limit() -> None:
    drawing = Drawn(FIGURE)
    check_bars(drawing, FIGURE)
    assert [key for key in drawing.ids if key.startswith("s-over")] == ["s-over-2"]
    assert drawing.by_id["s-over-2"].attrib["fill"] == "url(#s-hatch-over)"
    assert drawing.scale > WIDTH / 1.8  # the longest bar uses the room there is


def test_the_last_bits_of_a_sum_are_not_beyond_the_limit() -> None:
    drawing = Drawn(replace(FIGURE, rows=(Share("a", 0.1 + 0.2 + 0.7 + 1e-15, "1.00"), Share("b", 1.01, "1.01"))))
    assert [key for key in drawing.ids if key.startswith("s-over")] == ["s-over-1"]


def test_labels_stand_left_and_values_right_over_their_bar() -> None:
    drawing = Drawn(FIGURE)
    for at, row in enumerate(FIGURE.rows):
        assert (drawing.said(f"label-{at}"), drawing.said(f"value-{at}")) == (row.label, row.words)
        label, value = (drawing.by_id[f"s-{key}-{at}"].attrib for key in ("label", "value"))
        assert label["y"] == value["y"]
        assert float(label["x"]) < float(value["x"])
        if row.value is not None:
            (y,) = drawing.numbers(f"s-bar-{at}", "y")
            assert 0 < y - float(label["y"]) < 8
    strong = [at for at in range(5) if "qt-strong" in drawing.by_id[f"s-value-{at}"].attrib["class"]]
    assert strong == [2]


def test_the_limit_and_the_hatching_are_named() -> None:
    drawing = Drawn(FIGURE)
    assert drawing.said("limit-words") == "the metal yields"
    (words,) = [one for one in boxes(drawing) if one.words == "the metal yields"]
    assert words.left < drawing.limit() < words.right
    assert drawing.said("key") == "beyond the limit"
    under = Drawn(replace(FIGURE, rows=FIGURE.rows[:1]))
    assert under.said("key") == "beyond the limit"  # so that the page does not jump


def test_the_picture_keeps_its_size_while_values_change() -> None:
    sizes = {Drawn(replace(FIGURE, rows=(Share("a", value, "x"),))).picture.height for value in (None, 0, 0.5, 1, 3)}
    assert len(sizes) == 1


values = st.one_of(st.none(), st.floats(0, 3), st.floats(0, 1e6), st.sampled_from([0.0, 1.0, 1e6]))
names = st.sampled_from(["", "8.8 steel", "A2-70 stainless steel, cold worked", "m" * 80, "<b>&", "−1 ½ MPa"])


@st.composite
def figures(draw: st.DrawFn) -> Shares:
    rows = draw(st.lists(st.builds(Share, names, values, names), min_size=1, max_size=8))
    return Shares(tuple(rows), draw(names), draw(names), draw(names))


@settings(max_examples=150)
@given(figures(), names)
def test_words_never_collide_and_markup_is_sound(figure: Shares, title: str) -> None:
    drawing = Drawn(figure, title)
    check_bars(drawing, figure)
    assert collisions(drawing) == []
    assert faults(drawing, "s") == []
    assert min(float(one.attrib["font-size"]) for one in drawing.elements if one.tag == f"{SPACE}text") >= 12


def test_the_figure_is_said_in_words() -> None:
    said = Drawn(FIGURE).picture.description
    assert said.startswith("nominal stress as a share of the yield. The line at 1: the metal yields.")
    assert "12.9 steel: 0.41." in said
    assert "6061-T6 aluminium: 1.62, beyond the limit." in said
    assert "unknown: no answer." in said


def test_every_class_has_a_rule() -> None:
    used = {name for one in Drawn(FIGURE).elements for name in one.attrib.get("class", "").split()}
    assert [name for name in used - {"qt-figure", "qt-text"} if f".{name} " not in STYLES] == []


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1e-9, 1.1e6])
def test_values_that_are_none_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="share"):
        Drawn(replace(FIGURE, rows=(Share("a", bad, "x"),)))


def test_shares_without_rows_are_refused() -> None:
    with pytest.raises(ValueError, match="row"):
        Drawn(replace(FIGURE, rows=()))


def test_two_figures_share_no_id() -> None:
    one, other = (Drawing(shares(FIGURE, prefix=key, name="n", title="t")) for key in ("a", "c"))
    assert not set(one.ids) & set(other.ids)
