"""Codes: every one is read back by zxing-cpp, as it is drawn; how much each holds is ISO/IEC 18004's table 7 (M)."""

from __future__ import annotations

import random
import string
import sys

import pytest
import segno

from helpers import codes
from quarterturn.figures import svg
from quarterturn.figures.qr import QUIET, Code, NoCode, code, drawn

CAPACITY_M = {1: 14, 2: 26, 3: 42, 4: 62, 5: 84, 6: 106, 7: 122, 8: 152, 9: 180, 10: 213, 13: 331, 14: 362, 15: 412,
              16: 450, 17: 504, 18: 560, 20: 666, 21: 711, 27: 1125}  # fmt: skip
"""ISO/IEC 18004, table 7: bytes at level M, by version (M)."""
LETTERS = string.ascii_letters + string.digits + "-._~:/?#[]@!$&'()*+,;=%"
"""What an address may be written with (RFC 3986, 2.2 and 2.3)."""
ANY = 177


def words_of(length: int, seed: int = 0) -> str:
    chance = random.Random(seed)
    return "".join(chance.choice(LETTERS) for _ in range(length))


def picture(one: Code, side: float = 40.0) -> str:
    return svg.picture("n", "t", "d", side, side, [drawn(one, 0, 0, side, class_="qt-card-code")], prefix="p").svg


@pytest.mark.parametrize(("version", "capacity"), CAPACITY_M.items())
def test_a_version_holds_what_the_standard_says_and_no_more(version: int, capacity: int) -> None:
    for length, wanted in ((capacity, version), (capacity + 1, version + 1)):
        words = words_of(length, length)
        one = code(words, ANY)
        assert (one.version, one.modules) == (wanted, 17 + 4 * wanted)
        (found,) = codes.found_in(codes.drawn(picture(one, 60), 60, 60))
        assert found.text == words
        assert found.ec_level in ("M", "Q", "H")


@pytest.mark.parametrize("seed", range(40))
def test_what_is_drawn_is_read_back(seed: int) -> None:
    chance = random.Random(seed)
    words = words_of(chance.randint(1, 900), seed)
    side = chance.uniform(36, 60)
    assert codes.read(codes.drawn(picture(code(words, ANY), side), side, side, dots=14)) == [words]


def test_a_changed_square_or_two_do_no_harm_and_half_a_code_does() -> None:
    """The reader is no echo: it reads the dots, with the error correction of level M (15 % of them, M)."""
    image = codes.drawn(picture(code(words_of(300), ANY)), 40, 40)
    image[200:212, 200:230] = 0
    assert codes.read(image) == [words_of(300)]
    image[120:360, 120:360] = 255
    assert codes.read(image) == []


def test_the_white_rim_is_the_standards() -> None:
    one = code("https://example.org/", ANY)
    module = 30 / (one.modules + 2 * QUIET)
    path = codes.code_path(picture(one, 30))
    placed = codes.PLACED.fullmatch(path.attrib["transform"])
    assert placed is not None
    x, y, scale = map(float, placed.groups())
    assert (x, y) == pytest.approx((4 * module, 4 * module), abs=1e-3)
    assert scale == pytest.approx(module, abs=1e-6)
    runs = [run for row in one.rows for run in row]
    assert min(first for first, _ in runs) == 0
    assert max(first + count for first, count in runs) == one.modules


@pytest.mark.parametrize("length", [1, 80, 300, 700])
def test_the_part_that_is_used_makes_what_the_whole_library_makes(length: int) -> None:
    """C: the library's documented call, of which the browser has no more than the encoder."""
    words = words_of(length, 7)
    whole = segno.make(words, error="m", mode="byte", micro=False).matrix
    mine = code(words, ANY)
    for row, runs in zip(whole, mine.rows, strict=True):
        dark = {at for first, count in runs for at in range(first, first + count)}
        assert [at in dark for at in range(len(row))] == [bool(module) for module in row]


def test_what_is_too_long_is_refused_with_half_a_sentence() -> None:
    assert code(words_of(711), 101).modules == 101
    with pytest.raises(NoCode, match="camera"):
        code(words_of(712), 101)
    with pytest.raises(NoCode, match="too long for any code"):
        code(words_of(2400), ANY)
    with pytest.raises(NoCode, match="characters"):
        code("https://example.org/é", ANY)


def test_a_python_without_the_library_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    code.cache_clear()
    monkeypatch.setitem(sys.modules, "segno", None)
    with pytest.raises(NoCode, match="not installed"):
        code("https://example.org/", ANY)
    code.cache_clear()
