"""Reading the numbers people type, and writing the numbers we show.

One parser and one formatter, so that a page, a figure, the command line and a test never disagree.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

_VULGAR_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_DECIMAL = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,4})?")
_FRACTION = re.compile(r"([+-]?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)")
MAX_TYPED = 40


class InvalidNumberError(ValueError):
    """What was typed cannot be read as one finite number; the message says what would be right."""


def parse(typed: str) -> float:
    """Read what a person typed as one finite number.

    Decimal point or comma, a common fraction ("1/4", "5 1/4", "5¼"), a leading sign in ASCII or Unicode and
    spaces around are understood; a sign such as ¼ only at the end. A number with both a point and a comma could mean
    two things and is refused.

    Raises:
        InvalidNumberError: with the rest of a sentence, to follow the field's name.

    >>> parse("5 1/4"), parse("4,23"), parse(" ½ ")
    (5.25, 4.23, 0.5)
    """
    if len(typed) > MAX_TYPED:
        raise InvalidNumberError(f"is too long to be a number: type at most {MAX_TYPED} characters")
    text = typed.translate({0x2212: "-", 0x2013: "-", 0xA0: " ", 0x202F: " ", 0x2009: " ", 0x2044: "/"}).strip()
    if text[-1:] in _VULGAR_FRACTIONS:  # elsewhere it would run into what follows: ¼5 is not 1/45
        before = text[:-1].rstrip()
        text = f"{before}{' ' if before[-1:].isdigit() else ''}{_VULGAR_FRACTIONS[text[-1]]}"
    if not text:
        raise InvalidNumberError("is empty: type a number")
    if "." in text and "," in text:
        raise InvalidNumberError("has both a point and a comma: type one of them, before the decimals")
    if not text.isascii():
        raise InvalidNumberError("is not a number: type digits such as 5.25, 5,25 or 5 1/4")
    if fraction := _FRACTION.fullmatch(text):
        return _parse_fraction(*fraction.groups())
    if not _DECIMAL.fullmatch(text):
        raise InvalidNumberError("is not a number: type digits such as 5.25, 5,25 or 5 1/4")
    value = float(text.replace(",", "."))
    if not math.isfinite(value):
        raise InvalidNumberError("is larger than any number that can be used here")
    return value


def _parse_fraction(sign: str, whole: str | None, over: str, under: str) -> float:
    if int(under) == 0:
        raise InvalidNumberError("divides by zero: type a fraction such as 1/4")
    value = int(whole or 0) + int(over) / int(under)
    return -value if sign == "-" else value


def rounded(x: float) -> float:
    """Round to 12 significant digits and make −0 into 0, so that the last bits of a libm never show."""
    return float(f"{x:.11e}") + 0.0


@lru_cache(maxsize=4096)
def fixed(x: float, decimals: int) -> str:
    """Write x with that many decimals: 12 significant digits first, then rounding; −0 is 0.

    >>> fixed(0.125, 2), fixed(-0.0001, 2), fixed(2.675, 2)
    ('0.13', '0.00', '2.68')
    """
    if not math.isfinite(x):
        raise ValueError(f"x must be finite: {x}")
    mantissa, _, exponent = f"{abs(x):.11e}".partition("e")
    digits, shift = int(mantissa.replace(".", "")), int(exponent) - 11 + decimals
    whole = digits * 10**shift if shift >= 0 else (digits + 5 * 10 ** (-shift - 1)) // 10**-shift
    text = str(whole).rjust(decimals + 1, "0")
    if decimals:
        text = f"{text[:-decimals]}.{text[-decimals:]}"
    return f"−{text}" if x < 0 and whole else text


def fixed_up(x: float, decimals: int) -> str:
    """Like `fixed`, rounded toward +∞.

    >>> fixed_up(0.3277, 2), fixed_up(0.33, 2)
    ('0.33', '0.33')
    """
    scale = 10.0**decimals
    return fixed(math.ceil(rounded(rounded(x) * scale)) / scale, decimals)


def fixed_down(x: float, decimals: int) -> str:
    """Like `fixed`, rounded toward −∞.

    >>> fixed_down(4.8275, 2), fixed_down(-0.001, 2)
    ('4.82', '−0.01')
    """
    scale = 10.0**decimals
    return fixed(math.floor(rounded(rounded(x) * scale)) / scale, decimals)


def plain(x: float, decimals: int) -> str:
    """Like `fixed`, with an ASCII minus: for attributes, JSON and things that are read by programs."""
    return fixed(x, decimals).replace("−", "-")


def trimmed(x: float, decimals: int) -> str:
    """Like `fixed`, without zeros that say nothing.

    >>> trimmed(0.25, 3), trimmed(3.0, 2)
    ('0.25', '3')
    """
    text = fixed(x, decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text


_QUARTERS = {0: "", 1: "¼", 2: "½", 3: "¾"}


def quarters(turns: float) -> str:
    """Write a number of turns the way a hand makes them, where it is a whole number of quarters.

    >>> quarters(0.25), quarters(1.5), quarters(0.3)
    ('¼', '1½', '0.30')
    """
    count = rounded(turns * 4)
    if abs(count - round(count)) > 1e-9:
        return trimmed(turns, 3) if abs(rounded(turns * 8) % 1) < 1e-9 else fixed(turns, 2)
    whole, rest = divmod(round(abs(count)), 4)
    text = f"{whole if whole or not rest else ''}{_QUARTERS[rest]}"
    return f"−{text}" if count < 0 else text


TOLERANCE = 1e-9


def at_most(x: float, bound: float) -> bool:
    """Whether x ≤ bound, with the one tolerance of all thresholds: 1e-9 of the larger, at least 1e-12."""
    if math.isinf(x) or math.isinf(bound):
        return x <= bound
    return x <= bound + max(TOLERANCE * max(abs(x), abs(bound)), 1e-12)


def same(x: float, y: float) -> bool:
    """Equal within the tolerance of thresholds."""
    return at_most(x, y) and at_most(y, x)
