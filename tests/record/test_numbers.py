"""Numbers as typed and as shown, against the standard library's exact `fractions` and `decimal` (C)."""

from __future__ import annotations

import contextlib
import math
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from quarterturn import numbers

MINUS = "−"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("5.25", Fraction(21, 4)),
        ("5,25", Fraction(21, 4)),
        (" 5.25\t", Fraction(21, 4)),
        ("\u00a05,25\u202f", Fraction(21, 4)),
        ("+5", Fraction(5)),
        ("-5", Fraction(-5)),
        ("−5", Fraction(-5)),
        ("–0,5", Fraction(-1, 2)),
        (".5", Fraction(1, 2)),
        (",5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ("007", Fraction(7)),
        ("1e2", Fraction(100)),
        ("25E-1", Fraction(5, 2)),
        ("1/4", Fraction(1, 4)),
        ("-1/4", Fraction(-1, 4)),
        ("5 1/4", Fraction(21, 4)),
        ("-5 1/4", Fraction(-21, 4)),
        ("5  1 / 4", Fraction(21, 4)),
        ("5 1⁄4", Fraction(21, 4)),
        ("¼", Fraction(1, 4)),
        ("-¼", Fraction(-1, 4)),
        ("5¼", Fraction(21, 4)),
        ("5 ½", Fraction(11, 2)),
        ("⅔", Fraction(2, 3)),
        ("−2⅞", Fraction(-23, 8)),
        ("0", Fraction(0)),
        ("-0", Fraction(0)),
    ],
)
def test_what_a_person_types_is_what_is_meant(typed: str, meant: Fraction) -> None:
    assert numbers.parse(typed) == pytest.approx(float(meant), rel=1e-15, abs=0)


@given(st.integers(0, 10**6), st.integers(0, 10**6), st.integers(1, 10**6), st.sampled_from(["", "-", "−", "+"]))
def test_mixed_fractions_are_exact(whole: int, over: int, under: int, sign: str) -> None:
    meant = whole + Fraction(over, under)
    read = numbers.parse(f"{sign}{whole} {over}/{under}")
    assert abs(read) == pytest.approx(float(meant), rel=1e-15, abs=0)
    assert read <= 0 if sign in ("-", "−") else read >= 0


@given(st.decimals(min_value=-(10**6), max_value=10**6, places=6), st.sampled_from([".", ","]))
def test_decimals_are_read_as_the_nearest_float(value: Decimal, mark: str) -> None:
    assert numbers.parse(f"{value:f}".replace(".", mark)) == float(value)


@pytest.mark.parametrize(
    "typed",
    [
        *("", "   ", "\u00a0", "five", "5 turns", "5.2.5", "5,2,5", "1,234.5", "1.234,5", "--5", "+-5", "5-", "- 5x"),
        *("nan", "NaN", "inf", "-inf", "Infinity", "∞", "1e309", "-1e400", "1e9999", "1e99999", "0x10", "1_000", "1e"),
        *("1/0", "5 0/0", "1/", "/4", "1/-4", "1/2/3", "5 1/4 1/4", "½½", "¼5", "e5", ".", ",", "+", "-", "−"),
        *("٣", "५", "１", "1٫5", "5\u200b", "5\x00", "²", "Ⅳ", "<script>", "5;drop", "1" * 41, "9" * 100_000),
    ],
)
def test_garbage_is_refused_with_the_rest_of_a_sentence(typed: str) -> None:
    with pytest.raises(numbers.InvalidNumberError) as refusal:
        numbers.parse(typed)
    assert str(refusal.value).split()[0] in ("is", "has", "divides")
    assert len(str(refusal.value)) < 120


def test_a_huge_but_finite_number_is_read_and_left_to_the_limits() -> None:
    assert numbers.parse("1e308") == 1e308


@given(st.text(max_size=60))
@example("1" * 40 + "/" + "1")
@example("9" * 38 + "/3")
@example("1/" + "9" * 38)
def test_any_text_is_a_finite_number_or_refused(typed: str) -> None:
    with contextlib.suppress(numbers.InvalidNumberError):
        assert math.isfinite(numbers.parse(typed))


def shown(x: float, decimals: int) -> str:
    """The same rule by another road: 12 significant digits, then half up (away from zero), by `decimal`."""
    twelve = Decimal(f"{Decimal(x):.11e}")
    rounded = twelve.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP, context=Context(prec=400))
    return f"{rounded if rounded else abs(rounded):f}".replace("-", MINUS)


@given(st.floats(-1e9, 1e9), st.integers(0, 6))
@example(2.675, 2)
@example(0.125, 2)
@example(1.005, 2)
@example(-0.0, 2)
@example(-0.004, 2)
@example(0.49999999999999994, 0)
@example(0.9999999999999, 3)
@example(5e-324, 6)
def test_formatter_rounds_as_decimal_does(x: float, decimals: int) -> None:
    assert numbers.fixed(x, decimals) == shown(x, decimals)
    assert numbers.plain(x, decimals) == shown(x, decimals).replace(MINUS, "-")


@given(st.floats(-1e9, 1e9), st.integers(0, 6))
def test_trimmed_says_the_same_number_in_fewer_signs(x: float, decimals: int) -> None:
    text = numbers.trimmed(x, decimals)
    assert Decimal(text.replace(MINUS, "-")) == Decimal(shown(x, decimals).replace(MINUS, "-"))
    assert "." not in text or text[-1] not in "0."


@pytest.mark.parametrize("decimals", [0, 1, 6])
def test_minus_nothing_is_nothing(decimals: int) -> None:
    assert MINUS not in numbers.fixed(-0.0, decimals)
    assert MINUS not in numbers.fixed(-1e-9, decimals)
    assert math.copysign(1, numbers.rounded(-0.0)) == 1


@pytest.mark.parametrize("x", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_never_shown(x: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        numbers.fixed(x, 2)


@pytest.mark.parametrize("x", [1e15, 1e22, -1e300, 1e308])
def test_formatter_holds_for_huge_numbers(x: float) -> None:
    assert numbers.fixed(x, 2) == shown(x, 2)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_settling_keeps_twelve_digits(x: float) -> None:
    assert numbers.rounded(x) == float(Decimal(f"{Decimal(x):.11e}"))


QUARTERS = {0: "0", 1: "¼", 2: "½", 3: "¾", 4: "1", 5: "1¼", 6: "1½", 11: "2¾", -1: "−¼", -2: "−½", -6: "−1½"}


@pytest.mark.parametrize(("count", "text"), QUARTERS.items())
def test_quarters_are_written_as_a_hand_makes_them(count: int, text: str) -> None:
    assert numbers.quarters(count / 4) == text


@given(st.floats(-20, 20))
def test_quarters_never_lie_by_more_than_what_they_leave_out(turns: float) -> None:
    text = numbers.quarters(turns)
    assert numbers.parse(text) == pytest.approx(turns, abs=0.0051)


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_thresholds_have_one_tolerance(x: float, y: float) -> None:
    slack = max(1e-9 * max(abs(x), abs(y)), 1e-12)
    if abs(x - y) < slack / 2:
        assert numbers.same(x, y)
    if x > y + 2 * slack:
        assert not numbers.at_most(x, y)
        assert not numbers.same(x, y)
    if x <= y:
        assert numbers.at_most(x, y)


def test_nothing_infinite_is_ever_within_a_limit() -> None:
    assert not numbers.at_most(math.inf, 1.0)
    assert not numbers.at_most(1.0, -math.inf)
    assert numbers.at_most(1.0, math.inf)
    assert not numbers.same(math.inf, 1.0)
