"""Two-sided bars are read back: from zero to their effect through the stated scale; words have room and say all.

Outside source: `decimal`'s half-up rounding (C) for the words of effects.
"""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from figures.reading import SPACE, Drawing, boxes, collisions, faults
from quarterturn.figures.bars import HATCHES, Bar, Bars, bars, signed

NEAR = 0.01  # user units

FIGURE = Bars(
    (
        Bar("fulcrum to bolt axis", -0.041, 0.043, "55 mm", "65 mm"),
        Bar("thickness of the strip", -0.21, None, "0.05 mm", "0.20 mm"),
        Bar("pitch", 0.1, 0.2, "1.00 mm", "1.25 mm"),
        Bar("head radius", 0, 0.001),
    ),
    "change of the resolution, turns",
    ("← finer", "coarser →"),
)


class Drawn(Drawing):
    """A drawn figure, read back in effects."""

    def __init__(self, figure: Bars, title: str = "What matters") -> None:
        super().__init__(bars(figure, prefix="b", name="bars", title=title))
        self.scale, self.zero = self.numbers("b-bars", "data-scale-x", "data-origin-x")

    def ends(self, key: str) -> tuple[float, float]:
        x, width = self.numbers(f"b-{key}", "x", "width")
        return x, x + width

    def said(self, key: str) -> str:
        return self.by_id[f"b-{key}"].text or ""


def sides(figure: Bars) -> list[tuple[str, float | None]]:
    return [
        (f"{side}-{at}", effect) for at, row in enumerate(figure.rows) for side, effect in zip(
            HATCHES, (row.low, row.high), strict=True
        )
    ]  # fmt: skip


def check_bars(drawing: Drawn, figure: Bars) -> None:
    for key, effect in sides(figure):
        if effect is None:
            assert f"b-{key}" not in drawing.by_id
            continue
        left, right = drawing.ends(key)
        end = drawing.zero + effect * drawing.scale
        assert (left, right) == pytest.approx((min(drawing.zero, end), max(drawing.zero, end)), abs=NEAR)


def test_bars_reach_from_zero_to_their_effect() -> None:
    drawing = Drawn(FIGURE)
    check_bars(drawing, FIGURE)
    assert drawing.scale > 200  # user units a turn: the longest bars use the room there is


def test_values_are_written_beside_their_bars() -> None:
    drawing = Drawn(FIGURE)
    assert drawing.said("low-words-0") == "55 mm: −0.04"
    assert drawing.said("high-words-0") == "65 mm: +0.04"
    assert drawing.said("high-words-1") == "0.20 mm: no answer"
    assert (drawing.said("low-words-3"), drawing.said("high-words-3")) == ("0.00", "0.00")
    for side, at in (("low", 0), ("high", 0), ("low", 1), ("low", 2), ("high", 2)):
        left, right = drawing.ends(f"{side}-{at}")
        words = drawing.said(f"{side}-words-{at}")
        (place,) = [one for one in boxes(drawing) if one.words == words]
        y, height = drawing.numbers(f"b-{side}-{at}", "y", "height")
        assert place.top < y + height / 2 < place.bottom
        beside = left - place.right if "−" in words else place.left - right
        assert 0 < beside < 10


@given(st.floats(-1e6, 1e6), st.integers(0, 3))
def test_signs(effect: float, decimals: int) -> None:
    """Against decimal (C): rounded half away from zero after 12 digits, a plus before what is more than nothing."""
    exact = Decimal(f"{effect:.11e}").quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    wanted = f"{exact:+f}" if exact else f"{abs(exact):f}"
    assert signed(effect, decimals) == wanted.replace("-", "−")


effects = st.one_of(st.none(), st.floats(-1e7, 1e7), st.floats(-1, 1), st.sampled_from([0.0, -0.0, 1e-9]))
names = st.sampled_from(["", "pitch", "half of the slot's width", "m" * 80, "<b>&", "−1 ½ mm"])


@st.composite
def figures(draw: st.DrawFn) -> Bars:
    rows = draw(st.lists(st.builds(Bar, names, effects, effects, names, names), min_size=1, max_size=8))
    ends = draw(st.sampled_from([("← less", "more →"), ("m" * 60, "m" * 60), ("", "")]))
    return Bars(tuple(rows), draw(names), ends, decimals=draw(st.integers(0, 3)))


@settings(max_examples=150)
@given(figures(), names)
def test_words_never_collide_and_markup_is_sound(figure: Bars, title: str) -> None:
    drawing = Drawn(figure, title)
    check_bars(drawing, figure)
    assert collisions(drawing) == []
    assert faults(drawing, "b") == []
    assert min(float(one.attrib["font-size"]) for one in drawing.elements if one.tag == f"{SPACE}text") >= 12
    assert drawing.scale > 0
    for key, effect in sides(figure):
        if effect is not None:
            left, right = drawing.ends(key)
            assert 0 <= left <= right <= drawing.picture.width


def test_the_ends_are_told_apart_without_colour() -> None:
    drawing = Drawn(FIGURE)
    fills = [one.attrib["fill"] for one in drawing.elements if "fill" in one.attrib]
    assert {f"url(#b-hatch-{side})" for side in HATCHES} == set(fills)
    patterns = {side: drawing.by_id[f"b-hatch-{side}"].attrib.get("patternTransform") for side in HATCHES}
    assert patterns["low"] != patterns["high"]
    assert (drawing.said("key-low"), drawing.said("key-high")) == ("entry at its low end", "entry at its high end")
    for at in range(4):
        lanes = [float(drawing.by_id[f"b-{side}-words-{at}"].attrib["y"]) for side in HATCHES]
        assert lanes[0] < lanes[1]
    assert {"← finer", "coarser →"} <= set(drawing.words())


@pytest.mark.parametrize("noise", [0.0, 1e-15, 1e-12, 1e-6])
@pytest.mark.parametrize("decimals", [1, 2, 4])
def test_what_its_words_call_nothing_looks_like_nothing(noise: float, decimals: int) -> None:
    """The longest bar sets the scale, but not one that no shown digit tells."""
    rows = (Bar("one", noise, -noise), Bar("two", -noise / 3, noise / 2))
    drawing = Drawn(Bars(rows, "change", decimals=decimals))
    for at in range(len(rows)):
        for side in HATCHES:
            x, end = drawing.ends(f"{side}-{at}")
            assert end - x <= 400 * noise * 10**decimals + NEAR
    last = 0.5 / 10**decimals
    seen = Drawn(Bars((Bar("one", -last, last), *rows), "change", decimals=decimals)).ends("high-0")
    assert seen[1] - seen[0] > 50


def test_the_figure_is_said_in_words() -> None:
    said = Drawn(FIGURE).picture.description
    assert said.startswith("change of the resolution, turns, in turns, when one entry at a time is changed.")
    assert "fulcrum to bolt axis: entry at its low end (55 mm) −0.04, entry at its high end (65 mm) +0.04." in said
    assert "entry at its high end (0.20 mm) no answer" in said


def test_rows_keep_the_callers_order() -> None:
    drawing = Drawn(FIGURE)
    heights = [float(drawing.by_id[f"b-label-{at}"].attrib["y"]) for at in range(4)]
    assert heights == sorted(heights)
    assert [drawing.said(f"label-{at}") for at in range(4)] == [row.label for row in FIGURE.rows]


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1.1e7])
def test_effects_that_are_no_numbers_are_refused(bad: float) -> None:
    for row in (Bar("x", bad, 0), Bar("x", 0, bad)):
        with pytest.raises(ValueError, match="finite"):
            Drawn(replace(FIGURE, rows=(row,)))


def test_bars_without_rows_are_refused() -> None:
    with pytest.raises(ValueError, match="row"):
        Drawn(replace(FIGURE, rows=()))


def test_two_figures_share_no_id() -> None:
    one, other = (Drawing(bars(FIGURE, prefix=key, name="n", title="t")) for key in ("a", "c"))
    assert not set(one.ids) & set(other.ids)
